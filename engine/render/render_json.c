/* SPDX-License-Identifier: MIT */
/*
 * Answers as JSON, in the order of DEVELOPERS.md. Every quantity is given in the unit its
 * dimension is shown in; a number that does not exist is null. Steps carry enough to be
 * computed again: each form with its terms, and the limits of every dimension once in
 * `dimensions`.
 */
#include "json_answer.h"

#include "compare.h"
#include "explanation.h"

#include <math.h>
#include <string.h>

json_t *texts_json(const text *texts, uint32_t count)
{
    json_t *array = json_array();
    for (uint32_t i = 0; i < count; i++) {
        json_push(array, json_text(texts[i]));
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
    json_set(object, "nominal",
             has_nominal ? json_magnitude(form->dim, nominal) : json_null());
    json_set(object, "least", json_magnitude(form->dim, form->least));
    json_set(object, "greatest", json_magnitude(form->dim, form->greatest));
    json_set(object, "unit", json_word(json_unit(form->dim).symbol));
    if (form->undefined != NULL) {
        json_set(object, "undefined", json_word(form->undefined));
    }
    if (!with_terms) {
        return object;
    }
    json_t *terms = json_array();
    for (uint32_t i = 0; i < form->term_count; i++) {
        json_t *term = json_object();
        meet(writer, form->terms[i].of);
        json_set(term, "dimension", json_text(form->terms[i].of->name));
        /* by turns the dimension's own unit into this form's */
        const double scale =
            json_unit(form->terms[i].of->dim).scale / json_unit(form->dim).scale;
        json_set(term, "by", json_number(form->terms[i].by * scale));
        json_push(terms, term);
    }
    json_set(object, "centre", json_magnitude(form->dim, form->nominal));
    json_set(object, "terms", terms);
    json_t *rest = json_array();
    json_push(rest, json_step(form->dim, form->remainder_low));
    json_push(rest, json_step(form->dim, form->remainder_high));
    json_set(object, "remainder", rest);
    return object;
}

json_t *value_json(struct json_writer *writer, const struct names *names,
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
        return json_text(names_text(names, value.word));
    case VALUE_TRUTH:
        return json_word(truths[value.truth]);
    case VALUE_MISSING: {
        json_t *missing = json_object();
        json_set(missing, "missing",
                 value.missing == NULL ? json_null() : json_text(value.missing->name));
        return missing;
    }
    case VALUE_NONE:
        break;
    }
    return json_null();
}

/* ---- findings */

json_t *subject_json(const struct finding *finding)
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
        json_set(subject, key, json_text(finding->subject[i].value));
    }
    return subject;
}

static json_t *margin_json(struct json_writer *writer, const struct form *margin)
{
    if (margin == NULL) {
        return json_null();
    }
    json_t *object = form_json(writer, margin, false);
    json_set(object, "spread", json_step(margin->dim, form_spread(margin)));
    json_set(object, "chance", json_number(form_chance(margin)));
    return object;
}

static json_t *contributors_json(const struct finding *finding)
{
    json_t *array = json_array();
    for (uint32_t i = 0; i < finding->contributor_count; i++) {
        const struct contributor *one = &finding->contributors[i];
        json_t *object = json_object();
        json_set(object, "dimension", json_text(one->of->name));
        json_set(object, "share", json_number(round(one->share * 1e4) / 1e4));
        json_set(object, "holds_from", json_magnitude(one->of->dim, one->holds_from));
        json_set(object, "fails_from", json_magnitude(one->of->dim, one->fails_from));
        json_set(object, "unit", json_word(json_unit(one->of->dim).symbol));
        json_push(array, object);
    }
    return array;
}

