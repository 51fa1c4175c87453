/* SPDX-License-Identifier: MIT */
/*
 * Collects diagnostics. They are kept as pointers, so one stays where it is while its
 * reporter fills in what was expected; past the limit a scratch one takes what is written
 * and is not kept.
 */
#include "diagnostic.h"

#include "array.h"
#include "limits.h"

#include <stdio.h>
#include <stdlib.h>

struct diagnostics {
    struct arena *arena;
    ARRAY_OF(struct diagnostic *) kept;
    uint32_t count;
    struct diagnostic scratch;
};

/* What qsort compares: the place in words, so that numbers of sources do not show. */
struct sort_key {
    text name;
    uint32_t at;
    struct diagnostic *diagnostic;
};

static const char *const code_words[] = {
#define CODE(id, word, sentence) word,
#include "diagnostic_codes.def"
#undef CODE
};

static const char *const code_sentences[] = {
#define CODE(id, word, sentence) sentence,
#include "diagnostic_codes.def"
#undef CODE
};

const char *diagnostic_code_word(enum diagnostic_code code)
{
    return code_words[code];
}

const char *diagnostic_code_sentence(enum diagnostic_code code)
{
    return code_sentences[code];
}

struct diagnostics *diagnostics_open(struct arena *arena)
{
    struct diagnostics *list = ARENA_NEW(arena, struct diagnostics);
    if (list != NULL) {
        list->arena = arena;
    }
    return list;
}

struct arena *diagnostics_arena(struct diagnostics *list)
{
    return list->arena;
}

struct diagnostic *diagnostics_add(struct diagnostics *list, enum diagnostic_code code,
                                   span where, text message)
{
    list->count++;
    list->scratch = (struct diagnostic){.code = code, .where = where, .message = message};
    if (list->kept.count >= LIMIT_DIAGNOSTICS) {
        return &list->scratch;
    }
    struct diagnostic *made =
        arena_copy(list->arena, &list->scratch, sizeof(struct diagnostic));
    if (made == NULL || !ARRAY_PUSH(list->arena, &list->kept, made)) {
        return &list->scratch;
    }
    return made;
}

struct diagnostic *diagnostics_report(struct diagnostics *list, enum diagnostic_code code,
                                      span where, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    const text message = text_format_list(list->arena, format, arguments);
    va_end(arguments);
    return diagnostics_add(list, code, where, message);
}

void diagnostic_note_add(struct diagnostic *diagnostic, span where, text message)
{
    const uint32_t room = sizeof diagnostic->notes / sizeof *diagnostic->notes;
    if (diagnostic->note_count < room) {
        diagnostic->notes[diagnostic->note_count++] =
            (struct diagnostic_note){where, message};
    }
}

uint32_t diagnostics_count(const struct diagnostics *list)
{
    return list->count;
}

uint32_t diagnostics_kept(const struct diagnostics *list)
{
    return list->kept.count;
}

const struct diagnostic *diagnostics_at(const struct diagnostics *list, uint32_t i)
{
    return list->kept.at[i];
}

static int compare_numbers(uint32_t a, uint32_t b)
{
    return (a > b) - (a < b);
}

static int compare_keys(const void *a, const void *b)
{
    const struct sort_key *left = a;
    const struct sort_key *right = b;
    int order = text_compare(left->name, right->name);
    if (order == 0) {
        order = compare_numbers(left->at, right->at);
    }
    if (order == 0) {
        order = (int)left->diagnostic->code - (int)right->diagnostic->code;
    }
    return order != 0
               ? order
               : text_compare(left->diagnostic->message, right->diagnostic->message);
}

void diagnostics_sort(struct diagnostics *list, const struct sources *sources)
{
    const uint32_t count = list->kept.count;
    struct sort_key *keys = ARENA_MANY(list->arena, count, struct sort_key);
    if (keys == NULL || count < 2) {
        return;
    }
    for (uint32_t i = 0; i < count; i++) {
        struct diagnostic *one = list->kept.at[i];
        const span where = sources_written(sources, one->where);
        keys[i] = (struct sort_key){sources_name(sources, where.source), where.at, one};
    }
    qsort(keys, count, sizeof *keys, compare_keys);
    list->kept.count = 0;
    for (uint32_t i = 0; i < count; i++) {
        if (i > 0 && compare_keys(&keys[i - 1], &keys[i]) == 0) {
            list->count--;
        } else {
            list->kept.at[list->kept.count++] = keys[i].diagnostic;
        }
    }
}

/* ---- words */

/* The line as it may be shown: what is no text, or would move a terminal's cursor,
 * becomes `?`. */
