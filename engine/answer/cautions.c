/* SPDX-License-Identifier: MIT */
/* How people get hurt is the vocabulary's to say (`dangers` of a kind), and what is said
 * of it the closing's. */
#include "swap_private.h"

static bool has_danger(const struct vocabulary *vocabulary, const struct kind *kind,
                       name_id danger)
{
    for (; kind != NULL;
         kind = kind->parent == 0 ? NULL : &vocabulary->kinds[kind->parent - 1]) {
        for (uint32_t i = 0; i < kind->danger_count; i++) {
            if (kind->dangers[i] == danger) {
                return true;
            }
        }
    }
    return false;
}

static bool is_met(const struct swap *swap, name_id danger)
{
    const struct vocabulary *vocabulary = swap->knowledge->vocabulary;
    for (uint32_t i = 0; i < swap->swapped.place_count; i++) {
        const struct minted_place *place = &swap->swapped.places[i];
        const struct kind *kind =
            place->part != NULL ? place->part->kind
            : place->recipe == NULL || place->recipe->kind == NAME_NONE
                ? NULL
                : vocabulary_kind(vocabulary, place->recipe->kind);
        if (place->is_changed && has_danger(vocabulary, kind, danger)) {
            return true;
        }
    }
    return false;
}

text cautions_gather(struct swap *swap)
{
    const struct closing *closing = &swap->knowledge->closing;
    text all = closing->caution;
    for (uint32_t i = 0; i < closing->caution_count; i++) {
        if (is_met(swap, closing->cautions[i].danger)) {
            all = text_format(swap->arena, "%.*s %.*s", TEXT_ARG(all),
                              TEXT_ARG(closing->cautions[i].caution));
        }
    }
    return all;
}
