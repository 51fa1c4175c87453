/* SPDX-License-Identifier: MIT */
/* The columns of relations and kinds: what type a value has, and how it is written. */
#include "vocabulary_reader.h"

#include "limits.h"

static void read_choices(struct vocabulary_reader *reader, const struct node *list,
                         struct column *out)
{
    if (!vocabulary_expect(reader, list, NODE_LIST, "`choice`")) {
        return;
    }
    if (list->count == 0) {
        vocabulary_report(reader, CODE_VOCABULARY_WRONG, list->where,
                          "there is nothing to choose")
            ->expected = TEXT("choice: [WORD, WORD]");
    }
    name_id *choices = ARENA_MANY(reader->arena, list->count, name_id);
    for (uint32_t i = 0; choices != NULL && i < list->count; i++) {
        if (vocabulary_expect(reader, list->items[i], NODE_WORD, "a choice")) {
            choices[i] = names_add(reader->names, list->items[i]->word);
        }
    }
    out->kind = COLUMN_WORD;
    out->choices = choices;
    out->choice_count = choices == NULL ? 0 : list->count;
}

static void read_dimension(struct vocabulary_reader *reader, const struct node *word,
                           struct column *out)
{
    out->kind = COLUMN_QUANTITY;
    if (!vocabulary_expect(reader, word, NODE_WORD, "`quantity`") ||
        dimension_find(word->word, &out->dim)) {
        return;
    }
    struct nearest near = nearest_to(word->word);
    dimension_offer_all(&near);
    struct diagnostic *made = vocabulary_report(
        reader, CODE_VOCABULARY_WRONG, word->where, "there is no such dimension");
    made->expected = TEXT("length, angle, pressure, hardness-hrc, ratio, …");
    made->nearest = near.best;
}

/* What an unwritten word column stands for: a word that may be written there. */
static name_id read_default(struct vocabulary_reader *reader, const struct node *map,
                            const struct column *column)
{
    const struct node *word = node_field_of(map, "default");
    if (word == NULL || !vocabulary_expect(reader, word, NODE_WORD, "`default`")) {
        return NAME_NONE;
    }
    const name_id name = names_add(reader->names, word->word);
    struct nearest near = nearest_to(word->word);
    bool is_choice = column->choices == NULL;
    for (uint32_t i = 0; i < column->choice_count; i++) {
        is_choice = is_choice || column->choices[i] == name;
        nearest_offer(&near, names_text(reader->names, column->choices[i]));
    }
    if (column->kind != COLUMN_WORD) {
        vocabulary_report(reader, CODE_VOCABULARY_WRONG, word->where,
                          "only a word or a choice has a default");
    } else if (!is_choice) {
        vocabulary_report(reader, CODE_CHOICE_UNKNOWN, word->where,
                          "this is none of the choices")
            ->nearest = near.best;
    }
    return name;
}

/* `better: more` or `less`: a figure by which two machines are set side by side. */
static enum better read_better(struct vocabulary_reader *reader, const struct node *map,
                               const struct column *column)
{
    static const char *const words[] = {"more", "less", NULL};
    const struct node *word = node_field_of(map, "better");
    if (word == NULL || !vocabulary_expect(reader, word, NODE_WORD, "`better`")) {
        return BETTER_NEITHER;
    }
    if (column->kind != COLUMN_QUANTITY) {
        vocabulary_report(reader, CODE_VOCABULARY_WRONG, word->where,
                          "only a quantity is better when it is more or less");
    } else if (!text_is(word->word, "more") && !text_is(word->word, "less")) {
        vocabulary_refuse_word(reader, word, words, "a figure is better one way");
    }
    return text_is(word->word, "less") ? BETTER_LESS : BETTER_MORE;
}

