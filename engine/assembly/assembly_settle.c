/* SPDX-License-Identifier: MIT */
/*
 * What is chosen at assembly. A shim is picked when all the rest is known: it brings its
 * gap to the middle of what is wanted, as near as its steps go. So its thickness is no
 * free dimension but follows from the parts of the gap, and what else it moves (a seal on
 * its land, a ring before its groove) varies with those parts, not over the whole stock.
 */
#include "assembly_private.h"

#include <math.h>

const struct settling *assembly_settlings(const struct assembly *assembly,
                                          uint32_t *count_out)
{
    *count_out = assembly->settlings.count;
    return assembly->settlings.at;
}

const struct form *settled(const struct assembly *assembly, name_id unit,
                           const struct form *form)
{
    for (uint32_t i = 0; !assembly->is_raw && i < assembly->settlings.count; i++) {
        const struct settling *one = &assembly->settlings.at[i];
        if (one->unit == unit) {
            form = form_substitute(assembly->arena, form, one->of, one->as);
        }
    }
    return form;
}

static bool has_term(const struct form *form, const struct deviation *of)
{
    for (uint32_t i = 0; form != NULL && i < form->term_count; i++) {
        if (form->terms[i].of == of) {
            return true;
        }
    }
    return false;
}

const struct row *assembly_settling_under(const struct assembly *assembly,
                                          const struct row *laid, uint32_t i)
{
    const struct form *at = column_form(assembly, laid, "at");
    for (uint32_t k = 0; k < assembly->settlings.count; k++) {
        const struct settling *one = &assembly->settlings.at[k];
        if (one->unit == laid->key[0] && has_term(at, one->of) && i-- == 0) {
            return one->row;
        }
    }
    return NULL;
}

void rest_on_settlings(struct computed *made, const struct row *laid)
{
    const struct row *row = NULL;
    for (uint32_t i = 0; (row = assembly_settling_under(made->assembly, laid, i)) != NULL;
         i++) {
        computed_rest(made, row);
    }
}

/* What is left over of another unit's setting of the same gap: the same parts set the
 * same way are one setting (host and swap, where the swap leaves the gap alone). */
static const struct deviation *same_left(const struct assembly *assembly,
                                         const struct settling *own, double half)
{
    for (uint32_t i = 0; i < assembly->settlings.count; i++) {
        const struct settling *one = &assembly->settlings.at[i];
        if (one->gap == own->gap && one->of == own->of && one->left->high == half &&
            value_equal(value_quantity(one->size), value_quantity(own->size))) {
            return one->left;
        }
    }
    return NULL;
}

static const struct deviation *left_over(struct assembly *assembly,
                                         const struct settling *own, double half)
{
    const struct deviation *same = same_left(assembly, own, half);
    struct deviation *made =
        same == NULL ? ARENA_NEW(assembly->arena, struct deviation) : NULL;
    if (made != NULL) {
        *made = (struct deviation){
            .name = text_format(assembly->arena, "%.*s of %.*s as set",
                                TEXT_ARG(assembly_text(assembly, own->gap)),
                                TEXT_ARG(assembly_text(assembly, own->unit))),
            .low = -half,
            .high = half,
            .kind = DEVIATION_MOVES,
            .dim = own->size->dim};
    }
    return same != NULL ? same : made;
}

/* No more than the stock reaches: past its end, the end is taken. */
static const struct form *from_stock(struct arena *arena, const struct deviation *of,
                                     const struct form *wanted)
{
    const double low = of->nominal + of->low;
    const double high = of->nominal + of->high;
    if (wanted == NULL) {
        return NULL;
    }
    return wanted->greatest <= low ? form_exact(arena, wanted->dim, low)
           : wanted->least >= high ? form_exact(arena, wanted->dim, high)
                                   : form_within(arena, wanted, low, high);
}

/* chosen = (middle + left over - size) / by, and no more than the stock reaches. */
status settle_gap(struct assembly *assembly, const struct row *asked,
                  const struct row *setting, const struct form_term *term,
                  const struct form *size, double step, struct settling *out)
{
    struct arena *arena = assembly->arena;
    const struct form *least = column_form(assembly, asked, "want-least");
    const struct form *greatest = column_form(assembly, asked, "want-greatest");
    *out = (struct settling){.unit = asked->key[0],
                             .gap = asked->key[1],
                             .place = setting->key[2],
                             .of = term->of,
                             .by = term->by,
                             .size = size};
    if (least == NULL || greatest == NULL || isnan(term->of->nominal)) {
        return STATUS_OK; /* with one end there is no middle to set it to */
    }
    const double window = (greatest->greatest - least->least) / 2;
    out->middle = (least->least + greatest->greatest) / 2;
    out->left = left_over(assembly, out, fmin(window, step * fabs(term->by) / 2));
    if (out->left == NULL) {
        return arena_status(arena);
    }
    /* `size` counts what is chosen at its nominal. */
    const struct form *more = form_scale(
        arena, form_subtract(arena, settled_size(assembly, out), size), 1.0 / term->by);
    out->as = from_stock(
        arena, term->of,
        form_add(arena, form_exact(arena, size->dim, term->of->nominal), more));
    return arena_status(arena);
}

const struct form *settled_size(const struct assembly *assembly,
                                const struct settling *settling)
{
    struct arena *arena = assembly->arena;
    return form_add(arena, form_exact(arena, settling->size->dim, settling->middle),
                    form_of(arena, settling->left));
}

status settling_keep(struct assembly *assembly, const struct settling *settling,
                     const struct row *gap)
{
    struct settling kept = *settling;
    kept.row = gap;
    return kept.as == NULL || ARRAY_PUSH(assembly->arena, &assembly->settlings, kept)
               ? STATUS_OK
               : arena_status(assembly->arena);
}
