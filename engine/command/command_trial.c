/* SPDX-License-Identifier: MIT */
/* whyfit trial: do worked cases still come out? */
#include "command.h"

#include <stdio.h>

static int exit_of_trial(whyfit_status status, const whyfit_trial_counts *counts)
{
    return status != WHYFIT_OK  ? exit_of(status)
           : counts->differ > 0 ? EXIT_DOES_NOT_FIT
                                : EXIT_FITS;
}

static int try_all(const struct options *options, const char *const *paths, size_t count)
{
    struct output output;
    whyfit_trial_options how = WHYFIT_TRIAL_OPTIONS;
    whyfit_trial_counts counts = {0};
    whyfit_problems *problems = NULL;
    if (!output_open(&output, options)) {
        return EXIT_MACHINE;
    }
    how.shipped = knowledge_folder(options);
    how.with = options->folders;
    how.with_count = options->folder_count;
    how.without = options->without;
    how.without_count = options->without_count;
    how.stops_at_first = options->stops_at_first;
    how.format = options->format;
    how.width = output_width(&output);
    const whyfit_status status =
        whyfit_trial(paths, count, &how, output_take, &output, &counts, &problems);
    const bool is_whole = status == WHYFIT_OK || status == WHYFIT_INVALID;
    const bool is_written = output_close(&output, is_whole);
    say_problems(problems, options->format);
    return is_whole && !is_written ? EXIT_MACHINE : exit_of_trial(status, &counts);
}

static int run_trial(const struct options *options)
{
    char shipped[4096];
    const char *all = shipped;
    const int length =
        snprintf(shipped, sizeof shipped, "%s/tests/cases", knowledge_folder(options));
    if (options->prepared != NULL) {
        fputs("error: --prepared: a trial reads the text of each file's knowledge\n"
              "  expected: no --prepared beside it\n",
              stderr);
        return EXIT_FAULT;
    }
    if (options->word_count > 0) {
        return try_all(options, options->words, options->word_count);
    }
    if (length < 0 || (size_t)length >= sizeof shipped) {
        fputs("error: the path of the knowledge is too long\n", stderr);
        return EXIT_FAULT;
    }
    return try_all(options, &all, 1);
}

const struct command command_trial = {
    .name = "trial",
    .usage = "trial [DIR…|FILE…]",
    .says = "do worked cases still come out?",
    .help =
        "Asks worked cases and shows where an answer is not what was worked out by "
        "hand.\n"
        "A folder stands for every file below it whose name ends in cases.yaml; without\n"
        "any, tests/cases of the knowledge. A file's cases are asked of the shipped "
        "rules\n"
        "and facts, of what the file names as `knowledge:`, and of all else in its "
        "folder.\n\n"
        "  --without RULE  leaves a rule out: a case should then differ\n"
        "  --first         stops at the first case that differs\n\n"
        "  Exit status: 0 all came out, 1 a case differs, 2 a file is at fault",
    .run = run_trial};
