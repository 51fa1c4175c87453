/* SPDX-License-Identifier: MIT */
/* Of every way of getting a field, or of seeing a feature, it is said how long it takes:
 * else whoever asks what to look at first cannot tell. */
#include "lint_private.h"

#include "nearest.h"
#include "ways.h"

static status add_way(struct linting *linting, const struct relation_shape *shape,
                      text of, text way)
{
    const struct tables *tables = &linting->knowledge->tables;
    struct nearest near = nearest_to(way);
    for (uint32_t i = 0; i < tables->way_count; i++) {
        nearest_offer(&near, tables->ways[i].name);
    }
    return lint_add(
        linting,
        (struct lint_fault){.of = TEXT("relation"),
                            .name = names_text(linting->knowledge->names, shape->name),
                            .where = shape->where,
                            .rule = TEXT("way-without-time"),
                            .sentence = text_format(
                                linting->arena,
                                "%.*s is got by \"%.*s\", of which nothing says how long "
                                "it takes%s%.*s%s",
                                TEXT_ARG(of), TEXT_ARG(way),
                                near.best.length > 0 ? "; did you mean \"" : "",
                                TEXT_ARG(near.best), near.best.length > 0 ? "\"?" : "")});
}

static status check_ways(struct linting *linting, const struct relation_shape *shape,
                         text of, text ways)
{
    size_t at = 0;
    for (text way = way_next(ways, &at); way.length > 0; way = way_next(ways, &at)) {
        if (tables_way(&linting->knowledge->tables, way) == NULL) {
            TRY(add_way(linting, shape, of, way));
        }
    }
    return STATUS_OK;
}

status lint_looking(struct linting *linting)
{
    const struct knowledge *knowledge = linting->knowledge;
    for (relation_id r = 0; r < store_shape_count(knowledge->base); r++) {
        const struct relation_shape *shape = store_shape(knowledge->base, r);
        if (r < knowledge->vocabulary->shape_count) {
            TRY(check_ways(linting, shape, TEXT("such a feature"),
                           knowledge->vocabulary->looks[r].seen_by));
        }
        for (uint32_t c = 0; c < shape->key_count + shape->value_count; c++) {
            const struct column *column = &shape->columns[c];
            TRY(check_ways(linting, shape, names_text(knowledge->names, column->name),
                           column->got_by));
        }
    }
    return arena_status(linting->arena);
}
