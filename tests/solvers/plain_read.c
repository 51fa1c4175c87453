/* SPDX-License-Identifier: MIT */
/*
 * The lines of a drawn program, taken apart. Relations are those of
 * inference_vocabulary.h, said again, and one for each check.
 */
#include "plain.h"

#include <ctype.h>
#include <string.h>

/* ---- words */

bool plain_take(const char **at, const char *symbol)
{
    const char *from = *at + strspn(*at, " ");
    const size_t length = strlen(symbol);
    if (strncmp(from, symbol, length) != 0) {
        return false;
    }
    *at = from + length;
    return true;
}

bool plain_take_word(const char **at, char *word)
{
    const char *from = *at + strspn(*at, " ");
    size_t length = 0;
    while (isalnum((unsigned char)from[length]) || from[length] == '_' ||
           from[length] == '-') {
        length++;
    }
    if (length == 0 || length >= PLAIN_WORD) {
        return false;
    }
    memset(word, 0, PLAIN_WORD);
    memcpy(word, from, length);
    *at = from + length;
    return true;
}

/* ---- relations */

static const struct {
    const char *name;
    const char *keys;
    const char *values; /* ? behind one that may be nothing */
} first_relations[] = {{"link", "item to", "width gauge grade holes note?"},
                       {"twin", "item to", ""},
                       {"chart", "item to", "rank"},
                       {"block", "piece", "size tone bolts"},
                       {"peg", "piece", "reach"},
                       {"near", "item", ""},
                       {"far", "item", ""},
                       {"pair", "item to", ""},
                       {"chain", "item to", ""},
                       {"tie", "item to", ""},
                       {"step", "item to level", ""},
                       {"rung", "item level", ""},
                       {"span", "item", "length"},
                       {"dist", "item to", "length mark"},
                       {"total", "item", "n"},
                       {"roll", "item level", "n length"},
                       {"known", "to", ""}};

static struct plain_relation *add_relation(struct plain_program *program,
                                           const char *name)
{
    struct plain_relation *made = &program->relations[program->relation_count++];
    (void)plain_take_word(&name, made->name);
    return made;
}

static void add_columns(struct plain_relation *relation, const char *words)
{
    while (plain_take_word(&words, relation->columns[relation->count])) {
        relation->count++;
        relation->is_optional = plain_take(&words, "?");
    }
}

static void add_first_relations(struct plain_program *program)
{
    for (size_t i = 0; i < sizeof first_relations / sizeof *first_relations; i++) {
        struct plain_relation *made = add_relation(program, first_relations[i].name);
        add_columns(made, first_relations[i].keys);
        made->keys = made->count;
        add_columns(made, first_relations[i].values);
    }
}

uint32_t plain_find(const struct plain_program *program, const char *name)
{
    uint32_t i = 0;
    while (i < program->relation_count && strcmp(program->relations[i].name, name) != 0) {
        i++;
    }
    return i;
}

static uint32_t find_column(const struct plain_relation *relation, const char *name)
{
    uint32_t c = 0;
    while (c < relation->count && strcmp(relation->columns[c], name) != 0) {
        c++;
    }
    return c;
}

/* ---- facts */

/* "width: 10 mm, grade: low" into the cells of a row; fields of other relations are left
 * aside. */
static bool read_fields(const struct plain_relation *relation, struct plain_fact *fact,
                        const char *at)
{
    char field[PLAIN_WORD];
    char value[PLAIN_WORD];
    while (plain_take_word(&at, field)) {
        if (!plain_take(&at, ":") || !plain_take_word(&at, value)) {
            return false;
        }
        (void)plain_take(&at, "mm");
        (void)plain_take(&at, ",");
        const uint32_t c = find_column(relation, field);
        if (c < relation->count) {
            memcpy(fact->cells[c], value, sizeof value);
        }
    }
    for (uint32_t c = 0; c < relation->count; c++) {
        if (fact->cells[c][0] == '\0' && c + 1 == relation->count &&
            relation->is_optional) {
            memcpy(fact->cells[c], "none", sizeof "none");
        }
        if (fact->cells[c][0] == '\0') {
            return false;
        }
    }
    return at[0] == '\0' || at[0] == '}';
}

