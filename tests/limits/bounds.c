/* SPDX-License-Identifier: MIT */
/*
 * What a load or a question may take: rows, steps, memory, and the caller's patience. A
 * bound that is met names the rule that grew; a caller that has had enough is not asked
 * twice; and afterwards everything is as before.
 */
#include "failing_allocator.h"
#include "whyfit.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <string.h>

TestSuite(bounds, .timeout = 250);

struct written {
    char bytes[2000];
    size_t length;
};

static bool take(void *context, const char *bytes, size_t length)
{
    struct written *written = context;
    for (size_t i = 0; i < length && written->length + 1 < sizeof written->bytes; i++) {
        written->bytes[written->length++] = bytes[i];
    }
    written->bytes[written->length] = '\0';
    return true;
}

/* What the problems say; they are released. */
static struct written said_by(whyfit_problems *problems)
{
    struct written said = {.length = 0};
    cr_assert_not_null(problems);
    cr_expect_eq(whyfit_problems_write(problems, WHYFIT_TEXT, take, &said), WHYFIT_OK);
    whyfit_problems_free(problems);
    return said;
}

/* ---- a demo question */

static whyfit_knowledge *load_demo(const whyfit_allocator *allocator)
{
    static const whyfit_source sources[] = {{WHYFIT_ROOT "/rules", NULL, 0},
                                            {WHYFIT_ROOT "/facts", NULL, 0},
                                            {WHYFIT_ROOT "/demo/mower", NULL, 0}};
    whyfit_load_options options = WHYFIT_LOAD_OPTIONS;
    whyfit_knowledge *knowledge = NULL;
    options.allocator = allocator;
    cr_assert_eq(whyfit_load(sources, 3, &options, &knowledge, NULL), WHYFIT_OK);
    return knowledge;
}

static const char line[] = "{\"unit\": \"kestrel-head-early\", \"changes\": "
                           "{\"cover\": \"kestrel-cover-late\"}}";

static whyfit_status ask(const whyfit_knowledge *knowledge,
                         const whyfit_ask_options *options, struct written *said)
{
    whyfit_asker *asker = NULL;
    whyfit_answer *answer = NULL;
    whyfit_problems *problems = NULL;
    cr_assert_eq(whyfit_asker_open(knowledge, options, &asker), WHYFIT_OK);
    const whyfit_status result =
        whyfit_ask_json(asker, line, strlen(line), &answer, &problems);
    if (problems != NULL) {
        *said = said_by(problems);
    }
    whyfit_answer_free(answer);
    whyfit_asker_free(asker);
    return result;
}

/* A bound of each kind: the rule, where it is, what the bound is, what to do. */
Test(bounds, a_question_says_which_rule_grew)
{
    static const struct {
        whyfit_ask_options options;
        const char *says[4];
    } rows[] = {
        {{.row_limit = 100},
         {"rules/", " rows, where 100 are allowed in all", "higher limit"}},
        {{.step_limit = 5000}, {"rules/", " steps, where 5000 are allowed in all"}},
        {{.memory_limit = 40000}, {"this question took all that it may", "40000 bytes"}}};
    whyfit_knowledge *knowledge = load_demo(NULL);
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct written said = {.length = 0};
        cr_expect_eq(ask(knowledge, &rows[i].options, &said), WHYFIT_LIMIT, "row %zu", i);
        cr_expect_not_null(strstr(said.bytes, "limit-reached"), "row %zu: %s", i,
                           said.bytes);
        for (size_t k = 0; rows[i].says[k] != NULL; k++) {
            cr_expect_not_null(strstr(said.bytes, rows[i].says[k]), "row %zu: %s", i,
                               said.bytes);
        }
    }
    whyfit_knowledge_free(knowledge);
}

/* The same of memory, however much is needed: where a rule is at work it is named. */
Test(bounds, a_question_says_what_took_its_memory)
{
    whyfit_knowledge *knowledge = load_demo(NULL);
    size_t named = 0;
    for (size_t limit = 30000; limit < 3000000; limit += limit / 12) {
        whyfit_ask_options options = WHYFIT_ASK_OPTIONS;
        struct written said = {.length = 0};
        options.memory_limit = limit;
        const whyfit_status result = ask(knowledge, &options, &said);
        if (result == WHYFIT_OK) {
            break;
        }
        const bool is_of_rule = strstr(said.bytes, "no more memory is allowed") != NULL;
        cr_expect_eq(result, WHYFIT_LIMIT, "%zu bytes", limit);
        cr_expect(is_of_rule || strstr(said.bytes, "took all that it may") != NULL,
                  "%zu bytes: %s", limit, said.bytes);
        cr_expect_not_null(strstr(said.bytes, "limit-reached"), "%s", said.bytes);
        named += is_of_rule && strstr(said.bytes, "rules/") != NULL ? 1 : 0;
    }
    cr_expect_gt(named, 0);
    whyfit_knowledge_free(knowledge);
}

