/* SPDX-License-Identifier: MIT */
/*
 * A unit's own lists are read by what reads the lists of parts; a unit has no general
 * tolerance and no material, and what it states does not grow with its warmth.
 */
#include "unit_lists.h"

#include "part_cells.h"

static status build(const struct part_surroundings *surroundings,
                    const struct recipe *recipe, bool is_definition,
                    struct builder *builder)
{
    const struct part frame = {.name = recipe->name, .document = recipe->document};
    struct part_surroundings around = *surroundings;
    around.temperature = NULL;
    around.is_set = false;
    builder->around = &around;
    builder->part = &frame;
    builder->in_unit = true;
    TRY(cells_open(builder));
    lists_build(builder, is_definition);
    TRY(arena_status(around.arena));
    return builder->result;
}

status unit_lists_build(const struct part_surroundings *surroundings,
                        const struct recipe *recipe, name_id unit, text prefix,
                        struct given_value *given, uint32_t given_count,
                        struct store *store)
{
    struct builder builder = {.owner = unit,
                              .unit_prefix = prefix,
                              .given = given,
                              .given_count = given_count,
                              .store = store,
                              .result = STATUS_OK};
    return build(surroundings, recipe, false, &builder);
}

status unit_lists_check(const struct part_surroundings *surroundings,
                        const struct recipe *recipe, const struct relation_shape *shapes,
                        uint32_t shape_count)
{
    struct builder builder = {
        .owner = recipe->name,
        .store = store_open(surroundings->arena, shapes, shape_count, NULL),
        .result = STATUS_OK};
    TRY(arena_status(surroundings->arena));
    return build(surroundings, recipe, true, &builder);
}
