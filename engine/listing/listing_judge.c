/* SPDX-License-Identifier: MIT */
/*
 * Judging. A known number is the subject, and all else is held against its part. Without
 * one the claims about the part itself narrow the parts of the kind; models and years are
 * then held against the parts that are left. The seller's own word is no evidence for
 * itself: where nothing but a kind is told, models and years are not known.
 */
#include "judge_machines.h"

#include "listing_advice.h"
#include "number_text.h"

/* A claim that narrows, with what the parts of the kind say to it. */
struct narrowing {
    struct claim *claim;
    struct ready_claim ready;
    enum agreement *by_part;
    bool any_yes;
    bool any_open;
};

static const struct knowledge *knowledge_of(const struct subject *subject)
{
    return subject->lister->bench->knowledge;
}

static text part_name(const struct subject *subject, uint32_t part)
{
    const struct knowledge *knowledge = knowledge_of(subject);
    return names_text(knowledge->names, knowledge->parts[part].name);
}

static bool is_of(const struct subject *subject, const struct claim *claim)
{
    return claim->part == subject->part;
}

/* ---- words */

/* "spline of kestrel-shaft-late: 35 mm" */
static text shown_words(struct subject *subject, const struct ready_claim *ready,
                        const struct shown *shown, uint32_t part)
{
    const text name = part_name(subject, part);
    if (shown == NULL) {
        return text_format(subject->arena, "nothing of that is recorded of %.*s",
                           TEXT_ARG(name));
    }
    const text what = names_text(knowledge_of(subject)->names, shown->what);
    const enum claim_kind kind = ready->claim->kind;
    const text value =
        kind == CLAIM_FEATURE || kind == CLAIM_SIDE
            ? shown->has ? TEXT("yes") : TEXT("no")
        : kind == CLAIM_DIMENSION
            ? text_format(subject->arena, "%.*s mm",
                          TEXT_ARG(number_write_fixed(
                              subject->arena, (shown->least + shown->greatest) / 2, 2)))
        : kind == CLAIM_COUNT
            ? text_format(subject->arena, "%lld", (long long)shown->count)
            : names_text(knowledge_of(subject)->names, shown->word);
    return text_format(subject->arena, "%.*s of %.*s: %.*s", TEXT_ARG(what),
                       TEXT_ARG(name), TEXT_ARG(value));
}

void claim_judge(struct claim *claim, enum judgement judgement, text why)
{
    claim->judgement = judgement;
    claim->why = why;
}

/* ---- a known number */

/* The parts of a number that a claim gives; NULL: none. */
static const struct listing_term *parts_of(const struct subject *subject,
                                           const struct claim *claim, uint32_t *count)
{
    struct folded folded;
    size_t wrong = 0;
    *count = 0;
    return fold(subject->arena, claim->value, &folded, &wrong) != STATUS_OK
               ? NULL
               : terms_find(&subject->lister->bench->terms.numbers,
                            term_key(subject->arena, folded.plain), count);
}

bool number_is_known(const struct subject *subject, const struct claim *claim,
                     uint32_t *part)
{
    uint32_t count = 0;
    const struct listing_term *known = parts_of(subject, claim, &count);
    *part = known == NULL ? 0 : known->of;
    return known != NULL;
}

static void judge_number(struct subject *subject, struct claim *claim)
{
    uint32_t count = 0;
    const struct listing_term *known = parts_of(subject, claim, &count);
    if (known == NULL) {
        claim_judge(claim, JUDGED_NOT_KNOWN, TEXT("nobody recorded this number"));
        return;
    }
    if (claim->is_hedged) {
        claim_judge(claim, JUDGED_NOT_KNOWN,
                    TEXT("the seller is not sure of the number"));
        return;
    }
    claim_judge(claim, JUDGED_SUPPORTED,
                text_format(subject->arena, "the number of %.*s",
                            TEXT_ARG(part_name(subject, known->of))));
    if (subject->by_number || !is_of(subject, claim) || claim->what.length > 0) {
        return; /* the number of another part tells nothing of this one */
    }
    subject->left = ARENA_MANY(subject->arena, count, uint32_t);
    for (uint32_t i = 0; subject->left != NULL && i < count; i++) {
        subject->left[i] = known[i].of;
    }
    subject->left_count = subject->left == NULL ? 0 : count;
    subject->by_number = true;
    subject->is_narrowed = true;
}

