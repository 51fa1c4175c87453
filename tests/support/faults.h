/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_TEST_FAULTS_H
#define WHYFIT_TEST_FAULTS_H

#include "node.h"
#include "room.h"

/* All faults so far, a line each, in the order they are shown:
 *
 *   line:column+length code: message [~ nearest] [@ line:column of each note with a
 * place]
 *
 * The length is that of what is written there. Only the first line of `room`'s files may
 * be left out of a table by comparing with strncmp: tables state all of it. */
static inline const char *room_faults(struct room *room)
{
    text all = {"", 0};
    diagnostics_sort(room->diagnostics, room->sources);
    for (uint32_t i = 0; i < diagnostics_kept(room->diagnostics); i++) {
        const struct diagnostic *one = diagnostics_at(room->diagnostics, i);
        const struct place_in_text at = sources_locate(room->sources, one->where);
        all = text_format(room->arena, "%.*s%s%u:%u+%u %s: %.*s%s%.*s", TEXT_ARG(all),
                          i > 0 ? "\n" : "", at.line, at.column,
                          sources_written(room->sources, one->where).length,
                          diagnostic_code_word(one->code), TEXT_ARG(one->message),
                          one->nearest.length > 0 ? " ~ " : "", TEXT_ARG(one->nearest));
        for (uint32_t k = 0; k < one->note_count; k++) {
            const struct place_in_text note =
                sources_locate(room->sources, one->notes[k].where);
            all = note.line == 0 ? all
                                 : text_format(room->arena, "%.*s @ %u:%u", TEXT_ARG(all),
                                               note.line, note.column);
        }
    }
    return all.at;
}

/* Reads a text as a document; NULL when it is refused. */
static inline const struct node *room_document(struct room *room, const char *name,
                                               text content)
{
    const struct node *document = NULL;
    const uint32_t source = sources_add(room->sources, text_of(name), content);
    return yaml_read(room->arena, room->sources, source, room->diagnostics, &document) ==
                   STATUS_OK
               ? document
               : NULL;
}

#endif
