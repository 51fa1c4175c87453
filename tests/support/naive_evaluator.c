/* SPDX-License-Identifier: MIT */
/*
 * Groups, rounds and reasons. A round gathers all that follows from the rows there are,
 * and only then adds it.
 */
#include "naive_evaluator.h"

#include "naive_private.h"

#include <string.h>

/* ---- joining what a round has derived */

static struct naive_row *find_row(const struct naive *naive, relation_id relation,
                                  const name_id *key)
{
    const naive_row_array *rows = &naive->tables[relation];
    const size_t size = naive_shape(naive, relation)->key_count * sizeof *key;
    for (uint32_t i = 0; i < rows->count; i++) {
        if (memcmp(rows->at[i]->row.key, key, size) == 0) {
            return rows->at[i];
        }
    }
    return NULL;
}

/* A copy of what the row has besides key and values, to be changed. */
static struct row_more *more_of(struct naive *naive, struct row *row)
{
    struct row_more *more = ARENA_NEW(naive->arena, struct row_more);
    if (row->more != NULL) {
        *more = *row->more;
    }
    row->more = more;
    return more;
}

/* A value on which open derivations disagree is not known. */
static bool join_values(struct naive *naive, struct row *there, const struct row *row)
{
    const struct relation_shape *shape = naive_shape(naive, row->relation);
    struct value *values = arena_copy(naive->arena, there->values,
                                      shape->value_count * sizeof *there->values);
    bool is_changed = false;
    for (uint32_t v = 0; v < shape->value_count; v++) {
        const struct column *column = &shape->columns[shape->key_count + v];
        if (row_is_contested(there, v) || value_equal(values[v], row->values[v])) {
            continue;
        }
        more_of(naive, there)->contested |= UINT64_C(1) << v;
        values[v] = column->kind == COLUMN_QUANTITY
                        ? value_quantity(form_undefined(naive->arena, column->dim, "-"))
                        : value_missing(NULL);
        is_changed = true;
    }
    there->values = values;
    return is_changed;
}

static bool same_values(const struct naive *naive, const struct row *a,
                        const struct row *b)
{
    for (uint32_t v = 0; v < naive_shape(naive, a->relation)->value_count; v++) {
        if (!row_is_contested(a, v) && !value_equal(a->values[v], b->values[v])) {
            return false;
        }
    }
    return true;
}

static void note_conflict(struct naive *naive, struct naive_row *there)
{
    for (uint32_t i = 0; i < naive->conflicts.count; i++) {
        if (naive->conflicts.at[i] == there) {
            return;
        }
    }
    (void)ARRAY_PUSH(naive->arena, &naive->conflicts, there);
}

static bool add_new(struct naive *naive, const struct row *row)
{
    struct naive_row *made = ARENA_NEW(naive->arena, struct naive_row);
    made->row = *row;
    return ARRAY_PUSH(naive->arena, &naive->tables[row->relation], made);
}

/* true: something changed. */
static bool add_derived(struct naive *naive, const struct row *row)
{
    struct naive_row *found = find_row(naive, row->relation, row->key);
    if (found == NULL) {
        return add_new(naive, row);
    }
    struct row *there = &found->row;
    if (there->standing != row->standing) {
        const bool is_sure_now = row->standing == STANDING_SURE;
        *there = is_sure_now ? *row : *there;
        return is_sure_now;
    }
    const bool is_lower = row->height < there->height;
    there->height = is_lower ? row->height : there->height;
    if (row->standing == STANDING_SURE) {
        if (!same_values(naive, there, row)) {
            note_conflict(naive, found);
        }
        return is_lower;
    }
    const uint32_t before = row_doubt(there).count;
    more_of(naive, there)->doubt =
        doubt_join(naive->arena, row_doubt(there), row_doubt(row));
    return join_values(naive, there, row) || is_lower || row_doubt(there).count > before;
}

static void gather(struct naive *naive, const struct attempt *attempt,
                   const struct row *row)
{
    if (attempt->is_open == naive->is_open_pass) {
        (void)ARRAY_PUSH(naive->arena, &naive->derived, *row);
    }
}

/* ---- groups */

/* reaches[a * n + b]: what is in relation b may follow from what is in relation a. */
struct dependence {
    uint32_t count;
    bool *reaches;
};

static bool reaches(const struct dependence *on, relation_id a, relation_id b)
{
    return on->reaches[(size_t)a * on->count + b];
}

