/* SPDX-License-Identifier: MIT */
#include "lengths.h"
#include "limits.h"
#include "value.h"

#include <criterion/criterion.h>
#include <math.h>

TestSuite(quantity, .timeout = 60);

/* International inch: 25.4 mm exactly (1959 agreement; ISO 80000-3). */
Test(quantity, units_are_exact)
{
    static const struct {
        const char *symbol;
        double written;
        double coherent;
    } rows[] = {{"mm", 18.05, 18050000},
                {"um", 0.5, 500},
                {"in", 0.591, 15011400},
                {"in", 0.00001, 254},
                {"thou", 1, 25400},
                {"ft", 1, 304800000},
                {"degC", 20, 293.15},
                {"bar", 1, 1e-4},
                {"MPa", 1, 1e-3},
                {"mph", 1, 447040000},
                {"mm", 0.0005, 500},
                {"cm", 2.54, 25400000},
                {"in", 1.00001, 25400254},
                {"kN", 2.5, 2.5e12},
                {"Nm", 0.3, 3e17},
                {"%", 5, 0.05},
                {"cm3", 1, 1e21},
                {"l", 1, 1e24},
                {"kPa", 1, 1e-6},
                {"km/h", 3.6, 1e9},
                {"HRC", 58, 58}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct unit unit;
        cr_assert(unit_find(text_of(rows[i].symbol), &unit));
        cr_expect_eq(unit_to_coherent(&unit, rows[i].written), rows[i].coherent, "%g %s",
                     rows[i].written, rows[i].symbol);
    }
}

/* Every half micrometre up to a metre, and every 0.00001 in up to 10 in, is a whole
 * number of nanometres as read. */
Test(quantity, half_micrometres_and_hundred_thousandths_of_an_inch_are_whole)
{
    static const struct {
        const char *symbol;
        double parts; /* of one unit */
        double step;  /* nm */
        int count;
    } rows[] = {{"mm", 2000, 500, 2000000}, {"in", 100000, 254, 1000000}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct unit unit;
        int wrong = 0;
        cr_assert(unit_find(text_of(rows[i].symbol), &unit));
        for (int n = 0; n <= rows[i].count; n++) {
            wrong += unit_to_coherent(&unit, n / rows[i].parts) != n * rows[i].step;
        }
        cr_expect_eq(wrong, 0, "%d of %s", wrong, rows[i].symbol);
    }
}

Test(quantity, a_dimension_never_wraps_round)
{
    struct dimension power = DIMENSION_LENGTH;
    for (int i = 0; i < 300; i++) {
        power = dimension_product(power, DIMENSION_LENGTH);
    }
    cr_expect_eq(power.power[BASE_LENGTH], INT8_MAX);
    cr_expect(dimension_find(TEXT("torque"), &power));
    cr_expect(!dimension_find(TEXT("torques"), &power));
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

/* Which of two is kept must not hang on the order in which somebody wrote them. */
Test(quantity, max_and_min_do_not_see_the_order_of_their_arguments)
{
    struct room room = room_open();
    const struct form *x = length(&room, "x", 5, -1, 1);
    const struct form *pairs[][2] = {
        {form_add(room.arena, x, length(&room, "y", 1, -1, 1)),
         form_add(room.arena, x, length(&room, "z", 1, -1, 1))},
        {x, form_exact(room.arena, DIMENSION_LENGTH, 5 * mm)},
        {length(&room, "y", 5, -2, 1), x},
        {missing(&room, "m"), missing(&room, "n")},
        {missing(&room, "m"), x}};
    for (size_t i = 0; i < sizeof pairs / sizeof *pairs; i++) {
        for (int is_max = 0; is_max < 2; is_max++) {
            const struct form *(*pick)(struct arena *, const struct form *,
                                       const struct form *) =
                is_max ? form_max : form_min;
            const struct form *one = pick(room.arena, pairs[i][0], pairs[i][1]);
            const struct form *two = pick(room.arena, pairs[i][1], pairs[i][0]);
            cr_expect(value_equal(value_quantity(one), value_quantity(two)), "row %zu",
                      i);
            cr_expect_eq(one->remainder_low, two->remainder_low, "row %zu", i);
            cr_expect_eq(one->remainder_high, two->remainder_high, "row %zu", i);
        }
    }
    room_close(&room);
}

/* sqrt(x x + y y) where x may be on either side of zero: no square is negative. */
Test(quantity, a_square_is_never_negative)
{
    struct room room = room_open();
    const struct form *x = length(&room, "x", 0, -0.1, 0.2);
    const struct form *x_again = length(&room, "x", 0, -0.1, 0.2);
    const struct form *y = length(&room, "y", 3, -0.1, 0.1);
    const struct form *other = length(&room, "other", 0, -0.1, 0.2);
    const struct form *apart =
        form_root(room.arena, form_add(room.arena, form_multiply(room.arena, x, x_again),
                                       form_multiply(room.arena, y, y)));
    cr_assert_null(apart->undefined);
    cr_expect_float_eq(apart->least / mm, 2.9, 1e-9);
    cr_expect_float_eq(apart->greatest / mm, sqrt(3.1 * 3.1 + 0.2 * 0.2), 1e-9);
    cr_expect_lt(form_multiply(room.arena, x, other)->least, 0,
                 "two dimensions with equal limits are two dimensions");
    room_close(&room);
}

Test(quantity, a_number_that_is_not_there_still_names_what_is_missing)
{
    struct room room = room_open();
    struct arena *arena = room.arena;
    const struct form *gone = missing(&room, "shaft.land.from");
    const struct form *five = form_exact(arena, DIMENSION_LENGTH, 5 * mm);
    const struct form *over = form_divide(arena, five, gone);
    const struct form *rows[] = {form_least(arena, gone),
                                 form_greatest(arena, gone),
                                 form_nominal_only(arena, gone),
                                 over,
                                 form_add(arena, over, over),
                                 form_scale(arena, over, 0.0),
                                 form_multiply(arena, over, five),
                                 form_max(arena, over, over),
                                 form_abs(arena, over),
                                 form_root(arena, gone)};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const struct doubt doubt = value_doubt(arena, value_quantity(rows[i]));
        cr_expect_not_null(rows[i]->undefined, "row %zu", i);
        cr_expect_eq(form_outcome(rows[i]), OUTCOME_UNKNOWN, "row %zu", i);
        cr_expect(doubt.count == 1 && text_is(doubt.of[0]->name, "shaft.land.from"),
                  "row %zu names %u", i, doubt.count);
    }
    room_close(&room);
}

