/* SPDX-License-Identifier: MIT */
#include "claim_binding.h"

bool claim_is_model(enum claim_kind kind)
{
    return kind == CLAIM_MODEL || kind == CLAIM_FITS;
}

/* Whether nothing that ends a clause stands between two claims. */
static bool are_beside(const struct listing_answer *listing, const struct claim *a,
                       const struct claim *b)
{
    static const size_t MOST_BETWEEN = 8; /* " bj. ", " from " */
    const size_t from = a->end;
    if (b->start < from || b->start - from > MOST_BETWEEN) {
        return false;
    }
    for (size_t i = from; i < b->start; i++) {
        const char c = listing->written.at[i];
        if (c == ',' || c == ';' || c == '\n' || c == '!') {
            return false;
        }
    }
    return true;
}

static void bind(struct claim *claim, uint32_t first, uint32_t end)
{
    claim->first_of = first;
    claim->end_of = end;
}

static void bind_what_does_not_fit(struct listing_answer *listing)
{
    struct claim *claims = listing->claims_made;
    for (uint32_t i = 0; i < listing->claim_count; i++) {
        uint32_t end = i;
        while (end < listing->claim_count && claims[end].kind == CLAIM_FITS_NOT) {
            end++;
        }
        if (end == i || end == listing->claim_count || claims[end].kind != CLAIM_YEARS ||
            !are_beside(listing, &claims[end - 1], &claims[end])) {
            continue;
        }
        claims[end].kind = CLAIM_NOT_IN_YEARS;
        bind(&claims[end], i, end);
        for (uint32_t k = i; k < end; k++) {
            bind(&claims[k], end, end + 1);
        }
        i = end;
    }
}

/* Models without years between them, or one claim of years. */
struct run {
    bool is_years;
    uint32_t first;
    uint32_t end;
};

/* The next run from a claim on; false: there is none. */
static bool next_run(const struct listing_answer *listing, uint32_t from, struct run *out)
{
    uint32_t i = from;
    while (i < listing->claim_count && listing->claims[i].kind != CLAIM_YEARS &&
           !claim_is_model(listing->claims[i].kind)) {
        i++;
    }
    if (i == listing->claim_count) {
        return false;
    }
    *out = (struct run){listing->claims[i].kind == CLAIM_YEARS, i, i + 1};
    for (uint32_t k = i + 1; !out->is_years && k < listing->claim_count &&
                             listing->claims[k].kind != CLAIM_YEARS;
         k++) {
        out->end = claim_is_model(listing->claims[k].kind) ? k + 1 : out->end;
    }
    return true;
}

/* Whether models and years take turns from first to last, with as many of one as of the
 * other; else nobody can tell what belongs to what. */
static uint32_t count_turns(const struct listing_answer *listing)
{
    uint32_t count = 0;
    struct run run;
    struct run before = {0};
    for (uint32_t at = 0; next_run(listing, at, &run); at = run.end) {
        if (count > 0 && run.is_years == before.is_years) {
            return 0;
        }
        before = run;
        count++;
    }
    return count % 2 == 0 ? count / 2 : 0;
}

void claims_bind(struct listing_answer *listing)
{
    struct run a;
    struct run b;
    bind_what_does_not_fit(listing);
    if (count_turns(listing) < 2) {
        return;
    }
    for (uint32_t at = 0; next_run(listing, at, &a) && next_run(listing, a.end, &b);
         at = b.end) {
        const struct run *models = a.is_years ? &b : &a;
        bind(&listing->claims_made[a.is_years ? a.first : b.first], models->first,
             models->end);
    }
}
