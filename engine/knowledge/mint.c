/* SPDX-License-Identifier: MIT */
/*
 * Mints a question's units. The order matters: first what fills each place in host and
 * swap, then the lines that follow from it, then which pieces come out of a stock, then
 * the pieces, and last the lines as rows and the laying. Pieces are minted once: both
 * units see the same rows of those the swap leaves alone.
 */
#include "mint.h"

#include "array.h"
#include "given.h"
#include "limits.h"
#include "mint_fill.h"
#include "mint_rows.h"
#include "unit_lists.h"

struct mint {
    struct layer *layer;
    struct given_value *given;
    uint32_t given_count;
    uint32_t depth;
    const struct deviation *temperature; /* of the unit that is being minted */
};

static status mint_unit(struct mint *mint, const struct recipe *recipe, name_id unit,
                        const struct fill *fill, struct held_lines *held);
static status read_service(struct mint *mint, const struct recipe *recipe);

status layer_open(struct arena *arena, const struct knowledge *knowledge,
                  struct diagnostics *diagnostics, struct layer *out)
{
    *out = (struct layer){
        .knowledge = knowledge, .arena = arena, .diagnostics = diagnostics};
    out->names = names_open(arena, knowledge->names);
    out->store = store_open(arena, NULL, 0, knowledge->base);
    TRY(arena_status(arena));
    return assembly_open(arena, out->store, out->names, diagnostics, &out->assembly);
}

static const text before_mark = {MINT_BEFORE, sizeof MINT_BEFORE - 1};

text layer_shown(const struct layer *layer, name_id name)
{
    const text full = names_text(layer->names, name);
    for (size_t at = text_find(full, ' ', 0); at < full.length;
         at = text_find(full, ' ', at + 1)) {
        const text rest = text_slice(full, at, full.length);
        if (text_starts(rest, before_mark)) {
            return text_format(
                layer->arena, "%.*s%.*s", TEXT_ARG(text_slice(full, 0, at)),
                TEXT_ARG(text_slice(rest, before_mark.length, rest.length)));
        }
    }
    return full;
}

static bool is_set_place(const struct held_lines *held, const struct minted_place *place)
{
    for (uint32_t i = 0; i < held->lines.gap_count; i++) {
        const struct gap_line *gap = &held->lines.gaps[i];
        for (uint32_t k = 0; k < gap->set_count; k++) {
            if (gap->set[k].place == place->place && gap->set[k].stock == place->with) {
                return true;
            }
        }
    }
    return false;
}

static bool is_minted(const struct layer *layer, name_id piece)
{
    relation_id relation = 0;
    const name_id key[1] = {piece};
    return store_find_relation(layer->store, names_find(layer->names, TEXT("piece")),
                               &relation) &&
           store_find(layer->store, relation, key) != NULL;
}

static status mint_inner(struct mint *mint, const struct minted_place *place)
{
    struct layer *layer = mint->layer;
    struct fill inner = {0};
    struct held_lines held = {0};
    if (mint->depth >= LIMIT_UNIT_DEPTH) {
        diagnostics_report(layer->diagnostics, CODE_PLACE_CIRCLE, place->recipe->where,
                           "units are nested too deep: does one fill a place of itself?");
        return STATUS_INVALID;
    }
    const text prefix = text_format(layer->arena, "%.*s.",
                                    TEXT_ARG(names_text(layer->names, place->piece)));
    TRY(fill_recipe(layer, place->recipe, prefix, &inner));
    const struct deviation *outer = mint->temperature;
    mint->depth++;
    TRY(read_service(mint, place->recipe));
    TRY(mint_unit(mint, place->recipe, place->piece, &inner, &held));
    mint->temperature = outer;
    mint->depth--;
    TRY(unit_piece_row(layer, place->piece, place->recipe));
    return offer_rows(layer, place->piece, place->piece, &inner, place->recipe);
}

