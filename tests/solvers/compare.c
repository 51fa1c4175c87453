/* SPDX-License-Identifier: MIT */
/*
 * Random rule bases, worked out by the engine and by solvers that know nothing of it: an
 * answer-set grounder and solver (gringo, clasp), and a relational database (sqlite3)
 * for all whose loops it can say. Every row of every relation must be the same, those of
 * the facts too; where the engine ends because a key has two values, it must have two
 * there as well.
 *
 * WHYFIT_SOLVER_PROGRAMS asks for another number of programs, WHYFIT_SOLVER_SEED for
 * another first one. Ends with 77 where a solver is not installed.
 */
#include "ours.h"

#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

enum {
    BATCH = 100, /* programs for one run of a solver */
    SKIPPED = 77
};

enum solver {
    ANSWER_SET,
    DATABASE,
    SOLVERS
};

static const struct {
    const char *name;
    const char *command; /* with the file's name in it */
    int good;            /* how it ends where all is well: clasp's 30 is "one model,
                            and there is no other" */
    void (*write)(FILE *out, const struct plain_program *program, uint32_t n);
} solvers[SOLVERS] = {{"gringo and clasp",
                       "gringo -Wnone %s | clasp 0 -V0 --out-ifs='\\n'", 30,
                       write_answer_set},
                      {"sqlite3", "sqlite3 -batch -bail :memory: <%s", 0, write_sql}};

/* Seen over all programs, so that nobody can mistake easy programs for a test. */
struct seen {
    unsigned programs;
    unsigned refused;
    unsigned conflicts;
    unsigned concluded; /* rows that are no facts */
    unsigned compared[SOLVERS];
};

/* One program of a batch. */
struct entry {
    uint64_t seed;
    struct ours ours;
    bool is_asked[SOLVERS];
    line_array theirs[SOLVERS];
    uint32_t facts;
};

/* ---- asking a solver */

static FILE *open_file(char *name)
{
    const int file = mkstemp(name);
    FILE *out = file < 0 ? NULL : fdopen(file, "w");
    if (out == NULL) {
        perror(name);
        exit(1);
    }
    return out;
}

/* "t12_link(…": a row of the twelfth; models end with a word of their own. */
static void take_line(struct arena *arena, struct entry *entries, uint32_t count,
                      enum solver solver, const char *line)
{
    const unsigned long n = line[0] == 't' ? strtoul(line + 1, NULL, 10) : count;
    const char *kept = text_copy(arena, text_of(line)).at;
    if (n < count && !ARRAY_PUSH(arena, &entries[n].theirs[solver], kept)) {
        abort();
    }
}

/* false: it did not end well. */
static bool ask(struct arena *arena, enum solver solver, const char *file,
                struct entry *entries, uint32_t count)
{
    char command[200];
    char line[1000];
    /* The command is one of the table's, and its one argument the name of our file. */
    (void)snprintf(command, sizeof command, "%s", solvers[solver].command);
    char *gap = strstr(command, "%s");
    (void)snprintf(gap, sizeof command - (size_t)(gap - command), "%s%s", file,
                   strstr(solvers[solver].command, "%s") + 2);
    FILE *in = popen(command, "r");
    while (in != NULL && fgets(line, sizeof line, in) != NULL) {
        line[strcspn(line, "\n")] = '\0';
        take_line(arena, entries, count, solver, line);
    }
    const int end = in == NULL ? -1 : pclose(in);
    return end >= 0 && WIFEXITED(end) && WEXITSTATUS(end) == solvers[solver].good;
}

/* ---- comparing */

static int compare_lines(const void *a, const void *b)
{
    return strcmp(*(const char *const *)a, *(const char *const *)b);
}

static void sort_lines(line_array *lines)
{
    if (lines->count > 1) {
        qsort(lines->at, lines->count, sizeof *lines->at, compare_lines);
    }
}

static const char *differ(struct arena *arena, const line_array *ours,
                          const line_array *theirs, const char *solver)
{
    for (uint32_t i = 0; i < ours->count || i < theirs->count; i++) {
        const char *mine = i < ours->count ? ours->at[i] : "~";
        const char *other = i < theirs->count ? theirs->at[i] : "~";
        const int order = strcmp(mine, other);
        if (order != 0) {
            return text_format(arena, "%s is only said by %s", order < 0 ? mine : other,
                               order < 0 ? "the engine" : solver)
                .at;
        }
    }
    return NULL;
}

