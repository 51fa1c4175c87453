/* SPDX-License-Identifier: MIT */
/*
 * The answer to `why-not` in words: each rule that could have made the row, and where it
 * stopped: that first, then what is nearest, then what it had found.
 */
#include "phrases.h"

static void write_tree(const struct why_not_teller *why_not,
                       const struct why_not_tree *tree, uint32_t level);

/* One line: a word of what it says, then that. */
static void say(const struct why_not_teller *why_not, uint32_t level, const char *label,
                text what)
{
    if (what.length > 0) {
        why_not->line(why_not->writer, level, label, what);
    }
}

/* "kind is spline, not plain": where a row is not what is wanted. */
static text differences_text(const struct why_not_teller *why_not,
                             const struct wanted_row *wanted, const struct row *row)
{
    struct arena *arena = why_not->writer->arena;
    const struct names *names = why_not->answer->names;
    const struct relation_shape *shape =
        store_shape(why_not->answer->store, wanted->relation);
    text all = {"", 0};
    for (uint32_t c = 0; c < shape->key_count + shape->value_count; c++) {
        if (!wanted_asks(wanted, shape, c) || wanted_agrees_in(wanted, shape, row, c)) {
            continue;
        }
        const bool is_number = shape->columns[c].kind == COLUMN_NUMBER;
        const uint32_t v = c - shape->key_count;
        const bool is_key = c < shape->key_count;
        const struct value there = !is_key     ? row->values[v]
                                   : is_number ? value_count((int64_t)row->key[c])
                                               : value_word(row->key[c]);
        const struct value due = !is_key     ? wanted->values[v]
                                 : is_number ? value_count((int64_t)wanted->key[c])
                                             : value_word(wanted->key[c]);
        all = text_format(arena, "%.*s%s%.*s is %.*s, not %.*s", TEXT_ARG(all),
                          all.length > 0 ? "; " : "",
                          TEXT_ARG(names_text(names, shape->columns[c].name)),
                          TEXT_ARG(there.kind == VALUE_NONE
                                       ? TEXT("not there")
                                       : render_value(arena, names, there)),
                          TEXT_ARG(render_value(arena, names, due)));
    }
    return all;
}

/* ---- where an attempt stopped */

static void write_missing(const struct why_not_teller *why_not,
                          const struct why_not_attempt *attempt,
                          const struct why_not_tree *below, uint32_t level)
{
    struct arena *arena = why_not->writer->arena;
    say(why_not, level, "no row",
        render_condition(why_not->answer, arena, &attempt->rule->given[attempt->index],
                         attempt->slots));
    if (attempt->by != NULL) {
        say(why_not, level, "nearest", render_row(why_not->answer, arena, attempt->by));
        say(why_not, level, "but",
            differences_text(why_not, &attempt->missing, attempt->by));
    }
    if (below != NULL) {
        write_tree(why_not, below, level + 1);
    }
}

static void write_filter(const struct why_not_teller *why_not,
                         const struct why_not_attempt *attempt, uint32_t level)
{
    struct arena *arena = why_not->writer->arena;
    const struct names *names = why_not->answer->names;
    const struct formula_shortfall *short_of = &attempt->shortfall;
    bool used[LIMIT_VARIABLES] = {false};
    formula_variables(attempt->rule->filters[attempt->index], used);
    say(why_not, level, "not so", short_of->part);
    if (short_of->by != NULL) {
        say(why_not, level, "it is",
            text_format(arena, "%.*s against %.*s: %.*s apart",
                        TEXT_ARG(render_value(arena, names, short_of->left)),
                        TEXT_ARG(render_value(arena, names, short_of->right)),
                        TEXT_ARG(form_write(arena, short_of->by))));
    }
    say(why_not, level, "with",
        render_bound(why_not->answer, arena, attempt->rule, attempt->slots, used));
}

static void write_denied(const struct why_not_teller *why_not,
                         const struct why_not_attempt *attempt, uint32_t level)
{
    struct arena *arena = why_not->writer->arena;
    say(why_not, level, "met by", render_row(why_not->answer, arena, attempt->by));
    say(why_not, level, "unless",
        render_condition(why_not->answer, arena, &attempt->rule->unless[attempt->index],
                         attempt->slots));
}

