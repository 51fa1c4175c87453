/* SPDX-License-Identifier: MIT */
/*
 * Runs worked cases: run_cases ROOT [--json FILE] [--prepared FILE] CASES.yaml…. A case
 * asks one question of the shipped rules and facts, the folders its file names, and the
 * other files of its own folder, and compares verdict and findings with what was worked
 * out by hand. With
 * --json every answer is also written there, one a line, for the replay. With --prepared
 * the knowledge goes through that file and comes back before it is asked.
 */
#include "whyfit.h"

#include "node.h"
#include "stated.h"

#include "array.h"
#include "read_file.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct run {
    struct arena *arena;
    struct sources *sources;
    struct diagnostics *diagnostics;
    const char *root;
    FILE *json;
    const char *prepared; /* NULL: text is read */
    unsigned passed;
    unsigned failed;
};

static bool to_stream(void *stream, const char *bytes, size_t length)
{
    return fwrite(bytes, 1, length, stream) == length;
}

static const char *word_or(const struct node *map, const char *key, const char *otherwise)
{
    const struct node *word = node_field_of(map, key);
    return word != NULL && word->kind == NODE_WORD ? word->word.at : otherwise;
}

static size_t read_pairs(const struct node *map, whyfit_pair *out, size_t room)
{
    size_t count = 0;
    for (uint32_t i = 0; map != NULL && i < map->count && count < room; i++) {
        out[count++] =
            (whyfit_pair){map->fields[i].key.at, map->fields[i].value->word.at};
    }
    return count;
}

/* ---- one expected finding */

static bool subject_matches(const whyfit_answer *answer, size_t i,
                            const struct node *subject)
{
    for (uint32_t k = 0; subject != NULL && k < subject->count; k++) {
        const char *value = whyfit_answer_subject(answer, i, subject->fields[k].key.at);
        if (value == NULL || !text_is(subject->fields[k].value->word, value)) {
            return false;
        }
    }
    return true;
}

/* The margin in the unit it is shown in, as the case writes it. */
static bool wanted_margin(struct run *run, const struct node *word, double *out)
{
    const struct stated_options options = {.any_dimension = true};
    struct stated stated;
    struct unit unit;
    if (stated_read(word->word, word->where, &options, run->diagnostics, &stated) !=
        STATUS_OK) {
        return false;
    }
    *out = unit_shown(stated.dim, &unit) ? unit_from_coherent(&unit, stated.nominal)
                                         : stated.nominal;
    return true;
}

static bool complain(const char *name, const char *rule, const char *what,
                     const char *got, const char *wanted)
{
    printf("FAILED %s: %s: %s is %s, wanted %s\n", name, rule, what, got, wanted);
    return false;
}

static bool check_number(struct run *run, const char *name, const struct node *expected,
                         const char *key, const char *rule, double got)
{
    const struct node *word = node_field_of(expected, key);
    double wanted = 0;
    char written[64];
    if (word == NULL) {
        return true;
    }
    if (wanted_margin(run, word, &wanted) &&
        fabs(got - wanted) <= 1e-6 * fmax(1.0, fabs(wanted))) {
        return true;
    }
    (void)snprintf(written, sizeof written, "%.6f", got);
    return complain(name, rule, key, written, word->word.at);
}

static bool check_finding(struct run *run, const char *name, const whyfit_answer *answer,
                          const struct node *expected)
{
    static const char *const outcomes[] = {"holds", "fails", "unsure", "unknown"};
    const char *rule = word_or(expected, "rule", "?");
    const char *outcome = word_or(expected, "outcome", NULL);
    const char *counts = word_or(expected, "counts", NULL);
    whyfit_finding finding;
    for (size_t i = 0; whyfit_answer_finding(answer, i, &finding); i++) {
        if (strcmp(finding.rule, rule) != 0 ||
            !subject_matches(answer, i, node_field_of(expected, "subject"))) {
            continue;
        }
        const bool is_outcome =
            outcome == NULL || strcmp(outcome, outcomes[finding.outcome]) == 0 ||
            complain(name, rule, "outcome", outcomes[finding.outcome], outcome);
        const bool is_counted =
            counts == NULL || (strcmp(counts, "true") == 0) == finding.counts ||
            complain(name, rule, "counts", finding.counts ? "true" : "false", counts);
        return check_number(run, name, expected, "margin", rule, finding.nominal) &&
               check_number(run, name, expected, "least", rule, finding.least) &&
               check_number(run, name, expected, "greatest", rule, finding.greatest) &&
               check_number(run, name, expected, "spread", rule, finding.spread) &&
               is_outcome && is_counted;
    }
    return complain(name, rule, "the finding", "not there", "one with this subject");
}

/* ---- one case */

