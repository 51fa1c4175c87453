/* SPDX-License-Identifier: MIT */
/*
 * From findings to one word, and what goes with it: the reasons that decided, what is
 * missing, what was assumed.
 */
#include "swap_private.h"

#include <stdlib.h>

const char *verdict_word(enum verdict verdict)
{
    switch (verdict) {
    case VERDICT_FITS:
        return "fits";
    case VERDICT_FITS_WITH_WORK:
        return "fits with work";
    case VERDICT_DOES_NOT_FIT:
        return "does not fit";
    case VERDICT_NOT_KNOWN:
        return "not known";
    }
    return "";
}

/* Fails first, then what is not known, then what may fail, then what holds. */
static int outcome_rank(enum outcome outcome)
{
    switch (outcome) {
    case OUTCOME_FAILS:
        return 0;
    case OUTCOME_UNKNOWN:
        return 1;
    case OUTCOME_UNSURE:
        return 2;
    case OUTCOME_HOLDS:
        break;
    }
    return 3;
}

static int compare_findings(const void *a, const void *b)
{
    const struct finding *left = a;
    const struct finding *right = b;
    if (left->counts != right->counts) {
        return left->counts ? -1 : 1;
    }
    const int rank = outcome_rank(left->outcome) - outcome_rank(right->outcome);
    if (rank != 0) {
        return rank;
    }
    if (left->weight != right->weight) {
        return left->weight == WEIGHT_STOPS ? -1 : 1;
    }
    int order = text_compare(left->name, right->name);
    order = order != 0 ? order : (int)left->kind - (int)right->kind;
    for (uint32_t i = 0;
         order == 0 && i < left->subject_count && i < right->subject_count; i++) {
        order = text_compare(left->subject[i].value, right->subject[i].value);
    }
    return order != 0 ? order : text_compare(left->sentence, right->sentence);
}

void findings_number(struct swap *swap)
{
    if (swap->findings.count > 1) {
        qsort(swap->findings.at, swap->findings.count, sizeof(struct finding),
              compare_findings);
    }
    for (uint32_t i = 0; i < swap->findings.count; i++) {
        swap->findings.at[i].id = i + 1;
    }
    for (uint32_t i = 0; i < swap->host_findings.count; i++) {
        swap->host_findings.at[i].id = swap->findings.count + i + 1;
    }
}

bool finding_stops(const struct finding *finding)
{
    return finding->counts && finding->weight == WEIGHT_STOPS &&
           finding->outcome != OUTCOME_HOLDS && finding->mend.length == 0;
}

bool finding_fails(const struct finding *finding)
{
    return finding_stops(finding) && finding->outcome == OUTCOME_FAILS &&
           finding->may_mend.length == 0;
}

static bool stops_as(const struct finding *finding, bool wants_failure)
{
    return finding_stops(finding) && finding_fails(finding) == wants_failure;
}

static bool any_stops(const struct swap *swap, bool wants_failure)
{
    for (uint32_t i = 0; i < swap->findings.count; i++) {
        if (stops_as(&swap->findings.at[i], wants_failure)) {
            return true;
        }
    }
    return false;
}

typedef ARRAY_OF(text) text_array;

static bool push_once(struct swap *swap, text_array *list, text line)
{
    for (uint32_t i = 0; i < list->count; i++) {
        if (text_equal(list->at[i], line)) {
            return true;
        }
    }
    return ARRAY_PUSH(swap->arena, list, line);
}

enum {
    MOST_NAMED = 3
}; /* of what is missing, in a line that is read aloud */

/* "thrust-float, cover: A gap must leave …": the rule's sentence names no piece, so the
 * pieces, gaps and spaces that it is about stand before it. */
static text of_its_subject(struct swap *swap, const struct finding *finding)
{
    text all = {"", 0};
    for (uint32_t i = 0; i < finding->subject_count; i++) {
        const text value = finding->subject[i].value;
        const bool is_said = i > 0 && text_equal(value, finding->subject[i - 1].value);
        if (!is_said && !text_is(finding->subject[i].column, "unit")) {
            all = text_format(swap->arena, "%.*s%s%.*s", TEXT_ARG(all),
                              all.length > 0 ? ", " : "", TEXT_ARG(value));
        }
    }
    return text_format(swap->arena, "%.*s%s%.*s", TEXT_ARG(all),
                       all.length > 0 ? ": " : "", TEXT_ARG(finding->sentence));
}

