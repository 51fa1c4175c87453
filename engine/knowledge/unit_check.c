/* SPDX-License-Identifier: MIT */
/*
 * Whether the names in a unit's lines lead somewhere. A line that names nothing would
 * fall away, and what it was to look at would be missed in silence: so a place must be
 * one of the unit's, and a feature one that the shipped part has or another part for the
 * place could have (could_stand.h).
 */
#include "unit_check.h"

#include "could_stand.h"

struct diagnostic *refuse_name(struct checking *checking, span where, text message)
{
    checking->is_wrong = true;
    return diagnostics_add(checking->diagnostics, CODE_NAME_UNKNOWN, where, message);
}

static text word_of(const struct checking *checking, name_id name)
{
    return names_text(checking->knowledge->names, name);
}

static struct arena *arena_of(const struct checking *checking)
{
    return diagnostics_arena(checking->diagnostics);
}

/* ---- places */

static text list_places(const struct checking *checking, const struct recipe *recipe)
{
    text all = {"", 0};
    for (uint32_t i = 0; i < recipe->place_count; i++) {
        all = text_format(arena_of(checking), "%.*s%s%.*s", TEXT_ARG(all),
                          i == 0 ? "" : ", ",
                          TEXT_ARG(word_of(checking, recipe->places[i].place)));
    }
    return all;
}

static text nearest_place(const struct checking *checking, const struct recipe *recipe,
                          text word)
{
    struct nearest near = nearest_to(word);
    for (uint32_t i = 0; i < recipe->place_count; i++) {
        nearest_offer(&near, word_of(checking, recipe->places[i].place));
    }
    return near.best;
}

/* The place of this name; false: reported. */
static bool find_place(struct checking *checking, const struct recipe *recipe, text word,
                       span where, struct place_word *out)
{
    const name_id name = names_find(checking->knowledge->names, word);
    const struct filling *filling = name == NAME_NONE ? NULL : recipe_place(recipe, name);
    if (filling == NULL) {
        struct diagnostic *report =
            refuse_name(checking, where,
                        text_format(arena_of(checking), "the unit has no place \"%.*s\"",
                                    TEXT_ARG(word)));
        report->expected = list_places(checking, recipe);
        report->nearest = nearest_place(checking, recipe, word);
        return false;
    }
    const bool is_empty = text_is(word_of(checking, filling->with), "none");
    *out = (struct place_word){name, is_empty ? NAME_NONE : filling->with};
    return true;
}

static void check_place(struct checking *checking, const struct recipe *recipe,
                        name_id place, span where)
{
    struct place_word found = {0};
    (void)find_place(checking, recipe, word_of(checking, place), where, &found);
}

/* ---- features */

span ref_place_span(const struct names *names, const struct feature_ref *ref)
{
    const uint32_t length = (uint32_t)names_text(names, ref->place).length;
    return (span){ref->where.source, ref->where.at, length};
}

span ref_feature_span(const struct names *names, const struct feature_ref *ref)
{
    const uint32_t before = (uint32_t)names_text(names, ref->place).length + 1;
    return (span){ref->where.source, ref->where.at + before, ref->where.length - before};
}

static const char *class_words(enum feature_class wanted)
{
    static const char *const words[] = {[FEATURE_PLANE] = "face or station",
                                        [FEATURE_SURFACE] = "run or band",
                                        [FEATURE_PORT] = "port"};
    return words[wanted];
}

static void refuse_feature(struct checking *checking, const struct feature_ref *ref,
                           struct place_word place, enum feature_class wanted,
                           struct nearest *near)
{
    const struct knowledge *made = checking->knowledge;
    const text feature = word_of(checking, ref->feature);
    const bool is_empty = place.shipped == NAME_NONE;
    const text message =
        is_empty
            ? text_format(arena_of(checking), "no part that was loaded has a %s \"%.*s\"",
                          class_words(wanted), TEXT_ARG(feature))
            : text_format(arena_of(checking), "%.*s has no %s \"%.*s\"",
                          TEXT_ARG(word_of(checking, place.shipped)), class_words(wanted),
                          TEXT_ARG(feature));
    struct diagnostic *report =
        refuse_name(checking, ref_feature_span(made->names, ref), message);
    report->expected = list_features(arena_of(checking), made, place.shipped, wanted);
    report->nearest = near->best;
}

static bool is_known(const struct knowledge *knowledge, name_id with)
{
    return knowledge_part(knowledge, with) != NULL ||
           knowledge_recipe(knowledge, with) != NULL;
}

/* In a place that is left empty a part may come that nobody loaded: there only a slip in
 * a name that is known is refused. Of a part that is not there all else has been said. */
