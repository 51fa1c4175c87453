/* SPDX-License-Identifier: MIT */
/*
 * Blocks either come all at once, or each when it is touched. For the latter the kernel
 * is asked to signal where a page of the place is missing (userfaultfd, for faults of
 * this process alone); the block is read and digested beside, and then put there in one
 * step, so that nobody sees it half done. The place cannot be written from the start.
 */
#define _GNU_SOURCE
#include "image.h"

#include "digest.h"
#include "image_file.h"

#include <errno.h>
#include <fcntl.h>
#include <linux/userfaultfd.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <unistd.h>

struct image {
    int file;
    int faults; /* the kernel's end of missing pages; -1: all blocks are there */
    bool is_placed;
    struct image_head head;
    char *front;            /* all of it, head first */
    const uint64_t *groups; /* digests of the groups of digests */
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
           head->block_size == IMAGE_BLOCK && blocks <= file_size / head->block_size &&
           image_blocks_at(head) + blocks * head->block_size == file_size &&
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
    if (image->front == NULL) {
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
    image->groups = (const uint64_t *)(const void *)(image->front + sizeof *head);
    struct program_identity own;
    return program_identity(&own) && memcmp(&own, &head->program, sizeof own) == 0
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

static enum image_fault keep_place(struct image *image, int access)
{
    char *wanted = place_of(image);
    void *given =
        mmap(wanted, size_of(image), access,
             MAP_PRIVATE | MAP_ANONYMOUS | MAP_NORESERVE | MAP_FIXED_NOREPLACE, -1, 0);
    if (given != wanted) {
        if (given != MAP_FAILED) {
            (void)munmap(given, size_of(image));
        }
        return IMAGE_NO_PLACE;
    }
    return IMAGE_GOOD;
}

/* ---- blocks */

/* A group of digests, checked against the front. */
static bool read_group(const struct image *image, size_t group, uint64_t *digests)
{
    const size_t size = IMAGE_GROUP * sizeof *digests;
    return read_at(image->file, (char *)digests, size,
                   image->head.front_size + (uint64_t)group * size) &&
           digest_of(digests, size) == image->groups[group];
}

static bool are_as_written(const struct image *image, const char *bytes)
{
    uint64_t digests[IMAGE_GROUP];
    bool is_good = true;
    for (size_t group = 0; is_good && group < image_groups(image->head.block_count);
         group++) {
        const size_t first = group * IMAGE_GROUP;
        is_good = read_group(image, group, digests);
        for (size_t i = 0;
             is_good && i < IMAGE_GROUP && first + i < image->head.block_count; i++) {
            is_good =
                digest_of(bytes + (first + i) * IMAGE_BLOCK, IMAGE_BLOCK) == digests[i];
        }
    }
    return is_good;
}

/* All blocks at once. */
static enum image_fault read_all(struct image *image)
{
    char *at = place_of(image);
    const enum image_fault kept = keep_place(image, PROT_READ | PROT_WRITE);
    if (kept != IMAGE_GOOD) {
        return kept;
    }
    /* Rows are looked up all over it, so fewer and larger pages are found sooner. A wish.
     */
    (void)madvise(at, size_of(image), MADV_HUGEPAGE);
    const bool is_good =
        read_at(image->file, at, size_of(image), image_blocks_at(&image->head)) &&
        are_as_written(image, at);
    if (!is_good || mprotect(at, size_of(image), PROT_READ) != 0) {
        (void)munmap(at, size_of(image));
        return is_good ? IMAGE_NO_MEMORY : IMAGE_DAMAGED;
    }
    return IMAGE_GOOD;
}

/* Asks for signals where pages are missing; false: this kernel does not give them, or the
 * place is taken. A child would find zeros in the place, so it gets none of it. */
static bool watch_place(struct image *image)
{
    struct uffdio_api api = {.api = UFFD_API, .features = UFFD_FEATURE_SIGBUS};
    struct uffdio_register watched = {.range = {image->head.address, size_of(image)},
                                      .mode = UFFDIO_REGISTER_MODE_MISSING};
    image->faults = sysconf(_SC_PAGESIZE) != IMAGE_BLOCK
                        ? -1
                        : (int)syscall(SYS_userfaultfd, O_CLOEXEC | UFFD_USER_MODE_ONLY);
    if (image->faults < 0) {
        return false;
    }
    if (ioctl(image->faults, UFFDIO_API, &api) == 0 &&
        keep_place(image, PROT_READ) == IMAGE_GOOD) {
        if (madvise(place_of(image), size_of(image), MADV_DONTFORK) == 0 &&
            ioctl(image->faults, UFFDIO_REGISTER, &watched) == 0) {
            return true;
        }
        (void)munmap(place_of(image), size_of(image));
    }
    (void)close(image->faults);
    image->faults = -1;
    return false;
}

/* One block, from the stack into its place; EEXIST: another thread was quicker. */
static enum image_fault bring_block(const struct image *image, size_t block)
{
    _Alignas(IMAGE_PAGE) char bytes[IMAGE_BLOCK];
    uint64_t digests[IMAGE_GROUP];
    struct uffdio_copy copy = {.dst = image->head.address + block * sizeof bytes,
                               .src = (uintptr_t)bytes,
                               .len = sizeof bytes,
                               .mode = UFFDIO_COPY_MODE_DONTWAKE};
    if (!read_group(image, block / IMAGE_GROUP, digests) ||
        !read_at(image->file, bytes, sizeof bytes,
                 image_blocks_at(&image->head) + (uint64_t)block * sizeof bytes) ||
        digest_of(bytes, sizeof bytes) != digests[block % IMAGE_GROUP]) {
        return IMAGE_DAMAGED;
    }
    while (ioctl(image->faults, UFFDIO_COPY, &copy) != 0) {
        if (errno == EEXIST) {
            return IMAGE_GOOD;
        }
        if (errno != EAGAIN) {
            return IMAGE_NO_MEMORY;
        }
    }
    return IMAGE_GOOD;
}

enum image_fault image_bring(const struct image *image, const void *address,
                             size_t length)
{
    const size_t size = image->head.block_size;
    const size_t from = (size_t)((const char *)address - place_of(image));
    const size_t end = (from + (length == 0 ? 1 : length) + size - 1) / size;
    enum image_fault fault = IMAGE_GOOD;
    for (size_t i = from / size; image->faults >= 0 && fault == IMAGE_GOOD && i < end;
         i++) {
        fault = bring_block(image, i);
    }
    return fault;
}

/* ---- opening */

static void release(struct image *image)
{
    if (image->file >= 0) {
        (void)close(image->file);
    }
    if (image->faults >= 0) {
        (void)close(image->faults);
    }
    free(image->front);
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
    return fault == IMAGE_GOOD ? read_front(image) : fault;
}

enum image_fault image_open(const char *path, struct image **out)
{
    struct image *image = calloc(1, sizeof *image);
    if (image == NULL) {
        return IMAGE_NO_MEMORY;
    }
    image->faults = -1;
    const enum image_fault fault = open_into(image, path);
    if (fault != IMAGE_GOOD) {
        release(image);
        return fault;
    }
    *out = image;
    return IMAGE_GOOD;
}

enum image_fault image_start(struct image *image, bool on_touch)
{
    const enum image_fault fault =
        on_touch && watch_place(image) ? IMAGE_GOOD : read_all(image);
    image->is_placed = fault == IMAGE_GOOD;
    return fault;
}

void image_close(struct image *image)
{
    if (image != NULL) {
        if (image->is_placed) {
            (void)munmap(place_of(image), size_of(image));
        }
        release(image);
    }
}

text image_notes(const struct image *image)
{
    return (text){(const char *)(image->groups + image_groups(image->head.block_count)),
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

bool image_open_bytes(const struct image *image, const void *address, size_t length,
                      bool may_write)
{
    const size_t from = (size_t)((const char *)address - place_of(image));
    const size_t first = from / IMAGE_PAGE * IMAGE_PAGE;
    const size_t end = (from + length + IMAGE_PAGE - 1) / IMAGE_PAGE * IMAGE_PAGE;
    return mprotect(place_of(image) + first, end - first,
                    may_write ? PROT_READ | PROT_WRITE : PROT_READ) == 0;
}
