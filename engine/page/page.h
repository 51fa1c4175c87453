/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_PAGE_H
#define WHYFIT_PAGE_H

#include "whyfit.h"
#include "whyfit_listing.h"

/*
 * The page for the counter: the questions of whyfit.h, and the listings of
 * whyfit_listing.h, over HTTP (RFC 9110, RFC 9112), as
 * pages to read and as JSON. Made for this machine: it knows no users and keeps nothing,
 * every question stands whole in its address.
 */
struct page_options {
    const whyfit_knowledge *knowledge; /* kept */
    const char *listen; /* "ADDRESS:PORT", "[::1]:PORT", "PORT"; NULL: as is said below */
    const char *const *names; /* hosts it is called by, beside addresses and localhost */
    size_t name_count;
    size_t threads;     /* questions answered at once */
    unsigned seconds;   /* one question may take; 0: PAGE_SECONDS */
    unsigned keep_open; /* seconds an idle connection is kept; 0: PAGE_KEEP_OPEN */
};

#define PAGE_LISTEN "127.0.0.1:8471"
enum {
    PAGE_SECONDS = 60,
    PAGE_KEEP_OPEN = 15
};

struct page;

/* Listens and answers on threads of its own. NULL, with a sentence in `fault`: it cannot.
 * Owned: page_stop. */
struct page *page_start(const struct page_options *options, char *fault, size_t size);
/* "http://127.0.0.1:8471/": where it listens, with the port that it got; and whether only
 * this machine gets there. */
const char *page_address(const struct page *page);
bool page_is_local(const struct page *page);
/* Takes no more connections, finishes what was asked, gives up what takes too long, and
 * releases all. */
void page_stop(struct page *page);

#endif
