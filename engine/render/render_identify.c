/* SPDX-License-Identifier: MIT */
/*
 * The answer to `identify` in words: the candidates that are left, why the others fell
 * out, what to look at next, and the question to ask again with what is seen then.
 */
#include "phrases.h"

#include "number_text.h"

#include <math.h>

enum {
    ANSWERS_SHOWN = 6,
    WIDEST_NAME = 32 /* that titles are lined up behind */
};

text render_misfit(struct arena *arena, const struct misfit *misfit)
{
    return misfit->kind == LOOK_PRESENCE && misfit->is.length > 0
               ? text_format(arena, "it has %.*s, seen %.*s", TEXT_ARG(misfit->field),
                             TEXT_ARG(misfit->seen))
           : misfit->is.length == 0
               ? text_format(arena, "it has no %.*s, seen %.*s", TEXT_ARG(misfit->field),
                             TEXT_ARG(misfit->seen))
               : text_format(arena, "%.*s is %.*s, seen %.*s", TEXT_ARG(misfit->field),
                             TEXT_ARG(misfit->is), TEXT_ARG(misfit->seen));
}

text render_look(struct arena *arena, const struct look *look)
{
    switch (look->kind) {
    case LOOK_PRESENCE:
        return text_format(arena, "%.*s: is it there?", TEXT_ARG(look->says));
    case LOOK_KIND:
        return text_format(arena, "%.*s: what is it?", TEXT_ARG(look->says));
    case LOOK_PART:
    case LOOK_WORD:
        return text_format(arena, "%.*s: which?", TEXT_ARG(look->says));
    case LOOK_COUNT:
        return text_format(arena, "%.*s: how many?", TEXT_ARG(look->says));
    case LOOK_QUANTITY:
        break;
    }
    return look->from.length == 0
               ? text_format(arena, "%.*s: how much?", TEXT_ARG(look->says))
               : text_format(arena, "%.*s: how far from face %.*s (+ is outboard of it)?",
                             TEXT_ARG(look->says), TEXT_ARG(look->from));
}

/* "about 10 s", "about 2 min", "about 2.5 h" */
static text minutes_text(struct arena *arena, double minutes)
{
    const bool is_short = minutes < 1.5;
    const bool is_long = minutes >= 90.0;
    const double shown = is_short ? minutes * 60.0 : is_long ? minutes / 60.0 : minutes;
    const text number = number_write_fixed(arena, shown, is_long && shown < 10.0 ? 1 : 0);
    return isnan(minutes) ? TEXT("nobody says how long that takes")
                          : text_format(arena, "about %.*s %s", TEXT_ARG(number),
                                        is_short  ? "s"
                                        : is_long ? "h"
                                                  : "min");
}

text identify_said(struct arena *arena, const struct candidate *candidate)
{
    return candidate->number.length == 0
               ? candidate->title
               : text_format(arena, "%.*s%snumber %.*s", TEXT_ARG(candidate->title),
                             candidate->title.length > 0 ? ", " : "",
                             TEXT_ARG(candidate->number));
}

text identify_superseded(struct arena *arena, const struct candidate *candidate)
{
    return candidate->superseded_by.length == 0
               ? candidate->superseded_by
               : text_format(arena, "superseded by %.*s, its maker says",
                             TEXT_ARG(candidate->superseded_by));
}

const char *identify_hint(const struct candidate *candidate)
{
    return candidate->hinted == HINTED_FOR ? "a hint is for it: "
                                           : "a hint is against it: ";
}

static void write_candidate(struct writer *writer, const struct candidate *candidate,
                            size_t width)
{
    struct arena *arena = writer->arena;
    const text said = identify_said(arena, candidate);
    if (said.length == 0) {
        write_format(writer, "  %.*s\n", TEXT_ARG(candidate->name));
    } else {
        write_wrapped(
            writer,
            text_format(arena, "  %-*.*s  ", (int)width, TEXT_ARG(candidate->name)),
            said);
    }
    if (candidate->superseded_by.length > 0) {
        write_wrapped(writer, TEXT("      "), identify_superseded(arena, candidate));
    }
    for (uint32_t i = 0; i < candidate->hint_count; i++) {
        write_wrapped(writer, text_format(arena, "      %s", identify_hint(candidate)),
                      candidate->hints[i]);
    }
}

static void write_more(struct writer *writer, uint32_t count, uint32_t shown)
{
    if (count > shown) {
        write_format(writer, "  … and %u more (--most N)\n", count - shown);
    }
}

static void write_left(struct writer *writer, const struct identification *made)
{
    size_t width = 0;
    for (uint32_t i = 0; i < made->left_shown; i++) {
        const size_t length = made->left[i].name.length;
        width = length > width && length <= WIDEST_NAME ? length : width;
    }
    for (uint32_t i = 0; i < made->left_shown; i++) {
        write_candidate(writer, &made->left[i], width);
    }
    write_more(writer, made->left_count, made->left_shown);
}

text identify_fallen(struct arena *arena, const struct fallen *one)
{
    const text reason = render_misfit(arena, &one->misfits[0]);
    return one->misfit_count == 1
               ? text_format(arena, "%.*s: %.*s", TEXT_ARG(one->candidate.name),
                             TEXT_ARG(reason))
               : text_format(arena, "%.*s: %.*s, and %u more",
                             TEXT_ARG(one->candidate.name), TEXT_ARG(reason),
                             one->misfit_count - 1);
}

const char *identify_fallen_heading(const struct identification *made)
{
    return made->left_count == 0 ? "Fell out, the nearest first" : "Fell out";
}

