/* SPDX-License-Identifier: MIT */
/* Rows by key: what adding says, what scans read, and stores over stores. */
#include "hash.h"
#include "lengths.h"
#include "row_text.h"

#include <criterion/criterion.h>
#include <string.h>

TestSuite(relation, .timeout = 120);

enum {
    PAIR, /* pair(item, to), of which the first is the owner */
    RUNG, /* rung(level, item), a table whose first key is a count */
    SIZE, /* size(item): length, grade, holes */
    RELATIONS
};

struct bench {
    struct room room;
    struct names *names;
    struct relation_shape shapes[RELATIONS];
    struct store *store;
};

static struct column *columns_of(struct bench *bench, const char *const *names,
                                 const enum column_kind *kinds, uint32_t count)
{
    struct column *columns = ARENA_MANY(bench->room.arena, count, struct column);
    for (uint32_t i = 0; i < count; i++) {
        columns[i].name = names_add(bench->names, text_of(names[i]));
        columns[i].kind = kinds[i];
        columns[i].dim = kinds[i] == COLUMN_QUANTITY ? DIMENSION_LENGTH : DIMENSION_RATIO;
    }
    return columns;
}

static struct bench *bench_open(void)
{
    static const char *const pair[] = {"item", "to"};
    static const char *const rung[] = {"level", "item"};
    static const char *const size[] = {"item", "length", "grade", "holes"};
    static const enum column_kind names[] = {COLUMN_NAME, COLUMN_NAME};
    static const enum column_kind numbers[] = {COLUMN_NUMBER, COLUMN_NAME};
    static const enum column_kind values[] = {COLUMN_NAME, COLUMN_QUANTITY, COLUMN_WORD,
                                              COLUMN_COUNT};
    struct room room = room_open();
    struct bench *bench = ARENA_NEW(room.arena, struct bench);
    bench->room = room;
    bench->names = names_open(room.arena, NULL);
    bench->shapes[PAIR] =
        (struct relation_shape){.name = names_add(bench->names, TEXT("pair")),
                                .is_owned = true,
                                .key_count = 2,
                                .columns = columns_of(bench, pair, names, 2)};
    bench->shapes[RUNG] =
        (struct relation_shape){.name = names_add(bench->names, TEXT("rung")),
                                .key_count = 2,
                                .columns = columns_of(bench, rung, numbers, 2)};
    bench->shapes[SIZE] =
        (struct relation_shape){.name = names_add(bench->names, TEXT("size")),
                                .is_owned = true,
                                .key_count = 1,
                                .value_count = 3,
                                .columns = columns_of(bench, size, values, 4)};
    bench->store = store_open(room.arena, bench->shapes, RELATIONS, NULL);
    cr_assert_not_null(bench->store);
    return bench;
}

static void bench_close(struct bench *bench)
{
    struct room room = bench->room;
    room_close(&room);
}

static name_id name_of(struct bench *bench, const char *word)
{
    return names_add(bench->names, text_of(word));
}

static enum added add_pair(struct bench *bench, struct store *store, const char *item,
                           const char *to)
{
    const name_id key[2] = {name_of(bench, item), name_of(bench, to)};
    const struct row row = {.relation = PAIR, .key = key};
    return store_add(store, &row, NULL);
}

static const char *row_text(struct bench *bench, const struct row *row)
{
    char out[500];
    struct row_writer writer = {.out = out, .room = sizeof out};
    row_put_row(&writer, bench->names, &bench->shapes[row->relation], row);
    return text_copy(bench->room.arena, (text){out, writer.at}).at;
}

/* The keys a scan finds, in its order: "a-b a-c ", and how many rows it looked at. */
static const char *scanned(struct bench *bench, struct store *store, const char *item,
                           const char *to, uint64_t *read_out)
{
    const name_id key[2] = {item == NULL ? NAME_NONE : name_of(bench, item),
                            to == NULL ? NAME_NONE : name_of(bench, to)};
    const uint64_t before = store_rows_read(store);
    struct scan scan;
    text all = {"", 0};
    cr_assert(scan_open(&scan, store, PAIR,
                        (item != NULL ? 1u : 0) | (to != NULL ? 2u : 0), key));
    for (const struct row *row = scan_next(&scan); row != NULL; row = scan_next(&scan)) {
        all = text_format(bench->room.arena, "%.*s%.*s-%.*s ", TEXT_ARG(all),
                          TEXT_ARG(names_text(bench->names, row->key[0])),
                          TEXT_ARG(names_text(bench->names, row->key[1])));
    }
    cr_expect_null(scan_next(&scan), "a scan that is over stays over");
    *read_out = store_rows_read(store) - before;
    return all.at;
}

