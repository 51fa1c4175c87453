/* SPDX-License-Identifier: MIT */
/* Which gauge reads a dimension, of those that the vocabulary names and that are at hand.
 */
#include "measure_private.h"

#include "nearest.h"

#include <math.h>

/* The next of the words that blanks or commas part; empty: there are no more. */
static text next_word(text words, size_t *at)
{
    while (*at < words.length && (words.at[*at] == ' ' || words.at[*at] == ',')) {
        (*at)++;
    }
    const size_t from = *at;
    while (*at < words.length && words.at[*at] != ' ' && words.at[*at] != ',') {
        (*at)++;
    }
    return text_slice(words, from, *at);
}

static bool has_word(text words, text wanted)
{
    size_t at = 0;
    for (text word = next_word(words, &at); word.length > 0;
         word = next_word(words, &at)) {
        if (text_equal(word, wanted)) {
            return true;
        }
    }
    return false;
}

/* A dimension that nobody recorded may lie in the range of any. */
static bool is_in_range(const struct gauge *gauge, const struct deviation *of)
{
    const double size = fabs(of->nominal);
    return of->basis == BASIS_MISSING ||
           (size >= gauge->least && size <= gauge->greatest);
}

const struct gauge *gauge_for(const struct measuring *measuring, text words,
                              const struct deviation *of, double enough)
{
    const text at_hand = measuring->question->gauges;
    const struct gauge *best = NULL;
    size_t at = 0;
    for (text word = next_word(words, &at); word.length > 0;
         word = next_word(words, &at)) {
        const struct gauge *gauge = tables_gauge(&measuring->knowledge->tables, word);
        if (gauge == NULL || !is_in_range(gauge, of) ||
            (at_hand.length > 0 && !has_word(at_hand, word))) {
            continue;
        }
        const bool is_fine = gauge->figure <= enough;
        const bool best_is_fine = best != NULL && best->figure <= enough;
        if (best == NULL || (is_fine && !best_is_fine) ||
            (is_fine == best_is_fine &&
             (is_fine ? gauge->figure > best->figure : gauge->figure < best->figure))) {
            best = gauge;
        }
    }
    return best;
}

status gauges_check(const struct measuring *measuring)
{
    const struct tables *tables = &measuring->knowledge->tables;
    const struct question *question = measuring->question;
    size_t at = 0;
    for (text word = next_word(question->gauges, &at); word.length > 0;
         word = next_word(question->gauges, &at)) {
        if (tables_gauge(tables, word) != NULL) {
            continue;
        }
        struct nearest near = nearest_to(word);
        for (uint32_t i = 0; i < tables->gauge_count; i++) {
            nearest_offer(&near, tables->gauges[i].name);
        }
        span where = question->gauges_where;
        where.at += (uint32_t)(at - word.length);
        where.length = (uint32_t)word.length;
        struct diagnostic *report =
            diagnostics_report(measuring->diagnostics, CODE_QUESTION_WRONG, where,
                               "there is no gauge \"%.*s\"", TEXT_ARG(word));
        report->expected = TEXT("gauges of the facts, with commas between: caliper, "
                                "micrometer");
        report->nearest = near.best;
        return STATUS_INVALID;
    }
    return STATUS_OK;
}
