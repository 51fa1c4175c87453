/* SPDX-License-Identifier: MIT */
/*
 * Look-up by class and size. A class is a list of steps, each over one end and up to the
 * other: a size on an end belongs to the step below it.
 */
#include "general_tolerances.h"

#include <math.h>

static const double degree = 3.14159265358979323846 / 180.0;

static const struct general_class *find_class(const struct general_table *table,
                                              text name)
{
    for (uint32_t i = 0; i < table->count; i++) {
        if (text_equal(table->classes[i].name, name)) {
            return &table->classes[i];
        }
    }
    return NULL;
}

/* STATUS_NOT_FOUND past the ends. */
static status find_step(const struct general_step *steps, uint32_t count, double size_mm,
                        double *plus_minus)
{
    for (uint32_t i = 0; i < count; i++) {
        if (size_mm > steps[i].over && size_mm <= steps[i].to) {
            *plus_minus = steps[i].plus_minus * 1e6;
            return STATUS_OK;
        }
    }
    return STATUS_NOT_FOUND;
}

status general_tolerance_of(const struct general_table *table, text name, double size_nm,
                            enum general_measure measure, double *plus_minus,
                            const char **why)
{
    const struct general_class *found = table == NULL ? NULL : find_class(table, name);
    const double size_mm = fabs(size_nm) / 1e6;
    *why = "no table of general tolerances has this class";
    if (found == NULL) {
        return STATUS_NOT_FOUND;
    }
    if (measure == GENERAL_ANGLE) {
        *why = "this general tolerance says nothing of angles";
        if (found->angle_count == 0) {
            return STATUS_NOT_FOUND;
        }
        *plus_minus = found->angles[0].plus_minus * degree;
        return STATUS_OK;
    }
    *why = "the general tolerance has no step for this size";
    return measure == GENERAL_EDGE
               ? find_step(found->edges, found->edge_count, size_mm, plus_minus)
               : find_step(found->lengths, found->length_count, size_mm, plus_minus);
}
