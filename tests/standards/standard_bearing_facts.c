/* SPDX-License-Identifier: MIT */
/*
 * What the facts say of rolling bearings beside their boundary dimensions, against rows
 * printed by others than the facts' own source:
 *
 *  - corners: ISO 15 as bearing makers' general tables print them; GB/T 276-2013, which
 *    follows ISO 15, agrees (the facts' source)
 *  - fillets: makers' tables of the greatest fillet for a corner (NSK table 11.2, JIS B
 *    1566); shoulders stand above the corner and the fillet on either side
 *  - radial clearance: ISO 5753-1, printed by two bearing makers
 *  - tapered bearings: ISO 355, two open tables
 */
#include "shipped.h"

#include <stdio.h>

TestSuite(bearing_facts, .timeout = 60);

static const double mm = 1e6;
static const double um = 1e3;

static const struct form *bearing_field(const struct shipped *shipped, const char *part,
                                        const char *field)
{
    const struct form *made = shipped_value(shipped, part, "bearing", "", field);
    cr_assert_not_null(made, "%s of %s", field, part);
    return made;
}

Test(bearing_facts, have_the_corners_of_iso_15)
{
    static const struct {
        const char *part;
        double corner;
    } rows[] = {
        {"deep-groove-6000", 0.3}, {"deep-groove-6002", 0.3}, {"deep-groove-6004", 0.6},
        {"deep-groove-6010", 1},   {"deep-groove-6011", 1.1}, {"deep-groove-6016", 1.1},
        {"deep-groove-6203", 0.6}, {"deep-groove-6204", 1},   {"deep-groove-6206", 1},
        {"deep-groove-6210", 1.1}, {"deep-groove-6211", 1.5}, {"deep-groove-6216", 2},
        {"deep-groove-6301", 1},   {"deep-groove-6304", 1.1}, {"deep-groove-6307", 1.5},
        {"deep-groove-6310", 2},   {"deep-groove-6312", 2.1}, {"deep-groove-6316", 2.1},
    };
    struct shipped shipped = shipped_load();
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        cr_expect_float_eq(bearing_field(&shipped, rows[i].part, "corner")->nominal,
                           rows[i].corner * mm, 1e-3, "%s", rows[i].part);
    }
    shipped_close(&shipped);
}

/* The fillet that clears a corner of r min: makers' tables. */
Test(bearing_facts, clear_the_fillets_that_makers_print)
{
    static const struct {
        double corner;
        double fillet;
    } printed[] = {{0.3, 0.3}, {0.6, 0.6}, {1, 1},  {1.1, 1},
                   {1.5, 1.5}, {2, 2},     {2.1, 2}};
    static const char *const parts[] = {"deep-groove-6000",    "deep-groove-6004-2rs",
                                        "deep-groove-6206-2z", "deep-groove-6208-c3",
                                        "deep-groove-6211",    "deep-groove-6216-2rs-c3",
                                        "deep-groove-6316-2rs"};
    struct shipped shipped = shipped_load();
    for (size_t i = 0; i < sizeof parts / sizeof *parts; i++) {
        cr_expect_float_eq(bearing_field(&shipped, parts[i], "corner")->nominal,
                           printed[i].corner * mm, 1e-3, "%s", parts[i]);
        cr_expect_float_eq(bearing_field(&shipped, parts[i], "fillet-most")->nominal,
                           printed[i].fillet * mm, 1e-3, "%s", parts[i]);
    }
    shipped_close(&shipped);
}

/* A shoulder reaches past the corner, and not to three tenths of the way across. */
Test(bearing_facts, want_shoulders_between_the_corner_and_the_land)
{
    static const char *const parts[] = {"deep-groove-6000", "deep-groove-6206",
                                        "deep-groove-6208", "deep-groove-6310",
                                        "deep-groove-6016", "deep-groove-6316"};
    struct shipped shipped = shipped_load();
    for (size_t i = 0; i < sizeof parts / sizeof *parts; i++) {
        const double corner = bearing_field(&shipped, parts[i], "corner")->nominal;
        const double small =
            shipped_value(&shipped, parts[i], "run", "bore", "diameter")->nominal;
        const double large =
            shipped_value(&shipped, parts[i], "run", "outside", "diameter")->nominal;
        const double least = bearing_field(&shipped, parts[i], "shoulder-least")->nominal;
        const double most = bearing_field(&shipped, parts[i], "shoulder-most")->nominal;
        cr_expect_geq(least, small + 2 * corner, "%s", parts[i]);
        cr_expect_leq(least, small + 0.3 * (large - small), "%s", parts[i]);
        cr_expect_leq(most, large - 2 * corner, "%s", parts[i]);
        cr_expect_geq(most, large - 0.3 * (large - small), "%s", parts[i]);
    }
    shipped_close(&shipped);
}

