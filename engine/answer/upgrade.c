/* SPDX-License-Identifier: MIT */
/*
 * Answers `upgrade`: the question's words → goals → one search each → sets by cost → each
 * asked once more in full, for what it gains and what has to be done.
 */
#include "change_search.h"
#include "limits.h"
#include "mint_fill.h"
#include "upgrade_private.h"

#include <stdlib.h>
#include <string.h>

struct text_list {
    text *at;
    uint32_t count;
    uint32_t room;
};

/* What answering shares. */
struct upgrading {
    struct arena *arena;
    const struct knowledge *knowledge;
    const struct question *question;
    const struct swap_limits *limits;
    struct diagnostics *diagnostics;
    const struct recipe *host;
    const struct recipe *toward;
    ARRAY_OF(struct wanted_fill) wanted;
    struct candidates candidates;
    ARRAY_OF(struct change_search *) searches;
    struct upgrade *upgrade;
};

/* ---- the question's words */

static text name_text(const struct upgrading *upgrading, name_id name)
{
    return names_text(upgrading->knowledge->names, name);
}

static status fault(struct upgrading *upgrading, span where, text message,
                    const char *expected)
{
    diagnostics_add(upgrading->diagnostics, CODE_QUESTION_WRONG, where, message)
        ->expected = text_of(expected);
    return STATUS_INVALID;
}

static status read_toward(struct upgrading *upgrading)
{
    const struct question *question = upgrading->question;
    const struct knowledge *knowledge = upgrading->knowledge;
    const name_id name = names_find(knowledge->names, question->toward);
    upgrading->toward = name == NAME_NONE ? NULL : knowledge_recipe(knowledge, name);
    if (upgrading->toward != NULL) {
        return STATUS_OK;
    }
    struct nearest near = nearest_to(question->toward);
    for (uint32_t i = 0; i < knowledge->recipe_count; i++) {
        nearest_offer(&near, name_text(upgrading, knowledge->recipes[i].name));
    }
    struct diagnostic *report = diagnostics_report(
        upgrading->diagnostics, CODE_UNIT_NAME_UNKNOWN, question->toward_where,
        "there is no unit \"%.*s\"", TEXT_ARG(question->toward));
    report->expected = TEXT("the name of a unit that was loaded");
    report->nearest = near.best;
    return STATUS_INVALID;
}

static enum change_kind kind_of_change(text word)
{
    return text_is(word, "none")      ? CHANGE_NONE
           : text_is(word, "turned")  ? CHANGE_TURNED
           : text_is(word, "another") ? CHANGE_ANOTHER
                                      : CHANGE_PART;
}

/* Reads one wanted change as a swap would, so that its faults are a swap's. */
static status read_want(struct upgrading *upgrading, const struct worded_pair *pair)
{
    struct layer layer;
    struct fill fill = {0};
    TRY(layer_open(upgrading->arena, upgrading->knowledge, upgrading->diagnostics,
                   &layer));
    TRY(fill_recipe(&layer, upgrading->host, (text){"", 0}, &fill));
    const struct change change = {.place = names_add(layer.names, pair->name),
                                  .kind = kind_of_change(pair->value),
                                  .with = names_add(layer.names, pair->value),
                                  .place_where = pair->name_where,
                                  .where = pair->where};
    if (pair->name.length == 0 || pair->value.length == 0) {
        return fault(upgrading, pair->name_where, TEXT("what is wanted could not be read"),
                     "PLACE=PART, PLACE=none, PLACE=turned or PLACE=another");
    }
    TRY(fill_change(&layer, &change, change.place, &fill));
    const struct minted_place *place = fill_place(&fill, change.place);
    if (!place->is_changed) {
        return fault(upgrading, pair->where,
                     text_format(upgrading->arena, "%.*s holds it already",
                                 TEXT_ARG(pair->name)),
                     "a part that the unit does not have there");
    }
    for (uint32_t i = 0; i < upgrading->wanted.count; i++) {
        if (upgrading->wanted.at[i].place == change.place) {
            return fault(upgrading, pair->name_where,
                         TEXT("two things are wanted of one place"), "one --want a place");
        }
    }
    /* A new place's name may be known to the layer alone; candidates go by the
     * knowledge's, which has the name of every place a part may bring. */
    const struct wanted_fill made = {
        names_find(upgrading->knowledge->names, pair->name),
        change.kind == CHANGE_PART ? names_text(layer.names, place->with)
                                   : text_copy(upgrading->arena, pair->value)};
    if (made.place == NAME_NONE) {
        return fault(upgrading, pair->name_where, TEXT("nothing calls a place like that"),
                     "a place of the unit, or one that a part names");
    }
    return ARRAY_PUSH(upgrading->arena, &upgrading->wanted, made)
               ? STATUS_OK
               : arena_status(upgrading->arena);
}

