/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_PART_SHOWS_H
#define WHYFIT_PART_SHOWS_H

#include "knowledge.h"

/*
 * What rules conclude that the parts show: relations `shows`, `shows-size`, `shows-count`
 * and `shows-thread`, gathered by part; and where which unit was built (`built`), which
 * models a part is listed for (`fitment`), gathered by model. Relations that the
 * vocabulary does not have say nothing.
 */
struct shown {
    name_id what; /* a feature; or what a size, count or thread is of */
    const struct row *row;
    bool has;     /* features */
    double least; /* sizes, mm; NAN: nobody recorded it */
    double greatest;
    int64_t count; /* counts */
    name_id word;  /* threads */
};

struct shown_list {
    const struct shown *at;
    uint32_t count;
};

struct part_show {
    struct shown_list features;
    struct shown_list sizes;
    struct shown_list counts;
    struct shown_list threads;
};

enum {
    FIRST_YEAR = 1900,
    LAST_YEAR = 2100
};

/* A list says that a unit was built into machines of a model, or a part is for them, in
 * the years from..to, an open end being FIRST_YEAR or LAST_YEAR. */
struct built {
    uint32_t model;            /* in part_shows.models */
    const struct recipe *unit; /* NULL: a part */
    uint32_t part;             /* its index */
    int from;
    int to;
};

struct part_shows {
    const struct part_show *parts; /* as knowledge->parts */
    const struct built *built;     /* units, sorted by model, then from, then name */
    uint32_t built_count;
    const struct built *fitments; /* parts, sorted by part, then model, then from */
    uint32_t fitment_count;
    const text *models; /* of both, sorted */
    uint32_t model_count;
};

MUST_USE status part_shows_read(struct arena *arena, const struct knowledge *knowledge,
                                struct part_shows **out);

/* The index of a model, or -1. */
int shows_model(const struct part_shows *shows, text model);

#endif
