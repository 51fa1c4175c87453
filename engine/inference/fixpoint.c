/* SPDX-License-Identifier: MIT */
/*
 * Groups in order, each in two passes. A local rule fires only where its owner is new, so
 * a pass starts each rule from the new rows of the condition that names that owner. In a
 * recursive group the rows a round adds or changes are then taken as the premise of every
 * condition that reads them, until there are none. The open pass leaves out rules to
 * which the sure pass met nothing open: it would find their sure matches again.
 *
 * What is open changes while it is read: it gains doubts and may lose a value. So that
 * the order of rows and rules cannot show in what is read, the open pass of a recursive
 * group goes in rounds: what a round concludes waits until all of it is concluded. So
 * does the sure pass where sure derivations could disagree: it ends with the first round
 * in which any do, before something follows from one of their values. Then what may be
 * missing is noted (lacks.c); that takes the values from open rows, and where the group
 * reads those, its rounds go on.
 */
#include "array.h"
#include "match_keys.h"

#include <string.h>

/* A row that waits for the end of its round. */
struct waiting {
    struct row row;
    const struct rule *rule;
};

/* The plans of a rule, by the condition it starts from. */
struct rule_plans {
    const struct plan *from[LIMIT_CONDITIONS];
    bool is_of_keys;
};

/* What a rule did in this run. */
struct rule_work {
    bool met_open;  /* in the sure pass: there may be open matches */
    uint64_t rows;  /* it has made */
    uint64_t steps; /* it has taken */
};

struct inference_plans {
    struct arena *arena;
    struct rule_plans *of; /* one a rule */
};

/* A relation that the group concludes, and how far its rows have been taken. */
struct member {
    relation_id relation;
    uint32_t next; /* rows before have been taken as premises */
    uint32_t end;  /* those that are new in this round lie before */
};

struct engine {
    const struct rule_base *rules;
    struct store *store;
    struct arena *arena;
    const struct inference_options *options;
    struct diagnostics *diagnostics;
    struct inference_counts *counts;
    struct inference_conflict *conflict;
    struct match *match; /* reused; large */
    struct inference_plans *plans;
    struct rule_work *work; /* one a rule */
    uint64_t steps_before;  /* the search that is under way */
    bool only_sure;
    bool waits; /* what a round concludes waits for its end */
    const struct rule_group *group;
    const struct row *conflicting; /* NULL: sure derivations agree so far */
    ARRAY_OF(struct member) members;
    ARRAY_OF(const struct row *) changed; /* rows of the group to be taken again */
    ARRAY_OF(struct waiting) waiting;
    status result;
};

/* Of the keys on which sure derivations disagree the least as text, so that it does not
 * hang from what came first. */
static void note_conflict(struct engine *engine, const struct row *there)
{
    if (engine->conflicting == NULL || row_compare(engine->store, engine->options->names,
                                                   there, engine->conflicting) < 0) {
        engine->conflicting = there;
    }
}

/* Both rules by name, the earlier first; `one` is NULL where the row is no rule's. */
static void report_conflict(struct engine *engine, const struct rule *one,
                            const struct rule *two)
{
    const struct names *names = engine->options->names;
    struct arena *arena = diagnostics_arena(engine->diagnostics);
    const text row = row_write(arena, engine->store, names, engine->conflicting);
    const bool is_turned = one != NULL && names_compare(names, one->name, two->name) > 0;
    const struct rule *first = is_turned ? two : one;
    const struct rule *second = is_turned ? one : two;
    const text than = first == NULL ? TEXT("another value than what is there")
                      : first == second
                          ? TEXT("two values")
                          : text_format(arena, "another value than rule %.*s",
                                        TEXT_ARG(names_text(names, first->name)));
    struct diagnostic *report = diagnostics_report(
        engine->diagnostics, CODE_VALUES_CONFLICT, second->where,
        "rule %.*s gives %.*s %.*s", TEXT_ARG(names_text(names, second->name)),
        TEXT_ARG(row), TEXT_ARG(than));
    report->expected = TEXT("one value for one key: mend the fact or rule that is wrong");
    if (first != second) {
        diagnostic_note_add(report,
                            first == NULL ? engine->conflicting->where : first->where,
                            first == NULL ? TEXT("the first value is stated here")
                                          : TEXT("the other rule concludes it here"));
    }
}

