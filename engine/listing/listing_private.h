/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_LISTING_PRIVATE_H
#define WHYFIT_LISTING_PRIVATE_H

#include "fold.h"
#include "listing.h"
#include "listing_terms.h"
#include "part_shows.h"
#include "scanner.h"

struct listing_bench {
    const struct knowledge *knowledge;
    struct listing_terms terms;
    struct scanned_pattern *scanned; /* as the patterns of the knowledge, filled in */
    struct scanner *scanner;
    const uint32_t *
        *followers; /* of each pattern: those that may stand right behind it */
    uint32_t *follower_count;
    const uint32_t **by_kind; /* the parts of each kind of the vocabulary, with those of
                                 kinds that are one */
    uint32_t *by_kind_count;
    struct part_shows *shows; /* what the rules conclude of every part */
    const uint32_t *
        *units_of; /* of each part: the units that have it, by index, sorted */
    uint32_t *units_of_count;
};

struct goes_on_memory;

struct lister {
    const struct listing_bench *bench;
    struct scanner_room *room;
    struct lister_options options;
    struct arena *arena;
    struct arena *listing_arena; /* of the listing that is being judged */
    struct goes_on_memory *memory;
};

#endif
