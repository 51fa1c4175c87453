/* SPDX-License-Identifier: MIT */
/*
 * The lines of a unit follow what fills its places: the recipe's, and those that parts
 * bring, which replace the recipe's of the same gap, the same moved place, the same
 * fitted run, space or path. mint_hold.c says which of them hold.
 */
#include "mint_lines.h"

#include "mint_faces.h"
#include "mint_hold.h"

struct minted_place *fill_place(const struct fill *fill, name_id place)
{
    for (uint32_t i = 0; i < fill->place_count; i++) {
        if (fill->places[i].place == place) {
            return &fill->places[i];
        }
    }
    return NULL;
}

/* ---- a line as a part brings it */

/* What `this` stands for in the lines of a part. */
struct bringer {
    name_id this_word;
    name_id place;
    text place_text;
};

static void set_place(const struct bringer *by, name_id *place)
{
    *place = *place == by->this_word ? by->place : *place;
}

static void bring_contact(struct arena *arena, const struct bringer *by,
                          struct contact_line *line)
{
    struct stop_line *stops =
        arena_copy(arena, line->stops, line->stop_count * sizeof *stops);
    set_place(by, &line->moved.place);
    for (uint32_t i = 0; stops != NULL && i < line->stop_count; i++) {
        set_place(by, &stops[i].face.place);
    }
    line->stops = stops;
    line->is_brought = true;
}

/* "this.FIELD" */
static text bring_want(struct arena *arena, const struct bringer *by, text want)
{
    const text mark = TEXT("this.");
    return text_starts(want, mark)
               ? text_format(arena, "%.*s.%.*s", TEXT_ARG(by->place_text),
                             TEXT_ARG(text_slice(want, mark.length, want.length)))
               : want;
}

static void bring_gap(struct arena *arena, const struct bringer *by,
                      struct gap_line *line)
{
    struct set_by *set = arena_copy(arena, line->set, line->set_count * sizeof *set);
    set_place(by, &line->from.place);
    set_place(by, &line->to.place);
    set_place(by, &line->floats);
    for (uint32_t i = 0; set != NULL && i < line->set_count; i++) {
        set_place(by, &set[i].place);
    }
    line->set = set;
    line->want = bring_want(arena, by, line->want);
}

static void bring_fit(struct arena *arena, const struct bringer *by,
                      struct fit_line *line)
{
    (void)arena;
    set_place(by, &line->left.place);
    set_place(by, &line->right.place);
    line->is_brought = true;
}

static void bring_space(struct arena *arena, const struct bringer *by,
                        struct space_line *line)
{
    (void)arena;
    set_place(by, &line->holds);
    set_place(by, &line->vent.place);
    set_place(by, &line->drain.place);
}

static void bring_path(struct arena *arena, const struct bringer *by,
                       struct path_line *line)
{
    (void)arena;
    set_place(by, &line->through.place);
    set_place(by, &line->against.place);
}

static void bring_mesh(struct arena *arena, const struct bringer *by,
                       struct mesh_line *line)
{
    (void)arena;
    set_place(by, &line->place);
    set_place(by, &line->other);
}

/* ---- whether it takes the place of another */

static bool replaces_contact(struct collector *collector, const struct contact_line *old,
                             const struct contact_line *added)
{
    (void)collector;
    return old->moved.place == added->moved.place;
}

static bool replaces_gap(struct collector *collector, const struct gap_line *old,
                         const struct gap_line *added)
{
    (void)collector;
    return old->name == added->name;
}

static bool same_fit(const struct fit_line *a, const struct fit_line *b)
{
    return a->left.place == b->left.place && a->left.feature == b->left.feature;
}

static bool replaces_fit(struct collector *collector, const struct fit_line *old,
                         const struct fit_line *added)
{
    if (same_fit(old, added) && old->right.place != added->right.place) {
        hold_replaced(collector, old->left.place, old->right.place);
    }
    return same_fit(old, added);
}

static bool replaces_space(struct collector *collector, const struct space_line *old,
                           const struct space_line *added)
{
    (void)collector;
    return old->name == added->name;
}

static bool replaces_path(struct collector *collector, const struct path_line *old,
                          const struct path_line *added)
{
    const bool is_elsewhere = old->through.place != added->through.place ||
                              old->against.place != added->against.place;
    if (old->name == added->name && old->against.place != NAME_NONE && is_elsewhere) {
        hold_replaced(collector, old->through.place, old->against.place);
    }
    return old->name == added->name;
}

static bool replaces_mesh(struct collector *collector, const struct mesh_line *old,
                          const struct mesh_line *added)
{
    (void)collector;
    return old->place == added->place && old->other == added->other;
}

/* Adds lines of one kind; those that a part brings replace what they take the place of,
 * though not each other. */
#define ADD(type, array, from, from_count, bring, replaces)                              \
    do {                                                                                 \
        uint32_t others_ = by == NULL ? 0 : (array)->count;                              \
        for (uint32_t i_ = 0; i_ < (from_count); i_++) {                                 \
            struct type line_ = (from)[i_];                                              \
            uint32_t kept_ = 0;                                                          \
            if (by != NULL) {                                                            \
                bring(arena, by, &line_);                                                \
            }                                                                            \
            for (uint32_t k_ = 0; k_ < (array)->count; k_++) {                           \
                if (k_ >= others_ || !replaces(collector, &(array)->at[k_], &line_)) {   \
                    (array)->at[kept_++] = (array)->at[k_];                              \
                }                                                                        \
            }                                                                            \
            others_ -= (array)->count - kept_;                                           \
            (array)->count = kept_;                                                      \
            (void)ARRAY_PUSH(arena, array, line_);                                       \
        }                                                                                \
    } while (0)

