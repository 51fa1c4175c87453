/* SPDX-License-Identifier: MIT */
/*
 * What is published of O-rings, lips and rubbers, against what formulas and facts make of
 * it.
 *
 *  - glands: Parker O-Ring Handbook design tables 4-2 and 4-3 as a gland page and a
 * groove chart reprint them; worked examples of an O-ring lexicon, of an article on
 * squeeze and of an engineering note on stretch
 *  - sizes: SAE AS568, inside diameters and sections in inches as size charts print them
 *  - rubbers: a bearing maker's page on seal materials, a seal maker's on oil seals
 *  - warmth: the ideal gas law, worked by hand
 */
#include "shipped.h"

#include <math.h>

TestSuite(seals, .timeout = 60);

/* The value of a formula over the shipped knowledge, in the unit's scale. */
static const struct form *worked(struct shipped *shipped, const char *formula)
{
    struct value value = {0};
    cr_assert_eq(reckon_formula(shipped->room.arena, shipped->knowledge, text_of(formula),
                                SPAN_NONE, shipped->room.diagnostics, &value),
                 STATUS_OK, "%s", formula);
    cr_assert_eq(value.kind, VALUE_QUANTITY, "%s", formula);
    return value.quantity;
}

/* A formula and what is printed for it, both ends. */
struct printed {
    const char *formula;
    double least;
    double greatest;
    double within;
};

static void expect_printed(const struct printed *rows, size_t count, const char *unit)
{
    struct shipped shipped = shipped_load();
    struct unit shown;
    cr_assert(unit_find(text_of(unit), &shown));
    for (size_t i = 0; i < count; i++) {
        const struct form *form = worked(&shipped, rows[i].formula);
        cr_expect_float_eq(form->least / shown.scale, rows[i].least, rows[i].within,
                           "%s is at least %g, printed %g", rows[i].formula,
                           form->least / shown.scale, rows[i].least);
        cr_expect_float_eq(form->greatest / shown.scale, rows[i].greatest, rows[i].within,
                           "%s is at most %g, printed %g", rows[i].formula,
                           form->greatest / shown.scale, rows[i].greatest);
    }
    shipped_close(&shipped);
}

/* Section and gland depth in inches, squeeze in whole per cent. The page prints .139 face
 * as 20 to 30: its own depths make 20.7 to 29.4. */
Test(seals, glands_squeeze_as_their_tables_print)
{
    static const struct printed rows[] = {
        {"ring_squeeze(0.070 ±0.003 in, 0.050..0.052 in)", 22, 32, 1},
        {"ring_squeeze(0.103 ±0.003 in, 0.081..0.083 in)", 17, 24, 1},
        {"ring_squeeze(0.139 ±0.004 in, 0.111..0.113 in)", 16, 23, 1},
        {"ring_squeeze(0.210 ±0.005 in, 0.170..0.173 in)", 15, 21, 1},
        {"ring_squeeze(0.275 ±0.006 in, 0.226..0.229 in)", 15, 20, 1},
        {"ring_squeeze(0.070 ±0.003 in, 0.050..0.054 in)", 19, 32, 1},
        {"ring_squeeze(0.103 ±0.003 in, 0.074..0.080 in)", 20, 30, 1},
        {"ring_squeeze(0.139 ±0.004 in, 0.101..0.107 in)", 20, 30, 1},
        {"ring_squeeze(0.210 ±0.005 in, 0.152..0.162 in)", 21, 30, 1},
        {"ring_squeeze(0.275 ±0.006 in, 0.201..0.211 in)", 21, 29, 1},
        {"ring_squeeze(2 mm, 1.5 mm)", 25, 25, 0.05},
        {"ring_squeeze(3 mm, 2.3 mm)", 23.3, 23.3, 0.05},
    };
    expect_printed(rows, sizeof rows / sizeof *rows, "%");
}

/* Stretch and loss of section: a note works 61.6 mm over a ring that is then stretched by
 * 6.21 % to a loss of 4.04 %; the others by hand from the printed coefficients. By
 * constant volume 5 % of stretch cost 2.41 %: the fitted law, 3.4 %, is what rules use.
 */
