/* SPDX-License-Identifier: MIT */
/* Plans: greedy by what is bound, then by size. */
#include "match_plan.h"

#include <string.h>

static uint64_t bit_of(uint32_t variable)
{
    return UINT64_C(1) << variable;
}

static uint32_t bits_in(uint32_t set)
{
    uint32_t count = 0;
    for (; set != 0; set &= set - 1) {
        count++;
    }
    return count;
}

/* A way to meet a condition, as far as choosing wants to know it. */
struct candidate {
    uint32_t condition;
    uint32_t bound; /* key columns that are known before */
};

static struct candidate candidate_of(const struct rule *rule, const struct store *store,
                                     uint32_t condition, uint64_t bound)
{
    const struct condition *given = &rule->given[condition];
    const uint32_t keys = store_shape(store, given->relation)->key_count;
    struct candidate made = {condition, 0};
    for (uint32_t c = 0; c < keys; c++) {
        const struct term *term = &given->terms[c];
        if (term->kind == TERM_NAME || term->kind == TERM_NUMBER ||
            (term->kind == TERM_VARIABLE && (bound & bit_of(term->variable)) != 0)) {
            made.bound |= 1u << c;
        }
    }
    return made;
}

/* What a key column does once these variables are known. */
static void add_key(struct plan_step *step, const struct term *term, uint8_t column,
                    uint64_t bound)
{
    if (term->kind == TERM_ANY) {
        return;
    }
    if (term->kind != TERM_VARIABLE) {
        step->key[column] = term->kind == TERM_NAME ? term->name : (name_id)term->number;
        step->bound |= 1u << column;
        return;
    }
    const struct plan_column made = {column, (uint8_t)term->variable};
    if ((bound & bit_of(term->variable)) != 0) {
        step->known[step->known_count++] = made;
        step->bound |= 1u << column;
    } else if ((step->variables & bit_of(term->variable)) != 0) {
        step->repeats[step->repeat_count++] = made;
    } else {
        step->binds[step->bind_count++] = made;
        step->variables |= bit_of(term->variable);
    }
}

static struct plan_step step_of(const struct rule *rule, const struct store *store,
                                uint32_t condition, uint64_t bound)
{
    const struct condition *given = &rule->given[condition];
    const struct relation_shape *shape = store_shape(store, given->relation);
    struct plan_step step = {.condition = condition};
    for (uint8_t c = 0; c < shape->key_count; c++) {
        add_key(&step, &given->terms[c], c, bound);
    }
    for (uint8_t v = 0; v < shape->value_count; v++) {
        const struct term *term = &given->terms[shape->key_count + v];
        if (term->kind == TERM_VARIABLE) {
            step.variables |= bit_of(term->variable) & ~bound;
        }
        if (term->kind == TERM_VARIABLE &&
            !shape->columns[shape->key_count + v].is_outcome) {
            step.values[step.value_count++] =
                (struct plan_column){v, (uint8_t)term->variable};
        } else if (term->kind != TERM_ANY) {
            step.has_tests = true;
        }
    }
    return step;
}

bool step_takes(const struct plan_step *step, const name_id *cells, const name_id *row)
{
    name_id key[LIMIT_KEY_COLUMNS];
    memcpy(key, step->key, sizeof key);
    step_key(step, cells, key);
    for (uint32_t c = 0; step->bound >> c != 0; c++) {
        if ((step->bound >> c & 1u) != 0 && row[c] != key[c]) {
            return false;
        }
    }
    return true;
}

/* How many rows to reckon with. What a question reads of the knowledge it reads by owner,
 * so of what is owned only its own rows say anything: the plan is the same however much
 * else is known. */
static uint32_t rows_of(const struct store *store, relation_id relation)
{
    const uint32_t all = store_count(store, relation);
    return store_shape(store, relation)->is_owned ? all - store_own_from(store, relation)
                                                  : all;
}

/* Whether few rows can be there, whatever the catalogue: those of one owner, or a
 * table's.
 */
static bool is_narrow(const struct store *store, relation_id relation,
                      const struct candidate *step)
{
    return !store_shape(store, relation)->is_owned || (step->bound & 1u) != 0;
}

/* Whether one step is better than another. */
static bool is_better(const struct rule *rule, const struct store *store,
                      const struct candidate *one, const struct candidate *other)
{
    const relation_id relation = rule->given[one->condition].relation;
    const relation_id other_relation = rule->given[other->condition].relation;
    const bool is_whole = bits_in(one->bound) == store_shape(store, relation)->key_count;
    const bool other_whole =
        bits_in(other->bound) == store_shape(store, other_relation)->key_count;
    if (is_whole != other_whole) {
        return is_whole;
    }
    if (is_narrow(store, relation, one) != is_narrow(store, other_relation, other)) {
        return is_narrow(store, relation, one);
    }
    if (bits_in(one->bound) != bits_in(other->bound)) {
        return bits_in(one->bound) > bits_in(other->bound);
    }
    return rows_of(store, relation) < rows_of(store, other_relation);
}

void plan_make(struct plan *plan, const struct rule *rule, const struct store *store,
               uint32_t driver, uint64_t bound)
{
    uint32_t done = 0;
    plan->count = 0;
    while (plan->count < rule->given_count) {
        struct candidate best = {UINT32_MAX, 0};
        for (uint32_t i = 0; i < rule->given_count; i++) {
            const bool is_next = driver != UINT32_MAX && plan->count == 0
                                     ? i == driver
                                     : (done >> i & 1u) == 0;
            if (!is_next) {
                continue;
            }
            const struct candidate one = candidate_of(rule, store, i, bound);
            if (best.condition == UINT32_MAX || is_better(rule, store, &one, &best)) {
                best = one;
            }
        }
        struct plan_step *step = &plan->steps[plan->count];
        *step = step_of(rule, store, best.condition, bound);
        done |= 1u << best.condition;
        bound |= step->variables;
        plan->count++;
    }
}
