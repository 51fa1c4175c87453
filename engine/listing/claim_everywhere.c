/* SPDX-License-Identifier: MIT */
#include "claim_everywhere.h"

/* Why one stretch tells, with its model, which the words of a stretch leave out. */
static void tell(struct lister *lister, uint32_t model,
                 const struct stretch_of_years *one, struct reason *why)
{
    const struct listing_bench *bench = lister->bench;
    *why = (struct reason){text_format(lister->listing_arena, "%.*s %d to %d: %.*s",
                                       TEXT_ARG(bench->shows->models[model]), one->from,
                                       one->to, TEXT_ARG(one->why)),
                           one->question};
}

static bool meets(const struct stretch_of_years *one, struct year_range range)
{
    return one->from <= range.to && one->to >= range.from;
}

/* Counts what goes, goes not and is open in a range; the first that goes as `wanted` says
 * is told. */
struct going_tally {
    uint32_t goes;
    uint32_t goes_not;
    uint32_t open;
    bool is_told;
};

static status count_model(struct lister *lister, struct sold sold, uint32_t model,
                          struct year_range range, enum going wanted,
                          struct going_tally *tally, struct reason *why)
{
    struct going_on going;
    TRY(goes_on(lister, sold.parts, sold.count, model, &going));
    for (uint32_t i = 0; i < going.count; i++) {
        const struct stretch_of_years *one = &going.at[i];
        if (!meets(one, range)) {
            continue;
        }
        tally->goes += one->going == GOES ? 1 : 0;
        tally->goes_not += one->going == GOES_NOT ? 1 : 0;
        tally->open += one->going == GOES_UNKNOWN ? 1 : 0;
        if (!tally->is_told && (one->going == wanted || why->why.length == 0)) {
            tell(lister, model, one, why);
            tally->is_told = one->going == wanted;
        }
    }
    return arena_status(lister->listing_arena);
}

status nowhere_agrees(struct lister *lister, struct sold sold, struct year_range range,
                      const struct named_models *models, enum agreement *out,
                      struct reason *why)
{
    struct going_tally tally = {0};
    const bool are_named = models->count > 0;
    const uint32_t count = are_named ? models->count : lister->bench->shows->model_count;
    for (uint32_t m = 0; m < count; m++) {
        TRY(count_model(lister, sold, are_named ? models->at[m] : m, range, GOES, &tally,
                        why));
    }
    /* of machines that nobody named an open one is no doubt: it is not meant for them */
    *out = tally.goes > 0 ? AGREES_NOT
           : (are_named ? tally.open > 0 : tally.goes_not == 0) || models->any_unknown
               ? AGREES_UNKNOWN
               : AGREES;
    return STATUS_OK;
}

static text model_of(const struct lister *lister, uint32_t model)
{
    const struct listing_bench *bench = lister->bench;
    return bench->shows->models[model];
}

static bool same_family(text a, text b)
{
    return text_equal(text_slice(a, 0, text_find(a, ' ', 0)),
                      text_slice(b, 0, text_find(b, ' ', 0)));
}

/* Whether it surely goes on some model of the family of one. */
static status is_for_family(struct lister *lister, struct sold sold, text model,
                            bool *out)
{
    const uint32_t count = lister->bench->shows->model_count;
    const struct year_range all = {FIRST_YEAR, LAST_YEAR};
    *out = false;
    for (uint32_t m = 0; !*out && m < count; m++) {
        struct going_tally tally = {0};
        struct reason unused = {0};
        if (same_family(model_of(lister, m), model)) {
            TRY(count_model(lister, sold, m, all, GOES, &tally, &unused));
            *out = tally.goes > 0;
        }
    }
    return STATUS_OK;
}

status everywhere_agrees(struct lister *lister, struct sold sold, struct year_range range,
                         text family, enum agreement *out, struct reason *why)
{
    struct going_tally tally = {0};
    const bool is_any = text_is(family, "all");
    for (uint32_t m = 0; m < lister->bench->shows->model_count; m++) {
        bool is_meant = same_family(model_of(lister, m), family);
        if (is_any) {
            TRY(is_for_family(lister, sold, model_of(lister, m), &is_meant));
        }
        if (is_meant) {
            TRY(count_model(lister, sold, m, range, GOES_NOT, &tally, why));
        }
    }
    *out = tally.goes_not > 0                  ? AGREES_NOT
           : tally.open > 0 || tally.goes == 0 ? AGREES_UNKNOWN
                                               : AGREES;
    return STATUS_OK;
}

status replaces_agrees(struct lister *lister, struct sold sold, uint32_t other,
                       enum agreement *out, struct reason *why)
{
    struct going_tally tally = {0};
    for (uint32_t m = 0; m < lister->bench->shows->model_count; m++) {
        struct going_on old;
        TRY(goes_on(lister, &other, 1, m, &old));
        for (uint32_t i = 0; i < old.count; i++) {
            if (old.at[i].going == GOES) {
                const struct year_range range = {old.at[i].from, old.at[i].to};
                TRY(count_model(lister, sold, m, range, GOES_NOT, &tally, why));
            }
        }
    }
    *out = tally.goes_not > 0                  ? AGREES_NOT
           : tally.open > 0 || tally.goes == 0 ? AGREES_UNKNOWN
                                               : AGREES;
    return STATUS_OK;
}
