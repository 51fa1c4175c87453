/* SPDX-License-Identifier: MIT */
/*
 * A fixed number of workers, each with an asker of its own, and a short queue before
 * them. What is asked is given up when its time is over or the page stops.
 */
#include "page_private.h"

#include <pthread.h>
#include <stdlib.h>
#include <time.h>

struct work {
    pthread_mutex_t opening; /* of the listings, which are opened once */
    whyfit_listings *listings;
    pthread_mutex_t lock; /* of all below it but the workers */
    pthread_cond_t has_some;
    struct request *queue[PAGE_QUEUE];
    size_t first;
    size_t count;
    bool is_stopping;
    atomic_bool is_cut;
    unsigned seconds;
    void (*done)(struct request *request);
    struct worker workers[PAGE_MOST_THREADS];
    pthread_t threads[PAGE_MOST_THREADS];
    size_t thread_count;
};

static long long now(void)
{
    struct timespec time;
    (void)clock_gettime(CLOCK_MONOTONIC, &time);
    return (long long)time.tv_sec * 1000 + time.tv_nsec / 1000000;
}

bool worker_may_go_on(void *of)
{
    const struct worker *worker = of;
    return now() < worker->deadline && !atomic_load(&worker->work->is_cut);
}

static whyfit_status open_listings(struct worker *worker)
{
    struct work *work = worker->work;
    whyfit_status status = WHYFIT_OK;
    (void)pthread_mutex_lock(&work->opening);
    if (work->listings == NULL) {
        status = whyfit_listings_open(worker->knowledge, &work->listings, NULL);
    }
    (void)pthread_mutex_unlock(&work->opening);
    return status;
}

whyfit_status worker_lister(struct worker *worker, whyfit_lister **lister)
{
    whyfit_lister_options how = WHYFIT_LISTER_OPTIONS;
    whyfit_status status = WHYFIT_OK;
    if (worker->lister == NULL) {
        how.go_on = worker_may_go_on;
        how.context = worker;
        status = open_listings(worker);
        if (status == WHYFIT_OK) {
            status = whyfit_lister_open(worker->work->listings, &how, &worker->lister);
        }
    }
    *lister = worker->lister;
    return status;
}

/* The next request; NULL: there will be none. */
static struct request *take(struct work *work)
{
    struct request *request = NULL;
    (void)pthread_mutex_lock(&work->lock);
    while (work->count == 0 && !work->is_stopping) {
        (void)pthread_cond_wait(&work->has_some, &work->lock);
    }
    if (work->count > 0) {
        request = work->queue[work->first];
        work->first = (work->first + 1) % PAGE_QUEUE;
        work->count--;
    }
    (void)pthread_mutex_unlock(&work->lock);
    return request;
}

static void *run(void *of)
{
    struct worker *worker = of;
    struct work *work = worker->work;
    struct request *request = NULL;
    while ((request = take(work)) != NULL) {
        worker->deadline = now() + (long long)work->seconds * 1000;
        route_answer(worker, request);
        work->done(request);
    }
    return NULL;
}

static bool start_one(struct work *work, const whyfit_knowledge *knowledge)
{
    struct worker *worker = &work->workers[work->thread_count];
    whyfit_ask_options options = WHYFIT_ASK_OPTIONS;
    *worker = (struct worker){.work = work, .knowledge = knowledge};
    options.memory_limit = PAGE_MEMORY;
    options.go_on = worker_may_go_on;
    options.context = worker;
    if (whyfit_asker_open(knowledge, &options, &worker->asker) != WHYFIT_OK) {
        return false;
    }
    if (pthread_create(&work->threads[work->thread_count], NULL, run, worker) != 0) {
        whyfit_asker_free(worker->asker);
        return false;
    }
    work->thread_count++;
    return true;
}

struct work *work_start(const whyfit_knowledge *knowledge, size_t threads,
                        unsigned seconds, void (*done)(struct request *request))
{
    struct work *work = calloc(1, sizeof *work);
    if (work == NULL) {
        return NULL;
    }
    (void)pthread_mutex_init(&work->opening, NULL);
    (void)pthread_mutex_init(&work->lock, NULL);
    (void)pthread_cond_init(&work->has_some, NULL);
    atomic_init(&work->is_cut, false);
    work->seconds = seconds;
    work->done = done;
    while (work->thread_count < threads && work->thread_count < PAGE_MOST_THREADS &&
           start_one(work, knowledge)) {
        continue;
    }
    if (work->thread_count == 0) {
        work_stop(work);
        return NULL;
    }
    return work;
}

bool work_add(struct work *work, struct request *request)
{
    (void)pthread_mutex_lock(&work->lock);
    const bool has_room = work->count < PAGE_QUEUE && !work->is_stopping;
    if (has_room) {
        work->queue[(work->first + work->count) % PAGE_QUEUE] = request;
        work->count++;
        (void)pthread_cond_signal(&work->has_some);
    }
    (void)pthread_mutex_unlock(&work->lock);
    return has_room;
}

void work_cut(struct work *work)
{
    atomic_store(&work->is_cut, true);
}

void work_stop(struct work *work)
{
    (void)pthread_mutex_lock(&work->lock);
    work->is_stopping = true;
    (void)pthread_cond_broadcast(&work->has_some);
    (void)pthread_mutex_unlock(&work->lock);
    for (size_t i = 0; i < work->thread_count; i++) {
        (void)pthread_join(work->threads[i], NULL);
        whyfit_lister_free(work->workers[i].lister);
        whyfit_asker_free(work->workers[i].asker);
    }
    whyfit_listings_free(work->listings);
    (void)pthread_mutex_destroy(&work->opening);
    (void)pthread_cond_destroy(&work->has_some);
    (void)pthread_mutex_destroy(&work->lock);
    free(work);
}
