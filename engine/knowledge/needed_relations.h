/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_NEEDED_RELATIONS_H
#define WHYFIT_NEEDED_RELATIONS_H

#include "knowledge.h"

/*
 * The engine writes and reads some relations by the places of their keys and the names of
 * their columns. Reports those that the vocabulary declares otherwise, and, when there
 * are units to lay, those that it does not declare: with them an answer would be made of
 * half the facts. STATUS_INVALID then.
 */
MUST_USE status needed_relations_check(const struct knowledge *knowledge,
                                       struct diagnostics *diagnostics);

#endif
