/* SPDX-License-Identifier: MIT */
/*
 * What `upgrade` finds against every swap there is: brute_force ROOT. Machines are drawn,
 * one part is wanted, and every choice of parts for the other places is asked as a swap
 * of its own. The minimal sets that work, and the minimal ones that are not known where
 * nothing smaller works, must be those of the answer, and its bytes must be the same when
 * its swaps are tried in another order. Uses whyfit.h alone.
 *
 * WHYFIT_UPGRADE_SYSTEMS says how many machines are drawn, WHYFIT_UPGRADE_SEED from
 * where, WHYFIT_UPGRADE_LARGE how many of 12 places with 200 parts in all, up to 3
 * changes.
 */
#include "whyfit.h"

#include "random_system.h"

#include <stdlib.h>
#include <string.h>

enum {
    MOST_SETS = 20000,
    CHANGES_ROOM = MOST_DRAWN_PLACES
};

struct drawn_set {
    uint8_t word[MOST_DRAWN_PLACES]; /* 0: left alone; else 1 + the number of its part */
};

struct set_list {
    struct drawn_set at[MOST_SETS];
    size_t count;
};

struct run {
    const char *root;
    char *relations; /* of the shipped vocabulary */
    struct random_system system;
    whyfit_knowledge *knowledge;
    whyfit_asker *asker;
    uint32_t goal_place;
    uint32_t goal_part;
    uint32_t largest; /* 0: any */
    struct set_list works;
    struct set_list not_known;
    size_t swaps;
    size_t tried;
    size_t sets;
    size_t open_sets;
    unsigned failed;
};

/* ---- loading */

/* The relations that the engine needs, out of the shipped vocabulary; its kinds and rules
 * are left out. */
static char *read_relations(const char *root)
{
    char path[4096];
    (void)snprintf(path, sizeof path, "%s/rules/vocabulary.yaml", root);
    FILE *file = fopen(path, "rb");
    char *text = malloc(1 << 20);
    const size_t length =
        file == NULL || text == NULL ? 0 : fread(text, 1, (1 << 20) - 1, file);
    if (file != NULL) {
        (void)fclose(file);
    }
    if (length == 0) {
        free(text);
        return NULL;
    }
    text[length] = '\0';
    char *kinds = strstr(text, "\nkinds:");
    if (kinds != NULL) {
        kinds[1] = '\0';
    }
    return text;
}

static bool to_stderr(void *context, const char *bytes, size_t length)
{
    (void)context;
    return fwrite(bytes, 1, length, stderr) == length;
}

static bool load(struct run *run)
{
    struct random_system *system = &run->system;
    const whyfit_source sources[] = {
        {"shipped/vocabulary.yaml", run->relations, strlen(run->relations)},
        {"drawn/vocabulary.yaml", system->vocabulary, strlen(system->vocabulary)},
        {"drawn/rules.yaml", system->rules, strlen(system->rules)},
        {"drawn/facts.yaml", system->facts, strlen(system->facts)}};
    whyfit_problems *problems = NULL;
    const whyfit_status status = whyfit_load(sources, sizeof sources / sizeof *sources,
                                             NULL, &run->knowledge, &problems);
    if (problems != NULL) {
        (void)whyfit_problems_write(problems, WHYFIT_TEXT, to_stderr, NULL);
        whyfit_problems_free(problems);
    }
    return status == WHYFIT_OK &&
           whyfit_asker_open(run->knowledge, NULL, &run->asker) == WHYFIT_OK;
}

static void unload(struct run *run)
{
    whyfit_asker_free(run->asker);
    whyfit_knowledge_free(run->knowledge);
    run->asker = NULL;
    run->knowledge = NULL;
}

/* ---- every swap */

enum found {
    FOUND_WORKS,
    FOUND_NOT_KNOWN,
    FOUND_REFUSED
};

