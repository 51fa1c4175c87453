/* SPDX-License-Identifier: MIT */
/* What `compare` set side by side, one thing at a time. */
#include "facade_private.h"

#include "compare.h"

static const char *terminated(const whyfit_answer *answer, text a)
{
    return text_copy(answer->arena, a).at;
}

static whyfit_compared themselves(const whyfit_answer *answer,
                                  const struct comparison *of)
{
    return (whyfit_compared){.first = terminated(answer, of->first),
                             .second = terminated(answer, of->second),
                             .place = "",
                             .differs = of->difference_count > 0,
                             .are_units = of->is_of_units};
}

/* The i-th place with a name; NULL past the last. */
static const struct compared_place *place_at(const struct comparison *of, size_t i)
{
    for (uint32_t k = 0; k < of->place_count; k++) {
        if (of->places[k].place.length > 0 && i-- == 0) {
            return &of->places[k];
        }
    }
    return NULL;
}

bool whyfit_answer_compared(const whyfit_answer *answer, size_t i,
                            whyfit_compared *compared)
{
    const struct comparison *of = answer->answer->comparison;
    if (of == NULL) {
        return false;
    }
    if (i == 0) {
        *compared = themselves(answer, of);
        return true;
    }
    const struct compared_place *place = place_at(of, i - 1);
    if (place == NULL) {
        return false;
    }
    *compared = (whyfit_compared){.first = terminated(answer, place->first),
                                  .second = terminated(answer, place->second),
                                  .place = terminated(answer, place->place),
                                  .differs = place->difference != CONTRAST_NONE &&
                                             place->difference != CONTRAST_NOT_KNOWN,
                                  .are_units = place->is_unit};
    return true;
}

bool whyfit_answer_seat(const whyfit_answer *answer, size_t i, whyfit_seat *seat)
{
    const struct comparison *of = answer->answer->comparison;
    if (of == NULL || i >= of->seat_count) {
        return false;
    }
    const struct compared_seat *from = &of->seats[i];
    *seat = (whyfit_seat){
        .unit = terminated(answer, from->unit),
        .place = terminated(answer, from->place),
        .put = terminated(answer, from->holds_second ? of->first : of->second),
        .verdict = (whyfit_verdict)from->verdict};
    return true;
}
