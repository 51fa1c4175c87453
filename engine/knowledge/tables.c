/* SPDX-License-Identifier: MIT */
/*
 * Reads tables of standards out of their documents, and turns stated dimensions into
 * deviations with them. Numbers in these documents are plain: their heads say the unit.
 */
#include "tables.h"

#include "limits.h"
#include "number_text.h"

#include <math.h>
#include <stdlib.h>

struct reader {
    struct arena *arena;
    struct diagnostics *diagnostics;
    bool is_wrong;
};

static bool expect(struct reader *reader, const struct node *node, enum node_kind kind,
                   const char *what)
{
    const bool is_right = node_expect(node, kind, what, reader->diagnostics);
    reader->is_wrong = reader->is_wrong || !is_right;
    return is_right;
}

static void refuse_others(struct reader *reader, const struct node *map,
                          const char *const *known, const char *what)
{
    const uint32_t before = diagnostics_count(reader->diagnostics);
    node_refuse_others(map, known, what, reader->diagnostics);
    reader->is_wrong =
        reader->is_wrong || diagnostics_count(reader->diagnostics) > before;
}

static const struct node *field(struct reader *reader, const struct node *map,
                                const char *key, enum node_kind kind)
{
    const struct node *found = node_field_of(map, key);
    if (found == NULL) {
        diagnostics_report(reader->diagnostics, CODE_FIELD_MISSING, map->where,
                           "this table needs `%s`", key);
        reader->is_wrong = true;
        return NULL;
    }
    return expect(reader, found, kind, key) ? found : NULL;
}

static double number(struct reader *reader, const struct node *word)
{
    double value = 0;
    if (!expect(reader, word, NODE_WORD, "a number") || number_read(word->word, &value)) {
        return value;
    }
    diagnostics_report(reader->diagnostics, CODE_NUMBER_WRONG, word->where,
                       "a plain number was expected")
        ->expected = TEXT("digits with an optional sign and decimal point");
    reader->is_wrong = true;
    return 0;
}

static const double *numbers(struct reader *reader, const struct node *list,
                             uint32_t *count)
{
    *count = 0;
    if (list == NULL) {
        return NULL;
    }
    double *values = ARENA_MANY(reader->arena, list->count, double);
    for (uint32_t i = 0; values != NULL && i < list->count; i++) {
        values[i] = number(reader, list->items[i]);
    }
    *count = values == NULL ? 0 : list->count;
    return values;
}

/* Steps by size: each ends above the one before it. */
static const double *steps(struct reader *reader, const struct node *list,
                           uint32_t *count)
{
    const double *values = numbers(reader, list, count);
    for (uint32_t i = 1; i < *count; i++) {
        if (values[i] <= values[i - 1]) {
            diagnostics_report(reader->diagnostics, CODE_LIMITS_CROSSED,
                               list->items[i]->where,
                               "this step does not lie above the one before it");
            reader->is_wrong = true;
        }
    }
    return values;
}

/* ---- limits */

/* A map of rows, each with one number a step. */
static struct limits_list limits_rows(struct reader *reader, const struct node *document,
                                      const char *key, uint32_t steps)
{
    const struct node *map = field(reader, document, key, NODE_MAP);
    struct limits_row *rows =
        map == NULL ? NULL : ARENA_MANY(reader->arena, map->count, struct limits_row);
    for (uint32_t i = 0; rows != NULL && i < map->count; i++) {
        const struct node_field *one = &map->fields[i];
        rows[i].name = one->key;
        if (!expect(reader, one->value, NODE_LIST, "a row of the table")) {
            continue;
        }
        rows[i].um = numbers(reader, one->value, &rows[i].count);
        if (rows[i].count != steps) {
            diagnostics_report(reader->diagnostics, CODE_SHAPE_WRONG, one->key_where,
                               "this row has %u numbers for %u steps", rows[i].count,
                               steps);
            reader->is_wrong = true;
        }
    }
    return (struct limits_list){rows, rows == NULL ? 0 : map->count};
}

void tables_unbind(struct tables *tables)
{
    tables->resolver.resolve = NULL;
}

