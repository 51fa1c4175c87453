/* SPDX-License-Identifier: MIT */
/* Every fault a rule can have, with its place in the YAML it is written in. */
#include "faults.h"
#include "knowledge.h"
#include "limits.h"
#include "rule_read.h"

#include <criterion/criterion.h>
#include <string.h>

TestSuite(rule_faults, .timeout = 60);

static const char *const words =
    "relations:\n"
    "  piece: {filled-by: facts, key: {piece: name}, values: {kind: {choice: [shaft, "
    "hub]}, width: {quantity: length}, force: {quantity: force}, teeth: {count: true}, "
    "maker: {word: true}}}\n"
    "  holds: {filled-by: facts, key: {unit: name, piece: name}}\n"
    "  step: {filled-by: facts, key: {piece: name, step: number}, values: {size: "
    "{quantity: length}}}\n"
    "  grade: {owner: none, filled-by: facts, key: {grade: name}, values: {most: "
    "{quantity: pressure}}}\n"
    "  laid: {filled-by: computing, key: {unit: name, piece: name}}\n"
    "  joined: {filled-by: rules, key: {piece: name, other: name}}\n"
    "  apart: {filled-by: rules, key: {piece: name, other: name}}\n"
    "  rank: {filled-by: rules, key: {piece: name, rank: number}, values: {size: "
    "{quantity: length}}}\n";

/* Reads a document of rules over those words. */
static const struct rule_base *read_rules(struct room *room, text written)
{
    struct names *names = names_open(room->arena, NULL);
    const struct node *vocabulary_map = room_document(room, "words", text_of(words));
    const struct vocabulary *vocabulary = NULL;
    const struct rule_base *base = NULL;
    cr_assert_eq(vocabulary_read(room->arena, names, &vocabulary_map, 1,
                                 room->diagnostics, &vocabulary),
                 STATUS_OK, "%s", room_faults(room));
    struct function_table functions;
    cr_assert_eq(knowledge_functions(room->arena, &functions), STATUS_OK);
    const struct rule_surroundings around = {vocabulary, &functions, NULL, names};
    const struct node *document = room_document(room, "rules", written);
    return document != NULL && rules_read(room->arena, &around, &document, 1,
                                          room->diagnostics, &base) == STATUS_OK
               ? base
               : NULL;
}

/* Lines 1 and 2 of a rule; what is at fault comes on line 3 and below. */
#define HEAD "rule: r\nsource: invented\n"
#define GIVEN                                                                            \
    HEAD "given: [piece: {piece: $p, width: $w, force: $f, teeth: $t, kind: $k}]\n"
#define CHECK          "check: {margin: $w, weight: stops}\nbecause: \"{w}\"\n"
#define SOUND          GIVEN CHECK
#define CHECKS(margin) "check: {margin: " margin ", weight: stops}\nbecause: wide\n"

