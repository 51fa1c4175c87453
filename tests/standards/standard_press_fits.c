/* SPDX-License-Identifier: MIT */
/*
 * Press and shrink fits against printed examples. Where only the inputs of an example are
 * printed the result was worked out apart from this engine, and the source says so.
 *
 *  - MH: Machinery's Handbook, 31st edition, Shrinkage Fits, tables 1 to 3, pages 644 and
 *    645. Its C is the strain of the shaft over that of the hub, whose stress T is
 *    reckoned by the greatest strain, hoop stress + ν p; the allowance is T (1 + C) / E
 *    for a steel hub and T (2 + C) / E for one of cast iron. Its figures follow from
 *    Lamé with ν 1/3 for steel, 1/4 for iron and iron half as stiff as steel.
 *  - two answers that disagree: a course prints (1 - ν²)(1 + β) for the 60 mm press in a
 *    100 mm hub, which is not Lamé; here stands Lamé's.
 */
#include "printed_formula.h"

#include <stdio.h>

TestSuite(press_fits, .timeout = 60);

static const struct {
    double hub;   /* outside over bore */
    double shaft; /* outside over bore; 0: solid */
    double steel; /* C */
    double iron;
} handbook[] = {
    {1.5, 0, 0.227, 0.234},   {1.8, 0, 0.299, 0.311},   {2.0, 0, 0.333, 0.348},
    {2.4, 0, 0.380, 0.399},   {4.0, 0, 0.455, 0.482},   {1.5, 2.0, 0.455, 0.468},
    {1.5, 3.0, 0.313, 0.322}, {2.0, 2.0, 0.667, 0.696}, {2.4, 2.0, 0.760, 0.798},
    {3.0, 2.5, 0.662, 0.698}, {3.4, 3.5, 0.555, 0.587},
};

/* One inch across, a thousandth of allowance: T (1 + C) = 30 000 psi for a steel hub, and
 * T (2 + C) for one of iron. */
static void expect_handbook(const struct shipped *shipped, size_t i, bool is_iron)
{
    char pressure[160];
    char formula[480];
    const double bore = handbook[i].shaft > 0 ? 1 / handbook[i].shaft : 0;
    const double poisson = is_iron ? 0.25 : 1.0 / 3.0;
    snprintf(pressure, sizeof pressure,
             "press_pressure(0.001 in, 1 in, %.6f in, %.0f psi, %.9f, %.9f in, "
             "30000000 psi, 0.333333333)",
             handbook[i].hub, is_iron ? 15e6 : 30e6, poisson, bore);
    snprintf(formula, sizeof formula,
             "30000 psi / (press_hoop_outer(%s, 1 in, %.6f in) + %.9f * %s)", pressure,
             handbook[i].hub, poisson, pressure);
    const double printed = is_iron ? 2 + handbook[i].iron : 1 + handbook[i].steel;
    const struct printed_formula row = {formula, printed, "1", 0.002 / printed,
                                        "Machinery's Handbook 31st ed., Shrinkage Fits"};
    expect_printed(shipped, &row);
}

Test(press_fits, follow_the_tables_of_a_handbook)
{
    struct shipped shipped = shipped_load();
    for (size_t i = 0; i < sizeof handbook / sizeof *handbook; i++) {
        expect_handbook(&shipped, i, false);
        expect_handbook(&shipped, i, true);
    }
    shipped_close(&shipped);
}

#define MOTT                                                                             \
    "press_pressure(0.0032 in, 2.5 in, 3.5 in, 30000000 psi, 0.27, 2 in, 17000000 psi, " \
    "0.27)"
#define BRASS                                                                            \
    "press_pressure(0.051 mm, 101.6 mm, 127 mm, 206.7 GPa, 0.29, 50.8 mm, 103.4 GPa, "   \
    "0.32)"
#define COMPOUND                                                                         \
    "press_pressure(0.1624 mm, 180 mm, 220 mm, 200 GPa, 0.3, 140 mm, 200 GPa, 0.3)"
#define DISC  "press_pressure(0.05 mm, 80 mm, 750 mm, 207 GPa, 0.3, 0 mm, 207 GPa, 0.3)"
#define LIGHT "press_pressure(0.2 mm, 500 mm, 800 mm, 70 GPa, 0.34, 0 mm, 208 GPa, 0.33)"
#define COURSE                                                                           \
    "press_pressure(0.03 mm, 60 mm, 100 mm, 210 GPa, 0.292, 0 mm, 210 GPa, 0.292)"
#define HUB_30 "press_pressure(0.03 mm, 30 mm, 50 mm, 207 GPa, 0.3, 0 mm, 207 GPa, 0.3)"
#define HUB_25 "press_pressure(0.035 mm, 25 mm, 45 mm, 205 GPa, 0.3, 0 mm, 205 GPa, 0.3)"