static uint32_t heads_of(const struct rule *rule, relation_id *heads)
{
    uint32_t count = 0;
    for (uint32_t i = 0; i < rule->conclusion_count; i++) {
        heads[count++] = rule->conclusions[i].relation;
    }
    if (rule->has_check) {
        heads[count++] = rule->finding;
    }
    return count;
}

static uint32_t read_by(const struct rule *rule, relation_id *read)
{
    uint32_t count = 0;
    for (uint32_t i = 0; i < rule->given_count; i++) {
        read[count++] = rule->given[i].relation;
    }
    for (uint32_t i = 0; i < rule->unless_count; i++) {
        read[count++] = rule->unless[i].relation;
    }
    for (uint32_t i = 0; i < rule->tally_count; i++) {
        read[count++] = rule->tallies[i].of.relation;
    }
    return count;
}

static void depend(const struct dependence *on, const struct rule *rule)
{
    relation_id heads[LIMIT_CONDITIONS + 1];
    relation_id read[4 * LIMIT_CONDITIONS];
    const uint32_t head_count = heads_of(rule, heads);
    const uint32_t read_count = read_by(rule, read);
    for (uint32_t h = 0; h < head_count; h++) {
        for (uint32_t i = 0; i < read_count; i++) {
            on->reaches[(size_t)read[i] * on->count + heads[h]] = true;
        }
        /* What a rule concludes it concludes at once. */
        for (uint32_t k = 0; k < head_count; k++) {
            on->reaches[(size_t)heads[k] * on->count + heads[h]] = true;
        }
    }
}

static struct dependence find_dependence(struct naive *naive)
{
    const uint32_t count = naive->rules->shape_count;
    const struct dependence on = {count,
                                  ARENA_MANY(naive->arena, (size_t)count * count, bool)};
    for (uint32_t i = 0; i < naive->rules->rule_count; i++) {
        depend(&on, &naive->rules->rules[i]);
    }
    for (uint32_t middle = 0; middle < count; middle++) {
        for (uint32_t a = 0; a < count; a++) {
            for (uint32_t b = 0; reaches(&on, a, middle) && b < count; b++) {
                if (reaches(&on, middle, b)) {
                    on.reaches[(size_t)a * count + b] = true;
                }
            }
        }
    }
    return on;
}

static bool same_group(const struct dependence *on, relation_id a, relation_id b)
{
    return a == b || (reaches(on, a, b) && reaches(on, b, a));
}

static relation_id head_of(const struct rule *rule)
{
    relation_id heads[LIMIT_CONDITIONS + 1];
    return heads_of(rule, heads) > 0 ? heads[0] : 0;
}

/* Whether no rule that is not done leads to the group of `head` from outside it. */
static bool is_ready(const struct naive *naive, const struct dependence *on,
                     const bool *is_done, relation_id head)
{
    for (uint32_t i = 0; i < naive->rules->rule_count; i++) {
        const relation_id other = head_of(&naive->rules->rules[i]);
        if (!is_done[i] && !same_group(on, other, head) && reaches(on, other, head)) {
            return false;
        }
    }
    return true;
}

static bool run_round(struct naive *naive, const struct dependence *on, relation_id head)
{
    bool is_changed = false;
    naive->derived.count = 0;
    for (uint32_t i = 0; i < naive->rules->rule_count; i++) {
        const struct rule *rule = &naive->rules->rules[i];
        const bool is_left_out = rule->over_catalogue && naive->runs > 0;
        if (same_group(on, head_of(rule), head) && !is_left_out) {
            naive_attempts(naive, rule);
        }
    }
    for (uint32_t i = 0; i < naive->derived.count; i++) {
        is_changed = add_derived(naive, &naive->derived.at[i]) || is_changed;
    }
    return is_changed;
}

static bool note_lacks(struct naive *naive, const struct dependence *on, relation_id head)
{
    bool is_changed = false;
    for (uint32_t i = 0; i < naive->rules->rule_count; i++) {
        const struct rule *rule = &naive->rules->rules[i];
        const bool is_left_out = rule->over_catalogue && naive->runs > 0;
        if (same_group(on, head_of(rule), head) && !is_left_out) {
            is_changed = naive_lacks(naive, rule) || is_changed;
        }
    }
    return is_changed;
}

