/* SPDX-License-Identifier: MIT */
/* Every fault a text can have before anybody asks what it means: where it is and what is
 * said. The traps are those of libyaml 0.2.5 and of YAML 1.1. */
#include "failing_allocator.h"
#include "faults.h"
#include "limits.h"

#include <criterion/criterion.h>
#include <string.h>

TestSuite(document, .timeout = 120);

/* A row: the text, then its faults as room_faults writes them; "" for none. */
static const char *const faults[][2] = {
    /* keys that stand twice, however they are written */
    {"a: 1\nb: 2\na: 3\n", "3:1+1 key-doubled: this key stands twice in one map @ 1:1"},
    {"{a: 1, a: 2}", "1:8+1 key-doubled: this key stands twice in one map @ 1:2"},
    {"\"a\": 1\na: 2", "2:1+1 key-doubled: this key stands twice in one map @ 1:1"},
    {"\"\\x61\": 1\na: 2", "2:1+1 key-doubled: this key stands twice in one map @ 1:1"},
    {"é: 1\né: 2\né: 3\n", "2:1+2 key-doubled: this key stands twice in one map @ 1:1\n"
                           "3:1+2 key-doubled: this key stands twice in one map @ 1:1"},
    {"a: {b: 1}\nc: {b: 1}\n", ""},
    {"- {x: 1}\n- {x: 2, y: 3, x: 4}\n",
     "2:16+1 key-doubled: this key stands twice in one map @ 2:4"},

    /* anchors, aliases, tags, merge keys */
    {"a: &n b\nc: *n\n", "1:4+4 yaml-alias: anchors are not understood\n"
                         "2:4+2 yaml-alias: aliases are not understood"},
    {"a: &l [b, c]\n", "1:4+4 yaml-alias: anchors are not understood"},
    {"a: &m\n  b: c\n", "1:4+5 yaml-alias: anchors are not understood"},
    {"a: *nobody\n", "1:4+7 yaml-alias: aliases are not understood"},
    {"*a : b\n", "1:1+2 yaml-alias: aliases are not understood"},
    {"a: !!str b\n", "1:4+7 yaml-tag: tags are not understood"},
    {"a: !own [b]\n", "1:4+6 yaml-tag: tags are not understood"},
    {"a: !<tag:yaml.org,2002:int> 3\n", "1:4+26 yaml-tag: tags are not understood"},
    {"%TAG ! tag:x,2000:\n---\na: !b c\n", "3:4+4 yaml-tag: tags are not understood"},
    {"a: &n !!str b\n", "1:4+10 yaml-alias: anchors are not understood\n"
                        "1:4+10 yaml-tag: tags are not understood"},
    {"<<: {a: 1}\n", "1:1+2 yaml-merge: merge keys are not understood"},
    {"a: {b: 1, <<: {c: 2}}\n", "1:11+2 yaml-merge: merge keys are not understood"},
    {"\"<<\": 1\n", ""},

    /* one document, no fewer and no more */
    {"", "1:1+0 yaml-empty: this file holds no document"},
    {"# nothing\n\n", "1:1+0 yaml-empty: this file holds no document"},
    {"\xEF\xBB\xBF", "1:1+0 yaml-empty: this file holds no document"},
    {"---\n", "2:1+0 yaml-empty: this file holds no document"},
    {"--- # nothing\n...\n", "2:1+0 yaml-empty: this file holds no document"},
    {"a: 1\n---\nb: 2\n", "2:1+3 yaml-several: a second document starts here"},
    {"---\na: 1\n---\n", "3:1+3 yaml-several: a second document starts here"},
    {"a: 1\n...\nb: 2\n", "3:1+1 yaml-syntax: this is not well-formed YAML"},
    {"---\na: 1\n...\n", ""},
    {"%YAML 1.2\n---\na: 1\n", ""},
    {"%YAML 2.0\n---\na: 1\n", "1:1+1 yaml-syntax: this is not well-formed YAML"},

    /* bytes */
    {"a: b\n\xFF", "2:1+1 utf8-invalid: this byte is not valid UTF-8"},
    {"é: \xC3", "1:4+1 utf8-invalid: this byte is not valid UTF-8"},
    {"a: \xC0\xAF", "1:4+1 utf8-invalid: this byte is not valid UTF-8"},
    {"a: \xED\xA0\x80", "1:4+1 utf8-invalid: this byte is not valid UTF-8"},
    {"a: \xF4\x90\x80\x80", "1:4+1 utf8-invalid: this byte is not valid UTF-8"},
    {"\xFF\xFE"
     "a",
     "1:1+1 utf8-invalid: this byte is not valid UTF-8"},
    {"a: b\x01"
     "c\n",
     "1:5+1 control-character: this is a control character"},
    {"a: b\x0B"
     "c\n",
     "1:5+1 control-character: this is a control character"},
    {"a: b\x7F\n", "1:5+1 control-character: this is a control character"},
    {"a: é\xC2\x9B"
     "c\n",
     "1:5+2 control-character: this is a control character"},
    {"a: b\xC2\x85"
     "c: d\n",
     "1:5+2 control-character: few programs see this line break"},
    {"a: b\xE2\x80\xA8"
     "c\n",
     "1:5+3 control-character: few programs see this line break"},
    {"a: b\xE2\x80\xA9"
     "c\n",
     "1:5+3 control-character: few programs see this line break"},
    {"a: \xEF\xBB\xBF"
     "b\n",
     "1:4+3 control-character: a byte order mark may only start a "
     "file, and cannot be seen"},
    {"\xEF\xBB\xBF\xEF\xBB\xBF"
     "a: b\n",
     "1:1+3 control-character: a byte order mark may only start a file, and cannot be "
     "seen"},
    {"a: \xEF\xBF\xBF\n", "1:4+3 control-character: this is no character"},
    {"a: \"b\\0c\"\n", "1:4+6 control-character: this text holds a NUL character"},
    {"\"a\\0\": b\n", "1:1+5 control-character: this text holds a NUL character"},
    {"a: \xE2\x80\xA7 \xF0\x9F\x94\xA7 \xC2\xA0\n", ""},
    {"\xEF\xBB\xBF"
     "a: 1\na: 2\n",
     "2:1+1 key-doubled: this key stands twice in one map @ 1:1"},
    {"\xEF\xBB\xBF"
     "{a: 1, a: 2}\n",
     "1:8+1 key-doubled: this key stands twice in one map @ 1:2"},

    /* tabs */
    {"a:\n\tb: 1\n", "2:1+1 yaml-syntax: this is not well-formed YAML"},
    {"\ta: 1\n", "1:1+1 yaml-syntax: this is not well-formed YAML"},
    {"a:\tb\t# c\n", ""},

    /* decimal commas that YAML splits silently */
    {"{at: 0,5 mm}", "1:6+6 decimal-comma: a decimal comma splits the number here"},
    {"{at: 12 +0,1/-0 mm, b: c}",
     "1:6+13 decimal-comma: a decimal comma splits the number here"},
    {"a: {b: ±0,05 mm, c: 1,5 mm}\n",
     "1:8+9 decimal-comma: a decimal comma splits the number here\n"
     "1:21+6 decimal-comma: a decimal comma splits the number here"},
    {"{a: 3,b: 4}", ""},
    {"{a: b,5}", "1:7+1 value-missing: this key has no value"},
    {"[0,5 mm]",
     "1:2+6 decimal-comma: a decimal comma splits the number here, or a blank "
     "is missing after the comma"},
    {"[0, 5 mm]", ""},
    {"[a1,b]", ""},
    {"[\"0\",5]", ""},
    {"a: 0,5 mm\n", ""},

    /* values that are not there */
    {"a:\nb: 1\n", "1:1+1 value-missing: this key has no value"},
    {"a: # comment\nb: 1\n", "1:1+1 value-missing: this key has no value"},
    {"{a}", "1:2+1 value-missing: this key has no value"},
    {"{a, b: 1}", "1:2+1 value-missing: this key has no value"},
    {"? a\n", "1:3+1 value-missing: this key has no value"},
    {"- a\n-\n- b\n", "2:2+0 value-missing: this item of a list is empty"},
    {"a: \"\"\nb: ''\n", ""},

    /* keys that are no words */
    {"? [a, b]\n: c\n", "1:3+6 key-not-word: a key must be a word"},
    {"? {a: b}\n: c\n", "1:3+6 key-not-word: a key must be a word"},
    {"{[a]: b, {c: d}: e}", "1:2+3 key-not-word: a key must be a word\n"
                            "1:10+6 key-not-word: a key must be a word"},

    /* what libyaml itself refuses */
    {"a: [b\nc: d\n", "2:2+1 yaml-syntax: this is not well-formed YAML @ 1:4"},
    {"a: [b", "1:6+0 yaml-syntax: this is not well-formed YAML @ 1:4"},
    {"a: [b\n\n\n", "1:6+0 yaml-syntax: this is not well-formed YAML @ 1:4"},
    {"a: 'b\n", "1:6+0 yaml-syntax: this is not well-formed YAML @ 1:4"},
    {"a: \"\\q\"\n", "1:5+1 yaml-syntax: this is not well-formed YAML @ 1:4"},
    {"a: b: c\n", "1:5+1 yaml-syntax: this is not well-formed YAML"},
    {"a: 1\n  b: 2\n", "2:4+1 yaml-syntax: this is not well-formed YAML"},
    {"a:\n  b: 1\n c: 2\n", "3:2+1 yaml-syntax: this is not well-formed YAML @ 1:1"},
    {"a: @b\n", "1:4+1 yaml-syntax: this is not well-formed YAML"},
    {"a: `b`\n", "1:4+1 yaml-syntax: this is not well-formed YAML"},
    {"é: ü: ö\n", "1:5+1 yaml-syntax: this is not well-formed YAML"},
    {"a: [b, , c]\n", "1:8+1 yaml-syntax: this is not well-formed YAML"},

    /* line ends of three systems */
    {"a: 1\r\nb: 2\r\na: 3\r\n",
     "3:1+1 key-doubled: this key stands twice in one map @ 1:1"},
    {"a: 1\rb: 2\ra: 3\r", "3:1+1 key-doubled: this key stands twice in one map @ 1:1"},
    {"a: [1\r\n\r\n", "1:6+0 yaml-syntax: this is not well-formed YAML @ 1:4"},

    /* all faults of a text, not the first alone */
    {"a: &x 1\nb:\na: !!int 2\n{c}: d\n",
     "1:4+4 yaml-alias: anchors are not understood\n"
     "2:1+1 value-missing: this key has no value\n"
     "3:1+1 key-doubled: this key stands twice in one map @ 1:1\n"
     "3:4+7 yaml-tag: tags are not understood\n"
     "4:1+3 key-not-word: a key must be a word\n"
     "4:2+1 value-missing: this key has no value"}};

