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
        json_set(one, "of", json_text(fault->of));
        json_set(one, "name", json_text(fault->name));
        json_set(one, "unit",
                 text_is(fault->of, "unit") ? json_text(fault->name) : json_null());
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

static json_t *argument_json(const struct argument *argument)
{
    struct dimension dim = DIMENSION_RATIO;
    struct unit unit = {.symbol = ""};
    json_t *object = json_object();
    if (argument->name[0] != '\0') {
        json_set(object, "name", json_word(argument->name));
    }
    json_set(object, "dimension",
             json_word(argument->kind == ARGUMENT_WORD ? "word" : argument->dimension));
    const bool has_unit = argument->kind == ARGUMENT_QUANTITY &&
                          dimension_find(text_of(argument->dimension), &dim) &&
                          unit_shown(dim, &unit) && unit.symbol[0] != '1';
    json_set(object, "unit", has_unit ? json_word(unit.symbol) : json_null());
    return object;
}

static json_t *function_json(const struct function_entry *function)
{
    json_t *object = json_object();
    json_t *arguments = json_array();
    for (uint32_t i = 0; i < function->argument_count; i++) {
        json_push(arguments, argument_json(&function->arguments[i]));
    }
    json_set(object, "name", json_word(function->name));
    json_set(object, "says", json_word(function->help));
    json_set(object, "arguments", arguments);
    json_set(object, "result", argument_json(&function->result));
    json_set(object, "range", json_word(function->range));
    json_set(object, "source", json_word(function->source));
    return object;
}

status render_shown_json(struct writer *writer, const struct shown *shown)
{
    json_t *object = json_object();
    json_t *lines = json_array();
    json_set(object, "schema", json_integer(1));
    json_set(object, "heading", json_text(shown->heading));
    for (uint32_t i = 0; shown->functions == NULL && i < shown->count; i++) {
        json_t *line = json_object();
        json_set(line, "label", json_text(shown->lines[i].label));
        json_set(line, "what", json_text(shown->lines[i].what));
        json_push(lines, line);
    }
    if (shown->functions == NULL) {
        json_set(object, "lines", lines);
        return json_write(writer, object);
    }
    for (uint32_t i = 0; i < shown->functions->count; i++) {
        json_push(lines, function_json(shown->functions->entries[i]));
    }
    json_set(object, "functions", lines);
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
    if (problem->choice_count > 0) {
        json_t *choices = json_array();
        for (uint32_t i = 0; i < problem->choice_count; i++) {
            json_push(choices, json_text(problem->choices[i]));
        }
        json_set(object, "choices", choices);
    }
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
