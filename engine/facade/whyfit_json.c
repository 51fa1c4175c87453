/* SPDX-License-Identifier: MIT */
/* Questions that come as JSON, as answers echo them, one alone or a line of a batch. */
#include "facade_private.h"

#include "json_words.h"
#include "limits.h"

#include <string.h>

static size_t json_pairs(json_t *object, whyfit_pair *out)
{
    const char *key = NULL;
    json_t *value = NULL;
    size_t count = 0;
    json_object_foreach(object, key, value)
    {
        if (count < LIMIT_CHANGES && json_is_string(value)) {
            out[count++] = (whyfit_pair){key, json_string_value(value)};
        }
    }
    return count;
}

static bool json_is_pairs(json_t *object)
{
    const char *key = NULL;
    json_t *value = NULL;
    json_object_foreach(object, key, value)
    {
        if (!json_is_string(value)) {
            return false;
        }
    }
    return object == NULL ||
           (json_is_object(object) && json_object_size(object) <= LIMIT_CHANGES);
}

/* "allow": ["machine"]; false when it allows anything else. */
static bool json_allows(const json_t *list, bool *machining)
{
    for (size_t i = 0; i < json_array_size(list); i++) {
        const char *word = json_string_value(json_array_get(list, i));
        if (word == NULL || strcmp(word, "machine") != 0) {
            return false;
        }
        *machining = true;
    }
    return list == NULL || json_is_array(list);
}

/* A whole number from 0 to `most`, which stays as it is where there is none; false:
 * something else. */
static bool json_number_of(const json_t *object, uint32_t most, uint32_t *number)
{
    const json_int_t found = json_integer_value(object);
    if (object == NULL) {
        return true;
    }
    if (!json_is_integer(object) || found < 0 || found > most) {
        return false;
    }
    *number = (uint32_t)found;
    return true;
}

/* "have": ["part", …]; false: something else. */
static bool json_words_of(const json_t *list, const char **out, size_t *count)
{
    if (list != NULL && (!json_is_array(list) || json_array_size(list) > LIMIT_CHANGES)) {
        return false;
    }
    *count = json_array_size(list);
    for (size_t i = 0; i < *count; i++) {
        out[i] = json_string_value(json_array_get(list, i));
        if (out[i] == NULL) {
            return false;
        }
    }
    return true;
}

/* What `upgrade` asks; `want` and `have` are room for its lists. */
static bool json_upgrade(const json_t *tree, whyfit_pair *want, const char **have,
                         whyfit_question *question)
{
    json_t *toward = json_object_get(tree, "toward");
    json_t *wanted = json_object_get(tree, "want");
    question->toward = json_string_value(toward);
    question->want = want;
    question->have = have;
    if ((toward != NULL && question->toward == NULL) || !json_is_pairs(wanted)) {
        return false;
    }
    question->want_count = json_pairs(wanted, want);
    return json_words_of(json_object_get(tree, "have"), have, &question->have_count) &&
           json_number_of(json_object_get(tree, "tries"), WHYFIT_MOST_TRIES,
                          &question->tries) &&
           json_number_of(json_object_get(tree, "largest"), LIMIT_CHANGES,
                          &question->largest);
}

/* "sweep": {NAME: RANGE}; false: something else. */
static bool json_sweep(json_t *object, whyfit_pair *sweep, whyfit_question *question)
{
    if (object == NULL) {
        return true;
    }
    question->sweep = sweep;
    return json_is_pairs(object) && json_pairs(object, sweep) == 1;
}

/* "seen" and "hints" of `identify`, which names no unit; false: something else. */
static bool json_seen(const json_t *tree, whyfit_pair *seen, whyfit_pair *hints,
                      whyfit_question *question)
{
    json_t *seen_tree = json_object_get(tree, "seen");
    json_t *hint_tree = json_object_get(tree, "hints");
    question->seen = seen;
    question->hints = hints;
    if (!json_is_pairs(seen_tree) || !json_is_pairs(hint_tree)) {
        return false;
    }
    question->seen_count = json_pairs(seen_tree, seen);
    question->hint_count = json_pairs(hint_tree, hints);
    return question->unit != NULL ||
           (question->command != NULL && strcmp(question->command, "identify") == 0 &&
            question->of != NULL);
}

