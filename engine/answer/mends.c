/* SPDX-License-Identifier: MIT */
/*
 * Mends: what rules offer for findings that stop a swap. Each is tried as a swap of its
 * own: the question with one change or one given value more. It cures where its finding
 * then holds (or has nothing to ask any more) and nothing stops that did not stop before.
 * For each finding the first that cures and is allowed is chosen, and what is chosen must
 * work together. A trial tries no mends of its own, so this ends.
 */
#include "swap_private.h"

#include <math.h>
#include <stdlib.h>

enum {
    MOST_TRIALS = 64,    /* swaps that one question may try */
    STROKE_TRIALS = 9,   /* depths tried along a stroke */
    MOST_CANDIDATES = 12 /* parts tried for an empty place */
};

/* One change or given value that is added to the question. */
struct addition {
    struct worded_pair pair;
    bool is_given;
};

struct trial_run {
    struct addition addition;
    const struct answer *answer; /* NULL: the question so changed is at fault */
};

struct mending {
    struct swap *swap;
    ARRAY_OF(struct tried_mend) mends;
    ARRAY_OF(struct addition) chosen;
    ARRAY_OF(struct trial_run) runs;
    uint32_t trials;
    status result;
};

const char *mend_word(enum mend_kind kind)
{
    static const char *const words[] = {"adjust", "renew", "buy", "machine"};
    return words[kind];
}

/* ---- a trial */

static bool is_overruled(const struct worded_pair *pair, const struct addition *more,
                         uint32_t more_count, bool is_given)
{
    for (uint32_t i = 0; i < more_count; i++) {
        if (more[i].is_given == is_given && text_equal(more[i].pair.name, pair->name)) {
            return true;
        }
    }
    return false;
}

/* The question's pairs and the additions, which overrule what was asked of their place.
 */
static bool copy_pairs(struct mending *mending, const struct worded_pair *from,
                       uint32_t count, const struct addition *more, uint32_t more_count,
                       bool is_given, const struct worded_pair **out, uint32_t *out_count)
{
    struct arena *arena = mending->swap->arena;
    struct worded_pair *pairs =
        ARENA_MANY(arena, (size_t)count + more_count, struct worded_pair);
    uint32_t at = 0;
    for (uint32_t i = 0; pairs != NULL && i < count; i++) {
        if (!is_overruled(&from[i], more, more_count, is_given)) {
            pairs[at++] = from[i];
        }
    }
    for (uint32_t i = 0; pairs != NULL && i < more_count; i++) {
        if (more[i].is_given == is_given) {
            pairs[at++] = more[i].pair;
        }
    }
    *out = pairs;
    *out_count = at;
    return pairs != NULL;
}

/* Answers the question with these additions; NULL when it is then at fault. */
static const struct answer *run_trial(struct mending *mending,
                                      const struct addition *more, uint32_t count)
{
    struct swap *swap = mending->swap;
    struct question question = *swap->question;
    struct answer *answer = NULL;
    question.is_trial = true;
    if (mending->trials++ >= MOST_TRIALS ||
        !copy_pairs(mending, swap->question->changes, swap->question->change_count, more,
                    count, false, &question.changes, &question.change_count) ||
        !copy_pairs(mending, swap->question->given, swap->question->given_count, more,
                    count, true, &question.given, &question.given_count)) {
        return NULL;
    }
    struct diagnostics *diagnostics = diagnostics_open(swap->arena);
    if (diagnostics == NULL) {
        return NULL;
    }
    const status answered = swap_answer(swap->arena, swap->knowledge, &question,
                                        swap->limits, diagnostics, &answer);
    if (answered != STATUS_OK && answered != STATUS_INVALID) {
        mending->result = answered;
    }
    return answered == STATUS_OK ? answer : NULL;
}

/* The same addition is tried once, whichever findings offer it. */
static const struct answer *try_once(struct mending *mending,
                                     const struct addition *addition)
{
    for (uint32_t i = 0; i < mending->runs.count; i++) {
        const struct addition *known = &mending->runs.at[i].addition;
        if (known->is_given == addition->is_given &&
            text_equal(known->pair.name, addition->pair.name) &&
            text_equal(known->pair.value, addition->pair.value)) {
            return mending->runs.at[i].answer;
        }
    }
    const struct trial_run run = {*addition, run_trial(mending, addition, 1)};
    if (!ARRAY_PUSH(mending->swap->arena, &mending->runs, run)) {
        mending->result = arena_status(mending->swap->arena);
    }
    return run.answer;
}

