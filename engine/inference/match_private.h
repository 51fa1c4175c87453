/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_MATCH_PRIVATE_H
#define WHYFIT_MATCH_PRIVATE_H

#include "match_rule.h"

/* What has to be restored when a row is left. */
struct match_mark {
    uint64_t bound;
    bool is_open;
    struct doubt doubt;
};

static inline struct match_mark match_mark(const struct match *match)
{
    return (struct match_mark){match->bound, match->is_open, match->doubt};
}

static inline void match_restore(struct match *match, const struct match_mark *mark)
{
    match->bound = mark->bound;
    match->is_open = mark->is_open;
    match->doubt = mark->doubt;
}

/* ---- match_condition.c */

const struct relation_shape *match_shape(const struct match *match,
                                         const struct condition *condition);

/* The match hangs on something open from here on. */
void match_open_by(struct match *match, struct doubt doubt);

/* Whether a row fits a condition; binds as it goes. Unknown where a value is missing,
 * with the doubt; whether the row itself is sure the caller asks. */
enum truth match_row(struct match *match, const struct condition *condition,
                     const struct row *row, struct doubt *doubt);

/* The key columns of a condition that are known now, as a scan wants them. */
uint32_t match_bound_columns(const struct match *match, const struct condition *condition,
                             name_id *key);

/* The same of the value columns alone. */
enum truth match_row_values(struct match *match, const struct condition *condition,
                            const struct row *row, struct doubt *doubt);

/* Scans the rows that what is bound leaves; false: out of memory, match->result says so.
 */
bool match_scan(struct match *match, const struct condition *condition,
                struct scan *scan);

/* Whether so many rows may be tried and whoever asks still wants to wait; false when
 * match->result says that the search is over. Sets when to ask again. */
bool match_look(struct match *match);

/* Counts one row tried; false when the search is over. */
static inline bool match_step_allowed(struct match *match)
{
    return (++match->counts->premises_tried < match->next_look &&
            match->result == STATUS_OK) ||
           match_look(match);
}

/* ---- match_rule.c */

/* A formula in the frame of the match; a pattern that takes too long ends the search. */
struct value match_formula(struct match *match, const struct formula *formula);

/* ---- lacks.c */

/* Rows that are missing, maybe: of an owner (NAME_NONE: nobody knows which), from some
 * relation. */
struct gap_in_rows {
    name_id owner;
    struct doubt doubt; /* the partial lists behind it */
};

/* Hands on what may be missing from a relation, of one owner or (NULL) of any. false: the
 * taker, or memory, has ended it. */
bool match_gaps(struct match *match, relation_id relation, const name_id *owner,
                bool (*take)(void *context, const struct gap_in_rows *gap),
                void *context);

/* ---- match_finished.c */

/* What may be missing of what a condition looks into: of its owner, where that is known.
 */
struct doubt match_holes(struct match *match, const struct condition *condition);

/* How many rows a condition on keys alone matches, where none of them is open; false: it
 * has to be worked out row by row. */
bool match_count_keys(struct match *match, const struct condition *condition,
                      uint32_t most, uint32_t *count_out);

/* Whether a row is there and fits; binds. The doubt says why that is open. */
enum truth match_there(struct match *match, const struct condition *condition,
                       const struct row *row, struct doubt *doubt);

/* false: a denied row is surely there. What may be there opens the match. */
bool match_denials(struct match *match);

/* ---- match_tally.c */

/* "relation(key, *, column: word)": the rows a condition matches, as far as it is bound.
 */
text match_rows_text(const struct match *match, const struct condition *of);

/* Binds what an aggregate comes to, or asks `every`; false: it does not hold. */
bool match_tally(struct match *match, const struct tally *tally);

/* ---- match_amount.c */

/* Binds a sum, a least or a greatest; false: out of memory or stopped, match->result says
 * so. */
bool match_amount(struct match *match, const struct tally *tally);

#endif