static json_t *doubt_json(struct doubt doubt)
{
    json_t *array = json_array();
    for (uint32_t i = 0; i < doubt.count; i++) {
        json_push(array, json_text(doubt.of[i]->name));
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
    json_set(object, "id", json_integer(finding->id));
    json_set(object, "rule", json_text(finding->name));
    json_set(object, "subject", subject_json(finding));
    json_set(object, "outcome", json_word(outcome_word(finding->outcome)));
    json_set(object, "weight",
             json_word(finding->weight == WEIGHT_STOPS ? "stops" : "cautions"));
    json_set(object, "counts", json_boolean(finding->counts));
    json_set(object, "counts_because", json_word(counted_word(finding)));
    json_set(object, "standing",
             json_word(finding->standing == STANDING_SURE ? "sure" : "open"));
    json_set(object, "open_because", doubt_json(finding->doubt));
    json_set(object, "margin", margin_json(writer, finding->margin));
    json_set(object, "sentence", json_text(finding->sentence));
    json_set(object, "source", json_text(finding->source));
    if (finding->mend.length > 0) {
        json_t *mend = json_object();
        json_set(mend, mend_word(finding->mend_kind), json_text(finding->mend));
        json_set(object, "mend", mend);
    } else {
        json_set(object, "mend", json_null());
    }
    json_set(object, "contributors", contributors_json(finding));
    json_set(object, "chain",
             finding->step == 0 ? json_null() : json_integer(finding->step));
    return object;
}

static json_t *findings_json(struct json_writer *writer, const struct finding *findings,
                             uint32_t count)
{
    json_t *array = json_array();
    for (uint32_t i = 0; i < count; i++) {
        json_push(array, finding_json(writer, &findings[i]));
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
    json_set(object, key, sorted);
}

json_t *row_json(struct json_writer *writer, const struct row *row)
{
    const struct answer *answer = writer->answer;
    const struct relation_shape *shape = store_shape(answer->store, row->relation);
    json_t *object = json_object();
    json_t *key = json_object();
    json_t *values = json_object();
    for (uint32_t c = 0; c < shape->key_count; c++) {
        const char *column = names_text(answer->names, shape->columns[c].name).at;
        json_set(key, column,
                 shape->columns[c].kind == COLUMN_NUMBER
                     ? json_integer(row->key[c])
                     : json_text(names_text(answer->names, row->key[c])));
    }
    for (uint32_t v = 0; v < shape->value_count; v++) {
        const char *column =
            names_text(answer->names, shape->columns[shape->key_count + v].name).at;
        if (row->values[v].kind != VALUE_NONE) {
            json_set(values, column,
                     value_json(writer, answer->names, row->values[v], true));
        }
    }
    json_set(object, "relation", json_text(names_text(answer->names, shape->name)));
    json_set(object, "key", key);
    set_sorted(object, "value", values);
    json_set(object, "standing",
             json_word(row->standing == STANDING_SURE ? "sure" : "open"));
    return object;
}

static json_t *fact_json(struct json_writer *writer, const struct row *row)
{
    const struct place_in_text at =
        sources_locate(writer->answer->knowledge->sources, row->where);
    json_t *fact = json_object();
    json_set(fact, "file", at.line == 0 ? json_null() : json_text(at.file));
    json_set(fact, "line", at.line == 0 ? json_null() : json_integer(at.line));
    return fact;
}

/* A denied condition with what was bound: {"relation": …, "where": {column: value}}. */
json_t *condition_json(struct json_writer *writer, const struct condition *condition,
                       const struct value *slots)
{
    const struct answer *answer = writer->answer;
    const struct relation_shape *shape = store_shape(answer->store, condition->relation);
    json_t *object = json_object();
    json_t *columns = json_object();
    for (uint32_t c = 0; c < shape->key_count + shape->value_count; c++) {
        const struct term *term = &condition->terms[c];
        const char *column = names_text(answer->names, shape->columns[c].name).at;
        if (term->kind == TERM_NAME) {
            json_set(columns, column, json_text(names_text(answer->names, term->name)));
        } else if (term->kind == TERM_NUMBER) {
            json_set(columns, column, json_integer(term->number));
        } else if (term->kind == TERM_VARIABLE) {
            json_set(columns, column,
                     value_json(writer, answer->names, slots[term->variable], false));
        }
    }
    json_set(object, "relation", json_text(names_text(answer->names, shape->name)));
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
        (void)json_array_insert_new(array, at, condition_json(writer, one, step->slots));
    }
    return array;
}

static json_t *step_as_json(struct json_writer *writer, const struct step *step)
{
    json_t *object = json_object();
    json_t *from = json_array();
    json_t *bind = json_object();
    json_t *lets = json_array();
    json_set(object, "id", json_integer(step->id));
    json_set(object, "row", row_json(writer, step->row));
    json_set(object, "height", json_integer(step->row->height));
    if (step->row->origin == ORIGIN_FACT) {
        json_set(object, "fact", fact_json(writer, step->row));
    }
    if (step->rule != NULL) {
        json_set(object, "rule",
                 json_text(names_text(writer->answer->names, step->rule->name)));
    } else if (step->row->origin == ORIGIN_COMPUTED) {
        json_set(object, "computed", json_word(step->row->more->computation));
    }
    for (uint32_t i = 0; i < step->from_count; i++) {
        json_push(from, json_integer(step->from[i]));
    }
    for (uint32_t i = 0; i < step->binding_count; i++) {
        const struct binding *one = &step->bindings[i];
        json_t *value = value_json(writer, writer->answer->names, one->value, true);
        if (one->formula != NULL) {
            json_t *let = json_object();
            json_set(let, "name", json_text(one->name));
            json_set(let, "formula", json_text(formula_text(one->formula)));
            json_set(let, "value", value);
            json_push(lets, let);
        } else if (one->value.kind != VALUE_NONE) {
            json_set(bind, text_copy(writer->arena, one->name).at, value);
        } else {
            json_decref(value);
        }
    }
    json_set(object, "from", from);
    json_set(object, "given", json_integer(step->given_count));
    set_sorted(object, "bind", bind);
    json_set(object, "denied", denied_json(writer, step));
    json_set(object, "let", lets);
    if (step->rule != NULL && step->rule->has_check &&
        step->row->relation == step->rule->finding) {
        json_set(object, "margin", json_text(formula_text(step->rule->margin)));
    }
    return object;
}

json_t *steps_json(struct json_writer *writer)
{
    json_t *array = json_array();
    for (uint32_t i = 0; i < writer->answer->step_count; i++) {
        json_push(array, step_as_json(writer, &writer->answer->steps[i]));
    }
    return array;
}

/* What is chosen at assembly, as it follows from the parts of its gap. */
json_t *settings_json(struct json_writer *writer)
{
    json_t *list = json_array();
    const struct answer *answer = writer->answer;
    for (uint32_t i = 0; i < answer->settling_count; i++) {
        const struct settling *one = &answer->settlings[i];
        json_t *object = json_object();
        meet(writer, one->of);
        meet(writer, one->left);
        json_set(object, "unit", json_text(names_text(answer->names, one->unit)));
        json_set(object, "gap", json_text(names_text(answer->names, one->gap)));
        json_set(object, "place", json_text(names_text(answer->names, one->place)));
        json_set(object, "dimension", json_text(one->of->name));
        json_set(object, "by", json_number(one->by));
        json_set(object, "size", form_json(writer, one->size, true));
        json_set(object, "left", json_text(one->left->name));
        json_set(object, "as", form_json(writer, one->as, true));
        json_push(list, object);
    }
    return list;
}

json_t *dimensions_json(const struct json_writer *writer)
{
    static const char *const kinds[] = {"made", "read", "moves", "set", "counted"};
    static const char *const bases[] = {"limits", "assumed", "resolution", "gauge",
                                        "missing"};
    json_t *object = json_object();
    for (uint32_t i = 0; i < writer->dimensions.count; i++) {
        const struct deviation *of = writer->dimensions.at[i];
        json_t *one = json_object();
        json_set(one, "nominal", json_magnitude(of->dim, of->nominal));
        json_set(one, "low", json_step(of->dim, of->low));
        json_set(one, "high", json_step(of->dim, of->high));
        json_set(one, "unit", json_word(json_unit(of->dim).symbol));
        json_set(one, "kind", json_word(kinds[of->kind]));
        json_set(one, "basis", json_word(bases[of->basis]));
        json_set(object, text_copy(writer->arena, of->name).at, one);
    }
    return object;
}

/* ---- the whole */

json_t *pairs_json(struct arena *arena, const struct named_pair *pairs, uint32_t count)
{
    json_t *object = json_object();
    for (uint32_t i = 0; i < count; i++) {
        json_set(object, text_copy(arena, pairs[i].name).at, json_text(pairs[i].value));
    }
    return object;
}

static json_t *question_json(struct arena *arena, const struct answer *answer)
{
    json_t *object = json_object();
    json_set(object, "command", json_text(answer->command));
    json_set(object, "unit", json_text(answer->unit));
    json_set(object, "changes", pairs_json(arena, answer->changes, answer->change_count));
    json_set(object, "brought",
             pairs_json(arena, answer->brought, answer->brought_count));
    json_set(object, "given", pairs_json(arena, answer->given, answer->given_count));
    json_t *allow = json_array();
    if (answer->allows_machining) {
        json_push(allow, json_word("machine"));
    }
    json_set(object, "allow", allow);
    set_upgrade_question(arena, object, answer->upgrade);
    set_sweep_question(arena, object, answer->sweep);
    if (answer->comparison != NULL) {
        json_set(object, "toward", json_text(answer->comparison->second));
    }
    if (answer->explanation != NULL) {
        json_set(object, "of", json_text(answer->explanation->asked));
        json_set(object, "most", json_integer(answer->explanation->most));
        json_set(object, "depth", json_integer(answer->explanation->depth));
    }
    return object;
}

json_t *work_json(const struct answer *answer)
{
    json_t *array = json_array();
    for (uint32_t i = 0; i < answer->work_count; i++) {
        json_t *item = json_object();
        json_set(item, "what", json_text(answer->work[i].what));
        json_set(item, "why", json_text(answer->work[i].why));
        json_push(array, item);
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
        json_set(object, "finding", json_integer(mend->finding));
        json_set(object, "kind", json_word(mend_word(mend->kind)));
        json_set(object, "what", json_text(mend->what));
        json_set(object, "tried",
                 mend->tried.length > 0 ? json_text(mend->tried) : json_null());
        json_set(object, "allowed", json_boolean(mend->is_allowed));
        json_set(object, "cures", json_boolean(mend->cures));
        if (mend->may_cure) {
            json_set(object, "may-cure", json_true());
        }
        json_set(object, "chosen", json_boolean(mend->is_chosen));
        json_set(object, "why_not", mend->cures ? json_null() : json_text(mend->why));
        json_push(list, object);
    }
    return list;
}

json_t *missing_json(const struct answer *answer)
{
    json_t *array = json_array();
    for (uint32_t i = 0; i < answer->missing_count; i++) {
        const struct missing_item *item = &answer->missing[i];
        json_t *object = json_object();
        json_set(object, "dimension", json_text(item->of->name));
        json_set(object, "wanted_by", texts_json(item->wanted_by, item->wanted_count));
        json_set(object, "got_by", json_text(item->of->got_by));
        if (item->of->one_of.length > 0) {
            json_set(object, "one_of", json_text(item->of->one_of));
        }
        json_push(array, object);
    }
    return array;
}

static json_t *spaces_json(const struct answer *answer)
{
    json_t *list = json_array();
    for (uint32_t i = 0; i < answer->space_count; i++) {
        const struct leak_space *space = &answer->spaces[i];
        json_t *object = json_object();
        json_set(object, "space", json_text(space->space));
        json_set(object, "holds", json_text(space->holds));
        json_set(object, "wet_with", json_text(space->wet_with));
        json_set(object, "sure", json_boolean(!space->is_open));
        json_push(list, object);
    }
    return list;
}

static json_t *ways_json(const struct answer *answer)
{
    json_t *list = json_array();
    for (uint32_t i = 0; i < answer->way_count; i++) {
        const struct leak_way *way = &answer->ways[i];
        json_t *object = json_object();
        json_set(object, "path", json_text(way->path));
        json_set(object, "from", json_text(way->from));
        json_set(object, "to", json_text(way->to));
        json_set(object, "through", json_text(way->closer));
        json_set(object, "state", json_word(way_state_word(way->state)));
        json_push(list, object);
    }
    return list;
}

static json_t *decided_json(const struct answer *answer)
{
    json_t *array = json_array();
    for (uint32_t i = 0; i < answer->decided_count; i++) {
        json_push(array, json_integer(answer->decided_by[i]));
    }
    return array;
}

static json_t *effort_json(const struct effort *effort)
{
    json_t *object = json_object();
    json_set(object, "rows_read", json_integer((json_int_t)effort->rows_read));
    json_set(object, "rows_added", json_integer((json_int_t)effort->counts.rows_added));
    json_set(object, "steps", json_integer((json_int_t)effort->counts.premises_tried));
    return object;
}

json_t *answer_open_json(const struct writer *writer, const struct answer *answer)
{
    json_t *object = json_object();
    json_t *knowledge = json_object();
    json_set(object, "schema", json_integer(1));
    json_set(knowledge, "digest", json_text(answer->knowledge->digest));
    json_set(knowledge, "files", json_integer(answer->knowledge->file_count));
    json_set(object, "knowledge", knowledge);
    json_set(object, "question",
             answer->identification != NULL
                 ? identify_question_json(writer->arena, answer)
                 : question_json(writer->arena, answer));
    if (answer->taken_count > 0) {
        json_set(object, "taken", texts_json(answer->taken, answer->taken_count));
    }
    if (writer->with_effort) {
        json_set(object, "effort", effort_json(&answer->effort));
    }
    return object;
}

status render_answer_json(struct writer *writer, const struct answer *answer)
{
    struct json_writer json = {.answer = answer, .arena = writer->arena};
    json_t *object = answer_open_json(writer, answer);
    json_set(object, "verdict", json_word(verdict_word(answer->verdict)));
    json_set(object, "decided_by", decided_json(answer));
    json_set(object, "because", texts_json(answer->because, answer->because_count));
    json_set(object, "findings",
             findings_json(&json, answer->findings, answer->finding_count));
    json_set(object, "steps", steps_json(&json));
    json_set(object, "settings", settings_json(&json));
    json_set(object, "dimensions", dimensions_json(&json));
    json_set(object, "host_findings",
             findings_json(&json, answer->host_findings, answer->host_finding_count));
    json_set(object, "spaces", spaces_json(answer));
    json_set(object, "paths", ways_json(answer));
    json_set(object, "leaks", json_word(leaks_word(answer->leaks)));
    json_set(object, "work", work_json(answer));
    json_set(object, "mends", mends_json(answer));
    json_set(object, "missing", missing_json(answer));
    json_set(object, "left_over", texts_json(answer->left_over, answer->left_over_count));
    json_set(object, "left_empty",
             texts_json(answer->left_empty, answer->left_empty_count));
    json_set(object, "assumed", texts_json(answer->assumed, answer->assumed_count));
    json_set(object, "not_looked_at",
             texts_json(answer->not_looked_at, answer->not_looked_at_count));
    json_set(object, "caution", json_text(answer->caution));
    return json_write(writer, object);
}

status render_value_json(struct writer *writer, const struct names *names,
                         struct value value)
{
    struct json_writer json = {.arena = writer->arena};
    json_t *object = value_json(&json, names, value, false);
    if (value.kind == VALUE_QUANTITY && value.quantity != NULL) {
        json_set(object, "spread",
                 json_step(value.quantity->dim, form_spread(value.quantity)));
    }
    return json_write(writer, object);
}

status render_fit_json(struct writer *writer, const struct reckoned_fit *fit)
{
    struct json_writer json = {.arena = writer->arena};
    json_t *object = json_object();
    json_set(object, "hole",
             fit->hole == NULL ? json_null() : form_json(&json, fit->hole, false));
    json_set(object, "shaft",
             fit->shaft == NULL ? json_null() : form_json(&json, fit->shaft, false));
    json_set(object, "clearance",
             fit->clearance == NULL ? json_null()
                                    : form_json(&json, fit->clearance, false));
    return json_write(writer, object);
}
