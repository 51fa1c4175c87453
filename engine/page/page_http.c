/* SPDX-License-Identifier: MIT */
/*
 * The wire. libmicrohttpd reads and writes on one thread; a request that is in order is
 * suspended there until a worker has its reply, so that a slow question holds up nobody
 * else. What is wrong with a request is said before anything of it is used.
 */
#include "page_private.h"

#include <microhttpd.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

enum {
    STOP_CUT = 5 /* seconds for giving up what was still asked when it stopped */
};

struct page {
    struct MHD_Daemon *daemon;
    struct work *work;
    struct host_rules hosts;
    char address[96];
    bool is_local;
    unsigned seconds; /* one question may take */
    atomic_bool is_stopping;
    atomic_uint open; /* requests whose reply is not sent whole */
};

/* A request on the wire. */
struct exchange {
    struct request request; /* first: handed to workers and back */
    struct page *page;
    struct MHD_Connection *connection;
    bool is_begun;
    atomic_bool is_answered;
};

/* ---- what is wrong with a request */

/* How often a header stands in a request; the last of them in `value`. */
struct counted_header {
    const char *name;
    const char *value;
    unsigned count;
};

static enum MHD_Result count_header(void *of, enum MHD_ValueKind kind, const char *name,
                                    const char *value)
{
    struct counted_header *header = of;
    (void)kind;
    if (strcasecmp(name, header->name) == 0) {
        header->count++;
        header->value = value;
    }
    return MHD_YES;
}

static struct counted_header header_of(struct MHD_Connection *connection,
                                       const char *name)
{
    struct counted_header header = {name, NULL, 0};
    (void)MHD_get_connection_values(connection, MHD_HEADER_KIND, count_header, &header);
    return header;
}

static bool host_is_fine(struct exchange *exchange)
{
    const struct counted_header host = header_of(exchange->connection, "Host");
    if (host.count != 1 || host.value == NULL) {
        reply_fault(&exchange->request, MHD_HTTP_BAD_REQUEST, "A request names one host.",
                    "");
        return false;
    }
    if (!host_is_ours(&exchange->page->hosts, host.value)) {
        reply_fault(&exchange->request, MHD_HTTP_MISDIRECTED_REQUEST,
                    "This page is not called by that name.",
                    "Start it with --name HOST to call it so.");
        return false;
    }
    return true;
}

static bool starts_with_word(const char *value, const char *word)
{
    const size_t length = strlen(word);
    return value != NULL && strncasecmp(value, word, length) == 0 &&
           (value[length] == '\0' || value[length] == ';' || value[length] == ' ');
}

static enum body body_of(const char *type)
{
    return starts_with_word(type, "application/json")                    ? BODY_JSON
           : starts_with_word(type, "application/x-www-form-urlencoded") ? BODY_FORM
           : starts_with_word(type, "text/plain")                        ? BODY_TEXT
                                                                         : BODY_OTHER;
}

static const char *what_is_taken(const char *path)
{
    return route_takes(path, BODY_JSON)
               ? "A question is sent as application/json, without an encoding."
           : route_takes(path, BODY_TEXT)
               ? "A listing is sent as text/plain or as a form, without an encoding."
               : "Nothing is sent to this address.";
}

/* A page of another site may not have its readers' browsers ask here. */
static bool sender_is_fine(struct exchange *exchange)
{
    const struct counted_header site = header_of(exchange->connection, "Sec-Fetch-Site");
    const bool is_ours = site.value == NULL || strcmp(site.value, "same-origin") == 0 ||
                         strcmp(site.value, "none") == 0;
    if (!is_ours) {
        reply_fault(&exchange->request, MHD_HTTP_FORBIDDEN,
                    "Another site's page may not send anything here.", "");
    }
    return is_ours;
}

/* A body belongs to POST alone, is of a type that its address takes, and comes with a
 * length. */
