/* SPDX-License-Identifier: MIT */
/* The report of `compare`: what differs, place by place, what one of the two does not
 * record, how the checks come out with either, and last what is the same. */
#include "phrases.h"
#include "render_compare.h"
#include "report.h"

static text headline(struct arena *arena, const struct answer *answer)
{
    return compare_headline(arena, answer->comparison);
}

/* No verdict: only that nothing is known to differ, where not all is recorded, is open.
 */
static const char *tone(const struct answer *answer)
{
    const struct comparison *of = answer->comparison;
    return of->difference_count > 0 ? "plain" : of->not_known_count > 0 ? "open" : "good";
}

static void write_reasons(struct writer *writer, const struct answer *answer)
{
    const struct comparison *of = answer->comparison;
    html_raw(writer, "<dl class=\"facts\">\n");
    html_term(writer, "First", of->first);
    html_term(writer, "Second", of->second);
    html_term(writer, "Counted", compare_counted(writer->arena, of));
    report_given(writer, answer);
    html_raw(writer, "</dl>\n");
}

/* ---- lines */

static void write_words(struct writer *writer, const struct compare_line *line)
{
    html_raw(writer, "<td>");
    html_text(writer, line->words);
    if (line->touches.length > 0) {
        html_element(writer, "p", "note",
                     text_format(writer->arena, "touches %.*s", TEXT_ARG(line->touches)));
    }
    html_raw(writer, "</td>");
}

/* Lines under their leads, or nothing. */
static void write_lines(struct writer *writer, const compare_lines *lines, text name,
                        const char *what)
{
    const char *const columns[] = {"Change", what};
    if (lines->count == 0) {
        return;
    }
    html_table_open(writer, "compared", name, columns, 2);
    for (uint32_t i = 0; i < lines->count; i++) {
        html_row_open(writer, lines->at[i].lead);
        write_words(writer, &lines->at[i]);
        html_row_close(writer);
    }
    html_table_close(writer);
}

static void write_place(struct writer *writer, const struct comparison *of,
                        const struct compared_place *place)
{
    struct arena *arena = writer->arena;
    compare_lines lines = {0};
    const text heading = place->place.length > 0 ? place->place
                         : of->is_of_units       ? TEXT("The units themselves")
                                                 : TEXT("Differences");
    html_section_open(writer, heading);
    if (place->place.length > 0) {
        html_element(writer, "p", NULL, compare_place_words(arena, place));
    }
    if (place->datum.length > 0) {
        html_element(writer, "p", "note",
                     text_format(arena, "counted from %.*s", TEXT_ARG(place->datum)));
    }
    if (place->is_unit) {
        html_element(writer, "p", "note",
                     text_format(arena,
                                 "Both are units: compare %.*s with %.*s for what "
                                 "differs inside.",
                                 TEXT_ARG(place->first), TEXT_ARG(place->second)));
    }
    compare_differences(arena, of, place, &lines);
    write_lines(writer, &lines, heading, "Of what");
    html_section_close(writer);
}

static void write_not_known(struct writer *writer, const struct comparison *of)
{
    compare_lines lines = {0};
    compare_not_known(writer->arena, of, &lines);
    text *said = ARENA_MANY(writer->arena, lines.count, text);
    for (uint32_t i = 0; said != NULL && i < lines.count; i++) {
        said[i] = lines.at[i].words;
    }
    html_list_section(writer, "Not known", said, said == NULL ? 0 : lines.count);
}

/* ---- checks */

static void write_checks(struct writer *writer, const struct comparison *of,
                         uint32_t seat, text name)
{
    compare_lines lines = {0};
    const uint32_t same = compare_same_checks(of, seat);
    compare_checks(writer->arena, of, seat, &lines);
    write_lines(writer, &lines, name, "Check: with the first, then with the second");
    write_format(writer, "<p>%u check%s come out the same.</p>\n", same,
                 same == 1 ? "" : "s");
}

static void write_seat(struct writer *writer, const struct comparison *of, uint32_t i)
{
    const struct compared_seat *seat = &of->seats[i];
    const text words = compare_seat_words(writer->arena, of, seat);
    html_section_open(writer, words);
    html_raw(writer, "<p>");
    report_mark(writer, report_tone(seat->verdict), verdict_word(seat->verdict));
    html_raw(writer, " ");
    html_text(writer, seat->because);
    html_raw(writer, "</p>\n");
    write_checks(writer, of, i, words);
    html_section_close(writer);
}

static void write_seats(struct writer *writer, const struct comparison *of)
{
    const text left_out = compare_seats_left_out(writer->arena, of);
    for (uint32_t i = 0; i < of->seat_count; i++) {
        write_seat(writer, of, i);
    }
    if (left_out.length > 0) {
        html_element(writer, "p", NULL, left_out);
    }
}

static void write_same(struct writer *writer, const struct comparison *of)
{
    compare_lines lines = {0};
    compare_same(writer->arena, of, &lines);
    html_section_open(writer, TEXT("The same, as far as both record it"));
    html_raw(writer, "<dl class=\"facts\">\n");
    for (uint32_t i = 0; i < lines.count; i++) {
        html_raw(writer, "<dt>");
        html_text(writer,
                  lines.at[i].lead.length > 0 ? lines.at[i].lead : TEXT("themselves"));
        html_raw(writer, "</dt>\n");
        html_element(writer, "dd", NULL, lines.at[i].words);
    }
    html_raw(writer, "</dl>\n");
    html_element(writer, "p", "note", compare_unrecorded(writer->arena, of));
    html_section_close(writer);
}

static void write_compare(struct writer *writer, const struct answer *answer)
{
    const struct comparison *of = answer->comparison;
    for (uint32_t i = 0; i < of->place_count; i++) {
        if (compare_differs(&of->places[i])) {
            write_place(writer, of, &of->places[i]);
        }
    }
    write_not_known(writer, of);
    if (of->is_of_units) {
        html_section_open(writer, TEXT("Checks, each asked of its own unit"));
        write_checks(writer, of, UINT32_MAX, TEXT("Checks of both units"));
        html_section_close(writer);
    } else {
        write_seats(writer, of);
    }
    write_same(writer, of);
}

static bool is_compare(const struct answer *answer)
{
    return answer->comparison != NULL;
}

const struct report_kind report_compare = {
    .asks = "What differs?",
    .is_of = is_compare,
    .headline = headline,
    .tone = tone,
    .reasons = write_reasons,
    .write = write_compare,
};