static const struct finding *find_same(const struct answer *answer,
                                       const struct finding *finding)
{
    for (uint32_t i = 0; finding->row != NULL && i < answer->finding_count; i++) {
        const struct finding *other = &answer->findings[i];
        if (other->row != NULL && same_subject(other, finding)) {
            return other;
        }
    }
    return NULL;
}

/* Whether a finding of the trial stopped before too. */
static bool is_old_stop(const struct swap *swap, const struct finding *finding)
{
    for (uint32_t k = 0; k < swap->findings.count; k++) {
        const struct finding *before = &swap->findings.at[k];
        if (finding_stops(before) && text_equal(before->name, finding->name) &&
            (before->row == NULL || finding->row == NULL ||
             same_subject(before, finding))) {
            return true;
        }
    }
    return false;
}

/* A finding of a trial that stops and did not stop before, one that fails rather than one
 * that is not known; NULL when there is none. */
static const struct finding *new_stop(const struct swap *swap, const struct answer *trial)
{
    const struct finding *found = NULL;
    for (uint32_t i = 0; i < trial->finding_count; i++) {
        const struct finding *finding = &trial->findings[i];
        if (finding_stops(finding) && !is_old_stop(swap, finding) &&
            (found == NULL || (finding_fails(finding) && !finding_fails(found)))) {
            found = finding;
        }
    }
    return found;
}

enum cure {
    CURE_NONE,
    CURE_OPEN, /* nothing fails, but not all is known to hold */
    CURE_SURE
};

static enum cure cures(const struct mending *mending, const struct finding *finding,
                       const struct answer *trial, text *why)
{
    if (trial == NULL) {
        *why = TEXT("it cannot be put together so");
        return CURE_NONE;
    }
    const struct finding *then = find_same(trial, finding);
    const struct finding *stop = new_stop(mending->swap, trial);
    if (then != NULL && finding_stops(then) &&
        (stop == NULL || finding_fails(then) || !finding_fails(stop))) {
        stop = then;
    }
    *why = stop == NULL ? TEXT("") : finding_reason(mending->swap, stop);
    return stop == NULL ? CURE_SURE : finding_fails(stop) ? CURE_NONE : CURE_OPEN;
}

/* ---- what is tried */

static const struct minted_place *place_of(const struct mending *mending,
                                           const struct finding *finding,
                                           const struct trial_place *at)
{
    const struct swap *swap = mending->swap;
    for (uint32_t i = 0; at->variable != UINT32_MAX && i < finding->rule->key_count;
         i++) {
        if (finding->rule->keys[i] == at->variable) {
            return unit_place_of(&swap->layer, &swap->swapped, finding->row->key[i]);
        }
    }
    for (uint32_t i = 0; i < swap->swapped.place_count; i++) {
        if (swap->swapped.places[i].place == at->place) {
            return &swap->swapped.places[i];
        }
    }
    return NULL;
}

static text place_name(const struct mending *mending, const struct finding *finding,
                       const struct trial_place *at)
{
    const struct names *names = mending->swap->layer.names;
    const struct minted_place *place = place_of(mending, finding, at);
    return place != NULL                ? names_text(names, place->place)
           : at->variable == UINT32_MAX ? names_text(names, at->place)
                                        : (text){"", 0};
}

/* Tries one addition and fills what came of it into the mend. */
static bool try_addition(struct mending *mending, const struct finding *finding,
                         struct tried_mend *mend, const struct addition *addition,
                         struct addition *out)
{
    mend->tried =
        text_format(mending->swap->arena, "%.*s=%.*s", TEXT_ARG(addition->pair.name),
                    TEXT_ARG(addition->pair.value));
    const enum cure cure =
        cures(mending, finding, try_once(mending, addition), &mend->why);
    mend->cures = cure == CURE_SURE;
    mend->may_cure = cure == CURE_OPEN;
    *out = *addition;
    return mend->cures;
}

