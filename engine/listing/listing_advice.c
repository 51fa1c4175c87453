/* SPDX-License-Identifier: MIT */
#include "listing_advice.h"

#include "array.h"
#include "number_text.h"

#include <math.h>
#include <stdlib.h>

enum {
    MOST_TOLD = 16, /* parts left of which machines and splits are told */
    MOST_MODELS = 64
};

bool advice_one_hand(const struct lister *lister, const uint32_t *parts, uint32_t count)
{
    const struct knowledge *knowledge = lister->bench->knowledge;
    for (uint32_t i = 1; i < count; i++) {
        if (!text_equal(knowledge->parts[parts[i]].hand,
                        knowledge->parts[parts[0]].hand)) {
            return false;
        }
    }
    return true;
}

status advice_same_machines(struct lister *lister, const uint32_t *parts, uint32_t count,
                            bool *out)
{
    const uint32_t models = lister->bench->shows->model_count;
    *out = count <= MOST_TOLD;
    for (uint32_t m = 0; *out && m < models; m++) {
        struct going_on first;
        TRY(goes_on(lister, &parts[0], 1, m, &first));
        for (uint32_t i = 1; *out && i < count; i++) {
            struct going_on other;
            TRY(goes_on(lister, &parts[i], 1, m, &other));
            const struct going_on both[2] = {first, other};
            for (int year = FIRST_YEAR; *out && year <= LAST_YEAR;
                 year = going_next(both, 2, year)) {
                *out = goes_in(&first, year) == goes_in(&other, year);
            }
        }
    }
    return STATUS_OK;
}

/* ---- what it goes on */

static text years_words(struct arena *arena, int from, int to)
{
    return from == FIRST_YEAR && to == LAST_YEAR ? TEXT("all years")
           : from == FIRST_YEAR                  ? text_format(arena, "up to %d", to)
           : to == LAST_YEAR                     ? text_format(arena, "from %d on", from)
           : from == to                          ? text_format(arena, "%d", from)
                        : text_format(arena, "%d to %d", from, to);
}

static bool all_go(const struct going_on *going, uint32_t count, int year)
{
    for (uint32_t i = 0; i < count; i++) {
        if (!goes_in(&going[i], year)) {
            return false;
        }
    }
    return true;
}

/* "Kestrel 120 from 2013 on", of the years in which each of the parts goes on it, or a
 * set of them all together. */
static status add_model(struct lister *lister, struct arena *arena, const uint32_t *parts,
                        uint32_t count, bool is_set, uint32_t model, text *all)
{
    const struct listing_bench *bench = lister->bench;
    const text name = bench->shows->models[model];
    struct going_on going[MOST_TOLD];
    const uint32_t together = is_set ? count : 1;
    for (uint32_t i = 0; i < count / together; i++) {
        TRY(goes_on(lister, &parts[i], together, model, &going[i]));
    }
    count /= together;
    int from = FIRST_YEAR;
    while (from <= LAST_YEAR) {
        int to = from;
        while (to <= LAST_YEAR && all_go(going, count, to)) {
            to = going_next(going, count, to);
        }
        if (to > from) {
            *all = text_format(arena, "%.*s%s%.*s %.*s", TEXT_ARG(*all),
                               all->length > 0 ? "; " : "", TEXT_ARG(name),
                               TEXT_ARG(years_words(arena, from, to - 1)));
        }
        from = going_next(going, count, to > from ? to - 1 : from);
        from = from < to ? to : from;
    }
    return arena_status(arena);
}

static status add_machines(struct lister *lister, struct arena *arena,
                           const uint32_t *parts, uint32_t count, bool is_set, text *out)
{
    const struct listing_bench *bench = lister->bench;
    const uint32_t models = bench->shows->model_count;
    if (count == 0 || count > MOST_TOLD || models > MOST_MODELS) {
        return STATUS_OK;
    }
    for (uint32_t m = 0; m < models; m++) {
        TRY(add_model(lister, arena, parts, count, is_set, m, out));
    }
    return STATUS_OK;
}

/* ---- what to ask */

/* A feature or size that all parts left have recorded, and how many values it takes. */
struct split {
    const struct shown *shown; /* of the first part; NULL: none splits */
    bool is_size;
    uint32_t values;
};

static const struct shown *same_what(const struct part_show *part, bool is_size,
                                     name_id what)
{
    const struct shown_list list = is_size ? part->sizes : part->features;
    for (uint32_t i = 0; i < list.count; i++) {
        if (list.at[i].what == what && (!is_size || !isnan(list.at[i].least))) {
            return &list.at[i];
        }
    }
    return NULL;
}

