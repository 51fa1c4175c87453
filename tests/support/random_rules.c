/* SPDX-License-Identifier: MIT */
/*
 * A rule starts at its owner $a and every further condition hangs from what is bound, so
 * that most are local; what it denies and counts comes from lower layers, what it joins
 * also from its own.
 */
#include "random_maker.h"

#include <stdio.h>
#include <string.h>

/* ---- conditions */

enum role {
    ROLE_FIRST, /* starts at the owner */
    ROLE_GIVEN,
    ROLE_DENIED, /* or counted */
};

static const char *constant_of(struct maker *maker, const struct plan_column *column)
{
    static const char *const numbers[] = {"1", "2", "3", NULL};
    static const char *const counts[] = {"0", "1", "2", NULL};
    switch (column->sort) {
    case SORT_NAME:
        return maker_one_of(maker, maker_names);
    case SORT_NUMBER:
        return maker_one_of(maker, numbers);
    case SORT_COUNT:
        return maker_one_of(maker, counts);
    case SORT_WORD:
        return maker_one_of(maker, maker_words(maker, column->name));
    case SORT_LENGTH:
    case SORT_RATIO:
        break;
    }
    return "";
}

/* A new variable that remembers the column it stands in. */
static const char *variable_of(struct maker *maker, const struct plan_column *column)
{
    const char *name = maker_variable_add(maker, column->sort)->name;
    maker->variables[maker->variable_count - 1].column = column->name;
    return name;
}

/* The term of a key column, without $ or NULL to leave it out. */
static const char *key_term(struct maker *maker, const struct plan_column *column,
                            enum role role, bool *is_variable)
{
    const uint32_t draw = dice_below(&maker->dice, 100);
    const uint32_t fresh = role == ROLE_DENIED ? 18 : 38;
    const struct variable *known = maker_variable(maker, column->sort);
    *is_variable = true;
    if (maker->name_keys > 0 && role != ROLE_DENIED) {
        if (column->sort == SORT_NAME && maker->keys_named < maker->name_keys) {
            return maker_variable_add(maker, SORT_NAME)->name;
        }
        *is_variable = known != NULL;
        return known != NULL ? known->name : constant_of(maker, column);
    }
    if (draw < fresh) {
        return maker_variable_add(maker, column->sort)->name;
    }
    if (draw < fresh + 17 && (role == ROLE_DENIED || !maker->keeps_keys)) {
        return NULL;
    }
    *is_variable = known != NULL && draw < 94;
    return *is_variable ? known->name : constant_of(maker, column);
}

/* What is denied and counted is told apart by words: a missing one leaves it open. */
static const char *value_term(struct maker *maker, const struct plan_column *column,
                              enum role role, bool *is_variable)
{
    const uint32_t draw = dice_below(&maker->dice, 100);
    const bool is_measured = column->sort == SORT_LENGTH || column->sort == SORT_RATIO;
    *is_variable = is_measured || draw < (role == ROLE_DENIED ? 60 : 75);
    return draw < (is_measured ? 35 : 45) ? NULL
           : *is_variable                 ? variable_of(maker, column)
                                          : constant_of(maker, column);
}

/* A name that rows lead to: what hangs from it is local. */
static const struct variable *some_owner(struct maker *maker)
{
    for (int tries = 0; tries < 8; tries++) {
        const struct variable *one = maker_variable(maker, SORT_NAME);
        if (one->is_reached || dice_chance(&maker->dice, 2)) {
            return one;
        }
    }
    return &maker->variables[0];
}

static const char *term_of(struct maker *maker, const struct plan *plan, uint32_t c,
                           enum role role, bool *is_variable)
{
    const struct plan_column *column = &plan->columns[c];
    const bool is_owner = c == 0 && !plan->is_table;
    if (!sort_is_key(column->sort)) {
        return value_term(maker, column, role, is_variable);
    }
    if (!is_owner) {
        return key_term(maker, column, role, is_variable);
    }
    *is_variable = true;
    if (role == ROLE_FIRST) {
        return maker_variable_add(maker, SORT_NAME)->name;
    }
    if (maker->rule->over_catalogue && dice_chance(&maker->dice, 40)) {
        return dice_chance(&maker->dice, 30) ? NULL
                                             : maker_variable_add(maker, SORT_NAME)->name;
    }
    *is_variable = !dice_chance(&maker->dice, 5);
    return *is_variable ? some_owner(maker)->name : maker_one_of(maker, maker_names);
}

