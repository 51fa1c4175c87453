/* SPDX-License-Identifier: MIT */
/*
 * The shipped and the demo's files, spoiled in thousands of ways, each read as a whole
 * and asked one question: whole_load.h says what must hold. Rounds run in a process of
 * their own, so that a crash is reported with the round that did it.
 *
 *   WHYFIT_MUTATIONS=N       that many rounds (else as many as a run of all tests bears)
 *   WHYFIT_MUTATIONS_FROM=N  starts at round N; with WHYFIT_MUTATIONS=1 that round alone
 *   WHYFIT_MUTATIONS_FILE=T  spoils only files whose path holds the text T
 *   WHYFIT_MUTATIONS_KEEP=F  writes what the round read last spoiled to file F
 */
#include "mutator.h"
#include "read_file.h"
#include "room.h"
#include "whole_load.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

TestSuite(mutations, .timeout = 3600);

enum {
    ROUNDS = 100,
    MOST_FILES = 64
};

static const struct asked questions[] = {
    {"kestrel-head-early", "cover", "kestrel-cover-late"},
    {"kestrel-head-early", "spacer", "kestrel-shield"},
    {"kestrel-head-late", "shaft", "kestrel-shaft-replica"},
    {"kestrel-head-early", "bearing", "another"},
    {"kestrel-mower", "head", "kestrel-head-late"},
    {"kestrel-head-late-counter", "seal", "turned"},
    {"kestrel-head-late-counter", "cover", "none"}};

struct library {
    struct arena *arena;
    struct knowledge_input inputs[MOST_FILES];
    text contents[MOST_FILES];
    uint32_t count;
};

static void add_folder(struct library *library, const char *folder)
{
    text *paths = NULL;
    uint32_t count = 0;
    cr_assert_eq(folder_list(library->arena, folder, (const char *const[]){".yaml", NULL},
                             &paths, &count),
                 STATUS_OK);
    for (uint32_t i = 0; i < count; i++) {
        if (text_ends(paths[i], TEXT("o-rings.yaml")) ||
            text_ends(paths[i], TEXT("o-rings-metric.yaml"))) {
            continue; /* long tables that no question needs */
        }
        text *content = &library->contents[library->count];
        cr_assert_lt(library->count, MOST_FILES);
        cr_assert_eq(file_read(library->arena, paths[i].at, 1 << 20, content, NULL),
                     STATUS_OK);
        library->inputs[library->count++] =
            (struct knowledge_input){paths[i], content->at, content->length};
    }
}

static void library_open(struct library *library)
{
    *library = (struct library){.arena = arena_open(allocator_standard(), 0)};
    add_folder(library, WHYFIT_ROOT "/rules");
    add_folder(library, WHYFIT_ROOT "/facts");
    add_folder(library, WHYFIT_ROOT "/demo/mower");
}

static size_t number_from(const char *variable, size_t otherwise)
{
    const char *written = getenv(variable);
    return written == NULL ? otherwise : strtoul(written, NULL, 10);
}

static void keep(text spoiled)
{
    const char *path = getenv("WHYFIT_MUTATIONS_KEEP");
    FILE *file = path == NULL ? NULL : fopen(path, "wb");
    if (file != NULL) {
        (void)fwrite(spoiled.at, 1, spoiled.length, file);
        (void)fclose(file);
    }
}

/* The number of a file that may be spoiled. */
static size_t choose(const struct library *library, struct dice *dice)
{
    const char *wanted = getenv("WHYFIT_MUTATIONS_FILE");
    size_t chosen = dice_below(dice, library->count);
    for (uint32_t i = 0; wanted != NULL && i < library->count; i++) {
        if (strstr(library->inputs[chosen].name.at, wanted) != NULL) {
            break;
        }
        chosen = (chosen + 1) % library->count;
    }
    return chosen;
}

/* NULL when all went as it must. */
static const char *one_round(const struct library *library, size_t round, char *said,
                             size_t said_size, bool *loaded)
{
    struct knowledge_input inputs[MOST_FILES];
    struct arena *arena = arena_open(allocator_standard(), 0);
    struct dice dice = {round};
    const size_t chosen = choose(library, &dice);
    const text spoiled = mutate(arena, &dice, library->contents[chosen],
                                library->contents, library->count);
    for (uint32_t i = 0; i < library->count; i++) {
        inputs[i] = library->inputs[i];
    }
    inputs[chosen].content = spoiled.at;
    inputs[chosen].content_length = spoiled.length;
    keep(spoiled);
    const char *wrong =
        whole_load(inputs, library->count,
                   &questions[round % (sizeof questions / sizeof *questions)], said,
                   said_size, loaded);
    arena_close(arena);
    return wrong;
}

/* What the process of the rounds tells the one that watches it. */
struct report {
    size_t round;
    bool is_done;
    bool is_loaded;
    char wrong[200];
};

static void run_rounds(const struct library *library, size_t from, size_t end, int pipe)
{
    for (size_t round = from; round < end; round++) {
        struct report report = {.round = round};
        char said[200];
        if (write(pipe, &report, sizeof report) != sizeof report) {
            _exit(2);
        }
        const char *wrong =
            one_round(library, round, said, sizeof said, &report.is_loaded);
        report.is_done = true;
        (void)snprintf(report.wrong, sizeof report.wrong, "%s",
                       wrong == NULL ? "" : wrong);
        if (write(pipe, &report, sizeof report) != sizeof report) {
            _exit(2);
        }
    }
    _exit(0);
}

struct totals {
    size_t done;
    size_t loaded;
    size_t wrong;
};

/* Runs from `from` on in a process of its own; the round after the last one it began. */
static size_t watch_rounds(const struct library *library, size_t from, size_t end,
                           struct totals *totals)
{
    struct report last = {.round = from};
    struct report report;
    int ends[2];
    int ended = 0;
    cr_assert_eq(pipe(ends), 0);
    const pid_t child = fork();
    cr_assert_geq(child, 0);
    if (child == 0) {
        run_rounds(library, from, end, ends[1]);
    }
    (void)close(ends[1]);
    while (read(ends[0], &report, sizeof report) == sizeof report) {
        last = report;
        totals->done += report.is_done ? 1 : 0;
        totals->loaded += report.is_loaded ? 1 : 0;
        totals->wrong += report.is_done && report.wrong[0] != '\0' ? 1 : 0;
        cr_expect(!report.is_done || report.wrong[0] == '\0', "round %zu: %s",
                  report.round, report.wrong);
    }
    (void)close(ends[0]);
    cr_assert_eq(waitpid(child, &ended, 0), child);
    const bool is_crash = !WIFEXITED(ended) || WEXITSTATUS(ended) != 0;
    totals->wrong += is_crash ? 1 : 0;
    cr_expect(!is_crash, "round %zu crashed", last.round);
    return last.round + 1;
}

Test(mutations, spoiled_files_are_refused_or_answered)
{
    struct library library;
    struct totals totals = {0};
    library_open(&library);
    const size_t from = number_from("WHYFIT_MUTATIONS_FROM", 1);
    const size_t rounds = number_from("WHYFIT_MUTATIONS", ROUNDS);
    for (size_t at = from; at < from + rounds;) {
        at = watch_rounds(&library, at, from + rounds, &totals);
    }
    (void)fprintf(stderr, "%zu rounds: %zu loaded, %zu wrong\n", totals.done,
                  totals.loaded, totals.wrong);
    cr_expect_geq(totals.done + totals.wrong, rounds);
    cr_expect(rounds < ROUNDS || (totals.loaded > 0 && totals.loaded < totals.done),
              "the rounds are all refused or all loaded");
    arena_close(library.arena);
}
