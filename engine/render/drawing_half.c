/* SPDX-License-Identifier: MIT */
/*
 * One half section. Pieces are drawn from the back to the front, each as its cut face,
 * its hatching and its lines; a line of which nothing is recorded is dashed. Every run's
 * line carries what it is and where it lies in millimetres, so that the picture can be
 * read back.
 */
#include "drawing.h"

#include <math.h>

/* Where question marks stand already. */
struct queries {
    ARRAY_OF(struct page_point) at;
};

#define TINT "#dfe7f1" /* of what was changed; its label says so too */

double half_x(const struct half *half, double x)
{
    return half->zero + x * half->scale;
}

double half_y(const struct half *half, double r)
{
    return half->axis_y - half->way * r * half->scale;
}

/* ---- cut faces */

static void draw_area(struct drawing *drawing, const struct half *half,
                      const struct section_piece *piece, const struct section_area *area)
{
    struct page_point *points =
        ARENA_MANY(drawing->arena, area->count, struct page_point);
    struct svg *svg = &drawing->svg;
    if (points == NULL || area->fill == FILL_NONE) {
        return;
    }
    svg_open(svg, "path");
    svg_path(svg);
    for (uint32_t i = 0; i < area->count; i++) {
        points[i] = (struct page_point){half_x(half, area->points[i].x),
                                        half_y(half, area->points[i].r)};
        if (i == 0) {
            svg_move(svg, points[i].x, points[i].y);
        } else {
            svg_line(svg, points[i].x, points[i].y);
        }
    }
    svg_path_done(svg, true);
    svg_word(svg, "fill", piece->is_changed ? TEXT(TINT) : TEXT("#ffffff"));
    svg_done(svg);
    if (area->fill == FILL_METAL) {
        draw_hatching(drawing, points, area->count, hatch_of(half->hatches, piece->name));
    } else if (area->fill == FILL_RUBBER) {
        draw_hatching(drawing, points, area->count, (struct hatch){45, 3});
        draw_hatching(drawing, points, area->count, (struct hatch){135, 3});
    }
}

/* Round sections are small: rubber is filled, as ISO 128 allows for thin sections. */
static void draw_round(struct drawing *drawing, const struct half *half,
                       const struct section_piece *piece,
                       const struct section_round *round)
{
    struct svg *svg = &drawing->svg;
    svg_open(svg, "ellipse");
    svg_number(svg, "cx", half_x(half, round->middle.x));
    svg_number(svg, "cy", half_y(half, round->middle.r));
    svg_number(svg, "rx", round->half_width * half->scale);
    svg_number(svg, "ry", round->half_height * half->scale);
    svg_word(svg, "fill",
             round->fill == FILL_RUBBER ? TEXT("#3a3a3a")
             : piece->is_changed        ? TEXT(TINT)
                                        : TEXT("#ffffff"));
    if (round->feature.length > 0) {
        svg_word(svg, "data-feature", round->feature);
        svg_length(svg, "data-from", round->middle.x - round->half_width);
        svg_length(svg, "data-to", round->middle.x + round->half_width);
    }
    stroke_with(drawing, round->line == LINE_ASSUMED  ? STROKE_DASHED
                         : round->line == LINE_SYMBOL ? STROKE_NARROW
                                                      : STROKE_WIDE);
    svg_done(svg);
}

/* ---- lines */

static enum stroke stroke_of(enum section_line line)
{
    switch (line) {
    case LINE_RECORDED:
        return STROKE_WIDE;
    case LINE_ASSUMED:
        return STROKE_DASHED;
    case LINE_PITCH:
        return STROKE_CHAIN;
    case LINE_ROOT:
    case LINE_SYMBOL:
        break;
    }
    return STROKE_NARROW;
}

static void say_feature(struct svg *svg, const struct section_piece *piece, text name)
{
    for (uint32_t i = 0; i < piece->feature_count; i++) {
        const struct section_feature *feature = &piece->features[i];
        if (feature->kind == FEATURE_RUN && text_equal(feature->name, name)) {
            svg_word(svg, "data-feature", name);
            svg_length(svg, "data-from", feature->from);
            svg_length(svg, "data-to", feature->to);
        }
    }
}

static void draw_edge(struct drawing *drawing, const struct half *half,
                      const struct section_piece *piece, const struct section_edge *edge)
{
    struct svg *svg = &drawing->svg;
    svg_open(svg, "path");
    svg_path(svg);
    svg_move(svg, half_x(half, edge->from.x), half_y(half, edge->from.r));
    svg_line(svg, half_x(half, edge->to.x), half_y(half, edge->to.r));
    svg_path_done(svg, false);
    if (edge->feature.length > 0) {
        say_feature(svg, piece, edge->feature);
    }
    stroke_with(drawing, stroke_of(edge->line));
    svg_done(svg);
}

