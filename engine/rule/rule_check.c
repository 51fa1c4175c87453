/* SPDX-License-Identifier: MIT */
/*
 * What can only be said of a whole rule: that it is local, and that it fills what rules
 * may fill.
 *
 * A rule is local if the owner of every owned condition can be reached from the owner of
 * each thing it concludes, through rows. Then a question about one unit never has to look
 * at another, and adding rows for a question can add conclusions but change none.
 */
#include "rule_reader.h"

#include "limits.h"

struct reach {
    struct rule_reader *reader;
    const struct rule *rule;
    bool reached[LIMIT_VARIABLES];
};

static const struct relation_shape *shape_of(const struct reach *reach,
                                             const struct condition *condition)
{
    return &reach->reader->shapes[condition->relation];
}

/* Whether the owner of a condition is known: a constant, or a variable already reached.
 */
static bool owner_reached(const struct reach *reach, const struct condition *condition)
{
    const struct term *owner = &condition->terms[0];
    return !shape_of(reach, condition)->is_owned || owner->kind == TERM_NAME ||
           (owner->kind == TERM_VARIABLE && reach->reached[owner->variable]);
}

/* Adds what a condition's row leads to; true when that was anything new. */
static bool follow(struct reach *reach, const struct condition *condition)
{
    const struct relation_shape *shape = shape_of(reach, condition);
    bool is_new = false;
    if (!shape->is_owned || !owner_reached(reach, condition)) {
        return false;
    }
    for (uint32_t c = 0; c < shape->key_count; c++) {
        const struct term *term = &condition->terms[c];
        if (term->kind == TERM_VARIABLE && !reach->reached[term->variable]) {
            reach->reached[term->variable] = true;
            is_new = true;
        }
    }
    return is_new;
}

/* "$u", or what stands there instead. */
static text owner_word(const struct reach *reach, uint32_t owner)
{
    return owner == UINT32_MAX
               ? TEXT("a table")
               : text_format(diagnostics_arena(reach->reader->diagnostics), "$%.*s",
                             TEXT_ARG(reach->reader->variables.at[owner].name));
}

/* Says which condition hangs from nothing, and what would tie it. */
static void refuse_far(struct reach *reach, const struct condition *condition,
                       uint32_t owner)
{
    struct arena *arena = diagnostics_arena(reach->reader->diagnostics);
    const struct term *first = &condition->terms[0];
    const text relation =
        names_text(reach->reader->around->names, shape_of(reach, condition)->name);
    const text from = owner_word(reach, owner);
    if (owner_reached(reach, condition)) {
        return;
    }
    struct diagnostic *report =
        rule_report(reach->reader, CODE_RULE_NOT_LOCAL, condition->where, (text){"", 0});
    if (owner == UINT32_MAX) {
        report->message =
            text_format(arena, "this reads %.*s of any owner, for a table that has none",
                        TEXT_ARG(relation));
        report->expected =
            TEXT("conditions on tables alone, or `over: catalogue`, which runs once over "
                 "all that is known");
        return;
    }
    if (first->kind != TERM_VARIABLE) {
        report->message =
            text_format(arena, "this reads %.*s of any owner, and not what %.*s leads to",
                        TEXT_ARG(relation), TEXT_ARG(from));
        report->expected = text_format(
            arena,
            "an owner in its first column: %.*s, or what a condition leads to from %.*s; "
            "or `over: catalogue`, which runs once over all that is known",
            TEXT_ARG(from), TEXT_ARG(from));
        return;
    }
    const text to = owner_word(reach, first->variable);
    report->message = text_format(arena,
                                  "no condition leads from %.*s, about which this rule "
                                  "concludes, to %.*s, whose %.*s it reads",
                                  TEXT_ARG(from), TEXT_ARG(to), TEXT_ARG(relation));
    report->expected = text_format(
        arena,
        "a condition in `given` whose first column is %.*s, or what it leads to, with "
        "%.*s in another key column (as fills leads from a unit to a piece); or `over: "
        "catalogue`, which runs once over all that is known",
        TEXT_ARG(from), TEXT_ARG(to));
}

