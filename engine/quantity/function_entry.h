/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_FUNCTION_ENTRY_H
#define WHYFIT_FUNCTION_ENTRY_H

#include "value.h"

/*
 * How formulas reach functions they know nothing about: mechanics and assembly each give
 * a table, knowledge joins them. Types are checked when a formula is read, never while it
 * runs.
 */
enum argument_kind {
    ARGUMENT_QUANTITY,
    ARGUMENT_WORD
};

struct argument {
    enum argument_kind kind;
    const char
        *dimension;   /* a word for dimension_find; "any"; "same" (as the first "any") */
    const char *name; /* shown in help */
};

#define FUNCTION_ARGUMENTS 8u

struct function_call;

struct function_entry {
    const char *name;
    struct argument arguments[FUNCTION_ARGUMENTS];
    uint32_t argument_count;
    struct argument result;
    /* Fills call->result; false only when the arena has failed. A domain error is a
     * result: form_undefined with its reason. */
    bool (*run)(struct function_call *call);
    const struct form_law *law; /* what `run` works out, where it is a law of all
                                   arguments; NULL: it needs none */
    const char *source; /* standard or handbook, edition, clause; or "common practice, no
                           source" */
    const char *range;  /* where it holds, in words: "any", "0 < bore < outside" */
    const char *help;   /* one sentence */
};

struct function_table {
    const struct function_entry *const *entries; /* sorted by name */
    uint32_t count;
};

/* A row a computed answer rests on; opaque here (relation/ knows it). */
struct row;

struct function_call {
    const struct function_entry *entry;
    const struct value *arguments;
    struct arena *arena;
    const struct names *names;
    void *world; /* what the asker passed down: the assembly being judged */
    struct value result;
    /* Rows the result rests on beyond the arguments: filled by functions that look at the
     * world. */
    const struct row *const *rests_on;
    uint32_t rests_on_count;
};

#endif
