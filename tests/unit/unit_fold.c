/* SPDX-License-Identifier: MIT */
/* Texts as patterns read them, and the way back to what was written. */
#include "fold.h"
#include "listing_terms.h"

#include <criterion/criterion.h>

TestSuite(fold, .timeout = 30);

struct folding {
    const char *written;
    const char *plain;
};

static const struct folding foldings[] = {
    {"HK-2110", "hk-2110"},
    {"Entlüftung für Größe", "entluftung fur grosse"},
    {"Entlu\xCC\x88"
     "ftung",
     "entluftung"}, /* a mark of its own */
    {"ＨＫ－２１", "hk-21"},
    {"HK\xE2\x80\x8B-21\xC2\xA0x", "hk-21 x"},
    {"2004–2012 — 3", "2004-2012 - 3"},
    {"1½ ¾", "1 1/2 3/4"},
    {"Ø50×72", "@50x72"},
    {"£5 €6", "gbp5 eur6"},
    {"90° ±0.1", "90 deg +-0.1"},
    {"жук 数", "___ _"},
    {"a\tb\rc\nd", "a b c\nd"},
    {"“x” it’s", "\"x\" it's"},
    {"\xF0\x9F\x98\x80 ok", "  ok"}};

Test(fold, plain_text)
{
    for (size_t i = 0; i < sizeof foldings / sizeof *foldings; i++) {
        struct arena *arena = arena_open(allocator_standard(), 0);
        struct folded folded;
        size_t wrong = 0;
        cr_assert_eq(fold(arena, text_of(foldings[i].written), &folded, &wrong),
                     STATUS_OK);
        cr_expect(text_is(folded.plain, foldings[i].plain), "%s gave %.*s",
                  foldings[i].written, TEXT_ARG(folded.plain));
        arena_close(arena);
    }
}

Test(fold, every_byte_knows_where_it_came_from)
{
    struct arena *arena = arena_open(allocator_standard(), 0);
    struct folded folded;
    size_t wrong = 0;
    cr_assert_eq(
        fold(arena, text_of("Größe Ø50×72 für 1½\xE2\x80\x8B in"), &folded, &wrong),
        STATUS_OK);
    for (size_t i = 0; i + 1 < folded.plain.length; i++) {
        cr_expect_leq(folded.at[i], folded.at[i + 1]);
    }
    const text whole = fold_original(&folded, 0, folded.plain.length);
    cr_expect(text_equal(whole, folded.original));
    for (size_t i = 0; i < folded.plain.length; i++) {
        const text one = fold_original(&folded, i, i + 1);
        cr_expect_eq(text_utf8_length(one, 0), one.length, "byte %zu", i);
    }
    arena_close(arena);
}

Test(fold, what_is_no_utf8_is_refused_where_it_stands)
{
    struct arena *arena = arena_open(allocator_standard(), 0);
    struct folded folded;
    size_t wrong = 0;
    cr_expect_eq(fold(arena, text_of("cover \xFFx"), &folded, &wrong), STATUS_INVALID);
    cr_expect_eq(wrong, 6);
    cr_expect_eq(fold(arena, text_of("cut \xC3"), &folded, &wrong), STATUS_INVALID);
    cr_expect_eq(wrong, 4);
    cr_expect_eq(fold(arena, text_of("\xC0\x80"), &folded, &wrong), STATUS_INVALID);
    cr_expect_eq(fold(arena, text_of(""), &folded, &wrong), STATUS_OK);
    arena_close(arena);
}
