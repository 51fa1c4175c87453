/* SPDX-License-Identifier: MIT */
/* Plans: greedy by what is bound, then by size. */
#include "match_plan.h"

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

/* What a condition is bound by, repeats and binds once these variables are known. */
static struct plan_step step_of(const struct rule *rule, const struct store *store,
                                uint32_t condition, uint64_t bound)
{
    const struct condition *given = &rule->given[condition];
    const struct relation_shape *shape = store_shape(store, given->relation);
    struct plan_step step = {.condition = condition};
    for (uint32_t c = 0; c < shape->key_count + shape->value_count; c++) {
        const struct term *term = &given->terms[c];
        const bool is_key = c < shape->key_count;
        const bool is_variable = term->kind == TERM_VARIABLE;
        step.has_values = step.has_values || (!is_key && term->kind != TERM_ANY);
        if (is_key && is_variable && (step.variables & bit_of(term->variable)) != 0) {
            step.repeats |= 1u << c;
        } else if (is_key && is_variable && (bound & bit_of(term->variable)) == 0) {
            step.binds |= 1u << c;
        } else if (is_key && term->kind != TERM_ANY) {
            step.bound |= 1u << c;
        }
        if (is_variable && (bound & bit_of(term->variable)) == 0) {
            step.variables |= bit_of(term->variable);
        }
    }
    return step;
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
                      const struct plan_step *step)
{
    return !store_shape(store, relation)->is_owned || (step->bound & 1u) != 0;
}

/* Whether one step is better than another. */
static bool is_better(const struct rule *rule, const struct store *store,
                      const struct plan_step *one, const struct plan_step *other)
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
        struct plan_step *best = &plan->steps[plan->count];
        bool has_best = false;
        for (uint32_t i = 0; i < rule->given_count; i++) {
            const bool is_next = driver != UINT32_MAX && plan->count == 0
                                     ? i == driver
                                     : (done >> i & 1u) == 0;
            const struct plan_step step =
                is_next ? step_of(rule, store, i, bound) : (struct plan_step){0};
            if (is_next && (!has_best || is_better(rule, store, &step, best))) {
                *best = step;
                has_best = true;
            }
        }
        done |= 1u << best->condition;
        bound |= best->variables;
        plan->count++;
    }
}
