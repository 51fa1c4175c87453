/* SPDX-License-Identifier: MIT */
/* Texts by number; line starts of each are found once, lines then by binary search. */
#include "source_file.h"

#include "array.h"

struct source {
    text name;
    text content;
    ARRAY_OF(uint32_t) line_starts;
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

uint32_t sources_add(struct sources *sources, text name, text content)
{
    struct source source = {.name = text_copy(sources->arena, name),
                            .content = text_copy(sources->arena, content)};
    bool is_kept = ARRAY_PUSH(sources->arena, &source.line_starts, 0);
    for (size_t i = 0; is_kept && i < source.content.length; i++) {
        if (source.content.at[i] == '\n') {
            is_kept = ARRAY_PUSH(sources->arena, &source.line_starts, (uint32_t)(i + 1));
        }
    }
    if (!is_kept || !ARRAY_PUSH(sources->arena, &sources->all, source)) {
        return 0;
    }
    return sources->first + sources->all.count - 1;
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

/* The last line that starts at or before `at`. */
static uint32_t line_of(const struct source *source, uint32_t at)
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
    return low;
}

struct place_in_text sources_locate(const struct sources *sources, span where)
{
    const struct source *source = find_source(sources, where.source);
    if (source == NULL) {
        return (struct place_in_text){0};
    }
    const uint32_t at =
        where.at < source->content.length ? where.at : (uint32_t)source->content.length;
    const uint32_t line = line_of(source, at);
    const uint32_t start = source->line_starts.at[line];
    size_t end = text_find(source->content, '\n', start);
    if (end > start && source->content.at[end - 1] == '\r') {
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
    return found == NULL                      ? 0
           : line >= found->line_starts.count ? found->content.length
                                              : found->line_starts.at[line];
}

text sources_quote(const struct sources *sources, span where)
{
    return text_slice(sources_content(sources, where.source), where.at,
                      (size_t)where.at + where.length);
}