/* The number of what a place holds; of somebody's own piece the one it is of. */
static name_id number_with(const struct upgrading *upgrading, name_id with)
{
    const struct part *part = knowledge_part(upgrading->knowledge, with);
    return part != NULL && part->like != NAME_NONE ? part->like : with;
}

static bool add_wanted(struct upgrading *upgrading, name_id place, text word)
{
    const struct wanted_fill made = {place, word};
    return ARRAY_PUSH(upgrading->arena, &upgrading->wanted, made);
}

/* A place in which the other unit has something else, or nothing. */
static bool want_difference(struct upgrading *upgrading, name_id place)
{
    const struct knowledge *knowledge = upgrading->knowledge;
    const struct filling *now = recipe_place(upgrading->host, place);
    const struct filling *then = recipe_place(upgrading->toward, place);
    const name_id here =
        number_with(upgrading, recipe_with(knowledge, upgrading->host, place));
    const name_id there =
        number_with(upgrading, recipe_with(knowledge, upgrading->toward, place));
    if (here != there) {
        return add_wanted(upgrading, place,
                          there == NAME_NONE ? TEXT("none")
                                             : name_text(upgrading, there));
    }
    return now == NULL || then == NULL || now->is_turned == then->is_turned ||
           add_wanted(upgrading, place, TEXT("turned"));
}

/* A place that only the other unit has: a part that brings its own lines can go there. */
static bool want_new_place(struct upgrading *upgrading, name_id place, struct text_list *missing)
{
    const name_id with =
        number_with(upgrading, recipe_with(upgrading->knowledge, upgrading->toward, place));
    const struct part *part = knowledge_part(upgrading->knowledge, with);
    if (with == NAME_NONE) {
        return true;
    }
    return part != NULL && part->brings != NULL
               ? add_wanted(upgrading, place, name_text(upgrading, with))
               : ARRAY_PUSH(upgrading->arena, missing, name_text(upgrading, place));
}

static status want_differences(struct upgrading *upgrading)
{
    struct text_list missing = {0};
    bool is_pushed = true;
    bool is_shared = false;
    for (uint32_t i = 0; i < upgrading->toward->place_count; i++) {
        const name_id place = upgrading->toward->places[i].place;
        is_shared = is_shared || recipe_place(upgrading->host, place) != NULL;
        if (recipe_place(upgrading->host, place) == NULL) {
            is_pushed = is_pushed && want_new_place(upgrading, place, &missing);
        }
    }
    for (uint32_t i = 0; i < upgrading->host->place_count; i++) {
        is_pushed =
            is_pushed && want_difference(upgrading, upgrading->host->places[i].place);
    }
    if (!is_shared) {
        return fault(upgrading, upgrading->question->toward_where,
                     TEXT("the two units have no place in common"),
                     "a unit with the same places, such as another pattern of this one");
    }
    upgrading->upgrade->no_place = missing.at;
    upgrading->upgrade->no_place_count = missing.count;
    return is_pushed ? STATUS_OK : arena_status(upgrading->arena);
}

