/* SPDX-License-Identifier: MIT */
/*
 * Operations that are not linear. Each keeps the linear part exactly and encloses the
 * rest in the remainder: a product adds the product of both swings, a curve its distance
 * to a tangent, and a choice between two what the other could add. The dimensions behind
 * a remainder are remembered as absorbed, so that a missing one can still be named.
 */
#include "form_private.h"

#include <string.h>

/* The reason why one of two has no number, or NULL. */
static const char *either_undefined(const struct form *a, const struct form *b)
{
    return a->undefined != NULL ? a->undefined : b->undefined;
}

static int order_of(double a, double b)
{
    return (a > b) - (a < b);
}

/* An order of forms by what they say, so that which of two equals is kept never hangs on
 * the order of the arguments. */
static int form_compare(const struct form *a, const struct form *b)
{
    for (uint32_t i = 0; i < a->term_count && i < b->term_count; i++) {
        const int by_name = deviation_compare(a->terms[i].of, b->terms[i].of);
        const int order =
            by_name != 0 ? by_name : order_of(a->terms[i].by, b->terms[i].by);
        if (order != 0) {
            return order;
        }
    }
    if (a->term_count != b->term_count) {
        return a->term_count > b->term_count ? -1 : 1;
    }
    const int orders[] = {
        order_of(a->nominal, b->nominal), order_of(a->remainder_low, b->remainder_low),
        order_of(a->remainder_high, b->remainder_high), order_of(a->least, b->least),
        order_of(a->greatest, b->greatest)};
    for (size_t i = 0; i < sizeof orders / sizeof *orders; i++) {
        if (orders[i] != 0) {
            return orders[i];
        }
    }
    return 0;
}

/* Whether both are one number: two remainders of equal width need not be. */
static bool is_one_number(const struct form *a, const struct form *b)
{
    return a == b || (a->remainder_low == a->remainder_high && form_compare(a, b) == 0);
}

const struct form *form_multiply(struct arena *arena, const struct form *a,
                                 const struct form *b)
{
    if (a == NULL || b == NULL) {
        return NULL;
    }
    const struct dimension dim = dimension_product(a->dim, b->dim);
    if (either_undefined(a, b) != NULL) {
        return form_no_number(arena, dim, either_undefined(a, b), a, b);
    }
    const bool is_square = is_one_number(a, b);
    struct form *made = form_combine(arena, a, b->nominal, b, a->nominal);
    if (made == NULL) {
        return NULL;
    }
    made->dim = dim;
    made->nominal = times(a->nominal, b->nominal);
    if (!form_is_exact(a) && !form_is_exact(b)) {
        const struct interval bend =
            is_square ? interval_square(form_swing(a))
                      : interval_multiply(form_swing(a), form_swing(b));
        made->remainder_low += bend.low;
        made->remainder_high += bend.high;
        if (!form_absorb(arena, made, a) || !form_absorb(arena, made, b)) {
            return NULL;
        }
    }
    return form_finish(arena, made,
                       is_square ? interval_square(form_range(a))
                                 : interval_multiply(form_range(a), form_range(b)));
}

/* Where the tangent touches: at the nominal, or in the middle of the range where there is
 * none. false: nowhere, because the range is open. */
static bool tangent_point(const struct form *a, double *out)
{
    if (form_nominal(a, out) && *out >= a->least && *out <= a->greatest) {
        return true;
    }
    *out = (a->least + a->greatest) / 2;
    return isfinite(*out);
}

/* The distance of a curve to its tangent over [least, greatest]. */
static struct interval tangent_distance(const struct form *a,
                                        const struct form_curve *curve, double at,
                                        double slope, struct interval image)
{
    const double value = curve->value(at);
    const struct interval along =
        interval_scale((struct interval){a->least - at, a->greatest - at}, slope);
    const struct interval line = {value + along.low, value + along.high};
    if (!curve->is_bent_one_way || !isfinite(a->least) || !isfinite(a->greatest) ||
        !isfinite(image.low) || !isfinite(image.high)) {
        return (struct interval){image.low - line.high, image.high - line.low};
    }
    const double at_least = curve->value(a->least) - (value + slope * (a->least - at));
    const double at_greatest =
        curve->value(a->greatest) - (value + slope * (a->greatest - at));
    return (struct interval){fmin(0.0, fmin(at_least, at_greatest)),
                             fmax(0.0, fmax(at_least, at_greatest))};
}

