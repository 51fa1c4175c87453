/* SPDX-License-Identifier: MIT */
/* The report of a swap: reasons, checks, what to do, what is missing, the chain. */
#include "report.h"

static bool stays_amiss(const struct finding *finding)
{
    return !finding->counts && finding->outcome != OUTCOME_HOLDS;
}

static void write_as_before(struct writer *writer, const struct answer *answer)
{
    uint32_t count = 0;
    uint32_t amiss = 0;
    for (uint32_t i = 0; i < answer->finding_count; i++) {
        count += answer->findings[i].counts ? 0 : 1;
        amiss += stays_amiss(&answer->findings[i]) ? 1 : 0;
    }
    if (count == 0) {
        return;
    }
    html_section_open(writer, TEXT("As before"));
    html_element(writer, "p", NULL, render_as_before(writer->arena, count, amiss > 0));
    report_findings(writer, answer, "As before, and not holding", stays_amiss);
    html_section_close(writer);
}

static void write_checks(struct writer *writer, const struct answer *answer)
{
    bool counts = false;
    for (uint32_t i = 0; i < answer->finding_count; i++) {
        counts = counts || answer->findings[i].counts;
    }
    html_section_open(writer, TEXT("Checks that the swap touches"));
    if (counts) {
        report_counted_findings(writer, answer);
    } else {
        html_element(writer, "p", NULL,
                     TEXT("none: no piece is changed and no face is moved"));
    }
    html_section_close(writer);
}

static void write_mends(struct writer *writer, const struct answer *answer)
{
    static const char *const columns[] = {"Kind", "What came of it"};
    if (answer->mend_count == 0) {
        return;
    }
    html_section_open(writer, TEXT("Mends tried"));
    html_table_open(writer, NULL, TEXT("Mends tried"), columns, 2);
    for (uint32_t i = 0; i < answer->mend_count; i++) {
        if (!is_mend_said_before(answer, i)) {
            html_row_open(writer, text_of(mend_word(answer->mends[i].kind)));
            html_element(writer, "td", NULL,
                         render_mend(writer->arena, &answer->mends[i]));
            html_row_close(writer);
        }
    }
    html_table_close(writer);
    html_section_close(writer);
}

static void write_swap(struct writer *writer, const struct answer *answer)
{
    write_checks(writer, answer);
    write_as_before(writer, answer);
    report_work(writer, answer);
    write_mends(writer, answer);
    report_missing(writer, answer);
    html_list_section(writer, "Left over", answer->left_over, answer->left_over_count);
    html_list_section(writer, "Left empty", answer->left_empty, answer->left_empty_count);
    report_chain(writer, answer, "step-");
}

static bool is_swap(const struct answer *answer)
{
    return text_is(answer->command, "swap") && answer->sweep == NULL;
}

const struct report_kind report_swap = {
    .asks = "Does it go in?",
    .is_of = is_swap,
    .headline = report_verdict_headline,
    .tone = report_verdict_tone,
    .reasons = report_reasons,
    .write = write_swap,
};
