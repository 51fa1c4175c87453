/* SPDX-License-Identifier: MIT */
/*
 * Sweeps one dimension over a range: the range is read, the swap is asked at every step,
 * and where the verdict turns between two steps the value is looked for.
 */
#include "sweep.h"

#include "form.h"
#include "number_text.h"
#include "stated.h"
#include "swap_private.h"

#include <math.h>
#include <stdlib.h>

enum {
    HALVINGS = 30,         /* of one interval between two steps */
    MOST_TURNS_BETWEEN = 8 /* found between two steps */
};

/* What a point is asked for: all findings that count and rest on rules. */
struct full_point {
    struct sweep_point point;
    struct sweep_margin *margins;
    uint32_t count;
    status result;
};

struct sweeping {
    struct arena *arena;
    const struct knowledge *knowledge;
    const struct question *question;
    const struct swap_limits *limits;
    struct diagnostics *diagnostics; /* of the question; points have their own */
    struct unit unit;                /* as the range is written */
    struct full_point *points;
    ARRAY_OF(struct sweep_turn) turns;
    struct sweep *sweep;
    status result;
};

/* ---- the range */

static status range_fault(struct sweeping *sweeping, text message)
{
    diagnostics_add(sweeping->diagnostics, CODE_QUESTION_WRONG,
                    sweeping->question->sweep.where, message)
        ->expected = TEXT("PLACE.FEATURE.FIELD=A..B, or A..B/STEPS with 1 to 1000 steps");
    return STATUS_INVALID;
}

/* A whole number of steps. */
static bool read_steps(text word, uint32_t *out)
{
    uint32_t steps = 0;
    for (size_t i = 0; i < word.length; i++) {
        if (!is_digit(word.at[i]) || steps > SWEEP_MOST_STEPS) {
            return false;
        }
        steps = 10 * steps + (uint32_t)(word.at[i] - '0');
    }
    *out = steps;
    return word.length > 0 && steps > 0 && steps <= SWEEP_MOST_STEPS;
}

static status read_range(struct sweeping *sweeping)
{
    const struct worded_pair *pair = &sweeping->question->sweep;
    const struct stated_options options = {.any_dimension = true, .decimal_comma = true};
    struct sweep *sweep = sweeping->sweep;
    struct stated stated = {0};
    const size_t slash = text_find(pair->value, '/', 0);
    const text range = text_trim(text_slice(pair->value, 0, slash));
    sweep->of = pair->name;
    sweep->range = pair->value;
    sweep->steps = SWEEP_STEPS;
    if (slash < pair->value.length &&
        !read_steps(text_trim(text_slice(pair->value, slash + 1, pair->value.length)),
                    &sweep->steps)) {
        return range_fault(sweeping, TEXT("the number of steps could not be read"));
    }
    TRY(stated_read(range, pair->where, &options, sweeping->diagnostics, &stated));
    sweep->from = stated.nominal + stated.low;
    sweep->to = stated.nominal + stated.high;
    sweep->dim = stated.dim;
    sweeping->unit = stated.unit;
    if (stated.basis != STATED_LIMITS || !isfinite(sweep->from) || !isfinite(sweep->to)) {
        return range_fault(sweeping, TEXT("this is no range with two ends"));
    }
    return sweep->from < sweep->to ? STATUS_OK
                                   : range_fault(sweeping, TEXT("the range is empty"));
}

/* ---- the dimension as it is recorded */

static const struct deviation *find_deviation(const struct form *form, text name)
{
    for (uint32_t i = 0; form != NULL && i < form->term_count; i++) {
        if (text_equal(form->terms[i].of->name, name)) {
            return form->terms[i].of;
        }
    }
    return NULL;
}

