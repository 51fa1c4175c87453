/* SPDX-License-Identifier: MIT */
/*
 * Reads how parts make a unit. Each line has a small notation of its own:
 *
 *   contact   moved.face = stop.face            moved.face = first of a.face, b.face
 *             moved.face = stop.face +1.0 ±0.3 mm
 *             moved.face = stop.face set 1.0 ±0.3 mm within 0..3 mm
 *   fit       left.run on right.run             left.run in right.run      left.band on
 * right gap       {between: [a.face, b.face], want: 0.05..0.60 mm, set-by: {place:
 * stock}}
 *
 * Only the form is checked here; whether the faces exist depends on what fills the
 * places, which a question may change.
 */
#include "recipe_reader.h"

#include "array.h"

/* Where a word begins in a line; its length when it is not there. */
static size_t find_word(text line, const char *word)
{
    for (size_t at = 0; at < line.length; at = recipe_skip(line, at + 1)) {
        size_t after = at;
        if ((at == 0 || is_blank(line.at[at - 1])) && recipe_word(line, &after, word)) {
            return at;
        }
    }
    return line.length;
}

/* A depth lies within what it may be set to. */
static void check_stroke(struct recipe_reader *reader, const struct stop_line *stop)
{
    struct stated depth = {0};
    struct stated stroke = {0};
    struct arena *arena = reader->arena;
    if (!recipe_quantity(reader, stop->offset, stop->offset_where, "length", &depth) ||
        !recipe_quantity(reader, stop->stroke, stop->stroke_where, "length", &stroke)) {
        return;
    }
    const double grid = dimension_grid(DIMENSION_LENGTH);
    const double least = stroke.nominal + stroke.low;
    const double greatest = stroke.nominal + stroke.high;
    if (depth.nominal >= least - grid && depth.nominal <= greatest + grid) {
        return;
    }
    diagnostics_report(
        reader->diagnostics, CODE_VALUE_OUTSIDE, stop->offset_where,
        "set %.*s lies outside %.*s, what it may be set to",
        TEXT_ARG(magnitude_write(arena, DIMENSION_LENGTH, depth.nominal, -1)),
        TEXT_ARG(stop->stroke))
        ->expected = text_format(arena, "a depth within %.*s", TEXT_ARG(stop->stroke));
    reader->result = STATUS_INVALID;
}

static bool read_stop(struct recipe_reader *reader, const struct node *word, size_t *at,
                      struct stop_line *out)
{
    if (!recipe_ref(reader, word, at, false, &out->face)) {
        return false;
    }
    const size_t end = text_find(word->word, ',', *at);
    const bool is_set = recipe_word(word->word, at, "set");
    const text rest = text_trim(text_slice(word->word, *at, end));
    const size_t within = find_word(rest, "within");
    if (rest.length > 0) {
        out->has_offset = true;
        out->offset = is_set ? text_trim(text_slice(rest, 0, within)) : rest;
        out->offset_where = node_text_span(word, *at, out->offset.length);
    }
    if (is_set) {
        const size_t from = within < rest.length ? recipe_skip(rest, within + 6) : 0;
        out->stroke = text_slice(rest, from, rest.length);
        out->stroke_where = node_text_span(word, *at + from, out->stroke.length);
    }
    if (is_set && (out->offset.length == 0 || out->stroke.length == 0)) {
        recipe_fault(reader, node_text_span(word, *at, 1),
                     TEXT("what is set has a depth and how far it may go"),
                     "set 1.0 ±0.3 mm within 0..3 mm, or set 0..3 mm");
    } else if (is_set) {
        check_stroke(reader, out);
    } else if (out->has_offset) {
        struct stated offset = {0};
        (void)recipe_quantity(reader, out->offset, out->offset_where, "length", &offset);
    }
    *at = end;
    return true;
}

