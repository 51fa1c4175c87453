/* SPDX-License-Identifier: MIT */
/*
 * Change sets in words: what to change and what it costs first, then what has to be
 * done, what is gained, and what each smaller set is refused for.
 */
#include "upgrade_phrases.h"

enum {
    MOST_CHANGES_SHOWN = 6, /* margins that grew or shrank, in words; JSON has all */
    MOST_REFUSED = 7,
    MOST_REASONS = 5
};

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
        write_line(&column, upgrade_part(arena, &set->parts[i]));
    }
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
            write_line(&column, upgrade_figure(writer->arena, figure));
        }
    }
    for (uint32_t i = 0; i < set->margin_count; i++) {
        const struct margin_change *change = &set->margins[i];
        if (upgrade_is_gain(change) != is_better) {
            continue;
        }
        if (shown++ < MOST_CHANGES_SHOWN) {
            write_line(&column, upgrade_margin(writer->arena, change));
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

static void write_refused(struct lead *column, const struct refused_set *refused)
{
    struct arena *arena = column->writer->arena;
    const text rests = upgrade_rests_on(arena, refused);
    write_line(column, upgrade_refused(arena, refused));
    if (rests.length > 0) {
        write_line(column, text_format(arena, "(%.*s)", TEXT_ARG(rests)));
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
        write_line(&column, upgrade_nothing_smaller());
    }
}

/* ---- a set */

static void write_set(struct writer *writer, const struct upgrade_search *search,
                      const struct change_set_answer *set, const char *word,
                      bool is_first, bool with_chain)
{
    struct arena *arena = writer->arena;
    const bool is_known = set->swap->verdict != VERDICT_NOT_KNOWN;
    struct lead column = {writer, word, false};
    write_line(&column, upgrade_beside(arena, search, set));
    struct lead cost = {writer, "costs", false};
    write_line(&cost, upgrade_cost(arena, &set->cost));
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
    write_line(&lead, upgrade_none(search));
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

static void write_asked(struct writer *writer, const struct answer *answer)
{
    struct arena *arena = writer->arena;
    const struct upgrade *upgrade = answer->upgrade;
    struct lead column = {writer, "asked", false};
    write_line(&column, upgrade_asked(arena, answer));
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
        write_line(&lacks, upgrade_lacks(arena, upgrade->no_place[i]));
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
    write_line(&column, upgrade_whole(arena, whole));
    struct lead cost = {writer, "costs", false};
    write_line(&cost, upgrade_cost(arena, &whole->cost));
    if (upgrade->whole_outlay->price.is_stated) {
        write_line(&cost, upgrade_whole_price(arena, upgrade));
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
    text lines[UPGRADE_TRIED_LINES];
    const uint32_t count = upgrade_tried(writer->arena, upgrade, lines);
    render_heading(writer, "Tried");
    for (uint32_t i = 0; i < count; i++) {
        write_wrapped(writer, TEXT("  "), lines[i]);
    }
}

void render_upgrade_text(struct writer *writer, const struct answer *answer,
                         bool with_chain)
{
    const struct upgrade *upgrade = answer->upgrade;
    write_format(writer, "%s%.*s%s\n",
                 writer->in_colour ? render_verdict_colour(answer->verdict) : "",
                 TEXT_ARG(upgrade_headline(writer->arena, answer)),
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
