/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_STATUS_H
#define WHYFIT_STATUS_H

/*
 * What a fallible function gives back. It says only *that* something failed; what failed
 * is a diagnostic in the collector that was passed in. The numbers are those of
 * whyfit_status.
 */
typedef enum status {
    STATUS_OK = 0,
    STATUS_INVALID = 1,   /* the user's text is at fault: see the diagnostics */
    STATUS_NOT_FOUND = 2, /* a name that nobody defined */
    STATUS_LIMIT = 3,     /* a bound of limits.h or of the caller was reached */
    STATUS_IO = 4,        /* a file could not be read or written */
    STATUS_NO_MEMORY = 5,
    STATUS_STOPPED = 6 /* the caller's go_on said no */
} status;

#define MUST_USE __attribute__((warn_unused_result))

/* Forward any failure; use only where nothing local needs releasing. */
#define TRY(call)                                                                        \
    do {                                                                                 \
        const status try_status_ = (call);                                               \
        if (try_status_ != STATUS_OK) {                                                  \
            return try_status_;                                                          \
        }                                                                                \
    } while (0)

#endif
