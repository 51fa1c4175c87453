/* SPDX-License-Identifier: MIT */
#include "claim_value.h"

#include "array.h"

#include <stdlib.h>

text claim_group(const struct scanned *scanned, text plain, enum claim_group group)
{
    return scanned->groups[group].from > scanned->groups[group].end
               ? (text){"", 0}
               : text_slice(plain, scanned->groups[group].from,
                            scanned->groups[group].end);
}

/* A number in words as digits; else itself. */
static text in_digits(const struct claim_patterns *claims, text word)
{
    uint32_t low = 0;
    uint32_t high = claims->number_count;
    while (low < high) {
        const uint32_t middle = low + (high - low) / 2;
        const int order = text_compare(claims->numbers[middle].word, word);
        if (order == 0) {
            return claims->numbers[middle].value;
        }
        if (order < 0) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    return word;
}

/* Sizes: a point for a comma, no blanks but between a whole number and a fraction, no
 * zeros that say nothing. */
static text size_text(struct arena *arena, text written)
{
    char *out = arena_take(arena, written.length + 1);
    size_t length = 0;
    for (size_t i = 0; out != NULL && i < written.length; i++) {
        const char c = written.at[i];
        const bool joins = c == '-' && length > 0 && is_digit(out[length - 1]) &&
                           i + 1 < written.length && is_digit(written.at[i + 1]);
        if (c == ',') {
            out[length++] = '.';
        } else if (c == ' ' || joins) {
            const bool is_mixed = length > 0 && is_digit(out[length - 1]) &&
                                  i + 1 < written.length && is_digit(written.at[i + 1]);
            if (is_mixed) {
                out[length++] = ' ';
            }
        } else if (c == '*') {
            out[length++] = 'x';
        } else {
            out[length++] = c;
        }
    }
    return out == NULL ? (text){"", 0} : (text){out, length};
}

/* {one}, {two}, {value} … of a template filled with what the groups took part with. */
static text fill_template(struct arena *arena, text pattern,
                          const struct scanned *scanned, text plain)
{
    const char *const *words = claim_group_words();
    text all = {"", 0};
    for (size_t at = 0; at < pattern.length;) {
        const size_t end = pattern.at[at] == '{' ? text_find(pattern, '}', at) : 0;
        text part = text_slice(pattern, at, at + 1);
        size_t next = at + 1;
        for (uint32_t g = 0; end > at && end < pattern.length && words[g] != NULL; g++) {
            if (text_is(text_slice(pattern, at + 1, end), words[g])) {
                part = size_text(arena, claim_group(scanned, plain, (enum claim_group)g));
                next = end + 1;
            }
        }
        all = text_format(arena, "%.*s%.*s", TEXT_ARG(all), TEXT_ARG(part));
        at = next;
    }
    return all;
}

/* ---- years */

/* 00 to 29 are of this century, 90 to 99 of the last; 0: it is no year. */
static long year_of(text written)
{
    long year = 0;
    for (size_t i = 0; i < written.length; i++) {
        if (is_digit(written.at[i])) {
            year = 10 * year + (written.at[i] - '0');
        }
    }
    if (year < 100) {
        year += year < 30 ? 2000 : year >= 90 ? 1900 : 0;
    }
    return year >= 1900 && year <= 2100 ? year : 0;
}

/* The last year of a range may be short: 2004-7, 1998/99. */
static long last_year(text written, long first)
{
    const long year = year_of(written);
    if (written.length == 1 && first > 0) {
        return first - first % 10 + (written.at[0] - '0');
    }
    return year;
}

static text years_text(struct arena *arena, const struct scanned *scanned, text plain)
{
    const text from = claim_group(scanned, plain, GROUP_FROM);
    const text to = claim_group(scanned, plain, GROUP_TO);
    const text after = claim_group(scanned, plain, GROUP_AFTER);
    const text before = claim_group(scanned, plain, GROUP_BEFORE);
    const text one = claim_group(scanned, plain, GROUP_VALUE);
    const long first = from.length > 0    ? year_of(from)
                       : after.length > 0 ? year_of(after) + 1
                                          : 0;
    const long last = to.length > 0       ? last_year(to, first)
                      : before.length > 0 ? year_of(before) - 1
                                          : 0;
    if (one.length > 0) {
        const long year = year_of(one);
        return year == 0 ? (text){"", 0} : text_format(arena, "%ld", year);
    }
    if ((from.length > 0 || after.length > 0) && first < 1900) {
        return (text){"", 0};
    }
    if ((to.length > 0 || before.length > 0) && (last < 1900 || last < first)) {
        return (text){"", 0};
    }
    return first > 0 && last > 0 ? text_format(arena, "%ld..%ld", first, last)
           : first > 0           ? text_format(arena, "%ld..", first)
           : last > 0            ? text_format(arena, "..%ld", last)
                                 : (text){"", 0};
}

/* ---- numbers and models */

static text number_text(struct arena *arena, const struct listing_bench *bench,
                        text plain)
{
    uint32_t count = 0;
    const text key = term_key(arena, plain);
    const struct listing_term *known = terms_find(&bench->terms.numbers, key, &count);
    return known != NULL ? known->word
                         : terms_spell(arena, &bench->terms.numbers, key, false);
}

static text model_text(struct arena *arena, const struct listing_bench *bench, text plain,
                       text beside)
{
    const struct terms *models = &bench->terms.models;
    const struct listing_term *known = terms_find_model(arena, models, plain);
    if (known != NULL) {
        return known->word;
    }
    const text key = term_key(arena, plain);
    const text by_part = terms_model(models, key, beside);
    return by_part.length > 0 ? by_part : terms_spell(arena, models, key, true);
}

text claim_value(struct arena *arena, const struct listing_bench *bench,
                 const struct claim_pattern *pattern, const struct scanned *scanned,
                 text plain, text beside)
{
    const text value = claim_group(scanned, plain, GROUP_VALUE);
    const text claim = claim_group(scanned, plain, GROUP_CLAIM);
    const text written = value.length > 0 ? value
                         : claim.length > 0
                             ? claim
                             : text_slice(plain, scanned->from, scanned->end);
    if (pattern->value.length > 0) {
        return fill_template(arena, pattern->value, scanned, plain);
    }
    const enum claim_kind kind = pattern->reads;
    return kind == CLAIM_YEARS || kind == CLAIM_NOT_IN_YEARS
               ? years_text(arena, scanned, plain)
           : kind == CLAIM_NUMBER || kind == CLAIM_REPLACES
               ? number_text(arena, bench, written)
           : kind == CLAIM_FITS_ALL  ? terms_family(arena, &bench->terms.models, written)
           : kind == CLAIM_DIMENSION ? size_text(arena, written)
           : kind == CLAIM_COUNT || kind == CLAIM_QUANTITY
               ? in_digits(&bench->knowledge->claims, written)
           : kind == CLAIM_MODEL || kind == CLAIM_FITS || kind == CLAIM_FITS_NOT
               ? model_text(arena, bench, written, beside)
               : text_copy(arena, written);
}
