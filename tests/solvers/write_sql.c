/* SPDX-License-Identifier: MIT */
/*
 * A program for a relational database: a table a relation, filled group by group from
 * those that nothing leads to. A loop is one table over all relations of its group, told
 * apart by a first column, by WITH RECURSIVE.
 */
#include "plain.h"
#include "row_text.h"

#include <ctype.h>
#include <string.h>

enum {
    VARIABLES = 48,
    EXPRESSION = 600,
    CLAUSE = 8000
};

/* What a variable is in SQL. */
struct binding {
    char variable[PLAIN_WORD];
    char is[EXPRESSION];
};

struct bindings {
    struct binding at[VARIABLES];
    uint32_t count;
};

/* The rule that is being written. */
struct select {
    const struct plain_program *program;
    uint32_t n;
    struct bindings bound;
    struct row_writer where; /* conditions, each behind AND */
    char where_text[CLAUSE];
};

static const char *expression_of(const struct bindings *bound, const char *variable)
{
    for (uint32_t i = 0; i < bound->count; i++) {
        if (strcmp(bound->at[i].variable, variable) == 0) {
            return bound->at[i].is;
        }
    }
    return NULL;
}

static void bind(struct bindings *bound, const char *variable, const char *is)
{
    struct binding *made = &bound->at[bound->count++];
    memset(made, 0, sizeof *made);
    (void)snprintf(made->variable, sizeof made->variable, "%s", variable);
    (void)snprintf(made->is, sizeof made->is, "%s", is);
}

static void put_constant(struct row_writer *out, const char *constant)
{
    row_put(out, isdigit((unsigned char)constant[0]) ? "%s" : "'%s'", constant);
}

static void put_table(struct row_writer *out, const struct select *select,
                      uint32_t relation)
{
    row_put(out, "t%u_%u", select->n, relation);
}

/* ---- formulas */

static void put_formula(struct row_writer *out, const struct bindings *bound,
                        const struct plain_formula *formula)
{
    static const char *const words[] = {
        [PLAIN_ADD] = "+",      [PLAIN_SUBTRACT] = "-",
        [PLAIN_MULTIPLY] = "*", [PLAIN_MAX] = "max",
        [PLAIN_MIN] = "min",    [PLAIN_ABS] = "abs",
        [PLAIN_LESS] = "<",     [PLAIN_LESS_EQUAL] = "<=",
        [PLAIN_GREATER] = ">",  [PLAIN_GREATER_EQUAL] = ">=",
        [PLAIN_EQUAL] = "=",    [PLAIN_UNEQUAL] = "<>",
        [PLAIN_AND] = "AND",    [PLAIN_OR] = "OR",
        [PLAIN_NOT] = "NOT"};
    const char *word = words[formula->operation];
    switch (formula->operation) {
    case PLAIN_NUMBER:
    case PLAIN_TEXT:
        put_constant(out, formula->text);
        return;
    case PLAIN_NAMED:
        row_put(out, "%s", expression_of(bound, formula->text));
        return;
    case PLAIN_MAX:
    case PLAIN_MIN:
    case PLAIN_ABS:
    case PLAIN_NOT:
        row_put(out, "%s(", word);
        put_formula(out, bound, formula->left);
        if (formula->right != NULL) {
            row_put(out, ", ");
            put_formula(out, bound, formula->right);
        }
        row_put(out, ")");
        return;
    case PLAIN_ADD:
    case PLAIN_SUBTRACT:
    case PLAIN_MULTIPLY:
    case PLAIN_LESS:
    case PLAIN_LESS_EQUAL:
    case PLAIN_GREATER:
    case PLAIN_GREATER_EQUAL:
    case PLAIN_EQUAL:
    case PLAIN_UNEQUAL:
    case PLAIN_AND:
    case PLAIN_OR:
        break;
    }
    row_put(out, "(");
    put_formula(out, bound, formula->left);
    row_put(out, " %s ", word);
    put_formula(out, bound, formula->right);
    row_put(out, ")");
}

/* ---- conditions */

