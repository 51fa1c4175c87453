/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_SECTION_H
#define WHYFIT_SECTION_H

#include "answer.h"
#include "drawn.h"

/*
 * The axial half section of a unit as data: every piece laid on its axis, with outlines
 * in millimetres; x along the axis, + outboard, r from it. All positions are nominal,
 * with what is chosen at assembly put in. What nobody recorded is never made up: a line
 * that only closes an outline says that it is assumed, and a dimension that is missing
 * has a mark.
 *
 * Order: pieces by how far they lie in the back, then name; all else by name or position.
 */
struct section_point {
    double x;
    double r;
};

enum section_line {
    LINE_RECORDED,
    LINE_ASSUMED, /* closes an outline of which nothing is recorded there */
    LINE_ROOT,    /* the root of a spline or thread, the floor of a keyway */
    LINE_PITCH,   /* module times teeth */
    LINE_SYMBOL   /* stands for what has no dimensions: rolling bodies */
};

/* What the cut face is filled with. */
enum section_fill {
    FILL_METAL,
    FILL_RUBBER,
    FILL_WHOLE, /* not cut */
    FILL_NONE
};

struct section_area {
    const struct section_point *points;
    uint32_t count;
    enum section_fill fill;
};

struct section_edge {
    struct section_point from;
    struct section_point to;
    enum section_line line;
    text feature; /* the run it is the surface of; or empty */
};

/* A round section or rolling body: an ellipse. */
struct section_round {
    struct section_point middle;
    double half_width;
    double half_height;
    enum section_fill fill;
    enum section_line line;
    text feature;
};

enum section_feature_kind {
    FEATURE_RUN,
    FEATURE_BAND,
    FEATURE_FACE,
    FEATURE_STATION,
    FEATURE_HOLE /* across, or holes on a circle; of a part drawn alone */
};

/* Something of a piece with its place on the axis. */
struct section_feature {
    text name;
    enum section_feature_kind kind;
    text says; /* "spline", "o-ring": the kind of a run, the type of a band */
    double from;
    double to;
    double r; /* NAN where it has none */
    bool is_bore;
    const struct feature_stated *stated; /* of a part drawn alone; else NULL */
};

/* A feature as the record has it, in words; empty where nobody recorded it. */
struct feature_stated {
    text from;
    text to;     /* empty of a plane too */
    text across; /* "\xC3\x9835 +0.018/+0.002 mm": the diameter at which it is met */
    text other;  /* "31 teeth, module 1 mm": what else is recorded of its size */
};

/* A dimension that is missing, where it is missing. */
struct section_unknown {
    struct section_point at;
    text dimension; /* "ring-land.to" */
};

struct section_piece {
    text name; /* the place, "head.cover" within a unit that fills `head` */
    text part; /* its number */
    text title;
    text own; /* what is recorded of the part itself; of a part drawn alone */
    enum drawn_as as;
    enum section_fill fill;
    bool is_changed;
    bool is_laid;    /* else nobody knows where it lies, or it has no shape */
    bool is_assumed; /* some line of it is */
    double from;     /* what it takes up */
    double to;
    double low;
    double high;
    const struct section_area *areas;
    uint32_t area_count;
    const struct section_edge *edges;
    uint32_t edge_count;
    const struct section_round *rounds;
    uint32_t round_count;
    const struct section_feature *features;
    uint32_t feature_count;
    const struct section_unknown *unknowns;
    uint32_t unknown_count;
};

/* A gap between two features of the axis. */
struct section_gap {
    text name;
    struct section_point from;
    struct section_point to;
    const struct form *size;       /* as it comes to with what is set; may be missing */
    const struct form *want_least; /* NULL: nothing is wanted */
    const struct form *want_greatest;
};

/* What decided, where it is. */
struct section_mark {
    const struct finding *finding;
    text because;
    bool is_placed;
    bool is_clash; /* the two ends of a gap overlap */
    double from;
    double to;
    double low;
    double high;
};

/* How far pieces lie from where they lay before, those that moved as far together. */
struct section_shift {
    text pieces; /* "bearing, gear, shaft" */
    struct section_point from;
    struct section_point to;
    const struct form *by;
};

/* One axis of a unit. */
struct section_view {
    text axis;
    const struct section_piece *pieces;
    uint32_t piece_count;
    const struct section_gap *gaps;
    uint32_t gap_count;
    double from;
    double to;
    double high;
};

struct section {
    text unit; /* as it is shown */
    text title;
    text source;
    text datum;                       /* the piece whose datum is 0 */
    const struct section_view *views; /* those with most pieces first */
    uint32_t view_count;
    const text *shapeless; /* pieces of which nothing can be drawn, by name */
    uint32_t shapeless_count;
};

/* The swapped unit, beside the host where something was changed. */
struct section_pair {
    const struct section *host; /* NULL: nothing was changed */
    struct section swapped;
    const struct section_shift *shifts; /* on the first axis, by position */
    uint32_t shift_count;
    const struct section_mark *marks; /* as the answer says its reasons */
    uint32_t mark_count;
};

/* Draws what was asked. Everything lies in `arena`; reading notes things in the answer's
 * store. */
MUST_USE status section_answer(struct arena *arena, const struct answer *answer,
                               struct section_pair *out);

/* A part by itself, laid with its datum at 0, as a section of one piece. No view: it has
 * no shape that could be drawn. */
MUST_USE status section_part(struct arena *arena, const struct knowledge *knowledge,
                             const struct part *part, struct section *out);

#endif
