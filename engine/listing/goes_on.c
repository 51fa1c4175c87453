/* SPDX-License-Identifier: MIT */
/* What a swap says of parts and the units of a model, remembered by parts and model. */
#include "goes_on.h"

#include "array.h"
#include "goes_in_unit.h"

#include <string.h>

enum {
    FIRST_SLOTS = 1 << 12,
    MOST_REMEMBERED = 1 << 17 /* when a listing begins: then all is forgotten */
};

struct remembered {
    const uint32_t *parts; /* sorted; NULL: the slot is empty */
    uint32_t count;
    uint32_t model;
    struct going_on going;
};

struct goes_on_memory {
    struct arena *arena; /* of what is remembered; opened anew when it is full */
    struct arena *above;
    struct remembered *slots;
    uint32_t slot_count; /* a power of two, at least twice as many as are used */
    uint32_t count;
    struct lister_counts counts;
};

/* Empty slots in an arena of their own. */
static bool start_anew(struct goes_on_memory *memory)
{
    memory->arena = arena_open_beside(memory->above);
    memory->slots = memory->arena == NULL
                        ? NULL
                        : ARENA_MANY(memory->arena, FIRST_SLOTS, struct remembered);
    memory->slot_count = FIRST_SLOTS;
    memory->count = 0;
    return memory->slots != NULL;
}

struct goes_on_memory *goes_on_memory_open(struct arena *arena)
{
    struct goes_on_memory *memory = ARENA_NEW(arena, struct goes_on_memory);
    if (memory == NULL) {
        return NULL;
    }
    memory->above = arena;
    return start_anew(memory) ? memory : NULL;
}

void goes_on_memory_close(struct goes_on_memory *memory)
{
    if (memory != NULL) {
        arena_close(memory->arena);
    }
}

struct lister_counts lister_counted(const struct lister *lister)
{
    return lister->memory->counts;
}

void goes_on_count(struct lister *lister)
{
    lister->memory->counts.judged++;
}

static bool is_it(const struct remembered *slot, const uint32_t *parts, uint32_t count,
                  uint32_t model)
{
    return slot->model == model && slot->count == count &&
           memcmp(slot->parts, parts, count * sizeof *parts) == 0;
}

static struct remembered *find_slot(struct remembered *slots, uint32_t slot_count,
                                    const uint32_t *parts, uint32_t count, uint32_t model)
{
    uint32_t at = model * 40503u;
    for (uint32_t i = 0; i < count; i++) {
        at = (at ^ parts[i]) * 2654435761u;
    }
    at = (at ^ (at >> 16)) & (slot_count - 1);
    while (slots[at].parts != NULL && !is_it(&slots[at], parts, count, model)) {
        at = (at + 1) & (slot_count - 1);
    }
    return &slots[at];
}

/* The slot of parts and a model; NULL: no memory. */
static struct remembered *slot_of(struct goes_on_memory *memory, const uint32_t *parts,
                                  uint32_t count, uint32_t model)
{
    if (2 * memory->count >= memory->slot_count) {
        const uint32_t more = 2 * memory->slot_count;
        struct remembered *slots = ARENA_MANY(memory->arena, more, struct remembered);
        if (slots == NULL) {
            return NULL;
        }
        for (uint32_t i = 0; i < memory->slot_count; i++) {
            const struct remembered *old = &memory->slots[i];
            if (old->parts != NULL) {
                *find_slot(slots, more, old->parts, old->count, old->model) = *old;
            }
        }
        memory->slots = slots;
        memory->slot_count = more;
    }
    return find_slot(memory->slots, memory->slot_count, parts, count, model);
}

bool goes_in(const struct going_on *going, int year)
{
    for (uint32_t i = 0; i < going->count; i++) {
        const struct stretch_of_years *one = &going->at[i];
        if (one->going == GOES && year >= one->from && year <= one->to) {
            return true;
        }
    }
    return false;
}

int going_next(const struct going_on *going, uint32_t count, int year)
{
    int next = LAST_YEAR + 1;
    for (uint32_t m = 0; m < count; m++) {
        for (uint32_t i = 0; i < going[m].count; i++) {
            const int ends[2] = {going[m].at[i].from, going[m].at[i].to + 1};
            for (int e = 0; e < 2; e++) {
                next = ends[e] > year && ends[e] < next ? ends[e] : next;
            }
        }
    }
    return next;
}

