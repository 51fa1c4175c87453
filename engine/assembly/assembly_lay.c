/* SPDX-License-Identifier: MIT */
/*
 * Lays the pieces of a unit. Contacts make a forest: each says on which stops one piece
 * is laid on one axis, and a piece that no contact lays is a root. The root under most
 * pieces lies at 0; every other root is its own tree, somewhere along the axis: how far
 * is a missing dimension, so that what spans two trees is unknown and says what to
 * measure.
 *
 * A node is being laid while its stops are; meeting it again means that contacts run in a
 * circle.
 */
#include "assembly_private.h"

#include "limits.h"

#include <math.h>

enum node_state {
    NODE_OPEN,
    NODE_BEING_LAID,
    NODE_LAID
};

struct lay_node {
    name_id place;
    name_id piece;
    name_id axis;
    const struct row *fills;
    const struct row *contact; /* NULL: a root */
    enum node_state state;
    uint32_t carries; /* nodes that rest on it, for roots */
};

struct laying {
    struct assembly *assembly;
    const struct floats *floats;
    name_id unit;
    struct diagnostics *diagnostics;
    ARRAY_OF(struct lay_node) nodes;
    status result;
};

static bool lay_node(struct laying *laying, uint32_t index, uint32_t depth);

static void fault(struct laying *laying, enum diagnostic_code code, span where,
                  text message, const char *expected)
{
    diagnostics_add(laying->diagnostics, code, where, message)->expected =
        text_of(expected);
    laying->result = STATUS_INVALID;
}

static uint32_t find_node(const struct laying *laying, name_id piece, name_id axis)
{
    for (uint32_t i = 0; i < laying->nodes.count; i++) {
        if (laying->nodes.at[i].piece == piece && laying->nodes.at[i].axis == axis) {
            return i;
        }
    }
    return UINT32_MAX;
}

static uint32_t add_node(struct laying *laying, const struct row *fills, name_id axis)
{
    const uint32_t known = find_node(laying, fills->key[2], axis);
    if (known != UINT32_MAX) {
        return known;
    }
    const struct lay_node node = {
        .place = fills->key[1], .piece = fills->key[2], .axis = axis, .fills = fills};
    if (!ARRAY_PUSH(laying->assembly->arena, &laying->nodes, node)) {
        laying->result = arena_status(laying->assembly->arena);
        return UINT32_MAX;
    }
    return laying->nodes.count - 1;
}

/* The axes that any feature of a piece lies on. */
static void add_axes(struct laying *laying, const struct row *fills)
{
    const struct assembly *assembly = laying->assembly;
    const relation_id relations[] = {assembly->face, assembly->station, assembly->run,
                                     assembly->seal_band};
    const name_id key[2] = {fills->key[2], NAME_NONE};
    for (size_t i = 0; i < sizeof relations / sizeof *relations; i++) {
        struct scan scan;
        if (!scan_open(&scan, assembly->store, relations[i], 1, key)) {
            laying->result = arena_status(assembly->arena);
            return;
        }
        for (const struct row *row = scan_next(&scan); row != NULL;
             row = scan_next(&scan)) {
            (void)add_node(laying, fills, axis_of(assembly, row));
        }
    }
}

static int compare_nodes(const struct assembly *assembly, const struct lay_node *a,
                         const struct lay_node *b)
{
    const int place = names_compare(assembly->names, a->place, b->place);
    return place != 0 ? place : names_compare(assembly->names, a->axis, b->axis);
}

static void sort_nodes(struct laying *laying)
{
    for (uint32_t i = 1; i < laying->nodes.count; i++) {
        const struct lay_node moving = laying->nodes.at[i];
        uint32_t to = i;
        while (to > 0 &&
               compare_nodes(laying->assembly, &moving, &laying->nodes.at[to - 1]) < 0) {
            laying->nodes.at[to] = laying->nodes.at[to - 1];
            to--;
        }
        laying->nodes.at[to] = moving;
    }
}

static void gather_nodes(struct laying *laying)
{
    const name_id key[3] = {laying->unit, NAME_NONE, NAME_NONE};
    struct scan scan;
    if (!scan_open(&scan, laying->assembly->store, laying->assembly->fills, 1, key)) {
        laying->result = arena_status(laying->assembly->arena);
        return;
    }
    for (const struct row *row = scan_next(&scan); row != NULL; row = scan_next(&scan)) {
        add_axes(laying, row);
    }
    sort_nodes(laying);
}

