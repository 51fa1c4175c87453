/* SPDX-License-Identifier: MIT */
/* whyfit measure: what has to be measured, so that the question can be answered? */
#include "command.h"

#include <stdio.h>
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

/* Writes the part file beside and renames it. What is there already may be filled in: it
 * is left alone. */
static int write_part_file(const struct options *options, const whyfit_answer *answer)
{
    struct output output;
    whyfit_write_options how = WHYFIT_WRITE_OPTIONS;
    FILE *there = fopen(options->out, "rb");
    if (there != NULL) {
        (void)fclose(there);
        fprintf(stderr,
                "error: %s: there is a file of this name, and it is left as it is\n"
                "  expected: the name of a new file\n",
                options->out);
        return EXIT_FAULT;
    }
    if (!output_open(&output, options->out)) {
        return EXIT_MACHINE;
    }
    how.format = WHYFIT_PART_FILE;
    const whyfit_status written = whyfit_answer_write(answer, &how, output_take, &output);
    return output_close(&output, written == WHYFIT_OK) ? EXIT_FITS : EXIT_MACHINE;
}

static int ask_of_kind(const struct options *options, const whyfit_knowledge *knowledge)
{
    whyfit_question question = WHYFIT_QUESTION;
    struct options shown = *options;
    whyfit_asker *asker = NULL;
    whyfit_answer *answer = NULL;
    whyfit_problems *problems = NULL;
    question.command = "measure";
    question.unit = options->kind;
    question.gauges = options->gauges;
    shown.out = NULL;
    whyfit_status status = whyfit_asker_open(knowledge, NULL, &asker);
    if (status == WHYFIT_OK) {
        status = whyfit_ask(asker, &question, &answer, &problems);
    }
    say_problems(problems, options->format);
    int result = exit_of(status);
    if (status == WHYFIT_OK) {
        result = write_answer(&shown, answer, exit_of_measure);
    }
    if (result == EXIT_FITS && options->out != NULL) {
        result = write_part_file(options, answer);
    }
    whyfit_answer_free(answer);
    whyfit_asker_free(asker);
    return result;
}

static int run_of_kind(const struct options *options)
{
    int result = EXIT_FAULT;
    if (options->word_count > 0 || options->given_count > 0 || options->read_count > 0 ||
        options->readings != NULL || options->format == WHYFIT_SVG) {
        fputs("error: --kind asks of a kind alone\n"
              "  expected: whyfit measure --kind KIND, with --gauges, --out and --format "
              "text, json or html\n",
              stderr);
        return EXIT_FAULT;
    }
    whyfit_knowledge *knowledge = load_knowledge(options, &result);
    if (knowledge != NULL) {
        result = ask_of_kind(options, knowledge);
    }
    whyfit_knowledge_free(knowledge);
    return result;
}

static int run(const struct options *options)
{
    if (options->kind != NULL) {
        return run_of_kind(options);
    }
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
        "measure --kind KIND is a sheet for a part that nobody recorded: what the checks "
        "of\n"
        "such parts ask for, in the order in which one goes over the bench; --out FILE\n"
        "writes a part file with the same blanks, which loads once it is filled in.\n\n"
        "  --gauges LIST  only these are at hand: caliper,micrometer\n"
        "  --given PLACE.FEATURE.FIELD=VALUE  a reading:\n"
        "                 --given \"shaft.land.to=measured 23.1 mm with caliper\"\n"
        "  --readings FILE  a file of such readings, for every question about a unit\n"
        "  --read NAME=VALUE  a reading to keep in that file",
    .run = run,
    .has_report = true,
    .has_pictures = true};
