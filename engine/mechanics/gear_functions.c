/* SPDX-License-Identifier: MIT */
/*
 * Where gears stand and what play that leaves them: centre distances of spur and helical
 * pairs, backlash from centre distance, and from an axial shift of bevel gears. Backlash
 * is along the pitch circle.
 */
#include "mechanics_call.h"
#include "mechanics_functions.h"

#include <math.h>

static const double quarter_turn = 1.57079632679489661923;
static const char no_mesh[] = "such gears do not mesh";

static double involute(double angle)
{
    return tan(angle) - angle;
}

/* The angle between 0 and a quarter turn whose involute function is this. */
static double involute_angle(double value)
{
    double angle = fmin(cbrt(3.0 * value), 1.2);
    for (int i = 0; i < 60; i++) {
        const double slope = tan(angle) * tan(angle);
        const double next = angle - (involute(angle) - value) / slope;
        if (fabs(next - angle) < 1e-15) {
            return next;
        }
        angle = fmin(next, quarter_turn - 1e-6);
    }
    return angle;
}

static bool is_pressure_angle(double angle)
{
    return angle > 0.0 && angle < quarter_turn / 2.0;
}

/* module, teeth, teeth, helix angle */
static double centre_distance(const double *x)
{
    return x[0] > 0.0 && x[1] > 0.0 && x[2] > 0.0 && fabs(x[3]) < quarter_turn
               ? x[0] * (x[1] + x[2]) / (2.0 * cos(x[3]))
               : NAN;
}

/* teeth, teeth, pressure angle, sum of the profile shifts */
static double working_angle(const double *x)
{
    const double involved = 2.0 * tan(x[2]) * x[3] / (x[0] + x[1]) + involute(x[2]);
    return x[0] > 0.0 && x[1] > 0.0 && is_pressure_angle(x[2]) && involved > 0.0
               ? involute_angle(involved)
               : NAN;
}

/* module, teeth, teeth, pressure angle, sum of the profile shifts */
static double shifted_distance(const double *x)
{
    const double standard = x[0] * (x[1] + x[2]) / 2.0;
    return x[0] > 0.0 ? standard * cos(x[3]) / cos(working_angle(x + 1)) : NAN;
}

/* module, teeth, teeth, pressure angle, centre distance: of unthinned teeth */
static double spur_backlash_at(const double *x)
{
    const double standard = x[0] * (x[1] + x[2]) / 2.0;
    const double cosine = standard * cos(x[3]) / x[4];
    return x[0] > 0.0 && x[1] > 0.0 && x[2] > 0.0 && is_pressure_angle(x[3]) &&
                   cosine > 0.0 && cosine < 1.0
               ? 2.0 * x[4] * (involute(acos(cosine)) - involute(x[3]))
               : NAN;
}

/* teeth, teeth of the mate, angle between the axes */
static double pitch_angle(const double *x)
{
    return x[0] > 0.0 && x[1] > 0.0 && x[2] > 0.0 && x[2] < 2.0 * quarter_turn
               ? atan2(sin(x[2]), x[1] / x[0] + cos(x[2]))
               : NAN;
}

/* pressure angle, pitch angle: how much the backlash grows for each unit of shift */
static double bevel_share(const double *x)
{
    return is_pressure_angle(x[0]) && x[1] > 0.0 && x[1] < 2.0 * quarter_turn
               ? 2.0 * tan(x[0]) * sin(x[1])
               : NAN;
}

static double spur_share(const double *x)
{
    return is_pressure_angle(x[0]) ? 2.0 * tan(x[0]) : NAN;
}

static const struct form_law centre_distance_law = {4, centre_distance, no_mesh};
static const struct form_law shifted_distance_law = {5, shifted_distance, no_mesh};
static const struct form_law working_angle_law = {4, working_angle, no_mesh};
static const struct form_law spur_backlash_law = {5, spur_backlash_at, no_mesh};
static const struct form_law pitch_angle_law = {3, pitch_angle, no_mesh};

/* The first argument times a law of the others: exact in that first one, so that what
 * shifts both gears still cancels. */
static bool give_share(struct function_call *call, const struct form_law *share)
{
    const struct form *of[FORM_LAW_ARGUMENTS];
    for (uint32_t i = 0; i < share->count; i++) {
        of[i] = call_form(call, i + 1);
    }
    return call_give(call,
                     form_multiply(call->arena, call_form(call, 0),
                                   form_by_law(call->arena, share, of, DIMENSION_RATIO)));
}

static bool run_bevel_backlash_change(struct function_call *call)
{
    static const struct form_law share = {2, bevel_share, no_mesh};
    return give_share(call, &share);
}

static bool run_spur_backlash_change(struct function_call *call)
{
    static const struct form_law share = {1, spur_share, no_mesh};
    return give_share(call, &share);
}

static const struct function_entry bevel_backlash_change = {
    .name = "bevel_backlash_change",
    .arguments = {{ARGUMENT_QUANTITY, "length", "shift out of mesh"},
                  {ARGUMENT_QUANTITY, "angle", "pressure angle"},
                  {ARGUMENT_QUANTITY, "angle", "pitch angle"}},
    .argument_count = 3,
    .result = {ARGUMENT_QUANTITY, "length", ""},
    .run = run_bevel_backlash_change,
    .source = "geometry of bevel teeth: 2 s tan(pressure angle) sin(pitch angle); of "
              "hypoid gears with the mean of both flanks' angles, from memory",
    .range = "0 < pressure angle < 45 deg; shifts small against the teeth",
    .help = "How much backlash grows when a bevel gear moves along its axis."};

