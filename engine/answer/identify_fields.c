/* SPDX-License-Identifier: MIT */
/*
 * What the candidates record, by what can be looked at. A field is named as it is seen:
 * "ring-land" (is it there?), "hub-spline.teeth", of a unit "shaft.hub-spline.teeth". Its
 * cells are only those candidates that say something; what all others answer follows from
 * whether the feature, or the place, is there at all.
 */
#include "identify_private.h"

#include "limits.h"

#include <math.h>

/* What the rows of a relation tell of a candidate. */
enum role {
    ROLE_NONE,
    ROLE_PIECE,   /* fields of any part */
    ROLE_KIND,    /* fields of its kind */
    ROLE_FEATURE, /* a feature with its fields */
    ROLE_PARTIAL
};

/* Where a candidate's rows hang: the candidate itself, or a place of it. */
struct owner {
    uint32_t candidate;
    text prefix;        /* "shaft."; empty */
    uint32_t parent;    /* 1 + the field of the place's presence */
    bool is_in_machine; /* it is looked at in a unit … */
    bool is_inside;     /* … that has to be opened for it */
};

static text name_text(const struct identifying *identifying, name_id name)
{
    return names_text(identifying->names, name);
}

static status find_roles(struct identifying *identifying)
{
    const struct vocabulary *vocabulary = identifying->knowledge->vocabulary;
    identifying->roles = ARENA_MANY(identifying->arena, vocabulary->shape_count, uint8_t);
    TRY(arena_status(identifying->arena));
    for (uint32_t i = 0; i < vocabulary->shape_count; i++) {
        const text name = name_text(identifying, vocabulary->shapes[i].name);
        identifying->roles[i] = text_is(name, "piece")     ? ROLE_PIECE
                                : text_is(name, "partial") ? ROLE_PARTIAL
                                                           : ROLE_NONE;
    }
    for (uint32_t i = 0; i < vocabulary->kind_count; i++) {
        identifying->roles[vocabulary->kinds[i].relation] = ROLE_KIND;
    }
    for (uint32_t i = 0; i < vocabulary->listing_count; i++) {
        const struct listing *listing = &vocabulary->listings[i];
        if (!listing->in_unit && vocabulary->looks[listing->relation].hint_count == 0) {
            identifying->roles[listing->relation] = ROLE_FEATURE;
        }
    }
    return STATUS_OK;
}

/* ---- fields by name */

static uint32_t field_by(const struct identifying *identifying, const uint32_t *of,
                         text name)
{
    const name_id path = names_find(identifying->paths, name);
    return path == NAME_NONE || path >= identifying->path_room ? 0 : of[path];
}

uint32_t field_of_presence(const struct identifying *identifying, text name)
{
    return field_by(identifying, identifying->presence_of, name);
}

uint32_t field_of_value(const struct identifying *identifying, text name)
{
    return field_by(identifying, identifying->value_of, name);
}

static bool has_room(struct identifying *identifying, name_id path)
{
    const uint32_t old = identifying->path_room;
    if (path < old) {
        return true;
    }
    const uint32_t room = 2 * path + 64;
    const size_t size = sizeof *identifying->presence_of;
    uint32_t *presence = ARENA_MANY(identifying->arena, room, uint32_t);
    uint32_t *value = ARENA_MANY(identifying->arena, room, uint32_t);
    if (presence == NULL || value == NULL) {
        return false;
    }
    for (uint32_t i = 0; i < old; i++) {
        presence[i] = identifying->presence_of[i];
        value[i] = identifying->value_of[i];
    }
    arena_drop(identifying->arena, identifying->presence_of, old * size);
    arena_drop(identifying->arena, identifying->value_of, old * size);
    identifying->presence_of = presence;
    identifying->value_of = value;
    identifying->path_room = room;
    return true;
}

/* 1 + the field like `wanted`, made when it is new; 0: no memory. */
static uint32_t field_like(struct identifying *identifying, const struct field *wanted)
{
    const name_id path = names_add(identifying->paths, wanted->name);
    if (path == NAME_NONE || !has_room(identifying, path)) {
        return 0;
    }
    uint32_t *slot = wanted->kind == LOOK_PRESENCE ? &identifying->presence_of[path]
                                                   : &identifying->value_of[path];
    if (*slot == 0) {
        struct field made = *wanted;
        made.name = names_text(identifying->paths, path);
        if (!ARRAY_PUSH(identifying->arena, &identifying->fields, made)) {
            return 0;
        }
        *slot = identifying->fields.count;
    }
    return *slot;
}

