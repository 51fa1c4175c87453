/* SPDX-License-Identifier: MIT */
/* Where runs, faces, stations and ports lie in the unit, for rules that measure between
 * pieces. */
#include "assembly_private.h"

static status add_lies(struct assembly *assembly, name_id unit, const struct row *laid,
                       const struct row *run)
{
    const struct stretch stretch = stretch_in_unit(assembly, laid, run);
    struct computed made;
    if (stretch.from == NULL || stretch.to == NULL) {
        return arena_status(assembly->arena);
    }
    computed_open(&made, assembly, assembly->lies, "lies");
    made.key[0] = unit;
    made.key[1] = run->key[0];
    made.key[2] = run->key[1];
    computed_value(&made, "from", value_quantity(stretch.from));
    computed_value(&made, "to", value_quantity(stretch.to));
    computed_rest(&made, laid);
    computed_rest(&made, run);
    rest_on_settlings(&made, laid);
    return computed_add(&made);
}

static status add_located(struct assembly *assembly, name_id unit, const struct row *laid,
                          const struct row *plane)
{
    struct computed made;
    const struct form *at = column_form(assembly, plane, "at");
    if (at == NULL) {
        return arena_status(assembly->arena);
    }
    computed_open(&made, assembly, assembly->located, "located");
    made.key[0] = unit;
    made.key[1] = plane->key[0];
    made.key[2] = plane->key[1];
    computed_value(&made, "at", value_quantity(position_in_unit(assembly, laid, at)));
    computed_rest(&made, laid);
    computed_rest(&made, plane);
    rest_on_settlings(&made, laid);
    return computed_add(&made);
}

static status locate_planes(struct assembly *assembly, name_id unit,
                            const struct row *laid, relation_id relation)
{
    const name_id key[2] = {laid->key[1], NAME_NONE};
    struct scan scan;
    if (!scan_open(&scan, assembly->store, relation, 1, key)) {
        return arena_status(assembly->arena);
    }
    for (const struct row *plane = scan_next(&scan); plane != NULL;
         plane = scan_next(&scan)) {
        if (axis_of(assembly, plane) == laid->key[2]) {
            TRY(add_located(assembly, unit, laid, plane));
        }
    }
    return STATUS_OK;
}

status assembly_lies(struct assembly *assembly, name_id unit)
{
    const name_id key[3] = {unit, NAME_NONE, NAME_NONE};
    struct scan pieces;
    if (!scan_open(&pieces, assembly->store, assembly->laid, 1, key)) {
        return arena_status(assembly->arena);
    }
    for (const struct row *laid = scan_next(&pieces); laid != NULL;
         laid = scan_next(&pieces)) {
        const name_id piece[2] = {laid->key[1], NAME_NONE};
        struct scan runs;
        if (!scan_open(&runs, assembly->store, assembly->run, 1, piece)) {
            return arena_status(assembly->arena);
        }
        for (const struct row *run = scan_next(&runs); run != NULL;
             run = scan_next(&runs)) {
            if (axis_of(assembly, run) == laid->key[2]) {
                TRY(add_lies(assembly, unit, laid, run));
            }
        }
        TRY(locate_planes(assembly, unit, laid, assembly->face));
        TRY(locate_planes(assembly, unit, laid, assembly->station));
        TRY(locate_planes(assembly, unit, laid, assembly->port));
    }
    return STATUS_OK;
}
