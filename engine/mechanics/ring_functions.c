/* SPDX-License-Identifier: MIT */
/* What an O-ring's gland does to it, as functions for formulas. */
#include "mechanics_call.h"
#include "mechanics_functions.h"

#include <math.h>

/* 1 - gland depth / section: so written, each dimension enters its range once. */
static bool run_squeeze(struct function_call *call)
{
    const struct form *left =
        form_divide(call->arena, call_form(call, 1), call_form(call, 0));
    const struct form *whole = form_exact(call->arena, DIMENSION_RATIO, 1.0);
    return call_give(call, form_subtract(call->arena, whole, left));
}

/* groove diameter / inside diameter - 1, likewise. */
static bool run_stretch(struct function_call *call)
{
    const struct form *grown =
        form_divide(call->arena, call_form(call, 0), call_form(call, 1));
    const struct form *whole = form_exact(call->arena, DIMENSION_RATIO, 1.0);
    return call_give(call, form_subtract(call->arena, grown, whole));
}

/* The ring's volume over the gland's: a torus over a ring of rectangular section. Over
 * the domain it is a product of powers and of sums and differences of one sign. */
static double fill_of(const double *x)
{
    const double inside = x[0];
    const double section = x[1];
    const double inner = x[2];
    const double outer = x[3];
    const double length = x[4];
    const double round = acos(-1.0) * (inside + section) * section * section;
    const double gland = (outer * outer - inner * inner) * length;
    const bool is_ring = inside >= 0.0 && section > 0.0;
    return is_ring && inner >= 0.0 && outer > inner && length > 0.0 ? round / gland : NAN;
}

static bool run_fill(struct function_call *call)
{
    static const struct form_law law = {5, fill_of, "the gland may have no room"};
    return call_give_law(call, &law);
}

/* Two polynomials of the stretch in per cent that were fitted to measurements; they meet
 * at 3 % with a step down, so the range looks at both sides of it. */
static double thinning_low(double percent)
{
    const double x = percent;
    const double lost = -0.005 + x * (1.19 + x * (-0.19 + x * (-0.001 + x * 0.008)));
    return fmax(lost, 0.0) / 100.0;
}

static double thinning_high(double percent)
{
    return (0.56 + percent * (0.59 - 0.0046 * percent)) / 100.0;
}

static double thinning(double stretch)
{
    const double percent = stretch * 100.0;
    return percent <= 3.0 ? thinning_low(percent) : thinning_high(percent);
}

static double thinning_slope(double stretch)
{
    const double x = stretch * 100.0;
    return x <= 3.0 ? 1.19 + x * (-0.38 + x * (-0.003 + x * 0.032)) : 0.59 - 0.0092 * x;
}

/* Both branches rise over their own range. What is stretched nobody knows how far still
 * loses nothing less than nothing and nothing more than all of its section. */
static bool thinning_range(double least, double greatest, double *least_out,
                           double *greatest_out)
{
    const bool is_open = isinf(least) || isinf(greatest);
    const bool crosses = least <= 0.03 && greatest > 0.03;
    *least_out = is_open ? 0.0 : thinning(least);
    *greatest_out = is_open ? 1.0 : thinning(greatest);
    if (!is_open && crosses) {
        *least_out = fmin(*least_out, thinning_high(3.0));
        *greatest_out = fmax(*greatest_out, thinning_low(3.0));
    }
    return is_open || (least >= 0.0 && greatest <= 0.25);
}

static bool run_thinning(struct function_call *call)
{
    static const struct form_curve curve = {
        thinning, thinning_slope, thinning_range, false,
        "the ring is loose, or stretched by more than 25 %"};
    return call_give(
        call, form_apply(call->arena, call_form(call, 0), &curve, DIMENSION_RATIO));
}

static double law_kept_by_volume(const double *stretch)
{
    return *stretch > -1.0 ? 1.0 - sqrt(1.0 / (1.0 + *stretch)) : NAN;
}

static bool run_thinning_by_volume(struct function_call *call)
{
    static const struct form_law law = {1, law_kept_by_volume, "the ring has no length"};
    return call_give_law(call, &law);
}

static const struct function_entry ring_fill = {
    .name = "ring_fill",
    .arguments = {{ARGUMENT_QUANTITY, "length", "inside diameter"},
                  {ARGUMENT_QUANTITY, "length", "section"},
                  {ARGUMENT_QUANTITY, "length", "gland's inner diameter"},
                  {ARGUMENT_QUANTITY, "length", "gland's outer diameter"},
                  {ARGUMENT_QUANTITY, "length", "gland's length"}},
    .argument_count = 5,
    .result = {ARGUMENT_QUANTITY, "ratio", ""},
    .run = run_fill,
    .source = "geometry: volume of a torus over that of the gland",
    .range = "0 <= inside, 0 < section, 0 <= inner < outer, 0 < length",
    .help = "How much of its gland an O-ring fills."};

static const struct function_entry ring_squeeze = {
    .name = "ring_squeeze",
    .arguments = {{ARGUMENT_QUANTITY, "length", "section"},
                  {ARGUMENT_QUANTITY, "length", "gland depth"}},
    .argument_count = 2,
    .result = {ARGUMENT_QUANTITY, "ratio", ""},
    .run = run_squeeze,
    .source = "ISO 3601-2 (definition of the compression of the section)",
    .range = "0 < section",
    .help = "How much of an O-ring's section its gland takes away."};

static const struct function_entry ring_stretch = {
    .name = "ring_stretch",
    .arguments = {{ARGUMENT_QUANTITY, "length", "groove diameter"},
                  {ARGUMENT_QUANTITY, "length", "inside diameter"}},
    .argument_count = 2,
    .result = {ARGUMENT_QUANTITY, "ratio", ""},
    .run = run_stretch,
    .source = "ISO 3601-2 (definition of the stretch of the inside diameter)",
    .range = "0 < inside diameter",
    .help = "How much longer an O-ring is on its groove than free."};

static const struct function_entry ring_thinning = {
    .name = "ring_thinning",
    .arguments = {{ARGUMENT_QUANTITY, "ratio", "stretch"}},
    .argument_count = 1,
    .result = {ARGUMENT_QUANTITY, "ratio", ""},
    .run = run_thinning,
    .source =
        "Parker O-Ring Handbook, section III (fitted; three printed copies, one with "
        "1.18 for 1.19)",
    .range = "0 <= stretch <= 25 %",
    .help = "How much of its section an O-ring loses when it is stretched."};

static const struct function_entry ring_thinning_by_volume = {
    .name = "ring_thinning_by_volume",
    .arguments = {{ARGUMENT_QUANTITY, "ratio", "stretch"}},
    .argument_count = 1,
    .result = {ARGUMENT_QUANTITY, "ratio", ""},
    .run = run_thinning_by_volume,
    .source = "constant volume of a round section (Apple Rubber seal design guide); a "
              "little less than measured",
    .range = "-100 % < stretch",
    .help = "The same, if the section stays round and the volume the same."};

static const struct function_entry *const entries[] = {
    &ring_fill, &ring_squeeze, &ring_stretch, &ring_thinning, &ring_thinning_by_volume};

const struct function_table ring_functions = {entries, sizeof entries / sizeof *entries};
