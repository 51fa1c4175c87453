/* SPDX-License-Identifier: MIT */
/* Words in formulas: what a choice is compared with must be one of its choices, or the
 * comparison could never come out. */
#include "rule_reader.h"

#include "nearest.h"

/* The column of choices that a condition binds the variable by; NULL: there is none. */
static const struct column *choices_of(const struct rule_reader *reader,
                                       uint32_t variable)
{
    const struct rule *rule = &reader->draft->rule;
    for (uint32_t i = 0; i < rule->given_count; i++) {
        const uint32_t at = rule->given[i].terms == NULL /* it was at fault */
                                ? UINT32_MAX
                                : rule_column_of(reader, &rule->given[i], variable);
        if (at != UINT32_MAX) {
            const struct column *column =
                &reader->shapes[rule->given[i].relation].columns[at];
            return column->choice_count > 0 ? column : NULL;
        }
    }
    return NULL;
}

static void check_word(void *context, uint32_t variable, text word, span where)
{
    struct rule_reader *reader = context;
    const struct column *column = choices_of(reader, variable);
    struct nearest near = nearest_to(word);
    for (uint32_t i = 0; column != NULL && i < column->choice_count; i++) {
        const text choice = names_text(reader->around->names, column->choices[i]);
        if (text_equal(choice, word)) {
            return;
        }
        nearest_offer(&near, choice);
    }
    if (column != NULL) {
        struct diagnostic *report = diagnostics_report(
            reader->diagnostics, CODE_CHOICE_UNKNOWN, where,
            "\"%.*s\" is no choice for %.*s: this never comes out", TEXT_ARG(word),
            TEXT_ARG(names_text(reader->around->names, column->name)));
        report->nearest = near.best;
        reader->is_wrong = true;
    }
}

void rule_check_words(struct rule_reader *reader, const struct formula *formula)
{
    formula_compared_words(formula, check_word, reader);
}
