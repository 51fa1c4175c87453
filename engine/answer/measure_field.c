/* SPDX-License-Identifier: MIT */
/*
 * From the name of a dimension back to the field it stands for: "shaft.ring-land.to" is
 * the column `to` of the run ring-land of the piece shaft, "bearing.closure" a column of
 * the piece's kind.
 */
#include "measure_private.h"

static size_t last_dot(text a)
{
    size_t at = a.length;
    while (at > 0 && a.at[at - 1] != '.') {
        at--;
    }
    return at == 0 ? a.length : at - 1;
}

/* Fills the column out of a row of this relation; false: it has none of that name. */
static bool take_column(const struct measuring *measuring, relation_id relation,
                        const name_id *key, text field, struct measured_field *out)
{
    const struct answer *answer = measuring->answer;
    const struct vocabulary *vocabulary = measuring->knowledge->vocabulary;
    const struct relation_shape *shape = store_shape(answer->store, relation);
    const int column = vocabulary_column(shape, names_find(answer->names, field));
    const struct row *row = store_find(answer->store, relation, key);
    if (column < (int)shape->key_count || row == NULL) {
        return false;
    }
    out->row = row;
    out->shape = shape;
    out->column = &shape->columns[column];
    out->manner = &vocabulary->manners[relation][column];
    return true;
}

static bool field_of_feature(const struct measuring *measuring, name_id piece,
                             text feature, text field, struct measured_field *out)
{
    const struct vocabulary *vocabulary = measuring->knowledge->vocabulary;
    const name_id key[2] = {piece, names_find(measuring->answer->names, feature)};
    for (uint32_t i = 0; key[1] != NAME_NONE && i < vocabulary->listing_count; i++) {
        const struct listing *listing = &vocabulary->listings[i];
        if (!listing->in_unit && vocabulary->shapes[listing->relation].key_count == 2 &&
            take_column(measuring, listing->relation, key, field, out)) {
            out->feature = feature;
            return true;
        }
    }
    return false;
}

static bool field_of_kind(const struct measuring *measuring, name_id piece, text field,
                          struct measured_field *out)
{
    const struct vocabulary *vocabulary = measuring->knowledge->vocabulary;
    for (uint32_t i = 0; i < vocabulary->kind_count; i++) {
        if (take_column(measuring, vocabulary->kinds[i].relation, &piece, field, out)) {
            return true;
        }
    }
    return false;
}

bool measured_field_of(const struct measuring *measuring, text dimension,
                       struct measured_field *out)
{
    const struct names *names = measuring->answer->names;
    const size_t second = last_dot(dimension);
    const text owner = text_slice(dimension, 0, second);
    const text field = text_slice(dimension, second + 1, dimension.length);
    const size_t first = last_dot(owner);
    const text piece = text_slice(owner, 0, first);
    *out = (struct measured_field){.row = NULL};
    if (second == dimension.length) {
        return false;
    }
    const bool is_found =
        (first < owner.length && names_find(names, piece) != NAME_NONE &&
         field_of_feature(measuring, names_find(names, piece),
                          text_slice(owner, first + 1, owner.length), field, out)) ||
        (names_find(names, owner) != NAME_NONE &&
         field_of_kind(measuring, names_find(names, owner), field, out));
    out->piece = out->feature.length > 0 ? piece : owner;
    /* What fills a place within a unit cannot be given a value directly. */
    out->can_be_given = text_find(out->piece, '.', 0) == out->piece.length &&
                        text_find(out->piece, ' ', 0) == out->piece.length;
    return is_found;
}

const struct part *part_of_piece(const struct measuring *measuring, text piece)
{
    const struct answer *answer = measuring->answer;
    relation_id relation = 0;
    const name_id key = names_find(answer->names, piece);
    const name_id word = names_find(answer->names, TEXT("part"));
    if (key == NAME_NONE ||
        !store_find_relation(answer->store, names_find(answer->names, TEXT("piece")),
                             &relation)) {
        return NULL;
    }
    const struct row *row = store_find(answer->store, relation, &key);
    const struct relation_shape *shape = store_shape(answer->store, relation);
    const int column = vocabulary_column(shape, word);
    if (row == NULL || column < (int)shape->key_count) {
        return NULL;
    }
    const struct value part = row->values[(uint32_t)column - shape->key_count];
    return part.kind == VALUE_WORD ? knowledge_part(measuring->knowledge, part.word)
                                   : NULL;
}
