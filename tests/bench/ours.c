/* SPDX-License-Identifier: MIT */
/*
 * Our side of the benchmark: loads files and folders of knowledge, concludes what
 * follows, and counts or writes the rows of some relations. Reasons are on as always:
 * every row keeps its height, from which they are found when asked.
 *
 *     bench_ours [--rows FILE|-] [--ask RELATION FILE] SOURCE… -- RELATION…
 *     bench_ours --prepare FILE SOURCE… --
 *     bench_ours [--rows FILE] --ask RELATION FILE --prepared FILE -- RELATION…
 *     bench_ours
 *
 * The last does nothing: what any program with these libraries takes.
 *
 * With --ask the file's lines (the first is a heading) are keys of a relation, asked one
 * after the other: each goes into a layer of its own over what was loaded, and what it
 * concludes is written.
 *
 * Rows are written as `relation TAB column TAB column`, keys first, lengths in whole
 * micrometres. Counts go to standard output; to standard error one line of JSON with
 * the processor seconds of loading and of concluding, and the bytes of the store by what
 * they are for.
 */
#include "inference.h"
#include "knowledge.h"
#include "limits.h"
#include "prepared.h"
#include "room.h"

#include <inttypes.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

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

/* What a layer or the knowledge itself holds. */
struct view {
    const struct store *store;
    const struct names *names;
};

static bool find_relation(const struct view *view, const char *name, relation_id *out)
{
    const bool is_there =
        store_find_relation(view->store, names_find(view->names, text_of(name)), out);
    if (!is_there) {
        fprintf(stderr, "there is no relation %s\n", name);
    }
    return is_there;
}

/* Writes its own rows of some relations, when there is anywhere to write to. */
static bool give_rows(const struct view *view, char **relations, FILE *out)
{
    bool is_good = true;
    for (; is_good && *relations != NULL; relations++) {
        relation_id relation = 0;
        is_good = find_relation(view, *relations, &relation);
        const uint32_t count = is_good ? store_count(view->store, relation) : 0;
        for (uint32_t i = is_good ? store_own_from(view->store, relation) : 0;
             out != NULL && i < count; i++) {
            write_row(out, view->names, store_shape(view->store, relation),
                      store_row(view->store, relation, i));
        }
    }
    return is_good;
}