static struct part_surroundings surroundings_of(const struct mint *mint)
{
    struct layer *layer = mint->layer;
    return (struct part_surroundings){.arena = layer->arena,
                                      .names = layer->names,
                                      .vocabulary = layer->knowledge->vocabulary,
                                      .tables = &layer->knowledge->tables,
                                      .diagnostics = layer->diagnostics,
                                      .decimal_comma = true,
                                      .temperature = mint->temperature};
}

static status mint_piece(struct mint *mint, const struct minted_place *place,
                         const struct held_lines *held)
{
    struct layer *layer = mint->layer;
    if (place->with == NAME_NONE || is_minted(layer, place->piece)) {
        return STATUS_OK;
    }
    if (place->recipe != NULL) {
        return mint_inner(mint, place);
    }
    struct part_surroundings around = surroundings_of(mint);
    around.is_set = is_set_place(held, place);
    return part_build(&around, place->part, place->piece, place->piece, mint->given,
                      mint->given_count, layer->store);
}

/* How warm a unit gets, counted from 20 °C: one dimension for host and swap. A unit
 * inside another is as warm as that one unless it says otherwise. */
static status read_service(struct mint *mint, const struct recipe *recipe)
{
    struct layer *layer = mint->layer;
    struct stated stated = {0};
    struct stated_options options = {0};
    struct unit celsius = {0};
    if (recipe->service.length == 0) {
        return STATUS_OK;
    }
    if (!unit_find(TEXT("degC"), &celsius)) {
        return STATUS_INVALID;
    }
    options.wanted = celsius.dim;
    TRY(stated_read(recipe->service, recipe->service_where, &options, layer->diagnostics,
                    &stated));
    struct deviation *made = ARENA_NEW(layer->arena, struct deviation);
    TRY(arena_status(layer->arena));
    const double reference = unit_to_coherent(&celsius, 20.0);
    *made = (struct deviation){
        .name = text_format(layer->arena, "service temperature of %.*s over 20 degC",
                            TEXT_ARG(names_text(layer->names, recipe->name))),
        .low = stated.nominal + stated.low - reference,
        .high = stated.nominal + stated.high - reference,
        .kind = DEVIATION_MOVES,
        .dim = celsius.dim,
        .where = recipe->service_where};
    mint->temperature = made;
    return STATUS_OK;
}

/* Pieces, rows and laying of one unit whose places are filled. */
static status mint_unit(struct mint *mint, const struct recipe *recipe, name_id unit,
                        const struct fill *fill, struct held_lines *held)
{
    struct layer *layer = mint->layer;
    TRY(lines_hold(layer, recipe, fill, held));
    TRY(warm_row(layer, unit, mint->temperature));
    for (uint32_t i = 0; i < fill->place_count; i++) {
        TRY(mint_piece(mint, &fill->places[i], held));
    }
    struct fill with = *fill;
    with.given = mint->given;
    with.given_count = mint->given_count;
    TRY(unit_rows(layer, unit, &with, &held->lines));
    const struct part_surroundings around = surroundings_of(mint);
    const text prefix = mint->depth == 0
                            ? (text){"", 0}
                            : text_format(layer->arena, "%.*s.",
                                          TEXT_ARG(names_text(layer->names, unit)));
    TRY(unit_lists_build(&around, recipe, unit, prefix, mint->given, mint->given_count,
                         layer->store));
    return assembly_lay(layer->assembly, unit, layer->diagnostics);
}

/* Offers all that could be given of a piece. */
static void offer_given(const struct layer *layer, const struct minted_place *place,
                        struct nearest *near)
{
    const struct row *const *rows = NULL;
    uint32_t count = 0;
    if (store_rows_of(layer->store, place->piece, &rows, &count) != STATUS_OK) {
        return;
    }
    for (uint32_t i = 0; i < count; i++) {
        const struct relation_shape *shape = store_shape(layer->store, rows[i]->relation);
        for (uint32_t v = 0; shape->key_count <= 2 && v < shape->value_count; v++) {
            struct given_value one = {.place = place->piece,
                                      .feature = shape->key_count == 2 ? rows[i]->key[1]
                                                                       : NAME_NONE,
                                      .field = shape->columns[shape->key_count + v].name};
            nearest_offer(near, given_word(layer->arena, layer->names, &one));
            one.place = place->with;
            nearest_offer(near, given_word(layer->arena, layer->names, &one));
        }
    }
}

