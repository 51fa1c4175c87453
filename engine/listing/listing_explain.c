/* SPDX-License-Identifier: MIT */
/* For one listing that somebody looks at: where the record says what claims rest on. */
#include "listing_private.h"

static text place_words(const struct lister *lister, struct arena *arena, span where)
{
    const struct place_in_text at =
        sources_locate(lister->bench->knowledge->sources, where);
    return at.line == 0 ? (text){"", 0}
                        : text_format(arena, "%.*s:%u", TEXT_ARG(at.file), at.line);
}

/* "by counts-holes, from bolt-circle(kestrel-cover-late, cover-bolts) FILE:LINE" */
static status chain_of(const struct lister *lister, struct arena *arena,
                       struct store *layer, const struct row *row, text *out)
{
    const struct knowledge *knowledge = lister->bench->knowledge;
    const struct inference_options options = {.names = knowledge->names};
    struct justification found = {0};
    if (row->origin != ORIGIN_RULE) {
        *out = place_words(lister, arena, row->where);
        return arena_status(arena);
    }
    TRY(justification_find(knowledge->rules, layer, arena, &options, row, &found));
    *out = text_format(arena, "by %.*s, from",
                       TEXT_ARG(names_text(knowledge->names, found.rule->name)));
    for (uint32_t i = 0; i < found.rule->given_count; i++) {
        const struct row *premise = found.premises[i];
        const text where = place_words(lister, arena, premise->where);
        *out = text_format(
            arena, "%.*s%s %.*s%s%.*s", TEXT_ARG(*out), i == 0 ? "" : ",",
            TEXT_ARG(row_write(arena, knowledge->base, knowledge->names, premise)),
            where.length > 0 ? " " : "", TEXT_ARG(where));
    }
    return arena_status(arena);
}

/* Where the parts that are left are stated. */
static status place_parts(struct lister *lister, struct arena *arena,
                          struct listing_answer *listing)
{
    const struct knowledge *knowledge = lister->bench->knowledge;
    text *where = ARENA_MANY(arena, listing->parts_left_count, text);
    TRY(arena_status(arena));
    for (uint32_t i = 0; i < listing->parts_left_count; i++) {
        const struct part *part = knowledge_part(
            knowledge, names_find(knowledge->names, listing->parts_left[i]));
        where[i] = part == NULL ? (text){"", 0} : place_words(lister, arena, part->where);
    }
    listing->parts_where = where;
    return arena_status(arena);
}

status listing_explain(struct lister *lister, struct arena *arena,
                       struct listing_answer *listing)
{
    /* a layer, since scanning notes things in its store, and the base is frozen */
    struct store *layer = store_open(arena, NULL, 0, lister->bench->knowledge->base);
    TRY(arena_status(arena));
    for (uint32_t i = 0; i < listing->claim_count; i++) {
        struct claim *claim = &listing->claims_made[i];
        if (claim->row != NULL) {
            TRY(chain_of(lister, arena, layer, claim->row, &claim->chain));
        }
    }
    return place_parts(lister, arena, listing);
}
