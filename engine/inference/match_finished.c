/* SPDX-License-Identifier: MIT */
/*
 * Rows of finished groups, as denials and aggregates look at them: what is there surely,
 * what may be there, and what may be missing.
 */
#include "match_private.h"

struct doubt match_holes(struct match *match, const struct condition *condition)
{
    name_id key[LIMIT_KEY_COLUMNS];
    const bool is_known = (match_bound_columns(match, condition, key) & 1u) != 0;
    return match_gaps_of(match, condition->relation, is_known ? key : NULL);
}

enum truth match_there(struct match *match, const struct condition *condition,
                       const struct row *row, struct doubt *doubt)
{
    struct doubt own = {NULL, 0};
    const enum truth fits = match_row(match, condition, row, &own);
    if (fits == TRUTH_NO) {
        return TRUTH_NO;
    }
    *doubt = row->standing == STANDING_OPEN
                 ? doubt_join(match->arena, own, row_doubt(row))
                 : own;
    return row->standing == STANDING_OPEN ? TRUTH_UNKNOWN : fits;
}

/* Whether a condition names no value, and no variable that its rows would have to agree
 * on: then what is bound says it all. */
static bool is_of_keys(const struct match *match, const struct condition *condition)
{
    const struct relation_shape *shape = match_shape(match, condition);
    uint64_t free = 0;
    for (uint32_t c = 0; c < shape->key_count + shape->value_count; c++) {
        const struct term *term = &condition->terms[c];
        const bool is_free =
            term->kind == TERM_VARIABLE && !match_is_bound(match, term->variable);
        if ((c >= shape->key_count && term->kind != TERM_ANY) ||
            (is_free && (free >> term->variable & 1u) != 0)) {
            return false;
        }
        free |= is_free ? UINT64_C(1) << term->variable : 0;
    }
    return true;
}

bool match_count_keys(struct match *match, const struct condition *condition,
                      uint32_t most, uint32_t *count_out)
{
    struct scan scan;
    *count_out = 0;
    if (store_has_open(match->store, condition->relation) ||
        !is_of_keys(match, condition) || !match_scan(match, condition, &scan)) {
        return false;
    }
    while (*count_out < most && match_step_allowed(match) && scan_next_cells(&scan)) {
        (*count_out)++;
    }
    return match->result == STATUS_OK;
}

/* Whether a denied condition surely, possibly or surely not matches a row. */
static enum truth denied_matches(struct match *match, const struct condition *condition,
                                 struct doubt *doubt)
{
    struct scan scan;
    uint32_t count = 0;
    *doubt = match_holes(match, condition);
    if (doubt->count == 0 && match_count_keys(match, condition, 1, &count)) {
        return count > 0 ? TRUTH_YES : TRUTH_NO;
    }
    enum truth any = doubt->count > 0 ? TRUTH_UNKNOWN : TRUTH_NO;
    if (!match_scan(match, condition, &scan)) {
        return TRUTH_NO;
    }
    for (const struct row *row = scan_next(&scan);
         row != NULL && match_step_allowed(match); row = scan_next(&scan)) {
        const struct match_mark mark = match_mark(match);
        struct doubt own = {NULL, 0};
        any = truth_or(any, match_there(match, condition, row, &own));
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
