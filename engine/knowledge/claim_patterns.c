/* SPDX-License-Identifier: MIT */
/* Documents headed `claims:`: each pattern is filled in, read once, and kept as text. */
#include "claim_patterns.h"

#include "array.h"
#include "limits.h"
#include "nearest.h"
#include "scanner.h"

#include <stdlib.h>
#include <string.h>

/* A word is filled in when it is first asked for: words may name each other in any order.
 */
enum word_state {
    WORD_WRITTEN,
    WORD_BEING_FILLED,
    WORD_FILLED
};
struct word_pattern {
    text name;
    text pattern;            /* filled */
    const struct node *node; /* as it is written */
    span where;
    enum word_state state;
};

struct claim_reader {
    struct arena *kept;  /* of the knowledge, in which nothing points at this program */
    struct arena *arena; /* for what is needed while it is read */
    struct names *names;
    const struct vocabulary *vocabulary;
    struct diagnostics *diagnostics;
    ARRAY_OF(struct word_pattern) words;
    ARRAY_OF(struct counted_word) numbers;
    ARRAY_OF(struct claim_pattern) patterns;
};

const char *claim_kind_word(enum claim_kind kind)
{
    static const char *const words[] = {
#define CLAIM(id, word) word,
#include "claim_kinds.def"
#undef CLAIM
    };
    return words[kind];
}

const char *const *claim_group_words(void)
{
    static const char *const words[] = {
#define GROUP(id, word) word,
#include "claim_groups.def"
#undef GROUP
        NULL};
    return words;
}

/* ---- blanks */

/* What the facts name: filled in when listings are read; here one word stands for all. */
static const struct claim_blank of_the_facts[] = {{"model", {"q0", 2}},
                                                  {"short-model", {"q0", 2}},
                                                  {"part-number", {"q0", 2}},
                                                  {"family", {"q0", 2}}};
enum {
    FACT_BLANKS = sizeof of_the_facts / sizeof *of_the_facts
};

/* The name of a blank {name} at `at`; false: there is none, as in [0-9]{2}. */
static bool blank_at(text written, size_t at, text *name)
{
    size_t end = at + 1;
    if (written.at[at] != '{' || end >= written.length || !is_letter(written.at[end])) {
        return false;
    }
    while (end < written.length && written.at[end] != '}') {
        end++;
    }
    *name = text_slice(written, at + 1, end);
    return end < written.length;
}

/* One stretch of a pattern that is being filled in: where it came from. */
struct stretch {
    text part;
    size_t from; /* in the pattern as it is written */
    bool is_filled;
};
typedef ARRAY_OF(struct stretch) stretches;

static bool push_stretch(struct arena *arena, stretches *list, text part, size_t from,
                         bool is_filled)
{
    const struct stretch one = {part, from, is_filled};
    return ARRAY_PUSH(arena, list, one);
}

/* Cuts a pattern at its blanks; `find` gives what a blank stands for, false: it stays. */
static bool cut(struct arena *arena, text written,
                bool (*find)(const void *of, text name, text *pattern), const void *of,
                stretches *list)
{
    size_t from = 0;
    bool is_kept = true;
    for (size_t at = 0; is_kept && at < written.length; at++) {
        text name;
        text pattern;
        if (!blank_at(written, at, &name) || !find(of, name, &pattern)) {
            continue;
        }
        is_kept = push_stretch(arena, list, text_slice(written, from, at), from, false) &&
                  push_stretch(arena, list, TEXT("(?:"), at, true) &&
                  push_stretch(arena, list, pattern, at, true) &&
                  push_stretch(arena, list, TEXT(")"), at, true);
        from = at + name.length + 2;
        at = from - 1;
    }
    return is_kept && push_stretch(arena, list, text_slice(written, from, written.length),
                                   from, false);
}

static text join(struct arena *arena, const stretches *list)
{
    text *parts = ARENA_MANY(arena, list->count, text);
    for (uint32_t i = 0; parts != NULL && i < list->count; i++) {
        parts[i] = list->at[i].part;
    }
    return parts == NULL ? (text){"", 0} : text_join(arena, parts, list->count);
}

