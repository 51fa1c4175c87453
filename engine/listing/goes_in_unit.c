/* SPDX-License-Identifier: MIT */
/* Whether parts go into a unit: a swap into the places that they could fill. */
#include "goes_in_unit.h"

#include "swap_trial.h"

enum {
    MOST_CHANGED = 8 /* parts of a set that are tried together */
};

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

/* "it does not fit", "together they fit" */
static const char *going_words(enum going going, enum verdict verdict, uint32_t count)
{
    return count == 1
               ? going == GOES_UNKNOWN ? "is not known to fit" : verdict_word(verdict)
           : going == GOES_UNKNOWN ? "are not known to fit"
           : going == GOES_NOT     ? "do not fit"
                                   : "fit";
}

/* What a swap of all changes says of the unit, unless what was found before says more. */
static status try_changes(struct lister *lister, struct arena *words,
                          const struct recipe *unit, const struct worded_pair *changes,
                          uint32_t count, struct stretch_of_years *out)
{
    const struct knowledge *knowledge = lister->bench->knowledge;
    const text unit_name = names_text(knowledge->names, unit->name);
    const struct question question = {
        .unit = unit_name, .changes = changes, .change_count = count};
    struct swap_trial trial = {0};
    struct arena *arena = arena_open_beside(lister->arena);
    if (arena == NULL) {
        return STATUS_NO_MEMORY;
    }
    goes_on_count(lister);
    const status result =
        swap_trial(arena, knowledge, &question, &lister->options.limits, &trial);
    const enum going going = trial.is_fault || trial.verdict == VERDICT_DOES_NOT_FIT
                                 ? GOES_NOT
                             : trial.verdict == VERDICT_NOT_KNOWN ? GOES_UNKNOWN
                                                                  : GOES;
    const text reason = trial.refusal_count > 0 ? trial.refusals[0].sentence : TEXT("");
    if (result == STATUS_OK && (out->why.length == 0 || going == GOES ||
                                (going == GOES_UNKNOWN && out->going == GOES_NOT))) {
        text places = {"", 0};
        text swaps = {"", 0};
        for (uint32_t i = 0; i < count; i++) {
            places = text_format(words, "%.*s%s%.*s", TEXT_ARG(places),
                                 i == 0          ? ""
                                 : i + 1 < count ? ", "
                                                 : " and ",
                                 TEXT_ARG(changes[i].name));
            swaps = text_format(words, "%.*s %.*s=%.*s", TEXT_ARG(swaps),
                                TEXT_ARG(changes[i].name), TEXT_ARG(changes[i].value));
        }
        out->going = going;
        out->question = text_format(words, "whyfit swap %.*s%.*s", TEXT_ARG(unit_name),
                                    TEXT_ARG(swaps));
        out->why = text_format(words, "as %.*s of %.*s %s %s%s%.*s", TEXT_ARG(places),
                               TEXT_ARG(unit_name), count == 1 ? "it" : "together they",
                               going_words(going, trial.verdict, count),
                               trial.refusal_count > 0 ? ": " : "", TEXT_ARG(reason));
    }
    arena_close(arena);
    return result == STATUS_OK ? arena_status(words) : result;
}

/* Where a unit has a part itself; NULL: nowhere. */
static const struct filling *place_with(const struct recipe *unit,
                                        const struct part *part)
{
    for (uint32_t i = 0; i < unit->place_count; i++) {
        if (unit->places[i].with == part->name) {
            return &unit->places[i];
        }
    }
    return NULL;
}

static struct worded_pair change_of(const struct knowledge *knowledge,
                                    const struct filling *place, const struct part *part)
{
    return (struct worded_pair){.name = names_text(knowledge->names, place->place),
                                .value = names_text(knowledge->names, part->name)};
}

/* One part, in every place that it could fill. */
static status try_places(struct lister *lister, struct arena *words,
                         const struct recipe *unit, const struct part *part,
                         struct stretch_of_years *out)
{
    const struct knowledge *knowledge = lister->bench->knowledge;
    for (uint32_t i = 0; i < unit->place_count; i++) {
        if (could_fill(knowledge, &unit->places[i], part)) {
            const struct worded_pair change =
                change_of(knowledge, &unit->places[i], part);
            TRY(try_changes(lister, words, unit, &change, 1, out));
        }
    }
    return STATUS_OK;
}

/* Several parts, each in the first place that it could fill and none before it takes. */
static status try_together(struct lister *lister, struct arena *words,
                           const struct recipe *unit, const struct part *const *parts,
                           uint32_t count, struct stretch_of_years *out)
{
    const struct knowledge *knowledge = lister->bench->knowledge;
    struct worded_pair changes[MOST_CHANGED];
    for (uint32_t p = 0; p < count; p++) {
        bool is_placed = false;
        for (uint32_t i = 0; !is_placed && i < unit->place_count; i++) {
            changes[p] = change_of(knowledge, &unit->places[i], parts[p]);
            is_placed = could_fill(knowledge, &unit->places[i], parts[p]);
            for (uint32_t k = 0; is_placed && k < p; k++) {
                is_placed = !text_equal(changes[k].name, changes[p].name);
            }
        }
        if (!is_placed) {
            return STATUS_OK;
        }
    }
    return try_changes(lister, words, unit, changes, count, out);
}

status goes_in_unit(struct lister *lister, struct arena *arena, const struct recipe *unit,
                    const uint32_t *parts, uint32_t count, struct stretch_of_years *out)
{
    const struct knowledge *knowledge = lister->bench->knowledge;
    const text unit_name = names_text(knowledge->names, unit->name);
    const struct part *new[MOST_CHANGED]; /* those that it does not have */
    uint32_t new_count = 0;
    out->going = GOES_UNKNOWN;
    for (uint32_t p = 0; p < count; p++) {
        const struct part *part = &knowledge->parts[parts[p]];
        const struct filling *place = place_with(unit, part);
        if (place == NULL && new_count < MOST_CHANGED) {
            new[new_count++] = part;
        } else if (place != NULL && count == 1) {
            const text name = names_text(knowledge->names, place->place);
            out->why = text_format(arena, "%.*s has it as its %.*s", TEXT_ARG(unit_name),
                                   TEXT_ARG(name));
        }
    }
    if (new_count == 0) {
        out->going = GOES;
        if (count > 1) {
            out->why = text_format(arena, "%.*s has them all", TEXT_ARG(unit_name));
        }
        return arena_status(arena);
    }
    TRY(new_count == 1 ? try_places(lister, arena, unit, new[0], out)
                       : try_together(lister, arena, unit, new, new_count, out));
    if (out->why.length == 0) {
        out->why = text_format(arena, "%.*s has no place for %s", TEXT_ARG(unit_name),
                               count == 1 ? "one" : "them all");
    }
    return arena_status(arena);
}
