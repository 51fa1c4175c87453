/* SPDX-License-Identifier: MIT */
#include "form.h"
#include "room.h"
#include "stated.h"
#include "value.h"

#include <criterion/criterion.h>
#include <math.h>

TestSuite(quantity, .timeout = 60);

static const double mm = 1e6;

static const struct deviation *dimension(struct room *room, const char *name,
                                         double nominal, double low, double high)
{
    struct deviation *made = ARENA_NEW(room->arena, struct deviation);
    *made = (struct deviation){.name = text_of(name),
                               .nominal = nominal,
                               .low = low,
                               .high = high,
                               .dim = DIMENSION_LENGTH};
    return made;
}

static const struct form *length(struct room *room, const char *name, double nominal_mm,
                                 double low_mm, double high_mm)
{
    return form_of(room->arena,
                   dimension(room, name, nominal_mm * mm, low_mm * mm, high_mm * mm));
}

static const struct form *missing(struct room *room, const char *name)
{
    struct deviation *made = ARENA_NEW(room->arena, struct deviation);
    *made = (struct deviation){.name = text_of(name),
                               .nominal = NAN,
                               .low = -INFINITY,
                               .high = INFINITY,
                               .basis = BASIS_MISSING,
                               .dim = DIMENSION_LENGTH};
    return form_of(room->arena, made);
}

/* International inch: 25.4 mm exactly (1959 agreement; ISO 80000-3). */
Test(quantity, units_are_exact)
{
    static const struct {
        const char *symbol;
        double written;
        double coherent;
    } rows[] = {{"mm", 18.05, 18050000}, {"um", 0.5, 500},   {"in", 0.591, 15011400},
                {"in", 0.00001, 254},    {"thou", 1, 25400}, {"ft", 1, 304800000},
                {"degC", 20, 293.15},    {"bar", 1, 1e-4},   {"MPa", 1, 1e-3},
                {"mph", 1, 447040000}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct unit unit;
        cr_assert(unit_find(text_of(rows[i].symbol), &unit));
        cr_expect_eq(unit_to_coherent(&unit, rows[i].written), rows[i].coherent, "%g %s",
                     rows[i].written, rows[i].symbol);
    }
}

Test(quantity, what_enters_twice_cancels)
{
    struct room room = room_open();
    const struct form *depth = missing(&room, "case.depth");
    const struct form *spacer = length(&room, "spacer.width", 15, -0.05, 0.05);
    const struct form *one = form_add(room.arena, depth, spacer);
    const struct form *gone = form_subtract(room.arena, one, depth);
    cr_expect_eq(gone->term_count, 1);
    cr_expect_eq(gone->least, 14.95 * mm);
    cr_expect_eq(gone->greatest, 15.05 * mm);
    cr_expect(!form_misses(gone), "the missing depth is gone, as in metal");
    cr_expect(form_misses(one));
    room_close(&room);
}

/* Two equal bearings of one number are two pieces: worst case adds, one sigma grows by
 * sqrt 2 (root sum square of equal terms; Machinery's Handbook 31st ed., statistical
 * tolerancing). */
Test(quantity, two_equal_bearings_spread_by_root_two_and_do_not_cancel)
{
    struct room room = room_open();
    const struct form *a = length(&room, "bearing-1.width", 18, -0.12, 0);
    const struct form *b = length(&room, "bearing-2.width", 18, -0.12, 0);
    const struct form *sum = form_add(room.arena, a, b);
    const struct form *gap = form_subtract(room.arena, a, b);
    cr_expect_float_eq(form_spread(a), 0.02 * mm, 1e-6);
    cr_expect_float_eq(form_spread(sum), sqrt(2.0) * 0.02 * mm, 1e-6);
    cr_expect_float_eq(form_spread(gap), sqrt(2.0) * 0.02 * mm, 1e-6);
    cr_expect_eq(gap->greatest, 0.12 * mm);
    room_close(&room);
}

Test(quantity, the_greater_of_a_missing_and_a_known_length_still_holds)
{
    struct room room = room_open();
    const struct form *five = form_exact(room.arena, DIMENSION_LENGTH, 5 * mm);
    const struct form *three = form_exact(room.arena, DIMENSION_LENGTH, 3 * mm);
    const struct form *most = form_max(room.arena, missing(&room, "x"), five);
    double nominal = 0;
    cr_expect_eq(form_outcome(form_subtract(room.arena, most, three)), OUTCOME_HOLDS);
    cr_expect(!form_nominal(most, &nominal), "which it is, nobody knows");
    cr_expect_eq(form_outcome(form_subtract(
                     room.arena, most, form_exact(room.arena, DIMENSION_LENGTH, 6 * mm))),
                 OUTCOME_UNKNOWN);
    room_close(&room);
}

