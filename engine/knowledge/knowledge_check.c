/* SPDX-License-Identifier: MIT */
/* Whether the names in units and parts lead somewhere, once everything is read. */
#include "knowledge_check.h"

struct checking {
    const struct knowledge *knowledge;
    struct diagnostics *diagnostics;
    bool is_wrong;
};

static void refuse_unknown_fill(struct checking *checking, name_id name, span where)
{
    const struct knowledge *made = checking->knowledge;
    const text word = names_text(made->names, name);
    if (text_is(word, "none") || knowledge_part(made, name) != NULL ||
        knowledge_recipe(made, name) != NULL) {
        return;
    }
    struct nearest near = nearest_to(word);
    for (uint32_t i = 0; i < made->part_count; i++) {
        nearest_offer(&near, names_text(made->names, made->parts[i].name));
    }
    for (uint32_t i = 0; i < made->recipe_count; i++) {
        nearest_offer(&near, names_text(made->names, made->recipes[i].name));
    }
    struct diagnostic *report =
        diagnostics_report(checking->diagnostics, CODE_NAME_UNKNOWN, where,
                           "there is no part or unit \"%.*s\"", TEXT_ARG(word));
    report->nearest = near.best;
    checking->is_wrong = true;
}

/* Pieces are called like their places, so a place called like a part would be mistaken
 * for it. */
static void refuse_part_name(struct checking *checking, name_id place, span where)
{
    const struct part *same = knowledge_part(checking->knowledge, place);
    if (same != NULL) {
        struct diagnostic *report =
            diagnostics_report(checking->diagnostics, CODE_NAME_DOUBLED, where,
                               "place \"%.*s\" is called like a part",
                               TEXT_ARG(names_text(checking->knowledge->names, place)));
        report->expected = TEXT("another name for the place or for the part");
        diagnostic_note_add(report, same->where, TEXT("the part is defined here"));
        checking->is_wrong = true;
    }
}

static bool has_place(const struct recipe *recipe, name_id name)
{
    for (uint32_t i = 0; i < recipe->place_count; i++) {
        if (recipe->places[i].place == name) {
            return true;
        }
    }
    return false;
}

static void refuse_unknown_space(struct checking *checking, const struct recipe *recipe,
                                 name_id name, span where)
{
    const struct names *names = checking->knowledge->names;
    struct nearest near = nearest_to(names_text(names, name));
    for (uint32_t i = 0; i < recipe->lines.space_count; i++) {
        if (recipe->lines.spaces[i].name == name) {
            return;
        }
        nearest_offer(&near, names_text(names, recipe->lines.spaces[i].name));
    }
    diagnostics_report(checking->diagnostics, CODE_NAME_UNKNOWN, where,
                       "the unit has no space \"%.*s\"",
                       TEXT_ARG(names_text(names, name)))
        ->nearest = near.best;
    checking->is_wrong = true;
}

/* Paths lead from space to space, and a space is filled by a place. */
static void check_spaces(struct checking *checking, const struct recipe *recipe)
{
    const struct names *names = checking->knowledge->names;
    for (uint32_t i = 0; i < recipe->lines.path_count; i++) {
        const struct path_line *path = &recipe->lines.paths[i];
        refuse_unknown_space(checking, recipe, path->from, path->where);
        refuse_unknown_space(checking, recipe, path->to, path->where);
    }
    for (uint32_t i = 0; i < recipe->lines.space_count; i++) {
        const struct space_line *space = &recipe->lines.spaces[i];
        const text holds = names_text(names, space->holds);
        if (space->holds != NAME_NONE && !has_place(recipe, space->holds) &&
            !text_is(holds, "weather") && !text_is(holds, "grease")) {
            struct diagnostic *report = diagnostics_report(
                checking->diagnostics, CODE_NAME_UNKNOWN, space->holds_where,
                "the unit has no place \"%.*s\" to fill this space", TEXT_ARG(holds));
            report->expected = TEXT("a place of the unit, weather or grease");
            checking->is_wrong = true;
        }
    }
}

