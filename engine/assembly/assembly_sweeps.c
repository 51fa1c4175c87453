/* SPDX-License-Identifier: MIT */
/*
 * What a seal's band sweeps over on the way to its place: each run of the other piece
 * that reaches beyond the band on the side it came from. That side is told by a contact
 * between the two, else it is the one that stands less in the way.
 */
#include "assembly_fits.h"

#include <math.h>

/* Whether some of a run of the other piece lies beyond the band on this side. */
static bool is_swept(const struct assembly *assembly, const struct fit_sides *sides,
                     const struct row *run, int from_side)
{
    const struct stretch band =
        stretch_in_unit(assembly, sides->left_laid, sides->left_feature);
    const struct stretch other = stretch_in_unit(assembly, sides->right_laid, run);
    if (run == sides->right_run || is_in_bore(assembly, run) != !sides->left_is_bore ||
        axis_of(assembly, run) != sides->right_laid->key[2] || band.from == NULL ||
        other.from == NULL) {
        return false;
    }
    return from_side > 0 ? middle_of(other.to) > middle_of(band.to)
                         : middle_of(other.from) < middle_of(band.from);
}

/* What a run stands in the way with: the surface that it dips into, or its own. */
static const struct row *surface_of(const struct assembly *assembly,
                                    const struct row *run)
{
    const name_id host = column_word(assembly, run, "on");
    const struct row *whole =
        host == NAME_NONE ? NULL : run_of(assembly, run->key[0], host);
    return whole == NULL ? run : whole;
}

/* How far the runs on one side stand in the way; the side with less is the way in. */
static double way_blocked(const struct assembly *assembly, const struct fit_sides *sides,
                          int from_side)
{
    const name_id key[2] = {sides->right, NAME_NONE};
    double most = -INFINITY;
    struct scan scan;
    if (!scan_open(&scan, assembly->store, assembly->run, 1, key)) {
        return most;
    }
    for (const struct row *run = scan_next(&scan); run != NULL; run = scan_next(&scan)) {
        const struct form *crest = clear_diameter(assembly, run, !sides->left_is_bore);
        if (crest != NULL && !is_dip(assembly, run) &&
            is_swept(assembly, sides, run, from_side)) {
            const double at = middle_of(crest);
            most = fmax(most, sides->left_is_bore ? at : -at);
        }
    }
    return most;
}

static int band_came_from(const struct assembly *assembly, const struct fit_sides *sides)
{
    const int told = side_by_contact(assembly, sides);
    if (told != 0) {
        return told;
    }
    return way_blocked(assembly, sides, 1) <= way_blocked(assembly, sides, -1) ? 1 : -1;
}

static status add_sweep(struct assembly *assembly, const struct fit_sides *sides,
                        const struct row *over)
{
    const struct row *surface = surface_of(assembly, over);
    const struct form *crest = clear_diameter(assembly, surface, !sides->left_is_bore);
    struct computed made;
    if (crest == NULL) {
        return arena_status(assembly->arena);
    }
    computed_open(&made, assembly, assembly->sweep, "sweep");
    made.key[0] = sides->unit;
    made.key[1] = sides->left;
    made.key[2] = sides->left_feature->key[1];
    made.key[3] = sides->right;
    made.key[4] = over->key[1];
    computed_value(&made, "crest", value_quantity(crest));
    computed_word(&made, "over-kind", kind_word(assembly, over));
    computed_word(&made, "side", sides->left_is_bore ? "outside" : "bore");
    computed_rest(&made, sides->asked);
    computed_rest(&made, sides->left_laid);
    computed_rest(&made, sides->left_feature);
    computed_rest(&made, sides->right_laid);
    computed_rest(&made, over);
    if (surface != over) {
        computed_rest(&made, surface);
    }
    return computed_add(&made);
}

status add_sweeps(struct assembly *assembly, const struct fit_sides *sides)
{
    const name_id key[2] = {sides->right, NAME_NONE};
    const int from_side = band_came_from(assembly, sides);
    struct scan scan;
    if (!scan_open(&scan, assembly->store, assembly->run, 1, key)) {
        return arena_status(assembly->arena);
    }
    for (const struct row *run = scan_next(&scan); run != NULL; run = scan_next(&scan)) {
        if (is_swept(assembly, sides, run, from_side)) {
            TRY(add_sweep(assembly, sides, run));
        }
    }
    return STATUS_OK;
}