static void read_contact(struct recipe_reader *reader, const struct node *word,
                         struct contact_line *out)
{
    size_t at = 0;
    if (!recipe_ref(reader, word, &at, false, &out->moved)) {
        return;
    }
    if (at >= word->word.length || word->word.at[at] != '=') {
        recipe_fault(reader, node_text_span(word, at, 1), TEXT("a contact needs an ="),
                     "MOVED.FACE = STOP.FACE");
        return;
    }
    at = recipe_skip(word->word, at + 1);
    size_t after = at;
    if (recipe_word(word->word, &after, "first")) {
        if (!recipe_word(word->word, &after, "of")) {
            recipe_fault(reader, node_text_span(word, after, 1),
                         TEXT("`first` needs `of`"), "first of PLACE.FACE, PLACE.FACE");
            return;
        }
        at = after;
    }
    const bool is_several = after == at;
    ARRAY_OF(struct stop_line) stops = {0};
    for (;;) {
        struct stop_line stop = {0};
        if (!read_stop(reader, word, &at, &stop) ||
            !ARRAY_PUSH(reader->arena, &stops, stop)) {
            return;
        }
        if (at >= word->word.length) {
            break;
        }
        at++;
    }
    if (stops.count > 1 && !is_several) {
        recipe_fault(reader, word->where, TEXT("several stops need `first of`"),
                     "first of PLACE.FACE, PLACE.FACE");
    }
    out->stops = stops.at;
    out->stop_count = stops.count;
    out->where = word->where;
}

static void read_fit(struct recipe_reader *reader, const struct node *word,
                     struct fit_line *out)
{
    size_t at = 0;
    if (!recipe_ref(reader, word, &at, false, &out->left)) {
        return;
    }
    out->is_in = recipe_word(word->word, &at, "in");
    if (!out->is_in && !recipe_word(word->word, &at, "on")) {
        recipe_fault(reader, node_text_span(word, at, 1),
                     TEXT("a fit needs `on` or `in`"), "PLACE.RUN on PLACE.RUN");
        return;
    }
    if (!recipe_ref(reader, word, &at, true, &out->right)) {
        return;
    }
    if (at < word->word.length) {
        recipe_fault(reader, node_text_span(word, at, word->word.length - at),
                     TEXT("nothing may follow the second run"), "PLACE.RUN on PLACE.RUN");
    }
    out->where = word->where;
}

static void read_set_by(struct recipe_reader *reader, const struct node *map,
                        struct gap_line *out)
{
    if (!node_expect(map, NODE_MAP, "`set-by`", reader->diagnostics)) {
        reader->result = STATUS_INVALID;
        return;
    }
    struct set_by *set = ARENA_MANY(reader->arena, map->count, struct set_by);
    for (uint32_t i = 0; set != NULL && i < map->count; i++) {
        const struct node_field *field = &map->fields[i];
        if (!node_expect(field->value, NODE_WORD, "a stock", reader->diagnostics)) {
            reader->result = STATUS_INVALID;
            return;
        }
        set[i] = (struct set_by){names_add(reader->names, field->key),
                                 names_add(reader->names, field->value->word),
                                 field->key_where, field->value->where};
    }
    out->set = set;
    out->set_count = set == NULL ? 0 : map->count;
}

static void read_gap(struct recipe_reader *reader, const struct node_field *field,
                     struct gap_line *out)
{
    static const char *const known[] = {"between", "want", "set-by",
                                        "floats",  "says", NULL};
    const struct node *map = field->value;
    out->name = names_add(reader->names, field->key);
    out->where = field->key_where;
    if (!node_expect(map, NODE_MAP, "a gap", reader->diagnostics)) {
        reader->result = STATUS_INVALID;
        return;
    }
    node_refuse_others(map, known, "a gap", reader->diagnostics);
    const struct node *between = node_field_of(map, "between");
    if (between == NULL || between->kind != NODE_LIST || between->count != 2 ||
        between->items[0]->kind != NODE_WORD || between->items[1]->kind != NODE_WORD) {
        recipe_fault(reader, between == NULL ? field->key_where : between->where,
                     TEXT("a gap lies between two faces"),
                     "between: [PLACE.FACE, PLACE.FACE]");
        return;
    }
    size_t at = 0;
    size_t other_at = 0;
    if (!recipe_ref(reader, between->items[0], &at, false, &out->from) ||
        !recipe_ref(reader, between->items[1], &other_at, false, &out->to)) {
        return;
    }
    const struct node *want = node_field_of(map, "want");
    if (want != NULL) {
        if (!node_expect(want, NODE_WORD, "`want`", reader->diagnostics)) {
            reader->result = STATUS_INVALID;
            return;
        }
        out->want = want->word;
        out->want_where = node_text_span(want, 0, want->word.length);
        text place = {"", 0};
        text wanted_field = {"", 0};
        struct stated range = {0};
        if (!want_is_field(out->want, &place, &wanted_field)) {
            (void)recipe_quantity(reader, out->want, out->want_where, "length", &range);
        }
    }
    const text floats = recipe_optional(reader, map, "floats");
    if (floats.length > 0) {
        out->floats = names_add(reader->names, floats);
        if (out->floats != out->from.place && out->floats != out->to.place) {
            recipe_fault(reader, node_field_of(map, "floats")->where,
                         TEXT("what floats in a gap is at one of its ends"),
                         "one of the two places of `between`");
        }
    }
    const struct node *set = node_field_of(map, "set-by");
    if (set != NULL) {
        read_set_by(reader, set, out);
    }
}

