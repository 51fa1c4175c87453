/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_MECHANICS_FUNCTIONS_H
#define WHYFIT_MECHANICS_FUNCTIONS_H

#include "function_entry.h"

/* What formulas may call out of mechanics, sorted by name; each entry names its source.
 */
const struct function_table *mechanics_functions(void);

#endif
