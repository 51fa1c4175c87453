/* SPDX-License-Identifier: MIT */
/*
 * Rating life, equivalent loads, support reactions and clearance against printed
 * examples. Where only the inputs of an example are printed, or only its formula, the
 * result was worked out apart from this engine, and the source says so.
 */
#include "printed_formula.h"

TestSuite(rolling_bearings, .timeout = 60);

#define SPAN(load, overhang, span)                                                       \
    "support_reaction(" load ", " span " + " overhang ", " span ", 0 mm)"
#define FAR(load, overhang, span)                                                        \
    "support_reaction(" load ", " span " + " overhang ", 0 mm, " span ")"
#define BEAM "beam with a load beyond two supports, two printed formula tables"

static const struct printed_formula lives[] = {
    {"rating_life(55.3 kN, 10 kN, 3)", 169, "1", 0.005,
     "SKF, Rolling bearings, calculation example 1 (6309)"},
    {"rating_life_time(55.3 kN, 10 kN, 3, 3000 rpm)", 940, "h", 0.005,
     "SKF, Rolling bearings, calculation example 1 (6309)"},
    {"rating_life(16 kN, 2 kN, 3)", 512, "1", 1e-9, "examination question"},
    {"rating_needed(6351 N, 480 rpm, 10000 h, 3)", 41941, "N", 0.001,
     "R.L. Mott, Machine Elements in Mechanical Design, chapter 14, solutions"},
    {"rating_needed(5122 N, 480 rpm, 10000 h, 3)", 33825, "N", 0.001,
     "R.L. Mott, Machine Elements in Mechanical Design, chapter 14, solutions"},
    {"rating_needed(2278 N, 300 rpm, 30000 h, 3)", 18550, "N", 0.005,
     "inputs of Shigley, solution 11-1 (540 million turns)"},
    {"rating_needed(2 kN, 1600 rpm, 10000 h, 3)", 19730, "N", 0.003,
     "a bearing maker's page on choosing a size, example 1"},
    {"rating_needed(6.08 kN, 1000 rpm, 10000 h, 3)", 51280, "N", 0.003,
     "a bearing maker's page on choosing a size, example 2"},
    {"rating_life(rating_needed(1 kN, 300 rpm, 30000 h, 3), 1 kN, 3)", 540, "1", 1e-9,
     "Shigley, solution 11-1: 30 000 h at 300 a minute are 540 million turns"},
    {"rating_life(30 kN, 20 kN, 3) / rating_life(30 kN, 10 kN, 3)", 0.125, "1", 1e-9,
     "ISO 281: twice the load, an eighth of the life"},
    {"rating_life(14.8 kN, 2.68 kN, 3)", 168.4, "1", 0.01,
     "ISO 281:2007 method, worked out apart"},
    {"rating_life_time(14.8 kN, 2.68 kN, 3, 1500 rpm)", 1871, "h", 0.01,
     "ISO 281:2007 method, worked out apart"},
    {"rating_life(55.3 kN, 7.832 kN, 3)", 352.1, "1", 0.01,
     "ISO 281:2007 method, worked out apart"},
    {"rating_life_time(55.3 kN, 7.832 kN, 3, 1450 rpm)", 4047, "h", 0.01,
     "ISO 281:2007 method, worked out apart"},
    {"rating_life(30.8 kN, 3.6 kN, 10 / 3)", 1281, "1", 0.01,
     "ISO 281:2007 method for rollers (30205), worked out apart"},
};

