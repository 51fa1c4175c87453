/* SPDX-License-Identifier: MIT */
/*
 * Written beside its name, made to last, renamed: whoever opens the name finds the old
 * file or the new one, whole.
 */
#define _GNU_SOURCE
#include "digest.h"
#include "image.h"
#include "image_file.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* Whether a name is free, or that of an image, which may be replaced. */
static bool may_replace(const char *path)
{
    char magic[sizeof IMAGE_MAGIC] = {0};
    struct stat about;
    if (stat(path, &about) != 0) {
        return errno == ENOENT;
    }
    const int file = open(path, O_RDONLY | O_CLOEXEC | O_NONBLOCK);
    const bool is_image = file >= 0 && S_ISREG(about.st_mode) &&
                          read(file, magic, sizeof magic) == (ssize_t)sizeof magic &&
                          memcmp(magic, IMAGE_MAGIC, sizeof magic) == 0;
    if (file >= 0) {
        (void)close(file);
    }
    return is_image;
}

enum image_fault image_draft_open(const char *path, struct image_draft *out)
{
    struct stat about;
    const size_t room = strlen(path) + sizeof ".part" + 20;
    *out = (struct image_draft){.path = path, .beside = NULL, .file = -1};
    if (!may_replace(path)) {
        return IMAGE_ALIEN;
    }
    out->beside = malloc(room);
    if (out->beside == NULL) {
        return IMAGE_NO_MEMORY;
    }
    (void)snprintf(out->beside, room, "%s.part%ld", path, (long)getpid());
    out->file =
        open(out->beside, O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC | O_NOFOLLOW, 0666);
    if (out->file < 0 || fstat(out->file, &about) != 0) {
        return IMAGE_UNREADABLE;
    }
    out->opened = (int64_t)about.st_ctim.tv_sec * 1000000000 + about.st_ctim.tv_nsec;
    return IMAGE_GOOD;
}

void image_draft_close(struct image_draft *draft)
{
    if (draft->file >= 0) {
        (void)close(draft->file);
        (void)unlink(draft->beside);
    }
    free(draft->beside);
    *draft = (struct image_draft){.file = -1};
}

static bool write_all(int file, const char *from, size_t length)
{
    while (length > 0) {
        const ssize_t gone = write(file, from, length);
        if (gone < 0 && errno == EINTR) {
            continue;
        }
        if (gone <= 0) {
            return false;
        }
        from += gone;
        length -= (size_t)gone;
    }
    return true;
}

static bool describe(struct image_head *head, size_t size, const void *root,
                     size_t notes_length)
{
    const uint64_t blocks = (size + IMAGE_BLOCK - 1) / IMAGE_BLOCK;
    *head = (struct image_head){
        .magic = IMAGE_MAGIC,
        .version = IMAGE_VERSION,
        .head_size = sizeof *head,
        .front_size = image_front_size(notes_length, blocks),
        .address = REGION_ADDRESS,
        .root = (uint64_t)(uintptr_t)root,
        .notes_length = notes_length,
        .block_size = IMAGE_BLOCK,
        .block_count = (uint32_t)blocks,
    };
    head->file_size = image_blocks_at(head) + blocks * IMAGE_BLOCK;
    return program_identity(&head->program);
}

static uint64_t *make_table(const struct image_head *head, const char *bytes)
{
    uint64_t *table = calloc(1, image_table_size(head->block_count));
    for (size_t i = 0; table != NULL && i < head->block_count; i++) {
        table[i] = digest_of(bytes + i * IMAGE_BLOCK, IMAGE_BLOCK);
    }
    return table;
}

static char *make_front(struct image_head *head, const uint64_t *table, text notes)
{
    char *front = calloc(1, head->front_size);
    if (front == NULL) {
        return NULL;
    }
    char *at = front + sizeof *head;
    for (size_t i = 0; i < image_groups(head->block_count); i++, at += sizeof *table) {
        const uint64_t one =
            digest_of(&table[i * IMAGE_GROUP], IMAGE_GROUP * sizeof *table);
        memcpy(at, &one, sizeof one);
    }
    memcpy(at, notes.at, notes.length);
    memcpy(front, head, sizeof *head);
    head->digest = digest_of(front, head->front_size);
    memcpy(front, head, sizeof *head);
    return front;
}

/* The name's folder, so that the new name lasts too; a file system that cannot do that is
 * none the worse. */
static void sync_folder(const char *path)
{
    const char *slash = strrchr(path, '/');
    char *folder = slash == NULL   ? strdup(".")
                   : slash == path ? strdup("/")
                                   : strndup(path, (size_t)(slash - path));
    const int file =
        folder == NULL ? -1 : open(folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (file >= 0) {
        (void)fsync(file);
        (void)close(file);
    }
    free(folder);
}

static bool write_parts(int file, struct image_head *head, struct region *region,
                        text notes)
{
    const size_t size = (size_t)head->block_count * IMAGE_BLOCK;
    uint64_t *table =
        region_covers(region, size) ? make_table(head, region_at(region)) : NULL;
    char *front = table == NULL ? NULL : make_front(head, table, notes);
    const bool is_written =
        front != NULL && write_all(file, front, head->front_size) &&
        write_all(file, (const char *)table, image_table_size(head->block_count)) &&
        write_all(file, region_at(region), size) && fsync(file) == 0;
    free(table);
    free(front);
    return is_written;
}

enum image_fault image_draft_write(struct image_draft *draft, struct region *region,
                                   const void *root, text notes, size_t *stray)
{
    struct image_head head;
    if (find_stray_pointer(region_at(region), region_size(region), stray)) {
        return IMAGE_ALIEN;
    }
    if (!describe(&head, region_size(region), root, notes.length)) {
        return IMAGE_PROGRAM;
    }
    const bool is_written = write_parts(draft->file, &head, region, notes);
    const bool is_closed = close(draft->file) == 0;
    draft->file = -1;
    if (!is_written || !is_closed || rename(draft->beside, draft->path) != 0) {
        (void)unlink(draft->beside);
        return IMAGE_UNREADABLE;
    }
    sync_folder(draft->path);
    return IMAGE_GOOD;
}
