/* SPDX-License-Identifier: MIT */
/*
 * Addresses, taken apart strictly: a path, and pairs of a query as forms send them. What
 * is decoded is valid UTF-8 without control characters; no byte of it ever names a file.
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

/* Decodes in place, up to the end of the text. */
static const char *decode(char *at)
{
    char *to = at;
    for (const char *from = at; *from != '\0'; from++) {
        if (*from == '%') {
            const int high = digit_of(from[1]);
            const int low = high < 0 ? -1 : digit_of(from[2]);
            if (low < 0) {
                return "A % in the address is not followed by two hexadecimal digits.";
            }
            *to++ = (char)(high * 16 + low);
            from += 2;
        } else {
            *to++ = (char)(*from == '+' ? ' ' : *from);
        }
    }
    *to = '\0';
    for (const char *from = at; from < to;) {
        const size_t length = sequence_length((const unsigned char *)from);
        if (length == 0) {
            return "The address holds bytes that are no text in UTF-8, or control "
                   "characters.";
        }
        from += length;
    }
    return NULL;
}

static const char *read_pair(char *at, struct address *address)
{
    char *equals = strchr(at, '=');
    if (*at == '\0') {
        return NULL; /* && says nothing */
    }
    if (address->pair_count == PAGE_PAIRS) {
        return "The address holds too many fields.";
    }
    if (equals == NULL) {
        return "A field of the address has no = in it.";
    }
    *equals = '\0';
    const char *fault = decode(at);
    fault = fault != NULL ? fault : decode(equals + 1);
    address->pairs[address->pair_count++] = (struct pair){at, equals + 1};
    return fault;
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
    const char *fault = decode(uri);
    while (query != NULL && fault == NULL) {
        char *next = strchr(query, '&');
        if (next != NULL) {
            *next++ = '\0';
        }
        fault = read_pair(query, address);
        query = next;
    }
    return fault;
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
