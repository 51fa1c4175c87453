/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_JSON_WORDS_H
#define WHYFIT_JSON_WORDS_H

#include "render.h"

#include <jansson.h>

/* Values as JSON; a number that does not exist is null. NULL: no memory, which setting
 * and pushing pass over and json_write reports. */
json_t *json_text(text a);
json_t *json_word(const char *word);
json_t *json_number(double value);
/* The unit a dimension is shown in; a nameless one is shown as it is. */
struct unit json_unit(struct dimension dim);
/* A coherent magnitude in the shown unit, rounded to what can be told apart. */
json_t *json_magnitude(struct dimension dim, double value);
/* A difference of magnitudes: no zero offset as for temperatures. */
json_t *json_step(struct dimension dim, double value);
void json_set(json_t *object, const char *key, json_t *value);
void json_push(json_t *array, json_t *value);
/* Problems as {"question": …, "error": […]}; `question` (may be NULL) is released. */
MUST_USE status render_fault_json(struct writer *writer, json_t *question,
                                  const struct diagnostics *problems,
                                  const struct sources *sources);
/* Writes the tree as one line, and releases it. */
MUST_USE status json_write(struct writer *writer, json_t *tree);

#endif
