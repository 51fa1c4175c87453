/* SPDX-License-Identifier: MIT */
/* The sets that searches found: what each costs, cheapest first, then each asked once
 * more in full, and what every smaller one is refused for. */
#include "limits.h"
#include "upgrade_private.h"

#include <string.h>

static text name_text(const struct upgrading *upgrading, name_id name)
{
    return names_text(upgrading->knowledge->names, name);
}

/* ---- sets by what they cost */

struct priced_set {
    const struct tried_set *tried;
    struct set_part *parts;
    struct set_cost cost;
    uint32_t at; /* in the order of the search, which is by size, then by words */
};

static bool is_had(const struct upgrading *upgrading, text part)
{
    for (uint32_t i = 0; i < upgrading->upgrade->have_count; i++) {
        if (text_equal(upgrading->upgrade->have[i], part)) {
            return true;
        }
    }
    return false;
}

/* Prices of two currencies do not add up, nor can they be compared. */
static status check_currency(struct upgrading *upgrading, const struct set_part *part,
                             const struct stated_cost **first)
{
    const struct stated_cost *price = part->outlay == NULL ? NULL : &part->outlay->price;
    if (price == NULL || !price->is_stated || part->is_had ||
        part->reason == PART_COMES_WITH) {
        return STATUS_OK;
    }
    if (*first == NULL) {
        *first = price;
    }
    if (dimension_equal((*first)->dim, price->dim)) {
        return STATUS_OK;
    }
    struct diagnostic *report = diagnostics_report(
        upgrading->diagnostics, CODE_CURRENCY_MIXED, price->where,
        "the price of %.*s is in another currency than the one it is set beside",
        TEXT_ARG(part->part));
    report->expected = TEXT("prices of one currency: no rate is known");
    diagnostic_note_add(report, (*first)->where, TEXT("the other price is here"));
    return STATUS_INVALID;
}

static status price_sets(struct upgrading *upgrading, const struct change_search *search,
                         const uint32_t *list, uint32_t count,
                         const struct stated_cost **currency, struct priced_set **out)
{
    struct priced_set *sets = ARENA_MANY(upgrading->arena, count, struct priced_set);
    TRY(arena_status(upgrading->arena));
    for (uint32_t i = 0; i < count; i++) {
        const struct tried_set *tried = &search->sets.at[list[i]];
        const uint32_t part_count = tried->trial.part_count;
        struct set_part *parts =
            arena_copy(upgrading->arena, tried->trial.parts, part_count * sizeof *parts);
        TRY(arena_status(upgrading->arena));
        for (uint32_t k = 0; k < part_count; k++) {
            parts[k].is_had = is_had(upgrading, parts[k].part);
            TRY(check_currency(upgrading, &parts[k], currency));
        }
        sets[i] = (struct priced_set){tried, parts,
                                      set_cost_of(upgrading->host, parts, part_count), i};
        upgrading->upgrade->is_by_price =
            upgrading->upgrade->is_by_price && sets[i].cost.is_priced;
    }
    *out = sets;
    return STATUS_OK;
}

/* Insertion: sets of the same cost keep the order of the search. */
static void sort_sets(struct priced_set *sets, uint32_t count, bool by_price)
{
    for (uint32_t i = 1; i < count; i++) {
        const struct priced_set moving = sets[i];
        uint32_t to = i;
        bool is_equal = false;
        for (;
             to > 0 && cost_before(&moving.cost, &sets[to - 1].cost, by_price, &is_equal);
             to--) {
            sets[to] = sets[to - 1];
        }
        sets[to] = moving;
    }
}

/* ---- a set in full */

static status pairs_of(struct upgrading *upgrading, const uint16_t *words,
                       const struct named_pair **out, uint32_t *count)
{
    const struct candidates *candidates = &upgrading->candidates;
    struct named_pair *pairs =
        ARENA_MANY(upgrading->arena, candidates->count, struct named_pair);
    uint32_t made = 0;
    for (uint32_t i = 0; pairs != NULL && i < candidates->count; i++) {
        if (words[i] != 0) {
            pairs[made++] =
                (struct named_pair){name_text(upgrading, candidates->places[i].place),
                                    candidates->places[i].words[words[i] - 1]};
        }
    }
    *out = pairs;
    *count = made;
    return arena_status(upgrading->arena);
}

