/* SPDX-License-Identifier: MIT */
/*
 * Answers a swap question: words → changes → minted layer → inference → findings, which
 * are counted by difference from the host, joined by what could not be checked, and
 * decided.
 */
#include "given.h"
#include "limits.h"
#include "steps.h"
#include "swap_private.h"
#include "typed_name.h"

#include <stdlib.h>

/* ---- the question's words */

static status unit_fault(const struct knowledge *knowledge,
                         const struct question *question, struct diagnostics *diagnostics)
{
    struct diagnostic *report =
        diagnostics_report(diagnostics, CODE_UNIT_NAME_UNKNOWN, question->unit_where,
                           "there is no unit \"%.*s\"", TEXT_ARG(question->unit));
    report->expected = TEXT("the name of a unit that was loaded");
    report->nearest = typed_nearest(diagnostics_arena(diagnostics), knowledge,
                                    question->unit, TYPED_UNIT);
    return STATUS_INVALID;
}

static status read_change(struct swap *swap, const struct worded_pair *pair,
                          struct change *out)
{
    struct names *names = swap->layer.names;
    const size_t plus = text_find(pair->name, '+', 0);
    const text first = text_trim(text_slice(pair->name, 0, plus));
    const text second = text_trim(text_slice(pair->name, plus + 1, pair->name.length));
    if (first.length == 0 || pair->value.length == 0 ||
        (plus < pair->name.length && second.length == 0)) {
        diagnostics_report(swap->diagnostics, CODE_QUESTION_WRONG, pair->name_where,
                           "this change could not be read")
            ->expected = TEXT("PLACE=PART, PLACE=none, PLACE=turned, PLACE=another or "
                              "PLACE+PLACE=PART");
        return STATUS_INVALID;
    }
    *out =
        (struct change){.place = names_add(names, first),
                        .also = second.length > 0 ? names_add(names, second) : NAME_NONE,
                        .kind = text_is(pair->value, "none")      ? CHANGE_NONE
                                : text_is(pair->value, "turned")  ? CHANGE_TURNED
                                : text_is(pair->value, "another") ? CHANGE_ANOTHER
                                                                  : CHANGE_PART,
                        .with = names_add(names, pair->value),
                        .place_where = pair->name_where,
                        .where = pair->where};
    return STATUS_OK;
}

static status read_given(struct swap *swap, const struct worded_pair *pair,
                         struct given_value *out)
{
    *out = (struct given_value){
        .value = pair->value, .name_where = pair->name_where, .where = pair->where};
    if (pair->value.length == 0 ||
        !given_read(swap->knowledge, swap->layer.names, pair->name, out)) {
        diagnostics_report(swap->diagnostics, CODE_QUESTION_WRONG, pair->name_where,
                           "this given value could not be read")
            ->expected = TEXT("PLACE.FEATURE.FIELD=VALUE or PLACE.FIELD=VALUE, or a part "
                              "in front, for all its pieces");
        return STATUS_INVALID;
    }
    return STATUS_OK;
}

/* Two values for one thing: neither is meant more than the other. */
static status refuse_given_twice(struct swap *swap, const struct question *question)
{
    for (uint32_t i = 0; i < question->given_count; i++) {
        for (uint32_t k = 0; k < i; k++) {
            if (text_equal(question->given[i].name, question->given[k].name)) {
                diagnostics_report(swap->diagnostics, CODE_QUESTION_WRONG,
                                   question->given[i].name_where,
                                   "this value is given twice")
                    ->expected = TEXT("one value");
                return STATUS_INVALID;
            }
        }
    }
    return STATUS_OK;
}

static bool is_place_doubled(const struct change *changes, uint32_t count)
{
    for (uint32_t i = 0; i < count; i++) {
        for (uint32_t k = i + 1; k < count; k++) {
            if (changes[i].place == changes[k].place ||
                (changes[k].also != NAME_NONE && changes[i].place == changes[k].also) ||
                (changes[i].also != NAME_NONE && (changes[i].also == changes[k].place ||
                                                  changes[i].also == changes[k].also))) {
                return true;
            }
        }
    }
    return false;
}

static status mint(struct swap *swap, const struct question *question)
{
    const name_id unit = names_find(swap->knowledge->names, question->unit);
    const struct recipe *recipe =
        unit == NAME_NONE ? NULL : knowledge_recipe(swap->knowledge, unit);
    if (recipe == NULL) {
        return unit_fault(swap->knowledge, question, swap->diagnostics);
    }
    if (question->change_count > LIMIT_CHANGES || question->given_count > LIMIT_CHANGES) {
        diagnostics_report(swap->diagnostics, CODE_LIMIT_REACHED, question->unit_where,
                           "a question holds at most %u changes", LIMIT_CHANGES);
        return STATUS_INVALID;
    }
    struct change *changes =
        ARENA_MANY(swap->arena, question->change_count, struct change);
    struct given_value *given =
        ARENA_MANY(swap->arena, question->given_count, struct given_value);
    TRY(arena_status(swap->arena));
    for (uint32_t i = 0; i < question->change_count; i++) {
        TRY(read_change(swap, &question->changes[i], &changes[i]));
    }
    for (uint32_t i = 0; i < question->given_count; i++) {
        TRY(read_given(swap, &question->given[i], &given[i]));
    }
    TRY(refuse_given_twice(swap, question));
    if (is_place_doubled(changes, question->change_count)) {
        diagnostics_report(swap->diagnostics, CODE_QUESTION_WRONG, question->unit_where,
                           "a place is changed twice in this question");
        return STATUS_INVALID;
    }
    swap->given = given;
    swap->layer.forgives_given = question->forgives_given;
    return layer_mint(&swap->layer, recipe, changes, question->change_count, given,
                      question->given_count, &swap->host, &swap->swapped);
}

