/* SPDX-License-Identifier: MIT */
/* The answer to `compare` as JSON. Checks are numbered in their order; what a difference
 * touches names those numbers. */
#include "json_answer.h"

#include "compare.h"

#include <math.h>

/* {"nominal", "least", "greatest", "unit"}; an end that is open is null. */
static json_t *quantity_json(const struct form *form)
{
    double nominal = 0;
    json_t *object = json_object();
    const bool is_known = form_nominal(form, &nominal);
    json_set(object, "nominal",
             is_known ? json_magnitude(form->dim, nominal) : json_null());
    json_set(object, "least",
             isfinite(form->least) ? json_magnitude(form->dim, form->least)
                                   : json_null());
    json_set(object, "greatest",
             isfinite(form->greatest) ? json_magnitude(form->dim, form->greatest)
                                      : json_null());
    json_set(object, "unit", json_word(json_unit(form->dim).symbol));
    return object;
}

static json_t *side_json(const struct value *value, text word, const struct form *form)
{
    switch (value->kind) {
    case VALUE_QUANTITY:
        return form != NULL              ? quantity_json(form)
               : value->quantity != NULL ? quantity_json(value->quantity)
                                         : json_null();
    case VALUE_COUNT:
        return json_integer((json_int_t)value->count);
    case VALUE_WORD:
        return json_text(word);
    case VALUE_TRUTH:
        return json_boolean(value->truth == TRUTH_YES);
    case VALUE_MISSING:
        return json_word("not recorded");
    case VALUE_NONE:
        break;
    }
    return json_null();
}

static json_t *end_json(struct dimension dim, double value)
{
    return isfinite(value) ? json_step(dim, value) : json_null();
}

static json_t *by_json(const struct compared_value *value)
{
    if (isnan(value->by)) {
        return json_null();
    }
    if (value->first.kind == VALUE_COUNT) {
        return json_number(value->by);
    }
    const struct dimension dim = value->second_form->dim;
    json_t *object = json_object();
    json_set(object, "nominal", json_step(dim, value->by));
    json_set(object, "least", end_json(dim, value->by_least));
    json_set(object, "greatest", end_json(dim, value->by_greatest));
    json_set(object, "unit", json_word(json_unit(dim).symbol));
    return object;
}

static json_t *value_json_of(const struct compared_value *value)
{
    json_t *object = json_object();
    json_t *touches = json_array();
    const bool is_quantity = value->first_form != NULL && value->second_form != NULL;
    for (uint32_t i = 0; i < value->touch_count; i++) {
        json_push(touches, json_integer(value->touches[i]));
    }
    json_set(object, "field", json_text(value->field));
    json_set(object, "difference", json_word(contrast_word(value->difference)));
    json_set(object, "first",
             side_json(&value->first, value->first_word, value->first_form));
    json_set(object, "second",
             side_json(&value->second, value->second_word, value->second_form));
    json_set(object, "by", by_json(value));
    json_set(object, "carried_with",
             !value->is_carried        ? json_null()
             : value->with.length == 0 ? json_word("the piece")
                                       : json_text(value->with));
    json_set(object, "limits",
             is_quantity ? json_word(limits_word(value->limits)) : json_null());
    json_set(object, "touches", touches);
    return object;
}

static const char *feature_word(const struct compared_feature *feature)
{
    bool has_carried = false;
    for (uint32_t i = 0; i < feature->value_count; i++) {
        has_carried = has_carried || feature->values[i].is_carried;
    }
    return feature->difference == CONTRAST_OTHER ? "differs"
           : feature->difference == CONTRAST_NONE && has_carried
               ? "carried"
               : contrast_word(feature->difference);
}

static json_t *feature_json(const struct compared_feature *feature)
{
    json_t *object = json_object();
    json_t *values = json_array();
    for (uint32_t i = 0; i < feature->value_count; i++) {
        json_push(values, value_json_of(&feature->values[i]));
    }
    json_set(object, "relation", json_text(feature->relation));
    json_set(object, "feature",
             feature->name.length == 0 ? json_null() : json_text(feature->name));
    json_set(object, "difference", json_word(feature_word(feature)));
    json_set(object, "values", values);
    json_set(object, "unrecorded", json_integer(feature->unrecorded));
    return object;
}

static json_t *text_or_null(text a)
{
    return a.length == 0 ? json_null() : json_text(a);
}

static json_t *place_json(const struct compared_place *place)
{
    json_t *object = json_object();
    json_t *features = json_array();
    for (uint32_t i = 0; i < place->feature_count; i++) {
        json_push(features, feature_json(&place->features[i]));
    }
    json_set(object, "place", text_or_null(place->place));
    json_set(object, "first", text_or_null(place->first));
    json_set(object, "second", text_or_null(place->second));
    json_set(object, "difference", json_word(contrast_word(place->difference)));
    json_set(object, "turned", json_boolean(place->is_turned));
    json_set(object, "lies",
             place->moved.field.length == 0 ? json_null() : value_json_of(&place->moved));
    json_set(object, "counted_from", text_or_null(place->datum));
    json_set(object, "features", features);
    return object;
}

