/* SPDX-License-Identifier: MIT */
/* The questions without a unit: reckon, fit, show and lint. */
#include "facade_private.h"

#include "render_part.h"
#include "typed_name.h"

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

/* ---- pictures */

static status no_picture(struct whyfit_problems *room, span where, const char *message,
                         text expected)
{
    diagnostics_report(room->diagnostics, CODE_QUESTION_WRONG, where, "%s", message)
        ->expected = expected;
    return STATUS_INVALID;
}

static status draw_part(struct whyfit_problems *room, const struct knowledge *knowledge,
                        const struct part *part, span where, struct writer *writer)
{
    const struct svg_manner manner = {0};
    struct section section;
    TRY(section_part(room->arena, knowledge, part, &section));
    return section.view_count == 0
               ? no_picture(room, where,
                            "nothing is recorded of this part that could be drawn",
                            TEXT("a part with a surface of known place and size"))
               : render_part_svg(writer, &section, knowledge, &manner);
}

/* A unit as it is. */
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

/* What a word means, if that can be drawn; else as `show` says it of words that mean
 * nothing. */
static status draw_word(struct whyfit_problems *room, const struct knowledge *knowledge,
                        text word, span where, struct writer *writer)
{
    const struct typed_match *matches = NULL;
    struct shown shown = {0};
    uint32_t count = 0;
    TRY(typed_find(room->arena, knowledge, word, TYPED_ANY, &matches, &count));
    if (count == 1) {
        return matches[0].part != NULL
                   ? draw_part(room, knowledge, matches[0].part, where, writer)
                   : draw_unit(room, knowledge, word, where, writer);
    }
    TRY(show_word(room->arena, knowledge, word, where, room->diagnostics, &shown));
    return no_picture(room, where,
                      count > 1 ? "this means several parts or units"
                                : "there is no picture of this",
                      TEXT("one part or unit"));
}

/* The part that a word means, drawn; NULL where it means none, or has no shape. */
static status part_section(struct arena *arena, const struct knowledge *knowledge,
                           text word, const struct section **out)
{
    const struct typed_match *matches = NULL;
    struct section *section = ARENA_NEW(arena, struct section);
    uint32_t count = 0;
    *out = NULL;
    TRY(arena_status(arena));
    TRY(typed_find(arena, knowledge, word, TYPED_ANY, &matches, &count));
    if (count == 1 && matches[0].part != NULL) {
        TRY(section_part(arena, knowledge, matches[0].part, section));
        *out = section->view_count > 0 ? section : NULL;
    }
    return STATUS_OK;
}

static status show_as_page(struct whyfit_problems *room,
                           const struct knowledge *knowledge, text word, span where,
                           bool is_part, struct writer *writer)
{
    struct shown shown = {0};
    const struct section *section = NULL;
    TRY(show_word(room->arena, knowledge, word, where, room->diagnostics, &shown));
    TRY(part_section(room->arena, knowledge, word, &section));
    return render_shown_html(writer, &shown, knowledge, section, is_part);
}

static status show_in_words(struct whyfit_problems *room,
                            const struct knowledge *knowledge, text word, span where,
                            whyfit_format format, struct writer *writer)
{
    struct shown shown = {0};
    TRY(show_word(room->arena, knowledge, word, where, room->diagnostics, &shown));
    if (format == WHYFIT_JSON) {
        return render_shown_json(writer, &shown);
    }
    render_shown(writer, &shown);
    return STATUS_OK;
}

static whyfit_status show(const whyfit_knowledge *knowledge, const char *word,
                          whyfit_format format, bool is_part, whyfit_sink *sink,
                          void *context, whyfit_problems **problems)
{
    struct writer writer;
    span where;
    const text all = text_of(word);
    struct whyfit_problems *room = small_room(knowledge, "word", word, &where);
    if (room == NULL) {
        return WHYFIT_NO_MEMORY;
    }
    if (!writer_open(&writer, knowledge->allocator, sink, context)) {
        whyfit_problems_free(room);
        return WHYFIT_NO_MEMORY;
    }
    const status result =
        format == WHYFIT_SVG ? draw_word(room, knowledge->knowledge, all, where, &writer)
        : format == WHYFIT_HTML
            ? show_as_page(room, knowledge->knowledge, all, where, is_part, &writer)
            : show_in_words(room, knowledge->knowledge, all, where, format, &writer);
    return small_end(room, &writer, result, problems);
}

whyfit_status whyfit_show(const whyfit_knowledge *knowledge, const char *word,
                          whyfit_format format, whyfit_sink *sink, void *context,
                          whyfit_problems **problems)
{
    return show(knowledge, word, format, false, sink, context, problems);
}

whyfit_status whyfit_show_body(const whyfit_knowledge *knowledge, const char *word,
                               whyfit_sink *sink, void *context,
                               whyfit_problems **problems)
{
    return show(knowledge, word, WHYFIT_HTML, true, sink, context, problems);
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
