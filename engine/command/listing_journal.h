/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_LISTING_JOURNAL_H
#define WHYFIT_LISTING_JOURNAL_H

#include "whyfit_listing.h"

/*
 * How far a stream has come: beside its output, in FILE.at, written anew after every so
 * many rows and renamed, when all that it counts is written. What lies in the output
 * behind the lengths it tells is of rows that will be read again, and is cut off; so no
 * row is lost or doubled wherever the program is stopped.
 */
struct journal {
    uint64_t rows;      /* read so far */
    uint64_t offset;    /* in the input */
    uint64_t written;   /* bytes of the output */
    uint64_t rejected;  /* bytes of the file of rejected rows */
    uint64_t counts[8]; /* of the summary */
    uint64_t input_size;
    uint64_t input_time; /* when it was last written, ns */
    uint64_t how;        /* a digest of the options that change the output */
};

/* false: it could not be written. */
bool journal_write(const char *path, const struct journal *journal);
/* false: there is none, or it is damaged. */
bool journal_read(const char *path, struct journal *journal);

#endif
