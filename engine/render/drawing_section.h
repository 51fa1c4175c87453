/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_DRAWING_SECTION_H
#define WHYFIT_DRAWING_SECTION_H

#include "drawing.h"

/* What stands beside half sections: labels, what decided, shifts, gaps. First its size is
 * found, then it is drawn, since the page depends on it. */
struct labelling {
    struct piece_label *labels;
    uint32_t count;
    uint32_t rows;
};

struct marking {
    struct mark_label *labels;
    uint32_t count;
    uint32_t rows;
    uint32_t lines; /* of the tallest */
};

struct labelling label_pieces(struct arena *arena, const struct half *half);
void labelling_place(struct arena *arena, struct labelling *all, double width);
void draw_labels(struct drawing *drawing, const struct half *half,
                 const struct labelling *all, double edge);

struct marking label_marks(struct arena *arena, const struct section_pair *pair,
                           const struct half *half);
void marking_place(struct arena *arena, struct marking *all, double width);
double marks_height(const struct marking *all);
void draw_marks(struct drawing *drawing, const struct half *half,
                const struct marking *all, double edge);

/* The names of runs that had no room in draw_run_names, below the axis. */
struct run_label {
    struct label label;
    struct page_point to;
    text words;
};

struct run_labels {
    ARRAY_OF(struct run_label) runs;
    uint32_t rows;
};

struct run_labels label_runs(struct drawing *drawing, const struct half *half);
double run_labels_height(const struct run_labels *all);
void draw_run_labels(struct drawing *drawing, const struct run_labels *all, double y);

/* Each gives the y of its last row. */
double draw_shifts(struct drawing *drawing, const struct section_pair *pair,
                   const struct half *host, const struct half *swapped, double y);
double draw_gaps(struct drawing *drawing, const struct half *half, double y);

/* Whether a gap is too small to be seen at the scale. */
bool is_exaggerated(const struct half *half, const struct section_gap *gap);
/* "end-float: 0.25 mm, now -2.75 mm, wanted at least 50 um"; `before` may be NULL. */
text gap_words(struct arena *arena, const struct section_gap *gap,
               const struct form *before);

#endif
