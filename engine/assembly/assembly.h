/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_ASSEMBLY_H
#define WHYFIT_ASSEMBLY_H

#include "diagnostic.h"
#include "function_entry.h"
#include "relation.h"

/*
 * Lays the pieces of a unit on its axes, and computes what rules ask about: where runs
 * lie, how large gaps are, which diameters meet, what must pass over what, what lies
 * under a band. Facts in, computed rows out, each naming the rows it rests on.
 * rules/vocabulary.yaml declares all these relations; assembly finds them by name and
 * needs the columns written there.
 *
 * Positions of a piece are counted from its datum; laid at `at`, a feature at p lies at
 * at + p, or at - p when the piece is turned (then faces look the other way and a run's
 * ends change places).
 */
struct assembly;

/* Binds the relations. STATUS_INVALID with vocabulary-wrong diagnostics when one is not
 * as needed. The store is kept, and so are names (which grow: run names such as
 * "undescribed"). */
MUST_USE status assembly_open(struct arena *arena, struct store *store,
                              struct names *names, struct diagnostics *diagnostics,
                              struct assembly **out);

/* Asked before each computed row: false ends laying with STATUS_STOPPED. */
void assembly_watch(struct assembly *assembly, bool (*go_on)(void *context),
                    void *context);

/* Lays one unit (the name in the first key column of its rows) and adds its computed
 * rows. A contact loop, a piece laid twice, a contact between faces that look the same
 * way without an offset: each a diagnostic and STATUS_INVALID. */
MUST_USE status assembly_lay(struct assembly *assembly, name_id unit,
                             struct diagnostics *diagnostics);

/* A piece chosen at assembly, where what it sets decides how thick it is: it brings its
 * gap to the middle of what is wanted, to half a step, or as near as its stock reaches.
 * Whatever else depends on it then depends on the parts of that gap. Positions that
 * assembly gives out have it put in. */
struct settling {
    name_id unit;
    name_id gap;
    name_id place;
    const struct deviation *of;   /* the dimension that is chosen */
    double by;                    /* how much of it the gap takes */
    const struct form *size;      /* the gap with what is chosen at its nominal, and what
                                     moves by itself in the middle of its range */
    const struct form *as;        /* what the choice comes to */
    double middle;                /* of what is wanted of the gap */
    const struct deviation *left; /* how far the gap then lies from the middle */
    const struct row *row;        /* the gap */
};
const struct settling *assembly_settlings(const struct assembly *assembly,
                                          uint32_t *count_out);

/* The gap whose setting moves a laid piece; NULL past the last. */
const struct row *assembly_settling_under(const struct assembly *assembly,
                                          const struct row *laid, uint32_t i);

/* Where a face or station of a laid piece lies in the unit, or NULL (not laid, no such
 * face). *rests_on may be NULL; else gets the laid row and the face row. */
const struct form *assembly_position(const struct assembly *assembly, name_id unit,
                                     name_id piece, name_id feature,
                                     const struct row **laid_out,
                                     const struct row **face_out);

/* covered(unit, piece, side, from, to), run_under(unit, piece, side, from, to): their
 * world is an assembly. Sorted by name. */
const struct function_table *assembly_functions(void);

#endif
