/* SPDX-License-Identifier: MIT */
/* The questions without a unit: reckon, fit, show and lint. */
#include "facade_private.h"

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

/* A unit as it is, drawn. */
static status draw_unit(struct whyfit_problems *room, const struct knowledge *knowledge,
                        text word, span where, struct writer *writer)
{
    const struct svg_manner manner = {0};
    const struct swap_limits limits = {0};
    const struct question question = {
        .command = TEXT("show"), .unit = word, .unit_where = where, .is_trial = true};
    struct answer *answer = NULL;
    TRY(swap_answer(room->arena, knowledge, &question, &limits, room->diagnostics,
                    &answer));
    return render_picture_svg(writer, answer, (text){"", 0}, &manner);
}

whyfit_status whyfit_show(const whyfit_knowledge *knowledge, const char *word,
                          whyfit_format format, whyfit_sink *sink, void *context,
                          whyfit_problems **problems)
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
    status result = STATUS_OK;
    if (format == WHYFIT_SVG) {
        result = draw_unit(room, knowledge->knowledge, text_of(word), where, &writer);
        return small_end(room, &writer, result, problems);
    }
    result = show_word(room->arena, knowledge->knowledge, text_of(word), where,
                       room->diagnostics, &shown);
    if (result == STATUS_OK && format == WHYFIT_JSON) {
        result = render_shown_json(&writer, &shown);
    } else if (result == STATUS_OK) {
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