/* Asks one set as a swap; one that cannot be put together is refused. */
static enum found ask_swap(struct run *run, const struct drawn_set *set)
{
    char places[CHANGES_ROOM][16];
    char parts[CHANGES_ROOM][40];
    whyfit_pair changes[CHANGES_ROOM];
    whyfit_question question = WHYFIT_QUESTION;
    whyfit_answer *answer = NULL;
    for (uint32_t i = 0; i < run->system.place_count; i++) {
        if (set->word[i] != 0) {
            const size_t at = question.change_count++;
            (void)snprintf(places[at], sizeof places[at], "p%u", i);
            (void)snprintf(parts[at], sizeof parts[at], "part-%u-%u", i,
                           (unsigned)set->word[i] - 1);
            changes[at] = (whyfit_pair){places[at], parts[at]};
        }
    }
    question.unit = "host";
    question.changes = changes;
    run->swaps++;
    if (whyfit_ask(run->asker, &question, &answer, NULL) != WHYFIT_OK) {
        return FOUND_REFUSED;
    }
    const whyfit_verdict verdict = whyfit_answer_verdict(answer);
    whyfit_answer_free(answer);
    return verdict == WHYFIT_DOES_NOT_FIT ? FOUND_REFUSED
           : verdict == WHYFIT_NOT_KNOWN  ? FOUND_NOT_KNOWN
                                          : FOUND_WORKS;
}

static bool is_part_of(const struct drawn_set *part, const struct drawn_set *whole)
{
    for (uint32_t i = 0; i < MOST_DRAWN_PLACES; i++) {
        if (part->word[i] != 0 && part->word[i] != whole->word[i]) {
            return false;
        }
    }
    return true;
}

static bool holds_any(const struct set_list *list, const struct drawn_set *set)
{
    for (size_t i = 0; i < list->count; i++) {
        if (is_part_of(&list->at[i], set)) {
            return true;
        }
    }
    return false;
}

static void add(struct set_list *list, const struct drawn_set *set)
{
    if (list->count < MOST_SETS) {
        list->at[list->count++] = *set;
    }
}

/* All sets of `left` more changes in places from `from` on. Sizes come one after the
 * other, so whatever is found is minimal. */
static void try_all(struct run *run, struct drawn_set *set, uint32_t from, uint32_t left)
{
    if (left == 0) {
        if (holds_any(&run->works, set)) {
            return;
        }
        const enum found found = ask_swap(run, set);
        if (found == FOUND_WORKS) {
            add(&run->works, set);
        } else if (found == FOUND_NOT_KNOWN && !holds_any(&run->not_known, set)) {
            add(&run->not_known, set);
        }
        return;
    }
    for (uint32_t i = from; i < run->system.place_count; i++) {
        for (uint32_t k = 0; i != run->goal_place && k < run->system.part_count[i]; k++) {
            if (k == 0 && !run->system.is_brought[i]) {
                continue; /* the host's own, which nothing could replace unasked */
            }
            set->word[i] = (uint8_t)(k + 1);
            try_all(run, set, i + 1, left - 1);
        }
        set->word[i] = i == run->goal_place ? (uint8_t)(run->goal_part + 1) : 0;
    }
}

static void brute_force(struct run *run)
{
    run->works.count = 0;
    run->not_known.count = 0;
    const uint32_t most = run->largest > 0 ? run->largest : run->system.place_count;
    for (uint32_t size = 0; size < most; size++) {
        struct drawn_set set = {{0}};
        set.word[run->goal_place] = (uint8_t)(run->goal_part + 1);
        try_all(run, &set, 0, size);
    }
}

/* ---- the answer */

struct bytes {
    char *at;
    size_t length;
    size_t room;
};

static bool append(void *context, const char *from, size_t length)
{
    struct bytes *bytes = context;
    if (bytes->length + length > bytes->room) {
        bytes->room = 2 * (bytes->length + length);
        bytes->at = realloc(bytes->at, bytes->room);
        if (bytes->at == NULL) {
            abort();
        }
    }
    memcpy(bytes->at + bytes->length, from, length);
    bytes->length += length;
    return true;
}

/* Tries the last first, as threads might. */
static void backwards(void *context, size_t count, void (*task)(void *of, size_t i),
                      void *of)
{
    (void)context;
    for (size_t i = count; i > 0; i--) {
        task(of, i - 1);
    }
}

