/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_INTERVAL_H
#define WHYFIT_INTERVAL_H

#include <math.h>
#include <stdbool.h>

/*
 * Plain intervals with open ends. Nothing here ever gives a NaN: nothing times no bound
 * is nothing, because a coefficient of 0 says that the unbounded thing does not enter.
 */
struct interval {
    double low;
    double high;
};

static inline double times(double a, double b)
{
    return a == 0.0 || b == 0.0 ? 0.0 : a * b;
}

static inline struct interval interval_add(struct interval a, struct interval b)
{
    return (struct interval){a.low + b.low, a.high + b.high};
}

static inline struct interval interval_scale(struct interval a, double by)
{
    const double one = times(a.low, by);
    const double two = times(a.high, by);
    return (struct interval){fmin(one, two), fmax(one, two)};
}

static inline struct interval interval_multiply(struct interval a, struct interval b)
{
    const struct interval low = interval_scale(b, a.low);
    const struct interval high = interval_scale(b, a.high);
    return (struct interval){fmin(low.low, high.low), fmax(low.high, high.high)};
}

/* The square of one number: what it is multiplied by is itself, so it is never negative.
 */
static inline struct interval interval_square(struct interval a)
{
    const double one = a.low * a.low;
    const double two = a.high * a.high;
    const bool crosses = a.low < 0.0 && a.high > 0.0;
    return (struct interval){crosses ? 0.0 : fmin(one, two), fmax(one, two)};
}

/* Where both say something about one number. */
static inline struct interval interval_both(struct interval a, struct interval b)
{
    return (struct interval){fmax(a.low, b.low), fmin(a.high, b.high)};
}

#endif
