/* SPDX-License-Identifier: MIT */
/*
 * What was seen, from words to intervals. A bare number is taken to be no finer than its
 * last digit and the coarsest gauge by which the field is got, so that nothing falls out
 * for digits nobody read.
 */
#include "identify_private.h"
#include "typed_name.h"
#include "ways.h"

#include <math.h>
#include <stdlib.h>

static text name_text(const struct identifying *identifying, name_id name)
{
    return names_text(identifying->names, name);
}

static struct diagnostic *fault(const struct identifying *identifying, span where,
                                text message)
{
    return diagnostics_add(identifying->diagnostics, CODE_QUESTION_WRONG, where, message);
}

static status no_field(const struct identifying *identifying,
                       const struct worded_pair *pair)
{
    struct nearest near = nearest_to(pair->name);
    const text ending = text_format(identifying->arena, ".%.*s", TEXT_ARG(pair->name));
    for (uint32_t i = 0; i < identifying->fields.count; i++) {
        const text name = identifying->fields.at[i].name;
        nearest_offer(&near, name);
        if (text_ends(name, ending)) { /* the field alone: "teeth" */
            near.best = name;
            break;
        }
    }
    struct diagnostic *report = fault(
        identifying, pair->name_where,
        text_format(identifying->arena, "no candidate records anything called \"%.*s\"",
                    TEXT_ARG(pair->name)));
    report->expected = identifying->made->is_of_units
                           ? TEXT("PLACE, PLACE.kind, PLACE.FEATURE or "
                                  "PLACE.FEATURE.FIELD of one, or a hint")
                           : TEXT("FEATURE, FEATURE.FIELD or FIELD of one, `kind`, or a "
                                  "hint such as year or number");
    report->nearest = near.best;
    return STATUS_INVALID;
}

/* ---- words */

/* Adds a word to "open, shielded, sealed". */
static text listed(const struct identifying *identifying, text all, text word)
{
    return text_format(identifying->arena, "%.*s%s%.*s", TEXT_ARG(all),
                       all.length > 0 ? ", " : "", TEXT_ARG(word));
}

static bool is_choice_of(const struct column *column, name_id word)
{
    for (uint32_t i = 0; i < column->choice_count; i++) {
        if (column->choices[i] == word) {
            return true;
        }
    }
    return false;
}

/* A word that no choice allows, or that no candidate records. */
static status no_word(const struct identifying *identifying, const struct field *field,
                      const struct worded_pair *pair)
{
    const struct column *column = field->column;
    struct nearest near = nearest_to(pair->value);
    text all = {"", 0};
    for (uint32_t i = 0; i < column->choice_count; i++) {
        nearest_offer(&near, name_text(identifying, column->choices[i]));
        all = listed(identifying, all, name_text(identifying, column->choices[i]));
    }
    for (uint32_t i = 0; column->choice_count == 0 && i < field->cells.count; i++) {
        nearest_offer(&near, name_text(identifying, field->cells.at[i].word));
    }
    struct diagnostic *report = fault(
        identifying, pair->where,
        text_format(identifying->arena,
                    column->choice_count > 0 ? "\"%.*s\" is none of what %.*s may be"
                                             : "no candidate records \"%.*s\" of %.*s",
                    TEXT_ARG(pair->value), TEXT_ARG(field->name)));
    report->expected = column->choice_count > 0
                           ? all
                           : TEXT("a word that a candidate records there, or ?");
    report->nearest = near.best;
    return STATUS_INVALID;
}

static struct spread point(double at)
{
    return (struct spread){KNOWN_VALUE, at, at, at};
}

/* A word as it is recorded, case, blanks and hyphens forgiven. */
static status read_word(const struct identifying *identifying, const struct field *field,
                        const struct worded_pair *pair, struct seen_item *out)
{
    struct arena *arena = identifying->arena;
    const text folded = typed_folded(arena, pair->value);
    name_id word = names_find(identifying->knowledge->names, pair->value);
    bool is_found = word != NAME_NONE && is_choice_of(field->column, word);
    for (uint32_t i = 0; !is_found && i < field->column->choice_count; i++) {
        word = field->column->choices[i];
        is_found = text_equal(typed_folded(arena, name_text(identifying, word)), folded);
    }
    for (uint32_t i = 0;
         !is_found && field->column->choice_count == 0 && i < field->cells.count; i++) {
        word = field->cells.at[i].word;
        is_found = text_equal(typed_folded(arena, name_text(identifying, word)), folded);
    }
    out->spread = point((double)word);
    out->taken = name_text(identifying, word);
    return is_found ? STATUS_OK : no_word(identifying, field, pair);
}

