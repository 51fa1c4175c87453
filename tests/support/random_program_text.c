/* SPDX-License-Identifier: MIT */
/* Writes a program as YAML, puts it in another order, and leaves things out of it. */
#include "random_program.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

/* ---- order */

static void shuffle_lines(struct dice *dice, struct program_lines *lines)
{
    for (uint32_t i = lines->count; i > 1; i--) {
        const uint32_t k = dice_below(dice, i);
        char moved[LINE_BYTES];
        memcpy(moved, lines->at[i - 1], LINE_BYTES);
        memcpy(lines->at[i - 1], lines->at[k], LINE_BYTES);
        memcpy(lines->at[k], moved, LINE_BYTES);
    }
}

static void shuffle_features(struct dice *dice, struct program_part *part)
{
    for (uint32_t i = part->feature_count; i > 1; i--) {
        const uint32_t k = dice_below(dice, i);
        char moved[LINE_BYTES];
        const enum part_list list = part->lists[i - 1];
        memcpy(moved, part->features[i - 1], LINE_BYTES);
        memcpy(part->features[i - 1], part->features[k], LINE_BYTES);
        memcpy(part->features[k], moved, LINE_BYTES);
        part->lists[i - 1] = part->lists[k];
        part->lists[k] = list;
    }
}

void program_shuffle(struct random_program *program, uint64_t seed)
{
    struct dice dice = dice_of(seed);
    for (uint32_t i = program->rule_count; i > 1; i--) {
        const uint32_t k = dice_below(&dice, i);
        const struct program_rule moved = program->rules[i - 1];
        program->rules[i - 1] = program->rules[k];
        program->rules[k] = moved;
    }
    for (uint32_t i = program->part_count; i > 1; i--) {
        const uint32_t k = dice_below(&dice, i);
        const struct program_part moved = program->parts[i - 1];
        program->parts[i - 1] = program->parts[k];
        program->parts[k] = moved;
    }
    for (uint32_t i = 0; i < program->rule_count; i++) {
        for (int s = 0; s < SECTIONS; s++) {
            /* A let may use those before it. */
            if (s != SECTION_LET) {
                shuffle_lines(&dice, &program->rules[i].sections[s]);
            }
        }
    }
    for (uint32_t i = 0; i < program->part_count; i++) {
        shuffle_features(&dice, &program->parts[i]);
    }
}

/* ---- text */

struct writer {
    char *out;
    size_t room;
    size_t at;
};

__attribute__((format(printf, 2, 3))) static void put(struct writer *writer,
                                                      const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    if (writer->at < writer->room) {
        writer->at += (size_t)vsnprintf(writer->out + writer->at,
                                        writer->room - writer->at, format, arguments);
    }
    va_end(arguments);
}

static size_t written(const struct writer *writer)
{
    return writer->at < writer->room ? writer->at : 0;
}

static const char *const section_words[SECTIONS] = {"given", "unless",   "count", "sum",
                                                    "least", "greatest", "every", "let",
                                                    "where", "conclude", "check"};

static void write_section(struct writer *writer, enum section section,
                          const struct program_lines *lines)
{
    const bool is_map = (section >= SECTION_COUNT && section <= SECTION_GREATEST) ||
                        section == SECTION_LET;
    if (lines->count == 0) {
        return;
    }
    if (section == SECTION_CHECK) {
        put(writer, "    check: %s\n    because: '-'\n", lines->at[0]);
        return;
    }
    put(writer, "    %s:\n", section_words[section]);
    for (uint32_t i = 0; i < lines->count; i++) {
        put(writer, "      %s%s\n", is_map ? "" : "- ", lines->at[i]);
    }
}

