/* SPDX-License-Identifier: MIT */
/* Every fault a vocabulary can have, with its place; and what a sound one comes to. */
#include "faults.h"
#include "vocabulary.h"

#include <criterion/criterion.h>
#include <string.h>

TestSuite(vocabulary, .timeout = 60);

/* Reads up to two documents as one vocabulary; NULL when it is refused. */
static const struct vocabulary *read_words(struct room *room, struct names *names,
                                           const char *first, const char *second)
{
    const struct node *documents[2] = {room_document(room, "a", text_of(first)), NULL};
    const struct vocabulary *made = NULL;
    uint32_t count = 1;
    cr_assert_not_null(documents[0], "%s", room_faults(room));
    if (second != NULL) {
        documents[count++] = room_document(room, "b", text_of(second));
        cr_assert_not_null(documents[1], "%s", room_faults(room));
    }
    return vocabulary_read(room->arena, names, documents, count, room->diagnostics,
                           &made) == STATUS_OK
               ? made
               : NULL;
}

/* A relation, and a kind, of which one field is replaced. */
#define RELATION(fields) "relations:\n  run:\n" fields
#define VALUES(values)                                                                   \
    RELATION("    filled-by: facts\n    key: {piece: name}\n    values:\n" values)

/* A row: a vocabulary, then its faults as room_faults writes them; "" for none. */
static const char *const faults[][2] = {
    /* documents */
    {"relations: {}\nkind: {}\n",
     "2:1+4 field-unknown: a vocabulary has no field \"kind\" ~ kinds"},
    {"relations: [run]\n", "1:12+5 shape-wrong: `relations` is a list here"},
    {"kinds: shaft\n", "1:8+5 shape-wrong: `kinds` is a word here"},

    /* relations */
    {"relations:\n  run: [a]\n", "2:8+3 shape-wrong: a relation is a list here"},
    {RELATION("    filled-by: facts\n"), "2:3+3 field-missing: a relation needs `key`"},
    {RELATION("    key: {piece: name}\n"),
     "3:5+18 field-missing: a relation needs `filled-by`"},
    {RELATION("    filled-by: fact\n    key: {piece: name}\n"),
     "3:16+4 vocabulary-wrong: this word says nothing here ~ facts"},
    {RELATION("    filled-by: [facts]\n    key: {piece: name}\n"),
     "3:16+7 shape-wrong: filled-by is a list here"},
    {RELATION("    filled-by: facts\n    key: {}\n"),
     "2:3+3 vocabulary-wrong: a relation has 1 to 8 key columns and at most 40 value "
     "columns"},
    {RELATION("    filled-by: facts\n    key: {a: name, b: name, c: name, d: name, e: "
              "name, f: name, g: name, h: name, i: name}\n"),
     "2:3+3 vocabulary-wrong: a relation has 1 to 8 key columns and at most 40 value "
     "columns"},
    {RELATION("    filled-by: facts\n    key: [piece]\n"),
     "4:10+7 shape-wrong: `key` is a list here"},
    {RELATION("    filled-by: facts\n    key: {piece: nmae}\n"),
     "4:18+4 vocabulary-wrong: a key column holds names or counts ~ name"},
    {RELATION("    filled-by: facts\n    key: {piece: [name]}\n"),
     "4:18+6 shape-wrong: a key column is a list here"},
    {RELATION("    filled-by: facts\n    key: {piece: name}\n    values: none\n"),
     "5:13+4 shape-wrong: `values` is a word here"},
    {RELATION("    filled-by: facts\n    key: {piece: name}\n    vlaues: {}\n"),
     "5:5+6 field-unknown: a relation has no field \"vlaues\" ~ values"},
    {RELATION("    filled-by: facts\n    key: {piece: name}\n    owner: nobody\n"),
     "5:12+6 vocabulary-wrong: this word says nothing here"},
    {RELATION("    filled-by: facts\n    key: {piece: name}\n    owner: nome\n"),
     "5:12+4 vocabulary-wrong: this word says nothing here ~ none"},
    {RELATION("    filled-by: facts\n    key: {piece: name, run: name}\n"
              "    listed-as: runs\n    listed-in: parts\n"),
     "6:16+5 vocabulary-wrong: this word says nothing here ~ part"},
    {"relations:\n"
     "  run: {filled-by: facts, listed-as: runs, listed-in: part, key: {p: name, r: "
     "name}}\n"
     "  bore: {filled-by: facts, listed-as: runs, key: {p: name, r: name}}\n",
     "2:3+3 name-doubled: another relation is listed under the same field @ 3:3"},
    {"relations:\n"
     "  run: {filled-by: facts, listed-as: runs, listed-in: part, key: {p: name, r: "
     "name}}\n"
     "  bore: {filled-by: facts, listed-as: runs, listed-in: unit, key: {p: name, r: "
     "name}}\n",
     ""},
    {"relations:\n  duty: {filled-by: facts, listed-as: duties, listed-in: unit, key: "
     "{p: "
     "name}}\n",
     "2:3+4 vocabulary-wrong: parts and units cannot fill a relation of these columns"},
    {"relations:\n  run: {filled-by: facts, key: {p: name}}\n"
     "kinds:\n  run: {says: a}\n",
     "4:3+3 name-doubled: this relation or kind is declared twice @ 2:3"},

    /* columns */
    {VALUES("      size: length\n"), "6:13+6 shape-wrong: a column is a word here"},
    {VALUES("      size: {quantity: lenght}\n"),
     "6:24+6 vocabulary-wrong: there is no such dimension ~ length"},
    {VALUES("      size: {quantity: [length]}\n"),
     "6:24+8 shape-wrong: `quantity` is a list here"},
    {VALUES("      size: {}\n"), "6:7+4 vocabulary-wrong: a column has one type"},
    {VALUES("      size: {word: true, count: true}\n"),
     "6:7+4 vocabulary-wrong: a column has one type"},
    {VALUES("      size: {count: false}\n"),
     "6:7+4 vocabulary-wrong: a column has one type"},
    {VALUES("      size: {count: yes}\n"),
     "6:7+4 vocabulary-wrong: a column has one type\n"
     "6:21+3 flag-wrong: this is neither true nor false"},
    {VALUES("      size: {choice: in}\n"), "6:22+2 shape-wrong: `choice` is a word here"},
    {VALUES("      size: {choice: []}\n"),
     "6:22+2 vocabulary-wrong: there is nothing to choose"},
    {VALUES("      size: {choice: [in, {a: b}]}\n"),
     "6:27+6 shape-wrong: a choice is a map here"},
    {VALUES("      size: {choice: [in, out], default: uot}\n"),
     "6:42+3 choice-unknown: this is none of the choices ~ out"},
    {VALUES("      size: {count: true, default: 3}\n"),
     "6:36+1 vocabulary-wrong: only a word or a choice has a default"},
    {VALUES("      size: {word: true, defualt: 3}\n"),
     "6:26+7 field-unknown: a column has no field \"defualt\" ~ default"},
    {VALUES("      size: {word: true, due: on, exact: maybe}\n"),
     "6:31+2 flag-wrong: this is neither true nor false\n"
     "6:42+5 flag-wrong: this is neither true nor false"},
    {VALUES("      size: {word: true}\n      piece: {word: true}\n"),
     "7:7+5 name-doubled: a key column has this name @ 4:11"},

    /* kinds */
    {"kinds:\n  shaft: yes\n", "2:10+3 shape-wrong: a kind is a word here"},
    {"kinds:\n  shaft: {is: shfat}\n  hub: {}\n",
     "2:15+5 name-unknown: there is no such kind ~ shaft"},
    {"kinds:\n  shaft: {is: [hub]}\n  hub: {}\n",
     "2:15+5 shape-wrong: `is` is a list here"},
    {"kinds:\n  shaft: {is: hub}\n  hub: {is: shaft}\n",
     "3:3+3 vocabulary-wrong: kinds may not be each other in a circle"},
    {"kinds:\n  shaft: {is: shaft}\n",
     "2:3+5 vocabulary-wrong: kinds may not be each other in a circle"},
    {"kinds:\n  shaft: {asks: wear}\n", "2:17+4 shape-wrong: `asks` is a word here"},
    {"kinds:\n  shaft: {asks: [[wear]]}\n",
     "2:18+6 shape-wrong: a rule's name is a list here"},
    {"kinds:\n  shaft: {fields: [size]}\n",
     "2:19+6 shape-wrong: `fields` is a list here"},
    {"kinds:\n  shaft: {fields: {piece: {word: true}}}\n",
     "2:20+5 name-doubled: a key column has this name"},
    {"kinds:\n  shaft: {ask: [wear]}\n",
     "2:11+3 field-unknown: a kind has no field \"ask\" ~ asks"},

    /* all of them, not the first alone */
    {"kinds:\n  a: {is: b}\n  c: 1\nrelations:\n  d: {key: {e: nmae}}\n",
     "2:11+1 name-unknown: there is no such kind ~ a\n"
     "3:6+1 shape-wrong: a kind is a word here\n"
     "5:6+16 field-missing: a relation needs `filled-by`\n"
     "5:16+4 vocabulary-wrong: a key column holds names or counts ~ name"}};

