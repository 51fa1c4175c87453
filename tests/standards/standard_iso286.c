/* SPDX-License-Identifier: MIT */
/*
 * Limits of ISO 286 as printed, against facts/iso-286.yaml and the rules of
 * limits_and_fits.c. The rows were printed by others than the table's own source:
 *
 *  - HOUSING: SKF general engineering tables, housing tolerances and resultant fits
 *  - SHAFT: SKF general engineering tables, shaft tolerances and resultant fits
 *  - JIS: JIS B 0401:1999 shaft table, reproduced in a cutting-tool maker's catalogue
 *
 * Each row is tried at both ends of its step: a size on the upper end belongs to it, one
 * on the lower end to the step below.
 */
#include "shipped.h"

#include <criterion/criterion.h>
#include <math.h>

TestSuite(iso286, .timeout = 60);

enum printed_by {
    HOUSING,
    SHAFT,
    JIS
};

static const struct {
    enum printed_by source;
    const char *tolerance_class;
    double over_mm;
    double to_mm;
    double low_um;
    double high_um;
} printed[] = {
    /* J7 */
    {HOUSING, "J7", 6, 10, -7, 8},
    {HOUSING, "J7", 10, 18, -8, 10},
    {HOUSING, "J7", 18, 30, -9, 12},
    {HOUSING, "J7", 30, 50, -11, 14},
    {HOUSING, "J7", 50, 80, -12, 18},
    {HOUSING, "J7", 80, 120, -13, 22},
    {HOUSING, "J7", 120, 180, -14, 26},
    {HOUSING, "J7", 180, 250, -16, 30},
    /* J6 */
    {HOUSING, "J6", 6, 10, -4, 5},
    {HOUSING, "J6", 10, 18, -5, 6},
    {HOUSING, "J6", 18, 30, -5, 8},
    {HOUSING, "J6", 30, 50, -6, 10},
    {HOUSING, "J6", 50, 80, -6, 13},
    {HOUSING, "J6", 80, 120, -6, 16},
    {HOUSING, "J6", 120, 180, -7, 18},
    {HOUSING, "J6", 180, 250, -7, 22},
    /* JS7 */
    {HOUSING, "JS7", 6, 10, -7.5, 7.5},
    {HOUSING, "JS7", 10, 18, -9, 9},
    {HOUSING, "JS7", 18, 30, -10.5, 10.5},
    {HOUSING, "JS7", 30, 50, -12.5, 12.5},
    {HOUSING, "JS7", 50, 80, -15, 15},
    {HOUSING, "JS7", 80, 120, -17.5, 17.5},
    {HOUSING, "JS7", 120, 180, -20, 20},
    {HOUSING, "JS7", 180, 250, -23, 23},
    /* K5 */
    {HOUSING, "K5", 6, 10, -5, 1},
    {HOUSING, "K5", 10, 18, -6, 2},
    {HOUSING, "K5", 18, 30, -8, 1},
    {HOUSING, "K5", 30, 50, -9, 2},
    {HOUSING, "K5", 50, 80, -10, 3},
    {HOUSING, "K5", 80, 120, -13, 2},
    {HOUSING, "K5", 120, 180, -15, 3},
    {HOUSING, "K5", 180, 250, -18, 2},
    /* K6 */
    {HOUSING, "K6", 6, 10, -7, 2},
    {HOUSING, "K6", 10, 18, -9, 2},
    {HOUSING, "K6", 18, 30, -11, 2},
    {HOUSING, "K6", 30, 50, -13, 3},
    {HOUSING, "K6", 50, 80, -15, 4},
    {HOUSING, "K6", 80, 120, -18, 4},
    {HOUSING, "K6", 120, 180, -21, 4},
    {HOUSING, "K6", 180, 250, -24, 5},
    /* K7 */
    {HOUSING, "K7", 6, 10, -10, 5},
    {HOUSING, "K7", 10, 18, -12, 6},
    {HOUSING, "K7", 18, 30, -15, 6},
    {HOUSING, "K7", 30, 50, -18, 7},
    {HOUSING, "K7", 50, 80, -21, 9},
    {HOUSING, "K7", 80, 120, -25, 10},
    {HOUSING, "K7", 120, 180, -28, 12},
    {HOUSING, "K7", 180, 250, -33, 13},
    /* M6 */
    {HOUSING, "M6", 6, 10, -12, -3},
    {HOUSING, "M6", 10, 18, -15, -4},
    {HOUSING, "M6", 18, 30, -17, -4},
    {HOUSING, "M6", 30, 50, -20, -4},
    {HOUSING, "M6", 50, 80, -24, -5},
    {HOUSING, "M6", 80, 120, -28, -6},
    {HOUSING, "M6", 120, 180, -33, -8},
    {HOUSING, "M6", 180, 250, -37, -8},
    /* M7 */
    {HOUSING, "M7", 6, 10, -15, 0},
    {HOUSING, "M7", 10, 18, -18, 0},
    {HOUSING, "M7", 18, 30, -21, 0},
    {HOUSING, "M7", 30, 50, -25, 0},
    {HOUSING, "M7", 50, 80, -30, 0},
    {HOUSING, "M7", 80, 120, -35, 0},
    {HOUSING, "M7", 120, 180, -40, 0},
    {HOUSING, "M7", 180, 250, -46, 0},
    /* N6 */
    {HOUSING, "N6", 6, 10, -16, -7},
    {HOUSING, "N6", 10, 18, -20, -9},
    {HOUSING, "N6", 18, 30, -24, -11},
    {HOUSING, "N6", 30, 50, -28, -12},
    {HOUSING, "N6", 50, 80, -33, -14},
    {HOUSING, "N6", 80, 120, -38, -16},
    {HOUSING, "N6", 120, 180, -45, -20},
    {HOUSING, "N6", 180, 250, -51, -22},
    {HOUSING, "N6", 250, 315, -57, -25},
    /* N7 */
    {HOUSING, "N7", 6, 10, -19, -4},
    {HOUSING, "N7", 10, 18, -23, -5},
    {HOUSING, "N7", 18, 30, -28, -7},
    {HOUSING, "N7", 30, 50, -33, -8},
    {HOUSING, "N7", 50, 80, -39, -9},
    {HOUSING, "N7", 80, 120, -45, -10},
    {HOUSING, "N7", 120, 180, -52, -12},
    {HOUSING, "N7", 180, 250, -60, -14},
    {HOUSING, "N7", 250, 315, -66, -14},
    /* P6 */
    {HOUSING, "P6", 6, 10, -21, -12},
    {HOUSING, "P6", 10, 18, -26, -15},
    {HOUSING, "P6", 18, 30, -31, -18},
    {HOUSING, "P6", 30, 50, -37, -21},
    {HOUSING, "P6", 50, 80, -45, -26},
    {HOUSING, "P6", 80, 120, -52, -30},
    {HOUSING, "P6", 120, 180, -61, -36},
    {HOUSING, "P6", 180, 250, -70, -41},
    {HOUSING, "P6", 250, 315, -79, -47},
    /* P7 */
    {HOUSING, "P7", 6, 10, -24, -9},
    {HOUSING, "P7", 10, 18, -29, -11},
    {HOUSING, "P7", 18, 30, -35, -14},
    {HOUSING, "P7", 30, 50, -42, -17},
    {HOUSING, "P7", 50, 80, -51, -21},
    {HOUSING, "P7", 80, 120, -59, -24},
    {HOUSING, "P7", 120, 180, -68, -28},
    {HOUSING, "P7", 180, 250, -79, -33},
    {HOUSING, "P7", 250, 315, -88, -36},
    /* H7 */
    {HOUSING, "H7", 6, 10, 0, 15},
    {HOUSING, "H7", 10, 18, 0, 18},
    {HOUSING, "H7", 18, 30, 0, 21},
    {HOUSING, "H7", 30, 50, 0, 25},
    {HOUSING, "H7", 50, 80, 0, 30},
    {HOUSING, "H7", 80, 120, 0, 35},
    {HOUSING, "H7", 120, 180, 0, 40},
    /* H8 */
    {HOUSING, "H8", 6, 10, 0, 22},
    {HOUSING, "H8", 10, 18, 0, 27},
    {HOUSING, "H8", 18, 30, 0, 33},
    {HOUSING, "H8", 30, 50, 0, 39},
    {HOUSING, "H8", 50, 80, 0, 46},
    {HOUSING, "H8", 80, 120, 0, 54},
    {HOUSING, "H8", 120, 180, 0, 63},
    /* k5 */
    {SHAFT, "k5", 0, 3, 0, 4},
    {SHAFT, "k5", 3, 6, 1, 6},
    {SHAFT, "k5", 6, 10, 1, 7},
    {SHAFT, "k5", 10, 18, 1, 9},
    {SHAFT, "k5", 18, 30, 2, 11},
    {SHAFT, "k5", 30, 50, 2, 13},
    /* k6 */
    {SHAFT, "k6", 0, 3, 0, 6},
    {SHAFT, "k6", 3, 6, 1, 9},
    {SHAFT, "k6", 6, 10, 1, 10},
    {SHAFT, "k6", 10, 18, 1, 12},
    {SHAFT, "k6", 18, 30, 2, 15},
    {SHAFT, "k6", 30, 50, 2, 18},
    {SHAFT, "k6", 50, 80, 2, 21},
    /* m5 */
    {SHAFT, "m5", 0, 3, 2, 6},
    {SHAFT, "m5", 3, 6, 4, 9},
    {SHAFT, "m5", 6, 10, 6, 12},
    {SHAFT, "m5", 10, 18, 7, 15},
    {SHAFT, "m5", 18, 30, 8, 17},
    {SHAFT, "m5", 30, 50, 9, 20},
    /* m6 */
    {SHAFT, "m6", 0, 3, 2, 8},
    {SHAFT, "m6", 3, 6, 4, 12},
    {SHAFT, "m6", 6, 10, 6, 15},
    {SHAFT, "m6", 10, 18, 7, 18},
    {SHAFT, "m6", 18, 30, 8, 21},
    {SHAFT, "m6", 30, 50, 9, 25},
    {SHAFT, "m6", 50, 80, 11, 30},
    /* j5 */
    {SHAFT, "j5", 0, 3, -2, 2},
    {SHAFT, "j5", 3, 6, -2, 3},
    {SHAFT, "j5", 6, 10, -2, 4},
    {SHAFT, "j5", 10, 18, -3, 5},
    {SHAFT, "j5", 18, 30, -4, 5},
    {SHAFT, "j5", 30, 50, -5, 6},
    {SHAFT, "j5", 50, 80, -7, 6},
    {SHAFT, "j5", 80, 120, -9, 6},
    {SHAFT, "j5", 120, 180, -11, 7},
    {SHAFT, "j5", 180, 250, -13, 7},
    /* j6 */
    {SHAFT, "j6", 0, 3, -2, 4},
    {SHAFT, "j6", 3, 6, -2, 6},
    {SHAFT, "j6", 6, 10, -2, 7},
    {SHAFT, "j6", 10, 18, -3, 8},
    {SHAFT, "j6", 18, 30, -4, 9},
    {SHAFT, "j6", 30, 50, -5, 11},
    {SHAFT, "j6", 50, 80, -7, 12},
    {SHAFT, "j6", 80, 120, -9, 13},
    {SHAFT, "j6", 120, 180, -11, 14},
    {SHAFT, "j6", 180, 250, -13, 16},
    /* h6 */
    {SHAFT, "h6", 0, 3, -6, 0},
    {SHAFT, "h6", 3, 6, -8, 0},
    {SHAFT, "h6", 6, 10, -9, 0},
    {SHAFT, "h6", 10, 18, -11, 0},
    {SHAFT, "h6", 18, 30, -13, 0},
    {SHAFT, "h6", 30, 50, -16, 0},
    {SHAFT, "h6", 50, 80, -19, 0},
    {SHAFT, "h6", 80, 120, -22, 0},
    {SHAFT, "h6", 120, 180, -25, 0},
    {SHAFT, "h6", 180, 250, -29, 0},
    /* h8 */
    {SHAFT, "h8", 0, 3, -14, 0},
    {SHAFT, "h8", 3, 6, -18, 0},
    {SHAFT, "h8", 6, 10, -22, 0},
    {SHAFT, "h8", 10, 18, -27, 0},
    {SHAFT, "h8", 18, 30, -33, 0},
    {SHAFT, "h8", 30, 50, -39, 0},
    {SHAFT, "h8", 50, 80, -46, 0},
    {SHAFT, "h8", 80, 120, -54, 0},
    {SHAFT, "h8", 120, 180, -63, 0},
    {SHAFT, "h8", 180, 250, -72, 0},
    /* n6 */
    {JIS, "n6", 0, 3, 4, 10},
    {JIS, "n6", 3, 6, 8, 16},
    {JIS, "n6", 6, 10, 10, 19},
    {JIS, "n6", 10, 18, 12, 23},
    {JIS, "n6", 18, 30, 15, 28},
    {JIS, "n6", 30, 50, 17, 33},
    {JIS, "n6", 50, 80, 20, 39},
    /* p6 */
    {JIS, "p6", 0, 3, 6, 12},
    {JIS, "p6", 3, 6, 12, 20},
    {JIS, "p6", 6, 10, 15, 24},
    {JIS, "p6", 10, 18, 18, 29},
    {JIS, "p6", 18, 30, 22, 35},
    {JIS, "p6", 30, 50, 26, 42},
    {JIS, "p6", 50, 80, 32, 51},
    /* g6 */
    {JIS, "g6", 0, 3, -8, -2},
    {JIS, "g6", 3, 6, -12, -4},
    {JIS, "g6", 6, 10, -14, -5},
    {JIS, "g6", 10, 18, -17, -6},
    {JIS, "g6", 18, 30, -20, -7},
    {JIS, "g6", 30, 50, -25, -9},
    {JIS, "g6", 50, 80, -29, -10},
    /* f7 */
    {JIS, "f7", 0, 3, -16, -6},
    {JIS, "f7", 3, 6, -22, -10},
    {JIS, "f7", 6, 10, -28, -13},
    {JIS, "f7", 10, 18, -34, -16},
    {JIS, "f7", 18, 30, -41, -20},
    {JIS, "f7", 30, 50, -50, -25},
    {JIS, "f7", 50, 80, -60, -30},
    /* e8 */
    {JIS, "e8", 0, 3, -28, -14},
    {JIS, "e8", 3, 6, -38, -20},
    {JIS, "e8", 6, 10, -47, -25},
    {JIS, "e8", 10, 18, -59, -32},
    {JIS, "e8", 18, 30, -73, -40},
    {JIS, "e8", 30, 50, -89, -50},
    {JIS, "e8", 50, 80, -106, -60},
    /* d9 */
    {JIS, "d9", 0, 3, -45, -20},
    {JIS, "d9", 3, 6, -60, -30},
    {JIS, "d9", 6, 10, -76, -40},
    {JIS, "d9", 10, 18, -93, -50},
    {JIS, "d9", 18, 30, -117, -65},
    {JIS, "d9", 30, 50, -142, -80},
    {JIS, "d9", 50, 80, -174, -100},
    /* s6 */
    {JIS, "s6", 0, 3, 14, 20},
    {JIS, "s6", 3, 6, 19, 27},
    {JIS, "s6", 6, 10, 23, 32},
    {JIS, "s6", 10, 18, 28, 39},
    {JIS, "s6", 18, 30, 35, 48},
    {JIS, "s6", 30, 50, 43, 59},
    {JIS, "s6", 50, 65, 53, 72},
    {JIS, "s6", 65, 80, 59, 78},
    /* r6 */
    {JIS, "r6", 0, 3, 10, 16},
    {JIS, "r6", 3, 6, 15, 23},
    {JIS, "r6", 6, 10, 19, 28},
    {JIS, "r6", 10, 18, 23, 34},
    {JIS, "r6", 18, 30, 28, 41},
    {JIS, "r6", 30, 50, 34, 50},
    {JIS, "r6", 50, 65, 41, 60},
    {JIS, "r6", 65, 80, 43, 62},
};