/* A dimension that nobody recorded: a broken line across, and a question mark; one for
 * those that are missing side by side. */
static void draw_unknown(struct drawing *drawing, const struct half *half,
                         const struct section_piece *piece,
                         const struct section_unknown *unknown, struct queries *said)
{
    const double r = isnan(unknown->at.r) ? piece->high : unknown->at.r;
    const double x = half_x(half, unknown->at.x);
    const double y = half_y(half, r);
    const double way = half->way;
    bool is_said = false;
    if (!isfinite(x) || !isfinite(y)) {
        return;
    }
    svg_open(&drawing->svg, "path");
    svg_path(&drawing->svg);
    svg_move(&drawing->svg, x, y - way * 5);
    svg_line(&drawing->svg, x, y + way * 6);
    svg_line(&drawing->svg, x - 4, y + way * 9);
    svg_line(&drawing->svg, x + 4, y + way * 13);
    svg_line(&drawing->svg, x, y + way * 16);
    svg_line(&drawing->svg, x, y + way * 26);
    svg_path_done(&drawing->svg, false);
    svg_word(&drawing->svg, "data-missing",
             text_format(drawing->arena, "%.*s.%.*s", TEXT_ARG(piece->name),
                         TEXT_ARG(unknown->dimension)));
    stroke_with(drawing, STROKE_NARROW);
    svg_done(&drawing->svg);
    for (uint32_t i = 0; i < said->at.count; i++) {
        is_said = is_said ||
                  (fabs(said->at.at[i].x - x) < 14 && fabs(said->at.at[i].y - y) < 20);
    }
    if (!is_said && ARRAY_PUSH(drawing->arena, &said->at, ((struct page_point){x, y}))) {
        draw_words(drawing, x + 7, y + way * 18 + 5,
                   (struct lettering){15, ANCHOR_START, true, false}, TEXT("?"));
    }
}

static void draw_piece(struct drawing *drawing, const struct half *half,
                       const struct section_piece *piece)
{
    struct svg *svg = &drawing->svg;
    svg_open(svg, "g");
    svg_word(svg, "data-piece", piece->name);
    svg_word(svg, "data-part", piece->part);
    if (piece->is_changed) {
        svg_word(svg, "data-changed", TEXT("true"));
    }
    svg_into(svg);
    svg_open(svg, "title");
    svg_into(svg);
    svg_say(svg, text_format(drawing->arena, "%.*s: %.*s%s%.*s", TEXT_ARG(piece->name),
                             TEXT_ARG(piece->part), piece->title.length > 0 ? ", " : "",
                             TEXT_ARG(piece->title)));
    svg_close(svg, "title");
    for (uint32_t i = 0; i < piece->area_count; i++) {
        draw_area(drawing, half, piece, &piece->areas[i]);
    }
    for (uint32_t i = 0; i < piece->edge_count; i++) {
        draw_edge(drawing, half, piece, &piece->edges[i]);
    }
    for (uint32_t i = 0; i < piece->round_count; i++) {
        draw_round(drawing, half, piece, &piece->rounds[i]);
    }
    svg_close(svg, "g");
}

/* Bolts and what is put in are drawn where they are; on the other side there may be none.
 */
static bool is_there(const struct half *half, const struct section_piece *piece)
{
    return !half->is_other_side || (piece->as != DRAWN_KEY && piece->as != DRAWN_BOLTS &&
                                    piece->as != DRAWN_ACROSS);
}

void draw_half(struct drawing *drawing, const struct half *half)
{
    struct svg *svg = &drawing->svg;
    const struct section_view *view = half->view;
    struct queries said = {0};
    svg_open(svg, "g");
    svg_word(svg, "data-unit", half->name);
    svg_word(svg, "data-axis", view->axis);
    svg_number(svg, "data-axis-y", half->axis_y);
    svg_length(svg, "data-zero", half->zero);
    svg_length(svg, "data-scale", half->scale);
    svg_number(svg, "data-way", half->way);
    svg_into(svg);
    for (uint32_t i = 0; i < view->piece_count; i++) {
        if (is_there(half, &view->pieces[i])) {
            draw_piece(drawing, half, &view->pieces[i]);
        }
    }
    for (uint32_t i = 0; i < view->piece_count; i++) {
        for (uint32_t k = 0; !half->is_other_side && k < view->pieces[i].unknown_count;
             k++) {
            draw_unknown(drawing, half, &view->pieces[i], &view->pieces[i].unknowns[k],
                         &said);
        }
    }
    draw_line(drawing, half_x(half, view->from) - 16, half->axis_y,
              half_x(half, view->to) + 16, half->axis_y, STROKE_CHAIN);
    svg_close(svg, "g");
}

