/* SPDX-License-Identifier: MIT */
/* Rows out of comma-separated values: what cells mean, and that the short way of reading
 * them gives what the long way gives. */
#include "csv_reader.h"
#include "dice.h"
#include "faults.h"
#include "knowledge.h"
#include "number_text.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <string.h>

TestSuite(flat_rows, .timeout = 60);

static const char *const words =
    "relations:\n"
    "  edge: {filled-by: facts, key: {from: name, to: name, lane: number},\n"
    "    values: {length: {quantity: length}, grade: {quantity: ratio, optional: true},\n"
    "      width: {count: true, optional: true}, top: {choice: [tar, stone]}}}\n";

struct flat_bench {
    struct room room;
    const struct knowledge *knowledge;
    status result;
};

/* Loads the vocabulary and one file of rows, or two. */
static struct flat_bench load(const char *name, text content, const char *other)
{
    struct flat_bench bench = {.room = room_open()};
    const struct knowledge_input inputs[] = {
        {TEXT("words.yaml"), words, strlen(words)},
        {text_of(name), content.at, content.length},
        {TEXT("edge.other.csv"), other, other == NULL ? 0 : strlen(other)}};
    bench.result =
        knowledge_load(bench.room.arena, inputs, other == NULL ? 2 : 3,
                       bench.room.sources, bench.room.diagnostics, &bench.knowledge);
    return bench;
}

static const struct row *edge(const struct flat_bench *bench, const char *from,
                              const char *to, uint32_t lane)
{
    const struct names *names = bench->knowledge->names;
    const name_id key[] = {names_find(names, text_of(from)),
                           names_find(names, text_of(to)), lane};
    relation_id id = 0;
    cr_assert(store_find_relation(bench->knowledge->base, names_find(names, TEXT("edge")),
                                  &id));
    return store_find(bench->knowledge->base, id, key);
}

/* Everything RFC 4180 allows, and what else is understood. */
Test(flat_rows, cells_mean_what_they_mean_in_yaml)
{
    struct flat_bench bench = load("some/edge.north.csv",
                                   TEXT("\xEF\xBB\xBF"
                                        "to , from,lane,length [m],grade,width,top\r\n"
                                        "b,a,1,2.5,0.25,3,tar\r\n"
                                        "\r\n"
                                        "\"b, \"\"old\"\"\", a ,2, 40 in ,,\"\",stone\r\n"
                                        "c,a,3,2.5 \xC2\xB1"
                                        "0.1,1,4,\r\n"
                                        "d,a,4,,,,tar"),
                                   "from,to,lane,length,top\na,b,9,7 mm,tar\n");
    cr_assert_eq(bench.result, STATUS_OK, "%s", room_faults(&bench.room));
    const struct row *plain = edge(&bench, "a", "b", 1);
    cr_expect_eq(plain->values[0].quantity->nominal, 2.5e9);
    cr_expect_eq(plain->values[0].quantity->term_count, 0);
    cr_expect_eq(plain->values[1].quantity->nominal, 0.25);
    cr_expect_eq(plain->values[2].count, 3);
    cr_expect(text_is(names_text(bench.knowledge->names, plain->values[3].word), "tar"));
    cr_expect_eq(sources_locate(bench.room.sources, plain->where).line, 2);
    const struct row *quoted = edge(&bench, "a", "b, \"old\"", 2);
    cr_assert_not_null(quoted);
    cr_expect_eq(quoted->values[0].quantity->nominal, 1016e6, "a unit of its own");
    cr_expect_eq(quoted->values[1].kind, VALUE_NONE, "an optional quantity");
    cr_expect_eq(quoted->values[2].kind, VALUE_NONE, "an optional count");
    const struct row *wide = edge(&bench, "a", "c", 3);
    cr_expect_float_eq(wide->values[0].quantity->least, 2.4e9, 1);
    cr_expect(text_is(wide->values[0].quantity->terms[0].of->name, "edge.a.c.3.length"));
    cr_expect_eq(wide->values[3].kind, VALUE_MISSING);
    const struct row *bare = edge(&bench, "a", "d", 4);
    cr_expect(form_misses(bare->values[0].quantity), "nobody wrote its length");
    cr_expect(text_is(bare->values[0].quantity->terms[0].of->name, "edge.a.d.4.length"));
    cr_expect_eq(sources_locate(bench.room.sources, bare->where).line, 6);
    cr_expect_not_null(edge(&bench, "a", "b", 9), "another file of the same relation");
    room_close(&bench.room);
}

