/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_STATED_H
#define WHYFIT_STATED_H

#include "diagnostic.h"
#include "form.h"

/*
 * The notation of dimensions, as people write them:
 *
 *   18 mm   18 ±0.05 mm   18 +0.1/-0 mm   17.95..18.05 mm   at least 55 HRC   at most 1.0
 * mm about 12 mm   40 k6   40 mm k6   0.591 in   measured 17.98 mm with caliper
 *   measured 17.98 ±0.02 mm   from +35.8 ±0.1 mm   groove-out -1.85 +0/-0.14 mm shoulder
 *
 * "+/-" is understood for "±". Either side may have its own unit (18 mm ±50 um); else the
 * one unit, wherever it stands, is that of both. A sign after a name hangs the dimension
 * on that name (another face, or `from`/`to` of the same run); a name alone lies exactly
 * there.
 */
enum stated_basis {
    STATED_BARE,     /* no tolerance written */
    STATED_LIMITS,   /* ± or +/- or .. or at least / at most */
    STATED_CLASS,    /* an ISO 286 class, not yet resolved */
    STATED_MEASURED, /* a reading; `gauge` names the instrument unless limits are written
                      */
    STATED_EYE       /* about */
};

struct stated {
    enum stated_basis basis;
    struct dimension dim;
    bool is_name_alone; /* it lies exactly at its anchor */
    struct unit unit;   /* as written */
    double nominal;     /* coherent units */
    double low; /* deviations from nominal; both 0 when bare, ±INFINITY where open */
    double high;
    int decimals;         /* digits written behind the point, in `unit` */
    text anchor;          /* the name it hangs on, or empty */
    text tolerance_class; /* "k6" */
    text gauge;
    span where;
};

struct stated_options {
    struct dimension wanted; /* what the field is due */
    bool any_dimension;      /* nothing is due: `wanted` is ignored */
    bool decimal_comma;   /* typed (command line): understand 0,5 and "2 IN"; else (YAML)
                             refuse it and show 0.5 */
    bool anchors_allowed; /* names may stand where a position is due */
    const struct unit *assumed; /* of a number without a unit (a table's heading says it);
                                   NULL: such a number is plain */
};

/* Reads the whole of `a`, which lies at `where`. Every fault is one diagnostic with a
 * span inside `where` and STATUS_INVALID. Texts in *out are borrowed from `a`. */
MUST_USE status stated_read(text a, span where, const struct stated_options *options,
                            struct diagnostics *diagnostics, struct stated *out);

/* How many bytes at the start of `a` are a literal dimension of the kinds a formula may
 * hold (number with unit, tolerance, range or class; never an anchor); 0 for none. A bare
 * number is one. */
size_t stated_literal_length(text a, bool decimal_comma);

/* "40 k6" → limits. Given to whoever must resolve classes; knowledge fills it from facts.
 */
struct limits_resolver {
    /* Deviations (nm) of `tolerance_class` at `size` (nm). STATUS_NOT_FOUND with *why
     * (static) when the table has no such class or size. */
    status (*resolve)(const void *context, double size, text tolerance_class, double *low,
                      double *high, const char **why);
    const void *context;
};

/* "18 ±0.05 mm" again from numbers: what answers show for a dimension. */
text stated_write(struct arena *arena, const struct deviation *of);
/* A range with its unit and sensible digits: "2.8 mm", "2.5..3.1 mm", "at least 4 mm". */
text form_write(struct arena *arena, const struct form *a);
/* The same of a form that is nothing but one dimension, as that is stated; else its
 * range. */
text form_stated(struct arena *arena, const struct form *a);
/* One coherent magnitude with its unit: "2.8 mm"; `decimals` < 0 takes the unit's own. */
text magnitude_write(struct arena *arena, struct dimension dim, double value,
                     int decimals);

#endif