/* The face that a contact moves, on whatever piece fills its place. */
static const struct row *moved_face(const struct laying *laying,
                                    const struct row *contact, name_id *piece)
{
    const struct assembly *assembly = laying->assembly;
    *piece =
        piece_in(assembly, laying->unit, column_word(assembly, contact, "place"), NULL);
    return plane_of(assembly, *piece, column_word(assembly, contact, "face"));
}

static void attach_contact(struct laying *laying, const struct row *contact)
{
    name_id piece = NAME_NONE;
    const struct row *face = moved_face(laying, contact, &piece);
    if (face == NULL) {
        return; /* the line fell away when the unit was minted */
    }
    const uint32_t index = find_node(laying, piece, axis_of(laying->assembly, face));
    struct lay_node *node = &laying->nodes.at[index];
    if (node->contact != NULL) {
        fault(laying, CODE_PLACE_TWICE, contact->where,
              text_format(diagnostics_arena(laying->diagnostics),
                          "%.*s is laid by two contacts",
                          TEXT_ARG(assembly_text(laying->assembly, node->place))),
              "one contact for each piece and axis; the other distance is a gap");
        return;
    }
    node->contact = contact;
}

/* Contacts in the order of their numbers. */
static void attach_contacts(struct laying *laying)
{
    relation_id relation = laying->assembly->contact;
    for (uint32_t number = 0;; number++) {
        const name_id key[2] = {laying->unit, number};
        const struct row *contact = store_find(laying->assembly->store, relation, key);
        if (contact == NULL) {
            return; /* numbers have no holes */
        }
        attach_contact(laying, contact);
    }
}

/* ---- looking */

/* Which way a face looks in the unit: 1 out, -1 in, 0 not known (a station). */
static int looks(const struct laying *laying, const struct lay_node *node,
                 const struct row *face)
{
    const struct assembly *assembly = laying->assembly;
    const int way = column_is(assembly, face, "looks", "out")  ? 1
                    : column_is(assembly, face, "looks", "in") ? -1
                                                               : 0;
    return column_is(assembly, node->fills, "turned", "true") ? -way : way;
}

/* ---- one node */

struct stop_found {
    const struct form *at;
    const struct row *row;
    const struct row *face;
    const struct row *laid;
};

static bool find_stop(struct laying *laying, const struct lay_node *node, int way,
                      const struct row *stop, uint32_t depth, struct stop_found *out)
{
    const struct assembly *assembly = laying->assembly;
    const name_id piece =
        piece_in(assembly, laying->unit, column_word(assembly, stop, "place"), NULL);
    const struct row *face =
        plane_of(assembly, piece, column_word(assembly, stop, "face"));
    if (face == NULL) {
        return false;
    }
    const uint32_t index = find_node(laying, piece, axis_of(assembly, face));
    if (index == UINT32_MAX || laying->nodes.at[index].axis != node->axis) {
        fault(laying, CODE_SHAPE_WRONG, stop->where,
              TEXT("the two faces lie on different axes"), "two faces of one axis");
        return false;
    }
    if (!lay_node(laying, index, depth + 1)) {
        return false;
    }
    const bool has_offset = column_is(assembly, stop, "has-offset", "true");
    const int other_way = looks(laying, &laying->nodes.at[index], face);
    if (!has_offset && way != 0 && way == other_way) {
        fault(laying, CODE_SHAPE_WRONG, stop->where,
              TEXT("both faces of this contact look the same way"),
              "one face that looks in and one that looks out, or an offset");
        return false;
    }
    *out =
        (struct stop_found){.row = stop,
                            .face = face,
                            .laid = laid_on(assembly, laying->unit, piece, node->axis)};
    out->at =
        form_add(assembly->arena,
                 position_in_unit(assembly, out->laid, column_form(assembly, face, "at")),
                 column_form(assembly, stop, "offset"));
    return out->at != NULL;
}

/* The piece moves the way its face looks until it meets the first stop. */
static const struct form *meet_stops(struct laying *laying, const struct lay_node *node,
                                     const struct row *face, uint32_t depth,
                                     struct computed *made)
{
    const struct assembly *assembly = laying->assembly;
    const int way = looks(laying, node, face);
    const struct form *met = NULL;
    for (uint32_t number = 0; number < LIMIT_PLACES; number++) {
        const name_id key[3] = {laying->unit, node->contact->key[1], number};
        const struct row *stop = store_find(assembly->store, assembly->stop, key);
        struct stop_found found = {0};
        if (stop == NULL) {
            break;
        }
        if (!find_stop(laying, node, way, stop, depth, &found)) {
            return NULL;
        }
        met = met == NULL ? found.at
              : way > 0   ? form_min(assembly->arena, met, found.at)
                          : form_max(assembly->arena, met, found.at);
        computed_rest(made, found.row);
        computed_rest(made, found.laid);
        computed_rest(made, found.face);
    }
    return met;
}

