/* SPDX-License-Identifier: MIT */
/*
 * Sets what came of a worked case beside what was expected of it. What a case does not
 * name is not compared, but where the verdict differs (or the case says `nothing-else`)
 * the findings that count against the swap and that it does not name are shown, since
 * they are the reason.
 */
#include "trial.h"

#include "array.h"
#include "number_text.h"
#include "sheet.h"

#include <math.h>

/* Of a number, relative to itself or to one of the units it is shown in. */
#define EQUAL_WITHIN 1e-6

struct comparing {
    struct arena *arena;
    struct diagnostics *scratch;
    const struct worked_case *worked;
    const struct answer *answer;
    ARRAY_OF(struct difference) differences;
};

const char *difference_word(enum difference_kind kind)
{
    static const char *const words[] = {"differs", "missing", "unexpected"};
    return words[kind];
}

static void add(struct comparing *comparing, struct difference one)
{
    /* A failed push leaves the arena failed, which the caller sees. */
    (void)ARRAY_PUSH(comparing->arena, &comparing->differences, one);
}

static void differ(struct comparing *comparing, text finding, const char *what,
                   text expected, text got)
{
    add(comparing, (struct difference){DIFFERS, finding, text_of(what), expected,
                                       text_copy(comparing->arena, got)});
}

/* ---- how findings are told apart */

static text subject_text(struct arena *arena, const struct finding *finding)
{
    text all = {"", 0};
    for (uint32_t i = 0; i < finding->subject_count; i++) {
        const struct subject_entry *one = &finding->subject[i];
        if (finding->subject_count == 1 || !text_is(one->column, "unit")) {
            all = text_format(arena, "%.*s%s%.*s %.*s", TEXT_ARG(all),
                              all.length > 0 ? ", " : "", TEXT_ARG(one->column),
                              TEXT_ARG(one->value));
        }
    }
    return text_format(arena, "(%.*s)", TEXT_ARG(all));
}

static text expected_subject(struct arena *arena, const struct expected_finding *expected)
{
    const struct node *subject = expected->subject;
    text all = expected->rule->word;
    for (uint32_t i = 0; subject != NULL && i < subject->count; i++) {
        const struct node_field *field = &subject->fields[i];
        all = text_format(arena, "%.*s%s%.*s %.*s%s", TEXT_ARG(all), i == 0 ? " (" : ", ",
                          TEXT_ARG(field->key), TEXT_ARG(field->value->word),
                          i + 1 == subject->count ? ")" : "");
    }
    return all;
}

static bool has_entry(const struct finding *finding, const struct node_field *field)
{
    for (uint32_t i = 0; i < finding->subject_count; i++) {
        if (text_equal(finding->subject[i].column, field->key)) {
            return text_equal(finding->subject[i].value, field->value->word);
        }
    }
    return false;
}

static bool is_of(const struct finding *finding, const struct expected_finding *expected)
{
    const struct node *subject = expected->subject;
    bool is_same = text_equal(finding->name, expected->rule->word);
    for (uint32_t i = 0; is_same && subject != NULL && i < subject->count; i++) {
        is_same = has_entry(finding, &subject->fields[i]);
    }
    return is_same;
}

/* ---- one expected finding */

static double number_of(const struct finding *finding, uint32_t which)
{
    const struct form *margin = finding->margin;
    double nominal = NAN;
    if (margin == NULL) {
        return NAN;
    }
    (void)form_nominal(margin, &nominal);
    return which == EXPECTED_MARGIN     ? nominal
           : which == EXPECTED_LEAST    ? margin->least
           : which == EXPECTED_GREATEST ? margin->greatest
                                        : form_spread(margin);
}

static bool is_number(const struct finding *finding,
                      const struct expected_number *expected, double got)
{
    struct unit shown = {.scale = 1.0};
    if (finding->margin == NULL ||
        !dimension_equal(finding->margin->dim, expected->unit.dim)) {
        return false;
    }
    (void)unit_shown(finding->margin->dim, &shown);
    return fabs(got - expected->value) <=
           EQUAL_WITHIN * fmax(shown.scale, fabs(expected->value));
}

