/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_CHAIN_H
#define WHYFIT_CHAIN_H

#include "answer.h"
#include "array.h"
#include "hash.h"
#include "inference.h"

/*
 * Rows with the reasons they rest on, each once. A rule's reasons are found backwards, a
 * computed row names its own. Every reason has a lower height, so following them always
 * ends.
 */
struct chain_node {
    const struct row *row;
    const struct rule *rule;
    const struct binding *bindings;
    uint32_t binding_count;
    const uint32_t *from; /* indices of nodes */
    uint32_t from_count;
    uint32_t given_count;
    const struct value *slots; /* of the rule's variables */
    bool is_changed; /* it, or something it rests on, is of a changed piece or a moved
                        face */
};

struct chain {
    struct layer *layer;
    const struct inference_options *options;
    const struct minted_unit *host;
    const struct minted_unit *swap;
    relation_id laid;
    ARRAY_OF(struct chain_node) nodes;
    struct hash_map by_row;
    status result; /* the first failure */
};

void chain_open(struct chain *chain, struct layer *layer,
                const struct inference_options *options, const struct minted_unit *host,
                const struct minted_unit *swap);

/* The node of a row, with all it rests on; its index. On failure chain->result and index
 * 0. */
uint32_t chain_of(struct chain *chain, const struct row *row);

/* Whether a row is among the reasons of any row asked for so far. */
bool chain_has(const struct chain *chain, const struct row *row);

/* The place of the swap whose piece (or inner unit, or piece of one) `name` is; NULL when
 * none. */
const struct minted_place *unit_place_of(const struct layer *layer,
                                         const struct minted_unit *unit, name_id name);
/* Whether `owner` is the unit, one of its pieces, or within one. */
bool unit_owns(const struct layer *layer, const struct minted_unit *unit, name_id owner);

#endif
