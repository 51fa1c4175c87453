/* SPDX-License-Identifier: MIT */
/* Rows of the base, gathered by part and by model for whoever judges many listings. */
#include "part_shows.h"

#include "array.h"
#include "typed_entry.h"

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

typedef ARRAY_OF(text) model_array;

static int compare_models(const void *a, const void *b)
{
    return text_compare(*(const text *)a, *(const text *)b);
}

int shows_model(const struct part_shows *shows, text model)
{
    const text *at = shows->model_count == 0
                         ? NULL
                         : bsearch(&model, shows->models, shows->model_count,
                                   sizeof *shows->models, compare_models);
    return at == NULL ? -1 : (int)(at - shows->models);
}

/* What somebody says of his own piece lists nothing anew. */
static const struct node *listing_part(const struct part *part)
{
    return part->like == NAME_NONE ? part->document : NULL;
}

static status gather_models(struct arena *arena, const struct knowledge *knowledge,
                            struct part_shows *shows)
{
    const uint32_t units = knowledge->recipe_count;
    model_array models = {0};
    for (uint32_t i = 0; i < units + knowledge->part_count; i++) {
        struct typed_walk walk = {knowledge,
                                  i < units ? knowledge->recipes[i].document
                                            : listing_part(&knowledge->parts[i - units]),
                                  i < units, 0, 0};
        for (struct typed_entry entry; typed_walk_next(&walk, &entry);) {
            if (!ARRAY_PUSH(arena, &models, entry.name)) {
                return arena_status(arena);
            }
        }
    }
    uint32_t kept = 0;
    if (models.count > 1) {
        qsort(models.at, models.count, sizeof *models.at, compare_models);
    }
    for (uint32_t i = 0; i < models.count; i++) {
        if (i == 0 || !text_equal(models.at[i], models.at[kept - 1])) {
            models.at[kept++] = models.at[i];
        }
    }
    shows->models = models.at;
    shows->model_count = kept;
    return STATUS_OK;
}

static int year_of(double number, int otherwise)
{
    return number >= FIRST_YEAR && number <= LAST_YEAR ? (int)number : otherwise;
}

/* The entries of a part's or unit's lists; `one` says whose they are. */
static status gather_built(const struct gathering *gathering, struct typed_walk walk,
                           struct built one, const struct part_shows *shows,
                           built_array *out)
{
    for (struct typed_entry entry; typed_walk_next(&walk, &entry);) {
        one.model = (uint32_t)shows_model(shows, entry.name);
        one.from = year_of(entry.from, FIRST_YEAR);
        one.to = year_of(entry.to, LAST_YEAR);
        if (!ARRAY_PUSH(gathering->arena, out, one)) {
            return arena_status(gathering->arena);
        }
    }
    return STATUS_OK;
}

/* Parts and units stand in the order of their names. */
static int compare_built(const void *a, const void *b)
{
    const struct built *left = a;
    const struct built *right = b;
    return left->part != right->part     ? (left->part > right->part ? 1 : -1)
           : left->model != right->model ? (left->model > right->model ? 1 : -1)
           : left->from != right->from   ? (left->from > right->from ? 1 : -1)
           : left->to != right->to
               ? (left->to > right->to ? 1 : -1)
               : (left->unit > right->unit) - (left->unit < right->unit);
}

static status gather_years(const struct gathering *gathering, struct part_shows *shows)
{
    const struct knowledge *knowledge = gathering->knowledge;
    built_array built = {0};
    built_array fitments = {0};
    for (uint32_t i = 0; i < knowledge->recipe_count; i++) {
        const struct recipe *unit = &knowledge->recipes[i];
        TRY(gather_built(gathering,
                         (struct typed_walk){knowledge, unit->document, true, 0, 0},
                         (struct built){.unit = unit}, shows, &built));
    }
    for (uint32_t i = 0; i < knowledge->part_count; i++) {
        const struct node *document = listing_part(&knowledge->parts[i]);
        TRY(gather_built(gathering, (struct typed_walk){knowledge, document, false, 0, 0},
                         (struct built){.part = i}, shows, &fitments));
    }
    if (built.count > 1) {
        qsort(built.at, built.count, sizeof *built.at, compare_built);
    }
    if (fitments.count > 1) {
        qsort(fitments.at, fitments.count, sizeof *fitments.at, compare_built);
    }
    shows->built = built.at;
    shows->built_count = built.count;
    shows->fitments = fitments.at;
    shows->fitment_count = fitments.count;
    return STATUS_OK;
}

status part_shows_read(struct arena *arena, const struct knowledge *knowledge,
                       struct part_shows **out)
{
    struct part_shows *shows = ARENA_NEW(arena, struct part_shows);
    struct gathering gathering = {
        arena, knowledge, ARENA_MANY(arena, knowledge->part_count, struct part_show)};
    TRY(arena_status(arena));
    TRY(gather(&gathering, "shows", "has", offsetof(struct part_show, features)));
    TRY(gather(&gathering, "shows-size", "size", offsetof(struct part_show, sizes)));
    TRY(gather(&gathering, "shows-count", "count", offsetof(struct part_show, counts)));
    TRY(gather(&gathering, "shows-thread", "thread",
               offsetof(struct part_show, threads)));
    shows->parts = gathering.parts;
    TRY(gather_models(arena, knowledge, shows));
    TRY(gather_years(&gathering, shows));
    *out = shows;
    return arena_status(arena);
}
