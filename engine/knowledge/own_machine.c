/* SPDX-License-Identifier: MIT */
/* Own machines: documents merged with what they are like, and readings that cannot be. */
#include "own_machine.h"

#include "array.h"
#include "limits.h"
#include "node_merge.h"

struct owning {
    struct arena *arena;
    const struct knowledge *knowledge;
    struct diagnostics *diagnostics;
    const struct node *const *units;
    uint32_t unit_count;
    ARRAY_OF(struct own_part) parts;
    uint32_t depth; /* 0: the machine itself, else what it is like */
    struct diagnostic said_elsewhere;
    bool is_wrong;
};

/* A fault of what a machine is like is reported where that one is read. */
static struct diagnostic *fault(struct owning *owning, enum diagnostic_code code,
                                span where, text message)
{
    owning->is_wrong = true;
    return owning->depth > 0 ? &owning->said_elsewhere
                             : diagnostics_add(owning->diagnostics, code, where, message);
}

static const struct node *find_unit(struct owning *owning, const struct node *like,
                                    text own_name)
{
    struct nearest near = nearest_to(like->word);
    for (uint32_t i = 0; i < owning->unit_count; i++) {
        const struct node *name = node_field_of(owning->units[i], "unit");
        if (name == NULL || name->kind != NODE_WORD) {
            continue;
        }
        if (text_equal(name->word, like->word)) {
            return owning->units[i];
        }
        if (!text_equal(name->word, own_name)) {
            nearest_offer(&near, name->word);
        }
    }
    fault(owning, CODE_NAME_UNKNOWN, like->where,
          TEXT("there is no unit of this name to be like"))
        ->nearest = near.best;
    return NULL;
}

/* The number in a place: a word, or {part: …, turned: …}. */
static const struct node *number_in(const struct node *filling)
{
    return filling == NULL             ? NULL
           : filling->kind == NODE_MAP ? node_field_of(filling, "part")
                                       : filling;
}

/* What is in a place: a number, or a piece of the machine that this one is like. */
static bool find_piece(const struct owning *owning, text word, struct own_part *out)
{
    for (uint32_t i = 0; i < owning->parts.count; i++) {
        const struct own_part *part = &owning->parts.at[i];
        if (text_equal(node_field_of(part->document, "part")->word, word)) {
            *out = *part;
            return true;
        }
    }
    const name_id name = names_find(owning->knowledge->names, word);
    const struct part *number =
        name == NAME_NONE ? NULL : knowledge_part(owning->knowledge, name);
    if (number != NULL) {
        *out = (struct own_part){.document = number->document, .number = number};
    }
    return number != NULL;
}

/* Makes the part of one piece, and gives the place's new filling; NULL: a fault. */
static const struct node *own_piece(struct owning *owning, const struct node *unit,
                                    text unit_name, const struct node_field *piece)
{
    struct arena *arena = owning->arena;
    const struct node *places = node_field_of(unit, "places");
    const struct node_field *place =
        places == NULL || places->kind != NODE_MAP ? NULL : node_find(places, piece->key);
    const struct node *number = place == NULL ? NULL : number_in(place->value);
    struct own_part part = {0};
    if (number == NULL || number->kind != NODE_WORD ||
        !find_piece(owning, number->word, &part)) {
        struct nearest near = nearest_to(piece->key);
        for (uint32_t i = 0; places != NULL && places->kind == NODE_MAP &&
                             place == NULL && i < places->count;
             i++) {
            nearest_offer(&near, places->fields[i].key);
        }
        struct diagnostic *report =
            fault(owning, CODE_NAME_UNKNOWN, piece->key_where,
                  TEXT("the unit has no part in a place of this name"));
        report->expected = TEXT("a place that holds a part");
        report->nearest = near.best;
        return NULL;
    }
    if (piece->value->kind != NODE_MAP) {
        fault(owning, CODE_SHAPE_WRONG, piece->value->where,
              TEXT("what was read on a piece is a map"))
            ->expected = TEXT("{runs: {RUN: {FIELD: {measured: …, with: GAUGE}}}}");
        return NULL;
    }
    const text own =
        text_format(arena, "%.*s.%.*s", TEXT_ARG(unit_name), TEXT_ARG(piece->key));
    const struct node *word = node_of_word(arena, own, piece->key_where);
    const struct node *source = node_field_of(unit, "source");
    part.document = node_merge(arena, part.document, piece->value);
    part.document =
        part.document == NULL ? NULL : node_with(arena, part.document, "part", word);
    if (part.document != NULL && source != NULL) {
        part.document = node_with(arena, part.document, "source", source);
    }
    part.readings = part.readings == NULL
                        ? piece->value
                        : node_merge(arena, part.readings, piece->value);
    part.is_of_base = owning->depth > 0;
    if (part.document == NULL || part.readings == NULL ||
        !ARRAY_PUSH(arena, &owning->parts, part)) {
        return NULL;
    }
    return place->value->kind == NODE_MAP ? node_with(arena, place->value, "part", word)
                                          : word;
}