/* "relation: {column: term, …}" */
static void condition_write(struct maker *maker, const struct plan *plan, enum role role,
                            char *out, size_t room)
{
    size_t at = (size_t)snprintf(out, room, "%s: {", plan->name);
    const char *comma = "";
    const uint32_t known = maker->variable_count;
    for (uint32_t c = 0; c < plan->count && at < room; c++) {
        bool is_variable = false;
        const char *term = term_of(maker, plan, c, role, &is_variable);
        if (term != NULL) {
            at += (size_t)snprintf(out + at, room - at, "%s%s: %s%s", comma,
                                   plan->columns[c].name, is_variable ? "$" : "", term);
            comma = ", ";
        }
    }
    if (at < room) {
        (void)snprintf(out + at, room - at, "}");
    }
    for (uint32_t i = known; plan->is_table && i < maker->variable_count; i++) {
        maker->variables[i].is_reached = false;
    }
}

/* A relation to read: facts, what lower layers fill, and of the own layer what is joined.
 */
static const struct plan *some_plan(struct maker *maker, enum role role)
{
    const struct plan *found[PLANS + PROGRAM_RULES];
    uint32_t count = 0;
    const bool wants_facts = dice_chance(&maker->dice, role == ROLE_DENIED ? 35 : 50);
    for (uint32_t i = 0; i < maker->plan_count; i++) {
        const struct plan *plan = &maker->plans[i];
        const bool is_finding = i >= PLANS;
        const uint32_t highest =
            role == ROLE_DENIED || is_finding ? maker->layer - 1 : maker->layer;
        const bool is_known = plan->rules > 0 || plan->layer == maker->layer;
        uint32_t name_keys = 0;
        for (uint32_t c = 0; c < plan->count; c++) {
            name_keys += plan->columns[c].sort == SORT_NAME ? 1 : 0;
        }
        if (wants_facts ? plan->layer > 0
                        : plan->layer == 0 || plan->layer > highest || !is_known) {
            continue;
        }
        const uint32_t least = role == ROLE_FIRST ? maker->name_keys : 0;
        if ((role == ROLE_FIRST && plan->is_table) ||
            (maker->name_keys > 0 && role != ROLE_DENIED &&
             (name_keys > maker->name_keys || name_keys < least))) {
            continue;
        }
        found[count++] = plan;
    }
    return count > 0 ? found[dice_below(&maker->dice, count)]
                     : &maker->plans[role == ROLE_FIRST && maker->name_keys == 1 ? 2 : 0];
}

/* ---- parts of a rule */

static void draw_given(struct maker *maker)
{
    const uint32_t count = 1 + dice_below(&maker->dice, 3);
    for (uint32_t i = 0; i < count; i++) {
        const enum role role = i == 0 ? ROLE_FIRST : ROLE_GIVEN;
        char line[LINE_BYTES];
        condition_write(maker, some_plan(maker, role), role, line, sizeof line);
        maker_line(&maker->rule->sections[SECTION_GIVEN], "%s", line);
    }
}

static void draw_unless(struct maker *maker)
{
    for (uint32_t i = dice_below(&maker->dice, 5); i >= 3; i--) {
        const uint32_t visible = maker->variable_count;
        char line[LINE_BYTES];
        condition_write(maker, some_plan(maker, ROLE_DENIED), ROLE_DENIED, line,
                        sizeof line);
        maker->variable_count = visible;
        maker_line(&maker->rule->sections[SECTION_UNLESS], "%s", line);
    }
}

static void draw_count(struct maker *maker)
{
    const uint32_t visible = maker->variable_count;
    char line[LINE_BYTES];
    condition_write(maker, some_plan(maker, ROLE_DENIED), ROLE_DENIED, line, sizeof line);
    maker->variable_count = visible;
    const struct variable *result = maker_variable_add(maker, SORT_COUNT);
    maker_line(&maker->rule->sections[SECTION_COUNT], "%s: {%s}", result->name, line);
}

/* A number is wanted where one is to be concluded. */
static void draw_counts(struct maker *maker, const struct plan *head)
{
    for (uint32_t c = 0; head != NULL && c < head->count; c++) {
        if (head->columns[c].sort == SORT_COUNT && dice_chance(&maker->dice, 80)) {
            draw_count(maker);
        }
    }
    for (uint32_t i = dice_below(&maker->dice, 6); i >= 4; i--) {
        draw_count(maker);
    }
}

