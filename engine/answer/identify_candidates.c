/* SPDX-License-Identifier: MIT */
/*
 * What a question may be about: all parts and units of a kind, all units, or what a name
 * or number means. Somebody's own pieces and machines are no candidates: they are what is
 * identified.
 */
#include "identify_private.h"
#include "typed_name.h"

#include <stdlib.h>

static text name_text(const struct identifying *identifying, name_id name)
{
    return names_text(identifying->names, name);
}

bool kinds_meet(const struct vocabulary *vocabulary, name_id a, name_id b)
{
    const struct kind *left = vocabulary_kind(vocabulary, a);
    const struct kind *right = vocabulary_kind(vocabulary, b);
    return a == b || (left != NULL && kind_is(vocabulary, left, b)) ||
           (right != NULL && kind_is(vocabulary, right, a));
}

static bool add_part(struct identifying *identifying, const struct part *part)
{
    const struct found found = {
        .part = part,
        .shown = {.name = name_text(identifying, part->name),
                  .title = part->title,
                  .kind = name_text(identifying, part->kind->name),
                  .number = part->number,
                  .superseded_by = name_text(identifying, part->superseded_by),
                  .hinted = HINTED_NOT}};
    return part->like != NAME_NONE ||
           ARRAY_PUSH(identifying->arena, &identifying->found, found);
}

static bool is_own_machine(const struct knowledge *knowledge, const struct recipe *recipe)
{
    for (uint32_t i = 0; i < recipe->place_count; i++) {
        const struct part *part = knowledge_part(knowledge, recipe->places[i].with);
        if (part != NULL && part->like != NAME_NONE) {
            return true;
        }
    }
    return false;
}

static bool add_unit(struct identifying *identifying, const struct recipe *recipe)
{
    const struct found found = {.recipe = recipe,
                                .shown = {.name = name_text(identifying, recipe->name),
                                          .title = recipe->title,
                                          .kind = name_text(identifying, recipe->kind),
                                          .is_unit = true,
                                          .hinted = HINTED_NOT}};
    identifying->made->is_of_units = true;
    return is_own_machine(identifying->knowledge, recipe) ||
           ARRAY_PUSH(identifying->arena, &identifying->found, found);
}

/* All of a kind, or of one that is it. NULL: units of any kind. */
static bool add_kind(struct identifying *identifying, const struct kind *kind)
{
    const struct knowledge *knowledge = identifying->knowledge;
    const struct vocabulary *vocabulary = knowledge->vocabulary;
    bool is_pushed = true;
    for (uint32_t i = 0; kind != NULL && i < knowledge->part_count; i++) {
        const struct part *part = &knowledge->parts[i];
        if (kind_is(vocabulary, part->kind, kind->name)) {
            is_pushed = is_pushed && add_part(identifying, part);
        }
    }
    for (uint32_t i = 0; i < knowledge->recipe_count; i++) {
        const struct recipe *recipe = &knowledge->recipes[i];
        const struct kind *own = vocabulary_kind(vocabulary, recipe->kind);
        if (kind == NULL || (own != NULL && kind_is(vocabulary, own, kind->name))) {
            is_pushed = is_pushed && add_unit(identifying, recipe);
        }
    }
    return is_pushed;
}

static const struct kind *find_kind(const struct identifying *identifying, text word)
{
    const struct vocabulary *vocabulary = identifying->knowledge->vocabulary;
    const name_id name = names_find(identifying->knowledge->names, word);
    const struct kind *exact =
        name == NAME_NONE ? NULL : vocabulary_kind(vocabulary, name);
    const text folded = typed_folded(identifying->arena, word);
    for (uint32_t i = 0; exact == NULL && i < vocabulary->kind_count; i++) {
        const text kind = name_text(identifying, vocabulary->kinds[i].name);
        if (text_equal(typed_folded(identifying->arena, kind), folded)) {
            return &vocabulary->kinds[i];
        }
    }
    return exact;
}

static status fault(const struct identifying *identifying)
{
    const struct knowledge *knowledge = identifying->knowledge;
    const text word = identifying->question->of;
    struct nearest near = nearest_to(word);
    for (uint32_t i = 0; i < knowledge->vocabulary->kind_count; i++) {
        nearest_offer(&near,
                      name_text(identifying, knowledge->vocabulary->kinds[i].name));
    }
    nearest_offer(&near, TEXT("units"));
    struct diagnostic *report = diagnostics_report(
        identifying->diagnostics, CODE_NAME_UNKNOWN, identifying->question->of_where,
        "no kind, part, unit or number is called \"%.*s\"", TEXT_ARG(word));
    report->expected =
        TEXT("a kind of part or unit, `units`, a part, a unit or a number");
    report->nearest = near.best.length > 0
                          ? near.best
                          : typed_nearest(identifying->arena, knowledge, word, TYPED_ANY);
    return STATUS_INVALID;
}

bool identify_typed(struct identifying *identifying, const struct typed_match *matches,
                    uint32_t count)
{
    bool is_pushed = true;
    for (uint32_t i = 0; i < count; i++) {
        is_pushed = is_pushed &&
                    (matches[i].part != NULL ? add_part(identifying, matches[i].part)
                                             : add_unit(identifying, matches[i].recipe));
    }
    return is_pushed;
}

static int compare_found(const void *a, const void *b)
{
    return text_compare(((const struct found *)a)->shown.name,
                        ((const struct found *)b)->shown.name);
}

status identify_candidates(struct identifying *identifying)
{
    const text word = identifying->question->of;
    const struct kind *kind = find_kind(identifying, word);
    const bool is_units = kind == NULL && text_is(word, "units");
    const struct typed_match *matches = NULL;
    uint32_t count = 0;
    if (kind == NULL && !is_units) {
        TRY(typed_find(identifying->arena, identifying->knowledge, word, TYPED_ANY,
                       &matches, &count));
    }
    if (kind == NULL && !is_units && count == 0) {
        return fault(identifying);
    }
    const bool is_added = kind != NULL || is_units
                              ? add_kind(identifying, kind)
                              : identify_typed(identifying, matches, count);
    if (is_added && identifying->found.count > 1) {
        qsort(identifying->found.at, identifying->found.count,
              sizeof *identifying->found.at, compare_found);
    }
    return arena_status(identifying->arena);
}