/* A row: rules, then their faults as room_faults writes them; "" for none. */
static const char *const faults[][2] = {
    {SOUND, ""},

    /* frame */
    {"rule: r\n"
     "given: [piece: {piece: $p, width: $w}]\n" CHECK,
     "1:7+1 rule-wrong: a rule says where it comes from"},
    {"says: x\nrule: [r]\n", "2:7+3 shape-wrong: rule is a list here"},
    {SOUND "wehre: $w > 3 mm\n", "6:1+5 field-unknown: a rule has no field \"wehre\" ~ "
                                 "where"},
    {SOUND "says: [a]\n", "6:7+3 shape-wrong: says is a list here"},
    {SOUND "over: catalog\n",
     "6:7+7 choice-unknown: a rule runs over each unit, or once over the catalogue"},
    {SOUND "over: catalogue\n", ""},
    {GIVEN, "1:7+1 rule-wrong: a rule concludes something or checks something"},
    {"rules: r\n", "1:8+1 shape-wrong: `rules` is a word here"},
    {"rules: [r]\n", "1:9+1 shape-wrong: a rule is a word here"},
    {"rules: [{says: a}]\n", "1:9+9 field-missing: a rule needs `rule`"},
    {"pack: p\nruels: []\nrules: []\n",
     "2:1+5 field-unknown: a pack of rules has no field \"ruels\" ~ rules"},
    {"rules:\n"
     "  - {rule: a, source: x, given: [piece: {piece: $p}], conclude: [joined: {piece: "
     "$p, other: $p}]}\n"
     "  - {rule: a, source: x, given: [piece: {piece: $p}], conclude: [joined: {piece: "
     "$p, other: $p}]}\n",
     "3:12+1 name-doubled: two rules have this name @ 2:12"},
    {"rule: piece\nsource: x\ngiven: [piece: {piece: $p, width: $w}]\n" CHECK,
     "1:7+5 name-doubled: a relation of the vocabulary has the name of this check"},

    /* conditions */
    {HEAD CHECKS("1 mm"), "1:7+1 rule-wrong: a rule needs `given`"},
    {HEAD "given: []\n" CHECKS("1 mm"), "1:7+1 rule-wrong: a rule needs `given`"},
    {HEAD "given: {piece: {piece: $p}}\n" CHECKS("1 mm"),
     "3:8+20 shape-wrong: given is a map here"},
    {HEAD "given: [piece]\n" CHECKS("1 mm"),
     "3:9+5 shape-wrong: a condition is a word here"},
    {HEAD "given: [piece: $p]\n" CHECKS("1 mm"),
     "3:9+9 shape-wrong: a condition is one relation with its columns"},
    {HEAD "given: [{piece: {piece: $p}, holds: {piece: $p}}]\n" CHECKS("1 mm"),
     "3:9+40 shape-wrong: a condition is one relation with its columns"},
    {HEAD "given: [peice: {piece: $p}]\n" CHECKS("1 mm"),
     "3:9+5 relation-unknown: there is no relation \"peice\" ~ piece"},
    {HEAD "given: [piece: {peice: $p, width: $w}]\n" CHECK,
     "3:17+5 column-unknown: piece has no column \"peice\" ~ piece"},
    {HEAD "given: [piece: {piece: {a: b}}]\n" CHECKS("1 mm"),
     "3:24+6 shape-wrong: a term is a map here"},
    {HEAD "given: [piece: {piece: $p, kind: shfat}]\n" CHECKS("1 mm"),
     "3:34+5 choice-unknown: \"shfat\" is no choice for kind ~ shaft"},
    {HEAD "given: [piece: {piece: $p, width: 3 mm}]\n" CHECKS("1 mm"),
     "3:35+4 shape-wrong: a quantity cannot be matched, only bound"},
    {HEAD "given: [piece: {piece: $p, teeth: many}]\n" CHECKS("1 mm"),
     "3:35+4 count-wrong: a whole number was expected"},
    {HEAD "given: [step: {piece: $p, step: first}]\n" CHECKS("1 mm"),
     "3:33+5 count-wrong: a whole number was expected"},
    {HEAD "unless: [holds: {piece: $p}, stop: {piece: $p}]\n"
          "given: [piece: {piece: $p, width: $w}]\n" CHECK,
     "3:30+4 relation-unknown: there is no relation \"stop\" ~ step"},

    /* variables */
    {HEAD "given: [piece: {piece: $, width: $w}]\n" CHECK,
     "3:24+1 rule-wrong: a variable cannot be called \"\""},
    {HEAD "given: [piece: {piece: $p q, width: $w}]\n" CHECK,
     "3:24+4 rule-wrong: a variable cannot be called \"p q\""},
    {HEAD "given: [piece: {piece: $p-1, width: $w}]\n" CHECK,
     "3:24+4 rule-wrong: a variable cannot be called \"p-1\""},
    {HEAD "given: [piece: {piece: \"$p\", width: $w}, holds: {unit: $u}]\n" CHECK, ""},
    {HEAD "given:\n  - piece: {piece: $p, width: $w}\n  - piece: {piece: $q, width: "
          "$w}\n" CHECK,
     "5:31+2 variable-value: $w is bound to a value and stands in two places"},
    {HEAD "given:\n  - piece: {piece: $p, maker: $m, width: $w}\n"
          "  - holds: {unit: $m, piece: $p}\n" CHECK,
     "5:19+2 variable-value: $m is bound to a value and stands in two places"},
    {HEAD "given:\n  - holds: {unit: $u, piece: $n}\n"
          "  - step: {piece: $p, step: $n, size: $w}\n" CHECK,
     "5:29+2 variable-value: a name and a count cannot be the same"},
    {GIVEN "let: {w: 3 mm}\n" CHECK,
     "4:7+1 variable-value: a variable of this name is bound already"},
    {GIVEN "let: {a: 3 mm, \"a b\": 4 mm}\n" CHECK,
     "4:16+5 rule-wrong: a variable cannot be called \"a b\""},
    {GIVEN "count: {p: {holds: {piece: $p}}}\n" CHECK,
     "4:9+1 variable-value: a variable of this name is bound already"},
    {GIVEN "count: {n: {holds: {piece: $p, unit: $u}}}\nwhere: $u = \"a\"\n" CHECK,
     "5:8+2 formula-name: no condition binds $u"},
    {GIVEN "unless: [holds: {piece: $p, unit: $u}]\nlet: {v: $u}\n" CHECK,
     "5:10+2 formula-name: no condition binds $u"},

    /* aggregates */
    {GIVEN "count: [a]\n" CHECK, "4:8+3 shape-wrong: `count` is a list here"},
    {GIVEN "count: {n: {hold: {piece: $p}}}\n" CHECK,
     "4:13+4 relation-unknown: there is no relation \"hold\" ~ holds"},
    {GIVEN "sum: [a]\n" CHECK, "4:6+3 shape-wrong: `sum` is a list here"},
    {GIVEN "sum: {n: {step: {piece: $p, size: $s}}}\n" CHECK,
     "4:10+29 rule-wrong: `sum` needs `of` and `value`\n"
     "4:11+4 field-unknown: `sum` has no field \"step\""},
    {GIVEN "least: {n: {of: {step: {piece: $p, size: $s}}, valeu: $s}}\n" CHECK,
     "4:12+46 rule-wrong: `least` needs `of` and `value`\n"
     "4:48+5 field-unknown: `least` has no field \"valeu\" ~ value"},
    {GIVEN "greatest: {n: {of: {step: {piece: $p, size: $s}}, value: $w}}\n" CHECK,
     "4:58+2 variable-loose: this is no variable of the rows in `of`"},
    {GIVEN "sum: {n: {of: {step: {piece: $p, size: $s}}, value: $s + 1 mm}}\n" CHECK,
     "4:53+9 variable-loose: this is no variable of the rows in `of`"},
    {GIVEN "sum: {n: {of: {piece: {piece: $p, maker: $m}}, value: $m}}\n" CHECK,
     "4:55+2 formula-type: there is no sum of words"},
    {GIVEN "least: {n: {of: {holds: {piece: $q, unit: $u}}, value: $u}}\n" CHECK,
     "4:56+2 formula-type: there is no least of words"},
    {GIVEN "sum: {w: {of: {step: {piece: $p, size: $s}}, value: $s}}\n" CHECK,
     "4:7+1 variable-value: a variable of this name is bound already"},
    {GIVEN
     "sum: {n: {of: {step: {piece: $p, size: $s}}, value: $s}}\nwhere: $n < 3\n" CHECK,
     "5:8+6 formula-type: a length and a plain number do not go together"},
    {GIVEN
     "sum: {n: {of: {step: {piece: $p, size: $s}}, value: $s}}\nwhere: $s < 3 mm\n" CHECK,
     "5:8+2 formula-name: no condition binds $s"},
    {GIVEN "sum: {n: {of: {steep: {piece: $p, size: $s}}, value: $s}}\nwhere: $n < 3 "
           "mm\n" CHECK,
     "4:16+5 relation-unknown: there is no relation \"steep\" ~ step"},
    {GIVEN
     "sum: {n: {of: {step: {piece: $p, step: $s}}, value: $s}}\nwhere: $n = 3\n" CHECK,
     ""},
    {GIVEN "every: [a]\n" CHECK, "4:9+1 shape-wrong: `every` is a word here"},
    {GIVEN "every: [{of: {holds: {piece: $p}}}]\n" CHECK,
     "4:9+26 rule-wrong: `every` needs `of` and `is`"},
    {GIVEN "every: [{of: {step: {piece: $p, size: $s}}, is: $s + 1 mm}]\n" CHECK,
     "4:49+9 formula-type: this is not yes or no"},
    {GIVEN "every: [{of: {step: {piece: $p, size: $s}}, iz: $s > 1 mm}]\n" CHECK,
     "4:9+50 rule-wrong: `every` needs `of` and `is`\n"
     "4:45+2 field-unknown: `every` has no field \"iz\" ~ is"},

    /* formulas: the column is that inside the YAML scalar */
    {GIVEN "where: $w < 3\n" CHECK,
     "4:8+6 formula-type: a length and a plain number do not go together"},
    {GIVEN "where: [$w > 3 mm, $w + $f > 3 mm]\n" CHECK,
     "4:20+7 formula-type: a length and a force do not go together"},
    {GIVEN "where: '$w + $f > 3 mm'\n" CHECK,
     "4:9+7 formula-type: a length and a force do not go together"},
    {GIVEN "where: \"$k = \\\"a\\\" and $w < 3 bar\"\n" CHECK,
     "4:24+10 formula-type: a length and a pressure do not go together"},
    {GIVEN "where: '$w > 3 mm and\n  $w < 3 bar'\n" CHECK,
     "5:3+10 formula-type: a length and a pressure do not go together"},
    {GIVEN "where: $w > 3 mm and\n  $w < 3 bar\n" CHECK,
     "5:3+10 formula-type: a length and a pressure do not go together"},
    {GIVEN "where: |\n  $w > 3 mm and\n  $w < 3 bar\n" CHECK,
     "6:3+10 formula-type: a length and a pressure do not go together"},
    {GIVEN "where: >-\n  $w > 3 mm and\n  $w < 3 mmm\n" CHECK,
     "6:10+3 unit-unknown: nobody knows this unit ~ mm"},
    {GIVEN "where:\n  - |\n    $w >\n    sqr($t) * 1 mm\n" CHECK,
     "7:5+3 formula-name: there is no function \"sqr\" ~ sqrt"},
    {GIVEN "where: $w > 3,5 mm\n" CHECK,
     "4:13+3 decimal-comma: a decimal comma stands where a decimal point is due"},
    {GIVEN "where: [$w > 3,5 mm]\n" CHECK, "4:9+11 decimal-comma: a decimal comma splits "
                                           "the number here, or a blank is missing "
                                           "after the comma"},
    {GIVEN "where: $w = 3 mm\n" CHECK,
     "4:8+9 equals-toleranced: quantities with a tolerance are never surely equal"},
    {GIVEN "where: $w > 40 k6\n" CHECK,
     "4:13+5 class-unknown: no table of limits was loaded"},
    {GIVEN "where: $w > 5..4 mm\n" CHECK,
     "4:13+7 limits-crossed: the least value lies above the greatest"},
    {GIVEN "where: $w >\n" CHECK, "4:12+1 formula-syntax: the formula ends too early"},
    {GIVEN "where: \"\"\n" CHECK, "4:9+1 formula-syntax: the formula ends too early"},
    {GIVEN "where: ($w > 3 mm\n" CHECK,
     "4:18+1 formula-syntax: this bracket is not closed"},
    {GIVEN "where: {a: b}\n" CHECK, "4:8+6 shape-wrong: `where` is a map here"},
    {GIVEN "where: [[$w]]\n" CHECK, "4:9+4 shape-wrong: a condition is a list here"},
    {GIVEN "where: $w\n" CHECK, "4:8+2 formula-type: this is not yes or no"},
    {GIVEN "where: $wide > 3 mm\n" CHECK, "4:8+5 formula-name: no condition binds $wide"},
    {GIVEN "where: w > 3 mm\n" CHECK,
     "4:8+1 formula-name: there is no function \"w\" ~ $w"},
    {GIVEN "let: {a: $b + 1 mm, b: $w}\n" CHECK,
     "4:10+2 formula-name: no condition binds $b ~ f"},
    {GIVEN "let: [a]\n" CHECK, "4:6+3 shape-wrong: `let` is a list here"},
    {GIVEN "let: {a: [b]}\n" CHECK, "4:10+3 shape-wrong: a formula is a list here"},

    /* what follows from a fault is not said again, what does not is */
    {HEAD "given: [peice: {piece: $p, width: $w}]\nwhere: [$w > 3 mm, $v > 3 mm]\n"
          "conclude: [joined: {piece: $p, other: $q}]\n" CHECK,
     "3:9+5 relation-unknown: there is no relation \"peice\" ~ piece\n"
     "4:20+2 formula-name: no condition binds $v ~ p\n"
     "5:39+2 variable-loose: no condition binds $q ~ p"},
    {HEAD "given: [peice: {piece: $p, width: $w}, holds: {unit: $u, piece: $p}]\n"
          "conclude: [joined: {piece: $u, other: $w}]\n" CHECK,
     "3:9+5 relation-unknown: there is no relation \"peice\" ~ piece"},
    {GIVEN "let: {a: sqr($w), b: $a + 1 mm}\nwhere: $a + $b > 3 mmm\n" CHECK,
     "4:10+3 formula-name: there is no function \"sqr\" ~ sqrt\n"
     "5:20+3 unit-unknown: nobody knows this unit ~ mm"},
    {HEAD "given: [piece: {piece: $p, wide: $w}]\ncheck: {margin: $w, weight: stops}\n"
          "because: \"{w - q} and {sqr(w)}\"\n",
     "3:28+4 column-unknown: piece has no column \"wide\" ~ width\n"
     "5:16+1 formula-name: there is no variable or function \"q\" ~ p\n"
     "5:24+3 formula-name: there is no variable or function \"sqr\" ~ sqrt"},

    /* conclusions */
    {GIVEN "conclude: [joined: {piece: $p, other: $q}]\n",
     "4:39+2 variable-loose: no condition binds $q ~ f"},
    {GIVEN "conclude: [joined: {piece: $p}]\n",
     "4:12+6 rule-wrong: the conclusion leaves out the column other"},
    {GIVEN "conclude: [joined: {piece: $p, other: $k}]\n",
     "4:39+2 number-in-loop: $k is a value, and the key column other takes only a name "
     "that a row has in a key column @ 3:67"},
    {HEAD "given: [step: {piece: $p, step: $n, size: $w}]\nlet: {m: $n + 1}\n"
          "conclude: [rank: {piece: $p, rank: $m, size: $w}]\n",
     "5:36+2 number-in-loop: $m is computed, and the key column rank takes only a count "
     "that a row has in a key column @ 4:7"},
    {HEAD "given: [step: {piece: $p, step: $n, size: $w}]\n"
          "conclude: [joined: {piece: $p, other: $n}]\n",
     "4:39+2 number-in-loop: $n is a count, and the key column other takes only a name "
     "that a row has in a key column @ 3:33"},
    {HEAD "given: [step: {piece: $p, step: $n, size: $w}]\n"
          "conclude: [rank: {piece: $p, rank: $p, size: $w}]\n",
     "4:36+2 number-in-loop: $p is a name, and the key column rank takes only a count "
     "that a row has in a key column @ 3:23"},
    {GIVEN "unless: [holds: {piece: $p, unit: $u}]\n"
           "conclude: [joined: {piece: $p, other: $u}]\n",
     "5:39+2 variable-loose: no condition binds $u @ 4:35"},
    {GIVEN "conclude: [rank: {piece: $p, rank: $t, size: $w}]\n",
     "4:36+2 number-in-loop: $t is a value, and the key column rank takes only a count "
     "that a row has in a key column @ 3:57"},
    {GIVEN "conclude: [rank: {piece: $p, rank: 1, size: $f}]\n",
     "4:45+2 formula-type: $f is of another kind than this column"},
    {GIVEN "conclude: [rank: {piece: $p, rank: 1, size: $k}]\n",
     "4:45+2 formula-type: $k is of another kind than this column"},
    {GIVEN "conclude: [rank: {piece: $p, rank: one, size: $w}]\n",
     "4:36+3 count-wrong: a whole number was expected"},
    {GIVEN "conclude: [rank: {piece: $p, rank: 1, size: 3 mm}]\n",
     "4:45+4 shape-wrong: a quantity cannot be matched, only bound"},
    {GIVEN "conclude: [holds: {unit: $p, piece: $p}]\n",
     "4:12+5 filled-twice: holds is filled by facts @ 3:3"},
    {GIVEN "conclude: [laid: {unit: $p, piece: $p}]\n",
     "4:12+4 filled-twice: laid is filled by computing @ 6:3"},
    {SOUND "conclude: [r: {p: $p, margin: $w, outcome: holds}]\n",
     "6:12+1 filled-twice: r is filled by its own check @ 1:7"},
    {GIVEN "conclude: joined\n",
     "1:7+1 rule-wrong: a rule concludes something or checks "
     "something\n4:11+6 shape-wrong: conclude is a word here"},

    /* checks */
    {GIVEN "check: $w\nbecause: x\n", "4:8+2 shape-wrong: `check` is a word here"},
    {GIVEN "check: {margin: $w}\nbecause: x\n",
     "4:8+12 field-missing: a check needs `weight`"},
    {GIVEN "check: {margin: $w, weight: stop}\nbecause: x\n",
     "4:29+4 choice-unknown: a check has one of two weights ~ stops"},
    {GIVEN "check: {weight: stops}\nbecause: x\n",
     "4:8+15 rule-wrong: a check needs a margin, and its rule a `because`"},
    {GIVEN "check: {margin: $w, weight: stops}\n",
     "4:8+27 rule-wrong: a check needs a margin, and its rule a `because`"},
    {GIVEN "check: {margin: $w, wieght: stops}\nbecause: x\n",
     "4:8+27 field-missing: a check needs `weight`\n"
     "4:21+6 field-unknown: a check has no field \"wieght\" ~ weight"},
    {GIVEN CHECKS("$w > 3 mm"), "4:17+9 formula-type: a margin is a quantity"},
    {GIVEN CHECKS("$k"), "4:17+2 formula-type: a margin is a quantity"},
    {HEAD "given: [grade: {most: $m}]\n" CHECKS("$m"),
     "1:7+1 rule-wrong: a check needs between 1 and 8 variables in key columns"},
    {HEAD "given: [piece: {piece: shaft-1, width: $w}]\n" CHECK,
     "1:7+1 rule-wrong: a check needs between 1 and 8 variables in key columns"},
    {HEAD "given: [piece: {piece: $margin, width: $w}]\n" CHECK,
     "1:7+1 name-doubled: $margin is called like what a check finds"},

    /* sentences */
    {GIVEN "check: {margin: $w, weight: stops}\nbecause: \"{wide} of {p}\"\n",
     "5:12+4 formula-name: there is no variable or function \"wide\""},
    {GIVEN "check: {margin: $w, weight: stops}\nbecause: \"{p}: {w - f} is bare\"\n",
     "5:17+5 formula-type: a length and a force do not go together"},
    {GIVEN "check: {margin: $w, weight: stops}\nbecause: \"{p}: {$w - $f} is bare\"\n",
     "5:17+7 formula-type: a length and a force do not go together"},
    {GIVEN "check: {margin: $w, weight: stops}\nbecause: >-\n  {p} is\n  {teth} long\n",
     "7:4+4 formula-name: there is no variable or function \"teth\""},
    {GIVEN "check: {margin: $w, weight: stops}\nbecause: 'it''s {sqr(t)}'\n",
     "5:18+3 formula-name: there is no variable or function \"sqr\" ~ sqrt"},
    {GIVEN "check: {margin: $w, weight: stops}\nbecause: \"{p is {w\"\n",
     "5:12+7 rule-wrong: this blank is not closed"},
    {GIVEN "check: {margin: $w, weight: stops}\nbecause: \"{} is\"\n",
     "5:12+1 formula-syntax: the formula ends too early"},
    {GIVEN "check: {margin: $w, weight: stops}\nbecause: \"{{p}} is {w}\"\n", ""},
    {GIVEN "check: {margin: $w, weight: stops}\nbecause: [x]\n",
     "5:10+3 shape-wrong: a sentence is a list here"},

    /* mends */
    {SOUND "mend: adjust\n", "6:7+6 shape-wrong: mend is a word here"},
    {SOUND "mend: [adjust]\n", "6:8+6 shape-wrong: a mend is a word here"},
    {SOUND "mend: [{where: $w > 1 mm}]\n",
     "6:8+18 rule-wrong: a mend says one thing to do"},
    {SOUND "mend: [{adjust: a, buy: b}]\n",
     "6:8+19 rule-wrong: a mend says one thing to do"},
    {SOUND "mend: [{adjust: \"{sp}\", where: $w}]\n",
     "6:19+2 formula-name: there is no variable or function \"sp\" ~ p\n"
     "6:32+2 formula-type: this is not yes or no"},
    {SOUND "mend: [{replace: a}]\n",
     "6:8+12 rule-wrong: a mend says one thing to do\n"
     "6:9+7 field-unknown: a mend has no field \"replace\""},

    /* what can only be said of a whole rule */
    {HEAD "given:\n  - holds: {unit: $u, piece: $p}\n  - holds: {unit: $v, piece: $p}\n"
          "  - piece: {piece: $p, width: $w}\n" CHECK,
     "5:5+5 rule-not-local: no condition leads from $u, about which this rule concludes, "
     "to $v, whose holds it reads"},
    {HEAD "given:\n  - holds: {unit: $u, piece: $p}\n  - holds: {unit: $v, piece: $p}\n"
          "  - piece: {piece: $p, width: $w}\nover: catalogue\n" CHECK,
     ""},
    {GIVEN "unless: [holds: {unit: $u, piece: $p}]\n" CHECK,
     "4:10+5 rule-not-local: no condition leads from $p, about which this rule "
     "concludes, to $u, whose holds it reads"},
    {HEAD "given: [piece: {piece: $p, width: $w}, holds: {piece: $p}]\n" CHECK,
     "3:40+5 rule-not-local: this reads holds of any owner, and not what $p leads to"}};

