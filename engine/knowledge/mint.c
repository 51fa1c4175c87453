/* SPDX-License-Identifier: MIT */
/*
 * Mints a question's units. The order matters: first what fills each place in host and
 * swap, then the lines that follow from it, then which pieces come out of a stock, then
 * the pieces, and last the lines as rows and the laying. Pieces are minted once: both
 * units see the same rows of those the swap leaves alone.
 */
#include "mint.h"

#include "array.h"
#include "limits.h"
#include "mint_rows.h"

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

static const text before_mark = {" (before)", 9};

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

static name_id piece_name(struct mint *mint, text prefix, name_id place, bool is_before)
{
    const text word = text_format(mint->layer->arena, "%.*s%.*s%s", TEXT_ARG(prefix),
                                  TEXT_ARG(names_text(mint->layer->names, place)),
                                  is_before ? before_mark.at : "");
    return names_add(mint->layer->names, word);
}

static bool find_with(const struct layer *layer, struct minted_place *place)
{
    place->part = knowledge_part(layer->knowledge, place->with);
    place->recipe =
        place->part == NULL ? knowledge_recipe(layer->knowledge, place->with) : NULL;
    return place->part != NULL || place->recipe != NULL;
}

/* By name: the order in the file must not show. */
static void sort_places(const struct layer *layer, struct fill *fill)
{
    for (uint32_t i = 1; i < fill->place_count; i++) {
        const struct minted_place moving = fill->places[i];
        uint32_t to = i;
        while (to > 0 && names_compare(layer->names, moving.place,
                                       fill->places[to - 1].place) < 0) {
            fill->places[to] = fill->places[to - 1];
            to--;
        }
        fill->places[to] = moving;
    }
}

/* What fills the places of a recipe as it stands. */
static status fill_recipe(struct mint *mint, const struct recipe *recipe, text prefix,
                          struct fill *out)
{
    struct layer *layer = mint->layer;
    out->places = ARENA_MANY(layer->arena, recipe->place_count, struct minted_place);
    out->place_count = recipe->place_count;
    TRY(arena_status(layer->arena));
    const name_id none = names_find(layer->names, TEXT("none"));
    for (uint32_t i = 0; i < recipe->place_count; i++) {
        const struct filling *filling = &recipe->places[i];
        struct minted_place *place = &out->places[i];
        *place = (struct minted_place){
            .place = filling->place,
            .piece = piece_name(mint, prefix, filling->place, false),
            .with = filling->with == none ? NAME_NONE : filling->with,
            .is_turned = filling->is_turned,
            .clock = filling->clock,
            .clock_where = filling->clock_where};
        if (place->with != NAME_NONE && !find_with(layer, place)) {
            diagnostics_report(layer->diagnostics, CODE_PART_UNKNOWN, filling->where,
                               "there is no part or unit \"%.*s\"",
                               TEXT_ARG(names_text(layer->names, filling->with)));
            return STATUS_INVALID;
        }
    }
    sort_places(layer, out);
    return STATUS_OK;
}

static status place_fault(struct layer *layer, const struct fill *fill, name_id place,
                          span where)
{
    const text word = names_text(layer->names, place);
    struct nearest near = nearest_to(word);
    text all = {"", 0};
    for (uint32_t i = 0; i < fill->place_count; i++) {
        const text other = names_text(layer->names, fill->places[i].place);
        nearest_offer(&near, other);
        all = i == 0 ? other
                     : text_format(layer->arena, "%.*s, %.*s", TEXT_ARG(all),
                                   TEXT_ARG(other));
    }
    struct diagnostic *report =
        diagnostics_report(layer->diagnostics, CODE_PLACE_UNKNOWN, where,
                           "the unit has no place \"%.*s\"", TEXT_ARG(word));
    report->expected = all;
    report->nearest = near.best;
    return STATUS_INVALID;
}

static status part_fault(struct layer *layer, name_id name, span where)
{
    const text word = names_text(layer->names, name);
    const struct knowledge *knowledge = layer->knowledge;
    struct nearest near = nearest_to(word);
    for (uint32_t i = 0; i < knowledge->part_count; i++) {
        nearest_offer(&near, names_text(knowledge->names, knowledge->parts[i].name));
    }
    for (uint32_t i = 0; i < knowledge->recipe_count; i++) {
        nearest_offer(&near, names_text(knowledge->names, knowledge->recipes[i].name));
    }
    struct diagnostic *report =
        diagnostics_report(layer->diagnostics, CODE_PART_UNKNOWN, where,
                           "there is no part or unit \"%.*s\"", TEXT_ARG(word));
    report->expected = TEXT("the name of a part or unit that was loaded");
    report->nearest = near.best;
    return STATUS_INVALID;
}

