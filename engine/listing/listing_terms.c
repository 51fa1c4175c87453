/* SPDX-License-Identifier: MIT */
/* Numbers and models out of the facts, and the patterns of what is built like them. */
#include "listing_terms.h"

#include "array.h"
#include "fold.h"

#include <stdlib.h>

enum {
    MOST_SHAPES = 400,
    LOOSE_LETTERS = 5
};

typedef ARRAY_OF(struct listing_term) term_array;
typedef ARRAY_OF(text) text_array;

static bool counts(char c)
{
    return is_digit(c) || is_letter(c);
}

text term_key(struct arena *arena, text plain)
{
    char *key = arena_take(arena, plain.length + 1);
    size_t length = 0;
    for (size_t i = 0; key != NULL && i < plain.length; i++) {
        if (counts(plain.at[i])) {
            key[length++] = plain.at[i];
        }
    }
    return key == NULL ? (text){"", 0} : (text){key, length};
}

static bool is_vowel(char c)
{
    return c == 'a' || c == 'e' || c == 'i' || c == 'o' || c == 'u';
}

text model_key(struct arena *arena, text plain)
{
    char *key = arena_take(arena, plain.length + 1);
    size_t length = 0;
    for (size_t i = 0; key != NULL && i < plain.length; i++) {
        if (counts(plain.at[i]) && !is_vowel(plain.at[i])) {
            key[length++] = plain.at[i];
        }
    }
    return key == NULL ? (text){"", 0} : (text){key, length};
}

static bool has_digit(text a)
{
    for (size_t i = 0; i < a.length; i++) {
        if (is_digit(a.at[i])) {
            return true;
        }
    }
    return false;
}

static text lower_words(struct arena *arena, text word)
{
    struct folded folded;
    size_t wrong = 0;
    return fold(arena, word, &folded, &wrong) == STATUS_OK ? folded.plain : (text){"", 0};
}

/* Behind the first word, where that tells a number too: "120" of "Kestrel 120". */
static text short_name(text plain)
{
    const size_t blank = text_find(plain, ' ', 0);
    const text rest = text_slice(plain, blank + 1, plain.length);
    return blank < plain.length && has_digit(rest) ? rest : (text){"", 0};
}

/* ---- gathering */

static status add_term(struct arena *arena, term_array *list, text word, uint32_t of)
{
    struct folded folded;
    size_t wrong = 0;
    if (word.length == 0 || fold(arena, word, &folded, &wrong) != STATUS_OK) {
        return arena_status(arena);
    }
    const struct listing_term term = {term_key(arena, folded.plain),
                                      term_key(arena, short_name(folded.plain)),
                                      model_key(arena, folded.plain), word, of};
    return term.key.length == 0 || ARRAY_PUSH(arena, list, term) ? arena_status(arena)
                                                                 : STATUS_NO_MEMORY;
}

/* Whether more than three letters stand together, as in no number. */
static bool has_words(text a)
{
    uint32_t letters = 0;
    for (size_t i = 0; i < a.length && letters <= 3; i++) {
        letters = is_letter(a.at[i]) ? letters + 1 : 0;
    }
    return letters > 3;
}

/* A part is called by its numbers; one without by its name, where that looks like a
 * number. */
static status gather_numbers(struct arena *arena, const struct knowledge *knowledge,
                             term_array *list)
{
    for (uint32_t i = 0; i < knowledge->part_count; i++) {
        const struct part *part = &knowledge->parts[i];
        const text name = names_text(knowledge->names, part->name);
        if (part->number.length > 0) {
            TRY(add_term(arena, list, part->number, i));
        } else if (has_digit(name) && !part->is_of_family && !has_words(name)) {
            TRY(add_term(arena, list, name, i));
        }
        for (uint32_t k = 0;
             part->other_numbers != NULL && k < part->other_numbers->count; k++) {
            TRY(add_term(arena, list, part->other_numbers->items[k]->word, i));
        }
    }
    return STATUS_OK;
}