/* false: there is a conflict, and it has been described. */
static bool check_conflict(struct engine *engine)
{
    struct inference_options options = *engine->options;
    struct justification why = {0};
    struct justification other = {0};
    const struct value *values = NULL;
    const struct row *row = engine->conflicting;
    if (row == NULL) {
        return true;
    }
    options.step_limit = 0;
    engine->result = justification_find(engine->rules, engine->store, engine->arena,
                                        &options, row, &why);
    if (engine->result == STATUS_OK || engine->result == STATUS_NOT_FOUND) {
        engine->result = justification_other(engine->rules, engine->store, engine->arena,
                                             &options, row, &other, &values);
    }
    if (engine->result == STATUS_OK) {
        engine->result = STATUS_INVALID;
        report_conflict(engine, why.rule, other.rule);
        if (engine->conflict != NULL) {
            *engine->conflict = (struct inference_conflict){row, values, other.rule};
        }
    }
    return false;
}

static uint64_t row_limit(const struct engine *engine)
{
    return engine->options->row_limit == 0 ? LIMIT_ROWS : engine->options->row_limit;
}

/* The rule that took most steps, or made most rows; of several the first by name. */
static uint32_t largest_rule(const struct engine *engine, bool by_steps)
{
    uint32_t largest = 0;
    for (uint32_t i = 1; i < engine->rules->rule_count; i++) {
        const struct rule_work *one = &engine->work[i];
        const struct rule_work *most = &engine->work[largest];
        if (by_steps ? one->steps > most->steps : one->rows > most->rows) {
            largest = i;
        }
    }
    return largest;
}

/* Names the rule that grew. The limit is of rows or steps, else of memory. */
static void report_limit(struct engine *engine)
{
    const bool are_rows = engine->counts->rows_added > row_limit(engine);
    const uint64_t steps = engine->options->step_limit;
    const bool are_steps = steps != 0 && engine->counts->premises_tried > steps;
    if (engine->result != STATUS_LIMIT) {
        return;
    }
    arena_extend(engine->arena, LIMIT_SPARE_BYTES);
    arena_extend(diagnostics_arena(engine->diagnostics), LIMIT_SPARE_BYTES);
    const uint32_t largest = largest_rule(engine, are_steps);
    const struct rule *rule = &engine->rules->rules[largest];
    const struct rule_work *took = &engine->work[largest];
    const text name = names_text(engine->options->names, rule->name);
    struct diagnostic *report =
        are_rows || are_steps
            ? diagnostics_report(
                  engine->diagnostics, CODE_LIMIT_REACHED, rule->where,
                  "rule %.*s %s %llu %s, where %llu are allowed in all", TEXT_ARG(name),
                  are_rows ? "made" : "took",
                  (unsigned long long)(are_rows ? took->rows : took->steps),
                  are_rows ? "rows" : "steps",
                  (unsigned long long)(are_rows ? row_limit(engine) : steps))
            : diagnostics_report(
                  engine->diagnostics, CODE_LIMIT_REACHED, rule->where,
                  "rule %.*s made %llu rows, and no more memory is allowed",
                  TEXT_ARG(name), (unsigned long long)took->rows);
    report->expected = TEXT("conditions that share variables, so that less follows from "
                            "the facts; or a higher limit");
}

static const struct member *member_of(const struct engine *engine, relation_id relation)
{
    for (uint32_t i = 0; i < engine->members.count; i++) {
        if (engine->members.at[i].relation == relation) {
            return &engine->members.at[i];
        }
    }
    return NULL;
}

static bool add_member(struct engine *engine, relation_id relation)
{
    const uint32_t there = store_count(engine->store, relation);
    const struct member fresh = {relation, there, there};
    return member_of(engine, relation) != NULL ||
           ARRAY_PUSH(engine->arena, &engine->members, fresh);
}

