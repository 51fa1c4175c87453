/* SPDX-License-Identifier: MIT */
/*
 * What to measure: the open findings of a swap's answer, the dimensions that keep them
 * open, for each what its readings decide, and a gauge that is fine enough; in the order
 * that decides soonest.
 */
#include "measure_private.h"

#include "interval.h"
#include "swap_private.h"
#include "ways.h"

#include <math.h>
#include <stdlib.h>

/* ---- which dimensions */

typedef ARRAY_OF(struct measurement) measurement_list;
typedef ARRAY_OF(struct reading_use) use_list;

static bool is_open(const struct finding *finding)
{
    return finding_stops(finding) && finding->outcome != OUTCOME_FAILS;
}

/* What keeps a finding open: what is missing, or else all that varies. */
static struct doubt doubt_of(struct arena *arena, const struct finding *finding)
{
    struct doubt doubt = finding->doubt;
    if (finding->margin != NULL) {
        doubt =
            doubt_join(arena, doubt, value_doubt(arena, value_quantity(finding->margin)));
    }
    return doubt;
}

static uint32_t missing_count(struct doubt doubt)
{
    uint32_t count = 0;
    for (uint32_t i = 0; i < doubt.count; i++) {
        count += doubt.of[i]->basis == BASIS_MISSING ? 1 : 0;
    }
    return count;
}

/* Counts, settings and what moves cannot be read off a piece. */
static bool can_be_read(const struct deviation *of)
{
    return of->kind == DEVIATION_MADE || of->kind == DEVIATION_READ;
}

/* Adds what this finding asks of a dimension. */
static bool add_use(struct measuring *measuring, measurement_list *list,
                    const struct deviation *of, const struct finding *finding,
                    bool is_alone)
{
    struct measurement *item = NULL;
    for (uint32_t i = 0; i < list->count; i++) {
        item = text_equal(list->at[i].of->name, of->name) ? &list->at[i] : item;
    }
    if (item == NULL) {
        const struct measurement empty = {.of = of};
        if (!ARRAY_PUSH(measuring->arena, list, empty)) {
            return false;
        }
        item = &list->at[list->count - 1];
    }
    use_list uses = {0};
    for (uint32_t i = 0; i < item->use_count; i++) {
        if (!ARRAY_PUSH(measuring->arena, &uses, item->uses[i])) {
            return false;
        }
    }
    const struct reading_use use = {.finding = finding, .alone = is_alone};
    if (!ARRAY_PUSH(measuring->arena, &uses, use)) {
        return false;
    }
    item->uses = uses.at;
    item->use_count = uses.count;
    return true;
}

/* Whether some gauge at hand reads it finer than it is made. */
static bool is_worth_reading(const struct measuring *measuring,
                             const struct measured_field *field,
                             const struct deviation *of)
{
    const struct gauge *gauge = gauge_for(measuring, field->column->got_by, of, 0.0);
    return of->basis == BASIS_MISSING ||
           (gauge != NULL && 2.0 * gauge->figure < of->high - of->low);
}

/* Adds what is missing in an open finding, or else all that varies in it. */
static bool add_doubt(struct measuring *measuring, measurement_list *list,
                      const struct finding *finding, bool *has_any)
{
    const struct doubt doubt = doubt_of(measuring->arena, finding);
    const uint32_t missing = missing_count(doubt);
    bool is_added = true;
    for (uint32_t i = 0; is_added && i < doubt.count; i++) {
        struct measured_field field;
        const struct deviation *of = doubt.of[i];
        if ((missing > 0 && of->basis != BASIS_MISSING) || !can_be_read(of) ||
            !measured_field_of(measuring, of->name, &field) ||
            !is_worth_reading(measuring, &field, of)) {
            continue;
        }
        *has_any = true;
        is_added = add_use(measuring, list, of, finding,
                           missing == 1 || (missing == 0 && doubt.count == 1));
    }
    return is_added;
}

/* What a reading of one term leaves of its share in the margin's width. */
struct narrowing {
    const struct deviation *of;
    struct interval before; /* of the margin, from this term */
    double after;           /* to either side, from the gauge */
};

static double gain(const struct narrowing *one)
{
    return one->before.high - one->before.low - 2.0 * one->after;
}

static int compare_narrowings(const void *a, const void *b)
{
    const double left = gain(a);
    const double right = gain(b);
    return left != right ? (left > right ? -1 : 1)
                         : text_compare(((const struct narrowing *)a)->of->name,
                                        ((const struct narrowing *)b)->of->name);
}

