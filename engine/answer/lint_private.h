/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_LINT_PRIVATE_H
#define WHYFIT_LINT_PRIVATE_H

#include "array.h"
#include "lint.h"

struct linting {
    struct arena *arena;
    const struct knowledge *knowledge;
    ARRAY_OF(struct lint_fault) faults;
};

MUST_USE status lint_add(struct linting *linting, struct lint_fault fault);

/* lint_rules.c, lint_dangers.c, lint_looking.c */
MUST_USE status lint_rules(struct linting *linting);
MUST_USE status lint_dangers(struct linting *linting);
MUST_USE status lint_looking(struct linting *linting);

#endif