/* The relations of the group; the rows they have before a pass are not new in it. */
static bool find_members(struct engine *engine)
{
    engine->members.count = 0;
    for (uint32_t i = 0; i < engine->group->count; i++) {
        const struct rule *rule = &engine->rules->rules[engine->group->rules[i]];
        bool is_good = !rule->has_check || add_member(engine, rule->finding);
        for (uint32_t k = 0; is_good && k < rule->conclusion_count; k++) {
            is_good = add_member(engine, rule->conclusions[k].relation);
        }
        if (!is_good) {
            engine->result = arena_status(engine->arena);
            return false;
        }
    }
    return true;
}

static struct rule_work *work_of(const struct engine *engine, const struct rule *rule)
{
    return &engine->work[rule - engine->rules->rules];
}

/* Puts a row where it can be read. */
static bool land_row(struct engine *engine, const struct rule *rule,
                     const struct row *row)
{
    const struct row *there = NULL;
    const enum added added = store_add(engine->store, row, &there);
    switch (added) {
    case ADDED_SAME:
        return true;
    case ADDED_CONFLICT:
        note_conflict(engine, there);
        return true;
    case ADDED_NO_MEMORY:
        engine->result = arena_status(engine->arena);
        return false;
    case ADDED_NEW:
        work_of(engine, rule)->rows++;
        if (++engine->counts->rows_added > row_limit(engine)) {
            engine->result = STATUS_LIMIT;
            return false;
        }
        return true;
    case ADDED_CHANGED:
        break;
    }
    if (engine->group->is_recursive &&
        !ARRAY_PUSH(engine->arena, &engine->changed, there)) {
        engine->result = arena_status(engine->arena);
        return false;
    }
    return true;
}

static bool make_wait(struct engine *engine, const struct rule *rule,
                      const struct row *row)
{
    const struct relation_shape *shape = store_shape(engine->store, row->relation);
    struct waiting one = {*row, rule};
    one.row.key =
        arena_copy(engine->arena, row->key, shape->key_count * sizeof *row->key);
    one.row.values =
        arena_copy(engine->arena, row->values, shape->value_count * sizeof *row->values);
    if (row->more != NULL) {
        one.row.more = arena_copy(engine->arena, row->more, sizeof *row->more);
    }
    if (one.row.key == NULL || one.row.values == NULL ||
        !ARRAY_PUSH(engine->arena, &engine->waiting, one)) {
        engine->result = arena_status(engine->arena);
        return false;
    }
    return true;
}

static bool land_waiting(struct engine *engine)
{
    for (uint32_t i = 0; i < engine->waiting.count; i++) {
        const struct waiting *one = &engine->waiting.at[i];
        if (!land_row(engine, one->rule, &one->row)) {
            report_limit(engine);
            return false;
        }
    }
    engine->waiting.count = 0;
    return true;
}

static bool add_row(struct engine *engine, struct match *match, relation_id relation,
                    const name_id *key, const struct value *values)
{
    const struct row_more more = {.doubt = match->doubt};
    const struct row row = {.relation = relation,
                            .standing = match->is_open ? STANDING_OPEN : STANDING_SURE,
                            .origin = ORIGIN_RULE,
                            .height = match_height(match),
                            .key = key,
                            .values = values,
                            .more = match->is_open ? &more : NULL};
    return engine->waits ? make_wait(engine, match->rule, &row)
                         : land_row(engine, match->rule, &row);
}

static bool conclude(struct match *match)
{
    struct engine *engine = match->context;
    name_id key[LIMIT_KEY_COLUMNS];
    struct value values[LIMIT_VALUE_COLUMNS];
    if (!engine->only_sure && !match->is_open) {
        return true; /* the first pass has concluded it */
    }
    for (uint32_t i = 0; i < match->rule->conclusion_count; i++) {
        const struct conclusion *one = &match->rule->conclusions[i];
        match_conclusion(match, one, key, values);
        if (!match->is_open &&
            store_shape(engine->store, one->relation)->value_count == 0 &&
            store_holds(engine->store, one->relation, key, match_height(match))) {
            continue;
        }
        if (!add_row(engine, match, one->relation, key, values)) {
            return false;
        }
    }
    if (!match->rule->has_check) {
        return true;
    }
    return match_finding(match, key, values) &&
           add_row(engine, match, match->rule->finding, key, values);
}

