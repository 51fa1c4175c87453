/* SPDX-License-Identifier: MIT */
/*
 * What has to be done for the swap to fit: settings to make where a set gap has changed,
 * and the mends of findings that would fail without them.
 */
#include "sheet.h"
#include "swap_private.h"

#include <math.h>
#include <stdlib.h>

enum {
    MOST_CHOICES = 30 /* of a stock, in a table that is read at the bench */
};

typedef ARRAY_OF(struct work_item) work_array;

static status add_work(struct swap *swap, work_array *list, text what, text why)
{
    const struct work_item item = {what, why};
    return ARRAY_PUSH(swap->arena, list, item) ? STATUS_OK : arena_status(swap->arena);
}

/* A value column by its name; VALUE_NONE when the relation has none such. */
static struct value row_value(const struct swap *swap, const struct row *row,
                              const char *column)
{
    const struct relation_shape *shape = store_shape(swap->layer.store, row->relation);
    const int index =
        vocabulary_column(shape, names_find(swap->layer.names, text_of(column)));
    return index < (int)shape->key_count ? (struct value){0}
                                         : row->values[index - (int)shape->key_count];
}

static const struct row *setting_row(const struct swap *swap,
                                     const struct settling *setting)
{
    relation_id id = 0;
    const name_id key[3] = {setting->unit, setting->gap, setting->place};
    const name_id name = names_find(swap->layer.names, TEXT("setting"));
    return name != NAME_NONE && store_find_relation(swap->layer.store, name, &id)
               ? store_find(swap->layer.store, id, key)
               : NULL;
}

/* The nearest thickness that the stock has, counted from its thinnest; 0: any. */
static double to_step(const struct deviation *of, double value, double step)
{
    const double thin = of->nominal + of->low;
    const double last = of->nominal + of->high;
    const double near =
        step > 0 && isfinite(thin) ? thin + round((value - thin) / step) * step : value;
    return step > 0 && near > last ? near - step : near;
}

/* What of the stock is nearest to a thickness; where the stock does not reach, the gap's
 * own finding says so. */
static double within(const struct deviation *of, double thickness)
{
    return fmin(fmax(thickness, of->nominal + of->low), of->nominal + of->high);
}

/* The readings of the gap, with the start in, for which each step of the stock is the
 * one to take: those that it brings nearest to the middle. */
static status plan_choices(struct swap *swap, const struct settling *setting, double step,
                           double middle, struct setting_plan *plan)
{
    const double count = step > 0 ? round((plan->greatest - plan->least) / step) + 1 : 0;
    if (count < 1 || count > MOST_CHOICES) {
        return STATUS_OK;
    }
    struct setting_choice *choices =
        ARENA_MANY(swap->arena, (size_t)count, struct setting_choice);
    TRY(arena_status(swap->arena));
    const double half = fabs(setting->by) * step / 2;
    for (uint32_t i = 0; i < (uint32_t)count; i++) {
        /* By rising readings: a gap that what is chosen fills reads more the less of it
         * is wanted. */
        const double rank = setting->by > 0 ? count - 1 - i : i;
        const double take = plan->least + rank * step;
        const double reads = middle - (take - plan->start) * setting->by;
        choices[i] = (struct setting_choice){reads - half, reads + half, take};
    }
    plan->choices = choices;
    plan->choice_count = (uint32_t)count;
    return STATUS_OK;
}

/* How thick the chosen piece has to be to bring the gap to the middle of what is wanted,
 * and how far that can lie as the parts come out. *is_set: it reaches, else a check says
 * so and there is nothing to set. */
static status plan_setting(struct swap *swap, const struct settling *setting,
                           struct setting_plan *plan, bool *is_set)
{
    const struct value least = row_value(swap, setting->row, "want-least");
    const struct value greatest = row_value(swap, setting->row, "want-greatest");
    const struct row *row = setting_row(swap, setting);
    double nominal = 0;
    *is_set = false;
    if (row == NULL || !form_nominal(setting->size, &nominal)) {
        return STATUS_OK;
    }
    const double step = row_value(swap, row, "step").quantity->nominal;
    const double middle = (least.quantity->least + greatest.quantity->greatest) / 2;
    const struct deviation *of = setting->of;
    const double wanted = of->nominal + (middle - nominal) / setting->by;
    const double spare =
        fabs((greatest.quantity->greatest - least.quantity->least) / 2 / setting->by);
    if (wanted < of->nominal + of->low - spare ||
        wanted > of->nominal + of->high + spare) {
        return STATUS_OK;
    }
    const double one =
        within(of, of->nominal + (middle - setting->size->least) / setting->by);
    const double two =
        within(of, of->nominal + (middle - setting->size->greatest) / setting->by);
    const text stock = names_text(swap->layer.names, row_value(swap, row, "stock").word);
    *is_set = true;
    *plan =
        (struct setting_plan){.gap = names_text(swap->layer.names, setting->gap),
                              .place = names_text(swap->layer.names, setting->place),
                              .stock = text_is(stock, "stroke") ? (text){"", 0} : stock,
                              .dim = of->dim,
                              .want_least = least.quantity->least,
                              .want_greatest = greatest.quantity->greatest,
                              .start = to_step(of, within(of, wanted), step),
                              .least = to_step(of, fmin(one, two), step),
                              .greatest = to_step(of, fmax(one, two), step)};
    return plan_choices(swap, setting, step, middle, plan);
}

