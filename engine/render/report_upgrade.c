/* SPDX-License-Identifier: MIT */
/* The report of `upgrade`: each search with its sets, what they cost and need, and what
 * smaller sets are refused for. */
#include "report.h"
#include "upgrade_phrases.h"

struct set_writer {
    struct writer *writer;
    uint32_t sets; /* written so far: marks the steps of their chains */
};

static void write_reasons(struct writer *writer, const struct answer *answer)
{
    struct arena *arena = writer->arena;
    const struct upgrade *upgrade = answer->upgrade;
    text *lacks = ARENA_MANY(arena, upgrade->no_place_count, text);
    for (uint32_t i = 0; lacks != NULL && i < upgrade->no_place_count; i++) {
        lacks[i] = upgrade_lacks(arena, upgrade->no_place[i]);
    }
    html_raw(writer, "<dl class=\"facts\">\n");
    html_term(writer, "Asked", upgrade_asked(arena, answer));
    report_given(writer, answer);
    html_terms(writer, "At hand", upgrade->have, upgrade->have_count);
    html_terms(writer, "Lacks", lacks, lacks == NULL ? 0 : upgrade->no_place_count);
    html_raw(writer, "</dl>\n");
}

/* ---- what is in a set */

static void write_parts(struct writer *writer, const struct change_set_answer *set)
{
    text *lines = ARENA_MANY(writer->arena, set->part_count, text);
    for (uint32_t i = 0; lines != NULL && i < set->part_count; i++) {
        lines[i] = upgrade_part(writer->arena, &set->parts[i]);
    }
    html_terms(writer, "Parts", lines, lines == NULL ? 0 : set->part_count);
}

static void write_work(struct writer *writer, const struct answer *swap)
{
    text *lines = ARENA_MANY(writer->arena, swap->work_count, text);
    for (uint32_t i = 0; lines != NULL && i < swap->work_count; i++) {
        lines[i] = swap->work[i].what;
    }
    html_terms(writer, "To do", lines, lines == NULL ? 0 : swap->work_count);
}

static void write_margins(struct writer *writer, const struct change_set_answer *set,
                          bool is_gain)
{
    const size_t room = (size_t)set->figure_count + set->margin_count;
    text *lines = ARENA_MANY(writer->arena, room, text);
    uint32_t count = 0;
    for (uint32_t i = 0; lines != NULL && i < set->figure_count; i++) {
        if (set->figures[i].is_better == is_gain) {
            lines[count++] = upgrade_figure(writer->arena, &set->figures[i]);
        }
    }
    for (uint32_t i = 0; lines != NULL && i < set->margin_count; i++) {
        if (upgrade_is_gain(&set->margins[i]) == is_gain) {
            lines[count++] = upgrade_margin(writer->arena, &set->margins[i]);
        }
    }
    html_terms(writer, is_gain ? "Gains" : "Gives up", lines, count);
}

static void write_because(struct writer *writer, const char *term,
                          const struct answer *swap)
{
    text *lines = ARENA_MANY(writer->arena, swap->because_count, text);
    for (uint32_t i = 0; lines != NULL && i < swap->because_count; i++) {
        lines[i] = render_because(writer->arena, swap, i);
    }
    html_terms(writer, term, lines, lines == NULL ? 0 : swap->because_count);
}

static void write_measures(struct writer *writer, const struct answer *swap)
{
    text *lines = ARENA_MANY(writer->arena, swap->missing_count, text);
    for (uint32_t i = 0; lines != NULL && i < swap->missing_count; i++) {
        lines[i] = render_missing(writer->arena, &swap->missing[i]);
    }
    html_terms(writer, "Measure", lines, lines == NULL ? 0 : swap->missing_count);
    write_because(writer, "Open", swap);
}

static void write_refused(struct writer *writer, const struct refused_set *refused)
{
    html_raw(writer, "<li>");
    html_element(writer, "p", NULL, upgrade_refused(writer->arena, refused));
    html_element(writer, "p", "note", upgrade_rests_on(writer->arena, refused));
    html_raw(writer, "</li>\n");
}

static void write_smaller(struct writer *writer, const struct change_set_answer *set)
{
    if (set->refused_count == 0) {
        return;
    }
    write_format(writer,
                 "<details>\n<summary>What smaller sets are refused for: %u</summary>\n"
                 "<ul>\n",
                 set->refused_count);
    for (uint32_t i = 0; i < set->refused_count; i++) {
        write_refused(writer, &set->refused[i]);
    }
    html_raw(writer, "</ul>\n</details>\n");
}

