/* SPDX-License-Identifier: MIT */
/*
 * The section as a picture. One unit: its half section with labels above, what deserves a
 * word below. A swap: the host's half above, the swapped unit's half below and turned
 * down, on one datum and scale, and between the two axes what the swap changes: how far
 * pieces moved, and what decided, with a leader to where it is.
 */
#include "drawing_section.h"

#include <math.h>

#define HALF_HIGH 390.0 /* a half section at most */
#define CLOSE     20.0

/* Of one axis: the halves that share datum and scale. */
struct sheet_of_axis {
    const struct section_pair *pair;
    const struct section_view *host; /* NULL: only one half */
    const struct section_view *swapped;
    struct hatch_plan hatches;
    struct half upper;
    struct half lower; /* the swapped one where there are two */
    bool is_first;     /* shifts and marks are of the first axis */
};

static void set_scale(const struct drawing *drawing, struct sheet_of_axis *sheet)
{
    double from = sheet->swapped->from;
    double to = sheet->swapped->to;
    double high = sheet->swapped->high;
    if (sheet->host != NULL) {
        from = fmin(from, sheet->host->from);
        to = fmax(to, sheet->host->to);
        high = fmax(high, sheet->host->high);
    }
    const double room = drawing->width - 2 * PAGE_MARGIN - 40;
    const double scale = fmin(room / fmax(to - from, 1e-3), HALF_HIGH / fmax(high, 1e-3));
    const double zero =
        PAGE_MARGIN + 20 + (room - (to - from) * scale) / 2 - from * scale;
    const bool is_pair = sheet->host != NULL;
    sheet->upper = (struct half){.view = is_pair ? sheet->host : sheet->swapped,
                                 .hatches = &sheet->hatches,
                                 .zero = zero,
                                 .scale = scale,
                                 .way = 1,
                                 .name = is_pair ? TEXT("host") : TEXT("swapped")};
    sheet->lower = sheet->upper;
    sheet->lower.view = sheet->swapped;
    sheet->lower.way = -1;
    sheet->lower.name = TEXT("swapped");
}

/* What the labels are of, labels, then the half above its axis; gives the y of the axis.
 */
static double draw_upper(struct drawing *drawing, struct sheet_of_axis *sheet, double y,
                         const char *says)
{
    struct half *half = &sheet->upper;
    if (says != NULL) {
        y += ROW;
        draw_words(drawing, PAGE_MARGIN, y,
                   (struct lettering){13, ANCHOR_START, true, false}, text_of(says));
        y += 12;
    }
    struct labelling labels = label_pieces(drawing->arena, half);
    labelling_place(drawing->arena, &labels, drawing->width);
    const double edge = y + ROW * (double)labels.rows + 8;
    half->axis_y = edge + CLOSE + half->view->high * half->scale;
    draw_half(drawing, half);
    draw_run_names(drawing, half);
    draw_labels(drawing, half, &labels, edge);
    return half->axis_y;
}

/* The half below its axis, then its labels; gives the y below them. */
static double draw_lower(struct drawing *drawing, struct sheet_of_axis *sheet,
                         double axis_y, const char *says)
{
    struct half *half = &sheet->lower;
    half->axis_y = axis_y;
    struct labelling labels = label_pieces(drawing->arena, half);
    labelling_place(drawing->arena, &labels, drawing->width);
    const double edge = axis_y + CLOSE + half->view->high * half->scale;
    draw_half(drawing, half);
    draw_run_names(drawing, half);
    draw_labels(drawing, half, &labels, edge);
    const double y = edge + ROW * (double)(labels.rows + 1) + 4;
    draw_words(drawing, PAGE_MARGIN, y, (struct lettering){13, ANCHOR_START, true, false},
               text_of(says));
    return y + 8;
}

static double draw_pair(struct drawing *drawing, struct sheet_of_axis *sheet, double y)
{
    struct marking marks = {0};
    const struct section_pair *pair = sheet->pair;
    const double axis_y = draw_upper(drawing, sheet, y, "Above: as it is");
    if (sheet->is_first) {
        marks = label_marks(drawing->arena, pair, &sheet->lower);
        marking_place(drawing->arena, &marks, drawing->width);
    }
    const double shifts =
        sheet->is_first ? (ROW + 4) * (double)pair->shift_count + 12 : 12;
    const double edge = axis_y + shifts + 16 + marks_height(&marks);
    y = draw_lower(drawing, sheet, edge + 14, "Below: as asked");
    if (sheet->is_first) {
        (void)draw_shifts(drawing, pair, &sheet->upper, &sheet->lower, axis_y);
        draw_marks(drawing, &sheet->lower, &marks, edge);
    }
    return y;
}

