/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_SHEET_H
#define WHYFIT_SHEET_H

#include "question.h"

/*
 * The set-up sheet of a swap that goes in: what the rules say has to be done, section by
 * section, with the mends that were chosen; and for what is chosen at assembly a table
 * from the reading to the piece to take. A swap that does not go in, or of which that is
 * not known, has no sheet.
 */

/* With the start in: between these readings of the gap this is the one to take. */
struct setting_choice {
    double from; /* coherent */
    double to;
    double take;
};

/* How one gap is set. Sizes are of what is chosen, readings of the gap. */
struct setting_plan {
    text gap;
    text place;
    text stock; /* empty: the place is put to a depth, without a stock */
    struct dimension dim;
    double want_least;
    double want_greatest;
    double start; /* what the drawings come to, to the stock's step */
    double least; /* as the parts may come out */
    double greatest;
    const struct setting_choice *choices; /* by reading; none without steps */
    uint32_t choice_count;
};

struct sheet_part {
    text section;
    text title;
    const struct finding *const *lines; /* by their order, then their texts */
    uint32_t line_count;
};

struct sheet {
    const struct sheet_part *parts; /* those that have lines */
    uint32_t part_count;
    const struct setting_plan *plans; /* of what the swap sets anew, by gap */
    uint32_t plan_count;
};

/* Answers question->command "sheet": the swap's answer, and answer->sheet, which is
 * empty where the swap does not go in. */
MUST_USE status sheet_answer(struct arena *arena, const struct knowledge *knowledge,
                             const struct question *question,
                             const struct swap_limits *limits,
                             struct diagnostics *diagnostics, struct answer **out);

#endif
