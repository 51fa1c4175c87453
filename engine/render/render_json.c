/* SPDX-License-Identifier: MIT */
/*
 * Answers as JSON, in the order of DEVELOPERS.md. Every quantity is given in the unit its
 * dimension is shown in; a number that does not exist is null. Steps carry enough to be
 * computed again: each form with its terms, and the limits of every dimension once in
 * `dimensions`.
 */
#include "render.h"

#include "array.h"

#include <jansson.h>
#include <math.h>
#include <string.h>

struct json_writer {
    const struct answer *answer;
    struct arena *arena;
    ARRAY_OF(const struct deviation *) dimensions; /* met so far, sorted by name */
};

static json_t *text_json(text a)
{
    return json_stringn(a.at, a.length);
}

static json_t *word_json(const char *word)
{
    return json_string(word);
}

static json_t *number_json(double value)
{
    return isfinite(value) ? json_real(value == 0.0 ? 0.0 : value) : json_null();
}

static struct unit unit_of(struct dimension dim)
{
    struct unit unit = {.symbol = "", .scale = 1.0};
    (void)unit_shown(dim, &unit);
    return unit;
}

/* A coherent magnitude in the shown unit, rounded to what can be told apart. */
static json_t *magnitude_json(struct dimension dim, double value)
{
    const struct unit unit = unit_of(dim);
    return number_json(unit_from_coherent(&unit, dimension_round(dim, value)));
}

/* A difference of magnitudes: no zero offset as for temperatures. */
static json_t *step_json(struct dimension dim, double value)
{
    const struct unit unit = unit_of(dim);
    return number_json(value / unit.scale);
}

static void set(json_t *object, const char *key, json_t *value)
{
    (void)json_object_set_new(object, key, value);
}

static void push(json_t *array, json_t *value)
{
    (void)json_array_append_new(array, value);
}

static json_t *texts_json(const text *texts, uint32_t count)
{
    json_t *array = json_array();
    for (uint32_t i = 0; i < count; i++) {
        push(array, text_json(texts[i]));
    }
    return array;
}

/* Keeps a list of the dimensions used, sorted by name, each once. */
static void meet(struct json_writer *writer, const struct deviation *of)
{
    uint32_t at = 0;
    while (at < writer->dimensions.count) {
        const int order = text_compare(writer->dimensions.at[at]->name, of->name);
        if (order == 0) {
            return;
        }
        if (order > 0) {
            break;
        }
        at++;
    }
    if (!ARRAY_PUSH(writer->arena, &writer->dimensions, of)) {
        return;
    }
    for (uint32_t i = writer->dimensions.count - 1; i > at; i--) {
        writer->dimensions.at[i] = writer->dimensions.at[i - 1];
    }
    writer->dimensions.at[at] = of;
}

static json_t *form_json(struct json_writer *writer, const struct form *form,
                         bool with_terms)
{
    json_t *object = json_object();
    double nominal = 0;
    const bool has_nominal = form_nominal(form, &nominal);
    set(object, "nominal",
        has_nominal ? magnitude_json(form->dim, nominal) : json_null());
    set(object, "least", magnitude_json(form->dim, form->least));
    set(object, "greatest", magnitude_json(form->dim, form->greatest));
    set(object, "unit", word_json(unit_of(form->dim).symbol));
    if (form->undefined != NULL) {
        set(object, "undefined", word_json(form->undefined));
    }
    if (!with_terms) {
        return object;
    }
    json_t *terms = json_array();
    for (uint32_t i = 0; i < form->term_count; i++) {
        json_t *term = json_object();
        meet(writer, form->terms[i].of);
        set(term, "dimension", text_json(form->terms[i].of->name));
        /* by turns the dimension's own unit into this form's */
        const double scale =
            unit_of(form->terms[i].of->dim).scale / unit_of(form->dim).scale;
        set(term, "by", number_json(form->terms[i].by * scale));
        push(terms, term);
    }
    set(object, "centre", magnitude_json(form->dim, form->nominal));
    set(object, "terms", terms);
    json_t *rest = json_array();
    push(rest, step_json(form->dim, form->remainder_low));
    push(rest, step_json(form->dim, form->remainder_high));
    set(object, "remainder", rest);
    return object;
}

