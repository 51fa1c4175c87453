/* SPDX-License-Identifier: MIT */
/* Binding to the vocabulary's relations, reading rows by column names, and writing
 * computed ones. */
#include "assembly_private.h"

#include <math.h>

static bool bind(struct assembly *assembly, const char *name, relation_id *out,
                 struct diagnostics *diagnostics)
{
    if (store_find_relation(assembly->store, names_find(assembly->names, text_of(name)),
                            out)) {
        return true;
    }
    diagnostics_report(diagnostics, CODE_VOCABULARY_WRONG, SPAN_NONE,
                       "the vocabulary declares no relation `%s`, which laying needs",
                       name);
    return false;
}

status assembly_open(struct arena *arena, struct store *store, struct names *names,
                     struct diagnostics *diagnostics, struct assembly **out)
{
    struct assembly *assembly = ARENA_NEW(arena, struct assembly);
    bool is_bound = true;
    if (assembly == NULL) {
        return arena_status(arena);
    }
    assembly->arena = arena;
    assembly->store = store;
    assembly->names = names;
    assembly->default_axis = names_add(names, TEXT("axis"));
    (void)names_add(names, TEXT("undescribed"));
#define BIND(member, name)                                                               \
    is_bound = bind(assembly, name, &assembly->member, diagnostics) && is_bound;
    ASSEMBLY_RELATIONS(BIND)
#undef BIND
    *out = assembly;
    TRY(arena_status(arena));
    return is_bound ? STATUS_OK : STATUS_INVALID;
}

void assembly_watch(struct assembly *assembly, bool (*go_on)(void *context),
                    void *context)
{
    assembly->go_on = go_on;
    assembly->go_on_context = context;
}

text assembly_text(const struct assembly *assembly, name_id name)
{
    return names_text(assembly->names, name);
}

/* ---- reading */

static int column_index(const struct assembly *assembly, relation_id relation,
                        const char *column)
{
    const struct relation_shape *shape = store_shape(assembly->store, relation);
    const name_id name = names_find(assembly->names, text_of(column));
    for (uint32_t v = 0; name != NAME_NONE && v < shape->value_count; v++) {
        if (shape->columns[shape->key_count + v].name == name) {
            return (int)v;
        }
    }
    return -1;
}

struct value column_value(const struct assembly *assembly, const struct row *row,
                          const char *column)
{
    const int index = column_index(assembly, row->relation, column);
    return index < 0 ? (struct value){0} : row->values[index];
}

const struct form *column_form(const struct assembly *assembly, const struct row *row,
                               const char *column)
{
    const struct value value = column_value(assembly, row, column);
    return value.kind == VALUE_QUANTITY ? value.quantity : NULL;
}

name_id column_word(const struct assembly *assembly, const struct row *row,
                    const char *column)
{
    const struct value value = column_value(assembly, row, column);
    return value.kind == VALUE_WORD ? value.word : NAME_NONE;
}

bool column_is(const struct assembly *assembly, const struct row *row, const char *column,
               const char *word)
{
    const name_id found = column_word(assembly, row, column);
    return found != NAME_NONE && text_is(assembly_text(assembly, found), word);
}

name_id piece_in(const struct assembly *assembly, name_id unit, name_id place,
                 const struct row **fills_out)
{
    const name_id key[3] = {unit, place, NAME_NONE};
    struct scan scan;
    const struct row *row = scan_open(&scan, assembly->store, assembly->fills, 3, key)
                                ? scan_next(&scan)
                                : NULL;
    if (fills_out != NULL) {
        *fills_out = row;
    }
    return row == NULL ? NAME_NONE : row->key[2];
}

const struct row *plane_of(const struct assembly *assembly, name_id piece,
                           name_id feature)
{
    const name_id key[2] = {piece, feature};
    const struct row *face = store_find(assembly->store, assembly->face, key);
    return face != NULL ? face : store_find(assembly->store, assembly->station, key);
}

const struct row *run_of(const struct assembly *assembly, name_id piece, name_id feature)
{
    const name_id key[2] = {piece, feature};
    return store_find(assembly->store, assembly->run, key);
}

const struct row *band_of(const struct assembly *assembly, name_id piece, name_id feature)
{
    const name_id key[2] = {piece, feature};
    return store_find(assembly->store, assembly->seal_band, key);
}

name_id axis_of(const struct assembly *assembly, const struct row *feature)
{
    const name_id axis = column_word(assembly, feature, "axis");
    return axis == NAME_NONE ? assembly->default_axis : axis;
}

