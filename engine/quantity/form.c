/* SPDX-License-Identifier: MIT */
/*
 * Forms as they are made, merged and asked about; form_arithmetic.c has the operations
 * that bend.
 *
 * Merging walks two term lists sorted by name. A coefficient that cancels to nothing on
 * the scale of what was added is dropped: the dimension is gone, as it is in metal.
 */
#include "form_private.h"

#include "limits.h"

#include <string.h>

int deviation_compare(const struct deviation *a, const struct deviation *b)
{
    return a == b ? 0 : text_compare(a->name, b->name);
}

static struct form *form_new(struct arena *arena, struct dimension dim, double nominal)
{
    struct form *made = ARENA_NEW(arena, struct form);
    if (made != NULL) {
        made->dim = dim;
        made->nominal = nominal;
        made->least = nominal;
        made->greatest = nominal;
    }
    return made;
}

static const char *const too_large = "the number is too large to compute with";
static const char *const too_many = "too many dimensions enter";

const struct form *form_exact(struct arena *arena, struct dimension dim, double value)
{
    return isfinite(value) ? form_new(arena, dim, value)
                           : form_undefined(arena, dim, too_large);
}

struct shared_numbers {
    unsigned bits;
    const struct form *kept[]; /* by a hash of their value, of so many bits */
};

struct shared_numbers *shared_numbers_open(struct arena *arena, uint64_t expected)
{
    enum {
        LEAST_BITS = 8,
        MOST_BITS = 17
    };
    unsigned bits = LEAST_BITS;
    while (bits < MOST_BITS && expected >> bits > 0) {
        bits++;
    }
    struct shared_numbers *made =
        arena_take(arena, sizeof *made + (sizeof *made->kept << bits));
    if (made != NULL) {
        made->bits = bits;
    }
    return made;
}

const struct form *form_shared(struct shared_numbers *numbers, struct arena *arena,
                               struct dimension dim, double value)
{
    uint64_t hash = 0;
    if (numbers == NULL) {
        return form_exact(arena, dim, value);
    }
    memcpy(&hash, &value, sizeof hash);
    hash *= UINT64_C(0x9e3779b97f4a7c15);
    const struct form **kept = &numbers->kept[hash >> (64 - numbers->bits)];
    if (*kept == NULL || (*kept)->undefined != NULL ||
        memcmp(&(*kept)->nominal, &value, sizeof value) != 0 ||
        !dimension_equal((*kept)->dim, dim)) {
        *kept = form_exact(arena, dim, value);
    }
    return *kept;
}

static struct form *undefined_new(struct arena *arena, struct dimension dim,
                                  const char *why)
{
    struct form *made = form_new(arena, dim, 0.0);
    const char *kept = text_copy(arena, text_of(why)).at;
    if (made != NULL) {
        made->undefined = kept;
        made->remainder_low = -INFINITY;
        made->remainder_high = INFINITY;
        made->least = -INFINITY;
        made->greatest = INFINITY;
    }
    return made;
}

const struct form *form_undefined(struct arena *arena, struct dimension dim,
                                  const char *why)
{
    return undefined_new(arena, dim, why);
}

const struct form *form_of(struct arena *arena, const struct deviation *of)
{
    const double nominal = of->basis == BASIS_MISSING ? 0.0 : of->nominal;
    struct form *made = form_new(arena, of->dim, nominal);
    struct form_term *term = ARENA_NEW(arena, struct form_term);
    if (made == NULL || term == NULL) {
        return NULL;
    }
    *term = (struct form_term){of, 1.0};
    made->terms = term;
    made->term_count = 1;
    return form_finish(arena, made, interval_all());
}

struct interval form_swing(const struct form *a)
{
    struct interval swing = {a->remainder_low, a->remainder_high};
    for (uint32_t i = 0; i < a->term_count; i++) {
        const struct deviation *of = a->terms[i].of;
        swing = interval_add(
            swing, interval_scale((struct interval){of->low, of->high}, a->terms[i].by));
    }
    return swing;
}

static bool is_too_large(const struct form *form)
{
    bool is_large = !isfinite(form->nominal) || isnan(form->remainder_low) ||
                    isnan(form->remainder_high) || form->remainder_low == INFINITY ||
                    form->remainder_high == -INFINITY;
    for (uint32_t i = 0; i < form->term_count; i++) {
        is_large = is_large || !isfinite(form->terms[i].by);
    }
    return is_large;
}

