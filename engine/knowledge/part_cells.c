/* SPDX-License-Identifier: MIT */
/*
 * One cell of a part's row: found in the question's givens or in the document, read by
 * the type of its column, and turned into a value that carries its own deviation.
 */
#include "part_cells.h"

#include "array.h"
#include "given.h"
#include "limits.h"
#include "number_text.h"

#include <math.h>

/* A cell's whereabouts, handed down while it is read. */
struct cell {
    relation_id relation;
    uint32_t column;
    const struct listed *listed;
    const struct column *shape;
    const struct column_manner *manner;
    bool is_given; /* by the question */
};

static const struct form *position_form(struct builder *builder,
                                        const struct listed *listed, name_id column);

static const struct relation_shape *shape_of(const struct builder *builder,
                                             relation_id relation)
{
    return &builder->around->vocabulary->shapes[relation];
}

status cells_open(struct builder *builder)
{
    const struct vocabulary *vocabulary = builder->around->vocabulary;
    struct arena *arena = builder->around->arena;
    ARRAY_OF(struct listed) all = {0};
    for (uint32_t i = 0; i < vocabulary->listing_count; i++) {
        const struct listing *listing = &vocabulary->listings[i];
        const text field = names_text(builder->around->names, listing->field);
        const struct node_field *list = node_find(builder->part->document, field);
        if (listing->in_unit != builder->in_unit || list == NULL) {
            continue;
        }
        if (!node_expect(list->value, NODE_MAP, "a list of features",
                         builder->around->diagnostics)) {
            builder->result = STATUS_INVALID;
            continue;
        }
        for (uint32_t k = 0; k < list->value->count; k++) {
            const struct node_field *entry = &list->value->fields[k];
            if (!node_expect(entry->value, NODE_MAP, "a feature",
                             builder->around->diagnostics)) {
                builder->result = STATUS_INVALID;
                continue;
            }
            const struct listed one = {listing->relation,
                                       names_add(builder->around->names, entry->key),
                                       listing->field, entry->value, entry->key_where};
            if (!ARRAY_PUSH(arena, &all, one)) {
                return arena_status(arena);
            }
        }
    }
    builder->listed = all.at;
    builder->listed_count = all.count;
    return STATUS_OK;
}

/* "entry.list.field" of a unit: one dimension for host and swap, unless the question
 * gives it. */
static text unit_dimension_of(const struct builder *builder, const struct cell *cell)
{
    const struct names *names = builder->around->names;
    return text_format(builder->around->arena, "%.*s%.*s.%.*s.%.*s%s",
                       TEXT_ARG(builder->unit_prefix),
                       TEXT_ARG(names_text(names, cell->listed->name)),
                       TEXT_ARG(names_text(names, cell->listed->list)),
                       TEXT_ARG(names_text(names, cell->shape->name)),
                       cell->is_given ? ", as given" : "");
}

/* "owner.feature.field", or "owner.field" for the part itself: the name of the dimension.
 */
static text dimension_of(const struct builder *builder, const struct cell *cell)
{
    const struct names *names = builder->around->names;
    if (builder->in_unit) {
        return unit_dimension_of(builder, cell);
    }
    const bool is_listed = cell->listed != NULL;
    const text dot = TEXT(".");
    const text parts[] = {names_text(names, builder->owner), dot,
                          is_listed ? names_text(names, cell->listed->name) : TEXT(""),
                          is_listed ? dot : TEXT(""),
                          names_text(names, cell->shape->name)};
    return text_join(builder->around->arena, parts, sizeof parts / sizeof *parts);
}

/* What a word of this cell may be; empty: any word, or it is no word. */
static text choices_of(const struct builder *builder, const struct cell *cell)
{
    const struct names *names = builder->around->names;
    text all = text_copy(builder->around->arena, TEXT(""));
    for (uint32_t i = 0; i < cell->shape->choice_count; i++) {
        all = text_format(builder->around->arena, "%.*s%s%.*s", TEXT_ARG(all),
                          i == 0 ? "" : ", ",
                          TEXT_ARG(names_text(names, cell->shape->choices[i])));
    }
    return all;
}

