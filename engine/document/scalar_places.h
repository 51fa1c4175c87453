/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_SCALAR_PLACES_H
#define WHYFIT_SCALAR_PLACES_H

#include "source_file.h"

/* How a scalar is written in its file. */
enum scalar_style {
    SCALAR_PLAIN,
    SCALAR_SINGLE_QUOTED,
    SCALAR_DOUBLE_QUOTED,
    SCALAR_BLOCK
};

/*
 * The span of a scalar whose word was read from `written`. Where the word stands there
 * byte for byte, that is `written` itself. Else it is a reading of its own (see
 * sources_add_reading): the word, in quotes unless the scalar is plain, so that in both
 * the word's bytes begin one after the quote, and a place in it is shown where it is
 * written. {0,0,0} when out of memory.
 */
span scalar_span(struct arena *arena, struct sources *sources, span written, text word,
                 enum scalar_style style);

#endif
