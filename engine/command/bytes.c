/* SPDX-License-Identifier: MIT */
/* Bytes of an answer that has to wait for its turn. */
#include "command.h"

#include <stdlib.h>
#include <string.h>

bool bytes_append(void *context, const char *from, size_t length)
{
    struct bytes *bytes = context;
    if (bytes->length + length > bytes->room) {
        const size_t room = 2 * (bytes->length + length);
        char *grown = realloc(bytes->at, room);
        if (grown == NULL) {
            return false;
        }
        bytes->at = grown;
        bytes->room = room;
    }
    memcpy(bytes->at + bytes->length, from, length);
    bytes->length += length;
    return true;
}
