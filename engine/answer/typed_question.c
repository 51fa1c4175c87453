/* SPDX-License-Identifier: MIT */
/* From the names that people type in a question to those of parts and units. */
#include "typed_question.h"

#include "array.h"
#include "could_stand.h"
#include "identify.h"
#include "typed_name.h"

enum {
    CHOICES_SHOWN = 8
};

struct typing {
    struct arena *arena;
    const struct knowledge *knowledge;
    struct diagnostics *diagnostics;
    ARRAY_OF(text) read;
    bool is_wrong;
};

/* ---- what means several */

static text choice_text(struct arena *arena, const struct knowledge *knowledge,
                        const struct typed_match *match, text tells)
{
    const text title = match->part != NULL ? match->part->title : match->recipe->title;
    return text_format(arena, "%.*s%s%.*s%s%.*s",
                       TEXT_ARG(typed_match_name(knowledge, match)),
                       title.length > 0 ? ", " : "", TEXT_ARG(title),
                       tells.length > 0 ? "; " : "", TEXT_ARG(tells));
}

/* Reports that a typed name means several. */
static status report_several(const struct typing *typing, text typed, span where,
                             const struct typed_match *matches, uint32_t count)
{
    struct arena *arena = diagnostics_arena(typing->diagnostics);
    const uint32_t shown = count < CHOICES_SHOWN ? count : CHOICES_SHOWN;
    text *choices = ARENA_MANY(arena, (size_t)shown + 1, text);
    const text *tells = NULL;
    TRY(arena_status(arena));
    TRY(identify_apart(typing->arena, typing->knowledge, matches, count,
                       typing->diagnostics, &tells));
    for (uint32_t i = 0; i < shown; i++) {
        choices[i] = choice_text(arena, typing->knowledge, &matches[i], tells[i]);
    }
    if (count > shown) {
        choices[shown] = text_format(arena, "… and %u more", count - shown);
    }
    struct diagnostic *report =
        diagnostics_report(typing->diagnostics, CODE_NAME_AMBIGUOUS, where,
                           "\"%.*s\" may mean any of %u", TEXT_ARG(typed), count);
    report->expected = TEXT("the name of one of them");
    report->choices = choices;
    report->choice_count = count > shown ? shown + 1 : shown;
    return arena_status(arena);
}

/* ---- one name */

/* Keeps those of the family of what stands in the place, where there are any. */
static status keep_family(const struct typing *typing, name_id stands,
                          const struct typed_match **matches, uint32_t *count)
{
    const struct knowledge *knowledge = typing->knowledge;
    struct typed_match *kept = ARENA_MANY(typing->arena, *count, struct typed_match);
    uint32_t kept_count = 0;
    TRY(arena_status(typing->arena));
    for (uint32_t i = 0; i < *count; i++) {
        const struct typed_match *one = &(*matches)[i];
        const name_id name = one->part != NULL ? one->part->name : one->recipe->name;
        if (same_family(knowledge, stands, name)) {
            kept[kept_count++] = *one;
        }
    }
    if (kept_count > 0) {
        *matches = kept;
        *count = kept_count;
    }
    return STATUS_OK;
}

/* Puts the name in place of what was typed; `stands` is what the place holds. */
static status read_name(struct typing *typing, enum typed_wanted wanted, name_id stands,
                        span where, text *typed)
{
    const struct typed_match *matches = NULL;
    uint32_t count = 0;
    TRY(typed_find(typing->arena, typing->knowledge, *typed, wanted, &matches, &count));
    if (count > 1 && stands != NAME_NONE) {
        TRY(keep_family(typing, stands, &matches, &count));
    }
    if (count > 1) {
        typing->is_wrong = true;
        return report_several(typing, *typed, where, matches, count);
    }
    const text name =
        count == 0 ? *typed : typed_match_name(typing->knowledge, &matches[0]);
    if (!text_equal(name, *typed) &&
        !ARRAY_PUSH(typing->arena, &typing->read,
                    text_format(typing->arena, "%.*s was read as %.*s", TEXT_ARG(*typed),
                                TEXT_ARG(name)))) {
        return arena_status(typing->arena);
    }
    *typed = name;
    return STATUS_OK;
}

/* ---- all of a question's */

static bool is_word_of_change(text value)
{
    return text_is(value, "none") || text_is(value, "turned") ||
           text_is(value, "another");
}

/* What stands in the first of the places that a change names; NAME_NONE: nothing. */
static name_id stands_in(const struct typing *typing, text unit, text place)
{
    const struct knowledge *knowledge = typing->knowledge;
    const name_id name = names_find(knowledge->names, unit);
    const struct recipe *recipe =
        name == NAME_NONE ? NULL : knowledge_recipe(knowledge, name);
    const name_id first = names_find(
        knowledge->names, text_trim(text_slice(place, 0, text_find(place, '+', 0))));
    const struct filling *filling =
        recipe == NULL || first == NAME_NONE ? NULL : recipe_place(recipe, first);
    return filling == NULL ? NAME_NONE : filling->with;
}

static status read_pairs(struct typing *typing, text unit, uint32_t count,
                         const struct worded_pair **pairs)
{
    struct worded_pair *read = ARENA_MANY(typing->arena, count, struct worded_pair);
    TRY(arena_status(typing->arena));
    for (uint32_t i = 0; i < count; i++) {
        read[i] = (*pairs)[i];
        if (!is_word_of_change(read[i].value)) {
            TRY(read_name(typing, TYPED_ANY, stands_in(typing, unit, read[i].name),
                          read[i].where, &read[i].value));
        }
    }
    *pairs = read;
    return STATUS_OK;
}

static status read_have(struct typing *typing, struct question *question)
{
    struct worded_text *read =
        ARENA_MANY(typing->arena, question->have_count, struct worded_text);
    TRY(arena_status(typing->arena));
    for (uint32_t i = 0; i < question->have_count; i++) {
        read[i] = question->have[i];
        TRY(read_name(typing, TYPED_ANY, NAME_NONE, read[i].where, &read[i].word));
    }
    question->have = read;
    return STATUS_OK;
}

status typed_question(struct arena *arena, const struct knowledge *knowledge,
                      struct question *question, struct diagnostics *diagnostics,
                      struct typed_names *out)
{
    struct typing typing = {
        .arena = arena, .knowledge = knowledge, .diagnostics = diagnostics};
    TRY(read_name(&typing, TYPED_UNIT, NAME_NONE, question->unit_where, &question->unit));
    TRY(read_name(&typing, TYPED_UNIT, NAME_NONE, question->toward_where,
                  &question->toward));
    TRY(read_pairs(&typing, question->unit, question->change_count, &question->changes));
    TRY(read_pairs(&typing, question->unit, question->want_count, &question->want));
    TRY(read_have(&typing, question));
    *out = (struct typed_names){typing.read.at, typing.read.count};
    return typing.is_wrong ? STATUS_INVALID : arena_status(arena);
}
