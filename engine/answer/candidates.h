/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_CANDIDATES_H
#define WHYFIT_CANDIDATES_H

#include "knowledge.h"

/*
 * What a search tries in the places of a unit, as far as the loaded facts go: what units
 * and parts put in a place of that name, what supersedes what is there or is superseded
 * by it, and other parts and units of the same family of kinds, but for sizes out of a
 * catalogue that nothing puts there. At most LIMIT_CANDIDATES a place, in that order,
 * then by name.
 *
 * A place is quiet where whatever of them stands there leaves the lines of the unit as
 * they are: none brings lines or comes with another, each has all that lines name, and no
 * gap is set or floats by it. What fills a quiet place then bears only on what rests on
 * its piece.
 */
struct candidate_place {
    name_id place;
    name_id host;      /* the part or unit that the host has there; NAME_NONE: nothing */
    const text *words; /* what else may be asked for: names, `none`, and the host's own
                          where another could be brought there */
    uint32_t count;
    uint32_t left_out; /* past the bound */
    bool is_quiet;
};

struct candidates {
    const struct candidate_place *places; /* by name */
    uint32_t count;
};

/* A place and a word that the search is about, whatever else is found for the place. */
struct wanted_fill {
    name_id place;
    text word;
};

/* `toward` may be NULL: its parts come first. `wanted` come before all others; a place
 * that the unit lacks is added. */
MUST_USE status candidates_find(struct arena *arena, const struct knowledge *knowledge,
                                const struct recipe *host, const struct recipe *toward,
                                const struct wanted_fill *wanted, uint32_t wanted_count,
                                struct candidates *out);

/* The part or unit in a place as a recipe has it; NAME_NONE: none, or no such place. */
name_id recipe_with(const struct knowledge *knowledge, const struct recipe *recipe,
                    name_id place);

#endif
