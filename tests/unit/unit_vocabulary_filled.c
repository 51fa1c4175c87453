/* SPDX-License-Identifier: MIT */
/* What a vocabulary may not declare, because parts could not fill it. */
#include "row_text.h"
#include "rule_bench.h"

#include <criterion/criterion.h>

TestSuite(vocabulary_filled, .timeout = 20);

/* Faults of a vocabulary, or "" when a part could be built with it. */
static const char *fault_of(struct rule_bench *bench, const char *relations)
{
    const text all = text_format(bench->room.arena,
                                 "relations:\n%s"
                                 "  near: {filled-by: rules, key: {item: name}}\n"
                                 "kinds:\n  block: {says: A block.}\n",
                                 relations);
    if (rule_bench_vocabulary(bench, all.at) != STATUS_OK) {
        return room_fault(&bench->room).at;
    }
    cr_assert_eq(rule_bench_rules(bench, TEXT("rule: near\nsource: s\n"
                                              "given: [block: {piece: $a}]\n"
                                              "conclude: [near: {item: $a}]\n")),
                 STATUS_OK, "%s", rule_bench_faults(bench));
    cr_assert_eq(rule_bench_parts(bench,
                                  TEXT("parts:\n  - {part: p, kind: block, title: A part,"
                                       " source: s, links: {q: {}}, partial: [links]}\n"),
                                  bench->names, rule_bench_store(bench, NULL)),
                 STATUS_OK, "%s", rule_bench_faults(bench));
    return "";
}

Test(vocabulary_filled, columns_that_parts_fill)
{
    static const char link[] =
        "  link: {filled-by: facts, listed-as: links, listed-in: part,"
        " key: {item: name, to: name}}\n";
    static const struct {
        const char *relations; /* beside link, or instead where it begins with ! */
        const char *fault;
    } rows[] = {
        {"", ""},
        {"!  link: {filled-by: facts, listed-as: links, listed-in: part, key: {item: "
         "name}}\n",
         "vocabulary-wrong 2:3"},
        {"!  link: {filled-by: facts, listed-as: links, listed-in: part, key: {item: "
         "name,"
         " to: name, more: name}}\n",
         "vocabulary-wrong 2:3"},
        {"!  link: {filled-by: facts, listed-as: links, listed-in: part, key: {item: "
         "name,"
         " to: number}}\n",
         "vocabulary-wrong 2:3"},
        {"  partial: {filled-by: facts, key: {piece: name, list: name}, values: {}}\n",
         ""},
        {"  partial: {filled-by: facts, key: {piece: name, list: name},"
         " values: {why: {word: true}}}\n",
         "vocabulary-wrong 3:3"},
        {"  partial: {filled-by: facts, key: {piece: name}}\n", "vocabulary-wrong 3:3"},
        {"  piece: {filled-by: facts, key: {piece: name}}\n", ""},
        {"  piece: {filled-by: facts, key: {piece: name}, values: {more: {word: true},"
         " title: {word: true}, kind: {word: true}, part: {word: true}}}\n",
         ""},
        {"  piece: {filled-by: facts, key: {piece: name, of: name}}\n",
         "vocabulary-wrong 3:3"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct rule_bench bench = rule_bench_open();
        const bool is_instead = rows[i].relations[0] == '!';
        const text all = text_format(bench.room.arena, "%s%s", is_instead ? "" : link,
                                     rows[i].relations + (is_instead ? 1 : 0));
        cr_expect_str_eq(fault_of(&bench, all.at), rows[i].fault, "row %zu", i);
        rule_bench_close(&bench);
    }
}

/* Whatever order `piece` declares its columns in, each says what it is called. */
Test(vocabulary_filled, columns_of_piece_go_by_name)
{
    struct rule_bench bench = rule_bench_open();
    char out[200];
    struct row_writer writer = {.out = out, .room = sizeof out};
    relation_id piece = 0;
    cr_assert_eq(rule_bench_vocabulary(
                     &bench, "relations:\n  piece: {filled-by: facts, key: {piece: name},"
                             " values: {title: {word: true}, part: {word: true},"
                             " kind: {word: true}}}\n"
                             "  near: {filled-by: rules, key: {item: name}}\n"
                             "kinds:\n  block: {says: A block.}\n"),
                 STATUS_OK);
    cr_assert_eq(rule_bench_rules(&bench, TEXT("rule: near\nsource: s\n"
                                               "given: [piece: {piece: $a}]\n"
                                               "conclude: [near: {item: $a}]\n")),
                 STATUS_OK);
    struct store *store = rule_bench_store(&bench, NULL);
    cr_assert_eq(rule_bench_parts(&bench,
                                  TEXT("parts:\n  - {part: p, kind: block, title: A part,"
                                       " source: s}\n"),
                                  bench.names, store),
                 STATUS_OK);
    cr_assert(store_find_relation(store, names_find(bench.names, TEXT("piece")), &piece));
    row_put_row(&writer, bench.names, store_shape(store, piece),
                store_row(store, piece, 0));
    cr_expect_str_eq(out,
                     "piece(p) sure, height 0, title = A part, part = p, kind = block");
    rule_bench_close(&bench);
}
