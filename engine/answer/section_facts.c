/* SPDX-License-Identifier: MIT */
/*
 * What is recorded of a piece, laid on its axis, in millimetres: runs, faces, bands and
 * holes. A turned piece has its ends changed here, so that whoever draws need not know.
 */
#include "section_private.h"

#include <math.h>
#include <stdlib.h>

bool drafting_rows(const struct drafting *drafting, const char *relation, name_id owner,
                   struct scan *scan)
{
    name_id key[8] = {owner};
    relation_id id = 0;
    return store_find_relation(drafting->store,
                               names_find(drafting->names, text_of(relation)), &id) &&
           scan_open(scan, drafting->store, id, 1, key);
}

const struct row *drafting_row(const struct drafting *drafting, const char *relation,
                               const name_id *key)
{
    relation_id id = 0;
    return store_find_relation(drafting->store,
                               names_find(drafting->names, text_of(relation)), &id)
               ? store_find(drafting->store, id, key)
               : NULL;
}

static struct value value_in(const struct drafting *drafting, const struct row *row,
                             const char *column)
{
    const struct relation_shape *shape = store_shape(drafting->store, row->relation);
    const name_id name = names_find(drafting->names, text_of(column));
    const int at = name == NAME_NONE ? -1 : vocabulary_column(shape, name);
    return at < (int)shape->key_count ? (struct value){.kind = VALUE_NONE}
                                      : row->values[at - (int)shape->key_count];
}

const struct form *drafting_form(const struct drafting *drafting, const struct row *row,
                                 const char *column)
{
    const struct value value = value_in(drafting, row, column);
    return value.kind == VALUE_QUANTITY ? value.quantity : NULL;
}

double millimetres(const struct form *form)
{
    double nominal = NAN;
    return form != NULL && form_nominal(form, &nominal) ? nominal / 1e6 : NAN;
}

double drafting_length(const struct drafting *drafting, const struct row *row,
                       const char *column)
{
    return millimetres(drafting_form(drafting, row, column));
}

text drafting_word(const struct drafting *drafting, const struct row *row,
                   const char *column)
{
    const struct value value = value_in(drafting, row, column);
    return value.kind == VALUE_WORD ? names_text(drafting->names, value.word)
                                    : (text){"", 0};
}

/* The row in which a kind, or one that it is, has the field of a role. */
static const struct row *role_row(const struct drafting *drafting,
                                  const struct draft *draft, enum drawn_role role)
{
    const name_id field = draft->drawn->roles[role];
    const struct kind *kind =
        field == NAME_NONE || draft->kind == NULL
            ? NULL
            : kind_with_field(drafting->vocabulary, draft->kind, field);
    return kind == NULL ? NULL
                        : store_find(drafting->store, kind->relation, &draft->piece);
}

double drafting_role(const struct drafting *drafting, const struct draft *draft,
                     enum drawn_role role)
{
    const struct row *row = role_row(drafting, draft, role);
    return row == NULL ? NAN
                       : drafting_length(
                             drafting, row,
                             names_text(drafting->names, draft->drawn->roles[role]).at);
}

text drafting_role_word(const struct drafting *drafting, const struct draft *draft,
                        enum drawn_role role)
{
    const struct row *row = role_row(drafting, draft, role);
    return role == DRAWN_PORT ? names_text(drafting->names, draft->drawn->roles[role])
           : row == NULL
               ? (text){"", 0}
               : drafting_word(drafting, row,
                               names_text(drafting->names, draft->drawn->roles[role]).at);
}

bool drafting_is_on(const struct drafting *drafting, const struct row *feature,
                    name_id axis)
{
    const text own = drafting_word(drafting, feature, "axis");
    return text_equal(own.length > 0 ? own : TEXT("axis"),
                      names_text(drafting->names, axis));
}

/* ---- where it lies */

/* The datum from where a face, station or run lies in the unit, with what is chosen at
 * assembly put in; NAN where neither is known. */
