/* SPDX-License-Identifier: MIT */
/*
 * Sentences with blanks. A blank is a formula in which variables may stand without their
 * $, because a sentence should read like one: "bare by {-spare}".
 */
#include "rule_reader.h"

/* `{{` and `}}` stand for one of them. */
static text without_double_braces(struct arena *arena, text literal)
{
    char *made = ARENA_MANY(arena, literal.length + 1, char);
    size_t length = 0;
    for (size_t at = 0; made != NULL && at < literal.length; at++) {
        const bool is_brace = literal.at[at] == '{' || literal.at[at] == '}';
        made[length++] = literal.at[at];
        at += is_brace && at + 1 < literal.length && literal.at[at + 1] == literal.at[at];
    }
    return made == NULL ? (text){"", 0} : (text){made, length};
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
    bool is_right = true;
    if (!rule_expect(reader, word, NODE_WORD, "a sentence")) {
        return false;
    }
    const text all = word->word;
    const span whole = node_text_span(word, 0, word->word.length);
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
            piece.formula = rule_formula(reader, blank, where, true);
            is_right = is_right && piece.formula != NULL;
            at = close + 1;
        }
        if (!ARRAY_PUSH(reader->arena, &pieces, piece)) {
            return false;
        }
    }
    out->pieces = pieces.at;
    out->count = pieces.count;
    return is_right;
}
