/* SPDX-License-Identifier: MIT */
/* Answers: as a page with what could be asked next, as JSON, as text, or to keep. */
#include "page_private.h"

#include <stdio.h>
#include <string.h>

enum {
    SETS_LINKED = 6
};

/* ---- what could be asked next */

static const struct way {
    const char *command;
    const char *words;
} ways[] = {{"swap", "Does it go in?"},
            {"leaks", "Where can the oil go?"},
            {"measure", "What to measure"},
            {"sheet", "How to put it together"},
            {"upgrade", "What must change together?"}};

/* The way to what could be asked next, since that stands below what may be long. */
static void write_jumps(struct buffer *out, const struct address *address,
                        bool has_readings)
{
    buffer_add(out, "<ul class=\"ways screen\">\n<li><a href=\"/unit?");
    question_query(out, address, NULL);
    buffer_add(out, "\">Change the question</a></li>\n<li><a href=\"#next\">Ask "
                    "on</a></li>\n");
    buffer_add(out, has_readings ? "<li><a href=\"#readings\">Type in what was "
                                   "read</a></li>\n"
                                 : "");
    buffer_add(out, "</ul>\n");
}

/* The changes of a set as the rest of an address; and the places in words. */
static void write_changes(struct buffer *out, const whyfit_answer *answer, size_t set,
                          bool is_address)
{
    whyfit_pair change;
    for (size_t i = 0; whyfit_answer_change(answer, set, i, &change); i++) {
        if (is_address) {
            buffer_add(out, "&amp;put.");
            buffer_encode(out, change.name);
            buffer_add(out, "=");
            buffer_encode(out, change.value);
        } else {
            buffer_add(out, i == 0 ? "" : ", ");
            buffer_escape(out, change.name);
        }
    }
}

/* Of `upgrade`: each set, to be looked at as the swap that it is. */
static void write_sets(struct buffer *out, const char *unit, const whyfit_answer *answer)
{
    static const struct way looks[] = {{"swap", "Why does it work"},
                                       {"sheet", "How to put together"}};
    whyfit_change_set set;
    for (size_t i = 0; i < SETS_LINKED && whyfit_answer_change_set(answer, i, &set);
         i++) {
        for (size_t k = 0; k < sizeof looks / sizeof *looks; k++) {
            buffer_format(out, "<li><a href=\"/%s?unit=", looks[k].command);
            buffer_encode(out, unit);
            write_changes(out, answer, i, true);
            buffer_format(out, "\">Set %zu, %s: ", i + 1,
                          set.is_known || k > 0 ? looks[k].words : "What is open");
            write_changes(out, answer, i, false);
            buffer_add(out, "</a></li>\n");
        }
    }
}

static void write_ways(struct worker *worker, struct buffer *out,
                       const struct address *address, const whyfit_answer *answer,
                       const char *command)
{
    buffer_add(out, "<nav class=\"screen\" id=\"next\" aria-label=\"The same swap, asked "
                    "otherwise\">\n<h2>Ask on</h2>\n<ul class=\"ways\">\n");
    for (size_t i = 0; i < sizeof ways / sizeof *ways; i++) {
        const bool is_here = strcmp(command, ways[i].command) == 0;
        buffer_format(out, "<li><a%s href=\"/%s?",
                      is_here ? " aria-current=\"page\"" : "", ways[i].command);
        question_query(out, address, NULL);
        buffer_format(out, "\">%s</a></li>\n", ways[i].words);
    }
    write_sets(out, address_value(address, "unit"), answer);
    compare_changes(worker, out, address);
    buffer_add(out, "</ul>\n</nav>\n");
}

static void write_kept(struct buffer *out, const struct address *address,
                       const char *command)
{
    static const char *const forms[][2] = {
        {"report", "Keep this as one file"}, {"text", "As text"}, {"json", "As JSON"}};
    buffer_add(out, "<ul class=\"ways screen\">\n");
    for (size_t i = 0; i < sizeof forms / sizeof *forms; i++) {
        buffer_format(out, "<li><a href=\"/%s?", command);
        question_query(out, address, NULL);
        buffer_format(out, "&amp;format=%s\">%s</a></li>\n", forms[i][0], forms[i][1]);
    }
    buffer_add(out, "</ul>\n");
}

static void write_why(struct buffer *out, const struct address *address)
{
    buffer_add(out, "<form class=\"screen\" action=\"/why\" method=\"get\">\n"
                    "<fieldset><legend>Why, and why not</legend>\n");
    question_fields(out, address, "of");
    frame_field(out, "of",
                "A row, for instance gap: outcome=fails, or the name of a check", "of",
                address_value(address, "of"), NULL);
    buffer_add(out, "<button>Why is it so?</button>\n"
                    "<button formaction=\"/why-not\">Why is it not?</button>\n"
                    "</fieldset>\n</form>\n");
}

