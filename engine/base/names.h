/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_NAMES_H
#define WHYFIT_NAMES_H

#include "text.h"

/*
 * Interned texts: equal texts have equal ids. Ids are dense, start at 1 and mean nothing
 * else; order is never taken from them. A question opens names over the frozen ones of
 * the knowledge: it reads those and adds its own, whose ids go on where the parent's end.
 */
typedef uint32_t name_id;
#define NAME_NONE ((name_id)0)

struct names;

/* parent may be NULL; it is kept and must not grow while this one lives. NULL: no memory.
 */
MUST_USE struct names *names_open(struct arena *arena, const struct names *parent);
/* The id of `word`, interned when new; NAME_NONE when the arena has failed. */
name_id names_add(struct names *names, text word);
/* The id of `word`, or NAME_NONE. */
name_id names_find(const struct names *names, text word);
/* The text of an id, NUL-terminated; "" for NAME_NONE. Borrowed from the names. */
text names_text(const struct names *names, name_id id);
/* The highest id given so far. */
name_id names_last(const struct names *names);
/* text_compare of two ids' texts. */
int names_compare(const struct names *names, name_id a, name_id b);

#endif
