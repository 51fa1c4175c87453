/* SPDX-License-Identifier: MIT */
/*
 * The pieces of a stated dimension, taken one by one off a cursor: numbers, units,
 * classes, tolerances, range ends. The first fault is kept with its place and reported by
 * stated.c, so that the same code also shows how far a literal in a formula reaches,
 * without a word said.
 */
#include "stated_private.h"

#include "number_text.h"

#include <math.h>

enum {
    LONGEST_NUMBER = 64
};

void cursor_fault(struct cursor *cursor, enum diagnostic_code code, struct piece where,
                  const char *message)
{
    if (!cursor->has_fault) {
        cursor->has_fault = true;
        cursor->code = code;
        cursor->fault = where;
        cursor->message = message;
    }
}

text cursor_rest(const struct cursor *cursor)
{
    return text_slice(cursor->all, cursor->at, cursor->all.length);
}

struct piece cursor_since(const struct cursor *cursor, size_t start)
{
    return (struct piece){start, cursor->at - start};
}

bool take_word(struct cursor *cursor, const char *word)
{
    const text rest = cursor_rest(cursor);
    if (rest.length == 0 || rest.at[0] != word[0] || /* mostly that tells */
        !text_starts(rest, text_of(word))) {
        return false;
    }
    cursor->at += text_of(word).length;
    return true;
}

/* Catalogues set no-break and thin spaces before units. */
void cursor_skip_blanks(struct cursor *cursor)
{
    static const char *const wide[] = {"\u00a0", "\u2009", "\u202f"};
    bool is_on = true;
    while (is_on) {
        is_on = cursor->at < cursor->all.length && is_blank(cursor->all.at[cursor->at]);
        cursor->at += is_on ? 1 : 0;
        for (size_t i = 0; !is_on && i < sizeof wide / sizeof *wide; i++) {
            is_on = take_word(cursor, wide[i]);
        }
    }
}

size_t word_length(text a)
{
    size_t at = 0;
    while (at < a.length && !is_blank(a.at[at]) && a.at[at] != ',' && a.at[at] != ')' &&
           a.at[at] != '(') {
        at++;
    }
    return at;
}

int take_sign(struct cursor *cursor)
{
    if (take_word(cursor, "+")) {
        return 1;
    }
    return take_word(cursor, "-") || take_word(cursor, "−") ? -1 : 0;
}

/* A decimal comma with digits on both sides, behind `length` bytes of digits. */
static size_t comma_length(text rest, size_t length)
{
    size_t end = length + 1;
    while (length > 0 && end < rest.length && rest.at[length] == ',' &&
           is_digit(rest.at[end])) {
        end++;
    }
    return end > length + 1 ? end : length;
}

/* Digits behind the decimal sign; an exponent has none. */
static int decimals_of(const char *digits, size_t length)
{
    int decimals = 0;
    bool is_behind = false;
    for (size_t i = 0; i < length && (is_digit(digits[i]) || digits[i] == '.'); i++) {
        decimals += is_behind ? 1 : 0;
        is_behind = is_behind || digits[i] == '.';
    }
    return decimals;
}

bool take_number(struct cursor *cursor, double *out, int *decimals)
{
    char copy[LONGEST_NUMBER];
    const text rest = cursor_rest(cursor);
    const size_t plain =
        rest.length > 0 && is_digit(rest.at[0]) ? number_length(rest) : 0;
    const size_t length = comma_length(rest, plain);
    const struct piece here = {cursor->at, length};
    if (length == 0) {
        cursor_fault(cursor, CODE_NUMBER_WRONG,
                     (struct piece){cursor->at, word_length(rest)},
                     "a number was expected");
        return false;
    }
    if (length > plain && !cursor->options->decimal_comma) {
        cursor_fault(cursor, CODE_DECIMAL_COMMA, here,
                     "a decimal comma stands where a decimal point is due");
        return false;
    }
    if (length >= LONGEST_NUMBER) {
        cursor_fault(cursor, CODE_NUMBER_WRONG, here, "this number is too long");
        return false;
    }
    for (size_t i = 0; i < length; i++) {
        copy[i] = rest.at[i] == ',' ? '.' : rest.at[i];
    }
    if (!number_read((text){copy, length}, out)) {
        cursor_fault(cursor, CODE_NUMBER_WRONG, here,
                     "this number is too large or too small");
        return false;
    }
    *decimals = decimals_of(copy, length);
    cursor->at += length;
    return true;
}

