/* SPDX-License-Identifier: MIT */
/* What differs between two parts, or in a place of two units: what one has alone, what is
 * moved, resized or otherwise, with the checks that rest on it, and what was only carried
 * along; and what one of the two does not record. */
#include "render_compare.h"

/* ---- what a difference touches */

static text rule_of(const struct compared_check *check)
{
    return check->first != NULL ? check->first->name : check->second->name;
}

/* The rules that any of the values touches. */
static void write_touched(const struct compare_writer *compare,
                          const struct compared_value *const *values, uint32_t count)
{
    text_list rules = {0};
    for (uint32_t v = 0; v < count; v++) {
        for (uint32_t t = 0; t < values[v]->touch_count; t++) {
            texts_add(compare->writer->arena, &rules,
                      rule_of(&compare->of->checks[values[v]->touches[t]]));
        }
    }
    if (rules.count > 0) {
        write_wrapped(compare->writer, TEXT("           touches "),
                      texts_join(compare->writer->arena, &rules));
    }
}

/* ---- features */

/* Values of one feature that differ alike: one, or all that moved by as much. */
static void write_difference(const struct compare_writer *compare,
                             const struct compared_feature *feature,
                             const struct compared_value *const *values, uint32_t count)
{
    struct arena *arena = compare->writer->arena;
    text fields = {"", 0};
    for (uint32_t i = 0; i < count; i++) {
        fields = text_format(arena, "%.*s%s%.*s", TEXT_ARG(fields), i == 0 ? "" : ", ",
                             TEXT_ARG(values[i]->field));
    }
    write_wrapped(compare->writer,
                  text_format(arena, "  %-7s  ", contrast_word(values[0]->difference)),
                  text_format(arena, "%.*s, %.*s: %.*s",
                              TEXT_ARG(compared_feature_text(arena, feature)),
                              TEXT_ARG(fields),
                              TEXT_ARG(compared_sentence(arena, values, count))));
    write_touched(compare, values, count);
}

/* A feature that one of the two has alone, with all that is recorded of it. */
static void write_alone(const struct compare_writer *compare,
                        const struct compared_feature *feature)
{
    struct arena *arena = compare->writer->arena;
    text all = {"", 0};
    const struct compared_value **values =
        ARENA_MANY(arena, feature->value_count, const struct compared_value *);
    for (uint32_t i = 0; values != NULL && i < feature->value_count; i++) {
        const struct compared_value *value = &feature->values[i];
        values[i] = value;
        all = text_format(arena, "%.*s%s%.*s %.*s", TEXT_ARG(all),
                          all.length == 0 ? ": " : ", ", TEXT_ARG(value->field),
                          TEXT_ARG(feature->difference == CONTRAST_GONE
                                       ? compared_first(arena, value)
                                       : compared_second(arena, value)));
    }
    write_wrapped(compare->writer,
                  text_format(arena, "  %-7s  ", contrast_word(feature->difference)),
                  text_format(arena, "%.*s%.*s",
                              TEXT_ARG(compared_feature_text(arena, feature)),
                              TEXT_ARG(all)));
    if (values != NULL) {
        write_touched(compare, values, feature->value_count);
    }
}

static bool is_moved_alike(const struct compared_value *a, const struct compared_value *b)
{
    return a->difference == CONTRAST_MOVED && b->difference == CONTRAST_MOVED &&
           a->is_carried == b->is_carried && a->by == b->by && a->limits == b->limits &&
           text_equal(a->with, b->with);
}

/* Each value that differs, with those after it that moved alike. */
static void write_values(const struct compare_writer *compare,
                         const struct compared_feature *feature)
{
    struct arena *arena = compare->writer->arena;
    const struct compared_value **alike =
        ARENA_MANY(arena, feature->value_count, const struct compared_value *);
    for (uint32_t i = 0; alike != NULL && i < feature->value_count; i++) {
        const struct compared_value *value = &feature->values[i];
        uint32_t count = 0;
        bool is_written = false;
        for (uint32_t k = 0; k < i; k++) {
            is_written = is_written || is_moved_alike(&feature->values[k], value);
        }
        if (is_written || value->is_carried || !is_told(value->difference)) {
            continue;
        }
        alike[count++] = value;
        for (uint32_t k = i + 1; k < feature->value_count; k++) {
            if (is_moved_alike(value, &feature->values[k])) {
                alike[count++] = &feature->values[k];
            }
        }
        write_difference(compare, feature, alike, count);
    }
}

