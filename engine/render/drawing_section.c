/* SPDX-License-Identifier: MIT */
/* What stands beside half sections: the names of pieces, what decided, shifts and gaps.
 */
#include "drawing_section.h"

#include <math.h>
#include <stdlib.h>

/* How far leaders that stand upright come aslant from under their labels. */
#define LEADER_BEND 20.0

/* ---- labels of pieces */

struct piece_label {
    struct label label;
    uint32_t piece;
    text words;
    bool is_bold;
};

static int compare_labels(const void *a, const void *b)
{
    const struct piece_label *left = a;
    const struct piece_label *right = b;
    return left->label.to_x < right->label.to_x ? -1
           : left->label.to_x > right->label.to_x
               ? 1
               : text_compare(left->words, right->words);
}

/* Places labels over the width of the page, each the first member of something `stride`
 * bytes long; gives how many rows they take. */
static uint32_t place_over_page(struct arena *arena, void *labels, size_t stride,
                                uint32_t count, double width)
{
    struct label **each = ARENA_MANY(arena, count, struct label *);
    for (uint32_t i = 0; each != NULL && i < count; i++) {
        each[i] = (void *)((char *)labels + i * stride);
    }
    return each == NULL ? 0
                        : labels_place_each(arena, each, count, PAGE_MARGIN / 2,
                                            width - PAGE_MARGIN / 2);
}

void labelling_place(struct arena *arena, struct labelling *all, double width)
{
    all->rows =
        place_over_page(arena, all->labels, sizeof *all->labels, all->count, width);
}

struct labelling label_pieces(struct arena *arena, const struct half *half)
{
    struct labelling all = {.count = half->view->piece_count};
    struct piece_label *labels = ARENA_MANY(arena, all.count, struct piece_label);
    for (uint32_t i = 0; labels != NULL && i < all.count; i++) {
        const struct section_piece *piece = &half->view->pieces[i];
        labels[i].piece = i;
        labels[i].is_bold = piece->is_changed;
        labels[i].words = piece->is_changed
                              ? text_format(arena, "%.*s = %.*s (new)",
                                            TEXT_ARG(piece->name), TEXT_ARG(piece->part))
                              : piece->name;
        labels[i].label.to_x = half_anchor(half, i).x;
        labels[i].label.width = words_width(labels[i].words, LETTER);
    }
    if (labels != NULL && all.count > 1) {
        qsort(labels, all.count, sizeof *labels, compare_labels);
    }
    all.labels = labels;
    all.count = labels == NULL ? 0 : all.count;
    return all;
}

/* Leaders from `edge` into the half; NULL: no memory. */
static struct leader *lead_labels(struct arena *arena, const struct half *half,
                                  const struct labelling *all, double edge, double bend)
{
    struct leader *leaders = ARENA_MANY(arena, all->count, struct leader);
    for (uint32_t i = 0; leaders != NULL && i < all->count; i++) {
        leaders[i] = (struct leader){.foot = {all->labels[i].label.x, edge},
                                     .to = half_anchor(half, all->labels[i].piece)};
    }
    if (leaders != NULL) {
        leaders_part(leaders, all->count, bend);
    }
    return leaders;
}

/* Rows from `edge` away from the half. */
void draw_labels(struct drawing *drawing, const struct half *half,
                 const struct labelling *all, double edge)
{
    const double bend = edge + half->way * LEADER_BEND;
    const struct leader *leaders = lead_labels(drawing->arena, half, all, edge, bend);
    for (uint32_t i = 0; leaders != NULL && i < all->count; i++) {
        const struct piece_label *one = &all->labels[i];
        const double row = edge - half->way * ROW * (double)(one->label.row + 1);
        const double foot = half->way > 0 ? row + 4 : row - LETTER - 1;
        svg_open(&drawing->svg, "path");
        svg_path(&drawing->svg);
        svg_move(&drawing->svg, one->label.x, foot + (half->way > 0 ? 0 : 4));
        leader_path(drawing, &leaders[i], bend);
        svg_path_done(&drawing->svg, false);
        svg_word(&drawing->svg, "data-leader", half->view->pieces[one->piece].name);
        stroke_with(drawing, STROKE_NARROW);
        svg_done(&drawing->svg);
        draw_dot(drawing, leaders[i].to.x, leaders[i].to.y);
        draw_words(drawing, one->label.x, row,
                   (struct lettering){LETTER, ANCHOR_MIDDLE, one->is_bold, false},
                   one->words);
    }
}

/* ---- runs of shafts */

#define RUN_EDGE 12.0 /* from the axis to where leaders bend */

static int compare_runs(const void *a, const void *b)
{
    const struct run_label *left = a;
    const struct run_label *right = b;
    return left->label.to_x < right->label.to_x ? -1
           : left->label.to_x > right->label.to_x
               ? 1
               : text_compare(left->words, right->words);
}

