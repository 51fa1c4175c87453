/* SPDX-License-Identifier: MIT */
/* At a bound of limits.h things work, one above they are a clean diagnostic; and out of
 * memory is an error, wherever it strikes. */
#include "limits.h"
#include "csv_reader.h"
#include "failing_allocator.h"
#include "shipped.h"
#include "whyfit.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <string.h>

TestSuite(limits, .timeout = 250);

/* A text of `count` times the same piece between a head and a tail. */
static text repeated(struct room *room, const char *head, const char *piece, size_t count,
                     const char *tail)
{
    const size_t length = strlen(head) + count * strlen(piece) + strlen(tail);
    char *made = arena_take(room->arena, length + 1);
    size_t at = (size_t)sprintf(made, "%s", head);
    for (size_t i = 0; i < count; i++) {
        at += (size_t)sprintf(made + at, "%s", piece);
    }
    (void)sprintf(made + at, "%s", tail);
    return (text){made, length};
}

static const char *fault_of(struct room *room, text content)
{
    const struct node *document = NULL;
    const uint32_t source = sources_add(room->sources, TEXT("t"), content);
    const status read =
        yaml_read(room->arena, room->sources, source, room->diagnostics, &document);
    return read == STATUS_OK
               ? ""
               : diagnostic_code_word(diagnostics_at(room->diagnostics, 0)->code);
}

Test(limits, documents)
{
    static const struct {
        const char *head;
        const char *piece;
        size_t at_most;
        const char *tail;
        const char *fault;
    } rows[] = {{"a: ", "[", LIMIT_DEPTH - 1, "", "yaml-syntax"},
                {"a: '", "x", LIMIT_SCALAR_BYTES, "'", "yaml-size"},
                {"", "k", LIMIT_KEY_BYTES, ": 1", "yaml-size"}};
    for (size_t i = 1; i < sizeof rows / sizeof *rows; i++) {
        struct room room = room_open();
        cr_expect_str_eq(fault_of(&room, repeated(&room, rows[i].head, rows[i].piece,
                                                  rows[i].at_most, rows[i].tail)),
                         "", "row %zu at the bound", i);
        cr_expect_str_eq(fault_of(&room, repeated(&room, rows[i].head, rows[i].piece,
                                                  rows[i].at_most + 1, rows[i].tail)),
                         rows[i].fault, "row %zu above it", i);
        room_close(&room);
    }
    struct room room = room_open();
    cr_expect_str_eq(fault_of(&room, repeated(&room, "a: ", "[", LIMIT_DEPTH, "")),
                     "yaml-depth");
    room_close(&room);
}

Test(limits, two_million_brackets_are_refused_at_once)
{
    struct room room = room_open();
    cr_expect_str_eq(fault_of(&room, repeated(&room, "a: ", "[", 2000000, "")),
                     "yaml-depth");
    room_close(&room);
}

static const char *formula_fault(struct room *room, text expression)
{
    const struct scope scope = {.names = names_open(room->arena, NULL)};
    const struct formula *formula = NULL;
    const status read =
        formula_read(room->arena, expression, room_text(room, "formula", expression),
                     &scope, room->diagnostics, &formula);
    return read == STATUS_OK
               ? ""
               : diagnostic_code_word(diagnostics_at(room->diagnostics, 0)->code);
}

Test(limits, formulas)
{
    struct room room = room_open();
    cr_expect_str_eq(formula_fault(&room, repeated(&room, "", "1+", 1000, "1")), "");
    cr_expect_str_eq(formula_fault(&room, repeated(&room, "", "1+", 1024, "1")),
                     "formula-limit");
    room_close(&room);
    struct room deep = room_open();
    char closing[40] = "1";
    memset(closing + 1, ')', 20);
    closing[21] = '\0';
    cr_expect_str_eq(formula_fault(&deep, repeated(&deep, "", "(", 20, closing)), "");
    cr_expect_str_eq(formula_fault(&deep, repeated(&deep, "", "(", 500, "1")),
                     "formula-limit");
    cr_expect_str_eq(formula_fault(&deep, repeated(&deep, "", "-", 500, "1")),
                     "formula-limit");
    room_close(&deep);
}

Test(limits, diagnostics_are_counted_past_the_bound)
{
    struct room room = room_open();
    for (unsigned i = 0; i < LIMIT_DIAGNOSTICS + 5; i++) {
        diagnostics_report(room.diagnostics, CODE_NAME_UNKNOWN, SPAN_NONE, "number %u", i)
            ->expected = TEXT("kept or not, it may be written to");
    }
    cr_expect_eq(diagnostics_count(room.diagnostics), LIMIT_DIAGNOSTICS + 5);
    cr_expect_eq(diagnostics_kept(room.diagnostics), LIMIT_DIAGNOSTICS);
    room_close(&room);
}

/* Takes what is written, as far as there is room. */
struct written {
    char bytes[400];
    size_t length;
};

static bool take(void *context, const char *bytes, size_t length)
{
    struct written *written = context;
    for (size_t i = 0; i < length && written->length + 1 < sizeof written->bytes; i++) {
        written->bytes[written->length++] = bytes[i];
    }
    return true;
}