static const struct function_entry bevel_pitch_angle = {
    .name = "bevel_pitch_angle",
    .arguments = {{ARGUMENT_QUANTITY, "ratio", "teeth"},
                  {ARGUMENT_QUANTITY, "ratio", "teeth of the mate"},
                  {ARGUMENT_QUANTITY, "angle", "angle between the axes"}},
    .argument_count = 3,
    .result = {ARGUMENT_QUANTITY, "angle", ""},
    .run = call_own_law,
    .law = &pitch_angle_law,
    .source = "geometry of pitch cones: tan = sin S / (z2/z1 + cos S)",
    .range = "0 < teeth; 0 < angle between the axes < 180 deg",
    .help = "The half angle of a bevel gear's pitch cone."};

static const struct function_entry gear_centre_distance = {
    .name = "gear_centre_distance",
    .arguments = {{ARGUMENT_QUANTITY, "length", "module"},
                  {ARGUMENT_QUANTITY, "ratio", "teeth"},
                  {ARGUMENT_QUANTITY, "ratio", "teeth of the mate"},
                  {ARGUMENT_QUANTITY, "angle", "helix angle"}},
    .argument_count = 4,
    .result = {ARGUMENT_QUANTITY, "length", ""},
    .run = call_own_law,
    .law = &centre_distance_law,
    .source = "ISO 21771:2007, reference centre distance m (z1 + z2) / (2 cos beta)",
    .range = "0 < module, teeth; helix angle below 90 deg; no profile shift",
    .help = "How far the axes of two unshifted gears lie apart."};

static const struct function_entry gear_shifted_distance = {
    .name = "gear_shifted_distance",
    .arguments = {{ARGUMENT_QUANTITY, "length", "module"},
                  {ARGUMENT_QUANTITY, "ratio", "teeth"},
                  {ARGUMENT_QUANTITY, "ratio", "teeth of the mate"},
                  {ARGUMENT_QUANTITY, "angle", "pressure angle"},
                  {ARGUMENT_QUANTITY, "ratio", "sum of the profile shifts"}},
    .argument_count = 5,
    .result = {ARGUMENT_QUANTITY, "length", ""},
    .run = call_own_law,
    .law = &shifted_distance_law,
    .source = "ISO 21771:2007, working centre distance without backlash",
    .range = "spur gears; 0 < pressure angle < 45 deg; shifts that leave a mesh",
    .help = "How far the axes of two spur gears with profile shift lie apart."};

static const struct function_entry gear_working_angle = {
    .name = "gear_working_angle",
    .arguments = {{ARGUMENT_QUANTITY, "ratio", "teeth"},
                  {ARGUMENT_QUANTITY, "ratio", "teeth of the mate"},
                  {ARGUMENT_QUANTITY, "angle", "pressure angle"},
                  {ARGUMENT_QUANTITY, "ratio", "sum of the profile shifts"}},
    .argument_count = 4,
    .result = {ARGUMENT_QUANTITY, "angle", ""},
    .run = call_own_law,
    .law = &working_angle_law,
    .source = "ISO 21771:2007, inv aw = inv a + 2 tan a (x1 + x2) / (z1 + z2)",
    .range = "spur gears; 0 < pressure angle < 45 deg; shifts that leave a mesh",
    .help = "The pressure angle at which two spur gears with profile shift run."};

static const struct function_entry spur_backlash = {
    .name = "spur_backlash",
    .arguments = {{ARGUMENT_QUANTITY, "length", "module"},
                  {ARGUMENT_QUANTITY, "ratio", "teeth"},
                  {ARGUMENT_QUANTITY, "ratio", "teeth of the mate"},
                  {ARGUMENT_QUANTITY, "angle", "pressure angle"},
                  {ARGUMENT_QUANTITY, "length", "centre distance"}},
    .argument_count = 5,
    .result = {ARGUMENT_QUANTITY, "length", ""},
    .run = call_own_law,
    .law = &spur_backlash_law,
    .source = "involute geometry: 2 a (inv aw - inv a0), cos aw = a0 cos(a0 angle) / a",
    .range = "unshifted spur gears whose teeth are not thinned; negative where they bind",
    .help = "The backlash that a centre distance leaves, before teeth are thinned."};

static const struct function_entry spur_backlash_change = {
    .name = "spur_backlash_change",
    .arguments = {{ARGUMENT_QUANTITY, "length", "change of the centre distance"},
                  {ARGUMENT_QUANTITY, "angle", "pressure angle"}},
    .argument_count = 2,
    .result = {ARGUMENT_QUANTITY, "length", ""},
    .run = run_spur_backlash_change,
    .source = "involute geometry, to first order: 2 tan(pressure angle) for each unit",
    .range = "0 < pressure angle < 45 deg; changes small against the module",
    .help = "How much backlash grows when two spur gears are moved apart."};

static const struct function_entry *const entries[] = {
    &bevel_backlash_change, &bevel_pitch_angle,  &gear_centre_distance,
    &gear_shifted_distance, &gear_working_angle, &spur_backlash,
    &spur_backlash_change};

const struct function_table gear_functions = {entries, sizeof entries / sizeof *entries};