/* What a row under an alias must be; binds variables that nothing has bound. */
static void put_condition(struct row_writer *out, const struct plain_program *program,
                          struct bindings *bound, const struct plain_condition *row,
                          const char *alias)
{
    const struct plain_relation *relation = &program->relations[row->relation];
    for (uint32_t c = 0; c < relation->count; c++) {
        const struct plain_term *term = &row->terms[c];
        char cell[32];
        (void)snprintf(cell, sizeof cell, "%s.c%u", alias, c);
        if (term->kind == PLAIN_CONSTANT) {
            row_put(out, " AND %s = ", cell);
            put_constant(out, term->text);
        }
        if (term->kind != PLAIN_VARIABLE) {
            continue;
        }
        const char *known = expression_of(bound, term->text);
        if (known != NULL) {
            row_put(out, " AND %s = %s", cell, known);
        } else {
            bind(bound, term->text, cell);
        }
        if (relation->is_optional && c + 1 == relation->count) {
            row_put(out, " AND %s <> 'none'", cell);
        }
    }
}

/* "SELECT what FROM table u WHERE …", with what stands nowhere else kept to itself. What
 * is asked for: 1, how many, or the sum of a variable. */
static void put_rows(struct row_writer *out, const struct select *select,
                     const struct plain_tally *tally, bool is_number)
{
    static struct bindings inner;
    char written[CLAUSE];
    struct row_writer where = {.out = written, .room = sizeof written};
    inner = select->bound;
    row_put(&where, "1");
    put_condition(&where, select->program, &inner, &tally->of, "u");
    if (tally->is != NULL) {
        row_put(&where, " AND NOT ");
        put_formula(&where, &inner, tally->is);
    }
    if (tally->value[0] != '\0') {
        row_put(out, "(SELECT coalesce(sum(%s), 0)", expression_of(&inner, tally->value));
    } else {
        row_put(out, "(SELECT %s", is_number ? "count(*)" : "1");
    }
    row_put(out, " FROM ");
    put_table(out, select, tally->of.relation);
    row_put(out, " u WHERE %s)", written);
}

static void bind_formula(struct select *select, const char *variable,
                         const struct plain_formula *is)
{
    char written[EXPRESSION];
    struct row_writer out = {.out = written, .room = sizeof written};
    put_formula(&out, &select->bound, is);
    bind(&select->bound, variable, written);
}

static void put_finished(struct select *select, const struct plain_rule *rule)
{
    struct row_writer *where = &select->where;
    for (uint32_t i = 0; i < rule->unless_count; i++) {
        const struct plain_tally denied = {.of = rule->unless[i]};
        row_put(where, " AND NOT EXISTS ");
        put_rows(where, select, &denied, false);
    }
    for (uint32_t i = 0; i < rule->count_count; i++) {
        char written[EXPRESSION];
        struct row_writer out = {.out = written, .room = sizeof written};
        put_rows(&out, select, &rule->counts[i], true);
        bind(&select->bound, rule->counts[i].result, written);
    }
    for (uint32_t i = 0; i < rule->every_count; i++) {
        row_put(where, " AND NOT EXISTS ");
        put_rows(where, select, &rule->every[i], false);
    }
}

static void put_formulas(struct select *select, const struct plain_rule *rule,
                         bool is_loop)
{
    for (uint32_t i = 0; i < rule->let_count; i++) {
        bind_formula(select, rule->lets[i].variable, rule->lets[i].is);
        if (is_loop) {
            row_put(&select->where, " AND abs(%s) <= %d",
                    expression_of(&select->bound, rule->lets[i].variable),
                    PLAIN_GREATEST);
        }
    }
    for (uint32_t i = 0; i < rule->filter_count; i++) {
        row_put(&select->where, " AND ");
        put_formula(&select->where, &select->bound, rule->filters[i]);
    }
}

/* ---- selects */

static bool is_in_loop(const struct plain_program *program, uint32_t relation)
{
    return program->reaches[relation][relation];
}

/* "FROM a g0, b g1", where `of_group` rows come out of the loop's table. */
static void put_tables(struct row_writer *out, const struct select *select,
                       const struct plain_rule *rule, uint32_t group)
{
    for (uint32_t i = 0; i < rule->given_count; i++) {
        const uint32_t relation = rule->given[i].relation;
        row_put(out, i == 0 ? " FROM " : ", ");
        if (is_in_loop(select->program, group) &&
            plain_same_group(select->program, relation, group)) {
            row_put(out, "loop");
        } else {
            put_table(out, select, relation);
        }
        row_put(out, " g%u", i);
    }
}