struct blank_list {
    const struct claim_blank *at;
    uint32_t count;
};

static bool find_blank(const void *of, text name, text *pattern)
{
    const struct blank_list *list = of;
    for (uint32_t i = 0; i < list->count; i++) {
        if (text_is(name, list->at[i].name)) {
            *pattern = list->at[i].pattern;
            return true;
        }
    }
    return false;
}

text claim_pattern_fill(struct arena *arena, text written,
                        const struct claim_blank *blanks, uint32_t count)
{
    const struct blank_list of = {blanks, count};
    stretches list = {0};
    return cut(arena, written, find_blank, &of, &list) ? join(arena, &list)
                                                       : (text){"", 0};
}

static bool find_word(const void *of, text name, text *pattern)
{
    const struct claim_reader *reader = of;
    for (uint32_t i = 0; i < reader->words.count; i++) {
        if (text_equal(reader->words.at[i].name, name)) {
            *pattern = reader->words.at[i].pattern;
            return true;
        }
    }
    return false;
}

/* Blanks that neither a word nor the facts fill. */
static void refuse_blanks(struct claim_reader *reader, const struct node *word)
{
    for (size_t at = 0; at < word->word.length; at++) {
        text name;
        text pattern;
        const struct blank_list facts = {of_the_facts, FACT_BLANKS};
        if (!blank_at(word->word, at, &name) || find_word(reader, name, &pattern) ||
            find_blank(&facts, name, &pattern)) {
            continue;
        }
        struct nearest near = nearest_to(name);
        for (uint32_t i = 0; i < reader->words.count; i++) {
            nearest_offer(&near, reader->words.at[i].name);
        }
        for (uint32_t i = 0; i < FACT_BLANKS; i++) {
            nearest_offer(&near, text_of(of_the_facts[i].name));
        }
        struct diagnostic *report = diagnostics_report(
            reader->diagnostics, CODE_NAME_UNKNOWN,
            node_text_span(word, at + 1, name.length), "there is no word of this name");
        report->expected = TEXT("a word of `words`, or {model}, {short-model} or "
                                "{part-number}");
        report->nearest = near.best;
    }
}

/* ---- patterns */

/* Where byte `at` of a filled pattern is written. */
static size_t written_place(const stretches *list, size_t at)
{
    size_t before = 0;
    for (uint32_t i = 0; i < list->count; i++) {
        const struct stretch *one = &list->at[i];
        if (at < before + one->part.length) {
            return one->is_filled ? one->from : one->from + (at - before);
        }
        before += one->part.length;
    }
    return 0;
}

static void report_fault(struct claim_reader *reader, const struct node *word, size_t at,
                         const struct pattern_fault *fault)
{
    struct diagnostic *report =
        diagnostics_report(reader->diagnostics, CODE_PATTERN_WRONG,
                           node_text_span(word, at, 1), "%s", fault->message);
    report->expected = text_of(fault->expected);
}

/* A group that nobody knows: the fault's `expected` is its name. */
static void report_group(struct claim_reader *reader, const struct node *word, size_t at,
                         const struct pattern_fault *fault)
{
    const text name = text_of(fault->expected);
    struct nearest near = nearest_to(name);
    const char *const *known = claim_group_words();
    text all = {"", 0};
    for (uint32_t i = 0; known[i] != NULL; i++) {
        nearest_offer(&near, text_of(known[i]));
        all = text_format(diagnostics_arena(reader->diagnostics), "%.*s%s%s",
                          TEXT_ARG(all), i == 0 ? "" : ", ", known[i]);
    }
    struct diagnostic *report =
        diagnostics_report(reader->diagnostics, CODE_PATTERN_WRONG,
                           node_text_span(word, at, name.length), "%s", fault->message);
    report->expected = all;
    report->nearest = near.best;
}

