/* SPDX-License-Identifier: MIT */
/*
 * A judged listing as one line of JSON, or as CSV. Streams write these by the million, so
 * they are put together at once in a buffer, and no tree is made.
 */
#include "render_listing.h"

#include "array.h"

#include <string.h>

struct line {
    struct arena *arena;
    char *at;
    size_t length;
    size_t room;
};

static bool make_room(struct line *line, size_t more)
{
    if (line->length + more <= line->room) {
        return true;
    }
    const size_t room = 2 * (line->length + more) + 1024;
    char *grown = arena_grow(line->arena, line->at, line->room, room);
    if (grown == NULL) {
        return false;
    }
    line->at = grown;
    line->room = room;
    return true;
}

static void put(struct line *line, text a)
{
    if (a.length > 0 && make_room(line, a.length)) {
        memcpy(line->at + line->length, a.at, a.length);
        line->length += a.length;
    }
}

static void put_number(struct line *line, uint64_t number)
{
    char digits[24];
    size_t at = sizeof digits;
    do {
        digits[--at] = (char)('0' + number % 10);
        number /= 10;
    } while (number > 0);
    put(line, (text){digits + at, sizeof digits - at});
}

static void put_escaped(struct line *line, char c)
{
    static const char hex[] = "0123456789abcdef";
    const unsigned char byte = (unsigned char)c;
    const char escape[6] = {'\\', 'u', '0', '0', hex[byte >> 4], hex[byte & 15]};
    put(line, c == '\n'   ? TEXT("\\n")
              : c == '"'  ? TEXT("\\\"")
              : c == '\\' ? TEXT("\\\\")
                          : (text){escape, sizeof escape});
}

static void put_string(struct line *line, text a)
{
    size_t from = 0;
    put(line, TEXT("\""));
    for (size_t i = 0; i < a.length; i++) {
        const unsigned char c = (unsigned char)a.at[i];
        if (c < 0x20 || c == '"' || c == '\\') {
            put(line, text_slice(a, from, i));
            put_escaped(line, a.at[i]);
            from = i + 1;
        }
    }
    put(line, text_slice(a, from, a.length));
    put(line, TEXT("\""));
}

static void put_field(struct line *line, const char *key, text value)
{
    put(line, TEXT(",\""));
    put(line, text_of(key));
    put(line, TEXT("\":"));
    put_string(line, value);
}

static void put_claim(struct line *line, const struct claim *claim)
{
    put(line, TEXT("{\"kind\":"));
    put_string(line, text_of(claim_kind_word(claim->kind)));
    put_field(line, "value", claim->value);
    put_field(line, "span", claim->span);
    put(line, TEXT(",\"start\":"));
    put_number(line, claim->start);
    put(line, TEXT(",\"end\":"));
    put_number(line, claim->end);
    if (claim->unit.length > 0) {
        put_field(line, "unit", claim->unit);
    }
    if (claim->what.length > 0) {
        put_field(line, "what", claim->what);
    }
    if (claim->is_hedged) {
        put(line, TEXT(",\"hedged\":true"));
    }
    if (claim->of.length > 0) {
        put_field(line, "of", claim->of);
    }
    put_field(line, "judgement", text_of(judgement_word(claim->judgement)));
    if (claim->judgement != JUDGED_NOT) {
        put_field(line, "why", claim->why);
    }
    if (claim->chain.length > 0) {
        put_field(line, "chain", claim->chain);
    }
    put(line, TEXT("}"));
}

static void put_list(struct line *line, const char *key, const text *list, uint32_t count)
{
    put(line, TEXT(",\""));
    put(line, text_of(key));
    put(line, TEXT("\":["));
    for (uint32_t i = 0; i < count; i++) {
        put(line, i == 0 ? TEXT("") : TEXT(","));
        put_string(line, list[i]);
    }
    put(line, TEXT("]"));
}

