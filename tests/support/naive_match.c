/* SPDX-License-Identifier: MIT */
/*
 * All ways to satisfy one rule. An attempt is one way, as far as it has got: it is copied
 * whenever a row is tried, so nothing has ever to be undone.
 */
#include "naive_private.h"

#include "rule_read.h"

#include <math.h>

static const struct doubt no_doubt = {NULL, 0};

static bool is_open(enum truth truth)
{
    return truth == TRUTH_UNSURE || truth == TRUTH_UNKNOWN;
}

void naive_open_by(struct naive *naive, struct attempt *attempt, struct doubt doubt)
{
    attempt->is_open = true;
    attempt->doubt = doubt_join(naive->arena, attempt->doubt, doubt);
}

/* ---- a row against a condition */

bool naive_bind_key(struct attempt *attempt, const struct term *term, name_id cell)
{
    if (term->kind == TERM_ANY) {
        return true;
    }
    if (term->kind == TERM_NAME) {
        return term->name == cell;
    }
    if (term->kind == TERM_NUMBER) {
        return (name_id)term->number == cell;
    }
    const uint32_t variable = term->variable;
    if (attempt->bound[variable]) {
        return attempt->cells[variable] == cell;
    }
    attempt->bound[variable] = true;
    attempt->cells[variable] = cell;
    attempt->slots[variable] = attempt->rule->variables[variable].is_number_key
                                   ? value_count((int64_t)cell)
                                   : value_word(cell);
    return true;
}

/* A constant in a value column: is the value that? */
static struct value is_constant(struct naive *naive, const struct term *term,
                                struct value value)
{
    const enum truth same =
        term->kind == TERM_NAME
            ? (value.kind == VALUE_WORD && value.word == term->name ? TRUTH_YES
                                                                    : TRUTH_NO)
            : (value.kind == VALUE_COUNT && value.count == term->number ? TRUTH_YES
                                                                        : TRUTH_NO);
    if (value.kind == VALUE_MISSING) {
        return value_truth(TRUTH_UNKNOWN, value_doubt(naive->arena, value));
    }
    if (value.kind != VALUE_QUANTITY) {
        return value_truth(same, no_doubt);
    }
    /* A count that is only known as a range. */
    const struct form *wanted =
        form_exact(naive->arena, DIMENSION_RATIO, (double)term->number);
    const struct form *apart =
        form_abs(naive->arena, form_subtract(naive->arena, value.quantity, wanted));
    switch (form_outcome(form_scale(naive->arena, apart, -1.0))) {
    case OUTCOME_HOLDS:
        return value_truth(TRUTH_YES, no_doubt);
    case OUTCOME_FAILS:
        return value_truth(TRUTH_NO, no_doubt);
    case OUTCOME_UNSURE:
        return value_truth(TRUTH_UNSURE, value_doubt(naive->arena, value));
    case OUTCOME_UNKNOWN:
        break;
    }
    return value_truth(TRUTH_UNKNOWN, value_doubt(naive->arena, value));
}

/* What a finding surely comes to, as far as its margin says; else no word. */
static struct value outcome_by_margin(struct naive *naive, const struct row *finding,
                                      uint32_t v)
{
    const struct value said = finding->values[v];
    const struct value margin = finding->values[FINDING_MARGIN];
    const bool is_said = said.kind != VALUE_WORD ||
                         text_is(names_text(naive->names, said.word), "holds") ||
                         text_is(names_text(naive->names, said.word), "fails");
    const enum outcome is = is_said ? OUTCOME_UNKNOWN : form_outcome(margin.quantity);
    const struct doubt doubt = value_doubt(naive->arena, margin);
    if (is_said) {
        return said;
    }
    if (is == OUTCOME_HOLDS || is == OUTCOME_FAILS) {
        return value_word(names_find(naive->names, text_of(outcome_word(is))));
    }
    return value_missing(doubt.count > 0 ? doubt.of[0] : NULL);
}

