/* SPDX-License-Identifier: MIT */
/*
 * Aggregates over rows of finished groups. What is surely there and what may be there
 * give a number or a range; a range is a dimension of its own, named by what is counted,
 * so that the same rows cancel wherever they are counted.
 */
#include "match_private.h"

#include <math.h>

/* What the rows under one aggregate come to. */
struct tallied {
    uint32_t sure;
    uint32_t possible;
    enum truth every;
    struct doubt doubt; /* why that is open */
};

/* A term as text: a constant, what a key variable is bound to, its name, or *. */
static text term_text(const struct match *match, const struct column *column,
                      const struct term *term)
{
    const struct names *names = match->options->names;
    const bool is_key = column->kind == COLUMN_NAME || column->kind == COLUMN_NUMBER;
    name_id cell = term->name;
    switch (term->kind) {
    case TERM_NUMBER:
        return text_format(match->arena, "%lld", (long long)term->number);
    case TERM_NAME:
        break;
    case TERM_VARIABLE:
        if (is_key && !match_is_bound(match, term->variable)) {
            return text_format(match->arena, "$%.*s",
                               TEXT_ARG(match->rule->variables[term->variable].name));
        }
        if (is_key) {
            cell = match->cells[term->variable];
            break;
        }
        return TEXT("*");
    case TERM_ANY:
        return TEXT("*");
    }
    return column->kind == COLUMN_NUMBER ? text_format(match->arena, "%u", cell)
                                         : names_text(names, cell);
}

text match_rows_text(const struct match *match, const struct condition *of)
{
    const struct names *names = match->options->names;
    const struct relation_shape *shape = match_shape(match, of);
    text done =
        text_format(match->arena, "%.*s(", TEXT_ARG(names_text(names, shape->name)));
    for (uint32_t c = 0; c < shape->key_count + shape->value_count; c++) {
        const struct column *column = &shape->columns[c];
        const struct term *term = &of->terms[c];
        const bool is_key = c < shape->key_count;
        if (is_key || term->kind == TERM_NAME || term->kind == TERM_NUMBER) {
            done = text_format(
                match->arena, "%.*s%s%.*s%s%.*s", TEXT_ARG(done), c == 0 ? "" : ", ",
                TEXT_ARG(is_key ? TEXT("") : names_text(names, column->name)),
                is_key ? "" : ": ", TEXT_ARG(term_text(match, column, term)));
        }
    }
    return text_format(match->arena, "%.*s)", TEXT_ARG(done));
}

/* A count that lies between what is surely there and what may be; where a list is not
 * complete it has no upper end. */
static struct value count_value(struct match *match, const struct tally *tally,
                                const struct tallied *rows, bool has_holes)
{
    if (rows->sure == rows->possible && !has_holes) {
        return value_count(rows->sure);
    }
    struct deviation *number = ARENA_NEW(match->arena, struct deviation);
    if (number == NULL) {
        return (struct value){0};
    }
    *number = (struct deviation){
        .name = text_format(match->arena, "number of %.*s",
                            TEXT_ARG(match_rows_text(match, &tally->of))),
        .kind = DEVIATION_COUNTED,
        .nominal = rows->sure,
        .high = has_holes ? INFINITY : (double)rows->possible - rows->sure};
    return value_quantity(form_of(match->arena, number));
}

/* One row under an aggregate: counts it, or asks what every row must be. */
static void tally_row(struct match *match, const struct tally *tally,
                      const struct row *row, struct tallied *rows)
{
    const struct match_mark mark = match_mark(match);
    struct value is = value_truth(TRUTH_YES, (struct doubt){NULL, 0});
    struct doubt doubt = {NULL, 0};
    const enum truth there = match_there(match, &tally->of, row, &doubt);
    if (there != TRUTH_NO && tally->kind == TALLY_EVERY) {
        is = match_formula(match, tally->is);
    }
    match_restore(match, &mark);
    rows->sure += there == TRUTH_YES ? 1 : 0;
    rows->possible += there != TRUTH_NO ? 1 : 0;
    /* The row is there → it is as wanted. */
    const enum truth as_wanted = truth_or(truth_not(there), is.truth);
    rows->every = truth_and(rows->every, as_wanted);
    const enum truth decides = tally->kind == TALLY_COUNT ? there : as_wanted;
    if (decides == TRUTH_UNSURE || decides == TRUTH_UNKNOWN) {
        rows->doubt = doubt_join(match->arena, rows->doubt,
                                 doubt_join(match->arena, doubt, truth_doubt(is)));
    }
}

/* Binds a count, or asks `every`. */
static bool count_rows(struct match *match, const struct tally *tally)
{
    struct scan scan;
    const struct doubt holes = match_holes(match, &tally->of);
    struct tallied rows = {.every = holes.count > 0 ? TRUTH_UNKNOWN : TRUTH_YES,
                           .doubt = holes};
    uint32_t count = 0;
    if (tally->kind == TALLY_COUNT && holes.count == 0 &&
        match_count_keys(match, &tally->of, UINT32_MAX, &count)) {
        match->slots[tally->result] = value_count(count);
        match->bound |= UINT64_C(1) << tally->result;
        return true;
    }
    if (!match_scan(match, &tally->of, &scan)) {
        return false;
    }
    for (const struct row *row = scan_next(&scan);
         row != NULL && match_step_allowed(match); row = scan_next(&scan)) {
        tally_row(match, tally, row, &rows);
    }
    bool is_open = rows.every != TRUTH_YES;
    if (tally->kind == TALLY_COUNT) {
        is_open = rows.sure != rows.possible || holes.count > 0;
        match->slots[tally->result] = count_value(match, tally, &rows, holes.count > 0);
        match->bound |= UINT64_C(1) << tally->result;
    } else if (rows.every == TRUTH_NO) {
        return false;
    }
    if (is_open) {
        match_open_by(match, rows.doubt);
    }
    return true;
}

bool match_tally(struct match *match, const struct tally *tally)
{
    return tally->kind == TALLY_COUNT || tally->kind == TALLY_EVERY
               ? count_rows(match, tally)
               : match_amount(match, tally);
}
