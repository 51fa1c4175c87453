/* SPDX-License-Identifier: MIT */
/*
 * Tries a swap for a search, and reads off its chains what each refusal rests on. A
 * failing finding without a mend decides at once: mends are then not tried.
 */
#include "swap_trial.h"

#include "upgrade_private.h"

#include <stdlib.h>

/* What a refusal rests on, as it is gathered. */
struct resting {
    struct swap *swap;
    ARRAY_OF(struct named_pair) places;
    bool *is_seen; /* by node */
    bool is_sound;
};

static void add_minted(struct resting *resting, const struct minted_place *place)
{
    const struct names *names = resting->swap->layer.names;
    if (place == NULL) {
        return;
    }
    const struct named_pair made = {names_text(names, place->place),
                                    names_text(names, place->with)};
    for (uint32_t i = 0; i < resting->places.count; i++) {
        if (text_equal(resting->places.at[i].name, made.name)) {
            return;
        }
    }
    (void)ARRAY_PUSH(resting->swap->arena, &resting->places, made);
}

/* The pieces in a row's key, and what its words name where they are places. */
static void add_row(struct resting *resting, const struct row *row)
{
    struct swap *swap = resting->swap;
    const struct relation_shape *shape = store_shape(swap->layer.store, row->relation);
    for (uint32_t c = 0; c < shape->key_count; c++) {
        if (shape->columns[c].kind == COLUMN_NAME) {
            add_minted(resting, unit_place_of(&swap->layer, &swap->swapped, row->key[c]));
        }
    }
    for (uint32_t v = 0; v < shape->value_count; v++) {
        for (uint32_t i = 0;
             row->values[v].kind == VALUE_WORD && i < swap->swapped.place_count &&
             row->key[0] == swap->swapped.name;
             i++) {
            if (swap->swapped.places[i].place == row->values[v].word) {
                add_minted(resting, &swap->swapped.places[i]);
            }
        }
    }
}

/* Whether a row follows from its premises alone, whatever else a unit holds. */
static bool follows_alone(const struct chain_node *node)
{
    const bool is_float = node->row->origin == ORIGIN_COMPUTED &&
                          text_is(text_of(node->row->more->computation), "float");
    return node->row->standing == STANDING_SURE && !is_float &&
           (node->rule == NULL ||
            (node->rule->unless_count == 0 && node->rule->tally_count == 0));
}

static void rest_on_node(struct resting *resting, uint32_t index)
{
    const struct chain_node *node = &resting->swap->chain.nodes.at[index];
    if (resting->is_seen[index]) {
        return;
    }
    resting->is_seen[index] = true;
    resting->is_sound = resting->is_sound && follows_alone(node);
    add_row(resting, node->row);
    for (uint32_t i = 0; i < node->from_count; i++) {
        rest_on_node(resting, node->from[i]);
    }
}

/* A dimension of a piece that enters a margin by way of a setting need not be named in a
 * row of its chain. */
static void rest_on_dimension(struct resting *resting, text dimension)
{
    const struct swap *swap = resting->swap;
    for (uint32_t i = 0; i < swap->swapped.place_count; i++) {
        const struct minted_place *place = &swap->swapped.places[i];
        const text piece = names_text(swap->layer.names, place->piece);
        if (place->with != NAME_NONE && text_starts(dimension, piece) &&
            dimension.length > piece.length &&
            (dimension.at[piece.length] == '.' || dimension.at[piece.length] == ':')) {
            add_minted(resting, place);
        }
    }
}

static void rest_on_margin(struct resting *resting, const struct form *margin)
{
    for (uint32_t i = 0; margin != NULL && i < margin->term_count; i++) {
        rest_on_dimension(resting, margin->terms[i].of->name);
    }
    for (uint32_t i = 0; margin != NULL && i < margin->absorbed_count; i++) {
        rest_on_dimension(resting, margin->absorbed[i]->name);
    }
}

static bool offers_trials(const struct rule *rule)
{
    for (uint32_t i = 0; i < rule->mend_count; i++) {
        if (rule->mends[i].trial.kind != TRIAL_NONE) {
            return true;
        }
    }
    return false;
}

static bool is_final(const struct finding *finding)
{
    return finding_fails(finding) &&
           (finding->kind != FINDING_BY_RULE || !offers_trials(finding->rule));
}

/* What is in a place decides alone: what nobody asks anything of, what was misread. */
static void rest_on_subject(struct resting *resting, const struct finding *finding)
{
    resting->is_sound =
        finding->kind == FINDING_UNASKED || finding->kind == FINDING_READING;
    for (uint32_t i = 0; i < finding->subject_count; i++) {
        const name_id named =
            names_find(resting->swap->layer.names, finding->subject[i].value);
        add_minted(resting,
                   unit_place_of(&resting->swap->layer, &resting->swap->swapped, named));
    }
}