size_t program_rules_write(const struct random_program *program, char *out, size_t room)
{
    struct writer writer = {out, room, 0};
    put(&writer, "pack: random\nsays: Drawn.\nrules:\n");
    for (uint32_t i = 0; i < program->rule_count; i++) {
        const struct program_rule *rule = &program->rules[i];
        put(&writer, "  - rule: %s\n    says: Drawn.\n    source: invented\n%s",
            rule->name, rule->over_catalogue ? "    over: catalogue\n" : "");
        for (int s = 0; s < SECTIONS; s++) {
            write_section(&writer, (enum section)s, &rule->sections[s]);
        }
    }
    return written(&writer);
}

static void write_part(struct writer *writer, const struct program_part *part)
{
    static const char *const words[PART_LISTS] = {"links", "twins", "charts"};
    put(writer, "  - {part: %s, source: invented, %s", part->name, part->fields);
    for (int list = 0; list < PART_LISTS; list++) {
        bool is_any = false;
        for (uint32_t i = 0; i < part->feature_count; i++) {
            if (part->lists[i] == (enum part_list)list) {
                put(writer, ", %s%s%s", is_any ? "" : words[list], is_any ? "" : ": {",
                    part->features[i]);
                is_any = true;
            }
        }
        put(writer, "%s", is_any ? "}" : "");
    }
    if (part->partial[0] != '\0') {
        put(writer, ", partial: [%s]", part->partial);
    }
    put(writer, "}\n");
}

size_t program_parts_write(const struct random_program *program,
                           enum program_choice choice, char *out, size_t room)
{
    struct writer writer = {out, room, 0};
    uint32_t count = 0;
    put(&writer, "parts:\n");
    for (uint32_t i = 0; i < program->part_count; i++) {
        const struct program_part *part = &program->parts[i];
        if (choice == PROGRAM_ALL || part->is_new == (choice == PROGRAM_NEW)) {
            write_part(&writer, part);
            count++;
        }
    }
    if (count == 0) {
        put(&writer, "  []\n");
    }
    return written(&writer);
}

/* ---- leaving out */

static void leave_out_line(struct program_lines *lines, uint32_t n)
{
    lines->count--;
    memmove(lines->at[n], lines->at[n + 1], (lines->count - n) * LINE_BYTES);
}

/* Counts n down over the lines of all rules. */
static bool leave_out_of_rules(struct random_program *program, uint32_t *n)
{
    for (uint32_t i = 0; i < program->rule_count; i++) {
        for (int s = 0; s < SECTIONS; s++) {
            struct program_lines *lines = &program->rules[i].sections[s];
            if (*n < lines->count) {
                leave_out_line(lines, *n);
                return true;
            }
            *n -= lines->count;
        }
    }
    return false;
}

static bool leave_out_of_parts(struct random_program *program, uint32_t *n)
{
    for (uint32_t i = 0; i < program->part_count; i++) {
        struct program_part *part = &program->parts[i];
        if (*n < part->feature_count) {
            part->feature_count--;
            memmove(part->features[*n], part->features[*n + 1],
                    (part->feature_count - *n) * LINE_BYTES);
            memmove(&part->lists[*n], &part->lists[*n + 1],
                    (part->feature_count - *n) * sizeof *part->lists);
            return true;
        }
        *n -= part->feature_count;
    }
    for (uint32_t i = 0; i < program->part_count; i++) {
        struct program_part *part = &program->parts[i];
        if (part->partial[0] != '\0' && (*n)-- == 0) {
            part->partial[0] = '\0';
            return true;
        }
    }
    return false;
}

bool program_leave_out(struct random_program *program, uint32_t n)
{
    if (n < program->rule_count) {
        program->rule_count--;
        memmove(&program->rules[n], &program->rules[n + 1],
                (program->rule_count - n) * sizeof *program->rules);
        return true;
    }
    n -= program->rule_count;
    if (n < program->part_count) {
        program->part_count--;
        memmove(&program->parts[n], &program->parts[n + 1],
                (program->part_count - n) * sizeof *program->parts);
        return true;
    }
    n -= program->part_count;
    return leave_out_of_rules(program, &n) || leave_out_of_parts(program, &n);
}
