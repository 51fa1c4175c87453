/* SPDX-License-Identifier: MIT */
/* What warmth does to a space that nothing vents, as a function for formulas. */
#include "mechanics_call.h"
#include "mechanics_functions.h"

#include <math.h>

/*
 * The air keeps its mass: p T/V stays. Its room shrinks by what the oil swells and grows
 * by what the housing does (three times its linear growth).
 */
static double pressure_of(const double *x)
{
    const double cold = x[0];
    const double hot = x[1];
    const double volume = x[2];
    const double filled = x[3];
    const double swelling = x[4];
    const double growth = x[5];
    const double outside = x[6];
    const double air = volume - filled;
    const double left = air + (hot - cold) * (3.0 * growth * volume - swelling * filled);
    const bool has_air = cold > 0.0 && hot > 0.0 && filled >= 0.0 && air > 0.0;
    return has_air && left > 0.0 ? outside * (hot / cold * air / left - 1.0) : NAN;
}

static bool run_closed_space_pressure(struct function_call *call)
{
    static const struct form_law law = {7, pressure_of,
                                        "no air may be left in the space"};
    return call_give_law(call, &law);
}

static const struct function_entry closed_space_pressure = {
    .name = "closed_space_pressure",
    .arguments = {{ARGUMENT_QUANTITY, "temperature", "shut at"},
                  {ARGUMENT_QUANTITY, "temperature", "warmed to"},
                  {ARGUMENT_QUANTITY, "volume", "space"},
                  {ARGUMENT_QUANTITY, "volume", "oil in it"},
                  {ARGUMENT_QUANTITY, "expansion", "the oil's, by volume"},
                  {ARGUMENT_QUANTITY, "expansion", "the housing's, by length"},
                  {ARGUMENT_QUANTITY, "pressure", "outside"}},
    .argument_count = 7,
    .result = {ARGUMENT_QUANTITY, "pressure", ""},
    .run = run_closed_space_pressure,
    .source = "ideal gas at constant mass, with the oil's and the housing's expansion by "
              "volume (textbook)",
    .range = "absolute temperatures; dry air; some air is left",
    .help =
        "The pressure over the outside's in a space that is shut cold and gets warm."};

static const struct function_entry *const entries[] = {&closed_space_pressure};

const struct function_table closed_space_functions = {entries,
                                                      sizeof entries / sizeof *entries};
