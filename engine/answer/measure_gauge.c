/* SPDX-License-Identifier: MIT */
/* Which gauge reads a dimension, of those that the vocabulary names and that are at hand.
 */
#include "measure_private.h"

#include "ways.h"

#include <math.h>

/* A dimension that nobody recorded may lie in the range of any. */
static bool is_in_range(const struct gauge *gauge, const struct deviation *of)
{
    const double size = fabs(of->nominal);
    return of->basis == BASIS_MISSING ||
           (size >= gauge->least && size <= gauge->greatest);
}

const struct gauge *gauge_for(const struct measuring *measuring, text words,
                              const struct deviation *of, double enough)
{
    const text at_hand = measuring->question->gauges;
    const struct gauge *best = NULL;
    size_t at = 0;
    for (text word = way_next(words, &at); word.length > 0; word = way_next(words, &at)) {
        const struct gauge *gauge = tables_gauge(&measuring->knowledge->tables, word);
        if (gauge == NULL || !is_in_range(gauge, of) ||
            (at_hand.length > 0 && !way_is_among(at_hand, word))) {
            continue;
        }
        const bool is_fine = gauge->figure <= enough;
        const bool best_is_fine = best != NULL && best->figure <= enough;
        if (best == NULL || (is_fine && !best_is_fine) ||
            (is_fine == best_is_fine &&
             (is_fine ? gauge->figure > best->figure : gauge->figure < best->figure))) {
            best = gauge;
        }
    }
    return best;
}