static bool try_fill(struct mending *mending, const struct finding *finding,
                     const struct trial *trial, struct tried_mend *mend,
                     struct addition *out)
{
    const struct knowledge *knowledge = mending->swap->knowledge;
    struct addition addition = {.pair = {place_name(mending, finding, &trial->at),
                                         TEXT("another"), trial->where, trial->where}};
    const struct minted_place *place = place_of(mending, finding, &trial->at);
    if (trial->of_kind == NAME_NONE) {
        if (place == NULL || place->with == NAME_NONE || place->is_changed) {
            mend->why = TEXT("it is new already");
            return false;
        }
        return try_addition(mending, finding, mend, &addition, out);
    }
    uint32_t tried = 0;
    mend->why = TEXT("no part of this kind is known");
    if (place != NULL && place->with != NAME_NONE) {
        mend->why = TEXT("the place is taken");
        return false;
    }
    for (uint32_t i = 0; i < knowledge->part_count && tried < MOST_CANDIDATES; i++) {
        const struct part *part = &knowledge->parts[i];
        if (part->like != NAME_NONE ||
            !kind_is(knowledge->vocabulary, part->kind, trial->of_kind)) {
            continue;
        }
        tried++;
        addition.pair.value = names_text(knowledge->names, part->name);
        if (try_addition(mending, finding, mend, &addition, out)) {
            return true;
        }
    }
    return false;
}

/* A value column of a `stroke` row. */
static double stroke_end(const struct swap *swap, const struct row *row,
                         const char *column)
{
    const struct relation_shape *shape = store_shape(swap->layer.store, row->relation);
    const int index =
        vocabulary_column(shape, names_find(swap->layer.names, text_of(column)));
    return index < 3 || row->values[index - 3].kind != VALUE_QUANTITY
               ? NAN
               : row->values[index - 3].quantity->nominal;
}

static const struct row *find_stroke(struct mending *mending, name_id place)
{
    const struct swap *swap = mending->swap;
    const name_id key[3] = {swap->swapped.name, place, NAME_NONE};
    relation_id relation = 0;
    struct scan scan;
    return store_find_relation(swap->layer.store,
                               names_find(swap->layer.names, TEXT("stroke")),
                               &relation) &&
                   scan_open(&scan, swap->layer.store, relation, 3, key)
               ? scan_next(&scan)
               : NULL;
}

/* Depths along the stroke, those nearest to the present one first, in tenths. */
static bool try_stroke(struct mending *mending, const struct finding *finding,
                       const struct trial *trial, struct tried_mend *mend,
                       struct addition *out)
{
    const struct swap *swap = mending->swap;
    const struct minted_place *place = place_of(mending, finding, &trial->at);
    const struct row *row = place == NULL ? NULL : find_stroke(mending, place->place);
    if (row == NULL) {
        mend->why = TEXT("it has no stroke");
        return false;
    }
    const double tenth = 1e5;
    const double least = stroke_end(swap, row, "least");
    const double greatest = stroke_end(swap, row, "greatest");
    const double at = stroke_end(swap, row, "at");
    const double step =
        fmax(tenth, ceil((greatest - least) / (STROKE_TRIALS - 1) / tenth) * tenth);
    struct addition addition = {
        .pair = {text_format(swap->arena, "%.*s.%.*s.offset",
                             TEXT_ARG(names_text(swap->layer.names, row->key[1])),
                             TEXT_ARG(names_text(swap->layer.names, row->key[2]))),
                 {"", 0},
                 trial->where,
                 trial->where},
        .is_given = true};
    for (double away = step; at - away >= least || at + away <= greatest; away += step) {
        for (int side = -1; side <= 1; side += 2) {
            const double depth = at + side * away;
            if (depth < least || depth > greatest) {
                continue;
            }
            addition.pair.value =
                magnitude_write(swap->arena, DIMENSION_LENGTH, depth, -1);
            if (try_addition(mending, finding, mend, &addition, out)) {
                return true;
            }
        }
    }
    return false;
}

