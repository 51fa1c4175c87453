/* SPDX-License-Identifier: MIT */
/* What formulas can call: how, within which range, and whose equation it is. */
#include "show_private.h"

/* "length, mm", "ratio", "any quantity". */
static text argument_text(struct arena *arena, const struct argument *argument)
{
    struct dimension dim = DIMENSION_RATIO;
    struct unit unit = {.symbol = ""};
    if (argument->kind == ARGUMENT_WORD) {
        return TEXT("word");
    }
    if (!dimension_find(text_of(argument->dimension), &dim)) {
        return text_format(arena, "%s quantity", argument->dimension);
    }
    return unit_shown(dim, &unit) && unit.symbol[0] != '1'
               ? text_format(arena, "%s, %s", argument->dimension, unit.symbol)
               : text_of(argument->dimension);
}

/* "section (length, mm), gland depth (length, mm)" */
static text arguments_text(struct arena *arena, const struct function_entry *function)
{
    text all = {"", 0};
    for (uint32_t i = 0; i < function->argument_count; i++) {
        const struct argument *argument = &function->arguments[i];
        all = text_format(arena, "%.*s%s%s (%.*s)", TEXT_ARG(all), i == 0 ? "" : ", ",
                          argument->name, TEXT_ARG(argument_text(arena, argument)));
    }
    return all;
}

static void say_function(struct gatherer *gatherer, const struct function_entry *function,
                         const char *margin)
{
    struct arena *arena = gatherer->arena;
    say(gatherer, text_format(arena, "%stakes", margin), arguments_text(arena, function));
    say(gatherer, text_format(arena, "%sgives", margin),
        argument_text(arena, &function->result));
    say(gatherer, text_format(arena, "%sholds for", margin), text_of(function->range));
    say(gatherer, text_format(arena, "%ssource", margin), text_of(function->source));
}

text show_function(struct gatherer *gatherer, const struct function_entry *function)
{
    text call = text_format(gatherer->arena, "%s(", function->name);
    for (uint32_t i = 0; i < function->argument_count; i++) {
        call = text_format(gatherer->arena, "%.*s%s%s", TEXT_ARG(call),
                           i == 0 ? "" : ", ", function->arguments[i].name);
    }
    say(gatherer, TEXT("says"), text_of(function->help));
    say_function(gatherer, function, "");
    return text_format(gatherer->arena, "function %.*s)", TEXT_ARG(call));
}

text show_functions(struct gatherer *gatherer)
{
    const struct function_table *functions = &gatherer->knowledge->functions;
    for (uint32_t i = 0; i < functions->count; i++) {
        const struct function_entry *function = functions->entries[i];
        say(gatherer, text_of(function->name), text_of(function->help));
        say_function(gatherer, function, "  ");
    }
    return TEXT("functions that formulas can call");
}