static double datum_from(const struct drafting *drafting, name_id unit,
                         const struct row *feature, const char *computed,
                         const char *column, const char *own_column, double sign)
{
    const name_id key[3] = {unit, feature->key[0], feature->key[1]};
    const struct row *row = drafting_row(drafting, computed, key);
    return row == NULL ? NAN
                       : drafting_length(drafting, row, column) -
                             sign * drafting_length(drafting, feature, own_column);
}

static double datum_by(const struct drafting *drafting, name_id unit, name_id piece,
                       name_id axis, double sign)
{
    static const struct {
        const char *relation;
        const char *computed;
        const char *column;
        const char *own;
    } ways[] = {{"face", "located", "at", "at"},
                {"station", "located", "at", "at"},
                {"run", "lies", "from", "from"},
                {"run", "lies", "to", "to"}};
    for (size_t i = 0; i < sizeof ways / sizeof *ways; i++) {
        const bool is_end = i > 1 && sign < 0; /* a turned run begins where it ended */
        struct scan scan;
        if (!drafting_rows(drafting, ways[i].relation, piece, &scan)) {
            continue;
        }
        for (const struct row *row = scan_next(&scan); row != NULL;
             row = scan_next(&scan)) {
            const double at =
                drafting_is_on(drafting, row, axis)
                    ? datum_from(drafting, unit, row, ways[i].computed,
                                 is_end ? ways[5 - i].column : ways[i].column,
                                 ways[i].own, sign)
                    : NAN;
            if (!isnan(at)) {
                return at;
            }
        }
    }
    return NAN;
}

struct placing drafting_placing(const struct drafting *drafting, name_id unit,
                                name_id piece, name_id axis)
{
    const name_id key[3] = {unit, piece, axis};
    const struct row *laid = drafting_row(drafting, "laid", key);
    struct placing placing = {drafting->alone != NAME_NONE ? 0 : NAN, 1};
    if (laid != NULL) {
        placing.sign = text_is(drafting_word(drafting, laid, "turned"), "true") ? -1 : 1;
        placing.at = datum_by(drafting, unit, piece, axis, placing.sign);
        if (isnan(placing.at)) {
            placing.at = drafting_length(drafting, laid, "at");
        }
    }
    return placing;
}

static double laid_at(const struct draft *draft, double position)
{
    return draft->placing.at + draft->placing.sign * position;
}

/* The two ends, inboard first. */
static void lay_ends(const struct drafting *drafting, const struct draft *draft,
                     const struct row *row, double *from, double *to)
{
    const double one = laid_at(draft, drafting_length(drafting, row, "from"));
    const double other = laid_at(draft, drafting_length(drafting, row, "to"));
    *from = draft->placing.sign > 0 ? one : other;
    *to = draft->placing.sign > 0 ? other : one;
}

/* ---- runs */

static void note_unknown(const struct drafting *drafting, struct draft *draft,
                         const struct row *row, const char *field,
                         struct section_point at)
{
    const struct section_unknown unknown = {
        at, text_format(drafting->arena, "%.*s.%s",
                        TEXT_ARG(names_text(drafting->names, row->key[1])), field)};
    (void)ARRAY_PUSH(drafting->arena, &draft->unknowns, unknown);
}

static double pitch_radius(const struct drafting *drafting, const struct row *row)
{
    const struct value teeth = value_in(drafting, row, "teeth");
    return teeth.kind == VALUE_COUNT
               ? drafting_length(drafting, row, "module") * (double)teeth.count / 2
               : NAN;
}

/* Splines and threads are met at their crests: the major diameter outside, the minor one
 * in a bore. */
static void size_surface(const struct drafting *drafting, const struct row *row,
                         struct surface *surface)
{
    const double major = drafting_length(drafting, row, "major") / 2;
    const double minor = drafting_length(drafting, row, "minor") / 2;
    const double plain = drafting_length(drafting, row, "diameter") / 2;
    const bool is_toothed =
        text_is(surface->kind, "spline") || text_is(surface->kind, "thread");
    const double crest = surface->is_bore ? minor : major;
    surface->r = is_toothed && !isnan(crest) ? crest : plain;
    surface->root = is_toothed ? (surface->is_bore ? major : minor) : NAN;
    surface->pitch = is_toothed ? pitch_radius(drafting, row) : NAN;
    surface->depth = drafting_length(drafting, row, "depth");
}

