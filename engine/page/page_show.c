/* SPDX-License-Identifier: MIT */
/* What a word means: what is known of it, a part drawn by itself, and where it leads. */
#include "page_private.h"

#include <string.h>

static void write_way(struct buffer *out, const char *path, const char *name,
                      const char *words)
{
    buffer_format(out, "<li><a href=\"%s=", path);
    buffer_encode(out, name);
    buffer_format(out, "\">%s", words);
    buffer_escape(out, name);
    buffer_add(out, "</a></li>\n");
}

bool show_seats(struct buffer *out, const whyfit_knowledge *knowledge, const char *part)
{
    whyfit_choices *seats = NULL;
    const whyfit_choice *seat = NULL;
    if (whyfit_choices_open(knowledge, WHYFIT_SEATS, part, &seats) != WHYFIT_OK) {
        return false;
    }
    for (size_t i = 0; (seat = whyfit_choices_at(seats, i)) != NULL; i++) {
        write_way(out, "/unit?unit", seat->name, "It sits in ");
    }
    whyfit_choices_free(seats);
    return true;
}

static bool is_unit(const whyfit_knowledge *knowledge, const char *word)
{
    whyfit_choices *places = NULL;
    const bool is_one =
        whyfit_choices_open(knowledge, WHYFIT_PLACES, word, &places) == WHYFIT_OK;
    whyfit_choices_free(places);
    return is_one;
}

bool show_is_kind(const whyfit_knowledge *knowledge, const char *word)
{
    whyfit_choices *kinds = NULL;
    const whyfit_choice *kind = NULL;
    bool is_one = false;
    if (whyfit_choices_open(knowledge, WHYFIT_KINDS, NULL, &kinds) == WHYFIT_OK) {
        for (size_t i = 0; (kind = whyfit_choices_at(kinds, i)) != NULL; i++) {
            is_one = is_one || strcmp(kind->name, word) == 0;
        }
    }
    whyfit_choices_free(kinds);
    return is_one;
}

void show_kind_ways(struct buffer *out, const char *kind)
{
    write_way(out, "/identify?of", kind, "Find out which it is: ");
    write_way(out, "/measure?unit", kind, "What to measure of any ");
    write_way(out, "/show?word", kind, "What is a ");
}

/* Where a part, unit or kind leads; of other words nothing. */
static void write_ways(struct worker *worker, struct buffer *out, const char *word)
{
    struct buffer ways = {NULL, 0, 0, false};
    const whyfit_knowledge *knowledge = worker->knowledge;
    const bool is_named = show_seats(&ways, knowledge, word);
    if (is_unit(knowledge, word)) {
        write_way(&ways, "/unit?unit", word, "What is to go into ");
    }
    if (!is_named && show_is_kind(knowledge, word)) {
        show_kind_ways(&ways, word);
    }
    if (ways.length > 0) {
        buffer_add(out, "<nav class=\"screen\" id=\"next\" aria-label=\"Where it "
                        "leads\">\n<h2>Ask on</h2>\n<ul class=\"ways\">\n");
        (void)buffer_take(out, ways.at, ways.length);
        buffer_add(out, "</ul>\n</nav>\n");
    }
    if (is_named) {
        compare_form(worker, out, word, NULL);
    }
    buffer_release(&ways);
}

static void write_page(struct worker *worker, struct request *request, const char *word,
                       whyfit_problems **problems)
{
    struct buffer *out = &request->reply;
    frame_open(out, word);
    const whyfit_status status =
        whyfit_show_body(worker->knowledge, word, buffer_take, out, problems);
    if (status != WHYFIT_OK) {
        reply_problems(worker, request, status, *problems);
        return;
    }
    write_ways(worker, out, word);
    frame_close(out);
}

void show_page(struct worker *worker, struct request *request)
{
    static const whyfit_format formats[] = {[FORM_PAGE] = WHYFIT_HTML,
                                            [FORM_JSON] = WHYFIT_JSON,
                                            [FORM_TEXT] = WHYFIT_TEXT,
                                            [FORM_REPORT] = WHYFIT_HTML};
    const char *word = address_value(&request->address, "word");
    whyfit_problems *problems = NULL;
    if (word == NULL) {
        reply_fault(request, 400, "Which word?", "word=WORD");
        return;
    }
    request->code = 200;
    request->type = form_type(request->form);
    if (request->form == FORM_PAGE) {
        write_page(worker, request, word, &problems);
    } else {
        const whyfit_status status =
            whyfit_show(worker->knowledge, word, formats[request->form], buffer_take,
                        &request->reply, &problems);
        request->kept_as = request->form == FORM_REPORT ? "whyfit-report.html" : NULL;
        if (status != WHYFIT_OK) {
            reply_problems(worker, request, status, problems);
        }
    }
    whyfit_problems_free(problems);
}
