/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_TYPED_ENTRY_H
#define WHYFIT_TYPED_ENTRY_H

#include "knowledge.h"

/*
 * What the lists of a part or unit say it is for, by a name and a number that people call
 * such things by (`typed-as` in the vocabulary): "Kestrel 120, 2004 to 2012".
 */
struct typed_entry {
    text name;
    double from; /* of the number; an end that is not stated is infinite */
    double to;
};

/* Walks over the entries; `document` is that of a part, or (in_unit) of a unit. */
struct typed_walk {
    const struct knowledge *knowledge;
    const struct node *document;
    bool in_unit;
    uint32_t list; /* 0 at first */
    uint32_t at;   /* 0 at first */
};

/* The next entry, as written in the files; false: there is none. */
bool typed_walk_next(struct typed_walk *walk, struct typed_entry *out);

#endif
