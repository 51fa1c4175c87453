/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_RENDER_COMPARE_H
#define WHYFIT_RENDER_COMPARE_H

#include "render_words.h"

#include "array.h"
#include "compare.h"

/* What the parts of a comparison in words share. */
struct compare_writer {
    struct writer *writer;
    const struct comparison *of;
};

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

/* A list of texts, sorted, each once. */
typedef ARRAY_OF(text) text_list;
void texts_add(struct arena *arena, text_list *list, text word);
text texts_join(struct arena *arena, const text_list *list);

/* render_compare_differences.c: a place with what differs in it, nothing where that is
 * nothing; what one of the two alone records. */
void compare_write_place(const struct compare_writer *compare,
                         const struct compared_place *place);
void compare_write_not_known(const struct compare_writer *compare);

/* render_compare_checks.c: how checks and figures come out with either, of one seat or of
 * two units (UINT32_MAX); all seats. */
void compare_write_checks(const struct compare_writer *compare, uint32_t seat);
void compare_write_seats(const struct compare_writer *compare);

#endif
