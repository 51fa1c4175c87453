/* SPDX-License-Identifier: MIT */
/*
 * Whether what a part says of the units it goes into leads somewhere. Those units need
 * not be loaded, and a part may bring a place of its own, so a place that no unit has is
 * misspelt only where the loaded units tell: one that holds the superseded part lacks it,
 * one has every other place that the part names, or one has a place a single slip away.
 */
#include "unit_check.h"

#include "array.h"

/* A place that a part names, and how. */
struct named_place {
    name_id name;
    span where;
    bool is_looked_at; /* by a line, whose feature is then looked for */
    struct feature_ref ref;
    enum feature_class wanted;
};

typedef ARRAY_OF(struct named_place) named_places;

struct brought {
    struct checking *checking;
    const struct part *part;
    name_id this_word;
    named_places places;
};

static void add_whole(struct brought *brought, name_id name, span where)
{
    const struct named_place named = {.name = name, .where = where};
    if (name != brought->this_word) {
        (void)ARRAY_PUSH(diagnostics_arena(brought->checking->diagnostics),
                         &brought->places, named);
    }
}

static void add_ref(struct brought *brought, const struct feature_ref *ref,
                    enum feature_class wanted)
{
    const struct names *names = brought->checking->knowledge->names;
    const struct named_place named = {ref->place, ref_place_span(names, ref), true, *ref,
                                      wanted};
    if (ref->place == NAME_NONE) {
        return;
    }
    if (ref->place == brought->this_word) {
        check_own_feature(brought->checking, ref, brought->part->name, wanted);
        return;
    }
    (void)ARRAY_PUSH(diagnostics_arena(brought->checking->diagnostics), &brought->places,
                     named);
}

static void add_lines(struct brought *brought, const struct lines *lines)
{
    for (uint32_t i = 0; i < lines->contact_count; i++) {
        add_ref(brought, &lines->contacts[i].moved, FEATURE_PLANE);
        for (uint32_t k = 0; k < lines->contacts[i].stop_count; k++) {
            add_ref(brought, &lines->contacts[i].stops[k].face, FEATURE_PLANE);
        }
    }
    for (uint32_t i = 0; i < lines->gap_count; i++) {
        add_ref(brought, &lines->gaps[i].from, FEATURE_PLANE);
        add_ref(brought, &lines->gaps[i].to, FEATURE_PLANE);
        check_brought_want(brought->checking, &lines->gaps[i]);
        for (uint32_t k = 0; k < lines->gaps[i].set_count; k++) {
            add_whole(brought, lines->gaps[i].set[k].place,
                      lines->gaps[i].set[k].place_where);
            check_stock(brought->checking, &lines->gaps[i].set[k]);
        }
    }
    for (uint32_t i = 0; i < lines->fit_count; i++) {
        add_ref(brought, &lines->fits[i].left, FEATURE_SURFACE);
        add_ref(brought, &lines->fits[i].right, FEATURE_SURFACE);
    }
    for (uint32_t i = 0; i < lines->path_count; i++) {
        add_ref(brought, &lines->paths[i].through, FEATURE_SURFACE);
        add_ref(brought, &lines->paths[i].against, FEATURE_SURFACE);
    }
    for (uint32_t i = 0; i < lines->space_count; i++) {
        add_ref(brought, &lines->spaces[i].vent, FEATURE_PORT);
        add_ref(brought, &lines->spaces[i].drain, FEATURE_PORT);
        check_wants(brought->checking, &lines->spaces[i]);
    }
    for (uint32_t i = 0; i < lines->mesh_count; i++) {
        add_whole(brought, lines->meshes[i].place, lines->meshes[i].place_where);
        add_whole(brought, lines->meshes[i].other, lines->meshes[i].other_where);
    }
}

/* ---- whether a place is one */

static bool names_place(const struct filling *fillings, uint32_t count, name_id place)
{
    for (uint32_t i = 0; i < count; i++) {
        if (fillings[i].place == place) {
            return true;
        }
    }
    return false;
}

/* A unit has it, or a part brings it along. */
static bool is_place(const struct knowledge *made, name_id place)
{
    for (uint32_t i = 0; i < made->recipe_count; i++) {
        if (recipe_place(&made->recipes[i], place) != NULL) {
            return true;
        }
    }
    for (uint32_t i = 0; i < made->part_count; i++) {
        const struct part *part = &made->parts[i];
        if (names_place(part->comes_with, part->comes_with_count, place)) {
            return true;
        }
    }
    return false;
}

