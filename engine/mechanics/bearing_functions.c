/* SPDX-License-Identifier: MIT */
/*
 * Rolling bearings as functions for formulas: what fits leave of the clearance, what a
 * shaft puts on its supports, and the rating life of ISO 281.
 */
#include "mechanics_call.h"
#include "mechanics_functions.h"

#include <math.h>

/* ---- clearance */

/* (share · one + (5 - share) · other) / 5: where a deep groove's raceway lies. */
static const struct form *fifths(struct function_call *call, double of_bore)
{
    return form_add(call->arena,
                    form_scale(call->arena, call_form(call, 0), of_bore / 5.0),
                    form_scale(call->arena, call_form(call, 1), (5.0 - of_bore) / 5.0));
}

/* Whether the second argument surely does not lie outside of the first. */
static bool lacks_wall(struct function_call *call, uint32_t inside, uint32_t outside)
{
    static const char why[] = "a ring needs a wall";
    const struct form *wall =
        form_subtract(call->arena, call_form(call, outside), call_form(call, inside));
    return call_refuses(call, wall, false, why) ||
           call_refuses(call, call_form(call, inside), false, why);
}

static bool run_inner_raceway(struct function_call *call)
{
    return lacks_wall(call, 0, 1) || call_give(call, fifths(call, 4.0));
}

static bool run_outer_raceway(struct function_call *call)
{
    return lacks_wall(call, 0, 1) || call_give(call, fifths(call, 1.0));
}

/* What is pressed of the first argument, times one diameter over another. */
static bool give_share(struct function_call *call, uint32_t over, uint32_t under)
{
    struct arena *arena = call->arena;
    const struct form *interference = call_form(call, 0);
    const struct form *pressed =
        interference == NULL
            ? NULL
            : form_max(arena, interference, form_exact(arena, interference->dim, 0.0));
    const struct form *ratio =
        form_divide(arena, call_form(call, over), call_form(call, under));
    return call_give(call, form_multiply(arena, pressed, ratio));
}

static bool run_lost_to_shaft(struct function_call *call)
{
    return lacks_wall(call, 1, 2) || give_share(call, 1, 2);
}

static bool run_lost_to_housing(struct function_call *call)
{
    return lacks_wall(call, 2, 1) || give_share(call, 2, 1);
}

/* 0.08 um · sqrt(d / B · Fr in newtons). */
static double lost_by_load(const double *x)
{
    const bool is_within = x[0] > 0.0 && x[1] > 0.0 && x[2] >= 0.0;
    return is_within ? 80.0 * sqrt(x[0] / x[1] * x[2] / 1e9) : NAN;
}

static bool run_lost_by_load(struct function_call *call)
{
    static const struct form_law law = {3, lost_by_load,
                                        "bore and width must be greater than nothing"};
    return call_give_law(call, &law);
}

/* ---- what a shaft puts on its supports */

/* load · (at - there) / (here - there) */
static bool run_support(struct function_call *call)
{
    struct arena *arena = call->arena;
    const struct form *there = call_form(call, 3);
    const struct form *arm =
        form_divide(arena, form_subtract(arena, call_form(call, 1), there),
                    form_subtract(arena, call_form(call, 2), there));
    return call_give(call, form_multiply(arena, call_form(call, 0), arm));
}

/* F a² (L + a) / (3 E I), I = pi d⁴ / 64 */
static double overhung_deflection(const double *x)
{
    const double overhang = x[1];
    const double fourth = x[4] * x[4] * x[4] * x[4];
    const bool is_within = overhang >= 0.0 && x[2] > 0.0 && x[3] > 0.0 && x[4] > 0.0;
    return is_within ? x[0] * overhang * overhang * (x[2] + overhang) /
                           (3.0 * x[3] * acos(-1.0) * fourth / 64.0)
                     : NAN;
}

static bool run_deflection(struct function_call *call)
{
    static const struct form_law law = {
        5, overhung_deflection,
        "span, elasticity and diameter must be more than nothing"};
    return call_give_law(call, &law);
}

/* ---- rating life */

/* ISO 281:2007 table 3, radial contact groove ball bearings: Y by f0 Fa / C0, linear
 * between. Below its first row the first stretch goes on, which is on the safe side. */
static const double thrust_ratios[] = {0.172, 0.345, 0.689, 1.03, 1.38,
                                       2.07,  3.45,  5.17,  6.89};