/* Runs whose names have no room inside their shaft. */
static void gather_runs(struct arena *arena, const struct half *half,
                        const struct section_piece *piece, struct run_labels *all)
{
    for (uint32_t i = 0; piece->as == DRAWN_SOLID && i < piece->feature_count; i++) {
        const struct section_feature *run = &piece->features[i];
        const double middle = (run->from + run->to) / 2;
        if (run->kind != FEATURE_RUN || run->is_bore || isnan(middle) ||
            has_run_name(half, piece, run)) {
            continue;
        }
        struct run_label one = {.words = run->name};
        one.to.x = half_x(half, middle);
        one.to.y = half_y(half, (isnan(run->r) ? piece->high : run->r)) + 4;
        one.label.to_x = one.to.x;
        one.label.width = words_width(one.words, RUN_LETTER);
        (void)ARRAY_PUSH(arena, &all->runs, one);
    }
}

struct run_labels label_runs(struct drawing *drawing, const struct half *half)
{
    struct run_labels all = {0};
    for (uint32_t i = 0; i < half->view->piece_count; i++) {
        gather_runs(drawing->arena, half, &half->view->pieces[i], &all);
    }
    struct label **each = ARENA_MANY(drawing->arena, all.runs.count, struct label *);
    if (each == NULL || all.runs.count == 0) {
        return (struct run_labels){0};
    }
    qsort(all.runs.at, all.runs.count, sizeof *all.runs.at, compare_runs);
    for (uint32_t i = 0; i < all.runs.count; i++) {
        each[i] = &all.runs.at[i].label;
    }
    all.rows = labels_place_each(drawing->arena, each, all.runs.count, PAGE_MARGIN / 2,
                                 drawing->width - PAGE_MARGIN / 2);
    return all;
}

double run_labels_height(const struct run_labels *all)
{
    return all->runs.count == 0 ? 0 : RUN_EDGE + ROW * (double)all->rows;
}

void draw_run_labels(struct drawing *drawing, const struct run_labels *all, double y)
{
    const double edge = y + RUN_EDGE;
    for (uint32_t i = 0; i < all->runs.count; i++) {
        const struct run_label *one = &all->runs.at[i];
        const double base = edge + ROW * (double)(one->label.row + 1) - 4;
        svg_open(&drawing->svg, "path");
        svg_path(&drawing->svg);
        svg_move(&drawing->svg, one->label.x, base - RUN_LETTER + 1);
        svg_line(&drawing->svg, one->label.x, edge);
        svg_line(&drawing->svg, one->to.x, one->to.y);
        svg_path_done(&drawing->svg, false);
        svg_word(&drawing->svg, "data-run", one->words);
        stroke_with(drawing, STROKE_NARROW);
        svg_done(&drawing->svg);
        draw_arrow(drawing, one->to.x, one->to.y - 4, one->label.x, edge, STROKE_NARROW);
        draw_words(drawing, one->label.x, base,
                   (struct lettering){RUN_LETTER, ANCHOR_MIDDLE, false, false},
                   one->words);
    }
}

/* ---- what decided */

#define BOX_WIDTH 300.0
#define BOX_ROW   15.0
/* Half of what a mark measures along the axis at least. */
#define LEAST_HALF 5.0

struct mark_label {
    struct label label;
    const struct section_mark *mark;
    text head; /* "fails: o-ring-needs-a-land" */
    const text *lines;
    uint32_t line_count;
};

static int compare_marks(const void *a, const void *b)
{
    const struct mark_label *left = a;
    const struct mark_label *right = b;
    return left->label.to_x < right->label.to_x ? -1
           : left->label.to_x > right->label.to_x
               ? 1
               : text_compare(left->mark->because, right->mark->because);
}

struct marking label_marks(struct arena *arena, const struct section_pair *pair,
                           const struct half *half)
{
    struct marking all = {0};
    struct mark_label *labels = ARENA_MANY(arena, pair->mark_count, struct mark_label);
    for (uint32_t i = 0; labels != NULL && i < pair->mark_count; i++) {
        const struct section_mark *mark = &pair->marks[i];
        if (!mark->is_placed) {
            continue;
        }
        struct mark_label *one = &labels[all.count++];
        one->mark = mark;
        one->line_count =
            words_break(arena, mark->because, LETTER, BOX_WIDTH, &one->lines);
        one->head = text_format(
            arena, "%s: %.*s%s%s", outcome_word(mark->finding->outcome),
            TEXT_ARG(mark->finding->name), mark->is_clash ? ", clash" : "",
            (mark->to - mark->from) * half->scale < 2 * LEAST_HALF ? ", drawn wider"
                                                                   : "");
        one->label.width = words_width(one->head, LETTER) + 10;
        one->label.to_x = half_x(half, (mark->from + mark->to) / 2);
        for (uint32_t k = 0; k < one->line_count; k++) {
            one->label.width =
                fmax(one->label.width, words_width(one->lines[k], LETTER) + 10);
        }
        all.lines = one->line_count + 1 > all.lines ? one->line_count + 1 : all.lines;
    }
    if (labels != NULL && all.count > 1) {
        qsort(labels, all.count, sizeof *labels, compare_marks);
    }
    all.labels = labels;
    return all;
}

