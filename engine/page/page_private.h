/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_PAGE_PRIVATE_H
#define WHYFIT_PAGE_PRIVATE_H

#include "page.h"

#include <stdatomic.h>

/*
 * From the wire inwards: page_http.c takes requests and sends what came of them;
 * page_host.c and page_address.c say what is wrong with one before anything else looks at
 * it; page_work.c hands it to a worker, which has an asker of its own; page_routes.c
 * finds who answers the address.
 */
enum {
    PAGE_URI_BYTES = 8192,
    PAGE_BODY_BYTES = 1 << 16,
    PAGE_LISTING_BYTES = 1 << 14, /* of one listing; a form sends three for one at most */
    PAGE_ANSWER_BYTES = 64 << 20, /* of one response */
    PAGE_MEMORY = 512 << 20,      /* one question may take */
    PAGE_PAIRS = 192,             /* in one address */
    PAGE_CHANGES = 64,
    PAGE_CONNECTIONS = 64,
    PAGE_QUEUE = 32, /* questions that wait */
    PAGE_MOST_THREADS = 16,
    PAGE_LISTED = 400 /* names offered to be picked from */
};

/* ---- bytes (page_buffer.c); sticky: after a failure nothing is added */
struct buffer {
    char *at;
    size_t length;
    size_t room;
    bool has_failed;
};
bool buffer_take(void *buffer, const char *bytes, size_t length); /* a whyfit_sink */
void buffer_add(struct buffer *buffer, const char *words);
__attribute__((format(printf, 2, 3))) void buffer_format(struct buffer *buffer,
                                                         const char *format, ...);
/* As text of HTML; as part of a query. */
void buffer_escape(struct buffer *buffer, const char *words);
void buffer_encode(struct buffer *buffer, const char *words);
void buffer_release(struct buffer *buffer);

/* ---- addresses (page_address.c) */
struct pair {
    const char *name;
    const char *value;
};
struct address {
    const char *path;
    struct pair pairs[PAGE_PAIRS];
    size_t pair_count;
};
/* Takes an address apart in place, decoding it. NULL: it is fine, else what is wrong. */
const char *address_read(char *uri, struct address *address);
/* The same of a form that was sent as a body (application/x-www-form-urlencoded); its
 * values may have several lines, which come to end in a line feed alone. */
const char *address_read_form(char *body, struct address *form);
/* Whether a text is UTF-8 without control characters but tabs and line ends; else the
 * first byte that is not, in `wrong_at`. */
bool address_is_text(const char *at, size_t length, size_t *wrong_at);
/* The first value of a name; NULL: there is none, or it is empty. */
const char *address_value(const struct address *address, const char *name);

/* ---- hosts (page_host.c) */
struct host_rules {
    const char *const *names;
    size_t name_count;
    unsigned port;
};
/* Whether a Host header calls us: an address as it is written, localhost, or one of the
 * names; with our port. A name that only some resolver leads here is refused, so that no
 * page from elsewhere can read ours (DNS rebinding). */
bool host_is_ours(const struct host_rules *rules, const char *host);
/* "ADDRESS:PORT" into a listening socket. -1: a sentence is in `fault`. */
int host_listen(const char *spec, char *address, size_t address_size, unsigned *port,
                bool *is_local, char *fault, size_t fault_size);

/* ---- requests and what comes of them */
enum method {
    METHOD_GET, /* or HEAD */
    METHOD_POST,
    METHOD_OTHER
};
/* What a request sends beside its address. */
enum body {
    BODY_NONE,
    BODY_JSON,
    BODY_FORM,
    BODY_TEXT,
    BODY_OTHER
};
enum form {
    FORM_PAGE,
    FORM_JSON,
    FORM_TEXT,
    FORM_REPORT /* a page on its own, to keep */
};
struct request {
    enum method method;
    enum form form;
    char *uri;
    struct address address;
    enum body sends;
    struct buffer body; /* what was sent */
    struct buffer reply;
    unsigned code; /* of RFC 9110 */
    const char *type;
    const char *kept_as; /* name of a file to keep it in; NULL: it is shown */
    const char *allow;   /* with 405 */
};

/* What a request is answered with. */
struct work;
struct worker {
    struct work *work;
    whyfit_asker *asker;
    whyfit_lister *lister; /* NULL until somebody asks of a listing */
    const whyfit_knowledge *knowledge;
    long long deadline; /* of what it is at, milliseconds of the steady clock */
};

