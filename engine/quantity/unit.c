/* SPDX-License-Identifier: MIT */
/* The tables of units.def and look-ups in them. */
#include "unit.h"

#include <math.h>
#include <string.h>

struct dimension_entry {
    const char *word;
    struct dimension dim;
    double grid;
    const char *shown;
};

struct unit_entry {
    const char *symbol;
    const char *word;
    double scale;
    double offset;
    int decimals;
};

struct alias_entry {
    const char *spelling;
    const char *symbol;
};

static const struct dimension_entry dimension_entries[] = {
#define BASE(word, l, m, t, k, a, hrc, shore, hbw, money, grid, shown)                   \
    {word, {{l, m, t, k, a, hrc, shore, hbw, money}}, grid, shown},
#include "units.def"
#define CURRENCY(code, decimals)                                                         \
    {"money-" #code, {.power = {[BASE_##code] = 1}}, 1e-6, #code},
#include "currencies.def"
};

enum {
    DIMENSION_COUNT = sizeof dimension_entries / sizeof *dimension_entries
};

static const struct unit_entry unit_entries[] = {
#define UNIT(symbol, word, scale, offset, decimals)                                      \
    {symbol, word, scale, offset, decimals},
#include "units.def"
#define CURRENCY(code, decimals) {#code, "money-" #code, 1.0, 0.0, decimals},
#include "currencies.def"
};

enum {
    UNIT_COUNT = sizeof unit_entries / sizeof *unit_entries
};

static const struct alias_entry alias_entries[] = {
#define ALIAS(spelling, symbol) {spelling, symbol},
#include "units.def"
};

enum {
    ALIAS_COUNT = sizeof alias_entries / sizeof *alias_entries
};

static const struct alias_entry word_entries[] = {
#define WORD(spelling, symbol) {spelling, symbol},
#include "units.def"
};

enum {
    WORD_COUNT = sizeof word_entries / sizeof *word_entries
};

const struct dimension DIMENSION_RATIO = {{0}};
const struct dimension DIMENSION_LENGTH = {{1}};

bool dimension_equal(struct dimension a, struct dimension b)
{
    return memcmp(a.power, b.power, sizeof a.power) == 0;
}

/* No quantity of the trade comes near the bound; a formula that does must not wrap round
 * to a power that has a name. */
static int8_t power_within(int power)
{
    return (int8_t)(power > INT8_MAX ? INT8_MAX : power < -INT8_MAX ? -INT8_MAX : power);
}

struct dimension dimension_product(struct dimension a, struct dimension b)
{
    for (int i = 0; i < BASE_COUNT; i++) {
        a.power[i] = power_within(a.power[i] + b.power[i]);
    }
    return a;
}

struct dimension dimension_quotient(struct dimension a, struct dimension b)
{
    for (int i = 0; i < BASE_COUNT; i++) {
        a.power[i] = power_within(a.power[i] - b.power[i]);
    }
    return a;
}

bool dimension_root(struct dimension a, struct dimension *out)
{
    for (int i = 0; i < BASE_COUNT; i++) {
        if (a.power[i] % 2 != 0) {
            return false;
        }
        out->power[i] = (int8_t)(a.power[i] / 2);
    }
    return true;
}

static const struct dimension_entry *entry_of(struct dimension dim)
{
    for (int i = 0; i < DIMENSION_COUNT; i++) {
        if (dimension_equal(dimension_entries[i].dim, dim)) {
            return &dimension_entries[i];
        }
    }
    return NULL;
}

text dimension_name(struct arena *arena, struct dimension a)
{
    static const char *const base_words[BASE_COUNT] = {
        "length", "mass", "time", "temperature", "angle", "HRC", "Shore", "HBW", "EUR",
#define CURRENCY(code, decimals) #code,
#include "currencies.def"
    };
    const struct dimension_entry *entry = entry_of(a);
    if (entry != NULL) {
        return text_of(entry->word);
    }
    text name = {"", 0};
    for (int i = 0; i < BASE_COUNT; i++) {
        if (a.power[i] != 0) {
            name = text_format(arena, "%.*s%s%s^%d", TEXT_ARG(name),
                               name.length > 0 ? " " : "", base_words[i], a.power[i]);
        }
    }
    return name;
}

bool dimension_is_money(struct dimension a)
{
    int power = 0;
    for (int i = 0; i < BASE_COUNT; i++) {
        if (a.power[i] != 0 && (i < BASE_MONEY || a.power[i] != 1)) {
            return false;
        }
        power += a.power[i];
    }
    return power == 1;
}

bool dimension_find(text word, struct dimension *out)
{
    for (int i = 0; i < DIMENSION_COUNT; i++) {
        if (text_is(word, dimension_entries[i].word)) {
            *out = dimension_entries[i].dim;
            return true;
        }
    }
    return false;
}

void dimension_offer_all(struct nearest *search)
{
    for (int i = 0; i < DIMENSION_COUNT; i++) {
        nearest_offer(search, text_of(dimension_entries[i].word));
    }
}

double dimension_grid(struct dimension dim)
{
    const struct dimension_entry *entry = entry_of(dim);
    return entry == NULL ? 0.0 : entry->grid;
}

static bool unit_fill(const struct unit_entry *entry, struct unit *out)
{
    *out = (struct unit){.symbol = entry->symbol,
                         .scale = entry->scale,
                         .offset = entry->offset,
                         .decimals = entry->decimals};
    return dimension_find(text_of(entry->word), &out->dim);
}

bool unit_find(text symbol, struct unit *out)
{
    for (int i = 0; i < ALIAS_COUNT; i++) {
        if (text_is(symbol, alias_entries[i].spelling)) {
            symbol = text_of(alias_entries[i].symbol);
        }
    }
    for (int i = 0; i < UNIT_COUNT; i++) {
        if (text_is(symbol, unit_entries[i].symbol)) {
            return unit_fill(&unit_entries[i], out);
        }
    }
    return false;
}

static char small(char letter)
{
    return letter >= 'A' && letter <= 'Z' ? (char)(letter - 'A' + 'a') : letter;
}

/* "IN", "in" and "Inch", but no "mPa": what is written with care means what it says. */
static bool is_one_case(text word)
{
    uint32_t capitals = 0;
    for (size_t i = 0; i < word.length; i++) {
        capitals += small(word.at[i]) != word.at[i] ? 1 : 0;
    }
    return capitals == 0 || capitals == word.length ||
           (capitals == 1 && word.length > 2 && small(word.at[0]) != word.at[0]);
}

static bool is_said(text word, const char *spelling)
{
    const text other = text_of(spelling);
    bool is_same = other.length == word.length;
    for (size_t i = 0; is_same && i < word.length; i++) {
        is_same = small(word.at[i]) == small(other.at[i]);
    }
    return is_same;
}

static bool is_typed_as(text word, const char *spelling)
{
    const bool is_several = word.length > 3 && small(word.at[word.length - 1]) == 's';
    return is_said(word, spelling) ||
           (is_several && is_said(text_slice(word, 0, word.length - 1), spelling));
}

bool unit_find_typed(text word, struct unit *out)
{
    const char *found = NULL;
    bool is_one = true;
    if (word.length < 2 || !is_one_case(word)) {
        return false;
    }
    for (int i = 0; i < UNIT_COUNT; i++) {
        if (is_typed_as(word, unit_entries[i].symbol)) {
            is_one = is_one && found == NULL;
            found = unit_entries[i].symbol;
        }
    }
    for (int i = 0; i < ALIAS_COUNT; i++) {
        found = found == NULL && is_typed_as(word, alias_entries[i].spelling)
                    ? alias_entries[i].symbol
                    : found;
    }
    for (int i = 0; i < WORD_COUNT; i++) {
        found = found == NULL && is_typed_as(word, word_entries[i].spelling)
                    ? word_entries[i].symbol
                    : found;
    }
    return found != NULL && is_one && unit_find(text_of(found), out);
}

/* The length of a symbol that stands at the start of `a`; 0: it does not. Most differ in
 * the first byte, so that is asked first. */
static size_t length_there(text a, const char *symbol)
{
    if (a.length == 0 || a.at[0] != symbol[0]) {
        return 0;
    }
    const text whole = text_of(symbol);
    return text_starts(a, whole) ? whole.length : 0;
}

size_t unit_length(text a)
{
    size_t longest = 0;
    for (int i = 0; i < UNIT_COUNT; i++) {
        const size_t length = length_there(a, unit_entries[i].symbol);
        longest = length > longest ? length : longest;
    }
    for (int i = 0; i < ALIAS_COUNT; i++) {
        const size_t length = length_there(a, alias_entries[i].spelling);
        longest = length > longest ? length : longest;
    }
    return longest;
}

void unit_offer(struct nearest *search, const struct dimension *wanted)
{
    for (int i = 0; i < UNIT_COUNT; i++) {
        const text symbol = text_of(unit_entries[i].symbol);
        struct unit unit;
        if (!unit_fill(&unit_entries[i], &unit) ||
            (wanted != NULL && !dimension_equal(unit.dim, *wanted))) {
            continue;
        }
        if (search->wanted.length > 0 && text_ends(symbol, search->wanted)) {
            search->best = symbol;
            search->distance = 0;
            return;
        }
        nearest_offer(search, symbol);
    }
}

bool unit_shown(struct dimension dim, struct unit *out)
{
    const struct dimension_entry *entry = entry_of(dim);
    return entry != NULL && unit_find(text_of(entry->shown), out);
}

/* 0.591 in is 15011400 nm, whatever the last bit of the product says: a result as near to
 * a whole number as doubles can tell is that number. */
double unit_to_coherent(const struct unit *unit, double written)
{
    const double product = written * unit->scale + unit->offset;
    const double whole = round(product);
    return fabs(product - whole) <= fabs(product) * 1e-15 ? whole : product;
}

double unit_from_coherent(const struct unit *unit, double coherent)
{
    return (coherent - unit->offset) / unit->scale;
}
