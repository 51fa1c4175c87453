/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_TYPED_NAME_H
#define WHYFIT_TYPED_NAME_H

#include "knowledge.h"

/*
 * Names as people type them. A part or unit is meant by its own name, by its maker's
 * number, or by one of its other numbers (older, later, or other sellers'); case, blanks
 * and hyphens are forgiven. A name that is exactly one's own always means that one. What
 * is none of these may be a model or its first words, with or without a year: then all is
 * meant that lists say is for it (`typed-as` in the vocabulary); an end that a list does
 * not state excludes nothing. A size, at last, means the parts whose names end in it.
 */
struct typed_match {
    const struct part *part;     /* NULL: a unit */
    const struct recipe *recipe; /* NULL: a part */
};

enum typed_wanted {
    TYPED_PART = 1,
    TYPED_UNIT = 2,
    TYPED_ANY = 3
};

/* All that a typed name may mean, by name; none where it means nothing. */
MUST_USE status typed_find(struct arena *arena, const struct knowledge *knowledge,
                           text typed, enum typed_wanted wanted,
                           const struct typed_match **out, uint32_t *count);

/* The name with what is forgiven taken away. */
text typed_folded(struct arena *arena, text name);

/* The name of what matched. */
text typed_match_name(const struct knowledge *knowledge, const struct typed_match *match);

/* The name or number that a misspelt one is nearest to, as it is written; case, blanks
 * and hyphens are forgiven. Empty: none is near. */
text typed_nearest(struct arena *arena, const struct knowledge *knowledge, text typed,
                   enum typed_wanted wanted);

#endif
