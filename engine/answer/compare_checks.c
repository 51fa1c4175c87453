/* SPDX-License-Identifier: MIT */
/*
 * Which checks a difference touches, and how each comes out with the first and with the
 * second. A check touches a field where its chain rests on it: a rule of the chain names
 * the column, or what the assembly computed from it bears the field's own deviation, and
 * the margin, where it has any, still does. What cancels on the way touches nothing.
 */
#include "compare_private.h"

#include <math.h>
#include <stdlib.h>

/* ---- walking down a chain, with the columns that are read of each row */

struct touching {
    struct comparing *comparing;
    const struct asked_side *side;
    name_id only; /* the piece of the only place; NAME_NONE: by the names of places */
    const struct finding *finding;
    uint32_t check;
    bool is_of_swap; /* it rests on what is said of the swap alone */
    uint64_t *read;  /* per node: the value columns that are read */
    bool *is_met;
    ARRAY_OF(uint32_t) waiting;
};

static void read_columns(struct touching *touching, uint32_t node, uint64_t columns)
{
    const bool is_new =
        !touching->is_met[node] || (touching->read[node] & columns) != columns;
    touching->read[node] |= columns;
    touching->is_met[node] = true;
    if (is_new && !ARRAY_PUSH(touching->comparing->arena, &touching->waiting, node)) {
        touching->side->swap->chain.result = arena_status(touching->comparing->arena);
    }
}

static uint64_t all_columns(const struct relation_shape *shape)
{
    return shape->value_count >= 64 ? UINT64_MAX
                                    : (UINT64_C(1) << shape->value_count) - 1;
}

/* The value columns of a relation that a condition names. */
static uint64_t named_columns(const struct relation_shape *shape,
                              const struct condition *condition)
{
    uint64_t columns = 0;
    for (uint32_t v = 0; v < shape->value_count && v < 64; v++) {
        if (condition->terms[shape->key_count + v].kind != TERM_ANY) {
            columns |= UINT64_C(1) << v;
        }
    }
    return columns;
}

static bool bears(const struct form *form, const struct deviation *of)
{
    for (uint32_t i = 0; i < form->term_count; i++) {
        if (form->terms[i].of == of) {
            return true;
        }
    }
    for (uint32_t i = 0; i < form->absorbed_count; i++) {
        if (form->absorbed[i] == of) {
            return true;
        }
    }
    return false;
}

static bool shares_a_term(const struct form *form, const struct form *of)
{
    for (uint32_t i = 0; i < of->term_count; i++) {
        if (bears(form, of->terms[i].of)) {
            return true;
        }
    }
    return of->term_count == 0;
}

/* Whether a computed row, of which these columns are read, may have a value from this
 * one: a word or an exact number may have decided anything. */
static bool is_computed_from(const struct row *row, uint32_t value_count, uint64_t read,
                             const struct value *value)
{
    if (value->kind != VALUE_QUANTITY || value->quantity == NULL) {
        return value->kind != VALUE_NONE;
    }
    for (uint32_t v = 0; v < value_count && v < 64; v++) {
        const struct value *made = &row->values[v];
        if ((read >> v & 1u) != 0 && made->kind == VALUE_QUANTITY &&
            made->quantity != NULL && shares_a_term(made->quantity, value->quantity)) {
            return true;
        }
    }
    return false;
}

static uint64_t computed_columns(const struct store *store, const struct row *row,
                                 uint64_t read, const struct row *below)
{
    const struct relation_shape *shape = store_shape(store, row->relation);
    const struct relation_shape *lower = store_shape(store, below->relation);
    uint64_t columns = 0;
    for (uint32_t v = 0; v < lower->value_count && v < 64; v++) {
        if (is_computed_from(row, shape->value_count, read, &below->values[v])) {
            columns |= UINT64_C(1) << v;
        }
    }
    return columns;
}

/* ---- a field that is read */

static const struct compared_place *place_of(const struct touching *touching,
                                             name_id piece)
{
    const struct comparing *comparing = touching->comparing;
    const text name = names_text(touching->side->swap->layer.names, piece);
    for (uint32_t i = 0; i < comparing->places.count; i++) {
        if (touching->only != NAME_NONE
                ? touching->only == piece
                : text_equal(comparing->places.at[i].place, name)) {
            return &comparing->places.at[i];
        }
    }
    return NULL;
}

static const struct compared_feature *feature_of(const struct touching *touching,
                                                 const struct compared_place *place,
                                                 const struct row *row)
{
    const struct layer *layer = &touching->side->swap->layer;
    const struct relation_shape *shape = store_shape(layer->store, row->relation);
    const text relation = names_text(layer->names, shape->name);
    const text name =
        shape->key_count > 1 ? names_text(layer->names, row->key[1]) : (text){"", 0};
    for (uint32_t i = 0; i < place->feature_count; i++) {
        if (text_equal(place->features[i].relation, relation) &&
            text_equal(place->features[i].name, name)) {
            return &place->features[i];
        }
    }
    return NULL;
}

