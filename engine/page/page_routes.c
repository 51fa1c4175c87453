/* SPDX-License-Identifier: MIT */
/* Which address is answered by whom, in which form, and how a fault is told in it. */
#include "page_private.h"

#include <stdio.h>
#include <string.h>

static void style_page(struct worker *worker, struct request *request)
{
    (void)worker;
    style_write(&request->reply);
    request->code = 200;
    request->type = "text/css; charset=utf-8";
}

/* An address has a page of its own, or is a question of whyfit.h by its name. */
struct route {
    const char *path;
    enum method method;
    void (*page)(struct worker *worker, struct request *request);
    const char *command;
    unsigned takes; /* with POST: a bit for each body that it takes */
};

#define TAKES(body) (1u << (body))

static const struct route routes[] = {
    {"/", METHOD_GET, home_page, NULL, 0},
    {"/unit", METHOD_GET, unit_page, NULL, 0},
    {"/show", METHOD_GET, show_page, NULL, 0},
    {"/style.css", METHOD_GET, style_page, NULL, 0},
    {"/ask", METHOD_POST, ask_page, NULL, TAKES(BODY_JSON)},
    {"/compare", METHOD_GET, compare_page, NULL, 0},
    {"/listing", METHOD_GET, listing_form_page, NULL, 0},
    {"/listing", METHOD_POST, listing_page, NULL, TAKES(BODY_FORM) | TAKES(BODY_TEXT)},
    {"/swap", METHOD_GET, NULL, "swap", 0},
    {"/leaks", METHOD_GET, NULL, "leaks", 0},
    {"/upgrade", METHOD_GET, NULL, "upgrade", 0},
    {"/measure", METHOD_GET, NULL, "measure", 0},
    {"/sheet", METHOD_GET, NULL, "sheet", 0},
    {"/identify", METHOD_GET, NULL, "identify", 0},
    {"/why", METHOD_GET, NULL, "why", 0},
    {"/why-not", METHOD_GET, NULL, "why-not", 0},
};

/* NULL: there is none; *other is one of the same path and another method, or NULL. */
static const struct route *find_route(const char *path, enum method method,
                                      const struct route **other)
{
    *other = NULL;
    for (size_t i = 0; i < sizeof routes / sizeof *routes; i++) {
        if (strcmp(routes[i].path, path) == 0) {
            if (routes[i].method == method) {
                return &routes[i];
            }
            *other = &routes[i];
        }
    }
    return NULL;
}

bool route_takes(const char *path, enum body body)
{
    const struct route *other = NULL;
    const struct route *route = find_route(path, METHOD_POST, &other);
    return route != NULL && (route->takes & TAKES(body)) != 0;
}

void route_answer(struct worker *worker, struct request *request)
{
    const struct route *other = NULL;
    const struct route *route =
        find_route(request->address.path, request->method, &other);
    if (route == NULL && other == NULL) {
        reply_fault(request, 404, "There is nothing at this address.",
                    "The way in is the first page.");
    } else if (route == NULL) {
        request->allow = other->method == METHOD_POST ? "POST" : "GET, HEAD";
        reply_fault(request, 405,
                    other->method == METHOD_POST ? "A question is sent here with POST."
                                                 : "This address is read with GET.",
                    "");
    } else if (route->page != NULL) {
        route->page(worker, request);
    } else {
        answer_page(worker, request, route->command);
    }
}

/* ---- forms */

static bool has_word(const char *list, const char *word)
{
    const size_t length = strlen(word);
    for (const char *at = list; at != NULL; at = strchr(at, ',')) {
        at += strspn(at, ", ");
        if (strncmp(at, word, length) == 0 && strchr(",; ", at[length]) != NULL) {
            return true;
        }
    }
    return false;
}

bool form_read(const struct address *address, const char *accept, enum form *form)
{
    static const struct {
        const char *word;
        enum form form;
    } words[] = {{"html", FORM_PAGE},
                 {"json", FORM_JSON},
                 {"text", FORM_TEXT},
                 {"report", FORM_REPORT}};
    const char *said = address_value(address, "format");
    *form = accept != NULL && has_word(accept, "application/json") &&
                    !has_word(accept, "text/html")
                ? FORM_JSON
                : FORM_PAGE;
    for (size_t i = 0; said != NULL && i < sizeof words / sizeof *words; i++) {
        if (strcmp(said, words[i].word) == 0) {
            *form = words[i].form;
            return true;
        }
    }
    return said == NULL;
}

const char *form_type(enum form form)
{
    return form == FORM_JSON   ? "application/json"
           : form == FORM_TEXT ? "text/plain; charset=utf-8"
                               : "text/html; charset=utf-8";
}

/* ---- faults */

static void json_text(struct buffer *out, const char *words)
{
    buffer_add(out, "\"");
    for (; *words != '\0'; words++) {
        buffer_add(out, *words == '"' || *words == '\\' ? "\\" : "");
        (void)buffer_take(out, words, 1);
    }
    buffer_add(out, "\"");
}

static void fault_page(struct buffer *out, const char *heading, const char *advice)
{
    frame_open(out, heading);
    buffer_add(out, "<h1>");
    buffer_escape(out, heading);
    buffer_add(out, "</h1>\n<p>");
    buffer_escape(out, advice);
    buffer_add(out, "</p>\n<p><a href=\"/\">To the first page</a></p>\n");
    frame_close(out);
}

void reply_fault(struct request *request, unsigned code, const char *heading,
                 const char *advice)
{
    buffer_release(&request->reply);
    struct buffer *out = &request->reply;
    request->code = code;
    request->kept_as = NULL;
    if (request->form == FORM_JSON) {
        buffer_add(out, "{\"error\":[{\"code\":\"request-wrong\",\"message\":");
        json_text(out, heading);
        buffer_add(out, ",\"expected\":");
        json_text(out, advice);
        buffer_add(out, "}]}\n");
        request->type = "application/json";
    } else if (request->form == FORM_TEXT) {
        buffer_format(out, "error: %.200s\n  expected: %.200s\n", heading, advice);
        request->type = "text/plain; charset=utf-8";
    } else {
        fault_page(out, heading, advice);
        request->type = "text/html; charset=utf-8";
    }
}