static const struct printed_formula loads[] = {
    {"0.56 * 4.0 kN + 1.6 * 2.4 kN", 6.08, "kN", 1e-9,
     "a bearing maker's page on choosing a size, example 2 (X 0.56, Y 1.6)"},
    {"equivalent_load(8.4 kN, 3 kN, 34 kN, 1.0865 / 0.08824)", 9.294, "kN", 0.004,
     "Shigley table 11-1, 02 series of 65 mm, outer ring turns (V 1.2); its Fa / C0 "
     "0.084 and 0.11 are 1.03 and 1.38 here"},
    {"equivalent_load(2 kN, 1.2 kN, 7.8 kN, 14)", 2.68, "kN", 0.01,
     "ISO 281:2007 method, worked out apart (f0 Fa / C0 2.154, Y 1.3)"},
    {"equivalent_load(6 kN, 3 kN, 31.5 kN, 13)", 7.832, "kN", 0.01,
     "ISO 281:2007 method, worked out apart (f0 Fa / C0 1.238, Y 1.491)"},
    {"equivalent_load_tapered(3 kN, 1.5 kN, 1.6)", 3.6, "kN", 0.01,
     "ISO 281: 30205, e 0.37 and Y 1.6 of an open table"},
    {"equivalent_load(1 kN, 0.1 kN, 10 kN, 14)", 1, "kN", 0.005,
     "ISO 281:2007: thrust up to e of the load does not count (e about 0.2 at 0.14)"},
    {"static_equivalent_load(1 kN, 2 kN)", 1.6, "kN", 1e-9,
     "ISO 76, SKF's page on deep groove ball bearings: 0.6 Fr + 0.5 Fa"},
    {"static_equivalent_load(1 kN, 0.2 kN)", 1, "kN", 1e-9,
     "ISO 76, SKF's page on deep groove ball bearings: at least Fr"},
    /* Y as ISO 281:2007 table 3 has it, through a load without a radial part */
    {"equivalent_load(0 N, 345 N, 14 kN, 14) / 345 N", 1.99, "1", 1e-9, "table 3, 0.345"},
    {"equivalent_load(0 N, 689 N, 14 kN, 14) / 689 N", 1.71, "1", 1e-9, "table 3, 0.689"},
    {"equivalent_load(0 N, 1030 N, 14 kN, 14) / 1030 N", 1.55, "1", 1e-9,
     "table 3, 1.03"},
    {"equivalent_load(0 N, 1380 N, 14 kN, 14) / 1380 N", 1.45, "1", 1e-9,
     "table 3, 1.38"},
    {"equivalent_load(0 N, 2070 N, 14 kN, 14) / 2070 N", 1.31, "1", 1e-9,
     "table 3, 2.07"},
    {"equivalent_load(0 N, 3450 N, 14 kN, 14) / 3450 N", 1.15, "1", 1e-9,
     "table 3, 3.45"},
    {"equivalent_load(0 N, 5170 N, 14 kN, 14) / 5170 N", 1.04, "1", 1e-9,
     "table 3, 5.17"},
    {"equivalent_load(0 N, 6890 N, 14 kN, 14) / 6890 N", 1.00, "1", 1e-9,
     "table 3, 6.89"},
};

static const struct printed_formula reactions[] = {
    {SPAN("2000 N", "60 mm", "120 mm"), 3000, "N", 1e-6, BEAM},
    {FAR("2000 N", "60 mm", "120 mm"), -1000, "N", 1e-6, BEAM},
    {SPAN("2000 N", "60 mm", "100 mm"), 3200, "N", 1e-6, BEAM},
    {FAR("2000 N", "60 mm", "100 mm"), -1200, "N", 1e-6, BEAM},
    {SPAN("2000 N", "75 mm", "120 mm"), 3250, "N", 1e-6, BEAM},
    {FAR("2000 N", "75 mm", "120 mm"), -1250, "N", 1e-6, BEAM},
    {SPAN("1500 N", "40 mm", "90 mm"), 2166.67, "N", 1e-5, BEAM},
    {FAR("1500 N", "40 mm", "90 mm"), -666.67, "N", 1e-5, BEAM},
    {SPAN("850 N", "55 mm", "70 mm"), 1517.86, "N", 1e-5, BEAM},
    {FAR("850 N", "55 mm", "70 mm"), -667.86, "N", 1e-5, BEAM},
    {SPAN("1500 N", "43 mm", "84 mm"), 2267.86, "N", 1e-5,
     "the same, a wider bearing: overhang 40 to 43, span 90 to 84"},
    /* 600 and 1000 at 7 and 2 m from the right support, 200 a metre from -2 to 2 m, whose
     * middle is the support itself; here in newtons and millimetres. */
    {"support_reaction(600 N, 7 mm, 5 mm, 0 mm) + support_reaction(1000 N, 2 mm, 5 mm, 0 "
     "mm) + support_reaction(800 N, 0 mm, 5 mm, 0 mm)",
     1240, "N", 1e-6, "a page on reactions of a beam with overhang on both sides"},
    {"support_reaction(600 N, 7 mm, 0 mm, 5 mm) + support_reaction(1000 N, 2 mm, 0 mm, 5 "
     "mm) + support_reaction(800 N, 0 mm, 0 mm, 5 mm)",
     1160, "N", 1e-6, "a page on reactions of a beam with overhang on both sides"},
    {"rating_life(20 kN, " SPAN(
         "2000 N", "60 mm", "100 mm") ", 3) / rating_life(20 kN, " SPAN("2000 N", "60 mm",
                                                                        "120 mm") ", 3)",
     0.824, "1", 0.002, "span 120 to 100: the near bearing lives 0.824 as long"},
    /* 1000 N at 50 mm beyond a span of 100 mm, 20 mm of steel: F a2 (L + a) / 3 E I, I
     * 7853.98 mm4, 207 GPa */
    {"overhung_deflection(1000 N, 50 mm, 100 mm, 207 GPa, 20 mm)", 0.076887, "mm", 1e-4,
     "beam with a load beyond two supports, worked out apart"},
    {"overhung_deflection(1000 N, 50 mm, 80 mm, 207 GPa, 20 mm) / "
     "overhung_deflection(1000 N, 50 mm, 100 mm, 207 GPa, 20 mm)",
     130.0 / 150.0, "1", 1e-9, "the same: (80 + 50) / (100 + 50)"},
};

