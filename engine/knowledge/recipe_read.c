/* SPDX-License-Identifier: MIT */
/*
 * Reads how parts make a unit. Each line has a small notation of its own:
 *
 *   contact   moved.face = stop.face            moved.face = first of a.face, b.face
 *             moved.face = stop.face +1.0 ±0.3 mm
 *   fit       left.run on right.run             left.run in right.run      left.band on
 * right gap       {between: [a.face, b.face], want: 0.05..0.60 mm, set-by: {place:
 * stock}}
 *
 * Only the form is checked here; whether the faces exist depends on what fills the
 * places, which a question may change.
 */
#include "recipe.h"

#include "array.h"

struct reader {
    struct arena *arena;
    struct names *names;
    struct diagnostics *diagnostics;
    status result;
};

/* The span of a stretch of a word's text; in a quoted word the quote comes first. */
static span inside(const struct node *word, size_t from, size_t length)
{
    const uint32_t quote = word->is_plain ? 0 : 1;
    return (span){word->where.source, word->where.at + quote + (uint32_t)from,
                  (uint32_t)length};
}

static void fault(struct reader *reader, span where, text message, const char *expected)
{
    diagnostics_add(reader->diagnostics, CODE_SHAPE_WRONG, where, message)->expected =
        text_of(expected);
    reader->result = STATUS_INVALID;
}

static bool is_name_byte(char c)
{
    return is_letter(c) || is_digit(c) || c == '-' || c == '_' ||
           (unsigned char)c >= 0x80;
}

static size_t name_end(text line, size_t from)
{
    size_t at = from;
    while (at < line.length && is_name_byte(line.at[at])) {
        at++;
    }
    return at;
}

static size_t skip_blanks(text line, size_t from)
{
    while (from < line.length && is_blank(line.at[from])) {
        from++;
    }
    return from;
}

/* Reads "place.feature" or "place" at *at; false (reported) when there is none. */
static bool read_ref(struct reader *reader, const struct node *word, size_t *at,
                     bool whole_allowed, struct feature_ref *out)
{
    const text line = word->word;
    const size_t from = skip_blanks(line, *at);
    const size_t dot = name_end(line, from);
    size_t end = dot;
    *out = (struct feature_ref){0};
    if (dot > from && dot < line.length && line.at[dot] == '.') {
        end = name_end(line, dot + 1);
        out->feature = names_add(reader->names, text_slice(line, dot + 1, end));
    }
    const bool has_feature = end > dot + 1;
    if (dot == from || (!has_feature && !whole_allowed) || end == dot + 1) {
        fault(reader, inside(word, from, end > from ? end - from : 1),
              TEXT("a place and its face or run were expected"), "PLACE.FEATURE");
        return false;
    }
    out->place = names_add(reader->names, text_slice(line, from, dot));
    out->where = inside(word, from, end - from);
    *at = skip_blanks(line, end);
    return true;
}

static bool read_word(text line, size_t *at, const char *word)
{
    const text wanted = text_of(word);
    const size_t end = name_end(line, *at);
    if (!text_equal(text_slice(line, *at, end), wanted)) {
        return false;
    }
    *at = skip_blanks(line, end);
    return true;
}

static bool read_stop(struct reader *reader, const struct node *word, size_t *at,
                      struct stop_line *out)
{
    if (!read_ref(reader, word, at, false, &out->face)) {
        return false;
    }
    const size_t end = text_find(word->word, ',', *at);
    const text rest = text_trim(text_slice(word->word, *at, end));
    if (rest.length > 0) {
        out->has_offset = true;
        out->offset = rest;
        out->offset_where = inside(word, *at, rest.length);
    }
    *at = end;
    return true;
}

static void read_contact(struct reader *reader, const struct node *word,
                         struct contact_line *out)
{
    size_t at = 0;
    if (!read_ref(reader, word, &at, false, &out->moved)) {
        return;
    }
    if (at >= word->word.length || word->word.at[at] != '=') {
        fault(reader, inside(word, at, 1), TEXT("a contact needs an ="),
              "MOVED.FACE = STOP.FACE");
        return;
    }
    at = skip_blanks(word->word, at + 1);
    size_t after = at;
    if (read_word(word->word, &after, "first")) {
        if (!read_word(word->word, &after, "of")) {
            fault(reader, inside(word, after, 1), TEXT("`first` needs `of`"),
                  "first of PLACE.FACE, PLACE.FACE");
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
        fault(reader, word->where, TEXT("several stops need `first of`"),
              "first of PLACE.FACE, PLACE.FACE");
    }
    out->stops = stops.at;
    out->stop_count = stops.count;
    out->where = word->where;
}

static void read_fit(struct reader *reader, const struct node *word, struct fit_line *out)
{
    size_t at = 0;
    if (!read_ref(reader, word, &at, false, &out->left)) {
        return;
    }
    out->is_in = read_word(word->word, &at, "in");
    if (!out->is_in && !read_word(word->word, &at, "on")) {
        fault(reader, inside(word, at, 1), TEXT("a fit needs `on` or `in`"),
              "PLACE.RUN on PLACE.RUN");
        return;
    }
    if (!read_ref(reader, word, &at, true, &out->right)) {
        return;
    }
    if (at < word->word.length) {
        fault(reader, inside(word, at, word->word.length - at),
              TEXT("nothing may follow the second run"), "PLACE.RUN on PLACE.RUN");
    }
    out->where = word->where;
}

static void read_set_by(struct reader *reader, const struct node *map,
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
                                 field->value->where};
    }
    out->set = set;
    out->set_count = set == NULL ? 0 : map->count;
}

