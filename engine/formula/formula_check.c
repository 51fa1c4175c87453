/* SPDX-License-Identifier: MIT */
/*
 * Types and dimensions, found once from the leaves up. A node below which something is
 * wrong gets no complaint of its own: it is passed over.
 */
#include "formula_tree.h"

#include "form.h"

#include <math.h>

static text say_type(struct formula_reader *reader, struct type type)
{
    switch (type.kind) {
    case TYPE_WORD:
        return TEXT("a word");
    case TYPE_TRUTH:
        return TEXT("yes or no");
    case TYPE_QUANTITY:
        break;
    }
    return dimension_equal(type.dim, DIMENSION_RATIO)
               ? TEXT("a plain number")
               : text_format(reader->arena, "a %.*s",
                             TEXT_ARG(dimension_name(reader->arena, type.dim)));
}

static bool complain(struct formula_reader *reader, const struct expression *at,
                     enum diagnostic_code code, text message, const char *expected)
{
    diagnostics_add(reader->diagnostics, code, at->where, message)->expected =
        text_of(expected);
    reader->is_wrong = true;
    return false;
}

static bool expect_kind(struct formula_reader *reader, const struct expression *at,
                        enum type_kind kind)
{
    static const char *const wanted[] = {"a quantity", "a word",
                                         "yes or no (a comparison)"};
    if (at->type.kind == kind) {
        return true;
    }
    return complain(reader, at, CODE_FORMULA_TYPE,
                    text_format(diagnostics_arena(reader->diagnostics), "this is %.*s",
                                TEXT_ARG(say_type(reader, at->type))),
                    wanted[kind]);
}

static bool expect_alike(struct formula_reader *reader, const struct expression *at,
                         const struct expression *a, const struct expression *b)
{
    if (!expect_kind(reader, a, TYPE_QUANTITY) ||
        !expect_kind(reader, b, TYPE_QUANTITY)) {
        return false;
    }
    if (dimension_equal(a->type.dim, b->type.dim)) {
        return true;
    }
    return complain(reader, at, CODE_FORMULA_TYPE,
                    text_format(diagnostics_arena(reader->diagnostics),
                                "%.*s and %.*s do not go together",
                                TEXT_ARG(say_type(reader, a->type)),
                                TEXT_ARG(say_type(reader, b->type))),
                    "two quantities of one dimension");
}

bool formula_literal(struct formula_reader *reader, struct expression *literal)
{
    const struct stated_options options = {.any_dimension = true,
                                           .decimal_comma = reader->scope->decimal_comma};
    const struct limits_resolver *limits = reader->scope->limits;
    struct stated stated;
    if (stated_read(literal->written, literal->where, &options, reader->diagnostics,
                    &stated) != STATUS_OK) {
        reader->is_wrong = true;
        return false;
    }
    if (stated.basis == STATED_CLASS) {
        const char *why = "no table of limits was loaded";
        if (limits == NULL ||
            limits->resolve(limits->context, stated.nominal, stated.tolerance_class,
                            &stated.low, &stated.high, &why) != STATUS_OK) {
            return complain(reader, literal, CODE_CLASS_UNKNOWN, text_of(why),
                            "a class of ISO 286 such as H7 or k6, at most 500 mm");
        }
    }
    literal->type = (struct type){TYPE_QUANTITY, stated.dim,
                                  stated.low == 0.0 && stated.high == 0.0 &&
                                      stated.basis == STATED_BARE};
    if (literal->type.is_exact) {
        literal->literal =
            value_quantity(form_exact(reader->arena, stated.dim, stated.nominal));
        return true;
    }
    struct deviation *own = ARENA_NEW(reader->arena, struct deviation);
    if (own == NULL) {
        return false;
    }
    *own = (struct deviation){
        .name = text_format(reader->arena, "\"%.*s\" at %u", TEXT_ARG(literal->written),
                            literal->where.at - reader->where.at + 1),
        .nominal = stated.nominal,
        .low = stated.low,
        .high = stated.high,
        .dim = stated.dim,
        .where = literal->where};
    literal->literal = value_quantity(form_of(reader->arena, own));
    return true;
}

static bool check_sum(struct formula_reader *reader, struct expression *at)
{
    const struct expression *a = at->operands[0];
    const struct expression *b = at->operands[1];
    if (!expect_alike(reader, at, a, b)) {
        return false;
    }
    at->type =
        (struct type){TYPE_QUANTITY, a->type.dim, a->type.is_exact && b->type.is_exact};
    return true;
}

