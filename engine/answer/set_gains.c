/* SPDX-License-Identifier: MIT */
/*
 * What a swap gains and gives up, from its findings and rows alone: margins that surely
 * grew or shrank against the host's, checks that hold now and did not, and figures that
 * the vocabulary says are better when they are more or less.
 */
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

status swap_gains(struct swap *swap, struct change_set_answer *out)
{
    margin_array margins = {0};
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
