/* SPDX-License-Identifier: MIT */
/*
 * A report: the headline with what decided, then what its kind has to tell, then what all
 * rests on and the caution. Nothing in it is fetched: the style sheet is within, and the
 * page says so to the browser as well.
 */
#include "report.h"
#include "compare.h"
#include "kind_sheet.h"

static const struct report_kind *const kinds[] = {
    &report_swap,     &report_sweep,   &report_leaks,      &report_upgrade,
    &report_measure,  &report_sheet,   &report_why,        &report_why_not,
    &report_identify, &report_compare, &report_kind_sheet,
};

static const struct report_kind *kind_of(const struct answer *answer)
{
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++) {
        if (kinds[i]->is_of(answer)) {
            return kinds[i];
        }
    }
    return NULL;
}

/* ---- what it rests on */

static bool rests_on(const struct finding *finding, text source)
{
    return finding->counts && text_equal(finding->source, source);
}

static bool is_source_said(const struct answer *answer, uint32_t i)
{
    for (uint32_t k = 0; k < i; k++) {
        if (rests_on(&answer->findings[k], answer->findings[i].source)) {
            return true;
        }
    }
    return false;
}

static bool is_check_said(const struct answer *answer, uint32_t i, text source)
{
    for (uint32_t k = 0; k < i; k++) {
        if (rests_on(&answer->findings[k], source) &&
            text_equal(answer->findings[k].name, answer->findings[i].name)) {
            return true;
        }
    }
    return false;
}

/* "o-ring-needs-a-land, shift": the checks that rest on one source, each once. */
static text checks_of(struct arena *arena, const struct answer *answer, text source)
{
    text all = {"", 0};
    for (uint32_t i = 0; i < answer->finding_count; i++) {
        if (rests_on(&answer->findings[i], source) && !is_check_said(answer, i, source)) {
            all = text_format(arena, "%.*s%s%.*s", TEXT_ARG(all),
                              all.length > 0 ? ", " : "",
                              TEXT_ARG(answer->findings[i].name));
        }
    }
    return all;
}

static void write_sources(struct writer *writer, const struct answer *answer,
                          bool starts_open)
{
    static const char *const columns[] = {"Source", "Checks that rest on it"};
    bool is_begun = false;
    for (uint32_t i = 0; i < answer->finding_count; i++) {
        const struct finding *finding = &answer->findings[i];
        if (!finding->counts || finding->source.length == 0 ||
            is_source_said(answer, i)) {
            continue;
        }
        if (!is_begun) {
            write_format(writer,
                         "<details%s>\n<summary>Sources of the checks</summary>\n",
                         starts_open ? " open" : "");
            html_table_open(writer, "sources", TEXT("Sources of the checks"), columns, 2);
        }
        is_begun = true;
        html_row_open(writer, finding->source);
        html_element(writer, "td", NULL,
                     checks_of(writer->arena, answer, finding->source));
        html_row_close(writer);
    }
    if (is_begun) {
        html_table_close(writer);
        html_raw(writer, "</details>\n");
    }
}

static void write_small_list(struct writer *writer, const char *heading,
                             const text *items, uint32_t count)
{
    if (count > 0) {
        html_element(writer, "h3", NULL, text_of(heading));
        html_list(writer, NULL, items, count);
    }
}

void report_recorded(struct writer *writer, const struct knowledge *knowledge)
{
    write_format(writer,
                 "<p>Dimensions as recorded in %u file%s of facts and rules; digest of "
                 "all of them <code>",
                 knowledge->file_count, knowledge->file_count == 1 ? "" : "s");
    html_text(writer, knowledge->digest);
    html_raw(writer, "</code>.</p>\n");
}

static void write_ground(struct writer *writer, const struct answer *answer,
                         const struct report_kind *kind)
{
    html_section_open(writer, TEXT("What this rests on"));
    report_recorded(writer, answer->knowledge);
    write_sources(writer, answer, !kind->is_for_bench);
    write_small_list(writer, "Assumed", answer->assumed, answer->assumed_count);
    write_small_list(writer, "Not looked at", answer->not_looked_at,
                     answer->not_looked_at_count);
    html_section_close(writer);
}

