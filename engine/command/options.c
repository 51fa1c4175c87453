/* SPDX-License-Identifier: MIT */
/* Options: which there are, which command takes them, and where their words are kept. */
#include "command.h"

#include <stddef.h>
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

/* An option; what it keeps lies so many bytes into the options. */
struct option {
    const char *name;
    const char *of; /* the commands that take it, between blanks; NULL: all */
    size_t at;      /* a bool, a word, a list of words, or an unsigned number */
    bool (*read)(struct options *options, const struct option *option,
                 const char *word); /* NULL: no word follows, it is set */
    const char *expected;           /* a number: in words */
    unsigned least;
    unsigned greatest;
    size_t count_at; /* a list: how many there are */
    size_t room;     /* and how many there may be */
};

static void *kept(struct options *options, size_t at)
{
    return (char *)options + at;
}

static bool keep_word(struct options *options, const struct option *option,
                      const char *word)
{
    *(const char **)kept(options, option->at) = word;
    return true;
}

static bool add_word(struct options *options, const struct option *option,
                     const char *word)
{
    return add(kept(options, option->at), kept(options, option->count_at), option->room,
               word);
}

static bool keep_number(struct options *options, const struct option *option,
                        const char *word)
{
    char *end = NULL;
    const unsigned long number = strtoul(word, &end, 10);
    if (*word < '0' || *word > '9' || *end != '\0' || number < option->least ||
        number > option->greatest) {
        return fault(word, "this is no such number", option->expected);
    }
    *(unsigned *)kept(options, option->at) = (unsigned)number;
    return true;
}

static bool keep_format(struct options *options, const struct option *option,
                        const char *word)
{
    static const struct {
        const char *word;
        whyfit_format format;
    } formats[] = {{"text", WHYFIT_TEXT},
                   {"json", WHYFIT_JSON},
                   {"html", WHYFIT_HTML},
                   {"svg", WHYFIT_SVG}};
    (void)option;
    for (size_t i = 0; i < sizeof formats / sizeof *formats; i++) {
        if (strcmp(word, formats[i].word) == 0) {
            options->format = formats[i].format;
            return true;
        }
    }
    return fault(word, "there is no such format", "text, json, html or svg");
}

static bool keep_picture(struct options *options, const struct option *option,
                         const char *word)
{
    options->format = WHYFIT_SVG;
    return keep_word(options, option, word);
}

static bool keep_allowed(struct options *options, const struct option *option,
                         const char *word)
{
    (void)option;
    options->allows_machining = strcmp(word, "machine") == 0;
    return options->allows_machining ||
           fault(word, "nothing of this name can be allowed", "machine");
}

#define ABOUT_UNITS       " swap upgrade leaks why why-not compare measure sheet "
#define AT(member)        .at = offsetof(struct options, member)
#define KEPT(member, how) AT(member), .read = how
#define WORD(member)      KEPT(member, keep_word)
#define NUMBER(member, low, high, words)                                                 \
    KEPT(member, keep_number), .least = low, .greatest = high, .expected = words
#define LIST(member, counter)                                                            \
    KEPT(member, add_word),                                                              \
        .count_at = offsetof(struct options, counter),                                   \
        .room = sizeof((struct options *)0)->member / sizeof(const char *)

static const struct option all[] = {
    {"--help", NULL, AT(wants_help)},
    {"--with", NULL, LIST(folders, folder_count)},
    {"--without", NULL, LIST(without, without_count)},
    {"--knowledge", NULL, WORD(knowledge)},
    {"--prepared", NULL, WORD(prepared)},
    {"--format", NULL, KEPT(format, keep_format)},
    {"--out", NULL, WORD(out)},
    {"--chain", ABOUT_UNITS "identify listing ", AT(with_chain)},
    {"--effort", ABOUT_UNITS "identify listing ", AT(with_effort)},
    {"--given", ABOUT_UNITS, LIST(given, given_count)},
    {"--readings", ABOUT_UNITS, WORD(readings)},
    {"--allow", ABOUT_UNITS, KEPT(allows_machining, keep_allowed)},
    {"--picture", ABOUT_UNITS "show ", KEPT(picture, keep_picture)},
    {"--batch", " swap leaks identify ", WORD(batch)},
    {"--sweep", " swap ", WORD(sweep)},
    {"--of", " why why-not ", WORD(of)},
    {"--depth", " why why-not ",
     NUMBER(depth, 0, WHYFIT_DEEPEST, "0 to 8 levels to go down")},
    {"--most", " why why-not upgrade identify ",
     NUMBER(most, 1, WHYFIT_MOST, "1 to 1000 rows")},
    {"--want", " upgrade ", LIST(want, want_count)},
    {"--toward", " upgrade ", WORD(toward)},
    {"--have", " upgrade ", LIST(have, have_count)},
    {"--tries", " upgrade ",
     NUMBER(tries, 1, WHYFIT_MOST_TRIES, "1 to 1000000 swaps to try")},
    {"--changes", " upgrade ", NUMBER(largest, 1, 64, "1 to 64 changes in one set")},
    {"--gauges", " measure identify ", WORD(gauges)},
    {"--read", " measure ", LIST(read, read_count)},
    {"--kind", " measure ", WORD(kind)},
    {"--seen", " identify ", LIST(seen, seen_count)},
    {"--hint", " identify ", LIST(hints, hint_count)},
    {"--rows", " listing ", WORD(rows)},
    {"--columns", " listing ", WORD(columns)},
    {"--id", " listing ", WORD(id)},
    {"--rejected", " listing ", WORD(rejected)},
    {"--csv", " listing ", AT(writes_csv)},
    {"--resume", " listing ", AT(resumes)},
    {"--forget", " listing ", AT(forgets)},
    {"--first", " trial ", AT(stops_at_first)},
    {"--threads", " swap leaks identify upgrade listing serve ",
     NUMBER(threads, 1, 1024, "1 to 1024 threads")},
    {"--listen", " serve ", WORD(listen)},
    {"--name", " serve ", LIST(names, name_count)},
    {"--seconds", " serve ",
     NUMBER(seconds, 1, 3600, "1 to 3600 seconds for a question")}};
