/* SPDX-License-Identifier: MIT */
/*
 * What a listing claims of machines, held against the parts that are left of it. The
 * seller's own word is no evidence for itself: where nothing but a kind is told, all of
 * this is not known.
 */
#include "judge_machines.h"

#include "array.h"
#include "claim_binding.h"
#include "claim_everywhere.h"

#include <stdlib.h>

enum {
    MOST_TOGETHER = 8 /* parts of a listing that are tried together */
};

bool claim_is_machine(enum claim_kind kind)
{
    return claim_is_model(kind) || kind == CLAIM_FITS_NOT || kind == CLAIM_FITS_ALL ||
           kind == CLAIM_YEARS || kind == CLAIM_NOT_IN_YEARS || kind == CLAIM_REPLACES;
}

/* The models that a claim of years is about: those the text binds it to, else all that
 * the listing says it fits. */
static status name_models(const struct subject *subject, const struct claim *of,
                          struct named_models *out)
{
    ARRAY_OF(uint32_t) models = {0};
    const struct listing_bench *bench = subject->lister->bench;
    const struct listing_answer *listing = subject->listing;
    const bool is_bound = of->first_of < of->end_of;
    for (uint32_t i = is_bound ? of->first_of : 0;
         i < (is_bound ? of->end_of : listing->claim_count); i++) {
        const struct claim *claim = &listing->claims[i];
        if (!claim_is_model(claim->kind) &&
            !(is_bound && claim->kind == CLAIM_FITS_NOT)) {
            continue;
        }
        const int model = shows_model(bench->shows, claim->value);
        out->any_unknown = out->any_unknown || model < 0;
        if (model >= 0 && !ARRAY_PUSH(subject->arena, &models, (uint32_t)model)) {
            return arena_status(subject->arena);
        }
    }
    out->at = models.at;
    out->count = models.count;
    return STATUS_OK;
}

/* The only years that the listing claims, else all. */
static struct year_range only_years(const struct listing_answer *listing)
{
    struct year_range range = {FIRST_YEAR, LAST_YEAR};
    uint32_t count = 0;
    for (uint32_t i = 0; i < listing->claim_count; i++) {
        if (listing->claims[i].kind == CLAIM_YEARS) {
            range = year_range_of(listing->claims[i].value);
            count++;
        }
    }
    return count == 1 ? range : (struct year_range){FIRST_YEAR, LAST_YEAR};
}

static status years_claim_agrees(struct subject *subject, const struct claim *claim,
                                 struct sold sold, enum agreement *out,
                                 struct reason *why)
{
    struct named_models models = {0};
    TRY(name_models(subject, claim, &models));
    return claim->kind == CLAIM_YEARS
               ? years_agree(subject->lister, sold, claim->value, &models, out, why)
               : nowhere_agrees(subject->lister, sold, year_range_of(claim->value),
                                &models, out, why);
}

static status model_claim_agrees(struct subject *subject, const struct claim *claim,
                                 struct sold sold, enum agreement *out,
                                 struct reason *why)
{
    const struct listing_bench *bench = subject->lister->bench;
    const int model = shows_model(bench->shows, claim->value);
    if (model < 0) {
        why->why = TEXT("nobody recorded this model");
        return STATUS_OK;
    }
    const uint32_t index = (uint32_t)model;
    if (claim->kind == CLAIM_FITS_NOT && claim->first_of < claim->end_of) {
        const struct named_models only = {.at = &index, .count = 1};
        const text years = subject->listing->claims[claim->first_of].value;
        return nowhere_agrees(subject->lister, sold, year_range_of(years), &only, out,
                              why);
    }
    TRY(model_agrees(subject->lister, sold, index, out, why));
    if (claim->kind == CLAIM_FITS_NOT && *out != AGREES_UNKNOWN) {
        *out = *out == AGREES ? AGREES_NOT : AGREES;
    }
    return STATUS_OK;
}

static status replaces_claim_agrees(struct subject *subject, const struct claim *claim,
                                    struct sold sold, enum agreement *out,
                                    struct reason *why)
{
    uint32_t other = 0;
    if (!number_is_known(subject, claim, &other)) {
        why->why = TEXT("nobody recorded this number");
        return STATUS_OK;
    }
    return replaces_agrees(subject->lister, sold, other, out, why);
}

static status one_agrees(struct subject *subject, const struct claim *claim,
                         struct sold sold, enum agreement *out, struct reason *why)
{
    *out = AGREES_UNKNOWN;
    return claim->kind == CLAIM_YEARS || claim->kind == CLAIM_NOT_IN_YEARS
               ? years_claim_agrees(subject, claim, sold, out, why)
           : claim->kind == CLAIM_REPLACES
               ? replaces_claim_agrees(subject, claim, sold, out, why)
           : claim->kind == CLAIM_FITS_ALL
               ? everywhere_agrees(subject->lister, sold, only_years(subject->listing),
                                   claim->value, out, why)
               : model_claim_agrees(subject, claim, sold, out, why);
}

