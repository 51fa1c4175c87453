/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_COMMAND_H
#define WHYFIT_COMMAND_H

#include "whyfit.h"

/* Exit status, the same for every command that gives a verdict. */
enum exit_status {
    EXIT_FITS = 0, /* or: answered */
    EXIT_DOES_NOT_FIT = 1,
    EXIT_FAULT = 2, /* the question or the knowledge is at fault */
    EXIT_NOT_KNOWN = 3,
    EXIT_WORK = 4,
    EXIT_MACHINE = 5 /* memory, disk, a limit, interrupted */
};

enum {
    MOST_FOLDERS = 32,
    MOST_WORDS = 128,
    MOST_THREADS = 64,
    NAME_ROOM = 256
};

/* The words of a call, sorted out. Pointers are into argv. */
struct options {
    const char *knowledge; /* replaces the shipped folder of rules/ and facts/ */
    const char *folders[MOST_FOLDERS];
    size_t folder_count;
    const char *without[MOST_FOLDERS]; /* --without: rules left out */
    size_t without_count;
    const char *words[MOST_WORDS];
    size_t word_count;
    const char *given[MOST_WORDS];
    size_t given_count;
    const char *readings;         /* --readings: a file */
    const char *read[MOST_WORDS]; /* --read: readings to keep in it */
    size_t read_count;
    const char *batch; /* a file of questions, or - */
    unsigned threads;  /* 0: as many as there are cores */
    const char *out;
    const char *kind;     /* --kind: of parts */
    const char *prepared; /* a base to start from */
    whyfit_format format;
    const char *picture;          /* --picture: which; NULL: the first */
    const char *of;               /* --of: a row */
    const char *gauges;           /* --gauges */
    const char *seen[MOST_WORDS]; /* --seen */
    size_t seen_count;
    const char *hints[MOST_WORDS]; /* --hint */
    size_t hint_count;
    unsigned most;      /* --most: 0 when it was not said */
    unsigned depth;     /* --depth */
    const char *sweep;  /* --sweep: NAME=RANGE */
    const char *toward; /* --toward: a unit */
    const char *want[MOST_WORDS];
    size_t want_count;
    const char *have[MOST_WORDS];
    size_t have_count;
    unsigned tries;     /* --tries: 0 when it was not said */
    unsigned largest;   /* --changes */
    const char *listen; /* serve: --listen */
    const char *names[MOST_FOLDERS];
    size_t name_count;
    unsigned seconds;  /* --seconds: 0 when it was not said */
    bool answers_many; /* the knowledge is asked more than once, from several threads */
    /* listing */
    const char *rows;     /* --rows */
    const char *columns;  /* --columns */
    const char *id;       /* --id */
    const char *rejected; /* --rejected */
    bool writes_csv;      /* --csv */
    bool resumes;         /* --resume */
    bool forgets;         /* --forget */
    bool with_chain;
    bool with_effort;
    bool allows_machining; /* --allow machine */
    bool stops_at_first;   /* --first */
    bool wants_help;
};

struct command {
    const char *name;
    const char *usage;
    const char *says;
    const char *help;
    bool has_pictures; /* --format svg */
    int (*run)(const struct options *options);
    bool has_report; /* its answers can be had as HTML */
};

extern const struct command command_swap;
extern const struct command command_leaks;
extern const struct command command_compare;
extern const struct command command_identify;
extern const struct command command_measure;
extern const struct command command_sheet;
extern const struct command command_upgrade;
extern const struct command command_listing;
extern const struct command command_why;
extern const struct command command_why_not;
extern const struct command command_serve;
extern const struct command command_lint;
extern const struct command command_trial;
extern const struct command command_reckon;
extern const struct command command_fit;
extern const struct command command_show;
extern const struct command command_prepare;

/* Says on standard error which of the words a misspelt one is nearest to, if any. */
void say_nearest(const char *misspelt, const char *const *words, size_t count);

/* Reads the words after the command; one that the command does not take is a fault.
 * false: a fault, said on standard error. */