static json_t *value_json(struct json_writer *writer, const struct names *names,
                          struct value value, bool with_terms)
{
    static const char *const truths[] = {"no", "yes", "unsure", "unknown"};
    switch (value.kind) {
    case VALUE_QUANTITY:
        return value.quantity == NULL ? json_null()
                                      : form_json(writer, value.quantity, with_terms);
    case VALUE_COUNT:
        return json_integer(value.count);
    case VALUE_WORD:
        return text_json(names_text(names, value.word));
    case VALUE_TRUTH:
        return word_json(truths[value.truth]);
    case VALUE_MISSING: {
        json_t *missing = json_object();
        set(missing, "missing",
            value.missing == NULL ? json_null() : text_json(value.missing->name));
        return missing;
    }
    case VALUE_NONE:
        break;
    }
    return json_null();
}

/* ---- findings */

static json_t *subject_json(const struct finding *finding)
{
    json_t *subject = json_object();
    for (uint32_t i = 0; i < finding->subject_count; i++) {
        char key[128];
        const text column = finding->subject[i].column;
        const size_t length = column.length < sizeof key ? column.length : sizeof key - 1;
        for (size_t k = 0; k < length; k++) {
            key[k] = column.at[k];
        }
        key[length] = '\0';
        set(subject, key, text_json(finding->subject[i].value));
    }
    return subject;
}

static json_t *margin_json(struct json_writer *writer, const struct form *margin)
{
    if (margin == NULL) {
        return json_null();
    }
    json_t *object = form_json(writer, margin, false);
    set(object, "spread", step_json(margin->dim, form_spread(margin)));
    set(object, "chance", number_json(form_chance(margin)));
    return object;
}

static json_t *contributors_json(const struct finding *finding)
{
    json_t *array = json_array();
    for (uint32_t i = 0; i < finding->contributor_count; i++) {
        const struct contributor *one = &finding->contributors[i];
        json_t *object = json_object();
        set(object, "dimension", text_json(one->of->name));
        set(object, "share", number_json(round(one->share * 1e4) / 1e4));
        set(object, "holds_from", magnitude_json(one->of->dim, one->holds_from));
        set(object, "fails_from", magnitude_json(one->of->dim, one->fails_from));
        set(object, "unit", word_json(unit_of(one->of->dim).symbol));
        push(array, object);
    }
    return array;
}

static json_t *doubt_json(struct doubt doubt)
{
    json_t *array = json_array();
    for (uint32_t i = 0; i < doubt.count; i++) {
        push(array, text_json(doubt.of[i]->name));
    }
    return array;
}

static const char *counted_word(const struct finding *finding)
{
    static const char *const words[] = {
        "changed",  "new", "worse", "may be worse", "as before", "no worse than what ran",
        "as it ran"};
    return words[finding->counted];
}

static json_t *finding_json(struct json_writer *writer, const struct finding *finding)
{
    json_t *object = json_object();
    set(object, "id", json_integer(finding->id));
    set(object, "rule", text_json(finding->name));
    set(object, "subject", subject_json(finding));
    set(object, "outcome", word_json(outcome_word(finding->outcome)));
    set(object, "weight",
        word_json(finding->weight == WEIGHT_STOPS ? "stops" : "cautions"));
    set(object, "counts", json_boolean(finding->counts));
    set(object, "counts_because", word_json(counted_word(finding)));
    set(object, "standing",
        word_json(finding->standing == STANDING_SURE ? "sure" : "open"));
    set(object, "open_because", doubt_json(finding->doubt));
    set(object, "margin", margin_json(writer, finding->margin));
    set(object, "sentence", text_json(finding->sentence));
    set(object, "source", text_json(finding->source));
    if (finding->mend.length > 0) {
        json_t *mend = json_object();
        set(mend, mend_word(finding->mend_kind), text_json(finding->mend));
        set(object, "mend", mend);
    } else {
        set(object, "mend", json_null());
    }
    set(object, "contributors", contributors_json(finding));
    set(object, "chain", finding->step == 0 ? json_null() : json_integer(finding->step));
    return object;
}

