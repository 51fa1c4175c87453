/* SPDX-License-Identifier: MIT */
/*
 * From a part's document to its rows under one owner. Every field becomes a value: a
 * quantity with a deviation named "owner.feature.field", a word, a count; a field that
 * nobody wrote becomes a missing one, so that the doubt has a name.
 *
 * A position may hang on another plane of the part, or on the other end of its own run.
 * Positions are therefore worked out on demand and remembered; meeting one that is being
 * worked out means that they hang on each other in a circle.
 */
#include "part.h"

#include "limits.h"
#include "nearest.h"
#include "part_cells.h"
#include "part_runs.h"

/* The document's fields that are no field of the kind and no list of features. */
static const char *const frame_fields[] = {"part",
                                           "title",
                                           "kind",
                                           "source",
                                           "datum",
                                           "comes-with",
                                           "brings",
                                           "partial",
                                           "says",
                                           "general-tolerance",
                                           "material",
                                           "number",
                                           "other-numbers",
                                           "superseded-by",
                                           "mirrors",
                                           "hand",
                                           "price",
                                           "labour",
                                           NULL};

static bool in_list(const char *const *list, text word)
{
    for (; *list != NULL; list++) {
        if (text_is(word, *list)) {
            return true;
        }
    }
    return false;
}

/* Offers every field the part may have, for the nearest word. */
static void offer_fields(const struct builder *builder, struct nearest *near)
{
    const struct vocabulary *vocabulary = builder->around->vocabulary;
    const struct names *names = builder->around->names;
    for (const char *const *frame = frame_fields; *frame != NULL; frame++) {
        nearest_offer(near, text_of(*frame));
    }
    for (uint32_t i = 0; i < vocabulary->listing_count; i++) {
        if (!vocabulary->listings[i].in_unit) {
            nearest_offer(near, names_text(names, vocabulary->listings[i].field));
        }
    }
    const struct kind *kind = builder->part->kind;
    for (;;) {
        const struct relation_shape *shape = &vocabulary->shapes[kind->relation];
        for (uint32_t c = shape->key_count; c < shape->key_count + shape->value_count;
             c++) {
            nearest_offer(near, names_text(names, shape->columns[c].name));
        }
        if (kind->parent == 0) {
            return;
        }
        kind = &vocabulary->kinds[kind->parent - 1];
    }
}

static void refuse_unknown_fields(struct builder *builder)
{
    const struct vocabulary *vocabulary = builder->around->vocabulary;
    const struct node *document = builder->part->document;
    for (uint32_t i = 0; i < document->count; i++) {
        const struct node_field *field = &document->fields[i];
        const name_id name = names_find(builder->around->names, field->key);
        if (in_list(frame_fields, field->key) ||
            kind_with_field(vocabulary, builder->part->kind, name) != NULL ||
            (name != NAME_NONE && vocabulary_listing(vocabulary, name, false) != NULL)) {
            continue;
        }
        struct nearest near = nearest_to(field->key);
        offer_fields(builder, &near);
        struct diagnostic *report = diagnostics_report(
            builder->around->diagnostics, CODE_FIELD_UNKNOWN, field->key_where,
            "a part of kind %.*s has no field \"%.*s\"",
            TEXT_ARG(names_text(builder->around->names, builder->part->kind->name)),
            TEXT_ARG(field->key));
        report->nearest = near.best;
        builder->result = STATUS_INVALID;
    }
}

/* A general tolerance that no table has would leave every bare length unknown without a
 * word. */
static void refuse_unknown_tolerance(struct builder *builder)
{
    const struct general_table *general = builder->around->tables->general;
    const text name = builder->part->general_tolerance;
    struct nearest near = nearest_to(name);
    for (uint32_t i = 0; general != NULL && i < general->count; i++) {
        if (text_equal(general->classes[i].name, name)) {
            return;
        }
        nearest_offer(&near, general->classes[i].name);
    }
    if (name.length == 0 || general == NULL) {
        return;
    }
    struct diagnostic *report = diagnostics_report(
        builder->around->diagnostics, CODE_NAME_UNKNOWN,
        node_field_of(builder->part->document, "general-tolerance")->where,
        "no table has the general tolerance \"%.*s\"", TEXT_ARG(name));
    report->expected = TEXT("ISO 2768-f, -m, -c or -v");
    report->nearest = near.best;
    builder->result = STATUS_INVALID;
}

