/* SPDX-License-Identifier: MIT */
/* Every danger that a kind names has its caution, and every caution a kind that has the
 * danger. */
#include "lint_private.h"

#include "nearest.h"

static bool has_caution(const struct closing *closing, name_id danger)
{
    for (uint32_t i = 0; i < closing->caution_count; i++) {
        if (closing->cautions[i].danger == danger) {
            return true;
        }
    }
    return false;
}

static status check_kind(struct linting *linting, const struct kind *kind)
{
    const struct names *names = linting->knowledge->names;
    for (uint32_t i = 0; i < kind->danger_count; i++) {
        if (!has_caution(&linting->knowledge->closing, kind->dangers[i])) {
            TRY(lint_add(
                linting,
                (struct lint_fault){.of = TEXT("kind"),
                                    .name = names_text(names, kind->name),
                                    .where = kind->where,
                                    .rule = TEXT("danger-without-caution"),
                                    .sentence = text_format(
                                        linting->arena,
                                        "nothing is said of the danger \"%.*s\": a "
                                        "closing needs it under "
                                        "`cautions`",
                                        TEXT_ARG(names_text(names, kind->dangers[i])))}));
        }
    }
    return STATUS_OK;
}

static status check_caution(struct linting *linting, const struct danger_caution *caution)
{
    const struct vocabulary *vocabulary = linting->knowledge->vocabulary;
    const struct names *names = linting->knowledge->names;
    const text word = names_text(names, caution->danger);
    struct nearest near = nearest_to(word);
    for (uint32_t i = 0; i < vocabulary->kind_count; i++) {
        for (uint32_t k = 0; k < vocabulary->kinds[i].danger_count; k++) {
            if (vocabulary->kinds[i].dangers[k] == caution->danger) {
                return STATUS_OK;
            }
            nearest_offer(&near, names_text(names, vocabulary->kinds[i].dangers[k]));
        }
    }
    return lint_add(
        linting,
        (struct lint_fault){.of = TEXT("caution"),
                            .name = word,
                            .where = caution->where,
                            .rule = TEXT("caution-without-danger"),
                            .sentence = text_format(
                                linting->arena, "no kind names this danger%s%.*s%s",
                                near.best.length > 0 ? "; did you mean \"" : "",
                                TEXT_ARG(near.best), near.best.length > 0 ? "\"?" : "")});
}

status lint_dangers(struct linting *linting)
{
    const struct knowledge *knowledge = linting->knowledge;
    for (uint32_t i = 0; i < knowledge->vocabulary->kind_count; i++) {
        TRY(check_kind(linting, &knowledge->vocabulary->kinds[i]));
    }
    for (uint32_t i = 0; i < knowledge->closing.caution_count; i++) {
        TRY(check_caution(linting, &knowledge->closing.cautions[i]));
    }
    return STATUS_OK;
}
