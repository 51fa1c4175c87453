/* SPDX-License-Identifier: MIT */
/* What a margin's form decides, how sure that is, and which dimension it hangs on. */
#include "form_private.h"

double dimension_round(struct dimension dim, double value)
{
    const double grid = dimension_grid(dim);
    return grid > 0.0 && isfinite(value) ? round(value / grid) * grid : value;
}

enum outcome form_outcome(const struct form *margin)
{
    /* Half a step either way rounds to 0, and 0 holds. */
    const double near = dimension_grid(margin->dim) / 2;
    if (margin->undefined == NULL && margin->least >= -near) {
        return OUTCOME_HOLDS;
    }
    if (margin->undefined == NULL && margin->greatest < -near) {
        return OUTCOME_FAILS;
    }
    return form_misses(margin) ? OUTCOME_UNKNOWN : OUTCOME_UNSURE;
}

const char *outcome_word(enum outcome outcome)
{
    static const char *const words[] = {"holds", "fails", "unsure", "unknown"};
    return words[outcome];
}

/* One standard deviation of a dimension, by what its limits rest on (design: spread). */
static double sigma_of(const struct deviation *of)
{
    const double width = of->high - of->low;
    switch (of->basis) {
    case BASIS_LIMITS:
        return width / 6;
    case BASIS_ASSUMED:
    case BASIS_RESOLUTION:
        return width / sqrt(12.0);
    case BASIS_GAUGE:
        return width / 4;
    case BASIS_MISSING:
        break;
    }
    return INFINITY;
}

static bool is_random(const struct form_term *term)
{
    return term->of->kind == DEVIATION_MADE || term->of->kind == DEVIATION_READ;
}

double form_spread(const struct form *a)
{
    double variance = 0;
    for (uint32_t i = 0; i < a->term_count; i++) {
        if (is_random(&a->terms[i])) {
            const double sigma = a->terms[i].by * sigma_of(a->terms[i].of);
            variance += sigma * sigma;
        }
    }
    return sqrt(variance);
}

double form_chance(const struct form *a)
{
    const double sigma = form_spread(a);
    double mean = a->nominal;
    double largest = 0;
    uint32_t made = 0;
    if (!isfinite(sigma) || sigma == 0.0 || form_misses(a)) {
        return NAN;
    }
    for (uint32_t i = 0; i < a->term_count; i++) {
        const struct form_term *term = &a->terms[i];
        if (!is_random(term)) {
            continue;
        }
        const double own = term->by * sigma_of(term->of);
        largest = fmax(largest, own * own);
        mean += term->by * (term->of->low + term->of->high) / 2;
        made += term->of->kind == DEVIATION_MADE ? 1 : 0;
    }
    if (made < 5 || largest > sigma * sigma / 2) {
        return NAN;
    }
    return 0.5 * erfc(-mean / sigma / sqrt(2.0));
}

double form_play(const struct form *a)
{
    double play = 0;
    for (uint32_t i = 0; i < a->term_count; i++) {
        if (a->terms[i].of->kind == DEVIATION_MOVES) {
            play += fabs(a->terms[i].by) * (a->terms[i].of->high - a->terms[i].of->low);
        }
    }
    return play;
}

double form_share(const struct form *a, uint32_t term)
{
    const struct interval whole = form_swing(a);
    const double width =
        fabs(a->terms[term].by) * (a->terms[term].of->high - a->terms[term].of->low);
    if (isinf(width)) {
        return 1.0;
    }
    const double all = whole.high - whole.low;
    return isinf(all) || all <= 0.0 ? 0.0 : width / all;
}

void form_turning(const struct form *a, uint32_t term, double *holds_from,
                  double *fails_from)
{
    const struct deviation *of = a->terms[term].of;
    const double by = a->terms[term].by;
    struct interval rest = {a->remainder_low, a->remainder_high};
    *holds_from = NAN;
    *fails_from = NAN;
    for (uint32_t i = 0; i < a->absorbed_count; i++) {
        if (deviation_compare(a->absorbed[i], of) == 0) {
            return;
        }
    }
    for (uint32_t i = 0; i < a->term_count; i++) {
        const bool is_missing_self = i == term && of->basis == BASIS_MISSING;
        if (!is_missing_self) {
            const struct deviation *one = a->terms[i].of;
            rest =
                interval_add(rest, interval_scale((struct interval){one->low, one->high},
                                                  a->terms[i].by));
        }
    }
    /* x0 without this dimension's own nominal, which is what is asked for. */
    const double own = of->basis == BASIS_MISSING ? 0.0 : of->nominal;
    const double others = a->nominal - by * own;
    if (isfinite(rest.low) && a->undefined == NULL) {
        *holds_from = -(others + rest.low) / by;
    }
    if (isfinite(rest.high) && a->undefined == NULL) {
        *fails_from = -(others + rest.high) / by;
    }
}
