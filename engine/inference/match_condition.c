/* SPDX-License-Identifier: MIT */
/*
 * One row against one condition, and the rows an index offers for it. What a row binds
 * is undone by going back to a mark taken before.
 */
#include "match_private.h"

const struct relation_shape *match_shape(const struct match *match,
                                         const struct condition *condition)
{
    return store_shape(match->store, condition->relation);
}

void match_open_by(struct match *match, struct doubt doubt)
{
    match->is_open = true;
    match->doubt = doubt_join(match->arena, match->doubt, doubt);
}

/* ---- one row against one condition */

static bool match_key(struct match *match, const struct term *term, name_id cell)
{
    switch (term->kind) {
    case TERM_ANY:
        return true;
    case TERM_NAME:
        return term->name == cell;
    case TERM_NUMBER:
        return term->number == (int64_t)cell;
    case TERM_VARIABLE:
        break;
    }
    if (match_is_bound(match, term->variable)) {
        return match->cells[term->variable] == cell;
    }
    match_bind_key(match, term->variable, cell);
    return true;
}

/* A count that is known as a range against a number. */
static enum truth match_range(struct match *match, int64_t number, struct value value,
                              struct doubt *doubt)
{
    const struct form *wanted = form_exact(match->arena, DIMENSION_RATIO, (double)number);
    const struct form *apart =
        form_abs(match->arena, form_subtract(match->arena, value.quantity, wanted));
    const struct form *margin = form_scale(match->arena, apart, -1.0);
    if (margin == NULL) {
        match->result = arena_status(match->arena);
        return TRUTH_NO;
    }
    switch (form_outcome(margin)) {
    case OUTCOME_HOLDS:
        return TRUTH_YES;
    case OUTCOME_FAILS:
        return TRUTH_NO;
    case OUTCOME_UNSURE:
        *doubt = value_doubt(match->arena, value);
        return TRUTH_UNSURE;
    case OUTCOME_UNKNOWN:
        break;
    }
    *doubt = value_doubt(match->arena, value);
    return TRUTH_UNKNOWN;
}

/* Whether a check has left open how it comes out. */
static bool is_undecided(const struct column *column, struct value value)
{
    return column->is_outcome && value.kind == VALUE_WORD &&
           (value.word == column->choices[OUTCOME_UNSURE] ||
            value.word == column->choices[OUTCOME_UNKNOWN]);
}

/* An outcome that is open against a term. `unsure` and `unknown` ask what is known;
 * `holds` and `fails` ask how it is, as a variable does: the margin says it, or it is
 * open, and for a variable missing. */
static enum truth match_undecided(struct match *match, const struct column *column,
                                  const struct term *term, struct value outcome,
                                  struct value margin, struct doubt *doubt)
{
    const struct doubt open = value_doubt(match->arena, margin);
    const enum outcome is = form_outcome(margin.quantity);
    const bool is_decided = is == OUTCOME_HOLDS || is == OUTCOME_FAILS;
    if (term->kind == TERM_VARIABLE) {
        match->slots[term->variable] =
            is_decided ? value_word(column->choices[is])
                       : value_missing(open.count > 0 ? open.of[0] : NULL);
        match->bound |= UINT64_C(1) << term->variable;
        return TRUTH_YES;
    }
    if (term->name != column->choices[OUTCOME_HOLDS] &&
        term->name != column->choices[OUTCOME_FAILS]) {
        return term->name == outcome.word ? TRUTH_YES : TRUTH_NO;
    }
    if (!is_decided) {
        *doubt = open;
        return is == OUTCOME_UNSURE ? TRUTH_UNSURE : TRUTH_UNKNOWN;
    }
    return term->name == column->choices[is] ? TRUTH_YES : TRUTH_NO;
}