static status describe_setting(struct swap *swap, const struct setting_plan *plan,
                               work_array *list)
{
    struct arena *arena = swap->arena;
    const text by =
        plan->stock.length == 0
            ? text_format(arena, "by where %.*s is put", TEXT_ARG(plan->place))
            : text_format(arena, "with %.*s from %.*s", TEXT_ARG(plan->place),
                          TEXT_ARG(plan->stock));
    const text what = text_format(
        arena,
        "set %.*s %.*s: start at %.*s, between %.*s and %.*s as the parts come out",
        TEXT_ARG(plan->gap), TEXT_ARG(by),
        TEXT_ARG(magnitude_write(arena, plan->dim, plan->start, -1)),
        TEXT_ARG(magnitude_write(arena, plan->dim, plan->least, -1)),
        TEXT_ARG(magnitude_write(arena, plan->dim, plan->greatest, -1)));
    return add_work(
        swap, list, what,
        text_format(
            arena, "%.*s is wanted at %.*s to %.*s", TEXT_ARG(plan->gap),
            TEXT_ARG(magnitude_write(arena, plan->dim, plan->want_least, -1)),
            TEXT_ARG(magnitude_write(arena, plan->dim, plan->want_greatest, -1))));
}

static int compare_plans(const void *a, const void *b)
{
    const struct setting_plan *left = a;
    const struct setting_plan *right = b;
    const int order = text_compare(left->gap, right->gap);
    return order != 0 ? order : text_compare(left->place, right->place);
}

/* What has to be chosen anew: the settings of gaps that the swap has changed. */
static status gather_settings(struct swap *swap, work_array *list)
{
    uint32_t count = 0;
    const struct settling *settings = assembly_settlings(swap->layer.assembly, &count);
    struct setting_plan *plans = ARENA_MANY(swap->arena, count, struct setting_plan);
    uint32_t planned = 0;
    TRY(arena_status(swap->arena));
    for (uint32_t i = 0; i < count; i++) {
        if (settings[i].unit != swap->swapped.name) {
            continue;
        }
        bool is_set = false;
        const uint32_t index = chain_of(&swap->chain, settings[i].row);
        TRY(swap->chain.result);
        if (swap->chain.nodes.at[index].is_changed) {
            TRY(plan_setting(swap, &settings[i], &plans[planned], &is_set));
            planned += is_set ? 1 : 0;
        }
    }
    if (planned > 1) {
        qsort(plans, planned, sizeof *plans, compare_plans);
    }
    for (uint32_t i = 0; i < planned; i++) {
        TRY(describe_setting(swap, &plans[i], list));
    }
    swap->answer->plans = plans;
    swap->answer->plan_count = planned;
    return STATUS_OK;
}

static int compare_work(const void *a, const void *b)
{
    const struct work_item *left = a;
    const struct work_item *right = b;
    return text_compare(left->what, right->what);
}

/* One mend may cure several findings: it is done once. */
static void drop_doubled(work_array *list)
{
    uint32_t kept = 0;
    for (uint32_t i = 0; i < list->count; i++) {
        bool is_there = false;
        for (uint32_t k = 0; k < kept; k++) {
            is_there = is_there || text_equal(list->at[k].what, list->at[i].what);
        }
        if (!is_there) {
            list->at[kept++] = list->at[i];
        }
    }
    list->count = kept;
}

/* The settings are those of the swap as it is mended. */
status work_gather(struct swap *swap)
{
    work_array list = {0};
    for (uint32_t i = 0; swap->mended != NULL && i < swap->mended->work_count; i++) {
        TRY(add_work(swap, &list, swap->mended->work[i].what, swap->mended->work[i].why));
    }
    if (swap->mended == NULL) {
        TRY(gather_settings(swap, &list));
    }
    for (uint32_t i = 0; i < swap->findings.count; i++) {
        const struct finding *finding = &swap->findings.at[i];
        if (finding->counts && finding->mend.length > 0) {
            TRY(add_work(swap, &list, finding->mend, finding->sentence));
        }
    }
    drop_doubled(&list);
    if (list.count > 1) {
        qsort(list.at, list.count, sizeof *list.at, compare_work);
    }
    swap->answer->work = list.at;
    swap->answer->work_count = list.count;
    return arena_status(swap->arena);
}
