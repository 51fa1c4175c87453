/* SPDX-License-Identifier: MIT */
/* A measuring sheet by kind: which fields checks read, by which gauge, in which order. */
#include "kind_sheet.h"

#include "array.h"
#include "nearest.h"
#include "ways.h"

#include <stdlib.h>
#include <string.h>

/* ---- what a rule reads */

/* A column that a rule reads; `by` is the condition that names it, NULL where it is read
 * by the assembly. */
struct cell_read {
    relation_id relation;
    uint32_t column;
    const struct condition *by;
};

struct rule_reads {
    struct arena *arena;
    const struct rule_base *rules;
    bool *is_met; /* per relation */
    ARRAY_OF(struct cell_read) cells;
};

static void read_rule(struct rule_reads *reads, const struct rule *rule);

static bool push_cell(struct rule_reads *reads, relation_id relation, uint32_t column,
                      const struct condition *by)
{
    const struct cell_read made = {relation, column, by};
    return ARRAY_PUSH(reads->arena, &reads->cells, made);
}

/* What is concluded into a relation rests on the conditions of the rules that do. */
static void read_conclusions(struct rule_reads *reads, relation_id relation)
{
    if (reads->is_met[relation]) {
        return;
    }
    reads->is_met[relation] = true;
    for (uint32_t i = 0; i < reads->rules->rule_count; i++) {
        const struct rule *rule = &reads->rules->rules[i];
        bool concludes = rule->has_check && rule->finding == relation;
        for (uint32_t k = 0; k < rule->conclusion_count; k++) {
            concludes = concludes || rule->conclusions[k].relation == relation;
        }
        if (concludes) {
            read_rule(reads, rule);
        }
    }
}

static void read_condition(struct rule_reads *reads, const struct condition *condition)
{
    const struct relation_shape *shape = &reads->rules->shapes[condition->relation];
    if (shape->filled == FILLED_BY_RULES ||
        condition->relation >= reads->rules->vocabulary->shape_count) {
        read_conclusions(reads, condition->relation);
        return;
    }
    for (uint32_t c = shape->key_count; c < shape->key_count + shape->value_count; c++) {
        const struct column_manner *manner =
            &reads->rules->vocabulary->manners[condition->relation][c];
        if (condition->terms[c].kind == TERM_ANY) {
            continue;
        }
        if (shape->filled == FILLED_BY_FACTS) {
            (void)push_cell(reads, condition->relation, c, condition);
        }
        for (uint32_t i = 0; i < manner->read_count; i++) {
            (void)push_cell(reads, manner->reads[i].relation, manner->reads[i].column,
                            NULL);
        }
    }
}

static void read_rule(struct rule_reads *reads, const struct rule *rule)
{
    for (uint32_t i = 0; i < rule->given_count; i++) {
        read_condition(reads, &rule->given[i]);
    }
    for (uint32_t i = 0; i < rule->unless_count; i++) {
        read_condition(reads, &rule->unless[i]);
    }
    for (uint32_t i = 0; i < rule->tally_count; i++) {
        read_condition(reads, &rule->tallies[i].of);
    }
}

/* ---- which rules look at a feature */

struct sheeting {
    struct arena *arena;
    const struct knowledge *knowledge;
    const struct question *question;
    const struct kind *kind;
    struct rule_reads *reads; /* per rule; of those without a check nothing */
};

static const struct kind *parent_of(const struct sheeting *sheeting,
                                    const struct kind *kind)
{
    return kind->parent == 0 ? NULL
                             : &sheeting->knowledge->vocabulary->kinds[kind->parent - 1];
}

/* Whether a rule is asked of a kind, or names it among its conditions. */
static bool concerns(const struct sheeting *sheeting, const struct rule *rule,
                     const struct kind *kind)
{
    for (; kind != NULL; kind = parent_of(sheeting, kind)) {
        for (uint32_t i = 0; i < kind->ask_count; i++) {
            if (kind->asks[i] == rule->name) {
                return true;
            }
        }
        for (uint32_t i = 0; i < rule->given_count; i++) {
            if (rule->given[i].relation == kind->relation) {
                return true;
            }
        }
    }
    return false;
}

