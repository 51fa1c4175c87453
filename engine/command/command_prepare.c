/* SPDX-License-Identifier: MIT */
/*
 * whyfit prepare, and starting from what it wrote. A single question leaves the base in
 * its file and fetches what it touches: this program has one thread then, and its signals
 * are its own. Several questions take all of it at once.
 */
#include "command.h"

#include <errno.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* ---- fetching what is touched */

enum {
    WORDS_ROOM = 4096
};

/* For the handler alone: a signal brings nothing along. */
static struct {
    const whyfit_knowledge *knowledge;
    struct sigaction before; /* what a fault that is none of ours meets */
    char words[WORDS_ROOM];  /* what is said of damage, made beforehand */
    size_t length;
    int to;
} watch;

static void bring_touched(int signal_number, siginfo_t *about, void *context)
{
    const int kept = errno;
    (void)context;
    const whyfit_brought brought =
        about->si_code == BUS_ADRERR
            ? whyfit_prepared_bring(watch.knowledge, about->si_addr)
            : WHYFIT_NOT_BROUGHT;
    switch (brought) {
    case WHYFIT_BROUGHT:
        errno = kept;
        return;
    case WHYFIT_BROUGHT_DAMAGE:
        if (write(watch.to, watch.words, watch.length) < 0) {
            _exit(EXIT_MACHINE); /* nobody hears it: the exit status says the same */
        }
        _exit(EXIT_MACHINE);
    case WHYFIT_NOT_BROUGHT:
        (void)sigaction(signal_number, &watch.before, NULL); /* and it faults again */
        return;
    }
}

/* Only what is safe in a JSON text as it stands. */
static bool is_plain(const char *text)
{
    for (; *text != '\0'; text++) {
        if ((unsigned char)*text < ' ' || *text == '"' || *text == '\\') {
            return false;
        }
    }
    return true;
}

static void word_damage(const struct options *options)
{
    const bool is_json = options->format == WHYFIT_JSON;
    const char *name = is_json && !is_plain(options->prepared) ? "it" : options->prepared;
    const int length = snprintf(
        watch.words, sizeof watch.words,
        is_json
            ? "{\"error\":[{\"code\":\"prepared-damaged\",\"message\":\"%.2000s is "
              "damaged\",\"expected\":\"a base that `whyfit prepare` makes anew\"}]}\n"
            : "error: %.2000s is damaged: it is not what was written "
              "[prepared-damaged]\n  expected: a base that `whyfit prepare` makes anew\n",
        name);
    watch.length = length < 0 ? 0 : (size_t)length;
    watch.to = is_json ? STDOUT_FILENO : STDERR_FILENO;
}

static bool start_watch(const whyfit_knowledge *knowledge, const struct options *options)
{
    struct sigaction action = {.sa_sigaction = bring_touched, .sa_flags = SA_SIGINFO};
    (void)sigemptyset(&action.sa_mask);
    word_damage(options);
    watch.knowledge = knowledge;
    /* so that no half of an answer stands before the words of damage */
    (void)setvbuf(stdout, NULL, _IOFBF, 1 << 20);
    return sigaction(SIGBUS, &action, &watch.before) == 0;
}

/* ---- loading */

/* One question, read from the command line: nothing else is answered after it. */
static bool is_single(const struct options *options)
{
    return options->batch == NULL && !options->answers_many &&
           !(options->word_count == 1 && strcmp(options->words[0], "-") == 0);
}

/* Why the file was not used: one line, since the answer is the same. */
static void say_unused(const struct options *options, whyfit_problems *problems)
{
    const char *why = whyfit_problems_message(problems, 0);
    fprintf(stderr, "note: %s is not used, the text is read: %s\n", options->prepared,
            why == NULL ? "it could not be loaded" : why);
    whyfit_problems_free(problems);
}

whyfit_knowledge *load_prepared(const struct options *options, int *exit_status)
{
    struct source_room room;
    whyfit_prepared_options wanted = WHYFIT_PREPARED_OPTIONS;
    whyfit_knowledge *knowledge = NULL;
    whyfit_problems *problems = NULL;
    if (options->without_count > 0) {
        fputs("error: --without: rules are left out before anything is concluded\n"
              "  expected: no --prepared beside it\n",
              stderr);
        *exit_status = EXIT_FAULT;
        return NULL;
    }
    wanted.on_touch = is_single(options);
    if (options->knowledge != NULL || options->folder_count > 0) {
        if (!name_sources(options, &room)) {
            *exit_status = EXIT_FAULT;
            return NULL;
        }
        wanted.sources = room.sources;
        wanted.source_count = room.count;
    }
    const whyfit_status status =
        whyfit_load_prepared(options->prepared, &wanted, &knowledge, &problems);
    *exit_status = exit_of(status);
    if (problems != NULL && knowledge != NULL) {
        say_unused(options, problems);
    } else {
        say_problems(problems, options->format);
    }
    if (knowledge != NULL && wanted.on_touch && !start_watch(knowledge, options)) {
        whyfit_knowledge_free(knowledge);
        *exit_status = EXIT_MACHINE;
        return NULL;
    }
    return knowledge;
}

/* ---- preparing */

static int run_prepare(const struct options *options)
{
    struct source_room room;
    whyfit_problems *problems = NULL;
    if (options->word_count != 0 || options->prepared != NULL ||
        options->without_count != 0) {
        fputs("error: prepare takes folders and a file to write\n"
              "  expected: whyfit prepare --with DIR --out FILE\n",
              stderr);
        return EXIT_FAULT;
    }
    if (!name_sources(options, &room)) {
        return EXIT_FAULT;
    }
    const char *file = options->out == NULL ? "whyfit.prepared" : options->out;
    const whyfit_status status =
        whyfit_prepare(room.sources, room.count, file, NULL, &problems);
    say_problems(problems, options->format);
    return exit_of(status);
}

const struct command command_prepare = {
    .name = "prepare",
    .usage = "prepare --with DIR --out FILE",
    .says = "keep what was loaded in a file, for quick answers",
    .help =
        "Reads all facts and rules, concludes what follows, and writes it to FILE\n"
        "(whyfit.prepared). Every other command then starts from it, and answers the "
        "same:\n\n"
        "  whyfit prepare --with demo/mower --out mower.prepared\n"
        "  whyfit swap kestrel-head-early cover=kestrel-cover-late --prepared "
        "mower.prepared\n\n"
        "A file that is damaged, that another build of whyfit wrote, or whose sources "
        "have\n"
        "changed since is not used: the text is read, and one line says why. With --with "
        "or\n"
        "--knowledge beside it, it must be of just those.\n\n"
        "  Exit status: 0 written, 2 the knowledge is at fault or FILE cannot be written",
    .run = run_prepare};