/* An open row of an owner of whom such rows may be missing could have any values. */
static bool contest_row(struct naive *naive, struct row *row)
{
    const struct relation_shape *shape = naive_shape(naive, row->relation);
    const uint32_t before = row_doubt(row).count;
    const struct doubt why = naive_lacking(naive, row->relation, row->key[0]);
    struct value *values = ARENA_MANY(naive->arena, shape->value_count, struct value);
    bool is_changed = false;
    if (row->standing == STANDING_SURE || shape->value_count == 0 || why.count == 0) {
        return false;
    }
    struct row_more *more = more_of(naive, row);
    more->doubt = doubt_join(naive->arena, more->doubt, why);
    for (uint32_t v = 0; v < shape->value_count; v++) {
        const struct column *column = &shape->columns[shape->key_count + v];
        is_changed = is_changed || !row_is_contested(row, v);
        more->contested |= UINT64_C(1) << v;
        values[v] = column->kind == COLUMN_QUANTITY
                        ? value_quantity(form_undefined(naive->arena, column->dim, "-"))
                        : value_missing(NULL);
    }
    row->values = values;
    return is_changed || more->doubt.count > before;
}

static bool contest_rows(struct naive *naive, const struct dependence *on,
                         relation_id head)
{
    bool is_changed = false;
    for (relation_id r = 0; r < naive->rules->shape_count; r++) {
        for (uint32_t i = 0; same_group(on, r, head) && i < naive->tables[r].count; i++) {
            is_changed = contest_row(naive, &naive->tables[r].at[i]->row) || is_changed;
        }
    }
    return is_changed;
}

static void run_group(struct naive *naive, const struct dependence *on, relation_id head)
{
    naive->is_open_pass = false;
    while (run_round(naive, on, head)) {
    }
    naive->is_open_pass = true;
    bool is_changed = true;
    while (is_changed) {
        while (run_round(naive, on, head)) {
        }
        while (note_lacks(naive, on, head)) {
        }
        is_changed = contest_rows(naive, on, head);
    }
}

enum naive_end naive_run(struct naive *naive)
{
    const struct dependence on = find_dependence(naive);
    const uint32_t count = naive->rules->rule_count;
    naive->take = gather;
    bool *is_done = ARENA_MANY(naive->arena, count, bool);
    for (uint32_t next = 0; next < count;) {
        for (next = 0; next < count; next++) {
            const relation_id head = head_of(&naive->rules->rules[next]);
            if (is_done[next] || !is_ready(naive, &on, is_done, head)) {
                continue;
            }
            run_group(naive, &on, head);
            for (uint32_t i = 0; i < count; i++) {
                is_done[i] =
                    is_done[i] || same_group(&on, head_of(&naive->rules->rules[i]), head);
            }
            break;
        }
    }
    naive->runs++;
    return naive->conflicts.count == 0 ? NAIVE_DONE : NAIVE_CONFLICT;
}

/* ---- reasons */

static int compare_terms(const struct naive *naive, const struct attempt *attempt,
                         const struct term *a, const struct term *b)
{
    const struct rule_variable *variables = attempt->rule->variables;
    if (a->kind != b->kind) {
        return a->kind < b->kind ? -1 : 1;
    }
    switch (a->kind) {
    case TERM_VARIABLE:
        return text_compare(variables[a->variable].name, variables[b->variable].name);
    case TERM_NAME:
        return names_compare(naive->names, a->name, b->name);
    case TERM_NUMBER:
        return (a->number > b->number) - (a->number < b->number);
    case TERM_ANY:
        break;
    }
    return 0;
}

static int compare_conditions(const struct naive *naive, const struct attempt *attempt,
                              const struct condition *a, const struct condition *b)
{
    const struct relation_shape *shape = naive_shape(naive, a->relation);
    int order =
        names_compare(naive->names, shape->name, naive_shape(naive, b->relation)->name);
    for (uint32_t c = 0; order == 0 && c < shape->key_count + shape->value_count; c++) {
        order = compare_terms(naive, attempt, &a->terms[c], &b->terms[c]);
    }
    return order;
}

static int compare_rows(const struct naive *naive, const struct naive_row *a,
                        const struct naive_row *b)
{
    const struct relation_shape *shape = naive_shape(naive, a->row.relation);
    int order = names_compare(naive->names, shape->name,
                              naive_shape(naive, b->row.relation)->name);
    for (uint32_t c = 0; order == 0 && c < shape->key_count; c++) {
        const name_id left = a->row.key[c];
        const name_id right = b->row.key[c];
        order = shape->columns[c].kind == COLUMN_NUMBER
                    ? (left > right) - (left < right)
                    : names_compare(naive->names, left, right);
    }
    return order;
}

