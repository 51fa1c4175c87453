/* SPDX-License-Identifier: MIT */
/*
 * What lies under a band. A land is one unbroken stretch fit to be sealed on: a plain or
 * seat run, cut by whatever groove or hole lies on it. The spare of a band is the
 * least distance from either of its edges to the edge of the land that holds it best. A
 * band that overlaps a described run that is no land has failed whatever else is beside
 * it: its spare is then the overlap, negative. Where a band reaches past its land to
 * where nothing is described, nothing is known. A track is worn into a land that goes on
 * beneath it: whether something may run in it is for rules to say.
 */
#include "assembly_private.h"

#include "stated.h"

#include <math.h>

struct surface {
    const struct assembly *assembly;
    struct arena *arena;
    const struct row *laid;
    bool in_bore;
    const struct stretch *band;
    /* the best land so far */
    const struct row *land;
    struct stretch land_at;
    const struct form *spare;
    /* the worst overlap with what is no land */
    const struct row *offender;
    const struct form *overlap;
};

static bool is_land_kind(const struct assembly *assembly, const struct row *run)
{
    return (column_is(assembly, run, "kind", "plain") ||
            column_is(assembly, run, "kind", "seat")) &&
           column_word(assembly, run, "on") == NAME_NONE;
}

static bool is_on_side(const struct surface *surface, const struct row *run)
{
    const struct assembly *assembly = surface->assembly;
    return column_is(assembly, run, "in", "bore") == surface->in_bore &&
           axis_of(assembly, run) == surface->laid->key[2];
}

/* min(a - from, to - b): how far the band lies inside the stretch. */
static const struct form *spare_in(const struct surface *surface, struct stretch land)
{
    struct arena *arena = surface->arena;
    return form_min(arena, form_subtract(arena, surface->band->from, land.from),
                    form_subtract(arena, land.to, surface->band->to));
}

static const struct form *overlap_with(const struct surface *surface,
                                       struct stretch other)
{
    struct arena *arena = surface->arena;
    return form_subtract(arena, form_min(arena, surface->band->to, other.to),
                         form_max(arena, surface->band->from, other.from));
}

/* A land that surely holds the band comes first; then the one that may hold it best, so
 * that a land with an edge nobody measured is not passed over; ties go by name. */
static bool is_better_land(const struct surface *surface, const struct row *run,
                           const struct form *spare)
{
    const bool holds = spare->least >= 0.0;
    const bool held = surface->spare->least >= 0.0;
    if (holds != held) {
        return holds;
    }
    return spare->greatest > surface->spare->greatest ||
           (spare->greatest == surface->spare->greatest &&
            names_compare(surface->assembly->names, run->key[1], surface->land->key[1]) <
                0);
}

static void take_land(struct surface *surface, const struct row *run, struct stretch at)
{
    const struct form *spare = spare_in(surface, at);
    if (spare == NULL) {
        return;
    }
    if (surface->spare == NULL || is_better_land(surface, run, spare)) {
        surface->land = run;
        surface->land_at = at;
        surface->spare = spare;
    }
}

/* The greater overlap; one whose place is open comes after all others; ties go by name.
 */
static bool is_worse_offender(const struct surface *surface, const struct row *run,
                              const struct form *overlap)
{
    const double now = middle_of(overlap);
    const double before = middle_of(surface->overlap);
    if (isnan(now) != isnan(before)) {
        return isnan(before);
    }
    return now > before ||
           (!(now < before) && names_compare(surface->assembly->names, run->key[1],
                                             surface->offender->key[1]) < 0);
}

static void take_offender(struct surface *surface, const struct row *run,
                          struct stretch at)
{
    const struct form *overlap = overlap_with(surface, at);
    if (overlap == NULL || !(middle_of(overlap) > 0.0)) {
        /* It may still overlap by its tolerance: then it limits the spare like a land's
         * edge. */
        if (overlap == NULL || overlap->greatest <= 0.0) {
            return;
        }
    }
    if (surface->overlap == NULL || is_worse_offender(surface, run, overlap)) {
        surface->offender = run;
        surface->overlap = overlap;
    }
}

static void look_at_runs(struct surface *surface)
{
    const struct assembly *assembly = surface->assembly;
    const name_id key[2] = {surface->laid->key[1], NAME_NONE};
    struct scan scan;
    if (!scan_open(&scan, assembly->store, assembly->run, 1, key)) {
        return;
    }
    for (const struct row *run = scan_next(&scan); run != NULL; run = scan_next(&scan)) {
        if (!is_on_side(surface, run) || column_is(assembly, run, "kind", "track")) {
            continue;
        }
        const struct stretch at = stretch_in_unit(assembly, surface->laid, run);
        if (at.from == NULL || at.to == NULL) {
            continue;
        }
        if (is_land_kind(assembly, run)) {
            take_land(surface, run, at);
        } else {
            take_offender(surface, run, at);
        }
    }
}

/* Whether a described edge lies at this position: another run's end, or an outermost
 * face. */
