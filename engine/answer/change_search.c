/* SPDX-License-Identifier: MIT */
/* The search for change sets, smallest first. */
#include "change_search.h"

#include "limits.h"

#include <stdlib.h>
#include <string.h>

enum {
    CHUNK = 32 /* sets tried at once; part of the meaning of the bound on tries */
};

static uint32_t place_count(const struct change_search *search)
{
    return search->candidates->count;
}

static bool out_of_memory(struct change_search *search)
{
    search->result = arena_status(search->arena);
    return false;
}

/* ---- sets */

static uint32_t hash_of(const struct change_search *search, const uint16_t *words)
{
    return hash_bytes(words, place_count(search) * sizeof *words);
}

static bool same_words(const struct change_search *search, const uint16_t *a,
                       const uint16_t *b)
{
    return memcmp(a, b, place_count(search) * sizeof *a) == 0;
}

/* Whether a set holds all of another. */
static bool holds(const struct change_search *search, const uint16_t *words,
                  const uint16_t *part)
{
    for (uint32_t i = 0; i < place_count(search); i++) {
        if (part[i] != 0 && part[i] != words[i]) {
            return false;
        }
    }
    return true;
}

static bool holds_any(const struct change_search *search, const uint16_t *words,
                      const uint32_t *list, uint32_t count)
{
    for (uint32_t i = 0; i < count; i++) {
        if (holds(search, words, search->sets.at[list[i]].set.words)) {
            return true;
        }
    }
    return false;
}

static bool is_met(const struct change_search *search, const uint16_t *words)
{
    uint32_t cursor = 0;
    uint32_t index = 0;
    while (hash_map_next(&search->seen, hash_of(search, words), &cursor, &index)) {
        if (same_words(search, search->met.at[index].words, words)) {
            return true;
        }
    }
    return false;
}

/* Keeps a set that was not met before; false: it was, or the arena has failed. */
static bool meet(struct change_search *search, const uint16_t *words, uint32_t size)
{
    if (is_met(search, words)) {
        return false;
    }
    const struct change_set set = {
        arena_copy(search->arena, words, place_count(search) * sizeof *words), size};
    return (set.words != NULL &&
            hash_map_add(&search->seen, search->arena, hash_of(search, words),
                         search->met.count) &&
            ARRAY_PUSH(search->arena, &search->met, set)) ||
           out_of_memory(search);
}

struct question change_question(const struct change_search *search,
                                const struct change_set *set, struct worded_pair *changes)
{
    struct question question = *search->question;
    uint32_t count = 0;
    for (uint32_t i = 0; i < place_count(search); i++) {
        const struct candidate_place *place = &search->candidates->places[i];
        if (set->words[i] != 0) {
            changes[count++] =
                (struct worded_pair){names_text(search->knowledge->names, place->place),
                                     place->words[set->words[i] - 1], question.unit_where,
                                     question.unit_where};
        }
    }
    question.command = TEXT("swap");
    question.changes = changes;
    question.change_count = count;
    question.forgives_given = true;
    return question;
}

/* ---- conflicts */

static bool has_conflict(const struct change_search *search,
                         const struct conflict *conflict, const uint16_t *words)
{
    for (uint32_t i = 0; i < place_count(search); i++) {
        if (conflict->in[i] && conflict->words[i] != words[i]) {
            return false;
        }
    }
    return true;
}

/* The known conflict that a set holds and that grows it least. A set that holds only what
 * is not known may itself be what is reported as not known, unless a smaller one is. */
static uint32_t known_conflict(const struct change_search *search, const uint16_t *words)
{
    const bool is_covered =
        holds_any(search, words, search->not_known.at, search->not_known.count);
    uint32_t best = UINT32_MAX;
    for (uint32_t i = 0; i < search->conflicts.count; i++) {
        const struct conflict *one = &search->conflicts.at[i];
        if ((one->is_failure || is_covered) && has_conflict(search, one, words) &&
            (best == UINT32_MAX || one->branches < search->conflicts.at[best].branches)) {
            best = i;
        }
    }
    return best;
}

static bool names_place(const struct refusal *refusal, text place)
{
    for (uint32_t i = 0; i < refusal->place_count; i++) {
        if (text_equal(refusal->places[i].name, place)) {
            return true;
        }
    }
    return false;
}

