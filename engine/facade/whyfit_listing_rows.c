/* SPDX-License-Identifier: MIT */
/* Listings in rows: a line each, a row of CSV each, an object of JSON each. */
#include "facade_private.h"

#include "lister_private.h"
#include "listing_columns.h"
#include "nearest.h"

#include <jansson.h>
#include <stdio.h>
#include <string.h>

struct whyfit_columns {
    struct arena *arena;
    whyfit_rows rows;
    struct listing_columns columns;
    bool are_guessed;
    const char *words;
};

void whyfit_columns_free(whyfit_columns *columns)
{
    if (columns != NULL) {
        arena_close(columns->arena);
    }
}

const char *whyfit_columns_words(const whyfit_columns *columns)
{
    return columns->words;
}

bool whyfit_columns_guessed(const whyfit_columns *columns)
{
    return columns->are_guessed;
}

/* ---- heads */

static uint32_t json_heads(struct arena *arena, const char *head, size_t length,
                           text *heads)
{
    uint32_t count = 0;
    const char *key = NULL;
    json_t *value = NULL;
    json_t *object = json_loadb(head, length, 0, NULL);
    json_object_foreach(object, key, value)
    {
        if (count < MOST_CELLS && json_is_string(value)) {
            heads[count++] = text_copy(arena, text_of(key));
        }
    }
    json_decref(object);
    return count;
}

static text all_heads(struct arena *arena, const text *heads, uint32_t count)
{
    text all = {"", 0};
    for (uint32_t i = 0; i < count; i++) {
        all = text_format(arena, "%.*s%s%.*s", TEXT_ARG(all), i == 0 ? "" : ", ",
                          TEXT_ARG(heads[i]));
    }
    return all;
}

static void report(struct whyfit_problems *room, text missing, const text *heads,
                   uint32_t count)
{
    const uint32_t source =
        sources_add_argument(room->sources, TEXT("--columns"), missing);
    const span where = {source, 0, (uint32_t)missing.length};
    struct nearest near = nearest_to(missing);
    for (uint32_t i = 0; i < count; i++) {
        nearest_offer(&near, heads[i]);
    }
    struct diagnostic *one =
        missing.length > 0
            ? diagnostics_report(room->diagnostics, CODE_COLUMN_UNKNOWN, where,
                                 "the rows have no column \"%.*s\"", TEXT_ARG(missing))
            : diagnostics_report(room->diagnostics, CODE_COLUMN_UNKNOWN, where,
                                 "no column is called like a title or a description");
    one->expected = text_format(room->arena, "--columns with some of: %.*s",
                                TEXT_ARG(all_heads(room->arena, heads, count)));
    one->nearest = text_copy(room->arena, near.best);
}

static status find_columns(struct whyfit_columns *made,
                           const whyfit_columns_options *from,
                           struct whyfit_problems *room)
{
    text heads[MOST_CELLS];
    uint32_t count = 0;
    if (from->rows == WHYFIT_ROWS_CSV) {
        const text head = text_copy(made->arena, (text){from->head, from->head_length});
        made->columns.separator = listing_separator(head);
        TRY(listing_cells(made->arena, head, made->columns.separator, heads, &count));
    } else {
        count = json_heads(made->arena, from->head, from->head_length, heads);
    }
    for (size_t i = 0; i < from->column_count && i < MOST_COLUMNS; i++) {
        made->columns.names[i] = text_copy(made->arena, text_of(from->columns[i]));
        made->columns.count++;
    }
    made->columns.id = text_copy(made->arena, text_of(from->id));
    made->are_guessed = made->columns.count == 0;
    const text missing = listing_columns_find(heads, count, &made->columns);
    if (missing.length > 0 || made->columns.count == 0) {
        report(room, missing, heads, count);
        return STATUS_INVALID;
    }
    made->words = text_copy(made->arena, all_heads(made->arena, made->columns.names,
                                                   made->columns.count))
                      .at;
    return arena_status(made->arena);
}

whyfit_status whyfit_columns_open(const whyfit_columns_options *options,
                                  whyfit_columns **columns, whyfit_problems **problems)
{
    struct whyfit_problems *room = problems_open(allocator_standard(), 0, NULL);
    struct arena *arena = arena_open(allocator_standard(), 0);
    struct whyfit_columns *made =
        arena == NULL ? NULL : ARENA_NEW(arena, struct whyfit_columns);
    status result = room == NULL || made == NULL ? STATUS_NO_MEMORY : STATUS_OK;
    *columns = NULL;
    *problems = NULL;
    if (result == STATUS_OK) {
        made->arena = arena;
        made->rows = options->rows;
        made->words = "";
        result = options->rows == WHYFIT_ROWS_LINES ? STATUS_OK
                                                    : find_columns(made, options, room);
    }
    if (result == STATUS_OK) {
        *columns = made;
    } else if (arena != NULL) {
        arena_close(arena);
    }
    problems_give(room, problems);
    return public_status(result);
}

