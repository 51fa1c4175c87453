/* SPDX-License-Identifier: MIT */
/* whyfit why: the reasons of rows that are there. */
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

static int run_why(const struct options *options)
{
    static struct question_room room;
    whyfit_question question = WHYFIT_QUESTION;
    return has_of(options, "why") && question_read(options, "why", &room, &question)
               ? ask_question(options, &question, exit_of_why)
               : EXIT_FAULT;
}

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
    .run = run_why};
