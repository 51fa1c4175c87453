/* SPDX-License-Identifier: MIT */
/*
 * The frame of a part: what it is called, what kind it is, what it brings along. Its
 * fields are read by part_build, once for each owner.
 */
#include "part.h"

static text word_or_empty(const struct node *map, const char *key,
                          struct diagnostics *diagnostics, bool *is_wrong)
{
    const struct node *word = node_field_of(map, key);
    if (word == NULL) {
        return map->word;
    }
    if (!node_expect(word, NODE_WORD, key, diagnostics)) {
        *is_wrong = true;
        return map->word;
    }
    return word->word;
}

static const struct kind *read_kind(struct names *names,
                                    const struct vocabulary *vocabulary,
                                    const struct node *word,
                                    struct diagnostics *diagnostics)
{
    const name_id name = names_find(names, word->word);
    const struct kind *found =
        name == NAME_NONE ? NULL : vocabulary_kind(vocabulary, name);
    if (found != NULL) {
        return found;
    }
    struct nearest near = nearest_to(word->word);
    for (uint32_t i = 0; i < vocabulary->kind_count; i++) {
        nearest_offer(&near, names_text(names, vocabulary->kinds[i].name));
    }
    struct diagnostic *report =
        diagnostics_report(diagnostics, CODE_NAME_UNKNOWN, word->where,
                           "\"%.*s\" is no kind of part", TEXT_ARG(word->word));
    report->expected = TEXT("a kind that vocabulary.yaml lists");
    report->nearest = near.best;
    return NULL;
}

static status read_brings(struct arena *arena, struct names *names,
                          const struct node *document, struct diagnostics *diagnostics,
                          struct part *out)
{
    static const char *const known[] = {"contacts", "gaps",   "fits", "spaces",
                                        "paths",    "meshes", NULL};
    const struct node *brings = node_field_of(document, "brings");
    const struct node *comes_with = node_field_of(document, "comes-with");
    if (comes_with != NULL) {
        TRY(fillings_read(arena, names, comes_with, diagnostics, &out->comes_with,
                          &out->comes_with_count));
    }
    if (brings == NULL) {
        return STATUS_OK;
    }
    if (!node_expect(brings, NODE_MAP, "`brings`", diagnostics)) {
        return STATUS_INVALID;
    }
    node_refuse_others(brings, known, "`brings`", diagnostics);
    struct lines *lines = ARENA_NEW(arena, struct lines);
    if (lines == NULL) {
        return arena_status(arena);
    }
    out->brings = lines;
    return lines_read(arena, names, brings, diagnostics, lines);
}

/* superseded-by: PART, or {part: PART, goes-with: {place: part}} */
static status read_superseded(struct arena *arena, struct names *names,
                              const struct node *document,
                              struct diagnostics *diagnostics, struct part *out)
{
    static const char *const known[] = {"part", "goes-with", NULL};
    const struct node *by = node_field_of(document, "superseded-by");
    const struct node *part = by;
    if (by == NULL) {
        return STATUS_OK;
    }
    if (by->kind == NODE_MAP) {
        node_refuse_others(by, known, "`superseded-by`", diagnostics);
        if (!node_word(by, "part", "`superseded-by`", diagnostics, &part)) {
            return STATUS_INVALID;
        }
        const struct node *with = node_field_of(by, "goes-with");
        if (with != NULL) {
            TRY(fillings_read(arena, names, with, diagnostics, &out->goes_with,
                              &out->goes_with_count));
        }
    }
    if (!node_expect(part, NODE_WORD, "`superseded-by`", diagnostics)) {
        return STATUS_INVALID;
    }
    out->superseded_by = names_add(names, part->word);
    out->superseded_where = part->where;
    return STATUS_OK;
}

static const struct node *read_other_numbers(const struct node *document,
                                             struct diagnostics *diagnostics,
                                             bool *is_wrong)
{
    const struct node *list = node_field_of(document, "other-numbers");
    bool is_right =
        list == NULL || node_expect(list, NODE_LIST, "`other-numbers`", diagnostics);
    for (uint32_t i = 0; is_right && list != NULL && i < list->count; i++) {
        is_right = node_expect(list->items[i], NODE_WORD, "a number", diagnostics);
    }
    *is_wrong = *is_wrong || !is_right;
    return is_right ? list : NULL;
}

