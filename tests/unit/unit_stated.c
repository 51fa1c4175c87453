/* SPDX-License-Identifier: MIT */
#include "room.h"
#include "stated.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

TestSuite(stated, .timeout = 20);

static const double mm = 1e6;

Test(stated, every_notation_is_read)
{
    static const struct {
        const char *text;
        enum stated_basis basis;
        double nominal;
        double low;
        double high;
    } rows[] = {{"18 mm", STATED_BARE, 18, 0, 0},
                {"18 ±0.05 mm", STATED_LIMITS, 18, -0.05, 0.05},
                {"18 mm ±0.05", STATED_LIMITS, 18, -0.05, 0.05},
                {"18 +/-0.05 mm", STATED_LIMITS, 18, -0.05, 0.05},
                {"18 +0.1/-0 mm", STATED_LIMITS, 18, 0, 0.1},
                {"18 +0/-0.12 mm", STATED_LIMITS, 18, -0.12, 0},
                {"18 +0.3/+0.1 mm", STATED_LIMITS, 18, 0.1, 0.3},
                {"17.95..18.05 mm", STATED_LIMITS, 18, -0.05, 0.05},
                {"-0.05..0.05 mm", STATED_LIMITS, 0, -0.05, 0.05},
                {"−0.05..0.05 mm", STATED_LIMITS, 0, -0.05, 0.05},
                {"at least 1 mm", STATED_LIMITS, 1, 0, INFINITY},
                {"at most 1.0 mm", STATED_LIMITS, 1, -INFINITY, 0},
                {"about 12 mm", STATED_EYE, 12, 0, 0},
                {"40 k6", STATED_CLASS, 40, 0, 0},
                {"40 mm k6", STATED_CLASS, 40, 0, 0},
                {"1.85 H13", STATED_CLASS, 1.85, 0, 0},
                {"0.591 in", STATED_BARE, 15.0114, 0, 0},
                {"3/8 mm", STATED_BARE, NAN, 0, 0},
                {"18 mm ±0.05 mm", STATED_LIMITS, 18, -0.05, 0.05},
                {"18 mm ±50 um", STATED_LIMITS, 18, -0.05, 0.05},
                {"17.95 mm .. 18.05 mm", STATED_LIMITS, 18, -0.05, 0.05},
                {"1 in..26 mm", STATED_LIMITS, 25.7, -0.3, 0.3},
                {"18 +0.1/0 mm", STATED_LIMITS, 18, 0, 0.1},
                {"18 -0/+0.1 mm", STATED_LIMITS, 18, 0, 0.1},
                {"18 −0.1/−0.2 mm", STATED_LIMITS, 18, -0.2, -0.1},
                {"18\u00a0mm", STATED_BARE, 18, 0, 0},
                {"18mm", STATED_BARE, 18, 0, 0},
                {"1.8e1 mm", STATED_BARE, 18, 0, 0},
                {"0.4 um Ra", STATED_BARE, 0.0004, 0, 0},
                {"20 js9", STATED_CLASS, 20, 0, 0},
                {"measured 17.98 mm with caliper", STATED_MEASURED, 17.98, 0, 0},
                {"measured 17.98 ±0.02 mm", STATED_MEASURED, 17.98, -0.02, 0.02}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct room room = room_open();
        const struct stated_options options = {.wanted = DIMENSION_LENGTH};
        struct stated stated;
        const text a = text_of(rows[i].text);
        const status read =
            stated_read(a, room_text(&room, "t", a), &options, room.diagnostics, &stated);
        cr_expect_eq(read == STATUS_OK, !isnan(rows[i].nominal), "%s", rows[i].text);
        if (read == STATUS_OK) {
            cr_expect_eq(stated.basis, rows[i].basis, "%s", rows[i].text);
            cr_expect_float_eq(stated.nominal, rows[i].nominal * mm, 0.01, "%s",
                               rows[i].text);
            cr_expect(stated.low == rows[i].low * mm ||
                          fabs(stated.low - rows[i].low * mm) < 0.01,
                      "%s low %f", rows[i].text, stated.low);
            cr_expect(stated.high == rows[i].high * mm ||
                          fabs(stated.high - rows[i].high * mm) < 0.01,
                      "%s high %f", rows[i].text, stated.high);
        }
        room_close(&room);
    }
}

