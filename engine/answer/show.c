/* SPDX-License-Identifier: MIT */
/* Looks a word up in all that was loaded, and lists what is known of it. */
#include "show_private.h"

#include "typed_name.h"

#include <math.h>

void say(struct gatherer *gatherer, text label, text what)
{
    const struct shown_line line = {label, what};
    if (what.length > 0 && !ARRAY_PUSH(gatherer->arena, &gatherer->lines, line)) {
        gatherer->lines.count = 0; /* the arena has failed; the caller sees that */
    }
}

static text name_text(const struct gatherer *gatherer, name_id name)
{
    return names_text(gatherer->knowledge->names, name);
}

static text place_text(struct gatherer *gatherer, span where)
{
    const struct place_in_text at = sources_locate(gatherer->knowledge->sources, where);
    return at.line == 0
               ? (text){"", 0}
               : text_format(gatherer->arena, "%.*s:%u", TEXT_ARG(at.file), at.line);
}

static text value_text(struct gatherer *gatherer, struct value value)
{
    switch (value.kind) {
    case VALUE_QUANTITY:
        if (value.quantity == NULL || form_misses(value.quantity)) {
            break;
        }
        return form_stated(gatherer->arena, value.quantity);
    case VALUE_COUNT:
        return text_format(gatherer->arena, "%lld", (long long)value.count);
    case VALUE_WORD:
        return name_text(gatherer, value.word);
    case VALUE_TRUTH:
    case VALUE_MISSING:
    case VALUE_NONE:
        break;
    }
    return (text){"", 0};
}

/* "run land: kind plain, from 3 mm, …": a row without what nobody recorded. */
static void say_row(struct gatherer *gatherer, const struct row *row)
{
    const struct relation_shape *shape =
        store_shape(gatherer->knowledge->base, row->relation);
    text all = {"", 0};
    for (uint32_t v = 0; v < shape->value_count; v++) {
        const text value = value_text(gatherer, row->values[v]);
        if (value.length > 0) {
            all = text_format(
                gatherer->arena, "%.*s%s%.*s %.*s", TEXT_ARG(all),
                all.length > 0 ? ", " : "",
                TEXT_ARG(name_text(gatherer, shape->columns[shape->key_count + v].name)),
                TEXT_ARG(value));
        }
    }
    const text label = shape->key_count > 1
                           ? text_format(gatherer->arena, "%.*s %.*s",
                                         TEXT_ARG(name_text(gatherer, shape->name)),
                                         TEXT_ARG(name_text(gatherer, row->key[1])))
                           : name_text(gatherer, shape->name);
    say(gatherer, label, all);
}

/* "part: W5-120, Output cover": what a list says of one. */
static void say_part(struct gatherer *gatherer, const struct part *part)
{
    say(gatherer, TEXT("part"),
        text_format(gatherer->arena, "%.*s%s%.*s%s%.*s",
                    TEXT_ARG(name_text(gatherer, part->name)),
                    part->title.length > 0 ? ", " : "", TEXT_ARG(part->title),
                    part->number.length > 0 ? ", number " : "", TEXT_ARG(part->number)));
}

static void say_unit(struct gatherer *gatherer, const struct recipe *recipe)
{
    say(gatherer, TEXT("unit"),
        text_format(gatherer->arena, "%.*s%s%.*s",
                    TEXT_ARG(name_text(gatherer, recipe->name)),
                    recipe->title.length > 0 ? ", " : "", TEXT_ARG(recipe->title)));
}

static text show_part(struct gatherer *gatherer, const struct part *part)
{
    const struct row *const *rows = NULL;
    uint32_t count = 0;
    say(gatherer, TEXT("title"), part->title);
    say(gatherer, TEXT("source"), part->source);
    say(gatherer, TEXT("number"), part->number);
    for (uint32_t i = 0; part->other_numbers != NULL && i < part->other_numbers->count;
         i++) {
        say(gatherer, TEXT("also sold as"), part->other_numbers->items[i]->word);
    }
    say(gatherer, TEXT("tolerance"), part->general_tolerance);
    say(gatherer, TEXT("stated at"), place_text(gatherer, part->where));
    /* a layer, since scanning notes things in its store, and the base is frozen */
    struct store *layer = store_open(gatherer->arena, NULL, 0, gatherer->knowledge->base);
    if (layer != NULL && store_rows_of(layer, part->name, &rows, &count) == STATUS_OK) {
        for (uint32_t i = 0; i < count; i++) {
            if (rows[i]->origin == ORIGIN_FACT) {
                say_row(gatherer, rows[i]);
            }
        }
    }
    return text_format(gatherer->arena, "part %.*s, %.*s",
                       TEXT_ARG(name_text(gatherer, part->name)),
                       TEXT_ARG(name_text(gatherer, part->kind->name)));
}

