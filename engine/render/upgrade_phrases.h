/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_UPGRADE_PHRASES_H
#define WHYFIT_UPGRADE_PHRASES_H

#include "render_words.h"

/* What is said of change sets, on a terminal and in a report. */

/* "64.00 EUR"; an amount of money has its hundredths. */
text upgrade_money(struct arena *arena, struct dimension dim, double amount);
/* "80.80 EUR, 3 h of work, 2 pieces to get" */
text upgrade_cost(struct arena *arena, const struct set_cost *cost);
/* "kestrel-cover-late in cover, 64.00 EUR" */
text upgrade_part(struct arena *arena, const struct set_part *part);
text upgrade_figure(struct arena *arena, const struct figure_change *figure);
/* A margin that became better or worse, and which of both. */
text upgrade_margin(struct arena *arena, const struct margin_change *change);
bool upgrade_is_gain(const struct margin_change *change);
/* "with shaft=kestrel-shaft-late: fits with work, with the parts listed": what a set
 * changes beside what was wanted. */
text upgrade_beside(struct arena *arena, const struct upgrade_search *search,
                    const struct change_set_answer *set);

/* A smaller set and what it is refused for; "that rests on cover, shaft", empty where
 * nothing is known of it; what is said where there is none. */
text upgrade_refused(struct arena *arena, const struct refused_set *refused);
text upgrade_rests_on(struct arena *arena, const struct refused_set *refused);
text upgrade_nothing_smaller(void);
/* What is said of a search that found nothing. */
text upgrade_none(const struct upgrade_search *search);

/* "change cover, shaft: …", or toward a unit how many differences can be had. */
text upgrade_headline(struct arena *arena, const struct answer *answer);
text upgrade_asked(struct arena *arena, const struct answer *answer);
/* A place that only the other unit has. */
text upgrade_lacks(struct arena *arena, text place);
/* All of the other unit, and its price as one thing. */
text upgrade_whole(struct arena *arena, const struct change_set_answer *whole);
text upgrade_whole_price(struct arena *arena, const struct upgrade *upgrade);
/* How far the search went, line by line; gives their number. */
enum {
    UPGRADE_TRIED_LINES = 5
};
uint32_t upgrade_tried(struct arena *arena, const struct upgrade *upgrade, text *lines);

#endif