/* A key with two values has two rows there. */
static const char *miss_conflict(struct arena *arena, const char *key,
                                 const line_array *theirs, const char *solver)
{
    uint32_t rows = 0;
    for (uint32_t i = 0; i < theirs->count; i++) {
        rows += strncmp(theirs->at[i], key, strlen(key)) == 0;
    }
    return rows > 1 ? NULL
                    : text_format(arena, "%s…) has two values in the engine and %u by %s",
                                  key, rows, solver)
                          .at;
}

static const char *judge(struct arena *arena, struct entry *entry)
{
    const char *why = NULL;
    sort_lines(&entry->ours.lines);
    for (int s = 0; s < SOLVERS && why == NULL; s++) {
        line_array *theirs = &entry->theirs[s];
        sort_lines(theirs);
        if (entry->is_asked[s]) {
            why =
                entry->ours.conflict != NULL
                    ? miss_conflict(arena, entry->ours.conflict, theirs, solvers[s].name)
                    : differ(arena, &entry->ours.lines, theirs, solvers[s].name);
        }
    }
    return why;
}

/* ---- batches */

/* Runs a program through the engine and writes it down for the solvers. */
static const char *prepare(struct arena *arena, const struct random_program *program,
                           struct entry *entry, uint32_t n, FILE *const *files)
{
    static struct plain_program plain;
    const char *at = "";
    const bool is_read = plain_read(&plain, program, &at);
    entry->ours = ours_of(arena, program, &plain, n);
    if (entry->ours.is_refused) {
        return NULL;
    }
    if (!is_read) {
        return text_format(arena, "the test cannot read: %s", at).at;
    }
    entry->facts = plain.fact_count;
    for (int s = 0; s < SOLVERS; s++) {
        entry->is_asked[s] = s != DATABASE || sql_can_say(&plain);
        if (entry->is_asked[s]) {
            solvers[s].write(files[s], &plain, n);
        }
    }
    return NULL;
}

/* The first thing on which a batch of programs differs, and whose; NULL: none. */
static const char *run_batch(struct arena *arena, const struct random_program *given,
                             struct entry *entries, uint32_t count, uint32_t *whose)
{
    static struct random_program drawn;
    char names[SOLVERS][32];
    FILE *files[SOLVERS];
    const char *why = NULL;
    for (int s = 0; s < SOLVERS; s++) {
        (void)snprintf(names[s], sizeof names[s], "solver-XXXXXX");
        files[s] = open_file(names[s]);
    }
    for (uint32_t i = 0; i < count && why == NULL; i++) {
        *whose = i;
        if (given == NULL) {
            program_make_exact(&drawn, entries[i].seed);
        }
        why = prepare(arena, given == NULL ? &drawn : given, &entries[i], i, files);
    }
    for (int s = 0; s < SOLVERS; s++) {
        (void)fclose(files[s]);
        if (why == NULL && !ask(arena, (enum solver)s, names[s], entries, count)) {
            why = text_format(arena, "%s did not take it", solvers[s].name).at;
            *whose = count;
        }
        (void)unlink(names[s]);
    }
    for (uint32_t i = 0; i < count && why == NULL; i++) {
        *whose = i;
        why = entries[i].ours.is_refused ? NULL : judge(arena, &entries[i]);
    }
    return why;
}

static void see(struct seen *seen, const struct entry *entry)
{
    seen->programs++;
    seen->refused += entry->ours.is_refused;
    seen->conflicts += entry->ours.conflict != NULL;
    for (int s = 0; s < SOLVERS; s++) {
        seen->compared[s] += entry->is_asked[s];
    }
    if (entry->ours.conflict == NULL && !entry->ours.is_refused) {
        seen->concluded += entry->ours.lines.count - entry->facts;
    }
}

/* ---- failing */

static const char *run_one(struct arena *arena, const struct random_program *program)
{
    struct entry entry = {0};
    uint32_t whose = 0;
    return run_batch(arena, program, &entry, 1, &whose);
}