static status read_kind(const struct identifying *identifying,
                        const struct worded_pair *pair, struct seen_item *out)
{
    const struct vocabulary *vocabulary = identifying->knowledge->vocabulary;
    const name_id name = names_find(identifying->knowledge->names, pair->value);
    if (name != NAME_NONE && vocabulary_kind(vocabulary, name) != NULL) {
        out->spread = point((double)name);
        out->taken = pair->value;
        return STATUS_OK;
    }
    struct nearest near = nearest_to(pair->value);
    for (uint32_t i = 0; i < vocabulary->kind_count; i++) {
        nearest_offer(&near, name_text(identifying, vocabulary->kinds[i].name));
    }
    struct diagnostic *report =
        fault(identifying, pair->where,
              text_format(identifying->arena, "there is no kind \"%.*s\"",
                          TEXT_ARG(pair->value)));
    report->expected = TEXT("a kind of part or unit (whyfit show kinds)");
    report->nearest = near.best;
    return STATUS_INVALID;
}

static status read_part(const struct identifying *identifying,
                        const struct worded_pair *pair, struct seen_item *out)
{
    const struct typed_match *matches = NULL;
    uint32_t count = 0;
    TRY(typed_find(identifying->arena, identifying->knowledge, pair->value, TYPED_ANY,
                   &matches, &count));
    if (count == 1) {
        const struct typed_match *one = &matches[0];
        out->spread =
            point((double)(one->part != NULL ? one->part->name : one->recipe->name));
        out->taken = typed_match_name(identifying->knowledge, one);
        return STATUS_OK;
    }
    struct diagnostic *report =
        fault(identifying, pair->where,
              text_format(identifying->arena,
                          count == 0 ? "there is no part or unit \"%.*s\""
                                     : "several parts bear the number \"%.*s\"",
                          TEXT_ARG(pair->value)));
    report->expected = TEXT("the name or number of one part or unit");
    report->nearest = count > 0
                          ? (text){"", 0}
                          : typed_nearest(identifying->arena, identifying->knowledge,
                                          pair->value, TYPED_ANY);
    return STATUS_INVALID;
}

/* ---- counts */

/* Digits alone; false: something else. */
static bool read_digits(text word, double *out)
{
    *out = 0.0;
    for (size_t i = 0; i < word.length; i++) {
        if (!is_digit(word.at[i])) {
            return false;
        }
        *out = 10.0 * *out + (word.at[i] - '0');
    }
    return word.length > 0 && word.length <= 9;
}

/* 21, or 20..22 of one that was hard to count. */
static status read_count(const struct identifying *identifying,
                         const struct worded_pair *pair, struct seen_item *out)
{
    const text value = text_trim(pair->value);
    size_t dots = 0;
    while (dots < value.length &&
           !text_starts(text_slice(value, dots, value.length), TEXT(".."))) {
        dots++;
    }
    const bool is_range = dots < value.length;
    const text last = is_range ? text_slice(value, dots + 2, value.length) : value;
    double least = 0.0;
    double greatest = 0.0;
    if (!read_digits(text_trim(text_slice(value, 0, dots)), &least) ||
        !read_digits(text_trim(last), &greatest) || least > greatest) {
        fault(identifying, pair->where, TEXT("this is no count"))->expected =
            TEXT("a whole number such as 21, or 20..22");
        return STATUS_INVALID;
    }
    out->spread = (struct spread){KNOWN_VALUE, least, greatest, NAN};
    out->taken = value;
    return STATUS_OK;
}

/* ---- quantities */

/* How far a bare number may be off: half its last digit, and what the coarsest gauge
 * reads by which such a field is got. */
static double bare_doubt(const struct identifying *identifying, const struct field *field,
                         const struct stated *stated)
{
    double doubt = 0.5 * pow(10.0, -stated->decimals) * stated->unit.scale;
    size_t at = 0;
    for (text way = way_next(field->got_by, &at); way.length > 0;
         way = way_next(field->got_by, &at)) {
        const struct gauge *gauge = tables_gauge(&identifying->knowledge->tables, way);
        if (gauge != NULL && dimension_equal(stated->dim, DIMENSION_LENGTH)) {
            doubt = fmax(doubt, gauge->figure);
        }
    }
    return doubt;
}

