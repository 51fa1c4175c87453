/* SPDX-License-Identifier: MIT */
/*
 * Which of a unit's lines hold. A line that names a face its part lacks falls away, and
 * the answer says so; an emptied place hands its contacts on, so that what lay on it lies
 * on what it lay on.
 */
#include "mint_hold.h"

#include "limits.h"
#include "mint_faces.h"

static text name_of(const struct collector *collector, name_id name)
{
    return names_text(collector->layer->names, name);
}

text ref_text(const struct collector *collector, const struct feature_ref *ref)
{
    if (ref->feature == NAME_NONE) {
        return name_of(collector, ref->place);
    }
    return text_format(collector->layer->arena, "%.*s.%.*s",
                       TEXT_ARG(name_of(collector, ref->place)),
                       TEXT_ARG(name_of(collector, ref->feature)));
}

static void fall(struct collector *collector, text line, text why, name_id place)
{
    const struct fallen_line fallen = {.line = line, .why = why, .place = place};
    (void)ARRAY_PUSH(collector->layer->arena, &collector->fallen, fallen);
}

void hold_replaced(struct collector *collector, name_id left, name_id right)
{
    const struct replaced_fit replaced = {left, right};
    (void)ARRAY_PUSH(collector->layer->arena, &collector->replaced, replaced);
}

/* Why a reference leads nowhere, or the empty text when it leads somewhere. */
static text ref_trouble(const struct collector *collector, const struct feature_ref *ref,
                        enum feature_class wanted)
{
    struct arena *arena = collector->layer->arena;
    const struct minted_place *at = fill_place(collector->fill, ref->place);
    if (at == NULL) {
        return text_format(arena, "there is no place %.*s",
                           TEXT_ARG(name_of(collector, ref->place)));
    }
    if (at->with == NAME_NONE) {
        return text_format(arena, "%.*s is left empty",
                           TEXT_ARG(name_of(collector, ref->place)));
    }
    if (ref->feature == NAME_NONE) {
        return (text){"", 0};
    }
    const text feature = name_of(collector, ref->feature);
    const bool is_there = at->recipe != NULL ? recipe_offers(at->recipe, ref->feature)
                                             : part_has(at->part, wanted, feature);
    if (is_there) {
        return (text){"", 0};
    }
    return text_format(arena, "%.*s has no %.*s", TEXT_ARG(name_of(collector, at->with)),
                       TEXT_ARG(feature));
}

/* The contact that lays a place, among all lines. */
static const struct contact_line *contact_of(const struct collector *collector,
                                             name_id place)
{
    for (uint32_t i = 0; i < collector->contacts.count; i++) {
        if (collector->contacts.at[i].moved.place == place) {
            return &collector->contacts.at[i];
        }
    }
    return NULL;
}

typedef ARRAY_OF(struct stop_line) stop_list;

static void fall_contact(struct collector *collector, const struct contact_line *line,
                         const struct feature_ref *stop, text why)
{
    const text moved = ref_text(collector, &line->moved);
    const text face = ref_text(collector, stop);
    fall(collector,
         text_format(collector->layer->arena, "contact %.*s = %.*s", TEXT_ARG(moved),
                     TEXT_ARG(face)),
         why, line->moved.place);
}

/* Adds a stop; one on an emptied place is replaced by what that place lay on. */
static void add_stop(struct collector *collector, const struct contact_line *line,
                     struct stop_line stop, uint32_t depth, stop_list *out)
{
    const struct minted_place *at = fill_place(collector->fill, stop.face.place);
    if (at != NULL && at->with == NAME_NONE && depth < LIMIT_PLACES) {
        const struct contact_line *handed = contact_of(collector, stop.face.place);
        for (uint32_t i = 0; handed != NULL && i < handed->stop_count; i++) {
            add_stop(collector, line, handed->stops[i], depth + 1, out);
        }
        return;
    }
    const text trouble = ref_trouble(collector, &stop.face, FEATURE_PLANE);
    if (trouble.length > 0) {
        fall_contact(collector, line, &stop.face, trouble);
        return;
    }
    const struct minted_place *moved = fill_place(collector->fill, line->moved.place);
    if (moved != NULL && moved->piece == at->piece) {
        return; /* one piece fills both places: it cannot lie on itself */
    }
    if (depth > 0 && !stop.has_offset &&
        face_way(collector->layer, collector->fill, &line->moved) != 0 &&
        face_way(collector->layer, collector->fill, &line->moved) ==
            face_way(collector->layer, collector->fill, &stop.face)) {
        fall_contact(collector, line, &stop.face,
                     TEXT("what it is handed on to looks the same way"));
        return;
    }
    (void)ARRAY_PUSH(collector->layer->arena, out, stop);
}

