/* SPDX-License-Identifier: MIT */
/* whyfit compare: what differs between two parts, or two units? */
#include "command.h"

#include <stdio.h>

static int exit_of_compare(const whyfit_answer *answer)
{
    (void)answer; /* there is no verdict */
    return EXIT_FITS;
}

static int run(const struct options *options)
{
    static struct question_room room;
    struct options one = *options;
    whyfit_question question = WHYFIT_QUESTION;
    if (options->word_count != 2) {
        fputs("error: a comparison is of two\n"
              "  expected: whyfit compare PART PART, or whyfit compare UNIT UNIT\n",
              stderr);
        return EXIT_FAULT;
    }
    one.word_count = 1;
    one.toward = options->words[1];
    const int result = question_read(&one, "compare", &room, &question)
                           ? ask_question(&one, &question, exit_of_compare)
                           : EXIT_FAULT;
    question_close(&room);
    return result;
}

const struct command command_compare = {
    .name = "compare",
    .usage = "compare A B",
    .says = "what differs between two parts, or two units?",
    .help =
        "Sets two parts side by side feature by feature, counted from a face that both\n"
        "have, or two units place by place, counted along their axis: what is the same,\n"
        "moved, resized, added or gone, and what one of them does not record. With each\n"
        "difference stand the checks that rest on it; of parts in every unit in which "
        "one\n"
        "of them sits, where the other is put in its place. What comes out better or "
        "worse\n"
        "with the second is read off the margins of these checks, and off the figures "
        "that\n"
        "the vocabulary marks.\n\n"
        "  --given PART.FEATURE.FIELD=VALUE  as for swap",
    .run = run,
    .has_report = true};