Test(quantity, without_a_number_nothing_is_decided)
{
    struct room room = room_open();
    struct arena *arena = room.arena;
    const struct form *five = form_exact(arena, DIMENSION_LENGTH, 5 * mm);
    const struct form *none = form_undefined(arena, DIMENSION_LENGTH, "no reason");
    cr_expect_eq(form_outcome(form_max(arena, none, five)), OUTCOME_UNKNOWN);
    cr_expect_eq(form_outcome(form_min(arena, five, none)), OUTCOME_UNKNOWN);
    cr_expect_str_eq(form_subtract(arena, five, none)->undefined, "no reason");
    cr_expect_null(form_add(arena, NULL, five), "a failed arena is passed on");
    room_close(&room);
}

Test(quantity, what_a_double_cannot_hold_is_no_number)
{
    struct room room = room_open();
    struct arena *arena = room.arena;
    const struct form *huge = form_exact(arena, DIMENSION_RATIO, 1e300);
    const struct form *wide =
        form_of(arena, dimension(&room, "wide", 1e308, -1e308, 1e308));
    const struct form *rows[] = {
        form_exact(arena, DIMENSION_RATIO, INFINITY), form_multiply(arena, huge, huge),
        form_scale(arena, wide, 1e10), form_add(arena, wide, wide)};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        cr_expect_not_null(rows[i]->undefined, "row %zu", i);
        cr_expect(!isnan(rows[i]->least) && !isnan(rows[i]->greatest), "row %zu", i);
    }
    room_close(&room);
}

Test(quantity, a_sum_may_have_so_many_dimensions_and_no_more)
{
    struct room room = room_open();
    const struct form *sum = form_exact(room.arena, DIMENSION_LENGTH, 0);
    for (unsigned i = 0; i < LIMIT_FORM_TERMS; i++) {
        const char *name = text_format(room.arena, "d%04u", i).at;
        sum = form_add(room.arena, sum, length(&room, name, 1, 0, 0.001));
    }
    cr_expect_null(sum->undefined);
    cr_expect_eq(sum->greatest, LIMIT_FORM_TERMS * 1001000.0);
    const struct form *more = form_add(room.arena, sum, length(&room, "e", 1, 0, 0));
    cr_assert_not_null(more->undefined);
    const struct form *asks = form_add(room.arena, more, missing(&room, "f"));
    const struct doubt doubt = value_doubt(room.arena, value_quantity(asks));
    cr_expect(doubt.count == 1 && text_is(doubt.of[0]->name, "f"),
              "what is missing is still asked for");
    room_close(&room);
}

