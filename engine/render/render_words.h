/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_RENDER_WORDS_H
#define WHYFIT_RENDER_WORDS_H

#include "render.h"

/* What the answers in words share. */
void render_heading(struct writer *writer, const char *words);
/* What the question gives, and for which pieces what it gives by part was taken. */
void render_given(struct writer *writer, const struct answer *answer);
/* The question, and the reasons that decided. */
void render_reasons(struct writer *writer, const struct answer *answer);
/* "0.2 mm (0.1..0.3 mm)"; empty: there is none. */
text render_margin(struct arena *arena, const struct form *margin);
/* One finding: outcome, rule, subject, margin; its sentence where it does not hold. */
void render_finding(struct writer *writer, const struct finding *finding);
/* render_removed.c: checks that have lost what they looked at, and all of them in one
 * sentence that names a few; empty when there are none. */
bool is_removed_check(const struct finding *finding);
bool is_removed_reason(const struct answer *answer, text because);
text render_removed(struct arena *arena, const struct answer *answer);
/* "seal, shaft": what a finding is about. */
text render_subject(struct arena *arena, const struct finding *finding);
/* "cover=kestrel-cover-late, shaft=…" */
text render_pairs(struct arena *arena, const struct named_pair *pairs, uint32_t count);
/* "shaft.ring-land.to (by caliper), wanted by o-ring-needs-a-land" */
text render_missing(struct arena *arena, const struct missing_item *item);
const char *render_verdict_colour(enum verdict verdict);
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

/* The answer to `why-not`. */
void render_why_not(struct writer *writer, const struct answer *answer);

#endif