/* What keeps a finding from being known, by name; the rule's own words where nothing is
 * named. */
text finding_open_reason(struct swap *swap, const struct finding *finding)
{
    text all = {"", 0};
    struct doubt doubt = finding->doubt;
    if (finding->margin != NULL) {
        doubt = doubt_join(swap->arena, doubt,
                           value_doubt(swap->arena, value_quantity(finding->margin)));
    }
    const bool is_missing = doubt_misses(doubt);
    uint32_t count = 0;
    for (uint32_t i = 0; i < doubt.count; i++) {
        if (is_missing && doubt.of[i]->basis != BASIS_MISSING) {
            continue;
        }
        count++;
        if (count <= MOST_NAMED) {
            all = text_format(swap->arena, "%.*s%s%.*s", TEXT_ARG(all),
                              all.length > 0 ? ", " : "", TEXT_ARG(doubt.of[i]->name));
        }
    }
    if (count > MOST_NAMED) {
        all = text_format(swap->arena, "%.*s and %u more", TEXT_ARG(all),
                          count - MOST_NAMED);
    }
    if (all.length == 0 || finding->kind != FINDING_BY_RULE) {
        return finding->sentence;
    }
    const text sentence = of_its_subject(swap, finding);
    if (finding->counted == COUNTED_MAY_BE_WORSE && !is_missing) {
        return text_format(swap->arena,
                           "%.*s Nor was it in order before; whether it is worse now is "
                           "open",
                           TEXT_ARG(sentence));
    }
    return is_missing ? text_format(swap->arena, "%.*s Not known: %.*s",
                                    TEXT_ARG(sentence), TEXT_ARG(all))
                      : text_format(swap->arena, "%.*s Its limits straddle: %.*s",
                                    TEXT_ARG(sentence),
                                    TEXT_ARG(form_write(swap->arena, finding->margin)));
}

text finding_reason(struct swap *swap, const struct finding *finding)
{
    return finding->outcome != OUTCOME_FAILS ? finding_open_reason(swap, finding)
           : finding_fails(finding)
               ? finding->sentence
               : text_format(swap->arena, "%.*s; %.*s", TEXT_ARG(finding->sentence),
                             TEXT_ARG(finding->may_mend));
}

/* Of what is not known a rule's first finding speaks for all of them. */
static bool is_first_of_rule(const struct swap *swap, uint32_t at)
{
    const struct finding *finding = &swap->findings.at[at];
    for (uint32_t i = 0; i < at; i++) {
        const struct finding *before = &swap->findings.at[i];
        if (finding->kind == FINDING_BY_RULE && before->kind == FINDING_BY_RULE &&
            before->rule == finding->rule && finding_stops(before) &&
            before->outcome == finding->outcome &&
            text_equal(before->sentence, finding->sentence)) {
            return false;
        }
    }
    return true;
}

static bool any_changed(const struct swap *swap)
{
    bool is_changed = false;
    for (uint32_t i = 0; i < swap->swapped.place_count; i++) {
        is_changed = is_changed || swap->swapped.places[i].is_changed;
    }
    return is_changed;
}

static bool any_emptied(const struct swap *swap)
{
    bool is_emptied = false;
    for (uint32_t i = 0; i < swap->swapped.place_count; i++) {
        const struct minted_place *place = &swap->swapped.places[i];
        is_emptied = is_emptied || (place->is_changed && place->with == NAME_NONE);
    }
    return is_emptied;
}

static uint32_t counted_of(const struct swap *swap)
{
    uint32_t counted = 0;
    for (uint32_t i = 0; i < swap->findings.count; i++) {
        counted += swap->findings.at[i].counts ? 1 : 0;
    }
    return counted;
}

/* What empties a place, and nothing looks at that. */
static bool is_unlooked_at(const struct swap *swap)
{
    return any_emptied(swap) && counted_of(swap) == 0;
}

