/* SPDX-License-Identifier: MIT */
/*
 * The answer to `measure` in words: a sheet to take to the bench, with a blank to write
 * each reading in, and the question to ask again with the readings.
 */
#include "phrases.h"

#include <math.h>

static const char *outcome_plain(enum outcome outcome)
{
    switch (outcome) {
    case OUTCOME_HOLDS:
        return "good";
    case OUTCOME_FAILS:
        return "no good";
    case OUTCOME_UNSURE:
    case OUTCOME_UNKNOWN:
        break;
    }
    return "this alone does not tell";
}

static text magnitude(struct arena *arena, const struct measurement *item, double value)
{
    return magnitude_write(arena, item->of->dim, value, -1);
}

/* "below 41.8 mm no good", "41.8 mm to 42.3 mm this alone does not tell". */
static text stretch_text(struct arena *arena, const struct measurement *item,
                         const struct reading_stretch *stretch)
{
    const char *word = outcome_plain(stretch->outcome);
    const text from = magnitude(arena, item, stretch->from);
    const text to = magnitude(arena, item, stretch->to);
    return isinf(stretch->from) && isinf(stretch->to)
               ? text_format(arena, "whatever it reads %s", word)
           : isinf(stretch->from)
               ? text_format(arena, "below %.*s %s", TEXT_ARG(to), word)
           : isinf(stretch->to)
               ? text_format(arena, "from %.*s on %s", TEXT_ARG(from), word)
               : text_format(arena, "%.*s to %.*s %s", TEXT_ARG(from), TEXT_ARG(to),
                             word);
}

text measure_for(struct arena *arena, const struct reading_use *use)
{
    return text_format(arena, "%.*s%s", TEXT_ARG(use->finding->name),
                       use->alone ? "" : ", together with others");
}

text measure_use(struct arena *arena, const struct measurement *item,
                 const struct reading_use *use)
{
    text all = {"", 0};
    for (uint32_t i = 0; i < use->stretch_count; i++) {
        all = text_format(arena, "%.*s%s%.*s", TEXT_ARG(all), all.length > 0 ? "; " : "",
                          TEXT_ARG(stretch_text(arena, item, &use->stretches[i])));
    }
    for (uint32_t i = 0; i < use->choice_count; i++) {
        all = text_format(arena, "%.*s%s%.*s %s", TEXT_ARG(all),
                          all.length > 0 ? "; " : "", TEXT_ARG(use->choices[i].word),
                          outcome_plain(use->choices[i].outcome));
    }
    return all.length > 0 ? all : TEXT("which reading would decide cannot be told yet");
}

text measure_gauge(struct arena *arena, const struct measurement *item)
{
    const text enough = isnan(item->good_enough)
                            ? (text){"", 0}
                            : magnitude(arena, item, item->good_enough);
    const text reads = magnitude(arena, item, item->uncertainty);
    if (item->gauge_state == GAUGE_NONE) {
        return item->gauges.length == 0
                   ? TEXT("nobody says how it is got")
                   : text_format(arena, "%.*s; no gauge at hand reads it",
                                 TEXT_ARG(render_ways(arena, item->gauges)));
    }
    if (item->is_word) {
        return item->gauge;
    }
    if (item->gauge_state == GAUGE_COARSE) {
        return text_format(arena,
                           "%.*s reads to %.*s: coarser than the %.*s that would do, so "
                           "a reading near the limit decides nothing",
                           TEXT_ARG(item->gauge), TEXT_ARG(reads), TEXT_ARG(enough));
    }
    return enough.length == 0
               ? text_format(arena,
                             "%.*s reads to %.*s; the reading must lie clear of the "
                             "limit by that",
                             TEXT_ARG(item->gauge), TEXT_ARG(reads))
               : text_format(arena, "%.*s reads to %.*s; %.*s would do",
                             TEXT_ARG(item->gauge), TEXT_ARG(reads), TEXT_ARG(enough));
}