/* The swap that a set is, beside the unit as it is; closed until somebody opens it. */
static void write_drawing(struct set_writer *sets, const struct answer *swap)
{
    struct writer *writer = sets->writer;
    const struct svg_manner manner = {
        .is_embedded = true,
        .prefix = text_format(writer->arena, "set-%u-section-", sets->sets)};
    html_raw(writer, "<details>\n<summary>Drawing of this set</summary>\n");
    report_picture_open(writer, TEXT("section"));
    if (render_picture_svg(writer, swap, TEXT("section"), &manner) != STATUS_OK) {
        writer->is_stopped = true; /* there is no memory; nothing more is written */
    }
    report_picture_close(writer);
    html_raw(writer, "</details>\n");
}

static void write_set(struct set_writer *sets, const struct change_set_answer *set,
                      text title)
{
    struct writer *writer = sets->writer;
    const struct answer *swap = set->swap;
    const bool is_open = swap->verdict == VERDICT_NOT_KNOWN;
    html_raw(writer, "<h3>");
    report_mark(writer, report_tone(swap->verdict), verdict_word(swap->verdict));
    html_raw(writer, " ");
    html_text(writer, title);
    html_raw(writer, "</h3>\n<dl class=\"facts\">\n");
    html_term(writer, "Costs", upgrade_cost(writer->arena, &set->cost));
    html_terms(writer, "Taken", swap->taken, swap->taken_count);
    write_parts(writer, set);
    if (is_open) {
        write_measures(writer, swap);
    } else {
        if (swap->verdict == VERDICT_DOES_NOT_FIT) {
            write_because(writer, "Because", swap);
        }
        write_work(writer, swap);
        write_margins(writer, set, true);
        write_margins(writer, set, false);
    }
    html_raw(writer, "</dl>\n");
    write_smaller(writer, set);
    sets->sets++;
    write_drawing(sets, swap);
    report_chain(writer, swap, text_format(writer->arena, "set-%u-step-", sets->sets).at);
}

/* ---- a search */

static void write_more(struct writer *writer, const struct upgrade_search *search)
{
    const uint32_t more = search->set_total - search->set_count;
    const uint32_t open = search->not_known_total - search->not_known_count;
    if (more > 0) {
        write_format(writer, "<p>%u more that work%s</p>\n", more, more == 1 ? "s" : "");
    }
    if (open > 0) {
        write_format(writer, "<p>%u more of which it is not known</p>\n", open);
    }
}

static void write_search(struct set_writer *sets, const struct upgrade_search *search)
{
    struct writer *writer = sets->writer;
    struct arena *arena = writer->arena;
    html_section_open(writer, render_pairs(arena, search->goal, search->goal_count));
    if (search->set_count == 0 && search->not_known_count == 0) {
        html_element(writer, "p", NULL, upgrade_none(search));
        html_raw(writer, "<ul>\n");
        if (search->alone.sentence.length > 0) {
            write_refused(writer, &search->alone);
        }
        html_raw(writer, "</ul>\n");
    }
    for (uint32_t i = 0; i < search->set_count; i++) {
        write_set(sets, &search->sets[i],
                  upgrade_beside(arena, search, &search->sets[i]));
    }
    for (uint32_t i = 0; i < search->not_known_count; i++) {
        write_set(sets, &search->not_known[i],
                  upgrade_beside(arena, search, &search->not_known[i]));
    }
    write_more(writer, search);
    html_section_close(writer);
}

static void write_whole(struct set_writer *sets, const struct upgrade *upgrade)
{
    struct arena *arena = sets->writer->arena;
    if (upgrade->whole == NULL) {
        return;
    }
    html_section_open(sets->writer,
                      text_format(arena, "All of %.*s", TEXT_ARG(upgrade->toward)));
    if (upgrade->whole_outlay->price.is_stated) {
        html_element(sets->writer, "p", NULL, upgrade_whole_price(arena, upgrade));
    }
    write_set(sets, upgrade->whole, upgrade_whole(arena, upgrade->whole));
    html_section_close(sets->writer);
}

static void write_upgrade(struct writer *writer, const struct answer *answer)
{
    const struct upgrade *upgrade = answer->upgrade;
    struct set_writer sets = {writer, 0};
    text tried[UPGRADE_TRIED_LINES];
    for (uint32_t i = 0; i < upgrade->search_count; i++) {
        write_search(&sets, &upgrade->searches[i]);
    }
    write_whole(&sets, upgrade);
    html_list_section(writer, "Tried", tried,
                      upgrade_tried(writer->arena, upgrade, tried));
}

static bool is_upgrade(const struct answer *answer)
{
    return answer->upgrade != NULL;
}

const struct report_kind report_upgrade = {
    .asks = "What has to change together?",
    .is_of = is_upgrade,
    .headline = upgrade_headline,
    .tone = report_verdict_tone,
    .reasons = write_reasons,
    .write = write_upgrade,
};
