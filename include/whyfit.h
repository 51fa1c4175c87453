/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_H
#define WHYFIT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/*
 * whyfit: will this part go into that machine, and why? Facts about parts and units and
 * rules about fits are loaded once into an immutable knowledge that threads share; each
 * thread asks through an asker of its own and gets answers with a verdict, reasons and
 * numbers.
 *
 * The library prints nothing, never exits, reads no clock and no environment, and keeps
 * no global state. It reads only the files and folders it is given. In every option
 * struct `size` comes first and is set by its initialiser; fields left 0 take their
 * defaults.
 *
 * What sellers claim is in whyfit_listing.h.
 *
 * What is *borrowed* lives as long as the object it came from; what is *owned* is
 * released with the function named.
 */

#if defined(__GNUC__)
#define WHYFIT_API __attribute__((visibility("default")))
#else
#define WHYFIT_API
#endif

#ifdef __cplusplus
extern "C" {
#endif

typedef enum whyfit_status {
    WHYFIT_OK = 0,
    WHYFIT_INVALID = 1, /* facts, rules or the question are at fault: see the problems */
    WHYFIT_NOT_FOUND = 2, /* nothing of that name */
    WHYFIT_LIMIT = 3,     /* a bound on rows, memory or steps was reached */
    WHYFIT_IO = 4,        /* a file could not be read */
    WHYFIT_NO_MEMORY = 5,
    WHYFIT_STOPPED = 6 /* go_on said no */
} whyfit_status;

typedef enum whyfit_verdict {
    WHYFIT_FITS = 0,
    WHYFIT_FITS_WITH_WORK = 1,
    WHYFIT_DOES_NOT_FIT = 2,
    WHYFIT_NOT_KNOWN = 3
} whyfit_verdict;

typedef enum whyfit_outcome {
    WHYFIT_HOLDS = 0,
    WHYFIT_FAILS = 1,
    WHYFIT_UNSURE = 2,
    WHYFIT_UNKNOWN = 3
} whyfit_outcome;

typedef enum whyfit_format {
    WHYFIT_TEXT = 0,
    WHYFIT_JSON = 1,
    WHYFIT_SVG = 2, /* a picture, of answers that have one (whyfit_answer_picture), and of
                       parts and units (whyfit_show) */
    WHYFIT_HTML = 3,     /* answers, and whyfit_show */
    WHYFIT_PART_FILE = 4 /* a part file to fill in, of `measure` of a kind alone */
} whyfit_format;

typedef struct whyfit_knowledge whyfit_knowledge;
typedef struct whyfit_asker whyfit_asker;
typedef struct whyfit_answer whyfit_answer;
typedef struct whyfit_problems whyfit_problems;

/* ---- memory */

/* Gives a block of new_size bytes in place of `old` (NULL at first); frees and gives NULL
 * when new_size is 0; gives NULL when it cannot. */
typedef struct whyfit_allocator {
    void *(*resize)(void *context, void *old, size_t old_size, size_t new_size);
    void *context;
} whyfit_allocator;

/* ---- loading */

/* A file, a folder (every .yaml and .csv below it), or, with content, a text under a name
 * to show. A name that ends in .csv holds rows of the relation it is called like. */
typedef struct whyfit_source {
    const char *name;
    const char *content; /* NULL: read from `name` */
    size_t content_length;
} whyfit_source;

typedef struct whyfit_load_options {
    size_t size;
    const whyfit_allocator *allocator; /* NULL: the C library's; kept */
    size_t memory_limit;               /* bytes the knowledge may take; 0: none */
    /* Of the rules that run once, over the catalogue: */
    uint64_t row_limit;           /* rows they may add; 0: two million */
    uint64_t step_limit;          /* steps they may take; 0: none */
    bool (*go_on)(void *context); /* asked now and then; false stops them. May be NULL. */
    void *context;
    const char *const *without; /* names of rules that are left out, to see what depends
                                   on them */
    size_t without_count;
} whyfit_load_options;
#define WHYFIT_LOAD_OPTIONS                                                              \
    {                                                                                    \
        sizeof(whyfit_load_options), NULL, 0, 0, 0, NULL, NULL, NULL, 0                  \
    }

/* Loads all sources. On WHYFIT_OK *knowledge is owned (whyfit_knowledge_free) and
 * *problems NULL. On any failure *knowledge is NULL and *problems, when there is anything
 * to say, is owned (whyfit_problems_free). options may be NULL. */
WHYFIT_API whyfit_status whyfit_load(const whyfit_source *sources, size_t source_count,
                                     const whyfit_load_options *options,
                                     whyfit_knowledge **knowledge,
                                     whyfit_problems **problems);
WHYFIT_API void whyfit_knowledge_free(whyfit_knowledge *knowledge);

/* ---- prepared bases */

/* Loads files and folders and writes the knowledge, with all that follows from it, to
 * `file`, to be loaded again without reading text. Written beside and renamed; a file of
 * that name that is no prepared base is left alone. WHYFIT_INVALID, with problems: the
 * sources are at fault, or the file cannot be written. One at a time in a process, beside
 * no prepared knowledge that is loaded. options may be NULL. */
WHYFIT_API whyfit_status whyfit_prepare(const whyfit_source *sources, size_t source_count,
                                        const char *file,
                                        const whyfit_load_options *options,
                                        whyfit_problems **problems);

typedef struct whyfit_prepared_options {
    size_t size;
    const whyfit_allocator *allocator; /* NULL: the C library's; kept */
    size_t memory_limit; /* bytes that text may take, when it is read; 0: none */
    /* What the knowledge is of. None: whatever the file was prepared from. */
    const whyfit_source *sources;
    size_t source_count;
    /* Leave what lies in the file there until it is touched, where the kernel can do
     * that. Touching it is then a SIGBUS, whose handler calls whyfit_prepared_bring; only
     * for a program that owns its signals. A system call that reads it fails instead
     * (EFAULT). */
    bool on_touch;
} whyfit_prepared_options;
#define WHYFIT_PREPARED_OPTIONS                                                          \
    {                                                                                    \
        sizeof(whyfit_prepared_options), NULL, 0, NULL, 0, false                         \
    }

/* Loads what whyfit_prepare wrote. A file that is not as it was written, that another
 * program or build wrote, that is of other sources, or any of whose sources has changed,
 * gone or been added is never used: *problems says why, and the sources are read as text
 * (when the file cannot say which, and options do not, that is WHYFIT_INVALID). So on
 * WHYFIT_OK *knowledge is owned, and *problems too where it is not NULL. options may be
 * NULL. */
WHYFIT_API whyfit_status whyfit_load_prepared(const char *file,
                                              const whyfit_prepared_options *options,
                                              whyfit_knowledge **knowledge,
                                              whyfit_problems **problems);

typedef enum whyfit_brought {
    WHYFIT_BROUGHT,       /* it is there now, and is what was written */
    WHYFIT_NOT_BROUGHT,   /* it is nothing of a prepared base */
    WHYFIT_BROUGHT_DAMAGE /* it is damaged, or can no longer be read: nothing may go on */
} whyfit_brought;

/* Brings what was touched (on_touch). May be called in the handler of a SIGBUS whose code
 * is BUS_ADRERR, on any thread. */
WHYFIT_API whyfit_brought whyfit_prepared_bring(const whyfit_knowledge *knowledge,
                                                const void *address);

/* ---- asking */

typedef struct whyfit_ask_options {
    size_t size;
    /* Of one swap with the mends it tries, and of each that `upgrade` or a sweep tries;
     * past one of them it is WHYFIT_LIMIT, and a problem names the rule that grew. */
    uint64_t row_limit;  /* rows it may add; 0: two million */
    uint64_t step_limit; /* steps it may take (whyfit_effort); 0: two hundred million */
    size_t memory_limit; /* bytes one answer may take; 0: none */
    bool (*go_on)(
        void *context); /* asked now and then; false stops the work. May be NULL. */
    void *context;      /* of all three */
    /* A question that tries many swaps hands them out here: runs task(of, i) for every i
     * below count, on as many threads as it likes, and comes back when all are done. The
     * answer is the same to the byte. go_on and the allocator are then called from those
     * threads too. NULL: one after the other. */
    void (*spread)(void *context, size_t count, void (*task)(void *of, size_t i),
                   void *of);
    /* Told now and then how many swaps were tried, and how many wait. May be NULL. */
    void (*progress)(void *context, uint64_t tried, uint64_t waiting);
} whyfit_ask_options;
#define WHYFIT_ASK_OPTIONS                                                               \
    {                                                                                    \
        sizeof(whyfit_ask_options), 0, 0, 0, NULL, NULL, NULL, NULL                      \
    }

/* One asker a thread; the knowledge is kept and must outlive it. Owned:
 * whyfit_asker_free. */
WHYFIT_API whyfit_status whyfit_asker_open(const whyfit_knowledge *knowledge,
                                           const whyfit_ask_options *options,
                                           whyfit_asker **asker);
WHYFIT_API void whyfit_asker_free(whyfit_asker *asker);

typedef struct whyfit_pair {
    const char *name;  /* PLACE, PLACE+PLACE; PLACE.FEATURE.FIELD, or
                          PART.FEATURE.FIELD: of every piece of that number, where its
                          place has no value of its own */
    const char *value; /* a part or unit, none, turned, another; or a dimension */
} whyfit_pair;

typedef struct whyfit_question {
    size_t size;
    /* "swap" (NULL too): does it go in? "leaks": where can oil go? "why": why is a row
     * there? "why-not": why is it not? "upgrade": what must change together? "measure":
     * what has to be measured to know (of a kind as `unit`: of any such part)? "sheet":
     * how is it put together? "identify": what is this on the bench? "compare": what
     * differs between `unit` and `toward`, two parts or two units? */
    const char *command;
    const char *unit; /* NULL: none, of `identify` */
    const whyfit_pair *changes;
    size_t change_count;
    const whyfit_pair *given;
    size_t given_count;
    bool allows_machining; /* mends that cut metal may be chosen */
    const char *of; /* why, why-not: "RELATION: column=name, column=name"; not all columns
                       need be given. identify: a kind of part or unit, `units`, a part, a
                       unit or a maker's number */
    uint32_t most;  /* why: rows explained (0: ten), upgrade: sets shown (0: three),
                       identify: candidates shown (0: twenty); up to WHYFIT_MOST */
    uint32_t depth; /* why-not: levels to go down where what is missing would itself be
                       concluded, up to WHYFIT_DEEPEST */
    /* upgrade: toward another unit (NULL: none), or what is wanted; compare: the second
     */
    const char *toward;
    const whyfit_pair *want;
    size_t want_count;
    const char *const *have; /* parts that cost nothing more: the user has them */
    size_t have_count;
    uint32_t tries;   /* swaps tried, up to WHYFIT_MOST_TRIES; 0: 2000 */
    uint32_t largest; /* changes in one set at most; 0: as many as there are places */
    /* swap: PLACE.FEATURE.FIELD and a range "A..B" or "A..B/STEPS": how verdict and
     * margins change over it; NULL: none */
    const whyfit_pair *sweep;
    const char *gauges; /* measure, identify: those at hand ("caliper, micrometer"); NULL:
                           all */
    /* identify: what was seen and measured, FEATURE and yes or no, FEATURE.FIELD and a
     * value, or ? for what cannot be told; and hints (year, model, serial, number), which
     * rank and never exclude */
    const whyfit_pair *seen;
    size_t seen_count;
    const whyfit_pair *hints;
    size_t hint_count;
} whyfit_question;
#define WHYFIT_QUESTION                                                                  \
    {                                                                                    \
        sizeof(whyfit_question), NULL, NULL, NULL, 0, NULL, 0, false, NULL, 0, 1, NULL,  \
            NULL, 0, NULL, 0, 0, 0, NULL, NULL, NULL, 0, NULL, 0                         \
    }
#define WHYFIT_MOST       1000
#define WHYFIT_DEEPEST    8
#define WHYFIT_MOST_TRIES 1000000

/* Readings that are kept in a file of YAML, {readings: {PLACE.FEATURE.FIELD: VALUE}}, to
 * be asked with again. On WHYFIT_OK *readings is owned (whyfit_readings_free); WHYFIT_IO
 * when there is no such file; else *problems, when there is anything to say, is owned. */
typedef struct whyfit_readings whyfit_readings;
WHYFIT_API whyfit_status whyfit_readings_load(const char *path,
                                              whyfit_readings **readings,
                                              whyfit_problems **problems);
/* Borrowed, sorted by name; none of NULL. */
WHYFIT_API const whyfit_pair *whyfit_readings_pairs(const whyfit_readings *readings,
                                                    size_t *count);
WHYFIT_API void whyfit_readings_free(whyfit_readings *readings);

/* Does the swap go in? On WHYFIT_OK *answer is owned (whyfit_answer_free) and *problems
 * NULL; else *answer is NULL and *problems, when there is anything to say, is owned. */
WHYFIT_API whyfit_status whyfit_ask(whyfit_asker *asker, const whyfit_question *question,
                                    whyfit_answer **answer, whyfit_problems **problems);

/* The same from JSON as answers echo it: {"command": …, "unit": …, "changes": {…},
 * "given": {…}, "allow": ["machine"], "of": …, "most": …, "depth": …, "toward": …,
 * "want": {…}, "have": [PART…], "tries": …, "largest": …, "sweep": {NAME: RANGE},
 * "gauges": …, "seen": {…}, "hints": {…}}; "unit" is not needed for `identify`. */
WHYFIT_API whyfit_status whyfit_ask_json(whyfit_asker *asker, const char *json,
                                         size_t length, whyfit_answer **answer,
                                         whyfit_problems **problems);
WHYFIT_API void whyfit_answer_free(whyfit_answer *answer);

/* ---- answers; everything given is borrowed from the answer */

/* WHYFIT_NOT_KNOWN for `why` and `why-not`, which give no verdict. Of `upgrade`:
 * WHYFIT_FITS where a change set works, WHYFIT_NOT_KNOWN where only such are found of
 * which that is not known, else WHYFIT_DOES_NOT_FIT. */
WHYFIT_API whyfit_verdict whyfit_answer_verdict(const whyfit_answer *answer);
WHYFIT_API const char *whyfit_verdict_word(whyfit_verdict verdict);
/* The reasons that decided, one line each; NULL past the last. */
WHYFIT_API const char *whyfit_answer_because(const whyfit_answer *answer, size_t i);

typedef struct whyfit_finding {
    uint32_t id;
    const char *rule;
    whyfit_outcome outcome;
    bool stops;     /* else it cautions */
    bool counts;    /* the swap can have changed it */
    double nominal; /* of the margin, in `unit`; NAN where there is none */
    double least;
    double greatest;
    double spread;    /* one standard deviation */
    const char *unit; /* "mm" */
    const char *sentence;
    const char *source;
} whyfit_finding;

WHYFIT_API size_t whyfit_answer_finding_count(const whyfit_answer *answer);
/* false past the last. */
WHYFIT_API bool whyfit_answer_finding(const whyfit_answer *answer, size_t i,
                                      whyfit_finding *finding);
/* The value a finding's subject has for a variable of its rule ("seal"); NULL when it has
 * none. */
WHYFIT_API const char *whyfit_answer_subject(const whyfit_answer *answer, size_t i,
                                             const char *variable);
/* Whether liquid gets out of the swapped unit, or not to where it is needed. */
typedef enum whyfit_leaks {
    WHYFIT_NO_LEAK,
    WHYFIT_LEAKS,
    WHYFIT_LEAKS_NOT_KNOWN,
    WHYFIT_LEAKS_AMISS /* nothing gets out, but something runs dry, or does not stand what
                          touches it */
} whyfit_leaks;
WHYFIT_API whyfit_leaks whyfit_answer_leaks(const whyfit_answer *answer);
/* What a question took, with all the swaps it tried. It hangs on the unit, the parts in
 * it and the rules, and not on how much else is known (of `upgrade` also on the parts
 * that could be put in). An asker plans its joins for the first question it gets. */
typedef struct whyfit_effort {
    uint64_t rows_read;
    uint64_t rows_added;
    uint64_t steps; /* rows tried as premises of rules, denied, or counted */
} whyfit_effort;
WHYFIT_API whyfit_effort whyfit_answer_effort(const whyfit_answer *answer);
/* How many rows match what `why` or `why-not` was asked of; 0 for other questions. */
WHYFIT_API size_t whyfit_answer_row_count(const whyfit_answer *answer);
/* `measure`: the dimensions to measure, what decides soonest first; NULL past the last.
 */
WHYFIT_API const char *whyfit_answer_measurement(const whyfit_answer *answer, size_t i);
/* What has to be done; NULL past the last. */
WHYFIT_API const char *whyfit_answer_work(const whyfit_answer *answer, size_t i);
/* What the swap takes out and leaves over, and places it leaves empty; NULL past the
 * last. */
WHYFIT_API const char *whyfit_answer_left_over(const whyfit_answer *answer, size_t i);
WHYFIT_API const char *whyfit_answer_left_empty(const whyfit_answer *answer, size_t i);
/* What was assumed; NULL past the last. */
WHYFIT_API const char *whyfit_answer_assumed(const whyfit_answer *answer, size_t i);
/* A dimension that is missing; NULL past the last. */
WHYFIT_API const char *whyfit_answer_missing(const whyfit_answer *answer, size_t i);

/* ---- the change sets of `upgrade`, by search: one for each place in which the other
 * unit differs, or one for all that is wanted */

typedef struct whyfit_change_set {
    size_t search;
    bool is_known; /* it works; else nobody knows whether it does */
    whyfit_verdict verdict;
    size_t change_count;
    size_t pieces;        /* that have to be got */
    double price;         /* NAN: some of them have no price */
    const char *currency; /* "EUR"; "" where there is no price */
    double labour;        /* hours, as far as they are stated */
} whyfit_change_set;

/* Sets that work before those that are not known, search by search; false past the last.
 */
WHYFIT_API bool whyfit_answer_change_set(const whyfit_answer *answer, size_t i,
                                         whyfit_change_set *set);
/* The changes of a set, by place; false past the last. */
WHYFIT_API bool whyfit_answer_change(const whyfit_answer *answer, size_t set, size_t i,
                                     whyfit_pair *change);
/* Swaps that were tried, and whether a bound kept some sets from being looked at. */
WHYFIT_API uint64_t whyfit_answer_tried(const whyfit_answer *answer, bool *is_cut);

/* ---- what `identify` found */

typedef struct whyfit_candidate {
    const char *name;
    const char *title;
    const char *kind;
    bool is_unit;
    int hinted; /* 1: a hint names it, -1: one speaks against it, 0: none says anything */
    const char *because; /* why it fell out; "" where it is left */
} whyfit_candidate;

/* How many candidates are left, and how many fell out. */
WHYFIT_API size_t whyfit_answer_left_count(const whyfit_answer *answer);
WHYFIT_API size_t whyfit_answer_fallen_count(const whyfit_answer *answer);
/* Those that are left, by hints and then name; those that fell out, what is nearest to
 * what was seen first. false past the last that is shown (whyfit_question.most). */
WHYFIT_API bool whyfit_answer_left(const whyfit_answer *answer, size_t i,
                                   whyfit_candidate *candidate);
WHYFIT_API bool whyfit_answer_fallen(const whyfit_answer *answer, size_t i,
                                     whyfit_candidate *candidate);

typedef struct whyfit_look {
    const char *name;   /* what the next question's `seen` names it */
    const char *asks;   /* in words: "run hub-spline, teeth: how many?" */
    const char *like;   /* of a feature: what it looks like; may be "" */
    const char *kind;   /* "presence", "kind", "word", "count" or "quantity" */
    const char *way;    /* "By eye" */
    double minutes;     /* about; NAN: nobody says */
    bool needs_opening; /* the unit has to be opened */
    double bits;        /* that it brings, on the mean */
    size_t most_left;   /* candidates, whatever is seen */
} whyfit_look;

/* The looks that split the candidates left best for their effort, best first; false past
 * the last. */
WHYFIT_API bool whyfit_answer_look(const whyfit_answer *answer, size_t i,
                                   whyfit_look *look);
/* The answers that candidates would give to it: a value to name in `seen` ("none" and
 * "no" of a feature that is not there), and how many candidates it leaves. false past the
 * last. */
WHYFIT_API bool whyfit_answer_look_value(const whyfit_answer *answer, size_t look,
                                         size_t i, const char **value, size_t *left);

/* ---- what `compare` set side by side */

typedef struct whyfit_compared {
    const char *first; /* the two themselves, or what they hold in `place`; "": nothing */
    const char *second;
    const char *place; /* of two units; "" of the two themselves */
    bool differs;      /* another part, or moved, or turned; of the two themselves true
                          where anything differs that both record */
    bool are_units;
} whyfit_compared;

/* The two themselves, then of units every place, those that differ first. false past the
 * last. */
WHYFIT_API bool whyfit_answer_compared(const whyfit_answer *answer, size_t i,
                                       whyfit_compared *compared);

typedef struct whyfit_seat {
    const char *unit; /* in which one of two compared parts sits */
    const char *place;
    const char *put; /* the other, which was tried there */
    whyfit_verdict verdict;
} whyfit_seat;

/* false past the last. */
WHYFIT_API bool whyfit_answer_seat(const whyfit_answer *answer, size_t i,
                                   whyfit_seat *seat);

/* ---- writing */

/* Takes a stretch of output; false stops the writing. */
typedef bool whyfit_sink(void *context, const char *bytes, size_t length);

typedef struct whyfit_write_options {
    size_t size;
    whyfit_format format;
    bool with_chain;  /* text: the steps from facts to verdict too */
    bool in_colour;   /* text: escape sequences of a terminal */
    unsigned width;   /* text: columns; 0: 80 */
    bool with_effort; /* what the answer took (whyfit_effort) too */
    bool is_part;     /* HTML: what stands in the body alone, for a page of your own that
                         has the style sheet */
    const char *picture; /* SVG: which; NULL: the first that there is */
} whyfit_write_options;
#define WHYFIT_WRITE_OPTIONS                                                             \
    {                                                                                    \
        sizeof(whyfit_write_options), WHYFIT_TEXT, false, false, 0, false, false, NULL   \
    }

/* What can be drawn of an answer: "section", its axial half section to scale, with the
 * host above where something is changed; "full", both sides of its axis; "margins",
 * against zero; "stack:GAP", the loop
 * of dimensions behind a gap; "sweep", first where it is one. NULL past the last. */
WHYFIT_API const char *whyfit_answer_picture(const whyfit_answer *answer, size_t i);

/* WHYFIT_NOT_FOUND: SVG, and there is no such picture of this answer. */
WHYFIT_API whyfit_status whyfit_answer_write(const whyfit_answer *answer,
                                             const whyfit_write_options *options,
                                             whyfit_sink *sink, void *context);

/* Text as HTML has it, for elements and for attributes in double quotes: what would be
 * markup is escaped, what is no valid UTF-8 becomes U+FFFD. */
WHYFIT_API whyfit_status whyfit_html_escape(const char *text, size_t length,
                                            whyfit_sink *sink, void *context);

/* The style sheet that reports in HTML hold. */
WHYFIT_API whyfit_status whyfit_style_write(whyfit_sink *sink, void *context);

/* One line of a batch: the question as JSON, the answer as one line of JSON into `sink`.
 * A question at fault is a line {"question": …, "error": […]}, and *is_fault true; what
 * is given back then is WHYFIT_OK all the same. */
WHYFIT_API whyfit_status whyfit_answer_line(whyfit_asker *asker, const char *line,
                                            size_t length, whyfit_sink *sink,
                                            void *context, bool *is_fault);

/* Pairs as a file of readings, sorted by name; of several of one name the last. */
WHYFIT_API whyfit_status whyfit_readings_write(const whyfit_pair *pairs, size_t count,
                                               whyfit_sink *sink, void *context);

/* Any formula: reckons `expression` and writes the result (text: a line; JSON: nominal,
 * least, greatest, spread, unit). A decimal comma is understood. */
WHYFIT_API whyfit_status whyfit_reckon(const whyfit_knowledge *knowledge,
                                       const char *expression, whyfit_format format,
                                       whyfit_sink *sink, void *context,
                                       whyfit_problems **problems);
/* The limits of "40 H7/k6" or "40 k6", and clearance or interference. */
WHYFIT_API whyfit_status whyfit_fit(const whyfit_knowledge *knowledge, const char *fit,
                                    whyfit_format format, whyfit_sink *sink,
                                    void *context, whyfit_problems **problems);
/* What a word names: a part, unit, kind, rule, relation or function, or a maker's number;
 * `kinds`, `units`, `rules`, `functions` and `gauges` list those. WHYFIT_SVG draws a part
 * by itself, with its dimensions, or a unit; WHYFIT_HTML is a page with that picture of a
 * part. */
WHYFIT_API whyfit_status whyfit_show(const whyfit_knowledge *knowledge, const char *word,
                                     whyfit_format format, whyfit_sink *sink,
                                     void *context, whyfit_problems **problems);
/* The same in HTML, what stands in the body alone, for a page of your own that has the
 * style sheet. */
WHYFIT_API whyfit_status whyfit_show_body(const whyfit_knowledge *knowledge,
                                          const char *word, whyfit_sink *sink,
                                          void *context, whyfit_problems **problems);

/* Whether the units that were loaded are sound: can be put together, are held, and close
 * their spaces. *faults gets how many are found. */
WHYFIT_API whyfit_status whyfit_lint(const whyfit_knowledge *knowledge,
                                     whyfit_format format, whyfit_sink *sink,
                                     void *context, size_t *faults);

/* Worked cases: questions with what must come of them, in files of their own (their form:
 * engine/answer/worked_case.h). */
typedef struct whyfit_trial_options {
    size_t size;
    const char *shipped;     /* the folder that holds rules/ and facts/ */
    const char *const *with; /* more folders and files of knowledge for every case */
    size_t with_count;
    const char *const *without; /* rules left out; known to every file asked */
    size_t without_count;
    bool stops_at_first; /* … case that does not come out */
    whyfit_format format;
    unsigned width;       /* text: columns; 0: 80 */
    whyfit_sink *answers; /* gets every answer as a line of JSON; may be NULL */
    void *answers_context;
} whyfit_trial_options;
#define WHYFIT_TRIAL_OPTIONS                                                             \
    {                                                                                    \
        sizeof(whyfit_trial_options), NULL, NULL, 0, NULL, 0, false, WHYFIT_TEXT, 0,     \
            NULL, NULL                                                                   \
    }

typedef struct whyfit_trial_counts {
    size_t files;
    size_t cases;
    size_t came_out;
    size_t differ;
    size_t files_at_fault; /* none of their cases was asked */
} whyfit_trial_counts;

/* Asks the cases of every path: a file, or a folder (every file below it whose name ends
 * in cases.yaml). The knowledge of a file's cases is the shipped one, that of `with`,
 * what its line `knowledge:` names (beside the file, else beside rules/), and all other
 * knowledge in its own folder. Text: the cases that differ and a line of counts; JSON: a
 * line a case, and one of counts. Files at fault are *problems (owned), the others are
 * asked all the same; then WHYFIT_INVALID. */
WHYFIT_API whyfit_status whyfit_trial(const char *const *paths, size_t path_count,
                                      const whyfit_trial_options *options,
                                      whyfit_sink *sink, void *context,
                                      whyfit_trial_counts *counts,
                                      whyfit_problems **problems);

/* ---- what a question may name, to pick from */

typedef enum whyfit_choice_of {
    WHYFIT_UNITS = 0,
    WHYFIT_PARTS = 1,
    WHYFIT_PLACES = 2,     /* of a unit, as its recipe has them */
    WHYFIT_CANDIDATES = 3, /* what `upgrade` would try in its places, by place */
    WHYFIT_KINDS = 4,      /* of parts and units */
    WHYFIT_SEATS = 5       /* of a part or unit: the units that hold it */
} whyfit_choice_of;

typedef struct whyfit_choice {
    const char *name;  /* the unit, part or place; of a candidate the word to ask with */
    const char *title; /* of a place: of what stands there; of a kind what it says; may be
                          empty */
    const char *with;  /* of a unit or part its kind, of a place what stands there, of a
                          candidate its place, of a kind what it is a kind of, of a
                          seat the place; may be empty */
} whyfit_choice;

/* On WHYFIT_OK *choices is owned (whyfit_choices_free). `unit` is for places and
 * candidates, and for seats the part; WHYFIT_NOT_FOUND: there is none of that name. Units
 * and parts are sorted by name, kinds as the vocabulary has them. */
typedef struct whyfit_choices whyfit_choices;
WHYFIT_API whyfit_status whyfit_choices_open(const whyfit_knowledge *knowledge,
                                             whyfit_choice_of of, const char *unit,
                                             whyfit_choices **choices);
/* Borrowed; NULL past the last. */
WHYFIT_API const whyfit_choice *whyfit_choices_at(const whyfit_choices *choices,
                                                  size_t i);
WHYFIT_API void whyfit_choices_free(whyfit_choices *choices);

/* The word of a list that a misspelt one is nearest to; NULL when none is near. */
WHYFIT_API const char *whyfit_nearest(const char *misspelt, const char *const *words,
                                      size_t count);

/* ---- problems */

WHYFIT_API size_t whyfit_problems_count(const whyfit_problems *problems);
/* What is wrong, in one line that ends with its code; NULL past the last. */
WHYFIT_API const char *whyfit_problems_message(const whyfit_problems *problems, size_t i);
/* file:line:column: error: …, with the line, what was expected and the nearest word; or
 * one JSON object {"error": […]}. */
WHYFIT_API whyfit_status whyfit_problems_write(const whyfit_problems *problems,
                                               whyfit_format format, whyfit_sink *sink,
                                               void *context);
WHYFIT_API void whyfit_problems_free(whyfit_problems *problems);

#ifdef __cplusplus
}
#endif

#endif