static struct deviation *new_deviation(const struct builder *builder,
                                       const struct cell *cell)
{
    struct deviation *made = ARENA_NEW(builder->around->arena, struct deviation);
    if (made != NULL) {
        *made = (struct deviation){.name = dimension_of(builder, cell),
                                   .nominal = NAN,
                                   .low = -INFINITY,
                                   .high = INFINITY,
                                   .kind = DEVIATION_MADE,
                                   .basis = BASIS_MISSING,
                                   .dim = cell->shape->dim,
                                   .got_by = cell->shape->got_by};
    }
    return made;
}

/* Whether a given value is for this cell of what a unit lists: ENTRY.LIST.FIELD. */
static bool is_for_listed(const struct builder *builder, const struct given_value *given,
                          const struct cell *cell)
{
    const struct names *names = builder->around->names;
    if (given->field != cell->shape->name) {
        return false;
    }
    const text entry = names_text(names, given->place);
    const size_t own = builder->unit_prefix.length;
    return given->feature == cell->listed->list &&
           text_starts(entry, builder->unit_prefix) &&
           text_equal(text_slice(entry, own, entry.length),
                      names_text(names, cell->listed->name));
}

static struct given_value *given_for(struct builder *builder, const struct cell *cell)
{
    if (!builder->in_unit) {
        return given_of_piece(builder->around->names, builder->given,
                              builder->given_count, builder->place, builder->part,
                              cell->listed == NULL ? NAME_NONE : cell->listed->name,
                              cell->shape->name);
    }
    for (uint32_t i = 0; i < builder->given_count; i++) {
        struct given_value *given = &builder->given[i];
        if (is_for_listed(builder, given, cell)) {
            given->is_used = true;
            return given;
        }
    }
    return NULL;
}

/* The feature's plane or end that a position hangs on; NULL (reported) when there is
 * none. */
static const struct form *anchor_form(struct builder *builder, const struct cell *cell,
                                      const struct stated *stated)
{
    struct names *names = builder->around->names;
    const name_id anchor = names_add(names, stated->anchor);
    if (cell->listed != NULL &&
        (text_is(stated->anchor, "from") || text_is(stated->anchor, "to")) &&
        vocabulary_column(shape_of(builder, cell->relation), anchor) >= 0) {
        return position_form(builder, cell->listed, anchor);
    }
    const name_id at = names_add(names, TEXT("at"));
    struct nearest near = nearest_to(stated->anchor);
    for (uint32_t i = 0; i < builder->listed_count; i++) {
        const struct listed *other = &builder->listed[i];
        if (vocabulary_column(shape_of(builder, other->relation), at) < 0) {
            continue;
        }
        if (other->name == anchor) {
            return position_form(builder, other, at);
        }
        nearest_offer(&near, names_text(names, other->name));
    }
    struct diagnostic *report = diagnostics_report(
        builder->around->diagnostics, CODE_NAME_UNKNOWN, stated->where,
        "no face or station of this part is called \"%.*s\"", TEXT_ARG(stated->anchor));
    report->nearest = near.best;
    builder->result = STATUS_INVALID;
    return NULL;
}

/* What a part of the other hand takes over from the one it mirrors goes round the other
 * way. */
static const struct form *mirrored(const struct builder *builder, const struct cell *cell,
                                   const struct form *form)
{
    const struct names *names = builder->around->names;
    const struct node *own = builder->part->own;
    if (own == NULL || !text_is(names_text(names, cell->shape->name), "clock")) {
        return form;
    }
    for (uint32_t i = 0; cell->listed != NULL && i < own->count; i++) {
        const struct node *list = own->fields[i].value;
        const struct node_field *feature =
            list->kind != NODE_MAP
                ? NULL
                : node_find(list, names_text(names, cell->listed->name));
        if (feature != NULL && feature->value->kind == NODE_MAP &&
            node_field_of(feature->value, "clock") != NULL) {
            return form; /* written of this part itself */
        }
    }
    return form_scale(builder->around->arena, form, -1.0);
}

/* What a metre of a part grows for each kelvin. Where nobody says of what it is made, it
 * is of one of the materials that are known: one dimension for the whole piece. */
