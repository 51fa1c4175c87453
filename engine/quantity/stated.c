/* SPDX-License-Identifier: MIT */
/*
 * Reads the notation of dimensions: a word that says how it is known, a name it hangs on,
 * a number, and its unit, range, tolerance or class in the order people write them.
 * stated_pieces.c takes the pieces; here they are put together, and the first fault is
 * reported with the piece it lies in and what would have been right.
 */
#include "stated_private.h"

#include <math.h>

/* What was written, before units turn it into coherent numbers. */
struct written {
    double number;
    double low;
    double high;
    double last; /* the other end of a range */
    bool is_range;
    bool is_class;
    bool has_tolerance;
    bool has_unit;
    struct unit side; /* of the tolerance or the other end */
};

static size_t name_length(text a)
{
    size_t at = 0;
    while (at < a.length && (is_letter(a.at[at]) || is_digit(a.at[at]) ||
                             a.at[at] == '-' || a.at[at] == '_')) {
        at++;
    }
    return at;
}

/* A word where a unit should stand is a unit that nobody knows. */
static void refuse_unknown_unit(struct cursor *cursor)
{
    struct cursor ahead = *cursor;
    cursor_skip_blanks(&ahead);
    const text word = cursor_rest(&ahead);
    if (word.length > 0 && (is_letter(word.at[0]) || (unsigned char)word.at[0] >= 0x80)) {
        cursor_fault(cursor, CODE_UNIT_UNKNOWN,
                     (struct piece){ahead.at, word_length(word)},
                     "nobody knows this unit");
    }
}

/* The unit may stand behind the number, behind its tolerance, or behind both: then each
 * has its own, as in 18 mm ±50 um. */
static void take_second_unit(struct cursor *cursor, struct written *written,
                             struct stated *out)
{
    struct unit second;
    const bool may_have_two = written->is_range || written->has_tolerance;
    if ((written->has_unit && !may_have_two) || !take_unit(cursor, &second)) {
        return;
    }
    if (!written->has_unit) {
        written->has_unit = true;
        out->unit = second;
    } else if (!dimension_equal(second.dim, out->unit.dim)) {
        out->dim = second.dim;
        cursor_fault(cursor, CODE_UNIT_WRONG, cursor->unit,
                     "this unit is one of another dimension");
    }
    written->side = second;
}

/* NUMBER with unit, range, tolerance or class. */
static bool take_written(struct cursor *cursor, int sign, struct written *written,
                         struct stated *out)
{
    if (!take_number(cursor, &written->number, &out->decimals)) {
        return false;
    }
    written->number *= sign;
    written->has_unit = take_unit(cursor, &out->unit);
    written->side = out->unit;
    written->is_range = take_range_end(cursor, &written->last);
    written->is_class = !written->is_range && take_class(cursor, &out->tolerance_class);
    written->has_tolerance = !written->is_range && !written->is_class &&
                             take_tolerance(cursor, &written->low, &written->high);
    take_second_unit(cursor, written, out);
    if (!written->has_unit && !written->is_class && !cursor->options->any_dimension) {
        refuse_unknown_unit(cursor);
    }
    if (!written->has_unit && cursor->options->assumed != NULL) {
        written->has_unit = true;
        out->unit = *cursor->options->assumed;
        written->side = out->unit;
    } else if (!written->has_unit) {
        /* Classes are of millimetres; anything else is a plain number. */
        written->has_unit = written->is_class && unit_find(TEXT("mm"), &out->unit);
        written->side = out->unit;
    }
    return !cursor->has_fault;
}

static void check_dimension(struct cursor *cursor, struct stated *out, size_t start)
{
    const struct stated_options *options = cursor->options;
    out->dim = out->unit.symbol != NULL ? out->unit.dim : DIMENSION_RATIO;
    if (options->any_dimension || dimension_equal(options->wanted, out->dim)) {
        return;
    }
    if (out->unit.symbol == NULL) {
        cursor_fault(cursor, CODE_UNIT_MISSING, cursor_since(cursor, start),
                     "this number has no unit");
    } else {
        /* A class brings its millimetres along unwritten. */
        cursor_fault(cursor, CODE_UNIT_WRONG,
                     cursor->unit.length > 0 ? cursor->unit : cursor->tolerance,
                     "this unit is one of another dimension");
    }
}

static void fill_range(struct cursor *cursor, const struct unit *side,
                       const struct written *written, size_t start, struct stated *out)
{
    const double first = out->nominal;
    const double last = unit_to_coherent(side, written->last);
    if (last < first) {
        cursor_fault(cursor, CODE_LIMITS_CROSSED, cursor_since(cursor, start),
                     "the least value lies above the greatest");
    }
    out->nominal = (first + last) / 2;
    out->low = first - out->nominal;
    out->high = last - out->nominal;
}

/* The whole of a dimension, sign and all; `start` is where it begins. */
static bool take_dimension(struct cursor *cursor, int sign, size_t start,
                           struct stated *out)
{
    static const struct unit plain = {.scale = 1.0};
    struct written written = {0};
    if (!take_written(cursor, sign, &written, out)) {
        return false;
    }
    check_dimension(cursor, out, start);
    const struct unit *unit = written.has_unit ? &out->unit : &plain;
    const struct unit *side = written.has_unit ? &written.side : &plain;
    out->nominal = unit_to_coherent(unit, written.number);
    if (written.is_range) {
        fill_range(cursor, side, &written, start, out);
    } else if (written.has_tolerance) {
        const struct unit step = {.scale = side->scale};
        out->low = unit_to_coherent(&step, written.low);
        out->high = unit_to_coherent(&step, written.high);
    }
    if (!isfinite(out->nominal) || !isfinite(out->low) || !isfinite(out->high)) {
        cursor_fault(cursor, CODE_NUMBER_WRONG, cursor_since(cursor, start),
                     "this number is too large or too small");
    }
    out->basis = written.is_range || written.has_tolerance ? STATED_LIMITS
                 : written.is_class                        ? STATED_CLASS
                                                           : STATED_BARE;
    return !cursor->has_fault;
}

