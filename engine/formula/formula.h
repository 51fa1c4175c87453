/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_FORMULA_H
#define WHYFIT_FORMULA_H

#include "diagnostic.h"
#include "function_entry.h"
#include "stated.h"

/*
 * Mathematical infix with units, in rules and on the command line:
 *
 *   + - * / ^(whole power)   unary -   ( )   |x| is abs(x)
 *   = != < <= > >=   and  or  not   true  false
 *   min(a, b, …)  max(a, b, …)  abs(x)  sqrt(x)  least(x)  greatest(x)  nominal(x)
 *   matches(word, "pattern"): whether the whole word is as the pattern says (pattern.h)
 *   sin cos tan of an angle; every function of the table that was passed in
 *   literals of stated.h ("18 ±0.05 mm", "40 k6"), words in double quotes, $variables
 *   (and, where the scope says so, bare ones: a name before a bracket is a function)
 *
 * Read, then checked against a scope (types and dimensions, each fault with its column),
 * then run any number of times; running has no faults left but domain errors, which are
 * values, and patterns that take too long.
 */
enum type_kind {
    TYPE_QUANTITY,
    TYPE_WORD,
    TYPE_TRUTH
};

struct type {
    enum type_kind kind;
    bool is_exact;        /* a count or literal without tolerance: may be compared by = */
    struct dimension dim; /* TYPE_QUANTITY; counts are ratios; last, so that a copy leaves
                             little padding to chance (see source_file.c) */
};

/* What variables a formula may name; slots number them for running. */
struct scope_variable {
    text name; /* without $ */
    struct type type;
};

struct scope {
    const struct scope_variable *variables;
    /* One a variable, or NULL: what should have bound it was at fault and is reported, so
     * a formula with it is refused without another word. */
    const bool *is_at_fault;
    /* One a variable, or NULL: it stands for nothing here, and is only known by name. */
    const bool *is_hidden;
    uint32_t count;
    const struct function_table *functions; /* may be NULL */
    const struct limits_resolver
        *limits;         /* may be NULL: then a class is a class-unknown fault */
    struct names *names; /* quoted words are interned here */
    bool decimal_comma;  /* the command line understands 0,5 */
    bool bare_variables; /* in a sentence a variable may stand without its $ */
    text owner; /* whose formula it is: its literals are named after it, so that those of
                   two owners never cancel; may be empty */
};

struct formula;

/* Reads and checks `a`, which lies at `where`. *out lives in the arena. A literal with a
 * tolerance is a dimension of its own, named by its text and column. STATUS_INVALID with
 * diagnostics. */
MUST_USE status formula_read(struct arena *arena, text a, span where,
                             const struct scope *scope, struct diagnostics *diagnostics,
                             const struct formula **out);

/* Length of the name at the start of `a`: letters, digits, _ and hyphens before letters.
 * What is not wholly such a name no formula can name. */
size_t formula_name_length(text a);

struct type formula_type(const struct formula *formula);
text formula_text(const struct formula *formula);
span formula_where(const struct formula *formula);
/* Marks in used[slot] each variable the formula names; used has scope.count flags. */
void formula_variables(const struct formula *formula, bool *used);
/* What a formula runs in. */
struct formula_frame {
    const struct value *slots; /* one value a scope variable */
    struct arena *arena;
    struct arena *meanwhile; /* what patterns need is made here; NULL: arena */
    const struct names *names;
    void *world;                     /* handed to functions */
    struct diagnostics *diagnostics; /* where a pattern that takes too long is reported;
                                        may be NULL */
    bool is_stopped;                 /* there was one: what was computed is void */
    struct shared_numbers *numbers;  /* for exact results; may be NULL */
    struct pattern_room *patterns;   /* made when first needed; may be handed on */
    /* Collected from functions that look at the world, and from whoever adds to them; may
     * grow; arena-owned. */
    const struct row **rests_on;
    uint32_t rests_on_count;
    uint32_t rests_on_room;
};

/* Adds a row that what is computed in the frame rests on. */
void formula_rests_on(struct formula_frame *frame, const struct row *row);

/* The value; VALUE_NONE only when the arena has failed or the frame is stopped. A
 * comparison gives a truth with the doubt that keeps it open: unknown when something
 * missing is in it, else unsure. A word that is missing makes = and != unknown. */
struct value formula_run(const struct formula *formula, struct formula_frame *frame);

/* Every comparison of a variable (by its slot) with a word that is written out. */
typedef void formula_word_visitor(void *context, uint32_t variable, text word,
                                  span where);
void formula_compared_words(const struct formula *formula, formula_word_visitor *each,
                            void *context);

#endif
