/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_LIMITS_AND_FITS_H
#define WHYFIT_LIMITS_AND_FITS_H

#include "status.h"
#include "text.h"

#include <stdint.h>

/*
 * The ISO code system for tolerances on linear sizes (ISO 286-1, ISO 286-2), up to 500
 * mm. The numbers are facts and come from facts/iso-286.yaml; here are the rules that
 * turn them into limits. All table values are in micrometres.
 */
struct limits_row {
    text name;        /* "IT7", "k", "j6" */
    const double *um; /* one a step */
    uint32_t count;
};

struct limits_list {
    const struct limits_row *rows;
    uint32_t count;
};

struct limits_table {
    /* Upper ends in mm, rising; a size on an end belongs below it. */
    const double *main_steps;
    uint32_t main_count;
    const double *sub_steps;
    uint32_t sub_count;
    struct limits_list grades;   /* IT01 … IT16, by main step */
    struct limits_list shaft_es; /* upper deviations of c … h, by sub step */
    /* Lower deviations of j5, j6, j7, of k for IT4 … IT7, of m …, by sub step. */
    struct limits_list shaft_ei;
    struct limits_list hole_ei; /* lower deviations of C … H, by sub step */
    /* Upper deviations of J6, J7, J8, K, M, N, N-above-8, P …, by sub step. */
    struct limits_list hole_es;
    struct limits_list delta; /* the delta of IT3 … IT8, by main step */
};

/* Limit deviations (nm) of a class such as "H7", "k6" or "js9" at a size (nm).
 * STATUS_NOT_FOUND with *why (static) where the system, or the table, has none. */
MUST_USE status limits_of_class(const struct limits_table *table, double size_nm,
                                text tolerance_class, double *low_nm, double *high_nm,
                                const char **why);

/* The same with the table behind a plain pointer, as quantity's limits_resolver wants it.
 */
MUST_USE status limits_resolve(const void *table, double size_nm, text tolerance_class,
                               double *low_nm, double *high_nm, const char **why);

#endif
