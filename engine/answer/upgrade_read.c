/* SPDX-License-Identifier: MIT */
/* Reads what `upgrade` asks: the parts that are wanted or the unit to go toward, and what
 * the user has. */
#include "could_stand.h"
#include "mint_fill.h"
#include "typed_name.h"
#include "upgrade_private.h"

struct text_list {
    text *at;
    uint32_t count;
    uint32_t room;
};

static text name_text(const struct upgrading *upgrading, name_id name)
{
    return names_text(upgrading->knowledge->names, name);
}

static status fault(struct upgrading *upgrading, span where, text message,
                    const char *expected)
{
    diagnostics_add(upgrading->diagnostics, CODE_QUESTION_WRONG, where, message)
        ->expected = text_of(expected);
    return STATUS_INVALID;
}

static status read_toward(struct upgrading *upgrading)
{
    const struct question *question = upgrading->question;
    const struct knowledge *knowledge = upgrading->knowledge;
    const name_id name = names_find(knowledge->names, question->toward);
    upgrading->toward = name == NAME_NONE ? NULL : knowledge_recipe(knowledge, name);
    if (upgrading->toward != NULL) {
        return STATUS_OK;
    }
    struct diagnostic *report = diagnostics_report(
        upgrading->diagnostics, CODE_UNIT_NAME_UNKNOWN, question->toward_where,
        "there is no unit \"%.*s\"", TEXT_ARG(question->toward));
    report->expected = TEXT("the name of a unit that was loaded");
    report->nearest =
        typed_nearest(upgrading->arena, knowledge, question->toward, TYPED_UNIT);
    return STATUS_INVALID;
}

static enum change_kind kind_of_change(text word)
{
    return text_is(word, "none")      ? CHANGE_NONE
           : text_is(word, "turned")  ? CHANGE_TURNED
           : text_is(word, "another") ? CHANGE_ANOTHER
                                      : CHANGE_PART;
}

/* Reads one wanted change as a swap would, so that its faults are a swap's. */
static status read_want(struct upgrading *upgrading, const struct worded_pair *pair)
{
    struct layer layer;
    struct fill fill = {0};
    TRY(layer_open(upgrading->arena, upgrading->knowledge, upgrading->diagnostics,
                   &layer));
    TRY(fill_recipe(&layer, upgrading->host, (text){"", 0}, &fill));
    const struct change change = {.place = names_add(layer.names, pair->name),
                                  .kind = kind_of_change(pair->value),
                                  .with = names_add(layer.names, pair->value),
                                  .place_where = pair->name_where,
                                  .where = pair->where};
    if (pair->name.length == 0 || pair->value.length == 0) {
        return fault(upgrading, pair->name_where,
                     TEXT("what is wanted could not be read"),
                     "PLACE=PART, PLACE=none, PLACE=turned or PLACE=another");
    }
    TRY(fill_change(&layer, &change, change.place, &fill));
    const struct minted_place *place = fill_place(&fill, change.place);
    if (!place->is_changed) {
        return fault(
            upgrading, pair->where,
            text_format(upgrading->arena, "%.*s holds it already", TEXT_ARG(pair->name)),
            "a part that the unit does not have there");
    }
    for (uint32_t i = 0; i < upgrading->wanted.count; i++) {
        if (upgrading->wanted.at[i].place == change.place) {
            return fault(upgrading, pair->name_where,
                         TEXT("two things are wanted of one place"),
                         "one --want a place");
        }
    }
    /* A new place's name may be known to the layer alone; candidates go by the
     * knowledge's, which has the name of every place a part may bring. */
    const struct wanted_fill made = {names_find(upgrading->knowledge->names, pair->name),
                                     change.kind == CHANGE_PART
                                         ? names_text(layer.names, place->with)
                                         : text_copy(upgrading->arena, pair->value)};
    if (made.place == NAME_NONE) {
        return fault(upgrading, pair->name_where, TEXT("nothing calls a place like that"),
                     "a place of the unit, or one that a part names");
    }
    return ARRAY_PUSH(upgrading->arena, &upgrading->wanted, made)
               ? STATUS_OK
               : arena_status(upgrading->arena);
}

/* The number of what a place holds; of somebody's own piece the one it is of. */
static name_id number_with(const struct upgrading *upgrading, name_id with)
{
    const struct part *part = knowledge_part(upgrading->knowledge, with);
    return part != NULL && part->like != NAME_NONE ? part->like : with;
}

static bool add_wanted(struct upgrading *upgrading, name_id place, text word)
{
    const struct wanted_fill made = {place, word};
    return ARRAY_PUSH(upgrading->arena, &upgrading->wanted, made);
}

/* A place in which the other unit has something else, or nothing. */
static bool want_difference(struct upgrading *upgrading, name_id place)
{
    const struct knowledge *knowledge = upgrading->knowledge;
    const struct filling *now = recipe_place(upgrading->host, place);
    const struct filling *then = recipe_place(upgrading->toward, place);
    const name_id here =
        number_with(upgrading, recipe_with(knowledge, upgrading->host, place));
    const name_id there =
        number_with(upgrading, recipe_with(knowledge, upgrading->toward, place));
    if (here != there) {
        return add_wanted(upgrading, place,
                          there == NAME_NONE ? TEXT("none")
                                             : name_text(upgrading, there));
    }
    return now == NULL || then == NULL || now->is_turned == then->is_turned ||
           add_wanted(upgrading, place, TEXT("turned"));
}