/* By what the lines say, so that neither the file's order nor ids show in the numbers
 * they get. */
static int compare_refs(const struct collector *collector, const struct feature_ref *a,
                        const struct feature_ref *b)
{
    const int place = names_compare(collector->layer->names, a->place, b->place);
    return place != 0 ? place
                      : names_compare(collector->layer->names, a->feature, b->feature);
}

static bool contact_before(const struct collector *collector,
                           const struct contact_line *a, const struct contact_line *b)
{
    return compare_refs(collector, &a->moved, &b->moved) < 0;
}

static bool gap_before(const struct collector *collector, const struct gap_line *a,
                       const struct gap_line *b)
{
    return names_compare(collector->layer->names, a->name, b->name) < 0;
}

static bool fit_before(const struct collector *collector, const struct fit_line *a,
                       const struct fit_line *b)
{
    const int left = compare_refs(collector, &a->left, &b->left);
    return left != 0 ? left < 0 : compare_refs(collector, &a->right, &b->right) < 0;
}

static bool stop_before(const struct collector *collector, const struct stop_line *a,
                        const struct stop_line *b)
{
    return compare_refs(collector, &a->face, &b->face) < 0;
}

/* Insertion sort: a unit has tens of lines. */
#define SORT(type, array, count, before)                                                 \
    do {                                                                                 \
        for (uint32_t i_ = 1; i_ < (count); i_++) {                                      \
            const type moving_ = (array)[i_];                                            \
            uint32_t to_ = i_;                                                           \
            while (to_ > 0 && before(collector, &moving_, &(array)[to_ - 1])) {          \
                (array)[to_] = (array)[to_ - 1];                                         \
                to_--;                                                                   \
            }                                                                            \
            (array)[to_] = moving_;                                                      \
        }                                                                                \
    } while (0)

static void sort_lines(struct collector *collector)
{
    SORT(struct contact_line, collector->contacts.at, collector->contacts.count,
         contact_before);
    SORT(struct gap_line, collector->gaps.at, collector->gaps.count, gap_before);
    SORT(struct fit_line, collector->fits.at, collector->fits.count, fit_before);
}

/* A held contact that moves the same face of the same piece: one piece may fill two
 * places. */
static struct contact_line *same_moved(const struct collector *collector,
                                       struct contact_line *held, uint32_t count,
                                       const struct contact_line *line)
{
    const struct minted_place *moved = fill_place(collector->fill, line->moved.place);
    for (uint32_t i = 0; moved != NULL && i < count; i++) {
        const struct minted_place *other =
            fill_place(collector->fill, held[i].moved.place);
        if (held[i].moved.place != line->moved.place && other->piece == moved->piece &&
            held[i].moved.feature == line->moved.feature) {
            return &held[i];
        }
    }
    return NULL;
}

/* It then lies on the first stop of both. */
static void join_stops(struct collector *collector, struct contact_line *into,
                       const struct contact_line *from)
{
    struct stop_line *stops =
        ARENA_MANY(collector->layer->arena, (size_t)into->stop_count + from->stop_count,
                   struct stop_line);
    for (uint32_t i = 0; stops != NULL && i < into->stop_count; i++) {
        stops[i] = into->stops[i];
    }
    for (uint32_t i = 0; stops != NULL && i < from->stop_count; i++) {
        stops[into->stop_count + i] = from->stops[i];
    }
    if (stops != NULL) {
        into->stops = stops;
        into->stop_count += from->stop_count;
    }
}