static void put_head(struct row_writer *out, const struct select *select,
                     const struct plain_head *head, const char *margin)
{
    const struct plain_relation *relation =
        &select->program->relations[head->row.relation];
    for (uint32_t c = 0; c < relation->count; c++) {
        const struct plain_term *term = &head->row.terms[c];
        row_put(out, c == 0 ? "" : ", ");
        if (term->kind == PLAIN_VARIABLE) {
            row_put(out, "%s", expression_of(&select->bound, term->text));
        } else if (term->kind == PLAIN_CONSTANT) {
            put_constant(out, term->text);
        } else if (c == relation->keys) {
            row_put(out, "%s", margin);
        } else {
            row_put(out, "CASE WHEN %s >= 0 THEN 'holds' ELSE 'fails' END", margin);
        }
    }
}

/* One head of a rule; into a loop's table with the relation's number before it, and
 * filled up to `width`. */
static void write_select(FILE *file, const struct plain_program *program, uint32_t n,
                         const struct plain_rule *rule, const struct plain_head *head,
                         uint32_t width)
{
    static struct select select;
    static char written[2 * CLAUSE];
    struct row_writer out = {.out = written, .room = sizeof written};
    const uint32_t group = head->row.relation;
    select.program = program;
    select.n = n;
    select.bound.count = 0;
    select.where = (struct row_writer){.out = select.where_text, .room = CLAUSE};
    for (uint32_t i = 0; i < rule->given_count; i++) {
        char alias[16];
        const uint32_t relation = rule->given[i].relation;
        (void)snprintf(alias, sizeof alias, "g%u", i);
        put_condition(&select.where, program, &select.bound, &rule->given[i], alias);
        if (is_in_loop(program, group) && plain_same_group(program, relation, group)) {
            row_put(&select.where, " AND g%u.tag = %u", i, relation);
        }
    }
    put_finished(&select, rule);
    put_formulas(&select, rule, plain_is_loop(program, rule, head));
    if (head->margin != NULL) {
        bind_formula(&select, "margin", head->margin);
    }
    row_put(&out, "SELECT DISTINCT ");
    if (width > 0) {
        row_put(&out, "%u, ", group);
    }
    put_head(&out, &select, head, expression_of(&select.bound, "margin"));
    for (uint32_t c = program->relations[group].count; c < width; c++) {
        row_put(&out, ", 0");
    }
    put_tables(&out, &select, rule, group);
    row_put(&out, " WHERE 1%s", select.where.at > 0 ? select.where_text : "");
    if (out.at >= out.room || select.where.at >= CLAUSE) {
        (void)fputs("SELECT 'too long'", file);
        return;
    }
    (void)fputs(written, file);
}

/* ---- groups */

static void write_flat(FILE *out, const struct plain_program *program, uint32_t n,
                       uint32_t relation)
{
    const char *before = "";
    for (uint32_t i = 0; i < program->rule_count; i++) {
        const struct plain_rule *rule = &program->rules[i];
        for (uint32_t h = 0; h < rule->head_count; h++) {
            if (rule->heads[h].row.relation != relation) {
                continue;
            }
            if (before[0] == '\0') {
                (void)fprintf(out, "INSERT INTO t%u_%u ", n, relation);
            }
            (void)fputs(before, out);
            write_select(out, program, n, rule, &rule->heads[h], 0);
            before = "\n  UNION ";
        }
    }
    (void)fputs(before[0] != '\0' ? ";\n" : "", out);
}

/* The selects of a group: those that start a loop, or those that go round it. */
static void write_loop_selects(FILE *out, const struct plain_program *program, uint32_t n,
                               uint32_t group, bool goes_round)
{
    for (uint32_t i = 0; i < program->rule_count; i++) {
        const struct plain_rule *rule = &program->rules[i];
        for (uint32_t h = 0; h < rule->head_count; h++) {
            const struct plain_head *head = &rule->heads[h];
            if (plain_same_group(program, head->row.relation, group) &&
                plain_is_loop(program, rule, head) == goes_round) {
                (void)fputs("\n  UNION ", out);
                write_select(out, program, n, rule, head, PLAIN_COLUMNS);
            }
        }
    }
}