static const double thrust_factors[] = {2.30, 1.99, 1.71, 1.55, 1.45,
                                        1.31, 1.15, 1.04, 1.00};
enum {
    THRUST_ROWS = sizeof thrust_ratios / sizeof *thrust_ratios
};

static uint32_t thrust_row(double ratio)
{
    uint32_t i = 0;
    while (i + 2 < THRUST_ROWS && ratio > thrust_ratios[i + 1]) {
        i++;
    }
    return i;
}

static double thrust_slope(double ratio)
{
    const uint32_t i = thrust_row(ratio);
    return (thrust_factors[i + 1] - thrust_factors[i]) /
           (thrust_ratios[i + 1] - thrust_ratios[i]);
}

static double thrust_factor(double ratio)
{
    const uint32_t i = thrust_row(ratio);
    return thrust_factors[i] + thrust_slope(ratio) * (ratio - thrust_ratios[i]);
}

static bool thrust_range(double least, double greatest, double *least_out,
                         double *greatest_out)
{
    *least_out = thrust_factor(greatest);
    *greatest_out = thrust_factor(least);
    /* A hair for what products of doubles leave. */
    return least >= 0.0 && greatest <= thrust_ratios[THRUST_ROWS - 1] * (1.0 + 1e-12);
}

/* The greater of the radial load alone and both with their factors: the two meet at the
 * limit e of the table, to half a hundredth. */
static bool give_greater(struct function_call *call, double radial_factor,
                         const struct form *thrust)
{
    struct arena *arena = call->arena;
    const struct form *both =
        form_add(arena, form_scale(arena, call_form(call, 0), radial_factor), thrust);
    return call_give(call, form_max(arena, call_form(call, 0), both));
}

static bool run_equivalent(struct function_call *call)
{
    static const struct form_curve curve = {
        thrust_factor, thrust_slope, thrust_range, true,
        "the thrust is beyond what the table of ISO 281 covers"};
    struct arena *arena = call->arena;
    const struct form *of_rating =
        form_divide(arena, call_form(call, 1), call_form(call, 2));
    const struct form *factor =
        form_apply(arena, form_multiply(arena, of_rating, call_form(call, 3)), &curve,
                   DIMENSION_RATIO);
    return give_greater(call, 0.56, form_multiply(arena, factor, call_form(call, 1)));
}

static bool run_equivalent_tapered(struct function_call *call)
{
    return give_greater(
        call, 0.4, form_multiply(call->arena, call_form(call, 1), call_form(call, 2)));
}

static bool run_static(struct function_call *call)
{
    return give_greater(call, 0.6, form_scale(call->arena, call_form(call, 1), 0.5));
}

/* A million turns of 2 pi each, in radians. */
static double million_turns(void)
{
    return 2e6 * acos(-1.0);
}

static double rating_life(const double *x)
{
    const bool is_within = x[1] > 0.0 && x[0] >= x[1] && x[2] >= 1.0;
    return is_within ? pow(x[0] / x[1], x[2]) : NAN;
}

static double rating_hours(const double *x)
{
    return x[3] > 0.0 ? rating_life(x) * million_turns() / x[3] : NAN;
}

static const char life_undefined[] = "rating life is for loads up to the load rating";

static bool run_life(struct function_call *call)
{
    static const struct form_law law = {3, rating_life, life_undefined};
    return call_give_law(call, &law);
}

static bool run_life_time(struct function_call *call)
{
    static const struct form_law law = {4, rating_hours, life_undefined};
    return call_give_law(call, &law);
}

/* P · (life in million turns) to the power 1 / p */
static double rating_needed(const double *x)
{
    const bool is_within = x[0] >= 0.0 && x[1] > 0.0 && x[2] > 0.0 && x[3] >= 1.0;
    return is_within ? x[0] * pow(x[1] * x[2] / million_turns(), 1.0 / x[3]) : NAN;
}

static bool run_rating_needed(struct function_call *call)
{
    static const struct form_law law = {4, rating_needed,
                                        "load, speed and life must be more than nothing"};
    return call_give_law(call, &law);
}

/* ---- the table */

#define RACEWAYS "bearing makers' estimate for deep groove ball bearings, from memory"

