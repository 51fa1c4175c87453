/* SPDX-License-Identifier: MIT */
/* Why are these rows there? Their chains, as a swap's findings have them. */
#include "explanation_private.h"
#include "steps.h"

/* What a finding says, as in a swap's answer; a rule's own words for other rows. */
static text sentence_of(struct swap *swap, const struct chain_node *node)
{
    const struct rule *rule = node->rule;
    if (rule == NULL) {
        return (text){"", 0};
    }
    const bool is_finding = rule->has_check && node->row->relation == rule->finding;
    return is_finding && outcome_of(swap, node->row) == OUTCOME_FAILS
               ? sentence_fill(swap, &rule->because, node)
               : rule->says;
}

static status explain_rows(struct swap *swap, struct explanation *explanation)
{
    const uint32_t count = explanation->row_count;
    struct explained_row *rows = ARENA_MANY(swap->arena, count, struct explained_row);
    uint32_t *roots = ARENA_MANY(swap->arena, count, uint32_t);
    uint32_t *ids = ARENA_MANY(swap->arena, count, uint32_t);
    TRY(arena_status(swap->arena));
    for (uint32_t i = 0; i < count; i++) {
        roots[i] = chain_of(&swap->chain, explanation->rows[i].row);
        TRY(swap->chain.result);
    }
    TRY(steps_of_trees(&swap->chain, roots, count, ids, &swap->answer->steps,
                       &swap->answer->step_count));
    for (uint32_t i = 0; i < count; i++) {
        rows[i] =
            (struct explained_row){explanation->rows[i].row, ids[i],
                                   sentence_of(swap, &swap->chain.nodes.at[roots[i]])};
    }
    explanation->rows = rows;
    return arena_status(swap->arena);
}

status why_answer(struct arena *arena, const struct knowledge *knowledge,
                  const struct question *question, const struct swap_limits *limits,
                  struct diagnostics *diagnostics, struct answer **out)
{
    struct swap swap;
    struct explanation *explanation = NULL;
    TRY(swap_open(&swap, arena, knowledge, question, limits, diagnostics));
    TRY(explanation_open(&swap, &explanation));
    TRY(explain_rows(&swap, explanation));
    swap_spend(&swap);
    *out = swap.answer;
    return STATUS_OK;
}
