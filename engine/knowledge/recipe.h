/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_RECIPE_H
#define WHYFIT_RECIPE_H

#include "form.h"
#include "names.h"
#include "node.h"
#include "outlay.h"
#include "vocabulary.h"

/*
 * How parts make a unit: places, and the lines that say what is laid on what, which gaps
 * are asked about and which runs go together. A part that brings lines along holds the
 * same structure.
 */
struct feature_ref {
    name_id place;
    name_id feature; /* NAME_NONE: the whole piece */
    span where;
};

struct stop_line {
    struct feature_ref face;
    bool has_offset;
    text offset; /* the notation of a dimension, read when minted */
    span offset_where;
    text stroke; /* "set … within A..B": how far it may be put; as the offset where no
                    `within` says more; empty: it is not set but lies there */
    span stroke_where;
};

struct contact_line {
    struct feature_ref moved;
    const struct stop_line *stops;
    uint32_t stop_count;
    bool is_brought; /* by a part, in place of the recipe's */
    span where;
};

struct set_by {
    name_id place;
    name_id stock; /* the part it is chosen from; `stroke`: where the piece is put */
    span place_where;
    span where; /* of the stock */
};

struct gap_line {
    name_id name;
    struct feature_ref from;
    struct feature_ref to;
    text want; /* notation of a range, or PLACE.FIELD; empty: nothing is wanted of it */
    span want_where;
    const struct set_by *set;
    uint32_t set_count;
    name_id floats; /* the place of the piece that lies free in it, or NAME_NONE */
    span where;
};

struct fit_line {
    struct feature_ref left;
    bool is_in; /* "in"; else "on" */
    struct feature_ref right;
    bool is_brought; /* by a part, in place of the recipe's */
    span where;
};

/* A room of the unit, and what it holds at first. */
struct space_line {
    name_id name;
    name_id holds; /* a place whose part fills it, `weather`, `grease`, or NAME_NONE */
    span holds_where;
    name_id wants; /* a choice of the column `wants`, or NAME_NONE */
    span wants_where;
    bool has_vent;
    struct feature_ref vent; /* the port through which it breathes */
    bool has_drain;
    struct feature_ref drain; /* the port through which what gets there gets back */
    span where;
};

/* A way between two spaces. Through a lip, `from` is the space inboard of it. */
struct path_line {
    name_id name;
    name_id from;
    name_id to;
    span from_where;
    span to_where;
    struct feature_ref through; /* a whole piece, or its band or run … */
    struct feature_ref against; /* … and what that lies on; place NAME_NONE: a piece */
    bool is_in;                 /* "in"; else "on" */
    span where;
};

/* Two gears that mesh. */
struct mesh_line {
    name_id place;
    name_id other;
    span place_where;
    span other_where;
    span where;
};

/* Which way a place is pushed. */
struct push_line {
    name_id place;
    name_id way; /* in, out; both is two lines */
    span where;
};

struct lines {
    const struct contact_line *contacts;
    uint32_t contact_count;
    const struct gap_line *gaps;
    uint32_t gap_count;
    const struct fit_line *fits;
    uint32_t fit_count;
    const struct space_line *spaces;
    uint32_t space_count;
    const struct path_line *paths;
    uint32_t path_count;
    const struct mesh_line *meshes;
    uint32_t mesh_count;
    const struct push_line *pushes;
    uint32_t push_count;
};

/* What fills a place. */
struct filling {
    name_id place;
    name_id with; /* a part or a unit */
    bool is_turned;
    text clock; /* how far it is turned about its axis; empty: not at all */
    span clock_where;
    span place_where;
    span where; /* of what fills it */
};

struct offer_line {
    name_id name;
    struct feature_ref face;
};

struct recipe {
    name_id name;
    const struct node *document; /* with the lists that the vocabulary has for units */
    text title;
    text source;
    name_id kind; /* what it is when it fills a place; NAME_NONE when not said */
    span kind_where;
    bool ran;     /* a machine like this ran */
    text service; /* temperatures it runs at, "20..90 degC"; empty: not said */
    span service_where;
    const struct filling *places;
    uint32_t place_count;
    struct lines lines;
    const struct offer_line *offers;
    uint32_t offer_count;
    struct outlay outlay; /* what it costs whole, and how long it takes to open */
    span where;
};

/* Reads the map of a unit; names of parts are checked by the caller. */
MUST_USE status recipe_read(struct arena *arena, struct names *names,
                            const struct vocabulary *vocabulary,
                            const struct node *document, struct diagnostics *diagnostics,
                            struct recipe *out);

/* Reads a map {contacts, gaps, fits, spaces, paths, meshes}; fields that stand beside
 * them are left to the caller. */
MUST_USE status lines_read(struct arena *arena, struct names *names,
                           const struct node *map, struct diagnostics *diagnostics,
                           struct lines *out);

/* What fills a place as the unit is written; NULL: it has no such place. */
const struct filling *recipe_place(const struct recipe *recipe, name_id place);
/* Whether the unit offers a face of this name to a larger one. */
bool recipe_offers(const struct recipe *recipe, name_id name);
/* Whether what is wanted of a gap is a field of what fills a place, "PLACE.FIELD". */
bool want_is_field(text want, text *place, text *field);

/* Reads {place: part | {part: …, turned: true, clock: 15 deg}}. */
MUST_USE status fillings_read(struct arena *arena, struct names *names,
                              const struct node *map, struct diagnostics *diagnostics,
                              const struct filling **out, uint32_t *count_out);

#endif