Test(seals, stretched_rings_lose_section)
{
    static const struct printed rows[] = {
        {"ring_stretch(1.776 in, 1.734 in)", 2.422, 2.422, 0.001},
        {"ring_stretch(61.6 mm, 58 mm)", 6.21, 6.21, 0.005},
        {"ring_stretch(25.4 mm, 24.99 mm)", 1.6407, 1.6407, 0.0005},
        {"ring_stretch(27.5 mm, 24.99 mm)", 10.044, 10.044, 0.0005},
        {"ring_stretch(44.55 mm, 44.04 mm)", 1.158, 1.158, 0.0005},
        {"ring_thinning(6.21 %)", 4.04, 4.04, 0.01},
        {"ring_thinning(5 %)", 3.395, 3.395, 0.0005},
        {"ring_thinning(2.4221 %)", 2.0238, 2.0238, 0.0005},
        {"ring_thinning(1.158 %)", 1.1311, 1.1311, 0.0005},
        {"ring_thinning(0 %)", 0, 0, 1e-9},
        {"ring_thinning(3 %)", 2.476, 2.476, 0.0005},
        {"ring_thinning(25 %)", 12.435, 12.435, 0.0005},
        {"ring_thinning_by_volume(5 %)", 2.41, 2.41, 0.005},
        {"ring_squeeze(5.3 mm * (1 - ring_thinning(6.21 %)), (70 mm - 61.6 mm) / 2)",
         17.4, 17.4, 0.05},
    };
    expect_printed(rows, sizeof rows / sizeof *rows, "%");
}

/* Area of section over area of groove, as pages work it: true of a ring whose middle is
 * the gland's. The last two are glands worked
 * by their area, whose rings are a little longer than their middle. */
Test(seals, rings_fill_their_glands)
{
    static const struct printed rows[] = {
        {"ring_fill(99.17 mm, 3.53 mm, 100 mm, 105.4 mm, 4.7 mm)", 77.12, 77.12, 0.01},
        {"ring_fill(98.97 mm, 5.33 mm, 100 mm, 108.6 mm, 7.0 mm)", 74.13, 74.13, 0.01},
        {"ring_fill(44.04 mm, 3.53 mm, 44.55 mm, 50.02 mm, 4.7 mm)", 76.6, 76.6, 1.0},
        {"ring_fill(56.74 mm, 3.53 mm, 53.7 mm, 62.9 mm, 2.65 mm)", 80.3, 80.3, 3.0},
    };
    expect_printed(rows, sizeof rows / sizeof *rows, "%");
}

/* Shut at 20 degC under 101.33 kPa. By hand p (T2/T1 A/(A - swell + growth) - 1); the
 * 77.863 and 164.66 degC are where 0.2 and 0.5 bar are reached. */
Test(seals, closed_spaces_build_up_pressure)
{
    static const struct printed rows[] = {
        {"closed_space_pressure(20 degC, 90 degC, 1 l, 0 l, 700 um/m/K, 0 um/m/K, 101.33 "
         "kPa)",
         24.195, 24.195, 0.01},
        {"closed_space_pressure(20 degC, 60 degC, 1 l, 0 l, 700 um/m/K, 0 um/m/K, 101.33 "
         "kPa)",
         13.826, 13.826, 0.01},
        {"closed_space_pressure(20 degC, 90 degC, 1 l, 0.4 l, 700 um/m/K, 0 um/m/K, "
         "101.33 kPa)",
         28.434, 28.434, 0.01},
        {"closed_space_pressure(20 degC, 90 degC, 1 l, 0.4 l, 700 um/m/K, 23 um/m/K, "
         "101.33 kPa)",
         27.363, 27.363, 0.01},
        {"closed_space_pressure(20 degC, 90 degC, 1 l, 0.8 l, 700 um/m/K, 0 um/m/K, "
         "101.33 kPa)",
         54.794, 54.794, 0.01},
        {"closed_space_pressure(90 degC, 20 degC, 1 l, 0 l, 700 um/m/K, 0 um/m/K, 101.33 "
         "kPa)",
         -19.531, -19.531, 0.01},
        {"closed_space_pressure(20 degC, 77.863 degC, 1 l, 0 l, 0 um/m/K, 0 um/m/K, "
         "101.33 kPa)",
         20, 20, 0.01},
        {"closed_space_pressure(20 degC, 164.66 degC, 1 l, 0 l, 0 um/m/K, 0 um/m/K, "
         "101.33 kPa)",
         50, 50, 0.01},
        {"closed_space_pressure(20 degC, 20 degC, 1 l, 0.5 l, 700 um/m/K, 0 um/m/K, "
         "101.33 kPa)",
         0, 0, 1e-9},
    };
    expect_printed(rows, sizeof rows / sizeof *rows, "kPa");
}

