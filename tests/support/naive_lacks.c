/* SPDX-License-Identifier: MIT */
/*
 * What may be missing from what rules conclude. Every condition of a rule is met by a
 * row, by a gap, or not at all, in all ways; which of them make sense is asked at the
 * end, so that no order of conditions has a meaning.
 */
#include "naive_private.h"

#include <string.h>

enum met {
    MET_BY_ROW,
    MET_BY_GAP,
    NOT_MET /* nothing tells the owner that it asks about */
};

struct way {
    struct attempt attempt;
    enum met met[LIMIT_CONDITIONS];
    struct doubt doubt; /* of the gaps */
    uint32_t gaps;
};

struct wanted {
    struct naive *naive;
    const struct rule *rule;
    struct term owner; /* of what is concluded */
    relation_id relation;
    bool is_changed;
};

/* ---- gaps */

static struct doubt hole(struct naive *naive, const name_id *key)
{
    struct deviation *of = ARENA_NEW(naive->arena, struct deviation);
    const struct deviation **list = ARENA_NEW(naive->arena, const struct deviation *);
    *of = (struct deviation){.name =
                                 text_format(naive->arena, "%.*s: more of %.*s",
                                             TEXT_ARG(names_text(naive->names, key[0])),
                                             TEXT_ARG(names_text(naive->names, key[1]))),
                             .basis = BASIS_MISSING};
    list[0] = of;
    return (struct doubt){list, 1};
}

/* The n-th gap of a relation: what is stated to be partial, then what follows from that.
 * false: there are not that many. */
static bool gap_at(struct naive *naive, relation_id relation, uint32_t n, name_id *owner,
                   struct doubt *doubt)
{
    const struct rule_base *rules = naive->rules;
    const name_id list = naive_shape(naive, relation)->name;
    const relation_id noted[2] = {rules->partial, rules->lacking};
    for (int k = 0; rules->lacking != NO_RELATION && k < 2; k++) {
        const naive_row_array *rows = &naive->tables[noted[k]];
        for (uint32_t i = 0; i < rows->count; i++) {
            const struct row *row = &rows->at[i]->row;
            if (row->key[1] == list && n-- == 0) {
                *owner = row->key[0];
                *doubt = k == 0 ? hole(naive, row->key) : row_doubt(row);
                return true;
            }
        }
    }
    return false;
}

struct doubt naive_holes(struct naive *naive, const struct attempt *attempt,
                         const struct condition *condition)
{
    struct doubt all = {NULL, 0};
    struct doubt one = {NULL, 0};
    name_id owner = NAME_NONE;
    for (uint32_t n = 0; gap_at(naive, condition->relation, n, &owner, &one); n++) {
        struct attempt trial = *attempt;
        if (owner == NAME_NONE || naive_bind_key(&trial, &condition->terms[0], owner)) {
            all = doubt_join(naive->arena, all, one);
        }
    }
    return all;
}

struct doubt naive_lacking(struct naive *naive, relation_id relation, name_id owner)
{
    const struct relation_shape *shape = naive_shape(naive, relation);
    struct doubt all = {NULL, 0};
    struct doubt one = {NULL, 0};
    name_id of = NAME_NONE;
    for (uint32_t n = 0; gap_at(naive, relation, n, &of, &one); n++) {
        if (of == NAME_NONE || (shape->columns[0].kind == COLUMN_NAME && of == owner)) {
            all = doubt_join(naive->arena, all, one);
        }
    }
    return all;
}

/* ---- which ways make sense */

static bool is_table(const struct wanted *wanted, const struct condition *condition)
{
    return !naive_shape(wanted->naive, condition->relation)->is_owned;
}

/* Whether it is told what a condition asks about, when these variables are known. */
static bool is_told(const struct wanted *wanted, const struct condition *condition,
                    const bool *known)
{
    const struct term *owner = &condition->terms[0];
    return wanted->rule->over_catalogue || is_table(wanted, condition) ||
           owner->kind != TERM_VARIABLE || known[owner->variable];
}

static void learn(const struct wanted *wanted, const struct way *way, uint32_t condition,
                  bool *known)
{
    const struct condition *given = &wanted->rule->given[condition];
    const struct relation_shape *shape = naive_shape(wanted->naive, given->relation);
    const uint32_t count = way->met[condition] == MET_BY_ROW ? shape->key_count : 1;
    for (uint32_t c = 0; c < count; c++) {
        const struct term *term = &given->terms[c];
        if (term->kind == TERM_VARIABLE && way->attempt.bound[term->variable]) {
            known[term->variable] = true;
        }
    }
}