/* What was asked for may be the number on the box: of one part, or of several, made at
 * different times. */
static status find_asked(struct layer *layer, const struct change *change, name_id *out)
{
    const struct knowledge *knowledge = layer->knowledge;
    const text number = names_text(layer->names, change->with);
    const struct part *found = NULL;
    text all = {"", 0};
    uint32_t count = 0;
    *out = change->with;
    if (knowledge_part(knowledge, change->with) != NULL ||
        knowledge_recipe(knowledge, change->with) != NULL) {
        return STATUS_OK;
    }
    for (uint32_t i = 0; i < knowledge->part_count; i++) {
        const struct part *part = &knowledge->parts[i];
        if (number.length > 0 && part->like == NAME_NONE &&
            text_equal(part->number, number)) {
            found = part;
            count++;
            all = text_format(layer->arena, "%.*s%s%.*s", TEXT_ARG(all),
                              all.length > 0 ? ", " : "",
                              TEXT_ARG(names_text(layer->names, part->name)));
        }
    }
    if (count == 0) {
        return part_fault(layer, change->with, change->where);
    }
    if (count > 1) {
        diagnostics_report(layer->diagnostics, CODE_NUMBER_SHARED, change->where,
                           "%u parts bear the number \"%.*s\"", count, TEXT_ARG(number))
            ->expected = all;
        return STATUS_INVALID;
    }
    *out = found->name;
    return STATUS_OK;
}

/* A place that the unit does not have: an empty one is added. */
static struct minted_place *new_place(const struct layer *layer, struct fill *fill,
                                      name_id place)
{
    ARRAY_OF(struct minted_place)
    grown = {fill->places, fill->place_count, fill->place_count};
    const struct minted_place empty = {.place = place};
    if (!ARRAY_PUSH(layer->arena, &grown, empty)) {
        return NULL;
    }
    fill->places = grown.at;
    fill->place_count = grown.count;
    return &fill->places[grown.count - 1];
}

/* Applies one change to one place. */
static status apply_change(struct mint *mint, const struct change *change,
                           name_id place_name, struct fill *swap)
{
    struct layer *layer = mint->layer;
    struct minted_place *place = fill_place(swap, place_name);
    const struct part *part = change->kind == CHANGE_PART
                                  ? knowledge_part(layer->knowledge, change->with)
                                  : NULL;
    if (place == NULL && part != NULL && part->brings != NULL) {
        place = new_place(layer, swap, place_name); /* it says itself where it goes */
        TRY(arena_status(layer->arena));
    }
    if (place == NULL) {
        return place_fault(layer, swap, place_name, change->place_where);
    }
    switch (change->kind) {
    case CHANGE_NONE:
        place->is_changed = place->with != NAME_NONE;
        place->with = NAME_NONE;
        place->part = NULL;
        place->recipe = NULL;
        return STATUS_OK;
    case CHANGE_TURNED:
        place->is_turned = !place->is_turned;
        place->is_flipped = true;
        place->is_changed = true;
        return STATUS_OK;
    case CHANGE_ANOTHER:
        place->is_changed = place->with != NAME_NONE;
        if (place->part != NULL && place->part->like != NAME_NONE) {
            place->with = place->part->like; /* its number new, not as it was read */
            place->is_changed = find_with(layer, place);
        }
        return STATUS_OK;
    case CHANGE_PART:
        break;
    }
    name_id with = NAME_NONE;
    TRY(find_asked(layer, change, &with));
    const bool is_same =
        place->with == with || (place->part != NULL && place->part->like == with);
    if (is_same && change->also == NAME_NONE) {
        return STATUS_OK; /* the number it holds already: it keeps its piece */
    }
    place->with = with;
    place->is_turned = false;
    place->is_changed = true;
    return find_with(layer, place) ? STATUS_OK : part_fault(layer, with, change->where);
}

static bool is_asked(const struct change *changes, uint32_t count, name_id place)
{
    for (uint32_t i = 0; i < count; i++) {
        if (changes[i].place == place || changes[i].also == place) {
            return true;
        }
    }
    return false;
}

