/* SPDX-License-Identifier: MIT */
/*
 * The public interface over the engine's modules. Each object is one arena with whatever
 * lives in it; releasing it closes the arena.
 */
#include "whyfit.h"

#include "json_words.h"
#include "limits.h"
#include "question.h"

#include <math.h>
#include <string.h>

struct whyfit_knowledge {
    struct arena *arena;
    struct allocator allocator;
    const struct knowledge *knowledge;
};

struct whyfit_asker {
    struct arena *arena;
    const struct whyfit_knowledge *knowledge;
    whyfit_ask_options options;
};

struct whyfit_answer {
    struct arena *arena;
    struct allocator allocator;
    const struct answer *answer;
};

struct whyfit_problems {
    struct arena *arena;
    struct sources *sources;
    struct diagnostics *diagnostics;
};

static whyfit_status public_status(status from)
{
    return (whyfit_status)from; /* the numbers are the same: status.h */
}

/* An arena with sources and diagnostics, where a question's faults can be kept. */
static struct whyfit_problems *problems_open(struct allocator allocator, size_t limit,
                                             const struct sources *parent)
{
    struct arena *arena = arena_open(allocator, limit);
    struct whyfit_problems *problems =
        arena == NULL ? NULL : ARENA_NEW(arena, struct whyfit_problems);
    if (problems != NULL) {
        problems->arena = arena;
        problems->sources = sources_open(arena, parent);
        problems->diagnostics = diagnostics_open(arena);
    }
    if (problems == NULL || problems->diagnostics == NULL) {
        arena_close(arena);
        return NULL;
    }
    return problems;
}

/* Hands the problems out where there are any and they are wanted, else releases them. */
static void problems_give(struct whyfit_problems *problems, struct whyfit_problems **out)
{
    if (out != NULL && diagnostics_count(problems->diagnostics) > 0) {
        diagnostics_sort(problems->diagnostics, problems->sources);
        *out = problems;
    } else {
        whyfit_problems_free(problems);
    }
}

/* ---- loading */

static struct allocator allocator_from(const whyfit_load_options *options)
{
    return options == NULL || options->allocator == NULL
               ? allocator_standard()
               : (struct allocator){options->allocator->resize,
                                    options->allocator->context};
}

static status load_into(struct whyfit_problems *room, const whyfit_source *sources,
                        size_t source_count, const struct knowledge **out)
{
    struct knowledge_input *inputs =
        ARENA_MANY(room->arena, source_count, struct knowledge_input);
    TRY(arena_status(room->arena));
    for (size_t i = 0; i < source_count; i++) {
        inputs[i] = (struct knowledge_input){text_of(sources[i].name), sources[i].content,
                                             sources[i].content_length};
    }
    return knowledge_load(room->arena, inputs, (uint32_t)source_count, room->sources,
                          room->diagnostics, out);
}

whyfit_status whyfit_load(const whyfit_source *sources, size_t source_count,
                          const whyfit_load_options *options,
                          whyfit_knowledge **knowledge, whyfit_problems **problems)
{
    const struct allocator allocator = allocator_from(options);
    struct whyfit_problems *room =
        problems_open(allocator, options == NULL ? 0 : options->memory_limit, NULL);
    *knowledge = NULL;
    if (problems != NULL) {
        *problems = NULL;
    }
    if (room == NULL) {
        return WHYFIT_NO_MEMORY;
    }
    const struct knowledge *loaded = NULL;
    const status result = load_into(room, sources, source_count, &loaded);
    if (result != STATUS_OK) {
        problems_give(room, problems);
        return public_status(result);
    }
    struct whyfit_knowledge *made = ARENA_NEW(room->arena, struct whyfit_knowledge);
    if (made == NULL) {
        whyfit_problems_free(room);
        return WHYFIT_NO_MEMORY;
    }
    *made = (struct whyfit_knowledge){room->arena, allocator, loaded};
    *knowledge = made;
    return WHYFIT_OK;
}

void whyfit_knowledge_free(whyfit_knowledge *knowledge)
{
    if (knowledge != NULL) {
        arena_close(knowledge->arena);
    }
}