static bool give_counts(const struct view *view, char **relations)
{
    bool is_good = true;
    for (; is_good && *relations != NULL; relations++) {
        relation_id relation = 0;
        is_good = find_relation(view, *relations, &relation);
        if (is_good) {
            printf("%s\t%" PRIu32 "\n", *relations, store_count(view->store, relation));
        }
    }
    return is_good;
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

/* What the command line says. */
struct told {
    const char *rows;  /* a file for the rows, or NULL */
    const char *asked; /* the relation that questions fill, or NULL */
    const char *questions;
    const char *to_prepare; /* the file to write, or NULL */
    const char *prepared;   /* the file to start from, or NULL */
    char **sources;
    uint32_t source_count;
    char **relations;
};

static bool read_command(char **argv, struct told *out)
{
    argv++;
    if (*argv != NULL && strcmp(argv[0], "--prepare") == 0 && argv[1] != NULL) {
        out->to_prepare = argv[1];
        argv += 2;
    }
    if (*argv != NULL && strcmp(argv[0], "--rows") == 0 && argv[1] != NULL) {
        out->rows = argv[1];
        argv += 2;
    }
    if (*argv != NULL && strcmp(argv[0], "--ask") == 0 && argv[1] != NULL &&
        argv[2] != NULL) {
        out->asked = argv[1];
        out->questions = argv[2];
        argv += 3;
    }
    if (*argv != NULL && strcmp(argv[0], "--prepared") == 0 && argv[1] != NULL) {
        out->prepared = argv[1];
        argv += 2;
    }
    out->sources = argv;
    while (*argv != NULL && strcmp(*argv, "--") != 0) {
        argv++;
    }
    out->source_count = (uint32_t)(argv - out->sources);
    out->relations = *argv == NULL ? argv : argv + 1;
    return (out->source_count > 0) == (out->prepared == NULL) && *argv != NULL;
}

static status name_inputs(const struct room *room, const struct told *told,
                          struct knowledge_input **out)
{
    *out = ARENA_MANY(room->arena, told->source_count, struct knowledge_input);
    for (uint32_t i = 0; *out != NULL && i < told->source_count; i++) {
        (*out)[i].name = text_copy(room->arena, text_of(told->sources[i]));
    }
    return arena_status(room->arena);
}

static status load(const struct room *room, const struct told *told,
                   struct knowledge **out)
{
    struct knowledge_input *inputs = NULL;
    TRY(name_inputs(room, told, &inputs));
    return knowledge_read(room->arena, inputs, told->source_count, room->sources,
                          room->diagnostics, out);
}

/* ---- prepared beforehand */

static int prepare(const struct told *told)
{
    struct knowledge_input *inputs = NULL;
    struct region *region = region_open();
    struct room room = {
        .arena = region == NULL ? NULL : arena_open(region_allocator(region), 0)};
    if (room.arena == NULL) {
        return FAILED;
    }
    room.sources = sources_open(room.arena, NULL);
    room.diagnostics = diagnostics_open(room.arena);
    status result = name_inputs(&room, told, &inputs);
    if (result == STATUS_OK) {
        result = prepared_write(room.arena, region, told->to_prepare, inputs,
                                told->source_count, room.sources, room.diagnostics);
    }
    if (result == STATUS_OK) {
        region_close(region);
        return 0;
    }
    complain(&room);
    room_close(&room);
    return FAILED;
}

static struct image *touched; /* for the handler */

static void bring_touched(int signal_number, siginfo_t *about, void *context)
{
    (void)signal_number;
    (void)context;
    if (!image_holds(touched, about->si_addr) ||
        image_bring(touched, about->si_addr, 1) != IMAGE_GOOD) {
        _exit(FAILED);
    }
}

/* Whether a heading and one question is all there is: else it pays to read all of a base
 * at once. */
static bool is_single(const char *questions)
{
    char line[200];
    uint32_t count = 0;
    FILE *in = questions == NULL ? NULL : fopen(questions, "r");
    while (in != NULL && count < 3 && fgets(line, sizeof line, in) != NULL) {
        count++;
    }
    if (in != NULL) {
        (void)fclose(in);
    }
    return count < 3;
}

static status open_prepared(const struct room *room, const struct told *told,
                            const struct knowledge **out)
{
    const struct sigaction action = {.sa_sigaction = bring_touched,
                                     .sa_flags = SA_SIGINFO};
    struct prepared prepared;
    const text path = text_of(told->prepared);
    const struct prepared_wanted wanted = {
        .path = told->prepared,
        .where = {sources_add_argument(room->sources, TEXT("--prepared"), path), 0,
                  (uint32_t)path.length},
        .on_touch = is_single(told->questions)};
    TRY(prepared_open(room->arena, &wanted, room->diagnostics, &prepared));
    if (wanted.on_touch) {
        touched = prepared.image;
    }
    *out = prepared.knowledge;
    return sigaction(SIGBUS, &action, NULL) == 0 ? STATUS_OK : STATUS_IO;
}

/* ---- questions */

/* "1,2,3" as the key of a row in a layer. */
static void read_key(struct names *names, char *line, name_id *key)
{
    uint32_t count = 0;
    line[strcspn(line, "\n")] = '\0';
    for (char *cell = line; cell != NULL && count < LIMIT_KEY_COLUMNS; count++) {
        char *comma = strchr(cell, ',');
        const size_t length = comma == NULL ? strlen(cell) : (size_t)(comma - cell);
        key[count] = names_add(names, (text){cell, length});
        cell = comma == NULL ? NULL : comma + 1;
    }
}

static status ask(const struct knowledge *knowledge, struct inference_plans *plans,
                  relation_id relation, char *line, struct arena *arena, struct view *out)
{
    name_id key[LIMIT_KEY_COLUMNS] = {NAME_NONE};
    struct names *names = names_open(arena, knowledge->names);
    struct store *store = store_open(arena, NULL, 0, knowledge->base);
    struct diagnostics *diagnostics = diagnostics_open(arena);
    struct inference_counts counts = {0};
    TRY(arena_status(arena));
    read_key(names, line, key);
    const struct row row = {.relation = relation, .origin = ORIGIN_FACT, .key = key};
    const struct inference_options options = {.names = names, .plans = plans};
    if (store_add(store, &row, NULL) == ADDED_NO_MEMORY) {
        return STATUS_NO_MEMORY;
    }
    *out = (struct view){store, names};
    return inference_run(knowledge->rules, store, arena, &options, diagnostics, &counts,
                         NULL);
}

static status ask_all(const struct knowledge *knowledge, const struct told *told,
                      FILE *out)
{
    char line[200];
    relation_id relation = 0;
    FILE *in = fopen(told->questions, "r");
    struct inference_plans *plans =
        inference_plans_open(knowledge->arena, knowledge->rules);
    status result =
        plans == NULL || in == NULL || fgets(line, sizeof line, in) == NULL ||
                !find_relation(&(struct view){knowledge->base, knowledge->names},
                               told->asked, &relation)
            ? STATUS_INVALID
            : STATUS_OK;
    while (result == STATUS_OK && fgets(line, sizeof line, in) != NULL) {
        struct arena *arena = arena_open(allocator_standard(), 0);
        struct view view = {NULL, NULL};
        result = arena == NULL ? STATUS_NO_MEMORY
                               : ask(knowledge, plans, relation, line, arena, &view);
        if (result == STATUS_OK && !give_rows(&view, told->relations, out)) {
            result = STATUS_INVALID;
        }
        arena_close(arena);
    }
    if (in != NULL) {
        (void)fclose(in);
    }
    return result;
}

/* ---- all of it */

static void measure(const struct store *store, struct store_size *out)
{
    for (relation_id r = 0; r < store_shape_count(store); r++) {
        store_measure(store, r, out);
    }
}

static status load_and_conclude(const struct room *room, const struct told *told,
                                double *times, const struct knowledge **out)
{
    struct knowledge *loaded = NULL;
    if (told->prepared != NULL) {
        return open_prepared(room, told, out);
    }
    TRY(load(room, told, &loaded));
    times[1] = processor_seconds();
    *out = loaded;
    const struct inference_options bounds = {.row_limit = UINT64_MAX};
    return knowledge_conclude(loaded, &bounds, room->diagnostics);
}

/* Times are kept: when it began, when all was read, when all was worked out. */
static status run(const struct room *room, const struct told *told, FILE *out,
                  double *times, struct store_size *size)
{
    const struct knowledge *knowledge = NULL;
    times[0] = processor_seconds();
    TRY(load_and_conclude(room, told, times, &knowledge));
    const struct view view = {knowledge->base, knowledge->names};
    if (told->asked != NULL) {
        times[1] = processor_seconds();
        TRY(ask_all(knowledge, told, out));
    }
    times[2] = processor_seconds();
    if (told->prepared == NULL) { /* else it would fetch all that was not touched */
        measure(knowledge->base, size);
    }
    const bool is_good = told->asked != NULL || (give_counts(&view, told->relations) &&
                                                 give_rows(&view, told->relations, out));
    return is_good ? STATUS_OK : STATUS_INVALID;
}

int main(int argc, char **argv)
{
    struct told told = {0};
    double times[3] = {0.0};
    struct store_size size = {0};
    if (argc == 1) {
        return 0;
    }
    struct room room = room_open();
    if (!read_command(argv, &told)) {
        fputs("bench_ours [--rows FILE] [--ask RELATION FILE] SOURCE… -- RELATION…\n",
              stderr);
        return FAILED;
    }
    if (told.to_prepare != NULL) {
        room_close(&room);
        return prepare(&told);
    }
    FILE *out = told.rows == NULL             ? NULL
                : strcmp(told.rows, "-") == 0 ? stdout
                                              : fopen(told.rows, "w");
    status result = told.rows != NULL && out == NULL
                        ? STATUS_NOT_FOUND
                        : run(&room, &told, out, times, &size);
    if (out != NULL && fclose(out) != 0) {
        result = STATUS_NOT_FOUND;
    }
    if (result == STATUS_OK) {
        fprintf(stderr,
                "{\"load\": %.4f, \"evaluate\": %.4f, \"held\": %" PRIu64
                ", \"heads\": %" PRIu64 ", \"cells\": %" PRIu64 ", \"values\": %" PRIu64
                ", \"keys\": %" PRIu64 ", \"indexes\": %" PRIu64 "}\n",
                times[1] - times[0], times[2] - times[1], size.rows, size.heads,
                size.cells, size.values, size.keys, size.indexes);
    } else {
        complain(&room);
        fprintf(stderr, "status %d\n", (int)result);
    }
    room_close(&room);
    return result == STATUS_OK ? 0 : FAILED;
}
