/* SPDX-License-Identifier: MIT */
/* Whether the knowledge is sound. Each unit is asked as a swap that changes nothing, of
 * the rules that answer lint. */
#include "lint_private.h"

#include <stdlib.h>

status lint_add(struct linting *linting, struct lint_fault fault)
{
    return ARRAY_PUSH(linting->arena, &linting->faults, fault)
               ? STATUS_OK
               : arena_status(linting->arena);
}

static status add_fault(struct linting *linting, const struct recipe *recipe, text rule,
                        text sentence, const struct diagnostic *problem)
{
    const bool is_placed = problem != NULL && problem->where.source != 0;
    return lint_add(
        linting, (struct lint_fault){TEXT("unit"),
                                     names_text(linting->knowledge->names, recipe->name),
                                     is_placed ? problem->where : recipe->where, rule,
                                     sentence, problem});
}

static status lint_unit(struct linting *linting, const struct recipe *recipe,
                        const struct swap_limits *limits)
{
    struct answer *answer = NULL;
    const struct question question = {
        .command = TEXT("lint"),
        .unit = names_text(linting->knowledge->names, recipe->name),
        .unit_where = recipe->where,
        .is_trial = true};
    struct diagnostics *diagnostics = diagnostics_open(linting->arena);
    TRY(arena_status(linting->arena));
    const status answered = swap_answer(linting->arena, linting->knowledge, &question,
                                        limits, diagnostics, &answer);
    if (answered == STATUS_INVALID) {
        for (uint32_t i = 0; i < diagnostics_kept(diagnostics); i++) {
            const struct diagnostic *report = diagnostics_at(diagnostics, i);
            TRY(add_fault(linting, recipe, text_of(diagnostic_code_word(report->code)),
                          report->message, report));
        }
        return STATUS_OK;
    }
    TRY(answered);
    for (uint32_t i = 0; i < answer->finding_count; i++) {
        const struct finding *finding = &answer->findings[i];
        if (finding->kind == FINDING_FALLEN ||
            (finding->kind == FINDING_BY_RULE && finding->outcome == OUTCOME_FAILS)) {
            TRY(add_fault(linting, recipe, finding->name, finding->sentence, NULL));
        }
    }
    return STATUS_OK;
}

static int compare_faults(const void *a, const void *b)
{
    const struct lint_fault *left = a;
    const struct lint_fault *right = b;
    int order = text_compare(left->of, right->of);
    order = order != 0 ? order : text_compare(left->name, right->name);
    order = order != 0 ? order : text_compare(left->rule, right->rule);
    return order != 0 ? order : text_compare(left->sentence, right->sentence);
}

status lint_answer(struct arena *arena, const struct knowledge *knowledge,
                   const struct swap_limits *limits, struct lint *out)
{
    struct linting linting = {.arena = arena, .knowledge = knowledge};
    for (uint32_t i = 0; i < knowledge->recipe_count; i++) {
        TRY(lint_unit(&linting, &knowledge->recipes[i], limits));
    }
    TRY(lint_rules(&linting));
    TRY(lint_dangers(&linting));
    TRY(lint_looking(&linting));
    if (linting.faults.count > 1) {
        qsort(linting.faults.at, linting.faults.count, sizeof *linting.faults.at,
              compare_faults);
    }
    *out =
        (struct lint){linting.faults.at, linting.faults.count, knowledge->recipe_count};
    return arena_status(arena);
}