static json_t *findings_json(struct json_writer *writer, const struct finding *findings,
                             uint32_t count)
{
    json_t *array = json_array();
    for (uint32_t i = 0; i < count; i++) {
        push(array, finding_json(writer, &findings[i]));
    }
    return array;
}

/* ---- steps */

/* Adds to an object the members of another in the order of their names: the order in
 * which columns and variables were written must not show. */
static void set_sorted(json_t *object, const char *key, json_t *members)
{
    json_t *sorted = json_object();
    const char *least = NULL;
    const char *name = NULL;
    json_t *value = NULL;
    while (json_object_size(members) > 0) {
        least = NULL;
        json_object_foreach(members, name, value)
        {
            least = least == NULL || strcmp(name, least) < 0 ? name : least;
        }
        (void)json_object_set(sorted, least, json_object_get(members, least));
        (void)json_object_del(members, least);
    }
    json_decref(members);
    set(object, key, sorted);
}

static json_t *row_json(struct json_writer *writer, const struct row *row)
{
    const struct answer *answer = writer->answer;
    const struct relation_shape *shape = store_shape(answer->store, row->relation);
    json_t *object = json_object();
    json_t *key = json_object();
    json_t *values = json_object();
    for (uint32_t c = 0; c < shape->key_count; c++) {
        const char *column = names_text(answer->names, shape->columns[c].name).at;
        set(key, column,
            shape->columns[c].kind == COLUMN_NUMBER
                ? json_integer(row->key[c])
                : text_json(names_text(answer->names, row->key[c])));
    }
    for (uint32_t v = 0; v < shape->value_count; v++) {
        const char *column =
            names_text(answer->names, shape->columns[shape->key_count + v].name).at;
        if (row->values[v].kind != VALUE_NONE) {
            set(values, column, value_json(writer, answer->names, row->values[v], true));
        }
    }
    set(object, "relation", text_json(names_text(answer->names, shape->name)));
    set(object, "key", key);
    set_sorted(object, "value", values);
    set(object, "standing", word_json(row->standing == STANDING_SURE ? "sure" : "open"));
    return object;
}

static json_t *fact_json(struct json_writer *writer, const struct row *row)
{
    const struct place_in_text at =
        sources_locate(writer->answer->knowledge->sources, row->where);
    json_t *fact = json_object();
    set(fact, "file", at.line == 0 ? json_null() : text_json(at.file));
    set(fact, "line", at.line == 0 ? json_null() : json_integer(at.line));
    return fact;
}

/* A denied condition with what was bound: {"relation": …, "where": {column: value}}. */
static json_t *condition_json(struct json_writer *writer, const struct step *step,
                              const struct condition *condition)
{
    const struct answer *answer = writer->answer;
    const struct relation_shape *shape = store_shape(answer->store, condition->relation);
    json_t *object = json_object();
    json_t *columns = json_object();
    for (uint32_t c = 0; c < shape->key_count + shape->value_count; c++) {
        const struct term *term = &condition->terms[c];
        const char *column = names_text(answer->names, shape->columns[c].name).at;
        if (term->kind == TERM_NAME) {
            set(columns, column, text_json(names_text(answer->names, term->name)));
        } else if (term->kind == TERM_NUMBER) {
            set(columns, column, json_integer(term->number));
        } else if (term->kind == TERM_VARIABLE) {
            set(columns, column,
                value_json(writer, answer->names, step->bindings[term->variable].value,
                           false));
        }
    }
    set(object, "relation", text_json(names_text(answer->names, shape->name)));
    set_sorted(object, "where", columns);
    return object;
}

/* What had to be absent, by the names of the relations. */
static json_t *denied_json(struct json_writer *writer, const struct step *step)
{
    const uint32_t count = step->rule == NULL ? 0 : step->rule->unless_count;
    const struct answer *answer = writer->answer;
    json_t *array = json_array();
    for (uint32_t i = 0; i < count; i++) {
        const struct condition *one = &step->rule->unless[i];
        size_t at = 0;
        for (uint32_t k = 0; k < count; k++) {
            const struct condition *other = &step->rule->unless[k];
            const int order = names_compare(
                answer->names, store_shape(answer->store, other->relation)->name,
                store_shape(answer->store, one->relation)->name);
            at += k < i && order <= 0 ? 1 : 0;
        }
        (void)json_array_insert_new(array, at, condition_json(writer, step, one));
    }
    return array;
}