/* The list under `key` (NULL: none), each item a word. */
static const struct node *word_list(struct recipe_reader *reader, const struct node *map,
                                    const char *key)
{
    const struct node *list = node_field_of(map, key);
    if (list == NULL) {
        return NULL;
    }
    if (!node_expect(list, NODE_LIST, key, reader->diagnostics)) {
        reader->result = STATUS_INVALID;
        return NULL;
    }
    for (uint32_t i = 0; i < list->count; i++) {
        if (!node_expect(list->items[i], NODE_WORD, key, reader->diagnostics)) {
            reader->result = STATUS_INVALID;
            return NULL;
        }
    }
    return list;
}

/* meshes: [pinion with wheel] */
static void read_meshes(struct recipe_reader *reader, const struct node *map,
                        struct lines *out)
{
    const struct node *list = word_list(reader, map, "meshes");
    struct mesh_line *at =
        list == NULL ? NULL : ARENA_MANY(reader->arena, list->count, struct mesh_line);
    for (uint32_t i = 0; at != NULL && i < list->count; i++) {
        const struct node *word = list->items[i];
        struct feature_ref one = {0};
        struct feature_ref other = {0};
        size_t from = 0;
        const bool is_read = recipe_ref(reader, word, &from, true, &one) &&
                             recipe_word(word->word, &from, "with") &&
                             recipe_ref(reader, word, &from, true, &other);
        if (!is_read || one.feature != NAME_NONE || other.feature != NAME_NONE ||
            from < word->word.length) {
            recipe_fault(reader, word->where, TEXT("two places whose gears mesh"),
                         "PLACE with PLACE");
        }
        at[i] = (struct mesh_line){one.place, other.place, one.where, other.where,
                                   word->where};
    }
    out->meshes = at;
    out->mesh_count = at == NULL ? 0 : list->count;
}

/* thrust: {shaft: out} */
static void read_thrust(struct recipe_reader *reader, const struct node *map,
                        struct lines *out)
{
    const struct node *thrust = node_field_of(map, "thrust");
    if (thrust == NULL || !recipe_expect(reader, thrust, NODE_MAP, "`thrust`")) {
        return;
    }
    struct push_line *at =
        ARENA_MANY(reader->arena, (size_t)thrust->count * 2, struct push_line);
    uint32_t count = 0;
    for (uint32_t i = 0; at != NULL && i < thrust->count; i++) {
        const struct node_field *field = &thrust->fields[i];
        const bool is_word =
            recipe_expect(reader, field->value, NODE_WORD, "the way of a thrust");
        const text way = is_word ? field->value->word : TEXT("both");
        const bool is_both = text_is(way, "both");
        if (!is_both && !text_is(way, "in") && !text_is(way, "out")) {
            recipe_fault(reader, field->value->where,
                         TEXT("thrust goes in, out or both ways"), "in, out or both");
        }
        for (int k = 0; k < 2; k++) {
            const text one = k == 0 ? TEXT("in") : TEXT("out");
            if (is_both || text_equal(one, way)) {
                at[count++] =
                    (struct push_line){names_add(reader->names, field->key),
                                       names_add(reader->names, one), field->key_where};
            }
        }
    }
    out->pushes = at;
    out->push_count = count;
}

