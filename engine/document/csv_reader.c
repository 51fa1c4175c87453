/* SPDX-License-Identifier: MIT */
/*
 * One pass over the bytes. A row that is at fault is given up at the end of its line, and
 * where a quote is never closed nothing can be read after it. The cells of a row that is
 * read lie inside the row, in their order, and none is longer than LIMIT_SCALAR_BYTES.
 */
#include "csv_reader.h"

#include "limits.h"

#include <string.h>

struct csv csv_open(text content, uint32_t source, struct diagnostics *diagnostics)
{
    const size_t lead = text_starts(content, TEXT("\xEF\xBB\xBF")) ? 3 : 0;
    return (struct csv){.content = content,
                        .source = source,
                        .at = lead,
                        .diagnostics = diagnostics,
                        .longest = LIMIT_SCALAR_BYTES,
                        .separator = ','};
}

static span span_between(const struct csv *csv, size_t from, size_t end)
{
    return (span){csv->source, (uint32_t)from, (uint32_t)(end - from)};
}

/* Goes on behind the end of the line; the row then ends before it. */
static void end_row(struct csv *csv, size_t line_end)
{
    const char *bytes = csv->content.at;
    csv->row_end = line_end;
    if (line_end > csv->row_at && bytes[line_end - 1] == '\r') {
        csv->row_end--;
    }
    csv->at = line_end < csv->content.length ? line_end + 1 : line_end;
}

static enum csv_result give_up(struct csv *csv, size_t from, size_t end,
                               const char *message, const char *expected)
{
    diagnostics_report(csv->diagnostics, CODE_CSV_SYNTAX, span_between(csv, from, end),
                       "%s", message)
        ->expected = text_of(expected);
    end_row(csv, text_find(csv->content, '\n', end));
    return CSV_WRONG;
}

static bool is_separator(const struct csv *csv, size_t at)
{
    const char *bytes = csv->content.at;
    return at >= csv->content.length || bytes[at] == csv->separator ||
           bytes[at] == '\n' ||
           (bytes[at] == '\r' &&
            (at + 1 >= csv->content.length || bytes[at + 1] == '\n'));
}

/* Finds the end of a quoted cell whose text starts at `at`; gives where its closing quote
 * stands, or the end of the text. */
static size_t closing_quote(const struct csv *csv, size_t at, bool *has_doubled)
{
    size_t quote = text_find(csv->content, '"', at);
    while (quote + 1 < csv->content.length && csv->content.at[quote + 1] == '"') {
        *has_doubled = true;
        quote = text_find(csv->content, '"', quote + 2);
    }
    return quote;
}

/* A cell between quotes, of which the first stands at `at`. */
static enum csv_result quoted_cell(struct csv *csv, size_t at, struct csv_cell *cell,
                                   size_t *end)
{
    const size_t quote = closing_quote(csv, at + 1, &cell->has_doubled);
    if (quote >= csv->content.length) {
        (void)give_up(csv, at, at + 1, "this quote is never closed", "a closing quote");
        csv->at = csv->content.length;
        return CSV_WRONG;
    }
    *end = quote + 1;
    while (*end < csv->content.length && is_blank(csv->content.at[*end])) {
        (*end)++;
    }
    if (!is_separator(csv, *end)) {
        return give_up(csv, quote, *end + 1, "a quoted cell goes on behind its quote",
                       "a comma or the end of the line; a quote inside is doubled");
    }
    cell->at = (uint32_t)(at + 1);
    cell->length = (uint32_t)(quote - at - 1);
    return CSV_ROW;
}

/* A cell without quotes, from `at` on; blanks before it have been passed over. */
static enum csv_result plain_cell(struct csv *csv, size_t at, struct csv_cell *cell,
                                  size_t *end)
{
    const char *bytes = csv->content.at;
    const size_t length = csv->content.length;
    size_t stop = at;
    while (stop < length && bytes[stop] != csv->separator && bytes[stop] != '\n' &&
           (bytes[stop] != '"' || csv->keeps_quotes)) {
        stop++;
    }
    if (stop < length && bytes[stop] == '"') {
        return give_up(csv, stop, stop + 1, "a quote inside a cell without quotes",
                       "quotes around the whole cell, and this one doubled");
    }
    const bool is_last = stop >= length || bytes[stop] == '\n';
    if (is_last && stop > at && bytes[stop - 1] == '\r') {
        stop--;
    }
    *end = stop;
    while (stop > at && is_blank(bytes[stop - 1])) {
        stop--;
    }
    cell->at = (uint32_t)at;
    cell->length = (uint32_t)(stop - at);
    return CSV_ROW;
}

static enum csv_result next_cell(struct csv *csv, size_t at, struct csv_cell *cell,
                                 size_t *end)
{
    *cell = (struct csv_cell){0};
    while (at < csv->content.length && is_blank(csv->content.at[at])) {
        at++;
    }
    const bool is_quoted = at < csv->content.length && csv->content.at[at] == '"';
    const enum csv_result result =
        is_quoted ? quoted_cell(csv, at, cell, end) : plain_cell(csv, at, cell, end);
    return result == CSV_ROW && cell->length > csv->longest
               ? give_up(csv, cell->at, cell->at + 1, "this cell is too long",
                         "at most 4096 bytes")
               : result;
}

static void pass_empty_lines(struct csv *csv)
{
    const char *bytes = csv->content.at;
    while (csv->at < csv->content.length &&
           (bytes[csv->at] == '\n' ||
            (bytes[csv->at] == '\r' && is_separator(csv, csv->at)))) {
        csv->at++;
    }
}

enum csv_result csv_next(struct csv *csv, struct csv_cell *cells, uint32_t room,
                         uint32_t *count)
{
    *count = 0;
    pass_empty_lines(csv);
    if (csv->at >= csv->content.length) {
        return CSV_END;
    }
    csv->row_at = csv->at;
    size_t end = csv->at;
    for (bool is_more = true; is_more; end++) {
        struct csv_cell cell;
        const enum csv_result result = next_cell(csv, end, &cell, &end);
        if (result != CSV_ROW) {
            return result;
        }
        if (*count < room) {
            cells[*count] = cell;
        }
        (*count)++;
        is_more = end < csv->content.length && csv->content.at[end] == csv->separator;
    }
    end_row(csv, text_find(csv->content, '\n', end - 1));
    return CSV_ROW;
}

text csv_cell_text(const struct csv *csv, const struct csv_cell *cell, char *room)
{
    const text written = {csv->content.at + cell->at, cell->length};
    size_t length = 0;
    if (!cell->has_doubled) {
        return written;
    }
    for (size_t i = 0; i < written.length; i++) {
        room[length++] = written.at[i];
        i += written.at[i] == '"' ? 1 : 0;
    }
    return (text){room, length};
}

span csv_cell_span(const struct csv *csv, const struct csv_cell *cell)
{
    return (span){csv->source, cell->at, cell->length};
}

span csv_row_span(const struct csv *csv)
{
    return span_between(csv, csv->row_at, csv->row_end);
}