/* Of a key or a bolt nobody asks for a diameter. */
static bool is_turned_part(const struct draft *draft)
{
    const enum drawn_as as = draft->drawn->as;
    return as == DRAWN_SOLID || as == DRAWN_RING || as == DRAWN_HOUSING ||
           as == DRAWN_BALLS || as == DRAWN_ROLLERS;
}

static void read_run(const struct drafting *drafting, struct draft *draft,
                     const struct row *row)
{
    struct surface surface = {.row = row,
                              .name = names_text(drafting->names, row->key[1]),
                              .kind = drafting_word(drafting, row, "kind"),
                              .is_bore =
                                  text_is(drafting_word(drafting, row, "in"), "bore")};
    surface.is_cut = text_is(surface.kind, "groove") || text_is(surface.kind, "keyway") ||
                     text_is(surface.kind, "hole") || text_is(surface.kind, "track");
    surface.is_round = !surface.is_cut || text_is(surface.kind, "groove");
    lay_ends(drafting, draft, row, &surface.from, &surface.to);
    size_surface(drafting, row, &surface);
    if (isnan(surface.r) && surface.is_round && is_turned_part(draft)) {
        note_unknown(drafting, draft, row, "diameter",
                     (struct section_point){(surface.from + surface.to) / 2, NAN});
    }
    if (isnan(surface.from)) {
        note_unknown(drafting, draft, row, draft->placing.sign > 0 ? "from" : "to",
                     (struct section_point){NAN, surface.r});
    }
    if (isnan(surface.to)) {
        note_unknown(drafting, draft, row, draft->placing.sign > 0 ? "to" : "from",
                     (struct section_point){NAN, surface.r});
    }
    (void)ARRAY_PUSH(drafting->arena, &draft->surfaces, surface);
}

/* What has no place comes last. */
static int compare_places(double left, double right)
{
    const double a = isnan(left) ? INFINITY : left;
    const double b = isnan(right) ? INFINITY : right;
    return (a > b) - (a < b);
}

static int compare_surfaces(const void *a, const void *b)
{
    const struct surface *left = a;
    const struct surface *right = b;
    const int order = compare_places(isnan(left->from) ? left->to : left->from,
                                     isnan(right->from) ? right->to : right->from);
    return order != 0 ? order : text_compare(left->name, right->name);
}

/* ---- faces, bands, holes */

static void read_plane(const struct drafting *drafting, struct draft *draft,
                       const struct row *row, bool is_station)
{
    const int looks = text_is(drafting_word(drafting, row, "looks"), "in") ? -1 : 1;
    const struct plane plane = {.row = row,
                                .name = names_text(drafting->names, row->key[1]),
                                .is_station = is_station,
                                .looks = draft->placing.sign > 0 ? looks : -looks,
                                .at =
                                    laid_at(draft, drafting_length(drafting, row, "at")),
                                .inside = drafting_length(drafting, row, "inside") / 2,
                                .outside = drafting_length(drafting, row, "outside") / 2};
    (void)ARRAY_PUSH(drafting->arena, &draft->planes, plane);
}

static int compare_planes(const void *a, const void *b)
{
    const struct plane *left = a;
    const struct plane *right = b;
    const int order = compare_places(left->at, right->at);
    return order != 0 ? order : text_compare(left->name, right->name);
}

static void read_band(const struct drafting *drafting, struct draft *draft,
                      const struct row *row)
{
    struct touching band = {
        .row = row,
        .name = names_text(drafting->names, row->key[1]),
        .type = drafting_word(drafting, row, "type"),
        .groove = drafting_word(drafting, row, "groove"),
        .is_bore = text_is(drafting_word(drafting, row, "in"), "bore"),
        .opens_out = text_is(drafting_word(drafting, row, "holds-back"), "out") !=
                     (draft->placing.sign < 0),
        .r = drafting_length(drafting, row, "diameter") / 2,
        .section = drafting_length(drafting, row, "section")};
    lay_ends(drafting, draft, row, &band.from, &band.to);
    (void)ARRAY_PUSH(drafting->arena, &draft->bands, band);
}