/* Adds what a candidate says; the first of several says it. */
static bool add_cell(struct identifying *identifying, uint32_t field,
                     const struct field_cell *cell)
{
    struct field *into = &identifying->fields.at[field - 1];
    return (into->cells.count > 0 &&
            into->cells.at[into->cells.count - 1].candidate == cell->candidate) ||
           ARRAY_PUSH(identifying->arena, &into->cells, *cell);
}

/* ---- rows */

/* Whether anything is known of a value. */
static bool is_recorded(const struct value *value)
{
    const struct form *form = value->kind == VALUE_QUANTITY ? value->quantity : NULL;
    return value->kind == VALUE_WORD || value->kind == VALUE_COUNT ||
           (form != NULL && form->undefined == NULL &&
            (!form_misses(form) || isfinite(form->least) || isfinite(form->greatest)));
}

/* One value of a row, if anybody recorded it. */
static bool add_value(struct identifying *identifying, const struct owner *owner,
                      const struct row *row, uint32_t v, text feature, uint32_t parent,
                      bool needs_opening, name_id datum)
{
    const struct vocabulary *vocabulary = identifying->knowledge->vocabulary;
    const struct relation_shape *shape = &vocabulary->shapes[row->relation];
    const uint32_t c = shape->key_count + v;
    const struct column *column = &shape->columns[c];
    const struct value *value = &row->values[v];
    if (!is_recorded(value)) {
        return true;
    }
    const text dot = feature.length > 0 ? TEXT(".") : (text){"", 0};
    const text path[] = {owner->prefix, feature, dot,
                         name_text(identifying, column->name)};
    const bool is_position = vocabulary->manners[row->relation][c].is_position;
    const struct field field = {
        .name = text_join(identifying->arena, path, sizeof path / sizeof *path),
        .kind = column->kind == COLUMN_QUANTITY ? LOOK_QUANTITY
                : column->kind == COLUMN_COUNT  ? LOOK_COUNT
                                                : LOOK_WORD,
        .relation = row->relation,
        .column = column,
        .is_position = is_position,
        .parent = parent,
        .prefix = owner->prefix,
        .feature = feature,
        .got_by = column->got_by};
    const struct field_cell cell = {
        .candidate = owner->candidate,
        .known = KNOWN_VALUE,
        .word = value->kind == VALUE_WORD ? value->word : NAME_NONE,
        .count = value->kind == VALUE_COUNT ? value->count : 0,
        .form = value->kind == VALUE_QUANTITY ? value->quantity : NULL,
        .row = row,
        .datum = is_position ? datum : NAME_NONE,
        .needs_opening = needs_opening};
    const uint32_t at = field_like(identifying, &field);
    /* Two lists may have a feature of one name; what is of another type is left out. */
    return at != 0 && (identifying->fields.at[at - 1].kind != field.kind ||
                       add_cell(identifying, at, &cell));
}

static bool note_list(struct identifying *identifying, struct field *field,
                      relation_id relation)
{
    for (uint32_t i = 0; i < field->lists.count; i++) {
        if (field->lists.at[i] == relation) {
            return true;
        }
    }
    return ARRAY_PUSH(identifying->arena, &field->lists, relation);
}

/* That a feature is there. */
static bool add_presence(struct identifying *identifying, const struct owner *owner,
                         const struct row *row, bool needs_opening, uint32_t *out)
{
    const struct relation_look *look =
        &identifying->knowledge->vocabulary->looks[row->relation];
    const text feature = name_text(identifying, row->key[1]);
    const text path[] = {owner->prefix, feature};
    const struct field field = {.name = text_join(identifying->arena, path, 2),
                                .kind = LOOK_PRESENCE,
                                .relation = row->relation,
                                .parent = owner->parent,
                                .prefix = owner->prefix,
                                .feature = feature,
                                .got_by = look->seen_by};
    const struct field_cell cell = {.candidate = owner->candidate,
                                    .known = KNOWN_VALUE,
                                    .row = row,
                                    .needs_opening = needs_opening};
    *out = field_like(identifying, &field);
    return *out != 0 && add_cell(identifying, *out, &cell) &&
           note_list(identifying, &identifying->fields.at[*out - 1], row->relation);
}