static void expect_faults(struct room *room, const char *wanted, size_t row,
                          const char *written)
{
    const char *said = room_faults(room);
    cr_expect(strcmp(said, wanted) == 0, "row %zu: %s\nsaid   %s\nwanted %s", row,
              written, said, wanted);
}

Test(document, every_fault_has_its_place)
{
    size_t rows = 0;
    for (; rows < sizeof faults / sizeof *faults; rows++) {
        struct room room = room_open();
        const char *written = faults[rows][0];
        const bool is_read = room_document(&room, "t", text_of(written)) != NULL;
        expect_faults(&room, faults[rows][1], rows, written);
        cr_expect_eq(is_read, faults[rows][1][0] == '\0', "row %zu: %s", rows, written);
        room_close(&room);
    }
    cr_expect_gt(rows, 80);
}

/* What would have been right is said too. */
Test(document, every_fault_says_what_was_expected)
{
    static const char *const rows[][2] = {
        {"{at: 12 +0,1/-0 mm}", "12 +0.1/-0 mm"},
        {"[0,5 mm]", "0.5 mm, or a blank after the comma"},
        {"a:\n\tb: 1", "blanks for indentation, not tabs"},
        {"a: [b", "KEY: VALUE, - ITEM, {KEY: VALUE} or [ITEM, ITEM]"},
        {"a:", "a value after the colon; \"\" for an empty text"},
        {"- ", "a value after the dash; \"\" for an empty text"},
        {"a: *b", "the value written out where it is needed"},
        {"a: !!str b", "the plain value: the vocabulary knows its type"},
        {"<<: {a: b}", "the fields written out"},
        {"a: b\n---\n", "one document in a file"},
        {"", "a map of facts or rules"},
        {"\xFF", "a text file in UTF-8"},
        {"a\x02", "printable text"}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct room room = room_open();
        cr_assert_null(room_document(&room, "t", text_of(rows[i][0])));
        const struct diagnostic *first = diagnostics_at(room.diagnostics, 0);
        cr_expect(text_is(first->expected, rows[i][1]), "row %zu: %.*s", i,
                  TEXT_ARG(first->expected));
        room_close(&room);
    }
}

