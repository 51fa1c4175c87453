/* SPDX-License-Identifier: MIT */
#include "listing_columns.h"

#include "limits.h"

#include <string.h>

/* Heads of columns, as sellers' tables have them; small letters. */
static const char *const word_heads[] = {"title",
                                         "titel",
                                         "titre",
                                         "titulo",
                                         "name",
                                         "headline",
                                         "subject",
                                         "heading",
                                         "subtitle",
                                         "description",
                                         "text",
                                         "body",
                                         "details",
                                         "beschreibung",
                                         "descripcion",
                                         "descriptif",
                                         "listing",
                                         "bezeichnung",
                                         "artikelbezeichnung",
                                         "artikelname",
                                         "anzeige",
                                         "nom",
                                         "designation",
                                         "annonce",
                                         "nombre",
                                         "anuncio",
                                         "titre de l'annonce",
                                         NULL};
static const char *const id_heads[] = {
    "id",  "listing_id",    "item_id",    "item", "item-id",   "listing-id",
    "sku", "artikelnummer", "artikel-nr", "ref",  "reference", "referencia",
    NULL};

static bool same_word(text a, const char *word)
{
    if (a.length != strlen(word)) {
        return false;
    }
    for (size_t i = 0; i < a.length; i++) {
        const char c =
            a.at[i] >= 'A' && a.at[i] <= 'Z' ? (char)(a.at[i] - 'A' + 'a') : a.at[i];
        if (c != word[i]) {
            return false;
        }
    }
    return true;
}

static bool is_called(text head, const char *const *words)
{
    for (size_t i = 0; words[i] != NULL; i++) {
        if (same_word(head, words[i])) {
            return true;
        }
    }
    return false;
}

static uint32_t cell_of(const text *heads, uint32_t count, text name)
{
    uint32_t i = 0;
    while (i < count && !text_equal(heads[i], name)) {
        i++;
    }
    return i;
}

static void guess(const text *heads, uint32_t count, struct listing_columns *out)
{
    for (uint32_t i = 0; i < count; i++) {
        if (out->count < MOST_COLUMNS && is_called(heads[i], word_heads)) {
            out->names[out->count] = heads[i];
            out->cells[out->count] = i;
            out->count++;
        }
        if (out->id.length == 0 && is_called(heads[i], id_heads)) {
            out->id = heads[i];
            out->id_cell = i;
        }
    }
}

text listing_columns_find(const text *heads, uint32_t count, struct listing_columns *out)
{
    if (out->count == 0) {
        guess(heads, count, out);
        return (text){"", 0};
    }
    for (uint32_t i = 0; i < out->count; i++) {
        out->cells[i] = cell_of(heads, count, out->names[i]);
        if (out->cells[i] == count) {
            return out->names[i];
        }
    }
    out->id_cell = cell_of(heads, count, out->id);
    return out->id.length > 0 && out->id_cell == count ? out->id : (text){"", 0};
}

/* Quotes in a quoted cell are doubled. */
static text undouble(struct arena *arena, text cell)
{
    char *out = arena_take_unset(arena, cell.length + 1);
    size_t length = 0;
    for (size_t i = 0; out != NULL && i < cell.length; i++) {
        out[length++] = cell.at[i];
        i += cell.at[i] == '"' && i + 1 < cell.length ? 1 : 0;
    }
    return out == NULL ? (text){"", 0} : (text){out, length};
}

char listing_separator(text head)
{
    static const char separators[] = {',', ';', '\t'};
    size_t best = 0;
    size_t most = 0;
    for (size_t i = 0; i < sizeof separators; i++) {
        size_t count = 0;
        for (size_t at = text_find(head, separators[i], 0); at < head.length;
             at = text_find(head, separators[i], at + 1)) {
            count++;
        }
        best = count > most ? i : best;
        most = count > most ? count : most;
    }
    return separators[best];
}

status listing_cells(struct arena *arena, text row, char separator, text *cells,
                     uint32_t *count)
{
    struct csv_cell places[MOST_CELLS];
    struct diagnostics *diagnostics = diagnostics_open(arena);
    TRY(arena_status(arena));
    struct csv csv = csv_open(row, 0, diagnostics);
    csv.longest = LIMIT_LISTING_BYTES;
    csv.separator = separator;
    csv.keeps_quotes = true;
    if (csv_next(&csv, places, MOST_CELLS, count) != CSV_ROW || *count > MOST_CELLS) {
        return STATUS_INVALID;
    }
    for (uint32_t i = 0; i < *count; i++) {
        const text cell = {row.at + places[i].at, places[i].length};
        cells[i] = places[i].has_doubled ? undouble(arena, cell) : cell;
    }
    return arena_status(arena);
}

text listing_join(struct arena *arena, const text *words, uint32_t count)
{
    text parts[2 * MOST_COLUMNS];
    uint32_t used = 0;
    if (count == 1) {
        return words[0];
    }
    for (uint32_t i = 0; i < count; i++) {
        parts[used++] = words[i];
        if (i + 1 < count) {
            parts[used++] = TEXT("\n");
        }
    }
    return text_join(arena, parts, used);
}
