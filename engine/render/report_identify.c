/* SPDX-License-Identifier: MIT */
/* The report of `identify`: what is left, where to look next, and what fell out. */
#include "phrases.h"
#include "report.h"

static const char *tone(const struct answer *answer)
{
    const uint32_t left = answer->identification->left_count;
    return left == 0 ? "bad" : left == 1 ? "good" : "open";
}

static void write_seen(struct writer *writer, const struct identification *made,
                       bool is_hint)
{
    text *lines = ARENA_MANY(writer->arena, made->seen_count, text);
    for (uint32_t i = 0; lines != NULL && i < made->seen_count; i++) {
        if (made->seen[i].is_hint == is_hint) {
            lines[i] = identify_seen(writer->arena, &made->seen[i]);
        }
    }
    html_terms(writer, is_hint ? "Hints" : "Seen", lines,
               lines == NULL ? 0 : made->seen_count);
}

static void write_reasons(struct writer *writer, const struct answer *answer)
{
    html_raw(writer, "<dl class=\"facts\">\n");
    html_term(writer, "Asked", answer->identification->of);
    write_seen(writer, answer->identification, false);
    write_seen(writer, answer->identification, true);
    html_raw(writer, "</dl>\n");
}

static void write_more(struct writer *writer, uint32_t count, uint32_t shown)
{
    if (count > shown) {
        write_format(writer, "<p>and %u more</p>\n", count - shown);
    }
}

static void write_left(struct writer *writer, const struct identification *made)
{
    static const char *const columns[] = {"Name", "What it is"};
    if (made->left_count == 0) {
        return;
    }
    html_section_open(writer, TEXT("Left"));
    html_table_open(writer, NULL, TEXT("What it can be"), columns, 2);
    for (uint32_t i = 0; i < made->left_shown; i++) {
        const struct candidate *one = &made->left[i];
        html_row_open(writer, one->name);
        html_raw(writer, "<td>");
        html_text(writer, identify_said(writer->arena, one));
        if (one->superseded_by.length > 0) {
            html_element(writer, "p", NULL, identify_superseded(writer->arena, one));
        }
        for (uint32_t k = 0; k < one->hint_count; k++) {
            html_element(writer, "p", NULL,
                         text_format(writer->arena, "%s%.*s", identify_hint(one),
                                     TEXT_ARG(one->hints[k])));
        }
        html_raw(writer, "</td>");
        html_row_close(writer);
    }
    html_table_close(writer);
    write_more(writer, made->left_count, made->left_shown);
    html_section_close(writer);
}

static void write_looks(struct writer *writer, const struct identification *made)
{
    if (made->look_count == 0) {
        if (made->left_count > 1) {
            html_element(writer, "p", NULL, text_of(identify_no_look()));
        }
        return;
    }
    html_section_open(writer, TEXT("Look next, the best first"));
    html_raw(writer, "<ol>\n");
    for (uint32_t i = 0; i < made->look_count; i++) {
        const struct look *look = &made->looks[i];
        html_raw(writer, "<li class=\"keep\"><h3>");
        html_text(writer, render_look(writer->arena, look));
        html_raw(writer, "</h3>\n<dl class=\"facts\">\n");
        html_term(writer, "Like", look->like);
        html_term(writer, "How", identify_how(writer->arena, look));
        html_term(writer, "Leaves", identify_leaves(writer->arena, look));
        html_raw(writer, "</dl></li>\n");
    }
    html_raw(writer, "</ol>\n");
    html_section_close(writer);
}

static void write_fallen(struct writer *writer, const struct identification *made)
{
    text *lines = ARENA_MANY(writer->arena, made->fallen_shown, text);
    for (uint32_t i = 0; lines != NULL && i < made->fallen_shown; i++) {
        lines[i] = identify_fallen(writer->arena, &made->fallen[i]);
    }
    html_list_section(writer, identify_fallen_heading(made), lines,
                      lines == NULL ? 0 : made->fallen_shown);
    write_more(writer, made->fallen_count, made->fallen_shown);
}

static void write_identify(struct writer *writer, const struct answer *answer)
{
    const struct identification *made = answer->identification;
    write_left(writer, made);
    write_looks(writer, made);
    write_fallen(writer, made);
    html_element(writer, "p", NULL, identify_caution());
}

static bool is_identify(const struct answer *answer)
{
    return answer->identification != NULL;
}

const struct report_kind report_identify = {
    .asks = "What is this?",
    .is_of = is_identify,
    .headline = identify_headline,
    .tone = tone,
    .reasons = write_reasons,
    .write = write_identify,
};
