/* SPDX-License-Identifier: MIT */
/*
 * Writes a unit's lines as rows. Columns are found by the names that
 * rules/vocabulary.yaml gives them, so their order there is free.
 */
#include "mint_rows.h"

#include "could_stand.h"
#include "draft.h"
#include "mint_offsets.h"
#include "mint_spaces.h"

#include <math.h>

static status draft_clock(struct draft *draft, const struct minted_place *place)
{
    struct stated stated = {0};
    struct stated_options options = {0};
    if (!dimension_find(TEXT("angle"), &options.wanted)) {
        return STATUS_INVALID;
    }
    if (place->clock.length == 0) {
        return STATUS_OK; /* nobody says that it matters how it is turned */
    }
    TRY(stated_read(place->clock, place->clock_where, &options, draft->layer->diagnostics,
                    &stated));
    draft_value(
        draft, "clock",
        value_quantity(form_exact(draft->layer->arena, options.wanted, stated.nominal)));
    return STATUS_OK;
}

static status add_fills(struct layer *layer, name_id unit, const struct fill *fill)
{
    for (uint32_t i = 0; i < fill->place_count; i++) {
        const struct minted_place *place = &fill->places[i];
        if (place->with == NAME_NONE) {
            continue;
        }
        struct draft draft;
        draft_open(&draft, layer, "fills", SPAN_NONE);
        draft_key(&draft, 0, unit);
        draft_key(&draft, 1, place->place);
        draft_key(&draft, 2, place->piece);
        draft_flag(&draft, "turned", place->is_turned);
        TRY(draft_clock(&draft, place));
        TRY(draft_add(&draft));
    }
    return STATUS_OK;
}

static status add_stops(struct layer *layer, name_id unit, const struct fill *fill,
                        const struct lines *lines, const struct contact_line *line,
                        uint32_t contact)
{
    for (uint32_t k = 0; k < line->stop_count; k++) {
        const struct stop_line *stop = &line->stops[k];
        struct draft draft;
        draft_open(&draft, layer, "stop", stop->face.where);
        draft_key(&draft, 0, unit);
        draft_key(&draft, 1, contact);
        draft_key(&draft, 2, k);
        draft_word(&draft, "place", stop->face.place);
        draft_word(&draft, "face", stop->face.feature);
        draft_flag(&draft, "has-offset", stop->has_offset);
        const struct form *offset =
            stop->has_offset ? offset_form(layer, unit, fill, lines, line, stop)
                             : form_exact(layer->arena, DIMENSION_LENGTH, 0.0);
        if (offset == NULL) {
            TRY(arena_status(layer->arena));
            return STATUS_INVALID;
        }
        draft_value(&draft, "offset", value_quantity(offset));
        TRY(draft_add(&draft));
    }
    return STATUS_OK;
}

static status add_contacts(struct layer *layer, name_id unit, const struct fill *fill,
                           const struct lines *lines)
{
    for (uint32_t i = 0; i < lines->contact_count; i++) {
        const struct contact_line *line = &lines->contacts[i];
        struct draft draft;
        draft_open(&draft, layer, "contact", line->where);
        draft_key(&draft, 0, unit);
        draft_key(&draft, 1, i);
        draft_word(&draft, "place", line->moved.place);
        draft_word(&draft, "face", line->moved.feature);
        TRY(draft_add(&draft));
        TRY(add_stops(layer, unit, fill, lines, line, i));
    }
    return STATUS_OK;
}

/* A field of a part itself, wherever its kinds keep it: of the relations keyed by the
 * piece alone. */
static const struct form *piece_field(struct layer *layer, name_id piece, name_id field)
{
    const struct row *const *rows = NULL;
    uint32_t count = 0;
    if (field == NAME_NONE ||
        store_rows_of(layer->store, piece, &rows, &count) != STATUS_OK) {
        return NULL;
    }
    for (uint32_t i = 0; i < count; i++) {
        const struct relation_shape *shape = store_shape(layer->store, rows[i]->relation);
        const int column = vocabulary_column(shape, field);
        if (shape->key_count == 1 && column >= 1 &&
            rows[i]->values[column - 1].kind == VALUE_QUANTITY) {
            return rows[i]->values[column - 1].quantity;
        }
    }
    return NULL;
}

