/* SPDX-License-Identifier: MIT */
/*
 * Reads rules. A rule with a check fills a relation of its own name, whose columns are
 * its key variables; other rules may read it, so rule_rounds.c says in which order they
 * are read.
 *
 * Rules are sorted by name first, which fixes the numbers of rules and relations whatever
 * file they came from.
 */
#include "rule_reader.h"

#include "limits.h"

#include <stdlib.h>

struct diagnostic *rule_report(struct rule_reader *reader, enum diagnostic_code code,
                               span where, text message)
{
    reader->is_wrong = true;
    return diagnostics_add(reader->diagnostics, code, where, message);
}

bool rule_expect(struct rule_reader *reader, const struct node *node, enum node_kind kind,
                 const char *what)
{
    const bool is_right = node_expect(node, kind, what, reader->diagnostics);
    reader->is_wrong = reader->is_wrong || !is_right;
    return is_right;
}

uint32_t rule_variable_find(const struct rule_reader *reader, text name)
{
    for (uint32_t i = 0; i < reader->variables.count; i++) {
        if (!reader->hidden.at[i] && text_equal(reader->variables.at[i].name, name)) {
            return i;
        }
    }
    return UINT32_MAX;
}

bool rule_name_fits(struct rule_reader *reader, text name, span where)
{
    if (name.length > 0 && formula_name_length(name) == name.length) {
        return true;
    }
    rule_report(reader, CODE_RULE_WRONG, where,
                text_format(diagnostics_arena(reader->diagnostics),
                            "a variable cannot be called \"%.*s\"", TEXT_ARG(name)))
        ->expected = TEXT("letters and digits, with _ or hyphens between them");
    return false;
}

void rule_new_name(struct rule_reader *reader, const struct node_field *field)
{
    if (rule_name_fits(reader, field->key, field->key_where) &&
        rule_variable_find(reader, field->key) != UINT32_MAX) {
        rule_report(reader, CODE_VARIABLE_VALUE, field->key_where,
                    TEXT("a variable of this name is bound already"))
            ->expected = TEXT("a name of its own");
    }
}

uint32_t rule_variable_add(struct rule_reader *reader, struct rule_variable variable)
{
    if (reader->variables.count >= LIMIT_VARIABLES) {
        rule_report(reader, CODE_RULE_WRONG, reader->draft->rule.where,
                    TEXT("this rule has too many variables"))
            ->expected = TEXT("at most 64");
        return UINT32_MAX;
    }
    if (!ARRAY_PUSH(reader->arena, &reader->hidden, false) ||
        !ARRAY_PUSH(reader->arena, &reader->at_fault, false) ||
        !ARRAY_PUSH(reader->arena, &reader->variables, variable)) {
        return UINT32_MAX;
    }
    return reader->variables.count - 1;
}

void rule_variable_poison(struct rule_reader *reader, text name)
{
    if (rule_variable_find(reader, name) != UINT32_MAX) {
        return;
    }
    const uint32_t slot =
        rule_variable_add(reader, (struct rule_variable){.name = name, .is_key = true});
    if (slot != UINT32_MAX) {
        reader->at_fault.at[slot] = true;
    }
}

/* Names the literals of a formula: two lets of a rule, and two rules, may write the same
 * limits and still mean two dimensions. */
static text formula_owner(const struct rule_reader *reader)
{
    const text rule = names_text(reader->around->names, reader->draft->rule.name);
    return reader->let.length == 0 ? rule
                                   : text_format(reader->arena, "%.*s of %.*s",
                                                 TEXT_ARG(reader->let), TEXT_ARG(rule));
}

const struct formula *rule_formula(struct rule_reader *reader, text formula, span where,
                                   bool is_blank)
{
    const struct formula *made = NULL;
    struct scope_variable *variables =
        ARENA_MANY(reader->arena, reader->variables.count, struct scope_variable);
    for (uint32_t i = 0; variables != NULL && i < reader->variables.count; i++) {
        variables[i] = (struct scope_variable){reader->variables.at[i].name,
                                               reader->variables.at[i].type};
    }
    const struct scope scope = {.variables = variables,
                                .is_at_fault = reader->at_fault.at,
                                .is_hidden = reader->hidden.at,
                                .count = reader->variables.count,
                                .functions = reader->around->functions,
                                .limits = reader->around->limits,
                                .names = reader->around->names,
                                .bare_variables = is_blank,
                                .owner = formula_owner(reader)};
    if (variables == NULL || formula_read(reader->arena, formula, where, &scope,
                                          reader->diagnostics, &made) != STATUS_OK) {
        reader->is_wrong = true;
        return NULL;
    }
    rule_check_words(reader, made);
    return made;
}

