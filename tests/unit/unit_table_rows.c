/* SPDX-License-Identifier: MIT */
/* Rows of relations without an owner: every dimension in them is one of its own. */
#include "knowledge.h"
#include "room.h"

#include <criterion/criterion.h>

TestSuite(table_rows, .timeout = 20);

/* Names and contents of the files. */
static const char *const files[][2] = {
    {"words.yaml", "relations:\n  grade: {owner: none, filled-by: facts, key: {name: "
                   "name}, values: {size: {quantity: length}}}\n"},
    {"a.yaml",
     "source: invented\ntable-rows: {grade: [{name: p, size: \"10 \\xb10.1 mm\"}, "
     "{name: q, size: \"10 \\xb10.1 mm\"}]}\n"},
    {"b.yaml", "source: invented\ntable-rows: {grade: [{name: r, size: \"10 \\xb10.1 "
               "mm\"}]}\n"}};

static const struct form *size_of(const struct knowledge *knowledge, const char *grade)
{
    relation_id id = 0;
    const name_id key = names_find(knowledge->names, text_of(grade));
    cr_assert(store_find_relation(knowledge->base,
                                  names_find(knowledge->names, TEXT("grade")), &id));
    const struct row *row = store_find(knowledge->base, id, &key);
    cr_assert_not_null(row, "%s", grade);
    return row->values[0].quantity;
}

/* Sizes written with an escape, in one file or at the same place of two, are as many
 * dimensions: their difference is as wide as both tolerances. */
Test(table_rows, dimensions_do_not_cancel_across_rows_and_files)
{
    static const char *const pairs[][2] = {{"p", "q"}, {"p", "r"}};
    struct room room = room_open();
    struct knowledge_input read[3];
    const struct knowledge *knowledge = NULL;
    for (int i = 0; i < 3; i++) {
        read[i] = (struct knowledge_input){text_of(files[i][0]), files[i][1],
                                           text_of(files[i][1]).length};
    }
    cr_assert_eq(
        knowledge_load(room.arena, read, 3, room.sources, room.diagnostics, &knowledge),
        STATUS_OK, "%s", room_fault(&room).at);
    for (int i = 0; i < 2; i++) {
        const struct form *difference = form_subtract(
            room.arena, size_of(knowledge, pairs[i][0]), size_of(knowledge, pairs[i][1]));
        cr_expect_float_eq(difference->least, -0.2e6, 1);
        cr_expect_float_eq(difference->greatest, 0.2e6, 1);
    }
    room_close(&room);
}
