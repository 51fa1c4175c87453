/* SPDX-License-Identifier: MIT */
/* The stretches of a turned part, and what is recorded of each: by a run, by a face's own
 * size, by a bolt circle or a port. */
#include "section_profile.h"

#include <math.h>
#include <stdlib.h>

bool is_near(double a, double b)
{
    return fabs(a - b) < NEAR;
}

bool is_full(const struct profile *profile)
{
    return profile->draft->drawn->as == DRAWN_SOLID;
}

bool is_open(const struct reach *reach)
{
    return !reach->is_known && !reach->is_said;
}

void set_open(struct reach *reach, double r)
{
    reach->r_from = r;
    reach->r_to = r;
}

/* ---- stretches */

/* The end of a run that is missing, where the next thing begins. */
static double next_place(const struct draft *draft, const struct surface *of, double from,
                         double way)
{
    double best = INFINITY;
    for (uint32_t i = 0; i < draft->planes.count; i++) {
        const double away = (draft->planes.at[i].at - from) * way;
        best =
            !draft->planes.at[i].is_station && away > NEAR && away < best ? away : best;
    }
    for (uint32_t i = 0; i < draft->surfaces.count; i++) {
        const struct surface *other = &draft->surfaces.at[i];
        const double away = ((way > 0 ? other->from : other->to) - from) * way;
        best = other != of && !other->is_cut && other->is_bore == of->is_bore &&
                       away > NEAR && away < best
                   ? away
                   : best;
    }
    return from + way * best;
}

static void assume_end(struct profile *profile, struct surface *surface, bool is_to)
{
    struct draft *draft = profile->draft;
    double *end = is_to ? &surface->to : &surface->from;
    *end =
        next_place(draft, surface, is_to ? surface->from : surface->to, is_to ? 1 : -1);
    if (!isfinite(*end)) {
        *end = is_to ? surface->from + profile->beyond : surface->to - profile->beyond;
    }
    *(is_to ? &surface->is_to_assumed : &surface->is_from_assumed) = true;
    const char *field = is_to == (draft->placing.sign > 0) ? "to" : "from";
    for (uint32_t i = 0; i < draft->unknowns.count; i++) {
        if (text_equal(draft->unknowns.at[i].dimension,
                       text_format(profile->drafting->arena, "%.*s.%s",
                                   TEXT_ARG(surface->name), field))) {
            draft->unknowns.at[i].at.x = *end;
        }
    }
}

static void assume_ends(struct profile *profile)
{
    for (uint32_t i = 0; i < profile->draft->surfaces.count; i++) {
        struct surface *surface = &profile->draft->surfaces.at[i];
        if (isnan(surface->to) != isnan(surface->from)) {
            assume_end(profile, surface, isnan(surface->to));
        }
    }
}

static void add_end(struct profile *profile, double at)
{
    for (uint32_t i = 0; i < profile->ends.count; i++) {
        if (is_near(profile->ends.at[i], at)) {
            return;
        }
    }
    if (!isnan(at)) {
        (void)ARRAY_PUSH(profile->drafting->arena, &profile->ends, at);
    }
}

static int compare_ends(const void *a, const void *b)
{
    const double left = *(const double *)a;
    const double right = *(const double *)b;
    return (left > right) - (left < right);
}

static void sort_ends(struct profile *profile)
{
    if (profile->ends.count > 1) {
        qsort(profile->ends.at, profile->ends.count, sizeof *profile->ends.at,
              compare_ends);
    }
}

/* The face at a place; NULL: none. */
const struct plane *plane_at(const struct draft *draft, double at)
{
    for (uint32_t i = 0; i < draft->planes.count; i++) {
        if (!draft->planes.at[i].is_station && is_near(draft->planes.at[i].at, at)) {
            return &draft->planes.at[i];
        }
    }
    return NULL;
}

/* Whether a run of one side ends at a place. */
static bool ends_there(const struct draft *draft, double at, bool is_bore, bool is_cut)
{
    for (uint32_t i = 0; i < draft->surfaces.count; i++) {
        const struct surface *one = &draft->surfaces.at[i];
        if ((is_cut ? one->is_cut : !one->is_cut && one->is_bore == is_bore) &&
            (is_near(one->from, at) || is_near(one->to, at))) {
            return true;
        }
    }
    return false;
}