static const struct formula *word_formula(struct rule_reader *reader,
                                          const struct node *word, const char *what)
{
    return rule_expect(reader, word, NODE_WORD, what)
               ? rule_formula(reader, word->word,
                              node_text_span(word, 0, word->word.length), false)
               : NULL;
}

const struct formula *rule_truth(struct rule_reader *reader, const struct node *word,
                                 const char *what)
{
    const struct formula *made = word_formula(reader, word, what);
    if (made != NULL && formula_type(made).kind != TYPE_TRUTH) {
        rule_report(reader, CODE_FORMULA_TYPE, word->where, TEXT("this is not yes or no"))
            ->expected = TEXT("a comparison such as $a <= $b");
        return NULL;
    }
    return made;
}

/* ---- the parts of a rule */

const struct node *rule_list(struct rule_reader *reader, const char *key)
{
    const struct node *list = node_field_of(reader->draft->map, key);
    if (list == NULL || !rule_expect(reader, list, NODE_LIST, key)) {
        return NULL;
    }
    if (list->count > LIMIT_CONDITIONS) {
        rule_report(reader, CODE_RULE_WRONG, list->where, TEXT("this list is too long"))
            ->expected = TEXT("at most 24 conditions");
        return NULL;
    }
    return list;
}

static void read_given(struct rule_reader *reader)
{
    struct rule *rule = &reader->draft->rule;
    const struct node *list = rule_list(reader, "given");
    if (list == NULL && node_field_of(reader->draft->map, "given") != NULL) {
        return; /* what is wrong with it is reported */
    }
    if (list == NULL || list->count == 0) {
        rule_report(reader, CODE_RULE_WRONG, rule->where, TEXT("a rule needs `given`"))
            ->expected = TEXT("given: [RELATION: {COLUMN: $variable}]");
        return;
    }
    struct condition *given = ARENA_MANY(reader->arena, list->count, struct condition);
    for (uint32_t i = 0; given != NULL && i < list->count; i++) {
        (void)rule_condition(reader, list->items[i], &given[i]);
    }
    rule->given = given;
    rule->given_count = given == NULL ? 0 : list->count;
}

static void read_unless(struct rule_reader *reader)
{
    struct rule *rule = &reader->draft->rule;
    const struct node *list = rule_list(reader, "unless");
    if (list == NULL) {
        return;
    }
    struct condition *unless = ARENA_MANY(reader->arena, list->count, struct condition);
    for (uint32_t i = 0; unless != NULL && i < list->count; i++) {
        const uint32_t first = reader->variables.count;
        (void)rule_condition(reader, list->items[i], &unless[i]);
        rule_hide(reader, first);
    }
    rule->unless = unless;
    rule->unless_count = unless == NULL ? 0 : list->count;
}

static void read_lets(struct rule_reader *reader)
{
    struct rule *rule = &reader->draft->rule;
    const struct node *map = node_field_of(reader->draft->map, "let");
    if (map == NULL || !rule_expect(reader, map, NODE_MAP, "`let`")) {
        return;
    }
    struct let *lets = ARENA_MANY(reader->arena, map->count, struct let);
    for (uint32_t i = 0; lets != NULL && i < map->count; i++) {
        const struct node_field *field = &map->fields[i];
        reader->let = field->key;
        lets[i].formula = word_formula(reader, field->value, "a formula");
        reader->let = (text){"", 0};
        rule_new_name(reader, field);
        if (lets[i].formula == NULL) {
            rule_variable_poison(reader, field->key);
            continue;
        }
        lets[i].variable = rule_variable_add(
            reader, (struct rule_variable){.name = field->key,
                                           .type = formula_type(lets[i].formula),
                                           .is_computed = true,
                                           .where = field->key_where});
    }
    rule->lets = lets;
    rule->let_count = lets == NULL ? 0 : map->count;
}

