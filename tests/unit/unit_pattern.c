/* SPDX-License-Identifier: MIT */
/* Text patterns: what they match, how they are refused, and that none can hang. */
#include "limits.h"
#include "pattern.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <string.h>

TestSuite(pattern, .timeout = 60);

static const struct pattern *read_one(struct arena *arena, const char *written)
{
    const struct pattern *pattern = NULL;
    struct pattern_fault fault = {0};
    cr_assert_eq(pattern_read(arena, text_of(written), &fault, &pattern), STATUS_OK,
                 "%s: %s at %zu", written, fault.message, fault.at);
    return pattern;
}

/* The whole text is matched, by letters, whatever stands in it. */
Test(pattern, what_matches)
{
    static const struct {
        const char *pattern;
        const char *subject;
        enum pattern_result result;
    } rows[] = {
        {"6204", "6204", PATTERN_YES},
        {"6204", "6204-2RS", PATTERN_NO},
        {"6204", "26204", PATTERN_NO},
        /* alternatives are gone back into until the whole text is taken */
        {"6204|6204-2RS", "6204-2RS", PATTERN_YES},
        {"[0-9]{4}(-2(RS|Z))?", "6204-2Z", PATTERN_YES},
        {"[0-9]{4}(-2(RS|Z))?", "6204-RS", PATTERN_NO},
        {"wb-.*", "WB-55", PATTERN_NO},
        {"(?i)wb-.*", "WB-55", PATTERN_YES},
        /* a letter is a letter, not a byte */
        {"a.c", "aéc", PATTERN_YES},
        {"a..c", "aéc", PATTERN_NO},
        /* digits are 0 to 9 alone: these are Arabic-Indic */
        {"\\d+", "٣٤", PATTERN_NO},
        {"\\d+", "34", PATTERN_YES},
        /* $ is the end, not also what stands before a last line break */
        {"^\\d+$", "12\n", PATTERN_NO},
        {"a+", "", PATTERN_NO},
        {"(a)(b)(c)\\3", "abcc", PATTERN_YES}, /* more groups than are asked for */
        {"(?=a)a\\Kb", "ab", PATTERN_YES}};
    struct arena *arena = arena_open(allocator_standard(), 0);
    struct pattern_room *room = pattern_room_open(arena);
    cr_assert_not_null(room);
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const struct pattern *pattern = read_one(arena, rows[i].pattern);
        cr_expect_eq(pattern_match(pattern, text_of(rows[i].subject), room),
                     rows[i].result, "row %zu: %s on %s", i, rows[i].pattern,
                     rows[i].subject);
    }
    cr_expect_eq(pattern_match(read_one(arena, "a|b"), (text){NULL, 0}, room),
                 PATTERN_NO);
    arena_close(arena);
}

/* Each fault at its letter, in our words. */
Test(pattern, what_is_refused)
{
    static const struct {
        const char *pattern;
        size_t at;
        const char *message;
    } rows[] = {{"a(b", 2, "a bracket is not closed"},
                {"a)b", 1, "this bracket was never opened"},
                {"é)b", 2, "this bracket was never opened"},
                {"[a-", 2, "this class is not closed"},
                {"[é", 1, "this class is not closed"},
                {"[z-a]", 2, "this range runs backwards"},
                {"[\\d-z]", 2, "this is no range"},
                {"*a", 0, "there is nothing to repeat before this"},
                {"a{3,2}", 4, "the least number of times is above the most"},
                {"a{70000}", 6, "this is too often"},
                {"a\\", 1, "the pattern ends in a backslash"},
                {"a\\yb", 1, "nobody knows this escape"},
                {"(a)\\2", 3, "there is no such group"},
                {"(?<n>a)(?<n>b)", 11, "two groups have this name"},
                {"(?<=a+)b", 0, "a look behind has one length"},
                {"a\\C", 2, "\\C takes half a letter"},
                {"(*UTF)a", 0, "a pattern starts with no settings"},
                {"(*LIMIT_MATCH=4294967295)a", 0, "a pattern starts with no settings"},
                {"a(?C1)b", 5, "a pattern calls nobody"},
                {"a*", 0, "the empty text matches this pattern"},
                {"", 0, "the empty text matches this pattern"},
                {"(?=a)?", 0, "the empty text matches this pattern"},
                {"[[:odd:]]", 2, "this pattern cannot be read"}};
    struct arena *arena = arena_open(allocator_standard(), 0);
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const struct pattern *pattern = NULL;
        struct pattern_fault fault = {0, "nothing", ""};
        cr_expect_eq(pattern_read(arena, text_of(rows[i].pattern), &fault, &pattern),
                     STATUS_INVALID, "row %zu: %s", i, rows[i].pattern);
        cr_expect_str_eq(fault.message, rows[i].message, "row %zu: %s", i, fault.message);
        cr_expect_eq(fault.at, rows[i].at, "row %zu: at %zu", i, fault.at);
        cr_expect_gt(strlen(fault.expected), 0, "row %zu", i);
    }
    arena_close(arena);
}

