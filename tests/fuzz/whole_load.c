/* SPDX-License-Identifier: MIT */
#include "whole_load.h"

#include "question.h"
#include "render.h"

#include <stdio.h>
#include <string.h>

/* What one run needs; the question's sources go on where the knowledge's end. */
struct run {
    struct arena *arena;
    struct sources *sources;
    struct diagnostics *diagnostics;
    char *said;
    size_t said_size;
};

enum {
    MOST_BYTES = 512 << 20,
    MOST_ROWS = 200000,
    MOST_STEPS = 20000000
};

static const char *say(const struct run *run, const char *what,
                       const struct diagnostic *fault)
{
    const text words = fault == NULL ? (text){"", 0} : fault->message;
    (void)snprintf(run->said, run->said_size, "%s (%s %.*s)", what,
                   fault == NULL ? "no fault" : diagnostic_code_word(fault->code),
                   TEXT_ARG(words));
    return run->said;
}

/* A fault may point at the place just behind a text. */
static bool lies_inside(const struct run *run, span where)
{
    const size_t length = sources_content(run->sources, where.source).length;
    return where.source <= sources_count(run->sources) && where.at <= length &&
           where.length <= (length == where.at ? 1 : length - where.at);
}

/* Every fault must lie in its text, and one at least must have a place at all. */
static const char *check_faults(const struct run *run)
{
    bool is_placed = false;
    diagnostics_sort(run->diagnostics, run->sources);
    for (uint32_t i = 0; i < diagnostics_kept(run->diagnostics); i++) {
        const struct diagnostic *fault = diagnostics_at(run->diagnostics, i);
        const struct place_in_text place = sources_locate(run->sources, fault->where);
        if (fault->message.length == 0) {
            return say(run, "a fault says nothing", fault);
        }
        if (!lies_inside(run, fault->where)) {
            return say(run, "a fault lies outside its text", fault);
        }
        for (uint32_t k = 0; k < fault->note_count; k++) {
            if (!lies_inside(run, fault->notes[k].where)) {
                return say(run, "a note lies outside its text", fault);
            }
        }
        is_placed = is_placed || (place.file.length > 0 && place.line > 0);
        if (diagnostic_write(run->arena, fault, run->sources).length == 0) {
            return say(run, "a fault cannot be written", fault);
        }
    }
    return is_placed ? NULL
                     : say(run, "no fault has a place",
                           diagnostics_kept(run->diagnostics) == 0
                               ? NULL
                               : diagnostics_at(run->diagnostics, 0));
}

static bool swallow(void *context, const char *bytes, size_t length)
{
    *(size_t *)context += length > 0 && bytes[0] != '\0' ? length : 0;
    return true;
}

static const char *write_answer(const struct run *run, const struct answer *answer)
{
    size_t written = 0;
    struct writer writer = {
        .sink = swallow, .context = &written, .arena = run->arena, .width = 80};
    if (answer->verdict > VERDICT_NOT_KNOWN) {
        return say(run, "the verdict is no verdict", NULL);
    }
    render_answer_text(&writer, answer, true);
    const size_t as_text = written;
    if (render_answer_json(&writer, answer) != STATUS_OK || as_text == 0 ||
        written == as_text) {
        return say(run, "the answer cannot be written", NULL);
    }
    return NULL;
}

static span argument(const struct run *run, const char *name, const char *words)
{
    return (span){sources_add_argument(run->sources, text_of(name), text_of(words)), 0,
                  (uint32_t)strlen(words)};
}

static const char *ask(const struct run *known, const struct knowledge *knowledge,
                       const struct asked *asked)
{
    struct run run = *known;
    run.sources = sources_open(run.arena, known->sources);
    run.diagnostics = diagnostics_open(run.arena);
    const struct worded_pair change = {text_of(asked->place), text_of(asked->part),
                                       argument(&run, "place", asked->place),
                                       argument(&run, "part", asked->part)};
    const struct question question = {.unit = text_of(asked->unit),
                                      .unit_where = argument(&run, "unit", asked->unit),
                                      .changes = &change,
                                      .change_count = 1};
    const struct swap_limits limits = {.rows = MOST_ROWS, .steps = MOST_STEPS};
    struct answer *answer = NULL;
    const status answered =
        swap_answer(run.arena, knowledge, &question, &limits, run.diagnostics, &answer);
    if (answered == STATUS_OK) {
        return diagnostics_count(run.diagnostics) > 0
                   ? say(&run, "a verdict beside a fault",
                         diagnostics_at(run.diagnostics, 0))
                   : write_answer(&run, answer);
    }
    return answered == STATUS_INVALID ? check_faults(&run)
           : answered == STATUS_LIMIT ? NULL
                                      : say(&run, "asking failed of itself", NULL);
}

static const char *load_and_ask(const struct run *run,
                                const struct knowledge_input *inputs, uint32_t count,
                                const struct asked *question, bool *loaded)
{
    const struct knowledge *knowledge = NULL;
    const status read = knowledge_load(run->arena, inputs, count, run->sources,
                                       run->diagnostics, &knowledge);
    *loaded = read == STATUS_OK;
    if (read == STATUS_OK) {
        return diagnostics_count(run->diagnostics) > 0
                   ? say(run, "loaded in spite of a fault",
                         diagnostics_at(run->diagnostics, 0))
                   : ask(run, knowledge, question);
    }
    if (knowledge != NULL) {
        return say(run, "a refused load gives knowledge", NULL);
    }
    return read == STATUS_INVALID || read == STATUS_LIMIT
               ? check_faults(run)
               : say(run, "loading failed of itself", NULL);
}

const char *whole_load(const struct knowledge_input *inputs, uint32_t count,
                       const struct asked *question, char *said, size_t said_size,
                       bool *loaded)
{
    bool is_loaded = false;
    struct run run = {.arena = arena_open(allocator_standard(), MOST_BYTES),
                      .said = said,
                      .said_size = said_size};
    run.sources = sources_open(run.arena, NULL);
    run.diagnostics = diagnostics_open(run.arena);
    const char *wrong = load_and_ask(&run, inputs, count, question, &is_loaded);
    arena_close(run.arena);
    if (loaded != NULL) {
        *loaded = is_loaded;
    }
    return wrong;
}
