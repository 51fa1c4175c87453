/* SPDX-License-Identifier: MIT */
/*
 * Uncertainty of measurement against printed values.
 *
 *  - GUM: JCGM 100:2008, clauses as named; annex H.1 is its worked end gauge of 50 mm
 *  - budget: a printed guide to micrometers by the GUM, its point at 21.5 mm
 *  - ISO 14253-1: the factor 1.65 of the editions 2013 and 2017, as two calibration
 * procedures quote it
 *  - DIN 862 and DIN 863-1: error limits by way of a printed summary of both
 */
#include "printed_formula.h"

TestSuite(measuring, .timeout = 60);

#define BUDGET                                                                           \
    "combined_uncertainty(combined_uncertainty(mean_uncertainty(0.00058 mm, 3), "        \
    "resolution_uncertainty(0.001 mm)), standard_uncertainty(0.0005 mm, 2))"
#define END_GAUGE                                                                        \
    "combined_uncertainty(combined_uncertainty(25 um, 9.7 um), "                         \
    "combined_uncertainty(2.9 um, 16.7 um))"

Test(measuring, uncertainties_are_those_of_the_gum)
{
    static const struct printed_formula rows[] = {
        {"rectangular_uncertainty(0.01 mm)", 0.005774, "mm", 0.002, "GUM 4.3.7"},
        {"triangular_uncertainty(0.01 mm)", 0.004082, "mm", 0.002, "GUM 4.3.9"},
        {"standard_uncertainty(0.0005 mm, 2)", 0.00025, "mm", 1e-9, "budget"},
        {"mean_uncertainty(0.00058 mm, 3)", 0.00033, "mm", 0.02, "budget"},
        {"resolution_uncertainty(0.001 mm)", 0.00029, "mm", 0.02, "budget"},
        {BUDGET, 0.00051, "mm", 0.02, "budget"},
        {"2 * " BUDGET, 0.001, "mm", 0.05, "budget"},
        /* The example's nanometres as micrometres: whole numbers of the engine's own. */
        {END_GAUGE, 32, "um", 0.5 / 32, "GUM H.1.3"},
        {"combined_uncertainty(combined_uncertainty(0.003 mm, 0.0058 mm), 0.002 mm)",
         0.006829, "mm", 0.002, "GUM 5.1.2"},
        {"2 * combined_uncertainty(combined_uncertainty(0.01 mm, 0.0058 mm), 0.004 mm)",
         0.024465, "mm", 0.002, "GUM 5.1.2"},
        {"guard_band(0.01 mm)", 0.0165, "mm", 1e-9, "ISO 14253-1:2017"},
        {"guard_band(standard_uncertainty(0.02 mm, 2))", 0.0165, "mm", 1e-9,
         "ISO 14253-1:2017"},
    };
    expect_all_printed(rows, sizeof rows / sizeof *rows);
}

Test(measuring, what_is_no_uncertainty_has_no_number)
{
    struct shipped shipped = shipped_load();
    expect_no_number(&shipped, "combined_uncertainty(-1 um, 2 um)",
                     "an uncertainty may be negative");
    expect_no_number(&shipped, "standard_uncertainty(1 um, 0)",
                     "the divisor may be zero");

    shipped_close(&shipped);
}

/* What a workshop gets out of a gauge is never less than what its standard allows it. */
Test(measuring, gauges_are_no_better_than_their_standards)
{
    static const struct {
        const char *gauge;
        double at_mm;
        double limit_um;
    } rows[] = {
        {"caliper", 100, 20},         {"caliper", 300, 30},
        {"caliper", 600, 30},         {"caliper-large", 1000, 40},
        {"depth-gauge", 80, 40},      {"micrometer", 50, 4},
        {"micrometer", 75, 5},        {"micrometer", 100, 5},
        {"micrometer-large", 175, 7}, {"micrometer-large", 225, 8},
    };
    struct shipped shipped = shipped_load();
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const struct gauge *gauge =
            tables_gauge(&shipped.knowledge->tables, text_of(rows[i].gauge));
        cr_assert_not_null(gauge, "%s", rows[i].gauge);
        cr_expect(gauge->figure >= rows[i].limit_um * 1e3, "%s at %g mm", rows[i].gauge,
                  rows[i].at_mm);
        cr_expect(gauge->least <= rows[i].at_mm * 1e6 &&
                      gauge->greatest >= rows[i].at_mm * 1e6,
                  "%s does not read %g mm", rows[i].gauge, rows[i].at_mm);
    }
    shipped_close(&shipped);
}