/* A known conflict that is part of this one, and so prunes all that it would. */
static uint32_t same_or_less(const struct change_search *search,
                             const struct conflict *made)
{
    for (uint32_t i = 0; i < search->conflicts.count; i++) {
        const struct conflict *known = &search->conflicts.at[i];
        bool is_part = known->is_failure == made->is_failure;
        for (uint32_t k = 0; is_part && k < place_count(search); k++) {
            is_part = !known->in[k] || (made->in[k] && known->words[k] == made->words[k]);
        }
        if (is_part) {
            return i;
        }
    }
    return UINT32_MAX;
}

/* The conflict of a refusal that other sets share; its index, or UINT32_MAX when the
 * arena has failed. */
static uint32_t learn(struct change_search *search, const struct change_set *set,
                      const struct refusal *refusal)
{
    bool *in = ARENA_MANY(search->arena, place_count(search), bool);
    struct conflict made = {.words = set->words,
                            .in = in,
                            .is_failure = refusal->is_failure,
                            .refusal = refusal};
    for (uint32_t i = 0; in != NULL && i < place_count(search); i++) {
        const struct candidate_place *place = &search->candidates->places[i];
        in[i] = !place->is_quiet ||
                names_place(refusal, names_text(search->knowledge->names, place->place));
        made.branches += in[i] && set->words[i] == 0 ? place->count : 0;
    }
    const uint32_t known = in == NULL ? UINT32_MAX : same_or_less(search, &made);
    if (known != UINT32_MAX) {
        return known;
    }
    if (in == NULL || !ARRAY_PUSH(search->arena, &search->conflicts, made)) {
        (void)out_of_memory(search);
        return UINT32_MAX;
    }
    return search->conflicts.count - 1;
}

/* ---- growing */

/* The sets with one more change, in a place of a conflict; `in` NULL: anywhere. */
static bool grow(struct change_search *search, const struct change_set *set,
                 const bool *in)
{
    uint16_t *words =
        arena_copy(search->arena, set->words, place_count(search) * sizeof *set->words);
    if (words == NULL) {
        return out_of_memory(search);
    }
    for (uint32_t i = 0; i < place_count(search) && search->result == STATUS_OK; i++) {
        const uint32_t count = search->candidates->places[i].count;
        const bool is_open = set->words[i] == 0 && (in == NULL || in[i]);
        for (uint32_t k = 1; is_open && k <= count; k++) {
            words[i] = (uint16_t)k;
            (void)meet(search, words, set->size + 1);
        }
        words[i] = set->words[i];
    }
    return search->result == STATUS_OK;
}

/* ---- trying */

struct chunk {
    struct change_search *search;
    struct change_set sets[CHUNK];
    struct {
        struct arena *arena;
        struct swap_trial trial;
        struct effort effort;
        status result;
    } room[CHUNK];
    uint32_t count;
};

static void try_one(void *of, size_t i)
{
    struct chunk *chunk = of;
    const struct change_search *search = chunk->search;
    struct arena *arena = arena_beside(search->arena);
    chunk->room[i].arena = arena;
    struct worded_pair *changes =
        arena == NULL ? NULL : ARENA_MANY(arena, place_count(search), struct worded_pair);
    if (changes == NULL) {
        chunk->room[i].result = STATUS_NO_MEMORY;
        return;
    }
    const struct question question = change_question(search, &chunk->sets[i], changes);
    struct swap_limits limits = *search->limits;
    limits.effort = &chunk->room[i].effort;
    if (limits.spread != NULL) {
        limits.plans = NULL; /* they are one thread's */
    }
    chunk->room[i].result =
        swap_trial(arena, search->knowledge, &question, &limits, &chunk->room[i].trial);
}

/* Its parts' texts; what they cost lies in the knowledge. */
static void copy_parts(struct arena *arena, struct swap_trial *trial)
{
    struct set_part *kept = ARENA_MANY(arena, trial->part_count, struct set_part);
    for (uint32_t i = 0; kept != NULL && i < trial->part_count; i++) {
        kept[i] = trial->parts[i];
        kept[i].place = text_copy(arena, kept[i].place);
        kept[i].part = text_copy(arena, kept[i].part);
    }
    trial->parts = kept;
}

/* What is kept of a trial, out of the arena in which it was tried. */
static bool copy_trial(struct arena *arena, struct swap_trial *trial)
{
    struct refusal *kept = ARENA_MANY(arena, trial->refusal_count, struct refusal);
    for (uint32_t i = 0; kept != NULL && i < trial->refusal_count; i++) {
        const struct refusal *from = &trial->refusals[i];
        struct named_pair *places =
            ARENA_MANY(arena, from->place_count, struct named_pair);
        kept[i] = *from;
        kept[i].rule = text_copy(arena, from->rule);
        kept[i].sentence = text_copy(arena, from->sentence);
        kept[i].places = places;
        for (uint32_t k = 0; places != NULL && k < from->place_count; k++) {
            places[k].name = text_copy(arena, from->places[k].name);
            places[k].value = text_copy(arena, from->places[k].value);
        }
    }
    trial->refusals = kept;
    copy_parts(arena, trial);
    return arena_status(arena) == STATUS_OK;
}

