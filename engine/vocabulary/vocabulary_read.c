/* SPDX-License-Identifier: MIT */
/*
 * Reads vocabulary documents. Everything is gathered as drafts first and sorted by name,
 * so that neither the order of files nor of fields shows in a relation's number; then
 * kinds find the kind they are.
 */
#include "vocabulary_reader.h"

#include <stdlib.h>

/* What qsort needs beside the drafts. */
struct sort_entry {
    text name;
    struct draft draft;
};

struct diagnostic *vocabulary_report(struct vocabulary_reader *reader,
                                     enum diagnostic_code code, span where,
                                     const char *message)
{
    reader->is_wrong = true;
    return diagnostics_report(reader->diagnostics, code, where, "%s", message);
}

bool vocabulary_expect(struct vocabulary_reader *reader, const struct node *node,
                       enum node_kind kind, const char *what)
{
    const bool is_right = node_expect(node, kind, what, reader->diagnostics);
    reader->is_wrong = reader->is_wrong || !is_right;
    return is_right;
}

void vocabulary_refuse_others(struct vocabulary_reader *reader, const struct node *map,
                              const char *const *known, const char *what)
{
    const uint32_t before = diagnostics_count(reader->diagnostics);
    node_refuse_others(map, known, what, reader->diagnostics);
    reader->is_wrong =
        reader->is_wrong || diagnostics_count(reader->diagnostics) > before;
}

void vocabulary_refuse_word(struct vocabulary_reader *reader, const struct node *word,
                            const char *const *allowed, const char *message)
{
    struct nearest near = nearest_to(word->word);
    text all = {"", 0};
    for (uint32_t i = 0; allowed[i] != NULL; i++) {
        nearest_offer(&near, text_of(allowed[i]));
        all = text_format(diagnostics_arena(reader->diagnostics), "%.*s%s%s",
                          TEXT_ARG(all), i == 0 ? "" : ", ", allowed[i]);
    }
    struct diagnostic *made =
        vocabulary_report(reader, CODE_VOCABULARY_WRONG, word->where, message);
    made->expected = all;
    made->nearest = near.best;
}

text vocabulary_word(struct vocabulary_reader *reader, const struct node *map,
                     const char *key)
{
    const struct node *word = node_field_of(map, key);
    return word != NULL && vocabulary_expect(reader, word, NODE_WORD, key) ? word->word
                                                                           : map->word;
}

bool vocabulary_flag(struct vocabulary_reader *reader, const struct node *map,
                     const char *key)
{
    const struct node *word = node_field_of(map, key);
    bool flag = false;
    if (word != NULL && !node_flag(word, reader->diagnostics, &flag)) {
        reader->is_wrong = true;
    }
    return flag;
}

uint32_t vocabulary_choice(struct vocabulary_reader *reader, const struct node *map,
                           const char *key, const char *const *allowed)
{
    const struct node *word = node_field_of(map, key);
    if (word == NULL || !vocabulary_expect(reader, word, NODE_WORD, key)) {
        return 0;
    }
    for (uint32_t i = 0; allowed[i] != NULL; i++) {
        if (text_is(word->word, allowed[i])) {
            return i;
        }
    }
    vocabulary_refuse_word(reader, word, allowed, "this word says nothing here");
    return 0;
}

/* ---- relations and kinds */

static enum filled_by read_filled_by(struct vocabulary_reader *reader,
                                     const struct node *map)
{
    static const char *const words[] = {"facts", "rules", "computing", NULL};
    const struct node *word = NULL;
    if (!node_word(map, "filled-by", "a relation", reader->diagnostics, &word)) {
        reader->is_wrong = true;
        return FILLED_BY_FACTS;
    }
    return (enum filled_by)vocabulary_choice(reader, map, "filled-by", words);
}

/* Parts and units fill a relation they list by owner and feature, `partial` by owner and
 * list, and `piece` by owner alone. */
static void refuse_other_keys(struct vocabulary_reader *reader, const struct draft *draft)
{
    const text name = names_text(reader->names, draft->shape.name);
    const bool is_piece = text_is(name, "piece");
    const bool is_partial = text_is(name, "partial");
    const bool is_listed = draft->listed_as != NAME_NONE;
    bool is_right = draft->shape.key_count == (is_piece ? 1 : 2) &&
                    !(is_partial && draft->shape.value_count > 0);
    for (uint32_t c = 0; c < draft->shape.key_count; c++) {
        is_right = is_right && draft->shape.columns[c].kind == COLUMN_NAME;
    }
    if ((is_piece || is_partial || is_listed) && !is_right) {
        vocabulary_report(reader, CODE_VOCABULARY_WRONG, draft->shape.where,
                          "parts and units cannot fill a relation of these columns")
            ->expected = is_piece     ? TEXT("key: {piece: name}")
                         : is_partial ? TEXT("key: {piece: name, list: name}, values: {}")
                                      : TEXT("key: {OWNER: name, FEATURE: name}");
    }
}

