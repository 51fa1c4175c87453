/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_LISTER_PRIVATE_H
#define WHYFIT_LISTER_PRIVATE_H

#include "facade_private.h"

#include "render_listing.h"
#include "whyfit_listing.h"

/* A writer for one answer; closed by writer_close. */
bool lister_writer_open(whyfit_lister *lister, struct writer *writer, whyfit_sink *sink,
                        void *context);
/* Reads and judges one text, and writes what came of it: `label` tells whose it is,
 * `how` (its format and what goes with it) in which form. */
MUST_USE status lister_answer(whyfit_lister *lister, struct writer *writer, text words,
                              const struct listing_label *label,
                              const whyfit_listing_text *how, whyfit_listing *out);

#endif
