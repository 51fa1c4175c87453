/* SPDX-License-Identifier: MIT */
/*
 * The property that carries everything: a form encloses what it stands for. Random
 * expressions are computed twice, as forms and in plain numbers at sampled deviations
 * (corners among them), and every value must lie in the range and between the linear part
 * plus either end of the remainder.
 */
#include "lengths.h"
#include "value.h"

#include <criterion/criterion.h>
#include <math.h>

TestSuite(form_property, .timeout = 120);

enum {
    VARIABLES = 7,
    STEPS = 6,
    ROUNDS = 4000,
    SAMPLES = 25
};

/* Numerical Recipes' 64-bit linear congruential constants; the top bits are used. */
static double random_unit(uint64_t *state)
{
    *state = *state * 6364136223846793005u + 1442695040888963407u;
    return (double)(*state >> 11) / 9007199254740992.0;
}

static int random_below(uint64_t *state, int end)
{
    return (int)(random_unit(state) * end);
}

static double cube(double x)
{
    return x * x * x;
}

static double cube_slope(double x)
{
    return 3 * x * x;
}

static bool cube_range(double least, double greatest, double *least_out,
                       double *greatest_out)
{
    *least_out = cube(least);
    *greatest_out = cube(greatest);
    return true;
}

static bool exp_range(double least, double greatest, double *least_out,
                      double *greatest_out)
{
    *least_out = exp(least);
    *greatest_out = exp(greatest);
    return greatest < 10;
}

static const struct form_curve cube_curve = {cube, cube_slope, cube_range, false,
                                             "never"};
static const struct form_curve exp_curve = {exp, exp, exp_range, true, "too steep"};

enum operation {
    ADD,
    SUBTRACT,
    MULTIPLY,
    DIVIDE,
    MIN,
    MAX,
    ABS,
    ROOT,
    SCALE,
    CUBE,
    EXP,
    OPERATION_COUNT
};

static double plainly(enum operation operation, double x, double y)
{
    switch (operation) {
    case ADD:
        return x + y;
    case SUBTRACT:
        return x - y;
    case MULTIPLY:
        return x * y;
    case DIVIDE:
        return x / y;
    case MIN:
        return fmin(x, y);
    case MAX:
        return fmax(x, y);
    case ABS:
        return fabs(x);
    case ROOT:
        return sqrt(x);
    case SCALE:
        return -2.5 * x;
    case CUBE:
        return cube(x);
    case EXP:
        return exp(x);
    case OPERATION_COUNT:
        break;
    }
    return NAN;
}

static const struct form *formally(struct arena *arena, enum operation operation,
                                   const struct form *x, const struct form *y)
{
    switch (operation) {
    case ADD:
        return form_add(arena, x, y);
    case SUBTRACT:
        return form_subtract(arena, x, y);
    case MULTIPLY:
        return form_multiply(arena, x, y);
    case DIVIDE:
        return form_divide(arena, x, y);
    case MIN:
        return form_min(arena, x, y);
    case MAX:
        return form_max(arena, x, y);
    case ABS:
        return form_abs(arena, x);
    case ROOT:
        return form_root(arena, x);
    case SCALE:
        return form_scale(arena, x, -2.5);
    case CUBE:
        return form_apply(arena, x, &cube_curve, DIMENSION_RATIO);
    case EXP:
        return form_apply(arena, x, &exp_curve, DIMENSION_RATIO);
    case OPERATION_COUNT:
        break;
    }
    return NULL;
}

struct twin {
    const struct form *form;
    double value[SAMPLES]; /* the same, in plain numbers, at each sample */
};

struct trial {
    uint64_t random;
    const struct deviation *of[VARIABLES];
    double drawn[VARIABLES][SAMPLES];
    struct twin pool[VARIABLES + STEPS];
    unsigned checked;
    unsigned seen[OPERATION_COUNT]; /* with a number */
};

/* Two-sided limits, limits that leave out the nominal, none, one-sided and missing. */
static struct deviation draw_deviation(uint64_t *random, int variable)
{
    static const char *const names[VARIABLES] = {"c", "a", "b", "g", "f", "e", "d"};
    struct deviation made = {.name = text_of(names[variable]),
                             .nominal = 8 * random_unit(random) - 3,
                             .low = -random_unit(random),
                             .high = random_unit(random)};
    switch (variable) {
    case 2:
        made.low = made.high / 2;
        break;
    case 3:
        made.high = made.low / 2;
        break;
    case 4:
        made.low = made.high = 0;
        break;
    case 5:
        made.low = 0;
        made.high = INFINITY;
        break;
    case 6:
        made.basis = BASIS_MISSING;
        made.nominal = NAN;
        made.low = -INFINITY;
        made.high = INFINITY;
        break;
    default:
        break;
    }
    return made;
}

