/* SPDX-License-Identifier: MIT */
/*
 * What may be missing. A list that is marked partial may hold any more rows of its owner,
 * and what rules conclude from such rows is not known to be complete either.
 *
 * A rule leaves a gap of an owner in what it concludes when its `given` conditions can be
 * met for that owner with at least one by a gap instead of a row: a gap gives the owner
 * that the condition names and nothing else; a condition whose owner only a missing row
 * could tell is taken to be met. What else the rule asks is not asked: missing rows could
 * have any values. So gaps are noted for an owner and a relation, rather too many than
 * too few, each with the partial lists behind it; a group's are complete when it is
 * finished, before anything denies or counts its rows.
 */
#include "match_private.h"

/* ---- gaps */

/* The gap of a list that its owner calls partial. */
static struct doubt hole_of(struct match *match, name_id owner, name_id list)
{
    const struct names *names = match->options->names;
    struct deviation *hole = ARENA_NEW(match->arena, struct deviation);
    const struct deviation **of = ARENA_NEW(match->arena, const struct deviation *);
    if (hole == NULL || of == NULL) {
        match->result = arena_status(match->arena);
        return (struct doubt){NULL, 0};
    }
    *hole = (struct deviation){.name = text_format(match->arena, "%.*s: more of %.*s",
                                                   TEXT_ARG(names_text(names, owner)),
                                                   TEXT_ARG(names_text(names, list))),
                               .basis = BASIS_MISSING};
    of[0] = hole;
    return (struct doubt){of, 1};
}

/* The gap that a row of one of the two relations stands for. */
static struct gap_in_rows gap_of(struct match *match, const struct row *row)
{
    const bool is_stated = row->relation == match->rules->partial;
    return (struct gap_in_rows){row->key[0],
                                is_stated ? hole_of(match, row->key[0], row->key[1])
                                          : row_doubt(row)};
}

/* Those of one owner, or of any, as one of the two relations has them. */
static bool gaps_in(struct match *match, relation_id noted, name_id list,
                    const name_id *owner,
                    bool (*take)(void *context, const struct gap_in_rows *gap),
                    void *context)
{
    struct scan scan;
    const name_id key[2] = {owner == NULL ? NAME_NONE : *owner, list};
    if (!scan_open(&scan, match->store, noted, owner == NULL ? 2u : 3u, key)) {
        match->result = arena_status(match->arena);
        return false;
    }
    for (const struct row *row = scan_next(&scan); row != NULL; row = scan_next(&scan)) {
        const struct gap_in_rows gap = gap_of(match, row);
        if (!take(context, &gap)) {
            return false;
        }
    }
    return match->result == STATUS_OK;
}

bool match_gaps(struct match *match, relation_id relation, const name_id *owner,
                bool (*take)(void *context, const struct gap_in_rows *gap), void *context)
{
    const struct relation_shape *shape = store_shape(match->store, relation);
    const name_id list = shape->name;
    const name_id nobody = NAME_NONE;
    const relation_id lacking = match->rules->lacking;
    if (lacking == NO_RELATION || store_count(match->store, match->rules->partial) == 0) {
        return true;
    }
    if (owner != NULL && shape->columns[0].kind != COLUMN_NAME) {
        return gaps_in(match, lacking, list, &nobody, take, context);
    }
    return gaps_in(match, match->rules->partial, list, owner, take, context) &&
           gaps_in(match, lacking, list, owner, take, context) &&
           (owner == NULL || gaps_in(match, lacking, list, &nobody, take, context));
}

struct joined_gaps {
    struct arena *arena;
    struct doubt all;
};

static bool join_gap(void *context, const struct gap_in_rows *gap)
{
    struct joined_gaps *joined = context;
    joined->all = doubt_join(joined->arena, joined->all, gap->doubt);
    return true;
}

struct doubt match_gaps_of(struct match *match, relation_id relation,
                           const name_id *owner)
{
    struct joined_gaps joined = {.arena = match->arena};
    (void)match_gaps(match, relation, owner, join_gap, &joined);
    return joined.all;
}

/* ---- a rule with gaps among its conditions */

struct lacks {
    struct match *match;
    const struct term *head; /* the owner of what is concluded */
    relation_id relation;    /* what is concluded */
    uint32_t done;           /* bit i: condition i is met */
    struct doubt doubt;      /* of the gaps so far; none: only rows so far */
    bool is_changed;         /* a gap was noted that was not known */
};

/* A condition that a gap is tried for. */
struct gap_trial {
    struct lacks *lacks;
    const struct condition *given;
};