static void expect_limits(const struct knowledge *knowledge, const char *tolerance_class,
                          double size_mm, double low_um, double high_um, int source)
{
    double low = NAN;
    double high = NAN;
    const char *why = "";
    const status found = limits_of_class(knowledge->tables.limits, size_mm * 1e6,
                                         text_of(tolerance_class), &low, &high, &why);
    cr_expect_eq(found, STATUS_OK, "%g %s: %s", size_mm, tolerance_class, why);
    cr_expect_float_eq(low / 1e3, low_um, 1e-9, "%g %s: %g, printed %g (source %d)",
                       size_mm, tolerance_class, low / 1e3, low_um, source);
    cr_expect_float_eq(high / 1e3, high_um, 1e-9, "%g %s: %g, printed %g (source %d)",
                       size_mm, tolerance_class, high / 1e3, high_um, source);
}

Test(iso286, limits_are_as_printed_at_both_ends_of_each_step)
{
    struct shipped shipped = shipped_load();
    const size_t count = sizeof printed / sizeof *printed;
    for (size_t i = 0; i < count; i++) {
        const double sizes[2] = {printed[i].to_mm, printed[i].over_mm + 0.001};
        for (int k = 0; k < 2; k++) {
            expect_limits(shipped.knowledge, printed[i].tolerance_class, sizes[k],
                          printed[i].low_um, printed[i].high_um, (int)printed[i].source);
        }
    }
    cr_expect_geq(count, 150);
    shipped_close(&shipped);
}