/* A NUL that stands in the file ends no text. */
Test(document, a_nul_byte_is_seen)
{
    struct room room = room_open();
    static const char written[] = "a: 1\nb: \0 2\n";
    cr_expect_null(room_document(&room, "t", (text){written, sizeof written - 1}));
    cr_expect_str_eq(room_faults(&room),
                     "2:4+1 control-character: this is a control character");
    room_close(&room);
}

/* ---- bounds */

static text repeated(struct room *room, const char *head, const char *piece, size_t count,
                     const char *tail)
{
    const size_t length = strlen(head) + count * strlen(piece) + strlen(tail);
    char *made = arena_take(room->arena, length + 1);
    size_t at = strlen(head);
    cr_assert_not_null(made);
    memcpy(made, head, at);
    for (size_t i = 0; i < count; i++, at += strlen(piece)) {
        memcpy(made + at, piece, strlen(piece));
    }
    memcpy(made + at, tail, strlen(tail));
    return (text){made, length};
}

Test(document, bounds_have_a_place)
{
    static const struct {
        const char *head;
        const char *piece;
        size_t count;
        const char *tail;
        const char *faults;
    } rows[] = {
        {"k: ", "[", LIMIT_DEPTH - 1, "",
         "1:67+0 yaml-syntax: this is not well-formed YAML"},
        {"k: ", "[", LIMIT_DEPTH, "",
         "1:67+1 yaml-depth: lists and maps are nested too deep here"},
        {"", "- ", LIMIT_DEPTH, "a", ""},
        {"", "- ", LIMIT_DEPTH + 1, "a",
         "1:129+0 yaml-depth: lists and maps are nested too deep here"},
        {"", "k", LIMIT_KEY_BYTES, ": 1", ""},
        {"", "k", LIMIT_KEY_BYTES + 1, ": 1", "1:1+65 yaml-size: this key is too long"},
        {"", "é", LIMIT_KEY_BYTES / 2 + 1, ": 1",
         "1:1+66 yaml-size: this key is too long"},
        {"", "k", 1025, ": 1", "1:1+1025 yaml-size: this key is too long"},
        {"a: ", "x", LIMIT_SCALAR_BYTES, "", ""},
        {"b: 1\na: ", "x", LIMIT_SCALAR_BYTES + 1, "",
         "2:4+4097 yaml-size: this text is too long"}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct room room = room_open();
        (void)room_document(
            &room, "t",
            repeated(&room, rows[i].head, rows[i].piece, rows[i].count, rows[i].tail));
        expect_faults(&room, rows[i].faults, i, rows[i].piece);
        room_close(&room);
    }
}