static void read_relation(struct vocabulary_reader *reader,
                          const struct node_field *field)
{
    static const char *const known[] = {"says",  "filled-by",    "listed-as", "listed-in",
                                        "key",   "values",       "owner",     "seen-by",
                                        "hints", "open-to-view", "typed-as",  NULL};
    static const char *const no_owner[] = {"none", NULL};
    static const char *const lists[] = {"part", "unit", NULL};
    const struct node *map = field->value;
    struct draft draft = {.shape = {.name = names_add(reader->names, field->key),
                                    .is_owned = true,
                                    .where = field->key_where}};
    if (!vocabulary_expect(reader, map, NODE_MAP, "a relation")) {
        return;
    }
    vocabulary_refuse_others(reader, map, known, "a relation");
    const struct node *keys = node_field_of(map, "key");
    const struct node *values = node_field_of(map, "values");
    if (keys == NULL) {
        vocabulary_report(reader, CODE_FIELD_MISSING, field->key_where,
                          "a relation needs `key`")
            ->expected = TEXT("key: {OWNER: name, …}");
        return;
    }
    if (!vocabulary_expect(reader, keys, NODE_MAP, "`key`") ||
        (values != NULL && !vocabulary_expect(reader, values, NODE_MAP, "`values`"))) {
        return;
    }
    draft.shape.says = vocabulary_word(reader, map, "says");
    draft.shape.is_owned = node_field_of(map, "owner") == NULL ||
                           vocabulary_choice(reader, map, "owner", no_owner) != 0;
    draft.shape.filled = read_filled_by(reader, map);
    vocabulary_columns(reader, keys, values, &draft);
    vocabulary_look(reader, map, &draft);
    const text listed_as = vocabulary_word(reader, map, "listed-as");
    draft.in_unit = vocabulary_choice(reader, map, "listed-in", lists) == 1;
    if (listed_as.length > 0) {
        draft.listed_as = names_add(reader->names, listed_as);
    }
    refuse_other_keys(reader, &draft);
    if (!ARRAY_PUSH(reader->arena, &reader->drafts, draft)) {
        reader->is_wrong = true;
    }
}

/* A list of words as names; none where it is not there or at fault. */
static const name_id *read_names(struct vocabulary_reader *reader, const struct node *map,
                                 const char *key, const char *what, uint32_t *count)
{
    const struct node *list = node_field_of(map, key);
    *count = 0;
    if (list == NULL || !vocabulary_expect(reader, list, NODE_LIST,
                                           text_format(reader->arena, "`%s`", key).at)) {
        return NULL;
    }
    name_id *made = ARENA_MANY(reader->arena, list->count, name_id);
    for (uint32_t i = 0; made != NULL && i < list->count; i++) {
        if (vocabulary_expect(reader, list->items[i], NODE_WORD, what)) {
            made[i] = names_add(reader->names, list->items[i]->word);
        }
    }
    *count = made == NULL ? 0 : list->count;
    return made;
}

static void read_kind(struct vocabulary_reader *reader, const struct node_field *field)
{
    static const char *const known[] = {"is",           "says",  "asks",
                                        "dangers",      "drawn", "fields",
                                        "open-to-view", "usual", NULL};
    const struct node *map = field->value;
    struct draft draft = {.shape = {.name = names_add(reader->names, field->key),
                                    .is_owned = true,
                                    .filled = FILLED_BY_FACTS,
                                    .where = field->key_where},
                          .is_kind = true};
    if (!vocabulary_expect(reader, map, NODE_MAP, "a kind")) {
        return;
    }
    vocabulary_refuse_others(reader, map, known, "a kind");
    const struct node *is = node_field_of(map, "is");
    const struct node *fields = node_field_of(map, "fields");
    if (is != NULL && vocabulary_expect(reader, is, NODE_WORD, "`is`")) {
        draft.parent = names_add(reader->names, is->word);
        draft.parent_where = is->where;
    }
    if (fields != NULL && !vocabulary_expect(reader, fields, NODE_MAP, "`fields`")) {
        return;
    }
    draft.shape.says = vocabulary_word(reader, map, "says");
    draft.asks = read_names(reader, map, "asks", "a rule's name", &draft.ask_count);
    draft.dangers = read_names(reader, map, "dangers", "a danger", &draft.danger_count);
    draft.drawn = vocabulary_drawn(reader, map);
    draft.usual = node_field_of(map, "usual");
    vocabulary_columns(reader, NULL, fields, &draft);
    vocabulary_look(reader, map, &draft);
    if (!ARRAY_PUSH(reader->arena, &reader->drafts, draft)) {
        reader->is_wrong = true;
    }
}