static bool works(const struct swap_trial *trial)
{
    return trial->verdict == VERDICT_FITS || trial->verdict == VERDICT_FITS_WITH_WORK;
}

/* Learns the conflicts of a set just tried; the one that grows it least, or UINT32_MAX:
 * none that others share. Of a set that does not fit only failures count, as its refusals
 * are: what is not known besides could be reported of a larger set. */
static uint32_t learn_all(struct change_search *search, const struct tried_set *tried)
{
    uint32_t best = UINT32_MAX;
    for (uint32_t i = 0; i < tried->trial.refusal_count; i++) {
        const struct refusal *refusal = &tried->trial.refusals[i];
        const uint32_t made =
            refusal->holds_elsewhere ? learn(search, &tried->set, refusal) : UINT32_MAX;
        if (made != UINT32_MAX &&
            (best == UINT32_MAX ||
             search->conflicts.at[made].branches < search->conflicts.at[best].branches)) {
            best = made;
        }
    }
    return best;
}

static bool keep_tried(struct change_search *search, const struct tried_set *tried)
{
    const uint32_t index = search->sets.count;
    if (!ARRAY_PUSH(search->arena, &search->sets, *tried)) {
        return out_of_memory(search);
    }
    if (works(&tried->trial)) {
        return ARRAY_PUSH(search->arena, &search->works, index) || out_of_memory(search);
    }
    if (tried->trial.verdict == VERDICT_NOT_KNOWN &&
        !holds_any(search, tried->set.words, search->not_known.at,
                   search->not_known.count) &&
        !ARRAY_PUSH(search->arena, &search->not_known, index)) {
        return out_of_memory(search);
    }
    const uint32_t conflict =
        tried->is_tried ? learn_all(search, tried) : tried->conflict;
    return search->result == STATUS_OK &&
           (tried->set.size >= search->largest ||
            grow(search, &tried->set,
                 conflict == UINT32_MAX ? NULL : search->conflicts.at[conflict].in));
}

static bool take_result(struct change_search *search, struct chunk *chunk, uint32_t i)
{
    struct tried_set tried = {
        .set = chunk->sets[i], .trial = chunk->room[i].trial, .is_tried = true};
    if (chunk->room[i].result != STATUS_OK) {
        search->result = chunk->room[i].result;
        return false;
    }
    search->used_given |= tried.trial.used_given;
    return (copy_trial(search->arena, &tried.trial) || out_of_memory(search)) &&
           keep_tried(search, &tried);
}

static void try_chunk(struct change_search *search, struct chunk *chunk)
{
    const struct swap_limits *limits = search->limits;
    memset(chunk->room, 0, sizeof chunk->room);
    if (limits->spread != NULL) {
        limits->spread(limits->spread_context, chunk->count, try_one, chunk);
    } else {
        for (uint32_t i = 0; i < chunk->count; i++) {
            try_one(chunk, i);
        }
    }
    search->tried += chunk->count;
    bool is_well = true;
    for (uint32_t i = 0; i < chunk->count; i++) {
        is_well = is_well && take_result(search, chunk, i);
        effort_add(limits->effort, &chunk->room[i].effort);
        arena_close(chunk->room[i].arena);
    }
    chunk->count = 0;
}

/* ---- one size after the other */

static const struct tried_set *find_tried(const struct change_search *search,
                                          const uint16_t *words)
{
    for (uint32_t i = 0; i < search->sets.count; i++) {
        if (search->sets.at[i].is_tried &&
            same_words(search, search->sets.at[i].set.words, words)) {
            return &search->sets.at[i];
        }
    }
    return NULL;
}

/* Another search of the same question may have tried it. */
static const struct tried_set *find_earlier(const struct change_search *search,
                                            const uint16_t *words)
{
    const struct tried_set *found = NULL;
    for (; search != NULL && found == NULL; search = search->earlier) {
        found = find_tried(search, words);
    }
    return found;
}

/* Looks at a set: drops it, grows it by a conflict it holds, or puts it into the chunk.
 */
