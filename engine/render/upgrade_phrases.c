/* SPDX-License-Identifier: MIT */
/* What is said of change sets, wherever it stands on the page. */
#include "upgrade_phrases.h"

#include "number_text.h"

#include <math.h>

/* ---- money and time */

/* "64.00 EUR"; an amount of money has its hundredths. */
text upgrade_money(struct arena *arena, struct dimension dim, double amount)
{
    struct unit unit = {.symbol = ""};
    (void)unit_shown(dim, &unit);
    const text number = number_write_fixed(arena, amount, unit.decimals);
    return text_format(arena, "%.*s %s", TEXT_ARG(number), unit.symbol);
}

/* "1.5 h" */
static text hours_text(struct arena *arena, double seconds)
{
    struct unit hour = {.scale = 1};
    (void)unit_find(TEXT("h"), &hour);
    const double hours = round(unit_from_coherent(&hour, seconds) * 100) / 100;
    return text_format(arena, "%.*s h", TEXT_ARG(number_write(arena, hours)));
}

text upgrade_cost(struct arena *arena, const struct set_cost *cost)
{
    text all = text_format(arena, "%u piece%s to get", cost->pieces,
                           cost->pieces == 1 ? "" : "s");
    if (cost->has_labour) {
        all = text_format(arena, "%.*s of work, %.*s",
                          TEXT_ARG(hours_text(arena, cost->labour)), TEXT_ARG(all));
    }
    if (cost->is_priced && cost->price > 0) {
        all = text_format(arena, "%.*s, %.*s",
                          TEXT_ARG(upgrade_money(arena, cost->currency, cost->price)),
                          TEXT_ARG(all));
    } else if (!cost->is_priced) {
        all = text_format(arena, "%.*s; not all prices are stated", TEXT_ARG(all));
    }
    return all;
}

/* ---- a set */

text upgrade_part(struct arena *arena, const struct set_part *part)
{
    const bool is_priced = part->outlay != NULL && part->outlay->price.is_stated &&
                           part->reason != PART_COMES_WITH;
    text line =
        text_format(arena, "%.*s in %.*s", TEXT_ARG(part->part), TEXT_ARG(part->place));
    if (part->reason != PART_ASKED) {
        line = text_format(
            arena, "%.*s, %s%s", TEXT_ARG(line), part_reason_word(part->reason),
            part->reason == PART_COMES_WITH  ? " another"
            : part->reason == PART_GOES_WITH ? " another, as its maker says"
                                             : "");
    }
    if (part->is_had) {
        line = text_format(arena, "%.*s, at hand", TEXT_ARG(line));
    } else if (is_priced) {
        line = text_format(arena, "%.*s, %.*s", TEXT_ARG(line),
                           TEXT_ARG(upgrade_money(arena, part->outlay->price.dim,
                                                  part->outlay->price.amount)));
    }
    return line;
}

text upgrade_figure(struct arena *arena, const struct figure_change *figure)
{
    return text_format(arena, "%.*s: from %.*s to %.*s", TEXT_ARG(figure->of),
                       TEXT_ARG(form_write(arena, figure->before)),
                       TEXT_ARG(form_write(arena, figure->now)));
}

bool upgrade_is_gain(const struct margin_change *change)
{
    return change->kind == MARGIN_HOLDS_NOW || change->kind == MARGIN_GREW;
}

text upgrade_margin(struct arena *arena, const struct margin_change *change)
{
    static const char *const words[] = {"holds now", "grew", "shrank",
                                        "does not hold now"};
    const struct finding *finding = change->finding;
    const text what = text_format(arena, "%.*s (%.*s)", TEXT_ARG(finding->name),
                                  TEXT_ARG(render_subject(arena, finding)));
    const text before = form_write(arena, finding->host->margin);
    const text now = form_write(arena, finding->margin);
    if (change->kind == MARGIN_GREW || change->kind == MARGIN_SHRANK) {
        return text_format(arena, "%.*s: margin %s by %.*s, from %.*s to %.*s",
                           TEXT_ARG(what), words[change->kind],
                           TEXT_ARG(form_write(arena, change->by)), TEXT_ARG(before),
                           TEXT_ARG(now));
    }
    return text_format(arena, "%.*s: %s (margin %.*s, was %.*s)", TEXT_ARG(what),
                       words[change->kind], TEXT_ARG(now), TEXT_ARG(before));
}

static bool is_of(const struct named_pair *pairs, uint32_t count, text name)
{
    for (uint32_t i = 0; i < count; i++) {
        if (text_equal(pairs[i].name, name)) {
            return true;
        }
    }
    return false;
}

text upgrade_beside(struct arena *arena, const struct upgrade_search *search,
                    const struct change_set_answer *set)
{
    text all = {"", 0};
    for (uint32_t i = 0; i < set->swap->change_count; i++) {
        const struct named_pair *change = &set->swap->changes[i];
        if (!is_of(search->goal, search->goal_count, change->name)) {
            all = text_format(arena, "%.*s%s%.*s=%.*s", TEXT_ARG(all),
                              all.length == 0 ? "" : ", ", TEXT_ARG(change->name),
                              TEXT_ARG(change->value));
        }
    }
    return text_format(arena, "%s%.*s: %s, with the parts listed",
                       all.length > 0 ? "with " : "alone", TEXT_ARG(all),
                       verdict_word(set->swap->verdict));
}

/* ---- why nothing smaller */

text upgrade_refused(struct arena *arena, const struct refused_set *refused)
{
    return text_format(
        arena, "%.*s: %s: %.*s",
        TEXT_ARG(render_pairs(arena, refused->changes, refused->change_count)),
        verdict_word(refused->verdict), TEXT_ARG(refused->sentence));
}