static double draw_single(struct drawing *drawing, struct sheet_of_axis *sheet, double y)
{
    struct marking marks = {0};
    y = draw_upper(drawing, sheet, y, NULL);
    const double axis_y = y;
    const struct run_labels runs = label_runs(drawing, &sheet->upper);
    y += run_labels_height(&runs);
    if (sheet->is_first && sheet->pair != NULL) {
        marks = label_marks(drawing->arena, sheet->pair, &sheet->upper);
        marking_place(drawing->arena, &marks, drawing->width);
        draw_marks(drawing, &sheet->upper, &marks, y + 16);
        y += marks.count > 0 ? marks_height(&marks) + 16 : 0;
    }
    y = draw_gaps(drawing, &sheet->upper, y + 4) + 16;
    draw_run_labels(drawing, &runs, axis_y);
    return y;
}

/* Both sides of the axis, of the unit as asked. */
static double draw_full(struct drawing *drawing, struct sheet_of_axis *sheet, double y)
{
    const double axis_y = draw_upper(drawing, sheet, y, NULL);
    struct half below = sheet->upper;
    below.axis_y = axis_y;
    below.way = -1;
    below.is_other_side = true;
    below.name = TEXT("other side");
    draw_half(drawing, &below);
    return axis_y + below.view->high * below.scale + ROW;
}

static const struct section_view *view_of(const struct section *section, text axis)
{
    for (uint32_t i = 0; section != NULL && i < section->view_count; i++) {
        if (text_equal(section->views[i].axis, axis)) {
            return &section->views[i];
        }
    }
    return NULL;
}

static double draw_axis(struct drawing *drawing, const struct section_pair *pair,
                        uint32_t view, bool is_full, double y,
                        struct sheet_of_axis *sheet)
{
    *sheet = (struct sheet_of_axis){
        .pair = pair, .swapped = &pair->swapped.views[view], .is_first = view == 0};
    sheet->host = view_of(pair->host, sheet->swapped->axis);
    sheet->hatches = hatch_plan_make(drawing->arena, sheet->swapped, sheet->host);
    set_scale(drawing, sheet);
    if (pair->swapped.view_count > 1) {
        y += ROW;
        draw_words(
            drawing, PAGE_MARGIN, y, (struct lettering){13, ANCHOR_START, true, false},
            text_format(drawing->arena, "Axis %.*s", TEXT_ARG(sheet->swapped->axis)));
        y += 6;
    }
    y = is_full               ? draw_full(drawing, sheet, y)
        : sheet->host != NULL ? draw_pair(drawing, sheet, y)
                              : draw_single(drawing, sheet, y);
    draw_scale_bar(drawing, PAGE_MARGIN, y + 8, sheet->upper.scale);
    return y + 20;
}

/* ---- notes */

struct noting {
    struct arena *arena;
    ARRAY_OF(text) notes;
};

static void note(struct noting *noting, text words)
{
    (void)ARRAY_PUSH(noting->arena, &noting->notes, words);
}

/* Names once each, of pieces of both sections that are so. */
static text list_pieces(struct arena *arena, const struct section_pair *pair,
                        bool (*is_so)(const struct section_piece *piece))
{
    text all = {"", 0};
    ARRAY_OF(text) said = {0};
    const struct section *both[] = {pair->host, &pair->swapped};
    for (size_t s = 0; s < 2; s++) {
        for (uint32_t v = 0; both[s] != NULL && v < both[s]->view_count; v++) {
            for (uint32_t i = 0; i < both[s]->views[v].piece_count; i++) {
                const struct section_piece *piece = &both[s]->views[v].pieces[i];
                bool is_said = !is_so(piece);
                for (uint32_t k = 0; k < said.count; k++) {
                    is_said = is_said || text_equal(said.at[k], piece->name);
                }
                if (!is_said && ARRAY_PUSH(arena, &said, piece->name)) {
                    all = text_format(arena, "%.*s%s%.*s", TEXT_ARG(all),
                                      all.length > 0 ? ", " : "", TEXT_ARG(piece->name));
                }
            }
        }
    }
    return all;
}