const struct form *form_apply(struct arena *arena, const struct form *a,
                              const struct form_curve *curve, struct dimension result)
{
    struct interval image = {0, 0};
    double at = 0;
    if (a == NULL) {
        return NULL;
    }
    if (a->undefined != NULL ||
        !curve->range(a->least, a->greatest, &image.low, &image.high)) {
        return form_no_number(arena, result,
                              a->undefined != NULL ? a->undefined : curve->undefined, a,
                              NULL);
    }
    const double slope = tangent_point(a, &at) ? curve->slope(at) : NAN;
    const bool is_linear = isfinite(slope) && isfinite(curve->value(at));
    struct form *made = form_combine(arena, a, is_linear ? slope : 0.0, NULL, 0.0);
    if (made == NULL) {
        return NULL;
    }
    made->dim = result;
    if (is_linear) {
        const struct interval bend = tangent_distance(a, curve, at, slope, image);
        made->nominal = curve->value(at) + slope * (a->nominal - at);
        made->remainder_low += bend.low;
        made->remainder_high += bend.high;
    } else {
        made->nominal = 0.0;
        made->remainder_low = image.low;
        made->remainder_high = image.high;
    }
    if (!form_is_exact(a) && !form_absorb(arena, made, a)) {
        return NULL;
    }
    return form_finish(arena, made, image);
}

static double reciprocal(double x)
{
    return 1.0 / x;
}

static double reciprocal_slope(double x)
{
    return -1.0 / (x * x);
}

static bool reciprocal_range(double least, double greatest, double *least_out,
                             double *greatest_out)
{
    *least_out = 1.0 / greatest;
    *greatest_out = 1.0 / least;
    return least > 0.0 || greatest < 0.0;
}

const struct form *form_divide(struct arena *arena, const struct form *a,
                               const struct form *b)
{
    static const struct form_curve curve = {
        reciprocal, reciprocal_slope, reciprocal_range, true, "the divisor may be zero"};
    if (a == NULL || b == NULL) {
        return NULL;
    }
    const struct form *over =
        form_apply(arena, b, &curve, dimension_quotient(DIMENSION_RATIO, b->dim));
    return form_multiply(arena, a, over);
}

static double root_slope(double x)
{
    return 0.5 / sqrt(x);
}

static bool root_range(double least, double greatest, double *least_out,
                       double *greatest_out)
{
    *least_out = least < 0.0 ? 0.0 : sqrt(least);
    *greatest_out = greatest < 0.0 ? 0.0 : sqrt(greatest);
    return least >= 0.0;
}

const struct form *form_root(struct arena *arena, const struct form *a)
{
    static const struct form_curve curve = {sqrt, root_slope, root_range, true,
                                            "the root may be of a negative number"};
    struct dimension dim = DIMENSION_RATIO;
    if (a == NULL) {
        return NULL;
    }
    return dimension_root(a->dim, &dim)
               ? form_apply(arena, a, &curve, dim)
               : form_no_number(arena, a->dim, "the unit has no root", a, NULL);
}

static uint32_t count_missing(const struct form *a)
{
    uint32_t count = 0;
    for (uint32_t i = 0; i < a->term_count; i++) {
        count += a->terms[i].of->basis == BASIS_MISSING ? 1 : 0;
    }
    for (uint32_t i = 0; i < a->absorbed_count; i++) {
        count += a->absorbed[i]->basis == BASIS_MISSING ? 1 : 0;
    }
    return count;
}

/* Whether `a` is the branch to keep: the larger nominal, else the one with less missing.
 */
static bool is_branch(const struct form *a, const struct form *b, double sign)
{
    double a_nominal = 0;
    double b_nominal = 0;
    if (form_nominal(a, &a_nominal) && form_nominal(b, &b_nominal) &&
        a_nominal != b_nominal) {
        return sign * a_nominal > sign * b_nominal;
    }
    const uint32_t a_missing = count_missing(a);
    const uint32_t b_missing = count_missing(b);
    return a_missing != b_missing ? a_missing < b_missing : form_compare(a, b) <= 0;
}

/* Several of which one has no number: the whole has none, with the first reason by its
 * text. NULL: all have. */
static const struct form *any_undefined(struct arena *arena, const struct form *const *of,
                                        uint32_t count)
{
    const struct form *lost = NULL;
    for (uint32_t i = 0; i < count; i++) {
        const bool is_first =
            of[i]->undefined != NULL &&
            (lost == NULL || strcmp(of[i]->undefined, lost->undefined) < 0);
        lost = is_first ? of[i] : lost;
    }
    for (uint32_t i = 0; lost != NULL && i < count; i++) {
        lost = form_no_number(arena, lost->dim, lost->undefined, lost, of[i]);
    }
    return lost;
}

