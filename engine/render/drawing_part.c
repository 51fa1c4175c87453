/* SPDX-License-Identifier: MIT */
/*
 * A part by itself, with its dimensions as the record has them: above it the diameters at
 * which it is met, below it every position along the axis, each counted from the datum
 * (running dimensioning of ISO 129-1: one origin, one value at each line), and a table of
 * all features.
 */
#include "drawing_section.h"
#include "render_part.h"

#include <math.h>
#include <stdlib.h>

#define PART_HIGH 300.0 /* a half section at most */
#define BEND      14.0  /* what leaders have to come from their places to their labels */
#define SMALL     10.5

/* A label with what it is of. */
struct part_label {
    struct label label;
    text words;
    struct page_point to;
};

struct part_labels {
    ARRAY_OF(struct part_label) all;
    uint32_t rows;
};

static int compare_part_labels(const void *a, const void *b)
{
    const struct part_label *left = a;
    const struct part_label *right = b;
    return left->label.to_x < right->label.to_x ? -1
           : left->label.to_x > right->label.to_x
               ? 1
               : text_compare(left->words, right->words);
}

static void add_label(struct arena *arena, struct part_labels *labels, text words,
                      struct page_point to)
{
    const struct part_label one = {
        .label = {.to_x = to.x, .width = words_width(words, SMALL)},
        .words = words,
        .to = to};
    (void)ARRAY_PUSH(arena, &labels->all, one);
}

static void place_labels(struct drawing *drawing, struct part_labels *labels)
{
    struct label **each = ARENA_MANY(drawing->arena, labels->all.count, struct label *);
    if (labels->all.count > 1) {
        qsort(labels->all.at, labels->all.count, sizeof *labels->all.at,
              compare_part_labels);
    }
    for (uint32_t i = 0; each != NULL && i < labels->all.count; i++) {
        each[i] = &labels->all.at[i].label;
    }
    labels->rows = each == NULL ? 0
                                : labels_place_each(drawing->arena, each,
                                                    labels->all.count, PAGE_MARGIN / 2,
                                                    drawing->width - PAGE_MARGIN / 2);
}

static double labels_height(const struct part_labels *labels)
{
    return labels->all.count == 0 ? 0 : BEND + ROW * (double)labels->rows;
}

/* From what is named straight to `edge`, aslant to under the label, and there. Sorted
 * ends are joined to sorted ends, so that no two cross. `way` is +1 where labels stand
 * above. */
static void draw_part_labels(struct drawing *drawing, const struct part_labels *labels,
                             double edge, int way, const char *data)
{
    for (uint32_t i = 0; i < labels->all.count; i++) {
        const struct part_label *one = &labels->all.at[i];
        const double bend = edge - way * BEND;
        const double base = bend - way * ROW * (double)one->label.row;
        svg_open(&drawing->svg, "path");
        svg_path(&drawing->svg);
        svg_move(&drawing->svg, one->to.x, one->to.y);
        svg_line(&drawing->svg, one->to.x, edge);
        svg_line(&drawing->svg, one->label.x, bend);
        svg_line(&drawing->svg, one->label.x, base);
        svg_path_done(&drawing->svg, false);
        svg_word(&drawing->svg, data, one->words);
        stroke_with(drawing, STROKE_NARROW);
        svg_done(&drawing->svg);
        if (way > 0) {
            draw_arrow(drawing, one->to.x, one->to.y, one->to.x, edge, STROKE_NARROW);
        }
        draw_words(drawing, one->label.x, way > 0 ? base - 4 : base + SMALL + 1,
                   (struct lettering){SMALL, ANCHOR_MIDDLE, false, false}, one->words);
    }
}

/* ---- what is labelled */

/* Diameters, at the surface they are of. */
static struct part_labels label_across(struct drawing *drawing, const struct half *half)
{
    struct part_labels labels = {0};
    const struct section_piece *piece = &half->view->pieces[0];
    for (uint32_t i = 0; i < piece->feature_count; i++) {
        const struct section_feature *one = &piece->features[i];
        const double share =
            one->is_bore ? 0.35 : 0.5; /* two that lie above each other */
        const double at = one->from + share * (one->to - one->from);
        if (one->kind == FEATURE_RUN && one->stated != NULL &&
            one->stated->across.length > 0 && !isnan(at) && !isnan(one->r)) {
            add_label(drawing->arena, &labels,
                      text_format(drawing->arena, "%.*s %.*s", TEXT_ARG(one->name),
                                  TEXT_ARG(one->stated->across)),
                      (struct page_point){half_x(half, at), half_y(half, one->r)});
        }
    }
    place_labels(drawing, &labels);
    return labels;
}

static bool is_labelled(const struct part_labels *labels, double x)
{
    for (uint32_t i = 0; i < labels->all.count; i++) {
        if (fabs(labels->all.at[i].to.x - x) < 0.5) {
            return true;
        }
    }
    return false;
}

