/* SPDX-License-Identifier: MIT */
/* What the questions about one unit share: their words, and writing the answer. */
#include "command.h"

#include <stdio.h>
#include <string.h>

/* The words after the unit, or of --given, as pairs. */
static bool read_pairs(const char *const *words, size_t count, char names[][NAME_ROOM],
                       whyfit_pair *out)
{
    for (size_t i = 0; i < count; i++) {
        if (!split_pair(words[i], names[i], NAME_ROOM, &out[i])) {
            return false;
        }
    }
    return true;
}

/* Adds the readings of the file and of --read, but for those that are given otherwise:
 * what was typed last is meant. */
static void add_reading(whyfit_pair *given, size_t *count, whyfit_pair reading)
{
    for (size_t i = 0; i < *count; i++) {
        if (strcmp(given[i].name, reading.name) == 0) {
            return;
        }
    }
    if (*count < (size_t)3 * MOST_WORDS) {
        given[(*count)++] = reading;
    }
}

/* The file need not be there yet when readings are to be kept in it. */
static bool load_readings(const struct options *options, struct question_room *room)
{
    whyfit_problems *problems = NULL;
    const whyfit_status status =
        whyfit_readings_load(options->readings, &room->readings, &problems);
    say_problems(problems, options->format);
    if (status == WHYFIT_IO && options->read_count == 0) {
        fprintf(stderr, "error: %s: this file of readings cannot be read\n",
                options->readings);
    }
    return status == WHYFIT_OK || (status == WHYFIT_IO && options->read_count > 0);
}

static bool read_readings(const struct options *options, struct question_room *room,
                          whyfit_question *question)
{
    size_t count = 0;
    if (options->readings == NULL) {
        return options->read_count == 0 ||
               (fputs("error: --read keeps readings in a file\n"
                      "  expected: --readings FILE\n",
                      stderr),
                false);
    }
    if (!load_readings(options, room)) {
        return false;
    }
    const whyfit_pair *pairs = whyfit_readings_pairs(room->readings, &count);
    for (size_t i = 0; i < count; i++) {
        add_reading(room->given, &question->given_count, pairs[i]);
    }
    return true;
}

void question_close(struct question_room *room)
{
    whyfit_readings_free(room->readings);
    room->readings = NULL;
}

static bool read_sweep(const struct options *options, struct question_room *room,
                       whyfit_question *question)
{
    if (options->sweep == NULL) {
        return true;
    }
    question->sweep = &room->sweep;
    return split_pair(options->sweep, room->sweep_name, NAME_ROOM, &room->sweep);
}

bool question_read(const struct options *options, const char *command,
                   struct question_room *room, whyfit_question *question)
{
    if (options->word_count == 0) {
        fprintf(stderr,
                "error: the question names no unit\n  expected: whyfit %s UNIT "
                "PLACE=PART\n",
                command);
        return false;
    }
    question->command = command;
    question->unit = options->words[0];
    question->changes = room->changes;
    question->change_count = options->word_count - 1;
    question->given = room->given;
    question->allows_machining = options->allows_machining;
    question->of = options->of;
    question->gauges = options->gauges;
    question->most = options->most;
    question->depth = options->depth;
    question->toward = options->toward;
    question->want = room->want;
    question->want_count = options->want_count;
    question->have = options->have;
    question->have_count = options->have_count;
    question->tries = options->tries;
    question->largest = options->largest;
    if (!read_pairs(options->words + 1, question->change_count, room->change_names,
                    room->changes) ||
        !read_pairs(options->given, options->given_count, room->given_names,
                    room->given) ||
        !read_pairs(options->read, options->read_count, room->read_names,
                    &room->given[options->given_count]) ||
        !read_pairs(options->want, question->want_count, room->want_names, room->want) ||
        !read_sweep(options, room, question)) {
        return false;
    }
    question->given_count = options->given_count + options->read_count;
    return read_readings(options, room, question);
}

/* Whether an answer can be drawn as it is asked; false: said. */
static bool has_picture(const struct options *options, const whyfit_answer *answer)
{
    if (options->format != WHYFIT_SVG ||
        (options->picture == NULL && whyfit_answer_picture(answer, 0) != NULL)) {
        return true;
    }
    for (size_t i = 0; whyfit_answer_picture(answer, i) != NULL; i++) {
        if (strcmp(whyfit_answer_picture(answer, i), options->picture) == 0) {
            return true;
        }
    }
    fprintf(stderr, "error: there is no picture \"%s\" of this answer\n  expected: ",
            options->picture == NULL ? "" : options->picture);
    for (size_t i = 0; whyfit_answer_picture(answer, i) != NULL; i++) {
        fprintf(stderr, "%s%s", i == 0 ? "" : ", ", whyfit_answer_picture(answer, i));
    }
    fputs("\n", stderr);
    return false;
}

int write_answer(const struct options *options, const whyfit_answer *answer,
                 int (*exit_of_answer)(const whyfit_answer *answer))
{
    struct output output;
    whyfit_write_options how = WHYFIT_WRITE_OPTIONS;
    if (!has_picture(options, answer)) {
        return EXIT_FAULT;
    }
    if (!output_open(&output, options->out)) {
        return EXIT_MACHINE;
    }
    how.format = options->format;
    how.picture = options->picture;
    how.with_chain = options->with_chain;
    how.with_effort = options->with_effort;
    how.in_colour = output_in_colour(&output);
    how.width = output_width(&output);
    const whyfit_status written = whyfit_answer_write(answer, &how, output_take, &output);
    return output_close(&output, written == WHYFIT_OK) ? exit_of_answer(answer)
                                                       : EXIT_MACHINE;
}

static int ask(const struct options *options, const whyfit_knowledge *knowledge,
               const whyfit_question *question, const whyfit_ask_options *how,
               int (*exit_of_answer)(const whyfit_answer *answer))
{
    whyfit_asker *asker = NULL;
    whyfit_answer *answer = NULL;
    whyfit_problems *problems = NULL;
    whyfit_status status = whyfit_asker_open(knowledge, how, &asker);
    if (status == WHYFIT_OK) {
        status = whyfit_ask(asker, question, &answer, &problems);
    }
    say_problems(problems, options->format);
    const int result = status == WHYFIT_OK ? write_answer(options, answer, exit_of_answer)
                                           : exit_of(status);
    whyfit_answer_free(answer);
    whyfit_asker_free(asker);
    return result;
}

int ask_question(const struct options *options, const whyfit_question *question,
                 int (*exit_of_answer)(const whyfit_answer *answer))
{
    return ask_question_so(options, question, NULL, exit_of_answer);
}

int ask_question_so(const struct options *options, const whyfit_question *question,
                    const whyfit_ask_options *how,
                    int (*exit_of_answer)(const whyfit_answer *answer))
{
    int result = EXIT_FAULT;
    whyfit_knowledge *knowledge = load_knowledge(options, &result);
    if (knowledge != NULL) {
        result = ask(options, knowledge, question, how, exit_of_answer);
    }
    whyfit_knowledge_free(knowledge);
    return result;
}
