/* SPDX-License-Identifier: MIT */
/*
 * Any bytes as a formula: it is refused with a diagnostic or it runs, and what can be
 * read can be written and read again. The first byte chooses the decimal sign, and
 * whether variables need their $.
 */
#include "formula_tree.h"

#include <math.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static const struct scope_variable variables[] = {
    {{"a", 1}, {TYPE_QUANTITY, false, {{1}}}},
    {{"depth", 5}, {TYPE_QUANTITY, false, {{1}}}},
    {{"n", 1}, {TYPE_QUANTITY, true, {{0}}}},
    {{"kind", 4}, {.kind = TYPE_WORD}},
    {{"made-for", 8}, {.kind = TYPE_WORD}}};

enum {
    VARIABLE_COUNT = sizeof variables / sizeof *variables
};

static status resolve(const void *context, double size, text tolerance_class, double *low,
                      double *high, const char **why)
{
    (void)context;
    *low = 2000;
    *high = 18000;
    *why = "the table has no such class";
    return size < 5e8 && text_is(tolerance_class, "k6") ? STATUS_OK : STATUS_NOT_FOUND;
}

static bool twice(struct function_call *call)
{
    call->result =
        value_quantity(form_scale(call->arena, call->arguments[0].quantity, 2));
    return true;
}

static const struct function_entry entry = {
    .name = "twice",
    .arguments = {{ARGUMENT_QUANTITY, "any", "x"}, {ARGUMENT_WORD, "", "of"}},
    .argument_count = 2,
    .result = {ARGUMENT_QUANTITY, "same", ""},
    .run = twice};
static const struct function_entry *const entries[] = {&entry};
static const struct function_table functions = {entries, 1};

static void require(bool is_so)
{
    if (!is_so) {
        abort();
    }
}

static void check_value(struct arena *arena, struct value value, bool is_stopped)
{
    require((value.kind == VALUE_NONE) ==
            (is_stopped || arena_status(arena) != STATUS_OK));
    if (value.kind == VALUE_QUANTITY) {
        const struct form *form = value.quantity;
        require(!isnan(form->least) && !isnan(form->greatest) &&
                form->least <= form->greatest);
    }
    if (value.kind == VALUE_TRUTH) {
        require(value.doubt_count == 0 || value.truth == TRUTH_UNSURE ||
                value.truth == TRUTH_UNKNOWN);
    }
}

static void run_and_write(struct arena *arena, const struct formula *formula,
                          const struct scope *scope, struct diagnostics *diagnostics)
{
    const struct deviation about = {.name = TEXT("a"),
                                    .nominal = 1e7,
                                    .low = -1e5,
                                    .high = 1e5,
                                    .dim = DIMENSION_LENGTH};
    const struct deviation missing = {.name = TEXT("depth"),
                                      .nominal = NAN,
                                      .low = -INFINITY,
                                      .high = INFINITY,
                                      .basis = BASIS_MISSING,
                                      .dim = DIMENSION_LENGTH};
    const struct value slots[VARIABLE_COUNT] = {
        value_quantity(form_of(arena, &about)), value_quantity(form_of(arena, &missing)),
        value_count(3), value_word(names_add(scope->names, TEXT("seal"))),
        value_missing(&missing)};
    struct formula_frame frame = {.slots = slots, .arena = arena, .names = scope->names};
    const struct value value = formula_run(formula, &frame);
    check_value(arena, value, frame.is_stopped);
    const text written = formula_write(arena, formula->root);
    const struct formula *again = NULL;
    const status read =
        formula_read(arena, written, (span){0, 0, 0}, scope, diagnostics, &again);
    /* Blanks may make it longer than a formula can be. */
    require(read == STATUS_OK || written.length > formula_text(formula).length);
    require(read != STATUS_OK || text_equal(formula_write(arena, again->root), written));
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct arena *arena = arena_open(allocator_standard(), (size_t)64 << 20);
    if (arena == NULL || size == 0) {
        arena_close(arena);
        return 0;
    }
    const struct limits_resolver limits = {resolve, NULL};
    const struct scope scope = {.variables = variables,
                                .count = VARIABLE_COUNT,
                                .functions = &functions,
                                .limits = &limits,
                                .names = names_open(arena, NULL),
                                .decimal_comma = data[0] % 2 == 1,
                                .bare_variables = data[0] / 2 % 2 == 1};
    struct diagnostics *diagnostics = diagnostics_open(arena);
    const text a = {(const char *)data + 1, size - 1};
    const struct formula *formula = NULL;
    const span where = {0, 0, (uint32_t)a.length};
    const status read = formula_read(arena, a, where, &scope, diagnostics, &formula);
    require((read == STATUS_INVALID) == (diagnostics_count(diagnostics) > 0));
    if (read == STATUS_OK) {
        run_and_write(arena, formula, &scope, diagnostics);
    }
    arena_close(arena);
    return 0;
}
