/* SPDX-License-Identifier: MIT */
/*
 * Hatching. Each cut piece has one direction and spacing wherever it is shown; pieces
 * whose boxes meet get different ones, taken in turn from a short list (ISO 128: by
 * direction first, then by spacing). Lines are clipped to the outline here, so that no
 * viewer has to know patterns.
 */
#include "drawing.h"

#include <math.h>
#include <stdlib.h>

static const struct hatch manners[] = {{45, 7},   {135, 7},   {45, 4.4}, {135, 4.4},
                                       {60, 5.6}, {120, 5.6}, {30, 8.5}, {150, 8.5}};
#define MANNERS (sizeof manners / sizeof *manners)

struct planning {
    struct arena *arena;
    ARRAY_OF(text) names;
    ARRAY_OF(struct hatch) hatches;
};

static bool meet(const struct section_piece *a, const struct section_piece *b)
{
    return a->from <= b->to + 0.5 && b->from <= a->to + 0.5 && a->low <= b->high + 0.5 &&
           b->low <= a->high + 0.5;
}

static int manner_of(const struct planning *planning, text name)
{
    for (uint32_t i = 0; i < planning->hatches.count; i++) {
        if (text_equal(planning->names.at[i], name)) {
            for (size_t k = 0; k < MANNERS; k++) {
                if (planning->hatches.at[i].degrees == manners[k].degrees &&
                    planning->hatches.at[i].spacing == manners[k].spacing) {
                    return (int)k;
                }
            }
        }
    }
    return -1;
}

static void forbid(const struct planning *planning, const struct section_view *view,
                   text name, bool *taken)
{
    for (uint32_t i = 0; view != NULL && i < view->piece_count; i++) {
        for (uint32_t k = 0; k < view->piece_count; k++) {
            if (text_equal(view->pieces[i].name, name) && i != k &&
                meet(&view->pieces[i], &view->pieces[k])) {
                const int manner = manner_of(planning, view->pieces[k].name);
                if (manner >= 0) {
                    taken[manner] = true;
                }
            }
        }
    }
}

static void plan_view(struct planning *planning, const struct section_view *of,
                      const struct section_view *a, const struct section_view *b)
{
    for (uint32_t i = 0; of != NULL && i < of->piece_count; i++) {
        const text name = of->pieces[i].name;
        bool taken[MANNERS] = {false};
        size_t free = 0;
        if (of->pieces[i].fill != FILL_METAL || manner_of(planning, name) >= 0) {
            continue;
        }
        forbid(planning, a, name, taken);
        forbid(planning, b, name, taken);
        while (free + 1 < MANNERS && taken[free]) {
            free++;
        }
        if (ARRAY_PUSH(planning->arena, &planning->names, name)) {
            (void)ARRAY_PUSH(planning->arena, &planning->hatches, manners[free]);
        }
    }
}

struct hatch_plan hatch_plan_make(struct arena *arena, const struct section_view *a,
                                  const struct section_view *b)
{
    struct planning planning = {.arena = arena};
    plan_view(&planning, a, a, b);
    plan_view(&planning, b, a, b);
    return (struct hatch_plan){planning.names.at, planning.hatches.at,
                               planning.hatches.count};
}

struct hatch hatch_of(const struct hatch_plan *plan, text piece)
{
    for (uint32_t i = 0; i < plan->count; i++) {
        if (text_equal(plan->names[i], piece)) {
            return plan->hatches[i];
        }
    }
    return manners[0];
}

static int compare_numbers(const void *a, const void *b)
{
    const double left = *(const double *)a;
    const double right = *(const double *)b;
    return (left > right) - (left < right);
}

/* Where one line meets the outline, along it, in order. */
static uint32_t crossings(const struct page_point *points, uint32_t count, double across,
                          double cosine, double sine, double *out)
{
    uint32_t found = 0;
    for (uint32_t i = 0; i < count; i++) {
        const struct page_point a = points[i];
        const struct page_point b = points[(i + 1) % count];
        const double at_a = -a.x * sine + a.y * cosine - across;
        const double at_b = -b.x * sine + b.y * cosine - across;
        if ((at_a < 0) != (at_b < 0)) {
            const double share = at_a / (at_a - at_b);
            out[found++] =
                (a.x + share * (b.x - a.x)) * cosine + (a.y + share * (b.y - a.y)) * sine;
        }
    }
    if (found > 1) {
        qsort(out, found, sizeof *out, compare_numbers);
    }
    return found;
}

void draw_hatching(struct drawing *drawing, const struct page_point *points,
                   uint32_t count, struct hatch hatch)
{
    const double angle = -hatch.degrees * acos(-1) / 180;
    const double cosine = cos(angle);
    const double sine = sin(angle);
    double low = INFINITY;
    double high = -INFINITY;
    double *meets = ARENA_MANY(drawing->arena, count, double);
    for (uint32_t i = 0; i < count; i++) {
        const double across = -points[i].x * sine + points[i].y * cosine;
        low = fmin(low, across);
        high = fmax(high, across);
    }
    if (meets == NULL || !(high - low < 1e5)) {
        return;
    }
    svg_open(&drawing->svg, "path");
    svg_path(&drawing->svg);
    for (double at = (floor(low / hatch.spacing) + 0.5) * hatch.spacing; at < high;
         at += hatch.spacing) {
        const uint32_t found = crossings(points, count, at, cosine, sine, meets);
        for (uint32_t i = 0; i + 1 < found; i += 2) {
            svg_move(&drawing->svg, meets[i] * cosine - at * sine,
                     meets[i] * sine + at * cosine);
            svg_line(&drawing->svg, meets[i + 1] * cosine - at * sine,
                     meets[i + 1] * sine + at * cosine);
        }
    }
    svg_path_done(&drawing->svg, false);
    svg_word(&drawing->svg, "stroke", TEXT("#1a1a1a"));
    svg_word(&drawing->svg, "stroke-width", TEXT("0.55"));
    svg_done(&drawing->svg);
}
