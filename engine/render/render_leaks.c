/* SPDX-License-Identifier: MIT */
/* The answer to `leaks` in words: what leaks first, then space by space and way by way.
 */
#include "render_words.h"

static const char *leaks_colour(enum leaks leaks)
{
    switch (leaks) {
    case LEAKS_NONE:
        return "\033[1;32m";
    case LEAKS_FOUND:
    case LEAKS_AMISS:
        return "\033[1;31m";
    case LEAKS_NOT_KNOWN:
        break;
    }
    return "\033[1;33m";
}

static bool is_shown(const struct finding *finding)
{
    return finding->rule != NULL && finding->rule->answers_leaks;
}

static void write_reasons(struct writer *writer, const struct answer *answer)
{
    for (uint32_t i = 0; i < answer->leak_reason_count; i++) {
        write_wrapped(writer, i == 0 ? TEXT("  because  ") : TEXT("           "),
                      answer->leak_reasons[i]);
    }
    for (uint32_t i = 0; i < answer->finding_count; i++) {
        const struct finding *finding = &answer->findings[i];
        if (is_shown(finding) && finding->weight == WEIGHT_CAUTIONS &&
            finding->outcome == OUTCOME_FAILS) {
            write_wrapped(writer, TEXT("  mind     "), finding->sentence);
        }
    }
}

static void write_spaces(struct writer *writer, const struct answer *answer)
{
    if (answer->space_count > 0) {
        render_heading(writer, "Spaces");
    }
    for (uint32_t i = 0; i < answer->space_count; i++) {
        const struct leak_space *space = &answer->spaces[i];
        const text lead = text_format(writer->arena, "  %-9s  ",
                                      text_copy(writer->arena, space->space).at);
        const bool is_dry = text_is(space->holds, "nothing");
        write_wrapped(writer, lead,
                      space->wet_with.length > 0
                          ? text_format(writer->arena, "%swet with %.*s",
                                        space->is_open ? "perhaps " : "",
                                        TEXT_ARG(space->wet_with))
                      : is_dry ? TEXT("dry")
                               : space->holds);
    }
}

static void write_ways(struct writer *writer, const struct answer *answer)
{
    if (answer->way_count > 0) {
        render_heading(writer, "Ways");
    }
    for (uint32_t i = 0; i < answer->way_count; i++) {
        const struct leak_way *way = &answer->ways[i];
        write_wrapped(
            writer, text_format(writer->arena, "  %-9s  ", way_state_word(way->state)),
            text_format(writer->arena, "%.*s to %.*s, past %.*s", TEXT_ARG(way->from),
                        TEXT_ARG(way->to), TEXT_ARG(way->closer)));
    }
}

void render_leaks_text(struct writer *writer, const struct answer *answer)
{
    write_format(writer, "%s%s%s\n", writer->in_colour ? leaks_colour(answer->leaks) : "",
                 leaks_word(answer->leaks), writer->in_colour ? "\033[0m" : "");
    text asked = answer->unit;
    for (uint32_t i = 0; i < answer->change_count; i++) {
        asked = text_format(writer->arena, "%.*s, %.*s=%.*s", TEXT_ARG(asked),
                            TEXT_ARG(answer->changes[i].name),
                            TEXT_ARG(answer->changes[i].value));
    }
    write_wrapped(writer, TEXT("  asked    "), asked);
    write_reasons(writer, answer);
    write_spaces(writer, answer);
    write_ways(writer, answer);
    render_heading(writer, "Checks");
    for (uint32_t i = 0; i < answer->finding_count; i++) {
        if (is_shown(&answer->findings[i])) {
            render_finding(writer, &answer->findings[i]);
        }
    }
    render_list(writer, "Assumed", answer->assumed, answer->assumed_count);
    render_heading(writer, "Caution");
    write_wrapped(writer, TEXT("  "), answer->caution);
}

void render_lint_text(struct writer *writer, const struct lint *lint,
                      const struct sources *sources)
{
    for (uint32_t i = 0; i < lint->fault_count; i++) {
        const struct lint_fault *fault = &lint->faults[i];
        const struct place_in_text at = sources_locate(sources, fault->where);
        if (fault->problem != NULL) {
            struct diagnostic problem = *fault->problem;
            problem.where = fault->where;
            problem.message =
                text_format(writer->arena, "%.*s %.*s: %.*s", TEXT_ARG(fault->of),
                            TEXT_ARG(fault->name), TEXT_ARG(fault->sentence));
            write_text(writer, diagnostic_write(writer->arena, &problem, sources));
            continue;
        }
        write_wrapped(writer, TEXT(""),
                      text_format(writer->arena, "%.*s:%u: %.*s %.*s: %.*s [%.*s]",
                                  TEXT_ARG(at.file), at.line, TEXT_ARG(fault->of),
                                  TEXT_ARG(fault->name), TEXT_ARG(fault->sentence),
                                  TEXT_ARG(fault->rule)));
    }
    write_format(writer, "%u unit%s, %u fault%s\n", lint->unit_count,
                 lint->unit_count == 1 ? "" : "s", lint->fault_count,
                 lint->fault_count == 1 ? "" : "s");
}