static void write_caution(struct writer *writer, const struct answer *answer)
{
    if (answer->caution.length > 0) {
        html_raw(writer, "<section class=\"caution\">\n<h2>Caution</h2>\n");
        html_element(writer, "p", NULL, answer->caution);
        html_section_close(writer);
    }
}

/* ---- pictures */

/* What shows where things lie stands open; what shows how far they are off can be
 * opened. */
static bool is_open(text picture)
{
    return text_is(picture, "section") || text_is(picture, "sweep");
}

void report_picture_open(struct writer *writer, text picture)
{
    html_raw(writer, "<figure>\n<div class=\"picture\" role=\"group\" tabindex=\"0\" "
                     "aria-label=\"Drawing: ");
    html_text(writer, picture);
    html_raw(writer, "\">\n");
}

void report_picture_close(struct writer *writer)
{
    html_raw(writer, "</div>\n</figure>\n");
}

static status write_picture(struct writer *writer, const struct answer *answer,
                            text picture)
{
    const struct svg_manner manner = {
        .is_embedded = true,
        .prefix = text_format(writer->arena, "%.*s-", TEXT_ARG(picture))};
    report_picture_open(writer, picture);
    TRY(render_picture_svg(writer, answer, picture, &manner));
    report_picture_close(writer);
    return STATUS_OK;
}

static status write_pictures(struct writer *writer, const struct answer *answer)
{
    const text *pictures = NULL;
    const uint32_t count = answer_pictures(writer->arena, answer, &pictures);
    for (uint32_t i = 0; i < count; i++) {
        if (text_is(pictures[i], "full")) {
            continue; /* the half section says it all */
        }
        if (is_open(pictures[i])) {
            TRY(write_picture(writer, answer, pictures[i]));
            continue;
        }
        html_raw(writer, "<details>\n<summary>Drawing: ");
        html_text(writer, pictures[i]);
        html_raw(writer, "</summary>\n");
        TRY(write_picture(writer, answer, pictures[i]));
        html_raw(writer, "</details>\n");
    }
    return STATUS_OK;
}

/* ---- the whole */

static status write_body(struct writer *writer, const struct answer *answer,
                         const struct report_kind *kind)
{
    write_format(writer, "<div class=\"verdict %s\">\n", kind->tone(answer));
    html_element(writer, "p", "asks", text_of(kind->asks));
    html_element(writer, "h1", NULL, kind->headline(writer->arena, answer));
    kind->reasons(writer, answer);
    html_raw(writer, "</div>\n");
    TRY(write_pictures(writer, answer));
    kind->write(writer, answer);
    write_ground(writer, answer, kind);
    write_caution(writer, answer);
    return STATUS_OK;
}

/* What the question is about, for the page's title. */
static text subject_of(struct arena *arena, const struct answer *answer)
{
    return answer->identification != NULL ? answer->identification->of
           : answer->comparison != NULL
               ? text_format(arena, "%.*s and %.*s", TEXT_ARG(answer->comparison->first),
                             TEXT_ARG(answer->comparison->second))
           : answer->kind_sheet != NULL ? answer->kind_sheet->kind
                                        : render_asked(arena, answer);
}

void report_page_open(struct writer *writer, text title)
{
    html_raw(writer,
             "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
             "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
             "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src "
             "'none'; style-src 'unsafe-inline'; img-src data:\">\n"
             "<meta name=\"referrer\" content=\"no-referrer\">\n");
    html_element(writer, "title", NULL, title);
    html_raw(writer, "<style>\n");
    report_style(writer);
    html_raw(writer, "</style>\n</head>\n<body>\n<main>\n");
}

void report_page_close(struct writer *writer)
{
    html_raw(writer, "</main>\n</body>\n</html>\n");
}

status render_answer_html(struct writer *writer, const struct answer *answer,
                          bool is_part)
{
    const struct report_kind *kind = kind_of(answer);
    if (kind == NULL) {
        return STATUS_NOT_FOUND;
    }
    if (is_part) {
        return write_body(writer, answer, kind);
    }
    report_page_open(writer, text_format(writer->arena, "%.*s: %.*s",
                                         TEXT_ARG(kind->headline(writer->arena, answer)),
                                         TEXT_ARG(subject_of(writer->arena, answer))));
    TRY(write_body(writer, answer, kind));
    report_page_close(writer);
    return STATUS_OK;
}
