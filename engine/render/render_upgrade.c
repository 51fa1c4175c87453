/* SPDX-License-Identifier: MIT */
/*
 * Change sets in words: what to change and what it costs first, then what has to be
 * done, what is gained, and what each smaller set is refused for.
 */
#include "number_text.h"
#include "render_words.h"

#include <math.h>

enum {
    MOST_CHANGES_SHOWN = 6, /* margins that grew or shrank, in words; JSON has all */
    MOST_REFUSED = 7,
    MOST_REASONS = 5
};

/* ---- money and time */

/* "64.00 EUR"; an amount of money has its hundredths. */
static text money_text(struct arena *arena, struct dimension dim, double amount)
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

static text cost_text(struct arena *arena, const struct set_cost *cost)
{
    text all = text_format(arena, "%u piece%s to get", cost->pieces,
                           cost->pieces == 1 ? "" : "s");
    if (cost->has_labour) {
        all = text_format(arena, "%.*s of work, %.*s",
                          TEXT_ARG(hours_text(arena, cost->labour)), TEXT_ARG(all));
    }
    if (cost->is_priced && cost->price > 0) {
        all = text_format(arena, "%.*s, %.*s",
                          TEXT_ARG(money_text(arena, cost->currency, cost->price)),
                          TEXT_ARG(all));
    } else if (!cost->is_priced) {
        all = text_format(arena, "%.*s; not all prices are stated", TEXT_ARG(all));
    }
    return all;
}

/* ---- lists with a word before them */

/* Lines below each other; the word stands before the first. */
struct lead {
    struct writer *writer;
    const char *word;
    bool is_begun;
};

static void write_line(struct lead *column, text line)
{
    struct arena *arena = column->writer->arena;
    write_wrapped(column->writer,
                  text_format(arena, "  %-8s ", column->is_begun ? "" : column->word),
                  line);
    column->is_begun = true;
}

static void write_parts(struct writer *writer, const struct change_set_answer *set)
{
    struct arena *arena = writer->arena;
    struct lead column = {writer, "parts", false};
    for (uint32_t i = 0; i < set->part_count; i++) {
        const struct set_part *part = &set->parts[i];
        const bool is_priced = part->outlay != NULL && part->outlay->price.is_stated &&
                               part->reason != PART_COMES_WITH;
        text line = text_format(arena, "%.*s in %.*s", TEXT_ARG(part->part),
                                TEXT_ARG(part->place));
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
                               TEXT_ARG(money_text(arena, part->outlay->price.dim,
                                                   part->outlay->price.amount)));
        }
        write_line(&column, line);
    }
}

static text margin_change_text(struct arena *arena, const struct margin_change *change)
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

/* Margins that became better, or worse. */
static void write_margins(struct writer *writer, const struct change_set_answer *set,
                          bool is_better)
{
    struct lead column = {writer, is_better ? "gains" : "gives up", false};
    uint32_t shown = 0;
    uint32_t more = 0;
    for (uint32_t i = 0; i < set->figure_count; i++) {
        const struct figure_change *figure = &set->figures[i];
        if (figure->is_better == is_better) {
            write_line(&column,
                       text_format(writer->arena, "%.*s: from %.*s to %.*s",
                                   TEXT_ARG(figure->of),
                                   TEXT_ARG(form_write(writer->arena, figure->before)),
                                   TEXT_ARG(form_write(writer->arena, figure->now))));
        }
    }
    for (uint32_t i = 0; i < set->margin_count; i++) {
        const struct margin_change *change = &set->margins[i];
        if ((change->kind == MARGIN_HOLDS_NOW || change->kind == MARGIN_GREW) !=
            is_better) {
            continue;
        }
        if (shown++ < MOST_CHANGES_SHOWN) {
            write_line(&column, margin_change_text(writer->arena, change));
        } else {
            more++;
        }
    }
    if (more > 0) {
        write_line(&column,
                   text_format(writer->arena, "%u more margin%s (--format json has all)",
                               more, more == 1 ? "" : "s"));
    }
}

