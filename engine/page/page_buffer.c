/* SPDX-License-Identifier: MIT */
/* Bytes that grow up to a bound. A failure is remembered, so that who writes a page need
 * not look after each line. */
#include "page_private.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

bool buffer_take(void *to, const char *bytes, size_t length)
{
    struct buffer *buffer = to;
    if (buffer->has_failed || length > PAGE_ANSWER_BYTES - buffer->length) {
        buffer->has_failed = true;
        return false;
    }
    if (buffer->length + length > buffer->room) {
        size_t room = buffer->room == 0 ? 4096 : buffer->room;
        while (room < buffer->length + length) {
            room *= 2;
        }
        char *grown = realloc(buffer->at, room);
        if (grown == NULL) {
            buffer->has_failed = true;
            return false;
        }
        buffer->at = grown;
        buffer->room = room;
    }
    if (length > 0) {
        memcpy(buffer->at + buffer->length, bytes, length);
    }
    buffer->length += length;
    return true;
}

void buffer_add(struct buffer *buffer, const char *words)
{
    (void)buffer_take(buffer, words, strlen(words));
}

void buffer_format(struct buffer *buffer, const char *format, ...)
{
    char room[512];
    va_list arguments;
    va_start(arguments, format);
    const int length = vsnprintf(room, sizeof room, format, arguments);
    va_end(arguments);
    if (length < 0 || (size_t)length >= sizeof room) {
        buffer->has_failed = true; /* formats hold short words of our own */
        return;
    }
    (void)buffer_take(buffer, room, (size_t)length);
}

void buffer_escape(struct buffer *buffer, const char *words)
{
    (void)whyfit_html_escape(words, strlen(words), buffer_take, buffer);
}

/* RFC 3986, section 2.3: all but the unreserved characters. */
void buffer_encode(struct buffer *buffer, const char *words)
{
    static const char plain[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz"
                                "0123456789-._~";
    for (; *words != '\0'; words++) {
        if (strchr(plain, *words) != NULL) {
            (void)buffer_take(buffer, words, 1);
        } else {
            buffer_format(buffer, "%%%02X", (unsigned)(unsigned char)*words);
        }
    }
}

void buffer_release(struct buffer *buffer)
{
    free(buffer->at);
    *buffer = (struct buffer){NULL, 0, 0, false};
}