/* Fills words in and reads the pattern; an empty text: at fault, and reported. */
static text read_text(struct claim_reader *reader, const struct node *word)
{
    struct pattern_fault fault = {0};
    stretches words = {0};
    const uint32_t before = diagnostics_count(reader->diagnostics);
    const struct blank_list facts = {of_the_facts, FACT_BLANKS};
    refuse_blanks(reader, word);
    if (diagnostics_count(reader->diagnostics) > before ||
        !cut(reader->arena, word->word, find_word, reader, &words)) {
        return (text){"", 0};
    }
    const text written = join(reader->arena, &words);
    stretches whole = {0};
    if (written.length > LIMIT_CLAIM_PATTERN_BYTES) {
        fault = (struct pattern_fault){0, "this pattern is too long",
                                       "at most 4096 bytes, words filled in"};
        report_fault(reader, word, 0, &fault);
        return (text){"", 0};
    }
    if (!cut(reader->arena, written, find_blank, &facts, &whole)) {
        return (text){"", 0};
    }
    const status result = scanner_check(reader->arena, join(reader->arena, &whole),
                                        claim_group_words(), &fault);
    if (result == STATUS_OK) {
        return written;
    }
    if (result == STATUS_INVALID) {
        const size_t at = written_place(&words, written_place(&whole, fault.at));
        if (fault.message == scanner_unknown_group) {
            report_group(reader, word, at, &fault);
        } else {
            report_fault(reader, word, at, &fault);
        }
    }
    return (text){"", 0};
}

static bool read_kind(struct claim_reader *reader, const struct node *map,
                      enum claim_kind *out)
{
    const struct node *word = NULL;
    if (!node_word(map, "reads", "a pattern of claims", reader->diagnostics, &word)) {
        return false;
    }
    struct nearest near = nearest_to(word->word);
    text all = {"", 0};
    for (uint32_t i = 0; i < CLAIM_KIND_COUNT; i++) {
        const char *known = claim_kind_word((enum claim_kind)i);
        if (text_is(word->word, known)) {
            *out = (enum claim_kind)i;
            return true;
        }
        nearest_offer(&near, text_of(known));
        all = text_format(diagnostics_arena(reader->diagnostics), "%.*s%s%s",
                          TEXT_ARG(all), i == 0 ? "" : ", ", known);
    }
    struct diagnostic *report =
        diagnostics_report(reader->diagnostics, CODE_CHOICE_UNKNOWN, word->where,
                           "nobody claims anything of this kind");
    report->expected = all;
    report->nearest = near.best;
    return false;
}

static text word_or_none(struct claim_reader *reader, const struct node *map,
                         const char *key)
{
    const struct node *word = node_field_of(map, key);
    return word != NULL && node_expect(word, NODE_WORD, key, reader->diagnostics)
               ? word->word
               : map->word; /* of a map the empty text */
}

/* `after: [fits, more-models]`. */
static void read_after(struct claim_reader *reader, const struct node *map,
                       struct claim_pattern *out)
{
    const struct node *list = node_field_of(map, "after");
    if (list == NULL || !node_expect(list, NODE_LIST, "`after`", reader->diagnostics)) {
        return;
    }
    text *after = ARENA_MANY(reader->kept, list->count, text);
    for (uint32_t i = 0; after != NULL && i < list->count; i++) {
        after[i] = list->items[i]->word;
    }
    out->after = after;
    out->after_count = after == NULL ? 0 : list->count;
}

static void push_pattern(struct claim_reader *reader, struct claim_pattern pattern,
                         const struct node *word)
{
    if (!node_expect(word, NODE_WORD, "the text of a pattern", reader->diagnostics)) {
        return;
    }
    const text written = read_text(reader, word);
    if (written.length == 0) {
        return;
    }
    pattern.written = text_copy(reader->kept, written);
    pattern.where = word->where;
    if (!ARRAY_PUSH(reader->kept, &reader->patterns, pattern)) {
        reader->patterns.count = 0; /* the arena has failed; the caller sees that */
    }
}

/* A kind that is claimed is one that the vocabulary knows. */
static void check_value(struct claim_reader *reader, const struct claim_pattern *pattern,
                        const struct node_field *field)
{
    const name_id name = names_find(reader->names, field->key);
    if (pattern->reads != CLAIM_KIND ||
        (name != NAME_NONE && vocabulary_kind(reader->vocabulary, name) != NULL)) {
        return;
    }
    struct nearest near = nearest_to(field->key);
    for (uint32_t i = 0; i < reader->vocabulary->kind_count; i++) {
        nearest_offer(&near,
                      names_text(reader->names, reader->vocabulary->kinds[i].name));
    }
    diagnostics_report(reader->diagnostics, CODE_NAME_UNKNOWN, field->key_where,
                       "there is no kind of part of this name")
        ->nearest = near.best;
}

