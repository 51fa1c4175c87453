/* SPDX-License-Identifier: MIT */
/* Lists of what a question may name, for whoever offers them to be picked from. */
#include "facade_private.h"

#include "array.h"
#include "candidates.h"
#include "could_stand.h"

struct whyfit_choices {
    struct arena *arena;
    const struct knowledge *knowledge;
    ARRAY_OF(whyfit_choice) items;
};

static const char *terminated(struct whyfit_choices *choices, text a)
{
    return text_copy(choices->arena, a).at;
}

static const char *word(struct whyfit_choices *choices, name_id name)
{
    return terminated(choices, names_text(choices->knowledge->names, name));
}

/* The title of a part or unit; empty where it has none. */
static text title_of(const struct knowledge *knowledge, name_id with)
{
    const struct part *part = knowledge_part(knowledge, with);
    const struct recipe *recipe = knowledge_recipe(knowledge, with);
    return part != NULL ? part->title : recipe != NULL ? recipe->title : (text){"", 0};
}

static void add(struct whyfit_choices *choices, whyfit_choice choice)
{
    (void)ARRAY_PUSH(choices->arena, &choices->items, choice); /* the arena remembers */
}

/* A part or a unit, with its kind. */
static void add_named(struct whyfit_choices *choices, name_id name)
{
    const struct kind *kind = kind_of_with(choices->knowledge, name);
    add(choices,
        (whyfit_choice){.name = word(choices, name),
                        .title = terminated(choices, title_of(choices->knowledge, name)),
                        .with = kind == NULL ? "" : word(choices, kind->name)});
}

static void list_kinds(struct whyfit_choices *choices)
{
    const struct vocabulary *vocabulary = choices->knowledge->vocabulary;
    for (uint32_t i = 0; i < vocabulary->kind_count; i++) {
        const struct kind *kind = &vocabulary->kinds[i];
        const name_id parent =
            kind->parent == 0 ? NAME_NONE : vocabulary->kinds[kind->parent - 1].name;
        add(choices, (whyfit_choice){.name = word(choices, kind->name),
                                     .title = terminated(choices, kind->says),
                                     .with = word(choices, parent)});
    }
}

static void list_places(struct whyfit_choices *choices, const struct recipe *unit)
{
    for (uint32_t i = 0; i < unit->place_count; i++) {
        const name_id with = unit->places[i].with;
        add(choices, (whyfit_choice){
                         .name = word(choices, unit->places[i].place),
                         .title = terminated(choices, title_of(choices->knowledge, with)),
                         .with = word(choices, with)});
    }
}

static status list_candidates(struct whyfit_choices *choices, const struct recipe *unit)
{
    struct candidates found = {NULL, 0};
    TRY(candidates_find(choices->arena, choices->knowledge, unit, NULL, NULL, 0, &found));
    for (uint32_t i = 0; i < found.count; i++) {
        const struct candidate_place *place = &found.places[i];
        for (uint32_t k = 0; k < place->count; k++) {
            const name_id with = names_find(choices->knowledge->names, place->words[k]);
            const text title =
                with == NAME_NONE ? (text){"", 0} : title_of(choices->knowledge, with);
            add(choices, (whyfit_choice){.name = terminated(choices, place->words[k]),
                                         .title = terminated(choices, title),
                                         .with = word(choices, place->place)});
        }
    }
    return STATUS_OK;
}

/* Every place of every unit that holds it, once each. */
static status list_seats(struct whyfit_choices *choices, const char *name)
{
    const struct knowledge *knowledge = choices->knowledge;
    const name_id id = names_find(knowledge->names, text_of(name));
    if (id == NAME_NONE || kind_of_with(knowledge, id) == NULL) {
        return STATUS_NOT_FOUND;
    }
    for (uint32_t i = 0; i < knowledge->recipe_count; i++) {
        const struct recipe *unit = &knowledge->recipes[i];
        for (uint32_t k = 0; k < unit->place_count; k++) {
            if (unit->places[k].with == id) {
                add(choices,
                    (whyfit_choice){.name = word(choices, unit->name),
                                    .title = terminated(choices, unit->title),
                                    .with = word(choices, unit->places[k].place)});
            }
        }
    }
    return STATUS_OK;
}

static status list_of_unit(struct whyfit_choices *choices, whyfit_choice_of of,
                           const char *name)
{
    const struct knowledge *knowledge = choices->knowledge;
    const name_id id = names_find(knowledge->names, text_of(name));
    const struct recipe *unit = id == NAME_NONE ? NULL : knowledge_recipe(knowledge, id);
    if (unit == NULL) {
        return STATUS_NOT_FOUND;
    }
    if (of == WHYFIT_CANDIDATES) {
        return list_candidates(choices, unit);
    }
    list_places(choices, unit);
    return STATUS_OK;
}

static status list(struct whyfit_choices *choices, whyfit_choice_of of, const char *unit)
{
    const struct knowledge *knowledge = choices->knowledge;
    switch (of) {
    case WHYFIT_UNITS:
        for (uint32_t i = 0; i < knowledge->recipe_count; i++) {
            add_named(choices, knowledge->recipes[i].name);
        }
        return STATUS_OK;
    case WHYFIT_PARTS:
        for (uint32_t i = 0; i < knowledge->part_count; i++) {
            add_named(choices, knowledge->parts[i].name);
        }
        return STATUS_OK;
    case WHYFIT_KINDS:
        list_kinds(choices);
        return STATUS_OK;
    case WHYFIT_SEATS:
        return list_seats(choices, unit);
    case WHYFIT_PLACES:
    case WHYFIT_CANDIDATES:
        break;
    }
    return list_of_unit(choices, of, unit);
}

whyfit_status whyfit_choices_open(const whyfit_knowledge *knowledge, whyfit_choice_of of,
                                  const char *unit, whyfit_choices **choices)
{
    struct arena *arena = arena_open(knowledge->allocator, 0);
    struct whyfit_choices *made =
        arena == NULL ? NULL : ARENA_NEW(arena, struct whyfit_choices);
    *choices = NULL;
    if (made == NULL) {
        arena_close(arena);
        return WHYFIT_NO_MEMORY;
    }
    made->arena = arena;
    made->knowledge = knowledge->knowledge;
    const status listed = list(made, of, unit);
    const status result = listed == STATUS_OK ? arena_status(arena) : listed;
    if (result != STATUS_OK) {
        arena_close(arena);
        return public_status(result);
    }
    *choices = made;
    return WHYFIT_OK;
}

const whyfit_choice *whyfit_choices_at(const whyfit_choices *choices, size_t i)
{
    return i < choices->items.count ? &choices->items.at[i] : NULL;
}

void whyfit_choices_free(whyfit_choices *choices)
{
    if (choices != NULL) {
        arena_close(choices->arena);
    }
}
