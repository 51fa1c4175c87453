/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_PREPARED_NOTES_H
#define WHYFIT_PREPARED_NOTES_H

#include "knowledge.h"

/*
 * What a prepared base says of the files it was read from: where it was prepared, from
 * which files and folders, and of each file its stamp and the digest of what was read.
 *
 * Whether a file is still what it was is told by its stamp: size, place, and two times,
 * of which the file system alone sets one whenever anything of the file changes. Two
 * things weaken that. Within one tick of the file system's clock a file may be changed
 * twice: so a file that was changed less than two seconds before preparing began (by the
 * clock that gave the new file its time) is never told by its stamp. And a stamp may
 * change where the content does not (a copy, a checkout). In both cases the content
 * decides.
 */
struct noted_file {
    text name; /* as it must be read here and now, with a NUL behind */
    struct file_stamp stamp;
    uint64_t digest;
};

struct notes {
    int64_t opened; /* when preparing began */
    text folder;    /* the working folder, against which names were meant */
    struct knowledge_input *inputs; /* as they must be read here and now */
    text *said;                     /* as they were said then */
    uint32_t input_count;
    struct noted_file *files; /* sorted by name */
    uint32_t file_count;
    text before; /* what goes before a relative name: empty in the same folder */
};

MUST_USE status notes_write(struct arena *arena, const struct knowledge *knowledge,
                            const struct knowledge_input *inputs, uint32_t input_count,
                            int64_t opened, text *out);
/* STATUS_INVALID: they are not well-formed. */
MUST_USE status notes_read(struct arena *arena, text written, struct notes *out);

/* What has happened to the files since; a name of one, and a sentence. STATUS_OK:
 * nothing; STATUS_INVALID: *message says what. */
MUST_USE status notes_check(struct arena *arena, const struct notes *notes,
                            text *message);
/* Whether these are the files and folders that it was prepared from. */
bool notes_are_of(const struct notes *notes, const struct knowledge_input *inputs,
                  uint32_t input_count);

#endif