static bool is_assumed(const struct section_piece *piece)
{
    return piece->is_assumed;
}

static bool has_symbol(const struct section_piece *piece)
{
    bool has = false;
    for (uint32_t i = 0; i < piece->edge_count; i++) {
        has = has || piece->edges[i].line == LINE_SYMBOL;
    }
    for (uint32_t i = 0; i < piece->round_count; i++) {
        has = has || piece->rounds[i].line == LINE_SYMBOL;
    }
    return has;
}

static void note_pieces(struct noting *noting, const struct section_pair *pair,
                        bool (*is_so)(const struct section_piece *piece),
                        const char *says)
{
    const text all = list_pieces(noting->arena, pair, is_so);
    if (all.length > 0) {
        note(noting, text_format(noting->arena, "%s: %.*s.", says, TEXT_ARG(all)));
    }
}

static void note_missing(struct noting *noting, const struct section *section)
{
    text all = {"", 0};
    for (uint32_t v = 0; v < section->view_count; v++) {
        for (uint32_t i = 0; i < section->views[v].piece_count; i++) {
            const struct section_piece *piece = &section->views[v].pieces[i];
            for (uint32_t k = 0; k < piece->unknown_count; k++) {
                all = text_format(noting->arena, "%.*s%s%.*s.%.*s", TEXT_ARG(all),
                                  all.length > 0 ? ", " : "", TEXT_ARG(piece->name),
                                  TEXT_ARG(piece->unknowns[k].dimension));
            }
        }
    }
    if (all.length > 0) {
        note(noting,
             text_format(noting->arena, "?: nobody recorded %.*s.", TEXT_ARG(all)));
    }
}

static void note_shapeless(struct noting *noting, const struct section *section)
{
    text all = {"", 0};
    for (uint32_t i = 0; i < section->shapeless_count; i++) {
        all = text_format(noting->arena, "%.*s%s%.*s", TEXT_ARG(all), i == 0 ? "" : ", ",
                          TEXT_ARG(section->shapeless[i]));
    }
    if (all.length > 0) {
        note(noting,
             text_format(noting->arena,
                         "Not drawn, as no shape or no place on an axis is recorded: "
                         "%.*s.",
                         TEXT_ARG(all)));
    }
}

static const struct section_gap *gap_in(const struct section_view *view, text name)
{
    for (uint32_t i = 0; view != NULL && i < view->gap_count; i++) {
        if (text_equal(view->gaps[i].name, name)) {
            return &view->gaps[i];
        }
    }
    return NULL;
}

/* In a pair the gaps are said, before and now. */
static void note_gaps(struct noting *noting, const struct section_pair *pair)
{
    for (uint32_t v = 0; pair->host != NULL && v < pair->swapped.view_count; v++) {
        const struct section_view *view = &pair->swapped.views[v];
        for (uint32_t i = 0; i < view->gap_count; i++) {
            const struct section_gap *before =
                gap_in(view_of(pair->host, view->axis), view->gaps[i].name);
            note(noting,
                 text_format(noting->arena, "Gap %.*s.",
                             TEXT_ARG(gap_words(noting->arena, &view->gaps[i],
                                                before == NULL ? NULL : before->size))));
        }
    }
}

static void note_unmarked(struct noting *noting, const struct section_pair *pair)
{
    for (uint32_t i = 0; i < pair->mark_count; i++) {
        if (!pair->marks[i].is_placed) {
            note(noting, text_format(noting->arena, "Without a place on the axis: %.*s.",
                                     TEXT_ARG(pair->marks[i].because)));
        }
    }
}

/* What is said beside the picture; on a page that says them anyway, without source and
 * caution. */