static bool try_given(struct mending *mending, const struct finding *finding,
                      const struct trial *trial, struct tried_mend *mend,
                      struct addition *out)
{
    struct swap *swap = mending->swap;
    const uint32_t index = chain_of(&swap->chain, finding->row);
    if (swap->chain.result != STATUS_OK) {
        mending->result = swap->chain.result;
        return false;
    }
    struct formula_frame frame = {.slots = swap->chain.nodes.at[index].slots,
                                  .arena = swap->arena,
                                  .names = swap->layer.names,
                                  .world = swap->layer.assembly};
    const struct value value = formula_run(trial->value, &frame);
    if (value.kind != VALUE_QUANTITY || value.quantity == NULL ||
        !isfinite(value.quantity->least) || !isfinite(value.quantity->greatest)) {
        mend->why = TEXT("what it comes to is not known");
        return false;
    }
    const struct addition addition = {
        .pair = {text_format(swap->arena, "%.*s.%.*s.%.*s",
                             TEXT_ARG(place_name(mending, finding, &trial->at)),
                             TEXT_ARG(names_text(swap->layer.names, trial->feature)),
                             TEXT_ARG(names_text(swap->layer.names, trial->field))),
                 text_format(swap->arena, "%.6f..%.6f mm", value.quantity->least / 1e6,
                             value.quantity->greatest / 1e6),
                 trial->where, trial->where},
        .is_given = true};
    return try_addition(mending, finding, mend, &addition, out);
}

static bool try_mend(struct mending *mending, const struct finding *finding,
                     const struct mend *mend, struct tried_mend *tried,
                     struct addition *out)
{
    switch (mend->trial.kind) {
    case TRIAL_FILL:
        return try_fill(mending, finding, &mend->trial, tried, out);
    case TRIAL_STROKE:
        return try_stroke(mending, finding, &mend->trial, tried, out);
    case TRIAL_GIVEN:
        return try_given(mending, finding, &mend->trial, tried, out);
    case TRIAL_NONE:
        break;
    }
    tried->why = TEXT("nobody can try it here");
    return false;
}

/* ---- choosing */

/* What another finding has chosen already may cure this one too. */
static bool is_cured_already(struct mending *mending, const struct finding *finding)
{
    text why = {"", 0};
    for (uint32_t i = 0; i < mending->mends.count; i++) {
        struct tried_mend mend = mending->mends.at[i];
        for (uint32_t k = 0; mend.is_chosen && k < mending->chosen.count; k++) {
            const struct addition *addition = &mending->chosen.at[k];
            const text tried = text_format(mending->swap->arena, "%.*s=%.*s",
                                           TEXT_ARG(addition->pair.name),
                                           TEXT_ARG(addition->pair.value));
            if (text_equal(tried, mend.tried) &&
                cures(mending, finding, try_once(mending, addition), &why) == CURE_SURE) {
                mend.finding = finding->id;
                if (!ARRAY_PUSH(mending->swap->arena, &mending->mends, mend)) {
                    mending->result = arena_status(mending->swap->arena);
                }
                return true;
            }
        }
    }
    return false;
}

/* All mends that the rule of a finding offers; the first that cures is chosen. */
static status mend_finding(struct mending *mending, struct finding *finding)
{
    struct swap *swap = mending->swap;
    const uint32_t index = chain_of(&swap->chain, finding->row);
    TRY(swap->chain.result);
    const struct chain_node node = swap->chain.nodes.at[index];
    bool is_chosen = false;
    if (is_cured_already(mending, finding)) {
        return mending->result;
    }
    for (uint32_t i = 0; i < finding->rule->mend_count; i++) {
        const struct mend *mend = &finding->rule->mends[i];
        struct formula_frame frame = {.slots = node.slots,
                                      .arena = swap->arena,
                                      .names = swap->layer.names,
                                      .world = swap->layer.assembly,
                                      .diagnostics = swap->diagnostics};
        struct addition addition = {0};
        const bool is_offered =
            mend->where == NULL || formula_run(mend->where, &frame).truth == TRUTH_YES;
        if (frame.is_stopped) {
            return STATUS_INVALID;
        }
        if (!is_offered) {
            continue;
        }
        struct tried_mend tried = {.finding = finding->id,
                                   .kind = mend->kind,
                                   .what = sentence_fill(swap, &mend->what, &node),
                                   .is_allowed = mend->kind != MEND_MACHINE ||
                                                 swap->question->allows_machining};
        tried.is_chosen = try_mend(mending, finding, mend, &tried, &addition) &&
                          tried.is_allowed && !is_chosen;
        is_chosen = is_chosen || tried.is_chosen;
        if (tried.may_cure && tried.is_allowed && finding->may_mend.length == 0) {
            finding->may_mend = text_format(
                swap->arena, "%s: %.*s: whether that cures it is not known: %.*s",
                mend_word(tried.kind), TEXT_ARG(tried.what), TEXT_ARG(tried.why));
        }
        if (!ARRAY_PUSH(swap->arena, &mending->mends, tried) ||
            (tried.is_chosen && !ARRAY_PUSH(swap->arena, &mending->chosen, addition))) {
            return arena_status(swap->arena);
        }
    }
    return mending->result;
}

