/* SPDX-License-Identifier: MIT */
/*
 * Two parts or two units side by side. Two units are each minted as they are, in a layer
 * of their own: their pieces are different pieces, and nothing cancels between them. Two
 * parts are built beside each other; what the difference touches is found in every unit
 * in which one of them sits, by the swap that puts the other in its place.
 */
#include "compare_private.h"
#include "given.h"
#include "nearest.h"

#include <stdlib.h>

/* ---- the question */

struct compared {
    const struct part *part;
    const struct recipe *recipe;
};

static status name_fault(struct comparing *comparing, text word, span where,
                         const char *message)
{
    const struct knowledge *knowledge = comparing->knowledge;
    struct nearest near = nearest_to(word);
    for (uint32_t i = 0; i < knowledge->part_count; i++) {
        nearest_offer(&near, names_text(knowledge->names, knowledge->parts[i].name));
    }
    for (uint32_t i = 0; i < knowledge->recipe_count; i++) {
        nearest_offer(&near, names_text(knowledge->names, knowledge->recipes[i].name));
    }
    struct diagnostic *report =
        diagnostics_report(comparing->diagnostics, CODE_PART_UNKNOWN, where,
                           "%s \"%.*s\"", message, TEXT_ARG(word));
    report->expected = TEXT("the name of a part or unit that was loaded");
    report->nearest = near.best;
    return STATUS_INVALID;
}

/* A name, or a number that one part alone bears. */
static status find_compared(struct comparing *comparing, text word, span where,
                            struct compared *out)
{
    const struct knowledge *knowledge = comparing->knowledge;
    const name_id name = names_find(knowledge->names, word);
    uint32_t bearers = 0;
    *out = (struct compared){0};
    if (name != NAME_NONE) {
        out->part = knowledge_part(knowledge, name);
        out->recipe = out->part == NULL ? knowledge_recipe(knowledge, name) : NULL;
    }
    for (uint32_t i = 0;
         out->part == NULL && out->recipe == NULL && i < knowledge->part_count; i++) {
        bearers += part_bears(&knowledge->parts[i], word) ? 1 : 0;
    }
    for (uint32_t i = 0; bearers == 1 && i < knowledge->part_count; i++) {
        out->part =
            part_bears(&knowledge->parts[i], word) ? &knowledge->parts[i] : out->part;
    }
    return out->part != NULL || out->recipe != NULL ? STATUS_OK
           : bearers > 1 ? name_fault(comparing, word, where, "several parts bear")
                         : name_fault(comparing, word, where, "there is no part or unit");
}

static status read_question(struct comparing *comparing, struct compared *first,
                            struct compared *second)
{
    const struct question *question = comparing->question;
    if (question->toward.length == 0 || question->change_count > 0) {
        diagnostics_report(comparing->diagnostics, CODE_QUESTION_WRONG,
                           question->unit_where,
                           question->toward.length == 0 ? "a comparison needs two names"
                                                        : "a comparison changes no place")
            ->expected = TEXT("two parts, or two units");
        return STATUS_INVALID;
    }
    TRY(find_compared(comparing, question->unit, question->unit_where, first));
    TRY(find_compared(comparing, question->toward, question->toward_where, second));
    if ((first->part == NULL) != (second->part == NULL)) {
        diagnostics_report(comparing->diagnostics, CODE_QUESTION_WRONG,
                           question->toward_where,
                           "a part and a unit cannot be set side by side")
            ->expected =
            first->part != NULL ? TEXT("a second part") : TEXT("a second unit");
        return STATUS_INVALID;
    }
    return STATUS_OK;
}

/* The question as a swap of one unit; of given values whatever it has no piece for is
 * passed over. */
static status open_swap(struct comparing *comparing, text unit,
                        const struct worded_pair *change, struct effort *effort,
                        struct swap *swap)
{
    struct question *question =
        arena_copy(comparing->arena, comparing->question, sizeof *question);
    struct swap_limits *limits =
        arena_copy(comparing->arena, comparing->limits, sizeof *limits);
    TRY(arena_status(comparing->arena));
    question->unit = unit;
    question->changes = change;
    question->change_count = change == NULL ? 0 : 1;
    question->forgives_given = true;
    limits->effort = effort;
    TRY(swap_open(swap, comparing->arena, comparing->knowledge, question, limits,
                  comparing->diagnostics));
    for (uint32_t i = 0; i < question->given_count && i < 64; i++) {
        comparing->used_given |= swap->given[i].is_used ? UINT64_C(1) << i : 0;
    }
    return STATUS_OK;
}

