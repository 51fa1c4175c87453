/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_UNIT_CHECK_H
#define WHYFIT_UNIT_CHECK_H

#include "knowledge.h"

/* What the checks of names share; a fault is reported and sets `is_wrong`. */
struct checking {
    const struct knowledge *knowledge;
    const struct node *const *written; /* parts, sound or at fault */
    uint32_t written_count;
    struct diagnostics *diagnostics;
    bool is_wrong;
};

/* Reports a name that is used and was never defined. */
struct diagnostic *refuse_name(struct checking *checking, span where, text message);

/* Every place, face, run, port, space and kind that a unit's lines name. A unit that is
 * like another is checked as it stands when it is filled in. */
void check_unit(struct checking *checking, const struct recipe *recipe);

/* A reference's two words where they are written. */
span ref_place_span(const struct names *names, const struct feature_ref *ref);
span ref_feature_span(const struct names *names, const struct feature_ref *ref);

/* The feature of a line that a part brings: of the part itself, or of a place that some
 * loaded unit has. */
void check_own_feature(struct checking *checking, const struct feature_ref *ref,
                       name_id part, enum feature_class wanted);
void check_brought_feature(struct checking *checking, const struct feature_ref *ref,
                           enum feature_class wanted);

/* What a space wants of what gets there. */
void check_wants(struct checking *checking, const struct space_line *space);

/* What a part wants of a gap: a range, or a length that some kind has. */
void check_brought_want(struct checking *checking, const struct gap_line *gap);
/* What a gap is set with is a part, or `stroke`. */
void check_stock(struct checking *checking, const struct set_by *set);

/* brought_check.c: the places and features that a part names of the units it goes into.
 */
void check_brought(struct checking *checking, const struct part *part);

#endif