static bool meet_rest(struct lacks *lacks);

static bool is_variable(const struct term *term, uint32_t variable)
{
    return term->kind == TERM_VARIABLE && term->variable == variable;
}

/* Whether a condition hangs from what is known by now. */
static bool is_reached(const struct lacks *lacks, const struct condition *given)
{
    const struct match *match = lacks->match;
    const struct term *owner = &given->terms[0];
    return match->rule->over_catalogue || !match_shape(match, given)->is_owned ||
           owner->kind != TERM_VARIABLE || match_is_bound(match, owner->variable) ||
           is_variable(lacks->head, owner->variable);
}

/* What was found: the owner may lack rows of what is concluded. */
static bool note_gap(struct lacks *lacks)
{
    struct match *match = lacks->match;
    const struct relation_shape *shape = store_shape(match->store, lacks->relation);
    const struct term *head = lacks->head;
    const bool is_known =
        head->kind == TERM_NAME ||
        (head->kind == TERM_VARIABLE && match_is_bound(match, head->variable));
    const bool is_name = shape->columns[0].kind == COLUMN_NAME;
    const name_id key[2] = {!is_known || !is_name     ? NAME_NONE
                            : head->kind == TERM_NAME ? head->name
                                                      : match->cells[head->variable],
                            shape->name};
    const struct row_more more = {
        .doubt = lacks->doubt,
        .computation = text_copy(match->arena, TEXT("what partial lists leave open")).at};
    const struct row row = {.relation = match->rules->lacking,
                            .standing = STANDING_OPEN,
                            .origin = ORIGIN_COMPUTED,
                            .key = key,
                            .more = &more};
    const enum added added = store_add(match->store, &row, NULL);
    lacks->is_changed = lacks->is_changed || added == ADDED_NEW || added == ADDED_CHANGED;
    match->result = added == ADDED_NO_MEMORY ? arena_status(match->arena) : match->result;
    return match->result == STATUS_OK;
}

static bool meet_by_row(struct lacks *lacks, const struct condition *given,
                        const struct row *row)
{
    struct match *match = lacks->match;
    const struct match_mark mark = match_mark(match);
    struct doubt doubt = {NULL, 0};
    const bool goes_on =
        !match_step_allowed(match)
            ? false
            : match_row(match, given, row, &doubt) == TRUTH_NO || meet_rest(lacks);
    match_restore(match, &mark);
    return goes_on;
}

static bool meet_by_gap(void *context, const struct gap_in_rows *gap)
{
    const struct gap_trial *trial = context;
    struct lacks *lacks = trial->lacks;
    struct match *match = lacks->match;
    const struct term *owner = &trial->given->terms[0];
    const struct doubt before = lacks->doubt;
    const struct match_mark mark = match_mark(match);
    if (gap->owner != NAME_NONE && owner->kind == TERM_VARIABLE &&
        !match_is_bound(match, owner->variable)) {
        match_bind_key(match, owner->variable, gap->owner);
    }
    lacks->doubt = doubt_join(match->arena, before, gap->doubt);
    const bool goes_on = match_step_allowed(match) && meet_rest(lacks);
    lacks->doubt = before;
    match_restore(match, &mark);
    return goes_on;
}

static bool meet_by_noted(struct lacks *lacks, const struct condition *given,
                          const struct row *row)
{
    struct gap_trial trial = {lacks, given};
    const struct gap_in_rows gap = gap_of(lacks->match, row);
    return meet_by_gap(&trial, &gap);
}

/* Tries rows and gaps for one condition; false stops the search. */
static bool meet(struct lacks *lacks, uint32_t condition)
{
    struct match *match = lacks->match;
    const struct condition *given = &match->rule->given[condition];
    const uint32_t before = lacks->done;
    struct gap_trial trial = {lacks, given};
    struct scan scan;
    name_id key[LIMIT_KEY_COLUMNS];
    const bool is_known = (match_bound_columns(match, given, key) & 1u) != 0;
    lacks->done |= 1u << condition;
    bool goes_on =
        match_gaps(match, given->relation, is_known ? key : NULL, meet_by_gap, &trial) &&
        match_scan(match, given, &scan);
    for (const struct row *row = goes_on ? scan_next(&scan) : NULL;
         row != NULL && goes_on; row = scan_next(&scan)) {
        goes_on = meet_by_row(lacks, given, row);
    }
    lacks->done = before;
    return goes_on;
}

