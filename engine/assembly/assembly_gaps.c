/* SPDX-License-Identifier: MIT */
/*
 * Gaps: the second face minus the first. What a setting adds is taken out of the size and
 * given apart, because it is chosen after all the rest is known: for every way the parts
 * were made there must be one choice that is good.
 */
#include "assembly_private.h"

#include <math.h>

struct gap_end {
    name_id piece;
    const struct form *at;
    const struct row *laid;
    const struct row *face;
};

static struct gap_end end_of(const struct assembly *assembly, name_id unit,
                             const struct row *asked, const char *place, const char *face)
{
    struct gap_end end = {0};
    end.piece = piece_in(assembly, unit, column_word(assembly, asked, place), NULL);
    end.at = assembly_position(assembly, unit, end.piece,
                               column_word(assembly, asked, face), &end.laid, &end.face);
    return end;
}

/* What the set terms of a gap add at least and at most, and how finely. */
struct set_part {
    const struct form *rest; /* the gap with its set terms at their nominal */
    double least;
    double greatest;
    double by; /* the coefficient of the last set term */
    bool is_set;
};

static struct set_part take_set_part(struct arena *arena, const struct form *whole)
{
    struct set_part part = {.rest = whole};
    for (uint32_t i = 0; i < whole->term_count; i++) {
        const struct form_term *term = &whole->terms[i];
        if (term->of->kind != DEVIATION_SET) {
            continue;
        }
        const double one = term->by * term->of->low;
        const double two = term->by * term->of->high;
        part.least += fmin(one, two);
        part.greatest += fmax(one, two);
        part.by = term->by;
        part.is_set = true;
        const struct form *own = form_of(arena, term->of);
        const struct form *fixed = form_exact(arena, whole->dim, term->of->nominal);
        part.rest =
            form_add(arena, part.rest,
                     form_scale(arena, form_subtract(arena, fixed, own), term->by));
    }
    return part;
}

/* The coarsest step among the settings of the gap. */
static const struct row *find_setting(const struct assembly *assembly, name_id unit,
                                      name_id gap, double *step)
{
    const name_id key[3] = {unit, gap, NAME_NONE};
    struct scan scan;
    const struct row *found = NULL;
    *step = 0.0;
    if (!scan_open(&scan, assembly->store, assembly->setting, 3, key)) {
        return NULL;
    }
    for (const struct row *row = scan_next(&scan); row != NULL; row = scan_next(&scan)) {
        const struct form *own = column_form(assembly, row, "step");
        if (own != NULL && isfinite(own->greatest) && own->greatest >= *step) {
            *step = own->greatest;
            found = row;
        }
    }
    return found;
}

static status add_between(struct assembly *assembly, const struct row *asked,
                          name_id piece, name_id other)
{
    struct computed made;
    computed_open(&made, assembly, assembly->gap_between, "gap between");
    made.key[0] = asked->key[0];
    made.key[1] = asked->key[1];
    made.key[2] = piece;
    made.key[3] = other;
    computed_rest(&made, asked);
    return computed_add(&made);
}

static struct value exact_length(struct assembly *assembly, double value)
{
    return value_quantity(form_exact(assembly->arena, DIMENSION_LENGTH, value));
}