/* Oil that would fill the space, and a space with more oil than room, have no number. */
Test(seals, a_space_without_air_has_no_number)
{
    static const char *const formulas[] = {"closed_space_pressure(20 degC, 90 degC, 1 l, "
                                           "0.96 l, 700 um/m/K, 0 um/m/K, 1 bar)",
                                           "closed_space_pressure(20 degC, 90 degC, 1 l, "
                                           "1.1 l, 700 um/m/K, 0 um/m/K, 1 bar)",
                                           "ring_thinning(26 %)",
                                           "ring_thinning(-1 %)",
                                           "ring_fill(50 mm, 3 mm, 55 mm, 55 mm, 4 mm)",
                                           "ring_fill(50 mm, 3 mm, 50 mm, 55 mm, 0 mm)"};
    struct shipped shipped = shipped_load();
    for (size_t i = 0; i < sizeof formulas / sizeof *formulas; i++) {
        cr_expect_not_null(worked(&shipped, formulas[i])->undefined, "%s", formulas[i]);
    }
    shipped_close(&shipped);
}

/* What a law with slopes makes of toleranced figures encloses what it comes to in any
 * corner and between. */
Test(seals, ranges_enclose_what_their_laws_come_to)
{
    struct shipped shipped = shipped_load();
    const struct form *range =
        worked(&shipped, "closed_space_pressure(15..25 degC, 60..100 degC, 0.9..1.1 l, "
                         "0.3..0.5 l, 600..800 um/m/K, 0..25 um/m/K, 0.95..1.02 bar)");
    const double bar = 1e-4;
    for (int at = 0; at < 2187; at++) { /* three values of each of seven */
        int left = at;
        double x[7];
        static const double low[7] = {288.15, 333.15, 0.9, 0.3, 600e-6, 0, 0.95};
        static const double high[7] = {298.15, 373.15, 1.1, 0.5, 800e-6, 25e-6, 1.02};
        for (int i = 0; i < 7; i++, left /= 3) {
            x[i] = low[i] + (high[i] - low[i]) * (left % 3) / 2.0;
        }
        const double warmer = x[1] - x[0];
        const double room = x[2] * (1 + 3 * x[5] * warmer) - x[3] * (1 + x[4] * warmer);
        const double pressure = x[6] * (x[1] / x[0] * (x[2] - x[3]) / room - 1) * bar;
        cr_assert(pressure >= range->least - 1e-12 && pressure <= range->greatest + 1e-12,
                  "%d: %g not in %g..%g", at, pressure, range->least, range->greatest);
    }
    shipped_close(&shipped);
}

/* v = pi d n. */
Test(seals, lips_run_as_fast_as_their_shafts)
{
    static const struct printed rows[] = {
        {"surface_speed(40 mm, 3000 rpm)", 6.2832, 6.2832, 0.0001},
        {"surface_speed(25 mm, 6000 rpm)", 7.854, 7.854, 0.0001},
        {"surface_speed(60 mm, 1500 rpm)", 4.7124, 4.7124, 0.0001},
        {"surface_speed(40 mm, 6000 rpm)", 12.566, 12.566, 0.001},
        {"surface_speed(50 mm, 2600 rpm)", 6.8068, 6.8068, 0.0001},
        {"surface_speed(35 mm, 2500 rpm)", 4.5815, 4.5815, 0.0001},
        {"surface_speed(35 mm, 500 rpm)", 0.9163, 0.9163, 0.0001},
    };
    expect_printed(rows, sizeof rows / sizeof *rows, "m/s");
}

/* ---- facts */

/* A value of a row that no piece owns. */
static struct value row_value(const struct shipped *shipped, const char *relation,
                              const char *one, const char *other, const char *column)
{
    const struct names *names = shipped->knowledge->names;
    const name_id key[2] = {names_find(names, text_of(one)),
                            other == NULL ? NAME_NONE
                                          : names_find(names, text_of(other))};
    relation_id id = 0;
    cr_assert(store_find_relation(shipped->knowledge->base,
                                  names_find(names, text_of(relation)), &id));
    const struct relation_shape *shape = store_shape(shipped->knowledge->base, id);
    const struct row *row = store_find(shipped->knowledge->base, id, key);
    const int index = vocabulary_column(shape, names_find(names, text_of(column)));
    cr_assert(row != NULL && index >= (int)shape->key_count, "%s of %s", column, one);
    return row->values[index - (int)shape->key_count];
}

