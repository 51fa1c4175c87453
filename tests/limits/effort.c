/* SPDX-License-Identifier: MIT */
/*
 * A question costs what its own unit costs. The demo's questions are asked of the demo
 * alone, again, beside a trade that has nothing to do with them, and beside a catalogue
 * of further parts and units: the demo again under other names, filled up with small
 * parts. Answers, and what they took, must be the same to the byte, but for the digest.
 */
#include "whyfit.h"

#include <criterion/criterion.h>
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

TestSuite(effort, .timeout = 280);

enum {
    MOST_SOURCES = 1000,
    MOST_FILES = 16,
    QUESTIONS = 8,
    PARTS_OF_DEMO = 16,
    MOST_COPIES = 25 /* whole copies of the demo: 400 parts, 100 units */
};

#if defined(__SANITIZE_ADDRESS__)
static const size_t sizes[] = {100, 1000};
#else
static const size_t sizes[] = {100, 1000, 10000};
#endif

/* ---- texts */

struct growing {
    char *at;
    size_t length;
    size_t room;
};

static bool append(void *context, const char *bytes, size_t length)
{
    struct growing *text = context;
    if (text->length + length + 1 > text->room) {
        text->room = 2 * (text->length + length + 1);
        text->at = realloc(text->at, text->room);
        cr_assert_not_null(text->at);
    }
    memcpy(text->at + text->length, bytes, length);
    text->length += length;
    text->at[text->length] = '\0';
    return true;
}

static char *read_whole(const char *path)
{
    struct growing text = {NULL, 0, 0};
    char block[4096];
    FILE *file = fopen(path, "rb");
    cr_assert_not_null(file, "%s", path);
    for (size_t n = fread(block, 1, sizeof block, file); n > 0;
         n = fread(block, 1, sizeof block, file)) {
        append(&text, block, n);
    }
    (void)fclose(file);
    return text.at;
}

/* With another word wherever one stands. */
static char *renamed(const char *text, const char *word, const char *other)
{
    struct growing made = {NULL, 0, 0};
    for (const char *at = strstr(text, word); at != NULL; at = strstr(text, word)) {
        append(&made, text, (size_t)(at - text));
        append(&made, other, strlen(other));
        text = at + strlen(word);
    }
    append(&made, text, strlen(text));
    return made.at;
}

/* ---- what is loaded */

struct sources {
    whyfit_source at[MOST_SOURCES];
    char *names[MOST_SOURCES]; /* owned, as are contents */
    char *contents[MOST_SOURCES];
    size_t count;
};

/* A name without a content is a folder. */
static void add_source(struct sources *sources, const char *name, char *content)
{
    const size_t n = sources->count++;
    cr_assert_lt(n, MOST_SOURCES);
    sources->names[n] = strdup(name);
    sources->contents[n] = content;
    sources->at[n] = (whyfit_source){sources->names[n], content,
                                     content == NULL ? 0 : strlen(content)};
}

static void free_sources(struct sources *sources)
{
    for (size_t i = 0; i < sources->count; i++) {
        free(sources->names[i]);
        free(sources->contents[i]);
    }
    free(sources);
}

static void add_copies(struct sources *sources, size_t copies)
{
    static const char folder[] = WHYFIT_ROOT "/demo/mower";
    DIR *open = opendir(folder);
    cr_assert_not_null(open);
    for (const struct dirent *one = readdir(open); one != NULL; one = readdir(open)) {
        char path[1024];
        if (strstr(one->d_name, ".yaml") == NULL ||
            strcmp(one->d_name, "prices.yaml") == 0) {
            continue; /* a shipped part has one price */
        }
        (void)snprintf(path, sizeof path, "%s/%s", folder, one->d_name);
        char *whole = read_whole(path);
        for (size_t i = 0; i < copies; i++) {
            char name[300];
            char prefix[40];
            (void)snprintf(prefix, sizeof prefix, "far%zu-", i);
            (void)snprintf(name, sizeof name, "%s%s", prefix, one->d_name);
            add_source(sources, name, renamed(whole, "kestrel-", prefix));
        }
        free(whole);
    }
    (void)closedir(open);
}

/* Washers that nobody asks about. */
static void add_small_parts(struct sources *sources, size_t count)
{
    struct growing text = {NULL, 0, 0};
    char part[400];
    append(&text, "parts:\n", 7);
    for (size_t i = 0; i < count; i++) {
        const int length =
            snprintf(part, sizeof part,
                     "  - part: washer-%zu\n    title: Washer\n    kind: spacer\n"
                     "    source: invented for this test\n    datum: in\n"
                     "    faces:\n      in: {at: 0 mm, looks: in}\n"
                     "      out: {at: %zu ±0.1 mm, looks: out}\n"
                     "    runs:\n      bore: {kind: plain, in: bore, from: in, to: out, "
                     "diameter: 35 F7}\n",
                     i, 1 + i % 40);
        append(&text, part, (size_t)length);
    }
    add_source(sources, "washers.yaml", text.at);
}

