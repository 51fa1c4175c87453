/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_LISTING_STREAM_H
#define WHYFIT_LISTING_STREAM_H

#include "command.h"
#include "whyfit_listing.h"

#include <stdio.h>

enum {
    PATH_ROOM = 4096,
    MOST_TOLD_COLUMNS = 8
};

/* Reads, judges and writes all rows of a file; the exit status. */
int run_listing_stream(const struct options *options, const whyfit_knowledge *knowledge,
                       whyfit_listings *listings, FILE *file, whyfit_rows rows);

#endif
