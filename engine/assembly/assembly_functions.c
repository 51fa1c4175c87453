/* SPDX-License-Identifier: MIT */
/* The functions of formulas that look at a laid unit. */
#include "assembly_private.h"

#include <math.h>

static bool run_cover(struct function_call *call, struct cover *out)
{
    const struct assembly *assembly = call->world;
    const struct stretch band = {call->arguments[3].quantity,
                                 call->arguments[4].quantity};
    if (!assembly_cover(assembly, call->arena, call->arguments[0].word,
                        call->arguments[1].word, call->arguments[2].word, &band, out)) {
        return false;
    }
    call->rests_on = arena_copy(call->arena, out->rests_on,
                                out->rests_on_count * sizeof *out->rests_on);
    call->rests_on_count = call->rests_on == NULL ? 0 : out->rests_on_count;
    return call->rests_on != NULL;
}

static bool run_covered(struct function_call *call)
{
    struct cover cover;
    if (call->world == NULL) {
        call->result = value_quantity(
            form_undefined(call->arena, DIMENSION_LENGTH, "nothing is laid here"));
        return call->result.quantity != NULL;
    }
    if (!run_cover(call, &cover)) {
        return false;
    }
    call->result = value_quantity(cover.spare);
    return true;
}

/* What leaves the place of a band's end open without limits; NULL: nothing. */
static const struct deviation *missing_in(const struct form *end)
{
    const struct deviation *missing = NULL;
    for (uint32_t i = 0; end != NULL && i < end->term_count; i++) {
        const struct deviation *of = end->terms[i].of;
        missing = isinf(of->low) || isinf(of->high) ? of : missing;
    }
    return missing;
}

static bool run_run_under(struct function_call *call)
{
    struct cover cover;
    if (call->world == NULL || !run_cover(call, &cover)) {
        return false;
    }
    const struct deviation *from = missing_in(call->arguments[3].quantity);
    const struct deviation *to = missing_in(call->arguments[4].quantity);
    call->result = from != NULL ? value_missing(from)
                   : to != NULL ? value_missing(to)
                                : value_word(cover.under);
    return true;
}

static const struct function_entry covered = {
    .name = "covered",
    .arguments = {{ARGUMENT_WORD, "", "unit"},
                  {ARGUMENT_WORD, "", "piece"},
                  {ARGUMENT_WORD, "", "side"},
                  {ARGUMENT_QUANTITY, "length", "from"},
                  {ARGUMENT_QUANTITY, "length", "to"}},
    .argument_count = 5,
    .result = {ARGUMENT_QUANTITY, "length", ""},
    .run = run_covered,
    .source = "common practice, no source",
    .range = "any",
    .help = "How far a band lies inside the one land that holds it; negative: how much "
            "is bare."};

static const struct function_entry run_under = {
    .name = "run_under",
    .arguments = {{ARGUMENT_WORD, "", "unit"},
                  {ARGUMENT_WORD, "", "piece"},
                  {ARGUMENT_WORD, "", "side"},
                  {ARGUMENT_QUANTITY, "length", "from"},
                  {ARGUMENT_QUANTITY, "length", "to"}},
    .argument_count = 5,
    .result = {ARGUMENT_WORD, "", ""},
    .run = run_run_under,
    .source = "common practice, no source",
    .range = "any",
    .help = "The run of a piece that a band lies on."};

const struct function_table *assembly_functions(void)
{
    static const struct function_entry *const entries[] = {&covered, &run_under};
    static const struct function_table table = {entries,
                                                sizeof entries / sizeof *entries};
    return &table;
}