Test(vocabulary, every_fault_has_its_place)
{
    size_t rows = 0;
    for (; rows < sizeof faults / sizeof *faults; rows++) {
        struct room room = room_open();
        const bool is_read = read_words(&room, names_open(room.arena, NULL),
                                        faults[rows][0], NULL) != NULL;
        const char *said = room_faults(&room);
        cr_expect(strcmp(said, faults[rows][1]) == 0, "row %zu: %s\nsaid   %s\nwanted %s",
                  rows, faults[rows][0], said, faults[rows][1]);
        cr_expect_eq(is_read, faults[rows][1][0] == '\0', "row %zu: %s", rows,
                     faults[rows][0]);
        room_close(&room);
    }
    cr_expect_gt(rows, 40);
}

Test(vocabulary, none_at_all_is_a_fault)
{
    struct room room = room_open();
    const struct vocabulary *made = NULL;
    cr_expect_eq(vocabulary_read(room.arena, names_open(room.arena, NULL), NULL, 0,
                                 room.diagnostics, &made),
                 STATUS_INVALID);
    cr_expect_str_eq(room_faults(&room),
                     "0:0+0 vocabulary-wrong: no vocabulary was loaded");
    room_close(&room);
}

Test(vocabulary, names_doubled_across_files_show_both)
{
    struct room room = room_open();
    cr_expect_null(read_words(&room, names_open(room.arena, NULL),
                              "kinds: {shaft: {says: one}}\n",
                              "says: more\nkinds: {shaft: {says: other}}\n"));
    const struct diagnostic *one = diagnostics_at(room.diagnostics, 0);
    const text said = diagnostic_write(room.arena, one, room.sources);
    cr_expect_not_null(strstr(said.at, "b:2:9: error: this relation or kind is declared "
                                       "twice [name-doubled]"),
                       "%s", said.at);
    cr_expect_not_null(strstr(said.at, "note: a:1:9: the other declaration is here"),
                       "%s", said.at);
    room_close(&room);
}

