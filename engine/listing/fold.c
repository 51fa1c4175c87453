/* SPDX-License-Identifier: MIT */
/* Folding of a text into plain bytes; see Unicode, blocks of general punctuation and of
 * half- and fullwidth forms. */
#include "fold.h"

enum {
    MOST_FOR_ONE = 4 /* bytes that a byte of the original can come to */
};

struct folding {
    char *plain;
    uint32_t *at;
    size_t length;
};

static void put(struct folding *folding, size_t from, const char *bytes)
{
    for (; *bytes != '\0'; bytes++) {
        folding->plain[folding->length] = *bytes;
        folding->at[folding->length] = (uint32_t)from;
        folding->length++;
    }
}

static uint32_t decode(const char *at, size_t length)
{
    const unsigned char *bytes = (const unsigned char *)at;
    uint32_t point = length == 1   ? bytes[0]
                     : length == 2 ? bytes[0] & 0x1fu
                     : length == 3 ? bytes[0] & 0x0fu
                                   : bytes[0] & 0x07u;
    for (size_t i = 1; i < length; i++) {
        point = point << 6 | (bytes[i] & 0x3fu);
    }
    return point;
}

struct fold_range {
    uint32_t first;
    uint32_t last;
    const char *as;
};

/* Sorted by first. What is in none of them is a letter of another script below U+2000 and
 * in the blocks of East Asian letters, else a sign that reads like a blank. */
static const struct fold_range ranges[] = {
    {0x00a0, 0x00a0, " "},    {0x00a3, 0x00a3, "gbp"}, {0x00ad, 0x00ad, ""},
    {0x00b0, 0x00b0, " deg"}, {0x00b1, 0x00b1, "+-"},  {0x00b4, 0x00b4, "'"},
    {0x00ba, 0x00ba, "o"},    {0x00bc, 0x00bc, "1/4"}, {0x00bd, 0x00bd, "1/2"},
    {0x00be, 0x00be, "3/4"},  {0x00c0, 0x00c5, "a"},   {0x00c6, 0x00c6, "ae"},
    {0x00c7, 0x00c7, "c"},    {0x00c8, 0x00cb, "e"},   {0x00cc, 0x00cf, "i"},
    {0x00d1, 0x00d1, "n"},    {0x00d2, 0x00d6, "o"},   {0x00d7, 0x00d7, "x"},
    {0x00d8, 0x00d8, "@"},    {0x00d9, 0x00dc, "u"},   {0x00dd, 0x00dd, "y"},
    {0x00df, 0x00df, "ss"},   {0x00e0, 0x00e5, "a"},   {0x00e6, 0x00e6, "ae"},
    {0x00e7, 0x00e7, "c"},    {0x00e8, 0x00eb, "e"},   {0x00ec, 0x00ef, "i"},
    {0x00f1, 0x00f1, "n"},    {0x00f2, 0x00f6, "o"},   {0x00f8, 0x00f8, "@"},
    {0x00f9, 0x00fc, "u"},    {0x00fd, 0x00fd, "y"},   {0x00ff, 0x00ff, "y"},
    {0x0152, 0x0153, "oe"},   {0x02bc, 0x02bc, "'"},   {0x0300, 0x036f, ""},
    {0x1e9e, 0x1e9e, "ss"},   {0x2000, 0x200a, " "},   {0x200b, 0x200f, ""},
    {0x2010, 0x2015, "-"},    {0x2018, 0x201b, "'"},   {0x201c, 0x201f, "\""},
    {0x2026, 0x2026, "..."},  {0x202a, 0x202e, ""},    {0x202f, 0x202f, " "},
    {0x2032, 0x2032, "'"},    {0x2033, 0x2033, "\""},  {0x2044, 0x2044, "/"},
    {0x205f, 0x205f, " "},    {0x2060, 0x2064, ""},    {0x20ac, 0x20ac, "eur"},
    {0x2153, 0x2153, "1/3"},  {0x2154, 0x2154, "2/3"}, {0x215b, 0x215b, "1/8"},
    {0x215c, 0x215c, "3/8"},  {0x215d, 0x215d, "5/8"}, {0x215e, 0x215e, "7/8"},
    {0x2205, 0x2205, "@"},    {0x2212, 0x2212, "-"},   {0x2215, 0x2215, "/"},
    {0x2300, 0x2300, "@"},    {0x2715, 0x2716, "x"},   {0x3000, 0x3000, " "},
    {0x3040, 0x9fff, "_"},    {0xac00, 0xd7af, "_"},   {0xfe00, 0xfe0f, ""},
    {0xfe58, 0xfe58, "-"},    {0xfe63, 0xfe63, "-"},   {0xfeff, 0xfeff, ""}};

static const char *fold_point(uint32_t point)
{
    size_t low = 0;
    size_t high = sizeof ranges / sizeof *ranges;
    while (low < high) {
        const size_t middle = low + (high - low) / 2;
        if (point > ranges[middle].last) {
            low = middle + 1;
        } else if (point < ranges[middle].first) {
            high = middle;
        } else {
            return ranges[middle].as;
        }
    }
    return point < 0x2000 ? "_" : " ";
}

static char small(char c)
{
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

static void put_point(struct folding *folding, size_t from, uint32_t point)
{
    char one[2] = {0};
    const char *as = one;
    if (point < 0x80) {
        one[0] =
            point == '\n' || (point >= ' ' && point < 0x7f) ? small((char)point) : ' ';
    } else if (point >= 0xff01 && point <= 0xff5e) {
        one[0] = small((char)(point - 0xff01 + '!'));
    } else {
        as = fold_point(point);
        if (is_digit(as[0]) && folding->length > 0 &&
            is_digit(folding->plain[folding->length - 1])) {
            put(folding, from, " "); /* 1½ is 1 1/2 */
        }
    }
    put(folding, from, as);
}

status fold(struct arena *arena, text original, struct folded *out, size_t *wrong)
{
    const size_t room = original.length * MOST_FOR_ONE + 1;
    struct folding folding = {.plain = arena_take_unset(arena, room),
                              .at = arena_take_unset(arena, room * sizeof(uint32_t))};
    TRY(arena_status(arena));
    for (size_t at = 0; at < original.length;) {
        const unsigned char first = (unsigned char)original.at[at];
        const size_t length = first < 0x80 ? 1 : text_utf8_length(original, at);
        if (length == 0) {
            *wrong = at;
            return STATUS_INVALID;
        }
        put_point(&folding, at, decode(original.at + at, length));
        at += length;
    }
    folding.plain[folding.length] = '\0';
    *out = (struct folded){original, {folding.plain, folding.length}, folding.at};
    return STATUS_OK;
}

text fold_original(const struct folded *folded, size_t from, size_t end)
{
    const size_t start = folded->at[from];
    const size_t last = folded->at[end - 1];
    return text_slice(folded->original, start,
                      last + text_utf8_length(folded->original, last));
}