/* A sum, a least or a greatest over a column of numbers of what a condition matches. Of
 * no rows the ends have no number, which an exact program does not say. */
static void draw_amount(struct maker *maker)
{
    static const enum section sections[] = {SECTION_SUM, SECTION_LEAST, SECTION_GREATEST};
    const enum section drawn = sections[dice_below(&maker->dice, 3)];
    const enum section section = maker->is_exact ? SECTION_SUM : drawn;
    const struct plan *plan = some_plan(maker, ROLE_DENIED);
    const uint32_t visible = maker->variable_count;
    char line[LINE_BYTES / 2 + 60];
    condition_write(maker, plan, ROLE_DENIED, line, sizeof line);
    const struct variable *value = NULL;
    for (uint32_t i = visible; i < maker->variable_count; i++) {
        const enum sort sort = maker->variables[i].sort;
        const bool is_measured =
            sort == SORT_LENGTH || sort == SORT_COUNT || sort == SORT_NUMBER;
        value = is_measured && (value == NULL || dice_chance(&maker->dice, 50))
                    ? &maker->variables[i]
                    : value;
    }
    maker->variable_count = visible;
    if (value == NULL) {
        return;
    }
    const struct variable of = *value;
    const struct variable *result =
        maker_variable_add(maker, of.sort == SORT_LENGTH ? SORT_LENGTH : SORT_COUNT);
    maker_line(&maker->rule->sections[section], "%s: {of: {%s}, value: $%s}",
               result->name, line, of.name);
}

static void draw_amounts(struct maker *maker)
{
    for (uint32_t i = dice_below(&maker->dice, 10); i >= 7; i--) {
        draw_amount(maker);
    }
}

static void draw_every(struct maker *maker)
{
    const uint32_t visible = maker->variable_count;
    char line[LINE_BYTES / 2 + 40];
    char filter[80];
    if (!dice_chance(&maker->dice, 18)) {
        return;
    }
    condition_write(maker, some_plan(maker, ROLE_DENIED), ROLE_DENIED, line, sizeof line);
    maker_filter(maker, filter, sizeof filter);
    maker->variable_count = visible;
    maker_line(&maker->rule->sections[SECTION_EVERY], "{of: {%s}, is: '%s'}", line,
               filter);
}

static void draw_lets(struct maker *maker)
{
    for (uint32_t i = dice_below(&maker->dice, 5); i >= 4; i--) {
        char formula[80];
        const struct variable *count = maker_variable(maker, SORT_COUNT);
        const bool is_count = count != NULL && dice_chance(&maker->dice, 40);
        if (is_count) {
            (void)snprintf(formula, sizeof formula, "$%s + %u", count->name,
                           dice_below(&maker->dice, 2));
        } else {
            maker_length(maker, formula, sizeof formula);
        }
        const struct variable *made =
            maker_variable_add(maker, is_count ? SORT_COUNT : SORT_LENGTH);
        maker_line(&maker->rule->sections[SECTION_LET], "%s: '%s'", made->name, formula);
    }
}

static void draw_filters(struct maker *maker)
{
    for (uint32_t i = dice_below(&maker->dice, 4); i >= 2; i--) {
        char filter[120];
        maker_filter(maker, filter, sizeof filter);
        maker_line(&maker->rule->sections[SECTION_WHERE], "'%s'", filter);
    }
}

/* The term of a conclusion's column. */
static void head_term(struct maker *maker, const struct plan *plan, uint32_t c, char *out,
                      size_t room)
{
    const struct plan_column *column = &plan->columns[c];
    const struct variable *newest = &maker->variables[maker->variable_count - 1];
    const bool is_counted = column->sort == SORT_COUNT && newest->sort == SORT_COUNT;
    const struct variable *known =
        is_counted ? newest : maker_variable(maker, column->sort);
    const bool is_owner = c == 0 && !plan->is_table && !dice_chance(&maker->dice, 2);
    if (is_owner && !maker->rule->over_catalogue) {
        (void)snprintf(out, room, "$a");
    } else if (maker->name_keys > 0 && column->sort == SORT_NAME) {
        (void)snprintf(out, room, "$%c", 'a' + (char)c);
    } else if (column->sort == SORT_LENGTH && known == NULL) {
        const struct variable *made = maker_variable_add(maker, SORT_LENGTH);
        maker_line(&maker->rule->sections[SECTION_LET], "%s: '%s'", made->name,
                   maker_limit(maker));
        (void)snprintf(out, room, "$%s", made->name);
    } else if (known == NULL ||
               (column->sort != SORT_LENGTH && dice_chance(&maker->dice, 20))) {
        (void)snprintf(out, room, "%s", constant_of(maker, column));
    } else {
        (void)snprintf(out, room, "$%s", known->name);
    }
}

