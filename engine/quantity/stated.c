/* SPDX-License-Identifier: MIT */
/*
 * Reads the notation of dimensions. One cursor walks the text; the first fault is kept
 * with its place and reported at the end, so that the same code can also be used to see
 * how far a literal in a formula reaches, without a word said.
 */
#include "stated.h"

#include "number_text.h"

#include <math.h>

enum {
    LONGEST_NUMBER = 64
};

struct cursor {
    text all;
    size_t at;
    const struct stated_options *options;
    bool has_fault;
    enum diagnostic_code code;
    size_t fault_at;
    size_t fault_length;
    const char *message;
};

static void fault(struct cursor *cursor, enum diagnostic_code code, size_t at,
                  size_t length, const char *message)
{
    if (!cursor->has_fault) {
        cursor->has_fault = true;
        cursor->code = code;
        cursor->fault_at = at;
        cursor->fault_length = length;
        cursor->message = message;
    }
}

static text rest_of(const struct cursor *cursor)
{
    return text_slice(cursor->all, cursor->at, cursor->all.length);
}

static void skip_blanks(struct cursor *cursor)
{
    while (cursor->at < cursor->all.length && is_blank(cursor->all.at[cursor->at])) {
        cursor->at++;
    }
}

static bool take(struct cursor *cursor, const char *word)
{
    if (!text_starts(rest_of(cursor), text_of(word))) {
        return false;
    }
    cursor->at += text_of(word).length;
    return true;
}

static size_t name_length(text a)
{
    size_t at = 0;
    while (at < a.length && (is_letter(a.at[at]) || is_digit(a.at[at]) ||
                             a.at[at] == '-' || a.at[at] == '_')) {
        at++;
    }
    return at;
}

/* How long a word is that may be a unit or a class: up to a blank, sign, comma or
 * bracket. */
static size_t word_length(text a)
{
    size_t at = 0;
    while (at < a.length && !is_blank(a.at[at]) && a.at[at] != ',' && a.at[at] != ')' &&
           a.at[at] != '(') {
        at++;
    }
    return at;
}

/* 1, -1, or 0 when there is no sign; the typographic minus counts. */
static int take_sign(struct cursor *cursor)
{
    if (take(cursor, "+")) {
        return 1;
    }
    return take(cursor, "-") || take(cursor, "−") ? -1 : 0;
}

/* Digits with an optional decimal sign and exponent; no sign before them. */
static bool take_number(struct cursor *cursor, double *out, int *decimals)
{
    char copy[LONGEST_NUMBER];
    const text rest = rest_of(cursor);
    size_t length = rest.length > 0 && is_digit(rest.at[0]) ? number_length(rest) : 0;
    const bool has_comma = length > 0 && length + 1 < rest.length &&
                           rest.at[length] == ',' && is_digit(rest.at[length + 1]);
    if (length == 0) {
        fault(cursor, CODE_NUMBER_WRONG, cursor->at, word_length(rest),
              "a number was expected");
        return false;
    }
    if (has_comma) {
        size_t end = length + 1;
        while (end < rest.length && is_digit(rest.at[end])) {
            end++;
        }
        if (!cursor->options->decimal_comma) {
            fault(cursor, CODE_DECIMAL_COMMA, cursor->at, end,
                  "a decimal comma stands where a decimal point is due");
            return false;
        }
        length = end;
    }
    if (length >= LONGEST_NUMBER) {
        fault(cursor, CODE_NUMBER_WRONG, cursor->at, length, "this number is too long");
        return false;
    }
    *decimals = 0;
    for (size_t i = 0; i < length; i++) {
        copy[i] = rest.at[i] == ',' ? '.' : rest.at[i];
        if (copy[i] == '.') {
            *decimals = (int)(length - i - 1);
        }
    }
    if (!number_read((text){copy, length}, out)) {
        fault(cursor, CODE_NUMBER_WRONG, cursor->at, length,
              "this number is too large or too small");
        return false;
    }
    cursor->at += length;
    return true;
}

static bool is_class_word(text word)
{
    size_t letters = 0;
    while (letters < word.length && is_letter(word.at[letters])) {
        letters++;
    }
    size_t digits = letters;
    while (digits < word.length && is_digit(word.at[digits])) {
        digits++;
    }
    return letters >= 1 && letters <= 2 && digits > letters && digits - letters <= 2 &&
           digits == word.length;
}

