/* SPDX-License-Identifier: MIT */
/* The pieces that reports are made of: marks, reasons, findings, lists, the chain. */
#include "phrases.h"
#include "report.h"

const char *report_tone(enum verdict verdict)
{
    switch (verdict) {
    case VERDICT_FITS:
        return "good";
    case VERDICT_FITS_WITH_WORK:
        return "work";
    case VERDICT_DOES_NOT_FIT:
        return "bad";
    case VERDICT_NOT_KNOWN:
        break;
    }
    return "open";
}

const char *report_verdict_tone(const struct answer *answer)
{
    return report_tone(answer->verdict);
}

text report_verdict_headline(struct arena *arena, const struct answer *answer)
{
    (void)arena;
    return text_of(verdict_word(answer->verdict));
}

const char *report_outcome_tone(enum outcome outcome)
{
    switch (outcome) {
    case OUTCOME_HOLDS:
        return "good";
    case OUTCOME_FAILS:
        return "bad";
    case OUTCOME_UNSURE:
    case OUTCOME_UNKNOWN:
        break;
    }
    return "open";
}

void report_mark(struct writer *writer, const char *tone, const char *word)
{
    write_format(writer, "<span class=\"mark %s\">%s</span>", tone, word);
}

void report_given(struct writer *writer, const struct answer *answer)
{
    html_term(writer, "Given",
              render_pairs(writer->arena, answer->given, answer->given_count));
    html_terms(writer, "Taken", answer->taken, answer->taken_count);
}

void report_reasons(struct writer *writer, const struct answer *answer)
{
    struct arena *arena = writer->arena;
    html_raw(writer, "<dl class=\"facts\">\n");
    html_term(writer, "Asked", render_asked(arena, answer));
    html_term(writer, "Brings",
              render_pairs(arena, answer->brought, answer->brought_count));
    report_given(writer, answer);
    text *because = ARENA_MANY(arena, answer->because_count, text);
    for (uint32_t i = 0; because != NULL && i < answer->because_count; i++) {
        because[i] = render_because(arena, answer, i);
    }
    html_terms(writer, "Because", because, because == NULL ? 0 : answer->because_count);
    report_minded(writer, answer, is_minded);
    html_raw(writer, "</dl>\n");
}

void report_minded(struct writer *writer, const struct answer *answer,
                   bool (*is_named)(const struct finding *finding))
{
    text *lines = ARENA_MANY(writer->arena, answer->finding_count, text);
    for (uint32_t i = 0; lines != NULL && i < answer->finding_count; i++) {
        if (is_named(&answer->findings[i])) {
            lines[i] = answer->findings[i].sentence;
        }
    }
    html_terms(writer, "Mind", lines, lines == NULL ? 0 : answer->finding_count);
}

/* ---- findings */

static const char *const finding_columns[] = {"Check", "Outcome", "Margin", "Of what"};

static void open_findings(struct writer *writer, const char *name)
{
    html_table_open(writer, "findings", text_of(name), finding_columns, 4);
}

/* Its subject and, where it does not hold, what it says and what would cure it. */
static void write_says(struct writer *writer, const struct finding *finding)
{
    struct arena *arena = writer->arena;
    const bool is_amiss = finding->outcome != OUTCOME_HOLDS;
    html_raw(writer, "<td>");
    html_text(writer, render_subject(arena, finding));
    html_text(writer, text_of(render_note(finding)));
    html_text(writer,
              finding->weight == WEIGHT_CAUTIONS ? TEXT(" (a caution)") : TEXT(""));
    if (is_amiss) {
        html_element(writer, "p", "says", finding->sentence);
    }
    if (is_amiss && finding->mend.length > 0) {
        html_element(writer, "p", "says",
                     text_format(arena, "mend: %.*s", TEXT_ARG(finding->mend)));
    }
    html_raw(writer, "</td>");
}

static void write_finding(struct writer *writer, const struct finding *finding)
{
    html_row_open(writer, finding->name);
    html_raw(writer, "<td class=\"outcome\">");
    report_mark(writer, report_outcome_tone(finding->outcome),
                outcome_word(finding->outcome));
    html_raw(writer, "</td>");
    html_element(writer, "td", "margin", render_margin(writer->arena, finding));
    write_says(writer, finding);
    html_row_close(writer);
}

void report_findings(struct writer *writer, const struct answer *answer, const char *name,
                     bool (*shows)(const struct finding *finding))
{
    bool is_begun = false;
    for (uint32_t i = 0; i < answer->finding_count; i++) {
        if (!shows(&answer->findings[i])) {
            continue;
        }
        if (!is_begun) {
            open_findings(writer, name);
        }
        write_finding(writer, &answer->findings[i]);
        is_begun = true;
    }
    if (is_begun) {
        html_table_close(writer);
    }
}

