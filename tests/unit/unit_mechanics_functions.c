/* SPDX-License-Identifier: MIT */
#include "mechanics_functions.h"
#include "room.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

TestSuite(mechanics_functions, .timeout = 20);

static const struct function_entry *find(const char *name)
{
    uint32_t subjects = 0;
    const struct function_table *const *tables = mechanics_functions(&subjects);
    for (uint32_t s = 0; s < subjects; s++) {
        for (uint32_t i = 0; i < tables[s]->count; i++) {
            if (strcmp(tables[s]->entries[i]->name, name) == 0) {
                return tables[s]->entries[i];
            }
        }
    }
    return NULL;
}

/* A quantity as written in `symbol`, `plus_minus` of it either way. */
static struct value quantity(struct room *room, const char *name, double written,
                             double plus_minus, const char *symbol)
{
    struct unit unit;
    struct deviation *of = ARENA_NEW(room->arena, struct deviation);
    cr_assert(unit_find(text_of(symbol), &unit), "%s", symbol);
    *of = (struct deviation){.name = text_of(name),
                             .nominal = unit_to_coherent(&unit, written),
                             .low = -plus_minus * unit.scale,
                             .high = plus_minus * unit.scale,
                             .dim = unit.dim};
    return value_quantity(form_of(room->arena, of));
}

static const struct form *call(struct room *room, const char *name,
                               const struct value *arguments)
{
    const struct function_entry *entry = find(name);
    cr_assert_not_null(entry, "%s", name);
    struct function_call made = {
        .entry = entry, .arguments = arguments, .arena = room->arena};
    cr_assert(entry->run(&made), "%s", name);
    cr_assert_eq(made.result.kind, VALUE_QUANTITY);
    struct dimension wanted;
    cr_assert(dimension_find(text_of(entry->result.dimension), &wanted));
    cr_expect(dimension_equal(made.result.quantity->dim, wanted), "%s", name);
    return made.result.quantity;
}

static void expect_sound(const struct function_table *table, uint32_t i)
{
    const struct function_entry *entry = table->entries[i];
    cr_expect(i == 0 || strcmp(table->entries[i - 1]->name, entry->name) < 0, "%s",
              entry->name);
    cr_expect(strlen(entry->source) > 0 && strlen(entry->range) > 0 &&
                  strlen(entry->help) > 0,
              "%s", entry->name);
    for (uint32_t k = 0; k < entry->argument_count; k++) {
        struct dimension dim;
        const char *word = entry->arguments[k].dimension;
        cr_expect(entry->arguments[k].kind == ARGUMENT_WORD || strcmp(word, "any") == 0 ||
                      (k > 0 && strcmp(word, "same") == 0) ||
                      dimension_find(text_of(word), &dim),
                  "%s of %s", entry->arguments[k].name, entry->name);
    }
}

Test(mechanics_functions, are_sorted_and_say_where_they_come_from_and_hold)
{
    uint32_t subjects = 0;
    const struct function_table *const *tables = mechanics_functions(&subjects);
    cr_assert_gt(subjects, 0);
    for (uint32_t s = 0; s < subjects; s++) {
        for (uint32_t i = 0; i < tables[s]->count; i++) {
            expect_sound(tables[s], i);
        }
    }
}

/* A section of 2.62 ±0.08 mm in a gland 2 ±0.05 mm deep: 1 - 2/2.62; at worst
 * 1 - 2.05/2.54 and 1 - 1.95/2.7, since a thick section is pressed more, never less. */
Test(mechanics_functions, squeeze_is_no_wider_than_it_can_be)
{
    struct room room = room_open();
    const struct value arguments[] = {quantity(&room, "section", 2.62, 0.08, "mm"),
                                      quantity(&room, "depth", 2.0, 0.05, "mm")};
    const struct form *squeeze = call(&room, "ring_squeeze", arguments);
    cr_expect_float_eq(squeeze->nominal, 1 - 2.0 / 2.62, 1e-12);
    cr_expect_float_eq(squeeze->least, 1 - 2.05 / 2.54, 1e-12, "%.17g", squeeze->least);
    cr_expect_float_eq(squeeze->greatest, 1 - 1.95 / 2.7, 1e-12, "%.17g",
                       squeeze->greatest);
    room_close(&room);
}

/* A ring of 37.82 ±0.33 mm on a groove of 40 ±0.05 mm. */
Test(mechanics_functions, stretch_is_no_wider_than_it_can_be)
{
    struct room room = room_open();
    const struct value arguments[] = {quantity(&room, "groove", 40, 0.05, "mm"),
                                      quantity(&room, "inside", 37.82, 0.33, "mm")};
    const struct form *stretch = call(&room, "ring_stretch", arguments);
    cr_expect_float_eq(stretch->nominal, 40 / 37.82 - 1, 1e-12);
    cr_expect_float_eq(stretch->least, 39.95 / 38.15 - 1, 1e-12, "%.17g", stretch->least);
    cr_expect_float_eq(stretch->greatest, 40.05 / 37.49 - 1, 1e-12, "%.17g",
                       stretch->greatest);
    room_close(&room);
}

Test(mechanics_functions, a_ring_of_no_section_has_no_squeeze)
{
    struct room room = room_open();
    const struct value arguments[] = {quantity(&room, "section", 0, 0.1, "mm"),
                                      quantity(&room, "depth", 2, 0, "mm")};
    cr_expect_not_null(call(&room, "ring_squeeze", arguments)->undefined);
    room_close(&room);
}

