/* SPDX-License-Identifier: MIT */
/*
 * Two values of one field side by side. What is compared first is what the drawing calls
 * for (the nominals); whether two pieces could come out alike all the same is a matter of
 * their limits, and is said beside it.
 */
#include "compare_private.h"

#include <math.h>

enum recorded {
    RECORDED,
    RECORDED_NONE, /* it has no such thing */
    NOT_RECORDED
};

static enum recorded recorded_of(const struct value *value, const struct form *form)
{
    double nominal = 0;
    switch (value->kind) {
    case VALUE_NONE:
        return RECORDED_NONE;
    case VALUE_MISSING:
        return NOT_RECORDED;
    case VALUE_QUANTITY:
        return form != NULL && form_nominal(form, &nominal) ? RECORDED : NOT_RECORDED;
    case VALUE_COUNT:
    case VALUE_WORD:
    case VALUE_TRUTH:
        break;
    }
    return RECORDED;
}

bool is_recorded(const struct value *value)
{
    const struct form *form = value->kind == VALUE_QUANTITY ? value->quantity : NULL;
    return recorded_of(value, form) != NOT_RECORDED;
}

static bool is_near(double a, double b, double grid)
{
    return a == b || fabs(a - b) <= grid / 2;
}

static bool has_no_limits(const struct form *form)
{
    return isinf(form->least) && isinf(form->greatest);
}

static enum limits_relation limits_between(const struct form *first,
                                           const struct form *second)
{
    const double grid = dimension_grid(first->dim);
    const bool same_low = is_near(first->least, second->least, grid);
    const bool same_high = is_near(first->greatest, second->greatest, grid);
    if (has_no_limits(first) || has_no_limits(second)) {
        return LIMITS_NOT_KNOWN;
    }
    if (same_low && same_high) {
        return LIMITS_SAME;
    }
    if (second->least > first->greatest + grid / 2 ||
        second->greatest < first->least - grid / 2) {
        return LIMITS_APART;
    }
    if ((same_low || second->least > first->least) &&
        (same_high || second->greatest < first->greatest)) {
        return LIMITS_INSIDE;
    }
    return (same_low || second->least < first->least) &&
                   (same_high || second->greatest > first->greatest)
               ? LIMITS_AROUND
               : LIMITS_OVERLAP;
}

static void compare_quantities(struct compared_value *value)
{
    const struct form *first = value->first_form;
    const struct form *second = value->second_form;
    double from = 0;
    double to = 0;
    (void)form_nominal(first, &from);
    (void)form_nominal(second, &to);
    value->by = dimension_round(first->dim, to - from);
    value->by_least = second->least - first->greatest;
    value->by_greatest = second->greatest - first->least;
    value->limits = limits_between(first, second);
    if (value->by != 0.0) {
        value->difference = value->is_position ? CONTRAST_MOVED : CONTRAST_RESIZED;
    } else if (value->limits != LIMITS_SAME &&
               !(has_no_limits(first) && has_no_limits(second))) {
        value->difference = CONTRAST_LIMITS;
    }
}

void values_compare(struct compared_value *value)
{
    const enum recorded first = recorded_of(&value->first, value->first_form);
    const enum recorded second = recorded_of(&value->second, value->second_form);
    value->difference = CONTRAST_NONE;
    value->limits = LIMITS_SAME;
    value->by = value->by_least = value->by_greatest = NAN;
    if (first == RECORDED_NONE && second == RECORDED_NONE) {
        return;
    }
    if (first == NOT_RECORDED || second == NOT_RECORDED) {
        value->difference = CONTRAST_NOT_KNOWN;
        value->limits = LIMITS_NOT_KNOWN;
    } else if (first == RECORDED_NONE || second == RECORDED_NONE) {
        value->difference = first == RECORDED_NONE ? CONTRAST_ADDED : CONTRAST_GONE;
    } else if (value->first.kind == VALUE_QUANTITY &&
               value->second.kind == VALUE_QUANTITY) {
        compare_quantities(value);
    } else if (value->first.kind == VALUE_COUNT && value->second.kind == VALUE_COUNT) {
        value->by = (double)(value->second.count - value->first.count);
        value->difference = value->by != 0.0 ? CONTRAST_RESIZED : CONTRAST_NONE;
    } else if (value->first.kind == VALUE_WORD && value->second.kind == VALUE_WORD
                   ? !text_equal(value->first_word, value->second_word)
                   : !value_equal(value->first, value->second)) {
        value->difference = CONTRAST_OTHER;
    }
}

const char *contrast_word(enum contrast difference)
{
    static const char *const words[] = {"same",    "gone",  "added",  "moved",
                                        "resized", "other", "limits", "not known"};
    return words[difference];
}

const char *limits_word(enum limits_relation limits)
{
    static const char *const words[] = {"same",   "apart",  "overlap",
                                        "inside", "around", "not known"};
    return words[limits];
}
