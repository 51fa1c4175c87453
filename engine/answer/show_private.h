/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_SHOW_PRIVATE_H
#define WHYFIT_SHOW_PRIVATE_H

#include "show.h"

#include "array.h"

/* What looking a word up gathers, line by line. */
struct gatherer {
    struct arena *arena;
    const struct knowledge *knowledge;
    ARRAY_OF(struct shown_line) lines;
};

/* A line, unless there is nothing to say. */
void say(struct gatherer *gatherer, text label, text what);

/* show_functions.c: one function, and all of them; each gives its heading. */
text show_function(struct gatherer *gatherer, const struct function_entry *function);
text show_functions(struct gatherer *gatherer);

#endif