static void write_fallen(struct writer *writer, const struct identification *made)
{
    if (made->fallen_count > 0) {
        render_heading(writer, identify_fallen_heading(made));
    }
    for (uint32_t i = 0; i < made->fallen_shown; i++) {
        write_wrapped(writer, TEXT("  - "),
                      identify_fallen(writer->arena, &made->fallen[i]));
    }
    write_more(writer, made->fallen_count, made->fallen_shown);
}

text identify_leaves(struct arena *arena, const struct look *look)
{
    text all = {"", 0};
    for (uint32_t i = 0; i < look->answer_count && i < ANSWERS_SHOWN; i++) {
        const struct look_answer *one = &look->answers[i];
        all = text_format(arena, "%.*s%s%.*s: %u", TEXT_ARG(all), i == 0 ? "" : "; ",
                          TEXT_ARG(one->value), one->left);
    }
    return look->answer_count > ANSWERS_SHOWN
               ? text_format(arena, "%.*s; … and %u more", TEXT_ARG(all),
                             look->answer_count - ANSWERS_SHOWN)
               : all;
}

text identify_how(struct arena *arena, const struct look *look)
{
    return text_format(arena, "%.*s, %.*s%s", TEXT_ARG(look->way_title),
                       TEXT_ARG(minutes_text(arena, look->minutes)),
                       look->needs_opening ? ", with the unit opened" : "");
}

static void write_look(struct writer *writer, const struct look *look, uint32_t number)
{
    struct arena *arena = writer->arena;
    write_wrapped(writer, text_format(arena, "  %u  ", number), render_look(arena, look));
    if (look->like.length > 0) {
        write_wrapped(writer, TEXT("     like    "), look->like);
    }
    write_wrapped(writer, TEXT("     how     "), identify_how(arena, look));
    write_wrapped(writer, TEXT("     leaves  "), identify_leaves(arena, look));
}

/* The question again, with what was seen and a blank for the first look. */
static void write_again(struct writer *writer, const struct identification *made)
{
    struct arena *arena = writer->arena;
    const char *quote = text_find(made->of, ' ', 0) < made->of.length ? "\"" : "";
    text words =
        text_format(arena, "whyfit identify %s%.*s%s", quote, TEXT_ARG(made->of), quote);
    for (uint32_t i = 0; i < made->seen_count; i++) {
        const struct seen_echo *one = &made->seen[i];
        const bool needs_quotes =
            text_find(one->value, ' ', 0) < one->value.length || text_is(one->value, "?");
        words = text_format(arena, "%.*s %s %s%.*s=%.*s%s", TEXT_ARG(words),
                            one->is_hint ? "--hint" : "--seen", needs_quotes ? "\"" : "",
                            TEXT_ARG(one->name), TEXT_ARG(one->value),
                            needs_quotes ? "\"" : "");
    }
    write_wrapped(writer, TEXT("  "),
                  text_format(arena, "%.*s --seen %.*s=…", TEXT_ARG(words),
                              TEXT_ARG(made->looks[0].name)));
}

const char *identify_no_look(void)
{
    return "Nothing more that is recorded tells these apart";
}

static void write_looks(struct writer *writer, const struct identification *made)
{
    if (made->look_count > 0) {
        render_heading(writer, "Look next, the best first");
    } else if (made->left_count > 1) {
        render_heading(writer, identify_no_look());
    }
    for (uint32_t i = 0; i < made->look_count; i++) {
        write_look(writer, &made->looks[i], i + 1);
    }
    if (made->look_count > 0) {
        write_format(writer, "\nThen ask again (? for what cannot be told)\n");
        write_again(writer, made);
    }
}

text identify_seen(struct arena *arena, const struct seen_echo *one)
{
    const bool is_same = one->taken.length == 0 || text_equal(one->taken, one->value);
    return is_same ? text_format(arena, "%.*s=%.*s", TEXT_ARG(one->name),
                                 TEXT_ARG(one->value))
                   : text_format(arena, "%.*s=%.*s, taken as %.*s", TEXT_ARG(one->name),
                                 TEXT_ARG(one->value), TEXT_ARG(one->taken));
}

static void write_seen(struct writer *writer, const struct identification *made)
{
    for (uint32_t i = 0; i < made->seen_count; i++) {
        const struct seen_echo *one = &made->seen[i];
        write_wrapped(writer, one->is_hint ? TEXT("  hint     ") : TEXT("  seen     "),
                      identify_seen(writer->arena, one));
    }
}

text identify_headline(struct arena *arena, const struct answer *answer)
{
    const struct identification *made = answer->identification;
    const char *what = made->is_of_units ? "unit" : "part";
    if (made->candidate_count == 0) {
        return text_format(arena, "no %s of kind %.*s was loaded",
                           made->is_of_units ? "unit" : "part or unit",
                           TEXT_ARG(made->of));
    }
    return made->left_count == 0
               ? text_format(arena,
                             "none of %u %ss is left: nothing recorded is like this",
                             made->candidate_count, what)
               : text_format(arena, "%u of %u %s%s left", made->left_count,
                             made->candidate_count, what,
                             made->candidate_count == 1 ? "" : "s");
}

text identify_caution(void)
{
    return TEXT("Records are of parts as they were made: a worn, bent or repaired place "
                "reads otherwise.");
}

void render_identify_text(struct writer *writer, const struct answer *answer)
{
    const struct identification *made = answer->identification;
    write_format(writer, "%.*s\n", TEXT_ARG(identify_headline(writer->arena, answer)));
    write_seen(writer, made);
    if (made->left_count > 0) {
        render_heading(writer, "Left");
    }
    write_left(writer, made);
    write_fallen(writer, made);
    write_looks(writer, made);
    render_heading(writer, "Caution");
    write_wrapped(writer, TEXT("  "), identify_caution());
    write_wrapped(writer, TEXT("  "), answer->caution);
}
