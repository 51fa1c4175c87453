/* SPDX-License-Identifier: MIT */
/* The calculator: formulas without variables, and fits, by the same code that rules run
 * on. */
#include "reckon.h"

static text class_expression(struct arena *arena, text size, text tolerance_class)
{
    return text_format(arena, "%.*s mm %.*s", TEXT_ARG(size), TEXT_ARG(tolerance_class));
}

status reckon_formula(struct arena *arena, const struct knowledge *knowledge,
                      text expression, span where, struct diagnostics *diagnostics,
                      struct value *out)
{
    struct names *names = names_open(arena, knowledge->names);
    TRY(arena_status(arena));
    const struct scope scope = {.functions = &knowledge->functions,
                                .limits = &knowledge->tables.resolver,
                                .names = names,
                                .decimal_comma = true};
    const struct formula *formula = NULL;
    TRY(formula_read(arena, expression, where, &scope, diagnostics, &formula));
    struct formula_frame frame = {
        .arena = arena, .names = names, .diagnostics = diagnostics};
    *out = formula_run(formula, &frame);
    return frame.is_stopped ? STATUS_INVALID : arena_status(arena);
}

static status fit_fault(span where, struct diagnostics *diagnostics)
{
    diagnostics_report(diagnostics, CODE_QUESTION_WRONG, where,
                       "this fit could not be read")
        ->expected =
        TEXT("SIZE HOLE/SHAFT such as 40 H7/k6, or SIZE CLASS such as 40 k6");
    return STATUS_INVALID;
}

static status reckon_side(struct arena *arena, const struct knowledge *knowledge,
                          text size, text tolerance_class, span where,
                          struct diagnostics *diagnostics, const struct form **out)
{
    struct value value = {0};
    if (tolerance_class.length == 0) {
        return STATUS_OK;
    }
    TRY(reckon_formula(arena, knowledge, class_expression(arena, size, tolerance_class),
                       where, diagnostics, &value));
    if (value.kind != VALUE_QUANTITY) {
        return fit_fault(where, diagnostics);
    }
    *out = value.quantity;
    return STATUS_OK;
}

status reckon_fit(struct arena *arena, const struct knowledge *knowledge, text fit,
                  span where, struct diagnostics *diagnostics, struct reckoned_fit *out)
{
    const text all = text_trim(fit);
    size_t end = 0;
    while (end < all.length &&
           (is_digit(all.at[end]) || all.at[end] == '.' || all.at[end] == ',')) {
        end++;
    }
    text rest = text_trim(text_slice(all, end, all.length));
    if (text_starts(rest, TEXT("mm"))) {
        rest = text_trim(text_slice(rest, 2, rest.length));
    }
    const size_t slash = text_find(rest, '/', 0);
    const text first = text_trim(text_slice(rest, 0, slash));
    const text second = text_trim(text_slice(rest, slash + 1, rest.length));
    if (end == 0 || first.length == 0 || (slash < rest.length && second.length == 0)) {
        return fit_fault(where, diagnostics);
    }
    const bool is_hole = first.at[0] >= 'A' && first.at[0] <= 'Z';
    const bool is_second_hole =
        second.length > 0 && second.at[0] >= 'A' && second.at[0] <= 'Z';
    if (second.length > 0 && is_hole == is_second_hole) {
        return fit_fault(where, diagnostics);
    }
    *out = (struct reckoned_fit){.size = text_slice(all, 0, end),
                                 .hole_class = is_hole ? first : second,
                                 .shaft_class = is_hole ? second : first};
    TRY(reckon_side(arena, knowledge, out->size, out->hole_class, where, diagnostics,
                    &out->hole));
    TRY(reckon_side(arena, knowledge, out->size, out->shaft_class, where, diagnostics,
                    &out->shaft));
    if (out->hole != NULL && out->shaft != NULL) {
        out->clearance = form_subtract(arena, out->hole, out->shaft);
    }
    return arena_status(arena);
}