/* Its limits in the swap as it is asked; a dimension that nobody recorded has none. */
static status find_width(struct sweeping *sweeping, const struct swap *swap)
{
    const text name = sweeping->sweep->of;
    const size_t dot = text_find(name, '.', 0);
    const name_id place = names_find(swap->layer.names, text_slice(name, 0, dot));
    const struct row *const *rows = NULL;
    uint32_t count = 0;
    if (place == NAME_NONE) {
        return STATUS_OK;
    }
    TRY(store_rows_of(swap->layer.store, place, &rows, &count));
    for (uint32_t i = 0; i < count; i++) {
        const uint32_t values =
            store_shape(swap->layer.store, rows[i]->relation)->value_count;
        for (uint32_t v = 0; v < values; v++) {
            const struct deviation *of =
                rows[i]->values[v].kind == VALUE_QUANTITY
                    ? find_deviation(rows[i]->values[v].quantity, name)
                    : NULL;
            if (of != NULL && isfinite(of->low) && isfinite(of->high)) {
                sweeping->sweep->has_width = true;
                sweeping->sweep->width_low = of->low;
                sweeping->sweep->width_high = of->high;
                return STATUS_OK;
            }
        }
    }
    return STATUS_OK;
}

/* "21.5 +0.2/-0.2 mm": the value of a point with the width that is kept. */
static text value_at(const struct sweeping *sweeping, struct arena *arena, double at)
{
    const struct sweep *sweep = sweeping->sweep;
    const struct unit *unit = &sweeping->unit;
    const text number = number_write(arena, unit_from_coherent(unit, at));
    if (!sweep->has_width) {
        return text_format(arena, "%.*s %s", TEXT_ARG(number), unit->symbol);
    }
    const text high = number_write(arena, fabs(sweep->width_high / unit->scale));
    const text low = number_write(arena, fabs(sweep->width_low / unit->scale));
    return text_format(arena, "%.*s %s%.*s/%s%.*s %s", TEXT_ARG(number),
                       sweep->width_high < 0 ? "-" : "+", TEXT_ARG(high),
                       sweep->width_low > 0 ? "+" : "-", TEXT_ARG(low), unit->symbol);
}

/* ---- one point */

static text subject_of(struct arena *arena, const struct finding *finding)
{
    text all = {"", 0};
    for (uint32_t i = 0; i < finding->subject_count; i++) {
        if (!text_is(finding->subject[i].column, "unit")) {
            all = text_format(arena, "%.*s%s%.*s", TEXT_ARG(all),
                              all.length > 0 ? ", " : "",
                              TEXT_ARG(finding->subject[i].value));
        }
    }
    return all;
}

/* The range of a form without its terms, so that it outlives the point's arena. */
static const struct form *range_of(struct arena *arena, const struct form *form)
{
    struct form *made = arena_copy(arena, form, sizeof *form);
    if (made != NULL) {
        made->terms = NULL;
        made->term_count = 0;
        made->absorbed = NULL;
        made->absorbed_count = 0;
    }
    return made;
}

static struct sweep_margin margin_of(const struct sweeping *sweeping, struct arena *arena,
                                     const struct finding *finding)
{
    struct sweep_margin made = {.rule = text_copy(arena, finding->name),
                                .subject = subject_of(arena, finding),
                                .outcome = finding->outcome,
                                .counts = finding->counts,
                                .margin = range_of(arena, finding->margin),
                                .holds_from = NAN,
                                .fails_from = NAN};
    for (uint32_t i = 0; i < finding->contributor_count; i++) {
        if (text_equal(finding->contributors[i].of->name, sweeping->sweep->of)) {
            made.holds_from = finding->contributors[i].holds_from;
            made.fails_from = finding->contributors[i].fails_from;
        }
    }
    return made;
}