/* In the unit of what was expected, with as many digits as can be told apart. */
static text number_text(struct arena *arena, const struct finding *finding,
                        const struct expected_number *expected, double got)
{
    struct unit unit = expected->unit; /* of a plain number there is none */
    if (isnan(got)) {
        return TEXT("no number");
    }
    if ((unit.symbol == NULL || !dimension_equal(finding->margin->dim, unit.dim)) &&
        (!unit_shown(finding->margin->dim, &unit) || unit.symbol[0] == '1')) {
        return magnitude_write(arena, finding->margin->dim, got, -1);
    }
    const double written = round(unit_from_coherent(&unit, got) / EQUAL_WITHIN);
    return text_format(arena, "%.*s %s",
                       TEXT_ARG(number_write(arena, written * EQUAL_WITHIN)),
                       unit.symbol);
}

static void compare_finding(struct comparing *comparing, const struct finding *finding,
                            const struct expected_finding *expected)
{
    const text name = expected_subject(comparing->arena, expected);
    const text outcome = text_of(outcome_word(finding->outcome));
    const text counts = finding->counts ? TEXT("true") : TEXT("false");
    if (expected->outcome != NULL && !text_equal(expected->outcome->word, outcome)) {
        differ(comparing, name, "outcome", expected->outcome->word, outcome);
    }
    if (expected->counts != NULL && !text_equal(expected->counts->word, counts)) {
        differ(comparing, name, "counts", expected->counts->word, counts);
    }
    for (uint32_t i = 0; i < EXPECTED_NUMBERS; i++) {
        const struct expected_number *number = &expected->numbers[i];
        const double got = number_of(finding, i);
        if (number->word != NULL && !is_number(finding, number, got)) {
            differ(comparing, name, expected_number_word(i), number->word->word,
                   number_text(comparing->arena, finding, number, got));
        }
    }
}

/* The subjects that a rule did make findings of. */
static text found_subjects(struct comparing *comparing, text rule)
{
    text all = {"", 0};
    for (uint32_t i = 0; i < comparing->answer->finding_count; i++) {
        const struct finding *finding = &comparing->answer->findings[i];
        if (text_equal(finding->name, rule)) {
            all = text_format(comparing->arena, "%.*s%s%.*s", TEXT_ARG(all),
                              all.length > 0 ? ", " : "",
                              TEXT_ARG(subject_text(comparing->arena, finding)));
        }
    }
    return all;
}

static void find_expected(struct comparing *comparing,
                          const struct expected_finding *expected)
{
    for (uint32_t i = 0; i < comparing->answer->finding_count; i++) {
        if (is_of(&comparing->answer->findings[i], expected)) {
            compare_finding(comparing, &comparing->answer->findings[i], expected);
            return;
        }
    }
    add(comparing,
        (struct difference){.kind = FINDING_ABSENT,
                            .finding = expected_subject(comparing->arena, expected),
                            .got = found_subjects(comparing, expected->rule->word)});
}

/* ---- what nobody expected */

static bool is_named(const struct comparing *comparing, const struct finding *finding)
{
    for (uint32_t i = 0; i < comparing->worked->finding_count; i++) {
        if (is_of(finding, &comparing->worked->findings[i])) {
            return true;
        }
    }
    return false;
}

static text finding_text(struct arena *arena, const struct finding *finding)
{
    const text margin =
        finding->margin == NULL ? (text){"", 0} : form_write(arena, finding->margin);
    return text_format(arena, "%s%s%.*s: %.*s", outcome_word(finding->outcome),
                       margin.length > 0 ? ", margin " : "", TEXT_ARG(margin),
                       TEXT_ARG(finding->sentence));
}

static void find_unexpected(struct comparing *comparing, bool with_cautions)
{
    for (uint32_t i = 0; i < comparing->answer->finding_count; i++) {
        const struct finding *finding = &comparing->answer->findings[i];
        if (finding->counts && finding->outcome != OUTCOME_HOLDS &&
            (with_cautions || finding->weight == WEIGHT_STOPS) &&
            !is_named(comparing, finding)) {
            const text subject = subject_text(comparing->arena, finding);
            add(comparing,
                (struct difference){.kind = FINDING_UNEXPECTED,
                                    .finding = text_format(comparing->arena, "%.*s %.*s",
                                                           TEXT_ARG(finding->name),
                                                           TEXT_ARG(subject)),
                                    .got = finding_text(comparing->arena, finding)});
        }
    }
}

/* ---- lines */

