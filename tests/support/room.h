/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_TEST_ROOM_H
#define WHYFIT_TEST_ROOM_H

#include "diagnostic.h"

/* What most tests need: an arena, sources and diagnostics. Closed by room_close. */
struct room {
    struct arena *arena;
    struct sources *sources;
    struct diagnostics *diagnostics;
};

static inline struct room room_open(void)
{
    struct room room = {.arena = arena_open(allocator_standard(), 0)};
    room.sources = sources_open(room.arena, NULL);
    room.diagnostics = diagnostics_open(room.arena);
    return room;
}

static inline void room_close(struct room *room)
{
    arena_close(room->arena);
}

/* Registers a text and gives the span of all of it. */
static inline span room_text(struct room *room, const char *name, text content)
{
    return (span){sources_add(room->sources, text_of(name), content), 0,
                  (uint32_t)content.length};
}

/* The first diagnostic as "code-word line:column", or "" when there is none. */
static inline text room_fault(struct room *room)
{
    if (diagnostics_kept(room->diagnostics) == 0) {
        return TEXT("");
    }
    diagnostics_sort(room->diagnostics, room->sources);
    const struct diagnostic *first = diagnostics_at(room->diagnostics, 0);
    const struct place_in_text at = sources_locate(room->sources, first->where);
    return text_format(room->arena, "%s %u:%u", diagnostic_code_word(first->code),
                       at.line, at.column);
}

#endif
