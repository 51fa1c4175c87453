/* SPDX-License-Identifier: MIT */
/*
 * Addresses and forms, taken apart strictly: a path, and pairs as forms send them. What
 * is decoded is valid UTF-8 without control characters but line ends where there may be
 * lines; no byte of it ever names a file.
 */
#include "page_private.h"

#include <string.h>

static int digit_of(char c)
{
    return c >= '0' && c <= '9'   ? c - '0'
           : c >= 'a' && c <= 'f' ? c - 'a' + 10
           : c >= 'A' && c <= 'F' ? c - 'A' + 10
                                  : -1;
}

/* How long the sequence at `at` is, 0 when it is not valid (RFC 3629). */
static size_t sequence_length(const unsigned char *at)
{
    static const struct {
        unsigned char first_least, first_most, second_least, second_most;
        size_t length;
    } forms[] = {{0x20, 0x7E, 0, 0, 1},       {0xC2, 0xDF, 0x80, 0xBF, 2},
                 {0xE0, 0xE0, 0xA0, 0xBF, 3}, {0xE1, 0xEC, 0x80, 0xBF, 3},
                 {0xED, 0xED, 0x80, 0x9F, 3}, {0xEE, 0xEF, 0x80, 0xBF, 3},
                 {0xF0, 0xF0, 0x90, 0xBF, 4}, {0xF1, 0xF3, 0x80, 0xBF, 4},
                 {0xF4, 0xF4, 0x80, 0x8F, 4}};
    for (size_t i = 0; i < sizeof forms / sizeof *forms; i++) {
        if (at[0] < forms[i].first_least || at[0] > forms[i].first_most) {
            continue;
        }
        if (forms[i].length > 1 &&
            (at[1] < forms[i].second_least || at[1] > forms[i].second_most)) {
            return 0;
        }
        for (size_t k = 2; k < forms[i].length; k++) {
            if ((at[k] & 0xC0) != 0x80) {
                return 0;
            }
        }
        return forms[i].length;
    }
    return 0;
}

static bool is_line_end_or_tab(char c)
{
    return c == '\n' || c == '\r' || c == '\t';
}

static bool is_text(const char *at, size_t length, bool has_lines, size_t *wrong_at)
{
    for (size_t i = 0; i < length;) {
        const size_t one = has_lines && is_line_end_or_tab(at[i])
                               ? 1
                               : sequence_length((const unsigned char *)at + i);
        if (one == 0 || one > length - i) {
            *wrong_at = i;
            return false;
        }
        i += one;
    }
    return true;
}

bool address_is_text(const char *at, size_t length, size_t *wrong_at)
{
    return is_text(at, length, true, wrong_at);
}

/* A form sends a line end as carriage return and line feed. */
static char *end_lines(char *at, char *end)
{
    char *to = at;
    for (const char *from = at; from < end; from++) {
        if (*from == '\r' && from + 1 < end && from[1] == '\n') {
            continue;
        }
        *to++ = (char)(*from == '\r' ? '\n' : *from);
    }
    *to = '\0';
    return to;
}

/* Decodes in place, up to the end of the text. */
static const char *decode(char *at, bool has_lines)
{
    char *to = at;
    size_t wrong_at = 0;
    for (const char *from = at; *from != '\0'; from++) {
        if (*from == '%') {
            const int high = digit_of(from[1]);
            const int low = high < 0 ? -1 : digit_of(from[2]);
            if (low < 0) {
                return "A % is not followed by two hexadecimal digits.";
            }
            *to++ = (char)(high * 16 + low);
            from += 2;
        } else {
            *to++ = (char)(*from == '+' ? ' ' : *from);
        }
    }
    *to = '\0';
    if (has_lines) {
        to = end_lines(at, to);
    }
    return is_text(at, (size_t)(to - at), has_lines, &wrong_at)
               ? NULL
               : "There are bytes that are no text in UTF-8, or control characters.";
}

static const char *read_pair(char *at, struct address *address, bool has_lines)
{
    char *equals = strchr(at, '=');
    if (*at == '\0') {
        return NULL; /* && says nothing */
    }
    if (address->pair_count == PAGE_PAIRS) {
        return "There are too many fields.";
    }
    if (equals == NULL) {
        return "A field has no = in it.";
    }
    *equals = '\0';
    const char *fault = decode(at, false);
    fault = fault != NULL ? fault : decode(equals + 1, has_lines);
    address->pairs[address->pair_count++] = (struct pair){at, equals + 1};
    return fault;
}

static const char *read_pairs(char *query, struct address *address, bool has_lines)
{
    const char *fault = NULL;
    while (query != NULL && fault == NULL) {
        char *next = strchr(query, '&');
        if (next != NULL) {
            *next++ = '\0';
        }
        fault = read_pair(query, address, has_lines);
        query = next;
    }
    return fault;
}

const char *address_read_form(char *body, struct address *form)
{
    *form = (struct address){.path = ""};
    return read_pairs(body, form, true);
}

const char *address_read(char *uri, struct address *address)
{
    char *query = strchr(uri, '?');
    *address = (struct address){.path = uri};
    if (strlen(uri) > PAGE_URI_BYTES) {
        return "The address is too long.";
    }
    if (uri[0] != '/') {
        return "The address does not begin with a /.";
    }
    if (query != NULL) {
        *query++ = '\0';
    }
    if (strpbrk(uri, "%+\\") != NULL || strstr(uri, "//") != NULL ||
        strstr(uri, "/.") != NULL) {
        return "No address of ours has such a path.";
    }
    const char *fault = decode(uri, false);
    return fault != NULL ? fault : read_pairs(query, address, false);
}

const char *address_value(const struct address *address, const char *name)
{
    for (size_t i = 0; i < address->pair_count; i++) {
        if (strcmp(address->pairs[i].name, name) == 0 &&
            address->pairs[i].value[0] != '\0') {
            return address->pairs[i].value;
        }
    }
    return NULL;
}
