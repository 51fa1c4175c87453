/* SPDX-License-Identifier: MIT */
/*
 * Standard parts as published, against the rows that facts/ make of them.
 *
 *  - bearings: ISO 15 dimension series 10, 02, 03, printed in a size chart and in open
 *    part tables
 *  - rings: DIN 471 and DIN 472, where two open part tables agree; those marked so, one
 *  - general tolerances: ISO 2768-1:1989 table 1, two printed copies; ISO 8062-3:2007
 *    table 2 as casting makers print it
 */
#include "shipped.h"

#include <math.h>

TestSuite(dimensions, .timeout = 60);

static const double mm = 1e6;

static const struct {
    const char *part;
    double bore;
    double outside;
    double width;
} bearings[] = {
    {"deep-groove-6000", 10, 26, 8},   {"deep-groove-6001", 12, 28, 8},
    {"deep-groove-6003", 17, 35, 10},  {"deep-groove-6004", 20, 42, 12},
    {"deep-groove-6005", 25, 47, 12},  {"deep-groove-6007", 35, 62, 14},
    {"deep-groove-6008", 40, 68, 15},  {"deep-groove-6009", 45, 75, 16},
    {"deep-groove-6011", 55, 90, 18},  {"deep-groove-6012", 60, 95, 18},
    {"deep-groove-6013", 65, 100, 18}, {"deep-groove-6015", 75, 115, 20},
    {"deep-groove-6016", 80, 125, 22}, {"deep-groove-6200", 10, 30, 9},
    {"deep-groove-6202", 15, 35, 11},  {"deep-groove-6203", 17, 40, 12},
    {"deep-groove-6204", 20, 47, 14},  {"deep-groove-6206", 30, 62, 16},
    {"deep-groove-6207", 35, 72, 17},  {"deep-groove-6208", 40, 80, 18},
    {"deep-groove-6210", 50, 90, 20},  {"deep-groove-6211", 55, 100, 21},
    {"deep-groove-6212", 60, 110, 22}, {"deep-groove-6214", 70, 125, 24},
    {"deep-groove-6215", 75, 130, 25}, {"deep-groove-6216", 80, 140, 26},
    {"deep-groove-6301", 12, 37, 12},  {"deep-groove-6302", 15, 42, 13},
    {"deep-groove-6303", 17, 47, 14},  {"deep-groove-6305", 25, 62, 17},
    {"deep-groove-6306", 30, 72, 19},  {"deep-groove-6307", 35, 80, 21},
    {"deep-groove-6309", 45, 100, 25}, {"deep-groove-6310", 50, 110, 27},
    {"deep-groove-6311", 55, 120, 29}, {"deep-groove-6313", 65, 140, 33},
    {"deep-groove-6314", 70, 150, 35}, {"deep-groove-6315", 75, 160, 37},
};

Test(dimensions, bearings_have_the_boundary_dimensions_of_iso_15)
{
    struct shipped shipped = shipped_load();
    for (size_t i = 0; i < sizeof bearings / sizeof *bearings; i++) {
        const char *part = bearings[i].part;
        const struct form *bore =
            shipped_value(&shipped, part, "run", "bore", "diameter");
        const struct form *outside =
            shipped_value(&shipped, part, "run", "outside", "diameter");
        const struct form *width =
            shipped_value(&shipped, part, "face", "inner-out", "at");
        cr_assert(bore != NULL && outside != NULL && width != NULL, "%s", part);
        cr_expect_eq(bore->nominal, bearings[i].bore * mm, "%s", part);
        cr_expect_eq(outside->nominal, bearings[i].outside * mm, "%s", part);
        cr_expect_eq(width->nominal, bearings[i].width * mm, "%s", part);
        cr_expect_eq(bore->greatest, bore->nominal, "ISO 492: never over the nominal, %s",
                     part);
    }
    shipped_close(&shipped);
}

