/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_VALUE_H
#define WHYFIT_VALUE_H

#include "form.h"
#include "names.h"

/*
 * What a value column or a formula holds. A field that nobody filled is still a value: a
 * quantity with a missing dimension in it, or VALUE_MISSING for a word, so that the doubt
 * travels along and can be named.
 */
enum value_kind {
    VALUE_NONE = 0, /* no such field for this row: never seen by a rule */
    VALUE_QUANTITY,
    VALUE_COUNT, /* an exact whole number */
    VALUE_WORD,  /* text, choice, or the name in a key column */
    VALUE_TRUTH,
    VALUE_MISSING /* a word or count that nobody recorded */
};

enum truth {
    TRUTH_NO,
    TRUTH_YES,
    TRUTH_UNSURE,
    TRUTH_UNKNOWN
};

/* Why something is open: each dimension that straddles or is missing, sorted by name,
 * each once. */
struct doubt {
    const struct deviation *const *of;
    uint32_t count;
};

/* 16 bytes, since rows hold millions of them: a doubt lies in two parts. */
struct value {
    enum value_kind kind : 8;
    enum truth truth : 8; /* VALUE_TRUTH */
    union {
        name_id word;         /* VALUE_WORD */
        uint32_t doubt_count; /* VALUE_TRUTH that is open: ask truth_doubt */
    };
    union {
        const struct deviation *const *doubt_of;
        const struct form *quantity; /* VALUE_QUANTITY */
        int64_t count;               /* VALUE_COUNT */
        const struct deviation
            *missing; /* VALUE_MISSING: names the field ("shaft.land.made-for") */
    };
};

static inline struct value value_quantity(const struct form *quantity)
{
    return (struct value){.kind = VALUE_QUANTITY, .quantity = quantity};
}

static inline struct value value_count(int64_t count)
{
    return (struct value){.kind = VALUE_COUNT, .count = count};
}

static inline struct value value_word(name_id word)
{
    return (struct value){.kind = VALUE_WORD, .word = word};
}

static inline struct value value_missing(const struct deviation *missing)
{
    return (struct value){.kind = VALUE_MISSING, .missing = missing};
}

static inline struct value value_truth(enum truth truth, struct doubt doubt)
{
    return (struct value){.kind = VALUE_TRUTH,
                          .truth = truth,
                          .doubt_count = doubt.count,
                          .doubt_of = doubt.of};
}

/* Why a truth is open. */
static inline struct doubt truth_doubt(struct value truth)
{
    return (struct doubt){truth.doubt_of, truth.doubt_count};
}
/* A value as a quantity: a count is an exact ratio, a missing one a missing dimension;
 * what is no number has none. NULL: the arena has failed. */
const struct form *value_form(struct arena *arena, struct value value,
                              struct dimension dim);
/* Equal for the engine's one-value-a-key rule: same kind and word or count; quantities
 * equal when their nominals, terms and ranges agree on the grid and they rest on the same
 * dimensions. */
bool value_equal(struct value a, struct value b);
/* The dimensions that keep a from being decided: missing ones first; else all that vary.
 */
struct doubt value_doubt(struct arena *arena, struct value a);
/* Union, sorted by name. */
struct doubt doubt_join(struct arena *arena, struct doubt a, struct doubt b);
bool doubt_misses(
    struct doubt a); /* whether any of them is missing rather than straddling */
enum truth truth_and(enum truth a,
                     enum truth b); /* no beats unknown beats unsure beats yes */
enum truth truth_or(enum truth a, enum truth b);
enum truth truth_not(enum truth a);

#endif