static void rest_on_chain(struct resting *resting, const struct finding *finding)
{
    struct swap *swap = resting->swap;
    resting->is_sound =
        !offers_trials(finding->rule) &&
        (finding->host == NULL || finding->host->outcome == OUTCOME_HOLDS);
    const uint32_t node = chain_of(&swap->chain, finding->row);
    resting->is_seen = ARENA_MANY(swap->arena, swap->chain.nodes.count, bool);
    if (swap->chain.result == STATUS_OK && resting->is_seen != NULL) {
        rest_on_node(resting, node);
        rest_on_margin(resting, finding->margin);
    }
}

static int compare_places(const void *a, const void *b)
{
    const struct named_pair *left = a;
    const struct named_pair *right = b;
    return text_compare(left->name, right->name);
}

static status make_refusal(struct swap *swap, const struct finding *finding,
                           struct refusal *out)
{
    struct resting resting = {.swap = swap};
    if (finding->kind == FINDING_BY_RULE) {
        rest_on_chain(&resting, finding);
        TRY(swap->chain.result);
    } else {
        rest_on_subject(&resting, finding);
    }
    if (resting.places.count > 1) {
        qsort(resting.places.at, resting.places.count, sizeof *resting.places.at,
              compare_places);
    }
    *out = (struct refusal){.rule = finding->name,
                            .sentence = finding_reason(swap, finding),
                            .places = resting.places.at,
                            .place_count = resting.places.count,
                            .is_failure = finding_fails(finding),
                            .holds_elsewhere = resting.is_sound};
    return arena_status(swap->arena);
}

static status gather_refusals(struct swap *swap, struct swap_trial *out)
{
    ARRAY_OF(struct refusal) refusals = {0};
    const bool fails = out->verdict == VERDICT_DOES_NOT_FIT;
    for (uint32_t i = 0; i < swap->findings.count; i++) {
        const struct finding *finding = &swap->findings.at[i];
        struct refusal made = {0};
        if (!finding_stops(finding) || finding_fails(finding) != fails) {
            continue;
        }
        TRY(make_refusal(swap, finding, &made));
        if (!ARRAY_PUSH(swap->arena, &refusals, made)) {
            return arena_status(swap->arena);
        }
    }
    out->refusals = refusals.at;
    out->refusal_count = refusals.count;
    return STATUS_OK;
}

static bool any_final(const struct swap *swap)
{
    for (uint32_t i = 0; i < swap->findings.count; i++) {
        if (is_final(&swap->findings.at[i])) {
            return true;
        }
    }
    return false;
}

/* Failures that no mend can cure decide; what a mend could cure then matters no more. */
static void drop_curable(struct swap *swap)
{
    for (uint32_t i = 0; i < swap->findings.count; i++) {
        struct finding *finding = &swap->findings.at[i];
        if (!is_final(finding)) {
            finding->counts = false;
        }
    }
}

static status judge_briefly(struct swap *swap, struct swap_trial *out)
{
    TRY(findings_gather(swap));
    TRY(findings_count(swap));
    TRY(findings_ask(swap));
    findings_number(swap);
    for (uint32_t i = 0; i < swap->question->given_count; i++) {
        out->used_given |= swap->given[i].is_used ? UINT64_C(1) << i : 0;
    }
    if (any_final(swap)) {
        drop_curable(swap);
    } else {
        TRY(mends_try(swap));
    }
    TRY(work_gather(swap));
    TRY(verdict_decide(swap));
    out->verdict = swap->answer->verdict;
    if (out->verdict != VERDICT_DOES_NOT_FIT) {
        TRY(swap_parts(swap, &out->parts, &out->part_count));
    }
    return gather_refusals(swap, out);
}

/* What keeps it from being put together is the refusal, and it holds of this swap. */
static status at_fault(struct arena *arena, const struct diagnostics *diagnostics,
                       struct swap_trial *out)
{
    struct refusal *refusal = ARENA_NEW(arena, struct refusal);
    TRY(arena_status(arena));
    const text why = diagnostics_count(diagnostics) > 0
                         ? diagnostics_at(diagnostics, 0)->message
                         : TEXT("two of its facts contradict each other");
    *refusal =
        (struct refusal){.rule = TEXT("cannot-be-put-together"),
                         .sentence = text_format(
                             arena, "it cannot be put together so: %.*s", TEXT_ARG(why)),
                         .is_failure = true};
    *out = (struct swap_trial){.is_fault = true,
                               .verdict = VERDICT_DOES_NOT_FIT,
                               .refusals = refusal,
                               .refusal_count = 1};
    return STATUS_OK;
}

status swap_trial(struct arena *arena, const struct knowledge *knowledge,
                  const struct question *question, const struct swap_limits *limits,
                  struct swap_trial *out)
{
    struct swap swap;
    struct diagnostics *diagnostics = diagnostics_open(arena);
    *out = (struct swap_trial){0};
    if (diagnostics == NULL) {
        return arena_status(arena);
    }
    status result = swap_open(&swap, arena, knowledge, question, limits, diagnostics);
    if (result == STATUS_OK) {
        result = judge_briefly(&swap, out);
        swap_spend(&swap);
    }
    return result == STATUS_INVALID ? at_fault(arena, diagnostics, out) : result;
}
