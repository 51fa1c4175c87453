/* SPDX-License-Identifier: MIT */
/*
 * The rules of ISO 286-1 apart from its numbers: the table here is invented, so that each
 * rule shows by a number of its own. Printed limits are checked in tests/standards.
 */
#include "limits_and_fits.h"

#include <criterion/criterion.h>
#include <math.h>

TestSuite(limits_and_fits, .timeout = 20);

enum {
    STEPS = 4
};

#define ROW(name, ...)                                                                   \
    {                                                                                    \
        {name, sizeof name - 1}, (const double[STEPS]){__VA_ARGS__}, STEPS               \
    }
#define LIST(rows)                                                                       \
    {                                                                                    \
        rows, sizeof rows / sizeof *rows                                                 \
    }

static const double steps[STEPS] = {3, 30, 250, 315};
static const struct limits_row grades[] = {
    ROW("IT01", 1, 2, 3, 4),        ROW("IT3", 3, 4, 5, 6),
    ROW("IT4", 5, 6, 7, 8),         ROW("IT6", 10, 11, 12, 13),
    ROW("IT7", 20, 21, 22, 23),     ROW("IT8", 30, 31, 32, 33),
    ROW("IT9", 40, 41, 42, 43),     ROW("IT14", 500, 501, 502, 503),
    ROW("IT13", 400, 401, 402, 403)};
static const struct limits_row shaft_es[] = {ROW("f", -6, -7, -8, -9),
                                             ROW("h", 0, 0, 0, 0)};
static const struct limits_row shaft_ei[] = {
    ROW("j6", -2, -3, -4, -5), ROW("j7", -12, -13, -14, -15), ROW("k", 1, 2, 3, 4),
    ROW("p", 61, 62, 63, 64)};
static const struct limits_row hole_ei[] = {ROW("F", 6, 7, 8, 9), ROW("H", 0, 0, 0, 0)};
static const struct limits_row hole_es[] = {
    ROW("J7", 4, 5, 6, 7),         ROW("K", -1, -2, -3, -4),
    ROW("M", -11, -12, -13, -14),  ROW("N", -21, -22, -23, -24),
    ROW("N-above-8", -4, 0, 0, 0), ROW("P", -61, -62, -63, -64)};
static const struct limits_row delta[] = {ROW("IT6", 0, 0.1, 0.2, 0.3),
                                          ROW("IT7", 0, 0.4, 0.5, 0.6),
                                          ROW("IT8", 0, 0.7, 0.8, 0.9)};
static const struct limits_table invented = {.main_steps = steps,
                                             .main_count = STEPS,
                                             .sub_steps = steps,
                                             .sub_count = STEPS,
                                             .grades = LIST(grades),
                                             .shaft_es = LIST(shaft_es),
                                             .shaft_ei = LIST(shaft_ei),
                                             .hole_ei = LIST(hole_ei),
                                             .hole_es = LIST(hole_es),
                                             .delta = LIST(delta)};

