/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_CLAIM_BINDING_H
#define WHYFIT_CLAIM_BINDING_H

#include "listing.h"

bool claim_is_model(enum claim_kind kind); /* with a verb or without */

/* Which years belong to which models: "A 2004-2012, B 2006-2012" tells of each, and years
 * right behind what it does not fit say when it does not. */
void claims_bind(struct listing_answer *listing);

#endif
