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

static int hand_on(const char *bytes, size_t length, void *context)
{
    write_text(context, (text){bytes, length});
    return 0;
}

/* Writes and releases the tree, one line. */
status json_write(struct writer *writer, json_t *tree)
{
    const size_t flags = JSON_COMPACT | JSON_REAL_PRECISION(15) | JSON_ENCODE_ANY;
    const int failed =
        tree == NULL ? -1 : json_dump_callback(tree, hand_on, writer, flags);
    json_decref(tree);
    write_text(writer, TEXT("\n"));
    return failed != 0          ? STATUS_NO_MEMORY
           : writer->is_stopped ? STATUS_IO
                                : arena_status(writer->arena);
}