static const struct node *whole_unit(struct owning *owning, const struct node *document);

/* The unit that another is like, filled in; NULL: a fault. */
static const struct node *base_of(struct owning *owning, const struct node *like,
                                  text own_name)
{
    if (owning->depth >= LIMIT_UNIT_DEPTH) {
        diagnostics_report(owning->diagnostics, CODE_PLACE_CIRCLE, like->where,
                           "units are like each other too deep: in a circle?");
        owning->is_wrong = true;
        return NULL;
    }
    const struct node *base = find_unit(owning, like, own_name);
    owning->depth++;
    base = base == NULL ? NULL : whole_unit(owning, base);
    owning->depth--;
    return base;
}

/* A unit that is like another was not built for the other's machines: the lists by which
 * such are called are not handed on. NULL: no memory. */
static const struct node *without_names(const struct owning *owning,
                                        const struct node *base)
{
    const struct vocabulary *vocabulary = owning->knowledge->vocabulary;
    for (uint32_t i = 0; base != NULL && i < vocabulary->listing_count; i++) {
        const struct listing *listing = &vocabulary->listings[i];
        if (listing->in_unit && vocabulary->looks[listing->relation].typed_name != NULL) {
            const text field = names_text(owning->knowledge->names, listing->field);
            base = node_with(owning->arena, base, field.at, NULL);
        }
    }
    return base;
}

/* The document with what it is like filled in; itself where it is like nothing. */
static const struct node *whole_unit(struct owning *owning, const struct node *document)
{
    struct arena *arena = owning->arena;
    const struct node *like = node_field_of(document, "like");
    const struct node *name = node_field_of(document, "unit");
    if (like == NULL) {
        return document;
    }
    if (!node_expect(like, NODE_WORD, "`like`", owning->diagnostics) || name == NULL) {
        owning->is_wrong = true;
        return NULL;
    }
    const struct node *base = base_of(owning, like, name->word);
    if (base == NULL) {
        return NULL;
    }
    const struct node *pieces = node_field_of(document, "pieces");
    const struct node *unnamed = without_names(owning, base);
    const struct node *merged =
        unnamed == NULL ? NULL : node_merge(arena, unnamed, document);
    merged = merged == NULL ? NULL : node_with(arena, merged, "like", NULL);
    merged = merged == NULL ? NULL : node_with(arena, merged, "pieces", NULL);
    if (pieces != NULL &&
        !node_expect(pieces, NODE_MAP, "`pieces`", owning->diagnostics)) {
        owning->is_wrong = true;
        return NULL;
    }
    for (uint32_t i = 0; merged != NULL && pieces != NULL && i < pieces->count; i++) {
        const struct node *filling =
            own_piece(owning, merged, name->word, &pieces->fields[i]);
        const struct node *places =
            filling == NULL ? NULL
                            : node_with(arena, node_field_of(merged, "places"),
                                        pieces->fields[i].key.at, filling);
        merged = places == NULL ? NULL : node_with(arena, merged, "places", places);
    }
    return merged;
}

