/* SPDX-License-Identifier: MIT */
/*
 * What a relation or kind says of being looked at: by what such a feature is seen,
 * whether that needs no dismantling, and which of its columns are hints.
 */
#include "vocabulary_reader.h"

/* The column that a word names; -1 (reported) where there is none. */
static int hinted_column(struct vocabulary_reader *reader,
                         const struct relation_shape *shape, const struct node *word)
{
    if (!vocabulary_expect(reader, word, NODE_WORD, "a column")) {
        return -1;
    }
    struct nearest near = nearest_to(word->word);
    const int column = vocabulary_column(shape, names_find(reader->names, word->word));
    for (uint32_t c = 0; c < shape->key_count + shape->value_count; c++) {
        nearest_offer(&near, names_text(reader->names, shape->columns[c].name));
    }
    if (column < 0) {
        vocabulary_report(reader, CODE_NAME_UNKNOWN, word->where,
                          "this relation has no such column")
            ->nearest = near.best;
    }
    return column;
}

/* One end of a range of counts. */
static int hinted_end(struct vocabulary_reader *reader,
                      const struct relation_shape *shape, const struct node *map,
                      const char *key)
{
    const struct node *word = node_field_of(map, key);
    const int column = word == NULL ? -1 : hinted_column(reader, shape, word);
    if (column >= 0 && shape->columns[column].kind != COLUMN_COUNT) {
        vocabulary_report(reader, CODE_VOCABULARY_WRONG, word->where,
                          "a hint from one number to another needs counts");
    }
    return column;
}

/* {WORD: COLUMN} or {WORD: {from: COLUMN, to: COLUMN}} */
static void read_hint(struct vocabulary_reader *reader,
                      const struct relation_shape *shape, const struct node_field *field,
                      struct hint *out)
{
    static const char *const known[] = {"from", "to", NULL};
    *out =
        (struct hint){.word = names_add(reader->names, field->key), .from = -1, .to = -1};
    if (field->value->kind == NODE_MAP) {
        vocabulary_refuse_others(reader, field->value, known, "a hint");
        out->from = hinted_end(reader, shape, field->value, "from");
        out->to = hinted_end(reader, shape, field->value, "to");
    } else {
        out->from = hinted_column(reader, shape, field->value);
        out->to = out->from;
    }
}

/* The hint that a word of `typed-as` names; NULL (reported): there is none. */
static const struct hint *typed_hint(struct vocabulary_reader *reader,
                                     const struct node *words, text word,
                                     const struct relation_look *look)
{
    const name_id name = names_find(reader->names, word);
    struct nearest near = nearest_to(word);
    for (uint32_t i = 0; i < look->hint_count; i++) {
        if (look->hints[i].word == name) {
            return &look->hints[i];
        }
        nearest_offer(&near, names_text(reader->names, look->hints[i].word));
    }
    struct diagnostic *report = vocabulary_report(
        reader, CODE_VOCABULARY_WRONG, words->where, "this is no hint of the relation");
    report->expected = TEXT("two of its hints: a name, and a number after it");
    report->nearest = near.best;
    return NULL;
}

/* typed-as: NAME NUMBER */
static void read_typed(struct vocabulary_reader *reader, const struct node *map,
                       struct relation_look *look)
{
    const struct node *words = node_field_of(map, "typed-as");
    if (words == NULL || !vocabulary_expect(reader, words, NODE_WORD, "`typed-as`")) {
        return;
    }
    const size_t blank = text_find(words->word, ' ', 0);
    look->typed_name = typed_hint(reader, words, text_slice(words->word, 0, blank), look);
    look->typed_number =
        typed_hint(reader, words,
                   text_trim(text_slice(words->word, blank, words->word.length)), look);
}

void vocabulary_look(struct vocabulary_reader *reader, const struct node *map,
                     struct draft *draft)
{
    const struct node *hints = node_field_of(map, "hints");
    struct relation_look *look = &draft->look;
    look->seen_by = vocabulary_word(reader, map, "seen-by");
    look->is_open_to_view = vocabulary_flag(reader, map, "open-to-view");
    if (hints == NULL || !vocabulary_expect(reader, hints, NODE_MAP, "`hints`")) {
        return;
    }
    struct hint *made = ARENA_MANY(reader->arena, hints->count, struct hint);
    for (uint32_t i = 0; made != NULL && i < hints->count; i++) {
        read_hint(reader, &draft->shape, &hints->fields[i], &made[i]);
    }
    look->hints = made;
    look->hint_count = made == NULL ? 0 : hints->count;
    read_typed(reader, map, look);
}