/* Special rules of ISO 286-1: M6 over 250 to 315 mm, N above IT8, k outside IT4 to IT7,
 * js halves. */
Test(iso286, special_rules)
{
    static const struct {
        const char *tolerance_class;
        double size_mm;
        double low_um;
        double high_um;
    } rows[] = {{"M6", 280, -41, -9}, {"N9", 60, -74, 0},     {"N9", 2.5, -29, -4},
                {"k8", 60, 0, 46},    {"K8", 60, -32, 14},    {"JS9", 36, -31, 31},
                {"S7", 90, -93, -58}, {"js6", 30, -6.5, 6.5}, {"r6", 500, 132, 172}};
    struct shipped shipped = shipped_load();
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        expect_limits(shipped.knowledge, rows[i].tolerance_class, rows[i].size_mm,
                      rows[i].low_um, rows[i].high_um, -1);
    }
    shipped_close(&shipped);
}

Test(iso286, what_the_table_lacks_is_refused_with_a_reason)
{
    static const struct {
        const char *tolerance_class;
        double size_mm;
    } rows[] = {{"H7", 0},   {"H7", 501}, {"q6", 40},
                {"H40", 40}, {"K9", 40},  {"H14", 0.8}};
    struct shipped shipped = shipped_load();
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        double low = 0;
        double high = 0;
        const char *why = NULL;
        cr_expect_eq(limits_of_class(shipped.knowledge->tables.limits,
                                     rows[i].size_mm * 1e6,
                                     text_of(rows[i].tolerance_class), &low, &high, &why),
                     STATUS_NOT_FOUND, "%g %s", rows[i].size_mm, rows[i].tolerance_class);
        cr_expect_not_null(why);
    }
    shipped_close(&shipped);
}