Test(stated, positions_hang_on_names)
{
    static const struct {
        const char *text;
        const char *anchor;
        double nominal;
        bool is_alone;
    } rows[] = {{"shoulder", "shoulder", 0, true},
                {"from +35.8 ±0.1 mm", "from", 35.8, false},
                {"groove-out -1.85 +0/-0.14 mm", "groove-out", -1.85, false},
                {"12 mm", "", 12, false}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct room room = room_open();
        const struct stated_options options = {.wanted = DIMENSION_LENGTH,
                                               .anchors_allowed = true};
        struct stated stated;
        const text a = text_of(rows[i].text);
        cr_assert_eq(
            stated_read(a, room_text(&room, "t", a), &options, room.diagnostics, &stated),
            STATUS_OK, "%s", rows[i].text);
        cr_expect(text_is(stated.anchor, rows[i].anchor), "%s", rows[i].text);
        cr_expect_eq(stated.is_name_alone, rows[i].is_alone);
        cr_expect_float_eq(stated.nominal, rows[i].nominal * mm, 0.01);
        room_close(&room);
    }
}

/* The row without its two brackets, and the piece that stood between them. */
static text without_brackets(struct room *room, const char *marked, text *piece)
{
    const size_t from = strcspn(marked, "[");
    const size_t end = strcspn(marked, "]");
    const text all =
        text_format(room->arena, "%.*s%.*s%s", (int)from, marked, (int)(end - from - 1),
                    marked + from + 1, marked + end + 1);
    *piece = text_slice(all, from, end - 1);
    return all;
}

Test(stated, faults_have_a_code_a_place_and_what_was_expected)
{
    static const struct {
        const char *text; /* the faulty piece between [ and ] */
        const char *fault;
        const char *said; /* somewhere in what is expected, or the nearest word */
    } rows[] = {{"[18]", "unit-missing", "18 mm"},
                {"[-1.85 +0/-0.14]", "unit-missing", "-1.85 +0/-0.14 mm"},
                {"18 [mmm]", "unit-unknown", "mm"},
                {"18 [Ω]", "unit-unknown", "18 mm"},
                {"5 [XTS]", "unit-unknown", "18 mm"},
                {"18 [bar]", "unit-wrong", "a length such as 18 mm, not pressure"},
                {"3 [mm2]", "unit-wrong", "not area"},
                {"18 mm ±5 [bar]", "unit-wrong", "not pressure"},
                {"at least 55 [HRC]", "unit-wrong", "not hardness-hrc"},
                {"[0,5] mm", "decimal-comma", "0.5"},
                {"18 ±[0,05] mm", "decimal-comma", "0.05"},
                {"[mm]", "number-wrong", "18 mm"},
                {"18 ±[x] mm", "number-wrong", ""},
                {"17.9..[x] mm", "number-wrong", ""},
                {"[1e305 mm]", "number-wrong", ""},
                {"[1e999] mm", "number-wrong", ""},
                {"[18.05..17.95 mm]", "limits-crossed", "LEAST..GREATEST"},
                {"at least 18 [±0.1] mm", "tolerance-wrong", "at least 18 mm"},
                {"about 40 [k6]", "tolerance-wrong", ""},
                {"measured 40 [k6] with caliper", "tolerance-wrong", ""},
                {"18 mm [or so]", "tolerance-wrong", "40 k6"}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct room room = room_open();
        const struct stated_options options = {.wanted = DIMENSION_LENGTH};
        struct stated stated;
        text piece;
        const text a = without_brackets(&room, rows[i].text, &piece);
        cr_expect_eq(
            stated_read(a, room_text(&room, "t", a), &options, room.diagnostics, &stated),
            STATUS_INVALID, "%s", rows[i].text);
        cr_assert_eq(diagnostics_count(room.diagnostics), 1, "%s", rows[i].text);
        const struct diagnostic *first = diagnostics_at(room.diagnostics, 0);
        cr_expect_str_eq(diagnostic_code_word(first->code), rows[i].fault, "%s",
                         rows[i].text);
        const text where =
            text_slice(a, first->where.at, (size_t)first->where.at + first->where.length);
        cr_expect(where.at == piece.at && where.length == piece.length, "%s: at \"%.*s\"",
                  rows[i].text, TEXT_ARG(where));
        const text all = text_format(room.arena, "%.*s %.*s", TEXT_ARG(first->expected),
                                     TEXT_ARG(first->nearest));
        cr_expect_not_null(strstr(all.at, rows[i].said), "%s: %s", rows[i].text, all.at);
        room_close(&room);
    }
}

