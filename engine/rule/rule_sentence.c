/* SPDX-License-Identifier: MIT */
/*
 * Sentences with blanks. A blank is a formula in which variables may stand without their
 * $, because a sentence should read like one: "bare by {-spare}".
 */
#include "rule_reader.h"

static bool is_word_byte(char c)
{
    return is_letter(c) || is_digit(c) || c == '_' || c == '-';
}

/* Puts $ before each bare word that is a variable. */
static text with_dollars(struct rule_reader *reader, text blank)
{
    text done = {"", 0};
    size_t at = 0;
    while (at < blank.length) {
        const bool starts_word =
            is_letter(blank.at[at]) && (at == 0 || blank.at[at - 1] != '$');
        size_t end = at + 1;
        while (is_letter(blank.at[at]) && end < blank.length &&
               is_word_byte(blank.at[end])) {
            end++;
        }
        if (blank.at[at] == '"') {
            end = text_find(blank, '"', at + 1) + 1;
        }
        const text word = text_slice(blank, at, end);
        const bool is_variable = starts_word &&
                                 rule_variable_find(reader, word) != UINT32_MAX &&
                                 !(end < blank.length && blank.at[end] == '(');
        done = text_format(reader->arena, "%.*s%s%.*s", TEXT_ARG(done),
                           is_variable ? "$" : "", TEXT_ARG(word));
        at = end;
    }
    return done;
}

static text without_double_braces(struct arena *arena, text literal)
{
    text done = {"", 0};
    for (size_t at = 0; at < literal.length; at++) {
        done = text_format(arena, "%.*s%c", TEXT_ARG(done), literal.at[at]);
        const bool is_brace = literal.at[at] == '{' || literal.at[at] == '}';
        at += is_brace && at + 1 < literal.length && literal.at[at + 1] == literal.at[at];
    }
    return done;
}

/* Where the next single `{` stands; the end when there is none. */
static size_t next_blank(text all, size_t from)
{
    size_t at = text_find(all, '{', from);
    while (at + 1 < all.length && all.at[at + 1] == '{') {
        at = text_find(all, '{', at + 2);
    }
    return at;
}

bool rule_sentence(struct rule_reader *reader, const struct node *word,
                   struct sentence *out)
{
    ARRAY_OF(struct sentence_piece) pieces = {0};
    if (!rule_expect(reader, word, NODE_WORD, "a sentence")) {
        return false;
    }
    const text all = word->word;
    const span whole = rule_word_span(word);
    for (size_t at = 0; at < all.length;) {
        const size_t open = next_blank(all, at);
        const size_t close = text_find(all, '}', open);
        struct sentence_piece piece = {
            .literal = without_double_braces(reader->arena, text_slice(all, at, open))};
        at = all.length;
        if (open < all.length) {
            const text blank = text_slice(all, open + 1, close);
            const span where = {whole.source, whole.at + (uint32_t)open + 1,
                                (uint32_t)blank.length};
            if (close >= all.length) {
                rule_report(reader, CODE_RULE_WRONG, where,
                            TEXT("this blank is not closed"))
                    ->expected = TEXT("{VARIABLE} or {FORMULA}");
                return false;
            }
            piece.formula = rule_formula(reader, with_dollars(reader, blank), where);
            if (piece.formula == NULL) {
                return false;
            }
            at = close + 1;
        }
        if (!ARRAY_PUSH(reader->arena, &pieces, piece)) {
            return false;
        }
    }
    out->pieces = pieces.at;
    out->count = pieces.count;
    return true;
}
