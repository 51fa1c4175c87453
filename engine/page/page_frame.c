/* SPDX-License-Identifier: MIT */
/* What all pages have: a head, the way to the first page, and fields with labels. */
#include "page_private.h"

void frame_open(struct buffer *out, const char *title)
{
    buffer_add(out, "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta "
                    "charset=\"utf-8\">\n<meta name=\"viewport\" "
                    "content=\"width=device-width, initial-scale=1\">\n<title>");
    buffer_escape(out, title);
    buffer_add(out, "</title>\n<link rel=\"stylesheet\" href=\"/style.css\">\n"
                    "<link rel=\"icon\" href=\"data:,\">\n</head>\n<body>\n"
                    "<a class=\"skip\" href=\"#main\">To the content</a>\n"
                    "<header class=\"bar screen\"><a href=\"/\">whyfit</a> "
                    "<span>will it fit, and why?</span></header>\n"
                    "<main id=\"main\">\n");
}

void frame_close(struct buffer *out)
{
    buffer_add(out, "</main>\n<footer class=\"bar screen\">Advice from recorded "
                    "dimensions. The maker's data, local rules and a licensed mechanic "
                    "come before it.</footer>\n</body>\n</html>\n");
}

void frame_field(struct buffer *out, const char *id, const char *label, const char *name,
                 const char *value, const char *list)
{
    buffer_add(out, "<p class=\"field\"><label for=\"");
    buffer_escape(out, id);
    buffer_add(out, "\">");
    buffer_escape(out, label);
    buffer_add(out, "</label>\n<input id=\"");
    buffer_escape(out, id);
    buffer_add(out, "\" name=\"");
    buffer_escape(out, name);
    buffer_add(out, "\" value=\"");
    buffer_escape(out, value == NULL ? "" : value);
    if (list != NULL) {
        buffer_add(out, "\" list=\"");
        buffer_escape(out, list);
    }
    buffer_add(out, "\" autocomplete=\"off\" spellcheck=\"false\"></p>\n");
}

void frame_option(struct buffer *out, const whyfit_choice *choice)
{
    buffer_add(out, "<option value=\"");
    buffer_escape(out, choice->name);
    buffer_add(out, "\">");
    buffer_escape(out, choice->title);
    buffer_add(out, "</option>\n");
}

void frame_list_open(struct buffer *out, const char *id)
{
    buffer_format(out, "<datalist id=\"%s\">\n", id);
}

size_t frame_list_add(struct worker *worker, struct buffer *out, whyfit_choice_of of,
                      size_t room)
{
    whyfit_choices *choices = NULL;
    const whyfit_choice *one = NULL;
    if (whyfit_choices_open(worker->knowledge, of, NULL, &choices) == WHYFIT_OK) {
        for (size_t i = 0; room > 0 && (one = whyfit_choices_at(choices, i)) != NULL;
             i++) {
            frame_option(out, one);
            room--;
        }
    }
    whyfit_choices_free(choices);
    return room;
}

void frame_list_close(struct buffer *out)
{
    buffer_add(out, "</datalist>\n");
}
