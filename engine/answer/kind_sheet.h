/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_KIND_SHEET_H
#define WHYFIT_KIND_SHEET_H

#include "question.h"

/*
 * What to measure of a part that nobody recorded, by its kind alone: the features that
 * such a part usually has (vocabulary: `usual`), of each the fields that must be written
 * or that some check reads, and those checks. Which checks read a field is found in the
 * rules: down their conditions through what other rules conclude, and what the vocabulary
 * says that the assembly reads.
 */
struct kind_field {
    text name;
    const struct column *column;
    text counted_from; /* of a position the datum; else what the vocabulary says */
    text unit;         /* "mm"; empty: a word or a count */
    const struct gauge *gauge; /* NULL: none at hand */
    text got_by;
    bool is_due;
    bool is_elsewhere;  /* from a drawing, a marking or a laboratory, not at the bench */
    const text *checks; /* by name */
    uint32_t check_count;
};

struct kind_feature {
    text list; /* "runs"; empty: fields of the part itself */
    text relation;
    text name;
    const struct named_pair *words; /* what is the same of every such feature */
    uint32_t word_count;
    bool is_together; /* it is seen, and measured, with the unit together */
    bool is_datum;
    const struct kind_field *fields; /* in the order of the vocabulary */
    uint32_t field_count;
};

/* One blank to fill in, by feature and field. */
struct kind_blank {
    uint32_t feature;
    uint32_t field;
};

struct kind_sheet {
    text kind;
    text says;
    text datum; /* empty: the vocabulary names none */
    const struct kind_feature *features;
    uint32_t feature_count;
    const struct kind_blank *blanks; /* in the order in which one goes over the bench */
    uint32_t blank_count;
};

bool names_a_unit(const struct knowledge *knowledge, text word);

/* Answers "measure" of what is no unit: question->unit must be a kind of parts, else it
 * is reported; answer->kind_sheet holds the sheet. question->gauges as of measure. */
MUST_USE status kind_sheet_answer(struct arena *arena, const struct knowledge *knowledge,
                                  const struct question *question,
                                  const struct swap_limits *limits,
                                  struct diagnostics *diagnostics, struct answer **out);

#endif