/* The outcome of a finding against a constant: `unsure` and `unknown` ask for what is
 * said, `holds` and `fails` for what is so. */
static struct value is_outcome(struct naive *naive, const struct term *term,
                               const struct row *finding, uint32_t v)
{
    const text wanted = names_text(naive->names, term->name);
    const struct value margin = finding->values[FINDING_MARGIN];
    const struct value is = outcome_by_margin(naive, finding, v);
    if (text_is(wanted, "unsure") || text_is(wanted, "unknown")) {
        return is_constant(naive, term, finding->values[v]);
    }
    if (is.kind != VALUE_MISSING || finding->values[v].kind == VALUE_MISSING) {
        return is_constant(naive, term, is);
    }
    return value_truth(form_outcome(margin.quantity) == OUTCOME_UNSURE ? TRUTH_UNSURE
                                                                       : TRUTH_UNKNOWN,
                       value_doubt(naive->arena, margin));
}

struct value naive_row_fits(struct naive *naive, struct attempt *attempt,
                            const struct condition *condition,
                            const struct naive_row *row)
{
    const struct relation_shape *shape = naive_shape(naive, condition->relation);
    struct value all = value_truth(TRUTH_YES, no_doubt);
    for (uint32_t c = 0; c < shape->key_count; c++) {
        if (!naive_bind_key(attempt, &condition->terms[c], row->row.key[c])) {
            return value_truth(TRUTH_NO, no_doubt);
        }
    }
    for (uint32_t v = 0; v < shape->value_count; v++) {
        const struct term *term = &condition->terms[shape->key_count + v];
        if (term->kind == TERM_ANY) {
            continue;
        }
        if (row->row.values[v].kind == VALUE_NONE) {
            return value_truth(TRUTH_NO, no_doubt);
        }
        const bool is_finding =
            v == FINDING_OUTCOME && rule_find(naive->rules, shape->name) != NULL;
        if (term->kind == TERM_VARIABLE) {
            attempt->slots[term->variable] =
                is_finding ? outcome_by_margin(naive, &row->row, v) : row->row.values[v];
            attempt->bound[term->variable] = true;
            continue;
        }
        const struct value one = is_finding
                                     ? is_outcome(naive, term, &row->row, v)
                                     : is_constant(naive, term, row->row.values[v]);
        if (one.truth == TRUTH_NO) {
            return one;
        }
        all = value_truth(truth_and(all.truth, one.truth),
                          doubt_join(naive->arena, truth_doubt(all), truth_doubt(one)));
    }
    if (row->row.standing == STANDING_OPEN) {
        all = value_truth(TRUTH_UNKNOWN,
                          doubt_join(naive->arena, truth_doubt(all), row_doubt(&row->row)));
    }
    return all;
}

/* Spares copying attempts for rows of other keys. */
static bool may_fit(const struct naive *naive, const struct attempt *attempt,
                    const struct condition *condition, const struct naive_row *row)
{
    for (uint32_t c = 0; c < naive_shape(naive, condition->relation)->key_count; c++) {
        const struct term *term = &condition->terms[c];
        if (term->kind == TERM_VARIABLE && attempt->bound[term->variable] &&
            attempt->cells[term->variable] != row->row.key[c]) {
            return false;
        }
    }
    return true;
}

/* ---- denials and aggregates */

/* Whether something denied is there. */
static struct value is_there(struct naive *naive, const struct attempt *attempt,
                             const struct condition *denied)
{
    const struct doubt holes = naive_holes(naive, attempt, denied);
    struct value any = value_truth(holes.count > 0 ? TRUTH_UNKNOWN : TRUTH_NO, holes);
    const naive_row_array *rows = &naive->tables[denied->relation];
    for (uint32_t i = 0; i < rows->count; i++) {
        struct attempt trial = *attempt;
        const struct value one = naive_row_fits(naive, &trial, denied, rows->at[i]);
        any = value_truth(truth_or(any.truth, one.truth),
                          doubt_join(naive->arena, truth_doubt(any), truth_doubt(one)));
    }
    return any;
}