/* What goes together with another kind is looked at by that one's checks. */
static bool looks_at(const struct sheeting *sheeting, const struct rule *rule,
                     const struct usual_feature *feature)
{
    bool looks = false;
    if (feature == NULL || feature->with_count == 0) {
        return concerns(sheeting, rule, sheeting->kind);
    }
    for (uint32_t i = 0; !looks && i < feature->with_count; i++) {
        looks =
            concerns(sheeting, rule,
                     vocabulary_kind(sheeting->knowledge->vocabulary, feature->with[i]));
    }
    return looks;
}

/* Whether a condition can match a feature of this name and these words. */
static bool can_match(const struct condition *condition,
                      const struct relation_shape *shape,
                      const struct usual_feature *feature)
{
    if (condition == NULL || feature == NULL) {
        return true;
    }
    const struct term *name = &condition->terms[1];
    bool can =
        shape->key_count < 2 || name->kind != TERM_NAME || name->name == feature->name;
    for (uint32_t i = 0; can && i < feature->word_count; i++) {
        const struct term *term = &condition->terms[feature->words[i].column];
        can = term->kind != TERM_NAME || term->name == feature->words[i].word;
    }
    return can;
}

static int compare_words(const void *a, const void *b)
{
    return text_compare(*(const text *)a, *(const text *)b);
}

static status find_checks(const struct sheeting *sheeting, relation_id relation,
                          uint32_t column, const struct usual_feature *feature,
                          struct kind_field *out)
{
    const struct rule_base *rules = sheeting->knowledge->rules;
    ARRAY_OF(text) checks = {0};
    for (uint32_t i = 0; i < rules->rule_count; i++) {
        const struct rule *rule = &rules->rules[i];
        const struct rule_reads *reads = &sheeting->reads[i];
        bool is_read = false;
        for (uint32_t k = 0; !is_read && k < reads->cells.count; k++) {
            const struct cell_read *cell = &reads->cells.at[k];
            is_read = cell->relation == relation && cell->column == column &&
                      can_match(cell->by, &rules->shapes[relation], feature);
        }
        if (is_read && looks_at(sheeting, rule, feature) &&
            !ARRAY_PUSH(sheeting->arena, &checks,
                        names_text(sheeting->knowledge->names, rule->name))) {
            return arena_status(sheeting->arena);
        }
    }
    if (checks.count > 1) {
        qsort(checks.at, checks.count, sizeof *checks.at, compare_words);
    }
    out->checks = checks.at;
    out->check_count = checks.count;
    return STATUS_OK;
}

/* ---- the gauge */

static bool reaches(const struct gauge *gauge, bool is_inside)
{
    return !is_inside || way_is_among(gauge->reach, TEXT("inside"));
}

/* The first of the words by which a field is got that is a gauge at hand, and reaches
 * into a bore where it has to. */
static void find_gauge(const struct sheeting *sheeting, bool is_inside,
                       struct kind_field *out)
{
    const text at_hand = sheeting->question->gauges;
    bool has_gauge = false;
    size_t at = 0;
    for (text word = way_next(out->got_by, &at); word.length > 0;
         word = way_next(out->got_by, &at)) {
        const struct gauge *gauge = tables_gauge(&sheeting->knowledge->tables, word);
        has_gauge = has_gauge || gauge != NULL;
        if (out->gauge == NULL && gauge != NULL && reaches(gauge, is_inside) &&
            (at_hand.length == 0 || way_is_among(at_hand, word))) {
            out->gauge = gauge;
        }
    }
    out->is_elsewhere = !has_gauge;
}

/* ---- features and their fields */