static struct plain_fact *add_fact(struct plain_program *program, const char *relation,
                                   const char *owner)
{
    struct plain_fact *made = &program->facts[program->fact_count++];
    memset(made, 0, sizeof *made);
    made->relation = plain_find(program, relation);
    (void)plain_take_word(&owner, made->cells[0]);
    return made;
}

static bool read_part(struct plain_program *program, const struct program_part *part,
                      const char **at)
{
    static const char *const lists[PART_LISTS] = {"link", "twin", "chart"};
    static const char *const kinds[] = {"block", "peg"};
    const bool is_peg = strstr(part->fields, "kind: peg") != NULL;
    *at = part->fields;
    if (part->partial[0] != '\0') {
        return false;
    }
    for (int i = 0; i <= (is_peg ? 1 : 0); i++) { /* a peg is a block too */
        struct plain_fact *fact = add_fact(program, kinds[i], part->name);
        if (!read_fields(&program->relations[fact->relation], fact, part->fields)) {
            return false;
        }
    }
    for (uint32_t i = 0; i < part->feature_count; i++) {
        struct plain_fact *fact = add_fact(program, lists[part->lists[i]], part->name);
        const char *fields = *at = part->features[i];
        if (!plain_take_word(&fields, fact->cells[1]) || !plain_take(&fields, ":") ||
            !plain_take(&fields, "{") ||
            !read_fields(&program->relations[fact->relation], fact, fields)) {
            return false;
        }
    }
    return true;
}

/* ---- rules */

/* "relation: {column: $variable, column: constant}" */
static bool read_condition(const struct plain_program *program, const char **at,
                           struct plain_condition *out)
{
    char word[PLAIN_WORD];
    if (!plain_take_word(at, word) || !plain_take(at, ":") || !plain_take(at, "{")) {
        return false;
    }
    out->relation = plain_find(program, word);
    if (out->relation == program->relation_count) {
        return false;
    }
    const struct plain_relation *relation = &program->relations[out->relation];
    while (plain_take_word(at, word)) {
        const uint32_t c = find_column(relation, word);
        if (c == relation->count || !plain_take(at, ":")) {
            return false;
        }
        out->terms[c].kind = plain_take(at, "$") ? PLAIN_VARIABLE : PLAIN_CONSTANT;
        if (!plain_take_word(at, out->terms[c].text)) {
            return false;
        }
        (void)plain_take(at, ",");
    }
    return plain_take(at, "}");
}

static const struct plain_formula *read_quoted(struct plain_program *program,
                                               const char **at)
{
    const struct plain_formula *read =
        plain_take(at, "'") ? plain_take_formula(program, at) : NULL;
    return read != NULL && plain_take(at, "'") ? read : NULL;
}

static bool has_key(const struct plain_relation *relation, const char *name)
{
    return find_column(relation, name) < relation->count;
}

/* A check fills a relation of its rule's name: what its conditions bind in keys. */
static bool read_check(struct plain_program *program, struct plain_rule *rule,
                       const char *name, const char **at)
{
    struct plain_relation *finding = add_relation(program, name);
    struct plain_head *head = &rule->heads[rule->head_count++];
    for (uint32_t i = 0; i < rule->given_count; i++) {
        const struct plain_condition *given = &rule->given[i];
        for (uint32_t c = 0; c < program->relations[given->relation].keys; c++) {
            const struct plain_term *term = &given->terms[c];
            if (term->kind == PLAIN_VARIABLE && !has_key(finding, term->text) &&
                finding->count < PLAIN_COLUMNS - 2) {
                head->row.terms[finding->count] = *term;
                memcpy(finding->columns[finding->count++], term->text, PLAIN_WORD);
            }
        }
    }
    finding->keys = finding->count;
    add_columns(finding, "margin outcome");
    head->row.relation = program->relation_count - 1;
    head->margin = plain_take(at, "{") && plain_take(at, "margin") && plain_take(at, ":")
                       ? read_quoted(program, at)
                       : NULL;
    return head->margin != NULL && plain_take(at, ", weight");
}

static bool read_named(const char **at, char *word)
{
    return plain_take_word(at, word) && plain_take(at, ":");
}