static const struct printed_formula examples[] = {
    {MOTT, 3518, "psi", 0.01,
     "R.L. Mott, Machine Elements in Mechanical Design, example 13-2 (bronze in steel)"},
    {"press_hoop_outer(" MOTT ", 2.5 in, 3.5 in)", 10846, "psi", 0.01,
     "R.L. Mott, example 13-2, sleeve"},
    {"press_hoop_inner(" MOTT ", 2.5 in, 2 in)", -16025, "psi", 0.01,
     "R.L. Mott, example 13-2, bushing"},
    {BRASS, 13.77, "MPa", 0.005, "inputs of a university problem, brass in steel"},
    {"press_hoop_outer(" BRASS ", 101.6 mm, 127 mm)", 62.71, "MPa", 0.005,
     "inputs of a university problem, brass in steel"},
    {"press_hoop_inner(" BRASS ", 101.6 mm, 50.8 mm)", -22.94, "MPa", 0.005,
     "inputs of a university problem, brass in steel"},
    {COMPOUND, 19.8, "MPa", 0.005, "inputs of a problem on cylinders of 70, 90, 110 mm"},
    {"press_hoop_outer(" COMPOUND ", 180 mm, 220 mm)", 100, "MPa", 0.005,
     "inputs of a problem on cylinders of 70, 90, 110 mm"},
    {"press_hoop_in_bore(" COMPOUND ", 180 mm, 140 mm)", -100.2, "MPa", 0.005,
     "inputs of a problem on cylinders of 70, 90, 110 mm"},
    {DISC, 64.0, "MPa", 0.005, "examination question, disc of 750 mm on 80 mm"},
    {"press_hoop_outer(" DISC ", 80 mm, 750 mm)", 65.4, "MPa", 0.005,
     "examination question, disc of 750 mm on 80 mm"},
    {LIGHT, 9.83, "MPa", 0.005, "inputs of an examination question, aluminium on steel"},
    {"press_torque(" LIGHT ", 500 mm, 40 mm, 0.3)", 46340, "Nm", 0.005,
     "inputs of an examination question, aluminium on steel"},
    {COURSE, 33.6, "MPa", 0.005, "inputs of a course exercise, by Lamé"},
    {"press_force(" COURSE ", 60 mm, 10 mm, 0.3)", 19000, "N", 0.005,
     "inputs of a course exercise, by Lamé"},
    {HUB_30, 66.24, "MPa", 0.003, "equations of Shigley section 3-16, worked out apart"},
    {"press_hoop_outer(" HUB_30 ", 30 mm, 50 mm)", 140.76, "MPa", 0.003,
     "equations of Shigley section 3-16, worked out apart"},
    {"press_force(" HUB_30 ", 30 mm, 25 mm, 0.12)", 18730, "N", 0.003,
     "equations of DIN 7190-1, worked out apart"},
    {"press_torque(" HUB_30 ", 30 mm, 25 mm, 0.12)", 280.9, "Nm", 0.003,
     "equations of DIN 7190-1, worked out apart"},
    {HUB_25, 99.21, "MPa", 0.003, "equations of Shigley section 3-16, worked out apart"},
    {"press_hoop_outer(" HUB_25 ", 25 mm, 45 mm)", 187.79, "MPa", 0.003,
     "equations of Shigley section 3-16, worked out apart"},
    {"press_force(" HUB_25 ", 25 mm, 30 mm, 0.15)", 35060, "N", 0.003,
     "equations of DIN 7190-1, worked out apart"},
    {"press_torque(" HUB_25 ", 25 mm, 30 mm, 0.15)", 438.3, "Nm", 0.003,
     "equations of DIN 7190-1, worked out apart"},
    {"press_force(20 MPa, 50 mm, 20 mm, 0.12)", 7540, "N", 0.005,
     "NTN, Ball and Roller Bearings, equation 17.1 and table 17.6.1"},
    {"press_force(135.8 MPa, 150 mm, 75 mm, 0.25)", 1.2e6, "N", 0.002,
     "Fairfield University ME311, homework 8.1, turned round (area 35 343 mm2)"},
    {"heat_to_drop_on(0.03 mm, 0 mm, 40 mm, 11.5 um/m/K)", 65.2, "K", 0.005,
     "formula of a page on assembling shrink fits, worked out apart"},
    {"heat_to_drop_on(0.08 mm, 0 mm, 80 mm, 23 um/m/K)", 43.5, "K", 0.005,
     "formula of a page on assembling shrink fits, worked out apart"},
    {"heat_to_drop_on(0.065 mm, 0 mm, 120 mm, 12.5 um/m/K)", 43.3, "K", 0.005,
     "HCH, mounting with heaters: 65 um on 120 mm; its chart reads about 50 K"},
};

Test(press_fits, come_out_as_printed)
{
    expect_all_printed(examples, sizeof examples / sizeof *examples);
}

/* What a steel ring gains or loses of its press in a housing that gets warm with it:
 * (α of the housing - α of the ring) · diameter · rise; free sizes. */