static bool is_fixed(const struct usual_feature *feature, uint32_t column)
{
    for (uint32_t i = 0; feature != NULL && i < feature->word_count; i++) {
        if (feature->words[i].column == column) {
            return true;
        }
    }
    return false;
}

static bool is_in_a_bore(const struct sheeting *sheeting,
                         const struct usual_feature *feature)
{
    const struct names *names = sheeting->knowledge->names;
    for (uint32_t i = 0; feature != NULL && i < feature->word_count; i++) {
        if (text_is(names_text(names, feature->words[i].word), "bore")) {
            return true;
        }
    }
    return false;
}

static status add_fields(const struct sheeting *sheeting, relation_id relation,
                         const struct usual_feature *feature, struct kind_feature *out)
{
    const struct vocabulary *vocabulary = sheeting->knowledge->vocabulary;
    const struct names *names = sheeting->knowledge->names;
    const struct relation_shape *shape = &vocabulary->shapes[relation];
    ARRAY_OF(struct kind_field) fields = {0};
    for (uint32_t c = shape->key_count; c < shape->key_count + shape->value_count; c++) {
        const struct column *column = &shape->columns[c];
        const struct column_manner *manner = &vocabulary->manners[relation][c];
        struct unit unit = {.symbol = ""};
        struct kind_field field = {.name = names_text(names, column->name),
                                   .column = column,
                                   .counted_from = manner->counted_from,
                                   .got_by = column->got_by,
                                   .is_due = manner->is_due};
        if (is_fixed(feature, c) || (out->is_datum && manner->is_position)) {
            continue;
        }
        TRY(find_checks(sheeting, relation, c, feature, &field));
        if (!field.is_due && !manner->is_position && field.check_count == 0) {
            continue;
        }
        if (column->kind == COLUMN_QUANTITY && unit_shown(column->dim, &unit)) {
            field.unit = text_copy(sheeting->arena, text_of(unit.symbol));
        }
        if (manner->is_position && sheeting->kind->usual_datum != NAME_NONE) {
            field.counted_from = names_text(names, sheeting->kind->usual_datum);
        }
        find_gauge(sheeting, !manner->is_position && is_in_a_bore(sheeting, feature),
                   &field);
        if (!ARRAY_PUSH(sheeting->arena, &fields, field)) {
            return arena_status(sheeting->arena);
        }
    }
    out->fields = fields.at;
    out->field_count = fields.count;
    return STATUS_OK;
}

static bool is_whole_seen(const struct sheeting *sheeting)
{
    return sheeting->knowledge->vocabulary->looks[sheeting->kind->relation]
        .is_open_to_view;
}

static status add_feature(const struct sheeting *sheeting,
                          const struct usual_feature *feature, struct kind_feature *out)
{
    const struct vocabulary *vocabulary = sheeting->knowledge->vocabulary;
    const struct names *names = sheeting->knowledge->names;
    const struct relation_shape *shape = &vocabulary->shapes[feature->relation];
    struct named_pair *words =
        ARENA_MANY(sheeting->arena, feature->word_count, struct named_pair);
    TRY(arena_status(sheeting->arena));
    for (uint32_t i = 0; i < feature->word_count; i++) {
        words[i] = (struct named_pair){
            names_text(names, shape->columns[feature->words[i].column].name),
            names_text(names, feature->words[i].word)};
    }
    *out = (struct kind_feature){
        .list = names_text(names, feature->list),
        .relation = names_text(names, shape->name),
        .name = names_text(names, feature->name),
        .words = words,
        .word_count = feature->word_count,
        .is_together = feature->is_open_to_view ||
                       (is_whole_seen(sheeting) &&
                        vocabulary->looks[feature->relation].is_open_to_view),
        .is_datum = feature->name == sheeting->kind->usual_datum};
    return add_fields(sheeting, feature->relation, feature, out);
}