/* One letter or one of the pairs of ISO 286-1, and a grade: "mm2" is no class. */
static bool is_class_word(text word)
{
    static const char *const pairs[] = {"cd", "ef", "fg", "js", "za", "zb", "zc",
                                        "CD", "EF", "FG", "JS", "ZA", "ZB", "ZC"};
    size_t letters = 0;
    while (letters < word.length && is_letter(word.at[letters])) {
        letters++;
    }
    size_t digits = letters;
    while (digits < word.length && is_digit(word.at[digits])) {
        digits++;
    }
    bool is_zone = letters == 1;
    for (size_t i = 0; i < sizeof pairs / sizeof *pairs; i++) {
        is_zone = is_zone || text_is(text_slice(word, 0, letters), pairs[i]);
    }
    return is_zone && digits > letters && digits - letters <= 2 && digits == word.length;
}

static bool wants_length(const struct cursor *cursor)
{
    return !cursor->options->any_dimension &&
           dimension_equal(cursor->options->wanted, DIMENSION_LENGTH);
}

/* Where a length is due a class goes before units (m3 is no volume). */
bool take_class(struct cursor *cursor, text *out)
{
    struct unit unit;
    const size_t start = cursor->at;
    cursor_skip_blanks(cursor);
    const text rest = cursor_rest(cursor);
    size_t length = 0;
    while (length < rest.length &&
           (is_letter(rest.at[length]) || is_digit(rest.at[length]))) {
        length++;
    }
    const text word = text_slice(rest, 0, length);
    if (!is_class_word(word) || (!wants_length(cursor) && unit_find(word, &unit))) {
        cursor->at = start;
        return false;
    }
    *out = word;
    cursor->tolerance = (struct piece){cursor->at, length};
    cursor->at += length;
    return true;
}

/* Where people type, a unit in capitals or by its name: "2 IN", "3 inches". */
static bool take_typed_unit(struct cursor *cursor, struct unit *out)
{
    const text rest = cursor_rest(cursor);
    size_t length = 0;
    while (length < rest.length &&
           (is_letter(rest.at[length]) || (length > 0 && rest.at[length] == '/'))) {
        length++;
    }
    if (!cursor->options->decimal_comma ||
        (length < rest.length && is_digit(rest.at[length])) ||
        !unit_find_typed(text_slice(rest, 0, length), out)) {
        return false;
    }
    cursor->unit = (struct piece){cursor->at, length};
    cursor->at += length;
    return true;
}

/* The unit "1" stays unwritten; 1/min may be written. */
bool take_unit(struct cursor *cursor, struct unit *out)
{
    const size_t start = cursor->at;
    cursor_skip_blanks(cursor);
    const text rest = cursor_rest(cursor);
    const size_t length = unit_length(rest);
    const char next = length < rest.length ? rest.at[length] : ' ';
    if (length == 0 || (length == 1 && is_digit(rest.at[0])) || is_letter(next) ||
        is_digit(next) || !unit_find(text_slice(rest, 0, length), out)) {
        if (take_typed_unit(cursor, out)) {
            return true;
        }
        cursor->at = start;
        return false;
    }
    cursor->unit = (struct piece){cursor->at, length};
    cursor->at += length;
    return true;
}

/* +0.1/-0, in either order. Only a zero may stand without its sign: "5 +3/2" in a formula
 * is a sum. */
static bool take_two_sided(struct cursor *cursor, double ends[2])
{
    int decimals = 0;
    for (int i = 0; i < 2; i++) {
        const int sign = take_sign(cursor);
        const text rest = cursor_rest(cursor);
        if (rest.length == 0 || !is_digit(rest.at[0]) || (sign == 0 && i == 0) ||
            !take_number(cursor, &ends[i], &decimals) || (sign == 0 && ends[i] != 0.0) ||
            (i == 0 && !take_word(cursor, "/"))) {
            return false;
        }
        ends[i] *= sign == 0 ? 1 : sign;
    }
    return true;
}

bool take_tolerance(struct cursor *cursor, double *low, double *high)
{
    const size_t before = cursor->at;
    double ends[2] = {0, 0};
    int decimals = 0;
    cursor_skip_blanks(cursor);
    const size_t start = cursor->at;
    if (take_word(cursor, "±") || take_word(cursor, "+/-")) {
        cursor_skip_blanks(cursor);
        if (!take_number(cursor, high, &decimals)) {
            return false;
        }
        *low = -*high;
    } else if (take_two_sided(cursor, ends)) {
        *low = fmin(ends[0], ends[1]);
        *high = fmax(ends[0], ends[1]);
    } else {
        cursor->at = before;
        return false;
    }
    cursor->tolerance = cursor_since(cursor, start);
    return true;
}

bool take_range_end(struct cursor *cursor, double *out)
{
    int decimals = 0;
    const size_t before = cursor->at;
    cursor_skip_blanks(cursor);
    const size_t start = cursor->at;
    if (!take_word(cursor, "..")) {
        cursor->at = before;
        return false;
    }
    cursor_skip_blanks(cursor);
    const int sign = take_sign(cursor);
    if (!take_number(cursor, out, &decimals)) {
        return false;
    }
    *out *= sign == 0 ? 1 : sign;
    cursor->tolerance = cursor_since(cursor, start);
    return true;
}
