/* SPDX-License-Identifier: MIT */
/*
 * Facts first, then rules from the lowest layer up. Lengths lie about the limits that
 * filters compare them with, so that many conditions are open.
 */
#include "random_maker.h"

#include <stdio.h>
#include <string.h>

/* ---- dice */

struct dice dice_of(uint64_t seed)
{
    struct dice dice = {seed * UINT64_C(0x9e3779b97f4a7c15) + 1};
    for (int i = 0; i < 8; i++) {
        (void)dice_below(&dice, 2);
    }
    return dice;
}

uint32_t dice_below(struct dice *dice, uint32_t below)
{
    dice->state ^= dice->state >> 12;
    dice->state ^= dice->state << 25;
    dice->state ^= dice->state >> 27;
    return (uint32_t)((dice->state * UINT64_C(0x2545f4914f6cdd1d)) >> 33) % below;
}

bool dice_chance(struct dice *dice, uint32_t percent)
{
    return dice_below(dice, 100) < percent;
}

/* ---- the vocabulary as the maker sees it: inference_vocabulary.h */

static const struct plan first_plans[PLANS] = {
    {.name = "link",
     .columns = {{"item", SORT_NAME},
                 {"to", SORT_NAME},
                 {"width", SORT_LENGTH},
                 {"gauge", SORT_LENGTH},
                 {"grade", SORT_WORD},
                 {"holes", SORT_COUNT},
                 {"note", SORT_WORD}},
     .count = 7},
    {.name = "twin", .columns = {{"item", SORT_NAME}, {"to", SORT_NAME}}, .count = 2},
    {.name = "block",
     .columns = {{"piece", SORT_NAME},
                 {"size", SORT_LENGTH},
                 {"tone", SORT_WORD},
                 {"bolts", SORT_COUNT}},
     .count = 4},
    {.name = "peg",
     .columns = {{"piece", SORT_NAME}, {"reach", SORT_LENGTH}},
     .count = 2},
    {.name = "chart",
     .is_table = true,
     .columns = {{"item", SORT_NAME}, {"to", SORT_NAME}, {"rank", SORT_COUNT}},
     .count = 3},
    {.name = "near", .columns = {{"item", SORT_NAME}}, .count = 1},
    {.name = "far", .columns = {{"item", SORT_NAME}}, .count = 1},
    {.name = "pair", .columns = {{"item", SORT_NAME}, {"to", SORT_NAME}}, .count = 2},
    {.name = "chain", .columns = {{"item", SORT_NAME}, {"to", SORT_NAME}}, .count = 2},
    {.name = "tie", .columns = {{"item", SORT_NAME}, {"to", SORT_NAME}}, .count = 2},
    {.name = "step",
     .columns = {{"item", SORT_NAME}, {"to", SORT_NAME}, {"level", SORT_NUMBER}},
     .count = 3},
    {.name = "rung",
     .columns = {{"item", SORT_NAME}, {"level", SORT_NUMBER}},
     .count = 2},
    {.name = "span",
     .columns = {{"item", SORT_NAME}, {"length", SORT_LENGTH}},
     .count = 2},
    {.name = "dist",
     .columns = {{"item", SORT_NAME},
                 {"to", SORT_NAME},
                 {"length", SORT_LENGTH},
                 {"mark", SORT_WORD}},
     .count = 4},
    {.name = "total", .columns = {{"item", SORT_NAME}, {"n", SORT_COUNT}}, .count = 2},
    {.name = "roll",
     .columns = {{"item", SORT_NAME},
                 {"level", SORT_NUMBER},
                 {"n", SORT_COUNT},
                 {"length", SORT_LENGTH}},
     .count = 4},
    {.name = "known", .is_table = true, .columns = {{"to", SORT_NAME}}, .count = 1}};

/* ---- facts */

static const char *part_of(struct maker *maker, bool is_new)
{
    static const char *const others[] = {"q0", "q1", NULL};
    uint32_t count = 0;
    for (uint32_t i = 0; i < maker->program->part_count; i++) {
        count += is_new || !maker->program->parts[i].is_new ? 1 : 0;
    }
    return dice_chance(&maker->dice, 10)
               ? maker_one_of(maker, others)
               : maker->program->parts[dice_below(&maker->dice, count)].name;
}

static const char *const toleranced[] = {"10 ±1 mm",  "9 ±0.5 mm",     "12 ±0.1 mm",
                                         "8..11 mm",  "at least 8 mm", "at most 11 mm",
                                         "4 ±0.1 mm", "10 mm",         NULL};
