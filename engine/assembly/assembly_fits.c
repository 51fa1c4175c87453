/* SPDX-License-Identifier: MIT */
/*
 * Fits across the axis: which diameters meet and over what length, what a piece must pass
 * over on the way to its place, and which stretch of another piece a seal touches.
 */
#include "assembly_fits.h"

#include <math.h>

static bool is_kind(const struct assembly *assembly, const struct row *run,
                    const char *kind)
{
    return column_is(assembly, run, "kind", kind);
}

/* A spline or thread is as wide as its crests outside and as narrow as its roots inside.
 */
static bool has_teeth(const struct assembly *assembly, const struct row *run)
{
    return is_kind(assembly, run, "spline") || is_kind(assembly, run, "thread");
}

const struct form *clear_diameter(const struct assembly *assembly, const struct row *run,
                                  bool is_bore)
{
    const struct form *plain = column_form(assembly, run, "diameter");
    const struct form *crest = column_form(assembly, run, is_bore ? "minor" : "major");
    const bool is_described = crest != NULL && !form_misses(crest);
    return has_teeth(assembly, run) && is_described ? crest : plain;
}

bool is_in_bore(const struct assembly *assembly, const struct row *run)
{
    return column_is(assembly, run, "in", "bore");
}

bool is_dip(const struct assembly *assembly, const struct row *run)
{
    return column_word(assembly, run, "on") != NAME_NONE ||
           is_kind(assembly, run, "groove") || is_kind(assembly, run, "keyway") ||
           is_kind(assembly, run, "hole") || is_kind(assembly, run, "track");
}

static const struct form *overlap_of(const struct assembly *assembly, struct stretch a,
                                     struct stretch b)
{
    if (a.from == NULL || b.from == NULL) {
        return NULL;
    }
    return form_subtract(assembly->arena, form_min(assembly->arena, a.to, b.to),
                         form_max(assembly->arena, a.from, b.from));
}

/* Of a piece's runs on one side, the one that overlaps a stretch most; ties by name. */
static const struct row *most_overlapping(const struct assembly *assembly,
                                          const struct row *laid, bool in_bore,
                                          struct stretch stretch)
{
    const name_id key[2] = {laid->key[1], NAME_NONE};
    const struct row *best = NULL;
    double best_overlap = 0;
    struct scan scan;
    if (!scan_open(&scan, assembly->store, assembly->run, 1, key)) {
        return NULL;
    }
    for (const struct row *run = scan_next(&scan); run != NULL; run = scan_next(&scan)) {
        if (is_in_bore(assembly, run) != in_bore || is_dip(assembly, run) ||
            axis_of(assembly, run) != laid->key[2]) {
            continue;
        }
        const struct form *overlap =
            overlap_of(assembly, stretch, stretch_in_unit(assembly, laid, run));
        const double width = overlap == NULL ? NAN : middle_of(overlap);
        const bool is_better =
            width > best_overlap ||
            (best != NULL && width == best_overlap &&
             names_compare(assembly->names, run->key[1], best->key[1]) < 0);
        if (width > 0 && is_better) {
            best = run;
            best_overlap = width;
        }
    }
    return best;
}

static bool find_sides(const struct assembly *assembly, name_id unit,
                       const struct row *asked, struct fit_sides *out)
{
    *out = (struct fit_sides){.asked = asked,
                              .unit = unit,
                              .left_is_bore = column_is(assembly, asked, "way", "on")};
    const name_id feature = column_word(assembly, asked, "feature");
    const name_id other = column_word(assembly, asked, "other-feature");
    out->left = piece_in(assembly, unit, column_word(assembly, asked, "place"), NULL);
    out->right =
        piece_in(assembly, unit, column_word(assembly, asked, "other-place"), NULL);
    out->left_feature = run_of(assembly, out->left, feature);
    if (out->left_feature == NULL) {
        out->left_feature = band_of(assembly, out->left, feature);
    }
    if (out->left_feature == NULL) {
        return false;
    }
    const name_id axis = axis_of(assembly, out->left_feature);
    out->left_laid = laid_on(assembly, unit, out->left, axis);
    out->right_laid = laid_on(assembly, unit, out->right, axis);
    if (out->left_laid == NULL || out->right_laid == NULL) {
        return false;
    }
    out->right_run = other != NAME_NONE
                         ? run_of(assembly, out->right, other)
                         : most_overlapping(assembly, out->right_laid, !out->left_is_bore,
                                            stretch_in_unit(assembly, out->left_laid,
                                                            out->left_feature));
    return true;
}