static status describe_refused(struct upgrading *upgrading,
                               const struct change_search *search, const uint16_t *words,
                               struct refused_set *out)
{
    struct set_refusal why;
    *out = (struct refused_set){0};
    TRY(pairs_of(upgrading, words, &out->changes, &out->change_count));
    if (!change_search_refusal(search, words, &why)) {
        return STATUS_OK;
    }
    out->verdict = why.verdict;
    out->is_tried = why.is_tried;
    out->rule = why.refusal->rule;
    out->sentence = why.refusal->sentence;
    out->conflict = why.refusal->places;
    out->conflict_count = why.refusal->place_count;
    return arena_status(upgrading->arena);
}

enum {
    MOST_FREE = 8 /* changes beside the goal of a set whose smaller ones are all listed */
};

/* The changes of a set beside its goal. */
struct free_changes {
    uint32_t places[LIMIT_CHANGES];
    uint32_t count;
};

static struct free_changes free_of(const struct upgrading *upgrading,
                                   const struct change_search *search,
                                   const uint16_t *words)
{
    struct free_changes made = {.count = 0};
    for (uint32_t i = 0; i < upgrading->candidates.count && made.count < LIMIT_CHANGES;
         i++) {
        if (words[i] != 0 && search->goal[i] == 0) {
            made.places[made.count++] = i;
        }
    }
    return made;
}

static uint32_t bits_in(uint32_t mask)
{
    uint32_t count = 0;
    for (; mask != 0; mask &= mask - 1) {
        count++;
    }
    return count;
}

typedef ARRAY_OF(struct refused_set) refused_array;

/* A set without the free changes that `left_out` has a bit for. */
static status add_smaller(struct upgrading *upgrading, const struct change_search *search,
                          const uint16_t *words, const struct free_changes *free,
                          uint64_t left_out, refused_array *list)
{
    struct refused_set made;
    uint16_t *part =
        arena_copy(upgrading->arena, words, upgrading->candidates.count * sizeof *part);
    TRY(arena_status(upgrading->arena));
    for (uint32_t k = 0; k < free->count; k++) {
        part[free->places[k]] = (left_out >> k & 1u) != 0 ? 0 : part[free->places[k]];
    }
    TRY(describe_refused(upgrading, search, part, &made));
    return made.sentence.length == 0 || ARRAY_PUSH(upgrading->arena, list, made)
               ? STATUS_OK
               : arena_status(upgrading->arena);
}

/* All smaller sets with what was wanted, the smallest first: every choice of some of the
 * other changes. Of a very large set only those that leave one change out. */
static status describe_smaller(struct upgrading *upgrading,
                               const struct change_search *search, const uint16_t *words,
                               struct change_set_answer *out)
{
    const struct free_changes free = free_of(upgrading, search, words);
    refused_array list = {0};
    for (uint32_t k = 0; free.count > MOST_FREE && k < free.count; k++) {
        TRY(add_smaller(upgrading, search, words, &free, UINT64_C(1) << k, &list));
    }
    for (uint32_t size = free.count; free.count <= MOST_FREE && size > 0; size--) {
        for (uint32_t mask = 1; mask < 1u << free.count; mask++) {
            if (bits_in(mask) == size) {
                TRY(add_smaller(upgrading, search, words, &free, mask, &list));
            }
        }
    }
    out->refused = list.at;
    out->refused_count = list.count;
    return STATUS_OK;
}

/* Asks a set in full. */
static status describe_swap(struct upgrading *upgrading,
                            const struct change_search *search, const uint16_t *words,
                            struct change_set_answer *out)
{
    struct swap swap;
    struct worded_pair *changes =
        ARENA_MANY(upgrading->arena, upgrading->candidates.count, struct worded_pair);
    struct question *question = ARENA_NEW(upgrading->arena, struct question);
    TRY(arena_status(upgrading->arena));
    const struct change_set set = {words, 0};
    *question = change_question(search, &set, changes);
    struct effort effort = {0};
    struct swap_limits limits = *upgrading->limits;
    limits.effort = &effort;
    TRY(swap_open(&swap, upgrading->arena, upgrading->knowledge, question, &limits,
                  upgrading->diagnostics));
    TRY(swap_judge(&swap));
    out->swap = swap.answer;
    TRY(swap_gains(&swap, out));
    swap_spend(&swap);
    effort_add(upgrading->limits->effort, &effort);
    return STATUS_OK;
}

