/* SPDX-License-Identifier: MIT */
/*
 * What lists say of the machines that a part or unit is for. Such lists are copied and
 * wrong, so what they say ranks the candidates and excludes none.
 */
#include "identify_private.h"

#include "number_text.h"
#include "typed_name.h"
#include "unit_lists.h"

#include <math.h>

/* A hint as it was said. */
struct said {
    const struct worded_pair *pair;
    text folded;
    double number; /* NAN: it is none */
};

struct hinting {
    struct identifying *identifying;
    const struct said *said;
    uint32_t count;
};

static text name_text(const struct identifying *identifying, name_id name)
{
    return names_text(identifying->names, name);
}

static bool is_number_word(text name)
{
    return text_is(name, "number");
}

bool is_hint(const struct identifying *identifying, text name)
{
    const struct vocabulary *vocabulary = identifying->knowledge->vocabulary;
    for (uint32_t i = 0; i < vocabulary->shape_count; i++) {
        for (uint32_t h = 0; h < vocabulary->looks[i].hint_count; h++) {
            if (text_equal(name_text(identifying, vocabulary->looks[i].hints[h].word),
                           name)) {
                return true;
            }
        }
    }
    return is_number_word(name);
}

static status no_hint(const struct identifying *identifying,
                      const struct worded_pair *pair)
{
    const struct vocabulary *vocabulary = identifying->knowledge->vocabulary;
    struct nearest near = nearest_to(pair->name);
    nearest_offer(&near, TEXT("number"));
    for (uint32_t i = 0; i < vocabulary->shape_count; i++) {
        for (uint32_t h = 0; h < vocabulary->looks[i].hint_count; h++) {
            const text word = name_text(identifying, vocabulary->looks[i].hints[h].word);
            nearest_offer(&near, word);
        }
    }
    struct diagnostic *report = diagnostics_report(
        identifying->diagnostics, CODE_QUESTION_WRONG, pair->name_where,
        "there is no hint \"%.*s\"", TEXT_ARG(pair->name));
    report->expected = TEXT("number, or a hint of the vocabulary: model, serial or year");
    report->nearest = near.best;
    return STATUS_INVALID;
}

/* Whether a hint is of counts alone. */
static bool is_of_counts(const struct identifying *identifying, text name)
{
    const struct vocabulary *vocabulary = identifying->knowledge->vocabulary;
    for (uint32_t i = 0; i < vocabulary->shape_count; i++) {
        for (uint32_t h = 0; h < vocabulary->looks[i].hint_count; h++) {
            const struct hint *hint = &vocabulary->looks[i].hints[h];
            const int column = hint->from >= 0 ? hint->from : hint->to;
            if (text_equal(name_text(identifying, hint->word), name) &&
                (column < 0 ||
                 vocabulary->shapes[i].columns[column].kind != COLUMN_COUNT)) {
                return false;
            }
        }
    }
    return !is_number_word(name);
}

static status no_number(const struct identifying *identifying,
                        const struct worded_pair *pair)
{
    diagnostics_report(identifying->diagnostics, CODE_QUESTION_WRONG, pair->where,
                       "%.*s is a whole number", TEXT_ARG(pair->name))
        ->expected = TEXT("digits, such as 2004");
    return STATUS_INVALID;
}

/* ---- rows */

/* Whether a row's columns of a hint agree with what was said; HINTED_NOT: they do not
 * say. */
static enum hinted compare(const struct hinting *hinting, const struct row *row,
                           const struct hint *hint, const struct said *said)
{
    const struct identifying *identifying = hinting->identifying;
    const struct relation_shape *shape =
        &identifying->knowledge->vocabulary->shapes[row->relation];
    const int ends[2] = {hint->from, hint->to};
    enum hinted result = HINTED_NOT;
    for (int i = 0; i < 2; i++) {
        const int value = ends[i] - (int)shape->key_count;
        if (ends[i] < 0) {
            continue;
        }
        if (value < 0 || row->values[value].kind == VALUE_WORD) {
            const name_id word = value < 0 ? row->key[ends[i]] : row->values[value].word;
            return text_equal(
                       typed_folded(identifying->arena, name_text(identifying, word)),
                       said->folded)
                       ? HINTED_FOR
                       : HINTED_AGAINST;
        }
        if (row->values[value].kind != VALUE_COUNT || isnan(said->number)) {
            continue;
        }
        const double at = (double)row->values[value].count;
        const bool is_one = hint->from == hint->to;
        if (is_one ? said->number != at
                   : (i == 0 ? said->number < at : said->number > at)) {
            return HINTED_AGAINST;
        }
        result = HINTED_FOR;
    }
    return result;
}