/* Follows rows from an owner as far as they lead. */
static void reach_from(struct reach *reach, uint32_t owner)
{
    const struct rule *rule = reach->rule;
    bool is_new = true;
    for (uint32_t i = 0; i < LIMIT_VARIABLES; i++) {
        reach->reached[i] = i == owner;
    }
    while (is_new) {
        is_new = false;
        for (uint32_t i = 0; i < rule->given_count; i++) {
            is_new = follow(reach, &rule->given[i]) || is_new;
        }
    }
}

/* Every condition of the rule, one after the other; NULL past the last. */
static const struct condition *condition_at(const struct rule *rule, uint32_t i)
{
    if (i < rule->given_count) {
        return &rule->given[i];
    }
    i -= rule->given_count;
    if (i < rule->unless_count) {
        return &rule->unless[i];
    }
    i -= rule->unless_count;
    return i < rule->tally_count ? &rule->tallies[i].of : NULL;
}

/* How many conditions hang from an owner. */
static uint32_t count_reached(struct reach *reach, uint32_t owner)
{
    const struct condition *condition = NULL;
    uint32_t count = 0;
    reach_from(reach, owner);
    for (uint32_t i = 0; (condition = condition_at(reach->rule, i)) != NULL; i++) {
        count += owner_reached(reach, condition) ? 1 : 0;
    }
    return count;
}

uint32_t rule_find_owner(struct rule_reader *reader, const struct rule *rule)
{
    struct reach reach = {.reader = reader, .rule = rule};
    uint32_t best = UINT32_MAX;
    uint32_t best_count = 0;
    for (uint32_t i = 0; i < rule->given_count; i++) {
        const struct condition *one = &rule->given[i];
        if (!shape_of(&reach, one)->is_owned || one->terms[0].kind != TERM_VARIABLE) {
            continue;
        }
        const uint32_t owner = one->terms[0].variable;
        const uint32_t count = count_reached(&reach, owner);
        const bool is_earlier =
            best == UINT32_MAX || text_compare(reader->variables.at[owner].name,
                                               reader->variables.at[best].name) < 0;
        if (count == best_count ? is_earlier : count > best_count) {
            best = owner;
            best_count = count;
        }
    }
    return best;
}

/* What is concluded about an owner hangs from it; what is concluded into a table hangs
 * from tables and constants alone (UINT32_MAX). */
static void check_owner(struct reach *reach, uint32_t owner)
{
    const struct condition *condition = NULL;
    reach_from(reach, owner);
    for (uint32_t i = 0; (condition = condition_at(reach->rule, i)) != NULL; i++) {
        refuse_far(reach, condition, owner);
    }
}

void rule_check_local(struct rule_reader *reader, const struct rule *rule)
{
    struct reach reach = {.reader = reader, .rule = rule};
    bool is_checked[LIMIT_VARIABLES + 1] = {false};
    if (rule->over_catalogue) {
        return;
    }
    for (uint32_t i = rule->has_check ? 0 : 1; i <= rule->conclusion_count; i++) {
        const struct conclusion *one = i == 0 ? NULL : &rule->conclusions[i - 1];
        uint32_t owner = UINT32_MAX;
        if (one == NULL) {
            owner = rule->key_count > 0 ? rule->keys[0] : UINT32_MAX;
        } else if (reader->shapes[one->relation].is_owned &&
                   one->terms[0].kind == TERM_VARIABLE) {
            owner = one->terms[0].variable;
        }
        bool *is_done = &is_checked[owner == UINT32_MAX ? LIMIT_VARIABLES : owner];
        if (!*is_done) {
            check_owner(&reach, owner);
        }
        *is_done = true;
    }
}

void rule_check_filled(struct rule_reader *reader, const struct rule *rule)
{
    for (uint32_t i = 0; i < rule->conclusion_count; i++) {
        const struct conclusion *one = &rule->conclusions[i];
        const struct relation_shape *shape = &reader->shapes[one->relation];
        if (shape->filled == FILLED_BY_RULES) {
            continue;
        }
        struct diagnostic *report = rule_report(
            reader, CODE_FILLED_TWICE, one->where,
            text_format(diagnostics_arena(reader->diagnostics), "%.*s is filled by %s",
                        TEXT_ARG(names_text(reader->around->names, shape->name)),
                        shape->filled == FILLED_BY_FACTS ? "facts" : "computing"));
        report->expected =
            TEXT("a relation that vocabulary.yaml marks `filled-by: rules`");
        diagnostic_note_add(report, shape->where, TEXT("it is declared here"));
    }
}
