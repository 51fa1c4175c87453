/* SPDX-License-Identifier: MIT */
/*
 * Why is a row there? Its rules are run backwards with the row's key bound, over premises
 * of lower height only, so that every chain ends. Of all justifications the least is
 * kept: by the heights of its premises from the highest down, then the rule's name, then
 * the premises as text, condition by condition in the order of the conditions as text.
 * Plans, threads and the order in which facts, rules and conditions were written can
 * therefore not be seen in it.
 */
#include "match_rule.h"

#include <stdlib.h>

struct search {
    const struct row *row;
    bool wants_other; /* what gives the row's key other values than the row has */
    const struct conclusion *conclusion; /* NULL: the finding */
    uint32_t order[LIMIT_CONDITIONS];    /* conditions of the rule searched, by text */
    const struct rule *rule;             /* of the best so far; NULL: none */
    const struct row *premises[LIMIT_CONDITIONS];
    uint32_t heights[LIMIT_CONDITIONS]; /* of the best, highest first */
    struct value slots[LIMIT_VARIABLES];
    const struct value *values;
    struct doubt doubt;
    const struct row *const *extra;
    uint32_t extra_count;
};

static int compare_heights(const void *a, const void *b)
{
    const uint32_t left = *(const uint32_t *)a;
    const uint32_t right = *(const uint32_t *)b;
    return (left < right) - (left > right);
}

static void heights_of(const struct match *match, uint32_t *out)
{
    const uint32_t count = match->rule->given_count;
    for (uint32_t i = 0; i < count; i++) {
        out[i] = match->premises[i]->height;
    }
    qsort(out, count, sizeof *out, compare_heights);
}

/* Compares the match with the best so far: -1 when the match is less. */
static int compare_found(const struct match *match, const struct search *best,
                         const uint32_t *heights)
{
    const struct names *names = match->options->names;
    const uint32_t count = match->rule->given_count;
    const uint32_t best_count = best->rule->given_count;
    int order = 0;
    for (uint32_t i = 0; order == 0 && i < count && i < best_count; i++) {
        order = (heights[i] > best->heights[i]) - (heights[i] < best->heights[i]);
    }
    if (order == 0) {
        order = (count > best_count) - (count < best_count);
    }
    if (order == 0) {
        order = names_compare(names, match->rule->name, best->rule->name);
    }
    for (uint32_t i = 0; order == 0 && i < count; i++) {
        const uint32_t at = best->order[i];
        order = row_compare(match->store, names, match->premises[at], best->premises[at]);
    }
    return order;
}

/* ---- the order of conditions */

static int compare_terms(const struct match *match, const struct term *a,
                         const struct term *b)
{
    const struct rule_variable *variables = match->rule->variables;
    if (a->kind != b->kind) {
        return a->kind < b->kind ? -1 : 1;
    }
    switch (a->kind) {
    case TERM_VARIABLE:
        return text_compare(variables[a->variable].name, variables[b->variable].name);
    case TERM_NAME:
        return names_compare(match->options->names, a->name, b->name);
    case TERM_NUMBER:
        return (a->number > b->number) - (a->number < b->number);
    case TERM_ANY:
        break;
    }
    return 0;
}

/* By relation, then term by term. Two that are the same bind the same, so that it does
 * not show which of them comes first. */
static int compare_conditions(const struct match *match, const struct condition *a,
                              const struct condition *b)
{
    const struct relation_shape *shape = store_shape(match->store, a->relation);
    int order = names_compare(match->options->names, shape->name,
                              store_shape(match->store, b->relation)->name);
    for (uint32_t c = 0; order == 0 && c < shape->key_count + shape->value_count; c++) {
        order = compare_terms(match, &a->terms[c], &b->terms[c]);
    }
    return order;
}

static void order_conditions(const struct match *match, uint32_t *order)
{
    const struct rule *rule = match->rule;
    for (uint32_t i = 0; i < rule->given_count; i++) {
        uint32_t to = i;
        while (to > 0 && compare_conditions(match, &rule->given[i],
                                            &rule->given[order[to - 1]]) < 0) {
            order[to] = order[to - 1];
            to--;
        }
        order[to] = i;
    }
}

/* ---- the search */

static bool same_values(const struct match *match, const struct row *row,
                        const struct value *values)
{
    const uint32_t count = store_shape(match->store, row->relation)->value_count;
    for (uint32_t v = 0; v < count; v++) {
        const bool is_contested = row_is_contested(row, v);
        if (!is_contested && !value_equal(values[v], row->values[v])) {
            return false;
        }
    }
    return true;
}

/* Whether the match concludes what is searched for; fills what values it gives. */
static bool is_wanted(struct match *match, const struct search *search,
                      struct value *values)
{
    const struct row *row = search->row;
    const uint32_t key_count = store_shape(match->store, row->relation)->key_count;
    name_id key[LIMIT_KEY_COLUMNS];
    const bool is_open = row->standing == STANDING_OPEN;
    if (match->is_open != is_open) {
        return false;
    }
    if (search->conclusion != NULL) {
        match_conclusion(match, search->conclusion, key, values);
    } else if (!match_finding(match, key, values)) {
        return false;
    }
    for (uint32_t c = 0; c < key_count; c++) {
        if (key[c] != row->key[c]) {
            return false;
        }
    }
    return same_values(match, row, values) != search->wants_other;
}

