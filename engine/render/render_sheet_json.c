/* SPDX-License-Identifier: MIT */
/* The answer to `sheet` as JSON. */
#include "json_answer.h"

#include "sheet.h"

static json_t *plan_json(const struct setting_plan *plan)
{
    json_t *object = json_object();
    json_t *choices = json_array();
    for (uint32_t i = 0; i < plan->choice_count; i++) {
        json_t *one = json_object();
        json_set(one, "from", json_magnitude(plan->dim, plan->choices[i].from));
        json_set(one, "to", json_magnitude(plan->dim, plan->choices[i].to));
        json_set(one, "take", json_magnitude(plan->dim, plan->choices[i].take));
        json_push(choices, one);
    }
    json_set(object, "gap", json_text(plan->gap));
    json_set(object, "place", json_text(plan->place));
    json_set(object, "stock",
             plan->stock.length == 0 ? json_null() : json_text(plan->stock));
    json_set(object, "unit", json_word(json_unit(plan->dim).symbol));
    json_set(object, "want_least", json_magnitude(plan->dim, plan->want_least));
    json_set(object, "want_greatest", json_magnitude(plan->dim, plan->want_greatest));
    json_set(object, "start", json_magnitude(plan->dim, plan->start));
    json_set(object, "least", json_magnitude(plan->dim, plan->least));
    json_set(object, "greatest", json_magnitude(plan->dim, plan->greatest));
    json_set(object, "readings", choices);
    return object;
}

static json_t *part_json(const struct sheet_part *part)
{
    json_t *object = json_object();
    json_t *lines = json_array();
    for (uint32_t i = 0; i < part->line_count; i++) {
        json_t *line = json_object();
        json_set(line, "text", json_text(part->lines[i]->sentence));
        json_set(line, "rule", json_text(part->lines[i]->name));
        json_set(line, "source", json_text(part->lines[i]->source));
        json_push(lines, line);
    }
    json_set(object, "section", json_text(part->section));
    json_set(object, "title", json_text(part->title));
    json_set(object, "lines", lines);
    return object;
}

status render_sheet_json(struct writer *writer, const struct answer *answer)
{
    const struct sheet *sheet = answer->sheet;
    json_t *object = answer_open_json(writer, answer);
    json_t *parts = json_array();
    json_t *plans = json_array();
    for (uint32_t i = 0; i < sheet->part_count; i++) {
        json_push(parts, part_json(&sheet->parts[i]));
    }
    for (uint32_t i = 0; i < sheet->plan_count; i++) {
        json_push(plans, plan_json(&sheet->plans[i]));
    }
    json_set(object, "verdict", json_word(verdict_word(answer->verdict)));
    json_set(object, "because", texts_json(answer->because, answer->because_count));
    json_set(object, "work", work_json(answer));
    json_set(object, "sheet", parts);
    json_set(object, "settings", plans);
    json_set(object, "caution", json_text(answer->caution));
    return json_write(writer, object);
}