/* ---- what a second derivation adds */

/* A derivation of size(part), and what it makes of the row. */
struct derivation {
    enum standing standing;
    uint32_t height;
    double length; /* mm */
    const char *grade;
    int64_t holes;
    const char *because; /* the dimension that keeps it open */
    enum added expected;
    const char *row; /* as it is then */
};

static void add_derivation(struct bench *bench, const struct derivation *one, size_t i)
{
    const name_id key[1] = {name_of(bench, "part")};
    const struct value values[3] = {
        value_quantity(form_exact(bench->room.arena, DIMENSION_LENGTH, one->length * mm)),
        value_word(name_of(bench, one->grade)), value_count(one->holes)};
    struct room *room = &bench->room;
    const struct deviation **of = ARENA_NEW(room->arena, const struct deviation *);
    of[0] = dimension(room, one->because == NULL ? "" : one->because, 0, -1, 1);
    const struct row_more more = {.doubt = {of, one->because == NULL ? 0 : 1}};
    const struct row row = {.relation = SIZE,
                            .standing = one->standing,
                            .height = one->height,
                            .key = key,
                            .values = values,
                            .more = &more};
    const struct row *there = NULL;
    cr_expect_eq(store_add(bench->store, &row, &there), one->expected, "derivation %zu",
                 i);
    cr_assert_not_null(there);
    cr_expect_eq(there, store_find(bench->store, SIZE, key));
    cr_expect_str_eq(row_text(bench, there), one->row, "derivation %zu", i);
    cr_expect_eq(store_count(bench->store, SIZE), 1);
}

static void add_derivations(const struct derivation *list, size_t count)
{
    struct bench *bench = bench_open();
    for (size_t i = 0; i < count; i++) {
        add_derivation(bench, &list[i], i);
    }
    bench_close(bench);
}

#define ADD_ALL(list) add_derivations(list, sizeof(list) / sizeof *(list))

Test(relation, sure_rows)
{
    static const struct derivation list[] = {
        {STANDING_SURE, 3, 5, "low", 1, NULL, ADDED_NEW,
         "size(part) sure, height 3, length = 5, grade = low, holes = #1"},
        {STANDING_SURE, 4, 5, "low", 1, NULL, ADDED_SAME,
         "size(part) sure, height 3, length = 5, grade = low, holes = #1"},
        {STANDING_SURE, 2, 5, "low", 1, NULL, ADDED_CHANGED,
         "size(part) sure, height 2, length = 5, grade = low, holes = #1"},
        {STANDING_SURE, 1, 6, "low", 1, NULL, ADDED_CONFLICT,
         "size(part) sure, height 2, length = 5, grade = low, holes = #1"},
        {STANDING_SURE, 1, 5, "mid", 1, NULL, ADDED_CONFLICT,
         "size(part) sure, height 2, length = 5, grade = low, holes = #1"},
        {STANDING_SURE, 1, 5, "low", 2, NULL, ADDED_CONFLICT,
         "size(part) sure, height 2, length = 5, grade = low, holes = #1"},
        {STANDING_OPEN, 1, 6, "mid", 2, "a", ADDED_SAME,
         "size(part) sure, height 2, length = 5, grade = low, holes = #1"},
    };
    ADD_ALL(list);
}

