/* SPDX-License-Identifier: MIT */
#include "listing_journal.h"

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum {
    FIELDS = sizeof(struct journal) / sizeof(uint64_t),
    PATH_ROOM = 4096
};

static uint64_t check_of(const uint64_t *fields)
{
    uint64_t check = UINT64_C(14695981039346656037);
    for (size_t i = 0; i < FIELDS; i++) {
        check = (check ^ fields[i]) * UINT64_C(1099511628211);
    }
    return check;
}

bool journal_write(const char *path, const struct journal *journal)
{
    char beside[PATH_ROOM];
    uint64_t fields[FIELDS];
    const int length = snprintf(beside, sizeof beside, "%s.new", path);
    FILE *file =
        length < 0 || (size_t)length >= sizeof beside ? NULL : fopen(beside, "w");
    if (file == NULL) {
        return false;
    }
    memcpy(fields, journal, sizeof fields);
    bool is_written = true;
    for (size_t i = 0; i < FIELDS; i++) {
        is_written = fprintf(file, "%" PRIu64 "\n", fields[i]) > 0 && is_written;
    }
    is_written = fprintf(file, "%" PRIu64 "\n", check_of(fields)) > 0 && is_written;
    is_written = fclose(file) == 0 && is_written;
    return is_written && rename(beside, path) == 0;
}

bool journal_read(const char *path, struct journal *journal)
{
    uint64_t fields[FIELDS + 1] = {0};
    FILE *file = fopen(path, "r");
    size_t count = 0;
    if (file == NULL) {
        return false;
    }
    while (count < FIELDS + 1 && fscanf(file, "%" SCNu64, &fields[count]) == 1) {
        count++;
    }
    (void)fclose(file);
    if (count < FIELDS + 1 || check_of(fields) != fields[FIELDS]) {
        return false;
    }
    memcpy(journal, fields, sizeof *journal);
    return true;
}
