/* SPDX-License-Identifier: MIT */
/*
 * Finds a scalar's word again in what the file holds. libyaml gives the word after
 * escapes, folding and indentation are gone; here both texts are walked side by side. A
 * byte of the word stands where the same byte stands, or where an escape or a line break
 * made it; what is left over in the file (indentation, blanks before a break, the header
 * of a block) made nothing. A new piece begins wherever the two moved apart.
 */
#include "scalar_places.h"

#include "array.h"

struct walk {
    struct arena *arena;
    enum scalar_style style;
    uint32_t source;
    text file;
    text word;
    size_t at;   /* in the file */
    size_t end;  /* of the scalar there */
    size_t in;   /* in the word */
    size_t lead; /* bytes of the reading before the word */
    ARRAY_OF(struct reading_piece) pieces;
};

static bool add_piece(struct walk *walk, size_t in_reading, size_t at)
{
    return ARRAY_PUSH(
        walk->arena, &walk->pieces,
        ((struct reading_piece){(uint32_t)in_reading, walk->source, (uint32_t)at}));
}

/* The word's next `made` bytes stand at the walk's place and take `taken` bytes there. */
static void pair(struct walk *walk, size_t made, size_t taken)
{
    const struct reading_piece *last =
        walk->pieces.count == 0 ? NULL : &walk->pieces.at[walk->pieces.count - 1];
    const size_t in_reading = walk->in + walk->lead;
    if (made > 0 && (last == NULL || in_reading - last->at != walk->at - last->from)) {
        (void)add_piece(walk, in_reading, walk->at);
    }
    walk->in += made;
    walk->at += taken;
}

static char file_byte(const struct walk *walk, size_t ahead)
{
    return walk->at + ahead < walk->end ? walk->file.at[walk->at + ahead] : '\0';
}

static bool is_break(char c)
{
    return c == '\n' || c == '\r';
}

/* A backslash and what it escapes; a line break behind it makes nothing. */
static void pair_escape(struct walk *walk)
{
    const char what = file_byte(walk, 1);
    const size_t taken = what == 'x' ? 4 : what == 'u' ? 6 : what == 'U' ? 10 : 2;
    pair(walk, is_break(what) ? 0 : text_utf8_length(walk->word, walk->in), taken);
    while (is_break(what) &&
           (is_blank(file_byte(walk, 0)) || is_break(file_byte(walk, 0)))) {
        walk->at++;
    }
}

static void step(struct walk *walk)
{
    const char here = file_byte(walk, 0);
    const char wanted = walk->word.at[walk->in];
    if (walk->style == SCALAR_DOUBLE_QUOTED && here == '\\') {
        pair_escape(walk);
    } else if (walk->style == SCALAR_SINGLE_QUOTED && here == '\'') {
        pair(walk, 1, 2);
    } else if (here == wanted) {
        pair(walk, 1, 1);
    } else if (is_break(here) && (wanted == ' ' || wanted == '\n')) {
        pair(walk, 1, here == '\r' && file_byte(walk, 1) == '\n' ? 2 : 1);
    } else {
        walk->at++;
    }
}

static bool stands_there(text file, span written, text word, enum scalar_style style)
{
    const size_t quote = style == SCALAR_PLAIN ? 0 : 1;
    return style != SCALAR_BLOCK && written.length == word.length + 2 * quote &&
           text_equal(
               text_slice(file, written.at + quote, written.at + quote + word.length),
               word);
}

/* Where the walk starts: behind the quote, or on the line below a block's header. */
static size_t body_of(text file, span written, enum scalar_style style)
{
    const size_t end = (size_t)written.at + written.length;
    size_t at = written.at;
    if (style == SCALAR_BLOCK) {
        while (at < end && !is_break(file.at[at])) {
            at++;
        }
        return at + (at < end ? 1 : 0);
    }
    return style == SCALAR_PLAIN ? at : at + 1;
}

span scalar_span(struct arena *arena, struct sources *sources, span written, text word,
                 enum scalar_style style)
{
    const text file = sources_content(sources, written.source);
    const size_t end = (size_t)written.at + written.length;
    if (stands_there(file, written, word, style)) {
        return written;
    }
    struct walk walk = {.arena = arena,
                        .style = style,
                        .source = written.source,
                        .file = file,
                        .word = word,
                        .at = body_of(file, written, style),
                        .end = end,
                        .lead = style == SCALAR_PLAIN ? 0 : 1};
    const text quote = style == SCALAR_PLAIN ? (text){"", 0} : TEXT("\"");
    const text parts[] = {quote, word, quote};
    const text reading = text_join(arena, parts, 3);
    (void)add_piece(&walk, 0, written.at);
    while (walk.in < word.length && walk.at < end) {
        step(&walk);
    }
    (void)add_piece(&walk, walk.in + walk.lead, end > written.at ? end - 1 : end);
    const uint32_t source =
        sources_add_reading(sources, reading, written, walk.pieces.at, walk.pieces.count);
    return source == 0 ? SPAN_NONE : (span){source, 0, (uint32_t)reading.length};
}