static bool body_is_fine(struct exchange *exchange)
{
    struct MHD_Connection *connection = exchange->connection;
    struct request *request = &exchange->request;
    const struct counted_header type = header_of(connection, "Content-Type");
    const struct counted_header length = header_of(connection, "Content-Length");
    const struct counted_header coding = header_of(connection, "Content-Encoding");
    const struct counted_header chunks = header_of(connection, "Transfer-Encoding");
    const bool has_body =
        chunks.count > 0 || (length.count > 0 && strcmp(length.value, "0") != 0);
    if (length.count > 1 || (length.count > 0 && chunks.count > 0)) {
        reply_fault(request, MHD_HTTP_BAD_REQUEST, "A request has one length.", "");
        return false;
    }
    if (request->method != METHOD_POST) {
        if (has_body) {
            reply_fault(request, MHD_HTTP_BAD_REQUEST, "GET takes no body.", "");
        }
        return !has_body;
    }
    request->sends = type.count == 1 ? body_of(type.value) : BODY_OTHER;
    if (!route_takes(request->address.path, request->sends) || coding.count > 0) {
        reply_fault(request, MHD_HTTP_UNSUPPORTED_MEDIA_TYPE,
                    what_is_taken(request->address.path), "");
        return false;
    }
    if (length.count == 1 &&
        (strlen(length.value) > 9 || strtoul(length.value, NULL, 10) > PAGE_BODY_BYTES)) {
        reply_fault(request, MHD_HTTP_CONTENT_TOO_LARGE, "This is too long.",
                    "What is sent may have 64 KiB.");
        return false;
    }
    return sender_is_fine(exchange);
}

static bool address_is_fine(struct exchange *exchange)
{
    struct request *request = &exchange->request;
    const struct counted_header accept = header_of(exchange->connection, "Accept");
    const char *fault = request->uri == NULL
                            ? "The address is too long."
                            : address_read(request->uri, &request->address);
    if (fault != NULL) {
        reply_fault(request,
                    request->uri == NULL ? MHD_HTTP_URI_TOO_LONG : MHD_HTTP_BAD_REQUEST,
                    fault, "");
        return false;
    }
    if (!form_read(&request->address, accept.count == 1 ? accept.value : NULL,
                   &request->form)) {
        reply_fault(request, MHD_HTTP_BAD_REQUEST, "There is no such format.",
                    "html, json, text or report.");
        return false;
    }
    if (request->method == METHOD_POST && route_takes(request->address.path, BODY_JSON)) {
        request->form = FORM_JSON;
    }
    return true;
}

static bool method_is_fine(struct request *request)
{
    if (request->method == METHOD_OTHER) {
        request->allow = "GET, HEAD, POST";
        reply_fault(request, MHD_HTTP_METHOD_NOT_ALLOWED,
                    "Questions are asked with GET; POST sends one as JSON to /ask, or a "
                    "listing to /listing.",
                    "");
    }
    return request->method != METHOD_OTHER;
}

/* ---- replies */

static const char *const fixed_headers[][2] = {
    {"Content-Security-Policy",
     "default-src 'none'; style-src 'self'; img-src data:; form-action 'self'; "
     "frame-ancestors 'none'; base-uri 'none'"},
    {"X-Content-Type-Options", "nosniff"},
    {"Referrer-Policy", "no-referrer"},
    {"Cross-Origin-Resource-Policy", "same-origin"},
    {"Cross-Origin-Opener-Policy", "same-origin"},
    {"Cache-Control", "no-store"},
    {"Vary", "Accept"},
};

static void add_headers(struct MHD_Response *response, const struct exchange *exchange)
{
    const struct request *request = &exchange->request;
    char kept[128];
    for (size_t i = 0; i < sizeof fixed_headers / sizeof *fixed_headers; i++) {
        (void)MHD_add_response_header(response, fixed_headers[i][0], fixed_headers[i][1]);
    }
    (void)MHD_add_response_header(response, "Content-Type", request->type);
    if (request->kept_as != NULL) {
        (void)snprintf(kept, sizeof kept, "attachment; filename=\"%s\"",
                       request->kept_as);
        (void)MHD_add_response_header(response, "Content-Disposition", kept);
    }
    if (request->allow != NULL) {
        (void)MHD_add_response_header(response, "Allow", request->allow);
    }
    if (request->code == MHD_HTTP_SERVICE_UNAVAILABLE) {
        (void)MHD_add_response_header(response, "Retry-After", "5");
    }
    if (atomic_load(&exchange->page->is_stopping)) {
        (void)MHD_add_response_header(response, "Connection", "close");
    }
}