/* A face of the bore, or the wall of a groove, says nothing of the outside. */
bool is_face_of(const struct draft *draft, double at, bool is_bore)
{
    return plane_at(draft, at) != NULL && !ends_there(draft, at, false, true) &&
           (ends_there(draft, at, true, false) && !ends_there(draft, at, false, false)) ==
               is_bore;
}

/* Where the outermost face has its material on the far side, the part goes on there. */
static void go_beyond(struct profile *profile)
{
    if (profile->ends.count == 0) {
        return;
    }
    const double first = profile->ends.at[0];
    const double last = profile->ends.at[profile->ends.count - 1];
    const struct plane *at_first = plane_at(profile->draft, first);
    const struct plane *at_last = plane_at(profile->draft, last);
    if (at_first != NULL && at_first->looks > 0) {
        add_end(profile, first - profile->beyond);
    }
    if (at_last != NULL && at_last->looks < 0) {
        add_end(profile, last + profile->beyond);
    }
    sort_ends(profile);
}

const struct surface *surface_at(const struct draft *draft, double x, bool is_bore)
{
    const struct surface *found = NULL;
    for (uint32_t i = 0; i < draft->surfaces.count; i++) {
        const struct surface *one = &draft->surfaces.at[i];
        if (one->is_round && one->is_bore == is_bore && one->from < x && x < one->to &&
            (found == NULL || one->is_cut)) {
            found = one;
        }
    }
    return found;
}

static struct reach recorded(const struct draft *draft, double x, bool is_bore)
{
    const struct surface *by = surface_at(draft, x, is_bore);
    const double r = by == NULL ? NAN : by->r;
    return (struct reach){.r_from = r, .r_to = r, .is_known = !isnan(r), .by = by};
}

/* Where a bore widens by more than a wall, the wall behind the step is a stretch of its
 * own, so that what is on both sides hangs together. */
static void add_webs(struct profile *profile)
{
    const uint32_t count = profile->ends.count;
    for (uint32_t i = 1; !is_full(profile) && i + 1 < count; i++) {
        const double at = profile->ends.at[i];
        const struct reach before = recorded(profile->draft, at - 2 * NEAR, true);
        const struct reach after = recorded(profile->draft, at + 2 * NEAR, true);
        if (after.r_from - before.r_to > profile->wall) {
            add_end(profile, at - profile->wall);
        } else if (before.r_to - after.r_from > profile->wall) {
            add_end(profile, at + profile->wall);
        }
    }
    sort_ends(profile);
}

static void cut_up(struct profile *profile)
{
    const struct draft *draft = profile->draft;
    for (uint32_t i = 0; i < draft->surfaces.count; i++) {
        const struct surface *surface = &draft->surfaces.at[i];
        if (surface->is_round && !isnan(surface->from) && !isnan(surface->to)) {
            add_end(profile, surface->from);
            add_end(profile, surface->to);
        }
    }
    for (uint32_t i = 0; i < draft->planes.count; i++) {
        if (!draft->planes.at[i].is_station) {
            add_end(profile, draft->planes.at[i].at);
        }
    }
    sort_ends(profile);
    go_beyond(profile);
    for (uint32_t i = 0; draft->drawn->as == DRAWN_HOUSING && i < draft->holes.count;
         i++) {
        const struct hole *hole = &draft->holes.at[i];
        if (!hole->is_circle && !isnan(hole->bore) && profile->ends.count > 0) {
            add_end(profile, hole->at - hole->bore - profile->wall / 2);
            add_end(profile, hole->at + hole->bore + profile->wall / 2);
        }
    }
    sort_ends(profile);
    add_webs(profile);
}

/* ---- what is recorded */

static void say(struct reach *reach, double r)
{
    if (!reach->is_known && !isnan(r)) {
        reach->r_from = r;
        reach->r_to = r;
        reach->is_said = true;
    }
}

static void say_here(struct reach *reach, double r)
{
    const bool was_open = !reach->is_known && !reach->is_said;
    say(reach, r);
    reach->is_local = reach->is_local || (was_open && reach->is_said);
}

/* The stretch behind a face, on the side of its material; none where the part ends. */
static struct reach *behind(const struct profile *profile, struct reach *side, double at,
                            int looks)
{
    for (uint32_t i = 0; i < profile->count; i++) {
        if (is_near(looks > 0 ? profile->ends.at[i + 1] : profile->ends.at[i], at)) {
            return &side[i];
        }
    }
    return NULL;
}