/* A given value that neither of the two took is misspelt. */
static status refuse_unused(struct comparing *comparing)
{
    const struct question *question = comparing->question;
    for (uint32_t i = 0; i < question->given_count; i++) {
        if ((comparing->used_given >> i & 1u) == 0) {
            diagnostics_report(comparing->diagnostics, CODE_QUESTION_WRONG,
                               question->given[i].name_where,
                               "nothing of the two is called %.*s",
                               TEXT_ARG(question->given[i].name))
                ->expected =
                TEXT("PLACE.FEATURE.FIELD=VALUE or PART.FEATURE.FIELD=VALUE");
            return STATUS_INVALID;
        }
    }
    return STATUS_OK;
}

static text name_text(const struct comparing *comparing, name_id name)
{
    return names_text(comparing->knowledge->names, name);
}

/* ---- two units */

static const struct minted_place *place_in(const struct minted_unit *unit,
                                           const struct names *names, text place)
{
    for (uint32_t i = 0; i < unit->place_count; i++) {
        if (text_equal(names_text(names, unit->places[i].place), place)) {
            return unit->places[i].with == NAME_NONE ? NULL : &unit->places[i];
        }
    }
    return NULL;
}

static text with_text(const struct swap *swap, const struct minted_place *place)
{
    return place == NULL ? (text){"", 0} : names_text(swap->layer.names, place->with);
}

static status compare_place(struct comparing *comparing, struct swap *first,
                            struct swap *second, text name)
{
    const struct minted_place *one = place_in(&first->swapped, first->layer.names, name);
    const struct minted_place *other =
        place_in(&second->swapped, second->layer.names, name);
    struct compared_place made = {.place = name,
                                  .first = with_text(first, one),
                                  .second = with_text(second, other)};
    struct compare_side sides[2] = {
        {.store = first->layer.store, .names = first->layer.names},
        {.store = second->layer.store, .names = second->layer.names}};
    sides[0].unit = first->swapped.name;
    sides[1].unit = second->swapped.name;
    if (one == NULL && other == NULL) {
        return STATUS_OK; /* empty in both */
    }
    if (one == NULL || other == NULL) {
        made.difference = one == NULL ? CONTRAST_ADDED : CONTRAST_GONE;
        return ARRAY_PUSH(comparing->arena, &comparing->places, made)
                   ? STATUS_OK
                   : arena_status(comparing->arena);
    }
    const bool is_same = text_equal(made.first, made.second);
    made.is_turned = one->is_turned != other->is_turned;
    made.is_unit = one->recipe != NULL && other->recipe != NULL && !is_same;
    TRY(compare_side_open(&sides[0], one->piece));
    TRY(compare_side_open(&sides[1], other->piece));
    TRY(features_compare(comparing, &sides[0], &sides[1], is_same, &made));
    made.difference = !is_same         ? CONTRAST_OTHER
                      : made.is_turned ? CONTRAST_MOVED
                                       : made.moved.difference;
    return ARRAY_PUSH(comparing->arena, &comparing->places, made)
               ? STATUS_OK
               : arena_status(comparing->arena);
}

/* What the units say of themselves, as a place without a name. */
static status compare_units_themselves(struct comparing *comparing, struct swap *first,
                                       struct swap *second)
{
    struct compared_place made = {.first = comparing->out->first,
                                  .second = comparing->out->second};
    struct compare_side sides[2] = {
        {.store = first->layer.store, .names = first->layer.names},
        {.store = second->layer.store, .names = second->layer.names}};
    TRY(compare_side_open(&sides[0], first->swapped.name));
    TRY(compare_side_open(&sides[1], second->swapped.name));
    TRY(units_say(comparing, &sides[0], &sides[1], &made));
    return made.feature_count == 0 ||
                   ARRAY_PUSH(comparing->arena, &comparing->places, made)
               ? STATUS_OK
               : arena_status(comparing->arena);
}

static int compare_words(const void *a, const void *b)
{
    return text_compare(*(const text *)a, *(const text *)b);
}

/* The names of all places of both, each once, in order. */
static status place_names(struct comparing *comparing, const struct swap *first,
                          const struct swap *second, text **out, uint32_t *count)
{
    const struct swap *swaps[2] = {first, second};
    ARRAY_OF(text) names = {0};
    for (int s = 0; s < 2; s++) {
        const struct minted_unit *unit = &swaps[s]->swapped;
        for (uint32_t i = 0; i < unit->place_count; i++) {
            const text name = names_text(swaps[s]->layer.names, unit->places[i].place);
            bool is_known = false;
            for (uint32_t k = 0; !is_known && k < names.count; k++) {
                is_known = text_equal(names.at[k], name);
            }
            if (!is_known && !ARRAY_PUSH(comparing->arena, &names, name)) {
                return arena_status(comparing->arena);
            }
        }
    }
    if (names.count > 1) {
        qsort(names.at, names.count, sizeof *names.at, compare_words);
    }
    *out = names.at;
    *count = names.count;
    return STATUS_OK;
}

