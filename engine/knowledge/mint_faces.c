/* SPDX-License-Identifier: MIT */
/* Which way faces look as their parts lie in a unit, and what a line means by a face of a
 * part that the question turned round. Read from documents: nothing is laid yet. */
#include "mint_faces.h"

/* A face as its part's document states it; NULL when the place holds no part or it has
 * none such. A face that a unit offers is looked up in the unit's own places. */
static const struct node *face_document(const struct layer *layer,
                                        const struct fill *fill,
                                        const struct feature_ref *ref)
{
    const struct minted_place *at = fill_place(fill, ref->place);
    const struct part *part = at == NULL ? NULL : at->part;
    name_id face = ref->feature;
    for (uint32_t i = 0; at != NULL && at->recipe != NULL && i < at->recipe->offer_count;
         i++) {
        const struct offer_line *offer = &at->recipe->offers[i];
        for (uint32_t k = 0; offer->name == ref->feature && k < at->recipe->place_count;
             k++) {
            if (at->recipe->places[k].place == offer->face.place) {
                part = knowledge_part(layer->knowledge, at->recipe->places[k].with);
                face = offer->face.feature;
            }
        }
    }
    const struct node_field *found =
        part == NULL ? NULL
                     : node_find(node_field_of(part->document, "faces"),
                                 names_text(layer->names, face));
    return found == NULL ? NULL : found->value;
}

/* 1 out, -1 in, 0 not known; as it lies in the unit. */
int face_way(const struct layer *layer, const struct fill *fill,
             const struct feature_ref *ref)
{
    const struct minted_place *at = fill_place(fill, ref->place);
    const struct node *face = face_document(layer, fill, ref);
    const struct node *looks = face == NULL ? NULL : node_field_of(face, "looks");
    const int way = looks == NULL || looks->kind != NODE_WORD ? 0
                    : text_is(looks->word, "out")             ? 1
                                                              : -1;
    return at != NULL && at->is_turned ? -way : way;
}

/* "inner-in" for "inner-out" and the other way round; the empty text for other names. */
static text opposite_name(struct arena *arena, text name)
{
    const bool is_in = text_is(name, "in") || text_ends(name, TEXT("-in"));
    const bool is_out = text_is(name, "out") || text_ends(name, TEXT("-out"));
    const size_t ending = is_in ? 2 : 3;
    return !is_in && !is_out
               ? (text){"", 0}
               : text_format(arena, "%.*s%s",
                             TEXT_ARG(text_slice(name, 0, name.length - ending)),
                             is_in ? "out" : "in");
}

/* A piece that the question turned round lies on its other side: a line that names a face
 * then means the opposite one, which is called like it with in and out exchanged, or is
 * the only one that looks the other way. */
void face_flip(const struct layer *layer, const struct fill *fill,
               struct feature_ref *ref)
{
    const struct minted_place *at = fill_place(fill, ref->place);
    const struct node *faces = at == NULL || at->part == NULL
                                   ? NULL
                                   : node_field_of(at->part->document, "faces");
    const int way = face_way(layer, fill, ref);
    if (at == NULL || !at->is_flipped || faces == NULL || way == 0) {
        return;
    }
    const text opposite =
        opposite_name(layer->arena, names_text(layer->names, ref->feature));
    name_id only = NAME_NONE;
    uint32_t count = 0;
    for (uint32_t i = 0; i < faces->count; i++) {
        struct feature_ref other = *ref;
        other.feature = names_add(layer->names, faces->fields[i].key);
        if (text_equal(faces->fields[i].key, opposite)) {
            ref->feature = other.feature;
            return;
        }
        if (face_way(layer, fill, &other) == -way) {
            only = other.feature;
            count++;
        }
    }
    ref->feature = count == 1 ? only : ref->feature;
}