void marking_place(struct arena *arena, struct marking *all, double width)
{
    all->rows =
        place_over_page(arena, all->labels, sizeof *all->labels, all->count, width);
}

double marks_height(const struct marking *all)
{
    return all->count == 0 ? 0 : all->rows * (all->lines * BOX_ROW + 10);
}

/* A frame around what decided, no smaller than can be seen; what is not known is dashed.
 */
static struct page_point draw_frame(struct drawing *drawing, const struct half *half,
                                    const struct section_mark *mark, double toward)
{
    const double middle = half_x(half, (mark->from + mark->to) / 2);
    const double wide = fmax((mark->to - mark->from) * half->scale / 2, LEAST_HALF);
    const double low = half_y(half, mark->low);
    const double high = half_y(half, mark->high);
    const double top = fmin(fmin(low, high), (low + high) / 2 - 5) - 2;
    const double bottom = fmax(fmax(low, high), (low + high) / 2 + 5) + 2;
    if (mark->is_clash) {
        const struct page_point corners[] = {{middle - wide, top},
                                             {middle + wide, top},
                                             {middle + wide, bottom},
                                             {middle - wide, bottom}};
        draw_hatching(drawing, corners, 4, (struct hatch){60, 2.4});
        draw_hatching(drawing, corners, 4, (struct hatch){120, 2.4});
    }
    svg_open(&drawing->svg, "rect");
    svg_number(&drawing->svg, "x", middle - wide);
    svg_number(&drawing->svg, "y", top);
    svg_number(&drawing->svg, "width", 2 * wide);
    svg_number(&drawing->svg, "height", bottom - top);
    svg_word(&drawing->svg, "data-mark", mark->finding->name);
    svg_length(&drawing->svg, "data-from", mark->from);
    svg_length(&drawing->svg, "data-to", mark->to);
    stroke_with(drawing, mark->finding->outcome == OUTCOME_FAILS ? STROKE_MARK
                                                                 : STROKE_MARK_DASHED);
    svg_done(&drawing->svg);
    return (struct page_point){middle,
                               fabs(toward - top) < fabs(toward - bottom) ? top : bottom};
}

/* Boxes in rows from `edge` away from the half, which lies on the other side of it. */
void draw_marks(struct drawing *drawing, const struct half *half,
                const struct marking *all, double edge)
{
    const double row_height = all->lines * BOX_ROW + 10;
    for (uint32_t i = 0; i < all->count; i++) {
        const struct mark_label *one = &all->labels[i];
        const struct page_point to = draw_frame(drawing, half, one->mark, edge);
        const double near_edge = edge + half->way * row_height * (double)one->label.row;
        const double height = (one->line_count + 1) * BOX_ROW + 4;
        const double top = half->way > 0 ? near_edge : near_edge - height;
        const double left = one->label.x - one->label.width / 2;
        const double foot = half->way > 0 ? top : top + height;
        draw_line(drawing, one->label.x, foot, one->label.x, edge, STROKE_NARROW);
        draw_line(drawing, one->label.x, edge, to.x, to.y, STROKE_NARROW);
        draw_arrow(drawing, to.x, to.y, one->label.x, edge, STROKE_MARK);
        svg_open(&drawing->svg, "rect");
        svg_number(&drawing->svg, "x", left);
        svg_number(&drawing->svg, "y", top);
        svg_number(&drawing->svg, "width", one->label.width);
        svg_number(&drawing->svg, "height", height);
        svg_word(&drawing->svg, "fill", TEXT("#ffffff"));
        stroke_with(drawing, STROKE_NARROW);
        svg_done(&drawing->svg);
        draw_words(drawing, left + 5, top + BOX_ROW - 2,
                   (struct lettering){LETTER, ANCHOR_START, true, true}, one->head);
        for (uint32_t k = 0; k < one->line_count; k++) {
            draw_words(drawing, left + 5, top + BOX_ROW * (k + 2) - 2,
                       (struct lettering){LETTER, ANCHOR_START, false, false},
                       one->lines[k]);
        }
    }
}

/* ---- shifts and gaps */

static text length_words(struct arena *arena, const struct form *form)
{
    double nominal = NAN;
    return form != NULL && form_nominal(form, &nominal)
               ? magnitude_write(arena, form->dim, nominal, -1)
               : TEXT("not known");
}