static void check_feature(struct checking *checking, const struct feature_ref *ref,
                          struct place_word place, enum feature_class wanted)
{
    const struct knowledge *made = checking->knowledge;
    struct nearest near = nearest_to(word_of(checking, ref->feature));
    if (ref->feature == NAME_NONE ||
        (place.shipped != NAME_NONE && !is_known(made, place.shipped)) ||
        could_have(made, place, wanted, ref->feature)) {
        return;
    }
    offer_features(made, place.shipped, wanted, &near);
    if (near.best.length == 0) {
        offer_all_features(made, place, wanted, &near);
    }
    if (place.shipped != NAME_NONE || near.best.length > 0) {
        refuse_feature(checking, ref, place, wanted, &near);
    }
}

static void check_ref(struct checking *checking, const struct recipe *recipe,
                      const struct feature_ref *ref, enum feature_class wanted)
{
    struct place_word place = {0};
    if (find_place(checking, recipe, word_of(checking, ref->place),
                   ref_place_span(checking->knowledge->names, ref), &place)) {
        check_feature(checking, ref, place, wanted);
    }
}

/* ---- lines */

static void check_contacts(struct checking *checking, const struct recipe *recipe)
{
    for (uint32_t i = 0; i < recipe->lines.contact_count; i++) {
        const struct contact_line *line = &recipe->lines.contacts[i];
        check_ref(checking, recipe, &line->moved, FEATURE_PLANE);
        for (uint32_t k = 0; k < line->stop_count; k++) {
            check_ref(checking, recipe, &line->stops[k].face, FEATURE_PLANE);
        }
    }
}

static void refuse_field(struct checking *checking, text field, span where)
{
    struct nearest near = nearest_to(field);
    offer_lengths(checking->knowledge, &near);
    struct diagnostic *report = refuse_name(
        checking, where,
        text_format(arena_of(checking), "no part for that place has a length \"%.*s\"",
                    TEXT_ARG(field)));
    report->expected = TEXT("a range such as 0.05..0.60 mm, or PLACE.FIELD");
    report->nearest = near.best;
}

/* PLACE.FIELD, where that is what is wanted of a gap. */
static void check_want(struct checking *checking, const struct recipe *recipe,
                       const struct gap_line *gap)
{
    text place_text = {"", 0};
    text field = {"", 0};
    struct place_word place = {0};
    span where = gap->want_where;
    if (!want_is_field(gap->want, &place_text, &field)) {
        return;
    }
    where.length = (uint32_t)place_text.length;
    if (find_place(checking, recipe, place_text, where, &place) &&
        (place.shipped == NAME_NONE || is_known(checking->knowledge, place.shipped)) &&
        !could_have_field(checking->knowledge, place, field)) {
        where = (span){where.source, where.at + where.length + 1, (uint32_t)field.length};
        refuse_field(checking, field, where);
    }
}

void check_brought_want(struct checking *checking, const struct gap_line *gap)
{
    text place = {"", 0};
    text field = {"", 0};
    const struct place_word any = {0};
    if (want_is_field(gap->want, &place, &field) &&
        !could_have_field(checking->knowledge, any, field)) {
        refuse_field(checking, field, gap->want_where);
    }
}

void check_stock(struct checking *checking, const struct set_by *set)
{
    const struct knowledge *made = checking->knowledge;
    const text word = word_of(checking, set->stock);
    struct nearest near = nearest_to(word);
    if (text_is(word, "stroke") || knowledge_part(made, set->stock) != NULL) {
        return;
    }
    nearest_offer(&near, TEXT("stroke"));
    for (uint32_t i = 0; i < made->part_count; i++) {
        nearest_offer(&near, word_of(checking, made->parts[i].name));
    }
    struct diagnostic *report = refuse_name(
        checking, set->where,
        text_format(arena_of(checking), "there is no part \"%.*s\" to set a gap with",
                    TEXT_ARG(word)));
    report->expected = TEXT("a part to choose from, or `stroke`: where the piece is put");
    report->nearest = near.best;
}

static void check_gaps(struct checking *checking, const struct recipe *recipe)
{
    for (uint32_t i = 0; i < recipe->lines.gap_count; i++) {
        const struct gap_line *gap = &recipe->lines.gaps[i];
        check_ref(checking, recipe, &gap->from, FEATURE_PLANE);
        check_ref(checking, recipe, &gap->to, FEATURE_PLANE);
        check_want(checking, recipe, gap);
        for (uint32_t k = 0; k < gap->set_count; k++) {
            const struct set_by *set = &gap->set[k];
            check_place(checking, recipe, set->place, set->place_where);
            check_stock(checking, set);
        }
    }
}