Test(quantity, max_keeps_what_both_share)
{
    struct room room = room_open();
    const struct form *base = length(&room, "base", 100, -1, 1);
    const struct form *a = form_add(room.arena, base, length(&room, "a", 10, -0.1, 0.1));
    const struct form *b =
        form_add(room.arena, base, length(&room, "b", 9.85, -0.1, 0.1));
    const struct form *rest = form_subtract(room.arena, form_max(room.arena, a, b), base);
    cr_expect_float_eq(rest->least, 9.9 * mm, 2, "%f", rest->least);
    cr_expect_float_eq(rest->greatest, 10.15 * mm, 2, "base cancels: %f", rest->greatest);
    room_close(&room);
}

Test(quantity, bends_that_have_no_number_say_why)
{
    struct room room = room_open();
    const struct form *around_zero = length(&room, "x", 0.1, -0.2, 0.2);
    const struct form *over =
        form_divide(room.arena, form_exact(room.arena, DIMENSION_LENGTH, 1), around_zero);
    const struct form *area = form_multiply(room.arena, around_zero,
                                            form_exact(room.arena, DIMENSION_LENGTH, 1));
    cr_assert_not_null(over->undefined);
    cr_expect_eq(over->absorbed_count, 1, "it still names what it hangs on");
    cr_expect_not_null(form_root(room.arena, area)->undefined);
    cr_expect_eq(form_outcome(over), OUTCOME_UNKNOWN);
    room_close(&room);
}

Test(quantity, zero_holds_and_half_a_nanometre_is_zero)
{
    struct room room = room_open();
    static const struct {
        double least;
        double greatest;
        enum outcome outcome;
    } rows[] = {{0, 0, OUTCOME_HOLDS},
                {-0.4, 5, OUTCOME_HOLDS},
                {-0.6, 5, OUTCOME_UNSURE},
                {-5, -0.6, OUTCOME_FAILS},
                {-5, -0.4, OUTCOME_UNSURE}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const struct form *margin = form_of(
            room.arena, dimension(&room, "m", 0, rows[i].least, rows[i].greatest));
        cr_expect_eq(form_outcome(margin), rows[i].outcome, "row %zu", i);
    }
    room_close(&room);
}

Test(quantity, turning_values_are_where_the_margin_turns)
{
    struct room room = room_open();
    const struct form *margin =
        form_subtract(room.arena, length(&room, "land.to", 20, -0.1, 0.1),
                      length(&room, "seal.to", 21, -0.2, 0.2));
    double holds = 0;
    double fails = 0;
    form_turning(margin, 0, &holds, &fails);
    cr_expect_float_eq(holds / mm, 21.3, 1e-9, "the least land is 21.2 at 21.3 - 0.1");
    cr_expect_float_eq(fails / mm, 20.7, 1e-9);
    const struct form *unknown = form_subtract(room.arena, missing(&room, "land.to"),
                                               length(&room, "seal.to", 21, -0.2, 0.2));
    form_turning(unknown, 0, &holds, &fails);
    cr_expect_float_eq(holds / mm, 21.2, 1e-9);
    cr_expect_float_eq(fails / mm, 20.8, 1e-9);
    cr_expect_float_eq(form_share(margin, 0), 1.0 / 3.0, 1e-12);
    room_close(&room);
}

/* ---- the property that carries everything: a form encloses what it stands for */

enum {
    VARIABLES = 4,
    ROUNDS = 4000,
    SAMPLES = 25
};

static uint64_t random_state = 88172645463325252u;

static double random_unit(void)
{
    random_state ^= random_state << 13;
    random_state ^= random_state >> 7;
    random_state ^= random_state << 17;
    return (double)(random_state >> 11) / 9007199254740992.0;
}

struct twin {
    const struct form *form;
    double value[SAMPLES]; /* the same, in plain numbers, at each sample */
};

static struct twin combine(struct room *room, struct twin a, struct twin b, int operation)
{
    struct twin made = {0};
    for (int s = 0; s < SAMPLES; s++) {
        const double x = a.value[s];
        const double y = b.value[s];
        made.value[s] = operation == 0   ? x + y
                        : operation == 1 ? x - y
                        : operation == 2 ? x * y
                        : operation == 3 ? x / y
                        : operation == 4 ? fmin(x, y)
                        : operation == 5 ? fmax(x, y)
                        : operation == 6 ? fabs(x)
                                         : sqrt(x);
    }
    struct arena *arena = room->arena;
    made.form = operation == 0   ? form_add(arena, a.form, b.form)
                : operation == 1 ? form_subtract(arena, a.form, b.form)
                : operation == 2 ? form_multiply(arena, a.form, b.form)
                : operation == 3 ? form_divide(arena, a.form, b.form)
                : operation == 4 ? form_min(arena, a.form, b.form)
                : operation == 5 ? form_max(arena, a.form, b.form)
                : operation == 6 ? form_abs(arena, a.form)
                                 : form_root(arena, a.form);
    return made;
}

