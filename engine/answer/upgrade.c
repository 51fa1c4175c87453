/* SPDX-License-Identifier: MIT */
/*
 * Answers `upgrade`: the question's words → goals → one search each → sets by cost → each
 * asked once more in full, for what it gains and what has to be done.
 */
#include "limits.h"
#include "upgrade_private.h"

static text name_text(const struct upgrading *upgrading, name_id name)
{
    return names_text(upgrading->knowledge->names, name);
}

/* ---- searching */

static uint32_t index_of(const struct upgrading *upgrading,
                         const struct wanted_fill *want, uint16_t *word)
{
    for (uint32_t i = 0; i < upgrading->candidates.count; i++) {
        const struct candidate_place *place = &upgrading->candidates.places[i];
        for (uint32_t k = 0; place->place == want->place && k < place->count; k++) {
            if (text_equal(place->words[k], want->word)) {
                *word = (uint16_t)(k + 1);
                return i;
            }
        }
    }
    return UINT32_MAX;
}

/* The wanted fills from `first` on as one set. */
static uint16_t *set_of(struct upgrading *upgrading, uint32_t first, uint32_t count)
{
    uint16_t *words = ARENA_MANY(upgrading->arena, upgrading->candidates.count, uint16_t);
    for (uint32_t i = first; words != NULL && i < first + count; i++) {
        uint16_t word = 0;
        const uint32_t at = index_of(upgrading, &upgrading->wanted.at[i], &word);
        if (at != UINT32_MAX) {
            words[at] = word;
        }
    }
    return words;
}

static status search(struct upgrading *upgrading, uint32_t first, uint32_t count)
{
    const struct question *question = upgrading->question;
    struct change_search *made = ARENA_NEW(upgrading->arena, struct change_search);
    const uint16_t *goal = set_of(upgrading, first, count);
    TRY(arena_status(upgrading->arena));
    const struct change_search *last =
        upgrading->searches.count == 0
            ? NULL
            : upgrading->searches.at[upgrading->searches.count - 1];
    *made = (struct change_search){
        .arena = upgrading->arena,
        .knowledge = upgrading->knowledge,
        .question = question,
        .limits = upgrading->limits,
        .candidates = &upgrading->candidates,
        .goal = goal,
        .largest = question->largest > 0 ? question->largest : LIMIT_CHANGES,
        .most = upgrading->upgrade->tries - upgrading->upgrade->tried,
        .before = upgrading->upgrade->tried,
        .earlier = last};
    if (last != NULL) {
        made->conflicts.at = arena_copy(upgrading->arena, last->conflicts.at,
                                        last->conflicts.count * sizeof(struct conflict));
        made->conflicts.count = made->conflicts.at == NULL ? 0 : last->conflicts.count;
        made->conflicts.room = made->conflicts.count;
    }
    TRY(change_search_run(made));
    upgrading->upgrade->tried += made->tried;
    upgrading->upgrade->is_cut = upgrading->upgrade->is_cut || made->is_cut;
    return ARRAY_PUSH(upgrading->arena, &upgrading->searches, made)
               ? STATUS_OK
               : arena_status(upgrading->arena);
}

static status search_all(struct upgrading *upgrading)
{
    const uint32_t count = upgrading->wanted.count;
    TRY(candidates_find(upgrading->arena, upgrading->knowledge, upgrading->host,
                        upgrading->toward, upgrading->wanted.at, count,
                        &upgrading->candidates));
    if (upgrading->toward == NULL) {
        return search(upgrading, 0, count);
    }
    for (uint32_t i = 0; i < count; i++) {
        TRY(search(upgrading, i, 1));
    }
    return STATUS_OK;
}

/* A given value that no swap had a piece for is misspelt. */
static status refuse_unused(struct upgrading *upgrading)
{
    const struct question *question = upgrading->question;
    uint64_t used = 0;
    for (uint32_t i = 0; i < upgrading->searches.count; i++) {
        used |= upgrading->searches.at[i]->used_given;
    }
    for (uint32_t i = 0; i < question->given_count; i++) {
        if ((used >> i & 1u) == 0) {
            struct question alone = *question;
            struct swap swap;
            alone.given = &question->given[i];
            alone.given_count = 1;
            struct swap_limits limits = *upgrading->limits;
            limits.effort = NULL;
            return swap_open(&swap, upgrading->arena, upgrading->knowledge, &alone,
                             &limits, upgrading->diagnostics);
        }
    }
    return STATUS_OK;
}

/* ---- the answer */