static json_t *step_as_json(struct json_writer *writer, const struct step *step)
{
    json_t *object = json_object();
    json_t *from = json_array();
    json_t *bind = json_object();
    json_t *lets = json_array();
    set(object, "id", json_integer(step->id));
    set(object, "row", row_json(writer, step->row));
    set(object, "height", json_integer(step->row->height));
    if (step->row->origin == ORIGIN_FACT) {
        set(object, "fact", fact_json(writer, step->row));
    }
    if (step->rule != NULL) {
        set(object, "rule",
            text_json(names_text(writer->answer->names, step->rule->name)));
    } else if (step->row->computation != NULL) {
        set(object, "computed", word_json(step->row->computation));
    }
    for (uint32_t i = 0; i < step->from_count; i++) {
        push(from, json_integer(step->from[i]));
    }
    for (uint32_t i = 0; i < step->binding_count; i++) {
        const struct binding *one = &step->bindings[i];
        json_t *value = value_json(writer, writer->answer->names, one->value, true);
        if (one->formula != NULL) {
            json_t *let = json_object();
            set(let, "name", text_json(one->name));
            set(let, "formula", text_json(formula_text(one->formula)));
            set(let, "value", value);
            push(lets, let);
        } else if (one->value.kind != VALUE_NONE) {
            set(bind, text_copy(writer->arena, one->name).at, value);
        } else {
            json_decref(value);
        }
    }
    set(object, "from", from);
    set(object, "given", json_integer(step->given_count));
    set_sorted(object, "bind", bind);
    set(object, "denied", denied_json(writer, step));
    set(object, "let", lets);
    if (step->rule != NULL && step->rule->has_check &&
        step->row->relation == step->rule->finding) {
        set(object, "margin", text_json(formula_text(step->rule->margin)));
    }
    return object;
}

static json_t *steps_json(struct json_writer *writer)
{
    json_t *array = json_array();
    for (uint32_t i = 0; i < writer->answer->step_count; i++) {
        push(array, step_as_json(writer, &writer->answer->steps[i]));
    }
    return array;
}

/* What is chosen at assembly, as it follows from the parts of its gap. */
static json_t *settings_json(struct json_writer *writer)
{
    json_t *list = json_array();
    const struct answer *answer = writer->answer;
    for (uint32_t i = 0; i < answer->settling_count; i++) {
        const struct settling *one = &answer->settlings[i];
        json_t *object = json_object();
        meet(writer, one->of);
        meet(writer, one->left);
        set(object, "unit", text_json(names_text(answer->names, one->unit)));
        set(object, "gap", text_json(names_text(answer->names, one->gap)));
        set(object, "place", text_json(names_text(answer->names, one->place)));
        set(object, "dimension", text_json(one->of->name));
        set(object, "by", number_json(one->by));
        set(object, "size", form_json(writer, one->size, true));
        set(object, "left", text_json(one->left->name));
        set(object, "as", form_json(writer, one->as, true));
        push(list, object);
    }
    return list;
}

static json_t *dimensions_json(const struct json_writer *writer)
{
    static const char *const kinds[] = {"made", "read", "moves", "set"};
    static const char *const bases[] = {"limits", "assumed", "resolution", "gauge",
                                        "missing"};
    json_t *object = json_object();
    for (uint32_t i = 0; i < writer->dimensions.count; i++) {
        const struct deviation *of = writer->dimensions.at[i];
        json_t *one = json_object();
        set(one, "nominal", magnitude_json(of->dim, of->nominal));
        set(one, "low", step_json(of->dim, of->low));
        set(one, "high", step_json(of->dim, of->high));
        set(one, "unit", word_json(unit_of(of->dim).symbol));
        set(one, "kind", word_json(kinds[of->kind]));
        set(one, "basis", word_json(bases[of->basis]));
        set(object, text_copy(writer->arena, of->name).at, one);
    }
    return object;
}

/* ---- the whole */