static bool is_bound(const struct form *want, bool is_least)
{
    return want != NULL && !form_misses(want) &&
           isfinite(is_least ? want->least : want->greatest);
}

/* ", wanted 50 um to 0.6 mm" */
static text want_words(struct arena *arena, const struct section_gap *gap)
{
    const text least = length_words(arena, gap->want_least);
    const text greatest = length_words(arena, gap->want_greatest);
    return is_bound(gap->want_least, true)
               ? (is_bound(gap->want_greatest, false)
                      ? text_format(arena, ", wanted %.*s to %.*s", TEXT_ARG(least),
                                    TEXT_ARG(greatest))
                      : text_format(arena, ", wanted at least %.*s", TEXT_ARG(least)))
           : is_bound(gap->want_greatest, false)
               ? text_format(arena, ", wanted at most %.*s", TEXT_ARG(greatest))
               : TEXT("");
}

text gap_words(struct arena *arena, const struct section_gap *gap,
               const struct form *before)
{
    const text size = length_words(arena, gap->size);
    text all = text_format(arena, "%.*s: %.*s", TEXT_ARG(gap->name), TEXT_ARG(size));
    if (before != NULL) {
        all = text_format(arena, "%.*s: %.*s, now %.*s", TEXT_ARG(gap->name),
                          TEXT_ARG(length_words(arena, before)), TEXT_ARG(size));
    }
    return text_format(arena, "%.*s%.*s", TEXT_ARG(all),
                       TEXT_ARG(want_words(arena, gap)));
}

static text shift_words(struct arena *arena, const struct section_shift *shift)
{
    double by = 0;
    (void)form_nominal(shift->by, &by);
    return text_format(arena, "%.*s: %.*s %s", TEXT_ARG(shift->pieces),
                       TEXT_ARG(magnitude_write(arena, shift->by->dim, fabs(by), -1)),
                       by > 0 ? "outboard" : "inboard");
}

/* A row each, the rightmost first, so that no extension line meets words of another. */
double draw_shifts(struct drawing *drawing, const struct section_pair *pair,
                   const struct half *host, const struct half *swapped, double y)
{
    for (uint32_t i = pair->shift_count; i-- > 0;) {
        const struct section_shift *shift = &pair->shifts[i];
        const double from = half_x(host, shift->from.x);
        const double to = half_x(swapped, shift->to.x);
        y += ROW + 4;
        draw_line(drawing, from, host->axis_y + 3, from, y + 5, STROKE_NARROW);
        draw_line(drawing, to, swapped->axis_y - 3, to, y - 5, STROKE_NARROW);
        svg_open(&drawing->svg, "g");
        svg_word(&drawing->svg, "data-shift", shift->pieces);
        svg_length(&drawing->svg, "data-from", shift->from.x);
        svg_length(&drawing->svg, "data-to", shift->to.x);
        svg_into(&drawing->svg);
        draw_dimension(drawing, from, to, y, shift_words(drawing->arena, shift));
        svg_close(&drawing->svg, "g");
    }
    return y;
}

/* Gaps that are too small to be seen on the page have their ends drawn apart. */
bool is_exaggerated(const struct half *half, const struct section_gap *gap)
{
    return fabs(gap->to.x - gap->from.x) * half->scale < 4;
}

double draw_gaps(struct drawing *drawing, const struct half *half, double y)
{
    const struct section_view *view = half->view;
    for (uint32_t i = 0; i < view->gap_count; i++) {
        const struct section_gap *gap = &view->gaps[i];
        const double middle = half_x(half, (gap->from.x + gap->to.x) / 2);
        const bool is_clash = gap->to.x < gap->from.x;
        const double wide = is_exaggerated(half, gap)
                                ? 3
                                : fabs(gap->to.x - gap->from.x) * half->scale / 2;
        const double from = middle + (is_clash ? wide : -wide);
        const double to = middle - (is_clash ? wide : -wide);
        y += ROW + 4;
        draw_line(drawing, from, half->axis_y, from, y + 5, STROKE_NARROW);
        draw_line(drawing, to, half->axis_y, to, y + 5, STROKE_NARROW);
        svg_open(&drawing->svg, "g");
        svg_word(&drawing->svg, "data-gap", gap->name);
        svg_length(&drawing->svg, "data-from", gap->from.x);
        svg_length(&drawing->svg, "data-to", gap->to.x);
        svg_into(&drawing->svg);
        draw_dimension(drawing, from, to, y,
                       text_format(drawing->arena, "%.*s%s",
                                   TEXT_ARG(gap_words(drawing->arena, gap, NULL)),
                                   is_exaggerated(half, gap) ? " (drawn wider)" : ""));
        svg_close(&drawing->svg, "g");
    }
    return y;
}