static void draw_variables(struct trial *trial, struct room *room)
{
    for (int v = 0; v < VARIABLES; v++) {
        struct deviation *made = ARENA_NEW(room->arena, struct deviation);
        *made = draw_deviation(&trial->random, v);
        trial->of[v] = made;
        trial->pool[v].form = form_of(room->arena, made);
        const double low = fmax(made->low, -30);
        const double high = fmin(made->high, 30);
        const double nominal = isnan(made->nominal) ? 0 : made->nominal;
        for (int s = 0; s < SAMPLES; s++) {
            const int corner = random_below(&trial->random, 4);
            const double at = corner < 2 ? corner : random_unit(&trial->random);
            trial->drawn[v][s] = low + at * (high - low);
            trial->pool[v].value[s] = nominal + trial->drawn[v][s];
        }
    }
}

static bool encloses(const struct trial *trial, const struct form *form, int s,
                     double value)
{
    double linear = form->nominal;
    double size = 1 + fabs(value) + fabs(form->nominal);
    for (uint32_t t = 0; t < form->term_count; t++) {
        for (int v = 0; v < VARIABLES; v++) {
            if (form->terms[t].of == trial->of[v]) {
                linear += form->terms[t].by * trial->drawn[v][s];
                size += fabs(form->terms[t].by * trial->drawn[v][s]);
            }
        }
    }
    const double slack = 1e-9 * size; /* both sides round */
    return value >= form->least - slack && value <= form->greatest + slack &&
           value >= linear + form->remainder_low - slack &&
           value <= linear + form->remainder_high + slack;
}

static bool is_well_made(const struct form *form)
{
    bool is_well = !isnan(form->nominal) && !isnan(form->remainder_low) &&
                   !isnan(form->remainder_high) && form->least <= form->greatest &&
                   form->remainder_low <= form->remainder_high;
    for (uint32_t t = 0; t < form->term_count; t++) {
        is_well = is_well && form->terms[t].by != 0 && isfinite(form->terms[t].by) &&
                  (t == 0 || text_compare(form->terms[t - 1].of->name,
                                          form->terms[t].of->name) < 0);
    }
    for (uint32_t t = 1; t < form->absorbed_count; t++) {
        is_well = is_well &&
                  text_compare(form->absorbed[t - 1]->name, form->absorbed[t]->name) < 0;
    }
    return is_well;
}

/* A decision may never be contradicted by a sample. */
static bool is_fair(enum outcome outcome, double value)
{
    const double near = 1e-8 * (1 + fabs(value));
    return (outcome != OUTCOME_HOLDS || value >= -near) &&
           (outcome != OUTCOME_FAILS || value <= near);
}

static void try_step(struct trial *trial, struct room *room, int n)
{
    const int i = random_below(&trial->random, n);
    const int k = random_below(&trial->random, n);
    const enum operation operation =
        (enum operation)random_below(&trial->random, OPERATION_COUNT);
    const struct twin *a = &trial->pool[i];
    const struct twin *b = &trial->pool[k];
    struct twin made = {.form = formally(room->arena, operation, a->form, b->form)};
    cr_assert_not_null(made.form);
    cr_assert(is_well_made(made.form), "operation %d", operation);
    if (made.form->undefined != NULL) {
        cr_assert(operation == DIVIDE || operation == ROOT || operation == EXP,
                  "operation %d: %s", operation, made.form->undefined);
        trial->pool[n] = *a;
        return;
    }
    trial->seen[operation]++;
    const enum outcome outcome = form_outcome(made.form);
    for (int s = 0; s < SAMPLES; s++) {
        const double value = plainly(operation, a->value[s], b->value[s]);
        made.value[s] = value;
        cr_assert(encloses(trial, made.form, s, value),
                  "operation %d: %.17g outside [%.17g, %.17g]", operation, value,
                  made.form->least, made.form->greatest);
        cr_assert(is_fair(outcome, value), "%s, but %.17g", outcome_word(outcome), value);
        trial->checked++;
    }
    trial->pool[n] = made;
}

Test(form_property, a_form_encloses_every_value_it_stands_for)
{
    static struct trial trial = {.random = 20240229};
    for (int round = 0; round < ROUNDS; round++) {
        struct room room = room_open();
        draw_variables(&trial, &room);
        for (int n = VARIABLES; n < VARIABLES + STEPS; n++) {
            try_step(&trial, &room, n);
        }
        room_close(&room);
    }
    cr_expect_gt(trial.checked, 100000u, "only %u values were checked", trial.checked);
    for (int i = 0; i < OPERATION_COUNT; i++) {
        cr_expect_gt(trial.seen[i], 500u, "operation %d: %u", i, trial.seen[i]);
    }
}

