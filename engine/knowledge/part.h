/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_PART_H
#define WHYFIT_PART_H

#include "node.h"
#include "recipe.h"
#include "tables.h"
#include "vocabulary.h"

/*
 * A part as the facts state it. Its rows are built from its document whenever they are
 * needed: once under the part's own name when the knowledge is loaded, and again for each
 * piece a question mints, so that every piece has deviations of its own.
 */
/* A reading that cannot belong to the piece's number as it is drawn. */
struct odd_reading {
    text what; /* "seal-land.diameter reads 39.2 mm, and may be 44.84..45 mm" */
    span where;
};

struct part {
    name_id name;
    text title;
    const struct kind *kind;
    text source;
    const struct node *document;
    text general_tolerance; /* "ISO 2768-m", or empty */
    text material;          /* of table `expansion`, or empty */
    name_id datum;
    text number; /* the maker's, which other parts may share; or empty */
    const struct node *other_numbers; /* older, later or other sellers': a list of words,
                                         or NULL */
    text hand;                        /* "left", "right", or empty */
    name_id superseded_by;            /* the maker's claim, one way; NAME_NONE: none */
    span superseded_where;
    const struct filling *goes_with; /* what the maker fits along with that */
    uint32_t goes_with_count;
    name_id mirrors;        /* the part it is the other hand of */
    const struct node *own; /* what is written of a mirrored part itself */
    const struct filling *comes_with;
    uint32_t comes_with_count;
    const struct lines
        *brings;  /* NULL when it brings nothing; place "this" not yet replaced */
    name_id like; /* the number of somebody's own piece; NAME_NONE for a number */
    const struct odd_reading *odd;
    uint32_t odd_count;
    struct outlay outlay; /* what it costs, and how long it takes to put in */
    bool is_of_family;    /* one size out of a catalogue */
    span where;
};

/* Reads the part's frame: name, kind, what it brings. Its fields are checked by
 * part_build. */
MUST_USE status part_read(struct arena *arena, struct names *names,
                          const struct vocabulary *vocabulary,
                          const struct node *document, struct diagnostics *diagnostics,
                          struct part *out);

/* Whether the number is the part's, or one of its other ones. */
bool part_bears(const struct part *part, text number);

/* A value that replaces what the part's document says: for one piece, or for all of a
 * part (given.h). */
struct given_value {
    name_id place;   /* or a part */
    name_id feature; /* NAME_NONE for a field of the part itself */
    name_id field;
    text value;
    span name_where;
    span where; /* of the value */
    bool is_by_part;
    bool is_used; /* set when a piece took it, or would have but for its place's own */
};

struct part_surroundings {
    struct arena *arena;
    struct names *names;
    const struct vocabulary *vocabulary;
    const struct tables *tables;
    struct diagnostics *diagnostics;
    bool decimal_comma; /* in given values */
    bool
        is_set; /* positions with limits are chosen at assembly: a piece out of a stock */
    /* How far the unit's service temperature lies from 20 °C, one for all of its pieces;
     * NULL: nobody says that it gets warm. */
    const struct deviation *temperature;
};

/* Adds the rows of `part` for the owner `piece` (a piece, or the part itself): piece,
 * kind and listed rows. `given` values whose place is `place` replace what the document
 * says. Every fault is reported; STATUS_INVALID then. */
MUST_USE status part_build(const struct part_surroundings *surroundings,
                           const struct part *part, name_id piece, name_id place,
                           struct given_value *given, uint32_t given_count,
                           struct store *store);

/* What a line of a unit may name of the part in a place. */
enum feature_class {
    FEATURE_PLANE,   /* a face or station */
    FEATURE_SURFACE, /* a run or band */
    FEATURE_PORT
};

/* The fields of a part's document that list features of a class; NULL-terminated. */
const char *const *feature_lists(enum feature_class wanted);
/* Whether a part has a feature of this class and name. */
bool part_has(const struct part *part, enum feature_class wanted, text feature);

#endif
