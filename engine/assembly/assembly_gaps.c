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

/* How far a gap moves by itself; what nobody bounds stays what it is. What moves by a
 * rate that is known within limits only, such as that of an unsaid material, moves by
 * more or less. */
static struct value play_of(struct assembly *assembly, const struct row *asked,
                            const struct form *whole)
{
    struct arena *arena = assembly->arena;
    const double play = form_play(whole);
    const double more = whole->remainder_high - whole->remainder_low;
    for (uint32_t i = 0; i < whole->term_count; i++) {
        const struct deviation *of = whole->terms[i].of;
        if (of->kind == DEVIATION_MOVES && of->basis == BASIS_MISSING) {
            return value_quantity(form_of(arena, of));
        }
    }
    struct deviation *rough = more > 0.0 ? ARENA_NEW(arena, struct deviation) : NULL;
    if (rough == NULL) {
        return exact_length(assembly, play);
    }
    *rough = (struct deviation){
        .name = text_format(arena, "how far %.*s moves",
                            TEXT_ARG(assembly_text(assembly, asked->key[1]))),
        .nominal = play,
        .low = -fmin(play, more),
        .high = more,
        .kind = DEVIATION_MOVES,
        .basis = BASIS_LIMITS,
        .dim = DIMENSION_LENGTH};
    return value_quantity(form_of(arena, rough));
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
    computed_value(&made, "play", play_of(assembly, asked, whole));
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

struct gap_queue {
    ARRAY_OF(struct waiting_gap) gaps;
    bool is_forced; /* nothing goes on by itself: the next one waits no longer */
};

/* Whether something in it is chosen for another gap that is not yet worked out. */
static bool waits(const struct assembly *assembly, const struct gap_queue *queue,
                  const struct waiting_gap *own, const struct form *whole)
{
    for (uint32_t k = 0; k < queue->gaps.count; k++) {
        const struct waiting_gap *other = &queue->gaps.at[k];
        for (uint32_t i = 0; other != own && !other->is_done && i < whole->term_count;
             i++) {
            if (setting_of(assembly, own->asked, whole->terms[i].of) == NULL &&
                setting_of(assembly, other->asked, whole->terms[i].of) != NULL) {
                return true;
            }
        }
    }
    return false;
}

/* Adds a gap unless it must wait. */
static status try_gap(struct assembly *assembly, name_id unit, struct gap_queue *queue,
                      struct waiting_gap *gap, struct diagnostics *diagnostics)
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
    if (!queue->is_forced && waits(assembly, queue, gap, whole)) {
        return STATUS_OK;
    }
    queue->is_forced = false;
    gap->is_done = true;
    return add_gap(assembly, gap->asked, &from, &to, whole);
}

/* A gap that depends on what another one has chosen comes after it. Where they wait for
 * each other the first goes on with what the others choose left open. */
status assembly_gaps(struct assembly *assembly, name_id unit,
                     struct diagnostics *diagnostics)
{
    const name_id key[2] = {unit, NAME_NONE};
    struct gap_queue queue = {0};
    struct scan scan;
    uint32_t left = 0;
    if (!scan_open(&scan, assembly->store, assembly->gap_asked, 1, key)) {
        return arena_status(assembly->arena);
    }
    for (const struct row *asked = scan_next(&scan); asked != NULL;
         asked = scan_next(&scan)) {
        const struct waiting_gap gap = {asked, false};
        if (!ARRAY_PUSH(assembly->arena, &queue.gaps, gap)) {
            return arena_status(assembly->arena);
        }
    }
    do {
        const uint32_t before = left;
        left = 0;
        for (uint32_t i = 0; i < queue.gaps.count; i++) {
            if (!queue.gaps.at[i].is_done) {
                TRY(try_gap(assembly, unit, &queue, &queue.gaps.at[i], diagnostics));
                left += queue.gaps.at[i].is_done ? 0 : 1;
            }
        }
        queue.is_forced = left == before;
    } while (left > 0);
    return STATUS_OK;
}
