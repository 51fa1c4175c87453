/* SPDX-License-Identifier: MIT */
/* Whole files and listings of folders; the only place that reads the file system. */
#define _DEFAULT_SOURCE /* the type of an entry */
#include "read_file.h"

#include "array.h"
#include "limits.h"

#include <dirent.h>
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

static struct file_stamp stamp_from(const struct stat *about)
{
    const int64_t second = 1000000000;
    return (struct file_stamp){
        .device = (uint64_t)about->st_dev,
        .inode = (uint64_t)about->st_ino,
        .size = (uint64_t)about->st_size,
        .written = (int64_t)about->st_mtim.tv_sec * second + about->st_mtim.tv_nsec,
        .changed = (int64_t)about->st_ctim.tv_sec * second + about->st_ctim.tv_nsec};
}

status file_stamp_of(const char *path, struct file_stamp *out)
{
    struct stat about;
    if (stat(path, &about) != 0) {
        return STATUS_IO;
    }
    *out = stamp_from(&about);
    return STATUS_OK;
}

status file_read(struct arena *arena, const char *path, size_t limit, text *out,
                 struct file_stamp *stamp)
{
    struct stat about;
    FILE *file = fopen(path, "rb");
    if (file == NULL) {
        return STATUS_IO;
    }
    status result = STATUS_IO;
    if (fstat(fileno(file), &about) == 0 && S_ISREG(about.st_mode) &&
        about.st_size >= 0) {
        const size_t size = (size_t)about.st_size;
        char *bytes = size > limit ? NULL : arena_take(arena, size + 1);
        if (size > limit) {
            result = STATUS_LIMIT;
        } else if (bytes == NULL) {
            result = arena_status(arena);
        } else if (fread(bytes, 1, size, file) == size) {
            *out = (text){bytes, size};
            if (stamp != NULL) {
                *stamp = stamp_from(&about);
            }
            result = STATUS_OK;
        }
    }
    fclose(file);
    return result;
}

struct listing {
    struct arena *arena;
    const char *const *endings; /* NULL-terminated */
    ARRAY_OF(text) paths;
    ARRAY_OF(text) folders; /* still to be read */
};

static bool ends_as_wanted(const struct listing *listing, text path)
{
    bool is_wanted = false;
    for (size_t i = 0; !is_wanted && listing->endings[i] != NULL; i++) {
        is_wanted = text_ends(path, text_of(listing->endings[i]));
    }
    return is_wanted;
}

/* What an entry is: its type as the folder says it, where it does; of a link that of the
 * file it leads to. */
static unsigned char type_of(const struct dirent *entry, const char *path)
{
    struct stat about;
    if (entry->d_type == DT_REG || entry->d_type == DT_DIR) {
        return entry->d_type;
    }
    if (lstat(path, &about) != 0) {
        return DT_UNKNOWN;
    }
    const bool is_link = S_ISLNK(about.st_mode);
    if (is_link && stat(path, &about) != 0) {
        return DT_UNKNOWN;
    }
    return S_ISREG(about.st_mode)               ? DT_REG
           : S_ISDIR(about.st_mode) && !is_link ? DT_DIR
                                                : DT_UNKNOWN;
}

static status list_entry(struct listing *listing, text folder, const struct dirent *entry)
{
    const text parts[] = {folder, TEXT("/"), text_of(entry->d_name)};
    bool is_kept = true;
    if (entry->d_name[0] == '.') {
        return STATUS_OK;
    }
    const text path = text_join(listing->arena, parts, 3);
    TRY(arena_status(listing->arena));
    const unsigned char type = type_of(entry, path.at);
    if (type == DT_DIR) {
        is_kept = ARRAY_PUSH(listing->arena, &listing->folders, path);
    } else if (type == DT_REG && ends_as_wanted(listing, path)) {
        is_kept = ARRAY_PUSH(listing->arena, &listing->paths, path);
    }
    return is_kept ? STATUS_OK : arena_status(listing->arena);
}

static status list_one(struct listing *listing, text folder)
{
    DIR *open = opendir(folder.at);
    if (open == NULL) {
        return STATUS_IO;
    }
    status result = STATUS_OK;
    for (const struct dirent *entry = readdir(open); entry != NULL && result == STATUS_OK;
         entry = readdir(open)) {
        result = list_entry(listing, folder, entry);
    }
    closedir(open);
    return result;
}

static int compare_paths(const void *a, const void *b)
{
    return text_compare(*(const text *)a, *(const text *)b);
}

status folder_list(struct arena *arena, const char *folder, const char *const *endings,
                   text **paths_out, uint32_t *count_out)
{
    struct listing listing = {.arena = arena, .endings = endings};
    text first = text_copy(arena, text_of(folder));
    while (first.length > 1 && first.at[first.length - 1] == '/') {
        first = text_copy(arena, text_slice(first, 0, first.length - 1));
    }
    if (!ARRAY_PUSH(arena, &listing.folders, first)) {
        return arena_status(arena);
    }
    for (uint32_t i = 0; i < listing.folders.count; i++) {
        TRY(list_one(&listing, listing.folders.at[i]));
        if (listing.paths.count > LIMIT_FILES || listing.folders.count > LIMIT_FILES) {
            return STATUS_LIMIT;
        }
    }
    if (listing.paths.count > 1) {
        qsort(listing.paths.at, listing.paths.count, sizeof(text), compare_paths);
    }
    *paths_out = listing.paths.at;
    *count_out = listing.paths.count;
    return STATUS_OK;
}
