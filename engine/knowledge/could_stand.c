/* SPDX-License-Identifier: MIT */
/* What may stand in a place: of the same family of kinds, or put there by name. */
#include "could_stand.h"

static const struct kind *topmost(const struct vocabulary *vocabulary,
                                  const struct kind *kind)
{
    while (kind != NULL && kind->parent != 0) {
        kind = &vocabulary->kinds[kind->parent - 1];
    }
    return kind;
}

const struct kind *kind_of_with(const struct knowledge *knowledge, name_id with)
{
    const struct part *part = knowledge_part(knowledge, with);
    const struct recipe *recipe = part == NULL ? knowledge_recipe(knowledge, with) : NULL;
    return part != NULL ? part->kind
           : recipe != NULL && recipe->kind != NAME_NONE
               ? vocabulary_kind(knowledge->vocabulary, recipe->kind)
               : NULL;
}

bool same_family(const struct knowledge *knowledge, name_id a, name_id b)
{
    const struct kind *family =
        topmost(knowledge->vocabulary, kind_of_with(knowledge, a));
    return family != NULL &&
           family == topmost(knowledge->vocabulary, kind_of_with(knowledge, b));
}

bool with_has(const struct knowledge *knowledge, name_id with, enum feature_class wanted,
              name_id feature)
{
    const struct part *part = knowledge_part(knowledge, with);
    const struct recipe *recipe = part == NULL ? knowledge_recipe(knowledge, with) : NULL;
    return part != NULL ? part_has(part, wanted, names_text(knowledge->names, feature))
                        : recipe != NULL && recipe_offers(recipe, feature);
}

/* ---- all that could stand somewhere */

static void visit_fillings(const struct filling *fillings, uint32_t count, name_id place,
                           visit_with *visit, void *context)
{
    for (uint32_t i = 0; i < count; i++) {
        if (fillings[i].place == place) {
            visit(context, fillings[i].with);
        }
    }
}

/* What units and parts put in places of this name. */
void visit_named(const struct knowledge *knowledge, name_id place, visit_with *visit,
                 void *context)
{
    for (uint32_t i = 0; i < knowledge->recipe_count; i++) {
        const struct recipe *recipe = &knowledge->recipes[i];
        visit_fillings(recipe->places, recipe->place_count, place, visit, context);
        for (uint32_t g = 0; g < recipe->lines.gap_count; g++) {
            const struct gap_line *gap = &recipe->lines.gaps[g];
            for (uint32_t k = 0; k < gap->set_count; k++) {
                if (gap->set[k].place == place) {
                    visit(context, gap->set[k].stock);
                }
            }
        }
    }
    for (uint32_t i = 0; i < knowledge->part_count; i++) {
        const struct part *part = &knowledge->parts[i];
        visit_fillings(part->goes_with, part->goes_with_count, place, visit, context);
        visit_fillings(part->comes_with, part->comes_with_count, place, visit, context);
    }
}

static void visit_all(const struct knowledge *knowledge, struct place_word place,
                      visit_with *visit, void *context)
{
    const struct vocabulary *vocabulary = knowledge->vocabulary;
    const struct kind *family =
        topmost(vocabulary, kind_of_with(knowledge, place.shipped));
    const bool is_empty = place.shipped == NAME_NONE;
    for (uint32_t i = 0; i < knowledge->part_count; i++) {
        const struct part *part = &knowledge->parts[i];
        if (is_empty || (family != NULL && topmost(vocabulary, part->kind) == family)) {
            visit(context, part->name);
        }
    }
    for (uint32_t i = 0; i < knowledge->recipe_count; i++) {
        const name_id unit = knowledge->recipes[i].name;
        if (is_empty || (family != NULL &&
                         topmost(vocabulary, kind_of_with(knowledge, unit)) == family)) {
            visit(context, unit);
        }
    }
    visit_named(knowledge, place.place, visit, context);
}

/* ---- whether one of them has it */

struct feature_search {
    const struct knowledge *knowledge;
    enum feature_class wanted;
    name_id feature;
    bool is_found;
};

static void look_for_feature(void *context, name_id with)
{
    struct feature_search *search = context;
    search->is_found = search->is_found ||
                       with_has(search->knowledge, with, search->wanted, search->feature);
}