/* A swap that fits says on how many checks that rests. */
static text fits_reason(struct swap *swap)
{
    const uint32_t counted = counted_of(swap);
    return !any_changed(swap) && counted == 0
               ? TEXT("no piece is changed: everything is as before")
           : !any_changed(swap)
               ? text_format(swap->arena,
                             "none of the %u checks that the given values touch stops it",
                             counted)
           : is_unlooked_at(swap)
               ? TEXT("no check looks at what the swap takes away")
               : text_format(swap->arena,
                             "none of the %u checks that the swap touches stops it",
                             counted);
}

static status decide(struct swap *swap)
{
    struct answer *answer = swap->answer;
    ARRAY_OF(uint32_t) decided = {0};
    text_array because = {0};
    bool is_pushed = true;
    const bool fails = any_stops(swap, true);
    const bool doubts = any_stops(swap, false);
    const bool is_unseen = !fails && !doubts && is_unlooked_at(swap);
    answer->verdict = fails                    ? VERDICT_DOES_NOT_FIT
                      : doubts || is_unseen    ? VERDICT_NOT_KNOWN
                      : answer->work_count > 0 ? VERDICT_FITS_WITH_WORK
                                               : VERDICT_FITS;
    for (uint32_t i = 0; (fails || doubts) && i < swap->findings.count; i++) {
        const struct finding *finding = &swap->findings.at[i];
        if (stops_as(finding, fails)) {
            is_pushed = is_pushed && ARRAY_PUSH(swap->arena, &decided, finding->id);
            if (!fails && !is_first_of_rule(swap, i)) {
                continue;
            }
            is_pushed =
                is_pushed && push_once(swap, &because, finding_reason(swap, finding));
        }
    }
    for (uint32_t i = 0; !fails && !doubts && i < answer->work_count; i++) {
        is_pushed = is_pushed && ARRAY_PUSH(swap->arena, &because, answer->work[i].what);
    }
    if (answer->verdict == VERDICT_FITS || is_unseen) {
        is_pushed = is_pushed && ARRAY_PUSH(swap->arena, &because, fits_reason(swap));
    }
    answer->decided_by = decided.at;
    answer->decided_count = decided.count;
    answer->because = because.at;
    answer->because_count = because.count;
    return is_pushed ? STATUS_OK : arena_status(swap->arena);
}

/* ---- what is missing */

struct missing_list {
    ARRAY_OF(struct missing_item) items;
};

static bool want_missing(struct swap *swap, struct missing_list *list,
                         const struct deviation *of, text by)
{
    struct missing_item *item = NULL;
    for (uint32_t i = 0; i < list->items.count; i++) {
        if (list->items.at[i].of == of) {
            item = &list->items.at[i];
        }
    }
    if (item == NULL) {
        const struct missing_item empty = {.of = of};
        if (!ARRAY_PUSH(swap->arena, &list->items, empty)) {
            return false;
        }
        item = &list->items.at[list->items.count - 1];
    }
    for (uint32_t i = 0; i < item->wanted_count; i++) {
        if (text_equal(item->wanted_by[i], by)) {
            return true;
        }
    }
    text *grown = ARENA_MANY(swap->arena, (size_t)item->wanted_count + 1, text);
    if (grown == NULL) {
        return false;
    }
    for (uint32_t i = 0; i < item->wanted_count; i++) {
        grown[i] = item->wanted_by[i];
    }
    grown[item->wanted_count] = by;
    item->wanted_by = grown;
    item->wanted_count++;
    return true;
}

static int compare_missing(const void *a, const void *b)
{
    const struct missing_item *left = a;
    const struct missing_item *right = b;
    return text_compare(left->of->name, right->of->name);
}

