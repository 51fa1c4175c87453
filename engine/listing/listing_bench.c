/* SPDX-License-Identifier: MIT */
/* What listings are read and judged with: patterns made ready, and what parts show. */
#include "listing_private.h"

#include "array.h"
#include "goes_on.h"

const char *judgement_word(enum judgement judgement)
{
    static const char *const words[] = {"not judged", "supported", "contradicted",
                                        "not known"};
    return words[judgement];
}

const char *listing_verdict_word(enum listing_verdict verdict)
{
    static const char *const words[] = {"ok", "wrong", "not enough"};
    return words[verdict];
}

static status fill_patterns(struct arena *arena, struct listing_bench *bench)
{
    const struct claim_patterns *claims = &bench->knowledge->claims;
    const struct claim_blank blanks[] = {
        {"model", bench->terms.model_pattern},
        {"short-model", bench->terms.short_model_pattern},
        {"family", bench->terms.family_pattern},
        {"part-number", bench->terms.number_pattern}};
    bench->scanned = ARENA_MANY(arena, claims->count, struct scanned_pattern);
    for (uint32_t i = 0; bench->scanned != NULL && i < claims->count; i++) {
        bench->scanned[i] = (struct scanned_pattern){
            claim_pattern_fill(arena, claims->patterns[i].written, blanks,
                               sizeof blanks / sizeof *blanks),
            claims->patterns[i].after_count > 0};
    }
    return arena_status(arena);
}

static bool stands_behind(const struct claim_pattern *pattern, text name)
{
    for (uint32_t k = 0; k < pattern->after_count; k++) {
        if (text_equal(pattern->after[k], name)) {
            return true;
        }
    }
    return false;
}

static status list_followers(struct arena *arena, struct listing_bench *bench)
{
    const struct claim_patterns *claims = &bench->knowledge->claims;
    bench->followers = ARENA_MANY(arena, claims->count, const uint32_t *);
    bench->follower_count = ARENA_MANY(arena, claims->count, uint32_t);
    TRY(arena_status(arena));
    for (uint32_t i = 0; i < claims->count; i++) {
        ARRAY_OF(uint32_t) list = {0};
        for (uint32_t k = 0; k < claims->count; k++) {
            if (stands_behind(&claims->patterns[k], claims->patterns[i].name) &&
                !ARRAY_PUSH(arena, &list, k)) {
                return arena_status(arena);
            }
        }
        bench->followers[i] = list.at;
        bench->follower_count[i] = list.count;
    }
    return arena_status(arena);
}

static status open_scanner(struct arena *arena, struct listing_bench *bench,
                           struct diagnostics *diagnostics)
{
    uint32_t refused = UINT32_MAX;
    const struct claim_patterns *claims = &bench->knowledge->claims;
    bench->scanner =
        scanner_open(arena, bench->scanned, claims->count, claim_group_words(), &refused);
    if (bench->scanner != NULL) {
        return STATUS_OK;
    }
    if (refused == UINT32_MAX) {
        return STATUS_NO_MEMORY;
    }
    diagnostics_report(diagnostics, CODE_PATTERN_WRONG, claims->patterns[refused].where,
                       "with all models and numbers of the facts this pattern is too "
                       "large")
        ->expected = TEXT("a pattern that names {model} or {part-number} once");
    return STATUS_INVALID;
}

static status list_kinds(struct arena *arena, struct listing_bench *bench)
{
    const struct knowledge *knowledge = bench->knowledge;
    const uint32_t kinds = knowledge->vocabulary->kind_count;
    bench->by_kind = ARENA_MANY(arena, kinds, const uint32_t *);
    bench->by_kind_count = ARENA_MANY(arena, kinds, uint32_t);
    TRY(arena_status(arena));
    for (uint32_t k = 0; k < kinds; k++) {
        ARRAY_OF(uint32_t) list = {0};
        for (uint32_t i = 0; i < knowledge->part_count; i++) {
            if (kind_is(knowledge->vocabulary, knowledge->parts[i].kind,
                        knowledge->vocabulary->kinds[k].name) &&
                !ARRAY_PUSH(arena, &list, i)) {
                return arena_status(arena);
            }
        }
        bench->by_kind[k] = list.at;
        bench->by_kind_count[k] = list.count;
    }
    return arena_status(arena);
}

static const struct part *part_of_place(const struct listing_bench *bench, uint32_t unit,
                                        uint32_t place)
{
    return knowledge_part(bench->knowledge,
                          bench->knowledge->recipes[unit].places[place].with);
}

/* The units that have each part, by counting first. */
static status list_units(struct arena *arena, struct listing_bench *bench)
{
    const struct knowledge *knowledge = bench->knowledge;
    uint32_t all = 0;
    for (uint32_t u = 0; u < knowledge->recipe_count; u++) {
        all += knowledge->recipes[u].place_count;
    }
    uint32_t *counts = ARENA_MANY(arena, knowledge->part_count, uint32_t);
    uint32_t *units = ARENA_MANY(arena, all, uint32_t);
    const uint32_t **lists = ARENA_MANY(arena, knowledge->part_count, const uint32_t *);
    uint32_t **ends = ARENA_MANY(arena, knowledge->part_count, uint32_t *);
    TRY(arena_status(arena));
    for (int pass = 0; pass < 2; pass++) {
        for (uint32_t u = 0; u < knowledge->recipe_count; u++) {
            for (uint32_t i = 0; i < knowledge->recipes[u].place_count; i++) {
                const struct part *part = part_of_place(bench, u, i);
                if (part != NULL && pass == 0) {
                    counts[part - knowledge->parts]++;
                } else if (part != NULL) {
                    *ends[part - knowledge->parts]++ = u;
                }
            }
        }
        for (uint32_t p = 0, from = 0; pass == 0 && p < knowledge->part_count; p++) {
            lists[p] = ends[p] = units + from;
            from += counts[p];
        }
    }
    bench->units_of = lists;
    bench->units_of_count = counts;
    return STATUS_OK;
}

status listing_bench_open(struct arena *arena, const struct knowledge *knowledge,
                          struct diagnostics *diagnostics, struct listing_bench **out)
{
    struct listing_bench *bench = ARENA_NEW(arena, struct listing_bench);
    TRY(arena_status(arena));
    bench->knowledge = knowledge;
    TRY(part_shows_read(arena, knowledge, &bench->shows));
    TRY(listing_terms_read(arena, knowledge, bench->shows, &bench->terms));
    TRY(fill_patterns(arena, bench));
    TRY(list_followers(arena, bench));
    TRY(list_kinds(arena, bench));
    TRY(list_units(arena, bench));
    TRY(open_scanner(arena, bench, diagnostics));
    *out = bench;
    return STATUS_OK;
}

void listing_bench_close(struct listing_bench *bench)
{
    if (bench != NULL) {
        scanner_close(bench->scanner);
    }
}

status lister_open(struct arena *arena, const struct listing_bench *bench,
                   const struct lister_options *options, struct lister **out)
{
    struct lister *lister = ARENA_NEW(arena, struct lister);
    TRY(arena_status(arena));
    lister->bench = bench;
    lister->options = *options;
    lister->arena = arena;
    lister->room = scanner_room_open(arena, bench->scanner);
    lister->memory = goes_on_memory_open(arena);
    if (lister->room == NULL || lister->memory == NULL) {
        lister_close(lister);
        return STATUS_NO_MEMORY;
    }
    *out = lister;
    return STATUS_OK;
}

void lister_close(struct lister *lister)
{
    if (lister != NULL) {
        scanner_room_close(lister->room);
        goes_on_memory_close(lister->memory);
    }
}