Test(stated, a_decimal_comma_is_understood_where_it_is_allowed)
{
    struct room room = room_open();
    const struct stated_options options = {.wanted = DIMENSION_LENGTH,
                                           .decimal_comma = true};
    struct stated stated;
    const text a = TEXT("17,98 ±0,02 mm");
    cr_assert_eq(
        stated_read(a, room_text(&room, "t", a), &options, room.diagnostics, &stated),
        STATUS_OK);
    cr_expect_float_eq(stated.nominal, 17.98 * mm, 0.01);
    cr_expect_float_eq(stated.high, 0.02 * mm, 0.01);
    room_close(&room);
}

Test(stated, numbers_are_shown_with_a_unit_and_sensible_digits)
{
    static const struct {
        double value;
        const char *shown;
    } rows[] = {
        {2.8, "2.8 mm"},        {0, "0 mm"},        {0.018, "18 um"}, {-2.75, "-2.75 mm"},
        {12.3456, "12.346 mm"}, {0.0005, "0.5 um"}, {100, "100 mm"}};
    struct room room = room_open();
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const text shown =
            magnitude_write(room.arena, DIMENSION_LENGTH, rows[i].value * mm, -1);
        cr_expect(text_is(shown, rows[i].shown), "%g: %s", rows[i].value, shown.at);
    }
    room_close(&room);
}

/* What presses a lip is less than a bar, what presses a ring on its shaft many MPa. */
Test(stated, small_pressures_are_written_in_bar)
{
    static const struct {
        double bar;
        const char *shown;
    } rows[] = {{0.2011, "0.201 bar"}, {-0.0011, "-0.001 bar"}, {9.999, "9.999 bar"},
                {10, "1 MPa"},         {450, "45 MPa"},         {0, "0 MPa"}};
    struct room room = room_open();
    struct unit bar;
    cr_assert(unit_find(TEXT("bar"), &bar));
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const text shown =
            magnitude_write(room.arena, bar.dim, rows[i].bar * bar.scale, -1);
        cr_expect(text_is(shown, rows[i].shown), "%.*s, wanted %s", TEXT_ARG(shown),
                  rows[i].shown);
    }
    room_close(&room);
}

/* Every unit the vocabulary may ask for, each in a field of its own dimension. */
Test(stated, units_are_read_where_their_dimension_is_due)
{
    static const struct {
        const char *text;
        const char *dimension;
        double coherent;
    } rows[] = {{"5 deg", "angle", 0.0872664625997165},
                {"90°", "angle", 1.5707963267948966},
                {"60 arcmin", "angle", 0.0174532925199433},
                {"20 degC", "temperature", 293.15},
                {"68 degF", "temperature", 293.15},
                {"20 °C", "temperature", 293.15},
                {"293.15 K", "temperature", 293.15},
                {"2 bar", "pressure", 2e-4},
                {"0.2 MPa", "pressure", 2e-4},
                {"29.0075475 psi", "pressure", 2e-4},
                {"1 kN", "force", 1e12},
                {"224.808943 lbf", "force", 1e12},
                {"12 Nm", "torque", 1.2e19},
                {"12 N m", "torque", 1.2e19},
                {"8.85074579 lbf ft", "torque", 1.2e19},
                {"36 km/h", "speed", 1e10},
                {"3000 rpm", "turning-speed", 314.1592653589793},
                {"3000 1/min", "turning-speed", 314.1592653589793},
                {"454 g", "mass", 0.454},
                {"1 lb", "mass", 0.45359237},
                {"120 ml", "volume", 1.2e23},
                {"0.12 l", "volume", 1.2e23},
                {"120 cm³", "volume", 1.2e23},
                {"2.5 mm2", "area", 2.5e12},
                {"3", "ratio", 3},
                {"12 %", "ratio", 0.12},
                {"2 h", "time", 7200},
                {"58 HRC", "hardness-hrc", 58},
                {"200 HBW", "hardness-hbw", 200},
                {"70 Shore A", "hardness-shore", 70},
                {"9.90 EUR", "money", 9.9},
                {"7.95 USD", "money-USD", 7.95},
                {"11.5 um/m/K", "expansion", 1.15e-5},
                {"7850 kg/m3", "density", 7.85e-24},
                {"220 mm2/s", "viscosity", 2.2e14},
                {"220 cSt", "viscosity", 2.2e14}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct room room = room_open();
        struct stated_options options = {0};
        struct stated stated = {0};
        const text a = text_of(rows[i].text);
        cr_assert(dimension_find(text_of(rows[i].dimension), &options.wanted), "%s",
                  rows[i].dimension);
        cr_expect_eq(
            stated_read(a, room_text(&room, "t", a), &options, room.diagnostics, &stated),
            STATUS_OK, "%s", rows[i].text);
        const double due = rows[i].coherent;
        /* lbf ft is 1.3558179483314004 Nm: 8.85074579 of them are 12 Nm to nine digits.
         */
        cr_expect_float_eq(stated.nominal / due, 1, 1e-8, "%s: %.12g", rows[i].text,
                           stated.nominal);
        room_close(&room);
    }
}

