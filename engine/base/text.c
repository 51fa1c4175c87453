/* SPDX-License-Identifier: MIT */
/* Stretches of bytes; nothing here depends on the locale. */
#include "text.h"

#include <string.h>

int text_compare(text a, text b)
{
    const size_t common = a.length < b.length ? a.length : b.length;
    const int order = common == 0 ? 0 : memcmp(a.at, b.at, common);
    if (order != 0) {
        return order;
    }
    return (a.length > b.length) - (a.length < b.length);
}

bool text_starts(text a, text prefix)
{
    return a.length >= prefix.length && text_equal((text){a.at, prefix.length}, prefix);
}

bool text_ends(text a, text suffix)
{
    return a.length >= suffix.length &&
           text_equal((text){a.at + (a.length - suffix.length), suffix.length}, suffix);
}

text text_trim(text a)
{
    while (a.length > 0 && is_blank(a.at[0])) {
        a.at++;
        a.length--;
    }
    while (a.length > 0 && is_blank(a.at[a.length - 1])) {
        a.length--;
    }
    return a;
}

text text_slice(text a, size_t from, size_t end)
{
    const size_t stop = end < a.length ? end : a.length;
    const size_t start = from < stop ? from : stop;
    return (text){start == 0 ? a.at : a.at + start, stop - start}; /* at may be NULL */
}

size_t text_find(text a, char byte, size_t from)
{
    const char *found =
        from < a.length ? memchr(a.at + from, byte, a.length - from) : NULL;
    return found == NULL ? a.length : (size_t)(found - a.at);
}

text text_copy(struct arena *arena, text a)
{
    char *copy = arena_take(arena, a.length + 1);
    if (copy == NULL) {
        return (text){"", 0};
    }
    if (a.length > 0) {
        memcpy(copy, a.at, a.length);
    }
    return (text){copy, a.length};
}

text text_join(struct arena *arena, const text *parts, size_t count)
{
    size_t length = 0;
    for (size_t i = 0; i < count; i++) {
        length += parts[i].length;
    }
    char *made = arena_take(arena, length + 1);
    if (made == NULL) {
        return (text){"", 0};
    }
    size_t at = 0;
    for (size_t i = 0; i < count; i++) {
        if (parts[i].length > 0) { /* at may be NULL */
            memcpy(made + at, parts[i].at, parts[i].length);
        }
        at += parts[i].length;
    }
    return (text){made, length};
}

bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

bool is_letter(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

bool is_blank(char c)
{
    return c == ' ' || c == '\t';
}

/* The range the second byte must lie in; it excludes overlong forms, surrogates and what
 * lies above U+10FFFF (RFC 3629, section 4). */
static bool second_fits(unsigned char first, unsigned char second)
{
    switch (first) {
    case 0xE0:
        return second >= 0xA0 && second <= 0xBF;
    case 0xED:
        return second >= 0x80 && second <= 0x9F;
    case 0xF0:
        return second >= 0x90 && second <= 0xBF;
    case 0xF4:
        return second >= 0x80 && second <= 0x8F;
    default:
        return second >= 0x80 && second <= 0xBF;
    }
}

size_t text_utf8_length(text a, size_t at)
{
    const unsigned char first = (unsigned char)a.at[at];
    const size_t length = first < 0x80                     ? 1
                          : first >= 0xC2 && first <= 0xDF ? 2
                          : first >= 0xE0 && first <= 0xEF ? 3
                          : first >= 0xF0 && first <= 0xF4 ? 4
                                                           : 0;
    if (length == 0 || length > a.length - at) {
        return 0;
    }
    for (size_t i = 1; i < length; i++) {
        const unsigned char next = (unsigned char)a.at[at + i];
        if (i == 1 ? !second_fits(first, next) : (next & 0xC0) != 0x80) {
            return 0;
        }
    }
    return length;
}

size_t text_columns(text a)
{
    size_t columns = 0;
    for (size_t at = 0; at < a.length; columns++) {
        const size_t length = text_utf8_length(a, at);
        at += length == 0 ? 1 : length;
    }
    return columns;
}