static const struct form *growth_rate(const struct builder *builder)
{
    struct arena *arena = builder->around->arena;
    const struct tables *tables = builder->around->tables;
    const struct named_figure *material =
        tables_material(tables, builder->part->material);
    struct dimension expansion = DIMENSION_RATIO;
    double least = 0;
    double greatest = 0;
    (void)dimension_find(TEXT("expansion"), &expansion);
    if (material != NULL) {
        return form_exact(arena, expansion, material->figure);
    }
    struct deviation *unsaid = ARENA_NEW(arena, struct deviation);
    if (unsaid == NULL) {
        return NULL;
    }
    const bool is_bounded = tables_material_range(tables, &least, &greatest);
    *unsaid = (struct deviation){
        .name = text_format(arena, "%.*s: its material",
                            TEXT_ARG(names_text(builder->around->names, builder->owner))),
        .nominal = is_bounded ? (least + greatest) / 2 : NAN,
        .low = is_bounded ? (least - greatest) / 2 : -INFINITY,
        .high = is_bounded ? (greatest - least) / 2 : INFINITY,
        .kind = DEVIATION_MADE,
        .basis = is_bounded ? BASIS_ASSUMED : BASIS_MISSING,
        .dim = expansion,
        .got_by = text_copy(arena, TEXT("eye drawing"))};
    return form_of(arena, unsaid);
}

/* Adds what a length grows when the unit gets warm: dimensions hold at 20 °C (ISO 1). */
static const struct form *with_growth(struct builder *builder, const struct cell *cell,
                                      const struct deviation *own,
                                      const struct form *form)
{
    struct arena *arena = builder->around->arena;
    const struct deviation *warm = builder->around->temperature;
    if (warm == NULL || cell->manner->is_exact || isnan(own->nominal) ||
        own->nominal == 0.0 || !dimension_equal(own->dim, DIMENSION_LENGTH)) {
        return form;
    }
    const struct form *per_kelvin = form_multiply(
        arena, growth_rate(builder), form_exact(arena, DIMENSION_LENGTH, own->nominal));
    return form_add(arena, form, form_multiply(arena, per_kelvin, form_of(arena, warm)));
}

/* Whether a feature belongs to the inner one of two bodies. */
static bool is_inner(const struct listed *listed)
{
    const struct node *body = listed == NULL ? NULL : node_field_of(listed->map, "body");
    return body != NULL && body->kind == NODE_WORD && text_is(body->word, "inner");
}

static const struct listed *find_plane(const struct builder *builder, name_id name)
{
    const name_id at = names_add(builder->around->names, TEXT("at"));
    for (uint32_t i = 0; name != NAME_NONE && i < builder->listed_count; i++) {
        if (builder->listed[i].name == name &&
            vocabulary_column(shape_of(builder, builder->listed[i].relation), at) >= 0) {
            return &builder->listed[i];
        }
    }
    return NULL;
}

/* How far the inner body may lie either side of where the drawing has it: half its play.
 */
static const struct form *play_form(struct builder *builder)
{
    struct arena *arena = builder->around->arena;
    const name_id play = names_find(builder->around->names, TEXT("play"));
    const struct vocabulary *vocabulary = builder->around->vocabulary;
    const struct kind *kind = kind_with_field(vocabulary, builder->part->kind, play);
    struct deviation *made = ARENA_NEW(arena, struct deviation);
    if (builder->play != NULL || made == NULL) {
        return builder->play;
    }
    *made = (struct deviation){
        .name = text_format(arena, "%.*s.play, way of thrust",
                            TEXT_ARG(names_text(builder->around->names, builder->owner))),
        .low = -INFINITY,
        .high = INFINITY,
        .kind = DEVIATION_MOVES,
        .dim = DIMENSION_LENGTH};
    const int column =
        kind == NULL ? -1 : vocabulary_column(&vocabulary->shapes[kind->relation], play);
    const struct value value = column < 0
                                   ? (struct value){0}
                                   : cell_value(builder, kind->relation, (uint32_t)column,
                                                NULL, builder->part->document);
    if (value.kind == VALUE_QUANTITY && !form_misses(value.quantity)) {
        made->low = -value.quantity->greatest / 2;
        made->high = value.quantity->greatest / 2;
    } else {
        made->basis = BASIS_MISSING;
        made->nominal = NAN;
    }
    builder->play = form_of(arena, made);
    return builder->play;
}

