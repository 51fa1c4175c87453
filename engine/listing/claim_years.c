/* SPDX-License-Identifier: MIT */
#include "claim_years.h"

status model_agrees(struct lister *lister, struct sold sold, uint32_t model,
                    enum agreement *out, struct reason *why)
{
    struct going_on going;
    bool is_open = false;
    TRY(goes_on(lister, sold.parts, sold.count, model, &going));
    *out = AGREES_UNKNOWN;
    for (uint32_t i = 0; i < going.count; i++) {
        *why = (struct reason){going.at[i].why, going.at[i].question};
        if (going.at[i].going == GOES) {
            *out = AGREES;
            return STATUS_OK;
        }
        is_open = is_open || going.at[i].going == GOES_UNKNOWN;
    }
    *out = is_open || going.count == 0 ? AGREES_UNKNOWN : AGREES_NOT;
    return STATUS_OK;
}

/* ---- years */

static int read_year(text written, int otherwise)
{
    int year = 0;
    for (size_t i = 0; i < written.length && is_digit(written.at[i]); i++) {
        year = 10 * year + (written.at[i] - '0');
    }
    return written.length == 0 ? otherwise : year;
}

struct year_range year_range_of(text years)
{
    const size_t dots = text_find(years, '.', 0);
    if (text_is(years, "all")) {
        return (struct year_range){FIRST_YEAR, LAST_YEAR};
    }
    if (dots == years.length) {
        const int year = read_year(years, FIRST_YEAR);
        return (struct year_range){year, year};
    }
    return (struct year_range){
        read_year(text_slice(years, 0, dots), FIRST_YEAR),
        read_year(text_slice(years, dots + 2, years.length), LAST_YEAR)};
}

/* How a part goes on the machine of a model that was built in a year. */
enum year_state {
    YEAR_NOT_BUILT,
    YEAR_NO,
    YEAR_OPEN,
    YEAR_YES
};

static enum year_state state_in(const struct going_on *going, int year,
                                struct reason *why)
{
    enum year_state best = YEAR_NOT_BUILT;
    for (uint32_t i = 0; i < going->count; i++) {
        const struct stretch_of_years *one = &going->at[i];
        if (year < one->from || year > one->to) {
            continue;
        }
        const enum year_state state = one->going == GOES           ? YEAR_YES
                                      : one->going == GOES_UNKNOWN ? YEAR_OPEN
                                                                   : YEAR_NO;
        if (state > best) {
            best = state;
            *why = (struct reason){one->why, one->question};
        }
    }
    return best;
}

/* Open ends stop where the models stop. */
static void close_ends(const struct going_on *going, uint32_t count,
                       struct year_range *range)
{
    int first = LAST_YEAR;
    int last = FIRST_YEAR;
    for (uint32_t m = 0; m < count; m++) {
        for (uint32_t i = 0; i < going[m].count; i++) {
            first = going[m].at[i].from < first ? going[m].at[i].from : first;
            last = going[m].at[i].to > last ? going[m].at[i].to : last;
        }
    }
    range->from = range->from == FIRST_YEAR && first > FIRST_YEAR ? first : range->from;
    range->to = range->to == LAST_YEAR && last < LAST_YEAR ? last : range->to;
}

/* One year on all models: the worst of those that were built, if any takes the part; of
 * models that nobody named the best. */
static enum year_state year_of_all(const struct going_on *going, uint32_t count, int year,
                                   bool are_named, struct reason *why)
{
    enum year_state worst = YEAR_YES;
    enum year_state best = YEAR_NOT_BUILT;
    for (uint32_t m = 0; m < count; m++) {
        struct reason reason = *why;
        const enum year_state state = state_in(&going[m], year, &reason);
        if (state == YEAR_NOT_BUILT) {
            continue;
        }
        if (are_named ? state < worst || best == YEAR_NOT_BUILT : state > best) {
            *why = reason;
        }
        worst = state < worst ? state : worst;
        best = state > best ? state : best;
    }
    return best == YEAR_NOT_BUILT ? YEAR_NOT_BUILT : are_named ? worst : best;
}

static enum agreement judge_years(struct arena *arena, const struct going_on *going,
                                  uint32_t count, struct year_range range, bool are_named,
                                  struct reason *why)
{
    bool is_open = false;
    close_ends(going, count, &range);
    /* years do not differ between the ends of stretches: only those are looked at */
    for (int year = range.from; year <= range.to; year = going_next(going, count, year)) {
        struct reason reason = {0};
        const enum year_state state = year_of_all(going, count, year, are_named, &reason);
        if (state == YEAR_NOT_BUILT) {
            why->why = text_format(arena, "in %d none of them was built", year);
            return AGREES_NOT;
        }
        if (state == YEAR_NO) {
            why->why = text_format(arena, "%d: %.*s", year, TEXT_ARG(reason.why));
            why->question = reason.question;
            return AGREES_NOT;
        }
        is_open = is_open || state == YEAR_OPEN;
        *why = reason;
    }
    return is_open || count == 0 ? AGREES_UNKNOWN : AGREES;
}

static bool ever_goes(const struct going_on *going)
{
    for (uint32_t i = 0; i < going->count; i++) {
        if (going->at[i].going == GOES) {
            return true;
        }
    }
    return false;
}

status years_agree(struct lister *lister, struct sold sold, text years,
                   const struct named_models *models, enum agreement *out,
                   struct reason *why)
{
    const struct part_shows *shows = lister->bench->shows;
    const bool are_named = models->count > 0;
    const uint32_t count = are_named ? models->count : shows->model_count;
    struct going_on *going = ARENA_MANY(lister->listing_arena, count, struct going_on);
    TRY(arena_status(lister->listing_arena));
    uint32_t kept = 0;
    for (uint32_t m = 0; m < count; m++) {
        TRY(goes_on(lister, sold.parts, sold.count, are_named ? models->at[m] : m,
                    &going[kept]));
        kept += are_named || ever_goes(&going[kept]) ? 1 : 0;
    }
    *out = AGREES_UNKNOWN;
    if (are_named || !models->any_unknown) {
        *out = judge_years(lister->listing_arena, going, kept, year_range_of(years),
                           are_named, why);
    }
    return arena_status(lister->listing_arena);
}