static json_t *asked_json(const struct finding *finding, enum outcome outcome)
{
    json_t *object = json_object();
    if (finding == NULL) {
        json_decref(object);
        return json_null();
    }
    json_set(object, "outcome", json_word(outcome_word(outcome)));
    json_set(object, "margin",
             finding->margin == NULL ? json_null() : quantity_json(finding->margin));
    return object;
}

/* The number of a seat in `seats`; null: each is asked of its own unit. */
static json_t *seat_number_json(const struct comparison *of, uint32_t seat)
{
    return seat < of->seat_count ? json_integer(seat) : json_null();
}

static json_t *check_json(const struct comparison *of, const struct compared_check *check)
{
    const struct finding *any = check->first != NULL ? check->first : check->second;
    json_t *object = json_object();
    json_set(object, "seat", seat_number_json(of, check->seat));
    json_set(object, "rule", json_text(any->name));
    json_set(object, "subject", subject_json(any));
    json_set(object, "weight",
             json_word(any->weight == WEIGHT_STOPS ? "stops" : "cautions"));
    json_set(object, "first", asked_json(check->first, check->first_outcome));
    json_set(object, "second", asked_json(check->second, check->second_outcome));
    json_set(object, "change", json_word(check_change_word(check->change)));
    json_set(object, "by",
             isnan(check->by) ? json_null()
                              : json_step(check->second->margin->dim, check->by));
    json_set(object, "sure", json_boolean(check->is_sure));
    return object;
}

static json_t *figure_json(const struct comparison *of,
                           const struct compared_figure *figure)
{
    static const char *const ways[] = {NULL, "more", "less"};
    json_t *object = json_object();
    json_set(object, "seat", seat_number_json(of, figure->seat));
    json_set(object, "of", json_text(figure->of));
    json_set(object, "better",
             figure->better == BETTER_NEITHER ? json_null()
                                              : json_word(ways[figure->better]));
    json_set(object, "first",
             figure->first == NULL ? json_null() : quantity_json(figure->first));
    json_set(object, "second",
             figure->second == NULL ? json_null() : quantity_json(figure->second));
    json_set(object, "by",
             isnan(figure->by) ? json_null() : json_step(figure->first->dim, figure->by));
    json_set(object, "change",
             figure->better == BETTER_NEITHER && figure->change != CHECK_SAME
                 ? json_null()
                 : json_word(check_change_word(figure->change)));
    return object;
}

static json_t *seat_json(const struct comparison *of, const struct compared_seat *seat)
{
    json_t *object = json_object();
    json_set(object, "unit", json_text(seat->unit));
    json_set(object, "place", json_text(seat->place));
    json_set(object, "put_in", json_text(seat->holds_second ? of->first : of->second));
    json_set(object, "verdict", json_word(verdict_word(seat->verdict)));
    json_set(object, "because", text_or_null(seat->because));
    return object;
}

status render_compare_json(struct writer *writer, const struct answer *answer)
{
    const struct comparison *of = answer->comparison;
    json_t *object = answer_open_json(writer, answer);
    json_t *lists[4];
    for (int i = 0; i < 4; i++) {
        lists[i] = json_array();
    }
    for (uint32_t i = 0; i < of->place_count; i++) {
        json_push(lists[0], place_json(&of->places[i]));
    }
    for (uint32_t i = 0; i < of->check_count; i++) {
        json_push(lists[1], check_json(of, &of->checks[i]));
    }
    for (uint32_t i = 0; i < of->figure_count; i++) {
        json_push(lists[2], figure_json(of, &of->figures[i]));
    }
    for (uint32_t i = 0; i < of->seat_count; i++) {
        json_push(lists[3], seat_json(of, &of->seats[i]));
    }
    json_set(object, "of", json_word(of->is_of_units ? "units" : "parts"));
    json_set(object, "first", json_text(of->first));
    json_set(object, "second", json_text(of->second));
    json_set(object, "counted_from", text_or_null(of->datum));
    json_set(object, "differences", json_integer(of->difference_count));
    json_set(object, "not_known", json_integer(of->not_known_count));
    json_set(object, "places", lists[0]);
    json_set(object, "checks", lists[1]);
    json_set(object, "figures", lists[2]);
    json_set(object, "seats", lists[3]);
    json_set(object, "seats_not_tried", json_integer(of->seats_left_out));
    json_set(object, "caution", json_text(answer->caution));
    return json_write(writer, object);
}