bool could_have(const struct knowledge *knowledge, struct place_word place,
                enum feature_class wanted, name_id feature)
{
    struct feature_search search = {knowledge, wanted, feature, false};
    look_for_feature(&search, place.shipped);
    if (!search.is_found) {
        visit_all(knowledge, place, look_for_feature, &search);
    }
    return search.is_found;
}

struct field_search {
    const struct knowledge *knowledge;
    name_id field;
    bool is_found;
};

static bool is_length(const struct column *column)
{
    return column->kind == COLUMN_QUANTITY &&
           dimension_equal(column->dim, DIMENSION_LENGTH);
}

static void look_for_field(void *context, name_id with)
{
    struct field_search *search = context;
    const struct vocabulary *vocabulary = search->knowledge->vocabulary;
    const struct part *part = knowledge_part(search->knowledge, with);
    const struct kind *kind = part == NULL ? NULL : part->kind;
    while (kind != NULL && !search->is_found) {
        const struct relation_shape *shape = &vocabulary->shapes[kind->relation];
        const int column = vocabulary_column(shape, search->field);
        search->is_found =
            column >= (int)shape->key_count && is_length(&shape->columns[column]);
        kind = kind->parent == 0 ? NULL : &vocabulary->kinds[kind->parent - 1];
    }
}

bool could_have_field(const struct knowledge *knowledge, struct place_word place,
                      text field)
{
    struct field_search search = {knowledge, names_find(knowledge->names, field), false};
    if (search.field != NAME_NONE) {
        look_for_field(&search, place.shipped);
        visit_all(knowledge, place, look_for_field, &search);
    }
    return search.is_found;
}

void offer_lengths(const struct knowledge *knowledge, struct nearest *near)
{
    const struct vocabulary *vocabulary = knowledge->vocabulary;
    for (uint32_t i = 0; i < vocabulary->kind_count; i++) {
        const struct relation_shape *shape =
            &vocabulary->shapes[vocabulary->kinds[i].relation];
        for (uint32_t c = shape->key_count; c < shape->key_count + shape->value_count;
             c++) {
            if (is_length(&shape->columns[c])) {
                nearest_offer(near, names_text(knowledge->names, shape->columns[c].name));
            }
        }
    }
}

/* ---- the words that would have been right */

typedef void visit_word(void *context, text word);

static void visit_features(const struct knowledge *knowledge, name_id with,
                           enum feature_class wanted, visit_word *visit, void *context)
{
    const struct part *part = knowledge_part(knowledge, with);
    const struct recipe *recipe = part == NULL ? knowledge_recipe(knowledge, with) : NULL;
    for (uint32_t i = 0; recipe != NULL && i < recipe->offer_count; i++) {
        visit(context, names_text(knowledge->names, recipe->offers[i].name));
    }
    for (const char *const *field = feature_lists(wanted); part != NULL && *field != NULL;
         field++) {
        const struct node *list = node_field_of(part->document, *field);
        for (uint32_t i = 0; list != NULL && list->kind == NODE_MAP && i < list->count;
             i++) {
            visit(context, list->fields[i].key);
        }
    }
}

static void offer_word(void *context, text word)
{
    nearest_offer(context, word);
}

void offer_features(const struct knowledge *knowledge, name_id with,
                    enum feature_class wanted, struct nearest *near)
{
    visit_features(knowledge, with, wanted, offer_word, near);
}

struct offering {
    const struct knowledge *knowledge;
    enum feature_class wanted;
    struct nearest *near;
};

static void offer_with(void *context, name_id with)
{
    const struct offering *offering = context;
    offer_features(offering->knowledge, with, offering->wanted, offering->near);
}

void offer_all_features(const struct knowledge *knowledge, struct place_word place,
                        enum feature_class wanted, struct nearest *near)
{
    struct offering offering = {knowledge, wanted, near};
    visit_all(knowledge, place, offer_with, &offering);
}

struct word_list {
    struct arena *arena;
    text all;
};

static void list_word(void *context, text word)
{
    struct word_list *list = context;
    list->all = text_format(list->arena, "%.*s%s%.*s", TEXT_ARG(list->all),
                            list->all.length > 0 ? ", " : "", TEXT_ARG(word));
}

text list_features(struct arena *arena, const struct knowledge *knowledge, name_id with,
                   enum feature_class wanted)
{
    struct word_list list = {arena, {"", 0}};
    visit_features(knowledge, with, wanted, list_word, &list);
    return list.all;
}