/* Leaves out whatever the difference does not need. */
static void shrink(struct random_program *program)
{
    static struct random_program trial;
    bool is_smaller = true;
    while (is_smaller) {
        is_smaller = false;
        trial = *program;
        for (uint32_t n = 0; program_leave_out(&trial, n);) {
            struct arena *arena = arena_open(allocator_standard(), 0);
            if (run_one(arena, &trial) != NULL) {
                *program = trial;
                is_smaller = true;
            } else {
                n++;
            }
            trial = *program;
            arena_close(arena);
        }
    }
}

static void show(struct random_program *program, uint64_t seed)
{
    static char written[1 << 16];
    struct arena *arena = arena_open(allocator_standard(), 0);
    const char *why = run_one(arena, program);
    if (why == NULL) {
        fprintf(stderr, "seed %llu differs only beside others\n",
                (unsigned long long)seed);
    } else {
        shrink(program);
        why = run_one(arena, program);
        (void)program_rules_write(program, written, sizeof written);
        fprintf(stderr, "seed %llu: %s\n\n%s", (unsigned long long)seed, why, written);
        (void)program_parts_write(program, PROGRAM_ALL, written, sizeof written);
        fprintf(stderr, "%s", written);
    }
    arena_close(arena);
}

/* Whose difference it is: where a solver took none of the batch, each is asked alone. */
static void show_first(const struct entry *entries, uint32_t count, uint32_t whose)
{
    static struct random_program program;
    for (uint32_t i = whose < count ? whose : 0; i < count; i++) {
        struct arena *arena = arena_open(allocator_standard(), 0);
        program_make_exact(&program, entries[i].seed);
        const bool is_it = run_one(arena, &program) != NULL;
        arena_close(arena);
        if (is_it) {
            show(&program, entries[i].seed);
            return;
        }
    }
    fprintf(stderr, "the programs from seed %llu on differ only together\n",
            (unsigned long long)entries[0].seed);
}

static unsigned long asked(const char *name, unsigned long otherwise)
{
    const char *word = getenv(name);
    return word != NULL ? strtoul(word, NULL, 10) : otherwise;
}

static bool compare_batch(uint64_t first, uint32_t count, struct seen *seen)
{
    struct arena *arena = arena_open(allocator_standard(), 0);
    struct entry entries[BATCH] = {0};
    uint32_t whose = 0;
    for (uint32_t i = 0; i < count; i++) {
        entries[i].seed = first + i;
    }
    const char *why = run_batch(arena, NULL, entries, count, &whose);
    for (uint32_t i = 0; i < count; i++) {
        see(seen, &entries[i]);
    }
    if (why != NULL) {
        fprintf(stderr, "%s\n", why);
        show_first(entries, count, whose);
    }
    arena_close(arena);
    return why == NULL;
}

static bool is_installed(const char *program)
{
    char command[100];
    (void)snprintf(command, sizeof command, "command -v %s >/dev/null 2>&1", program);
    if (system(command) == 0) {
        return true;
    }
    printf("%s is not installed: nothing is compared\n", program);
    return false;
}

/* Refusals and conflicts are few, and there is something to compare. */
static bool is_hard(const struct seen *seen)
{
    printf("%u programs, %u refused, %u with a conflict; %u rows concluded; by gringo "
           "and clasp %u, by sqlite3 %u\n",
           seen->programs, seen->refused, seen->conflicts, seen->concluded,
           seen->compared[ANSWER_SET], seen->compared[DATABASE]);
    return seen->programs < 200 ||
           (seen->refused * 10 < seen->programs && seen->conflicts * 4 < seen->programs &&
            seen->conflicts > 0 && seen->concluded > 10 * seen->programs &&
            seen->compared[DATABASE] * 3 > seen->programs);
}

int main(void)
{
    const unsigned long count = asked("WHYFIT_SOLVER_PROGRAMS", 300);
    const unsigned long first = asked("WHYFIT_SOLVER_SEED", 1);
    struct seen seen = {0};
    if (!is_installed("gringo") || !is_installed("clasp") || !is_installed("sqlite3")) {
        return SKIPPED;
    }
    for (unsigned long done = 0; done < count; done += BATCH) {
        const unsigned long left = count - done;
        if (!compare_batch(first + done, left < BATCH ? (uint32_t)left : BATCH, &seen)) {
            return 1;
        }
    }
    if (!is_hard(&seen)) {
        fprintf(stderr, "these programs are too easy\n");
        return 1;
    }
    return 0;
}
