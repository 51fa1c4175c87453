/* SPDX-License-Identifier: MIT */
/*
 * Reads vocabulary documents. Everything is gathered as drafts first and sorted by name,
 * so that neither the order of files nor of fields shows in a relation's number; then
 * kinds find the kind they are.
 */
#include "vocabulary.h"

#include "array.h"
#include "limits.h"

#include <stdlib.h>

struct draft {
    struct relation_shape shape;
    struct column_manner *manners;
    name_id listed_as; /* NAME_NONE: not listed */
    bool in_unit;
    bool is_kind;
    name_id parent;
    span parent_where;
    const name_id *asks;
    uint32_t ask_count;
};

struct reader {
    struct arena *arena;
    struct names *names;
    struct diagnostics *diagnostics;
    ARRAY_OF(struct draft) drafts;
    bool is_wrong;
};

/* What qsort needs beside the drafts. */
struct sort_entry {
    text name;
    struct draft draft;
};

static struct diagnostic *report(struct reader *reader, enum diagnostic_code code,
                                 span where, const char *message)
{
    reader->is_wrong = true;
    return diagnostics_report(reader->diagnostics, code, where, "%s", message);
}

static bool expect(struct reader *reader, const struct node *node, enum node_kind kind,
                   const char *what)
{
    const bool is_right = node_expect(node, kind, what, reader->diagnostics);
    reader->is_wrong = reader->is_wrong || !is_right;
    return is_right;
}

static void refuse_others(struct reader *reader, const struct node *map,
                          const char *const *known, const char *what)
{
    const uint32_t before = diagnostics_count(reader->diagnostics);
    node_refuse_others(map, known, what, reader->diagnostics);
    reader->is_wrong =
        reader->is_wrong || diagnostics_count(reader->diagnostics) > before;
}

static text word_or_empty(struct reader *reader, const struct node *map, const char *key)
{
    const struct node *word = node_field_of(map, key);
    return word != NULL && expect(reader, word, NODE_WORD, key) ? word->word
                                                                : (text){"", 0};
}

static bool flag_or_false(struct reader *reader, const struct node *map, const char *key)
{
    const struct node *word = node_field_of(map, key);
    bool flag = false;
    if (word != NULL && !node_flag(word, reader->diagnostics, &flag)) {
        reader->is_wrong = true;
    }
    return flag;
}

/* ---- columns */

static void read_choices(struct reader *reader, const struct node *list,
                         struct column *out)
{
    if (!expect(reader, list, NODE_LIST, "`choice`")) {
        return;
    }
    name_id *choices = ARENA_MANY(reader->arena, list->count, name_id);
    for (uint32_t i = 0; choices != NULL && i < list->count; i++) {
        if (expect(reader, list->items[i], NODE_WORD, "a choice")) {
            choices[i] = names_add(reader->names, list->items[i]->word);
        }
    }
    out->kind = COLUMN_WORD;
    out->choices = choices;
    out->choice_count = choices == NULL ? 0 : list->count;
}

static void read_dimension(struct reader *reader, const struct node *word,
                           struct column *out)
{
    out->kind = COLUMN_QUANTITY;
    if (!expect(reader, word, NODE_WORD, "`quantity`") ||
        dimension_find(word->word, &out->dim)) {
        return;
    }
    struct nearest near = nearest_to(word->word);
    dimension_offer_all(&near);
    struct diagnostic *made =
        report(reader, CODE_VOCABULARY_WRONG, word->where, "there is no such dimension");
    made->expected = TEXT("length, angle, pressure, hardness-hrc, ratio, …");
    made->nearest = near.best;
}