static bool wants(const struct cursor *cursor, struct dimension dim)
{
    return !cursor->options->any_dimension &&
           dimension_equal(cursor->options->wanted, dim);
}

/* A tolerance class such as k6. Where a length is due it goes before units (m3 is no
 * volume). */
static bool take_class(struct cursor *cursor, struct stated *out)
{
    struct unit unit;
    const size_t start = cursor->at;
    skip_blanks(cursor);
    const text rest = rest_of(cursor);
    size_t length = 0;
    while (length < rest.length &&
           (is_letter(rest.at[length]) || is_digit(rest.at[length]))) {
        length++;
    }
    const text word = text_slice(rest, 0, length);
    if (!is_class_word(word) ||
        (!wants(cursor, DIMENSION_LENGTH) && unit_find(word, &unit))) {
        cursor->at = start;
        return false;
    }
    out->tolerance_class = word;
    cursor->at += length;
    return true;
}

static bool take_unit(struct cursor *cursor, struct stated *out)
{
    const size_t start = cursor->at;
    skip_blanks(cursor);
    const text rest = rest_of(cursor);
    const size_t length = unit_length(rest);
    const char next = length < rest.length ? rest.at[length] : ' ';
    if (length == 0 || is_digit(rest.at[0]) || is_letter(next) || is_digit(next) ||
        !unit_find(text_slice(rest, 0, length), &out->unit)) {
        cursor->at = start;
        return false;
    }
    cursor->at += length;
    return true;
}

/* ±0.05, +/-0.05 or +0.1/-0; false (and nothing taken) when there is none. */
static bool take_tolerance(struct cursor *cursor, double *low, double *high)
{
    const size_t start = cursor->at;
    int decimals = 0;
    skip_blanks(cursor);
    if (take(cursor, "±") || take(cursor, "+/-")) {
        skip_blanks(cursor);
        if (take_number(cursor, high, &decimals)) {
            *low = -*high;
            return true;
        }
        return false;
    }
    double ends[2] = {0, 0};
    for (int i = 0; i < 2; i++) {
        const int sign = take_sign(cursor);
        const text rest = rest_of(cursor);
        const bool is_next = rest.length > 0 && is_digit(rest.at[0]) &&
                             (sign != 0 || (i == 1 && rest.at[0] == '0'));
        if (!is_next || !take_number(cursor, &ends[i], &decimals) ||
            (i == 0 && !take(cursor, "/"))) {
            cursor->at = start;
            return false;
        }
        ends[i] *= sign == 0 ? 1 : sign;
    }
    *low = fmin(ends[0], ends[1]);
    *high = fmax(ends[0], ends[1]);
    return true;
}

static bool take_range_end(struct cursor *cursor, double *out)
{
    int decimals = 0;
    const size_t start = cursor->at;
    skip_blanks(cursor);
    if (!take(cursor, "..")) {
        cursor->at = start;
        return false;
    }
    skip_blanks(cursor);
    const int sign = take_sign(cursor);
    if (!take_number(cursor, out, &decimals)) {
        return false;
    }
    *out *= sign == 0 ? 1 : sign;
    return true;
}

static void check_dimension(struct cursor *cursor, struct stated *out, size_t number_at)
{
    const struct stated_options *options = cursor->options;
    out->dim = out->unit.symbol != NULL ? out->unit.dim : DIMENSION_RATIO;
    if (options->any_dimension || dimension_equal(options->wanted, out->dim)) {
        return;
    }
    const size_t length = cursor->at - number_at;
    if (out->unit.symbol == NULL) {
        fault(cursor, CODE_UNIT_MISSING, number_at, length, "this number has no unit");
    } else {
        fault(cursor, CODE_UNIT_WRONG, number_at, length,
              "this unit is one of another dimension");
    }
}

/* A word where a unit should stand is a unit that nobody knows. */
static void refuse_unknown_unit(struct cursor *cursor)
{
    size_t at = cursor->at;
    while (at < cursor->all.length && is_blank(cursor->all.at[at])) {
        at++;
    }
    const text word = text_slice(cursor->all, at, cursor->all.length);
    if (word.length > 0 && is_letter(word.at[0])) {
        fault(cursor, CODE_UNIT_UNKNOWN, at, word_length(word), "nobody knows this unit");
    }
}

