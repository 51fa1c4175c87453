/* SPDX-License-Identifier: MIT */
/* Rows of the base, gathered by part and by model for whoever judges many listings. */
#include "part_shows.h"

#include "array.h"

#include <math.h>
#include <stdlib.h>

typedef ARRAY_OF(struct shown) shown_array;
typedef ARRAY_OF(struct built) built_array;

struct gathering {
    struct arena *arena;
    const struct knowledge *knowledge;
    struct part_show *parts;
};

/* The column of a relation by the name of its value; -1: none. */
static int column_of(const struct knowledge *knowledge, const char *relation,
                     const char *column, relation_id *id)
{
    const struct relation_shape *shape = vocabulary_relation(
        knowledge->vocabulary, names_find(knowledge->names, text_of(relation)), id);
    return shape == NULL
               ? -1
               : vocabulary_column(shape, names_find(knowledge->names, text_of(column)));
}

static struct shown read_shown(const struct gathering *gathering, const struct row *row,
                               const struct value *value)
{
    struct shown shown = {.what = row->key[1], .row = row, .least = NAN, .greatest = NAN};
    const struct unit mm = {.scale = 1e6};
    if (value->kind == VALUE_QUANTITY && value->quantity != NULL &&
        !form_misses(value->quantity)) {
        shown.least = unit_from_coherent(&mm, value->quantity->least);
        shown.greatest = unit_from_coherent(&mm, value->quantity->greatest);
    } else if (value->kind == VALUE_COUNT) {
        shown.count = value->count;
    } else if (value->kind == VALUE_WORD) {
        shown.word = value->word;
        shown.has = text_is(names_text(gathering->knowledge->names, value->word), "yes");
    }
    return shown;
}

static int compare_rows(const void *a, const void *b)
{
    const struct shown *left = a;
    const struct shown *right = b;
    return (left->what > right->what) - (left->what < right->what);
}

/* Puts the rows of a relation into the list at `offset` of each part's shows. */
static status gather(const struct gathering *gathering, const char *relation,
                     const char *column, size_t offset)
{
    const struct knowledge *knowledge = gathering->knowledge;
    relation_id id = 0;
    const int at = column_of(knowledge, relation, column, &id);
    shown_array *lists = ARENA_MANY(gathering->arena, knowledge->part_count, shown_array);
    TRY(arena_status(gathering->arena));
    if (at < 0) {
        return STATUS_OK;
    }
    const uint32_t keys = store_shape(knowledge->base, id)->key_count;
    for (uint32_t i = 0; i < store_count(knowledge->base, id); i++) {
        const struct row *row = store_row(knowledge->base, id, i);
        const struct part *part = knowledge_part(knowledge, row->key[0]);
        if (part == NULL || row->standing != STANDING_SURE) {
            continue;
        }
        const struct shown shown =
            read_shown(gathering, row, &row->values[(uint32_t)at - keys]);
        if (!ARRAY_PUSH(gathering->arena, &lists[part - knowledge->parts], shown)) {
            return arena_status(gathering->arena);
        }
    }
    for (uint32_t p = 0; p < knowledge->part_count; p++) {
        struct shown_list *list =
            (struct shown_list *)(void *)((char *)&gathering->parts[p] + offset);
        if (lists[p].count > 1) {
            qsort(lists[p].at, lists[p].count, sizeof *lists[p].at, compare_rows);
        }
        *list = (struct shown_list){lists[p].at, lists[p].count};
    }
    return STATUS_OK;
}

/* ---- models and years */

static int year_or(const struct row *row, int column, uint32_t keys, int otherwise)
{
    const struct value *value = column < 0 ? NULL : &row->values[(uint32_t)column - keys];
    return value != NULL && value->kind == VALUE_COUNT && value->count >= FIRST_YEAR &&
                   value->count <= LAST_YEAR
               ? (int)value->count
               : otherwise;
}

