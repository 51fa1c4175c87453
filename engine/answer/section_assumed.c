/* SPDX-License-Identifier: MIT */
/*
 * Closes the outline of a turned part where nothing is recorded, from what is beside it:
 * of such a line only that something is there is known, and it says so. Which way a face
 * looks tells on which side of it there is more material, and that is kept.
 */
#include "section_profile.h"

#include <math.h>

/* The radius nearest to a stretch that is more than assumed; what is cut into a run says
 * nothing of what is beside it. NAN: none. */
static double beside(const struct profile *profile, const struct reach *side, uint32_t of,
                     bool is_outboard)
{
    for (uint32_t i = of; is_outboard ? i + 1 < profile->count : i > 0;) {
        i = is_outboard ? i + 1 : i - 1;
        if ((side[i].is_known || side[i].is_said) && !side[i].is_local &&
            (side[i].by == NULL || !side[i].by->is_cut)) {
            return is_outboard ? side[i].r_from : side[i].r_to;
        }
    }
    return NAN;
}

/* Shafts step at their faces; between two runs without one the line is straight. */
static void close_full(struct profile *profile)
{
    struct reach *side = profile->outer;
    for (uint32_t i = 0; i < profile->count; i++) {
        uint32_t last = i;
        while (is_open(&side[i]) && last + 1 < profile->count &&
               is_open(&side[last + 1])) {
            last++;
        }
        if (!is_open(&side[i])) {
            continue;
        }
        const double before = beside(profile, side, i, false);
        const double after = beside(profile, side, last, true);
        bool is_stepped = isnan(before);
        bool has_face = false;
        for (uint32_t k = i; k <= last + 1; k++) {
            has_face = has_face || plane_at(profile->draft, profile->ends.at[k]) != NULL;
        }
        for (uint32_t k = i; k <= last; k++) {
            is_stepped =
                is_stepped || plane_at(profile->draft, profile->ends.at[k]) != NULL;
            const double r =
                (is_stepped && !isnan(after)) || isnan(before) ? after : before;
            side[k].r_from = !has_face && !isnan(after) && k == i ? before : r;
            side[k].r_to = !has_face && !isnan(after) && k == last ? after : r;
        }
        i = last;
    }
}

static double larger(double a, double b)
{
    return isnan(a) ? b : isnan(b) ? a : fmax(a, b);
}

static double smaller(double a, double b)
{
    return isnan(a) ? b : isnan(b) ? a : fmin(a, b);
}

static void close_hollow(struct profile *profile)
{
    struct reach *inner = profile->inner;
    struct reach *outer = profile->outer;
    for (uint32_t i = 0; i < profile->count; i++) {
        if (is_open(&inner[i])) {
            set_open(&inner[i], smaller(beside(profile, inner, i, false),
                                        beside(profile, inner, i, true)));
        }
    }
    for (uint32_t i = 0; i < profile->count; i++) {
        if (is_open(&outer[i])) {
            const double within = larger(inner[i].r_from, inner[i].r_to) + profile->wall;
            set_open(&outer[i], larger(larger(beside(profile, outer, i, false),
                                              beside(profile, outer, i, true)),
                                       within));
        }
        if (isnan(inner[i].r_from) && !isnan(outer[i].r_from)) {
            set_open(&inner[i], outer[i].r_from - profile->wall);
        }
    }
}

/* Gives stretches that are open a radius, from one on in a direction to the next face. */
static void spread(struct profile *profile, struct reach *side, uint32_t from, int way,
                   double r)
{
    for (uint32_t i = from; i < profile->count && is_open(&side[i]); i += (uint32_t)way) {
        set_open(&side[i], r);
        if (is_face_of(profile->draft, profile->ends.at[way > 0 ? i + 1 : i],
                       side == profile->inner)) {
            break;
        }
    }
}

/* There is more material on the side that a face looks away from: of the outside a larger
 * radius, of the bore a smaller one. */
static void keep_face(struct profile *profile, uint32_t end, const struct plane *plane)
{
    const double at = profile->ends.at[end];
    const bool in_bore = is_face_of(profile->draft, at, true);
    struct reach *side = in_bore ? profile->inner : profile->outer;
    const double more = in_bore ? -1 : 1;
    const double step = profile->wall / 2;
    const bool is_before = plane->looks > 0; /* the material is inboard */
    struct reach *full = is_before ? &side[end - 1] : &side[end];
    struct reach *bare = is_before ? &side[end] : &side[end - 1];
    const double r_full = is_before ? full->r_to : full->r_from;
    const double r_bare = is_before ? bare->r_from : bare->r_to;
    if ((r_full - r_bare) * more > NEAR || isnan(r_full) || isnan(r_bare)) {
        return;
    }
    if (is_open(full)) {
        spread(profile, side, is_before ? end - 1 : end, is_before ? -1 : 1,
               r_bare + more * step);
    } else if (is_open(bare)) {
        spread(profile, side, is_before ? end : end - 1, is_before ? 1 : -1,
               r_full - more * step);
    }
}

