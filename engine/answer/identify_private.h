/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_IDENTIFY_PRIVATE_H
#define WHYFIT_IDENTIFY_PRIVATE_H

#include "array.h"
#include "identify.h"

/* What a candidate answers to a look, as an interval on a line: a quantity in its
 * coherent unit, a count, a word by its number, yes as 1. */
enum known {
    KNOWN_VALUE,
    KNOWN_LACKING, /* it surely has no such feature */
    KNOWN_NOT
};
struct spread {
    enum known known;
    double least;
    double greatest;
    double reading; /* if the piece is as drawn; NAN: nobody says */
};

/* What one candidate records of a field. */
struct field_cell {
    uint32_t candidate;
    enum known known; /* KNOWN_VALUE or KNOWN_NOT */
    name_id word;     /* of a word, kind or part */
    int64_t count;
    const struct form *form; /* of a quantity */
    const struct row *row;   /* that has it; NULL: a place */
    name_id datum;           /* of a position: what it is counted from */
    bool needs_opening;
};

/* Something that can be looked at on some candidate. */
struct field {
    text name;
    enum look_kind kind;
    relation_id relation;        /* of a feature or its column, as first met */
    const struct column *column; /* NULL: presence, kind and part */
    bool is_position;
    uint32_t parent; /* 1 + the field of the presence of what it is of; 0: none */
    text prefix;     /* "head.shaft." in a unit; empty */
    text feature;    /* empty: a field of the part itself, or a place */
    text got_by;
    ARRAY_OF(struct field_cell) cells; /* by candidate */
    ARRAY_OF(relation_id) lists;       /* of a feature: where some candidate has it */
    bool has_datums;  /* candidates count the position from different faces */
    bool cannot_tell; /* the looker said so */
    bool is_seen;
};

/* A list that a candidate says is not complete. */
struct partial_list {
    uint32_t candidate;
    text prefix;
    name_id relation; /* its name */
};

/* A candidate with what it was found by. */
struct found {
    const struct part *part;     /* NULL: a unit */
    const struct recipe *recipe; /* NULL: a part */
    struct candidate shown;
};

/* A thing that was seen, as it is held against the records. */
struct seen_item {
    uint32_t field;
    uint32_t anchor; /* 1 + the field of the face that a position is counted from; 0: as
                        it is recorded */
    struct spread spread;
    name_id word; /* of a kind */
    text taken;   /* "40 ±0.03 mm" */
};

struct identifying {
    struct arena *arena;
    const struct knowledge *knowledge;
    const struct question *question;
    struct diagnostics *diagnostics;
    struct store *store;          /* over the base, which is frozen */
    struct names *names;          /* over the knowledge's: words that were seen */
    ARRAY_OF(struct found) found; /* by name */
    ARRAY_OF(struct field) fields;
    ARRAY_OF(struct partial_list) partials;
    struct names *paths;   /* names of fields, with ids of their own */
    uint32_t *presence_of; /* by id: 1 + field */
    uint32_t *value_of;
    uint32_t path_room;
    uint8_t *roles; /* per relation: see identify_fields.c */
    ARRAY_OF(struct seen_item) seen;
    struct identification *made;
};

/* identify_candidates.c: fills `found` from question->of; else reported. */
MUST_USE status identify_candidates(struct identifying *identifying);
/* Whether one kind is, or may turn out to be, the other. */
bool kinds_meet(const struct vocabulary *vocabulary, name_id a, name_id b);

/* identify_candidates.c: adds what a typed name means. false: no memory. */
struct typed_match;
bool identify_typed(struct identifying *identifying, const struct typed_match *matches,
                    uint32_t count);

/* identify_fields.c: fills `fields` from what the candidates record. */
MUST_USE status fields_gather(struct identifying *identifying);
/* 1 + the field of this name; 0: there is none. */
uint32_t field_of_presence(const struct identifying *identifying, text name);
uint32_t field_of_value(const struct identifying *identifying, text name);
/* What every candidate answers to a field, counted from `anchor` (as in seen_item). NULL:
 * no memory. */
struct spread *field_spreads(const struct identifying *identifying, uint32_t field,
                             uint32_t anchor);
/* The cell of a candidate; NULL: it has none. */
const struct field_cell *field_cell_of(const struct field *field, uint32_t candidate);
/* "30 ±0.1 mm" of a cell counted from `anchor`. */
text cell_text(const struct identifying *identifying, uint32_t field, uint32_t anchor,
               const struct field_cell *cell);
/* "kind plain, from 18 mm": what its row has that can be seen or measured. */
text feature_text(const struct identifying *identifying, const struct field *field);
/* 1 + the field of the face's position beside this one; 0: none. */
uint32_t field_of_anchor(const struct identifying *identifying, const struct field *field,
                         text face);

/* identify_seen.c: fills `seen` and the echo; faults are reported. */
MUST_USE status seen_read(struct identifying *identifying);

/* identify_hints.c: sets `hinted` and `hints` of all candidates from the pairs that are
 * hints. Whether a name is one: */
bool is_hint(const struct identifying *identifying, text name);
MUST_USE status hints_apply(struct identifying *identifying,
                            const struct worded_pair *const *pairs, uint32_t count);

/* Whether what a candidate is, surely is not what was seen. */
bool spreads_apart(const struct identifying *identifying, const struct field *field,
                   const struct spread *is, const struct spread *seen);

/* identify_split.c: what each candidate answers to the best of all looks, as shown. */
MUST_USE status looks_tell(struct identifying *identifying, const text **out);

/* identify_split.c: the looks that split the candidates that are left (indexes into
 * `found`). */
MUST_USE status looks_find(struct identifying *identifying, const uint32_t *left,
                           uint32_t count);

#endif