/* Fills the places of a list that comes along, unless the question says otherwise of
 * them. */
static status apply_along(struct mint *mint, const struct change *changes,
                          uint32_t change_count, const struct filling *along,
                          uint32_t count, name_id bringer, struct fill *swap)
{
    struct layer *layer = mint->layer;
    for (uint32_t k = 0; k < count; k++) {
        const struct filling *with = &along[k];
        struct minted_place *place = fill_place(swap, with->place);
        if (is_asked(changes, change_count, with->place) ||
            (place != NULL && place->with == with->with)) {
            continue;
        }
        if (place == NULL) {
            place = new_place(layer, swap, with->place);
            TRY(arena_status(layer->arena));
        }
        place->with = with->with;
        place->is_turned = with->is_turned;
        place->is_changed = true;
        place->is_brought = true;
        place->bringer = bringer;
        if (!find_with(layer, place)) {
            return part_fault(layer, with->with, with->where);
        }
    }
    return STATUS_OK;
}

/* What the new parts bring with them. */
static status apply_comes_with(struct mint *mint, const struct change *changes,
                               uint32_t change_count, struct fill *swap)
{
    for (uint32_t i = 0; i < swap->place_count; i++) {
        const struct part *part =
            swap->places[i].is_changed ? swap->places[i].part : NULL;
        if (part != NULL) {
            TRY(apply_along(mint, changes, change_count, part->comes_with,
                            part->comes_with_count, part->name, swap));
        }
    }
    return STATUS_OK;
}

/* A number's part, and the number that somebody's own piece has. */
static const struct part *numbered(const struct layer *layer,
                                   const struct minted_place *place)
{
    const struct part *part = place == NULL ? NULL : place->part;
    return part == NULL || part->like == NAME_NONE
               ? part
               : knowledge_part(layer->knowledge, part->like);
}

/* The maker's claim that a part takes the place of another: what it says goes along is
 * fitted too, and the answer says whose claim it is. Asked the other way round, the claim
 * says nothing. */
static status apply_superseded(struct mint *mint, const struct change *changes,
                               uint32_t change_count, const struct fill *host,
                               struct fill *swap, struct minted_unit *out)
{
    struct layer *layer = mint->layer;
    ARRAY_OF(text) notes = {0};
    bool is_pushed = true;
    for (uint32_t i = 0; i < change_count; i++) {
        const struct part *before = numbered(layer, fill_place(host, changes[i].place));
        const struct part *now = numbered(layer, fill_place(swap, changes[i].place));
        if (before == NULL || now == NULL || before == now) {
            continue;
        }
        const text old_name = names_text(layer->names, before->name);
        const text new_name = names_text(layer->names, now->name);
        if (before->superseded_by == now->name) {
            TRY(apply_along(mint, changes, change_count, before->goes_with,
                            before->goes_with_count, now->name, swap));
            is_pushed = is_pushed &&
                        ARRAY_PUSH(layer->arena, &notes,
                                   text_format(layer->arena,
                                               "the maker says that %.*s takes the place "
                                               "of %.*s; here it is checked",
                                               TEXT_ARG(new_name), TEXT_ARG(old_name)));
        } else if (now->superseded_by == before->name) {
            is_pushed =
                is_pushed &&
                ARRAY_PUSH(layer->arena, &notes,
                           text_format(layer->arena,
                                       "the maker says that %.*s takes the place of "
                                       "%.*s; asked here is the other way round, of "
                                       "which that says nothing",
                                       TEXT_ARG(old_name), TEXT_ARG(new_name)));
        }
    }
    out->notes = notes.at;
    out->note_count = notes.count;
    return is_pushed ? STATUS_OK : arena_status(layer->arena);
}

/* Gives the swap's places their pieces, and moves the host's replaced ones to "(before)".
 */