/* A feature of the other body than what its position hangs on lies off by the play. */
static const struct form *with_play(struct builder *builder, const struct cell *cell,
                                    const struct stated *stated, const struct form *form)
{
    const bool hangs_on_own_run =
        text_is(stated->anchor, "from") || text_is(stated->anchor, "to");
    const name_id from = stated->anchor.length > 0
                             ? names_add(builder->around->names, stated->anchor)
                             : builder->part->datum;
    const bool is_off = is_inner(cell->listed) != is_inner(find_plane(builder, from));
    if (!cell->manner->is_position || hangs_on_own_run || !is_off) {
        return form;
    }
    const struct form *play = play_form(builder);
    return is_inner(cell->listed) ? form_add(builder->around->arena, form, play)
                                  : form_subtract(builder->around->arena, form, play);
}

/* A stated dimension as a form: what it hangs on, plus its own deviation. NULL: a fault.
 */
static const struct form *stated_form(struct builder *builder, const struct cell *cell,
                                      const struct stated *stated)
{
    struct arena *arena = builder->around->arena;
    const struct form *anchor = NULL;
    if (stated->anchor.length > 0) {
        anchor = anchor_form(builder, cell, stated);
        if (anchor == NULL || stated->is_name_alone) {
            return anchor == NULL ? NULL : with_play(builder, cell, stated, anchor);
        }
    }
    struct deviation *own = new_deviation(builder, cell);
    if (own == NULL) {
        return NULL;
    }
    own->where = stated->where;
    const bool is_datum = cell->manner->is_position && cell->listed != NULL &&
                          cell->listed->name == builder->part->datum &&
                          stated->nominal == 0.0;
    const struct tolerance_rules rules = {builder->part->general_tolerance,
                                          cell->manner->is_exact || is_datum,
                                          cell->manner->is_edge};
    if (stated_resolve(builder->around->tables, stated, &rules,
                       builder->around->diagnostics, own) != STATUS_OK) {
        builder->result = STATUS_INVALID;
        return NULL;
    }
    if (builder->around->is_set && cell->manner->is_position &&
        own->kind == DEVIATION_MADE) {
        own->kind = DEVIATION_SET;
    }
    const struct form *form = own->low == 0.0 && own->high == 0.0
                                  ? form_exact(arena, own->dim, own->nominal)
                                  : form_of(arena, own);
    form = with_growth(builder, cell, own, form);
    return with_play(builder, cell, stated,
                     anchor == NULL ? form : form_add(arena, anchor, form));
}

/* Reads what is written for a quantity: a word, or {measured: …, with: gauge}. */
static bool read_stated(struct builder *builder, const struct cell *cell,
                        const struct node *written, const struct given_value *given,
                        struct stated *out)
{
    struct diagnostics *diagnostics = builder->around->diagnostics;
    const struct stated_options options = {
        .wanted = cell->shape->dim,
        .decimal_comma = given != NULL && builder->around->decimal_comma,
        .anchors_allowed = cell->manner->is_position};
    if (given != NULL) {
        return stated_read(given->value, given->where, &options, diagnostics, out) ==
               STATUS_OK;
    }
    static const char *const known[] = {"measured", "with", "confirmed", NULL};
    const struct node *word = written;
    const struct node *gauge = NULL;
    if (written->kind == NODE_MAP) {
        node_refuse_others(written, known, "a reading", diagnostics);
        gauge = node_field_of(written, "with");
        if (!node_word(written, "measured", "a reading", diagnostics, &word) ||
            (gauge != NULL && !node_expect(gauge, NODE_WORD, "`with`", diagnostics))) {
            return false;
        }
    }
    if (!node_expect(word, NODE_WORD, "a dimension", diagnostics)) {
        return false;
    }
    const span where = node_text_span(word, 0, word->word.length);
    if (stated_read(word->word, where, &options, diagnostics, out) != STATUS_OK) {
        return false;
    }
    if (written->kind == NODE_MAP) {
        out->basis = STATED_MEASURED;
        out->gauge = gauge == NULL ? written->word : gauge->word;
    }
    return true;
}

static struct value missing_value(struct builder *builder, const struct cell *cell)
{
    struct deviation *of = new_deviation(builder, cell);
    if (cell->shape->kind == COLUMN_QUANTITY) {
        return value_quantity(of == NULL ? NULL : form_of(builder->around->arena, of));
    }
    if (of != NULL) {
        of->one_of = choices_of(builder, cell);
    }
    return value_missing(of);
}

bool surely_negative(const struct form *form)
{
    const double grid = dimension_grid(form->dim);
    double nominal = 0;
    return form->greatest < -grid || (isinf(form->least) && isinf(form->greatest) &&
                                      form_nominal(form, &nominal) && nominal < -grid);
}