/* A key that a rule of keys gives. */
static bool conclude_key(struct match *match, const name_id *key, uint32_t height)
{
    const struct row row = {.relation = match->rule->conclusions[0].relation,
                            .standing = STANDING_SURE,
                            .origin = ORIGIN_RULE,
                            .height = height,
                            .key = key};
    return land_row(match->context, match->rule, &row);
}

static struct rule_plans *plans_of(const struct engine *engine, const struct rule *rule)
{
    return &engine->plans->of[rule - engine->rules->rules];
}

/* NULL: out of memory. */
static const struct plan *plan_of(struct engine *engine, const struct rule *rule,
                                  uint32_t driver)
{
    struct rule_plans *plans = plans_of(engine, rule);
    if (plans->from[driver] == NULL) {
        struct plan *made = ARENA_NEW(engine->plans->arena, struct plan);
        if (made == NULL) {
            engine->result = arena_status(engine->plans->arena);
            return NULL;
        }
        plan_make(made, rule, engine->store, driver, 0);
        plans->from[driver] = made;
        plans->is_of_keys = match_is_of_keys(rule, engine->store);
    }
    return plans->from[driver];
}

/* What a search came to: notes what stopped it, and whether it met something open. */
static bool is_done_well(struct engine *engine, const struct rule *rule, status result)
{
    struct rule_work *work = work_of(engine, rule);
    work->met_open = work->met_open || engine->match->met_open;
    work->steps += engine->counts->premises_tried - engine->steps_before;
    if (result != STATUS_OK) {
        engine->result = engine->result != STATUS_OK ? engine->result : result;
    }
    report_limit(engine);
    return engine->result == STATUS_OK;
}

/* Readies the match for a rule that starts from a condition; NULL: out of memory. */
static struct match *ready(struct engine *engine, const struct rule *rule,
                           uint32_t driver)
{
    struct match *match = engine->match;
    match->rule = rule;
    match->only_sure = engine->only_sure;
    match->met_open = false;
    match->bound = 0;
    engine->steps_before = engine->counts->premises_tried;
    match->plan = plan_of(engine, rule, driver);
    return match->plan == NULL ? NULL : match;
}

static bool match_from(struct engine *engine, const struct rule *rule, uint32_t driver,
                       const struct row *row)
{
    struct match *match = ready(engine, rule, driver);
    return match != NULL && is_done_well(engine, rule, match_run(match, driver, row));
}

/* Takes the rows numbered from..end-1 as the premise of a condition. */
static bool match_rows(struct engine *engine, const struct rule *rule, uint32_t driver,
                       uint32_t from, uint32_t end)
{
    struct match *match = from < end ? ready(engine, rule, driver) : NULL;
    if (match == NULL) {
        return engine->result == STATUS_OK;
    }
    const bool is_of_keys =
        engine->only_sure && !engine->waits && plans_of(engine, rule)->is_of_keys;
    return is_done_well(engine, rule,
                        is_of_keys
                            ? match_keys(match, match->plan, from, end, conclude_key)
                            : match_run_rows(match, from, end));
}

/* The condition whose owner is that of what is concluded: what is new must show there. */
static uint32_t driver_of(const struct engine *engine, const struct rule *rule)
{
    const struct term *head =
        rule->conclusion_count > 0 ? &rule->conclusions[0].terms[0] : NULL;
    const uint32_t owner = rule->has_check                               ? rule->keys[0]
                           : head != NULL && head->kind == TERM_VARIABLE ? head->variable
                                                                         : UINT32_MAX;
    for (uint32_t i = 0; i < rule->given_count; i++) {
        const struct term *first = &rule->given[i].terms[0];
        if (store_shape(engine->store, rule->given[i].relation)->is_owned &&
            first->kind == TERM_VARIABLE && first->variable == owner) {
            return i;
        }
    }
    return 0;
}