/* ISO 492 Normal: mean bore and outside diameter, as SKF's fit tables print them. */
Test(dimensions, bearings_have_the_tolerances_of_iso_492)
{
    static const struct {
        const char *part;
        double bore_below_um;
        double outside_below_um;
    } rows[] = {{"deep-groove-6000", 8, 9},   {"deep-groove-6206", 10, 13},
                {"deep-groove-6207", 12, 13}, {"deep-groove-6208", 12, 13},
                {"deep-groove-6210", 12, 15}, {"deep-groove-6216", 15, 18}};
    struct shipped shipped = shipped_load();
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const struct form *bore =
            shipped_value(&shipped, rows[i].part, "run", "bore", "diameter");
        const struct form *outside =
            shipped_value(&shipped, rows[i].part, "run", "outside", "diameter");
        cr_expect_float_eq(bore->nominal - bore->least, rows[i].bore_below_um * 1e3, 1e-3,
                           "%s", rows[i].part);
        cr_expect_float_eq(outside->nominal - outside->least,
                           rows[i].outside_below_um * 1e3, 1e-3, "%s", rows[i].part);
    }
    shipped_close(&shipped);
}

static const struct ring_row {
    const char *part;
    double thickness;
    double groove;
    double thinner;
} rings_on_shafts[] = {
    {"ring-10x1", 1, 9.6, 0.06},        {"ring-12x1", 1, 11.5, 0.06},
    {"ring-14x1", 1, 13.4, 0.06},       {"ring-16x1", 1, 15.2, 0.06},
    {"ring-17x1", 1, 16.2, 0.06},       {"ring-18x1.2", 1.2, 17, 0.06},
    {"ring-22x1.2", 1.2, 21, 0.06},     {"ring-24x1.2", 1.2, 22.9, 0.06},
    {"ring-25x1.2", 1.2, 23.9, 0.06},   {"ring-28x1.5", 1.5, 26.6, 0.06},
    {"ring-30x1.5", 1.5, 28.6, 0.06},   {"ring-32x1.5", 1.5, 30.3, 0.06},
    {"ring-35x1.5", 1.5, 33, 0.06},     {"ring-36x1.75", 1.75, 34, 0.06},
    {"ring-38x1.75", 1.75, 36, 0.06},   {"ring-42x1.75", 1.75, 39.5, 0.06},
    {"ring-45x1.75", 1.75, 42.5, 0.06}, {"ring-48x1.75", 1.75, 45.5, 0.06},
    {"ring-55x2", 2, 52, 0.07},         {"ring-56x2", 2, 53, 0.07},
    {"ring-60x2", 2, 57, 0.07},         {"ring-62x2", 2, 59, 0.07},
    {"ring-63x2", 2, 60, 0.07},         {"ring-68x2.5", 2.5, 65, 0.07},
    {"ring-70x2.5", 2.5, 67, 0.07},     {"ring-72x2.5", 2.5, 69, 0.07},
    {"ring-78x2.5", 2.5, 75, 0.07},     {"ring-80x2.5", 2.5, 76.5, 0.07},
    {"ring-85x3", 3, 81.5, 0.08},       {"ring-95x3", 3, 91.5, 0.08},
    {"ring-100x3", 3, 96.5, 0.08},
};

static const struct ring_row rings_in_bores[] = {
    {"ring-in-12x1", 1, 12.5, 0.06},       {"ring-in-14x1", 1, 14.6, 0.06},
    {"ring-in-15x1", 1, 15.7, 0.06},       {"ring-in-17x1", 1, 17.8, 0.06},
    {"ring-in-18x1", 1, 19, 0.06},         {"ring-in-20x1", 1, 21, 0.06},
    {"ring-in-24x1.2", 1.2, 25.2, 0.06},   {"ring-in-25x1.2", 1.2, 26.2, 0.06},
    {"ring-in-26x1.2", 1.2, 27.2, 0.06},   {"ring-in-30x1.2", 1.2, 31.4, 0.06},
    {"ring-in-32x1.2", 1.2, 33.7, 0.06},   {"ring-in-34x1.5", 1.5, 35.7, 0.06},
    {"ring-in-36x1.5", 1.5, 38, 0.06},     {"ring-in-38x1.5", 1.5, 40, 0.06},
    {"ring-in-40x1.75", 1.75, 42.5, 0.06}, {"ring-in-45x1.75", 1.75, 47.5, 0.06},
    {"ring-in-47x1.75", 1.75, 49.5, 0.06}, {"ring-in-48x1.75", 1.75, 50.5, 0.06},
    {"ring-in-52x2", 2, 55, 0.07},         {"ring-in-55x2", 2, 58, 0.07},
    {"ring-in-56x2", 2, 59, 0.07},         {"ring-in-60x2", 2, 63, 0.07},
    {"ring-in-62x2", 2, 65, 0.07},         {"ring-in-63x2", 2, 66, 0.07},
    {"ring-in-68x2.5", 2.5, 71, 0.07},     {"ring-in-70x2.5", 2.5, 73, 0.07},
    {"ring-in-72x2.5", 2.5, 75, 0.07},     {"ring-in-78x2.5", 2.5, 81, 0.07},
    {"ring-in-80x2.5", 2.5, 83.5, 0.07},   {"ring-in-85x3", 3, 88.5, 0.08},
    {"ring-in-95x3", 3, 98.5, 0.08},
};