/* Whether the finding's margin still hangs on what was computed from a field: on its own
 * deviation, or, where it has none, on any that it hangs on. */
static bool is_in_margin(const struct finding *finding, const struct deviation *own,
                         const struct value *value)
{
    const struct form *margin = finding->margin;
    if (margin == NULL || (margin->term_count == 0 && margin->absorbed_count == 0) ||
        value->kind != VALUE_QUANTITY || value->quantity == NULL) {
        return true;
    }
    return own != NULL ? bears(margin, own) : shares_a_term(margin, value->quantity);
}

static status touch(struct comparing *comparing, struct compared_value *value,
                    uint32_t check)
{
    ARRAY_OF(uint32_t) touches = {0};
    for (uint32_t i = 0; i < value->touch_count; i++) {
        if (value->touches[i] == check) {
            return STATUS_OK;
        }
        if (!ARRAY_PUSH(comparing->arena, &touches, value->touches[i])) {
            return arena_status(comparing->arena);
        }
    }
    if (!ARRAY_PUSH(comparing->arena, &touches, check)) {
        return arena_status(comparing->arena);
    }
    value->touches = touches.at;
    value->touch_count = touches.count;
    return STATUS_OK;
}

static bool is_different(const struct compared_feature *feature,
                         const struct compared_value *value)
{
    return feature->difference == CONTRAST_GONE ||
           feature->difference == CONTRAST_ADDED ||
           (value->difference != CONTRAST_NONE && !value->is_carried);
}

/* Marks what a position hangs on: a field of another feature of the piece. */
static status touch_anchor(struct touching *touching, const struct compared_place *place,
                           text within)
{
    size_t point = within.length;
    while (point > 0 && within.at[point - 1] != '.') {
        point--;
    }
    const text field = text_slice(within, point, within.length);
    const text name = text_slice(within, 0, point == 0 ? 0 : point - 1);
    for (uint32_t i = 0; i < place->feature_count; i++) {
        const struct compared_feature *feature = &place->features[i];
        for (uint32_t k = 0; text_equal(feature->name, name) && k < feature->value_count;
             k++) {
            if (text_equal(feature->values[k].field, field) &&
                is_different(feature, &feature->values[k])) {
                TRY(touch(touching->comparing, &feature->values[k], touching->check));
            }
        }
    }
    return STATUS_OK;
}

static status touch_anchors(struct touching *touching, const struct compared_place *place,
                            const struct row *row, const struct value *cell)
{
    const text owner = names_text(touching->side->swap->layer.names, row->key[0]);
    const struct form *form = cell->kind == VALUE_QUANTITY ? cell->quantity : NULL;
    const struct form *margin = touching->finding->margin;
    for (uint32_t i = 0; form != NULL && i < form->term_count; i++) {
        const text name = form->terms[i].of->name;
        if (margin != NULL && bears(margin, form->terms[i].of) &&
            text_starts(name, owner) && name.length > owner.length + 1) {
            TRY(touch_anchor(touching, place,
                             text_slice(name, owner.length + 1, name.length)));
        }
    }
    return STATUS_OK;
}

/* Marks the fields of a fact's row that are read and that differ. `is_direct`: a rule
 * names the columns itself. */
static status touch_row(struct touching *touching, const struct row *row, uint64_t read,
                        bool is_direct)
{
    const struct layer *layer = &touching->side->swap->layer;
    const struct relation_shape *shape = store_shape(layer->store, row->relation);
    const struct compared_place *place = place_of(touching, row->key[0]);
    const struct compared_feature *feature =
        place == NULL ? NULL : feature_of(touching, place, row);
    for (uint32_t i = 0; feature != NULL && i < feature->value_count; i++) {
        struct compared_value *value = &feature->values[i];
        const int column =
            vocabulary_column(shape, names_find(layer->names, value->field));
        const uint32_t v = (uint32_t)(column - (int)shape->key_count);
        if (column < (int)shape->key_count || v >= 64 || (read >> v & 1u) == 0) {
            continue;
        }
        const struct value *cell = &row->values[v];
        const struct deviation *own = own_deviation(
            layer->arena, layer->store, layer->names, row, value->field, cell);
        TRY(touch_anchors(touching, place, row, cell));
        if (is_different(feature, value) &&
            (is_direct || is_in_margin(touching->finding, own, cell))) {
            TRY(touch(touching->comparing, value, touching->check));
        }
    }
    return STATUS_OK;
}