/* A piece that lies free in a gap may lie farther along. */
static const struct form *with_floats(const struct laying *laying,
                                      const struct lay_node *node, struct computed *made,
                                      const struct form *at)
{
    for (uint32_t i = 0; i < laying->floats->count; i++) {
        const struct floating *floating = &laying->floats->at[i];
        if (floating->piece == node->piece) {
            at = form_add(laying->assembly->arena, at, floating->by);
            computed_rest(made, floating->row);
        }
    }
    return at;
}

static bool add_laid(struct laying *laying, struct lay_node *node, struct computed *made,
                     const struct form *met)
{
    const struct form *at = with_floats(laying, node, made, met);
    made->key[0] = laying->unit;
    made->key[1] = node->piece;
    made->key[2] = node->axis;
    computed_value(made, "at", value_quantity(at));
    computed_word(made, "turned",
                  column_is(laying->assembly, node->fills, "turned", "true") ? "true"
                                                                             : "false");
    const status added =
        at == NULL ? arena_status(laying->assembly->arena) : computed_add(made);
    node->state = NODE_LAID;
    if (added != STATUS_OK) {
        laying->result = added;
    }
    return laying->result == STATUS_OK;
}

/* A root of another tree: where it lies is not recorded. Named by places, so that host
 * and swap share it where the piece stays. */
static const struct form *far_root(struct laying *laying, const struct lay_node *node)
{
    struct arena *arena = laying->assembly->arena;
    struct deviation *where = ARENA_NEW(arena, struct deviation);
    if (where == NULL) {
        return NULL;
    }
    *where = (struct deviation){
        .name = text_format(arena, "%.*s on the %.*s",
                            TEXT_ARG(assembly_text(laying->assembly, node->piece)),
                            TEXT_ARG(assembly_text(laying->assembly, node->axis))),
        .nominal = NAN,
        .low = -INFINITY,
        .high = INFINITY,
        .basis = BASIS_MISSING,
        .dim = DIMENSION_LENGTH};
    return form_of(arena, where);
}

/* Whether no other root of this axis carries more; ties go to the first by place. */
static bool is_main_root(const struct laying *laying, const struct lay_node *node)
{
    for (uint32_t i = 0; i < laying->nodes.count; i++) {
        const struct lay_node *other = &laying->nodes.at[i];
        if (other == node) {
            continue;
        }
        if (other->contact == NULL && other->axis == node->axis &&
            (other->carries > node->carries ||
             (other->carries == node->carries && other < node))) {
            return false;
        }
    }
    return true;
}

static bool lay_node(struct laying *laying, uint32_t index, uint32_t depth)
{
    struct assembly *assembly = laying->assembly;
    struct lay_node *node = &laying->nodes.at[index];
    struct computed made;
    if (node->state == NODE_LAID) {
        return true;
    }
    if (node->state == NODE_BEING_LAID || depth > LIMIT_PLACES) {
        fault(laying, CODE_PLACE_CIRCLE, node->contact->where,
              text_format(diagnostics_arena(laying->diagnostics),
                          "contacts lay %.*s on itself, by way of others",
                          TEXT_ARG(assembly_text(assembly, node->place))),
              "contacts that lead to one piece which lies still; the last distance is a "
              "gap");
        return false;
    }
    node->state = NODE_BEING_LAID;
    computed_open(&made, assembly, assembly->laid, "laid on");
    computed_rest(&made, node->fills);
    if (node->contact == NULL) {
        return add_laid(laying, node, &made,
                        is_main_root(laying, node)
                            ? form_exact(assembly->arena, DIMENSION_LENGTH, 0.0)
                            : far_root(laying, node));
    }
    name_id piece = NAME_NONE;
    const struct row *face = moved_face(laying, node->contact, &piece);
    computed_rest(&made, node->contact);
    computed_rest(&made, face);
    const struct form *met = meet_stops(laying, node, face, depth, &made);
    if (met == NULL) {
        laying->result =
            laying->result == STATUS_OK ? arena_status(assembly->arena) : laying->result;
        return laying->result == STATUS_OK;
    }
    /* at + p = met, or at - p = met when turned */
    const struct form *own = column_form(assembly, face, "at");
    const bool is_turned_round = column_is(assembly, node->fills, "turned", "true");
    return add_laid(laying, node, &made,
                    is_turned_round ? form_add(assembly->arena, met, own)
                                    : form_subtract(assembly->arena, met, own));
}

