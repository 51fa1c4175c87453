/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_TABLES_H
#define WHYFIT_TABLES_H

#include "general_tolerances.h"
#include "limits_and_fits.h"
#include "node.h"
#include "stated.h"

/*
 * The tables of standards that turn notation into limits: ISO 286 classes, general
 * tolerances, the uncertainty of gauges and the expansion of materials. They come from
 * documents headed `table:`.
 */
struct named_figure {
    text name;
    text title;
    double figure; /* coherent */
};

/* What a reading is taken with. Lengths are coherent; NAN where nobody stated them. */
struct gauge {
    text name;
    text title;
    double figure; /* expanded uncertainty, k = 2 */
    double least;  /* its range */
    double greatest;
    double resolution;
    text reach; /* what it gets at: "outside inside depth" */
};

struct tables {
    const struct limits_table *limits; /* NULL: no such table was loaded */
    struct limits_resolver resolver;
    const struct general_table *general;
    const struct gauge *gauges; /* sorted by name */
    uint32_t gauge_count;
    const struct named_figure *materials; /* linear expansion, 1/K; sorted by name */
    uint32_t material_count;
    const struct named_figure
        *ways; /* of getting a field: s at the bench; sorted by name */
    uint32_t way_count;
};

/* Reads a table document into `tables`. STATUS_NOT_FOUND when it is none of these tables.
 */
MUST_USE status table_read(struct arena *arena, const struct node *document,
                           struct diagnostics *diagnostics, struct tables *tables);

/* Takes the one function of C out, and puts it in again: see prepared.h. */
void tables_unbind(struct tables *tables);
void tables_bind(struct tables *tables);

/* gauges.c: the map of gauges, sorted by name; faults are reported. */
MUST_USE status gauges_read(struct arena *arena, const struct node *map,
                            struct diagnostics *diagnostics, struct tables *tables);

/* NULL when there is none. */
const struct gauge *tables_gauge(const struct tables *tables, text name);
/* What a way takes that a column is got-by or a feature seen-by, or `opening` of a unit.
 */
const struct named_figure *tables_way(const struct tables *tables, text name);
const struct named_figure *tables_material(const struct tables *tables, text name);
/* The least and the greatest expansion of all materials; false: none is known. */
bool tables_material_range(const struct tables *tables, double *least, double *greatest);

/* gauges.c: how a reading deviates by the gauge it was taken with; one that is not
 * recorded, or that does not read so far, is reported. */
MUST_USE status gauge_resolve(const struct tables *tables, const struct stated *stated,
                              text name, struct diagnostics *diagnostics,
                              struct deviation *out);

/* How a stated dimension deviates: fills low, high, kind, basis and nominal of *out. A
 * bare length or angle takes the general tolerance `general` (may be empty: then it is
 * unbounded), unless is_exact. Faults are reported. */
struct tolerance_rules {
    text general;
    bool is_exact;
    bool is_edge; /* an outside radius or chamfer, which has a table of its own */
};

MUST_USE status stated_resolve(const struct tables *tables, const struct stated *stated,
                               const struct tolerance_rules *rules,
                               struct diagnostics *diagnostics, struct deviation *out);

#endif