/* "groove-out -1.85 …", "from +3 mm", "shoulder": false when no name stands here. */
static bool take_anchor(struct cursor *cursor, int *sign, struct stated *out)
{
    const size_t start = cursor->at;
    const size_t length = name_length(cursor_rest(cursor));
    if (length == 0 || !is_letter(cursor->all.at[start])) {
        return false;
    }
    out->anchor = text_slice(cursor->all, start, start + length);
    cursor->at += length;
    cursor_skip_blanks(cursor);
    if (cursor->at == cursor->all.length) {
        out->is_name_alone = true;
        out->dim = DIMENSION_LENGTH;
        return true;
    }
    *sign = take_sign(cursor);
    if (*sign == 0) {
        cursor_fault(cursor, CODE_NUMBER_WRONG,
                     (struct piece){cursor->at, word_length(cursor_rest(cursor))},
                     "after a name a signed distance was expected");
    }
    cursor_skip_blanks(cursor);
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

enum known_by {
    KNOWN_PLAIN,
    KNOWN_LEAST,
    KNOWN_MOST,
    KNOWN_EYE,
    KNOWN_MEASURED
};

static enum known_by take_known_by(struct cursor *cursor)
{
    static const char *const words[] = {"", "at least ", "at most ", "about ",
                                        "measured "};
    for (int i = KNOWN_LEAST; i <= KNOWN_MEASURED; i++) {
        if (take_word(cursor, words[i])) {
            return (enum known_by)i;
        }
    }
    return KNOWN_PLAIN;
}

/* What the word before the number makes of it. Two statements of how far off it may be
 * are one too many. */
static void apply_known_by(struct cursor *cursor, enum known_by by, struct stated *out)
{
    const bool is_twice =
        by == KNOWN_MEASURED ? out->basis == STATED_CLASS : out->basis != STATED_BARE;
    if (by != KNOWN_PLAIN && is_twice) {
        cursor_fault(cursor, CODE_TOLERANCE_WRONG, cursor->tolerance,
                     "this tolerance says again how far off it may be");
    }
    switch (by) {
    case KNOWN_LEAST:
        out->basis = STATED_LIMITS;
        out->high = INFINITY;
        return;
    case KNOWN_MOST:
        out->basis = STATED_LIMITS;
        out->low = -INFINITY;
        return;
    case KNOWN_EYE:
        out->basis = STATED_EYE;
        return;
    case KNOWN_MEASURED:
        out->basis = STATED_MEASURED;
        return;
    case KNOWN_PLAIN:
        return;
    }
}

/* Nothing may stand behind a dimension. */
static void refuse_rest(struct cursor *cursor, const struct stated *stated)
{
    struct cursor ahead = *cursor;
    cursor_skip_blanks(&ahead);
    const bool is_unit = stated->unit.symbol == NULL && stated->basis != STATED_CLASS;
    if (ahead.at < ahead.all.length) {
        cursor_fault(cursor, is_unit ? CODE_UNIT_UNKNOWN : CODE_TOLERANCE_WRONG,
                     (struct piece){ahead.at, ahead.all.length - ahead.at},
                     is_unit ? "nobody knows this unit" : "this could not be read");
    }
}

static void read_all(struct cursor *cursor, struct stated *out)
{
    const enum known_by by = take_known_by(cursor);
    int sign = 0;
    cursor_skip_blanks(cursor);
    if (by == KNOWN_MEASURED) {
        take_gauge(cursor, out);
    }
    size_t start = cursor->at;
    if (cursor->options->anchors_allowed && take_anchor(cursor, &sign, out)) {
        if (out->is_name_alone || cursor->has_fault) {
            return;
        }
        start = cursor->at;
    } else {
        sign = take_sign(cursor);
    }
    if (take_dimension(cursor, sign == 0 ? 1 : sign, start, out)) {
        apply_known_by(cursor, by, out);
        refuse_rest(cursor, out);
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

/* What was written, with the unit a field of this dimension is shown in. */
static text with_unit(struct arena *arena, const struct cursor *cursor, text written)
{
    struct unit unit;
    return unit_shown(cursor->options->wanted, &unit)
               ? text_format(arena, "%.*s %s", TEXT_ARG(written), unit.symbol)
               : example_of(arena, cursor);
}

static void explain(struct diagnostic *report, struct arena *arena,
                    const struct cursor *cursor, const struct stated *stated)
{
    const text at = text_slice(cursor->all, cursor->fault.at,
                               cursor->fault.at + cursor->fault.length);
    switch ((int)cursor->code) {
    case CODE_DECIMAL_COMMA:
        report->expected = with_point(arena, at);
        return;
    case CODE_UNIT_UNKNOWN: {
        struct nearest near = nearest_to(text_trim(at));
        unit_offer(&near,
                   cursor->options->any_dimension ? NULL : &cursor->options->wanted);
        report->nearest = near.best;
        report->expected = example_of(arena, cursor);
        return;
    }
    case CODE_UNIT_MISSING:
        report->expected = with_unit(arena, cursor, at);
        return;
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
    const span at = {where.source, where.at + (uint32_t)cursor.fault.at,
                     (uint32_t)cursor.fault.length};
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
    take_dimension(&cursor, 1, 0, &ignored);
    return cursor.at;
}