/* Thickness and groove: one open part table; for shafts up to 19 mm also the DIN 471 page
 * of a fastener maker. */
static const struct ring_row more_rings_on_shafts[] = {
    {"ring-8x0.8", 0.8, 7.6, 0.05},   {"ring-9x1", 1, 8.6, 0.06},
    {"ring-11x1", 1, 10.5, 0.06},     {"ring-13x1", 1, 12.4, 0.06},
    {"ring-15x1", 1, 14.3, 0.06},     {"ring-19x1.2", 1.2, 18, 0.06},
    {"ring-20x1.2", 1.2, 19, 0.06},   {"ring-26x1.2", 1.2, 24.9, 0.06},
    {"ring-34x1.5", 1.5, 32.3, 0.06}, {"ring-40x1.75", 1.75, 37.5, 0.06},
    {"ring-50x2", 2, 47, 0.07},       {"ring-58x2", 2, 55, 0.07},
    {"ring-65x2.5", 2.5, 62, 0.07},   {"ring-75x2.5", 2.5, 72, 0.07},
    {"ring-82x2.5", 2.5, 78.5, 0.07}, {"ring-90x3", 3, 86.5, 0.08},
};

static const struct ring_row more_rings_in_bores[] = {
    {"ring-in-10x1", 1, 10.4, 0.06},       {"ring-in-13x1", 1, 13.6, 0.06},
    {"ring-in-16x1", 1, 16.8, 0.06},       {"ring-in-19x1", 1, 20, 0.06},
    {"ring-in-22x1", 1, 23, 0.06},         {"ring-in-28x1.2", 1.2, 29.4, 0.06},
    {"ring-in-35x1.5", 1.5, 37, 0.06},     {"ring-in-37x1.5", 1.5, 39, 0.06},
    {"ring-in-42x1.75", 1.75, 44.5, 0.06}, {"ring-in-50x2", 2, 53, 0.07},
    {"ring-in-58x2", 2, 61, 0.07},         {"ring-in-65x2.5", 2.5, 68, 0.07},
    {"ring-in-75x2.5", 2.5, 78, 0.07},     {"ring-in-90x3", 3, 93.5, 0.08},
};

static void expect_ring(const struct shipped *shipped, const struct ring_row *row,
                        const char *run)
{
    const struct form *groove = shipped_value(shipped, row->part, "run", run, "diameter");
    const struct form *out = shipped_value(shipped, row->part, "face", "out", "at");
    cr_assert(groove != NULL && out != NULL, "%s", row->part);
    cr_expect_float_eq(groove->nominal, row->groove * mm, 1e-3, "%s", row->part);
    cr_expect_float_eq(out->nominal, row->thickness * mm, 1e-3, "%s", row->part);
    cr_expect_float_eq(out->nominal - out->least, row->thinner * mm, 1e-3, "%s",
                       row->part);
}

static void expect_rings(const struct shipped *shipped, const struct ring_row *rows,
                         size_t count, const char *run)
{
    for (size_t i = 0; i < count; i++) {
        expect_ring(shipped, &rows[i], run);
    }
}