struct patience {
    size_t asked;
    size_t ends_at; /* 0: never */
};

static bool is_patient(void *context)
{
    struct patience *patience = context;
    patience->asked++;
    return patience->asked != patience->ends_at;
}

/* Wherever it is stopped, while laying, while inferring, while mends are tried: it is not
 * asked again, nothing is said, nothing is kept, and the next question is answered. */
Test(bounds, a_question_stops_wherever_it_is_told)
{
    struct failing_allocator counted = {0};
    const whyfit_allocator allocator = {failing_resize, &counted};
    whyfit_knowledge *knowledge = load_demo(&allocator);
    const size_t blocks = counted.open_blocks;
    struct patience patience = {0};
    whyfit_ask_options options = WHYFIT_ASK_OPTIONS;
    struct written said = {.length = 0};
    options.go_on = is_patient;
    options.context = &patience;
    cr_assert_eq(ask(knowledge, &options, &said), WHYFIT_OK);
    const size_t all = patience.asked;
    cr_assert_gt(all, 100, "it is asked while laying and while inferring");
    for (size_t n = 1; n <= all; n += all / 80 + 1) {
        patience = (struct patience){.ends_at = n};
        cr_expect_eq(ask(knowledge, &options, &said), WHYFIT_STOPPED, "at %zu", n);
        cr_expect_eq(patience.asked, n, "at %zu it is asked on", n);
        cr_expect_eq(said.length, 0, "%s", said.bytes);
        cr_expect_eq(counted.open_blocks, blocks, "at %zu memory is kept", n);
    }
    patience = (struct patience){0};
    cr_expect_eq(ask(knowledge, &options, &said), WHYFIT_OK);
    whyfit_knowledge_free(knowledge);
}

/* Lines of a batch: the one that is stopped writes nothing, those before are whole. */
Test(bounds, a_batch_stops_within_a_line)
{
    whyfit_knowledge *knowledge = load_demo(NULL);
    struct patience patience = {0};
    whyfit_ask_options options = WHYFIT_ASK_OPTIONS;
    whyfit_asker *asker = NULL;
    bool is_fault = false;
    options.go_on = is_patient;
    options.context = &patience;
    cr_assert_eq(whyfit_asker_open(knowledge, &options, &asker), WHYFIT_OK);
    struct written first = {.length = 0};
    cr_expect_eq(whyfit_answer_line(asker, line, strlen(line), take, &first, &is_fault),
                 WHYFIT_OK);
    cr_expect_gt(first.length, 0);
    patience = (struct patience){.ends_at = patience.asked / 2};
    struct written second = {.length = 0};
    cr_expect_eq(whyfit_answer_line(asker, line, strlen(line), take, &second, &is_fault),
                 WHYFIT_STOPPED);
    cr_expect_eq(second.length, 0);
    cr_expect_not(is_fault);
    whyfit_asker_free(asker);
    whyfit_knowledge_free(knowledge);
}

/* ---- rules that grow */

static const char words[] =
    "relations:\n"
    "  link: {says: Leads to., filled-by: facts, owner: none, key: {from: name, to: "
    "name},\n"
    "    values: {}}\n"
    "  all: {says: '-', filled-by: rules, owner: none, values: {},\n"
    "    key: {a: name, b: name, c: name, d: name, e: name}}\n"
    "  far: {says: '-', filled-by: rules, owner: none, key: {from: name},\n"
    "    values: {length: {count: true}}}\n"
    "  level: {says: '-', filled-by: rules, owner: none, values: {},\n"
    "    key: {from: name, n: number}}\n";

/* A circle of names. */
static const char *links(void)
{
    static char text[2000];
    int at = sprintf(text, "from,to\n");
    for (int i = 0; i < 60; i++) {
        at += sprintf(text + at, "n%d,n%d\n", i, (i + 1) % 60);
    }
    return text;
}

