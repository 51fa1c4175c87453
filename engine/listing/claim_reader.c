/* SPDX-License-Identifier: MIT */
/*
 * From a text to its claims. Patterns are tried word by word; the first that matches
 * takes its stretch, then whatever may stand right behind it (the further models of a
 * list) is tried, and reading goes on behind that. A claim made twice counts once.
 */
#include "array.h"
#include "claim_binding.h"
#include "claim_value.h"
#include "limits.h"

struct reading {
    struct arena *arena;
    const struct listing_bench *bench;
    struct scanner_room *room;
    struct folded folded;
    ARRAY_OF(struct claim) claims;
    ARRAY_OF(text) too_hard;
    bool is_cut;
    bool is_set;
    text model;       /* claimed last */
    size_t hedge_end; /* behind a word that hedges what follows; 0: none */
    size_t last_end;  /* behind the last claim */
    uint32_t last;    /* its index, UINT32_MAX: none */
};

static const struct claim_pattern *pattern_of(const struct reading *reading, uint32_t i)
{
    return &reading->bench->knowledge->claims.patterns[i];
}

static text unit_of(const struct scanned *scanned, text plain,
                    const struct claim_pattern *pattern)
{
    return claim_group(scanned, plain, GROUP_MM).length > 0     ? TEXT("mm")
           : claim_group(scanned, plain, GROUP_CM).length > 0   ? TEXT("cm")
           : claim_group(scanned, plain, GROUP_INCH).length > 0 ? TEXT("in")
                                                                : pattern->unit;
}

/* Whether two claims say the same. */
static bool is_same(const struct claim *a, const struct claim *b)
{
    const bool both_models = (a->kind == CLAIM_MODEL || a->kind == CLAIM_FITS) &&
                             (b->kind == CLAIM_MODEL || b->kind == CLAIM_FITS);
    return (a->kind == b->kind || both_models) && text_equal(a->value, b->value) &&
           text_equal(a->what, b->what) && text_equal(a->unit, b->unit);
}

/* A hedge reaches to the end of its clause. */
static bool reaches(text plain, size_t from, size_t to)
{
    for (size_t i = from; i < to; i++) {
        const char c = plain.at[i];
        const bool ends_sentence =
            (c == '.' || c == '!') && (i + 1 == plain.length || plain.at[i + 1] == ' ');
        if (c == ';' || c == ',' || c == '\n' || ends_sentence) {
            return false;
        }
    }
    return true;
}

static bool keep(struct reading *reading, const struct claim *claim)
{
    for (uint32_t i = 0; i < reading->claims.count; i++) {
        if (is_same(&reading->claims.at[i], claim)) {
            reading->last = UINT32_MAX;
            return true;
        }
    }
    if (reading->claims.count >= LIMIT_CLAIMS) {
        reading->is_cut = true;
        reading->last = UINT32_MAX;
        return true;
    }
    reading->last = reading->claims.count;
    return ARRAY_PUSH(reading->arena, &reading->claims, *claim);
}

static bool push_claim(struct reading *reading, const struct scanned *scanned,
                       bool follows)
{
    const struct claim_pattern *pattern = pattern_of(reading, scanned->pattern);
    const text plain = reading->folded.plain;
    const bool is_marked =
        scanned->groups[GROUP_CLAIM].from < scanned->groups[GROUP_CLAIM].end;
    const size_t from = is_marked ? scanned->groups[GROUP_CLAIM].from : scanned->from;
    const size_t end = is_marked ? scanned->groups[GROUP_CLAIM].end : scanned->end;
    const bool was_hedged = follows && reading->last != UINT32_MAX &&
                            reading->claims.at[reading->last].is_hedged;
    struct claim claim = {
        .kind = pattern->reads,
        .value = claim_value(reading->arena, reading->bench, pattern, scanned, plain,
                             reading->model),
        .span = fold_original(&reading->folded, from, end),
        .unit = unit_of(scanned, plain, pattern),
        .what = pattern->what,
        .is_hedged =
            pattern->is_hedged || was_hedged ||
            claim_group(scanned, plain, GROUP_HEDGE).length > 0 ||
            (reading->hedge_end > 0 && reaches(plain, reading->hedge_end, scanned->from)),
        .pattern = pattern};
    claim.start = (size_t)(claim.span.at - reading->folded.original.at);
    claim.end = claim.start + claim.span.length;
    if (claim.value.length == 0) {
        return true;
    }
    if (claim.kind == CLAIM_MODEL || claim.kind == CLAIM_FITS ||
        claim.kind == CLAIM_FITS_NOT) {
        reading->model = claim.value;
    }
    reading->last_end = scanned->end;
    return keep(reading, &claim);
}