static status gather_models(struct arena *arena, const struct part_shows *shows,
                            term_array *list)
{
    for (uint32_t i = 0; i < shows->model_count; i++) {
        TRY(add_term(arena, list, shows->models[i], 0));
    }
    return STATUS_OK;
}

static int compare_terms(const void *a, const void *b)
{
    const struct listing_term *left = a;
    const struct listing_term *right = b;
    const int order = text_compare(left->key, right->key);
    return order != 0 ? order : (left->of > right->of) - (left->of < right->of);
}

static void sort_terms(term_array *list)
{
    if (list->count > 1) {
        qsort(list->at, list->count, sizeof *list->at, compare_terms);
    }
    uint32_t kept = 0;
    for (uint32_t i = 0; i < list->count; i++) {
        if (i == 0 || compare_terms(&list->at[i], &list->at[kept - 1]) != 0) {
            list->at[kept++] = list->at[i];
        }
    }
    list->count = kept;
}

/* ---- shapes */

/* The letters at `at` that stand together. */
static size_t letters_around(text plain, size_t at)
{
    size_t from = at;
    size_t end = at;
    while (from > 0 && is_letter(plain.at[from - 1])) {
        from--;
    }
    while (end < plain.length && is_letter(plain.at[end])) {
        end++;
    }
    return end - from;
}

/* The pattern of all that is built like a word: its letters, as many digits, and between
 * them what a seller may put or leave out. In a word of models that is long
 * enough vowels may be others, missing or doubled: names are misspelt so. */
static text shape_pattern(struct arena *arena, text plain, bool is_model)
{
    text all = {"", 0};
    bool has_letters = false;
    for (size_t i = 0; i < plain.length; i++) {
        has_letters = has_letters || is_letter(plain.at[i]);
    }
    for (size_t i = 0; i < plain.length;) {
        size_t end = i;
        while (end < plain.length && is_digit(plain.at[end])) {
            end++;
        }
        if (end > i) {
            all = text_format(arena, "%.*s[0-9]{%zu}", TEXT_ARG(all), end - i);
            if (has_letters && end < plain.length && is_letter(plain.at[end])) {
                all = text_format(arena, "%.*s[ .-]?", TEXT_ARG(all));
            }
            i = end;
        } else if (is_letter(plain.at[i])) {
            const bool is_loose = is_model && i > 0 && is_vowel(plain.at[i]) &&
                                  letters_around(plain, i) >= LOOSE_LETTERS;
            all = text_format(arena, "%.*s%.*s", TEXT_ARG(all), is_loose ? 12 : 1,
                              is_loose ? "[aeiou]{0,2}" : plain.at + i);
            if (i + 1 < plain.length && is_digit(plain.at[i + 1])) {
                all = text_format(arena, "%.*s[ .-]?", TEXT_ARG(all));
            }
            i++;
        } else {
            if (i > 0 && i + 1 < plain.length) {
                all = text_format(arena, "%.*s[ .-]%s", TEXT_ARG(all),
                                  has_letters ? "{0,2}" : "");
            }
            i++;
        }
    }
    return text_format(arena, "%.*s(?![a-z0-9])", TEXT_ARG(all));
}

/* A key of which every digit is a 0: equal for terms of one shape. */
static text shape_key(struct arena *arena, text key)
{
    const text shape = text_copy(arena, key);
    for (size_t i = 0; i < shape.length; i++) {
        if (is_digit(shape.at[i])) {
            ((char *)(uintptr_t)shape.at)[i] = '0';
        }
    }
    return shape;
}

