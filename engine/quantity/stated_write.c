/* SPDX-License-Identifier: MIT */
/* Numbers for people: their unit, and no more digits than they can use. */
#include "stated.h"

#include "number_text.h"

#include <math.h>

enum {
    MOST_DECIMALS = 6 /* of a millimetre: the nanometres lengths are held in */
};

/* Sizes that are shown in another unit than their dimension's own: from which, below
 * which, coherent. */
static const struct {
    const char *dimension;
    double from;
    double below;
    const char *unit;
    int decimals;                                       /* -1: as many as the unit has */
} other_sizes[] = {{"length", 0.0, 100000.0, "um", -1}, /* below 0.1 mm */
                   {"pressure", 0.0, 1e-3, "bar", -1},  /* below 1 MPa */
                   {"force", 1e13, INFINITY, "kN", -1}, /* from 10 kN */
                   {"time", 3600.0, 360000.0, "h", -1}, /* from one hour */
                   {"time", 360000.0, INFINITY, "h", 0}}; /* from a hundred */

static text trim_zeros(text written)
{
    if (text_find(written, '.', 0) == written.length) {
        return written;
    }
    while (written.at[written.length - 1] == '0') {
        written.length--;
    }
    if (written.at[written.length - 1] == '.') {
        written.length--;
    }
    return text_is(written, "-0") ? TEXT("0") : written;
}

/* The unit for numbers of about this size; a plain one for nameless dimensions. */
static struct unit unit_for(struct dimension dim, double size)
{
    struct unit unit = {.symbol = "", .scale = 1.0, .decimals = 6};
    (void)unit_shown(dim, &unit);
    for (size_t i = 0; i < sizeof other_sizes / sizeof *other_sizes; i++) {
        struct dimension other = DIMENSION_RATIO;
        if (size > other_sizes[i].from && size < other_sizes[i].below &&
            dimension_find(text_of(other_sizes[i].dimension), &other) &&
            dimension_equal(dim, other)) {
            (void)unit_find(text_of(other_sizes[i].unit), &unit);
            unit.decimals =
                other_sizes[i].decimals < 0 ? unit.decimals : other_sizes[i].decimals;
        }
    }
    return unit;
}

static text write_number(struct arena *arena, const struct unit *unit, double value,
                         int decimals)
{
    const double written = unit_from_coherent(unit, value);
    return trim_zeros(
        number_write_fixed(arena, written, decimals < 0 ? unit->decimals : decimals));
}

static const char *blank_before(const struct unit *unit)
{
    return unit->symbol[0] == '\0' || text_is(text_of(unit->symbol), "1") ? "" : " ";
}

static const char *symbol_of(const struct unit *unit)
{
    return text_is(text_of(unit->symbol), "1") ? "" : unit->symbol;
}

text magnitude_write(struct arena *arena, struct dimension dim, double value,
                     int decimals)
{
    if (!isfinite(value)) {
        return TEXT("not known");
    }
    const double rounded = dimension_round(dim, value);
    const struct unit unit = unit_for(dim, decimals < 0 ? fabs(rounded) : 0.0);
    const text number = write_number(arena, &unit, rounded, decimals);
    return text_format(arena, "%.*s%s%s", TEXT_ARG(number), blank_before(&unit),
                       symbol_of(&unit));
}

static text write_range(struct arena *arena, struct dimension dim, double least,
                        double greatest)
{
    const bool has_least = isfinite(least);
    const bool has_greatest = isfinite(greatest);
    if (!has_least && !has_greatest) {
        return TEXT("not known");
    }
    if (!has_least || !has_greatest) {
        return text_format(
            arena, "%s %.*s", has_least ? "at least" : "at most",
            TEXT_ARG(magnitude_write(arena, dim, has_least ? least : greatest, -1)));
    }
    const double from = dimension_round(dim, least);
    const double to = dimension_round(dim, greatest);
    if (from == to) {
        return magnitude_write(arena, dim, from, -1);
    }
    const struct unit unit = unit_for(dim, fmax(fabs(from), fabs(to)));
    const text first = write_number(arena, &unit, from, -1);
    const text second = write_number(arena, &unit, to, -1);
    if (text_equal(first, second)) {
        return text_format(arena, "%.*s%s%s", TEXT_ARG(first), blank_before(&unit),
                           symbol_of(&unit));
    }
    return text_format(arena, "%.*s..%.*s%s%s", TEXT_ARG(first), TEXT_ARG(second),
                       blank_before(&unit), symbol_of(&unit));
}

text form_write(struct arena *arena, const struct form *a)
{
    return write_range(arena, a->dim, a->least, a->greatest);
}

/* A length somebody stated is shown as stated: half micrometres and inches have more
 * digits than results do. */
static int stated_decimals(const struct unit *unit, const struct deviation *of)
{
    const double all[] = {unit_from_coherent(unit, of->nominal), of->low / unit->scale,
                          of->high / unit->scale};
    const double near = dimension_grid(of->dim) / unit->scale / 2;
    const bool is_length = dimension_equal(of->dim, DIMENSION_LENGTH);
    int decimals = unit->decimals;
    for (size_t i = 0; is_length && i < sizeof all / sizeof *all; i++) {
        double power = pow(10, decimals);
        while (decimals < MOST_DECIMALS &&
               fabs(round(all[i] * power) / power - all[i]) > near) {
            decimals++;
            power *= 10;
        }
    }
    return decimals;
}

text stated_write(struct arena *arena, const struct deviation *of)
{
    if (of->basis == BASIS_MISSING) {
        return TEXT("not known");
    }
    if (!isfinite(of->low) || !isfinite(of->high)) {
        return write_range(arena, of->dim, of->nominal + of->low, of->nominal + of->high);
    }
    const struct unit unit = unit_for(of->dim, fabs(of->nominal));
    const struct unit step = {
        .symbol = unit.symbol, .scale = unit.scale, .decimals = unit.decimals};
    const int decimals = stated_decimals(&unit, of);
    const text nominal = write_number(arena, &unit, of->nominal, decimals);
    if (of->low == 0.0 && of->high == 0.0) {
        return text_format(arena, "%.*s%s%s", TEXT_ARG(nominal), blank_before(&unit),
                           symbol_of(&unit));
    }
    const text high = write_number(arena, &step, fabs(of->high), decimals);
    if (of->low == -of->high) {
        return text_format(arena, "%.*s ±%.*s%s%s", TEXT_ARG(nominal), TEXT_ARG(high),
                           blank_before(&unit), symbol_of(&unit));
    }
    const text low = write_number(arena, &step, fabs(of->low), decimals);
    return text_format(arena, "%.*s %s%.*s/%s%.*s%s%s", TEXT_ARG(nominal),
                       of->high < 0 ? "-" : "+", TEXT_ARG(high), of->low > 0 ? "+" : "-",
                       TEXT_ARG(low), blank_before(&unit), symbol_of(&unit));
}

text form_stated(struct arena *arena, const struct form *a)
{
    return a->term_count == 1 && a->terms[0].by == 1.0 &&
                   a->nominal == a->terms[0].of->nominal
               ? stated_write(arena, a->terms[0].of)
               : form_write(arena, a);
}