/* v = pi d n: 50 mm at 3000 rpm is 7.854 m/s. */
Test(mechanics_functions, surface_speed_is_pi_d_n)
{
    struct room room = room_open();
    struct unit speed;
    const struct value arguments[] = {quantity(&room, "shaft", 50, 0, "mm"),
                                      quantity(&room, "speed", 3000, 0, "rpm")};
    cr_assert(unit_find(TEXT("m/s"), &speed));
    const struct form *made = call(&room, "surface_speed", arguments);
    cr_expect_float_eq(made->nominal / speed.scale, 7.853981634, 1e-9, "%.17g",
                       made->nominal / speed.scale);
    room_close(&room);
}

/* 100 mm of aluminium (23 um/m/K) over 60 K: 0.138 mm; cooled, it shrinks as much. */
Test(mechanics_functions, thermal_growth_follows_the_temperature)
{
    static const double differences[] = {60, -60};
    for (size_t i = 0; i < 2; i++) {
        struct room room = room_open();
        const struct value arguments[] = {
            quantity(&room, "length", 100, 0, "mm"),
            quantity(&room, "expansion", 23, 0, "um/m/K"),
            quantity(&room, "temperature", differences[i], 0, "K")};
        const struct form *growth = call(&room, "thermal_growth", arguments);
        cr_expect_float_eq(growth->nominal, differences[i] * 2300, 1e-6, "%.17g nm",
                           growth->nominal);
        room_close(&room);
    }
}

/* Geometry: the nearer way round, and never more than half a turn. */
Test(mechanics_functions, clock_apart_goes_the_nearer_way_round)
{
    static const struct {
        double one, other, plus_minus, apart, least, greatest;
    } rows[] = {{350, 10, 0, 20, 20, 20},     {10, 350, 0, 20, 20, 20},
                {100, 290, 5, 170, 160, 180}, {0, 180, 1, 180, 178, 180},
                {45, 45, 2, 0, 0, 4},         {-15, 705, 0, 0, 0, 0},
                {90, -90, 0, 180, 180, 180},  {720, 1, 0, 1, 1, 1}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct room room = room_open();
        const struct value arguments[] = {
            quantity(&room, "one", rows[i].one, rows[i].plus_minus, "deg"),
            quantity(&room, "other", rows[i].other, rows[i].plus_minus, "deg")};
        struct unit degree;
        cr_assert(unit_find(TEXT("deg"), &degree));
        const struct form *apart = call(&room, "clock_apart", arguments);
        cr_expect_float_eq(apart->nominal / degree.scale, rows[i].apart, 1e-9, "%zu", i);
        cr_expect_float_eq(apart->least / degree.scale, rows[i].least, 1e-9, "%zu: %g", i,
                           apart->least / degree.scale);
        cr_expect_float_eq(apart->greatest / degree.scale, rows[i].greatest, 1e-9,
                           "%zu: %g", i, apart->greatest / degree.scale);
        room_close(&room);
    }
}

/* Lamé, as it is printed. */
static double lame(const double *x)
{
    const double hub = (x[2] * x[2] + x[1] * x[1]) / (x[2] * x[2] - x[1] * x[1]);
    const double shaft = (x[1] * x[1] + x[5] * x[5]) / (x[1] * x[1] - x[5] * x[5]);
    return x[0] / (x[1] * ((hub + x[4]) / x[3] + (shaft - x[7]) / x[6]));
}

/* A press of 30 um on 30 mm, hub 50 mm, shaft bored to 15 mm: anywhere in the limits of
 * all eight the pressure is within the range of the form, and the range is not much
 * wider than it need be. */
Test(mechanics_functions, pressure_encloses_a_press_anywhere_in_its_limits)
{
    static const double nominals[] = {0.03, 30, 50, 207, 0.3, 15, 100, 0.25};
    static const double plus_minus[] = {0.008, 0.01, 0.2, 5, 0.01, 0.1, 10, 0.02};
    static const char *const units[] = {"mm", "mm", "mm", "GPa", "1", "mm", "GPa", "1"};
    static const char *const names[] = {"a", "b", "c", "d", "e", "f", "g", "h"};
    struct room room = room_open();
    struct value arguments[8];
    double least = INFINITY;
    double greatest = -INFINITY;
    for (size_t i = 0; i < 8; i++) {
        arguments[i] = quantity(&room, names[i], nominals[i], plus_minus[i], units[i]);
    }
    const struct form *pressure = call(&room, "press_pressure", arguments);
    for (uint32_t corner = 0; corner < 256; corner++) {
        double x[8];
        for (size_t i = 0; i < 8; i++) {
            x[i] =
                nominals[i] + ((corner >> i & 1u) != 0 ? plus_minus[i] : -plus_minus[i]);
        }
        least = fmin(least, lame(x));
        greatest = fmax(greatest, lame(x));
    }
    cr_expect_leq(pressure->least, least + 1e-12);
    cr_expect_geq(pressure->greatest, greatest - 1e-12);
    cr_expect_leq(pressure->greatest - pressure->least, 1.15 * (greatest - least),
                  "%g of %g", pressure->greatest - pressure->least, greatest - least);
    room_close(&room);
}