text naive_rows_text(const struct naive *naive, const struct attempt *attempt,
                     const struct condition *of)
{
    const struct relation_shape *shape = naive_shape(naive, of->relation);
    struct arena *arena = naive->arena;
    text done =
        text_format(arena, "%.*s(", TEXT_ARG(names_text(naive->names, shape->name)));
    for (uint32_t c = 0; c < shape->key_count + shape->value_count; c++) {
        const struct term *term = &of->terms[c];
        const struct rule_variable *variable = &attempt->rule->variables[term->variable];
        const bool is_key = c < shape->key_count;
        const bool is_variable = term->kind == TERM_VARIABLE;
        text word = TEXT("*");
        if (term->kind == TERM_NAME) {
            word = names_text(naive->names, term->name);
        } else if (term->kind == TERM_NUMBER) {
            word = text_format(arena, "%lld", (long long)term->number);
        } else if (is_variable && !attempt->bound[term->variable]) {
            word = text_format(arena, "$%.*s", TEXT_ARG(variable->name));
        } else if (is_variable && is_key && variable->is_number_key) {
            word = text_format(arena, "%u", attempt->cells[term->variable]);
        } else if (is_variable && is_key) {
            word = names_text(naive->names, attempt->cells[term->variable]);
        }
        if (is_key) {
            done = text_format(arena, "%.*s%s%.*s", TEXT_ARG(done), c == 0 ? "" : ", ",
                               TEXT_ARG(word));
        } else if (term->kind == TERM_NAME || term->kind == TERM_NUMBER) {
            const name_id column = shape->columns[c].name;
            done =
                text_format(arena, "%.*s, %.*s: %.*s", TEXT_ARG(done),
                            TEXT_ARG(names_text(naive->names, column)), TEXT_ARG(word));
        }
    }
    return text_format(arena, "%.*s)", TEXT_ARG(done));
}

/* Binds how many rows match: a number, or a range from those that surely do. */
static void count_rows(struct naive *naive, struct attempt *attempt,
                       const struct tally *tally)
{
    const naive_row_array *rows = &naive->tables[tally->of.relation];
    const struct doubt holes = naive_holes(naive, attempt, &tally->of);
    struct doubt doubt = holes;
    uint32_t sure = 0;
    uint32_t possible = 0;
    for (uint32_t i = 0; i < rows->count; i++) {
        struct attempt trial = *attempt;
        const struct value one = naive_row_fits(naive, &trial, &tally->of, rows->at[i]);
        sure += one.truth == TRUTH_YES ? 1 : 0;
        possible += one.truth != TRUTH_NO ? 1 : 0;
        doubt = doubt_join(naive->arena, doubt, truth_doubt(one));
    }
    attempt->bound[tally->result] = true;
    if (sure == possible && holes.count == 0) {
        attempt->slots[tally->result] = value_count(sure);
        return;
    }
    struct deviation *number = ARENA_NEW(naive->arena, struct deviation);
    *number = (struct deviation){
        .name = text_format(naive->arena, "number of %.*s",
                            TEXT_ARG(naive_rows_text(naive, attempt, &tally->of))),
        .nominal = sure,
        .high = holes.count > 0 ? INFINITY : (double)possible - sure};
    attempt->slots[tally->result] = value_quantity(form_of(naive->arena, number));
    naive_open_by(naive, attempt, doubt);
}

static struct value run_formula(struct naive *naive, const struct attempt *attempt,
                                const struct formula *formula)
{
    struct formula_frame frame = {
        .slots = attempt->slots, .arena = naive->arena, .names = naive->names};
    return formula_run(formula, &frame);
}

