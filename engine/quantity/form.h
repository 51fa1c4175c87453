/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_FORM_H
#define WHYFIT_FORM_H

#include "source_file.h"
#include "unit.h"

/*
 * A quantity is x = x0 + Σ by·d + [remainder_low, remainder_high], with its range [least,
 * greatest]. d says how far one dimension of one piece lies from its nominal; `by` is the
 * exact partial derivative. What enters a stack twice cancels as it does in metal.
 *
 * Invariants: terms are sorted by the deviations' names and hold no zero coefficient, so
 * neither addresses nor load order reach a digit; the range is the intersection of the
 * form's own range with plain interval arithmetic; no operation makes a deviation. Forms
 * never change once made. All numbers are in the dimension's coherent unit (lengths: nm).
 */

enum deviation_kind {
    DEVIATION_MADE,   /* fixed when the piece was made */
    DEVIATION_READ,   /* the gauge's */
    DEVIATION_MOVES,  /* float, play, temperature: always at its worst */
    DEVIATION_SET,    /* shim, nut, press depth: chosen at assembly */
    DEVIATION_COUNTED /* how many of the rows that may be there are */
};

enum deviation_basis {
    BASIS_LIMITS,     /* a drawing's or standard's: sigma = (high - low) / 6 */
    BASIS_ASSUMED,    /* a general tolerance: rectangular, (high - low) / sqrt(12) */
    BASIS_RESOLUTION, /* rectangular */
    BASIS_GAUGE,      /* U with k = 2: (high - low) / 4 */
    BASIS_MISSING     /* nobody recorded it: limits are infinite, there is no nominal */
};

struct deviation {
    text name;      /* unique and the sort key: "cover.bearing-shoulder.at" */
    double nominal; /* of the dimension itself; NAN when missing */
    double low;     /* least deviation from nominal; -INFINITY when unbounded */
    double high;
    enum deviation_kind kind;
    enum deviation_basis basis;
    struct dimension dim;
    span where;  /* where it is stated; SPAN_NONE when missing or computed */
    text got_by; /* how such a field is got: "caliper depth-gauge", may be empty */
    text one_of; /* of a word: what it may be, "open, shielded"; empty: anything */
};

struct form_term {
    const struct deviation *of;
    double by;
};

/* What tells a plain number comes first: it is asked of rows by the million. */
struct form {
    double nominal; /* x0; a missing dimension counts as 0 here: ask form_nominal */
    double least;
    double greatest;
    double remainder_low;
    double remainder_high;
    const char *undefined; /* why there is no number ("divisor may be zero"), or NULL */
    uint32_t term_count;
    uint32_t absorbed_count;
    struct dimension dim;
    const struct form_term *terms;
    const struct deviation *const
        *absorbed; /* sorted by name: their effect is in the remainder */
};

/* Exact, without tolerance. All makers give NULL when the arena has failed, and take NULL
 * operands as that failure passed on. */
const struct form *form_exact(struct arena *arena, struct dimension dim, double value);
/* The same, shared with an equal number that came lately: forms never change, and rows by
 * the million hold few numbers. Without `numbers` it is made anew. */
struct shared_numbers;
const struct form *form_shared(struct shared_numbers *numbers, struct arena *arena,
                               struct dimension dim, double value);
/* Room for about so many different numbers. NULL: out of memory. */
MUST_USE struct shared_numbers *shared_numbers_open(struct arena *arena,
                                                    uint64_t expected);
/* One dimension: its nominal and its deviation (0 nominal when missing). `of` is kept. */
const struct form *form_of(struct arena *arena, const struct deviation *of);
/* No number, with the reason. */
const struct form *form_undefined(struct arena *arena, struct dimension dim,
                                  const char *why);

const struct form *form_add(struct arena *arena, const struct form *a,
                            const struct form *b);
const struct form *form_subtract(struct arena *arena, const struct form *a,
                                 const struct form *b);
const struct form *form_scale(struct arena *arena, const struct form *a,
                              double by); /* ratio */
const struct form *form_multiply(struct arena *arena, const struct form *a,
                                 const struct form *b);
const struct form *form_divide(struct arena *arena, const struct form *a,
                               const struct form *b);
const struct form *form_root(struct arena *arena, const struct form *a);
/* A plain function of one variable through its value and slope at the nominal and its
 * range over [least, greatest]: for sin, cos, tan and the like. range gives the image of
 * an interval. */