/* The terms of a margin that some gauge at hand reads finer than they are made. */
static struct narrowing *find_narrowings(const struct measuring *measuring,
                                         const struct form *margin, uint32_t *count)
{
    struct narrowing *all =
        ARENA_MANY(measuring->arena, margin->term_count, struct narrowing);
    *count = 0;
    for (uint32_t i = 0; all != NULL && i < margin->term_count; i++) {
        struct measured_field field;
        const struct form_term *term = &margin->terms[i];
        if (!can_be_read(term->of) ||
            !measured_field_of(measuring, term->of->name, &field)) {
            continue;
        }
        const struct gauge *gauge =
            gauge_for(measuring, field.column->got_by, term->of, 0.0);
        const struct narrowing one = {
            term->of,
            interval_scale((struct interval){term->of->low, term->of->high}, term->by),
            gauge == NULL ? INFINITY : fabs(term->by) * gauge->figure};
        if (gain(&one) > 0.0) {
            all[(*count)++] = one;
        }
    }
    if (all != NULL && *count > 1) {
        qsort(all, *count, sizeof *all, compare_narrowings);
    }
    return all;
}

/* Of what only straddles: the fewest dimensions, those that narrow the margin most
 * first, that decide it if they read as drawn. */
static bool add_straddling(struct measuring *measuring, measurement_list *list,
                           const struct finding *finding, bool *has_any)
{
    uint32_t count = 0;
    struct interval left = {finding->margin->least, finding->margin->greatest};
    const struct narrowing *all = find_narrowings(measuring, finding->margin, &count);
    bool is_added = all != NULL;
    uint32_t taken = 0;
    while (is_added && taken < count && left.low < 0.0 && left.high >= 0.0) {
        left.low += -all[taken].before.low - all[taken].after;
        left.high += -all[taken].before.high + all[taken].after;
        taken++;
    }
    for (uint32_t i = 0; is_added && i < taken; i++) {
        *has_any = true;
        is_added = add_use(measuring, list, all[i].of, finding, taken == 1);
    }
    return is_added;
}

/* Adds the dimensions of one open finding; *has_any: there is one that can be read. */
static bool add_finding(struct measuring *measuring, measurement_list *list,
                        const struct finding *finding, bool *has_any)
{
    *has_any = false;
    return finding->outcome == OUTCOME_UNSURE && finding->standing == STANDING_SURE &&
                   finding->margin != NULL && finding->counted != COUNTED_MAY_BE_WORSE &&
                   finding->margin->absorbed_count == 0
               ? add_straddling(measuring, list, finding, has_any)
               : add_doubt(measuring, list, finding, has_any);
}

/* ---- how finely, and with what */

/* How far the reading may be off and still tell, if the piece is as drawn: the distance
 * to the nearest end of the stretch the nominal lies in; of what has no nominal half of
 * what the other dimensions leave undecided. */
static double good_enough_for(const struct reading_use *use, double nominal)
{
    double enough = NAN;
    for (uint32_t i = 0; i < use->stretch_count; i++) {
        const struct reading_stretch *stretch = &use->stretches[i];
        const bool is_decided =
            stretch->outcome == OUTCOME_HOLDS || stretch->outcome == OUTCOME_FAILS;
        if (isnan(nominal)) {
            const double half = (stretch->to - stretch->from) / 2.0;
            enough = stretch->outcome == OUTCOME_UNSURE && isfinite(half)
                         ? fmin(enough, half)
                         : enough;
        } else if (is_decided && nominal > stretch->from && nominal < stretch->to) {
            enough = fmin(nominal - stretch->from, stretch->to - nominal);
        }
    }
    return isfinite(enough) && enough > 0.0 ? enough : NAN;
}

static void find_good_enough(struct measurement *item)
{
    const double nominal = item->of->basis == BASIS_MISSING ? NAN : item->of->nominal;
    item->good_enough = NAN;
    for (uint32_t i = 0; i < item->use_count; i++) {
        item->good_enough =
            fmin(item->good_enough, good_enough_for(&item->uses[i], nominal));
    }
}

static void find_gauge(const struct measuring *measuring, struct measurement *item)
{
    const struct gauge *best =
        gauge_for(measuring, item->gauges, item->of, item->good_enough);
    item->gauge_state =
        best == NULL ? GAUGE_NONE
        : item->is_word || isnan(item->good_enough) || best->figure <= item->good_enough
            ? GAUGE_FINE
            : GAUGE_COARSE;
    item->gauge = best == NULL ? (text){"", 0} : best->title;
    item->uncertainty = best == NULL ? NAN : best->figure;
}

static bool is_of_swap(const struct answer *answer, text piece)
{
    const text place = text_slice(piece, 0, text_find(piece, '.', 0));
    for (uint32_t i = 0; i < answer->change_count; i++) {
        const text name = answer->changes[i].name;
        const size_t plus = text_find(name, '+', 0);
        if ((text_equal(text_slice(name, 0, plus), place) ||
             text_equal(text_slice(name, plus + 1, name.length), place)) &&
            !text_is(answer->changes[i].value, "turned")) {
            return true;
        }
    }
    for (uint32_t i = 0; i < answer->brought_count; i++) {
        if (text_equal(answer->brought[i].name, place)) {
            return true;
        }
    }
    return false;
}