static void refuse_unknown_material(struct builder *builder)
{
    const struct tables *tables = builder->around->tables;
    const text name = builder->part->material;
    struct nearest near = nearest_to(name);
    if (name.length == 0 || tables_material(tables, name) != NULL) {
        return;
    }
    for (uint32_t i = 0; i < tables->material_count; i++) {
        nearest_offer(&near, tables->materials[i].name);
    }
    struct diagnostic *report =
        diagnostics_report(builder->around->diagnostics, CODE_NAME_UNKNOWN,
                           node_field_of(builder->part->document, "material")->where,
                           "no table has the material \"%.*s\"", TEXT_ARG(name));
    report->expected = TEXT("a material of the table `expansion`");
    report->nearest = near.best;
    builder->result = STATUS_INVALID;
}

/* Fields inside one feature that its relation has no column for. */
static void refuse_unknown_columns(struct builder *builder,
                                   const struct relation_shape *shape,
                                   const struct node *map)
{
    const struct names *names = builder->around->names;
    for (uint32_t i = 0; i < map->count; i++) {
        const name_id name = names_find(names, map->fields[i].key);
        const int column = name == NAME_NONE ? -1 : vocabulary_column(shape, name);
        if (column >= (int)shape->key_count || text_is(map->fields[i].key, "says")) {
            continue;
        }
        struct nearest near = nearest_to(map->fields[i].key);
        for (uint32_t c = shape->key_count; c < shape->key_count + shape->value_count;
             c++) {
            nearest_offer(&near, names_text(names, shape->columns[c].name));
        }
        struct diagnostic *report = diagnostics_report(
            builder->around->diagnostics, CODE_FIELD_UNKNOWN, map->fields[i].key_where,
            "a %.*s has no field \"%.*s\"", TEXT_ARG(names_text(names, shape->name)),
            TEXT_ARG(map->fields[i].key));
        report->nearest = near.best;
        builder->result = STATUS_INVALID;
    }
}

static void add_row(struct builder *builder, relation_id relation, name_id second,
                    const struct value *values, span where)
{
    const name_id key[2] = {builder->owner, second};
    const struct row row = {.relation = relation,
                            .standing = STANDING_SURE,
                            .origin = ORIGIN_FACT,
                            .where = where,
                            .key = key,
                            .values = values};
    const struct row *there = NULL;
    if (store_add(builder->store, &row, &there) == ADDED_CONFLICT) {
        diagnostics_report(builder->around->diagnostics, CODE_VALUES_CONFLICT, where,
                           "this states again, and otherwise, what is already stated");
        builder->result = STATUS_INVALID;
    }
}

/* The values of one row, out of `map` (the feature, or the whole document for a kind). */
static void build_row(struct builder *builder, relation_id relation,
                      const struct listed *listed, const struct node *map)
{
    const struct relation_shape *shape = &builder->around->vocabulary->shapes[relation];
    struct value values[LIMIT_VALUE_COLUMNS] = {0};
    for (uint32_t v = 0; v < shape->value_count; v++) {
        values[v] = cell_value(builder, relation, shape->key_count + v, listed, map);
    }
    add_row(builder, relation, listed == NULL ? NAME_NONE : listed->name, values,
            listed == NULL ? builder->part->where : listed->where);
}

static void build_kinds(struct builder *builder)
{
    const struct vocabulary *vocabulary = builder->around->vocabulary;
    const struct kind *kind = builder->part->kind;
    for (;;) {
        build_row(builder, kind->relation, NULL, builder->part->document);
        if (kind->parent == 0) {
            return;
        }
        kind = &vocabulary->kinds[kind->parent - 1];
    }
}