/* What a row makes of all hints: one against is against, else one for is for. */
static enum hinted judge_row(const struct hinting *hinting, const struct row *row)
{
    const struct relation_look *look =
        &hinting->identifying->knowledge->vocabulary->looks[row->relation];
    enum hinted result = HINTED_NOT;
    for (uint32_t h = 0; h < look->hint_count; h++) {
        for (uint32_t s = 0; s < hinting->count; s++) {
            if (!text_equal(name_text(hinting->identifying, look->hints[h].word),
                            hinting->said[s].pair->name)) {
                continue;
            }
            const enum hinted one =
                compare(hinting, row, &look->hints[h], &hinting->said[s]);
            if (one == HINTED_AGAINST) {
                return HINTED_AGAINST;
            }
            result = one == HINTED_FOR ? HINTED_FOR : result;
        }
    }
    return result;
}

/* "osprey, from-year 2002, to-year 2006" */
static text row_text(const struct identifying *identifying, const struct row *row)
{
    const struct relation_shape *shape =
        &identifying->knowledge->vocabulary->shapes[row->relation];
    text all = text_format(identifying->arena, "%.*s %.*s",
                           TEXT_ARG(name_text(identifying, shape->name)),
                           TEXT_ARG(name_text(identifying, row->key[1])));
    for (uint32_t v = 0; v < shape->value_count; v++) {
        if (row->values[v].kind == VALUE_COUNT) {
            all =
                text_format(identifying->arena, "%.*s, %.*s %lld", TEXT_ARG(all),
                            TEXT_ARG(name_text(
                                identifying, shape->columns[shape->key_count + v].name)),
                            (long long)row->values[v].count);
        }
    }
    return all;
}

/* ---- candidates */

struct hint_tally {
    bool is_for;
    bool is_against;
    ARRAY_OF(text) hints;
};

static status take_rows(const struct hinting *hinting, struct store *store, name_id owner,
                        struct hint_tally *tally)
{
    const struct identifying *identifying = hinting->identifying;
    const struct row *const *rows = NULL;
    uint32_t count = 0;
    TRY(store_rows_of(store, owner, &rows, &count));
    for (uint32_t i = 0; i < count; i++) {
        const struct vocabulary *vocabulary = identifying->knowledge->vocabulary;
        if (rows[i]->origin != ORIGIN_FACT ||
            vocabulary->looks[rows[i]->relation].hint_count == 0) {
            continue;
        }
        const enum hinted one = judge_row(hinting, rows[i]);
        tally->is_for = tally->is_for || one == HINTED_FOR;
        tally->is_against = tally->is_against || one == HINTED_AGAINST;
        if (one != HINTED_NOT && !ARRAY_PUSH(identifying->arena, &tally->hints,
                                             row_text(identifying, rows[i]))) {
            return arena_status(identifying->arena);
        }
    }
    return STATUS_OK;
}

/* The number that stands on it. */
static status take_number(const struct hinting *hinting, const struct part *part,
                          struct hint_tally *tally)
{
    const struct identifying *identifying = hinting->identifying;
    for (uint32_t s = 0; part->number.length > 0 && s < hinting->count; s++) {
        const struct typed_match *matches = NULL;
        uint32_t count = 0;
        bool is_its = false;
        if (!is_number_word(hinting->said[s].pair->name)) {
            continue;
        }
        TRY(typed_find(identifying->arena, identifying->knowledge,
                       hinting->said[s].pair->value, TYPED_PART, &matches, &count));
        for (uint32_t i = 0; i < count; i++) {
            is_its = is_its || matches[i].part == part;
        }
        tally->is_for = tally->is_for || is_its;
        tally->is_against = tally->is_against || !is_its;
        if (!ARRAY_PUSH(identifying->arena, &tally->hints,
                        text_format(identifying->arena, "%s number %.*s",
                                    is_its ? "it bears the" : "it does not bear the",
                                    TEXT_ARG(hinting->said[s].pair->value)))) {
            return arena_status(identifying->arena);
        }
    }
    return STATUS_OK;
}