/* What is true of all parts left is supported, what is false of all contradicted. */
static void judge_by_left(struct subject *subject, struct claim *claim)
{
    const struct ready_claim ready = claim_ready(knowledge_of(subject), claim);
    uint32_t yes = 0;
    uint32_t no = 0;
    text why = {"", 0};
    for (uint32_t i = 0; i < subject->left_count; i++) {
        const struct shown *shown = NULL;
        const enum agreement agrees =
            claim_agrees(subject->lister->bench, &ready, subject->left[i], &shown);
        yes += agrees == AGREES ? 1 : 0;
        no += agrees == AGREES_NOT ? 1 : 0;
        if (i == 0 && claim->kind != CLAIM_KIND) {
            claim->row = shown == NULL ? NULL : shown->row;
            why = shown_words(subject, &ready, shown, subject->left[i]);
        } else if (i == 0) {
            const struct part *part = &knowledge_of(subject)->parts[subject->left[i]];
            why = text_format(
                subject->arena, "%.*s is a %.*s",
                TEXT_ARG(part_name(subject, subject->left[i])),
                TEXT_ARG(names_text(knowledge_of(subject)->names, part->kind->name)));
        }
    }
    claim_judge(claim,
                yes == subject->left_count  ? JUDGED_SUPPORTED
                : no == subject->left_count ? JUDGED_CONTRADICTED
                                            : JUDGED_NOT_KNOWN,
                why);
}

/* ---- narrowing */

/* The parts of the kind that is claimed, of all kinds if none is. */
static status list_kind(struct subject *subject, struct claim **kind)
{
    const struct knowledge *knowledge = knowledge_of(subject);
    *kind = NULL;
    for (uint32_t i = 0; i < subject->listing->claim_count; i++) {
        struct claim *claim = &subject->listing->claims_made[i];
        if (claim->kind == CLAIM_KIND && is_of(subject, claim) && *kind == NULL) {
            *kind = claim;
        }
    }
    if (*kind == NULL) {
        return STATUS_OK;
    }
    const struct kind *found = vocabulary_kind(
        knowledge->vocabulary, names_find(knowledge->names, (*kind)->value));
    if (found == NULL) {
        return STATUS_OK;
    }
    const struct listing_bench *bench = subject->lister->bench;
    const size_t at = (size_t)(found - knowledge->vocabulary->kinds);
    subject->left_count = bench->by_kind_count[at];
    if (subject->left_count == 0) {
        return STATUS_OK;
    }
    subject->left = arena_copy(subject->arena, bench->by_kind[at],
                               subject->left_count * sizeof *subject->left);
    return arena_status(subject->arena);
}

/* Whether some unit has both parts: units are sorted. */
static bool share_a_unit(const struct listing_bench *bench, uint32_t a, uint32_t b)
{
    const uint32_t *of_a = bench->units_of[a];
    const uint32_t *of_b = bench->units_of[b];
    uint32_t i = 0;
    uint32_t k = 0;
    while (i < bench->units_of_count[a] && k < bench->units_of_count[b]) {
        if (of_a[i] == of_b[k]) {
            return true;
        }
        of_a[i] < of_b[k] ? i++ : k++;
    }
    return false;
}

/* "Takes NUMBER" leaves the parts that some unit has beside the part of that number;
 * where no unit does, nothing follows. */