static void check_fits(struct checking *checking, const struct recipe *recipe)
{
    for (uint32_t i = 0; i < recipe->lines.fit_count; i++) {
        check_ref(checking, recipe, &recipe->lines.fits[i].left, FEATURE_SURFACE);
        check_ref(checking, recipe, &recipe->lines.fits[i].right, FEATURE_SURFACE);
    }
}

static void check_space_name(struct checking *checking, const struct recipe *recipe,
                             name_id name, span where)
{
    const text word = word_of(checking, name);
    struct nearest near = nearest_to(word);
    text all = {"", 0};
    for (uint32_t i = 0; i < recipe->lines.space_count; i++) {
        const text other = word_of(checking, recipe->lines.spaces[i].name);
        if (recipe->lines.spaces[i].name == name) {
            return;
        }
        nearest_offer(&near, other);
        all = text_format(arena_of(checking), "%.*s%s%.*s", TEXT_ARG(all),
                          i == 0 ? "" : ", ", TEXT_ARG(other));
    }
    struct diagnostic *report =
        refuse_name(checking, where,
                    text_format(arena_of(checking), "the unit has no space \"%.*s\"",
                                TEXT_ARG(word)));
    report->expected = all;
    report->nearest = near.best;
}

static void check_paths(struct checking *checking, const struct recipe *recipe)
{
    for (uint32_t i = 0; i < recipe->lines.path_count; i++) {
        const struct path_line *path = &recipe->lines.paths[i];
        check_space_name(checking, recipe, path->from, path->from_where);
        check_space_name(checking, recipe, path->to, path->to_where);
        check_ref(checking, recipe, &path->through, FEATURE_SURFACE);
        if (path->against.place != NAME_NONE) {
            check_ref(checking, recipe, &path->against, FEATURE_SURFACE);
        }
    }
}

/* What a space wants is a choice of the vocabulary's. */
void check_wants(struct checking *checking, const struct space_line *space)
{
    const struct knowledge *made = checking->knowledge;
    relation_id relation = 0;
    const struct relation_shape *shape = vocabulary_relation(
        made->vocabulary, names_find(made->names, TEXT("space")), &relation);
    const int index =
        shape == NULL ? -1
                      : vocabulary_column(shape, names_find(made->names, TEXT("wants")));
    struct nearest near = nearest_to(word_of(checking, space->wants));
    text all = {"", 0};
    for (uint32_t i = 0; index >= 0 && i < shape->columns[index].choice_count; i++) {
        const name_id choice = shape->columns[index].choices[i];
        if (choice == space->wants) {
            return;
        }
        nearest_offer(&near, word_of(checking, choice));
        all = text_format(arena_of(checking), "%.*s%s%.*s", TEXT_ARG(all),
                          i == 0 ? "" : ", ", TEXT_ARG(word_of(checking, choice)));
    }
    if (space->wants != NAME_NONE && index >= 0) {
        struct diagnostic *report = diagnostics_report(
            checking->diagnostics, CODE_CHOICE_UNKNOWN, space->wants_where,
            "\"%.*s\" is nothing that a space wants",
            TEXT_ARG(word_of(checking, space->wants)));
        report->expected = all;
        report->nearest = near.best;
        checking->is_wrong = true;
    }
}

static void check_spaces(struct checking *checking, const struct recipe *recipe)
{
    for (uint32_t i = 0; i < recipe->lines.space_count; i++) {
        const struct space_line *space = &recipe->lines.spaces[i];
        const text holds = word_of(checking, space->holds);
        if (space->has_vent) {
            check_ref(checking, recipe, &space->vent, FEATURE_PORT);
        }
        if (space->has_drain) {
            check_ref(checking, recipe, &space->drain, FEATURE_PORT);
        }
        check_wants(checking, space);
        if (space->holds == NAME_NONE || recipe_place(recipe, space->holds) != NULL ||
            text_is(holds, "weather") || text_is(holds, "grease")) {
            continue;
        }
        struct nearest near = nearest_to(holds);
        nearest_offer(&near, TEXT("weather"));
        nearest_offer(&near, TEXT("grease"));
        nearest_offer(&near, nearest_place(checking, recipe, holds));
        struct diagnostic *report =
            refuse_name(checking, space->holds_where,
                        text_format(arena_of(checking),
                                    "the unit has no place \"%.*s\" to fill this space",
                                    TEXT_ARG(holds)));
        report->expected = TEXT("a place of the unit, weather or grease");
        report->nearest = near.best;
    }
}

