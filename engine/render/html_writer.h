/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_HTML_WRITER_H
#define WHYFIT_HTML_WRITER_H

#include "writer.h"

/*
 * HTML, as WHATWG's living standard has it. Tags and attributes are literals of the
 * program; whatever comes from facts, rules and questions goes through html_text, which
 * lets nothing but text out.
 */

/* Escaped; what is no valid UTF-8, and control characters, become U+FFFD. Fit for
 * elements and for attributes in double quotes. */
void html_text(struct writer *writer, text a);
/* Markup as it stands. */
void html_raw(struct writer *writer, const char *markup);
/* <TAG CLASS>escaped</TAG>; `classes` may be NULL. */
void html_element(struct writer *writer, const char *tag, const char *classes,
                  text content);

/* A heading and what stands below it, up to html_section_close. */
void html_section_open(struct writer *writer, text heading);
void html_section_close(struct writer *writer);

/* A list of texts; `classes` may be NULL. Nothing where there are none. */
void html_list(struct writer *writer, const char *classes, const text *items,
               uint32_t count);
/* The same under a heading of its own. */
void html_list_section(struct writer *writer, const char *heading, const text *items,
                       uint32_t count);

/* A table with a name for those who do not see it, and its column headings; `classes` may
 * be NULL. */
void html_table_open(struct writer *writer, const char *classes, text name,
                     const char *const *columns, uint32_t count);
void html_table_close(struct writer *writer);
/* A row, which opens with its heading. */
void html_row_open(struct writer *writer, text heading);
void html_row_close(struct writer *writer);

/* One pair of a list of terms; nothing where `what` is empty. */
void html_term(struct writer *writer, const char *term, text what);
/* One term with all that is said of it; nothing where that is nothing. */
void html_terms(struct writer *writer, const char *term, const text *what,
                uint32_t count);

#endif