static bool check_product(struct formula_reader *reader, struct expression *at)
{
    const struct expression *a = at->operands[0];
    const struct expression *b = at->operands[1];
    if (!expect_kind(reader, a, TYPE_QUANTITY) ||
        !expect_kind(reader, b, TYPE_QUANTITY)) {
        return false;
    }
    at->type = (struct type){TYPE_QUANTITY,
                             at->operation == OPERATION_MULTIPLY
                                 ? dimension_product(a->type.dim, b->type.dim)
                                 : dimension_quotient(a->type.dim, b->type.dim),
                             a->type.is_exact && b->type.is_exact};
    return true;
}

static bool check_power(struct formula_reader *reader, struct expression *at)
{
    const struct expression *base = at->operands[0];
    if (!expect_kind(reader, base, TYPE_QUANTITY)) {
        return false;
    }
    at->type = base->type;
    for (int i = 1; i < at->power; i++) {
        at->type.dim = dimension_product(at->type.dim, base->type.dim);
    }
    return true;
}

static bool check_equality(struct formula_reader *reader, struct expression *at)
{
    const struct expression *a = at->operands[0];
    const struct expression *b = at->operands[1];
    at->type = (struct type){.kind = TYPE_TRUTH};
    if (a->type.kind == TYPE_WORD && b->type.kind == TYPE_WORD) {
        return true;
    }
    if (a->type.kind != TYPE_QUANTITY || b->type.kind != TYPE_QUANTITY) {
        return complain(reader, at, CODE_FORMULA_TYPE,
                        text_format(diagnostics_arena(reader->diagnostics),
                                    "%.*s and %.*s cannot be compared",
                                    TEXT_ARG(say_type(reader, a->type)),
                                    TEXT_ARG(say_type(reader, b->type))),
                        "two words or two exact numbers");
    }
    if (!expect_alike(reader, at, a, b)) {
        return false;
    }
    if (!a->type.is_exact || !b->type.is_exact) {
        return complain(reader, at, CODE_EQUALS_TOLERANCED,
                        TEXT("quantities with a tolerance are never surely equal"),
                        "abs(a - b) <= t");
    }
    return true;
}

static bool check_order(struct formula_reader *reader, struct expression *at)
{
    at->type = (struct type){.kind = TYPE_TRUTH};
    return expect_alike(reader, at, at->operands[0], at->operands[1]);
}

static bool check_logic(struct formula_reader *reader, struct expression *at)
{
    bool is_right = true;
    at->type = (struct type){.kind = TYPE_TRUTH};
    for (uint32_t i = 0; i < at->count; i++) {
        is_right = expect_kind(reader, at->operands[i], TYPE_TRUTH) && is_right;
    }
    return is_right;
}

static bool expect_count(struct formula_reader *reader, const struct expression *at,
                         uint32_t wanted)
{
    if (at->count == wanted) {
        return true;
    }
    return complain(reader, at, CODE_FORMULA_TYPE,
                    text_format(diagnostics_arena(reader->diagnostics),
                                "this function takes %u argument%s, not %u", wanted,
                                wanted == 1 ? "" : "s", at->count),
                    "");
}

static bool check_choice(struct formula_reader *reader, struct expression *at)
{
    if (at->count == 0) {
        return expect_count(reader, at, 1);
    }
    at->type = at->operands[0]->type;
    for (uint32_t i = 0; i < at->count; i++) {
        if (!expect_alike(reader, at, at->operands[0], at->operands[i])) {
            return false;
        }
        at->type.is_exact = at->type.is_exact && at->operands[i]->type.is_exact;
    }
    return true;
}

static bool check_builtin(struct formula_reader *reader, struct expression *at)
{
    if (at->builtin == BUILTIN_MIN || at->builtin == BUILTIN_MAX) {
        return check_choice(reader, at);
    }
    if (!expect_count(reader, at, 1) ||
        !expect_kind(reader, at->operands[0], TYPE_QUANTITY)) {
        return false;
    }
    const struct expression *of = at->operands[0];
    at->type = of->type;
    switch (at->builtin) {
    case BUILTIN_LEAST:
    case BUILTIN_GREATEST:
    case BUILTIN_NOMINAL:
        at->type.is_exact = true;
        return true;
    case BUILTIN_SQRT:
        if (!dimension_root(of->type.dim, &at->type.dim)) {
            return complain(reader, of, CODE_FORMULA_TYPE,
                            TEXT("the unit of this has no square root"),
                            "an area, or a ratio");
        }
        return true;
    case BUILTIN_SIN:
    case BUILTIN_COS:
    case BUILTIN_TAN: {
        struct dimension angle;
        at->type.dim = DIMENSION_RATIO;
        if (!dimension_find(TEXT("angle"), &angle) ||
            !dimension_equal(of->type.dim, angle)) {
            return complain(reader, of, CODE_FORMULA_TYPE, TEXT("this is no angle"),
                            "an angle such as 30 deg");
        }
        return true;
    }
    case BUILTIN_ABS:
    case BUILTIN_MIN:
    case BUILTIN_MAX:
    case BUILTIN_COUNT:
        break;
    }
    return true;
}

