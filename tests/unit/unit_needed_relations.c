/* SPDX-License-Identifier: MIT */
/* The shipped vocabulary declares what the engine needs, and every change to that is
 * refused before anything is laid by it. */
#include "needed_relations.h"

#include "faults.h"
#include "read_file.h"

#include <criterion/criterion.h>
#include <string.h>

TestSuite(needed_relations, .timeout = 60);

static const struct recipe unit = {.name = 1};

/* Checks the shipped vocabulary with the first `from` behind the line `relation:` made
 * `to`; the first fault as it is written, or "". */
static const char *fault_of(struct room *room, const char *relation, const char *from,
                            const char *to, uint32_t units)
{
    text all = {"", 0};
    cr_assert_eq(
        file_read(room->arena, WHYFIT_ROOT "/rules/vocabulary.yaml", 1 << 20, &all, NULL),
        STATUS_OK);
    const text written = text_copy(room->arena, all);
    const char *line =
        strstr(written.at, text_format(room->arena, "\n  %s:\n", relation).at);
    const char *found = line == NULL ? NULL : strstr(line, from);
    cr_assert_not_null(found, "%s %s", relation, from);
    const text before = {written.at, (size_t)(found - written.at)};
    const text spoiled =
        text_format(room->arena, "%.*s%s%s", TEXT_ARG(before), to, found + strlen(from));
    const struct node *document = room_document(room, "words", spoiled);
    struct knowledge knowledge = {
        .names = names_open(room->arena, NULL), .recipes = &unit, .recipe_count = units};
    cr_assert_not_null(document, "%s", room_faults(room));
    cr_assert_eq(vocabulary_read(room->arena, knowledge.names, &document, 1,
                                 room->diagnostics, &knowledge.vocabulary),
                 STATUS_OK, "%s", room_faults(room));
    const status checked = needed_relations_check(&knowledge, room->diagnostics);
    cr_expect_eq(checked == STATUS_OK, diagnostics_count(room->diagnostics) == 0);
    return diagnostics_count(room->diagnostics) == 0
               ? ""
               : diagnostic_write(room->arena, diagnostics_at(room->diagnostics, 0),
                                  room->sources)
                     .at;
}

Test(needed_relations, the_shipped_vocabulary_has_them)
{
    struct room room = room_open();
    cr_expect_str_eq(fault_of(&room, "face", "says", "says", 1), "");
    room_close(&room);
}

Test(needed_relations, other_declarations_are_refused)
{
    static const struct {
        const char *relation;
        const char *from;
        const char *to;
        const char *expected;
    } rows[] = {
        {"stop", "contact: number, stop: number", "stop: number, contact: number",
         "unit contact# stop#"},
        {"stop", ", stop: number", "", "unit contact# stop#"},
        {"stop", "stop: number", "stop: name", "unit contact# stop#"},
        {"stop", "offset: {quantity: length}", "offset: {word: true}",
         "a value `offset` that is a length"},
        {"stop", "offset: {quantity: length}", "offset: {quantity: angle}",
         "a value `offset` that is a length"},
        {"stop", "offset:", "ofset:", "a value `offset` that is a length"},
        {"face", "{piece: name, face: name}", "{face: name, piece: name}", "piece face"},
        {"run", "teeth: {count: true", "teeth: {word: true",
         "a value `teeth` that is a count"},
        {"run", "axis: {word: true", "axis: {count: true",
         "a value `axis` that is a word"},
        {"laid", "at: {quantity: length, reads: [face.at]}",
         "at: {quantity: pressure, reads: [face.at]}", "a value `at` that is a length"},
        {"laid", "filled-by: computing", "filled-by: rules", "filled-by: computing"},
        {"fills", "filled-by: facts", "filled-by: rules", "filled-by: facts"},
        {"touch", "other: name", "other: name, third: name", "unit piece other"}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct room room = room_open();
        const char *said = fault_of(&room, rows[i].relation, rows[i].from, rows[i].to, 1);
        cr_expect_not_null(
            strstr(said, text_format(room.arena, "the engine needs the relation `%s`",
                                     rows[i].relation)
                             .at),
            "row %zu: %s", i, said);
        cr_expect_not_null(strstr(said, rows[i].expected), "row %zu: %s", i, said);
        cr_expect(strncmp(said, "words:", 6) == 0, "row %zu: %s", i, said);
        room_close(&room);
    }
}

Test(needed_relations, more_columns_are_welcome)
{
    struct room room = room_open();
    cr_expect_str_eq(fault_of(&room, "stop", "offset: {quantity: length}",
                              "offset: {quantity: length}\n      shade: {word: true}", 1),
                     "");
    room_close(&room);
}

/* A vocabulary to reckon with need not know how units are laid. */
Test(needed_relations, what_is_not_declared_is_missed_where_units_are)
{
    for (uint32_t units = 0; units < 2; units++) {
        struct room room = room_open();
        const char *said = fault_of(&room, "touch", "touch:", "meet:", units);
        cr_expect_eq(said[0] == '\0', units == 0, "%s", said);
        cr_expect(units == 0 || strstr(said, "the relation `touch`") != NULL, "%s", said);
        room_close(&room);
    }
}
