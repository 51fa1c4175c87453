/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_GENERAL_TOLERANCES_H
#define WHYFIT_GENERAL_TOLERANCES_H

#include "status.h"
#include "text.h"

#include <stdint.h>

/*
 * What a bare dimension on a drawing means when the drawing names a general tolerance:
 * ISO 2768-1 for machined parts, ISO 8062-3 for castings. The numbers come from
 * facts/general-tolerances.yaml.
 */
struct general_step {
    double over; /* mm, or mm of the shorter leg for angles */
    double to;
    double plus_minus; /* mm, or degrees */
};

struct general_class {
    text name; /* "ISO 2768-m" */
    const struct general_step *lengths;
    uint32_t length_count;
    const struct general_step *angles;
    uint32_t angle_count;
    const struct general_step *edges; /* outside radii and chamfer heights */
    uint32_t edge_count;
};

enum general_measure {
    GENERAL_LENGTH,
    GENERAL_ANGLE,
    GENERAL_EDGE
};

struct general_table {
    const struct general_class *classes;
    uint32_t count;
};

/* The deviation either way (nm or rad) of a bare length, angle or edge. `size_nm` is the
 * length itself. A bare angle does not tell how long its legs are: it takes the first
 * step, the one of the shortest legs, which is the widest. STATUS_NOT_FOUND with *why
 * (static). */
MUST_USE status general_tolerance_of(const struct general_table *table, text name,
                                     double size_nm, enum general_measure measure,
                                     double *plus_minus, const char **why);

#endif