static status list_missing(struct swap *swap)
{
    struct missing_list list = {0};
    bool is_pushed = true;
    for (uint32_t i = 0; i < swap->findings.count; i++) {
        const struct finding *finding = &swap->findings.at[i];
        if (!finding->counts || finding->outcome != OUTCOME_UNKNOWN) {
            continue;
        }
        for (uint32_t k = 0; k < finding->doubt.count; k++) {
            if (finding->doubt.of[k]->basis == BASIS_MISSING) {
                is_pushed = is_pushed && want_missing(swap, &list, finding->doubt.of[k],
                                                      finding->name);
            }
        }
        if (finding->margin == NULL) {
            continue;
        }
        const struct doubt doubt =
            value_doubt(swap->arena, value_quantity(finding->margin));
        for (uint32_t k = 0; k < doubt.count; k++) {
            if (doubt.of[k]->basis == BASIS_MISSING) {
                is_pushed =
                    is_pushed && want_missing(swap, &list, doubt.of[k], finding->name);
            }
        }
    }
    if (list.items.count > 1) {
        qsort(list.items.at, list.items.count, sizeof *list.items.at, compare_missing);
    }
    swap->answer->missing = list.items.at;
    swap->answer->missing_count = list.items.count;
    return is_pushed ? STATUS_OK : arena_status(swap->arena);
}

/* ---- what was assumed */

static int compare_lines(const void *a, const void *b)
{
    return text_compare(*(const text *)a, *(const text *)b);
}

static bool assume(struct swap *swap, text_array *list, const struct deviation *of)
{
    struct dimension expansion = DIMENSION_RATIO;
    const bool is_growth = dimension_find(TEXT("expansion"), &expansion) &&
                           dimension_equal(of->dim, expansion);
    return of->basis != BASIS_ASSUMED ||
           push_once(swap, list,
                     text_format(swap->arena,
                                 is_growth ? "%.*s is not said: it grows by %.*s"
                                           : "%.*s is %.*s by its general tolerance",
                                 TEXT_ARG(of->name),
                                 TEXT_ARG(stated_write(swap->arena, of))));
}

static bool assume_of(struct swap *swap, text_array *list, const struct finding *finding)
{
    const struct form *margin = finding->margin;
    bool is_pushed = true;
    for (uint32_t k = 0; margin != NULL && k < margin->term_count; k++) {
        is_pushed = is_pushed && assume(swap, list, margin->terms[k].of);
    }
    for (uint32_t k = 0; margin != NULL && k < margin->absorbed_count; k++) {
        is_pushed = is_pushed && assume(swap, list, margin->absorbed[k]);
    }
    return is_pushed;
}

static status list_assumed(struct swap *swap)
{
    text_array list = {0};
    bool is_pushed = true;
    for (uint32_t i = 0; i < swap->swapped.place_count; i++) {
        const struct minted_place *place = &swap->swapped.places[i];
        if (place->is_brought) {
            is_pushed =
                is_pushed &&
                push_once(
                    swap, &list,
                    text_format(swap->arena,
                                place->is_claimed
                                    ? "%.*s goes with %.*s, as its maker says, and is "
                                      "fitted in place %.*s"
                                    : "%.*s comes with %.*s and is fitted in place %.*s",
                                TEXT_ARG(names_text(swap->layer.names, place->with)),
                                TEXT_ARG(names_text(swap->layer.names, place->bringer)),
                                TEXT_ARG(names_text(swap->layer.names, place->place))));
        }
    }
    for (uint32_t i = 0; i < swap->swapped.note_count; i++) {
        is_pushed = is_pushed && push_once(swap, &list, swap->swapped.notes[i]);
    }
    for (uint32_t i = 0; i < swap->findings.count; i++) {
        if (swap->findings.at[i].counts) {
            is_pushed = is_pushed && assume_of(swap, &list, &swap->findings.at[i]);
        }
    }
    if (list.count > 1) {
        qsort(list.at, list.count, sizeof *list.at, compare_lines);
    }
    swap->answer->assumed = list.at;
    swap->answer->assumed_count = list.count;
    return is_pushed ? STATUS_OK : arena_status(swap->arena);
}

