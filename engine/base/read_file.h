/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_READ_FILE_H
#define WHYFIT_READ_FILE_H

#include "text.h"

/* The whole of a file of at most `limit` bytes, in the arena. STATUS_IO (not readable, a
 * folder, a device), STATUS_LIMIT (larger), STATUS_NO_MEMORY. */
MUST_USE status file_read(struct arena *arena, const char *path, size_t limit, text *out);

/* Paths of all files below `folder` whose name ends in one of `endings`
 * (NULL-terminated), sorted by bytes; hidden files and folders are passed over, links to
 * folders not followed. */
MUST_USE status folder_list(struct arena *arena, const char *folder,
                            const char *const *endings, text **paths_out,
                            uint32_t *count_out);

#endif