/* For every row: it is not there, or it is as wanted. */
static struct value every_row(struct naive *naive, const struct attempt *attempt,
                              const struct tally *tally)
{
    const naive_row_array *rows = &naive->tables[tally->of.relation];
    const struct doubt holes = naive_holes(naive, attempt, &tally->of);
    struct value all = value_truth(holes.count > 0 ? TRUTH_UNKNOWN : TRUTH_YES, holes);
    for (uint32_t i = 0; i < rows->count; i++) {
        struct attempt trial = *attempt;
        const struct value there = naive_row_fits(naive, &trial, &tally->of, rows->at[i]);
        if (there.truth == TRUTH_NO) {
            continue;
        }
        const struct value wanted = run_formula(naive, &trial, tally->is);
        if (wanted.truth == TRUTH_YES) {
            continue;
        }
        const enum truth one = truth_or(truth_not(there.truth), wanted.truth);
        all =
            value_truth(truth_and(all.truth, one),
                        doubt_join(naive->arena, truth_doubt(all),
                                   doubt_join(naive->arena, truth_doubt(there), truth_doubt(wanted))));
    }
    return all;
}

/* ---- what a whole attempt concludes */

static void derive(struct naive *naive, const struct attempt *attempt,
                   relation_id relation, const name_id *key, const struct value *values)
{
    const struct relation_shape *shape = naive_shape(naive, relation);
    uint32_t highest = 0;
    for (uint32_t i = 0; i < attempt->rule->given_count; i++) {
        const uint32_t height = attempt->premises[i]->row.height;
        highest = height > highest ? height : highest;
    }
    const struct row_more more = {.doubt = attempt->doubt};
    const struct row row = {
        .relation = relation,
        .standing = attempt->is_open ? STANDING_OPEN : STANDING_SURE,
        .origin = ORIGIN_RULE,
        .height = highest + 1,
        .key = arena_copy(naive->arena, key, shape->key_count * sizeof *key),
        .values = arena_copy(naive->arena, values, shape->value_count * sizeof *values),
        .more = arena_copy(naive->arena, &more, sizeof more)};
    naive->take(naive, attempt, &row);
}

/* A value as its column holds it: a whole number in a column of counts is a count. */
static struct value for_column(struct naive *naive, const struct column *column,
                               struct value value)
{
    if (column->kind == COLUMN_QUANTITY && value.kind == VALUE_COUNT) {
        return value_quantity(
            form_exact(naive->arena, DIMENSION_RATIO, (double)value.count));
    }
    if (column->kind == COLUMN_QUANTITY && value.kind == VALUE_MISSING) {
        return value_quantity(value.missing != NULL
                                  ? form_of(naive->arena, value.missing)
                                  : form_undefined(naive->arena, column->dim, "-"));
    }
    if (column->kind == COLUMN_COUNT && value.kind == VALUE_QUANTITY &&
        form_is_exact(value.quantity) &&
        value.quantity->nominal == (double)(int64_t)value.quantity->nominal) {
        return value_count((int64_t)value.quantity->nominal);
    }
    return value;
}

static void conclude(struct naive *naive, const struct attempt *attempt,
                     const struct conclusion *conclusion)
{
    const struct relation_shape *shape = naive_shape(naive, conclusion->relation);
    name_id key[LIMIT_KEY_COLUMNS];
    struct value values[LIMIT_VALUE_COLUMNS];
    for (uint32_t c = 0; c < shape->key_count + shape->value_count; c++) {
        const struct term *term = &conclusion->terms[c];
        const bool is_variable = term->kind == TERM_VARIABLE;
        if (c < shape->key_count) {
            key[c] = is_variable               ? attempt->cells[term->variable]
                     : term->kind == TERM_NAME ? term->name
                                               : (name_id)term->number;
            continue;
        }
        values[c - shape->key_count] =
            for_column(naive, &shape->columns[c],
                       is_variable               ? attempt->slots[term->variable]
                       : term->kind == TERM_NAME ? value_word(term->name)
                                                 : value_count(term->number));
    }
    derive(naive, attempt, conclusion->relation, key, values);
}