static status describe_sets(struct upgrading *upgrading,
                            const struct change_search *search,
                            const struct priced_set *sets, uint32_t count,
                            const struct change_set_answer **out, uint32_t *shown)
{
    const uint32_t most = upgrading->upgrade->most;
    *shown = count < most ? count : most;
    struct change_set_answer *made =
        ARENA_MANY(upgrading->arena, *shown, struct change_set_answer);
    TRY(arena_status(upgrading->arena));
    for (uint32_t i = 0; i < *shown; i++) {
        const uint16_t *words = sets[i].tried->set.words;
        TRY(describe_swap(upgrading, search, words, &made[i]));
        TRY(describe_smaller(upgrading, search, words, &made[i]));
        made[i].parts = sets[i].parts;
        made[i].part_count = sets[i].tried->trial.part_count;
        made[i].cost = sets[i].cost;
    }
    *out = made;
    return STATUS_OK;
}

/* ---- all searches */

struct priced_search {
    struct priced_set *works;
    struct priced_set *not_known;
};

static status describe_search(struct upgrading *upgrading,
                              const struct change_search *search,
                              const struct priced_search *priced,
                              struct upgrade_search *out)
{
    const bool by_price = upgrading->upgrade->is_by_price;
    sort_sets(priced->works, search->works.count, by_price);
    sort_sets(priced->not_known, search->not_known.count, by_price);
    TRY(pairs_of(upgrading, search->goal, &out->goal, &out->goal_count));
    TRY(describe_sets(upgrading, search, priced->works, search->works.count, &out->sets,
                      &out->set_count));
    TRY(describe_sets(upgrading, search, priced->not_known, search->not_known.count,
                      &out->not_known, &out->not_known_count));
    TRY(describe_refused(upgrading, search, search->goal, &out->alone));
    out->set_total = search->works.count;
    out->not_known_total = search->not_known.count;
    out->tried = search->tried;
    out->is_cut = search->is_cut;
    return STATUS_OK;
}

status upgrade_describe(struct upgrading *upgrading)
{
    const uint32_t count = upgrading->searches.count;
    struct upgrade_search *out =
        ARENA_MANY(upgrading->arena, count, struct upgrade_search);
    struct priced_search *priced =
        ARENA_MANY(upgrading->arena, count, struct priced_search);
    const struct stated_cost *currency = NULL;
    TRY(arena_status(upgrading->arena));
    for (uint32_t i = 0; i < count; i++) {
        const struct change_search *search = upgrading->searches.at[i];
        TRY(price_sets(upgrading, search, search->works.at, search->works.count,
                       &currency, &priced[i].works));
        TRY(price_sets(upgrading, search, search->not_known.at, search->not_known.count,
                       &currency, &priced[i].not_known));
    }
    for (uint32_t i = 0; i < count; i++) {
        TRY(describe_search(upgrading, upgrading->searches.at[i], &priced[i], &out[i]));
    }
    upgrading->upgrade->searches = out;
    upgrading->upgrade->search_count = count;
    return STATUS_OK;
}

status upgrade_describe_set(struct upgrading *upgrading,
                            const struct change_search *search, const uint16_t *words,
                            const struct swap_trial *trial, struct change_set_answer *out)
{
    const struct stated_cost *currency = NULL;
    struct set_part *parts =
        arena_copy(upgrading->arena, trial->parts, trial->part_count * sizeof *parts);
    TRY(arena_status(upgrading->arena));
    for (uint32_t k = 0; k < trial->part_count; k++) {
        parts[k].is_had = is_had(upgrading, parts[k].part);
        TRY(check_currency(upgrading, &parts[k], &currency));
    }
    TRY(describe_swap(upgrading, search, words, out));
    out->parts = parts;
    out->part_count = trial->part_count;
    out->cost = set_cost_of(upgrading->host, parts, trial->part_count);
    return STATUS_OK;
}
