/* SPDX-License-Identifier: MIT */
/*
 * Why is a row not there? Each rule that could conclude it is tried with its head bound.
 * Which condition fails is told in the rule's own order: the longest run of its first
 * conditions that rows match together. Whether there is such a match is asked of the
 * ordinary join, which picks its own order and stops at the first; only at the end are
 * all matches gone through, for the least as text. So neither the order of rows nor the
 * plan of the join can be seen.
 */
#include "why_not.h"

#include "array.h"
#include "match_private.h"

#include <stdlib.h>

struct attempting {
    const struct rule_base *rules;
    struct match *match;
    const struct wanted_row *wanted;
    const struct rule *rule;             /* whole; match->rule has a part of it */
    const struct conclusion *conclusion; /* NULL: the finding */
    struct rule part;                    /* the rule's first conditions alone */
    uint32_t progress;                   /* of the best so far, counted in conditions */
    struct why_not_attempt best;
    bool has_best;
    bool is_found; /* the part has a match */
    ARRAY_OF(struct why_not_attempt) attempts;
};

/* ---- the best attempt */

static int compare_premises(const struct attempting *attempting)
{
    const struct match *match = attempting->match;
    const struct why_not_attempt *best = &attempting->best;
    int order = 0;
    for (uint32_t i = 0; order == 0 && i < best->premise_count; i++) {
        order = row_compare(match->store, match->options->names, match->premises[i],
                            best->premises[i]);
    }
    return order;
}

/* Keeps the attempt as it stands now if it is the best; false: there is a better one. */
static bool keep(struct attempting *attempting, uint32_t progress, enum why_not_stop stop,
                 uint32_t index)
{
    struct match *match = attempting->match;
    struct why_not_attempt *best = &attempting->best;
    const struct rule *rule = attempting->rule;
    const bool is_as_far = attempting->has_best && progress == attempting->progress;
    if (attempting->has_best && progress < attempting->progress) {
        return false;
    }
    best->as_far = is_as_far ? best->as_far + 1 : 1;
    if (is_as_far && compare_premises(attempting) >= 0) {
        return false;
    }
    struct value *slots = ARENA_MANY(match->arena, rule->variable_count, struct value);
    for (uint32_t i = 0; slots != NULL && i < rule->variable_count; i++) {
        slots[i] = match_is_bound(match, i) ? match->slots[i] : (struct value){0};
    }
    attempting->has_best = true;
    attempting->progress = progress;
    *best = (struct why_not_attempt){.rule = rule,
                                     .stop = stop,
                                     .index = index,
                                     .premise_count = attempting->part.given_count,
                                     .slots = slots,
                                     .as_far = best->as_far};
    best->premises = arena_copy(match->arena, match->premises,
                                best->premise_count * sizeof *match->premises);
    return true;
}

/* ---- a condition that no row matches */

/* What a condition wants of a row, as far as it is bound. */
static struct wanted_row wanted_by(const struct match *match,
                                   const struct condition *condition)
{
    const struct relation_shape *shape = match_shape(match, condition);
    struct wanted_row wanted = {.relation = condition->relation};
    wanted.asked = match_bound_columns(match, condition, wanted.key);
    for (uint32_t v = 0; v < shape->value_count; v++) {
        const struct term *term = &condition->terms[shape->key_count + v];
        if (term->kind == TERM_NAME || term->kind == TERM_NUMBER) {
            wanted.asked_values |= UINT64_C(1) << v;
            wanted.values[v] = term->kind == TERM_NAME ? value_word(term->name)
                                                       : value_count(term->number);
        }
    }
    return wanted;
}

