/* SPDX-License-Identifier: MIT */
/* Work spread over threads: each takes the next piece that nobody has. */
#include "command.h"

#include <pthread.h>
#include <stdatomic.h>
#include <unistd.h>

struct spread {
    void (*task)(void *of, size_t worker, size_t i);
    void *of;
    size_t count;
    atomic_size_t next;
    atomic_size_t workers;
};

static void *work(void *context)
{
    struct spread *spread = context;
    const size_t worker = atomic_fetch_add(&spread->workers, 1);
    for (;;) {
        const size_t i = atomic_fetch_add(&spread->next, 1);
        if (i >= spread->count) {
            return NULL;
        }
        spread->task(spread->of, worker, i);
    }
}

size_t threads_wanted(const struct options *options)
{
    const long cores = sysconf(_SC_NPROCESSORS_ONLN);
    const size_t threads = options->threads > 0 ? options->threads
                           : cores > 0          ? (size_t)cores
                                                : 1;
    return threads > MOST_THREADS ? MOST_THREADS : threads;
}

void threads_spread(size_t threads, size_t count,
                    void (*task)(void *of, size_t worker, size_t i), void *of)
{
    struct spread spread = {.task = task, .of = of, .count = count};
    pthread_t ids[MOST_THREADS];
    size_t started = 0;
    atomic_init(&spread.next, 0);
    atomic_init(&spread.workers, 0);
    while (started + 1 < threads && started + 1 < count &&
           pthread_create(&ids[started], NULL, work, &spread) == 0) {
        started++;
    }
    (void)work(&spread); /* this thread too; alone where no other could be had */
    for (size_t i = 0; i < started; i++) {
        (void)pthread_join(ids[i], NULL);
    }
}
