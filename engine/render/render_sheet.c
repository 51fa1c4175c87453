/* SPDX-License-Identifier: MIT */
/* The answer to `sheet` in words: what to do in order, with boxes to tick. */
#include "render_words.h"

#include "sheet.h"

static text length_text(const struct writer *writer, const struct setting_plan *plan,
                        double value)
{
    return magnitude_write(writer->arena, plan->dim, value, -1);
}

/* The readings of a gap and what to take for each. */
static void write_choices(struct writer *writer, const struct setting_plan *plan)
{
    for (uint32_t i = 0; i < plan->choice_count; i++) {
        const struct setting_choice *one = &plan->choices[i];
        write_format(writer, "        %s%.*s to %.*s: take %.*s\n",
                     i == 0 ? "reads " : "      ",
                     TEXT_ARG(length_text(writer, plan, one->from)),
                     TEXT_ARG(length_text(writer, plan, one->to)),
                     TEXT_ARG(length_text(writer, plan, one->take)));
    }
}

static void write_plan(struct writer *writer, const struct setting_plan *plan)
{
    struct arena *arena = writer->arena;
    const text from = plan->stock.length == 0
                          ? (text){"", 0}
                          : text_format(arena, " from %.*s", TEXT_ARG(plan->stock));
    write_wrapped(
        writer, TEXT("  [ ] "),
        text_format(arena,
                    "start with %.*s at %.*s%.*s; measure %.*s, which is wanted at %.*s "
                    "to %.*s",
                    TEXT_ARG(plan->place),
                    TEXT_ARG(length_text(writer, plan, plan->start)), TEXT_ARG(from),
                    TEXT_ARG(plan->gap),
                    TEXT_ARG(length_text(writer, plan, plan->want_least)),
                    TEXT_ARG(length_text(writer, plan, plan->want_greatest))));
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

/* What the swap brings and what its mends want: what has to be at hand. */
static void write_at_hand(struct writer *writer, const struct answer *answer)
{
    render_heading(writer, "Have at hand");
    for (uint32_t i = 0; i < answer->change_count; i++) {
        write_wrapped(writer, TEXT("  [ ] "),
                      text_format(writer->arena, "%.*s: %.*s",
                                  TEXT_ARG(answer->changes[i].name),
                                  TEXT_ARG(answer->changes[i].value)));
    }
    for (uint32_t i = 0; i < answer->brought_count; i++) {
        write_wrapped(writer, TEXT("  [ ] "),
                      text_format(writer->arena, "%.*s: %.*s, which comes with it",
                                  TEXT_ARG(answer->brought[i].name),
                                  TEXT_ARG(answer->brought[i].value)));
    }
    for (uint32_t i = 0; i < answer->work_count; i++) {
        if (!is_a_setting(answer, answer->work[i].what)) {
            write_wrapped(writer, TEXT("  [ ] "),
                          text_format(writer->arena, "%.*s: %.*s",
                                      TEXT_ARG(answer->work[i].what),
                                      TEXT_ARG(answer->work[i].why)));
        }
    }
    for (uint32_t i = 0; i < answer->sheet->plan_count; i++) {
        const struct setting_plan *plan = &answer->sheet->plans[i];
        if (plan->stock.length > 0) {
            write_wrapped(
                writer, TEXT("  [ ] "),
                text_format(writer->arena, "%.*s, %.*s to %.*s", TEXT_ARG(plan->stock),
                            TEXT_ARG(length_text(writer, plan, plan->least)),
                            TEXT_ARG(length_text(writer, plan, plan->greatest))));
        }
    }
}

static void write_part(struct writer *writer, const struct sheet_part *part)
{
    render_heading(writer, text_copy(writer->arena, part->title).at);
    for (uint32_t i = 0; i < part->line_count; i++) {
        write_wrapped(writer, TEXT("  [ ] "), part->lines[i]->sentence);
    }
}

void render_sheet_text(struct writer *writer, const struct answer *answer)
{
    const struct sheet *sheet = answer->sheet;
    const bool goes_in =
        answer->verdict == VERDICT_FITS || answer->verdict == VERDICT_FITS_WITH_WORK;
    write_format(writer, "%s%s\n", verdict_word(answer->verdict),
                 goes_in ? "" : ": there is nothing to put together");
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