Test(rule_faults, every_fault_has_its_place)
{
    size_t rows = 0;
    for (; rows < sizeof faults / sizeof *faults; rows++) {
        struct room room = room_open();
        const bool is_read = read_rules(&room, text_of(faults[rows][0])) != NULL;
        const char *said = room_faults(&room);
        cr_expect(strcmp(said, faults[rows][1]) == 0, "row %zu: %s\nsaid   %s\nwanted %s",
                  rows, faults[rows][0], said, faults[rows][1]);
        cr_expect_eq(is_read, faults[rows][1][0] == '\0', "row %zu: %s", rows,
                     faults[rows][0]);
        room_close(&room);
    }
    cr_expect_gt(rows, 110);
}

/* ---- loops */

#define RULE(name, given, more)                                                          \
    "  - {rule: " name ", source: x, given: [" given "], " more "}\n"
#define JOINED       "conclude: [joined: {piece: $p, other: $q}]"
#define APART        "conclude: [apart: {piece: $p, other: $q}]"
#define OF(relation) relation ": {piece: $p, other: $q}"
#define FINDS        "check: {margin: 1, weight: stops}, because: x"

static const char *const loops[][2] = {
    {"rules:\n" RULE("a", OF("joined"), JOINED) RULE("b", OF("joined"), APART)
         RULE("c", OF("apart"), JOINED),
     ""},
    {"rules:\n" RULE("a", OF("joined"), "unless: [" OF("apart") "], " JOINED), ""},
    {"rules:\n" RULE("a", OF("joined"), "unless: [" OF("apart") "], " JOINED)
         RULE("b", OF("joined"), APART),
     "2:76+5 rule-loop: this hangs on its own answer: a denies apart to conclude joined; "
     "b concludes apart from joined @ 3:12"},
    {"rules:\n" RULE("a", "piece: {piece: $p}",
                     "count: {n: {apart: {piece: $p}}}, where: $n = 0, conclude: [apart: "
                     "{piece: $p, other: $p}]"),
     "2:67+5 rule-loop: this hangs on its own answer: a counts apart to conclude apart"},
    {"rules:\n" RULE("a", OF("joined"),
                     "every: [{of: {apart: {piece: $p, other: $r}}, is: "
                     "1 = 1}], " APART),
     "2:81+5 rule-loop: this hangs on its own answer: a asks every row of apart to "
     "conclude apart"},
    /* every rule on the way, by the fewest steps; what one rule concludes together */
    {"rules:\n" RULE("a", "piece: {piece: $p}",
                     "sum: {n: {of: {rank: {piece: $p, rank: $k}}, value: $k}}, where: "
                     "$n = 0, conclude: [joined: {piece: $p, other: $p}]")
         RULE("b", OF("joined"), APART) RULE("c", OF("apart"), JOINED)
             RULE("d", OF("apart"),
                  "let: {s: 1 mm}, conclude: [rank: {piece: $p, rank: "
                  "1, size: $s}]"),
     "2:70+4 rule-loop: this hangs on its own answer: a sums up rank to conclude joined; "
     "b "
     "concludes apart from joined; d concludes rank from apart @ 3:12 @ 5:12"},
    {"rules:\n" RULE("a", OF("joined"),
                     "unless: [" OF("apart") "], let: {s: 1 mm}, "
                                             "conclude: [rank: {piece: $p, rank: 1, "
                                             "size: $s}, apart: {piece: $p, "
                                             "other: $q}]"),
     "2:76+5 rule-loop: this hangs on its own answer: a denies apart to conclude apart\n"
     "2:76+5 rule-loop: this hangs on its own answer: a denies apart to conclude rank; a "
     "concludes apart together with rank"},
    /* checks that wait for each other's findings, and one that only waits for those */
    {"rules:\n" RULE("a", "b: {p: $p}", FINDS) RULE("b", "a: {p: $p}", FINDS)
         RULE("c", "a: {p: $p}", FINDS),
     "2:12+1 rule-loop: this check waits for its own findings: a → b → a\n"
     "3:12+1 rule-loop: this check waits for its own findings: b → a → b"},
    {"rules:\n" RULE("a", "piece: {piece: $p}", "unless: [a: {p: $p}], " FINDS),
     "2:12+1 rule-loop: this check waits for its own findings: a → a"},
    {"rules:\n" RULE("a", "piece: {piece: $p}",
                     "count: {n: {b: {p: $p}}}, check: {margin: $n, weight: stops}, "
                     "because: x")
         RULE("b", "piece: {piece: $p}",
              "every: [{of: {a: {p: $p, margin: $m}}, is: $m > 0}], check: {margin: 1, "
              "weight: stops}, because: x"),
     "2:12+1 rule-loop: this check waits for its own findings: a → b → a\n"
     "3:12+1 rule-loop: this check waits for its own findings: b → a → b"},
    /* a fault in a check is said once, not again by whoever reads its findings */
    {"rules:\n" RULE("a", "piece: {peice: $p}", FINDS) RULE("b", "a: {p: $p}", FINDS)
         RULE("c", "piece: {piece: $p}",
              "unless: [a: {p: $p}], conclude: [joined: {piece: $p, other: $p}]"),
     "2:42+5 column-unknown: piece has no column \"peice\" ~ piece"},
    {"rules:\n" RULE("a", "piece: {piece: $p}", FINDS)
         RULE("b", "piece: {piece: $p}", "conclude: [a: {p: $p}]"),
     "3:66+1 filled-twice: a is filled by its own check @ 2:12"},
    {"rules:\n" RULE("a", "piece: {piece: $p}", "conclude: [b: {p: $p}]")
         RULE("b", "piece: {piece: $p}", FINDS),
     "2:66+1 filled-twice: b is filled by its own check @ 3:12"}};

