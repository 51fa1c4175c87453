/* SPDX-License-Identifier: MIT */
/*
 * The answer to `compare` in words: what differs first, with the checks that each
 * difference touches, then what is not known, how the checks and figures come out with
 * either, and what is the same last and short.
 */
#include "render_words.h"

#include "array.h"
#include "compare.h"

#include <math.h>

struct compare_writer {
    struct writer *writer;
    const struct comparison *of;
};

/* ---- values */

static text nominal_text(struct arena *arena, const struct form *form)
{
    double nominal = 0;
    return form != NULL && form_nominal(form, &nominal)
               ? magnitude_write(arena, form->dim, nominal, -1)
               : TEXT("not known");
}

static text value_text(struct arena *arena, const struct value *value, text word,
                       const struct form *form)
{
    switch (value->kind) {
    case VALUE_QUANTITY:
        return nominal_text(arena, form != NULL ? form : value->quantity);
    case VALUE_COUNT:
        return text_format(arena, "%lld", (long long)value->count);
    case VALUE_WORD:
        return word;
    case VALUE_TRUTH:
        return value->truth == TRUTH_YES ? TEXT("yes") : TEXT("no");
    case VALUE_MISSING:
        return TEXT("not recorded");
    case VALUE_NONE:
        break;
    }
    return TEXT("none");
}

static text first_text(struct arena *arena, const struct compared_value *value)
{
    return value_text(arena, &value->first, value->first_word, value->first_form);
}

static text second_text(struct arena *arena, const struct compared_value *value)
{
    return value_text(arena, &value->second, value->second_word, value->second_form);
}

static text by_text(struct arena *arena, const struct compared_value *value)
{
    const struct form *form = value->second_form;
    return value->first.kind == VALUE_COUNT
               ? text_format(arena, "%.0f", fabs(value->by))
               : magnitude_write(arena, form->dim, fabs(value->by), -1);
}

static const char *limits_sentence(const struct compared_value *value)
{
    if (value->first.kind == VALUE_COUNT) {
        return "";
    }
    switch (value->limits) {
    case LIMITS_SAME:
        return "";
    case LIMITS_APART:
        return "; the limits lie apart";
    case LIMITS_OVERLAP:
        return "; the limits overlap";
    case LIMITS_INSIDE:
        return "; the second's limits lie in the first's";
    case LIMITS_AROUND:
        return "; the first's limits lie in the second's";
    case LIMITS_NOT_KNOWN:
        break;
    }
    return "; limits not known";
}

/* The values of one side, "18 mm, 27.5 mm". */
static text side_text(struct arena *arena, const struct compared_value *const *values,
                      uint32_t count, bool is_first)
{
    text all = {"", 0};
    for (uint32_t i = 0; i < count; i++) {
        all = text_format(arena, "%.*s%s%.*s", TEXT_ARG(all), i == 0 ? "" : ", ",
                          TEXT_ARG(is_first ? first_text(arena, values[i])
                                            : second_text(arena, values[i])));
    }
    return all;
}

/* "2 mm out, from 14 mm to 16 mm; the limits lie apart" */
static text value_sentence(struct arena *arena,
                           const struct compared_value *const *values, uint32_t count)
{
    const struct compared_value *value = values[0];
    const text from = side_text(arena, values, count, true);
    const text to = side_text(arena, values, count, false);
    switch (value->difference) {
    case CONTRAST_MOVED:
        return text_format(arena, "%.*s %s, from %.*s to %.*s%s",
                           TEXT_ARG(by_text(arena, value)), value->by > 0 ? "out" : "in",
                           TEXT_ARG(from), TEXT_ARG(to), limits_sentence(value));
    case CONTRAST_RESIZED:
        return text_format(arena, "%.*s %s, from %.*s to %.*s%s",
                           TEXT_ARG(by_text(arena, value)),
                           value->by > 0 ? "more" : "less", TEXT_ARG(from), TEXT_ARG(to),
                           limits_sentence(value));
    case CONTRAST_LIMITS:
        return text_format(arena, "%.*s of both, first %.*s, then %.*s%s", TEXT_ARG(from),
                           TEXT_ARG(form_write(arena, value->first_form)),
                           TEXT_ARG(form_write(arena, value->second_form)),
                           limits_sentence(value));
    case CONTRAST_GONE:
    case CONTRAST_ADDED:
    case CONTRAST_OTHER:
    case CONTRAST_NOT_KNOWN:
    case CONTRAST_NONE:
        break;
    }
    return text_format(arena, "%.*s, then %.*s", TEXT_ARG(from), TEXT_ARG(to));
}

