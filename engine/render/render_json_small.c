/* SPDX-License-Identifier: MIT */
/* The answers without a verdict, and problems, as JSON. */
#include "json_words.h"

static json_t *optional_text(text a)
{
    return a.length == 0 ? json_null() : json_text(a);
}

status render_lint_json(struct writer *writer, const struct lint *lint,
                        const struct sources *sources)
{
    json_t *object = json_object();
    json_t *faults = json_array();
    for (uint32_t i = 0; i < lint->fault_count; i++) {
        const struct lint_fault *fault = &lint->faults[i];
        const struct place_in_text at = sources_locate(sources, fault->where);
        json_t *one = json_object();
        json_set(one, "unit", json_text(fault->unit));
        json_set(one, "rule", json_text(fault->rule));
        json_set(one, "sentence", json_text(fault->sentence));
        json_set(one, "file", json_text(at.file));
        json_set(one, "line", json_integer(at.line));
        if (fault->problem != NULL) {
            json_set(one, "column", json_integer(at.column));
            json_set(one, "expected", optional_text(fault->problem->expected));
            json_set(one, "nearest", optional_text(fault->problem->nearest));
        }
        json_push(faults, one);
    }
    json_set(object, "schema", json_integer(1));
    json_set(object, "units", json_integer(lint->unit_count));
    json_set(object, "faults", faults);
    return json_write(writer, object);
}

static json_t *problem_json(const struct diagnostic *problem,
                            const struct sources *sources)
{
    const struct place_in_text at = sources_locate(sources, problem->where);
    json_t *object = json_object();
    json_set(object, "code", json_word(diagnostic_code_word(problem->code)));
    json_set(object, at.is_argument ? "argument" : "file",
             at.line == 0 ? json_null() : json_text(at.file));
    json_set(object, "line", at.line == 0 ? json_null() : json_integer(at.line));
    json_set(object, "column", at.line == 0 ? json_null() : json_integer(at.column));
    json_set(object, "message", json_text(problem->message));
    json_set(object, "expected", optional_text(problem->expected));
    json_set(object, "nearest", optional_text(problem->nearest));
    return object;
}

status render_fault_json(struct writer *writer, json_t *question,
                         const struct diagnostics *problems,
                         const struct sources *sources)
{
    json_t *object = json_object();
    json_t *array = json_array();
    for (uint32_t i = 0; i < diagnostics_kept(problems); i++) {
        json_push(array, problem_json(diagnostics_at(problems, i), sources));
    }
    if (question != NULL) {
        json_set(object, "question", question);
    }
    json_set(object, "error", array);
    return json_write(writer, object);
}

status render_problems_json(struct writer *writer, const struct diagnostics *problems,
                            const struct sources *sources)
{
    return render_fault_json(writer, NULL, problems, sources);
}
