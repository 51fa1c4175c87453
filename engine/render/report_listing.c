/* SPDX-License-Identifier: MIT */
/*
 * A judged listing as a page: the verdict, the seller's words with every claim marked and
 * numbered where it stands, and the claims in the same numbers with what the record says.
 * A mark tells its judgement by its line as well as by its colour.
 */
#include "render_listing.h"
#include "report.h"

static const char *verdict_tone(enum listing_verdict verdict)
{
    return verdict == LISTING_OK ? "good" : verdict == LISTING_WRONG ? "bad" : "open";
}

static const char *judgement_tone(enum judgement judgement)
{
    switch (judgement) {
    case JUDGED_SUPPORTED:
        return "good";
    case JUDGED_CONTRADICTED:
        return "bad";
    case JUDGED_NOT_KNOWN:
        return "open";
    case JUDGED_NOT:
        break;
    }
    return "plain";
}

static void write_verdict(struct writer *writer, const struct listing_answer *listing)
{
    write_format(writer, "<div class=\"verdict %s\">\n", verdict_tone(listing->verdict));
    html_element(writer, "p", "asks", TEXT("Is this listing right?"));
    html_element(writer, "h1", NULL, text_of(listing_verdict_word(listing->verdict)));
    html_raw(writer, "<dl class=\"facts\">\n");
    html_term(writer, "Because", listing->because);
    html_term(writer, listing->parts_left_count == 1 ? "Part" : "Can be",
              listing_parts(writer->arena, listing));
    html_term(writer, "Fits", listing->fits);
    html_term(writer, "Ask for", listing->ask);
    html_raw(writer, "</dl>\n</div>\n");
}

/* ---- the seller's words */

static void write_mark(struct writer *writer, const struct claim *claim, uint32_t number)
{
    const char *judgement = judgement_word(claim->judgement);
    write_format(writer, "<mark class=\"%s\" id=\"said-%u\">",
                 judgement_tone(claim->judgement), number);
    html_text(writer, claim->span);
    write_format(writer,
                 "<a href=\"#claim-%u\" title=\"claim %u, %s\">%u<span "
                 "class=\"unseen\">, %s</span></a></mark>",
                 number, number, judgement, number, judgement);
}

/* Claims come in the order of the text; of two that overlap the first is marked. */
static void write_words(struct writer *writer, const struct listing_answer *listing)
{
    size_t at = 0;
    html_section_open(writer, TEXT("What the seller says"));
    html_raw(writer, "<p class=\"said\">");
    for (uint32_t i = 0; i < listing->claim_count; i++) {
        const struct claim *claim = &listing->claims[i];
        if (claim->start < at || claim->end > listing->written.length ||
            claim->end <= claim->start) {
            continue;
        }
        html_text(writer, text_slice(listing->written, at, claim->start));
        write_mark(writer, claim, i + 1);
        at = claim->end;
    }
    html_text(writer, text_slice(listing->written, at, listing->written.length));
    html_raw(writer, "</p>\n");
    html_section_close(writer);
}

/* ---- claims */

static void write_claim(struct writer *writer, const struct claim *claim, uint32_t number)
{
    write_format(writer, "<tr id=\"claim-%u\"><th scope=\"row\">%u ", number, number);
    html_text(writer, claim->span);
    html_raw(writer, "</th>");
    html_element(writer, "td", NULL, listing_read_as(writer->arena, claim));
    html_raw(writer, "<td class=\"outcome\">");
    report_mark(writer, judgement_tone(claim->judgement),
                judgement_word(claim->judgement));
    html_raw(writer, "</td><td>");
    if (claim->judgement != JUDGED_NOT) {
        html_text(writer, claim->why);
    }
    if (claim->chain.length > 0) {
        html_element(writer, "p", "note", claim->chain);
    }
    html_raw(writer, "</td></tr>\n");
}

static void write_claims(struct writer *writer, const struct listing_answer *listing)
{
    static const char *const columns[] = {"Said", "Read as", "Judged", "On what record"};
    uint32_t left_out_count = 0;
    const text *left_out = listing_left_out(writer->arena, listing, &left_out_count);
    html_section_open(writer, TEXT("Claims"));
    if (listing->claim_count == 0) {
        html_element(writer, "p", NULL, TEXT("Nothing is claimed."));
    } else {
        html_table_open(writer, "claims", TEXT("Claims of the listing"), columns, 4);
        for (uint32_t i = 0; i < listing->claim_count; i++) {
            write_claim(writer, &listing->claims[i], i + 1);
        }
        html_table_close(writer);
    }
    html_list(writer, NULL, left_out, left_out_count);
    html_section_close(writer);
}

static void write_body(struct writer *writer, const struct listing_answer *listing,
                       const struct knowledge *knowledge)
{
    write_verdict(writer, listing);
    write_words(writer, listing);
    write_claims(writer, listing);
    html_section_open(writer, TEXT("What this rests on"));
    report_recorded(writer, knowledge);
    html_section_close(writer);
    html_raw(writer, "<section class=\"caution\">\n<h2>Caution</h2>\n");
    html_element(writer, "p", NULL, knowledge->closing.caution);
    html_section_close(writer);
}

void render_listing_html(struct writer *writer, const struct listing_answer *listing,
                         const struct knowledge *knowledge, bool is_part)
{
    if (!is_part) {
        report_page_open(writer, text_format(writer->arena, "%s: a listing",
                                             listing_verdict_word(listing->verdict)));
    }
    write_body(writer, listing, knowledge);
    if (!is_part) {
        report_page_close(writer);
    }
}