/* Rows that the minting of a swap adds, of what it changes. */
static bool is_said_of_swap(const struct touching *touching, relation_id relation)
{
    static const char *const relations[] = {"changed", "replaced", "emptied"};
    const struct layer *layer = &touching->side->swap->layer;
    const text name = names_text(layer->names, store_shape(layer->store, relation)->name);
    bool is_found = false;
    for (int i = 0; i < 3; i++) {
        is_found = is_found || text_is(name, relations[i]);
    }
    return is_found;
}

static status step_down(struct touching *touching, uint32_t index)
{
    const struct chain *chain = &touching->side->swap->chain;
    const struct store *store = touching->side->swap->layer.store;
    const struct chain_node *node = &chain->nodes.at[index];
    for (uint32_t i = 0; i < node->from_count; i++) {
        const struct row *below = chain->nodes.at[node->from[i]].row;
        const struct relation_shape *shape = store_shape(store, below->relation);
        const uint64_t columns =
            node->rule == NULL
                ? computed_columns(store, node->row, touching->read[index], below)
            : i < node->given_count ? named_columns(shape, &node->rule->given[i])
                                    : all_columns(shape);
        read_columns(touching, node->from[i], columns);
        touching->is_of_swap =
            touching->is_of_swap || is_said_of_swap(touching, below->relation);
        if (below->origin == ORIGIN_FACT) {
            TRY(touch_row(touching, below, columns,
                          node->rule != NULL && i < node->given_count));
        }
    }
    return STATUS_OK;
}

/* Marks all fields that one finding rests on. *is_of_swap: it would not be asked but for
 * the swap. */
static status touch_by(struct comparing *comparing, const struct asked_side *side,
                       name_id only, const struct finding *finding, uint32_t check,
                       bool *is_of_swap)
{
    struct chain *chain = &side->swap->chain;
    const uint32_t root = chain_of(chain, finding->row);
    TRY(chain->result);
    struct touching touching = {
        .comparing = comparing,
        .side = side,
        .only = only,
        .finding = finding,
        .check = check,
        .read = ARENA_MANY(comparing->arena, chain->nodes.count, uint64_t),
        .is_met = ARENA_MANY(comparing->arena, chain->nodes.count, bool)};
    TRY(arena_status(comparing->arena));
    read_columns(&touching, root, 0);
    while (touching.waiting.count > 0) {
        TRY(step_down(&touching, touching.waiting.at[--touching.waiting.count]));
        TRY(chain->result);
    }
    *is_of_swap = *is_of_swap || touching.is_of_swap;
    return arena_status(comparing->arena);
}

/* ---- pairs of findings */

/* As it was found, before any difference was set beside it. */
static enum outcome found(const struct asked_side *side, const struct finding *finding)
{
    return outcome_of(side->swap, finding->row);
}

static void compare_margins(struct comparing *comparing, bool is_one_layer,
                            struct compared_check *check)
{
    const struct form *from = check->first->margin;
    const struct form *to = check->second->margin;
    if (from == NULL || to == NULL || !isfinite(from->least) || !isfinite(to->least)) {
        return;
    }
    const double grid = dimension_grid(to->dim) / 2;
    check->by = dimension_round(to->dim, to->least - from->least);
    if (!is_one_layer) {
        check->is_sure =
            to->least > from->greatest + grid || to->greatest < from->least - grid;
        return;
    }
    const struct form *more = form_subtract(comparing->arena, to, from);
    check->is_sure = more != NULL && (more->least > grid || more->greatest < -grid);
}

static enum check_change change_of(const struct compared_check *check, enum outcome first,
                                   enum outcome second)
{
    const bool held = first == OUTCOME_HOLDS;
    const bool holds = second == OUTCOME_HOLDS;
    if ((first == OUTCOME_UNKNOWN) != (second == OUTCOME_UNKNOWN)) {
        return CHECK_OPEN;
    }
    if (held != holds) {
        return holds ? CHECK_BETTER : CHECK_WORSE;
    }
    if (isnan(check->by)) {
        return held ? CHECK_SAME : CHECK_OPEN;
    }
    return check->by > 0 ? CHECK_BETTER : check->by < 0 ? CHECK_WORSE : CHECK_SAME;
}

