/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_DRAWING_H
#define WHYFIT_DRAWING_H

#include "array.h"
#include "render_words.h"
#include "section.h"
#include "svg.h"

/*
 * What pictures are drawn with: strokes as ISO 128 has them (wide for outlines, narrow
 * for all else, dashed, chain), letters, arrows, labels that keep clear of each other.
 * Lengths are those of the page; y goes down.
 */
#define PAGE_WIDTH  1120.0
#define PAGE_MARGIN 36.0
#define LETTER      12.0 /* height of what is lettered */
#define ROW         18.0 /* from one row of letters to the next */

struct drawing {
    struct svg svg;
    struct arena *arena;
    double width;
    struct writer body; /* kept until it is known how high the picture is */
    ARRAY_OF(char) bytes;
    struct writer *out;
};

/* What is drawn is written out by drawing_close, with the height it has come to. */
void drawing_open(struct drawing *drawing, struct writer *out, double width);
void drawing_close(struct drawing *drawing, const struct svg_manner *manner,
                   double height, text title, text description);

/* What is said of a picture: within it, but on a page of HTML below it, where letters are
 * as large as the reader wants them. */
struct drawing_words {
    text title;
    text description;
    const text *notes;
    uint32_t note_count;
};
/* Closes a picture whose last line is at y, with its notes. */
void drawing_end(struct drawing *drawing, const struct svg_manner *manner, double y,
                 const struct drawing_words *words);

enum stroke {
    STROKE_WIDE,   /* visible outlines */
    STROKE_NARROW, /* dimension, leader and hatching lines */
    STROKE_DASHED, /* what nobody recorded */
    STROKE_CHAIN,  /* axes, pitch circles */
    STROKE_FAINT,  /* between the rows of a table */
    STROKE_MARK,   /* what decided */
    STROKE_MARK_DASHED
};

/* Attributes of a stroke, for the element that is open. */
void stroke_with(struct drawing *drawing, enum stroke stroke);
void draw_line(struct drawing *drawing, double x1, double y1, double x2, double y2,
               enum stroke stroke);
/* Its point lies at (x, y), it comes from the side of (from_x, from_y). */
void draw_arrow(struct drawing *drawing, double x, double y, double from_x, double from_y,
                enum stroke stroke);
void draw_dot(struct drawing *drawing, double x, double y);

enum anchor {
    ANCHOR_START,
    ANCHOR_MIDDLE,
    ANCHOR_END
};

struct lettering {
    double size;
    enum anchor anchor;
    bool is_bold;
    bool is_mark; /* in the ink of what decided */
};

/* A line of letters; what is behind it is cut out around it. */
void draw_words(struct drawing *drawing, double x, double y, struct lettering how,
                text words);
/* How wide letters may come out, in whatever font there is: more rather than less. */
double words_width(text words, double size);
/* Breaks words into lines no wider than `width`; gives how many there are. */
uint32_t words_break(struct arena *arena, text words, double size, double width,
                     const text **lines);

/* A dimension line from x1 to x2, with its words: between the arrows where they have
 * room, else the arrows point inward from outside and the words stand beside. Gives where
 * the words begin. */
void draw_dimension(struct drawing *drawing, double x1, double x2, double y, text words);

/* ---- drawing_labels.c */

/* Labels in rows above (or below) what they name. Sorted by where their leaders go. */
struct label {
    double to_x; /* where the leader goes */
    double width;
    double x;     /* found: the middle of the label */
    uint32_t row; /* found: 0 is nearest to what is named */
};

/* Finds places within [left, right] so that no two labels touch and no leader crosses a
 * label; gives the number of rows, 0 where there is no room. */
uint32_t labels_place(struct label *labels, uint32_t count, double left, double right);
/* The same for labels that are parts of something: `each` points at them, in their order.
 * 0 where there is no memory either. */
uint32_t labels_place_each(struct arena *arena, struct label *const *each, uint32_t count,
                           double left, double right);

/* A leader from under its label to what is named: aslant, or, where that would cross
 * another, aslant only as far as `bend` and then upright. */
struct page_point {
    double x;
    double y;
};
struct leader {
    struct page_point foot;
    struct page_point to;
    bool is_upright; /* found */
};

/* Says which have to be upright, so that no two cross whose ends are in one order; ends
 * that lie above each other are. */
void leaders_part(struct leader *leaders, uint32_t count, double bend);
/* The rest of a path that has come to the foot. */
void leader_path(struct drawing *drawing, const struct leader *leader, double bend);

/* ---- drawing_hatch.c */

/* How one piece is hatched: neighbours differ in direction or spacing. */
struct hatch {
    double degrees;
    double spacing;
};

struct hatch_plan {
    const text *names; /* of pieces, in the order in which they were given out */
    const struct hatch *hatches;
    uint32_t count;
};

/* One hatching a piece, the same in both sections (`b` may be NULL). */
struct hatch_plan hatch_plan_make(struct arena *arena, const struct section_view *a,
                                  const struct section_view *b);
struct hatch hatch_of(const struct hatch_plan *plan, text piece);

/* Lines across a polygon, as one path. */
void draw_hatching(struct drawing *drawing, const struct page_point *points,
                   uint32_t count, struct hatch hatch);

/* ---- drawing_half.c */

/* One half section on the page. */
struct half {
    const struct section_view *view;
    const struct hatch_plan *hatches;
    double zero;  /* x of 0 */
    double scale; /* of a millimetre */
    double axis_y;
    int way;            /* +1: the half above the axis, -1: below */
    bool is_other_side; /* of the axis: without what stands at one place round it */
    text name;          /* "host", "swapped" */
};

double half_x(const struct half *half, double x);
double half_y(const struct half *half, double r);
void draw_half(struct drawing *drawing, const struct half *half);
/* Where a leader to a piece ends: within it, where least lies in front of it. */
struct page_point half_anchor(const struct half *half, uint32_t piece);
/* The names of runs along a shaft, inside it where they have room. */
#define RUN_LETTER 10.0
bool has_run_name(const struct half *half, const struct section_piece *shaft,
                  const struct section_feature *run);
void draw_run_names(struct drawing *drawing, const struct half *half);

/* ---- drawing_frame.c: what is around a picture */

/* Title and subtitle; gives the y below. */
double draw_heading(struct drawing *drawing, text title, const text *lines,
                    uint32_t line_count);
/* Sentences, broken to the page's width, each with a dash; gives the y below. */
double draw_notes(struct drawing *drawing, double y, const text *notes, uint32_t count);
void draw_scale_bar(struct drawing *drawing, double x, double y, double scale);

#endif