static text printable(struct arena *arena, text line)
{
    char *made = arena_copy(arena, line.at, line.length);
    for (size_t at = 0; made != NULL && at < line.length;) {
        const size_t length = text_utf8_length(line, at);
        const unsigned char byte = (unsigned char)line.at[at];
        if (length == 0 || (byte < 0x20 && byte != '\t') || byte == 0x7F) {
            made[at] = '?';
        }
        at += length == 0 ? 1 : length;
    }
    return made == NULL ? (text){"", 0} : (text){made, line.length};
}

/* A line of blanks (tabs kept, so that it lines up) and carets under the span's first
 * line. */
static text caret_line(struct arena *arena, const struct place_in_text *place,
                       uint32_t length)
{
    const text line = place->line_text;
    char *made = ARENA_MANY(arena, line.length + 2, char);
    size_t out = 0;
    size_t at = 0;
    if (made == NULL) {
        return (text){"", 0};
    }
    for (uint32_t column = 1; column < place->column && at < line.length; column++) {
        const size_t bytes = text_utf8_length(line, at);
        made[out++] = line.at[at] == '\t' ? '\t' : ' ';
        at += bytes == 0 ? 1 : bytes;
    }
    const size_t end = at + length < line.length ? at + length : line.length;
    do {
        const size_t bytes = at < line.length ? text_utf8_length(line, at) : 1;
        made[out++] = '^';
        at += bytes == 0 ? 1 : bytes;
    } while (at < end);
    return (text){made, out};
}

static text write_place(struct arena *arena, const struct place_in_text *place)
{
    if (place->line == 0) {
        return (text){"", 0};
    }
    return place->is_argument
               ? text_format(arena, "%.*s, column %u: ", TEXT_ARG(place->file),
                             place->column)
               : text_format(arena, "%.*s:%u:%u: ", TEXT_ARG(place->file), place->line,
                             place->column);
}

static text write_notes(struct arena *arena, const struct diagnostic *diagnostic,
                        const struct sources *sources)
{
    text done = {"", 0};
    for (uint32_t i = 0; i < diagnostic->note_count; i++) {
        const struct diagnostic_note *note = &diagnostic->notes[i];
        const struct place_in_text place = sources_locate(sources, note->where);
        done = text_format(arena, "%.*s  note: %.*s%.*s\n", TEXT_ARG(done),
                           TEXT_ARG(write_place(arena, &place)), TEXT_ARG(note->message));
    }
    return done;
}

enum {
    WIDEST_EXCERPT = 120,
    LEAD_OF_EXCERPT = 40
};

/* Of a long line the stretch around the span; the place then counts from its start. */
static void shorten(struct place_in_text *place, uint32_t *length)
{
    text line = place->line_text;
    size_t skipped = 0;
    if (line.length <= WIDEST_EXCERPT) {
        return;
    }
    while (place->column > LEAD_OF_EXCERPT && skipped < line.length) {
        const size_t bytes = text_utf8_length(line, skipped);
        skipped += bytes == 0 ? 1 : bytes;
        place->column--;
    }
    size_t end =
        skipped + WIDEST_EXCERPT < line.length ? skipped + WIDEST_EXCERPT : line.length;
    while (end < line.length && ((unsigned char)line.at[end] & 0xC0) == 0x80) {
        end++;
    }
    place->line_text = text_slice(line, skipped, end);
    *length = *length > WIDEST_EXCERPT ? WIDEST_EXCERPT : *length;
}

text diagnostic_write(struct arena *arena, const struct diagnostic *diagnostic,
                      const struct sources *sources)
{
    struct place_in_text place = sources_locate(sources, diagnostic->where);
    uint32_t length = sources_written(sources, diagnostic->where).length;
    text done = text_format(
        arena, "%.*serror: %.*s [%s]\n", TEXT_ARG(write_place(arena, &place)),
        TEXT_ARG(diagnostic->message), diagnostic_code_word(diagnostic->code));
    if (place.line_text.length > 0) {
        shorten(&place, &length);
        const text carets = caret_line(arena, &place, length);
        done = text_format(arena, "%.*s    %.*s\n    %.*s\n", TEXT_ARG(done),
                           TEXT_ARG(printable(arena, place.line_text)), TEXT_ARG(carets));
    }
    if (diagnostic->expected.length > 0) {
        done = text_format(arena, "%.*s  expected: %.*s\n", TEXT_ARG(done),
                           TEXT_ARG(diagnostic->expected));
    }
    for (uint32_t i = 0; i < diagnostic->choice_count; i++) {
        done = text_format(arena, "%.*s    - %.*s\n", TEXT_ARG(done),
                           TEXT_ARG(diagnostic->choices[i]));
    }
    if (diagnostic->nearest.length > 0) {
        done = text_format(arena, "%.*s  did you mean \"%.*s\"?\n", TEXT_ARG(done),
                           TEXT_ARG(diagnostic->nearest));
    }
    return text_format(arena, "%.*s%.*s", TEXT_ARG(done),
                       TEXT_ARG(write_notes(arena, diagnostic, sources)));
}
