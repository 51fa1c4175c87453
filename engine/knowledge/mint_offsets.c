/* SPDX-License-Identifier: MIT */
/* Pieces that are put to a depth: a seal pressed in, a nut screwed on. */
#include "mint_offsets.h"

#include "array.h"
#include "draft.h"
#include "given.h"

#include <math.h>

/* Whether a gap of the unit is set by where the piece of this place is put. */
static bool is_set_by_stroke(const struct layer *layer, const struct lines *lines,
                             name_id place)
{
    for (uint32_t i = 0; i < lines->gap_count; i++) {
        for (uint32_t k = 0; k < lines->gaps[i].set_count; k++) {
            const struct set_by *set = &lines->gaps[i].set[k];
            if (set->place == place &&
                text_is(names_text(layer->names, set->stock), "stroke")) {
                return true;
            }
        }
    }
    return false;
}

/* A value is given by the name of a piece, as in part_build: a unit within this one may
 * have a place that is called alike. */
static struct given_value *given_offset(const struct layer *layer,
                                        const struct fill *fill,
                                        const struct contact_line *line)
{
    const struct minted_place *moved = fill_place(fill, line->moved.place);
    const name_id offset = names_find(layer->names, TEXT("offset"));
    return offset == NAME_NONE
               ? NULL
               : given_of_piece(layer->names, fill->given, fill->given_count,
                                moved->piece, moved->part, line->moved.feature, offset);
}

static status read_length(struct layer *layer, text word, span where, bool decimal_comma,
                          struct deviation *out)
{
    const struct stated_options options = {.wanted = DIMENSION_LENGTH,
                                           .decimal_comma = decimal_comma};
    const struct tolerance_rules rules = {.is_exact = false};
    struct stated stated = {0};
    TRY(stated_read(word, where, &options, layer->diagnostics, &stated));
    return stated_resolve(&layer->knowledge->tables, &stated, &rules, layer->diagnostics,
                          out);
}

/* "0..3 mm": no depth is wanted, only how far it may be put. */
static bool is_range(text offset)
{
    for (size_t at = text_find(offset, '.', 0); at + 1 < offset.length;
         at = text_find(offset, '.', at + 1)) {
        if (offset.at[at + 1] == '.') {
            return true;
        }
    }
    return false;
}

static bool is_bare(const struct deviation *read)
{
    return !isfinite(read->low) && !isfinite(read->high) && !isnan(read->nominal);
}

/* A depth as it is written: to its tolerance; a bare one, and the middle where none is
 * wanted, exactly. */
static status read_written_offset(struct layer *layer, const struct stop_line *stop,
                                  struct deviation *out)
{
    TRY(read_length(layer, stop->offset, stop->offset_where, false, out));
    if (stop->stroke.length > 0 && (is_range(stop->offset) || is_bare(out))) {
        out->low = 0.0;
        out->high = 0.0;
    }
    return STATUS_OK;
}

/* What is given must be what the piece may be put to. */
static status refuse_beyond_stroke(struct layer *layer, const struct stop_line *stop,
                                   const struct given_value *given,
                                   const struct deviation *read)
{
    const double grid = dimension_grid(DIMENSION_LENGTH);
    struct deviation stroke = {.dim = DIMENSION_LENGTH};
    if (stop->stroke.length == 0) {
        return STATUS_OK;
    }
    TRY(read_length(layer, stop->stroke, stop->stroke_where, false, &stroke));
    if (read->nominal >= stroke.nominal + stroke.low - grid &&
        read->nominal <= stroke.nominal + stroke.high + grid) {
        return STATUS_OK;
    }
    struct diagnostic *report =
        diagnostics_report(layer->diagnostics, CODE_VALUE_OUTSIDE, given->where,
                           "%.*s lies outside %.*s, what it may be set to",
                           TEXT_ARG(given->value), TEXT_ARG(stop->stroke));
    report->expected = text_format(diagnostics_arena(layer->diagnostics),
                                   "a depth within %.*s", TEXT_ARG(stop->stroke));
    diagnostic_note_add(report, stop->stroke_where, TEXT("the stroke is stated here"));
    return STATUS_INVALID;
}

/* A given depth without limits is met as closely as the written one. */
static status read_given_offset(struct layer *layer, const struct stop_line *stop,
                                const struct given_value *given, struct deviation *out)
{
    struct deviation written = {.dim = DIMENSION_LENGTH};
    TRY(read_length(layer, given->value, given->where, true, out));
    TRY(refuse_beyond_stroke(layer, stop, given, out));
    if (is_bare(out)) {
        TRY(read_written_offset(layer, stop, &written));
        out->low = written.low;
        out->high = written.high;
        out->basis = written.basis;
    }
    return STATUS_OK;
}