static void refuse_unknown_place(struct checking *checking, const struct recipe *recipe,
                                 name_id name, span where)
{
    const struct names *names = checking->knowledge->names;
    struct nearest near = nearest_to(names_text(names, name));
    for (uint32_t i = 0; i < recipe->place_count; i++) {
        nearest_offer(&near, names_text(names, recipe->places[i].place));
    }
    if (!has_place(recipe, name)) {
        diagnostics_report(checking->diagnostics, CODE_NAME_UNKNOWN, where,
                           "the unit has no place \"%.*s\"",
                           TEXT_ARG(names_text(names, name)))
            ->nearest = near.best;
        checking->is_wrong = true;
    }
}

/* A line of a unit that names a place the unit lacks would fall away unseen. */
static void check_joints(struct checking *checking, const struct recipe *recipe)
{
    const struct lines *lines = &recipe->lines;
    for (uint32_t i = 0; i < lines->contact_count; i++) {
        const struct contact_line *line = &lines->contacts[i];
        refuse_unknown_place(checking, recipe, line->moved.place, line->moved.where);
        for (uint32_t k = 0; k < line->stop_count; k++) {
            refuse_unknown_place(checking, recipe, line->stops[k].face.place,
                                 line->stops[k].face.where);
        }
    }
    for (uint32_t i = 0; i < lines->gap_count; i++) {
        const struct gap_line *line = &lines->gaps[i];
        refuse_unknown_place(checking, recipe, line->from.place, line->from.where);
        refuse_unknown_place(checking, recipe, line->to.place, line->to.where);
        for (uint32_t k = 0; k < line->set_count; k++) {
            refuse_unknown_place(checking, recipe, line->set[k].place,
                                 line->set[k].where);
        }
    }
    for (uint32_t i = 0; i < lines->fit_count; i++) {
        const struct fit_line *line = &lines->fits[i];
        refuse_unknown_place(checking, recipe, line->left.place, line->left.where);
        refuse_unknown_place(checking, recipe, line->right.place, line->right.where);
    }
}

/* A want may name a field of what fills a place: some kind must have it, as a length. */
static void check_want(struct checking *checking, const struct gap_line *line)
{
    const struct vocabulary *vocabulary = checking->knowledge->vocabulary;
    const struct names *names = checking->knowledge->names;
    text place = {"", 0};
    text field = {"", 0};
    if (!want_is_field(line->want, &place, &field)) {
        return;
    }
    struct nearest near = nearest_to(field);
    for (uint32_t i = 0; i < vocabulary->kind_count; i++) {
        const struct relation_shape *shape =
            &vocabulary->shapes[vocabulary->kinds[i].relation];
        for (uint32_t c = shape->key_count; c < shape->key_count + shape->value_count;
             c++) {
            const struct column *column = &shape->columns[c];
            const bool is_length = column->kind == COLUMN_QUANTITY &&
                                   dimension_equal(column->dim, DIMENSION_LENGTH);
            if (is_length && text_equal(names_text(names, column->name), field)) {
                return;
            }
            if (is_length) {
                nearest_offer(&near, names_text(names, column->name));
            }
        }
    }
    struct diagnostic *report =
        diagnostics_report(checking->diagnostics, CODE_NAME_UNKNOWN, line->want_where,
                           "no kind of part has a length \"%.*s\"", TEXT_ARG(field));
    report->expected = TEXT("a range such as 0.05..0.60 mm, or PLACE.FIELD");
    report->nearest = near.best;
    checking->is_wrong = true;
}

static void check_wants(struct checking *checking, const struct lines *lines)
{
    for (uint32_t i = 0; lines != NULL && i < lines->gap_count; i++) {
        check_want(checking, &lines->gaps[i]);
    }
}

