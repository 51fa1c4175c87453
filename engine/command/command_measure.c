/* SPDX-License-Identifier: MIT */
/* whyfit measure: what has to be measured, so that the question can be answered? */
#include "command.h"

static int exit_of_measure(const whyfit_answer *answer)
{
    (void)answer; /* the sheet is the answer, whatever the verdict */
    return EXIT_FITS;
}

static int run(const struct options *options)
{
    static struct question_room room;
    whyfit_question question = WHYFIT_QUESTION;
    return question_read(options, "measure", &room, &question)
               ? ask_question(options, &question, exit_of_measure)
               : EXIT_FAULT;
}

const struct command command_measure = {
    .name = "measure",
    .usage = "measure UNIT PLACE=PART…",
    .says = "what do I need to know?",
    .help =
        "Where a swap is not known: the dimensions that would decide it, what decides\n"
        "soonest first, which readings are good and which are not, how fine is good\n"
        "enough, and a gauge that reads so fine. Places are changed as for swap.\n\n"
        "  --gauges LIST  only these are at hand: caliper,micrometer\n"
        "  --given PLACE.FEATURE.FIELD=VALUE  a reading:\n"
        "                 --given \"shaft.land.to=measured 23.1 mm with caliper\"",
    .run = run};
