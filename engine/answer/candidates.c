/* SPDX-License-Identifier: MIT */
/* What a search tries in each place, and which places leave the unit's lines alone. */
#include "candidates.h"

#include "array.h"
#include "could_stand.h"
#include "limits.h"

#include <stdlib.h>

struct gathering {
    struct arena *arena;
    const struct knowledge *knowledge;
    const struct recipe *host;
    const struct recipe *toward;
    struct candidate_place *place;
    ARRAY_OF(text) words;
};

name_id recipe_with(const struct knowledge *knowledge, const struct recipe *recipe,
                    name_id place)
{
    const struct filling *filling = recipe == NULL ? NULL : recipe_place(recipe, place);
    return filling == NULL || filling->with == names_find(knowledge->names, TEXT("none"))
               ? NAME_NONE
               : filling->with;
}

/* The number of a part; of somebody's own piece the one it is of. */
static name_id number_of(const struct knowledge *knowledge, name_id with)
{
    const struct part *part = knowledge_part(knowledge, with);
    return part != NULL && part->like != NAME_NONE ? part->like : with;
}

static void add_word(struct gathering *gathering, text word)
{
    for (uint32_t i = 0; i < gathering->words.count; i++) {
        if (text_equal(gathering->words.at[i], word)) {
            return;
        }
    }
    (void)ARRAY_PUSH(gathering->arena, &gathering->words, word);
}

/* Somebody's own piece is no part that could be had. */
static void add_with(struct gathering *gathering, name_id with)
{
    const struct knowledge *knowledge = gathering->knowledge;
    const struct part *part = knowledge_part(knowledge, with);
    const bool is_known = part != NULL || knowledge_recipe(knowledge, with) != NULL;
    if (is_known && (part == NULL || part->like == NAME_NONE) &&
        with != number_of(knowledge, gathering->place->host) &&
        with != gathering->host->name) {
        add_word(gathering, names_text(knowledge->names, with));
    }
}

static int compare_words(const void *a, const void *b)
{
    return text_compare(*(const text *)a, *(const text *)b);
}

/* What was added from `from` on, by name: the order of files must not show. */
static void sort_from(struct gathering *gathering, uint32_t from)
{
    if (gathering->words.count > from + 1) {
        qsort(&gathering->words.at[from], gathering->words.count - from, sizeof(text),
              compare_words);
    }
}

static void add_named(void *context, name_id with)
{
    struct gathering *gathering = context;
    if (gathering->place->host == NAME_NONE ||
        same_family(gathering->knowledge, with, gathering->place->host)) {
        add_with(gathering, with);
    }
}

/* What other units of the host's own kind have in that place does the same job there,
 * whatever kind of part it is. */
static void add_of_like_units(struct gathering *gathering)
{
    const struct knowledge *knowledge = gathering->knowledge;
    const name_id kind = gathering->host->kind;
    for (uint32_t i = 0; kind != NAME_NONE && i < knowledge->recipe_count; i++) {
        const struct recipe *unit = &knowledge->recipes[i];
        if (unit->kind == kind) {
            add_with(gathering, recipe_with(knowledge, unit, gathering->place->place));
        }
    }
}

/* What supersedes what is there, and what that supersedes. */
static void add_superseding(struct gathering *gathering)
{
    const struct knowledge *knowledge = gathering->knowledge;
    const name_id host = number_of(knowledge, gathering->place->host);
    const struct part *own = knowledge_part(knowledge, host);
    if (own != NULL && own->superseded_by != NAME_NONE) {
        add_with(gathering, own->superseded_by);
    }
    for (uint32_t i = 0; own != NULL && i < knowledge->part_count; i++) {
        if (knowledge->parts[i].superseded_by == host) {
            add_with(gathering, knowledge->parts[i].name);
        }
    }
}

static void add_of_family(struct gathering *gathering)
{
    const struct knowledge *knowledge = gathering->knowledge;
    const name_id host = gathering->place->host;
    for (uint32_t i = 0; i < knowledge->part_count; i++) {
        const struct part *part = &knowledge->parts[i];
        if (!part->is_of_family && same_family(knowledge, part->name, host)) {
            add_with(gathering, part->name);
        }
    }
    for (uint32_t i = 0; i < knowledge->recipe_count; i++) {
        if (same_family(knowledge, knowledge->recipes[i].name, host)) {
            add_with(gathering, knowledge->recipes[i].name);
        }
    }
}

static bool is_filling_of(const struct filling *fillings, uint32_t count, name_id place)
{
    for (uint32_t i = 0; i < count; i++) {
        if (fillings[i].place == place) {
            return true;
        }
    }
    return false;
}

