/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_DIAGNOSTIC_H
#define WHYFIT_DIAGNOSTIC_H

#include "source_file.h"

/*
 * What is wrong with the user's text. A run collects many, sorted by place, and never
 * stops at the first. Codes are stable words ("unit-unknown"); diagnostic_codes.def lists
 * them all with a sentence each, and a test fails for a code that no test provokes.
 */
enum diagnostic_code {
#define CODE(id, word, sentence) id,
#include "diagnostic_codes.def"
#undef CODE
    DIAGNOSTIC_CODE_COUNT
};

struct diagnostic_note {
    span where; /* may be SPAN_NONE */
    text message;
};

struct diagnostic {
    enum diagnostic_code code;
    span where;    /* in a file, or in a command-line argument */
    text message;  /* what is wrong, one line, no full stop */
    text expected; /* what would have been right; may be empty */
    text nearest;  /* the nearest valid word; may be empty */
    const text *choices; /* what was meant may be any of these, a line each */
    uint32_t choice_count;
    struct diagnostic_note notes[2];
    uint32_t note_count;
};

struct diagnostics;

MUST_USE struct diagnostics *diagnostics_open(struct arena *arena);

/* Adds one and gives it for filling in `expected`, `nearest` and notes; texts are
 * borrowed, so make them in an arena that lives as long. Past LIMIT_DIAGNOSTICS they are
 * only counted, and the one given is a scratch one. Never NULL. */
struct diagnostic *diagnostics_add(struct diagnostics *list, enum diagnostic_code code,
                                   span where, text message);
void diagnostic_note_add(struct diagnostic *diagnostic, span where, text message);

/* The arena messages should be made in. */
struct arena *diagnostics_arena(struct diagnostics *list);

/* diagnostics_add with a formatted message (see text_format). */
__attribute__((format(printf, 4, 5))) struct diagnostic *
diagnostics_report(struct diagnostics *list, enum diagnostic_code code, span where,
                   const char *format, ...);

uint32_t
diagnostics_count(const struct diagnostics *list); /* all, also those past the limit */
uint32_t diagnostics_kept(const struct diagnostics *list);
/* Sorted by source name, place, code, message; the same one found twice (of a line that
 * several units share) is kept once. Call after the last add. */
void diagnostics_sort(struct diagnostics *list, const struct sources *sources);
const struct diagnostic *diagnostics_at(const struct diagnostics *list, uint32_t i);

const char *diagnostic_code_word(enum diagnostic_code code);     /* "unit-unknown" */
const char *diagnostic_code_sentence(enum diagnostic_code code); /* one sentence */

/* "file:line:column: error: message [code]", the line with a caret run, expected,
 * nearest, notes; each line ends in \n. Gives a text in the arena. */
text diagnostic_write(struct arena *arena, const struct diagnostic *diagnostic,
                      const struct sources *sources);

#endif