Test(relation, open_rows)
{
    static const struct derivation list[] = {
        {STANDING_OPEN, 3, 5, "low", 1, "b", ADDED_NEW,
         "size(part) open, height 3 because of b, length = 5, grade = low, holes = #1"},
        {STANDING_OPEN, 3, 5, "low", 1, "b", ADDED_SAME,
         "size(part) open, height 3 because of b, length = 5, grade = low, holes = #1"},
        {STANDING_OPEN, 4, 5, "low", 1, "a", ADDED_CHANGED,
         "size(part) open, height 3 because of a; b, length = 5, grade = low, holes = "
         "#1"},
        {STANDING_OPEN, 2, 5, "low", 1, "a", ADDED_CHANGED,
         "size(part) open, height 2 because of a; b, length = 5, grade = low, holes = "
         "#1"},
        {STANDING_OPEN, 4, 6, "low", 1, "a", ADDED_CHANGED,
         "size(part) open, height 2 because of a; b, length = no number, grade = low, "
         "holes = #1"},
        {STANDING_OPEN, 4, 5, "mid", 1, "a", ADDED_CHANGED,
         "size(part) open, height 2 because of a; b, length = no number, grade = "
         "missing, "
         "holes = #1"},
        {STANDING_OPEN, 4, 7, "high", 1, "a", ADDED_SAME,
         "size(part) open, height 2 because of a; b, length = no number, grade = "
         "missing, "
         "holes = #1"},
        {STANDING_OPEN, 4, 5, "low", 2, "a", ADDED_CHANGED,
         "size(part) open, height 2 because of a; b, length = no number, grade = "
         "missing, "
         "holes = missing"},
        {STANDING_SURE, 9, 8, "high", 3, NULL, ADDED_CHANGED,
         "size(part) sure, height 9, length = 8, grade = high, holes = #3"},
        {STANDING_OPEN, 1, 5, "low", 2, "a", ADDED_SAME,
         "size(part) sure, height 9, length = 8, grade = high, holes = #3"},
    };
    ADD_ALL(list);
}

Test(relation, what_is_added_is_copied)
{
    struct bench *bench = bench_open();
    name_id key[2] = {name_of(bench, "a"), name_of(bench, "b")};
    const struct row row = {.relation = PAIR, .key = key};
    cr_assert_eq(store_add(bench->store, &row, NULL), ADDED_NEW);
    key[1] = name_of(bench, "c");
    cr_expect_eq(store_add(bench->store, &row, NULL), ADDED_NEW);
    cr_expect_str_eq(row_text(bench, store_row(bench->store, PAIR, 0)),
                     "pair(a, b) sure, height 0");
    bench_close(bench);
}

/* ---- scans */

Test(relation, scans_read_only_what_matches)
{
    struct bench *bench = bench_open();
    static const char *const pairs[][2] = {{"a", "x"}, {"b", "x"}, {"a", "y"},
                                           {"c", "z"}, {"a", "z"}, {"b", "z"}};
    static const struct {
        const char *item;
        const char *to;
        const char *found; /* an index gives the newest first */
        uint64_t read;
    } rows[] = {{NULL, NULL, "a-x b-x a-y c-z a-z b-z ", 6},
                {"a", NULL, "a-z a-y a-x ", 3},
                {NULL, "x", "b-x a-x ", 2},
                {"a", "z", "a-z ", 1},
                {"c", "x", "", 0},
                {"d", NULL, "", 0}};
    for (size_t i = 0; i < sizeof pairs / sizeof *pairs; i++) {
        cr_assert_eq(add_pair(bench, bench->store, pairs[i][0], pairs[i][1]), ADDED_NEW);
    }
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        uint64_t read = 0;
        cr_expect_str_eq(scanned(bench, bench->store, rows[i].item, rows[i].to, &read),
                         rows[i].found, "row %zu", i);
        cr_expect_eq(read, rows[i].read, "row %zu", i);
    }
    bench_close(bench);
}

/* Two keys of one hash are still two keys: hash_words takes words one after the other, so
 * a second word can be chosen that makes up for another first one. */
Test(relation, keys_of_one_hash)
{
    struct bench *bench = bench_open();
    const name_id one[2] = {1, 2};
    const name_id first = 3;
    const name_id two[2] = {3, hash_words(one, 1) ^ hash_words(&first, 1) ^ 2};
    const name_id *const keys[] = {one, two};
    cr_assert_eq(hash_words(one, 2), hash_words(two, 2));
    for (size_t i = 0; i < 2; i++) {
        const struct row row = {.relation = PAIR, .key = keys[i]};
        cr_assert_eq(store_add(bench->store, &row, NULL), ADDED_NEW);
    }
    for (size_t i = 0; i < 2; i++) {
        struct scan scan;
        cr_expect_eq(store_find(bench->store, PAIR, keys[i]),
                     store_row(bench->store, PAIR, (uint32_t)i));
        cr_assert(scan_open(&scan, bench->store, PAIR, 3, keys[i]));
        cr_expect_eq(scan_next(&scan), store_row(bench->store, PAIR, (uint32_t)i));
        cr_expect_null(scan_next(&scan));
    }
    bench_close(bench);
}

