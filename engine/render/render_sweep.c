/* SPDX-License-Identifier: MIT */
/* A sweep in words: the stretches of one verdict first, then every step, then the margins
 * that change. */
#include "render_words.h"
#include "sweep.h"

#include <math.h>

static text at_text(const struct sweep *sweep, struct arena *arena, double at)
{
    return magnitude_write(arena, sweep->dim, at, -1);
}

/* "does not fit up to 21.3 mm", stretch by stretch. */
static void write_stretches(struct writer *writer, const struct sweep *sweep)
{
    struct arena *arena = writer->arena;
    double from = sweep->from;
    for (uint32_t i = 0; i <= sweep->turn_count; i++) {
        const bool is_last = i == sweep->turn_count;
        const enum verdict verdict = is_last
                                         ? sweep->points[sweep->point_count - 1].verdict
                                         : sweep->turns[i].before;
        const double to = is_last ? sweep->to : sweep->turns[i].low;
        const text words = text_format(
            arena, "%s from %.*s to %.*s", verdict_word(verdict),
            TEXT_ARG(at_text(sweep, arena, from)), TEXT_ARG(at_text(sweep, arena, to)));
        write_format(writer, "%s%.*s%s\n",
                     writer->in_colour ? render_verdict_colour(verdict) : "",
                     TEXT_ARG(words), writer->in_colour ? "\033[0m" : "");
        from = is_last ? to : sweep->turns[i].high;
    }
}

static void write_asked(struct writer *writer, const struct answer *answer)
{
    struct arena *arena = writer->arena;
    const struct sweep *sweep = answer->sweep;
    const text changes = render_pairs(arena, answer->changes, answer->change_count);
    write_wrapped(writer, TEXT("  asked    "),
                  text_format(arena, "%.*s in %.*s",
                              TEXT_ARG(changes.length > 0 ? changes : TEXT("no change")),
                              TEXT_ARG(answer->unit)));
    render_given(writer, answer);
    const text width =
        sweep->has_width ? text_format(arena, "; its limits stay %s%.*s and %s%.*s of it",
                                       sweep->width_high < 0 ? "" : "+",
                                       TEXT_ARG(at_text(sweep, arena, sweep->width_high)),
                                       sweep->width_low < 0 ? "" : "+",
                                       TEXT_ARG(at_text(sweep, arena, sweep->width_low)))
                         : TEXT("; each as a value that is written without limits");
    write_wrapped(writer, TEXT("  swept    "),
                  text_format(arena, "%.*s from %.*s to %.*s in %u step%s%.*s",
                              TEXT_ARG(sweep->of),
                              TEXT_ARG(at_text(sweep, arena, sweep->from)),
                              TEXT_ARG(at_text(sweep, arena, sweep->to)), sweep->steps,
                              sweep->steps == 1 ? "" : "s", TEXT_ARG(width)));
}

static void write_turns(struct writer *writer, const struct sweep *sweep)
{
    struct arena *arena = writer->arena;
    if (sweep->turn_count == 0) {
        return;
    }
    render_heading(writer, "Where it turns");
    for (uint32_t i = 0; i < sweep->turn_count; i++) {
        const struct sweep_turn *turn = &sweep->turns[i];
        const text low = at_text(sweep, arena, turn->low);
        const text high = at_text(sweep, arena, turn->high);
        const text where =
            turn->is_exact ? text_format(arena, "at %.*s, exactly, by %.*s",
                                         TEXT_ARG(low), TEXT_ARG(turn->rule))
            : text_equal(low, high)
                ? text_format(arena, "at about %.*s, found by halving", TEXT_ARG(low))
                : text_format(arena, "between %.*s and %.*s, found by halving",
                              TEXT_ARG(low), TEXT_ARG(high));
        write_wrapped(writer, TEXT("  - "),
                      text_format(arena, "from %s to %s %.*s", verdict_word(turn->before),
                                  verdict_word(turn->after), TEXT_ARG(where)));
    }
}

static void write_points(struct writer *writer, const struct sweep *sweep)
{
    struct arena *arena = writer->arena;
    render_heading(writer, "Step by step");
    for (uint32_t i = 0; i < sweep->point_count; i++) {
        const struct sweep_point *point = &sweep->points[i];
        const text at = text_copy(arena, at_text(sweep, arena, point->at));
        const bool is_said = i > 0 && text_equal(point->because, point[-1].because);
        write_wrapped(
            writer,
            text_format(arena, "  %-11s %-15s ", at.at, verdict_word(point->verdict)),
            is_said ? TEXT("as before") : point->because);
    }
}

static bool is_within(const struct sweep *sweep, double at)
{
    return isfinite(at) && at >= sweep->from && at <= sweep->to;
}

/* "-2.7 mm" at one end and "0.3 mm" at the other, and where it holds. */
static void write_margin(struct writer *writer, const struct sweep *sweep, uint32_t at)
{
    struct arena *arena = writer->arena;
    const struct sweep_margin *first = &sweep->points[0].margins[at];
    const struct sweep_margin *last = &sweep->points[sweep->point_count - 1].margins[at];
    text line = text_format(
        arena, "%.*s: %.*s: margin from %.*s to %.*s", TEXT_ARG(first->rule),
        TEXT_ARG(first->subject), TEXT_ARG(form_write(arena, first->margin)),
        TEXT_ARG(last->margin == NULL ? TEXT("none") : form_write(arena, last->margin)));
    const bool rises = first->holds_from >= first->fails_from;
    if (is_within(sweep, first->holds_from)) {
        line = text_format(arena, "%.*s; it surely holds %s %.*s", TEXT_ARG(line),
                           rises ? "from" : "up to",
                           TEXT_ARG(at_text(sweep, arena, first->holds_from)));
    }
    if (is_within(sweep, first->fails_from)) {
        line = text_format(arena, "%.*s; it surely fails %s %.*s", TEXT_ARG(line),
                           rises ? "below" : "above",
                           TEXT_ARG(at_text(sweep, arena, first->fails_from)));
    }
    write_wrapped(writer, TEXT("  - "), line);
}

void render_sweep_text(struct writer *writer, const struct answer *answer)
{
    const struct sweep *sweep = answer->sweep;
    write_stretches(writer, sweep);
    write_asked(writer, answer);
    write_turns(writer, sweep);
    write_points(writer, sweep);
    if (sweep->margin_count > 0) {
        render_heading(writer, "Margins that change");
    }
    for (uint32_t i = 0; i < sweep->margin_count; i++) {
        write_margin(writer, sweep, i);
    }
    render_heading(writer, "Caution");
    write_wrapped(writer, TEXT("  "), answer->caution);
}