bool part_bears(const struct part *part, text number)
{
    const struct node *others = part->other_numbers;
    bool bears = number.length > 0 && text_equal(part->number, number);
    for (uint32_t i = 0; number.length > 0 && others != NULL && i < others->count; i++) {
        bears = bears || text_equal(others->items[i]->word, number);
    }
    return bears;
}

status part_read(struct arena *arena, struct names *names,
                 const struct vocabulary *vocabulary, const struct node *document,
                 struct diagnostics *diagnostics, struct part *out)
{
    const struct node *name = NULL;
    const struct node *kind_word = NULL;
    bool is_wrong = false;
    *out = (struct part){.document = document, .where = document->where};
    if (!node_word(document, "part", "a part", diagnostics, &name)) {
        return STATUS_INVALID;
    }
    out->name = names_add(names, name->word);
    out->where = name->where;
    if (!node_word(document, "kind", "a part", diagnostics, &kind_word)) {
        return STATUS_INVALID;
    }
    out->kind = read_kind(names, vocabulary, kind_word, diagnostics);
    out->title = word_or_empty(document, "title", diagnostics, &is_wrong);
    out->source = word_or_empty(document, "source", diagnostics, &is_wrong);
    out->general_tolerance =
        word_or_empty(document, "general-tolerance", diagnostics, &is_wrong);
    out->material = word_or_empty(document, "material", diagnostics, &is_wrong);
    const text datum = word_or_empty(document, "datum", diagnostics, &is_wrong);
    out->datum = datum.length > 0 ? names_add(names, datum) : NAME_NONE;
    if (out->source.length == 0) {
        struct diagnostic *report = diagnostics_report(
            diagnostics, CODE_FIELD_MISSING, name->where,
            "part \"%.*s\" does not say where its facts come from", TEXT_ARG(name->word));
        report->expected = TEXT("source: drawing, or who measured how many");
        is_wrong = true;
    }
    if (out->datum != NAME_NONE && !part_has(out, FEATURE_PLANE, datum)) {
        diagnostics_report(
            diagnostics, CODE_NAME_UNKNOWN, node_field_of(document, "datum")->where,
            "the datum \"%.*s\" is no face or station of this part", TEXT_ARG(datum));
        is_wrong = true;
    }
    out->number = word_or_empty(document, "number", diagnostics, &is_wrong);
    out->other_numbers = read_other_numbers(document, diagnostics, &is_wrong);
    out->hand = word_or_empty(document, "hand", diagnostics, &is_wrong);
    const text mirrors = word_or_empty(document, "mirrors", diagnostics, &is_wrong);
    out->mirrors = mirrors.length > 0 ? names_add(names, mirrors) : NAME_NONE;
    if (out->hand.length > 0 && !text_is(out->hand, "left") &&
        !text_is(out->hand, "right")) {
        diagnostics_report(diagnostics, CODE_CHOICE_UNKNOWN,
                           node_field_of(document, "hand")->where,
                           "a part is left or right")
            ->expected = TEXT("left or right");
        is_wrong = true;
    }
    is_wrong = !outlay_read(document, diagnostics, &out->outlay) || is_wrong;
    TRY(read_superseded(arena, names, document, diagnostics, out));
    TRY(read_brings(arena, names, document, diagnostics, out));
    TRY(arena_status(arena));
    return is_wrong || out->kind == NULL ? STATUS_INVALID : STATUS_OK;
}

const char *const *feature_lists(enum feature_class wanted)
{
    static const char *const lists[][3] = {[FEATURE_PLANE] = {"faces", "stations", NULL},
                                           [FEATURE_SURFACE] = {"runs", "bands", NULL},
                                           [FEATURE_PORT] = {"ports", NULL}};
    return lists[wanted];
}

bool part_has(const struct part *part, enum feature_class wanted, text feature)
{
    for (const char *const *field = feature_lists(wanted); *field != NULL; field++) {
        const struct node *list = node_field_of(part->document, *field);
        if (list != NULL && list->kind == NODE_MAP && node_find(list, feature) != NULL) {
            return true;
        }
    }
    return false;
}