/* How far `other` can lie beyond `kept` (sign 1: above). */
static const struct form *beyond(struct arena *arena, const struct form *kept,
                                 const struct form *other, double sign)
{
    return form_scale(arena, form_subtract(arena, other, kept), sign);
}

/* Of those that surely lie beyond `kept` the best branch; `kept` when none does, NULL
 * when the arena has failed. */
static const struct form *surely_beyond(struct arena *arena, const struct form *kept,
                                        const struct form *const *of, uint32_t count,
                                        double sign)
{
    const struct form *best = kept;
    for (uint32_t i = 0; i < count; i++) {
        const struct form *by = beyond(arena, kept, of[i], sign);
        if (by == NULL) {
            return NULL;
        }
        if (by->least >= 0.0 && by->greatest > 0.0 &&
            (best == kept || is_branch(of[i], best, sign))) {
            best = of[i];
        }
    }
    return best;
}

/* The branch to keep: the best, unless others surely lie beyond it. */
static const struct form *branch_of(struct arena *arena, const struct form *const *of,
                                    uint32_t count, double sign)
{
    const struct form *kept = of[0];
    for (uint32_t i = 1; i < count; i++) {
        kept = is_branch(kept, of[i], sign) ? kept : of[i];
    }
    const struct form *next = surely_beyond(arena, kept, of, count, sign);
    for (uint32_t i = 0; next != NULL && next != kept && i < count; i++) {
        kept = next;
        next = surely_beyond(arena, kept, of, count, sign);
    }
    return next;
}

/* The branch, with what the others could add beyond it. */
static const struct form *branch_and_more(struct arena *arena, const struct form *kept,
                                          const struct form *const *of, uint32_t count,
                                          double sign)
{
    struct interval known = form_range(kept);
    double most = 0.0;
    struct form *made = form_combine(arena, kept, 1.0, NULL, 0.0);
    for (uint32_t i = 0; made != NULL && i < count; i++) {
        const struct form *by = beyond(arena, kept, of[i], sign);
        if (by == NULL || (by->greatest > 0.0 && !form_absorb(arena, made, by))) {
            return NULL;
        }
        most = fmax(most, by->greatest);
        known.low =
            sign > 0 ? fmax(known.low, of[i]->least) : fmin(known.low, of[i]->least);
        known.high = sign > 0 ? fmax(known.high, of[i]->greatest)
                              : fmin(known.high, of[i]->greatest);
    }
    if (made == NULL || most == 0.0) {
        return made == NULL ? NULL : kept;
    }
    *(sign > 0 ? &made->remainder_high : &made->remainder_low) += sign * most;
    return form_finish(arena, made, known);
}

/* The greatest (sign 1) or the least (sign -1) of several. */
static const struct form *choose(struct arena *arena, const struct form *const *of,
                                 uint32_t count, double sign)
{
    for (uint32_t i = 0; i < count; i++) {
        if (of[i] == NULL) {
            return NULL;
        }
    }
    const struct form *lost = any_undefined(arena, of, count);
    if (lost != NULL || arena_status(arena) != STATUS_OK) {
        return lost;
    }
    const struct form *kept = branch_of(arena, of, count, sign);
    return kept == NULL ? NULL : branch_and_more(arena, kept, of, count, sign);
}

const struct form *form_max_of(struct arena *arena, const struct form *const *of,
                               uint32_t count)
{
    return choose(arena, of, count, 1.0);
}

const struct form *form_min_of(struct arena *arena, const struct form *const *of,
                               uint32_t count)
{
    return choose(arena, of, count, -1.0);
}

const struct form *form_max(struct arena *arena, const struct form *a,
                            const struct form *b)
{
    const struct form *const both[] = {a, b};
    return choose(arena, both, 2, 1.0);
}

const struct form *form_min(struct arena *arena, const struct form *a,
                            const struct form *b)
{
    const struct form *const both[] = {a, b};
    return choose(arena, both, 2, -1.0);
}

const struct form *form_abs(struct arena *arena, const struct form *a)
{
    if (a == NULL || a->least >= 0.0) {
        return a;
    }
    const struct form *minus = form_scale(arena, a, -1.0);
    if (minus == NULL || a->greatest <= 0.0) {
        return minus;
    }
    return form_within(arena, form_max(arena, a, minus), 0.0, INFINITY);
}

const struct form *form_substitute(struct arena *arena, const struct form *a,
                                   const struct deviation *of, const struct form *as)
{
    for (uint32_t i = 0; a != NULL && i < a->term_count; i++) {
        if (a->terms[i].of == of) {
            const struct form *own = form_of(arena, of);
            return form_add(
                arena, a,
                form_scale(arena, form_subtract(arena, as, own), a->terms[i].by));
        }
    }
    return a;
}
