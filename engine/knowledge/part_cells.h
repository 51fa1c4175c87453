/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_PART_CELLS_H
#define WHYFIT_PART_CELLS_H

#include "part.h"

/* One feature of the part: an entry of a list such as `runs`. */
struct listed {
    relation_id relation;
    name_id name;
    name_id list; /* the field it is listed in: "runs" */
    const struct node *map;
    span where;
};

/* A position that was worked out, or is being. */
struct position {
    const struct listed *of;
    name_id column;
    bool is_done;
    const struct form *form; /* NULL: nobody wrote it */
};

struct builder {
    const struct part_surroundings *around;
    const struct part *part;
    name_id owner;
    name_id place;
    bool in_unit;     /* what a unit lists, not a part … */
    text unit_prefix; /* … and what its entries are called after: "head." in a unit that
                         fills `head`, else empty */
    struct given_value *given;
    uint32_t given_count;
    struct store *store;
    const struct listed *listed;
    uint32_t listed_count;
    struct position *positions;
    uint32_t position_count;
    uint32_t position_room;
    uint32_t depth;
    const struct form
        *play; /* how far the inner body lies from the outer; NULL: not yet */
    status result;
};

/* Collects the features of the part. */
MUST_USE status cells_open(struct builder *builder);

/* The value of a column for a feature (NULL: for the part itself), as given, written,
 * defaulted or missing. Faults are reported and turn builder->result; the value is then a
 * missing one. */
struct value cell_value(struct builder *builder, relation_id relation, uint32_t column,
                        const struct listed *listed, const struct node *map);

/* part_build.c: the rows of all features that were collected; of a definition what no
 * column is called is refused. Faults turn builder->result. */
void lists_build(struct builder *builder, bool is_definition);

/* Whether it lies below nothing whatever it comes to: by its limits, or, where nobody
 * gave any, as it is written. */
bool surely_negative(const struct form *form);

#endif
