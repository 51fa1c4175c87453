/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_ASSEMBLY_FITS_H
#define WHYFIT_ASSEMBLY_FITS_H

#include "assembly_private.h"

/* The two sides of one asked fit. `outer` has the bore, `inner` the outside. */
struct fit_sides {
    const struct row *asked;
    name_id unit;
    name_id left;
    name_id right;
    const struct row *left_feature; /* run or band */
    const struct row *right_run; /* NULL when a whole piece was named and none overlaps */
    const struct row *left_laid;
    const struct row *right_laid;
    bool left_is_bore; /* `on`: the left is the outer one */
};

/* The diameter a run leaves free (in a bore) or takes up (outside); NULL when not
 * described. */
const struct form *clear_diameter(const struct assembly *assembly, const struct row *run,
                                  bool is_bore);
bool is_in_bore(const struct assembly *assembly, const struct row *run);
/* Runs that only dip into the surface they lie on, and so are in nobody's way. */
bool is_dip(const struct assembly *assembly, const struct row *run);
const char *kind_word(const struct assembly *assembly, const struct row *run);
/* From which side the left piece came over the right one, where a contact between the two
 * tells: 1 outboard, -1 inboard; 0: none does. */
int side_by_contact(const struct assembly *assembly, const struct fit_sides *sides);

/* assembly_sweeps.c: a row `sweep` for each run that the band of an asked fit passes on
 * the way to its place. */
MUST_USE status add_sweeps(struct assembly *assembly, const struct fit_sides *sides);

#endif
