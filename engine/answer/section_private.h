/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_SECTION_PRIVATE_H
#define WHYFIT_SECTION_PRIVATE_H

#include "array.h"
#include "section.h"

/* What the steps of drawing a section share. */
struct drafting {
    struct arena *arena;
    struct store *store;
    const struct names *names;
    const struct vocabulary *vocabulary;
    name_id alone; /* the piece that is drawn by itself, of no unit; NAME_NONE: none is */
};

/* x = at + sign * position. */
struct placing {
    double at;
    double sign;
};

/* A run, laid. */
struct surface {
    const struct row *row;
    text name;
    text kind;
    bool is_bore;
    bool is_cut;   /* into another run: a groove, keyway, hole */
    bool is_round; /* turned about the axis, so that it is part of the profile */
    double from;   /* NAN: missing, and not to be guessed from what is beside it */
    double to;
    bool is_from_assumed;
    bool is_to_assumed;
    double r;     /* of the surface that is met; NAN: missing */
    double root;  /* of teeth or thread; NAN */
    double pitch; /* NAN */
    double depth; /* of a keyway; NAN */
};

/* A face or station, laid. */
struct plane {
    const struct row *row;
    text name;
    bool is_station;
    int looks;     /* +1 out, -1 in */
    double at;     /* NAN: missing */
    double inside; /* radii; NAN: not said */
    double outside;
};

struct touching {
    const struct row *row;
    text name;
    text type;
    text groove; /* run of the same piece, or empty */
    bool is_bore;
    bool opens_out; /* what it holds back is on its outboard side */
    double from;
    double to;
    double r;       /* as it is made; NAN */
    double section; /* NAN */
};

/* A hole across, or holes on a circle. */
struct hole {
    const struct row *row;
    text name;
    bool is_circle;
    bool is_clear; /* a circle that bolts go through */
    double at;     /* along the axis; NAN */
    double r;      /* of the circle, or where what goes in sits; NAN */
    double bore;   /* half its diameter; NAN */
    int looks;     /* of the face it starts from; 0: not said */
};

/* A piece on one axis, while it is drawn. */
struct draft {
    struct section_piece made;
    name_id unit; /* the owner of where it is laid */
    name_id piece;
    const struct kind *kind;
    const struct drawn *drawn;
    struct placing placing;
    ARRAY_OF(struct surface) surfaces; /* by from, then name */
    ARRAY_OF(struct plane) planes;
    ARRAY_OF(struct touching) bands;
    ARRAY_OF(struct hole) holes;
    ARRAY_OF(struct section_area) areas;
    ARRAY_OF(struct section_edge) edges;
    ARRAY_OF(struct section_round) rounds;
    ARRAY_OF(struct section_unknown) unknowns;
};

struct draft_view {
    name_id axis;
    ARRAY_OF(struct draft) drafts;
};

/* ---- section_facts.c: rows as numbers and words */

/* Opens a scan over an owner's rows; false where there is no such relation. */
bool drafting_rows(const struct drafting *drafting, const char *relation, name_id owner,
                   struct scan *scan);
/* NULL: there is none. */
const struct row *drafting_row(const struct drafting *drafting, const char *relation,
                               const name_id *key);
/* NULL where the column is not there or is no quantity. */
const struct form *drafting_form(const struct drafting *drafting, const struct row *row,
                                 const char *column);
/* Millimetres, of the nominal; NAN where it is missing. */
double drafting_length(const struct drafting *drafting, const struct row *row,
                       const char *column);
double millimetres(const struct form *form);
/* Empty where nobody recorded it. */
text drafting_word(const struct drafting *drafting, const struct row *row,
                   const char *column);
/* Of the part itself, by a role of how its kind is drawn: millimetres or NAN, a word. */
double drafting_role(const struct drafting *drafting, const struct draft *draft,
                     enum drawn_role role);
text drafting_role_word(const struct drafting *drafting, const struct draft *draft,
                        enum drawn_role role);
/* Whether a feature lies on an axis. */
bool drafting_is_on(const struct drafting *drafting, const struct row *feature,
                    name_id axis);
/* Where a laid piece has its datum, and which way it lies; at is NAN where that is not
 * known. */
struct placing drafting_placing(const struct drafting *drafting, name_id unit,
                                name_id piece, name_id axis);
/* Reads all that a piece has on an axis, laid. */
void drafting_read(const struct drafting *drafting, struct draft *draft, name_id axis);

/* ---- section.c: all views of a unit, or of the piece that is drawn alone */
MUST_USE status section_make(const struct drafting *drafting, name_id unit,
                             struct section *out);

/* ---- section_alone.c */

/* The axes on which the piece has any feature. */
typedef ARRAY_OF(name_id) axis_list;
void alone_axes(const struct drafting *drafting, axis_list *axes);
/* What the record says of a feature; NULL: it is drawn within a unit. */
const struct feature_stated *alone_stated(const struct drafting *drafting,
                                          const struct row *row);
/* What it says of the part itself; empty within a unit too. */
text alone_own(const struct drafting *drafting, const struct kind *kind);

/* ---- section_outline.c: turned parts from their runs and faces */
void draft_outline(const struct drafting *drafting, struct draft *draft,
                   const struct draft_view *view);

/* ---- section_bodies.c: what has a shape of its own */
void draft_body(const struct drafting *drafting, struct draft *draft,
                const struct draft_view *view);
/* O-rings in grooves of other parts. */
void draft_bands(const struct drafting *drafting, struct draft *draft,
                 const struct draft_view *view);

/* What a draft is made of. */
void draft_area(const struct drafting *drafting, struct draft *draft,
                const struct section_point *points, uint32_t count,
                enum section_fill fill);
void draft_edge(const struct drafting *drafting, struct draft *draft,
                struct section_point from, struct section_point to,
                enum section_line line, text feature);
void draft_round(const struct drafting *drafting, struct draft *draft,
                 struct section_round round);
/* A box of four lines, filled. */
void draft_box(const struct drafting *drafting, struct draft *draft, double from,
               double to, double low, double high, enum section_fill fill,
               enum section_line line);
/* The largest outside radius that turned parts full to the axis have there; 0: none. */
double view_solid_at(const struct draft_view *view, double from, double to);
/* Of one piece: the radius of its outside at x; NAN: it has none there. */
double draft_outside_at(const struct draft *draft, double x);

/* ---- section_marks.c: gaps, shifts, and where what decided is */
void section_gaps(const struct drafting *drafting, name_id unit,
                  const struct draft_view *view, struct section_view *out);
MUST_USE status section_marks(const struct drafting *drafting,
                              const struct answer *answer, struct section_pair *out);
MUST_USE status section_shifts(const struct drafting *drafting,
                               const struct answer *answer, struct section_pair *out);

#endif
