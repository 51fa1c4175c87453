/* SPDX-License-Identifier: MIT */
/* whyfit swap and whyfit leaks: does it go in, and where can the oil go? */
#include "command.h"

#include <stdio.h>

static int verdict_exit(whyfit_verdict verdict)
{
    switch (verdict) {
    case WHYFIT_FITS:
        return EXIT_FITS;
    case WHYFIT_FITS_WITH_WORK:
        return EXIT_WORK;
    case WHYFIT_DOES_NOT_FIT:
        return EXIT_DOES_NOT_FIT;
    case WHYFIT_NOT_KNOWN:
        break;
    }
    return EXIT_NOT_KNOWN;
}

static int leaks_exit(whyfit_leaks leaks)
{
    switch (leaks) {
    case WHYFIT_NO_LEAK:
        return EXIT_FITS;
    case WHYFIT_LEAKS:
    case WHYFIT_LEAKS_AMISS:
        return EXIT_DOES_NOT_FIT;
    case WHYFIT_LEAKS_NOT_KNOWN:
        break;
    }
    return EXIT_NOT_KNOWN;
}

int exit_of_verdict(const whyfit_answer *answer)
{
    return verdict_exit(whyfit_answer_verdict(answer));
}

static int exit_of_leaks(const whyfit_answer *answer)
{
    return leaks_exit(whyfit_answer_leaks(answer));
}

static int run(const struct options *options, const char *command,
               int (*exit_of_answer)(const whyfit_answer *answer))
{
    static struct question_room room;
    whyfit_question question = WHYFIT_QUESTION;
    if (options->batch != NULL && options->format == WHYFIT_SVG) {
        fputs("error: a batch is answered in JSON\n"
              "  expected: --format svg without --batch\n",
              stderr);
        return EXIT_FAULT;
    }
    if (options->batch != NULL) {
        return run_batch(options);
    }
    const int result = question_read(options, command, &room, &question)
                           ? ask_question(options, &question, exit_of_answer)
                           : EXIT_FAULT;
    question_close(&room);
    return result;
}

/* A swap over a range has no one verdict. */
static int exit_of_sweep(const whyfit_answer *answer)
{
    (void)answer;
    return EXIT_FITS;
}

static int run_swap(const struct options *options)
{
    return run(options, "swap", options->sweep != NULL ? exit_of_sweep : exit_of_verdict);
}

static int run_leaks(const struct options *options)
{
    return run(options, "leaks", exit_of_leaks);
}

const struct command command_leaks = {
    .name = "leaks",
    .usage = "leaks UNIT [PLACE=PART…]",
    .says = "where can the oil go?",
    .help =
        "The spaces of a unit and what is in them, every way between two of them with\n"
        "what shuts it, and what leaks, runs dry or is washed out. Places are changed\n"
        "as for swap.\n\n"
        "  Exit status: 0 no leak, 1 a leak or not in order, 3 not known",
    .run = run_leaks,
    .has_report = true,
    .has_pictures = true};

const struct command command_swap = {
    .name = "swap",
    .usage = "swap UNIT PLACE=PART…",
    .says = "does it go in?",
    .help =
        "Fills one or more places of a unit otherwise, and says whether that works.\n\n"
        "  PLACE=PART       another part, or a whole unit, in that place\n"
        "  PLACE=none       the place is left empty; what lay on it lies on what it lay "
        "on\n"
        "  PLACE=turned     the part turned round\n"
        "  PLACE=another    another example of the same part\n"
        "  PLACE+PLACE=PART one part fills two places\n\n"
        "  --given PLACE.FEATURE.FIELD=VALUE  what if this were so, or a reading of "
        "yours:\n"
        "                   --given \"shaft.land.to=measured 23.1 mm with caliper\"\n"
        "                   PART.FEATURE.FIELD=VALUE is so of every piece of that "
        "number,\n"
        "                   but where a value is given for the place; the answer says "
        "so\n"
        "  --sweep PLACE.FEATURE.FIELD=A..B[/STEPS]  how verdict and margins change over "
        "a\n"
        "                   range, in ten steps unless it is said; the dimension keeps "
        "its\n"
        "                   limits. Where the verdict turns is found exactly where a "
        "margin\n"
        "                   is linear there, else by halving. Exit status 0\n"
        "  --allow machine  mends that cut metal may be chosen\n"
        "  --batch FILE     a question a line as JSON ({\"unit\": …, \"changes\": {…}}; "
        "- is\n"
        "                   standard input), an answer a line; --threads N\n"
        "  --format svg     the section to scale: as it is above, as asked below\n"
        "  --picture NAME   that or another picture: section, full, margins, sweep,\n"
        "                   stack:GAP\n"
        "  --chain          every step from the facts to the verdict\n"
        "  --effort         what the answer took: rows read, rows added, steps",
    .run = run_swap,
    .has_report = true,
    .has_pictures = true};