static void read_filters(struct rule_reader *reader)
{
    struct rule *rule = &reader->draft->rule;
    const struct node *where = node_field_of(reader->draft->map, "where");
    if (where == NULL) {
        return;
    }
    const bool is_one = where->kind == NODE_WORD;
    if (!is_one && !rule_expect(reader, where, NODE_LIST, "`where`")) {
        return;
    }
    const uint32_t count = is_one ? 1 : where->count;
    const struct formula **filters =
        ARENA_MANY(reader->arena, count, const struct formula *);
    for (uint32_t i = 0; filters != NULL && i < count; i++) {
        filters[i] = rule_truth(reader, is_one ? where : where->items[i], "a condition");
    }
    rule->filters = filters;
    rule->filter_count = filters == NULL ? 0 : count;
}

static void read_conclusions(struct rule_reader *reader)
{
    struct rule *rule = &reader->draft->rule;
    const struct node *list = rule_list(reader, "conclude");
    if (list == NULL) {
        return;
    }
    struct conclusion *conclusions =
        ARENA_MANY(reader->arena, list->count, struct conclusion);
    for (uint32_t i = 0; conclusions != NULL && i < list->count; i++) {
        (void)rule_conclusion(reader, list->items[i], &conclusions[i]);
    }
    rule->conclusions = conclusions;
    rule->conclusion_count = conclusions == NULL ? 0 : list->count;
}

static void read_weight(struct rule_reader *reader, const struct node *check)
{
    const struct node *word = NULL;
    if (!node_word(check, "weight", "a check", reader->diagnostics, &word)) {
        reader->is_wrong = true;
        return;
    }
    const bool is_caution = text_is(word->word, "cautions");
    if (!is_caution && !text_is(word->word, "stops")) {
        struct nearest near = nearest_to(word->word);
        nearest_offer(&near, TEXT("stops"));
        nearest_offer(&near, TEXT("cautions"));
        struct diagnostic *report = rule_report(reader, CODE_CHOICE_UNKNOWN, word->where,
                                                TEXT("a check has one of two weights"));
        report->expected = TEXT("stops or cautions");
        report->nearest = near.best;
    }
    reader->draft->rule.weight = is_caution ? WEIGHT_CAUTIONS : WEIGHT_STOPS;
}

static void read_answer(struct rule_reader *reader, const struct node *word)
{
    struct rule *rule = &reader->draft->rule;
    if (!rule_expect(reader, word, NODE_WORD, "`answers`")) {
        return;
    }
    if (text_is(word->word, "leaks")) {
        rule->answers_leaks = true;
    } else if (text_is(word->word, "lint")) {
        rule->answers_lint = true;
    } else if (text_is(word->word, "swap")) {
        rule->answers_swap = true;
    } else {
        rule_report(reader, CODE_CHOICE_UNKNOWN, word->where,
                    TEXT("no question of this name shows findings"))
            ->expected = TEXT("swap, leaks or lint");
    }
}

/* answers: leaks, or a list: which questions show the findings. Every rule answers swap,
 * but for one that answers lint alone. */
static void read_answers(struct rule_reader *reader)
{
    const struct node *answers = node_field_of(reader->draft->map, "answers");
    struct rule *rule = &reader->draft->rule;
    if (answers != NULL && answers->kind != NODE_LIST) {
        read_answer(reader, answers);
    }
    for (uint32_t i = 0;
         answers != NULL && answers->kind == NODE_LIST && i < answers->count; i++) {
        read_answer(reader, answers->items[i]);
    }
    rule->answers_swap =
        rule->answers_swap || (!rule->answers_lint && !rule->answers_sheet);
}

static enum judged read_judged(struct rule_reader *reader, const struct node *check)
{
    const struct node *word = node_field_of(check, "judged");
    if (word == NULL || !rule_expect(reader, word, NODE_WORD, "`judged`")) {
        return JUDGED_BY_DIFFERENCE;
    }
    if (!text_is(word->word, "absolutely") && !text_is(word->word, "where-it-arises")) {
        rule_report(reader, CODE_CHOICE_UNKNOWN, word->where,
                    TEXT("a finding is not judged this way"))
            ->expected = TEXT("absolutely, or where-it-arises");
    }
    return text_is(word->word, "absolutely") ? JUDGED_ABSOLUTELY : JUDGED_WHERE_IT_ARISES;
}

