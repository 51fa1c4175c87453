/* SPDX-License-Identifier: MIT */
/* What a shaft, its key and its splines carry: torsion of round sections, and pressure
 * and shear from a torque. */
#include "mechanics_call.h"
#include "mechanics_functions.h"

#include <math.h>

static const double pi = 3.14159265358979323846;
static const char no_wall[] = "the bore leaves no wall";
static const char nothing_carries[] = "nothing is left to carry";

/* D^4 - d^4, or NAN where there is no wall. */
static double fourth_powers(double outside, double bore)
{
    const double left = pow(outside, 4.0) - pow(bore, 4.0);
    return bore >= 0.0 && left > 0.0 ? left : NAN;
}

/* torque, outside, bore */
static double stress_of(const double *x)
{
    return 16.0 * x[0] * x[1] / (pi * fourth_powers(x[1], x[2]));
}

/* stress, outside, bore */
static double torque_of(const double *x)
{
    return x[0] * pi * fourth_powers(x[1], x[2]) / (16.0 * x[1]);
}

/* torque, length, outside, bore, shear modulus */
static double twist_of(const double *x)
{
    return 32.0 * x[0] * x[1] / (pi * x[4] * fourth_powers(x[2], x[3]));
}

/* torque, shaft diameter, one side of the surface, the other side: 2 T / (d a b) */
static double on_a_key(const double *x)
{
    return x[1] > 0.0 && x[2] > 0.0 && x[3] > 0.0 ? 2.0 * x[0] / (x[1] * x[2] * x[3])
                                                  : NAN;
}

/* torque, teeth, major, minor, length, share: 2 T / (share z h dm L), where
 * h = (D - d) / 2 and dm = (D + d) / 2 */
static double on_splines(const double *x)
{
    const double squares = x[2] * x[2] - x[3] * x[3];
    const bool is_share = x[5] > 0.0 && x[5] <= 1.0;
    return x[1] > 0.0 && squares > 0.0 && x[3] >= 0.0 && x[4] > 0.0 && is_share
               ? 8.0 * x[0] / (x[5] * x[1] * squares * x[4])
               : NAN;
}

static const struct form_law torsion_stress_law = {3, stress_of, no_wall};
static const struct form_law torsion_torque_law = {3, torque_of, no_wall};
static const struct form_law torsion_twist_law = {5, twist_of, no_wall};
static const struct form_law on_a_key_law = {4, on_a_key, nothing_carries};
static const struct form_law spline_pressure_law = {6, on_splines, nothing_carries};

static const struct function_entry key_pressure = {
    .name = "key_pressure",
    .arguments = {{ARGUMENT_QUANTITY, "torque", "torque"},
                  {ARGUMENT_QUANTITY, "length", "shaft diameter"},
                  {ARGUMENT_QUANTITY, "length", "depth that bears"},
                  {ARGUMENT_QUANTITY, "length", "length that bears"}},
    .argument_count = 4,
    .result = {ARGUMENT_QUANTITY, "pressure", ""},
    .run = call_own_law,
    .law = &on_a_key_law,
    .source = "Mott, Machine Elements in Mechanical Design, 4th ed., section 11-4; "
              "DIN 6892 method C without its factors",
    .range = "0 < each length; round ends of a key do not bear",
    .help = "The pressure on the side of a key or keyway."};

static const struct function_entry key_shear = {
    .name = "key_shear",
    .arguments = {{ARGUMENT_QUANTITY, "torque", "torque"},
                  {ARGUMENT_QUANTITY, "length", "shaft diameter"},
                  {ARGUMENT_QUANTITY, "length", "width of the key"},
                  {ARGUMENT_QUANTITY, "length", "length that bears"}},
    .argument_count = 4,
    .result = {ARGUMENT_QUANTITY, "pressure", ""},
    .run = call_own_law,
    .law = &on_a_key_law,
    .source = "Mott, Machine Elements in Mechanical Design, 4th ed., equation 11-1",
    .range = "0 < each length",
    .help = "The shear stress in a key where shaft and hub meet."};

static const struct function_entry spline_pressure = {
    .name = "spline_pressure",
    .arguments = {{ARGUMENT_QUANTITY, "torque", "torque"},
                  {ARGUMENT_QUANTITY, "ratio", "teeth"},
                  {ARGUMENT_QUANTITY, "length", "major diameter of the shaft"},
                  {ARGUMENT_QUANTITY, "length", "minor diameter of the hub"},
                  {ARGUMENT_QUANTITY, "length", "length that meets"},
                  {ARGUMENT_QUANTITY, "ratio", "share of the teeth that bears"}},
    .argument_count = 6,
    .result = {ARGUMENT_QUANTITY, "pressure", ""},
    .run = call_own_law,
    .law = &spline_pressure_law,
    .source = "mechanics: p = 2 T / (k z h dm L); k = 0.75 is common practice",
    .range = "0 <= minor < major diameter; 0 < share <= 1",
    .help = "The mean pressure on the flanks of splines."};

static const struct function_entry torsion_stress = {
    .name = "torsion_stress",
    .arguments = {{ARGUMENT_QUANTITY, "torque", "torque"},
                  {ARGUMENT_QUANTITY, "length", "outside diameter"},
                  {ARGUMENT_QUANTITY, "length", "bore"}},
    .argument_count = 3,
    .result = {ARGUMENT_QUANTITY, "pressure", ""},
    .run = call_own_law,
    .law = &torsion_stress_law,
    .source = "elastic torsion of round sections: tau = 16 T D / (pi (D^4 - d^4))",
    .range = "0 <= bore < outside diameter; without the stress at steps and grooves",
    .help = "The shear stress at the outside of a shaft, solid where the bore is 0 mm."};

static const struct function_entry torsion_torque = {
    .name = "torsion_torque",
    .arguments = {{ARGUMENT_QUANTITY, "pressure", "shear stress"},
                  {ARGUMENT_QUANTITY, "length", "outside diameter"},
                  {ARGUMENT_QUANTITY, "length", "bore"}},
    .argument_count = 3,
    .result = {ARGUMENT_QUANTITY, "torque", ""},
    .run = call_own_law,
    .law = &torsion_torque_law,
    .source = "elastic torsion of round sections: T = tau pi (D^4 - d^4) / (16 D)",
    .range = "0 <= bore < outside diameter; without the stress at steps and grooves",
    .help = "The torque that brings a section to a shear stress."};

static const struct function_entry torsion_twist = {
    .name = "torsion_twist",
    .arguments = {{ARGUMENT_QUANTITY, "torque", "torque"},
                  {ARGUMENT_QUANTITY, "length", "length"},
                  {ARGUMENT_QUANTITY, "length", "outside diameter"},
                  {ARGUMENT_QUANTITY, "length", "bore"},
                  {ARGUMENT_QUANTITY, "pressure", "shear modulus"}},
    .argument_count = 5,
    .result = {ARGUMENT_QUANTITY, "angle", ""},
    .run = call_own_law,
    .law = &torsion_twist_law,
    .source = "elastic torsion of round sections: 32 T L / (pi G (D^4 - d^4))",
    .range = "0 <= bore < outside diameter",
    .help = "How far a torque twists a stretch of shaft."};

static const struct function_entry *const entries[] = {&key_pressure,    &key_shear,
                                                       &spline_pressure, &torsion_stress,
                                                       &torsion_torque,  &torsion_twist};

const struct function_table shaft_functions = {entries, sizeof entries / sizeof *entries};