/* All in which the other unit differs, at once, whether that works or not. */
static status describe_whole(struct upgrading *upgrading)
{
    struct change_set_answer *whole =
        ARENA_NEW(upgrading->arena, struct change_set_answer);
    const uint16_t *words = set_of(upgrading, 0, upgrading->wanted.count);
    struct swap_trial trial;
    struct worded_pair *changes =
        ARENA_MANY(upgrading->arena, upgrading->candidates.count, struct worded_pair);
    TRY(arena_status(upgrading->arena));
    const struct change_search *search = upgrading->searches.at[0];
    const struct change_set set = {words, upgrading->wanted.count};
    const struct question question = change_question(search, &set, changes);
    struct effort effort = {0};
    struct swap_limits limits = *upgrading->limits;
    limits.effort = &effort;
    TRY(swap_trial(upgrading->arena, upgrading->knowledge, &question, &limits, &trial));
    effort_add(upgrading->limits->effort, &effort);
    upgrading->upgrade->tried++;
    if (trial.is_fault) {
        return STATUS_OK;
    }
    TRY(upgrade_describe_set(upgrading, search, words, &trial, whole));
    upgrading->upgrade->whole = whole;
    upgrading->upgrade->whole_outlay = &upgrading->toward->outlay;
    return STATUS_OK;
}

static status list_candidates(struct upgrading *upgrading)
{
    struct place_candidates *list = ARENA_MANY(
        upgrading->arena, upgrading->candidates.count, struct place_candidates);
    uint32_t count = 0;
    for (uint32_t i = 0; list != NULL && i < upgrading->candidates.count; i++) {
        const struct candidate_place *place = &upgrading->candidates.places[i];
        if (place->count > 0) {
            list[count++] = (struct place_candidates){name_text(upgrading, place->place),
                                                      place->count, place->left_out};
        }
    }
    upgrading->upgrade->candidates = list;
    upgrading->upgrade->candidate_count = count;
    return arena_status(upgrading->arena);
}

static enum verdict verdict_of(const struct upgrade *upgrade)
{
    enum verdict verdict = VERDICT_DOES_NOT_FIT;
    for (uint32_t i = 0; i < upgrade->search_count; i++) {
        if (upgrade->searches[i].set_count > 0) {
            return VERDICT_FITS;
        }
        if (upgrade->searches[i].not_known_count > 0) {
            verdict = VERDICT_NOT_KNOWN;
        }
    }
    return upgrade->search_count == 0 ? VERDICT_FITS : verdict;
}

static status echo_wanted(struct upgrading *upgrading)
{
    struct named_pair *want =
        ARENA_MANY(upgrading->arena, upgrading->wanted.count, struct named_pair);
    TRY(arena_status(upgrading->arena));
    for (uint32_t i = 0; i < upgrading->wanted.count; i++) {
        want[i] = (struct named_pair){name_text(upgrading, upgrading->wanted.at[i].place),
                                      upgrading->wanted.at[i].word};
    }
    upgrading->upgrade->want = want;
    upgrading->upgrade->want_count =
        upgrading->toward == NULL ? upgrading->wanted.count : 0;
    return STATUS_OK;
}

static status run(struct upgrading *upgrading)
{
    TRY(upgrade_read(upgrading));
    TRY(echo_wanted(upgrading));
    TRY(search_all(upgrading));
    TRY(refuse_unused(upgrading));
    TRY(upgrade_describe(upgrading));
    if (upgrading->toward != NULL && upgrading->wanted.count > 1) {
        TRY(describe_whole(upgrading));
    }
    return list_candidates(upgrading);
}

status upgrade_answer(struct arena *arena, const struct knowledge *knowledge,
                      const struct question *question, const struct swap_limits *limits,
                      struct diagnostics *diagnostics, struct answer **out)
{
    struct swap swap;
    struct question as_it_is = *question;
    as_it_is.change_count = 0;
    as_it_is.forgives_given = true;
    TRY(swap_open(&swap, arena, knowledge, &as_it_is, limits, diagnostics));
    struct upgrade *upgrade = ARENA_NEW(arena, struct upgrade);
    TRY(arena_status(arena));
    *upgrade =
        (struct upgrade){.toward = question->toward,
                         .most = question->most > 0 ? question->most : UPGRADE_SETS,
                         .tries = question->tries > 0 ? question->tries : UPGRADE_TRIES,
                         .largest = question->largest,
                         .is_by_price = true};
    struct upgrading upgrading = {.arena = arena,
                                  .knowledge = knowledge,
                                  .question = question,
                                  .limits = limits,
                                  .diagnostics = diagnostics,
                                  .host = swap.swapped.recipe,
                                  .upgrade = upgrade};
    TRY(run(&upgrading));
    swap_spend(&swap);
    swap.answer->upgrade = upgrade;
    swap.answer->verdict = verdict_of(upgrade);
    swap.answer->caution = knowledge->closing.caution;
    *out = swap.answer;
    return arena_status(arena);
}
