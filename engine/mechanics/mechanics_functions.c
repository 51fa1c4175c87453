/* SPDX-License-Identifier: MIT */
/*
 * Published equations as functions for formulas: quantities in, one quantity out, a file
 * a subject. A domain error (a section that may be zero) is a result without a number,
 * never a fault.
 */
#include "mechanics_functions.h"

const struct function_table *const *mechanics_functions(uint32_t *count)
{
    static const struct function_table *const subjects[] = {
        &bearing_functions, &closed_space_functions, &fastener_functions,
        &gear_functions,    &measuring_functions,    &motion_functions,
        &press_functions,   &ring_functions,         &shaft_functions,
        &thread_functions};
    *count = sizeof subjects / sizeof *subjects;
    return subjects;
}
