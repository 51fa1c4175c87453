/* SPDX-License-Identifier: MIT */
/*
 * Numbers the chains' nodes as steps. For a swap: the chain of the first finding from its
 * end to its facts, then what the next one adds, near reasons before far ones. For `why`:
 * as a tree is read, each branch to its end. The order of the roots and of each rule's
 * conditions gives the numbers, so nothing of memory or files shows.
 */
#include "steps.h"

struct numbering {
    const struct chain *chain;
    struct arena *arena;
    uint32_t *ids; /* node → id, 0 while it has none */
    uint32_t next;
    ARRAY_OF(uint32_t) order; /* nodes by id */
};

static status numbering_open(struct numbering *numbering, const struct chain *chain,
                             uint32_t first)
{
    *numbering = (struct numbering){
        .chain = chain,
        .arena = chain->layer->arena,
        .ids = ARENA_MANY(chain->layer->arena, chain->nodes.count, uint32_t),
        .next = first};
    return arena_status(numbering->arena);
}

static bool number(struct numbering *numbering, uint32_t node)
{
    if (numbering->ids[node] != 0) {
        return true;
    }
    numbering->ids[node] = numbering->next++;
    return ARRAY_PUSH(numbering->arena, &numbering->order, node);
}

/* Breadth first: a reader meets the near reasons before the far ones. */
static bool number_chain(struct numbering *numbering, uint32_t root)
{
    const struct chain_node *nodes = numbering->chain->nodes.at;
    uint32_t at = numbering->order.count;
    bool is_done = number(numbering, root);
    for (; is_done && at < numbering->order.count; at++) {
        const struct chain_node *node = &nodes[numbering->order.at[at]];
        for (uint32_t i = 0; is_done && i < node->from_count; i++) {
            is_done = number(numbering, node->from[i]);
        }
    }
    return is_done;
}

/* Depth first; a chain is at most DEEPEST_CHAIN deep. */
static bool number_tree(struct numbering *numbering, uint32_t at)
{
    const struct chain_node *node = &numbering->chain->nodes.at[at];
    if (numbering->ids[at] != 0) {
        return true;
    }
    bool is_done = number(numbering, at);
    for (uint32_t i = 0; is_done && i < node->from_count; i++) {
        is_done = number_tree(numbering, node->from[i]);
    }
    return is_done;
}

static status write_steps(const struct numbering *numbering, const struct step **out,
                          uint32_t *count)
{
    struct arena *arena = numbering->arena;
    struct step *steps = ARENA_MANY(arena, numbering->order.count, struct step);
    TRY(arena_status(arena));
    for (uint32_t i = 0; i < numbering->order.count; i++) {
        const uint32_t at = numbering->order.at[i];
        const struct chain_node *node = &numbering->chain->nodes.at[at];
        uint32_t *from = ARENA_MANY(arena, node->from_count, uint32_t);
        TRY(arena_status(arena));
        for (uint32_t k = 0; k < node->from_count; k++) {
            from[k] = numbering->ids[node->from[k]];
        }
        steps[i] = (struct step){.id = numbering->ids[at],
                                 .row = node->row,
                                 .rule = node->rule,
                                 .bindings = node->bindings,
                                 .binding_count = node->binding_count,
                                 .slots = node->slots,
                                 .from = from,
                                 .from_count = node->from_count,
                                 .given_count = node->given_count};
    }
    *out = steps;
    *count = numbering->order.count;
    return STATUS_OK;
}

status steps_number(struct swap *swap)
{
    struct numbering numbering;
    TRY(numbering_open(&numbering, &swap->chain,
                       swap->findings.count + swap->host_findings.count + 1));
    for (uint32_t i = 0; i < swap->findings.count; i++) {
        struct finding *finding = &swap->findings.at[i];
        if (finding->kind != FINDING_BY_RULE) {
            continue;
        }
        const uint32_t node = chain_of(&swap->chain, finding->row);
        TRY(swap->chain.result);
        if (!number_chain(&numbering, node)) {
            return arena_status(swap->arena);
        }
        finding->step = numbering.ids[node];
    }
    return write_steps(&numbering, &swap->answer->steps, &swap->answer->step_count);
}

status steps_of_trees(struct chain *chain, const uint32_t *roots, uint32_t root_count,
                      uint32_t *ids, const struct step **steps, uint32_t *step_count)
{
    struct numbering numbering;
    TRY(numbering_open(&numbering, chain, 1));
    for (uint32_t i = 0; i < root_count; i++) {
        if (!number_tree(&numbering, roots[i])) {
            return arena_status(numbering.arena);
        }
        ids[i] = numbering.ids[roots[i]];
    }
    return write_steps(&numbering, steps, step_count);
}