/* ---- asking */

whyfit_status whyfit_asker_open(const whyfit_knowledge *knowledge,
                                const whyfit_ask_options *options, whyfit_asker **asker)
{
    struct arena *arena = arena_open(knowledge->allocator, 0);
    struct whyfit_asker *made =
        arena == NULL ? NULL : ARENA_NEW(arena, struct whyfit_asker);
    *asker = made;
    if (made == NULL) {
        arena_close(arena);
        return WHYFIT_NO_MEMORY;
    }
    *made = (struct whyfit_asker){.arena = arena, .knowledge = knowledge};
    if (options != NULL) {
        made->options = *options;
    }
    return WHYFIT_OK;
}

void whyfit_asker_free(whyfit_asker *asker)
{
    if (asker != NULL) {
        arena_close(asker->arena);
    }
}

/* The pairs of a question, each text a source of its own so that faults can show it. */
static status word_pairs(struct whyfit_problems *room, const whyfit_pair *pairs,
                         size_t count, const char *what, const struct worded_pair **out)
{
    struct worded_pair *made = ARENA_MANY(room->arena, count, struct worded_pair);
    TRY(arena_status(room->arena));
    for (size_t i = 0; i < count; i++) {
        const text name = text_copy(room->arena, text_of(pairs[i].name));
        const text value = text_copy(room->arena, text_of(pairs[i].value));
        const text whole =
            text_format(room->arena, "%.*s=%.*s", TEXT_ARG(name), TEXT_ARG(value));
        const uint32_t source = sources_add_argument(
            room->sources, text_format(room->arena, "%s %zu", what, i + 1), whole);
        made[i] = (struct worded_pair){
            name,
            value,
            {source, 0, (uint32_t)name.length},
            {source, (uint32_t)name.length + 1, (uint32_t)value.length}};
    }
    *out = made;
    return arena_status(room->arena);
}

static status ask_into(struct whyfit_problems *room, const struct whyfit_asker *asker,
                       const whyfit_question *question, struct answer **out)
{
    const text unit = text_copy(room->arena, text_of(question->unit));
    const text command = text_of(question->command == NULL ? "swap" : question->command);
    struct question worded = {.command = text_copy(room->arena, command),
                              .unit = unit,
                              .allows_machining = question->allows_machining,
                              .change_count = (uint32_t)question->change_count,
                              .given_count = (uint32_t)question->given_count};
    const uint32_t source = sources_add_argument(room->sources, TEXT("unit"), unit);
    worded.unit_where = (span){source, 0, (uint32_t)unit.length};
    if (!text_is(command, "swap") && !text_is(command, "leaks")) {
        diagnostics_report(room->diagnostics, CODE_QUESTION_WRONG, worded.unit_where,
                           "there is no question \"%.*s\"", TEXT_ARG(command))
            ->expected = TEXT("swap or leaks");
        return STATUS_INVALID;
    }
    if (question->change_count > LIMIT_CHANGES || question->given_count > LIMIT_CHANGES) {
        diagnostics_report(room->diagnostics, CODE_LIMIT_REACHED, worded.unit_where,
                           "a question holds at most %u changes", LIMIT_CHANGES);
        return STATUS_INVALID;
    }
    TRY(word_pairs(room, question->changes, question->change_count, "change",
                   &worded.changes));
    TRY(word_pairs(room, question->given, question->given_count, "given", &worded.given));
    const struct swap_limits limits = {asker->options.row_limit,
                                       asker->options.step_limit, asker->options.go_on,
                                       asker->options.context};
    return swap_answer(room->arena, asker->knowledge->knowledge, &worded, &limits,
                       room->diagnostics, out);
}

