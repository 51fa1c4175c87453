/* SPDX-License-Identifier: MIT */
/* The reports of `why`, whose steps stand open, and of `why-not`. */
#include "phrases.h"
#include "report.h"

static const char *plain_tone(const struct answer *answer)
{
    (void)answer;
    return "plain";
}

static void write_rows(struct writer *writer, const char *term,
                       const struct answer *answer, const struct row *const *rows,
                       uint32_t count)
{
    text *lines = ARENA_MANY(writer->arena, count, text);
    for (uint32_t i = 0; lines != NULL && i < count; i++) {
        lines[i] = render_row(answer, writer->arena, rows[i]);
    }
    html_terms(writer, term, lines, lines == NULL ? 0 : count);
}

static void write_asked(struct writer *writer, const struct answer *answer)
{
    const struct explanation *explanation = answer->explanation;
    struct arena *arena = writer->arena;
    html_raw(writer, "<dl class=\"facts\">\n");
    html_term(writer, "Asked", render_asked(arena, answer));
    report_given(writer, answer);
    html_term(writer, "Row", explanation->asked);
    write_rows(writer, "Nearest", answer, explanation->nearest,
               explanation->nearest_count);
    html_raw(writer, "</dl>\n");
}

/* ---- why */

static text why_head(struct arena *arena, const struct answer *answer)
{
    return why_headline(arena, answer->explanation);
}

static void list_rows(struct writer *writer, const struct answer *answer)
{
    const struct explanation *explanation = answer->explanation;
    html_raw(writer, "<ul>\n");
    for (uint32_t i = 0; i < explanation->row_count; i++) {
        const struct explained_row *one = &explanation->rows[i];
        html_raw(writer, "<li>");
        html_text(writer, render_row(answer, writer->arena, one->row));
        if (one->sentence.length > 0) {
            html_element(writer, "p", NULL, one->sentence);
        }
        if (one->step != 0) {
            write_format(writer, " <a href=\"#step-%u\">step %u</a>", one->step,
                         one->step);
        }
        html_raw(writer, "</li>\n");
    }
    html_raw(writer, "</ul>\n");
    if (explanation->match_count > explanation->row_count) {
        write_format(writer, "<p>and %u more</p>\n",
                     explanation->match_count - explanation->row_count);
    }
}

static void write_why(struct writer *writer, const struct answer *answer)
{
    if (answer->explanation->row_count == 0) {
        return;
    }
    html_section_open(writer, TEXT("Rows"));
    list_rows(writer, answer);
    html_section_close(writer);
    html_section_open(writer, TEXT("The chain, down to facts"));
    html_raw(writer, "<ol class=\"steps\">\n");
    for (uint32_t i = 0; i < answer->step_count; i++) {
        report_step(writer, answer, &answer->steps[i], "step-", true);
    }
    html_raw(writer, "</ol>\n");
    html_section_close(writer);
}

static bool is_why(const struct answer *answer)
{
    return answer->explanation != NULL && text_is(answer->command, "why");
}

const struct report_kind report_why = {
    .asks = "Why is this so?",
    .is_of = is_why,
    .headline = why_head,
    .tone = plain_tone,
    .reasons = write_asked,
    .write = write_why,
};

/* ---- why not */

static text why_not_head(struct arena *arena, const struct answer *answer)
{
    const struct explanation *explanation = answer->explanation;
    return explanation->why_not == NULL
               ? TEXT("it is there")
               : text_format(arena, "not there: %.*s",
                             TEXT_ARG(explanation->why_not->asked));
}

static void write_heading(struct writer *writer, uint32_t level, text line)
{
    write_format(writer, "<p class=\"deep-%u\"><strong>", level);
    html_text(writer, line);
    html_raw(writer, "</strong></p>\n");
}

static void write_line(struct writer *writer, uint32_t level, const char *label,
                       text what)
{
    write_format(writer, "<p class=\"deep-%u\"><span class=\"by\">%s</span> ", level,
                 label);
    html_text(writer, what);
    html_raw(writer, "</p>\n");
}

static void write_why_not(struct writer *writer, const struct answer *answer)
{
    const struct explanation *explanation = answer->explanation;
    const struct why_not_teller teller = {writer, answer, write_heading, write_line};
    if (explanation->why_not == NULL) {
        html_section_open(writer, TEXT("Rows"));
        list_rows(writer, answer);
        html_section_close(writer);
        return;
    }
    html_section_open(writer, TEXT("What kept it away"));
    why_not_tell(&teller);
    for (uint32_t i = 0; i < why_not_fallen(explanation); i++) {
        write_line(writer, 0, "fell away",
                   why_not_fell(writer->arena, &explanation->fallen[i]));
    }
    html_section_close(writer);
}

static bool is_why_not(const struct answer *answer)
{
    return answer->explanation != NULL && text_is(answer->command, "why-not");
}

const struct report_kind report_why_not = {
    .asks = "Why is this not so?",
    .is_of = is_why_not,
    .headline = why_not_head,
    .tone = plain_tone,
    .reasons = write_asked,
    .write = write_why_not,
};