status lines_read(struct arena *arena, struct names *names, const struct node *map,
                  struct diagnostics *diagnostics, struct lines *out)
{
    struct recipe_reader reader = {arena, names, diagnostics, STATUS_OK};
    *out = (struct lines){0};
    const struct node *contacts = word_list(&reader, map, "contacts");
    if (contacts != NULL) {
        struct contact_line *at = ARENA_MANY(arena, contacts->count, struct contact_line);
        for (uint32_t i = 0; at != NULL && i < contacts->count; i++) {
            read_contact(&reader, contacts->items[i], &at[i]);
        }
        out->contacts = at;
        out->contact_count = at == NULL ? 0 : contacts->count;
    }
    const struct node *gaps = node_field_of(map, "gaps");
    if (gaps != NULL && !node_expect(gaps, NODE_MAP, "`gaps`", diagnostics)) {
        reader.result = STATUS_INVALID;
    } else if (gaps != NULL) {
        struct gap_line *at = ARENA_MANY(arena, gaps->count, struct gap_line);
        for (uint32_t i = 0; at != NULL && i < gaps->count; i++) {
            read_gap(&reader, &gaps->fields[i], &at[i]);
        }
        out->gaps = at;
        out->gap_count = at == NULL ? 0 : gaps->count;
    }
    const struct node *fits = word_list(&reader, map, "fits");
    if (fits != NULL) {
        struct fit_line *at = ARENA_MANY(arena, fits->count, struct fit_line);
        for (uint32_t i = 0; at != NULL && i < fits->count; i++) {
            read_fit(&reader, fits->items[i], &at[i]);
        }
        out->fits = at;
        out->fit_count = at == NULL ? 0 : fits->count;
    }
    recipe_spaces(&reader, map, out);
    read_meshes(&reader, map, out);
    read_thrust(&reader, map, out);
    TRY(arena_status(arena));
    return reader.result;
}

static void read_filling(struct recipe_reader *reader, const struct node_field *field,
                         struct filling *out)
{
    static const char *const known[] = {"part", "turned", "clock", NULL};
    const struct node *value = field->value;
    const struct node *part = value;
    out->place = names_add(reader->names, field->key);
    out->place_where = field->key_where;
    if (value->kind == NODE_MAP) {
        node_refuse_others(value, known, "a filled place", reader->diagnostics);
        const struct node *turned = node_field_of(value, "turned");
        if (turned != NULL && !node_flag(turned, reader->diagnostics, &out->is_turned)) {
            reader->result = STATUS_INVALID;
        }
        part = node_field_of(value, "part");
        out->clock = recipe_optional(reader, value, "clock");
        if (out->clock.length > 0) {
            struct stated clock = {0};
            out->clock_where =
                node_text_span(node_field_of(value, "clock"), 0, out->clock.length);
            (void)recipe_quantity(reader, out->clock, out->clock_where, "angle", &clock);
        }
    }
    if (part == NULL || part->kind != NODE_WORD) {
        recipe_fault(reader, value->where, TEXT("a place is filled by a part"),
                     "PLACE: PART or PLACE: {part: PART, turned: true}");
        return;
    }
    out->with = names_add(reader->names, part->word);
    out->where = part->where;
}

status fillings_read(struct arena *arena, struct names *names, const struct node *map,
                     struct diagnostics *diagnostics, const struct filling **out,
                     uint32_t *count_out)
{
    struct recipe_reader reader = {arena, names, diagnostics, STATUS_OK};
    *out = NULL;
    *count_out = 0;
    if (!node_expect(map, NODE_MAP, "a list of places", diagnostics)) {
        return STATUS_INVALID;
    }
    struct filling *fillings = ARENA_MANY(arena, map->count, struct filling);
    for (uint32_t i = 0; fillings != NULL && i < map->count; i++) {
        read_filling(&reader, &map->fields[i], &fillings[i]);
    }
    TRY(arena_status(arena));
    *out = fillings;
    *count_out = map->count;
    return reader.result;
}