/* Against the parts that one subject can be. */
static status judge_alone(struct subject *subject, const struct claim *claim,
                          enum judgement *out, struct reason *why)
{
    uint32_t yes = 0;
    uint32_t no = 0;
    *out = JUDGED_NOT_KNOWN;
    why->why = TEXT("nothing that is recorded tells which part it is");
    if (!subject->is_narrowed || subject->left_count == 0) {
        return STATUS_OK;
    }
    if (subject->left_count > MOST_HELD) {
        why->why = TEXT("too many parts are left");
        return STATUS_OK;
    }
    for (uint32_t i = 0; i < subject->left_count; i++) {
        enum agreement agrees = AGREES_UNKNOWN;
        struct reason reason = {0};
        TRY(one_agrees(subject, claim, (struct sold){&subject->left[i], 1}, &agrees,
                       &reason));
        yes += agrees == AGREES ? 1 : 0;
        no += agrees == AGREES_NOT ? 1 : 0;
        *why = i == 0 ? reason : *why;
    }
    *out = yes == subject->left_count  ? JUDGED_SUPPORTED
           : no == subject->left_count ? JUDGED_CONTRADICTED
                                       : JUDGED_NOT_KNOWN;
    if (*out == JUDGED_NOT_KNOWN && yes > 0) {
        why->why = text_format(subject->arena, "true of %u of the %u parts that are left",
                               yes, subject->left_count);
    }
    return STATUS_OK;
}

/* ---- several parts */

static int compare_parts(const void *a, const void *b)
{
    const uint32_t left = *(const uint32_t *)a;
    const uint32_t right = *(const uint32_t *)b;
    return (left > right) - (left < right);
}

/* All parts of the listing, each once; none where one part may still be several. */
static struct sold all_together(const struct subject *subjects, uint32_t count)
{
    struct sold sold = {0};
    if (count < 2 || count > MOST_TOGETHER) {
        return sold;
    }
    uint32_t *parts = ARENA_MANY(subjects->arena, count, uint32_t);
    for (uint32_t s = 0; s < count; s++) {
        if (parts == NULL || subjects[s].left_count != 1 || !subjects[s].is_narrowed) {
            return sold;
        }
        parts[s] = subjects[s].left[0];
    }
    qsort(parts, count, sizeof *parts, compare_parts);
    for (uint32_t s = 1; s < count; s++) {
        if (parts[s] == parts[s - 1]) {
            return sold;
        }
    }
    return (struct sold){parts, count};
}

/* What all together say: it may help where none alone does, and of a set it decides. */
static status judge_together(struct subject *subjects, struct claim *claim,
                             struct sold sold, bool *decides)
{
    const bool is_set = subjects->listing->is_set;
    enum agreement agrees = AGREES_UNKNOWN;
    struct reason why = {0};
    if (sold.count == 0 || claim->kind == CLAIM_REPLACES ||
        (claim->judgement == JUDGED_SUPPORTED && !is_set)) {
        return STATUS_OK;
    }
    TRY(one_agrees(subjects, claim, sold, &agrees, &why));
    if (agrees == AGREES || (is_set && agrees == AGREES_NOT)) {
        claim_judge(claim, agrees == AGREES ? JUDGED_SUPPORTED : JUDGED_CONTRADICTED,
                    why.why);
        claim->chain = why.question;
        *decides = true;
    }
    return STATUS_OK;
}

/* With several parts it is enough that it is true of one. */
static status judge_claim(struct subject *subjects, uint32_t count, struct claim *claim)
{
    bool is_first = true;
    for (uint32_t s = 0; s < count; s++) {
        enum judgement judgement = JUDGED_NOT_KNOWN;
        struct reason why = {0};
        TRY(judge_alone(&subjects[s], claim, &judgement, &why));
        if (is_first || judgement == JUDGED_SUPPORTED ||
            (judgement == JUDGED_NOT_KNOWN && claim->judgement == JUDGED_CONTRADICTED)) {
            claim_judge(claim, judgement, why.why);
            claim->chain = why.question;
            is_first = false;
        }
        if (judgement == JUDGED_SUPPORTED) {
            break;
        }
    }
    return STATUS_OK;
}

status judge_machines(struct subject *subjects, struct listing_answer *listing,
                      const uint32_t **set)
{
    const struct sold sold = all_together(subjects, listing->part_count);
    bool decides = false;
    for (uint32_t i = 0; i < listing->claim_count; i++) {
        struct claim *claim = &listing->claims_made[i];
        if (claim_is_machine(claim->kind)) {
            TRY(judge_claim(subjects, listing->part_count, claim));
            TRY(judge_together(subjects, claim, sold, &decides));
        }
    }
    *set = decides ? sold.parts : NULL;
    return arena_status(subjects->arena);
}
