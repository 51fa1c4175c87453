/* SPDX-License-Identifier: MIT */
/* The report of `measure`: a sheet for the bench, with a blank for each reading. */
#include "phrases.h"
#include "report.h"

static void write_measurement(struct writer *writer, const struct measurement *item)
{
    struct arena *arena = writer->arena;
    html_raw(writer, "<li class=\"keep\"><h3>");
    html_text(writer, item->dimension);
    html_raw(writer, "</h3>\n<dl class=\"facts\">\n");
    html_term(
        writer, "Is",
        text_format(arena, "%.*s of %.*s", TEXT_ARG(item->says), TEXT_ARG(item->piece)));
    html_term(writer, "Where", measure_place(arena, item));
    html_term(writer, "With", measure_gauge(arena, item));
    for (uint32_t i = 0; i < item->use_count; i++) {
        html_term(writer, "For", measure_for(arena, &item->uses[i]));
        html_element(writer, "dd", NULL, measure_use(arena, item, &item->uses[i]));
    }
    html_raw(writer, "<dt>Reading</dt><dd><span class=\"blank\">&nbsp;</span> ");
    html_text(writer, text_of(measure_unit(item)));
    html_raw(writer, "</dd>\n</dl></li>\n");
}

static void write_others(struct writer *writer, const struct measure *measure)
{
    if (measure->other_count == 0) {
        return;
    }
    html_section_open(writer, TEXT("No reading of these parts decides"));
    html_raw(writer, "<dl class=\"facts\">\n");
    for (uint32_t i = 0; i < measure->other_count; i++) {
        html_element(writer, "dt", NULL, measure->others[i]->name);
        html_element(writer, "dd", NULL, measure->others[i]->sentence);
    }
    html_raw(writer, "</dl>\n");
    html_section_close(writer);
}

static void write_measure(struct writer *writer, const struct answer *answer)
{
    const struct measure *measure = answer->measure;
    if (measure->count > 0) {
        html_section_open(writer, TEXT("Measure, in this order"));
        html_raw(writer, "<ol>\n");
        for (uint32_t i = 0; i < measure->count; i++) {
            write_measurement(writer, &measure->measurements[i]);
        }
        html_raw(writer, "</ol>\n<p>Then ask again, with what was read:</p>\n");
        html_element(writer, "p", "let", measure_again(writer->arena, answer));
        html_section_close(writer);
    }
    write_others(writer, measure);
    html_section_open(writer, TEXT("Checks that the swap touches"));
    report_counted_findings(writer, answer);
    html_section_close(writer);
    report_chain(writer, answer, "step-");
}

static bool is_measure(const struct answer *answer)
{
    return answer->measure != NULL;
}

const struct report_kind report_measure = {
    .asks = "What has to be measured to know?",
    .is_for_bench = true,
    .is_of = is_measure,
    .headline = measure_headline,
    .tone = report_verdict_tone,
    .reasons = report_reasons,
    .write = write_measure,
};
