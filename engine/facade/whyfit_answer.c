/* SPDX-License-Identifier: MIT */
/* What an answer says, one thing at a time. */
#include "facade_private.h"

#include "explanation.h"
#include "measure.h"

#include <math.h>

whyfit_verdict whyfit_answer_verdict(const whyfit_answer *answer)
{
    return (whyfit_verdict)answer->answer->verdict;
}

const char *whyfit_verdict_word(whyfit_verdict verdict)
{
    return verdict_word((enum verdict)verdict);
}

static const char *terminated(const whyfit_answer *answer, text a)
{
    return text_copy(answer->arena, a).at;
}

const char *whyfit_answer_because(const whyfit_answer *answer, size_t i)
{
    return i < answer->answer->because_count
               ? terminated(answer, answer->answer->because[i])
               : NULL;
}

whyfit_effort whyfit_answer_effort(const whyfit_answer *answer)
{
    const struct effort *effort = &answer->answer->effort;
    return (whyfit_effort){effort->rows_read, effort->counts.rows_added,
                           effort->counts.premises_tried};
}

size_t whyfit_answer_row_count(const whyfit_answer *answer)
{
    const struct explanation *explanation = answer->answer->explanation;
    return explanation == NULL ? 0 : explanation->match_count;
}

whyfit_leaks whyfit_answer_leaks(const whyfit_answer *answer)
{
    return (whyfit_leaks)answer->answer->leaks;
}

size_t whyfit_answer_finding_count(const whyfit_answer *answer)
{
    return answer->answer->finding_count;
}

bool whyfit_answer_finding(const whyfit_answer *answer, size_t i, whyfit_finding *finding)
{
    if (i >= answer->answer->finding_count) {
        return false;
    }
    const struct finding *from = &answer->answer->findings[i];
    const struct form *margin = from->margin;
    struct unit unit = {.symbol = "", .scale = 1.0};
    double nominal = NAN;
    if (margin != NULL) {
        (void)unit_shown(margin->dim, &unit);
        (void)form_nominal(margin, &nominal);
    }
    *finding = (whyfit_finding){
        .id = from->id,
        .rule = terminated(answer, from->name),
        .outcome = (whyfit_outcome)from->outcome,
        .stops = from->weight == WEIGHT_STOPS,
        .counts = from->counts,
        .nominal = unit_from_coherent(&unit, nominal),
        .least = margin == NULL ? NAN : unit_from_coherent(&unit, margin->least),
        .greatest = margin == NULL ? NAN : unit_from_coherent(&unit, margin->greatest),
        .spread = margin == NULL ? NAN : form_spread(margin) / unit.scale,
        .unit = unit.symbol,
        .sentence = terminated(answer, from->sentence),
        .source = terminated(answer, from->source)};
    return true;
}

const char *whyfit_answer_subject(const whyfit_answer *answer, size_t i,
                                  const char *variable)
{
    if (i >= answer->answer->finding_count) {
        return NULL;
    }
    const struct finding *from = &answer->answer->findings[i];
    for (uint32_t k = 0; k < from->subject_count; k++) {
        if (text_is(from->subject[k].column, variable)) {
            return terminated(answer, from->subject[k].value);
        }
    }
    return NULL;
}

const char *whyfit_answer_measurement(const whyfit_answer *answer, size_t i)
{
    const struct measure *measure = answer->answer->measure;
    return measure != NULL && i < measure->count
               ? terminated(answer, measure->measurements[i].dimension)
               : NULL;
}

const char *whyfit_answer_work(const whyfit_answer *answer, size_t i)
{
    return i < answer->answer->work_count
               ? terminated(answer, answer->answer->work[i].what)
               : NULL;
}

const char *whyfit_answer_left_over(const whyfit_answer *answer, size_t i)
{
    return i < answer->answer->left_over_count
               ? terminated(answer, answer->answer->left_over[i])
               : NULL;
}

const char *whyfit_answer_left_empty(const whyfit_answer *answer, size_t i)
{
    return i < answer->answer->left_empty_count
               ? terminated(answer, answer->answer->left_empty[i])
               : NULL;
}

const char *whyfit_answer_assumed(const whyfit_answer *answer, size_t i)
{
    return i < answer->answer->assumed_count
               ? terminated(answer, answer->answer->assumed[i])
               : NULL;
}

const char *whyfit_answer_missing(const whyfit_answer *answer, size_t i)
{
    return i < answer->answer->missing_count
               ? terminated(answer, answer->answer->missing[i].of->name)
               : NULL;
}

const char *whyfit_answer_picture(const whyfit_answer *answer, size_t i)
{
    const text *pictures = NULL;
    const uint32_t count = answer_pictures(answer->arena, answer->answer, &pictures);
    return i < count ? terminated(answer, pictures[i]) : NULL;
}
