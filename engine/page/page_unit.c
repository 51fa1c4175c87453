/* SPDX-License-Identifier: MIT */
/* The page of a unit: its places with what stands there, each with a field for what is to
 * go in, and what can be asked of it. */
#include "page_private.h"

#include <stdio.h>
#include <string.h>

/* What could stand in a place, and the words that say how. */
static void write_list(struct buffer *out, const whyfit_choices *candidates,
                       const char *place)
{
    const whyfit_choice *one = NULL;
    buffer_add(out, "<datalist id=\"list-");
    buffer_escape(out, place);
    buffer_add(out, "\">\n");
    for (size_t i = 0; (one = whyfit_choices_at(candidates, i)) != NULL; i++) {
        if (strcmp(one->with, place) == 0) {
            frame_option(out, one);
        }
    }
    buffer_add(out, "<option value=\"another\">another of the same</option>\n"
                    "<option value=\"turned\">the same, turned round</option>\n"
                    "<option value=\"none\">left empty</option>\n</datalist>\n");
}

static void write_place(struct buffer *out, const whyfit_choices *candidates,
                        const whyfit_choice *place, const struct address *address)
{
    char name[512];
    (void)snprintf(name, sizeof name, "put.%s", place->name);
    const char *value = address_value(address, name);
    buffer_add(out, "<div class=\"field\"><label for=\"place-");
    buffer_escape(out, place->name);
    buffer_add(out, "\">");
    buffer_escape(out, place->name);
    buffer_add(out, "</label> <span class=\"now\">now ");
    buffer_add(out, "<a href=\"/show?word=");
    buffer_encode(out, place->with);
    buffer_add(out, "\">");
    buffer_escape(out, place->with[0] == '\0' ? "empty" : place->with);
    buffer_add(out, "</a> ");
    buffer_escape(out, place->title);
    buffer_add(out, "</span>\n<input id=\"place-");
    buffer_escape(out, place->name);
    buffer_add(out, "\" name=\"put.");
    buffer_escape(out, place->name);
    buffer_add(out, "\" value=\"");
    buffer_escape(out, value == NULL ? "" : value);
    buffer_add(out, "\" list=\"list-");
    buffer_escape(out, place->name);
    buffer_add(out, "\" autocomplete=\"off\" spellcheck=\"false\">\n");
    write_list(out, candidates, place->name);
    buffer_add(out, "</div>\n");
}

/* Readings that the address has already, and a row for one more. */
static void write_readings(struct buffer *out, const struct address *address)
{
    buffer_add(out, "<fieldset><legend>A reading of yours, or what if</legend>\n");
    for (size_t i = 0; i < address->pair_count; i++) {
        const struct pair *pair = &address->pairs[i];
        if (strncmp(pair->name, "given.", 6) == 0) {
            char id[32];
            (void)snprintf(id, sizeof id, "given-%zu", i);
            frame_field(out, id, pair->name + 6, pair->name, pair->value, NULL);
        }
    }
    frame_field(out, "name", "Dimension, for instance shaft.seal-land.diameter", "name",
                NULL, NULL);
    frame_field(out, "value", "Its value, for instance 44.98 mm", "value", NULL, NULL);
    buffer_add(out, "</fieldset>\n");
}

static void write_upgrade(struct buffer *out, const struct address *address)
{
    buffer_add(out, "<fieldset><legend>For what must change together</legend>\n");
    frame_field(out, "toward", "Toward another unit (else what is filled in above)",
                "toward", address_value(address, "toward"), NULL);
    frame_field(out, "have", "A part at hand, which costs nothing more", "have",
                address_value(address, "have"), NULL);
    buffer_add(out, "</fieldset>\n");
}

static void write_form(struct buffer *out, const whyfit_choices *places,
                       const whyfit_choices *candidates, const struct address *address,
                       const char *unit)
{
    const whyfit_choice *place = NULL;
    const bool allows = address_value(address, "allow") != NULL;
    buffer_add(out, "<form action=\"/swap\" method=\"get\">\n"
                    "<input type=\"hidden\" name=\"unit\" value=\"");
    buffer_escape(out, unit);
    buffer_add(out, "\">\n<fieldset class=\"places\"><legend>What is to go in</legend>\n"
                    "<p>Leave a place as it is, or name a part, another unit, or one of "
                    "the words it offers.</p>\n");
    for (size_t i = 0; (place = whyfit_choices_at(places, i)) != NULL; i++) {
        write_place(out, candidates, place, address);
    }
    buffer_add(out, "</fieldset>\n<p><button class=\"first\">Does it go in?</button>\n"
                    "<button formaction=\"/leaks\">Where can the oil go?</button>\n"
                    "<button formaction=\"/measure\">What to measure</button>\n"
                    "<button formaction=\"/sheet\">How to put it together</button>\n"
                    "<button formaction=\"/upgrade\">What must change "
                    "together?</button></p>\n");
    write_readings(out, address);
    buffer_add(out, "<p class=\"field\"><input type=\"checkbox\" id=\"allow\" "
                    "name=\"allow\" value=\"machine\"");
    buffer_add(out, allows ? " checked" : "");
    buffer_add(out, "> <label for=\"allow\" class=\"beside\">Mends that cut metal may be "
                    "chosen</label></p>\n");
    write_upgrade(out, address);
    buffer_add(out, "</form>\n");
}

void unit_page(struct worker *worker, struct request *request)
{
    struct buffer *out = &request->reply;
    const char *unit = address_value(&request->address, "unit");
    whyfit_choices *places = NULL;
    whyfit_choices *candidates = NULL;
    if (unit == NULL) {
        reply_fault(request, 400, "Which unit?", "unit=UNIT");
        return;
    }
    whyfit_status status =
        whyfit_choices_open(worker->knowledge, WHYFIT_PLACES, unit, &places);
    if (status == WHYFIT_OK) {
        status =
            whyfit_choices_open(worker->knowledge, WHYFIT_CANDIDATES, unit, &candidates);
    }
    if (status != WHYFIT_OK) {
        whyfit_choices_free(places);
        reply_fault(request, status == WHYFIT_NOT_FOUND ? 404 : 503,
                    status == WHYFIT_NOT_FOUND ? "There is no unit of that name."
                                               : "There is not enough memory for this.",
                    "The first page lists all units.");
        return;
    }
    frame_open(out, unit);
    buffer_add(out, "<h1>");
    buffer_escape(out, unit);
    buffer_add(out, "</h1>\n");
    write_form(out, places, candidates, &request->address, unit);
    frame_close(out);
    whyfit_choices_free(places);
    whyfit_choices_free(candidates);
    request->code = 200;
    request->type = "text/html; charset=utf-8";
}
