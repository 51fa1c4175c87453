/* SPDX-License-Identifier: MIT */
/*
 * Conditions and conclusions: {relation: {column: term, …}}. A key variable may stand in
 * any number of key columns; a value variable is bound by just one value column, and
 * values meet in formulas.
 */
#include "rule_reader.h"

static bool is_variable(const struct node *word)
{
    return word->is_plain && text_starts(word->word, TEXT("$"));
}

static text variable_name(const struct node *word)
{
    return text_slice(word->word, 1, word->word.length);
}

static struct type column_type(const struct column *column)
{
    switch (column->kind) {
    case COLUMN_NAME:
    case COLUMN_WORD:
        return (struct type){.kind = TYPE_WORD, .is_exact = true};
    case COLUMN_NUMBER:
    case COLUMN_COUNT:
        return (struct type){TYPE_QUANTITY, true, DIMENSION_RATIO};
    case COLUMN_QUANTITY:
        break;
    }
    return (struct type){TYPE_QUANTITY, false, column->dim};
}

/* The rule whose check finds what is called like this, or NULL. */
static const struct rule_draft *check_called(const struct rule_reader *reader, text word)
{
    const name_id name = names_find(reader->around->names, word);
    for (uint32_t i = 0; name != NAME_NONE && i < reader->draft_count; i++) {
        if (reader->drafts[i].rule.has_check && reader->drafts[i].rule.name == name) {
            return &reader->drafts[i];
        }
    }
    return NULL;
}

static void refuse_relation(struct rule_reader *reader, const struct node_field *field)
{
    struct nearest near = nearest_to(field->key);
    for (uint32_t i = 0; i < reader->shape_count; i++) {
        nearest_offer(&near, names_text(reader->around->names, reader->shapes[i].name));
    }
    struct diagnostic *report =
        rule_report(reader, CODE_RELATION_UNKNOWN, field->key_where,
                    text_format(diagnostics_arena(reader->diagnostics),
                                "there is no relation \"%.*s\"", TEXT_ARG(field->key)));
    report->expected =
        TEXT("a relation, kind or rule with a check that vocabulary or rules hold");
    report->nearest = near.best;
}

static bool find_relation(struct rule_reader *reader, const struct node_field *field,
                          relation_id *out)
{
    const name_id name = names_find(reader->around->names, field->key);
    for (uint32_t i = 0; name != NAME_NONE && i < reader->shape_count; i++) {
        if (reader->shapes[i].name == name) {
            *out = i;
            return true;
        }
    }
    if (check_called(reader, field->key) != NULL) {
        reader->is_wrong = true; /* the fault in that check is reported already */
    } else {
        refuse_relation(reader, field);
    }
    return false;
}

static void refuse_column(struct rule_reader *reader, const struct relation_shape *shape,
                          const struct node_field *field)
{
    const struct names *names = reader->around->names;
    struct nearest near = nearest_to(field->key);
    text all = {"", 0};
    for (uint32_t c = 0; c < shape->key_count + shape->value_count; c++) {
        const text one = names_text(names, shape->columns[c].name);
        nearest_offer(&near, one);
        all = text_format(reader->arena, "%.*s%s%.*s", TEXT_ARG(all), c == 0 ? "" : ", ",
                          TEXT_ARG(one));
    }
    struct diagnostic *report = rule_report(
        reader, CODE_COLUMN_UNKNOWN, field->key_where,
        text_format(diagnostics_arena(reader->diagnostics), "%.*s has no column \"%.*s\"",
                    TEXT_ARG(names_text(names, shape->name)), TEXT_ARG(field->key)));
    report->expected = all;
    report->nearest = near.best;
}

/* The column a field names; -1 (reported) when the relation has none of that name. */
static int find_column(struct rule_reader *reader, const struct relation_shape *shape,
                       const struct node_field *field)
{
    const name_id name = names_find(reader->around->names, field->key);
    const int column = name == NAME_NONE ? -1 : vocabulary_column(shape, name);
    if (column < 0) {
        refuse_column(reader, shape, field);
    }
    return column;
}