/* The margin turns where form_turning says: from there it holds, a hair before it does
 * not; and the same for failing. */
Test(form_property, a_margin_turns_where_it_is_said_to)
{
    uint64_t random = 7;
    for (int round = 0; round < 500; round++) {
        struct room room = room_open();
        struct deviation of[3];
        const char *const names[] = {"a", "b", "c"};
        double by[3];
        for (int v = 0; v < 3; v++) {
            of[v] = *dimension(&room, names[v], (8 * random_unit(&random) - 4) * mm,
                               -random_unit(&random) * mm, random_unit(&random) * mm);
            by[v] = (random_unit(&random) < 0.5 ? -1 : 1) * (0.5 + random_unit(&random));
        }
        const struct form *margin = form_exact(room.arena, DIMENSION_LENGTH, 0);
        for (int v = 0; v < 3; v++) {
            margin = form_add(room.arena, margin,
                              form_scale(room.arena, form_of(room.arena, &of[v]), by[v]));
        }
        double turn[2] = {0, 0};
        const int which = round % 3;
        form_turning(margin, (uint32_t)which, &turn[0], &turn[1]);
        const double better = by[which] > 0 ? 1 : -1;
        for (int i = 0; i < 4; i++) {
            const double offset = (i % 2 == 0 ? 10 : -10) * better; /* nm */
            const double shift = turn[i / 2] + offset - of[which].nominal;
            const struct form *there =
                form_add(room.arena, margin,
                         form_exact(room.arena, DIMENSION_LENGTH, by[which] * shift));
            static const enum outcome due[] = {OUTCOME_HOLDS, OUTCOME_UNSURE,
                                               OUTCOME_UNSURE, OUTCOME_FAILS};
            cr_assert_eq(form_outcome(there), due[i], "round %d, %d: %s", round, i,
                         outcome_word(form_outcome(there)));
        }
        room_close(&room);
    }
}

/* ---- ends of several */

enum {
    SEVERAL = 6
};

static void try_end(struct trial *trial, struct room *room, int pool, double sign)
{
    const struct form *of[SEVERAL];
    const struct form *turned[SEVERAL];
    double value[SAMPLES];
    const int count = 1 + random_below(&trial->random, SEVERAL);
    for (int s = 0; s < SAMPLES; s++) {
        value[s] = -sign * INFINITY;
    }
    for (int i = 0; i < count; i++) {
        const struct twin *one = &trial->pool[random_below(&trial->random, pool)];
        of[i] = one->form;
        turned[count - 1 - i] = one->form;
        for (int s = 0; s < SAMPLES; s++) {
            value[s] = sign * fmax(sign * value[s], sign * one->value[s]);
        }
    }
    const struct form *end = sign > 0 ? form_max_of(room->arena, of, (uint32_t)count)
                                      : form_min_of(room->arena, of, (uint32_t)count);
    const struct form *again = sign > 0
                                   ? form_max_of(room->arena, turned, (uint32_t)count)
                                   : form_min_of(room->arena, turned, (uint32_t)count);
    cr_assert_not_null(end);
    cr_assert(is_well_made(end));
    cr_assert(value_equal(value_quantity(end), value_quantity(again)),
              "the order of %d forms shows", count);
    cr_assert_eq(end->remainder_low, again->remainder_low);
    cr_assert_eq(end->remainder_high, again->remainder_high);
    for (int s = 0; s < SAMPLES; s++) {
        cr_assert(encloses(trial, end, s, value[s]), "%.17g outside [%.17g, %.17g]",
                  value[s], end->least, end->greatest);
        trial->checked++;
    }
}

/* The greatest and the least of several enclose the same of every sample, and do not hang
 * on their order. */
Test(form_property, ends_of_several)
{
    static struct trial trial = {.random = 4};
    for (int round = 0; round < 1000; round++) {
        struct room room = room_open();
        draw_variables(&trial, &room);
        for (int n = VARIABLES; n < VARIABLES + STEPS; n++) {
            try_step(&trial, &room, n);
        }
        for (int i = 0; i < 4; i++) {
            try_end(&trial, &room, VARIABLES + STEPS, i % 2 == 0 ? 1 : -1);
        }
        room_close(&room);
    }
    cr_expect_gt(trial.checked, 100000u);
}