/* From the owner of what is concluded on, just what is met is told. */
static bool makes_sense(const struct wanted *wanted, const struct way *way)
{
    bool known[LIMIT_VARIABLES] = {false};
    bool is_learnt[LIMIT_CONDITIONS] = {false};
    const struct rule *rule = wanted->rule;
    if (wanted->owner.kind == TERM_VARIABLE) {
        known[wanted->owner.variable] = true;
    }
    for (uint32_t round = 0; round < rule->given_count; round++) {
        for (uint32_t i = 0; i < rule->given_count; i++) {
            if (way->met[i] != NOT_MET && is_told(wanted, &rule->given[i], known)) {
                learn(wanted, way, i, known);
                is_learnt[i] = true;
            }
        }
    }
    for (uint32_t i = 0; i < rule->given_count; i++) {
        const bool is_right = way->met[i] == NOT_MET
                                  ? !is_told(wanted, &rule->given[i], known)
                                  : is_learnt[i];
        if (!is_right) {
            return false;
        }
    }
    return way->gaps > 0;
}

/* ---- all ways */

static void note(struct wanted *wanted, const struct way *way)
{
    struct naive *naive = wanted->naive;
    const struct relation_shape *shape = naive_shape(naive, wanted->relation);
    const struct term *owner = &wanted->owner;
    const naive_row_array *rows = &naive->tables[naive->rules->lacking];
    name_id key[2] = {NAME_NONE, shape->name};
    if (shape->columns[0].kind == COLUMN_NAME && owner->kind == TERM_NAME) {
        key[0] = owner->name;
    } else if (shape->columns[0].kind == COLUMN_NAME && owner->kind == TERM_VARIABLE &&
               way->attempt.bound[owner->variable]) {
        key[0] = way->attempt.cells[owner->variable];
    }
    struct naive_row *there = NULL;
    for (uint32_t i = 0; i < rows->count; i++) {
        there = memcmp(rows->at[i]->row.key, key, sizeof key) == 0 ? rows->at[i] : there;
    }
    if (there == NULL) {
        const struct row row = {.relation = naive->rules->lacking,
                                .standing = STANDING_OPEN,
                                .origin = ORIGIN_COMPUTED,
                                .key = arena_copy(naive->arena, key, sizeof key)};
        naive_fact(naive, &row);
        there = rows->at[rows->count - 1];
        wanted->is_changed = true;
    }
    const uint32_t before = row_doubt(&there->row).count;
    struct row_more *more = ARENA_NEW(naive->arena, struct row_more);
    more->doubt = doubt_join(naive->arena, row_doubt(&there->row), way->doubt);
    there->row.more = more;
    wanted->is_changed = wanted->is_changed || more->doubt.count > before;
}

static void try_ways(struct wanted *wanted, uint32_t condition, const struct way *so_far)
{
    struct naive *naive = wanted->naive;
    if (condition == wanted->rule->given_count) {
        if (makes_sense(wanted, so_far)) {
            note(wanted, so_far);
        }
        return;
    }
    const struct condition *given = &wanted->rule->given[condition];
    for (uint32_t i = 0; i < naive->tables[given->relation].count; i++) {
        struct way next = *so_far;
        next.met[condition] = MET_BY_ROW;
        if (naive_row_fits(naive, &next.attempt, given,
                           naive->tables[given->relation].at[i])
                .truth != TRUTH_NO) {
            try_ways(wanted, condition + 1, &next);
        }
    }
    struct doubt doubt = {NULL, 0};
    name_id owner = NAME_NONE;
    for (uint32_t n = 0; gap_at(naive, given->relation, n, &owner, &doubt); n++) {
        struct way next = *so_far;
        next.met[condition] = MET_BY_GAP;
        next.gaps++;
        next.doubt = doubt_join(naive->arena, next.doubt, doubt);
        if (owner == NAME_NONE ||
            naive_bind_key(&next.attempt, &given->terms[0], owner)) {
            try_ways(wanted, condition + 1, &next);
        }
    }
    struct way next = *so_far;
    next.met[condition] = NOT_MET;
    try_ways(wanted, condition + 1, &next);
}

bool naive_lacks(struct naive *naive, const struct rule *rule)
{
    struct wanted wanted = {.naive = naive, .rule = rule};
    const struct way nothing = {.attempt = {.rule = rule}};
    bool is_any = false;
    for (uint32_t i = 0; naive->rules->lacking != NO_RELATION && i < rule->given_count;
         i++) {
        struct doubt doubt = {NULL, 0};
        name_id owner = NAME_NONE;
        is_any = is_any || gap_at(naive, rule->given[i].relation, 0, &owner, &doubt);
    }
    for (uint32_t i = 0; is_any && i < rule->conclusion_count; i++) {
        wanted.owner = rule->conclusions[i].terms[0];
        wanted.relation = rule->conclusions[i].relation;
        try_ways(&wanted, 0, &nothing);
    }
    if (is_any && rule->has_check) {
        wanted.owner = (struct term){.kind = TERM_VARIABLE, .variable = rule->keys[0]};
        wanted.relation = rule->finding;
        try_ways(&wanted, 0, &nothing);
    }
    return wanted.is_changed;
}