/* Whether any part brings something into a place of this name: then the host's own, asked
 * for by name, is another question than saying nothing of it. */
static bool is_brought_into(const struct knowledge *knowledge, name_id place)
{
    for (uint32_t i = 0; i < knowledge->part_count; i++) {
        const struct part *part = &knowledge->parts[i];
        if (is_filling_of(part->comes_with, part->comes_with_count, place) ||
            is_filling_of(part->goes_with, part->goes_with_count, place)) {
            return true;
        }
    }
    return false;
}

static status gather_words(struct gathering *gathering, const struct wanted_fill *wanted,
                           uint32_t wanted_count)
{
    const struct knowledge *knowledge = gathering->knowledge;
    struct candidate_place *place = gathering->place;
    for (uint32_t i = 0; i < wanted_count; i++) {
        if (wanted[i].place == place->place) {
            add_word(gathering, wanted[i].word);
        }
    }
    const name_id toward = recipe_with(knowledge, gathering->toward, place->place);
    if (toward != NAME_NONE) {
        add_with(gathering, toward);
    } else if (gathering->toward != NULL && place->host != NAME_NONE) {
        add_word(gathering, TEXT("none"));
    }
    uint32_t from = gathering->words.count;
    visit_named(knowledge, place->place, add_named, gathering);
    add_of_like_units(gathering);
    add_superseding(gathering);
    sort_from(gathering, from);
    from = gathering->words.count;
    add_of_family(gathering);
    sort_from(gathering, from);
    if (place->host != NAME_NONE && is_brought_into(knowledge, place->place)) {
        add_word(gathering,
                 names_text(knowledge->names, number_of(knowledge, place->host)));
    }
    place->words = gathering->words.at;
    place->count = gathering->words.count;
    if (place->count > LIMIT_CANDIDATES) {
        place->left_out = place->count - LIMIT_CANDIDATES;
        place->count = LIMIT_CANDIDATES;
    }
    return arena_status(gathering->arena);
}

/* ---- quiet places */

/* Whether everything that may stand in a place has what a line names of it. */
struct line_check {
    const struct knowledge *knowledge;
    struct candidate_place *places;
    uint32_t count;
};

static struct candidate_place *find_place(struct line_check *check, name_id place)
{
    for (uint32_t i = 0; i < check->count; i++) {
        if (check->places[i].place == place) {
            return &check->places[i];
        }
    }
    return NULL;
}

static name_id candidate_of(const struct knowledge *knowledge,
                            const struct candidate_place *place, uint32_t i)
{
    return i == place->count ? place->host
                             : names_find(knowledge->names, place->words[i]);
}

static void check_named(struct line_check *check, struct feature_ref ref,
                        enum feature_class wanted)
{
    struct candidate_place *place = find_place(check, ref.place);
    for (uint32_t i = 0; place != NULL && ref.feature != NAME_NONE && i <= place->count;
         i++) {
        place->is_quiet =
            place->is_quiet &&
            with_has(check->knowledge, candidate_of(check->knowledge, place, i), wanted,
                     ref.feature);
    }
}

static void make_loud(struct line_check *check, name_id place)
{
    struct candidate_place *found = find_place(check, place);
    if (found != NULL) {
        found->is_quiet = false;
    }
}

static void check_gap(struct line_check *check, const struct gap_line *gap)
{
    text place = {"", 0};
    text field = {"", 0};
    check_named(check, gap->from, FEATURE_PLANE);
    check_named(check, gap->to, FEATURE_PLANE);
    make_loud(check, gap->floats);
    if (want_is_field(gap->want, &place, &field)) {
        make_loud(check, names_find(check->knowledge->names, place));
    }
    for (uint32_t i = 0; i < gap->set_count; i++) {
        make_loud(check, gap->set[i].place);
    }
}

static void check_lines(struct line_check *check, const struct lines *lines)
{
    for (uint32_t i = 0; i < lines->contact_count; i++) {
        const struct contact_line *contact = &lines->contacts[i];
        check_named(check, contact->moved, FEATURE_PLANE);
        for (uint32_t k = 0; k < contact->stop_count; k++) {
            check_named(check, contact->stops[k].face, FEATURE_PLANE);
        }
    }
    for (uint32_t i = 0; i < lines->gap_count; i++) {
        check_gap(check, &lines->gaps[i]);
    }
    for (uint32_t i = 0; i < lines->fit_count; i++) {
        check_named(check, lines->fits[i].left, FEATURE_SURFACE);
        check_named(check, lines->fits[i].right, FEATURE_SURFACE);
    }
    for (uint32_t i = 0; i < lines->path_count; i++) {
        check_named(check, lines->paths[i].through, FEATURE_SURFACE);
        check_named(check, lines->paths[i].against, FEATURE_SURFACE);
    }
    for (uint32_t i = 0; i < lines->space_count; i++) {
        make_loud(check, lines->spaces[i].holds);
        check_named(check, lines->spaces[i].vent, FEATURE_PORT);
    }
}

