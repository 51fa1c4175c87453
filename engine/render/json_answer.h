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
json_t *texts_json(const text *texts, uint32_t count);
json_t *pairs_json(struct arena *arena, const struct named_pair *pairs, uint32_t count);
json_t *subject_json(const struct finding *finding);
json_t *work_json(const struct answer *answer);
json_t *missing_json(const struct answer *answer);
/* render_upgrade_json.c: what `upgrade` asks; nothing where `upgrade` is NULL. */
void set_upgrade_question(struct arena *arena, json_t *question,
                          const struct upgrade *upgrade);
/* render_identify_json.c: the whole question, which names no unit. */
json_t *identify_question_json(struct arena *arena, const struct answer *answer);
/* render_sweep_json.c: the range of a sweep; nothing where it is NULL. */
void set_sweep_question(struct arena *arena, json_t *question, const struct sweep *sweep);
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