/* What several checks have lost, in one row. */
static void write_folded(struct writer *writer, text folded)
{
    html_row_open(writer, TEXT("what was taken away"));
    html_raw(writer, "<td class=\"outcome\">");
    report_mark(writer, "open", outcome_word(OUTCOME_UNKNOWN));
    html_raw(writer, "</td><td class=\"margin\"></td>");
    html_element(writer, "td", NULL, folded);
    html_row_close(writer);
}

void report_counted_findings(struct writer *writer, const struct answer *answer)
{
    const text folded = render_folded(writer->arena, answer);
    bool is_said = folded.length == 0;
    open_findings(writer, "Checks that the swap touches");
    for (uint32_t i = 0; i < answer->finding_count; i++) {
        const struct finding *finding = &answer->findings[i];
        const bool is_folded = folded.length > 0 && is_removed_check(finding);
        if (is_folded && !is_said) {
            write_folded(writer, folded);
            is_said = true;
        } else if (finding->counts && !is_folded) {
            write_finding(writer, finding);
        }
    }
    html_table_close(writer);
}

/* ---- lists */

void report_work(struct writer *writer, const struct answer *answer)
{
    text *lines = ARENA_MANY(writer->arena, answer->work_count, text);
    if (answer->work_count == 0 || lines == NULL) {
        return;
    }
    for (uint32_t i = 0; i < answer->work_count; i++) {
        lines[i] = render_work(writer->arena, &answer->work[i]);
    }
    html_section_open(writer, TEXT("To do"));
    html_list(writer, "tick", lines, answer->work_count);
    html_section_close(writer);
}

void report_missing(struct writer *writer, const struct answer *answer)
{
    text *lines = ARENA_MANY(writer->arena, answer->missing_count, text);
    for (uint32_t i = 0; lines != NULL && i < answer->missing_count; i++) {
        lines[i] = render_missing(writer->arena, &answer->missing[i]);
    }
    html_list_section(writer, "Missing", lines,
                      lines == NULL ? 0 : answer->missing_count);
}

/* ---- the chain */

static void write_line(void *to, const char *label, text what)
{
    struct writer *writer = to;
    write_format(writer, "<p class=\"let\">%s ", label);
    html_text(writer, what);
    html_raw(writer, "</p>\n");
}

/* Formulas with what they came to. */
static void write_lets(struct writer *writer, const struct answer *answer,
                       const struct step *step)
{
    for (uint32_t i = 0; i < step->binding_count; i++) {
        if (step->bindings[i].formula != NULL) {
            html_element(writer, "p", "let",
                         render_binding(answer, writer->arena, &step->bindings[i]));
        }
    }
}

void report_step(struct writer *writer, const struct answer *answer,
                 const struct step *step, const char *prefix, bool is_full)
{
    struct arena *arena = writer->arena;
    write_format(writer, "<li id=\"%s%u\" value=\"%u\">", prefix, step->id, step->id);
    html_element(writer, "p", NULL, render_step_row(answer, arena, step));
    if (is_full && step->rule != NULL) {
        why_step(answer, arena, step, write_line, writer);
    } else {
        write_lets(writer, answer, step);
    }
    html_raw(writer, "<p class=\"by\">by ");
    html_text(writer, render_step_by(answer, arena, step));
    if (is_full && step->rule != NULL) {
        html_raw(writer, " (source: ");
        html_text(writer, step->rule->source);
        html_raw(writer, ")");
    }
    for (uint32_t i = 0; i < step->from_count; i++) {
        write_format(writer, "%s<a href=\"#%s%u\">%u</a>", i == 0 ? ", from " : ", ",
                     prefix, step->from[i], step->from[i]);
    }
    html_raw(writer, "</p></li>\n");
}

void report_chain(struct writer *writer, const struct answer *answer, const char *prefix)
{
    if (answer->step_count == 0) {
        return;
    }
    write_format(
        writer,
        "<details class=\"chain\">\n<summary>The chain, from findings down to facts: %u "
        "step%s</summary>\n<ol class=\"steps\">\n",
        answer->step_count, answer->step_count == 1 ? "" : "s");
    for (uint32_t i = 0; i < answer->step_count; i++) {
        report_step(writer, answer, &answer->steps[i], prefix, false);
    }
    html_raw(writer, "</ol>\n</details>\n");
}
