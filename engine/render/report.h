/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_REPORT_H
#define WHYFIT_REPORT_H

#include "html_writer.h"
#include "render_words.h"

/*
 * An answer as a page to read, print and hand on: one file without scripts, pictures
 * from elsewhere, or anything that would be fetched. What the reports of all questions
 * share; report.c lists the questions.
 */

/* The page around a report: all of its head, up to <main>. */
void report_page_open(struct writer *writer, text title);
void report_page_close(struct writer *writer);
/* "Dimensions as recorded in 12 files …", with the digest of all of them. */
void report_recorded(struct writer *writer, const struct knowledge *knowledge);

/* A frame around a picture, that can be moved sideways, by keyboard too, where it is
 * wider than the page. */
void report_picture_open(struct writer *writer, text picture);
void report_picture_close(struct writer *writer);

/* How a verdict looks beside its words: the class of its mark. */
const char *report_tone(enum verdict verdict);
const char *report_outcome_tone(enum outcome outcome);

/* <span class="mark TONE">WORD</span> */
void report_mark(struct writer *writer, const char *tone, const char *word);

/* The question, what comes with it, and the reasons that decided. */
void report_reasons(struct writer *writer, const struct answer *answer);
/* Within a list of terms: what the question gives, and for which pieces that was taken.
 */
void report_given(struct writer *writer, const struct answer *answer);
/* Within a list of terms: the sentences of the cautions that the reasons name. */
void report_minded(struct writer *writer, const struct answer *answer,
                   bool (*is_named)(const struct finding *finding));
/* A table of findings: those `shows` says. Nothing where there are none. */
void report_findings(struct writer *writer, const struct answer *answer, const char *name,
                     bool (*shows)(const struct finding *finding));
/* The same with a row for what several checks have lost, said once. */
void report_counted_findings(struct writer *writer, const struct answer *answer);

void report_work(struct writer *writer, const struct answer *answer);
void report_missing(struct writer *writer, const struct answer *answer);
/* One step: its row, what it says of itself (`is_full`: the way `why` tells it), and what
 * it rests on, linked. */
void report_step(struct writer *writer, const struct answer *answer,
                 const struct step *step, const char *prefix, bool is_full);
/* All steps, closed until somebody opens them. Where a page has several answers each has
 * a prefix of its own, which marks its steps. */
void report_chain(struct writer *writer, const struct answer *answer, const char *prefix);

/* A kind of answer, and how it is told. Each is in a file of its own; report.c lists
 * them.
 */
struct report_kind {
    const char *asks;  /* the question in a word or two */
    bool is_for_bench; /* who works by it does not read the sources; they stay closed */
    bool (*is_of)(const struct answer *answer);
    text (*headline)(struct arena *arena, const struct answer *answer);
    const char *(*tone)(const struct answer *answer);
    /* Beside the headline: what decided. */
    void (*reasons)(struct writer *writer, const struct answer *answer);
    /* All else, but for what it rests on and the caution, which end every report. */
    void (*write)(struct writer *writer, const struct answer *answer);
};
extern const struct report_kind report_swap;
extern const struct report_kind report_leaks;
extern const struct report_kind report_measure;
extern const struct report_kind report_sheet;
extern const struct report_kind report_upgrade;
extern const struct report_kind report_sweep;
extern const struct report_kind report_why;
extern const struct report_kind report_why_not;
extern const struct report_kind report_identify;
extern const struct report_kind report_compare;
extern const struct report_kind report_kind_sheet;

/* Of most: the verdict's word and tone. */
text report_verdict_headline(struct arena *arena, const struct answer *answer);
const char *report_verdict_tone(const struct answer *answer);

#endif
