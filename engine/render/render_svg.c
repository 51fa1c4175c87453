/* SPDX-License-Identifier: MIT */
/*
 * Elements of SVG 1.1 as bytes. Nothing from facts gets out unescaped, and characters
 * that XML does not allow are replaced, so that whatever a part is called the document is
 * well formed. No scripts, no styles that leak into a page, no fonts that have to be
 * fetched.
 */
#include "svg.h"

#include "number_text.h"

#include <math.h>

static void escape(struct writer *writer, text words)
{
    size_t from = 0;
    for (size_t at = 0; at < words.length; at++) {
        const unsigned char byte = (unsigned char)words.at[at];
        const char *instead = byte == '&'   ? "&amp;"
                              : byte == '<' ? "&lt;"
                              : byte == '>' ? "&gt;"
                              : byte == '"' ? "&quot;"
                              : byte < ' '  ? " "
                                            : NULL;
        if (instead != NULL) {
            write_text(writer, text_slice(words, from, at));
            write_text(writer, text_of(instead));
            from = at + 1;
        }
    }
    write_text(writer, text_slice(words, from, words.length));
}

void svg_open(struct svg *svg, const char *element)
{
    write_text(svg->writer, TEXT("<"));
    write_text(svg->writer, text_of(element));
}

void svg_done(struct svg *svg)
{
    write_text(svg->writer, TEXT("/>\n"));
}

void svg_into(struct svg *svg)
{
    write_text(svg->writer, TEXT(">"));
}

void svg_close(struct svg *svg, const char *element)
{
    write_text(svg->writer, TEXT("</"));
    write_text(svg->writer, text_of(element));
    write_text(svg->writer, TEXT(">\n"));
}

static void attribute(struct svg *svg, const char *name, text value)
{
    write_text(svg->writer, TEXT(" "));
    write_text(svg->writer, text_of(name));
    write_text(svg->writer, TEXT("=\""));
    escape(svg->writer, value);
    write_text(svg->writer, TEXT("\""));
}

/* 12.5, not 12.50. */
static text short_number(struct arena *arena, double value, int decimals)
{
    text number = number_write_fixed(arena, value, decimals);
    const size_t point = text_find(number, '.', 0);
    while (point < number.length && number.at[number.length - 1] == '0') {
        number.length--;
    }
    return point < number.length && number.at[number.length - 1] == '.'
               ? text_slice(number, 0, number.length - 1)
               : number;
}

void svg_number(struct svg *svg, const char *name, double value)
{
    attribute(svg, name, short_number(svg->writer->arena, value, 2));
}

void svg_length(struct svg *svg, const char *name, double millimetres)
{
    if (!isnan(millimetres)) {
        attribute(svg, name, short_number(svg->writer->arena, millimetres, 6));
    }
}

void svg_word(struct svg *svg, const char *name, text value)
{
    attribute(svg, name, value);
}

void svg_id(struct svg *svg, const char *id)
{
    attribute(svg, "id",
              text_format(svg->writer->arena, "%.*s%s", TEXT_ARG(svg->prefix), id));
}

void svg_say(struct svg *svg, text words)
{
    escape(svg->writer, words);
}

void svg_path(struct svg *svg)
{
    write_text(svg->writer, TEXT(" d=\""));
}

static void point(struct svg *svg, const char *letter, double x, double y)
{
    struct arena *arena = svg->writer->arena;
    write_text(svg->writer, text_of(letter));
    write_text(svg->writer, short_number(arena, x, 2));
    write_text(svg->writer, TEXT(" "));
    write_text(svg->writer, short_number(arena, y, 2));
}

void svg_move(struct svg *svg, double x, double y)
{
    point(svg, "M", x, y);
}

void svg_line(struct svg *svg, double x, double y)
{
    point(svg, "L", x, y);
}

void svg_path_done(struct svg *svg, bool is_closed)
{
    write_text(svg->writer, is_closed ? TEXT("Z\"") : TEXT("\""));
}

void svg_begin(struct svg *svg, const struct svg_manner *manner, double width,
               double height, text title, text description)
{
    struct arena *arena = svg->writer->arena;
    svg->prefix = manner->prefix;
    if (!manner->is_embedded) {
        write_text(svg->writer, TEXT("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"));
    }
    svg_open(svg, "svg");
    attribute(svg, "xmlns", TEXT("http://www.w3.org/2000/svg"));
    attribute(svg, "viewBox",
              text_format(arena, "0 0 %.*s %.*s", TEXT_ARG(short_number(arena, width, 2)),
                          TEXT_ARG(short_number(arena, height, 2))));
    svg_number(svg, "width", width);
    svg_number(svg, "height", height);
    attribute(svg, "role", TEXT("img"));
    attribute(svg, "aria-labelledby",
              text_format(arena, "%.*stitle %.*sdesc", TEXT_ARG(svg->prefix),
                          TEXT_ARG(svg->prefix)));
    attribute(svg, "font-family",
              TEXT("Arial, Helvetica, 'Liberation Sans', sans-serif"));
    attribute(svg, "fill", TEXT("none"));
    attribute(svg, "stroke-linejoin", TEXT("round"));
    svg_into(svg);
    svg_open(svg, "title");
    svg_id(svg, "title");
    svg_into(svg);
    svg_say(svg, title);
    svg_close(svg, "title");
    svg_open(svg, "desc");
    svg_id(svg, "desc");
    svg_into(svg);
    svg_say(svg, description);
    svg_close(svg, "desc");
    svg_open(svg, "rect");
    svg_number(svg, "width", width);
    svg_number(svg, "height", height);
    svg_word(svg, "fill", TEXT("#ffffff"));
    svg_done(svg);
}

void svg_finish(struct svg *svg)
{
    svg_close(svg, "svg");
}
