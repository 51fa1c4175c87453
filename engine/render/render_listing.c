/* SPDX-License-Identifier: MIT */
/* A judged listing for people: verdict first, then each claim in the seller's words. */
#include "render_listing.h"

static void write_claim(struct writer *writer, const struct claim *claim, bool with_chain)
{
    const char *judgement = judgement_word(claim->judgement);
    const text lead = text_format(writer->arena, "  %-12s ",
                                  claim->judgement == JUDGED_NOT ? "-" : judgement);
    const text said =
        text_format(writer->arena, "\"%.*s\": %s %.*s%s%.*s%s%.*s%s",
                    TEXT_ARG(claim->span), claim_kind_word(claim->kind),
                    TEXT_ARG(claim->value), claim->unit.length > 0 ? " " : "",
                    TEXT_ARG(claim->unit), claim->what.length > 0 ? ", " : "",
                    TEXT_ARG(claim->what), claim->is_hedged ? ", not sure" : "");
    write_wrapped(writer, lead, said);
    if (claim->why.length > 0 && claim->judgement != JUDGED_NOT) {
        write_wrapped(writer, TEXT("                 "), claim->why);
    }
    if (with_chain && claim->chain.length > 0) {
        write_wrapped(writer, TEXT("                   "), claim->chain);
    }
}

static void write_parts(struct writer *writer, const struct listing_answer *listing)
{
    text all = {"", 0};
    for (uint32_t i = 0; i < listing->parts_left_count && i < 8; i++) {
        const text where = listing->parts_where[i];
        all = text_format(writer->arena, "%.*s%s%.*s%s%.*s%s", TEXT_ARG(all),
                          i == 0 ? "" : ", ", TEXT_ARG(listing->parts_left[i]),
                          where.length > 0 ? " (" : "", TEXT_ARG(where),
                          where.length > 0 ? ")" : "");
    }
    if (listing->parts_left_count > 8) {
        all = text_format(writer->arena, "%.*s and %u more", TEXT_ARG(all),
                          listing->parts_left_count - 8);
    }
    if (all.length > 0) {
        write_wrapped(writer, TEXT("  part     "), all);
    }
}

void render_listing_text(struct writer *writer, const struct listing_answer *listing,
                         bool with_chain)
{
    write_format(writer, "%s\n", listing_verdict_word(listing->verdict));
    if (listing->because.length > 0) {
        write_wrapped(writer, TEXT("  because  "), listing->because);
    }
    write_parts(writer, listing);
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
    if (listing->is_cut) {
        write_text(writer, TEXT("  more is claimed than is looked at\n"));
    }
    for (uint32_t i = 0; i < listing->too_hard_count; i++) {
        write_format(writer,
                     "  pattern %.*s took too long on this text and was left out\n",
                     TEXT_ARG(listing->too_hard[i]));
    }
}
