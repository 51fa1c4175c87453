/* SPDX-License-Identifier: MIT */
/* What readings are taken with: how far off each may be, and how far it reads. */
#include "tables.h"

#include "nearest.h"

#include <math.h>
#include <stdlib.h>

/* A length under `key`; false where there is none, or it is at fault. */
static bool read_length(const struct node *map, const char *key,
                        struct diagnostics *diagnostics, struct stated *out)
{
    const struct stated_options options = {.wanted = DIMENSION_LENGTH};
    const struct node *word = node_field_of(map, key);
    return word != NULL && node_expect(word, NODE_WORD, key, diagnostics) &&
           stated_read(word->word, node_text_span(word, 0, word->word.length), &options,
                       diagnostics, out) == STATUS_OK;
}

static text word_under(const struct node *map, const char *key, text otherwise,
                       struct diagnostics *diagnostics)
{
    const struct node *word = node_field_of(map, key);
    return word != NULL && node_expect(word, NODE_WORD, key, diagnostics) ? word->word
                                                                          : otherwise;
}

static void read_gauge(const struct node_field *one, struct diagnostics *diagnostics,
                       struct gauge *out)
{
    static const char *const known[] = {"title",       "range", "resolution",
                                        "uncertainty", "reach", NULL};
    struct stated stated;
    *out = (struct gauge){
        .name = one->key, .least = NAN, .greatest = NAN, .resolution = NAN};
    if (!node_expect(one->value, NODE_MAP, "an entry of this table", diagnostics)) {
        return;
    }
    node_refuse_others(one->value, known, "an entry of this table", diagnostics);
    out->title = word_under(one->value, "title", one->key, diagnostics);
    out->reach = word_under(one->value, "reach", one->value->word, diagnostics);
    if (node_field_of(one->value, "uncertainty") == NULL) {
        diagnostics_report(diagnostics, CODE_FIELD_MISSING, one->value->where,
                           "an entry of this table needs `uncertainty`");
    }
    if (read_length(one->value, "uncertainty", diagnostics, &stated)) {
        out->figure = stated.nominal;
    }
    if (read_length(one->value, "range", diagnostics, &stated)) {
        out->least = stated.nominal + stated.low;
        out->greatest = stated.nominal + stated.high;
    }
    if (read_length(one->value, "resolution", diagnostics, &stated)) {
        out->resolution = stated.nominal;
    }
}

static int compare_gauges(const void *a, const void *b)
{
    const struct gauge *left = a;
    const struct gauge *right = b;
    return text_compare(left->name, right->name);
}

status gauges_read(struct arena *arena, const struct node *map,
                   struct diagnostics *diagnostics, struct tables *tables)
{
    const uint32_t before = diagnostics_count(diagnostics);
    struct gauge *gauges = ARENA_MANY(arena, map->count, struct gauge);
    TRY(arena_status(arena));
    for (uint32_t i = 0; i < map->count; i++) {
        read_gauge(&map->fields[i], diagnostics, &gauges[i]);
    }
    if (map->count > 1) {
        qsort(gauges, map->count, sizeof *gauges, compare_gauges);
    }
    tables->gauges = gauges;
    tables->gauge_count = map->count;
    return diagnostics_count(diagnostics) > before ? STATUS_INVALID : STATUS_OK;
}

const struct gauge *tables_gauge(const struct tables *tables, text name)
{
    for (uint32_t i = 0; i < tables->gauge_count; i++) {
        if (text_equal(tables->gauges[i].name, name)) {
            return &tables->gauges[i];
        }
    }
    return NULL;
}

static status refuse_unknown(const struct tables *tables, const struct stated *stated,
                             text name, struct diagnostics *diagnostics)
{
    struct nearest near = nearest_to(name);
    for (uint32_t i = 0; i < tables->gauge_count; i++) {
        nearest_offer(&near, tables->gauges[i].name);
    }
    struct diagnostic *report = diagnostics_report(
        diagnostics, CODE_GAUGE_UNKNOWN, stated->where,
        name.length == 0 ? "a reading needs its gauge or its uncertainty"
                         : "no such gauge is recorded");
    report->expected = TEXT("measured 17.98 mm with caliper, or measured 17.98 ±0.03 mm");
    report->nearest = near.best;
    return STATUS_INVALID;
}

status gauge_resolve(const struct tables *tables, const struct stated *stated, text name,
                     struct diagnostics *diagnostics, struct deviation *out)
{
    struct arena *arena = diagnostics_arena(diagnostics);
    const struct gauge *gauge = tables_gauge(tables, name);
    const double read = fabs(stated->nominal); /* a position may lie either way */
    if (gauge == NULL) {
        return refuse_unknown(tables, stated, name, diagnostics);
    }
    out->low = -gauge->figure;
    out->high = gauge->figure;
    if (isnan(gauge->least) || (read >= gauge->least && read <= gauge->greatest)) {
        return STATUS_OK;
    }
    struct diagnostic *report = diagnostics_report(
        diagnostics, CODE_VALUE_OUTSIDE, stated->where,
        "%.*s cannot have been read with %.*s",
        TEXT_ARG(magnitude_write(arena, DIMENSION_LENGTH, read, -1)), TEXT_ARG(name));
    report->expected = text_format(
        arena, "%.*s to %.*s, or the gauge that it was read with",
        TEXT_ARG(magnitude_write(arena, DIMENSION_LENGTH, gauge->least, -1)),
        TEXT_ARG(magnitude_write(arena, DIMENSION_LENGTH, gauge->greatest, -1)));
    return STATUS_INVALID;
}
