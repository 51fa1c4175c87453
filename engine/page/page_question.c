/* SPDX-License-Identifier: MIT */
/*
 * Addresses as questions and back. put.PLACE=PART fills a place (of `upgrade`: what is
 * wanted), given.NAME=VALUE says what was read; fields that a form leaves empty say
 * nothing.
 */
#include "page_private.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char *const words[] = {
    "unit",   "toward",    "of",         "gauges",     "most",      "depth",
    "tries",  "changes",   "have",       "allow",      "name",      "value",
    "format", "put.PLACE", "given.NAME", "sweep.NAME", "seen.NAME", "hint.NAME"};

/* What stands behind "put." in "put.cover"; NULL: it begins otherwise. */
static const char *behind(const char *name, const char *prefix)
{
    const size_t length = strlen(prefix);
    return strncmp(name, prefix, length) == 0 && name[length] != '\0' ? name + length
                                                                      : NULL;
}

static const char *too_many(char *room, size_t size)
{
    (void)snprintf(room, size, "A question holds at most %d of these.", PAGE_CHANGES);
    return room;
}

static const char *add_pair(whyfit_pair *pairs, size_t *count, whyfit_pair pair,
                            char *room, size_t size)
{
    if (*count == PAGE_CHANGES) {
        return too_many(room, size);
    }
    pairs[(*count)++] = pair;
    return NULL;
}

/* A whole number; 0 where there is none. false: it is something else. */
static bool number_from(const char *value, unsigned long most, uint32_t *out)
{
    char *end = NULL;
    const unsigned long number = strtoul(value, &end, 10);
    *out = (uint32_t)number;
    return value[0] >= '0' && value[0] <= '9' && *end == '\0' && number <= most;
}

static const char *no_number(const char *name, unsigned long most, char *room,
                             size_t size)
{
    (void)snprintf(room, size, "%s is a whole number up to %lu.", name, most);
    return room;
}

/* Where a field of one word goes; NULL: it is none. */
static const char **word_field(whyfit_question *question, const char *name)
{
    return strcmp(name, "unit") == 0     ? &question->unit
           : strcmp(name, "toward") == 0 ? &question->toward
           : strcmp(name, "of") == 0     ? &question->of
           : strcmp(name, "gauges") == 0 ? &question->gauges
                                         : NULL;
}

static uint32_t *number_field(whyfit_question *question, const char *name,
                              unsigned long *most)
{
    *most = strcmp(name, "most") == 0    ? WHYFIT_MOST
            : strcmp(name, "depth") == 0 ? WHYFIT_DEEPEST
            : strcmp(name, "tries") == 0 ? WHYFIT_MOST_TRIES
                                         : PAGE_CHANGES;
    return strcmp(name, "most") == 0      ? &question->most
           : strcmp(name, "depth") == 0   ? &question->depth
           : strcmp(name, "tries") == 0   ? &question->tries
           : strcmp(name, "changes") == 0 ? &question->largest
                                          : NULL;
}

static const char *no_field(const char *name, char *room, size_t size)
{
    const char *near = whyfit_nearest(name, words, sizeof words / sizeof *words);
    (void)snprintf(room, size, "There is no field \"%.60s\".%s%s%s", name,
                   near == NULL ? "" : " Did you mean ", near == NULL ? "" : near,
                   near == NULL ? "" : "?");
    return room;
}

/* Fields that may come more than once. */
static const char *read_repeated(const struct pair *pair, struct asked *asked, char *room,
                                 size_t size)
{
    whyfit_question *question = &asked->question;
    const char *place = behind(pair->name, "put.");
    const char *given = behind(pair->name, "given.");
    const char *sweep = behind(pair->name, "sweep.");
    const char *seen = behind(pair->name, "seen.");
    const char *hint = behind(pair->name, "hint.");
    if (place != NULL) {
        return strcmp(question->command, "upgrade") == 0
                   ? add_pair(asked->want, &question->want_count,
                              (whyfit_pair){place, pair->value}, room, size)
                   : add_pair(asked->changes, &question->change_count,
                              (whyfit_pair){place, pair->value}, room, size);
    }
    if (given != NULL) {
        return add_pair(asked->given, &question->given_count,
                        (whyfit_pair){given, pair->value}, room, size);
    }
    if (seen != NULL) {
        return add_pair(asked->seen, &question->seen_count,
                        (whyfit_pair){seen, pair->value}, room, size);
    }
    if (hint != NULL) {
        return add_pair(asked->hints, &question->hint_count,
                        (whyfit_pair){hint, pair->value}, room, size);
    }
    if (sweep != NULL && question->sweep == NULL) {
        asked->sweep = (whyfit_pair){sweep, pair->value};
        question->sweep = &asked->sweep;
        return NULL;
    }
    if (strcmp(pair->name, "have") == 0 && question->have_count < PAGE_CHANGES) {
        asked->have[question->have_count++] = pair->value;
        return NULL;
    }
    return strcmp(pair->name, "have") == 0 ? too_many(room, size)
                                           : no_field(pair->name, room, size);
}