static bool add_feature(struct identifying *identifying, const struct owner *owner,
                        const struct row *row, name_id datum)
{
    const struct vocabulary *vocabulary = identifying->knowledge->vocabulary;
    const struct relation_look *look = &vocabulary->looks[row->relation];
    const bool needs_opening =
        owner->is_in_machine && (owner->is_inside || !look->is_open_to_view);
    uint32_t presence = 0;
    bool is_added = look->seen_by.length == 0 ||
                    add_presence(identifying, owner, row, needs_opening, &presence);
    for (uint32_t v = 0; is_added && v < vocabulary->shapes[row->relation].value_count;
         v++) {
        is_added =
            add_value(identifying, owner, row, v, name_text(identifying, row->key[1]),
                      presence, needs_opening, datum);
    }
    return is_added;
}

/* Fields of a kind, or of any part as far as they are got by something. */
static bool add_own_fields(struct identifying *identifying, const struct owner *owner,
                           const struct row *row, bool is_any)
{
    const struct relation_shape *shape =
        &identifying->knowledge->vocabulary->shapes[row->relation];
    bool is_added = true;
    for (uint32_t v = 0; is_added && v < shape->value_count; v++) {
        if (is_any && shape->columns[shape->key_count + v].got_by.length == 0) {
            continue;
        }
        is_added = add_value(identifying, owner, row, v, (text){"", 0}, owner->parent,
                             owner->is_inside, NAME_NONE);
    }
    return is_added;
}

static bool add_partial(struct identifying *identifying, const struct owner *owner,
                        name_id relation)
{
    const struct partial_list list = {owner->candidate, owner->prefix, relation};
    return ARRAY_PUSH(identifying->arena, &identifying->partials, list);
}

static bool add_row(struct identifying *identifying, const struct owner *owner,
                    const struct row *row, name_id datum)
{
    switch ((enum role)identifying->roles[row->relation]) {
    case ROLE_PIECE:
    case ROLE_KIND:
        return add_own_fields(identifying, owner, row,
                              identifying->roles[row->relation] == ROLE_PIECE);
    case ROLE_FEATURE:
        return add_feature(identifying, owner, row, datum);
    case ROLE_PARTIAL:
        return add_partial(identifying, owner, row->key[1]);
    case ROLE_NONE:
        break;
    }
    return true;
}

static status add_rows(struct identifying *identifying, const struct owner *owner,
                       const struct part *part)
{
    const struct row *const *rows = NULL;
    uint32_t count = 0;
    bool is_added = true;
    TRY(store_rows_of(identifying->store, part->name, &rows, &count));
    for (uint32_t i = 0; is_added && i < count; i++) {
        if (rows[i]->origin == ORIGIN_FACT) {
            is_added = add_row(identifying, owner, rows[i], part->datum);
        }
    }
    return arena_status(identifying->arena);
}

/* By what it is seen that there is a row of this relation; empty: nobody says. */
static text seen_by(const struct identifying *identifying, text relation)
{
    const struct vocabulary *vocabulary = identifying->knowledge->vocabulary;
    relation_id id = 0;
    return vocabulary_relation(vocabulary,
                               names_find(identifying->knowledge->names, relation),
                               &id) != NULL
               ? vocabulary->looks[id].seen_by
               : (text){"", 0};
}

/* What a candidate, or what fills a place of it, is. */
static bool add_word(struct identifying *identifying, const struct owner *owner,
                     const char *what, enum look_kind kind, name_id word)
{
    const text path[] = {owner->prefix, text_of(what)};
    const struct field field = {.name = text_join(identifying->arena, path, 2),
                                .kind = kind,
                                .parent = owner->parent,
                                .prefix = owner->prefix,
                                .got_by = kind == LOOK_KIND
                                              ? seen_by(identifying, TEXT("piece"))
                                              : (text){"", 0}};
    const struct field_cell cell = {.candidate = owner->candidate,
                                    .known = KNOWN_VALUE,
                                    .word = word,
                                    .needs_opening = owner->is_inside};
    const uint32_t at = field_like(identifying, &field);
    return at != 0 && (word == NAME_NONE || add_cell(identifying, at, &cell));
}

