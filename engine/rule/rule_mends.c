/* SPDX-License-Identifier: MIT */
/*
 * Reads what would cure a failing check, and how that is tried:
 *
 *   mend:
 *     - adjust: "press {seal} deeper or less deep"
 *       try: {stroke: $seal}
 *     - renew: "a new {piece}"
 *       try: {fill: $piece, with: another}
 *     - buy: "a sleeve over {run}"
 *       try: {fill: sleeve, of-kind: repair-sleeve}
 *     - machine: "turn {cover} down"
 *       try: {given: $cover.pilot.diameter, value: $bore - 0.03 mm}
 */
#include "rule_reader.h"

/* "$seal" (a piece in the finding's key) or the name of a place. */
static void read_place(struct rule_reader *reader, const struct node *node, text word,
                       struct trial_place *out)
{
    *out = (struct trial_place){UINT32_MAX, NAME_NONE};
    if (word.length == 0 || word.at[0] != '$') {
        out->place = names_add(reader->around->names, word);
        return;
    }
    out->variable = rule_variable_find(reader, text_slice(word, 1, word.length));
    if (out->variable == UINT32_MAX || !reader->variables.at[out->variable].is_key ||
        reader->variables.at[out->variable].is_number_key) {
        rule_report(reader, CODE_RULE_WRONG, node->where,
                    TEXT("no piece of this finding is bound to this variable"))
            ->expected =
            TEXT("a variable of a key column that holds a piece, or a place");
    }
}

static const struct node *trial_word(struct rule_reader *reader, const struct node *map,
                                     const char *key)
{
    const struct node *word = node_field_of(map, key);
    return word != NULL && rule_expect(reader, word, NODE_WORD, key) ? word : NULL;
}

static void read_fill(struct rule_reader *reader, const struct node *map,
                      const struct node *fill, struct trial *out)
{
    const struct node *with = trial_word(reader, map, "with");
    const struct node *kind = trial_word(reader, map, "of-kind");
    out->kind = TRIAL_FILL;
    read_place(reader, fill, fill->word, &out->at);
    if (kind != NULL) {
        out->of_kind = names_add(reader->around->names, kind->word);
        if (vocabulary_kind(reader->around->vocabulary, out->of_kind) == NULL) {
            rule_report(reader, CODE_NAME_UNKNOWN, kind->where,
                        TEXT("there is no kind of this name"));
        }
    } else if (with == NULL || !text_is(with->word, "another")) {
        rule_report(reader, CODE_RULE_WRONG, map->where,
                    TEXT("a mend puts no other number into a place that holds a part"))
            ->expected = TEXT("with: another, or of-kind: KIND for an empty place");
    }
}

/* "$cover.pilot.diameter" */
static void read_given_trial(struct rule_reader *reader, const struct node *map,
                             const struct node *given, struct trial *out)
{
    const text word = given->word;
    const size_t dot = text_find(word, '.', 0);
    const size_t last = text_find(word, '.', dot + 1);
    const struct node *value = trial_word(reader, map, "value");
    out->kind = TRIAL_GIVEN;
    if (last >= word.length || value == NULL) {
        rule_report(reader, CODE_RULE_WRONG, given->where,
                    TEXT("a dimension and its new value were expected"))
            ->expected = TEXT("given: $PIECE.FEATURE.FIELD, value: FORMULA");
        return;
    }
    read_place(reader, given, text_slice(word, 0, dot), &out->at);
    out->feature = names_add(reader->around->names, text_slice(word, dot + 1, last));
    out->field =
        names_add(reader->around->names, text_slice(word, last + 1, word.length));
    out->value = rule_formula(reader, value->word,
                              node_text_span(value, 0, value->word.length), false);
}

static void read_trial(struct rule_reader *reader, const struct node *map,
                       struct trial *out)
{
    static const char *const known[] = {"fill",  "with",  "of-kind", "stroke",
                                        "given", "value", NULL};
    const struct node *fill = trial_word(reader, map, "fill");
    const struct node *stroke = trial_word(reader, map, "stroke");
    const struct node *given = trial_word(reader, map, "given");
    node_refuse_others(map, known, "a trial", reader->diagnostics);
    out->where = map->where;
    if (fill != NULL) {
        read_fill(reader, map, fill, out);
    } else if (stroke != NULL) {
        out->kind = TRIAL_STROKE;
        read_place(reader, stroke, stroke->word, &out->at);
    } else if (given != NULL) {
        read_given_trial(reader, map, given, out);
    } else {
        rule_report(reader, CODE_RULE_WRONG, map->where,
                    TEXT("this mend cannot be tried"))
            ->expected = TEXT("one of fill, stroke or given");
    }
}

static void read_mend(struct rule_reader *reader, const struct node *item,
                      struct mend *out)
{
    static const char *const known[] = {"adjust", "renew", "buy", "machine",
                                        "where",  "try",   NULL};
    if (!rule_expect(reader, item, NODE_MAP, "a mend")) {
        return;
    }
    node_refuse_others(item, known, "a mend", reader->diagnostics);
    int said = 0;
    for (int i = 0; i < 4; i++) {
        const struct node *what = node_field_of(item, known[i]);
        if (what != NULL) {
            said++;
            out->kind = (enum mend_kind)i;
            (void)rule_sentence(reader, what, &out->what);
        }
    }
    const struct node *where = node_field_of(item, "where");
    const struct node *trial = node_field_of(item, "try");
    out->where = where == NULL ? NULL : rule_truth(reader, where, "`where`");
    if (trial != NULL && rule_expect(reader, trial, NODE_MAP, "`try`")) {
        read_trial(reader, trial, &out->trial);
    }
    if (said != 1) {
        rule_report(reader, CODE_RULE_WRONG, item->where,
                    TEXT("a mend says one thing to do"))
            ->expected = TEXT("one of adjust, renew, buy, machine: \"…\"");
    }
}

void rule_read_mends(struct rule_reader *reader)
{
    struct rule *rule = &reader->draft->rule;
    const struct node *list = rule_list(reader, "mend");
    struct mend *mends =
        list == NULL ? NULL : ARENA_MANY(reader->arena, list->count, struct mend);
    for (uint32_t i = 0; mends != NULL && i < list->count; i++) {
        read_mend(reader, list->items[i], &mends[i]);
    }
    rule->mends = mends;
    rule->mend_count = mends == NULL ? 0 : list->count;
}
