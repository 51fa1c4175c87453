/* SPDX-License-Identifier: MIT */
/*
 * A depth-first join along a plan; what a row binds is undone when the row is left. A
 * condition that is neither yes nor no opens the match and leaves its doubt; where only
 * sure matches are wanted it ends there.
 */
#include "match_private.h"

#include <math.h>
#include <string.h>

static bool join_rest(struct match *match, const struct plan *plan, uint32_t depth);

struct value match_formula(struct match *match, const struct formula *formula)
{
    const struct value value = formula_run(formula, &match->frame);
    if (match->frame.is_stopped && match->result == STATUS_OK) {
        match->result = STATUS_INVALID;
    }
    return value;
}

static bool finish(struct match *match)
{
    const struct rule *rule = match->rule;
    match->frame.rests_on_count = 0;
    if (!match_denials(match)) {
        return true;
    }
    for (uint32_t i = 0; i < rule->tally_count; i++) {
        if (!match_tally(match, &rule->tallies[i])) {
            return true;
        }
    }
    for (uint32_t i = 0; i < rule->let_count; i++) {
        match->slots[rule->lets[i].variable] =
            match_formula(match, rule->lets[i].formula);
        match->bound |= UINT64_C(1) << rule->lets[i].variable;
    }
    for (uint32_t i = 0; i < rule->filter_count; i++) {
        const struct value holds = match_formula(match, rule->filters[i]);
        if (holds.truth == TRUTH_NO) {
            return true;
        }
        if (holds.truth != TRUTH_YES) {
            match_open_by(match, truth_doubt(holds));
        }
    }
    /* A search that was stopped has not seen all that could deny the match. */
    match->result =
        match->result == STATUS_OK ? arena_status(match->arena) : match->result;
    if (match->result != STATUS_OK) {
        return false;
    }
    if (match->only_sure && match->is_open) {
        match->met_open = true;
        return true;
    }
    return match->found(match);
}

/* Binds the key columns that are new here; false: a variable that stands in two columns
 * would have to be two things. */
static bool bind_keys(struct match *match, const struct plan_step *step,
                      const name_id *cells)
{
    for (uint32_t i = 0; i < step->bind_count; i++) {
        match_bind_key(match, step->binds[i].variable, cells[step->binds[i].column]);
    }
    return step_repeats(step, match->cells, cells);
}

/* Values that something is asked of. false: one is surely another; what may be another
 * opens the match. */
static bool test_values(struct match *match, const struct plan_step *step,
                        const struct row *row)
{
    struct doubt doubt = {NULL, 0};
    const enum truth fits =
        match_row_values(match, &match->rule->given[step->condition], row, &doubt);
    if (fits == TRUTH_UNSURE || fits == TRUTH_UNKNOWN) {
        match_open_by(match, doubt);
    }
    return fits != TRUTH_NO;
}

/* Binds the values that are wanted; false: the row has no such field. */
static bool bind_values(struct match *match, const struct plan_step *step,
                        const struct row *row)
{
    if (step->has_tests) {
        return test_values(match, step, row);
    }
    for (uint32_t i = 0; i < step->value_count; i++) {
        const struct value value = row->values[step->values[i].column];
        if (value.kind == VALUE_NONE) {
            return false;
        }
        match->slots[step->values[i].variable] = value;
    }
    match->bound |= step->variables;
    return true;
}

/* A row as a premise: its cells, which a scan has at hand, and what is known of it
 * without touching it. */
struct premise {
    const struct row *row;
    const name_id *cells;
    uint32_t height;
    bool is_sure;
};

static struct premise premise_of(const struct row *row)
{
    return (struct premise){row, row->key, row->height, row->standing == STANDING_SURE};
}

/* Tries one row, whose bound key columns match, and all that follows. false stops the
 * search. */
static bool try_row(struct match *match, const struct plan *plan, uint32_t depth,
                    const struct premise *premise)
{
    const struct plan_step *step = &plan->steps[depth];
    const struct match_mark mark = match_mark(match);
    bool goes_on = true;
    if (!match_step_allowed(match)) {
        return false;
    }
    if (premise->height >= match->below || (match->only_sure && !premise->is_sure)) {
        match->met_open = match->met_open || !premise->is_sure;
        return true;
    }
    if (bind_keys(match, step, premise->cells) &&
        bind_values(match, step, premise->row)) {
        if (!premise->is_sure) {
            match_open_by(match, row_doubt(premise->row));
        }
        match->met_open = match->met_open || match->is_open;
        if (!match->only_sure || !match->is_open) {
            match->premises[step->condition] = premise->row;
            match->heights[step->condition] = premise->height;
            goes_on = join_rest(match, plan, depth + 1);
        }
    }
    match_restore(match, &mark);
    return goes_on;
}

static bool finish_and_restore(struct match *match)
{
    const struct match_mark mark = match_mark(match);
    const bool goes_on = finish(match);
    match_restore(match, &mark);
    return goes_on;
}

/* Makes the scan of a step ready for many keys. */
static bool prepare_scan(struct match *match, const struct plan_step *step,
                         uint32_t depth)
{
    struct scan *scan = &match->scans[depth];
    const relation_id relation = match->rule->given[step->condition].relation;
    if (!scan_prepare(scan, match->store, relation, step->bound)) {
        match->result = arena_status(match->arena);
        return false;
    }
    memcpy(scan->key, step->key, sizeof step->key);
    match->ready |= 1u << depth;
    return true;
}