/* Every wanted line begins one of those that the answer has. */
static bool check_lines(const char *name, const whyfit_answer *answer,
                        const struct node *wanted,
                        const char *(*line)(const whyfit_answer *, size_t))
{
    bool is_right = true;
    for (uint32_t i = 0; wanted != NULL && i < wanted->count; i++) {
        const text start = wanted->items[i]->word;
        bool is_there = false;
        const char *one = NULL;
        for (size_t k = 0; (one = line(answer, k)) != NULL; k++) {
            is_there = is_there || text_starts(text_of(one), start);
        }
        is_right = (is_there || complain(name, "line", start.at, "not there", "said")) &&
                   is_right;
    }
    return is_right;
}

static bool check_answer(struct run *run, const char *name, const whyfit_answer *answer,
                         const struct node *expect)
{
    const char *verdict = word_or(expect, "verdict", NULL);
    const char *got = whyfit_verdict_word(whyfit_answer_verdict(answer));
    const struct node *findings = node_field_of(expect, "findings");
    const struct node *missing = node_field_of(expect, "missing");
    bool is_right = verdict == NULL || strcmp(verdict, got) == 0 ||
                    complain(name, "verdict", "it", got, verdict);
    for (uint32_t i = 0; findings != NULL && i < findings->count; i++) {
        is_right = check_finding(run, name, answer, findings->items[i]) && is_right;
    }
    is_right =
        check_lines(name, answer, node_field_of(expect, "work"), whyfit_answer_work) &&
        check_lines(name, answer, node_field_of(expect, "assumed"),
                    whyfit_answer_assumed) &&
        check_lines(name, answer, node_field_of(expect, "left-over"),
                    whyfit_answer_left_over) &&
        check_lines(name, answer, node_field_of(expect, "left-empty"),
                    whyfit_answer_left_empty) &&
        is_right;
    for (uint32_t i = 0; missing != NULL && i < missing->count; i++) {
        bool is_there = false;
        const char *one = NULL;
        for (size_t k = 0; (one = whyfit_answer_missing(answer, k)) != NULL; k++) {
            is_there = is_there || text_is(missing->items[i]->word, one);
        }
        is_right = is_there ? is_right
                            : complain(name, "missing", missing->items[i]->word.at,
                                       "not there", "named");
    }
    if (missing != NULL && missing->count == 0 &&
        whyfit_answer_missing(answer, 0) != NULL) {
        is_right = complain(name, "missing", whyfit_answer_missing(answer, 0), "named",
                            "nothing to be");
    }
    return is_right;
}

static bool check_refusal(const char *name, whyfit_problems *problems, const char *code)
{
    char *written = NULL;
    size_t length = 0;
    FILE *stream = open_memstream(&written, &length);
    bool is_right = false;
    if (stream != NULL) {
        (void)whyfit_problems_write(problems, WHYFIT_TEXT, to_stream, stream);
        (void)fclose(stream);
        is_right = strstr(written, code) != NULL;
    }
    if (!is_right) {
        printf("FAILED %s: wanted the fault %s\n%s", name, code,
               written == NULL ? "" : written);
    }
    free(written);
    return is_right;
}

static bool run_case(struct run *run, whyfit_asker *asker, const struct node *item)
{
    whyfit_pair changes[64];
    whyfit_pair given[64];
    whyfit_question question = WHYFIT_QUESTION;
    whyfit_answer *answer = NULL;
    whyfit_problems *problems = NULL;
    const char *name = word_or(item, "case", "a case without a name");
    const struct node *asked = node_field_of(item, "question");
    const struct node *expect = node_field_of(item, "expect");
    const char *refused = word_or(expect, "refused", NULL);
    const struct node *allow = node_field_of(asked, "allow");
    question.allows_machining = allow != NULL && allow->count == 1;
    question.unit = word_or(asked, "unit", "");
    question.changes = changes;
    question.change_count = read_pairs(node_field_of(asked, "changes"), changes, 64);
    question.given = given;
    question.given_count = read_pairs(node_field_of(asked, "given"), given, 64);
    const whyfit_status asked_status = whyfit_ask(asker, &question, &answer, &problems);
    bool is_right = false;
    if (asked_status == WHYFIT_OK) {
        whyfit_write_options how = WHYFIT_WRITE_OPTIONS;
        how.format = WHYFIT_JSON;
        is_right = refused == NULL && check_answer(run, name, answer, expect);
        if (run->json != NULL) {
            is_right =
                whyfit_answer_write(answer, &how, to_stream, run->json) == WHYFIT_OK &&
                is_right;
        }
    } else if (refused != NULL && problems != NULL) {
        is_right = check_refusal(name, problems, refused);
    } else {
        printf("FAILED %s: no answer\n", name);
        if (problems != NULL) {
            (void)whyfit_problems_write(problems, WHYFIT_TEXT, to_stream, stdout);
        }
    }
    whyfit_problems_free(problems);
    whyfit_answer_free(answer);
    return is_right;
}