/* ---- who answers (page_routes.c) */
/* Writes reply, code and type. Called on a worker's thread. */
void route_answer(struct worker *worker, struct request *request);
/* Whether an address takes such a body with POST; JSON is answered with JSON. */
bool route_takes(const char *path, enum body body);
/* The form a request asks for; false: it names one that there is not. */
bool form_read(const struct address *address, const char *accept, enum form *form);
const char *form_type(enum form form); /* its media type */
/* A fault as the form has it: a heading, and what to do. */
void reply_fault(struct request *request, unsigned code, const char *heading,
                 const char *advice);

/* The same of a question that the library did not answer (page_answer.c). */
void reply_problems(struct worker *worker, struct request *request, whyfit_status status,
                    const whyfit_problems *problems);

/* ---- questions (page_question.c) */
struct asked {
    whyfit_question question;
    whyfit_pair changes[PAGE_CHANGES];
    whyfit_pair given[PAGE_CHANGES];
    whyfit_pair want[PAGE_CHANGES];
    whyfit_pair seen[PAGE_CHANGES];
    whyfit_pair hints[PAGE_CHANGES];
    const char *have[PAGE_CHANGES];
    whyfit_pair sweep;
};
/* The question an address asks. NULL: fine; else what is wrong, in `room`. */
const char *question_from(const struct address *address, const char *command,
                          struct asked *asked, char *room, size_t size);
/* Whether what is put in a place is no part: "none", "turned", "another". */
bool is_way_of_filling(const char *value);
/* The pairs of the question as hidden fields, and as a query ("unit=…&put.cover=…");
 * without those whose name begins with `but` (NULL: all). */
void question_fields(struct buffer *out, const struct address *address, const char *but);
void question_query(struct buffer *out, const struct address *address, const char *but);

/* ---- pages (page_frame.c, page_home.c, page_unit.c, page_answer.c, page_style.c) */
void frame_open(struct buffer *out, const char *title);
void frame_close(struct buffer *out);
/* A text field with its label; `list` (NULL: none) is the id of what it offers. */
void frame_field(struct buffer *out, const char *id, const char *label, const char *name,
                 const char *value, const char *list);
/* What a field offers to be picked: between opening and closing, names with titles, as
 * many as there is room for; gives the room that is left. */
void frame_list_open(struct buffer *out, const char *id);
void frame_option(struct buffer *out, const whyfit_choice *choice);
size_t frame_list_add(struct worker *worker, struct buffer *out, whyfit_choice_of of,
                      size_t room);
void frame_list_close(struct buffer *out);
void style_write(struct buffer *out);

/* page_compare.c: two to be picked; where a comparison leads; of every place that is
 * filled otherwise what differs there, as items of a list. */
void compare_form(struct worker *worker, struct buffer *out, const char *first,
                  const char *second);
void compare_ways(struct worker *worker, struct buffer *out, const whyfit_answer *answer);
void compare_changes(struct worker *worker, struct buffer *out,
                     const struct address *address);

/* page_listing.c: where a listing is pasted, with what was pasted already (NULL:
 * nothing).
 */
void listing_form(struct buffer *out, const char *words);

/* page_show.c, as items of a list: the units that hold a part (false: it is neither part
 * nor unit); where a kind leads. */
bool show_seats(struct buffer *out, const whyfit_knowledge *knowledge, const char *part);
bool show_is_kind(const whyfit_knowledge *knowledge, const char *word);
void show_kind_ways(struct buffer *out, const char *kind);

/* page_identify.c: the looks of an answer as a form; and the form that begins. */
void identify_form(struct buffer *out, const struct address *address,
                   const whyfit_answer *answer);
/* What is left, to be looked at further. */
void identify_ways(struct buffer *out, const whyfit_answer *answer);
void identify_start(struct worker *worker, struct buffer *out);

void listing_form_page(struct worker *worker, struct request *request);
void listing_page(struct worker *worker, struct request *request);
void home_page(struct worker *worker, struct request *request);
void unit_page(struct worker *worker, struct request *request);
void show_page(struct worker *worker, struct request *request);
void compare_page(struct worker *worker, struct request *request);
void answer_page(struct worker *worker, struct request *request, const char *command);
void ask_page(struct worker *worker, struct request *request);

/* ---- work (page_work.c) */
/* Starts the workers; `done` is called on a worker's thread when a request is answered.
 */
struct work *work_start(const whyfit_knowledge *knowledge, size_t threads,
                        unsigned seconds, void (*done)(struct request *request));
/* false: as many wait as may. */
bool work_add(struct work *work, struct request *request);
/* Gives up what is being answered. */
void work_cut(struct work *work);
void work_stop(struct work *work);
bool worker_may_go_on(void *worker);
/* The worker's lister, opened when it is first wanted; the patterns are made ready once
 * for all workers. */
whyfit_status worker_lister(struct worker *worker, whyfit_lister **lister);

#endif
