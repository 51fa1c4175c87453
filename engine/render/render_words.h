/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_RENDER_WORDS_H
#define WHYFIT_RENDER_WORDS_H

#include "render.h"

#include "identify.h"

/* What the answers in words share. */
void render_heading(struct writer *writer, const char *words);
/* "cover=kestrel-cover-late in kestrel-head-early" */
text render_asked(struct arena *arena, const struct answer *answer);
/* What the question gives, and for which pieces what it gives by part was taken. */
void render_given(struct writer *writer, const struct answer *answer);
/* The question, and the reasons that decided. */
void render_reasons(struct writer *writer, const struct answer *answer);
/* A caution that the reasons name. */
bool is_minded(const struct finding *finding);
/* "-2.8 mm (-3.1..-2.5 mm)", or what there is of a finding's margin. */
text render_margin(struct arena *arena, const struct finding *finding);
/* How it stands to the host's, behind a semicolon; empty where that says nothing. */
const char *render_note(const struct finding *finding);
/* "3 checks that the swap does not touch" */
text render_as_before(struct arena *arena, uint32_t count, bool are_listed);
/* "fit a new seal (it was disturbed)" */
text render_work(struct arena *arena, const struct work_item *work);
/* What was tried and what came of it; one that is offered for several findings is shown
 * once. */
text render_mend(struct arena *arena, const struct tried_mend *mend);
bool is_mend_said_before(const struct answer *answer, uint32_t i);
/* One finding: outcome, rule, subject, margin; its sentence where it does not hold. */
void render_finding(struct writer *writer, const struct finding *finding);
/* render_removed.c: checks that have lost what they looked at, and all of them in one
 * sentence that names a few; empty when there are none. */
bool is_removed_check(const struct finding *finding);
bool is_removed_reason(const struct answer *answer, text because);
text render_removed(struct arena *arena, const struct answer *answer);
/* The same where it stands for several checks, whose own sentences are then not said. */
text render_folded(struct arena *arena, const struct answer *answer);
/* The i-th reason that decided; empty where it is said already. */
text render_because(struct arena *arena, const struct answer *answer, uint32_t i);
/* "seal, shaft": what a finding is about. */
text render_subject(struct arena *arena, const struct finding *finding);
/* "cover=kestrel-cover-late, shaft=…" */
text render_pairs(struct arena *arena, const struct named_pair *pairs, uint32_t count);
/* "shaft.ring-land.to (by caliper), wanted by o-ring-needs-a-land" */
/* "caliper or drawing": ways of getting a field, which the vocabulary lists with spaces.
 */
text render_ways(struct arena *arena, text ways);
text render_missing(struct arena *arena, const struct missing_item *item);
const char *render_verdict_colour(enum verdict verdict);
/* A step: its row; what made it, "rule shift" or the line of a file; and a formula with
 * what it came to. */
text render_step_row(const struct answer *answer, struct arena *arena,
                     const struct step *step);
text render_step_by(const struct answer *answer, struct arena *arena,
                    const struct step *step);
text render_binding(const struct answer *answer, struct arena *arena,
                    const struct binding *binding);
/* All steps of an answer, from findings down to facts. */
void render_chain(struct writer *writer, const struct answer *answer);
/* A heading with lines below it; nothing when there are none. */
void render_list(struct writer *writer, const char *words, const text *lines,
                 uint32_t count);
/* A value as people read it: "18.5 mm", "17.9..18.1 mm", a word, "not known". */
text render_value(struct arena *arena, const struct names *names, struct value value);
/* ": margin -2.6 mm, outcome fails": the values a row has; empty for one without. */
text render_row_values(const struct answer *answer, struct arena *arena,
                       const struct row *row);
/* A row with its values and, where it is open, why. */
text render_row(const struct answer *answer, struct arena *arena, const struct row *row);
/* "run: piece=shaft, kind=plain": a condition with what is bound in it; `slots` may be
 * NULL. */
text render_condition(const struct answer *answer, struct arena *arena,
                      const struct condition *condition, const struct value *slots);
/* "from = 3 mm, kind = plain": the rule's variables that are used and bound. */
text render_bound(const struct answer *answer, struct arena *arena,
                  const struct rule *rule, const struct value *slots, const bool *used);

/* render_identify.c: "hub-spline.teeth is 18, seen 21", and what a look asks: "run
 * hub-spline, teeth: how many?". */
text render_misfit(struct arena *arena, const struct misfit *misfit);
text render_look(struct arena *arena, const struct look *look);

/* The answer to `why-not`. */
void render_why_not(struct writer *writer, const struct answer *answer);

#endif
