/* SPDX-License-Identifier: MIT */
/*
 * Where labels go. They stand in the order of what they name, dealt out over rows; a
 * leader of a far row passes between the labels of the nearer ones. So every pair has a
 * least distance, and as few rows are taken as let all distances fit without pushing
 * labels far away. Leaders are told apart after that.
 */
#include "drawing.h"

#include <math.h>

#define BETWEEN 10.0 /* labels of a row */
#define CLEAR   6.0  /* a label and a leader */

/* How far apart the middles of two labels must be. */
static double apart(const struct label *a, const struct label *b)
{
    return a->row == b->row  ? (a->width + b->width) / 2 + BETWEEN
           : a->row < b->row ? a->width / 2 + CLEAR
                             : b->width / 2 + CLEAR;
}

/* The least place that those before it leave to a label. */
static double least_place(const struct label *labels, uint32_t of, double left)
{
    double least = left + labels[of].width / 2;
    for (uint32_t i = 0; i < of; i++) {
        least = fmax(least, labels[i].x + apart(&labels[i], &labels[of]));
    }
    return least;
}

static double greatest_place(const struct label *labels, uint32_t count, uint32_t of,
                             double right)
{
    double greatest = right - labels[of].width / 2;
    for (uint32_t i = of + 1; i < count; i++) {
        greatest = fmin(greatest, labels[i].x - apart(&labels[of], &labels[i]));
    }
    return greatest;
}

/* As far right as they go, then each as near to its place as those before it let it. */
static bool settle(struct label *labels, uint32_t count, double left, double right)
{
    for (uint32_t i = count; i-- > 0;) {
        labels[i].x = greatest_place(labels, count, i, right);
    }
    for (uint32_t i = 0; i < count; i++) {
        const double least = least_place(labels, i, left);
        if (least > labels[i].x + 1e-9) {
            return false;
        }
        labels[i].x = fmin(labels[i].x, fmax(least, labels[i].to_x));
    }
    return true;
}

/* What was pushed to one side is shared out. */
static void relax(struct label *labels, uint32_t count, double left, double right)
{
    for (int pass = 0; pass < 40; pass++) {
        double off = 0;
        for (uint32_t i = 0; i < count; i++) {
            off += labels[i].to_x - labels[i].x;
        }
        off = count == 0 ? 0 : off / (double)count / 2;
        for (uint32_t k = 0; k < count; k++) {
            const uint32_t i = off < 0 ? k : count - 1 - k;
            const double least = least_place(labels, i, left);
            const double greatest = greatest_place(labels, count, i, right);
            labels[i].x = fmin(greatest, fmax(least, labels[i].x + off));
        }
    }
}

/* How far labels stand from what they name, on average. */
static double strain(const struct label *labels, uint32_t count)
{
    double all = 0;
    for (uint32_t i = 0; i < count; i++) {
        all += fabs(labels[i].x - labels[i].to_x);
    }
    return count == 0 ? 0 : all / (double)count;
}

static bool place_in(struct label *labels, uint32_t count, uint32_t rows, double left,
                     double right)
{
    for (uint32_t i = 0; i < count; i++) {
        labels[i].row = i % rows;
    }
    if (!settle(labels, count, left, right)) {
        return false;
    }
    relax(labels, count, left, right);
    return true;
}

/* One row more has to bring labels nearer by this much. */
#define ROW_WORTH 25.0

uint32_t labels_place(struct label *labels, uint32_t count, double left, double right)
{
    uint32_t best = 0;
    double least = INFINITY;
    for (uint32_t rows = 1; rows <= count && (best == 0 || rows <= best + 2); rows++) {
        if (place_in(labels, count, rows, left, right) &&
            strain(labels, count) + ROW_WORTH * rows < least) {
            least = strain(labels, count) + ROW_WORTH * rows;
            best = rows;
        }
    }
    return best != 0 && place_in(labels, count, best, left, right) ? best : 0;
}

uint32_t labels_place_each(struct arena *arena, struct label *const *each, uint32_t count,
                           double left, double right)
{
    struct label *labels = ARENA_MANY(arena, count, struct label);
    for (uint32_t i = 0; labels != NULL && i < count; i++) {
        labels[i] = *each[i];
    }
    const uint32_t rows = labels == NULL ? 0 : labels_place(labels, count, left, right);
    for (uint32_t i = 0; labels != NULL && i < count; i++) {
        *each[i] = labels[i];
    }
    return rows;
}

/* ---- leaders */

/* On which side of the line from a to b a point lies. */
static double side(struct page_point a, struct page_point b, struct page_point of)
{
    return (b.x - a.x) * (of.y - a.y) - (b.y - a.y) * (of.x - a.x);
}

static bool lines_cross(struct page_point a, struct page_point b, struct page_point c,
                        struct page_point d)
{
    return side(a, b, c) * side(a, b, d) < 0 && side(c, d, a) * side(c, d, b) < 0;
}

static struct page_point knee_of(const struct leader *leader, double bend)
{
    return leader->is_upright ? (struct page_point){leader->to.x, bend} : leader->foot;
}

static bool leaders_cross(const struct leader *a, const struct leader *b, double bend)
{
    const struct page_point knees[2] = {knee_of(a, bend), knee_of(b, bend)};
    const struct page_point one[3] = {a->foot, knees[0], a->to};
    const struct page_point other[3] = {b->foot, knees[1], b->to};
    for (int i = 0; i < 2; i++) {
        for (int k = 0; k < 2; k++) {
            if (lines_cross(one[i], one[i + 1], other[k], other[k + 1])) {
                return true;
            }
        }
    }
    return false;
}

void leaders_part(struct leader *leaders, uint32_t count, double bend)
{
    for (bool has_more = true; has_more;) {
        has_more = false;
        for (uint32_t i = 0; i < count; i++) {
            for (uint32_t k = 0; k < i; k++) {
                const bool is_open = !leaders[i].is_upright || !leaders[k].is_upright;
                if (is_open && leaders_cross(&leaders[i], &leaders[k], bend)) {
                    leaders[i].is_upright = true;
                    leaders[k].is_upright = true;
                    has_more = true;
                }
            }
        }
    }
}

void leader_path(struct drawing *drawing, const struct leader *leader, double bend)
{
    svg_line(&drawing->svg, leader->foot.x, leader->foot.y);
    if (leader->is_upright) {
        svg_line(&drawing->svg, leader->to.x, bend);
    }
    svg_line(&drawing->svg, leader->to.x, leader->to.y);
}