/* Rows added while a scan goes on are left to the next one, though the index grows under
 * it, many times over. */
Test(relation, a_scan_sees_no_row_added_meanwhile)
{
    for (uint32_t bound = 0; bound < 2; bound++) {
        struct bench *bench = bench_open();
        const name_id key[2] = {name_of(bench, "a"), NAME_NONE};
        struct scan scan;
        struct scan inner;
        uint32_t seen = 0;
        for (uint32_t i = 0; i < 10; i++) {
            const text to = text_format(bench->room.arena, "old %u", i);
            cr_assert_eq(add_pair(bench, bench->store, "a", to.at), ADDED_NEW);
        }
        cr_assert(scan_open(&scan, bench->store, PAIR, bound, key));
        while (scan_next(&scan) != NULL) {
            seen++;
            for (uint32_t i = 0; i < 30; i++) {
                const text to = text_format(bench->room.arena, "new %u-%u", seen, i);
                cr_assert_eq(add_pair(bench, bench->store, "a", to.at), ADDED_NEW);
            }
            uint32_t all = 0;
            cr_assert(scan_open(&inner, bench->store, PAIR, bound, key));
            while (scan_next(&inner) != NULL) {
                all++;
            }
            cr_expect_eq(all, 10 + 30 * seen);
        }
        cr_expect_eq(seen, 10);
        bench_close(bench);
    }
}

/* A count in a key is itself, not the name of that number. */
Test(relation, counts_in_keys)
{
    struct bench *bench = bench_open();
    struct scan scan;
    for (uint32_t i = 0; i < 3; i++) {
        const name_id key[2] = {2 * i, name_of(bench, "a")};
        const struct row row = {.relation = RUNG, .key = key};
        cr_assert_eq(store_add(bench->store, &row, NULL), ADDED_NEW);
    }
    const name_id wanted[2] = {4, NAME_NONE};
    cr_assert(scan_open(&scan, bench->store, RUNG, 1, wanted));
    const struct row *row = scan_next(&scan);
    cr_assert_not_null(row);
    cr_expect_str_eq(row_text(bench, row), "rung(4, a) sure, height 0");
    cr_expect_str_eq(row_write(bench->room.arena, bench->store, bench->names, row).at,
                     "rung(4, a)");
    cr_expect_null(scan_next(&scan));
    cr_expect_gt(
        row_compare(bench->store, bench->names, row, store_row(bench->store, RUNG, 1)), 0,
        "4 comes behind 2");
    bench_close(bench);
}

/* ---- stores over stores */

