/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_JSON_ANSWER_H
#define WHYFIT_JSON_ANSWER_H

#include "json_words.h"

#include "array.h"

/* What the answers with steps have in common. */
struct json_writer {
    const struct answer *answer;
    struct arena *arena;
    ARRAY_OF(const struct deviation *) dimensions; /* met so far, sorted by name */
};

/* Schema, knowledge, question and, where that is asked, effort: what every answer starts
 * with. */
json_t *answer_open_json(const struct writer *writer, const struct answer *answer);
/* A value; a quantity `with_terms` can be computed with, and its dimensions are met. */
json_t *value_json(struct json_writer *writer, const struct names *names,
                   struct value value, bool with_terms);
json_t *row_json(struct json_writer *writer, const struct row *row);
/* A condition with what is bound: {"relation": …, "where": {column: value}}. */
json_t *condition_json(struct json_writer *writer, const struct condition *condition,
                       const struct value *slots);
/* All steps; what is chosen at assembly; and, last, all dimensions that were met. */
json_t *steps_json(struct json_writer *writer);
json_t *settings_json(struct json_writer *writer);
json_t *dimensions_json(const struct json_writer *writer);

#endif