Test(bearing_facts, have_the_clearances_of_iso_5753)
{
    static const struct {
        const char *part;
        double least;
        double greatest;
    } rows[] = {
        {"deep-groove-6000", 2, 13},         {"deep-groove-6000-c3", 8, 23},
        {"deep-groove-6202", 3, 18},         {"deep-groove-6202-c3", 11, 25},
        {"deep-groove-6004", 5, 20},         {"deep-groove-6004-c3", 13, 28},
        {"deep-groove-6305", 5, 20},         {"deep-groove-6305-c3", 13, 28},
        {"deep-groove-6206", 5, 20},         {"deep-groove-6206-c3", 13, 28},
        {"deep-groove-6208", 6, 20},         {"deep-groove-6208-c3", 15, 33},
        {"deep-groove-6309", 6, 23},         {"deep-groove-6309-c3", 18, 36},
        {"deep-groove-6210", 6, 23},         {"deep-groove-6210-c3", 18, 36},
        {"deep-groove-6213", 8, 28},         {"deep-groove-6213-c3", 23, 43},
        {"deep-groove-6314", 10, 30},        {"deep-groove-6314-c3", 25, 51},
        {"deep-groove-6216", 10, 30},        {"deep-groove-6216-c3", 25, 51},
        {"deep-groove-6003", 3, 18},         {"deep-groove-6003-c3", 11, 25},
        {"deep-groove-6201", 3, 18},         {"deep-groove-6201-c3", 11, 25},
        {"deep-groove-6207", 6, 20},         {"deep-groove-6207-c3", 15, 33},
        {"deep-groove-6011", 8, 28},         {"deep-groove-6011-c3", 23, 43},
        {"deep-groove-6312", 8, 28},         {"deep-groove-6312-c3", 23, 43},
        {"deep-groove-6015", 10, 30},        {"deep-groove-6015-c3", 25, 51},
        {"deep-groove-6207-2rs", 6, 20},     {"deep-groove-6207-2z", 6, 20},
        {"deep-groove-6207-2rs-c3", 15, 33},
    };
    struct shipped shipped = shipped_load();
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const struct form *between =
            bearing_field(&shipped, rows[i].part, "radial-clearance");
        cr_expect_float_eq(between->least, rows[i].least * um, 1e-3, "%s", rows[i].part);
        cr_expect_float_eq(between->greatest, rows[i].greatest * um, 1e-3, "%s",
                           rows[i].part);
    }
    shipped_close(&shipped);
}

Test(bearing_facts, have_the_tapered_sizes_of_iso_355)
{
    static const struct {
        const char *part;
        double bore;
        double outside;
        double width;
        double cone;
        double cup;
    } rows[] = {
        {"tapered-30204", 20, 47, 15.25, 14, 12},
        {"tapered-30205", 25, 52, 16.25, 15, 13},
        {"tapered-30206", 30, 62, 17.25, 16, 14},
        {"tapered-30208", 40, 80, 19.75, 18, 16},
        {"tapered-30302", 15, 42, 14.25, 13, 11},
        {"tapered-30303", 17, 47, 15.25, 14, 12},
        {"tapered-30305", 25, 62, 18.25, 17, 15},
        {"tapered-30306", 30, 72, 20.75, 19, 16},
        {"tapered-30307", 35, 80, 22.75, 21, 18},
        {"tapered-32005", 25, 47, 15, 15, 11.5},
        {"tapered-32006", 30, 55, 17, 17, 13},
        {"tapered-32206", 30, 62, 21.25, 20, 17},
    };
    struct shipped shipped = shipped_load();
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const char *part = rows[i].part;
        const double out =
            shipped_value(&shipped, part, "face", "outer-out", "at")->nominal;
        cr_expect_eq(shipped_value(&shipped, part, "run", "bore", "diameter")->nominal,
                     rows[i].bore * mm, "%s", part);
        cr_expect_eq(shipped_value(&shipped, part, "run", "outside", "diameter")->nominal,
                     rows[i].outside * mm, "%s", part);
        cr_expect_eq(out, rows[i].width * mm, "%s", part);
        cr_expect_eq(shipped_value(&shipped, part, "face", "inner-out", "at")->nominal,
                     rows[i].cone * mm, "%s", part);
        cr_expect_float_eq(
            out - shipped_value(&shipped, part, "face", "outer-in", "at")->nominal,
            rows[i].cup * mm, 1e-3, "%s", part);
    }
    shipped_close(&shipped);
}

/* The expansion stands in two tables, for the engine and for rules: they must agree. */
Test(bearing_facts, grow_in_both_tables_alike)
{
    struct shipped shipped = shipped_load();
    const struct tables *tables = &shipped.knowledge->tables;
    for (uint32_t i = 0; i < tables->material_count; i++) {
        char name[64];
        snprintf(name, sizeof name, "%.*s", TEXT_ARG(tables->materials[i].name));
        const struct form *grows =
            shipped_value(&shipped, name, "metal", "", "expansion");
        cr_assert_not_null(grows, "%s", name);
        cr_expect_float_eq(grows->nominal, tables->materials[i].figure, 1e-15, "%s",
                           name);
    }
    shipped_close(&shipped);
}