static const struct function_entry interference_lost_by_load = {
    .name = "interference_lost_by_load",
    .arguments = {{ARGUMENT_QUANTITY, "length", "bore"},
                  {ARGUMENT_QUANTITY, "length", "width"},
                  {ARGUMENT_QUANTITY, "force", "radial load"}},
    .argument_count = 3,
    .result = {ARGUMENT_QUANTITY, "length", ""},
    .run = run_lost_by_load,
    .source = "NSK, Fits and internal clearances, equation 9.1",
    .range = "radial loads up to a fifth of the static load rating",
    .help = "How much of its press an inner ring loses under a radial load."};

static const struct function_entry clearance_lost_to_housing = {
    .name = "clearance_lost_to_housing",
    .arguments = {{ARGUMENT_QUANTITY, "length", "interference"},
                  {ARGUMENT_QUANTITY, "length", "outside of the bearing"},
                  {ARGUMENT_QUANTITY, "length", "outer raceway"}},
    .argument_count = 3,
    .result = {ARGUMENT_QUANTITY, "length", ""},
    .run = run_lost_to_housing,
    .source = "Lamé's thick cylinders: a ring pressed into a stiff housing",
    .range = "0 < raceway < outside; a loose fit takes nothing",
    .help = "How much radial clearance a press in the housing takes from a bearing."};

static const struct function_entry clearance_lost_to_shaft = {
    .name = "clearance_lost_to_shaft",
    .arguments = {{ARGUMENT_QUANTITY, "length", "interference"},
                  {ARGUMENT_QUANTITY, "length", "bore of the bearing"},
                  {ARGUMENT_QUANTITY, "length", "inner raceway"}},
    .argument_count = 3,
    .result = {ARGUMENT_QUANTITY, "length", ""},
    .run = run_lost_to_shaft,
    .source = "Lamé's thick cylinders: a ring pressed on a solid shaft of its own metal",
    .range = "0 < bore < raceway; a loose fit takes nothing",
    .help = "How much radial clearance a press on the shaft takes from a bearing."};

static const struct function_entry equivalent_load = {
    .name = "equivalent_load",
    .arguments = {{ARGUMENT_QUANTITY, "force", "radial load"},
                  {ARGUMENT_QUANTITY, "force", "thrust"},
                  {ARGUMENT_QUANTITY, "force", "static load rating"},
                  {ARGUMENT_QUANTITY, "ratio", "factor f0"}},
    .argument_count = 4,
    .result = {ARGUMENT_QUANTITY, "force", ""},
    .run = run_equivalent,
    .source = "ISO 281:2007, table 3 and equation 6",
    .range = "0 <= f0 thrust / static rating <= 6.89; normal clearance",
    .help = "The radial load that wears a deep groove ball bearing like both loads."};

static const struct function_entry equivalent_load_tapered = {
    .name = "equivalent_load_tapered",
    .arguments = {{ARGUMENT_QUANTITY, "force", "radial load"},
                  {ARGUMENT_QUANTITY, "force", "thrust"},
                  {ARGUMENT_QUANTITY, "ratio", "factor Y"}},
    .argument_count = 3,
    .result = {ARGUMENT_QUANTITY, "force", ""},
    .run = run_equivalent_tapered,
    .source = "ISO 281:2007, single-row tapered roller bearings: 0.4 Fr + Y Fa",
    .range = "any",
    .help = "The radial load that wears a tapered roller bearing like both loads."};

static const struct function_entry inner_raceway = {
    .name = "inner_raceway",
    .arguments = {{ARGUMENT_QUANTITY, "length", "bore"},
                  {ARGUMENT_QUANTITY, "length", "outside"}},
    .argument_count = 2,
    .result = {ARGUMENT_QUANTITY, "length", ""},
    .run = run_inner_raceway,
    .source = RACEWAYS,
    .range = "0 < bore < outside",
    .help = "About where the inner raceway lies: a fifth of the way out."};

static const struct function_entry outer_raceway = {
    .name = "outer_raceway",
    .arguments = {{ARGUMENT_QUANTITY, "length", "bore"},
                  {ARGUMENT_QUANTITY, "length", "outside"}},
    .argument_count = 2,
    .result = {ARGUMENT_QUANTITY, "length", ""},
    .run = run_outer_raceway,
    .source = RACEWAYS,
    .range = "0 < bore < outside",
    .help = "About where the outer raceway lies: four fifths of the way out."};