static enum MHD_Result send_reply(struct exchange *exchange)
{
    struct request *request = &exchange->request;
    if (request->reply.has_failed) {
        buffer_release(&request->reply);
        reply_fault(request, MHD_HTTP_SERVICE_UNAVAILABLE,
                    "There is not enough memory for this answer.", "");
    }
    struct MHD_Response *response = MHD_create_response_from_buffer(
        request->reply.length, request->reply.at, MHD_RESPMEM_MUST_FREE);
    if (response == NULL) {
        return MHD_NO;
    }
    request->reply = (struct buffer){NULL, 0, 0, false}; /* the response has it */
    add_headers(response, exchange);
    const enum MHD_Result result =
        MHD_queue_response(exchange->connection, request->code, response);
    MHD_destroy_response(response);
    return result;
}

/* ---- the course of a request */

/* The address as it came, before libmicrohttpd has decoded any of it. */
static void *begin(void *of, const char *uri, struct MHD_Connection *connection)
{
    struct exchange *exchange = calloc(1, sizeof *exchange);
    if (exchange != NULL) {
        exchange->page = of;
        exchange->connection = connection;
        exchange->request.type = "text/plain; charset=utf-8";
        if (strlen(uri) <= PAGE_URI_BYTES) {
            exchange->request.uri = strdup(uri);
        }
        atomic_init(&exchange->is_answered, false);
    }
    return exchange;
}

static void end(void *of, struct MHD_Connection *connection, void **place,
                enum MHD_RequestTerminationCode code)
{
    struct exchange *exchange = *place;
    (void)of;
    (void)connection;
    (void)code;
    if (exchange != NULL) {
        if (exchange->is_begun) {
            (void)atomic_fetch_sub(&exchange->page->open, 1);
        }
        free(exchange->request.uri);
        buffer_release(&exchange->request.body);
        buffer_release(&exchange->request.reply);
        free(exchange);
        *place = NULL;
    }
}

/* On a worker's thread. */
static void answered(struct request *request)
{
    struct exchange *exchange = (struct exchange *)request;
    atomic_store(&exchange->is_answered, true);
    MHD_resume_connection(exchange->connection);
}

static enum MHD_Result hand_over(struct exchange *exchange)
{
    MHD_suspend_connection(exchange->connection);
    if (!work_add(exchange->page->work, &exchange->request)) {
        reply_fault(&exchange->request, MHD_HTTP_SERVICE_UNAVAILABLE,
                    "Too many questions are waiting.", "Ask again in a moment.");
        answered(&exchange->request);
    }
    return MHD_YES;
}

static enum method method_of(const char *word)
{
    return strcmp(word, "GET") == 0 || strcmp(word, "HEAD") == 0 ? METHOD_GET
           : strcmp(word, "POST") == 0                           ? METHOD_POST
                                                                 : METHOD_OTHER;
}

static enum MHD_Result first_look(struct exchange *exchange, const char *method)
{
    struct request *request = &exchange->request;
    exchange->is_begun = true;
    (void)atomic_fetch_add(&exchange->page->open, 1);
    request->method = method_of(method);
    return host_is_fine(exchange) && address_is_fine(exchange) &&
                   method_is_fine(request) && body_is_fine(exchange)
               ? MHD_YES
               : send_reply(exchange);
}

static enum MHD_Result answer(void *of, struct MHD_Connection *connection,
                              const char *url, const char *method, const char *version,
                              const char *sent, size_t *sent_size, void **place)
{
    struct exchange *exchange = *place;
    (void)of;
    (void)connection;
    (void)url;
    (void)version;
    if (exchange == NULL) {
        return MHD_NO;
    }
    if (!exchange->is_begun) {
        return first_look(exchange, method);
    }
    if (atomic_load(&exchange->is_answered)) {
        return send_reply(exchange);
    }
    if (*sent_size > 0) {
        struct buffer *body = &exchange->request.body;
        if (body->length + *sent_size <= PAGE_BODY_BYTES) {
            (void)buffer_take(body, sent, *sent_size);
        } else {
            body->has_failed = true; /* the rest is read and dropped */
        }
        *sent_size = 0;
        return MHD_YES;
    }
    return hand_over(exchange);
}