static void write_work(struct writer *writer, const struct change_set_answer *set)
{
    struct lead column = {writer, "to do", false};
    for (uint32_t i = 0; i < set->swap->work_count; i++) {
        write_line(&column, set->swap->work[i].what);
    }
}

/* The reasons of a verdict; what a swap takes away is said once. */
static void write_reasons(struct writer *writer, const struct answer *swap,
                          const char *word)
{
    struct lead lead = {writer, word, false};
    text removed = render_removed(writer->arena, swap);
    uint32_t shown = 0;
    uint32_t more = 0;
    for (uint32_t i = 0; i < swap->because_count; i++) {
        const bool is_removed = is_removed_reason(swap, swap->because[i]);
        const text because = is_removed ? removed : swap->because[i];
        removed = is_removed ? TEXT("") : removed;
        if (because.length == 0) {
            continue;
        }
        if (shown++ < MOST_REASONS) {
            write_line(&lead, because);
        } else {
            more++;
        }
    }
    if (more > 0) {
        write_line(&lead,
                   text_format(writer->arena, "%u more (whyfit swap has all)", more));
    }
}

static void write_measures(struct writer *writer, const struct change_set_answer *set)
{
    struct lead lead = {writer, "measure", false};
    for (uint32_t i = 0; i < set->swap->missing_count; i++) {
        write_line(&lead, render_missing(writer->arena, &set->swap->missing[i]));
    }
    write_reasons(writer, set->swap, "open");
}

/* ---- why nothing smaller */

static text refused_text(struct arena *arena, const struct refused_set *refused)
{
    return text_format(
        arena, "%.*s: %s: %.*s",
        TEXT_ARG(render_pairs(arena, refused->changes, refused->change_count)),
        verdict_word(refused->verdict), TEXT_ARG(refused->sentence));
}

static void write_refused(struct lead *column, const struct refused_set *refused)
{
    struct arena *arena = column->writer->arena;
    text places = {"", 0};
    write_line(column, refused_text(arena, refused));
    for (uint32_t i = 0; i < refused->conflict_count; i++) {
        places = text_format(arena, "%.*s%s%.*s", TEXT_ARG(places), i == 0 ? "" : ", ",
                             TEXT_ARG(refused->conflict[i].name));
    }
    if (places.length > 0) {
        write_line(column, text_format(arena, "(that rests on %.*s)", TEXT_ARG(places)));
    }
}

static void write_smaller(struct writer *writer, const struct change_set_answer *set)
{
    struct lead column = {writer, "smaller", false};
    for (uint32_t i = 0; i < set->refused_count && i < MOST_REFUSED; i++) {
        write_refused(&column, &set->refused[i]);
    }
    if (set->refused_count > MOST_REFUSED) {
        write_line(&column, text_format(writer->arena,
                                        "%u more are refused (--format json has all)",
                                        set->refused_count - MOST_REFUSED));
    }
    if (set->refused_count == 0) {
        write_line(&column, TEXT("nothing: only what was wanted is changed"));
    }
}

/* ---- a set */

static bool is_of(const struct named_pair *pairs, uint32_t count, text name)
{
    for (uint32_t i = 0; i < count; i++) {
        if (text_equal(pairs[i].name, name)) {
            return true;
        }
    }
    return false;
}

/* What a set changes beside the goal; empty when nothing. */
static text beside_goal(struct arena *arena, const struct upgrade_search *search,
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
    return all;
}

