/* SPDX-License-Identifier: MIT */
/* What `identify` found, one thing at a time. */
#include "facade_private.h"

#include "identify.h"
#include "render_words.h"

static const char *terminated(const whyfit_answer *answer, text a)
{
    return text_copy(answer->arena, a).at;
}

static whyfit_candidate candidate_from(const whyfit_answer *answer,
                                       const struct candidate *from, text because)
{
    return (whyfit_candidate){.name = terminated(answer, from->name),
                              .title = terminated(answer, from->title),
                              .kind = terminated(answer, from->kind),
                              .is_unit = from->is_unit,
                              .hinted = from->hinted == HINTED_FOR       ? 1
                                        : from->hinted == HINTED_AGAINST ? -1
                                                                         : 0,
                              .because = terminated(answer, because)};
}

size_t whyfit_answer_left_count(const whyfit_answer *answer)
{
    const struct identification *made = answer->answer->identification;
    return made == NULL ? 0 : made->left_count;
}

size_t whyfit_answer_fallen_count(const whyfit_answer *answer)
{
    const struct identification *made = answer->answer->identification;
    return made == NULL ? 0 : made->fallen_count;
}

bool whyfit_answer_left(const whyfit_answer *answer, size_t i,
                        whyfit_candidate *candidate)
{
    const struct identification *made = answer->answer->identification;
    if (made == NULL || i >= made->left_shown) {
        return false;
    }
    *candidate = candidate_from(answer, &made->left[i], (text){"", 0});
    return true;
}

bool whyfit_answer_fallen(const whyfit_answer *answer, size_t i,
                          whyfit_candidate *candidate)
{
    const struct identification *made = answer->answer->identification;
    if (made == NULL || i >= made->fallen_shown) {
        return false;
    }
    const struct fallen *from = &made->fallen[i];
    *candidate = candidate_from(answer, &from->candidate,
                                render_misfit(answer->arena, &from->misfits[0]));
    return true;
}

bool whyfit_answer_look(const whyfit_answer *answer, size_t i, whyfit_look *look)
{
    const struct identification *made = answer->answer->identification;
    if (made == NULL || i >= made->look_count) {
        return false;
    }
    const struct look *from = &made->looks[i];
    *look = (whyfit_look){.name = terminated(answer, from->name),
                          .asks = render_look(answer->arena, from).at,
                          .like = terminated(answer, from->like),
                          .kind = look_kind_word(from->kind),
                          .way = terminated(answer, from->way_title),
                          .minutes = from->minutes,
                          .needs_opening = from->needs_opening,
                          .bits = from->bits,
                          .most_left = from->most_left};
    return true;
}

bool whyfit_answer_look_value(const whyfit_answer *answer, size_t look, size_t i,
                              const char **value, size_t *left)
{
    const struct identification *made = answer->answer->identification;
    if (made == NULL || look >= made->look_count || i >= made->looks[look].answer_count) {
        return false;
    }
    *value = terminated(answer, made->looks[look].answers[i].value);
    *left = made->looks[look].answers[i].left;
    return true;
}
