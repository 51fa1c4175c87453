/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_VOCABULARY_H
#define WHYFIT_VOCABULARY_H

#include "drawn.h"
#include "node.h"
#include "relation.h"

/*
 * What facts may say: relations with their columns, kinds of parts with their fields, and
 * the checks a kind must meet. Read from the files named vocabulary.yaml (several are
 * joined); the engine knows no trade word but those of assembly.
 *
 *   relations:
 *     run:
 *       says: A stretch along the axis with one surface.
 *       filled-by: facts                  # facts | rules | computing
 *       listed-as: runs                   # the field of a part (or unit) that lists such
 * rows listed-in: part                   # part | unit key: {piece: name, run: name} #
 * the first is the owner (leave out: owner: none) values: kind: {choice: [seat, plain,
 * spline]} from: {position: true, got-by: caliper} diameter: {quantity: length} teeth:
 * {count: true} on: {word: true, optional: true} module: {quantity: length, exact: true}
 *   kinds:
 *     bearing: {says: A rolling bearing., asks: [bearing-seat], fields: {closure:
 * {choice: […]}}} deep-groove-bearing: {is: bearing, says: …}
 *
 * `drawn` of a kind says how its parts are drawn (drawn.h).
 *
 * `dangers: [wheel]` of a kind is a word for how people get hurt with such parts; what a
 * document headed `closing` says of that word is said whenever one is changed.
 *
 * A kind is a relation too: its key is (piece), its values its own fields; a part of a
 * kind has a row there and in the relation of each kind that it `is`.
 */
struct listing {
    name_id field; /* "runs" */
    relation_id relation;
    bool in_unit; /* listed in units, else in parts */
};

/* A word that is the same of every such feature. */
struct usual_word {
    uint32_t column;
    name_id word;
};

/* A feature that a part of a kind usually has:
 *
 *   usual: {datum: shoulder, runs: {seal-land: {kind: plain, made-for: lip, with:
 * [lip-seal]}}}
 *
 * `with` names the kinds that it goes together with, `open-to-view: true` that it is seen
 * on a unit that is whole. */
struct usual_feature {
    name_id list; /* "runs" */
    relation_id relation;
    name_id name;
    const struct usual_word *words;
    uint32_t word_count;
    const name_id *with;
    uint32_t with_count;
    bool is_open_to_view;
};

struct kind {
    name_id name;
    uint32_t parent; /* index + 1 of the kind it `is`, or 0 */
    relation_id relation;
    const name_id *asks; /* names of rules whose check it must meet; own ones only */
    uint32_t ask_count;
    const name_id *dangers; /* words for how people get hurt with it; own ones only */
    uint32_t danger_count;
    const struct drawn *drawn; /* NULL: as the kind that it `is` */
    name_id usual_datum;       /* NAME_NONE: not said */
    const struct usual_feature *usual;
    uint32_t usual_count;
    text says;
    span where;
};

/* Whether a quantity is better when it is more, or less: `better: more`. Machines are set
 * side by side by such figures. */
enum better {
    BETTER_NEITHER,
    BETTER_MORE,
    BETTER_LESS
};

/* A column of another relation, by its number among all columns. */
struct read_cell {
    relation_id relation;
    uint32_t column;
};

/* How a column is written in facts, beyond what relation_shape says. */
struct column_manner {
    bool is_position; /* `position: true`: a length that may hang on a face */
    bool is_due;      /* `due: true`: must be written */
    bool is_optional; /* `optional: true`: not written means there is none, not unknown */
    bool is_exact;    /* `exact: true`: a bare number has no tolerance (module, hardness,
                         finish) */
    bool is_edge;     /* `edge: true`: an outside radius or chamfer height */
    bool is_positive; /* `positive: true`: a size, which cannot lie below nothing */
    enum better better;
    bool is_figure; /* `figure: true`: a quantity that machines are set side by side by,
                       whichever way is better */
    text counted_from; /* `counted-from: …`: what it is measured from, for people */
    const struct node *reads_written; /* `reads: [run.diameter]`: what the assembly … */
    const struct read_cell *reads;    /* … computes it from */
    uint32_t read_count;
    name_id standard; /* `default: word`: what an unwritten word column holds; else
                         NAME_NONE */
};

/* A word under which a list of machines says what a part or unit is for: `model`, `year`.
 * Such lists are copied and wrong: a hint ranks, and never excludes. */
struct hint {
    name_id word;
    int from; /* index of a column; -1: none. Both the same: a name, or one number */
    int to;
};

/* What a relation or kind says of being looked at.
 *
 *   seen-by: eye          by what it is seen that a part has such a feature; without it
 *                         nobody is asked whether it is there
 *   open-to-view: true    of a relation: such a feature of what lies outside is seen on a
 *                         unit that is whole; of a kind: it lies outside
 *   hints: {model: model, year: {from: from-year, to: to-year}}
 *   typed-as: model year  under which hints people call such a thing: a name, and a
 * number after it, such as "wb55 2004"
 */
struct relation_look {
    text seen_by; /* as got_by; may be empty */
    bool is_open_to_view;
    const struct hint *hints;
    uint32_t hint_count;
    const struct hint *typed_name; /* one of them; NULL: nobody calls it so */
    const struct hint *typed_number;
};

struct vocabulary {
    const struct relation_shape *shapes;
    uint32_t shape_count;
    const struct relation_look *looks;          /* per shape */
    const struct column_manner *const *manners; /* per shape, per column (keys first) */
    const struct listing *listings;
    uint32_t listing_count;
    const struct kind *kinds;
    uint32_t kind_count;
};

/* Joins the maps of all vocabulary documents. Every fault is reported; STATUS_INVALID
 * then. */
MUST_USE status vocabulary_read(struct arena *arena, struct names *names,
                                const struct node *const *documents, uint32_t count,
                                struct diagnostics *diagnostics,
                                const struct vocabulary **out);

/* NULL when there is none. */
const struct kind *vocabulary_kind(const struct vocabulary *vocabulary, name_id name);
const struct listing *vocabulary_listing(const struct vocabulary *vocabulary,
                                         name_id field, bool in_unit);
const struct relation_shape *vocabulary_relation(const struct vocabulary *vocabulary,
                                                 name_id name, relation_id *out);
/* The column's index in the shape, or -1. */
int vocabulary_column(const struct relation_shape *shape, name_id column);
/* Whether a kind is `ancestor` or descends from it. */
bool kind_is(const struct vocabulary *vocabulary, const struct kind *kind,
             name_id ancestor);
/* How parts of a kind are drawn, as it or a kind that it `is` says; never NULL. */
const struct drawn *kind_drawn(const struct vocabulary *vocabulary,
                               const struct kind *kind);
/* The kind, itself or one that it `is`, that has this field; NULL when none has. */
const struct kind *kind_with_field(const struct vocabulary *vocabulary,
                                   const struct kind *kind, name_id field);

#endif