static void write_set(struct writer *writer, const struct upgrade_search *search,
                      const struct change_set_answer *set, const char *word,
                      bool is_first, bool with_chain)
{
    struct arena *arena = writer->arena;
    const text beside = beside_goal(arena, search, set);
    const bool is_known = set->swap->verdict != VERDICT_NOT_KNOWN;
    struct lead column = {writer, word, false};
    write_line(&column, text_format(arena, "%s%.*s: %s, with the parts listed",
                                    beside.length > 0 ? "with " : "alone",
                                    TEXT_ARG(beside), verdict_word(set->swap->verdict)));
    struct lead cost = {writer, "costs", false};
    write_line(&cost, cost_text(arena, &set->cost));
    struct lead taken = {writer, "taken", false};
    for (uint32_t i = 0; i < set->swap->taken_count; i++) {
        write_line(&taken, set->swap->taken[i]);
    }
    write_parts(writer, set);
    if (is_known) {
        write_work(writer, set);
        write_margins(writer, set, true);
        write_margins(writer, set, false);
    } else {
        write_measures(writer, set);
    }
    if (is_known || is_first) {
        write_smaller(writer, set);
    }
    if (with_chain) {
        render_chain(writer, set->swap);
    }
}

static void write_none(struct writer *writer, const struct upgrade_search *search)
{
    struct lead lead = {writer, "fails", false};
    write_line(&lead, !search->is_cut
                          ? TEXT("nothing that could stand in the other places makes "
                                 "it work")
                      : search->tried > 0
                          ? TEXT("nothing was found that makes it work")
                          : TEXT("it was not tried: the bound on swaps was "
                                 "reached"));
    if (search->alone.sentence.length > 0) {
        write_refused(&lead, &search->alone);
    }
}

static void write_search(struct writer *writer, const struct upgrade_search *search,
                         bool with_chain)
{
    struct arena *arena = writer->arena;
    const text goal = render_pairs(arena, search->goal, search->goal_count);
    const uint32_t more = search->set_total - search->set_count;
    const uint32_t more_open = search->not_known_total - search->not_known_count;
    render_heading(writer, text_copy(arena, goal).at);
    for (uint32_t i = 0; i < search->set_count; i++) {
        write_set(writer, search, &search->sets[i], i == 0 ? "works" : "or", i == 0,
                  with_chain);
    }
    if (search->set_count == 0 && search->not_known_count == 0) {
        write_none(writer, search);
    }
    for (uint32_t i = 0; i < search->not_known_count; i++) {
        write_set(writer, search, &search->not_known[i], "perhaps",
                  search->set_count == 0 && i == 0, with_chain);
    }
    struct lead lead = {writer, "more", false};
    if (more > 0) {
        write_line(&lead, text_format(arena, "%u more that work%s (--most N)", more,
                                      more == 1 ? "s" : ""));
    }
    if (more_open > 0) {
        write_line(
            &lead,
            text_format(arena, "%u more of which it is not known (--most N)", more_open));
    }
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
static text headline(struct arena *arena, const struct answer *answer)
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
                       TEXT_ARG(cost_text(arena, &upgrade->searches[0].sets[0].cost)));
}

static void write_asked(struct writer *writer, const struct answer *answer)
{
    struct arena *arena = writer->arena;
    const struct upgrade *upgrade = answer->upgrade;
    struct lead column = {writer, "asked", false};
    write_line(&column,
               upgrade->toward.length > 0
                   ? text_format(arena, "%.*s toward %.*s", TEXT_ARG(answer->unit),
                                 TEXT_ARG(upgrade->toward))
                   : text_format(arena, "%.*s in %.*s",
                                 TEXT_ARG(render_pairs(arena, upgrade->want,
                                                       upgrade->want_count)),
                                 TEXT_ARG(answer->unit)));
    struct lead given = {writer, "given", false};
    if (answer->given_count > 0) {
        write_line(&given, render_pairs(arena, answer->given, answer->given_count));
    }
    struct lead have = {writer, "at hand", false};
    for (uint32_t i = 0; i < upgrade->have_count; i++) {
        write_line(&have, upgrade->have[i]);
    }
    struct lead lacks = {writer, "lacks", false};
    for (uint32_t i = 0; i < upgrade->no_place_count; i++) {
        write_line(&lacks, text_format(arena, "a place %.*s, which the other unit has",
                                       TEXT_ARG(upgrade->no_place[i])));
    }
}

