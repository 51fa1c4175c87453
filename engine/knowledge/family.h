/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_FAMILY_H
#define WHYFIT_FAMILY_H

#include "node.h"

/*
 * A family is one part written as a template, and a row of figures for each of its
 * members: {family: kind, source: …, template: {part: "ring-{size}", …}, rows: [{size:
 * 38x1.75, …}, …]}. A blank `{column}` in any word or key of the template is filled with
 * the row's text; a field of the template whose blank the row leaves out falls away.
 *
 * With `variants: [{closure: open, clearance: "{c3}", …}, …]` there is a member for each
 * row in each variant: a blank is filled by the variant, whose words may have blanks for
 * the row, else by the row.
 */

/* The i-th member, below family_size, as a part document. STATUS_INVALID (reported) when
 * its row is no map or leaves out what its name is made of. Faults in it are shown in the
 * row where a blank was filled, in the template elsewhere. */
MUST_USE status family_member(struct arena *arena, struct sources *sources,
                              const struct node *family, uint32_t i,
                              struct diagnostics *diagnostics, const struct node **out);

/* How many members: a row in each variant. */
uint32_t family_size(const struct node *family);

/* Reports a template, rows or variants that are missing or of another shape, blanks that
 * nothing fills, and fields that fill no blank. */
void family_check(const struct node *family, struct diagnostics *diagnostics);

#endif
