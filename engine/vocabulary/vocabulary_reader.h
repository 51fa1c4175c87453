/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_VOCABULARY_READER_H
#define WHYFIT_VOCABULARY_READER_H

#include "array.h"
#include "vocabulary.h"

/* A relation or kind while it is read. */
struct draft {
    struct relation_shape shape;
    struct column_manner *manners;
    struct relation_look look;
    name_id listed_as; /* NAME_NONE: not listed */
    bool in_unit;
    bool is_kind;
    name_id parent;
    span parent_where;
    const name_id *asks;
    uint32_t ask_count;
    const name_id *dangers;
    uint32_t danger_count;
    const struct drawn *drawn;
    const struct node *usual; /* NULL: nothing is */
};

struct vocabulary_reader {
    struct arena *arena;
    struct names *names;
    struct diagnostics *diagnostics;
    ARRAY_OF(struct draft) drafts;
    bool is_wrong;
};

/* What reading shares; each of these reports what is wrong and marks the reader. */
struct diagnostic *vocabulary_report(struct vocabulary_reader *reader,
                                     enum diagnostic_code code, span where,
                                     const char *message);
bool vocabulary_expect(struct vocabulary_reader *reader, const struct node *node,
                       enum node_kind kind, const char *what);
void vocabulary_refuse_others(struct vocabulary_reader *reader, const struct node *map,
                              const char *const *known, const char *what);
/* A word that is none of a NULL-terminated list, with what it may be and the nearest. */
void vocabulary_refuse_word(struct vocabulary_reader *reader, const struct node *word,
                            const char *const *allowed, const char *message);
/* The word under `key`, or the empty text. */
text vocabulary_word(struct vocabulary_reader *reader, const struct node *map,
                     const char *key);
/* The flag under `key`, or false. */
bool vocabulary_flag(struct vocabulary_reader *reader, const struct node *map,
                     const char *key);
/* Which of a NULL-terminated list is written under `key`; the first when nothing is, and
 * (reported) when it is anything else. */
uint32_t vocabulary_choice(struct vocabulary_reader *reader, const struct node *map,
                           const char *key, const char *const *allowed);

/* vocabulary_drawn.c: how a kind is drawn, or NULL where it does not say. */
const struct drawn *vocabulary_drawn(struct vocabulary_reader *reader,
                                     const struct node *kind);
/* Reports what is drawn by fields that the kind does not have. */
void vocabulary_drawn_check(struct vocabulary_reader *reader,
                            const struct vocabulary *made);

/* vocabulary_looks.c: how it is looked at; after its columns. */
void vocabulary_look(struct vocabulary_reader *reader, const struct node *map,
                     struct draft *draft);

/* vocabulary_usual.c: what names relations, once all are known: `reads` of columns, and
 * `usual` of kinds, which stand as their drafts do. */
void vocabulary_usual(struct vocabulary_reader *reader, const struct vocabulary *made,
                      struct kind *kinds);

/* vocabulary_columns.c: the columns of a draft, out of a map of keys (NULL: only `piece`)
 * and a map of values (NULL: none). */
void vocabulary_columns(struct vocabulary_reader *reader, const struct node *keys,
                        const struct node *values, struct draft *draft);

#endif
