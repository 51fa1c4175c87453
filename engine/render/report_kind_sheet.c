/* SPDX-License-Identifier: MIT */
/* The report of `measure --kind`: a sheet for a part that nobody recorded, with a blank
 * for each reading, in the order in which one goes over the bench. */
#include "phrases.h"
#include "report.h"

static const char *tone(const struct answer *answer)
{
    (void)answer;
    return "plain";
}

static void write_reasons(struct writer *writer, const struct answer *answer)
{
    const struct kind_sheet *sheet = answer->kind_sheet;
    html_raw(writer, "<dl class=\"facts\">\n");
    html_term(writer, "Is", sheet->says);
    html_term(writer, "Counted", kind_sheet_counted(writer->arena, sheet));
    html_raw(writer, "<dt>Number</dt><dd><span class=\"blank\">&nbsp;</span></dd>\n"
                     "<dt>Source</dt><dd><span class=\"blank\">&nbsp;</span></dd>\n"
                     "</dl>\n");
}

static void write_blank(struct writer *writer, const struct answer *answer,
                        const struct kind_feature *feature,
                        const struct kind_field *field)
{
    struct arena *arena = writer->arena;
    const text choices = kind_sheet_choices(arena, answer->names, field->column);
    html_row_open(writer, kind_sheet_what(arena, feature, field));
    html_raw(writer, "<td>");
    html_text(writer, kind_sheet_gauge(arena, field));
    if (field->counted_from.length > 0) {
        html_element(writer, "p", "note",
                     text_format(arena, "from %.*s", TEXT_ARG(field->counted_from)));
    }
    html_raw(writer, "</td>");
    html_element(writer, "td", NULL, kind_sheet_checks(arena, field));
    html_raw(writer, "<td><span class=\"blank\">&nbsp;</span> ");
    html_text(writer, field->unit);
    if (choices.length > 0) {
        html_element(writer, "p", "note", choices);
    }
    html_raw(writer, "</td>");
    html_row_close(writer);
}

static void write_blanks(struct writer *writer, const struct answer *answer)
{
    static const char *const columns[] = {"What", "With", "For", "Reading"};
    const struct kind_sheet *sheet = answer->kind_sheet;
    const char *stage = NULL;
    for (uint32_t i = 0; i < sheet->blank_count; i++) {
        const struct kind_feature *feature = &sheet->features[sheet->blanks[i].feature];
        const struct kind_field *field = &feature->fields[sheet->blanks[i].field];
        const char *now = kind_sheet_stage(feature, field);
        if (now != stage) {
            if (stage != NULL) {
                html_table_close(writer);
                html_section_close(writer);
            }
            html_section_open(writer, text_of(now));
            html_table_open(writer, "blanks", text_of(now), columns, 4);
            stage = now;
        }
        write_blank(writer, answer, feature, field);
    }
    if (stage != NULL) {
        html_table_close(writer);
        html_section_close(writer);
    }
}

static void write_kind_sheet(struct writer *writer, const struct answer *answer)
{
    write_blanks(writer, answer);
    html_section_open(writer, TEXT("Then"));
    html_element(writer, "p", NULL, kind_sheet_then());
    html_section_close(writer);
}

static bool is_kind_sheet(const struct answer *answer)
{
    return answer->kind_sheet != NULL;
}

const struct report_kind report_kind_sheet = {
    .asks = "What is to be measured of such a part?",
    .is_for_bench = true,
    .is_of = is_kind_sheet,
    .headline = kind_sheet_headline,
    .tone = tone,
    .reasons = write_reasons,
    .write = write_kind_sheet,
};
