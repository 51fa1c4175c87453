/* SPDX-License-Identifier: MIT */
/* The small pieces that answers in JSON are made of. */
#include "json_words.h"

#include <math.h>

json_t *json_text(text a)
{
    return json_stringn(a.at, a.length);
}

json_t *json_word(const char *word)
{
    return json_string(word);
}

json_t *json_number(double value)
{
    return isfinite(value) ? json_real(value == 0.0 ? 0.0 : value) : json_null();
}

struct unit json_unit(struct dimension dim)
{
    struct unit unit = {.symbol = "", .scale = 1.0};
    (void)unit_shown(dim, &unit);
    return unit;
}

/* A coherent magnitude in the shown unit, rounded to what can be told apart. */
json_t *json_magnitude(struct dimension dim, double value)
{
    const struct unit unit = json_unit(dim);
    return json_number(unit_from_coherent(&unit, dimension_round(dim, value)));
}

/* A difference of magnitudes: no zero offset as for temperatures. */
json_t *json_step(struct dimension dim, double value)
{
    const struct unit unit = json_unit(dim);
    return json_number(value / unit.scale);
}

void json_set(json_t *object, const char *key, json_t *value)
{
    (void)json_object_set_new(object, key, value);
}

void json_push(json_t *array, json_t *value)
{
    (void)json_array_append_new(array, value);
}

/* ---- writing
 *
 * The tree is walked here: Jansson notes every object it is within in a table, against
 * trees that hold themselves, which takes most of the time of writing. What is to be
 * escaped and how a number looks is left to it. */

static int hand_on(const char *bytes, size_t length, void *context)
{
    write_text(context, (text){bytes, length});
    return 0;
}

static bool write_scalar(struct writer *writer, const json_t *scalar)
{
    const size_t flags = JSON_COMPACT | JSON_REAL_PRECISION(15) | JSON_ENCODE_ANY;
    return json_dump_callback(scalar, hand_on, writer, flags) == 0;
}

/* Whether a text stands between quotes as it is. */
static bool is_plain(text a)
{
    size_t i = 0;
    while (i < a.length && (unsigned char)a.at[i] >= 0x20 && a.at[i] != '"' &&
           a.at[i] != '\\') {
        i++;
    }
    return i == a.length;
}

static bool write_string(struct writer *writer, text a)
{
    if (is_plain(a)) {
        write_text(writer, TEXT("\""));
        write_text(writer, a);
        write_text(writer, TEXT("\""));
        return true;
    }
    json_t *string = json_stringn(a.at, a.length);
    const bool is_good = string != NULL && write_scalar(writer, string);
    json_decref(string);
    return is_good;
}

static bool write_tree(struct writer *writer, json_t *tree)
{
    bool is_good = true;
    size_t index = 0;
    const char *key = NULL;
    json_t *value = NULL;
    switch (json_typeof(tree)) {
    case JSON_OBJECT:
        write_text(writer, TEXT("{"));
        json_object_foreach(tree, key, value)
        {
            write_text(writer, index++ == 0 ? TEXT("") : TEXT(","));
            is_good = write_string(writer, text_of(key)) && is_good;
            write_text(writer, TEXT(":"));
            is_good = write_tree(writer, value) && is_good;
        }
        write_text(writer, TEXT("}"));
        return is_good;
    case JSON_ARRAY:
        write_text(writer, TEXT("["));
        json_array_foreach(tree, index, value)
        {
            write_text(writer, index == 0 ? TEXT("") : TEXT(","));
            is_good = write_tree(writer, value) && is_good;
        }
        write_text(writer, TEXT("]"));
        return is_good;
    case JSON_STRING:
        return write_string(writer,
                            (text){json_string_value(tree), json_string_length(tree)});
    case JSON_INTEGER:
    case JSON_REAL:
    case JSON_TRUE:
    case JSON_FALSE:
    case JSON_NULL:
        break;
    }
    return write_scalar(writer, tree);
}

/* Writes and releases the tree, one line. */
status json_write(struct writer *writer, json_t *tree)
{
    const bool is_good = tree != NULL && write_tree(writer, tree);
    json_decref(tree);
    write_text(writer, TEXT("\n"));
    return !is_good             ? STATUS_NO_MEMORY
           : writer->is_stopped ? STATUS_IO
                                : arena_status(writer->arena);
}