Test(dimensions, retaining_rings_are_those_of_din_471_and_din_472)
{
    struct shipped shipped = shipped_load();
    expect_rings(&shipped, rings_on_shafts,
                 sizeof rings_on_shafts / sizeof *rings_on_shafts, "inside");
    expect_rings(&shipped, more_rings_on_shafts,
                 sizeof more_rings_on_shafts / sizeof *more_rings_on_shafts, "inside");
    expect_rings(&shipped, rings_in_bores, sizeof rings_in_bores / sizeof *rings_in_bores,
                 "outside");
    expect_rings(&shipped, more_rings_in_bores,
                 sizeof more_rings_in_bores / sizeof *more_rings_in_bores, "outside");
    shipped_close(&shipped);
}

/* ISO 6194-1: the shaft under a lip h11, the bore round it H8. 45 mm: h11 is 0/-160 um;
 * 62 mm: H8 is +46/0 um (JIS B 0401 and SKF tables as in standard_iso286.c). */
Test(dimensions, lip_seals_ask_h11_and_h8)
{
    struct shipped shipped = shipped_load();
    const struct form *shaft =
        shipped_value(&shipped, "lip-45x62x8", "lip-seal", "", "shaft");
    const struct form *bore =
        shipped_value(&shipped, "lip-45x62x8", "lip-seal", "", "bore");
    cr_assert(shaft != NULL && bore != NULL);
    cr_expect_eq(shaft->least, (45 - 0.16) * mm);
    cr_expect_eq(shaft->greatest, 45 * mm);
    cr_expect_eq(bore->least, 62 * mm);
    cr_expect_eq(bore->greatest, (62 + 0.046) * mm);
    shipped_close(&shipped);
}

/* Rubber-covered outside diameter over the bore, DIN 3760: tables of DDS, AJR and a maker
 * of Taiwan agree; width over 10 mm ±0.3 mm: the last of them. */
Test(dimensions, lip_seals_are_larger_than_their_bores_as_din_3760_has_them)
{
    static const struct {
        const char *part;
        double bore;
        double under;
        double over;
        double width_within;
    } rows[] = {
        {"lip-10x22x7", 22, 0.15, 0.3, 0.2},     {"lip-35x50x7", 50, 0.15, 0.3, 0.2},
        {"lip-35x52x7", 52, 0.2, 0.35, 0.2},     {"lip-50x68x8", 68, 0.2, 0.35, 0.2},
        {"lip-60x80x8", 80, 0.2, 0.35, 0.2},     {"lip-60x85x8", 85, 0.2, 0.35, 0.2},
        {"lip-80x100x10", 100, 0.2, 0.35, 0.2},  {"lip-100x120x12", 120, 0.2, 0.35, 0.3},
        {"lip-100x125x12", 125, 0.25, 0.45, 0.3}};
    struct shipped shipped = shipped_load();
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const char *part = rows[i].part;
        const struct form *rim =
            shipped_value(&shipped, part, "run", "outside", "diameter");
        const struct form *out = shipped_value(&shipped, part, "face", "out", "at");
        cr_assert(rim != NULL && out != NULL, "%s", part);
        cr_expect_float_eq(rim->least, (rows[i].bore + rows[i].under) * mm, 1e-3, "%s",
                           part);
        cr_expect_float_eq(rim->greatest, (rows[i].bore + rows[i].over) * mm, 1e-3, "%s",
                           part);
        cr_expect_float_eq(out->greatest - out->nominal, rows[i].width_within * mm, 1e-3,
                           "%s", part);
    }
    shipped_close(&shipped);
}