Test(quantity, chance_needs_five_made_dimensions_and_none_that_rules_the_rest)
{
    struct room room = room_open();
    const struct form *sum = form_exact(room.arena, DIMENSION_LENGTH, -4.9 * mm);
    for (int i = 0; i < 5; i++) {
        cr_expect(isnan(form_chance(sum)), "with %d dimensions", i);
        const char *name = text_format(room.arena, "part-%d", i).at;
        sum = form_add(room.arena, sum, length(&room, name, 1, -0.06, 0.06));
    }
    /* The mean is 0.1 mm and sigma sqrt(5) * 0.02 mm: Phi(2.2360680) = 0.98733 by the
     * table of the normal distribution. */
    cr_expect_float_eq(form_chance(sum), 0.98733, 1e-5, "%f", form_chance(sum));
    const struct form *ruled =
        form_add(room.arena, sum, length(&room, "rough", 0, -0.5, 0.5));
    cr_expect(isnan(form_chance(ruled)));
    room_close(&room);
}

Test(quantity, each_basis_has_its_spread)
{
    static const struct {
        enum deviation_basis basis;
        enum deviation_kind kind;
        double sigma; /* of limits ±0.3 */
    } rows[] = {{BASIS_LIMITS, DEVIATION_MADE, 0.1},
                {BASIS_ASSUMED, DEVIATION_MADE, 0.6 / 3.4641016151377544},
                {BASIS_RESOLUTION, DEVIATION_READ, 0.6 / 3.4641016151377544},
                {BASIS_GAUGE, DEVIATION_READ, 0.15}, /* U/2, k = 2 (JCGM 100:2008, 6.2) */
                {BASIS_LIMITS, DEVIATION_MOVES, 0},
                {BASIS_LIMITS, DEVIATION_SET, 0}};
    struct room room = room_open();
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct deviation of = *dimension(&room, "d", 0, -0.3, 0.3);
        of.basis = rows[i].basis;
        of.kind = rows[i].kind;
        const struct form *twice = form_scale(room.arena, form_of(room.arena, &of), -2);
        cr_expect_float_eq(form_spread(twice), 2 * rows[i].sigma, 1e-12, "row %zu", i);
        cr_expect_float_eq(form_play(twice), of.kind == DEVIATION_MOVES ? 1.2 : 0, 1e-12,
                           "row %zu", i);
    }
    cr_expect(isinf(form_spread(missing(&room, "m"))));
    room_close(&room);
}

Test(quantity, truth_has_four_values)
{
    for (int a = TRUTH_NO; a <= TRUTH_UNKNOWN; a++) {
        for (int b = TRUTH_NO; b <= TRUTH_UNKNOWN; b++) {
            /* The worst of both, no beats all. */
            const int worst = a == TRUTH_NO || b == TRUTH_NO ? TRUTH_NO : a > b ? a : b;
            cr_expect_eq((int)truth_and((enum truth)a, (enum truth)b), worst);
            const int best = a == TRUTH_YES || b == TRUTH_YES ? TRUTH_YES : a > b ? a : b;
            cr_expect_eq((int)truth_or((enum truth)a, (enum truth)b), best);
        }
    }
    cr_expect_eq(truth_not(TRUTH_UNSURE), TRUTH_UNSURE);
    cr_expect_eq(truth_not(TRUTH_NO), TRUTH_YES);
}

Test(quantity, doubts_are_sorted_and_name_the_missing_first)
{
    struct room room = room_open();
    struct arena *arena = room.arena;
    const struct form *b = length(&room, "b", 1, -1, 1);
    const struct form *a = length(&room, "a", 1, -1, 1);
    const struct form *both = form_add(arena, b, a);
    const struct doubt varying = value_doubt(arena, value_quantity(both));
    cr_assert_eq(varying.count, 2);
    cr_expect(text_is(varying.of[0]->name, "a") && text_is(varying.of[1]->name, "b"));
    cr_expect(!doubt_misses(varying));
    const struct form *gone = form_add(arena, both, missing(&room, "m"));
    const struct doubt missed = value_doubt(arena, value_quantity(gone));
    cr_assert_eq(missed.count, 1);
    cr_expect(doubt_misses(missed));
    cr_expect_eq(doubt_join(arena, doubt_join(arena, missed, varying), missed).count, 3);
    room_close(&room);
}

Test(quantity, values_are_equal_on_the_grid)
{
    struct room room = room_open();
    struct arena *arena = room.arena;
    const struct value one = value_quantity(length(&room, "w", 18, -0.1, 0));
    const struct value near = value_quantity(
        form_add(arena, one.quantity, form_exact(arena, DIMENSION_LENGTH, 0.5)));
    const struct value far = value_quantity(
        form_add(arena, one.quantity, form_exact(arena, DIMENSION_LENGTH, 5)));
    const struct value other = value_quantity(length(&room, "v", 18, -0.1, 0));
    cr_expect(value_equal(one, near));
    cr_expect(!value_equal(one, far));
    cr_expect(!value_equal(one, other), "another dimension with equal limits");
    cr_expect(value_equal(value_count(3), value_count(3)));
    cr_expect(!value_equal(value_count(3), value_word(3)));
    room_close(&room);
}