/* A claim, or a word that says how sure the seller is of one. */
static bool take(struct reading *reading, const struct scanned *scanned, bool follows)
{
    const enum claim_kind kind = pattern_of(reading, scanned->pattern)->reads;
    if (kind == CLAIM_HEDGE) {
        reading->hedge_end = scanned->end;
    } else if (kind == CLAIM_HEDGE_BEHIND && reading->last != UINT32_MAX &&
               reaches(reading->folded.plain, reading->last_end, scanned->from)) {
        reading->claims.at[reading->last].is_hedged = true;
    }
    reading->is_set = reading->is_set || kind == CLAIM_SET;
    return kind >= CLAIM_NOTHING || push_claim(reading, scanned, follows);
}

static bool note_too_hard(struct reading *reading, uint32_t pattern)
{
    const text name = pattern_of(reading, pattern)->name;
    for (uint32_t i = 0; i < reading->too_hard.count; i++) {
        if (text_equal(reading->too_hard.at[i], name)) {
            return true;
        }
    }
    return ARRAY_PUSH(reading->arena, &reading->too_hard, name);
}

/* What may stand right behind a match, as often as it does; *end moves on. */
static bool follow(struct reading *reading, uint32_t pattern, size_t *end)
{
    const struct listing_bench *bench = reading->bench;
    for (uint32_t i = 0; i < bench->follower_count[pattern];) {
        struct scanned scanned;
        const enum scan_result result =
            scanner_at(reading->room, reading->folded.plain, *end,
                       bench->followers[pattern][i], &scanned);
        if (result == SCAN_TOO_HARD && !note_too_hard(reading, scanned.pattern)) {
            return false;
        }
        if (result != SCAN_FOUND) {
            i++;
            continue;
        }
        if (!take(reading, &scanned, true)) {
            return false;
        }
        *end = scanned.end;
        pattern = scanned.pattern;
        i = 0;
    }
    return true;
}

static status read_claims(struct reading *reading)
{
    struct scanned scanned;
    const text plain = reading->folded.plain;
    size_t at = 0;
    enum scan_result result = SCAN_NONE;
    while (!reading->is_cut &&
           (result = scanner_next(reading->room, plain, at, &scanned)) != SCAN_NONE) {
        if (result == SCAN_TOO_HARD) {
            if (!note_too_hard(reading, scanned.pattern)) {
                return arena_status(reading->arena);
            }
            at = scanned.from + 1;
            continue;
        }
        at = scanned.end;
        if (!take(reading, &scanned, false) || !follow(reading, scanned.pattern, &at)) {
            return arena_status(reading->arena);
        }
    }
    return arena_status(reading->arena);
}

/* ---- parts */

/* A listing tells of several parts where it names several kinds or numbers of kinds; a
 * claim belongs to the part named last before it, those before the first to that. */
static void number_parts(struct reading *reading, struct listing_answer *out)
{
    uint32_t kinds = 0;
    uint32_t part = 0;
    for (uint32_t i = 0; i < reading->claims.count; i++) {
        kinds += reading->claims.at[i].kind == CLAIM_KIND ? 1 : 0;
    }
    out->part_count = kinds > 1 ? kinds : 1;
    text of = {"", 0};
    for (uint32_t i = 0; kinds > 1 && i < reading->claims.count && of.length == 0; i++) {
        const struct claim *claim = &reading->claims.at[i];
        of = claim->kind == CLAIM_KIND ? claim->value : of;
    }
    bool is_first = true;
    for (uint32_t i = 0; kinds > 1 && i < reading->claims.count; i++) {
        struct claim *claim = &reading->claims.at[i];
        if (claim->kind == CLAIM_KIND) {
            part += is_first ? 0 : 1;
            is_first = false;
            of = claim->value;
        }
        claim->part = part;
        claim->of = of;
    }
}

status listing_read(struct lister *lister, struct arena *arena, text written,
                    struct listing_answer *out, size_t *wrong)
{
    struct reading reading = {
        .arena = arena, .bench = lister->bench, .room = lister->room, .last = UINT32_MAX};
    *out = (struct listing_answer){.written = written, .part_count = 1};
    if (written.length > LIMIT_LISTING_BYTES) {
        return STATUS_LIMIT;
    }
    TRY(fold(arena, written, &reading.folded, wrong));
    TRY(read_claims(&reading));
    number_parts(&reading, out);
    out->claims_made = reading.claims.at;
    out->claim_count = reading.claims.count;
    out->is_cut = reading.is_cut;
    out->is_set = reading.is_set && out->part_count > 1;
    claims_bind(out);
    out->too_hard = reading.too_hard.at;
    out->too_hard_count = reading.too_hard.count;
    return arena_status(arena);
}
