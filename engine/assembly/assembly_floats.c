/* SPDX-License-Identifier: MIT */
/*
 * Floats: a piece that lies free in a gap is somewhere in it, and so is all that is laid
 * on it. The room it has follows from where its stops lie, so the unit is laid once
 * without floats, in a store of its own that is then forgotten.
 */
#include "assembly_private.h"

#include "stated.h"

#include <math.h>

/* The float's own dimension, shared by host and swap while the room is the same. */
static const struct deviation *float_deviation(struct assembly *assembly,
                                               const struct row *asked, name_id piece,
                                               double room)
{
    struct deviation *made = ARENA_NEW(assembly->arena, struct deviation);
    if (made != NULL) {
        *made = (struct deviation){
            .name = text_format(
                assembly->arena, "%.*s in %.*s, float to %.*s",
                TEXT_ARG(assembly_text(assembly, piece)),
                TEXT_ARG(assembly_text(assembly, asked->key[1])),
                TEXT_ARG(magnitude_write(assembly->arena, DIMENSION_LENGTH, room, -1))),
            .high = room,
            .kind = DEVIATION_MOVES,
            .dim = DIMENSION_LENGTH,
            .where = asked->where};
    }
    return made;
}

/* The most that a gap leaves free: no more than is wanted of it where it is set, for past
 * that its own finding stops the swap. */
static double most_room(const struct assembly *assembly, const struct row *asked,
                        const struct form *room)
{
    const name_id key[3] = {asked->key[0], asked->key[1], NAME_NONE};
    const struct form *wanted = column_form(assembly, asked, "want-greatest");
    struct scan scan;
    const bool is_set = wanted != NULL &&
                        scan_open(&scan, assembly->store, assembly->setting, 3, key) &&
                        scan_next(&scan) != NULL;
    return fmax(0.0, is_set ? fmin(room->greatest, wanted->greatest) : room->greatest);
}

static status add_float(struct assembly *assembly, name_id unit, const struct row *asked,
                        const struct gap_end *from, const struct gap_end *to,
                        struct floating *out)
{
    const struct form *room = form_subtract(assembly->arena, to->at, from->at);
    const name_id piece =
        piece_in(assembly, unit, column_word(assembly, asked, "floats"), NULL);
    if (room == NULL) {
        return arena_status(assembly->arena);
    }
    const struct deviation *of =
        float_deviation(assembly, asked, piece, most_room(assembly, asked, room));
    if (of == NULL) {
        return arena_status(assembly->arena);
    }
    /* The one at the gap's beginning moves outboard, the one at its end inboard. */
    *out =
        (struct floating){.piece = piece,
                          .by = form_scale(assembly->arena, form_of(assembly->arena, of),
                                           piece == to->piece ? -1.0 : 1.0)};
    return arena_status(assembly->arena);
}

static status find_floats(struct assembly *scratch, name_id unit, struct floating **out,
                          const struct row ***asked_out, uint32_t *count)
{
    const name_id key[2] = {unit, NAME_NONE};
    ARRAY_OF(struct floating) found = {0};
    ARRAY_OF(const struct row *) rows = {0};
    struct scan scan;
    if (!scan_open(&scan, scratch->store, scratch->gap_asked, 1, key)) {
        return arena_status(scratch->arena);
    }
    for (const struct row *asked = scan_next(&scan); asked != NULL;
         asked = scan_next(&scan)) {
        struct floating one = {0};
        if (column_word(scratch, asked, "floats") == NAME_NONE) {
            continue;
        }
        const struct gap_end from =
            gap_end_of(scratch, unit, asked, "from-place", "from-face");
        const struct gap_end to = gap_end_of(scratch, unit, asked, "to-place", "to-face");
        if (from.at == NULL || to.at == NULL) {
            continue;
        }
        TRY(add_float(scratch, unit, asked, &from, &to, &one));
        if (!ARRAY_PUSH(scratch->arena, &found, one) ||
            !ARRAY_PUSH(scratch->arena, &rows, asked)) {
            return arena_status(scratch->arena);
        }
    }
    *out = found.at;
    *asked_out = rows.at;
    *count = found.count;
    return STATUS_OK;
}

static bool asks_for_floats(const struct assembly *assembly, name_id unit)
{
    const name_id key[2] = {unit, NAME_NONE};
    struct scan scan;
    if (!scan_open(&scan, assembly->store, assembly->gap_asked, 1, key)) {
        return false;
    }
    for (const struct row *asked = scan_next(&scan); asked != NULL;
         asked = scan_next(&scan)) {
        if (column_word(assembly, asked, "floats") != NAME_NONE) {
            return true;
        }
    }
    return false;
}

/* The float as a row, so that what it moves can rest on it. */
static status add_row(struct assembly *assembly, const struct row *asked,
                      struct floating *floating)
{
    struct computed made;
    computed_open(&made, assembly, assembly->floating, "float");
    made.key[0] = asked->key[0];
    made.key[1] = asked->key[1];
    made.key[2] = floating->piece;
    computed_value(&made, "by", value_quantity(floating->by));
    computed_rest(&made, asked);
    TRY(computed_add(&made));
    floating->row = store_find(assembly->store, assembly->floating, made.key);
    return STATUS_OK;
}

status assembly_floats(struct assembly *assembly, name_id unit,
                       struct diagnostics *diagnostics, struct floats *out)
{
    const struct floats none = {0};
    struct floating *found = NULL;
    const struct row **asked = NULL;
    *out = none;
    if (!asks_for_floats(assembly, unit)) {
        return arena_status(assembly->arena);
    }
    struct assembly scratch = *assembly;
    scratch.store = store_open(assembly->arena, NULL, 0, assembly->store);
    TRY(arena_status(assembly->arena));
    TRY(lay_pieces(&scratch, unit, &none, diagnostics));
    TRY(find_floats(&scratch, unit, &found, &asked, &out->count));
    for (uint32_t i = 0; i < out->count; i++) {
        TRY(add_row(assembly, asked[i], &found[i]));
    }
    out->at = found;
    return STATUS_OK;
}