/* The i-th line of a list; false past the last. */
static bool line_at(const struct answer *answer, enum expected_line which, uint32_t i,
                    text *out)
{
    const uint32_t counts[] = {answer->work_count, answer->assumed_count,
                               answer->left_over_count, answer->left_empty_count};
    const text *lists[] = {NULL, answer->assumed, answer->left_over, answer->left_empty};
    if (i >= counts[which]) {
        return false;
    }
    *out = which == EXPECTED_WORK ? answer->work[i].what : lists[which][i];
    return true;
}

static text all_lines(struct comparing *comparing, enum expected_line which)
{
    text all = {"", 0};
    text line;
    for (uint32_t i = 0; line_at(comparing->answer, which, i, &line); i++) {
        all = text_format(comparing->arena, "%.*s%s%.*s", TEXT_ARG(all),
                          i == 0 ? "" : "; ", TEXT_ARG(line));
    }
    return all.length == 0 ? TEXT("nothing") : all;
}

static void compare_lines(struct comparing *comparing, enum expected_line which)
{
    const struct node *wanted = comparing->worked->lines[which];
    for (uint32_t i = 0; wanted != NULL && i < wanted->count; i++) {
        bool is_there = false;
        text line;
        for (uint32_t k = 0; line_at(comparing->answer, which, k, &line); k++) {
            is_there = is_there || text_starts(line, wanted->items[i]->word);
        }
        if (!is_there) {
            differ(comparing, (text){"", 0}, expected_line_word(which),
                   wanted->items[i]->word, all_lines(comparing, which));
        }
    }
}

static text all_missing(struct comparing *comparing)
{
    text all = {"", 0};
    for (uint32_t i = 0; i < comparing->answer->missing_count; i++) {
        all =
            text_format(comparing->arena, "%.*s%s%.*s", TEXT_ARG(all), i == 0 ? "" : ", ",
                        TEXT_ARG(comparing->answer->missing[i].of->name));
    }
    return all.length == 0 ? TEXT("nothing") : all;
}

static void compare_missing(struct comparing *comparing)
{
    const struct node *wanted = comparing->worked->missing;
    for (uint32_t i = 0; wanted != NULL && i < wanted->count; i++) {
        bool is_there = false;
        for (uint32_t k = 0; k < comparing->answer->missing_count; k++) {
            is_there = is_there || text_equal(comparing->answer->missing[k].of->name,
                                              wanted->items[i]->word);
        }
        if (!is_there) {
            differ(comparing, (text){"", 0}, "missing", wanted->items[i]->word,
                   all_missing(comparing));
        }
    }
    if (wanted != NULL && wanted->count == 0 && comparing->answer->missing_count > 0) {
        differ(comparing, (text){"", 0}, "missing", TEXT("nothing"),
               all_missing(comparing));
    }
}

/* ---- rows and the sheet */

static void compare_rows(struct comparing *comparing, enum expected_rows which)
{
    const struct node *wanted = comparing->worked->rows[which];
    for (uint32_t i = 0; wanted != NULL && i < wanted->count; i++) {
        const struct node *row = wanted->items[i];
        if (!expected_row_is_so(comparing->answer, row, which, comparing->scratch)) {
            differ(comparing, (text){"", 0}, expected_rows_word(which),
                   expected_row_text(comparing->arena, row),
                   expected_row_nearest(comparing->arena, comparing->answer, row,
                                        comparing->scratch));
        }
    }
}

static const struct sheet_part *section_of(const struct answer *answer, text name)
{
    const struct sheet *sheet = answer->sheet;
    for (uint32_t i = 0; sheet != NULL && i < sheet->part_count; i++) {
        if (text_equal(sheet->parts[i].section, name)) {
            return &sheet->parts[i];
        }
    }
    return NULL;
}

static text section_text(struct arena *arena, const struct sheet_part *part)
{
    text all = {"", 0};
    for (uint32_t i = 0; part != NULL && i < part->line_count; i++) {
        all = text_format(arena, "%.*s%s%.*s", TEXT_ARG(all), i == 0 ? "" : "; ",
                          TEXT_ARG(part->lines[i]->sentence));
    }
    return all.length == 0 ? TEXT("nothing") : all;
}

static text words_text(struct arena *arena, const struct node *list)
{
    text all = {"", 0};
    for (uint32_t i = 0; i < list->count; i++) {
        all = text_format(arena, "%.*s%s%.*s", TEXT_ARG(all), i == 0 ? "" : "; ",
                          TEXT_ARG(list->items[i]->word));
    }
    return all.length == 0 ? TEXT("nothing") : all;
}

