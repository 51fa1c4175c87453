/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_RULE_READ_H
#define WHYFIT_RULE_READ_H

#include "rule_tree.h"

/*
 * Rule text → checked rules → groups. A file of rules is a map {pack: name, says: …,
 * rules: [rule, …]} or a single rule map. See DEVELOPERS.md for the language; refusals,
 * each a diagnostic that says how to mend it: unknown relations, columns and functions;
 * variables no condition binds; a value variable in two conditions; `=` between
 * toleranced quantities; a relation filled by two of facts, rules and C; loops through
 * denial or aggregates, spelled out; computed numbers in a key inside a loop; rules that
 * are not local (unless `over: catalogue`); a check without source or because.
 */
struct rule_surroundings {
    const struct vocabulary *vocabulary;
    const struct function_table *functions;
    const struct limits_resolver *limits;
    struct names *names;
};

MUST_USE status rules_read(struct arena *arena,
                           const struct rule_surroundings *surroundings,
                           const struct node *const *documents, uint32_t count,
                           struct diagnostics *diagnostics, const struct rule_base **out);

/* NULL when there is none. */
const struct rule *rule_find(const struct rule_base *base, name_id name);

#endif
