/* SPDX-License-Identifier: MIT */
/* Variables of the rule being drawn, and formulas over them. */
#include "random_maker.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

void maker_line(struct program_lines *lines, const char *format, ...)
{
    if (lines->count < SECTION_LINES) {
        va_list arguments;
        va_start(arguments, format);
        (void)vsnprintf(lines->at[lines->count++], LINE_BYTES, format, arguments);
        va_end(arguments);
    }
}

/* Draws one of the texts up to NULL. */
const char *maker_one_of(struct maker *maker, const char *const *texts)
{
    uint32_t count = 0;
    while (texts[count] != NULL) {
        count++;
    }
    return texts[dice_below(&maker->dice, count)];
}

bool sort_is_key(enum sort sort)
{
    return sort == SORT_NAME || sort == SORT_NUMBER;
}

/* A variable of a sort that is bound already, or NULL. */
const struct variable *maker_variable(struct maker *maker, enum sort sort)
{
    const struct variable *found[VARIABLES];
    uint32_t count = 0;
    for (uint32_t i = 0; i < maker->variable_count; i++) {
        if (maker->variables[i].sort == sort) {
            found[count++] = &maker->variables[i];
        }
    }
    return count == 0 ? NULL : found[dice_below(&maker->dice, count)];
}

const struct variable *maker_variable_add(struct maker *maker, enum sort sort)
{
    struct variable *made = &maker->variables[maker->variable_count];
    if (maker->variable_count == VARIABLES) {
        return maker_variable(maker, sort);
    }
    *made = (struct variable){.sort = sort, .is_reached = true};
    if (sort == SORT_NAME) {
        (void)snprintf(made->name, sizeof made->name, "%c",
                       'a' + (char)(maker->keys_named++ % 26));
    } else {
        (void)snprintf(made->name, sizeof made->name, "%c%u",
                       sort == SORT_NUMBER ? 'k' : 'v', ++maker->values_named % 100);
    }
    maker->variable_count++;
    return made;
}

/* ---- formulas */

const char *const maker_grades[] = {"low", "mid", "high", NULL};

const char *const *maker_words(const struct maker *maker, const char *column)
{
    static const char *const tones[] = {"red", "blue", NULL};
    static const char *const outcomes[] = {"holds", "fails", "unsure", "unknown", NULL};
    static const char *const decided[] = {"holds", "fails", NULL};
    return column != NULL && strcmp(column, "tone") == 0 ? tones
           : column != NULL && strcmp(column, "outcome") == 0
               ? (maker->is_exact ? decided : outcomes)
               : maker_grades;
}
const char *const maker_names[] = {"p0", "p1", "q0", NULL}; /* all of the catalogue */

const char *maker_limit(struct maker *maker)
{
    static const char *const limits[] = {"9 mm",     "10 mm", "5 mm",
                                         "10 ±1 mm", "11 mm", NULL};
    static const char *const exact[] = {"9 mm", "10 mm", "5 mm", "11 mm", NULL};
    return maker_one_of(maker, maker->is_exact ? exact : limits);
}

/* A length: of variables where there are any. */
void maker_length(struct maker *maker, char *out, size_t room)
{
    const struct variable *one = maker_variable(maker, SORT_LENGTH);
    const struct variable *two = maker_variable(maker, SORT_LENGTH);
    const char *limit = maker_limit(maker);
    if (one == NULL) {
        (void)snprintf(out, room, "%s", limit);
        return;
    }
    switch (dice_below(&maker->dice, 9)) {
    case 0:
        (void)snprintf(out, room, "$%s + 2 mm", one->name);
        break;
    case 1:
        (void)snprintf(out, room, "$%s - $%s", one->name, two->name);
        break;
    case 2:
        (void)snprintf(out, room, "max($%s, 5 mm)", one->name);
        break;
    case 3:
        (void)snprintf(out, room, "min($%s, $%s) + $%s", one->name, two->name, one->name);
        break;
    case 4:
        (void)snprintf(out, room, "abs($%s - %s)", one->name, limit);
        break;
    case 5:
        (void)snprintf(out, room, "2 * $%s", one->name);
        break;
    case 6:
        (void)snprintf(out, room, maker->is_exact ? "$%s" : "least($%s)", one->name);
        break;
    default:
        (void)snprintf(out, room, "$%s", one->name);
        break;
    }
}