/* NUMBER with unit, range, tolerance or class, in the order people write them. */
static bool take_dimension(struct cursor *cursor, int sign, struct stated *out)
{
    const size_t number_at = cursor->at;
    double number = 0;
    double end = 0;
    double low = 0;
    double high = 0;
    if (!take_number(cursor, &number, &out->decimals)) {
        return false;
    }
    number *= sign;
    const bool is_range = take_range_end(cursor, &end);
    bool has_unit = take_unit(cursor, out);
    const bool is_class = !is_range && take_class(cursor, out);
    const bool has_tolerance =
        !is_range && !is_class && take_tolerance(cursor, &low, &high);
    has_unit = has_unit || take_unit(cursor, out);
    if (!has_unit && !is_class && !cursor->options->any_dimension) {
        refuse_unknown_unit(cursor);
    }
    if (is_class && !has_unit) {
        has_unit = unit_find(TEXT("mm"), &out->unit);
    }
    if (cursor->has_fault) {
        return false;
    }
    check_dimension(cursor, out, number_at);
    const struct unit plain = {.scale = 1.0};
    const struct unit *unit = has_unit ? &out->unit : &plain;
    out->nominal = unit_to_coherent(unit, number);
    if (is_range) {
        const double last = unit_to_coherent(unit, end);
        if (last < out->nominal) {
            fault(cursor, CODE_LIMITS_CROSSED, number_at, cursor->at - number_at,
                  "the least value lies above the greatest");
        }
        const double middle = (out->nominal + last) / 2;
        low = out->nominal - middle;
        high = last - middle;
        out->nominal = middle;
    } else if (has_tolerance) {
        const struct unit step = {.scale = unit->scale};
        low = unit_to_coherent(&step, low);
        high = unit_to_coherent(&step, high);
    }
    out->basis = is_range || has_tolerance ? STATED_LIMITS
                 : is_class                ? STATED_CLASS
                                           : STATED_BARE;
    out->low = low;
    out->high = high;
    return !cursor->has_fault;
}

/* "groove-out -1.85 …", "from +3 mm", "shoulder": false when no name stands here. */
static bool take_anchor(struct cursor *cursor, int *sign, struct stated *out)
{
    const size_t start = cursor->at;
    const size_t length = name_length(rest_of(cursor));
    if (length == 0 || !is_letter(cursor->all.at[start])) {
        return false;
    }
    out->anchor = text_slice(cursor->all, start, start + length);
    cursor->at += length;
    skip_blanks(cursor);
    if (cursor->at == cursor->all.length) {
        out->is_name_alone = true;
        out->dim = DIMENSION_LENGTH;
        return true;
    }
    *sign = take_sign(cursor);
    if (*sign == 0) {
        fault(cursor, CODE_NUMBER_WRONG, cursor->at, word_length(rest_of(cursor)),
              "after a name a signed distance was expected");
    }
    skip_blanks(cursor);
    return true;
}

/* `measured X with GAUGE`: cuts the gauge off the end. */
static void take_gauge(struct cursor *cursor, struct stated *out)
{
    const text mark = TEXT(" with ");
    for (size_t i = cursor->at; i + mark.length < cursor->all.length; i++) {
        if (text_starts(text_slice(cursor->all, i, cursor->all.length), mark)) {
            out->gauge =
                text_trim(text_slice(cursor->all, i + mark.length, cursor->all.length));
            cursor->all = text_slice(cursor->all, 0, i);
            return;
        }
    }
}

static void read_all(struct cursor *cursor, struct stated *out)
{
    const bool is_least = take(cursor, "at least ");
    const bool is_most = !is_least && take(cursor, "at most ");
    const bool is_eye = !is_least && !is_most && take(cursor, "about ");
    const bool is_measured =
        !is_least && !is_most && !is_eye && take(cursor, "measured ");
    int sign = 0;
    skip_blanks(cursor);
    if (is_measured) {
        take_gauge(cursor, out);
    }
    if (cursor->options->anchors_allowed && take_anchor(cursor, &sign, out)) {
        if (out->is_name_alone || cursor->has_fault) {
            return;
        }
    } else {
        sign = take_sign(cursor);
    }
    if (!take_dimension(cursor, sign == 0 ? 1 : sign, out)) {
        return;
    }
    if (is_least || is_most) {
        out->basis = STATED_LIMITS;
        out->low = is_least ? out->low : -INFINITY;
        out->high = is_least ? INFINITY : out->high;
    } else if (is_eye) {
        out->basis = STATED_EYE;
    } else if (is_measured) {
        out->basis = STATED_MEASURED;
    }
    const size_t end = cursor->at;
    skip_blanks(cursor);
    if (cursor->at < cursor->all.length) {
        const bool is_unit = out->unit.symbol == NULL && out->basis != STATED_CLASS;
        fault(cursor, is_unit ? CODE_UNIT_UNKNOWN : CODE_TOLERANCE_WRONG, cursor->at,
              cursor->all.length - cursor->at,
              is_unit ? "nobody knows this unit" : "this could not be read");
        cursor->at = end;
    }
}

