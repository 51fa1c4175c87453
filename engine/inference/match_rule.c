/* SPDX-License-Identifier: MIT */
/*
 * A depth-first join. At each step the condition with the most bound key columns is next,
 * so an index serves it; what a row binds is undone when the row is left. A condition
 * that is neither yes nor no opens the match and leaves its doubt; where only sure
 * matches are wanted it ends there.
 */
#include "match_rule.h"

#include "array.h"

/* What has to be restored when a row is left. */
struct mark {
    bool bound[LIMIT_VARIABLES];
    bool is_open;
    struct doubt doubt;
};

static bool join_rest(struct match *match, uint32_t done);

static struct mark mark_of(const struct match *match)
{
    struct mark mark = {.is_open = match->is_open, .doubt = match->doubt};
    for (uint32_t i = 0; i < match->rule->variable_count; i++) {
        mark.bound[i] = match->bound[i];
    }
    return mark;
}

static void restore(struct match *match, const struct mark *mark)
{
    for (uint32_t i = 0; i < match->rule->variable_count; i++) {
        match->bound[i] = mark->bound[i];
    }
    match->is_open = mark->is_open;
    match->doubt = mark->doubt;
}

static const struct relation_shape *shape_of(const struct match *match,
                                             const struct condition *condition)
{
    return store_shape(match->store, condition->relation);
}

void match_bind_key(struct match *match, uint32_t variable, name_id cell)
{
    match->bound[variable] = true;
    match->cells[variable] = cell;
    match->slots[variable] = match->rule->variables[variable].is_number_key
                                 ? value_count((int64_t)cell)
                                 : value_word(cell);
}

static void open_by(struct match *match, struct doubt doubt)
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
    if (match->bound[term->variable]) {
        return match->cells[term->variable] == cell;
    }
    match_bind_key(match, term->variable, cell);
    return true;
}

/* yes, no, or unknown with the doubt; a variable is bound. */
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
        match->bound[term->variable] = true;
        return TRUTH_YES;
    }
    if (value.kind == VALUE_MISSING) {
        *doubt = value_doubt(match->arena, value);
        return TRUTH_UNKNOWN;
    }
    const bool is_same =
        term->kind == TERM_NAME ? value.word == term->name : value.count == term->number;
    return is_same ? TRUTH_YES : TRUTH_NO;
}

/* Whether a row fits a condition; binds as it goes. Unknown where a value is missing. */
static enum truth match_row(struct match *match, const struct condition *condition,
                            const struct row *row, struct doubt *doubt)
{
    const struct relation_shape *shape = shape_of(match, condition);
    enum truth all = TRUTH_YES;
    for (uint32_t c = 0; c < shape->key_count; c++) {
        if (!match_key(match, &condition->terms[c], row->key[c])) {
            return TRUTH_NO;
        }
    }
    for (uint32_t v = 0; v < shape->value_count && all != TRUTH_NO; v++) {
        struct doubt own = {NULL, 0};
        const enum truth one = match_value(match, &condition->terms[shape->key_count + v],
                                           row->values[v], &own);
        *doubt = doubt_join(match->arena, *doubt, own);
        all = truth_and(all, one);
    }
    return all;
}

