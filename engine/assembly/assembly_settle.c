/* SPDX-License-Identifier: MIT */
/*
 * What is chosen at assembly. A shim is picked when all the rest is known: it brings its
 * gap to the middle of what is wanted, as near as its steps and its stock go. So its
 * thickness is no free dimension but follows from the parts of the gap, and what else it
 * moves (a seal on its land, a ring before its groove) varies with those parts, not over
 * the whole stock. What moves by itself does so after the shim is picked: it moves the
 * gap, never the shim.
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

/* How far the gap may lie from the middle once it is set. */
struct off_middle {
    double low;
    double high;
};

/* What is left over of another unit's setting of the same gap: the same parts set the
 * same way are one setting (host and swap, where the swap leaves the gap alone). */
static const struct deviation *same_left(const struct assembly *assembly,
                                         const struct settling *own,
                                         struct off_middle off)
{
    for (uint32_t i = 0; i < assembly->settlings.count; i++) {
        const struct settling *one = &assembly->settlings.at[i];
        if (one->gap == own->gap && one->of == own->of && one->left->low == off.low &&
            one->left->high == off.high &&
            value_equal(value_quantity(one->size), value_quantity(own->size))) {
            return one->left;
        }
    }
    return NULL;
}

static const struct deviation *
left_over(struct assembly *assembly, const struct settling *own, struct off_middle off)
{
    const struct deviation *same = same_left(assembly, own, off);
    struct deviation *made =
        same == NULL ? ARENA_NEW(assembly->arena, struct deviation) : NULL;
    if (made != NULL) {
        *made = (struct deviation){
            .name = text_format(assembly->arena, "%.*s of %.*s as set",
                                TEXT_ARG(assembly_text(assembly, own->gap)),
                                TEXT_ARG(assembly_text(assembly, own->unit))),
            .low = off.low,
            .high = off.high,
            .kind = DEVIATION_MOVES,
            .dim = own->size->dim};
    }
    return same != NULL ? same : made;
}

/* A gap as it is when its piece is chosen: nobody knows then where what moves by itself
 * will be, so the choice is made for the middle of its range. */
static const struct form *at_rest(struct arena *arena, const struct form *size)
{
    const struct form *rest = size;
    for (uint32_t i = 0; i < size->term_count; i++) {
        const struct deviation *of = size->terms[i].of;
        const double middle = (of->low + of->high) / 2;
        if (of->kind == DEVIATION_MOVES) {
            rest = form_substitute(
                arena, rest, of,
                form_exact(arena, of->dim,
                           isfinite(middle) ? of->nominal + middle : 0.0));
        }
    }
    return rest;
}

/* How thick the chosen piece would have to be to bring the gap to this distance from the
 * middle of what is wanted: (middle + off - size) / by. */
static const struct form *thickness_for(struct arena *arena,
                                        const struct settling *settling,
                                        const struct form *off)
{
    const struct form *size = settling->size; /* counts what is chosen at its nominal */
    const struct form *goal =
        form_add(arena, form_exact(arena, size->dim, settling->middle), off);
    return form_add(
        arena, form_exact(arena, size->dim, settling->of->nominal),
        form_scale(arena, form_subtract(arena, goal, size), 1.0 / settling->by));
}

/* Half a step, or as far as the stock falls short of the middle. Past what is wanted the
 * gap's own finding stops the swap. */
static struct off_middle off_middle_of(const struct settling *settling,
                                       const struct form *wanted, double half,
                                       double window)
{
    const struct deviation *of = settling->of;
    const double over = fmax(0.0, of->nominal + of->low - wanted->least);
    const double under = fmin(0.0, of->nominal + of->high - wanted->greatest);
    const double one = over > 0.0 ? over * settling->by : 0.0;
    const double two = under < 0.0 ? under * settling->by : 0.0;
    return (struct off_middle){-fmin(window, fmax(half, -fmin(one, two))),
                               fmin(window, fmax(half, fmax(one, two)))};
}

/* What the choice comes to: past the end of the stock, the end is taken. */
static const struct form *chosen(struct arena *arena, const struct settling *settling,
                                 const struct form *wanted)
{
    const struct deviation *of = settling->of;
    const double low = of->nominal + of->low;
    const double high = of->nominal + of->high;
    return wanted->greatest <= low ? form_exact(arena, wanted->dim, low)
           : wanted->least >= high
               ? form_exact(arena, wanted->dim, high)
               : form_within(
                     arena,
                     thickness_for(arena, settling, form_of(arena, settling->left)), low,
                     high);
}

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
                             .size = at_rest(arena, size)};
    const double middle =
        least == NULL || greatest == NULL ? NAN : (least->least + greatest->greatest) / 2;
    if (!isfinite(middle) || isnan(term->of->nominal)) {
        return STATUS_OK; /* with one end, or none known, there is no middle */
    }
    out->middle = middle;
    const struct form *wanted =
        out->size == NULL ? NULL
                          : thickness_for(arena, out, form_exact(arena, size->dim, 0.0));
    if (wanted == NULL) {
        return arena_status(arena);
    }
    const double window = (greatest->greatest - least->least) / 2;
    out->left = left_over(
        assembly, out,
        off_middle_of(out, wanted, fmin(window, step * fabs(term->by) / 2), window));
    if (out->left != NULL) {
        out->as = chosen(arena, out, wanted);
    }
    return arena_status(arena);
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