static whyfit_answer *ask_upgrade(struct run *run, bool is_backwards)
{
    char place[16];
    char part[40];
    const whyfit_pair want = {place, part};
    whyfit_question question = WHYFIT_QUESTION;
    whyfit_ask_options options = WHYFIT_ASK_OPTIONS;
    whyfit_asker *asker = NULL;
    whyfit_answer *answer = NULL;
    whyfit_problems *problems = NULL;
    (void)snprintf(place, sizeof place, "p%u", run->goal_place);
    (void)snprintf(part, sizeof part, "part-%u-%u", run->goal_place, run->goal_part);
    question.command = "upgrade";
    question.unit = "host";
    question.want = &want;
    question.want_count = 1;
    question.most = WHYFIT_MOST;
    question.tries = WHYFIT_MOST_TRIES;
    question.largest = run->largest;
    options.spread = is_backwards ? backwards : NULL;
    if (whyfit_asker_open(run->knowledge, &options, &asker) == WHYFIT_OK) {
        (void)whyfit_ask(asker, &question, &answer, &problems);
    }
    if (problems != NULL) {
        (void)whyfit_problems_write(problems, WHYFIT_TEXT, to_stderr, NULL);
        whyfit_problems_free(problems);
    }
    whyfit_asker_free(asker);
    return answer;
}

/* "p3" and "part-3-1" → the word of place 3. */
static struct drawn_set read_set(const whyfit_answer *answer, size_t at)
{
    struct drawn_set set = {{0}};
    whyfit_pair change;
    for (size_t i = 0; whyfit_answer_change(answer, at, i, &change); i++) {
        const unsigned long place = strtoul(change.name + 1, NULL, 10);
        const char *last = strrchr(change.value, '-');
        set.word[place < MOST_DRAWN_PLACES ? place : 0] =
            (uint8_t)(last == NULL ? 0 : 1 + strtoul(last + 1, NULL, 10));
    }
    return set;
}

static bool is_in(const struct set_list *list, const struct drawn_set *set)
{
    for (size_t i = 0; i < list->count; i++) {
        if (memcmp(&list->at[i], set, sizeof *set) == 0) {
            return true;
        }
    }
    return false;
}

/* Cheapest first: by price where every set of the answer has one, else by pieces. */
static bool is_in_order(const whyfit_answer *answer)
{
    bool is_priced = true;
    whyfit_change_set last = {0};
    whyfit_change_set found;
    for (size_t i = 0; whyfit_answer_change_set(answer, i, &found); i++) {
        is_priced = is_priced && found.price >= 0; /* NAN is not */
    }
    for (size_t i = 0; whyfit_answer_change_set(answer, i, &found); i++) {
        const bool is_first = i == 0 || last.is_known != found.is_known;
        if (!is_first &&
            (is_priced ? found.price < last.price - 1e-9 : found.pieces < last.pieces)) {
            return false;
        }
        last = found;
    }
    return true;
}

/* As many sets as were found, and each of them. */
static bool same_sets(const struct run *run, const whyfit_answer *answer)
{
    size_t works = 0;
    size_t not_known = 0;
    whyfit_change_set found;
    for (size_t i = 0; whyfit_answer_change_set(answer, i, &found); i++) {
        const struct drawn_set set = read_set(answer, i);
        if (!is_in(found.is_known ? &run->works : &run->not_known, &set)) {
            return false;
        }
        works += found.is_known ? 1 : 0;
        not_known += found.is_known ? 0 : 1;
    }
    return works == run->works.count && not_known == run->not_known.count;
}

static bool same_bytes(const whyfit_answer *one, const whyfit_answer *two)
{
    whyfit_write_options options = WHYFIT_WRITE_OPTIONS;
    struct bytes first = {0};
    struct bytes second = {0};
    options.format = WHYFIT_JSON;
    const bool is_same =
        whyfit_answer_write(one, &options, append, &first) == WHYFIT_OK &&
        whyfit_answer_write(two, &options, append, &second) == WHYFIT_OK &&
        first.length == second.length && memcmp(first.at, second.at, first.length) == 0;
    free(first.at);
    free(second.at);
    return is_same;
}