/* Worked examples: 64 H8/f7, a question printed with its solution on byjus.com; 34
 * H11/c11, Shigley's Mechanical Engineering Design, limits and fits; the rest ISO 286-1
 * fits as SKF and JIS print them. */
Test(iso286, fits_come_out_as_worked_examples_do)
{
    static const struct {
        const char *fit;
        double least_um;
        double greatest_um;
    } rows[] = {
        {"64 H8/f7", 30, 106},  {"34 H11/c11", 120, 440}, {"50 H7/g6", 9, 50},
        {"80 H7/h6", 0, 49},    {"25 H7/k6", -15, 19},    {"30 H7/p6", -35, -1},
        {"50 H7/s6", -59, -18}, {"60 H7/n6", -39, 10},    {"62 K7/h6", -21, 28},
        {"10 H8/f7", 13, 50},   {"3 H7/p6", -12, 4},      {"100 H7/r6", -73, -16}};
    struct shipped shipped = shipped_load();
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct reckoned_fit fit = {0};
        cr_assert_eq(reckon_fit(shipped.room.arena, shipped.knowledge,
                                text_of(rows[i].fit), SPAN_NONE, shipped.room.diagnostics,
                                &fit),
                     STATUS_OK, "%s", rows[i].fit);
        cr_expect_float_eq(fit.clearance->least / 1e3, rows[i].least_um, 1e-9, "%s: %g",
                           rows[i].fit, fit.clearance->least / 1e3);
        cr_expect_float_eq(fit.clearance->greatest / 1e3, rows[i].greatest_um, 1e-9,
                           "%s: %g", rows[i].fit, fit.clearance->greatest / 1e3);
    }
    shipped_close(&shipped);
}
