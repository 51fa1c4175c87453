/* SPDX-License-Identifier: MIT */
/* Stack-ups with published results: worst case and root sum square. */
#include "lengths.h"

#include <criterion/criterion.h>

TestSuite(stack_up, .timeout = 20);

enum {
    LONGEST_STACK = 7
};

struct part {
    double sign;
    double least;
    double greatest;
};

struct stack {
    const char *source;
    double unit_mm;
    struct part parts[LONGEST_STACK];
    double least;
    double greatest;
    double
        root_sum_square; /* half the band: 3 sigma where sigma is a sixth of the band */
};

static const struct stack stacks[] = {
    {"Shigley's Mechanical Engineering Design, 9th ed., example 1-3; statistical "
     "tolerance "
     "of section 1-13",
     25.4,
     {{1, 1.747, 1.753}, {-1, 0.749, 0.751}, {-1, 0.115, 0.125}, {-1, 0.874, 0.876}},
     -0.005,
     0.015,
     0.006},
    {"K.W. Chase, Tolerance Allocation Methods for Designers, ADCATS: shaft and housing",
     25.4,
     {{-1, 0.049, 0.052},
      {1, 7.992, 8.008},
      {-1, 0.5068, 0.5118},
      {1, 0.398, 0.402},
      {-1, 7.705, 7.717},
      {1, 0.398, 0.402},
      {-1, 0.5068, 0.5118}},
     0.0199 - 0.0245,
     0.0199 + 0.0245,
     0.01108},
    {"6205 (ISO 492 Normal) between a shoulder and a ring of DIN 471",
     1,
     {{1, 16.3, 16.4}, {-1, 14.88, 15.0}, {-1, 1.14, 1.2}},
     0.1,
     0.38,
     0.0837},
    {"6206 (ISO 492 Normal) between a shoulder and a ring of DIN 472",
     1,
     {{1, 18.1, 18.2}, {-1, 15.88, 16.0}, {-1, 1.93, 2.0}},
     0.1,
     0.39,
     0.0856},
    {"two 6308 (ISO 492 Normal), spacer and spigot of ISO 2768-f in a housing",
     1,
     {{1, 79.95, 80.05},
      {-1, 22.88, 23.0},
      {-1, 22.88, 23.0},
      {-1, 29.9, 30.1},
      {-1, 3.95, 4.05}},
     -0.2,
     0.44,
     0.149},
    {"6210 (ISO 492 Normal), spacer, seal ring of ISO 2768-m on a shaft of ISO 2768-m",
     1,
     {{1, 59.7, 60.3}, {-1, 19.88, 20.0}, {-1, 24.95, 25.05}, {-1, 9.8, 10.2}},
     4.45,
     5.67,
     0.3689},
    {"ring of 2 mm in its groove of 2.15 H13 (DIN 471, DIN 472)",
     1,
     {{1, 2.15, 2.29}, {-1, 1.93, 2.0}},
     0.15,
     0.36,
     0.0783}};

static const struct form *sum_of(struct room *room, const struct stack *stack)
{
    const struct form *sum = form_exact(room->arena, DIMENSION_LENGTH, 0);
    for (int i = 0; i < LONGEST_STACK && stack->parts[i].sign != 0; i++) {
        const struct part *part = &stack->parts[i];
        const double middle = (part->least + part->greatest) / 2 * stack->unit_mm;
        const char *name = text_format(room->arena, "part-%d", i).at;
        const struct form *one =
            length(room, name, middle, part->least * stack->unit_mm - middle,
                   part->greatest * stack->unit_mm - middle);
        sum = form_add(room->arena, sum, form_scale(room->arena, one, part->sign));
    }
    return sum;
}

Test(stack_up, published_stacks_come_out)
{
    for (size_t i = 0; i < sizeof stacks / sizeof *stacks; i++) {
        struct room room = room_open();
        const struct stack *stack = &stacks[i];
        const struct form *gap = sum_of(&room, stack);
        const double unit = stack->unit_mm * mm;
        cr_expect_float_eq(gap->least / unit, stack->least, 1e-7, "%s: %f", stack->source,
                           gap->least / unit);
        cr_expect_float_eq(gap->greatest / unit, stack->greatest, 1e-7, "%s: %f",
                           stack->source, gap->greatest / unit);
        cr_expect_float_eq(3 * form_spread(gap) / unit, stack->root_sum_square, 6e-5,
                           "%s: %f", stack->source, 3 * form_spread(gap) / unit);
        room_close(&room);
    }
}

/* Shigley, 9th ed., example 1-3 part (b): which d leaves a gap of 0.003 in at least? */
Test(stack_up, turning_value_answers_the_design_question)
{
    struct room room = room_open();
    struct stack stack = stacks[0];
    const struct form *gap = sum_of(&room, &stack);
    const struct form *spare = form_subtract(
        room.arena, gap, form_exact(room.arena, DIMENSION_LENGTH, 0.003 * 25.4 * mm));
    double holds = 0;
    double fails = 0;
    form_turning(spare, 3, &holds, &fails);
    cr_expect_float_eq(holds / 25.4 / mm, 0.867, 1e-9, "d: %f", holds / 25.4 / mm);
    room_close(&room);
}