static void narrow_by_taken(struct subject *subject)
{
    for (uint32_t i = 0; i < subject->listing->claim_count; i++) {
        const struct claim *claim = &subject->listing->claims[i];
        uint32_t taken = 0;
        uint32_t kept = 0;
        if (claim->kind != CLAIM_NUMBER || !text_is(claim->what, "part that it takes") ||
            claim->judgement != JUDGED_SUPPORTED || !is_of(subject, claim) ||
            !number_is_known(subject, claim, &taken)) {
            continue;
        }
        for (uint32_t p = 0; p < subject->left_count; p++) {
            const uint32_t part = subject->left[p];
            if (share_a_unit(subject->lister->bench, part, taken)) {
                subject->left[p] = subject->left[kept];
                subject->left[kept++] = part;
            }
        }
        if (kept > 0) {
            subject->left_count = kept;
            subject->is_narrowed = true;
        }
    }
}

static status hold(struct subject *subject, struct claim *claim, struct narrowing *out)
{
    const struct shown *shown = NULL;
    *out = (struct narrowing){.claim = claim,
                              .ready = claim_ready(knowledge_of(subject), claim)};
    out->by_part = ARENA_MANY(subject->arena, subject->left_count, enum agreement);
    TRY(arena_status(subject->arena));
    for (uint32_t i = 0; i < subject->left_count; i++) {
        out->by_part[i] =
            claim_agrees(subject->lister->bench, &out->ready, subject->left[i], &shown);
        out->any_yes = out->any_yes || out->by_part[i] == AGREES;
        out->any_open = out->any_open || out->by_part[i] == AGREES_UNKNOWN;
    }
    return STATUS_OK;
}

/* Whether a claim can be true of a part as far as is recorded. */
static bool is_possible(const struct narrowing *one, uint32_t i)
{
    return one->by_part[i] != AGREES_NOT;
}

static bool exclude(const struct narrowing *a, const struct narrowing *b, uint32_t count)
{
    for (uint32_t i = 0; i < count; i++) {
        if (is_possible(a, i) && is_possible(b, i)) {
            return false;
        }
    }
    return true;
}

/* Two claims that no part can have together are both marked. */
static void mark_excluding(struct subject *subject, struct narrowing *list,
                           uint32_t count)
{
    for (uint32_t a = 0; a < count; a++) {
        for (uint32_t b = a + 1; b < count; b++) {
            if (!list[a].any_yes || !list[b].any_yes ||
                !exclude(&list[a], &list[b], subject->left_count)) {
                continue;
            }
            claim_judge(list[a].claim, JUDGED_CONTRADICTED,
                        text_format(subject->arena, "no part known has this and \"%.*s\"",
                                    TEXT_ARG(list[b].claim->span)));
            claim_judge(list[b].claim, JUDGED_CONTRADICTED,
                        text_format(subject->arena, "no part known has this and \"%.*s\"",
                                    TEXT_ARG(list[a].claim->span)));
        }
    }
}

static bool still_narrows(const struct narrowing *one)
{
    return one->any_yes && one->claim->judgement != JUDGED_CONTRADICTED;
}

/* Leaves the parts that all claims agree on; where none has them all, those of which
 * nothing says otherwise. */
static void leave(struct subject *subject, struct narrowing *list, uint32_t count,
                  bool is_strict)
{
    uint32_t kept = 0;
    for (uint32_t i = 0; i < subject->left_count; i++) {
        bool is_in = true;
        for (uint32_t c = 0; c < count; c++) {
            is_in = is_in &&
                    (!still_narrows(&list[c]) || (is_strict ? list[c].by_part[i] == AGREES
                                                            : is_possible(&list[c], i)));
        }
        if (is_in) {
            for (uint32_t c = 0; c < count; c++) {
                list[c].by_part[kept] = list[c].by_part[i];
            }
            subject->left[kept++] = subject->left[i];
        }
    }
    subject->left_count = kept;
}