/* The kind's own `usual`, or that of the nearest kind that it is. */
static const struct kind *usual_of(const struct sheeting *sheeting)
{
    const struct kind *kind = sheeting->kind;
    while (kind != NULL && kind->usual_count == 0) {
        kind = parent_of(sheeting, kind);
    }
    return kind;
}

static status gather(struct sheeting *sheeting, struct kind_sheet *out)
{
    const struct kind *usual = usual_of(sheeting);
    ARRAY_OF(struct kind_feature) features = {0};
    for (const struct kind *kind = sheeting->kind; kind != NULL;
         kind = parent_of(sheeting, kind)) {
        struct kind_feature own = {.relation =
                                       names_text(sheeting->knowledge->names, kind->name),
                                   .is_together = is_whole_seen(sheeting)};
        TRY(add_fields(sheeting, kind->relation, NULL, &own));
        if (own.field_count > 0 && !ARRAY_PUSH(sheeting->arena, &features, own)) {
            return arena_status(sheeting->arena);
        }
    }
    struct kind shown = *sheeting->kind;
    shown.usual_datum = usual == NULL ? NAME_NONE : usual->usual_datum;
    sheeting->kind = arena_copy(sheeting->arena, &shown, sizeof shown);
    TRY(arena_status(sheeting->arena));
    for (uint32_t i = 0; usual != NULL && i < usual->usual_count; i++) {
        struct kind_feature made;
        TRY(add_feature(sheeting, &usual->usual[i], &made));
        if (!ARRAY_PUSH(sheeting->arena, &features, made)) {
            return arena_status(sheeting->arena);
        }
    }
    out->features = features.at;
    out->feature_count = features.count;
    out->datum = names_text(sheeting->knowledge->names, shown.usual_datum);
    return STATUS_OK;
}

/* ---- once over the bench */

struct ranked_blank {
    struct kind_blank blank;
    uint32_t stage;     /* together, apart, elsewhere */
    double uncertainty; /* the coarsest first: what is looked at, then measured */
    text gauge;
};

static int compare_blanks(const void *a, const void *b)
{
    const struct ranked_blank *left = a;
    const struct ranked_blank *right = b;
    if (left->stage != right->stage) {
        return left->stage < right->stage ? -1 : 1;
    }
    if (left->uncertainty != right->uncertainty) {
        return left->uncertainty > right->uncertainty ? -1 : 1;
    }
    const int gauge = text_compare(left->gauge, right->gauge);
    if (gauge != 0) {
        return gauge;
    }
    if (left->blank.feature != right->blank.feature) {
        return left->blank.feature < right->blank.feature ? -1 : 1;
    }
    return (left->blank.field > right->blank.field) -
           (left->blank.field < right->blank.field);
}

static status order(const struct sheeting *sheeting, struct kind_sheet *out)
{
    ARRAY_OF(struct ranked_blank) ranked = {0};
    for (uint32_t i = 0; i < out->feature_count; i++) {
        const struct kind_feature *feature = &out->features[i];
        for (uint32_t k = 0; k < feature->field_count; k++) {
            const struct kind_field *field = &feature->fields[k];
            const struct ranked_blank one = {
                .blank = {i, k},
                .stage = field->is_elsewhere    ? 2u
                         : feature->is_together ? 0u
                                                : 1u,
                .uncertainty = field->gauge == NULL ? 0.0 : field->gauge->figure,
                .gauge = field->gauge == NULL ? (text){"", 0} : field->gauge->name};
            if (!ARRAY_PUSH(sheeting->arena, &ranked, one)) {
                return arena_status(sheeting->arena);
            }
        }
    }
    if (ranked.count > 1) {
        qsort(ranked.at, ranked.count, sizeof *ranked.at, compare_blanks);
    }
    struct kind_blank *blanks =
        ARENA_MANY(sheeting->arena, ranked.count, struct kind_blank);
    TRY(arena_status(sheeting->arena));
    for (uint32_t i = 0; i < ranked.count; i++) {
        blanks[i] = ranked.at[i].blank;
    }
    out->blanks = blanks;
    out->blank_count = ranked.count;
    return STATUS_OK;
}