static text show_unit(struct gatherer *gatherer, const struct recipe *recipe)
{
    say(gatherer, TEXT("title"), recipe->title);
    say(gatherer, TEXT("source"), recipe->source);
    say(gatherer, TEXT("ran"), recipe->ran ? TEXT("yes") : TEXT("not recorded"));
    say(gatherer, TEXT("stated at"), place_text(gatherer, recipe->where));
    for (uint32_t i = 0; i < recipe->place_count; i++) {
        const struct filling *place = &recipe->places[i];
        say(gatherer,
            text_format(gatherer->arena, "place %.*s",
                        TEXT_ARG(name_text(gatherer, place->place))),
            text_format(gatherer->arena, "%.*s%s",
                        TEXT_ARG(name_text(gatherer, place->with)),
                        place->is_turned ? ", turned" : ""));
    }
    for (uint32_t i = 0; i < recipe->lines.gap_count; i++) {
        const struct gap_line *gap = &recipe->lines.gaps[i];
        say(gatherer,
            text_format(gatherer->arena, "gap %.*s",
                        TEXT_ARG(name_text(gatherer, gap->name))),
            text_format(gatherer->arena, "from %.*s.%.*s to %.*s.%.*s, wanted %.*s",
                        TEXT_ARG(name_text(gatherer, gap->from.place)),
                        TEXT_ARG(name_text(gatherer, gap->from.feature)),
                        TEXT_ARG(name_text(gatherer, gap->to.place)),
                        TEXT_ARG(name_text(gatherer, gap->to.feature)),
                        TEXT_ARG(gap->want)));
    }
    return text_format(gatherer->arena, "unit %.*s",
                       TEXT_ARG(name_text(gatherer, recipe->name)));
}

static text show_rule(struct gatherer *gatherer, const struct rule *rule)
{
    say(gatherer, TEXT("says"), rule->says);
    say(gatherer, TEXT("source"), rule->source);
    if (rule->has_check) {
        say(gatherer, TEXT("margin"), formula_text(rule->margin));
        say(gatherer, TEXT("a failure"),
            rule->weight == WEIGHT_STOPS ? TEXT("stops the swap") : TEXT("is a caution"));
    }
    say(gatherer, TEXT("stated at"), place_text(gatherer, rule->where));
    return text_format(gatherer->arena, "rule %.*s",
                       TEXT_ARG(name_text(gatherer, rule->name)));
}

static text show_relation(struct gatherer *gatherer, const struct relation_shape *shape)
{
    static const char *const kinds[] = {"name", "number", "quantity", "count", "word"};
    say(gatherer, TEXT("says"), shape->says);
    for (uint32_t c = 0; c < shape->key_count + shape->value_count; c++) {
        const struct column *column = &shape->columns[c];
        text what = text_of(kinds[column->kind]);
        if (column->kind == COLUMN_QUANTITY) {
            what = dimension_name(gatherer->arena, column->dim);
        }
        for (uint32_t i = 0; i < column->choice_count; i++) {
            what = text_format(gatherer->arena, "%.*s%s%.*s", TEXT_ARG(what),
                               i == 0 ? ": " : ", ",
                               TEXT_ARG(name_text(gatherer, column->choices[i])));
        }
        say(gatherer,
            text_format(gatherer->arena, "%s %.*s",
                        c < shape->key_count ? "key" : "value",
                        TEXT_ARG(name_text(gatherer, column->name))),
            what);
    }
    say(gatherer, TEXT("stated at"), place_text(gatherer, shape->where));
    return text_format(gatherer->arena, "relation %.*s",
                       TEXT_ARG(name_text(gatherer, shape->name)));
}

static uint32_t parts_of(const struct gatherer *gatherer, const struct kind *kind)
{
    uint32_t count = 0;
    for (uint32_t i = 0; i < gatherer->knowledge->part_count; i++) {
        const struct part *part = &gatherer->knowledge->parts[i];
        count += kind_is(gatherer->knowledge->vocabulary, part->kind, kind->name) ? 1 : 0;
    }
    return count;
}

/* The kinds that are this one, with how many parts are of them, and its own parts. */
static void say_below(struct gatherer *gatherer, const struct kind *kind)
{
    const struct vocabulary *vocabulary = gatherer->knowledge->vocabulary;
    for (uint32_t i = 0; i < vocabulary->kind_count; i++) {
        const struct kind *below = &vocabulary->kinds[i];
        if (below->parent != 0 && &vocabulary->kinds[below->parent - 1] == kind) {
            const uint32_t count = parts_of(gatherer, below);
            say(gatherer, TEXT("kind below"),
                text_format(gatherer->arena, "%.*s, %u part%s",
                            TEXT_ARG(name_text(gatherer, below->name)), count,
                            count == 1 ? "" : "s"));
        }
    }
    for (uint32_t i = 0; i < gatherer->knowledge->part_count; i++) {
        if (gatherer->knowledge->parts[i].kind == kind) {
            say_part(gatherer, &gatherer->knowledge->parts[i]);
        }
    }
}

