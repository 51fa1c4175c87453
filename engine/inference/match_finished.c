/* SPDX-License-Identifier: MIT */
/*
 * Denials and aggregates look at rows of finished groups: what is there surely, what may
 * be there, and where a list is not complete.
 */
#include "match_private.h"

#include <math.h>

static struct doubt doubt_of(struct arena *arena, const struct deviation *one)
{
    const struct deviation **of = ARENA_NEW(arena, const struct deviation *);
    if (of == NULL || one == NULL) {
        return (struct doubt){NULL, 0};
    }
    of[0] = one;
    return (struct doubt){of, 1};
}

/* What a list lacks that its owner calls incomplete. */
static struct doubt hole_of(struct match *match, name_id owner, name_id list)
{
    const struct names *names = match->options->names;
    struct deviation *hole = ARENA_NEW(match->arena, struct deviation);
    if (hole != NULL) {
        *hole = (struct deviation){.name = text_format(match->arena, "%.*s: more of %.*s",
                                                       TEXT_ARG(names_text(names, owner)),
                                                       TEXT_ARG(names_text(names, list))),
                                   .basis = BASIS_MISSING};
    }
    return doubt_of(match->arena, hole);
}

/* The incomplete lists that a condition looks into: those of its owner, where that is
 * known. */
static struct doubt holes_in(struct match *match, const struct condition *condition)
{
    const name_id list = match_shape(match, condition)->name;
    const name_id partial = names_find(match->options->names, TEXT("partial"));
    struct doubt all = {NULL, 0};
    struct scan scan;
    relation_id relation = 0;
    name_id key[LIMIT_KEY_COLUMNS];
    const uint32_t bound = match_bound_columns(match, condition, key) & 1u;
    if (!store_find_relation(match->store, partial, &relation) ||
        store_shape(match->store, relation)->key_count != 2) {
        return all;
    }
    key[1] = list;
    if (!scan_open(&scan, match->store, relation, bound | 2u, key)) {
        match->result = arena_status(match->arena);
        return all;
    }
    for (const struct row *row = scan_next(&scan); row != NULL; row = scan_next(&scan)) {
        all = doubt_join(match->arena, all, hole_of(match, row->key[0], list));
    }
    return all;
}

/* Whether a row is there and fits; binds. The doubt says why that is open. */
static enum truth is_there(struct match *match, const struct condition *condition,
                           const struct row *row, struct doubt *doubt)
{
    struct doubt own = {NULL, 0};
    const enum truth fits = match_row(match, condition, row, &own);
    if (fits == TRUTH_NO) {
        return TRUTH_NO;
    }
    *doubt =
        row->standing == STANDING_OPEN ? doubt_join(match->arena, own, row->doubt) : own;
    return row->standing == STANDING_OPEN ? TRUTH_UNKNOWN : fits;
}

/* Whether a denied condition surely, possibly or surely not matches a row. */
static enum truth denied_matches(struct match *match, const struct condition *condition,
                                 struct doubt *doubt)
{
    struct scan scan;
    *doubt = holes_in(match, condition);
    enum truth any = doubt->count > 0 ? TRUTH_UNKNOWN : TRUTH_NO;
    if (!match_scan(match, condition, &scan)) {
        return TRUTH_NO;
    }
    for (const struct row *row = scan_next(&scan);
         row != NULL && match_step_allowed(match); row = scan_next(&scan)) {
        const struct match_mark mark = match_mark(match);
        struct doubt own = {NULL, 0};
        any = truth_or(any, is_there(match, condition, row, &own));
        match_restore(match, &mark);
        *doubt = doubt_join(match->arena, *doubt, own);
    }
    return any;
}

bool match_denials(struct match *match)
{
    for (uint32_t i = 0; i < match->rule->unless_count; i++) {
        struct doubt doubt = {NULL, 0};
        const enum truth denied = denied_matches(match, &match->rule->unless[i], &doubt);
        if (denied == TRUTH_YES) {
            return false;
        }
        if (denied != TRUTH_NO) {
            match_open_by(match, doubt);
        }
    }
    return true;
}

/* ---- aggregates */

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
        if (is_key && !match->bound[term->variable]) {
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

/* "number of relation(key, *, column: word)": a number known as a range is one dimension
 * wherever the same rows are counted, and another wherever others are. */
static text number_name(const struct match *match, const struct condition *of)
{
    const struct names *names = match->options->names;
    const struct relation_shape *shape = match_shape(match, of);
    text done = text_format(match->arena, "number of %.*s(",
                            TEXT_ARG(names_text(names, shape->name)));
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
    *number = (struct deviation){.name = number_name(match, &tally->of),
                                 .kind = DEVIATION_COUNTED,
                                 .nominal = rows->sure,
                                 .high = has_holes ? INFINITY
                                                   : (double)rows->possible - rows->sure};
    return value_quantity(form_of(match->arena, number));
}

/* One row under an aggregate: counts it, or asks what every row must be. */
static void tally_row(struct match *match, const struct tally *tally,
                      const struct row *row, struct tallied *rows)
{
    const struct match_mark mark = match_mark(match);
    struct value is = value_truth(TRUTH_YES, (struct doubt){NULL, 0});
    struct doubt doubt = {NULL, 0};
    const enum truth there = is_there(match, &tally->of, row, &doubt);
    if (there != TRUTH_NO && tally->kind == TALLY_EVERY) {
        is = formula_run(tally->is, &match->frame);
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
                                 doubt_join(match->arena, doubt, is.doubt));
    }
}

bool match_tally(struct match *match, const struct tally *tally)
{
    struct scan scan;
    const struct doubt holes = holes_in(match, &tally->of);
    struct tallied rows = {.every = holes.count > 0 ? TRUTH_UNKNOWN : TRUTH_YES,
                           .doubt = holes};
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
        match->bound[tally->result] = true;
    } else if (rows.every == TRUTH_NO) {
        return false;
    }
    if (is_open) {
        match_open_by(match, rows.doubt);
    }
    return true;
}
