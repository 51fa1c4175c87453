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

Test(stated, faults_have_a_code_a_place_and_what_was_expected)
{
    static const struct {
        const char *text;
        const char *fault;
        const char *said; /* somewhere in what is expected, or the nearest word */
    } rows[] = {{"18", "unit-missing 1:1", "18 mm"},
                {"18 mmm", "unit-unknown 1:4", "mm"},
                {"18 bar", "unit-wrong 1:1", "not pressure"},
                {"0,5 mm", "decimal-comma 1:1", "0.5"},
                {"mm", "number-wrong 1:1", "18 mm"},
                {"18 ±x mm", "number-wrong 1:5", ""},
                {"18.05..17.95 mm", "limits-crossed 1:1", "LEAST..GREATEST"},
                {"18 mm or so", "tolerance-wrong 1:7", "40 k6"}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct room room = room_open();
        const struct stated_options options = {.wanted = DIMENSION_LENGTH};
        struct stated stated;
        const text a = text_of(rows[i].text);
        cr_expect_eq(
            stated_read(a, room_text(&room, "t", a), &options, room.diagnostics, &stated),
            STATUS_INVALID, "%s", rows[i].text);
        const text fault = room_fault(&room);
        cr_expect(text_is(fault, rows[i].fault), "%s: %s", rows[i].text, fault.at);
        const struct diagnostic *first = diagnostics_at(room.diagnostics, 0);
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
