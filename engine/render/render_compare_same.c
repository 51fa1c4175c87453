/* SPDX-License-Identifier: MIT */
/* What one of the two does not record, and what is the same as far as both do. */
#include "render_compare.h"

/* ---- what is not known */

static text unknown_value(struct arena *arena, const struct compared_place *place,
                          const struct compared_feature *feature,
                          const struct compared_value *value)
{
    const bool has_first =
        value->first.kind != VALUE_MISSING &&
        (value->first.kind != VALUE_QUANTITY || !form_misses(value->first.quantity));
    const bool has_second =
        value->second.kind != VALUE_MISSING &&
        (value->second.kind != VALUE_QUANTITY || !form_misses(value->second.quantity));
    const text what = text_format(arena, "%.*s%s%.*s, %.*s", TEXT_ARG(place->place),
                                  place->place.length > 0 ? ": " : "",
                                  TEXT_ARG(compared_feature_text(arena, feature)),
                                  TEXT_ARG(value->field));
    return has_first && has_second
               ? text_format(arena,
                             "%.*s: the two are counted from nothing that both have",
                             TEXT_ARG(what))
               : text_format(arena, "%.*s: the %s alone records it (%.*s)",
                             TEXT_ARG(what), has_first ? "first" : "second",
                             TEXT_ARG(has_first
                                          ? compared_cell(arena, &value->first,
                                                          value->first_word, NULL)
                                          : compared_cell(arena, &value->second,
                                                          value->second_word, NULL)));
}

/* The values of a feature that one of the two does not record, or the whole of it. */
static void feature_not_known(struct arena *arena, const struct compared_place *place,
                              const struct compared_feature *feature,
                              compare_lines *lines)
{
    if (feature->difference == CONTRAST_NOT_KNOWN && feature->is_of_partial_list) {
        compare_say(arena, lines, (text){"", 0},
                    text_format(arena,
                                "%.*s%s%.*s: one of the two lists it; the list of the "
                                "other is not complete",
                                TEXT_ARG(place->place),
                                place->place.length > 0 ? ": " : "",
                                TEXT_ARG(compared_feature_text(arena, feature))),
                    (text){"", 0});
        return;
    }
    for (uint32_t k = 0; !is_of_one_alone(feature) && k < feature->value_count; k++) {
        if (feature->values[k].difference == CONTRAST_NOT_KNOWN) {
            compare_say(arena, lines, (text){"", 0},
                        unknown_value(arena, place, feature, &feature->values[k]),
                        (text){"", 0});
        }
    }
}

void compare_not_known(struct arena *arena, const struct comparison *of,
                       compare_lines *lines)
{
    for (uint32_t p = 0; of->not_known_count > 0 && p < of->place_count; p++) {
        const struct compared_place *place = &of->places[p];
        if (place->difference == CONTRAST_NOT_KNOWN) {
            compare_say(arena, lines, (text){"", 0},
                        text_format(arena, "%.*s: where it lies in one of the two",
                                    TEXT_ARG(place->place)),
                        (text){"", 0});
        }
        for (uint32_t i = 0; i < place->feature_count; i++) {
            feature_not_known(arena, place, &place->features[i], lines);
        }
    }
}

/* ---- what is the same */

static bool has_carried(const struct compared_feature *feature)
{
    for (uint32_t i = 0; i < feature->value_count; i++) {
        if (feature->values[i].is_carried) {
            return true;
        }
    }
    return false;
}

static text same_features(struct arena *arena, const struct compared_place *place)
{
    text_list same = {0};
    for (uint32_t i = 0; i < place->feature_count; i++) {
        const struct compared_feature *feature = &place->features[i];
        if (feature->difference == CONTRAST_NONE && !has_carried(feature)) {
            texts_add(arena, &same, compared_feature_text(arena, feature));
        }
    }
    return texts_join(arena, &same);
}

static text same_places(struct arena *arena, const struct comparison *of)
{
    text_list places = {0};
    for (uint32_t p = 0; p < of->place_count; p++) {
        const struct compared_place *place = &of->places[p];
        if (place->place.length > 0 && place->difference == CONTRAST_NONE) {
            texts_add(arena, &places, place->place);
        }
    }
    return texts_join(arena, &places);
}

void compare_same(struct arena *arena, const struct comparison *of, compare_lines *lines)
{
    const text places = same_places(arena, of);
    if (places.length > 0) {
        compare_say(arena, lines, TEXT("places"), places, (text){"", 0});
    }
    for (uint32_t p = 0; p < of->place_count; p++) {
        const text all = same_features(arena, &of->places[p]);
        if (all.length > 0) {
            compare_say(arena, lines, of->places[p].place, all, (text){"", 0});
        }
    }
}

text compare_unrecorded(struct arena *arena, const struct comparison *of)
{
    uint32_t count = 0;
    for (uint32_t p = 0; p < of->place_count; p++) {
        for (uint32_t i = 0; i < of->places[p].feature_count; i++) {
            count += of->places[p].features[i].unrecorded;
        }
    }
    return count == 0 ? (text){"", 0}
                      : text_format(arena, "neither records %u more field%s", count,
                                    count == 1 ? "" : "s");
}