static void sample_variables(const struct deviation *const *of,
                             double drawn[VARIABLES][SAMPLES])
{
    for (int v = 0; v < VARIABLES; v++) {
        for (int s = 0; s < SAMPLES; s++) {
            const double at = s % 5 == 0 ? 0.0 : s % 5 == 1 ? 1.0 : random_unit();
            drawn[v][s] = of[v]->low + at * (of[v]->high - of[v]->low);
        }
    }
}

/* Whether the linear terms and the remainder, taken together, enclose the value too. */
static bool encloses(const struct form *form, const struct deviation *const *of,
                     double drawn[VARIABLES][SAMPLES], int s, double value)
{
    const double slack = 1e-9 * (1.0 + fabs(value));
    double linear = form->nominal;
    for (uint32_t t = 0; t < form->term_count; t++) {
        for (int v = 0; v < VARIABLES; v++) {
            if (form->terms[t].of == of[v]) {
                linear += form->terms[t].by * drawn[v][s];
            }
        }
    }
    return value >= form->least - slack && value <= form->greatest + slack &&
           value >= linear + form->remainder_low - slack &&
           value <= linear + form->remainder_high + slack;
}

Test(quantity, a_form_encloses_every_value_it_stands_for)
{
    static const char *const names[VARIABLES] = {"a", "b", "c", "d"};
    unsigned checked = 0;
    for (int round = 0; round < ROUNDS; round++) {
        struct room room = room_open();
        const struct deviation *of[VARIABLES];
        double drawn[VARIABLES][SAMPLES];
        struct twin pool[VARIABLES + 5] = {{0}};
        for (int v = 0; v < VARIABLES; v++) {
            struct deviation *made = ARENA_NEW(room.arena, struct deviation);
            *made = (struct deviation){.name = text_of(names[v]),
                                       .nominal = 8 * random_unit() - 3,
                                       .low = -random_unit(),
                                       .high = random_unit()};
            of[v] = made;
        }
        sample_variables(of, drawn);
        for (int v = 0; v < VARIABLES; v++) {
            pool[v].form = form_of(room.arena, of[v]);
            for (int s = 0; s < SAMPLES; s++) {
                pool[v].value[s] = of[v]->nominal + drawn[v][s];
            }
        }
        for (int n = VARIABLES; n < VARIABLES + 5; n++) {
            const struct twin a = pool[(int)(random_unit() * n)];
            const struct twin b = pool[(int)(random_unit() * n)];
            const struct twin made = combine(&room, a, b, (int)(random_unit() * 8));
            pool[n] = made.form->undefined != NULL ? a : made;
            for (int s = 0; made.form->undefined == NULL && s < SAMPLES; s++) {
                cr_assert(encloses(made.form, of, drawn, s, made.value[s]),
                          "round %d: %.17g outside [%.17g, %.17g]", round, made.value[s],
                          made.form->least, made.form->greatest);
                checked++;
            }
        }
        room_close(&room);
    }
    cr_expect_gt(checked, 100000, "only %u values were checked", checked);
}

/* ---- stack-ups from textbooks */

struct stack_term {
    double sign;
    double least;
    double greatest;
};

static const struct form *stack(struct room *room, const struct stack_term *terms,
                                size_t count)
{
    const struct form *sum = form_exact(room->arena, DIMENSION_LENGTH, 0);
    for (size_t i = 0; i < count; i++) {
        const double middle = (terms[i].least + terms[i].greatest) / 2;
        const char *name = text_format(room->arena, "term-%zu", i).at;
        const struct form *one = length(room, name, middle, terms[i].least - middle,
                                        terms[i].greatest - middle);
        sum = form_add(room->arena, sum, form_scale(room->arena, one, terms[i].sign));
    }
    return sum;
}

/* Bearing between a cover and a retaining ring, ISO 492 Normal width and ISO 2768-1
 * classes f and m, worked by hand: 60 m, -(bearing 18 -0.12), -(spacer 30 f), -(seal ring
 * 10 m). */
Test(quantity, axial_stack_of_standard_parts)
{
    static const struct stack_term terms[] = {
        {1, 59.7, 60.3}, {-1, 17.88, 18.0}, {-1, 29.9, 30.1}, {-1, 9.8, 10.2}};
    struct room room = room_open();
    const struct form *gap = stack(&room, terms, 4);
    cr_expect_float_eq(gap->least / mm, 59.7 - 18.0 - 30.1 - 10.2, 1e-9);
    cr_expect_float_eq(gap->greatest / mm, 60.3 - 17.88 - 29.9 - 9.8, 1e-9);
    const double rss = sqrt(0.6 * 0.6 + 0.12 * 0.12 + 0.2 * 0.2 + 0.4 * 0.4) /
                       6; /* widths over six sigma */
    cr_expect_float_eq(form_spread(gap) / mm, rss, 1e-9);
    room_close(&room);
}