/* Whether any feature of a part names an axis: pieces of several axes are laid once on
 * each. */
static bool names_an_axis(const struct part *part)
{
    static const char *const lists[] = {"faces", "stations", "runs", "bands"};
    for (size_t i = 0; i < sizeof lists / sizeof *lists; i++) {
        const struct node *list = node_field_of(part->document, lists[i]);
        for (uint32_t k = 0; list != NULL && list->kind == NODE_MAP && k < list->count;
             k++) {
            const struct node *feature = list->fields[k].value;
            if (feature->kind == NODE_MAP && node_field_of(feature, "axis") != NULL) {
                return true;
            }
        }
    }
    return false;
}

/* A part with a face or a run is laid on its unit's axis, one with none is not. */
static bool is_laid(const struct part *part)
{
    return node_field_of(part->document, "faces") != NULL ||
           node_field_of(part->document, "stations") != NULL ||
           node_field_of(part->document, "runs") != NULL ||
           node_field_of(part->document, "bands") != NULL;
}

static void check_parts(struct line_check *check, struct candidate_place *place)
{
    const struct part *host = knowledge_part(check->knowledge, place->host);
    for (uint32_t i = 0; place->is_quiet && i <= place->count; i++) {
        const struct part *part =
            knowledge_part(check->knowledge, candidate_of(check->knowledge, place, i));
        place->is_quiet = part != NULL && host != NULL && part->brings == NULL &&
                          part->comes_with_count == 0 && part->goes_with_count == 0 &&
                          part->like == NAME_NONE && !names_an_axis(part) &&
                          is_laid(part) == is_laid(host);
    }
    place->is_quiet = place->is_quiet && !is_brought_into(check->knowledge, place->place);
}

static void check_brought(struct line_check *check)
{
    for (uint32_t p = 0; p < check->count; p++) {
        for (uint32_t i = 0; i <= check->places[p].count; i++) {
            const struct part *part = knowledge_part(
                check->knowledge, candidate_of(check->knowledge, &check->places[p], i));
            if (part != NULL && part->brings != NULL) {
                check_lines(check, part->brings);
            }
        }
    }
}

/* ---- all places */

static int compare_candidate_places(const struct names *names,
                                    const struct candidate_place *a,
                                    const struct candidate_place *b)
{
    return names_compare(names, a->place, b->place);
}

static void sort_places(const struct names *names, struct candidate_place *places,
                        uint32_t count)
{
    for (uint32_t i = 1; i < count; i++) {
        const struct candidate_place moving = places[i];
        uint32_t to = i;
        for (; to > 0 && compare_candidate_places(names, &moving, &places[to - 1]) < 0;
             to--) {
            places[to] = places[to - 1];
        }
        places[to] = moving;
    }
}

status candidates_find(struct arena *arena, const struct knowledge *knowledge,
                       const struct recipe *host, const struct recipe *toward,
                       const struct wanted_fill *wanted, uint32_t wanted_count,
                       struct candidates *out)
{
    ARRAY_OF(struct candidate_place) places = {0};
    for (uint32_t i = 0; i < host->place_count + wanted_count; i++) {
        const name_id place = i < host->place_count ? host->places[i].place
                                                    : wanted[i - host->place_count].place;
        const struct candidate_place made = {.place = place,
                                             .host = recipe_with(knowledge, host, place),
                                             .is_quiet = i < host->place_count};
        const bool is_there = i >= host->place_count && recipe_place(host, place) != NULL;
        if (!is_there && !ARRAY_PUSH(arena, &places, made)) {
            return arena_status(arena);
        }
    }
    sort_places(knowledge->names, places.at, places.count);
    for (uint32_t i = 0; i < places.count; i++) {
        struct gathering gathering = {.arena = arena,
                                      .knowledge = knowledge,
                                      .host = host,
                                      .toward = toward,
                                      .place = &places.at[i]};
        TRY(gather_words(&gathering, wanted, wanted_count));
    }
    struct line_check check = {knowledge, places.at, places.count};
    for (uint32_t i = 0; i < places.count; i++) {
        check_parts(&check, &places.at[i]);
    }
    check_lines(&check, &host->lines);
    check_brought(&check);
    *out = (struct candidates){places.at, places.count};
    return arena_status(arena);
}
