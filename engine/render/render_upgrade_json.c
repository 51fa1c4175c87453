/* SPDX-License-Identifier: MIT */
/* Change sets as JSON. A set has what its swap says in short; `whyfit swap` with the
 * same changes has its findings and steps. */
#include "json_answer.h"

#include "upgrade.h"

static json_t *amount_json(const struct stated_cost *cost)
{
    return cost == NULL || !cost->is_stated ? json_null()
                                            : json_magnitude(cost->dim, cost->amount);
}

static json_t *hours_json(bool is_known, double seconds)
{
    struct unit hour = {.scale = 1};
    (void)unit_find(TEXT("h"), &hour);
    return is_known ? json_number(unit_from_coherent(&hour, seconds)) : json_null();
}

static json_t *currency_json(struct dimension dim, bool is_known)
{
    return is_known && dimension_is_money(dim) ? json_word(json_unit(dim).symbol)
                                               : json_null();
}

void set_upgrade_question(struct arena *arena, json_t *question,
                          const struct upgrade *upgrade)
{
    if (upgrade == NULL) {
        return;
    }
    if (upgrade->toward.length > 0) {
        json_set(question, "toward", json_text(upgrade->toward));
    } else {
        json_set(question, "want", pairs_json(arena, upgrade->want, upgrade->want_count));
    }
    json_set(question, "have", texts_json(upgrade->have, upgrade->have_count));
    json_set(question, "most", json_integer(upgrade->most));
    json_set(question, "tries", json_integer((json_int_t)upgrade->tries));
    json_set(question, "largest", json_integer(upgrade->largest));
}

static json_t *parts_json(const struct change_set_answer *set)
{
    json_t *list = json_array();
    for (uint32_t i = 0; i < set->part_count; i++) {
        const struct set_part *part = &set->parts[i];
        const struct outlay *outlay = part->outlay;
        json_t *one = json_object();
        json_set(one, "place", json_text(part->place));
        json_set(one, "part", json_text(part->part));
        json_set(one, "why", json_word(part_reason_word(part->reason)));
        json_set(one, "at_hand", json_boolean(part->is_had));
        json_set(one, "price", amount_json(outlay == NULL ? NULL : &outlay->price));
        json_set(one, "currency",
                 outlay == NULL
                     ? json_null()
                     : currency_json(outlay->price.dim, outlay->price.is_stated));
        json_set(one, "labour_hours",
                 outlay == NULL
                     ? json_null()
                     : hours_json(outlay->labour.is_stated, outlay->labour.amount));
        json_push(list, one);
    }
    return list;
}

static json_t *cost_json(const struct set_cost *cost)
{
    json_t *object = json_object();
    json_set(object, "pieces", json_integer(cost->pieces));
    json_set(object, "price",
             cost->is_priced && dimension_is_money(cost->currency)
                 ? json_magnitude(cost->currency, cost->price)
             : cost->is_priced ? json_number(0)
                               : json_null());
    json_set(object, "currency", currency_json(cost->currency, cost->is_priced));
    json_set(object, "labour_hours", hours_json(cost->has_labour, cost->labour));
    return object;
}

static json_t *plain_form_json(struct json_writer *writer, const struct form *form)
{
    return value_json(writer, NULL, value_quantity(form), false);
}

static json_t *margins_json(struct json_writer *writer,
                            const struct change_set_answer *set)
{
    static const char *const words[] = {"holds now", "grew", "shrank",
                                        "does not hold now"};
    json_t *list = json_array();
    for (uint32_t i = 0; i < set->margin_count; i++) {
        const struct margin_change *change = &set->margins[i];
        json_t *one = json_object();
        json_set(one, "rule", json_text(change->finding->name));
        json_set(one, "subject", subject_json(change->finding));
        json_set(one, "what", json_word(words[change->kind]));
        json_set(one, "before", plain_form_json(writer, change->finding->host->margin));
        json_set(one, "now", plain_form_json(writer, change->finding->margin));
        json_set(one, "by", plain_form_json(writer, change->by));
        json_push(list, one);
    }
    return list;
}

static json_t *figures_json(struct json_writer *writer,
                            const struct change_set_answer *set)
{
    json_t *list = json_array();
    for (uint32_t i = 0; i < set->figure_count; i++) {
        const struct figure_change *figure = &set->figures[i];
        json_t *one = json_object();
        json_set(one, "of", json_text(figure->of));
        json_set(one, "what", json_word(figure->is_better ? "better" : "worse"));
        json_set(one, "before", plain_form_json(writer, figure->before));
        json_set(one, "now", plain_form_json(writer, figure->now));
        json_push(list, one);
    }
    return list;
}