/* Asks the swap at one value; what is kept goes into `arena`. */
static status ask_at(const struct sweeping *sweeping, struct arena *arena, double at,
                     struct diagnostics *diagnostics, struct full_point *out)
{
    const struct question *asked = sweeping->question;
    struct question question = *asked;
    struct worded_pair *given =
        ARENA_MANY(arena, (size_t)asked->given_count + 1, struct worded_pair);
    struct answer *answer = NULL;
    TRY(arena_status(arena));
    for (uint32_t i = 0; i < asked->given_count; i++) {
        given[i] = asked->given[i];
    }
    given[asked->given_count] = asked->sweep;
    given[asked->given_count].value = value_at(sweeping, arena, at);
    question.given = given;
    question.given_count++;
    struct effort effort = {0};
    struct swap_limits limits = *sweeping->limits;
    limits.effort = &effort;
    TRY(swap_answer(arena, sweeping->knowledge, &question, &limits, diagnostics,
                    &answer));
    effort_add(sweeping->limits->effort, &effort);
    struct sweep_margin *margins =
        ARENA_MANY(arena, answer->finding_count, struct sweep_margin);
    TRY(arena_status(arena));
    for (uint32_t i = 0; i < answer->finding_count; i++) {
        if (answer->findings[i].kind == FINDING_BY_RULE) {
            margins[out->count++] = margin_of(sweeping, arena, &answer->findings[i]);
        }
    }
    out->margins = margins;
    out->point = (struct sweep_point){
        .at = at,
        .verdict = answer->verdict,
        .because = answer->because_count > 0 ? text_copy(arena, answer->because[0])
                                             : (text){"", 0}};
    return arena_status(arena);
}

static void copy_point(struct arena *arena, struct full_point *point)
{
    struct sweep_margin *margins =
        arena_copy(arena, point->margins, point->count * sizeof *margins);
    for (uint32_t i = 0; margins != NULL && i < point->count; i++) {
        margins[i].rule = text_copy(arena, margins[i].rule);
        margins[i].subject = text_copy(arena, margins[i].subject);
        margins[i].margin =
            arena_copy(arena, margins[i].margin, sizeof *margins[i].margin);
    }
    point->margins = margins;
    point->point.because = text_copy(arena, point->point.because);
}

/* In an arena of its own, which is then closed. */
static struct full_point ask_apart(struct sweeping *sweeping, double at)
{
    struct full_point point = {.result = STATUS_NO_MEMORY};
    struct arena *arena = arena_beside(sweeping->arena);
    struct diagnostics *diagnostics = arena == NULL ? NULL : diagnostics_open(arena);
    if (diagnostics != NULL) {
        point.result = ask_at(sweeping, arena, at, diagnostics, &point);
    }
    if (point.result == STATUS_OK) {
        copy_point(sweeping->arena, &point);
    } else if (sweeping->result == STATUS_OK) {
        sweeping->result = point.result;
    }
    arena_close(arena);
    return point;
}

static double at_step(const struct sweep *sweep, uint32_t i)
{
    return i == sweep->steps ? sweep->to
                             : sweep->from + (sweep->to - sweep->from) * i / sweep->steps;
}

static status ask_steps(struct sweeping *sweeping)
{
    const struct sweep *sweep = sweeping->sweep;
    const uint32_t count = sweep->steps + 1;
    sweeping->points = ARENA_MANY(sweeping->arena, count, struct full_point);
    TRY(arena_status(sweeping->arena));
    /* The first point is asked where the user's faults are told. */
    TRY(ask_at(sweeping, sweeping->arena, sweep->from, sweeping->diagnostics,
               &sweeping->points[0]));
    for (uint32_t i = 1; i < count && sweeping->result == STATUS_OK; i++) {
        sweeping->points[i] = ask_apart(sweeping, at_step(sweep, i));
        if (sweeping->limits->progress != NULL) {
            sweeping->limits->progress(sweeping->limits->progress_context, i, count - i);
        }
    }
    return sweeping->result;
}

/* ---- where the verdict turns */

static void add_turn(struct sweeping *sweeping, const struct sweep_turn *turn)
{
    if (!ARRAY_PUSH(sweeping->arena, &sweeping->turns, *turn)) {
        sweeping->result = arena_status(sweeping->arena);
    }
}

