/* SPDX-License-Identifier: MIT */
/* Bytes out, and paragraphs broken to a width counted in code points. */
#include "writer.h"

void write_text(struct writer *writer, text a)
{
    if (!writer->is_stopped && a.length > 0 &&
        !writer->sink(writer->context, a.at, a.length)) {
        writer->is_stopped = true;
    }
}

void write_format(struct writer *writer, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    write_text(writer, text_format_list(writer->arena, format, arguments));
    va_end(arguments);
}

static void write_blanks(struct writer *writer, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        write_text(writer, TEXT(" "));
    }
}

void write_wrapped(struct writer *writer, text lead, text paragraph)
{
    const size_t indent = text_columns(lead);
    size_t column = indent;
    size_t at = 0;
    bool is_first = true;
    write_text(writer, lead);
    while (at < paragraph.length) {
        while (at < paragraph.length && paragraph.at[at] == ' ') {
            at++;
        }
        const size_t end = text_find(paragraph, ' ', at);
        const text word = text_slice(paragraph, at, end);
        const size_t width = text_columns(word);
        if (!is_first && column + 1 + width > writer->width) {
            write_text(writer, TEXT("\n"));
            write_blanks(writer, indent);
            column = indent;
            is_first = true;
        }
        if (!is_first) {
            write_text(writer, TEXT(" "));
            column++;
        }
        write_text(writer, word);
        column += width;
        is_first = false;
        at = end;
    }
    write_text(writer, TEXT("\n"));
}
