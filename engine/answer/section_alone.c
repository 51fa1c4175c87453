/* SPDX-License-Identifier: MIT */
/*
 * A part drawn by itself. It lies with its datum at 0 on each axis that its features
 * name, and every feature brings what the record says of it, since here the dimensions
 * are what is shown.
 */
#include "section_private.h"

#include "stated.h"

/* Of a part without features its own axis: some shapes need no more. */
void alone_axes(const struct drafting *drafting, axis_list *axes)
{
    const name_id own_axis = names_find(drafting->names, TEXT("axis"));
    static const char *const relations[] = {"run", "face", "station", "seal-band"};
    for (size_t i = 0; i < sizeof relations / sizeof *relations; i++) {
        struct scan scan;
        if (!drafting_rows(drafting, relations[i], drafting->alone, &scan)) {
            continue;
        }
        for (const struct row *row = scan_next(&scan); row != NULL;
             row = scan_next(&scan)) {
            const text own = drafting_word(drafting, row, "axis");
            const name_id axis =
                names_find(drafting->names, own.length > 0 ? own : TEXT("axis"));
            bool is_known = axis == NAME_NONE;
            for (uint32_t k = 0; k < axes->count; k++) {
                is_known = is_known || axes->at[k] == axis;
            }
            if (!is_known) {
                (void)ARRAY_PUSH(drafting->arena, axes, axis);
            }
        }
    }
    if (axes->count == 0 && own_axis != NAME_NONE) {
        (void)ARRAY_PUSH(drafting->arena, axes, own_axis);
    }
}

/* ---- what the record says of a feature */

/* A value of a row as it is written down; empty where it is missing. */
static text stated_value(const struct drafting *drafting, const struct value *value)
{
    switch (value->kind) {
    case VALUE_QUANTITY:
        return value->quantity == NULL || form_misses(value->quantity)
                   ? (text){"", 0}
                   : form_stated(drafting->arena, value->quantity);
    case VALUE_COUNT:
        return text_format(drafting->arena, "%lld", (long long)value->count);
    case VALUE_WORD:
        return names_text(drafting->names, value->word);
    case VALUE_TRUTH:
    case VALUE_MISSING:
    case VALUE_NONE:
        break;
    }
    return (text){"", 0};
}

static text stated_column(const struct drafting *drafting, const struct row *row,
                          const char *column)
{
    const struct form *form = drafting_form(drafting, row, column);
    return form == NULL || form_misses(form) ? (text){"", 0}
                                             : form_stated(drafting->arena, form);
}

/* Said in their own place, or by the picture itself. */
static bool is_placing(text column)
{
    static const char *const words[] = {"kind", "in",    "on",   "from", "to",
                                        "at",   "looks", "axis", "type", "groove"};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        if (text_is(column, words[i])) {
            return true;
        }
    }
    return false;
}

/* The diameters by which surfaces are met, the first that is recorded. */
static const char *across_column(const struct drafting *drafting, const struct row *row)
{
    static const char *const columns[] = {"diameter", "major", "minor"};
    for (size_t i = 0; i < sizeof columns / sizeof *columns; i++) {
        if (stated_column(drafting, row, columns[i]).length > 0) {
            return columns[i];
        }
    }
    return "";
}

static text other_values(const struct drafting *drafting, const struct row *row,
                         const char *across)
{
    const struct relation_shape *shape = store_shape(drafting->store, row->relation);
    text all = {"", 0};
    for (uint32_t v = 0; v < shape->value_count; v++) {
        const text column =
            names_text(drafting->names, shape->columns[shape->key_count + v].name);
        const text value = stated_value(drafting, &row->values[v]);
        if (value.length > 0 && !is_placing(column) && !text_is(column, across)) {
            all = text_format(drafting->arena, "%.*s%s%.*s %.*s", TEXT_ARG(all),
                              all.length > 0 ? ", " : "", TEXT_ARG(column),
                              TEXT_ARG(value));
        }
    }
    return all;
}

const struct feature_stated *alone_stated(const struct drafting *drafting,
                                          const struct row *row)
{
    struct feature_stated *stated =
        drafting->alone == NAME_NONE || row == NULL
            ? NULL
            : ARENA_NEW(drafting->arena, struct feature_stated);
    if (stated == NULL) {
        return NULL;
    }
    const char *across = across_column(drafting, row);
    const text size = stated_column(drafting, row, across);
    const text at = stated_column(drafting, row, "at");
    *stated = (struct feature_stated){
        .from = at.length > 0 ? at : stated_column(drafting, row, "from"),
        .to = stated_column(drafting, row, "to"),
        .across = size.length == 0
                      ? size
                      : text_format(drafting->arena, "\xC3\x98%.*s", TEXT_ARG(size)),
        .other = other_values(drafting, row, across)};
    return stated;
}

text alone_own(const struct drafting *drafting, const struct kind *kind)
{
    text all = {"", 0};
    for (const struct kind *at = drafting->alone == NAME_NONE ? NULL : kind; at != NULL;
         at = at->parent == 0 ? NULL : &drafting->vocabulary->kinds[at->parent - 1]) {
        const struct row *row =
            store_find(drafting->store, at->relation, &drafting->alone);
        const text own = row == NULL ? (text){"", 0} : other_values(drafting, row, "");
        all = own.length == 0 ? all
                              : text_format(drafting->arena, "%.*s%s%.*s", TEXT_ARG(all),
                                            all.length > 0 ? ", " : "", TEXT_ARG(own));
    }
    return all;
}

/* ---- the part */

status section_part(struct arena *arena, const struct knowledge *knowledge,
                    const struct part *part, struct section *out)
{
    /* a layer, since scanning notes things in its store, and the base is frozen */
    struct store *layer = store_open(arena, NULL, 0, knowledge->base);
    const struct drafting drafting = {.arena = arena,
                                      .store = layer,
                                      .names = knowledge->names,
                                      .vocabulary = knowledge->vocabulary,
                                      .alone = part->name};
    *out = (struct section){.unit = names_text(knowledge->names, part->name),
                            .title = part->title,
                            .source = part->source};
    TRY(arena_status(arena));
    if (part->datum != NAME_NONE) {
        out->datum = names_text(knowledge->names, part->datum);
    }
    return section_make(&drafting, NAME_NONE, out);
}