/* A step on either side of a value, on the grid on which results are compared. */
static double beside(const struct sweeping *sweeping)
{
    return 2 * dimension_grid(sweeping->sweep->dim);
}

/* The value between two points from which a margin of either holds, or fails, nearest to
 * the first and past `after`; NAN when there is none. */
static double next_candidate(const struct full_point *one, const struct full_point *two,
                             double after, text *rule)
{
    const struct full_point *const ends[2] = {one, two};
    double best = NAN;
    for (int e = 0; e < 2; e++) {
        for (uint32_t i = 0; i < ends[e]->count; i++) {
            const struct sweep_margin *margin = &ends[e]->margins[i];
            const double values[2] = {margin->holds_from, margin->fails_from};
            for (int v = 0; v < 2; v++) {
                const bool is_between = values[v] > after && values[v] >= one->point.at &&
                                        values[v] <= two->point.at;
                if (margin->counts && is_between && !(values[v] >= best)) {
                    best = values[v];
                    *rule = margin->rule;
                }
            }
        }
    }
    return best;
}

/* Halves an interval over which the verdict turns until it is as short as can be told
 * apart on the way to a thousandth of a step. */
static void halve(struct sweeping *sweeping, struct full_point low,
                  struct full_point high)
{
    const double fine = fmax(beside(sweeping), (high.point.at - low.point.at) / 4096);
    for (uint32_t i = 0; i < HALVINGS && high.point.at - low.point.at > fine &&
                         sweeping->result == STATUS_OK;
         i++) {
        const struct full_point middle =
            ask_apart(sweeping, (low.point.at + high.point.at) / 2);
        if (middle.point.verdict == low.point.verdict) {
            low = middle;
        } else {
            high = middle;
        }
    }
    const struct sweep_turn turn = {.before = low.point.verdict,
                                    .after = high.point.verdict,
                                    .low = low.point.at,
                                    .high = high.point.at};
    add_turn(sweeping, &turn);
}

/* All turns between two points, from the first on. A candidate is one where the verdict
 * just before is another than just after. */
static void find_turns(struct sweeping *sweeping, const struct full_point *one,
                       const struct full_point *two)
{
    struct full_point low = *one;
    double after = -INFINITY;
    text rule = {"", 0};
    const double step = beside(sweeping);
    for (uint32_t found = 0; found < MOST_TURNS_BETWEEN &&
                             low.point.verdict != two->point.verdict &&
                             sweeping->result == STATUS_OK;) {
        const double at = next_candidate(one, two, after, &rule);
        if (isnan(at)) {
            halve(sweeping, low, *two);
            return;
        }
        const struct full_point before =
            at - step <= one->point.at ? *one : ask_apart(sweeping, at - step);
        const struct full_point then =
            at + step >= two->point.at ? *two : ask_apart(sweeping, at + step);
        after = at + step;
        if (before.point.verdict != low.point.verdict) {
            halve(sweeping, low, before); /* it turned earlier, for no margin's sake */
            low = before;
            found++;
        }
        if (before.point.verdict != then.point.verdict) {
            const struct sweep_turn turn = {.before = before.point.verdict,
                                            .after = then.point.verdict,
                                            .is_exact = true,
                                            .low = at,
                                            .high = at,
                                            .rule = rule};
            add_turn(sweeping, &turn);
            found++;
        }
        low = then;
    }
}

/* ---- which margins change */

static const struct sweep_margin *find_margin(const struct full_point *point,
                                              const struct sweep_margin *like)
{
    for (uint32_t i = 0; i < point->count; i++) {
        if (text_equal(point->margins[i].rule, like->rule) &&
            text_equal(point->margins[i].subject, like->subject)) {
            return &point->margins[i];
        }
    }
    return NULL;
}

