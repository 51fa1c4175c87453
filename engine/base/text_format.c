/* SPDX-License-Identifier: MIT */
/*
 * Formatting into an arena. Nearly all formats put texts and whole numbers together:
 * those are written here in one go, since printf, asked for the length first and for the
 * bytes then, takes a third of what a listing costs. A format with anything else is
 * printf's.
 */
#include "text.h"

#include <stdint.h>
#include <stdio.h>
#include <string.h>

enum {
    ROOM = 512,      /* what is longer is formatted again, where it stays */
    MOST_DIGITS = 20 /* of 2^64 - 1 */
};

struct forming {
    char *at;
    size_t room;
    size_t length; /* of all, whether there was room or not */
};

static void put_bytes(struct forming *to, const char *bytes, size_t count)
{
    if (count > 0 && to->length + count <= to->room) {
        memcpy(to->at + to->length, bytes, count);
    }
    to->length += count;
}

static void put_whole(struct forming *to, uint64_t value, bool is_below)
{
    char digits[MOST_DIGITS + 1];
    size_t at = sizeof digits;
    do {
        digits[--at] = (char)('0' + value % 10);
        value /= 10;
    } while (value > 0);
    if (is_below) {
        digits[--at] = '-';
    }
    put_bytes(to, digits + at, sizeof digits - at);
}

static void put_signed(struct forming *to, int64_t value)
{
    put_whole(to, value < 0 ? UINT64_C(0) - (uint64_t)value : (uint64_t)value, value < 0);
}

/* What stands behind a %; the bytes of it, 0: it is none of those known here. A va_list
 * that is handed on by its address is the same one afterwards (C17 7.16, footnote 257).
 */
static size_t put_directive(struct forming *to, const char *directive, va_list *arguments)
{
    if (strncmp(directive, ".*s", 3) == 0) {
        const int most = va_arg(*arguments, int);
        const char *bytes = va_arg(*arguments, const char *);
        put_bytes(to, bytes, most <= 0 ? 0 : strnlen(bytes, (size_t)most));
        return most < 0 ? 0 : 3;
    }
    switch (directive[0]) {
    case 's': {
        const char *bytes = va_arg(*arguments, const char *);
        put_bytes(to, bytes, bytes == NULL ? 0 : strlen(bytes));
        return 1;
    }
    case 'd':
        put_signed(to, va_arg(*arguments, int));
        return 1;
    case 'u':
        put_whole(to, va_arg(*arguments, unsigned), false);
        return 1;
    case '%':
        put_bytes(to, "%", 1);
        return 1;
    default:
        break;
    }
    if (strncmp(directive, "zu", 2) == 0) {
        put_whole(to, va_arg(*arguments, size_t), false);
        return 2;
    }
    if (strncmp(directive, "ld", 2) == 0) {
        put_signed(to, va_arg(*arguments, long));
        return 2;
    }
    return 0;
}

/* false: something in the format is not known here. */
static bool form(struct forming *to, const char *format, va_list *arguments)
{
    for (const char *at = format; *at != '\0';) {
        const size_t plain = strcspn(at, "%");
        put_bytes(to, at, plain);
        at += plain;
        if (*at == '%') {
            const size_t taken = put_directive(to, at + 1, arguments);
            if (taken == 0) {
                return false;
            }
            at += 1 + taken;
        }
    }
    return true;
}

__attribute__((format(printf, 2, 0))) static text
form_by_printf(struct arena *arena, const char *format, va_list arguments)
{
    va_list again;
    va_copy(again, arguments);
    const int length = vsnprintf(NULL, 0, format, arguments);
    char *made = length < 0 ? NULL : arena_take(arena, (size_t)length + 1);
    if (made != NULL) {
        vsnprintf(made, (size_t)length + 1, format, again);
    }
    va_end(again);
    return made == NULL ? (text){"", 0} : (text){made, (size_t)length};
}

text text_format_list(struct arena *arena, const char *format, va_list arguments)
{
    char room[ROOM];
    struct forming first = {.at = room, .room = sizeof room};
    va_list looked;
    va_list again;
    va_copy(looked, arguments);
    va_copy(again, arguments);
    const bool is_known = form(&first, format, &looked);
    char *made = is_known ? arena_take(arena, first.length + 1) : NULL;
    text out = {"", 0};
    if (!is_known) {
        out = form_by_printf(arena, format, arguments);
    } else if (made != NULL) {
        struct forming last = {.at = made, .room = first.length};
        if (first.length <= sizeof room) {
            put_bytes(&last, room, first.length);
        } else {
            (void)form(&last, format, &again);
        }
        out = (text){made, first.length};
    }
    va_end(again);
    va_end(looked);
    return out;
}

text text_format(struct arena *arena, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    const text made = text_format_list(arena, format, arguments);
    va_end(arguments);
    return made;
}