static struct noting take_notes(struct arena *arena, const struct answer *answer,
                                const struct section_pair *pair, bool is_embedded)
{
    struct noting noting = {.arena = arena};
    note_unmarked(&noting, pair);
    if (pair->host != NULL && pair->shift_count == 0) {
        note(&noting, TEXT("No piece as a whole moves along the axis."));
    }
    note_gaps(&noting, pair);
    note_missing(&noting, &pair->swapped);
    note_pieces(&noting, pair, is_assumed,
                "Dashed: not recorded, drawn only to close an outline, and not to be "
                "measured");
    note_pieces(&noting, pair, has_symbol,
                "Narrow lines inside are symbols, since no such sizes are recorded");
    note_shapeless(&noting, &pair->swapped);
    note(
        &noting,
        text_format(arena,
                    "To scale from nominal dimensions, with what is chosen at assembly "
                    "put in; counted from the datum of %.*s, outboard to the right. "
                    "The chain line is the axis; shafts, keys, bolts and "
                    "rolling bodies are not hatched.%s",
                    TEXT_ARG(pair->swapped.datum.length > 0 ? pair->swapped.datum
                                                            : TEXT("its first piece")),
                    pair->mark_count > 0 || pair->host == NULL
                        ? " Gaps and marks too narrow to be seen are drawn wider than to "
                          "scale."
                        : ""));
    if (pair->swapped.source.length > 0 && !is_embedded) {
        note(&noting,
             text_format(arena, "Source: %.*s.", TEXT_ARG(pair->swapped.source)));
    }
    if (!is_embedded) {
        note(&noting, answer->caution);
    }
    return noting;
}

/* ---- the whole */

static text title_of(struct arena *arena, const struct answer *answer)
{
    const text changes = render_pairs(arena, answer->changes, answer->change_count);
    return changes.length == 0 ? answer->unit
                               : text_format(arena, "%.*s with %.*s",
                                             TEXT_ARG(answer->unit), TEXT_ARG(changes));
}

static uint32_t subtitles(struct arena *arena, const struct answer *answer,
                          const struct section_pair *pair, text *lines)
{
    uint32_t count = 0;
    if (pair->swapped.title.length > 0) {
        lines[count++] = pair->swapped.title;
    }
    if (pair->host != NULL) {
        const text brought = render_pairs(arena, answer->brought, answer->brought_count);
        lines[count++] =
            text_format(arena, "%s%s%.*s.", verdict_word(answer->verdict),
                        brought.length > 0 ? "; brings " : "", TEXT_ARG(brought));
    }
    return count;
}

static text description_of(struct arena *arena, const struct answer *answer,
                           const struct section_pair *pair)
{
    text all = text_format(
        arena, "Axial half section to scale, %u pieces.",
        pair->swapped.view_count > 0 ? pair->swapped.views[0].piece_count : 0);
    if (pair->host != NULL) {
        all = text_format(arena, "%.*s The unit as it is above, as asked below: %s.",
                          TEXT_ARG(all), verdict_word(answer->verdict));
    }
    for (uint32_t i = 0; i < pair->mark_count; i++) {
        all = text_format(arena, "%.*s %s: %.*s.", TEXT_ARG(all),
                          outcome_word(pair->marks[i].finding->outcome),
                          TEXT_ARG(pair->marks[i].because));
    }
    return all;
}

status render_section_svg(struct writer *writer, const struct answer *answer,
                          bool is_full, const struct svg_manner *manner)
{
    struct section_pair pair;
    struct drawing drawing;
    struct sheet_of_axis sheet;
    text lines[2];
    TRY(section_answer(writer->arena, answer, &pair));
    if (is_full) {
        pair.host = NULL;
        pair.mark_count = 0;
    }
    struct noting noting = take_notes(writer->arena, answer, &pair, manner->is_embedded);
    if (is_full) {
        note(&noting, TEXT("Below the axis the same again, turned about it, without what "
                           "stands at one place round it: bolts, keys, what is put in."));
    }
    const text title = title_of(writer->arena, answer);
    double y = 0;
    drawing_open(&drawing, writer, PAGE_WIDTH);
    if (!manner->is_embedded) {
        y = draw_heading(&drawing, title, lines,
                         subtitles(writer->arena, answer, &pair, lines));
    }
    for (uint32_t i = 0; i < pair.swapped.view_count; i++) {
        y = draw_axis(&drawing, &pair, i, is_full, y, &sheet);
    }
    const struct drawing_words words = {title,
                                        description_of(writer->arena, answer, &pair),
                                        noting.notes.at, noting.notes.count};
    drawing_end(&drawing, manner, y + 6, &words);
    return arena_status(writer->arena);
}