Test(limits, a_text_above_the_bound_is_refused)
{
    char *large = calloc(LIMIT_FILE_BYTES + 1, 1);
    struct written said = {.length = 0};
    cr_assert_not_null(large);
    memset(large, '#', LIMIT_FILE_BYTES + 1);
    const whyfit_source source = {"large.yaml", large, LIMIT_FILE_BYTES + 1};
    whyfit_knowledge *knowledge = NULL;
    whyfit_problems *problems = NULL;
    cr_expect_eq(whyfit_load(&source, 1, NULL, &knowledge, &problems), WHYFIT_INVALID);
    cr_assert_not_null(problems);
    cr_expect_null(knowledge);
    cr_expect_eq(whyfit_problems_write(problems, WHYFIT_TEXT, take, &said), WHYFIT_OK);
    cr_expect_not_null(strstr(said.bytes, "large.yaml:1:1: error: this file is larger"),
                       "%s", said.bytes);
    cr_expect_not_null(strstr(said.bytes, "file-too-large"), "%s", said.bytes);
    whyfit_problems_free(problems);
    free(large);
}

/* A text that is too long is refused for its length, before a byte is read. */
Test(limits, rows_above_the_bound_are_refused)
{
    const whyfit_source source = {"edge.csv", "from,to\n", LIMIT_FLAT_BYTES + (size_t)1};
    struct written said = {.length = 0};
    whyfit_knowledge *knowledge = NULL;
    whyfit_problems *problems = NULL;
    cr_expect_eq(whyfit_load(&source, 1, NULL, &knowledge, &problems), WHYFIT_INVALID);
    cr_assert_not_null(problems);
    cr_expect_eq(whyfit_problems_write(problems, WHYFIT_TEXT, take, &said), WHYFIT_OK);
    cr_expect_not_null(strstr(said.bytes, "file-too-large"), "%s", said.bytes);
    whyfit_problems_free(problems);
}

/* One cell of a row as long as may be, and one longer. */
Test(limits, cells)
{
    for (size_t more = 0; more < 2; more++) {
        struct room room = room_open();
        const text row = repeated(&room, "a,", "x", LIMIT_SCALAR_BYTES + more, ",b\n");
        struct csv csv = csv_open(
            row, (uint32_t)sources_add(room.sources, TEXT("r"), row), room.diagnostics);
        struct csv_cell cells[3];
        uint32_t count = 0;
        cr_expect_eq(csv_next(&csv, cells, 3, &count), more == 0 ? CSV_ROW : CSV_WRONG);
        cr_expect_eq(diagnostics_count(room.diagnostics), more);
        cr_expect_eq(csv_next(&csv, cells, 3, &count), CSV_END);
        room_close(&room);
    }
}

/* ---- out of memory */

static bool swallow(void *context, const char *bytes, size_t length)
{
    (void)bytes;
    *(size_t *)context += length;
    return true;
}

/* Loads, asks and writes with an allocator; the first status that is not OK. */
static whyfit_status whole_job(struct failing_allocator *failing)
{
    static const whyfit_source sources[] = {
        {WHYFIT_ROOT "/rules", NULL, 0},
        {WHYFIT_ROOT "/facts/iso-286.yaml", NULL, 0},
        {WHYFIT_ROOT "/facts/gauges.yaml", NULL, 0},
        {WHYFIT_ROOT "/tests/cases/static-seals/facts.yaml", NULL, 0}};
    const whyfit_allocator allocator = {failing_resize, failing};
    const whyfit_pair change = {"ring", "sleeve-8"};
    whyfit_load_options options = WHYFIT_LOAD_OPTIONS;
    whyfit_question question = WHYFIT_QUESTION;
    whyfit_write_options how = WHYFIT_WRITE_OPTIONS;
    whyfit_knowledge *knowledge = NULL;
    whyfit_problems *problems = NULL;
    whyfit_asker *asker = NULL;
    whyfit_answer *answer = NULL;
    size_t written = 0;
    options.allocator = &allocator;
    question.unit = "bench-o-ring";
    question.changes = &change;
    question.change_count = 1;
    whyfit_status result = whyfit_load(sources, 4, &options, &knowledge, &problems);
    whyfit_problems_free(problems);
    problems = NULL;
    if (result == WHYFIT_OK) {
        result = whyfit_asker_open(knowledge, NULL, &asker);
    }
    if (result == WHYFIT_OK) {
        result = whyfit_ask(asker, &question, &answer, &problems);
    }
    if (result == WHYFIT_OK) {
        result = whyfit_answer_write(answer, &how, swallow, &written);
    }
    how.format = WHYFIT_SVG;
    for (size_t i = 0; result == WHYFIT_OK && i < 3; i++) {
        static const char *const pictures[] = {"section", "margins", "stack:room"};
        how.picture = pictures[i];
        result = whyfit_answer_write(answer, &how, swallow, &written);
        result = result == WHYFIT_NOT_FOUND ? WHYFIT_OK : result;
    }
    whyfit_problems_free(problems);
    whyfit_answer_free(answer);
    whyfit_asker_free(asker);
    whyfit_knowledge_free(knowledge);
    return result;
}

/* Without a sanitizer an arena takes few, large blocks, so every request can be failed in
 * turn; with one each object is a block of its own, and requests are failed at growing
 * distances. */
Test(limits, out_of_memory_is_an_error_wherever_it_strikes)
{
    struct failing_allocator none = {0};
    cr_assert_eq(whole_job(&none), WHYFIT_OK);
    cr_assert_eq(none.open_blocks, 0);
    const size_t step = none.requests / 60 + 1;
    size_t tried = 0;
    for (size_t n = 1; n <= none.requests; n += n < 20 ? 1 : step) {
        struct failing_allocator failing = {.fails_at = n};
        cr_expect_eq(whole_job(&failing), WHYFIT_NO_MEMORY, "request %zu of %zu", n,
                     none.requests);
        cr_expect_eq(failing.open_blocks, 0, "request %zu leaks", n);
        tried++;
    }
    cr_expect_gt(tried, 10);
}