static status refuse_unused(const struct layer *layer, const struct fill *swap,
                            const struct given_value *given, uint32_t count)
{
    status result = STATUS_OK;
    for (uint32_t i = 0; i < count; i++) {
        if (given[i].is_used || layer->forgives_given) {
            continue;
        }
        struct nearest near =
            nearest_to(given_word(layer->arena, layer->names, &given[i]));
        for (uint32_t k = 0; k < swap->place_count; k++) {
            offer_given(layer, &swap->places[k], &near);
        }
        struct diagnostic *report = diagnostics_report(
            layer->diagnostics, CODE_QUESTION_WRONG, given[i].name_where,
            "nothing in the swapped unit is called %.*s", TEXT_ARG(near.wanted));
        report->nearest = near.best;
        report->expected =
            TEXT("PLACE.FEATURE.FIELD=VALUE or PLACE.FIELD=VALUE, or a part in "
                 "front, for all its pieces");
        result = STATUS_INVALID;
    }
    return result;
}

static void describe(const struct recipe *recipe, name_id name, const struct fill *fill,
                     const struct held_lines *held, struct minted_unit *out)
{
    *out = (struct minted_unit){.name = name,
                                .shown_name = recipe->name,
                                .recipe = recipe,
                                .places = fill->places,
                                .place_count = fill->place_count,
                                .fallen = held->fallen,
                                .fallen_count = held->fallen_count,
                                .replaced = held->replaced,
                                .replaced_count = held->replaced_count};
}

status layer_mint(struct layer *layer, const struct recipe *recipe,
                  const struct change *changes, uint32_t change_count,
                  struct given_value *given, uint32_t given_count,
                  struct minted_unit *host, struct minted_unit *swap)
{
    struct mint mint = {.layer = layer, .given = given, .given_count = given_count};
    struct fill host_fill = {0};
    struct fill swap_fill = {0};
    struct held_lines host_held = {0};
    struct held_lines swap_held = {0};
    const text no_prefix = {"", 0};
    TRY(read_service(&mint, recipe));
    TRY(fill_recipe(layer, recipe, no_prefix, &host_fill));
    TRY(fill_recipe(layer, recipe, no_prefix, &swap_fill));
    for (uint32_t i = 0; i < change_count; i++) {
        TRY(fill_change(layer, &changes[i], changes[i].place, &swap_fill));
        if (changes[i].also != NAME_NONE) {
            TRY(fill_change(layer, &changes[i], changes[i].also, &swap_fill));
        }
    }
    struct minted_unit notes = {0};
    TRY(fill_superseded(layer, changes, change_count, &host_fill, &swap_fill, &notes));
    TRY(fill_comes_with(layer, changes, change_count, &swap_fill));
    fill_sort(layer, &swap_fill);
    fill_name_pieces(layer, changes, change_count, &host_fill, &swap_fill);
    const name_id before = names_add(
        layer->names,
        text_format(layer->arena, "%.*s%s",
                    TEXT_ARG(names_text(layer->names, recipe->name)), before_mark.at));
    given_find_parts(layer, swap_fill.places, swap_fill.place_count, given, given_count);
    TRY(mint_unit(&mint, recipe, recipe->name, &swap_fill, &swap_held));
    TRY(refuse_unused(layer, &swap_fill, given, given_count));
    TRY(given_say(layer, given, given_count, &notes));
    mint.given_count = 0;
    TRY(mint_unit(&mint, recipe, before, &host_fill, &host_held));
    TRY(changed_rows(layer, recipe->name, &swap_fill, &host_fill));
    TRY(emptied_rows(layer, recipe->name, &swap_fill, before, &host_fill));
    describe(recipe, recipe->name, &swap_fill, &swap_held, swap);
    describe(recipe, before, &host_fill, &host_held, host);
    swap->taken = notes.taken;
    swap->taken_count = notes.taken_count;
    swap->notes = notes.notes;
    swap->note_count = notes.note_count;
    return arena_status(layer->arena);
}
