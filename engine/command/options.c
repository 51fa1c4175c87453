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
    return fault(word, "there is no such format", "text or json");
}

static bool read_threads(struct options *options, const char *word)
{
    char *end = NULL;
    const unsigned long count = strtoul(word, &end, 10);
    if (*word < '0' || *word > '9' || *end != '\0' || count == 0 || count > 1024) {
        return fault(word, "this is no number of threads", "1 to 1024");
    }
    options->threads = count;
    return true;
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
    if (strcmp(option, "--given") == 0) {
        return add(options->given, &options->given_count, MOST_WORDS, value);
    }
    if (strcmp(option, "--knowledge") == 0) {
        options->knowledge = value;
        return true;
    }
    options->out = value;
    return true;
}

static bool takes_value(const char *word)
{
    static const char *const valued[] = {"--format", "--with",  "--given", "--knowledge",
                                         "--out",    "--allow", "--batch", "--threads"};
    for (size_t i = 0; i < sizeof valued / sizeof *valued; i++) {
        if (strcmp(word, valued[i]) == 0) {
            return true;
        }
    }
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
        } else if (takes_value(word)) {
            if (i + 1 >= argc) {
                return fault(word, "this option needs a word after it", "OPTION WORD");
            }
            if (!read_valued(options, word, argv[++i])) {
                return false;
            }
        } else if (strncmp(word, "--", 2) == 0) {
            return fault(
                word, "there is no such option",
                "--with, --given, --allow, --batch, --threads, --chain, --format, "
                "--out, --knowledge or --help");
        } else if (!add(options->words, &options->word_count, MOST_WORDS, word)) {
            return false;
        }
    }
    return true;
}

bool split_pair(const char *word, char *room, size_t size, whyfit_pair *out)
{
    const char *equals = strchr(word, '=');
    const size_t length = equals == NULL ? 0 : (size_t)(equals - word);
    if (equals == NULL || length >= size) {
        return fault(word, "this is no change",
                     "PLACE=PART or PLACE.FEATURE.FIELD=VALUE");
    }
    memcpy(room, word, length);
    room[length] = '\0';
    *out = (whyfit_pair){room, equals + 1};
    return true;
}
