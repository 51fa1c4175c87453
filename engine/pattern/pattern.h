/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_PATTERN_H
#define WHYFIT_PATTERN_H

#include "text.h"

/*
 * Patterns on texts, in the notation of Perl-compatible regular expressions as PCRE2
 * reads it. A pattern is matched against a whole text, in UTF-8, by code points, whatever
 * the locale; `.` is one letter of any script and `\d` one of 0 to 9. A pattern is read
 * once and then shared, also by threads; how hard a match may work is bounded (limits.h),
 * so that no pattern can hang.
 */
struct pattern;

/* Why a pattern could not be read. */
struct pattern_fault {
    size_t at; /* the byte of the pattern at which the letter at fault starts */
    const char *message;
    const char *expected;
};

/* What PCRE2 (its code, and how far it had read) found wrong with a pattern, in our
 * words; gives STATUS_INVALID. */
status pattern_refusal(text written, int code, size_t read, struct pattern_fault *fault);

/* The pattern, in the arena. STATUS_INVALID: *fault says why. */
MUST_USE status pattern_read(struct arena *arena, text written,
                             struct pattern_fault *fault, const struct pattern **out);

/* What matching needs for itself: for one thread, used again and again. NULL: no memory.
 */
struct pattern_room;
MUST_USE struct pattern_room *pattern_room_open(struct arena *arena);

enum pattern_result {
    PATTERN_NO,
    PATTERN_YES,
    PATTERN_TOO_HARD, /* it would have taken more steps or memory than are allowed */
    PATTERN_NO_MEMORY /* the room's arena has failed */
};

enum pattern_result pattern_match(const struct pattern *pattern, text subject,
                                  struct pattern_room *room);

#endif