/* "hub-step.at from shoulder": the name, and the face; empty where none is said. */
static text split_face(text name, text *face)
{
    const text mark = TEXT(" from ");
    for (size_t i = 0; i + mark.length < name.length; i++) {
        if (text_starts(text_slice(name, i, name.length), mark)) {
            *face = text_trim(text_slice(name, i + mark.length, name.length));
            return text_trim(text_slice(name, 0, i));
        }
    }
    *face = (text){"", 0};
    return name;
}

/* From which face a position was counted: as it was said with the name or the value, else
 * the one that all candidates count it from. */
static status find_anchor(const struct identifying *identifying,
                          const struct field *field, const struct worded_pair *pair,
                          text face, uint32_t *anchor)
{
    const text example = text_format(
        identifying->arena, "the face it was counted from: \"%.*s from FACE=20.0 mm\"",
        TEXT_ARG(field->name));
    *anchor = face.length == 0 ? 0 : field_of_anchor(identifying, field, face);
    if (face.length > 0 && (*anchor == 0 || !field->is_position)) {
        fault(identifying, pair->name_where,
              field->is_position
                  ? text_format(identifying->arena,
                                "no candidate has a face \"%.*s\" here", TEXT_ARG(face))
                  : text_format(identifying->arena, "%.*s is not counted from a face",
                                TEXT_ARG(field->name)))
            ->expected = field->is_position ? example : TEXT("the name alone");
        return STATUS_INVALID;
    }
    if (face.length == 0 && field->has_datums) {
        fault(identifying, pair->where,
              TEXT("the candidates count this position from different faces"))
            ->expected = example;
        return STATUS_INVALID;
    }
    return STATUS_OK;
}

static status read_quantity(const struct identifying *identifying,
                            const struct field *field, const struct worded_pair *pair,
                            struct seen_item *out)
{
    const struct stated_options options = {.wanted = field->column->dim,
                                           .decimal_comma = true,
                                           .anchors_allowed = field->is_position};
    const struct tolerance_rules rules = {.is_exact = true};
    struct arena *arena = identifying->arena;
    struct stated stated;
    text face = {"", 0};
    struct deviation *read = ARENA_NEW(arena, struct deviation);
    TRY(arena_status(arena));
    TRY(stated_read(pair->value, pair->where, &options, identifying->diagnostics,
                    &stated));
    (void)split_face(pair->name, &face);
    face = stated.anchor.length > 0 ? stated.anchor : face;
    TRY(find_anchor(identifying, field, pair, face, &out->anchor));
    TRY(stated_resolve(&identifying->knowledge->tables, &stated, &rules,
                       identifying->diagnostics, read));
    if (stated.basis == STATED_BARE && !stated.is_name_alone) {
        read->high = bare_doubt(identifying, field, &stated);
        read->low = -read->high;
    }
    const struct form *form = form_of(arena, read);
    TRY(arena_status(arena));
    out->spread = (struct spread){KNOWN_VALUE, read->nominal + read->low,
                                  read->nominal + read->high, read->nominal};
    out->taken = form_write(arena, form);
    if (face.length > 0) {
        out->taken =
            text_format(arena, "%.*s from %.*s", TEXT_ARG(out->taken), TEXT_ARG(face));
    }
    return STATUS_OK;
}

/* ---- one thing that was seen */

static bool is_yes_or_no(text value)
{
    return text_is(value, "yes") || text_is(value, "no");
}

static status read_value(const struct identifying *identifying,
                         const struct worded_pair *pair, struct seen_item *out)
{
    const struct field *field = &identifying->fields.at[out->field];
    switch (field->kind) {
    case LOOK_PRESENCE:
        out->spread.known = text_is(pair->value, "yes") ? KNOWN_VALUE : KNOWN_LACKING;
        out->spread.least = out->spread.greatest = 1.0;
        out->taken = pair->value;
        return STATUS_OK;
    case LOOK_KIND:
        return read_kind(identifying, pair, out);
    case LOOK_PART:
        return read_part(identifying, pair, out);
    case LOOK_WORD:
        return read_word(identifying, field, pair, out);
    case LOOK_COUNT:
        return read_count(identifying, pair, out);
    case LOOK_QUANTITY:
        return read_quantity(identifying, field, pair, out);
    }
    return STATUS_OK;
}