static void write_every(const struct why_not_teller *why_not,
                        const struct why_not_attempt *attempt, uint32_t level)
{
    struct arena *arena = why_not->writer->arena;
    const struct tally *tally = &attempt->rule->tallies[attempt->index];
    if (attempt->by != NULL) {
        say(why_not, level, "not so", formula_text(tally->is));
        say(why_not, level, "of", render_row(why_not->answer, arena, attempt->by));
    }
    say(why_not, level, "every",
        render_condition(why_not->answer, arena, &tally->of, attempt->slots));
}

/* What nobody recorded of the values of a row. */
static text missing_text(struct arena *arena, const struct relation_shape *shape,
                         const struct row *row)
{
    struct doubt missing = {NULL, 0};
    text all = {"", 0};
    for (uint32_t v = 0; v < shape->value_count; v++) {
        const struct doubt own = value_doubt(arena, row->values[v]);
        missing = doubt_misses(own) ? doubt_join(arena, missing, own) : missing;
    }
    for (uint32_t i = 0; i < missing.count; i++) {
        if (missing.of[i]->basis == BASIS_MISSING) {
            all = text_format(arena, "%.*s%s%.*s", TEXT_ARG(all),
                              all.length > 0 ? ", " : "", TEXT_ARG(missing.of[i]->name));
        }
    }
    return all;
}

static void write_stop(const struct why_not_teller *why_not,
                       const struct why_not_tree *tree, uint32_t i, uint32_t level)
{
    const struct why_not_attempt *attempt = &tree->attempts[i];
    switch (attempt->stop) {
    case WHY_NOT_GIVEN:
        write_missing(why_not, attempt, tree->below[i], level);
        break;
    case WHY_NOT_DENIED:
        write_denied(why_not, attempt, level);
        break;
    case WHY_NOT_EVERY:
        write_every(why_not, attempt, level);
        break;
    case WHY_NOT_FILTER:
        write_filter(why_not, attempt, level);
        break;
    case WHY_NOT_AT_LOAD:
        say(why_not, level, "but", TEXT("it looks at the catalogue only"));
        break;
    case WHY_NOT_VALUES:
        say(why_not, level, "it gives",
            render_row(why_not->answer, why_not->writer->arena, attempt->gives));
        say(why_not, level, "so",
            differences_text(why_not, &tree->wanted, attempt->gives));
        say(why_not, level, "missing",
            missing_text(why_not->writer->arena,
                         store_shape(why_not->answer->store, attempt->gives->relation),
                         attempt->gives));
        break;
    }
}

/* ---- an attempt */

static void write_found(const struct why_not_teller *why_not,
                        const struct why_not_attempt *attempt, uint32_t level)
{
    struct arena *arena = why_not->writer->arena;
    text all = {"", 0};
    for (uint32_t i = 0; i < attempt->premise_count; i++) {
        const text row = row_write(arena, why_not->answer->store, why_not->answer->names,
                                   attempt->premises[i]);
        all = text_format(arena, "%.*s%s%.*s", TEXT_ARG(all), i == 0 ? "" : ", ",
                          TEXT_ARG(row));
    }
    say(why_not, level, "found",
        attempt->as_far < 2 || all.length == 0
            ? all
            : text_format(arena, "%.*s (the first of %u that get as far)", TEXT_ARG(all),
                          attempt->as_far));
}

/* How far it got: "meets 2 of 3 conditions", "all its conditions but a denial". */
static text progress_text(struct arena *arena, const struct why_not_attempt *attempt)
{
    switch (attempt->stop) {
    case WHY_NOT_GIVEN:
        return text_format(arena, "finds rows for %u of %u conditions", attempt->index,
                           attempt->rule->given_count);
    case WHY_NOT_DENIED:
        return TEXT("is denied");
    case WHY_NOT_EVERY:
        return TEXT("stops at what every row must be");
    case WHY_NOT_FILTER:
        return TEXT("stops at its where");
    case WHY_NOT_VALUES:
        return TEXT("gives another row");
    case WHY_NOT_AT_LOAD:
        break;
    }
    return TEXT("is not asked here");
}

static void write_attempt(const struct why_not_teller *why_not,
                          const struct why_not_tree *tree, uint32_t i, uint32_t level)
{
    struct arena *arena = why_not->writer->arena;
    const struct why_not_attempt *attempt = &tree->attempts[i];
    why_not->heading(
        why_not->writer, level,
        text_format(arena, "rule %.*s %.*s",
                    TEXT_ARG(names_text(why_not->answer->names, attempt->rule->name)),
                    TEXT_ARG(progress_text(arena, attempt))));
    write_stop(why_not, tree, i, level);
    write_found(why_not, attempt, level);
}

