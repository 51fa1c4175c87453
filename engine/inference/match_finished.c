/* SPDX-License-Identifier: MIT */
/*
 * Rows of finished groups, as denials and aggregates look at them: what is there surely,
 * what may be there, and where a list is not complete.
 */
#include "match_private.h"

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

/* The relation that says which lists are incomplete, looked for once. */
static bool find_partial(struct match *match)
{
    if (!match->has_looked) {
        const name_id name = names_find(match->options->names, TEXT("partial"));
        match->has_looked = true;
        if (!store_find_relation(match->store, name, &match->partial) ||
            store_shape(match->store, match->partial)->key_count != 2) {
            match->partial = UINT32_MAX;
        }
    }
    return match->partial != UINT32_MAX && store_count(match->store, match->partial) > 0;
}

struct doubt match_holes(struct match *match, const struct condition *condition)
{
    const name_id list = match_shape(match, condition)->name;
    struct doubt all = {NULL, 0};
    struct scan scan;
    name_id key[LIMIT_KEY_COLUMNS];
    if (!find_partial(match)) {
        return all;
    }
    const uint32_t bound = match_bound_columns(match, condition, key) & 1u;
    key[1] = list;
    if (!scan_open(&scan, match->store, match->partial, bound | 2u, key)) {
        match->result = arena_status(match->arena);
        return all;
    }
    for (const struct row *row = scan_next(&scan); row != NULL; row = scan_next(&scan)) {
        all = doubt_join(match->arena, all, hole_of(match, row->key[0], list));
    }
    return all;
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

/* Whether a denied condition surely, possibly or surely not matches a row. */
static enum truth denied_matches(struct match *match, const struct condition *condition,
                                 struct doubt *doubt)
{
    struct scan scan;
    *doubt = match_holes(match, condition);
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
