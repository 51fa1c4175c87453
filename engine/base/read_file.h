/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_READ_FILE_H
#define WHYFIT_READ_FILE_H

#include "text.h"

/* What a file system says of a file's content without reading it: which file, how large,
 * when it was last written and, in `changed`, when anything of it last was (nobody can
 * set that one). Times in nanoseconds. */
struct file_stamp {
    uint64_t device;
    uint64_t inode;
    uint64_t size;
    int64_t written;
    int64_t changed;
};

/* STATUS_IO: there is no such file. */
MUST_USE status file_stamp_of(const char *path, struct file_stamp *out);

/* The whole of a file of at most `limit` bytes, in the arena, and its stamp (may be NULL)
 * from before it was read. STATUS_IO (not readable, a folder, a device), STATUS_LIMIT
 * (larger), STATUS_NO_MEMORY. */
MUST_USE status file_read(struct arena *arena, const char *path, size_t limit, text *out,
                          struct file_stamp *stamp);

/* Paths of all files below `folder` whose name ends in one of `endings`
 * (NULL-terminated), sorted by bytes; hidden files and folders are passed over, links to
 * folders not followed. */
MUST_USE status folder_list(struct arena *arena, const char *folder,
                            const char *const *endings, text **paths_out,
                            uint32_t *count_out);

#endif
