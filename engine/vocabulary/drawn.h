/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_DRAWN_H
#define WHYFIT_DRAWN_H

#include "names.h"

/*
 * How parts of a kind are drawn in an axial section, as the vocabulary says it:
 *
 *   spacer: {says: …, drawn: {as: ring, filled: metal}}
 *   key:    {says: …, drawn: {as: key, filled: whole, height: height}}
 *
 * `as` is a shape, `filled` what the cut face gets; the other words name the field of the
 * kind (`port`: the port of another part) from which the shape takes a dimension.
 */
enum drawn_as {
    DRAWN_OUTLINE, /* nobody said how: what is recorded of its surfaces, dashed */
    DRAWN_SOLID,   /* turned, full to the axis */
    DRAWN_RING,    /* turned, hollow */
    DRAWN_HOUSING, /* hollow, and larger than what is recorded of it */
    DRAWN_BALLS,   /* two rings with balls between them */
    DRAWN_ROLLERS, /* … with rollers */
    DRAWN_LIP,     /* a ring of rubber whose lip touches a shaft */
    DRAWN_O_RING,  /* a ring of a round section */
    DRAWN_KEY,     /* a bar that lies in a groove along a shaft */
    DRAWN_BOLTS,   /* on a circle about the axis */
    DRAWN_ACROSS,  /* put in across the axis, through a port of another part */
    DRAWN_NOTHING  /* has no shape */
};

enum drawn_fill {
    DRAWN_METAL,  /* hatched */
    DRAWN_RUBBER, /* hatched both ways */
    DRAWN_WHOLE   /* not cut in the long section: not hatched */
};

enum drawn_role {
    DRAWN_INSIDE, /* diameters */
    DRAWN_OUTSIDE,
    DRAWN_SECTION, /* of a round section */
    DRAWN_HEIGHT,
    DRAWN_LENGTH,
    DRAWN_WIDTH,
    DRAWN_REACH,
    DRAWN_CIRCLE, /* a word: the bolt circle of other parts */
    DRAWN_PORT,   /* no field: the port's name itself */
    DRAWN_ROLES
};

struct drawn {
    enum drawn_as as;
    enum drawn_fill fill;
    name_id roles[DRAWN_ROLES]; /* NAME_NONE: not said */
};

#endif
