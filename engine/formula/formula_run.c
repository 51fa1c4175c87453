/* SPDX-License-Identifier: MIT */
/*
 * Computes a checked formula. Quantities are forms; a count enters as an exact ratio, a
 * missing count as a missing ratio. Comparisons give three-valued truths with the doubt
 * that keeps them open.
 */
#include "formula_exact.h"

#include "array.h"

#include <math.h>

static struct value run(const struct expression *at, struct formula_frame *frame);

static const struct form *as_form(struct formula_frame *frame, struct value value)
{
    return value_form(frame->arena, value, DIMENSION_RATIO);
}

static const struct form *run_form(const struct expression *at,
                                   struct formula_frame *frame)
{
    return as_form(frame, run(at, frame));
}

static const struct doubt no_doubt = {NULL, 0};

static struct value from_outcome(struct formula_frame *frame, const struct form *margin)
{
    if (margin == NULL) {
        return (struct value){0};
    }
    switch (form_outcome(margin)) {
    case OUTCOME_HOLDS:
        return value_truth(TRUTH_YES, no_doubt);
    case OUTCOME_FAILS:
        return value_truth(TRUTH_NO, no_doubt);
    case OUTCOME_UNSURE:
        return value_truth(TRUTH_UNSURE,
                           value_doubt(frame->arena, value_quantity(margin)));
    case OUTCOME_UNKNOWN:
        break;
    }
    return value_truth(TRUTH_UNKNOWN, value_doubt(frame->arena, value_quantity(margin)));
}

static struct value negate(struct value value)
{
    if (value.kind == VALUE_TRUTH) {
        value.truth = truth_not(value.truth);
    }
    return value;
}

/* a <= b */
static struct value at_most(struct formula_frame *frame, const struct form *a,
                            const struct form *b)
{
    return from_outcome(frame, form_subtract(frame->arena, b, a));
}

static struct value equal_words(struct formula_frame *frame, struct value a,
                                struct value b)
{
    if (a.kind == VALUE_WORD && b.kind == VALUE_WORD) {
        return value_truth(a.word == b.word ? TRUTH_YES : TRUTH_NO, no_doubt);
    }
    return value_truth(TRUTH_UNKNOWN,
                       doubt_join(frame->arena, value_doubt(frame->arena, a),
                                  value_doubt(frame->arena, b)));
}

static struct value run_equal(const struct expression *at, struct formula_frame *frame)
{
    const struct value a = run(at->operands[0], frame);
    const struct value b = run(at->operands[1], frame);
    struct value equal;
    if (at->operands[0]->type.kind == TYPE_WORD) {
        equal = equal_words(frame, a, b);
    } else {
        const struct form *apart =
            form_abs(frame->arena,
                     form_subtract(frame->arena, as_form(frame, a), as_form(frame, b)));
        equal = from_outcome(frame, form_scale(frame->arena, apart, -1.0));
    }
    return at->operation == OPERATION_UNEQUAL ? negate(equal) : equal;
}

static struct value run_order(const struct expression *at, struct formula_frame *frame)
{
    const struct form *a = run_form(at->operands[0], frame);
    const struct form *b = run_form(at->operands[1], frame);
    switch ((int)at->operation) {
    case OPERATION_LESS_EQUAL:
        return at_most(frame, a, b);
    case OPERATION_GREATER_EQUAL:
        return at_most(frame, b, a);
    case OPERATION_LESS:
        return negate(at_most(frame, b, a));
    default:
        return negate(at_most(frame, a, b));
    }
}

static struct value run_logic(const struct expression *at, struct formula_frame *frame)
{
    const struct value a = run(at->operands[0], frame);
    const struct value b = run(at->operands[1], frame);
    if (a.kind != VALUE_TRUTH || b.kind != VALUE_TRUTH) {
        return (struct value){0};
    }
    const enum truth truth = at->operation == OPERATION_AND ? truth_and(a.truth, b.truth)
                                                            : truth_or(a.truth, b.truth);
    const bool is_open = truth == TRUTH_UNSURE || truth == TRUTH_UNKNOWN;
    return value_truth(truth,
                       is_open ? doubt_join(frame->arena, truth_doubt(a), truth_doubt(b))
                               : no_doubt);
}

