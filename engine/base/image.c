/* SPDX-License-Identifier: MIT */
/*
 * Front, then from a page on the blocks. The place is reserved without access, so that
 * what is not there faults; a block is read into its pages, digested there, and only then
 * stays.
 */
#define _GNU_SOURCE
#include "image.h"

#include "digest.h"
#include "image_file.h"

#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <unistd.h>

struct image {
    int file;
    struct image_head head;
    char *front; /* all of it, head first */
    const uint64_t *digests;
    unsigned char *is_there; /* one a block */
};

/* As many bytes as asked for, or false. May run where a signal came in. */
static bool read_at(int file, char *to, size_t length, uint64_t from)
{
    while (length > 0) {
        const ssize_t got = pread(file, to, length, (off_t)from);
        if (got < 0 && errno == EINTR) {
            continue;
        }
        if (got <= 0) {
            return false;
        }
        to += got;
        from += (uint64_t)got;
        length -= (size_t)got;
    }
    return true;
}

/* ---- the front */

/* Whether the sizes of a head fit each other and the file. */
static bool is_whole(const struct image_head *head, uint64_t file_size)
{
    const uint64_t blocks = head->block_count;
    return head->head_size == sizeof *head && head->file_size == file_size &&
           head->front_size <= file_size && head->notes_length <= head->front_size &&
           head->front_size == image_front_size(head->notes_length, blocks) &&
           head->block_size >= IMAGE_PAGE && head->block_size % IMAGE_PAGE == 0 &&
           blocks <= file_size / head->block_size &&
           head->front_size + blocks * head->block_size == file_size &&
           head->address == REGION_ADDRESS && head->root >= head->address &&
           head->root < head->address + blocks * head->block_size;
}

static enum image_fault check_head(const struct image_head *head, uint64_t file_size)
{
    if (memcmp(head->magic, IMAGE_MAGIC, sizeof head->magic) != 0) {
        return IMAGE_ALIEN;
    }
    if (head->version != IMAGE_VERSION) {
        return IMAGE_FORMAT;
    }
    return is_whole(head, file_size) ? IMAGE_GOOD : IMAGE_DAMAGED;
}

static enum image_fault read_front(struct image *image)
{
    struct image_head *head = &image->head;
    image->front = malloc(head->front_size);
    image->is_there = calloc(head->block_count, 1);
    if (image->front == NULL || image->is_there == NULL) {
        return IMAGE_NO_MEMORY;
    }
    if (!read_at(image->file, image->front, head->front_size, 0)) {
        return IMAGE_DAMAGED;
    }
    struct image_head *again = (struct image_head *)(void *)image->front;
    const uint64_t said = again->digest;
    again->digest = 0;
    if (digest_of(image->front, head->front_size) != said) {
        return IMAGE_DAMAGED;
    }
    again->digest = said;
    if (memcmp(again, head, sizeof *head) != 0) {
        return IMAGE_DAMAGED; /* it changes while it is read */
    }
    image->digests = (const uint64_t *)(const void *)(image->front + sizeof *head);
    struct program_identity own;
    return program_identity(&own) &&
                   memcmp(&own, &head->program, sizeof own) == 0
               ? IMAGE_GOOD
               : IMAGE_PROGRAM;
}

static size_t size_of(const struct image *image)
{
    return (size_t)image->head.block_count * image->head.block_size;
}

static char *place_of(const struct image *image)
{
    return (char *)(uintptr_t)image->head.address; // NOLINT(performance-no-int-to-ptr)
}

static enum image_fault keep_place(struct image *image)
{
    void *given =
        mmap(place_of(image), size_of(image), PROT_NONE,
             MAP_PRIVATE | MAP_ANONYMOUS | MAP_NORESERVE | MAP_FIXED_NOREPLACE, -1, 0);
    if (given == place_of(image)) {
        return IMAGE_GOOD;
    }
    if (given != MAP_FAILED) {
        (void)munmap(given, size_of(image));
    }
    return IMAGE_NO_PLACE;
}

static void release(struct image *image)
{
    if (image->file >= 0) {
        (void)close(image->file);
    }
    free(image->front);
    free(image->is_there);
    free(image);
}