/* ---- fit */

const char *kind_word(const struct assembly *assembly, const struct row *run)
{
    const name_id kind = column_word(assembly, run, "kind");
    return kind == NAME_NONE ? "" : assembly_text(assembly, kind).at;
}

static status add_fit(struct assembly *assembly, const struct fit_sides *sides)
{
    const struct row *bore_run =
        sides->left_is_bore ? sides->left_feature : sides->right_run;
    const struct row *outside_run =
        sides->left_is_bore ? sides->right_run : sides->left_feature;
    const bool both_toothed =
        has_teeth(assembly, bore_run) && has_teeth(assembly, outside_run);
    const struct form *bore = clear_diameter(assembly, bore_run, true);
    const struct form *outside = clear_diameter(assembly, outside_run, false);
    struct computed made;
    computed_open(&made, assembly, assembly->fit, "fit");
    made.key[0] = sides->unit;
    made.key[1] = sides->left;
    made.key[2] = sides->left_feature->key[1];
    made.key[3] = sides->right;
    made.key[4] = sides->right_run->key[1];
    if (!both_toothed && bore != NULL && outside != NULL) {
        computed_value(&made, "clearance",
                       value_quantity(form_subtract(assembly->arena, bore, outside)));
        computed_value(&made, "bore", value_quantity(bore));
        computed_value(&made, "outside", value_quantity(outside));
    }
    const struct form *common = overlap_of(
        assembly, stretch_in_unit(assembly, sides->left_laid, sides->left_feature),
        stretch_in_unit(assembly, sides->right_laid, sides->right_run));
    if (common != NULL) {
        computed_value(&made, "common", value_quantity(common));
    }
    computed_word(&made, "bore-kind", kind_word(assembly, bore_run));
    computed_word(&made, "outside-kind", kind_word(assembly, outside_run));
    computed_value(&made, "holds-piece",
                   value_word(sides->left_is_bore ? sides->left : sides->right));
    computed_rest(&made, sides->asked);
    computed_rest(&made, sides->left_laid);
    computed_rest(&made, sides->left_feature);
    computed_rest(&made, sides->right_laid);
    computed_rest(&made, sides->right_run);
    rest_on_settlings(&made, sides->left_laid);
    rest_on_settlings(&made, sides->right_laid);
    return computed_add(&made);
}

/* ---- passing */

/* Whether a piece is put to a depth beside a face, which says nothing of where it came
 * from. */
static bool is_at_depth(const struct assembly *assembly, const struct row *laid)
{
    uint32_t count = 0;
    const struct row *const *rests_on = row_rests_on(laid, &count);
    for (uint32_t i = 0; i < count; i++) {
        const struct row *below = rests_on[i];
        if (below->relation == assembly->stop &&
            column_is(assembly, below, "has-offset", "true")) {
            return true;
        }
    }
    return false;
}

/* Which way a piece's own contact moves it: -1 inboard (it came from outboard), 1
 * outboard, 0 not known. */
static int way_in(const struct assembly *assembly, const struct row *laid)
{
    if (is_at_depth(assembly, laid)) {
        return 0;
    }
    uint32_t count = 0;
    const struct row *const *rests_on = row_rests_on(laid, &count);
    for (uint32_t i = 0; i < count; i++) {
        const struct row *below = rests_on[i];
        if (below->relation == assembly->face && below->key[0] == laid->key[1]) {
            const int way = column_is(assembly, below, "looks", "in") ? -1 : 1;
            return is_turned(assembly, laid) ? -way : way;
        }
    }
    return 0;
}

static bool same_spline(const struct assembly *assembly, const struct row *a,
                        const struct row *b)
{
    const struct value a_teeth = column_value(assembly, a, "teeth");
    const struct value b_teeth = column_value(assembly, b, "teeth");
    const struct form *a_module = column_form(assembly, a, "module");
    const struct form *b_module = column_form(assembly, b, "module");
    return is_kind(assembly, a, "spline") && is_kind(assembly, b, "spline") &&
           a_teeth.kind == VALUE_COUNT && b_teeth.kind == VALUE_COUNT &&
           a_teeth.count == b_teeth.count && a_module != NULL && b_module != NULL &&
           a_module->nominal == b_module->nominal;
}