static json_t *pairs_json(struct arena *arena, const struct named_pair *pairs,
                          uint32_t count)
{
    json_t *object = json_object();
    for (uint32_t i = 0; i < count; i++) {
        set(object, text_copy(arena, pairs[i].name).at, text_json(pairs[i].value));
    }
    return object;
}

static json_t *question_json(struct arena *arena, const struct answer *answer)
{
    json_t *object = json_object();
    set(object, "command", text_json(answer->command));
    set(object, "unit", text_json(answer->unit));
    set(object, "changes", pairs_json(arena, answer->changes, answer->change_count));
    set(object, "brought", pairs_json(arena, answer->brought, answer->brought_count));
    set(object, "given", pairs_json(arena, answer->given, answer->given_count));
    json_t *allow = json_array();
    if (answer->allows_machining) {
        push(allow, word_json("machine"));
    }
    set(object, "allow", allow);
    return object;
}

static json_t *work_json(const struct answer *answer)
{
    json_t *array = json_array();
    for (uint32_t i = 0; i < answer->work_count; i++) {
        json_t *item = json_object();
        set(item, "what", text_json(answer->work[i].what));
        set(item, "why", text_json(answer->work[i].why));
        push(array, item);
    }
    return array;
}

/* All that was offered, and what came of trying it. */
static json_t *mends_json(const struct answer *answer)
{
    json_t *list = json_array();
    for (uint32_t i = 0; i < answer->mend_count; i++) {
        const struct tried_mend *mend = &answer->mends[i];
        json_t *object = json_object();
        set(object, "finding", json_integer(mend->finding));
        set(object, "kind", word_json(mend_word(mend->kind)));
        set(object, "what", text_json(mend->what));
        set(object, "tried",
            mend->tried.length > 0 ? text_json(mend->tried) : json_null());
        set(object, "allowed", json_boolean(mend->is_allowed));
        set(object, "cures", json_boolean(mend->cures));
        set(object, "chosen", json_boolean(mend->is_chosen));
        set(object, "why_not", mend->cures ? json_null() : text_json(mend->why));
        push(list, object);
    }
    return list;
}

static json_t *missing_json(const struct answer *answer)
{
    json_t *array = json_array();
    for (uint32_t i = 0; i < answer->missing_count; i++) {
        const struct missing_item *item = &answer->missing[i];
        json_t *object = json_object();
        set(object, "dimension", text_json(item->of->name));
        set(object, "wanted_by", texts_json(item->wanted_by, item->wanted_count));
        set(object, "got_by", text_json(item->of->got_by));
        push(array, object);
    }
    return array;
}

static json_t *spaces_json(const struct answer *answer)
{
    json_t *list = json_array();
    for (uint32_t i = 0; i < answer->space_count; i++) {
        const struct leak_space *space = &answer->spaces[i];
        json_t *object = json_object();
        set(object, "space", text_json(space->space));
        set(object, "holds", text_json(space->holds));
        set(object, "wet_with", text_json(space->wet_with));
        set(object, "sure", json_boolean(!space->is_open));
        push(list, object);
    }
    return list;
}

static json_t *ways_json(const struct answer *answer)
{
    json_t *list = json_array();
    for (uint32_t i = 0; i < answer->way_count; i++) {
        const struct leak_way *way = &answer->ways[i];
        json_t *object = json_object();
        set(object, "path", text_json(way->path));
        set(object, "from", text_json(way->from));
        set(object, "to", text_json(way->to));
        set(object, "through", text_json(way->closer));
        set(object, "state", word_json(way_state_word(way->state)));
        push(list, object);
    }
    return list;
}

static json_t *decided_json(const struct answer *answer)
{
    json_t *array = json_array();
    for (uint32_t i = 0; i < answer->decided_count; i++) {
        push(array, json_integer(answer->decided_by[i]));
    }
    return array;
}

static int hand_on(const char *bytes, size_t length, void *context)
{
    write_text(context, (text){bytes, length});
    return 0;
}

/* Writes and releases the tree, one line. */
static status write_tree(struct writer *writer, json_t *tree)
{
    const size_t flags = JSON_COMPACT | JSON_REAL_PRECISION(15) | JSON_ENCODE_ANY;
    const int failed =
        tree == NULL ? -1 : json_dump_callback(tree, hand_on, writer, flags);
    json_decref(tree);
    write_text(writer, TEXT("\n"));
    return failed != 0          ? STATUS_NO_MEMORY
           : writer->is_stopped ? STATUS_IO
                                : arena_status(writer->arena);
}

