/* SPDX-License-Identifier: MIT */
/* whyfit upgrade: what has to change together? Progress and time go to a terminal's
 * standard error, never into the answer; an interrupt ends the search. */
#include "command.h"

#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

/* The one thing a signal may touch. */
static volatile sig_atomic_t is_interrupted = 0;

static void interrupt(int signal)
{
    (void)signal;
    is_interrupted = 1;
}

struct watching {
    size_t threads;
    bool is_shown;
    uint64_t tried;
};

static bool go_on(void *context)
{
    (void)context;
    return is_interrupted == 0;
}

/* A task that does not mind who does it. */
struct handed {
    void (*task)(void *of, size_t i);
    void *of;
};

static void hand_on(void *of, size_t worker, size_t i)
{
    const struct handed *handed = of;
    (void)worker;
    handed->task(handed->of, i);
}

static void spread(void *context, size_t count, void (*task)(void *of, size_t i),
                   void *of)
{
    struct handed handed = {task, of};
    threads_spread(((struct watching *)context)->threads, count, hand_on, &handed);
}

static void progress(void *context, uint64_t tried, uint64_t waiting)
{
    struct watching *watching = context;
    watching->tried = tried;
    if (watching->is_shown) {
        fprintf(stderr, "\r%llu swaps tried, %llu waiting    ", (unsigned long long)tried,
                (unsigned long long)waiting);
    }
}

static double now(void)
{
    struct timespec at;
    (void)clock_gettime(CLOCK_MONOTONIC, &at);
    return (double)at.tv_sec + (double)at.tv_nsec * 1e-9;
}

static int exit_of_upgrade(const whyfit_answer *answer)
{
    switch (whyfit_answer_verdict(answer)) {
    case WHYFIT_FITS:
    case WHYFIT_FITS_WITH_WORK:
        return EXIT_FITS;
    case WHYFIT_DOES_NOT_FIT:
        return EXIT_DOES_NOT_FIT;
    case WHYFIT_NOT_KNOWN:
        break;
    }
    return EXIT_NOT_KNOWN;
}

static int run_upgrade(const struct options *options)
{
    static struct question_room room;
    whyfit_question question = WHYFIT_QUESTION;
    whyfit_ask_options how = WHYFIT_ASK_OPTIONS;
    struct watching watching = {.threads = threads_wanted(options),
                                .is_shown = isatty(STDERR_FILENO) != 0};
    const double start = now();
    if (!question_read(options, "upgrade", &room, &question)) {
        return EXIT_FAULT;
    }
    how.go_on = go_on;
    how.spread = spread;
    how.progress = progress;
    how.context = &watching;
    (void)signal(SIGINT, interrupt);
    const int result = ask_question_so(options, &question, &how, exit_of_upgrade);
    if (watching.is_shown && watching.tried > 0) {
        fprintf(stderr, "\r%llu swaps tried, %.1f s              \n",
                (unsigned long long)watching.tried, now() - start);
    }
    question_close(&room);
    return result;
}

const struct command command_upgrade = {
    .name = "upgrade",
    .usage = "upgrade UNIT --toward UNIT2",
    .says = "what must change together?",
    .help =
        "The smallest sets of changes that work, cheapest first, with the parts listed,\n"
        "what each gains, and what every smaller set is refused for. Sets of which it "
        "is\n"
        "not known whether they work stand apart, with what to measure.\n\n"
        "  --toward UNIT2     one search for each place in which UNIT2 has something "
        "else,\n"
        "                     and all of UNIT2 as a set of its own\n"
        "  --want PLACE=PART  only this is wanted (may be repeated: all of it together)\n"
        "  --have PART        it is at hand and costs nothing more (may be repeated)\n"
        "  --given PLACE.FEATURE.FIELD=VALUE  as for swap, whatever part is in the "
        "place\n"
        "  --allow machine    mends that cut metal may be chosen\n"
        "  --most N           sets shown for each search; three unless it is said\n"
        "  --changes N        no set of more than N changes\n"
        "  --tries N          swaps tried at most, 2000 unless it is said; the answer "
        "says\n"
        "                     when that kept sets from being tried\n"
        "  --threads N        as many as there are cores; the answer is the same\n"
        "  --chain            every step from the facts to each set's verdict\n\n"
        "What could stand in the other places is what units and parts of the facts put "
        "in a\n"
        "place of that name, and parts of its kind; of a catalogue of sizes only those "
        "that\n"
        "something puts there. `price` and `labour` of parts and units are what a set "
        "costs;\n"
        "where a price is not stated, pieces are counted.\n\n"
        "  Exit status: 0 a set works, 1 none does, 3 only sets that are not known",
    .run = run_upgrade,
    .has_report = true};