static const struct general_row {
    const char *name;
    double size;
    double plus_minus; /* NAN: the standard has none */
} general[] = {
    {"ISO 2768-f", 2, 0.05},   {"ISO 2768-c", 2, 0.2},   {"ISO 2768-f", 3, 0.05},
    {"ISO 2768-c", 3, 0.2},    {"ISO 2768-v", 3, NAN},   {"ISO 2768-c", 5, 0.3},
    {"ISO 2768-f", 6, 0.05},   {"ISO 2768-m", 6, 0.1},   {"ISO 2768-c", 6, 0.3},
    {"ISO 2768-f", 20, 0.1},   {"ISO 2768-m", 20, 0.2},  {"ISO 2768-f", 30, 0.1},
    {"ISO 2768-c", 30, 0.5},   {"ISO 2768-v", 30, 1},    {"ISO 2768-m", 100, 0.3},
    {"ISO 2768-f", 120, 0.15}, {"ISO 2768-m", 120, 0.3}, {"ISO 2768-c", 120, 0.8},
    {"ISO 2768-f", 300, 0.2},  {"ISO 2768-m", 300, 0.5}, {"ISO 2768-f", 400, 0.2},
    {"ISO 2768-c", 400, 1.2},  {"ISO 2768-v", 400, 2.5}, {"ISO 2768-f", 900, 0.3},
    {"ISO 2768-m", 1500, 1.2}, {"ISO 2768-v", 1500, 6},  {"ISO 2768-f", 3000, NAN},
    {"ISO 2768-v", 3000, 8},
};

/* An investment caster prints these of DCTG 4 to 10 as deviations either way; Dean Group
 * prints all of DCTG 9 as whole widths. */
static const struct general_row castings[] = {
    {"ISO 8062-3 DCTG 4", 10, 0.13},   {"ISO 8062-3 DCTG 6", 10, 0.26},
    {"ISO 8062-3 DCTG 4", 16, 0.14},   {"ISO 8062-3 DCTG 6", 16, 0.27},
    {"ISO 8062-3 DCTG 4", 25, 0.15},   {"ISO 8062-3 DCTG 5", 40, 0.23},
    {"ISO 8062-3 DCTG 6", 40, 0.32},   {"ISO 8062-3 DCTG 5", 63, 0.25},
    {"ISO 8062-3 DCTG 6", 63, 0.35},   {"ISO 8062-3 DCTG 6", 100, 0.39},
    {"ISO 8062-3 DCTG 7", 100, 0.55},  {"ISO 8062-3 DCTG 7", 160, 0.6},
    {"ISO 8062-3 DCTG 8", 160, 0.9},   {"ISO 8062-3 DCTG 8", 250, 1},
    {"ISO 8062-3 DCTG 9", 250, 1.4},   {"ISO 8062-3 DCTG 9", 400, 1.6},
    {"ISO 8062-3 DCTG 10", 400, 2.2},  {"ISO 8062-3 DCTG 9", 0.4, 0.75},
    {"ISO 8062-3 DCTG 9", 10, 0.75},   {"ISO 8062-3 DCTG 9", 10.1, 0.8},
    {"ISO 8062-3 DCTG 9", 16.1, 0.85}, {"ISO 8062-3 DCTG 9", 25.1, 0.9},
    {"ISO 8062-3 DCTG 9", 40.1, 1},    {"ISO 8062-3 DCTG 9", 63.1, 1.1},
    {"ISO 8062-3 DCTG 9", 160, 1.25},  {"ISO 8062-3 DCTG 9", 400.1, 1.8},
    {"ISO 8062-3 DCTG 9", 631, NAN},   {"ISO 8062-3 DCTG 13", 16, NAN},
    {"ISO 8062-3 DCTG 1", 161, NAN},
};

/* Table 2, outside radii and chamfer heights, as a maker of turned parts prints it
 * (general tolerances for broken edges, ISO 2768-1:1989). */
static const struct general_row edges[] = {
    {"ISO 2768-f", 0.5, 0.2},      {"ISO 2768-m", 3, 0.2}, {"ISO 2768-f", 3.1, 0.5},
    {"ISO 2768-m", 6, 0.5},        {"ISO 2768-m", 8, 1},   {"ISO 2768-c", 1, 0.4},
    {"ISO 2768-v", 3, 0.4},        {"ISO 2768-c", 5, 1},   {"ISO 2768-v", 6, 1},
    {"ISO 2768-c", 10, 2},         {"ISO 2768-v", 20, 2},  {"ISO 2768-m", 0.4, NAN},
    {"ISO 8062-3 DCTG 9", 5, NAN},
};

