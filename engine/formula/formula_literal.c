/* SPDX-License-Identifier: MIT */
/*
 * Numbers in a formula. How far one reaches, stated.h says; what it means is worked out
 * at once, with classes resolved, so that running a formula only looks it up. One with a
 * tolerance is a dimension of its own. What cannot be understood becomes a fault in the
 * tree and reading goes on behind it.
 */
#include "formula_lex.h"

#include "number_text.h"

#include <string.h>

static struct expression *literal_new(struct parser *parser, size_t from)
{
    struct formula_reader *reader = parser->reader;
    struct expression *made = ARENA_NEW(reader->arena, struct expression);
    if (made != NULL) {
        made->operation = OPERATION_LITERAL;
        made->written = text_slice(reader->text, from, parser->at);
        made->where = formula_span(reader, from, parser->at);
    }
    return made;
}

static void mark_fault(struct parser *parser, struct expression *literal)
{
    literal->operation = OPERATION_FAULT;
    parser->reader->is_wrong = true;
}

/* Where it should have ended is a guess: no complaint about the grammar behind it. */
static void mark_unread(struct parser *parser, struct expression *literal)
{
    mark_fault(parser, literal);
    parser->is_broken = true;
}

/* How long a word at the start of `a` is that stands where a unit should; 0 for none. */
static size_t stray_length(text a)
{
    static const char ends[] = " \t\n,()|*+-<>=!^\"$";
    size_t at = 0;
    while (at < a.length && memchr(ends, a.at[at], sizeof ends - 1) == NULL &&
           !text_starts(text_slice(a, at, a.length), TEXT("−")) &&
           !text_starts(text_slice(a, at, a.length), TEXT("±"))) {
        at++;
    }
    const text word = text_slice(a, 0, at);
    const bool is_word = at > 0 && (is_letter(a.at[0]) || (unsigned char)a.at[0] >= 0x80);
    return !is_word || text_is(word, "and") || text_is(word, "or") ? 0 : at;
}

/* Whether a literal ends in digits and no unit or class went before. */
static bool lacks_unit(text literal)
{
    bool has_letter = false;
    for (size_t i = number_length(literal); i < literal.length; i++) {
        has_letter = has_letter || is_letter(literal.at[i]);
    }
    const size_t last = literal.length - 1;
    return literal.length > 0 && !has_letter &&
           (is_digit(literal.at[last]) || literal.at[last] == '.');
}

/* A number with no unit before a word: the word is taken along, to be called unknown. */
static void take_stray_unit(struct parser *parser, size_t from)
{
    const size_t end = parser->at;
    if (!lacks_unit(text_slice(parser->reader->text, from, end))) {
        return;
    }
    formula_skip_blanks(parser);
    const size_t length = stray_length(formula_rest(parser));
    parser->at = length > 0 ? parser->at + length : end;
}

/* The number here has a comma in it where none is understood. */
static struct expression *refuse_comma(struct parser *parser, size_t from)
{
    struct formula_reader *reader = parser->reader;
    struct arena *arena = diagnostics_arena(reader->diagnostics);
    const size_t comma = text_find(reader->text, ',', from);
    const text tail = text_slice(reader->text, comma + 1, reader->text.length);
    const size_t length = number_length(tail);
    const text whole = text_slice(reader->text, from, comma);
    const text behind = text_slice(tail, 0, length);
    parser->at = comma + 1 + length;
    struct expression *made = literal_new(parser, from);
    if (made == NULL) {
        return NULL;
    }
    mark_unread(parser, made);
    diagnostics_report(reader->diagnostics, CODE_DECIMAL_COMMA, made->where,
                       "a decimal comma stands where a decimal point is due")
        ->expected =
        parser->arguments > 0
            ? text_format(arena, "%.*s.%.*s, or %.*s, %.*s for two arguments",
                          TEXT_ARG(whole), TEXT_ARG(behind), TEXT_ARG(whole),
                          TEXT_ARG(behind))
            : text_format(arena, "%.*s.%.*s", TEXT_ARG(whole), TEXT_ARG(behind));
    return made;
}

