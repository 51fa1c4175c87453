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

static bool same_doubt(struct doubt a, struct doubt b)
{
    bool is_same = a.count == b.count;
    for (uint32_t i = 0; is_same && i < a.count; i++) {
        is_same = text_equal(a.of[i]->name, b.of[i]->name);
    }
    return is_same;
}

/* A number of rows of the host as the swap would call it: what the swap takes out is
 * called after its place, "seal (before)". Any other dimension as it is. */
static const struct deviation *as_in_swap(const struct swap *swap,
                                          const struct deviation *of)
{
    static const text mark = {MINT_BEFORE, sizeof MINT_BEFORE - 1};
    struct arena *arena = swap->arena;
    struct deviation *made = NULL;
    if (of->kind != DEVIATION_COUNTED) {
        return of;
    }
    made = arena_copy(arena, of, sizeof *of);
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
    if (!same_doubt(finding->doubt, finding->host->doubt)) {
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