status goes_on_start(struct lister *lister)
{
    struct goes_on_memory *memory = lister->memory;
    if (memory->count < MOST_REMEMBERED) {
        return STATUS_OK;
    }
    arena_close(memory->arena);
    return start_anew(memory) ? STATUS_OK : STATUS_NO_MEMORY;
}

/* ---- judging */

typedef ARRAY_OF(struct stretch_of_years) stretches;

static status by_units(struct lister *lister, const uint32_t *parts, uint32_t count,
                       uint32_t model, stretches *out)
{
    const struct part_shows *shows = lister->bench->shows;
    for (uint32_t i = 0; i < shows->built_count; i++) {
        const struct built *built = &shows->built[i];
        if (built->model != model) {
            continue;
        }
        struct stretch_of_years one = {.from = built->from, .to = built->to};
        TRY(goes_in_unit(lister, lister->memory->arena, built->unit, parts, count, &one));
        if (!ARRAY_PUSH(lister->memory->arena, out, one)) {
            return arena_status(lister->memory->arena);
        }
    }
    return STATUS_OK;
}

/* The years in which any part is listed for a model: outside of them it is taken not to
 * have been built. */
static void listed_years(const struct part_shows *shows, uint32_t model, int *from,
                         int *to)
{
    *from = LAST_YEAR;
    *to = FIRST_YEAR;
    for (uint32_t i = 0; i < shows->fitment_count; i++) {
        const struct built *one = &shows->fitments[i];
        if (one->model == model) {
            *from = one->from < *from ? one->from : *from;
            *to = one->to > *to ? one->to : *to;
        }
    }
}

static status push_years(struct lister *lister, stretches *out, int from, int to,
                         enum going going, const char *why)
{
    const struct stretch_of_years one = {
        .from = from,
        .to = to,
        .going = going,
        .why = text_format(lister->memory->arena, "%s", why)};
    return from > to || ARRAY_PUSH(lister->memory->arena, out, one)
               ? arena_status(lister->memory->arena)
               : STATUS_NO_MEMORY;
}

static status by_lists(struct lister *lister, uint32_t index, uint32_t model,
                       stretches *out)
{
    const struct part_shows *shows = lister->bench->shows;
    bool is_listed = false;
    int first = 0;
    int last = 0;
    listed_years(shows, model, &first, &last);
    int next = first;
    for (uint32_t i = 0; i < shows->fitment_count; i++) {
        const struct built *one = &shows->fitments[i];
        is_listed = is_listed || one->part == index;
        if (one->part != index || one->model != model) {
            continue;
        }
        TRY(push_years(lister, out, next, one->from - 1, GOES_NOT,
                       "it is listed for other years"));
        TRY(push_years(lister, out, one->from, one->to, GOES, "it is listed for it"));
        next = one->to + 1;
    }
    return push_years(lister, out, next, last, is_listed ? GOES_NOT : GOES_UNKNOWN,
                      !is_listed      ? "nobody lists what it is for"
                      : next == first ? "it is listed for other models only"
                                      : "it is listed for other years");
}

/* Of what is listed part by part nobody can tell how it goes together. */
static status judge_model(struct lister *lister, const uint32_t *parts, uint32_t count,
                          uint32_t model, struct going_on *out)
{
    stretches list = {0};
    TRY(by_units(lister, parts, count, model, &list));
    if (list.count == 0 && count == 1) {
        TRY(by_lists(lister, parts[0], model, &list));
    }
    *out = (struct going_on){list.at, list.count};
    return STATUS_OK;
}

status goes_on(struct lister *lister, const uint32_t *parts, uint32_t count,
               uint32_t model, struct going_on *out)
{
    struct goes_on_memory *memory = lister->memory;
    memory->counts.asked++;
    struct remembered *slot = slot_of(memory, parts, count, model);
    if (slot == NULL) {
        return STATUS_NO_MEMORY;
    }
    if (slot->parts == NULL || lister->options.forgets) {
        /* what a forgetful one held stays until the memory is full */
        const uint32_t *kept =
            slot->parts != NULL ? slot->parts
                                : arena_copy(memory->arena, parts, count * sizeof *parts);
        struct going_on going;
        TRY(arena_status(memory->arena));
        TRY(judge_model(lister, parts, count, model, &going));
        *slot = (struct remembered){kept, count, model, going};
        memory->count++;
        memory->counts.found++;
    }
    *out = slot->going;
    return STATUS_OK;
}