/* The row that agrees with most of it, among those of its owner where that is known. */
static const struct row *nearest_row(struct match *match, const struct wanted_row *wanted)
{
    struct scan scan;
    const struct row *best = NULL;
    uint32_t best_agrees = 0;
    const struct relation_shape *shape = store_shape(match->store, wanted->relation);
    if (!scan_open(&scan, match->store, wanted->relation, wanted->asked & 1u,
                   wanted->key)) {
        match->result = arena_status(match->arena);
        return NULL;
    }
    for (const struct row *row = scan_next(&scan); row != NULL; row = scan_next(&scan)) {
        const uint32_t agrees = wanted_agrees(wanted, shape, row);
        if (agrees > best_agrees ||
            (agrees == best_agrees && best != NULL &&
             row_compare(match->store, match->options->names, row, best) < 0)) {
            best = row;
            best_agrees = agrees;
        }
    }
    return best;
}

/* A match of all conditions before the one that has none. */
static bool found_before(struct match *match)
{
    struct attempting *attempting = match->context;
    const uint32_t index = attempting->part.given_count;
    if (keep(attempting, index, WHY_NOT_GIVEN, index)) {
        struct why_not_attempt *best = &attempting->best;
        best->missing = wanted_by(match, &attempting->rule->given[index]);
        best->by = nearest_row(match, &best->missing);
    }
    return match->result == STATUS_OK;
}

/* ---- a match of all of them */

/* The row, least as text, for which `is_it` says yes. */
static const struct row *least_row(struct match *match, const struct condition *condition,
                                   bool (*is_it)(struct match *match,
                                                 const struct row *row,
                                                 const struct formula *formula),
                                   const struct formula *formula)
{
    struct scan scan;
    const struct row *least = NULL;
    if (!match_scan(match, condition, &scan)) {
        return NULL;
    }
    for (const struct row *row = scan_next(&scan);
         row != NULL && match_step_allowed(match); row = scan_next(&scan)) {
        const struct match_mark mark = match_mark(match);
        struct doubt doubt = {NULL, 0};
        const bool fits = row->standing == STANDING_SURE &&
                          match_row(match, condition, row, &doubt) == TRUTH_YES &&
                          is_it(match, row, formula);
        match_restore(match, &mark);
        if (fits && (least == NULL ||
                     row_compare(match->store, match->options->names, row, least) < 0)) {
            least = row;
        }
    }
    return least;
}

static bool any_row(struct match *match, const struct row *row,
                    const struct formula *formula)
{
    (void)match;
    (void)row;
    (void)formula;
    return true;
}

static bool says_no(struct match *match, const struct row *row,
                    const struct formula *formula)
{
    (void)row;
    return formula_run(formula, &match->frame).truth == TRUTH_NO;
}

/* false: a denial, an aggregate or a filter ends the attempt, and it has been noted. */
static bool pass_rest(struct attempting *attempting)
{
    struct match *match = attempting->match;
    const struct rule *rule = attempting->rule;
    uint32_t progress = rule->given_count;
    match->frame.rests_on_count = 0;
    for (uint32_t i = 0; i < rule->unless_count; i++, progress++) {
        const struct row *by = least_row(match, &rule->unless[i], any_row, NULL);
        if (by != NULL) {
            if (keep(attempting, progress, WHY_NOT_DENIED, i)) {
                attempting->best.by = by;
            }
            return false;
        }
    }
    for (uint32_t i = 0; i < rule->tally_count; i++, progress++) {
        const struct tally *tally = &rule->tallies[i];
        if (!match_tally(match, tally)) {
            if (keep(attempting, progress, WHY_NOT_EVERY, i) &&
                tally->kind == TALLY_EVERY) {
                attempting->best.by = least_row(match, &tally->of, says_no, tally->is);
            }
            return false;
        }
    }
    for (uint32_t i = 0; i < rule->let_count; i++) {
        match->slots[rule->lets[i].variable] =
            formula_run(rule->lets[i].formula, &match->frame);
        match->bound |= UINT64_C(1) << rule->lets[i].variable;
    }
    for (uint32_t i = 0; i < rule->filter_count; i++, progress++) {
        if (formula_run(rule->filters[i], &match->frame).truth == TRUTH_NO) {
            if (keep(attempting, progress, WHY_NOT_FILTER, i)) {
                attempting->best.shortfall =
                    formula_shortfall(rule->filters[i], &match->frame);
            }
            return false;
        }
    }
    return true;
}