static double whole_power(double x, int power)
{
    double result = x;
    for (int i = 1; i < power; i++) {
        result *= x;
    }
    return result;
}

/* The range of a whole power is known better than that of a product: an even one is
 * never negative, and an odd one is no wider than the ends make it. */
static const struct form *run_power(const struct expression *at,
                                    struct formula_frame *frame)
{
    const struct form *base = run_form(at->operands[0], frame);
    const struct form *result = base;
    for (int i = 1; i < at->power; i++) {
        result = form_multiply(frame->arena, result, base);
    }
    if (result == NULL || base == NULL || result->undefined != NULL) {
        return result;
    }
    const double one = whole_power(base->least, at->power);
    const double two = whole_power(base->greatest, at->power);
    const bool turns = at->power % 2 == 0 && base->least < 0.0 && base->greatest > 0.0;
    return form_within(frame->arena, result, turns ? 0.0 : fmin(one, two),
                       fmax(one, two));
}

static double minus_sin(double x)
{
    return -sin(x);
}

static double tan_slope(double x)
{
    return 1.0 / (cos(x) * cos(x));
}

/* Whether a point at + k·step (k whole) lies in [least, greatest]. */
static bool holds_point(double least, double greatest, double at, double step)
{
    return floor((greatest - at) / step) >= ceil((least - at) / step);
}

static const double pi = 3.14159265358979323846;

static bool wave_range(double least, double greatest, double (*wave)(double), double top,
                       double *least_out, double *greatest_out)
{
    if (!isfinite(least) || !isfinite(greatest)) {
        *least_out = -1.0;
        *greatest_out = 1.0;
        return true;
    }
    *greatest_out = holds_point(least, greatest, top, 2 * pi)
                        ? 1.0
                        : fmax(wave(least), wave(greatest));
    *least_out = holds_point(least, greatest, top + pi, 2 * pi)
                     ? -1.0
                     : fmin(wave(least), wave(greatest));
    return true;
}

static bool sin_range(double least, double greatest, double *least_out,
                      double *greatest_out)
{
    return wave_range(least, greatest, sin, pi / 2, least_out, greatest_out);
}

static bool cos_range(double least, double greatest, double *least_out,
                      double *greatest_out)
{
    return wave_range(least, greatest, cos, 0.0, least_out, greatest_out);
}

static bool tan_range(double least, double greatest, double *least_out,
                      double *greatest_out)
{
    *least_out = tan(least);
    *greatest_out = tan(greatest);
    return isfinite(least) && isfinite(greatest) &&
           !holds_point(least, greatest, pi / 2, pi);
}

static const struct form_curve sin_curve = {sin, cos, sin_range, false, ""};
static const struct form_curve cos_curve = {cos, minus_sin, cos_range, false, ""};
static const struct form_curve tan_curve = {tan, tan_slope, tan_range, false,
                                            "the tangent has no value at a right angle"};

static const struct form *run_choice(const struct expression *at,
                                     struct formula_frame *frame)
{
    const struct form *result = run_form(at->operands[0], frame);
    for (uint32_t i = 1; i < at->count; i++) {
        const struct form *next = run_form(at->operands[i], frame);
        result = at->builtin == BUILTIN_MAX ? form_max(frame->arena, result, next)
                                            : form_min(frame->arena, result, next);
    }
    return result;
}

