/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_PREPARED_H
#define WHYFIT_PREPARED_H

#include "image.h"
#include "knowledge.h"

/*
 * A knowledge in a file, with all that follows from it, to be asked without reading text.
 * It is used only where it is as it was written, by the program that wrote it, and where
 * every file it was read from is what it was: never on trust. What keeps it from being
 * used is a diagnostic; then the text is read.
 */

/* Loads the inputs (files and folders) and writes them to `path`. `arena` lies in
 * `region`, and holds whatever is reported; where all went well it is sealed: the region
 * is then to be closed, and not the arena. */
MUST_USE status prepared_write(struct arena *arena, struct region *region,
                               const char *path, const struct knowledge_input *inputs,
                               uint32_t input_count, struct sources *sources,
                               struct diagnostics *diagnostics);

struct prepared {
    struct image *image;               /* NULL: it cannot be used */
    const struct knowledge *knowledge; /* in the arena that was handed over */
    /* What it was asked for from, or else what it was prepared from, as far as the file
     * could say: the text to read when it cannot be used. */
    const struct knowledge_input *inputs;
    uint32_t input_count;
};

/* What is wanted of the file: the knowledge of `inputs`; with none whatever it was
 * prepared from. on_touch: as image_open. */
struct prepared_wanted {
    const char *path;
    span where; /* of the path, for what is wrong with it */
    const struct knowledge_input *inputs;
    uint32_t input_count;
    bool on_touch;
};

/* STATUS_INVALID: it may not be used, reported. On STATUS_OK out->image is owned
 * (image_close). */
MUST_USE status prepared_open(struct arena *arena, const struct prepared_wanted *wanted,
                              struct diagnostics *diagnostics, struct prepared *out);

#endif