/* ---- what is carried along */

static bool is_carried_alike(const struct compared_value *a,
                             const struct compared_value *b)
{
    return a->is_carried && b->is_carried && a->difference == b->difference &&
           a->by == b->by && text_equal(a->with, b->with);
}

/* Whether a value before this one was carried alike. */
static bool is_carried_before(const struct compared_place *place, uint32_t feature,
                              uint32_t value)
{
    for (uint32_t i = 0; i <= feature; i++) {
        const struct compared_feature *one = &place->features[i];
        for (uint32_t k = 0; k < one->value_count && (i < feature || k < value); k++) {
            if (is_carried_alike(&one->values[k],
                                 &place->features[feature].values[value])) {
                return true;
            }
        }
    }
    return false;
}

/* "face seal-seat, at; run seal-bore, from and to": all that was carried as this one. */
static text carried_text(struct arena *arena, const struct compared_place *place,
                         const struct compared_value *of)
{
    text all = {"", 0};
    for (uint32_t i = 0; i < place->feature_count; i++) {
        const struct compared_feature *one = &place->features[i];
        text fields = {"", 0};
        for (uint32_t k = 0; k < one->value_count; k++) {
            if (is_carried_alike(&one->values[k], of)) {
                fields = text_format(arena, "%.*s%s%.*s", TEXT_ARG(fields),
                                     fields.length == 0 ? "" : " and ",
                                     TEXT_ARG(one->values[k].field));
            }
        }
        if (fields.length > 0) {
            all = text_format(
                arena, "%.*s%s%.*s, %.*s", TEXT_ARG(all), all.length == 0 ? "" : "; ",
                TEXT_ARG(compared_feature_text(arena, one)), TEXT_ARG(fields));
        }
    }
    return all;
}

static void write_carried(const struct compare_writer *compare,
                          const struct compared_place *place)
{
    struct arena *arena = compare->writer->arena;
    for (uint32_t i = 0; i < place->feature_count; i++) {
        for (uint32_t k = 0; k < place->features[i].value_count; k++) {
            const struct compared_value *value = &place->features[i].values[k];
            if (!value->is_carried || is_carried_before(place, i, k)) {
                continue;
            }
            const text by =
                value->difference == CONTRAST_MOVED
                    ? text_format(arena, "%.*s %s", TEXT_ARG(compared_by(arena, value)),
                                  value->by > 0 ? "out" : "in")
                    : TEXT("other limits");
            write_wrapped(
                compare->writer, TEXT("  carried  "),
                text_format(
                    arena, "%.*s with %.*s: %.*s", TEXT_ARG(by),
                    TEXT_ARG(value->with.length > 0 ? value->with : TEXT("the piece")),
                    TEXT_ARG(carried_text(arena, place, value))));
        }
    }
}

static bool has_differences(const struct compared_place *place)
{
    bool has_any = is_told(place->difference);
    for (uint32_t i = 0; !has_any && i < place->feature_count; i++) {
        has_any = is_told(place->features[i].difference);
    }
    return has_any;
}

static void write_features(const struct compare_writer *compare,
                           const struct compared_place *place)
{
    for (uint32_t i = 0; i < place->feature_count; i++) {
        if (is_of_one_alone(&place->features[i])) {
            write_alone(compare, &place->features[i]);
        }
    }
    for (uint32_t i = 0; i < place->feature_count; i++) {
        if (!is_of_one_alone(&place->features[i])) {
            write_values(compare, &place->features[i]);
        }
    }
    write_carried(compare, place);
}

