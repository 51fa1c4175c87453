/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_ASSEMBLY_PRIVATE_H
#define WHYFIT_ASSEMBLY_PRIVATE_H

#include "array.h"
#include "assembly.h"

/* The relations assembly reads and fills: RELATION(member, "name"). */
#define ASSEMBLY_RELATIONS(RELATION)                                                     \
    RELATION(face, "face")                                                               \
    RELATION(station, "station")                                                         \
    RELATION(run, "run")                                                                 \
    RELATION(seal_band, "seal-band")                                                     \
    RELATION(fills, "fills")                                                             \
    RELATION(contact, "contact")                                                         \
    RELATION(stop, "stop")                                                               \
    RELATION(gap_asked, "gap-asked")                                                     \
    RELATION(setting, "setting")                                                         \
    RELATION(fit_asked, "fit-asked")                                                     \
    RELATION(laid, "laid")                                                               \
    RELATION(lies, "lies")                                                               \
    RELATION(port, "port")                                                               \
    RELATION(located, "located")                                                         \
    RELATION(gap, "gap")                                                                 \
    RELATION(gap_between, "gap-between")                                                 \
    RELATION(floating, "float")                                                          \
    RELATION(fit, "fit")                                                                 \
    RELATION(pass, "pass")                                                               \
    RELATION(band, "band")                                                               \
    RELATION(sweep, "sweep")                                                             \
    RELATION(laid_on, "laid-on")                                                         \
    RELATION(touch, "touch")

struct assembly {
    struct arena *arena;
    struct store *store;
    struct names *names;
#define MEMBER(member, name) relation_id member;
    ASSEMBLY_RELATIONS(MEMBER)
#undef MEMBER
    name_id default_axis;
    bool (*go_on)(void *context); /* NULL: nobody watches */
    void *go_on_context;
    ARRAY_OF(struct settling) settlings;
    bool is_raw; /* positions are given with what is chosen left open */
};

/* What may vary by a float: the piece of a gap that lies free in it. */
struct floating {
    name_id piece;
    const struct row *row; /* the computed row `float` */
    const struct form *by; /* 0 to the room it has, outboard */
};

/* A value column by its name; VALUE_NONE when the relation has no such column. */
struct value column_value(const struct assembly *assembly, const struct row *row,
                          const char *column);
const struct form *column_form(const struct assembly *assembly, const struct row *row,
                               const char *column); /* NULL when it is no quantity */
name_id column_word(const struct assembly *assembly, const struct row *row,
                    const char *column); /* NAME_NONE when it is no word */
bool column_is(const struct assembly *assembly, const struct row *row, const char *column,
               const char *word);
text assembly_text(const struct assembly *assembly, name_id name);

/* A computed row being made. */
struct computed {
    struct assembly *assembly;
    struct row row;
    struct row_more more;
    name_id key[8];
    struct value values[40];
    ARRAY_OF(const struct row *) rests_on;
};

void computed_open(struct computed *made, struct assembly *assembly, relation_id relation,
                   const char *computation);
/* Columns are there: loading has checked what is needed. NULL quantities are passed over.
 */
void computed_value(struct computed *made, const char *column, struct value value);
void computed_word(struct computed *made, const char *column, const char *word);
/* NULL rows are passed over. */
void computed_rest(struct computed *made, const struct row *row);
MUST_USE status computed_add(struct computed *made);

/* The piece in a place, and the row that says so; NAME_NONE when there is none. */
name_id piece_in(const struct assembly *assembly, name_id unit, name_id place,
                 const struct row **fills_out);

/* The face, station, run or band of a piece; NULL when it has none of that name. */
const struct row *plane_of(const struct assembly *assembly, name_id piece,
                           name_id feature);
const struct row *run_of(const struct assembly *assembly, name_id piece, name_id feature);
const struct row *band_of(const struct assembly *assembly, name_id piece,
                          name_id feature);
/* The axis a feature lies on. */
name_id axis_of(const struct assembly *assembly, const struct row *feature);
const struct row *laid_on(const struct assembly *assembly, name_id unit, name_id piece,
                          name_id axis);
bool is_turned(const struct assembly *assembly, const struct row *laid);
/* Where a position of a laid piece lies: at + p, or at - p when it is turned. */
const struct form *position_in_unit(const struct assembly *assembly,
                                    const struct row *laid, const struct form *position);
/* The two ends of a run or band in its unit, inboard first. */
struct stretch {
    const struct form *from;
    const struct form *to;
};
struct stretch stretch_in_unit(const struct assembly *assembly, const struct row *laid,
                               const struct row *feature);
double middle_of(const struct form *a); /* nominal, or the middle of its range */

/* assembly_floats.c: the pieces of a unit that lie free in a gap, found by laying it once
 * in a store of its own. */
struct floats {
    const struct floating *at;
    uint32_t count;
};
MUST_USE status assembly_floats(struct assembly *assembly, name_id unit,
                                struct diagnostics *diagnostics, struct floats *out);
/* assembly_lay.c: lays the pieces; the rest of assembly_lay follows from it. */
MUST_USE status lay_pieces(struct assembly *assembly, name_id unit,
                           const struct floats *floats, struct diagnostics *diagnostics);

/* assembly_settle.c: works out what the piece that a gap is set by comes to; out->as
 * stays NULL where there is no middle to set it to. `size` is the gap with what is chosen
 * at its nominal. */
MUST_USE status settle_gap(struct assembly *assembly, const struct row *asked,
                           const struct row *setting, const struct form_term *term,
                           const struct form *size, double step, struct settling *out);
/* Keeps it, once the gap has its row. */
MUST_USE status settling_keep(struct assembly *assembly, const struct settling *settling,
                              const struct row *gap);
/* A form of a unit with what is chosen put in. */
const struct form *settled(const struct assembly *assembly, name_id unit,
                           const struct form *form);
/* What is computed from a laid piece rests on those gaps. */
void rest_on_settlings(struct computed *made, const struct row *laid);

/* assembly_gaps.c: one end of an asked gap; NULL `at` when the line fell away. */
struct gap_end {
    name_id piece;
    const struct form *at;
    const struct row *laid;
    const struct row *face;
};
struct gap_end gap_end_of(const struct assembly *assembly, name_id unit,
                          const struct row *asked, const char *place, const char *face);

/* assembly_gaps.c and assembly_fits.c: what is computed once everything is laid. */
MUST_USE status assembly_gaps(struct assembly *assembly, name_id unit,
                              struct diagnostics *diagnostics);
MUST_USE status assembly_lies(struct assembly *assembly, name_id unit);
MUST_USE status assembly_fits(struct assembly *assembly, name_id unit);
MUST_USE status add_touch(struct assembly *assembly, name_id unit, name_id piece,
                          name_id other, const struct row *because);

/* assembly_cover.c */
struct cover {
    const struct form
        *spare;    /* how far the band lies inside its land; negative: outside */
    name_id under; /* the run the band lies on, or "undescribed" */
    const struct row *rests_on[8];
    uint32_t rests_on_count;
};
MUST_USE bool assembly_cover(const struct assembly *assembly, struct arena *arena,
                             name_id unit, name_id piece, name_id side,
                             const struct stretch *band, struct cover *out);

#endif
