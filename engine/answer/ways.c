/* SPDX-License-Identifier: MIT */
/* Lists of ways and gauges in words. */
#include "ways.h"

#include "nearest.h"

static bool is_gap(char c)
{
    return is_blank(c) || c == ',';
}

text way_next(text words, size_t *at)
{
    while (*at < words.length && is_gap(words.at[*at])) {
        (*at)++;
    }
    const size_t from = *at;
    while (*at < words.length && !is_gap(words.at[*at])) {
        (*at)++;
    }
    return text_slice(words, from, *at);
}

bool way_is_among(text words, text way)
{
    size_t at = 0;
    for (text word = way_next(words, &at); word.length > 0; word = way_next(words, &at)) {
        if (text_equal(word, way)) {
            return true;
        }
    }
    return false;
}

static status no_gauge(const struct tables *tables, const struct question *question,
                       size_t end, text word, struct diagnostics *diagnostics)
{
    struct nearest near = nearest_to(word);
    for (uint32_t i = 0; i < tables->gauge_count; i++) {
        nearest_offer(&near, tables->gauges[i].name);
    }
    span where = question->gauges_where;
    where.at += (uint32_t)(end - word.length);
    where.length = (uint32_t)word.length;
    struct diagnostic *report =
        diagnostics_report(diagnostics, CODE_QUESTION_WRONG, where,
                           "there is no gauge \"%.*s\"", TEXT_ARG(word));
    report->expected =
        TEXT("gauges of the facts, with commas between: caliper, micrometer");
    report->nearest = near.best;
    return STATUS_INVALID;
}

status gauges_check(const struct knowledge *knowledge, const struct question *question,
                    struct diagnostics *diagnostics)
{
    const struct tables *tables = &knowledge->tables;
    size_t at = 0;
    for (text word = way_next(question->gauges, &at); word.length > 0;
         word = way_next(question->gauges, &at)) {
        if (tables_gauge(tables, word) == NULL) {
            return no_gauge(tables, question, at, word, diagnostics);
        }
    }
    return STATUS_OK;
}
