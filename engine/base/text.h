/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_TEXT_H
#define WHYFIT_TEXT_H

#include "arena.h"

#include <stdarg.h>
#include <stdint.h>
#include <string.h>

/* A stretch of UTF-8 bytes; not NUL-terminated unless its maker says so. Borrowed. */
typedef struct text {
    const char *at;
    size_t length;
} text;

#define TEXT(literal) ((text){"" literal, sizeof(literal) - 1})

/* NULL gives the empty text. Inline, as the next two are: the length of a literal is then
 * known. */
static inline text text_of(const char *terminated)
{
    return terminated == NULL ? (text){"", 0} : (text){terminated, strlen(terminated)};
}

static inline bool text_equal(text a, text b)
{
    return a.length == b.length && (a.length == 0 || memcmp(a.at, b.at, a.length) == 0);
}

static inline bool text_is(text a, const char *terminated)
{
    /* Mostly the first byte tells. */
    const char first = terminated == NULL ? '\0' : terminated[0];
    return (a.length == 0 ? '\0' : a.at[0]) == first &&
           text_equal(a, text_of(terminated));
}

int text_compare(text a, text b); /* by bytes, the shorter first; no locale */
bool text_starts(text a, text prefix);
bool text_ends(text a, text suffix);
text text_trim(text a);                           /* blanks and tabs off both ends */
text text_slice(text a, size_t from, size_t end); /* clamped to a */
/* Where `byte` first stands in a, from `from` on; a.length when nowhere. */
size_t text_find(text a, char byte, size_t from);

/* A copy in the arena with a NUL behind it; {"",0} when the arena has failed. */
text text_copy(struct arena *arena, text a);

/* The parts one after the other, with a NUL behind them. */
text text_join(struct arena *arena, const text *parts, size_t count);

/* Formats into the arena, NUL-terminated. Takes what printf takes but no floating
 * conversion (those follow the locale: use number_write). %.*s with TEXT_ARG(t) prints a
 * text, %s with NULL nothing. */
__attribute__((format(printf, 2, 3))) text text_format(struct arena *arena,
                                                       const char *format, ...);
/* The same with its arguments in a list, which is used up. */
__attribute__((format(printf, 2, 0))) text
text_format_list(struct arena *arena, const char *format, va_list arguments);
#define TEXT_ARG(t) (int)(t).length, (t).at

/* ASCII only, whatever the locale. */
bool is_digit(char c);
bool is_letter(char c);
bool is_blank(char c);

/* Length in bytes of the UTF-8 sequence that starts at a.at[at], 0 when it is not valid.
 */
size_t text_utf8_length(text a, size_t at);
/* How many code points a holds (bytes that cannot be read count one each). */
size_t text_columns(text a);

#endif
