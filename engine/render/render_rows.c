/* SPDX-License-Identifier: MIT */
/* Rows, conditions and what is bound, in words. */
#include "render_words.h"

static text doubt_text(struct arena *arena, const struct row *row)
{
    text all = TEXT(" (open)");
    for (uint32_t i = 0; i < row_doubt(row).count; i++) {
        all =
            text_format(arena, "%.*s%s%.*s%s", TEXT_ARG(i == 0 ? TEXT("") : all),
                        i == 0 ? " (open: " : ", ", TEXT_ARG(row_doubt(row).of[i]->name),
                        i + 1 == row_doubt(row).count ? ")" : "");
    }
    return row->standing == STANDING_OPEN ? all : (text){"", 0};
}

text render_row(const struct answer *answer, struct arena *arena, const struct row *row)
{
    return text_format(arena, "%.*s%.*s%.*s",
                       TEXT_ARG(row_write(arena, answer->store, answer->names, row)),
                       TEXT_ARG(render_row_values(answer, arena, row)),
                       TEXT_ARG(doubt_text(arena, row)));
}

/* The text of a term, empty for one that says nothing: a column that is not mentioned, a
 * variable that is not bound. */
static text term_text(const struct answer *answer, struct arena *arena,
                      const struct term *term, const struct value *slots)
{
    switch (term->kind) {
    case TERM_NAME:
        return names_text(answer->names, term->name);
    case TERM_NUMBER:
        return text_format(arena, "%lld", (long long)term->number);
    case TERM_VARIABLE:
        return slots == NULL ? (text){"", 0}
                             : render_value(arena, answer->names, slots[term->variable]);
    case TERM_ANY:
        break;
    }
    return (text){"", 0};
}

text render_condition(const struct answer *answer, struct arena *arena,
                      const struct condition *condition, const struct value *slots)
{
    const struct relation_shape *shape = store_shape(answer->store, condition->relation);
    text all = names_text(answer->names, shape->name);
    const char *between = ": ";
    for (uint32_t c = 0; c < shape->key_count + shape->value_count; c++) {
        const text term = term_text(answer, arena, &condition->terms[c], slots);
        if (term.length > 0) {
            all = text_format(arena, "%.*s%s%.*s=%.*s", TEXT_ARG(all), between,
                              TEXT_ARG(names_text(answer->names, shape->columns[c].name)),
                              TEXT_ARG(term));
            between = ", ";
        }
    }
    return all;
}

text render_bound(const struct answer *answer, struct arena *arena,
                  const struct rule *rule, const struct value *slots, const bool *used)
{
    text all = {"", 0};
    for (uint32_t i = 0; i < rule->variable_count; i++) {
        if (used[i] && slots[i].kind != VALUE_NONE) {
            all =
                text_format(arena, "%.*s%s%.*s = %.*s", TEXT_ARG(all),
                            all.length > 0 ? ", " : "", TEXT_ARG(rule->variables[i].name),
                            TEXT_ARG(render_value(arena, answer->names, slots[i])));
        }
    }
    return all;
}