/* Inches, as the charts print them; the facts are in hundredths of a millimetre. */
static const struct {
    const char *part;
    double inside_in;
    double section_in;
} rings[] = {
    {"o-ring-001", 0.029, 0.04},  {"o-ring-002", 0.042, 0.05},
    {"o-ring-003", 0.056, 0.06},  {"o-ring-004", 0.07, 0.07},
    {"o-ring-005", 0.101, 0.07},  {"o-ring-006", 0.114, 0.07},
    {"o-ring-007", 0.145, 0.07},  {"o-ring-008", 0.176, 0.07},
    {"o-ring-010", 0.239, 0.07},  {"o-ring-011", 0.301, 0.07},
    {"o-ring-012", 0.364, 0.07},  {"o-ring-013", 0.426, 0.07},
    {"o-ring-014", 0.489, 0.07},  {"o-ring-015", 0.551, 0.07},
    {"o-ring-016", 0.614, 0.07},  {"o-ring-017", 0.676, 0.07},
    {"o-ring-018", 0.739, 0.07},  {"o-ring-020", 0.864, 0.07},
    {"o-ring-024", 1.114, 0.07},  {"o-ring-030", 1.614, 0.07},
    {"o-ring-040", 2.864, 0.07},  {"o-ring-050", 5.239, 0.07},
    {"o-ring-102", 0.049, 0.103}, {"o-ring-110", 0.362, 0.103},
    {"o-ring-111", 0.424, 0.103}, {"o-ring-112", 0.487, 0.103},
    {"o-ring-113", 0.549, 0.103}, {"o-ring-114", 0.612, 0.103},
    {"o-ring-115", 0.674, 0.103}, {"o-ring-116", 0.737, 0.103},
    {"o-ring-120", 0.987, 0.103}, {"o-ring-150", 2.862, 0.103},
    {"o-ring-151", 2.987, 0.103}, {"o-ring-152", 3.237, 0.103},
    {"o-ring-153", 3.487, 0.103}, {"o-ring-154", 3.737, 0.103},
    {"o-ring-155", 3.987, 0.103}, {"o-ring-156", 4.237, 0.103},
    {"o-ring-157", 4.487, 0.103}, {"o-ring-158", 4.737, 0.103},
    {"o-ring-159", 4.987, 0.103}, {"o-ring-160", 5.237, 0.103},
    {"o-ring-161", 5.487, 0.103}, {"o-ring-162", 5.737, 0.103},
    {"o-ring-163", 5.987, 0.103}, {"o-ring-164", 6.237, 0.103},
    {"o-ring-165", 6.487, 0.103}, {"o-ring-166", 6.737, 0.103},
    {"o-ring-167", 6.987, 0.103}, {"o-ring-168", 7.237, 0.103},
    {"o-ring-169", 7.487, 0.103}, {"o-ring-170", 7.737, 0.103},
    {"o-ring-171", 7.987, 0.103}, {"o-ring-178", 9.737, 0.103},
    {"o-ring-201", 0.171, 0.139}, {"o-ring-210", 0.734, 0.139},
    {"o-ring-211", 0.796, 0.139}, {"o-ring-212", 0.859, 0.139},
    {"o-ring-213", 0.921, 0.139}, {"o-ring-214", 0.984, 0.139},
    {"o-ring-215", 1.046, 0.139}, {"o-ring-216", 1.109, 0.139},
    {"o-ring-217", 1.171, 0.139}, {"o-ring-218", 1.234, 0.139},
    {"o-ring-220", 1.359, 0.139}, {"o-ring-222", 1.484, 0.139},
    {"o-ring-225", 1.859, 0.139}, {"o-ring-226", 1.984, 0.139},
    {"o-ring-230", 2.484, 0.139}, {"o-ring-284", 17.955, 0.139},
    {"o-ring-309", 0.412, 0.21},  {"o-ring-395", 25.94, 0.21},
    {"o-ring-475", 25.94, 0.275}, {"o-ring-901", 0.185, 0.056},
    {"o-ring-932", 2.337, 0.118},
};