/* Rules of their own over kinds and relations of their own. */
static void add_another_trade(struct sources *sources)
{
    add_source(
        sources, "lantern-words.yaml",
        strdup("relations:\n"
               "  wick: {says: A wick., filled-by: facts, listed-as: wicks,\n"
               "    listed-in: part, key: {piece: name, wick: name},\n"
               "    values: {length: {quantity: length}}}\n"
               "  lit: {says: What burns., filled-by: rules, key: {piece: name},\n"
               "    values: {}}\n"
               "kinds:\n"
               "  lantern: {says: A lantern., fields: {height: {quantity: length}}}\n"));
    add_source(
        sources, "lantern-rules.yaml",
        strdup(
            "pack: lanterns\nsays: Invented for this test.\nrules:\n"
            "  - rule: lantern-burns\n    says: Wicks burn.\n    source: invented\n"
            "    given:\n      - lantern: {piece: $lantern}\n"
            "      - wick: {piece: $lantern}\n"
            "    conclude:\n      - lit: {piece: $lantern}\n"
            "  - rule: lantern-gives-light\n    says: It burns.\n    source: invented\n"
            "    given:\n      - lantern: {piece: $lantern}\n"
            "    count:\n      flames: {lit: {piece: $lantern}}\n"
            "    check: {margin: $flames - 1, weight: stops}\n"
            "    because: '{lantern} has no wick'\n"));
    add_source(sources, "lantern.yaml",
               strdup("parts:\n  - part: storm-lantern\n    title: Storm lantern\n"
                      "    kind: lantern\n    source: invented for this test\n"
                      "    height: 240 mm\n    wicks: {flat: {length: 60 mm}}\n"));
}

static struct sources *demo_sources(void)
{
    struct sources *sources = calloc(1, sizeof *sources);
    cr_assert_not_null(sources);
    add_source(sources, WHYFIT_ROOT "/rules", NULL);
    add_source(sources, WHYFIT_ROOT "/facts", NULL);
    add_source(sources, WHYFIT_ROOT "/demo/mower", NULL);
    return sources;
}

/* ---- asking */

struct asked {
    char *answers[QUESTIONS]; /* without what was loaded */
    whyfit_effort efforts[QUESTIONS];
};

static void ask_line(whyfit_asker *asker, const char *line, size_t length, char **said,
                     whyfit_effort *effort)
{
    struct growing text = {NULL, 0, 0};
    whyfit_write_options how = WHYFIT_WRITE_OPTIONS;
    whyfit_answer *answer = NULL;
    how.format = WHYFIT_JSON;
    how.with_effort = true;
    cr_assert_eq(whyfit_ask_json(asker, line, length, &answer, NULL), WHYFIT_OK);
    cr_assert_eq(whyfit_answer_write(answer, &how, append, &text), WHYFIT_OK);
    char *from = strstr(text.at, "\"question\"");
    cr_assert_not_null(from);
    cr_assert_not_null(strstr(from, "\"effort\""));
    *said = strdup(from);
    *effort = whyfit_answer_effort(answer);
    free(text.at);
    whyfit_answer_free(answer);
}

static struct asked ask_all(const struct sources *sources)
{
    char *questions = read_whole(WHYFIT_ROOT "/demo/questions.jsonl");
    struct asked asked = {{NULL}, {{0}}};
    whyfit_knowledge *knowledge = NULL;
    whyfit_asker *asker = NULL;
    size_t n = 0;
    cr_assert_eq(whyfit_load(sources->at, sources->count, NULL, &knowledge, NULL),
                 WHYFIT_OK);
    cr_assert_eq(whyfit_asker_open(knowledge, NULL, &asker), WHYFIT_OK);
    for (const char *line = questions; *line != '\0' && n < QUESTIONS; n++) {
        const size_t length = strcspn(line, "\n");
        ask_line(asker, line, length, &asked.answers[n], &asked.efforts[n]);
        line += length + (line[length] == '\n' ? 1 : 0);
    }
    cr_assert_eq(n, QUESTIONS);
    whyfit_asker_free(asker);
    whyfit_knowledge_free(knowledge);
    free(questions);
    return asked;
}

static void free_asked(struct asked *asked)
{
    for (size_t i = 0; i < QUESTIONS; i++) {
        free(asked->answers[i]);
    }
}

/* Releases what is loaded. */
static void expect_same(const struct asked *alone, struct sources *sources,
                        const char *beside)
{
    struct asked asked = ask_all(sources);
    for (size_t i = 0; i < QUESTIONS; i++) {
        cr_expect(memcmp(&asked.efforts[i], &alone->efforts[i], sizeof *asked.efforts) ==
                      0,
                  "question %zu beside %s: %llu rows read for %llu, %llu steps for %llu",
                  i + 1, beside, (unsigned long long)asked.efforts[i].rows_read,
                  (unsigned long long)alone->efforts[i].rows_read,
                  (unsigned long long)asked.efforts[i].steps,
                  (unsigned long long)alone->efforts[i].steps);
        cr_expect_str_eq(asked.answers[i], alone->answers[i], "question %zu beside %s",
                         i + 1, beside);
    }
    free_asked(&asked);
    free_sources(sources);
}

Test(effort, is_the_same_whatever_else_is_known)
{
    struct sources *sources = demo_sources();
    struct asked alone = ask_all(sources);
    for (size_t i = 0; i < QUESTIONS; i++) {
        cr_expect_gt(alone.efforts[i].rows_read, 1000);
        cr_expect_gt(alone.efforts[i].rows_added, 100);
        cr_expect_gt(alone.efforts[i].steps, 1000);
    }
    expect_same(&alone, sources, "nothing");
    sources = demo_sources();
    add_another_trade(sources);
    expect_same(&alone, sources, "another trade");
    for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++) {
        char beside[40];
        const size_t copies = sizes[i] / PARTS_OF_DEMO;
        const size_t whole = copies < MOST_COPIES ? copies : MOST_COPIES;
        (void)snprintf(beside, sizeof beside, "%zu parts", sizes[i]);
        sources = demo_sources();
        add_copies(sources, whole);
        add_small_parts(sources, sizes[i] - whole * PARTS_OF_DEMO);
        expect_same(&alone, sources, beside);
    }
    free_asked(&alone);
}