static bool meet_rest(struct lacks *lacks)
{
    const struct rule *rule = lacks->match->rule;
    for (uint32_t i = 0; i < rule->given_count; i++) {
        if ((lacks->done >> i & 1u) == 0 && is_reached(lacks, &rule->given[i])) {
            return meet(lacks, i);
        }
    }
    return lacks->doubt.count == 0 || note_gap(lacks);
}

/* ---- where to start */

/* The condition that names the owner of what is concluded; UINT32_MAX: the rule does not
 * hang from one. */
static uint32_t owners_condition(const struct lacks *lacks)
{
    const struct rule *rule = lacks->match->rule;
    for (uint32_t i = 0; !rule->over_catalogue && lacks->head->kind == TERM_VARIABLE &&
                         i < rule->given_count;
         i++) {
        const struct condition *given = &rule->given[i];
        if (match_shape(lacks->match, given)->is_owned &&
            is_variable(&given->terms[0], lacks->head->variable)) {
            return i;
        }
    }
    return UINT32_MAX;
}

/* Only what is new can leave a new gap: the store's own rows and gaps of the condition
 * that names the owner. */
static bool meet_from_own(struct lacks *lacks, uint32_t condition)
{
    struct match *match = lacks->match;
    struct store *store = match->store;
    const struct condition *given = &match->rule->given[condition];
    const name_id list = match_shape(match, given)->name;
    const relation_id noted[2] = {match->rules->partial, match->rules->lacking};
    bool goes_on = true;
    lacks->done = 1u << condition;
    const uint32_t end = store_count(store, given->relation);
    for (uint32_t i = store_own_from(store, given->relation); goes_on && i < end; i++) {
        goes_on = meet_by_row(lacks, given, store_row(store, given->relation, i));
    }
    for (uint32_t k = 0; k < 2; k++) {
        const uint32_t noted_end = store_count(store, noted[k]);
        for (uint32_t i = store_own_from(store, noted[k]); goes_on && i < noted_end;
             i++) {
            const struct row *row = store_row(store, noted[k], i);
            goes_on = row->key[1] != list || meet_by_noted(lacks, given, row);
        }
    }
    lacks->done = 0;
    return goes_on;
}

static bool is_one(void *context, const struct gap_in_rows *gap)
{
    *(bool *)context = gap != NULL;
    return false;
}

/* Whether any condition could be met by a gap. */
static bool may_lack(struct match *match, const struct rule *rule)
{
    bool is_any = false;
    for (uint32_t i = 0; !is_any && i < rule->given_count; i++) {
        (void)match_gaps(match, rule->given[i].relation, NULL, is_one, &is_any);
    }
    return is_any;
}

/* What the i-th conclusion of a rule is about, its finding last; false past them. */
static bool head_of(const struct rule *rule, uint32_t i, struct term *owner,
                    relation_id *relation)
{
    if (i < rule->conclusion_count) {
        *owner = rule->conclusions[i].terms[0];
        *relation = rule->conclusions[i].relation;
        return true;
    }
    if (rule->has_check && i == rule->conclusion_count) {
        *owner = (struct term){.kind = TERM_VARIABLE, .variable = rule->keys[0]};
        *relation = rule->finding;
        return true;
    }
    return false;
}

/* false: the search was stopped, match->result says why. */
static bool lacks_of_rule(struct match *match, const struct rule *rule, bool *is_changed)
{
    struct term owner;
    struct lacks lacks = {.match = match, .head = &owner};
    bool goes_on = true;
    match->rule = rule;
    match->bound = 0;
    match->result = STATUS_OK;
    for (uint32_t i = 0; goes_on && head_of(rule, i, &owner, &lacks.relation); i++) {
        const uint32_t from = owners_condition(&lacks);
        goes_on = from == UINT32_MAX ? meet_rest(&lacks) : meet_from_own(&lacks, from);
    }
    *is_changed = *is_changed || lacks.is_changed;
    return goes_on && match->result == STATUS_OK;
}

status match_lacks(struct match *match, const struct rule_group *group)
{
    bool is_changed = match->rules->lacking != NO_RELATION &&
                      store_count(match->store, match->rules->partial) > 0;
    while (is_changed) {
        is_changed = false;
        for (uint32_t i = 0; i < group->count; i++) {
            const struct rule *rule = &match->rules->rules[group->rules[i]];
            const bool is_done = rule->over_catalogue && store_is_layer(match->store);
            if (!is_done && may_lack(match, rule) &&
                !lacks_of_rule(match, rule, &is_changed)) {
                return match->result != STATUS_OK ? match->result
                                                  : arena_status(match->arena);
            }
        }
        is_changed = is_changed && group->is_recursive;
    }
    return arena_status(match->arena);
}
