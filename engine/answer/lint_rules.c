/* SPDX-License-Identifier: MIT */
/*
 * What is not sound about rules, beyond what loading refuses: one that can never match,
 * since nothing concludes what it reads, and one that another makes idle, since that one
 * concludes the same from less.
 */
#include "lint_private.h"

#include "limits.h"

/* ---- what nothing concludes */

static bool term_meets(const struct term *wanted, const struct term *given)
{
    switch (wanted->kind) {
    case TERM_NAME:
        return given->kind != TERM_NAME || given->name == wanted->name;
    case TERM_NUMBER:
        return given->kind != TERM_NUMBER || given->number == wanted->number;
    case TERM_ANY:
    case TERM_VARIABLE:
        break;
    }
    return true;
}

static bool concludes(const struct rule_base *rules, const struct rule *rule,
                      const struct condition *wanted)
{
    const struct relation_shape *shape = &rules->shapes[wanted->relation];
    for (uint32_t i = 0; i < rule->conclusion_count; i++) {
        const struct conclusion *one = &rule->conclusions[i];
        bool meets = one->relation == wanted->relation;
        for (uint32_t c = 0; meets && c < shape->key_count + shape->value_count; c++) {
            meets = term_meets(&wanted->terms[c], &one->terms[c]);
        }
        if (meets) {
            return true;
        }
    }
    return rule->has_check && rule->finding == wanted->relation;
}

/* "closed-side: side=inboard": the condition with the words that are written out in it.
 */
static text condition_text(struct linting *linting, const struct condition *condition)
{
    const struct relation_shape *shape =
        &linting->knowledge->rules->shapes[condition->relation];
    const struct names *names = linting->knowledge->names;
    text all = names_text(names, shape->name);
    bool is_first = true;
    for (uint32_t c = 0; c < shape->key_count + shape->value_count; c++) {
        const struct term *term = &condition->terms[c];
        if (term->kind == TERM_NAME) {
            all = text_format(linting->arena, "%.*s%s%.*s=%.*s", TEXT_ARG(all),
                              is_first ? ": " : ", ",
                              TEXT_ARG(names_text(names, shape->columns[c].name)),
                              TEXT_ARG(names_text(names, term->name)));
            is_first = false;
        }
    }
    return all;
}

static status check_condition(struct linting *linting, const struct rule *rule,
                              const struct condition *condition, const char *verb)
{
    const struct rule_base *rules = linting->knowledge->rules;
    if (rules->shapes[condition->relation].filled != FILLED_BY_RULES) {
        return STATUS_OK; /* what facts say is not known before they are loaded */
    }
    for (uint32_t i = 0; i < rules->rule_count; i++) {
        if (concludes(rules, &rules->rules[i], condition)) {
            return STATUS_OK;
        }
    }
    return lint_add(
        linting,
        (struct lint_fault){
            .of = TEXT("rule"),
            .name = names_text(linting->knowledge->names, rule->name),
            .where = condition->where,
            .rule = TEXT("nothing-concludes"),
            .sentence = text_format(linting->arena, "it %s %.*s, which no rule concludes",
                                    verb, TEXT_ARG(condition_text(linting, condition)))});
}

static status check_conditions(struct linting *linting, const struct rule *rule)
{
    for (uint32_t i = 0; i < rule->given_count; i++) {
        TRY(check_condition(linting, rule, &rule->given[i], "can never match: it needs"));
    }
    for (uint32_t i = 0; i < rule->unless_count; i++) {
        TRY(check_condition(linting, rule, &rule->unless[i], "denies"));
    }
    for (uint32_t i = 0; i < rule->tally_count; i++) {
        TRY(check_condition(linting, rule, &rule->tallies[i].of, "looks at all rows of"));
    }
    return STATUS_OK;
}

/* ---- one rule that another makes idle */

/* What each variable of the weaker rule stands for in the other; a variable that stands
 * for nothing yet is TERM_ANY. */
struct standing_for {
    const struct rule_base *rules;
    const struct rule *weaker;
    const struct rule *other;
    struct term terms[LIMIT_VARIABLES];
};

static bool same_term(const struct term *a, const struct term *b)
{
    return a->kind == b->kind &&
           (a->kind != TERM_VARIABLE || a->variable == b->variable) &&
           (a->kind != TERM_NAME || a->name == b->name) &&
           (a->kind != TERM_NUMBER || a->number == b->number);
}