static const char *const exact[] = {"10 mm", "9 mm", "12 mm", "4 mm", NULL};
static const char *const whole[] = {"0", "1", "2", "3", NULL};
static const char *const notes[] = {"low", "other", NULL};
static const char *const tones[] = {"red", "blue", NULL};

static void add_field(struct maker *maker, char *out, const char *field,
                      const char *const *texts, uint32_t percent)
{
    const size_t at = strlen(out);
    if (dice_chance(&maker->dice, percent) || (maker->is_exact && texts != notes)) {
        (void)snprintf(out + at, LINE_BYTES - at, "%s%s: %s", at == 0 ? "" : ", ", field,
                       maker_one_of(maker, texts));
    }
}

static void draw_feature(struct maker *maker, struct program_part *part)
{
    const uint32_t list = dice_below(&maker->dice, part->is_new ? 8 : 10);
    char fields[LINE_BYTES] = "";
    const char *to = part_of(maker, part->is_new);
    part->lists[part->feature_count] = list < 5   ? LIST_LINKS
                                       : list < 8 ? LIST_TWINS
                                                  : LIST_CHARTS;
    for (uint32_t i = 0; i < part->feature_count; i++) {
        if (part->lists[i] == part->lists[part->feature_count] &&
            strncmp(part->features[i], to, strlen(to)) == 0) {
            return; /* a list has each name once */
        }
    }
    if (list < 5) {
        add_field(maker, fields, "width", maker->is_exact ? exact : toleranced, 85);
        add_field(maker, fields, "gauge", exact, 90);
        add_field(maker, fields, "grade", maker_grades, 80);
        add_field(maker, fields, "holes", whole, 80);
        add_field(maker, fields, "note", notes, 40);
    } else if (list >= 8) {
        add_field(maker, fields, "rank", whole, 85);
    }
    (void)snprintf(part->features[part->feature_count++], LINE_BYTES, "%s: {%.150s}", to,
                   fields);
}

static void draw_part(struct maker *maker, struct program_part *part)
{
    static const char *const partials[] = {"links", "twins", "links, twins", NULL};
    static const char *const tables[] = {"charts", "links, charts", NULL};
    const bool is_peg = dice_chance(&maker->dice, 40);
    (void)snprintf(part->fields, LINE_BYTES, "kind: %s", is_peg ? "peg" : "block");
    add_field(maker, part->fields, "size", maker->is_exact ? exact : toleranced, 85);
    add_field(maker, part->fields, "tone", tones, 80);
    add_field(maker, part->fields, "bolts", whole, 80);
    if (is_peg) {
        add_field(maker, part->fields, "reach", exact, 70);
    }
    if (dice_chance(&maker->dice, 18) && !maker->is_exact) {
        (void)snprintf(part->partial, LINE_BYTES, "%s",
                       maker_one_of(maker, !part->is_new && dice_chance(&maker->dice, 25)
                                               ? tables
                                               : partials));
    }
    for (uint32_t i = dice_below(&maker->dice, PROGRAM_FEATURES); i > 0; i--) {
        draw_feature(maker, part);
    }
}

static void make(struct random_program *program, uint64_t seed, bool is_exact)
{
    struct maker maker = {.dice = dice_of(seed),
                          .program = program,
                          .is_exact = is_exact,
                          .plan_count = PLANS};
    memset(program, 0, sizeof *program);
    memcpy(maker.plans, first_plans, sizeof first_plans);
    for (uint32_t i = FACT_PLANS; i < PLANS; i++) {
        maker.plans[i].layer = 1 + dice_below(&maker.dice, LAYERS);
    }
    program->part_count = 4 + dice_below(&maker.dice, PROGRAM_PARTS - 4);
    const uint32_t old = 2 + dice_below(&maker.dice, program->part_count - 2);
    for (uint32_t i = 0; i < program->part_count; i++) {
        program->parts[i].is_new = i >= old;
        (void)snprintf(program->parts[i].name, sizeof program->parts[i].name, "p%u", i);
    }
    for (uint32_t i = 0; i < program->part_count; i++) {
        draw_part(&maker, &program->parts[i]);
    }
    const uint32_t rules = 5 + dice_below(&maker.dice, PROGRAM_RULES - 5);
    for (uint32_t i = 0; i < rules; i++) {
        maker_rules(&maker, 1 + i * LAYERS / rules);
    }
}

void program_make(struct random_program *program, uint64_t seed)
{
    make(program, seed, false);
}

void program_make_exact(struct random_program *program, uint64_t seed)
{
    make(program, seed, true);
}
