/* SPDX-License-Identifier: MIT */
/* whyfit serve: the page for the counter, until somebody stops it. */
#include "command.h"
#include "page.h"

#include <pthread.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>

/* Threads that are started later inherit the mask, so that only `wait_for_stop` gets
 * these. */
static void hold_signals(sigset_t *stops)
{
    (void)sigemptyset(stops);
    (void)sigaddset(stops, SIGINT);
    (void)sigaddset(stops, SIGTERM);
    (void)pthread_sigmask(SIG_BLOCK, stops, NULL);
    (void)signal(SIGPIPE, SIG_IGN);
}

static void wait_for_stop(const sigset_t *stops)
{
    int which = 0;
    while (sigwait(stops, &which) != 0) {
        continue;
    }
}

static int serve(const struct options *options, const whyfit_knowledge *knowledge,
                 const sigset_t *stops)
{
    char fault[256];
    const struct page_options how = {.knowledge = knowledge,
                                     .listen = options->listen,
                                     .names = options->names,
                                     .name_count = options->name_count,
                                     .threads = threads_wanted(options),
                                     .seconds = options->seconds};
    struct page *page = page_start(&how, fault, sizeof fault);
    if (page == NULL) {
        fprintf(stderr, "error: %s: %s\n  expected: --listen ADDRESS:PORT\n",
                options->listen == NULL ? PAGE_LISTEN : options->listen, fault);
        return EXIT_MACHINE;
    }
    if (!page_is_local(page)) {
        fputs("warning: whoever reaches this machine can ask there; nothing is hidden "
              "and nothing encrypted\n",
              stderr);
    }
    printf("%s\n", page_address(page));
    (void)fflush(stdout);
    wait_for_stop(stops);
    (void)pthread_sigmask(SIG_UNBLOCK, stops, NULL); /* a second one does not wait */
    page_stop(page);
    return EXIT_FITS;
}

static int run(const struct options *options)
{
    struct options many = *options;
    int result = EXIT_FAULT;
    sigset_t stops;
    if (options->word_count != 0) {
        fputs("error: serve takes no words\n  expected: whyfit serve --with DIR\n",
              stderr);
        return EXIT_FAULT;
    }
    hold_signals(&stops);
    many.answers_many = true;
    whyfit_knowledge *knowledge = load_knowledge(&many, &result);
    if (knowledge != NULL) {
        result = serve(options, knowledge, &stops);
    }
    whyfit_knowledge_free(knowledge);
    return result;
}

const struct command command_serve = {
    .name = "serve",
    .usage = "serve",
    .says = "a page for the counter, on this machine",
    .help =
        "Answers in a browser on this machine: pick what is in the machine and what is\n"
        "to go in, see the verdict and its reasons, and ask on. Needs no scripts, sends\n"
        "nothing anywhere, keeps nothing. Prints its address; Ctrl-C stops it\n"
        "when what was asked is answered, a second one at once.\n\n"
        "  --listen ADDRESS:PORT  where; 127.0.0.1:8471 unless it is said, port 0 takes\n"
        "                         a free one. Anything but this machine's own address "
        "is\n"
        "                         warned of: there is no password and no encryption\n"
        "  --name HOST            a name by which it may be called, beside addresses "
        "and\n"
        "                         localhost (may be repeated)\n"
        "  --threads N            questions answered at once; as many as there are "
        "cores\n"
        "  --seconds N            the longest that one question may take; 60\n\n"
        "The same addresses give JSON: /swap?unit=UNIT&put.PLACE=PART&format=json, or\n"
        "with the header Accept: application/json; POST /ask takes a question as "
        "JSON.\n\n"
        "  Exit status: 0 it was stopped, 5 it cannot listen there",
    .run = run};