void tables_bind(struct tables *tables)
{
    if (tables->limits != NULL) {
        tables->resolver = (struct limits_resolver){limits_resolve, tables->limits};
    }
}

static void read_limits(struct reader *reader, const struct node *document,
                        struct tables *tables)
{
    static const char *const known[] = {"table",     "says",    "source",   "main-steps",
                                        "sub-steps", "grades",  "shaft-es", "shaft-ei",
                                        "hole-ei",   "hole-es", "delta",    NULL};
    struct limits_table *table = ARENA_NEW(reader->arena, struct limits_table);
    if (table == NULL) {
        return;
    }
    refuse_others(reader, document, known, "a table of limits");
    table->main_steps = steps(reader, field(reader, document, "main-steps", NODE_LIST),
                              &table->main_count);
    table->sub_steps =
        steps(reader, field(reader, document, "sub-steps", NODE_LIST), &table->sub_count);
    table->grades = limits_rows(reader, document, "grades", table->main_count);
    table->shaft_es = limits_rows(reader, document, "shaft-es", table->sub_count);
    table->shaft_ei = limits_rows(reader, document, "shaft-ei", table->sub_count);
    table->hole_ei = limits_rows(reader, document, "hole-ei", table->sub_count);
    table->hole_es = limits_rows(reader, document, "hole-es", table->sub_count);
    table->delta = limits_rows(reader, document, "delta", table->main_count);
    tables->limits = table;
    tables_bind(tables);
}

/* ---- general tolerances */

static const struct general_step *general_steps(struct reader *reader,
                                                const struct node *list, uint32_t *count)
{
    static const char *const known[] = {"over", "to", "plus-minus", NULL};
    *count = 0;
    if (list == NULL || !expect(reader, list, NODE_LIST, "steps")) {
        return NULL;
    }
    struct general_step *made =
        ARENA_MANY(reader->arena, list->count, struct general_step);
    for (uint32_t i = 0; made != NULL && i < list->count; i++) {
        const struct node *map = list->items[i];
        if (!expect(reader, map, NODE_MAP, "a step")) {
            continue;
        }
        refuse_others(reader, map, known, "a step");
        const struct node *over = field(reader, map, "over", NODE_WORD);
        const struct node *to = field(reader, map, "to", NODE_WORD);
        const struct node *plus_minus = field(reader, map, "plus-minus", NODE_WORD);
        if (over != NULL && to != NULL && plus_minus != NULL) {
            made[i] = (struct general_step){number(reader, over), number(reader, to),
                                            number(reader, plus_minus)};
        }
        if (made[i].over > made[i].to) {
            diagnostics_report(reader->diagnostics, CODE_LIMITS_CROSSED, map->where,
                               "this step ends below where it starts");
            reader->is_wrong = true;
        }
    }
    *count = made == NULL ? 0 : list->count;
    return made;
}

static void read_general(struct reader *reader, const struct node *document,
                         struct tables *tables)
{
    static const char *const known[] = {"table", "says", "source", "classes", NULL};
    static const char *const of_class[] = {"lengths", "angles", "edges", NULL};
    const struct node *map = field(reader, document, "classes", NODE_MAP);
    struct general_table *table = ARENA_NEW(reader->arena, struct general_table);
    struct general_class *classes =
        map == NULL ? NULL : ARENA_MANY(reader->arena, map->count, struct general_class);
    if (table == NULL || classes == NULL) {
        return;
    }
    refuse_others(reader, document, known, "a table of general tolerances");
    for (uint32_t i = 0; i < map->count; i++) {
        const struct node_field *one = &map->fields[i];
        if (!expect(reader, one->value, NODE_MAP, "a class")) {
            continue;
        }
        refuse_others(reader, one->value, of_class, "a class");
        classes[i].name = one->key;
        classes[i].lengths = general_steps(reader, node_field_of(one->value, "lengths"),
                                           &classes[i].length_count);
        classes[i].angles = general_steps(reader, node_field_of(one->value, "angles"),
                                          &classes[i].angle_count);
        classes[i].edges = general_steps(reader, node_field_of(one->value, "edges"),
                                         &classes[i].edge_count);
    }
    *table = (struct general_table){classes, map->count};
    tables->general = table;
}

