/* SPDX-License-Identifier: MIT */
/* A sweep in words: the stretches of one verdict first, then every step, then the margins
 * that change. */
#include "phrases.h"

#include <math.h>

text sweep_at(const struct sweep *sweep, struct arena *arena, double at)
{
    return magnitude_write(arena, sweep->dim, at, -1);
}

text sweep_stretch(struct arena *arena, const struct sweep *sweep, uint32_t i,
                   enum verdict *verdict)
{
    const bool is_last = i == sweep->turn_count;
    const double from = i == 0 ? sweep->from : sweep->turns[i - 1].high;
    const double to = is_last ? sweep->to : sweep->turns[i].low;
    *verdict =
        is_last ? sweep->points[sweep->point_count - 1].verdict : sweep->turns[i].before;
    return text_format(arena, "%s from %.*s to %.*s", verdict_word(*verdict),
                       TEXT_ARG(sweep_at(sweep, arena, from)),
                       TEXT_ARG(sweep_at(sweep, arena, to)));
}

static void write_stretches(struct writer *writer, const struct sweep *sweep)
{
    for (uint32_t i = 0; i <= sweep->turn_count; i++) {
        enum verdict verdict = VERDICT_NOT_KNOWN;
        const text words = sweep_stretch(writer->arena, sweep, i, &verdict);
        write_format(writer, "%s%.*s%s\n",
                     writer->in_colour ? render_verdict_colour(verdict) : "",
                     TEXT_ARG(words), writer->in_colour ? "\033[0m" : "");
    }
}

text sweep_swept(struct arena *arena, const struct sweep *sweep)
{
    const text width =
        sweep->has_width
            ? text_format(arena, "; its limits stay %s%.*s and %s%.*s of it",
                          sweep->width_high < 0 ? "" : "+",
                          TEXT_ARG(sweep_at(sweep, arena, sweep->width_high)),
                          sweep->width_low < 0 ? "" : "+",
                          TEXT_ARG(sweep_at(sweep, arena, sweep->width_low)))
            : TEXT("; each as a value that is written without limits");
    return text_format(arena, "%.*s from %.*s to %.*s in %u step%s%.*s",
                       TEXT_ARG(sweep->of), TEXT_ARG(sweep_at(sweep, arena, sweep->from)),
                       TEXT_ARG(sweep_at(sweep, arena, sweep->to)), sweep->steps,
                       sweep->steps == 1 ? "" : "s", TEXT_ARG(width));
}

static void write_asked(struct writer *writer, const struct answer *answer)
{
    struct arena *arena = writer->arena;
    write_wrapped(writer, TEXT("  asked    "), render_asked(arena, answer));
    render_given(writer, answer);
    write_wrapped(writer, TEXT("  swept    "), sweep_swept(arena, answer->sweep));
}

text sweep_turn(struct arena *arena, const struct sweep *sweep, uint32_t i)
{
    const struct sweep_turn *turn = &sweep->turns[i];
    const text low = sweep_at(sweep, arena, turn->low);
    const text high = sweep_at(sweep, arena, turn->high);
    const text where =
        turn->is_exact ? text_format(arena, "at %.*s, exactly, by %.*s", TEXT_ARG(low),
                                     TEXT_ARG(turn->rule))
        : text_equal(low, high)
            ? text_format(arena, "at about %.*s, found by halving", TEXT_ARG(low))
            : text_format(arena, "between %.*s and %.*s, found by halving", TEXT_ARG(low),
                          TEXT_ARG(high));
    return text_format(arena, "from %s to %s %.*s", verdict_word(turn->before),
                       verdict_word(turn->after), TEXT_ARG(where));
}

static void write_turns(struct writer *writer, const struct sweep *sweep)
{
    if (sweep->turn_count > 0) {
        render_heading(writer, "Where it turns");
    }
    for (uint32_t i = 0; i < sweep->turn_count; i++) {
        write_wrapped(writer, TEXT("  - "), sweep_turn(writer->arena, sweep, i));
    }
}

text sweep_because(const struct sweep *sweep, uint32_t i)
{
    const struct sweep_point *point = &sweep->points[i];
    return i > 0 && text_equal(point->because, point[-1].because) ? TEXT("as before")
                                                                  : point->because;
}

static void write_points(struct writer *writer, const struct sweep *sweep)
{
    struct arena *arena = writer->arena;
    render_heading(writer, "Step by step");
    for (uint32_t i = 0; i < sweep->point_count; i++) {
        const struct sweep_point *point = &sweep->points[i];
        const text at = text_copy(arena, sweep_at(sweep, arena, point->at));
        write_wrapped(
            writer,
            text_format(arena, "  %-11s %-15s ", at.at, verdict_word(point->verdict)),
            sweep_because(sweep, i));
    }
}

static bool is_within(const struct sweep *sweep, double at)
{
    return isfinite(at) && at >= sweep->from && at <= sweep->to;
}

text sweep_margin(struct arena *arena, const struct sweep *sweep, uint32_t at)
{
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
                           TEXT_ARG(sweep_at(sweep, arena, first->holds_from)));
    }
    if (is_within(sweep, first->fails_from)) {
        line = text_format(arena, "%.*s; it surely fails %s %.*s", TEXT_ARG(line),
                           rises ? "below" : "above",
                           TEXT_ARG(sweep_at(sweep, arena, first->fails_from)));
    }
    return line;
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
        write_wrapped(writer, TEXT("  - "), sweep_margin(writer->arena, sweep, i));
    }
    render_heading(writer, "Caution");
    write_wrapped(writer, TEXT("  "), answer->caution);
}