static void read_gap(struct reader *reader, const struct node_field *field,
                     struct gap_line *out)
{
    static const char *const known[] = {"between", "want", "set-by", "says", NULL};
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
        fault(reader, between == NULL ? field->key_where : between->where,
              TEXT("a gap lies between two faces"), "between: [PLACE.FACE, PLACE.FACE]");
        return;
    }
    size_t at = 0;
    size_t other_at = 0;
    if (!read_ref(reader, between->items[0], &at, false, &out->from) ||
        !read_ref(reader, between->items[1], &other_at, false, &out->to)) {
        return;
    }
    const struct node *want = node_field_of(map, "want");
    if (want != NULL) {
        if (!node_expect(want, NODE_WORD, "`want`", reader->diagnostics)) {
            reader->result = STATUS_INVALID;
            return;
        }
        out->want = want->word;
        out->want_where = inside(want, 0, want->word.length);
    }
    const struct node *set = node_field_of(map, "set-by");
    if (set != NULL) {
        read_set_by(reader, set, out);
    }
}

/* The list under `key` (NULL: none), each item a word. */
static const struct node *word_list(struct reader *reader, const struct node *map,
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

status lines_read(struct arena *arena, struct names *names, const struct node *map,
                  struct diagnostics *diagnostics, struct lines *out)
{
    struct reader reader = {arena, names, diagnostics, STATUS_OK};
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
    TRY(arena_status(arena));
    return reader.result;
}

static void read_filling(struct reader *reader, const struct node_field *field,
                         struct filling *out)
{
    static const char *const known[] = {"part", "turned", NULL};
    const struct node *value = field->value;
    const struct node *part = value;
    out->place = names_add(reader->names, field->key);
    if (value->kind == NODE_MAP) {
        node_refuse_others(value, known, "a filled place", reader->diagnostics);
        const struct node *turned = node_field_of(value, "turned");
        if (turned != NULL && !node_flag(turned, reader->diagnostics, &out->is_turned)) {
            reader->result = STATUS_INVALID;
        }
        part = node_field_of(value, "part");
    }
    if (part == NULL || part->kind != NODE_WORD) {
        fault(reader, value->where, TEXT("a place is filled by a part"),
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
    struct reader reader = {arena, names, diagnostics, STATUS_OK};
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

static void read_offers(struct reader *reader, const struct node *map, struct recipe *out)
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
            !read_ref(reader, field->value, &at, false, &offers[i].face)) {
            reader->result = STATUS_INVALID;
        }
    }
    out->offers = offers;
    out->offer_count = offers == NULL ? 0 : map->count;
}

static text optional_word(struct reader *reader, const struct node *map, const char *key)
{
    const struct node *word = node_field_of(map, key);
    if (word == NULL) {
        return (text){"", 0};
    }
    if (!node_expect(word, NODE_WORD, key, reader->diagnostics)) {
        reader->result = STATUS_INVALID;
        return (text){"", 0};
    }
    return word->word;
}

status recipe_read(struct arena *arena, struct names *names, const struct node *document,
                   struct diagnostics *diagnostics, struct recipe *out)
{
    static const char *const known[] = {"unit", "title",  "kind", "source", "ran",
                                        "axes", "places", "gaps", "fits",   "contacts",
                                        "says", "offers", NULL};
    struct reader reader = {arena, names, diagnostics, STATUS_OK};
    const struct node *name = NULL;
    *out = (struct recipe){0};
    if (!node_word(document, "unit", "a unit", diagnostics, &name)) {
        return STATUS_INVALID;
    }
    const uint32_t before = diagnostics_count(diagnostics);
    node_refuse_others(document, known, "a unit", diagnostics);
    out->name = names_add(names, name->word);
    out->where = name->where;
    out->title = optional_word(&reader, document, "title");
    out->source = optional_word(&reader, document, "source");
    const text kind = optional_word(&reader, document, "kind");
    out->kind = kind.length > 0 ? names_add(names, kind) : NAME_NONE;
    const struct node *ran = node_field_of(document, "ran");
    if (ran != NULL && !node_flag(ran, diagnostics, &out->ran)) {
        reader.result = STATUS_INVALID;
    }
    const struct node *places = node_field_of(document, "places");
    if (places == NULL) {
        fault(&reader, name->where, TEXT("a unit has places"), "places: {PLACE: PART}");
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
