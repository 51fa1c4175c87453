/* SPDX-License-Identifier: MIT */
/*
 * Our side of the benchmark: loads files and folders of knowledge, concludes what
 * follows, and counts or writes the rows of some relations. Reasons are on as always:
 * every row keeps its height, from which they are found when asked.
 *
 *     bench_ours [--rows FILE] SOURCE… -- RELATION…
 *
 * Rows are written as `relation TAB column TAB column`, keys first, lengths in whole
 * micrometres. Counts go to standard output; to standard error goes one line of JSON with
 * the processor seconds of loading and of concluding.
 */
#include "knowledge.h"
#include "room.h"

#include <inttypes.h>
#include <stdio.h>
#include <string.h>
#include <time.h>

enum {
    FAILED = 2
};

static double processor_seconds(void)
{
    struct timespec now;
    (void)clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
    return (double)now.tv_sec + (double)now.tv_nsec * 1e-9;
}

/* ---- writing */

/* Lengths are held in nanometres. */
static double unit_of(struct dimension dim)
{
    return dimension_equal(dim, DIMENSION_LENGTH) ? 1e3 : 1.0;
}

static void write_value(FILE *out, const struct names *names, struct value value)
{
    double nominal = 0.0;
    switch (value.kind) {
    case VALUE_QUANTITY:
        if (form_nominal(value.quantity, &nominal)) {
            fprintf(out, "\t%.9g", nominal / unit_of(value.quantity->dim) + 0.0);
        } else {
            fputs("\tunknown", out);
        }
        return;
    case VALUE_COUNT:
        fprintf(out, "\t%" PRId64, value.count);
        return;
    case VALUE_WORD:
        fprintf(out, "\t%.*s", TEXT_ARG(names_text(names, value.word)));
        return;
    case VALUE_NONE:
    case VALUE_TRUTH:
    case VALUE_MISSING:
        fputs("\tunknown", out);
        return;
    }
}

static void write_row(FILE *out, const struct names *names,
                      const struct relation_shape *shape, const struct row *row)
{
    fprintf(out, "%.*s", TEXT_ARG(names_text(names, shape->name)));
    for (uint32_t c = 0; c < shape->key_count; c++) {
        if (shape->columns[c].kind == COLUMN_NUMBER) {
            fprintf(out, "\t%" PRIu32, row->key[c]);
        } else {
            fprintf(out, "\t%.*s", TEXT_ARG(names_text(names, row->key[c])));
        }
    }
    for (uint32_t c = 0; c < shape->value_count; c++) {
        write_value(out, names, row->values[c]);
    }
    fputs(row->standing == STANDING_SURE ? "\n" : "\topen\n", out);
}

/* Counts the rows of a relation, and writes them when there is anywhere to write to. */
static bool give_relation(const struct knowledge *knowledge, const char *name, FILE *out)
{
    relation_id relation = 0;
    if (!store_find_relation(knowledge->base, names_find(knowledge->names, text_of(name)),
                             &relation)) {
        fprintf(stderr, "there is no relation %s\n", name);
        return false;
    }
    const uint32_t count = store_count(knowledge->base, relation);
    for (uint32_t i = 0; out != NULL && i < count; i++) {
        write_row(out, knowledge->names, store_shape(knowledge->base, relation),
                  store_row(knowledge->base, relation, i));
    }
    printf("%s\t%" PRIu32 "\n", name, count);
    return true;
}

static bool give(const struct knowledge *knowledge, char **relations, const char *file)
{
    FILE *out = file == NULL ? NULL : fopen(file, "w");
    bool is_good = file == NULL || out != NULL;
    for (; is_good && *relations != NULL; relations++) {
        is_good = give_relation(knowledge, *relations, out);
    }
    return (out == NULL || fclose(out) == 0) && is_good;
}

/* ---- running */

static void complain(const struct room *room)
{
    diagnostics_sort(room->diagnostics, room->sources);
    for (uint32_t i = 0; i < diagnostics_kept(room->diagnostics); i++) {
        const text one = diagnostic_write(
            room->arena, diagnostics_at(room->diagnostics, i), room->sources);
        fprintf(stderr, "%.*s", TEXT_ARG(one));
    }
}

static status run(const struct room *room, char **sources, uint32_t count,
                  struct knowledge **out)
{
    struct knowledge_input *inputs =
        ARENA_MANY(room->arena, count, struct knowledge_input);
    TRY(arena_status(room->arena));
    for (uint32_t i = 0; i < count; i++) {
        inputs[i].name = text_of(sources[i]);
    }
    const double start = processor_seconds();
    TRY(knowledge_read(room->arena, inputs, count, room->sources, room->diagnostics,
                       out));
    const double loaded = processor_seconds();
    TRY(knowledge_conclude(*out, UINT64_MAX, room->diagnostics));
    fprintf(stderr, "{\"load\": %.4f, \"evaluate\": %.4f}\n", loaded - start,
            processor_seconds() - loaded);
    return STATUS_OK;
}

int main(int argc, char **argv)
{
    const bool is_written = argc > 2 && strcmp(argv[1], "--rows") == 0;
    char **sources = argv + (is_written ? 3 : 1);
    uint32_t count = 0;
    struct room room = room_open();
    struct knowledge *knowledge = NULL;
    while (sources[count] != NULL && strcmp(sources[count], "--") != 0) {
        count++;
    }
    if (argc < 2 || sources[count] == NULL) {
        fputs("bench_ours [--rows FILE] SOURCE… -- RELATION…\n", stderr);
        return FAILED;
    }
    const status result = run(&room, sources, count, &knowledge);
    if (result != STATUS_OK) {
        complain(&room);
        fprintf(stderr, "status %d\n", (int)result);
        return FAILED;
    }
    const bool is_good =
        give(knowledge, sources + count + 1, is_written ? argv[2] : NULL);
    room_close(&room);
    return is_good ? 0 : FAILED;
}