static void check_kind(struct checking *checking, const struct recipe *recipe)
{
    const struct vocabulary *vocabulary = checking->knowledge->vocabulary;
    const text word = word_of(checking, recipe->kind);
    struct nearest near = nearest_to(word);
    if (recipe->kind == NAME_NONE || vocabulary_kind(vocabulary, recipe->kind) != NULL) {
        return;
    }
    for (uint32_t i = 0; i < vocabulary->kind_count; i++) {
        nearest_offer(&near, word_of(checking, vocabulary->kinds[i].name));
    }
    struct diagnostic *report = refuse_name(
        checking, recipe->kind_where,
        text_format(arena_of(checking), "\"%.*s\" is no kind of part", TEXT_ARG(word)));
    report->expected = TEXT("a kind that vocabulary.yaml lists");
    report->nearest = near.best;
}

static bool unit_has_feature(const struct knowledge *knowledge,
                             const struct recipe *recipe, const struct feature_ref *ref,
                             enum feature_class wanted)
{
    const struct filling *filling = recipe_place(recipe, ref->place);
    const bool is_there = filling != NULL && is_known(knowledge, filling->with);
    const struct place_word place = {ref->place, is_there ? filling->with : NAME_NONE};
    return filling != NULL && could_have(knowledge, place, wanted, ref->feature);
}

/* A part's lines name places of a unit that it does not know: each unit that has such a
 * place is asked. */
void check_brought_feature(struct checking *checking, const struct feature_ref *ref,
                           enum feature_class wanted)
{
    const struct knowledge *made = checking->knowledge;
    const struct recipe *first = NULL;
    for (uint32_t i = 0; i < made->recipe_count; i++) {
        if (unit_has_feature(made, &made->recipes[i], ref, wanted)) {
            return;
        }
        if (first == NULL && recipe_place(&made->recipes[i], ref->place) != NULL) {
            first = &made->recipes[i];
        }
    }
    if (first != NULL) {
        check_ref(checking, first, ref, wanted);
    }
}

void check_own_feature(struct checking *checking, const struct feature_ref *ref,
                       name_id part, enum feature_class wanted)
{
    const struct knowledge *made = checking->knowledge;
    struct nearest near = nearest_to(word_of(checking, ref->feature));
    if (ref->feature != NAME_NONE && !with_has(made, part, wanted, ref->feature)) {
        offer_features(made, part, wanted, &near);
        refuse_feature(checking, ref, (struct place_word){ref->place, part}, wanted,
                       &near);
    }
}

/* An entry of a unit's own list is called like a place or space where its key column is
 * called so. */
static void check_list(struct checking *checking, const struct recipe *recipe,
                       const struct listing *listing)
{
    const struct knowledge *made = checking->knowledge;
    const struct node_field *field =
        node_find(recipe->document, word_of(checking, listing->field));
    const struct node *list = field == NULL ? NULL : field->value;
    const text of =
        word_of(checking, made->vocabulary->shapes[listing->relation].columns[1].name);
    for (uint32_t i = 0; list != NULL && list->kind == NODE_MAP && i < list->count; i++) {
        const name_id name = names_add(made->names, list->fields[i].key);
        if (text_is(of, "place")) {
            check_place(checking, recipe, name, list->fields[i].key_where);
        } else if (text_is(of, "space")) {
            check_space_name(checking, recipe, name, list->fields[i].key_where);
        }
    }
}

void check_unit(struct checking *checking, const struct recipe *recipe)
{
    const struct vocabulary *vocabulary = checking->knowledge->vocabulary;
    for (uint32_t i = 0; i < vocabulary->listing_count; i++) {
        if (vocabulary->listings[i].in_unit) {
            check_list(checking, recipe, &vocabulary->listings[i]);
        }
    }
    check_kind(checking, recipe);
    check_contacts(checking, recipe);
    check_gaps(checking, recipe);
    check_fits(checking, recipe);
    check_spaces(checking, recipe);
    check_paths(checking, recipe);
    for (uint32_t i = 0; i < recipe->lines.mesh_count; i++) {
        const struct mesh_line *mesh = &recipe->lines.meshes[i];
        check_place(checking, recipe, mesh->place, mesh->place_where);
        check_place(checking, recipe, mesh->other, mesh->other_where);
    }
    for (uint32_t i = 0; i < recipe->lines.push_count; i++) {
        check_place(checking, recipe, recipe->lines.pushes[i].place,
                    recipe->lines.pushes[i].where);
    }
    for (uint32_t i = 0; i < recipe->offer_count; i++) {
        check_ref(checking, recipe, &recipe->offers[i].face, FEATURE_PLANE);
    }
}