static void label_position(struct drawing *drawing, const struct half *half,
                           struct part_labels *labels, double at, text says)
{
    const double x = half_x(half, at);
    if (!isnan(at) && says.length > 0 && !is_labelled(labels, x)) {
        add_label(drawing->arena, labels, says,
                  (struct page_point){x, half_y(half, half->view->pieces[0].low) + 3});
    }
}

/* Positions, each once: two that lie on one line say the same, or so nearly that the
 * table alone can tell. Faces come first, since they are what a part is made from. */
static struct part_labels label_along(struct drawing *drawing, const struct half *half)
{
    static const enum section_feature_kind order[] = {FEATURE_FACE, FEATURE_RUN,
                                                      FEATURE_STATION};
    struct part_labels labels = {0};
    const struct section_piece *piece = &half->view->pieces[0];
    for (size_t turn = 0; turn < sizeof order / sizeof *order; turn++) {
        for (uint32_t i = 0; i < piece->feature_count; i++) {
            const struct section_feature *one = &piece->features[i];
            if (one->kind == order[turn] && one->stated != NULL) {
                label_position(drawing, half, &labels, one->from, one->stated->from);
                label_position(drawing, half, &labels, one->to, one->stated->to);
            }
        }
    }
    place_labels(drawing, &labels);
    return labels;
}

/* The origin of positions: a small ring, as ISO 129-1 has it. */
static void draw_origin(struct drawing *drawing, const struct half *half)
{
    svg_open(&drawing->svg, "circle");
    svg_number(&drawing->svg, "cx", half_x(half, 0));
    svg_number(&drawing->svg, "cy", half->axis_y + 10);
    svg_number(&drawing->svg, "r", 3.5);
    svg_word(&drawing->svg, "fill", TEXT("#ffffff"));
    svg_word(&drawing->svg, "data-origin", TEXT("0"));
    stroke_with(drawing, STROKE_NARROW);
    svg_done(&drawing->svg);
}

/* ---- the table */

#define COLUMNS 6

static void write_cells(struct drawing *drawing, double y, const text *cells,
                        bool is_heading)
{
    static const double at[COLUMNS] = {0, 170, 260, 400, 540, 720};
    for (int i = 0; i < COLUMNS; i++) {
        if (cells[i].length > 0) {
            draw_words(drawing, PAGE_MARGIN + at[i], y,
                       (struct lettering){SMALL, ANCHOR_START, is_heading, false},
                       cells[i]);
        }
    }
}

static text kind_of(struct arena *arena, const struct section_feature *one)
{
    return one->kind == FEATURE_FACE ? TEXT("face")
           : one->kind == FEATURE_STATION
               ? TEXT("plane")
               : text_format(arena, "%.*s%s", TEXT_ARG(one->says),
                             one->is_bore ? ", inside" : "");
}

/* What does not fit into the last column goes on below. */
static double write_row(struct drawing *drawing, double y,
                        const struct section_feature *one)
{
    const text *lines = NULL;
    const struct feature_stated *stated = one->stated;
    const uint32_t count = words_break(drawing->arena, stated->other, SMALL,
                                       drawing->width - 2 * PAGE_MARGIN - 720, &lines);
    const text cells[COLUMNS] = {one->name,      kind_of(drawing->arena, one),
                                 stated->from,   stated->to,
                                 stated->across, count > 0 ? lines[0] : TEXT("")};
    draw_line(drawing, PAGE_MARGIN, y - 13, drawing->width - PAGE_MARGIN, y - 13,
              STROKE_FAINT);
    write_cells(drawing, y, cells, false);
    for (uint32_t i = 1; i < count; i++) {
        const text more[COLUMNS] = {[COLUMNS - 1] = lines[i]};
        y += 15;
        write_cells(drawing, y, more, false);
    }
    return y + ROW;
}

static double draw_table(struct drawing *drawing, const struct section_piece *piece,
                         double y)
{
    const text heads[COLUMNS] = {TEXT("Feature"), TEXT("Kind"),   TEXT("From, or at"),
                                 TEXT("To"),      TEXT("Across"), TEXT("Besides")};
    if (piece->feature_count == 0) {
        return y;
    }
    y += ROW;
    write_cells(drawing, y, heads, true);
    y += ROW;
    for (uint32_t i = 0; i < piece->feature_count; i++) {
        if (piece->features[i].stated != NULL) {
            y = write_row(drawing, y, &piece->features[i]);
        }
    }
    return y;
}

/* ---- the whole */

/* The stretch of the axis on which anything of the piece has its place. */
static void stretch_of(const struct section_view *view, double *from, double *to)
{
    const struct section_piece *piece = &view->pieces[0];
    *from = view->from;
    *to = view->to;
    for (uint32_t i = 0; i < piece->feature_count; i++) {
        *from = fmin(*from, piece->features[i].from); /* of NAN the other */
        *to = fmax(*to, piece->features[i].to);
    }
}