/* ---- what a sound one comes to */

static const char *const sound =
    "relations:\n"
    "  run:\n"
    "    says: A stretch.\n"
    "    filled-by: facts\n"
    "    listed-as: runs\n"
    "    listed-in: part\n"
    "    key: {piece: name, run: name}\n"
    "    values:\n"
    "      from: {position: true, due: true, got-by: caliper}\n"
    "      kind: {choice: [seat, plain], default: plain}\n"
    "      teeth: {count: true, optional: true}\n"
    "      finish: {quantity: length, exact: true}\n"
    "  grade:\n"
    "    owner: none\n"
    "    filled-by: computing\n"
    "    key: {name: name, step: number}\n";

static const char *const more = "kinds:\n"
                                "  bearing: {asks: [a, b], fields: {bore: {quantity: "
                                "length}}}\n"
                                "  deep-groove: {is: bearing, says: A bearing.}\n";

Test(vocabulary, columns_are_what_was_written)
{
    struct room room = room_open();
    struct names *names = names_open(room.arena, NULL);
    const struct vocabulary *made = read_words(&room, names, sound, more);
    cr_assert_not_null(made, "%s", room_faults(&room));
    relation_id run = 0;
    const struct relation_shape *shape =
        vocabulary_relation(made, names_find(names, TEXT("run")), &run);
    cr_assert_not_null(shape);
    cr_expect_eq(shape->filled, FILLED_BY_FACTS);
    cr_expect(shape->is_owned);
    cr_expect_eq(shape->key_count, 2);
    cr_expect_eq(shape->value_count, 4);
    cr_expect(text_is(shape->says, "A stretch."));
    static const struct {
        const char *name;
        enum column_kind kind;
    } columns[] = {{"piece", COLUMN_NAME},    {"run", COLUMN_NAME},
                   {"from", COLUMN_QUANTITY}, {"kind", COLUMN_WORD},
                   {"teeth", COLUMN_COUNT},   {"finish", COLUMN_QUANTITY}};
    for (int i = 0; i < 6; i++) {
        cr_expect_eq(
            vocabulary_column(shape, names_find(names, text_of(columns[i].name))), i,
            "%s", columns[i].name);
        cr_expect_eq(shape->columns[i].kind, columns[i].kind, "%s", columns[i].name);
    }
    const struct column_manner *manners = made->manners[run];
    cr_expect(manners[2].is_position && manners[2].is_due);
    cr_expect(text_is(shape->columns[2].got_by, "caliper"));
    cr_expect_eq(manners[3].standard, names_find(names, TEXT("plain")));
    cr_expect_eq(shape->columns[3].choice_count, 2);
    cr_expect(manners[4].is_optional && !manners[4].is_due);
    cr_expect(manners[5].is_exact && !manners[5].is_position);
    cr_expect_eq(vocabulary_column(shape, names_find(names, TEXT("grade"))), -1);
    room_close(&room);
}

