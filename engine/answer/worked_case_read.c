/* SPDX-License-Identifier: MIT */
/* From the document of a file of worked cases to what each asks and expects. */
#include "worked_case.h"

#include "array.h"
#include "limits.h"
#include "nearest.h"

struct case_reader {
    struct arena *arena;
    struct diagnostics *diagnostics;
};

const char *expected_number_word(uint32_t which)
{
    static const char *const words[] = {"margin", "least", "greatest", "spread"};
    return words[which];
}

const char *expected_line_word(uint32_t which)
{
    static const char *const words[] = {"work", "assumed", "left-over", "left-empty"};
    return words[which];
}

/* ---- words that must be one of a few */

typedef const char *choice_word(uint32_t which);

static const char *outcome_choice(uint32_t which)
{
    return which <= OUTCOME_UNKNOWN ? outcome_word((enum outcome)which) : NULL;
}

static const char *verdict_choice(uint32_t which)
{
    return which <= VERDICT_NOT_KNOWN ? verdict_word((enum verdict)which) : NULL;
}

static const char *leaks_choice(uint32_t which)
{
    return which <= LEAKS_AMISS ? leaks_word((enum leaks)which) : NULL;
}

static const char *code_choice(uint32_t which)
{
    return which < DIAGNOSTIC_CODE_COUNT
               ? diagnostic_code_word((enum diagnostic_code)which)
               : NULL;
}

static const char *machine_choice(uint32_t which)
{
    return which == 0 ? "machine" : NULL;
}

static const char *asks_choice(uint32_t which)
{
    return which == 0 ? "lint" : NULL;
}

static void expect_choice(struct case_reader *reader, const struct node *word,
                          choice_word *choice, const char *what, const char *expected)
{
    if (word == NULL || !node_expect(word, NODE_WORD, what, reader->diagnostics)) {
        return;
    }
    struct nearest near = nearest_to(word->word);
    for (uint32_t i = 0; choice(i) != NULL; i++) {
        if (text_is(word->word, choice(i))) {
            return;
        }
        nearest_offer(&near, text_of(choice(i)));
    }
    struct diagnostic *report =
        diagnostics_report(reader->diagnostics, CODE_CHOICE_UNKNOWN, word->where,
                           "there is no %s \"%.*s\"", what, TEXT_ARG(word->word));
    report->expected = text_of(expected);
    report->nearest = near.best;
}

/* ---- shapes */

/* Whether it is a list of nodes of one kind. */
static bool is_list_of(struct case_reader *reader, const struct node *list,
                       const char *what, enum node_kind kind)
{
    if (!node_expect(list, NODE_LIST, what, reader->diagnostics)) {
        return false;
    }
    for (uint32_t i = 0; i < list->count; i++) {
        if (!node_expect(list->items[i], kind, "an item of this list",
                         reader->diagnostics)) {
            return false;
        }
    }
    return true;
}

/* The list under a key, of nodes of one kind; NULL where there is none, or it is at
 * fault. */
static const struct node *list_of(struct case_reader *reader, const struct node *map,
                                  const char *key, enum node_kind kind)
{
    const struct node *list = node_field_of(map, key);
    return list != NULL && is_list_of(reader, list, key, kind) ? list : NULL;
}

/* The map of words under a key; NULL likewise. */
static const struct node *words_of(struct case_reader *reader, const struct node *map,
                                   const char *key)
{
    const struct node *words = node_field_of(map, key);
    if (words == NULL || !node_expect(words, NODE_MAP, key, reader->diagnostics)) {
        return NULL;
    }
    for (uint32_t i = 0; i < words->count; i++) {
        if (!node_expect(words->fields[i].value, NODE_WORD, "this value",
                         reader->diagnostics)) {
            return NULL;
        }
    }
    return words;
}

static bool read_flag(struct case_reader *reader, const struct node *map, const char *key)
{
    const struct node *word = node_field_of(map, key);
    bool is_so = false;
    return word != NULL && node_flag(word, reader->diagnostics, &is_so) && is_so;
}

/* ---- the question */

static const struct worded_pair *read_pairs(struct case_reader *reader,
                                            const struct node *question, const char *key,
                                            uint32_t *count)
{
    const struct node *map = words_of(reader, question, key);
    *count = map == NULL ? 0 : map->count;
    struct worded_pair *pairs = ARENA_MANY(reader->arena, *count, struct worded_pair);
    for (uint32_t i = 0; pairs != NULL && i < *count; i++) {
        const struct node_field *field = &map->fields[i];
        pairs[i] = (struct worded_pair){field->key, field->value->word, field->key_where,
                                        field->value->where};
    }
    return pairs;
}