/* Faults of whole files and of cells, each where it stands. */
Test(flat_rows, faults)
{
    static const struct {
        const char *name;
        const char *content;
        const char *faults;
    } rows[] = {
        {"edge.csv", "from,to,lane,length,top\na,b,1,2 mm\n",
         "2:1+10 shape-wrong: this row has 4 cells"},
        {"edge.csv", "from,to,lane,length,top\na,b,1,2 mm,tar,\n",
         "2:1+15 shape-wrong: this row has 6 cells"},
        {"edge.csv", "from,to,lane,length,top\na,b,1,2 mm,tar\na,b,1,3 mm,tar\n",
         "3:1+14 name-doubled: another row says otherwise of the same key @ 2:1"},
        {"edge.csv", "from,to,lane,length,top\na,b,1,2 mm,tar\na,b,1,2 mm,tar\n", ""},
        {"edge.csv", "from,to,lane,lenght,top\n",
         "1:14+6 field-unknown: this relation has no such column ~ length"},
        {"edge.csv", "from,to,length,top\n",
         "1:1+18 field-missing: the column `lane` must be there"},
        {"edge.csv", "from,to,lane,length,top\na,b,-1,2,tar\na,b,1,2 mmm,tarr\n",
         "2:5+2 count-wrong: this is no whole number\n"
         "2:8+1 unit-missing: this number has no unit\n"
         "3:9+3 unit-unknown: nobody knows this unit ~ mm\n"
         "3:13+4 choice-unknown: this is no choice for its column ~ tar"},
        {"edge.csv", "from,to,lane,length,top\n\"a\xC3\",b,1,2 mm,tar\n",
         "2:3+1 utf8-invalid: this byte is not valid UTF-8"},
        {"edge.csv", "from,to,lane,length,top\na,,1,2 mm,tar\n",
         "2:3+0 value-missing: `to` must be written"},
        {"edge.csv", "\n\n",
         "1:1+0 field-missing: this file has no line that names its columns"},
        {"edge.csv", "from,to,lane,length,top\na,\"b\nc,1,2 mm,tar\n",
         "2:3+1 csv-syntax: this quote is never closed"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct flat_bench bench = load(rows[i].name, text_of(rows[i].content), NULL);
        cr_expect_str_eq(room_faults(&bench.room), rows[i].faults, "row %zu: %s", i,
                         room_faults(&bench.room));
        cr_expect_eq(bench.result,
                     rows[i].faults[0] == '\0' ? STATUS_OK : STATUS_INVALID);
        room_close(&bench.room);
    }
}

/* A cell as it may be written: mostly a number, with digits, signs and units that the
 * short way does and does not know. */
static const char *random_cell(struct dice *dice, char *room, size_t size)
{
    static const char *const signs[] = {"", "", "", "-", "+"};
    static const char *const units[] = {"", "", "", " mm", "mm", " in", " um", "  cm"};
    static const char *const tails[] = {"",
                                        "",
                                        "",
                                        "",
                                        "",
                                        (" \xC2\xB1"
                                         "0.1"),
                                        "e2",
                                        ".."};
    const unsigned long whole = dice_below(dice, dice_below(dice, 2) ? 100 : 100000000);
    const char *const sign = signs[dice_below(dice, 5)];
    const char *const tail = tails[dice_below(dice, 8)];
    const char *const unit = units[dice_below(dice, 8)];
    switch (dice_below(dice, 4)) {
    case 0:
        (void)snprintf(room, size, "%s%lu%s%s", sign, whole, tail, unit);
        break;
    case 1:
        (void)snprintf(room, size, "%s%lu.%0*lu%s%s", sign, whole,
                       (int)(1 + dice_below(dice, 9)),
                       (unsigned long)dice_below(dice, 100000), tail, unit);
        break;
    case 2:
        (void)snprintf(room, size, "%s00%lu%s", sign, whole, unit);
        break;
    default:
        (void)snprintf(room, size, "%lu%lu.%lu%s", whole, whole,
                       (unsigned long)dice_below(dice, 1000000000), unit);
    }
    return room;
}

/* What the notation of facts makes of a cell under the heading [cm]; NULL: a fault. */
static const struct form *by_the_long_way(struct room *room, const char *cell)
{
    struct unit assumed;
    struct stated stated;
    struct deviation *own = ARENA_NEW(room->arena, struct deviation);
    const struct tables tables = {0};
    cr_assert(unit_find(TEXT("cm"), &assumed));
    const struct stated_options options = {.wanted = DIMENSION_LENGTH,
                                           .assumed = &assumed};
    const struct tolerance_rules rules = {.is_exact = true};
    if (stated_read(text_of(cell), SPAN_NONE, &options, room->diagnostics, &stated) !=
            STATUS_OK ||
        stated_resolve(&tables, &stated, &rules, room->diagnostics, own) != STATUS_OK) {
        return NULL;
    }
    return own->low == 0.0 && own->high == 0.0
               ? form_exact(room->arena, own->dim, own->nominal)
               : form_of(room->arena, own);
}

/* The same bits for 10,000 cells, which stand below each other in one column, so that
 * what is kept of one cell for the next is tried too; and both refuse the same ones. */
Test(flat_rows, the_short_way_agrees_with_the_long_way)
{
    enum {
        CELLS = 10000
    };
    static char cells[CELLS][64];
    static char content[CELLS * 80];
    struct dice dice = {.state = 20250101};
    size_t at = (size_t)sprintf(content, "from,to,lane,length [cm],top\n");
    uint32_t kept = 0;
    uint32_t refused = 0;
    struct room room = room_open();
    for (uint32_t i = 0; i < CELLS; i++) {
        random_cell(&dice, cells[i], sizeof cells[i]);
        if (by_the_long_way(&room, cells[i]) != NULL) {
            at += (size_t)sprintf(content + at, "a,b,%u,%s,tar\n", i, cells[i]);
            kept++;
        } else if (refused++ < 60) {
            char one[160];
            (void)snprintf(one, sizeof one,
                           "from,to,lane,length [cm],top\na,b,1,1,tar\na,b,2,%.*s,tar\n",
                           (int)sizeof cells[i], cells[i]);
            struct flat_bench bench = load("edge.csv", text_of(one), NULL);
            cr_expect_eq(bench.result, STATUS_INVALID, "%s", cells[i]);
            room_close(&bench.room);
        }
    }
    cr_expect_gt(kept, CELLS / 2);
    cr_expect_gt(refused, 20);
    struct flat_bench bench = load("edge.csv", (text){content, at}, NULL);
    cr_assert_eq(bench.result, STATUS_OK, "%s", room_faults(&bench.room));
    for (uint32_t i = 0; i < CELLS; i++) {
        const struct row *row = edge(&bench, "a", "b", i);
        const struct form *wanted = by_the_long_way(&room, cells[i]);
        if (wanted == NULL) {
            cr_expect_null(row);
            continue;
        }
        const struct form *form = row->values[0].quantity;
        cr_expect(memcmp(&form->nominal, &wanted->nominal, sizeof(double)) == 0 &&
                      memcmp(&form->least, &wanted->least, sizeof(double)) == 0 &&
                      memcmp(&form->greatest, &wanted->greatest, sizeof(double)) == 0 &&
                      form->term_count == wanted->term_count,
                  "%s", cells[i]);
    }
    room_close(&bench.room);
    room_close(&room);
}

/* The plain reading of a number, alone: where it reads one, it is the general one. */
Test(flat_rows, plain_numbers_are_the_numbers)
{
    struct dice dice = {.state = 7};
    uint32_t plain = 0;
    for (uint32_t i = 0; i < 100000; i++) {
        char room[64];
        const text cell = text_of(random_cell(&dice, room, sizeof room));
        double by_plain = 0;
        double by_general = 0;
        const size_t length = number_read_plain(cell, &by_plain);
        if (length > 0) {
            plain++;
            cr_expect_eq(length, number_length(cell), "%s", room);
            cr_expect(number_read(text_slice(cell, 0, length), &by_general) &&
                          memcmp(&by_plain, &by_general, sizeof by_plain) == 0,
                      "%s", room);
        }
    }
    cr_expect_gt(plain, 20000);
}

/* Files of very many lines keep the places of some: all are found. */
Test(flat_rows, every_line_of_a_long_file_is_found)
{
    enum {
        LINES = 1000
    };
    static char content[LINES * 8];
    size_t at = 0;
    struct room room = room_open();
    for (int i = 0; i < LINES; i++) {
        at += (size_t)sprintf(content + at, i % 3 == 0 ? "r%d\r\n" : "r%d\n", i);
    }
    const uint32_t source =
        sources_add_kept(room.sources, TEXT("long"), (text){content, at - 1});
    const char *line = content;
    for (int i = 0; i < LINES; i++) {
        char wanted[16];
        (void)snprintf(wanted, sizeof wanted, "r%d", i);
        const span where = {source, (uint32_t)(line - content) + 1, 1};
        const struct place_in_text place = sources_locate(room.sources, where);
        cr_expect_eq(place.line, (uint32_t)i + 1);
        cr_expect_eq(place.column, 2);
        cr_expect(text_is(place.line_text, wanted), "line %d", i);
        cr_expect_eq(sources_line_start(room.sources, source, (size_t)i),
                     (size_t)(line - content));
        line = strchr(line, '\n') + 1;
    }
    room_close(&room);
}

/* A whole knowledge of its own: no part, no unit, and relations that are called like some
 * of the engine's but are declared otherwise. */
Test(flat_rows, a_vocabulary_of_its_own)
{
    static const char *const files[][2] = {
        {"words.yaml", "relations:\n"
                       "  road: {filled-by: facts, key: {from: name, to: name}}\n"
                       "  path: {filled-by: rules, key: {from: name, to: name}}\n"},
        {"rules.yaml", "rules:\n"
                       "  - rule: path-is-road\n"
                       "    says: A road is a path.\n"
                       "    source: invented\n"
                       "    given: [road: {from: $a, to: $b}]\n"
                       "    conclude: [path: {from: $a, to: $b}]\n"
                       "  - rule: path-goes-on\n"
                       "    says: A road and a path are a path.\n"
                       "    source: invented\n"
                       "    given: [road: {from: $a, to: $b}, path: {from: $b, to: $c}]\n"
                       "    conclude: [path: {from: $a, to: $c}]\n"},
        {"facts/road.csv", "to,from\nb,a\nc,b\nd,c\n"}};
    struct room room = room_open();
    struct knowledge_input inputs[3];
    const struct knowledge *knowledge = NULL;
    relation_id id = 0;
    for (int i = 0; i < 3; i++) {
        inputs[i] = (struct knowledge_input){text_of(files[i][0]), files[i][1],
                                             strlen(files[i][1])};
    }
    cr_assert_eq(
        knowledge_load(room.arena, inputs, 3, room.sources, room.diagnostics, &knowledge),
        STATUS_OK, "%s", room_faults(&room));
    cr_assert(store_find_relation(knowledge->base,
                                  names_find(knowledge->names, TEXT("path")), &id));
    cr_expect_eq(store_count(knowledge->base, id), 6);
    room_close(&room);
}