static text show_kind(struct gatherer *gatherer, const struct kind *kind)
{
    const struct vocabulary *vocabulary = gatherer->knowledge->vocabulary;
    for (const struct kind *at = kind; at != NULL;
         at = at->parent == 0 ? NULL : &vocabulary->kinds[at->parent - 1]) {
        if (at != kind) {
            say(gatherer, TEXT("is"), name_text(gatherer, at->name));
        }
        for (uint32_t i = 0; i < at->ask_count; i++) {
            say(gatherer, TEXT("asks"), name_text(gatherer, at->asks[i]));
        }
    }
    (void)show_relation(gatherer, &vocabulary->shapes[kind->relation]);
    say_below(gatherer, kind);
    return text_format(gatherer->arena, "kind of part %.*s",
                       TEXT_ARG(name_text(gatherer, kind->name)));
}

static const struct function_entry *find_function(const struct knowledge *knowledge,
                                                  text word)
{
    for (uint32_t i = 0; i < knowledge->functions.count; i++) {
        if (text_is(word, knowledge->functions.entries[i]->name)) {
            return knowledge->functions.entries[i];
        }
    }
    return NULL;
}

/* What people type: the one part or unit it means, or all of them. Empty heading:
 * nothing. */
static status show_typed(struct gatherer *gatherer, text typed, text *heading)
{
    const struct typed_match *matches = NULL;
    uint32_t count = 0;
    TRY(typed_find(gatherer->arena, gatherer->knowledge, typed, TYPED_ANY, &matches,
                   &count));
    for (uint32_t i = 0; count > 1 && i < count; i++) {
        if (matches[i].part != NULL) {
            say_part(gatherer, matches[i].part);
        } else {
            say_unit(gatherer, matches[i].recipe);
        }
    }
    *heading = count == 0                ? (text){"", 0}
               : count > 1               ? text_format(gatherer->arena, "%.*s, any of %u",
                                                       TEXT_ARG(typed), count)
               : matches[0].part != NULL ? show_part(gatherer, matches[0].part)
                                         : show_unit(gatherer, matches[0].recipe);
    return STATUS_OK;
}

/* What kinds of part there are, each under the one that it is. */
static text show_kinds(struct gatherer *gatherer)
{
    const struct vocabulary *vocabulary = gatherer->knowledge->vocabulary;
    for (uint32_t i = 0; i < vocabulary->kind_count; i++) {
        const struct kind *kind = &vocabulary->kinds[i];
        const name_id parent =
            kind->parent == 0 ? NAME_NONE : vocabulary->kinds[kind->parent - 1].name;
        say(gatherer, TEXT("kind"),
            text_format(gatherer->arena, "%.*s%s%.*s: %.*s",
                        TEXT_ARG(name_text(gatherer, kind->name)),
                        parent == NAME_NONE ? "" : ", a ",
                        TEXT_ARG(name_text(gatherer, parent)), TEXT_ARG(kind->says)));
    }
    return TEXT("kinds of part");
}

static text show_units(struct gatherer *gatherer)
{
    for (uint32_t i = 0; i < gatherer->knowledge->recipe_count; i++) {
        say_unit(gatherer, &gatherer->knowledge->recipes[i]);
    }
    return gatherer->knowledge->recipe_count == 0
               ? TEXT("units: none is loaded (--with DIR loads a folder of facts)")
               : TEXT("units");
}

static text show_rules(struct gatherer *gatherer)
{
    for (uint32_t i = 0; i < gatherer->knowledge->rules->rule_count; i++) {
        const struct rule *rule = &gatherer->knowledge->rules->rules[i];
        say(gatherer, name_text(gatherer, rule->name),
            rule->says.length > 0 ? rule->says : TEXT("(says nothing of itself)"));
    }
    return TEXT("rules");
}

/* "0 mm to 600 mm, read to 10 um, within 30 um (k = 2); for outside step" */
static text gauge_text(struct arena *arena, const struct gauge *gauge)
{
    text all = {"", 0};
    if (!isnan(gauge->least)) {
        all = text_format(
            arena, "%.*s to %.*s, ",
            TEXT_ARG(magnitude_write(arena, DIMENSION_LENGTH, gauge->least, -1)),
            TEXT_ARG(magnitude_write(arena, DIMENSION_LENGTH, gauge->greatest, -1)));
    }
    if (!isnan(gauge->resolution)) {
        all = text_format(
            arena, "%.*sread to %.*s, ", TEXT_ARG(all),
            TEXT_ARG(magnitude_write(arena, DIMENSION_LENGTH, gauge->resolution, -1)));
    }
    return text_format(
        arena, "%.*s: %.*swithin %.*s (k = 2)%s%.*s", TEXT_ARG(gauge->title),
        TEXT_ARG(all),
        TEXT_ARG(magnitude_write(arena, DIMENSION_LENGTH, gauge->figure, -1)),
        gauge->reach.length > 0 ? "; for " : "", TEXT_ARG(gauge->reach));
}

