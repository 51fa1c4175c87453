/* SPDX-License-Identifier: MIT */
/*
 * Texts by number; line starts of each are found once (of a large text those of some
 * lines), lines then by binary search. A reading has pieces in place of lines: its places
 * are looked up in what it was read from, which has a smaller number, so following pieces
 * ends.
 */
#include "source_file.h"

#include "array.h"

/* In this order no whole word of it is padding, in which a copy may leave anything: a
 * prepared base is searched for stray addresses. */
struct source {
    text name;
    text content;
    ARRAY_OF(uint32_t) line_starts;     /* of every `stride`-th line */
    const struct reading_piece *pieces; /* of a reading, else NULL */
    span whole;
    uint32_t stride;
    uint32_t piece_count;
    bool is_argument;
};

struct sources {
    struct arena *arena;
    const struct sources *parent;
    uint32_t first; /* the number of all.at[0] */
    ARRAY_OF(struct source) all;
};

struct sources *sources_open(struct arena *arena, const struct sources *parent)
{
    struct sources *sources = ARENA_NEW(arena, struct sources);
    if (sources != NULL) {
        sources->arena = arena;
        sources->parent = parent;
        sources->first = parent == NULL ? 1 : sources_count(parent) + 1;
    }
    return sources;
}

/* Whether a line ends with byte i; the last byte of \r\n ends it. */
static bool ends_line(text content, size_t i)
{
    return content.at[i] == '\n' ||
           (content.at[i] == '\r' &&
            (i + 1 >= content.length || content.at[i + 1] != '\n'));
}

static uint32_t keep(struct sources *sources, struct source source)
{
    if (arena_status(sources->arena) != STATUS_OK ||
        !ARRAY_PUSH(sources->arena, &sources->all, source)) {
        return 0;
    }
    return sources->first + sources->all.count - 1;
}

uint32_t sources_add(struct sources *sources, text name, text content)
{
    struct source source = {.name = text_copy(sources->arena, name),
                            .content = text_copy(sources->arena, content),
                            .stride = 1};
    const uint32_t lead = text_starts(content, TEXT("\xEF\xBB\xBF")) ? 3 : 0;
    bool is_kept = ARRAY_PUSH(sources->arena, &source.line_starts, lead);
    for (size_t i = 0; is_kept && i < source.content.length; i++) {
        if (ends_line(source.content, i)) {
            is_kept = ARRAY_PUSH(sources->arena, &source.line_starts, (uint32_t)(i + 1));
        }
    }
    return keep(sources, source);
}

/* Where the line after the one at `at` starts; the end of the text when there is none. */
static size_t next_line(text content, size_t at)
{
    const size_t end = text_find(content, '\n', at);
    return end < content.length ? end + 1 : end;
}

uint32_t sources_add_kept(struct sources *sources, text name, text content)
{
    enum {
        STRIDE = 256
    };
    struct source source = {
        .name = text_copy(sources->arena, name), .content = content, .stride = STRIDE};
    const uint32_t lead = text_starts(content, TEXT("\xEF\xBB\xBF")) ? 3 : 0;
    bool is_kept = ARRAY_PUSH(sources->arena, &source.line_starts, lead);
    uint32_t line = 0;
    for (size_t at = next_line(content, lead); is_kept && at < content.length;
         at = next_line(content, at)) {
        if (++line % STRIDE == 0) {
            is_kept = ARRAY_PUSH(sources->arena, &source.line_starts, (uint32_t)at);
        }
    }
    return keep(sources, source);
}

uint32_t sources_add_reading(struct sources *sources, text content, span whole,
                             const struct reading_piece *pieces, uint32_t count)
{
    struct source reading = {.content = text_copy(sources->arena, content),
                             .piece_count = count,
                             .whole = whole};
    reading.pieces = arena_copy(sources->arena, pieces, count * sizeof *pieces);
    return keep(sources, reading);
}

uint32_t sources_add_argument(struct sources *sources, text name, text content)
{
    const uint32_t added = sources_add(sources, name, content);
    if (added != 0) {
        sources->all.at[added - sources->first].is_argument = true;
    }
    return added;
}

static const struct source *find_source(const struct sources *sources, uint32_t source)
{
    while (sources != NULL && source < sources->first) {
        sources = sources->parent;
    }
    return sources == NULL || source - sources->first >= sources->all.count
               ? NULL
               : &sources->all.at[source - sources->first];
}

text sources_name(const struct sources *sources, uint32_t source)
{
    const struct source *found = find_source(sources, source);
    return found == NULL ? (text){"", 0} : found->name;
}

