/* SPDX-License-Identifier: MIT */
/* What the runs of a part say together: each must run forward, and no two may lie on the
 * same stretch of one surface. Only what is sure is refused; a doubt is left to whoever
 * asks. */
#include "part_runs.h"

enum {
    FROM,
    TO,
    IN,
    AXIS,
    ON,
    RUN_COLUMNS
};

struct runs {
    struct builder *builder;
    const struct row *const *rows; /* of the owner, in any relation */
    uint32_t count;
    relation_id run;
    int columns[RUN_COLUMNS];
};

/* The two ends of a run as the part has them; false when one is not described. */
static bool run_ends(const struct builder *builder, const struct row *run,
                     const int *columns, const struct form **from, const struct form **to)
{
    const uint32_t keys = store_shape(builder->store, run->relation)->key_count;
    *from = run->values[columns[FROM] - (int)keys].quantity;
    *to = run->values[columns[TO] - (int)keys].quantity;
    return *from != NULL && *to != NULL;
}

static bool same_word(const struct row *a, const struct row *b, int column, uint32_t keys)
{
    return a->values[column - (int)keys].word == b->values[column - (int)keys].word;
}

/* Whether two runs of one surface surely overlap and neither says that it lies on
 * another. */
static bool surely_overlap(const struct builder *builder, const struct row *a,
                           const struct row *b, const int *columns)
{
    const uint32_t keys = store_shape(builder->store, a->relation)->key_count;
    const struct form *ends[4];
    if (!run_ends(builder, a, columns, &ends[0], &ends[1]) ||
        !run_ends(builder, b, columns, &ends[2], &ends[3]) ||
        a->values[columns[ON] - (int)keys].kind == VALUE_WORD ||
        b->values[columns[ON] - (int)keys].kind == VALUE_WORD ||
        !same_word(a, b, columns[IN], keys) || !same_word(a, b, columns[AXIS], keys)) {
        return false;
    }
    struct arena *arena = builder->around->arena;
    const struct form *overlap = form_subtract(arena, form_min(arena, ends[1], ends[3]),
                                               form_max(arena, ends[0], ends[2]));
    return overlap != NULL && overlap->least > dimension_grid(DIMENSION_LENGTH);
}

/* false: there are none, or no such columns. */
static bool runs_find(struct builder *builder, struct runs *out)
{
    static const char *const words[] = {"from", "to", "in", "axis", "on"};
    struct names *names = builder->around->names;
    const struct relation_shape *shape = vocabulary_relation(
        builder->around->vocabulary, names_find(names, TEXT("run")), &out->run);
    for (int i = 0; shape != NULL && i < RUN_COLUMNS; i++) {
        out->columns[i] = vocabulary_column(shape, names_find(names, text_of(words[i])));
        shape = out->columns[i] < (int)shape->key_count ? NULL : shape;
    }
    return shape != NULL && store_rows_of(builder->store, builder->owner, &out->rows,
                                          &out->count) == STATUS_OK;
}

static text run_name(const struct runs *runs, const struct row *run)
{
    return names_text(runs->builder->around->names, run->key[1]);
}

static void refuse_backward(struct runs *runs, const struct row *run)
{
    struct arena *arena = runs->builder->around->arena;
    const struct form *from = NULL;
    const struct form *to = NULL;
    if (!run_ends(runs->builder, run, runs->columns, &from, &to)) {
        return;
    }
    const struct form *length = form_subtract(arena, to, from);
    if (length == NULL || !surely_negative(length)) {
        return;
    }
    struct diagnostic *report = diagnostics_report(
        runs->builder->around->diagnostics, CODE_RUN_BACKWARD, run->where,
        "run %.*s ends before it begins", TEXT_ARG(run_name(runs, run)));
    report->expected = TEXT("the inboard end as `from`, the outboard one as `to`");
    runs->builder->result = STATUS_INVALID;
}

static void refuse_overlap(struct runs *runs, const struct row *one,
                           const struct row *other)
{
    if (!surely_overlap(runs->builder, one, other, runs->columns)) {
        return;
    }
    struct diagnostic *report = diagnostics_report(
        runs->builder->around->diagnostics, CODE_RUNS_OVERLAP, other->where,
        "this run overlaps %.*s", TEXT_ARG(run_name(runs, one)));
    report->expected =
        TEXT("ends that do not cross, or `on: RUN` for what is cut into a run");
    diagnostic_note_add(report, one->where, TEXT("the other run is here"));
    runs->builder->result = STATUS_INVALID;
}

void refuse_crossed_runs(struct builder *builder)
{
    struct runs runs = {.builder = builder};
    if (!runs_find(builder, &runs)) {
        return;
    }
    const bool is_definition = builder->owner == builder->part->name;
    for (uint32_t i = 0; i < runs.count; i++) {
        if (runs.rows[i]->relation != runs.run) {
            continue;
        }
        refuse_backward(&runs, runs.rows[i]);
        for (uint32_t k = i + 1; is_definition && k < runs.count; k++) {
            if (runs.rows[k]->relation == runs.run) {
                refuse_overlap(&runs, runs.rows[i], runs.rows[k]);
            }
        }
    }
}
