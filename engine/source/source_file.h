/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_SOURCE_FILE_H
#define WHYFIT_SOURCE_FILE_H

#include "text.h"

#include <stdint.h>

/*
 * Texts the user gave us, and places in them. A span is a byte range of one source; line,
 * column and the quoted line are worked out only when shown. Source 0 is "nowhere".
 */
typedef struct span {
    uint32_t source;
    uint32_t at;
    uint32_t length;
} span;

#define SPAN_NONE ((span){0, 0, 0})

struct sources;

/* From `at` on, the bytes of a reading are those that stand at `from` of `source`, until
 * its next piece. */
struct reading_piece {
    uint32_t at;
    uint32_t source;
    uint32_t from;
};

struct place_in_text {
    text file;
    uint32_t line;    /* from 1 */
    uint32_t column;  /* in code points, from 1 */
    text line_text;   /* the whole line, without its end */
    bool is_argument; /* not a file: words of a question, one line */
};

/* With a parent (may be NULL; kept) the numbers go on where the parent's end, so that a
 * question's faults can point into the knowledge as well. The parent must not grow
 * meanwhile. */
MUST_USE struct sources *sources_open(struct arena *arena, const struct sources *parent);

/* Registers a text under a name to show (a path as the user gave it, or an argument such
 * as "argument 3"). Both are copied. Gives the source's number, 0 when out of memory. */
uint32_t sources_add(struct sources *sources, text name, text content);
/* The same for a large text of many lines, which is not copied and must live as long as
 * the sources. Its lines end with \n or \r\n. */
uint32_t sources_add_kept(struct sources *sources, text name, text content);
/* The same for words of a question ("change 1"): shown by name and column only. */
uint32_t sources_add_argument(struct sources *sources, text name, text content);

/*
 * Registers a reading: a text that other sources write otherwise (a scalar with escapes
 * or over several lines, a template with its blanks filled), so that places in it can be
 * shown where they are written. Its pieces lead to sources added before it; the first
 * starts at 0, and they go up. `whole` is where all of it is written. Text and pieces are
 * copied. 0 when out of memory.
 */
uint32_t sources_add_reading(struct sources *sources, text content, span whole,
                             const struct reading_piece *pieces, uint32_t count);
/* Where a span is written: itself, or for one in a reading from what its first byte was
 * read from to what its last one was. Where those do not lie together (one in a template,
 * one in what fills it) it is all that the reading was read from. */
span sources_written(const struct sources *sources, span where);

text sources_name(const struct sources *sources, uint32_t source);
text sources_content(const struct sources *sources, uint32_t source);
uint32_t sources_count(const struct sources *sources);

/* Where a span is written and starts. For SPAN_NONE file is "" and line 0. A line ends
 * with \n, \r\n or \r, as it does for libyaml; a byte order mark is before the first. */
struct place_in_text sources_locate(const struct sources *sources, span where);

/* Where a line (counted from 0) starts, in bytes; the end of the text when it has no such
 * line. */
size_t sources_line_start(const struct sources *sources, uint32_t source, size_t line);

/* The text a span covers. */
text sources_quote(const struct sources *sources, span where);

#endif
