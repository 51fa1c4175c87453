/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_LISTING_H
#define WHYFIT_LISTING_H

#include "knowledge.h"
#include "question.h"

/*
 * What a seller claims in a listing, read and judged. How claims are read is knowledge
 * (claim_patterns.h); how they are judged is here: against one another, against what the
 * rules conclude of the parts, and by swaps.
 */
enum judgement {
    JUDGED_NOT, /* not judged: a price, a condition, a quantity */
    JUDGED_SUPPORTED,
    JUDGED_CONTRADICTED,
    JUDGED_NOT_KNOWN
};
const char *judgement_word(enum judgement judgement);

struct claim {
    enum claim_kind kind;
    text value; /* "2004..2012", "45", "M12x1" */
    text span;  /* as it stands in the text */
    size_t start;
    size_t end;
    text unit;     /* "mm", "cm", "in", or empty */
    text what;     /* of dimensions and counts */
    text of;       /* which part, where a listing holds several */
    uint32_t part; /* its number */
    bool is_hedged;
    /* Years, of which models: claims first_of..end_of-1, where the text binds them to
     * some; a model that it does not fit, in which years. Equal: of all. */
    uint32_t first_of;
    uint32_t end_of;
    enum judgement judgement;
    text why;
    const struct row *row; /* of the record, that it rests on; NULL: none alone */
    text chain;            /* listing_explain: how that row comes from what is stated, or
                              the question that shows the swap */
    const struct claim_pattern *pattern;
};

enum listing_verdict {
    LISTING_OK,
    LISTING_WRONG,
    LISTING_NOT_ENOUGH
};
const char *listing_verdict_word(enum listing_verdict verdict);

struct listing_answer {
    text written;
    union {
        struct claim *claims_made;  /* while they are judged */
        const struct claim *claims; /* in the order of the text */
    };
    uint32_t claim_count;
    uint32_t part_count;  /* parts that are told of, at least one */
    bool is_set;          /* the seller says that they are fitted together */
    const text *too_hard; /* names of patterns that met a limit in this text */
    uint32_t too_hard_count;
    bool is_cut; /* more is claimed than is looked at */
    enum listing_verdict verdict;
    text because;            /* what decided, in one line */
    const text *parts_left;  /* the parts that it can be, by name */
    const text *parts_where; /* listing_explain: where they are stated */
    uint32_t parts_left_count;
    text fits; /* the corrected statement, or empty */
    text ask;  /* the one thing to ask the seller for, or empty */
};

/* What is made of a knowledge once, to read and judge listings; threads share it. */
struct listing_bench;
/* Reported and NULL where a pattern with what the facts name has become too large. The
 * bench lives in the arena and is closed before it. */
MUST_USE status listing_bench_open(struct arena *arena, const struct knowledge *knowledge,
                                   struct diagnostics *diagnostics,
                                   struct listing_bench **out);
void listing_bench_close(struct listing_bench *bench);

/* What one thread needs, with what it has judged before. */
struct lister;
struct lister_options {
    struct swap_limits limits; /* of one swap */
    bool forgets;              /* nothing judged before is remembered */
};
MUST_USE status lister_open(struct arena *arena, const struct listing_bench *bench,
                            const struct lister_options *options, struct lister **out);
void lister_close(struct lister *lister);

/* Pairs of a part and a model that were asked for, and swaps that were tried for them. */
struct lister_counts {
    uint64_t judged;
    uint64_t asked;
    uint64_t found; /* not remembered: worked out, by swaps or from lists */
};
struct lister_counts lister_counted(const struct lister *lister);

/* STATUS_INVALID: the text is not UTF-8 (*wrong is the byte); STATUS_LIMIT: it is too
 * long. Everything is in the arena, or in the text. */
MUST_USE status listing_read(struct lister *lister, struct arena *arena, text written,
                             struct listing_answer *out, size_t *wrong);
/* Says of each claim that was judged how it comes from what is stated. */
MUST_USE status listing_explain(struct lister *lister, struct arena *arena,
                                struct listing_answer *listing);
/* Judges what was read. */
MUST_USE status listing_judge(struct lister *lister, struct arena *arena,
                              struct listing_answer *listing);

#endif