static void read_check(struct rule_reader *reader)
{
    static const char *const known[] = {"margin", "weight", "judged", NULL};
    struct rule *rule = &reader->draft->rule;
    const struct node *check = node_field_of(reader->draft->map, "check");
    const struct node *because = node_field_of(reader->draft->map, "because");
    if (check == NULL || !rule_expect(reader, check, NODE_MAP, "`check`")) {
        return;
    }
    node_refuse_others(check, known, "a check", reader->diagnostics);
    read_weight(reader, check);
    rule->judged = read_judged(reader, check);
    const struct node *margin = node_field_of(check, "margin");
    if (margin == NULL || because == NULL) {
        rule_report(reader, CODE_RULE_WRONG, check->where,
                    TEXT("a check needs a margin, and its rule a `because`"))
            ->expected =
            TEXT("check: {margin: FORMULA, weight: stops} and because: \"…\"");
        return;
    }
    rule->margin = word_formula(reader, margin, "`margin`");
    if (rule->margin != NULL && formula_type(rule->margin).kind != TYPE_QUANTITY) {
        rule_report(reader, CODE_FORMULA_TYPE, margin->where,
                    TEXT("a margin is a quantity"))
            ->expected = TEXT("how far the check is from failing: + holds, - fails");
    }
    (void)rule_sentence(reader, because, &rule->because);
}

static void read_line(struct rule_reader *reader)
{
    static const char *const known[] = {"section", "order", "text", NULL};
    struct rule *rule = &reader->draft->rule;
    const struct node *line = node_field_of(reader->draft->map, "line");
    const struct node *section = NULL;
    if (line == NULL || !rule_expect(reader, line, NODE_MAP, "`line`")) {
        return;
    }
    const struct node *order = node_field_of(line, "order");
    const struct node *words = node_field_of(line, "text");
    node_refuse_others(line, known, "a line", reader->diagnostics);
    if (node_field_of(reader->draft->map, "check") != NULL || order == NULL ||
        words == NULL ||
        !node_word(line, "section", "a line", reader->diagnostics, &section)) {
        rule_report(reader, CODE_RULE_WRONG, line->where,
                    TEXT("a line needs a section, an order and a text, and its rule has "
                         "no check"))
            ->expected = TEXT("line: {section: fit, order: FORMULA, text: \"…\"}");
        return;
    }
    rule->answers_sheet = true;
    rule->section = section->word;
    rule->section_where = section->where;
    rule->weight = WEIGHT_CAUTIONS;
    rule->margin = word_formula(reader, order, "`order`");
    if (rule->margin != NULL &&
        (formula_type(rule->margin).kind != TYPE_QUANTITY ||
         !dimension_equal(formula_type(rule->margin).dim, DIMENSION_RATIO))) {
        rule_report(reader, CODE_FORMULA_TYPE, order->where,
                    TEXT("an order is a plain number"))
            ->expected = TEXT("where the line stands in its section: the least first");
    }
    (void)rule_sentence(reader, words, &rule->because);
}

/* ---- one rule, all rules */

/* What can be said once all of a sound rule is read. */
static void check_whole(struct rule_reader *reader)
{
    struct rule *rule = &reader->draft->rule;
    if (rule->has_check) {
        rule_finding_shape(reader);
    }
    rule->variables = arena_copy(reader->arena, reader->variables.at,
                                 reader->variables.count * sizeof(struct rule_variable));
    rule->variable_count = reader->variables.count;
    if (!reader->is_wrong && arena_status(reader->arena) == STATUS_OK) {
        rule_check_filled(reader, rule);
        rule_check_local(reader, rule);
    }
}

void rule_read_one(struct rule_reader *reader, struct rule_draft *draft)
{
    static const char *const known[] = {
        "rule",  "says",     "source", "given",   "unless", "count",    "sum",
        "least", "greatest", "every",  "let",     "where",  "conclude", "check",
        "mend",  "because",  "over",   "answers", "line",   NULL};
    struct rule *rule = &draft->rule;
    const uint32_t before = diagnostics_count(reader->diagnostics);
    const bool was_wrong = reader->is_wrong;
    reader->is_wrong = false;
    reader->draft = draft;
    reader->variables.count = 0;
    reader->hidden.count = 0;
    reader->at_fault.count = 0;
    draft->is_read = true;
    node_refuse_others(draft->map, known, "a rule", reader->diagnostics);
    read_given(reader);
    read_unless(reader);
    rule_read_tallies(reader);
    read_lets(reader);
    read_filters(reader);
    read_conclusions(reader);
    read_check(reader);
    read_line(reader);
    rule_read_mends(reader);
    read_answers(reader);
    if (!rule->has_check && rule->conclusion_count == 0) {
        rule_report(reader, CODE_RULE_WRONG, rule->where,
                    TEXT("a rule concludes something or checks something"))
            ->expected = TEXT("`conclude`, `check` or `line`");
    }
    reader->is_wrong =
        reader->is_wrong || diagnostics_count(reader->diagnostics) > before;
    if (!reader->is_wrong && arena_status(reader->arena) == STATUS_OK) {
        check_whole(reader);
    }
    reader->is_wrong = reader->is_wrong || was_wrong;
}

