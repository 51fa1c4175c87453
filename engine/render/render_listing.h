/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_RENDER_LISTING_H
#define WHYFIT_RENDER_LISTING_H

#include "listing.h"
#include "writer.h"

/* A listing that was judged: for people, as a line of JSON, or as lines of CSV (one a
 * claim). `row` tells it apart from others (0: it is the only one); `id` is its own name
 * or empty. */
struct listing_label {
    uint64_t row;
    text id;
};
/* After listing_explain. */
void render_listing_text(struct writer *writer, const struct listing_answer *listing,
                         bool with_chain);
void render_listing_json(struct writer *writer, const struct listing_answer *listing,
                         const struct listing_label *label);
void render_listing_csv(struct writer *writer, const struct listing_answer *listing,
                        const struct listing_label *label);
/* The first line of CSV. */
void render_listing_csv_head(struct writer *writer);

/* What text and reports both say: "dimension 62 mm, bore, not sure"; the parts that it
 * can be, with where they are stated; what was not looked at. */
text listing_read_as(struct arena *arena, const struct claim *claim);
text listing_parts(struct arena *arena, const struct listing_answer *listing);
const text *listing_left_out(struct arena *arena, const struct listing_answer *listing,
                             uint32_t *count);

/* report_listing.c: after listing_explain; as a page, or what stands in its body alone.
 */
void render_listing_html(struct writer *writer, const struct listing_answer *listing,
                         const struct knowledge *knowledge, bool is_part);

#endif