/* All lines of a section, in their order. */
static void compare_section(struct comparing *comparing, const struct node_field *field)
{
    const struct sheet_part *part = section_of(comparing->answer, field->key);
    const struct node *wanted = field->value;
    bool is_same = (part == NULL ? 0 : part->line_count) == wanted->count;
    for (uint32_t i = 0; is_same && i < wanted->count; i++) {
        is_same = text_starts(part->lines[i]->sentence, wanted->items[i]->word);
    }
    if (!is_same) {
        differ(comparing, (text){"", 0},
               text_format(comparing->arena, "sheet, %.*s", TEXT_ARG(field->key)).at,
               words_text(comparing->arena, wanted),
               section_text(comparing->arena, part));
    }
}

/* ---- one case */

static void compare_answer(struct comparing *comparing)
{
    const struct worked_case *worked = comparing->worked;
    const struct answer *answer = comparing->answer;
    const text verdict = text_of(verdict_word(answer->verdict));
    const text leaks = text_of(leaks_word(answer->leaks));
    const bool is_verdict =
        worked->verdict == NULL || text_equal(worked->verdict->word, verdict);
    if (!is_verdict) {
        differ(comparing, (text){"", 0}, "verdict", worked->verdict->word, verdict);
    }
    if (worked->leaks != NULL && !text_equal(worked->leaks->word, leaks)) {
        differ(comparing, (text){"", 0}, "leaks", worked->leaks->word, leaks);
    }
    for (uint32_t i = 0; i < worked->finding_count; i++) {
        find_expected(comparing, &worked->findings[i]);
    }
    for (uint32_t i = 0; i < EXPECTED_LINES; i++) {
        compare_lines(comparing, i);
    }
    compare_missing(comparing);
    for (uint32_t i = 0; i < EXPECTED_ROWS; i++) {
        compare_rows(comparing, i);
    }
    for (uint32_t i = 0; worked->sheet != NULL && i < worked->sheet->count; i++) {
        compare_section(comparing, &worked->sheet->fields[i]);
    }
    if (!is_verdict || worked->is_nothing_else) {
        find_unexpected(comparing, worked->is_nothing_else);
    }
}

static void compare_refusal(struct comparing *comparing, struct diagnostics *diagnostics,
                            const struct sources *sources)
{
    const struct node *refused = comparing->worked->refused;
    text all = {"", 0};
    for (uint32_t i = 0; i < diagnostics_kept(diagnostics); i++) {
        const struct diagnostic *one = diagnostics_at(diagnostics, i);
        if (refused != NULL && text_is(refused->word, diagnostic_code_word(one->code))) {
            return;
        }
        all = text_format(comparing->arena, "%.*s%.*s", TEXT_ARG(all),
                          TEXT_ARG(diagnostic_write(comparing->arena, one, sources)));
    }
    differ(comparing, (text){"", 0}, "question",
           refused == NULL
               ? TEXT("an answer")
               : text_format(comparing->arena, "refused, %.*s", TEXT_ARG(refused->word)),
           text_format(comparing->arena, "refused\n%.*s", TEXT_ARG(all)));
}

status trial_case(struct arena *arena, struct arena *scratch,
                  const struct knowledge *knowledge, const struct worked_case *worked,
                  const struct swap_limits *limits, const struct answer **answer,
                  struct tried_case *out)
{
    struct diagnostics *diagnostics = diagnostics_open(scratch);
    struct comparing comparing = {
        .arena = arena, .scratch = diagnostics, .worked = worked};
    struct answer *found = NULL;
    *answer = NULL;
    TRY(arena_status(scratch));
    const status asked = (worked->sheet != NULL ? sheet_answer : swap_answer)(
        scratch, knowledge, &worked->question, limits, diagnostics, &found);
    if (asked == STATUS_INVALID) {
        diagnostics_sort(diagnostics, knowledge->sources);
        compare_refusal(&comparing, diagnostics, knowledge->sources);
    } else {
        TRY(asked);
        comparing.answer = found;
        *answer = found;
        if (worked->refused != NULL) {
            differ(&comparing, (text){"", 0}, "question",
                   text_format(arena, "refused, %.*s", TEXT_ARG(worked->refused->word)),
                   text_format(arena, "an answer, %s", verdict_word(found->verdict)));
        } else {
            compare_answer(&comparing);
        }
    }
    *out = (struct tried_case){worked, comparing.differences.at,
                               comparing.differences.count};
    return arena_status(arena);
}