static bool keep_least(struct match *match)
{
    struct search *search = match->context;
    uint32_t heights[LIMIT_CONDITIONS];
    struct value values[LIMIT_VALUE_COLUMNS];
    const uint32_t value_count =
        store_shape(match->store, search->row->relation)->value_count;
    if (!is_wanted(match, search, values)) {
        return match->result == STATUS_OK;
    }
    heights_of(match, heights);
    if (search->rule != NULL && compare_found(match, search, heights) >= 0) {
        return true;
    }
    search->rule = match->rule;
    search->doubt = match->doubt;
    search->values = arena_copy(match->arena, values, value_count * sizeof *values);
    for (uint32_t i = 0; i < match->rule->given_count; i++) {
        search->premises[i] = match->premises[i];
        search->heights[i] = heights[i];
    }
    for (uint32_t i = 0; i < match->rule->variable_count; i++) {
        search->slots[i] = match_is_bound(match, i) ? match->slots[i] : (struct value){0};
    }
    search->extra_count = match->frame.rests_on_count;
    search->extra = arena_copy(match->arena, match->frame.rests_on,
                               search->extra_count * sizeof *match->frame.rests_on);
    return true;
}

/* Binds the variables that stand in the key of what is concluded; false when a constant
 * there says that this conclusion is not it. */
static bool bind_key(struct match *match, const struct search *search)
{
    const struct rule *rule = match->rule;
    const struct row *row = search->row;
    const uint32_t count = store_shape(match->store, row->relation)->key_count;
    match->bound = 0;
    for (uint32_t c = 0; c < count; c++) {
        if (search->conclusion == NULL) {
            match_bind_key(match, rule->keys[c], row->key[c]);
            continue;
        }
        const struct term *term = &search->conclusion->terms[c];
        const name_id cell = term->kind == TERM_NAME ? term->name : (name_id)term->number;
        if (term->kind == TERM_VARIABLE) {
            match_bind_key(match, term->variable, row->key[c]);
        } else if (cell != row->key[c]) {
            return false;
        }
    }
    return true;
}

static status search_rule(struct match *match, struct search *search,
                          const struct rule *rule)
{
    match->rule = rule;
    for (uint32_t i = 0; i <= rule->conclusion_count; i++) {
        const bool is_finding = i == rule->conclusion_count;
        const relation_id head =
            is_finding ? rule->finding : rule->conclusions[i].relation;
        if (is_finding && !rule->has_check) {
            continue;
        }
        search->conclusion = is_finding ? NULL : &rule->conclusions[i];
        if (head == search->row->relation && bind_key(match, search)) {
            order_conditions(match, search->order);
            TRY(match_run(match, UINT32_MAX, NULL));
        }
    }
    return STATUS_OK;
}

static status search_all(const struct rule_base *rules, struct match *match,
                         struct search *search, struct justification *out)
{
    struct inference_counts own = {0};
    match->rules = rules;
    match->counts = match->options->counts != NULL ? match->options->counts : &own;
    match->found = keep_least;
    match->keeps_rows = true;
    match->context = search;
    for (uint32_t i = 0; i < rules->rule_count; i++) {
        TRY(search_rule(match, search, &rules->rules[i]));
    }
    TRY(arena_status(match->arena));
    if (search->rule == NULL) {
        return STATUS_NOT_FOUND;
    }
    *out = (struct justification){.rule = search->rule,
                                  .slots = search->slots,
                                  .premises = search->premises,
                                  .extra = search->extra,
                                  .extra_count = search->extra_count,
                                  .doubt = search->doubt};
    return STATUS_OK;
}

status justification_find(const struct rule_base *rules, struct store *store,
                          struct arena *arena, const struct inference_options *options,
                          const struct row *row, struct justification *out)
{
    struct match *match = ARENA_NEW(arena, struct match);
    struct search *search = ARENA_NEW(arena, struct search);
    TRY(arena_status(arena));
    search->row = row;
    match->store = store;
    match->arena = arena;
    match->options = options;
    match->only_sure = row->standing == STANDING_SURE;
    match->below = row->height;
    return search_all(rules, match, search, out);
}

status justification_other(const struct rule_base *rules, struct store *store,
                           struct arena *arena, const struct inference_options *options,
                           const struct row *row, struct justification *out,
                           const struct value **values)
{
    struct match *match = ARENA_NEW(arena, struct match);
    struct search *search = ARENA_NEW(arena, struct search);
    TRY(arena_status(arena));
    search->row = row;
    search->wants_other = true;
    match->store = store;
    match->arena = arena;
    match->options = options;
    match->only_sure = true;
    match->below = UINT32_MAX;
    TRY(search_all(rules, match, search, out));
    *values = search->values;
    return STATUS_OK;
}