static text place_sentence(struct arena *arena, const struct compared_place *place)
{
    const struct compared_value *moved = &place->moved;
    text lies = {"", 0};
    if (moved->field.length > 0 && is_told(moved->difference)) {
        lies =
            text_format(arena, ", %.*s", TEXT_ARG(compared_sentence(arena, &moved, 1)));
    }
    const char *turned = place->is_turned ? ", the other way round" : "";
    if (place->difference == CONTRAST_ADDED || place->difference == CONTRAST_GONE) {
        return text_format(
            arena, "%.*s, the %s alone",
            TEXT_ARG(place->first.length > 0 ? place->first : place->second),
            place->first.length > 0 ? "first" : "second");
    }
    return place->difference == CONTRAST_OTHER
               ? text_format(arena, "%.*s, then %.*s%s%.*s", TEXT_ARG(place->first),
                             TEXT_ARG(place->second), turned, TEXT_ARG(lies))
               : text_format(arena, "%.*s%s%.*s", TEXT_ARG(place->first), turned,
                             TEXT_ARG(lies));
}

void compare_write_place(const struct compare_writer *compare,
                         const struct compared_place *place)
{
    struct writer *writer = compare->writer;
    struct arena *arena = writer->arena;
    if (!has_differences(place)) {
        return;
    }
    write_text(writer, TEXT("\n"));
    if (place->place.length > 0) {
        write_wrapped(writer, text_format(arena, "%.*s: ", TEXT_ARG(place->place)),
                      place_sentence(arena, place));
    } else {
        write_text(writer, compare->of->is_of_units ? TEXT("The units themselves\n")
                                                    : TEXT("Differences\n"));
    }
    if (place->datum.length > 0) {
        write_wrapped(writer, TEXT("  counted  from "), place->datum);
    }
    if (place->is_unit) {
        write_wrapped(writer, TEXT("  inside   "),
                      text_format(arena, "whyfit compare %.*s %.*s",
                                  TEXT_ARG(place->first), TEXT_ARG(place->second)));
    }
    write_features(compare, place);
}

/* ---- what is not known */

static void write_unknown_value(const struct compare_writer *compare,
                                const struct compared_place *place,
                                const struct compared_feature *feature,
                                const struct compared_value *value)
{
    struct arena *arena = compare->writer->arena;
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
    write_wrapped(
        compare->writer, TEXT("  - "),
        has_first && has_second
            ? text_format(arena, "%.*s: the two are counted from nothing that both have",
                          TEXT_ARG(what))
            : text_format(arena, "%.*s: the %s alone records it (%.*s)", TEXT_ARG(what),
                          has_first ? "first" : "second",
                          TEXT_ARG(has_first ? compared_cell(arena, &value->first,
                                                             value->first_word, NULL)
                                             : compared_cell(arena, &value->second,
                                                             value->second_word, NULL))));
}

void compare_write_not_known(const struct compare_writer *compare)
{
    const struct comparison *of = compare->of;
    struct arena *arena = compare->writer->arena;
    if (of->not_known_count == 0) {
        return;
    }
    render_heading(compare->writer, "Not known");
    for (uint32_t p = 0; p < of->place_count; p++) {
        const struct compared_place *place = &of->places[p];
        if (place->difference == CONTRAST_NOT_KNOWN) {
            write_wrapped(compare->writer, TEXT("  - "),
                          text_format(arena, "%.*s: where it lies in one of the two",
                                      TEXT_ARG(place->place)));
        }
        for (uint32_t i = 0; i < place->feature_count; i++) {
            const struct compared_feature *feature = &place->features[i];
            const bool is_of_one =
                feature->difference == CONTRAST_NOT_KNOWN && feature->is_of_partial_list;
            if (is_of_one) {
                write_wrapped(
                    compare->writer, TEXT("  - "),
                    text_format(arena,
                                "%.*s%s%.*s: one of the two lists it; the list of the "
                                "other is not complete",
                                TEXT_ARG(place->place),
                                place->place.length > 0 ? ": " : "",
                                TEXT_ARG(compared_feature_text(arena, feature))));
            }
            for (uint32_t k = 0;
                 !is_of_one && !is_of_one_alone(feature) && k < feature->value_count;
                 k++) {
                if (feature->values[k].difference == CONTRAST_NOT_KNOWN) {
                    write_unknown_value(compare, place, feature, &feature->values[k]);
                }
            }
        }
    }
}