static void sort_wanted(struct upgrading *upgrading)
{
    for (uint32_t i = 1; i < upgrading->wanted.count; i++) {
        const struct wanted_fill moving = upgrading->wanted.at[i];
        uint32_t to = i;
        for (; to > 0 && names_compare(upgrading->knowledge->names, moving.place,
                                       upgrading->wanted.at[to - 1].place) < 0;
             to--) {
            upgrading->wanted.at[to] = upgrading->wanted.at[to - 1];
        }
        upgrading->wanted.at[to] = moving;
    }
}

static status read_wanted(struct upgrading *upgrading)
{
    const struct question *question = upgrading->question;
    const bool has_toward = question->toward.length > 0;
    if (has_toward == (question->want_count > 0)) {
        return fault(upgrading, question->unit_where,
                     has_toward ? TEXT("a unit to go toward and parts that are wanted are "
                                       "two questions")
                                : TEXT("the question does not say what is wanted"),
                     "--toward UNIT, or --want PLACE=PART");
    }
    if (question->change_count > 0) {
        return fault(upgrading, question->changes[0].name_where,
                     TEXT("upgrade looks for the changes itself"), "--want PLACE=PART");
    }
    if (has_toward) {
        TRY(read_toward(upgrading));
        TRY(want_differences(upgrading));
    }
    for (uint32_t i = 0; i < question->want_count; i++) {
        TRY(read_want(upgrading, &question->want[i]));
    }
    sort_wanted(upgrading);
    return STATUS_OK;
}

static status read_have(struct upgrading *upgrading)
{
    const struct question *question = upgrading->question;
    const struct knowledge *knowledge = upgrading->knowledge;
    text *have = ARENA_MANY(upgrading->arena, question->have_count, text);
    status result = arena_status(upgrading->arena);
    for (uint32_t i = 0; have != NULL && i < question->have_count; i++) {
        const text word = question->have[i].word;
        const name_id name = names_find(knowledge->names, word);
        struct nearest near = nearest_to(word);
        have[i] = text_copy(upgrading->arena, word);
        if (name != NAME_NONE && (knowledge_part(knowledge, name) != NULL ||
                                  knowledge_recipe(knowledge, name) != NULL)) {
            continue;
        }
        for (uint32_t k = 0; k < knowledge->part_count; k++) {
            nearest_offer(&near, name_text(upgrading, knowledge->parts[k].name));
        }
        struct diagnostic *report = diagnostics_report(
            upgrading->diagnostics, CODE_PART_UNKNOWN, question->have[i].where,
            "there is no part or unit \"%.*s\"", TEXT_ARG(word));
        report->expected = TEXT("the name of a part or unit that was loaded");
        report->nearest = near.best;
        result = STATUS_INVALID;
    }
    upgrading->upgrade->have = have;
    upgrading->upgrade->have_count = question->have_count;
    return result;
}

/* ---- searching */

