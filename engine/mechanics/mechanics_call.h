/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_MECHANICS_CALL_H
#define WHYFIT_MECHANICS_CALL_H

#include "function_entry.h"

/*
 * What the functions of every subject are written with. Quantities are forms in coherent
 * units (nm, kg, s, K, rad), in which equations hold as they are printed.
 */

/* Argument `i`, a quantity. */
const struct form *call_form(const struct function_call *call, uint32_t i);

/* Takes a form as the result; NULL is the arena's failure, and false. */
bool call_give(struct function_call *call, const struct form *form);

/* Where `must` surely is not more than nothing (or, or_nothing, is less), the result is
 * no number, for `why`; true: then there is nothing left to do. */
bool call_refuses(struct function_call *call, const struct form *must, bool or_nothing,
                  const char *why);

/* The result is the law of all arguments, in the dimension the entry names. */
bool call_give_law(struct function_call *call, const struct form_law *law);

/* The `run` of an entry that names its law. */
bool call_own_law(struct function_call *call);

#endif