/* With a text each pattern stands in it as {each}. */
static void push_in_text(struct claim_reader *reader, struct claim_pattern pattern,
                         const struct node *word, const struct node *text_node)
{
    const struct word_pattern each = {TEXT("each"), read_text(reader, word), word,
                                      word->where, WORD_FILLED};
    if (each.pattern.length == 0 || !ARRAY_PUSH(reader->arena, &reader->words, each)) {
        return;
    }
    push_pattern(reader, pattern, text_node);
    reader->words.count--;
}

/* The keys of `each` are values; of sizes and counts what they are of. */
static void read_each(struct claim_reader *reader, struct claim_pattern pattern,
                      const struct node *each, const struct node *text_node)
{
    const bool tells_what =
        pattern.reads == CLAIM_DIMENSION || pattern.reads == CLAIM_COUNT;
    if (!node_expect(each, NODE_MAP, "`each`", reader->diagnostics)) {
        return;
    }
    for (uint32_t i = 0; i < each->count; i++) {
        const struct node_field *field = &each->fields[i];
        check_value(reader, &pattern, field);
        if (tells_what) {
            pattern.what = field->key;
        } else {
            pattern.value = field->key;
        }
        if (!node_expect(field->value, NODE_WORD, "a pattern", reader->diagnostics)) {
            continue;
        }
        if (text_node == NULL) {
            push_pattern(reader, pattern, field->value);
        } else {
            push_in_text(reader, pattern, field->value, text_node);
        }
    }
}

static void read_pattern(struct claim_reader *reader, const struct node *map)
{
    static const char *const known[] = {"pattern", "reads", "text", "each",
                                        "value",   "what",  "unit", "after",
                                        "hedged",  "says",  NULL};
    struct claim_pattern pattern = {0};
    const struct node *name = NULL;
    const struct node *each = node_field_of(map, "each");
    const struct node *word = node_field_of(map, "text");
    const struct node *hedged = node_field_of(map, "hedged");
    node_refuse_others(map, known, "a pattern of claims", reader->diagnostics);
    const bool is_named =
        node_word(map, "pattern", "a pattern of claims", reader->diagnostics, &name);
    if (!read_kind(reader, map, &pattern.reads) || !is_named) {
        return;
    }
    if (each == NULL && word == NULL) {
        diagnostics_report(reader->diagnostics, CODE_FIELD_MISSING, map->where,
                           "a pattern of claims has a text, or one for each value")
            ->expected = TEXT("`text`, `each`, or both with {each} in the text");
        return;
    }
    pattern.name = name->word;
    pattern.value = word_or_none(reader, map, "value");
    pattern.what = word_or_none(reader, map, "what");
    pattern.unit = word_or_none(reader, map, "unit");
    read_after(reader, map, &pattern);
    if (hedged != NULL) {
        (void)node_flag(hedged, reader->diagnostics, &pattern.is_hedged);
    }
    if (each != NULL) {
        read_each(reader, pattern, each, word);
    } else {
        push_pattern(reader, pattern, word);
    }
}

/* ---- documents */

static void refuse_word(struct claim_reader *reader, const struct word_pattern *word,
                        const char *why)
{
    diagnostics_report(reader->diagnostics, CODE_PATTERN_WRONG, word->where, "%s", why);
}