/* The key columns of a condition that are known now, as a scan wants them. */
static uint32_t bound_columns(const struct match *match,
                              const struct condition *condition, name_id *key)
{
    const struct relation_shape *shape = shape_of(match, condition);
    uint32_t bound = 0;
    for (uint32_t c = 0; c < shape->key_count; c++) {
        const struct term *term = &condition->terms[c];
        key[c] = NAME_NONE;
        if (term->kind == TERM_VARIABLE && match->bound[term->variable]) {
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

static bool open_scan(struct match *match, const struct condition *condition,
                      struct scan *scan)
{
    name_id key[LIMIT_KEY_COLUMNS];
    const uint32_t bound = bound_columns(match, condition, key);
    if (scan_open(scan, match->store, condition->relation, bound, key)) {
        return true;
    }
    match->result = arena_status(match->arena);
    return false;
}

static bool step_allowed(struct match *match)
{
    match->counts->premises_tried++;
    const struct inference_options *options = match->options;
    if (options->step_limit != 0 && match->counts->premises_tried > options->step_limit) {
        match->result = STATUS_LIMIT;
    } else if (options->go_on != NULL && match->counts->premises_tried % 1024 == 0 &&
               !options->go_on(options->go_on_context)) {
        match->result = STATUS_STOPPED;
    }
    return match->result == STATUS_OK;
}

/* ---- denials and aggregates, over finished rows */

/* A list its owner calls incomplete may hold what we do not see. */
static bool is_partial(struct match *match, const struct condition *condition,
                       struct doubt *doubt)
{
    const struct relation_shape *shape = shape_of(match, condition);
    const name_id partial = names_find(match->options->names, TEXT("partial"));
    relation_id relation = 0;
    name_id key[LIMIT_KEY_COLUMNS];
    const uint32_t bound = bound_columns(match, condition, key);
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
    if (!open_scan(match, condition, &scan)) {
        return TRUTH_NO;
    }
    for (const struct row *row = scan_next(&scan); row != NULL && step_allowed(match);
         row = scan_next(&scan)) {
        const struct mark mark = mark_of(match);
        struct doubt own = {NULL, 0};
        enum truth one = match_row(match, condition, row, &own);
        if (one != TRUTH_NO && row->standing == STANDING_OPEN) {
            one = TRUTH_UNKNOWN;
            own = doubt_join(match->arena, own, row->doubt);
        }
        restore(match, &mark);
        *doubt = doubt_join(match->arena, *doubt, own);
        any = truth_or(any, one);
    }
    return any;
}

static bool check_denials(struct match *match)
{
    for (uint32_t i = 0; i < match->rule->unless_count; i++) {
        struct doubt doubt = {NULL, 0};
        const enum truth denied = denied_matches(match, &match->rule->unless[i], &doubt);
        if (denied == TRUTH_YES) {
            return false;
        }
        if (denied != TRUTH_NO) {
            open_by(match, doubt);
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
                                                shape_of(match, &tally->of)->name))),
        .nominal = sure,
        .high = (double)possible - sure};
    return value_quantity(form_of(match->arena, open));
}

/* One row under an aggregate: counts it, or asks what every row must be. */
static void tally_row(struct match *match, const struct tally *tally,
                      const struct row *row, uint32_t *sure, uint32_t *possible,
                      enum truth *every)
{
    const struct mark mark = mark_of(match);
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
    restore(match, &mark);
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

static bool run_tally(struct match *match, const struct tally *tally)
{
    struct scan scan;
    struct doubt hole = {NULL, 0};
    uint32_t sure = 0;
    uint32_t possible = 0;
    enum truth every = TRUTH_YES;
    if (!open_scan(match, &tally->of, &scan)) {
        return false;
    }
    for (const struct row *row = scan_next(&scan); row != NULL && step_allowed(match);
         row = scan_next(&scan)) {
        tally_row(match, tally, row, &sure, &possible, &every);
    }
    if (is_partial(match, &tally->of, &hole)) {
        open_by(match, hole);
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

/* ---- the whole match */

static bool finish(struct match *match)
{
    const struct rule *rule = match->rule;
    match->frame.rests_on_count = 0;
    if (!check_denials(match)) {
        return true;
    }
    for (uint32_t i = 0; i < rule->tally_count; i++) {
        if (!run_tally(match, &rule->tallies[i])) {
            return true;
        }
    }
    for (uint32_t i = 0; i < rule->let_count; i++) {
        match->slots[rule->lets[i].variable] =
            formula_run(rule->lets[i].formula, &match->frame);
        match->bound[rule->lets[i].variable] = true;
    }
    for (uint32_t i = 0; i < rule->filter_count; i++) {
        const struct value holds = formula_run(rule->filters[i], &match->frame);
        if (holds.truth == TRUTH_NO) {
            return true;
        }
        if (holds.truth != TRUTH_YES) {
            open_by(match, holds.doubt);
        }
    }
    if (arena_status(match->arena) != STATUS_OK) {
        match->result = arena_status(match->arena);
        return false;
    }
    return (match->only_sure && match->is_open) || match->found(match);
}

/* The condition still open that has the most bound key columns; the first of several. */
static uint32_t next_condition(const struct match *match, uint32_t done)
{
    uint32_t best = 0;
    int best_count = -1;
    for (uint32_t i = 0; i < match->rule->given_count; i++) {
        name_id key[LIMIT_KEY_COLUMNS];
        int count = 0;
        if ((done >> i & 1u) != 0) {
            continue;
        }
        for (uint32_t bound = bound_columns(match, &match->rule->given[i], key);
             bound != 0; bound &= bound - 1) {
            count++;
        }
        if (count > best_count) {
            best_count = count;
            best = i;
        }
    }
    return best;
}

/* Tries one row as a premise, and all that follows. false stops the search. */
static bool try_row(struct match *match, uint32_t index, const struct row *row,
                    uint32_t done)
{
    const struct mark mark = mark_of(match);
    struct doubt doubt = {NULL, 0};
    bool goes_on = true;
    if (!step_allowed(match)) {
        return false;
    }
    if (row->height >= match->below ||
        (match->only_sure && row->standing == STANDING_OPEN)) {
        return true;
    }
    const enum truth fits = match_row(match, &match->rule->given[index], row, &doubt);
    if (fits == TRUTH_UNKNOWN) {
        open_by(match, doubt);
    }
    if (row->standing == STANDING_OPEN) {
        open_by(match, row->doubt);
    }
    if (fits != TRUTH_NO && !(match->only_sure && match->is_open)) {
        match->premises[index] = row;
        goes_on = join_rest(match, done | 1u << index);
    }
    restore(match, &mark);
    return goes_on;
}

static bool join_rest(struct match *match, uint32_t done)
{
    struct scan scan;
    if (done == (1u << match->rule->given_count) - 1) {
        const struct mark mark = mark_of(match);
        const bool goes_on = finish(match);
        restore(match, &mark);
        return goes_on;
    }
    const uint32_t index = next_condition(match, done);
    if (!open_scan(match, &match->rule->given[index], &scan)) {
        return false;
    }
    for (const struct row *row = scan_next(&scan); row != NULL; row = scan_next(&scan)) {
        if (!try_row(match, index, row, done)) {
            return false;
        }
    }
    return true;
}

status match_run(struct match *match, uint32_t driver, const struct row *row)
{
    match->frame = (struct formula_frame){.slots = match->slots,
                                          .arena = match->arena,
                                          .names = match->options->names,
                                          .world = match->options->world};
    match->result = STATUS_OK;
    match->is_open = false;
    match->doubt = (struct doubt){NULL, 0};
    (void)(driver == UINT32_MAX ? join_rest(match, 0) : try_row(match, driver, row, 0));
    return match->result;
}

uint32_t match_height(const struct match *match)
{
    uint32_t highest = 0;
    for (uint32_t i = 0; i < match->rule->given_count; i++) {
        highest =
            match->premises[i]->height > highest ? match->premises[i]->height : highest;
    }
    return highest + 1;
}

/* ---- what it concludes */

bool match_conclusion(struct match *match, const struct conclusion *conclusion,
                      name_id *key, struct value *values)
{
    const struct relation_shape *shape = store_shape(match->store, conclusion->relation);
    for (uint32_t c = 0; c < shape->key_count; c++) {
        const struct term *term = &conclusion->terms[c];
        key[c] = term->kind == TERM_VARIABLE ? match->cells[term->variable]
                 : term->kind == TERM_NAME   ? term->name
                                             : (name_id)term->number;
    }
    for (uint32_t v = 0; v < shape->value_count; v++) {
        const struct term *term = &conclusion->terms[shape->key_count + v];
        values[v] = term->kind == TERM_VARIABLE ? match->slots[term->variable]
                    : term->kind == TERM_NAME   ? value_word(term->name)
                                                : value_count(term->number);
    }
    return true;
}

bool match_finding(struct match *match, name_id *key, struct value *values)
{
    const struct rule *rule = match->rule;
    for (uint32_t i = 0; i < rule->key_count; i++) {
        key[i] = match->cells[rule->keys[i]];
    }
    values[FINDING_MARGIN] = formula_run(rule->margin, &match->frame);
    const struct form *margin = values[FINDING_MARGIN].quantity;
    if (values[FINDING_MARGIN].kind == VALUE_COUNT) {
        margin = form_exact(match->arena, DIMENSION_RATIO,
                            (double)values[FINDING_MARGIN].count);
        values[FINDING_MARGIN] = value_quantity(margin);
    }
    if (margin == NULL) {
        match->result = arena_status(match->arena);
        return false;
    }
    enum outcome outcome = form_outcome(margin);
    if (match->is_open && outcome != OUTCOME_HOLDS) {
        /* What may not be there at all cannot fail: it is not known, or not sure. */
        outcome = doubt_misses(match->doubt) || outcome == OUTCOME_UNKNOWN
                      ? OUTCOME_UNKNOWN
                      : OUTCOME_UNSURE;
    }
    values[FINDING_OUTCOME] =
        value_word(names_find(match->options->names, text_of(outcome_word(outcome))));
    return true;
}