static const struct printed_formula clearances[] = {
    {"interference_lost_by_load(40 mm, 23 mm, 8 kN)", 0.00944, "mm", 0.005,
     "NSK, Fits and internal clearances, equation 9.1, worked out apart"},
    {"thermal_growth(50 mm, 12.5 um/m/K, 10 K)", 0.00625, "mm", 1e-9,
     "IKO, needle bearing catalogue, equation 29: alpha dt E"},
    {"clearance_lost_to_shaft(0.014 mm, 10 mm, inner_raceway(10 mm, 22 mm))", 0.0112,
     "mm", 0.02, "SMB Bearings: up to 0.8 of the press (14 um on 10 mm)"},
    {"clearance_lost_to_shaft(-0.014 mm, 10 mm, 12.4 mm)", 0, "mm", 0,
     "a loose ring takes nothing"},
    {"clearance_lost_to_housing(0.02 mm, 62 mm, outer_raceway(30 mm, 62 mm))", 0.017935,
     "mm", 1e-4, "0.02 (4 62 + 30) / 5 / 62, worked out apart"},
    {"inner_raceway(30 mm, 62 mm)", 36.4, "mm", 1e-9, "(4 30 + 62) / 5"},
};

Test(rolling_bearings, live_as_printed)
{
    expect_all_printed(lives, sizeof lives / sizeof *lives);
}

Test(rolling_bearings, bear_loads_as_printed)
{
    expect_all_printed(loads, sizeof loads / sizeof *loads);
}

Test(rolling_bearings, share_a_load_as_statics_has_it)
{
    expect_all_printed(reactions, sizeof reactions / sizeof *reactions);
}

Test(rolling_bearings, lose_clearance_as_printed)
{
    expect_all_printed(clearances, sizeof clearances / sizeof *clearances);
}

/* The share of a press that a ring hands on to its raceway follows from Lamé: a ring of
 * one metal with its shaft, under the pressure p, widens at its outside by
 * 2 p d² D / (E (D² - d²)). */
Test(rolling_bearings, hand_a_press_on_as_thick_rings_do)
{
    static const struct printed_formula row = {
        "2 * press_pressure(0.02 mm, 30 mm, 36.4 mm, 207 GPa, 0.3, 0 mm, 207 GPa, 0.3) * "
        "30 mm * 30 mm * 36.4 mm / (207 GPa * (36.4 mm * 36.4 mm - 30 mm * 30 mm)) / "
        "clearance_lost_to_shaft(0.02 mm, 30 mm, 36.4 mm)",
        1, "1", 1e-9, "Lamé"};
    expect_all_printed(&row, 1);
}

Test(rolling_bearings, have_no_number_beyond_the_standard)
{
    struct shipped shipped = shipped_load();
    expect_no_number(&shipped, "rating_life(10 kN, 11 kN, 3)",
                     "rating life is for loads up to the load rating");
    expect_no_number(&shipped, "equivalent_load(1 kN, 8 kN, 14 kN, 14)",
                     "the thrust is beyond what the table of ISO 281 covers");
    expect_no_number(&shipped, "support_reaction(1 kN, 5 mm, 2 mm, 2 mm)",
                     "the divisor may be zero");
    expect_no_number(&shipped, "interference_lost_by_load(0 mm, 23 mm, 8 kN)",
                     "bore and width must be greater than nothing");
    shipped_close(&shipped);
}