/* Whether a run of the other piece lies beyond the seat on the side the piece comes from.
 */
static bool lies_beyond(const struct assembly *assembly, const struct fit_sides *sides,
                        const struct row *run, int from_side)
{
    const struct stretch seat =
        stretch_in_unit(assembly, sides->right_laid, sides->right_run);
    const struct stretch other = stretch_in_unit(assembly, sides->right_laid, run);
    if (seat.from == NULL || other.from == NULL) {
        return false;
    }
    return from_side > 0 ? middle_of(other.from) >= middle_of(seat.to)
                         : middle_of(other.to) <= middle_of(seat.from);
}

static status add_pass(struct assembly *assembly, const struct fit_sides *sides,
                       const struct row *over)
{
    const struct form *left =
        clear_diameter(assembly, sides->left_feature, sides->left_is_bore);
    const struct form *right = clear_diameter(assembly, over, !sides->left_is_bore);
    struct computed made;
    if (left == NULL || right == NULL) {
        return arena_status(assembly->arena);
    }
    computed_open(&made, assembly, assembly->pass, "pass");
    made.key[0] = sides->unit;
    made.key[1] = sides->left;
    made.key[2] = sides->left_feature->key[1];
    made.key[3] = sides->right;
    made.key[4] = over->key[1];
    computed_value(&made, "room",
                   value_quantity(sides->left_is_bore
                                      ? form_subtract(assembly->arena, left, right)
                                      : form_subtract(assembly->arena, right, left)));
    computed_word(&made, "over-kind", kind_word(assembly, over));
    computed_word(&made, "run-kind", kind_word(assembly, sides->left_feature));
    computed_rest(&made, sides->asked);
    computed_rest(&made, sides->left_laid);
    computed_rest(&made, sides->left_feature);
    computed_rest(&made, sides->right_laid);
    computed_rest(&made, sides->right_run);
    computed_rest(&made, over);
    return computed_add(&made);
}

/* Every run of the other piece that the left one must pass when it comes from this side.
 */
static status add_passes(struct assembly *assembly, const struct fit_sides *sides,
                         int from_side)
{
    const name_id key[2] = {sides->right, NAME_NONE};
    struct scan scan;
    if (!scan_open(&scan, assembly->store, assembly->run, 1, key)) {
        return arena_status(assembly->arena);
    }
    for (const struct row *run = scan_next(&scan); run != NULL; run = scan_next(&scan)) {
        if (run == sides->right_run ||
            is_in_bore(assembly, run) != !sides->left_is_bore || is_dip(assembly, run) ||
            axis_of(assembly, run) != sides->right_laid->key[2] ||
            same_spline(assembly, sides->left_feature, run) ||
            !lies_beyond(assembly, sides, run, from_side)) {
            continue;
        }
        TRY(add_pass(assembly, sides, run));
    }
    return STATUS_OK;
}

/* The least room met from one side, as far as it is known. */
static double least_room(const struct assembly *assembly, const struct fit_sides *sides,
                         int from_side)
{
    const name_id key[2] = {sides->right, NAME_NONE};
    const struct form *left =
        clear_diameter(assembly, sides->left_feature, sides->left_is_bore);
    double least = INFINITY;
    struct scan scan;
    if (left == NULL || !scan_open(&scan, assembly->store, assembly->run, 1, key)) {
        return least;
    }
    for (const struct row *run = scan_next(&scan); run != NULL; run = scan_next(&scan)) {
        const struct form *right = clear_diameter(assembly, run, !sides->left_is_bore);
        if (run == sides->right_run || right == NULL ||
            is_in_bore(assembly, run) != !sides->left_is_bore || is_dip(assembly, run) ||
            same_spline(assembly, sides->left_feature, run) ||
            !lies_beyond(assembly, sides, run, from_side)) {
            continue;
        }
        const double room = middle_of(left) - middle_of(right);
        least = fmin(least, sides->left_is_bore ? room : -room);
    }
    return least;
}

