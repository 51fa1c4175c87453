/* SPDX-License-Identifier: MIT */
/* A judged listing for people: verdict first, then each claim in the seller's words. */
#include "render_listing.h"

/* ---- what a report says too */

text listing_read_as(struct arena *arena, const struct claim *claim)
{
    return text_format(arena, "%s %.*s%s%.*s%s%.*s%s", claim_kind_word(claim->kind),
                       TEXT_ARG(claim->value), claim->unit.length > 0 ? " " : "",
                       TEXT_ARG(claim->unit), claim->what.length > 0 ? ", " : "",
                       TEXT_ARG(claim->what), claim->is_hedged ? ", not sure" : "");
}

enum {
    PARTS_NAMED = 8
};

text listing_parts(struct arena *arena, const struct listing_answer *listing)
{
    text all = {"", 0};
    for (uint32_t i = 0; i < listing->parts_left_count && i < PARTS_NAMED; i++) {
        const text where = listing->parts_where[i];
        all = text_format(arena, "%.*s%s%.*s%s%.*s%s", TEXT_ARG(all), i == 0 ? "" : ", ",
                          TEXT_ARG(listing->parts_left[i]), where.length > 0 ? " (" : "",
                          TEXT_ARG(where), where.length > 0 ? ")" : "");
    }
    return listing->parts_left_count > PARTS_NAMED
               ? text_format(arena, "%.*s and %u more", TEXT_ARG(all),
                             listing->parts_left_count - PARTS_NAMED)
               : all;
}

const text *listing_left_out(struct arena *arena, const struct listing_answer *listing,
                             uint32_t *count)
{
    text *lines = ARENA_MANY(arena, (size_t)listing->too_hard_count + 1, text);
    *count = 0;
    if (lines != NULL && listing->is_cut) {
        lines[(*count)++] = TEXT("more is claimed than is looked at");
    }
    for (uint32_t i = 0; lines != NULL && i < listing->too_hard_count; i++) {
        lines[(*count)++] =
            text_format(arena, "pattern %.*s took too long on this text and was left out",
                        TEXT_ARG(listing->too_hard[i]));
    }
    return lines;
}

/* ---- as text */

static void write_claim(struct writer *writer, const struct claim *claim, bool with_chain)
{
    const char *judgement = judgement_word(claim->judgement);
    const text lead = text_format(writer->arena, "  %-12s ",
                                  claim->judgement == JUDGED_NOT ? "-" : judgement);
    write_wrapped(writer, lead,
                  text_format(writer->arena, "\"%.*s\": %.*s", TEXT_ARG(claim->span),
                              TEXT_ARG(listing_read_as(writer->arena, claim))));
    if (claim->why.length > 0 && claim->judgement != JUDGED_NOT) {
        write_wrapped(writer, TEXT("                 "), claim->why);
    }
    if (with_chain && claim->chain.length > 0) {
        write_wrapped(writer, TEXT("                   "), claim->chain);
    }
}

void render_listing_text(struct writer *writer, const struct listing_answer *listing,
                         bool with_chain)
{
    uint32_t left_out_count = 0;
    const text *left_out = listing_left_out(writer->arena, listing, &left_out_count);
    write_format(writer, "%s\n", listing_verdict_word(listing->verdict));
    if (listing->because.length > 0) {
        write_wrapped(writer, TEXT("  because  "), listing->because);
    }
    if (listing->parts_left_count > 0) {
        write_wrapped(writer, TEXT("  part     "), listing_parts(writer->arena, listing));
    }
    if (listing->fits.length > 0) {
        write_wrapped(writer, TEXT("  fits     "), listing->fits);
    }
    if (listing->ask.length > 0) {
        write_wrapped(writer, TEXT("  ask for  "), listing->ask);
    }
    write_text(writer, listing->claim_count > 0 ? TEXT("\nClaims\n")
                                                : TEXT("\nNothing is claimed.\n"));
    for (uint32_t i = 0; i < listing->claim_count; i++) {
        write_claim(writer, &listing->claims[i], with_chain);
    }
    for (uint32_t i = 0; i < left_out_count; i++) {
        write_wrapped(writer, TEXT("  "), left_out[i]);
    }
}