static status add_check(struct comparing *comparing, const struct asked_side *first,
                        const struct finding *one, const struct asked_side *second,
                        const struct finding *other, uint32_t seat, name_id first_piece,
                        name_id second_piece)
{
    struct compared_check made = {.seat = seat, .first = one, .second = other, .by = NAN};
    const uint32_t index = comparing->checks.count;
    if (one != NULL && other != NULL) {
        made.first_outcome = found(first, one);
        made.second_outcome = found(second, other);
        compare_margins(comparing, first->swap == second->swap, &made);
        made.change = change_of(&made, made.first_outcome, made.second_outcome);
    } else if (one != NULL) {
        made.first_outcome = found(first, one);
        made.change =
            made.first_outcome == OUTCOME_FAILS ? CHECK_BETTER : CHECK_ASKED_OF_FIRST;
    } else {
        made.second_outcome = found(second, other);
        made.change =
            made.second_outcome == OUTCOME_FAILS ? CHECK_WORSE : CHECK_ASKED_OF_SECOND;
    }
    if (!ARRAY_PUSH(comparing->arena, &comparing->checks, made)) {
        return arena_status(comparing->arena);
    }
    bool is_of_swap = false;
    if (one != NULL) {
        TRY(touch_by(comparing, first, first_piece, one, index, &is_of_swap));
    }
    if (other != NULL) {
        TRY(touch_by(comparing, second, second_piece, other, index, &is_of_swap));
    }
    if (is_of_swap) {
        comparing->checks.at[index].change = CHECK_OF_SWAP;
    }
    return STATUS_OK;
}

static bool is_asked_here(const struct finding *finding)
{
    return finding->kind == FINDING_BY_RULE && finding->row != NULL;
}

static text unit_name(const struct asked_side *side)
{
    return names_text(side->swap->layer.names, side->swap->swapped.shown_name);
}

/* Whether a subject is the unit itself, which is called otherwise on the other side. */
static bool is_unit(const struct asked_side *side, text value)
{
    return text_equal(value, unit_name(side));
}

/* The same rule on the same pieces, each in its own unit. */
static bool is_alike(const struct asked_side *first, const struct finding *one,
                     const struct asked_side *second, const struct finding *other)
{
    bool is_same = one->rule == other->rule;
    for (uint32_t i = 0; is_same && i < one->subject_count; i++) {
        const text left = one->subject[i].value;
        const text right = other->subject[i].value;
        is_same =
            text_equal(left, right) || (is_unit(first, left) && is_unit(second, right));
    }
    return is_same;
}

static const struct finding *pair_of(const struct asked_side *of,
                                     const struct finding *finding,
                                     const struct asked_side *side)
{
    for (uint32_t i = 0; i < side->count; i++) {
        if (is_asked_here(&side->findings[i]) &&
            is_alike(of, finding, side, &side->findings[i])) {
            return &side->findings[i];
        }
    }
    return NULL;
}

struct finding_pair {
    const struct finding *first;
    const struct finding *second;
    text unit; /* of the one that is there */
};

/* By rule and subject; a unit is called otherwise on each side, so it is passed over. */
static int compare_pairs(const void *a, const void *b)
{
    const struct finding_pair *pairs[2] = {a, b};
    const struct finding *of[2];
    for (int i = 0; i < 2; i++) {
        of[i] = pairs[i]->first != NULL ? pairs[i]->first : pairs[i]->second;
    }
    int order = text_compare(of[0]->name, of[1]->name);
    for (uint32_t i = 0; order == 0 && i < of[0]->subject_count; i++) {
        const text left = of[0]->subject[i].value;
        const text right = of[1]->subject[i].value;
        if (!text_equal(left, pairs[0]->unit) || !text_equal(right, pairs[1]->unit)) {
            order = text_compare(left, right);
        }
    }
    return order;
}

status checks_compare(struct comparing *comparing, const struct asked_side *first,
                      const struct asked_side *second, uint32_t seat, name_id first_piece,
                      name_id second_piece)
{
    ARRAY_OF(struct finding_pair) pairs = {0};
    bool is_pushed = true;
    for (uint32_t i = 0; is_pushed && i < first->count; i++) {
        const struct finding *one = &first->findings[i];
        const struct finding_pair pair = {one, pair_of(first, one, second),
                                          unit_name(first)};
        is_pushed = !is_asked_here(one) || ARRAY_PUSH(comparing->arena, &pairs, pair);
    }
    for (uint32_t i = 0; is_pushed && i < second->count; i++) {
        const struct finding *other = &second->findings[i];
        const struct finding_pair pair = {NULL, other, unit_name(second)};
        is_pushed = !is_asked_here(other) || pair_of(second, other, first) != NULL ||
                    ARRAY_PUSH(comparing->arena, &pairs, pair);
    }
    TRY(arena_status(comparing->arena));
    if (pairs.count > 1) {
        qsort(pairs.at, pairs.count, sizeof *pairs.at, compare_pairs);
    }
    for (uint32_t i = 0; i < pairs.count; i++) {
        TRY(add_check(comparing, first, pairs.at[i].first, second, pairs.at[i].second,
                      seat, first_piece, second_piece));
    }
    return STATUS_OK;
}

const char *check_change_word(enum check_change change)
{
    static const char *const words[] = {"worse",        "better",    "first alone",
                                        "second alone", "not known", "of the swap",
                                        "same"};
    return words[change];
}