status render_answer_json(struct writer *writer, const struct answer *answer)
{
    struct json_writer json = {.answer = answer, .arena = writer->arena};
    json_t *object = json_object();
    json_t *knowledge = json_object();
    set(object, "schema", json_integer(1));
    set(knowledge, "digest", text_json(answer->knowledge->digest));
    set(knowledge, "files", json_integer(answer->knowledge->file_count));
    set(object, "knowledge", knowledge);
    set(object, "question", question_json(writer->arena, answer));
    set(object, "verdict", word_json(verdict_word(answer->verdict)));
    set(object, "decided_by", decided_json(answer));
    set(object, "because", texts_json(answer->because, answer->because_count));
    set(object, "findings",
        findings_json(&json, answer->findings, answer->finding_count));
    set(object, "steps", steps_json(&json));
    set(object, "settings", settings_json(&json));
    set(object, "dimensions", dimensions_json(&json));
    set(object, "host_findings",
        findings_json(&json, answer->host_findings, answer->host_finding_count));
    set(object, "spaces", spaces_json(answer));
    set(object, "paths", ways_json(answer));
    set(object, "leaks", word_json(leaks_word(answer->leaks)));
    set(object, "work", work_json(answer));
    set(object, "mends", mends_json(answer));
    set(object, "missing", missing_json(answer));
    set(object, "left_over", texts_json(answer->left_over, answer->left_over_count));
    set(object, "left_empty", texts_json(answer->left_empty, answer->left_empty_count));
    set(object, "assumed", texts_json(answer->assumed, answer->assumed_count));
    set(object, "not_looked_at",
        texts_json(answer->not_looked_at, answer->not_looked_at_count));
    set(object, "caution", text_json(answer->caution));
    return write_tree(writer, object);
}

status render_value_json(struct writer *writer, const struct names *names,
                         struct value value)
{
    struct json_writer json = {.arena = writer->arena};
    json_t *object = value_json(&json, names, value, false);
    if (value.kind == VALUE_QUANTITY && value.quantity != NULL) {
        set(object, "spread",
            step_json(value.quantity->dim, form_spread(value.quantity)));
    }
    return write_tree(writer, object);
}

status render_fit_json(struct writer *writer, const struct reckoned_fit *fit)
{
    struct json_writer json = {.arena = writer->arena};
    json_t *object = json_object();
    set(object, "hole",
        fit->hole == NULL ? json_null() : form_json(&json, fit->hole, false));
    set(object, "shaft",
        fit->shaft == NULL ? json_null() : form_json(&json, fit->shaft, false));
    set(object, "clearance",
        fit->clearance == NULL ? json_null() : form_json(&json, fit->clearance, false));
    return write_tree(writer, object);
}

static json_t *problem_json(const struct diagnostic *problem,
                            const struct sources *sources)
{
    const struct place_in_text at = sources_locate(sources, problem->where);
    json_t *object = json_object();
    set(object, "code", word_json(diagnostic_code_word(problem->code)));
    set(object, at.is_argument ? "argument" : "file",
        at.line == 0 ? json_null() : text_json(at.file));
    set(object, "line", at.line == 0 ? json_null() : json_integer(at.line));
    set(object, "column", at.line == 0 ? json_null() : json_integer(at.column));
    set(object, "message", text_json(problem->message));
    set(object, "expected",
        problem->expected.length == 0 ? json_null() : text_json(problem->expected));
    set(object, "nearest",
        problem->nearest.length == 0 ? json_null() : text_json(problem->nearest));
    return object;
}

status render_problems_json(struct writer *writer, const struct diagnostics *problems,
                            const struct sources *sources)
{
    json_t *object = json_object();
    json_t *array = json_array();
    for (uint32_t i = 0; i < diagnostics_kept(problems); i++) {
        push(array, problem_json(diagnostics_at(problems, i), sources));
    }
    set(object, "error", array);
    return write_tree(writer, object);
}
