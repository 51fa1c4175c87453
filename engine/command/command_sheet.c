/* SPDX-License-Identifier: MIT */
/* whyfit sheet: how is it put together? */
#include "command.h"

static int run(const struct options *options)
{
    static struct question_room room;
    whyfit_question question = WHYFIT_QUESTION;
    const int result = question_read(options, "sheet", &room, &question)
                           ? ask_question(options, &question, exit_of_verdict)
                           : EXIT_FAULT;
    question_close(&room);
    return result;
}

const struct command command_sheet = {
    .name = "sheet",
    .usage = "sheet UNIT PLACE=PART…",
    .says = "how do I put it together?",
    .help =
        "The set-up sheet of a swap that goes in: what comes off and what must be new, "
        "the\n"
        "order in which it goes together, how each piece goes on, what to set and to\n"
        "measure, what to fill in. Places are changed as for swap; --readings FILE uses\n"
        "what was measured. The exit status is the verdict's, as of swap.",
    .run = run,
    .has_report = true,
    .has_pictures = true};