static void read_question(struct case_reader *reader, const struct node *item,
                          struct question *out)
{
    static const char *const known[] = {"unit",  "changes", "given",
                                        "allow", "asks",    NULL};
    const struct node *map = node_field_of(item, "question");
    const struct node *unit = NULL;
    if (map == NULL) {
        diagnostics_report(reader->diagnostics, CODE_FIELD_MISSING, item->where,
                           "a case needs `question`")
            ->expected = TEXT("question: {unit: UNIT, changes: {PLACE: PART}}");
        return;
    }
    if (!node_expect(map, NODE_MAP, "`question`", reader->diagnostics)) {
        return;
    }
    node_refuse_others(map, known, "a question", reader->diagnostics);
    if (!node_word(map, "unit", "a question", reader->diagnostics, &unit)) {
        return;
    }
    const struct node *allow = list_of(reader, map, "allow", NODE_WORD);
    for (uint32_t i = 0; allow != NULL && i < allow->count; i++) {
        expect_choice(reader, allow->items[i], machine_choice, "mend to allow",
                      "machine");
    }
    const struct node *asks = node_field_of(map, "asks");
    expect_choice(reader, asks, asks_choice, "question", "lint; else it is a swap");
    *out = (struct question){.command = asks == NULL ? TEXT("swap") : asks->word,
                             .unit = unit->word,
                             .unit_where = unit->where,
                             .allows_machining = allow != NULL && allow->count > 0};
    out->changes = read_pairs(reader, map, "changes", &out->change_count);
    out->given = read_pairs(reader, map, "given", &out->given_count);
}

/* ---- what is expected */

static void read_number(struct case_reader *reader, const struct node *map,
                        const char *key, struct expected_number *out)
{
    const struct node *word = node_field_of(map, key);
    const struct stated_options options = {.any_dimension = true};
    struct stated stated;
    if (word != NULL && node_expect(word, NODE_WORD, key, reader->diagnostics) &&
        stated_read(word->word, word->where, &options, reader->diagnostics, &stated) ==
            STATUS_OK) {
        *out = (struct expected_number){word, stated.unit, stated.nominal};
    }
}

static void read_finding(struct case_reader *reader, const struct node *map,
                         struct expected_finding *out)
{
    static const char *const known[] = {"rule",     "subject", "outcome",
                                        "counts",   "margin",  "least",
                                        "greatest", "spread",  NULL};
    bool is_so = false;
    *out = (struct expected_finding){.where = map->where,
                                     .subject = words_of(reader, map, "subject"),
                                     .outcome = node_field_of(map, "outcome"),
                                     .counts = node_field_of(map, "counts")};
    node_refuse_others(map, known, "an expected finding", reader->diagnostics);
    (void)node_word(map, "rule", "an expected finding", reader->diagnostics, &out->rule);
    expect_choice(reader, out->outcome, outcome_choice, "outcome",
                  "holds, fails, unsure or unknown");
    if (out->counts != NULL) {
        (void)node_flag(out->counts, reader->diagnostics, &is_so);
    }
    for (uint32_t i = 0; i < EXPECTED_NUMBERS; i++) {
        read_number(reader, map, expected_number_word(i), &out->numbers[i]);
    }
}

static void read_findings(struct case_reader *reader, const struct node *expect,
                          struct worked_case *out)
{
    const struct node *list = list_of(reader, expect, "findings", NODE_MAP);
    const uint32_t count = list == NULL ? 0 : list->count;
    struct expected_finding *findings =
        ARENA_MANY(reader->arena, count, struct expected_finding);
    for (uint32_t i = 0; findings != NULL && i < count; i++) {
        read_finding(reader, list->items[i], &findings[i]);
    }
    out->findings = findings;
    out->finding_count = findings == NULL ? 0 : count;
}

static void read_sheet(struct case_reader *reader, const struct node *expect,
                       struct worked_case *out)
{
    const struct node *sheet = node_field_of(expect, "sheet");
    if (sheet == NULL || !node_expect(sheet, NODE_MAP, "`sheet`", reader->diagnostics)) {
        return;
    }
    for (uint32_t i = 0; i < sheet->count; i++) {
        if (!is_list_of(reader, sheet->fields[i].value, "a section", NODE_WORD)) {
            return;
        }
    }
    out->sheet = sheet;
    if (!text_is(out->question.command, "lint")) {
        out->question.command = TEXT("sheet");
    }
}