bool options_read(struct options *options, const char *command, int argc, char **argv);
/* Splits NAME=VALUE in place; false (said) when there is no =. The name's = becomes its
 * end. */
bool split_pair(const char *word, char *room, size_t size, whyfit_pair *out);
/* The same where it is no change that was expected. */
bool split_pair_of(const char *word, const char *message, const char *expected,
                   char *room, size_t size, whyfit_pair *out);

/* The question that the words, --given and --readings ask; its texts are kept in `room`,
 * which question_close releases. A reading gives way to a given value of its name. false:
 * said. */
struct question_room {
    char change_names[MOST_WORDS][NAME_ROOM];
    char given_names[MOST_WORDS][NAME_ROOM];
    char read_names[MOST_WORDS][NAME_ROOM];
    char want_names[MOST_WORDS][NAME_ROOM];
    whyfit_pair changes[MOST_WORDS];
    whyfit_pair given[3 * MOST_WORDS];
    whyfit_pair want[MOST_WORDS];
    char sweep_name[NAME_ROOM];
    whyfit_pair sweep;
    whyfit_readings *readings;
};
bool question_read(const struct options *options, const char *command,
                   struct question_room *room, whyfit_question *question);
void question_close(struct question_room *room);
/* The exit status of a verdict. */
int exit_of_verdict(const whyfit_answer *answer);
/* Answers one question; `exit_of_answer` tells the exit status. */
int ask_question(const struct options *options, const whyfit_question *question,
                 int (*exit_of_answer)(const whyfit_answer *answer));
/* Writes an answer where the options want it. */
int write_answer(const struct options *options, const whyfit_answer *answer,
                 int (*exit_of_answer)(const whyfit_answer *answer));
int ask_question_so(const struct options *options, const whyfit_question *question,
                    const whyfit_ask_options *how,
                    int (*exit_of_answer)(const whyfit_answer *answer));

/* --threads, or as many as there are cores. */
size_t threads_wanted(const struct options *options);
/* Runs task(of, worker, i) for every i below count on so many threads, numbered from 0,
 * and waits for all. */
void threads_spread(size_t threads, size_t count,
                    void (*task)(void *of, size_t worker, size_t i), void *of);

/* The folder that holds rules/ and facts/: --knowledge, then WHYFIT_KNOWLEDGE, then where
 * the program was built or installed to look. */
const char *knowledge_folder(const struct options *options);
/* rules/ and facts/ of the knowledge folder, then the folders of --with; false: said. */
struct source_room {
    char rules[4096];
    char facts[4096];
    whyfit_source sources[MOST_FOLDERS + 2];
    size_t count;
};
bool name_sources(const struct options *options, struct source_room *room);

/* The knowledge of those, or of --prepared; NULL: said. */
whyfit_knowledge *load_knowledge(const struct options *options, int *exit_status);
/* command_prepare.c: the same from --prepared. */
whyfit_knowledge *load_prepared(const struct options *options, int *exit_status);

/* Writes problems to standard error (JSON: to standard output) and releases them. */
void say_problems(whyfit_problems *problems, whyfit_format format);
/* The exit status of a failure, said where it has no problems. */
int exit_of(whyfit_status status);

/* A sink that keeps what it is given; `at` is to be freed. */
struct bytes {
    char *at;
    size_t length;
    size_t room;
};
bool bytes_append(void *bytes, const char *from, size_t length);

/* swap --batch FILE; the exit status. */
int run_batch(const struct options *options);

/* Where output goes: standard output, or --out, written beside and renamed when it is
 * whole. */
struct output {
    void *file;
    const char *path;
    char *beside;
};
/* `path` NULL: standard output. */
bool output_open(struct output *output, const char *path);
bool output_take(void *output, const char *bytes, size_t length);
/* false: said. */
bool output_close(struct output *output, bool is_whole);
bool output_in_colour(const struct output *output);
unsigned output_width(const struct output *output);

#endif
