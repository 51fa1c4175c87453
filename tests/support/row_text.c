/* SPDX-License-Identifier: MIT */
#include "row_text.h"

#include <stdarg.h>
#include <stdio.h>

void row_put(struct row_writer *writer, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    if (writer->at < writer->room) {
        writer->at += (size_t)vsnprintf(writer->out + writer->at,
                                        writer->room - writer->at, format, arguments);
    }
    va_end(arguments);
}

void row_put_doubt(struct row_writer *writer, struct doubt doubt)
{
    for (uint32_t i = 0; i < doubt.count; i++) {
        row_put(writer, "%s%.*s", i == 0 ? " because of " : "; ",
                TEXT_ARG(doubt.of[i]->name));
    }
}

static void put_form(struct row_writer *writer, const struct form *form)
{
    const double unit = dimension_equal(form->dim, DIMENSION_LENGTH) ? 1e6 : 1.0;
    if (form->undefined != NULL) {
        row_put(writer, "no number");
    } else {
        row_put(writer, "%.9g", form->nominal / unit);
    }
    if (form->undefined == NULL && form->least < form->greatest) {
        row_put(writer, " [%.9g, %.9g]", form->least / unit, form->greatest / unit);
    }
    for (uint32_t i = 0; i < form->term_count; i++) {
        row_put(writer, " %+.9g*%.*s", form->terms[i].by,
                TEXT_ARG(form->terms[i].of->name));
    }
    for (uint32_t i = 0; i < form->absorbed_count; i++) {
        row_put(writer, " ~%.*s", TEXT_ARG(form->absorbed[i]->name));
    }
}

void row_put_value(struct row_writer *writer, const struct names *names,
                   struct value value)
{
    static const char *const truths[] = {"no", "yes", "unsure", "unknown"};
    switch (value.kind) {
    case VALUE_NONE:
        row_put(writer, "none");
        break;
    case VALUE_QUANTITY:
        put_form(writer, value.quantity);
        break;
    case VALUE_COUNT:
        row_put(writer, "#%lld", (long long)value.count);
        break;
    case VALUE_WORD:
        row_put(writer, "%.*s", TEXT_ARG(names_text(names, value.word)));
        break;
    case VALUE_TRUTH:
        row_put(writer, "%s", truths[value.truth]);
        row_put_doubt(writer, truth_doubt(value));
        break;
    case VALUE_MISSING:
        row_put(writer, "missing");
        if (value.missing != NULL) {
            row_put(writer, " %.*s", TEXT_ARG(value.missing->name));
        }
        break;
    }
}

void row_put_key(struct row_writer *writer, const struct names *names,
                 const struct relation_shape *shape, const name_id *key)
{
    row_put(writer, "%.*s(", TEXT_ARG(names_text(names, shape->name)));
    for (uint32_t c = 0; c < shape->key_count; c++) {
        const char *comma = c == 0 ? "" : ", ";
        if (shape->columns[c].kind == COLUMN_NUMBER) {
            row_put(writer, "%s%u", comma, key[c]);
        } else {
            row_put(writer, "%s%.*s", comma, TEXT_ARG(names_text(names, key[c])));
        }
    }
    row_put(writer, ")");
}

void row_put_row(struct row_writer *writer, const struct names *names,
                 const struct relation_shape *shape, const struct row *row)
{
    row_put_key(writer, names, shape, row->key);
    row_put(writer, " %s, height %u", row->standing == STANDING_SURE ? "sure" : "open",
            row->height);
    row_put_doubt(writer, row_doubt(row));
    for (uint32_t v = 0; v < shape->value_count; v++) {
        const name_id column = shape->columns[shape->key_count + v].name;
        row_put(writer, ", %.*s = ", TEXT_ARG(names_text(names, column)));
        row_put_value(writer, names, row->values[v]);
    }
}