/* The heights of premises, the highest first. */
static void sort_heights(const struct naive_row *const *premises, uint32_t count,
                         uint32_t *out)
{
    for (uint32_t i = 0; i < count; i++) {
        uint32_t to = i;
        for (; to > 0 && out[to - 1] < premises[i]->row.height; to--) {
            out[to] = out[to - 1];
        }
        out[to] = premises[i]->row.height;
    }
}

static int compare_heights(const struct attempt *attempt, const struct naive_why *best)
{
    uint32_t ours[LIMIT_CONDITIONS];
    uint32_t theirs[LIMIT_CONDITIONS];
    const uint32_t count = attempt->rule->given_count;
    const uint32_t best_count = best->rule->given_count;
    sort_heights(attempt->premises, count, ours);
    sort_heights(best->premises, best_count, theirs);
    for (uint32_t i = 0; i < count && i < best_count; i++) {
        if (ours[i] != theirs[i]) {
            return ours[i] < theirs[i] ? -1 : 1;
        }
    }
    return (count > best_count) - (count < best_count);
}

/* The premises of one rule, in the order of its conditions as text. */
static int compare_premises(const struct naive *naive, const struct attempt *attempt,
                            const struct naive_why *best)
{
    const struct rule *rule = attempt->rule;
    uint32_t order[LIMIT_CONDITIONS];
    for (uint32_t i = 0; i < rule->given_count; i++) {
        uint32_t to = i;
        for (; to > 0 && compare_conditions(naive, attempt, &rule->given[i],
                                            &rule->given[order[to - 1]]) < 0;
             to--) {
            order[to] = order[to - 1];
        }
        order[to] = i;
    }
    int result = 0;
    for (uint32_t i = 0; result == 0 && i < rule->given_count; i++) {
        result =
            compare_rows(naive, attempt->premises[order[i]], best->premises[order[i]]);
    }
    return result;
}

static bool is_less(const struct naive *naive, const struct attempt *attempt,
                    const struct naive_why *best)
{
    int order = compare_heights(attempt, best);
    if (order == 0) {
        order = names_compare(naive->names, attempt->rule->name, best->rule->name);
    }
    return order != 0 ? order < 0 : compare_premises(naive, attempt, best) < 0;
}

static void offer_reason(struct naive *naive, const struct attempt *attempt,
                         const struct row *derived)
{
    struct naive_row *found = find_row(naive, derived->relation, derived->key);
    if (found == NULL || found->row.standing != derived->standing ||
        derived->height > found->row.height ||
        !same_values(naive, &found->row, derived)) {
        return;
    }
    if (found->why != NULL && !is_less(naive, attempt, found->why)) {
        return;
    }
    struct naive_why *why = ARENA_NEW(naive->arena, struct naive_why);
    why->rule = attempt->rule;
    why->doubt = attempt->doubt;
    memcpy(why->premises, attempt->premises, sizeof attempt->premises);
    for (uint32_t i = 0; i < attempt->rule->variable_count; i++) {
        why->slots[i] = attempt->bound[i] ? attempt->slots[i] : (struct value){0};
    }
    found->why = why;
}

void naive_explain(struct naive *naive)
{
    naive->take = offer_reason;
    for (uint32_t i = 0; i < naive->rules->rule_count; i++) {
        naive_attempts(naive, &naive->rules->rules[i]);
    }
}

/* ---- in and out */

struct naive *naive_open(struct arena *arena, const struct rule_base *rules,
                         const struct names *names)
{
    struct naive *naive = ARENA_NEW(arena, struct naive);
    if (naive == NULL) {
        return NULL;
    }
    naive->arena = arena;
    naive->rules = rules;
    naive->names = names;
    naive->tables = ARENA_MANY(arena, rules->shape_count, naive_row_array);
    return naive->tables == NULL ? NULL : naive;
}

void naive_fact(struct naive *naive, const struct row *row)
{
    (void)add_new(naive, row);
}

const struct naive_row *const *naive_rows(const struct naive *naive, relation_id relation,
                                          uint32_t *count_out)
{
    *count_out = naive->tables[relation].count;
    return (const struct naive_row *const *)naive->tables[relation].at;
}

uint32_t naive_conflicts(const struct naive *naive, const struct naive_row **first_out)
{
    *first_out = naive->conflicts.count > 0 ? naive->conflicts.at[0] : NULL;
    return naive->conflicts.count;
}