static status add_gap(struct assembly *assembly, const struct row *asked,
                      const struct gap_end *from, const struct gap_end *to)
{
    struct computed made;
    double step = 0;
    const struct form *whole = form_subtract(assembly->arena, to->at, from->at);
    if (whole == NULL) {
        return arena_status(assembly->arena);
    }
    const struct set_part part = take_set_part(assembly->arena, whole);
    const struct row *setting =
        find_setting(assembly, asked->key[0], asked->key[1], &step);
    const bool is_set = part.is_set && setting != NULL;
    computed_open(&made, assembly, assembly->gap, "gap");
    made.key[0] = asked->key[0];
    made.key[1] = asked->key[1];
    computed_value(&made, "size", value_quantity(is_set ? part.rest : whole));
    computed_value(&made, "want-least", column_value(assembly, asked, "want-least"));
    computed_value(&made, "want-greatest",
                   column_value(assembly, asked, "want-greatest"));
    computed_value(&made, "play", exact_length(assembly, form_play(whole)));
    computed_value(&made, "set-least", exact_length(assembly, is_set ? part.least : 0.0));
    computed_value(&made, "set-greatest",
                   exact_length(assembly, is_set ? part.greatest : 0.0));
    computed_value(&made, "step",
                   exact_length(assembly, is_set ? step * fabs(part.by) : 0.0));
    computed_word(&made, "is-set", is_set ? "true" : "false");
    computed_rest(&made, asked);
    computed_rest(&made, from->laid);
    computed_rest(&made, from->face);
    computed_rest(&made, to->laid);
    computed_rest(&made, to->face);
    computed_rest(&made, is_set ? setting : NULL);
    TRY(computed_add(&made));
    TRY(add_between(assembly, asked, from->piece, to->piece));
    return add_between(assembly, asked, to->piece, from->piece);
}

status assembly_gaps(struct assembly *assembly, name_id unit,
                     struct diagnostics *diagnostics)
{
    const name_id key[2] = {unit, NAME_NONE};
    struct scan scan;
    if (!scan_open(&scan, assembly->store, assembly->gap_asked, 1, key)) {
        return arena_status(assembly->arena);
    }
    for (const struct row *asked = scan_next(&scan); asked != NULL;
         asked = scan_next(&scan)) {
        const struct gap_end from =
            end_of(assembly, unit, asked, "from-place", "from-face");
        const struct gap_end to = end_of(assembly, unit, asked, "to-place", "to-face");
        if (from.at == NULL || to.at == NULL) {
            TRY(arena_status(assembly->arena));
            continue; /* the line fell away when the unit was minted */
        }
        if (from.laid->key[2] != to.laid->key[2]) {
            diagnostics_report(diagnostics, CODE_SHAPE_WRONG, asked->where,
                               "a gap lies between two faces of one axis");
            return STATUS_INVALID;
        }
        TRY(add_gap(assembly, asked, &from, &to));
    }
    return STATUS_OK;
}

/* ---- where runs lie */

static status add_lies(struct assembly *assembly, name_id unit, const struct row *laid,
                       const struct row *run)
{
    const struct stretch stretch = stretch_in_unit(assembly, laid, run);
    struct computed made;
    if (stretch.from == NULL || stretch.to == NULL) {
        return arena_status(assembly->arena);
    }
    computed_open(&made, assembly, assembly->lies, "lies");
    made.key[0] = unit;
    made.key[1] = run->key[0];
    made.key[2] = run->key[1];
    computed_value(&made, "from", value_quantity(stretch.from));
    computed_value(&made, "to", value_quantity(stretch.to));
    computed_rest(&made, laid);
    computed_rest(&made, run);
    return computed_add(&made);
}

status assembly_lies(struct assembly *assembly, name_id unit)
{
    const name_id key[3] = {unit, NAME_NONE, NAME_NONE};
    struct scan pieces;
    if (!scan_open(&pieces, assembly->store, assembly->laid, 1, key)) {
        return arena_status(assembly->arena);
    }
    for (const struct row *laid = scan_next(&pieces); laid != NULL;
         laid = scan_next(&pieces)) {
        const name_id piece[2] = {laid->key[1], NAME_NONE};
        struct scan runs;
        if (!scan_open(&runs, assembly->store, assembly->run, 1, piece)) {
            return arena_status(assembly->arena);
        }
        for (const struct row *run = scan_next(&runs); run != NULL;
             run = scan_next(&runs)) {
            if (axis_of(assembly, run) == laid->key[2]) {
                TRY(add_lies(assembly, unit, laid, run));
            }
        }
    }
    return STATUS_OK;
}
