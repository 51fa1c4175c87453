/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_RULE_WITHOUT_H
#define WHYFIT_RULE_WITHOUT_H

#include "rule_tree.h"

/* The rules but one, of which nothing is then concluded or found. Its relation stays, so
 * that rules that read it are whole, and the order of the groups with it. `left_out`
 * must be one of the base's. The rest is borrowed from the base. */
MUST_USE status rules_without(struct arena *arena, const struct rule_base *base,
                              const struct rule *left_out, const struct rule_base **out);

#endif