const struct row *laid_on(const struct assembly *assembly, name_id unit, name_id piece,
                          name_id axis)
{
    const name_id key[3] = {unit, piece, axis};
    return store_find(assembly->store, assembly->laid, key);
}

bool is_turned(const struct assembly *assembly, const struct row *laid)
{
    return column_is(assembly, laid, "turned", "true");
}

const struct form *position_in_unit(const struct assembly *assembly,
                                    const struct row *laid, const struct form *position)
{
    const struct form *at = column_form(assembly, laid, "at");
    return settled(assembly, laid->key[0],
                   is_turned(assembly, laid)
                       ? form_subtract(assembly->arena, at, position)
                       : form_add(assembly->arena, at, position));
}

struct stretch stretch_in_unit(const struct assembly *assembly, const struct row *laid,
                               const struct row *feature)
{
    const struct form *from = column_form(assembly, feature, "from");
    const struct form *to = column_form(assembly, feature, "to");
    if (from == NULL || to == NULL) {
        return (struct stretch){NULL, NULL};
    }
    const struct form *one = position_in_unit(assembly, laid, from);
    const struct form *two = position_in_unit(assembly, laid, to);
    return is_turned(assembly, laid) ? (struct stretch){two, one}
                                     : (struct stretch){one, two};
}

double middle_of(const struct form *a)
{
    double nominal = 0;
    if (a == NULL) {
        return NAN; /* the arena has failed; whoever asks will see that */
    }
    if (form_nominal(a, &nominal)) {
        return nominal;
    }
    return isfinite(a->least) && isfinite(a->greatest) ? (a->least + a->greatest) / 2
                                                       : NAN;
}

const struct form *assembly_position(const struct assembly *assembly, name_id unit,
                                     name_id piece, name_id feature,
                                     const struct row **laid_out,
                                     const struct row **face_out)
{
    const struct row *face = plane_of(assembly, piece, feature);
    const struct row *laid =
        face == NULL ? NULL : laid_on(assembly, unit, piece, axis_of(assembly, face));
    const struct form *at = laid == NULL ? NULL : column_form(assembly, face, "at");
    if (laid_out != NULL) {
        *laid_out = laid;
    }
    if (face_out != NULL) {
        *face_out = face;
    }
    return at == NULL ? NULL : position_in_unit(assembly, laid, at);
}

/* ---- writing */

void computed_open(struct computed *made, struct assembly *assembly, relation_id relation,
                   const char *computation)
{
    *made = (struct computed){.assembly = assembly,
                              .row = {.relation = relation,
                                      .standing = STANDING_SURE,
                                      .origin = ORIGIN_COMPUTED},
                              .more = {.computation = computation}};
}

void computed_value(struct computed *made, const char *column, struct value value)
{
    const int index = column_index(made->assembly, made->row.relation, column);
    if (index >= 0 && (value.kind != VALUE_QUANTITY || value.quantity != NULL)) {
        made->values[index] = value;
    }
}

void computed_word(struct computed *made, const char *column, const char *word)
{
    computed_value(made, column,
                   value_word(names_add(made->assembly->names, text_of(word))));
}

void computed_rest(struct computed *made, const struct row *row)
{
    for (uint32_t i = 0; i < made->rests_on.count; i++) {
        if (made->rests_on.at[i] == row) {
            return;
        }
    }
    if (row != NULL) {
        (void)ARRAY_PUSH(made->assembly->arena, &made->rests_on, row);
    }
}

status computed_add(struct computed *made)
{
    struct assembly *assembly = made->assembly;
    uint32_t highest = 0;
    for (uint32_t i = 0; i < made->rests_on.count; i++) {
        const uint32_t height = made->rests_on.at[i]->height;
        highest = height > highest ? height : highest;
    }
    made->row.height = highest + 1;
    made->row.key = made->key;
    made->row.values = made->values;
    made->more.rests_on = made->rests_on.at;
    made->more.rests_on_count = made->rests_on.count;
    made->row.more = &made->more;
    TRY(arena_status(assembly->arena));
    if (assembly->go_on != NULL && !assembly->go_on(assembly->go_on_context)) {
        return STATUS_STOPPED;
    }
    return store_add(assembly->store, &made->row, NULL) == ADDED_NO_MEMORY
               ? arena_status(assembly->arena)
               : STATUS_OK;
}
