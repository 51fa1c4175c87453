/* SPDX-License-Identifier: MIT */
/* Every way of spoiling cuts one stretch out and puts another one in its place. */
#include "mutator.h"

/* A stretch of a text. */
struct cut {
    size_t from;
    size_t end;
};

struct mutator {
    struct arena *arena;
    struct dice *dice;
    const text *others;
    size_t other_count;
};

/* Bytes that mean something to YAML, to UTF-8 or to the notation. */
static const char *const odd_bytes[] = {
    ":",    "#",    "'",        "\"",       "{",        "}",    "[",    "]", ",",
    "&",    "*",    "!",        "|",        ">",        "%",    "@",    "`", "\t",
    "\r",   "\n",   "\\",       "-",        "?",        "$",    "=",    ".", "\x01",
    "\x7F", "\x80", "\xC2\x85", "\xE2\x88", "\xFF\xFE", "é",    "±",    "~", "<<",
    "\n\n", " ",    "---\n",    "\n...\n",  ": ",       "0,5 ", "1e99", "/"};

/* Values that stand where others should. */
static const char *const odd_values[] = {
    "0 mm",      "-1 mm",    "1e300 mm", "1e-300 mm",  "3 mm",       "5..4 mm",
    "\"\"",      "''",       "[]",       "{}",         "[[]]",       "none",
    "true",      "yes",      "~",        "null",       "0x10",       "010",
    "1_000",     ".inf",     "$x",       "\"$x\"",     "{a: b}",     "[a, b]",
    "40 k6",     "measured", "1 bar",    "at least 3", "2147483648", "-7",
    "&a b",      "*a",       "!!str a",  "|\n  a b",   ">-\n a\n b", "in",
    "0.5 ±9 mm", "to",       "from",     "first of",   "partial",    "18,5 mm"};

#define PICK(dice, list) (list)[dice_below((dice), sizeof(list) / sizeof *(list))]

static text splice(struct mutator *mutator, text all, struct cut cut, text put)
{
    const text parts[] = {text_slice(all, 0, cut.from), put,
                          text_slice(all, cut.end, all.length)};
    return text_join(mutator->arena, parts, 3);
}

static text foreign(struct mutator *mutator)
{
    return mutator->others[dice_below(mutator->dice, mutator->other_count)];
}

/* ---- stretches found from a random place on */

static struct cut line_at(const struct mutator *mutator, text all)
{
    struct cut line = {dice_below(mutator->dice, all.length), 0};
    while (line.from > 0 && all.at[line.from - 1] != '\n') {
        line.from--;
    }
    line.end = text_find(all, '\n', line.from);
    line.end += line.end < all.length ? 1 : 0;
    return line;
}

static bool is_word_byte(char c)
{
    return is_letter(c) || is_digit(c) || c == '-' || c == '_';
}

static struct cut word_from(text all, size_t at)
{
    while (at < all.length && !is_word_byte(all.at[at])) {
        at++;
    }
    struct cut word = {at, at};
    while (word.from > 0 && is_word_byte(all.at[word.from - 1])) {
        word.from--;
    }
    while (word.end < all.length && is_word_byte(all.at[word.end])) {
        word.end++;
    }
    return word;
}

static struct cut word_at(const struct mutator *mutator, text all)
{
    return word_from(all, dice_below(mutator->dice, all.length));
}

/* The colon of a key, from a random place on. */
static size_t colon_at(const struct mutator *mutator, text all)
{
    size_t at = text_find(all, ':', dice_below(mutator->dice, all.length));
    while (at + 1 < all.length && !is_blank(all.at[at + 1]) && all.at[at + 1] != '\n') {
        at = text_find(all, ':', at + 1);
    }
    return at;
}

static struct cut key_at(const struct mutator *mutator, text all)
{
    const size_t colon = colon_at(mutator, all);
    return colon == 0 ? (struct cut){0, 0} : word_from(all, colon - 1);
}

static struct cut value_at(const struct mutator *mutator, text all)
{
    struct cut value = {colon_at(mutator, all) + 1, 0};
    while (value.from < all.length && is_blank(all.at[value.from])) {
        value.from++;
    }
    value.from = value.from < all.length ? value.from : all.length;
    value.end = value.from;
    while (value.end < all.length && all.at[value.end] != '\n' &&
           all.at[value.end] != ',' && all.at[value.end] != '}') {
        value.end++;
    }
    return value;
}