static text word_of(struct rule_reader *reader, const struct node *map, const char *key)
{
    const struct node *word = node_field_of(map, key);
    return word != NULL && rule_expect(reader, word, NODE_WORD, key) ? word->word
                                                                     : map->word;
}

static bool read_over(struct rule_reader *reader, const struct node *map)
{
    const struct node *word = node_field_of(map, "over");
    if (word == NULL || !rule_expect(reader, word, NODE_WORD, "`over`")) {
        return false;
    }
    if (!text_is(word->word, "catalogue")) {
        rule_report(reader, CODE_CHOICE_UNKNOWN, word->where,
                    TEXT("a rule runs over each unit, or once over the catalogue"))
            ->expected = TEXT("catalogue");
        return false;
    }
    return true;
}

/* Name, source and what else can be read before any relation is known. */
static void open_rule(struct rule_reader *reader, const struct node *map,
                      struct rule_draft *out)
{
    const struct node *name = NULL;
    *out = (struct rule_draft){.map = map, .rule = {.where = map->where}};
    if (!rule_expect(reader, map, NODE_MAP, "a rule") ||
        !node_word(map, "rule", "a rule", reader->diagnostics, &name)) {
        reader->is_wrong = true;
        out->is_read = true; /* nothing more is said of it */
        return;
    }
    out->is_named = true;
    out->rule.name = names_add(reader->around->names, name->word);
    out->rule.where = name->where;
    out->rule.says = word_of(reader, map, "says");
    out->rule.source = word_of(reader, map, "source");
    out->rule.has_check =
        node_field_of(map, "check") != NULL || node_field_of(map, "line") != NULL;
    out->rule.over_catalogue = read_over(reader, map);
    if (out->rule.source.length == 0) {
        rule_report(reader, CODE_RULE_WRONG, name->where,
                    TEXT("a rule says where it comes from"))
            ->expected =
            TEXT("source: a standard, a handbook, or common practice, no source");
    }
}

static uint32_t count_rules(const struct node *const *documents, uint32_t count)
{
    uint32_t rules = 0;
    for (uint32_t i = 0; i < count; i++) {
        const struct node *list = node_field_of(documents[i], "rules");
        rules += list != NULL && list->kind == NODE_LIST ? list->count : 1;
    }
    return rules;
}

static void open_document(struct rule_reader *reader, const struct node *document)
{
    static const char *const known[] = {"pack", "says", "source", "rules", NULL};
    const struct node *list = node_field_of(document, "rules");
    if (list == NULL) {
        open_rule(reader, document, &reader->drafts[reader->draft_count++]);
        return;
    }
    node_refuse_others(document, known, "a pack of rules", reader->diagnostics);
    if (!rule_expect(reader, list, NODE_LIST, "`rules`")) {
        return;
    }
    for (uint32_t i = 0; i < list->count; i++) {
        open_rule(reader, list->items[i], &reader->drafts[reader->draft_count++]);
    }
}

struct sort_entry {
    text name;
    struct rule_draft draft;
};

static int compare_entries(const void *a, const void *b)
{
    const struct sort_entry *left = a;
    const struct sort_entry *right = b;
    return text_compare(left->name, right->name);
}

static status sort_drafts(struct rule_reader *reader)
{
    const uint32_t count = reader->draft_count;
    struct sort_entry *entries = ARENA_MANY(reader->arena, count, struct sort_entry);
    TRY(arena_status(reader->arena));
    for (uint32_t i = 0; i < count; i++) {
        entries[i] = (struct sort_entry){
            names_text(reader->around->names, reader->drafts[i].rule.name),
            reader->drafts[i]};
    }
    if (count > 1) {
        qsort(entries, count, sizeof *entries, compare_entries);
    }
    for (uint32_t i = 0; i < count; i++) {
        reader->drafts[i] = entries[i].draft;
        const struct rule *rule = &reader->drafts[i].rule;
        if (i > 0 && rule->name == reader->drafts[i - 1].rule.name &&
            rule->name != NAME_NONE) {
            struct diagnostic *report = rule_report(
                reader, CODE_NAME_DOUBLED, rule->where, TEXT("two rules have this name"));
            diagnostic_note_add(report, reader->drafts[i - 1].rule.where,
                                TEXT("the other is here"));
        }
    }
    return STATUS_OK;
}