static void name_pieces(struct mint *mint, const struct change *changes,
                        uint32_t change_count, struct fill *host, struct fill *swap)
{
    for (uint32_t i = 0; i < swap->place_count; i++) {
        struct minted_place *place = &swap->places[i];
        struct minted_place *before = fill_place(host, place->place);
        const bool is_same_piece = before != NULL && place->with != NAME_NONE &&
                                   before->with == place->with &&
                                   before->is_turned != place->is_turned;
        place->piece = piece_name(mint, (text){"", 0}, place->place, false);
        if (place->is_changed && before != NULL && before->with != NAME_NONE &&
            !is_same_piece) {
            before->piece = piece_name(mint, (text){"", 0}, place->place, true);
        }
    }
    for (uint32_t i = 0; i < change_count; i++) {
        struct minted_place *first = fill_place(swap, changes[i].place);
        struct minted_place *also =
            changes[i].also == NAME_NONE ? NULL : fill_place(swap, changes[i].also);
        if (first != NULL && also != NULL) {
            also->piece = first->piece;
        }
    }
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
    TRY(fill_recipe(mint, place->recipe, prefix, &inner));
    const struct deviation *outer = mint->temperature;
    mint->depth++;
    TRY(read_service(mint, place->recipe));
    TRY(mint_unit(mint, place->recipe, place->piece, &inner, &held));
    mint->temperature = outer;
    mint->depth--;
    TRY(unit_piece_row(layer, place->piece, place->recipe));
    return offer_rows(layer, place->piece, place->piece, &inner, place->recipe);
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
    const struct part_surroundings around = {.arena = layer->arena,
                                             .names = layer->names,
                                             .vocabulary = layer->knowledge->vocabulary,
                                             .tables = &layer->knowledge->tables,
                                             .diagnostics = layer->diagnostics,
                                             .decimal_comma = true,
                                             .is_set = is_set_place(held, place),
                                             .temperature = mint->temperature};
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
    for (uint32_t i = 0; i < fill->place_count; i++) {
        TRY(mint_piece(mint, &fill->places[i], held));
    }
    struct fill with = *fill;
    with.given = mint->given;
    with.given_count = mint->given_count;
    TRY(unit_rows(layer, unit, &with, &held->lines));
    return assembly_lay(layer->assembly, unit, layer->diagnostics);
}

static status refuse_unused(const struct layer *layer, const struct given_value *given,
                            uint32_t count)
{
    status result = STATUS_OK;
    for (uint32_t i = 0; i < count; i++) {
        if (given[i].is_used) {
            continue;
        }
        struct diagnostic *report = diagnostics_report(
            layer->diagnostics, CODE_QUESTION_WRONG, given[i].name_where,
            "nothing in the swapped unit is called %.*s.%.*s%s%.*s",
            TEXT_ARG(names_text(layer->names, given[i].place)),
            TEXT_ARG(names_text(layer->names, given[i].feature)),
            given[i].feature == NAME_NONE ? "" : ".",
            TEXT_ARG(names_text(layer->names, given[i].field)));
        report->expected = TEXT("PLACE.FEATURE.FIELD=VALUE or PLACE.FIELD=VALUE");
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
    TRY(fill_recipe(&mint, recipe, no_prefix, &host_fill));
    TRY(fill_recipe(&mint, recipe, no_prefix, &swap_fill));
    for (uint32_t i = 0; i < change_count; i++) {
        TRY(apply_change(&mint, &changes[i], changes[i].place, &swap_fill));
        if (changes[i].also != NAME_NONE) {
            TRY(apply_change(&mint, &changes[i], changes[i].also, &swap_fill));
        }
    }
    struct minted_unit notes = {0};
    TRY(apply_superseded(&mint, changes, change_count, &host_fill, &swap_fill, &notes));
    TRY(apply_comes_with(&mint, changes, change_count, &swap_fill));
    sort_places(layer, &swap_fill);
    name_pieces(&mint, changes, change_count, &host_fill, &swap_fill);
    const name_id before = names_add(
        layer->names,
        text_format(layer->arena, "%.*s%s",
                    TEXT_ARG(names_text(layer->names, recipe->name)), before_mark.at));
    TRY(mint_unit(&mint, recipe, recipe->name, &swap_fill, &swap_held));
    TRY(refuse_unused(layer, given, given_count));
    mint.given_count = 0;
    TRY(mint_unit(&mint, recipe, before, &host_fill, &host_held));
    TRY(changed_rows(layer, recipe->name, &swap_fill));
    TRY(emptied_rows(layer, recipe->name, &swap_fill, before, &host_fill));
    describe(recipe, recipe->name, &swap_fill, &swap_held, swap);
    describe(recipe, before, &host_fill, &host_held, host);
    swap->notes = notes.notes;
    swap->note_count = notes.note_count;
    return arena_status(layer->arena);
}