static bool any_has_all(const struct subject *subject, const struct narrowing *list,
                        uint32_t count)
{
    for (uint32_t i = 0; i < subject->left_count; i++) {
        bool is_in = true;
        for (uint32_t c = 0; c < count; c++) {
            is_in = is_in && (!still_narrows(&list[c]) || list[c].by_part[i] == AGREES);
        }
        if (is_in) {
            return true;
        }
    }
    return false;
}

/* Every claim that was not marked: supported where a part left has it. */
static void judge_narrowing(struct subject *subject, struct narrowing *list,
                            uint32_t count)
{
    for (uint32_t c = 0; c < count; c++) {
        struct claim *claim = list[c].claim;
        const struct shown *shown = NULL;
        uint32_t with = UINT32_MAX;
        for (uint32_t i = 0; i < subject->left_count && with == UINT32_MAX; i++) {
            with = list[c].by_part[i] == AGREES ? i : with;
        }
        if (claim->judgement == JUDGED_CONTRADICTED) {
            continue;
        }
        if (with != UINT32_MAX) {
            (void)claim_agrees(subject->lister->bench, &list[c].ready,
                               subject->left[with], &shown);
            claim->row = shown == NULL ? NULL : shown->row;
            claim_judge(claim, JUDGED_SUPPORTED,
                        shown_words(subject, &list[c].ready, shown, subject->left[with]));
            subject->is_narrowed = true;
        } else {
            claim_judge(claim, JUDGED_NOT_KNOWN, TEXT("nothing of that is recorded"));
        }
    }
}

static void mark_impossible(struct subject *subject, struct narrowing *list,
                            uint32_t count)
{
    for (uint32_t c = 0; c < count; c++) {
        if (list[c].any_yes || list[c].any_open || subject->left_count == 0) {
            continue;
        }
        const struct shown *shown = NULL;
        (void)claim_agrees(subject->lister->bench, &list[c].ready, subject->left[0],
                           &shown);
        list[c].claim->row = shown == NULL ? NULL : shown->row;
        claim_judge(list[c].claim, JUDGED_CONTRADICTED,
                    text_format(subject->arena, "no part of this kind has it; %.*s",
                                TEXT_ARG(shown_words(subject, &list[c].ready, shown,
                                                     subject->left[0]))));
    }
}

static status narrow(struct subject *subject)
{
    struct claim *kind = NULL;
    uint32_t count = 0;
    TRY(list_kind(subject, &kind));
    narrow_by_taken(subject);
    struct narrowing *list =
        ARENA_MANY(subject->arena, subject->listing->claim_count, struct narrowing);
    TRY(arena_status(subject->arena));
    for (uint32_t i = 0; i < subject->listing->claim_count; i++) {
        struct claim *claim = &subject->listing->claims_made[i];
        if (claim_narrows(claim->kind) && is_of(subject, claim)) {
            TRY(hold(subject, claim, &list[count]));
            count++;
        }
    }
    mark_impossible(subject, list, count);
    const bool fits_together = any_has_all(subject, list, count);
    if (!fits_together) {
        mark_excluding(subject, list, count);
    }
    leave(subject, list, count, any_has_all(subject, list, count));
    judge_narrowing(subject, list, count);
    if (kind != NULL) {
        claim_judge(kind, subject->is_narrowed ? JUDGED_SUPPORTED : JUDGED_NOT_KNOWN,
                    subject->is_narrowed
                        ? text_format(subject->arena,
                                      "what is told is so of %u of that kind",
                                      subject->left_count)
                        : TEXT("nothing recorded is told of it"));
    }
    return arena_status(subject->arena);
}

static status judge_part(struct subject *subject)
{
    struct listing_answer *listing = subject->listing;
    for (uint32_t i = 0; i < listing->claim_count; i++) {
        if (listing->claims_made[i].kind == CLAIM_NUMBER) {
            judge_number(subject, &listing->claims_made[i]);
        }
    }
    if (!subject->by_number) {
        return narrow(subject);
    }
    for (uint32_t i = 0; i < listing->claim_count; i++) {
        struct claim *claim = &listing->claims_made[i];
        if (is_of(subject, claim) &&
            (claim_narrows(claim->kind) || claim->kind == CLAIM_KIND)) {
            judge_by_left(subject, claim);
        }
    }
    return arena_status(subject->arena);
}

