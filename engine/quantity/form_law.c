/* SPDX-License-Identifier: MIT */
/*
 * A law of several quantities, worked out over a box: the range from its corners, the
 * linear part from its slopes at the nominals, and the rest enclosed by how far the
 * slopes change over the box (mean value theorem along each axis). What two laws share
 * then still cancels to first order.
 */
#include "form_private.h"

#include <string.h>

struct box {
    uint32_t count;
    double at[FORM_LAW_ARGUMENTS]; /* the nominals */
    struct interval side[FORM_LAW_ARGUMENTS];
};

/* A hair for what differences of doubles leave out of a slope. */
static const double slope_slack = 1e-6;

static void corner(const struct box *box, uint32_t which, double *out)
{
    for (uint32_t i = 0; i < box->count; i++) {
        out[i] = (which >> i & 1u) != 0 ? box->side[i].high : box->side[i].low;
    }
}

/* false: the law says nothing at some corner. */
static bool image_of(const struct form_law *law, const struct box *box,
                     struct interval *out)
{
    double x[FORM_LAW_ARGUMENTS];
    *out = (struct interval){INFINITY, -INFINITY};
    for (uint32_t which = 0; which < 1u << box->count; which++) {
        corner(box, which, x);
        const double value = law->value(x);
        if (isnan(value)) {
            return false;
        }
        out->low = fmin(out->low, value);
        out->high = fmax(out->high, value);
    }
    return true;
}

/* The partial derivative at x, by a central difference. */
static double slope_at(const struct form_law *law, const double *x, uint32_t count,
                       uint32_t i)
{
    double moved[FORM_LAW_ARGUMENTS];
    for (uint32_t k = 0; k < count; k++) {
        moved[k] = x[k];
    }
    const double step = x[i] == 0.0 ? 1e-6 : fabs(x[i]) * 1e-5;
    moved[i] = x[i] + step;
    const double above = law->value(moved);
    const double up = moved[i];
    moved[i] = x[i] - step;
    return (above - law->value(moved)) / (up - moved[i]);
}

struct line {
    double at; /* the law at the nominals, or 0 where there is no line */
    double slopes[FORM_LAW_ARGUMENTS];
    struct interval beside; /* what the law leaves beside the line */
};

/* By how much the slope along one axis changes over the box. */
static struct interval change_of(const struct form_law *law, const struct box *box,
                                 double slope, uint32_t i)
{
    double x[FORM_LAW_ARGUMENTS];
    const double slack = fabs(slope) * slope_slack;
    struct interval change = {-slack, slack};
    for (uint32_t which = 0; which < 1u << box->count; which++) {
        corner(box, which, x);
        const double by = slope_at(law, x, box->count, i) - slope;
        change.low = fmin(change.low, by - slack);
        change.high = fmax(change.high, by + slack);
    }
    return change;
}

/* false: there is no line, because some slope has no number. */
static bool line_of(const struct form_law *law, const struct box *box, struct line *out)
{
    struct line line = {.at = law->value(box->at)};
    for (uint32_t i = 0; i < box->count; i++) {
        const struct interval away = {box->side[i].low - box->at[i],
                                      box->side[i].high - box->at[i]};
        if (away.low == 0.0 && away.high == 0.0) {
            continue; /* exact: nothing hangs on its slope */
        }
        line.slopes[i] = slope_at(law, box->at, box->count, i);
        line.beside = interval_add(
            line.beside, interval_multiply(change_of(law, box, line.slopes[i], i), away));
        if (!isfinite(line.slopes[i])) {
            return false;
        }
    }
    if (!isfinite(line.at) || !isfinite(line.beside.low) || !isfinite(line.beside.high)) {
        return false;
    }
    *out = line;
    return true;
}

/* false: nothing has a nominal to draw a line at. */
static bool box_of(const struct form *const *of, uint32_t count, struct box *box)
{
    bool has_nominals = true;
    box->count = count;
    for (uint32_t i = 0; i < count; i++) {
        box->side[i] = form_range(of[i]);
        has_nominals = form_nominal(of[i], &box->at[i]) && box->at[i] >= of[i]->least &&
                       box->at[i] <= of[i]->greatest && has_nominals;
    }
    return has_nominals;
}

static const struct form *no_number(struct arena *arena, const struct form *const *of,
                                    uint32_t count, struct dimension dim, const char *why)
{
    const struct form *made = form_no_number(arena, dim, why, of[0], NULL);
    for (uint32_t i = 1; made != NULL && i < count; i++) {
        made = form_no_number(arena, dim, why, made, of[i]);
    }
    return made;
}

static struct form *sum_along(struct arena *arena, const struct form *const *of,
                              uint32_t count, const double *slopes)
{
    struct form *made = form_combine(arena, of[0], slopes[0], NULL, 0.0);
    for (uint32_t i = 1; made != NULL && i < count; i++) {
        made = form_combine(arena, made, 1.0, of[i], slopes[i]);
    }
    for (uint32_t i = 0; made != NULL && i < count; i++) {
        if (!form_is_exact(of[i]) && !form_absorb(arena, made, of[i])) {
            return NULL;
        }
    }
    return made;
}

/* The first reason why an argument has no number, by its text; NULL: all have one. */
static const char *first_undefined(const struct form *const *of, uint32_t count)
{
    const char *first = NULL;
    for (uint32_t i = 0; i < count; i++) {
        const char *why = of[i]->undefined;
        first = why != NULL && (first == NULL || strcmp(why, first) < 0) ? why : first;
    }
    return first;
}

const struct form *form_by_law(struct arena *arena, const struct form_law *law,
                               const struct form *const *of, struct dimension result)
{
    struct box box;
    struct interval image;
    bool is_open = false;
    for (uint32_t i = 0; i < law->count; i++) {
        if (of[i] == NULL) {
            return NULL;
        }
        is_open = is_open || !isfinite(of[i]->least) || !isfinite(of[i]->greatest);
    }
    const char *undefined = first_undefined(of, law->count);
    const bool has_nominals = box_of(of, law->count, &box);
    if (undefined == NULL && !image_of(law, &box, &image)) {
        undefined = is_open ? NULL : law->undefined;
        image = interval_all(); /* something is missing, so it may be anything */
    }
    if (undefined != NULL) {
        return no_number(arena, of, law->count, result, undefined);
    }
    struct line line = {.at = has_nominals ? law->value(box.at) : 0.0};
    line.at = isfinite(line.at) ? line.at : 0.0;
    line.beside = (struct interval){image.low - line.at, image.high - line.at};
    if (has_nominals && !is_open) {
        (void)line_of(law, &box, &line);
    }
    struct form *made = sum_along(arena, of, law->count, line.slopes);
    if (made == NULL) {
        return NULL;
    }
    made->dim = result;
    made->nominal = line.at; /* the slopes count from the nominals */
    made->remainder_low += line.beside.low;
    made->remainder_high += line.beside.high;
    return form_finish(arena, made, image);
}
