/* SPDX-License-Identifier: MIT */
/*
 * The join of match_rule.c without all that keys do not need: no values are bound, no
 * doubts joined and nothing is restored, since what a step binds is only read by the
 * steps behind it. Scans are made ready once for many rows, and a row whose height is
 * known is not touched.
 */
#include "match_keys.h"

#include "match_private.h"

#include <string.h>

struct key_join {
    struct match *match;
    const struct plan *plan;
    found_key found;
    struct scan scans[LIMIT_CONDITIONS]; /* one a step; the first has none */
    struct held held;                    /* what is concluded already */
    /* What the last step has for the conclusion: its column, from a column of the row. */
    uint32_t last_count;
    struct {
        uint32_t to;
        uint32_t from;
    } last[LIMIT_KEY_COLUMNS];
};

static bool names_no_value(const struct relation_shape *shape, const struct term *terms)
{
    bool is_bare = true;
    for (uint32_t v = 0; v < shape->value_count; v++) {
        is_bare = is_bare && terms[shape->key_count + v].kind == TERM_ANY;
    }
    return is_bare;
}

bool match_is_of_keys(const struct rule *rule, const struct store *store)
{
    if (rule->unless_count + rule->tally_count + rule->let_count + rule->filter_count >
            0 ||
        rule->has_check || rule->conclusion_count != 1 ||
        store_shape(store, rule->conclusions[0].relation)->value_count > 0) {
        return false;
    }
    bool is_bare = true;
    for (uint32_t i = 0; i < rule->given_count; i++) {
        is_bare = is_bare && names_no_value(store_shape(store, rule->given[i].relation),
                                            rule->given[i].terms);
    }
    return is_bare;
}

static name_id cell_of(const struct match *match, const struct term *term)
{
    return term->kind == TERM_VARIABLE ? match->cells[term->variable]
           : term->kind == TERM_NAME   ? term->name
                                       : (name_id)term->number;
}

/* Binds what is new in a row; false: a variable that stands in two of its columns would
 * have to be two things. */
static bool bind_cells(struct match *match, const struct plan_step *step,
                       const name_id *cells)
{
    for (uint32_t i = 0; i < step->bind_count; i++) {
        match->cells[step->binds[i].variable] = cells[step->binds[i].column];
    }
    return step_repeats(step, match->cells, cells);
}

/* The key as far as it is bound. */
static void fill_key(const struct match *match, name_id *key)
{
    const struct conclusion *conclusion = &match->rule->conclusions[0];
    const uint32_t count = store_shape(match->store, conclusion->relation)->key_count;
    for (uint32_t c = 0; c < count; c++) {
        key[c] = cell_of(match, &conclusion->terms[c]);
    }
}

static bool conclude_key(struct key_join *join, const name_id *key, uint32_t height)
{
    struct match *match = join->match;
    const relation_id relation = match->rule->conclusions[0].relation;
    if (store_holds(match->store, relation, key, height)) {
        return true;
    }
    const bool goes_on = join->found(match, key, height);
    store_held(match->store, relation, &join->held);
    return goes_on;
}

/* The last condition: the innermost loop, so all that does not change in it has been
 * worked out before, and mostly all there is to find is that the key is held already. */
static bool join_last(struct key_join *join, uint32_t depth, uint32_t height)
{
    struct match *match = join->match;
    const struct plan_step *step = &join->plan->steps[depth];
    struct scan *scan = &join->scans[depth];
    name_id key[LIMIT_KEY_COLUMNS];
    fill_key(match, key);
    while (scan_next_cells(scan)) {
        const uint32_t highest = scan->height > height ? scan->height : height;
        if (!match_step_allowed(match)) {
            return false;
        }
        if (step->repeat_count > 0 && !bind_cells(match, step, scan->cells)) {
            continue;
        }
        for (uint32_t i = 0; i < join->last_count; i++) {
            key[join->last[i].to] = scan->cells[join->last[i].from];
        }
        if (!held_says(&join->held, key, highest + 1) &&
            !conclude_key(join, key, highest + 1)) {
            return false;
        }
    }
    return true;
}

/* Meets the conditions from a step on; `height` is that of the highest premise so far. */
static bool join_keys(struct key_join *join, uint32_t depth, uint32_t height)
{
    struct match *match = join->match;
    const struct plan_step *step = &join->plan->steps[depth];
    struct scan *scan = &join->scans[depth];
    step_key(step, match->cells, scan->key);
    scan_start(scan);
    if (depth + 1 == join->plan->count) {
        return join_last(join, depth, height);
    }
    while (scan_next_cells(scan)) {
        const uint32_t highest = scan->height > height ? scan->height : height;
        if (!match_step_allowed(match)) {
            return false;
        }
        if (bind_cells(match, step, scan->cells) &&
            !join_keys(join, depth + 1, highest)) {
            return false;
        }
    }
    return true;
}

/* Where the last step's columns go in the conclusion. */
static void find_last(struct key_join *join)
{
    const struct match *match = join->match;
    const struct plan_step *step = &join->plan->steps[join->plan->count - 1];
    const struct conclusion *conclusion = &match->rule->conclusions[0];
    const uint32_t count = store_shape(match->store, conclusion->relation)->key_count;
    join->last_count = 0;
    for (uint32_t to = 0; to < count; to++) {
        for (uint32_t i = 0; i < step->bind_count; i++) {
            if (conclusion->terms[to].kind == TERM_VARIABLE &&
                conclusion->terms[to].variable == step->binds[i].variable) {
                join->last[join->last_count].to = to;
                join->last[join->last_count++].from = step->binds[i].column;
            }
        }
    }
}

static bool start_from(struct key_join *join, const struct row *row)
{
    struct match *match = join->match;
    const struct plan_step *step = &join->plan->steps[0];
    if (!match_step_allowed(match)) {
        return false;
    }
    if (row->standing != STANDING_SURE || !step_takes(step, match->cells, row->key) ||
        !bind_cells(match, step, row->key)) {
        match->met_open = match->met_open || row->standing != STANDING_SURE;
        return true;
    }
    if (join->plan->count > 1) {
        return join_keys(join, 1, row->height);
    }
    name_id key[LIMIT_KEY_COLUMNS];
    fill_key(match, key);
    return conclude_key(join, key, row->height + 1);
}

status match_keys(struct match *match, const struct plan *plan, uint32_t from,
                  uint32_t end, found_key found)
{
    struct key_join join;
    const struct rule *rule = match->rule;
    const relation_id relation = rule->given[plan->steps[0].condition].relation;
    join.match = match;
    join.plan = plan;
    join.found = found;
    match->result = STATUS_OK;
    find_last(&join);
    store_held(match->store, rule->conclusions[0].relation, &join.held);
    for (uint32_t i = 1; i < plan->count; i++) {
        const relation_id next = rule->given[plan->steps[i].condition].relation;
        match->met_open = match->met_open || store_has_open(match->store, next);
        if (!scan_prepare(&join.scans[i], match->store, next, plan->steps[i].bound)) {
            return arena_status(match->arena);
        }
        memcpy(join.scans[i].key, plan->steps[i].key, sizeof plan->steps[i].key);
    }
    for (uint32_t i = from; i < end; i++) {
        if (!start_from(&join, store_row(match->store, relation, i))) {
            break;
        }
    }
    return match->result;
}
