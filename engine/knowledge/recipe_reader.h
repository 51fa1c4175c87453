/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_RECIPE_READER_H
#define WHYFIT_RECIPE_READER_H

#include "recipe.h"
#include "stated.h"

/* What the readers of a unit's lines share. A fault is reported and sets `result`. */
struct recipe_reader {
    struct arena *arena;
    struct names *names;
    struct diagnostics *diagnostics;
    status result;
};

void recipe_fault(struct recipe_reader *reader, span where, text message,
                  const char *expected);
size_t recipe_skip(text line, size_t from); /* past blanks */
/* Reads "place.feature", or "place" where the whole is allowed, at *at; false (reported)
 * when there is none. */
bool recipe_ref(struct recipe_reader *reader, const struct node *word, size_t *at,
                bool whole_allowed, struct feature_ref *out);
/* Passes over this very word and the blanks after it. */
bool recipe_word(text line, size_t *at, const char *word);
/* The word under `key`, or the empty text. */
text recipe_optional(struct recipe_reader *reader, const struct node *map,
                     const char *key);
/* A dimension in its own notation: what is wrong with it is said when the file is read,
 * though its value is made anew for every question. False (reported) when it is none. */
bool recipe_quantity(struct recipe_reader *reader, text word, span where,
                     const char *dimension, struct stated *out);
bool recipe_expect(struct recipe_reader *reader, const struct node *node,
                   enum node_kind kind, const char *what);
void recipe_refuse_others(struct recipe_reader *reader, const struct node *map,
                          const char *const *known, const char *what);

/* recipe_spaces.c: the fields `spaces` and `paths` of a map of lines. */
void recipe_spaces(struct recipe_reader *reader, const struct node *map,
                   struct lines *out);

#endif
