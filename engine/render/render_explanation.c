/* SPDX-License-Identifier: MIT */
/*
 * The answers to `why` in words: the rows first, then the tree below each. A step is
 * written where it is first come upon; whatever rests on it later names its number.
 */
#include "phrases.h"

enum {
    DEEPEST_INDENT = 16 /* levels; those below stand as far in as it */
};

struct tree_writer {
    struct writer *writer;
    const struct answer *answer;
    bool *is_written; /* by step */
};

static text indent_text(struct arena *arena, uint32_t level, uint32_t more)
{
    const uint32_t columns = 2 * (level < DEEPEST_INDENT ? level : DEEPEST_INDENT) + more;
    return text_format(arena, "%*s", (int)columns, "");
}

/* ---- one step */

/* The variables that the step's formulas name and a row has bound. */
static text bound_text(const struct answer *answer, struct arena *arena,
                       const struct step *step)
{
    const struct rule *rule = step->rule;
    bool used[LIMIT_VARIABLES] = {false};
    for (uint32_t i = 0; i < rule->let_count; i++) {
        formula_variables(rule->lets[i].formula, used);
    }
    for (uint32_t i = 0; i < rule->filter_count; i++) {
        formula_variables(rule->filters[i], used);
    }
    if (rule->has_check) {
        formula_variables(rule->margin, used);
    }
    for (uint32_t i = 0; i < rule->let_count; i++) {
        used[rule->lets[i].variable] = false;
    }
    for (uint32_t i = 0; i < rule->tally_count; i++) {
        if (rule->tallies[i].kind != TALLY_EVERY) {
            used[rule->tallies[i].result] = false;
        }
    }
    return render_bound(answer, arena, rule, step->slots, used);
}

/* "count n = 2 of run: piece=shaft", "every $w > 5 mm of link: item=p0". */
static text tally_text(const struct answer *answer, struct arena *arena,
                       const struct step *step, const struct tally *tally)
{
    const text what =
        tally->kind == TALLY_EVERY
            ? formula_text(tally->is)
            : text_format(arena, "%.*s = %.*s",
                          TEXT_ARG(step->rule->variables[tally->result].name),
                          TEXT_ARG(render_value(arena, answer->names,
                                                step->slots[tally->result])));
    const text of = render_condition(answer, arena, &tally->of, step->slots);
    return text_format(arena, "%.*s of %.*s", TEXT_ARG(what), TEXT_ARG(of));
}

void why_step(const struct answer *answer, struct arena *arena, const struct step *step,
              why_line *line, void *to)
{
    static const char *const tallies[] = {[TALLY_COUNT] = "count",
                                          [TALLY_SUM] = "sum",
                                          [TALLY_LEAST] = "least",
                                          [TALLY_GREATEST] = "greatest",
                                          [TALLY_EVERY] = "every"};
    const struct rule *rule = step->rule;
    const text bound = bound_text(answer, arena, step);
    if (bound.length > 0) {
        line(to, "with", bound);
    }
    for (uint32_t i = 0; i < rule->tally_count; i++) {
        line(to, tallies[rule->tallies[i].kind],
             tally_text(answer, arena, step, &rule->tallies[i]));
    }
    for (uint32_t i = 0; i < step->binding_count; i++) {
        if (step->bindings[i].formula != NULL) {
            line(to, "let", render_binding(answer, arena, &step->bindings[i]));
        }
    }
    for (uint32_t i = 0; i < rule->filter_count; i++) {
        line(to, "where", formula_text(rule->filters[i]));
    }
    for (uint32_t i = 0; i < rule->unless_count; i++) {
        line(to, "no row",
             render_condition(answer, arena, &rule->unless[i], step->slots));
    }
    if (rule->has_check && step->row->relation == rule->finding) {
        line(to, "margin", formula_text(rule->margin));
    }
}

/* Lines of a step, one below the other and as far in. */
struct indented {
    struct writer *writer;
    text indent;
};

static void write_line(void *to, const char *label, text what)
{
    const struct indented *indented = to;
    write_wrapped(indented->writer,
                  text_format(indented->writer->arena, "%.*s%s ",
                              TEXT_ARG(indented->indent), label),
                  what);
}

/* A row may serve several conditions, or be looked at by several functions. */
static bool is_named_before(const struct step *step, uint32_t i)
{
    for (uint32_t k = 0; k < i; k++) {
        if (step->from[k] == step->from[i]) {
            return true;
        }
    }
    return false;
}

/* ", from 4, 7 and 2 (above)": what is written below first. */
static text from_text(const struct tree_writer *tree, const struct step *step)
{
    struct arena *arena = tree->writer->arena;
    text below = {"", 0};
    text above = {"", 0};
    for (uint32_t i = 0; i < step->from_count; i++) {
        text *to = tree->is_written[step->from[i]] ? &above : &below;
        if (!is_named_before(step, i)) {
            *to = text_format(arena, "%.*s%s%u", TEXT_ARG(*to),
                              to->length > 0 ? ", " : "", step->from[i]);
        }
    }
    return below.length == 0 && above.length == 0
               ? below
               : text_format(arena, ", from %.*s%s%.*s%s", TEXT_ARG(below),
                             below.length > 0 && above.length > 0 ? " and " : "",
                             TEXT_ARG(above), above.length > 0 ? " (above)" : "");
}

