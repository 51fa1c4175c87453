/* SPDX-License-Identifier: MIT */
/* What differs between two parts, or in a place of two units: what one has alone, what is
 * moved, resized or otherwise, with the checks that rest on it, and what was only carried
 * along. */
#include "render_compare.h"

/* ---- what a difference touches */

static text rule_of(const struct compared_check *check)
{
    return check->first != NULL ? check->first->name : check->second->name;
}

/* The rules that any of the values touches. */
static text touched(struct arena *arena, const struct comparison *of,
                    const struct compared_value *const *values, uint32_t count)
{
    text_list rules = {0};
    for (uint32_t v = 0; v < count; v++) {
        for (uint32_t t = 0; t < values[v]->touch_count; t++) {
            texts_add(arena, &rules, rule_of(&of->checks[values[v]->touches[t]]));
        }
    }
    return texts_join(arena, &rules);
}

/* ---- features */

/* A place that is told of, into lines. */
struct telling {
    struct arena *arena;
    const struct comparison *of;
    compare_lines *lines;
};

/* Values of one feature that differ alike: one, or all that moved by as much. */
static void tell_difference(const struct telling *telling,
                            const struct compared_feature *feature,
                            const struct compared_value *const *values, uint32_t count)
{
    struct arena *arena = telling->arena;
    text fields = {"", 0};
    for (uint32_t i = 0; i < count; i++) {
        fields = text_format(arena, "%.*s%s%.*s", TEXT_ARG(fields), i == 0 ? "" : ", ",
                             TEXT_ARG(values[i]->field));
    }
    compare_say(arena, telling->lines, text_of(contrast_word(values[0]->difference)),
                text_format(arena, "%.*s, %.*s: %.*s",
                            TEXT_ARG(compared_feature_text(arena, feature)),
                            TEXT_ARG(fields),
                            TEXT_ARG(compared_sentence(arena, values, count))),
                touched(arena, telling->of, values, count));
}

/* A feature that one of the two has alone, with all that is recorded of it. */
static void tell_alone(const struct telling *telling,
                       const struct compared_feature *feature)
{
    struct arena *arena = telling->arena;
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
    compare_say(
        arena, telling->lines, text_of(contrast_word(feature->difference)),
        text_format(arena, "%.*s%.*s", TEXT_ARG(compared_feature_text(arena, feature)),
                    TEXT_ARG(all)),
        values == NULL ? (text){"", 0}
                       : touched(arena, telling->of, values, feature->value_count));
}

static bool is_moved_alike(const struct compared_value *a, const struct compared_value *b)
{
    return a->difference == CONTRAST_MOVED && b->difference == CONTRAST_MOVED &&
           a->is_carried == b->is_carried && a->by == b->by && a->limits == b->limits &&
           text_equal(a->with, b->with);
}

/* Each value that differs, with those after it that moved alike. */
static void tell_values(const struct telling *telling,
                        const struct compared_feature *feature)
{
    struct arena *arena = telling->arena;
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
        tell_difference(telling, feature, alike, count);
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

static void tell_carried(const struct telling *telling,
                         const struct compared_place *place)
{
    struct arena *arena = telling->arena;
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
            compare_say(arena, telling->lines, TEXT("carried"),
                        text_format(arena, "%.*s with %.*s: %.*s", TEXT_ARG(by),
                                    TEXT_ARG(value->with.length > 0 ? value->with
                                                                    : TEXT("the piece")),
                                    TEXT_ARG(carried_text(arena, place, value))),
                        (text){"", 0});
        }
    }
}

bool compare_differs(const struct compared_place *place)
{
    bool has_any = is_told(place->difference);
    for (uint32_t i = 0; !has_any && i < place->feature_count; i++) {
        has_any = is_told(place->features[i].difference);
    }
    return has_any;
}

text compare_place_words(struct arena *arena, const struct compared_place *place)
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

void compare_differences(struct arena *arena, const struct comparison *of,
                         const struct compared_place *place, compare_lines *lines)
{
    const struct telling telling = {arena, of, lines};
    for (uint32_t i = 0; i < place->feature_count; i++) {
        if (is_of_one_alone(&place->features[i])) {
            tell_alone(&telling, &place->features[i]);
        }
    }
    for (uint32_t i = 0; i < place->feature_count; i++) {
        if (!is_of_one_alone(&place->features[i])) {
            tell_values(&telling, &place->features[i]);
        }
    }
    tell_carried(&telling, place);
}
