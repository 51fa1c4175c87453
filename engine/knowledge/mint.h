/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_MINT_H
#define WHYFIT_MINT_H

#include "assembly.h"
#include "knowledge.h"

/*
 * A question's own layer over the knowledge: the unit as it is (the host) and as it would
 * be (the swap), with one piece for each place. A place that the swap leaves alone keeps
 * its piece, and so its deviations, in both.
 *
 * Names: a piece is called like its place ("cover", "head.cover" within a unit that fills
 * `head`), and what the swap takes out is called "cover (before)"; the swapped unit has
 * the unit's name, the host is "NAME (before)".
 */
struct layer {
    const struct knowledge *knowledge;
    struct arena *arena;
    struct names *names;
    struct store *store;
    struct assembly *assembly;
    struct diagnostics *diagnostics;
    bool forgives_given; /* a given value that no piece takes is passed over */
    const struct deviation **offsets; /* of pressings made so far: found again by name */
    uint32_t offset_count;
    uint32_t offset_room;
};

enum change_kind {
    CHANGE_PART,    /* PLACE=part (or unit) */
    CHANGE_NONE,    /* PLACE=none */
    CHANGE_TURNED,  /* PLACE=turned */
    CHANGE_ANOTHER, /* PLACE=another */
};

struct change {
    name_id place;
    name_id also; /* A+B=part: the second place it fills, else NAME_NONE */
    enum change_kind kind;
    name_id with;
    span place_where;
    span where; /* of what fills it */
};

/* One place of a minted unit. */
struct minted_place {
    name_id place;
    name_id piece;
    name_id with;                /* the part or unit in it */
    const struct part *part;     /* NULL for a unit */
    const struct recipe *recipe; /* the unit that fills it */
    text clock; /* how far it is turned about its axis; empty: not at all */
    span clock_where;
    bool is_turned;
    bool is_flipped;    /* the question turned it round: its faces change parts */
    span flipped_where; /* where the question says so */
    bool is_changed;    /* not the host's piece, or turned round */
    bool is_brought;    /* assumed because another part comes with it */
    bool is_claimed;    /* … or because its maker says that it goes with that */
    const struct part
        *along;      /* the part in it of which all that comes with it is there */
    name_id bringer; /* the part that brought it */
};

/* A line that could not be used, and why. */
struct fallen_line {
    text line; /* as people would write it: "gap end-float" */
    text why;
    name_id place;
};

/* Two places of which a brought line has taken the fit elsewhere. */
struct replaced_fit {
    name_id left;
    name_id right;
};

struct minted_unit {
    name_id name;       /* the owner of its rows */
    name_id shown_name; /* the unit's own name */
    const struct recipe *recipe;
    const struct minted_place *places; /* sorted by place name */
    uint32_t place_count;
    const struct fallen_line *fallen;
    uint32_t fallen_count;
    const struct replaced_fit *replaced;
    uint32_t replaced_count;
    const text *taken; /* of values given by part: for which pieces each was taken */
    uint32_t taken_count;
    const text
        *notes; /* makers' claims that bear on the question, own pieces that stay */
    uint32_t note_count;
};

MUST_USE status layer_open(struct arena *arena, const struct knowledge *knowledge,
                           struct diagnostics *diagnostics, struct layer *out);

/* Mints host and swap, lays both. With no changes *swap is the host itself under its
 * plain name and host->name is the same. `given` values must all have been used, else it
 * is reported. */
MUST_USE status layer_mint(struct layer *layer, const struct recipe *recipe,
                           const struct change *changes, uint32_t change_count,
                           struct given_value *given, uint32_t given_count,
                           struct minted_unit *host, struct minted_unit *swap);

/* The place of a piece or the plain name of a unit: without " (before)". */
text layer_shown(const struct layer *layer, name_id name);

#endif