/* A variable in a condition: bound here for the first time, or joined. */
static bool condition_variable(struct rule_reader *reader, const struct node *word,
                               const struct column *column, bool is_key, struct term *out)
{
    const text name = variable_name(word);
    const uint32_t known = rule_variable_find(reader, name);
    if (!rule_name_fits(reader, name, word->where)) {
        return false;
    }
    if (known == UINT32_MAX) {
        const struct rule_variable fresh = {.name = name,
                                            .is_key = is_key,
                                            .is_number_key =
                                                column->kind == COLUMN_NUMBER,
                                            .type = column_type(column),
                                            .where = word->where};
        out->variable = rule_variable_add(reader, fresh);
        return out->variable != UINT32_MAX;
    }
    const struct rule_variable *there = &reader->variables.at[known];
    out->variable = known;
    if (reader->at_fault.at[known]) {
        return false;
    }
    if (!is_key || !there->is_key) {
        rule_report(reader, CODE_VARIABLE_VALUE, word->where,
                    text_format(diagnostics_arena(reader->diagnostics),
                                "$%.*s is bound to a value and stands in two places",
                                TEXT_ARG(name)))
            ->expected =
            TEXT("a variable of its own here, and the two compared in `where`");
        return false;
    }
    if (there->is_number_key != (column->kind == COLUMN_NUMBER)) {
        rule_report(reader, CODE_VARIABLE_VALUE, word->where,
                    TEXT("a name and a count cannot be the same"));
        return false;
    }
    return true;
}

static bool is_choice(struct rule_reader *reader, const struct column *column,
                      const struct node *word)
{
    const struct names *names = reader->around->names;
    const name_id name = names_find(names, word->word);
    for (uint32_t i = 0; name != NAME_NONE && i < column->choice_count; i++) {
        if (column->choices[i] == name) {
            return true;
        }
    }
    struct nearest near = nearest_to(word->word);
    for (uint32_t i = 0; i < column->choice_count; i++) {
        nearest_offer(&near, names_text(names, column->choices[i]));
    }
    rule_report(reader, CODE_CHOICE_UNKNOWN, word->where,
                text_format(diagnostics_arena(reader->diagnostics),
                            "\"%.*s\" is no choice for %.*s", TEXT_ARG(word->word),
                            TEXT_ARG(names_text(names, column->name))))
        ->nearest = near.best;
    return false;
}

static bool constant_term(struct rule_reader *reader, const struct node *word,
                          const struct column *column, struct term *out)
{
    switch (column->kind) {
    case COLUMN_QUANTITY:
        rule_report(reader, CODE_SHAPE_WRONG, word->where,
                    TEXT("a quantity cannot be matched, only bound"))
            ->expected = TEXT("a $variable, compared in `where`");
        return false;
    case COLUMN_NUMBER:
    case COLUMN_COUNT:
        out->kind = TERM_NUMBER;
        if (node_count(word, reader->diagnostics, &out->number)) {
            return true;
        }
        reader->is_wrong = true;
        return false;
    case COLUMN_WORD:
        if (column->choices != NULL && !is_choice(reader, column, word)) {
            return false;
        }
        break;
    case COLUMN_NAME:
        break;
    }
    out->kind = TERM_NAME;
    out->name = names_add(reader->around->names, word->word);
    return true;
}

/* The one field of an item such as {relation: {…}}; NULL (reported) when it is otherwise.
 */
static const struct node_field *only_field(struct rule_reader *reader,
                                           const struct node *item)
{
    if (!rule_expect(reader, item, NODE_MAP, "a condition")) {
        return NULL;
    }
    if (item->count != 1 || item->fields[0].value->kind != NODE_MAP) {
        rule_report(reader, CODE_SHAPE_WRONG, item->where,
                    TEXT("a condition is one relation with its columns"))
            ->expected = TEXT("RELATION: {COLUMN: $variable, COLUMN: word}");
        return NULL;
    }
    return &item->fields[0];
}

/* How a variable of a term is taken: in a condition it may be new, in a conclusion it may
 * not. */
typedef bool take_variable(struct rule_reader *reader, const struct node *word,
                           const struct column *column, bool is_key, struct term *out);

