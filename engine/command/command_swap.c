/* SPDX-License-Identifier: MIT */
/* whyfit swap and whyfit leaks: does it go in, and where can the oil go? */
#include "command.h"

#include <stdio.h>
#include <string.h>

enum {
    NAME_ROOM = 256
};

/* The words after the unit, or of --given, as pairs. */
static bool read_pairs(const char *const *words, size_t count, char rooms[][NAME_ROOM],
                       whyfit_pair *out)
{
    for (size_t i = 0; i < count; i++) {
        if (!split_pair(words[i], rooms[i], NAME_ROOM, &out[i])) {
            return false;
        }
    }
    return true;
}

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

static int write_answer(const struct options *options, const whyfit_answer *answer,
                        bool is_leaks)
{
    struct output output;
    whyfit_write_options how = WHYFIT_WRITE_OPTIONS;
    if (!output_open(&output, options)) {
        return EXIT_MACHINE;
    }
    how.format = options->format;
    how.with_chain = options->with_chain;
    how.in_colour = output_in_colour(&output);
    how.width = output_width(&output);
    const whyfit_status written = whyfit_answer_write(answer, &how, output_take, &output);
    if (!output_close(&output, written == WHYFIT_OK)) {
        return EXIT_MACHINE;
    }
    return is_leaks ? leaks_exit(whyfit_answer_leaks(answer))
                    : verdict_exit(whyfit_answer_verdict(answer));
}

static int ask(const struct options *options, const whyfit_knowledge *knowledge,
               const whyfit_question *question)
{
    whyfit_asker *asker = NULL;
    whyfit_answer *answer = NULL;
    whyfit_problems *problems = NULL;
    whyfit_status status = whyfit_asker_open(knowledge, NULL, &asker);
    if (status == WHYFIT_OK) {
        status = whyfit_ask(asker, question, &answer, &problems);
    }
    say_problems(problems, options->format);
    const int result =
        status == WHYFIT_OK
            ? write_answer(options, answer, strcmp(question->command, "leaks") == 0)
            : exit_of(status);
    whyfit_answer_free(answer);
    whyfit_asker_free(asker);
    return result;
}

static int run(const struct options *options, const char *command)
{
    static char change_rooms[MOST_WORDS][NAME_ROOM];
    static char given_rooms[MOST_WORDS][NAME_ROOM];
    whyfit_pair changes[MOST_WORDS];
    whyfit_pair given[MOST_WORDS];
    whyfit_question question = WHYFIT_QUESTION;
    int result = EXIT_FAULT;
    if (options->batch != NULL) {
        return run_batch(options);
    }
    if (options->word_count == 0) {
        fprintf(stderr,
                "error: the question names no unit\n  expected: whyfit %s UNIT "
                "PLACE=PART\n",
                command);
        return EXIT_FAULT;
    }
    question.command = command;
    question.unit = options->words[0];
    question.changes = changes;
    question.change_count = options->word_count - 1;
    question.given = given;
    question.given_count = options->given_count;
    question.allows_machining = options->allows_machining;
    if (!read_pairs(options->words + 1, question.change_count, change_rooms, changes) ||
        !read_pairs(options->given, question.given_count, given_rooms, given)) {
        return EXIT_FAULT;
    }
    whyfit_knowledge *knowledge = load_knowledge(options, &result);
    if (knowledge != NULL) {
        result = ask(options, knowledge, &question);
    }
    whyfit_knowledge_free(knowledge);
    return result;
}

static int run_swap(const struct options *options)
{
    return run(options, "swap");
}

static int run_leaks(const struct options *options)
{
    return run(options, "leaks");
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
    .run = run_leaks};

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
        "  --allow machine  mends that cut metal may be chosen\n"
        "  --batch FILE     a question a line as JSON ({\"unit\": …, \"changes\": {…}}; "
        "- is\n"
        "                   standard input), an answer a line; --threads N\n"
        "  --chain          every step from the facts to the verdict",
    .run = run_swap};