Test(stated, a_literal_in_a_formula_ends_where_the_dimension_ends)
{
    static const struct {
        const char *text; /* the literal is what stands before | */
        bool decimal_comma;
    } rows[] = {{"18 mm| - 5 mm", false},
                {"18 mm| -5 mm", false},
                {"18 ±0.05 mm|)", false},
                {"18 +0.1/-0 mm| * 2", false},
                {"5| +3/2", false},
                {"5| +3/0.5", false},
                {"17.95..18.05 mm|, 3", false},
                {"40 k6|)", false},
                {"2 m3| / 3", false},
                {"|0,5 mm", false},
                {"0,5 mm|", true},
                {"|-5 mm", false},
                {"|shoulder", false}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct room room = room_open();
        const size_t end = strcspn(rows[i].text, "|");
        const text all = text_format(room.arena, "%.*s%s", (int)end, rows[i].text,
                                     rows[i].text + end + 1);
        const size_t length = stated_literal_length(all, rows[i].decimal_comma);
        cr_expect_eq(length, end, "%s: %zu", rows[i].text, length);
        room_close(&room);
    }
}

Test(stated, what_was_stated_is_shown_as_stated)
{
    static const struct {
        double nominal;
        double low;
        double high;
        const char *shown;
    } rows[] = {
        {18, -0.05, 0.05, "18 ±0.05 mm"},    {18, 0, 0.1, "18 +0.1/-0 mm"},
        {18, -0.2, -0.1, "18 -0.1/-0.2 mm"}, {18, 0.1, 0.3, "18 +0.3/+0.1 mm"},
        {15.0114, 0, 0, "15.0114 mm"},       {18, -0.0005, 0.0005, "18 ±0.0005 mm"},
        {18, 0, INFINITY, "at least 18 mm"}, {18, -INFINITY, 0, "at most 18 mm"}};
    struct room room = room_open();
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const struct deviation of = {.name = TEXT("d"),
                                     .nominal = rows[i].nominal * mm,
                                     .low = rows[i].low * mm,
                                     .high = rows[i].high * mm,
                                     .dim = DIMENSION_LENGTH};
        const text shown = stated_write(room.arena, &of);
        cr_expect(text_is(shown, rows[i].shown), "%s: %s", rows[i].shown, shown.at);
    }
    room_close(&room);
}

Test(stated, ranges_are_shown_with_no_more_digits_than_they_need)
{
    static const struct {
        double least;
        double greatest;
        const char *shown;
    } rows[] = {{2.5, 3.1, "2.5..3.1 mm"},         {2.5, 2.5, "2.5 mm"},
                {2.5001, 2.5002, "2.5 mm"},        {-0.018, 0.023, "-18..23 um"},
                {4, INFINITY, "at least 4 mm"},    {-INFINITY, 4, "at most 4 mm"},
                {-INFINITY, INFINITY, "not known"}};
    struct room room = room_open();
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const struct form form = {.dim = DIMENSION_LENGTH,
                                  .least = rows[i].least * mm,
                                  .greatest = rows[i].greatest * mm};
        const text shown = form_write(room.arena, &form);
        cr_expect(text_is(shown, rows[i].shown), "%s: %s", rows[i].shown, shown.at);
    }
    cr_expect(
        text_is(magnitude_write(room.arena, DIMENSION_LENGTH, NAN, -1), "not known"));
    room_close(&room);
}