Test(limits_and_fits, each_rule_gives_its_limits)
{
    static const struct {
        const char *tolerance_class;
        double size_mm;
        double low_um;
        double high_um;
        const char *rule;
    } rows[] = {
        {"h7", 3, -20, 0, "a size on the end of a step belongs to it"},
        {"h7", 3.000001, -21, 0, "one above it to the next"},
        {"h7", 30, -21, 0, "a size on the end of a step belongs to it"},
        {"f7", 20, -28, -7, "a to h hang on es"},
        {"p7", 20, 62, 83, "j to zc hang on ei"},
        {"F7", 20, 7, 28, "A to H hang on EI"},
        {"H01", 20, 0, 2, "IT01 is a grade of its own"},
        {"js7", 20, -10.5, 10.5, "the half is not rounded"},
        {"JS6", 20, -5.5, 5.5, "holes likewise"},
        {"j6", 20, -3, 8, "j has a row a grade"},
        {"j7", 20, -13, 8, "j has a row a grade"},
        {"k4", 20, 2, 8, "the row of k holds from IT4"},
        {"k7", 20, 2, 23, "to IT7"},
        {"k3", 20, 0, 4, "finer than IT4: 0"},
        {"k8", 20, 0, 31, "coarser than IT7: 0"},
        {"J7", 20, -16, 5, "J has a row a grade"},
        {"K7", 20, -22.6, -1.6, "K takes the delta"},
        {"K8", 20, -32.3, -1.3, "up to IT8"},
        {"M9", 20, -53, -12, "no delta above IT8"},
        {"N8", 20, -52.3, -21.3, "N takes the delta up to IT8"},
        {"N9", 20, -41, 0, "N above IT8 has its own row"},
        {"N9", 2, -44, -4, "also in the first step"},
        {"P7", 20, -82.6, -61.6, "P takes the delta up to IT7"},
        {"P8", 20, -93, -62, "no delta above IT7"},
        {"K7", 2, -21, -1, "the first step has no delta"},
        {"K9", 3, -40, 0, "K above IT8 up to 3 mm"},
        {"M6", 250, -24.8, -12.8, "M6 up to 250 mm by the table"},
        {"M6", 250.001, -22, -9, "M6 over 250 mm"},
        {"M6", 315, -22, -9, "up to 315 mm"},
        {"M7", 300, -36.4, -13.4, "M7 there by the table"},
        {"h14", 1.5, -500, 0, "IT14 over 1 mm"},
        {"h13", 1, -400, 0, "IT13 up to 1 mm"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        double low = NAN;
        double high = NAN;
        const char *why = NULL;
        cr_expect_eq(limits_of_class(&invented, rows[i].size_mm * 1e6,
                                     text_of(rows[i].tolerance_class), &low, &high, &why),
                     STATUS_OK, "%g %s (%s): %s", rows[i].size_mm,
                     rows[i].tolerance_class, rows[i].rule, why);
        cr_expect_float_eq(low, rows[i].low_um * 1e3, 1e-6, "%g %s (%s): low %g",
                           rows[i].size_mm, rows[i].tolerance_class, rows[i].rule, low);
        cr_expect_float_eq(high, rows[i].high_um * 1e3, 1e-6, "%g %s (%s): high %g",
                           rows[i].size_mm, rows[i].tolerance_class, rows[i].rule, high);
    }
}

Test(limits_and_fits, each_refusal_says_why)
{
    static const char no_class[] = "the table has no such tolerance class";
    static const char no_grade[] = "the table has no such tolerance grade";
    static const char no_size[] = "the table covers sizes above 0 up to 500 mm";
    static const struct {
        const char *tolerance_class;
        double size_mm;
        const char *why;
    } rows[] = {
        {"h7", 0, no_size},
        {"h7", -20, no_size},
        {"h7", 315.001, no_size},
        {"h7", NAN, no_size},
        {"", 20, no_class},
        {"h", 20, no_class},
        {"7", 20, no_class},
        {"7h", 20, no_class},
        {"h7x", 20, no_class},
        {"h007", 20, no_class},
        {"q7", 20, no_class},
        {"Hh7", 20, no_class},
        {"j8", 20, no_class},
        {"J6", 20, no_class},
        {"h17", 20, no_grade},
        {"h07", 20, no_grade},
        {"h99", 20, no_grade},
        {"K9", 3.001, "K coarser than IT8 is defined only for sizes up to 3 mm"},
        {"N9", 1, "N coarser than IT8 is not used for sizes up to 1 mm"},
        {"h14", 1, "IT14 and coarser are not used for sizes up to 1 mm"},
        {"js14", 1, "IT14 and coarser are not used for sizes up to 1 mm"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        double low = 17;
        double high = 17;
        const char *why = "";
        cr_expect_eq(limits_of_class(&invented, rows[i].size_mm * 1e6,
                                     text_of(rows[i].tolerance_class), &low, &high, &why),
                     STATUS_NOT_FOUND, "%g %s", rows[i].size_mm, rows[i].tolerance_class);
        cr_expect_str_eq(why, rows[i].why, "%g %s: %s", rows[i].size_mm,
                         rows[i].tolerance_class, why);
        cr_expect(low == 17 && high == 17, "%g %s wrote limits", rows[i].size_mm,
                  rows[i].tolerance_class);
    }
}

/* What quantity's resolver is given is the same function. */
Test(limits_and_fits, the_resolver_gives_the_same)
{
    double low = NAN;
    double high = NAN;
    const char *why = NULL;
    cr_expect_eq(limits_resolve(&invented, 20e6, TEXT("f7"), &low, &high, &why),
                 STATUS_OK);
    cr_expect_float_eq(low, -28e3, 1e-6);
    cr_expect_float_eq(high, -7e3, 1e-6);
}