Test(document, things_are_counted)
{
    struct room room = room_open();
    (void)room_document(&room, "t", repeated(&room, "[", "a,", LIMIT_NODES, "]"));
    cr_expect_str_eq(room_faults(&room),
                     "1:2000000+1 yaml-size: this document holds too many things");
    room_close(&room);
}

/* ---- places inside scalars */

/* A row: a document {a: SCALAR}, a piece of the scalar's word, and where that is written.
 */
static const struct {
    const char *written;
    const char *piece;
    const char *place;
} places[] = {{"a: one two\n", "two", "1:8+3"},
              {"a: 'one two'\n", "two", "1:9+3"},
              {"a: \"one two\"\n", "two", "1:9+3"},
              {"a: 'it''s two'\n", "two", "1:11+3"},
              {"a: 'it''s two'\n", "s", "1:9+1"},
              {"a: ''''''''\n", "'''", "1:5+5"},
              {"a: \"an \\\"odd\\\" two\"\n", "two", "1:16+3"},
              {"a: \"an \\\"odd\\\" two\"\n", "odd", "1:10+3"},
              {"a: \"\\x6Fne\\u0020two\"\n", "two", "1:17+3"},
              {"a: \"\\u00E9 é two\"\n", "two", "1:14+3"},
              {"a: \"one\\ttwo\"\n", "two", "1:10+3"},
              {"a: \"one\\ntwo\"\n", "two", "1:10+3"},
              {"a: \"\\U0001F527 two\"\n", "two", "1:16+3"},
              /* digits behind an escape are none of its own */
              {"a: \"\\x4141\"\n", "41", "1:9+2"},
              {"a: \"\\u004141\"\n", "41", "1:11+2"},
              {"a: \"\\U0000004141\"\n", "41", "1:15+2"},
              {"a: \"\\nn\"\n", "n", "1:7+1"},
              /* folded lines */
              {"a: one\n  two\n", "two", "2:3+3"},
              {"a: one\n  two\n", "one", "1:4+3"},
              {"a: one   \n\n    two\n", "two", "3:5+3"},
              {"a: 'one\n  two'\n", "two", "2:3+3"},
              {"a: \"one\n  two\n\n  ten\"\n", "ten", "4:3+3"},
              {"a: \"one\\\n   \\ two\"\n", "two", "2:6+3"},
              {"{a: \"one\ntwo\"}", "two", "2:1+3"},
              {"{a: one\ntwo\nten}", "ten", "3:1+3"},
              /* blocks */
              {"a: |\n  one\n  two ten\n", "ten", "3:7+3"},
              {"a: |\n  one\n   two\n", "two", "3:4+3"},
              {"a: |2\n   one\n", "one", "2:4+3"},
              {"a: | # a comment\n  one\n", "one", "2:3+3"},
              {"a: >\n  one\n  two\n", "two", "3:3+3"},
              {"a: >-\n    one\n\n    two\n", "two", "4:5+3"},
              {"a: >+\n  |one|\n   two\n\n", "two", "3:4+3"},
              {"a: |-\n\n\n  one\n", "one", "4:3+3"},
              {"a: >\n  é\n  ü two\n", "two", "3:5+3"},
              /* line ends of three systems */
              {"a: |\r\n  one\r\n  two\r\n", "two", "3:3+3"},
              {"a: >\r\n  one\r\n  two\r\n", "two", "3:3+3"},
              {"a: one\r\n  two\r\n", "two", "2:3+3"},
              {"a: |\r  one\r  two\r", "two", "3:3+3"},
              {"a: \"one\r\n  two\"\r\n", "two", "2:3+3"}};

