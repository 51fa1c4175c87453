/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_MEASURE_PRIVATE_H
#define WHYFIT_MEASURE_PRIVATE_H

#include "array.h"
#include "measure.h"

struct measuring {
    struct arena *arena;
    const struct knowledge *knowledge;
    const struct question *question;
    const struct swap_limits *limits;
    struct diagnostics *diagnostics;
    struct answer *answer;
    uint64_t asked;
    status result;
};

/* The column that a dimension's name stands for. */
struct measured_field {
    const struct row *row;
    const struct relation_shape *shape;
    const struct column *column;
    const struct column_manner *manner;
    text piece;
    text feature; /* empty: a field of the part itself */
    bool can_be_given;
};

/* measure_field.c: false when no row has such a field (it is counted, set or moves). */
bool measured_field_of(const struct measuring *measuring, text dimension,
                       struct measured_field *out);
/* The part that a piece is an example of; NULL: it is none. */
const struct part *part_of_piece(const struct measuring *measuring, text piece);

/* measure_gauge.c: the coarsest gauge of these words that is fine enough, of those at
 * hand whose range has this dimension; else the finest; NULL: none. */
const struct gauge *gauge_for(const struct measuring *measuring, text words,
                              const struct deviation *of, double enough);

/* measure_decide.c: what becomes of a finding as a dimension is read otherwise. */
MUST_USE status readings_decide(struct measuring *measuring,
                                const struct measured_field *field,
                                const struct deviation *of, struct reading_use *use);

#endif
