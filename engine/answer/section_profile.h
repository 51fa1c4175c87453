/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_SECTION_PROFILE_H
#define WHYFIT_SECTION_PROFILE_H

#include "section_private.h"

/*
 * The profile of a turned part: its runs and faces cut the axis into stretches; each has
 * an outer and an inner radius. section_profile.c finds the stretches and what is
 * recorded of them, section_assumed.c closes what is not, section_outline.c draws.
 */
#define NEAR 1e-6

/* One side of one stretch. */
struct reach {
    double r_from;
    double r_to;
    bool is_known; /* a run gives it */
    bool is_said;  /* not a run, but a face's own size or what else is recorded */
    bool is_local; /* … which says nothing of what is beside it */
    const struct surface *by;
};

struct profile {
    const struct drafting *drafting;
    struct draft *draft;
    ARRAY_OF(double) ends; /* of the stretches, ascending: one more than there are */
    struct reach *outer;
    struct reach *inner;
    uint32_t count; /* stretches */
    double wall;    /* how thick what nobody recorded is drawn */
    double beyond;  /* how far it goes on where a face has material behind it */
};

bool is_near(double a, double b);
/* Full to the axis. */
bool is_full(const struct profile *profile);
/* Whether nothing is recorded of a reach: its radius, if any, is assumed. */
bool is_open(const struct reach *reach);
void set_open(struct reach *reach, double r);

/* The face at a place; NULL: none. */
const struct plane *plane_at(const struct draft *draft, double at);
/* Whether a face there is one of the bore, or else of the outside; the wall of a groove
 * is neither. */
bool is_face_of(const struct draft *draft, double at, bool is_bore);
/* The run of a side at x; what is cut into another lies over it. NULL: none. */
const struct surface *surface_at(const struct draft *draft, double x, bool is_bore);

/* section_profile.c: stretches with what is recorded; false where there are none. */
bool profile_open(struct profile *profile);
/* section_assumed.c: closes the rest. */
void profile_close(struct profile *profile, const struct draft_view *view);

#endif