/* One argument against what the function says it takes; "same" is what the first "any"
 * got. */
static bool check_argument(struct formula_reader *reader, const struct expression *given,
                           const struct argument *wanted, struct dimension *any)
{
    struct dimension dim = *any;
    if (wanted->kind == ARGUMENT_WORD) {
        return expect_kind(reader, given, TYPE_WORD);
    }
    if (!expect_kind(reader, given, TYPE_QUANTITY)) {
        return false;
    }
    if (text_is(text_of(wanted->dimension), "any")) {
        *any = given->type.dim;
        return true;
    }
    if (!text_is(text_of(wanted->dimension), "same")) {
        (void)dimension_find(text_of(wanted->dimension), &dim);
    }
    if (dimension_equal(dim, given->type.dim)) {
        return true;
    }
    return complain(reader, given, CODE_FORMULA_TYPE,
                    text_format(diagnostics_arena(reader->diagnostics), "%s is %.*s here",
                                wanted->name, TEXT_ARG(say_type(reader, given->type))),
                    wanted->dimension);
}

static bool check_call(struct formula_reader *reader, struct expression *at)
{
    const struct function_entry *function = at->function;
    struct dimension any = DIMENSION_RATIO;
    if (!expect_count(reader, at, function->argument_count)) {
        return false;
    }
    for (uint32_t i = 0; i < at->count; i++) {
        if (!check_argument(reader, at->operands[i], &function->arguments[i], &any)) {
            return false;
        }
    }
    at->type = (struct type){
        .kind = function->result.kind == ARGUMENT_WORD ? TYPE_WORD : TYPE_QUANTITY,
        .dim = any};
    if (at->type.kind == TYPE_QUANTITY &&
        !text_is(text_of(function->result.dimension), "same")) {
        (void)dimension_find(text_of(function->result.dimension), &at->type.dim);
    }
    return true;
}

/* false: something below is wrong, and was reported. The parser has bounded the depth. */
static bool check(struct formula_reader *reader, struct expression *at)
{
    bool is_right = true;
    for (uint32_t i = 0; i < at->count; i++) {
        is_right = check(reader, at->operands[i]) && is_right;
    }
    if (!is_right) {
        return false;
    }
    switch (at->operation) {
    case OPERATION_LITERAL:
        return at->literal.kind != VALUE_NONE || formula_literal(reader, at);
    case OPERATION_VARIABLE:
        if (at->variable < reader->scope->count) {
            at->type = reader->scope->variables[at->variable].type;
        }
        return at->variable < reader->scope->count;
    case OPERATION_MINUS:
        at->type = at->operands[0]->type;
        return expect_kind(reader, at->operands[0], TYPE_QUANTITY);
    case OPERATION_ADD:
    case OPERATION_SUBTRACT:
        return check_sum(reader, at);
    case OPERATION_MULTIPLY:
    case OPERATION_DIVIDE:
        return check_product(reader, at);
    case OPERATION_POWER:
        return check_power(reader, at);
    case OPERATION_EQUAL:
    case OPERATION_UNEQUAL:
        return check_equality(reader, at);
    case OPERATION_LESS:
    case OPERATION_LESS_EQUAL:
    case OPERATION_GREATER:
    case OPERATION_GREATER_EQUAL:
        return check_order(reader, at);
    case OPERATION_NOT:
    case OPERATION_AND:
    case OPERATION_OR:
        return check_logic(reader, at);
    case OPERATION_BUILTIN:
        return check_builtin(reader, at);
    case OPERATION_CALL:
        return check_call(reader, at);
    }
    return false;
}

void formula_check(struct formula_reader *reader, struct expression *root)
{
    if (!check(reader, root)) {
        reader->is_wrong = true;
    }
}