static struct half half_of(const struct drawing *drawing, const struct section_view *view,
                           const struct hatch_plan *hatches)
{
    double from = 0;
    double to = 0;
    stretch_of(view, &from, &to);
    const double room = drawing->width - 2 * PAGE_MARGIN - 120;
    const double wide = fmax(to - from, 1e-3);
    const double scale = fmin(room / wide, PART_HIGH / fmax(view->high, 1e-3));
    return (struct half){.view = view,
                         .hatches = hatches,
                         .scale = scale,
                         .zero = PAGE_MARGIN + 60 + (room - wide * scale) / 2 -
                                 view->from * scale,
                         .way = 1,
                         .name = TEXT("part")};
}

/* On a page of HTML without the table: the page says all of it. */
static double draw_view(struct drawing *drawing, const struct section_view *view,
                        double y, bool has_table)
{
    const struct hatch_plan hatches = hatch_plan_make(drawing->arena, view, NULL);
    struct half half = half_of(drawing, view, &hatches);
    struct part_labels across = label_across(drawing, &half);
    half.axis_y = y + labels_height(&across) + 16 + view->high * half.scale;
    across = label_across(drawing, &half);
    const struct part_labels along = label_along(drawing, &half);
    draw_half(drawing, &half);
    draw_part_labels(drawing, &across, y + labels_height(&across), 1, "data-across");
    draw_part_labels(drawing, &along, half.axis_y + 18, -1, "data-along");
    draw_origin(drawing, &half);
    y = half.axis_y + 18 + labels_height(&along) + 24;
    draw_scale_bar(drawing, PAGE_MARGIN, y, half.scale);
    return has_table ? draw_table(drawing, &view->pieces[0], y + 14) : y + 14;
}

static bool is_turned(const struct section_piece *piece)
{
    return piece->as != DRAWN_KEY && piece->as != DRAWN_ACROSS;
}

static uint32_t take_notes(struct arena *arena, const struct section *section,
                           const struct knowledge *knowledge, text *notes)
{
    uint32_t count = 0;
    const text own = section->views[0].pieces[0].own;
    text missing = {"", 0};
    bool is_assumed = false;
    for (uint32_t v = 0; v < section->view_count; v++) {
        const struct section_piece *piece = &section->views[v].pieces[0];
        is_assumed = is_assumed || piece->is_assumed;
        for (uint32_t i = 0; i < piece->unknown_count; i++) {
            missing = text_format(arena, "%.*s%s%.*s", TEXT_ARG(missing),
                                  missing.length > 0 ? ", " : "",
                                  TEXT_ARG(piece->unknowns[i].dimension));
        }
    }
    if (own.length > 0) {
        notes[count++] = text_format(arena, "Of the part itself: %.*s.", TEXT_ARG(own));
    }
    if (missing.length > 0) {
        notes[count++] =
            text_format(arena, "?: nobody recorded %.*s.", TEXT_ARG(missing));
    }
    if (is_assumed) {
        notes[count++] = TEXT("Dashed: not recorded, drawn only to close an outline, and "
                              "not to be measured.");
    }
    notes[count++] = text_format(
        arena,
        "To scale from nominal dimensions%s; positions are counted from %.*s, outboard "
        "to "
        "the right. Narrow lines inside are symbols or the roots of teeth.",
        is_turned(&section->views[0].pieces[0])
            ? ", the half above the axis"
            : "; it does not turn about the chain line, from which it is drawn",
        TEXT_ARG(section->datum.length > 0 ? section->datum : TEXT("the datum")));
    notes[count++] = text_format(arena, "Source: %.*s.", TEXT_ARG(section->source));
    notes[count++] = knowledge->closing.caution;
    return count;
}

status render_part_svg(struct writer *writer, const struct section *section,
                       const struct knowledge *knowledge, const struct svg_manner *manner)
{
    struct drawing drawing;
    text notes[6];
    const text title = section->unit;
    double y = 0;
    drawing_open(&drawing, writer, PAGE_WIDTH);
    if (!manner->is_embedded) {
        y = draw_heading(&drawing, title, &section->title,
                         section->title.length > 0 ? 1 : 0);
    }
    for (uint32_t i = 0; i < section->view_count; i++) {
        y = draw_view(&drawing, &section->views[i], y, !manner->is_embedded);
    }
    const struct drawing_words words = {
        .title = title,
        .description = text_format(
            writer->arena, "%.*s: axial half section to scale, with its dimensions.",
            TEXT_ARG(section->title.length > 0 ? section->title : title)),
        .notes = notes,
        .note_count = take_notes(writer->arena, section, knowledge, notes)};
    drawing_end(&drawing, manner, y, &words);
    return arena_status(writer->arena);
}