/* How many nodes hang on each root, followed along the first stop of each contact. */
static void count_carried(struct laying *laying)
{
    const struct assembly *assembly = laying->assembly;
    for (uint32_t i = 0; i < laying->nodes.count; i++) {
        uint32_t at = i;
        for (uint32_t steps = 0; steps < LIMIT_PLACES && at != UINT32_MAX; steps++) {
            const struct row *contact = laying->nodes.at[at].contact;
            if (contact == NULL) {
                laying->nodes.at[at].carries++;
                break;
            }
            const name_id key[3] = {laying->unit, contact->key[1], 0};
            const struct row *stop = store_find(assembly->store, assembly->stop, key);
            at = stop == NULL
                     ? UINT32_MAX
                     : find_node(laying,
                                 piece_in(assembly, laying->unit,
                                          column_word(assembly, stop, "place"), NULL),
                                 laying->nodes.at[at].axis);
        }
    }
}

/* ---- touching */

status add_touch(struct assembly *assembly, name_id unit, name_id piece, name_id other,
                 const struct row *because)
{
    for (int i = 0; i < 2 && piece != other && piece != NAME_NONE && other != NAME_NONE;
         i++) {
        struct computed made;
        computed_open(&made, assembly, assembly->touch, "touch");
        made.key[0] = unit;
        made.key[1] = i == 0 ? piece : other;
        made.key[2] = i == 0 ? other : piece;
        computed_rest(&made, because);
        TRY(computed_add(&made));
    }
    return STATUS_OK;
}

/* Which piece has to come off before the other can. */
static status add_laid_on(struct assembly *assembly, name_id unit, name_id piece,
                          name_id other, const struct row *because)
{
    struct computed made;
    if (piece == NAME_NONE || other == NAME_NONE || piece == other) {
        return STATUS_OK;
    }
    computed_open(&made, assembly, assembly->laid_on, "laid on piece");
    made.key[0] = unit;
    made.key[1] = piece;
    made.key[2] = other;
    computed_rest(&made, because);
    return computed_add(&made);
}

static status touch_contacts(struct laying *laying)
{
    struct assembly *assembly = laying->assembly;
    for (uint32_t i = 0; i < laying->nodes.count; i++) {
        const struct lay_node *node = &laying->nodes.at[i];
        for (uint32_t number = 0; node->contact != NULL && number < LIMIT_PLACES;
             number++) {
            const name_id key[3] = {laying->unit, node->contact->key[1], number};
            const struct row *stop = store_find(assembly->store, assembly->stop, key);
            if (stop == NULL) {
                break;
            }
            const name_id other = piece_in(assembly, laying->unit,
                                           column_word(assembly, stop, "place"), NULL);
            TRY(add_touch(assembly, laying->unit, node->piece, other, stop));
            TRY(add_laid_on(assembly, laying->unit, node->piece, other, stop));
        }
    }
    return STATUS_OK;
}

status lay_pieces(struct assembly *assembly, name_id unit, const struct floats *floats,
                  struct diagnostics *diagnostics)
{
    struct laying laying = {
        .assembly = assembly, .floats = floats, .unit = unit, .diagnostics = diagnostics};
    gather_nodes(&laying);
    TRY(laying.result);
    attach_contacts(&laying);
    TRY(laying.result);
    count_carried(&laying);
    for (uint32_t i = 0; i < laying.nodes.count; i++) {
        (void)lay_node(&laying, i, 0);
        TRY(laying.result);
    }
    return touch_contacts(&laying);
}

status assembly_lay(struct assembly *assembly, name_id unit,
                    struct diagnostics *diagnostics)
{
    struct floats floats;
    TRY(assembly_floats(assembly, unit, diagnostics, &floats));
    TRY(lay_pieces(assembly, unit, &floats, diagnostics));
    TRY(assembly_gaps(assembly, unit, diagnostics));
    TRY(assembly_lies(assembly, unit));
    TRY(assembly_fits(assembly, unit));
    return arena_status(assembly->arena);
}
