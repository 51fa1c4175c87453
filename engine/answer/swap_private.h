/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_SWAP_PRIVATE_H
#define WHYFIT_SWAP_PRIVATE_H

#include "chain.h"
#include "question.h"

/* What the steps of answering a swap share. */
struct swap {
    struct arena *arena;
    const struct knowledge *knowledge;
    struct layer layer;
    struct minted_unit host;
    struct minted_unit swapped;
    struct inference_options options;
    struct chain chain;
    ARRAY_OF(struct finding) findings;
    ARRAY_OF(struct finding) host_findings;
    struct diagnostics *diagnostics;
    const struct question *question;
    const struct swap_limits *limits;
    const struct given_value *given; /* the question's, used or not */
    const struct answer *mended; /* with all chosen mends; NULL: none were needed, or not
                                    all could be cured */
    struct answer *answer;
};

/* swap.c: the layer with both units, all that follows in it, and an answer that holds the
 * question as it was understood. */
MUST_USE status swap_open(struct swap *swap, struct arena *arena,
                          const struct knowledge *knowledge,
                          const struct question *question,
                          const struct swap_limits *limits,
                          struct diagnostics *diagnostics);

/* swap.c: adds the rows that were read to what was spent; at the end. */
void swap_spend(const struct swap *swap);
/* swap.c: all that an answer holds, from what swap_open has left. */
MUST_USE status swap_judge(struct swap *swap);

/* findings.c: gathers the findings of host and swap, and pairs them. */
MUST_USE status findings_gather(struct swap *swap);
/* The text of a sentence's blanks filled from a node's bindings. */
text sentence_fill(struct swap *swap, const struct sentence *sentence,
                   const struct chain_node *node);
/* The outcome in a finding's row. */
enum outcome outcome_of(const struct swap *swap, const struct row *row);
/* Whether a finding of this rule names this piece in its subject. */
bool finding_names(const struct finding *finding, name_id piece);

/* as_written.c: where the question gives values and changes no piece, the findings of the
 * unit without those values stand for the host's. */
MUST_USE status findings_pair_as_written(struct swap *swap);

/* counted.c: decides which findings count, by difference from the host. */
MUST_USE status findings_count(struct swap *swap);

/* asked.c: whether a line that fell away in the swap has done so in the host. */
bool fell_before(const struct swap *swap, const struct fallen_line *line);
/* asked.c: whether it fell away because its place is left empty. */
bool is_of_empty_place(const struct swap *swap, const struct fallen_line *line);
/* asked.c: adds the unknown findings that no rule made. */
MUST_USE status findings_ask(struct swap *swap);

bool same_subject(const struct finding *a, const struct finding *b);
/* Whether a finding keeps the swap from fitting: it counts, it stops, it does not hold
 * and no mend cures it. */
bool finding_stops(const struct finding *finding);
/* One that stops and surely fails, whatever may be tried; the others that stop are not
 * known. */
bool finding_fails(const struct finding *finding);
/* What keeps a finding from holding: of one that fails its sentence, else what is not
 * known. */
text finding_reason(struct swap *swap, const struct finding *finding);

/* cautions.c: what is said at the end, with what is said of the dangers of what is
 * changed.
 */
text cautions_gather(struct swap *swap);

/* mends.c: tries what rules offer for the findings that stop, each as a swap of its own,
 * and sets finding->mend where all that is chosen works together. */
MUST_USE status mends_try(struct swap *swap);

/* work.c: settings to make and mends. */
MUST_USE status work_gather(struct swap *swap);

/* verdict.c: sorts and numbers the findings. */
void findings_number(struct swap *swap);
/* verdict.c: decides, and lists what is missing and
 * assumed. */
MUST_USE status verdict_decide(struct swap *swap);

/* What keeps a finding from being known, in words. */
text finding_open_reason(struct swap *swap, const struct finding *finding);

/* leaks.c, after verdict.c has sorted the findings: spaces, the ways between them, and
 * whether anything leaks. */
MUST_USE status leaks_gather(struct swap *swap);

#endif