const struct form *form_finish(struct arena *arena, struct form *form,
                               struct interval known)
{
    const bool is_long =
        form->term_count > LIMIT_FORM_TERMS || form->absorbed_count > LIMIT_FORM_TERMS;
    const char *why = form->undefined != NULL ? form->undefined
                      : is_long               ? too_many
                      : is_too_large(form)    ? too_large
                                              : NULL;
    if (why != NULL) {
        return form_no_number(arena, form->dim, why, form, NULL);
    }
    const struct interval swing = form_swing(form);
    const struct interval own = {form->nominal + swing.low, form->nominal + swing.high};
    const struct interval both = interval_both(own, known);
    /* Rounding may set two enclosures of one number a hair apart: then neither is better.
     */
    const bool is_crossed = both.low > both.high;
    form->least = is_crossed ? fmin(both.low, both.high) : both.low;
    form->greatest = is_crossed ? fmax(both.low, both.high) : both.high;
    return form->least == INFINITY || form->greatest == -INFINITY
               ? form_no_number(arena, form->dim, too_large, form, NULL)
               : form;
}

/* One term out of those of the same dimension; false when it cancels. */
static bool merge_term(const struct form_term *a, double ca, const struct form_term *b,
                       double cb, struct form_term *out)
{
    const double from_a = a == NULL ? 0.0 : times(ca, a->by);
    const double from_b = b == NULL ? 0.0 : times(cb, b->by);
    const double by = from_a + from_b;
    *out = (struct form_term){a != NULL ? a->of : b->of, by};
    return fabs(by) > 1e-12 * (fabs(from_a) + fabs(from_b));
}

static uint32_t merge_terms(const struct form *a, double ca, const struct form *b,
                            double cb, struct form_term *out)
{
    const uint32_t b_count = b == NULL ? 0 : b->term_count;
    uint32_t count = 0;
    uint32_t i = 0;
    uint32_t k = 0;
    while (i < a->term_count || k < b_count) {
        const int order = i == a->term_count ? 1
                          : k == b_count
                              ? -1
                              : deviation_compare(a->terms[i].of, b->terms[k].of);
        const struct form_term *left = order <= 0 ? &a->terms[i++] : NULL;
        const struct form_term *right = order >= 0 ? &b->terms[k++] : NULL;
        if (merge_term(left, ca, right, cb, &out[count])) {
            count++;
        }
    }
    return count;
}

/* The union of two sorted lists of dimensions. */
static const struct deviation *const *
join_dimensions(struct arena *arena, const struct deviation *const *a, uint32_t a_count,
                const struct deviation *const *b, uint32_t b_count, uint32_t *count_out)
{
    *count_out = 0;
    if (b_count == 0) {
        *count_out = a_count;
        return a;
    }
    const struct deviation **joined =
        ARENA_MANY(arena, (size_t)a_count + b_count, const struct deviation *);
    uint32_t i = 0;
    uint32_t k = 0;
    while (joined != NULL && (i < a_count || k < b_count)) {
        const int order = i == a_count   ? 1
                          : k == b_count ? -1
                                         : deviation_compare(a[i], b[k]);
        joined[(*count_out)++] = order <= 0 ? a[i] : b[k];
        i += order <= 0 ? 1 : 0;
        k += order >= 0 ? 1 : 0;
    }
    return joined;
}

/* Sums over many rows must not copy ever longer lists: past the limit those that are only
 * uncertain go, for what is missing is asked for first. */
static void absorb_missing_only(struct arena *arena, struct form *form)
{
    const struct deviation **kept =
        ARENA_MANY(arena, LIMIT_FORM_TERMS, const struct deviation *);
    uint32_t count = 0;
    for (uint32_t i = 0; kept != NULL && i < form->absorbed_count; i++) {
        if (form->absorbed[i]->basis == BASIS_MISSING && count < LIMIT_FORM_TERMS) {
            kept[count++] = form->absorbed[i];
        }
    }
    form->absorbed = kept;
    form->absorbed_count = count;
}

static bool absorb_list(struct arena *arena, struct form *form,
                        const struct deviation *const *list, uint32_t count)
{
    form->absorbed = join_dimensions(arena, form->absorbed, form->absorbed_count, list,
                                     count, &form->absorbed_count);
    if (form->absorbed_count > LIMIT_FORM_TERMS) {
        form->undefined = form->undefined != NULL ? form->undefined : too_many;
        absorb_missing_only(arena, form);
    }
    return arena_status(arena) == STATUS_OK;
}

bool form_absorb(struct arena *arena, struct form *form, const struct form *of)
{
    const struct deviation **own =
        ARENA_MANY(arena, of->term_count, const struct deviation *);
    for (uint32_t i = 0; own != NULL && i < of->term_count; i++) {
        own[i] = of->terms[i].of;
    }
    return own != NULL && absorb_list(arena, form, own, of->term_count) &&
           absorb_list(arena, form, of->absorbed, of->absorbed_count);
}