static bool resolve_class(struct parser *parser, const struct expression *literal,
                          struct stated *stated)
{
    const struct formula_reader *reader = parser->reader;
    const struct limits_resolver *limits = reader->scope->limits;
    const char *why = "no table of limits was loaded";
    if (limits != NULL &&
        limits->resolve(limits->context, stated->nominal, stated->tolerance_class,
                        &stated->low, &stated->high, &why) == STATUS_OK) {
        return true;
    }
    diagnostics_add(reader->diagnostics, CODE_CLASS_UNKNOWN, literal->where, text_of(why))
        ->expected = TEXT("a class of ISO 286 such as H7 or k6, at most 500 mm");
    return false;
}

/* The dimension that a literal with a tolerance is. */
static const struct form *own_form(const struct formula_reader *reader,
                                   const struct expression *literal,
                                   const struct stated *stated)
{
    struct deviation *own = ARENA_NEW(reader->arena, struct deviation);
    if (own == NULL) {
        return NULL;
    }
    const text before = text_slice(reader->text, 0, literal->where.at - reader->where.at);
    *own = (struct deviation){
        .name = text_format(reader->arena, "\"%.*s\" at column %zu%s%.*s",
                            TEXT_ARG(literal->written), text_columns(before) + 1,
                            reader->scope->owner.length > 0 ? " of " : "",
                            TEXT_ARG(reader->scope->owner)),
        .nominal = stated->nominal,
        .low = stated->low,
        .high = stated->high,
        .kind = DEVIATION_MADE,
        .basis = BASIS_LIMITS,
        .dim = stated->dim,
        .where = literal->where};
    return form_of(reader->arena, own);
}

static void understand(struct parser *parser, struct expression *literal)
{
    struct formula_reader *reader = parser->reader;
    const struct stated_options options = {.any_dimension = true,
                                           .decimal_comma = reader->scope->decimal_comma};
    struct stated stated;
    if (stated_read(literal->written, literal->where, &options, reader->diagnostics,
                    &stated) != STATUS_OK) {
        mark_unread(parser, literal);
        return;
    }
    if (stated.basis == STATED_CLASS && !resolve_class(parser, literal, &stated)) {
        mark_fault(parser, literal);
        return;
    }
    literal->type = (struct type){TYPE_QUANTITY, stated.basis == STATED_BARE, stated.dim};
    literal->literal =
        value_quantity(stated.basis == STATED_BARE
                           ? form_exact(reader->arena, stated.dim, stated.nominal)
                           : own_form(reader, literal, &stated));
}

struct expression *formula_literal(struct parser *parser)
{
    const struct formula_reader *reader = parser->reader;
    const bool is_comma_known = reader->scope->decimal_comma;
    const size_t from = parser->at;
    (void)(formula_take_symbol(parser, "-") || formula_take_symbol(parser, "−"));
    const text rest = formula_rest(parser);
    const size_t digits = number_length(rest);
    const bool has_comma = digits + 1 < rest.length && rest.at[digits] == ',' &&
                           is_digit(rest.at[digits + 1]);
    if (has_comma && !is_comma_known) {
        return refuse_comma(parser, from);
    }
    const size_t length = stated_literal_length(rest, is_comma_known);
    /* Nothing at all: a number beyond what can be held, which reading will say. */
    parser->at += length > 0 ? length : digits;
    take_stray_unit(parser, from);
    struct expression *made = literal_new(parser, from);
    if (made != NULL) {
        understand(parser, made);
    }
    return made;
}

bool formula_literal_owns_sign(const struct formula_reader *reader, text a)
{
    const text literal =
        text_slice(a, 0, stated_literal_length(a, reader->scope->decimal_comma));
    for (size_t at = 0; at + 1 < literal.length; at++) {
        const text here = text_slice(literal, at, literal.length);
        /* A slash before a letter belongs to a unit. */
        if (text_starts(here, TEXT("±")) || text_starts(here, TEXT("..")) ||
            (here.at[0] == '/' && !is_letter(here.at[1]))) {
            return true;
        }
    }
    return false;
}