/* A size that surely lies below nothing is a slip of the pen. */
static bool is_below_nothing(struct builder *builder, const struct cell *cell,
                             const struct form *form, span where)
{
    if (!cell->manner->is_positive || form == NULL || !surely_negative(form)) {
        return false;
    }
    diagnostics_report(builder->around->diagnostics, CODE_VALUE_OUTSIDE, where,
                       "%.*s is less than nothing",
                       TEXT_ARG(names_text(builder->around->names, cell->shape->name)))
        ->expected = TEXT("a size of 0 or more");
    builder->result = STATUS_INVALID;
    return true;
}

static const struct form *quantity_form(struct builder *builder, const struct cell *cell,
                                        const struct node *written,
                                        const struct given_value *given)
{
    struct stated stated = {0};
    if (!read_stated(builder, cell, written, given, &stated)) {
        builder->result = STATUS_INVALID;
        return NULL;
    }
    const struct form *form = stated_form(builder, cell, &stated);
    if (is_below_nothing(builder, cell, form, stated.where)) {
        return NULL;
    }
    return given != NULL ? form : mirrored(builder, cell, form);
}

/* A run of which one end and the width are written has its other end there too. */
static const struct form *end_from_width(struct builder *builder, const struct cell *cell)
{
    struct names *names = builder->around->names;
    const bool is_from = text_is(names_text(names, cell->shape->name), "from");
    const struct relation_shape *shape = shape_of(builder, cell->relation);
    const int width = vocabulary_column(shape, names_find(names, TEXT("width")));
    const name_id other = names_find(names, is_from ? TEXT("to") : TEXT("from"));
    if (cell->listed == NULL || width < 0 || other == NAME_NONE ||
        (!is_from && !text_is(names_text(names, cell->shape->name), "to"))) {
        return NULL;
    }
    const struct node *map = cell->listed->map;
    if (node_field_of(map, "width") == NULL ||
        node_find(map, names_text(names, other)) == NULL) {
        return NULL;
    }
    const struct form *end = position_form(builder, cell->listed, other);
    const struct value wide =
        cell_value(builder, cell->relation, (uint32_t)width, cell->listed, map);
    struct arena *arena = builder->around->arena;
    return is_from ? form_subtract(arena, end, wide.quantity)
                   : form_add(arena, end, wide.quantity);
}

/* The form of a position, worked out once for each owner. */
static const struct form *position_form(struct builder *builder,
                                        const struct listed *listed, name_id column)
{
    struct arena *arena = builder->around->arena;
    for (uint32_t i = 0; i < builder->position_count; i++) {
        const struct position *known = &builder->positions[i];
        if (known->of != listed || known->column != column) {
            continue;
        }
        if (!known->is_done) {
            diagnostics_report(builder->around->diagnostics, CODE_PLACE_CIRCLE,
                               listed->where,
                               "positions of this part hang on each other in a circle");
            builder->result = STATUS_INVALID;
            return form_undefined(arena, DIMENSION_LENGTH, "hangs on itself");
        }
        return known->form;
    }
    const struct relation_shape *shape = shape_of(builder, listed->relation);
    const int index = vocabulary_column(shape, column);
    const uint32_t slot = builder->position_count;
    if (index < 0 ||
        !array_grow(arena, (void **)&builder->positions, builder->position_count,
                    &builder->position_room, sizeof(struct position))) {
        return NULL;
    }
    builder->positions[builder->position_count++] =
        (struct position){listed, column, false, NULL};
    const struct cell cell = {
        listed->relation,
        (uint32_t)index,
        listed,
        &shape->columns[index],
        &builder->around->vocabulary->manners[listed->relation][index],
        false};
    const struct given_value *given = given_for(builder, &cell);
    const struct node_field *written =
        node_find(listed->map, names_text(builder->around->names, column));
    const struct form *form = NULL;
    if (builder->depth >= LIMIT_DEPTH) {
        form = form_undefined(arena, DIMENSION_LENGTH, "hangs on too many faces");
    } else if (given != NULL || written != NULL) {
        builder->depth++;
        form =
            quantity_form(builder, &cell, written == NULL ? NULL : written->value, given);
        builder->depth--;
    } else {
        form = end_from_width(builder, &cell);
    }
    if (form == NULL) {
        form = missing_value(builder, &cell).quantity;
    }
    builder->positions[slot].form = form;
    builder->positions[slot].is_done = true;
    return form;
}

