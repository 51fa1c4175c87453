/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_RENDER_COMPARE_H
#define WHYFIT_RENDER_COMPARE_H

#include "render_words.h"

#include "array.h"
#include "compare.h"

/* What a comparison says, line by line: text and reports put the same lines out. */
struct compare_line {
    text lead; /* "moved", "worse", "only" */
    text words;
    text touches; /* the checks that rest on it; empty: none */
};
typedef ARRAY_OF(struct compare_line) compare_lines;

/* render_compare_words.c */

/* The nominal of a form, or that it is not known. */
text compared_nominal(struct arena *arena, const struct form *form);
/* A value as it is written; of a quantity the nominal of `form`, where there is one. */
text compared_cell(struct arena *arena, const struct value *value, text word,
                   const struct form *form);
text compared_first(struct arena *arena, const struct compared_value *value);
text compared_second(struct arena *arena, const struct compared_value *value);
/* How far the two are apart, without a sign. */
text compared_by(struct arena *arena, const struct compared_value *value);
/* "2 mm out, from 14 mm to 16 mm; the limits lie apart", of values that differ alike. */
text compared_sentence(struct arena *arena, const struct compared_value *const *values,
                       uint32_t count);
/* "run hub-spline"; "as lip-seal" of the fields of its kind; "itself" */
text compared_feature_text(struct arena *arena, const struct compared_feature *feature);
/* Whether one of the two alone has it; whether it is a difference that is told. */
bool is_of_one_alone(const struct compared_feature *feature);
bool is_told(enum contrast difference);

/* One line more. */
void compare_say(struct arena *arena, compare_lines *lines, text lead, text words,
                 text touches);

/* A list of texts, sorted, each once. */
typedef ARRAY_OF(text) text_list;
void texts_add(struct arena *arena, text_list *list, text word);
text texts_join(struct arena *arena, const text_list *list);

/* render_compare_differences.c */

/* Whether anything differs in a place; what is said of the place; what differs in it. */
bool compare_differs(const struct compared_place *place);
text compare_place_words(struct arena *arena, const struct compared_place *place);
void compare_differences(struct arena *arena, const struct comparison *of,
                         const struct compared_place *place, compare_lines *lines);

/* render_compare_same.c: what one of the two alone records; what is the same in both,
 * place by place; and how much neither records, or empty. */
void compare_not_known(struct arena *arena, const struct comparison *of,
                       compare_lines *lines);
void compare_same(struct arena *arena, const struct comparison *of, compare_lines *lines);
text compare_unrecorded(struct arena *arena, const struct comparison *of);

/* render_compare_checks.c: how checks and figures come out with either, in one seat or of
 * two units (UINT32_MAX); how many are the same. */
void compare_checks(struct arena *arena, const struct comparison *of, uint32_t seat,
                    compare_lines *lines);
uint32_t compare_same_checks(const struct comparison *of, uint32_t seat);
/* "In UNIT, which holds the first: cover=PART"; what is said where there is no seat, or
 * not all were tried; empty: nothing. */
text compare_seat_words(struct arena *arena, const struct comparison *of,
                        const struct compared_seat *seat);
text compare_seats_left_out(struct arena *arena, const struct comparison *of);

/* render_compare.c: "7 differences"; what positions are counted from. */
text compare_headline(struct arena *arena, const struct comparison *of);
text compare_counted(struct arena *arena, const struct comparison *of);

#endif