/* Readings typed in, one field for each dimension that is asked for. */
static void write_readings(struct buffer *out, const struct address *address,
                           const whyfit_answer *answer)
{
    const char *dimension = NULL;
    if (whyfit_answer_measurement(answer, 0) == NULL) {
        return;
    }
    buffer_add(
        out,
        "<form class=\"screen\" id=\"readings\" action=\"/measure\" method=\"get\">\n"
        "<fieldset><legend>What was read</legend>\n<p>A number with its "
        "unit: 44.98 mm, or measured 44.98 mm with caliper.</p>\n");
    question_fields(out, address, NULL);
    for (size_t i = 0; (dimension = whyfit_answer_measurement(answer, i)) != NULL; i++) {
        char id[32];
        char name[512];
        (void)snprintf(id, sizeof id, "reading-%zu", i);
        (void)snprintf(name, sizeof name, "given.%s", dimension);
        frame_field(out, id, dimension, name, NULL, NULL);
    }
    buffer_add(out, "<button class=\"first\">Ask again with these</button>\n"
                    "<button formaction=\"/swap\">Does it go in?</button>\n"
                    "</fieldset>\n</form>\n");
}

/* ---- writing */

/* `measure` of a kind, which fills no places. */
static bool is_of_kind(const struct worker *worker, const struct address *address,
                       const char *command)
{
    const char *unit = address_value(address, "unit");
    return strcmp(command, "measure") == 0 && unit != NULL &&
           show_is_kind(worker->knowledge, unit);
}

/* Before an answer: ways to what stands below it. */
static void write_before(struct worker *worker, struct buffer *out,
                         const struct address *address, const whyfit_answer *answer,
                         const char *command)
{
    if (strcmp(command, "compare") == 0) {
        buffer_add(out, "<ul class=\"ways screen\">\n<li><a href=\"#next\">Ask "
                        "on</a></li>\n</ul>\n");
    } else if (address_value(address, "unit") != NULL &&
               !is_of_kind(worker, address, command)) {
        write_jumps(out, address, whyfit_answer_measurement(answer, 0) != NULL);
    }
}

/* Behind it: what could be asked next. */
static void write_behind(struct worker *worker, struct buffer *out,
                         const struct address *address, const whyfit_answer *answer,
                         const char *command)
{
    if (strcmp(command, "compare") == 0) {
        compare_ways(worker, out, answer);
    } else if (is_of_kind(worker, address, command)) {
        buffer_add(out, "<nav class=\"screen\" aria-label=\"Where it leads\">\n<ul "
                        "class=\"ways\">\n");
        show_kind_ways(out, address_value(address, "unit"));
        buffer_add(out, "</ul>\n</nav>\n");
    } else if (address_value(address, "unit") != NULL) {
        write_readings(out, address, answer);
        write_ways(worker, out, address, answer, command);
        write_why(out, address);
    } else {
        identify_form(out, address, answer);
        identify_ways(out, answer);
    }
}

/* What the page is called: the question, and what it is about. */
static void write_title(const struct address *address, const char *command, char *room,
                        size_t size)
{
    const char *unit = address_value(address, "unit");
    const char *of = address_value(address, "of");
    const char *toward = address_value(address, "toward");
    (void)snprintf(room, size, "%s: %.100s%s%.100s", command,
                   unit != NULL ? unit
                   : of != NULL ? of
                                : "",
                   toward != NULL ? ", " : "", toward != NULL ? toward : "");
}

static void write_page(struct worker *worker, struct request *request,
                       const whyfit_answer *answer, const char *command)
{
    struct buffer *out = &request->reply;
    whyfit_write_options how = WHYFIT_WRITE_OPTIONS;
    char title[256];
    how.format = WHYFIT_HTML;
    how.is_part = true;
    write_title(&request->address, command, title, sizeof title);
    frame_open(out, title);
    write_before(worker, out, &request->address, answer, command);
    if (whyfit_answer_write(answer, &how, buffer_take, out) != WHYFIT_OK) {
        out->has_failed = true;
    }
    write_behind(worker, out, &request->address, answer, command);
    write_kept(out, &request->address, command);
    frame_close(out);
    request->type = "text/html; charset=utf-8";
}

