/* SPDX-License-Identifier: MIT */
/* Between a formula's call and an equation: forms out of values, and the result back. */
#include "mechanics_call.h"

const struct form *call_form(const struct function_call *call, uint32_t i)
{
    return call->arguments[i].quantity;
}

bool call_give(struct function_call *call, const struct form *form)
{
    call->result = value_quantity(form);
    return form != NULL;
}

bool call_refuses(struct function_call *call, const struct form *must, bool or_nothing,
                  const char *why)
{
    const bool is_beyond = must != NULL && must->undefined == NULL &&
                           (or_nothing ? must->greatest < 0.0 : must->greatest <= 0.0);
    if (is_beyond) {
        struct dimension dim = must->dim; /* where the result is of the arguments' own */
        (void)dimension_find(text_of(call->entry->result.dimension), &dim);
        call->result = value_quantity(form_undefined(call->arena, dim, why));
    }
    return is_beyond && call->result.quantity != NULL;
}

bool call_give_law(struct function_call *call, const struct form_law *law)
{
    const struct form *of[FORM_LAW_ARGUMENTS];
    struct dimension dim = DIMENSION_RATIO;
    for (uint32_t i = 0; i < law->count; i++) {
        of[i] = call_form(call, i);
    }
    (void)dimension_find(text_of(call->entry->result.dimension),
                         &dim); /* a table's word is one */
    return call_give(call, form_by_law(call->arena, law, of, dim));
}

bool call_own_law(struct function_call *call)
{
    return call_give_law(call, call->entry->law);
}
