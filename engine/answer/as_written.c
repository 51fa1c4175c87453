/* SPDX-License-Identifier: MIT */
/*
 * A question that changes no piece but gives values asks what the unit is like with them.
 * The unit as it is written is then what it is judged against: it is asked of once more,
 * without the values, and its findings stand where the host's would.
 */
#include "swap_private.h"

static bool is_of_values_alone(const struct question *question)
{
    return question->change_count == 0 && question->given_count > 0;
}

status findings_pair_as_written(struct swap *swap)
{
    struct question question = *swap->question;
    struct answer *written = NULL;
    if (!is_of_values_alone(&question)) {
        return STATUS_OK;
    }
    question.given_count = 0;
    question.is_trial = true;
    TRY(swap_answer(swap->arena, swap->knowledge, &question, swap->limits,
                    swap->diagnostics, &written));
    for (uint32_t i = 0; i < swap->findings.count; i++) {
        struct finding *one = &swap->findings.at[i];
        one->host = NULL;
        for (uint32_t k = 0; k < written->finding_count && one->host == NULL; k++) {
            const struct finding *other = &written->findings[k];
            if (other->kind == FINDING_BY_RULE && same_subject(one, other)) {
                one->host = other;
            }
        }
    }
    return STATUS_OK;
}
