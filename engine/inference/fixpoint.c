/* SPDX-License-Identifier: MIT */
/*
 * Groups in order, each in two passes. A local rule fires only where its owner is new, so
 * a pass starts each rule from the new rows of the condition that names that owner. In a
 * recursive group the rows a pass adds or changes are then taken, one at a time, as the
 * premise of every condition that reads them, until there are none.
 *
 * What is open changes while it is read: it gains doubts and may lose a value. So that
 * the order of rows and rules cannot show in what is read, the open pass of a recursive
 * group goes in rounds: what a round concludes waits until all of it is concluded.
 */
#include "array.h"
#include "match_rule.h"

/* A row that waits for the end of its round. */
struct waiting {
    struct row row;
    const struct rule *rule;
};

/* The plans of a rule, one for each condition it may start from, and what it took. */
struct rule_plans {
    const struct plan *from[LIMIT_CONDITIONS];
    uint64_t rows;
    uint64_t steps;
};

struct engine {
    const struct rule_base *rules;
    struct store *store;
    struct arena *arena;
    const struct inference_options *options;
    struct diagnostics *diagnostics;
    struct inference_counts *counts;
    struct inference_conflict *conflict;
    struct match *match;      /* reused; large */
    struct rule_plans *plans; /* one a rule */
    bool only_sure;
    const struct rule_group *group;
    const struct row *conflicting;      /* NULL: sure derivations agree so far */
    ARRAY_OF(const struct row *) queue; /* rows of the group that are new or changed */
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
        const struct rule_plans *one = &engine->plans[i];
        const struct rule_plans *most = &engine->plans[largest];
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
    const struct rule_plans *took = &engine->plans[largest];
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

static bool in_group(const struct engine *engine, relation_id relation)
{
    for (uint32_t i = 0; i < engine->group->count; i++) {
        const struct rule *rule = &engine->rules->rules[engine->group->rules[i]];
        if (rule->has_check && rule->finding == relation) {
            return true;
        }
        for (uint32_t k = 0; k < rule->conclusion_count; k++) {
            if (rule->conclusions[k].relation == relation) {
                return true;
            }
        }
    }
    return false;
}

static struct rule_plans *plans_of(struct engine *engine, const struct rule *rule)
{
    return &engine->plans[rule - engine->rules->rules];
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
        plans_of(engine, rule)->rows++;
        if (++engine->counts->rows_added > row_limit(engine)) {
            engine->result = STATUS_LIMIT;
            return false;
        }
        break;
    case ADDED_CHANGED:
        break;
    }
    if (engine->group->is_recursive &&
        !ARRAY_PUSH(engine->arena, &engine->queue, there)) {
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
    return engine->group->is_recursive && !engine->only_sure
               ? make_wait(engine, match->rule, &row)
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

/* NULL: out of memory; then the search makes its own. */
static const struct plan *plan_of(struct engine *engine, const struct rule *rule,
                                  uint32_t driver)
{
    struct rule_plans *plans = plans_of(engine, rule);
    if (plans->from[driver] == NULL) {
        struct plan *made = ARENA_NEW(engine->arena, struct plan);
        if (made != NULL) {
            plan_make(made, rule, engine->store, driver, 0);
        }
        plans->from[driver] = made;
    }
    return plans->from[driver];
}

static bool match_from(struct engine *engine, const struct rule *rule, uint32_t driver,
                       const struct row *row)
{
    struct match *match = engine->match;
    const uint64_t before = engine->counts->premises_tried;
    match->rule = rule;
    match->only_sure = engine->only_sure;
    match->bound = 0;
    match->plan = plan_of(engine, rule, driver);
    const status result = match_run(match, driver, row);
    if (result != STATUS_OK) {
        engine->result = engine->result != STATUS_OK ? engine->result : result;
    }
    plans_of(engine, rule)->steps += engine->counts->premises_tried - before;
    report_limit(engine);
    return engine->result == STATUS_OK;
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

static bool start_rule(struct engine *engine, const struct rule *rule)
{
    const uint32_t driver = driver_of(engine, rule);
    const relation_id relation = rule->given[driver].relation;
    const uint32_t from = store_own_from(engine->store, relation);
    const uint32_t end = store_count(engine->store, relation);
    for (uint32_t i = from; i < end; i++) {
        if (!match_from(engine, rule, driver, store_row(engine->store, relation, i))) {
            return false;
        }
    }
    return true;
}

/* Takes the row as the premise of every condition of the group that reads its relation.
 */
static bool spread(struct engine *engine, const struct row *row)
{
    for (uint32_t i = 0; i < engine->group->count; i++) {
        const struct rule *rule = &engine->rules->rules[engine->group->rules[i]];
        for (uint32_t k = 0; k < rule->given_count && !is_done_at_load(engine, rule);
             k++) {
            if (rule->given[k].relation == row->relation &&
                in_group(engine, row->relation) && !match_from(engine, rule, k, row)) {
                return false;
            }
        }
    }
    return true;
}

static bool run_pass(struct engine *engine, bool only_sure)
{
    engine->only_sure = only_sure;
    engine->queue.count = 0;
    engine->waiting.count = 0;
    for (uint32_t i = 0; i < engine->group->count; i++) {
        const struct rule *rule = &engine->rules->rules[engine->group->rules[i]];
        if (!is_done_at_load(engine, rule) && !start_rule(engine, rule)) {
            return false;
        }
    }
    uint32_t next = 0;
    while (land_waiting(engine) && next < engine->queue.count) {
        const uint32_t end = engine->queue.count;
        for (; next < end; next++) {
            if (!spread(engine, engine->queue.at[next])) {
                return false;
            }
        }
        engine->counts->rounds++;
    }
    return engine->result == STATUS_OK && check_conflict(engine);
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
                            .conflict = conflict,
                            .match = ARENA_NEW(arena, struct match),
                            .plans =
                                ARENA_MANY(arena, rules->rule_count, struct rule_plans)};
    TRY(arena_status(arena));
    engine.match->rules = rules;
    engine.match->store = store;
    engine.match->arena = arena;
    engine.match->options = options;
    engine.match->diagnostics = diagnostics;
    engine.match->counts = counts;
    engine.match->below = UINT32_MAX;
    engine.match->found = conclude;
    engine.match->context = &engine;
    for (uint32_t i = 0; i < rules->group_count; i++) {
        engine.group = &rules->groups[i];
        if (!run_pass(&engine, true) || !run_pass(&engine, false)) {
            return engine.result != STATUS_OK ? engine.result : STATUS_INVALID;
        }
        TRY(match_lacks(engine.match, engine.group));
    }
    return arena_status(arena);
}
