/* SPDX-License-Identifier: MIT */
/* The options that all commands share. */
#include "command.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static bool fault(const char *word, const char *message, const char *expected)
{
    fprintf(stderr, "error: %s: %s\n  expected: %s\n", word, message, expected);
    return false;
}

static bool add(const char **list, size_t *count, size_t room, const char *word)
{
    if (*count >= room) {
        return fault(word, "there are too many of these", "fewer words");
    }
    list[(*count)++] = word;
    return true;
}

static bool read_format(struct options *options, const char *word)
{
    if (strcmp(word, "json") == 0) {
        options->format = WHYFIT_JSON;
        return true;
    }
    if (strcmp(word, "text") == 0) {
        options->format = WHYFIT_TEXT;
        return true;
    }
    if (strcmp(word, "svg") == 0) {
        options->format = WHYFIT_SVG;
        return true;
    }
    if (strcmp(word, "html") == 0) {
        options->format = WHYFIT_HTML;
        return true;
    }
    return fault(word, "there is no such format", "text, json, html or svg");
}

/* A whole number from `least` to `most`. */
static bool read_number(const char *word, unsigned long least, unsigned long most,
                        const char *expected, unsigned long *out)
{
    char *end = NULL;
    *out = strtoul(word, &end, 10);
    return (*word >= '0' && *word <= '9' && *end == '\0' && *out >= least &&
            *out <= most) ||
           fault(word, "this is no such number", expected);
}

static bool read_threads(struct options *options, const char *word)
{
    unsigned long count = 0;
    const bool is_read = read_number(word, 1, 1024, "1 to 1024 threads", &count);
    options->threads = count;
    return is_read;
}

static bool read_most(struct options *options, const char *word)
{
    unsigned long most = 0;
    const bool is_read = read_number(word, 1, WHYFIT_MOST, "1 to 1000 rows", &most);
    options->most = (unsigned)most;
    return is_read;
}

static bool read_depth(struct options *options, const char *word)
{
    unsigned long depth = 0;
    const bool is_read =
        read_number(word, 0, WHYFIT_DEEPEST, "0 to 8 levels to go down", &depth);
    options->depth = (unsigned)depth;
    return is_read;
}

static bool read_tries(struct options *options, const char *word)
{
    unsigned long tries = 0;
    const bool is_read =
        read_number(word, 1, WHYFIT_MOST_TRIES, "1 to 1000000 swaps to try", &tries);
    options->tries = (unsigned)tries;
    return is_read;
}

static bool read_largest(struct options *options, const char *word)
{
    unsigned long largest = 0;
    const bool is_read = read_number(word, 1, 64, "1 to 64 changes in one set", &largest);
    options->largest = (unsigned)largest;
    return is_read;
}

static bool read_seconds(struct options *options, const char *word)
{
    unsigned long seconds = 0;
    const bool is_read =
        read_number(word, 1, 3600, "1 to 3600 seconds for a question", &seconds);
    options->seconds = (unsigned)seconds;
    return is_read;
}

/* An option that takes the next word. */
static bool read_valued(struct options *options, const char *option, const char *value)
{
    if (strcmp(option, "--format") == 0) {
        return read_format(options, value);
    }
    if (strcmp(option, "--threads") == 0) {
        return read_threads(options, value);
    }
    if (strcmp(option, "--most") == 0) {
        return read_most(options, value);
    }
    if (strcmp(option, "--depth") == 0) {
        return read_depth(options, value);
    }
    if (strcmp(option, "--tries") == 0) {
        return read_tries(options, value);
    }
    if (strcmp(option, "--changes") == 0) {
        return read_largest(options, value);
    }
    if (strcmp(option, "--sweep") == 0) {
        options->sweep = value;
        return true;
    }
    if (strcmp(option, "--toward") == 0) {
        options->toward = value;
        return true;
    }
    if (strcmp(option, "--want") == 0) {
        return add(options->want, &options->want_count, MOST_WORDS, value);
    }
    if (strcmp(option, "--have") == 0) {
        return add(options->have, &options->have_count, MOST_WORDS, value);
    }
    if (strcmp(option, "--listen") == 0) {
        options->listen = value;
        return true;
    }
    if (strcmp(option, "--name") == 0) {
        return add(options->names, &options->name_count, MOST_FOLDERS, value);
    }
    if (strcmp(option, "--seconds") == 0) {
        return read_seconds(options, value);
    }
    if (strcmp(option, "--of") == 0) {
        options->of = value;
        return true;
    }
    if (strcmp(option, "--readings") == 0) {
        options->readings = value;
        return true;
    }
    if (strcmp(option, "--read") == 0) {
        return add(options->read, &options->read_count, MOST_WORDS, value);
    }
    if (strcmp(option, "--seen") == 0) {
        return add(options->seen, &options->seen_count, MOST_WORDS, value);
    }
    if (strcmp(option, "--hint") == 0) {
        return add(options->hints, &options->hint_count, MOST_WORDS, value);
    }
    if (strcmp(option, "--kind") == 0) {
        options->kind = value;
        return true;
    }
    if (strcmp(option, "--gauges") == 0) {
        options->gauges = value;
        return true;
    }
    if (strcmp(option, "--rows") == 0) {
        options->rows = value;
        return true;
    }
    if (strcmp(option, "--columns") == 0) {
        options->columns = value;
        return true;
    }
    if (strcmp(option, "--id") == 0) {
        options->id = value;
        return true;
    }
    if (strcmp(option, "--rejected") == 0) {
        options->rejected = value;
        return true;
    }
    if (strcmp(option, "--batch") == 0) {
        options->batch = value;
        return true;
    }
    if (strcmp(option, "--allow") == 0) {
        options->allows_machining = true;
        return strcmp(value, "machine") == 0 ||
               fault(value, "nothing of this name can be allowed", "machine");
    }
    if (strcmp(option, "--with") == 0) {
        return add(options->folders, &options->folder_count, MOST_FOLDERS, value);
    }
    if (strcmp(option, "--without") == 0) {
        return add(options->without, &options->without_count, MOST_FOLDERS, value);
    }
    if (strcmp(option, "--given") == 0) {
        return add(options->given, &options->given_count, MOST_WORDS, value);
    }
    if (strcmp(option, "--picture") == 0) {
        options->picture = value;
        options->format = WHYFIT_SVG;
        return true;
    }
    if (strcmp(option, "--prepared") == 0) {
        options->prepared = value;
        return true;
    }
    if (strcmp(option, "--knowledge") == 0) {
        options->knowledge = value;
        return true;
    }
    options->out = value;
    return true;
}