/* ---- the whole */

bool names_a_unit(const struct knowledge *knowledge, text word)
{
    const name_id name = names_find(knowledge->names, word);
    return name != NAME_NONE && knowledge_recipe(knowledge, name) != NULL;
}

static status kind_fault(const struct sheeting *sheeting, struct diagnostics *diagnostics)
{
    const struct knowledge *knowledge = sheeting->knowledge;
    const struct question *question = sheeting->question;
    struct nearest near = nearest_to(question->unit);
    for (uint32_t i = 0; i < knowledge->recipe_count; i++) {
        nearest_offer(&near, names_text(knowledge->names, knowledge->recipes[i].name));
    }
    for (uint32_t i = 0; i < knowledge->vocabulary->kind_count; i++) {
        nearest_offer(&near,
                      names_text(knowledge->names, knowledge->vocabulary->kinds[i].name));
    }
    struct diagnostic *report =
        diagnostics_report(diagnostics, CODE_UNIT_NAME_UNKNOWN, question->unit_where,
                           "there is no unit or kind \"%.*s\"", TEXT_ARG(question->unit));
    report->expected = TEXT("the name of a unit that was loaded, or a kind of parts");
    report->nearest = near.best;
    return STATUS_INVALID;
}

/* What every check reads, each rule's once. */
static status read_rules(struct sheeting *sheeting)
{
    const struct rule_base *rules = sheeting->knowledge->rules;
    bool *is_met = ARENA_MANY(sheeting->arena, rules->shape_count, bool);
    sheeting->reads = ARENA_MANY(sheeting->arena, rules->rule_count, struct rule_reads);
    TRY(arena_status(sheeting->arena));
    for (uint32_t i = 0; i < rules->rule_count; i++) {
        const struct rule *rule = &rules->rules[i];
        sheeting->reads[i] = (struct rule_reads){
            .arena = sheeting->arena, .rules = rules, .is_met = is_met};
        if (rule->has_check && rule->answers_swap) {
            memset(is_met, 0, rules->shape_count * sizeof *is_met);
            read_rule(&sheeting->reads[i], rule);
        }
    }
    return arena_status(sheeting->arena);
}

status kind_sheet_answer(struct arena *arena, const struct knowledge *knowledge,
                         const struct question *question,
                         const struct swap_limits *limits,
                         struct diagnostics *diagnostics, struct answer **out)
{
    struct sheeting sheeting = {
        .arena = arena, .knowledge = knowledge, .question = question};
    const name_id name = names_find(knowledge->names, question->unit);
    struct answer *answer = ARENA_NEW(arena, struct answer);
    struct kind_sheet *sheet = ARENA_NEW(arena, struct kind_sheet);
    (void)limits;
    TRY(arena_status(arena));
    sheeting.kind =
        name == NAME_NONE ? NULL : vocabulary_kind(knowledge->vocabulary, name);
    if (sheeting.kind == NULL) {
        return kind_fault(&sheeting, diagnostics);
    }
    TRY(gauges_check(knowledge, question, diagnostics));
    TRY(read_rules(&sheeting));
    sheet->kind = question->unit;
    sheet->says = sheeting.kind->says;
    TRY(gather(&sheeting, sheet));
    TRY(order(&sheeting, sheet));
    *answer = (struct answer){.arena = arena,
                              .knowledge = knowledge,
                              .names = knowledge->names,
                              .store = knowledge->base,
                              .command = question->command,
                              .unit = question->unit,
                              .verdict = VERDICT_NOT_KNOWN, /* none is given */
                              .caution = knowledge->closing.caution,
                              .kind_sheet = sheet};
    *out = answer;
    return STATUS_OK;
}
