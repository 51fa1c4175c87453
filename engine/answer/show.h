/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_SHOW_H
#define WHYFIT_SHOW_H

#include "knowledge.h"

/* What a word names, as lines: a label (may be empty) and what it says. */
struct shown_line {
    text label;
    text what;
};

struct shown {
    text heading;
    const struct shown_line *lines;
    uint32_t count;
    const struct function_table *functions; /* where they were asked for, else NULL */
};

/* A part, unit, kind, rule, relation, function or maker's number, or the word of a list
 * (`kinds`, `units`, `rules`, `functions`, `gauges`); reported with the nearest when it
 * is none. */
MUST_USE status show_word(struct arena *arena, const struct knowledge *knowledge,
                          text word, span where, struct diagnostics *diagnostics,
                          struct shown *out);

#endif