text measure_place(struct arena *arena, const struct measurement *item)
{
    const char *where = item->reach == REACH_IN_HAND
                            ? "in the hand, before it goes in"
                            : "on the piece in the machine, with the unit apart";
    return item->datum.length == 0
               ? text_of(where)
               : text_format(arena, "%s; counted from its face %.*s, + is outboard",
                             where, TEXT_ARG(item->datum));
}

const char *measure_unit(const struct measurement *item)
{
    struct unit unit = {.symbol = ""};
    (void)unit_shown(item->of->dim, &unit);
    return item->is_word ? "" : unit.symbol;
}

static void write_measurement(struct writer *writer, const struct measurement *item,
                              uint32_t number)
{
    write_wrapped(writer, text_format(writer->arena, "  %2u  ", number),
                  text_format(writer->arena, "%.*s  (%.*s of %.*s)",
                              TEXT_ARG(item->dimension), TEXT_ARG(item->says),
                              TEXT_ARG(item->piece)));
    write_wrapped(writer, TEXT("      where    "), measure_place(writer->arena, item));
    write_wrapped(writer, TEXT("      with     "), measure_gauge(writer->arena, item));
    for (uint32_t i = 0; i < item->use_count; i++) {
        const struct reading_use *use = &item->uses[i];
        write_wrapped(writer, TEXT("      for      "), measure_for(writer->arena, use));
        write_wrapped(writer, TEXT("               "),
                      measure_use(writer->arena, item, use));
    }
    write_format(writer, "      reading  ______________ %s\n\n", measure_unit(item));
}

text measure_again(struct arena *arena, const struct answer *answer)
{
    text words = text_format(arena, "whyfit measure %.*s", TEXT_ARG(answer->unit));
    for (uint32_t i = 0; i < answer->change_count; i++) {
        words = text_format(arena, "%.*s %.*s=%.*s", TEXT_ARG(words),
                            TEXT_ARG(answer->changes[i].name),
                            TEXT_ARG(answer->changes[i].value));
    }
    const struct measurement *first = &answer->measure->measurements[0];
    return first->is_word || first->gauge.length == 0
               ? text_format(arena, "%.*s --given %.*s=…", TEXT_ARG(words),
                             TEXT_ARG(first->dimension))
               : text_format(arena, "%.*s --given \"%.*s=measured … with GAUGE\"",
                             TEXT_ARG(words), TEXT_ARG(first->dimension));
}

static void write_others(struct writer *writer, const struct measure *measure)
{
    if (measure->other_count > 0) {
        render_heading(writer, "No reading of these parts decides");
    }
    for (uint32_t i = 0; i < measure->other_count; i++) {
        write_wrapped(writer, TEXT("  - "),
                      text_format(writer->arena, "%.*s: %.*s",
                                  TEXT_ARG(measure->others[i]->name),
                                  TEXT_ARG(measure->others[i]->sentence)));
    }
}

text measure_headline(struct arena *arena, const struct answer *answer)
{
    const uint32_t count = answer->measure->count;
    const char *verdict = verdict_word(answer->verdict);
    return count > 0
               ? text_format(arena, "%s until %u dimension%s measured", verdict, count,
                             count == 1 ? " is" : "s are")
               : text_format(arena, "%s, and no measurement would change that", verdict);
}

void render_measure_text(struct writer *writer, const struct answer *answer)
{
    const struct measure *measure = answer->measure;
    write_format(writer, "%.*s\n", TEXT_ARG(measure_headline(writer->arena, answer)));
    render_reasons(writer, answer);
    if (measure->count > 0) {
        render_heading(writer, "Measure, in this order");
    }
    for (uint32_t i = 0; i < measure->count; i++) {
        write_measurement(writer, &measure->measurements[i], i + 1);
    }
    if (measure->count > 0) {
        write_format(writer, "Then ask again, with what was read and the same --with\n");
        write_wrapped(writer, TEXT("  "), measure_again(writer->arena, answer));
    }
    write_others(writer, measure);
    render_heading(writer, "Caution");
    write_wrapped(writer, TEXT("  "), answer->caution);
}