/* ---- units */

static bool is_outside(const struct identifying *identifying, name_id kind)
{
    const struct vocabulary *vocabulary = identifying->knowledge->vocabulary;
    const struct kind *at = vocabulary_kind(vocabulary, kind);
    while (at != NULL && !vocabulary->looks[at->relation].is_open_to_view) {
        at = at->parent == 0 ? NULL : &vocabulary->kinds[at->parent - 1];
    }
    return at != NULL;
}

static bool add_place(struct identifying *identifying, struct owner *owner, text place)
{
    const text path[] = {owner->prefix, place};
    const text inner[] = {owner->prefix, place, TEXT(".")};
    const struct field field = {.name = text_join(identifying->arena, path, 2),
                                .kind = LOOK_PRESENCE,
                                .prefix = owner->prefix,
                                .got_by = seen_by(identifying, TEXT("fills"))};
    const struct field_cell cell = {.candidate = owner->candidate,
                                    .known = KNOWN_VALUE,
                                    .needs_opening = owner->is_inside};
    owner->parent = field_like(identifying, &field);
    owner->prefix = text_join(identifying->arena, inner, 3);
    return owner->parent != 0 && add_cell(identifying, owner->parent, &cell);
}

static status add_unit(struct identifying *identifying, const struct owner *outer,
                       const struct recipe *recipe, uint32_t depth)
{
    const struct knowledge *knowledge = identifying->knowledge;
    for (uint32_t i = 0; i < recipe->place_count; i++) {
        const struct filling *filling = &recipe->places[i];
        const struct part *part = knowledge_part(knowledge, filling->with);
        const struct recipe *unit = knowledge_recipe(knowledge, filling->with);
        const name_id kind = part != NULL   ? part->kind->name
                             : unit != NULL ? unit->kind
                                            : NAME_NONE;
        struct owner owner = *outer;
        owner.is_in_machine = true;
        owner.is_inside = owner.is_inside || !is_outside(identifying, kind);
        if ((part == NULL && unit == NULL) ||
            !add_place(identifying, &owner, name_text(identifying, filling->place)) ||
            !add_word(identifying, &owner, "kind", LOOK_KIND, kind) ||
            !add_word(identifying, &owner, "part", LOOK_PART, filling->with)) {
            TRY(arena_status(identifying->arena));
            continue;
        }
        if (part != NULL) {
            TRY(add_rows(identifying, &owner, part));
        } else if (depth > 0) {
            TRY(add_unit(identifying, &owner, unit, depth - 1));
        }
    }
    return arena_status(identifying->arena);
}

/* ---- partial lists */

static int cell_order(const struct field_cell *a, uint32_t candidate)
{
    return (a->candidate > candidate) - (a->candidate < candidate);
}

