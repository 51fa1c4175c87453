/* SPDX-License-Identifier: MIT */
#include "array.h"
#include "hash.h"
#include "names.h"
#include "nearest.h"
#include "number_text.h"
#include "room.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

TestSuite(base, .timeout = 20);

Test(base, arena_is_zeroed_aligned_and_sticky)
{
    struct arena *arena = arena_open(allocator_standard(), 1000);
    char *first = arena_take(arena, 100);
    cr_assert_not_null(first);
    for (int i = 0; i < 100; i++) {
        cr_assert_eq(first[i], 0);
    }
    cr_expect_eq((uintptr_t)arena_take(arena, 8) % sizeof(void *), 0);
    cr_expect_not_null(arena_take(arena, 0), "nothing has an address too");
    cr_expect_null(arena_take(arena, 2000));
    cr_expect_eq(arena_status(arena), STATUS_LIMIT);
    cr_expect_null(arena_take(arena, 1), "failure stays");
    arena_close(arena);
}

Test(base, arena_refuses_products_that_overflow)
{
    struct arena *arena = arena_open(allocator_standard(), 0);
    cr_expect_null(arena_take_many(arena, SIZE_MAX / 2, 4));
    cr_expect_eq(arena_status(arena), STATUS_NO_MEMORY);
    arena_close(arena);
}

Test(base, names_go_on_over_their_parent)
{
    struct room room = room_open();
    struct names *parent = names_open(room.arena, NULL);
    const name_id cover = names_add(parent, TEXT("cover"));
    for (int i = 0; i < 1000; i++) {
        (void)names_add(parent, text_format(room.arena, "word-%d", i));
    }
    struct names *own = names_open(room.arena, parent);
    cr_expect_eq(names_add(own, TEXT("cover")), cover, "equal texts have equal ids");
    const name_id shaft = names_add(own, TEXT("shaft"));
    cr_expect_eq(shaft, names_last(parent) + 1);
    cr_expect_eq(names_find(parent, TEXT("shaft")), NAME_NONE,
                 "the parent does not grow");
    cr_expect(text_is(names_text(own, shaft), "shaft"));
    cr_expect(text_is(names_text(own, names_find(own, TEXT("word-999"))), "word-999"));
    cr_expect_lt(names_compare(own, cover, shaft), 0);
    room_close(&room);
}

Test(base, hash_map_gives_newest_first_across_growth)
{
    struct room room = room_open();
    struct hash_map map = {0};
    for (uint32_t i = 0; i < 500; i++) {
        cr_assert(hash_map_add(&map, room.arena, i % 7, i));
    }
    uint32_t cursor = 0;
    uint32_t number = 0;
    uint32_t last = UINT32_MAX;
    uint32_t count = 0;
    while (hash_map_next(&map, 3, &cursor, &number)) {
        cr_expect_eq(number % 7, 3);
        cr_expect_lt(number, last);
        last = number;
        count++;
    }
    cr_expect_eq(count, 71, "0..499 holds 71 numbers that leave 3: %u", count);
    room_close(&room);
}

Test(base, numbers_are_read_by_our_grammar_alone)
{
    static const struct {
        const char *text;
        bool is_number;
        double value;
    } rows[] = {{"0", true, 0},       {"18", true, 18},     {"010", true, 10},
                {"-2.5", true, -2.5}, {"1e3", true, 1000},  {"0.591", true, 0.591},
                {"", false, 0},       {"0x10", false, 0},   {"inf", false, 0},
                {"nan", false, 0},    {"1_000", false, 0},  {"1,5", false, 0},
                {" 1", false, 0},     {".5", false, 0},     {"1.", false, 0},
                {"1e999", false, 0},  {"1e-999", false, 0}, {"--1", false, 0}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        double value = 0;
        const bool is_number = number_read(text_of(rows[i].text), &value);
        cr_expect_eq(is_number, rows[i].is_number, "\"%s\"", rows[i].text);
        cr_expect(!is_number || value == rows[i].value, "\"%s\" is %g", rows[i].text,
                  value);
    }
}

