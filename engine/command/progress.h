/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_PROGRESS_H
#define WHYFIT_PROGRESS_H

#include <stdbool.h>
#include <stdint.h>
#include <time.h>

/*
 * How far a long run has come, on one line of a terminal, as wide as that is and written
 * anew a few times a second. Where standard error is no terminal nothing is shown.
 */
struct progress {
    bool is_watched;
    bool is_shown; /* the line stands there */
    struct timespec began;
    struct timespec shown;
};

struct progress_now {
    uint64_t rows;
    uint64_t rows_before; /* of a run before this one */
    uint64_t bytes;
    uint64_t all_bytes; /* 0: nobody knows how many there will be */
    bool is_end;
};

struct progress progress_open(void);
void progress_show(struct progress *progress, const struct progress_now *now);
/* Begins a line of its own for what comes. */
void progress_end(struct progress *progress);

#endif
