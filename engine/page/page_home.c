/* SPDX-License-Identifier: MIT */
/* The first page: which machine is it? And the other questions that need no machine. */
#include "page_private.h"

#include <string.h>
#include <strings.h>

static bool holds(const char *words, const char *piece)
{
    const size_t length = strlen(piece);
    for (; strlen(words) >= length; words++) {
        if (strncasecmp(words, piece, length) == 0) {
            return true;
        }
    }
    return false;
}

/* Whether a unit or part is meant by what was typed: a piece of its name or title. */
static bool is_meant(const whyfit_choice *choice, const char *typed)
{
    return typed == NULL || holds(choice->name, typed) || holds(choice->title, typed);
}

static void write_unit(struct buffer *out, const whyfit_choice *unit)
{
    buffer_add(out, "<li><a href=\"/unit?unit=");
    buffer_encode(out, unit->name);
    buffer_add(out, "\">");
    buffer_escape(out, unit->name);
    buffer_add(out, "</a>");
    if (unit->title[0] != '\0') {
        buffer_add(out, " <span class=\"note\">");
        buffer_escape(out, unit->title);
        buffer_add(out, "</span>");
    }
    buffer_add(out, "</li>\n");
}

static void write_units(struct buffer *out, const whyfit_choices *units,
                        const char *typed)
{
    size_t shown = 0;
    size_t more = 0;
    const whyfit_choice *unit = NULL;
    buffer_add(out, "<ul class=\"units\">\n");
    for (size_t i = 0; (unit = whyfit_choices_at(units, i)) != NULL; i++) {
        if (!is_meant(unit, typed)) {
            continue;
        }
        if (shown < PAGE_LISTED) {
            write_unit(out, unit);
            shown++;
        } else {
            more++;
        }
    }
    buffer_add(out, "</ul>\n");
    if (more > 0) {
        buffer_format(out, "<p>and %zu more: type more of the name</p>\n", more);
    }
    if (shown == 0) {
        buffer_add(out, "<p>No machine or unit is called so.</p>\n");
    }
}

void home_page(struct worker *worker, struct request *request)
{
    struct buffer *out = &request->reply;
    const char *typed = address_value(&request->address, "find");
    whyfit_choices *units = NULL;
    if (request->form == FORM_JSON) {
        request->code = whyfit_show(worker->knowledge, "units", WHYFIT_JSON, buffer_take,
                                    out, NULL) == WHYFIT_OK
                            ? 200
                            : 503;
        request->type = "application/json";
        return;
    }
    if (whyfit_choices_open(worker->knowledge, WHYFIT_UNITS, NULL, &units) != WHYFIT_OK) {
        reply_fault(request, 503, "There is not enough memory for this.", "");
        return;
    }
    frame_open(out, "whyfit: which machine?");
    buffer_add(out, "<h1>Which machine or unit is it?</h1>\n"
                    "<form action=\"/\" method=\"get\">\n");
    frame_field(out, "find", "A piece of its name", "find", typed, NULL);
    buffer_add(out, "<button class=\"first\">Find</button>\n</form>\n");
    write_units(out, units, typed);
    identify_start(worker, out);
    buffer_add(out, "<h2>What differs between two?</h2>\n");
    compare_form(worker, out, NULL, NULL);
    buffer_add(out, "<h2>Is this listing right?</h2>\n");
    listing_form(out, NULL);
    buffer_add(out,
               "<h2>What does that mean?</h2>\n<form action=\"/show\" method=\"get\">\n");
    frame_field(out, "word", "A part, a maker's number, a kind, a rule", "word", NULL,
                NULL);
    buffer_add(out, "<button>Look it up</button>\n</form>\n");
    frame_close(out);
    whyfit_choices_free(units);
    request->code = 200;
    request->type = "text/html; charset=utf-8";
}
