/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_PHRASES_H
#define WHYFIT_PHRASES_H

#include "render_words.h"

#include "explanation.h"
#include "identify.h"
#include "kind_sheet.h"
#include "measure.h"
#include "sheet.h"
#include "sweep.h"

/* What is said of each kind of answer, whether on a terminal or in a report: the
 * sentences, without their place on the page. Each group is in the file of that answer's
 * words. */

/* render_leaks.c: what was asked; a space; a way; which findings are of `leaks`, and
 * which of those its reasons name. */
text leaks_asked(struct arena *arena, const struct answer *answer);
text leaks_space(struct arena *arena, const struct leak_space *space);
text leaks_way(struct arena *arena, const struct leak_way *way);
bool is_of_leaks(const struct finding *finding);
bool is_minded_of_leaks(const struct finding *finding);

/* render_measure.c: "not known until 2 dimensions are measured"; of a measurement where,
 * with what, what for, and which readings are good; its unit's symbol, empty of a word;
 * the question again, with a blank for the reading. */
text measure_headline(struct arena *arena, const struct answer *answer);
text measure_place(struct arena *arena, const struct measurement *item);
text measure_gauge(struct arena *arena, const struct measurement *item);
text measure_for(struct arena *arena, const struct reading_use *use);
text measure_use(struct arena *arena, const struct measurement *item,
                 const struct reading_use *use);
const char *measure_unit(const struct measurement *item);
text measure_again(struct arena *arena, const struct answer *answer);

/* render_kind_sheet.c: its headline; what positions are counted from (may be empty); of a
 * blank when it is read, with what, what it may be, what for, and what it is of; what to
 * do with the sheet. */
text kind_sheet_headline(struct arena *arena, const struct answer *answer);
text kind_sheet_counted(struct arena *arena, const struct kind_sheet *sheet);
const char *kind_sheet_stage(const struct kind_feature *feature,
                             const struct kind_field *field);
text kind_sheet_gauge(struct arena *arena, const struct kind_field *field);
text kind_sheet_choices(struct arena *arena, const struct names *names,
                        const struct column *column);
text kind_sheet_checks(struct arena *arena, const struct kind_field *field);
text kind_sheet_what(struct arena *arena, const struct kind_feature *feature,
                     const struct kind_field *field);
text kind_sheet_then(void);

/* render_sheet.c: whether there is anything to put together; what has to be at hand; how
 * a gap is set. */
bool sheet_goes_in(const struct answer *answer);
text sheet_headline(struct arena *arena, const struct answer *answer);
uint32_t sheet_at_hand(struct arena *arena, const struct answer *answer, text **lines);
text sheet_plan(struct arena *arena, const struct setting_plan *plan);
text sheet_length(struct arena *arena, const struct setting_plan *plan, double value);

/* render_explanation.c: how many rows there are; and what a rule's step says of itself,
 * line by line: "let", "a = b + c = 3 mm". */
text why_headline(struct arena *arena, const struct explanation *explanation);
typedef void why_line(void *to, const char *label, text what);
void why_step(const struct answer *answer, struct arena *arena, const struct step *step,
              why_line *line, void *to);

/* render_why_not.c: tells what kept the row away: a heading an attempt, and below it a
 * line for each thing that is said of it, with a word before it. Levels go from 0. */
struct why_not_teller {
    struct writer *writer;
    const struct answer *answer;
    void (*heading)(struct writer *writer, uint32_t level, text line);
    void (*line)(struct writer *writer, uint32_t level, const char *label, text what);
};
void why_not_tell(const struct why_not_teller *teller);
/* How many lines of the unit that fell away are worth saying, and one of them. */
uint32_t why_not_fallen(const struct explanation *explanation);
text why_not_fell(struct arena *arena, const struct fallen_line *fallen);

/* render_identify.c: how many are left; a thing that was seen, as it was taken; of a
 * candidate its title and number, what supersedes it (may be empty) and what stands
 * before a hint; why one fell out; of a look how it is done and what each answer leaves.
 */
text identify_headline(struct arena *arena, const struct answer *answer);
text identify_seen(struct arena *arena, const struct seen_echo *one);
text identify_said(struct arena *arena, const struct candidate *candidate);
text identify_superseded(struct arena *arena, const struct candidate *candidate);
const char *identify_hint(const struct candidate *candidate);
text identify_fallen(struct arena *arena, const struct fallen *one);
const char *identify_fallen_heading(const struct identification *made);
text identify_how(struct arena *arena, const struct look *look);
text identify_leaves(struct arena *arena, const struct look *look);
const char *identify_no_look(void);
text identify_caution(void);

/* render_sweep.c: a value of the dimension; the stretch of one verdict before the i-th
 * turn; the range; the i-th turn; the reason at a point; a margin from end to end, and
 * where it holds. */
text sweep_at(const struct sweep *sweep, struct arena *arena, double at);
text sweep_stretch(struct arena *arena, const struct sweep *sweep, uint32_t i,
                   enum verdict *verdict);
text sweep_swept(struct arena *arena, const struct sweep *sweep);
text sweep_turn(struct arena *arena, const struct sweep *sweep, uint32_t i);
text sweep_because(const struct sweep *sweep, uint32_t i);
text sweep_margin(struct arena *arena, const struct sweep *sweep, uint32_t at);

#endif