static void write_loop(FILE *out, const struct plain_program *program, uint32_t n,
                       uint32_t group)
{
    (void)fprintf(out, "CREATE TABLE t%u_l%u AS WITH RECURSIVE loop(tag", n, group);
    for (uint32_t c = 0; c < PLAIN_COLUMNS; c++) {
        (void)fprintf(out, ", c%u", c);
    }
    (void)fputs(") AS (SELECT -1", out);
    for (uint32_t c = 0; c < PLAIN_COLUMNS; c++) {
        (void)fputs(", 0", out);
    }
    write_loop_selects(out, program, n, group, false);
    write_loop_selects(out, program, n, group, true);
    (void)fputs(") SELECT * FROM loop;\n", out);
    for (uint32_t r = 0; r < program->relation_count; r++) {
        if (plain_same_group(program, r, group)) {
            (void)fprintf(out, "INSERT INTO t%u_%u SELECT c0", n, r);
            for (uint32_t c = 1; c < program->relations[r].count; c++) {
                (void)fprintf(out, ", c%u", c);
            }
            (void)fprintf(out, " FROM t%u_l%u WHERE tag = %u;\n", n, group, r);
        }
    }
}

static bool is_ready(const struct plain_program *program, const bool *is_done,
                     uint32_t relation)
{
    for (uint32_t r = 0; r < program->relation_count; r++) {
        if (!is_done[r] && program->reaches[r][relation] &&
            !plain_same_group(program, r, relation)) {
            return false;
        }
    }
    return true;
}

static void write_group(FILE *out, const struct plain_program *program, uint32_t n,
                        uint32_t group, bool *is_done)
{
    if (is_in_loop(program, group)) {
        write_loop(out, program, n, group);
    } else {
        write_flat(out, program, n, group);
    }
    for (uint32_t r = 0; r < program->relation_count; r++) {
        is_done[r] = is_done[r] || plain_same_group(program, r, group);
    }
}

static void write_tables(FILE *out, const struct plain_program *program, uint32_t n)
{
    for (uint32_t r = 0; r < program->relation_count; r++) {
        (void)fprintf(out, "CREATE TABLE t%u_%u(c0", n, r);
        for (uint32_t c = 1; c < program->relations[r].count; c++) {
            (void)fprintf(out, ", c%u", c);
        }
        (void)fputs(");\n", out);
    }
    for (uint32_t i = 0; i < program->fact_count; i++) {
        const struct plain_fact *fact = &program->facts[i];
        char written[CLAUSE];
        struct row_writer line = {.out = written, .room = sizeof written};
        for (uint32_t c = 0; c < program->relations[fact->relation].count; c++) {
            row_put(&line, c == 0 ? "" : ", ");
            put_constant(&line, fact->cells[c]);
        }
        (void)fprintf(out, "INSERT INTO t%u_%u VALUES (%s);\n", n, fact->relation,
                      written);
    }
}

/* Every row as the answer-set solver shows it. */
static void write_output(FILE *out, const struct plain_program *program, uint32_t n)
{
    for (uint32_t r = 0; r < program->relation_count; r++) {
        (void)fputs("SELECT '", out);
        plain_write_name(out, n, &program->relations[r]);
        (void)fputs("(' || c0", out);
        for (uint32_t c = 1; c < program->relations[r].count; c++) {
            (void)fprintf(out, " || ',' || c%u", c);
        }
        (void)fprintf(out, " || ')' FROM t%u_%u;\n", n, r);
    }
}

bool sql_can_say(const struct plain_program *program)
{
    for (uint32_t i = 0; i < program->rule_count; i++) {
        const struct plain_rule *rule = &program->rules[i];
        for (uint32_t h = 0; h < rule->head_count; h++) {
            uint32_t round = 0;
            for (uint32_t g = 0; g < rule->given_count; g++) {
                const uint32_t from = rule->given[g].relation;
                const uint32_t to = rule->heads[h].row.relation;
                round += is_in_loop(program, to) && plain_same_group(program, from, to);
            }
            if (round > 1) {
                return false;
            }
        }
    }
    return true;
}

void write_sql(FILE *out, const struct plain_program *program, uint32_t n)
{
    bool is_done[PLAIN_RELATIONS] = {false};
    write_tables(out, program, n);
    for (uint32_t r = 0; r < program->relation_count;) {
        if (!is_done[r] && is_ready(program, is_done, r)) {
            write_group(out, program, n, r, is_done);
            r = 0;
        } else {
            r++;
        }
    }
    write_output(out, program, n);
}