status own_machine_read(struct arena *arena, const struct knowledge *knowledge,
                        const struct node *const *units, uint32_t unit_count,
                        const struct node *document, struct diagnostics *diagnostics,
                        struct own_machine *out)
{
    struct owning owning = {.arena = arena,
                            .knowledge = knowledge,
                            .diagnostics = diagnostics,
                            .units = units,
                            .unit_count = unit_count};
    *out = (struct own_machine){0};
    out->unit = whole_unit(&owning, document);
    TRY(arena_status(arena));
    out->parts = owning.parts.at;
    out->part_count = owning.parts.count;
    return owning.is_wrong || out->unit == NULL ? STATUS_INVALID : STATUS_OK;
}

/* ---- readings that cannot be */

static bool is_confirmed(const struct node *reading)
{
    const struct node *flag =
        reading->kind == NODE_MAP ? node_field_of(reading, "confirmed") : NULL;
    return flag != NULL && flag->kind == NODE_WORD && text_is(flag->word, "true");
}

/* A reading as the part's own document has it, where its number's has another. */
static const struct node *reading_of(const struct part *part, const struct part *like,
                                     const char *list, text feature, text field)
{
    const struct node *documents[2] = {part->document, like->document};
    const struct node *found[2] = {NULL, NULL};
    for (int i = 0; i < 2; i++) {
        const struct node *map = node_field_of(documents[i], list);
        const struct node_field *one = map == NULL ? NULL : node_find(map, feature);
        const struct node_field *value = one == NULL || one->value->kind != NODE_MAP
                                             ? NULL
                                             : node_find(one->value, field);
        found[i] = value == NULL ? NULL : value->value;
    }
    return found[0] != NULL && found[1] != NULL && found[0] != found[1] ? found[0] : NULL;
}

static status compare_row(struct arena *arena, const struct knowledge *knowledge,
                          const struct listing *listing, struct part *part,
                          const struct part *like, const struct row *own,
                          const struct row *drawn)
{
    const struct relation_shape *shape = &knowledge->vocabulary->shapes[own->relation];
    const text list = names_text(knowledge->names, listing->field);
    const text feature = names_text(knowledge->names, own->key[1]);
    for (uint32_t v = 0; v < shape->value_count; v++) {
        const struct value *one = &own->values[v];
        const struct value *two = &drawn->values[v];
        const text field =
            names_text(knowledge->names, shape->columns[shape->key_count + v].name);
        const struct node *reading = reading_of(part, like, list.at, feature, field);
        if (reading == NULL || is_confirmed(reading) || one->kind != VALUE_QUANTITY ||
            two->kind != VALUE_QUANTITY ||
            (one->quantity->least <= two->quantity->greatest &&
             two->quantity->least <= one->quantity->greatest)) {
            continue;
        }
        struct odd_reading *odd =
            ARENA_MANY(arena, (size_t)part->odd_count + 1, struct odd_reading);
        TRY(arena_status(arena));
        for (uint32_t i = 0; i < part->odd_count; i++) {
            odd[i] = part->odd[i];
        }
        odd[part->odd_count].where = reading->where;
        odd[part->odd_count].what =
            text_format(arena, "%.*s.%.*s reads %.*s, and may be %.*s", TEXT_ARG(feature),
                        TEXT_ARG(field), TEXT_ARG(form_write(arena, one->quantity)),
                        TEXT_ARG(form_write(arena, two->quantity)));
        part->odd = odd;
        part->odd_count++;
    }
    return STATUS_OK;
}

status own_readings(struct arena *arena, const struct knowledge *knowledge,
                    struct part *part)
{
    const struct part *like = knowledge_part(knowledge, part->like);
    for (uint32_t i = 0; like != NULL && i < knowledge->vocabulary->listing_count; i++) {
        const struct listing *listing = &knowledge->vocabulary->listings[i];
        const name_id key[2] = {part->name, NAME_NONE};
        struct scan scan;
        if (listing->in_unit ||
            !scan_open(&scan, knowledge->base, listing->relation, 1, key)) {
            continue;
        }
        for (const struct row *own = scan_next(&scan); own != NULL;
             own = scan_next(&scan)) {
            const name_id drawn_key[2] = {like->name, own->key[1]};
            const struct row *drawn =
                store_find(knowledge->base, listing->relation, drawn_key);
            if (drawn != NULL) {
                TRY(compare_row(arena, knowledge, listing, part, like, own, drawn));
            }
        }
    }
    return arena_status(arena);
}
