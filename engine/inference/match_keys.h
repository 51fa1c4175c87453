/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_MATCH_KEYS_H
#define WHYFIT_MATCH_KEYS_H

#include "match_rule.h"

/*
 * Rules that only join keys: conditions and the one conclusion name no value, and nothing
 * is denied, counted, computed or filtered. Of a match no more is wanted than the key it
 * gives and its height, so cells alone are carried along.
 */
bool match_is_of_keys(const struct rule *rule, const struct store *store);

/* What is done with a key that a match gives; false stops the search. */
typedef bool (*found_key)(struct match *match, const name_id *key, uint32_t height);

/* Searches all sure matches in which a row numbered from..end-1 (as store_row numbers
 * them) stands for the plan's first condition. Rows that are added meanwhile are not
 * seen. An open row that was left out shows in match->met_open. */
status match_keys(struct match *match, const struct plan *plan, uint32_t from,
                  uint32_t end, found_key found);

#endif
