/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_CLAIM_PATTERNS_H
#define WHYFIT_CLAIM_PATTERNS_H

#include "node.h"
#include "vocabulary.h"

/*
 * What sellers write, as knowledge:
 *
 *   claims: english
 *   source: common practice, no source
 *   words: {about: 'about|approx[.]?'}
 *   numbers: {six: 6}
 *   patterns:
 *     - pattern: spline-length
 *       reads: dimension
 *       what: spline
 *       text: 'splines? (?<claim>(?<value>{size}) ?(?<unit>mm))'
 *     - pattern: covers
 *       reads: kind
 *       each: {bearing-cover: 'output covers?'}
 *
 * Words may name each other, wherever they stand. Texts are folded before they are read:
 * small letters, no accents, plain blanks and hyphens. `{word}` in a pattern stands for
 * that word's own pattern; with `text` and `each` together {each} in the text stands for
 * each pattern in turn; {model}, {short-model}, {family} and {part-number} for what the
 * facts name so. `each` gives a pattern for each value. Groups: `claim` is the stretch
 * that is the claim (else all that matched), `value` its value; the others are listed in
 * CLAIM_GROUPS.
 */
enum claim_kind {
#define CLAIM(id, word) CLAIM_##id,
#include "claim_kinds.def"
#undef CLAIM
    CLAIM_KIND_COUNT
};
const char *claim_kind_word(enum claim_kind kind);

/* The groups of a pattern, in this order for scanner.h. */
enum claim_group {
#define GROUP(id, word) GROUP_##id,
#include "claim_groups.def"
#undef GROUP
    CLAIM_GROUP_COUNT
};
const char *const *claim_group_words(void); /* NULL-terminated */

struct claim_pattern {
    text name;
    enum claim_kind reads;
    text value;        /* of an entry of `each`; or a template with {group}; else empty */
    text what;         /* of dimensions and counts; else empty */
    text unit;         /* where no group tells it; else empty */
    text written;      /* words filled in; what the facts name still as {model} */
    const text *after; /* names of the patterns it may stand right behind; none: it stands
                          anywhere */
    uint32_t after_count;
    bool is_hedged; /* the pattern itself says that the seller is not sure */
    span where;
};

struct counted_word {
    text word;
    text value;
};

struct claim_patterns {
    const struct claim_pattern *patterns; /* by the names of their files' claims, then as
                                             written; those that read kinds last */
    uint32_t count;
    const struct counted_word *numbers; /* sorted by word */
    uint32_t number_count;
};

/* Reads all documents headed `claims:`. Every fault is reported, with its column in the
 * pattern; STATUS_INVALID then. */
MUST_USE status claim_patterns_read(struct arena *arena, struct names *names,
                                    const struct vocabulary *vocabulary,
                                    const struct node *const *documents, uint32_t count,
                                    struct diagnostics *diagnostics,
                                    struct claim_patterns *out);

/* The pattern with `blank` filled in for each {name} of the blanks; in the arena. */
struct claim_blank {
    const char *name;
    text pattern;
};
text claim_pattern_fill(struct arena *arena, text written,
                        const struct claim_blank *blanks, uint32_t count);

#endif