Test(base, numbers_are_written_so_that_they_read_back)
{
    struct room room = room_open();
    static const double rows[] = {0.1, -2.8, 1e21, 1.0 / 3.0, 123456789.0, 5e-324};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        double back = 0;
        const text written = number_write(room.arena, rows[i]);
        cr_expect(number_read(written, &back) || rows[i] < 1e-300, "%s", written.at);
        cr_expect(back == rows[i] || rows[i] < 1e-300, "%s", written.at);
    }
    cr_expect(text_is(number_write_fixed(room.arena, -0.0004, 3), "0.000"),
              "no minus zero");
    cr_expect(text_is(number_write_fixed(room.arena, 2.8, 2), "2.80"));
    room_close(&room);
}

Test(base, nearest_word_allows_few_slips_and_no_more)
{
    struct nearest near = nearest_to(TEXT("covr"));
    nearest_offer(&near, TEXT("shaft"));
    nearest_offer(&near, TEXT("cover"));
    nearest_offer(&near, TEXT("case"));
    cr_expect(text_is(near.best, "cover"));
    struct nearest far = nearest_to(TEXT("zzz"));
    nearest_offer(&far, TEXT("cover"));
    cr_expect_eq(far.best.length, 0);
    struct nearest swapped = nearest_to(TEXT("hsaft"));
    nearest_offer(&swapped, TEXT("shaft"));
    cr_expect(text_is(swapped.best, "shaft"));
}

/* RFC 3629, section 4: overlong forms, surrogates and what lies above U+10FFFF are no
 * UTF-8. */
Test(base, utf8_is_checked_strictly)
{
    static const struct {
        const char *bytes;
        size_t length;
    } rows[] = {{"a", 1},
                {"\xC3\xA9", 2},
                {"\xE2\x88\x92", 3},
                {"\xF0\x9F\x94\xA9", 4},
                {"\xC0\x80", 0},
                {"\xC1\xBF", 0},
                {"\xE0\x80\x80", 0},
                {"\xED\xA0\x80", 0},
                {"\xF4\x90\x80\x80", 0},
                {"\xFF", 0},
                {"\x80", 0},
                {"\xE2\x88", 0}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        cr_expect_eq(text_utf8_length(text_of(rows[i].bytes), 0), rows[i].length,
                     "row %zu", i);
    }
    cr_expect_eq(text_columns(TEXT("a\xC3\xA9\xE2\x88\x92")), 3);
}

/* The bytes of printf, written anew. */
#define EXPECT_FORMAT(...)                                                               \
    do {                                                                                 \
        char wanted[4096];                                                               \
        const int length = snprintf(wanted, sizeof wanted, __VA_ARGS__);                 \
        const text made = text_format(room.arena, __VA_ARGS__);                          \
        cr_expect_eq(made.length, (size_t)length);                                       \
        cr_expect(text_is(made, wanted), "%s is wanted", wanted);                        \
        cr_expect_eq(made.at[made.length], '\0');                                        \
    } while (0)

Test(base, formats_as_printf_does)
{
    struct room room = room_open();
    char long_word[600];
    memset(long_word, 'x', sizeof long_word - 1);
    long_word[sizeof long_word - 1] = '\0';
    EXPECT_FORMAT("plain");
    EXPECT_FORMAT("%s", "");
    EXPECT_FORMAT("%d%%, %d, %d", 0, INT32_MIN, INT32_MAX);
    EXPECT_FORMAT("%u of %zu, %ld", UINT32_MAX, SIZE_MAX, (long)INT64_MIN);
    EXPECT_FORMAT("%.*s and %.*s", 3, "cover", 9, "shaft");
    EXPECT_FORMAT("%.*s", 0, "cover");
    EXPECT_FORMAT("%.*s behind a NUL", 4, "a\0b");
    EXPECT_FORMAT("%s, %s, %d", long_word, long_word, -7);
    EXPECT_FORMAT("%s %-7s|%4u|%lld|%c", "some for printf:", "left", 12U, 34LL, 'c');
    room_close(&room);
}