/* Whether the weaker rule's term can stand for the other's; binds its variable. */
static bool stand_term(struct standing_for *standing, const struct term *weaker,
                       const struct term *other)
{
    if (weaker->kind != TERM_VARIABLE) {
        return weaker->kind == TERM_ANY || same_term(weaker, other);
    }
    struct term *bound = &standing->terms[weaker->variable];
    if (bound->kind == TERM_ANY) {
        *bound = *other;
        /* A column that the other does not mention may hold anything; nothing else that
         * it says can be the same. */
        return other->kind != TERM_ANY;
    }
    return same_term(bound, other);
}

static bool stand_terms(struct standing_for *standing, relation_id relation,
                        const struct term *weaker, const struct term *other)
{
    const struct relation_shape *shape = &standing->rules->shapes[relation];
    for (uint32_t c = 0; c < shape->key_count + shape->value_count; c++) {
        if (!stand_term(standing, &weaker[c], &other[c])) {
            return false;
        }
    }
    return true;
}

static bool all_concluded(struct standing_for *standing)
{
    for (uint32_t i = 0; i < standing->other->conclusion_count; i++) {
        const struct conclusion *wanted = &standing->other->conclusions[i];
        bool is_concluded = false;
        for (uint32_t k = 0; !is_concluded && k < standing->weaker->conclusion_count;
             k++) {
            const struct conclusion *one = &standing->weaker->conclusions[k];
            struct standing_for trial = *standing;
            is_concluded = one->relation == wanted->relation &&
                           stand_terms(&trial, one->relation, one->terms, wanted->terms);
        }
        if (!is_concluded) {
            return false;
        }
    }
    return true;
}

/* Whether every condition of the weaker rule, from the i-th on, is one of the other's,
 * and what both conclude is then the same. */
static bool stands_for_all(struct standing_for *standing, uint32_t i)
{
    if (i == standing->weaker->given_count) {
        return all_concluded(standing);
    }
    const struct condition *one = &standing->weaker->given[i];
    for (uint32_t k = 0; k < standing->other->given_count; k++) {
        const struct condition *other = &standing->other->given[k];
        const struct standing_for before = *standing;
        if (one->relation == other->relation &&
            stand_terms(standing, one->relation, one->terms, other->terms) &&
            stands_for_all(standing, i + 1)) {
            return true;
        }
        *standing = before;
    }
    return false;
}

/* Only rules without denials, tallies and formulas of their own are compared: of those
 * that say less it is plain, and a rule that says more in another way is no slip. */
static bool is_plain(const struct rule *rule)
{
    return rule->unless_count == 0 && rule->tally_count == 0 && rule->let_count == 0 &&
           rule->filter_count == 0 && !rule->has_check;
}

static bool makes_idle(const struct rule_base *rules, const struct rule *weaker,
                       const struct rule *other)
{
    struct standing_for standing = {.rules = rules, .weaker = weaker, .other = other};
    return weaker->over_catalogue == other->over_catalogue && is_plain(weaker) &&
           !other->has_check && other->conclusion_count > 0 &&
           stands_for_all(&standing, 0);
}

static status check_idle(struct linting *linting, const struct rule *rule)
{
    const struct rule_base *rules = linting->knowledge->rules;
    const struct names *names = linting->knowledge->names;
    for (uint32_t i = 0; i < rules->rule_count; i++) {
        const struct rule *weaker = &rules->rules[i];
        /* Of two that say the same the one whose name comes first is kept. */
        if (weaker == rule || !makes_idle(rules, weaker, rule) ||
            (weaker > rule && makes_idle(rules, rule, weaker))) {
            continue;
        }
        return lint_add(linting, (struct lint_fault){
                                     .of = TEXT("rule"),
                                     .name = names_text(names, rule->name),
                                     .where = rule->where,
                                     .rule = TEXT("says-nothing-new"),
                                     .sentence = text_format(
                                         linting->arena,
                                         "%.*s concludes the same, and asks for no more",
                                         TEXT_ARG(names_text(names, weaker->name)))});
    }
    return STATUS_OK;
}

status lint_rules(struct linting *linting)
{
    const struct rule_base *rules = linting->knowledge->rules;
    for (uint32_t i = 0; i < rules->rule_count; i++) {
        TRY(check_conditions(linting, &rules->rules[i]));
        TRY(check_idle(linting, &rules->rules[i]));
    }
    return STATUS_OK;
}