/* Nobody wrote how large the gap is to be: both ends are missing, each by itself. */
static void draft_missing_want(struct draft *draft, const struct form *field)
{
    struct arena *arena = draft->layer->arena;
    struct deviation *most = ARENA_NEW(arena, struct deviation);
    if (most == NULL) {
        return; /* whoever reads the arena's status will see that */
    }
    *most = *field->terms[0].of;
    most->name = text_format(arena, "%.*s, at most", TEXT_ARG(most->name));
    draft_value(draft, "want-least", value_quantity(field));
    draft_value(draft, "want-greatest", value_quantity(form_of(arena, most)));
}

/* What is wanted of a gap: a range in its own notation, or a field of a part. A line
 * whose part has no such field has fallen away before. */
static status draft_want(struct draft *draft, const struct fill *fill,
                         const struct gap_line *line)
{
    struct layer *layer = draft->layer;
    text place = {"", 0};
    text word = {"", 0};
    double least = -INFINITY;
    double greatest = INFINITY;
    if (line->want.length == 0) {
        return STATUS_OK;
    }
    if (want_is_field(line->want, &place, &word)) {
        const struct form *field =
            piece_field(layer, fill_place(fill, names_find(layer->names, place))->piece,
                        names_find(layer->names, word));
        if (field == NULL) {
            return arena_status(layer->arena);
        }
        if (form_misses(field) && field->term_count > 0) {
            draft_missing_want(draft, field);
            return STATUS_OK;
        }
        least = field->least;
        greatest = field->greatest;
    } else {
        const struct stated_options options = {.wanted = DIMENSION_LENGTH};
        struct stated stated = {0};
        TRY(stated_read(line->want, line->want_where, &options, layer->diagnostics,
                        &stated));
        least = stated.nominal + stated.low;
        greatest = stated.nominal + stated.high;
    }
    if (isfinite(least)) {
        draft_value(draft, "want-least",
                    value_quantity(form_exact(layer->arena, DIMENSION_LENGTH, least)));
    }
    if (isfinite(greatest)) {
        draft_value(draft, "want-greatest",
                    value_quantity(form_exact(layer->arena, DIMENSION_LENGTH, greatest)));
    }
    return STATUS_OK;
}

static status add_settings(struct layer *layer, name_id unit, const struct fill *fill,
                           const struct gap_line *line)
{
    for (uint32_t i = 0; i < line->set_count; i++) {
        const struct set_by *set = &line->set[i];
        const struct minted_place *place = fill_place(fill, set->place);
        const bool is_stroke = text_is(names_text(layer->names, set->stock), "stroke");
        if (place == NULL ||
            (is_stroke ? place->with == NAME_NONE : place->with != set->stock)) {
            continue; /* something else lies there now: it is no longer chosen */
        }
        struct draft draft;
        draft_open(&draft, layer, "setting", set->where);
        draft_key(&draft, 0, unit);
        draft_key(&draft, 1, line->name);
        draft_key(&draft, 2, set->place);
        draft_word(&draft, "stock", set->stock);
        const struct form *step =
            piece_field(layer, place->piece, names_find(layer->names, TEXT("step")));
        if (step == NULL) {
            step = form_exact(layer->arena, DIMENSION_LENGTH, 0.0);
        }
        draft_value(&draft, "step", value_quantity(step));
        TRY(draft_add(&draft));
    }
    return STATUS_OK;
}

static status add_gaps(struct layer *layer, name_id unit, const struct fill *fill,
                       const struct lines *lines)
{
    for (uint32_t i = 0; i < lines->gap_count; i++) {
        const struct gap_line *line = &lines->gaps[i];
        struct draft draft;
        draft_open(&draft, layer, "gap-asked", line->where);
        draft_key(&draft, 0, unit);
        draft_key(&draft, 1, line->name);
        draft_word(&draft, "from-place", line->from.place);
        draft_word(&draft, "from-face", line->from.feature);
        draft_word(&draft, "to-place", line->to.place);
        draft_word(&draft, "to-face", line->to.feature);
        draft_word(&draft, "floats", line->floats);
        TRY(draft_want(&draft, fill, line));
        TRY(draft_add(&draft));
        TRY(add_settings(layer, unit, fill, line));
    }
    return STATUS_OK;
}

