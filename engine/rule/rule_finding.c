/* SPDX-License-Identifier: MIT */
/*
 * The relation that a check fills: named like its rule, with the rule's key variables as
 * key columns (the owner first) and the margin and outcome as values.
 */
#include "rule_reader.h"

#include "limits.h"

/* Where a key variable stands: by column, those of the owner's own rows first. It depends
 * on what the conditions say, not on their order, and reads as the relation does: seal,
 * band, what it is on. */
static uint32_t key_rank(const struct rule *rule, const struct relation_shape *shapes,
                         uint32_t owner, uint32_t variable)
{
    uint32_t rank = UINT32_MAX;
    for (uint32_t i = 0; i < rule->given_count; i++) {
        const struct condition *one = &rule->given[i];
        const bool is_owners =
            one->terms[0].kind == TERM_VARIABLE && one->terms[0].variable == owner;
        for (uint32_t c = 0; c < shapes[one->relation].key_count; c++) {
            const uint32_t here = c + (is_owners ? 0 : LIMIT_KEY_COLUMNS);
            if (one->terms[c].kind == TERM_VARIABLE &&
                one->terms[c].variable == variable && here < rank) {
                rank = here;
            }
        }
    }
    return rank;
}

static bool key_before(const struct rule_reader *reader, const struct rule *rule,
                       uint32_t owner, uint32_t a, uint32_t b)
{
    const uint32_t rank_a = key_rank(rule, reader->shapes, owner, a);
    const uint32_t rank_b = key_rank(rule, reader->shapes, owner, b);
    return rank_a != rank_b ? rank_a < rank_b
                            : text_compare(reader->variables.at[a].name,
                                           reader->variables.at[b].name) < 0;
}

/* The key variables, the owner first. */
static void find_keys(struct rule_reader *reader)
{
    struct rule *rule = &reader->draft->rule;
    ARRAY_OF(uint32_t) keys = {0};
    const uint32_t owner = rule_find_owner(reader, rule);
    if (owner == UINT32_MAX || !ARRAY_PUSH(reader->arena, &keys, owner)) {
        return;
    }
    for (uint32_t i = 0; i < reader->variables.count; i++) {
        uint32_t to = keys.count;
        if (i == owner || !reader->variables.at[i].is_key || reader->hidden.at[i]) {
            continue;
        }
        if (!ARRAY_PUSH(reader->arena, &keys, i)) {
            return;
        }
        for (; to > 1 && key_before(reader, rule, owner, i, keys.at[to - 1]); to--) {
            keys.at[to] = keys.at[to - 1];
        }
        keys.at[to] = i;
    }
    rule->keys = keys.at;
    rule->key_count = keys.count;
}

/* The columns of the values are there already. */
static void refuse_value_names(struct rule_reader *reader, const struct rule *rule)
{
    for (uint32_t i = 0; i < rule->key_count; i++) {
        const text key = reader->variables.at[rule->keys[i]].name;
        if (text_is(key, "margin") || text_is(key, "outcome")) {
            rule_report(reader, CODE_NAME_DOUBLED, rule->where,
                        text_format(diagnostics_arena(reader->diagnostics),
                                    "$%.*s is called like what a check finds",
                                    TEXT_ARG(key)))
                ->expected = TEXT("another name than $margin and $outcome");
        }
    }
}

void rule_finding_shape(struct rule_reader *reader)
{
    struct rule *rule = &reader->draft->rule;
    struct names *names = reader->around->names;
    find_keys(reader);
    if (rule->key_count == 0 || rule->key_count > LIMIT_KEY_COLUMNS) {
        rule_report(reader, CODE_RULE_WRONG, rule->where,
                    TEXT("a check needs between 1 and 8 variables in key columns"));
        return;
    }
    refuse_value_names(reader, rule);
    const uint32_t count = rule->key_count + FINDING_VALUES;
    struct column *columns = ARENA_MANY(reader->arena, count, struct column);
    name_id *outcomes = ARENA_MANY(reader->arena, 4, name_id);
    if (columns == NULL || outcomes == NULL) {
        return;
    }
    for (uint32_t i = 0; i < rule->key_count; i++) {
        const struct rule_variable *key = &reader->variables.at[rule->keys[i]];
        columns[i].name = names_add(names, key->name);
        columns[i].kind = key->is_number_key ? COLUMN_NUMBER : COLUMN_NAME;
    }
    for (int i = 0; i < 4; i++) {
        outcomes[i] = names_add(names, text_of(outcome_word((enum outcome)i)));
    }
    columns[rule->key_count + FINDING_MARGIN] = (struct column){
        .name = names_add(names, TEXT("margin")),
        .kind = COLUMN_QUANTITY,
        .dim = rule->margin == NULL ? DIMENSION_RATIO : formula_type(rule->margin).dim};
    columns[rule->key_count + FINDING_OUTCOME] =
        (struct column){.name = names_add(names, TEXT("outcome")),
                        .kind = COLUMN_WORD,
                        .choices = outcomes,
                        .choice_count = 4,
                        .is_outcome = true};
    reader->shapes[rule->finding] = (struct relation_shape){.name = rule->name,
                                                            .filled = FILLED_BY_RULES,
                                                            .is_owned = true,
                                                            .key_count = rule->key_count,
                                                            .value_count = FINDING_VALUES,
                                                            .columns = columns,
                                                            .says = rule->says,
                                                            .where = rule->where};
}
