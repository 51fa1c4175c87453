/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_WAYS_H
#define WHYFIT_WAYS_H

#include "question.h"

/* The ways in which a field is got, as the vocabulary lists them ("micrometer caliper"),
 * and the gauges that a question says are at hand. */

/* The next of the words that blanks or commas part, from *at on; empty: there are no
 * more. */
text way_next(text words, size_t *at);
/* Whether a word is one of them. */
bool way_is_among(text words, text way);
/* Those that the question names must be some that are known; else reported. */
MUST_USE status gauges_check(const struct knowledge *knowledge,
                             const struct question *question,
                             struct diagnostics *diagnostics);

#endif