static status gather_built(const struct gathering *gathering, const char *relation,
                           bool is_fitment, built_array *out)
{
    const struct knowledge *knowledge = gathering->knowledge;
    relation_id id = 0;
    const int model = column_of(knowledge, relation, "model", &id);
    const int from = column_of(knowledge, relation, "from-year", &id);
    const int to = column_of(knowledge, relation, "to-year", &id);
    if (model < 0) {
        return STATUS_OK;
    }
    const uint32_t keys = store_shape(knowledge->base, id)->key_count;
    for (uint32_t i = 0; i < store_count(knowledge->base, id); i++) {
        const struct row *row = store_row(knowledge->base, id, i);
        const name_id other = row->key[model == 0 ? 1 : 0];
        const struct part *part = is_fitment ? knowledge_part(knowledge, other) : NULL;
        const struct built built = {
            .model = row->key[model],
            .unit = is_fitment ? NULL : knowledge_recipe(knowledge, other),
            .part = part == NULL ? 0 : (uint32_t)(part - knowledge->parts),
            .from = year_or(row, from, keys, FIRST_YEAR),
            .to = year_or(row, to, keys, LAST_YEAR),
            .row = row};
        const bool is_whole = is_fitment ? part != NULL : built.unit != NULL;
        if (is_whole && !ARRAY_PUSH(gathering->arena, out, built)) {
            return arena_status(gathering->arena);
        }
    }
    return STATUS_OK;
}

static int compare_built(const void *a, const void *b)
{
    const struct built *left = a;
    const struct built *right = b;
    return left->part != right->part     ? (left->part > right->part ? 1 : -1)
           : left->model != right->model ? (left->model > right->model ? 1 : -1)
           : left->from != right->from   ? (left->from > right->from ? 1 : -1)
                                       : (left->to > right->to) - (left->to < right->to);
}

static status list_models(struct arena *arena, const built_array *built,
                          const built_array *fitments, struct part_shows *out)
{
    ARRAY_OF(name_id) models = {0};
    for (uint32_t i = 0; i < built->count + fitments->count; i++) {
        const name_id model =
            i < built->count ? built->at[i].model : fitments->at[i - built->count].model;
        bool is_there = false;
        for (uint32_t k = 0; k < models.count; k++) {
            is_there = is_there || models.at[k] == model;
        }
        if (!is_there && !ARRAY_PUSH(arena, &models, model)) {
            return arena_status(arena);
        }
    }
    out->models = models.at;
    out->model_count = models.count;
    return STATUS_OK;
}

int shows_model(const struct part_shows *shows, const struct names *names, text model)
{
    const name_id name = names_find(names, model);
    for (uint32_t i = 0; name != NAME_NONE && i < shows->model_count; i++) {
        if (shows->models[i] == name) {
            return (int)i;
        }
    }
    return -1;
}

status part_shows_read(struct arena *arena, const struct knowledge *knowledge,
                       struct part_shows **out)
{
    struct part_shows *shows = ARENA_NEW(arena, struct part_shows);
    struct gathering gathering = {
        arena, knowledge, ARENA_MANY(arena, knowledge->part_count, struct part_show)};
    built_array built = {0};
    built_array fitments = {0};
    TRY(arena_status(arena));
    TRY(gather(&gathering, "shows", "has", offsetof(struct part_show, features)));
    TRY(gather(&gathering, "shows-size", "size", offsetof(struct part_show, sizes)));
    TRY(gather(&gathering, "shows-count", "count", offsetof(struct part_show, counts)));
    TRY(gather(&gathering, "shows-thread", "thread",
               offsetof(struct part_show, threads)));
    TRY(gather_built(&gathering, "built", false, &built));
    TRY(gather_built(&gathering, "fitment", true, &fitments));
    if (built.count > 1) {
        qsort(built.at, built.count, sizeof *built.at, compare_built);
    }
    if (fitments.count > 1) {
        qsort(fitments.at, fitments.count, sizeof *fitments.at, compare_built);
    }
    shows->parts = gathering.parts;
    shows->built = built.at;
    shows->built_count = built.count;
    shows->fitments = fitments.at;
    shows->fitment_count = fitments.count;
    TRY(list_models(arena, &built, &fitments, shows));
    *out = shows;
    return arena_status(arena);
}
