/* SPDX-License-Identifier: MIT */
/*
 * Where liquid can get to: the spaces of the swapped unit with what is in them, the ways
 * between them with what shuts each, and the findings of rules that answer this question.
 * Which way is shut and which space is wet the rules have concluded; here it is only
 * gathered.
 */
#include "swap_private.h"

#include <stdlib.h>

const char *way_state_word(enum way_state state)
{
    static const char *const words[] = {"shut", "open", "not known"};
    return words[state];
}

const char *leaks_word(enum leaks leaks)
{
    static const char *const words[] = {"no leak", "leaks", "not known", "not in order"};
    return words[leaks];
}

/* Opens a scan over the rows of a relation whose first keys are the swapped unit and, in
 * their columns, what `key` binds. */
static bool scan_unit(struct swap *swap, struct scan *scan, const char *relation,
                      uint32_t bound, name_id *key)
{
    relation_id id = 0;
    key[0] = swap->swapped.name;
    return store_find_relation(swap->layer.store,
                               names_find(swap->layer.names, text_of(relation)), &id) &&
           scan_open(scan, swap->layer.store, id, bound, key);
}

static text joined(struct swap *swap, text all, text one)
{
    return text_format(swap->arena, "%.*s%s%.*s", TEXT_ARG(all),
                       all.length > 0 ? ", " : "", TEXT_ARG(one));
}

/* "seal.lip on shaft", or the piece that a path leads through; "nothing". */
static text closer_of(struct swap *swap, name_id path)
{
    name_id key[5] = {NAME_NONE, path, 0, 0, 0};
    text all = {"", 0};
    struct scan scan;
    if (scan_unit(swap, &scan, "leads-between", 3, key)) {
        for (const struct row *row = scan_next(&scan); row != NULL;
             row = scan_next(&scan)) {
            all = joined(swap, all,
                         text_format(swap->arena, "%.*s.%.*s on %.*s",
                                     TEXT_ARG(layer_shown(&swap->layer, row->key[2])),
                                     TEXT_ARG(names_text(swap->layer.names, row->key[3])),
                                     TEXT_ARG(layer_shown(&swap->layer, row->key[4]))));
        }
    }
    if (scan_unit(swap, &scan, "leads-through", 3, key)) {
        for (const struct row *row = scan_next(&scan); row != NULL;
             row = scan_next(&scan)) {
            all = joined(swap, all, layer_shown(&swap->layer, row->key[2]));
        }
    }
    return all.length > 0 ? all : TEXT("nothing");
}

static enum way_state state_of(struct swap *swap, name_id path)
{
    name_id key[2] = {NAME_NONE, path};
    struct scan scan;
    if (!scan_unit(swap, &scan, "shut", 3, key)) {
        return WAY_OPEN;
    }
    const struct row *row = scan_next(&scan);
    return row == NULL                      ? WAY_OPEN
           : row->standing == STANDING_SURE ? WAY_SHUT
                                            : WAY_NOT_KNOWN;
}

static int compare_ways(const void *a, const void *b)
{
    return text_compare(((const struct leak_way *)a)->path,
                        ((const struct leak_way *)b)->path);
}

static status gather_ways(struct swap *swap)
{
    name_id key[4] = {0};
    ARRAY_OF(struct leak_way) ways = {0};
    struct scan scan;
    if (!scan_unit(swap, &scan, "path", 1, key)) {
        return arena_status(swap->arena);
    }
    for (const struct row *row = scan_next(&scan); row != NULL; row = scan_next(&scan)) {
        const struct leak_way way = {.path = names_text(swap->layer.names, row->key[1]),
                                     .from = names_text(swap->layer.names, row->key[2]),
                                     .to = names_text(swap->layer.names, row->key[3]),
                                     .closer = closer_of(swap, row->key[1]),
                                     .state = state_of(swap, row->key[1])};
        if (!ARRAY_PUSH(swap->arena, &ways, way)) {
            return arena_status(swap->arena);
        }
    }
    if (ways.count > 1) {
        qsort(ways.at, ways.count, sizeof *ways.at, compare_ways);
    }
    swap->answer->ways = ways.at;
    swap->answer->way_count = ways.count;
    return STATUS_OK;
}