enum {
    ALL_COUNT = sizeof all / sizeof *all
};

static bool is_taken_by(const struct option *option, const char *command)
{
    char blanked[32];
    (void)snprintf(blanked, sizeof blanked, " %s ", command);
    return option->of == NULL || strstr(option->of, blanked) != NULL;
}

void say_nearest(const char *misspelt, const char *const *words, size_t count)
{
    const char *near = whyfit_nearest(misspelt, words, count);
    if (near != NULL) {
        fprintf(stderr, "  did you mean \"%s\"?\n", near);
    }
}

static bool no_option(const char *word, const char *command)
{
    const char *taken[ALL_COUNT];
    size_t count = 0;
    for (size_t i = 0; i < ALL_COUNT; i++) {
        if (is_taken_by(&all[i], command)) {
            taken[count++] = all[i].name;
        }
    }
    fprintf(stderr, "error: %s: there is no such option\n  expected: ", word);
    for (size_t i = 0; i < count; i++) {
        fprintf(stderr, "%s%s", i == 0 ? "" : i + 1 == count ? " or " : ", ", taken[i]);
    }
    fputs("\n", stderr);
    say_nearest(word, taken, count);
    return false;
}

/* "swap, leaks or identify", of " swap leaks identify ". */
static void print_commands(const char *of)
{
    for (const char *at = of + 1; *at != '\0';) {
        const size_t length = strcspn(at, " ");
        const bool is_last = at[length + 1] == '\0';
        const bool is_first = at == of + 1;
        fprintf(stderr, "%s%.*s",
                is_first  ? ""
                : is_last ? " or "
                          : ", ",
                (int)length, at);
        at += length + 1;
    }
}

static bool alien_option(const struct option *option, const char *command)
{
    fprintf(stderr, "error: %s: %s does not take this option\n  expected: it with ",
            option->name, command);
    print_commands(option->of);
    fputs("\n", stderr);
    return false;
}

static const struct option *find_option(const char *name)
{
    for (size_t i = 0; i < ALL_COUNT; i++) {
        if (strcmp(all[i].name, name) == 0) {
            return &all[i];
        }
    }
    return NULL;
}

bool options_read(struct options *options, const char *command, int argc, char **argv)
{
    for (int i = 0; i < argc; i++) {
        const struct option *option = find_option(argv[i]);
        if (option == NULL && strncmp(argv[i], "--", 2) == 0) {
            return no_option(argv[i], command);
        }
        if (option == NULL) {
            if (!add(options->words, &options->word_count, MOST_WORDS, argv[i])) {
                return false;
            }
        } else if (!is_taken_by(option, command)) {
            return alien_option(option, command);
        } else if (option->read == NULL) {
            *(bool *)kept(options, option->at) = true;
        } else if (i + 1 == argc) {
            return fault(argv[i], "this option needs a word after it", "OPTION WORD");
        } else if (!option->read(options, option, argv[++i])) {
            return false;
        }
    }
    return true;
}

bool split_pair(const char *word, char *room, size_t size, whyfit_pair *out)
{
    return split_pair_of(word, "this is no change",
                         "PLACE=PART or PLACE.FEATURE.FIELD=VALUE (a name of "
                         "several words goes in quotes)",
                         room, size, out);
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
