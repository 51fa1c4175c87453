/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_ANSWER_H
#define WHYFIT_ANSWER_H

#include "inference.h"
#include "mint.h"

/*
 * The answer to a swap question, as data: no words but those that rules and facts hold.
 * Everything lies in the answer's arena. Order: findings by whether they count, then
 * outcome (fails, unknown, unsure, holds), weight, rule name, subject; all other lists by
 * their texts. Ids are given in that order and number findings first, then steps.
 */
enum verdict {
    VERDICT_FITS,
    VERDICT_FITS_WITH_WORK,
    VERDICT_DOES_NOT_FIT,
    VERDICT_NOT_KNOWN
};

const char *verdict_word(enum verdict verdict); /* "fits", "fits with work", … */

struct subject_entry {
    text column; /* the rule's variable: "seal" */
    text value;  /* "spacer" */
};

struct contributor {
    const struct deviation *of;
    double share;      /* of the width of the range */
    double holds_from; /* coherent; NAN when there is none */
    double fails_from;
};

/* How a finding came to count or not. */
enum counted {
    COUNTED_CHANGED,  /* the swap can have changed it */
    COUNTED_NEW,      /* the host has no such subject */
    COUNTED_AS_FOUND, /* the host's does not hold either, and the swap makes it worse */
    COUNTED_MAY_BE_WORSE, /* … and it cannot be told whether the swap makes it worse */
    NOT_COUNTED_AS_BEFORE,
    NOT_COUNTED_NO_WORSE,  /* the host's does not hold either, and the swap is no worse */
    NOT_COUNTED_AS_IT_RAN, /* inside a unit that ran and was put in whole */
};

/* What made an unknown finding that no rule made. */
enum finding_kind {
    FINDING_BY_RULE,
    FINDING_ASKED,   /* the kind asks for this check, and it made no finding */
    FINDING_UNASKED, /* the kind of a changed piece is asked no check at all */
    FINDING_REMOVED, /* the host's finding has lost its subject */
    FINDING_FALLEN,  /* a line fell away and nothing replaces it */
    FINDING_READING  /* a reading cannot belong to the piece's number */
};

struct finding {
    uint32_t id;
    enum finding_kind kind;
    const struct rule *rule; /* NULL for FINDING_UNASKED and FINDING_FALLEN */
    text name;               /* the rule's name, or a word for the kind */
    const struct subject_entry *subject;
    uint32_t subject_count;
    enum outcome outcome;
    enum weight weight;
    enum counted counted;
    bool counts;
    enum standing standing;
    struct doubt doubt;        /* why it is open */
    const struct form *margin; /* NULL where no rule made it */
    text sentence;
    text source;
    const struct contributor *contributors; /* by share, then name */
    uint32_t contributor_count;
    text mend; /* the first mend that holds, or empty */
    enum mend_kind mend_kind;
    text may_mend; /* one that holds as far as anything is known, and why that is open */
    uint32_t step; /* the chain's last step, or 0 */
    const struct row *row;
    const struct finding *host; /* the same subject in the host, or NULL */
};

/* One value of a step: a rule's variable as it was bound or computed. */
struct binding {
    text name;
    struct value value;
    const struct formula *formula; /* NULL for a variable bound by a row */
};

struct step {
    uint32_t id;
    const struct row *row;
    const struct rule *rule; /* for rows that a rule concluded */
    const struct binding *bindings;
    uint32_t binding_count;
    const struct value *slots; /* of the rule's variables */
    const uint32_t *from;      /* ids of steps, in the order of the rule's conditions */
    uint32_t from_count;
    uint32_t given_count; /* of `from`, how many are conditions; the rest are what
                             functions read */
};

struct work_item {
    text what;
    text why;
};

/* What a rule offers for a finding that stops, and what came of trying it. */
struct tried_mend {
    uint32_t finding; /* id */
    enum mend_kind kind;
    text what;
    text tried;      /* "seal.in.offset=2.4 mm", "shaft=another"; empty: only advice */
    bool is_allowed; /* cutting metal is not, unless the question says so */
    bool cures;      /* the finding then holds, and nothing else fails */
    bool may_cure;   /* nothing fails then, but it is not known whether all holds */
    bool is_chosen;
    text why; /* why it does not cure */
};
const char *mend_word(enum mend_kind kind); /* "adjust", "renew", "buy", "machine" */

