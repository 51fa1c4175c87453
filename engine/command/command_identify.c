/* SPDX-License-Identifier: MIT */
/*
 * whyfit identify: what is this on the bench? On a terminal it asks look by look what is
 * missing; everything else is one question and its answer.
 */
#include "command.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* What was seen so far. Texts that were typed in the conversation are owned. */
struct seen_room {
    char seen_names[MOST_WORDS][NAME_ROOM];
    char hint_names[MOST_WORDS][NAME_ROOM];
    whyfit_pair seen[MOST_WORDS];
    whyfit_pair hints[MOST_WORDS];
    char *typed[MOST_WORDS]; /* value of seen[i]; NULL: it came with the call */
    size_t count;
};

static int exit_of_identified(const whyfit_answer *answer)
{
    (void)answer; /* whatever is left is the answer */
    return EXIT_FITS;
}

static bool fault(const char *message, const char *expected)
{
    fprintf(stderr, "error: %s\n  expected: %s\n", message, expected);
    return false;
}

static bool read_words(const struct options *options, struct seen_room *room,
                       whyfit_question *question)
{
    if (options->word_count != 1) {
        return fault(
            options->word_count == 0
                ? "the question does not say what is to be identified"
                : "one word (in quotes where it has blanks) was expected",
            "whyfit identify KIND --seen FIELD=VALUE, or whyfit identify NUMBER");
    }
    for (size_t i = 0; i < options->seen_count; i++) {
        if (!split_pair_of(options->seen[i], "this says not what was seen", "FIELD=VALUE",
                           room->seen_names[i], NAME_ROOM, &room->seen[i])) {
            return false;
        }
    }
    for (size_t i = 0; i < options->hint_count; i++) {
        if (!split_pair_of(options->hints[i], "this is no hint",
                           "year=1998, model=NAME or number=NUMBER", room->hint_names[i],
                           NAME_ROOM, &room->hints[i])) {
            return false;
        }
    }
    room->count = options->seen_count;
    *question = (whyfit_question){.size = sizeof *question,
                                  .command = "identify",
                                  .of = options->words[0],
                                  .most = options->most,
                                  .gauges = options->gauges,
                                  .seen = room->seen,
                                  .seen_count = room->count,
                                  .hints = room->hints,
                                  .hint_count = options->hint_count};
    return true;
}

/* ---- the conversation */

/* Whether there is somebody to ask. */
static bool is_talking(const struct options *options)
{
    return options->format == WHYFIT_TEXT && options->out == NULL &&
           isatty(STDIN_FILENO) != 0 && isatty(STDOUT_FILENO) != 0;
}

static void print_time(double minutes)
{
    if (isnan(minutes)) {
        return;
    }
    if (minutes < 1.5) {
        printf(", about %.0f s", minutes * 60.0);
    } else if (minutes < 90.0) {
        printf(", about %.0f min", minutes);
    } else {
        printf(", about %.1f h", minutes / 60.0);
    }
}

static void print_left(const whyfit_answer *answer)
{
    enum {
        NAMED = 6
    };
    whyfit_candidate one;
    const size_t left = whyfit_answer_left_count(answer);
    printf("\n%zu of %zu left:", left, left + whyfit_answer_fallen_count(answer));
    for (size_t i = 0; i < NAMED && whyfit_answer_left(answer, i, &one); i++) {
        printf("%s %s", i == 0 ? "" : ",", one.name);
    }
    puts(left > NAMED ? ", …" : "");
}

static void print_look(const whyfit_answer *answer, const whyfit_look *look)
{
    enum {
        NAMED = 8
    };
    const char *value = NULL;
    size_t left = 0;
    printf("%s\n", look->asks);
    if (look->like[0] != '\0') {
        printf("  like    %s\n", look->like);
    }
    printf("  how     %s", look->way);
    print_time(look->minutes);
    puts(look->needs_opening ? ", with the unit opened" : "");
    fputs("  leaves ", stdout);
    for (size_t i = 0; i < NAMED && whyfit_answer_look_value(answer, 0, i, &value, &left);
         i++) {
        printf("%s %s: %zu", i == 0 ? "" : ";", value, left);
    }
    fputs("\n(? cannot tell, back, stop) > ", stdout);
    fflush(stdout);
}

enum reply {
    REPLY_VALUE,
    REPLY_BACK,
    REPLY_AGAIN,
    REPLY_STOP
};

/* A line without the blanks around it; *out is owned, and NULL but for a value. */
static enum reply read_reply(char **out)
{
    char *line = NULL;
    size_t room = 0;
    *out = NULL;
    const ssize_t length = getline(&line, &room, stdin);
    if (length < 0) {
        free(line);
        puts("");
        return REPLY_STOP;
    }
    size_t end = (size_t)length;
    while (end > 0 && strchr(" \t\r\n", line[end - 1]) != NULL) {
        line[--end] = '\0';
    }
    char *word = line + strspn(line, " \t");
    const enum reply reply = strcmp(word, "stop") == 0   ? REPLY_STOP
                             : strcmp(word, "back") == 0 ? REPLY_BACK
                             : *word == '\0'             ? REPLY_AGAIN
                                                         : REPLY_VALUE;
    if (reply == REPLY_VALUE) {
        *out = strdup(word);
    }
    free(line);
    return reply == REPLY_VALUE && *out == NULL ? REPLY_STOP : reply;
}

