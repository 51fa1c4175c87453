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
};

static const struct route routes[] = {
    {"/", METHOD_GET, home_page, NULL},
    {"/unit", METHOD_GET, unit_page, NULL},
    {"/show", METHOD_GET, show_page, NULL},
    {"/style.css", METHOD_GET, style_page, NULL},
    {"/ask", METHOD_POST, ask_page, NULL},
    {"/compare", METHOD_GET, compare_page, NULL},
    {"/swap", METHOD_GET, NULL, "swap"},
    {"/leaks", METHOD_GET, NULL, "leaks"},
    {"/upgrade", METHOD_GET, NULL, "upgrade"},
    {"/measure", METHOD_GET, NULL, "measure"},
    {"/sheet", METHOD_GET, NULL, "sheet"},
    {"/identify", METHOD_GET, NULL, "identify"},
    {"/why", METHOD_GET, NULL, "why"},
    {"/why-not", METHOD_GET, NULL, "why-not"},
};

void route_answer(struct worker *worker, struct request *request)
{
    for (size_t i = 0; i < sizeof routes / sizeof *routes; i++) {
        const struct route *route = &routes[i];
        if (strcmp(route->path, request->address.path) != 0) {
            continue;
        }
        if (route->method != request->method) {
            request->allow = route->method == METHOD_POST ? "POST" : "GET, HEAD";
            reply_fault(request, 405,
                        route->method == METHOD_POST
                            ? "A question is sent here with POST."
                            : "This address is read with GET.",
                        "");
        } else if (route->page != NULL) {
            route->page(worker, request);
        } else {
            answer_page(worker, request, route->command);
        }
        return;
    }
    reply_fault(request, 404, "There is nothing at this address.",
                "The way in is the first page.");
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
