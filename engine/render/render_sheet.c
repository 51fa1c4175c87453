/* SPDX-License-Identifier: MIT */
/* The answer to `sheet` in words: what to do in order, with boxes to tick. */
#include "phrases.h"

text sheet_length(struct arena *arena, const struct setting_plan *plan, double value)
{
    return magnitude_write(arena, plan->dim, value, -1);
}

text sheet_plan(struct arena *arena, const struct setting_plan *plan)
{
    const text from = plan->stock.length == 0
                          ? (text){"", 0}
                          : text_format(arena, " from %.*s", TEXT_ARG(plan->stock));
    return text_format(
        arena,
        "start with %.*s at %.*s%.*s; measure %.*s, which is wanted at %.*s to %.*s",
        TEXT_ARG(plan->place), TEXT_ARG(sheet_length(arena, plan, plan->start)),
        TEXT_ARG(from), TEXT_ARG(plan->gap),
        TEXT_ARG(sheet_length(arena, plan, plan->want_least)),
        TEXT_ARG(sheet_length(arena, plan, plan->want_greatest)));
}

/* The readings of a gap and what to take for each. */
static void write_choices(struct writer *writer, const struct setting_plan *plan)
{
    for (uint32_t i = 0; i < plan->choice_count; i++) {
        const struct setting_choice *one = &plan->choices[i];
        write_format(writer, "        %s%.*s to %.*s: take %.*s\n",
                     i == 0 ? "reads " : "      ",
                     TEXT_ARG(sheet_length(writer->arena, plan, one->from)),
                     TEXT_ARG(sheet_length(writer->arena, plan, one->to)),
                     TEXT_ARG(sheet_length(writer->arena, plan, one->take)));
    }
}

static void write_plan(struct writer *writer, const struct setting_plan *plan)
{
    write_wrapped(writer, TEXT("  [ ] "), sheet_plan(writer->arena, plan));
    write_choices(writer, plan);
}

static bool is_a_setting(const struct answer *answer, text what)
{
    for (uint32_t i = 0; i < answer->sheet->plan_count; i++) {
        const text gap = answer->sheet->plans[i].gap;
        if (text_starts(what, TEXT("set ")) &&
            text_starts(text_slice(what, 4, what.length), gap)) {
            return true;
        }
    }
    return false;
}

static text stock_text(struct arena *arena, const struct setting_plan *plan)
{
    return text_format(arena, "%.*s, %.*s to %.*s", TEXT_ARG(plan->stock),
                       TEXT_ARG(sheet_length(arena, plan, plan->least)),
                       TEXT_ARG(sheet_length(arena, plan, plan->greatest)));
}

uint32_t sheet_at_hand(struct arena *arena, const struct answer *answer, text **lines)
{
    uint32_t count = 0;
    text *all = ARENA_MANY(arena,
                           (size_t)answer->change_count + answer->brought_count +
                               answer->work_count + answer->sheet->plan_count,
                           text);
    *lines = all;
    if (all == NULL) {
        return 0;
    }
    for (uint32_t i = 0; i < answer->change_count; i++) {
        all[count++] = text_format(arena, "%.*s: %.*s", TEXT_ARG(answer->changes[i].name),
                                   TEXT_ARG(answer->changes[i].value));
    }
    for (uint32_t i = 0; i < answer->brought_count; i++) {
        all[count++] = text_format(arena, "%.*s: %.*s, which comes with it",
                                   TEXT_ARG(answer->brought[i].name),
                                   TEXT_ARG(answer->brought[i].value));
    }
    for (uint32_t i = 0; i < answer->work_count; i++) {
        if (!is_a_setting(answer, answer->work[i].what)) {
            all[count++] =
                text_format(arena, "%.*s: %.*s", TEXT_ARG(answer->work[i].what),
                            TEXT_ARG(answer->work[i].why));
        }
    }
    for (uint32_t i = 0; i < answer->sheet->plan_count; i++) {
        if (answer->sheet->plans[i].stock.length > 0) {
            all[count++] = stock_text(arena, &answer->sheet->plans[i]);
        }
    }
    return count;
}

/* What the swap brings and what its mends want: what has to be at hand. */
static void write_at_hand(struct writer *writer, const struct answer *answer)
{
    text *lines = NULL;
    const uint32_t count = sheet_at_hand(writer->arena, answer, &lines);
    render_heading(writer, "Have at hand");
    for (uint32_t i = 0; i < count; i++) {
        write_wrapped(writer, TEXT("  [ ] "), lines[i]);
    }
}

static void write_part(struct writer *writer, const struct sheet_part *part)
{
    render_heading(writer, text_copy(writer->arena, part->title).at);
    for (uint32_t i = 0; i < part->line_count; i++) {
        write_wrapped(writer, TEXT("  [ ] "), part->lines[i]->sentence);
    }
}

bool sheet_goes_in(const struct answer *answer)
{
    return answer->verdict == VERDICT_FITS || answer->verdict == VERDICT_FITS_WITH_WORK;
}

text sheet_headline(struct arena *arena, const struct answer *answer)
{
    return text_format(arena, "%s%s", verdict_word(answer->verdict),
                       sheet_goes_in(answer) ? "" : ": there is nothing to put together");
}

void render_sheet_text(struct writer *writer, const struct answer *answer)
{
    const struct sheet *sheet = answer->sheet;
    const bool goes_in = sheet_goes_in(answer);
    write_format(writer, "%.*s\n", TEXT_ARG(sheet_headline(writer->arena, answer)));
    render_reasons(writer, answer);
    if (goes_in) {
        write_at_hand(writer, answer);
        for (uint32_t i = 0; i < sheet->part_count; i++) {
            write_part(writer, &sheet->parts[i]);
        }
    }
    if (goes_in && sheet->plan_count > 0) {
        render_heading(writer, "Set");
    }
    for (uint32_t i = 0; goes_in && i < sheet->plan_count; i++) {
        write_plan(writer, &sheet->plans[i]);
    }
    render_list(writer, "Left over", answer->left_over, answer->left_over_count);
    render_heading(writer, "Caution");
    write_wrapped(writer, TEXT("  "), answer->caution);
}