/* Whether a contact lays a piece on this other one. */
static bool lies_on(const struct row *laid, const struct row *other)
{
    uint32_t count = 0;
    const struct row *const *rests_on = row_rests_on(laid, &count);
    for (uint32_t i = 0; i < count; i++) {
        if (rests_on[i] == other) {
            return true;
        }
    }
    return false;
}

int side_by_contact(const struct assembly *assembly, const struct fit_sides *sides)
{
    const int own = way_in(assembly, sides->left_laid);
    const int others = way_in(assembly, sides->right_laid);
    if (others != 0 && lies_on(sides->right_laid, sides->left_laid)) {
        return others; /* the other was pushed into this one: seen from here it is the
                          reverse */
    }
    return own != 0 && lies_on(sides->left_laid, sides->right_laid) ? -own : 0;
}

/* From which side the left piece came over the right one: 1 outboard, -1 inboard. Where
 * each lies on something else, nobody pushes a piece the narrow way. */
static int side_of(const struct assembly *assembly, const struct fit_sides *sides)
{
    const int told = side_by_contact(assembly, sides);
    if (told != 0) {
        return told;
    }
    return least_room(assembly, sides, 1) >= least_room(assembly, sides, -1) ? 1 : -1;
}

/* ---- bands */

/* Which way the lip faces, as it lies in the unit. */
static struct value facing_of(const struct assembly *assembly,
                              const struct fit_sides *sides)
{
    struct value facing = column_value(assembly, sides->left_feature, "holds-back");
    if (facing.kind == VALUE_WORD && is_turned(assembly, sides->left_laid)) {
        const bool is_in = text_is(assembly_text(assembly, facing.word), "in");
        facing = value_word(names_add(assembly->names, is_in ? TEXT("out") : TEXT("in")));
    }
    return facing;
}

static status add_band(struct assembly *assembly, const struct fit_sides *sides)
{
    const struct stretch stretch =
        stretch_in_unit(assembly, sides->left_laid, sides->left_feature);
    const name_id meant = column_word(assembly, sides->asked, "other-feature");
    struct computed made;
    if (stretch.from == NULL || stretch.to == NULL) {
        return arena_status(assembly->arena);
    }
    computed_open(&made, assembly, assembly->band, "band");
    made.key[0] = sides->unit;
    made.key[1] = sides->left;
    made.key[2] = sides->left_feature->key[1];
    made.key[3] = sides->right;
    computed_value(&made, "type", column_value(assembly, sides->left_feature, "type"));
    computed_word(&made, "side",
                  column_is(assembly, sides->left_feature, "in", "bore") ? "outside"
                                                                         : "bore");
    computed_value(&made, "from", value_quantity(stretch.from));
    computed_value(&made, "to", value_quantity(stretch.to));
    computed_value(&made, "holds-back", facing_of(assembly, sides));
    if (meant != NAME_NONE) {
        computed_value(&made, "meant-for", value_word(meant));
    } else {
        computed_word(&made, "meant-for", "any");
    }
    computed_rest(&made, sides->asked);
    computed_rest(&made, sides->left_laid);
    computed_rest(&made, sides->left_feature);
    computed_rest(&made, sides->right_laid);
    rest_on_settlings(&made, sides->left_laid);
    return computed_add(&made);
}

static status add_sides(struct assembly *assembly, const struct fit_sides *sides)
{
    TRY(add_touch(assembly, sides->unit, sides->left, sides->right, sides->asked));
    if (sides->left_feature->relation == assembly->seal_band) {
        TRY(add_band(assembly, sides));
        return add_sweeps(assembly, sides);
    }
    if (sides->right_run == NULL) {
        return STATUS_OK;
    }
    TRY(add_fit(assembly, sides));
    return add_passes(assembly, sides, side_of(assembly, sides));
}

status assembly_fits(struct assembly *assembly, name_id unit)
{
    const name_id key[2] = {unit, NAME_NONE};
    struct scan scan;
    if (!scan_open(&scan, assembly->store, assembly->fit_asked, 1, key)) {
        return arena_status(assembly->arena);
    }
    for (const struct row *asked = scan_next(&scan); asked != NULL;
         asked = scan_next(&scan)) {
        struct fit_sides sides;
        if (find_sides(assembly, unit, asked, &sides)) {
            TRY(add_sides(assembly, &sides));
        }
        TRY(arena_status(assembly->arena));
    }
    return STATUS_OK;
}