static void hold_contacts(struct collector *collector, struct lines *out)
{
    struct contact_line *held = ARENA_MANY(
        collector->layer->arena, collector->contacts.count, struct contact_line);
    uint32_t count = 0;
    for (uint32_t i = 0; held != NULL && i < collector->contacts.count; i++) {
        struct contact_line line = collector->contacts.at[i];
        const struct minted_place *moved = fill_place(collector->fill, line.moved.place);
        if (moved != NULL && moved->with == NAME_NONE) {
            continue;
        }
        const text trouble = ref_trouble(collector, &line.moved, FEATURE_PLANE);
        if (trouble.length > 0) {
            fall(collector,
                 text_format(collector->layer->arena, "contact %.*s",
                             TEXT_ARG(ref_text(collector, &line.moved))),
                 trouble, line.moved.place);
            continue;
        }
        stop_list stops = {0};
        for (uint32_t k = 0; k < line.stop_count; k++) {
            add_stop(collector, &line, line.stops[k], 0, &stops);
        }
        SORT(struct stop_line, stops.at, stops.count, stop_before);
        line.stops = stops.at;
        line.stop_count = stops.count;
        struct contact_line *same = same_moved(collector, held, count, &line);
        if (stops.count > 0 && same != NULL) {
            join_stops(collector, same, &line);
        } else if (stops.count > 0) {
            held[count++] = line;
        }
    }
    out->contacts = held;
    out->contact_count = count;
}

/* Why the field that a gap's want names is not there, or the empty text. */
static text want_trouble(const struct collector *collector, const struct gap_line *line,
                         name_id *place)
{
    const struct layer *layer = collector->layer;
    struct feature_ref whole = {0};
    text place_word = {"", 0};
    text field = {"", 0};
    if (!want_is_field(line->want, &place_word, &field)) {
        return (text){"", 0};
    }
    whole.place = names_add(layer->names, place_word);
    *place = whole.place;
    const text trouble = ref_trouble(collector, &whole, FEATURE_PLANE);
    const struct minted_place *at = fill_place(collector->fill, whole.place);
    if (trouble.length > 0 || at == NULL) {
        return trouble;
    }
    return at->part != NULL &&
                   kind_with_field(layer->knowledge->vocabulary, at->part->kind,
                                   names_find(layer->names, field)) != NULL
               ? (text){"", 0}
               : text_format(layer->arena, "%.*s has no %.*s",
                             TEXT_ARG(name_of(collector, at->with)), TEXT_ARG(field));
}

/* Why a gap leads nowhere, and in which of its places; or the empty text. */
static text gap_trouble(const struct collector *collector, const struct gap_line *line,
                        name_id *place)
{
    const struct feature_ref *refs[2] = {&line->from, &line->to};
    for (int i = 0; i < 2; i++) {
        const text trouble = ref_trouble(collector, refs[i], FEATURE_PLANE);
        *place = refs[i]->place;
        if (trouble.length > 0) {
            return trouble;
        }
    }
    return want_trouble(collector, line, place);
}

static void hold_gaps(struct collector *collector, struct lines *out)
{
    struct gap_line *held =
        ARENA_MANY(collector->layer->arena, collector->gaps.count, struct gap_line);
    uint32_t count = 0;
    for (uint32_t i = 0; held != NULL && i < collector->gaps.count; i++) {
        const struct gap_line *line = &collector->gaps.at[i];
        name_id place = NAME_NONE;
        const text trouble = gap_trouble(collector, line, &place);
        if (trouble.length > 0) {
            fall(collector,
                 text_format(collector->layer->arena, "gap %.*s",
                             TEXT_ARG(name_of(collector, line->name))),
                 trouble, place);
        } else {
            held[count++] = *line;
        }
    }
    out->gaps = held;
    out->gap_count = count;
}

/* Why a fit leads nowhere, and in which of its places; or the empty text. */
static text fit_trouble(const struct collector *collector, const struct fit_line *line,
                        name_id *place)
{
    const text trouble = ref_trouble(collector, &line->left, FEATURE_SURFACE);
    *place = trouble.length > 0 ? line->left.place : line->right.place;
    return trouble.length > 0 ? trouble
                              : ref_trouble(collector, &line->right, FEATURE_SURFACE);
}

/* Whether a part brings the contact of a place, and a fit for what lies there: the fit
 * that the recipe had for it has then been replaced. */
