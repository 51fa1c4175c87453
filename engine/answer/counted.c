/* SPDX-License-Identifier: MIT */
/*
 * Judges by difference from the host. A finding counts only where the swap can have
 * changed it; where the host's does not hold either, what counts is whether the swap
 * makes it worse. Host and swap share the deviations of the pieces that stay, so those
 * cancel in the difference.
 */
#include "mint_fill.h"
#include "swap_private.h"

/* ---- the host's numbers of rows */

/* What the swap has in the host's place, where that is the same number. */
static const struct minted_place *same_number(const struct swap *swap,
                                              const struct minted_place *before)
{
    for (uint32_t i = 0; i < swap->swapped.place_count; i++) {
        const struct minted_place *now = &swap->swapped.places[i];
        if (now->place == before->place) {
            return now->with == before->with && now->is_turned == before->is_turned
                       ? now
                       : NULL;
        }
    }
    return NULL;
}

/* Whether all parts of a number share it: words and choices, and how what they are made
 * of grows. */
static bool is_of_the_number(const struct deviation *of)
{
    struct dimension expansion = DIMENSION_RATIO;
    return dimension_find(TEXT("expansion"), &expansion) &&
           ((of->basis == BASIS_MISSING && dimension_equal(of->dim, DIMENSION_RATIO)) ||
            dimension_equal(of->dim, expansion));
}

/* The host's name of something missing as the swap would call it where it fits the same
 * number new: what nobody says of a part is as unsaid of the next one. */
static text as_of_the_same_part(const struct swap *swap, text name)
{
    for (uint32_t i = 0; i < swap->host.place_count; i++) {
        const struct minted_place *before = &swap->host.places[i];
        const struct minted_place *now = same_number(swap, before);
        const text piece = names_text(swap->layer.names, before->piece);
        const bool is_of_piece =
            text_starts(name, piece) && name.length > piece.length &&
            (name.at[piece.length] == '.' || name.at[piece.length] == ':');
        if (now != NULL && is_of_piece) {
            const text now_piece = names_text(swap->layer.names, now->piece);
            return text_format(swap->arena, "%.*s%.*s", TEXT_ARG(now_piece),
                               TEXT_ARG(text_slice(name, piece.length, name.length)));
        }
    }
    return name;
}

static bool same_doubt(const struct swap *swap, struct doubt now, struct doubt before)
{
    bool is_same = now.count == before.count;
    for (uint32_t i = 0; is_same && i < now.count; i++) {
        const struct deviation *of = before.of[i];
        is_same = text_equal(now.of[i]->name, of->name) ||
                  (is_of_the_number(of) &&
                   text_equal(now.of[i]->name, as_of_the_same_part(swap, of->name)));
    }
    return is_same;
}

/* A number of rows of the host as the swap would call it: what the swap takes out is
 * called after its place, "seal (before)"; so is what all parts of its number share. Any
 * other dimension as it is. */
static const struct deviation *as_in_swap(const struct swap *swap,
                                          const struct deviation *of)
{
    static const text mark = {MINT_BEFORE, sizeof MINT_BEFORE - 1};
    struct arena *arena = swap->arena;
    struct deviation *made = NULL;
    const bool is_shared = is_of_the_number(of);
    if (of->kind != DEVIATION_COUNTED && !is_shared) {
        return of;
    }
    made = arena_copy(arena, of, sizeof *of);
    if (made != NULL && is_shared) {
        made->name = as_of_the_same_part(swap, of->name);
        return made;
    }
    for (size_t at = 0; made != NULL && at + mark.length <= made->name.length;) {
        const text rest = text_slice(made->name, at, made->name.length);
        if (text_starts(rest, mark)) {
            made->name =
                text_format(arena, "%.*s%.*s", TEXT_ARG(text_slice(made->name, 0, at)),
                            TEXT_ARG(text_slice(rest, mark.length, rest.length)));
        } else {
            at++;
        }
    }
    return made;
}

/* Forms keep their dimensions sorted by name. */
static void sort_terms(struct form_term *terms, uint32_t count)
{
    for (uint32_t i = 1; i < count; i++) {
        const struct form_term moving = terms[i];
        uint32_t to = i;
        for (; to > 0 && text_compare(moving.of->name, terms[to - 1].of->name) < 0;
             to--) {
            terms[to] = terms[to - 1];
        }
        terms[to] = moving;
    }
}

