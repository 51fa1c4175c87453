/* SPDX-License-Identifier: MIT */
/*
 * The look that splits the candidates best for its effort; what "best" is stands in
 * identify.h. The answers of all candidates to a field are intervals on a line, so what a
 * reading leaves is all but those that end below it and those that begin above it: two
 * sorted lists tell, whatever the number of candidates.
 */
#include "identify_private.h"

#include "ways.h"

#include <math.h>
#include <stdlib.h>

/* The answers of the candidates that are left to one field. */
struct answers {
    const struct field *field;
    uint32_t index; /* of the field */
    uint32_t anchor;
    name_id face;         /* that the anchor is of; NAME_NONE */
    struct spread *of;    /* of all candidates */
    const uint32_t *left; /* indexes of those that are left */
    uint32_t count;
    double *leasts; /* of those with a value, ascending */
    double *greatests;
    uint32_t valued;
    uint32_t lacking;
};

/* A look: a field and a way of getting it. */
struct option {
    uint32_t field;
    uint32_t anchor;
    name_id face;
    text way;
    double uncertainty; /* NAN: it is no reading */
    double seconds;     /* INFINITY: nobody says */
    bool needs_opening;
    double bits;
    double mean_left;
    uint32_t most_left;
};

struct splitting {
    struct identifying *identifying;
    const uint32_t *left;
    uint32_t count;
    ARRAY_OF(struct option) options; /* one a field */
};

static text name_text(const struct identifying *identifying, name_id name)
{
    return names_text(identifying->names, name);
}

/* ---- what a reading leaves */

static int compare_numbers(const void *a, const void *b)
{
    const double left = *(const double *)a;
    const double right = *(const double *)b;
    return (left > right) - (left < right);
}

static bool answers_open(const struct splitting *splitting, struct answers *answers)
{
    struct arena *arena = splitting->identifying->arena;
    answers->field = &splitting->identifying->fields.at[answers->index];
    answers->of = field_spreads(splitting->identifying, answers->index, answers->anchor);
    answers->left = splitting->left;
    answers->count = splitting->count;
    answers->leasts = ARENA_MANY(arena, splitting->count, double);
    answers->greatests = ARENA_MANY(arena, splitting->count, double);
    if (answers->of == NULL || answers->leasts == NULL || answers->greatests == NULL) {
        return false;
    }
    for (uint32_t i = 0; i < answers->count; i++) {
        const struct spread *one = &answers->of[answers->left[i]];
        answers->lacking += one->known == KNOWN_LACKING ? 1 : 0;
        if (one->known == KNOWN_VALUE) {
            answers->leasts[answers->valued] = one->least;
            answers->greatests[answers->valued++] = one->greatest;
        }
    }
    if (answers->valued > 1) {
        qsort(answers->leasts, answers->valued, sizeof(double), compare_numbers);
        qsort(answers->greatests, answers->valued, sizeof(double), compare_numbers);
    }
    return true;
}

static void answers_close(const struct splitting *splitting, struct answers *answers)
{
    struct arena *arena = splitting->identifying->arena;
    arena_drop(arena, answers->of,
               splitting->identifying->found.count * sizeof *answers->of);
    arena_drop(arena, answers->leasts, splitting->count * sizeof(double));
    arena_drop(arena, answers->greatests, splitting->count * sizeof(double));
}