/* Whether a unit has every other place that is named, and there is one. */
static bool has_the_others(const struct brought *brought, const struct recipe *recipe,
                           name_id place)
{
    uint32_t others = 0;
    for (uint32_t i = 0; i < brought->places.count; i++) {
        const name_id other = brought->places.at[i].name;
        if (other != place && recipe_place(recipe, other) == NULL) {
            return false;
        }
        others += other != place ? 1 : 0;
    }
    return others > 0;
}

static bool holds(const struct knowledge *made, const struct recipe *recipe,
                  const struct part *part)
{
    for (uint32_t i = 0; i < recipe->place_count; i++) {
        const struct part *in = knowledge_part(made, recipe->places[i].with);
        if (in != NULL && (in == part || in->like == part->name)) {
            return true;
        }
    }
    return false;
}

static struct nearest nearest_place(const struct brought *brought, name_id place)
{
    const struct knowledge *made = brought->checking->knowledge;
    struct nearest near = nearest_to(names_text(made->names, place));
    for (uint32_t i = 0; i < made->recipe_count; i++) {
        for (uint32_t k = 0; k < made->recipes[i].place_count; k++) {
            nearest_offer(&near,
                          names_text(made->names, made->recipes[i].places[k].place));
        }
    }
    return near;
}

static void refuse(struct brought *brought, name_id place, span where)
{
    const struct knowledge *made = brought->checking->knowledge;
    struct diagnostic *report =
        refuse_name(brought->checking, where,
                    text_format(diagnostics_arena(brought->checking->diagnostics),
                                "no unit that was loaded has a place \"%.*s\"",
                                TEXT_ARG(names_text(made->names, place))));
    report->expected = TEXT("a place of the units that the part goes into");
    report->nearest = nearest_place(brought, place).best;
}

static void check_place(struct brought *brought, const struct named_place *named)
{
    const struct knowledge *made = brought->checking->knowledge;
    const struct nearest near = nearest_place(brought, named->name);
    bool is_misspelt = near.best.length > 0 && near.distance <= 1;
    if (is_place(made, named->name)) {
        if (named->is_looked_at) {
            check_brought_feature(brought->checking, &named->ref, named->wanted);
        }
        return;
    }
    for (uint32_t i = 0; i < made->recipe_count; i++) {
        is_misspelt =
            is_misspelt || has_the_others(brought, &made->recipes[i], named->name);
    }
    if (is_misspelt) {
        refuse(brought, named->name, named->where);
    }
}

/* What the maker fits along with a successor goes into units that hold the part, or says
 * itself where it goes. */
static void check_along(struct brought *brought, const struct filling *along)
{
    const struct knowledge *made = brought->checking->knowledge;
    const struct part *with = knowledge_part(made, along->with);
    bool is_held = false;
    for (uint32_t i = 0; i < made->recipe_count; i++) {
        if (holds(made, &made->recipes[i], brought->part)) {
            is_held = true;
            if (recipe_place(&made->recipes[i], along->place) != NULL) {
                return;
            }
        }
    }
    if (is_held && (with == NULL || with->brings == NULL)) {
        refuse(brought, along->place, along->place_where);
    }
}

/* What comes along may have a place of its own; one a slip away from a unit's is that. */
static void check_new_place(struct brought *brought, const struct filling *along)
{
    const struct knowledge *made = brought->checking->knowledge;
    const struct nearest near = nearest_place(brought, along->place);
    const struct part *with = knowledge_part(made, along->with);
    if ((with == NULL || with->brings == NULL) && near.best.length > 0 &&
        near.distance == 1) {
        refuse(brought, along->place, along->place_where);
    }
}

void check_brought(struct checking *checking, const struct part *part)
{
    struct brought brought = {.checking = checking,
                              .part = part,
                              .this_word =
                                  names_find(checking->knowledge->names, TEXT("this"))};
    if (part->brings != NULL) {
        add_lines(&brought, part->brings);
    }
    for (uint32_t i = 0; i < brought.places.count; i++) {
        check_place(&brought, &brought.places.at[i]);
    }
    for (uint32_t i = 0; i < part->goes_with_count; i++) {
        check_along(&brought, &part->goes_with[i]);
    }
    for (uint32_t i = 0; i < part->comes_with_count; i++) {
        check_new_place(&brought, &part->comes_with[i]);
    }
}