static void draw_conclusion(struct maker *maker, struct plan *plan)
{
    char line[LINE_BYTES];
    size_t at = (size_t)snprintf(line, sizeof line, "%s: {", plan->name);
    for (uint32_t c = 0; c < plan->count && at < sizeof line; c++) {
        char term[40];
        head_term(maker, plan, c, term, sizeof term);
        at += (size_t)snprintf(line + at, sizeof line - at, "%s%s: %s",
                               c == 0 ? "" : ", ", plan->columns[c].name, term);
    }
    maker_line(&maker->rule->sections[SECTION_CONCLUDE], "%s}", line);
    plan->rules++;
}

static void draw_check(struct maker *maker)
{
    struct plan *plan = &maker->plans[maker->plan_count++];
    const struct variable *one = maker_variable(maker, SORT_COUNT);
    const struct variable *two = maker_variable(maker, SORT_COUNT);
    char margin[100];
    *plan = (struct plan){.layer = maker->layer, .rules = 1};
    memcpy(plan->name, maker->rule->name, sizeof plan->name);
    for (uint32_t i = 0; i < maker->variable_count && plan->count < 6; i++) {
        const struct variable *key = &maker->variables[i];
        if (sort_is_key(key->sort)) {
            struct plan_column *column = &plan->columns[plan->count++];
            column->sort = key->sort;
            memcpy(column->name, key->name, sizeof key->name);
        }
    }
    const bool is_count = one != NULL && dice_chance(&maker->dice, 60);
    if (is_count && one != two) {
        (void)snprintf(margin, sizeof margin, "$%s - $%s", one->name, two->name);
    } else if (is_count) {
        (void)snprintf(margin, sizeof margin,
                       dice_chance(&maker->dice, 40)   ? "$%s - 1"
                       : dice_chance(&maker->dice, 70) ? "1 - $%s"
                                                       : "$%s",
                       one->name);
    } else {
        char length[60];
        maker_length(maker, length, sizeof length);
        (void)snprintf(margin, sizeof margin, "%s - %s", length, maker_limit(maker));
    }
    plan->columns[plan->count++] =
        (struct plan_column){"margin", is_count ? SORT_RATIO : SORT_LENGTH};
    plan->columns[plan->count++] = (struct plan_column){"outcome", SORT_WORD};
    maker_line(&maker->rule->sections[SECTION_CHECK], "{margin: '%s', weight: stops}",
               margin);
}

/* ---- rules */

/* A relation of the layer to fill; NULL when it has none. */
static struct plan *some_head(struct maker *maker)
{
    struct plan *found[PLANS];
    uint32_t count = 0;
    for (uint32_t i = FACT_PLANS; i < PLANS; i++) {
        struct plan *plan = &maker->plans[i];
        if (plan->layer == maker->layer &&
            (!plan->is_table || maker->rule->over_catalogue)) {
            found[count++] = plan;
        }
    }
    return count == 0 ? NULL : found[dice_below(&maker->dice, count)];
}

/* A value is best a function of the key: then sure derivations seldom disagree. */
static uint32_t name_keys_for(struct maker *maker, const struct plan *head)
{
    uint32_t name_keys = 0;
    bool has_values = false;
    for (uint32_t c = 0; head != NULL && c < head->count; c++) {
        name_keys += head->columns[c].sort == SORT_NAME ? 1 : 0;
        has_values = has_values || !sort_is_key(head->columns[c].sort);
    }
    return has_values && dice_chance(&maker->dice, 75) ? name_keys : 0;
}

static struct program_rule *open_rule(struct maker *maker, uint32_t layer)
{
    struct program_rule *rule = &maker->program->rules[maker->program->rule_count++];
    *rule = (struct program_rule){.over_catalogue = dice_chance(&maker->dice, 4)};
    (void)snprintf(rule->name, sizeof rule->name, "rule-%c%u",
                   'a' + (char)dice_below(&maker->dice, 26),
                   maker->program->rule_count % 100);
    maker->rule = rule;
    maker->layer = layer;
    maker->variable_count = 0;
    maker->keys_named = 0;
    maker->values_named = 0;
    maker->name_keys = 0;
    maker->keeps_keys = false;
    return rule;
}

