/* SPDX-License-Identifier: MIT */
/* whyfit why and why-not: the reasons of rows that are there, and of rows that are not.
 */
#include "command.h"

#include <stdio.h>

static bool has_of(const struct options *options, const char *command)
{
    if (options->of == NULL) {
        fprintf(stderr,
                "error: the question names no row\n"
                "  expected: whyfit %s UNIT --of \"RELATION: column=name\"\n",
                command);
    }
    return options->of != NULL;
}

static int exit_of_why(const whyfit_answer *answer)
{
    return whyfit_answer_row_count(answer) > 0 ? EXIT_FITS : EXIT_DOES_NOT_FIT;
}

static int run(const struct options *options, const char *command,
               int (*exit_of_answer)(const whyfit_answer *answer))
{
    static struct question_room room;
    whyfit_question question = WHYFIT_QUESTION;
    const int result =
        has_of(options, command) && question_read(options, command, &room, &question)
            ? ask_question(options, &question, exit_of_answer)
            : EXIT_FAULT;
    question_close(&room);
    return result;
}

static int run_why(const struct options *options)
{
    return run(options, "why", exit_of_why);
}

static int exit_of_why_not(const whyfit_answer *answer)
{
    return whyfit_answer_row_count(answer) > 0 ? EXIT_DOES_NOT_FIT : EXIT_FITS;
}

static int run_why_not(const struct options *options)
{
    return run(options, "why-not", exit_of_why_not);
}

const struct command command_why_not = {
    .name = "why-not",
    .usage = "why-not UNIT [PLACE=PART…] --of ROW",
    .says = "why is this not so?",
    .help =
        "What keeps a row away: of every rule that could make it the attempt that got\n"
        "furthest, the condition that fails, and by how much. --of names the row as for\n"
        "why; without the first column the unit itself is meant where rows have one.\n\n"
        "  --depth N   where the row that is missing would itself be concluded, go down\n"
        "              N levels: 0 to 8, one unless it is said\n\n"
        "  Exit status: 0 it is not there, 1 it is",
    .run = run_why_not,
    .has_report = true};

const struct command command_why = {
    .name = "why",
    .usage = "why UNIT [PLACE=PART…] --of ROW",
    .says = "why is this so?",
    .help =
        "The reasons of a row, down to the facts. Places are changed as for swap.\n\n"
        "  --of \"RELATION: column=name, column=name\"\n"
        "              which row: of a relation (`whyfit show RELATION`), or what a "
        "rule\n"
        "              found: \"o-ring-needs-a-land: outcome=fails\". Not all columns "
        "need\n"
        "              be given; without the first, the unit's own rows are meant\n"
        "  --most N    rows explained, 1 to 1000; ten unless it is said\n\n"
        "Each step has a number and is written once; \"from 3, 7\" names what it rests\n"
        "on. --format json gives the steps as a swap's answer has them.\n\n"
        "  Exit status: 0 there are such rows, 1 there is none",
    .run = run_why,
    .has_report = true};
