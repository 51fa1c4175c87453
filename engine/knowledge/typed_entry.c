/* SPDX-License-Identifier: MIT */
/* Reads lists from documents, since rows of units are minted for a question only. */
#include "typed_entry.h"

#include "number_text.h"

#include <math.h>

static double end_of(const struct names *names, const struct relation_shape *shape,
                     const struct node *entry, int column, double otherwise)
{
    double end = 0.0;
    const struct node *word =
        column < 0 || entry->kind != NODE_MAP
            ? NULL
            : node_field_of(entry, names_text(names, shape->columns[column].name).at);
    return word != NULL && word->kind == NODE_WORD && number_read(word->word, &end)
               ? end
               : otherwise;
}

/* The list that the walk stands at; NULL: it says nothing of this kind, or is not there.
 */
static const struct node *list_of(const struct typed_walk *walk)
{
    const struct vocabulary *vocabulary = walk->knowledge->vocabulary;
    const struct listing *listing = &vocabulary->listings[walk->list];
    const struct relation_look *look = &vocabulary->looks[listing->relation];
    if (walk->document == NULL || listing->in_unit != walk->in_unit ||
        look->typed_name == NULL || look->typed_number == NULL) {
        return NULL;
    }
    const struct node *list = node_field_of(
        walk->document, names_text(walk->knowledge->names, listing->field).at);
    return list != NULL && list->kind == NODE_MAP ? list : NULL;
}

bool typed_walk_next(struct typed_walk *walk, struct typed_entry *out)
{
    const struct vocabulary *vocabulary = walk->knowledge->vocabulary;
    for (; walk->list < vocabulary->listing_count; walk->list++, walk->at = 0) {
        const struct node *list = list_of(walk);
        if (list == NULL || walk->at >= list->count) {
            continue;
        }
        const relation_id relation = vocabulary->listings[walk->list].relation;
        const struct relation_shape *shape = &vocabulary->shapes[relation];
        const struct hint *number = vocabulary->looks[relation].typed_number;
        const struct node_field *field = &list->fields[walk->at++];
        const struct names *names = walk->knowledge->names;
        *out = (struct typed_entry){
            .name = field->key,
            .from = end_of(names, shape, field->value, number->from, -INFINITY),
            .to = end_of(names, shape, field->value, number->to, INFINITY)};
        return true;
    }
    return false;
}