static void length_filter(struct maker *maker, char *out, size_t room)
{
    static const char *const signs[] = {"<", "<=", ">", ">=", NULL};
    char left[60];
    const struct variable *word = maker_variable(maker, SORT_WORD);
    const char *sign = maker_one_of(maker, signs);
    const char *limit = maker_limit(maker);
    maker_length(maker, left, sizeof left);
    if (word != NULL && dice_chance(&maker->dice, 25)) {
        (void)snprintf(out, room, "%s %s %s %s $%s = \"%s\"", left, sign, limit,
                       dice_chance(&maker->dice, 50) ? "and" : "or", word->name,
                       maker_one_of(maker, maker_words(maker, word->column)));
        return;
    }
    (void)snprintf(out, room,
                   dice_chance(&maker->dice, 20) ? "not (%s %s %s)" : "%s %s %s", left,
                   sign, limit);
}

static void count_filter(struct maker *maker, char *out, size_t room)
{
    static const char *const signs[] = {"<=", ">=", "=", "!=", NULL};
    const struct variable *one = maker_variable(maker, SORT_COUNT);
    const struct variable *two = maker_variable(maker, SORT_COUNT);
    const char *sign = maker_one_of(maker, signs);
    if (one != two && dice_chance(&maker->dice, 60)) {
        (void)snprintf(out, room, "$%s - $%s %s 0", one->name, two->name, sign);
    } else {
        (void)snprintf(out, room, "$%s %s %u", one->name, sign,
                       dice_below(&maker->dice, 4));
    }
}

static void word_filter(struct maker *maker, char *out, size_t room)
{
    const struct variable *one = maker_variable(maker, SORT_WORD);
    const struct variable *two = maker_variable(maker, SORT_WORD);
    const char *sign = dice_chance(&maker->dice, 60) ? "=" : "!=";
    static const char *const patterns[] = {"l.*|mid", "(hi|re).+", "[a-m]+", NULL};
    if (!maker->is_exact && dice_chance(&maker->dice, 30)) {
        (void)snprintf(out, room, "matches($%s, \"%s\")", one->name,
                       maker_one_of(maker, patterns));
        return;
    }
    if (one != two) {
        (void)snprintf(out, room, "$%s %s $%s", one->name, sign, two->name);
    } else {
        (void)snprintf(out, room, "$%s %s \"%s\"", one->name, sign,
                       maker_one_of(maker, maker_words(maker, one->column)));
    }
}

static void key_filter(struct maker *maker, char *out, size_t room)
{
    const struct variable *one = maker_variable(maker, SORT_NAME);
    const struct variable *two = maker_variable(maker, SORT_NAME);
    if (one != two) {
        (void)snprintf(out, room, "$%s != $%s", one->name, two->name);
    } else {
        (void)snprintf(out, room, "$%s != \"%s\"", one->name,
                       maker_one_of(maker, maker_names));
    }
}

void maker_filter(struct maker *maker, char *out, size_t room)
{
    const uint32_t draw = dice_below(&maker->dice, 10);
    if (draw < 6 && maker_variable(maker, SORT_LENGTH) != NULL) {
        length_filter(maker, out, room);
    } else if (draw < 8 && maker_variable(maker, SORT_COUNT) != NULL) {
        count_filter(maker, out, room);
    } else if (draw < 9 && maker_variable(maker, SORT_WORD) != NULL) {
        word_filter(maker, out, room);
    } else {
        key_filter(maker, out, room);
    }
}
