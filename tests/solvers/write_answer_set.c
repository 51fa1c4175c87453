/* SPDX-License-Identifier: MIT */
/*
 * A program for an answer-set grounder. A variable is $a → A; what is denied, counted and
 * asked of every row are counts, in which a variable that stands nowhere else is the
 * count's own; `or` is a count of what holds.
 */
#include "plain.h"

#include <ctype.h>
#include <string.h>

/* Comparisons, some of them denied, joined by `and` in ways joined by `or`. */
enum {
    WAYS = 16,
    WAY_PARTS = 8
};

struct way {
    const struct plain_formula *parts[WAY_PARTS];
    bool is_denied[WAY_PARTS];
    uint32_t count;
};

struct ways {
    struct way at[WAYS];
    uint32_t count;
};

static void write_variable(FILE *out, const char *name)
{
    (void)fprintf(out, "%c%s", toupper((unsigned char)name[0]), name + 1);
}

/* There is no max and no min of two; with whole numbers the halves come out even. */
static void write_formula(FILE *out, const struct plain_formula *formula)
{
    static const char *const signs[] = {
        [PLAIN_ADD] = "+",         [PLAIN_SUBTRACT] = "-", [PLAIN_MULTIPLY] = "*",
        [PLAIN_MAX] = "+",         [PLAIN_MIN] = "-",      [PLAIN_LESS] = "<",
        [PLAIN_LESS_EQUAL] = "<=", [PLAIN_GREATER] = ">",  [PLAIN_GREATER_EQUAL] = ">=",
        [PLAIN_EQUAL] = "=",       [PLAIN_UNEQUAL] = "!="};
    const struct plain_formula *left = formula->left;
    const struct plain_formula *right = formula->right;
    switch ((int)formula->operation) {
    case PLAIN_NUMBER:
    case PLAIN_TEXT:
        (void)fputs(formula->text, out);
        return;
    case PLAIN_NAMED:
        write_variable(out, formula->text);
        return;
    case PLAIN_ABS:
        (void)fputs("|", out);
        write_formula(out, left);
        (void)fputs("|", out);
        return;
    case PLAIN_MAX:
    case PLAIN_MIN: {
        const struct plain_formula sum = {PLAIN_ADD, left, right, ""};
        const struct plain_formula less = {PLAIN_SUBTRACT, left, right, ""};
        const struct plain_formula apart = {PLAIN_ABS, &less, NULL, ""};
        (void)fputs("((", out);
        write_formula(out, &sum);
        (void)fputs(signs[formula->operation], out);
        write_formula(out, &apart);
        (void)fputs(")/2)", out);
        return;
    }
    default:
        break;
    }
    const bool is_sum = formula->operation < PLAIN_MAX;
    (void)fputs(is_sum ? "(" : "", out);
    write_formula(out, left);
    (void)fprintf(out, " %s ", signs[formula->operation]);
    write_formula(out, right);
    (void)fputs(is_sum ? ")" : "", out);
}

/* ---- logic */

static struct ways find_ways(const struct plain_formula *formula, bool is_denied);

static struct ways either(const struct ways *a, const struct ways *b)
{
    struct ways all = *a;
    for (uint32_t i = 0; i < b->count && all.count < WAYS; i++) {
        all.at[all.count++] = b->at[i];
    }
    return all;
}

static struct ways both(const struct ways *a, const struct ways *b)
{
    struct ways all = {.count = 0};
    for (uint32_t i = 0; i < a->count; i++) {
        for (uint32_t k = 0; k < b->count && all.count < WAYS; k++) {
            struct way *way = &all.at[all.count++];
            *way = a->at[i];
            for (uint32_t p = 0; p < b->at[k].count && way->count < WAY_PARTS; p++) {
                way->parts[way->count] = b->at[k].parts[p];
                way->is_denied[way->count++] = b->at[k].is_denied[p];
            }
        }
    }
    return all;
}