text sources_content(const struct sources *sources, uint32_t source)
{
    const struct source *found = find_source(sources, source);
    return found == NULL ? (text){"", 0} : found->content;
}

uint32_t sources_count(const struct sources *sources)
{
    return sources->first + sources->all.count - 1;
}

/* The last piece that starts at or before `at`. */
static const struct reading_piece *piece_of(const struct source *source, uint32_t at)
{
    uint32_t low = 0;
    uint32_t high = source->piece_count;
    while (high - low > 1) {
        const uint32_t middle = low + (high - low) / 2;
        if (source->pieces[middle].at <= at) {
            low = middle;
        } else {
            high = middle;
        }
    }
    return &source->pieces[low];
}

/* Whether a piece was read from where the reading as a whole stands. */
static bool is_inside(const struct source *reading, const struct reading_piece *piece)
{
    const span *whole = &reading->whole;
    return piece->source == whole->source && piece->from >= whole->at &&
           piece->from <= whole->at + whole->length;
}

/* One step from a reading to what it was read from. */
static span written_once(const struct source *reading, span where)
{
    const struct reading_piece *first = piece_of(reading, where.at);
    const uint32_t start = first->from + (where.at - first->at);
    if (where.length == 0) {
        return (span){first->source, start, 0};
    }
    const uint32_t at = where.at + where.length - 1;
    const struct reading_piece *last = piece_of(reading, at);
    const uint32_t end = last->from + (at - last->at) + 1;
    const bool is_together =
        first == last || (is_inside(reading, first) && is_inside(reading, last));
    return is_together && end > start ? (span){first->source, start, end - start}
                                      : reading->whole;
}

span sources_written(const struct sources *sources, span where)
{
    const struct source *source = find_source(sources, where.source);
    while (source != NULL && source->piece_count > 0) {
        where = written_once(source, where);
        source = find_source(sources, where.source);
    }
    return where;
}

/* The last line that starts at or before `at`, and where it starts. */
static uint32_t line_of(const struct source *source, uint32_t at, size_t *start_out)
{
    uint32_t low = 0;
    uint32_t high = source->line_starts.count;
    while (high - low > 1) {
        const uint32_t middle = low + (high - low) / 2;
        if (source->line_starts.at[middle] <= at) {
            low = middle;
        } else {
            high = middle;
        }
    }
    size_t start = source->line_starts.at[low];
    uint32_t line = low * source->stride;
    for (uint32_t i = 1; i < source->stride; i++) {
        const size_t next = next_line(source->content, start);
        if (next > at || next >= source->content.length) {
            break;
        }
        start = next;
        line++;
    }
    *start_out = start;
    return line;
}

/* Where line `line` ends: where the next one starts. */
static size_t line_end(const struct source *source, uint32_t line, size_t start)
{
    return source->stride > 1                     ? next_line(source->content, start)
           : line + 1 < source->line_starts.count ? source->line_starts.at[line + 1]
                                                  : source->content.length;
}

struct place_in_text sources_locate(const struct sources *sources, span of)
{
    const span where = sources_written(sources, of);
    const struct source *source = find_source(sources, where.source);
    if (source == NULL) {
        return (struct place_in_text){0};
    }
    const uint32_t at =
        where.at < source->content.length ? where.at : (uint32_t)source->content.length;
    size_t start = 0;
    const uint32_t line = line_of(source, at, &start);
    size_t end = line_end(source, line, start);
    while (end > start &&
           (source->content.at[end - 1] == '\n' || source->content.at[end - 1] == '\r')) {
        end--;
    }
    const text before = text_slice(source->content, start, at);
    return (struct place_in_text){.file = source->name,
                                  .line = line + 1,
                                  .column = (uint32_t)text_columns(before) + 1,
                                  .line_text = text_slice(source->content, start, end),
                                  .is_argument = source->is_argument};
}

size_t sources_line_start(const struct sources *sources, uint32_t source, size_t line)
{
    const struct source *found = find_source(sources, source);
    if (found == NULL) {
        return 0;
    }
    const size_t mark = line / found->stride;
    if (mark >= found->line_starts.count) {
        return found->content.length;
    }
    size_t start = found->line_starts.at[mark];
    for (size_t i = line % found->stride; i > 0; i--) {
        start = next_line(found->content, start);
    }
    return start;
}

text sources_quote(const struct sources *sources, span where)
{
    return text_slice(sources_content(sources, where.source), where.at,
                      (size_t)where.at + where.length);
}
