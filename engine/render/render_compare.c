/* SPDX-License-Identifier: MIT */
/*
 * The answer to `compare` in words: what differs first, with the checks that each
 * difference touches, then what is not known, how the checks and figures come out with
 * either, and what is the same last and short.
 */
#include "render_compare.h"

/* ---- lines */

static void write_lines(struct writer *writer, const compare_lines *lines)
{
    for (uint32_t i = 0; i < lines->count; i++) {
        const struct compare_line *line = &lines->at[i];
        write_wrapped(writer,
                      text_format(writer->arena, "  %-7.*s  ", TEXT_ARG(line->lead)),
                      line->words);
        if (line->touches.length > 0) {
            write_wrapped(writer, TEXT("           touches "), line->touches);
        }
    }
}

static void write_place(struct writer *writer, const struct comparison *of,
                        const struct compared_place *place)
{
    struct arena *arena = writer->arena;
    compare_lines lines = {0};
    if (!compare_differs(place)) {
        return;
    }
    write_text(writer, TEXT("\n"));
    if (place->place.length > 0) {
        write_wrapped(writer, text_format(arena, "%.*s: ", TEXT_ARG(place->place)),
                      compare_place_words(arena, place));
    } else {
        write_text(writer, of->is_of_units ? TEXT("The units themselves\n")
                                           : TEXT("Differences\n"));
    }
    if (place->datum.length > 0) {
        write_wrapped(writer, TEXT("  counted  from "), place->datum);
    }
    if (place->is_unit) {
        write_wrapped(writer, TEXT("  inside   "),
                      text_format(arena, "whyfit compare %.*s %.*s",
                                  TEXT_ARG(place->first), TEXT_ARG(place->second)));
    }
    compare_differences(arena, of, place, &lines);
    write_lines(writer, &lines);
}

static void write_not_known(struct writer *writer, const struct comparison *of)
{
    compare_lines lines = {0};
    compare_not_known(writer->arena, of, &lines);
    if (lines.count > 0) {
        render_heading(writer, "Not known");
    }
    for (uint32_t i = 0; i < lines.count; i++) {
        write_wrapped(writer, TEXT("  - "), lines.at[i].words);
    }
}

static void write_same(struct writer *writer, const struct comparison *of)
{
    compare_lines lines = {0};
    const text unrecorded = compare_unrecorded(writer->arena, of);
    render_heading(writer, "The same, as far as both record it");
    compare_same(writer->arena, of, &lines);
    for (uint32_t i = 0; i < lines.count; i++) {
        const struct compare_line *line = &lines.at[i];
        write_wrapped(writer,
                      line->lead.length == 0
                          ? TEXT("  ")
                          : text_format(writer->arena, "  %.*s: ", TEXT_ARG(line->lead)),
                      line->words);
    }
    if (unrecorded.length > 0) {
        write_wrapped(writer, TEXT("  "), unrecorded);
    }
}

/* ---- checks */

static void write_checks(struct writer *writer, const struct comparison *of,
                         uint32_t seat)
{
    compare_lines lines = {0};
    const uint32_t same = compare_same_checks(of, seat);
    compare_checks(writer->arena, of, seat, &lines);
    write_lines(writer, &lines);
    write_format(writer, "  same     %u check%s\n", same, same == 1 ? "" : "s");
}

static void write_seats(struct writer *writer, const struct comparison *of)
{
    const text left_out = compare_seats_left_out(writer->arena, of);
    for (uint32_t i = 0; i < of->seat_count; i++) {
        const struct compared_seat *seat = &of->seats[i];
        write_text(writer, TEXT("\n"));
        write_wrapped(writer, TEXT(""),
                      text_format(writer->arena, "%.*s: %s",
                                  TEXT_ARG(compare_seat_words(writer->arena, of, seat)),
                                  verdict_word(seat->verdict)));
        if (seat->because.length > 0) {
            write_wrapped(writer, TEXT("  because  "), seat->because);
        }
        write_checks(writer, of, i);
    }
    if (left_out.length > 0 && of->seat_count == 0) {
        render_heading(writer, "Checks");
        write_wrapped(writer, TEXT("  "), left_out);
    } else if (left_out.length > 0) {
        write_text(writer, TEXT("\n"));
        write_wrapped(writer, TEXT(""), left_out);
    }
}

/* ---- the whole */

text compare_headline(struct arena *arena, const struct comparison *of)
{
    return of->difference_count == 0
               ? text_format(arena, "no difference%s",
                             of->not_known_count > 0 ? " that both record" : "")
               : text_format(arena, "%u difference%s", of->difference_count,
                             of->difference_count == 1 ? "" : "s");
}

text compare_counted(struct arena *arena, const struct comparison *of)
{
    return of->datum.length > 0
               ? text_format(arena, "from %.*s, + is out", TEXT_ARG(of->datum))
               : TEXT("from nothing: no face is the datum of one and there in the other");
}

static void write_opening(struct writer *writer, const struct comparison *of)
{
    write_wrapped(writer, TEXT(""), compare_headline(writer->arena, of));
    write_wrapped(writer, TEXT("  first    "), of->first);
    write_wrapped(writer, TEXT("  second   "), of->second);
    write_wrapped(writer, TEXT("  counted  "), compare_counted(writer->arena, of));
}

void render_compare_text(struct writer *writer, const struct answer *answer)
{
    const struct comparison *of = answer->comparison;
    write_opening(writer, of);
    render_given(writer, answer);
    for (uint32_t i = 0; i < of->place_count; i++) {
        write_place(writer, of, &of->places[i]);
    }
    write_not_known(writer, of);
    if (of->is_of_units) {
        render_heading(writer, "Checks, each asked of its own unit");
        write_checks(writer, of, UINT32_MAX);
    } else {
        write_seats(writer, of);
    }
    write_same(writer, of);
    render_heading(writer, "Caution");
    write_wrapped(writer, TEXT("  "), answer->caution);
}