static void sort_absorbed(const struct deviation **list, uint32_t count)
{
    for (uint32_t i = 1; i < count; i++) {
        const struct deviation *moving = list[i];
        uint32_t to = i;
        for (; to > 0 && text_compare(moving->name, list[to - 1]->name) < 0; to--) {
            list[to] = list[to - 1];
        }
        list[to] = moving;
    }
}

/* The host's margin. Where the same dimensions of the same pieces leave open how many
 * rows a unit has, host and swap have the same number of them: then it cancels. NULL: out
 * of memory. */
static const struct form *host_margin(const struct swap *swap,
                                      const struct finding *finding)
{
    const struct form *margin = finding->host->margin;
    if (!same_doubt(swap, finding->doubt, finding->host->doubt)) {
        return margin;
    }
    struct form *made = arena_copy(swap->arena, margin, sizeof *margin);
    struct form_term *terms =
        arena_copy(swap->arena, margin->terms, margin->term_count * sizeof *terms);
    const struct deviation **absorbed = arena_copy(
        swap->arena, margin->absorbed, margin->absorbed_count * sizeof *absorbed);
    if (made == NULL || terms == NULL || absorbed == NULL) {
        return NULL;
    }
    for (uint32_t i = 0; i < margin->term_count; i++) {
        terms[i].of = as_in_swap(swap, terms[i].of);
    }
    for (uint32_t i = 0; i < margin->absorbed_count; i++) {
        absorbed[i] = as_in_swap(swap, absorbed[i]);
    }
    if (arena_status(swap->arena) != STATUS_OK) {
        return NULL;
    }
    sort_terms(terms, margin->term_count);
    sort_absorbed(absorbed, margin->absorbed_count);
    made->terms = terms;
    made->absorbed = absorbed;
    return made;
}

/* ---- what counts */

static bool same_margin(const struct swap *swap, const struct finding *finding)
{
    return finding->outcome == finding->host->outcome &&
           value_equal(value_quantity(finding->margin),
                       value_quantity(host_margin(swap, finding)));
}

/* Whether it lies inside a unit that was put in whole, ran, and keeps its pieces and
 * settings. */
static bool is_as_it_ran(const struct swap *swap, const struct finding *finding)
{
    const struct minted_place *place =
        unit_place_of(&swap->layer, &swap->swapped, finding->row->key[0]);
    return place != NULL && place->is_changed && place->recipe != NULL &&
           place->recipe->ran;
}

static void settle(struct finding *finding, enum counted counted, bool counts)
{
    finding->counted = counted;
    finding->counts = counts;
}

/* The host's margin does not hold either: does the swap make it worse? */
static void count_worse(struct swap *swap, struct finding *finding)
{
    const struct form *difference =
        form_subtract(swap->arena, finding->margin, host_margin(swap, finding));
    if (difference == NULL) {
        return;
    }
    switch (form_outcome(difference)) {
    case OUTCOME_HOLDS:
        settle(finding, NOT_COUNTED_NO_WORSE, false);
        return;
    case OUTCOME_FAILS:
        settle(finding, COUNTED_AS_FOUND, true);
        return;
    case OUTCOME_UNSURE:
    case OUTCOME_UNKNOWN:
        break;
    }
    if (finding->outcome == OUTCOME_FAILS) {
        finding->outcome = OUTCOME_UNSURE;
    }
    settle(finding, COUNTED_MAY_BE_WORSE, true);
}

static void count(struct swap *swap, struct finding *finding)
{
    const uint32_t index = chain_of(&swap->chain, finding->row);
    const bool is_changed =
        swap->chain.result == STATUS_OK && swap->chain.nodes.at[index].is_changed;
    if (is_as_it_ran(swap, finding)) {
        settle(finding, NOT_COUNTED_AS_IT_RAN, false);
    } else if (finding->host == NULL) {
        settle(finding, COUNTED_NEW, true);
    } else if (!is_changed && same_margin(swap, finding)) {
        settle(finding, NOT_COUNTED_AS_BEFORE, false);
    } else if (finding->outcome != OUTCOME_HOLDS &&
               finding->host->outcome != OUTCOME_HOLDS &&
               finding->rule->judged != JUDGED_ABSOLUTELY) {
        count_worse(swap, finding);
    } else {
        settle(finding, COUNTED_CHANGED, true);
    }
}

status findings_count(struct swap *swap)
{
    for (uint32_t i = 0; i < swap->findings.count; i++) {
        count(swap, &swap->findings.at[i]);
    }
    TRY(swap->chain.result);
    return arena_status(swap->arena);
}