static const char *const plain[] = {"--help", "--chain",  "--first", "--effort",
                                    "--csv",  "--resume", "--forget"};
static const char *const valued[] = {
    "--format",  "--picture", "--with",    "--given",    "--knowledge", "--out",
    "--allow",   "--batch",   "--threads", "--of",       "--most",      "--depth",
    "--without", "--sweep",   "--toward",  "--want",     "--have",      "--tries",
    "--changes", "--gauges",  "--kind",    "--readings", "--read",      "--prepared",
    "--seen",    "--hint",    "--listen",  "--name",     "--seconds",   "--rows",
    "--columns", "--id",      "--rejected"};
enum {
    PLAIN_COUNT = sizeof plain / sizeof *plain,
    VALUED_COUNT = sizeof valued / sizeof *valued
};

static bool takes_value(const char *word)
{
    for (size_t i = 0; i < VALUED_COUNT; i++) {
        if (strcmp(word, valued[i]) == 0) {
            return true;
        }
    }
    return false;
}

void say_nearest(const char *misspelt, const char *const *words, size_t count)
{
    const char *near = whyfit_nearest(misspelt, words, count);
    if (near != NULL) {
        fprintf(stderr, "  did you mean \"%s\"?\n", near);
    }
}

/* "--chain, --with or --help": all there are. */
static const char *all_options(char *room, size_t size, const char *const *all)
{
    size_t at = 0;
    room[0] = '\0';
    for (size_t i = 0; i < PLAIN_COUNT + VALUED_COUNT && at < size; i++) {
        const int length = snprintf(room + at, size - at, "%s%s",
                                    i == 0                                ? ""
                                    : i + 1 == PLAIN_COUNT + VALUED_COUNT ? " or "
                                                                          : ", ",
                                    all[i]);
        at += length < 0 ? size : (size_t)length;
    }
    return room;
}

static bool no_option(const char *word)
{
    char room[1024];
    const char *all[PLAIN_COUNT + VALUED_COUNT];
    memcpy(all, plain, sizeof plain);
    memcpy(&all[PLAIN_COUNT], valued, sizeof valued);
    (void)fault(word, "there is no such option", all_options(room, sizeof room, all));
    say_nearest(word, all, PLAIN_COUNT + VALUED_COUNT);
    return false;
}

bool options_read(struct options *options, int argc, char **argv)
{
    for (int i = 0; i < argc; i++) {
        const char *word = argv[i];
        if (strcmp(word, "--help") == 0) {
            options->wants_help = true;
        } else if (strcmp(word, "--chain") == 0) {
            options->with_chain = true;
        } else if (strcmp(word, "--first") == 0) {
            options->stops_at_first = true;
        } else if (strcmp(word, "--effort") == 0) {
            options->with_effort = true;
        } else if (strcmp(word, "--csv") == 0) {
            options->writes_csv = true;
        } else if (strcmp(word, "--resume") == 0) {
            options->resumes = true;
        } else if (strcmp(word, "--forget") == 0) {
            options->forgets = true;
        } else if (takes_value(word)) {
            if (i + 1 >= argc) {
                return fault(word, "this option needs a word after it", "OPTION WORD");
            }
            if (!read_valued(options, word, argv[++i])) {
                return false;
            }
        } else if (strncmp(word, "--", 2) == 0) {
            return no_option(word);
        } else if (!add(options->words, &options->word_count, MOST_WORDS, word)) {
            return false;
        }
    }
    return true;
}

bool split_pair(const char *word, char *room, size_t size, whyfit_pair *out)
{
    return split_pair_of(word, "this is no change",
                         "PLACE=PART or PLACE.FEATURE.FIELD=VALUE", room, size, out);
}

bool split_pair_of(const char *word, const char *message, const char *expected,
                   char *room, size_t size, whyfit_pair *out)
{
    const char *equals = strchr(word, '=');
    const size_t length = equals == NULL ? 0 : (size_t)(equals - word);
    if (equals == NULL || length >= size) {
        return fault(word, message, expected);
    }
    memcpy(room, word, length);
    room[length] = '\0';
    *out = (whyfit_pair){room, equals + 1};
    return true;
}