text upgrade_rests_on(struct arena *arena, const struct refused_set *refused)
{
    text places = {"", 0};
    for (uint32_t i = 0; i < refused->conflict_count; i++) {
        places = text_format(arena, "%.*s%s%.*s", TEXT_ARG(places),
                             i == 0 ? "that rests on " : ", ",
                             TEXT_ARG(refused->conflict[i].name));
    }
    return places;
}

text upgrade_nothing_smaller(void)
{
    return TEXT("nothing: only what was wanted is changed");
}

text upgrade_none(const struct upgrade_search *search)
{
    return !search->is_cut
               ? TEXT("nothing that could stand in the other places makes it work")
           : search->tried > 0 ? TEXT("nothing was found that makes it work")
                               : TEXT("it was not tried: the bound on swaps was reached");
}

/* ---- the whole */

/* How many searches found sets that work, and how many only such as are not known. */
static text count_searches(struct arena *arena, const struct upgrade *upgrade)
{
    uint32_t works = 0;
    uint32_t open = 0;
    for (uint32_t i = 0; i < upgrade->search_count; i++) {
        const struct upgrade_search *search = &upgrade->searches[i];
        works += search->set_count > 0 ? 1 : 0;
        open += search->set_count == 0 && search->not_known_count > 0 ? 1 : 0;
    }
    const text all = text_format(arena, "%u of %u differences can be had", works,
                                 upgrade->search_count);
    return open == 0
               ? all
               : text_format(arena, "%.*s, of %u it is not known", TEXT_ARG(all), open);
}

/* "change cover, shaft" where one thing was wanted; toward a unit how many of its
 * differences can be had. */
text upgrade_headline(struct arena *arena, const struct answer *answer)
{
    const struct upgrade *upgrade = answer->upgrade;
    if (upgrade->search_count == 0) {
        return TEXT("nothing differs");
    }
    if (upgrade->toward.length > 0) {
        return count_searches(arena, upgrade);
    }
    if (answer->verdict != VERDICT_FITS) {
        return answer->verdict == VERDICT_NOT_KNOWN ? TEXT("not known")
                                                    : TEXT("no set of changes works");
    }
    const struct answer *best = upgrade->searches[0].sets[0].swap;
    text all = TEXT("change ");
    for (uint32_t i = 0; i < best->change_count; i++) {
        all = text_format(arena, "%.*s%s%.*s", TEXT_ARG(all), i == 0 ? "" : ", ",
                          TEXT_ARG(best->changes[i].name));
    }
    return text_format(arena, "%.*s: %.*s", TEXT_ARG(all),
                       TEXT_ARG(upgrade_cost(arena, &upgrade->searches[0].sets[0].cost)));
}

text upgrade_asked(struct arena *arena, const struct answer *answer)
{
    const struct upgrade *upgrade = answer->upgrade;
    return upgrade->toward.length > 0
               ? text_format(arena, "%.*s toward %.*s", TEXT_ARG(answer->unit),
                             TEXT_ARG(upgrade->toward))
               : text_format(
                     arena, "%.*s in %.*s",
                     TEXT_ARG(render_pairs(arena, upgrade->want, upgrade->want_count)),
                     TEXT_ARG(answer->unit));
}

text upgrade_lacks(struct arena *arena, text place)
{
    return text_format(arena, "a place %.*s, which the other unit has", TEXT_ARG(place));
}

text upgrade_whole(struct arena *arena, const struct change_set_answer *whole)
{
    return text_format(
        arena, "%.*s: %s, with the parts listed",
        TEXT_ARG(render_pairs(arena, whole->swap->changes, whole->swap->change_count)),
        verdict_word(whole->swap->verdict));
}

text upgrade_whole_price(struct arena *arena, const struct upgrade *upgrade)
{
    const struct outlay *outlay = upgrade->whole_outlay;
    return text_format(
        arena, "%.*s as one thing costs %.*s", TEXT_ARG(upgrade->toward),
        TEXT_ARG(upgrade_money(arena, outlay->price.dim, outlay->price.amount)));
}

/* How many could stand in each place. */
static text candidates_text(struct arena *arena, const struct upgrade *upgrade)
{
    text candidates = {"", 0};
    for (uint32_t i = 0; i < upgrade->candidate_count; i++) {
        const struct place_candidates *place = &upgrade->candidates[i];
        candidates =
            text_format(arena, "%.*s%s%.*s %u", TEXT_ARG(candidates), i == 0 ? "" : ", ",
                        TEXT_ARG(place->place), place->count);
        if (place->left_out > 0) {
            candidates = text_format(arena, "%.*s (%u more left out)",
                                     TEXT_ARG(candidates), place->left_out);
        }
    }
    return candidates.length > 0 ? candidates : TEXT("nothing");
}

uint32_t upgrade_tried(struct arena *arena, const struct upgrade *upgrade, text *lines)
{
    uint32_t count = 0;
    lines[count++] = text_format(arena, "%llu swap%s", (unsigned long long)upgrade->tried,
                                 upgrade->tried == 1 ? "" : "s");
    if (upgrade->is_cut) {
        lines[count++] = text_format(
            arena, "not all sets were tried: the bound is %llu swaps (--tries N)",
            (unsigned long long)upgrade->tries);
    }
    if (upgrade->largest > 0) {
        lines[count++] = text_format(
            arena, "no set of more than %u changes was looked at", upgrade->largest);
    }
    lines[count++] =
        text_format(arena,
                    "could stand there, by place: %.*s; that is what units and parts put "
                    "in a place of that name, and parts of its kind, but no other size "
                    "out of a catalogue",
                    TEXT_ARG(candidates_text(arena, upgrade)));
    lines[count++] = upgrade->is_by_price
                         ? TEXT("cheapest first")
                         : TEXT("fewest pieces to get first: not all prices are stated");
    return count;
}
