/* SPDX-License-Identifier: MIT */
/* whyfit measure: what has to be measured, so that the question can be answered? */
#include "command.h"

#include <stdlib.h>

static int exit_of_measure(const whyfit_answer *answer)
{
    (void)answer; /* the sheet is the answer, whatever the verdict */
    return EXIT_FITS;
}

/* The file's readings and those of --read, which the question was asked with first: what
 * it refused is not kept. */
static int keep_readings(const struct options *options, const struct question_room *room)
{
    struct output output;
    size_t count = 0;
    const whyfit_pair *old = whyfit_readings_pairs(room->readings, &count);
    whyfit_pair *all = malloc((count + options->read_count) * sizeof *all);
    if (all == NULL || !output_open(&output, options->readings)) {
        free(all);
        return EXIT_MACHINE;
    }
    for (size_t i = 0; i < count; i++) {
        all[i] = old[i];
    }
    for (size_t i = 0; i < options->read_count; i++) {
        all[count + i] = room->given[options->given_count + i];
    }
    const whyfit_status written =
        whyfit_readings_write(all, count + options->read_count, output_take, &output);
    free(all);
    return output_close(&output, written == WHYFIT_OK) ? EXIT_FITS : EXIT_MACHINE;
}

static int run(const struct options *options)
{
    static struct question_room room;
    whyfit_question question = WHYFIT_QUESTION;
    int result = question_read(options, "measure", &room, &question)
                     ? ask_question(options, &question, exit_of_measure)
                     : EXIT_FAULT;
    if (result == EXIT_FITS && options->read_count > 0) {
        result = keep_readings(options, &room);
    }
    question_close(&room);
    return result;
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
        "                 --given \"shaft.land.to=measured 23.1 mm with caliper\"\n"
        "  --readings FILE  a file of such readings, for every question about a unit\n"
        "  --read NAME=VALUE  a reading to keep in that file",
    .run = run,
    .has_report = true,
    .has_pictures = true};