static int compare_bands(const void *a, const void *b)
{
    return text_compare(((const struct touching *)a)->name,
                        ((const struct touching *)b)->name);
}

static void read_port(const struct drafting *drafting, struct draft *draft,
                      const struct row *row)
{
    const struct hole port = {.row = row,
                              .name = names_text(drafting->names, row->key[1]),
                              .at = laid_at(draft, drafting_length(drafting, row, "at")),
                              .r = drafting_length(drafting, row, "seat"),
                              .bore = drafting_length(drafting, row, "bore") / 2};
    (void)ARRAY_PUSH(drafting->arena, &draft->holes, port);
}

/* Which way the face looks that lies where the holes of a circle start. */
static int looks_at(const struct draft *draft, double at)
{
    for (uint32_t i = 0; i < draft->planes.count; i++) {
        if (!draft->planes.at[i].is_station && fabs(draft->planes.at[i].at - at) < 1e-6) {
            return draft->planes.at[i].looks;
        }
    }
    return 0;
}

static void read_circle(const struct drafting *drafting, struct draft *draft,
                        const struct row *row)
{
    const double hole = drafting_length(drafting, row, "hole");
    struct hole circle = {
        .row = row,
        .name = names_text(drafting->names, row->key[1]),
        .is_circle = true,
        .is_clear = text_is(drafting_word(drafting, row, "made-as"), "clear"),
        .at = laid_at(draft, drafting_length(drafting, row, "seat")),
        .r = drafting_length(drafting, row, "circle-diameter") / 2,
        .bore = (isnan(hole) ? drafting_length(drafting, row, "bolt") : hole) / 2};
    circle.looks = looks_at(draft, circle.at);
    (void)ARRAY_PUSH(drafting->arena, &draft->holes, circle);
}

static int compare_holes(const void *a, const void *b)
{
    const struct hole *left = a;
    const struct hole *right = b;
    const int order = text_compare(left->name, right->name);
    return order != 0 ? order : (int)left->is_circle - (int)right->is_circle;
}

static void read_rows(const struct drafting *drafting, struct draft *draft, name_id axis,
                      const char *relation)
{
    struct scan scan;
    if (!drafting_rows(drafting, relation, draft->piece, &scan)) {
        return;
    }
    for (const struct row *row = scan_next(&scan); row != NULL; row = scan_next(&scan)) {
        const text which = text_of(relation);
        if (!drafting_is_on(drafting, row, axis)) {
            continue;
        }
        if (text_is(which, "run")) {
            read_run(drafting, draft, row);
        } else if (text_is(which, "seal-band")) {
            read_band(drafting, draft, row);
        } else if (text_is(which, "port")) {
            read_port(drafting, draft, row);
        } else if (text_is(which, "bolt-circle")) {
            read_circle(drafting, draft, row);
        } else {
            read_plane(drafting, draft, row, text_is(which, "station"));
        }
    }
}

/* Empty arrays have no address to sort at. */
#define SORT(array, compare)                                                             \
    do {                                                                                 \
        if ((array)->count > 1) {                                                        \
            qsort((array)->at, (array)->count, sizeof *(array)->at, (compare));          \
        }                                                                                \
    } while (0)

void drafting_read(const struct drafting *drafting, struct draft *draft, name_id axis)
{
    static const char *const relations[] = {"run",       "face", "station",
                                            "seal-band", "port", "bolt-circle"};
    for (size_t i = 0; i < sizeof relations / sizeof *relations; i++) {
        read_rows(drafting, draft, axis, relations[i]);
    }
    SORT(&draft->surfaces, compare_surfaces);
    SORT(&draft->planes, compare_planes);
    SORT(&draft->bands, compare_bands);
    SORT(&draft->holes, compare_holes);
}