/* Fills in the words that a word names, then the word itself. */
static void fill_in_word(struct claim_reader *reader, struct word_pattern *word,
                         uint32_t depth)
{
    const text written = word->node->word;
    stretches list = {0};
    size_t length = 0;
    if (word->state == WORD_BEING_FILLED || depth > LIMIT_DEPTH) {
        refuse_word(reader, word, "this word is said by itself, or by too many others");
        return;
    }
    if (word->state == WORD_FILLED) {
        return;
    }
    word->state = WORD_BEING_FILLED;
    for (size_t at = 0; at < written.length; at++) {
        text name;
        for (uint32_t i = 0; blank_at(written, at, &name) && i < reader->words.count;
             i++) {
            if (text_equal(reader->words.at[i].name, name)) {
                fill_in_word(reader, &reader->words.at[i], depth + 1);
            }
        }
    }
    word->state = WORD_FILLED;
    refuse_blanks(reader, word->node);
    if (!cut(reader->arena, written, find_word, reader, &list)) {
        return;
    }
    for (uint32_t i = 0; i < list.count; i++) {
        length += list.at[i].part.length;
    }
    if (length > LIMIT_CLAIM_PATTERN_BYTES) { /* words of words may double each time */
        refuse_word(reader, word, "this word is too long, words filled in");
        return;
    }
    word->pattern = join(reader->arena, &list);
}

static void read_words(struct claim_reader *reader, const struct node *words)
{
    if (words == NULL || !node_expect(words, NODE_MAP, "`words`", reader->diagnostics)) {
        return;
    }
    for (uint32_t i = 0; i < words->count; i++) {
        const struct node_field *field = &words->fields[i];
        text other;
        if (!node_expect(field->value, NODE_WORD, "a word", reader->diagnostics)) {
            continue;
        }
        if (find_word(reader, field->key, &other)) {
            diagnostics_report(reader->diagnostics, CODE_NAME_DOUBLED, field->key_where,
                               "there is a word of this name already");
            continue;
        }
        const struct word_pattern one = {field->key, field->value->word, field->value,
                                         field->key_where, WORD_WRITTEN};
        (void)ARRAY_PUSH(reader->arena, &reader->words, one);
    }
}

static void read_numbers(struct claim_reader *reader, const struct node *numbers)
{
    if (numbers == NULL ||
        !node_expect(numbers, NODE_MAP, "`numbers`", reader->diagnostics)) {
        return;
    }
    for (uint32_t i = 0; i < numbers->count; i++) {
        const struct node_field *field = &numbers->fields[i];
        int64_t count = 0;
        if (node_expect(field->value, NODE_WORD, "a number", reader->diagnostics) &&
            node_count(field->value, reader->diagnostics, &count)) {
            const struct counted_word one = {field->key, field->value->word};
            (void)ARRAY_PUSH(reader->kept, &reader->numbers, one);
        }
    }
}

static void read_document(struct claim_reader *reader, const struct node *document)
{
    static const char *const known[] = {"claims",  "says",     "source", "words",
                                        "numbers", "patterns", NULL};
    const struct node *source = NULL;
    const struct node *patterns = node_field_of(document, "patterns");
    node_refuse_others(document, known, "a file of claims", reader->diagnostics);
    (void)node_word(document, "source", "a file of claims", reader->diagnostics, &source);
    read_numbers(reader, node_field_of(document, "numbers"));
    if (patterns == NULL ||
        !node_expect(patterns, NODE_LIST, "`patterns`", reader->diagnostics)) {
        return;
    }
    for (uint32_t i = 0; i < patterns->count; i++) {
        if (node_expect(patterns->items[i], NODE_MAP, "a pattern of claims",
                        reader->diagnostics)) {
            read_pattern(reader, patterns->items[i]);
        }
    }
}

/* Every name in `after` is one of a pattern. */
static void check_after(struct claim_reader *reader)
{
    for (uint32_t i = 0; i < reader->patterns.count; i++) {
        const struct claim_pattern *pattern = &reader->patterns.at[i];
        for (uint32_t k = 0; k < pattern->after_count; k++) {
            struct nearest near = nearest_to(pattern->after[k]);
            bool is_there = false;
            for (uint32_t j = 0; j < reader->patterns.count; j++) {
                is_there = is_there ||
                           text_equal(reader->patterns.at[j].name, pattern->after[k]);
                nearest_offer(&near, reader->patterns.at[j].name);
            }
            if (!is_there) {
                diagnostics_report(reader->diagnostics, CODE_NAME_UNKNOWN, pattern->where,
                                   "%.*s comes after %.*s, and there is no such pattern",
                                   TEXT_ARG(pattern->name), TEXT_ARG(pattern->after[k]))
                    ->nearest = near.best;
            }
        }
    }
}

