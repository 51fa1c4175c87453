/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_SCANNER_H
#define WHYFIT_SCANNER_H

#include "pattern.h"

/*
 * Many patterns that are looked for in many texts: each is tried where a word starts, the
 * first that matches there takes its stretch, and the search goes on behind it. Texts are
 * folded (plain bytes, small letters), so a pattern is matched by bytes. Patterns that
 * can start with a byte are tried together, by machine code; a match that goes past
 * the limits is told of the pattern, and never a stall.
 */
struct scanner;

/* The message of a fault of which `expected` is the name of a group that is not in the
 * list. */
extern const char *const scanner_unknown_group;

/* The groups a pattern may name, and its most. */
#define SCANNER_GROUPS 32u

/* Checks a pattern for a scanner: it can be read, matches no empty text, and names no
 * group but those of the NULL-terminated list. STATUS_INVALID: *fault says why. */
MUST_USE status scanner_check(struct arena *arena, text written,
                              const char *const *groups, struct pattern_fault *fault);

/* Whether a pattern is tried everywhere, or only right behind another match. */
struct scanned_pattern {
    text written;
    bool is_follower;
};

/* Makes them ready; they have been checked, are kept, and are told by their index. NULL:
 * no memory, or `*refused` is one of them that together with what was put into it has
 * become too large (else UINT32_MAX). Owned: scanner_close. Shared by threads. */
MUST_USE struct scanner *scanner_open(struct arena *arena,
                                      const struct scanned_pattern *patterns,
                                      uint32_t count, const char *const *groups,
                                      uint32_t *refused);
void scanner_close(struct scanner *scanner);

/* What one thread needs to match, with its frame in the arena. NULL: no memory. Owned. */
struct scanner_room;
MUST_USE struct scanner_room *scanner_room_open(struct arena *arena,
                                                const struct scanner *scanner);
void scanner_room_close(struct scanner_room *room);

struct scanned {
    uint32_t pattern;
    size_t from;
    size_t end;
    /* By the index of the group's name; from > end: it took no part. */
    struct {
        size_t from;
        size_t end;
    } groups[SCANNER_GROUPS];
};

enum scan_result {
    SCAN_NONE,
    SCAN_FOUND,
    SCAN_TOO_HARD /* scanned->pattern is the one that met a limit at scanned->from */
};

/* The first match that starts at `from` or behind it. */
enum scan_result scanner_next(struct scanner_room *room, text subject, size_t from,
                              struct scanned *scanned);
/* Whether pattern `pattern` matches just at `from`. */
enum scan_result scanner_at(struct scanner_room *room, text subject, size_t from,
                            uint32_t pattern, struct scanned *scanned);

#endif
