/* SPDX-License-Identifier: MIT */
/* A sweep as JSON: a table of points, and where the verdict turns. */
#include "json_answer.h"

#include "sweep.h"

static json_t *margin_json(struct json_writer *writer, const struct sweep *sweep,
                           const struct sweep_margin *margin)
{
    json_t *object = json_object();
    json_set(object, "rule", json_text(margin->rule));
    json_set(object, "subject", json_text(margin->subject));
    if (margin->margin == NULL) {
        json_set(object, "margin", json_null()); /* no such finding at this value */
        return object;
    }
    json_set(object, "outcome", json_word(outcome_word(margin->outcome)));
    json_set(object, "counts", json_boolean(margin->counts));
    json_set(object, "margin",
             value_json(writer, NULL, value_quantity(margin->margin), false));
    json_set(object, "holds_from", json_magnitude(sweep->dim, margin->holds_from));
    json_set(object, "fails_from", json_magnitude(sweep->dim, margin->fails_from));
    return object;
}

static json_t *point_json(struct json_writer *writer, const struct sweep *sweep,
                          const struct sweep_point *point)
{
    json_t *object = json_object();
    json_t *margins = json_array();
    for (uint32_t i = 0; i < sweep->margin_count; i++) {
        json_push(margins, margin_json(writer, sweep, &point->margins[i]));
    }
    json_set(object, "at", json_magnitude(sweep->dim, point->at));
    json_set(object, "verdict", json_word(verdict_word(point->verdict)));
    json_set(object, "because", json_text(point->because));
    json_set(object, "margins", margins);
    return object;
}

static json_t *turn_json(const struct sweep *sweep, const struct sweep_turn *turn)
{
    json_t *object = json_object();
    json_set(object, "from_verdict", json_word(verdict_word(turn->before)));
    json_set(object, "to_verdict", json_word(verdict_word(turn->after)));
    json_set(object, "exact", json_boolean(turn->is_exact));
    json_set(object, "low", json_magnitude(sweep->dim, turn->low));
    json_set(object, "high", json_magnitude(sweep->dim, turn->high));
    json_set(object, "rule", turn->is_exact ? json_text(turn->rule) : json_null());
    return object;
}

void set_sweep_question(struct arena *arena, json_t *question, const struct sweep *sweep)
{
    if (sweep != NULL) {
        json_t *object = json_object();
        json_set(object, text_copy(arena, sweep->of).at, json_text(sweep->range));
        json_set(question, "sweep", object);
    }
}

static json_t *sweep_json(struct json_writer *writer, const struct sweep *sweep)
{
    json_t *object = json_object();
    json_t *points = json_array();
    json_t *turns = json_array();
    for (uint32_t i = 0; i < sweep->point_count; i++) {
        json_push(points, point_json(writer, sweep, &sweep->points[i]));
    }
    for (uint32_t i = 0; i < sweep->turn_count; i++) {
        json_push(turns, turn_json(sweep, &sweep->turns[i]));
    }
    json_set(object, "of", json_text(sweep->of));
    json_set(object, "unit", json_word(json_unit(sweep->dim).symbol));
    json_set(object, "from", json_magnitude(sweep->dim, sweep->from));
    json_set(object, "to", json_magnitude(sweep->dim, sweep->to));
    json_set(object, "steps", json_integer(sweep->steps));
    json_set(object, "low",
             sweep->has_width ? json_step(sweep->dim, sweep->width_low) : json_null());
    json_set(object, "high",
             sweep->has_width ? json_step(sweep->dim, sweep->width_high) : json_null());
    json_set(object, "turns", turns);
    json_set(object, "points", points);
    return object;
}

status render_sweep_json(struct writer *writer, const struct answer *answer)
{
    struct json_writer json = {.answer = answer, .arena = writer->arena};
    json_t *object = answer_open_json(writer, answer);
    json_set(object, "sweep", sweep_json(&json, answer->sweep));
    json_set(object, "caution", json_text(answer->caution));
    return json_write(writer, object);
}