/* Kinds come last, since other claims begin with their words ("lip seal type"). */
static status put_kinds_last(struct claim_reader *reader)
{
    struct claim_pattern *sorted =
        ARENA_MANY(reader->kept, reader->patterns.count, struct claim_pattern);
    uint32_t count = 0;
    TRY(arena_status(reader->kept));
    for (int are_kinds = 0; are_kinds < 2; are_kinds++) {
        for (uint32_t i = 0; i < reader->patterns.count; i++) {
            if ((reader->patterns.at[i].reads == CLAIM_KIND) == (are_kinds == 1)) {
                sorted[count++] = reader->patterns.at[i];
            }
        }
    }
    reader->patterns.at = sorted;
    return STATUS_OK;
}

static int compare_numbers(const void *a, const void *b)
{
    return text_compare(((const struct counted_word *)a)->word,
                        ((const struct counted_word *)b)->word);
}

static text name_of(const struct node *document)
{
    const struct node *name = node_field_of(document, "claims");
    return name->kind == NODE_WORD ? name->word : (text){"", 0};
}

static int compare_documents(const void *a, const void *b)
{
    return text_compare(name_of(*(const struct node *const *)a),
                        name_of(*(const struct node *const *)b));
}

/* By name, so that the order of files does not show. */
static status sort_documents(struct claim_reader *reader,
                             const struct node *const *documents, uint32_t count,
                             const struct node *const **out)
{
    const struct node **sorted =
        arena_copy(reader->arena, documents, count * sizeof *sorted);
    TRY(arena_status(reader->arena));
    if (count > 1) {
        qsort(sorted, count, sizeof *sorted, compare_documents);
    }
    for (uint32_t i = 1; i < count; i++) {
        if (compare_documents(&sorted[i - 1], &sorted[i]) == 0) {
            diagnostics_report(reader->diagnostics, CODE_NAME_DOUBLED,
                               node_field_of(sorted[i], "claims")->where,
                               "there are claims of this name already");
        }
    }
    *out = sorted;
    return STATUS_OK;
}

static status read_all(struct claim_reader *reader, const struct node *const *documents,
                       uint32_t count, struct claim_patterns *out)
{
    const uint32_t before = diagnostics_count(reader->diagnostics);
    const struct node *const *sorted = NULL;
    if (count > 0) {
        TRY(sort_documents(reader, documents, count, &sorted));
    }
    for (uint32_t i = 0; i < count; i++) {
        read_words(reader, node_field_of(sorted[i], "words"));
    }
    TRY(arena_status(reader->arena));
    for (uint32_t i = 0; i < reader->words.count; i++) {
        fill_in_word(reader, &reader->words.at[i], 0);
    }
    for (uint32_t i = 0; i < count; i++) {
        read_document(reader, sorted[i]);
        TRY(arena_status(reader->arena));
    }
    if (diagnostics_count(reader->diagnostics) > before) {
        return STATUS_INVALID;
    }
    check_after(reader);
    TRY(put_kinds_last(reader));
    if (reader->numbers.count > 1) {
        qsort(reader->numbers.at, reader->numbers.count, sizeof *reader->numbers.at,
              compare_numbers);
    }
    *out = (struct claim_patterns){reader->patterns.at, reader->patterns.count,
                                   reader->numbers.at, reader->numbers.count};
    TRY(arena_status(reader->kept));
    return diagnostics_count(reader->diagnostics) > before ? STATUS_INVALID : STATUS_OK;
}

status claim_patterns_read(struct arena *arena, struct names *names,
                           const struct vocabulary *vocabulary,
                           const struct node *const *documents, uint32_t count,
                           struct diagnostics *diagnostics, struct claim_patterns *out)
{
    struct claim_reader reader = {.kept = arena,
                                  .arena = arena_open_beside(arena),
                                  .names = names,
                                  .vocabulary = vocabulary,
                                  .diagnostics = diagnostics};
    const status result = reader.arena == NULL ? STATUS_NO_MEMORY
                                               : read_all(&reader, documents, count, out);
    arena_close(reader.arena);
    return result;
}