static void write_reason(const struct tree_writer *tree, const struct step *step,
                         text indent)
{
    struct writer *writer = tree->writer;
    struct arena *arena = writer->arena;
    const text from = from_text(tree, step);
    if (step->rule == NULL) {
        write_wrapped(
            writer, text_format(arena, "%.*sby ", TEXT_ARG(indent)),
            text_format(arena, "%s%.*s", step->row->more->computation, TEXT_ARG(from)));
        return;
    }
    struct indented indented = {writer, indent};
    why_step(tree->answer, arena, step, write_line, &indented);
    write_wrapped(writer, text_format(arena, "%.*sby ", TEXT_ARG(indent)),
                  text_format(arena, "rule %.*s (source: %.*s)%.*s",
                              TEXT_ARG(names_text(tree->answer->names, step->rule->name)),
                              TEXT_ARG(step->rule->source), TEXT_ARG(from)));
}

/* Where a fact is stated: " [demo/mower/heads.yaml:12]". */
static text stated_text(const struct tree_writer *tree, const struct row *row)
{
    const struct place_in_text at =
        sources_locate(tree->answer->knowledge->sources, row->where);
    return row->origin != ORIGIN_FACT ? (text){"", 0}
           : at.line == 0             ? TEXT(" [as asked]")
                                      : text_format(tree->writer->arena, " [%.*s:%u]",
                                                    TEXT_ARG(at.file), at.line);
}

/* ---- the tree */

static void write_tree(const struct tree_writer *tree, uint32_t id, uint32_t level,
                       text sentence)
{
    struct writer *writer = tree->writer;
    const struct step *step = &tree->answer->steps[id - 1];
    const text lead = text_format(writer->arena, "%.*s%u ",
                                  TEXT_ARG(indent_text(writer->arena, level, 0)), id);
    tree->is_written[id] = true;
    write_wrapped(
        writer, lead,
        text_format(writer->arena, "%.*s%.*s",
                    TEXT_ARG(render_row(tree->answer, writer->arena, step->row)),
                    TEXT_ARG(stated_text(tree, step->row))));
    const text indent = indent_text(writer->arena, level, 4);
    if (sentence.length > 0) {
        write_wrapped(writer, indent, sentence);
    }
    if (step->row->origin != ORIGIN_FACT) {
        write_reason(tree, step, indent);
    }
    for (uint32_t i = 0; i < step->from_count; i++) {
        if (!tree->is_written[step->from[i]]) {
            write_tree(tree, step->from[i], level + 1, (text){"", 0});
        }
    }
}

text why_headline(struct arena *arena, const struct explanation *explanation)
{
    return explanation->match_count == 0
               ? text_format(arena, "no row of %.*s", TEXT_ARG(explanation->asked))
               : text_format(arena, "%u row%s of %.*s", explanation->match_count,
                             explanation->match_count == 1 ? "" : "s",
                             TEXT_ARG(explanation->asked));
}

static void write_heading(struct writer *writer, const struct answer *answer)
{
    const struct explanation *explanation = answer->explanation;
    write_format(writer, "%s%.*s%s\n", writer->in_colour ? "\033[1m" : "",
                 TEXT_ARG(why_headline(writer->arena, explanation)),
                 writer->in_colour ? "\033[0m" : "");
    render_given(writer, answer);
}

/* Several rows are listed before their trees. */
static void list_rows(struct writer *writer, const struct answer *answer)
{
    const struct explanation *explanation = answer->explanation;
    for (uint32_t i = 0; explanation->match_count > 1 && i < explanation->row_count;
         i++) {
        const struct explained_row *one = &explanation->rows[i];
        write_wrapped(writer, TEXT("  - "),
                      text_format(writer->arena, "%.*s (%u below)",
                                  TEXT_ARG(render_row(answer, writer->arena, one->row)),
                                  one->step));
    }
    if (explanation->match_count > explanation->row_count) {
        write_format(writer, "  and %u more: give more columns, or --most\n",
                     explanation->match_count - explanation->row_count);
    }
}

static void write_nothing(struct writer *writer, const struct answer *answer)
{
    const struct explanation *explanation = answer->explanation;
    write_format(writer, "%.*s\n", TEXT_ARG(why_headline(writer->arena, explanation)));
    render_given(writer, answer);
    for (uint32_t i = 0; i < explanation->nearest_count; i++) {
        write_wrapped(writer, i == 0 ? TEXT("  nearest  ") : TEXT("           "),
                      render_row(answer, writer->arena, explanation->nearest[i]));
    }
    write_wrapped(writer, TEXT("  ask      "),
                  text_format(writer->arena, "why-not --of \"%.*s\"",
                              TEXT_ARG(explanation->asked)));
}

static void write_why(struct writer *writer, const struct answer *answer)
{
    const struct explanation *explanation = answer->explanation;
    struct tree_writer tree = {writer, answer,
                               ARENA_MANY(writer->arena, answer->step_count + 1, bool)};
    if (tree.is_written == NULL) {
        return;
    }
    if (explanation->match_count == 0) {
        write_nothing(writer, answer);
        return;
    }
    write_heading(writer, answer);
    list_rows(writer, answer);
    for (uint32_t i = 0; i < explanation->row_count; i++) {
        const struct explained_row *one = &explanation->rows[i];
        write_text(writer, TEXT("\n"));
        if (tree.is_written[one->step]) {
            write_format(writer, "%u is above\n", one->step);
        } else {
            write_tree(&tree, one->step, 0, one->sentence);
        }
    }
}

void render_explanation_text(struct writer *writer, const struct answer *answer)
{
    if (text_is(answer->command, "why")) {
        write_why(writer, answer);
    } else {
        render_why_not(writer, answer);
    }
    if (answer->caution.length > 0) {
        render_heading(writer, "Caution");
        write_wrapped(writer, TEXT("  "), answer->caution);
    }
}
