/* SPDX-License-Identifier: MIT */
/*
 * Builds chains from rows down to facts. Whether a chain can have been changed by the
 * swap is worked out on the way: a row of a changed piece, or a piece laid elsewhere than
 * in the host, changes whatever rests on it.
 */
#include "chain.h"

enum {
    DEEPEST_CHAIN = 512
};

void chain_open(struct chain *chain, struct layer *layer,
                const struct inference_options *options, const struct minted_unit *host,
                const struct minted_unit *swap)
{
    *chain =
        (struct chain){.layer = layer, .options = options, .host = host, .swap = swap};
    if (!store_find_relation(layer->store, names_find(layer->names, TEXT("laid")),
                             &chain->laid)) {
        chain->laid = UINT32_MAX;
    }
}

const struct minted_place *unit_place_of(const struct layer *layer,
                                         const struct minted_unit *unit, name_id name)
{
    const text word = names_text(layer->names, name);
    for (uint32_t i = 0; i < unit->place_count; i++) {
        const struct minted_place *place = &unit->places[i];
        if (place->with == NAME_NONE) {
            continue;
        }
        if (place->piece == name) {
            return place;
        }
        const text piece = names_text(layer->names, place->piece);
        if (place->recipe != NULL && text_starts(word, piece) &&
            word.length > piece.length && word.at[piece.length] == '.') {
            return place;
        }
    }
    return NULL;
}

bool unit_owns(const struct layer *layer, const struct minted_unit *unit, name_id owner)
{
    return owner == unit->name || unit_place_of(layer, unit, owner) != NULL;
}

static bool is_of_changed_piece(const struct chain *chain, const struct row *row)
{
    const struct relation_shape *shape = store_shape(chain->layer->store, row->relation);
    for (uint32_t c = 0; c < shape->key_count; c++) {
        if (shape->columns[c].kind != COLUMN_NAME) {
            continue;
        }
        const struct minted_place *place =
            unit_place_of(chain->layer, chain->swap, row->key[c]);
        if (place != NULL && place->is_changed) {
            return true;
        }
    }
    return false;
}

static bool is_moved(const struct chain *chain, const struct row *row)
{
    if (row->relation != chain->laid || row->key[0] != chain->swap->name) {
        return false;
    }
    const name_id key[3] = {chain->host->name, row->key[1], row->key[2]};
    const struct row *before = store_find(chain->layer->store, chain->laid, key);
    return before == NULL || !value_equal(before->values[0], row->values[0]) ||
           !value_equal(before->values[1], row->values[1]);
}

static uint32_t find_node(const struct chain *chain, const struct row *row, uint32_t hash)
{
    uint32_t cursor = 0;
    uint32_t index = 0;
    while (hash_map_next(&chain->by_row, hash, &cursor, &index)) {
        if (chain->nodes.at[index].row == row) {
            return index;
        }
    }
    return UINT32_MAX;
}

/* Rows do not move, but addresses differ from run to run: only equality is ever taken
 * from it. */
static uint32_t row_hash(const struct chain *chain, const struct row *row)
{
    const uint32_t key_count = store_shape(chain->layer->store, row->relation)->key_count;
    return hash_words(row->key, key_count) ^ (row->relation * 0x9e3779b9u);
}

bool chain_has(const struct chain *chain, const struct row *row)
{
    return find_node(chain, row, row_hash(chain, row)) != UINT32_MAX;
}

static void bind_slots(struct chain *chain, const struct rule *rule,
                       const struct value *slots, struct chain_node *node)
{
    struct binding *bindings =
        ARENA_MANY(chain->layer->arena, rule->variable_count, struct binding);
    for (uint32_t i = 0; bindings != NULL && i < rule->variable_count; i++) {
        bindings[i] = (struct binding){rule->variables[i].name, slots[i], NULL};
    }
    for (uint32_t i = 0; bindings != NULL && i < rule->let_count; i++) {
        bindings[rule->lets[i].variable].formula = rule->lets[i].formula;
    }
    node->bindings = bindings;
    node->binding_count = bindings == NULL ? 0 : rule->variable_count;
    node->slots = slots;
}

static uint32_t chain_build(struct chain *chain, const struct row *row, uint32_t depth);

/* Adds what a node rests on, and passes on whether any of it is changed. */
static void rest_on(struct chain *chain, struct chain_node *node,
                    const struct row *const *first, uint32_t first_count,
                    const struct row *const *second, uint32_t second_count,
                    uint32_t depth)
{
    const uint32_t count = first_count + second_count;
    uint32_t *from = ARENA_MANY(chain->layer->arena, count, uint32_t);
    if (from == NULL && count > 0) {
        chain->result = arena_status(chain->layer->arena);
        return;
    }
    for (uint32_t i = 0; i < count && chain->result == STATUS_OK; i++) {
        const struct row *below = i < first_count ? first[i] : second[i - first_count];
        from[i] = chain_build(chain, below, depth + 1);
        if (chain->result == STATUS_OK && chain->nodes.at[from[i]].is_changed) {
            node->is_changed = true;
        }
    }
    node->from = from;
    node->from_count = count;
    node->given_count = first_count;
}

static void explain(struct chain *chain, struct chain_node *node, uint32_t depth)
{
    if (node->row->origin == ORIGIN_COMPUTED) {
        uint32_t count = 0;
        const struct row *const *below = row_rests_on(node->row, &count);
        rest_on(chain, node, below, count, NULL, 0, depth);
        return;
    }
    if (node->row->origin != ORIGIN_RULE) {
        return;
    }
    struct justification why = {0};
    const status found =
        justification_find(chain->layer->knowledge->rules, chain->layer->store,
                           chain->layer->arena, chain->options, node->row, &why);
    if (found != STATUS_OK) {
        chain->result = found;
        return;
    }
    node->rule = why.rule;
    bind_slots(chain, why.rule, why.slots, node);
    rest_on(chain, node, why.premises, why.rule->given_count, why.extra, why.extra_count,
            depth);
}

static uint32_t chain_build(struct chain *chain, const struct row *row, uint32_t depth)
{
    const uint32_t hash = row_hash(chain, row);
    const uint32_t known = find_node(chain, row, hash);
    if (known != UINT32_MAX) {
        return known;
    }
    if (depth > DEEPEST_CHAIN) {
        chain->result = STATUS_LIMIT;
        return 0;
    }
    struct chain_node node = {.row = row};
    node.is_changed = is_of_changed_piece(chain, row) || is_moved(chain, row);
    explain(chain, &node, depth);
    if (chain->result != STATUS_OK) {
        return 0;
    }
    const uint32_t index = chain->nodes.count;
    if (!ARRAY_PUSH(chain->layer->arena, &chain->nodes, node) ||
        !hash_map_add(&chain->by_row, chain->layer->arena, hash, index)) {
        chain->result = arena_status(chain->layer->arena);
        return 0;
    }
    return index;
}

uint32_t chain_of(struct chain *chain, const struct row *row)
{
    return chain_build(chain, row, 0);
}
