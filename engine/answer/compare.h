/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_COMPARE_H
#define WHYFIT_COMPARE_H

#include "question.h"

/*
 * Two parts, or two units, side by side: question->unit is the first, question->toward
 * the second. Of parts features of one name are set side by side, with positions counted
 * from one face that both have; of units places, with positions counted along the axis of
 * the unit. What one of the two does not record is not known, never the same. Compared
 * the other way round the answer is the mirror image of this one.
 */
enum contrast {
    CONTRAST_NONE,     /* the same, limits and all */
    CONTRAST_GONE,     /* the first alone has it */
    CONTRAST_ADDED,    /* the second alone has it */
    CONTRAST_MOVED,    /* a position, by its nominal */
    CONTRAST_RESIZED,  /* any other quantity or count, by its nominal */
    CONTRAST_OTHER,    /* another word, or another part in a place */
    CONTRAST_LIMITS,   /* one nominal, other limits */
    CONTRAST_NOT_KNOWN /* one of the two does not record it */
};
const char *contrast_word(enum contrast difference); /* "same", "gone", "added", … */

/* How the limits of the second lie to those of the first. */
enum limits_relation {
    LIMITS_SAME,
    LIMITS_APART,   /* whatever two pieces come out as, they differ */
    LIMITS_OVERLAP, /* two pieces may come out alike */
    LIMITS_INSIDE,  /* the second's lie in the first's */
    LIMITS_AROUND,  /* the first's lie in the second's */
    LIMITS_NOT_KNOWN
};
const char *limits_word(enum limits_relation limits); /* "same", "apart", … */

/* A check on one subject, as it comes out with the first and with the second. */
enum check_change {
    CHECK_WORSE,
    CHECK_BETTER,
    CHECK_ASKED_OF_FIRST, /* alone */
    CHECK_ASKED_OF_SECOND,
    CHECK_OPEN,    /* with one of the two it is not known how far it is from failing */
    CHECK_OF_SWAP, /* asked of the swap itself, not of what is there before or after */
    CHECK_SAME
};
const char *check_change_word(enum check_change change);

struct compared_check {
    uint32_t seat; /* in which it was asked; UINT32_MAX: each in its own unit */
    const struct finding *first;
    const struct finding *second;
    enum outcome first_outcome; /* where there is one */
    enum outcome second_outcome;
    enum check_change change;
    double by;    /* second minus first, of the margins in the worst case, coherent; NAN:
                     none */
    bool is_sure; /* whatever the pieces come out as */
};

/* A field of a feature of both. */
struct compared_value {
    text field;
    enum contrast difference;
    bool is_position;
    bool is_carried;    /* it differs only as what it hangs on does: `with`, or the whole
                           piece */
    text with;          /* "bearing-shoulder.at"; empty: the piece */
    struct value first; /* VALUE_NONE: it has none; as its dimension is written */
    struct value second;
    text first_word; /* of a word */
    text second_word;
    const struct form *first_form; /* of a quantity, from the common datum; else NULL */
    const struct form *second_form;
    double by; /* second minus first, of the nominals, coherent; NAN: none */
    double by_least;
    double by_greatest;
    enum limits_relation limits;
    const uint32_t *touches; /* checks that rest on it, as numbers in `checks` */
    uint32_t touch_count;
};

struct compared_feature {
    text relation;            /* "run"; of the part itself its kind */
    text name;                /* empty: the part itself */
    enum contrast difference; /* of the whole: none, gone, added, not known (the list of
                                   one is marked partial), other: some value differs */
    struct compared_value *values; /* by field; of one that is gone or added all
                                            that is recorded */
    uint32_t value_count;
    bool is_of_partial_list; /* one lists it, and the other's list is not complete */
    uint32_t unrecorded;     /* fields that neither records */
};

struct compared_place {
    text place; /* empty: the parts themselves, or what the units say of themselves */
    text first; /* the part or unit in it; empty: none */
    text second;
    enum contrast difference;    /* none, moved, other, added, gone */
    bool is_turned;              /* the second the other way round */
    struct compared_value moved; /* where it lies; field empty: it lies nowhere */
    text datum;   /* what its positions are counted from, where that is its own */
    bool is_unit; /* both hold units: compared apart */
    const struct compared_feature *features; /* those that differ first, then by name */
    uint32_t feature_count;
};

/* A figure that rules work out of both. */
struct compared_figure {
    uint32_t seat; /* as of a check */
    text of;
    enum better better;
    const struct form *first; /* NULL: it has none */
    const struct form *second;
    double by; /* second minus first, of the nominals, coherent; NAN: none */
    enum check_change change; /* worse, better, same or not known; where the vocabulary
                                 says no way the last two alone */
};

/* A unit in which one of two parts sits, and what comes of the other in its place. */
struct compared_seat {
    text unit;
    text place;
    bool holds_second; /* the first is put in; else the second */
    enum verdict verdict;
    text because;
};

struct comparison {
    bool is_of_units;
    text first;
    text second;
    text datum; /* what positions are counted from; empty: nothing that both have */
    const struct compared_place *places; /* those that differ first, then by name */
    uint32_t place_count;
    const struct compared_check *checks; /* by unit, rule, subject */
    uint32_t check_count;
    const struct compared_figure *figures;
    uint32_t figure_count;
    const struct compared_seat *seats; /* of parts, by unit and place */
    uint32_t seat_count;
    uint32_t seats_left_out;   /* beyond COMPARE_SEATS */
    uint32_t difference_count; /* values and features that differ, places that hold
                                  another part, are turned or moved; what is carried along
                                  is not counted again */
    uint32_t not_known_count;
};

enum {
    COMPARE_SEATS = 12 /* units in which two parts are tried, at most */
};

/* Answers question->command "compare": answer->comparison holds it; no verdict. */
MUST_USE status compare_answer(struct arena *arena, const struct knowledge *knowledge,
                               const struct question *question,
                               const struct swap_limits *limits,
                               struct diagnostics *diagnostics, struct answer **out);

#endif
