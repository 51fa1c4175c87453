/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_IMAGE_FILE_H
#define WHYFIT_IMAGE_FILE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/*
 * How an image lies in its file: the front, the digests of the blocks in groups, the
 * blocks. The front is the head, the digests of those groups, the notes, and zeros up to
 * a page; the head holds the digest of the front. So a block is checked by reading its
 * group alone, and opening an image takes as long for a large one. Numbers are the
 * machine's: the program's identity says whose.
 */
enum {
    IMAGE_VERSION = 1,
    IMAGE_PAGE = 4096,
    IMAGE_BLOCK = IMAGE_PAGE,
    IMAGE_GROUP = 64, /* digests of so many blocks */
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

/* Groups fill whole pages; the digests of what is no block are zero. */
static inline uint64_t image_groups(uint64_t blocks)
{
    const uint64_t in_page = IMAGE_PAGE / sizeof(uint64_t);
    return (blocks + in_page - 1) / in_page * (in_page / IMAGE_GROUP);
}

static inline uint64_t image_front_size(uint64_t notes_length, uint64_t blocks)
{
    const uint64_t size = sizeof(struct image_head) +
                          image_groups(blocks) * sizeof(uint64_t) + notes_length;
    return (size + IMAGE_PAGE - 1) / IMAGE_PAGE * IMAGE_PAGE;
}

static inline uint64_t image_table_size(uint64_t blocks)
{
    return image_groups(blocks) * IMAGE_GROUP * sizeof(uint64_t);
}

static inline uint64_t image_blocks_at(const struct image_head *head)
{
    return head->front_size + image_table_size(head->block_count);
}

/* false: the linker wrote none. */
bool program_identity(struct program_identity *out);

/* The place in `bytes` of the first word that points into a program or library of this
 * process; false: there is none. */
bool find_stray_pointer(const void *bytes, size_t size, size_t *at);

#endif
