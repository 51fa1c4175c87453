/* SPDX-License-Identifier: MIT */
/* The lines and cut faces of a turned part, out of its profile. A step is recorded where
 * a face is, or where the runs on both sides end. */
#include "section_profile.h"

#include <math.h>

/* Whether two stretches are one line. */
static bool goes_on(const struct reach *a, const struct reach *b)
{
    return a->by == b->by && (a->by != NULL || (is_near(a->r_from, b->r_to) &&
                                                is_near(a->r_to, b->r_from)));
}

static void draw_side(const struct profile *profile, const struct reach *side)
{
    for (uint32_t i = 0; i < profile->count; i++) {
        const struct reach *reach = &side[i];
        uint32_t last = i;
        while (last + 1 < profile->count && goes_on(&side[last], &side[last + 1])) {
            last++;
        }
        const double from = profile->ends.at[i];
        const double to = profile->ends.at[last + 1];
        const text name = reach->by == NULL ? (text){"", 0} : reach->by->name;
        if (reach->r_from < NEAR && reach->r_to < NEAR) {
            continue;
        }
        draft_edge(profile->drafting, profile->draft,
                   (struct section_point){from, reach->r_from},
                   (struct section_point){to, side[last].r_to},
                   reach->is_known ? LINE_RECORDED : LINE_ASSUMED, name);
        if (reach->by != NULL && !isnan(reach->by->root)) {
            draft_edge(profile->drafting, profile->draft,
                       (struct section_point){from, reach->by->root},
                       (struct section_point){to, reach->by->root}, LINE_ROOT, TEXT(""));
        }
        if (reach->by != NULL && !isnan(reach->by->pitch)) {
            draft_edge(profile->drafting, profile->draft,
                       (struct section_point){from, reach->by->pitch},
                       (struct section_point){to, reach->by->pitch}, LINE_PITCH,
                       TEXT(""));
        }
        i = last;
    }
}

/* Where a side steps between two stretches: recorded where a face is, or where the runs
 * on both sides end. */
static void draw_steps(const struct profile *profile, const struct reach *side)
{
    for (uint32_t i = 1; i < profile->count; i++) {
        const struct reach *a = &side[i - 1];
        const struct reach *b = &side[i];
        const double at = profile->ends.at[i];
        const bool is_sure = plane_at(profile->draft, at) != NULL ||
                             (a->is_known && b->is_known && !a->by->is_to_assumed &&
                              !b->by->is_from_assumed);
        if (fabs(a->r_to - b->r_from) > NEAR) {
            draft_edge(profile->drafting, profile->draft,
                       (struct section_point){at, a->r_to},
                       (struct section_point){at, b->r_from},
                       is_sure ? LINE_RECORDED : LINE_ASSUMED, TEXT(""));
        }
    }
}

static void draw_end(const struct profile *profile, uint32_t stretch, bool is_last)
{
    const double at = profile->ends.at[is_last ? stretch + 1 : stretch];
    const struct reach *inner = &profile->inner[stretch];
    const struct reach *outer = &profile->outer[stretch];
    draft_edge(profile->drafting, profile->draft,
               (struct section_point){at, is_last ? inner->r_to : inner->r_from},
               (struct section_point){at, is_last ? outer->r_to : outer->r_from},
               plane_at(profile->draft, at) != NULL ? LINE_RECORDED : LINE_ASSUMED,
               TEXT(""));
}

static void draw(struct profile *profile)
{
    struct section_point *points = ARENA_MANY(
        profile->drafting->arena, 4 * (size_t)profile->count, struct section_point);
    const enum drawn_fill fill = profile->draft->drawn->fill;
    uint32_t count = 0;
    if (points == NULL) {
        return;
    }
    for (uint32_t i = 0; i < profile->count; i++) {
        const struct reach *reach = &profile->outer[i];
        points[count++] = (struct section_point){profile->ends.at[i], reach->r_from};
        points[count++] = (struct section_point){profile->ends.at[i + 1], reach->r_to};
    }
    for (uint32_t i = profile->count; i-- > 0;) {
        const struct reach *reach = &profile->inner[i];
        points[count++] = (struct section_point){profile->ends.at[i + 1], reach->r_to};
        points[count++] = (struct section_point){profile->ends.at[i], reach->r_from};
    }
    draft_area(profile->drafting, profile->draft, points, count,
               profile->draft->drawn->as == DRAWN_OUTLINE ? FILL_NONE
               : fill == DRAWN_METAL                      ? FILL_METAL
               : fill == DRAWN_RUBBER                     ? FILL_RUBBER
                                                          : FILL_WHOLE);
    draw_side(profile, profile->outer);
    draw_side(profile, profile->inner);
    draw_steps(profile, profile->outer);
    draw_steps(profile, profile->inner);
    draw_end(profile, 0, false);
    draw_end(profile, profile->count - 1, true);
}

/* A keyway or a hole that is cut into a shaft shows as its floor. */
static void draw_cuts(const struct profile *profile)
{
    const struct draft *draft = profile->draft;
    for (uint32_t i = 0; i < draft->surfaces.count; i++) {
        const struct surface *cut = &draft->surfaces.at[i];
        const struct surface *base =
            surface_at(draft, (cut->from + cut->to) / 2, cut->is_bore);
        if (cut->is_round || isnan(cut->depth) || base == NULL || isnan(base->r)) {
            continue;
        }
        const double floor = base->r + (cut->is_bore ? cut->depth : -cut->depth);
        const struct section_point corners[] = {{cut->from, base->r},
                                                {cut->from, floor},
                                                {cut->to, floor},
                                                {cut->to, base->r}};
        for (uint32_t k = 0; k < 3; k++) {
            draft_edge(profile->drafting, profile->draft, corners[k], corners[k + 1],
                       LINE_ROOT, k == 1 ? cut->name : TEXT(""));
        }
    }
}

void draft_outline(const struct drafting *drafting, struct draft *draft,
                   const struct draft_view *view)
{
    struct profile profile = {.drafting = drafting, .draft = draft};
    if (profile_open(&profile)) {
        profile_close(&profile, view);
        draw(&profile);
        draw_cuts(&profile);
    }
}
