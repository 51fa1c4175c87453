/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_COMPARE_PRIVATE_H
#define WHYFIT_COMPARE_PRIVATE_H

#include "compare.h"
#include "swap_private.h"

/* One of the two: a piece, and the unit that it lies in. */
struct compare_side {
    struct store *store;
    const struct names *names;
    name_id unit;                  /* NAME_NONE: a part alone */
    name_id piece;                 /* NAME_NONE: the place is empty */
    const struct row *const *rows; /* the piece's own */
    uint32_t row_count;
};

typedef ARRAY_OF(struct compared_figure) figure_list;

struct comparing {
    struct arena *arena;
    const struct knowledge *knowledge;
    const struct question *question;
    const struct swap_limits *limits;
    struct diagnostics *diagnostics;
    struct comparison *out;
    ARRAY_OF(struct compared_place) places;
    ARRAY_OF(struct compared_check) checks;
    figure_list figures;
    ARRAY_OF(struct compared_seat) seats;
    uint64_t used_given; /* bit i: given value i was taken */
};

/* compare_frame.c: the place that positions of both are counted from. */
struct frame {
    text datum;                   /* "shoulder", "cover-face of case" */
    const struct row *first_laid; /* NULL: the parts alone */
    const struct row *second_laid;
    const struct form *first; /* of each where that is; NULL: at 0 */
    const struct form *second;
};
/* Of features on an axis; false: there is nothing that both have. */
bool compare_frame_open(struct comparing *comparing, const struct compare_side *first,
                        const struct compare_side *second, text axis, struct frame *out);
/* A position of a piece in the frame; NULL, where p is NULL and the piece is not laid. */
const struct form *compare_position(struct arena *arena, const struct compare_side *side,
                                    const struct row *laid, const struct form *origin,
                                    const struct form *p);
/* A value of a row by the name of its column; VALUE_NONE: it has no such column. */
struct value compare_cell(const struct compare_side *side, const struct row *row,
                          const char *column);
/* The deviation that a field of a row has of its own; NULL: it is exact, hangs on others
 * alone, or is no quantity. */
const struct deviation *own_deviation(struct arena *arena, const struct store *store,
                                      const struct names *names, const struct row *row,
                                      text field, const struct value *value);
/* The part that a piece is of; NULL: it is none. */
const struct part *compare_part(const struct comparing *comparing,
                                const struct compare_side *side, name_id piece);

/* compare_features.c */

/* The piece's rows; its unit and store are there already. */
MUST_USE status compare_side_open(struct compare_side *side, name_id piece);
/* All features of two pieces side by side, into place->features; `first` or `second` may
 * hold no piece. Fills place->moved and place->datum too. */
MUST_USE status features_compare(struct comparing *comparing,
                                 const struct compare_side *first,
                                 const struct compare_side *second, bool is_same_part,
                                 struct compared_place *place);
/* What two units say of themselves: their gaps, and what they list. */
MUST_USE status units_say(struct comparing *comparing, const struct compare_side *first,
                          const struct compare_side *second,
                          struct compared_place *place);

/* compare_values.c: two values of one field; whether somebody recorded one. */
bool is_recorded(const struct value *value);
void values_compare(struct compared_value *value);

/* compare_checks.c */

/* What is asked of a unit: findings of one side of a swap. */
struct asked_side {
    struct swap *swap;
    const struct finding *findings;
    uint32_t count;
};
/* Pairs the findings of two sides and adds those that differ, or rest on a field that
 * does; `seat` is where they were asked. `first_piece` and
 * `second_piece`, where they are no NAME_NONE, are the pieces that stand for the only
 * place (parts); else pieces are found by the names of places. */
MUST_USE status checks_compare(struct comparing *comparing,
                               const struct asked_side *first,
                               const struct asked_side *second, uint32_t seat,
                               name_id first_piece, name_id second_piece);

/* compare_figures.c: figures that the vocabulary marks, of two units of one or of two
 * layers, by the names of their pieces as they are shown. */
struct figured_unit {
    const struct layer *layer;
    const struct minted_unit *unit;
};
MUST_USE status figures_between(struct arena *arena, const struct figured_unit *first,
                                const struct figured_unit *second, uint32_t seat,
                                figure_list *list);

#endif