static bool is_laid_anew(const struct collector *collector, name_id place)
{
    const struct contact_line *contact = contact_of(collector, place);
    name_id troubled = NAME_NONE;
    for (uint32_t i = 0;
         contact != NULL && contact->is_brought && i < collector->fits.count; i++) {
        const struct fit_line *fit = &collector->fits.at[i];
        if (fit->is_brought && (fit->left.place == place || fit->right.place == place) &&
            fit_trouble(collector, fit, &troubled).length == 0) {
            return true;
        }
    }
    return false;
}

static void hold_fits(struct collector *collector, struct lines *out)
{
    struct fit_line *held =
        ARENA_MANY(collector->layer->arena, collector->fits.count, struct fit_line);
    uint32_t count = 0;
    for (uint32_t i = 0; held != NULL && i < collector->fits.count; i++) {
        const struct fit_line *line = &collector->fits.at[i];
        name_id place = NAME_NONE;
        const text trouble = fit_trouble(collector, line, &place);
        if (trouble.length > 0 && !line->is_brought &&
            is_laid_anew(collector, line->left.place)) {
            hold_replaced(collector, line->left.place, line->right.place);
        } else if (trouble.length > 0) {
            const text left = ref_text(collector, &line->left);
            const text right = ref_text(collector, &line->right);
            fall(collector,
                 text_format(collector->layer->arena, "fit %.*s %s %.*s", TEXT_ARG(left),
                             line->is_in ? "in" : "on", TEXT_ARG(right)),
                 trouble, place);
        } else if (fill_place(collector->fill, line->left.place)->piece !=
                   fill_place(collector->fill, line->right.place)->piece) {
            held[count++] = *line;
        }
    }
    out->fits = held;
    out->fit_count = count;
}

static bool has_space(const struct collector *collector, name_id name)
{
    for (uint32_t i = 0; i < collector->spaces.count; i++) {
        if (collector->spaces.at[i].name == name) {
            return true;
        }
    }
    return false;
}

/* Why nobody can say what shuts a path, or the empty text. An emptied place shuts
 * nothing, and that is known. */
static text path_trouble(const struct collector *collector, const struct path_line *line)
{
    const struct feature_ref *refs[2] = {&line->through, &line->against};
    const name_id spaces[2] = {line->from, line->to};
    for (int i = 0; i < 2; i++) {
        const struct minted_place *at = fill_place(collector->fill, refs[i]->place);
        if (!has_space(collector, spaces[i])) {
            return text_format(collector->layer->arena, "there is no space %.*s",
                               TEXT_ARG(name_of(collector, spaces[i])));
        }
        if (refs[i]->place == NAME_NONE || (at != NULL && at->with == NAME_NONE)) {
            continue;
        }
        const text trouble = ref_trouble(collector, refs[i], FEATURE_SURFACE);
        if (trouble.length > 0) {
            return trouble;
        }
    }
    return (text){"", 0};
}

static void hold_paths(struct collector *collector, struct lines *out)
{
    struct path_line *held =
        ARENA_MANY(collector->layer->arena, collector->paths.count, struct path_line);
    uint32_t count = 0;
    for (uint32_t i = 0; held != NULL && i < collector->paths.count; i++) {
        const struct path_line *line = &collector->paths.at[i];
        const text trouble = path_trouble(collector, line);
        if (trouble.length > 0) {
            fall(collector,
                 text_format(collector->layer->arena, "path %.*s",
                             TEXT_ARG(name_of(collector, line->name))),
                 trouble, line->through.place);
        } else {
            held[count++] = *line;
        }
    }
    out->paths = held;
    out->path_count = count;
}

void hold_lines(struct collector *collector, struct lines *out)
{
    sort_lines(collector);
    hold_contacts(collector, out);
    hold_gaps(collector, out);
    hold_fits(collector, out);
    hold_paths(collector, out);
    out->pushes = collector->recipe->lines.pushes;
    out->push_count = collector->recipe->lines.push_count;
    out->meshes = collector->meshes.at;
    out->mesh_count = collector->meshes.count;
    out->spaces = collector->spaces.at;
    out->space_count = collector->spaces.count;
}