/* ---- what a difference touches */

static text rule_of(const struct compared_check *check)
{
    return check->first != NULL ? check->first->name : check->second->name;
}

typedef ARRAY_OF(text) text_list;

/* Keeps a list of texts sorted, each once. */
static void add_sorted(struct arena *arena, text_list *list, text word)
{
    uint32_t at = 0;
    while (at < list->count && text_compare(list->at[at], word) < 0) {
        at++;
    }
    if ((at < list->count && text_equal(list->at[at], word)) ||
        !ARRAY_PUSH(arena, list, word)) {
        return;
    }
    for (uint32_t i = list->count - 1; i > at; i--) {
        list->at[i] = list->at[i - 1];
    }
    list->at[at] = word;
}

static text join(struct arena *arena, const text_list *list)
{
    text all = {"", 0};
    for (uint32_t i = 0; i < list->count; i++) {
        all = text_format(arena, "%.*s%s%.*s", TEXT_ARG(all), i == 0 ? "" : ", ",
                          TEXT_ARG(list->at[i]));
    }
    return all;
}

/* The rules that any of the values touches. */
static void write_touched(const struct compare_writer *compare,
                          const struct compared_value *const *values, uint32_t count)
{
    text_list rules = {0};
    for (uint32_t v = 0; v < count; v++) {
        for (uint32_t t = 0; t < values[v]->touch_count; t++) {
            add_sorted(compare->writer->arena, &rules,
                       rule_of(&compare->of->checks[values[v]->touches[t]]));
        }
    }
    if (rules.count > 0) {
        write_wrapped(compare->writer, TEXT("           touches "),
                      join(compare->writer->arena, &rules));
    }
}

/* ---- features */

/* "run hub-spline"; "as lip-seal" of the fields of its kind; "itself" */
static text feature_text(struct arena *arena, const struct compared_feature *feature)
{
    return feature->name.length > 0
               ? text_format(arena, "%.*s %.*s", TEXT_ARG(feature->relation),
                             TEXT_ARG(feature->name))
           : text_is(feature->relation, "piece")
               ? TEXT("itself")
               : text_format(arena, "as %.*s", TEXT_ARG(feature->relation));
}

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
                              TEXT_ARG(feature_text(arena, feature)), TEXT_ARG(fields),
                              TEXT_ARG(value_sentence(arena, values, count))));
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
                                       ? first_text(arena, value)
                                       : second_text(arena, value)));
    }
    write_wrapped(compare->writer,
                  text_format(arena, "  %-7s  ", contrast_word(feature->difference)),
                  text_format(arena, "%.*s%.*s", TEXT_ARG(feature_text(arena, feature)),
                              TEXT_ARG(all)));
    if (values != NULL) {
        write_touched(compare, values, feature->value_count);
    }
}

static bool is_alone(const struct compared_feature *feature)
{
    return feature->difference == CONTRAST_GONE || feature->difference == CONTRAST_ADDED;
}