static void take_back(const struct options *options, struct seen_room *room)
{
    if (room->count == options->seen_count) {
        puts("nothing was answered yet");
        return;
    }
    room->count--;
    free(room->typed[room->count]);
    room->typed[room->count] = NULL;
}

/* What cannot be told of a feature that is not there. */
static const char *value_of(const whyfit_look *look, const char *typed, const char **name,
                            char *room)
{
    const size_t dot = strcspn(look->name, ".");
    *name = look->name;
    if (strcmp(typed, "none") == 0 && strcmp(look->kind, "presence") != 0 &&
        look->name[dot] != '\0') {
        const char *last = strrchr(look->name, '.');
        (void)snprintf(room, NAME_ROOM, "%.*s", (int)(last - look->name), look->name);
        *name = room;
        return "no";
    }
    return typed;
}

/* Keeps what was typed as the answer to a look. */
static void keep_reply(struct seen_room *room, const whyfit_look *look, char *typed)
{
    const char *name = NULL;
    char feature[NAME_ROOM];
    const char *value = value_of(look, typed, &name, feature);
    if (room->count == MOST_WORDS || strlen(name) >= NAME_ROOM) {
        free(typed);
        return;
    }
    (void)snprintf(room->seen_names[room->count], NAME_ROOM, "%s", name);
    room->seen[room->count] = (whyfit_pair){room->seen_names[room->count], value};
    room->typed[room->count++] = typed;
}

/* Asks with what was seen so far; what was typed last is dropped where it is at fault.
 * NULL: there is no answer, with *result set. */
static whyfit_answer *ask_again(const struct options *options, whyfit_asker *asker,
                                struct seen_room *room, whyfit_question *question,
                                int *result)
{
    whyfit_answer *answer = NULL;
    whyfit_problems *problems = NULL;
    for (;;) {
        question->seen_count = room->count;
        const whyfit_status status = whyfit_ask(asker, question, &answer, &problems);
        say_problems(problems, options->format);
        *result = exit_of(status);
        if (status != WHYFIT_INVALID || room->count == options->seen_count) {
            return answer;
        }
        take_back(options, room);
    }
}

/* One look; false: the conversation is over. */
static bool ask_look(const struct options *options, const whyfit_answer *answer,
                     struct seen_room *room)
{
    whyfit_look look;
    char *typed = NULL;
    if (whyfit_answer_left_count(answer) < 2 || !whyfit_answer_look(answer, 0, &look)) {
        return false;
    }
    print_left(answer);
    print_look(answer, &look);
    switch (read_reply(&typed)) {
    case REPLY_VALUE:
        keep_reply(room, &look, typed);
        return true;
    case REPLY_BACK:
        take_back(options, room);
        return true;
    case REPLY_AGAIN:
        return true;
    case REPLY_STOP:
        break;
    }
    return false;
}

static int converse(const struct options *options, const whyfit_knowledge *knowledge,
                    struct seen_room *room, whyfit_question *question)
{
    whyfit_asker *asker = NULL;
    int result = exit_of(whyfit_asker_open(knowledge, NULL, &asker));
    bool goes_on = asker != NULL;
    while (goes_on) {
        whyfit_answer *answer = ask_again(options, asker, room, question, &result);
        goes_on = answer != NULL && ask_look(options, answer, room);
        if (answer != NULL && !goes_on) {
            puts("");
            result = write_answer(options, answer, exit_of_identified);
        }
        whyfit_answer_free(answer);
    }
    whyfit_asker_free(asker);
    return result;
}

static void close_room(const struct options *options, struct seen_room *room)
{
    for (size_t i = options->seen_count; i < room->count; i++) {
        free(room->typed[i]);
    }
}

static int run(const struct options *options)
{
    static struct seen_room room;
    whyfit_question question;
    int result = EXIT_FAULT;
    if (options->batch != NULL) {
        return run_batch(options);
    }
    if (!read_words(options, &room, &question)) {
        return EXIT_FAULT;
    }
    if (!is_talking(options)) {
        return ask_question(options, &question, exit_of_identified);
    }
    whyfit_knowledge *knowledge = load_knowledge(options, &result);
    if (knowledge != NULL) {
        result = converse(options, knowledge, &room, &question);
    }
    close_room(options, &room);
    whyfit_knowledge_free(knowledge);
    return result;
}

const struct command command_identify = {
    .name = "identify",
    .usage = "identify KIND --seen FIELD=VALUE…",
    .says = "what is this on my bench?",
    .help =
        "Which parts or units it can be by what was seen and measured, why the others\n"
        "fell out, and which look tells most for its minutes. On a terminal it asks for\n"
        "one look after another. KIND is a kind of part or unit, `units`, or a number\n"
        "that several parts share.\n\n"
        "  whyfit identify shaft --seen hub-spline.teeth=31 --seen ring-land=yes\n"
        "  whyfit identify shaft --seen \"gear-seat.diameter=measured 40.02 mm with "
        "caliper\"\n"
        "  whyfit identify gear-head --seen sensor=yes --seen spacer.kind=seal-ring\n\n"
        "  --seen FEATURE=yes|no        whether it is there (of a unit: PLACE too)\n"
        "  --seen FEATURE.FIELD=VALUE   what it is; FIELD=VALUE of the part itself\n"
        "  --seen FIELD=?               cannot be told: nobody asks again\n"
        "  --hint year=1998             ranks and never excludes; also model, serial\n"
        "                               and number\n"
        "  --gauges LIST                only these are at hand: caliper,micrometer\n"
        "  --most N                     of either list (20)",
    .run = run,
    .has_report = true};