static void keep_faces(struct profile *profile)
{
    for (uint32_t i = 1; i < profile->count; i++) {
        const struct plane *plane = plane_at(profile->draft, profile->ends.at[i]);
        if (is_face_of(profile->draft, profile->ends.at[i], true) ||
            is_face_of(profile->draft, profile->ends.at[i], false)) {
            keep_face(profile, i, plane);
        }
    }
}

/* Walls of two stretches that would not meet are drawn so that they do. */
static void connect(struct profile *profile)
{
    for (uint32_t i = 1; i < profile->count; i++) {
        struct reach *a = &profile->outer[i - 1];
        struct reach *b = &profile->outer[i];
        const double least_a = profile->inner[i].r_from + profile->wall / 2;
        const double least_b = profile->inner[i - 1].r_to + profile->wall / 2;
        if (!a->is_known && a->r_to < least_a) {
            set_open(a, least_a + profile->wall / 2);
        }
        if (!b->is_known && b->r_from < least_b) {
            set_open(b, least_b + profile->wall / 2);
        }
    }
}

/* Two walls that nobody recorded become one where they step by less than they are thick.
 */
static void smooth_pair(struct profile *profile, uint32_t end)
{
    struct reach *a = &profile->outer[end - 1];
    struct reach *b = &profile->outer[end];
    if (is_open(a) && is_open(b) && fabs(a->r_to - b->r_from) < profile->wall &&
        !is_face_of(profile->draft, profile->ends.at[end], false)) {
        const double r = fmax(a->r_to, b->r_from);
        set_open(a, r);
        set_open(b, r);
    }
}

static void smooth(struct profile *profile)
{
    for (uint32_t i = 1; !is_full(profile) && i < profile->count; i++) {
        smooth_pair(profile, i);
    }
    for (uint32_t i = profile->count; !is_full(profile) && i-- > 1;) {
        smooth_pair(profile, i);
    }
    for (uint32_t i = 0; i < profile->count; i++) {
        struct reach *inner = &profile->inner[i];
        if (is_open(inner) && inner->r_to > profile->outer[i].r_to - NEAR) {
            set_open(inner, profile->outer[i].r_to - profile->wall / 2);
        }
        if (inner->r_from < 0) {
            set_open(inner, 0);
        }
    }
}

/* The radii that the faces of other pieces have at a place where they look at one of this
 * piece; they are narrowed to what all of them have. */
static void narrow_to_neighbours(const struct profile *profile,
                                 const struct draft_view *view, double at, double *low,
                                 double *high)
{
    for (uint32_t i = 0; i < view->drafts.count; i++) {
        const struct draft *other = &view->drafts.at[i];
        double least = INFINITY;
        double most = -INFINITY;
        for (uint32_t k = 0; other != profile->draft && k < other->edges.count; k++) {
            const struct section_edge *edge = &other->edges.at[k];
            if (is_near(edge->from.x, at) && is_near(edge->to.x, at)) {
                least = fmin(least, fmin(edge->from.r, edge->to.r));
                most = fmax(most, fmax(edge->from.r, edge->to.r));
            }
        }
        if (most > least && fmax(least, *low) < fmin(most, *high)) {
            *low = fmax(least, *low);
            *high = fmin(most, *high);
        }
    }
}

/* Nothing across the axis is recorded: it is drawn between what it lies against, else on
 * the shaft that is there. */
static void close_bare(struct profile *profile, const struct draft_view *view)
{
    const double from = profile->ends.at[0];
    const double to = profile->ends.at[profile->count];
    double low = 0;
    double high = INFINITY;
    for (uint32_t i = 0; i <= profile->count; i++) {
        narrow_to_neighbours(profile, view, profile->ends.at[i], &low, &high);
    }
    if (!isfinite(high)) {
        low = view_solid_at(view, from, to);
        high = low + fmax(profile->wall, is_full(profile) ? 0 : low / 3);
    }
    for (uint32_t i = 0; i < profile->count; i++) {
        if (isnan(profile->outer[i].r_from)) {
            set_open(&profile->inner[i], is_full(profile) ? 0 : low);
            set_open(&profile->outer[i], high);
        }
    }
}

void profile_close(struct profile *profile, const struct draft_view *view)
{
    if (is_full(profile)) {
        close_full(profile);
        for (uint32_t i = 0; i < profile->count; i++) {
            if (isnan(profile->inner[i].r_from)) {
                set_open(&profile->inner[i], 0);
            }
        }
    } else {
        close_hollow(profile);
        keep_faces(profile);
    }
    close_bare(profile, view);
    smooth(profile);
    if (!is_full(profile)) {
        connect(profile);
    }
}