/* The scan of a step for the key that is bound; NULL: out of memory. */
static struct scan *scan_of(struct match *match, const struct plan_step *step,
                            uint32_t depth)
{
    struct scan *scan = &match->scans[depth];
    if ((match->ready >> depth & 1u) == 0 && !prepare_scan(match, step, depth)) {
        return NULL;
    }
    step_key(step, match->cells, scan->key);
    scan_start(scan);
    return scan;
}

static bool join_rest(struct match *match, const struct plan *plan, uint32_t depth)
{
    if (depth == plan->count) {
        return finish_and_restore(match);
    }
    struct scan *scan = scan_of(match, &plan->steps[depth], depth);
    if (scan == NULL) {
        return false;
    }
    for (const struct row *row = scan_next(scan); row != NULL; row = scan_next(scan)) {
        const struct premise premise =
            scan->is_even ? (struct premise){row, scan->cells, scan->height, true}
                          : premise_of(row);
        if (!try_row(match, plan, depth, &premise)) {
            return false;
        }
    }
    return true;
}

static void begin(struct match *match)
{
    _Static_assert(LIMIT_CONDITIONS <= 32, "a bit for each step");
    match->frame = (struct formula_frame){.slots = match->slots,
                                          .arena = match->arena,
                                          .meanwhile = match->meanwhile,
                                          .names = match->options->names,
                                          .world = match->options->world,
                                          .diagnostics = match->diagnostics,
                                          .numbers = match->frame.numbers,
                                          .patterns = match->frame.patterns};
    match->result = STATUS_OK;
    match->is_open = false;
    match->doubt = (struct doubt){NULL, 0};
    match->ready = 0;
}

/* Takes a row for the first condition; false stops the search. */
static bool start_from(struct match *match, const struct plan *plan,
                       const struct row *row)
{
    const struct premise premise = premise_of(row);
    return !step_takes(&plan->steps[0], match->cells, row->key) ||
           try_row(match, plan, 0, &premise);
}

status match_run(struct match *match, uint32_t driver, const struct row *row)
{
    struct plan own;
    const struct plan *plan = match->plan;
    begin(match);
    if (plan == NULL) {
        plan_make(&own, match->rule, match->store, driver, match->bound);
        plan = &own;
    }
    (void)(driver == UINT32_MAX ? join_rest(match, plan, 0)
                                : start_from(match, plan, row));
    return match->result;
}

status match_run_rows(struct match *match, uint32_t from, uint32_t end)
{
    const struct plan *plan = match->plan;
    const relation_id relation = match->rule->given[plan->steps[0].condition].relation;
    begin(match);
    for (uint32_t i = from;
         i < end && start_from(match, plan, store_row(match->store, relation, i)); i++) {
    }
    return match->result;
}

uint32_t match_height(const struct match *match)
{
    uint32_t highest = 0;
    for (uint32_t i = 0; i < match->rule->given_count; i++) {
        highest = match->heights[i] > highest ? match->heights[i] : highest;
    }
    return highest + 1;
}

/* ---- what it concludes */

/* A value as its column holds it: a column of quantities also takes a count, and a column
 * of counts holds as a count what is surely a whole number. */
static struct value column_value(struct match *match, const struct column *column,
                                 struct value value)
{
    if (column->kind == COLUMN_QUANTITY &&
        (value.kind == VALUE_COUNT || value.kind == VALUE_MISSING)) {
        return value_quantity(value_form(match->arena, value, column->dim));
    }
    const struct form *form = value.kind == VALUE_QUANTITY ? value.quantity : NULL;
    if (column->kind == COLUMN_COUNT && form != NULL && form_is_exact(form) &&
        form->nominal == floor(form->nominal) && fabs(form->nominal) < 0x1p53) {
        return value_count((int64_t)form->nominal);
    }
    return value;
}

void match_conclusion(struct match *match, const struct conclusion *conclusion,
                      name_id *key, struct value *values)
{
    const struct relation_shape *shape = store_shape(match->store, conclusion->relation);
    for (uint32_t c = 0; c < shape->key_count; c++) {
        const struct term *term = &conclusion->terms[c];
        key[c] = term->kind == TERM_VARIABLE ? match->cells[term->variable]
                 : term->kind == TERM_NAME   ? term->name
                                             : (name_id)term->number;
    }
    for (uint32_t v = 0; v < shape->value_count; v++) {
        const struct term *term = &conclusion->terms[shape->key_count + v];
        const struct value value = term->kind == TERM_VARIABLE
                                       ? match->slots[term->variable]
                                   : term->kind == TERM_NAME ? value_word(term->name)
                                                             : value_count(term->number);
        values[v] = column_value(match, &shape->columns[shape->key_count + v], value);
    }
}

bool match_finding(struct match *match, name_id *key, struct value *values)
{
    const struct rule *rule = match->rule;
    const struct relation_shape *shape = store_shape(match->store, rule->finding);
    for (uint32_t i = 0; i < rule->key_count; i++) {
        key[i] = match->cells[rule->keys[i]];
    }
    values[FINDING_MARGIN] =
        column_value(match, &shape->columns[shape->key_count + FINDING_MARGIN],
                     match_formula(match, rule->margin));
    const struct form *margin = values[FINDING_MARGIN].quantity;
    if (margin == NULL) {
        match->result = arena_status(match->arena);
        return false;
    }
    enum outcome outcome = form_outcome(margin);
    if (match->is_open && outcome != OUTCOME_HOLDS) {
        /* What may not be there at all cannot fail: it is not known, or not sure. */
        outcome = doubt_misses(match->doubt) || outcome == OUTCOME_UNKNOWN
                      ? OUTCOME_UNKNOWN
                      : OUTCOME_UNSURE;
    }
    values[FINDING_OUTCOME] =
        value_word(names_find(match->options->names, text_of(outcome_word(outcome))));
    return true;
}