/* Where the first `piece` of a word is written; formulas and notations count alike. */
static const char *place_of(struct room *room, const struct node *word, const char *piece)
{
    const char *found = strstr(word->word.at, piece);
    cr_assert_not_null(found, "\"%s\" is not in \"%s\"", piece, word->word.at);
    const span where = {word->where.source,
                        word->where.at + (word->is_plain ? 0 : 1) +
                            (uint32_t)(found - word->word.at),
                        (uint32_t)strlen(piece)};
    const struct place_in_text at = sources_locate(room->sources, where);
    return text_format(room->arena, "%u:%u+%u", at.line, at.column,
                       sources_written(room->sources, where).length)
        .at;
}

Test(document, places_inside_scalars_are_those_of_the_file)
{
    size_t rows = 0;
    for (; rows < sizeof places / sizeof *places; rows++) {
        struct room room = room_open();
        const struct node *document =
            room_document(&room, "t", text_of(places[rows].written));
        cr_assert_not_null(document, "row %zu: %s", rows, room_faults(&room));
        const char *place =
            place_of(&room, node_field_of(document, "a"), places[rows].piece);
        cr_expect_str_eq(place, places[rows].place, "row %zu: %s: %s, not %s", rows,
                         places[rows].written, place, places[rows].place);
        room_close(&room);
    }
    cr_expect_gt(rows, 30);
}