/* `yes` and `no` are of whether a feature is there; all else of a field. */
static status find_field(const struct identifying *identifying,
                         const struct worded_pair *pair, uint32_t *field)
{
    text face = {"", 0};
    const text name = split_face(pair->name, &face);
    const uint32_t presence = face.length > 0 ? 0 : field_of_presence(identifying, name);
    const uint32_t value = field_of_value(identifying, name);
    const bool is_presence = presence != 0 && (value == 0 || is_yes_or_no(pair->value));
    if (presence == 0 && value == 0) {
        return no_field(identifying, pair);
    }
    if (is_presence && !is_yes_or_no(pair->value) && !text_is(pair->value, "?")) {
        fault(identifying, pair->where,
              text_format(identifying->arena, "%.*s is there or it is not",
                          TEXT_ARG(pair->name)))
            ->expected = text_format(identifying->arena, "yes, no or ?; or %.*s.FIELD",
                                     TEXT_ARG(pair->name));
        return STATUS_INVALID;
    }
    *field = is_presence ? presence : value;
    return STATUS_OK;
}

static status read_one(struct identifying *identifying, const struct worded_pair *pair,
                       struct seen_echo *echo)
{
    uint32_t field = 0;
    struct seen_item item = {.spread = {.reading = NAN}};
    TRY(find_field(identifying, pair, &field));
    item.field = field - 1;
    if (text_is(pair->value, "?")) {
        /* what cannot be told is told of the name: its fields may be seen all the same */
        identifying->fields.at[item.field].cannot_tell = true;
        echo->taken = TEXT("cannot be told");
        return STATUS_OK;
    }
    TRY(read_value(identifying, pair, &item));
    identifying->fields.at[item.field].is_seen = true;
    echo->taken = item.taken;
    return ARRAY_PUSH(identifying->arena, &identifying->seen, item)
               ? STATUS_OK
               : arena_status(identifying->arena);
}

static int compare_pairs(const void *a, const void *b)
{
    const struct worded_pair *left = *(const struct worded_pair *const *)a;
    const struct worded_pair *right = *(const struct worded_pair *const *)b;
    return text_compare(left->name, right->name);
}

/* What was seen and the hints, by name. */
static const struct worded_pair **sort_pairs(const struct identifying *identifying,
                                             uint32_t *count)
{
    const struct question *question = identifying->question;
    *count = question->seen_count + question->hint_count;
    const struct worded_pair **all =
        ARENA_MANY(identifying->arena, *count, const struct worded_pair *);
    for (uint32_t i = 0; all != NULL && i < *count; i++) {
        all[i] = i < question->seen_count ? &question->seen[i]
                                          : &question->hints[i - question->seen_count];
    }
    if (all != NULL && *count > 1) {
        qsort(all, *count, sizeof *all, compare_pairs);
    }
    return all;
}

static status refuse_doubled(const struct identifying *identifying,
                             const struct worded_pair *const *all, uint32_t count)
{
    for (uint32_t i = 1; i < count; i++) {
        if (text_equal(all[i]->name, all[i - 1]->name)) {
            fault(identifying, all[i]->name_where,
                  text_format(identifying->arena, "%.*s is said twice",
                              TEXT_ARG(all[i]->name)))
                ->expected = TEXT("one value a name");
            return STATUS_INVALID;
        }
    }
    return STATUS_OK;
}

/* Whether a pair stands among the question's hints, or is a hint wherever it stands. */
static bool is_meant_as_hint(const struct identifying *identifying,
                             const struct worded_pair *pair)
{
    const struct question *question = identifying->question;
    const bool stands_there = question->hint_count > 0 && pair >= question->hints &&
                              pair < question->hints + question->hint_count;
    return stands_there || (field_of_value(identifying, pair->name) == 0 &&
                            field_of_presence(identifying, pair->name) == 0 &&
                            is_hint(identifying, pair->name));
}

status seen_read(struct identifying *identifying)
{
    uint32_t count = 0;
    const struct worded_pair **all = sort_pairs(identifying, &count);
    struct seen_echo *echo = ARENA_MANY(identifying->arena, count, struct seen_echo);
    const struct worded_pair **hints =
        ARENA_MANY(identifying->arena, count, const struct worded_pair *);
    uint32_t hint_count = 0;
    status result = STATUS_OK;
    TRY(arena_status(identifying->arena));
    TRY(refuse_doubled(identifying, all, count));
    for (uint32_t i = 0; i < count; i++) {
        echo[i] = (struct seen_echo){
            all[i]->name, all[i]->value, {"", 0}, is_meant_as_hint(identifying, all[i])};
        if (echo[i].is_hint) {
            hints[hint_count++] = all[i];
            continue;
        }
        const status one = read_one(identifying, all[i], &echo[i]);
        result = one == STATUS_OK ? result : one;
        if (one != STATUS_OK && one != STATUS_INVALID) {
            return one;
        }
    }
    TRY(result);
    identifying->made->seen = echo;
    identifying->made->seen_count = count;
    return hints_apply(identifying, hints, hint_count);
}
