/* SPDX-License-Identifier: MIT */
/* Fields are edited where they stand: "p1: {width: 10 mm, grade: low}". A thing that is
 * no longer there, because the program was made smaller, is passed over. */
#include "openings.h"

#include <stdio.h>
#include <string.h>

/* ---- fields in a line */

static char *find_field(char *line, const char *field)
{
    const size_t length = strlen(field);
    char *at = line;
    while ((at = strstr(at, field)) != NULL) {
        if ((at == line || at[-1] == ' ' || at[-1] == '{') && at[length] == ':') {
            return at;
        }
        at += length;
    }
    return NULL;
}

/* Another value; NULL: the field is left out. */
static void set_field(char *line, const char *field, const char *value)
{
    char rest[LINE_BYTES];
    char *at = find_field(line, field);
    if (at == NULL) {
        return;
    }
    const char *end = at + strcspn(at, ",}");
    if (value == NULL && *end == ',') {
        end += 2;
    } else if (value == NULL && at > line && at[-1] == ' ' && at[-2] == ',') {
        at -= 2;
    }
    (void)snprintf(rest, sizeof rest, "%s", end);
    const size_t room = LINE_BYTES - (size_t)(at - line);
    (void)(value == NULL ? snprintf(at, room, "%s", rest)
                         : snprintf(at, room, "%s: %s%s", field, value, rest));
}

/* ---- places */

static struct program_part *find_part(struct random_program *program,
                                      const struct opening *opening)
{
    for (uint32_t i = 0; i < program->part_count; i++) {
        if (strcmp(program->parts[i].name, opening->part) == 0) {
            return &program->parts[i];
        }
    }
    return NULL;
}

static bool leads_to(const char *feature, const char *name)
{
    const size_t length = strcspn(feature, ":");
    return strlen(name) == length && strncmp(feature, name, length) == 0;
}

static char *find_line(struct program_part *part, const struct opening *opening)
{
    if (opening->feature[0] == '\0') {
        return part->fields;
    }
    for (uint32_t i = 0; i < part->feature_count; i++) {
        if (part->lists[i] == opening->list &&
            leads_to(part->features[i], opening->feature)) {
            return part->features[i];
        }
    }
    return NULL;
}

/* ---- drawing */

static const struct {
    const char *field;
    const char *values[5];
} known_fields[] = {{"width", {"4 mm", "9 mm", "10 mm", "12 mm"}},
                    {"gauge", {"4 mm", "9 mm", "10 mm", "12 mm"}},
                    {"grade", {"low", "mid", "high"}},
                    {"holes", {"0", "1", "2", "3"}},
                    {"rank", {"0", "1", "2", "3"}},
                    {"size", {"4 mm", "9 mm", "10 mm", "12 mm"}},
                    {"tone", {"red", "blue"}},
                    {"bolts", {"0", "1", "2", "3"}},
                    {"reach", {"4 mm", "9 mm", "10 mm", "12 mm"}}};

static const struct {
    const char *text;
    const char *values[5]; /* within it */
} tolerances[] = {{"10 ±1 mm", {"9 mm", "9.5 mm", "10 mm", "11 mm"}},
                  {"9 ±0.5 mm", {"8.5 mm", "9 mm", "9.5 mm"}},
                  {"8..11 mm", {"8 mm", "9 mm", "10 mm", "11 mm"}},
                  {"at least 8 mm", {"8 mm", "9 mm", "10 mm", "30 mm"}}};

/* Two of the values up to NULL. */
static void draw_ways(struct dice *dice, struct opening *opening,
                      const char *const *values)
{
    uint32_t count = 0;
    while (values[count] != NULL) {
        count++;
    }
    const uint32_t first = dice_below(dice, count);
    opening->ways[0] = values[first];
    opening->ways[1] = values[(first + 1 + dice_below(dice, count - 1)) % count];
}

/* A field that stands in the line; false: none. */
static bool draw_field(struct dice *dice, struct opening *opening, char *line)
{
    const uint32_t count = sizeof known_fields / sizeof *known_fields;
    const uint32_t from = dice_below(dice, count);
    for (uint32_t i = 0; i < count; i++) {
        const uint32_t n = (from + i) % count;
        const char *const *values = known_fields[n].values;
        if (find_field(line, known_fields[n].field) == NULL) {
            continue;
        }
        opening->field = known_fields[n].field;
        if (strstr(values[0], "mm") != NULL && dice_below(dice, 2) == 0) {
            const uint32_t t = dice_below(dice, sizeof tolerances / sizeof *tolerances);
            opening->toleranced = tolerances[t].text;
            values = tolerances[t].values;
        }
        draw_ways(dice, opening, values);
        return true;
    }
    return false;
}

