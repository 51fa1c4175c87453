/* SPDX-License-Identifier: MIT */
/*
 * Readings in a file: what was measured at the bench, to be asked with again.
 *
 *   readings:
 *     shaft.ring-land.to: measured 24.1 mm with depth-gauge
 */
#include "facade_private.h"

#include "limits.h"
#include "read_file.h"

#include <stdlib.h>
#include <string.h>

struct whyfit_readings {
    struct arena *arena;
    const whyfit_pair *pairs; /* sorted by name */
    size_t count;
};

static int compare_pairs(const void *a, const void *b)
{
    const whyfit_pair *left = a;
    const whyfit_pair *right = b;
    return strcmp(left->name, right->name);
}

static status take_pairs(struct whyfit_problems *room, const struct node *map,
                         struct whyfit_readings *out)
{
    static const char *const known[] = {"readings", NULL};
    const struct node *readings = node_field_of(map, "readings");
    node_refuse_others(map, known, "a file of readings", room->diagnostics);
    if (readings == NULL) {
        diagnostics_report(room->diagnostics, CODE_FIELD_MISSING, map->where,
                           "this file of readings has no `readings`")
            ->expected = TEXT("readings: {PLACE.FEATURE.FIELD: VALUE}");
        return STATUS_INVALID;
    }
    if (!node_expect(readings, NODE_MAP, "`readings`", room->diagnostics)) {
        return STATUS_INVALID;
    }
    whyfit_pair *pairs = ARENA_MANY(room->arena, readings->count, whyfit_pair);
    TRY(arena_status(room->arena));
    for (uint32_t i = 0; i < readings->count; i++) {
        const struct node_field *field = &readings->fields[i];
        if (!node_expect(field->value, NODE_WORD, "a reading", room->diagnostics)) {
            return STATUS_INVALID;
        }
        pairs[i] = (whyfit_pair){text_copy(room->arena, field->key).at,
                                 text_copy(room->arena, field->value->word).at};
    }
    if (readings->count > 1) {
        qsort(pairs, readings->count, sizeof *pairs, compare_pairs);
    }
    out->pairs = pairs;
    out->count = readings->count;
    return diagnostics_count(room->diagnostics) == 0 ? arena_status(room->arena)
                                                     : STATUS_INVALID;
}

static status load_into(struct whyfit_problems *room, const char *path,
                        struct whyfit_readings *out)
{
    text content = {"", 0};
    const struct node *map = NULL;
    TRY(file_read(room->arena, path, LIMIT_FILE_BYTES, &content, NULL));
    const uint32_t source = sources_add(room->sources, text_of(path), content);
    TRY(yaml_read(room->arena, room->sources, source, room->diagnostics, &map));
    return node_expect(map, NODE_MAP, "a file of readings", room->diagnostics)
               ? take_pairs(room, map, out)
               : STATUS_INVALID;
}

whyfit_status whyfit_readings_load(const char *path, whyfit_readings **readings,
                                   whyfit_problems **problems)
{
    struct whyfit_problems *room = problems_open(allocator_standard(), 0, NULL);
    struct whyfit_readings *made =
        room == NULL ? NULL : ARENA_NEW(room->arena, struct whyfit_readings);
    *readings = NULL;
    if (problems != NULL) {
        *problems = NULL;
    }
    if (made == NULL) {
        whyfit_problems_free(room);
        return WHYFIT_NO_MEMORY;
    }
    made->arena = room->arena;
    const status result = load_into(room, path, made);
    if (result != STATUS_OK) {
        problems_give(room, problems);
        return public_status(result);
    }
    *readings = made;
    return WHYFIT_OK;
}

const whyfit_pair *whyfit_readings_pairs(const whyfit_readings *readings, size_t *count)
{
    *count = readings == NULL ? 0 : readings->count;
    return readings == NULL ? NULL : readings->pairs;
}

void whyfit_readings_free(whyfit_readings *readings)
{
    if (readings != NULL) {
        arena_close(readings->arena);
    }
}

/* In double quotes, so that whatever was typed is read back as it was. */
static void write_quoted(struct writer *writer, const char *word)
{
    write_text(writer, TEXT("\""));
    for (const char *at = word; *at != '\0'; at++) {
        const unsigned char byte = (unsigned char)*at;
        if (byte < ' ') {
            write_format(writer, "\\x%02x", byte);
        } else {
            write_format(writer, "%s%c", byte == '"' || byte == '\\' ? "\\" : "", byte);
        }
    }
    write_text(writer, TEXT("\""));
}

whyfit_status whyfit_readings_write(const whyfit_pair *pairs, size_t count,
                                    whyfit_sink *sink, void *context)
{
    struct writer writer;
    if (!writer_open(&writer, allocator_standard(), sink, context)) {
        return WHYFIT_NO_MEMORY;
    }
    const whyfit_pair **sorted = ARENA_MANY(writer.arena, count, const whyfit_pair *);
    size_t kept = 0;
    for (size_t i = 0; sorted != NULL && i < count; i++) {
        size_t at = 0;
        while (at < kept && strcmp(sorted[at]->name, pairs[i].name) < 0) {
            at++;
        }
        const bool is_again = at < kept && strcmp(sorted[at]->name, pairs[i].name) == 0;
        if (!is_again) {
            memmove(&sorted[at + 1], &sorted[at], (kept - at) * sizeof *sorted);
            kept++;
        }
        sorted[at] = &pairs[i];
    }
    write_text(&writer, kept > 0 ? TEXT("readings:\n") : TEXT("readings: {}\n"));
    for (size_t i = 0; i < kept; i++) {
        write_text(&writer, TEXT("  "));
        write_quoted(&writer, sorted[i]->name);
        write_text(&writer, TEXT(": "));
        write_quoted(&writer, sorted[i]->value);
        write_text(&writer, TEXT("\n"));
    }
    return writer_close(&writer, STATUS_OK);
}