/* A finding from something open cannot fail: it is unknown if anything is missing, else
 * unsure. */
static void find(struct naive *naive, const struct attempt *attempt)
{
    const struct rule *rule = attempt->rule;
    const struct relation_shape *shape = naive_shape(naive, rule->finding);
    name_id key[LIMIT_KEY_COLUMNS];
    for (uint32_t i = 0; i < rule->key_count; i++) {
        key[i] = attempt->cells[rule->keys[i]];
    }
    const struct value margin = for_column(naive, &shape->columns[rule->key_count],
                                           run_formula(naive, attempt, rule->margin));
    enum outcome outcome = form_outcome(margin.quantity);
    if (attempt->is_open && outcome == OUTCOME_FAILS) {
        outcome = OUTCOME_UNSURE;
    }
    if (attempt->is_open && outcome == OUTCOME_UNSURE && doubt_misses(attempt->doubt)) {
        outcome = OUTCOME_UNKNOWN;
    }
    const struct value values[FINDING_VALUES] = {
        [FINDING_MARGIN] = margin,
        [FINDING_OUTCOME] =
            value_word(names_find(naive->names, text_of(outcome_word(outcome))))};
    derive(naive, attempt, rule->finding, key, values);
}

/* false: it does not hold. */
static bool take_truth(struct naive *naive, struct attempt *attempt, struct value holds)
{
    if (is_open(holds.truth)) {
        naive_open_by(naive, attempt, truth_doubt(holds));
    }
    return holds.truth != TRUTH_NO;
}

static void finish(struct naive *naive, const struct attempt *joined)
{
    struct attempt attempt = *joined;
    const struct rule *rule = attempt.rule;
    for (uint32_t i = 0; i < rule->unless_count; i++) {
        struct value there = is_there(naive, &attempt, &rule->unless[i]);
        there.truth = truth_not(there.truth);
        if (!take_truth(naive, &attempt, there)) {
            return;
        }
    }
    for (uint32_t i = 0; i < rule->tally_count; i++) {
        const struct tally *tally = &rule->tallies[i];
        if (tally->kind == TALLY_COUNT) {
            count_rows(naive, &attempt, tally);
        } else if (tally->kind != TALLY_EVERY) {
            naive_amount(naive, &attempt, tally);
        } else if (!take_truth(naive, &attempt, every_row(naive, &attempt, tally))) {
            return;
        }
    }
    for (uint32_t i = 0; i < rule->let_count; i++) {
        attempt.slots[rule->lets[i].variable] =
            run_formula(naive, &attempt, rule->lets[i].formula);
        attempt.bound[rule->lets[i].variable] = true;
    }
    for (uint32_t i = 0; i < rule->filter_count; i++) {
        if (!take_truth(naive, &attempt,
                        run_formula(naive, &attempt, rule->filters[i]))) {
            return;
        }
    }
    for (uint32_t i = 0; i < rule->conclusion_count; i++) {
        conclude(naive, &attempt, &rule->conclusions[i]);
    }
    if (rule->has_check) {
        find(naive, &attempt);
    }
}

static void join(struct naive *naive, uint32_t index, const struct attempt *so_far)
{
    const struct rule *rule = so_far->rule;
    if (index == rule->given_count) {
        finish(naive, so_far);
        return;
    }
    const struct condition *condition = &rule->given[index];
    const naive_row_array *rows = &naive->tables[condition->relation];
    for (uint32_t i = 0; i < rows->count; i++) {
        if (!may_fit(naive, so_far, condition, rows->at[i])) {
            continue;
        }
        struct attempt next = *so_far;
        next.premises[index] = rows->at[i];
        if (take_truth(naive, &next,
                       naive_row_fits(naive, &next, condition, rows->at[i]))) {
            join(naive, index + 1, &next);
        }
    }
}

void naive_attempts(struct naive *naive, const struct rule *rule)
{
    const struct attempt nothing = {.rule = rule};
    join(naive, 0, &nothing);
}
