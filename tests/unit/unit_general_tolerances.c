/* SPDX-License-Identifier: MIT */
/* The look-up apart from the standards' numbers: the classes here are invented. */
#include "general_tolerances.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

TestSuite(general_tolerances, .timeout = 20);

static const struct general_step lengths[] = {{0.49, 3, 0.1}, {3, 6, 0.2}, {30, 60, 0.3}};
static const struct general_step angles[] = {{0, 10, 1}, {10, 50, 0.5}};
static const struct general_step edges[] = {{0.49, 3, 0.4}};
static const struct general_class classes[] = {
    {{"machined", 8}, lengths, 3, angles, 2, edges, 1},
    {{"cast", 4}, lengths, 3, NULL, 0, NULL, 0}};
static const struct general_table invented = {classes, 2};

Test(general_tolerances, a_size_takes_its_step)
{
    static const char no_step[] = "the general tolerance has no step for this size";
    static const struct {
        const char *name;
        double size_mm;
        double plus_minus_mm; /* NAN: none */
        const char *why;
    } rows[] = {{"machined", 0.5, 0.1, ""},
                {"machined", 3, 0.1, ""},
                {"machined", 3.000001, 0.2, ""},
                {"machined", 6, 0.2, ""},
                {"machined", -6, 0.2, ""}, /* a position inboard of the datum */
                {"cast", 60, 0.3, ""},
                {"machined", 0, NAN, no_step},
                {"machined", 0.49, NAN, no_step},
                {"machined", 20, NAN, no_step},
                {"machined", 60.1, NAN, no_step},
                {"machined", NAN, NAN, no_step},
                {"forged", 6, NAN, "no table of general tolerances has this class"},
                {"", 6, NAN, "no table of general tolerances has this class"}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        double plus_minus = 17;
        const char *why = "";
        const bool is_there = !isnan(rows[i].plus_minus_mm);
        const status found =
            general_tolerance_of(&invented, text_of(rows[i].name), rows[i].size_mm * 1e6,
                                 GENERAL_LENGTH, &plus_minus, &why);
        cr_expect_eq(found, is_there ? STATUS_OK : STATUS_NOT_FOUND, "%s at %g",
                     rows[i].name, rows[i].size_mm);
        cr_expect_float_eq(plus_minus, is_there ? rows[i].plus_minus_mm * 1e6 : 17, 1e-6,
                           "%s at %g: %g", rows[i].name, rows[i].size_mm, plus_minus);
        cr_expect(is_there || strcmp(why, rows[i].why) == 0, "%s at %g: %s", rows[i].name,
                  rows[i].size_mm, why);
    }
}

Test(general_tolerances, an_angle_takes_the_widest_step)
{
    double plus_minus = 0;
    const char *why = "";
    cr_expect_eq(general_tolerance_of(&invented, TEXT("machined"), 0.5, GENERAL_ANGLE,
                                      &plus_minus, &why),
                 STATUS_OK);
    cr_expect_float_eq(plus_minus, 3.14159265358979323846 / 180, 1e-12, "one degree");
    cr_expect_eq(general_tolerance_of(&invented, TEXT("cast"), 0.5, GENERAL_ANGLE,
                                      &plus_minus, &why),
                 STATUS_NOT_FOUND);
    cr_expect_str_eq(why, "this general tolerance says nothing of angles");
}

Test(general_tolerances, an_edge_has_steps_of_its_own)
{
    double plus_minus = 0;
    const char *why = "";
    cr_expect_eq(general_tolerance_of(&invented, TEXT("machined"), 2e6, GENERAL_EDGE,
                                      &plus_minus, &why),
                 STATUS_OK);
    cr_expect_float_eq(plus_minus, 0.4e6, 1e-6, "%g", plus_minus);
    cr_expect_eq(general_tolerance_of(&invented, TEXT("cast"), 2e6, GENERAL_EDGE,
                                      &plus_minus, &why),
                 STATUS_NOT_FOUND);
}

Test(general_tolerances, without_a_table_there_is_none)
{
    double plus_minus = 0;
    const char *why = "";
    cr_expect_eq(general_tolerance_of(NULL, TEXT("machined"), 6e6, GENERAL_LENGTH,
                                      &plus_minus, &why),
                 STATUS_NOT_FOUND);
    cr_expect_str_eq(why, "no table of general tolerances has this class");
}