/* How many of the ascending numbers lie below x. */
static uint32_t count_below(const double *numbers, uint32_t count, double x)
{
    uint32_t low = 0;
    uint32_t high = count;
    while (low < high) {
        const uint32_t middle = low + (high - low) / 2;
        if (numbers[middle] < x) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    return low;
}

/* How many do not lie above x. */
static uint32_t count_up_to(const double *numbers, uint32_t count, double x)
{
    return count_below(numbers, count, nextafter(x, INFINITY));
}

/* The candidates that a kind seen leaves: kinds overlap where one is the other. */
static uint32_t left_by_kind(const struct splitting *splitting,
                             const struct answers *answers, double kind)
{
    uint32_t apart = 0;
    for (uint32_t i = 0; i < answers->count; i++) {
        const struct spread *one = &answers->of[answers->left[i]];
        apart += one->known == KNOWN_LACKING ||
                         (one->known == KNOWN_VALUE &&
                          !kinds_meet(splitting->identifying->knowledge->vocabulary,
                                      (name_id)one->least, (name_id)kind))
                     ? 1
                     : 0;
    }
    return answers->count - apart;
}

/* How many candidates are left if it is this one, read as drawn. */
static uint32_t left_by(const struct splitting *splitting, const struct answers *answers,
                        const struct spread *one, double uncertainty)
{
    if (one->known == KNOWN_LACKING) {
        return answers->count - answers->valued;
    }
    if (one->known == KNOWN_NOT || isnan(one->reading)) {
        return answers->count;
    }
    if (answers->field->kind == LOOK_KIND) {
        return left_by_kind(splitting, answers, one->reading);
    }
    const double about = isnan(uncertainty) ? 0.0 : uncertainty;
    const double grid = answers->field->kind == LOOK_QUANTITY
                            ? dimension_grid(answers->field->column->dim)
                            : 0.0;
    const uint32_t below =
        count_below(answers->greatests, answers->valued, one->reading - about - grid);
    const uint32_t above = answers->valued - count_up_to(answers->leasts, answers->valued,
                                                         one->reading + about + grid);
    return answers->count - answers->lacking - below - above;
}

static void weigh(const struct splitting *splitting, const struct answers *answers,
                  struct option *option)
{
    double sum = 0.0;
    double total = 0.0;
    option->most_left = 0;
    for (uint32_t i = 0; i < answers->count; i++) {
        const uint32_t left = left_by(splitting, answers, &answers->of[answers->left[i]],
                                      option->uncertainty);
        sum += log2((double)left);
        total += left;
        option->most_left = left > option->most_left ? left : option->most_left;
    }
    option->bits = log2((double)answers->count) - sum / answers->count;
    option->mean_left = total / answers->count;
}

/* ---- ways */

/* Gauges may be named; eyes are always at hand. */
static bool is_at_hand(const struct identifying *identifying, text way)
{
    const text gauges = identifying->question->gauges;
    return gauges.length == 0 || text_is(way, "eye") ||
           tables_gauge(&identifying->knowledge->tables, way) == NULL ||
           way_is_among(gauges, way);
}

/* A gauge has to read whatever it may be. */
static bool is_in_range(const struct answers *answers, const struct gauge *gauge)
{
    for (uint32_t i = 0; !isnan(gauge->least) && i < answers->count; i++) {
        const struct spread *one = &answers->of[answers->left[i]];
        const double size = fabs(one->reading);
        if (one->known == KNOWN_VALUE && !isnan(size) &&
            (size < gauge->least || size > gauge->greatest)) {
            return false;
        }
    }
    return true;
}

/* A drawing or a laboratory gives the number itself. */
static double uncertainty_of(const struct identifying *identifying,
                             const struct answers *answers, text way)
{
    const struct gauge *gauge = tables_gauge(&identifying->knowledge->tables, way);
    return answers->field->kind != LOOK_QUANTITY ? NAN
           : gauge == NULL                       ? 0.0
                                                 : gauge->figure;
}

static double rate(const struct option *option)
{
    return option->bits / option->seconds;
}

/* Which of two looks is asked first. What differs by rounding alone is the same. */
static int compare_options(const struct identifying *identifying, const struct option *a,
                           const struct option *b)
{
    const double rates = (rate(a) - rate(b)) / fmax(rate(a), rate(b));
    if (a->needs_opening != b->needs_opening) {
        return a->needs_opening ? 1 : -1;
    }
    if (fabs(rates) > 1e-9) {
        return rates > 0 ? -1 : 1;
    }
    if (fabs(a->bits - b->bits) > 1e-9) {
        return a->bits > b->bits ? -1 : 1;
    }
    const int fields = text_compare(identifying->fields.at[a->field].name,
                                    identifying->fields.at[b->field].name);
    return fields != 0              ? fields
           : a->anchor != b->anchor ? text_compare(name_text(identifying, a->face),
                                                   name_text(identifying, b->face))
                                    : text_compare(a->way, b->way);
}

/* The best way of getting a field that splits at all; bits 0: there is none. */
static struct option best_way(const struct splitting *splitting,
                              const struct answers *answers, bool needs_opening)
{
    const struct identifying *identifying = splitting->identifying;
    const struct tables *tables = &identifying->knowledge->tables;
    struct option best = {.bits = 0.0};
    size_t at = 0;
    for (text way = way_next(answers->field->got_by, &at); way.length > 0;
         way = way_next(answers->field->got_by, &at)) {
        const struct gauge *gauge = tables_gauge(tables, way);
        const struct named_figure *effort = tables_way(tables, way);
        struct option option = {.field = answers->index,
                                .anchor = answers->anchor,
                                .face = answers->face,
                                .way = way,
                                .uncertainty = uncertainty_of(identifying, answers, way),
                                .seconds = effort == NULL ? INFINITY : effort->figure,
                                .needs_opening = needs_opening};
        if (!is_at_hand(identifying, way) ||
            (answers->field->kind == LOOK_QUANTITY && gauge != NULL &&
             !is_in_range(answers, gauge))) {
            continue;
        }
        weigh(splitting, answers, &option);
        if (option.bits > 1e-9 &&
            (best.bits == 0.0 || compare_options(identifying, &option, &best) < 0)) {
            best = option;
        }
    }
    return best;
}

/* ---- all fields */

static bool is_left(const struct splitting *splitting, uint32_t candidate)
{
    uint32_t low = 0;
    uint32_t high = splitting->count;
    while (low < high) {
        const uint32_t middle = low + (high - low) / 2;
        if (splitting->left[middle] == candidate) {
            return true;
        }
        if (splitting->left[middle] < candidate) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    return false;
}

static bool needs_opening(const struct splitting *splitting, const struct field *field)
{
    for (uint32_t i = 0; i < field->cells.count; i++) {
        if (field->cells.at[i].needs_opening &&
            is_left(splitting, field->cells.at[i].candidate)) {
            return true;
        }
    }
    return false;
}

/* The face that most of the candidates left count a position from; of equals the first by
 * name. NAME_NONE: nobody has one. */
static name_id usual_datum(const struct splitting *splitting, const struct field *field)
{
    const struct identifying *identifying = splitting->identifying;
    name_id best = NAME_NONE;
    uint32_t most = 0;
    for (uint32_t i = 0; i < field->cells.count; i++) {
        const name_id one = field->cells.at[i].datum;
        uint32_t count = 0;
        for (uint32_t k = 0; one != NAME_NONE && one != best && k < field->cells.count;
             k++) {
            count += field->cells.at[k].datum == one &&
                             is_left(splitting, field->cells.at[k].candidate)
                         ? 1
                         : 0;
        }
        if (count > most || (count == most && count > 0 &&
                             names_compare(identifying->names, one, best) < 0)) {
            best = one;
            most = count;
        }
    }
    return best;
}

/* A field that was seen, or that the looker cannot tell, is not asked again; nor is one
 * of a feature that nobody could find. */
static bool is_open(const struct identifying *identifying, const struct field *field)
{
    return field->got_by.length > 0 && !field->cannot_tell && !field->is_seen &&
           (field->parent == 0 || !identifying->fields.at[field->parent - 1].cannot_tell);
}

/* The bits that a look at whether the feature is there brings. */
static status parent_bits(const struct splitting *splitting, const struct field *field,
                          double *bits)
{
    struct answers answers = {.index = field->parent - 1};
    struct option option = {.uncertainty = NAN};
    if (!answers_open(splitting, &answers)) {
        return arena_status(splitting->identifying->arena);
    }
    weigh(splitting, &answers, &option);
    answers_close(splitting, &answers);
    *bits = option.bits;
    return STATUS_OK;
}

static status weigh_field(struct splitting *splitting, uint32_t index)
{
    struct identifying *identifying = splitting->identifying;
    const struct field *field = &identifying->fields.at[index];
    struct answers answers = {.index = index};
    if (!is_open(identifying, field)) {
        return STATUS_OK;
    }
    if (field->is_position) {
        answers.face = usual_datum(splitting, field);
        answers.anchor = answers.face == NAME_NONE
                             ? 0
                             : field_of_anchor(identifying, field,
                                               name_text(identifying, answers.face));
    }
    if (!answers_open(splitting, &answers)) {
        return arena_status(identifying->arena);
    }
    const struct option best =
        best_way(splitting, &answers, needs_opening(splitting, field));
    answers_close(splitting, &answers);
    double enough = 0.0;
    if (answers.lacking > 0 && field->parent != 0) {
        TRY(parent_bits(splitting, field, &enough));
    }
    return best.bits <= enough + 1e-9 ||
                   ARRAY_PUSH(identifying->arena, &splitting->options, best)
               ? STATUS_OK
               : arena_status(identifying->arena);
}

/* ---- what is shown of a look */

struct labelled {
    double at;
    struct look_answer answer;
};

static int compare_labelled(const void *a, const void *b)
{
    const struct labelled *left = a;
    const struct labelled *right = b;
    return left->at != right->at ? (left->at < right->at ? -1 : 1)
                                 : text_compare(left->answer.value, right->answer.value);
}

/* Words have no order but that of their texts. */
static double place_of(const struct answers *answers, const struct spread *one)
{
    return one->known == KNOWN_LACKING ? -INFINITY
           : answers->field->kind == LOOK_COUNT || answers->field->kind == LOOK_QUANTITY
               ? one->reading
               : 0.0;
}

/* The answers that the candidates left would give, each once. */
static status label_answers(const struct splitting *splitting,
                            const struct answers *answers, const struct option *option,
                            struct look *look)
{
    const struct identifying *identifying = splitting->identifying;
    struct labelled *all =
        ARENA_MANY(identifying->arena, answers->count, struct labelled);
    uint32_t count = 0;
    TRY(arena_status(identifying->arena));
    for (uint32_t i = 0; i < answers->count; i++) {
        const struct spread *one = &answers->of[answers->left[i]];
        if (one->known == KNOWN_NOT ||
            isnan(one->reading) != (one->known == KNOWN_LACKING)) {
            continue;
        }
        const text none =
            answers->field->kind == LOOK_PRESENCE ? TEXT("no") : TEXT("none");
        all[count++] = (struct labelled){
            place_of(answers, one),
            {one->known == KNOWN_LACKING
                 ? none
                 : cell_text(identifying, answers->index, answers->anchor,
                             field_cell_of(answers->field, answers->left[i])),
             left_by(splitting, answers, one, option->uncertainty)}};
    }
    if (count > 1) {
        qsort(all, count, sizeof *all, compare_labelled);
    }
    struct look_answer *made = ARENA_MANY(identifying->arena, count, struct look_answer);
    TRY(arena_status(identifying->arena));
    for (uint32_t i = 0; i < count; i++) {
        if (i == 0 || compare_labelled(&all[i], &all[i - 1]) != 0) {
            made[look->answer_count++] = all[i].answer;
        }
    }
    look->answers = made;
    return STATUS_OK;
}

/* "run hub-spline, teeth", of a unit with the place it is in. */
static text says_of(const struct identifying *identifying, const struct field *field)
{
    struct arena *arena = identifying->arena;
    const struct vocabulary *vocabulary = identifying->knowledge->vocabulary;
    const text place = field->prefix.length == 0
                           ? (text){"", 0}
                           : text_slice(field->prefix, 0, field->prefix.length - 1);
    const text of = place.length == 0 ? (text){"", 0}
                                      : text_format(arena, " of %.*s", TEXT_ARG(place));
    const text column = field->column == NULL
                            ? (text){"", 0}
                            : name_text(identifying, field->column->name);
    if (field->feature.length > 0) {
        const text list =
            name_text(identifying, vocabulary->shapes[field->relation].name);
        return text_format(arena, "%.*s %.*s%s%.*s%.*s", TEXT_ARG(list),
                           TEXT_ARG(field->feature), column.length > 0 ? ", " : "",
                           TEXT_ARG(column), TEXT_ARG(of));
    }
    return field->kind == LOOK_KIND
               ? text_format(arena, "the kind of %.*s",
                             TEXT_ARG(place.length > 0 ? place : TEXT("it")))
           : field->kind == LOOK_PRESENCE
               ? text_format(arena, "what fills place %.*s", TEXT_ARG(field->name))
               : text_format(arena, "%.*s%.*s", TEXT_ARG(column), TEXT_ARG(of));
}

/* How long it takes to open the unit: the longest of those that are left. */
static double opening_seconds(const struct splitting *splitting)
{
    const struct identifying *identifying = splitting->identifying;
    const struct named_figure *usual =
        tables_way(&identifying->knowledge->tables, TEXT("opening"));
    double most = -INFINITY;
    for (uint32_t i = 0; i < splitting->count; i++) {
        const struct recipe *recipe = identifying->found.at[splitting->left[i]].recipe;
        if (recipe != NULL && recipe->outlay.labour.is_stated) {
            most = fmax(most, recipe->outlay.labour.amount);
        }
    }
    return isfinite(most) ? most : usual == NULL ? INFINITY : usual->figure;
}

static status describe(const struct splitting *splitting, const struct option *option,
                       struct look *look)
{
    const struct identifying *identifying = splitting->identifying;
    const struct field *field = &identifying->fields.at[option->field];
    const struct named_figure *way =
        tables_way(&identifying->knowledge->tables, option->way);
    const double seconds =
        option->seconds + (option->needs_opening ? opening_seconds(splitting) : 0.0);
    struct answers answers = {
        .index = option->field, .anchor = option->anchor, .face = option->face};
    if (!answers_open(splitting, &answers)) {
        return arena_status(identifying->arena);
    }
    *look = (struct look){
        .name =
            field->has_datums && option->anchor != 0
                ? text_format(identifying->arena, "%.*s from %.*s", TEXT_ARG(field->name),
                              TEXT_ARG(name_text(identifying, option->face)))
                : field->name,
        .says = says_of(identifying, field),
        .like = field->kind == LOOK_PRESENCE ? feature_text(identifying, field)
                                             : (text){"", 0},
        .kind = field->kind,
        .dim = field->column == NULL ? DIMENSION_RATIO : field->column->dim,
        .from = option->face == NAME_NONE ? (text){"", 0}
                                          : name_text(identifying, option->face),
        .way = option->way,
        .way_title = way == NULL ? option->way : way->title,
        .uncertainty = option->uncertainty,
        .minutes = isfinite(seconds) ? seconds / 60.0 : NAN,
        .needs_opening = option->needs_opening,
        .bits = option->bits,
        .mean_left = option->mean_left,
        .most_left = option->most_left};
    TRY(label_answers(splitting, &answers, option, look));
    answers_close(splitting, &answers);
    return arena_status(identifying->arena);
}

/* Takes the best of the options from `from` on to its place there. */
static void bring_best(struct splitting *splitting, uint32_t from)
{
    struct option *options = splitting->options.at;
    for (uint32_t i = from + 1; i < splitting->options.count; i++) {
        if (compare_options(splitting->identifying, &options[i], &options[from]) < 0) {
            const struct option moved = options[from];
            options[from] = options[i];
            options[i] = moved;
        }
    }
}

status looks_tell(struct identifying *identifying, const text **out)
{
    const uint32_t count = identifying->found.count;
    uint32_t *left = ARENA_MANY(identifying->arena, count, uint32_t);
    text *tells = ARENA_MANY(identifying->arena, count, text);
    struct splitting splitting = {identifying, left, count, {0}};
    TRY(arena_status(identifying->arena));
    for (uint32_t i = 0; i < count; i++) {
        left[i] = i;
    }
    for (uint32_t f = 0; count > 1 && f < identifying->fields.count; f++) {
        TRY(weigh_field(&splitting, f));
    }
    *out = tells;
    if (splitting.options.count == 0) {
        return STATUS_OK;
    }
    bring_best(&splitting, 0);
    const struct option *best = &splitting.options.at[0];
    const struct field *field = &identifying->fields.at[best->field];
    for (uint32_t i = 0; i < count; i++) {
        const struct field_cell *cell = field_cell_of(field, i);
        const text is = cell != NULL && cell->known == KNOWN_VALUE
                            ? cell_text(identifying, best->field, best->anchor, cell)
                        : field->kind == LOOK_PRESENCE ? TEXT("no")
                                                       : TEXT("not recorded");
        tells[i] = text_format(identifying->arena, "%.*s: %.*s", TEXT_ARG(field->name),
                               TEXT_ARG(is));
    }
    return arena_status(identifying->arena);
}

status looks_find(struct identifying *identifying, const uint32_t *left, uint32_t count)
{
    struct splitting splitting = {identifying, left, count, {0}};
    struct identification *made = identifying->made;
    for (uint32_t f = 0; count > 1 && f < identifying->fields.count; f++) {
        TRY(weigh_field(&splitting, f));
    }
    made->look_total = splitting.options.count;
    made->look_count = splitting.options.count < IDENTIFY_LOOKS ? splitting.options.count
                                                                : IDENTIFY_LOOKS;
    struct look *looks = ARENA_MANY(identifying->arena, made->look_count, struct look);
    TRY(arena_status(identifying->arena));
    for (uint32_t i = 0; i < made->look_count; i++) {
        bring_best(&splitting, i);
        TRY(describe(&splitting, &splitting.options.at[i], &looks[i]));
    }
    made->looks = looks;
    return STATUS_OK;
}