/* ---- the question as it was understood */

static int compare_pairs(const void *a, const void *b)
{
    const struct named_pair *left = a;
    const struct named_pair *right = b;
    return text_compare(left->name, right->name);
}

static status echo_pairs(struct swap *swap, const struct worded_pair *worded,
                         uint32_t count, const struct named_pair **out)
{
    struct named_pair *pairs = ARENA_MANY(swap->arena, count, struct named_pair);
    TRY(arena_status(swap->arena));
    for (uint32_t i = 0; i < count; i++) {
        pairs[i] = (struct named_pair){text_copy(swap->arena, worded[i].name),
                                       text_copy(swap->arena, worded[i].value)};
    }
    if (count > 1) {
        qsort(pairs, count, sizeof *pairs, compare_pairs);
    }
    *out = pairs;
    return arena_status(swap->arena);
}

static status echo_question(struct swap *swap, const struct question *question)
{
    struct answer *answer = swap->answer;
    ARRAY_OF(struct named_pair) brought = {0};
    answer->command = question->command.length > 0 ? question->command : TEXT("swap");
    answer->unit = names_text(swap->layer.names, swap->swapped.shown_name);
    answer->allows_machining = question->allows_machining;
    answer->change_count = question->change_count;
    answer->given_count = question->given_count;
    TRY(echo_pairs(swap, question->changes, question->change_count, &answer->changes));
    TRY(echo_pairs(swap, question->given, question->given_count, &answer->given));
    answer->taken = swap->swapped.taken;
    answer->taken_count = swap->swapped.taken_count;
    for (uint32_t i = 0; i < swap->swapped.place_count; i++) {
        const struct minted_place *place = &swap->swapped.places[i];
        const struct named_pair pair = {names_text(swap->layer.names, place->place),
                                        names_text(swap->layer.names, place->with)};
        if (place->is_brought && !ARRAY_PUSH(swap->arena, &brought, pair)) {
            return arena_status(swap->arena);
        }
    }
    answer->brought = brought.at;
    answer->brought_count = brought.count;
    return STATUS_OK;
}

/* ---- the stages */

static status infer(struct swap *swap)
{
    struct inference_counts own = {0};
    struct inference_counts *counts =
        swap->options.counts != NULL ? swap->options.counts : &own;
    struct inference_conflict conflict = {0};
    return inference_run(swap->knowledge->rules, swap->layer.store, swap->arena,
                         &swap->options, swap->diagnostics, counts, &conflict);
}

status swap_judge(struct swap *swap)
{
    TRY(findings_gather(swap));
    TRY(findings_pair_as_written(swap));
    TRY(findings_count(swap));
    TRY(findings_ask(swap));
    findings_number(swap);
    TRY(mends_try(swap));
    TRY(work_gather(swap));
    TRY(leaks_gather(swap));
    TRY(verdict_decide(swap));
    TRY(steps_number(swap));
    struct answer *answer = swap->answer;
    answer->mended = swap->mended;
    answer->findings = swap->findings.at;
    answer->finding_count = swap->findings.count;
    answer->host_findings = swap->host_findings.at;
    answer->host_finding_count = swap->host_findings.count;
    return arena_status(swap->arena);
}

status swap_open(struct swap *swap, struct arena *arena,
                 const struct knowledge *knowledge, const struct question *question,
                 const struct swap_limits *limits, struct diagnostics *diagnostics)
{
    *swap = (struct swap){.arena = arena,
                          .knowledge = knowledge,
                          .diagnostics = diagnostics,
                          .question = question,
                          .limits = limits,
                          .answer = ARENA_NEW(arena, struct answer)};
    TRY(arena_status(arena));
    TRY(layer_open(arena, knowledge, diagnostics, &swap->layer));
    assembly_watch(swap->layer.assembly, limits->go_on, limits->go_on_context);
    TRY(mint(swap, question));
    swap->options = (struct inference_options){
        .names = swap->layer.names,
        .plans = limits->plans,
        .world = swap->layer.assembly,
        .row_limit = limits->rows,
        .step_limit = limits->steps,
        .counts = limits->effort == NULL ? NULL : &limits->effort->counts,
        .go_on = limits->go_on,
        .go_on_context = limits->go_on_context};
    TRY(infer(swap));
    TRY(echo_question(swap, question));
    chain_open(&swap->chain, &swap->layer, &swap->options, &swap->host, &swap->swapped);
    struct answer *answer = swap->answer;
    answer->settlings = assembly_settlings(swap->layer.assembly, &answer->settling_count);
    answer->arena = arena;
    answer->knowledge = knowledge;
    answer->names = swap->layer.names;
    answer->store = swap->layer.store;
    answer->host_unit = swap->host.name;
    answer->swapped_unit = swap->swapped.name;
    return STATUS_OK;
}

void swap_spend(const struct swap *swap)
{
    if (swap->limits->effort != NULL) {
        swap->limits->effort->rows_read += store_rows_read(swap->layer.store);
    }
}

status swap_answer(struct arena *arena, const struct knowledge *knowledge,
                   const struct question *question, const struct swap_limits *limits,
                   struct diagnostics *diagnostics, struct answer **out)
{
    struct swap swap;
    TRY(swap_open(&swap, arena, knowledge, question, limits, diagnostics));
    TRY(swap_judge(&swap));
    swap_spend(&swap);
    *out = swap.answer;
    return STATUS_OK;
}