/* The same addition cures two findings: it is made once. */
static void drop_doubled(struct mending *mending)
{
    uint32_t kept = 0;
    for (uint32_t i = 0; i < mending->chosen.count; i++) {
        const struct worded_pair *one = &mending->chosen.at[i].pair;
        bool is_there = false;
        for (uint32_t k = 0; k < kept; k++) {
            is_there = is_there || text_equal(mending->chosen.at[k].pair.name, one->name);
        }
        if (!is_there) {
            mending->chosen.at[kept++] = mending->chosen.at[i];
        }
    }
    mending->chosen.count = kept;
}

static struct finding *finding_of(struct swap *swap, uint32_t id)
{
    for (uint32_t i = 0; i < swap->findings.count; i++) {
        if (swap->findings.at[i].id == id) {
            return &swap->findings.at[i];
        }
    }
    return NULL;
}

/* Whether each finding with a chosen mend is cured by all of them together. */
static bool work_together(struct mending *mending, const struct answer *trial)
{
    text why = {"", 0};
    for (uint32_t k = 0; k < mending->mends.count; k++) {
        const struct tried_mend *mend = &mending->mends.at[k];
        if (mend->is_chosen && cures(mending, finding_of(mending->swap, mend->finding),
                                     trial, &why) != CURE_SURE) {
            return false;
        }
    }
    return true;
}

/* Which way an offset goes, where the mend is one. */
static text way_of(const struct tried_mend *mend)
{
    const size_t at = text_find(mend->tried, '=', 0);
    const text name = text_slice(mend->tried, 0, at);
    const text value = text_slice(mend->tried, at + 1, mend->tried.length);
    return !text_ends(name, TEXT(".offset")) ? TEXT("")
           : text_starts(value, TEXT("-"))   ? TEXT(", inboard")
                                             : TEXT(", outboard");
}

/* "renew: fit a new seal", with the figure where there is one. */
static text mend_text(struct mending *mending, const struct tried_mend *mend)
{
    struct arena *arena = mending->swap->arena;
    if (text_ends(mend->tried, TEXT("=another"))) {
        return text_format(arena, "%s: %.*s", mend_word(mend->kind),
                           TEXT_ARG(mend->what));
    }
    return text_format(arena, "%s: %.*s (%.*s%.*s)", mend_word(mend->kind),
                       TEXT_ARG(mend->what), TEXT_ARG(mend->tried),
                       TEXT_ARG(way_of(mend)));
}

/* What is chosen must work together; only then the findings are cured. */
static void settle_chosen(struct mending *mending)
{
    struct swap *swap = mending->swap;
    drop_doubled(mending);
    if (mending->chosen.count == 0) {
        return;
    }
    const struct answer *trial =
        mending->chosen.count == 1
            ? try_once(mending, &mending->chosen.at[0])
            : run_trial(mending, mending->chosen.at, mending->chosen.count);
    const bool works = work_together(mending, trial);
    for (uint32_t k = 0; k < mending->mends.count; k++) {
        struct tried_mend *mend = &mending->mends.at[k];
        mend->is_chosen = mend->is_chosen && works;
        if (mend->is_chosen) {
            struct finding *finding = finding_of(swap, mend->finding);
            finding->mend = mend_text(mending, mend);
            finding->mend_kind = mend->kind;
        }
    }
    swap->mended = works ? trial : NULL;
}

status mends_try(struct swap *swap)
{
    struct mending mending = {.swap = swap, .result = STATUS_OK};
    if (swap->question->is_trial) {
        return STATUS_OK;
    }
    for (uint32_t i = 0; i < swap->findings.count; i++) {
        struct finding *finding = &swap->findings.at[i];
        if (finding_stops(finding) && finding->kind == FINDING_BY_RULE) {
            TRY(mend_finding(&mending, finding));
        }
    }
    settle_chosen(&mending);
    TRY(mending.result);
    swap->answer->mends = mending.mends.at;
    swap->answer->mend_count = mending.mends.count;
    return arena_status(swap->arena);
}
