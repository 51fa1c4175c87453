/* SPDX-License-Identifier: MIT */
/* The answer to `identify` as JSON, for whoever asks look by look. */
#include "json_answer.h"
#include "render_words.h"

#include <math.h>

static json_t *optional(text a)
{
    return a.length == 0 ? json_null() : json_text(a);
}

static json_t *finite_json(double value)
{
    return isfinite(value) ? json_number(value) : json_null();
}

static json_t *candidate_json(const struct candidate *candidate)
{
    static const char *const hinted[] = {"for", "none", "against"};
    json_t *object = json_object();
    json_set(object, "name", json_text(candidate->name));
    json_set(object, "title", json_text(candidate->title));
    json_set(object, "is", json_word(candidate->is_unit ? "unit" : "part"));
    json_set(object, "kind", optional(candidate->kind));
    json_set(object, "number", optional(candidate->number));
    json_set(object, "superseded_by", optional(candidate->superseded_by));
    json_set(object, "hint", json_word(hinted[candidate->hinted]));
    json_set(object, "hints", texts_json(candidate->hints, candidate->hint_count));
    return object;
}

static json_t *fallen_json(struct arena *arena, const struct fallen *fallen)
{
    json_t *object = candidate_json(&fallen->candidate);
    json_t *because = json_array();
    json_t *misfits = json_array();
    for (uint32_t i = 0; i < fallen->misfit_count; i++) {
        const struct misfit *misfit = &fallen->misfits[i];
        json_t *one = json_object();
        json_set(one, "field", json_text(misfit->field));
        json_set(one, "is", optional(misfit->is));
        json_set(one, "seen", json_text(misfit->seen));
        json_push(misfits, one);
        json_push(because, json_text(render_misfit(arena, misfit)));
    }
    json_set(object, "because", because);
    json_set(object, "misfits", misfits);
    return object;
}

static json_t *look_json(struct arena *arena, const struct look *look)
{
    json_t *object = json_object();
    json_t *answers = json_array();
    for (uint32_t i = 0; i < look->answer_count; i++) {
        json_t *one = json_object();
        json_set(one, "value", json_text(look->answers[i].value));
        json_set(one, "left", json_integer(look->answers[i].left));
        json_push(answers, one);
    }
    const bool is_quantity = look->kind == LOOK_QUANTITY;
    json_set(object, "field", json_text(look->name));
    json_set(object, "asks", json_text(render_look(arena, look)));
    json_set(object, "says", json_text(look->says));
    json_set(object, "like", optional(look->like));
    json_set(object, "kind", json_word(look_kind_word(look->kind)));
    json_set(object, "unit",
             is_quantity ? json_word(json_unit(look->dim).symbol) : json_null());
    json_set(object, "from_face", optional(look->from));
    json_set(object, "way", json_text(look->way));
    json_set(object, "uncertainty",
             is_quantity && isfinite(look->uncertainty)
                 ? json_step(look->dim, look->uncertainty)
                 : json_null());
    json_set(object, "minutes", finite_json(look->minutes));
    json_set(object, "needs_opening", json_boolean(look->needs_opening));
    json_set(object, "bits", json_number(round(look->bits * 1e6) / 1e6));
    json_set(object, "mean_left", json_number(round(look->mean_left * 1e6) / 1e6));
    json_set(object, "most_left", json_integer(look->most_left));
    json_set(object, "answers", answers);
    return object;
}

static json_t *taken_json(struct arena *arena, const struct identification *made)
{
    json_t *object = json_object();
    for (uint32_t i = 0; i < made->seen_count; i++) {
        const struct seen_echo *one = &made->seen[i];
        json_set(object, text_copy(arena, one->name).at,
                 json_text(one->taken.length == 0 ? one->value : one->taken));
    }
    return object;
}

json_t *identify_question_json(struct arena *arena, const struct answer *answer)
{
    const struct identification *made = answer->identification;
    json_t *question = json_object();
    json_t *seen = json_object();
    json_t *hints = json_object();
    for (uint32_t i = 0; i < made->seen_count; i++) {
        const struct seen_echo *one = &made->seen[i];
        json_set(one->is_hint ? hints : seen, text_copy(arena, one->name).at,
                 json_text(one->value));
    }
    json_set(question, "command", json_text(answer->command));
    json_set(question, "of", json_text(made->of));
    json_set(question, "seen", seen);
    json_set(question, "hints", hints);
    json_set(question, "most", json_integer(made->most));
    if (made->gauges.length > 0) {
        json_set(question, "gauges", json_text(made->gauges));
    }
    return question;
}

status render_identify_json(struct writer *writer, const struct answer *answer)
{
    const struct identification *made = answer->identification;
    json_t *object = answer_open_json(writer, answer);
    json_t *left = json_array();
    json_t *fallen = json_array();
    json_t *looks = json_array();
    for (uint32_t i = 0; i < made->left_shown; i++) {
        json_push(left, candidate_json(&made->left[i]));
    }
    for (uint32_t i = 0; i < made->fallen_shown; i++) {
        json_push(fallen, fallen_json(writer->arena, &made->fallen[i]));
    }
    for (uint32_t i = 0; i < made->look_count; i++) {
        json_push(looks, look_json(writer->arena, &made->looks[i]));
    }
    json_set(object, "seen_as", taken_json(writer->arena, made));
    json_set(object, "candidates", json_integer(made->candidate_count));
    json_set(object, "left_count", json_integer(made->left_count));
    json_set(object, "left", left);
    json_set(object, "fallen_count", json_integer(made->fallen_count));
    json_set(object, "fallen", fallen);
    json_set(object, "look_count", json_integer(made->look_total));
    json_set(object, "looks", looks);
    json_set(object, "caution", json_text(answer->caution));
    return json_write(writer, object);
}