static struct value word_value(struct builder *builder, const struct cell *cell,
                               text word, span where)
{
    struct names *names = builder->around->names;
    const name_id id = names_add(names, word);
    if (cell->shape->choices == NULL) {
        return value_word(id);
    }
    for (uint32_t i = 0; i < cell->shape->choice_count; i++) {
        if (cell->shape->choices[i] == id) {
            return value_word(id);
        }
    }
    struct nearest near = nearest_to(word);
    for (uint32_t i = 0; i < cell->shape->choice_count; i++) {
        nearest_offer(&near, names_text(names, cell->shape->choices[i]));
    }
    struct diagnostic *report =
        diagnostics_report(builder->around->diagnostics, CODE_CHOICE_UNKNOWN, where,
                           "\"%.*s\" is no choice for %.*s", TEXT_ARG(word),
                           TEXT_ARG(names_text(names, cell->shape->name)));
    report->expected = choices_of(builder, cell);
    report->nearest = near.best;
    builder->result = STATUS_INVALID;
    return missing_value(builder, cell);
}

static struct value count_value(struct builder *builder, const struct cell *cell,
                                text word, span where)
{
    double number = 0;
    if (number_read(word, &number) && number >= 0 && number <= 2147483647.0 &&
        number == floor(number)) {
        return value_count((int64_t)number);
    }
    struct diagnostic *report =
        diagnostics_report(builder->around->diagnostics, CODE_COUNT_WRONG, where,
                           "\"%.*s\" is no whole number", TEXT_ARG(word));
    report->expected = TEXT("a whole number such as 21");
    builder->result = STATUS_INVALID;
    return missing_value(builder, cell);
}

/* A word or a count; a list of words is one word, its items joined by blanks. */
static struct value simple_value(struct builder *builder, const struct cell *cell,
                                 const struct node *written,
                                 const struct given_value *given)
{
    text word = given != NULL ? given->value : (text){"", 0};
    const span where = given != NULL ? given->where : written->where;
    if (given == NULL) {
        if (!node_expect(written, NODE_WORD, "a word", builder->around->diagnostics)) {
            builder->result = STATUS_INVALID;
            return missing_value(builder, cell);
        }
        word = written->word;
    }
    return cell->shape->kind == COLUMN_COUNT ? count_value(builder, cell, word, where)
                                             : word_value(builder, cell, word, where);
}

/* What stands for a field that nobody wrote. */
static struct value absent_value(struct builder *builder, const struct cell *cell,
                                 const struct node *map)
{
    if (cell->manner->standard != NAME_NONE) {
        return value_word(cell->manner->standard);
    }
    if (cell->manner->is_due && builder->owner == builder->part->name) {
        diagnostics_report(
            builder->around->diagnostics, CODE_FIELD_MISSING,
            cell->listed == NULL ? map->where : cell->listed->where,
            "`%.*s` must be written",
            TEXT_ARG(names_text(builder->around->names, cell->shape->name)));
        builder->result = STATUS_INVALID;
    }
    return cell->manner->is_optional ? (struct value){0} : missing_value(builder, cell);
}

struct value cell_value(struct builder *builder, relation_id relation, uint32_t column,
                        const struct listed *listed, const struct node *map)
{
    const struct relation_shape *shape = shape_of(builder, relation);
    struct cell cell = {relation,
                        column,
                        listed,
                        &shape->columns[column],
                        &builder->around->vocabulary->manners[relation][column],
                        false};
    const struct given_value *given = given_for(builder, &cell);
    cell.is_given = given != NULL;
    const struct node_field *written =
        node_find(map, names_text(builder->around->names, cell.shape->name));
    if (cell.manner->is_position) {
        if (written == NULL && given == NULL && cell.manner->is_due) {
            return absent_value(builder, &cell, map);
        }
        return value_quantity(position_form(builder, listed, cell.shape->name));
    }
    if (written == NULL && given == NULL) {
        return absent_value(builder, &cell, map);
    }
    const struct node *node = written == NULL ? NULL : written->value;
    if (cell.shape->kind != COLUMN_QUANTITY) {
        return simple_value(builder, &cell, node, given);
    }
    const struct form *form = quantity_form(builder, &cell, node, given);
    return form == NULL ? missing_value(builder, &cell) : value_quantity(form);
}