Test(seals, o_rings_are_those_of_as568)
{
    struct shipped shipped = shipped_load();
    for (size_t i = 0; i < sizeof rings / sizeof *rings; i++) {
        const char *part = rings[i].part;
        const struct form *inside = shipped_value(&shipped, part, "o-ring", "", "inside");
        const struct form *section =
            shipped_value(&shipped, part, "o-ring", "", "section");
        const struct form *bore =
            shipped_value(&shipped, part, "run", "bore", "diameter");
        cr_assert(inside != NULL && section != NULL && bore != NULL, "%s", part);
        cr_expect_float_eq(inside->nominal / 1e6, rings[i].inside_in * 25.4, 0.00501,
                           "%s", part);
        cr_expect_float_eq(section->nominal / 1e6, rings[i].section_in * 25.4, 0.00501,
                           "%s", part);
        cr_expect_eq(bore->nominal, inside->nominal, "%s", part);
    }
    shipped_close(&shipped);
}

/* ISO 3601-1 class B for sizes of no series, ±(0.009 d^0.95 + 0.11) mm: a maker's page
 * prints 0.15 for 5 mm (and 0.69 for 80, 4.28 for 640) but 0.93 for its exponent. */
Test(seals, metric_o_rings_have_the_general_tolerance)
{
    static const struct {
        const char *part;
        double inside;
        double within;
    } rows[] = {{"o-ring-5x2", 5, 0.15},
                {"o-ring-2x1.5", 2, 0.13},
                {"o-ring-20x2", 20, 0.26},
                {"o-ring-30x2.5", 30, 0.34},
                {"o-ring-10x2.5", 10, 0.19}};
    struct shipped shipped = shipped_load();
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const struct form *inside =
            shipped_value(&shipped, rows[i].part, "o-ring", "", "inside");
        const double law = 0.009 * pow(rows[i].inside, 0.95) + 0.11;
        cr_assert_not_null(inside, "%s", rows[i].part);
        cr_expect_float_eq((inside->greatest - inside->nominal) / 1e6, rows[i].within,
                           1e-9, "%s", rows[i].part);
        cr_expect_float_eq(rows[i].within, law, 0.00501, "%s", rows[i].part);
    }
    shipped_close(&shipped);
}

/* 1 recommended … 4 do not use: maker's pages on NBR and EPDM O-rings, on brake fluid, on
 * seal materials and on chemical compatibility; the four that are marked, from memory. */
Test(seals, rubbers_stand_what_their_makers_say)
{
    static const struct {
        const char *elastomer;
        const char *fluid;
        int64_t rating;
    } rows[] = {
        {"EPDM", "mineral-gl5", 4},
        {"EPDM", "mineral-gl4", 4},
        {"NBR", "mineral-gl4", 1},
        {"NBR", "glycol-brake-fluid", 4},
        {"EPDM", "glycol-brake-fluid", 1},
        {"FKM", "petrol", 1},
        {"ACM", "water-glycol", 4},
        {"ACM", "mineral-gl5", 1},
        {"EPDM", "pag", 1},
        {"NBR", "diesel", 1},
        {"FKM", "glycol-brake-fluid", 4},    /* from memory */
        {"VMQ", "silicone-brake-fluid", 4},  /* from memory */
        {"EPDM", "silicone-brake-fluid", 2}, /* sources disagree */
        {"NBR", "atf", 1},                   /* from memory */
    };
    struct shipped shipped = shipped_load();
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        cr_expect_eq(
            row_value(&shipped, "stands", rows[i].elastomer, rows[i].fluid, "rating")
                .count,
            rows[i].rating, "%s in %s", rows[i].elastomer, rows[i].fluid);
    }
    shipped_close(&shipped);
}

/* Degrees Celsius for good: SKF's page on seal materials (NBR, HNBR; FKM there -30 to
 * 230, the Tribology Handbook -40 to 200: the narrower -20 to 200 of an older SKF page is
 * kept), an EPDM data sheet, a seal maker's list of oil seal materials (VMQ), the
 * Tribology Handbook (PTFE to 280, another page to 260: the lower). ACM's cold end and
 * the speeds, after the diagram of DIN 3760, from memory; FKM 38 m/s is printed, 35 is
 * kept. */