/* ---- one file of cases */

static const char *join(struct run *run, const char *folder, text name)
{
    return text_format(run->arena, "%s/%.*s", folder, TEXT_ARG(name)).at;
}

static size_t gather_sources(struct run *run, const char *folder,
                             const struct node *document, whyfit_source *out, size_t room)
{
    const struct node *with = node_field_of(document, "knowledge");
    text *paths = NULL;
    uint32_t count = 0;
    size_t used = 0;
    out[used++].name = join(run, run->root, TEXT("rules"));
    out[used++].name = join(run, run->root, TEXT("facts"));
    for (uint32_t i = 0; with != NULL && i < with->count && used < room; i++) {
        out[used++].name = join(run, run->root, with->items[i]->word);
    }
    if (folder_list(run->arena, folder, (const char *const[]){".yaml", NULL}, &paths,
                    &count) == STATUS_OK) {
        for (uint32_t i = 0; i < count && used < room; i++) {
            if (!text_ends(paths[i], TEXT("cases.yaml"))) {
                out[used++].name = paths[i].at;
            }
        }
    }
    return used;
}

/* What was prepared must be used: a problem beside the knowledge is a failure. */
static whyfit_status load(const struct run *run, const whyfit_source *sources,
                          size_t count, whyfit_knowledge **knowledge,
                          whyfit_problems **problems)
{
    whyfit_prepared_options options = WHYFIT_PREPARED_OPTIONS;
    options.sources = sources;
    options.source_count = count;
    if (run->prepared == NULL) {
        return whyfit_load(sources, count, NULL, knowledge, problems);
    }
    const whyfit_status made =
        whyfit_prepare(sources, count, run->prepared, NULL, problems);
    return made == WHYFIT_OK
               ? whyfit_load_prepared(run->prepared, &options, knowledge, problems)
               : made;
}

static void run_cases(struct run *run, const char *path, const struct node *document)
{
    whyfit_source sources[64] = {{0}};
    whyfit_knowledge *knowledge = NULL;
    whyfit_problems *problems = NULL;
    whyfit_asker *asker = NULL;
    const char *slash = strrchr(path, '/');
    const text folder =
        text_copy(run->arena, (text){path, slash == NULL ? 0 : (size_t)(slash - path)});
    const struct node *cases = node_field_of(document, "cases");
    const size_t count = gather_sources(run, folder.at, document, sources, 64);
    if (load(run, sources, count, &knowledge, &problems) != WHYFIT_OK ||
        problems != NULL || whyfit_asker_open(knowledge, NULL, &asker) != WHYFIT_OK) {
        printf("FAILED %s: its knowledge could not be loaded\n", path);
        if (problems != NULL) {
            (void)whyfit_problems_write(problems, WHYFIT_TEXT, to_stream, stdout);
        }
        run->failed++;
    }
    for (uint32_t i = 0; asker != NULL && cases != NULL && i < cases->count; i++) {
        if (run_case(run, asker, cases->items[i])) {
            run->passed++;
        } else {
            run->failed++;
            printf("       in %s\n", path);
        }
    }
    whyfit_asker_free(asker);
    whyfit_problems_free(problems);
    whyfit_knowledge_free(knowledge);
}

static void run_file(struct run *run, const char *path)
{
    text content = {"", 0};
    const struct node *document = NULL;
    if (file_read(run->arena, path, 1u << 20, &content, NULL) == STATUS_OK) {
        const uint32_t source = sources_add(run->sources, text_of(path), content);
        if (yaml_read(run->arena, run->sources, source, run->diagnostics, &document) ==
            STATUS_OK) {
            run_cases(run, path, document);
            return;
        }
    }
    printf("FAILED %s could not be read\n", path);
    run->failed++;
}

int main(int argc, char **argv)
{
    struct run run = {.root = argc > 1 ? argv[1] : "."};
    run.arena = arena_open(allocator_standard(), 0);
    run.sources = sources_open(run.arena, NULL);
    run.diagnostics = diagnostics_open(run.arena);
    for (int i = 2; i < argc; i++) {
        if (strcmp(argv[i], "--json") == 0 && i + 1 < argc) {
            run.json = fopen(argv[++i], "w");
        } else if (strcmp(argv[i], "--prepared") == 0 && i + 1 < argc) {
            run.prepared = argv[++i];
        } else {
            run_file(&run, argv[i]);
        }
    }
    if (run.json != NULL) {
        (void)fclose(run.json);
    }
    arena_close(run.arena);
    printf("%u passed, %u failed\n", run.passed, run.failed);
    return run.failed == 0 && run.passed > 0 ? 0 : 1;
}
