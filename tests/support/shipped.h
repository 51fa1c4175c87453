/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_TEST_SHIPPED_H
#define WHYFIT_TEST_SHIPPED_H

#include "knowledge.h"
#include "reckon.h"
#include "room.h"

#include <criterion/criterion.h>

/* The shipped rules and facts, loaded. */
struct shipped {
    struct room room;
    const struct knowledge *knowledge;
};

static inline struct shipped shipped_load(void)
{
    static const struct knowledge_input inputs[] = {
        {.name = {WHYFIT_ROOT "/rules", sizeof WHYFIT_ROOT "/rules" - 1}},
        {.name = {WHYFIT_ROOT "/facts", sizeof WHYFIT_ROOT "/facts" - 1}}};
    struct shipped shipped = {.room = room_open()};
    cr_assert_eq(knowledge_load(shipped.room.arena, inputs, 2, shipped.room.sources,
                                shipped.room.diagnostics, &shipped.knowledge),
                 STATUS_OK);
    return shipped;
}

static inline void shipped_close(struct shipped *shipped)
{
    room_close(&shipped->room);
}

/* A value of a part's feature as the facts have it: NULL when there is none. */
static inline const struct form *shipped_value(const struct shipped *shipped,
                                               const char *part, const char *relation,
                                               const char *feature, const char *column)
{
    const struct names *names = shipped->knowledge->names;
    const name_id key[2] = {names_find(names, text_of(part)),
                            names_find(names, text_of(feature))};
    relation_id id = 0;
    if (!store_find_relation(shipped->knowledge->base,
                             names_find(names, text_of(relation)), &id)) {
        return NULL;
    }
    const struct relation_shape *shape = store_shape(shipped->knowledge->base, id);
    const struct row *row = store_find(shipped->knowledge->base, id, key);
    const int index = vocabulary_column(shape, names_find(names, text_of(column)));
    return row == NULL || index < (int)shape->key_count
               ? NULL
               : row->values[index - (int)shape->key_count].quantity;
}

#endif