static void put_label(struct line *line, const struct listing_label *label)
{
    if (label->row > 0) {
        put(line, TEXT("\"row\":"));
        put_number(line, label->row);
        put(line, TEXT(","));
    }
    if (label->id.length > 0) {
        put(line, TEXT("\"id\":"));
        put_string(line, label->id);
        put(line, TEXT(","));
    }
}

void render_listing_json(struct writer *writer, const struct listing_answer *listing,
                         const struct listing_label *label)
{
    struct line line = {.arena = writer->arena};
    put(&line, TEXT("{\"schema\":1,"));
    put_label(&line, label);
    put(&line, TEXT("\"verdict\":"));
    put_string(&line, text_of(listing_verdict_word(listing->verdict)));
    put_field(&line, "because", listing->because);
    put_list(&line, "parts", listing->parts_left, listing->parts_left_count);
    put_field(&line, "fits", listing->fits);
    put_field(&line, "ask", listing->ask);
    put(&line, TEXT(",\"claims\":["));
    for (uint32_t i = 0; i < listing->claim_count; i++) {
        put(&line, i == 0 ? TEXT("") : TEXT(","));
        put_claim(&line, &listing->claims[i]);
    }
    put(&line, TEXT("]"));
    if (listing->too_hard_count > 0) {
        put_list(&line, "too_hard", listing->too_hard, listing->too_hard_count);
    }
    put(&line, listing->is_cut ? TEXT(",\"cut\":true}\n") : TEXT("}\n"));
    write_text(writer, (text){line.at, line.length});
}

/* ---- CSV (RFC 4180) */

static void put_cell(struct line *line, text cell)
{
    bool is_plain = true;
    for (size_t i = 0; i < cell.length; i++) {
        is_plain = is_plain && strchr(",\"\r\n", cell.at[i]) == NULL;
    }
    if (is_plain) {
        put(line, cell);
        return;
    }
    put(line, TEXT("\""));
    for (size_t i = 0; i < cell.length; i++) {
        put(line, cell.at[i] == '"' ? TEXT("\"\"") : text_slice(cell, i, i + 1));
    }
    put(line, TEXT("\""));
}

static void put_cells(struct line *line, const text *cells, uint32_t count)
{
    for (uint32_t i = 0; i < count; i++) {
        put(line, i == 0 ? TEXT("") : TEXT(","));
        put_cell(line, cells[i]);
    }
    put(line, TEXT("\r\n"));
}

void render_listing_csv_head(struct writer *writer)
{
    write_text(writer, TEXT("row,id,verdict,because,fits,ask,kind,value,unit,what,start,"
                            "end,span,judgement,why\r\n"));
}

static void put_csv_row(struct line *line, const struct listing_answer *listing,
                        const struct listing_label *label, const struct claim *claim)
{
    static const struct claim none = {.judgement = JUDGED_NOT};
    struct arena *arena = line->arena;
    const bool is_claim = claim != NULL;
    const struct claim *one = is_claim ? claim : &none;
    const text cells[] = {text_format(arena, "%llu", (unsigned long long)label->row),
                          label->id,
                          text_of(listing_verdict_word(listing->verdict)),
                          listing->because,
                          listing->fits,
                          listing->ask,
                          is_claim ? text_of(claim_kind_word(one->kind)) : TEXT(""),
                          one->value,
                          one->unit,
                          one->what,
                          is_claim ? text_format(arena, "%zu", one->start) : TEXT(""),
                          is_claim ? text_format(arena, "%zu", one->end) : TEXT(""),
                          one->span,
                          is_claim ? text_of(judgement_word(one->judgement)) : TEXT(""),
                          one->why};
    put_cells(line, cells, sizeof cells / sizeof *cells);
}

void render_listing_csv(struct writer *writer, const struct listing_answer *listing,
                        const struct listing_label *label)
{
    struct line line = {.arena = writer->arena};
    for (uint32_t i = 0; i < listing->claim_count; i++) {
        put_csv_row(&line, listing, label, &listing->claims[i]);
    }
    if (listing->claim_count == 0) {
        put_csv_row(&line, listing, label, NULL);
    }
    write_text(writer, (text){line.at, line.length});
}