/* What the swap takes out, and what it leaves without a part. */
static status list_left(struct swap *swap)
{
    text_array over = {0};
    text_array empty = {0};
    bool is_pushed = true;
    const struct names *names = swap->layer.names;
    for (uint32_t i = 0; i < swap->host.place_count; i++) {
        const struct minted_place *before = &swap->host.places[i];
        for (uint32_t k = 0; k < swap->swapped.place_count; k++) {
            const struct minted_place *now = &swap->swapped.places[k];
            if (now->place != before->place || before->with == NAME_NONE ||
                now->piece == before->piece) {
                continue;
            }
            is_pushed = is_pushed &&
                        ARRAY_PUSH(swap->arena, &over,
                                   text_format(swap->arena, "%.*s from %.*s",
                                               TEXT_ARG(names_text(names, before->with)),
                                               TEXT_ARG(names_text(names, now->place))));
            if (now->with == NAME_NONE) {
                is_pushed = is_pushed && ARRAY_PUSH(swap->arena, &empty,
                                                    names_text(names, now->place));
            }
        }
    }
    swap->answer->left_over = over.at;
    swap->answer->left_over_count = over.count;
    swap->answer->left_empty = empty.at;
    swap->answer->left_empty_count = empty.count;
    return is_pushed ? STATUS_OK : arena_status(swap->arena);
}

/* A fit of a changed piece that no check rests on. */
static bool is_unjudged(const struct swap *swap, const struct row *fit)
{
    const struct minted_place *piece =
        unit_place_of(&swap->layer, &swap->swapped, fit->key[1]);
    const struct minted_place *other =
        unit_place_of(&swap->layer, &swap->swapped, fit->key[3]);
    const bool is_changed =
        (piece != NULL && piece->is_changed) || (other != NULL && other->is_changed);
    return is_changed && !chain_has(&swap->chain, fit);
}

static bool list_unjudged_fits(struct swap *swap, text_array *list)
{
    relation_id fit = 0;
    struct scan scan;
    const name_id key[2] = {swap->swapped.name, NAME_NONE};
    bool is_pushed = true;
    if (!store_find_relation(swap->layer.store,
                             names_find(swap->layer.names, TEXT("fit")), &fit) ||
        !scan_open(&scan, swap->layer.store, fit, 1, key)) {
        return arena_status(swap->arena) == STATUS_OK;
    }
    for (const struct row *row = scan_next(&scan); row != NULL; row = scan_next(&scan)) {
        if (is_unjudged(swap, row)) {
            is_pushed =
                is_pushed &&
                push_once(swap, list,
                          text_format(swap->arena,
                                      "how %.*s of %.*s goes with %.*s of %.*s: no check "
                                      "is known for such a fit",
                                      TEXT_ARG(layer_shown(&swap->layer, row->key[2])),
                                      TEXT_ARG(layer_shown(&swap->layer, row->key[1])),
                                      TEXT_ARG(layer_shown(&swap->layer, row->key[4])),
                                      TEXT_ARG(layer_shown(&swap->layer, row->key[3]))));
        }
    }
    return is_pushed;
}

static status list_not_looked_at(struct swap *swap)
{
    const struct closing *closing = &swap->knowledge->closing;
    text_array list = {0};
    bool is_pushed = true;
    for (uint32_t i = 0; i < swap->swapped.fallen_count; i++) {
        const struct fallen_line *line = &swap->swapped.fallen[i];
        if (fell_before(swap, line) && is_of_empty_place(swap, line)) {
            continue; /* the host does without it as well */
        }
        is_pushed = is_pushed &&
                    push_once(swap, &list,
                              text_format(swap->arena, "%.*s: %.*s", TEXT_ARG(line->line),
                                          TEXT_ARG(line->why)));
    }
    is_pushed = is_pushed && list_unjudged_fits(swap, &list);
    if (swap->answer->way_count == 0) {
        is_pushed = is_pushed &&
                    push_once(swap, &list,
                              TEXT("where liquids get in, out or through: the unit does "
                                   "not say which spaces it has"));
    }
    for (uint32_t i = 0; i < closing->not_looked_at_count; i++) {
        is_pushed = is_pushed && push_once(swap, &list, closing->not_looked_at[i]);
    }
    swap->answer->not_looked_at = list.at;
    swap->answer->not_looked_at_count = list.count;
    swap->answer->caution = cautions_gather(swap);
    return is_pushed ? STATUS_OK : arena_status(swap->arena);
}

status verdict_decide(struct swap *swap)
{
    TRY(decide(swap));
    TRY(list_missing(swap));
    TRY(list_assumed(swap));
    TRY(list_left(swap));
    TRY(list_not_looked_at(swap));
    return arena_status(swap->arena);
}