struct missing_item {
    const struct deviation *of;
    const text *wanted_by; /* rule names */
    uint32_t wanted_count;
};

struct named_pair {
    text name;
    text value;
};

/* Whether liquid gets through a way, as the rules concluded. */
enum way_state {
    WAY_SHUT,
    WAY_OPEN,
    WAY_NOT_KNOWN
};
const char *way_state_word(enum way_state state); /* "shut", "open", "not known" */

/* A way between two spaces of the swapped unit. */
struct leak_way {
    text path;
    text from;
    text to;
    text closer; /* "seal.lip on shaft", "nothing" */
    enum way_state state;
};

struct leak_space {
    text space;
    text holds;    /* at first: a place, "weather", "grease", "nothing" */
    text wet_with; /* the liquids that are in it or get there; empty: it is dry */
    bool is_open;  /* … which is not sure */
};

enum leaks {
    LEAKS_NONE,
    LEAKS_FOUND,
    LEAKS_NOT_KNOWN,
    LEAKS_AMISS /* nothing gets out, but something runs dry or is touched by what it does
                   not stand */
};
/* "no leak", "leaks", "not known", "not in order" */
const char *leaks_word(enum leaks leaks);

/* What was spent on a question so far. */
struct effort {
    struct inference_counts counts;
    uint64_t rows_read;
};

struct answer {
    struct arena *arena;
    const struct knowledge *knowledge;
    const struct names *names;
    struct store *store; /* whoever reads rows notes things in it */
    name_id host_unit; /* the owners of what is laid; the same where nothing is changed */
    name_id swapped_unit;
    /* the question, as understood */
    text command;
    text unit;
    const struct named_pair *changes;
    uint32_t change_count;
    const struct named_pair *brought;
    uint32_t brought_count;
    const struct named_pair *given;
    uint32_t given_count;
    const text *taken; /* of values given by part: for which pieces each was taken */
    uint32_t taken_count;
    /* the answer */
    enum verdict verdict;
    const uint32_t *decided_by;
    uint32_t decided_count;
    const text *because;
    uint32_t because_count;
    const struct finding *findings;
    uint32_t finding_count;
    const struct finding *host_findings;
    uint32_t host_finding_count;
    const struct leak_space *spaces; /* by name */
    uint32_t space_count;
    const struct leak_way *ways; /* by name */
    uint32_t way_count;
    enum leaks leaks;
    const text *leak_reasons;
    uint32_t leak_reason_count;
    const struct settling *settlings; /* what is chosen at assembly, host's too */
    uint32_t settling_count;
    const struct step *steps;
    uint32_t step_count;
    const struct tried_mend *mends; /* by finding, then as the rule has them */
    uint32_t mend_count;
    const struct work_item *work;
    uint32_t work_count;
    const struct missing_item *missing;
    uint32_t missing_count;
    const text *left_over; /* "kestrel-cover-early from cover" */
    uint32_t left_over_count;
    const text *left_empty; /* places */
    uint32_t left_empty_count;
    bool allows_machining;
    const text *assumed;
    uint32_t assumed_count;
    const text *not_looked_at;
    uint32_t not_looked_at_count;
    text caution;
    struct effort effort;                        /* set by who counted it */
    const struct explanation *explanation;       /* why and why-not; else NULL */
    const struct measure *measure;               /* measure; else NULL */
    const struct identification *identification; /* identify; else NULL */
    const struct sheet *sheet;                   /* sheet; else NULL */
    const struct kind_sheet *kind_sheet;         /* measure of a kind; else NULL */
    const struct comparison *comparison;         /* compare; else NULL */
    const struct answer *mended;      /* with all chosen mends; NULL: none were */
    const struct setting_plan *plans; /* how what the swap sets anew is set, by gap */
    uint32_t plan_count;
    const struct upgrade *upgrade; /* upgrade; else NULL */
    const struct sweep *sweep;     /* swap over a range; else NULL */
};

#endif
