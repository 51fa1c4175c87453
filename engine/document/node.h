/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_NODE_H
#define WHYFIT_NODE_H

#include "diagnostic.h"

/*
 * A document as a tree: words, lists and maps, each with the span it came from. The tree
 * holds texts only: the vocabulary gives types. Everything lies in the arena it was read
 * into.
 */
enum node_kind {
    NODE_WORD,
    NODE_LIST,
    NODE_MAP
};

struct node;

struct node_field {
    text key;
    span key_where;
    const struct node *value;
};

struct node {
    enum node_kind kind;
    bool is_plain; /* a word written without quotes */
    span where; /* of a word: all of it, where it is not plain one byte before its text */
    text word;  /* NODE_WORD, NUL-terminated; of a map or list the empty text */
    const struct node *const *items; /* NODE_LIST */
    const struct node_field *fields; /* NODE_MAP, in the order written */
    uint32_t count;                  /* items or fields */
};

/* The value of a key, or NULL. */
const struct node *node_field_of(const struct node *map, const char *key);
/* The field with its key's span, or NULL. */
const struct node_field *node_find(const struct node *map, text key);
/* `length` bytes of a word's text from byte `from` on, where they are written. */
span node_text_span(const struct node *word, size_t from, size_t length);
const char *node_kind_word(enum node_kind kind); /* "a word", "a list", "a map" */

/* Reads one YAML document from source `source`. All faults are reported; STATUS_INVALID
 * when there was any. Refuses: invalid UTF-8 and control characters, anchors, aliases,
 * tags, merge keys, doubled keys, keys that are not words, missing values, more or fewer
 * than one document, and whatever goes past limits.h; each with a diagnostic of its own.
 * In a flow map a decimal comma
 * (`{at: 0,5 mm}`) would silently split: a key-less item that looks like the rest of a
 * number is reported as decimal-comma and shows the point form. */
MUST_USE status yaml_read(struct arena *arena, struct sources *sources, uint32_t source,
                          struct diagnostics *diagnostics, const struct node **out);

/* Helpers for readers of trees; each reports a shape-wrong diagnostic that says what was
 * expected, and gives false. `what` names the thing in the message ("a rule", "field
 * `given`"). */
bool node_expect(const struct node *node, enum node_kind kind, const char *what,
                 struct diagnostics *diagnostics);
/* Reports every field of `map` whose key is not in the NULL-terminated list, with the
 * nearest. */
void node_refuse_others(const struct node *map, const char *const *known,
                        const char *what, struct diagnostics *diagnostics);
/* A word that must be there under `key`; reports field-missing or shape-wrong. */
bool node_word(const struct node *map, const char *key, const char *what,
               struct diagnostics *diagnostics, const struct node **out);
bool node_flag(const struct node *word, struct diagnostics *diagnostics, bool *out);
bool node_count(const struct node *word, struct diagnostics *diagnostics, int64_t *out);

#endif
