/* SPDX-License-Identifier: MIT */
/*
 * A depth-first join. At each step the condition with the most bound key columns is next,
 * so an index serves it; what a row binds is undone when the row is left. A condition
 * that is neither yes nor no opens the match and leaves its doubt; where only sure
 * matches are wanted it ends there.
 */
#include "match_private.h"

#include <math.h>

static bool join_rest(struct match *match, uint32_t done);

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
        match->bound[rule->lets[i].variable] = true;
    }
    for (uint32_t i = 0; i < rule->filter_count; i++) {
        const struct value holds = match_formula(match, rule->filters[i]);
        if (holds.truth == TRUTH_NO) {
            return true;
        }
        if (holds.truth != TRUTH_YES) {
            match_open_by(match, holds.doubt);
        }
    }
    /* A search that was stopped has not seen all that could deny the match. */
    match->result =
        match->result == STATUS_OK ? arena_status(match->arena) : match->result;
    if (match->result != STATUS_OK) {
        return false;
    }
    return (match->only_sure && match->is_open) || match->found(match);
}

/* The condition still open that has the most bound key columns; the first of several. */
static uint32_t next_condition(const struct match *match, uint32_t done)
{
    uint32_t best = 0;
    int best_count = -1;
    for (uint32_t i = 0; i < match->rule->given_count; i++) {
        name_id key[LIMIT_KEY_COLUMNS];
        int count = 0;
        if ((done >> i & 1u) != 0) {
            continue;
        }
        for (uint32_t bound = match_bound_columns(match, &match->rule->given[i], key);
             bound != 0; bound &= bound - 1) {
            count++;
        }
        if (count > best_count) {
            best_count = count;
            best = i;
        }
    }
    return best;
}

/* Tries one row as a premise, and all that follows. false stops the search. */
static bool try_row(struct match *match, uint32_t index, const struct row *row,
                    uint32_t done)
{
    const struct match_mark mark = match_mark(match);
    struct doubt doubt = {NULL, 0};
    bool goes_on = true;
    if (!match_step_allowed(match)) {
        return false;
    }
    if (row->height >= match->below ||
        (match->only_sure && row->standing == STANDING_OPEN)) {
        return true;
    }
    const enum truth fits = match_row(match, &match->rule->given[index], row, &doubt);
    if (fits != TRUTH_YES) {
        match_open_by(match, doubt);
    }
    if (row->standing == STANDING_OPEN) {
        match_open_by(match, row_doubt(row));
    }
    if (fits != TRUTH_NO && !(match->only_sure && match->is_open)) {
        match->premises[index] = row;
        goes_on = join_rest(match, done | 1u << index);
    }
    match_restore(match, &mark);
    return goes_on;
}

static bool join_rest(struct match *match, uint32_t done)
{
    struct scan scan;
    if (done == (1u << match->rule->given_count) - 1) {
        const struct match_mark mark = match_mark(match);
        const bool goes_on = finish(match);
        match_restore(match, &mark);
        return goes_on;
    }
    const uint32_t index = next_condition(match, done);
    if (!match_scan(match, &match->rule->given[index], &scan)) {
        return false;
    }
    for (const struct row *row = scan_next(&scan); row != NULL; row = scan_next(&scan)) {
        if (!try_row(match, index, row, done)) {
            return false;
        }
    }
    return true;
}

status match_run(struct match *match, uint32_t driver, const struct row *row)
{
    match->frame = (struct formula_frame){.slots = match->slots,
                                          .arena = match->arena,
                                          .names = match->options->names,
                                          .world = match->options->world,
                                          .diagnostics = match->diagnostics,
                                          .patterns = match->frame.patterns};
    match->result = STATUS_OK;
    match->is_open = false;
    match->doubt = (struct doubt){NULL, 0};
    (void)(driver == UINT32_MAX ? join_rest(match, 0) : try_row(match, driver, row, 0));
    return match->result;
}

uint32_t match_height(const struct match *match)
{
    uint32_t highest = 0;
    for (uint32_t i = 0; i < match->rule->given_count; i++) {
        highest =
            match->premises[i]->height > highest ? match->premises[i]->height : highest;
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