static const struct printed_formula when_hot[] = {
    {"thermal_growth(62 mm, 12 um/m/K, 60 K) - thermal_growth(62 mm, 23 um/m/K, 60 K)",
     -0.0409, "mm", 0.002, "linear expansion, steel ring in wrought aluminium"},
    {"thermal_growth(52 mm, 12 um/m/K, 100 K) - thermal_growth(52 mm, 21.5 um/m/K, 100 "
     "K)",
     -0.0494, "mm", 0.002, "linear expansion, steel ring in cast aluminium"},
    {"thermal_growth(80 mm, 12 um/m/K, 70 K) - thermal_growth(80 mm, 26 um/m/K, 70 K)",
     -0.0784, "mm", 0.002, "linear expansion, steel ring in magnesium"},
    {"thermal_growth(80 mm, 12 um/m/K, 70 K) - thermal_growth(80 mm, 10.5 um/m/K, 70 K)",
     0.0084, "mm", 0.002, "linear expansion, steel ring in grey iron"},
    {"0.025 mm + thermal_growth(62 mm, 12 um/m/K, 60 K) - thermal_growth(62 mm, 23 "
     "um/m/K, 60 K)",
     -0.0159, "mm", 0.005, "what is left of 25 um, none"},
    {"0.06 mm + thermal_growth(80 mm, 12 um/m/K, 70 K) - thermal_growth(80 mm, 26 "
     "um/m/K, "
     "70 K)",
     -0.0184, "mm", 0.005, "what is left of 60 um, none"},
};

Test(press_fits, lose_their_press_in_light_metal)
{
    expect_all_printed(when_hot, sizeof when_hot / sizeof *when_hot);
}

/* Resultant fits as SKF prints them: ISO 286 classes with bearings of ISO 492 Normal. */
Test(press_fits, have_the_limits_of_both_classes)
{
    static const struct {
        const char *clearance;
        double least_um;
        double greatest_um;
    } rows[] = {
        {"(25 mm - 0.005 ±0.005 mm) - 25 mm k5", -21, -2},
        {"(25 mm - 0.005 ±0.005 mm) - 25 mm m6", -31, -8},
        {"(45 mm - 0.006 ±0.006 mm) - 45 mm m5", -32, -9},
        {"(15 mm - 0.004 ±0.004 mm) - 15 mm k6", -20, -1},
        {"(60 mm - 0.0075 ±0.0075 mm) - 60 mm h6", -15, 19},
        {"(100 mm - 0.01 ±0.01 mm) - 100 mm h6", -20, 22},
        {"52 mm H7 - (52 mm - 0.0065 ±0.0065 mm)", 0, 43},
        {"62 mm J7 - (62 mm - 0.0065 ±0.0065 mm)", -12, 31},
        {"90 mm N7 - (90 mm - 0.0075 ±0.0075 mm)", -45, 5},
        {"110 mm P7 - (110 mm - 0.0075 ±0.0075 mm)", -59, -9},
        {"47 mm M7 - (47 mm - 0.0055 ±0.0055 mm)", -25, 11},
        {"130 mm N7 - (130 mm - 0.009 ±0.009 mm)", -52, 6},
    };
    struct shipped shipped = shipped_load();
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct value made = {0};
        cr_assert_eq(reckon_formula(shipped.room.arena, shipped.knowledge,
                                    text_of(rows[i].clearance), SPAN_NONE,
                                    shipped.room.diagnostics, &made),
                     STATUS_OK, "%s", rows[i].clearance);
        cr_expect_float_eq(made.quantity->least, rows[i].least_um * 1e3, 1e-3, "%s: %g",
                           rows[i].clearance, made.quantity->least);
        cr_expect_float_eq(made.quantity->greatest, rows[i].greatest_um * 1e3, 1e-3,
                           "%s: %g", rows[i].clearance, made.quantity->greatest);
    }
    shipped_close(&shipped);
}

Test(press_fits, have_no_number_where_a_ring_has_no_wall)
{
    struct shipped shipped = shipped_load();
    expect_no_number(
        &shipped,
        "press_pressure(0.03 mm, 30 mm, 30 mm, 207 GPa, 0.3, 0 mm, 207 GPa, 0.3)",
        "a ring needs a wall between its bore and its outside");
    expect_no_number(&shipped, "press_hoop_inner(20 MPa, 30 mm, 30 mm)",
                     "a ring needs a wall between its bore and its outside");
    expect_no_number(&shipped, "heat_to_drop_on(0.03 mm, 0 mm, 0 mm, 12 um/m/K)",
                     "the divisor may be zero");
    shipped_close(&shipped);
}

/* A press grips with what there is of it, and a loose fit with nothing. */
Test(press_fits, have_no_pressure_where_they_are_loose)
{
    static const struct printed_formula loose[] = {
        {"press_pressure(-0.01 mm, 30 mm, 50 mm, 207 GPa, 0.3, 0 mm, 207 GPa, 0.3)", 0,
         "MPa", 0, "common sense"},
        {"heat_to_drop_on(-0.01 mm, 0 mm, 40 mm, 12.5 um/m/K)", 0, "K", 0,
         "common sense"},
    };
    expect_all_printed(loose, sizeof loose / sizeof *loose);
}