/* The span of a whole scalar is that of all its lines, quotes and all. */
Test(document, a_scalar_is_where_it_is_written)
{
    static const struct {
        const char *written;
        const char *quoted;
    } rows[] = {{"a: one\n", "one"},
                {"a: 'it''s'\n", "'it''s'"},
                {"a: \"\\x41\"\n", "\"\\x41\""},
                {"{a: \"one\n two\", b: c}", "\"one\n two\""},
                {"a: one\n  two\nb: c\n", "one\n  two"},
                {"a: ''\n", "''"}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct room room = room_open();
        const struct node *document = room_document(&room, "t", text_of(rows[i].written));
        const span where =
            sources_written(room.sources, node_field_of(document, "a")->where);
        cr_expect(text_is(sources_quote(room.sources, where), rows[i].quoted),
                  "row %zu: %.*s", i, TEXT_ARG(sources_quote(room.sources, where)));
        room_close(&room);
    }
}

/* ---- types belong to the vocabulary */

Test(document, words_stay_the_words_they_are)
{
    static const char *const words[] = {
        "no",    "yes",   "off",  "on",   "~",    "null", "010",    "1e3",
        "1_000", "10:30", ".inf", ".nan", "0x1F", "true", "6204-2", "2024-01-01"};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        struct room room = room_open();
        const struct node *document =
            room_document(&room, "t", text_format(room.arena, "a: %s\n", words[i]));
        cr_assert_not_null(document);
        const struct node *word = node_field_of(document, "a");
        cr_expect(text_is(word->word, words[i]), "%s", words[i]);
        cr_expect(word->is_plain);
        room_close(&room);
    }
}

Test(document, a_flag_is_true_or_false)
{
    static const struct {
        const char *written;
        bool is_flag;
    } rows[] = {{"true", true},   {"false", true}, {"yes", false}, {"no", false},
                {"on", false},    {"off", false},  {"y", false},   {"n", false},
                {"True", false},  {"TRUE", false}, {"1", false},   {"~", false},
                {"[true]", false}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct room room = room_open();
        bool flag = false;
        const struct node *document = room_document(
            &room, "t", text_format(room.arena, "a: %s\n", rows[i].written));
        cr_expect_eq(node_flag(node_field_of(document, "a"), room.diagnostics, &flag),
                     rows[i].is_flag, "%s", rows[i].written);
        cr_expect_str_eq(room_faults(&room),
                         rows[i].is_flag
                             ? ""
                             : text_format(room.arena,
                                           "1:4+%zu flag-wrong: this is neither true nor "
                                           "false",
                                           strlen(rows[i].written))
                                   .at);
        room_close(&room);
    }
}