static enum image_fault open_into(struct image *image, const char *path)
{
    struct stat about;
    /* not blocking: the name of a pipe is no reason to wait */
    image->file = open(path, O_RDONLY | O_CLOEXEC | O_NONBLOCK);
    if (image->file < 0 || fstat(image->file, &about) != 0 || !S_ISREG(about.st_mode)) {
        return IMAGE_UNREADABLE;
    }
    memset(&image->head, 0, sizeof image->head);
    const uint64_t size = (uint64_t)about.st_size;
    const size_t length = size < sizeof image->head ? (size_t)size : sizeof image->head;
    if (!read_at(image->file, (char *)&image->head, length, 0)) {
        return IMAGE_UNREADABLE;
    }
    enum image_fault fault = check_head(&image->head, size);
    fault = fault == IMAGE_GOOD ? read_front(image) : fault;
    return fault == IMAGE_GOOD ? keep_place(image) : fault;
}

enum image_fault image_open(const char *path, struct image **out)
{
    struct image *image = calloc(1, sizeof *image);
    if (image == NULL) {
        return IMAGE_NO_MEMORY;
    }
    const enum image_fault fault = open_into(image, path);
    if (fault != IMAGE_GOOD) {
        release(image);
        return fault;
    }
    *out = image;
    return IMAGE_GOOD;
}

void image_close(struct image *image)
{
    if (image != NULL) {
        (void)munmap(place_of(image), size_of(image));
        release(image);
    }
}

text image_notes(const struct image *image)
{
    return (text){(const char *)(image->digests + image->head.block_count),
                  image->head.notes_length};
}

void *image_root(const struct image *image)
{
    return place_of(image) + (image->head.root - image->head.address);
}

bool image_holds(const struct image *image, const void *address)
{
    const char *at = address;
    return at >= place_of(image) && at < place_of(image) + size_of(image);
}

/* ---- blocks */

/* Blocks side by side that are not there: read, digested, shut against writing. What turns
 * out to be damaged is taken away again. */
static enum image_fault bring_blocks(struct image *image, size_t first, size_t count)
{
    const size_t size = image->head.block_size;
    char *at = place_of(image) + first * size;
    bool is_good = mprotect(at, count * size, PROT_READ | PROT_WRITE) == 0;
    if (!is_good) {
        return IMAGE_NO_MEMORY;
    }
    is_good = read_at(image->file, at, count * size,
                      image->head.front_size + (uint64_t)first * size);
    for (size_t i = 0; is_good && i < count; i++) {
        is_good = digest_of(at + i * size, size) == image->digests[first + i];
    }
    if (mprotect(at, count * size, is_good ? PROT_READ : PROT_NONE) != 0 || !is_good) {
        return is_good ? IMAGE_NO_MEMORY : IMAGE_DAMAGED;
    }
    memset(image->is_there + first, 1, count);
    return IMAGE_GOOD;
}

enum image_fault image_bring(struct image *image, const void *address, size_t length,
                             bool *is_new)
{
    const size_t size = image->head.block_size;
    const size_t from = (size_t)((const char *)address - place_of(image));
    const size_t end = (from + (length == 0 ? 1 : length) + size - 1) / size;
    enum image_fault fault = IMAGE_GOOD;
    bool has_new = false;
    for (size_t i = from / size; fault == IMAGE_GOOD && i < end;) {
        size_t count = 0;
        while (i + count < end && !image->is_there[i + count]) {
            count++;
        }
        if (count > 0) {
            fault = bring_blocks(image, i, count);
            has_new = true;
        }
        i += count > 0 ? count : 1;
    }
    if (is_new != NULL) {
        *is_new = has_new;
    }
    return fault;
}

enum image_fault image_bring_all(struct image *image)
{
    return image_bring(image, place_of(image), size_of(image), NULL);
}

bool image_open_bytes(const struct image *image, const void *address, size_t length,
                      bool may_write)
{
    const size_t from = (size_t)((const char *)address - place_of(image));
    const size_t first = from / IMAGE_PAGE * IMAGE_PAGE;
    const size_t end = (from + length + IMAGE_PAGE - 1) / IMAGE_PAGE * IMAGE_PAGE;
    return mprotect(place_of(image) + first, end - first,
                    may_write ? PROT_READ | PROT_WRITE : PROT_READ) == 0;
}
