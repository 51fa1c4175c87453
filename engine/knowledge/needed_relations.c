/* SPDX-License-Identifier: MIT */
/* Compares the vocabulary with needed_relations.def. */
#include "needed_relations.h"

struct needed {
    const char *relation;
    enum filled_by filled;
    const char *keys;
    const char *values;
};

static const struct needed needs[] = {
#define NEEDS(relation, filled, keys, values) {relation, filled, keys, values},
#include "needed_relations.def"
#undef NEEDS
};

struct check {
    const struct knowledge *knowledge;
    struct diagnostics *diagnostics;
    const struct needed *needed;
    const struct relation_shape *shape;
    status result;
};

static void refuse(struct check *check, span where, text expected)
{
    diagnostics_report(check->diagnostics, CODE_VOCABULARY_WRONG, where,
                       "the engine needs the relation `%s` otherwise",
                       check->needed->relation)
        ->expected = expected;
    check->result = STATUS_INVALID;
}

/* Takes the next word off a list of words between blanks; empty at its end. */
static text take_word(text *list)
{
    const size_t end = text_find(*list, ' ', 0);
    const text word = text_slice(*list, 0, end);
    *list = text_slice(*list, end < list->length ? end + 1 : end, list->length);
    return word;
}

static void check_keys(struct check *check)
{
    const struct relation_shape *shape = check->shape;
    text list = text_of(check->needed->keys);
    bool is_right = true;
    uint32_t count = 0;
    for (text key = take_word(&list); key.length > 0; key = take_word(&list), count++) {
        const bool is_number = text_ends(key, TEXT("#"));
        const text name = text_slice(key, 0, key.length - (is_number ? 1 : 0));
        is_right =
            is_right && count < shape->key_count &&
            text_equal(names_text(check->knowledge->names, shape->columns[count].name),
                       name) &&
            (shape->columns[count].kind == COLUMN_NUMBER) == is_number;
    }
    if (!is_right || count != shape->key_count) {
        refuse(check, shape->where,
               text_format(diagnostics_arena(check->diagnostics),
                           "the keys, in this order and those with # as numbers: %s",
                           check->needed->keys));
    }
}

static bool is_typed(const struct column *column, text type)
{
    struct dimension dim;
    return text_is(type, "word") ? column->kind == COLUMN_WORD
           : text_is(type, "count")
               ? column->kind == COLUMN_COUNT
               : column->kind == COLUMN_QUANTITY && dimension_find(type, &dim) &&
                     dimension_equal(dim, column->dim);
}

static void check_values(struct check *check)
{
    const struct relation_shape *shape = check->shape;
    text list = text_of(check->needed->values);
    for (text value = take_word(&list); value.length > 0; value = take_word(&list)) {
        const size_t colon = text_find(value, ':', 0);
        const text name = text_slice(value, 0, colon);
        const text type = text_slice(value, colon + 1, value.length);
        const int at =
            vocabulary_column(shape, names_find(check->knowledge->names, name));
        if (at < (int)shape->key_count || !is_typed(&shape->columns[at], type)) {
            refuse(check, shape->where,
                   text_format(diagnostics_arena(check->diagnostics),
                               "a value `%.*s` that is a %.*s", TEXT_ARG(name),
                               TEXT_ARG(type)));
        }
    }
}

static void check_filled(struct check *check)
{
    static const char *const words[] = {"filled-by: facts", "filled-by: rules",
                                        "filled-by: computing"};
    if (check->shape->filled != check->needed->filled) {
        refuse(check, check->shape->where, text_of(words[check->needed->filled]));
    }
}

/* Without units nothing is laid, and nothing of this is missed. */
static void refuse_missing(struct check *check)
{
    if (check->knowledge->recipe_count > 0) {
        refuse(check, check->knowledge->recipes[0].where,
               TEXT("the vocabulary declares it: this unit cannot be laid without"));
    }
}

status needed_relations_check(const struct knowledge *knowledge,
                              struct diagnostics *diagnostics)
{
    struct check check = {.knowledge = knowledge, .diagnostics = diagnostics};
    if (knowledge->recipe_count == 0 && knowledge->vocabulary->kind_count == 0) {
        return STATUS_OK; /* no parts and no units: nothing of the engine is read or
                             written */
    }
    for (size_t i = 0; i < sizeof needs / sizeof *needs; i++) {
        check.needed = &needs[i];
        check.shape = vocabulary_relation(
            knowledge->vocabulary,
            names_find(knowledge->names, text_of(needs[i].relation)), NULL);
        if (check.shape == NULL) {
            refuse_missing(&check);
            continue;
        }
        check_keys(&check);
        check_values(&check);
        check_filled(&check);
    }
    return check.result;
}