static whyfit_status ask_tree(struct whyfit_asker *asker, json_t *tree,
                              whyfit_answer **answer, whyfit_problems **problems)
{
    whyfit_pair changes[LIMIT_CHANGES];
    whyfit_pair given[LIMIT_CHANGES];
    whyfit_pair want[LIMIT_CHANGES];
    const char *have[LIMIT_CHANGES];
    whyfit_pair sweep[LIMIT_CHANGES];
    whyfit_pair seen[LIMIT_CHANGES];
    whyfit_pair hints[LIMIT_CHANGES];
    whyfit_question question = WHYFIT_QUESTION;
    question.command = json_string_value(json_object_get(tree, "command"));
    question.unit = json_string_value(json_object_get(tree, "unit"));
    question.of = json_string_value(json_object_get(tree, "of"));
    question.gauges = json_string_value(json_object_get(tree, "gauges"));
    if (!json_seen(tree, seen, hints, &question) ||
        !json_number_of(json_object_get(tree, "most"), WHYFIT_MOST, &question.most) ||
        !json_number_of(json_object_get(tree, "depth"), WHYFIT_DEEPEST,
                        &question.depth) ||
        !json_allows(json_object_get(tree, "allow"), &question.allows_machining) ||
        !json_is_pairs(json_object_get(tree, "changes")) ||
        !json_is_pairs(json_object_get(tree, "given")) ||
        !json_upgrade(tree, want, have, &question) ||
        !json_sweep(json_object_get(tree, "sweep"), sweep, &question)) {
        return WHYFIT_INVALID;
    }
    question.changes = changes;
    question.change_count = json_pairs(json_object_get(tree, "changes"), changes);
    question.given = given;
    question.given_count = json_pairs(json_object_get(tree, "given"), given);
    return whyfit_ask(asker, &question, answer, problems);
}

whyfit_status whyfit_ask_json(whyfit_asker *asker, const char *json, size_t length,
                              whyfit_answer **answer, whyfit_problems **problems)
{
    json_error_t error;
    json_t *tree = json_loadb(json, length, JSON_REJECT_DUPLICATES, &error);
    whyfit_status result = WHYFIT_INVALID;
    *answer = NULL;
    if (problems != NULL) {
        *problems = NULL;
    }
    if (tree != NULL) {
        result = ask_tree(asker, tree, answer, problems);
    }
    if (result == WHYFIT_INVALID && problems != NULL && *problems == NULL) {
        struct whyfit_problems *room =
            problems_open(asker->knowledge->allocator, 0, NULL);
        if (room == NULL) {
            json_decref(tree);
            return WHYFIT_NO_MEMORY;
        }
        diagnostics_report(room->diagnostics, CODE_QUESTION_WRONG, SPAN_NONE,
                           tree == NULL ? "this is not well-formed JSON"
                                        : "this question could not be read")
            ->expected =
            TEXT("{\"unit\": NAME, \"changes\": {PLACE: PART}, \"given\": {}}");
        problems_give(room, problems);
    }
    json_decref(tree);
    return result;
}

/* {"question": …, "error": […]}: the question as it came, as text where it is no JSON. */
static whyfit_status write_fault(const whyfit_problems *problems, const char *line,
                                 size_t length, whyfit_sink *sink, void *context)
{
    struct writer writer;
    json_error_t error;
    if (!writer_open(&writer, allocator_standard(), sink, context)) {
        return WHYFIT_NO_MEMORY;
    }
    json_t *question = json_loadb(line, length, JSON_REJECT_DUPLICATES, &error);
    if (question == NULL) {
        question = json_stringn(line, length);
    }
    if (question == NULL) {
        question = json_string("(not valid UTF-8)");
    }
    return writer_close(
        &writer,
        render_fault_json(&writer, question, problems->diagnostics, problems->sources));
}

whyfit_status whyfit_answer_line(whyfit_asker *asker, const char *line, size_t length,
                                 whyfit_sink *sink, void *context, bool *is_fault)
{
    whyfit_answer *answer = NULL;
    whyfit_problems *problems = NULL;
    whyfit_write_options options = WHYFIT_WRITE_OPTIONS;
    whyfit_status result = whyfit_ask_json(asker, line, length, &answer, &problems);
    *is_fault = problems != NULL;
    if (result == WHYFIT_OK) {
        options.format = WHYFIT_JSON;
        result = whyfit_answer_write(answer, &options, sink, context);
    } else if (problems != NULL) {
        result = write_fault(problems, line, length, sink, context);
    }
    whyfit_answer_free(answer);
    whyfit_problems_free(problems);
    return result;
}