static void read_value_column(struct vocabulary_reader *reader,
                              const struct node_field *field, struct column *out,
                              struct column_manner *manner)
{
    static const char *const known[] = {
        "quantity", "position", "count",  "word",         "choice",   "got-by",
        "due",      "optional", "exact",  "edge",         "positive", "default",
        "says",     "better",   "figure", "counted-from", "reads",    NULL};
    const struct node *map = field->value;
    out->name = names_add(reader->names, field->key);
    out->kind = COLUMN_WORD;
    if (!vocabulary_expect(reader, map, NODE_MAP, "a column")) {
        return;
    }
    vocabulary_refuse_others(reader, map, known, "a column");
    const struct node *quantity = node_field_of(map, "quantity");
    const struct node *choice = node_field_of(map, "choice");
    manner->is_position = vocabulary_flag(reader, map, "position");
    const bool is_count = vocabulary_flag(reader, map, "count");
    const bool is_word = vocabulary_flag(reader, map, "word");
    if ((quantity != NULL) + (choice != NULL) + manner->is_position + is_count +
            is_word !=
        1) {
        vocabulary_report(reader, CODE_VOCABULARY_WRONG, field->key_where,
                          "a column has one type")
            ->expected = TEXT("one of quantity: DIMENSION, position: true, count: true, "
                              "word: true, choice: […]");
    } else if (quantity != NULL) {
        read_dimension(reader, quantity, out);
    } else if (choice != NULL) {
        read_choices(reader, choice, out);
    } else if (manner->is_position) {
        out->kind = COLUMN_QUANTITY;
        out->dim = DIMENSION_LENGTH;
    } else if (is_count) {
        out->kind = COLUMN_COUNT;
    }
    out->got_by = vocabulary_word(reader, map, "got-by");
    manner->is_due = vocabulary_flag(reader, map, "due");
    manner->is_optional = vocabulary_flag(reader, map, "optional");
    manner->is_exact = vocabulary_flag(reader, map, "exact");
    manner->is_edge = vocabulary_flag(reader, map, "edge");
    manner->is_positive = vocabulary_flag(reader, map, "positive");
    if (manner->is_positive && out->kind != COLUMN_QUANTITY) {
        vocabulary_report(reader, CODE_VOCABULARY_WRONG, field->key_where,
                          "only a quantity is positive");
    }
    manner->standard = read_default(reader, map, out);
    manner->better = read_better(reader, map, out);
    const bool is_figure = vocabulary_flag(reader, map, "figure");
    if (is_figure && out->kind != COLUMN_QUANTITY) {
        vocabulary_report(reader, CODE_VOCABULARY_WRONG, field->key_where,
                          "only a quantity is a figure");
    }
    manner->counted_from = vocabulary_word(reader, map, "counted-from");
    manner->reads_written = node_field_of(map, "reads");
    manner->is_figure = is_figure || manner->better != BETTER_NEITHER;
}

static void read_key_column(struct vocabulary_reader *reader,
                            const struct node_field *field, struct column *out)
{
    static const char *const words[] = {"name", "number", NULL};
    out->name = names_add(reader->names, field->key);
    if (!vocabulary_expect(reader, field->value, NODE_WORD, "a key column")) {
        return;
    }
    const bool is_number = text_is(field->value->word, "number");
    out->kind = is_number ? COLUMN_NUMBER : COLUMN_NAME;
    if (!is_number && !text_is(field->value->word, "name")) {
        vocabulary_refuse_word(reader, field->value, words,
                               "a key column holds names or counts");
    }
}

/* A key and a value column of one name could not be told apart. */
static void refuse_doubled(struct vocabulary_reader *reader, const struct node *keys,
                           const struct node *values, const struct column *columns)
{
    const uint32_t key_count = keys == NULL ? 1 : keys->count;
    for (uint32_t i = 0; values != NULL && i < values->count; i++) {
        for (uint32_t k = 0; k < key_count; k++) {
            if (columns[key_count + i].name != columns[k].name) {
                continue;
            }
            struct diagnostic *made =
                vocabulary_report(reader, CODE_NAME_DOUBLED, values->fields[i].key_where,
                                  "a key column has this name");
            diagnostic_note_add(made,
                                keys == NULL ? SPAN_NONE : keys->fields[k].key_where,
                                keys == NULL ? TEXT("the key of a kind is `piece`")
                                             : TEXT("it is declared here"));
        }
    }
}

void vocabulary_columns(struct vocabulary_reader *reader, const struct node *keys,
                        const struct node *values, struct draft *draft)
{
    const uint32_t key_count = keys == NULL ? 1 : keys->count;
    const uint32_t value_count = values == NULL ? 0 : values->count;
    struct column *columns =
        ARENA_MANY(reader->arena, (size_t)key_count + value_count, struct column);
    struct column_manner *manners =
        ARENA_MANY(reader->arena, (size_t)key_count + value_count, struct column_manner);
    if (columns == NULL || manners == NULL) {
        return;
    }
    if (key_count == 0 || key_count > LIMIT_KEY_COLUMNS ||
        value_count > LIMIT_VALUE_COLUMNS) {
        vocabulary_report(
            reader, CODE_VOCABULARY_WRONG, draft->shape.where,
            "a relation has 1 to 8 key columns and at most 40 value columns");
        return;
    }
    if (keys == NULL) {
        columns[0] = (struct column){.name = names_add(reader->names, TEXT("piece")),
                                     .kind = COLUMN_NAME};
    }
    for (uint32_t i = 0; keys != NULL && i < key_count; i++) {
        read_key_column(reader, &keys->fields[i], &columns[i]);
    }
    for (uint32_t i = 0; i < value_count; i++) {
        read_value_column(reader, &values->fields[i], &columns[key_count + i],
                          &manners[key_count + i]);
    }
    refuse_doubled(reader, keys, values, columns);
    draft->shape.columns = columns;
    draft->shape.key_count = key_count;
    draft->shape.value_count = value_count;
    draft->manners = manners;
}
