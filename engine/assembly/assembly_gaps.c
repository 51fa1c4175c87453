/* SPDX-License-Identifier: MIT */
/*
 * Gaps: the second face minus the first. What a setting adds is taken out of the size and
 * given apart, because it is chosen after all the rest is known: for every way the parts
 * were made there must be one choice that is good.
 */
#include "assembly_private.h"

#include <math.h>

struct gap_end gap_end_of(const struct assembly *assembly, name_id unit,
                          const struct row *asked, const char *place, const char *face)
{
    struct gap_end end = {0};
    end.piece = piece_in(assembly, unit, column_word(assembly, asked, place), NULL);
    end.at = assembly_position(assembly, unit, end.piece,
                               column_word(assembly, asked, face), &end.laid, &end.face);
    return end;
}

/* What is chosen for a gap: how much it adds at least and at most, and how finely. */
struct set_part {
    const struct form *rest;      /* the gap with what is chosen at its nominal */
    const struct form_term *term; /* the one chosen dimension; NULL: none, or several */
    const struct row *setting;    /* the row of the coarsest step */
    double least;
    double greatest;
    double step; /* of the gap */
    bool is_set;
};

static bool is_of_piece(const struct assembly *assembly, const struct deviation *of,
                        name_id piece)
{
    const text name = assembly_text(assembly, piece);
    return text_starts(of->name, name) && of->name.length > name.length &&
           of->name.at[name.length] == '.';
}

/* The setting that chooses a dimension for this gap; NULL when none does. */
static const struct row *setting_of(const struct assembly *assembly,
                                    const struct row *asked, const struct deviation *of)
{
    const name_id key[3] = {asked->key[0], asked->key[1], NAME_NONE};
    struct scan scan;
    if (of->kind != DEVIATION_SET ||
        !scan_open(&scan, assembly->store, assembly->setting, 3, key)) {
        return NULL;
    }
    for (const struct row *row = scan_next(&scan); row != NULL; row = scan_next(&scan)) {
        if (is_of_piece(assembly, of,
                        piece_in(assembly, row->key[0], row->key[2], NULL))) {
            return row;
        }
    }
    return NULL;
}

static double step_of(const struct assembly *assembly, const struct row *setting)
{
    const struct form *own = column_form(assembly, setting, "step");
    return own != NULL && isfinite(own->greatest) ? own->greatest : 0.0;
}

static struct set_part take_set_part(const struct assembly *assembly,
                                     const struct row *asked, const struct form *whole)
{
    struct set_part part = {.rest = whole};
    for (uint32_t i = 0; i < whole->term_count; i++) {
        const struct form_term *term = &whole->terms[i];
        const struct row *setting = setting_of(assembly, asked, term->of);
        if (setting == NULL) {
            continue;
        }
        const double one = term->by * term->of->low;
        const double two = term->by * term->of->high;
        const double step = step_of(assembly, setting) * fabs(term->by);
        part.least += fmin(one, two);
        part.greatest += fmax(one, two);
        part.term = part.is_set ? NULL : term;
        part.setting = part.setting == NULL || step > part.step ? setting : part.setting;
        part.step = fmax(part.step, step);
        part.is_set = true;
        part.rest =
            form_substitute(assembly->arena, part.rest, term->of,
                            form_exact(assembly->arena, whole->dim, term->of->nominal));
    }
    return part;
}

