/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_RULE_READER_H
#define WHYFIT_RULE_READER_H

#include "array.h"
#include "rule_read.h"

/* A rule while it is read. */
struct rule_draft {
    const struct node *map;
    struct rule rule;
    bool is_named;
    bool is_read;
};

/* What reading one rule shares. Variables that stand for nothing outside one condition
 * are hidden once it is read: their slots stay, their names do not. */
struct rule_reader {
    struct arena *arena;
    const struct rule_surroundings *around;
    struct diagnostics *diagnostics;
    struct relation_shape
        *shapes; /* vocabulary's, then one a check; name NAME_NONE: not yet known */
    uint32_t shape_count;
    struct rule_draft *drafts;
    uint32_t draft_count;
    /* of the rule being read */
    struct rule_draft *draft;
    ARRAY_OF(struct rule_variable) variables;
    ARRAY_OF(bool) hidden;
    ARRAY_OF(bool) at_fault; /* what should have bound them is reported */
    text let; /* the name whose formula is being read; empty outside `let` */
    bool is_wrong;
};

struct diagnostic *rule_report(struct rule_reader *reader, enum diagnostic_code code,
                               span where, text message);
bool rule_expect(struct rule_reader *reader, const struct node *node, enum node_kind kind,
                 const char *what);

/* Reports what no formula could name, and gives false. */
bool rule_name_fits(struct rule_reader *reader, text name, span where);
/* A name of `let` or of an aggregate: a new variable, which nothing may have bound yet.
 */
void rule_new_name(struct rule_reader *reader, const struct node_field *field);
/* The slot of a visible variable, or UINT32_MAX. */
uint32_t rule_variable_find(const struct rule_reader *reader, text name);
uint32_t rule_variable_add(struct rule_reader *reader, struct rule_variable variable);
/* A variable that is only known to be there, where nothing is known by this name: what
 * should have bound it is reported, and what follows from that is not. */
void rule_variable_poison(struct rule_reader *reader, text name);

/* A formula over the variables bound so far, in a blank of a sentence also without their
 * $; NULL (reported) when it is at fault. */
const struct formula *rule_formula(struct rule_reader *reader, text formula, span where,
                                   bool is_blank);

/* rule_words.c: reports words that a choice is compared with and that it cannot be. */
void rule_check_words(struct rule_reader *reader, const struct formula *formula);

/* rule_terms.c */
bool rule_condition(struct rule_reader *reader, const struct node *item,
                    struct condition *out);
bool rule_conclusion(struct rule_reader *reader, const struct node *item,
                     struct conclusion *out);
/* Hides the variables from slot `from` on. */
void rule_hide(struct rule_reader *reader, uint32_t from);

/* The column in which the condition has the variable; UINT32_MAX for none. */
uint32_t rule_column_of(const struct rule_reader *reader,
                        const struct condition *condition, uint32_t variable);

/* rule_tallies.c: `count`, `sum`, `least`, `greatest` and `every` of the rule being read.
 */
void rule_read_tallies(struct rule_reader *reader);

/* rule_sentence.c */
bool rule_sentence(struct rule_reader *reader, const struct node *word,
                   struct sentence *out);

const struct node *rule_list(struct rule_reader *reader, const char *key);
/* A formula that is yes or no. */
const struct formula *rule_truth(struct rule_reader *reader, const struct node *word,
                                 const char *what);

/* rule_mends.c: `mend` of the rule being read. */
void rule_read_mends(struct rule_reader *reader);

/* rule_check.c: what can only be said of a whole rule, and of all of them. */
/* The variable whose rows all conditions hang from, or the most of them. Of several the
 * first by name, so that the order of conditions does not show. UINT32_MAX: no condition
 * has a variable for an owner. */
uint32_t rule_find_owner(struct rule_reader *reader, const struct rule *rule);
void rule_check_local(struct rule_reader *reader, const struct rule *rule);
void rule_check_filled(struct rule_reader *reader, const struct rule *rule);

/* rule_finding.c: makes the relation of the rule being read, which has a check. */
void rule_finding_shape(struct rule_reader *reader);

/* rule_rounds.c: reads every draft, each after those whose findings it mentions. */
void rule_read_all(struct rule_reader *reader);
/* rule_read.c: one draft. */
void rule_read_one(struct rule_reader *reader, struct rule_draft *draft);

/* rule_groups.c */
status rule_groups_make(struct rule_reader *reader, struct rule_base *base);

#endif