/* ---- materials */

static int compare_figures(const void *a, const void *b)
{
    const struct named_figure *left = a;
    const struct named_figure *right = b;
    return text_compare(left->name, right->name);
}

static void read_figure(struct reader *reader, const struct node_field *one,
                        const char *key, struct dimension wanted,
                        struct named_figure *out)
{
    const struct stated_options options = {.wanted = wanted};
    struct stated stated;
    const struct node *word = NULL;
    const char *const known[] = {"title", key, NULL};
    out->name = one->key;
    if (one->value->kind == NODE_MAP) {
        refuse_others(reader, one->value, known, "an entry of this table");
    }
    if (!expect(reader, one->value, NODE_MAP, "an entry of this table") ||
        !node_word(one->value, key, "an entry of this table", reader->diagnostics,
                   &word) ||
        stated_read(word->word, node_text_span(word, 0, word->word.length), &options,
                    reader->diagnostics, &stated) != STATUS_OK) {
        reader->is_wrong = true;
        return;
    }
    out->figure = stated.nominal;
    const struct node *title = node_field_of(one->value, "title");
    out->title = title != NULL && title->kind == NODE_WORD ? title->word : one->key;
}

/* The map `list` of named entries, each with a figure under `key`. */
static const struct named_figure *read_figures(struct reader *reader,
                                               const struct node *document,
                                               const char *list, const char *key,
                                               struct dimension wanted, uint32_t *count)
{
    const char *const known[] = {"table", "says", "source", list, NULL};
    const struct node *map = field(reader, document, list, NODE_MAP);
    refuse_others(reader, document, known, "this table");
    struct named_figure *figures =
        map == NULL ? NULL : ARENA_MANY(reader->arena, map->count, struct named_figure);
    for (uint32_t i = 0; figures != NULL && i < map->count; i++) {
        read_figure(reader, &map->fields[i], key, wanted, &figures[i]);
    }
    *count = figures == NULL ? 0 : map->count;
    if (*count > 1) {
        qsort(figures, *count, sizeof *figures, compare_figures);
    }
    return figures;
}

static void read_gauges(struct reader *reader, const struct node *document,
                        struct tables *tables)
{
    static const char *const known[] = {"table", "says", "source", "gauges", NULL};
    const struct node *map = field(reader, document, "gauges", NODE_MAP);
    refuse_others(reader, document, known, "this table");
    reader->is_wrong =
        (map != NULL && gauges_read(reader->arena, map, reader->diagnostics, tables) ==
                            STATUS_INVALID) ||
        reader->is_wrong;
}

status table_read(struct arena *arena, const struct node *document,
                  struct diagnostics *diagnostics, struct tables *tables)
{
    struct reader reader = {arena, diagnostics, false};
    const struct node *name = node_field_of(document, "table");
    if (!expect(&reader, name, NODE_WORD, "`table`")) {
        return STATUS_INVALID;
    }
    (void)field(&reader, document, "source", NODE_WORD);
    if (text_is(name->word, "limits")) {
        read_limits(&reader, document, tables);
    } else if (text_is(name->word, "general-tolerances")) {
        read_general(&reader, document, tables);
    } else if (text_is(name->word, "gauges")) {
        read_gauges(&reader, document, tables);
    } else if (text_is(name->word, "expansion")) {
        struct dimension expansion = DIMENSION_RATIO;
        (void)dimension_find(TEXT("expansion"), &expansion);
        tables->materials = read_figures(&reader, document, "materials", "expansion",
                                         expansion, &tables->material_count);
    } else if (text_is(name->word, "looking")) {
        struct dimension time = DIMENSION_RATIO;
        (void)dimension_find(TEXT("time"), &time);
        tables->ways =
            read_figures(&reader, document, "ways", "time", time, &tables->way_count);
    } else {
        return STATUS_NOT_FOUND;
    }
    TRY(arena_status(arena));
    return reader.is_wrong ? STATUS_INVALID : STATUS_OK;
}