/* Reads {relation: {column: term}}; NULL (reported) when something is at fault. */
static const struct term *read_terms(struct rule_reader *reader, const struct node *item,
                                     take_variable *take, relation_id *relation,
                                     const struct node_field **field_out)
{
    const struct node_field *field = only_field(reader, item);
    bool is_right = true;
    if (field == NULL || !find_relation(reader, field, relation)) {
        return NULL;
    }
    const struct relation_shape *shape = &reader->shapes[*relation];
    struct term *terms = ARENA_MANY(
        reader->arena, (size_t)shape->key_count + shape->value_count, struct term);
    for (uint32_t i = 0; terms != NULL && i < field->value->count; i++) {
        const struct node_field *entry = &field->value->fields[i];
        const int column = find_column(reader, shape, entry);
        if (column < 0 || !rule_expect(reader, entry->value, NODE_WORD, "a term")) {
            is_right = false;
            continue;
        }
        struct term *term = &terms[column];
        const bool is_key = (uint32_t)column < shape->key_count;
        term->where = entry->value->where;
        term->kind = is_variable(entry->value) ? TERM_VARIABLE : TERM_ANY;
        is_right =
            (term->kind == TERM_VARIABLE
                 ? take(reader, entry->value, &shape->columns[column], is_key, term)
                 : constant_term(reader, entry->value, &shape->columns[column], term)) &&
            is_right;
    }
    *field_out = field;
    return is_right ? terms : NULL;
}

/* The variables that a condition at fault should have bound. */
static void poison(struct rule_reader *reader, const struct node *item)
{
    for (uint32_t i = 0; item->kind == NODE_MAP && i < item->count; i++) {
        const struct node *columns = item->fields[i].value;
        for (uint32_t k = 0; columns->kind == NODE_MAP && k < columns->count; k++) {
            const struct node *word = columns->fields[k].value;
            if (word->kind == NODE_WORD && is_variable(word)) {
                rule_variable_poison(reader, variable_name(word));
            }
        }
    }
}

bool rule_condition(struct rule_reader *reader, const struct node *item,
                    struct condition *out)
{
    const struct node_field *field = NULL;
    out->terms = read_terms(reader, item, condition_variable, &out->relation, &field);
    out->where = field == NULL ? item->where : field->key_where;
    if (out->terms == NULL) {
        poison(reader, item);
    }
    return out->terms != NULL;
}

uint32_t rule_column_of(const struct rule_reader *reader,
                        const struct condition *condition, uint32_t variable)
{
    const struct relation_shape *shape = &reader->shapes[condition->relation];
    for (uint32_t c = 0; c < shape->key_count + shape->value_count; c++) {
        const struct term *term = &condition->terms[c];
        if (term->kind == TERM_VARIABLE && term->variable == variable) {
            return c;
        }
    }
    return UINT32_MAX;
}

void rule_hide(struct rule_reader *reader, uint32_t from)
{
    for (uint32_t i = from; i < reader->hidden.count; i++) {
        reader->hidden.at[i] = true;
    }
}

/* A variable that nothing binds, or that stands for nothing outside one condition. */
static void refuse_loose(struct rule_reader *reader, text name, span where)
{
    struct arena *arena = diagnostics_arena(reader->diagnostics);
    struct nearest near = nearest_to(name);
    uint32_t inner = UINT32_MAX;
    for (uint32_t i = 0; i < reader->variables.count; i++) {
        const bool is_hidden = reader->hidden.at[i];
        if (is_hidden && text_equal(reader->variables.at[i].name, name)) {
            inner = i;
        } else if (!is_hidden) {
            nearest_offer(&near, reader->variables.at[i].name);
        }
    }
    struct diagnostic *report =
        rule_report(reader, CODE_VARIABLE_LOOSE, where,
                    text_format(arena, "no condition binds $%.*s", TEXT_ARG(name)));
    report->expected = TEXT("a variable that stands in a column of `given`, or a name of "
                            "`let`, `count`, `sum`, `least` or `greatest`");
    report->nearest = inner == UINT32_MAX ? near.best : (text){"", 0};
    if (inner != UINT32_MAX) {
        diagnostic_note_add(report, reader->variables.at[inner].where,
                            TEXT("it stands here, for each row anew, and for nothing "
                                 "outside this denial or aggregate"));
    }
}

/* A number that a rule makes may not name a row: a rule that reads what it concludes
 * would make ever more of them. */