static const struct form *run_builtin(const struct expression *at,
                                      struct formula_frame *frame)
{
    struct arena *arena = frame->arena;
    if (at->builtin == BUILTIN_MIN || at->builtin == BUILTIN_MAX) {
        return run_choice(at, frame);
    }
    const struct form *of = run_form(at->operands[0], frame);
    switch (at->builtin) {
    case BUILTIN_ABS:
        return form_abs(arena, of);
    case BUILTIN_SQRT:
        return form_root(arena, of);
    case BUILTIN_LEAST:
        return form_least(arena, of);
    case BUILTIN_GREATEST:
        return form_greatest(arena, of);
    case BUILTIN_NOMINAL:
        return form_nominal_only(arena, of);
    case BUILTIN_SIN:
        return form_apply(arena, of, &sin_curve, DIMENSION_RATIO);
    case BUILTIN_COS:
        return form_apply(arena, of, &cos_curve, DIMENSION_RATIO);
    case BUILTIN_TAN:
        return form_apply(arena, of, &tan_curve, DIMENSION_RATIO);
    case BUILTIN_MATCHES:
    case BUILTIN_MIN:
    case BUILTIN_MAX:
    case BUILTIN_COUNT:
        break;
    }
    return NULL;
}

/* ---- patterns */

/* The start of a text that is shown; whole letters. */
static text head_of(text subject)
{
    enum {
        SHOWN = 40
    };
    size_t end = 0;
    while (end < subject.length && end < SHOWN) {
        const size_t letter = text_utf8_length(subject, end);
        end += letter > 0 ? letter : 1;
    }
    return text_slice(subject, 0, end);
}

static void stop_at_pattern(const struct expression *at, struct formula_frame *frame,
                            text subject)
{
    const text head = head_of(subject);
    frame->is_stopped = true;
    if (frame->diagnostics != NULL) {
        diagnostics_report(frame->diagnostics, CODE_PATTERN_LIMIT, at->operands[1]->where,
                           "this pattern takes too long on \"%.*s%s\"", TEXT_ARG(head),
                           head.length < subject.length ? "…" : "")
            ->expected =
            TEXT("a pattern that can match in one way only: no repeat inside a "
                 "repeat, as in (a+)+");
    }
}

static struct value run_matches(const struct expression *at, struct formula_frame *frame)
{
    const struct value word = run(at->operands[0], frame);
    if (word.kind != VALUE_WORD) {
        return value_truth(TRUTH_UNKNOWN, value_doubt(frame->arena, word));
    }
    if (frame->patterns == NULL) {
        frame->patterns =
            pattern_room_open(frame->meanwhile == NULL ? frame->arena : frame->meanwhile);
    }
    if (frame->patterns == NULL || frame->is_stopped) {
        return (struct value){0};
    }
    const text subject = names_text(frame->names, word.word);
    switch (pattern_match(at->pattern, subject, frame->patterns)) {
    case PATTERN_YES:
        return value_truth(TRUTH_YES, no_doubt);
    case PATTERN_NO:
        return value_truth(TRUTH_NO, no_doubt);
    case PATTERN_TOO_HARD:
        stop_at_pattern(at, frame, subject);
        break;
    case PATTERN_NO_MEMORY:
        break;
    }
    return (struct value){0};
}

void formula_rests_on(struct formula_frame *frame, const struct row *row)
{
    if (array_grow(frame->arena, (void **)&frame->rests_on, frame->rests_on_count,
                   &frame->rests_on_room, sizeof *frame->rests_on)) {
        frame->rests_on[frame->rests_on_count++] = row;
    }
}

static void remember_rows(struct formula_frame *frame, const struct function_call *call)
{
    for (uint32_t i = 0; i < call->rests_on_count; i++) {
        formula_rests_on(frame, call->rests_on[i]);
    }
}

static bool nowhere(double least, double greatest, double *least_out,
                    double *greatest_out)
{
    *least_out = least;
    *greatest_out = greatest;
    return false;
}

/* A function's result when a word it needs is missing: as a quantity it has no number,
 * but remembers what is missing. */
static struct value without_word(const struct expression *at, struct formula_frame *frame,
                                 struct value missing)
{
    static const struct form_curve never = {fabs, fabs, nowhere, false,
                                            "a word it needs is missing"};
    return at->type.kind == TYPE_WORD
               ? missing
               : value_quantity(form_apply(frame->arena, as_form(frame, missing), &never,
                                           at->type.dim));
}

