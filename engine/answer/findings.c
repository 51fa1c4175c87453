/* SPDX-License-Identifier: MIT */
/*
 * Gathers the rows of all finding relations that the question's own layer holds, for the
 * swap and for the host, and pairs each of the swap's with the host's of the same rule
 * and subject. Subjects are compared as they are shown: a replaced piece has the name of
 * its place on both sides.
 */
#include "swap_private.h"

#include <stdlib.h>

bool finding_names(const struct finding *finding, name_id piece)
{
    for (uint32_t i = 0; finding->row != NULL && i < finding->rule->key_count; i++) {
        if (finding->row->key[i] == piece) {
            return true;
        }
    }
    return false;
}

static text blank_text(struct swap *swap, struct value value)
{
    double nominal = 0;
    switch (value.kind) {
    case VALUE_QUANTITY:
        if (value.quantity != NULL && form_nominal(value.quantity, &nominal)) {
            return magnitude_write(swap->arena, value.quantity->dim, nominal, -1);
        }
        return value.quantity == NULL ? TEXT("?")
                                      : form_write(swap->arena, value.quantity);
    case VALUE_COUNT:
        return text_format(swap->arena, "%lld", (long long)value.count);
    case VALUE_WORD:
        return layer_shown(&swap->layer, value.word);
    case VALUE_TRUTH:
        return value.truth == TRUTH_YES ? TEXT("yes") : TEXT("no");
    case VALUE_MISSING:
    case VALUE_NONE:
        break;
    }
    return TEXT("(not known)");
}

text sentence_fill(struct swap *swap, const struct sentence *sentence,
                   const struct chain_node *node)
{
    text done = {"", 0};
    for (uint32_t i = 0; i < sentence->count; i++) {
        const struct sentence_piece *piece = &sentence->pieces[i];
        text blank = {"", 0};
        if (piece->formula != NULL) {
            struct formula_frame frame = {.slots = node->slots,
                                          .arena = swap->arena,
                                          .names = swap->layer.names,
                                          .world = swap->layer.assembly};
            blank = blank_text(swap, formula_run(piece->formula, &frame));
        }
        done = text_format(swap->arena, "%.*s%.*s%.*s", TEXT_ARG(done),
                           TEXT_ARG(piece->literal), TEXT_ARG(blank));
    }
    return done;
}

enum outcome outcome_of(const struct swap *swap, const struct row *row)
{
    const text word = names_text(swap->layer.names, row->values[FINDING_OUTCOME].word);
    for (enum outcome outcome = OUTCOME_HOLDS; outcome <= OUTCOME_UNKNOWN; outcome++) {
        if (text_is(word, outcome_word(outcome))) {
            return outcome;
        }
    }
    return OUTCOME_UNKNOWN;
}

static void fill_subject(struct swap *swap, struct finding *finding)
{
    const struct rule *rule = finding->rule;
    struct subject_entry *subject =
        ARENA_MANY(swap->arena, rule->key_count, struct subject_entry);
    for (uint32_t i = 0; subject != NULL && i < rule->key_count; i++) {
        const struct rule_variable *variable = &rule->variables[rule->keys[i]];
        const name_id key = finding->row->key[i];
        subject[i].column = variable->name;
        subject[i].value = variable->is_number_key
                               ? text_format(swap->arena, "%lu", (unsigned long)key)
                               : layer_shown(&swap->layer, key);
    }
    finding->subject = subject;
    finding->subject_count = subject == NULL ? 0 : rule->key_count;
}

static int compare_shares(const void *a, const void *b)
{
    const struct contributor *left = a;
    const struct contributor *right = b;
    if (left->share != right->share) {
        return left->share < right->share ? 1 : -1;
    }
    return text_compare(left->of->name, right->of->name);
}

static void fill_contributors(struct swap *swap, struct finding *finding)
{
    const struct form *margin = finding->margin;
    struct contributor *list =
        ARENA_MANY(swap->arena, margin->term_count, struct contributor);
    for (uint32_t i = 0; list != NULL && i < margin->term_count; i++) {
        list[i].of = margin->terms[i].of;
        list[i].share = form_share(margin, i);
        form_turning(margin, i, &list[i].holds_from, &list[i].fails_from);
    }
    finding->contributors = list;
    finding->contributor_count = list == NULL ? 0 : margin->term_count;
    if (finding->contributor_count > 1) {
        qsort(list, finding->contributor_count, sizeof *list, compare_shares);
    }
}