/* What liquids are in a space, and whether that is sure. */
static void wet_space(struct swap *swap, name_id space, struct leak_space *out)
{
    name_id key[3] = {NAME_NONE, space, 0};
    struct scan scan;
    if (!scan_unit(swap, &scan, "wet-with", 3, key)) {
        return;
    }
    for (const struct row *row = scan_next(&scan); row != NULL; row = scan_next(&scan)) {
        const struct minted_place *from =
            unit_place_of(&swap->layer, &swap->swapped, row->key[2]);
        out->wet_with = joined(swap, out->wet_with,
                               from == NULL ? layer_shown(&swap->layer, row->key[2])
                                            : names_text(swap->layer.names, from->with));
        out->is_open = out->is_open || row->standing == STANDING_OPEN;
    }
}

static int compare_spaces(const void *a, const void *b)
{
    return text_compare(((const struct leak_space *)a)->space,
                        ((const struct leak_space *)b)->space);
}

static status gather_spaces(struct swap *swap)
{
    name_id key[2] = {0};
    ARRAY_OF(struct leak_space) spaces = {0};
    struct scan scan;
    if (!scan_unit(swap, &scan, "space", 1, key)) {
        return arena_status(swap->arena);
    }
    for (const struct row *row = scan_next(&scan); row != NULL; row = scan_next(&scan)) {
        struct leak_space space = {.space = names_text(swap->layer.names, row->key[1])};
        const int holds = vocabulary_column(store_shape(swap->layer.store, row->relation),
                                            names_find(swap->layer.names, TEXT("holds")));
        if (holds >= 2 && row->values[holds - 2].kind == VALUE_WORD) {
            space.holds = names_text(swap->layer.names, row->values[holds - 2].word);
        }
        wet_space(swap, row->key[1], &space);
        if (!ARRAY_PUSH(swap->arena, &spaces, space)) {
            return arena_status(swap->arena);
        }
    }
    if (spaces.count > 1) {
        qsort(spaces.at, spaces.count, sizeof *spaces.at, compare_spaces);
    }
    swap->answer->spaces = spaces.at;
    swap->answer->space_count = spaces.count;
    return STATUS_OK;
}

static bool shows_a_leak(const struct finding *finding)
{
    return finding->rule != NULL && finding->rule->answers_leaks &&
           finding->weight == WEIGHT_STOPS && finding->outcome != OUTCOME_HOLDS;
}

/* Whether a finding is about a way or a space, and not about a piece alone. */
static bool is_about_a_way(const struct finding *finding)
{
    for (uint32_t i = 0; i < finding->subject_count; i++) {
        if (text_is(finding->subject[i].column, "path") ||
            text_is(finding->subject[i].column, "space")) {
            return true;
        }
    }
    return false;
}

static enum leaks worse_of(enum leaks so_far, const struct finding *finding)
{
    const bool is_failure = finding->outcome == OUTCOME_FAILS;
    return so_far == LEAKS_FOUND || (is_failure && is_about_a_way(finding)) ? LEAKS_FOUND
           : so_far == LEAKS_AMISS || is_failure                            ? LEAKS_AMISS
                                                 : LEAKS_NOT_KNOWN;
}

/* What leaks before what nobody knows: the findings' own order. */
static status decide(struct swap *swap)
{
    struct answer *answer = swap->answer;
    ARRAY_OF(text) because = {0};
    answer->leaks = answer->way_count == 0 ? LEAKS_NOT_KNOWN : LEAKS_NONE;
    if (answer->way_count == 0 &&
        !ARRAY_PUSH(swap->arena, &because,
                    TEXT("the unit does not say which spaces it has and which ways lead "
                         "between them"))) {
        return arena_status(swap->arena);
    }
    for (uint32_t i = 0; i < swap->findings.count; i++) {
        const struct finding *finding = &swap->findings.at[i];
        const bool is_failure = finding->outcome == OUTCOME_FAILS;
        if (!shows_a_leak(finding)) {
            continue;
        }
        answer->leaks = worse_of(answer->leaks, finding);
        if (!ARRAY_PUSH(swap->arena, &because,
                        is_failure ? finding->sentence
                                   : finding_open_reason(swap, finding))) {
            return arena_status(swap->arena);
        }
    }
    answer->leak_reasons = because.at;
    answer->leak_reason_count = because.count;
    return arena_status(swap->arena);
}

status leaks_gather(struct swap *swap)
{
    TRY(gather_spaces(swap));
    TRY(gather_ways(swap));
    return decide(swap);
}