/* The vocabulary's relations, and room for one a check. */
static status open_shapes(struct rule_reader *reader)
{
    const struct vocabulary *vocabulary = reader->around->vocabulary;
    reader->shape_count = vocabulary->shape_count;
    for (uint32_t i = 0; i < reader->draft_count; i++) {
        struct rule *rule = &reader->drafts[i].rule;
        if (rule->has_check) {
            rule->finding = reader->shape_count++;
            if (vocabulary_relation(vocabulary, rule->name, NULL) != NULL) {
                rule_report(
                    reader, CODE_NAME_DOUBLED, rule->where,
                    TEXT("a relation of the vocabulary has the name of this check"));
            }
        }
    }
    reader->shapes =
        ARENA_MANY(reader->arena, reader->shape_count + 1, struct relation_shape);
    TRY(arena_status(reader->arena));
    for (uint32_t i = 0; i < vocabulary->shape_count; i++) {
        reader->shapes[i] = vocabulary->shapes[i];
    }
    return STATUS_OK;
}

/* Where lists can be partial, the shape of what may be missing from what rules conclude:
 * of this owner, from this relation. Its name is none that a text could mention. */
static status add_lacking(struct rule_reader *reader, struct rule_base *base)
{
    struct names *names = reader->around->names;
    struct column *columns = ARENA_MANY(reader->arena, 2, struct column);
    base->partial = base->lacking = NO_RELATION;
    if (columns == NULL ||
        vocabulary_relation(reader->around->vocabulary,
                            names_find(names, TEXT("partial")), &base->partial) == NULL) {
        return arena_status(reader->arena);
    }
    columns[0] = (struct column){.name = names_add(names, TEXT("owner"))};
    columns[1] = (struct column){.name = names_add(names, TEXT("list"))};
    base->lacking = base->shape_count++;
    reader->shapes[base->lacking] = (struct relation_shape){
        .name = names_add(names, TEXT("may lack rows")),
        .filled = FILLED_BY_COMPUTING,
        .is_owned = true,
        .key_count = 2,
        .columns = columns,
        .says = text_copy(reader->arena, TEXT("What partial lists leave open."))};
    return arena_status(reader->arena);
}

status rules_read(struct arena *arena, const struct rule_surroundings *surroundings,
                  const struct node *const *documents, uint32_t count,
                  struct diagnostics *diagnostics, const struct rule_base **out)
{
    struct rule_reader reader = {
        .arena = arena, .around = surroundings, .diagnostics = diagnostics};
    const uint32_t before = diagnostics_count(diagnostics);
    struct rule_base *base = ARENA_NEW(arena, struct rule_base);
    reader.drafts = ARENA_MANY(arena, count_rules(documents, count), struct rule_draft);
    TRY(arena_status(arena));
    for (uint32_t i = 0; i < count; i++) {
        open_document(&reader, documents[i]);
    }
    TRY(sort_drafts(&reader));
    TRY(open_shapes(&reader));
    rule_read_all(&reader);
    TRY(arena_status(arena));
    if (reader.is_wrong || diagnostics_count(diagnostics) > before) {
        return STATUS_INVALID;
    }
    struct rule *rules = ARENA_MANY(arena, reader.draft_count, struct rule);
    TRY(arena_status(arena));
    for (uint32_t i = 0; i < reader.draft_count; i++) {
        rules[i] = reader.drafts[i].rule;
    }
    *base = (struct rule_base){.shapes = reader.shapes,
                               .shape_count = reader.shape_count,
                               .rules = rules,
                               .rule_count = reader.draft_count,
                               .vocabulary = surroundings->vocabulary};
    TRY(add_lacking(&reader, base));
    TRY(rule_groups_make(&reader, base));
    *out = base;
    return reader.is_wrong ? STATUS_INVALID : STATUS_OK;
}

const struct rule *rule_find(const struct rule_base *base, name_id name)
{
    for (uint32_t i = 0; i < base->rule_count; i++) {
        if (base->rules[i].name == name) {
            return &base->rules[i];
        }
    }
    return NULL;
}