static void check_ways(struct checking *checking, const struct recipe *recipe)
{
    const struct lines *lines = &recipe->lines;
    for (uint32_t i = 0; i < lines->path_count; i++) {
        const struct path_line *line = &lines->paths[i];
        refuse_unknown_place(checking, recipe, line->through.place, line->through.where);
        if (line->against.place != NAME_NONE) {
            refuse_unknown_place(checking, recipe, line->against.place,
                                 line->against.where);
        }
    }
    for (uint32_t i = 0; i < lines->mesh_count; i++) {
        const struct mesh_line *line = &lines->meshes[i];
        refuse_unknown_place(checking, recipe, line->place, line->where);
        refuse_unknown_place(checking, recipe, line->other, line->where);
    }
    for (uint32_t i = 0; i < lines->push_count; i++) {
        refuse_unknown_place(checking, recipe, lines->pushes[i].place,
                             lines->pushes[i].where);
    }
    for (uint32_t i = 0; i < recipe->offer_count; i++) {
        refuse_unknown_place(checking, recipe, recipe->offers[i].face.place,
                             recipe->offers[i].face.where);
    }
}

static void check_names(struct checking *checking)
{
    const struct knowledge *made = checking->knowledge;
    for (uint32_t i = 0; i < made->recipe_count; i++) {
        check_spaces(checking, &made->recipes[i]);
        check_joints(checking, &made->recipes[i]);
        check_wants(checking, &made->recipes[i].lines);
        check_ways(checking, &made->recipes[i]);
        for (uint32_t k = 0; k < made->recipes[i].place_count; k++) {
            const struct filling *place = &made->recipes[i].places[k];
            refuse_unknown_fill(checking, place->with, place->where);
            refuse_part_name(checking, place->place, place->where);
        }
    }
    for (uint32_t i = 0; i < made->part_count; i++) {
        check_wants(checking, made->parts[i].brings);
        if (made->parts[i].superseded_by != NAME_NONE) {
            refuse_unknown_fill(checking, made->parts[i].superseded_by,
                                made->parts[i].superseded_where);
        }
        for (uint32_t k = 0; k < made->parts[i].goes_with_count; k++) {
            const struct filling *with = &made->parts[i].goes_with[k];
            refuse_unknown_fill(checking, with->with, with->where);
        }
        for (uint32_t k = 0; k < made->parts[i].comes_with_count; k++) {
            const struct filling *with = &made->parts[i].comes_with[k];
            refuse_unknown_fill(checking, with->with, with->where);
            refuse_part_name(checking, with->place, with->where);
        }
    }
}

/* The checks that kinds ask for must be rules that make findings. */
static void check_asks(struct checking *checking)
{
    const struct knowledge *made = checking->knowledge;
    for (uint32_t i = 0; i < made->vocabulary->kind_count; i++) {
        const struct kind *kind = &made->vocabulary->kinds[i];
        for (uint32_t k = 0; k < kind->ask_count; k++) {
            const struct rule *rule = rule_find(made->rules, kind->asks[k]);
            if (rule != NULL && rule->has_check) {
                continue;
            }
            const text word = names_text(made->names, kind->asks[k]);
            struct nearest near = nearest_to(word);
            for (uint32_t r = 0; r < made->rules->rule_count; r++) {
                if (made->rules->rules[r].has_check) {
                    nearest_offer(&near,
                                  names_text(made->names, made->rules->rules[r].name));
                }
            }
            struct diagnostic *report = diagnostics_report(
                checking->diagnostics, CODE_NAME_UNKNOWN, kind->where,
                "this kind asks for \"%.*s\", which is no rule with a check",
                TEXT_ARG(word));
            report->nearest = near.best;
            checking->is_wrong = true;
        }
    }
}

status knowledge_check_names(const struct knowledge *knowledge,
                             struct diagnostics *diagnostics)
{
    struct checking checking = {knowledge, diagnostics, false};
    check_names(&checking);
    return checking.is_wrong ? STATUS_INVALID : STATUS_OK;
}

status knowledge_check_asks(const struct knowledge *knowledge,
                            struct diagnostics *diagnostics)
{
    struct checking checking = {knowledge, diagnostics, false};
    check_asks(&checking);
    return checking.is_wrong ? STATUS_INVALID : STATUS_OK;
}