static bool same_margin(const struct sweep_margin *a, const struct sweep_margin *b)
{
    const double grid = dimension_grid(a->margin->dim);
    return a->outcome == b->outcome && a->counts == b->counts &&
           (fabs(a->margin->least - b->margin->least) <= grid ||
            a->margin->least == b->margin->least) &&
           (fabs(a->margin->greatest - b->margin->greatest) <= grid ||
            a->margin->greatest == b->margin->greatest);
}

static bool is_changing(const struct sweeping *sweeping, const struct sweep_margin *like)
{
    for (uint32_t i = 1; i <= sweeping->sweep->steps; i++) {
        const struct sweep_margin *other = find_margin(&sweeping->points[i], like);
        if (other == NULL || !same_margin(like, other)) {
            return true;
        }
    }
    return false;
}

static int compare_margins(const void *a, const void *b)
{
    const struct sweep_margin *left = a;
    const struct sweep_margin *right = b;
    const int rule = text_compare(left->rule, right->rule);
    return rule != 0 ? rule : text_compare(left->subject, right->subject);
}

/* Of each point the margins that change over the range, in the same order; a finding that
 * a point lacks has no margin there. */
static status keep_points(struct sweeping *sweeping)
{
    struct sweep *sweep = sweeping->sweep;
    ARRAY_OF(struct sweep_margin) changing = {0};
    struct sweep_point *points =
        ARENA_MANY(sweeping->arena, sweep->steps + 1, struct sweep_point);
    for (uint32_t i = 0; i < sweeping->points[0].count; i++) {
        const struct sweep_margin *margin = &sweeping->points[0].margins[i];
        if (is_changing(sweeping, margin) &&
            !ARRAY_PUSH(sweeping->arena, &changing, *margin)) {
            return arena_status(sweeping->arena);
        }
    }
    if (changing.count > 1) {
        qsort(changing.at, changing.count, sizeof *changing.at, compare_margins);
    }
    for (uint32_t i = 0; points != NULL && i <= sweep->steps; i++) {
        struct sweep_margin *margins =
            ARENA_MANY(sweeping->arena, changing.count, struct sweep_margin);
        TRY(arena_status(sweeping->arena));
        for (uint32_t k = 0; k < changing.count; k++) {
            const struct sweep_margin *own =
                find_margin(&sweeping->points[i], &changing.at[k]);
            margins[k] = own != NULL
                             ? *own
                             : (struct sweep_margin){.rule = changing.at[k].rule,
                                                     .subject = changing.at[k].subject};
        }
        points[i] = sweeping->points[i].point;
        points[i].margins = margins;
    }
    sweep->points = points;
    sweep->point_count = sweep->steps + 1;
    sweep->margin_count = changing.count;
    sweep->turns = sweeping->turns.at;
    sweep->turn_count = sweeping->turns.count;
    return arena_status(sweeping->arena);
}

status sweep_answer(struct arena *arena, const struct knowledge *knowledge,
                    const struct question *question, const struct swap_limits *limits,
                    struct diagnostics *diagnostics, struct answer **out)
{
    struct swap swap;
    struct sweeping sweeping = {.arena = arena,
                                .knowledge = knowledge,
                                .question = question,
                                .limits = limits,
                                .diagnostics = diagnostics,
                                .sweep = ARENA_NEW(arena, struct sweep)};
    TRY(arena_status(arena));
    TRY(read_range(&sweeping));
    TRY(swap_open(&swap, arena, knowledge, question, limits, diagnostics));
    TRY(swap_judge(&swap));
    TRY(find_width(&sweeping, &swap));
    TRY(ask_steps(&sweeping));
    for (uint32_t i = 0; i < sweeping.sweep->steps; i++) {
        find_turns(&sweeping, &sweeping.points[i], &sweeping.points[i + 1]);
        TRY(sweeping.result);
    }
    TRY(keep_points(&sweeping));
    swap_spend(&swap);
    swap.answer->sweep = sweeping.sweep;
    *out = swap.answer;
    return arena_status(arena);
}
