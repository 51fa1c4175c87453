/* SPDX-License-Identifier: MIT */
/*
 * Reads aggregates. A condition of one binds variables that stand for nothing outside it:
 * they are hidden once it is read. What a column adds up to is taken from a column that
 * the condition itself gives a variable, so that the value hangs from the row alone and
 * the same rows give the same number wherever they are summed.
 */
#include "rule_reader.h"

/* The words a tally is written under, as the enum has them. */
static const char *const tally_words[] = {"count", "sum", "least", "greatest", "every"};

static text quoted(struct rule_reader *reader, enum tally_kind kind)
{
    return text_format(diagnostics_arena(reader->diagnostics), "`%s`", tally_words[kind]);
}

static void read_count(struct rule_reader *reader, const struct node_field *field,
                       struct tally *out)
{
    const uint32_t first = reader->variables.count;
    *out = (struct tally){.kind = TALLY_COUNT, .where = field->key_where};
    (void)rule_condition(reader, field->value, &out->of);
    rule_hide(reader, first);
    rule_new_name(reader, field);
    out->result = rule_variable_add(
        reader, (struct rule_variable){.name = field->key,
                                       .type = {TYPE_QUANTITY, true, DIMENSION_RATIO},
                                       .is_computed = true,
                                       .where = field->key_where});
}

/* `of` and what is asked of its rows; false (reported) when either is not there. */
static bool find_parts(struct rule_reader *reader, const struct node *item,
                       enum tally_kind kind, const char *asked, const struct node **of,
                       const struct node **what)
{
    const char *const known[] = {"of", asked, NULL};
    const text word = quoted(reader, kind);
    const bool is_every = kind == TALLY_EVERY;
    if (!rule_expect(reader, item, NODE_MAP, word.at)) {
        return false;
    }
    node_refuse_others(item, known, word.at, reader->diagnostics);
    *of = node_field_of(item, "of");
    *what = node_field_of(item, asked);
    if (*of != NULL && *what != NULL) {
        return true;
    }
    rule_report(reader, CODE_RULE_WRONG, item->where,
                text_format(diagnostics_arena(reader->diagnostics),
                            "%.*s needs `of` and `%s`", TEXT_ARG(word), asked))
        ->expected = is_every ? TEXT("{of: {RELATION: {…}}, is: FORMULA}")
                              : TEXT("{of: {RELATION: {…, COLUMN: $x}}, value: $x}");
    return false;
}

/* The variable whose values are taken; NULL (reported) when the condition binds none of
 * that name, or no number. */
static const struct rule_variable *
find_value(struct rule_reader *reader, const struct node *word, struct tally *tally)
{
    const bool is_variable = word->word.length > 1 && word->word.at[0] == '$';
    const uint32_t slot =
        is_variable
            ? rule_variable_find(reader, text_slice(word->word, 1, word->word.length))
            : UINT32_MAX;
    tally->column =
        slot == UINT32_MAX ? UINT32_MAX : rule_column_of(reader, &tally->of, slot);
    if (tally->column == UINT32_MAX) {
        rule_report(reader, CODE_VARIABLE_LOOSE, word->where,
                    TEXT("this is no variable of the rows in `of`"))
            ->expected = TEXT("a $variable that stands in a column there");
        return NULL;
    }
    const struct rule_variable *variable = &reader->variables.at[slot];
    if (variable->type.kind != TYPE_QUANTITY) {
        rule_report(reader, CODE_FORMULA_TYPE, word->where,
                    text_format(diagnostics_arena(reader->diagnostics),
                                "there is no %s of words", tally_words[tally->kind]))
            ->expected = TEXT("a $variable of a column of quantities or counts");
        return NULL;
    }
    return variable;
}

static void read_amount(struct rule_reader *reader, enum tally_kind kind,
                        const struct node_field *field, struct tally *out)
{
    const uint32_t first = reader->variables.count;
    const struct node *of = NULL;
    const struct node *value = NULL;
    struct rule_variable result = {
        .name = field->key, .is_computed = true, .where = field->key_where};
    bool is_right = false;
    *out = (struct tally){.kind = kind, .where = field->key_where};
    if (find_parts(reader, field->value, kind, "value", &of, &value) &&
        rule_condition(reader, of, &out->of) &&
        rule_expect(reader, value, NODE_WORD, "`value`")) {
        const struct rule_variable *variable = find_value(reader, value, out);
        is_right = variable != NULL;
        result.type = is_right ? variable->type : result.type;
    }
    rule_hide(reader, first);
    rule_new_name(reader, field);
    if (is_right) {
        out->result = rule_variable_add(reader, result);
    } else {
        rule_variable_poison(reader, field->key);
    }
}

static void read_every(struct rule_reader *reader, const struct node *item,
                       struct tally *out)
{
    const uint32_t first = reader->variables.count;
    const struct node *of = NULL;
    const struct node *is = NULL;
    *out = (struct tally){.kind = TALLY_EVERY, .where = item->where};
    if (find_parts(reader, item, TALLY_EVERY, "is", &of, &is)) {
        (void)rule_condition(reader, of, &out->of);
        out->is = rule_truth(reader, is, "`is`");
        rule_hide(reader, first);
    }
}

/* What stands under one of the words; NULL (reported) when it has another shape. */
static const struct node *tallies_under(struct rule_reader *reader, enum tally_kind kind)
{
    if (kind == TALLY_EVERY) {
        return rule_list(reader, tally_words[kind]);
    }
    const struct node *map = node_field_of(reader->draft->map, tally_words[kind]);
    return map != NULL && rule_expect(reader, map, NODE_MAP, quoted(reader, kind).at)
               ? map
               : NULL;
}

void rule_read_tallies(struct rule_reader *reader)
{
    struct rule *rule = &reader->draft->rule;
    const struct node *under[TALLY_EVERY + 1];
    size_t room = 0;
    for (int kind = 0; kind <= TALLY_EVERY; kind++) {
        under[kind] = tallies_under(reader, (enum tally_kind)kind);
        room += under[kind] == NULL ? 0 : under[kind]->count;
    }
    struct tally *tallies = ARENA_MANY(reader->arena, room, struct tally);
    for (int kind = 0; tallies != NULL && kind <= TALLY_EVERY; kind++) {
        for (uint32_t i = 0; under[kind] != NULL && i < under[kind]->count; i++) {
            struct tally *out = &tallies[rule->tally_count++];
            if (kind == TALLY_COUNT) {
                read_count(reader, &under[kind]->fields[i], out);
            } else if (kind == TALLY_EVERY) {
                read_every(reader, under[kind]->items[i], out);
            } else {
                read_amount(reader, (enum tally_kind)kind, &under[kind]->fields[i], out);
            }
        }
    }
    rule->tallies = tallies;
}