/* What a unit lists of itself, which is nowhere in the base. */
static status take_unit(const struct hinting *hinting, const struct recipe *recipe,
                        struct hint_tally *tally)
{
    const struct identifying *identifying = hinting->identifying;
    const struct knowledge *knowledge = identifying->knowledge;
    struct store *store = store_open(identifying->arena, NULL, 0, knowledge->base);
    const struct part_surroundings around = {.arena = identifying->arena,
                                             .names = identifying->names,
                                             .vocabulary = knowledge->vocabulary,
                                             .tables = &knowledge->tables,
                                             .diagnostics = identifying->diagnostics};
    TRY(arena_status(identifying->arena));
    TRY(unit_lists_build(&around, recipe, recipe->name, (text){"", 0}, NULL, 0, store));
    return take_rows(hinting, store, recipe->name, tally);
}

/* What the lists of its parts say, where its own say nothing: one that does not agree
 * speaks against it. */
static status take_places(const struct hinting *hinting, const struct recipe *recipe,
                          struct hint_tally *tally)
{
    const struct identifying *identifying = hinting->identifying;
    for (uint32_t i = 0; i < recipe->place_count; i++) {
        struct hint_tally own = {.hints = tally->hints};
        if (knowledge_part(identifying->knowledge, recipe->places[i].with) == NULL) {
            continue;
        }
        TRY(take_rows(hinting, identifying->store, recipe->places[i].with, &own));
        tally->hints = own.hints;
        tally->is_for = tally->is_for || own.is_for;
        tally->is_against = tally->is_against || (own.is_against && !own.is_for);
    }
    tally->is_for = tally->is_for && !tally->is_against;
    return STATUS_OK;
}

/* A part or unit is listed for one machine or another: one that agrees is enough. */
static status judge(const struct hinting *hinting, struct found *found)
{
    struct hint_tally tally = {0};
    if (found->part != NULL) {
        TRY(take_rows(hinting, hinting->identifying->store, found->part->name, &tally));
        TRY(take_number(hinting, found->part, &tally));
    } else {
        TRY(take_unit(hinting, found->recipe, &tally));
        if (!tally.is_for && !tally.is_against) {
            TRY(take_places(hinting, found->recipe, &tally));
        }
    }
    found->shown.hints = tally.hints.at;
    found->shown.hint_count = tally.hints.count;
    found->shown.hinted = tally.is_for       ? HINTED_FOR
                          : tally.is_against ? HINTED_AGAINST
                                             : HINTED_NOT;
    return STATUS_OK;
}

status hints_apply(struct identifying *identifying,
                   const struct worded_pair *const *pairs, uint32_t count)
{
    struct said *said = ARENA_MANY(identifying->arena, count, struct said);
    status result = STATUS_OK;
    TRY(arena_status(identifying->arena));
    for (uint32_t i = 0; i < count; i++) {
        const text value = text_trim(pairs[i]->value);
        double number = 0.0;
        said[i] = (struct said){pairs[i], typed_folded(identifying->arena, value), NAN};
        if (number_read(value, &number)) {
            said[i].number = number;
        }
        if (!is_hint(identifying, pairs[i]->name)) {
            result = no_hint(identifying, pairs[i]);
        } else if (isnan(said[i].number) && is_of_counts(identifying, pairs[i]->name)) {
            result = no_number(identifying, pairs[i]);
        }
    }
    TRY(result);
    const struct hinting hinting = {identifying, said, count};
    for (uint32_t i = 0; count > 0 && i < identifying->found.count; i++) {
        TRY(judge(&hinting, &identifying->found.at[i]));
    }
    return arena_status(identifying->arena);
}