/* ---- a level */

/* Why nothing was tried; empty where rules were. */
static text end_text(const struct why_not_tree *tree)
{
    switch (tree->end) {
    case WHY_NOT_ATTEMPTS:
        break;
    case WHY_NOT_FACT:
        return TEXT("only facts give such rows");
    case WHY_NOT_COMPUTED:
        return TEXT("such rows are computed from how the unit lies");
    case WHY_NOT_NO_RULE:
        return TEXT("no rule gives such a row");
    case WHY_NOT_DEPTH:
        return TEXT("rules give such rows: --depth goes further down");
    case WHY_NOT_CIRCLE:
        return TEXT("it is asked for above");
    }
    return (text){"", 0};
}

static void write_tree(const struct why_not_teller *why_not,
                       const struct why_not_tree *tree, uint32_t level)
{
    const text end = end_text(tree);
    if (end.length > 0 && level == 0) {
        why_not->heading(why_not->writer, 0, end);
    } else if (end.length > 0) {
        say(why_not, level - 1, "",
            text_format(why_not->writer->arena, "(%.*s)", TEXT_ARG(end)));
    }
    for (uint32_t i = 0; i < tree->attempt_count; i++) {
        write_attempt(why_not, tree, i, level);
    }
}

/* ---- the whole */

static void write_there(struct writer *writer, const struct answer *answer)
{
    const struct explanation *explanation = answer->explanation;
    write_format(writer, "%sit is there%s\n", writer->in_colour ? "\033[1m" : "",
                 writer->in_colour ? "\033[0m" : "");
    for (uint32_t i = 0; i < explanation->row_count; i++) {
        write_wrapped(writer, TEXT("  - "),
                      render_row(answer, writer->arena, explanation->rows[i].row));
    }
    if (explanation->match_count > explanation->row_count) {
        write_format(writer, "  and %u more\n",
                     explanation->match_count - explanation->row_count);
    }
    write_wrapped(
        writer, TEXT("  ask      "),
        text_format(writer->arena, "why --of \"%.*s\"", TEXT_ARG(explanation->asked)));
}

void why_not_tell(const struct why_not_teller *teller)
{
    write_tree(teller, teller->answer->explanation->why_not, 0);
}

uint32_t why_not_fallen(const struct explanation *explanation)
{
    return explanation->why_not->end == WHY_NOT_COMPUTED ? explanation->fallen_count : 0;
}

text why_not_fell(struct arena *arena, const struct fallen_line *fallen)
{
    return text_format(arena, "%.*s: %.*s", TEXT_ARG(fallen->line),
                       TEXT_ARG(fallen->why));
}

static void write_heading(struct writer *writer, uint32_t level, text line)
{
    write_wrapped(writer, text_format(writer->arena, "%*s", (int)(2 + 4 * level), ""),
                  line);
}

static void write_line(struct writer *writer, uint32_t level, const char *label,
                       text what)
{
    write_wrapped(writer,
                  text_format(writer->arena, "%*s%-9s", (int)(4 + 4 * level), "", label),
                  what);
}

void render_why_not(struct writer *writer, const struct answer *answer)
{
    const struct explanation *explanation = answer->explanation;
    const struct why_not_teller why_not = {writer, answer, write_heading, write_line};
    if (explanation->why_not == NULL) {
        write_there(writer, answer);
        return;
    }
    write_format(writer, "%snot there: %.*s%s\n", writer->in_colour ? "\033[1m" : "",
                 TEXT_ARG(explanation->why_not->asked),
                 writer->in_colour ? "\033[0m" : "");
    render_given(writer, answer);
    for (uint32_t i = 0; i < explanation->nearest_count; i++) {
        write_wrapped(writer, i == 0 ? TEXT("  nearest  ") : TEXT("           "),
                      render_row(answer, writer->arena, explanation->nearest[i]));
    }
    why_not_tell(&why_not);
    for (uint32_t i = 0; i < why_not_fallen(explanation); i++) {
        write_wrapped(writer, TEXT("  fell away  "),
                      why_not_fell(writer->arena, &explanation->fallen[i]));
    }
}