/* ---- reporting */

static text example_of(struct arena *arena, const struct cursor *cursor)
{
    struct unit unit;
    if (cursor->options->any_dimension || !unit_shown(cursor->options->wanted, &unit)) {
        return TEXT("a number with its unit, such as 18 mm");
    }
    return text_format(arena, "a %.*s such as 18%s%s",
                       TEXT_ARG(dimension_name(arena, cursor->options->wanted)),
                       text_is(text_of(unit.symbol), "1") ? "" : " ",
                       text_is(text_of(unit.symbol), "1") ? "" : unit.symbol);
}

static text with_point(struct arena *arena, text written)
{
    char *copy = arena_copy(arena, written.at, written.length);
    for (size_t i = 0; copy != NULL && i < written.length; i++) {
        copy[i] = copy[i] == ',' ? '.' : copy[i];
    }
    return copy == NULL ? (text){"", 0} : (text){copy, written.length};
}

static void explain(struct diagnostic *report, struct arena *arena,
                    const struct cursor *cursor, const struct stated *stated)
{
    const text at = text_slice(cursor->all, cursor->fault_at,
                               cursor->fault_at + cursor->fault_length);
    switch ((int)cursor->code) {
    case CODE_DECIMAL_COMMA:
        report->expected = with_point(arena, at);
        return;
    case CODE_UNIT_UNKNOWN: {
        struct nearest near = nearest_to(text_trim(at));
        unit_offer_all(&near);
        report->nearest = near.best;
        report->expected = example_of(arena, cursor);
        return;
    }
    case CODE_UNIT_WRONG:
        report->expected =
            text_format(arena, "%.*s, not %.*s", TEXT_ARG(example_of(arena, cursor)),
                        TEXT_ARG(dimension_name(arena, stated->dim)));
        return;
    case CODE_TOLERANCE_WRONG:
        report->expected =
            TEXT("18 ±0.05 mm, 18 +0.1/-0 mm, 17.95..18.05 mm, at least 18 mm or 40 k6");
        return;
    case CODE_LIMITS_CROSSED:
        report->expected = TEXT("LEAST..GREATEST");
        return;
    default:
        report->expected = example_of(arena, cursor);
    }
}

status stated_read(text a, span where, const struct stated_options *options,
                   struct diagnostics *diagnostics, struct stated *out)
{
    size_t lead = 0;
    while (lead < a.length && is_blank(a.at[lead])) {
        lead++;
    }
    struct cursor cursor = {.all = a, .at = lead, .options = options};
    *out = (struct stated){.where = where};
    while (cursor.all.length > 0 && is_blank(cursor.all.at[cursor.all.length - 1])) {
        cursor.all.length--;
    }
    read_all(&cursor, out);
    if (!cursor.has_fault) {
        return STATUS_OK;
    }
    const span at = {where.source, where.at + (uint32_t)cursor.fault_at,
                     (uint32_t)cursor.fault_length};
    struct diagnostic *report =
        diagnostics_report(diagnostics, cursor.code, at, "%s", cursor.message);
    explain(report, diagnostics_arena(diagnostics), &cursor, out);
    return STATUS_INVALID;
}

size_t stated_literal_length(text a, bool decimal_comma)
{
    const struct stated_options options = {.any_dimension = true,
                                           .decimal_comma = decimal_comma};
    struct cursor cursor = {.all = a, .options = &options};
    struct stated ignored = {0};
    if (a.length == 0 || !is_digit(a.at[0])) {
        return 0;
    }
    take_dimension(&cursor, 1, &ignored);
    return cursor.at;
}