static void read_expect(struct case_reader *reader, const struct node *item,
                        struct worked_case *out)
{
    static const char *const known[] = {"verdict", "leaks",   "findings",  "nothing-else",
                                        "work",    "assumed", "left-over", "left-empty",
                                        "missing", "refused", "rows",      "open-rows",
                                        "no-rows", "sheet",   NULL};
    const struct node *map = node_field_of(item, "expect");
    if (map == NULL || (map->kind == NODE_MAP && map->count == 0)) {
        diagnostics_report(reader->diagnostics, CODE_FIELD_MISSING,
                           map == NULL ? item->where : map->where,
                           "a case that expects nothing cannot fail")
            ->expected = TEXT("expect: {verdict: VERDICT, findings: [{rule: RULE}]}");
        return;
    }
    if (!node_expect(map, NODE_MAP, "`expect`", reader->diagnostics)) {
        return;
    }
    node_refuse_others(map, known, "what a case expects", reader->diagnostics);
    out->verdict = node_field_of(map, "verdict");
    out->leaks = node_field_of(map, "leaks");
    out->refused = node_field_of(map, "refused");
    expect_choice(reader, out->verdict, verdict_choice, "verdict",
                  "fits, fits with work, does not fit or not known");
    expect_choice(reader, out->leaks, leaks_choice, "answer to leaks",
                  "no leak, leaks, not known or not in order");
    expect_choice(reader, out->refused, code_choice, "fault",
                  "the code of a fault, as it is shown in [ ]");
    if (out->refused != NULL && map->count > 1) {
        diagnostics_report(reader->diagnostics, CODE_FIELD_UNKNOWN, map->where,
                           "a question that is refused gives no answer")
            ->expected = TEXT("`refused` alone");
    }
    read_findings(reader, map, out);
    out->is_nothing_else = read_flag(reader, map, "nothing-else");
    for (uint32_t i = 0; i < EXPECTED_LINES; i++) {
        out->lines[i] = list_of(reader, map, expected_line_word(i), NODE_WORD);
    }
    out->missing = list_of(reader, map, "missing", NODE_WORD);
    for (uint32_t i = 0; i < EXPECTED_ROWS; i++) {
        out->rows[i] = list_of(reader, map, expected_rows_word(i), NODE_MAP);
    }
    read_sheet(reader, map, out);
}

/* ---- the file */

static void read_case(struct case_reader *reader, const struct node *item,
                      struct worked_case *out)
{
    static const char *const known[] = {"case", "question", "expect",
                                        "says", "source",   NULL};
    const struct node *name = NULL;
    *out = (struct worked_case){.where = item->where};
    node_refuse_others(item, known, "a case", reader->diagnostics);
    if (node_word(item, "case", "a case", reader->diagnostics, &name)) {
        out->name = name->word;
        out->where = name->where;
    }
    read_question(reader, item, &out->question);
    read_expect(reader, item, out);
}

status cases_read(struct arena *arena, const struct node *document,
                  struct diagnostics *diagnostics, struct case_file *out)
{
    static const char *const known[] = {"knowledge", "cases", "says", NULL};
    struct case_reader reader = {arena, diagnostics};
    const uint32_t before = diagnostics_count(diagnostics);
    if (!node_expect(document, NODE_MAP, "a file of worked cases", diagnostics)) {
        return STATUS_INVALID;
    }
    node_refuse_others(document, known, "a file of worked cases", diagnostics);
    if (node_field_of(document, "cases") == NULL) {
        diagnostics_report(diagnostics, CODE_FIELD_MISSING, document->where,
                           "a file of worked cases needs `cases`");
    }
    const struct node *list = list_of(&reader, document, "cases", NODE_MAP);
    const uint32_t count = list == NULL ? 0 : list->count;
    struct worked_case *cases = ARENA_MANY(arena, count, struct worked_case);
    out->knowledge = list_of(&reader, document, "knowledge", NODE_WORD);
    TRY(arena_status(arena));
    for (uint32_t i = 0; i < count; i++) {
        read_case(&reader, list->items[i], &cases[i]);
    }
    out->cases = cases;
    out->case_count = count;
    TRY(arena_status(arena));
    return diagnostics_count(diagnostics) > before ? STATUS_INVALID : STATUS_OK;
}

/* ---- against the knowledge */

/* What makes findings without a rule: see enum finding_kind. */
static const char *const without_rule[] = {"fell-away", "reading", "unasked"};