/* Whether or not the stores below were made ready, a scan finds the same. */
Test(relation, a_store_over_another)
{
    for (int is_ready = 0; is_ready < 2; is_ready++) {
        struct bench *bench = bench_open();
        uint64_t read = 0;
        cr_assert_eq(add_pair(bench, bench->store, "a", "x"), ADDED_NEW);
        cr_assert_eq(add_pair(bench, bench->store, "b", "x"), ADDED_NEW);
        cr_assert_eq(is_ready ? store_freeze(bench->store) : STATUS_OK, STATUS_OK);
        struct store *layer = store_open(bench->room.arena, NULL, 0, bench->store);
        struct store *other = store_open(bench->room.arena, NULL, 0, bench->store);
        cr_expect(!store_is_layer(bench->store) && store_is_layer(layer));
        cr_assert_eq(add_pair(bench, layer, "a", "y"), ADDED_NEW);
        cr_assert_eq(add_pair(bench, layer, "a", "x"), ADDED_SAME);
        cr_assert_eq(is_ready ? store_freeze(layer) : STATUS_OK, STATUS_OK);
        struct store *top = store_open(bench->room.arena, NULL, 0, layer);
        cr_expect_eq(store_shape_count(top), RELATIONS);
        cr_assert_eq(add_pair(bench, top, "a", "z"), ADDED_NEW);
        cr_assert_eq(add_pair(bench, top, "a", "y"), ADDED_SAME);
        cr_expect_eq(store_count(bench->store, PAIR), 2);
        cr_expect_eq(store_count(layer, PAIR), 3);
        cr_expect_eq(store_own_from(layer, PAIR), 2);
        cr_expect_eq(store_count(top, PAIR), 4);
        cr_expect_eq(store_own_from(top, PAIR), 3);
        cr_expect_str_eq(scanned(bench, top, NULL, NULL, &read), "a-x b-x a-y a-z ");
        cr_expect_str_eq(scanned(bench, top, "a", NULL, &read), "a-z a-y a-x ");
        cr_expect_eq(read, is_ready ? 3 : 3 + 3, "the rows below are put into an index");
        cr_expect_str_eq(scanned(bench, top, NULL, "x", &read), "b-x a-x ");
        cr_expect_eq(read, 2 + 3, "no index below is over this column");
        cr_expect_str_eq(scanned(bench, top, "a", "x", &read), "a-x ");
        cr_expect_str_eq(scanned(bench, top, "b", "z", &read), "");
        cr_assert_eq(add_pair(bench, top, "a", "w"), ADDED_NEW);
        cr_expect_str_eq(scanned(bench, top, "a", NULL, &read), "a-w a-z a-y a-x ");
        cr_expect_str_eq(scanned(bench, layer, "a", NULL, &read), "a-y a-x ");
        cr_expect_str_eq(scanned(bench, other, "a", NULL, &read), "a-x ");
        cr_expect_str_eq(scanned(bench, bench->store, "a", NULL, &read), "a-x ");
        const name_id key[2] = {name_of(bench, "a"), name_of(bench, "y")};
        cr_expect_eq(store_find(top, PAIR, key), store_row(layer, PAIR, 2));
        cr_expect_null(store_find(other, PAIR, key));
        bench_close(bench);
    }
}

/* An index below that was made before the last rows came is of no use. */
Test(relation, a_store_below_with_an_old_index)
{
    struct bench *bench = bench_open();
    uint64_t read = 0;
    cr_assert_eq(add_pair(bench, bench->store, "a", "x"), ADDED_NEW);
    cr_expect_str_eq(scanned(bench, bench->store, "a", NULL, &read), "a-x ");
    cr_assert_eq(add_pair(bench, bench->store, "a", "y"), ADDED_NEW);
    struct store *layer = store_open(bench->room.arena, NULL, 0, bench->store);
    cr_expect_str_eq(scanned(bench, layer, "a", NULL, &read), "a-y a-x ");
    cr_expect_str_eq(scanned(bench, layer, "a", "y", &read), "a-y ");
    bench_close(bench);
}

/* A row of the frozen parent is never changed: a second derivation agrees or conflicts.
 */
Test(relation, a_frozen_row)
{
    static const struct {
        enum standing there;
        enum standing added;
        int64_t holes;
        enum added expected;
    } rows[] = {{STANDING_SURE, STANDING_SURE, 1, ADDED_SAME},
                {STANDING_SURE, STANDING_SURE, 2, ADDED_CONFLICT},
                {STANDING_SURE, STANDING_OPEN, 2, ADDED_SAME},
                {STANDING_OPEN, STANDING_OPEN, 2, ADDED_SAME},
                {STANDING_OPEN, STANDING_SURE, 1, ADDED_SAME}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct bench *bench = bench_open();
        const name_id key[1] = {name_of(bench, "part")};
        struct value values[3] = {value_word(key[0]), value_word(key[0]), value_count(1)};
        const struct row there = {.relation = SIZE,
                                  .standing = rows[i].there,
                                  .height = 5,
                                  .key = key,
                                  .values = values};
        cr_assert_eq(store_add(bench->store, &there, NULL), ADDED_NEW);
        struct store *layer = store_open(bench->room.arena, NULL, 0, bench->store);
        struct row added = there;
        added.standing = rows[i].added;
        added.height = 1;
        values[2] = value_count(rows[i].holes);
        const struct row *found = NULL;
        cr_expect_eq(store_add(layer, &added, &found), rows[i].expected, "row %zu", i);
        cr_expect_eq(found, store_row(bench->store, SIZE, 0));
        cr_expect_eq(found->standing, rows[i].there);
        cr_expect_eq(found->height, 5);
        cr_expect_eq(found->values[2].count, 1);
        cr_expect_eq(store_count(layer, SIZE), 1);
        bench_close(bench);
    }
}