static void read_offers(struct recipe_reader *reader, const struct node *map,
                        struct recipe *out)
{
    if (!node_expect(map, NODE_MAP, "`offers`", reader->diagnostics)) {
        reader->result = STATUS_INVALID;
        return;
    }
    struct offer_line *offers = ARENA_MANY(reader->arena, map->count, struct offer_line);
    for (uint32_t i = 0; offers != NULL && i < map->count; i++) {
        const struct node_field *field = &map->fields[i];
        size_t at = 0;
        offers[i].name = names_add(reader->names, field->key);
        if (!node_expect(field->value, NODE_WORD, "an offer", reader->diagnostics) ||
            !recipe_ref(reader, field->value, &at, false, &offers[i].face)) {
            reader->result = STATUS_INVALID;
        }
    }
    out->offers = offers;
    out->offer_count = offers == NULL ? 0 : map->count;
}

/* The fields of every unit, and the lists that the vocabulary has for units. */
static const char *const *unit_fields(struct arena *arena, const struct names *names,
                                      const struct vocabulary *vocabulary)
{
    static const char *const frame[] = {
        "unit",   "title",  "kind",     "source", "ran",    "axes",  "places",
        "gaps",   "fits",   "says",     "offers", "spaces", "paths", "service",
        "meshes", "thrust", "contacts", "price",  "labour", NULL};
    const uint32_t own = sizeof frame / sizeof *frame - 1;
    const char **known =
        ARENA_MANY(arena, (size_t)own + vocabulary->listing_count + 1, const char *);
    uint32_t count = 0;
    for (; known != NULL && count < own; count++) {
        known[count] = text_copy(arena, text_of(frame[count])).at;
    }
    for (uint32_t i = 0; known != NULL && i < vocabulary->listing_count; i++) {
        if (vocabulary->listings[i].in_unit) {
            const text field = names_text(names, vocabulary->listings[i].field);
            known[count++] = text_format(arena, "%.*s", TEXT_ARG(field)).at;
        }
    }
    return known;
}

status recipe_read(struct arena *arena, struct names *names,
                   const struct vocabulary *vocabulary, const struct node *document,
                   struct diagnostics *diagnostics, struct recipe *out)
{
    struct recipe_reader reader = {arena, names, diagnostics, STATUS_OK};
    const struct node *name = NULL;
    const char *const *known = unit_fields(arena, names, vocabulary);
    *out = (struct recipe){.document = document};
    TRY(arena_status(arena));
    if (!node_word(document, "unit", "a unit", diagnostics, &name)) {
        return STATUS_INVALID;
    }
    const uint32_t before = diagnostics_count(diagnostics);
    node_refuse_others(document, known, "a unit", diagnostics);
    out->name = names_add(names, name->word);
    out->where = name->where;
    out->title = recipe_optional(&reader, document, "title");
    out->source = recipe_optional(&reader, document, "source");
    const text kind = recipe_optional(&reader, document, "kind");
    if (kind.length > 0) {
        out->kind = names_add(names, kind);
        out->kind_where = node_field_of(document, "kind")->where;
    }
    out->service = recipe_optional(&reader, document, "service");
    if (out->service.length > 0) {
        const struct node *service = node_field_of(document, "service");
        struct stated range = {0};
        out->service_where = node_text_span(service, 0, service->word.length);
        (void)recipe_quantity(&reader, out->service, out->service_where, "temperature",
                              &range);
    }
    const struct node *ran = node_field_of(document, "ran");
    if (ran != NULL && !node_flag(ran, diagnostics, &out->ran)) {
        reader.result = STATUS_INVALID;
    }
    if (!outlay_read(document, diagnostics, &out->outlay)) {
        reader.result = STATUS_INVALID;
    }
    const struct node *places = node_field_of(document, "places");
    if (places == NULL) {
        recipe_fault(&reader, name->where, TEXT("a unit has places"),
                     "places: {PLACE: PART}");
        return STATUS_INVALID;
    }
    const status filled =
        fillings_read(arena, names, places, diagnostics, &out->places, &out->place_count);
    const status lined = lines_read(arena, names, document, diagnostics, &out->lines);
    const struct node *offers = node_field_of(document, "offers");
    if (offers != NULL) {
        read_offers(&reader, offers, out);
    }
    TRY(arena_status(arena));
    TRY(filled);
    TRY(lined);
    return diagnostics_count(diagnostics) > before ? STATUS_INVALID : reader.result;
}