static const struct function_entry overhung = {
    .name = "overhung_deflection",
    .arguments = {{ARGUMENT_QUANTITY, "force", "load"},
                  {ARGUMENT_QUANTITY, "length", "overhang"},
                  {ARGUMENT_QUANTITY, "length", "span"},
                  {ARGUMENT_QUANTITY, "pressure", "elasticity"},
                  {ARGUMENT_QUANTITY, "length", "diameter"}},
    .argument_count = 5,
    .result = {ARGUMENT_QUANTITY, "length", ""},
    .run = run_deflection,
    .source = "beam on two supports with a load beyond them, F a2 (L + a) / 3 E I",
    .range = "one diameter throughout, bearings that do not give",
    .help = "How far a shaft's overhung end bends under its load."};

static const struct function_entry rating_life_entry = {
    .name = "rating_life",
    .arguments = {{ARGUMENT_QUANTITY, "force", "load rating"},
                  {ARGUMENT_QUANTITY, "force", "equivalent load"},
                  {ARGUMENT_QUANTITY, "ratio", "exponent"}},
    .argument_count = 3,
    .result = {ARGUMENT_QUANTITY, "ratio", ""},
    .run = run_life,
    .source = "ISO 281:2007, equation 3: exponent 3 for balls, 10/3 for rollers",
    .range = "0 < load <= rating; the standard holds to half of the rating",
    .help = "Million turns that nine of ten bearings reach."};

static const struct function_entry rating_life_time_entry = {
    .name = "rating_life_time",
    .arguments = {{ARGUMENT_QUANTITY, "force", "load rating"},
                  {ARGUMENT_QUANTITY, "force", "equivalent load"},
                  {ARGUMENT_QUANTITY, "ratio", "exponent"},
                  {ARGUMENT_QUANTITY, "turning-speed", "speed"}},
    .argument_count = 4,
    .result = {ARGUMENT_QUANTITY, "time", ""},
    .run = run_life_time,
    .source = "ISO 281:2007, equation 3: exponent 3 for balls, 10/3 for rollers",
    .range = "0 < load <= rating, 0 < speed; the standard holds to half of the rating",
    .help = "How long nine of ten bearings run."};

static const struct function_entry rating_needed_entry = {
    .name = "rating_needed",
    .arguments = {{ARGUMENT_QUANTITY, "force", "equivalent load"},
                  {ARGUMENT_QUANTITY, "turning-speed", "speed"},
                  {ARGUMENT_QUANTITY, "time", "time"},
                  {ARGUMENT_QUANTITY, "ratio", "exponent"}},
    .argument_count = 4,
    .result = {ARGUMENT_QUANTITY, "force", ""},
    .run = run_rating_needed,
    .source = "ISO 281:2007, equation 3 turned round",
    .range = "0 < speed, 0 < time; the standard holds to twice the load",
    .help = "The load rating that a bearing needs to run a time."};

static const struct function_entry static_equivalent_load = {
    .name = "static_equivalent_load",
    .arguments = {{ARGUMENT_QUANTITY, "force", "radial load"},
                  {ARGUMENT_QUANTITY, "force", "thrust"}},
    .argument_count = 2,
    .result = {ARGUMENT_QUANTITY, "force", ""},
    .run = run_static,
    .source = "ISO 76, deep groove ball bearings: 0.6 Fr + 0.5 Fa, at least Fr",
    .range = "any",
    .help = "The radial load that dents a deep groove ball bearing like both loads."};

static const struct function_entry support_reaction = {
    .name = "support_reaction",
    .arguments = {{ARGUMENT_QUANTITY, "force", "load"},
                  {ARGUMENT_QUANTITY, "length", "where the load is"},
                  {ARGUMENT_QUANTITY, "length", "where this support is"},
                  {ARGUMENT_QUANTITY, "length", "where the other support is"}},
    .argument_count = 4,
    .result = {ARGUMENT_QUANTITY, "force", ""},
    .run = run_support,
    .source = "statics of a beam on two supports",
    .range = "the two supports apart",
    .help = "What one of two supports bears of a load, negative where it lifts."};

static const struct function_entry *const entries[] = {&clearance_lost_to_housing,
                                                       &clearance_lost_to_shaft,
                                                       &equivalent_load,
                                                       &equivalent_load_tapered,
                                                       &inner_raceway,
                                                       &interference_lost_by_load,
                                                       &outer_raceway,
                                                       &overhung,
                                                       &rating_life_entry,
                                                       &rating_life_time_entry,
                                                       &rating_needed_entry,
                                                       &static_equivalent_load,
                                                       &support_reaction};

const struct function_table bearing_functions = {entries,
                                                 sizeof entries / sizeof *entries};
