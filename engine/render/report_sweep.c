/* SPDX-License-Identifier: MIT */
/* The report of a swap over a range: where the verdict turns, step by step, and the
 * margins that change. */
#include "phrases.h"
#include "report.h"

static text headline(struct arena *arena, const struct answer *answer)
{
    const struct sweep *sweep = answer->sweep;
    enum verdict verdict = VERDICT_NOT_KNOWN;
    return sweep->turn_count == 0
               ? sweep_stretch(arena, sweep, 0, &verdict)
               : text_format(arena, "the verdict turns %u time%s", sweep->turn_count,
                             sweep->turn_count == 1 ? "" : "s");
}

static const char *tone(const struct answer *answer)
{
    return answer->sweep->turn_count == 0 ? report_tone(answer->sweep->points[0].verdict)
                                          : "plain";
}

static void write_reasons(struct writer *writer, const struct answer *answer)
{
    struct arena *arena = writer->arena;
    html_raw(writer, "<dl class=\"facts\">\n");
    html_term(writer, "Asked", render_asked(arena, answer));
    report_given(writer, answer);
    html_term(writer, "Swept", sweep_swept(arena, answer->sweep));
    html_raw(writer, "</dl>\n<ul>\n");
    for (uint32_t i = 0; i <= answer->sweep->turn_count; i++) {
        enum verdict verdict = VERDICT_NOT_KNOWN;
        const text words = sweep_stretch(arena, answer->sweep, i, &verdict);
        html_element(writer, "li", NULL, words);
    }
    html_raw(writer, "</ul>\n");
}

static void write_points(struct writer *writer, const struct sweep *sweep)
{
    static const char *const columns[] = {"At", "Verdict", "Because"};
    html_section_open(writer, TEXT("Step by step"));
    html_table_open(writer, NULL, TEXT("Verdicts over the range"), columns, 3);
    for (uint32_t i = 0; i < sweep->point_count; i++) {
        const struct sweep_point *point = &sweep->points[i];
        html_row_open(writer, sweep_at(sweep, writer->arena, point->at));
        html_raw(writer, "<td>");
        report_mark(writer, report_tone(point->verdict), verdict_word(point->verdict));
        html_raw(writer, "</td>");
        html_element(writer, "td", NULL, sweep_because(sweep, i));
        html_row_close(writer);
    }
    html_table_close(writer);
    html_section_close(writer);
}

/* Lines of the sweep, each by its number. */
static void write_list(struct writer *writer, const char *heading,
                       const struct sweep *sweep, uint32_t count,
                       text (*line)(struct arena *arena, const struct sweep *sweep,
                                    uint32_t i))
{
    text *lines = ARENA_MANY(writer->arena, count, text);
    for (uint32_t i = 0; lines != NULL && i < count; i++) {
        lines[i] = line(writer->arena, sweep, i);
    }
    html_list_section(writer, heading, lines, lines == NULL ? 0 : count);
}

static void write_sweep(struct writer *writer, const struct answer *answer)
{
    const struct sweep *sweep = answer->sweep;
    write_list(writer, "Where it turns", sweep, sweep->turn_count, sweep_turn);
    write_points(writer, sweep);
    write_list(writer, "Margins that change", sweep, sweep->margin_count, sweep_margin);
}

static bool is_sweep(const struct answer *answer)
{
    return answer->sweep != NULL;
}

const struct report_kind report_sweep = {
    .asks = "How does it change over a range?",
    .is_of = is_sweep,
    .headline = headline,
    .tone = tone,
    .reasons = write_reasons,
    .write = write_sweep,
};