whyfit_status whyfit_ask(whyfit_asker *asker, const whyfit_question *question,
                         whyfit_answer **answer, whyfit_problems **problems)
{
    const struct allocator allocator = asker->knowledge->allocator;
    struct whyfit_problems *room = problems_open(allocator, asker->options.memory_limit,
                                                 asker->knowledge->knowledge->sources);
    struct answer *found = NULL;
    *answer = NULL;
    if (problems != NULL) {
        *problems = NULL;
    }
    if (room == NULL) {
        return WHYFIT_NO_MEMORY;
    }
    const status result = ask_into(room, asker, question, &found);
    struct whyfit_answer *made =
        result == STATUS_OK ? ARENA_NEW(room->arena, struct whyfit_answer) : NULL;
    if (made == NULL) {
        problems_give(room, problems);
        return result == STATUS_OK ? WHYFIT_NO_MEMORY : public_status(result);
    }
    *made = (struct whyfit_answer){room->arena, allocator, found};
    *answer = made;
    return WHYFIT_OK;
}

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

static whyfit_status ask_tree(struct whyfit_asker *asker, json_t *tree,
                              whyfit_answer **answer, whyfit_problems **problems)
{
    whyfit_pair changes[LIMIT_CHANGES];
    whyfit_pair given[LIMIT_CHANGES];
    whyfit_question question = WHYFIT_QUESTION;
    question.command = json_string_value(json_object_get(tree, "command"));
    question.unit = json_string_value(json_object_get(tree, "unit"));
    if (question.unit == NULL ||
        !json_allows(json_object_get(tree, "allow"), &question.allows_machining) ||
        !json_is_pairs(json_object_get(tree, "changes")) ||
        !json_is_pairs(json_object_get(tree, "given"))) {
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

void whyfit_answer_free(whyfit_answer *answer)
{
    if (answer != NULL) {
        arena_close(answer->arena);
    }
}

/* ---- getters */

whyfit_verdict whyfit_answer_verdict(const whyfit_answer *answer)
{
    return (whyfit_verdict)answer->answer->verdict;
}

const char *whyfit_verdict_word(whyfit_verdict verdict)
{
    return verdict_word((enum verdict)verdict);
}

static const char *terminated(const whyfit_answer *answer, text a)
{
    return text_copy(answer->arena, a).at;
}

const char *whyfit_answer_because(const whyfit_answer *answer, size_t i)
{
    return i < answer->answer->because_count
               ? terminated(answer, answer->answer->because[i])
               : NULL;
}

whyfit_leaks whyfit_answer_leaks(const whyfit_answer *answer)
{
    return (whyfit_leaks)answer->answer->leaks;
}

size_t whyfit_answer_finding_count(const whyfit_answer *answer)
{
    return answer->answer->finding_count;
}

bool whyfit_answer_finding(const whyfit_answer *answer, size_t i, whyfit_finding *finding)
{
    if (i >= answer->answer->finding_count) {
        return false;
    }
    const struct finding *from = &answer->answer->findings[i];
    const struct form *margin = from->margin;
    struct unit unit = {.symbol = "", .scale = 1.0};
    double nominal = NAN;
    if (margin != NULL) {
        (void)unit_shown(margin->dim, &unit);
        (void)form_nominal(margin, &nominal);
    }
    *finding = (whyfit_finding){
        .id = from->id,
        .rule = terminated(answer, from->name),
        .outcome = (whyfit_outcome)from->outcome,
        .stops = from->weight == WEIGHT_STOPS,
        .counts = from->counts,
        .nominal = unit_from_coherent(&unit, nominal),
        .least = margin == NULL ? NAN : unit_from_coherent(&unit, margin->least),
        .greatest = margin == NULL ? NAN : unit_from_coherent(&unit, margin->greatest),
        .spread = margin == NULL ? NAN : form_spread(margin) / unit.scale,
        .unit = unit.symbol,
        .sentence = terminated(answer, from->sentence),
        .source = terminated(answer, from->source)};
    return true;
}

const char *whyfit_answer_subject(const whyfit_answer *answer, size_t i,
                                  const char *variable)
{
    if (i >= answer->answer->finding_count) {
        return NULL;
    }
    const struct finding *from = &answer->answer->findings[i];
    for (uint32_t k = 0; k < from->subject_count; k++) {
        if (text_is(from->subject[k].column, variable)) {
            return terminated(answer, from->subject[k].value);
        }
    }
    return NULL;
}

const char *whyfit_answer_work(const whyfit_answer *answer, size_t i)
{
    return i < answer->answer->work_count
               ? terminated(answer, answer->answer->work[i].what)
               : NULL;
}

const char *whyfit_answer_left_over(const whyfit_answer *answer, size_t i)
{
    return i < answer->answer->left_over_count
               ? terminated(answer, answer->answer->left_over[i])
               : NULL;
}

const char *whyfit_answer_left_empty(const whyfit_answer *answer, size_t i)
{
    return i < answer->answer->left_empty_count
               ? terminated(answer, answer->answer->left_empty[i])
               : NULL;
}

const char *whyfit_answer_assumed(const whyfit_answer *answer, size_t i)
{
    return i < answer->answer->assumed_count
               ? terminated(answer, answer->answer->assumed[i])
               : NULL;
}

const char *whyfit_answer_missing(const whyfit_answer *answer, size_t i)
{
    return i < answer->answer->missing_count
               ? terminated(answer, answer->answer->missing[i].of->name)
               : NULL;
}

/* ---- writing */

/* A writer over a scratch arena of its own; closed by writer_close. */
static bool writer_open(struct writer *writer, struct allocator allocator,
                        whyfit_sink *sink, void *context)
{
    *writer = (struct writer){.sink = sink, .context = context, .width = 80};
    writer->arena = arena_open(allocator, 0);
    return writer->arena != NULL;
}

static whyfit_status writer_close(struct writer *writer, status result)
{
    const status scratch = arena_status(writer->arena);
    arena_close(writer->arena);
    return result != STATUS_OK    ? public_status(result)
           : scratch != STATUS_OK ? public_status(scratch)
           : writer->is_stopped   ? WHYFIT_IO
                                  : WHYFIT_OK;
}

whyfit_status whyfit_answer_write(const whyfit_answer *answer,
                                  const whyfit_write_options *options, whyfit_sink *sink,
                                  void *context)
{
    struct writer writer;
    status result = STATUS_OK;
    if (!writer_open(&writer, answer->allocator, sink, context)) {
        return WHYFIT_NO_MEMORY;
    }
    if (options->width > 0) {
        writer.width = options->width;
    }
    writer.in_colour = options->in_colour;
    if (options->format == WHYFIT_JSON) {
        result = render_answer_json(&writer, answer->answer);
    } else if (text_is(answer->answer->command, "leaks")) {
        render_leaks_text(&writer, answer->answer);
    } else {
        render_answer_text(&writer, answer->answer, options->with_chain);
    }
    return writer_close(&writer, result);
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

/* A small question's room: its text as a source, and a place for faults. */
static struct whyfit_problems *small_room(const whyfit_knowledge *knowledge,
                                          const char *name, const char *words,
                                          span *where)
{
    struct whyfit_problems *room = problems_open(knowledge->allocator, 0, NULL);
    if (room != NULL) {
        const text all = text_of(words);
        *where = (span){sources_add_argument(room->sources, text_of(name), all), 0,
                        (uint32_t)all.length};
    }
    return room;
}

/* Ends a small question: gives the problems out, or closes the room. */
static whyfit_status small_end(struct whyfit_problems *room, struct writer *writer,
                               status result, whyfit_problems **problems)
{
    const whyfit_status written = writer_close(writer, result);
    if (problems != NULL) {
        *problems = NULL;
    }
    problems_give(room, problems);
    return written;
}

whyfit_status whyfit_reckon(const whyfit_knowledge *knowledge, const char *expression,
                            whyfit_format format, whyfit_sink *sink, void *context,
                            whyfit_problems **problems)
{
    struct writer writer;
    span where;
    struct whyfit_problems *room =
        small_room(knowledge, "expression", expression, &where);
    if (room == NULL) {
        return WHYFIT_NO_MEMORY;
    }
    if (!writer_open(&writer, knowledge->allocator, sink, context)) {
        whyfit_problems_free(room);
        return WHYFIT_NO_MEMORY;
    }
    struct value value = {0};
    status result = reckon_formula(room->arena, knowledge->knowledge, text_of(expression),
                                   where, room->diagnostics, &value);
    if (result == STATUS_OK && format == WHYFIT_JSON) {
        result = render_value_json(&writer, knowledge->knowledge->names, value);
    } else if (result == STATUS_OK) {
        render_value_text(&writer, knowledge->knowledge->names, value);
    }
    return small_end(room, &writer, result, problems);
}

whyfit_status whyfit_fit(const whyfit_knowledge *knowledge, const char *fit,
                         whyfit_format format, whyfit_sink *sink, void *context,
                         whyfit_problems **problems)
{
    struct writer writer;
    span where;
    struct reckoned_fit reckoned = {0};
    struct whyfit_problems *room = small_room(knowledge, "fit", fit, &where);
    if (room == NULL) {
        return WHYFIT_NO_MEMORY;
    }
    if (!writer_open(&writer, knowledge->allocator, sink, context)) {
        whyfit_problems_free(room);
        return WHYFIT_NO_MEMORY;
    }
    status result = reckon_fit(room->arena, knowledge->knowledge, text_of(fit), where,
                               room->diagnostics, &reckoned);
    if (result == STATUS_OK && format == WHYFIT_JSON) {
        result = render_fit_json(&writer, &reckoned);
    } else if (result == STATUS_OK) {
        render_fit_text(&writer, &reckoned);
    }
    return small_end(room, &writer, result, problems);
}

whyfit_status whyfit_show(const whyfit_knowledge *knowledge, const char *word,
                          whyfit_sink *sink, void *context, whyfit_problems **problems)
{
    struct writer writer;
    span where;
    struct shown shown = {0};
    struct whyfit_problems *room = small_room(knowledge, "word", word, &where);
    if (room == NULL) {
        return WHYFIT_NO_MEMORY;
    }
    if (!writer_open(&writer, knowledge->allocator, sink, context)) {
        whyfit_problems_free(room);
        return WHYFIT_NO_MEMORY;
    }
    const status result = show_word(room->arena, knowledge->knowledge, text_of(word),
                                    where, room->diagnostics, &shown);
    if (result == STATUS_OK) {
        render_shown(&writer, &shown);
    }
    return small_end(room, &writer, result, problems);
}

whyfit_status whyfit_lint(const whyfit_knowledge *knowledge, whyfit_format format,
                          whyfit_sink *sink, void *context, size_t *faults)
{
    struct writer writer;
    struct lint lint = {0};
    const struct swap_limits limits = {0};
    if (!writer_open(&writer, knowledge->allocator, sink, context)) {
        return WHYFIT_NO_MEMORY;
    }
    status result = lint_answer(writer.arena, knowledge->knowledge, &limits, &lint);
    if (result == STATUS_OK && format == WHYFIT_JSON) {
        result = render_lint_json(&writer, &lint, knowledge->knowledge->sources);
    } else if (result == STATUS_OK) {
        render_lint_text(&writer, &lint, knowledge->knowledge->sources);
    }
    *faults = lint.fault_count;
    return writer_close(&writer, result);
}

/* ---- problems */

size_t whyfit_problems_count(const whyfit_problems *problems)
{
    return diagnostics_count(problems->diagnostics);
}

whyfit_status whyfit_problems_write(const whyfit_problems *problems, whyfit_format format,
                                    whyfit_sink *sink, void *context)
{
    struct writer writer;
    status result = STATUS_OK;
    if (!writer_open(&writer, allocator_standard(), sink, context)) {
        return WHYFIT_NO_MEMORY;
    }
    if (format == WHYFIT_JSON) {
        result = render_problems_json(&writer, problems->diagnostics, problems->sources);
    } else {
        render_problems_text(&writer, problems->diagnostics, problems->sources);
    }
    return writer_close(&writer, result);
}

void whyfit_problems_free(whyfit_problems *problems)
{
    if (problems != NULL) {
        arena_close(problems->arena);
    }
}