static void fail(struct run *run, uint64_t seed, const char *what)
{
    run->failed++;
    printf("FAILED seed %llu, p%u=part-%u-%u: %s\n", (unsigned long long)seed,
           run->goal_place, run->goal_place, run->goal_part, what);
    if (getenv("WHYFIT_UPGRADE_SHOW") != NULL) {
        printf("%s\n%s\n%s\n", run->system.vocabulary, run->system.rules,
               run->system.facts);
        for (size_t i = 0; i < run->works.count + run->not_known.count; i++) {
            const bool is_known = i < run->works.count;
            const struct drawn_set *set =
                is_known ? &run->works.at[i] : &run->not_known.at[i - run->works.count];
            printf(is_known ? "works    " : "not known");
            for (uint32_t k = 0; k < run->system.place_count; k++) {
                if (set->word[k] != 0) {
                    printf(" p%u=part-%u-%u", k, k, set->word[k] - 1u);
                }
            }
            printf("\n");
        }
        whyfit_write_options options = WHYFIT_WRITE_OPTIONS;
        whyfit_answer *answer = ask_upgrade(run, false);
        if (answer != NULL) {
            (void)fflush(stdout);
            (void)whyfit_answer_write(answer, &options, to_stderr, NULL);
            whyfit_answer_free(answer);
        }
    }
}

static void check_goal(struct run *run, uint64_t seed)
{
    brute_force(run);
    whyfit_answer *answer = ask_upgrade(run, false);
    whyfit_answer *again = seed % 4 == 0 ? ask_upgrade(run, true) : NULL;
    bool is_cut = true;
    if (answer == NULL || (again == NULL && seed % 4 == 0)) {
        fail(run, seed, "no answer");
    } else {
        run->tried += whyfit_answer_tried(answer, &is_cut);
        if (is_cut) {
            fail(run, seed, "a bound was reached");
        } else if (!same_sets(run, answer)) {
            fail(run, seed, "other sets than every swap gives");
        } else if (!is_in_order(answer)) {
            fail(run, seed, "a dearer set stands before a cheaper one");
        } else if (again != NULL && !same_bytes(answer, again)) {
            fail(run, seed, "other bytes in another order of trying");
        }
    }
    run->sets += run->works.count;
    run->open_sets += run->not_known.count;
    whyfit_answer_free(answer);
    whyfit_answer_free(again);
}

static void check_system(struct run *run, uint64_t seed, struct random_bounds bounds)
{
    struct dice dice = {seed};
    random_system_draw(&run->system, &dice, bounds);
    run->goal_place = (uint32_t)dice_below(&dice, run->system.place_count);
    run->goal_part =
        1 + (uint32_t)dice_below(&dice, run->system.part_count[run->goal_place] - 1);
    if (load(run)) {
        check_goal(run, seed);
    } else {
        fail(run, seed, "it could not be loaded");
    }
    unload(run);
}

static unsigned long number_of(const char *name, unsigned long otherwise)
{
    const char *word = getenv(name);
    return word == NULL ? otherwise : strtoul(word, NULL, 10);
}

static void check_all(struct run *run, const char *what, unsigned long count,
                      uint64_t first_seed, struct random_bounds bounds)
{
    run->swaps = run->tried = run->sets = run->open_sets = 0;
    for (unsigned long i = 0; i < count; i++) {
        check_system(run, first_seed + i, bounds);
    }
    printf("%lu %s: %zu sets work, of %zu it is not known; %zu swaps tried, %zu by every "
           "swap\n",
           count, what, run->sets, run->open_sets, run->tried, run->swaps);
}

int main(int argc, char **argv)
{
    static struct run run;
    run.root = argc > 1 ? argv[1] : ".";
    run.relations = read_relations(run.root);
    if (run.relations == NULL) {
        fputs("the vocabulary cannot be read\n", stderr);
        return 1;
    }
    const uint64_t seed = number_of("WHYFIT_UPGRADE_SEED", 1);
    const struct random_bounds small = {5, 4, false, false};
    const struct random_bounds large = {12, 17, true, true};
    check_all(&run, "machines", number_of("WHYFIT_UPGRADE_SYSTEMS", WHYFIT_FEWER), seed,
              small);
    run.largest = 3;
    check_all(&run, "large machines", number_of("WHYFIT_UPGRADE_LARGE", 0), seed, large);
    free(run.relations);
    printf("%u failed\n", run.failed);
    return run.failed == 0 ? 0 : 1;
}