/* ---- names along a shaft */

/* Whether a run is long enough for its name. */
static bool is_long(const struct half *half, const struct section_feature *run)
{
    return run->kind == FEATURE_RUN && !run->is_bore && !isnan(run->r) &&
           !isnan(run->from) && !isnan(run->to) && !text_is(run->says, "groove") &&
           !text_is(run->says, "keyway") &&
           words_width(run->name, RUN_LETTER) + 10 < (run->to - run->from) * half->scale;
}

/* The least radius of the runs that are long enough: all names stand on one line. */
static double name_height(const struct half *half, const struct section_piece *shaft)
{
    double least = INFINITY;
    for (uint32_t i = 0; shaft->as == DRAWN_SOLID && i < shaft->feature_count; i++) {
        if (is_long(half, &shaft->features[i])) {
            least = fmin(least, shaft->features[i].r);
        }
    }
    return isfinite(least) ? least : 0;
}

bool has_run_name(const struct half *half, const struct section_piece *shaft,
                  const struct section_feature *run)
{
    return is_long(half, run) && name_height(half, shaft) * half->scale > 24;
}

void draw_run_names(struct drawing *drawing, const struct half *half)
{
    for (uint32_t i = 0; i < half->view->piece_count; i++) {
        const struct section_piece *shaft = &half->view->pieces[i];
        const double y = half_y(half, name_height(half, shaft) * 0.4) + 3;
        for (uint32_t k = 0; shaft->as == DRAWN_SOLID && k < shaft->feature_count; k++) {
            const struct section_feature *run = &shaft->features[k];
            if (has_run_name(half, shaft, run)) {
                draw_words(drawing, half_x(half, (run->from + run->to) / 2), y,
                           (struct lettering){RUN_LETTER, ANCHOR_MIDDLE, false, false},
                           run->name);
            }
        }
    }
}

/* ---- where a leader ends */

struct extent {
    double low;
    double high; /* NAN: it is not there */
};

static void reach(struct extent *extent, double r)
{
    if (isnan(extent->high) || r > extent->high) {
        extent->low = isnan(extent->high) ? r : extent->high;
        extent->high = r;
    } else if (r > extent->low || extent->low == extent->high) {
        extent->low = r;
    }
}

/* The outermost stretch of a piece at x. */
static struct extent extent_at(const struct section_piece *piece, double x)
{
    struct extent extent = {NAN, NAN};
    for (uint32_t i = 0; i < piece->area_count; i++) {
        const struct section_area *area = &piece->areas[i];
        for (uint32_t k = 0; k < area->count; k++) {
            const struct section_point a = area->points[k];
            const struct section_point b = area->points[(k + 1) % area->count];
            if ((a.x < x) != (b.x < x)) {
                reach(&extent, a.r + (x - a.x) / (b.x - a.x) * (b.r - a.r));
            }
        }
    }
    for (uint32_t i = 0; i < piece->round_count; i++) {
        const struct section_round *round = &piece->rounds[i];
        if (fabs(x - round->middle.x) < round->half_width / 2 && isnan(extent.high)) {
            reach(&extent, round->middle.r + round->half_height / 2);
            reach(&extent, round->middle.r - round->half_height / 2);
        }
    }
    return extent;
}

/* What lies on the way to a point: pieces outside of it, and much worse, pieces drawn
 * over it. */
static double hindrance(const struct half *half, uint32_t piece, double x, double r)
{
    double all = 0;
    for (uint32_t i = 0; i < half->view->piece_count; i++) {
        const struct extent other = extent_at(&half->view->pieces[i], x);
        if (i == piece || isnan(other.high)) {
            continue;
        }
        all += other.high > r ? 1 : 0;
        all += i > piece && other.low <= r && r <= other.high ? 20 : 0;
    }
    return all;
}

struct page_point half_anchor(const struct half *half, uint32_t piece)
{
    enum {
        SAMPLES = 41
    };
    const struct section_piece *of = &half->view->pieces[piece];
    struct section_point best = {(of->from + of->to) / 2, (of->low + of->high) / 2};
    double least = INFINITY;
    for (int i = 0; i < SAMPLES; i++) {
        const double share = (i + 0.5) / SAMPLES;
        const double x = of->from + share * (of->to - of->from);
        const struct extent own = extent_at(of, x);
        const double r = own.high - fmin(0.45 * (own.high - own.low), 7 / half->scale);
        const double worth = hindrance(half, piece, x, r) + fabs(share - 0.5);
        if (!isnan(own.high) && worth < least) {
            least = worth;
            best = (struct section_point){x, r};
        }
    }
    return (struct page_point){half_x(half, best.x), half_y(half, best.r)};
}