static text filled(struct arena *arena, const char *head, char letter, size_t count,
                   const char *tail)
{
    char *made = arena_take(arena, strlen(head) + count + strlen(tail) + 1);
    cr_assert_not_null(made);
    const size_t at = (size_t)sprintf(made, "%s", head);
    memset(made + at, letter, count);
    (void)sprintf(made + at + count, "%s", tail);
    return text_of(made);
}

/* What would run for ever says that it is too hard, and the room is good for more. */
Test(pattern, none_hangs)
{
    static const char *const hard[] = {"(a+)+b", "(a|a)+b",        "(a|aa)+$b",
                                       "(.*)*x", "(a?){30}a{30}b", "((a*)*)*b"};
    struct arena *arena = arena_open(allocator_standard(), (size_t)16 << 20);
    struct pattern_room *room = pattern_room_open(arena);
    /* What they end in is there, so that none is given up at once. */
    const text subject = filled(arena, "", 'a', 4000, "xb!");
    for (size_t i = 0; i < sizeof hard / sizeof *hard; i++) {
        const struct pattern *pattern = read_one(arena, hard[i]);
        const enum pattern_result result = pattern_match(pattern, subject, room);
        cr_expect_eq(result, PATTERN_TOO_HARD, "%s: %d", hard[i], (int)result);
        cr_expect_eq(pattern_match(read_one(arena, "a+xb!"), subject, room), PATTERN_YES);
    }
    cr_expect_eq(arena_status(arena), STATUS_OK);
    arena_close(arena);
}

/* At the bound a pattern is read, one above it is refused. */
Test(pattern, bounds)
{
    struct arena *arena = arena_open(allocator_standard(), 0);
    for (size_t more = 0; more < 2; more++) {
        const struct pattern *pattern = NULL;
        struct pattern_fault fault = {0, "", ""};
        const text longest = filled(arena, "", 'a', LIMIT_PATTERN_BYTES + more, "");
        cr_expect_eq(pattern_read(arena, longest, &fault, &pattern),
                     more == 0 ? STATUS_OK : STATUS_INVALID);
        cr_expect_str_eq(fault.message, more == 0 ? "" : "this pattern is too long");
    }
    for (size_t more = 0; more < 2; more++) {
        const struct pattern *pattern = NULL;
        struct pattern_fault fault = {0, "", ""};
        const text close = filled(arena, "a", ')', 32 + more, "");
        const text deepest = filled(arena, "", '(', 32 + more, close.at);
        cr_expect_eq(pattern_read(arena, deepest, &fault, &pattern),
                     more == 0 ? STATUS_OK : STATUS_INVALID);
        cr_expect_str_eq(fault.message, more == 0 ? "" : "brackets are nested too deep");
    }
    arena_close(arena);
}

/* Wherever memory ends, that is what is said. */
Test(pattern, out_of_memory)
{
    unsigned failed = 0;
    for (size_t limit = 100; limit < 60000; limit += 400) {
        struct arena *arena = arena_open(allocator_standard(), limit);
        const struct pattern *pattern = NULL;
        struct pattern_fault fault = {0};
        if (pattern_read(arena, TEXT("(a|b)+c"), &fault, &pattern) != STATUS_OK) {
            cr_expect_eq(arena_status(arena), STATUS_LIMIT);
            failed++;
        } else {
            struct pattern_room *room = pattern_room_open(arena);
            const enum pattern_result result =
                room == NULL ? PATTERN_NO_MEMORY
                             : pattern_match(pattern, TEXT("ababc"), room);
            cr_expect_eq(result, arena_status(arena) == STATUS_OK ? PATTERN_YES
                                                                  : PATTERN_NO_MEMORY);
            failed += result == PATTERN_NO_MEMORY ? 1 : 0;
        }
        arena_close(arena);
    }
    cr_expect_gt(failed, 3);
    cr_expect_lt(failed, 150);
}