Test(rule_faults, loops_are_spelled_out)
{
    for (size_t i = 0; i < sizeof loops / sizeof *loops; i++) {
        struct room room = room_open();
        const bool is_read = read_rules(&room, text_of(loops[i][0])) != NULL;
        const char *said = room_faults(&room);
        cr_expect(strcmp(said, loops[i][1]) == 0, "row %zu: %s\nsaid   %s\nwanted %s", i,
                  loops[i][0], said, loops[i][1]);
        cr_expect_eq(is_read, loops[i][1][0] == '\0', "row %zu", i);
        room_close(&room);
    }
}

/* ---- bounds */

/* A head, `count` pieces each with its number in it, and a tail. */
static text many(struct room *room, const char *head, const char *const piece[2],
                 unsigned count, const char *tail)
{
    text all = text_of(head);
    for (unsigned i = 0; i < count; i++) {
        all = text_format(room->arena, "%.*s%s%s%u%s", TEXT_ARG(all), i == 0 ? "" : ", ",
                          piece[0], i, piece[1]);
    }
    return text_format(room->arena, "%.*s%s", TEXT_ARG(all), tail);
}

Test(rule_faults, bounds_have_a_place)
{
    static const struct {
        const char *head;
        const char *piece[2];
        unsigned at_most;
        const char *tail;
        const char *fault; /* of one more */
    } rows[] = {
        {HEAD "given: [",
         {"piece: {piece: $p, width: $w", "}"},
         LIMIT_CONDITIONS,
         "]\n" CHECKS("1"),
         "3:8+815 rule-wrong: this list is too long"},
        {HEAD "given: [",
         {"holds: {unit: $u, piece: $p", "}"},
         LIMIT_KEY_COLUMNS - 1,
         "]\n" CHECKS("1"),
         "1:7+1 rule-wrong: a check needs between 1 and 8 variables in key columns"},
        {HEAD "given: [piece: {piece: $p}]\nlet: {",
         {"x", ": 1"},
         LIMIT_VARIABLES - 1,
         "}\n" CHECKS("1"),
         "1:7+1 rule-wrong: this rule has too many variables"}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        for (unsigned more = 0; more < 2; more++) {
            struct room room = room_open();
            const bool is_read =
                read_rules(&room, many(&room, rows[i].head, rows[i].piece,
                                       rows[i].at_most + more, rows[i].tail)) != NULL;
            const char *said = room_faults(&room);
            cr_expect_eq(is_read, more == 0, "row %zu", i);
            cr_expect_str_eq(said, more == 0 ? "" : rows[i].fault, "row %zu: %s", i,
                             said);
            room_close(&room);
        }
    }
}

/* ---- what else is promised */

/* Rules are numbered by name, whatever order they stand in. */
Test(rule_faults, the_order_of_rules_does_not_show)
{
    static const char *const written[2] = {
        "rules:\n" RULE("a", "piece: {piece: $p}", FINDS) RULE("b", "a: {p: $p}", FINDS),
        "rules:\n" RULE("b", "a: {p: $p}", FINDS) RULE("a", "piece: {piece: $p}", FINDS)};
    for (int i = 0; i < 2; i++) {
        struct room room = room_open();
        const struct rule_base *base = read_rules(&room, text_of(written[i]));
        cr_assert_not_null(base, "%s", room_faults(&room));
        cr_assert_eq(base->rule_count, 2);
        cr_expect_lt(base->rules[0].group, base->rules[1].group);
        cr_expect_lt(base->rules[0].finding, base->rules[1].finding);
        room_close(&room);
    }
}
