/* SPDX-License-Identifier: MIT */
/* Why is there no such row? What the engine says of it, and, as deep as was asked, of the
 * rows that its rules miss. */
#include "explanation_private.h"

enum {
    DEEPEST_WHY_NOT = 8 /* levels: each may have as many branches as rules */
};

struct growing {
    struct swap *swap;
    const struct wanted_row *path[DEEPEST_WHY_NOT + 1]; /* asked for above */
    uint32_t depth;                                     /* levels to go down at most */
};

static status grow(struct growing *growing, const struct wanted_row *wanted,
                   uint32_t level, const struct why_not_tree **out);

static bool is_above(const struct growing *growing, const struct wanted_row *wanted,
                     uint32_t level)
{
    const struct relation_shape *shape =
        store_shape(growing->swap->layer.store, wanted->relation);
    for (uint32_t i = 0; i < level; i++) {
        if (wanted_equal(growing->path[i], wanted, shape)) {
            return true;
        }
    }
    return false;
}

static status grow_below(struct growing *growing, struct why_not_tree *tree,
                         uint32_t level)
{
    const struct why_not_tree **below = ARENA_MANY(
        growing->swap->arena, tree->attempt_count, const struct why_not_tree *);
    TRY(arena_status(growing->swap->arena));
    for (uint32_t i = 0; i < tree->attempt_count; i++) {
        if (tree->attempts[i].stop == WHY_NOT_GIVEN) {
            TRY(grow(growing, &tree->attempts[i].missing, level + 1, &below[i]));
        }
    }
    tree->below = below;
    return STATUS_OK;
}

static status grow(struct growing *growing, const struct wanted_row *wanted,
                   uint32_t level, const struct why_not_tree **out)
{
    struct swap *swap = growing->swap;
    struct why_not_tree *tree = ARENA_NEW(swap->arena, struct why_not_tree);
    TRY(arena_status(swap->arena));
    *out = tree;
    tree->wanted = *wanted;
    tree->asked = row_query_write(swap->arena, &swap->layer, wanted);
    const struct relation_shape *shape = store_shape(swap->layer.store, wanted->relation);
    const enum filled_by filled = rule_find(swap->knowledge->rules, shape->name) != NULL
                                      ? FILLED_BY_RULES /* a rule's findings */
                                      : shape->filled;
    tree->end = filled == FILLED_BY_FACTS          ? WHY_NOT_FACT
                : filled == FILLED_BY_COMPUTING    ? WHY_NOT_COMPUTED
                : is_above(growing, wanted, level) ? WHY_NOT_CIRCLE
                : level > growing->depth           ? WHY_NOT_DEPTH
                                                   : WHY_NOT_ATTEMPTS;
    if (tree->end != WHY_NOT_ATTEMPTS) {
        return STATUS_OK;
    }
    growing->path[level] = &tree->wanted;
    TRY(why_not_find(swap->knowledge->rules, swap->layer.store, swap->arena,
                     &swap->options, wanted, &tree->attempts, &tree->attempt_count));
    tree->end = tree->attempt_count == 0 ? WHY_NOT_NO_RULE : WHY_NOT_ATTEMPTS;
    return grow_below(growing, tree, level);
}

/* Where no owner was named, the swapped unit is meant if such rows have units. */
static void mean_the_unit(const struct swap *swap, struct wanted_row *wanted)
{
    const struct relation_shape *shape = store_shape(swap->layer.store, wanted->relation);
    if ((wanted->asked & 1u) == 0 && shape->is_owned &&
        text_is(names_text(swap->layer.names, shape->columns[0].name), "unit")) {
        wanted->asked |= 1u;
        wanted->key[0] = swap->swapped.name;
    }
}

status why_not_answer(struct arena *arena, const struct knowledge *knowledge,
                      const struct question *question, const struct swap_limits *limits,
                      struct diagnostics *diagnostics, struct answer **out)
{
    struct swap swap;
    struct explanation *explanation = NULL;
    TRY(swap_open(&swap, arena, knowledge, question, limits, diagnostics));
    TRY(explanation_open(&swap, &explanation));
    struct growing growing = {
        .swap = &swap,
        .depth = question->depth < DEEPEST_WHY_NOT ? question->depth : DEEPEST_WHY_NOT};
    explanation->depth = growing.depth;
    explanation->fallen = swap.swapped.fallen;
    explanation->fallen_count = swap.swapped.fallen_count;
    if (explanation->match_count == 0) {
        struct wanted_row wanted = explanation->query;
        mean_the_unit(&swap, &wanted);
        TRY(grow(&growing, &wanted, 0, &explanation->why_not));
    }
    swap_spend(&swap);
    *out = swap.answer;
    return STATUS_OK;
}