/* yes, no, or open with the doubt; a variable is bound. */
static enum truth match_value(struct match *match, const struct term *term,
                              struct value value, struct doubt *doubt)
{
    if (term->kind == TERM_ANY) {
        return TRUTH_YES;
    }
    if (value.kind == VALUE_NONE) {
        return TRUTH_NO;
    }
    if (term->kind == TERM_VARIABLE) {
        match->slots[term->variable] = value;
        match->bound |= UINT64_C(1) << term->variable;
        return TRUTH_YES;
    }
    if (value.kind == VALUE_MISSING) {
        *doubt = value_doubt(match->arena, value);
        return TRUTH_UNKNOWN;
    }
    if (value.kind == VALUE_QUANTITY) {
        return match_range(match, term->number, value, doubt);
    }
    const bool is_same =
        term->kind == TERM_NAME ? value.word == term->name : value.count == term->number;
    return is_same ? TRUTH_YES : TRUTH_NO;
}

enum truth match_row_values(struct match *match, const struct condition *condition,
                            const struct row *row, struct doubt *doubt)
{
    const struct relation_shape *shape = match_shape(match, condition);
    enum truth all = TRUTH_YES;
    for (uint32_t v = 0; v < shape->value_count && all != TRUTH_NO; v++) {
        struct doubt own = {NULL, 0};
        const struct term *term = &condition->terms[shape->key_count + v];
        const struct column *column = &shape->columns[shape->key_count + v];
        const enum truth one =
            term->kind != TERM_ANY && is_undecided(column, row->values[v])
                ? match_undecided(match, column, term, row->values[v], row->values[v - 1],
                                  &own)
                : match_value(match, term, row->values[v], &own);
        if (one != TRUTH_YES) {
            *doubt = doubt_join(match->arena, *doubt, own);
            all = truth_and(all, one);
        }
    }
    return all;
}

enum truth match_row(struct match *match, const struct condition *condition,
                     const struct row *row, struct doubt *doubt)
{
    const struct relation_shape *shape = match_shape(match, condition);
    for (uint32_t c = 0; c < shape->key_count; c++) {
        if (!match_key(match, &condition->terms[c], row->key[c])) {
            return TRUTH_NO;
        }
    }
    return match_row_values(match, condition, row, doubt);
}

/* The key columns of a condition that are known now, as a scan wants them. */
uint32_t match_bound_columns(const struct match *match, const struct condition *condition,
                             name_id *key)
{
    const struct relation_shape *shape = match_shape(match, condition);
    uint32_t bound = 0;
    for (uint32_t c = 0; c < shape->key_count; c++) {
        const struct term *term = &condition->terms[c];
        key[c] = NAME_NONE;
        if (term->kind == TERM_VARIABLE && match_is_bound(match, term->variable)) {
            key[c] = match->cells[term->variable];
        } else if (term->kind == TERM_NAME) {
            key[c] = term->name;
        } else if (term->kind == TERM_NUMBER) {
            key[c] = (name_id)term->number;
        } else {
            continue;
        }
        bound |= 1u << c;
    }
    return bound;
}

bool match_scan(struct match *match, const struct condition *condition, struct scan *scan)
{
    name_id key[LIMIT_KEY_COLUMNS];
    const uint32_t bound = match_bound_columns(match, condition, key);
    if (scan_open(scan, match->store, condition->relation, bound, key)) {
        return true;
    }
    match->result = arena_status(match->arena);
    return false;
}

enum {
    STEPS_BETWEEN_LOOKS = 1024
};

bool match_look(struct match *match)
{
    const struct inference_options *options = match->options;
    const uint64_t tried = match->counts->premises_tried;
    const uint64_t limit = options->step_limit == 0 ? UINT64_MAX : options->step_limit;
    if (tried > limit) {
        match->result = STATUS_LIMIT;
    } else if (options->go_on != NULL && tried % STEPS_BETWEEN_LOOKS == 0 &&
               !options->go_on(options->go_on_context)) {
        match->result = STATUS_STOPPED;
    }
    const uint64_t next = tried - tried % STEPS_BETWEEN_LOOKS + STEPS_BETWEEN_LOOKS;
    match->next_look = match->result != STATUS_OK ? 0 : next <= limit ? next : limit + 1;
    return match->result == STATUS_OK;
}