static void write_whole(struct writer *writer, const struct upgrade *upgrade,
                        bool with_chain)
{
    const struct change_set_answer *whole = upgrade->whole;
    struct arena *arena = writer->arena;
    if (whole == NULL) {
        return;
    }
    render_heading(writer,
                   text_format(arena, "All of %.*s", TEXT_ARG(upgrade->toward)).at);
    struct lead column = {writer, "whole", false};
    write_line(&column, text_format(arena, "%.*s: %s, with the parts listed",
                                    TEXT_ARG(render_pairs(arena, whole->swap->changes,
                                                          whole->swap->change_count)),
                                    verdict_word(whole->swap->verdict)));
    struct lead cost = {writer, "costs", false};
    write_line(&cost, cost_text(arena, &whole->cost));
    if (upgrade->whole_outlay->price.is_stated) {
        write_line(
            &cost,
            text_format(arena, "%.*s as one thing costs %.*s", TEXT_ARG(upgrade->toward),
                        TEXT_ARG(money_text(arena, upgrade->whole_outlay->price.dim,
                                            upgrade->whole_outlay->price.amount))));
    }
    write_parts(writer, whole);
    if (whole->swap->verdict == VERDICT_DOES_NOT_FIT ||
        whole->swap->verdict == VERDICT_NOT_KNOWN) {
        write_reasons(writer, whole->swap, "because");
    }
    write_work(writer, whole);
    write_margins(writer, whole, true);
    write_margins(writer, whole, false);
    if (with_chain) {
        render_chain(writer, whole->swap);
    }
}

static void write_tried(struct writer *writer, const struct upgrade *upgrade)
{
    struct arena *arena = writer->arena;
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
    render_heading(writer, "Tried");
    write_wrapped(writer, TEXT("  "),
                  text_format(arena, "%llu swap%s", (unsigned long long)upgrade->tried,
                              upgrade->tried == 1 ? "" : "s"));
    if (upgrade->is_cut) {
        write_wrapped(writer, TEXT("  "),
                      text_format(arena,
                                  "not all sets were tried: the bound is %llu swaps "
                                  "(--tries N)",
                                  (unsigned long long)upgrade->tries));
    }
    if (upgrade->largest > 0) {
        write_wrapped(writer, TEXT("  "),
                      text_format(arena, "no set of more than %u changes was looked at",
                                  upgrade->largest));
    }
    write_wrapped(
        writer, TEXT("  "),
        text_format(arena,
                    "could stand there, by place: %.*s; that is what units and parts put "
                    "in a place of that name, and parts of its kind, but no other size "
                    "out of a catalogue",
                    TEXT_ARG(candidates.length > 0 ? candidates : TEXT("nothing"))));
    write_wrapped(writer, TEXT("  "),
                  upgrade->is_by_price
                      ? TEXT("cheapest first")
                      : TEXT("fewest pieces to get first: not all prices are stated"));
}

void render_upgrade_text(struct writer *writer, const struct answer *answer,
                         bool with_chain)
{
    const struct upgrade *upgrade = answer->upgrade;
    write_format(writer, "%s%.*s%s\n",
                 writer->in_colour ? render_verdict_colour(answer->verdict) : "",
                 TEXT_ARG(headline(writer->arena, answer)),
                 writer->in_colour ? "\033[0m" : "");
    write_asked(writer, answer);
    for (uint32_t i = 0; i < upgrade->search_count; i++) {
        write_search(writer, &upgrade->searches[i], with_chain);
    }
    write_whole(writer, upgrade, with_chain);
    write_tried(writer, upgrade);
    if (answer->caution.length > 0) {
        render_heading(writer, "Caution");
        write_wrapped(writer, TEXT("  "), answer->caution);
    }
}