/* A rule over the catalogue sees the catalogue, and never a question's layer. */
static bool is_done_at_load(const struct engine *engine, const struct rule *rule)
{
    return rule->over_catalogue && store_is_layer(engine->store);
}

/* Rows that the pass itself adds are taken when their round comes. */
static bool start_rule(struct engine *engine, const struct rule *rule)
{
    const uint32_t driver = driver_of(engine, rule);
    const relation_id relation = rule->given[driver].relation;
    const struct member *member = member_of(engine, relation);
    const uint32_t end =
        member != NULL ? member->next : store_count(engine->store, relation);
    if (!engine->only_sure && !work_of(engine, rule)->met_open) {
        return true;
    }
    return match_rows(engine, rule, driver, store_own_from(engine->store, relation), end);
}

/* Takes a row that has changed, or the new rows of a relation where `changed` is NULL, as
 * the premise of every condition of the group that reads them. */
static bool spread(struct engine *engine, const struct member *member,
                   const struct row *changed)
{
    const relation_id relation = changed != NULL ? changed->relation : member->relation;
    for (uint32_t i = 0; i < engine->group->count; i++) {
        const struct rule *rule = &engine->rules->rules[engine->group->rules[i]];
        for (uint32_t k = 0; k < rule->given_count && !is_done_at_load(engine, rule);
             k++) {
            if (rule->given[k].relation == relation &&
                !(changed != NULL
                      ? match_from(engine, rule, k, changed)
                      : match_rows(engine, rule, k, member->next, member->end))) {
                return false;
            }
        }
    }
    return true;
}

/* What is new up to here is one round. false: nothing is. */
static bool begin_round(struct engine *engine)
{
    bool is_any = engine->changed.count > 0;
    for (uint32_t i = 0; i < engine->members.count; i++) {
        struct member *member = &engine->members.at[i];
        member->end = store_count(engine->store, member->relation);
        is_any = is_any || member->next < member->end;
    }
    return is_any;
}

static bool run_round(struct engine *engine)
{
    const uint32_t changed = engine->changed.count;
    for (uint32_t i = 0; i < engine->members.count; i++) {
        struct member *member = &engine->members.at[i];
        if (!spread(engine, member, NULL)) {
            return false;
        }
        member->next = member->end;
    }
    for (uint32_t i = 0; i < changed; i++) {
        if (!spread(engine, NULL, engine->changed.at[i])) {
            return false;
        }
    }
    /* Those that changed meanwhile are the next round's. */
    engine->changed.count -= changed;
    if (engine->changed.count > 0) {
        memmove(engine->changed.at, engine->changed.at + changed,
                engine->changed.count * sizeof *engine->changed.at);
    }
    engine->counts->rounds++;
    return true;
}

/* Until nothing is new; only a recursive group has rounds. */
static bool run_rounds(struct engine *engine)
{
    while (land_waiting(engine) && engine->group->is_recursive &&
           engine->conflicting == NULL && begin_round(engine)) {
        if (!run_round(engine)) {
            return false;
        }
    }
    return engine->result == STATUS_OK;
}

/* Whether sure derivations could disagree. */
static bool has_values(const struct engine *engine)
{
    for (uint32_t i = 0; i < engine->members.count; i++) {
        if (store_shape(engine->store, engine->members.at[i].relation)->value_count > 0) {
            return true;
        }
    }
    return false;
}

static bool run_pass(struct engine *engine, bool only_sure)
{
    engine->only_sure = only_sure;
    engine->changed.count = 0;
    engine->waiting.count = 0;
    if (!find_members(engine)) {
        return false;
    }
    engine->waits = engine->group->is_recursive && (!only_sure || has_values(engine));
    for (uint32_t i = 0; i < engine->group->count; i++) {
        const struct rule *rule = &engine->rules->rules[engine->group->rules[i]];
        if (!is_done_at_load(engine, rule) && !start_rule(engine, rule)) {
            return false;
        }
    }
    return run_rounds(engine) && check_conflict(engine);
}