static void look_at(struct change_search *search, struct chunk *chunk,
                    const struct change_set *set)
{
    if (holds_any(search, set->words, search->works.at, search->works.count)) {
        return;
    }
    const uint32_t conflict = known_conflict(search, set->words);
    if (conflict != UINT32_MAX) {
        const struct tried_set passed = {.set = *set,
                                         .trial = {.verdict = VERDICT_DOES_NOT_FIT},
                                         .conflict = conflict};
        (void)keep_tried(search, &passed);
        return;
    }
    const struct tried_set *known =
        search->earlier == NULL ? NULL : find_earlier(search->earlier, set->words);
    if (known != NULL) {
        (void)keep_tried(search, known);
        return;
    }
    if (search->tried + chunk->count >= search->most) {
        search->is_cut = true;
        return;
    }
    chunk->sets[chunk->count++] = *set;
}

static int compare_sets(const void *a, const void *b)
{
    const struct change_set *left = a;
    const struct change_set *right = b;
    if (left->size != right->size) {
        return left->size < right->size ? -1 : 1;
    }
    /* A place that is left alone comes last, so that sets go by their first change. */
    for (uint32_t i = 0;; i++) {
        if (left->words[i] != right->words[i]) {
            const uint32_t one = left->words[i] == 0 ? UINT32_MAX : left->words[i];
            const uint32_t two = right->words[i] == 0 ? UINT32_MAX : right->words[i];
            return one < two ? -1 : 1;
        }
    }
}

static bool may_go_on(struct change_search *search, uint64_t waiting)
{
    const struct swap_limits *limits = search->limits;
    if (limits->progress != NULL) {
        limits->progress(limits->progress_context, search->before + search->tried,
                         waiting);
    }
    if (limits->go_on != NULL && !limits->go_on(limits->go_on_context)) {
        search->result = STATUS_STOPPED;
    }
    return search->result == STATUS_OK;
}

/* Sets of one size, which were met while those before were looked at: in an order that
 * depends on conflicts, so they are sorted first. */
static const struct change_set *sets_of_size(struct change_search *search, uint32_t from,
                                             uint32_t end)
{
    struct change_set *sets =
        arena_copy(search->arena, &search->met.at[from], (end - from) * sizeof *sets);
    if (sets == NULL) {
        (void)out_of_memory(search);
    } else if (end - from > 1) {
        qsort(sets, end - from, sizeof *sets, compare_sets);
    }
    return sets;
}

static void look_at_size(struct change_search *search, struct chunk *chunk, uint32_t from,
                         uint32_t end)
{
    const struct change_set *sets = sets_of_size(search, from, end);
    for (uint32_t i = 0; i < end - from && !search->is_cut && search->result == STATUS_OK;
         i++) {
        look_at(search, chunk, &sets[i]);
        search->is_cut = search->is_cut || search->met.count > LIMIT_SETS;
        if (chunk->count == CHUNK && may_go_on(search, end - from - i)) {
            try_chunk(search, chunk);
        }
    }
    if (chunk->count > 0 && may_go_on(search, chunk->count)) {
        try_chunk(search, chunk);
    }
}

status change_search_run(struct change_search *search)
{
    struct chunk *chunk = ARENA_NEW(search->arena, struct chunk);
    uint32_t size = 0;
    for (uint32_t i = 0; i < place_count(search); i++) {
        size += search->goal[i] != 0 ? 1 : 0;
    }
    if (chunk == NULL || !meet(search, search->goal, size)) {
        return arena_status(search->arena);
    }
    chunk->search = search;
    for (uint32_t from = 0;
         from < search->met.count && !search->is_cut && search->result == STATUS_OK;) {
        const uint32_t end = search->met.count;
        look_at_size(search, chunk, from, end);
        from = end;
    }
    TRY(search->result);
    return arena_status(search->arena);
}

bool change_search_refusal(const struct change_search *search, const uint16_t *words,
                           struct set_refusal *out)
{
    const struct tried_set *tried = find_tried(search, words);
    *out = (struct set_refusal){0};
    if (tried != NULL) {
        out->verdict = tried->trial.verdict;
        out->is_tried = true;
        out->refusal = tried->trial.refusal_count == 0 ? NULL : tried->trial.refusals;
    }
    for (uint32_t i = 0; out->refusal == NULL && i < search->conflicts.count; i++) {
        const struct conflict *one = &search->conflicts.at[i];
        if (has_conflict(search, one, words)) {
            out->verdict = one->is_failure ? VERDICT_DOES_NOT_FIT : VERDICT_NOT_KNOWN;
            out->refusal = one->refusal;
        }
    }
    return out->refusal != NULL;
}