static void refuse_value_in_key(struct rule_reader *reader, const struct node *word,
                                const struct column *column,
                                const struct rule_variable *variable)
{
    struct arena *arena = diagnostics_arena(reader->diagnostics);
    const text name = names_text(reader->around->names, column->name);
    const char *what = variable->is_computed ? "computed"
                       : variable->is_key ? variable->is_number_key ? "a count" : "a name"
                                          : "a value";
    const char *wanted = column->kind == COLUMN_NUMBER ? "a count" : "a name";
    struct diagnostic *report = rule_report(
        reader, CODE_NUMBER_IN_LOOP, word->where,
        text_format(arena,
                    "$%.*s is %s, and the key column %.*s takes only %s that a row "
                    "has in a key column",
                    TEXT_ARG(variable->name), what, TEXT_ARG(name), wanted));
    report->expected =
        variable->is_computed
            ? TEXT("a value column for what is computed (a rule that read "
                   "its own conclusions would make ever more keys); for "
                   "steps in a row, a table that lists them")
            : TEXT("a variable that stands in such a key column of `given`, "
                   "or a value column for this one");
    diagnostic_note_add(report, variable->where, TEXT("it is bound here"));
}

/* A variable in a conclusion must be bound, and fit its column. */
static bool conclusion_variable(struct rule_reader *reader, const struct node *word,
                                const struct column *column, bool is_key,
                                struct term *out)
{
    const text name = variable_name(word);
    const uint32_t known = rule_variable_find(reader, name);
    if (known == UINT32_MAX) {
        refuse_loose(reader, name, word->where);
        return false;
    }
    const struct rule_variable *there = &reader->variables.at[known];
    const struct type wanted = column_type(column);
    out->variable = known;
    if (reader->at_fault.at[known]) {
        return false;
    }
    if (is_key &&
        (!there->is_key || there->is_number_key != (column->kind == COLUMN_NUMBER))) {
        refuse_value_in_key(reader, word, column, there);
        return false;
    }
    if (there->type.kind != wanted.kind ||
        (wanted.kind == TYPE_QUANTITY && !dimension_equal(wanted.dim, there->type.dim))) {
        rule_report(reader, CODE_FORMULA_TYPE, word->where,
                    text_format(diagnostics_arena(reader->diagnostics),
                                "$%.*s is of another kind than this column",
                                TEXT_ARG(name)));
        return false;
    }
    return true;
}

static bool all_columns_said(struct rule_reader *reader,
                             const struct relation_shape *shape, const struct term *terms,
                             const struct node_field *field)
{
    for (uint32_t c = 0; c < shape->key_count + shape->value_count; c++) {
        if (terms[c].kind == TERM_ANY) {
            rule_report(reader, CODE_RULE_WRONG, field->key_where,
                        text_format(diagnostics_arena(reader->diagnostics),
                                    "the conclusion leaves out the column %.*s",
                                    TEXT_ARG(names_text(reader->around->names,
                                                        shape->columns[c].name))))
                ->expected = TEXT("every column of the relation");
            return false;
        }
    }
    return true;
}

/* Findings are made by their own rule alone. */
static bool refuse_finding(struct rule_reader *reader, const struct node *item)
{
    const struct node_field *field =
        item->kind == NODE_MAP && item->count == 1 ? &item->fields[0] : NULL;
    const struct rule_draft *check =
        field == NULL ? NULL : check_called(reader, field->key);
    if (check == NULL) {
        return false;
    }
    struct diagnostic *report =
        rule_report(reader, CODE_FILLED_TWICE, field->key_where,
                    text_format(diagnostics_arena(reader->diagnostics),
                                "%.*s is filled by its own check", TEXT_ARG(field->key)));
    report->expected = TEXT("a relation that vocabulary.yaml marks `filled-by: rules`");
    diagnostic_note_add(report, check->rule.where, TEXT("that rule is here"));
    return true;
}

bool rule_conclusion(struct rule_reader *reader, const struct node *item,
                     struct conclusion *out)
{
    const struct node_field *field = NULL;
    out->where = item->where;
    if (refuse_finding(reader, item)) {
        return false;
    }
    out->terms = read_terms(reader, item, conclusion_variable, &out->relation, &field);
    out->where = field == NULL ? item->where : field->key_where;
    return out->terms != NULL &&
           all_columns_said(reader, &reader->shapes[out->relation], out->terms, field);
}