static bool is_told(enum contrast difference)
{
    return difference != CONTRAST_NONE && difference != CONTRAST_NOT_KNOWN;
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
            all = text_format(arena, "%.*s%s%.*s, %.*s", TEXT_ARG(all),
                              all.length == 0 ? "" : "; ",
                              TEXT_ARG(feature_text(arena, one)), TEXT_ARG(fields));
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
                    ? text_format(arena, "%.*s %s", TEXT_ARG(by_text(arena, value)),
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
        if (is_alone(&place->features[i])) {
            write_alone(compare, &place->features[i]);
        }
    }
    for (uint32_t i = 0; i < place->feature_count; i++) {
        if (!is_alone(&place->features[i])) {
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
        lies = text_format(arena, ", %.*s", TEXT_ARG(value_sentence(arena, &moved, 1)));
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

static void write_place(const struct compare_writer *compare,
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
    const text what =
        text_format(arena, "%.*s%s%.*s, %.*s", TEXT_ARG(place->place),
                    place->place.length > 0 ? ": " : "",
                    TEXT_ARG(feature_text(arena, feature)), TEXT_ARG(value->field));
    write_wrapped(
        compare->writer, TEXT("  - "),
        has_first && has_second
            ? text_format(arena, "%.*s: the two are counted from nothing that both have",
                          TEXT_ARG(what))
            : text_format(arena, "%.*s: the %s alone records it (%.*s)", TEXT_ARG(what),
                          has_first ? "first" : "second",
                          TEXT_ARG(has_first ? value_text(arena, &value->first,
                                                          value->first_word, NULL)
                                             : value_text(arena, &value->second,
                                                          value->second_word, NULL))));
}

static void write_not_known(const struct compare_writer *compare)
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
                                TEXT_ARG(feature_text(arena, feature))));
            }
            for (uint32_t k = 0;
                 !is_of_one && !is_alone(feature) && k < feature->value_count; k++) {
                if (feature->values[k].difference == CONTRAST_NOT_KNOWN) {
                    write_unknown_value(compare, place, feature, &feature->values[k]);
                }
            }
        }
    }
}

/* ---- how checks and figures come out */

static text outcome_text(struct arena *arena, const struct finding *finding,
                         enum outcome outcome)
{
    const text margin =
        finding == NULL ? TEXT("") : render_margin(arena, finding->margin);
    return finding == NULL ? TEXT("not asked")
           : margin.length == 0 || text_is(margin, "0")
               ? text_of(outcome_word(outcome))
               : text_format(arena, "%s%s%.*s",
                             outcome == OUTCOME_HOLDS ? "" : outcome_word(outcome),
                             outcome == OUTCOME_HOLDS ? "" : ", ", TEXT_ARG(margin));
}

static text check_sentence(struct arena *arena, const struct compared_check *check)
{
    const struct finding *any = check->first != NULL ? check->first : check->second;
    return text_format(
        arena, "%.*s: %.*s: %.*s, then %.*s%s", TEXT_ARG(any->name),
        TEXT_ARG(render_subject(arena, any)),
        TEXT_ARG(outcome_text(arena, check->first, check->first_outcome)),
        TEXT_ARG(outcome_text(arena, check->second, check->second_outcome)),
        any->weight == WEIGHT_CAUTIONS ? " (a caution)" : "");
}

/* A check of the swap itself is told where it does not hold. */
static bool is_shown(const struct compared_check *check, enum check_change change,
                     uint32_t seat)
{
    return check->change == change && check->seat == seat &&
           (change != CHECK_OF_SWAP ||
            (check->first != NULL && check->first_outcome != OUTCOME_HOLDS) ||
            (check->second != NULL && check->second_outcome != OUTCOME_HOLDS));
}

static void write_checks_of(const struct compare_writer *compare, uint32_t seat,
                            enum check_change change)
{
    struct arena *arena = compare->writer->arena;
    for (uint32_t i = 0; i < compare->of->check_count; i++) {
        const struct compared_check *check = &compare->of->checks[i];
        if (is_shown(check, change, seat)) {
            write_wrapped(compare->writer,
                          text_format(arena, "  %-7s  ",
                                      change == CHECK_ASKED_OF_FIRST ||
                                              change == CHECK_ASKED_OF_SECOND
                                          ? "only"
                                      : change == CHECK_OPEN ? "open"
                                      : change == CHECK_OF_SWAP
                                          ? "swap"
                                          : check_change_word(change)),
                          check_sentence(arena, check));
        }
    }
}

