/* SPDX-License-Identifier: MIT */
/* Two parts or two units side by side: which two, and where a comparison leads. */
#include "page_private.h"

#include <string.h>

/* ---- which two */

/* The field of the first is called `unit`, as in every question; parts go there too. */
void compare_form(struct worker *worker, struct buffer *out, const char *first,
                  const char *second)
{
    buffer_add(out, "<form class=\"screen\" action=\"/compare\" method=\"get\">\n"
                    "<fieldset><legend>Two parts, or two units</legend>\n");
    frame_field(out, "first", "The first", "unit", first, "names");
    frame_field(out, "second", "The second", "toward", second, "names");
    frame_list_open(out, "names");
    const size_t room = frame_list_add(worker, out, WHYFIT_UNITS, PAGE_LISTED);
    (void)frame_list_add(worker, out, WHYFIT_PARTS, room);
    frame_list_close(out);
    buffer_add(out, "<button class=\"first\">What differs?</button>\n</fieldset>\n"
                    "</form>\n");
}

static void picking_page(struct worker *worker, struct request *request)
{
    struct buffer *out = &request->reply;
    frame_open(out, "whyfit: compare two");
    buffer_add(out, "<h1>What differs between two?</h1>\n");
    compare_form(worker, out, address_value(&request->address, "unit"),
                 address_value(&request->address, "toward"));
    frame_close(out);
    request->code = 200;
    request->type = "text/html; charset=utf-8";
}

void compare_page(struct worker *worker, struct request *request)
{
    const bool are_two = address_value(&request->address, "unit") != NULL &&
                         address_value(&request->address, "toward") != NULL;
    if (are_two || request->form != FORM_PAGE) {
        answer_page(worker, request, "compare");
    } else {
        picking_page(worker, request);
    }
}

/* ---- where it leads */

static void write_pair(struct buffer *out, const char *path, const char *first,
                       const char *second)
{
    buffer_format(out, "<li><a href=\"%s?unit=", path);
    buffer_encode(out, first);
    buffer_add(out, "&amp;toward=");
    buffer_encode(out, second);
    buffer_add(out, "\">");
}

/* Of two units: what another part in a place differs in; what must change together. */
static void write_places(struct buffer *out, const whyfit_answer *answer)
{
    whyfit_compared one;
    for (size_t i = 1; whyfit_answer_compared(answer, i, &one); i++) {
        if (one.first[0] != '\0' && one.second[0] != '\0' &&
            strcmp(one.first, one.second) != 0) {
            write_pair(out, "/compare", one.first, one.second);
            buffer_add(out, "What differs in ");
            buffer_escape(out, one.place);
            buffer_add(out, "?</a></li>\n");
        }
    }
}

/* Of two parts: the swap that was tried. */
static void write_seats(struct buffer *out, const whyfit_answer *answer)
{
    whyfit_seat seat;
    for (size_t i = 0; whyfit_answer_seat(answer, i, &seat); i++) {
        buffer_add(out, "<li><a href=\"/swap?unit=");
        buffer_encode(out, seat.unit);
        buffer_add(out, "&amp;put.");
        buffer_encode(out, seat.place);
        buffer_add(out, "=");
        buffer_encode(out, seat.put);
        buffer_add(out, "\">Does ");
        buffer_escape(out, seat.put);
        buffer_add(out, " go into ");
        buffer_escape(out, seat.unit);
        buffer_add(out, "?</a></li>\n");
    }
}

void compare_ways(struct worker *worker, struct buffer *out, const whyfit_answer *answer)
{
    whyfit_compared both;
    if (!whyfit_answer_compared(answer, 0, &both)) {
        return;
    }
    buffer_add(out, "<nav class=\"screen\" id=\"next\" aria-label=\"Where it leads\">\n"
                    "<h2>Ask on</h2>\n<ul class=\"ways\">\n");
    if (both.are_units) {
        write_pair(out, "/upgrade", both.first, both.second);
        buffer_add(out, "What must change together?</a></li>\n");
        write_places(out, answer);
    } else {
        write_seats(out, answer);
    }
    write_pair(out, "/compare", both.second, both.first);
    buffer_add(out, "The other way round</a></li>\n</ul>\n</nav>\n");
    compare_form(worker, out, both.first, both.second);
}

/* ---- from a swap */

/* For every place that is filled otherwise: what is there against what is to go in. */
void compare_changes(struct worker *worker, struct buffer *out,
                     const struct address *address)
{
    whyfit_choices *places = NULL;
    const whyfit_choice *place = NULL;
    const char *unit = address_value(address, "unit");
    if (whyfit_choices_open(worker->knowledge, WHYFIT_PLACES, unit, &places) !=
        WHYFIT_OK) {
        return; /* it was typed otherwise; the question found it all the same */
    }
    for (size_t i = 0; (place = whyfit_choices_at(places, i)) != NULL; i++) {
        for (size_t k = 0; k < address->pair_count; k++) {
            const struct pair *put = &address->pairs[k];
            if (strncmp(put->name, "put.", 4) == 0 &&
                strcmp(put->name + 4, place->name) == 0 && place->with[0] != '\0' &&
                put->value[0] != '\0' && !is_way_of_filling(put->value)) {
                write_pair(out, "/compare", place->with, put->value);
                buffer_add(out, "What differs in ");
                buffer_escape(out, place->name);
                buffer_add(out, "?</a></li>\n");
            }
        }
    }
    whyfit_choices_free(places);
}
