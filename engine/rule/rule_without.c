/* SPDX-License-Identifier: MIT */
/* Leaving one rule out of a rule base, whose rules are numbered by their place in it. */
#include "rule_without.h"

#include <string.h>

static status groups_without(struct arena *arena, const struct rule_base *base,
                             uint32_t left_out, struct rule_group *groups)
{
    for (uint32_t g = 0; g < base->group_count; g++) {
        const struct rule_group *from = &base->groups[g];
        uint32_t *rules = ARENA_MANY(arena, from->count, uint32_t);
        TRY(arena_status(arena));
        groups[g] = (struct rule_group){rules, 0, from->is_recursive};
        for (uint32_t i = 0; i < from->count; i++) {
            if (from->rules[i] != left_out) {
                rules[groups[g].count++] =
                    from->rules[i] - (from->rules[i] > left_out ? 1 : 0);
            }
        }
    }
    return STATUS_OK;
}

status rules_without(struct arena *arena, const struct rule_base *base,
                     const struct rule *left_out, const struct rule_base **out)
{
    const uint32_t at = (uint32_t)(left_out - base->rules);
    const uint32_t rest = base->rule_count - at - 1;
    struct rule_base *made = arena_copy(arena, base, sizeof *base);
    struct rule *rules = ARENA_MANY(arena, base->rule_count, struct rule);
    struct rule_group *groups = ARENA_MANY(arena, base->group_count, struct rule_group);
    TRY(arena_status(arena));
    memcpy(rules, base->rules, at * sizeof *rules);
    memcpy(rules + at, base->rules + at + 1, rest * sizeof *rules);
    TRY(groups_without(arena, base, at, groups));
    made->rules = rules;
    made->rule_count = base->rule_count - 1;
    made->groups = groups;
    *out = made;
    return STATUS_OK;
}
