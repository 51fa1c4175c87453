/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_WORKED_CASE_H
#define WHYFIT_WORKED_CASE_H

#include "expected_rows.h"
#include "question.h"

/*
 * Worked cases: questions with what must come of them, worked out by hand. A file of them
 * is
 *
 *   knowledge: [demo/mower]          # besides the shipped rules and facts
 *   cases:
 *     - case: a late cover on an early head
 *       question: {unit: U, changes: {PLACE: PART}, given: {…}, allow: [machine]}
 *       expect:
 *         verdict: does not fit
 *         findings:
 *           - {rule: R, subject: {seal: spacer}, outcome: fails, margin: -2.8 mm}
 *         nothing-else: true         # no finding but these counts and does not hold
 *
 * `expect` may also say `leaks`, the starts of lines of `work`, `assumed`, `left-over`
 * and `left-empty`, all that is `missing` (an empty list: nothing), `rows`, `open-rows`
 * and `no-rows` (expected_rows.h), sections of the set-up sheet as `sheet: {SECTION:
 * [the start of each of its lines, in order]}`, or, alone, the fault for which the
 * question must be `refused`. A question that `asks: lint` is asked what lint would find
 * of its unit. Texts are borrowed from the document.
 */
struct expected_number {
    const struct node *word; /* NULL: not said */
    struct unit unit;        /* as written */
    double value;            /* coherent */
};

enum expected_ends {
    EXPECTED_MARGIN,
    EXPECTED_LEAST,
    EXPECTED_GREATEST,
    EXPECTED_SPREAD,
    EXPECTED_NUMBERS
};
const char *expected_number_word(uint32_t which); /* "margin", "least", … */

struct expected_finding {
    span where;
    const struct node *rule;
    const struct node *subject; /* a map of words, or NULL */
    const struct node *outcome; /* one of the outcomes, or NULL */
    const struct node *counts;  /* a flag, or NULL */
    struct expected_number numbers[EXPECTED_NUMBERS];
};

/* What an answer says in lines. */
enum expected_line {
    EXPECTED_WORK,
    EXPECTED_ASSUMED,
    EXPECTED_LEFT_OVER,
    EXPECTED_LEFT_EMPTY,
    EXPECTED_LINES
};
const char *expected_line_word(uint32_t which); /* "work", "assumed", … */

struct worked_case {
    text name;
    span where;
    struct question question;
    const struct node *refused; /* the word of a diagnostic's code, or NULL */
    const struct node *verdict;
    const struct node *leaks;
    const struct expected_finding *findings;
    uint32_t finding_count;
    bool is_nothing_else;
    const struct node *lines[EXPECTED_LINES]; /* lists of words, or NULL */
    const struct node *missing;
    const struct node *rows[EXPECTED_ROWS]; /* lists of maps, or NULL */
    const struct node *sheet;               /* a map of lists of words, or NULL */
};

struct case_file {
    const struct node *knowledge; /* a list of words, or NULL */
    const struct worked_case *cases;
    uint32_t case_count;
};

/* Every fault is reported; STATUS_INVALID when there was any. */
MUST_USE status cases_read(struct arena *arena, const struct node *document,
                           struct diagnostics *diagnostics, struct case_file *out);

/* Whether every rule and subject that is expected can be: the names are the knowledge's.
 */
MUST_USE status cases_check(const struct case_file *file,
                            const struct knowledge *knowledge,
                            struct diagnostics *diagnostics);

#endif