static status compare_units(struct comparing *comparing, const struct compared *first,
                            const struct compared *second, struct answer **out)
{
    struct swap *swaps = ARENA_MANY(comparing->arena, 2, struct swap);
    struct effort effort[2] = {{.rows_read = 0}, {.rows_read = 0}};
    text *names = NULL;
    uint32_t count = 0;
    TRY(arena_status(comparing->arena));
    TRY(open_swap(comparing, name_text(comparing, first->recipe->name), NULL, &effort[0],
                  &swaps[0]));
    TRY(open_swap(comparing, name_text(comparing, second->recipe->name), NULL, &effort[1],
                  &swaps[1]));
    TRY(findings_gather(&swaps[0]));
    TRY(findings_gather(&swaps[1]));
    TRY(compare_units_themselves(comparing, &swaps[0], &swaps[1]));
    TRY(place_names(comparing, &swaps[0], &swaps[1], &names, &count));
    for (uint32_t i = 0; i < count; i++) {
        TRY(compare_place(comparing, &swaps[0], &swaps[1], names[i]));
    }
    const struct asked_side asked[2] = {
        {&swaps[0], swaps[0].findings.at, swaps[0].findings.count},
        {&swaps[1], swaps[1].findings.at, swaps[1].findings.count}};
    TRY(checks_compare(comparing, &asked[0], &asked[1], UINT32_MAX, NAME_NONE,
                       NAME_NONE));
    const struct figured_unit figured[2] = {{&swaps[0].layer, &swaps[0].swapped},
                                            {&swaps[1].layer, &swaps[1].swapped}};
    TRY(figures_between(comparing->arena, &figured[0], &figured[1], UINT32_MAX,
                        &comparing->figures));
    for (int i = 0; i < 2; i++) {
        swap_spend(&swaps[i]);
        effort_add(comparing->limits->effort, &effort[i]);
    }
    *out = swaps[0].answer;
    return STATUS_OK;
}

/* ---- two parts */

/* A part as a piece of no unit, in a store of its own over the knowledge. */
static status build_alone(struct comparing *comparing, struct layer *layer,
                          const struct part *part, struct given_value *given,
                          const char *mark, name_id *piece)
{
    const struct part_surroundings around = {.arena = comparing->arena,
                                             .names = layer->names,
                                             .vocabulary =
                                                 comparing->knowledge->vocabulary,
                                             .tables = &comparing->knowledge->tables,
                                             .diagnostics = comparing->diagnostics,
                                             .decimal_comma = true};
    const uint32_t count = comparing->question->given_count;
    *piece = names_add(layer->names,
                       text_format(comparing->arena, "%.*s%s",
                                   TEXT_ARG(name_text(comparing, part->name)), mark));
    return part_build(&around, part, *piece, *piece, given, count, layer->store);
}

static status read_given(struct comparing *comparing, struct layer *layer,
                         struct given_value **out)
{
    const struct question *question = comparing->question;
    struct given_value *given =
        ARENA_MANY(comparing->arena, question->given_count, struct given_value);
    TRY(arena_status(comparing->arena));
    for (uint32_t i = 0; i < question->given_count; i++) {
        const struct worded_pair *pair = &question->given[i];
        given[i] = (struct given_value){
            .value = pair->value, .name_where = pair->name_where, .where = pair->where};
        if (!given_read(comparing->knowledge, layer->names, pair->name, &given[i])) {
            diagnostics_report(comparing->diagnostics, CODE_QUESTION_WRONG,
                               pair->name_where, "this given value could not be read")
                ->expected =
                TEXT("PART.FEATURE.FIELD=VALUE or PLACE.FEATURE.FIELD=VALUE");
            return STATUS_INVALID;
        }
    }
    given_find_parts(layer, NULL, 0, given, question->given_count);
    *out = given;
    return STATUS_OK;
}

