/* SPDX-License-Identifier: MIT */
/*
 * Denials and aggregates look at rows of finished groups: what is there surely, what may
 * be there, and where a list is not complete.
 */
#include "match_private.h"

/* A list its owner calls incomplete may hold what we do not see. */
static bool is_partial(struct match *match, const struct condition *condition,
                       struct doubt *doubt)
{
    const struct relation_shape *shape = match_shape(match, condition);
    const name_id partial = names_find(match->options->names, TEXT("partial"));
    relation_id relation = 0;
    name_id key[LIMIT_KEY_COLUMNS];
    const uint32_t bound = match_bound_columns(match, condition, key);
    if (!shape->is_owned || (bound & 1u) == 0 ||
        !store_find_relation(match->store, partial, &relation)) {
        return false;
    }
    const name_id wanted[2] = {key[0], shape->name};
    if (store_find(match->store, relation, wanted) == NULL) {
        return false;
    }
    struct deviation *hole = ARENA_NEW(match->arena, struct deviation);
    const struct deviation **of = ARENA_NEW(match->arena, const struct deviation *);
    if (hole != NULL && of != NULL) {
        *hole = (struct deviation){
            .name = text_format(match->arena, "%.*s: more of %.*s",
                                TEXT_ARG(names_text(match->options->names, key[0])),
                                TEXT_ARG(names_text(match->options->names, shape->name))),
            .basis = BASIS_MISSING};
        of[0] = hole;
        *doubt = (struct doubt){of, 1};
    }
    return true;
}

/* Whether a denied condition surely, possibly or surely not matches a row. */
static enum truth denied_matches(struct match *match, const struct condition *condition,
                                 struct doubt *doubt)
{
    struct scan scan;
    enum truth any = is_partial(match, condition, doubt) ? TRUTH_UNKNOWN : TRUTH_NO;
    if (!match_scan(match, condition, &scan)) {
        return TRUTH_NO;
    }
    for (const struct row *row = scan_next(&scan);
         row != NULL && match_step_allowed(match); row = scan_next(&scan)) {
        const struct match_mark mark = match_mark(match);
        struct doubt own = {NULL, 0};
        enum truth one = match_row(match, condition, row, &own);
        if (one != TRUTH_NO && row->standing == STANDING_OPEN) {
            one = TRUTH_UNKNOWN;
            own = doubt_join(match->arena, own, row->doubt);
        }
        match_restore(match, &mark);
        *doubt = doubt_join(match->arena, *doubt, own);
        any = truth_or(any, one);
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

/* A count that lies between what is surely there and what may be. */
static struct value count_value(struct match *match, const struct tally *tally,
                                uint32_t sure, uint32_t possible)
{
    if (sure == possible) {
        return value_count(sure);
    }
    struct deviation *open = ARENA_NEW(match->arena, struct deviation);
    if (open == NULL) {
        return (struct value){0};
    }
    *open = (struct deviation){
        .name = text_format(match->arena, "number of %.*s",
                            TEXT_ARG(names_text(match->options->names,
                                                match_shape(match, &tally->of)->name))),
        .nominal = sure,
        .high = (double)possible - sure};
    return value_quantity(form_of(match->arena, open));
}

/* One row under an aggregate: counts it, or asks what every row must be. */
static void tally_row(struct match *match, const struct tally *tally,
                      const struct row *row, uint32_t *sure, uint32_t *possible,
                      enum truth *every)
{
    const struct match_mark mark = match_mark(match);
    struct doubt doubt = {NULL, 0};
    enum truth one = match_row(match, &tally->of, row, &doubt);
    if (one != TRUTH_NO && row->standing == STANDING_OPEN) {
        one = TRUTH_UNKNOWN;
        doubt = doubt_join(match->arena, doubt, row->doubt);
    }
    struct value is = value_truth(TRUTH_YES, (struct doubt){NULL, 0});
    if (one != TRUTH_NO && tally->kind == TALLY_EVERY) {
        is = formula_run(tally->is, &match->frame);
    }
    match_restore(match, &mark);
    *sure += one == TRUTH_YES ? 1 : 0;
    *possible += one != TRUTH_NO ? 1 : 0;
    /* The row is there → it is as wanted. */
    const enum truth as_wanted = truth_or(truth_not(one), is.truth);
    *every = truth_and(*every, as_wanted);
    const enum truth decides = tally->kind == TALLY_COUNT ? one : as_wanted;
    if (decides == TRUTH_UNSURE || decides == TRUTH_UNKNOWN) {
        match->doubt = doubt_join(match->arena, match->doubt,
                                  doubt_join(match->arena, doubt, is.doubt));
    }
}

bool match_tally(struct match *match, const struct tally *tally)
{
    struct scan scan;
    struct doubt hole = {NULL, 0};
    uint32_t sure = 0;
    uint32_t possible = 0;
    enum truth every = TRUTH_YES;
    if (!match_scan(match, &tally->of, &scan)) {
        return false;
    }
    for (const struct row *row = scan_next(&scan);
         row != NULL && match_step_allowed(match); row = scan_next(&scan)) {
        tally_row(match, tally, row, &sure, &possible, &every);
    }
    if (is_partial(match, &tally->of, &hole)) {
        match_open_by(match, hole);
        every = truth_and(every, TRUTH_UNKNOWN);
    }
    if (tally->kind == TALLY_COUNT) {
        match->slots[tally->result] = count_value(match, tally, sure, possible);
        match->bound[tally->result] = true;
        match->is_open = match->is_open || sure != possible;
        return true;
    }
    if (every != TRUTH_YES && every != TRUTH_NO) {
        match->is_open = true;
    }
    return every != TRUTH_NO;
}