static struct value run_call(const struct expression *at, struct formula_frame *frame)
{
    struct value arguments[FUNCTION_ARGUMENTS];
    for (uint32_t i = 0; i < at->count; i++) {
        arguments[i] = run(at->operands[i], frame);
        if (at->operands[i]->type.kind == TYPE_QUANTITY) {
            arguments[i] = value_quantity(as_form(frame, arguments[i]));
        }
        if (arguments[i].kind == VALUE_MISSING) {
            return without_word(at, frame, arguments[i]);
        }
        if (arguments[i].kind == VALUE_NONE ||
            (arguments[i].kind == VALUE_QUANTITY && arguments[i].quantity == NULL)) {
            return (struct value){0};
        }
    }
    struct function_call call = {.entry = at->function,
                                 .arguments = arguments,
                                 .arena = frame->arena,
                                 .names = frame->names,
                                 .world = frame->world};
    if (!at->function->run(&call)) {
        return (struct value){0};
    }
    remember_rows(frame, &call);
    return call.result;
}

/* What forms are not needed for: arithmetic and comparisons of exact numbers. */
static bool run_exact(const struct expression *at, struct formula_frame *frame,
                      struct value *out)
{
    struct exact exact;
    bool is_so = false;
    if (at->operation >= OPERATION_EQUAL && at->operation <= OPERATION_GREATER_EQUAL) {
        const bool is_plain = formula_exact_comparison(at, frame, &is_so);
        *out = value_truth(is_so ? TRUTH_YES : TRUTH_NO, no_doubt);
        return is_plain;
    }
    if (at->operation == OPERATION_LITERAL || at->operation == OPERATION_VARIABLE ||
        !formula_exact(at, frame, &exact)) {
        return false;
    }
    *out = value_quantity(
        form_shared(frame->numbers, frame->arena, *exact.dim, exact.number));
    return true;
}

static struct value run(const struct expression *at, struct formula_frame *frame)
{
    struct arena *arena = frame->arena;
    struct value plain;
    if (run_exact(at, frame, &plain)) {
        return plain;
    }
    switch (at->operation) {
    case OPERATION_LITERAL:
        return at->literal;
    case OPERATION_VARIABLE:
        return frame->slots[at->variable];
    case OPERATION_MINUS:
        return value_quantity(form_scale(arena, run_form(at->operands[0], frame), -1.0));
    case OPERATION_ADD:
        return value_quantity(form_add(arena, run_form(at->operands[0], frame),
                                       run_form(at->operands[1], frame)));
    case OPERATION_SUBTRACT:
        return value_quantity(form_subtract(arena, run_form(at->operands[0], frame),
                                            run_form(at->operands[1], frame)));
    case OPERATION_MULTIPLY:
        return value_quantity(form_multiply(arena, run_form(at->operands[0], frame),
                                            run_form(at->operands[1], frame)));
    case OPERATION_DIVIDE:
        return value_quantity(form_divide(arena, run_form(at->operands[0], frame),
                                          run_form(at->operands[1], frame)));
    case OPERATION_POWER:
        return value_quantity(run_power(at, frame));
    case OPERATION_EQUAL:
    case OPERATION_UNEQUAL:
        return run_equal(at, frame);
    case OPERATION_LESS:
    case OPERATION_LESS_EQUAL:
    case OPERATION_GREATER:
    case OPERATION_GREATER_EQUAL:
        return run_order(at, frame);
    case OPERATION_NOT:
        return negate(run(at->operands[0], frame));
    case OPERATION_AND:
    case OPERATION_OR:
        return run_logic(at, frame);
    case OPERATION_BUILTIN:
        return at->builtin == BUILTIN_MATCHES ? run_matches(at, frame)
                                              : value_quantity(run_builtin(at, frame));
    case OPERATION_CALL:
        return run_call(at, frame);
    case OPERATION_FAULT:
        break;
    }
    return (struct value){0};
}

struct value formula_run(const struct formula *formula, struct formula_frame *frame)
{
    const struct value result = run(formula->root, frame);
    const bool is_lost = frame->is_stopped || arena_status(frame->arena) != STATUS_OK;
    return is_lost ? (struct value){0} : result;
}