static text show_gauges(struct gatherer *gatherer)
{
    const struct tables *tables = &gatherer->knowledge->tables;
    for (uint32_t i = 0; i < tables->gauge_count; i++) {
        say(gatherer, tables->gauges[i].name,
            gauge_text(gatherer->arena, &tables->gauges[i]));
    }
    return TEXT("gauges");
}

/* What lists there are; show_list is empty for any other word. */
static const char *const lists[] = {"kinds", "units", "rules", "functions", "gauges"};

static text show_list(struct gatherer *gatherer, text word, struct shown *out)
{
    if (text_is(word, "functions")) {
        out->functions = &gatherer->knowledge->functions;
        return show_functions(gatherer);
    }
    return text_is(word, "kinds")    ? show_kinds(gatherer)
           : text_is(word, "units")  ? show_units(gatherer)
           : text_is(word, "rules")  ? show_rules(gatherer)
           : text_is(word, "gauges") ? show_gauges(gatherer)
                                     : (text){"", 0};
}

static status show_fault(const struct knowledge *knowledge, text word, span where,
                         struct diagnostics *diagnostics)
{
    struct nearest near = nearest_to(word);
    for (name_id name = 1; name <= names_last(knowledge->names); name++) {
        if (knowledge_part(knowledge, name) != NULL ||
            knowledge_recipe(knowledge, name) != NULL ||
            rule_find(knowledge->rules, name) != NULL ||
            vocabulary_kind(knowledge->vocabulary, name) != NULL ||
            vocabulary_relation(knowledge->vocabulary, name, NULL) != NULL) {
            nearest_offer(&near, names_text(knowledge->names, name));
        }
    }
    for (size_t i = 0; i < sizeof lists / sizeof *lists; i++) {
        nearest_offer(&near, text_of(lists[i]));
    }
    for (uint32_t i = 0; i < knowledge->functions.count; i++) {
        nearest_offer(&near, text_of(knowledge->functions.entries[i]->name));
    }
    struct diagnostic *report =
        diagnostics_report(diagnostics, CODE_NAME_UNKNOWN, where,
                           "nothing is called \"%.*s\"", TEXT_ARG(word));
    report->expected =
        TEXT("the name of a part, unit, kind, rule, relation or function, a "
             "maker's number, or `kinds`, `units`, `rules`, `functions` or `gauges` for "
             "a list");
    report->nearest = near.best.length > 0 ? near.best
                                           : typed_nearest(diagnostics_arena(diagnostics),
                                                           knowledge, word, TYPED_ANY);
    return STATUS_INVALID;
}

status show_word(struct arena *arena, const struct knowledge *knowledge, text word,
                 span where, struct diagnostics *diagnostics, struct shown *out)
{
    struct gatherer gatherer = {.arena = arena, .knowledge = knowledge};
    const name_id name = names_find(knowledge->names, word);
    const struct function_entry *function = find_function(knowledge, word);
    const struct part *part = name == NAME_NONE ? NULL : knowledge_part(knowledge, name);
    const struct recipe *recipe =
        name == NAME_NONE ? NULL : knowledge_recipe(knowledge, name);
    const struct rule *rule =
        name == NAME_NONE ? NULL : rule_find(knowledge->rules, name);
    const struct kind *kind =
        name == NAME_NONE ? NULL : vocabulary_kind(knowledge->vocabulary, name);
    const struct relation_shape *relation =
        name == NAME_NONE ? NULL : vocabulary_relation(knowledge->vocabulary, name, NULL);
    if (part != NULL) {
        out->heading = show_part(&gatherer, part);
    } else if (recipe != NULL) {
        out->heading = show_unit(&gatherer, recipe);
    } else if (rule != NULL) {
        out->heading = show_rule(&gatherer, rule);
    } else if (kind != NULL) {
        out->heading = show_kind(&gatherer, kind);
    } else if (relation != NULL) {
        out->heading = show_relation(&gatherer, relation);
    } else if (function != NULL) {
        out->heading = show_function(&gatherer, function);
    } else {
        out->heading = show_list(&gatherer, word, out);
    }
    if (out->heading.length == 0) {
        TRY(show_typed(&gatherer, word, &out->heading));
    }
    if (out->heading.length == 0) {
        return show_fault(knowledge, word, where, diagnostics);
    }
    out->lines = gatherer.lines.at;
    out->count = gatherer.lines.count;
    return arena_status(arena);
}
