/* SPDX-License-Identifier: MIT */
/* Draws machines and rules as text. */
#include "random_system.h"

#include <stdarg.h>

struct pen {
    char *at;
    size_t room;
    size_t length;
};

__attribute__((format(printf, 2, 3))) static void write_line(struct pen *pen,
                                                             const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    const int length =
        vsnprintf(pen->at + pen->length, pen->room - pen->length, format, arguments);
    va_end(arguments);
    pen->length += length < 0 ? 0 : (size_t)length;
    if (pen->length >= pen->room) {
        pen->length = pen->room - 1;
    }
}

static uint32_t below(struct dice *dice, uint32_t count)
{
    return (uint32_t)dice_below(dice, count);
}

static bool one_in(struct dice *dice, uint32_t count)
{
    return below(dice, count) == 0;
}

/* ---- vocabulary */

static void draw_vocabulary(struct random_system *system, struct dice *dice,
                            bool is_plain)
{
    struct pen pen = {system->vocabulary, sizeof system->vocabulary, 0};
    write_line(
        &pen,
        "relations:\n"
        "  drawn-red: {says: A piece is red., filled-by: rules, key: {unit: name, piece: "
        "name}, values: {}}\n"
        "  drawn-alarm: {says: A unit rings., filled-by: rules, key: {unit: name}, "
        "values: "
        "{}}\n"
        "  drawn-load: {says: What a piece weighs on its unit., filled-by: rules, key: "
        "{unit: name, piece: name}, values: {by: {quantity: length}}}\n"
        "kinds:\n");
    for (uint32_t i = 0; i < system->place_count; i++) {
        char asks[32] = "";
        if (is_plain || !one_in(dice, 6)) {
            (void)snprintf(asks, sizeof asks, "asks: [single-%u], ", i);
        }
        write_line(&pen,
                   "  kind-%u: {says: Drawn., %sfields: {x: {quantity: length}, y: "
                   "{quantity: length}, hue: {choice: [red, blue, grey]}}}\n",
                   i, asks);
    }
}

/* ---- rules */

static void write_rule(struct pen *pen, const char *name, uint32_t number)
{
    write_line(pen, "  - rule: %s-%u\n    says: Drawn.\n    source: invented\n", name,
               number);
}

static const char *judged(struct dice *dice)
{
    return one_in(dice, 5) ? ", judged: absolutely" : "";
}

/* Every kind is asked something, so that a swap of it can be known to fit. */
static void draw_single(struct pen *pen, struct dice *dice, uint32_t i)
{
    write_rule(pen, "single", i);
    write_line(pen,
               "    given:\n      - fills: {unit: $unit, piece: $a}\n"
               "      - kind-%u: {piece: $a, x: $x}\n"
               "    check: {margin: $x - %u mm, weight: stops%s}\n"
               "    because: \"x of {a} is {x}\"\n",
               i, below(dice, 4), judged(dice));
}

static void draw_pair(struct pen *pen, struct dice *dice, uint32_t number, uint32_t i,
                      uint32_t k)
{
    write_rule(pen, "pair", number);
    write_line(pen,
               "    given:\n      - fills: {unit: $unit, piece: $a}\n"
               "      - kind-%u: {piece: $a, x: $x}\n"
               "      - fills: {unit: $unit, piece: $b}\n"
               "      - kind-%u: {piece: $b, y: $y}\n"
               "    check: {margin: $x - $y + %u mm, weight: %s%s}\n"
               "    because: \"{a} is {x}, {b} needs {y}\"\n",
               i, k, below(dice, 4), one_in(dice, 9) ? "cautions" : "stops",
               judged(dice));
}

static void draw_red(struct pen *pen, uint32_t number, uint32_t i, const char *hue)
{
    write_rule(pen, "is-red", number);
    write_line(pen,
               "    given:\n      - fills: {unit: $unit, piece: $a}\n"
               "      - kind-%u: {piece: $a, hue: %s}\n"
               "    conclude:\n      - drawn-red: {unit: $unit, piece: $a}\n",
               i, hue);
}

static void draw_denial(struct pen *pen, struct dice *dice, uint32_t number, uint32_t i)
{
    write_rule(pen, "denied", number);
    write_line(pen,
               "    given:\n      - fills: {unit: $unit, piece: $a}\n"
               "      - kind-%u: {piece: $a, y: $y}\n"
               "    unless:\n      - drawn-red: {unit: $unit}\n"
               "    check: {margin: $y - %u mm, weight: stops%s}\n"
               "    because: \"y of {a} is {y}, and nothing is red\"\n",
               i, 1 + below(dice, 6), judged(dice));
}

