/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_CLAIM_VALUE_H
#define WHYFIT_CLAIM_VALUE_H

#include "listing_private.h"

/* The value of what a pattern has matched, as claims are compared: numbers and models as
 * the facts spell them, years as 2004..2012, sizes with a point and without blanks.
 * Empty: it is no claim after all. `beside` is the model claimed before. */
text claim_value(struct arena *arena, const struct listing_bench *bench,
                 const struct claim_pattern *pattern, const struct scanned *scanned,
                 text plain, text beside);

/* What a group took part with; empty: nothing. */
text claim_group(const struct scanned *scanned, text plain, enum claim_group group);

#endif
