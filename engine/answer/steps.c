/* SPDX-License-Identifier: MIT */
/*
 * Numbers the chains' nodes as steps: the chain of the first finding from its end to its
 * facts, then what the next one adds. The order of `findings` and of each rule's
 * conditions gives the numbers, so nothing of memory or files shows.
 */
#include "swap_private.h"

struct numbering {
    struct swap *swap;
    uint32_t *ids; /* node → id, 0 while it has none */
    uint32_t next;
    ARRAY_OF(uint32_t) order; /* nodes by id */
};

static bool number(struct numbering *numbering, uint32_t node)
{
    if (numbering->ids[node] != 0) {
        return true;
    }
    numbering->ids[node] = numbering->next++;
    return ARRAY_PUSH(numbering->swap->arena, &numbering->order, node);
}

/* Breadth first: a reader meets the near reasons before the far ones. */
static bool number_chain(struct numbering *numbering, uint32_t root)
{
    const struct chain_node *nodes = numbering->swap->chain.nodes.at;
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

static status write_steps(struct numbering *numbering)
{
    struct swap *swap = numbering->swap;
    struct step *steps = ARENA_MANY(swap->arena, numbering->order.count, struct step);
    TRY(arena_status(swap->arena));
    for (uint32_t i = 0; i < numbering->order.count; i++) {
        const struct chain_node *node = &swap->chain.nodes.at[numbering->order.at[i]];
        uint32_t *from = ARENA_MANY(swap->arena, node->from_count, uint32_t);
        TRY(arena_status(swap->arena));
        for (uint32_t k = 0; k < node->from_count; k++) {
            from[k] = numbering->ids[node->from[k]];
        }
        steps[i] = (struct step){.id = numbering->ids[numbering->order.at[i]],
                                 .row = node->row,
                                 .rule = node->rule,
                                 .bindings = node->bindings,
                                 .binding_count = node->binding_count,
                                 .from = from,
                                 .from_count = node->from_count,
                                 .given_count = node->given_count};
    }
    swap->answer->steps = steps;
    swap->answer->step_count = numbering->order.count;
    return STATUS_OK;
}

status steps_number(struct swap *swap)
{
    struct numbering numbering = {
        .swap = swap,
        .next = swap->findings.count + swap->host_findings.count + 1,
        .ids = ARENA_MANY(swap->arena, swap->chain.nodes.count, uint32_t)};
    TRY(arena_status(swap->arena));
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
    return write_steps(&numbering);
}