Test(document, a_count_is_a_whole_number)
{
    static const struct {
        const char *written;
        int64_t count; /* -1: refused */
    } rows[] = {
        {"21", 21},    {"0", 0},     {"010", 10},        {"2147483647", 2147483647},
        {"-1", -1},    {"20.5", -1}, {"2147483648", -1}, {"0x10", -1},
        {"1_000", -1}, {"ten", -1},  {"1e999", -1},      {"{a: b}", -1}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct room room = room_open();
        int64_t count = -1;
        const struct node *document = room_document(
            &room, "t", text_format(room.arena, "a: %s\n", rows[i].written));
        cr_expect_eq(node_count(node_field_of(document, "a"), room.diagnostics, &count),
                     rows[i].count >= 0, "%s", rows[i].written);
        cr_expect_eq(count, rows[i].count, "%s", rows[i].written);
        cr_expect_str_eq(room_faults(&room),
                         rows[i].count >= 0
                             ? ""
                             : text_format(room.arena,
                                           "1:4+%zu count-wrong: a whole number was "
                                           "expected",
                                           strlen(rows[i].written))
                                   .at);
        room_close(&room);
    }
}

/* ---- what readers of trees share */

Test(document, trees_refuse_what_they_do_not_know)
{
    static const char *const known[] = {"given", "unless", "where", NULL};
    struct room room = room_open();
    const struct node *map = room_document(
        &room, "t", TEXT("gvien: 1\nunless: 2\nweather: 3\n\"wh\\x65re\": 4\nzz: 5\n"));
    node_refuse_others(map, known, "a rule", room.diagnostics);
    cr_expect_str_eq(room_faults(&room),
                     "1:1+5 field-unknown: a rule has no field \"gvien\" ~ given\n"
                     "3:1+7 field-unknown: a rule has no field \"weather\"\n"
                     "5:1+2 field-unknown: a rule has no field \"zz\"");
    room_close(&room);
}

Test(document, trees_say_what_shape_was_expected)
{
    struct room room = room_open();
    const struct node *out = NULL;
    const struct node *map =
        room_document(&room, "t", TEXT("list: [a]\nmap: {a: b}\nword: |\n  a\n"));
    cr_expect(!node_word(map, "list", "a part", room.diagnostics, &out));
    cr_expect(!node_word(map, "lost", "a part", room.diagnostics, &out));
    cr_expect(node_word(map, "word", "a part", room.diagnostics, &out));
    cr_expect(
        !node_expect(node_field_of(map, "map"), NODE_LIST, "`map`", room.diagnostics));
    cr_expect(
        !node_expect(node_field_of(map, "word"), NODE_MAP, "`word`", room.diagnostics));
    cr_expect_str_eq(room_faults(&room), "1:1+34 field-missing: a part needs `lost`\n"
                                         "1:7+3 shape-wrong: list is a list here\n"
                                         "2:6+6 shape-wrong: `map` is a map here\n"
                                         "3:7+6 shape-wrong: `word` is a word here");
    room_close(&room);
}

/* ---- out of memory */

Test(document, out_of_memory_is_an_error_wherever_it_strikes)
{
    static const char written[] = "a: \"\\x41 b\"\nb: >\n  one\n  two\nc: [{d: e}, f]\n";
    struct failing_allocator none = {0};
    for (size_t n = 0; n < 200; n++) {
        struct failing_allocator failing = {.fails_at = n};
        struct arena *arena = arena_open((struct allocator){failing_resize, &failing}, 0);
        struct sources *sources = arena == NULL ? NULL : sources_open(arena, NULL);
        struct diagnostics *faulty = arena == NULL ? NULL : diagnostics_open(arena);
        const struct node *document = NULL;
        if (faulty != NULL) {
            const uint32_t source = sources_add(sources, TEXT("t"), text_of(written));
            const status read =
                source == 0 ? STATUS_NO_MEMORY
                            : yaml_read(arena, sources, source, faulty, &document);
            cr_expect_eq(read, n == 0 || n > none.requests ? STATUS_OK : STATUS_NO_MEMORY,
                         "request %zu of %zu", n, none.requests);
        }
        arena_close(arena);
        cr_expect_eq(failing.open_blocks, 0, "request %zu leaks", n);
        none.requests = n == 0 ? failing.requests : none.requests;
    }
    cr_expect_gt(none.requests, 1);
}