struct form_curve {
    double (*value)(double x);
    double (*slope)(double x);
    /* false: not defined everywhere on [least, greatest] */
    bool (*range)(double least, double greatest, double *least_out, double *greatest_out);
    bool is_bent_one_way;  /* convex or concave throughout: its distance to a tangent is
                              then found at the ends of the range */
    const char *undefined; /* the reason where it is not defined */
};
const struct form *form_apply(struct arena *arena, const struct form *a,
                              const struct form_curve *curve, struct dimension result);
/* A law of several quantities in coherent units. Over its domain the value and every
 * partial derivative are monotone in each argument alone (products of powers are, and
 * sums of such where no sign turns); NAN outside of the domain. */
#define FORM_LAW_ARGUMENTS 8u
struct form_law {
    uint32_t count; /* of arguments, 1 or more */
    double (*value)(const double *x);
    const char *undefined; /* the reason where it is not defined */
};
/* The law of `of`, linear in what its arguments are linear in; what is missing stays
 * named. */
const struct form *form_by_law(struct arena *arena, const struct form_law *law,
                               const struct form *const *of, struct dimension result);
/* Where the ranges do not cross, the branch, exactly. Where they cross: the branch of the
 * larger nominal a, plus [0, greatest(b - a)], so that what a and b share still cancels.
 */
const struct form *form_max(struct arena *arena, const struct form *a,
                            const struct form *b);
const struct form *form_min(struct arena *arena, const struct form *a,
                            const struct form *b);
/* The greatest and the least of several (at least one), in any order. It is one of them
 * exactly where that surely is it; else the best by nominal, plus what the others could
 * add. */
const struct form *form_max_of(struct arena *arena, const struct form *const *of,
                               uint32_t count);
const struct form *form_min_of(struct arena *arena, const struct form *const *of,
                               uint32_t count);
const struct form *form_abs(struct arena *arena, const struct form *a);
/* a with what is linear in the dimension `of` replaced by the form `as` of that whole
 * dimension; a itself where it has no such term. */
const struct form *form_substitute(struct arena *arena, const struct form *a,
                                   const struct deviation *of, const struct form *as);
/* The ends of the range as exact numbers, and the nominal (undefined when there is none).
 */
const struct form *form_least(struct arena *arena, const struct form *a);
const struct form *form_greatest(struct arena *arena, const struct form *a);
const struct form *form_nominal_only(struct arena *arena, const struct form *a);
/* Intersects the range with [least, greatest], for what is known from elsewhere. */
const struct form *form_within(struct arena *arena, const struct form *a, double least,
                               double greatest);
/* False when a missing dimension is in it or it is undefined; *out then NAN. */
bool form_nominal(const struct form *a, double *out);
bool form_is_exact(const struct form *a);
/* Exact, and nothing known of its range but that: one number throughout. */
static inline bool form_is_number(const struct form *a)
{
    return a->term_count == 0 && a->absorbed_count == 0 && a->undefined == NULL &&
           a->remainder_low == 0.0 && a->remainder_high == 0.0 &&
           a->least == a->nominal && a->greatest == a->nominal;
}
/* Whether something missing is in it: a term, an absorbed dimension, or undefined. */
bool form_misses(const struct form *a);
/* One standard deviation of the linear part (made and read terms; design: by basis),
 * moves at worst added to nothing: they have no spread. INFINITY when unbounded. */
double form_spread(const struct form *a);
/* Phi(mean / sigma) of "a >= 0", as a chance for parts drawn at random; NAN unless at
 * least five made terms enter and none holds more than half of the variance. */
double form_chance(const struct form *a);
/* Width of all `moves` terms: Σ |by| (high - low). */
double form_play(const struct form *a);

/* What decides "a >= 0" on the comparison grid of its dimension. */
enum outcome {
    OUTCOME_HOLDS,
    OUTCOME_FAILS,
    OUTCOME_UNSURE,
    OUTCOME_UNKNOWN
};
enum outcome form_outcome(const struct form *margin);
const char *
outcome_word(enum outcome outcome); /* "holds", "fails", "unsure", "unknown" */

/* The share of one term in the width of the range (worst case); 1 for an unbounded one.
 */
double form_share(const struct form *a, uint32_t term);
/* The nominal of terms[term].of, its width kept, from which a >= 0 holds in every case,
 * and from which it fails in every case, the others as recorded. NAN where the others are
 * unbounded or the dimension also enters the remainder. */
void form_turning(const struct form *a, uint32_t term, double *holds_from,
                  double *fails_from);

/* value rounded to the comparison grid of dim. */
double dimension_round(struct dimension dim, double value);

#endif