/* Rows of an owner, here and below, by relation and then as they were said; tables have
 * no owner. */
Test(relation, rows_of_an_owner)
{
    struct bench *bench = bench_open();
    const name_id owner = name_of(bench, "a");
    const struct row *const *found = NULL;
    uint32_t count = 0;
    const name_id keys[2] = {owner, owner};
    const struct value none[3] = {{0}};
    const struct row size = {.relation = SIZE, .key = keys, .values = none};
    const struct row rung = {.relation = RUNG, .key = keys};
    cr_assert_eq(store_add(bench->store, &size, NULL), ADDED_NEW);
    cr_assert_eq(store_add(bench->store, &rung, NULL), ADDED_NEW);
    cr_assert_eq(add_pair(bench, bench->store, "a", "z"), ADDED_NEW);
    cr_assert_eq(add_pair(bench, bench->store, "b", "a"), ADDED_NEW);
    struct store *layer = store_open(bench->room.arena, NULL, 0, bench->store);
    cr_assert_eq(add_pair(bench, layer, "a", "y"), ADDED_NEW);
    cr_assert_eq(add_pair(bench, layer, "a", "x"), ADDED_NEW);
    cr_assert_eq(store_rows_of(layer, owner, &found, &count), STATUS_OK);
    static const char *const wanted[] = {
        "pair(a, z) sure, height 0", "pair(a, y) sure, height 0",
        "pair(a, x) sure, height 0",
        "size(a) sure, height 0, length = none, grade = none, holes = none"};
    cr_assert_eq(count, 4);
    for (uint32_t i = 0; i < count; i++) {
        cr_expect_str_eq(row_text(bench, found[i]), wanted[i]);
    }
    bench_close(bench);
}

/* ---- many rows */

/* 100 000 pairs of 1000 items with 100 others: every key is found again, and a scan reads
 * what it gives, no more, however many rows there are; also from a store over them. */
Test(relation, a_hundred_thousand_rows)
{
    struct bench *bench = bench_open();
    name_id *names = ARENA_MANY(bench->room.arena, 1000, name_id);
    for (uint32_t i = 0; i < 1000; i++) {
        names[i] = names_add(bench->names, text_format(bench->room.arena, "n%u", i));
    }
    for (uint32_t i = 0; i < 100000; i++) {
        const name_id key[2] = {names[i % 1000], names[i / 1000]};
        const struct row row = {.relation = PAIR, .height = i, .key = key};
        cr_assert_eq(store_add(bench->store, &row, NULL), ADDED_NEW);
    }
    cr_expect_eq(store_count(bench->store, PAIR), 100000);
    for (uint32_t i = 0; i < 100000; i += 7) {
        const name_id key[2] = {names[i % 1000], names[i / 1000]};
        const struct row *row = store_find(bench->store, PAIR, key);
        cr_assert_not_null(row);
        cr_expect_eq(row->height, i);
    }
    cr_assert_eq(store_freeze(bench->store), STATUS_OK);
    struct store *layer = store_open(bench->room.arena, NULL, 0, bench->store);
    cr_assert_eq(add_pair(bench, layer, "n5", "another"), ADDED_NEW);
    struct store *const stores[2] = {bench->store, layer};
    const size_t used = arena_used(bench->room.arena);
    for (uint32_t s = 0; s < 2; s++) {
        struct scan scan;
        uint32_t count = 0;
        const uint64_t before = store_rows_read(stores[s]);
        cr_assert(scan_open(&scan, stores[s], PAIR, 1, &names[5]));
        while (scan_next(&scan) != NULL) {
            count++;
        }
        cr_expect_eq(count, 100 + s);
        cr_expect_eq(store_rows_read(stores[s]) - before, count);
    }
    const name_id key[2] = {names[5], names[7]};
    struct scan scan;
    cr_assert(scan_open(&scan, layer, PAIR, 3, key));
    cr_expect_eq(scan_next(&scan), store_find(bench->store, PAIR, key));
    cr_expect_null(scan_next(&scan));
    /* What is over a large store costs what it adds. */
    cr_expect_lt(arena_used(bench->room.arena) - used, 10000);
    bench_close(bench);
}