static json_t *refused_json(struct arena *arena, const struct refused_set *refused)
{
    json_t *object = json_object();
    json_set(object, "changes",
             pairs_json(arena, refused->changes, refused->change_count));
    json_set(object, "verdict", json_word(verdict_word(refused->verdict)));
    json_set(object, "tried", json_boolean(refused->is_tried));
    json_set(object, "rule", json_text(refused->rule));
    json_set(object, "because", json_text(refused->sentence));
    json_set(object, "conflict",
             pairs_json(arena, refused->conflict, refused->conflict_count));
    return object;
}

static json_t *set_json(struct json_writer *writer, const struct change_set_answer *set)
{
    const struct answer *swap = set->swap;
    json_t *object = json_object();
    json_t *refused = json_array();
    json_set(object, "changes",
             pairs_json(writer->arena, swap->changes, swap->change_count));
    json_set(object, "brought",
             pairs_json(writer->arena, swap->brought, swap->brought_count));
    json_set(object, "verdict", json_word(verdict_word(swap->verdict)));
    json_set(object, "because", texts_json(swap->because, swap->because_count));
    json_set(object, "cost", cost_json(&set->cost));
    json_set(object, "parts", parts_json(set));
    json_set(object, "work", work_json(swap));
    json_set(object, "missing", missing_json(swap));
    json_set(object, "margins", margins_json(writer, set));
    json_set(object, "figures", figures_json(writer, set));
    for (uint32_t i = 0; i < set->refused_count; i++) {
        json_push(refused, refused_json(writer->arena, &set->refused[i]));
    }
    json_set(object, "smaller", refused);
    json_set(object, "left_over", texts_json(swap->left_over, swap->left_over_count));
    json_set(object, "assumed", texts_json(swap->assumed, swap->assumed_count));
    if (swap->taken_count > 0) {
        json_set(object, "taken", texts_json(swap->taken, swap->taken_count));
    }
    return object;
}

static json_t *sets_json(struct json_writer *writer, const struct change_set_answer *sets,
                         uint32_t count)
{
    json_t *list = json_array();
    for (uint32_t i = 0; i < count; i++) {
        json_push(list, set_json(writer, &sets[i]));
    }
    return list;
}

static json_t *search_json(struct json_writer *writer,
                           const struct upgrade_search *search)
{
    json_t *object = json_object();
    json_set(object, "goal", pairs_json(writer->arena, search->goal, search->goal_count));
    json_set(object, "alone",
             search->alone.sentence.length > 0
                 ? refused_json(writer->arena, &search->alone)
                 : json_null());
    json_set(object, "sets", sets_json(writer, search->sets, search->set_count));
    json_set(object, "sets_in_all", json_integer(search->set_total));
    json_set(object, "not_known",
             sets_json(writer, search->not_known, search->not_known_count));
    json_set(object, "not_known_in_all", json_integer(search->not_known_total));
    json_set(object, "tried", json_integer((json_int_t)search->tried));
    json_set(object, "all_tried", json_boolean(!search->is_cut));
    return object;
}

static json_t *candidates_json(const struct upgrade *upgrade)
{
    json_t *list = json_array();
    for (uint32_t i = 0; i < upgrade->candidate_count; i++) {
        json_t *one = json_object();
        json_set(one, "place", json_text(upgrade->candidates[i].place));
        json_set(one, "count", json_integer(upgrade->candidates[i].count));
        json_set(one, "left_out", json_integer(upgrade->candidates[i].left_out));
        json_push(list, one);
    }
    return list;
}

status render_upgrade_json(struct writer *writer, const struct answer *answer)
{
    struct json_writer json = {.answer = answer, .arena = writer->arena};
    const struct upgrade *upgrade = answer->upgrade;
    json_t *object = answer_open_json(writer, answer);
    json_t *searches = json_array();
    for (uint32_t i = 0; i < upgrade->search_count; i++) {
        json_push(searches, search_json(&json, &upgrade->searches[i]));
    }
    json_set(object, "searches", searches);
    json_set(object, "whole",
             upgrade->whole == NULL ? json_null() : set_json(&json, upgrade->whole));
    json_set(object, "whole_price",
             upgrade->whole == NULL ? json_null()
                                    : amount_json(&upgrade->whole_outlay->price));
    json_set(object, "no_place", texts_json(upgrade->no_place, upgrade->no_place_count));
    json_set(object, "candidates", candidates_json(upgrade));
    json_set(object, "by", json_word(upgrade->is_by_price ? "price" : "pieces"));
    json_set(object, "tried", json_integer((json_int_t)upgrade->tried));
    json_set(object, "all_tried", json_boolean(!upgrade->is_cut));
    json_set(object, "caution", json_text(answer->caution));
    return json_write(writer, object);
}