/* ---- starting and stopping */

static void say_nothing(void *of, const char *format, va_list arguments)
{
    (void)of;
    (void)format;
    (void)arguments;
}

/* Names are as they came: page_address.c decodes them. */
static size_t leave_as_it_is(void *of, struct MHD_Connection *connection, char *words)
{
    (void)of;
    (void)connection;
    return strlen(words);
}

static struct MHD_Daemon *start_daemon(struct page *page, int listener,
                                       unsigned keep_open)
{
    return MHD_start_daemon(
        MHD_USE_INTERNAL_POLLING_THREAD | MHD_USE_POLL | MHD_ALLOW_SUSPEND_RESUME, 0,
        NULL, NULL, answer, page, MHD_OPTION_EXTERNAL_LOGGER, say_nothing, NULL,
        MHD_OPTION_LISTEN_SOCKET, listener, MHD_OPTION_CONNECTION_LIMIT,
        (unsigned)PAGE_CONNECTIONS, MHD_OPTION_CONNECTION_TIMEOUT, keep_open,
        MHD_OPTION_CONNECTION_MEMORY_LIMIT, (size_t)32768, MHD_OPTION_URI_LOG_CALLBACK,
        begin, page, MHD_OPTION_NOTIFY_COMPLETED, end, page, MHD_OPTION_UNESCAPE_CALLBACK,
        leave_as_it_is, NULL, MHD_OPTION_STRICT_FOR_CLIENT, 1, MHD_OPTION_END);
}

struct page *page_start(const struct page_options *options, char *fault, size_t size)
{
    struct page *page = calloc(1, sizeof *page);
    const char *listen = options->listen == NULL ? PAGE_LISTEN : options->listen;
    if (page == NULL) {
        (void)snprintf(fault, size, "there is no memory");
        return NULL;
    }
    atomic_init(&page->is_stopping, false);
    atomic_init(&page->open, 0);
    page->hosts = (struct host_rules){options->names, options->name_count, 0};
    const int listener = host_listen(listen, page->address, sizeof page->address,
                                     &page->hosts.port, &page->is_local, fault, size);
    if (listener < 0) {
        free(page);
        return NULL;
    }
    page->seconds = options->seconds == 0 ? PAGE_SECONDS : options->seconds;
    page->work =
        work_start(options->knowledge, options->threads == 0 ? 1 : options->threads,
                   page->seconds, answered);
    page->daemon =
        page->work == NULL
            ? NULL
            : start_daemon(page, listener,
                           options->keep_open == 0 ? PAGE_KEEP_OPEN : options->keep_open);
    if (page->daemon == NULL) {
        (void)snprintf(fault, size, "its threads could not be started");
        if (page->work != NULL) {
            work_stop(page->work);
        }
        (void)close(listener);
        free(page);
        return NULL;
    }
    return page;
}

const char *page_address(const struct page *page)
{
    return page->address;
}

bool page_is_local(const struct page *page)
{
    return page->is_local;
}

/* Waits until every request has its reply, for so many seconds at most. */
static void wait_for_open(const struct page *page, unsigned seconds)
{
    const struct timespec moment = {0, 20000000};
    for (unsigned i = 0; i < seconds * 50 && atomic_load(&page->open) > 0; i++) {
        (void)nanosleep(&moment, NULL);
    }
}

void page_stop(struct page *page)
{
    atomic_store(&page->is_stopping, true);
    const MHD_socket listener = MHD_quiesce_daemon(page->daemon);
    wait_for_open(page, page->seconds);
    work_cut(page->work);
    work_stop(page->work);
    wait_for_open(page, STOP_CUT);
    MHD_stop_daemon(page->daemon);
    if (listener != MHD_INVALID_SOCKET) {
        (void)close(listener);
    }
    free(page);
}
