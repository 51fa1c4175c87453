/* SPDX-License-Identifier: MIT */
/*
 * What has to be done for the swap to fit: settings to make where a set gap has changed,
 * and the mends of findings that would fail without them.
 */
#include "swap_private.h"

#include <math.h>
#include <stdlib.h>

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

static const struct row *find_row(const struct swap *swap, const char *relation,
                                  const name_id *key)
{
    relation_id id = 0;
    const name_id name = names_find(swap->layer.names, text_of(relation));
    return name != NAME_NONE && store_find_relation(swap->layer.store, name, &id)
               ? store_find(swap->layer.store, id, key)
               : NULL;
}

static const struct form *face_position(const struct swap *swap, const struct row *asked,
                                        const char *place_column, const char *face_column)
{
    const name_id place = row_value(swap, asked, place_column).word;
    for (uint32_t i = 0; i < swap->swapped.place_count; i++) {
        if (swap->swapped.places[i].place == place) {
            return assembly_position(
                swap->layer.assembly, swap->swapped.name, swap->swapped.places[i].piece,
                row_value(swap, asked, face_column).word, NULL, NULL);
        }
    }
    return NULL;
}

/* The term of the piece that is chosen, in the whole gap. */
static const struct form_term *set_term(const struct form *gap, text piece)
{
    for (uint32_t i = 0; i < gap->term_count; i++) {
        if (gap->terms[i].of->kind == DEVIATION_SET &&
            text_starts(gap->terms[i].of->name, piece)) {
            return &gap->terms[i];
        }
    }
    return NULL;
}

static double to_step(double value, double step)
{
    return step > 0 ? round(value / step) * step : value;
}

/* How thick the chosen piece has to be to bring the gap to the middle of what is wanted,
 * and how far that can lie as the parts come out. */
static status describe_setting(struct swap *swap, const struct row *gap,
                               const struct row *setting, const struct form_term *term,
                               work_array *list)
{
    const struct form *size = row_value(swap, gap, "size").quantity;
    const struct value least = row_value(swap, gap, "want-least");
    const struct value greatest = row_value(swap, gap, "want-greatest");
    const struct form *step = row_value(swap, setting, "step").quantity;
    double nominal = 0;
    if (least.kind != VALUE_QUANTITY || greatest.kind != VALUE_QUANTITY || step == NULL ||
        !form_nominal(size, &nominal)) {
        return STATUS_OK;
    }
    const double middle = (least.quantity->least + greatest.quantity->greatest) / 2;
    const struct deviation *of = term->of;
    const double start = of->nominal + (middle - nominal) / term->by;
    const double one = of->nominal + (middle - size->least) / term->by;
    const double two = of->nominal + (middle - size->greatest) / term->by;
    const double low = fmax(fmin(one, two), of->nominal + of->low);
    const double high = fmin(fmax(one, two), of->nominal + of->high);
    if (low > high) {
        return STATUS_OK; /* the stock does not reach; the gap's own finding says so */
    }
    const text place = names_text(swap->layer.names, setting->key[2]);
    const text stock =
        names_text(swap->layer.names, row_value(swap, setting, "stock").word);
    const text what = text_format(
        swap->arena,
        "set %.*s with %.*s from %.*s: start at %.*s, between %.*s and %.*s "
        "as the parts come out",
        TEXT_ARG(names_text(swap->layer.names, gap->key[1])), TEXT_ARG(place),
        TEXT_ARG(stock),
        TEXT_ARG(
            magnitude_write(swap->arena, of->dim, to_step(start, step->nominal), -1)),
        TEXT_ARG(magnitude_write(swap->arena, of->dim, to_step(low, step->nominal), -1)),
        TEXT_ARG(
            magnitude_write(swap->arena, of->dim, to_step(high, step->nominal), -1)));
    return add_work(swap, list, what,
                    text_format(swap->arena, "%.*s is wanted at %.*s to %.*s",
                                TEXT_ARG(names_text(swap->layer.names, gap->key[1])),
                                TEXT_ARG(form_write(swap->arena, least.quantity)),
                                TEXT_ARG(form_write(swap->arena, greatest.quantity))));
}

static status gather_setting(struct swap *swap, const struct row *gap, work_array *list)
{
    const struct row *asked = find_row(swap, "gap-asked", gap->key);
    relation_id relation = 0;
    const name_id key[3] = {gap->key[0], gap->key[1], NAME_NONE};
    struct scan scan;
    if (asked == NULL ||
        !store_find_relation(swap->layer.store,
                             names_find(swap->layer.names, TEXT("setting")), &relation)) {
        return STATUS_OK;
    }
    const struct form *from = face_position(swap, asked, "from-place", "from-face");
    const struct form *to = face_position(swap, asked, "to-place", "to-face");
    if (from == NULL || to == NULL) {
        return STATUS_OK;
    }
    const struct form *whole = form_subtract(swap->arena, to, from);
    if (whole == NULL || !scan_open(&scan, swap->layer.store, relation, 3, key)) {
        return arena_status(swap->arena);
    }
    for (const struct row *row = scan_next(&scan); row != NULL; row = scan_next(&scan)) {
        const struct form_term *term =
            set_term(whole, names_text(swap->layer.names, row->key[2]));
        if (term != NULL) {
            TRY(describe_setting(swap, gap, row, term, list));
        }
    }
    return STATUS_OK;
}

static status gather_settings(struct swap *swap, work_array *list)
{
    relation_id relation = 0;
    const name_id key[2] = {swap->swapped.name, NAME_NONE};
    struct scan scan;
    if (!store_find_relation(swap->layer.store,
                             names_find(swap->layer.names, TEXT("gap")), &relation) ||
        !scan_open(&scan, swap->layer.store, relation, 1, key)) {
        return arena_status(swap->arena);
    }
    for (const struct row *row = scan_next(&scan); row != NULL; row = scan_next(&scan)) {
        const struct value is_set = row_value(swap, row, "is-set");
        const uint32_t index = chain_of(&swap->chain, row);
        TRY(swap->chain.result);
        if (is_set.kind == VALUE_WORD &&
            text_is(names_text(swap->layer.names, is_set.word), "true") &&
            swap->chain.nodes.at[index].is_changed) {
            TRY(gather_setting(swap, row, list));
        }
    }
    return STATUS_OK;
}

static int compare_work(const void *a, const void *b)
{
    const struct work_item *left = a;
    const struct work_item *right = b;
    return text_compare(left->what, right->what);
}

status work_gather(struct swap *swap)
{
    work_array list = {0};
    TRY(gather_settings(swap, &list));
    for (uint32_t i = 0; i < swap->findings.count; i++) {
        const struct finding *finding = &swap->findings.at[i];
        if (finding->counts && finding->mend.length > 0) {
            TRY(add_work(swap, &list, finding->mend, finding->sentence));
        }
    }
    if (list.count > 1) {
        qsort(list.at, list.count, sizeof *list.at, compare_work);
    }
    swap->answer->work = list.at;
    swap->answer->work_count = list.count;
    return arena_status(swap->arena);
}