static void draw_rule(struct maker *maker, uint32_t layer)
{
    (void)open_rule(maker, layer);
    struct plan *head = dice_chance(&maker->dice, 25) ? NULL : some_head(maker);
    /* A second rule for the same values mostly says something else. */
    if (head != NULL && head->rules > 0 && name_keys_for(maker, head) > 0 &&
        dice_chance(&maker->dice, 80)) {
        head = NULL;
    }
    maker->name_keys = name_keys_for(maker, head);
    maker->keeps_keys = head == NULL && dice_chance(&maker->dice, 80);
    draw_given(maker);
    draw_unless(maker);
    draw_counts(maker, head);
    draw_amounts(maker);
    draw_every(maker);
    draw_lets(maker);
    draw_filters(maker);
    if (head != NULL) {
        draw_conclusion(maker, head);
        struct plan *second = dice_chance(&maker->dice, 8) ? some_head(maker) : NULL;
        if (second != NULL && name_keys_for(maker, second) == 0) {
            draw_conclusion(maker, second);
        }
    }
    if (head == NULL || dice_chance(&maker->dice, 5)) {
        draw_check(maker);
    }
}

/* ---- recursion */

/* A relation of the layer from one name to another, seldom one with values: the ways
 * round a loop hardly agree on them. NULL when the layer has none. */
static struct plan *some_pair(struct maker *maker)
{
    struct plan *found[PLANS];
    uint32_t count = 0;
    for (uint32_t i = FACT_PLANS; i < PLANS; i++) {
        struct plan *plan = &maker->plans[i];
        const bool has_values = !sort_is_key(plan->columns[plan->count - 1].sort);
        if (plan->layer == maker->layer && plan->count >= 2 &&
            plan->columns[1].sort == SORT_NAME &&
            (!has_values || dice_chance(&maker->dice, 15))) {
            found[count++] = plan;
        }
    }
    return count == 0 ? NULL : found[dice_below(&maker->dice, count)];
}

/* "name: {item: $from, to: $to, …}"; a condition may leave columns out. */
static void pair_write(struct maker *maker, const struct plan *plan, const char *ends,
                       bool is_head, char *out, size_t room)
{
    size_t at = (size_t)snprintf(out, room, "%s: {item: $%c, to: $%c", plan->name,
                                 ends[0], ends[1]);
    for (uint32_t c = 2; c < plan->count && at < room; c++) {
        const struct plan_column *column = &plan->columns[c];
        char term[40];
        if (is_head) {
            head_term(maker, plan, c, term, sizeof term);
        } else if (dice_chance(&maker->dice, 50)) {
            (void)snprintf(term, sizeof term, "$%s",
                           maker_variable_add(maker, column->sort)->name);
        } else {
            continue;
        }
        at += (size_t)snprintf(out + at, room - at, ", %s: %s", column->name, term);
    }
    if (at < room) {
        (void)snprintf(out + at, room - at, "}");
    }
}

/* head(a, last) from steps a-b, b-c, …, each by one of two relations. */
static void draw_step_rule(struct maker *maker, struct plan *head,
                           const struct plan *const *steps, uint32_t count)
{
    static const char ways[] = "abc";
    const char ends[2] = {'a', ways[count]};
    char line[LINE_BYTES];
    (void)open_rule(maker, maker->layer);
    for (uint32_t i = 0; i <= count; i++) {
        (void)maker_variable_add(maker, SORT_NAME);
    }
    for (uint32_t i = 0; i < count; i++) {
        pair_write(maker, steps[i], ways + i, false, line, sizeof line);
        maker_line(&maker->rule->sections[SECTION_GIVEN], "%s", line);
    }
    if (dice_chance(&maker->dice, 40)) {
        draw_unless(maker);
    }
    if (dice_chance(&maker->dice, 40)) {
        draw_filters(maker);
    }
    pair_write(maker, head, ends, true, line, sizeof line);
    maker_line(&maker->rule->sections[SECTION_CONCLUDE], "%s", line);
    head->rules++;
}