static struct ways find_ways(const struct plain_formula *formula, bool is_denied)
{
    const enum plain_operation operation = formula->operation;
    if (operation == PLAIN_NOT) {
        return find_ways(formula->left, !is_denied);
    }
    if (operation == PLAIN_AND || operation == PLAIN_OR) {
        const struct ways left = find_ways(formula->left, is_denied);
        const struct ways right = find_ways(formula->right, is_denied);
        return (operation == PLAIN_AND) != is_denied ? both(&left, &right)
                                                     : either(&left, &right);
    }
    return (struct ways){.at = {{{formula}, {is_denied}, 1}}, .count = 1};
}

static void write_way(FILE *out, const struct way *way)
{
    for (uint32_t i = 0; i < way->count; i++) {
        (void)fputs(i == 0 ? "" : ", ", out);
        (void)fputs(way->is_denied[i] ? "not " : "", out);
        write_formula(out, way->parts[i]);
    }
}

/* ---- conditions */

static void write_term(FILE *out, const struct plain_term *term, const char *any,
                       uint32_t column)
{
    switch (term->kind) {
    case PLAIN_VARIABLE:
        write_variable(out, term->text);
        break;
    case PLAIN_CONSTANT:
        (void)fputs(term->text, out);
        break;
    case PLAIN_ANY:
        (void)(any[0] == '_' ? fputs(any, out) : fprintf(out, "%s%u", any, column));
        break;
    }
}

struct target {
    FILE *out;
    const struct plain_program *program;
    uint32_t n;
};

/* tN_relation(A,_,10); what may be nothing is there where it is asked for. */
static void write_condition(const struct target *to, const struct plain_condition *row,
                            const char *any)
{
    const struct plain_relation *relation = &to->program->relations[row->relation];
    plain_write_name(to->out, to->n, relation);
    for (uint32_t c = 0; c < relation->count; c++) {
        (void)fputs(c == 0 ? "(" : ",", to->out);
        write_term(to->out, &row->terms[c], any, c);
    }
    (void)fputs(")", to->out);
    const struct plain_term *last = &row->terms[relation->count - 1];
    if (relation->is_optional && last->kind == PLAIN_VARIABLE) {
        (void)fputs(", ", to->out);
        write_variable(to->out, last->text);
        (void)fputs(" != none", to->out);
    }
}

/* "key, key : row" within a count: rows are told apart by their keys. */
static void write_counted(const struct target *to, const struct plain_condition *row)
{
    const struct plain_relation *relation = &to->program->relations[row->relation];
    for (uint32_t c = 0; c < relation->keys; c++) {
        (void)fputs(c == 0 ? "" : ",", to->out);
        write_term(to->out, &row->terms[c], "Any", c);
    }
    (void)fputs(" : ", to->out);
    write_condition(to, row, "Any");
}

static void write_filter(FILE *out, const struct plain_formula *filter)
{
    const struct ways ways = find_ways(filter, false);
    if (ways.count == 1) {
        write_way(out, &ways.at[0]);
        return;
    }
    for (uint32_t i = 0; i < ways.count; i++) {
        (void)fprintf(out, i == 0 ? "#count{ %u : " : "; %u : ", i);
        write_way(out, &ways.at[i]);
    }
    (void)fputs(" } >= 1", out);
}

/* No row that is there is not as wanted. */
static void write_every(const struct target *to, const struct plain_tally *every)
{
    const struct ways ways = find_ways(every->is, true);
    for (uint32_t i = 0; i < ways.count; i++) {
        (void)fputs(i == 0 ? ", #count{ " : "; ", to->out);
        write_counted(to, &every->of);
        (void)fputs(", ", to->out);
        write_way(to->out, &ways.at[i]);
    }
    (void)fputs(" } = 0", to->out);
}

/* ---- rules */

