/* SPDX-License-Identifier: MIT */
/* Elements, and the escaping that keeps text from becoming markup. */
#include "html_writer.h"

/* What stands for a byte that may not stand there itself; NULL: it may. */
static const char *entity_of(unsigned char byte)
{
    switch (byte) {
    case '&':
        return "&amp;";
    case '<':
        return "&lt;";
    case '>':
        return "&gt;";
    case '"':
        return "&quot;";
    case '\'':
        return "&#39;";
    case '\t':
    case '\n':
        return NULL;
    default:
        return byte < 0x20 || byte == 0x7F ? "\xEF\xBF\xBD" : NULL;
    }
}

void html_text(struct writer *writer, text a)
{
    size_t begun = 0;
    for (size_t at = 0; at < a.length;) {
        const size_t length = text_utf8_length(a, at);
        const char *entity =
            length == 0 ? "\xEF\xBF\xBD" : entity_of((unsigned char)a.at[at]);
        if (entity != NULL) {
            write_text(writer, text_slice(a, begun, at));
            write_text(writer, text_of(entity));
        }
        at += length == 0 ? 1 : length;
        begun = entity != NULL ? at : begun;
    }
    write_text(writer, text_slice(a, begun, a.length));
}

void html_raw(struct writer *writer, const char *markup)
{
    write_text(writer, text_of(markup));
}

static void open_tag(struct writer *writer, const char *tag, const char *classes)
{
    if (classes == NULL) {
        write_format(writer, "<%s>", tag);
    } else {
        write_format(writer, "<%s class=\"%s\">", tag, classes);
    }
}

void html_element(struct writer *writer, const char *tag, const char *classes,
                  text content)
{
    open_tag(writer, tag, classes);
    html_text(writer, content);
    write_format(writer, "</%s>\n", tag);
}

void html_section_open(struct writer *writer, text heading)
{
    html_raw(writer, "<section>\n");
    html_element(writer, "h2", NULL, heading);
}

void html_section_close(struct writer *writer)
{
    html_raw(writer, "</section>\n");
}

void html_list(struct writer *writer, const char *classes, const text *items,
               uint32_t count)
{
    if (count == 0) {
        return;
    }
    open_tag(writer, "ul", classes);
    for (uint32_t i = 0; i < count; i++) {
        html_element(writer, "li", NULL, items[i]);
    }
    html_raw(writer, "</ul>\n");
}

void html_list_section(struct writer *writer, const char *heading, const text *items,
                       uint32_t count)
{
    if (count > 0) {
        html_section_open(writer, text_of(heading));
        html_list(writer, NULL, items, count);
        html_section_close(writer);
    }
}

void html_table_open(struct writer *writer, const char *classes, text name,
                     const char *const *columns, uint32_t count)
{
    open_tag(writer, "table", classes);
    html_element(writer, "caption", "unseen", name);
    html_raw(writer, "<thead><tr>");
    for (uint32_t i = 0; i < count; i++) {
        html_raw(writer, "<th scope=\"col\">");
        html_text(writer, text_of(columns[i]));
        html_raw(writer, "</th>");
    }
    html_raw(writer, "</tr></thead>\n<tbody>\n");
}

void html_table_close(struct writer *writer)
{
    html_raw(writer, "</tbody>\n</table>\n");
}

void html_row_open(struct writer *writer, text heading)
{
    html_raw(writer, "<tr><th scope=\"row\">");
    html_text(writer, heading);
    html_raw(writer, "</th>");
}

void html_row_close(struct writer *writer)
{
    html_raw(writer, "</tr>\n");
}

void html_term(struct writer *writer, const char *term, text what)
{
    html_terms(writer, term, &what, 1);
}

void html_terms(struct writer *writer, const char *term, const text *what, uint32_t count)
{
    bool is_begun = false;
    for (uint32_t i = 0; i < count; i++) {
        if (what[i].length == 0) {
            continue;
        }
        if (!is_begun) {
            html_element(writer, "dt", NULL, text_of(term));
        }
        html_element(writer, "dd", NULL, what[i]);
        is_begun = true;
    }
}
