/* SPDX-License-Identifier: MIT */
/* The answers to `why` and `why-not` as JSON: the rows asked of, their steps as in a
 * swap's answer, and the attempts of rules. */
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

/* ---- why-not */

static const char *stop_word(enum why_not_stop stop)
{
    static const char *const words[] = {"given", "unless",       "every",
                                        "where", "other values", "catalogue only"};
    return words[stop];
}

static const char *end_word(enum why_not_end end)
{
    static const char *const words[] = {"rules",   "facts", "computed",
                                        "no rule", "depth", "asked above"};
    return words[end];
}

static json_t *tree_json(struct json_writer *writer, const struct why_not_tree *tree);

static json_t *shortfall_json(struct json_writer *writer,
                              const struct formula_shortfall *short_of)
{
    json_t *object = json_object();
    const struct names *names = writer->answer->names;
    json_set(object, "part", json_text(short_of->part));
    json_set(object, "left", value_json(writer, names, short_of->left, true));
    json_set(object, "right", value_json(writer, names, short_of->right, true));
    json_set(object, "apart",
             short_of->by == NULL
                 ? json_null()
                 : value_json(writer, names, value_quantity(short_of->by), true));
    return object;
}

/* What the rule says there. */
static json_t *says_json(struct json_writer *writer,
                         const struct why_not_attempt *attempt)
{
    const struct rule *rule = attempt->rule;
    switch (attempt->stop) {
    case WHY_NOT_GIVEN:
        return condition_json(writer, &rule->given[attempt->index], attempt->slots);
    case WHY_NOT_DENIED:
        return condition_json(writer, &rule->unless[attempt->index], attempt->slots);
    case WHY_NOT_EVERY:
        return condition_json(writer, &rule->tallies[attempt->index].of, attempt->slots);
    case WHY_NOT_FILTER:
        return json_text(formula_text(rule->filters[attempt->index]));
    case WHY_NOT_VALUES:
    case WHY_NOT_AT_LOAD:
        break;
    }
    return json_null();
}

static json_t *attempt_json(struct json_writer *writer,
                            const struct why_not_attempt *attempt,
                            const struct why_not_tree *below)
{
    json_t *object = json_object();
    json_t *found = json_array();
    for (uint32_t i = 0; i < attempt->premise_count; i++) {
        json_push(found, row_json(writer, attempt->premises[i]));
    }
    json_set(object, "rule",
             json_text(names_text(writer->answer->names, attempt->rule->name)));
    json_set(object, "source", json_text(attempt->rule->source));
    json_set(object, "stops_at", json_word(stop_word(attempt->stop)));
    json_set(object, "index", json_integer(attempt->index));
    json_set(object, "says", says_json(writer, attempt));
    json_set(object, attempt->stop == WHY_NOT_GIVEN ? "nearest" : "by",
             attempt->by == NULL ? json_null() : row_json(writer, attempt->by));
    json_set(object, "short",
             attempt->stop == WHY_NOT_FILTER ? shortfall_json(writer, &attempt->shortfall)
                                             : json_null());
    json_set(object, "gives",
             attempt->gives == NULL ? json_null() : row_json(writer, attempt->gives));
    json_set(object, "found", found);
    json_set(object, "as_far", json_integer(attempt->as_far));
    json_set(object, "missing", below == NULL ? json_null() : tree_json(writer, below));
    return object;
}

static json_t *tree_json(struct json_writer *writer, const struct why_not_tree *tree)
{
    json_t *object = json_object();
    json_t *attempts = json_array();
    for (uint32_t i = 0; i < tree->attempt_count; i++) {
        json_push(attempts, attempt_json(writer, &tree->attempts[i], tree->below[i]));
    }
    json_set(object, "of", json_text(tree->asked));
    json_set(object, "filled_by", json_word(end_word(tree->end)));
    json_set(object, "attempts", attempts);
    return object;
}

status render_explanation_json(struct writer *writer, const struct answer *answer)
{
    struct json_writer json = {.answer = answer, .arena = writer->arena};
    const struct explanation *explanation = answer->explanation;
    json_t *object = answer_open_json(writer, answer);
    json_set(object, "matches", json_integer(explanation->match_count));
    json_set(object, "rows", explained_json(&json, explanation));
    json_set(object, "nearest", nearest_json(&json, explanation));
    json_set(object, "why_not",
             explanation->why_not == NULL ? json_null()
                                          : tree_json(&json, explanation->why_not));
    json_set(object, "steps", steps_json(&json));
    json_set(object, "settings", settings_json(&json));
    json_set(object, "dimensions", dimensions_json(&json));
    json_set(object, "caution", json_text(answer->caution));
    return json_write(writer, object);
}