static status fill(struct measuring *measuring, struct measurement *item)
{
    struct measured_field field;
    struct reading_use *uses =
        arena_copy(measuring->arena, item->uses, item->use_count * sizeof *uses);
    TRY(arena_status(measuring->arena));
    (void)measured_field_of(measuring, item->of->name, &field);
    for (uint32_t i = 0; i < item->use_count; i++) {
        TRY(readings_decide(measuring, &field, item->of, &uses[i]));
    }
    const struct names *names = measuring->answer->names;
    const struct part *part = part_of_piece(measuring, field.piece);
    item->uses = uses;
    item->dimension = item->of->name;
    item->piece = field.piece;
    item->is_word = field.column->kind == COLUMN_WORD;
    item->says = field.feature.length == 0
                     ? names_text(names, field.column->name)
                     : text_format(measuring->arena, "%.*s %.*s, %.*s",
                                   TEXT_ARG(names_text(names, field.shape->name)),
                                   TEXT_ARG(field.feature),
                                   TEXT_ARG(names_text(names, field.column->name)));
    item->datum = field.manner->is_position && part != NULL && part->datum != NAME_NONE
                      ? names_text(names, part->datum)
                      : (text){"", 0};
    item->reach =
        is_of_swap(measuring->answer, field.piece) ? REACH_IN_HAND : REACH_APART;
    item->gauges = field.column->got_by;
    find_good_enough(item);
    find_gauge(measuring, item);
    return arena_status(measuring->arena);
}

/* ---- the order */

static uint32_t decided_alone(const struct measurement *item)
{
    uint32_t count = 0;
    for (uint32_t i = 0; i < item->use_count; i++) {
        count += item->uses[i].alone ? 1 : 0;
    }
    return count;
}

/* The share of the finding's width that hangs on it, of the finding where it is most. */
static double greatest_share(const struct measurement *item)
{
    double most = 0.0;
    for (uint32_t i = 0; i < item->use_count; i++) {
        const struct form *margin = item->uses[i].finding->margin;
        for (uint32_t k = 0; margin != NULL && k < margin->term_count; k++) {
            if (margin->terms[k].of == item->of) {
                most = fmax(most, form_share(margin, k));
            }
        }
    }
    return most;
}

/* What settles most findings by itself, then what enters most, then what weighs most,
 * then what is nearer at hand and easier to read. */
static int compare_measurements(const void *a, const void *b)
{
    const struct measurement *left = a;
    const struct measurement *right = b;
    const uint32_t left_alone = decided_alone(left);
    const uint32_t right_alone = decided_alone(right);
    const double left_share = greatest_share(left);
    const double right_share = greatest_share(right);
    if (left_alone != right_alone) {
        return left_alone > right_alone ? -1 : 1;
    }
    if (left->use_count != right->use_count) {
        return left->use_count > right->use_count ? -1 : 1;
    }
    if (fabs(left_share - right_share) > 1e-9) {
        return left_share > right_share ? -1 : 1;
    }
    if (left->reach != right->reach) {
        return left->reach < right->reach ? -1 : 1;
    }
    if (left->gauge_state != right->gauge_state) {
        return left->gauge_state < right->gauge_state ? -1 : 1;
    }
    return text_compare(left->of->name, right->of->name);
}

/* ---- the whole */

static status gather(struct measuring *measuring, struct measure *out)
{
    measurement_list list = {0};
    ARRAY_OF(const struct finding *) others = {0};
    const struct answer *answer = measuring->answer;
    for (uint32_t i = 0;
         answer->verdict == VERDICT_NOT_KNOWN && i < answer->finding_count; i++) {
        bool has_any = true;
        if (is_open(&answer->findings[i]) &&
            (!add_finding(measuring, &list, &answer->findings[i], &has_any) ||
             (!has_any &&
              !ARRAY_PUSH(measuring->arena, &others, &answer->findings[i])))) {
            return arena_status(measuring->arena);
        }
    }
    for (uint32_t i = 0; i < list.count; i++) {
        TRY(fill(measuring, &list.at[i]));
    }
    if (list.count > 1) {
        qsort(list.at, list.count, sizeof *list.at, compare_measurements);
    }
    *out = (struct measure){.measurements = list.at,
                            .count = list.count,
                            .others = others.at,
                            .other_count = others.count,
                            .asked = measuring->asked};
    return STATUS_OK;
}

status measure_answer(struct arena *arena, const struct knowledge *knowledge,
                      const struct question *question, const struct swap_limits *limits,
                      struct diagnostics *diagnostics, struct answer **out)
{
    struct measuring measuring = {.arena = arena,
                                  .knowledge = knowledge,
                                  .question = question,
                                  .limits = limits,
                                  .diagnostics = diagnostics};
    struct measure *measure = ARENA_NEW(arena, struct measure);
    TRY(arena_status(arena));
    TRY(gauges_check(knowledge, question, diagnostics));
    TRY(swap_answer(arena, knowledge, question, limits, diagnostics, &measuring.answer));
    TRY(gather(&measuring, measure));
    measuring.answer->measure = measure;
    *out = measuring.answer;
    return STATUS_OK;
}
