/* SPDX-License-Identifier: MIT */
/* The answer to `leaks` in words: what leaks first, then space by space and way by way.
 */
#include "phrases.h"

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

bool is_of_leaks(const struct finding *finding)
{
    return finding->rule != NULL && finding->rule->answers_leaks;
}

text leaks_asked(struct arena *arena, const struct answer *answer)
{
    const text changes = render_pairs(arena, answer->changes, answer->change_count);
    return text_format(arena, "%.*s%s%.*s", TEXT_ARG(answer->unit),
                       changes.length > 0 ? ", " : "", TEXT_ARG(changes));
}

text leaks_space(struct arena *arena, const struct leak_space *space)
{
    return space->wet_with.length > 0
               ? text_format(arena, "%swet with %.*s", space->is_open ? "perhaps " : "",
                             TEXT_ARG(space->wet_with))
           : text_is(space->holds, "nothing") ? TEXT("dry")
                                              : space->holds;
}

text leaks_way(struct arena *arena, const struct leak_way *way)
{
    return text_format(arena, "%.*s to %.*s, past %.*s", TEXT_ARG(way->from),
                       TEXT_ARG(way->to), TEXT_ARG(way->closer));
}

bool is_minded_of_leaks(const struct finding *finding)
{
    return is_of_leaks(finding) && finding->weight == WEIGHT_CAUTIONS &&
           finding->outcome == OUTCOME_FAILS;
}

static void write_reasons(struct writer *writer, const struct answer *answer)
{
    for (uint32_t i = 0; i < answer->leak_reason_count; i++) {
        write_wrapped(writer, i == 0 ? TEXT("  because  ") : TEXT("           "),
                      answer->leak_reasons[i]);
    }
    for (uint32_t i = 0; i < answer->finding_count; i++) {
        const struct finding *finding = &answer->findings[i];
        if (is_minded_of_leaks(finding)) {
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
        write_wrapped(writer, lead, leaks_space(writer->arena, space));
    }
}

static void write_ways(struct writer *writer, const struct answer *answer)
{
    if (answer->way_count > 0) {
        render_heading(writer, "Ways");
    }
    for (uint32_t i = 0; i < answer->way_count; i++) {
        const struct leak_way *way = &answer->ways[i];
        write_wrapped(writer,
                      text_format(writer->arena, "  %-9s  ", way_state_word(way->state)),
                      leaks_way(writer->arena, way));
    }
}

void render_leaks_text(struct writer *writer, const struct answer *answer)
{
    write_format(writer, "%s%s%s\n", writer->in_colour ? leaks_colour(answer->leaks) : "",
                 leaks_word(answer->leaks), writer->in_colour ? "\033[0m" : "");
    write_wrapped(writer, TEXT("  asked    "), leaks_asked(writer->arena, answer));
    write_reasons(writer, answer);
    write_spaces(writer, answer);
    write_ways(writer, answer);
    render_heading(writer, "Checks");
    for (uint32_t i = 0; i < answer->finding_count; i++) {
        if (is_of_leaks(&answer->findings[i])) {
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
