/* SPDX-License-Identifier: MIT */
/* The answers to `why` as JSON: the rows asked of, and their steps as in a swap's answer.
 */
#include "json_answer.h"

#include "explanation.h"

static json_t *nearest_json(struct json_writer *writer,
                            const struct explanation *explanation)
{
    json_t *list = json_array();
    for (uint32_t i = 0; i < explanation->nearest_count; i++) {
        json_push(list, row_json(writer, explanation->nearest[i]));
    }
    return list;
}

static json_t *explained_json(struct json_writer *writer,
                              const struct explanation *explanation)
{
    json_t *list = json_array();
    for (uint32_t i = 0; i < explanation->row_count; i++) {
        const struct explained_row *one = &explanation->rows[i];
        json_t *object = json_object();
        json_set(object, "row", row_json(writer, one->row));
        json_set(object, "sentence",
                 one->sentence.length == 0 ? json_null() : json_text(one->sentence));
        json_set(object, "step", one->step == 0 ? json_null() : json_integer(one->step));
        json_push(list, object);
    }
    return list;
}

status render_explanation_json(struct writer *writer, const struct answer *answer)
{
    struct json_writer json = {.answer = answer, .arena = writer->arena};
    const struct explanation *explanation = answer->explanation;
    json_t *object = answer_open_json(writer->arena, answer);
    json_set(object, "matches", json_integer(explanation->match_count));
    json_set(object, "rows", explained_json(&json, explanation));
    json_set(object, "nearest", nearest_json(&json, explanation));
    json_set(object, "steps", steps_json(&json));
    json_set(object, "settings", settings_json(&json));
    json_set(object, "dimensions", dimensions_json(&json));
    json_set(object, "caution", json_text(answer->caution));
    return json_write(writer, object);
}
