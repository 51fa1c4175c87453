/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_TYPED_QUESTION_H
#define WHYFIT_TYPED_QUESTION_H

#include "question.h"

/*
 * Puts the names of parts and units in place of what people typed for them
 * (typed_name.h), wherever a question names one: its unit, the unit to go toward, what
 * goes into a place or is wanted there, and what is had. What means several is reported
 * with what tells them apart; what means nothing stays for whoever answers to report.
 *
 * In a place, those are preferred that are of the family of what stands there: two parts
 * that share a number seldom share a place.
 */
struct typed_names {
    const text *read; /* "kestrel 2004 was read as kestrel-head-late"; in order */
    uint32_t count;
};
MUST_USE status typed_question(struct arena *arena, const struct knowledge *knowledge,
                               struct question *question, struct diagnostics *diagnostics,
                               struct typed_names *out);

#endif