Test(seals, rubbers_stand_these_temperatures_and_speeds)
{
    static const struct {
        const char *elastomer;
        double coldest;
        double hottest;
        double speed; /* 0: none is given */
    } rows[] = {{"NBR", -40, 100, 12},  {"HNBR", -30, 150, 14}, {"FKM", -20, 200, 35},
                {"EPDM", -45, 125, 0},  {"ACM", -25, 150, 18},  {"VMQ", -60, 200, 35},
                {"PTFE", -100, 260, 30}};
    struct shipped shipped = shipped_load();
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const char *rubber = rows[i].elastomer;
        const struct form *cold =
            row_value(&shipped, "elastomer-limit", rubber, NULL, "coldest").quantity;
        const struct form *hot =
            row_value(&shipped, "elastomer-limit", rubber, NULL, "hottest").quantity;
        cr_expect_float_eq(cold->nominal - 273.15, rows[i].coldest, 1e-9, "%s", rubber);
        cr_expect_float_eq(hot->nominal - 273.15, rows[i].hottest, 1e-9, "%s", rubber);
        if (rows[i].speed > 0) {
            const struct form *speed =
                row_value(&shipped, "lip-speed", rubber, NULL, "speed").quantity;
            cr_expect_float_eq(speed->nominal / 1e9, rows[i].speed, 1e-9, "%s", rubber);
        }
    }
    shipped_close(&shipped);
}

/* The clearance that a ring bridges, thousandths of an inch over the diameter: ring
 * design chapter, table to figures 2.11 and 2.12. Another maker's table allows 0.016 in
 * for 70 Shore A below 500 psi and 0.010 up to 1000: the stricter one is kept. */
Test(seals, rings_bridge_what_their_table_prints)
{
    static const struct {
        const char *row;
        double clearance_thou;
    } rows[] = {{"60 at 500", 10},  {"60 at 1000", 2},  {"60 at 1250", 1},
                {"70 at 500", 15},  {"70 at 750", 11},  {"70 at 1000", 8},
                {"70 at 1250", 4},  {"70 at 1500", 2},  {"80 at 500", 20},
                {"80 at 1000", 12}, {"80 at 1500", 7},  {"90 at 500", 25},
                {"90 at 750", 23},  {"90 at 1000", 18}, {"90 at 1500", 12}};
    struct shipped shipped = shipped_load();
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const struct form *clearance =
            row_value(&shipped, "extrusion-limit", rows[i].row, NULL, "clearance")
                .quantity;
        cr_expect_float_eq(clearance->nominal / 25400.0, rows[i].clearance_thou, 1e-9,
                           "%s", rows[i].row);
    }
    shipped_close(&shipped);
}

/* Shaft h11 and bore H8 of shipped lip seals: micrometres below the shaft's size, above
 * the bore's, as a seal supplier's and an oil seal maker's tables print them. */
Test(seals, lips_ask_the_limits_that_tables_print)
{
    static const struct {
        const char *part;
        double shaft;
        double below_um;
        double bore;
        double above_um;
    } rows[] = {
        {"lip-10x22x7", 10, 90, 22, 33},     {"lip-15x30x7", 15, 110, 30, 33},
        {"lip-17x35x7", 17, 110, 35, 39},    {"lip-25x40x7", 25, 130, 40, 39},
        {"lip-30x47x7", 30, 130, 47, 39},    {"lip-35x52x7", 35, 160, 52, 46},
        {"lip-45x62x8", 45, 160, 62, 46},    {"lip-60x80x8", 60, 190, 80, 46},
        {"lip-80x100x10", 80, 190, 100, 54}, {"lip-100x120x12", 100, 220, 120, 54}};
    struct shipped shipped = shipped_load();
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const char *part = rows[i].part;
        const struct form *shaft = shipped_value(&shipped, part, "lip-seal", "", "shaft");
        const struct form *bore = shipped_value(&shipped, part, "lip-seal", "", "bore");
        cr_assert(shaft != NULL && bore != NULL, "%s", part);
        cr_expect_float_eq(shaft->greatest, rows[i].shaft * 1e6, 1e-3, "%s", part);
        cr_expect_float_eq(shaft->least, rows[i].shaft * 1e6 - rows[i].below_um * 1e3,
                           1e-3, "%s", part);
        cr_expect_float_eq(bore->least, rows[i].bore * 1e6, 1e-3, "%s", part);
        cr_expect_float_eq(bore->greatest, rows[i].bore * 1e6 + rows[i].above_um * 1e3,
                           1e-3, "%s", part);
    }
    shipped_close(&shipped);
}