static status note_shape(struct arena *arena, text_array *seen, text_array *words,
                         const struct listing_term *term, bool *is_new)
{
    const text shape = shape_key(arena, term->key);
    *is_new = false;
    for (uint32_t i = 0; i < seen->count; i++) {
        if (text_equal(seen->at[i], shape)) {
            return arena_status(arena);
        }
    }
    *is_new = seen->count < MOST_SHAPES;
    return !*is_new || (ARRAY_PUSH(arena, seen, shape) &&
                        ARRAY_PUSH(arena, words, term->word))
               ? arena_status(arena)
               : STATUS_NO_MEMORY;
}

static int longer_first(const void *a, const void *b)
{
    const text *left = a;
    const text *right = b;
    return left->length != right->length ? (left->length < right->length ? 1 : -1)
                                         : text_compare(*left, *right);
}

/* "A|B|C", longer ones first; what never matches where there are none. */
static text alternatives(struct arena *arena, text_array *patterns)
{
    if (patterns->count == 0) {
        return TEXT("(?!)");
    }
    qsort(patterns->at, patterns->count, sizeof *patterns->at, longer_first);
    text *parts = ARENA_MANY(arena, (size_t)2 * patterns->count, text);
    for (uint32_t i = 0; parts != NULL && i < patterns->count; i++) {
        parts[2 * i] = patterns->at[i];
        parts[2 * i + 1] =
            i + 1 == patterns->count ? text_slice(TEXT("|"), 0, 0) : TEXT("|");
    }
    return parts == NULL ? (text){"", 0}
                         : text_join(arena, parts, (size_t)2 * patterns->count);
}

/* The shapes of the terms and their pattern; a bare run of digits is too common to tell
 * a number by. */
static status read_shapes(struct arena *arena, const term_array *list, struct terms *out,
                          text *pattern, text *short_pattern)
{
    text_array seen = {0};
    text_array words = {0};
    text_array patterns = {0};
    text_array shorts = {0};
    const bool is_model = short_pattern != NULL;
    for (uint32_t i = 0; i < list->count; i++) {
        const text plain = lower_words(arena, list->at[i].word);
        bool is_new = false;
        const bool is_bare = list->at[i].key.length == plain.length &&
                             is_digit(plain.at[0]) &&
                             is_digit(plain.at[plain.length - 1]);
        if (is_bare && !is_model) {
            continue;
        }
        TRY(note_shape(arena, &seen, &words, &list->at[i], &is_new));
        const text rest = short_name(plain);
        if (is_new &&
            !ARRAY_PUSH(arena, &patterns, shape_pattern(arena, plain, is_model))) {
            return arena_status(arena);
        }
        if (is_new && rest.length > 0 &&
            !ARRAY_PUSH(arena, &shorts, shape_pattern(arena, rest, is_model))) {
            return arena_status(arena);
        }
    }
    *out = (struct terms){list->at, list->count, words.at, words.count};
    *pattern = alternatives(arena, &patterns);
    if (is_model) {
        *short_pattern = alternatives(arena, &shorts);
    }
    return arena_status(arena);
}

/* The first words of models that have a second, each once. */
static status read_families(struct arena *arena, const term_array *models, text *out)
{
    text_array patterns = {0};
    for (uint32_t i = 0; i < models->count; i++) {
        const text plain = lower_words(arena, models->at[i].word);
        const text first = text_slice(plain, 0, text_find(plain, ' ', 0));
        const text pattern = shape_pattern(arena, first, true);
        bool is_new = first.length < plain.length && !has_digit(first);
        for (uint32_t k = 0; is_new && k < patterns.count; k++) {
            is_new = !text_equal(patterns.at[k], pattern);
        }
        if (is_new && !ARRAY_PUSH(arena, &patterns, pattern)) {
            return arena_status(arena);
        }
    }
    for (uint32_t i = 0; i < patterns.count; i++) {
        const size_t end = text_find(patterns.at[i], '(', 0); /* a plural is one too */
        patterns.at[i] = text_slice(patterns.at[i], 0, end);
    }
    *out = alternatives(arena, &patterns);
    return arena_status(arena);
}