static const struct named_figure *find_figure(const struct named_figure *figures,
                                              uint32_t count, text name)
{
    for (uint32_t i = 0; i < count; i++) {
        if (text_equal(figures[i].name, name)) {
            return &figures[i];
        }
    }
    return NULL;
}

const struct named_figure *tables_material(const struct tables *tables, text name)
{
    return find_figure(tables->materials, tables->material_count, name);
}

const struct named_figure *tables_way(const struct tables *tables, text name)
{
    return find_figure(tables->ways, tables->way_count, name);
}

bool tables_material_range(const struct tables *tables, double *least, double *greatest)
{
    *least = INFINITY;
    *greatest = -INFINITY;
    for (uint32_t i = 0; i < tables->material_count; i++) {
        *least = fmin(*least, tables->materials[i].figure);
        *greatest = fmax(*greatest, tables->materials[i].figure);
    }
    return tables->material_count > 0;
}

/* ---- stated dimensions */

static status resolve_class(const struct tables *tables, const struct stated *stated,
                            struct diagnostics *diagnostics, struct deviation *out)
{
    const char *why = "no table of limits was loaded";
    if (tables->limits != NULL &&
        limits_of_class(tables->limits, stated->nominal, stated->tolerance_class,
                        &out->low, &out->high, &why) == STATUS_OK) {
        return STATUS_OK;
    }
    diagnostics_report(diagnostics, CODE_CLASS_UNKNOWN, stated->where, "%s", why)
        ->expected = TEXT("a class of ISO 286 such as H7 or k6, at most 500 mm");
    return STATUS_INVALID;
}

static bool is_angle(struct dimension dim)
{
    struct dimension angle;
    return dimension_find(TEXT("angle"), &angle) && dimension_equal(dim, angle);
}

static void resolve_bare(const struct tables *tables, const struct stated *stated,
                         const struct tolerance_rules *rules, struct deviation *out)
{
    const char *why = NULL;
    double plus_minus = 0;
    const bool is_length = dimension_equal(stated->dim, DIMENSION_LENGTH);
    const enum general_measure measure = is_angle(stated->dim) ? GENERAL_ANGLE
                                         : rules->is_edge      ? GENERAL_EDGE
                                                               : GENERAL_LENGTH;
    if (rules->is_exact || (!is_length && measure != GENERAL_ANGLE)) {
        return;
    }
    if (rules->general.length > 0 &&
        general_tolerance_of(tables->general, rules->general, stated->nominal, measure,
                             &plus_minus, &why) == STATUS_OK) {
        out->basis = BASIS_ASSUMED;
        out->low = -plus_minus;
        out->high = plus_minus;
        return;
    }
    out->low =
        -INFINITY; /* a bare length with nothing to go by: unknown beyond its nominal */
    out->high = INFINITY;
}

status stated_resolve(const struct tables *tables, const struct stated *stated,
                      const struct tolerance_rules *rules,
                      struct diagnostics *diagnostics, struct deviation *out)
{
    out->nominal = stated->nominal;
    out->dim = stated->dim;
    out->kind = DEVIATION_MADE;
    out->basis = BASIS_LIMITS;
    out->low = stated->low;
    out->high = stated->high;
    switch (stated->basis) {
    case STATED_LIMITS:
        return STATUS_OK;
    case STATED_CLASS:
        return resolve_class(tables, stated, diagnostics, out);
    case STATED_BARE:
        resolve_bare(tables, stated, rules, out);
        return STATUS_OK;
    case STATED_EYE:
        out->kind = DEVIATION_READ;
        out->basis = BASIS_GAUGE;
        return gauge_resolve(tables, stated, TEXT("eye"), diagnostics, out);
    case STATED_MEASURED:
        out->kind = DEVIATION_READ;
        out->basis = BASIS_GAUGE;
        return stated->low < 0.0 || stated->high > 0.0
                   ? STATUS_OK
                   : gauge_resolve(tables, stated, stated->gauge, diagnostics, out);
    }
    return STATUS_OK;
}