static void check_subject(const struct rule *rule, const struct node *subject,
                          struct diagnostics *diagnostics)
{
    for (uint32_t i = 0; subject != NULL && i < subject->count; i++) {
        const struct node_field *field = &subject->fields[i];
        struct nearest near = nearest_to(field->key);
        text all = {"", 0};
        bool is_there = text_is(field->key, "place"); /* of a check that made none */
        for (uint32_t k = 0; k < rule->key_count; k++) {
            const text variable = rule->variables[rule->keys[k]].name;
            is_there = is_there || text_equal(variable, field->key);
            nearest_offer(&near, variable);
            all = text_format(diagnostics_arena(diagnostics), "%.*s%s%.*s", TEXT_ARG(all),
                              k == 0 ? "" : ", ", TEXT_ARG(variable));
        }
        if (!is_there) {
            struct diagnostic *report = diagnostics_report(
                diagnostics, CODE_NAME_UNKNOWN, field->key_where,
                "findings of this rule have no \"%.*s\"", TEXT_ARG(field->key));
            report->expected = all;
            report->nearest = near.best;
        }
    }
}

static void rule_fault(const struct knowledge *knowledge, const struct node *word,
                       struct diagnostics *diagnostics)
{
    struct nearest near = nearest_to(word->word);
    for (uint32_t i = 0; i < knowledge->rules->rule_count; i++) {
        const struct rule *rule = &knowledge->rules->rules[i];
        if (rule->has_check) {
            nearest_offer(&near, names_text(knowledge->names, rule->name));
        }
    }
    struct diagnostic *report = diagnostics_report(
        diagnostics, CODE_NAME_UNKNOWN, word->where,
        "there is no rule \"%.*s\" with a check", TEXT_ARG(word->word));
    report->expected = TEXT("the name of a rule with a check, or fell-away, reading or "
                            "unasked");
    report->nearest = near.best;
}

static bool is_without_rule(text name)
{
    for (size_t i = 0; i < sizeof without_rule / sizeof *without_rule; i++) {
        if (text_is(name, without_rule[i])) {
            return true;
        }
    }
    return false;
}

/* A rule that was left out of the load is in the vocabulary all the same: its findings
 * are then missing, which is what leaving it out is to show. */
static bool is_left_out(const struct knowledge *knowledge, name_id name)
{
    for (uint32_t i = 0; name != NAME_NONE && i < knowledge->rules->shape_count; i++) {
        if (knowledge->rules->shapes[i].name == name) {
            return true;
        }
    }
    return false;
}

static void check_findings(const struct worked_case *worked,
                           const struct knowledge *knowledge,
                           struct diagnostics *diagnostics)
{
    for (uint32_t i = 0; i < worked->finding_count; i++) {
        const struct expected_finding *finding = &worked->findings[i];
        const text word = finding->rule->word;
        const name_id name = names_find(knowledge->names, word);
        const struct rule *rule =
            name == NAME_NONE ? NULL : rule_find(knowledge->rules, name);
        if (rule != NULL && rule->has_check) {
            check_subject(rule, finding->subject, diagnostics);
        } else if (!is_without_rule(word) &&
                   (rule != NULL || !is_left_out(knowledge, name))) {
            rule_fault(knowledge, finding->rule, diagnostics);
        }
    }
}

static void check_sections(const struct node *sheet, const struct knowledge *knowledge,
                           struct diagnostics *diagnostics)
{
    for (uint32_t i = 0; sheet != NULL && i < sheet->count; i++) {
        const struct node_field *field = &sheet->fields[i];
        struct nearest near = nearest_to(field->key);
        bool is_there = false;
        for (uint32_t k = 0; k < knowledge->section_count; k++) {
            is_there = is_there || text_equal(knowledge->sections[k].name, field->key);
            nearest_offer(&near, knowledge->sections[k].name);
        }
        if (!is_there) {
            diagnostics_report(diagnostics, CODE_NAME_UNKNOWN, field->key_where,
                               "a sheet has no section \"%.*s\"", TEXT_ARG(field->key))
                ->nearest = near.best;
        }
    }
}

status cases_check(const struct case_file *file, const struct knowledge *knowledge,
                   struct diagnostics *diagnostics)
{
    const uint32_t before = diagnostics_count(diagnostics);
    for (uint32_t i = 0; i < file->case_count; i++) {
        const struct worked_case *worked = &file->cases[i];
        check_findings(worked, knowledge, diagnostics);
        check_sections(worked->sheet, knowledge, diagnostics);
        for (uint32_t k = 0; k < EXPECTED_ROWS; k++) {
            expected_rows_check(worked->rows[k], knowledge, diagnostics);
        }
    }
    return diagnostics_count(diagnostics) > before ? STATUS_INVALID : STATUS_OK;
}