/* `by` is NULL for the recipe's own. */
static void add_lines(struct collector *collector, const struct lines *lines,
                      const struct bringer *by)
{
    struct arena *arena = collector->layer->arena;
    ADD(contact_line, &collector->contacts, lines->contacts, lines->contact_count,
        bring_contact, replaces_contact);
    ADD(gap_line, &collector->gaps, lines->gaps, lines->gap_count, bring_gap,
        replaces_gap);
    ADD(fit_line, &collector->fits, lines->fits, lines->fit_count, bring_fit,
        replaces_fit);
    ADD(space_line, &collector->spaces, lines->spaces, lines->space_count, bring_space,
        replaces_space);
    ADD(path_line, &collector->paths, lines->paths, lines->path_count, bring_path,
        replaces_path);
    ADD(mesh_line, &collector->meshes, lines->meshes, lines->mesh_count, bring_mesh,
        replaces_mesh);
}

/* A path between two runs asks about their fit, unless a line does so already. */
static void add_path_fit(struct collector *collector, const struct path_line *path)
{
    const struct fit_line fit = {.left = path->through,
                                 .right = path->against,
                                 .is_in = path->is_in,
                                 .where = path->where};
    for (uint32_t i = 0; i < collector->fits.count; i++) {
        if (same_fit(&collector->fits.at[i], &fit)) {
            if (collector->fits.at[i].right.place != fit.right.place) {
                hold_replaced(collector, fit.left.place, fit.right.place);
            }
            return;
        }
    }
    (void)ARRAY_PUSH(collector->layer->arena, &collector->fits, fit);
}

/* A piece without a face for its other side cannot be turned round: that is the
 * question's fault, not that of the line that would then lay two faces alike. */
static status refuse_unturnable(const struct collector *collector,
                                const struct contact_line *line,
                                const struct stop_line *stop)
{
    const struct layer *layer = collector->layer;
    const struct minted_place *moved = fill_place(collector->fill, line->moved.place);
    const struct minted_place *under = fill_place(collector->fill, stop->face.place);
    const struct minted_place *turned = moved != NULL && moved->is_flipped   ? moved
                                        : under != NULL && under->is_flipped ? under
                                                                             : NULL;
    const int way = face_way(layer, collector->fill, &line->moved);
    if (turned == NULL || stop->has_offset || way == 0 ||
        way != face_way(layer, collector->fill, &stop->face)) {
        return STATUS_OK;
    }
    struct diagnostic *report = diagnostics_report(
        layer->diagnostics, CODE_QUESTION_WRONG, turned->flipped_where,
        "%.*s cannot be turned round: %.*s and %.*s would look the same way",
        TEXT_ARG(names_text(layer->names, turned->place)),
        TEXT_ARG(ref_text(collector, &line->moved)),
        TEXT_ARG(ref_text(collector, &stop->face)));
    report->expected = TEXT(
        "a part whose other side has a face for this: called like it with in and out "
        "exchanged, or the only one that looks the other way");
    diagnostic_note_add(report, line->where, TEXT("the contact is here"));
    return STATUS_INVALID;
}

static status refuse_turned(const struct collector *collector)
{
    status result = STATUS_OK;
    for (uint32_t i = 0; i < collector->contacts.count; i++) {
        const struct contact_line *line = &collector->contacts.at[i];
        for (uint32_t k = 0; k < line->stop_count; k++) {
            if (refuse_unturnable(collector, line, &line->stops[k]) != STATUS_OK) {
                result = STATUS_INVALID;
            }
        }
    }
    return result;
}

static void flip_lines(struct collector *collector)
{
    for (uint32_t i = 0; i < collector->contacts.count; i++) {
        struct contact_line *line = &collector->contacts.at[i];
        struct stop_line *stops = arena_copy(collector->layer->arena, line->stops,
                                             line->stop_count * sizeof *stops);
        face_flip(collector->layer, collector->fill, &line->moved);
        for (uint32_t k = 0; stops != NULL && k < line->stop_count; k++) {
            face_flip(collector->layer, collector->fill, &stops[k].face);
        }
        line->stops = stops;
    }
    for (uint32_t i = 0; i < collector->gaps.count; i++) {
        face_flip(collector->layer, collector->fill, &collector->gaps.at[i].from);
        face_flip(collector->layer, collector->fill, &collector->gaps.at[i].to);
    }
}

status lines_hold(struct layer *layer, const struct recipe *recipe,
                  const struct fill *fill, struct held_lines *out)
{
    struct collector collector = {.layer = layer, .fill = fill, .recipe = recipe};
    const name_id this_word = names_add(layer->names, TEXT("this"));
    *out = (struct held_lines){0};
    add_lines(&collector, &recipe->lines, NULL);
    for (uint32_t i = 0; i < fill->place_count; i++) {
        const struct minted_place *place = &fill->places[i];
        const struct bringer by = {this_word, place->place,
                                   names_text(layer->names, place->place)};
        if (place->part != NULL && place->part->brings != NULL) {
            add_lines(&collector, place->part->brings, &by);
        }
    }
    for (uint32_t i = 0; i < collector.paths.count; i++) {
        if (collector.paths.at[i].against.place != NAME_NONE) {
            add_path_fit(&collector, &collector.paths.at[i]);
        }
    }
    flip_lines(&collector);
    TRY(arena_status(layer->arena));
    TRY(refuse_turned(&collector));
    hold_lines(&collector, &out->lines);
    out->fallen = collector.fallen.at;
    out->fallen_count = collector.fallen.count;
    out->replaced = collector.replaced.at;
    out->replaced_count = collector.replaced.count;
    return arena_status(layer->arena);
}