static status compare_features_alone(struct comparing *comparing, struct layer *layer,
                                     const struct part *first, const struct part *second)
{
    struct given_value *given = NULL;
    struct compared_place made = {.first = name_text(comparing, first->name),
                                  .second = name_text(comparing, second->name)};
    struct compare_side sides[2] = {{.store = layer->store, .names = layer->names},
                                    {.store = layer->store, .names = layer->names}};
    name_id pieces[2];
    TRY(read_given(comparing, layer, &given));
    TRY(build_alone(comparing, layer, first, given, " (first)", &pieces[0]));
    TRY(build_alone(comparing, layer, second, given, " (second)", &pieces[1]));
    for (uint32_t i = 0; i < comparing->question->given_count && i < 64; i++) {
        comparing->used_given |= given[i].is_used ? UINT64_C(1) << i : 0;
    }
    TRY(compare_side_open(&sides[0], pieces[0]));
    TRY(compare_side_open(&sides[1], pieces[1]));
    TRY(features_compare(comparing, &sides[0], &sides[1], false, &made));
    made.difference = CONTRAST_NONE;
    return ARRAY_PUSH(comparing->arena, &comparing->places, made)
               ? STATUS_OK
               : arena_status(comparing->arena);
}

/* The piece in a place; NAME_NONE: it is empty, or there is no such place. */
static name_id piece_in(const struct swap *swap, const struct minted_unit *unit,
                        text place)
{
    const struct minted_place *found = place_in(unit, swap->layer.names, place);
    return found == NULL ? NAME_NONE : found->piece;
}

/* Puts the other part in the place of one of them, and sets beside each other what every
 * check says of both. */
static status try_seat(struct comparing *comparing, const struct recipe *recipe,
                       const struct filling *filling, const struct part *other,
                       bool holds_second)
{
    struct swap *swap = ARENA_NEW(comparing->arena, struct swap);
    struct effort effort = {.rows_read = 0};
    const text unit = name_text(comparing, recipe->name);
    const text place = name_text(comparing, filling->place);
    struct worded_pair *change = ARENA_NEW(comparing->arena, struct worded_pair);
    TRY(arena_status(comparing->arena));
    *change = (struct worded_pair){.name = place,
                                   .value = name_text(comparing, other->name),
                                   .name_where = comparing->question->unit_where,
                                   .where = comparing->question->toward_where};
    TRY(open_swap(comparing, unit, change, &effort, swap));
    TRY(swap_judge(swap));
    const struct asked_side host = {swap, swap->host_findings.at,
                                    swap->host_findings.count};
    const struct asked_side now = {swap, swap->findings.at, swap->findings.count};
    const struct figured_unit before = {&swap->layer, &swap->host};
    const struct figured_unit after = {&swap->layer, &swap->swapped};
    const name_id was = piece_in(swap, &swap->host, place);
    const name_id is = piece_in(swap, &swap->swapped, place);
    TRY(checks_compare(comparing, holds_second ? &now : &host,
                       holds_second ? &host : &now, comparing->seats.count,
                       holds_second ? is : was, holds_second ? was : is));
    TRY(figures_between(comparing->arena, holds_second ? &after : &before,
                        holds_second ? &before : &after, comparing->seats.count,
                        &comparing->figures));
    const struct compared_seat made = {.unit = unit,
                                       .place = place,
                                       .holds_second = holds_second,
                                       .verdict = swap->answer->verdict,
                                       .because = swap->answer->because_count > 0
                                                      ? swap->answer->because[0]
                                                      : (text){"", 0}};
    swap_spend(swap);
    effort_add(comparing->limits->effort, &effort);
    return ARRAY_PUSH(comparing->arena, &comparing->seats, made)
               ? STATUS_OK
               : arena_status(comparing->arena);
}

/* Every unit is there once, by name; so are its places. */
static status try_seats(struct comparing *comparing, const struct part *first,
                        const struct part *second)
{
    const struct knowledge *knowledge = comparing->knowledge;
    for (uint32_t i = 0; first != second && i < knowledge->recipe_count; i++) {
        const struct recipe *recipe = &knowledge->recipes[i];
        for (uint32_t k = 0; k < recipe->place_count; k++) {
            const name_id with = recipe->places[k].with;
            if (with != first->name && with != second->name) {
                continue;
            }
            if (comparing->seats.count >= COMPARE_SEATS) {
                comparing->out->seats_left_out++;
                continue;
            }
            TRY(try_seat(comparing, recipe, &recipe->places[k],
                         with == first->name ? second : first, with == second->name));
        }
    }
    return STATUS_OK;
}

