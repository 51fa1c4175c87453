/* SPDX-License-Identifier: MIT */
/* What has to be at hand for a swap: the new parts, what comes or goes with them, and
 * what its mends renew or add. */
#include "upgrade_private.h"

#include <stdlib.h>

const char *part_reason_word(enum part_reason reason)
{
    static const char *const words[] = {"asked", "comes with", "goes with", "renewed",
                                        "bought"};
    return words[reason];
}

typedef ARRAY_OF(struct set_part) part_array;

static const struct outlay *outlay_of(const struct knowledge *knowledge, name_id with)
{
    const struct part *part = knowledge_part(knowledge, with);
    const struct recipe *recipe = part == NULL ? knowledge_recipe(knowledge, with) : NULL;
    return part != NULL ? &part->outlay : recipe != NULL ? &recipe->outlay : NULL;
}

static bool add_part(struct swap *swap, part_array *list, name_id place, name_id with,
                     enum part_reason reason)
{
    const struct names *names = swap->layer.names;
    const struct set_part part = {.place = names_text(names, place),
                                  .part = names_text(names, with),
                                  .reason = reason,
                                  .outlay = outlay_of(swap->knowledge, with)};
    for (uint32_t i = 0; i < list->count; i++) {
        if (text_equal(list->at[i].place, part.place) &&
            text_equal(list->at[i].part, part.part)) {
            return true;
        }
    }
    return ARRAY_PUSH(swap->arena, list, part);
}

/* The number in a place; of somebody's own piece the one it is of. */
static name_id number_in(const struct minted_place *place)
{
    return place->part != NULL && place->part->like != NAME_NONE ? place->part->like
                                                                 : place->with;
}

/* PLACE=another, or PLACE=PART, as a chosen mend was tried. */
static bool add_mend(struct swap *swap, part_array *list, const struct tried_mend *mend)
{
    const size_t equals = text_find(mend->tried, '=', 0);
    const struct names *names = swap->layer.names;
    const name_id place = names_find(names, text_slice(mend->tried, 0, equals));
    const text value = text_slice(mend->tried, equals + 1, mend->tried.length);
    if (text_is(value, "another")) {
        for (uint32_t i = 0; i < swap->swapped.place_count; i++) {
            const struct minted_place *at = &swap->swapped.places[i];
            if (at->place == place && at->with != NAME_NONE) {
                return add_part(swap, list, place, number_in(at), PART_RENEWED);
            }
        }
        return true;
    }
    return add_part(swap, list, place, names_find(names, value), PART_BOUGHT);
}

static int compare_parts(const void *a, const void *b)
{
    const struct set_part *left = a;
    const struct set_part *right = b;
    const int place = text_compare(left->place, right->place);
    return place != 0 ? place : (int)left->reason - (int)right->reason;
}

status swap_parts(struct swap *swap, const struct set_part **out, uint32_t *count)
{
    part_array list = {0};
    bool is_pushed = true;
    for (uint32_t i = 0; i < swap->swapped.place_count; i++) {
        const struct minted_place *place = &swap->swapped.places[i];
        if (place->is_changed && place->with != NAME_NONE && !place->is_flipped) {
            is_pushed = is_pushed && add_part(swap, &list, place->place, place->with,
                                              !place->is_brought  ? PART_ASKED
                                              : place->is_claimed ? PART_GOES_WITH
                                                                  : PART_COMES_WITH);
        }
    }
    for (uint32_t i = 0; i < swap->answer->mend_count; i++) {
        const struct tried_mend *mend = &swap->answer->mends[i];
        if (mend->is_chosen && (mend->kind == MEND_RENEW || mend->kind == MEND_BUY)) {
            is_pushed = is_pushed && add_mend(swap, &list, mend);
        }
    }
    if (list.count > 1) {
        qsort(list.at, list.count, sizeof *list.at, compare_parts);
    }
    *out = list.at;
    *count = list.count;
    return is_pushed ? STATUS_OK : arena_status(swap->arena);
}