/* Whether something is chosen in it for another gap and not yet worked out. */
static bool waits(const struct assembly *assembly, const struct row *asked,
                  const struct form *whole)
{
    for (uint32_t i = 0; i < whole->term_count; i++) {
        const struct deviation *of = whole->terms[i].of;
        if (of->kind == DEVIATION_SET && setting_of(assembly, asked, of) == NULL) {
            return true;
        }
    }
    return false;
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

/* How far a gap moves by itself; what nobody bounds stays what it is. */
static struct value play_of(struct assembly *assembly, const struct form *whole)
{
    for (uint32_t i = 0; i < whole->term_count; i++) {
        const struct deviation *of = whole->terms[i].of;
        if (of->kind == DEVIATION_MOVES && of->basis == BASIS_MISSING) {
            return value_quantity(form_of(assembly->arena, of));
        }
    }
    return exact_length(assembly, form_play(whole));
}

static status add_gap(struct assembly *assembly, const struct row *asked,
                      const struct gap_end *from, const struct gap_end *to,
                      const struct form *whole)
{
    struct computed made;
    struct settling settling = {0};
    const struct set_part part = take_set_part(assembly, asked, whole);
    if (part.term != NULL) {
        TRY(settle_gap(assembly, asked, part.setting, part.term, part.rest,
                       step_of(assembly, part.setting), &settling));
    }
    computed_open(&made, assembly, assembly->gap, "gap");
    made.key[0] = asked->key[0];
    made.key[1] = asked->key[1];
    computed_value(&made, "size", value_quantity(part.rest));
    computed_value(&made, "want-least", column_value(assembly, asked, "want-least"));
    computed_value(&made, "want-greatest",
                   column_value(assembly, asked, "want-greatest"));
    computed_value(&made, "play", play_of(assembly, whole));
    computed_value(&made, "set-least", exact_length(assembly, part.least));
    computed_value(&made, "set-greatest", exact_length(assembly, part.greatest));
    computed_value(&made, "step", exact_length(assembly, part.step));
    computed_word(&made, "is-set", part.is_set ? "true" : "false");
    computed_rest(&made, asked);
    computed_rest(&made, from->laid);
    computed_rest(&made, from->face);
    computed_rest(&made, to->laid);
    computed_rest(&made, to->face);
    computed_rest(&made, part.setting);
    rest_on_settlings(&made, from->laid);
    rest_on_settlings(&made, to->laid);
    computed_value(&made, "comes-to",
                   value_quantity(settling.as == NULL
                                      ? whole
                                      : form_substitute(assembly->arena, whole,
                                                        settling.of, settling.as)));
    TRY(computed_add(&made));
    TRY(settling_keep(assembly, &settling,
                      store_find(assembly->store, assembly->gap, made.key)));
    TRY(add_between(assembly, asked, from->piece, to->piece));
    return add_between(assembly, asked, to->piece, from->piece);
}

/* What floats in a gap lies at its beginning while the gap is measured. */
static const struct form *without_own_float(const struct assembly *assembly,
                                            const struct row *asked,
                                            const struct form *whole)
{
    const name_id key[3] = {asked->key[0], asked->key[1], NAME_NONE};
    struct scan scan;
    if (!scan_open(&scan, assembly->store, assembly->floating, 3, key)) {
        return NULL;
    }
    for (const struct row *row = scan_next(&scan); row != NULL; row = scan_next(&scan)) {
        const struct form *by = column_form(assembly, row, "by");
        for (uint32_t i = 0; by != NULL && i < by->term_count; i++) {
            whole = form_substitute(assembly->arena, whole, by->terms[i].of,
                                    form_exact(assembly->arena, by->dim, 0.0));
        }
    }
    return whole;
}

/* An asked gap as it waits for its turn. */
struct waiting_gap {
    const struct row *asked;
    bool is_done;
};

/* Adds a gap unless it must wait; `is_forced` ends the waiting. */
static status try_gap(struct assembly *assembly, name_id unit, struct waiting_gap *gap,
                      bool is_forced, struct diagnostics *diagnostics)
{
    const struct gap_end from =
        gap_end_of(assembly, unit, gap->asked, "from-place", "from-face");
    const struct gap_end to =
        gap_end_of(assembly, unit, gap->asked, "to-place", "to-face");
    if (from.at == NULL || to.at == NULL) {
        gap->is_done = true; /* the line fell away when the unit was minted */
        return arena_status(assembly->arena);
    }
    if (from.laid->key[2] != to.laid->key[2]) {
        diagnostics_report(diagnostics, CODE_SHAPE_WRONG, gap->asked->where,
                           "a gap lies between two faces of one axis");
        return STATUS_INVALID;
    }
    const struct form *whole = without_own_float(
        assembly, gap->asked, form_subtract(assembly->arena, to.at, from.at));
    if (whole == NULL) {
        return arena_status(assembly->arena);
    }
    if (!is_forced && waits(assembly, gap->asked, whole)) {
        return STATUS_OK;
    }
    gap->is_done = true;
    return add_gap(assembly, gap->asked, &from, &to, whole);
}

/* A gap that depends on what another one has chosen comes after it; where two wait for
 * each other, both vary over the whole stock. */
status assembly_gaps(struct assembly *assembly, name_id unit,
                     struct diagnostics *diagnostics)
{
    const name_id key[2] = {unit, NAME_NONE};
    ARRAY_OF(struct waiting_gap) gaps = {0};
    struct scan scan;
    bool is_new = true;
    bool is_left = false;
    if (!scan_open(&scan, assembly->store, assembly->gap_asked, 1, key)) {
        return arena_status(assembly->arena);
    }
    for (const struct row *asked = scan_next(&scan); asked != NULL;
         asked = scan_next(&scan)) {
        const struct waiting_gap gap = {asked, false};
        if (!ARRAY_PUSH(assembly->arena, &gaps, gap)) {
            return arena_status(assembly->arena);
        }
    }
    while (is_new || is_left) {
        const bool is_forced = !is_new;
        is_new = false;
        is_left = false;
        for (uint32_t i = 0; i < gaps.count; i++) {
            if (gaps.at[i].is_done) {
                continue;
            }
            TRY(try_gap(assembly, unit, &gaps.at[i], is_forced, diagnostics));
            is_new = is_new || gaps.at[i].is_done;
            is_left = is_left || !gaps.at[i].is_done;
        }
    }
    return STATUS_OK;
}