static bool is_described_edge(const struct surface *surface, const struct form *edge)
{
    const struct assembly *assembly = surface->assembly;
    const name_id key[2] = {surface->laid->key[1], NAME_NONE};
    const relation_id relations[] = {assembly->run, assembly->face};
    for (int r = 0; r < 2; r++) {
        struct scan scan;
        if (!scan_open(&scan, assembly->store, relations[r], 1, key)) {
            return false;
        }
        for (const struct row *row = scan_next(&scan); row != NULL;
             row = scan_next(&scan)) {
            const struct form *at = r == 0 ? NULL : column_form(assembly, row, "at");
            const struct stretch run =
                r == 0 ? stretch_in_unit(assembly, surface->laid, row)
                       : (struct stretch){
                             at == NULL ? NULL
                                        : position_in_unit(assembly, surface->laid, at),
                             NULL};
            const bool is_other =
                r == 1 || (row != surface->land && is_on_side(surface, row));
            const bool meets =
                (run.from != NULL &&
                 fabs(middle_of(run.from) - middle_of(edge)) < 1000.0) ||
                (run.to != NULL && fabs(middle_of(run.to) - middle_of(edge)) < 1000.0);
            if (is_other && meets) {
                return true;
            }
        }
    }
    return false;
}

/* The surface beside the land is not recorded: how far it goes on is a missing dimension.
 */
static const struct form *undescribed(const struct surface *surface)
{
    struct deviation *missing = ARENA_NEW(surface->arena, struct deviation);
    if (missing == NULL) {
        return NULL;
    }
    *missing = (struct deviation){
        .name =
            text_format(surface->arena, "%.*s: the surface under the seal, near %.*s",
                        TEXT_ARG(assembly_text(surface->assembly, surface->laid->key[1])),
                        TEXT_ARG(magnitude_write(surface->arena, DIMENSION_LENGTH,
                                                 middle_of(surface->band->from), -1))),
        .nominal = NAN,
        .low = -INFINITY,
        .high = INFINITY,
        .basis = BASIS_MISSING,
        .dim = DIMENSION_LENGTH,
        .got_by = TEXT("eye caliper")};
    return form_of(surface->arena, missing);
}

/* The edge of the land that the band is nearer to, or beyond. */
static const struct form *near_edge(const struct surface *surface)
{
    const double before =
        middle_of(surface->band->from) - middle_of(surface->land_at.from);
    const double after = middle_of(surface->land_at.to) - middle_of(surface->band->to);
    return before < after ? surface->land_at.from : surface->land_at.to;
}

static const struct form *judge(const struct surface *surface)
{
    const struct form *bare = surface->overlap == NULL
                                  ? NULL
                                  : form_scale(surface->arena, surface->overlap, -1.0);
    if (bare != NULL && (surface->spare == NULL || bare->greatest < 0.0)) {
        return bare;
    }
    if (bare != NULL) {
        return form_min(surface->arena, bare, surface->spare);
    }
    if (surface->spare == NULL) {
        return undescribed(surface);
    }
    if (form_misses(surface->spare)) {
        return surface->spare; /* an edge that nobody measured says so itself */
    }
    const bool is_inside = surface->spare->least >= 0.0;
    return is_inside || is_described_edge(surface, near_edge(surface))
               ? surface->spare
               : undescribed(surface);
}

bool assembly_cover(const struct assembly *assembly, struct arena *arena, name_id unit,
                    name_id piece, name_id side, const struct stretch *band,
                    struct cover *out)
{
    /* A band lies on the axis of its own unit row; runs of another axis never meet it. */
    struct surface surface = {.assembly = assembly, .arena = arena, .band = band};
    *out = (struct cover){0};
    surface.laid = laid_on(assembly, unit, piece, assembly->default_axis);
    surface.in_bore = text_is(assembly_text(assembly, side), "bore");
    if (surface.laid == NULL) {
        out->spare = form_undefined(arena, DIMENSION_LENGTH, "the piece is not laid");
        out->under = names_find(assembly->names, TEXT("undescribed"));
        return out->spare != NULL;
    }
    look_at_runs(&surface);
    if (arena_status(arena) != STATUS_OK || arena_status(assembly->arena) != STATUS_OK) {
        return false; /* forms may be NULL from here on */
    }
    out->spare = judge(&surface);
    const bool is_offended = surface.offender != NULL &&
                             (surface.land == NULL || middle_of(surface.overlap) > 0.0);
    const struct row *under = is_offended ? surface.offender : surface.land;
    const struct form *overlap =
        surface.land == NULL ? NULL : overlap_with(&surface, surface.land_at);
    if (arena_status(arena) != STATUS_OK) {
        return false;
    }
    const bool is_under =
        under != NULL && (is_offended || (overlap != NULL && overlap->greatest > 0.0));
    out->under =
        is_under ? under->key[1] : names_find(assembly->names, TEXT("undescribed"));
    out->rests_on[out->rests_on_count++] = surface.laid;
    if (surface.land != NULL) {
        out->rests_on[out->rests_on_count++] = surface.land;
    }
    if (surface.offender != NULL) {
        out->rests_on[out->rests_on_count++] = surface.offender;
    }
    const uint32_t room = sizeof out->rests_on / sizeof *out->rests_on;
    const struct row *gap = NULL;
    for (uint32_t i = 0;
         out->rests_on_count < room &&
         (gap = assembly_settling_under(assembly, surface.laid, i)) != NULL;
         i++) {
        out->rests_on[out->rests_on_count++] = gap;
    }
    return out->spare != NULL;
}
