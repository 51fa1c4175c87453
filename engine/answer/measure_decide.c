/* SPDX-License-Identifier: MIT */
/*
 * Which readings of one dimension decide a finding. Where the margin is linear in it the
 * two turning values follow; else the question is asked again with values over the
 * piece's whole extent, and where the outcome changes between two neighbours, halfway
 * between, until the change is known to a micrometre.
 */
#include "interval.h"
#include "measure_private.h"

#include <inttypes.h>
#include <math.h>

enum {
    SAMPLES = 25,     /* over the extent of a piece */
    MOST_ASKED = 1500 /* in one answer */
};

static const double search_grid = 1000.0;   /* nm */
static const double search_beyond = 10.0e6; /* nm past either end of the piece */

/* ---- asking again */

static const struct finding *find_same(const struct answer *answer,
                                       const struct finding *finding)
{
    for (uint32_t i = 0; i < answer->finding_count; i++) {
        const struct finding *other = &answer->findings[i];
        bool is_same = other->kind == finding->kind && other->rule == finding->rule &&
                       text_equal(other->name, finding->name) &&
                       other->subject_count == finding->subject_count;
        for (uint32_t k = 0; is_same && k < finding->subject_count; k++) {
            is_same = text_equal(other->subject[k].value, finding->subject[k].value);
        }
        if (is_same) {
            return other;
        }
    }
    return NULL;
}

/* The given values of the question, and this one, which overrules one of its name. */
static struct worded_pair *with_given(struct arena *arena,
                                      const struct question *question, text name,
                                      text value, uint32_t *count)
{
    struct worded_pair *given =
        ARENA_MANY(arena, (size_t)question->given_count + 1, struct worded_pair);
    *count = 0;
    for (uint32_t i = 0; given != NULL && i < question->given_count; i++) {
        if (!text_equal(question->given[i].name, name)) {
            given[(*count)++] = question->given[i];
        }
    }
    if (given != NULL) {
        given[(*count)++] =
            (struct worded_pair){name, value, question->unit_where, question->unit_where};
    }
    return given;
}

/* The finding's outcome if the dimension had this value. One that is then not asked, or
 * does not count, stops nothing: it holds. false: it cannot be had so. */
static bool outcome_with(struct measuring *measuring, const struct finding *finding,
                         text dimension, text value, enum outcome *out)
{
    struct arena *scratch =
        measuring->asked < MOST_ASKED ? arena_open_beside(measuring->arena) : NULL;
    struct diagnostics *diagnostics = scratch == NULL ? NULL : diagnostics_open(scratch);
    struct question question = *measuring->question;
    struct answer *answer = NULL;
    if (diagnostics == NULL) {
        arena_close(scratch);
        return false;
    }
    measuring->asked++;
    question.is_trial = true;
    question.command = TEXT("swap");
    question.given =
        with_given(scratch, measuring->question, dimension, value, &question.given_count);
    const status answered = question.given == NULL
                                ? STATUS_NO_MEMORY
                                : swap_answer(scratch, measuring->knowledge, &question,
                                              measuring->limits, diagnostics, &answer);
    if (answered == STATUS_OK) {
        const struct finding *then = find_same(answer, finding);
        *out = then == NULL || !then->counts ? OUTCOME_HOLDS : then->outcome;
    } else if (answered != STATUS_INVALID) {
        measuring->result = answered;
    }
    arena_close(scratch);
    return answered == STATUS_OK;
}

/* A length, exactly: no general tolerance is added to what has limits. */
static bool outcome_at(struct measuring *measuring, const struct finding *finding,
                       text dimension, double at, enum outcome *out)
{
    const text value = text_format(measuring->arena, "%" PRId64 " +/-0 nm", (int64_t)at);
    return value.length > 0 && outcome_with(measuring, finding, dimension, value, out);
}

/* ---- stretches */

typedef ARRAY_OF(struct reading_stretch) stretch_list;

static bool add_stretch(struct measuring *measuring, stretch_list *list, double from,
                        double to, enum outcome outcome)
{
    if (list->count > 0 && list->at[list->count - 1].outcome == outcome) {
        list->at[list->count - 1].to = to;
        return true;
    }
    const struct reading_stretch stretch = {from, to, outcome};
    return !(from < to) || ARRAY_PUSH(measuring->arena, list, stretch);
}

/* The turning values keep the dimension's own width; a reading puts its own in its
 * place, which is weighed apart. */
static void leave_own_width(const struct form_term *term, double *holds, double *fails)
{
    const struct interval own =
        interval_scale((struct interval){term->of->low, term->of->high}, term->by);
    if (term->of->basis != BASIS_MISSING) {
        *holds += own.low / term->by;
        *fails += own.high / term->by;
    }
}

/* Three stretches out of the two turning values. false: there are none. */
static bool linear_stretches(struct measuring *measuring, const struct finding *finding,
                             const struct deviation *of, stretch_list *list)
{
    const struct form *margin = finding->margin;
    for (uint32_t i = 0;
         margin != NULL && finding->standing == STANDING_SURE &&
         finding->counted != COUNTED_MAY_BE_WORSE && i < margin->term_count;
         i++) {
        double holds = NAN;
        double fails = NAN;
        if (margin->terms[i].of != of) {
            continue;
        }
        form_turning(margin, i, &holds, &fails);
        leave_own_width(&margin->terms[i], &holds, &fails);
        const bool rises = margin->terms[i].by > 0.0;
        const double low = rises ? fails : holds;
        const double high = rises ? holds : fails;
        if (isnan(low) || isnan(high)) {
            return false;
        }
        return add_stretch(measuring, list, -INFINITY, low,
                           rises ? OUTCOME_FAILS : OUTCOME_HOLDS) &&
               add_stretch(measuring, list, low, high, OUTCOME_UNSURE) &&
               add_stretch(measuring, list, high, INFINITY,
                           rises ? OUTCOME_HOLDS : OUTCOME_FAILS);
    }
    return false;
}