static uint32_t index_of(const struct upgrading *upgrading, const struct wanted_fill *want,
                         uint16_t *word)
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
    uint16_t *words =
        ARENA_MANY(upgrading->arena, upgrading->candidates.count, uint16_t);
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
    *made = (struct change_search){.arena = upgrading->arena,
                                   .knowledge = upgrading->knowledge,
                                   .question = question,
                                   .limits = upgrading->limits,
                                   .candidates = &upgrading->candidates,
                                   .goal = goal,
                                   .largest = question->largest > 0 ? question->largest
                                                                    : LIMIT_CHANGES,
                                   .most = upgrading->upgrade->tries -
                                           upgrading->upgrade->tried,
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
            return swap_open(&swap, upgrading->arena, upgrading->knowledge, &alone,
                             upgrading->limits, upgrading->diagnostics);
        }
    }
    return STATUS_OK;
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
        sets[i] = (struct priced_set){
            tried, parts, set_cost_of(upgrading->host, parts, part_count), i};
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
        for (; to > 0 && cost_before(&moving.cost, &sets[to - 1].cost, by_price, &is_equal);
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
            pairs[made++] = (struct named_pair){
                name_text(upgrading, candidates->places[i].place),
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
    uint16_t *part = arena_copy(upgrading->arena, words,
                                upgrading->candidates.count * sizeof *part);
    TRY(arena_status(upgrading->arena));
    for (uint32_t k = 0; k < free->count; k++) {
        part[free->places[k]] =
            (left_out >> k & 1u) != 0 ? 0 : part[free->places[k]];
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
    struct worded_pair *changes = ARENA_MANY(
        upgrading->arena, upgrading->candidates.count, struct worded_pair);
    struct question *question = ARENA_NEW(upgrading->arena, struct question);
    TRY(arena_status(upgrading->arena));
    const struct change_set set = {words, 0};
    *question = change_question(search, &set, changes);
    TRY(swap_open(&swap, upgrading->arena, upgrading->knowledge, question,
                  upgrading->limits, upgrading->diagnostics));
    TRY(swap_judge(&swap));
    out->swap = swap.answer;
    return swap_gains(&swap, out);
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

/* ---- the answer */

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

static status describe_searches(struct upgrading *upgrading)
{
    const uint32_t count = upgrading->searches.count;
    struct upgrade_search *out = ARENA_MANY(upgrading->arena, count, struct upgrade_search);
    struct priced_search *priced = ARENA_MANY(upgrading->arena, count, struct priced_search);
    const struct stated_cost *currency = NULL;
    TRY(arena_status(upgrading->arena));
    for (uint32_t i = 0; i < count; i++) {
        const struct change_search *search = upgrading->searches.at[i];
        TRY(price_sets(upgrading, search, search->works.at, search->works.count, &currency,
                       &priced[i].works));
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

/* All in which the other unit differs, at once, whether that works or not. */
static status describe_whole(struct upgrading *upgrading)
{
    struct change_set_answer *whole =
        ARENA_NEW(upgrading->arena, struct change_set_answer);
    const uint16_t *words = set_of(upgrading, 0, upgrading->wanted.count);
    struct swap_trial trial;
    struct worded_pair *changes = ARENA_MANY(
        upgrading->arena, upgrading->candidates.count, struct worded_pair);
    const struct stated_cost *currency = NULL;
    TRY(arena_status(upgrading->arena));
    const struct change_search *search = upgrading->searches.at[0];
    const struct change_set set = {words, upgrading->wanted.count};
    const struct question question = change_question(search, &set, changes);
    TRY(swap_trial(upgrading->arena, upgrading->knowledge, &question, upgrading->limits,
                   &trial));
    upgrading->upgrade->tried++;
    if (trial.is_fault) {
        return STATUS_OK;
    }
    TRY(describe_swap(upgrading, search, words, whole));
    struct set_part *parts =
        arena_copy(upgrading->arena, trial.parts, trial.part_count * sizeof *parts);
    TRY(arena_status(upgrading->arena));
    for (uint32_t k = 0; k < trial.part_count; k++) {
        parts[k].is_had = is_had(upgrading, parts[k].part);
        TRY(check_currency(upgrading, &parts[k], &currency));
    }
    whole->parts = parts;
    whole->part_count = trial.part_count;
    whole->cost = set_cost_of(upgrading->host, parts, trial.part_count);
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
    TRY(read_wanted(upgrading));
    TRY(read_have(upgrading));
    TRY(echo_wanted(upgrading));
    TRY(search_all(upgrading));
    TRY(refuse_unused(upgrading));
    TRY(describe_searches(upgrading));
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
    *upgrade = (struct upgrade){
        .toward = question->toward,
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
    swap.answer->upgrade = upgrade;
    swap.answer->verdict = verdict_of(upgrade);
    swap.answer->caution = knowledge->closing.caution;
    *out = swap.answer;
    return arena_status(arena);
}