/* A place that only the other unit has: a part that brings its own lines can go there. */
static bool want_new_place(struct upgrading *upgrading, name_id place,
                           struct text_list *missing)
{
    const name_id with = number_with(
        upgrading, recipe_with(upgrading->knowledge, upgrading->toward, place));
    const struct part *part = knowledge_part(upgrading->knowledge, with);
    if (with == NAME_NONE) {
        return true;
    }
    return part != NULL && part->brings != NULL
               ? add_wanted(upgrading, place, name_text(upgrading, with))
               : ARRAY_PUSH(upgrading->arena, missing, name_text(upgrading, place));
}

static status want_differences(struct upgrading *upgrading)
{
    struct text_list missing = {0};
    bool is_pushed = true;
    bool is_shared = false;
    for (uint32_t i = 0; i < upgrading->toward->place_count; i++) {
        const name_id place = upgrading->toward->places[i].place;
        is_shared = is_shared || recipe_place(upgrading->host, place) != NULL;
        if (recipe_place(upgrading->host, place) == NULL) {
            is_pushed = is_pushed && want_new_place(upgrading, place, &missing);
        }
    }
    for (uint32_t i = 0; i < upgrading->host->place_count; i++) {
        is_pushed =
            is_pushed && want_difference(upgrading, upgrading->host->places[i].place);
    }
    if (!is_shared) {
        return fault(upgrading, upgrading->question->toward_where,
                     TEXT("the two units have no place in common"),
                     "a unit with the same places, such as another pattern of this one");
    }
    if (upgrading->host->kind != NAME_NONE && upgrading->toward->kind != NAME_NONE &&
        !same_family(upgrading->knowledge, upgrading->host->name,
                     upgrading->toward->name)) {
        return fault(upgrading, upgrading->question->toward_where,
                     TEXT("the two units are of different kinds"),
                     "a unit of the same kind, such as another pattern of this one");
    }
    upgrading->upgrade->no_place = missing.at;
    upgrading->upgrade->no_place_count = missing.count;
    return is_pushed ? STATUS_OK : arena_status(upgrading->arena);
}

static void sort_wanted(struct upgrading *upgrading)
{
    for (uint32_t i = 1; i < upgrading->wanted.count; i++) {
        const struct wanted_fill moving = upgrading->wanted.at[i];
        uint32_t to = i;
        for (; to > 0 && names_compare(upgrading->knowledge->names, moving.place,
                                       upgrading->wanted.at[to - 1].place) < 0;
             to--) {
            upgrading->wanted.at[to] = upgrading->wanted.at[to - 1];
        }
        upgrading->wanted.at[to] = moving;
    }
}

static status read_wanted(struct upgrading *upgrading)
{
    const struct question *question = upgrading->question;
    const bool has_toward = question->toward.length > 0;
    if (has_toward == (question->want_count > 0)) {
        return fault(upgrading, question->unit_where,
                     has_toward
                         ? TEXT("a unit to go toward and parts that are wanted are "
                                "two questions")
                         : TEXT("the question does not say what is wanted"),
                     "--toward UNIT, or --want PLACE=PART");
    }
    if (question->change_count > 0) {
        return fault(upgrading, question->changes[0].name_where,
                     TEXT("upgrade looks for the changes itself"), "--want PLACE=PART");
    }
    if (has_toward) {
        TRY(read_toward(upgrading));
        TRY(want_differences(upgrading));
    }
    for (uint32_t i = 0; i < question->want_count; i++) {
        TRY(read_want(upgrading, &question->want[i]));
    }
    sort_wanted(upgrading);
    return STATUS_OK;
}

static status read_have(struct upgrading *upgrading)
{
    const struct question *question = upgrading->question;
    const struct knowledge *knowledge = upgrading->knowledge;
    text *have = ARENA_MANY(upgrading->arena, question->have_count, text);
    status result = arena_status(upgrading->arena);
    for (uint32_t i = 0; have != NULL && i < question->have_count; i++) {
        const text word = question->have[i].word;
        const name_id name = names_find(knowledge->names, word);
        have[i] = text_copy(upgrading->arena, word);
        if (name != NAME_NONE && (knowledge_part(knowledge, name) != NULL ||
                                  knowledge_recipe(knowledge, name) != NULL)) {
            continue;
        }
        struct diagnostic *report = diagnostics_report(
            upgrading->diagnostics, CODE_PART_UNKNOWN, question->have[i].where,
            "there is no part or unit \"%.*s\"", TEXT_ARG(word));
        report->expected = TEXT("the name of a part or unit that was loaded");
        report->nearest = typed_nearest(upgrading->arena, knowledge, word, TYPED_ANY);
        result = STATUS_INVALID;
    }
    upgrading->upgrade->have = have;
    upgrading->upgrade->have_count = question->have_count;
    return result;
}

status upgrade_read(struct upgrading *upgrading)
{
    TRY(read_wanted(upgrading));
    return read_have(upgrading);
}