const struct form *form_no_number(struct arena *arena, struct dimension dim,
                                  const char *why, const struct form *a,
                                  const struct form *b)
{
    struct form *made = undefined_new(arena, dim, why);
    if (made == NULL || !form_absorb(arena, made, a) ||
        (b != NULL && !form_absorb(arena, made, b))) {
        return NULL;
    }
    return made;
}

struct form *form_combine(struct arena *arena, const struct form *a, double ca,
                          const struct form *b, double cb)
{
    const size_t room = (size_t)a->term_count + (b == NULL ? 0 : b->term_count);
    struct form *made = form_new(
        arena, a->dim, times(ca, a->nominal) + (b == NULL ? 0.0 : times(cb, b->nominal)));
    struct form_term *terms = ARENA_MANY(arena, room, struct form_term);
    if (made == NULL || terms == NULL) {
        return NULL;
    }
    struct interval rest =
        interval_scale((struct interval){a->remainder_low, a->remainder_high}, ca);
    if (b != NULL) {
        rest = interval_add(
            rest,
            interval_scale((struct interval){b->remainder_low, b->remainder_high}, cb));
        made->undefined = a->undefined != NULL ? a->undefined : b->undefined;
    } else {
        made->undefined = a->undefined;
    }
    made->terms = terms;
    made->term_count = merge_terms(a, ca, b, cb, terms);
    made->remainder_low = rest.low;
    made->remainder_high = rest.high;
    made->absorbed = join_dimensions(
        arena, a->absorbed, a->absorbed_count, b == NULL ? NULL : b->absorbed,
        b == NULL ? 0 : b->absorbed_count, &made->absorbed_count);
    return arena_status(arena) == STATUS_OK ? made : NULL;
}

static const struct form *form_linear(struct arena *arena, const struct form *a,
                                      const struct form *b, double cb)
{
    if (a == NULL || b == NULL) {
        return NULL;
    }
    struct form *made = form_combine(arena, a, 1.0, b, cb);
    return made == NULL ? NULL
                        : form_finish(arena, made,
                                      interval_add(form_range(a),
                                                   interval_scale(form_range(b), cb)));
}

const struct form *form_add(struct arena *arena, const struct form *a,
                            const struct form *b)
{
    return form_linear(arena, a, b, 1.0);
}

const struct form *form_subtract(struct arena *arena, const struct form *a,
                                 const struct form *b)
{
    return form_linear(arena, a, b, -1.0);
}

const struct form *form_scale(struct arena *arena, const struct form *a, double by)
{
    struct form *made = a == NULL ? NULL : form_combine(arena, a, by, NULL, 0.0);
    return made == NULL ? NULL
                        : form_finish(arena, made, interval_scale(form_range(a), by));
}

const struct form *form_least(struct arena *arena, const struct form *a)
{
    return a == NULL ? NULL
           : isfinite(a->least)
               ? form_exact(arena, a->dim, a->least)
               : form_no_number(arena, a->dim, "it has no least value", a, NULL);
}

const struct form *form_greatest(struct arena *arena, const struct form *a)
{
    return a == NULL ? NULL
           : isfinite(a->greatest)
               ? form_exact(arena, a->dim, a->greatest)
               : form_no_number(arena, a->dim, "it has no greatest value", a, NULL);
}

const struct form *form_nominal_only(struct arena *arena, const struct form *a)
{
    double nominal = 0;
    return a == NULL ? NULL
           : form_nominal(a, &nominal)
               ? form_exact(arena, a->dim, nominal)
               : form_no_number(arena, a->dim, "it has no nominal", a, NULL);
}

const struct form *form_within(struct arena *arena, const struct form *a, double least,
                               double greatest)
{
    struct form *made = a == NULL ? NULL : arena_copy(arena, a, sizeof *a);
    return made == NULL ? NULL
                        : form_finish(arena, made,
                                      interval_both(form_range(a),
                                                    (struct interval){least, greatest}));
}

bool form_misses(const struct form *a)
{
    bool misses = a->undefined != NULL;
    for (uint32_t i = 0; i < a->term_count; i++) {
        misses = misses || a->terms[i].of->basis == BASIS_MISSING;
    }
    for (uint32_t i = 0; i < a->absorbed_count; i++) {
        misses = misses || a->absorbed[i]->basis == BASIS_MISSING;
    }
    return misses;
}

bool form_nominal(const struct form *a, double *out)
{
    const bool is_there = !form_misses(a);
    *out = is_there ? a->nominal : NAN;
    return is_there;
}

bool form_is_exact(const struct form *a)
{
    return a->undefined == NULL && a->term_count == 0 && a->absorbed_count == 0 &&
           a->remainder_low == 0.0 && a->remainder_high == 0.0;
}
