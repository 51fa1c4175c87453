/* SPDX-License-Identifier: MIT */
/*
 * Digits and numbers. Our own grammar decides what a number is; only then is the C
 * library asked, with its decimal sign taken from itself, so that a host program's locale
 * changes nothing.
 */
#include "number_text.h"

#include <locale.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum {
    LONGEST_NUMBER = 64
};

static size_t digits_length(text a, size_t from)
{
    size_t at = from;
    while (at < a.length && is_digit(a.at[at])) {
        at++;
    }
    return at - from;
}

size_t number_length(text a)
{
    size_t at = 0;
    if (at < a.length && (a.at[at] == '+' || a.at[at] == '-')) {
        at++;
    }
    const size_t whole = digits_length(a, at);
    if (whole == 0) {
        return 0;
    }
    at += whole;
    if (at + 1 < a.length && a.at[at] == '.' && is_digit(a.at[at + 1])) {
        at += 1 + digits_length(a, at + 1);
    }
    if (at < a.length && (a.at[at] == 'e' || a.at[at] == 'E')) {
        size_t exponent = at + 1;
        if (exponent < a.length && (a.at[exponent] == '+' || a.at[exponent] == '-')) {
            exponent++;
        }
        const size_t digits = digits_length(a, exponent);
        if (digits > 0) {
            at = exponent + digits;
        }
    }
    return at;
}

/* Both the digits as a whole number and the power of ten are exact in a double, so that
 * their quotient is the nearest double to what is written (IEEE 754 divides correctly).
 */
size_t number_read_plain(text a, double *out)
{
    enum {
        MOST_DIGITS = 15
    };
    static const double powers[MOST_DIGITS + 1] = {1e0,  1e1,  1e2,  1e3, 1e4,  1e5,
                                                   1e6,  1e7,  1e8,  1e9, 1e10, 1e11,
                                                   1e12, 1e13, 1e14, 1e15};
    uint64_t digits = 0;
    size_t at = 0;
    size_t point = 0; /* where it stands, + 1 */
    for (; at < a.length && at <= MOST_DIGITS; at++) {
        if (is_digit(a.at[at])) {
            digits = digits * 10 + (uint64_t)(a.at[at] - '0');
        } else if (a.at[at] == '.' && point == 0 && at > 0) {
            point = at + 1;
        } else {
            break;
        }
    }
    const bool is_long = at > MOST_DIGITS;
    const bool is_more = at < a.length && (is_digit(a.at[at]) || a.at[at] == '.' ||
                                           a.at[at] == 'e' || a.at[at] == 'E');
    if (at == 0 || at == point || is_long || is_more) {
        return 0;
    }
    *out = (double)digits / powers[point == 0 ? 0 : at - point];
    return at;
}

/* The decimal sign strtod and printf use just now: one byte, or '.' when it is longer. */
static char decimal_sign(void)
{
    const struct lconv *now = localeconv();
    return now->decimal_point[0] != '\0' && now->decimal_point[1] == '\0'
               ? now->decimal_point[0]
               : '.';
}

bool number_read(text a, double *out)
{
    char copy[LONGEST_NUMBER + 1];
    if (a.length == 0 || a.length > LONGEST_NUMBER || number_length(a) != a.length) {
        return false;
    }
    if (number_read_plain(a, out) == a.length) {
        return true; /* the same number, without the library's locale */
    }
    bool has_digit = false;
    for (size_t i = 0; i < a.length; i++) {
        if (a.at[i] == 'e' || a.at[i] == 'E') {
            break;
        }
        has_digit = has_digit || (is_digit(a.at[i]) && a.at[i] != '0');
    }
    memcpy(copy, a.at, a.length);
    copy[a.length] = '\0';
    char *point = strchr(copy, '.');
    if (point != NULL) {
        *point = decimal_sign();
    }
    const double value = strtod(copy, NULL);
    if (!isfinite(value) || (value == 0.0 && has_digit)) {
        return false;
    }
    *out = value;
    return true;
}

static text print_number(struct arena *arena, bool is_fixed, int digits, double value)
{
    char buffer[400];
    const int length = is_fixed ? snprintf(buffer, sizeof buffer, "%.*f", digits, value)
                                : snprintf(buffer, sizeof buffer, "%.*g", digits, value);
    if (length < 0 || (size_t)length >= sizeof buffer) {
        return (text){"", 0};
    }
    char *sign = strchr(buffer, decimal_sign());
    if (sign != NULL) {
        *sign = '.';
    }
    return text_copy(arena, (text){buffer, (size_t)length});
}

text number_write(struct arena *arena, double value)
{
    if (isnan(value)) {
        return TEXT("nan");
    }
    if (isinf(value)) {
        return value > 0 ? TEXT("inf") : TEXT("-inf");
    }
    text written = {"", 0};
    for (int digits = 15; digits <= 17; digits++) {
        double back = 0;
        written = print_number(arena, false, digits, value == 0.0 ? 0.0 : value);
        if (number_read(written, &back) && back == value) {
            break;
        }
    }
    return written;
}

text number_write_fixed(struct arena *arena, double value, int decimals)
{
    if (!isfinite(value)) {
        return number_write(arena, value);
    }
    const text written = print_number(arena, true, decimals, value);
    for (size_t i = 0; i < written.length; i++) {
        if (is_digit(written.at[i]) && written.at[i] != '0') {
            return written;
        }
    }
    return text_starts(written, TEXT("-")) ? text_slice(written, 1, written.length)
                                           : written;
}
