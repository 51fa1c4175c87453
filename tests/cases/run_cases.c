/* SPDX-License-Identifier: MIT */
/*
 * Runs worked cases: run_cases ROOT [--json FILE] CASES.yaml…. With --json every answer
 * is also written there, one a line, for the replay.
 */
#include "whyfit.h"

#include <stdio.h>
#include <string.h>

static bool to_stream(void *stream, const char *bytes, size_t length)
{
    return fwrite(bytes, 1, length, stream) == length;
}

int main(int argc, char **argv)
{
    whyfit_trial_options options = WHYFIT_TRIAL_OPTIONS;
    whyfit_trial_counts counts = {0};
    whyfit_problems *problems = NULL;
    FILE *json = NULL;
    int first = 2;
    options.shipped = argc > 1 ? argv[1] : ".";
    if (argc > 3 && strcmp(argv[2], "--json") == 0) {
        json = fopen(argv[3], "w");
        options.answers = json == NULL ? NULL : to_stream;
        options.answers_context = json;
        first = 4;
    }
    if (first >= argc) {
        return 1;
    }
    const whyfit_status status =
        whyfit_trial((const char *const *)argv + first, (size_t)(argc - first), &options,
                     to_stream, stdout, &counts, &problems);
    if (problems != NULL) {
        (void)whyfit_problems_write(problems, WHYFIT_TEXT, to_stream, stdout);
    }
    whyfit_problems_free(problems);
    const bool is_written = json == NULL || fclose(json) == 0;
    return status == WHYFIT_OK && is_written && counts.differ == 0 && counts.came_out > 0
               ? 0
               : 1;
}
