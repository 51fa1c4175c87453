/* SPDX-License-Identifier: MIT */
/* What a word names, as a page: its picture, where there is one, and what is known of it.
 */
#include "render_part.h"
#include "report.h"

static void write_lines(struct writer *writer, const struct shown *shown)
{
    static const char *const columns[] = {"What", "Recorded"};
    if (shown->count == 0) {
        return;
    }
    html_table_open(writer, "compared", shown->heading, columns, 2);
    for (uint32_t i = 0; i < shown->count; i++) {
        html_row_open(writer, shown->lines[i].label);
        html_element(writer, "td", NULL, shown->lines[i].what);
        html_row_close(writer);
    }
    html_table_close(writer);
}

static status write_body(struct writer *writer, const struct shown *shown,
                         const struct knowledge *knowledge, const struct section *part)
{
    const struct svg_manner manner = {.is_embedded = true, .prefix = TEXT("part-")};
    html_element(writer, "h1", NULL, shown->heading);
    if (part != NULL) {
        report_picture_open(writer, TEXT("part"));
        TRY(render_part_svg(writer, part, knowledge, &manner));
        report_picture_close(writer);
    }
    write_lines(writer, shown);
    return STATUS_OK;
}

status render_shown_html(struct writer *writer, const struct shown *shown,
                         const struct knowledge *knowledge, const struct section *part,
                         bool is_part)
{
    if (is_part) {
        return write_body(writer, shown, knowledge, part);
    }
    report_page_open(writer, shown->heading);
    TRY(write_body(writer, shown, knowledge, part));
    html_section_open(writer, TEXT("What this rests on"));
    report_recorded(writer, knowledge);
    html_section_close(writer);
    report_page_close(writer);
    return STATUS_OK;
}