status listing_terms_read(struct arena *arena, const struct knowledge *knowledge,
                          const struct part_shows *shows, struct listing_terms *out)
{
    term_array numbers = {0};
    term_array models = {0};
    TRY(gather_numbers(arena, knowledge, &numbers));
    TRY(gather_models(arena, shows, &models));
    sort_terms(&numbers);
    sort_terms(&models);
    TRY(read_shapes(arena, &numbers, &out->numbers, &out->number_pattern, NULL));
    TRY(read_families(arena, &models, &out->family_pattern));
    return read_shapes(arena, &models, &out->models, &out->model_pattern,
                       &out->short_model_pattern);
}

/* ---- finding */

const struct listing_term *terms_find(const struct terms *terms, text key,
                                      uint32_t *count)
{
    uint32_t low = 0;
    uint32_t high = terms->count;
    while (low < high) {
        const uint32_t middle = low + (high - low) / 2;
        if (text_compare(terms->at[middle].key, key) < 0) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    *count = 0;
    while (low + *count < terms->count && text_equal(terms->at[low + *count].key, key)) {
        (*count)++;
    }
    return *count == 0 ? NULL : &terms->at[low];
}

const struct listing_term *terms_find_model(struct arena *arena,
                                            const struct terms *models, text plain)
{
    uint32_t count = 0;
    const struct listing_term *found = terms_find(models, term_key(arena, plain), &count);
    const text key = model_key(arena, plain);
    for (uint32_t i = 0; found == NULL && i < models->count; i++) {
        found = text_equal(models->at[i].loose_key, key) ? &models->at[i] : NULL;
    }
    return found;
}

text terms_family(struct arena *arena, const struct terms *models, text plain)
{
    const text key = model_key(arena, plain);
    for (uint32_t i = 0; i < models->count; i++) {
        const text word = models->at[i].word;
        const text first = text_slice(word, 0, text_find(word, ' ', 0));
        if (text_equal(model_key(arena, lower_words(arena, first)), key)) {
            return first;
        }
    }
    return (text){"", 0};
}

text terms_spell(struct arena *arena, const struct terms *terms, text key, bool is_model)
{
    const text shape =
        shape_key(arena, is_model ? model_key(arena, key) : term_key(arena, key));
    for (uint32_t i = 0; i < terms->shape_count; i++) {
        const text word = lower_words(arena, terms->shapes[i]);
        const text other = is_model ? model_key(arena, word) : term_key(arena, word);
        if (!text_equal(shape_key(arena, other), shape)) {
            continue;
        }
        const text spelt = text_copy(arena, terms->shapes[i]);
        size_t from = 0;
        for (size_t at = 0; at < spelt.length; at++) {
            while (from < key.length && !is_digit(key.at[from])) {
                from++;
            }
            if (is_digit(spelt.at[at]) && from < key.length) {
                ((char *)(uintptr_t)spelt.at)[at] = key.at[from++];
            }
        }
        return spelt;
    }
    const text capitals = text_copy(arena, key);
    for (size_t i = 0; i < capitals.length; i++) {
        if (is_letter(capitals.at[i])) {
            ((char *)(uintptr_t)capitals.at)[i] =
                (char)(capitals.at[i] >= 'a' ? capitals.at[i] - 'a' + 'A'
                                             : capitals.at[i]);
        }
    }
    return capitals;
}

text terms_model(const struct terms *models, text key, text beside)
{
    text found = {"", 0};
    uint32_t matching = 0;
    text family_found = {"", 0};
    uint32_t in_family = 0;
    const text family = text_slice(beside, 0, text_find(beside, ' ', 0));
    for (uint32_t i = 0; i < models->count; i++) {
        if (!text_equal(models->at[i].short_key, key)) {
            continue;
        }
        found = models->at[i].word;
        matching++;
        if (family.length > 0 && text_starts(found, family)) {
            family_found = found;
            in_family++;
        }
    }
    return in_family == 1 ? family_found : matching == 1 ? found : (text){"", 0};
}
