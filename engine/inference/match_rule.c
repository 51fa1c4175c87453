/* SPDX-License-Identifier: MIT */
/*
 * A depth-first join along a plan; what a row binds is undone when the row is left. A
 * condition that is neither yes nor no opens the match and leaves its doubt; where only
 * sure matches are wanted it ends there.
 */
#include "match_private.h"

#include <math.h>

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

static name_id cell_of(const struct match *match, const struct term *term)
{
    return term->kind == TERM_VARIABLE ? match->cells[term->variable]
           : term->kind == TERM_NAME   ? term->name
                                       : (name_id)term->number;
}

/* Binds the key columns that are new here; false: a variable that stands in two columns
 * would have to be two things. */
static bool bind_keys(struct match *match, const struct plan_step *step,
                      const struct term *terms, const name_id *cells)
{
    for (uint32_t c = 0; step->binds >> c != 0; c++) {
        if ((step->binds >> c & 1u) != 0) {
            match_bind_key(match, terms[c].variable, cells[c]);
        }
    }
    for (uint32_t c = 0; step->repeats >> c != 0; c++) {
        if ((step->repeats >> c & 1u) != 0 && cell_of(match, &terms[c]) != cells[c]) {
            return false;
        }
    }
    return true;
}

/* false: a value is surely another; what may be another opens the match. */
static bool match_values(struct match *match, const struct condition *given,
                         const struct row *row)
{
    struct doubt doubt = {NULL, 0};
    const enum truth fits = match_row_values(match, given, row, &doubt);
    if (fits == TRUTH_UNSURE || fits == TRUTH_UNKNOWN) {
        match_open_by(match, doubt);
    }
    return fits != TRUTH_NO;
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
    const struct condition *given = &match->rule->given[step->condition];
    const struct match_mark mark = match_mark(match);
    bool goes_on = true;
    if (!match_step_allowed(match)) {
        return false;
    }
    if (premise->height >= match->below || (match->only_sure && !premise->is_sure)) {
        match->met_open = match->met_open || !premise->is_sure;
        return true;
    }
    if (bind_keys(match, step, given->terms, premise->cells) &&
        (!step->has_values || match_values(match, given, premise->row))) {
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

/* The scan of a step for the key that is bound. It is made ready once for many keys;
 * NULL: out of memory. */
static struct scan *scan_of(struct match *match, const struct plan_step *step,
                            uint32_t depth)
{
    const struct condition *given = &match->rule->given[step->condition];
    struct scan *scan = &match->scans[depth];
    name_id key[LIMIT_KEY_COLUMNS];
    for (uint32_t c = 0; step->bound >> c != 0; c++) {
        key[c] =
            (step->bound >> c & 1u) == 0 ? NAME_NONE : cell_of(match, &given->terms[c]);
    }
    if ((match->ready >> depth & 1u) == 0 &&
        !scan_prepare(scan, match->store, given->relation, step->bound)) {
        match->result = arena_status(match->arena);
        return NULL;
    }
    match->ready |= 1u << depth;
    scan_start(scan, key);
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

/* Whether the row that a search starts from matches what its condition is bound by. */
static bool is_of_first_step(const struct match *match, const struct plan_step *step,
                             const struct row *row)
{
    const struct term *terms = match->rule->given[step->condition].terms;
    for (uint32_t c = 0; step->bound >> c != 0; c++) {
        if ((step->bound >> c & 1u) != 0 && cell_of(match, &terms[c]) != row->key[c]) {
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
    return !is_of_first_step(match, &plan->steps[0], row) ||
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