static status add_fits(struct layer *layer, name_id unit, const struct lines *lines)
{
    for (uint32_t i = 0; i < lines->fit_count; i++) {
        const struct fit_line *line = &lines->fits[i];
        struct draft draft;
        draft_open(&draft, layer, "fit-asked", line->where);
        draft_key(&draft, 0, unit);
        draft_key(&draft, 1, i);
        draft_word(&draft, "place", line->left.place);
        draft_word(&draft, "feature", line->left.feature);
        draft_word(&draft, "way",
                   names_add(layer->names, line->is_in ? TEXT("in") : TEXT("on")));
        draft_word(&draft, "other-place", line->right.place);
        draft_word(&draft, "other-feature", line->right.feature);
        TRY(draft_add(&draft));
    }
    return STATUS_OK;
}

static status add_pushes(struct layer *layer, name_id unit, const struct lines *lines)
{
    for (uint32_t i = 0; i < lines->push_count; i++) {
        struct draft draft;
        draft_open(&draft, layer, "pushed", lines->pushes[i].where);
        draft_key(&draft, 0, unit);
        draft_key(&draft, 1, lines->pushes[i].place);
        draft_key(&draft, 2, lines->pushes[i].way);
        TRY(draft_add(&draft));
    }
    return STATUS_OK;
}

/* Both ways round. */
static status add_meshes(struct layer *layer, name_id unit, const struct fill *fill,
                         const struct lines *lines)
{
    for (uint32_t i = 0; i < 2 * lines->mesh_count; i++) {
        const struct mesh_line *line = &lines->meshes[i / 2];
        const struct minted_place *one =
            fill_place(fill, i % 2 == 0 ? line->place : line->other);
        const struct minted_place *other =
            fill_place(fill, i % 2 == 0 ? line->other : line->place);
        if (one == NULL || other == NULL || one->with == NAME_NONE ||
            other->with == NAME_NONE || one->piece == other->piece) {
            continue; /* one part that is both, or an emptied place, meshes with nothing
                       */
        }
        struct draft draft;
        draft_open(&draft, layer, "mesh", line->where);
        draft_key(&draft, 0, unit);
        draft_key(&draft, 1, one->piece);
        draft_key(&draft, 2, other->piece);
        TRY(draft_add(&draft));
    }
    return STATUS_OK;
}

status unit_rows(struct layer *layer, name_id unit, const struct fill *fill,
                 const struct lines *lines)
{
    TRY(add_fills(layer, unit, fill));
    TRY(add_contacts(layer, unit, fill, lines));
    TRY(add_gaps(layer, unit, fill, lines));
    TRY(add_fits(layer, unit, lines));
    TRY(add_meshes(layer, unit, fill, lines));
    TRY(add_pushes(layer, unit, lines));
    TRY(space_rows(layer, unit, fill, lines));
    return arena_status(layer->arena);
}

static status add_replaced(struct layer *layer, name_id unit,
                           const struct minted_place *now,
                           const struct minted_place *before)
{
    struct draft draft;
    draft_open(&draft, layer, "replaced", SPAN_NONE);
    draft_key(&draft, 0, unit);
    draft_key(&draft, 1, now->place);
    draft_key(&draft, 2, now->piece);
    draft_key(&draft, 3, before->piece);
    draft_flag(&draft, "same-sort",
               same_family(layer->knowledge, now->with, before->with));
    return draft_add(&draft);
}

status changed_rows(struct layer *layer, name_id unit, const struct fill *swap,
                    const struct fill *host)
{
    for (uint32_t i = 0; i < swap->place_count; i++) {
        const struct minted_place *place = &swap->places[i];
        const struct minted_place *before = fill_place(host, place->place);
        if (!place->is_changed || place->with == NAME_NONE) {
            continue;
        }
        struct draft draft;
        draft_open(&draft, layer, "changed", SPAN_NONE);
        draft_key(&draft, 0, unit);
        draft_key(&draft, 1, place->place);
        draft_key(&draft, 2, place->piece);
        TRY(draft_add(&draft));
        if (before != NULL && before->with != NAME_NONE &&
            before->piece != place->piece) {
            TRY(add_replaced(layer, unit, place, before));
        }
    }
    return STATUS_OK;
}