static void build_piece(struct builder *builder)
{
    relation_id relation = 0;
    const struct part *part = builder->part;
    struct names *names = builder->around->names;
    const struct relation_shape *shape = vocabulary_relation(
        builder->around->vocabulary, names_find(names, TEXT("piece")), &relation);
    const struct {
        const char *column;
        name_id word;
    } cells[] = {
        {"part", part->name},
        {"kind", part->kind->name},
        {"title", names_add(names, part->title)},
        {"hand", part->hand.length > 0 ? names_add(names, part->hand) : NAME_NONE},
        {"material",
         part->material.length > 0 ? names_add(names, part->material) : NAME_NONE}};
    struct value values[LIMIT_VALUE_COLUMNS] = {0};
    for (size_t i = 0; shape != NULL && i < sizeof cells / sizeof *cells; i++) {
        const int column =
            vocabulary_column(shape, names_find(names, text_of(cells[i].column)));
        if (column >= (int)shape->key_count && cells[i].word != NAME_NONE) {
            values[column - (int)shape->key_count] = value_word(cells[i].word);
        }
    }
    if (shape != NULL) {
        add_row(builder, relation, NAME_NONE, values, part->where);
    }
}

void lists_build(struct builder *builder, bool is_definition)
{
    const struct vocabulary *vocabulary = builder->around->vocabulary;
    for (uint32_t i = 0; i < builder->listed_count; i++) {
        const struct listed *listed = &builder->listed[i];
        const struct relation_shape *shape = &vocabulary->shapes[listed->relation];
        if (is_definition) {
            refuse_unknown_columns(builder, shape, listed->map);
        }
        build_row(builder, listed->relation, listed, listed->map);
    }
}

/* ---- runs that overlap */

/* `partial: [runs]`: lists that are not complete. Rules may then not conclude from what
 * is not in them. */
static void build_partial(struct builder *builder)
{
    struct names *names = builder->around->names;
    const struct node *list = node_field_of(builder->part->document, "partial");
    relation_id relation = 0;
    if (list == NULL ||
        vocabulary_relation(builder->around->vocabulary,
                            names_find(names, TEXT("partial")), &relation) == NULL) {
        return;
    }
    if (!node_expect(list, NODE_LIST, "`partial`", builder->around->diagnostics)) {
        builder->result = STATUS_INVALID;
        return;
    }
    for (uint32_t i = 0; i < list->count; i++) {
        const struct node *word = list->items[i];
        const struct listing *listing =
            word->kind == NODE_WORD
                ? vocabulary_listing(builder->around->vocabulary,
                                     names_find(names, word->word), false)
                : NULL;
        if (listing == NULL) {
            diagnostics_report(builder->around->diagnostics, CODE_NAME_UNKNOWN,
                               word->where, "parts have no such list")
                ->expected = TEXT("faces, stations, runs, bands, ports or bolt-circles");
            builder->result = STATUS_INVALID;
            continue;
        }
        add_row(builder, relation,
                builder->around->vocabulary->shapes[listing->relation].name, NULL,
                word->where);
    }
}

status part_build(const struct part_surroundings *surroundings, const struct part *part,
                  name_id piece, name_id place, struct given_value *given,
                  uint32_t given_count, struct store *store)
{
    struct builder builder = {.around = surroundings,
                              .part = part,
                              .owner = piece,
                              .place = place,
                              .given = given,
                              .given_count = given_count,
                              .store = store,
                              .result = STATUS_OK};
    const bool is_definition = piece == part->name;
    TRY(cells_open(&builder));
    if (is_definition) {
        refuse_unknown_fields(&builder);
        refuse_unknown_tolerance(&builder);
        refuse_unknown_material(&builder);
    }
    build_piece(&builder);
    build_kinds(&builder);
    lists_build(&builder, is_definition);
    build_partial(&builder);
    if (is_definition || given_count > 0) {
        refuse_crossed_runs(&builder);
    }
    TRY(arena_status(surroundings->arena));
    return builder.result;
}