static void write_body(const struct target *to, const struct plain_rule *rule,
                       bool is_loop)
{
    FILE *out = to->out;
    for (uint32_t i = 0; i < rule->given_count; i++) {
        (void)fputs(i == 0 ? " :- " : ", ", out);
        write_condition(to, &rule->given[i], "_");
    }
    for (uint32_t i = 0; i < rule->unless_count; i++) {
        (void)fputs(", #count{ ", out);
        write_counted(to, &rule->unless[i]);
        (void)fputs(" } = 0", out);
    }
    for (uint32_t i = 0; i < rule->count_count; i++) {
        (void)fputs(", ", out);
        write_variable(out, rule->counts[i].result);
        (void)fputs(rule->counts[i].value[0] != '\0' ? " = #sum{ " : " = #count{ ", out);
        if (rule->counts[i].value[0] != '\0') {
            write_variable(out, rule->counts[i].value);
            (void)fputs(",", out);
        }
        write_counted(to, &rule->counts[i].of);
        (void)fputs(" }", out);
    }
    for (uint32_t i = 0; i < rule->every_count; i++) {
        write_every(to, &rule->every[i]);
    }
    for (uint32_t i = 0; i < rule->let_count; i++) {
        (void)fputs(", ", out);
        write_variable(out, rule->lets[i].variable);
        (void)fputs(" = ", out);
        write_formula(out, rule->lets[i].is);
        if (is_loop) {
            (void)fputs(", |", out);
            write_variable(out, rule->lets[i].variable);
            (void)fprintf(out, "| <= %d", PLAIN_GREATEST);
        }
    }
    for (uint32_t i = 0; i < rule->filter_count; i++) {
        (void)fputs(", ", out);
        write_filter(out, rule->filters[i]);
    }
}

/* A finding has its margin behind its keys, and whether that is less than nothing. */
static void write_finding(const struct target *to, const struct plain_rule *rule,
                          const struct plain_head *head, bool holds)
{
    const struct plain_relation *relation = &to->program->relations[head->row.relation];
    plain_write_name(to->out, to->n, relation);
    (void)fputs("(", to->out);
    for (uint32_t c = 0; c < relation->keys; c++) {
        write_term(to->out, &head->row.terms[c], "_", c);
        (void)fputs(",", to->out);
    }
    (void)fprintf(to->out, "Margin,%s)", holds ? "holds" : "fails");
    write_body(to, rule, false);
    (void)fputs(", Margin = ", to->out);
    write_formula(to->out, head->margin);
    (void)fprintf(to->out, ", Margin %s 0.\n", holds ? ">=" : "<");
}

void plain_write_name(FILE *out, uint32_t n, const struct plain_relation *relation)
{
    (void)fprintf(out, "t%u_", n);
    for (const char *at = relation->name; *at != '\0'; at++) {
        (void)fputc(*at == '-' ? '_' : *at, out);
    }
}

void write_answer_set(FILE *out, const struct plain_program *program, uint32_t n)
{
    const struct target to = {out, program, n};
    for (uint32_t i = 0; i < program->fact_count; i++) {
        const struct plain_relation *relation =
            &program->relations[program->facts[i].relation];
        plain_write_name(out, n, relation);
        for (uint32_t c = 0; c < relation->count; c++) {
            (void)fprintf(out, "%s%s", c == 0 ? "(" : ",", program->facts[i].cells[c]);
        }
        (void)fputs(").\n", out);
    }
    for (uint32_t i = 0; i < program->rule_count; i++) {
        const struct plain_rule *rule = &program->rules[i];
        for (uint32_t h = 0; h < rule->head_count; h++) {
            if (rule->heads[h].margin != NULL) {
                write_finding(&to, rule, &rule->heads[h], true);
                write_finding(&to, rule, &rule->heads[h], false);
                continue;
            }
            write_condition(&to, &rule->heads[h].row, "_");
            write_body(&to, rule, plain_is_loop(program, rule, &rule->heads[h]));
            (void)fputs(".\n", out);
        }
    }
}
