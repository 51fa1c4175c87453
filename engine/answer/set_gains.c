/* SPDX-License-Identifier: MIT */
/*
 * What a swap gains and gives up, from its findings and rows alone: margins that surely
 * grew or shrank against the host's, checks that hold now and did not, and figures that
 * the vocabulary says are better when they are more or less.
 */
#include "compare_private.h"
#include "upgrade_private.h"

#include <stdlib.h>

typedef ARRAY_OF(struct margin_change) margin_array;

/* Beyond what can be told apart, whatever the parts come out as. */
static bool is_surely_more(const struct form *difference)
{
    return difference->undefined == NULL &&
           difference->least > dimension_grid(difference->dim) / 2;
}

static status add_margin(struct swap *swap, const struct finding *finding,
                         margin_array *list)
{
    struct margin_change made = {.finding = finding};
    const struct form *more =
        form_subtract(swap->arena, finding->margin, finding->host->margin);
    const struct form *less =
        form_subtract(swap->arena, finding->host->margin, finding->margin);
    TRY(arena_status(swap->arena));
    const bool holds = finding->outcome == OUTCOME_HOLDS;
    const bool held = finding->host->outcome == OUTCOME_HOLDS;
    if (holds != held) {
        made.kind = holds ? MARGIN_HOLDS_NOW : MARGIN_FAILS_NOW;
        made.by = more;
    } else if (is_surely_more(more)) {
        made.kind = MARGIN_GREW;
        made.by = more;
    } else if (is_surely_more(less)) {
        made.kind = MARGIN_SHRANK;
        made.by = less;
    } else {
        return STATUS_OK;
    }
    return ARRAY_PUSH(swap->arena, list, made) ? STATUS_OK : arena_status(swap->arena);
}

static int compare_margins(const void *a, const void *b)
{
    const struct margin_change *left = a;
    const struct margin_change *right = b;
    if (left->kind != right->kind) {
        return (int)left->kind - (int)right->kind;
    }
    int order = text_compare(left->finding->name, right->finding->name);
    for (uint32_t i = 0; order == 0 && i < left->finding->subject_count; i++) {
        order = text_compare(left->finding->subject[i].value,
                             right->finding->subject[i].value);
    }
    return order;
}

/* ---- figures */

static status gather_figures(struct swap *swap, struct change_set_answer *out)
{
    const struct figured_unit before = {&swap->layer, &swap->host};
    const struct figured_unit now = {&swap->layer, &swap->swapped};
    ARRAY_OF(struct figure_change) figures = {0};
    figure_list all = {0};
    TRY(figures_between(swap->arena, &before, &now, 0, &all));
    for (uint32_t i = 0; i < all.count; i++) {
        const struct compared_figure *one = &all.at[i];
        if (one->better == BETTER_NEITHER || one->first == NULL || one->second == NULL) {
            continue;
        }
        const struct form *more = form_subtract(swap->arena, one->second, one->first);
        const struct form *less = form_subtract(swap->arena, one->first, one->second);
        TRY(arena_status(swap->arena));
        const struct figure_change made = {
            .of = one->of,
            .is_better = is_surely_more(one->better == BETTER_MORE ? more : less),
            .before = one->first,
            .now = one->second};
        if ((is_surely_more(more) || is_surely_more(less)) &&
            !ARRAY_PUSH(swap->arena, &figures, made)) {
            return arena_status(swap->arena);
        }
    }
    out->figures = figures.at;
    out->figure_count = figures.count;
    return STATUS_OK;
}

status swap_gains(struct swap *swap, struct change_set_answer *out)
{
    margin_array margins = {0};
    TRY(gather_figures(swap, out));
    for (uint32_t i = 0; i < swap->findings.count; i++) {
        const struct finding *finding = &swap->findings.at[i];
        if (finding->kind == FINDING_BY_RULE && finding->host != NULL &&
            finding->mend.length == 0) {
            TRY(add_margin(swap, finding, &margins));
        }
    }
    if (margins.count > 1) {
        qsort(margins.at, margins.count, sizeof *margins.at, compare_margins);
    }
    out->margins = margins.at;
    out->margin_count = margins.count;
    return arena_status(swap->arena);
}
