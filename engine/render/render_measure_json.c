/* SPDX-License-Identifier: MIT */
/* The answer to `measure` as JSON. An end that is open is null. */
#include "json_answer.h"

#include "measure.h"

#include <math.h>

static json_t *end_json(struct dimension dim, double value)
{
    return isfinite(value) ? json_magnitude(dim, value) : json_null();
}

static json_t *use_json(const struct measurement *item, const struct reading_use *use)
{
    json_t *object = json_object();
    json_t *readings = json_array();
    for (uint32_t i = 0; i < use->stretch_count; i++) {
        const struct reading_stretch *stretch = &use->stretches[i];
        json_t *one = json_object();
        json_set(one, "from", end_json(item->of->dim, stretch->from));
        json_set(one, "to", end_json(item->of->dim, stretch->to));
        json_set(one, "outcome", json_word(outcome_word(stretch->outcome)));
        json_push(readings, one);
    }
    for (uint32_t i = 0; i < use->choice_count; i++) {
        json_t *one = json_object();
        json_set(one, "word", json_text(use->choices[i].word));
        json_set(one, "outcome", json_word(outcome_word(use->choices[i].outcome)));
        json_push(readings, one);
    }
    json_set(object, "finding", json_integer(use->finding->id));
    json_set(object, "rule", json_text(use->finding->name));
    json_set(object, "alone", json_boolean(use->alone));
    json_set(object, "readings", readings);
    return object;
}

static json_t *measurement_json(const struct measurement *item)
{
    static const char *const states[] = {"fine", "coarse", "none"};
    json_t *object = json_object();
    json_t *uses = json_array();
    for (uint32_t i = 0; i < item->use_count; i++) {
        json_push(uses, use_json(item, &item->uses[i]));
    }
    json_set(object, "dimension", json_text(item->dimension));
    json_set(object, "piece", json_text(item->piece));
    json_set(object, "says", json_text(item->says));
    json_set(object, "from_face",
             item->datum.length == 0 ? json_null() : json_text(item->datum));
    json_set(object, "where",
             json_word(item->reach == REACH_IN_HAND ? "in hand" : "unit apart"));
    json_set(object, "unit",
             item->is_word ? json_null() : json_word(json_unit(item->of->dim).symbol));
    json_set(object, "good_enough",
             isnan(item->good_enough) ? json_null()
                                      : json_step(item->of->dim, item->good_enough));
    json_set(object, "got_by", json_text(item->gauges));
    json_set(object, "gauge",
             item->gauge.length == 0 ? json_null() : json_text(item->gauge));
    json_set(object, "uncertainty",
             isnan(item->uncertainty) || item->is_word
                 ? json_null()
                 : json_step(item->of->dim, item->uncertainty));
    json_set(object, "gauge_is", json_word(states[item->gauge_state]));
    json_set(object, "decides", uses);
    return object;
}

status render_measure_json(struct writer *writer, const struct answer *answer)
{
    const struct measure *measure = answer->measure;
    json_t *object = answer_open_json(writer, answer);
    json_t *list = json_array();
    json_t *others = json_array();
    for (uint32_t i = 0; i < measure->count; i++) {
        json_push(list, measurement_json(&measure->measurements[i]));
    }
    for (uint32_t i = 0; i < measure->other_count; i++) {
        json_t *other = json_object();
        json_set(other, "finding", json_integer(measure->others[i]->id));
        json_set(other, "rule", json_text(measure->others[i]->name));
        json_set(other, "sentence", json_text(measure->others[i]->sentence));
        json_push(others, other);
    }
    json_set(object, "verdict", json_word(verdict_word(answer->verdict)));
    json_set(object, "because", texts_json(answer->because, answer->because_count));
    json_set(object, "measure", list);
    json_set(object, "not_measurable", others);
    json_set(object, "asked_again", json_integer((json_int_t)measure->asked));
    json_set(object, "caution", json_text(answer->caution));
    return json_write(writer, object);
}
