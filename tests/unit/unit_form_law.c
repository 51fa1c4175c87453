/* SPDX-License-Identifier: MIT */
/*
 * Laws of several quantities: a form encloses what the law gives anywhere in the box,
 * the linear part follows the slopes, and what two laws share cancels to first order.
 */
#include "lengths.h"

#include <criterion/criterion.h>
#include <math.h>

TestSuite(form_law, .timeout = 60);

/* A beam's stiffness: force, length, thickness in numbers that mean nothing. */
static double beam(const double *x)
{
    return x[0] * x[1] * x[1] / (x[2] * x[2] * x[2]);
}

/* Lamé's ratio of a ring, (k² + 1) / (k² - 1) with k = outside / bore. */
static double ring(const double *x)
{
    const double k = x[0] / x[1];
    return k > 1.0 && x[1] > 0.0 ? (k * k + 1.0) / (k * k - 1.0) : NAN;
}

static const struct form_law beam_law = {3, beam, "no beam"};
static const struct form_law ring_law = {2, ring, "the ring has no wall"};

static double random_unit(uint64_t *state)
{
    *state = *state * 6364136223846793005u + 1442695040888963407u;
    return (double)(*state >> 11) / 9007199254740992.0;
}

/* The slope of a form along a dimension. */
static double slope_along(const struct form *made, const struct form *of)
{
    for (uint32_t i = 0; i < made->term_count; i++) {
        if (made->terms[i].of == of->terms[0].of) {
            return made->terms[i].by;
        }
    }
    return 0.0;
}

/* Draws `count` lengths of 1 to 10 mm with up to a tenth either way. */
static void draw(struct room *room, uint64_t *state, uint32_t count,
                 const struct form **of)
{
    static const char *const names[] = {"a", "b", "c"};
    for (uint32_t i = 0; i < count; i++) {
        const double nominal = 1.0 + 9.0 * random_unit(state);
        const double low = -0.1 * nominal * random_unit(state);
        const double high = 0.1 * nominal * random_unit(state);
        of[i] = length(room, names[i], nominal, low, high);
    }
}

Test(form_law, encloses_the_law_anywhere_in_the_box)
{
    uint64_t state = 7;
    for (int round = 0; round < 500; round++) {
        struct room room = room_open();
        const struct form *of[3];
        draw(&room, &state, 3, of);
        const struct form *made = form_by_law(room.arena, &beam_law, of, DIMENSION_RATIO);
        cr_assert_not_null(made);
        for (int sample = 0; sample < 40; sample++) {
            double x[3];
            double line = made->nominal;
            for (uint32_t i = 0; i < 3; i++) {
                const double away =
                    of[i]->least - of[i]->nominal +
                    random_unit(&state) * (of[i]->greatest - of[i]->least);
                x[i] = of[i]->nominal + away;
                line += slope_along(made, of[i]) * away;
            }
            const double value = beam(x);
            const double hair = 1e-9 * fabs(value);
            cr_assert(value >= made->least - hair && value <= made->greatest + hair);
            cr_assert(value >= line + made->remainder_low - hair &&
                      value <= line + made->remainder_high + hair);
        }
        room_close(&room);
    }
}

/* d/dx of x y² / z³ at 4, 3, 2: y²/z³, 2xy/z³, -3xy²/z⁴. */
Test(form_law, is_linear_by_its_slopes)
{
    struct room room = room_open();
    const struct form *of[3] = {length(&room, "x", 4.0, -0.01, 0.01),
                                length(&room, "y", 3.0, -0.01, 0.01),
                                length(&room, "z", 2.0, -0.01, 0.01)};
    const struct form *made = form_by_law(room.arena, &beam_law, of, DIMENSION_RATIO);
    cr_expect_float_eq(made->nominal, 4.5, 1e-12);
    cr_expect_float_eq(slope_along(made, of[0]) * mm, 9.0 / 8.0, 1e-7);
    cr_expect_float_eq(slope_along(made, of[1]) * mm, 24.0 / 8.0, 1e-7);
    cr_expect_float_eq(slope_along(made, of[2]) * mm, -108.0 / 16.0, 1e-7);
    cr_expect_lt(made->remainder_high - made->remainder_low, 0.01,
                 "of second order only, and the linear part is 0.22 wide");
    room_close(&room);
}

Test(form_law, what_is_shared_cancels_to_first_order)
{
    struct room room = room_open();
    const struct form *shared = length(&room, "shared", 30.0, -0.1, 0.1);
    const struct form *one[2] = {shared, length(&room, "one", 20.0, 0.0, 0.0)};
    const struct form *other[2] = {shared, length(&room, "other", 20.1, 0.0, 0.0)};
    const struct form *difference = form_subtract(
        room.arena, form_by_law(room.arena, &ring_law, one, DIMENSION_RATIO),
        form_by_law(room.arena, &ring_law, other, DIMENSION_RATIO));
    cr_expect_lt(difference->greatest, 0.0,
                 "the thinner ring's ratio is surely the greater one");
    room_close(&room);
}

Test(form_law, says_where_it_does_not_hold_and_keeps_what_is_missing)
{
    struct room room = room_open();
    const struct form *thin[2] = {length(&room, "outside", 10.0, -0.2, 0.2),
                                  length(&room, "bore", 9.9, -0.2, 0.2)};
    const struct form *none = form_by_law(room.arena, &ring_law, thin, DIMENSION_RATIO);
    cr_assert_not_null(none->undefined);
    cr_expect_str_eq(none->undefined, "the ring has no wall");
    const struct form *unsaid[2] = {missing(&room, "unsaid"), thin[1]};
    const struct form *open = form_by_law(room.arena, &ring_law, unsaid, DIMENSION_RATIO);
    cr_expect(open->undefined == NULL && form_misses(open));
    cr_expect_eq(form_outcome(open), OUTCOME_UNKNOWN);
    const struct form *wide[2] = {length(&room, "at least 40", 40.0, 0.0, INFINITY),
                                  length(&room, "bore 20", 20.0, 0.0, 0.0)};
    const struct form *least = form_by_law(room.arena, &ring_law, wide, DIMENSION_RATIO);
    const struct form *at[2] = {length(&room, "40", 40.0, 0.0, 0.0), wide[1]};
    cr_expect_float_eq(least->nominal,
                       form_by_law(room.arena, &ring_law, at, DIMENSION_RATIO)->nominal,
                       1e-12, "an end that is stated is a nominal");
    room_close(&room);
}