/* A list that is partial, and a row that it may lack. */
static bool draw_list(struct dice *dice, struct opening *opening,
                      const struct random_program *program,
                      const struct program_part *part)
{
    static const char *const values[] = {"4 mm", "9 mm", "10 mm", "12 mm"};
    static const char *const grades[] = {"low", "mid", "high"};
    const char *to = program->parts[dice_below(dice, program->part_count)].name;
    opening->list = dice_below(dice, 3) == 0 ? LIST_TWINS : LIST_LINKS;
    for (uint32_t i = 0; i < part->feature_count; i++) {
        if (part->lists[i] == opening->list && leads_to(part->features[i], to)) {
            return false;
        }
    }
    const uint32_t width = dice_below(dice, 4);
    const uint32_t gauge = dice_below(dice, 4);
    (void)(opening->list == LIST_TWINS
               ? snprintf(opening->more, sizeof opening->more, "%s: {}", to)
               : snprintf(opening->more, sizeof opening->more,
                          "%s: {width: %s, gauge: %s, grade: %s, holes: %u}", to,
                          values[width], values[gauge], grades[dice_below(dice, 3)],
                          dice_below(dice, 4)));
    opening->ways[0] = "no more";
    opening->ways[1] = "one more";
    return part->feature_count < PROGRAM_FEATURES;
}

static void add_more(struct program_part *part, const struct opening *opening)
{
    if (part->feature_count < PROGRAM_FEATURES) {
        part->lists[part->feature_count] = opening->list;
        (void)snprintf(part->features[part->feature_count++], LINE_BYTES, "%s",
                       opening->more);
    }
}

static void mark_partial(struct program_part *part, enum part_list list)
{
    const size_t at = strlen(part->partial);
    (void)snprintf(part->partial + at, LINE_BYTES - at, "%s%s", at == 0 ? "" : ", ",
                   list == LIST_TWINS ? "twins" : "links");
}

static bool is_drawn(const struct openings *openings, const struct opening *opening)
{
    for (uint32_t i = 0; i < openings->count; i++) {
        const struct opening *one = &openings->at[i];
        if (strcmp(one->part, opening->part) == 0 &&
            strcmp(one->feature, opening->feature) == 0 && one->list == opening->list &&
            one->field == opening->field) {
            return true;
        }
    }
    return false;
}

static bool draw_one(struct dice *dice, struct opening *opening,
                     const struct random_program *program)
{
    struct program_part part = program->parts[dice_below(dice, program->part_count)];
    memset(opening, 0, sizeof *opening);
    (void)snprintf(opening->part, sizeof opening->part, "%s", part.name);
    if (dice_below(dice, 4) == 0) {
        return draw_list(dice, opening, program, &part);
    }
    if (part.feature_count == 0 || dice_below(dice, 2) == 0) {
        return draw_field(dice, opening, part.fields);
    }
    const uint32_t n = dice_below(dice, part.feature_count);
    (void)snprintf(opening->feature, sizeof opening->feature, "%.*s",
                   (int)strcspn(part.features[n], ":"), part.features[n]);
    opening->list = part.lists[n];
    return draw_field(dice, opening, strchr(part.features[n], '{'));
}

void openings_draw(struct openings *out, const struct random_program *program,
                   uint64_t seed)
{
    struct dice dice = dice_of(seed);
    out->count = 0;
    for (int tries = 0; tries < 12 && out->count < OPENINGS; tries++) {
        struct opening *opening = &out->at[out->count];
        out->count += draw_one(&dice, opening, program) && !is_drawn(out, opening);
    }
}

uint32_t openings_completions(const struct openings *openings)
{
    return 1u << openings->count;
}

/* ---- programs */

void openings_open(const struct openings *openings, struct random_program *program)
{
    for (uint32_t i = 0; i < openings->count; i++) {
        const struct opening *opening = &openings->at[i];
        struct program_part *part = find_part(program, opening);
        char *line = part == NULL ? NULL : find_line(part, opening);
        if (line != NULL && opening->field != NULL) {
            set_field(line, opening->field, opening->toleranced);
        } else if (line != NULL) {
            mark_partial(part, opening->list);
        }
    }
}

void openings_fill(const struct openings *openings, struct random_program *program,
                   uint32_t n)
{
    for (uint32_t i = 0; i < openings->count; i++) {
        const struct opening *opening = &openings->at[i];
        struct program_part *part = find_part(program, opening);
        char *line = part == NULL ? NULL : find_line(part, opening);
        if (line != NULL && opening->field != NULL) {
            set_field(line, opening->field, opening->ways[n >> i & 1u]);
        } else if (line != NULL && (n >> i & 1u) != 0) {
            add_more(part, opening);
        }
    }
}
