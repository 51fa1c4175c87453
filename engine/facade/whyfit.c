/* SPDX-License-Identifier: MIT */
/* The public interface over the engine's modules: loading, asking, writing. */
#include "facade_private.h"

#include "compare.h"
#include "explanation.h"
#include "html_writer.h"
#include "identify.h"
#include "image.h"
#include "kind_sheet.h"
#include "limits.h"
#include "measure.h"
#include "nearest.h"
#include "rule_without.h"
#include "sheet.h"
#include "sweep.h"
#include "typed_question.h"
#include "upgrade.h"

#include <string.h>

whyfit_status public_status(status from)
{
    return (whyfit_status)from; /* the numbers are the same: status.h */
}

struct whyfit_problems *problems_open(struct allocator allocator, size_t limit,
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

void problems_give(struct whyfit_problems *problems, struct whyfit_problems **out)
{
    if (out != NULL && diagnostics_count(problems->diagnostics) > 0) {
        diagnostics_sort(problems->diagnostics, problems->sources);
        *out = problems;
    } else {
        whyfit_problems_free(problems);
    }
}

/* ---- loading */

struct allocator allocator_from(const whyfit_allocator *wanted)
{
    return wanted == NULL ? allocator_standard()
                          : (struct allocator){wanted->resize, wanted->context};
}

/* Rules that were asked to be left out, before anything is concluded. */
static status leave_out(struct whyfit_problems *room, struct knowledge *knowledge,
                        const char *word)
{
    const text name = text_copy(room->arena, text_of(word));
    const name_id id = names_find(knowledge->names, name);
    const struct rule *rule = id == NAME_NONE ? NULL : rule_find(knowledge->rules, id);
    if (rule != NULL) {
        return rules_without(room->arena, knowledge->rules, rule, &knowledge->rules);
    }
    struct nearest near = nearest_to(name);
    for (uint32_t i = 0; i < knowledge->rules->rule_count; i++) {
        nearest_offer(&near,
                      names_text(knowledge->names, knowledge->rules->rules[i].name));
    }
    const span where = {sources_add_argument(room->sources, TEXT("without"), name), 0,
                        (uint32_t)name.length};
    struct diagnostic *report =
        diagnostics_report(room->diagnostics, CODE_NAME_UNKNOWN, where,
                           "there is no rule \"%.*s\" to leave out", TEXT_ARG(name));
    report->expected = TEXT("the name of a rule that was loaded");
    report->nearest = near.best;
    return STATUS_NOT_FOUND;
}

status load_without(struct whyfit_problems *room, const struct knowledge_input *inputs,
                    uint32_t input_count, const char *const *without,
                    size_t without_count, const struct inference_options *bounds,
                    const struct knowledge **out)
{
    struct knowledge *made = NULL;
    TRY(knowledge_read(room->arena, inputs, input_count, room->sources, room->diagnostics,
                       &made));
    for (size_t i = 0; i < without_count; i++) {
        TRY(leave_out(room, made, without[i]));
    }
    TRY(knowledge_conclude(made, bounds, room->diagnostics));
    *out = made;
    return STATUS_OK;
}

struct knowledge_input *inputs_from(struct arena *arena, const whyfit_source *sources,
                                    size_t count)
{
    struct knowledge_input *inputs = ARENA_MANY(arena, count, struct knowledge_input);
    for (size_t i = 0; inputs != NULL && i < count; i++) {
        inputs[i] =
            (struct knowledge_input){text_copy(arena, text_of(sources[i].name)),
                                     sources[i].content, sources[i].content_length};
    }
    return arena_status(arena) == STATUS_OK ? inputs : NULL;
}

/* What the caller lets the rules that run at load take. */
static struct inference_options bounds_of(const whyfit_load_options *options)
{
    return options == NULL
               ? (struct inference_options){.row_limit = 0}
               : (struct inference_options){.row_limit = options->row_limit,
                                            .step_limit = options->step_limit,
                                            .go_on = options->go_on,
                                            .go_on_context = options->context};
}

/* What was loaded was more than the caller allows memory for. */
static void say_load_limit(struct whyfit_problems *room,
                           const whyfit_load_options *options)
{
    arena_extend(room->arena, LIMIT_SPARE_BYTES);
    diagnostics_report(room->diagnostics, CODE_LIMIT_REACHED, SPAN_NONE,
                       "this knowledge takes more memory than the %zu bytes it may",
                       options == NULL ? 0 : options->memory_limit)
        ->expected = TEXT("fewer facts, or a higher limit");
}

whyfit_status whyfit_load(const whyfit_source *sources, size_t source_count,
                          const whyfit_load_options *options,
                          whyfit_knowledge **knowledge, whyfit_problems **problems)
{
    const struct allocator allocator =
        allocator_from(options == NULL ? NULL : options->allocator);
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
    const struct inference_options bounds = bounds_of(options);
    const struct knowledge_input *inputs =
        inputs_from(room->arena, sources, source_count);
    const status result = inputs == NULL
                              ? arena_status(room->arena)
                              : load_without(room, inputs, (uint32_t)source_count,
                                             options == NULL ? NULL : options->without,
                                             options == NULL ? 0 : options->without_count,
                                             &bounds, &loaded);
    if (result == STATUS_LIMIT && diagnostics_kept(room->diagnostics) == 0) {
        say_load_limit(room, options);
    }
    if (result != STATUS_OK) {
        problems_give(room, problems);
        return public_status(result);
    }
    struct whyfit_knowledge *made = ARENA_NEW(room->arena, struct whyfit_knowledge);
    if (made == NULL) {
        whyfit_problems_free(room);
        return WHYFIT_NO_MEMORY;
    }
    *made = (struct whyfit_knowledge){room->arena, allocator, loaded, NULL};
    *knowledge = made;
    return WHYFIT_OK;
}

void whyfit_knowledge_free(whyfit_knowledge *knowledge)
{
    if (knowledge != NULL) {
        image_close(knowledge->image);
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
    struct inference_plans *plans =
        inference_plans_open(arena, knowledge->knowledge->rules);
    if (plans == NULL) {
        arena_close(arena);
        *asker = NULL;
        return WHYFIT_NO_MEMORY;
    }
    *made = (struct whyfit_asker){.arena = arena, .knowledge = knowledge, .plans = plans};
    if (options != NULL) {
        made->options = *options;
    }
    if (made->options.row_limit == 0) {
        made->options.row_limit = LIMIT_ROWS;
    }
    if (made->options.step_limit == 0) {
        made->options.step_limit = LIMIT_STEPS;
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

/* A question's text as a source of its own. */
static text word_text(struct whyfit_problems *room, const char *name, const char *words,
                      span *where)
{
    const text copied = text_copy(room->arena, text_of(words));
    *where = (span){sources_add_argument(room->sources, text_of(name), copied), 0,
                    (uint32_t)copied.length};
    return copied;
}

typedef status answering(struct arena *arena, const struct knowledge *knowledge,
                         const struct question *question,
                         const struct swap_limits *limits,
                         struct diagnostics *diagnostics, struct answer **out);

/* Who answers a command; NULL: there is no such question. */
static answering *answering_of(text command)
{
    return text_is(command, "swap") || text_is(command, "leaks") ? swap_answer
           : text_is(command, "why")                             ? why_answer
           : text_is(command, "why-not")                         ? why_not_answer
           : text_is(command, "compare")                         ? compare_answer
           : text_is(command, "measure")                         ? measure_answer
           : text_is(command, "identify")                        ? identify_answer
           : text_is(command, "sheet")                           ? sheet_answer
           : text_is(command, "upgrade")                         ? upgrade_answer
                                                                 : NULL;
}

static status command_fault(struct whyfit_problems *room, const struct question *question)
{
    struct nearest near = nearest_to(question->command);
    static const char *const commands[] = {"swap",    "leaks",   "why",
                                           "why-not", "upgrade", "compare",
                                           "measure", "sheet",   "identify"};
    for (size_t i = 0; i < sizeof commands / sizeof *commands; i++) {
        nearest_offer(&near, text_of(commands[i]));
    }
    struct diagnostic *report =
        diagnostics_report(room->diagnostics, CODE_QUESTION_WRONG, question->unit_where,
                           "there is no question \"%.*s\"", TEXT_ARG(question->command));
    report->expected =
        TEXT("swap, leaks, why, why-not, upgrade, compare, measure, sheet or identify");
    report->nearest = near.best;
    return STATUS_INVALID;
}

static status word_have(struct whyfit_problems *room, const char *const *have,
                        size_t count, const struct worded_text **out)
{
    struct worded_text *made = ARENA_MANY(room->arena, count, struct worded_text);
    TRY(arena_status(room->arena));
    for (size_t i = 0; i < count; i++) {
        const text name = text_format(room->arena, "have %zu", i + 1);
        made[i].word = word_text(room, name.at, have[i], &made[i].where);
    }
    *out = made;
    return arena_status(room->arena);
}

/* What `upgrade` asks beside the unit. */
static status word_upgrade(struct whyfit_problems *room, const whyfit_question *question,
                           struct question *worded)
{
    if (question->toward != NULL) {
        worded->toward =
            word_text(room, "toward", question->toward, &worded->toward_where);
    }
    worded->want_count = (uint32_t)question->want_count;
    worded->have_count = (uint32_t)question->have_count;
    worded->tries =
        question->tries < WHYFIT_MOST_TRIES ? question->tries : WHYFIT_MOST_TRIES;
    worded->largest = question->largest;
    TRY(word_have(room, question->have, question->have_count, &worded->have));
    return word_pairs(room, question->want, question->want_count, "want", &worded->want);
}

/* What `identify` was told. */
static status word_seen(struct whyfit_problems *room, const whyfit_question *question,
                        struct question *worded)
{
    worded->seen_count = (uint32_t)question->seen_count;
    worded->hint_count = (uint32_t)question->hint_count;
    TRY(word_pairs(room, question->seen, question->seen_count, "seen", &worded->seen));
    return word_pairs(room, question->hints, question->hint_count, "hint",
                      &worded->hints);
}

static status word_sweep(struct whyfit_problems *room, const whyfit_question *question,
                         struct question *worded)
{
    const struct worded_pair *sweep = NULL;
    if (question->sweep != NULL) {
        TRY(word_pairs(room, question->sweep, 1, "sweep", &sweep));
        worded->sweep = *sweep;
    }
    return STATUS_OK;
}

static status word_question(struct whyfit_problems *room, const whyfit_question *question,
                            struct question *worded)
{
    const char *command = question->command == NULL ? "swap" : question->command;
    *worded = (struct question){.command = text_copy(room->arena, text_of(command)),
                                .allows_machining = question->allows_machining,
                                .change_count = (uint32_t)question->change_count,
                                .given_count = (uint32_t)question->given_count,
                                .most = question->most < WHYFIT_MOST ? question->most
                                                                     : WHYFIT_MOST,
                                .depth = question->depth};
    worded->unit = word_text(room, "unit", question->unit, &worded->unit_where);
    if (question->gauges != NULL) {
        worded->gauges =
            word_text(room, "gauges", question->gauges, &worded->gauges_where);
    }
    if (question->of != NULL) {
        worded->of = word_text(room, "of", question->of, &worded->of_where);
    }
    if (question->change_count > LIMIT_CHANGES || question->given_count > LIMIT_CHANGES ||
        question->want_count > LIMIT_CHANGES || question->have_count > LIMIT_CHANGES ||
        question->seen_count > LIMIT_CHANGES || question->hint_count > LIMIT_CHANGES) {
        diagnostics_report(room->diagnostics, CODE_LIMIT_REACHED, worded->unit_where,
                           "a question holds at most %u changes", LIMIT_CHANGES);
        return STATUS_INVALID;
    }
    TRY(word_upgrade(room, question, worded));
    TRY(word_seen(room, question, worded));
    TRY(word_sweep(room, question, worded));
    TRY(word_pairs(room, question->changes, question->change_count, "change",
                   &worded->changes));
    return word_pairs(room, question->given, question->given_count, "given",
                      &worded->given);
}

/* What ran into a bound where no rule was at work. */
static void say_limit(struct whyfit_problems *room, const struct whyfit_asker *asker)
{
    arena_extend(room->arena, LIMIT_SPARE_BYTES);
    struct diagnostic *report = diagnostics_report(
        room->diagnostics, CODE_LIMIT_REACHED, SPAN_NONE,
        "this question took all that it may: %llu rows, %llu steps, %zu bytes (0: any)",
        (unsigned long long)asker->options.row_limit,
        (unsigned long long)asker->options.step_limit, asker->options.memory_limit);
    report->expected = TEXT("a question about less, or higher limits");
}

/* Says before all else that was taken how names were read. */
static status say_read(struct arena *arena, const struct typed_names *names,
                       struct answer *answer)
{
    text *all = ARENA_MANY(arena, (size_t)names->count + answer->taken_count, text);
    TRY(arena_status(arena));
    for (uint32_t i = 0; i < names->count; i++) {
        all[i] = names->read[i];
    }
    for (uint32_t i = 0; i < answer->taken_count; i++) {
        all[names->count + i] = answer->taken[i];
    }
    answer->taken = all;
    answer->taken_count += names->count;
    return STATUS_OK;
}

static status ask_into(struct whyfit_problems *room, const struct whyfit_asker *asker,
                       const whyfit_question *question, struct answer **out)
{
    struct question worded;
    struct typed_names names = {0};
    struct effort effort = {0};
    TRY(word_question(room, question, &worded));
    TRY(typed_question(room->arena, asker->knowledge->knowledge, &worded,
                       room->diagnostics, &names));
    answering *answer = question->sweep != NULL && text_is(worded.command, "swap")
                            ? sweep_answer
                            : answering_of(worded.command);
    if (answer == measure_answer && worded.change_count == 0 &&
        !names_a_unit(asker->knowledge->knowledge, worded.unit)) {
        answer = kind_sheet_answer;
    }
    if (answer == NULL) {
        return command_fault(room, &worded);
    }
    const whyfit_ask_options *options = &asker->options;
    const struct swap_limits limits = {.rows = options->row_limit,
                                       .steps = options->step_limit,
                                       .go_on = options->go_on,
                                       .go_on_context = options->context,
                                       .spread = options->spread,
                                       .spread_context = options->context,
                                       .progress = options->progress,
                                       .progress_context = options->context,
                                       .plans = asker->plans,
                                       .effort = &effort};
    const status result = answer(room->arena, asker->knowledge->knowledge, &worded,
                                 &limits, room->diagnostics, out);
    if (result != STATUS_OK) {
        return result;
    }
    (*out)->effort = effort;
    return names.count == 0 ? STATUS_OK : say_read(room->arena, &names, *out);
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
    status result = ask_into(room, asker, question, &found);
    struct whyfit_answer *made =
        result == STATUS_OK ? ARENA_NEW(room->arena, struct whyfit_answer) : NULL;
    if (made == NULL) {
        result = result == STATUS_OK ? arena_status(room->arena) : result;
        if (result == STATUS_LIMIT && diagnostics_kept(room->diagnostics) == 0) {
            say_limit(room, asker);
        }
        problems_give(room, problems);
        return public_status(result);
    }
    *made = (struct whyfit_answer){room->arena, allocator, found};
    *answer = made;
    return WHYFIT_OK;
}

void whyfit_answer_free(whyfit_answer *answer)
{
    if (answer != NULL) {
        arena_close(answer->arena);
    }
}

/* ---- writing */

bool writer_open(struct writer *writer, struct allocator allocator, whyfit_sink *sink,
                 void *context)
{
    *writer = (struct writer){.sink = sink, .context = context, .width = 80};
    writer->arena = arena_open(allocator, 0);
    return writer->arena != NULL;
}

whyfit_status writer_close(struct writer *writer, status result)
{
    const status scratch = arena_status(writer->arena);
    arena_close(writer->arena);
    return result != STATUS_OK    ? public_status(result)
           : scratch != STATUS_OK ? public_status(scratch)
           : writer->is_stopped   ? WHYFIT_IO
                                  : WHYFIT_OK;
}

static status write_json(struct writer *writer, const struct answer *answer)
{
    return answer->upgrade != NULL          ? render_upgrade_json(writer, answer)
           : answer->sweep != NULL          ? render_sweep_json(writer, answer)
           : answer->kind_sheet != NULL     ? render_kind_sheet_json(writer, answer)
           : answer->comparison != NULL     ? render_compare_json(writer, answer)
           : answer->measure != NULL        ? render_measure_json(writer, answer)
           : answer->identification != NULL ? render_identify_json(writer, answer)
           : answer->sheet != NULL          ? render_sheet_json(writer, answer)
           : answer->explanation != NULL    ? render_explanation_json(writer, answer)
                                            : render_answer_json(writer, answer);
}

static void write_words(struct writer *writer, const struct answer *answer,
                        bool with_chain)
{
    if (answer->sweep != NULL) {
        render_sweep_text(writer, answer);
    } else if (answer->upgrade != NULL) {
        render_upgrade_text(writer, answer, with_chain);
    } else if (answer->kind_sheet != NULL) {
        render_kind_sheet_text(writer, answer);
    } else if (answer->comparison != NULL) {
        render_compare_text(writer, answer);
    } else if (answer->identification != NULL) {
        render_identify_text(writer, answer);
    } else if (answer->measure != NULL) {
        render_measure_text(writer, answer);
    } else if (answer->sheet != NULL) {
        render_sheet_text(writer, answer);
    } else if (answer->explanation != NULL) {
        render_explanation_text(writer, answer);
    } else if (text_is(answer->command, "leaks")) {
        render_leaks_text(writer, answer);
    } else {
        render_answer_text(writer, answer, with_chain);
    }
}

static status write_part_file(struct writer *writer, const struct answer *answer)
{
    if (answer->kind_sheet == NULL) {
        return STATUS_INVALID;
    }
    render_kind_part_file(writer, answer);
    return STATUS_OK;
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
    writer.with_effort = options->with_effort;
    if (options->format == WHYFIT_JSON) {
        result = write_json(&writer, answer->answer);
    } else if (options->format == WHYFIT_SVG) {
        const struct svg_manner manner = {0};
        result = render_picture_svg(&writer, answer->answer, text_of(options->picture),
                                    &manner);
    } else if (options->format == WHYFIT_PART_FILE) {
        result = write_part_file(&writer, answer->answer);
    } else if (options->format == WHYFIT_HTML) {
        result = render_answer_html(&writer, answer->answer, options->is_part);
    } else {
        write_words(&writer, answer->answer, options->with_chain);
    }
    if (options->with_effort && options->format == WHYFIT_TEXT) {
        render_effort_text(&writer, &answer->answer->effort);
    }
    return writer_close(&writer, result);
}

whyfit_status whyfit_html_escape(const char *words, size_t length, whyfit_sink *sink,
                                 void *context)
{
    struct writer writer = {.sink = sink, .context = context};
    html_text(&writer, (text){words, length});
    return writer.is_stopped ? WHYFIT_IO : WHYFIT_OK;
}

whyfit_status whyfit_style_write(whyfit_sink *sink, void *context)
{
    struct writer writer;
    if (!writer_open(&writer, allocator_standard(), sink, context)) {
        return WHYFIT_NO_MEMORY;
    }
    report_style(&writer);
    return writer_close(&writer, STATUS_OK);
}

const char *whyfit_nearest(const char *misspelt, const char *const *words, size_t count)
{
    struct nearest near = nearest_to(text_of(misspelt));
    for (size_t i = 0; i < count; i++) {
        nearest_offer(&near, text_of(words[i]));
    }
    return near.best.length > 0 ? near.best.at : NULL;
}

/* ---- problems */

size_t whyfit_problems_count(const whyfit_problems *problems)
{
    size_t count = 0;
    for (; problems != NULL; problems = problems->next) {
        count += diagnostics_count(problems->diagnostics);
    }
    return count;
}

const char *whyfit_problems_message(const whyfit_problems *problems, size_t i)
{
    for (; problems != NULL && i >= diagnostics_kept(problems->diagnostics);
         problems = problems->next) {
        i -= diagnostics_kept(problems->diagnostics);
    }
    if (problems == NULL) {
        return NULL;
    }
    const struct diagnostic *one = diagnostics_at(problems->diagnostics, (uint32_t)i);
    return text_format(problems->arena, "%.*s [%s]", TEXT_ARG(one->message),
                       diagnostic_code_word(one->code))
        .at;
}

whyfit_status whyfit_problems_write(const whyfit_problems *problems, whyfit_format format,
                                    whyfit_sink *sink, void *context)
{
    struct writer writer;
    status result = STATUS_OK;
    if (!writer_open(&writer, allocator_standard(), sink, context)) {
        return WHYFIT_NO_MEMORY;
    }
    for (; problems != NULL && result == STATUS_OK; problems = problems->next) {
        if (format == WHYFIT_JSON) {
            result =
                render_problems_json(&writer, problems->diagnostics, problems->sources);
        } else {
            render_problems_text(&writer, problems->diagnostics, problems->sources);
        }
    }
    return writer_close(&writer, result);
}

void whyfit_problems_free(whyfit_problems *problems)
{
    while (problems != NULL) {
        struct whyfit_problems *next = problems->next;
        arena_close(problems->arena);
        problems = next;
    }
}