static bool read_line(struct plain_program *program, struct plain_rule *rule,
                      enum section section, const char *name, const char **at)
{
    struct plain_tally *tally = NULL;
    switch (section) {
    case SECTION_GIVEN:
        return read_condition(program, at, &rule->given[rule->given_count++]);
    case SECTION_UNLESS:
        return read_condition(program, at, &rule->unless[rule->unless_count++]);
    case SECTION_COUNT:
        tally = &rule->counts[rule->count_count++];
        return read_named(at, tally->result) && plain_take(at, "{") &&
               read_condition(program, at, &tally->of);
    case SECTION_EVERY:
        tally = &rule->every[rule->every_count++];
        if (!plain_take(at, "{of: {") || !read_condition(program, at, &tally->of) ||
            !plain_take(at, "}, is:")) {
            return false;
        }
        tally->is = read_quoted(program, at);
        return tally->is != NULL;
    case SECTION_LET:
        if (!read_named(at, rule->lets[rule->let_count].variable)) {
            return false;
        }
        return (rule->lets[rule->let_count++].is = read_quoted(program, at)) != NULL;
    case SECTION_WHERE:
        return (rule->filters[rule->filter_count++] = read_quoted(program, at)) != NULL;
    case SECTION_CONCLUDE:
        return read_condition(program, at, &rule->heads[rule->head_count++].row);
    case SECTION_CHECK:
        return read_check(program, rule, name, at);
    case SECTION_SUM:
        tally = &rule->counts[rule->count_count++];
        return read_named(at, tally->result) && plain_take(at, "{of: {") &&
               read_condition(program, at, &tally->of) && plain_take(at, "}, value: $") &&
               plain_take_word(at, tally->value);
    case SECTION_LEAST: /* exact programs have none */
    case SECTION_GREATEST:
    case SECTIONS:
        break;
    }
    return false;
}

static bool read_rule(struct plain_program *program, const struct program_rule *drawn,
                      const char **at)
{
    struct plain_rule *rule = &program->rules[program->rule_count++];
    for (int s = 0; s < SECTIONS; s++) {
        for (uint32_t i = 0; i < drawn->sections[s].count; i++) {
            const char *line = *at = drawn->sections[s].at[i];
            if (!read_line(program, rule, (enum section)s, drawn->name, &line)) {
                return false;
            }
        }
    }
    return true;
}

/* ---- what follows from what */

static void depend(struct plain_program *program, const struct plain_rule *rule)
{
    for (uint32_t h = 0; h < rule->head_count; h++) {
        const uint32_t to = rule->heads[h].row.relation;
        for (uint32_t i = 0; i < rule->given_count; i++) {
            program->reaches[rule->given[i].relation][to] = true;
        }
        for (uint32_t i = 0; i < rule->unless_count; i++) {
            program->reaches[rule->unless[i].relation][to] = true;
        }
        for (uint32_t i = 0; i < rule->count_count; i++) {
            program->reaches[rule->counts[i].of.relation][to] = true;
        }
        for (uint32_t i = 0; i < rule->every_count; i++) {
            program->reaches[rule->every[i].of.relation][to] = true;
        }
    }
}

static void find_reaches(struct plain_program *program)
{
    const uint32_t count = program->relation_count;
    for (uint32_t i = 0; i < program->rule_count; i++) {
        depend(program, &program->rules[i]);
    }
    for (uint32_t middle = 0; middle < count; middle++) {
        for (uint32_t a = 0; a < count; a++) {
            for (uint32_t b = 0; program->reaches[a][middle] && b < count; b++) {
                program->reaches[a][b] =
                    program->reaches[a][b] || program->reaches[middle][b];
            }
        }
    }
}

bool plain_same_group(const struct plain_program *program, uint32_t a, uint32_t b)
{
    return a == b || (program->reaches[a][b] && program->reaches[b][a]);
}

bool plain_is_loop(const struct plain_program *program, const struct plain_rule *rule,
                   const struct plain_head *head)
{
    for (uint32_t i = 0; i < rule->given_count; i++) {
        if (plain_same_group(program, rule->given[i].relation, head->row.relation)) {
            return true;
        }
    }
    return false;
}

bool plain_read(struct plain_program *out, const struct random_program *program,
                const char **at)
{
    memset(out, 0, sizeof *out);
    add_first_relations(out);
    for (uint32_t i = 0; i < program->part_count; i++) {
        if (!read_part(out, &program->parts[i], at)) {
            return false;
        }
    }
    for (uint32_t i = 0; i < program->rule_count; i++) {
        if (!read_rule(out, &program->rules[i], at)) {
            return false;
        }
    }
    find_reaches(out);
    return true;
}
