/* SPDX-License-Identifier: MIT */
/* What fills the places of host and swap: the recipe, the question's changes, what parts
 * bring along and what makers say goes with them. */
#include "mint_fill.h"

#include "array.h"
#include "limits.h"
#include "typed_name.h"

static name_id piece_name(struct layer *layer, text prefix, name_id place, bool is_before)
{
    const text word = text_format(layer->arena, "%.*s%.*s%s", TEXT_ARG(prefix),
                                  TEXT_ARG(names_text(layer->names, place)),
                                  is_before ? MINT_BEFORE : "");
    return names_add(layer->names, word);
}

static bool find_with(const struct layer *layer, struct minted_place *place)
{
    place->part = knowledge_part(layer->knowledge, place->with);
    place->recipe =
        place->part == NULL ? knowledge_recipe(layer->knowledge, place->with) : NULL;
    return place->part != NULL || place->recipe != NULL;
}

/* By name: the order in the file must not show. */
void fill_sort(const struct layer *layer, struct fill *fill)
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
status fill_recipe(struct layer *layer, const struct recipe *recipe, text prefix,
                   struct fill *out)
{
    out->places = ARENA_MANY(layer->arena, recipe->place_count, struct minted_place);
    out->place_count = recipe->place_count;
    TRY(arena_status(layer->arena));
    const name_id none = names_find(layer->names, TEXT("none"));
    for (uint32_t i = 0; i < recipe->place_count; i++) {
        const struct filling *filling = &recipe->places[i];
        struct minted_place *place = &out->places[i];
        *place = (struct minted_place){
            .place = filling->place,
            .piece = piece_name(layer, prefix, filling->place, false),
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
    fill_sort(layer, out);
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
    nearest_offer(&near, TEXT("none"));
    nearest_offer(&near, TEXT("turned"));
    nearest_offer(&near, TEXT("another"));
    struct diagnostic *report =
        diagnostics_report(layer->diagnostics, CODE_PART_UNKNOWN, where,
                           "there is no part or unit \"%.*s\"", TEXT_ARG(word));
    report->expected =
        TEXT("the name of a part or unit that was loaded, none, turned or another");
    report->nearest = near.best.length > 0
                          ? near.best
                          : typed_nearest(layer->arena, knowledge, word, TYPED_ANY);
    return STATUS_INVALID;
}

/* What was asked for may be typed otherwise than the part is called. */
static status find_asked(struct layer *layer, const struct change *change, name_id *out)
{
    const struct knowledge *knowledge = layer->knowledge;
    const text typed = names_text(layer->names, change->with);
    const struct typed_match *matches = NULL;
    text all = {"", 0};
    uint32_t count = 0;
    TRY(typed_find(layer->arena, knowledge, typed, TYPED_ANY, &matches, &count));
    if (count == 0) {
        return part_fault(layer, change->with, change->where);
    }
    for (uint32_t i = 0; i < count; i++) {
        all = text_format(layer->arena, "%.*s%s%.*s", TEXT_ARG(all),
                          all.length > 0 ? ", " : "",
                          TEXT_ARG(typed_match_name(knowledge, &matches[i])));
    }
    if (count > 1) {
        diagnostics_report(layer->diagnostics, CODE_NAME_AMBIGUOUS, change->where,
                           "\"%.*s\" may mean any of %u", TEXT_ARG(typed), count)
            ->expected = all;
        return STATUS_INVALID;
    }
    *out = matches[0].part != NULL ? matches[0].part->name : matches[0].recipe->name;
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
status fill_change(struct layer *layer, const struct change *change, name_id place_name,
                   struct fill *swap)
{
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
        place->flipped_where = change->where;
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
    place->with = with; /* turned as the place has it */
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
static status apply_along(struct layer *layer, const struct change *changes,
                          uint32_t change_count, const struct filling *along,
                          uint32_t count, name_id bringer, bool is_claimed,
                          struct fill *swap)
{
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
        if (with->clock.length > 0) {
            place->clock = with->clock;
            place->clock_where = with->clock_where;
        }
        place->is_changed = true;
        place->is_brought = true;
        place->is_claimed = is_claimed;
        place->bringer = bringer;
        if (!find_with(layer, place)) {
            return part_fault(layer, with->with, with->where);
        }
    }
    return STATUS_OK;
}

/* What the new parts bring with them, and what comes with that. */
status fill_comes_with(struct layer *layer, const struct change *changes,
                       uint32_t change_count, struct fill *swap)
{
    bool is_new = true;
    for (uint32_t round = 0; is_new; round++) {
        is_new = false;
        for (uint32_t i = 0; i < swap->place_count; i++) {
            const struct part *part =
                swap->places[i].is_changed ? swap->places[i].part : NULL;
            if (part == NULL || part == swap->places[i].along) {
                continue;
            }
            if (round >= LIMIT_PLACES) {
                diagnostics_report(layer->diagnostics, CODE_PLACE_CIRCLE, part->where,
                                   "parts come along with each other in a circle");
                return STATUS_INVALID;
            }
            swap->places[i].along = part;
            is_new = true;
            TRY(apply_along(layer, changes, change_count, part->comes_with,
                            part->comes_with_count, part->name, false, swap));
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

/* Whether a place was asked to hold the number of which somebody's own piece is there. */
static bool keeps_own_piece(const struct change *change, const struct minted_place *was,
                            const struct minted_place *now)
{
    return change->kind == CHANGE_PART && was != NULL && was->part != NULL &&
           was->part->like != NAME_NONE && now != NULL && !now->is_changed;
}

/* The maker's claim that a part takes the place of another: what it says goes along is
 * fitted too, and the answer says whose claim it is. Asked the other way round, the claim
 * says nothing. */
status fill_superseded(struct layer *layer, const struct change *changes,
                       uint32_t change_count, const struct fill *host, struct fill *swap,
                       struct minted_unit *out)
{
    ARRAY_OF(text) notes = {0};
    bool is_pushed = true;
    for (uint32_t i = 0; i < change_count; i++) {
        const struct minted_place *was = fill_place(host, changes[i].place);
        if (keeps_own_piece(&changes[i], was, fill_place(swap, changes[i].place))) {
            const text place = names_text(layer->names, changes[i].place);
            is_pushed =
                is_pushed &&
                ARRAY_PUSH(layer->arena, &notes,
                           text_format(layer->arena,
                                       "%.*s keeps the piece it has, as it was read: a "
                                       "new one is %.*s=another",
                                       TEXT_ARG(place), TEXT_ARG(place)));
        }
        const struct part *before = numbered(layer, was);
        const struct part *now = numbered(layer, fill_place(swap, changes[i].place));
        if (before == NULL || now == NULL || before == now) {
            continue;
        }
        const text old_name = names_text(layer->names, before->name);
        const text new_name = names_text(layer->names, now->name);
        if (before->superseded_by == now->name) {
            TRY(apply_along(layer, changes, change_count, before->goes_with,
                            before->goes_with_count, now->name, true, swap));
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
void fill_name_pieces(struct layer *layer, const struct change *changes,
                      uint32_t change_count, struct fill *host, struct fill *swap)
{
    for (uint32_t i = 0; i < swap->place_count; i++) {
        struct minted_place *place = &swap->places[i];
        struct minted_place *before = fill_place(host, place->place);
        const bool is_same_piece = before != NULL && place->with != NAME_NONE &&
                                   before->with == place->with &&
                                   before->is_turned != place->is_turned;
        place->piece = piece_name(layer, (text){"", 0}, place->place, false);
        if (place->is_changed && before != NULL && before->with != NAME_NONE &&
            !is_same_piece) {
            before->piece = piece_name(layer, (text){"", 0}, place->place, true);
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
