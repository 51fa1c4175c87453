/* SPDX-License-Identifier: MIT */
/*
 * The answer to `compare` in words: what differs first, with the checks that each
 * difference touches, then what is not known, how the checks and figures come out with
 * either, and what is the same last and short.
 */
#include "render_compare.h"

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

static void write_same_features(const struct compare_writer *compare,
                                const struct compared_place *place, uint32_t *unrecorded)
{
    struct arena *arena = compare->writer->arena;
    text_list same = {0};
    for (uint32_t i = 0; i < place->feature_count; i++) {
        const struct compared_feature *feature = &place->features[i];
        *unrecorded += feature->unrecorded;
        if (feature->difference == CONTRAST_NONE && !has_carried(feature)) {
            texts_add(arena, &same, compared_feature_text(arena, feature));
        }
    }
    const text all = texts_join(arena, &same);
    if (all.length > 0) {
        write_wrapped(compare->writer,
                      place->place.length == 0
                          ? TEXT("  ")
                          : text_format(arena, "  %.*s: ", TEXT_ARG(place->place)),
                      all);
    }
}

static void write_same(const struct compare_writer *compare)
{
    const struct comparison *of = compare->of;
    struct arena *arena = compare->writer->arena;
    uint32_t unrecorded = 0;
    text places = {"", 0};
    render_heading(compare->writer, "The same, as far as both record it");
    for (uint32_t p = 0; p < of->place_count; p++) {
        const struct compared_place *place = &of->places[p];
        if (place->place.length > 0 && place->difference == CONTRAST_NONE) {
            places = text_format(arena, "%.*s%s%.*s", TEXT_ARG(places),
                                 places.length == 0 ? "" : ", ", TEXT_ARG(place->place));
        }
    }
    if (places.length > 0) {
        write_wrapped(compare->writer, TEXT("  places "), places);
    }
    for (uint32_t p = 0; p < of->place_count; p++) {
        write_same_features(compare, &of->places[p], &unrecorded);
    }
    if (unrecorded > 0) {
        write_format(compare->writer, "  neither records %u more field%s\n", unrecorded,
                     unrecorded == 1 ? "" : "s");
    }
}

/* ---- the whole */

static void write_opening(const struct compare_writer *compare)
{
    const struct comparison *of = compare->of;
    struct writer *writer = compare->writer;
    struct arena *arena = writer->arena;
    write_wrapped(writer, TEXT(""),
                  of->difference_count == 0
                      ? text_format(arena, "no difference%s",
                                    of->not_known_count > 0 ? " that both record" : "")
                      : text_format(arena, "%u difference%s", of->difference_count,
                                    of->difference_count == 1 ? "" : "s"));
    write_wrapped(writer, TEXT("  first    "), of->first);
    write_wrapped(writer, TEXT("  second   "), of->second);
    if (of->datum.length > 0) {
        write_wrapped(writer, TEXT("  counted  "),
                      text_format(arena, "from %.*s, + is out", TEXT_ARG(of->datum)));
    } else {
        write_wrapped(writer, TEXT("  counted  "),
                      TEXT("from nothing: no face is the datum of one and there in the "
                           "other"));
    }
}

void render_compare_text(struct writer *writer, const struct answer *answer)
{
    const struct compare_writer compare = {writer, answer->comparison};
    write_opening(&compare);
    render_given(writer, answer);
    for (uint32_t i = 0; i < compare.of->place_count; i++) {
        compare_write_place(&compare, &compare.of->places[i]);
    }
    compare_write_not_known(&compare);
    if (compare.of->is_of_units) {
        render_heading(writer, "Checks, each asked of its own unit");
        compare_write_checks(&compare, UINT32_MAX);
    } else {
        compare_write_seats(&compare);
    }
    write_same(&compare);
    render_heading(writer, "Caution");
    write_wrapped(writer, TEXT("  "), answer->caution);
}