/* What the rule gives where nothing fails. */
static void note_given(struct attempting *attempting)
{
    struct match *match = attempting->match;
    const struct rule *rule = attempting->rule;
    const struct relation_shape *shape =
        store_shape(match->store, attempting->wanted->relation);
    name_id key[LIMIT_KEY_COLUMNS];
    struct value values[LIMIT_VALUE_COLUMNS];
    if (attempting->conclusion != NULL) {
        match_conclusion(match, attempting->conclusion, key, values);
    } else if (!match_finding(match, key, values)) {
        return;
    }
    if (!keep(attempting, UINT32_MAX,
              rule->over_catalogue ? WHY_NOT_AT_LOAD : WHY_NOT_VALUES, 0)) {
        return;
    }
    const struct row_more more = {.doubt = match->doubt};
    struct row *gives = ARENA_NEW(match->arena, struct row);
    if (gives != NULL) {
        *gives = (struct row){
            .relation = attempting->wanted->relation,
            .standing = match->is_open ? STANDING_OPEN : STANDING_SURE,
            .origin = ORIGIN_RULE,
            .height = match_height(match),
            .where = rule->where,
            .key = arena_copy(match->arena, key, shape->key_count * sizeof *key),
            .values =
                arena_copy(match->arena, values, shape->value_count * sizeof *values),
            .more = arena_copy(match->arena, &more, sizeof more)};
        attempting->best.gives = gives;
    }
}

static bool found_all(struct match *match)
{
    struct attempting *attempting = match->context;
    if (pass_rest(attempting)) {
        note_given(attempting);
    }
    match->result =
        match->result == STATUS_OK ? arena_status(match->arena) : match->result;
    return match->result == STATUS_OK;
}

static bool found_any(struct match *match)
{
    struct attempting *attempting = match->context;
    attempting->is_found = true;
    return false;
}

/* ---- one rule */

static status run_part(struct attempting *attempting, uint32_t given_count,
                       bool (*found)(struct match *match))
{
    attempting->part.given_count = given_count;
    attempting->is_found = false;
    attempting->match->found = found;
    attempting->match->keeps_rows = true;
    return match_run(attempting->match, UINT32_MAX, NULL);
}

/* Binds what is known of the row; false: this conclusion gives no such row. */
static bool bind_head(struct attempting *attempting)
{
    struct match *match = attempting->match;
    const struct rule *rule = attempting->rule;
    const struct wanted_row *wanted = attempting->wanted;
    const struct relation_shape *shape = store_shape(match->store, wanted->relation);
    match->bound = 0;
    for (uint32_t c = 0; c < shape->key_count; c++) {
        const struct term variable = {
            .kind = TERM_VARIABLE,
            .variable = attempting->conclusion == NULL ? rule->keys[c] : 0};
        const struct term *term = attempting->conclusion == NULL
                                      ? &variable
                                      : &attempting->conclusion->terms[c];
        const bool is_bound =
            term->kind == TERM_VARIABLE && match_is_bound(match, term->variable);
        const name_id cell = term->kind == TERM_NAME     ? term->name
                             : term->kind == TERM_NUMBER ? (name_id)term->number
                             : is_bound                  ? match->cells[term->variable]
                                                         : wanted->key[c];
        if ((wanted->asked >> c & 1u) == 0) {
            continue;
        }
        if (cell != wanted->key[c]) {
            return false;
        }
        if (term->kind == TERM_VARIABLE) {
            match_bind_key(match, term->variable, cell);
        }
    }
    return true;
}

