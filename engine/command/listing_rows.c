/* SPDX-License-Identifier: MIT */
#include "listing_rows.h"

#include <stdlib.h>
#include <string.h>

bool rows_open(struct rows_in *in, FILE *file, whyfit_rows rows)
{
    *in = (struct rows_in){.file = file, .rows = rows, .buffer = malloc(ROWS_BUFFER)};
    return in->buffer != NULL;
}

void rows_close(struct rows_in *in)
{
    free(in->buffer);
}

/* The line end that ends the row at `from`: in CSV the first outside of quotes, which
 * open where a cell starts and nowhere else. Length of the buffer: it is not there. */
static size_t row_end(const struct rows_in *in, size_t from)
{
    const char *newline = memchr(in->buffer + from, '\n', in->length - from);
    if (in->rows != WHYFIT_ROWS_CSV) {
        return newline == NULL ? in->length : (size_t)(newline - in->buffer);
    }
    bool is_quoted = false;
    bool starts_cell = true;
    for (size_t at = from; at < in->length; at++) {
        const char c = in->buffer[at];
        if (c == '"' && (is_quoted || starts_cell)) {
            is_quoted = !is_quoted; /* a doubled one closes and opens again */
            starts_cell = !is_quoted;
            continue;
        }
        if (c == '\n' && !is_quoted) {
            return at;
        }
        starts_cell = c == ',' || c == ';' || c == '\t' || (starts_cell && c == ' ');
    }
    return in->length;
}

/* Moves what was not given to the front and fills up behind it. */
static bool fill(struct rows_in *in)
{
    memmove(in->buffer, in->buffer + in->used, in->length - in->used);
    in->length -= in->used;
    in->used = 0;
    while (!in->is_end && in->length < ROWS_BUFFER) {
        const size_t read =
            fread(in->buffer + in->length, 1, ROWS_BUFFER - in->length, in->file);
        in->length += read;
        in->is_end = read == 0;
    }
    return ferror(in->file) == 0;
}

static bool is_blank_row(const char *at, size_t length)
{
    for (size_t i = 0; i < length; i++) {
        if (at[i] != ' ' && at[i] != '\t' && at[i] != '\r') {
            return false;
        }
    }
    return true;
}

static void give(struct rows_in *in, size_t end, bool is_too_long)
{
    const char *at = in->buffer + in->used;
    size_t length = end - in->used;
    while (length > 0 && at[length - 1] == '\r') {
        length--;
    }
    if (is_too_long || !is_blank_row(at, length)) {
        in->places[in->count++] = (struct row_place){at, length, is_too_long};
    }
}

/* Passes over the rest of a row that was too long, as far as it is in the buffer. */
static void skip(struct rows_in *in)
{
    const char *newline = memchr(in->buffer + in->used, '\n', in->length - in->used);
    const size_t end = newline == NULL ? in->length : (size_t)(newline - in->buffer) + 1;
    in->is_skipping = newline == NULL && !in->is_end;
    in->offset += end - in->used;
    in->used = end;
}

bool rows_next(struct rows_in *in, size_t most)
{
    in->count = 0;
    while (in->count == 0 && (!in->is_end || in->used < in->length)) {
        if (!fill(in)) {
            return false;
        }
        while (in->is_skipping && in->used < in->length) {
            skip(in);
        }
        while (in->count < most && in->count < ROWS_WINDOW && in->used < in->length) {
            const size_t end = row_end(in, in->used);
            const bool is_cut = end == in->length && !in->is_end;
            if (is_cut && in->used > 0) {
                break; /* the rest comes with the next stretch */
            }
            give(in, end, is_cut);
            in->is_skipping = is_cut;
            const size_t next = end < in->length ? end + 1 : end;
            in->offset += next - in->used;
            in->used = next;
        }
    }
    return true;
}