static void read_document(struct vocabulary_reader *reader, const struct node *document)
{
    static const char *const known[] = {"relations", "kinds", "says", "source", NULL};
    const struct node *relations = node_field_of(document, "relations");
    const struct node *kinds = node_field_of(document, "kinds");
    vocabulary_refuse_others(reader, document, known, "a vocabulary");
    if (relations != NULL &&
        vocabulary_expect(reader, relations, NODE_MAP, "`relations`")) {
        for (uint32_t i = 0; i < relations->count; i++) {
            read_relation(reader, &relations->fields[i]);
        }
    }
    if (kinds != NULL && vocabulary_expect(reader, kinds, NODE_MAP, "`kinds`")) {
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

static status sort_drafts(struct vocabulary_reader *reader)
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
                vocabulary_report(reader, CODE_NAME_DOUBLED, entries[i].draft.shape.where,
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

static void find_parent(struct vocabulary_reader *reader, const struct vocabulary *made,
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
    vocabulary_report(reader, CODE_NAME_UNKNOWN, draft->parent_where,
                      "there is no such kind")
        ->nearest = near.best;
}

static void refuse_circles(struct vocabulary_reader *reader,
                           const struct vocabulary *made)
{
    for (uint32_t i = 0; i < made->kind_count; i++) {
        uint32_t at = made->kinds[i].parent;
        for (uint32_t steps = 0; at != 0; steps++) {
            if (steps > made->kind_count) {
                vocabulary_report(reader, CODE_VOCABULARY_WRONG, made->kinds[i].where,
                                  "kinds may not be each other in a circle");
                return;
            }
            at = made->kinds[at - 1].parent;
        }
    }
}

/* Two relations read from one list would each take all of it. */
static void refuse_shared_list(struct vocabulary_reader *reader,
                               const struct vocabulary *made,
                               const struct listing *listing)
{
    const struct listing *other =
        vocabulary_listing(made, listing->field, listing->in_unit);
    if (other != listing) {
        struct diagnostic *doubled = vocabulary_report(
            reader, CODE_NAME_DOUBLED, made->shapes[listing->relation].where,
            "another relation is listed under the same field");
        diagnostic_note_add(doubled, made->shapes[other->relation].where,
                            TEXT("it is declared here"));
    }
}

static status join_drafts(struct vocabulary_reader *reader, struct vocabulary *made)
{
    const uint32_t count = reader->drafts.count;
    struct relation_shape *shapes =
        ARENA_MANY(reader->arena, count, struct relation_shape);
    const struct column_manner **manners =
        ARENA_MANY(reader->arena, count, const struct column_manner *);
    struct relation_look *looks = ARENA_MANY(reader->arena, count, struct relation_look);
    struct listing *listings = ARENA_MANY(reader->arena, count, struct listing);
    struct kind *kinds = ARENA_MANY(reader->arena, count, struct kind);
    TRY(arena_status(reader->arena));
    for (uint32_t i = 0; i < count; i++) {
        const struct draft *draft = &reader->drafts.at[i];
        shapes[i] = draft->shape;
        manners[i] = draft->manners;
        looks[i] = draft->look;
        if (draft->listed_as != NAME_NONE) {
            listings[made->listing_count++] =
                (struct listing){draft->listed_as, i, draft->in_unit};
        }
        if (draft->is_kind) {
            kinds[made->kind_count++] = (struct kind){.name = draft->shape.name,
                                                      .relation = i,
                                                      .asks = draft->asks,
                                                      .ask_count = draft->ask_count,
                                                      .dangers = draft->dangers,
                                                      .danger_count = draft->danger_count,
                                                      .drawn = draft->drawn,
                                                      .says = draft->shape.says,
                                                      .where = draft->shape.where};
        }
    }
    made->shapes = shapes;
    made->shape_count = count;
    made->manners = manners;
    made->looks = looks;
    made->listings = listings;
    made->kinds = kinds;
    for (uint32_t i = 0, k = 0; i < count; i++) {
        if (reader->drafts.at[i].is_kind && reader->drafts.at[i].parent != NAME_NONE) {
            find_parent(reader, made, &reader->drafts.at[i], &kinds[k]);
        }
        k += reader->drafts.at[i].is_kind ? 1 : 0;
    }
    for (uint32_t i = 0; i < made->listing_count; i++) {
        refuse_shared_list(reader, made, &listings[i]);
    }
    refuse_circles(reader, made);
    vocabulary_usual(reader, made, kinds);
    if (!reader->is_wrong) {
        vocabulary_drawn_check(reader, made);
    }
    return STATUS_OK;
}

status vocabulary_read(struct arena *arena, struct names *names,
                       const struct node *const *documents, uint32_t count,
                       struct diagnostics *diagnostics, const struct vocabulary **out)
{
    struct vocabulary_reader reader = {
        .arena = arena, .names = names, .diagnostics = diagnostics};
    struct vocabulary *made = ARENA_NEW(arena, struct vocabulary);
    for (uint32_t i = 0; made != NULL && i < count; i++) {
        read_document(&reader, documents[i]);
    }
    TRY(arena_status(arena));
    if (count == 0) {
        vocabulary_report(&reader, CODE_VOCABULARY_WRONG, SPAN_NONE,
                          "no vocabulary was loaded");
    }
    TRY(sort_drafts(&reader));
    TRY(join_drafts(&reader, made));
    TRY(arena_status(arena));
    *out = made;
    return reader.is_wrong ? STATUS_INVALID : STATUS_OK;
}