static void write_plain(struct request *request, const whyfit_answer *answer)
{
    whyfit_write_options how = WHYFIT_WRITE_OPTIONS;
    const bool is_json = request->form == FORM_JSON;
    const bool is_report = request->form == FORM_REPORT;
    how.format = is_json ? WHYFIT_JSON : is_report ? WHYFIT_HTML : WHYFIT_TEXT;
    if (whyfit_answer_write(answer, &how, buffer_take, &request->reply) != WHYFIT_OK) {
        request->reply.has_failed = true;
    }
    request->type = form_type(request->form);
    request->kept_as = is_report ? "whyfit-report.html" : NULL;
}

/* ---- faults */

static const struct {
    unsigned code;
    const char *heading;
    const char *advice;
} failures[] = {[WHYFIT_OK] = {200, "", ""},
                [WHYFIT_INVALID] = {422, "The question is at fault.", ""},
                [WHYFIT_NOT_FOUND] = {422, "The question names what there is not.", ""},
                [WHYFIT_LIMIT] = {422, "This question takes more work than it may.",
                                  "Ask for less at once."},
                [WHYFIT_IO] = {503, "The answer could not be written.", ""},
                [WHYFIT_NO_MEMORY] = {503,
                                      "There is not enough memory for this question.",
                                      "Ask for less at once."},
                [WHYFIT_STOPPED] = {503, "This question took too long and was given up.",
                                    "Ask for less at once, or on the command line."}};

/* The question with what was typed, to be mended. */
static void write_again(struct worker *worker, struct buffer *out,
                        const struct address *address)
{
    const char *unit = address_value(address, "unit");
    if (strcmp(address->path, "/compare") == 0) {
        compare_form(worker, out, unit, address_value(address, "toward"));
    } else if (unit != NULL) {
        buffer_add(out, "<p><a href=\"/unit?");
        question_query(out, address, NULL);
        buffer_add(out, "\">Change the question</a></p>\n");
    }
}

void reply_problems(struct worker *worker, struct request *request, whyfit_status status,
                    const whyfit_problems *problems)
{
    struct buffer said = {NULL, 0, 0, false};
    const bool is_page = request->form == FORM_PAGE || request->form == FORM_REPORT;
    if (problems == NULL) {
        reply_fault(request, failures[status].code, failures[status].heading,
                    failures[status].advice);
        return;
    }
    (void)whyfit_problems_write(problems,
                                request->form == FORM_JSON ? WHYFIT_JSON : WHYFIT_TEXT,
                                buffer_take, &said);
    buffer_release(&request->reply);
    request->code = failures[status].code;
    if (is_page) {
        struct buffer *out = &request->reply;
        frame_open(out, failures[status].heading);
        buffer_format(out, "<h1>%s</h1>\n<pre>", failures[status].heading);
        (void)whyfit_html_escape(said.at == NULL ? "" : said.at, said.length, buffer_take,
                                 out);
        buffer_add(out, "</pre>\n");
        write_again(worker, out, &request->address);
        frame_close(out);
        request->type = "text/html; charset=utf-8";
        buffer_release(&said);
        return;
    }
    request->reply = said;
    request->type =
        request->form == FORM_JSON ? "application/json" : "text/plain; charset=utf-8";
}

/* ---- asking */

void answer_page(struct worker *worker, struct request *request, const char *command)
{
    struct asked asked;
    char room[256];
    whyfit_answer *answer = NULL;
    whyfit_problems *problems = NULL;
    const char *fault =
        question_from(&request->address, command, &asked, room, sizeof room);
    if (fault != NULL) {
        reply_fault(request, 400, fault,
                    "unit=UNIT, put.PLACE=PART, given.NAME=VALUE and what the question "
                    "takes beside");
        return;
    }
    const whyfit_status status =
        whyfit_ask(worker->asker, &asked.question, &answer, &problems);
    request->code = 200;
    if (status != WHYFIT_OK) {
        reply_problems(worker, request, status, problems);
    } else if (request->form == FORM_PAGE) {
        write_page(worker, request, answer, command);
    } else {
        write_plain(request, answer);
    }
    whyfit_problems_free(problems);
    whyfit_answer_free(answer);
}

void ask_page(struct worker *worker, struct request *request)
{
    bool is_fault = false;
    request->form = FORM_JSON;
    if (request->body.has_failed || request->body.length == 0) {
        reply_fault(request, request->body.has_failed ? 413 : 400,
                    request->body.has_failed ? "This question is too long."
                                             : "There is no question.",
                    "a question as JSON, of 64 KiB at most");
        return;
    }
    const whyfit_status status =
        whyfit_answer_line(worker->asker, request->body.at, request->body.length,
                           buffer_take, &request->reply, &is_fault);
    if (status != WHYFIT_OK && !is_fault) {
        reply_problems(worker, request, status, NULL);
        return;
    }
    request->code = is_fault ? 422 : 200;
    request->type = "application/json";
}