/* A relation closed over itself, or two over each other: from a start, along a step. */
static void draw_closure(struct maker *maker, uint32_t layer)
{
    maker->layer = layer;
    struct plan *one = some_pair(maker);
    struct plan *two = some_pair(maker);
    const struct plan *links[] = {&maker->plans[0], &maker->plans[1]};
    if (one == NULL) {
        draw_rule(maker, layer);
        return;
    }
    const struct plan *start = links[dice_below(&maker->dice, 2)];
    const struct plan *step = links[dice_below(&maker->dice, 2)];
    const struct plan *onward[2] = {one, dice_chance(&maker->dice, 30) ? one : step};
    two = two == NULL ? one : two;
    const struct plan *back[2] = {two, step};
    draw_step_rule(maker, one, &start, 1);
    draw_step_rule(maker, two, onward, 2);
    if (two != one) {
        draw_step_rule(maker, one, back, 2);
    }
}

/* Values out of links, of which a filter leaves most in doubt: several give one row. */
static void draw_projection(struct maker *maker, uint32_t layer)
{
    maker->layer = layer;
    struct plan *heads[PLANS];
    uint32_t count = 0;
    for (uint32_t i = FACT_PLANS; i < PLANS; i++) {
        const enum sort last = maker->plans[i].columns[maker->plans[i].count - 1].sort;
        if (maker->plans[i].layer == layer && maker->plans[i].rules == 0 &&
            !sort_is_key(last)) {
            heads[count++] = &maker->plans[i];
        }
    }
    if (count == 0) {
        draw_rule(maker, layer);
        return;
    }
    (void)open_rule(maker, layer);
    static const enum sort sorts[] = {SORT_NAME, SORT_LENGTH, SORT_LENGTH, SORT_WORD,
                                      SORT_COUNT};
    for (size_t i = 0; i < sizeof sorts / sizeof *sorts; i++) {
        (void)maker_variable_add(maker, sorts[i]);
    }
    maker_line(&maker->rule->sections[SECTION_GIVEN],
               "link: {item: $a, width: $v1, gauge: $v2, grade: $v3, holes: $v4}");
    maker_line(&maker->rule->sections[SECTION_WHERE], "'$v1 %s 10 mm'",
               dice_chance(&maker->dice, 50) ? ">" : "<");
    draw_conclusion(maker, heads[dice_below(&maker->dice, count)]);
}

/* Two sums or ends of links, of which some have no grade, and a check that takes both or
 * one of them twice. */
static void draw_reckoning(struct maker *maker, uint32_t layer)
{
    static const char *const columns[] = {"width", "gauge", "holes", NULL};
    static const char *const formulas[] = {"$x - $y", "$x + $y", "$x - $y + $x",
                                           "2 * $x - $x - $y", NULL};
    static const char *const grades[] = {"grade: low, ", "grade: mid, ", "to: $b, ", "",
                                         NULL};
    static const enum section sections[] = {SECTION_SUM, SECTION_LEAST, SECTION_GREATEST};
    (void)open_rule(maker, layer);
    const char *column = maker_one_of(maker, columns);
    const bool is_length = strcmp(column, "holes") != 0;
    maker_line(&maker->rule->sections[SECTION_GIVEN], "block: {piece: $a}");
    for (char name = 'x'; name <= 'y'; name++) {
        maker_line(&maker->rule->sections[sections[dice_below(&maker->dice, 3)]],
                   "%c: {of: {link: {item: $a, %s%s: $v}}, value: $v}", name,
                   maker_one_of(maker, grades), column);
    }
    if (dice_chance(&maker->dice, 30)) {
        maker_line(&maker->rule->sections[SECTION_WHERE], "'$x <= %s'",
                   is_length ? maker_limit(maker) : "2");
    }
    maker_line(&maker->rule->sections[SECTION_CHECK],
               "{margin: '%s - %s', weight: stops}", maker_one_of(maker, formulas),
               is_length ? maker_limit(maker) : "1");
}

void maker_rules(struct maker *maker, uint32_t layer)
{
    const uint32_t room = PROGRAM_RULES - maker->program->rule_count;
    const uint32_t draw = dice_below(&maker->dice, 100);
    if (room >= 3 && draw < 25) {
        draw_closure(maker, layer);
    } else if (room > 0 && draw < 33) {
        draw_projection(maker, layer);
    } else if (room > 0 && draw < 45 && !maker->is_exact) {
        draw_reckoning(maker, layer);
    } else if (room > 0) {
        draw_rule(maker, layer);
    }
}
