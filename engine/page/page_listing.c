/* SPDX-License-Identifier: MIT */
/*
 * A listing, pasted: what of it is so? The text comes with POST, as a form or as it is,
 * and goes nowhere else; the page shows it again, to be mended and asked once more.
 */
#include "page_private.h"

#include <stdio.h>
#include <string.h>

/* ---- where it is pasted */

void listing_form(struct buffer *out, const char *words)
{
    buffer_format(
        out,
        "<form class=\"screen\" action=\"/listing\" method=\"post\">\n<p "
        "class=\"field\"><label for=\"words\">The seller's words: title and "
        "description, %d KiB at most</label>\n<textarea id=\"words\" name=\"words\" "
        "rows=\"8\" maxlength=\"%d\" spellcheck=\"false\" required>\n",
        PAGE_LISTING_BYTES / 1024, PAGE_LISTING_BYTES);
    buffer_escape(out, words == NULL ? "" : words);
    buffer_add(out,
               "</textarea></p>\n<p><button class=\"first\">Is it right?</button>\n");
    if (words != NULL) {
        buffer_add(out, "<button formaction=\"/listing?format=report\">Keep this as one "
                        "file</button>\n<button formaction=\"/listing?format=text\">As "
                        "text</button>\n<button formaction=\"/listing?format=json\">As "
                        "JSON</button>\n");
    }
    buffer_add(out, "</p>\n</form>\n");
}

void listing_form_page(struct worker *worker, struct request *request)
{
    struct buffer *out = &request->reply;
    (void)worker;
    frame_open(out, "whyfit: a listing");
    buffer_add(out, "<h1>Is this listing right?</h1>\n"
                    "<p>Paste what a seller writes. Every claim in it is held against "
                    "the record: what is so, what is not, and what nobody can tell; "
                    "then the one thing to ask the seller for.</p>\n");
    listing_form(out, NULL);
    frame_close(out);
    request->code = 200;
    request->type = "text/html; charset=utf-8";
}

/* ---- where it leads */

static void write_part(struct buffer *out, const whyfit_knowledge *knowledge,
                       const char *part)
{
    buffer_add(out, "<li><a href=\"/show?word=");
    buffer_encode(out, part);
    buffer_add(out, "\">What is ");
    buffer_escape(out, part);
    buffer_add(out, "?</a></li>\n");
    (void)show_seats(out, knowledge, part);
}

/* Parts that it can be, where they sit, and what tells two of them apart. */
static void write_ways(struct worker *worker, struct buffer *out)
{
    const char *first = whyfit_lister_part(worker->lister, 0);
    const char *second = whyfit_lister_part(worker->lister, 1);
    const char *part = NULL;
    if (first == NULL) {
        return;
    }
    buffer_add(out, "<nav class=\"screen\" id=\"next\" aria-label=\"Where it leads\">\n"
                    "<h2>Ask on</h2>\n<ul class=\"ways\">\n");
    for (size_t i = 0; (part = whyfit_lister_part(worker->lister, i)) != NULL; i++) {
        write_part(out, worker->knowledge, part);
    }
    if (second != NULL) {
        buffer_add(out, "<li><a href=\"/compare?unit=");
        buffer_encode(out, first);
        buffer_add(out, "&amp;toward=");
        buffer_encode(out, second);
        buffer_add(out, "\">What differs between the first two?</a></li>\n");
    }
    buffer_add(out, "</ul>\n</nav>\n");
}

/* ---- what was sent */

struct pasted {
    const char *at;
    size_t length;
};

/* The text of a form, or the body as it is; a faulty one is answered with a fault. */
static bool read_form(struct request *request, struct pasted *pasted)
{
    struct address form;
    const char *fault = address_read_form(request->body.at, &form);
    for (size_t i = 0; fault == NULL && i < form.pair_count; i++) {
        fault = strcmp(form.pairs[i].name, "words") != 0 ? "There is no such field."
                : i > 0                                  ? "There is one listing."
                                                         : NULL;
    }
    if (fault != NULL) {
        reply_fault(request, 400, fault, "A form has one field, `words`, in UTF-8.");
        return false;
    }
    pasted->at = form.pair_count == 0 ? "" : form.pairs[0].value;
    pasted->length = strlen(pasted->at);
    return true;
}

static bool read_text(struct request *request, struct pasted *pasted)
{
    char words[96];
    size_t wrong_at = 0;
    if (!address_is_text(request->body.at, request->body.length - 1, &wrong_at)) {
        (void)snprintf(words, sizeof words,
                       "Byte %zu is no text in UTF-8, or a control character.",
                       wrong_at + 1);
        reply_fault(request, 400, words, "Text in UTF-8.");
        return false;
    }
    pasted->at = request->body.at;
    pasted->length = request->body.length - 1;
    return true;
}

static bool read_pasted(struct request *request, struct pasted *pasted)
{
    (void)buffer_take(&request->body, "", 1); /* its end */
    if (request->body.has_failed) {
        reply_fault(request, 413, "This listing is too long.", "It may have 16 KiB.");
        return false;
    }
    if (memchr(request->body.at, '\0', request->body.length - 1) != NULL) {
        reply_fault(request, 400, "There is a zero byte in this listing.",
                    "Text in UTF-8.");
        return false;
    }
    if (!(request->sends == BODY_FORM ? read_form(request, pasted)
                                      : read_text(request, pasted))) {
        return false;
    }
    if (pasted->length > PAGE_LISTING_BYTES) {
        reply_fault(request, 413, "This listing is too long.", "It may have 16 KiB.");
        return false;
    }
    if (strspn(pasted->at, " \t\r\n") == pasted->length) {
        reply_fault(request, 400, "There is no listing.",
                    "Paste the seller's words, title and description.");
        return false;
    }
    return true;
}

/* ---- judging */

static whyfit_status judge(struct worker *worker, struct request *request,
                           const struct pasted *pasted)
{
    static const whyfit_listing_format formats[] = {[FORM_PAGE] = WHYFIT_LISTING_HTML,
                                                    [FORM_JSON] = WHYFIT_LISTING_JSON,
                                                    [FORM_TEXT] = WHYFIT_LISTING_TEXT,
                                                    [FORM_REPORT] = WHYFIT_LISTING_HTML};
    whyfit_listing_text from = WHYFIT_LISTING_TEXT_OF(pasted->at, pasted->length);
    whyfit_listing judged;
    whyfit_lister *lister = NULL;
    const whyfit_status status = worker_lister(worker, &lister);
    if (status != WHYFIT_OK) {
        return status;
    }
    from.format = formats[request->form];
    from.is_part = request->form == FORM_PAGE;
    return whyfit_lister_judge(lister, &from, buffer_take, &request->reply, &judged);
}

void listing_page(struct worker *worker, struct request *request)
{
    struct buffer *out = &request->reply;
    struct pasted pasted;
    if (!read_pasted(request, &pasted)) {
        return;
    }
    if (request->form == FORM_PAGE) {
        frame_open(out, "whyfit: a listing");
    }
    const whyfit_status status = judge(worker, request, &pasted);
    if (status != WHYFIT_OK) {
        reply_problems(worker, request, status, NULL);
        return;
    }
    if (request->form == FORM_PAGE) {
        write_ways(worker, out);
        buffer_add(out, "<h2 class=\"screen\">Mend it, or ask of another</h2>\n");
        listing_form(out, pasted.at);
        frame_close(out);
    }
    request->code = 200;
    request->type = form_type(request->form);
    request->kept_as = request->form == FORM_REPORT ? "whyfit-listing.html" : NULL;
}