static const char *read_field(const struct pair *pair, struct asked *asked, char *room,
                              size_t size)
{
    unsigned long most = 0;
    const char **word = word_field(&asked->question, pair->name);
    uint32_t *number = number_field(&asked->question, pair->name, &most);
    if (word != NULL || number != NULL) {
        const bool is_said = word != NULL ? *word != NULL : false;
        if (is_said) {
            (void)snprintf(room, size, "%s is said twice.", pair->name);
            return room;
        }
        if (word != NULL) {
            *word = pair->value;
            return NULL;
        }
        return number_from(pair->value, most, number)
                   ? NULL
                   : no_number(pair->name, most, room, size);
    }
    if (strcmp(pair->name, "allow") == 0) {
        asked->question.allows_machining = true;
        return strcmp(pair->value, "machine") == 0 ? NULL
                                                   : "Nothing of that name can be "
                                                     "allowed; machine can.";
    }
    return read_repeated(pair, asked, room, size);
}

/* A form's row of two fields: name=NAME&value=VALUE is given.NAME=VALUE. */
static const char *read_typed(const struct address *address, size_t *at,
                              struct asked *asked, char *room, size_t size)
{
    const struct pair *name = &address->pairs[*at];
    const bool has_value = *at + 1 < address->pair_count &&
                           strcmp(address->pairs[*at + 1].name, "value") == 0;
    const char *value = has_value ? address->pairs[*at + 1].value : "";
    *at += has_value ? 1 : 0;
    if (name->value[0] == '\0' && value[0] == '\0') {
        return NULL;
    }
    if (name->value[0] == '\0' || value[0] == '\0') {
        return "A reading is a name and a value.";
    }
    return add_pair(asked->given, &asked->question.given_count,
                    (whyfit_pair){name->value, value}, room, size);
}

const char *question_from(const struct address *address, const char *command,
                          struct asked *asked, char *room, size_t size)
{
    const char *fault = NULL;
    *asked = (struct asked){.question = WHYFIT_QUESTION};
    asked->question.command = command;
    asked->question.changes = asked->changes;
    asked->question.given = asked->given;
    asked->question.want = asked->want;
    asked->question.have = asked->have;
    asked->question.seen = asked->seen;
    asked->question.hints = asked->hints;
    for (size_t i = 0; i < address->pair_count && fault == NULL; i++) {
        const struct pair *pair = &address->pairs[i];
        if (strcmp(pair->name, "name") == 0) {
            fault = read_typed(address, &i, asked, room, size);
        } else if (strcmp(pair->name, "format") != 0 && pair->value[0] != '\0') {
            fault = read_field(pair, asked, room, size);
        }
    }
    const bool has_unit = strcmp(command, "identify") != 0;
    if (fault == NULL && has_unit && asked->question.unit == NULL) {
        return "The question names no unit.";
    }
    if (fault == NULL && asked->question.sweep != NULL && strcmp(command, "swap") != 0) {
        return "Only a swap goes over a range.";
    }
    return fault;
}

bool is_way_of_filling(const char *value)
{
    return strcmp(value, "none") == 0 || strcmp(value, "turned") == 0 ||
           strcmp(value, "another") == 0;
}

/* ---- and back */

/* What a question is made of, with typed rows as given ones; false past the last. */
static bool next_pair(const struct address *address, size_t *at, const char *but,
                      char *room, size_t size, struct pair *out)
{
    while (*at < address->pair_count) {
        const struct pair *pair = &address->pairs[(*at)++];
        const bool is_typed = strcmp(pair->name, "name") == 0 &&
                              *at < address->pair_count &&
                              strcmp(address->pairs[*at].name, "value") == 0;
        *out = *pair;
        if (is_typed) {
            (void)snprintf(room, size, "given.%s", pair->value);
            *out = (struct pair){room, address->pairs[(*at)++].value};
        }
        const bool is_left_out = strcmp(pair->name, "format") == 0 ||
                                 (but != NULL && strcmp(out->name, but) == 0);
        if (out->value[0] != '\0' && !is_left_out) {
            return true;
        }
    }
    return false;
}

void question_fields(struct buffer *out, const struct address *address, const char *but)
{
    char room[PAGE_URI_BYTES];
    struct pair pair;
    for (size_t at = 0; next_pair(address, &at, but, room, sizeof room, &pair);) {
        buffer_add(out, "<input type=\"hidden\" name=\"");
        buffer_escape(out, pair.name);
        buffer_add(out, "\" value=\"");
        buffer_escape(out, pair.value);
        buffer_add(out, "\">\n");
    }
}

void question_query(struct buffer *out, const struct address *address, const char *but)
{
    char room[PAGE_URI_BYTES];
    struct pair pair;
    const char *between = "";
    for (size_t at = 0; next_pair(address, &at, but, room, sizeof room, &pair);) {
        buffer_add(out, between);
        buffer_encode(out, pair.name);
        buffer_add(out, "=");
        buffer_encode(out, pair.value);
        between = "&amp;";
    }
}
