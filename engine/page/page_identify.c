/* SPDX-License-Identifier: MIT */
/* What is this on the bench? One look after another, each with the answers it can have.
 */
#include "page_private.h"

#include <stdio.h>
#include <string.h>

enum {
    LOOKS_OFFERED = 3,
    LEFT_LINKED = 6
};

/* A way to answer a look that is picked from a few: a list with what each leaves. */
static void write_values(struct buffer *out, const whyfit_answer *answer, size_t at,
                         const char *id, const char *name)
{
    const char *value = NULL;
    size_t left = 0;
    buffer_add(out, "<select id=\"");
    buffer_add(out, id);
    buffer_add(out, "\" name=\"");
    buffer_escape(out, name);
    buffer_add(out, "\">\n<option value=\"\">not looked at</option>\n");
    for (size_t i = 0; whyfit_answer_look_value(answer, at, i, &value, &left); i++) {
        buffer_add(out, "<option value=\"");
        buffer_escape(out, value);
        buffer_add(out, "\">");
        buffer_escape(out, value);
        buffer_format(out, " (leaves %zu)</option>\n", left);
    }
    buffer_add(out, "<option value=\"?\">cannot be told</option>\n</select>");
}

static void write_look(struct buffer *out, const whyfit_answer *answer, size_t at,
                       const whyfit_look *look)
{
    char id[32];
    char name[512];
    (void)snprintf(id, sizeof id, "look-%zu", at);
    (void)snprintf(name, sizeof name, "seen.%s", look->name);
    if (strcmp(look->kind, "quantity") == 0) {
        frame_field(out, id, look->asks, name, NULL, NULL);
        return;
    }
    buffer_add(out, "<p class=\"field\"><label for=\"");
    buffer_add(out, id);
    buffer_add(out, "\">");
    buffer_escape(out, look->asks);
    buffer_add(out, "</label>\n");
    write_values(out, answer, at, id, name);
    buffer_add(out, "</p>\n");
}

void identify_form(struct buffer *out, const struct address *address,
                   const whyfit_answer *answer)
{
    whyfit_look look;
    if (!whyfit_answer_look(answer, 0, &look)) {
        return;
    }
    buffer_add(out, "<form class=\"screen\" id=\"readings\" action=\"/identify\" "
                    "method=\"get\">\n<fieldset><legend>What was seen</legend>\n<p>One "
                    "of these is enough; the first tells most for its time. Where a "
                    "number is asked for: 44.98 mm, or ? for what cannot be told.</p>\n");
    question_fields(out, address, NULL);
    for (size_t i = 0; i < LOOKS_OFFERED && whyfit_answer_look(answer, i, &look); i++) {
        write_look(out, answer, i, &look);
    }
    buffer_add(out, "<button class=\"first\">Go on</button>\n</fieldset>\n</form>\n");
}

/* ---- where it leads */

static void write_candidate(struct buffer *out, const whyfit_candidate *one)
{
    buffer_add(out,
               one->is_unit ? "<li><a href=\"/unit?unit=" : "<li><a href=\"/show?word=");
    buffer_encode(out, one->name);
    buffer_add(out, one->is_unit ? "\">What is to go into " : "\">What is ");
    buffer_escape(out, one->name);
    buffer_add(out, "?</a></li>\n");
}

/* What is left, while it is few; and what tells the first two apart. */
void identify_ways(struct buffer *out, const whyfit_answer *answer)
{
    whyfit_candidate one;
    whyfit_candidate other;
    const size_t left = whyfit_answer_left_count(answer);
    if (left == 0 || left > LEFT_LINKED) {
        return;
    }
    buffer_add(out, "<nav class=\"screen\" id=\"next\" aria-label=\"Where it leads\">\n"
                    "<h2>Ask on</h2>\n<ul class=\"ways\">\n");
    for (size_t i = 0; whyfit_answer_left(answer, i, &one); i++) {
        write_candidate(out, &one);
    }
    if (whyfit_answer_left(answer, 0, &one) && whyfit_answer_left(answer, 1, &other) &&
        one.is_unit == other.is_unit) {
        buffer_add(out, "<li><a href=\"/compare?unit=");
        buffer_encode(out, one.name);
        buffer_add(out, "&amp;toward=");
        buffer_encode(out, other.name);
        buffer_add(out, "\">What differs between the first two?</a></li>\n");
    }
    buffer_add(out, "</ul>\n</nav>\n");
}

/* ---- what kind of thing it is */

void identify_start(struct worker *worker, struct buffer *out)
{
    buffer_add(out, "<h2>What is this on the bench?</h2>\n"
                    "<form action=\"/identify\" method=\"get\">\n");
    frame_field(out, "of", "Its kind, or a number that several parts share", "of", NULL,
                "kinds");
    frame_list_open(out, "kinds");
    buffer_add(out, "<option value=\"units\">any unit</option>\n");
    (void)frame_list_add(worker, out, WHYFIT_KINDS, PAGE_LISTED);
    frame_list_close(out);
    buffer_add(out, "<button>Find out</button>\n</form>\n");
}