static status compare_parts(struct comparing *comparing, const struct compared *first,
                            const struct compared *second, struct answer **out)
{
    struct layer *layer = ARENA_NEW(comparing->arena, struct layer);
    struct answer *answer = ARENA_NEW(comparing->arena, struct answer);
    TRY(arena_status(comparing->arena));
    TRY(layer_open(comparing->arena, comparing->knowledge, comparing->diagnostics,
                   layer));
    TRY(compare_features_alone(comparing, layer, first->part, second->part));
    TRY(try_seats(comparing, first->part, second->part));
    *answer = (struct answer){.arena = comparing->arena,
                              .knowledge = comparing->knowledge,
                              .names = layer->names,
                              .store = layer->store};
    *out = answer;
    return STATUS_OK;
}

/* ---- the whole */

static bool is_of_place(const struct compared_place *place)
{
    return place->difference != CONTRAST_NONE && place->difference != CONTRAST_NOT_KNOWN;
}

static void count_values(struct comparison *out, const struct compared_feature *feature)
{
    const bool is_whole =
        feature->difference == CONTRAST_GONE || feature->difference == CONTRAST_ADDED;
    for (uint32_t i = 0; !is_whole && i < feature->value_count; i++) {
        const enum contrast difference =
            feature->values[i].is_carried ? CONTRAST_NONE : feature->values[i].difference;
        out->difference_count +=
            difference != CONTRAST_NONE && difference != CONTRAST_NOT_KNOWN ? 1 : 0;
        out->not_known_count += difference == CONTRAST_NOT_KNOWN ? 1 : 0;
    }
    out->difference_count += is_whole ? 1 : 0;
    out->not_known_count +=
        feature->difference == CONTRAST_NOT_KNOWN && feature->value_count == 0 ? 1 : 0;
}

/* The datum that most places are counted from is said once; of the others each says its
 * own. */
static void share_datum(struct comparing *comparing)
{
    uint32_t most = 0;
    for (uint32_t i = 0; i < comparing->places.count; i++) {
        uint32_t same = 0;
        const text datum = comparing->places.at[i].datum;
        for (uint32_t k = 0; k < comparing->places.count; k++) {
            same += text_equal(comparing->places.at[k].datum, datum) ? 1 : 0;
        }
        if (datum.length > 0 &&
            (same > most ||
             (same == most && text_compare(datum, comparing->out->datum) < 0))) {
            most = same;
            comparing->out->datum = datum;
        }
    }
    for (uint32_t i = 0; i < comparing->places.count; i++) {
        struct compared_place *place = &comparing->places.at[i];
        if (text_equal(place->datum, comparing->out->datum)) {
            place->datum = (text){"", 0};
        }
    }
}

static void finish(struct comparing *comparing)
{
    struct comparison *out = comparing->out;
    share_datum(comparing);
    for (uint32_t i = 0; i < comparing->places.count; i++) {
        const struct compared_place *place = &comparing->places.at[i];
        out->difference_count += is_of_place(place) ? 1 : 0;
        out->not_known_count += place->difference == CONTRAST_NOT_KNOWN ? 1 : 0;
        for (uint32_t k = 0; k < place->feature_count; k++) {
            count_values(out, &place->features[k]);
        }
    }
    out->places = comparing->places.at;
    out->place_count = comparing->places.count;
    out->checks = comparing->checks.at;
    out->check_count = comparing->checks.count;
    out->figures = comparing->figures.at;
    out->figure_count = comparing->figures.count;
    out->seats = comparing->seats.at;
    out->seat_count = comparing->seats.count;
}

status compare_answer(struct arena *arena, const struct knowledge *knowledge,
                      const struct question *question, const struct swap_limits *limits,
                      struct diagnostics *diagnostics, struct answer **out)
{
    struct comparing comparing = {.arena = arena,
                                  .knowledge = knowledge,
                                  .question = question,
                                  .limits = limits,
                                  .diagnostics = diagnostics,
                                  .out = ARENA_NEW(arena, struct comparison)};
    struct compared first;
    struct compared second;
    struct answer *answer = NULL;
    TRY(arena_status(arena));
    TRY(read_question(&comparing, &first, &second));
    comparing.out->is_of_units = first.recipe != NULL;
    comparing.out->first = name_text(&comparing, first.recipe != NULL ? first.recipe->name
                                                                      : first.part->name);
    comparing.out->second = name_text(
        &comparing, second.recipe != NULL ? second.recipe->name : second.part->name);
    TRY(first.recipe != NULL ? compare_units(&comparing, &first, &second, &answer)
                             : compare_parts(&comparing, &first, &second, &answer));
    TRY(refuse_unused(&comparing));
    finish(&comparing);
    answer->command = question->command;
    answer->unit = comparing.out->first;
    answer->caution = knowledge->closing.caution;
    answer->comparison = comparing.out;
    answer->verdict = VERDICT_NOT_KNOWN; /* none is given */
    *out = answer;
    return arena_status(arena);
}