status emptied_rows(struct layer *layer, name_id unit, const struct fill *swap,
                    name_id host_unit, const struct fill *host)
{
    for (uint32_t i = 0; i < host->place_count; i++) {
        const struct minted_place *before = &host->places[i];
        const struct minted_place *now = fill_place(swap, before->place);
        if (before->with == NAME_NONE || now == NULL || now->with != NAME_NONE) {
            continue;
        }
        struct draft draft;
        draft_open(&draft, layer, "emptied", SPAN_NONE);
        draft_key(&draft, 0, unit);
        draft_key(&draft, 1, before->place);
        draft_key(&draft, 2, before->piece);
        draft_key(&draft, 3, host_unit);
        TRY(draft_add(&draft));
    }
    return STATUS_OK;
}

enum {
    OFFER_REASONS = 8 /* where it is laid, its face, and the settings under it */
};

/* A face of an inner unit as a face of the piece that the unit is in the larger one. */
static status add_offer(struct layer *layer, name_id unit, name_id piece,
                        const struct minted_place *inner, const struct offer_line *offer)
{
    const struct row **rests_on =
        ARENA_MANY(layer->arena, OFFER_REASONS, const struct row *);
    uint32_t count = 2;
    TRY(arena_status(layer->arena));
    const struct form *at =
        assembly_position(layer->assembly, unit, inner->piece, offer->face.feature,
                          &rests_on[0], &rests_on[1]);
    if (at == NULL) {
        return STATUS_OK; /* not laid: the larger unit then finds no such face */
    }
    struct draft draft;
    draft_open(&draft, layer, "face", offer->face.where);
    draft_key(&draft, 0, piece);
    draft_key(&draft, 1, offer->name);
    draft_value(&draft, "at", value_quantity(at));
    const struct relation_shape *face = store_shape(layer->store, rests_on[1]->relation);
    const int looks = vocabulary_column(face, names_find(layer->names, TEXT("looks")));
    if (looks >= (int)face->key_count) {
        struct value way = rests_on[1]->values[looks - (int)face->key_count];
        if (inner->is_turned && way.kind == VALUE_WORD) {
            const bool is_in = text_is(names_text(layer->names, way.word), "in");
            way = value_word(names_add(layer->names, is_in ? TEXT("out") : TEXT("in")));
        }
        draft_value(&draft, "looks", way);
    }
    draft.row.origin = ORIGIN_COMPUTED;
    draft.more.rests_on = rests_on;
    const struct row *gap = NULL;
    for (uint32_t i = 0;
         count < OFFER_REASONS &&
         (gap = assembly_settling_under(layer->assembly, rests_on[0], i)) != NULL;
         i++) {
        rests_on[count++] = gap;
    }
    draft.more.rests_on_count = count;
    draft.more.computation = "offered face";
    draft.row.more = &draft.more;
    for (uint32_t i = 0; i < count; i++) {
        draft.row.height = draft.row.height > rests_on[i]->height
                               ? draft.row.height
                               : rests_on[i]->height + 1;
    }
    return draft_add(&draft);
}

status offer_rows(struct layer *layer, name_id unit, name_id piece,
                  const struct fill *fill, const struct recipe *recipe)
{
    for (uint32_t i = 0; i < recipe->offer_count; i++) {
        const struct minted_place *inner = fill_place(fill, recipe->offers[i].face.place);
        if (inner != NULL && inner->with != NAME_NONE) {
            TRY(add_offer(layer, unit, piece, inner, &recipe->offers[i]));
        }
    }
    return STATUS_OK;
}

status warm_row(struct layer *layer, name_id unit, const struct deviation *over_20)
{
    struct draft draft;
    if (over_20 == NULL) {
        return STATUS_OK;
    }
    draft_open(&draft, layer, "warm", over_20->where);
    draft_key(&draft, 0, unit);
    draft_value(&draft, "rise", value_quantity(form_of(layer->arena, over_20)));
    return draft_add(&draft);
}

status unit_piece_row(struct layer *layer, name_id piece, const struct recipe *recipe)
{
    struct draft draft;
    draft_open(&draft, layer, "piece", recipe->where);
    draft_key(&draft, 0, piece);
    draft_word(&draft, "part", recipe->name);
    draft_word(&draft, "kind",
               recipe->kind != NAME_NONE ? recipe->kind
                                         : names_add(layer->names, TEXT("unit")));
    draft_word(&draft, "title", names_add(layer->names, recipe->title));
    return draft_add(&draft);
}