/* How a piece is put to its depth: to a tolerance, or, where a gap is set by it, anywhere
 * within its stroke. */
static status read_offset(struct layer *layer, const struct fill *fill,
                          const struct lines *lines, const struct contact_line *line,
                          const struct stop_line *stop, struct deviation *out)
{
    const struct given_value *given = given_offset(layer, fill, line);
    *out = (struct deviation){.dim = DIMENSION_LENGTH, .where = stop->offset_where};
    if (given != NULL) {
        return read_given_offset(layer, stop, given, out);
    }
    if (stop->stroke.length > 0 && is_set_by_stroke(layer, lines, line->moved.place)) {
        TRY(read_length(layer, stop->stroke, stop->stroke_where, false, out));
        out->kind = DEVIATION_SET;
        return STATUS_OK;
    }
    return read_written_offset(layer, stop, out);
}

/* The same dimension if this piece has been put to the same depth already: host and swap
 * share it while both keep the piece. Else a new one, of a name not yet taken. */
static const struct deviation *keep_offset(struct layer *layer, text name,
                                           const struct deviation *read)
{
    for (uint32_t i = 0; i < layer->offset_count; i++) {
        const struct deviation *known = layer->offsets[i];
        if (!text_equal(known->name, name)) {
            continue;
        }
        if (known->nominal == read->nominal && known->low == read->low &&
            known->high == read->high && known->kind == read->kind) {
            return known;
        }
        name = text_format(layer->arena, "%.*s (before)", TEXT_ARG(name));
    }
    struct deviation *own = ARENA_NEW(layer->arena, struct deviation);
    if (own == NULL ||
        !array_grow(layer->arena, (void **)&layer->offsets, layer->offset_count,
                    &layer->offset_room, sizeof *layer->offsets)) {
        return NULL;
    }
    *own = *read;
    own->name = name;
    layer->offsets[layer->offset_count++] = own;
    return own;
}

/* Where a piece that is put to a depth may be put. */
static status add_stroke(struct layer *layer, name_id unit,
                         const struct contact_line *line, const struct stop_line *stop,
                         const struct deviation *offset)
{
    struct deviation stroke = {.dim = DIMENSION_LENGTH};
    struct draft draft;
    TRY(read_length(layer, stop->stroke, stop->stroke_where, false, &stroke));
    draft_open(&draft, layer, "stroke", stop->stroke_where);
    draft_key(&draft, 0, unit);
    draft_key(&draft, 1, line->moved.place);
    draft_key(&draft, 2, line->moved.feature);
    draft_value(&draft, "at",
                value_quantity(form_exact(layer->arena, stroke.dim, offset->nominal)));
    draft_value(&draft, "least",
                value_quantity(
                    form_exact(layer->arena, stroke.dim, stroke.nominal + stroke.low)));
    draft_value(&draft, "greatest",
                value_quantity(
                    form_exact(layer->arena, stroke.dim, stroke.nominal + stroke.high)));
    return draft_add(&draft);
}

const struct form *offset_form(struct layer *layer, name_id unit, const struct fill *fill,
                               const struct lines *lines, const struct contact_line *line,
                               const struct stop_line *stop)
{
    const struct minted_place *moved = fill_place(fill, line->moved.place);
    struct deviation read;
    if (read_offset(layer, fill, lines, line, stop, &read) != STATUS_OK) {
        return NULL;
    }
    const text name =
        text_format(layer->arena, "%.*s.%.*s.offset",
                    TEXT_ARG(names_text(layer->names, moved->piece)),
                    TEXT_ARG(names_text(layer->names, line->moved.feature)));
    const struct deviation *own = keep_offset(layer, name, &read);
    const bool is_movable =
        stop->stroke.length > 0 && own != NULL && own->kind != DEVIATION_SET &&
        (is_range(stop->offset) || !text_equal(stop->offset, stop->stroke));
    if (own == NULL ||
        (is_movable && add_stroke(layer, unit, line, stop, own) != STATUS_OK)) {
        return NULL;
    }
    return own->low == 0.0 && own->high == 0.0
               ? form_exact(layer->arena, own->dim, own->nominal)
               : form_of(layer->arena, own);
}
