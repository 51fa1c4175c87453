/* SPDX-License-Identifier: MIT */
/* What a swap says of a part and the units of a model, remembered by part and model. */
#include "goes_on.h"

#include "array.h"
#include "swap_trial.h"

#include <stdlib.h>

enum {
    FIRST_SLOTS = 1 << 12,
    MOST_REMEMBERED = 1 << 17 /* when a listing begins: then all is forgotten */
};

struct remembered {
    uint32_t part;
    uint32_t model;
    bool is_set;
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

static struct remembered *find_slot(struct remembered *slots, uint32_t count,
                                    uint32_t part, uint32_t model)
{
    uint32_t at = (part * 2654435761u ^ model * 40503u) & (count - 1);
    while (slots[at].is_set && (slots[at].part != part || slots[at].model != model)) {
        at = (at + 1) & (count - 1);
    }
    return &slots[at];
}

/* The slot of a pair; NULL: no memory. */
static struct remembered *slot_of(struct goes_on_memory *memory, uint32_t part,
                                  uint32_t model)
{
    if (2 * memory->count >= memory->slot_count) {
        const uint32_t more = 2 * memory->slot_count;
        struct remembered *slots = ARENA_MANY(memory->arena, more, struct remembered);
        if (slots == NULL) {
            return NULL;
        }
        for (uint32_t i = 0; i < memory->slot_count; i++) {
            const struct remembered *old = &memory->slots[i];
            if (old->is_set) {
                *find_slot(slots, more, old->part, old->model) = *old;
            }
        }
        memory->slots = slots;
        memory->slot_count = more;
    }
    return find_slot(memory->slots, memory->slot_count, part, model);
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

/* ---- judging a unit */

static const struct kind *topmost(const struct vocabulary *vocabulary,
                                  const struct kind *kind)
{
    while (kind->parent != 0) {
        kind = &vocabulary->kinds[kind->parent - 1];
    }
    return kind;
}

/* Whether a part could fill a place: what is there is of its family, or it fills a place
 * of that name in some unit. */
static bool could_fill(const struct knowledge *knowledge, const struct filling *place,
                       const struct part *part)
{
    const struct part *there = knowledge_part(knowledge, place->with);
    if (there != NULL && topmost(knowledge->vocabulary, there->kind) ==
                             topmost(knowledge->vocabulary, part->kind)) {
        return true;
    }
    for (uint32_t i = 0; i < knowledge->recipe_count; i++) {
        const struct recipe *unit = &knowledge->recipes[i];
        for (uint32_t k = 0; k < unit->place_count; k++) {
            if (unit->places[k].with == part->name &&
                unit->places[k].place == place->place) {
                return true;
            }
        }
    }
    return false;
}

/* One place of a unit that a part of this kind could fill. */
static status try_place(struct lister *lister, const struct recipe *unit,
                        const struct filling *place, const struct part *part,
                        struct stretch_of_years *out)
{
    const struct knowledge *knowledge = lister->bench->knowledge;
    const text place_name = names_text(knowledge->names, place->place);
    const text unit_name = names_text(knowledge->names, unit->name);
    const struct worded_pair change = {.name = place_name,
                                       .value = names_text(knowledge->names, part->name)};
    const struct question question = {
        .unit = unit_name, .changes = &change, .change_count = 1};
    struct swap_trial trial = {0};
    struct arena *arena = arena_open_beside(lister->arena);
    struct goes_on_memory *memory = lister->memory;
    if (arena == NULL) {
        return STATUS_NO_MEMORY;
    }
    memory->counts.judged++;
    const status result =
        swap_trial(arena, knowledge, &question, &lister->options.limits, &trial);
    const enum going going = trial.is_fault || trial.verdict == VERDICT_DOES_NOT_FIT
                                 ? GOES_NOT
                             : trial.verdict == VERDICT_NOT_KNOWN ? GOES_UNKNOWN
                                                                  : GOES;
    const text reason = trial.refusal_count > 0 ? trial.refusals[0].sentence : TEXT("");
    if (result == STATUS_OK && (out->why.length == 0 || going == GOES ||
                                (going == GOES_UNKNOWN && out->going == GOES_NOT))) {
        out->going = going;
        out->question =
            text_format(memory->arena, "whyfit swap %.*s %.*s=%.*s", TEXT_ARG(unit_name),
                        TEXT_ARG(place_name), TEXT_ARG(change.value));
        out->why = text_format(memory->arena, "as %.*s of %.*s it %s%s%.*s",
                               TEXT_ARG(place_name), TEXT_ARG(unit_name),
                               going == GOES_UNKNOWN ? "is not known to fit"
                                                     : verdict_word(trial.verdict),
                               trial.refusal_count > 0 ? ": " : "", TEXT_ARG(reason));
    }
    arena_close(arena);
    return result == STATUS_OK ? arena_status(memory->arena) : result;
}

static status judge_unit(struct lister *lister, const struct recipe *unit,
                         const struct part *part, struct stretch_of_years *out)
{
    const struct knowledge *knowledge = lister->bench->knowledge;
    const text unit_name = names_text(knowledge->names, unit->name);
    struct arena *arena = lister->memory->arena;
    out->going = GOES_UNKNOWN;
    for (uint32_t i = 0; i < unit->place_count; i++) {
        if (unit->places[i].with == part->name) {
            const text place = names_text(knowledge->names, unit->places[i].place);
            out->going = GOES;
            out->why = text_format(arena, "%.*s has it as its %.*s", TEXT_ARG(unit_name),
                                   TEXT_ARG(place));
            return arena_status(arena);
        }
    }
    for (uint32_t i = 0; i < unit->place_count; i++) {
        if (could_fill(knowledge, &unit->places[i], part)) {
            TRY(try_place(lister, unit, &unit->places[i], part, out));
        }
    }
    if (out->why.length == 0) {
        out->why = text_format(arena, "%.*s has no place for one", TEXT_ARG(unit_name));
    }
    return arena_status(arena);
}

typedef ARRAY_OF(struct stretch_of_years) stretches;

static status by_units(struct lister *lister, const struct part *part, uint32_t model,
                       stretches *out)
{
    const struct part_shows *shows = lister->bench->shows;
    for (uint32_t i = 0; i < shows->built_count; i++) {
        const struct built *built = &shows->built[i];
        if (built->model != model) {
            continue;
        }
        struct stretch_of_years one = {.from = built->from, .to = built->to};
        TRY(judge_unit(lister, built->unit, part, &one));
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

static status by_lists(struct lister *lister, const struct part *part, uint32_t model,
                       stretches *out)
{
    const struct part_shows *shows = lister->bench->shows;
    const uint32_t index = (uint32_t)(part - lister->bench->knowledge->parts);
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

status goes_on(struct lister *lister, uint32_t part, uint32_t model, struct going_on *out)
{
    struct goes_on_memory *memory = lister->memory;
    const struct part *of = &lister->bench->knowledge->parts[part];
    memory->counts.asked++;
    struct remembered *slot = slot_of(memory, part, model);
    if (slot == NULL) {
        return STATUS_NO_MEMORY;
    }
    if (lister->options.forgets && slot->is_set) {
        slot->is_set = false; /* what it holds stays until the memory is full */
    }
    if (!slot->is_set) {
        stretches list = {0};
        TRY(by_units(lister, of, model, &list));
        if (list.count == 0) {
            TRY(by_lists(lister, of, model, &list));
        }
        *slot = (struct remembered){part, model, true, {list.at, list.count}};
        memory->count++;
    }
    *out = slot->going;
    return STATUS_OK;
}