/* Everything a piece is said to reach along its axis, or across it. */
static bool extent_of(const struct measuring *measuring,
                      const struct measured_field *field, double *least, double *greatest)
{
    const struct answer *answer = measuring->answer;
    const struct vocabulary *vocabulary = measuring->knowledge->vocabulary;
    const name_id piece = names_find(answer->names, field->piece);
    *least = INFINITY;
    *greatest = -INFINITY;
    for (uint32_t l = 0; l < vocabulary->listing_count; l++) {
        const relation_id relation = vocabulary->listings[l].relation;
        const struct relation_shape *shape = &vocabulary->shapes[relation];
        for (uint32_t i = 0; i < store_count(answer->store, relation); i++) {
            const struct row *row = store_row(answer->store, relation, i);
            for (uint32_t v = 0; row->key[0] == piece && v < shape->value_count; v++) {
                const struct form *form = row->values[v].kind == VALUE_QUANTITY
                                              ? row->values[v].quantity
                                              : NULL;
                double nominal = NAN;
                if (form != NULL && dimension_equal(form->dim, DIMENSION_LENGTH) &&
                    vocabulary->manners[relation][shape->key_count + v].is_position ==
                        field->manner->is_position &&
                    form_nominal(form, &nominal)) {
                    *least = fmin(*least, nominal);
                    *greatest = fmax(*greatest, nominal);
                }
            }
        }
    }
    *least = field->manner->is_position ? *least - search_beyond : 0.0;
    *greatest += search_beyond;
    return isfinite(*least) && isfinite(*greatest);
}

/* Where after `between->from` it first changes, and to what: at the latest at
 * `between->to`. */
static bool change_between(struct measuring *measuring, const struct finding *finding,
                           text dimension, const struct reading_stretch *between,
                           double *at, enum outcome *then)
{
    double low = between->from;
    double high = between->to;
    enum outcome outcome = OUTCOME_UNKNOWN;
    if (!outcome_at(measuring, finding, dimension, high, then)) {
        return false;
    }
    while (high - low > search_grid) {
        const double middle = floor((low + high) / 2.0 / search_grid) * search_grid;
        if (middle <= low ||
            !outcome_at(measuring, finding, dimension, middle, &outcome)) {
            break;
        }
        if (outcome == between->outcome) {
            low = middle;
        } else {
            high = middle;
            *then = outcome;
        }
    }
    *at = high;
    return measuring->result == STATUS_OK;
}

/* Asks over the whole extent. What lies past its ends is as it is at them. */
static bool searched_stretches(struct measuring *measuring, const struct finding *finding,
                               const struct measured_field *field,
                               const struct deviation *of, stretch_list *list)
{
    double least = 0;
    double greatest = 0;
    double before = -INFINITY;
    double began = -INFINITY;
    enum outcome last = OUTCOME_UNKNOWN;
    enum outcome change = OUTCOME_UNKNOWN;
    if (!field->can_be_given || !dimension_equal(of->dim, DIMENSION_LENGTH) ||
        !extent_of(measuring, field, &least, &greatest)) {
        return false;
    }
    for (int i = 0; i <= SAMPLES; i++) {
        enum outcome outcome = OUTCOME_UNKNOWN;
        const double at =
            floor((least + (greatest - least) * i / SAMPLES) / search_grid) * search_grid;
        if (!outcome_at(measuring, finding, of->name, at, &outcome)) {
            continue; /* the part could not be so */
        }
        while (isfinite(before) && outcome != last) {
            const struct reading_stretch between = {before, at, last};
            if (!change_between(measuring, finding, of->name, &between, &before,
                                &change) ||
                !add_stretch(measuring, list, began, before, last)) {
                return false;
            }
            began = before;
            last = change;
        }
        before = at;
        last = outcome;
    }
    return isfinite(before) && add_stretch(measuring, list, began, INFINITY, last);
}

/* ---- words */

static status choices_decide(struct measuring *measuring,
                             const struct measured_field *field,
                             const struct deviation *of, struct reading_use *use)
{
    const struct column *column = field->column;
    struct reading_choice *choices =
        ARENA_MANY(measuring->arena, column->choice_count, struct reading_choice);
    TRY(arena_status(measuring->arena));
    for (uint32_t i = 0; field->can_be_given && i < column->choice_count; i++) {
        struct reading_choice *choice = &choices[use->choice_count];
        choice->word = names_text(measuring->answer->names, column->choices[i]);
        if (outcome_with(measuring, use->finding, of->name, choice->word,
                         &choice->outcome)) {
            use->choice_count++;
        }
    }
    use->choices = choices;
    return measuring->result;
}

status readings_decide(struct measuring *measuring, const struct measured_field *field,
                       const struct deviation *of, struct reading_use *use)
{
    stretch_list list = {0};
    if (field->column->kind == COLUMN_WORD) {
        return choices_decide(measuring, field, of, use);
    }
    if (!linear_stretches(measuring, use->finding, of, &list)) {
        list.count = 0;
        if (!searched_stretches(measuring, use->finding, field, of, &list)) {
            list.count = 0;
        }
    }
    use->stretches = list.at;
    use->stretch_count = list.count;
    TRY(measuring->result);
    return arena_status(measuring->arena);
}
