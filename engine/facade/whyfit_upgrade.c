/* SPDX-License-Identifier: MIT */
/* What the public interface tells of change sets. */
#include "facade_private.h"

#include "upgrade.h"

#include <math.h>

/* The i-th set, those that work before those that are not known in each search. */
static const struct change_set_answer *set_at(const whyfit_answer *answer, size_t i,
                                              size_t *search, bool *is_known)
{
    const struct upgrade *upgrade = answer->answer->upgrade;
    for (uint32_t k = 0; upgrade != NULL && k < upgrade->search_count; k++) {
        const struct upgrade_search *one = &upgrade->searches[k];
        *search = k;
        *is_known = i < one->set_count;
        if (i < one->set_count) {
            return &one->sets[i];
        }
        i -= one->set_count;
        if (i < one->not_known_count) {
            return &one->not_known[i];
        }
        i -= one->not_known_count;
    }
    return NULL;
}

static double hours(double seconds)
{
    struct unit hour = {.scale = 1};
    (void)unit_find(TEXT("h"), &hour);
    return unit_from_coherent(&hour, seconds);
}

bool whyfit_answer_change_set(const whyfit_answer *answer, size_t i,
                              whyfit_change_set *set)
{
    size_t search = 0;
    bool is_known = false;
    struct unit unit = {.symbol = ""};
    const struct change_set_answer *from = set_at(answer, i, &search, &is_known);
    if (from == NULL) {
        return false;
    }
    if (from->cost.is_priced) {
        (void)unit_shown(from->cost.currency, &unit);
    }
    *set = (whyfit_change_set){.search = search,
                               .is_known = is_known,
                               .verdict = (whyfit_verdict)from->swap->verdict,
                               .change_count = from->swap->change_count,
                               .pieces = from->cost.pieces,
                               .price = from->cost.is_priced ? from->cost.price : NAN,
                               .currency = from->cost.price > 0 ? unit.symbol : "",
                               .labour = hours(from->cost.labour)};
    return true;
}

bool whyfit_answer_change(const whyfit_answer *answer, size_t set, size_t i,
                          whyfit_pair *change)
{
    size_t search = 0;
    bool is_known = false;
    const struct change_set_answer *from = set_at(answer, set, &search, &is_known);
    if (from == NULL || i >= from->swap->change_count) {
        return false;
    }
    change->name = text_copy(answer->arena, from->swap->changes[i].name).at;
    change->value = text_copy(answer->arena, from->swap->changes[i].value).at;
    return true;
}

uint64_t whyfit_answer_tried(const whyfit_answer *answer, bool *is_cut)
{
    const struct upgrade *upgrade = answer->answer->upgrade;
    *is_cut = upgrade != NULL && upgrade->is_cut;
    return upgrade == NULL ? 0 : upgrade->tried;
}
