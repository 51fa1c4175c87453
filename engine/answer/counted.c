/* SPDX-License-Identifier: MIT */
/*
 * Judges by difference from the host. A finding counts only where the swap can have
 * changed it; where the host's does not hold either, what counts is whether the swap
 * makes it worse. Host and swap share the deviations of the pieces that stay, so those
 * cancel in the difference.
 */
#include "swap_private.h"

static bool same_margin(const struct finding *a, const struct finding *b)
{
    return a->outcome == b->outcome &&
           value_equal(value_quantity(a->margin), value_quantity(b->margin));
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
        form_subtract(swap->arena, finding->margin, finding->host->margin);
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
    } else if (!is_changed && same_margin(finding, finding->host)) {
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