static text piece(text all, struct cut cut)
{
    return text_slice(all, cut.from, cut.end);
}

/* ---- ways of spoiling */

typedef text spoil(struct mutator *mutator, text all);

static text put_byte(struct mutator *mutator, text all)
{
    const size_t at = dice_below(mutator->dice, all.length);
    return splice(mutator, all, (struct cut){at, at + dice_below(mutator->dice, 2)},
                  text_of(PICK(mutator->dice, odd_bytes)));
}

static text drop_byte(struct mutator *mutator, text all)
{
    const size_t at = dice_below(mutator->dice, all.length);
    return splice(mutator, all, (struct cut){at, at + 1}, TEXT(""));
}

static text drop_line(struct mutator *mutator, text all)
{
    return splice(mutator, all, line_at(mutator, all), TEXT(""));
}

static text double_line(struct mutator *mutator, text all)
{
    const struct cut line = line_at(mutator, all);
    return splice(mutator, all, (struct cut){line.end, line.end}, piece(all, line));
}

static text move_line(struct mutator *mutator, text all)
{
    const struct cut line = line_at(mutator, all);
    const text without = splice(mutator, all, line, TEXT(""));
    const struct cut other = line_at(mutator, without);
    return splice(mutator, without, (struct cut){other.from, other.from},
                  piece(all, line));
}

static text foreign_line(struct mutator *mutator, text all)
{
    const text other = foreign(mutator);
    return splice(mutator, all, line_at(mutator, all),
                  piece(other, line_at(mutator, other)));
}

static text indent(struct mutator *mutator, text all)
{
    const struct cut line = line_at(mutator, all);
    const size_t blanks = dice_below(mutator->dice, 3);
    return dice_below(mutator->dice, 2) == 0
               ? splice(mutator, all, (struct cut){line.from, line.from},
                        text_slice(TEXT("    "), 0, blanks + 1))
               : splice(mutator, all, (struct cut){line.from, line.from + blanks},
                        TEXT(""));
}

static text foreign_key(struct mutator *mutator, text all)
{
    const text other = foreign(mutator);
    return splice(mutator, all, key_at(mutator, all),
                  piece(other, key_at(mutator, other)));
}

static text foreign_value(struct mutator *mutator, text all)
{
    const text other = foreign(mutator);
    return splice(mutator, all, value_at(mutator, all),
                  piece(other, value_at(mutator, other)));
}

static text odd_value(struct mutator *mutator, text all)
{
    return splice(mutator, all, value_at(mutator, all),
                  text_of(PICK(mutator->dice, odd_values)));
}

static text foreign_word(struct mutator *mutator, text all)
{
    const text other = foreign(mutator);
    return splice(mutator, all, word_at(mutator, all),
                  piece(other, word_at(mutator, other)));
}

/* A slip of the finger: two neighbours change places. */
static text slip(struct mutator *mutator, text all)
{
    const struct cut word = word_at(mutator, all);
    const size_t at = word.from + dice_below(mutator->dice, word.end - word.from);
    if (at + 1 >= word.end) {
        return all;
    }
    const char swapped[] = {all.at[at + 1], all.at[at]};
    return splice(mutator, all, (struct cut){at, at + 2}, (text){swapped, 2});
}

static text cut_short(struct mutator *mutator, text all)
{
    return text_slice(all, 0, dice_below(mutator->dice, all.length));
}

text mutate(struct arena *arena, struct dice *dice, text original, const text *others,
            size_t other_count)
{
    /* What still reads as YAML goes deepest, so it comes more often. */
    static spoil *const ways[] = {
        put_byte,     drop_byte,     drop_line,     double_line, move_line,
        foreign_line, indent,        foreign_key,   foreign_key, foreign_word,
        foreign_word, foreign_value, foreign_value, odd_value,   odd_value,
        slip,         slip,          cut_short};
    struct mutator mutator = {arena, dice, others, other_count};
    text all = original;
    for (size_t rounds = 1 + dice_below(dice, 2); rounds > 0 && all.length > 0;
         rounds--) {
        all = PICK(dice, ways)(&mutator, all);
    }
    return all;
}
