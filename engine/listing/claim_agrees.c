/* SPDX-License-Identifier: MIT */
/* One claim against one part. Sizes agree within half a unit of the last place written,
 * at least 0.1 mm; common fractions of an inch within 0.4 mm; hedged ones within 2 %. */
#include "claim_agrees.h"

#include <math.h>

static const double LEAST_WITHIN = 0.1;
static const double FRACTION_WITHIN = 0.4;
static const double HEDGED_SHARE = 0.02;
static const double MM_PER_INCH = 25.4; /* exactly, ISO 80000-3 */

bool claim_narrows(enum claim_kind kind)
{
    return kind == CLAIM_FEATURE || kind == CLAIM_SIDE || kind == CLAIM_DIMENSION ||
           kind == CLAIM_COUNT || kind == CLAIM_THREAD;
}

/* ---- reading */

/* Digits at `*at`; false: there are none. */
static bool read_digits(text a, size_t *at, double *out)
{
    const size_t from = *at;
    *out = 0;
    while (*at < a.length && is_digit(a.at[*at])) {
        *out = 10 * *out + (a.at[*at] - '0');
        (*at)++;
    }
    return *at > from;
}

/* "45", "45.5", "25/32", "1 25/32": the number, what one of its last place is (0: a
 * fraction). */
static bool read_size(text a, double *out, double *place)
{
    size_t at = 0;
    double over = 0;
    double whole = 0;
    *place = 1.0;
    if (!read_digits(a, &at, &whole)) {
        return false;
    }
    if (at < a.length && a.at[at] == '.') {
        for (at++; at < a.length && is_digit(a.at[at]); at++) {
            *place /= 10;
            whole += *place * (a.at[at] - '0');
        }
    } else if (at < a.length && (a.at[at] == ' ' || a.at[at] == '/')) {
        double under = whole;
        const bool is_mixed = a.at[at] == ' ';
        at += 1;
        over = whole;
        if (is_mixed &&
            (!read_digits(a, &at, &over) || at >= a.length || a.at[at] != '/')) {
            return false;
        }
        at += is_mixed ? 1 : 0;
        if (!read_digits(a, &at, &under) || under == 0) {
            return false;
        }
        whole = (is_mixed ? whole : 0) + over / under;
        *place = 0;
    }
    *out = whole;
    return at == a.length;
}

static void ready_sizes(const struct knowledge *knowledge, struct ready_claim *ready)
{
    const struct claim *claim = ready->claim;
    const double scale = text_is(claim->unit, "in")   ? MM_PER_INCH
                         : text_is(claim->unit, "cm") ? 10.0
                                                      : 1.0;
    size_t from = 0;
    size_t what_from = 0;
    while (from <= claim->value.length && ready->size_count < MOST_SIZES) {
        const uint32_t i = ready->size_count;
        const size_t end = text_find(claim->value, 'x', from);
        const size_t what_end = text_find(claim->what, ',', what_from);
        const text what = text_trim(text_slice(claim->what, what_from, what_end));
        double place = 0;
        double size = 0;
        if (!read_size(text_slice(claim->value, from, end), &size, &place)) {
            ready->size_count = 0;
            return;
        }
        ready->sizes[i] = size * scale;
        ready->within[i] =
            place == 0 ? FRACTION_WITHIN : fmax(LEAST_WITHIN, 0.5 * place * scale);
        if (claim->is_hedged) {
            ready->within[i] = fmax(ready->within[i], HEDGED_SHARE * ready->sizes[i]);
        }
        ready->what[i] =
            what.length == 0 ? NAME_NONE : names_find(knowledge->names, what);
        ready->size_count++;
        from = end + 1;
        what_from = what_end < claim->what.length ? what_end + 1 : claim->what.length;
    }
}

struct ready_claim claim_ready(const struct knowledge *knowledge,
                               const struct claim *claim)
{
    struct ready_claim ready = {.claim = claim};
    double count = 0;
    size_t at = 0;
    ready.value = names_find(knowledge->names, claim->value);
    ready.what[0] = names_find(knowledge->names, claim->what);
    if (claim->kind == CLAIM_DIMENSION) {
        ready_sizes(knowledge, &ready);
    } else if (claim->kind == CLAIM_COUNT && read_digits(claim->value, &at, &count)) {
        ready.count = (int64_t)count;
    }
    return ready;
}

/* ---- holding it against a part */

/* The rows of a part for `what`, which are sorted by it; NAME_NONE: all of them. */
static struct shown_list rows_of(struct shown_list list, name_id what)
{
    uint32_t low = 0;
    uint32_t high = list.count;
    if (what == NAME_NONE) {
        return list;
    }
    while (low < high && list.at[low].what != what) {
        low++;
    }
    while (high > low && list.at[high - 1].what != what) {
        high--;
    }
    return low < high ? (struct shown_list){list.at + low, high - low}
                      : (struct shown_list){0};
}