static void read_value_column(struct reader *reader, const struct node_field *field,
                              struct column *out, struct column_manner *manner)
{
    static const char *const known[] = {"quantity", "position", "count", "word",
                                        "choice",   "got-by",   "due",   "optional",
                                        "exact",    "default",  "says",  NULL};
    const struct node *map = field->value;
    out->name = names_add(reader->names, field->key);
    out->kind = COLUMN_WORD;
    if (!expect(reader, map, NODE_MAP, "a column")) {
        return;
    }
    refuse_others(reader, map, known, "a column");
    const struct node *quantity = node_field_of(map, "quantity");
    const struct node *choice = node_field_of(map, "choice");
    manner->is_position = flag_or_false(reader, map, "position");
    const bool is_count = flag_or_false(reader, map, "count");
    const bool is_word = flag_or_false(reader, map, "word");
    if ((quantity != NULL) + (choice != NULL) + manner->is_position + is_count +
            is_word !=
        1) {
        report(reader, CODE_VOCABULARY_WRONG, field->key_where, "a column has one type")
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
    out->got_by = word_or_empty(reader, map, "got-by");
    manner->is_due = flag_or_false(reader, map, "due");
    manner->is_optional = flag_or_false(reader, map, "optional");
    manner->is_exact = flag_or_false(reader, map, "exact");
    const text standard = word_or_empty(reader, map, "default");
    manner->standard =
        standard.length > 0 ? names_add(reader->names, standard) : NAME_NONE;
}

static void read_key_column(struct reader *reader, const struct node_field *field,
                            struct column *out)
{
    out->name = names_add(reader->names, field->key);
    if (!expect(reader, field->value, NODE_WORD, "a key column")) {
        return;
    }
    const bool is_number = text_is(field->value->word, "number");
    out->kind = is_number ? COLUMN_NUMBER : COLUMN_NAME;
    if (!is_number && !text_is(field->value->word, "name")) {
        report(reader, CODE_VOCABULARY_WRONG, field->value->where,
               "a key column holds names or counts")
            ->expected = TEXT("name or number");
    }
}

/* The columns of a draft, out of a map of keys (NULL: only `piece`) and a map of values.
 */
static void read_columns(struct reader *reader, const struct node *keys,
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
        report(reader, CODE_VOCABULARY_WRONG, draft->shape.where,
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
    draft->shape.columns = columns;
    draft->shape.key_count = key_count;
    draft->shape.value_count = value_count;
    draft->manners = manners;
}

/* ---- relations and kinds */

static void read_filled_by(struct reader *reader, const struct node *map,
                           struct draft *draft)
{
    static const char *const words[] = {"facts", "rules", "computing"};
    const struct node *word = NULL;
    if (!node_word(map, "filled-by", "a relation", reader->diagnostics, &word)) {
        reader->is_wrong = true;
        return;
    }
    for (int i = 0; i < 3; i++) {
        if (text_is(word->word, words[i])) {
            draft->shape.filled = (enum filled_by)i;
            return;
        }
    }
    report(reader, CODE_VOCABULARY_WRONG, word->where,
           "a relation is filled by one of three")
        ->expected = TEXT("facts, rules or computing");
}

/* Parts fill a relation they list by owner and feature, `partial` by owner and list, and
 * `piece` by owner alone. */
static void refuse_other_keys(struct reader *reader, const struct draft *draft)
{
    const text name = names_text(reader->names, draft->shape.name);
    const bool is_piece = text_is(name, "piece");
    const bool is_partial = text_is(name, "partial");
    const bool is_listed = draft->listed_as != NAME_NONE && !draft->in_unit;
    bool is_right = draft->shape.key_count == (is_piece ? 1 : 2) &&
                    !(is_partial && draft->shape.value_count > 0);
    for (uint32_t c = 0; c < draft->shape.key_count; c++) {
        is_right = is_right && draft->shape.columns[c].kind == COLUMN_NAME;
    }
    if ((is_piece || is_partial || is_listed) && !is_right) {
        report(reader, CODE_VOCABULARY_WRONG, draft->shape.where,
               "parts cannot fill a relation of these columns")
            ->expected = is_piece     ? TEXT("key: {piece: name}")
                         : is_partial ? TEXT("key: {piece: name, list: name}, values: {}")
                                      : TEXT("key: {OWNER: name, FEATURE: name}");
    }
}

static void read_relation(struct reader *reader, const struct node_field *field)
{
    static const char *const known[] = {"says", "filled-by", "listed-as", "listed-in",
                                        "key",  "values",    "owner",     NULL};
    const struct node *map = field->value;
    struct draft draft = {.shape = {.name = names_add(reader->names, field->key),
                                    .is_owned = true,
                                    .where = field->key_where}};
    if (!expect(reader, map, NODE_MAP, "a relation")) {
        return;
    }
    refuse_others(reader, map, known, "a relation");
    const struct node *keys = node_field_of(map, "key");
    const struct node *values = node_field_of(map, "values");
    if (keys == NULL) {
        report(reader, CODE_FIELD_MISSING, field->key_where, "a relation needs `key`")
            ->expected = TEXT("key: {OWNER: name, …}");
        return;
    }
    if (!expect(reader, keys, NODE_MAP, "`key`") ||
        (values != NULL && !expect(reader, values, NODE_MAP, "`values`"))) {
        return;
    }
    draft.shape.says = word_or_empty(reader, map, "says");
    draft.shape.is_owned = !text_is(word_or_empty(reader, map, "owner"), "none");
    read_filled_by(reader, map, &draft);
    read_columns(reader, keys, values, &draft);
    const text listed_as = word_or_empty(reader, map, "listed-as");
    if (listed_as.length > 0) {
        draft.listed_as = names_add(reader->names, listed_as);
        draft.in_unit = text_is(word_or_empty(reader, map, "listed-in"), "unit");
    }
    refuse_other_keys(reader, &draft);
    if (!ARRAY_PUSH(reader->arena, &reader->drafts, draft)) {
        reader->is_wrong = true;
    }
}

static void read_asks(struct reader *reader, const struct node *list, struct draft *draft)
{
    if (list == NULL || !expect(reader, list, NODE_LIST, "`asks`")) {
        return;
    }
    name_id *asks = ARENA_MANY(reader->arena, list->count, name_id);
    for (uint32_t i = 0; asks != NULL && i < list->count; i++) {
        if (expect(reader, list->items[i], NODE_WORD, "a rule's name")) {
            asks[i] = names_add(reader->names, list->items[i]->word);
        }
    }
    draft->asks = asks;
    draft->ask_count = asks == NULL ? 0 : list->count;
}

static void read_kind(struct reader *reader, const struct node_field *field)
{
    static const char *const known[] = {"is", "says", "asks", "fields", NULL};
    const struct node *map = field->value;
    struct draft draft = {.shape = {.name = names_add(reader->names, field->key),
                                    .is_owned = true,
                                    .filled = FILLED_BY_FACTS,
                                    .where = field->key_where},
                          .is_kind = true};
    if (!expect(reader, map, NODE_MAP, "a kind")) {
        return;
    }
    refuse_others(reader, map, known, "a kind");
    const struct node *is = node_field_of(map, "is");
    const struct node *fields = node_field_of(map, "fields");
    if (is != NULL && expect(reader, is, NODE_WORD, "`is`")) {
        draft.parent = names_add(reader->names, is->word);
        draft.parent_where = is->where;
    }
    if (fields != NULL && !expect(reader, fields, NODE_MAP, "`fields`")) {
        return;
    }
    draft.shape.says = word_or_empty(reader, map, "says");
    read_asks(reader, node_field_of(map, "asks"), &draft);
    read_columns(reader, NULL, fields, &draft);
    if (!ARRAY_PUSH(reader->arena, &reader->drafts, draft)) {
        reader->is_wrong = true;
    }
}

static void read_document(struct reader *reader, const struct node *document)
{
    static const char *const known[] = {"relations", "kinds", "says", "source", NULL};
    const struct node *relations = node_field_of(document, "relations");
    const struct node *kinds = node_field_of(document, "kinds");
    refuse_others(reader, document, known, "a vocabulary");
    if (relations != NULL && expect(reader, relations, NODE_MAP, "`relations`")) {
        for (uint32_t i = 0; i < relations->count; i++) {
            read_relation(reader, &relations->fields[i]);
        }
    }
    if (kinds != NULL && expect(reader, kinds, NODE_MAP, "`kinds`")) {
        for (uint32_t i = 0; i < kinds->count; i++) {
            read_kind(reader, &kinds->fields[i]);
        }
    }
}

/* ---- joining */

static int compare_entries(const void *a, const void *b)
{
    const struct sort_entry *left = a;
    const struct sort_entry *right = b;
    const int order = text_compare(left->name, right->name);
    return order != 0 ? order
                      : (left->draft.shape.where.at > right->draft.shape.where.at) -
                            (left->draft.shape.where.at < right->draft.shape.where.at);
}

static status sort_drafts(struct reader *reader)
{
    const uint32_t count = reader->drafts.count;
    struct sort_entry *entries = ARENA_MANY(reader->arena, count, struct sort_entry);
    TRY(arena_status(reader->arena));
    for (uint32_t i = 0; i < count; i++) {
        entries[i] = (struct sort_entry){
            names_text(reader->names, reader->drafts.at[i].shape.name),
            reader->drafts.at[i]};
    }
    if (count > 1) {
        qsort(entries, count, sizeof *entries, compare_entries);
    }
    for (uint32_t i = 0; i < count; i++) {
        reader->drafts.at[i] = entries[i].draft;
        if (i > 0 && entries[i].draft.shape.name == entries[i - 1].draft.shape.name) {
            struct diagnostic *made =
                report(reader, CODE_NAME_DOUBLED, entries[i].draft.shape.where,
                       "this relation or kind is declared twice");
            diagnostic_note_add(made, entries[i - 1].draft.shape.where,
                                TEXT("the other declaration is here"));
        }
    }
    return STATUS_OK;
}

static uint32_t find_kind(const struct vocabulary *made, name_id name)
{
    const struct kind *found = vocabulary_kind(made, name);
    return found == NULL ? 0 : (uint32_t)(found - made->kinds) + 1;
}

static void find_parent(struct reader *reader, const struct vocabulary *made,
                        const struct draft *draft, struct kind *kind)
{
    kind->parent = find_kind(made, draft->parent);
    if (kind->parent != 0) {
        return;
    }
    struct nearest near = nearest_to(names_text(reader->names, draft->parent));
    for (uint32_t i = 0; i < made->kind_count; i++) {
        nearest_offer(&near, names_text(reader->names, made->kinds[i].name));
    }
    report(reader, CODE_NAME_UNKNOWN, draft->parent_where, "there is no such kind")
        ->nearest = near.best;
}

static void refuse_circles(struct reader *reader, const struct vocabulary *made)
{
    for (uint32_t i = 0; i < made->kind_count; i++) {
        uint32_t at = made->kinds[i].parent;
        for (uint32_t steps = 0; at != 0; steps++) {
            if (steps > made->kind_count) {
                report(reader, CODE_VOCABULARY_WRONG, made->kinds[i].where,
                       "kinds may not be each other in a circle");
                return;
            }
            at = made->kinds[at - 1].parent;
        }
    }
}

static status join_drafts(struct reader *reader, struct vocabulary *made)
{
    const uint32_t count = reader->drafts.count;
    struct relation_shape *shapes =
        ARENA_MANY(reader->arena, count, struct relation_shape);
    const struct column_manner **manners =
        ARENA_MANY(reader->arena, count, const struct column_manner *);
    struct listing *listings = ARENA_MANY(reader->arena, count, struct listing);
    struct kind *kinds = ARENA_MANY(reader->arena, count, struct kind);
    TRY(arena_status(reader->arena));
    for (uint32_t i = 0; i < count; i++) {
        const struct draft *draft = &reader->drafts.at[i];
        shapes[i] = draft->shape;
        manners[i] = draft->manners;
        if (draft->listed_as != NAME_NONE) {
            listings[made->listing_count++] =
                (struct listing){draft->listed_as, i, draft->in_unit};
        }
        if (draft->is_kind) {
            kinds[made->kind_count++] = (struct kind){.name = draft->shape.name,
                                                      .relation = i,
                                                      .asks = draft->asks,
                                                      .ask_count = draft->ask_count,
                                                      .says = draft->shape.says,
                                                      .where = draft->shape.where};
        }
    }
    made->shapes = shapes;
    made->shape_count = count;
    made->manners = manners;
    made->listings = listings;
    made->kinds = kinds;
    for (uint32_t i = 0, k = 0; i < count; i++) {
        if (reader->drafts.at[i].is_kind && reader->drafts.at[i].parent != NAME_NONE) {
            find_parent(reader, made, &reader->drafts.at[i], &kinds[k]);
        }
        k += reader->drafts.at[i].is_kind ? 1 : 0;
    }
    refuse_circles(reader, made);
    return STATUS_OK;
}

status vocabulary_read(struct arena *arena, struct names *names,
                       const struct node *const *documents, uint32_t count,
                       struct diagnostics *diagnostics, const struct vocabulary **out)
{
    struct reader reader = {.arena = arena, .names = names, .diagnostics = diagnostics};
    struct vocabulary *made = ARENA_NEW(arena, struct vocabulary);
    for (uint32_t i = 0; made != NULL && i < count; i++) {
        read_document(&reader, documents[i]);
    }
    TRY(arena_status(arena));
    if (count == 0) {
        report(&reader, CODE_VOCABULARY_WRONG, SPAN_NONE, "no vocabulary was loaded");
    }
    TRY(sort_drafts(&reader));
    TRY(join_drafts(&reader, made));
    TRY(arena_status(arena));
    *out = made;
    return reader.is_wrong ? STATUS_INVALID : STATUS_OK;
}