static void draw_count(struct pen *pen, struct dice *dice, uint32_t number, uint32_t i)
{
    write_rule(pen, "counted", number);
    write_line(pen,
               "    given:\n      - fills: {unit: $unit, piece: $a}\n"
               "      - kind-%u: {piece: $a}\n"
               "    count:\n      n: {drawn-red: {unit: $unit}}\n"
               "    check: {margin: %s, weight: stops%s}\n"
               "    because: \"{n} are red\"\n",
               i, one_in(dice, 2) ? "1 - $n" : "$n - 1", judged(dice));
}

static void draw_alarm(struct pen *pen, struct dice *dice, uint32_t number, uint32_t i,
                       uint32_t k)
{
    write_rule(pen, "rings", number);
    write_line(pen,
               "    given:\n      - fills: {unit: $unit, piece: $a}\n"
               "      - kind-%u: {piece: $a, hue: blue}\n"
               "    unless:\n      - drawn-red: {unit: $unit}\n"
               "    conclude:\n      - drawn-alarm: {unit: $unit}\n",
               i);
    write_rule(pen, "stands-the-alarm", number);
    write_line(pen,
               "    given:\n      - fills: {unit: $unit, piece: $a}\n"
               "      - kind-%u: {piece: $a, y: $y}\n"
               "      - drawn-alarm: {unit: $unit}\n"
               "    check: {margin: $y - %u mm, weight: stops}\n"
               "    because: \"{a} does not stand the alarm\"\n",
               k, 2 + below(dice, 5));
}

static void draw_sum(struct pen *pen, struct dice *dice, uint32_t number, uint32_t places,
                     uint32_t i)
{
    for (uint32_t k = 0; k < places; k++) {
        write_rule(pen, "loads", 10 * number + k);
        write_line(
            pen,
            "    given:\n      - fills: {unit: $unit, piece: $a}\n"
            "      - kind-%u: {piece: $a, y: $y}\n"
            "    conclude:\n      - drawn-load: {unit: $unit, piece: $a, by: $y}\n",
            k);
    }
    write_rule(pen, "summed", number);
    write_line(
        pen,
        "    given:\n      - fills: {unit: $unit, piece: $a}\n"
        "      - kind-%u: {piece: $a}\n"
        "    %s:\n      all: {of: {drawn-load: {unit: $unit, by: $w}}, value: $w}\n"
        "    check: {margin: %u mm - $all, weight: stops}\n"
        "    because: \"all weigh {all}\"\n",
        i, one_in(dice, 2) ? "sum" : "greatest", 4 + below(dice, 4 * places));
}

static void draw_mend(struct pen *pen, struct dice *dice, uint32_t number, uint32_t i,
                      uint32_t k)
{
    write_rule(pen, "worn", number);
    write_line(pen,
               "    given:\n      - fills: {unit: $unit, piece: $a}\n"
               "      - kind-%u: {piece: $a, x: $x}\n"
               "      - changed: {unit: $unit, piece: $b}\n"
               "      - kind-%u: {piece: $b, y: $y}\n"
               "    unless:\n      - changed: {unit: $unit, piece: $a}\n"
               "    check: {margin: $x - $y - %u mm, weight: stops, judged: "
               "where-it-arises}\n"
               "    because: \"{a} is worn\"\n"
               "    mend:\n      - renew: \"fit a new {a}\"\n"
               "        try: {fill: $a, with: another}\n",
               i, k, below(dice, 3));
}

static void draw_gap_rules(struct pen *pen)
{
    write_line(
        pen, "  - rule: gap-is-large-enough\n    says: Drawn.\n    source: invented\n"
             "    given:\n      - gap: {unit: $unit, gap: $gap, size: $size, want-least: "
             "$least}\n"
             "    check: {margin: $size - $least, weight: stops}\n"
             "    because: \"{gap} is {size}\"\n"
             "  - rule: gap-is-small-enough\n    says: Drawn.\n    source: invented\n"
             "    given:\n      - gap: {unit: $unit, gap: $gap, size: $size, "
             "want-greatest: $most}\n"
             "    check: {margin: $most - $size, weight: stops}\n"
             "    because: \"{gap} is {size}\"\n");
}

