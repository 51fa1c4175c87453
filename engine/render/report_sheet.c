/* SPDX-License-Identifier: MIT */
/* The report of `sheet`: what to do in order, with boxes to tick and tables to set by. */
#include "phrases.h"
#include "report.h"

static void write_ticks(struct writer *writer, text heading, const text *lines,
                        uint32_t count)
{
    html_section_open(writer, heading);
    html_list(writer, "tick", lines, count);
    html_section_close(writer);
}

static void write_part(struct writer *writer, const struct sheet_part *part)
{
    text *lines = ARENA_MANY(writer->arena, part->line_count, text);
    for (uint32_t i = 0; lines != NULL && i < part->line_count; i++) {
        lines[i] = part->lines[i]->sentence;
    }
    write_ticks(writer, part->title, lines, lines == NULL ? 0 : part->line_count);
}

/* The readings of a gap and what to take for each. */
static void write_choices(struct writer *writer, const struct setting_plan *plan)
{
    struct arena *arena = writer->arena;
    static const char *const columns[] = {"It reads", "Take"};
    if (plan->choice_count == 0) {
        return;
    }
    html_table_open(writer, NULL,
                    text_format(arena, "Setting of %.*s", TEXT_ARG(plan->gap)), columns,
                    2);
    for (uint32_t i = 0; i < plan->choice_count; i++) {
        const struct setting_choice *one = &plan->choices[i];
        html_row_open(writer, text_format(arena, "%.*s to %.*s",
                                          TEXT_ARG(sheet_length(arena, plan, one->from)),
                                          TEXT_ARG(sheet_length(arena, plan, one->to))));
        html_element(writer, "td", NULL, sheet_length(arena, plan, one->take));
        html_row_close(writer);
    }
    html_table_close(writer);
}

static void write_plans(struct writer *writer, const struct sheet *sheet)
{
    if (sheet->plan_count == 0) {
        return;
    }
    html_section_open(writer, TEXT("Set"));
    html_raw(writer, "<ul class=\"tick\">\n");
    for (uint32_t i = 0; i < sheet->plan_count; i++) {
        html_raw(writer, "<li>");
        html_element(writer, "p", NULL, sheet_plan(writer->arena, &sheet->plans[i]));
        write_choices(writer, &sheet->plans[i]);
        html_raw(writer, "</li>\n");
    }
    html_raw(writer, "</ul>\n");
    html_section_close(writer);
}

static void write_sheet(struct writer *writer, const struct answer *answer)
{
    const struct sheet *sheet = answer->sheet;
    if (sheet_goes_in(answer)) {
        text *lines = NULL;
        const uint32_t count = sheet_at_hand(writer->arena, answer, &lines);
        write_ticks(writer, TEXT("Have at hand"), lines, count);
        for (uint32_t i = 0; i < sheet->part_count; i++) {
            write_part(writer, &sheet->parts[i]);
        }
        write_plans(writer, sheet);
    }
    html_list_section(writer, "Left over", answer->left_over, answer->left_over_count);
}

static bool is_sheet(const struct answer *answer)
{
    return answer->sheet != NULL;
}

const struct report_kind report_sheet = {
    .asks = "How is it put together?",
    .is_for_bench = true,
    .is_of = is_sheet,
    .headline = sheet_headline,
    .tone = report_verdict_tone,
    .reasons = report_reasons,
    .write = write_sheet,
};