static whyfit_status load_rule(const char *rule, const whyfit_load_options *options,
                               struct written *said)
{
    char rules[1000];
    const char *facts = links();
    whyfit_knowledge *knowledge = NULL;
    whyfit_problems *problems = NULL;
    (void)snprintf(rules, sizeof rules,
                   "pack: growing\nsays: Made for this test.\nrules:\n"
                   "  - {says: '-', source: invented, over: catalogue, %s}\n",
                   rule);
    const whyfit_source sources[] = {{"words.yaml", words, strlen(words)},
                                     {"growing.yaml", rules, strlen(rules)},
                                     {"link.csv", facts, strlen(facts)}};
    const whyfit_status result = whyfit_load(sources, 3, options, &knowledge, &problems);
    if (problems != NULL) {
        *said = said_by(problems);
    }
    whyfit_knowledge_free(knowledge);
    return result;
}

static const char *const every_five =
    "rule: every-five, given: [link: {from: $a}, link: {from: $b}, link: {from: $c}, "
    "link: {from: $d}, link: {from: $e}], conclude: [all: {a: $a, b: $b, c: $c, d: $d, "
    "e: $e}]";

/* 60 to the fifth rows would follow. */
Test(bounds, a_rule_of_conditions_that_share_nothing_is_stopped)
{
    struct written said = {.length = 0};
    struct patience patience = {.ends_at = 50};
    whyfit_load_options options = WHYFIT_LOAD_OPTIONS;
    options.row_limit = 3000;
    cr_expect_eq(load_rule(every_five, &options, &said), WHYFIT_LIMIT);
    cr_expect_not_null(strstr(said.bytes, "growing.yaml:4:"), "%s", said.bytes);
    cr_expect_not_null(
        strstr(said.bytes, "rule every-five made 3001 rows, where 3000 are allowed"),
        "%s", said.bytes);
    cr_expect_not_null(strstr(said.bytes, "conditions that share variables"), "%s",
                       said.bytes);
    options.row_limit = 0;
    options.step_limit = 100000;
    cr_expect_eq(load_rule(every_five, &options, &said), WHYFIT_LIMIT);
    cr_expect_not_null(strstr(said.bytes, "took 100001 steps, where 100000 are allowed"),
                       "%s", said.bytes);
    options.step_limit = 0;
    options.memory_limit = 8u << 20;
    cr_expect_eq(load_rule(every_five, &options, &said), WHYFIT_LIMIT);
    cr_expect_not_null(strstr(said.bytes, "no more memory is allowed"), "%s", said.bytes);
    options.memory_limit = 0;
    options.go_on = is_patient;
    options.context = &patience;
    cr_expect_eq(load_rule(every_five, &options, &said), WHYFIT_STOPPED);
    cr_expect_eq(patience.asked, 50);
}

/* Without a limit of the caller's the default holds. */
Test(bounds, two_million_rows_are_the_most)
{
    struct written said = {.length = 0};
    cr_expect_eq(load_rule(every_five, NULL, &said), WHYFIT_LIMIT);
    cr_expect_not_null(strstr(said.bytes, "where 2000000 are allowed"), "%s", said.bytes);
}

/* Counts that would go up for ever: in a key they are refused, in a value they are two
 * values for one key. */
Test(bounds, counts_cannot_go_up_for_ever)
{
    struct written said = {.length = 0};
    cr_expect_eq(
        load_rule("rule: up, given: [level: {from: $a, n: $n}], let: {m: $n + 1}, "
                  "conclude: [level: {from: $a, n: $m}]",
                  NULL, &said),
        WHYFIT_INVALID);
    cr_expect_not_null(strstr(said.bytes, "growing.yaml:4:"), "%s", said.bytes);
    cr_expect_eq(
        load_rule("rule: first, given: [link: {from: $a}], conclude: [far: {from: "
                  "$a, length: 1}]}\n  - {says: '-', source: invented, over: "
                  "catalogue, rule: on, given: [far: {from: $a, length: $n}, link: "
                  "{from: $a, to: $b}], let: {m: $n + 1}, conclude: [far: {from: "
                  "$b, length: $m}]",
                  NULL, &said),
        WHYFIT_INVALID);
    cr_expect_not_null(strstr(said.bytes, "values-conflict"), "%s", said.bytes);
}

/* What is loaded is bounded too, where no rule is at work. */
Test(bounds, a_load_says_that_it_is_too_large)
{
    whyfit_load_options options = WHYFIT_LOAD_OPTIONS;
    const whyfit_source source = {WHYFIT_ROOT "/rules", NULL, 0};
    whyfit_knowledge *knowledge = NULL;
    whyfit_problems *problems = NULL;
    options.memory_limit = 100000;
    cr_expect_eq(whyfit_load(&source, 1, &options, &knowledge, &problems), WHYFIT_LIMIT);
    cr_expect_null(knowledge);
    const struct written said = said_by(problems);
    cr_expect_not_null(strstr(said.bytes, "more memory than the 100000 bytes"), "%s",
                       said.bytes);
}