static void expect_general(const struct shipped *shipped, const struct general_row *row,
                           enum general_measure measure)
{
    double plus_minus = 0;
    const char *why = NULL;
    const status found =
        general_tolerance_of(shipped->knowledge->tables.general, text_of(row->name),
                             row->size * mm, measure, &plus_minus, &why);
    cr_expect_eq(found == STATUS_OK, !isnan(row->plus_minus), "%s at %g", row->name,
                 row->size);
    if (found == STATUS_OK) {
        cr_expect_float_eq(plus_minus, row->plus_minus * mm, 1e-3, "%s at %g: %g",
                           row->name, row->size, plus_minus);
    }
}

Test(dimensions, general_tolerances_are_those_of_iso_2768)
{
    struct shipped shipped = shipped_load();
    for (size_t i = 0; i < sizeof edges / sizeof *edges; i++) {
        expect_general(&shipped, &edges[i], GENERAL_EDGE);
    }
    for (size_t i = 0; i < sizeof general / sizeof *general; i++) {
        expect_general(&shipped, &general[i], GENERAL_LENGTH);
    }
    shipped_close(&shipped);
}

Test(dimensions, castings_have_the_tolerances_of_iso_8062)
{
    struct shipped shipped = shipped_load();
    for (size_t i = 0; i < sizeof castings / sizeof *castings; i++) {
        expect_general(&shipped, &castings[i], GENERAL_LENGTH);
    }
    shipped_close(&shipped);
}

/* SAE AS568 dash numbers: inside diameter and section in inches, as charts print them. */
Test(dimensions, o_rings_have_the_sizes_of_as568)
{
    static const struct {
        const char *part;
        double inside_in;
        double section_in;
    } rows[] = {{"o-ring-010", 0.239, 0.070}, {"o-ring-112", 0.487, 0.103},
                {"o-ring-214", 0.984, 0.139}, {"o-ring-325", 1.475, 0.210},
                {"o-ring-425", 4.475, 0.275}, {"o-ring-901", 0.185, 0.056},
                {"o-ring-932", 2.337, 0.118}};
    struct shipped shipped = shipped_load();
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const struct form *inside =
            shipped_value(&shipped, rows[i].part, "o-ring", "", "inside");
        const struct form *section =
            shipped_value(&shipped, rows[i].part, "o-ring", "", "section");
        cr_assert(inside != NULL && section != NULL, "%s", rows[i].part);
        cr_expect_float_eq(inside->nominal / 25.4e6, rows[i].inside_in, 0.0003, "%s",
                           rows[i].part);
        cr_expect_float_eq(section->nominal / 25.4e6, rows[i].section_in, 0.0003, "%s",
                           rows[i].part);
    }
    shipped_close(&shipped);
}

/* ISO 3601-1 class B for sizes of no series, as RT Dygert prints its results. */
Test(dimensions, o_rings_of_round_sizes_have_the_tolerances_of_iso_3601)
{
    static const struct {
        const char *part;
        double inside_within;
        double section_within;
    } rows[] = {{"o-ring-5x1.5", 0.15, 0.08},  {"o-ring-10x2", 0.19, 0.08},
                {"o-ring-10x2.5", 0.19, 0.09}, {"o-ring-20x3", 0.26, 0.09},
                {"o-ring-40x3.5", 0.41, 0.1},  {"o-ring-80x4", 0.69, 0.1},
                {"o-ring-80x5", 0.69, 0.13}};
    struct shipped shipped = shipped_load();
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const struct form *inside =
            shipped_value(&shipped, rows[i].part, "o-ring", "", "inside");
        const struct form *section =
            shipped_value(&shipped, rows[i].part, "o-ring", "", "section");
        cr_assert(inside != NULL && section != NULL, "%s", rows[i].part);
        cr_expect_float_eq(inside->greatest - inside->nominal, rows[i].inside_within * mm,
                           1e-3, "%s", rows[i].part);
        cr_expect_float_eq(section->greatest - section->nominal,
                           rows[i].section_within * mm, 1e-3, "%s", rows[i].part);
    }
    shipped_close(&shipped);
}
