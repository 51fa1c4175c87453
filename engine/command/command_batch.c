/* SPDX-License-Identifier: MIT */
/*
 * whyfit swap --batch FILE: a question a line, an answer a line, in the order of the
 * questions, on as many threads as are asked for. Lines are read a window at a time:
 * every thread takes the next line that nobody has, and the window is written when all of
 * it is there. So memory does not grow with the file, and the bytes are those that one
 * thread would write.
 */
#include "command.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum {
    WINDOW = 1024
};

struct item {
    char *line;
    size_t length;
    struct bytes answer;
    bool is_fault;
    whyfit_status status;
};

struct batch {
    const whyfit_knowledge *knowledge;
    whyfit_asker *askers[MOST_THREADS];
    struct item items[WINDOW];
    size_t count;
};

/* One line of the window; each thread keeps an asker of its own. */
static void answer_item(void *context, size_t worker, size_t i)
{
    struct batch *batch = context;
    struct item *item = &batch->items[i];
    whyfit_asker **asker = &batch->askers[worker];
    item->status =
        *asker != NULL ? WHYFIT_OK : whyfit_asker_open(batch->knowledge, NULL, asker);
    if (item->status == WHYFIT_OK) {
        item->status = whyfit_answer_line(*asker, item->line, item->length, bytes_append,
                                          &item->answer, &item->is_fault);
    }
}

/* Fills the window; blank lines are passed over. */
static void read_window(struct batch *batch, FILE *file)
{
    char *line = NULL;
    size_t room = 0;
    ssize_t length = 0;
    batch->count = 0;
    while (batch->count < WINDOW && (length = getline(&line, &room, file)) >= 0) {
        while (length > 0 && strchr("\r\n \t", line[length - 1]) != NULL) {
            length--;
        }
        if (length == 0) {
            continue;
        }
        batch->items[batch->count++] =
            (struct item){.line = line, .length = (size_t)length};
        line = NULL;
        room = 0;
    }
    free(line);
}

/* Writes the window's answers and releases it. */
static int write_window(struct batch *batch, struct output *output, int result)
{
    for (size_t i = 0; i < batch->count; i++) {
        struct item *item = &batch->items[i];
        const bool is_written = item->status == WHYFIT_OK &&
                                output_take(output, item->answer.at, item->answer.length);
        if (!is_written) {
            result = EXIT_MACHINE;
        } else if (item->is_fault && result == EXIT_FITS) {
            result = EXIT_FAULT;
        }
        free(item->line);
        free(item->answer.at);
    }
    return result;
}

static int run_file(const struct options *options, struct batch *batch, FILE *file,
                    struct output *output)
{
    const size_t threads = threads_wanted(options);
    const bool is_watched = options->out != NULL && isatty(STDERR_FILENO);
    int result = EXIT_FITS;
    size_t done = 0;
    do {
        read_window(batch, file);
        threads_spread(threads, batch->count, answer_item, batch);
        result = write_window(batch, output, result);
        done += batch->count;
        if (is_watched) {
            fprintf(stderr, "\r%zu answered", done);
        }
    } while (batch->count == WINDOW && result != EXIT_MACHINE);
    if (is_watched) {
        fputs("\n", stderr);
    }
    return result;
}

int run_batch(const struct options *options)
{
    int result = EXIT_FAULT;
    struct output output;
    const bool is_input = strcmp(options->batch, "-") == 0;
    FILE *file = is_input ? stdin : fopen(options->batch, "r");
    struct batch *batch = calloc(1, sizeof *batch);
    if (file == NULL || batch == NULL) {
        fprintf(stderr, "error: %s cannot be read\n", options->batch);
        free(batch);
        return file == NULL ? EXIT_FAULT : EXIT_MACHINE;
    }
    whyfit_knowledge *knowledge = load_knowledge(options, &result);
    batch->knowledge = knowledge;
    if (knowledge != NULL && !output_open(&output, options->out)) {
        result = EXIT_MACHINE;
    } else if (knowledge != NULL) {
        result = run_file(options, batch, file, &output);
        if (!output_close(&output, result != EXIT_MACHINE)) {
            result = EXIT_MACHINE;
        }
    }
    for (size_t i = 0; i < MOST_THREADS; i++) {
        whyfit_asker_free(batch->askers[i]);
    }
    whyfit_knowledge_free(knowledge);
    free(batch);
    if (!is_input) {
        (void)fclose(file);
    }
    return result;
}
