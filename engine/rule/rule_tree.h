/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_RULE_TREE_H
#define WHYFIT_RULE_TREE_H

#include "formula.h"
#include "vocabulary.h"

/*
 * A checked rule. Variables are numbered slots, shared by conditions and formulas. Key
 * variables are bound by key columns, value variables by value columns or `let`.
 */
enum term_kind {
    TERM_ANY, /* the column is not mentioned */
    TERM_VARIABLE,
    TERM_NAME,  /* a constant name or word */
    TERM_NUMBER /* a constant count */
};

struct term {
    enum term_kind kind;
    uint32_t variable;
    name_id name;
    int64_t number;
    span where;
};

struct condition {
    relation_id relation;
    const struct term *terms; /* one a column of the relation */
    span where;
};

struct rule_variable {
    text name;          /* without $ */
    bool is_key;        /* bound by a key column */
    bool is_number_key; /* of kind COLUMN_NUMBER: cells are counts */
    struct type type;   /* for formulas: a key name is TYPE_WORD */
    bool is_computed;   /* by `let` or an aggregate */
    span where;         /* where it is bound first */
};

/* An aggregate over finished rows: `count: {n: {relation: {…}}}` binds n to how many rows
 * match; `sum: {x: {of: {relation: {…, column: $v}}, value: $v}}` binds x to what a
 * column of theirs adds up to, `least` and `greatest` to its ends; `every: [{of:
 * {relation: {…}}, is: formula}]` is a condition. Variables first seen in `of` are bound
 * anew for each row. */
enum tally_kind {
    TALLY_COUNT,
    TALLY_SUM,
    TALLY_LEAST,
    TALLY_GREATEST,
    TALLY_EVERY
};

struct tally {
    enum tally_kind kind;
    struct condition of;
    uint32_t result;          /* the variable bound; none by TALLY_EVERY */
    uint32_t column;          /* whose values are taken, keys counted first */
    const struct formula *is; /* TALLY_EVERY */
    span where;
};

struct let {
    uint32_t variable;
    const struct formula *formula;
};

struct conclusion {
    relation_id relation;
    const struct term *terms; /* none is TERM_ANY */
    span where;
};

/* How a finding is set beside the host's. */
enum judged {
    JUDGED_BY_DIFFERENCE,   /* what the host had already, or worse, does not count */
    JUDGED_ABSOLUTELY,      /* strength, locking, brakes: never excused by the host's */
    JUDGED_WHERE_IT_ARISES, /* asked only where something offends: gone is good */
};

enum weight {
    WEIGHT_STOPS,
    WEIGHT_CAUTIONS
};

/* A sentence with blanks: literal, formula, literal, …; formulas may be single variables.
 */
struct sentence_piece {
    text literal;
    const struct formula *formula; /* NULL: the literal alone */
};

struct sentence {
    const struct sentence_piece *pieces;
    uint32_t count;
};

enum mend_kind {
    MEND_ADJUST,
    MEND_RENEW,
    MEND_BUY,
    MEND_MACHINE
};

/* How a mend is tried, as a swap of its own. */
enum trial_kind {
    TRIAL_NONE,   /* advice: nobody can try it here, so it cures nothing */
    TRIAL_FILL,   /* a place gets another example of its part, or a part of a kind */
    TRIAL_STROKE, /* a piece that is put to a depth is put to another */
    TRIAL_GIVEN   /* a dimension of a piece becomes another one */
};

/* A piece of the finding, or a place of the unit by its name. */
struct trial_place {
    uint32_t variable; /* a key variable, or UINT32_MAX */
    name_id place;
};

struct trial {
    enum trial_kind kind;
    struct trial_place at;
    name_id
        of_kind; /* TRIAL_FILL: parts of this kind; NAME_NONE: another of its number */
    name_id feature; /* TRIAL_GIVEN */
    name_id field;
    const struct formula *value;
    span where;
};

/* mend: [{adjust: "sentence", where: formula, try: {stroke: $seal}}]: offered when its
 * `where` says yes, and cures when the swap that it is tried as works. */
struct mend {
    enum mend_kind kind;
    struct sentence what;
    const struct formula *where; /* NULL: always */
    struct trial trial;
};

struct rule {
    name_id name;
    text says;
    text source;
    span where;
    const struct rule_variable *variables;
    uint32_t variable_count;
    const struct condition *given;
    uint32_t given_count;
    const struct condition *unless;
    uint32_t unless_count;
    const struct tally *tallies;
    uint32_t tally_count;
    const struct let *lets; /* in the order written; each may use those before it */
    uint32_t let_count;
    const struct formula *const *filters; /* `where` */
    uint32_t filter_count;
    const struct conclusion *conclusions;
    uint32_t conclusion_count;
    /* check */
    bool has_check;
    const struct formula *margin;
    enum weight weight;
    enum judged judged;
    bool answers_leaks; /* `answers: leaks`: that question shows its findings */
    bool answers_swap;  /* unless it answers lint alone */
    bool answers_lint;  /* `answers: lint`: asked of every unit as it is written */
    /* `line: {section: fit, order: FORMULA, text: "…"}`: a line of the set-up sheet,
     * which alone shows it. It is kept like a check that warns: the sentence is
     * `because`, and `margin` its order in the section, the least first. */
    bool answers_sheet;
    text section;
    span section_where;
    relation_id finding;  /* the relation its findings fill, named like the rule */
    const uint32_t *keys; /* key variables, the owner first: the finding's key */
    uint32_t key_count;
    struct sentence because;
    const struct mend *mends;
    uint32_t mend_count;
    uint32_t group;      /* index into the groups */
    bool over_catalogue; /* runs once at load */
};

/* Rules whose relations depend on each other, evaluated together; groups are in an order
 * in which each reads only finished ones. */
struct rule_group {
    const uint32_t *rules; /* indices, sorted by rule name */
    uint32_t count;
    bool is_recursive;
};

#define NO_RELATION UINT32_MAX

struct rule_base {
    const struct relation_shape
        *shapes; /* the vocabulary's, then one a rule with a check */
    uint32_t shape_count;
    const struct rule *rules; /* sorted by name */
    uint32_t rule_count;
    const struct rule_group *groups;
    uint32_t group_count;
    const struct vocabulary *vocabulary;
    /* `partial`, and the relation behind all others of what may be missing from what is
     * concluded (lacks.c); NO_RELATION where nothing can be partial. */
    relation_id partial;
    relation_id lacking;
};

/* Value columns of every finding relation: `margin` then `outcome`. */
enum {
    FINDING_MARGIN,
    FINDING_OUTCOME,
    FINDING_VALUES
};

#endif