static void say_planes(struct profile *profile)
{
    for (uint32_t i = 0; i < profile->draft->planes.count; i++) {
        const struct plane *plane = &profile->draft->planes.at[i];
        struct reach *outer = behind(profile, profile->outer, plane->at, plane->looks);
        struct reach *inner = behind(profile, profile->inner, plane->at, plane->looks);
        if (outer != NULL && !plane->is_station) {
            say(outer, plane->outside);
            say(inner, plane->inside);
        }
    }
}

/* How far back the flange of a bolt circle goes: to the next face that looks the other
 * way, if that is near. */
static double flange_end(const struct profile *profile, const struct hole *circle)
{
    double best = circle->r / 2;
    bool is_found = false;
    for (uint32_t i = 0; i < profile->draft->planes.count; i++) {
        const struct plane *plane = &profile->draft->planes.at[i];
        const double away = (circle->at - plane->at) * circle->looks;
        if (!plane->is_station && plane->looks == -circle->looks && away > NEAR &&
            away < best) {
            best = away;
            is_found = true;
        }
    }
    return is_found ? circle->at - best * circle->looks : NAN;
}

static void say_circle(struct profile *profile, const struct hole *circle)
{
    const double r = circle->r + 1.5 * circle->bore;
    const double end = flange_end(profile, circle);
    struct reach *nearest = behind(profile, profile->outer, circle->at, circle->looks);
    for (uint32_t i = 0; i < profile->count && nearest != NULL; i++) {
        const double middle = (profile->ends.at[i] + profile->ends.at[i + 1]) / 2;
        if (&profile->outer[i] == nearest ||
            (!isnan(end) && (middle - end) * (middle - circle->at) < 0)) {
            say_here(&profile->outer[i], r);
        }
    }
}

/* What stands in a port sits this far from the axis, so there is material there. */
static void say_port(struct profile *profile, const struct hole *port)
{
    for (uint32_t i = 0; i < profile->count; i++) {
        const double middle = (profile->ends.at[i] + profile->ends.at[i + 1]) / 2;
        if (fabs(middle - port->at) < port->bore + profile->wall / 2) {
            say_here(&profile->outer[i], port->r);
        }
    }
}

static void say_all(struct profile *profile)
{
    const struct draft *draft = profile->draft;
    const double outside = drafting_role(profile->drafting, draft, DRAWN_OUTSIDE) / 2;
    const double inside = drafting_role(profile->drafting, draft, DRAWN_INSIDE) / 2;
    for (uint32_t i = 0; i < profile->count; i++) {
        say(&profile->outer[i], outside);
        say(&profile->inner[i], inside);
    }
    say_planes(profile);
    for (uint32_t i = 0; !is_full(profile) && i < draft->holes.count; i++) {
        const struct hole *hole = &draft->holes.at[i];
        if (hole->is_circle && hole->looks != 0 && !isnan(hole->r) &&
            !isnan(hole->bore)) {
            say_circle(profile, hole);
        } else if (!hole->is_circle && draft->drawn->as == DRAWN_HOUSING) {
            say_port(profile, hole);
        }
    }
}

static double largest_radius(const struct draft *draft)
{
    double largest = 0;
    for (uint32_t i = 0; i < draft->surfaces.count; i++) {
        largest =
            fmax(largest, isnan(draft->surfaces.at[i].r) ? 0 : draft->surfaces.at[i].r);
    }
    return largest;
}

bool profile_open(struct profile *profile)
{
    struct arena *arena = profile->drafting->arena;
    profile->wall = fmin(fmax(0.22 * largest_radius(profile->draft), 3), 9);
    profile->beyond = is_full(profile) ? 10 : 0.7 * profile->wall;
    assume_ends(profile);
    cut_up(profile);
    if (profile->ends.count < 2) {
        return false;
    }
    profile->count = profile->ends.count - 1;
    profile->outer = ARENA_MANY(arena, profile->count, struct reach);
    profile->inner = ARENA_MANY(arena, profile->count, struct reach);
    if (profile->outer == NULL || profile->inner == NULL) {
        return false;
    }
    for (uint32_t i = 0; i < profile->count; i++) {
        const double middle = (profile->ends.at[i] + profile->ends.at[i + 1]) / 2;
        profile->outer[i] = recorded(profile->draft, middle, false);
        profile->inner[i] = recorded(profile->draft, middle, true);
    }
    say_all(profile);
    return true;
}
