/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_NODE_MERGE_H
#define WHYFIT_NODE_MERGE_H

#include "node.h"

/* Trees made of other trees, whose nodes they share. NULL: no memory. */

/* `base` with the fields of `over` in place of its own; maps are merged field by field,
 * all else is replaced. Both are maps. */
const struct node *node_merge(struct arena *arena, const struct node *base,
                              const struct node *over);
/* The map with this field set, or without it (value NULL). */
const struct node *node_with(struct arena *arena, const struct node *map, const char *key,
                             const struct node *value);
const struct node *node_of_word(struct arena *arena, text word, span where);

#endif
