/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_IMAGE_FILE_H
#define WHYFIT_IMAGE_FILE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/*
 * How an image lies in its file: the head, the digests of its blocks, the notes, zeros up
 * to a page (the front, all that), then the blocks. Numbers are the machine's: the
 * program's identity says whose.
 */
enum {
    IMAGE_VERSION = 1,
    IMAGE_PAGE = 4096,
    IMAGE_BLOCK = 4096,
    IDENTITY_ROOM = 40
};

#define IMAGE_MAGIC "whyfit prepared" /* 16 bytes with its end */

/* What the linker wrote into the program as the digest of all of it. */
struct program_identity {
    uint32_t length;
    unsigned char bytes[IDENTITY_ROOM];
};

struct image_head {
    char magic[16];
    uint32_t version;
    uint32_t head_size;
    uint64_t digest; /* of the front, with zero here */
    uint64_t file_size;
    uint64_t front_size;
    uint64_t address;
    uint64_t root;
    uint64_t notes_length;
    uint32_t block_size;
    uint32_t block_count;
    struct program_identity program;
    uint32_t unused;
};

/* The front with the zeros behind it: the blocks begin there. */
static inline uint64_t image_front_size(uint64_t notes_length, uint64_t blocks)
{
    const uint64_t size =
        sizeof(struct image_head) + blocks * sizeof(uint64_t) + notes_length;
    return (size + IMAGE_PAGE - 1) / IMAGE_PAGE * IMAGE_PAGE;
}

/* false: the linker wrote none. */
bool program_identity(struct program_identity *out);

/* The place in `bytes` of the first word that points into a program or library of this
 * process; false: there is none. */
bool find_stray_pointer(const void *bytes, size_t size, size_t *at);

#endif