Test(vocabulary, kinds_descend_and_lists_are_found)
{
    struct room room = room_open();
    struct names *names = names_open(room.arena, NULL);
    const struct vocabulary *made = read_words(&room, names, more, sound);
    cr_assert_not_null(made, "%s", room_faults(&room));
    const name_id bearing = names_find(names, TEXT("bearing"));
    const struct kind *deep =
        vocabulary_kind(made, names_find(names, TEXT("deep-groove")));
    cr_assert_not_null(deep);
    cr_expect(kind_is(made, deep, bearing));
    cr_expect(!kind_is(made, vocabulary_kind(made, bearing), deep->name));
    cr_expect_eq(vocabulary_kind(made, bearing)->ask_count, 2);
    cr_expect_eq(deep->ask_count, 0, "own ones only");
    const name_id runs = names_find(names, TEXT("runs"));
    cr_expect_not_null(vocabulary_listing(made, runs, false));
    cr_expect_null(vocabulary_listing(made, runs, true));
    const struct relation_shape *grade =
        vocabulary_relation(made, names_find(names, TEXT("grade")), NULL);
    cr_assert_not_null(grade);
    cr_expect(!grade->is_owned);
    cr_expect_eq(grade->filled, FILLED_BY_COMPUTING);
    cr_expect_null(vocabulary_relation(made, names_find(names, TEXT("runs")), NULL));
    room_close(&room);
}

/* Numbers of relations depend on their names alone. */
Test(vocabulary, the_order_of_files_does_not_show)
{
    struct room room = room_open();
    struct names *names = names_open(room.arena, NULL);
    const struct vocabulary *one = read_words(&room, names, sound, more);
    const struct vocabulary *other = read_words(&room, names, more, sound);
    cr_assert(one != NULL && other != NULL);
    cr_assert_eq(one->shape_count, other->shape_count);
    for (uint32_t i = 0; i < one->shape_count; i++) {
        cr_expect_eq(one->shapes[i].name, other->shapes[i].name);
        cr_expect(i == 0 ||
                  names_compare(names, one->shapes[i - 1].name, one->shapes[i].name) < 0);
    }
    room_close(&room);
}
