/* SPDX-License-Identifier: MIT */
/* Looking words up. */
#include "vocabulary.h"

const struct kind *vocabulary_kind(const struct vocabulary *vocabulary, name_id name)
{
    for (uint32_t i = 0; i < vocabulary->kind_count; i++) {
        if (vocabulary->kinds[i].name == name) {
            return &vocabulary->kinds[i];
        }
    }
    return NULL;
}

const struct listing *vocabulary_listing(const struct vocabulary *vocabulary,
                                         name_id field, bool in_unit)
{
    for (uint32_t i = 0; i < vocabulary->listing_count; i++) {
        if (vocabulary->listings[i].field == field &&
            vocabulary->listings[i].in_unit == in_unit) {
            return &vocabulary->listings[i];
        }
    }
    return NULL;
}

const struct relation_shape *vocabulary_relation(const struct vocabulary *vocabulary,
                                                 name_id name, relation_id *out)
{
    for (uint32_t i = 0; i < vocabulary->shape_count; i++) {
        if (vocabulary->shapes[i].name == name) {
            if (out != NULL) {
                *out = i;
            }
            return &vocabulary->shapes[i];
        }
    }
    return NULL;
}

int vocabulary_column(const struct relation_shape *shape, name_id column)
{
    for (uint32_t i = 0; i < shape->key_count + shape->value_count; i++) {
        if (shape->columns[i].name == column) {
            return (int)i;
        }
    }
    return -1;
}

const struct kind *kind_with_field(const struct vocabulary *vocabulary,
                                   const struct kind *kind, name_id field)
{
    while (field != NAME_NONE) {
        if (vocabulary_column(&vocabulary->shapes[kind->relation], field) >= 0) {
            return kind;
        }
        if (kind->parent == 0) {
            break;
        }
        kind = &vocabulary->kinds[kind->parent - 1];
    }
    return NULL;
}

const struct drawn *kind_drawn(const struct vocabulary *vocabulary,
                               const struct kind *kind)
{
    static const struct drawn unsaid = {.as = DRAWN_OUTLINE};
    while (kind->drawn == NULL && kind->parent != 0) {
        kind = &vocabulary->kinds[kind->parent - 1];
    }
    return kind->drawn == NULL ? &unsaid : kind->drawn;
}

bool kind_is(const struct vocabulary *vocabulary, const struct kind *kind,
             name_id ancestor)
{
    for (;;) {
        if (kind->name == ancestor) {
            return true;
        }
        if (kind->parent == 0) {
            return false;
        }
        kind = &vocabulary->kinds[kind->parent - 1];
    }
}