const struct field_cell *field_cell_of(const struct field *field, uint32_t candidate)
{
    uint32_t low = 0;
    uint32_t high = field->cells.count;
    while (low < high) {
        const uint32_t middle = low + (high - low) / 2;
        const int order = cell_order(&field->cells.at[middle], candidate);
        if (order == 0) {
            return &field->cells.at[middle];
        }
        if (order < 0) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    return NULL;
}

/* Whether a feature of this name could be in that list of a candidate's: where some other
 * candidate has it. */
static bool may_be_listed(const struct identifying *identifying,
                          const struct field *field, const struct partial_list *partial)
{
    if (field->kind != LOOK_PRESENCE || field->feature.length == 0 ||
        !text_equal(field->prefix, partial->prefix) ||
        field_cell_of(field, partial->candidate) != NULL) {
        return false;
    }
    for (uint32_t i = 0; i < field->lists.count; i++) {
        const struct relation_shape *shape =
            &identifying->knowledge->vocabulary->shapes[field->lists.at[i]];
        if (shape->name == partial->relation) {
            return true;
        }
    }
    return false;
}

/* Puts a cell where it belongs by its candidate. */
static bool insert_cell(struct identifying *identifying, struct field *field,
                        const struct field_cell *cell)
{
    if (!ARRAY_PUSH(identifying->arena, &field->cells, *cell)) {
        return false;
    }
    uint32_t at = field->cells.count - 1;
    for (; at > 0 && field->cells.at[at - 1].candidate > cell->candidate; at--) {
        field->cells.at[at] = field->cells.at[at - 1];
    }
    field->cells.at[at] = *cell;
    return true;
}

static status open_partials(struct identifying *identifying)
{
    for (uint32_t i = 0; i < identifying->partials.count; i++) {
        const struct partial_list *partial = &identifying->partials.at[i];
        const struct field_cell cell = {.candidate = partial->candidate,
                                        .known = KNOWN_NOT};
        for (uint32_t f = 0; f < identifying->fields.count; f++) {
            struct field *field = &identifying->fields.at[f];
            if (may_be_listed(identifying, field, partial) &&
                !insert_cell(identifying, field, &cell)) {
                return arena_status(identifying->arena);
            }
        }
    }
    return STATUS_OK;
}

/* Whether candidates count a position from different faces. */
static bool has_datums(const struct field *field)
{
    name_id first = NAME_NONE;
    for (uint32_t i = 0; field->is_position && i < field->cells.count; i++) {
        const name_id one = field->cells.at[i].datum;
        if (i > 0 && one != first) {
            return true;
        }
        first = one;
    }
    return false;
}

status fields_gather(struct identifying *identifying)
{
    identifying->paths = names_open(identifying->arena, NULL);
    TRY(arena_status(identifying->arena));
    TRY(find_roles(identifying));
    for (uint32_t i = 0; i < identifying->found.count; i++) {
        const struct found *found = &identifying->found.at[i];
        const struct owner owner = {.candidate = i};
        const name_id kind =
            found->part != NULL ? found->part->kind->name : found->recipe->kind;
        if (!add_word(identifying, &owner, "kind", LOOK_KIND, kind)) {
            return arena_status(identifying->arena);
        }
        TRY(found->part != NULL
                ? add_rows(identifying, &owner, found->part)
                : add_unit(identifying, &owner, found->recipe, LIMIT_UNIT_DEPTH));
    }
    for (uint32_t f = 0; f < identifying->fields.count; f++) {
        identifying->fields.at[f].has_datums = has_datums(&identifying->fields.at[f]);
    }
    return open_partials(identifying);
}

/* ---- what they come to */

uint32_t field_of_anchor(const struct identifying *identifying, const struct field *field,
                         text face)
{
    const text path[] = {field->prefix, face, TEXT(".at")};
    return field_of_value(identifying, text_join(identifying->arena, path, 3));
}

/* A quantity as it is counted from a face; NULL: nobody says where that is. */
static const struct form *cell_form(const struct identifying *identifying,
                                    uint32_t anchor, const struct field_cell *cell)
{
    const struct field_cell *from =
        anchor == 0 ? NULL
                    : field_cell_of(&identifying->fields.at[anchor - 1], cell->candidate);
    return anchor == 0 ? cell->form
           : from == NULL || from->form == NULL
               ? NULL
               : form_subtract(identifying->arena, cell->form, from->form);
}

static struct spread spread_of(const struct identifying *identifying, uint32_t field,
                               uint32_t anchor, const struct field_cell *cell)
{
    const struct spread unknown = {.known = KNOWN_NOT, .reading = NAN};
    const struct field *of = &identifying->fields.at[field];
    if (cell->known != KNOWN_VALUE) {
        return unknown;
    }
    if (of->kind == LOOK_QUANTITY) {
        const struct form *form = cell_form(identifying, anchor, cell);
        struct spread spread = unknown;
        if (form == NULL || form->undefined != NULL) {
            return unknown;
        }
        spread = (struct spread){KNOWN_VALUE, form->least, form->greatest, NAN};
        /* a class may leave the nominal outside of its limits */
        spread.reading = form_nominal(form, &spread.reading)
                             ? fmin(fmax(spread.reading, form->least), form->greatest)
                             : NAN;
        return isinf(form->least) && isinf(form->greatest) && isnan(spread.reading)
                   ? unknown
                   : spread;
    }
    const double at = of->kind == LOOK_PRESENCE ? 1.0
                      : of->kind == LOOK_COUNT  ? (double)cell->count
                                                : (double)cell->word;
    return (struct spread){KNOWN_VALUE, at, at, at};
}

/* What candidates without a cell answer. */
static struct spread spread_without(const struct field *field, enum known parent)
{
    const bool is_lacking = field->kind == LOOK_PRESENCE || parent == KNOWN_LACKING;
    return (struct spread){.known = is_lacking ? KNOWN_LACKING : KNOWN_NOT,
                           .reading = NAN};
}

struct spread *field_spreads(const struct identifying *identifying, uint32_t field,
                             uint32_t anchor)
{
    const struct field *of = &identifying->fields.at[field];
    const uint32_t count = identifying->found.count;
    struct spread *spreads = ARENA_MANY(identifying->arena, count, struct spread);
    struct spread *parents =
        of->parent == 0 ? NULL : field_spreads(identifying, of->parent - 1, 0);
    if (spreads == NULL || (of->parent != 0 && parents == NULL)) {
        return NULL;
    }
    uint32_t c = 0;
    for (uint32_t i = 0; i < count; i++) {
        const bool has_cell = c < of->cells.count && of->cells.at[c].candidate == i;
        spreads[i] =
            has_cell ? spread_of(identifying, field, anchor, &of->cells.at[c])
                     : spread_without(of, parents == NULL ? KNOWN_NOT : parents[i].known);
        c += has_cell ? 1 : 0;
    }
    arena_drop(identifying->arena, parents, count * sizeof *parents);
    return spreads;
}

bool spreads_apart(const struct identifying *identifying, const struct field *field,
                   const struct spread *is, const struct spread *seen)
{
    if (is->known == KNOWN_NOT || seen->known == KNOWN_NOT) {
        return false;
    }
    if (is->known != seen->known) {
        return true;
    }
    if (is->known == KNOWN_LACKING) {
        return false;
    }
    if (field->kind == LOOK_KIND) {
        return !kinds_meet(identifying->knowledge->vocabulary, (name_id)is->least,
                           (name_id)seen->least);
    }
    const double grid =
        field->kind == LOOK_QUANTITY ? dimension_grid(field->column->dim) : 0.0;
    return seen->greatest < is->least - grid || seen->least > is->greatest + grid;
}

text cell_text(const struct identifying *identifying, uint32_t field, uint32_t anchor,
               const struct field_cell *cell)
{
    const struct field *of = &identifying->fields.at[field];
    if (of->kind == LOOK_QUANTITY) {
        const struct form *form = cell_form(identifying, anchor, cell);
        return form == NULL ? TEXT("not known") : form_write(identifying->arena, form);
    }
    return of->kind == LOOK_PRESENCE ? TEXT("yes")
           : of->kind == LOOK_COUNT
               ? text_format(identifying->arena, "%lld", (long long)cell->count)
               : name_text(identifying, cell->word);
}

text feature_text(const struct identifying *identifying, const struct field *field)
{
    const struct vocabulary *vocabulary = identifying->knowledge->vocabulary;
    const struct row *row = NULL;
    text all = {"", 0};
    for (uint32_t i = 0; row == NULL && i < field->cells.count; i++) {
        row = field->cells.at[i].row;
    }
    const struct relation_shape *shape =
        row == NULL ? NULL : &vocabulary->shapes[row->relation];
    for (uint32_t v = 0; shape != NULL && v < shape->value_count; v++) {
        const struct column *column = &shape->columns[shape->key_count + v];
        const struct value *value = &row->values[v];
        if (!is_recorded(value) || column->got_by.length == 0 ||
            (value->kind == VALUE_QUANTITY && form_misses(value->quantity))) {
            continue;
        }
        const text word =
            value->kind == VALUE_WORD ? name_text(identifying, value->word)
            : value->kind == VALUE_COUNT
                ? text_format(identifying->arena, "%lld", (long long)value->count)
                : form_write(identifying->arena,
                             form_nominal_only(identifying->arena, value->quantity));
        all = text_format(identifying->arena, "%.*s%s%.*s %.*s", TEXT_ARG(all),
                          all.length > 0 ? ", " : "",
                          TEXT_ARG(name_text(identifying, column->name)), TEXT_ARG(word));
    }
    return all;
}
