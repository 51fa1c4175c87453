/* SPDX-License-Identifier: MIT */
/* Values of a comparison in words. */
#include "render_compare.h"

#include <math.h>

/* ---- values */

text compared_nominal(struct arena *arena, const struct form *form)
{
    double nominal = 0;
    return form != NULL && form_nominal(form, &nominal)
               ? magnitude_write(arena, form->dim, nominal, -1)
               : TEXT("not known");
}

text compared_cell(struct arena *arena, const struct value *value, text word,
                   const struct form *form)
{
    switch (value->kind) {
    case VALUE_QUANTITY:
        return compared_nominal(arena, form != NULL ? form : value->quantity);
    case VALUE_COUNT:
        return text_format(arena, "%lld", (long long)value->count);
    case VALUE_WORD:
        return word;
    case VALUE_TRUTH:
        return value->truth == TRUTH_YES ? TEXT("yes") : TEXT("no");
    case VALUE_MISSING:
        return TEXT("not recorded");
    case VALUE_NONE:
        break;
    }
    return TEXT("none");
}

text compared_first(struct arena *arena, const struct compared_value *value)
{
    return compared_cell(arena, &value->first, value->first_word, value->first_form);
}

text compared_second(struct arena *arena, const struct compared_value *value)
{
    return compared_cell(arena, &value->second, value->second_word, value->second_form);
}

text compared_by(struct arena *arena, const struct compared_value *value)
{
    const struct form *form = value->second_form;
    return value->first.kind == VALUE_COUNT
               ? text_format(arena, "%.0f", fabs(value->by))
               : magnitude_write(arena, form->dim, fabs(value->by), -1);
}

static const char *limits_sentence(const struct compared_value *value)
{
    if (value->first.kind == VALUE_COUNT) {
        return "";
    }
    switch (value->limits) {
    case LIMITS_SAME:
        return "";
    case LIMITS_APART:
        return "; the limits lie apart";
    case LIMITS_OVERLAP:
        return "; the limits overlap";
    case LIMITS_INSIDE:
        return "; the second's limits lie in the first's";
    case LIMITS_AROUND:
        return "; the first's limits lie in the second's";
    case LIMITS_NOT_KNOWN:
        break;
    }
    return "; limits not known";
}

/* The values of one side, "18 mm, 27.5 mm". */
static text side_text(struct arena *arena, const struct compared_value *const *values,
                      uint32_t count, bool is_first)
{
    text all = {"", 0};
    for (uint32_t i = 0; i < count; i++) {
        all = text_format(arena, "%.*s%s%.*s", TEXT_ARG(all), i == 0 ? "" : ", ",
                          TEXT_ARG(is_first ? compared_first(arena, values[i])
                                            : compared_second(arena, values[i])));
    }
    return all;
}

/* "2 mm out, from 14 mm to 16 mm; the limits lie apart" */
text compared_sentence(struct arena *arena, const struct compared_value *const *values,
                       uint32_t count)
{
    const struct compared_value *value = values[0];
    const text from = side_text(arena, values, count, true);
    const text to = side_text(arena, values, count, false);
    switch (value->difference) {
    case CONTRAST_MOVED:
        return text_format(arena, "%.*s %s, from %.*s to %.*s%s",
                           TEXT_ARG(compared_by(arena, value)),
                           value->by > 0 ? "out" : "in", TEXT_ARG(from), TEXT_ARG(to),
                           limits_sentence(value));
    case CONTRAST_RESIZED:
        return text_format(arena, "%.*s %s, from %.*s to %.*s%s",
                           TEXT_ARG(compared_by(arena, value)),
                           value->by > 0 ? "more" : "less", TEXT_ARG(from), TEXT_ARG(to),
                           limits_sentence(value));
    case CONTRAST_LIMITS:
        return text_format(arena, "%.*s of both, first %.*s, then %.*s%s", TEXT_ARG(from),
                           TEXT_ARG(form_write(arena, value->first_form)),
                           TEXT_ARG(form_write(arena, value->second_form)),
                           limits_sentence(value));
    case CONTRAST_GONE:
    case CONTRAST_ADDED:
    case CONTRAST_OTHER:
    case CONTRAST_NOT_KNOWN:
    case CONTRAST_NONE:
        break;
    }
    return text_format(arena, "%.*s, then %.*s", TEXT_ARG(from), TEXT_ARG(to));
}

void compare_say(struct arena *arena, compare_lines *lines, text lead, text words,
                 text touches)
{
    const struct compare_line line = {lead, words, touches};
    (void)ARRAY_PUSH(arena, lines, line); /* the arena remembers a failure */
}

/* Keeps a list of texts sorted, each once. */
void texts_add(struct arena *arena, text_list *list, text word)
{
    uint32_t at = 0;
    while (at < list->count && text_compare(list->at[at], word) < 0) {
        at++;
    }
    if ((at < list->count && text_equal(list->at[at], word)) ||
        !ARRAY_PUSH(arena, list, word)) {
        return;
    }
    for (uint32_t i = list->count - 1; i > at; i--) {
        list->at[i] = list->at[i - 1];
    }
    list->at[at] = word;
}

text texts_join(struct arena *arena, const text_list *list)
{
    text all = {"", 0};
    for (uint32_t i = 0; i < list->count; i++) {
        all = text_format(arena, "%.*s%s%.*s", TEXT_ARG(all), i == 0 ? "" : ", ",
                          TEXT_ARG(list->at[i]));
    }
    return all;
}

/* "run hub-spline"; "as lip-seal" of the fields of its kind; "itself" */
text compared_feature_text(struct arena *arena, const struct compared_feature *feature)
{
    return feature->name.length > 0
               ? text_format(arena, "%.*s %.*s", TEXT_ARG(feature->relation),
                             TEXT_ARG(feature->name))
           : text_is(feature->relation, "piece")
               ? TEXT("itself")
               : text_format(arena, "as %.*s", TEXT_ARG(feature->relation));
}

bool is_of_one_alone(const struct compared_feature *feature)
{
    return feature->difference == CONTRAST_GONE || feature->difference == CONTRAST_ADDED;
}

bool is_told(enum contrast difference)
{
    return difference != CONTRAST_NONE && difference != CONTRAST_NOT_KNOWN;
}