/* ---- rows */

static bool refuse(whyfit_listing *out, const char *reason)
{
    (void)snprintf(out->reason, sizeof out->reason, "%s", reason);
    return false;
}

/* The words and the name of a row of CSV; false: the reason is in `out`. */
static bool csv_words(struct arena *arena, const whyfit_columns *columns, text row,
                      text *words, text *id, whyfit_listing *out)
{
    text cells[MOST_CELLS];
    text parts[MOST_COLUMNS];
    uint32_t count = 0;
    const struct listing_columns *wanted = &columns->columns;
    if (listing_cells(arena, row, wanted->separator, cells, &count) != STATUS_OK) {
        return refuse(out, "it cannot be read as CSV");
    }
    for (uint32_t i = 0; i < wanted->count; i++) {
        if (wanted->cells[i] >= count) {
            return refuse(out, "it has too few cells");
        }
        parts[i] = cells[wanted->cells[i]];
    }
    *words = listing_join(arena, parts, wanted->count);
    *id = wanted->id.length > 0 && wanted->id_cell < count ? cells[wanted->id_cell]
                                                           : (text){"", 0};
    return true;
}

static bool json_text_of(struct arena *arena, const json_t *object, text key, text *out)
{
    const json_t *value = json_object_getn(object, key.at, key.length);
    if (json_is_integer(value)) {
        *out = text_format(arena, "%" JSON_INTEGER_FORMAT, json_integer_value(value));
        return true;
    }
    *out = json_is_string(value) ? text_copy(arena, (text){json_string_value(value),
                                                           json_string_length(value)})
                                 : (text){"", 0};
    return json_is_string(value);
}

static bool json_words(struct arena *arena, const whyfit_columns *columns, text row,
                       text *words, text *id, whyfit_listing *out)
{
    text parts[MOST_COLUMNS];
    json_error_t error;
    const struct listing_columns *wanted = &columns->columns;
    json_t *object = json_loadb(row.at, row.length, JSON_REJECT_DUPLICATES, &error);
    bool is_any = false;
    if (!json_is_object(object)) {
        json_decref(object);
        (void)snprintf(out->reason, sizeof out->reason, "it is no object of JSON: %.60s",
                       object == NULL ? error.text : "");
        return false;
    }
    for (uint32_t i = 0; i < wanted->count; i++) {
        is_any = json_text_of(arena, object, wanted->names[i], &parts[i]) || is_any;
    }
    *id = (text){"", 0};
    if (wanted->id.length > 0) {
        (void)json_text_of(arena, object, wanted->id, id);
    }
    json_decref(object);
    *words = listing_join(arena, parts, wanted->count);
    return is_any || refuse(out, "it has none of the columns");
}

static bool row_words(struct arena *arena, const whyfit_columns *columns, text row,
                      text *words, text *id, whyfit_listing *out)
{
    *words = row;
    *id = (text){"", 0};
    return columns->rows == WHYFIT_ROWS_CSV
               ? csv_words(arena, columns, row, words, id, out)
           : columns->rows == WHYFIT_ROWS_JSON
               ? json_words(arena, columns, row, words, id, out)
               : true;
}

whyfit_status whyfit_lister_row(whyfit_lister *lister, const whyfit_columns *columns,
                                const whyfit_listing_text *from, whyfit_sink *sink,
                                void *context, whyfit_listing *out)
{
    struct writer writer;
    text words;
    text id;
    *out = (whyfit_listing){0};
    if (!lister_writer_open(lister, &writer, sink, context)) {
        return WHYFIT_NO_MEMORY;
    }
    status result = STATUS_INVALID;
    if (row_words(writer.arena, columns, (text){from->at, from->length}, &words, &id,
                  out)) {
        const struct listing_label label = {from->row, id};
        result = lister_answer(lister, &writer, words, &label, from, out);
    }
    if (result == STATUS_INVALID && out->reason[0] == '\0') {
        (void)snprintf(out->reason, sizeof out->reason,
                       "byte %zu is not UTF-8: the file is to be saved as UTF-8",
                       out->wrong_at + 1);
    } else if (result == STATUS_LIMIT) {
        (void)snprintf(out->reason, sizeof out->reason, "it is longer than %d bytes",
                       WHYFIT_LISTING_BYTES);
    }
    return writer_close(&writer, result);
}