static void draw_rules(struct random_system *system, struct dice *dice, bool is_plain)
{
    struct pen pen = {system->rules, sizeof system->rules, 0};
    const uint32_t places = system->place_count;
    write_line(&pen, "pack: drawn\nsays: Drawn.\nrules:\n");
    for (uint32_t i = 0; i < places; i++) {
        draw_single(&pen, dice, i);
    }
    const uint32_t pairs = 1 + below(dice, places + 1);
    for (uint32_t n = 0; n < pairs; n++) {
        const uint32_t i = below(dice, places);
        draw_pair(&pen, dice, n, i, (i + 1 + below(dice, places - 1)) % places);
    }
    if (one_in(dice, 2)) {
        draw_gap_rules(&pen);
    }
    if (is_plain) {
        return;
    }
    const uint32_t reds = 1 + below(dice, 2);
    for (uint32_t n = 0; n < reds; n++) {
        draw_red(&pen, n, below(dice, places), one_in(dice, 3) ? "grey" : "red");
    }
    if (one_in(dice, 2)) {
        draw_denial(&pen, dice, 0, below(dice, places));
    }
    if (one_in(dice, 2)) {
        draw_count(&pen, dice, 0, below(dice, places));
    }
    if (one_in(dice, 3)) {
        draw_alarm(&pen, dice, 0, below(dice, places), below(dice, places));
    }
    if (one_in(dice, 3)) {
        draw_sum(&pen, dice, 0, places, below(dice, places));
    }
    if (one_in(dice, 2)) {
        draw_mend(&pen, dice, 0, below(dice, places), below(dice, places));
    }
}

/* ---- parts and the unit */

static void write_length(struct pen *pen, struct dice *dice, const char *field)
{
    if (one_in(dice, 24)) {
        return; /* nobody recorded it */
    }
    const uint32_t value = 1 + below(dice, 8);
    if (one_in(dice, 8)) {
        write_line(pen, ", %s: %u ±%u mm", field, value, 1 + below(dice, 2));
    } else {
        write_line(pen, ", %s: %u +0/-0 mm", field, value);
    }
}

static void draw_part(struct random_system *system, struct pen *pen, struct dice *dice,
                      uint32_t i, uint32_t k, bool is_plain)
{
    static const char *const hues[] = {"red", "blue", "grey"};
    const uint32_t other = below(dice, system->place_count);
    write_line(pen, "  - {part: part-%u-%u, kind: kind-%u, source: invented, datum: in",
               i, k, i);
    write_line(pen, ", faces: {in: {at: 0 mm, looks: in}");
    if (k == 0 || is_plain || !one_in(dice, 12)) {
        write_line(pen, ", out: {at: %u +0/-0 mm, looks: out}", 5 + below(dice, 3));
    }
    write_line(pen, "}");
    write_length(pen, dice, "x");
    write_length(pen, dice, "y");
    if (!one_in(dice, 10)) {
        write_line(pen, ", hue: %s", hues[below(dice, 3)]);
    }
    if (!one_in(dice, 30)) {
        write_line(pen, ", price: %u.50 EUR", below(dice, 90));
    }
    if (k > 0 && !is_plain && other != i && one_in(dice, 8)) {
        write_line(pen, ", comes-with: {p%u: part-%u-%u}", other, other,
                   below(dice, system->part_count[other]));
        system->is_brought[other] = true;
    }
    if (k > 0 && !is_plain && i > 1 && one_in(dice, 12)) {
        write_line(pen, ", brings: {contacts: [this.in = p%u.out]}", below(dice, i));
    }
    write_line(pen, "}\n");
}

static void draw_facts(struct random_system *system, struct dice *dice, bool is_plain)
{
    struct pen pen = {system->facts, sizeof system->facts, 0};
    write_line(&pen, "parts:\n");
    for (uint32_t i = 0; i < system->place_count; i++) {
        for (uint32_t k = 0; k < system->part_count[i]; k++) {
            draw_part(system, &pen, dice, i, k, is_plain);
        }
    }
    write_line(&pen, "units:\n  - unit: host\n    source: invented\n%s    places: {",
               one_in(dice, 2) ? "    ran: true\n" : "");
    for (uint32_t i = 0; i < system->place_count; i++) {
        write_line(&pen, "%sp%u: part-%u-0", i == 0 ? "" : ", ", i, i);
    }
    write_line(&pen, "}\n    contacts:\n");
    for (uint32_t i = 1; i < system->place_count; i++) {
        write_line(&pen, "      - p%u.in = p%u.out\n", i,
                   one_in(dice, 3) ? below(dice, i) : i - 1);
    }
    const uint32_t least = 5 + below(dice, 4);
    write_line(&pen, "    gaps:\n      g: {between: [p0.in, p%u.out], want: %u..%u mm}\n",
               1 + below(dice, system->place_count - 1), least,
               least + 3 + below(dice, 12));
}

void random_system_draw(struct random_system *system, struct dice *dice,
                        struct random_bounds bounds)
{
    system->place_count =
        bounds.is_exact ? bounds.places : 2 + below(dice, bounds.places - 1);
    for (uint32_t i = 0; i < MOST_DRAWN_PLACES; i++) {
        system->part_count[i] =
            bounds.is_exact ? bounds.parts : 2 + below(dice, bounds.parts - 1);
        system->is_brought[i] = false;
    }
    draw_vocabulary(system, dice, bounds.is_plain);
    draw_rules(system, dice, bounds.is_plain);
    draw_facts(system, dice, bounds.is_plain);
}