static status make_finding(struct swap *swap, const struct rule *rule,
                           const struct row *row, struct finding *out)
{
    const uint32_t index = chain_of(&swap->chain, row);
    TRY(swap->chain.result);
    const struct chain_node *node = &swap->chain.nodes.at[index];
    *out = (struct finding){.kind = FINDING_BY_RULE,
                            .rule = rule,
                            .name = names_text(swap->layer.names, rule->name),
                            .outcome = outcome_of(swap, row),
                            .weight = rule->weight,
                            .standing = row->standing,
                            .doubt = row_doubt(row),
                            .margin = row->values[FINDING_MARGIN].quantity,
                            .source = rule->source,
                            .row = row};
    fill_subject(swap, out);
    fill_contributors(swap, out);
    out->sentence = out->outcome == OUTCOME_FAILS || rule->answers_sheet
                        ? sentence_fill(swap, &rule->because, node)
                        : rule->says;
    return arena_status(swap->arena);
}

static status gather_rule(struct swap *swap, const struct rule *rule)
{
    const uint32_t first = store_count(swap->knowledge->base, rule->finding);
    const uint32_t end = store_count(swap->layer.store, rule->finding);
    for (uint32_t i = first; i < end; i++) {
        const struct row *row = store_row(swap->layer.store, rule->finding, i);
        struct finding made = {0};
        const bool is_swap = unit_owns(&swap->layer, &swap->swapped, row->key[0]);
        const bool is_host = unit_owns(&swap->layer, &swap->host, row->key[0]);
        if (!is_swap && !is_host) {
            continue;
        }
        TRY(make_finding(swap, rule, row, &made));
        if ((is_swap && !ARRAY_PUSH(swap->arena, &swap->findings, made)) ||
            (is_host && !ARRAY_PUSH(swap->arena, &swap->host_findings, made))) {
            return arena_status(swap->arena);
        }
    }
    return STATUS_OK;
}

bool same_subject(const struct finding *a, const struct finding *b)
{
    if (a->rule != b->rule) {
        return false;
    }
    for (uint32_t i = 0; i < a->subject_count; i++) {
        if (!text_equal(a->subject[i].value, b->subject[i].value)) {
            return false;
        }
    }
    return true;
}

static int compare_findings(const void *a, const void *b)
{
    const struct finding *left = a;
    const struct finding *right = b;
    int order = text_compare(left->name, right->name);
    for (uint32_t i = 0; order == 0 && i < left->subject_count; i++) {
        order = text_compare(left->subject[i].value, right->subject[i].value);
    }
    return order;
}

static void pair(struct swap *swap)
{
    for (uint32_t i = 0; i < swap->findings.count; i++) {
        struct finding *one = &swap->findings.at[i];
        for (uint32_t k = 0; k < swap->host_findings.count; k++) {
            if (same_subject(one, &swap->host_findings.at[k])) {
                one->host = &swap->host_findings.at[k];
                break;
            }
        }
    }
}

static bool is_asked_by(const struct rule *rule, text command)
{
    return text_is(command, "lint")    ? rule->answers_lint
           : text_is(command, "sheet") ? rule->answers_swap || rule->answers_sheet
                                       : rule->answers_swap;
}

status findings_gather(struct swap *swap)
{
    const struct rule_base *rules = swap->knowledge->rules;
    for (uint32_t i = 0; i < rules->rule_count; i++) {
        const struct rule *rule = &rules->rules[i];
        if (rule->has_check && is_asked_by(rule, swap->question->command)) {
            TRY(gather_rule(swap, &rules->rules[i]));
        }
    }
    if (swap->host_findings.count > 1) {
        qsort(swap->host_findings.at, swap->host_findings.count, sizeof(struct finding),
              compare_findings);
    }
    pair(swap);
    return arena_status(swap->arena);
}
