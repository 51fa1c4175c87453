/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_MECHANICS_FUNCTIONS_H
#define WHYFIT_MECHANICS_FUNCTIONS_H

#include "function_entry.h"

/* What formulas may call out of mechanics: a table a subject, each sorted by name; the
 * caller joins them. */
const struct function_table *const *mechanics_functions(uint32_t *count);

extern const struct function_table bearing_functions;
extern const struct function_table fastener_functions;
extern const struct function_table gear_functions;
extern const struct function_table closed_space_functions;
extern const struct function_table measuring_functions;
extern const struct function_table motion_functions;
extern const struct function_table press_functions;
extern const struct function_table ring_functions;
extern const struct function_table shaft_functions;
extern const struct function_table thread_functions;

#endif