static void write_figures_of(const struct compare_writer *compare, uint32_t seat)
{
    struct arena *arena = compare->writer->arena;
    for (uint32_t i = 0; i < compare->of->figure_count; i++) {
        const struct compared_figure *figure = &compare->of->figures[i];
        if (figure->seat != seat) {
            continue;
        }
        const text first = nominal_text(arena, figure->first);
        const text second = nominal_text(arena, figure->second);
        const bool is_same = figure->change == CHECK_SAME;
        write_wrapped(compare->writer,
                      text_format(arena, "  %-7s  ",
                                  figure->better == BETTER_NEITHER || is_same
                                      ? "figure"
                                      : check_change_word(figure->change)),
                      is_same ? text_format(arena, "%.*s: %.*s, as before",
                                            TEXT_ARG(figure->of), TEXT_ARG(first))
                              : text_format(arena, "%.*s: %.*s, then %.*s",
                                            TEXT_ARG(figure->of), TEXT_ARG(first),
                                            TEXT_ARG(second)));
    }
}

static uint32_t same_checks(const struct comparison *of, uint32_t seat)
{
    uint32_t count = 0;
    for (uint32_t i = 0; i < of->check_count; i++) {
        count += of->checks[i].change == CHECK_SAME && of->checks[i].seat == seat ? 1 : 0;
    }
    return count;
}

static void write_checks_and_figures(const struct compare_writer *compare, uint32_t seat)
{
    static const enum check_change order[] = {CHECK_WORSE,          CHECK_BETTER,
                                              CHECK_ASKED_OF_FIRST, CHECK_ASKED_OF_SECOND,
                                              CHECK_OPEN,           CHECK_OF_SWAP};
    for (size_t i = 0; i < sizeof order / sizeof *order; i++) {
        write_checks_of(compare, seat, order[i]);
    }
    write_figures_of(compare, seat);
    const uint32_t same = same_checks(compare->of, seat);
    write_format(compare->writer, "  same     %u check%s\n", same, same == 1 ? "" : "s");
}

static void write_seats(const struct compare_writer *compare)
{
    const struct comparison *of = compare->of;
    struct writer *writer = compare->writer;
    struct arena *arena = writer->arena;
    for (uint32_t i = 0; i < of->seat_count; i++) {
        const struct compared_seat *seat = &of->seats[i];
        const text put_in = seat->holds_second ? of->first : of->second;
        write_text(writer, TEXT("\n"));
        write_wrapped(writer, TEXT(""),
                      text_format(arena, "In %.*s, which holds the %s: %.*s=%.*s: %s",
                                  TEXT_ARG(seat->unit),
                                  seat->holds_second ? "second" : "first",
                                  TEXT_ARG(seat->place), TEXT_ARG(put_in),
                                  verdict_word(seat->verdict)));
        if (seat->because.length > 0) {
            write_wrapped(writer, TEXT("  because  "), seat->because);
        }
        write_checks_and_figures(compare, i);
    }
    if (of->seats_left_out > 0) {
        write_format(writer,
                     "\n%u more places hold one of the two; they were not tried\n",
                     of->seats_left_out);
    }
    if (of->seat_count == 0 && !text_equal(of->first, of->second)) {
        render_heading(writer, "Checks");
        write_wrapped(writer, TEXT("  "),
                      TEXT("neither sits in a unit that was loaded: which checks the "
                           "differences touch is not known"));
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

static void write_same_features(const struct compare_writer *compare,
                                const struct compared_place *place, uint32_t *unrecorded)
{
    struct arena *arena = compare->writer->arena;
    text_list same = {0};
    for (uint32_t i = 0; i < place->feature_count; i++) {
        const struct compared_feature *feature = &place->features[i];
        *unrecorded += feature->unrecorded;
        if (feature->difference == CONTRAST_NONE && !has_carried(feature)) {
            add_sorted(arena, &same, feature_text(arena, feature));
        }
    }
    const text all = join(arena, &same);
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
        write_place(&compare, &compare.of->places[i]);
    }
    write_not_known(&compare);
    if (compare.of->is_of_units) {
        render_heading(writer, "Checks, each asked of its own unit");
        write_checks_and_figures(&compare, UINT32_MAX);
    } else {
        write_seats(&compare);
    }
    write_same(&compare);
    render_heading(writer, "Caution");
    write_wrapped(writer, TEXT("  "), answer->caution);
}
