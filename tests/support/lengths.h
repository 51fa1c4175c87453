/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_TEST_LENGTHS_H
#define WHYFIT_TEST_LENGTHS_H

#include "form.h"
#include "room.h"

#include <math.h>

/* Lengths with a deviation of their own, for tests of forms. */
static const double mm = 1e6;

static inline const struct deviation *dimension(struct room *room, const char *name,
                                                double nominal, double low, double high)
{
    struct deviation *made = ARENA_NEW(room->arena, struct deviation);
    *made = (struct deviation){.name = text_of(name),
                               .nominal = nominal,
                               .low = low,
                               .high = high,
                               .dim = DIMENSION_LENGTH};
    return made;
}

static inline const struct form *length(struct room *room, const char *name,
                                        double nominal_mm, double low_mm, double high_mm)
{
    return form_of(room->arena,
                   dimension(room, name, nominal_mm * mm, low_mm * mm, high_mm * mm));
}

static inline const struct form *missing(struct room *room, const char *name)
{
    struct deviation *made = ARENA_NEW(room->arena, struct deviation);
    *made = (struct deviation){.name = text_of(name),
                               .nominal = NAN,
                               .low = -INFINITY,
                               .high = INFINITY,
                               .basis = BASIS_MISSING,
                               .dim = DIMENSION_LENGTH};
    return form_of(room->arena, made);
}

#endif