/* A constant in a value column that says something else than what is asked. */
static bool says_otherwise(const struct attempting *attempting)
{
    const struct wanted_row *wanted = attempting->wanted;
    const struct relation_shape *shape =
        store_shape(attempting->match->store, wanted->relation);
    for (uint32_t v = 0; attempting->conclusion != NULL && v < shape->value_count; v++) {
        const struct term *term = &attempting->conclusion->terms[shape->key_count + v];
        const struct value value = wanted->values[v];
        if ((wanted->asked_values >> v & 1u) != 0 &&
            ((term->kind == TERM_NAME && term->name != value.word) ||
             (term->kind == TERM_NUMBER && term->number != value.count))) {
            return true;
        }
    }
    return false;
}

static status attempt(struct attempting *attempting)
{
    const struct rule *rule = attempting->rule;
    uint32_t matched = 0;
    attempting->part = *rule;
    attempting->part.unless_count = 0;
    attempting->part.tally_count = 0;
    attempting->part.let_count = 0;
    attempting->part.filter_count = 0;
    attempting->match->rule = &attempting->part;
    if (says_otherwise(attempting) || !bind_head(attempting)) {
        return STATUS_OK;
    }
    attempting->is_found = true;
    while (attempting->is_found && matched < rule->given_count) {
        TRY(run_part(attempting, matched + 1, found_any));
        matched += attempting->is_found ? 1 : 0;
    }
    return run_part(attempting, matched,
                    matched < rule->given_count ? found_before : found_all);
}

static status attempt_rule(struct attempting *attempting, const struct rule *rule)
{
    const struct wanted_row *wanted = attempting->wanted;
    attempting->rule = rule;
    attempting->has_best = false;
    attempting->best.as_far = 0;
    for (uint32_t i = 0; i < rule->conclusion_count; i++) {
        attempting->conclusion = &rule->conclusions[i];
        if (rule->conclusions[i].relation == wanted->relation) {
            TRY(attempt(attempting));
        }
    }
    attempting->conclusion = NULL;
    if (rule->has_check && rule->finding == wanted->relation) {
        TRY(attempt(attempting));
    }
    if (attempting->has_best &&
        !ARRAY_PUSH(attempting->match->arena, &attempting->attempts, attempting->best)) {
        return arena_status(attempting->match->arena);
    }
    return STATUS_OK;
}

/* ---- all rules */

/* By where it ended, the latest first, then by how few conditions were left. Rules are
 * sorted by name, and the sort below keeps that order. */
static bool is_further(const struct why_not_attempt *a, const struct why_not_attempt *b)
{
    if (a->stop != b->stop) {
        return a->stop > b->stop;
    }
    return a->stop == WHY_NOT_GIVEN &&
           a->rule->given_count - a->index < b->rule->given_count - b->index;
}

static void sort_attempts(struct why_not_attempt *attempts, uint32_t count)
{
    for (uint32_t i = 1; i < count; i++) {
        const struct why_not_attempt one = attempts[i];
        uint32_t to = i;
        while (to > 0 && is_further(&one, &attempts[to - 1])) {
            attempts[to] = attempts[to - 1];
            to--;
        }
        attempts[to] = one;
    }
}

status why_not_find(const struct rule_base *rules, struct store *store,
                    struct arena *arena, const struct inference_options *options,
                    const struct wanted_row *wanted,
                    const struct why_not_attempt **attempts, uint32_t *count)
{
    struct inference_counts own = {0};
    struct match *match = ARENA_NEW(arena, struct match);
    struct attempting *attempting = ARENA_NEW(arena, struct attempting);
    TRY(arena_status(arena));
    match->store = store;
    match->arena = arena;
    match->options = options;
    match->rules = rules;
    match->counts = options->counts != NULL ? options->counts : &own;
    match->below = UINT32_MAX;
    match->context = attempting;
    attempting->rules = rules;
    attempting->match = match;
    attempting->wanted = wanted;
    for (uint32_t i = 0; i < rules->rule_count; i++) {
        TRY(attempt_rule(attempting, &rules->rules[i]));
    }
    sort_attempts(attempting->attempts.at, attempting->attempts.count);
    *attempts = attempting->attempts.at;
    *count = attempting->attempts.count;
    return arena_status(arena);
}