static bool differ(const struct shown *a, const struct shown *b, bool is_size)
{
    return is_size ? a->least > b->greatest || b->least > a->greatest : a->has != b->has;
}

/* How many of the parts differ from all before them; 0: one has nothing recorded. */
static uint32_t values_of(const struct lister *lister, const uint32_t *parts,
                          uint32_t count, bool is_size, name_id what)
{
    const struct part_show *shows = lister->bench->shows->parts;
    uint32_t values = 0;
    for (uint32_t i = 0; i < count; i++) {
        const struct shown *one = same_what(&shows[parts[i]], is_size, what);
        bool is_new = one != NULL;
        for (uint32_t k = 0; is_new && k < i; k++) {
            is_new = differ(one, same_what(&shows[parts[k]], is_size, what), is_size);
        }
        if (one == NULL) {
            return 0;
        }
        values += is_new ? 1 : 0;
    }
    return values;
}

static void offer(const struct lister *lister, const uint32_t *parts, uint32_t count,
                  bool is_size, struct split *best)
{
    const struct names *names = lister->bench->knowledge->names;
    const struct part_show *first = &lister->bench->shows->parts[parts[0]];
    const struct shown_list list = is_size ? first->sizes : first->features;
    for (uint32_t i = 0; i < list.count; i++) {
        const struct shown *shown = &list.at[i];
        const uint32_t values = values_of(lister, parts, count, is_size, shown->what);
        const bool is_better =
            values > best->values ||
            (values == best->values && values > 1 && best->is_size == is_size &&
             text_compare(names_text(names, shown->what),
                          names_text(names, best->shown->what)) < 0);
        if (values > 1 && is_better) {
            *best = (struct split){shown, is_size, values};
        }
    }
}

static text shown_value(struct arena *arena, const struct shown *shown, bool is_size)
{
    return is_size      ? text_format(arena, "%.*s mm",
                                      TEXT_ARG(number_write_fixed(
                                          arena, (shown->least + shown->greatest) / 2, 1)))
           : shown->has ? TEXT("yes")
                        : TEXT("no");
}

/* "measure its spline: 34.5 mm kestrel-shaft-early, 39.5 mm kestrel-shaft-late" */
static text split_words(const struct lister *lister, struct arena *arena,
                        const uint32_t *parts, uint32_t count, const struct split *split)
{
    const struct knowledge *knowledge = lister->bench->knowledge;
    const text what = names_text(knowledge->names, split->shown->what);
    text all = text_format(arena,
                           split->is_size ? "a measurement of its %.*s ("
                                          : "a photo that shows whether it is "
                                            "\"%.*s\" (",
                           TEXT_ARG(what));
    for (uint32_t i = 0; i < count; i++) {
        const struct shown *one = same_what(&lister->bench->shows->parts[parts[i]],
                                            split->is_size, split->shown->what);
        all = text_format(
            arena, "%.*s%s%.*s: %.*s", TEXT_ARG(all), i == 0 ? "" : ", ",
            TEXT_ARG(shown_value(arena, one, split->is_size)),
            TEXT_ARG(names_text(knowledge->names, knowledge->parts[parts[i]].name)));
    }
    return text_format(arena, "%.*s)", TEXT_ARG(all));
}

static text question_for(const struct lister *lister, struct arena *arena,
                         const uint32_t *parts, uint32_t count, bool by_number,
                         const struct listing_answer *listing)
{
    struct split best = {0};
    if (listing->verdict == LISTING_OK) {
        return (text){"", 0};
    }
    if (count > 1 && count <= MOST_TOLD) {
        offer(lister, parts, count, false, &best);
        offer(lister, parts, count, true, &best);
    }
    return best.shown != NULL ? split_words(lister, arena, parts, count, &best)
           : by_number        ? TEXT("a photo of the part and of the number on it")
                              : TEXT("the number on the part");
}

status advice_give(struct lister *lister, struct arena *arena, const uint32_t *parts,
                   uint32_t count, const uint32_t *set, bool by_number,
                   struct listing_answer *listing)
{
    TRY(set != NULL
            ? add_machines(lister, arena, set, listing->part_count, true, &listing->fits)
            : add_machines(lister, arena, parts, count, false, &listing->fits));
    listing->ask = question_for(lister, arena, parts, count, by_number, listing);
    return arena_status(arena);
}
