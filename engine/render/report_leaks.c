/* SPDX-License-Identifier: MIT */
/* The report of `leaks`: spaces, the ways between them, and the checks of both. */
#include "phrases.h"
#include "report.h"

static text headline(struct arena *arena, const struct answer *answer)
{
    (void)arena;
    return text_of(leaks_word(answer->leaks));
}

static const char *tone(const struct answer *answer)
{
    static const char *const tones[] = {[LEAKS_NONE] = "good",
                                        [LEAKS_FOUND] = "bad",
                                        [LEAKS_NOT_KNOWN] = "open",
                                        [LEAKS_AMISS] = "bad"};
    return tones[answer->leaks];
}

static const char *way_tone(enum way_state state)
{
    static const char *const tones[] = {
        [WAY_SHUT] = "good", [WAY_OPEN] = "bad", [WAY_NOT_KNOWN] = "open"};
    return tones[state];
}

static void write_reasons(struct writer *writer, const struct answer *answer)
{
    html_raw(writer, "<dl class=\"facts\">\n");
    html_term(writer, "Asked", leaks_asked(writer->arena, answer));
    report_given(writer, answer);
    html_terms(writer, "Because", answer->leak_reasons, answer->leak_reason_count);
    report_minded(writer, answer, is_minded_of_leaks);
    html_raw(writer, "</dl>\n");
}

static void write_spaces(struct writer *writer, const struct answer *answer)
{
    static const char *const columns[] = {"Space", "What is in it"};
    if (answer->space_count == 0) {
        return;
    }
    html_section_open(writer, TEXT("Spaces"));
    html_table_open(writer, NULL, TEXT("Spaces"), columns, 2);
    for (uint32_t i = 0; i < answer->space_count; i++) {
        html_row_open(writer, answer->spaces[i].space);
        html_element(writer, "td", NULL, leaks_space(writer->arena, &answer->spaces[i]));
        html_row_close(writer);
    }
    html_table_close(writer);
    html_section_close(writer);
}

static void write_ways(struct writer *writer, const struct answer *answer)
{
    static const char *const columns[] = {"Way", "State"};
    if (answer->way_count == 0) {
        return;
    }
    html_section_open(writer, TEXT("Ways"));
    html_table_open(writer, NULL, TEXT("Ways between the spaces"), columns, 2);
    for (uint32_t i = 0; i < answer->way_count; i++) {
        const struct leak_way *way = &answer->ways[i];
        html_row_open(writer, leaks_way(writer->arena, way));
        html_raw(writer, "<td>");
        report_mark(writer, way_tone(way->state), way_state_word(way->state));
        html_raw(writer, "</td>");
        html_row_close(writer);
    }
    html_table_close(writer);
    html_section_close(writer);
}

static void write_leaks(struct writer *writer, const struct answer *answer)
{
    write_spaces(writer, answer);
    write_ways(writer, answer);
    html_section_open(writer, TEXT("Checks"));
    report_findings(writer, answer, "Checks of what leaks", is_of_leaks);
    html_section_close(writer);
    report_chain(writer, answer, "step-");
}

static bool is_leaks(const struct answer *answer)
{
    return text_is(answer->command, "leaks");
}

const struct report_kind report_leaks = {
    .asks = "Where can the oil go?",
    .is_of = is_leaks,
    .headline = headline,
    .tone = tone,
    .reasons = write_reasons,
    .write = write_leaks,
};