static bool size_is(const struct shown *shown, double size, double within)
{
    return size >= shown->least - within && size <= shown->greatest + within;
}

static enum agreement one_size(const struct part_show *part,
                               const struct ready_claim *ready, uint32_t i, bool is_told,
                               const struct shown **out)
{
    const struct shown_list list = rows_of(part->sizes, ready->what[i]);
    bool is_open = !is_told || (ready->what[i] == NAME_NONE);
    for (uint32_t k = 0; k < list.count; k++) {
        if (size_is(&list.at[k], ready->sizes[i], ready->within[i])) {
            *out = &list.at[k];
            return AGREES;
        }
        is_open = is_open || isnan(list.at[k].least);
        *out = *out == NULL ? &list.at[k] : *out;
    }
    if (list.count == 0 || is_open) {
        *out = NULL;
        return AGREES_UNKNOWN;
    }
    return AGREES_NOT;
}

static enum agreement sizes_agree(const struct part_show *part,
                                  const struct ready_claim *ready,
                                  const struct shown **out)
{
    enum agreement all = ready->size_count == 0 ? AGREES_UNKNOWN : AGREES;
    const bool is_told = ready->claim->what.length > 0;
    for (uint32_t i = 0; i < ready->size_count; i++) {
        const struct shown *shown = NULL;
        const enum agreement one = is_told && ready->what[i] == NAME_NONE
                                       ? AGREES_UNKNOWN
                                       : one_size(part, ready, i, is_told, &shown);
        if (one == AGREES_NOT || (one == AGREES_UNKNOWN && all == AGREES)) {
            all = one;
        }
        *out = shown != NULL && (*out == NULL || one == AGREES_NOT) ? shown : *out;
        if (one == AGREES_NOT) {
            return one;
        }
    }
    return all;
}

static enum agreement feature_agrees(const struct part_show *part, name_id feature,
                                     const struct shown **out)
{
    const struct shown_list list =
        feature == NAME_NONE ? (struct shown_list){0} : rows_of(part->features, feature);
    *out = list.count == 0 ? NULL : list.at;
    return list.count == 0 ? AGREES_UNKNOWN : list.at->has ? AGREES : AGREES_NOT;
}

static enum agreement count_agrees(const struct part_show *part,
                                   const struct ready_claim *ready,
                                   const struct shown **out)
{
    const struct shown_list list = ready->what[0] == NAME_NONE
                                       ? (struct shown_list){0}
                                       : rows_of(part->counts, ready->what[0]);
    for (uint32_t i = 0; i < list.count; i++) {
        *out = &list.at[i];
        if (list.at[i].count == ready->count) {
            return AGREES;
        }
    }
    return list.count == 0 ? AGREES_UNKNOWN : AGREES_NOT;
}

/* A circle or bolt whose thread nobody recorded may have any: it contradicts nothing. */
static enum agreement thread_agrees(const struct part_show *part,
                                    const struct ready_claim *ready,
                                    const struct shown **out)
{
    bool is_unrecorded = part->threads.count == 0;
    for (uint32_t i = 0; i < part->threads.count; i++) {
        *out = &part->threads.at[i];
        if (ready->value != NAME_NONE && part->threads.at[i].word == ready->value) {
            return AGREES;
        }
        is_unrecorded = is_unrecorded || part->threads.at[i].word == NAME_NONE;
    }
    return is_unrecorded ? AGREES_UNKNOWN : AGREES_NOT;
}

enum agreement claim_agrees(const struct listing_bench *bench,
                            const struct ready_claim *ready, uint32_t part,
                            const struct shown **shown)
{
    const struct knowledge *knowledge = bench->knowledge;
    const struct part_show *shows = &bench->shows->parts[part];
    *shown = NULL;
    const enum claim_kind kind = ready->claim->kind;
    if (kind == CLAIM_KIND) {
        return kind_is(knowledge->vocabulary, knowledge->parts[part].kind, ready->value)
                   ? AGREES
                   : AGREES_NOT;
    }
    return kind == CLAIM_DIMENSION ? sizes_agree(shows, ready, shown)
           : kind == CLAIM_COUNT   ? count_agrees(shows, ready, shown)
           : kind == CLAIM_THREAD  ? thread_agrees(shows, ready, shown)
           : kind == CLAIM_FEATURE || kind == CLAIM_SIDE
               ? feature_agrees(shows, ready->value, shown)
               : AGREES_UNKNOWN;
}