/* What may be missing could give an open row other values: nobody knows them. */
static bool contest_rows(struct engine *engine, relation_id relation)
{
    const uint32_t end = store_count(engine->store, relation);
    const bool has_values = store_shape(engine->store, relation)->value_count > 0;
    for (uint32_t i = store_own_from(engine->store, relation); has_values && i < end;
         i++) {
        const struct row *row = store_row(engine->store, relation, i);
        const struct doubt doubt = row->standing == STANDING_SURE
                                       ? (struct doubt){NULL, 0}
                                       : match_gaps_of(engine->match, relation, row->key);
        const enum added added =
            doubt.count == 0 ? ADDED_SAME : store_contest(engine->store, row, doubt);
        if (added == ADDED_NO_MEMORY ||
            (added == ADDED_CHANGED && engine->group->is_recursive &&
             !ARRAY_PUSH(engine->arena, &engine->changed, row))) {
            engine->result = arena_status(engine->arena);
            return false;
        }
    }
    return true;
}

/* Notes what may be missing from what the group concludes, and takes what has changed by
 * that, until nothing has. */
static bool run_lacks(struct engine *engine)
{
    do {
        engine->result = match_lacks(engine->match, engine->group);
        for (uint32_t i = 0; engine->result == STATUS_OK && i < engine->members.count;
             i++) {
            (void)contest_rows(engine, engine->members.at[i].relation);
        }
        if (engine->result != STATUS_OK) {
            report_limit(engine);
            return false;
        }
    } while (engine->changed.count > 0 && run_rounds(engine));
    return engine->result == STATUS_OK;
}

struct inference_plans *inference_plans_open(struct arena *arena,
                                             const struct rule_base *rules)
{
    struct inference_plans *made = ARENA_NEW(arena, struct inference_plans);
    if (made != NULL) {
        made->arena = arena;
        made->of = ARENA_MANY(arena, rules->rule_count, struct rule_plans);
    }
    return made == NULL || made->of == NULL ? NULL : made;
}

static uint64_t rows_of(const struct store *store)
{
    uint64_t rows = 0;
    for (relation_id r = 0; r < store_shape_count(store); r++) {
        rows += store_count(store, r);
    }
    return rows;
}

/* `meanwhile` is for what nothing points to afterwards: a knowledge that is kept in a
 * file holds none of it. */
static status run_groups(struct engine *engine, struct arena *meanwhile)
{
    struct match *match = ARENA_NEW(meanwhile, struct match);
    engine->plans = engine->options->plans != NULL
                        ? engine->options->plans
                        : inference_plans_open(meanwhile, engine->rules);
    engine->work = ARENA_MANY(meanwhile, engine->rules->rule_count, struct rule_work);
    TRY(arena_status(meanwhile));
    engine->match = match;
    match->rules = engine->rules;
    match->store = engine->store;
    match->arena = engine->arena;
    match->meanwhile = meanwhile;
    match->options = engine->options;
    match->diagnostics = engine->diagnostics;
    match->counts = engine->counts;
    match->below = UINT32_MAX;
    match->found = conclude;
    match->context = engine;
    if (!store_is_layer(engine->store)) { /* a layer's few rows are not worth the table */
        match->frame.numbers = shared_numbers_open(meanwhile, rows_of(engine->store));
    }
    for (uint32_t i = 0; i < engine->rules->group_count; i++) {
        engine->group = &engine->rules->groups[i];
        if (!run_pass(engine, true) || !run_pass(engine, false) || !run_lacks(engine)) {
            return engine->result != STATUS_OK ? engine->result : STATUS_INVALID;
        }
    }
    return arena_status(engine->arena);
}

status inference_run(const struct rule_base *rules, struct store *store,
                     struct arena *arena, const struct inference_options *options,
                     struct diagnostics *diagnostics, struct inference_counts *counts,
                     struct inference_conflict *conflict)
{
    struct engine engine = {.rules = rules,
                            .store = store,
                            .arena = arena,
                            .options = options,
                            .diagnostics = diagnostics,
                            .counts = counts,
                            .conflict = conflict};
    struct arena *meanwhile = arena_open_beside(arena);
    const status result =
        meanwhile == NULL ? STATUS_NO_MEMORY : run_groups(&engine, meanwhile);
    arena_close(meanwhile);
    return result;
}
