/* SPDX-License-Identifier: MIT */
/* What every command does: load, write, say what went wrong. */
#include "command.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <unistd.h>

static bool to_stream(void *stream, const char *bytes, size_t length)
{
    return fwrite(bytes, 1, length, stream) == length;
}

void say_problems(whyfit_problems *problems, whyfit_format format)
{
    if (problems == NULL) {
        return;
    }
    (void)whyfit_problems_write(problems, format, to_stream,
                                format == WHYFIT_JSON ? stdout : stderr);
    whyfit_problems_free(problems);
}

int exit_of(whyfit_status status)
{
    switch (status) {
    case WHYFIT_OK:
        return EXIT_FITS;
    case WHYFIT_INVALID:
    case WHYFIT_NOT_FOUND:
        return EXIT_FAULT;
    case WHYFIT_NO_MEMORY:
        fputs("error: out of memory\n", stderr);
        return EXIT_MACHINE;
    case WHYFIT_LIMIT:
        fputs("error: a limit was reached\n", stderr);
        return EXIT_MACHINE;
    case WHYFIT_IO:
        fputs("error: the answer could not be written, or a file not be read\n", stderr);
        return EXIT_MACHINE;
    case WHYFIT_STOPPED:
        fputs("error: interrupted\n", stderr);
        return EXIT_MACHINE;
    }
    return EXIT_MACHINE;
}

const char *knowledge_folder(const struct options *options)
{
    const char *from_environment = getenv("WHYFIT_KNOWLEDGE");
    return options->knowledge != NULL                                ? options->knowledge
           : from_environment != NULL && from_environment[0] != '\0' ? from_environment
                                                                     : WHYFIT_KNOWLEDGE;
}

bool name_sources(const struct options *options, struct source_room *room)
{
    const char *folder = knowledge_folder(options);
    const int rules_length =
        snprintf(room->rules, sizeof room->rules, "%s/rules", folder);
    const int facts_length =
        snprintf(room->facts, sizeof room->facts, "%s/facts", folder);
    if (rules_length < 0 || (size_t)rules_length >= sizeof room->rules ||
        facts_length < 0 || (size_t)facts_length >= sizeof room->facts) {
        fputs("error: the path of the knowledge is too long\n", stderr);
        return false;
    }
    memset(room->sources, 0, sizeof room->sources);
    room->sources[0].name = room->rules;
    room->sources[1].name = room->facts;
    for (size_t i = 0; i < options->folder_count; i++) {
        room->sources[2 + i].name = options->folders[i];
    }
    room->count = 2 + options->folder_count;
    return true;
}

whyfit_knowledge *load_knowledge(const struct options *options, int *exit_status)
{
    struct source_room room;
    whyfit_load_options how = WHYFIT_LOAD_OPTIONS;
    whyfit_knowledge *knowledge = NULL;
    whyfit_problems *problems = NULL;
    if (options->prepared != NULL) {
        return load_prepared(options, exit_status);
    }
    if (!name_sources(options, &room)) {
        *exit_status = EXIT_FAULT;
        return NULL;
    }
    how.without = options->without;
    how.without_count = options->without_count;
    const whyfit_status status =
        whyfit_load(room.sources, room.count, &how, &knowledge, &problems);
    say_problems(problems, options->format);
    *exit_status = exit_of(status);
    return knowledge;
}

/* ---- output */

bool output_open(struct output *output, const struct options *options)
{
    *output = (struct output){.file = stdout, .path = options->out};
    if (options->out == NULL) {
        return true;
    }
    const size_t length = strlen(options->out) + sizeof ".part";
    output->beside = malloc(length);
    if (output->beside == NULL) {
        return false;
    }
    (void)snprintf(output->beside, length, "%s.part", options->out);
    output->file = fopen(output->beside, "wb");
    if (output->file == NULL) {
        fprintf(stderr, "error: %s cannot be written\n", output->beside);
        free(output->beside);
        return false;
    }
    return true;
}

/* In pieces that are smaller than a stream's buffer, so that they are copied there: a
 * large one would be handed to the kernel, which cannot fetch what lies in a prepared
 * base and was not touched yet. */
bool output_take(void *output, const char *bytes, size_t length)
{
    enum {
        PIECE = 1024
    };
    bool is_taken = true;
    for (size_t at = 0; is_taken && at < length; at += PIECE) {
        const size_t left = length - at;
        is_taken = to_stream(((struct output *)output)->file, bytes + at,
                             left < PIECE ? left : PIECE);
    }
    return is_taken;
}

bool output_close(struct output *output, bool is_whole)
{
    bool is_done = fflush(output->file) == 0 && is_whole;
    if (output->beside == NULL) {
        return is_done;
    }
    is_done = fsync(fileno(output->file)) == 0 && is_done;
    is_done = fclose(output->file) == 0 && is_done;
    if (is_done) {
        is_done = rename(output->beside, output->path) == 0;
    } else {
        (void)remove(output->beside);
    }
    if (!is_done) {
        fprintf(stderr, "error: %s could not be written\n", output->path);
    }
    free(output->beside);
    return is_done;
}

bool output_in_colour(const struct output *output)
{
    const char *refused = getenv("NO_COLOR");
    return output->beside == NULL && (refused == NULL || refused[0] == '\0') &&
           isatty(STDOUT_FILENO) != 0;
}

unsigned output_width(const struct output *output)
{
    struct winsize size;
    const bool is_terminal = output->beside == NULL && isatty(STDOUT_FILENO) != 0;
    if (is_terminal && ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 &&
        size.ws_col >= 40) {
        return size.ws_col < 100 ? size.ws_col : 100;
    }
    return 80;
}
