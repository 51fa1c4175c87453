/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_TEST_INFERENCE_VOCABULARY_H
#define WHYFIT_TEST_INFERENCE_VOCABULARY_H

/* Invented relations of every shape: keys of one to three columns with names and counts,
 * values of every kind, tables, and lists that may be marked partial. MEASURED says what
 * the lengths are that facts mostly state with a tolerance. */
#define INFERENCE_VOCABULARY(MEASURED)                                                   \
    "relations:\n"                                                                       \
    "  link: {says: Leads to., filled-by: facts, listed-as: links, listed-in: part,\n"   \
    "    key: {item: name, to: name}, values: {width: " MEASURED ",\n"                   \
    "    gauge: {quantity: length, exact: true}, grade: {choice: [low, mid, high]},\n"   \
    "    holes: {count: true}, note: {word: true, optional: true}}}\n"                   \
    "  twin: {says: Is like., filled-by: facts, listed-as: twins, listed-in: part,\n"    \
    "    key: {item: name, to: name}, values: {}}\n"                                     \
    "  chart: {says: A table., owner: none, filled-by: facts, listed-as: charts,\n"      \
    "    listed-in: part, key: {item: name, to: name}, values: {rank: {count: true}}}\n" \
    "  partial: {says: Not all., filled-by: facts, key: {item: name, list: name},\n"     \
    "    values: {}}\n"                                                                  \
    "  near: {says: '-', filled-by: rules, key: {item: name}, values: {}}\n"             \
    "  far: {says: '-', filled-by: rules, key: {item: name}, values: {}}\n"              \
    "  pair: {says: '-', filled-by: rules, key: {item: name, to: name}, values: {}}\n"   \
    "  chain: {says: '-', filled-by: rules, key: {item: name, to: name}, values: {}}\n"  \
    "  tie: {says: '-', filled-by: rules, key: {item: name, to: name}, values: {}}\n"    \
    "  step: {says: '-', filled-by: rules, values: {},\n"                                \
    "    key: {item: name, to: name, level: number}}\n"                                  \
    "  rung: {says: '-', filled-by: rules, values: {},\n"                                \
    "    key: {item: name, level: number}}\n"                                            \
    "  span: {says: '-', filled-by: rules, key: {item: name},\n"                         \
    "    values: {length: {quantity: length}}}\n"                                        \
    "  dist: {says: '-', filled-by: rules, key: {item: name, to: name},\n"               \
    "    values: {length: {quantity: length}, mark: {word: true}}}\n"                    \
    "  total: {says: '-', filled-by: rules, key: {item: name},\n"                        \
    "    values: {n: {count: true}}}\n"                                                  \
    "  roll: {says: '-', filled-by: rules, key: {item: name, level: number},\n"          \
    "    values: {n: {count: true}, length: {quantity: length}}}\n"                      \
    "  known: {says: '-', owner: none, filled-by: rules, key: {to: name}, values: {}}\n" \
    "kinds:\n"                                                                           \
    "  block: {says: A block., fields: {size: " MEASURED ",\n"                           \
    "    tone: {choice: [red, blue]}, bolts: {count: true}}}\n"                          \
    "  peg: {is: block, says: A peg., fields: {reach: " MEASURED "}}\n"

static const char *const inference_vocabulary =
    INFERENCE_VOCABULARY("{quantity: length}");

#endif
