/* SPDX-License-Identifier: MIT */
/* whyfit reckon, fit, show and lint: small questions without a verdict. */
#include "command.h"

#include <stdio.h>
#include <string.h>

enum {
    LONGEST_LINE = 4096
};

/* A small question of the library: some words in, an answer out. */
typedef whyfit_status small_question(const whyfit_knowledge *knowledge, const char *words,
                                     whyfit_format format, whyfit_sink *sink,
                                     void *context, whyfit_problems **problems);

static int answer_one(const struct options *options, const whyfit_knowledge *knowledge,
                      small_question *question, const char *words, struct output *output)
{
    whyfit_problems *problems = NULL;
    const whyfit_status status =
        question(knowledge, words, options->format, output_take, output, &problems);
    say_problems(problems, options->format);
    return exit_of(status);
}

/* One expression a line; 2 if any line was at fault. */
static int answer_lines(const struct options *options, const whyfit_knowledge *knowledge,
                        small_question *question, struct output *output)
{
    char line[LONGEST_LINE];
    int result = EXIT_FITS;
    while (fgets(line, sizeof line, stdin) != NULL) {
        line[strcspn(line, "\r\n")] = '\0';
        if (line[0] == '\0') {
            continue;
        }
        const int one = answer_one(options, knowledge, question, line, output);
        result = one > result ? one : result;
    }
    return result;
}

/* Loads, lets `answer` write, and closes; `answer` gives the exit status. */
static int run_with_output(const struct options *options,
                           int (*answer)(void *of, const whyfit_knowledge *knowledge,
                                         struct output *output),
                           void *of)
{
    int result = EXIT_FAULT;
    struct output output;
    whyfit_knowledge *knowledge = load_knowledge(options, &result);
    if (knowledge == NULL) {
        return result;
    }
    if (!output_open(&output, options->out)) {
        whyfit_knowledge_free(knowledge);
        return EXIT_MACHINE;
    }
    result = answer(of, knowledge, &output);
    const bool is_whole = result == EXIT_FITS || result == EXIT_DOES_NOT_FIT;
    if (!output_close(&output, is_whole) && is_whole) {
        result = EXIT_MACHINE;
    }
    whyfit_knowledge_free(knowledge);
    return result;
}

struct small_run {
    const struct options *options;
    small_question *question;
};

static int answer_small(void *of, const whyfit_knowledge *knowledge,
                        struct output *output)
{
    const struct small_run *run = of;
    const char *words = run->options->words[0];
    return strcmp(words, "-") == 0
               ? answer_lines(run->options, knowledge, run->question, output)
               : answer_one(run->options, knowledge, run->question, words, output);
}

static int run_small(const struct options *options, small_question *question,
                     const char *expected)
{
    struct small_run run = {options, question};
    if (options->word_count != 1) {
        fprintf(stderr,
                "error: one word (in quotes where it has blanks) was expected\n"
                "  expected: %s\n",
                expected);
        return EXIT_FAULT;
    }
    return run_with_output(options, answer_small, &run);
}

static int run_reckon(const struct options *options)
{
    return run_small(options, whyfit_reckon, "whyfit reckon \"greatest(40 k6) - 40 mm\"");
}

static int run_fit(const struct options *options)
{
    return run_small(options, whyfit_fit, "whyfit fit \"40 H7/k6\"");
}

static int run_show(const struct options *options)
{
    return run_small(options, whyfit_show, "whyfit show WORD");
}

static int answer_lint(void *of, const whyfit_knowledge *knowledge, struct output *output)
{
    const struct options *options = of;
    size_t faults = 0;
    const whyfit_status status =
        whyfit_lint(knowledge, options->format, output_take, output, &faults);
    return status != WHYFIT_OK ? exit_of(status)
           : faults > 0        ? EXIT_DOES_NOT_FIT
                               : EXIT_FITS;
}

static int run_lint(const struct options *options)
{
    struct options asked = *options;
    if (options->word_count != 0) {
        fputs("error: lint takes no words\n  expected: whyfit lint --with DIR\n", stderr);
        return EXIT_FAULT;
    }
    return run_with_output(options, answer_lint, &asked);
}

const struct command command_lint = {
    .name = "lint",
    .usage = "lint",
    .says = "is the knowledge sound?",
    .help =
        "Faults of the units as they are written: parts that cannot be put together,\n"
        "pieces that nothing holds, spaces that nothing closes; of rules that can never\n"
        "match or say nothing new; dangers of which nothing is said. Faults in the "
        "files\n"
        "themselves are said by every command.\n\n"
        "  Exit status: 0 none, 1 faults",
    .run = run_lint};

const struct command command_reckon = {
    .name = "reckon",
    .usage = "reckon EXPRESSION",
    .says = "what does it come to?",
    .help =
        "Any formula with units and tolerances; - reads one a line from standard "
        "input.\n\n"
        "  whyfit reckon \"18 ±0.05 mm - 12 h11\"\n"
        "  whyfit reckon \"greatest(40 k6) - 40 mm\"\n\n"
        "  + - * / ^ ( ) |x|, = != < <= > >=, and or not, min max abs sqrt sin cos tan,\n"
        "  least greatest nominal, and every function that `whyfit show` knows",
    .run = run_reckon};

const struct command command_fit = {
    .name = "fit",
    .usage = "fit \"SIZE HOLE/SHAFT\"",
    .says = "what are the limits?",
    .help =
        "Limits of ISO 286 classes and what lies between them: whyfit fit \"40 H7/k6\".",
    .run = run_fit};

const struct command command_show = {
    .name = "show",
    .usage = "show WORD",
    .says = "what is this?",
    .help =
        "A part, unit, kind, rule, relation or function, with where it is stated.\n"
        "Of a kind also its parts; a maker's number finds the parts that bear it.\n\n"
        "  whyfit show kinds      every kind of part\n"
        "  whyfit show units      every unit that was loaded\n"
        "  whyfit show rules      every rule\n"
        "  whyfit show functions  every function that formulas can call\n"
        "  whyfit show gauges     what readings are taken with\n\n"
        "  --format svg           of a unit its section to scale; of a part too, with\n"
        "                         its dimensions\n"
        "  --format html          the same as a page",
    .has_pictures = true,
    .has_report = true,
    .run = run_show};