/* ---- the listing */

static bool any_judged(const struct listing_answer *listing, enum judgement judgement,
                       bool machines_only)
{
    for (uint32_t i = 0; i < listing->claim_count; i++) {
        if (listing->claims[i].judgement == judgement &&
            (!machines_only || claim_is_machine(listing->claims[i].kind))) {
            return true;
        }
    }
    return false;
}

static bool years_supported(const struct listing_answer *listing)
{
    for (uint32_t i = 0; i < listing->claim_count; i++) {
        if (listing->claims[i].kind == CLAIM_YEARS &&
            listing->claims[i].judgement == JUDGED_SUPPORTED) {
            return true;
        }
    }
    return false;
}

/* Enough is told of a part: its number, or all that matters follows from the rest. */
static status is_enough(struct subject *subject, bool *out)
{
    bool is_same = false;
    *out = subject->by_number;
    if (*out || !subject->is_narrowed || subject->left_count == 0 ||
        subject->left_count > MOST_HELD ||
        any_judged(subject->listing, JUDGED_NOT_KNOWN, true) ||
        !advice_one_hand(subject->lister, subject->left, subject->left_count)) {
        return STATUS_OK;
    }
    TRY(advice_same_machines(subject->lister, subject->left, subject->left_count,
                             &is_same));
    *out = is_same || years_supported(subject->listing);
    return STATUS_OK;
}

static status conclude(struct subject *subjects, struct listing_answer *listing,
                       const uint32_t *set)
{
    bool enough = true;
    for (uint32_t i = 0; i < listing->claim_count; i++) {
        const struct claim *claim = &listing->claims[i];
        if (claim->judgement == JUDGED_CONTRADICTED && listing->because.length == 0) {
            listing->because = text_format(subjects->arena, "\"%.*s\": %.*s",
                                           TEXT_ARG(claim->span), TEXT_ARG(claim->why));
        }
    }
    for (uint32_t s = 0; s < listing->part_count; s++) {
        bool one = false;
        TRY(is_enough(&subjects[s], &one));
        enough = enough && one;
    }
    listing->verdict = any_judged(listing, JUDGED_CONTRADICTED, false) ? LISTING_WRONG
                       : enough                                        ? LISTING_OK
                                : LISTING_NOT_ENOUGH;
    const struct subject *first = subjects;
    const uint32_t *shown = set != NULL ? set : first->left;
    const uint32_t count = set != NULL          ? listing->part_count
                           : first->is_narrowed ? first->left_count
                                                : 0;
    text *names = ARENA_MANY(first->arena, count, text);
    for (uint32_t i = 0; names != NULL && i < count; i++) {
        names[i] = part_name(first, shown[i]);
    }
    listing->parts_left = names;
    listing->parts_left_count = names == NULL ? 0 : count;
    return advice_give(first->lister, first->arena, first->left,
                       first->is_narrowed ? first->left_count : 0, set, first->by_number,
                       listing);
}

status listing_judge(struct lister *lister, struct arena *arena,
                     struct listing_answer *listing)
{
    struct subject *subjects = ARENA_MANY(arena, listing->part_count, struct subject);
    const uint32_t *set = NULL;
    TRY(arena_status(arena));
    lister->listing_arena = arena;
    TRY(goes_on_start(lister));
    for (uint32_t s = 0; s < listing->part_count; s++) {
        subjects[s] = (struct subject){
            .lister = lister, .arena = arena, .listing = listing, .part = s};
        TRY(judge_part(&subjects[s]));
    }
    TRY(judge_machines(subjects, listing, &set));
    return conclude(subjects, listing, set);
}
