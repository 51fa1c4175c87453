/* SPDX-License-Identifier: MIT */
/* What the running program is, and where it and its libraries lie. */
#define _GNU_SOURCE
#include "image_file.h"

#include <elf.h>
#include <link.h>
#include <string.h>

/* ---- identity */

/* The build's note among those of a segment. */
static bool take_note(const char *notes, size_t size, struct program_identity *out)
{
    size_t at = 0;
    while (size - at >= sizeof(ElfW(Nhdr))) {
        ElfW(Nhdr) head;
        memcpy(&head, notes + at, sizeof head);
        at += sizeof head;
        const size_t name = ((size_t)head.n_namesz + 3) / 4 * 4;
        const size_t bytes = ((size_t)head.n_descsz + 3) / 4 * 4;
        if (name > size - at || bytes > size - at - name) {
            return false;
        }
        if (head.n_type == NT_GNU_BUILD_ID && head.n_namesz == sizeof "GNU" &&
            memcmp(notes + at, "GNU", sizeof "GNU") == 0 &&
            head.n_descsz <= IDENTITY_ROOM) {
            out->length = head.n_descsz;
            memcpy(out->bytes, notes + at + name, head.n_descsz);
            return true;
        }
        at += name + bytes;
    }
    return false;
}

static const char *start_of(const struct dl_phdr_info *object, ElfW(Half) segment)
{
    const ElfW(Addr) at = object->dlpi_addr + object->dlpi_phdr[segment].p_vaddr;
    return (const char *)at; // NOLINT(performance-no-int-to-ptr)
}

static bool holds(const struct dl_phdr_info *object, const void *address)
{
    bool is_inside = false;
    for (ElfW(Half) i = 0; i < object->dlpi_phnum; i++) {
        const char *start = start_of(object, i);
        const char *at = address;
        is_inside = is_inside || (object->dlpi_phdr[i].p_type == PT_LOAD && at >= start &&
                                  at < start + object->dlpi_phdr[i].p_memsz);
    }
    return is_inside;
}

static int find_identity(struct dl_phdr_info *object, size_t size, void *out)
{
    static const char here[] = "this object";
    (void)size;
    if (!holds(object, here)) {
        return 0;
    }
    for (ElfW(Half) i = 0; i < object->dlpi_phnum; i++) {
        const ElfW(Phdr) *segment = &object->dlpi_phdr[i];
        if (segment->p_type == PT_NOTE &&
            take_note(start_of(object, i), segment->p_memsz, out)) {
            return 1;
        }
    }
    return -1;
}

bool program_identity(struct program_identity *out)
{
    memset(out, 0, sizeof *out);
    return dl_iterate_phdr(find_identity, out) == 1;
}

/* ---- strays */

enum {
    MOST_SEGMENTS = 256
};

struct extent {
    uint64_t from;
    uint64_t size;
};

struct extents {
    struct extent at[MOST_SEGMENTS];
    size_t count;
};

static int add_extents(struct dl_phdr_info *object, size_t size, void *context)
{
    struct extents *extents = context;
    (void)size;
    for (ElfW(Half) i = 0; i < object->dlpi_phnum; i++) {
        if (object->dlpi_phdr[i].p_type == PT_LOAD && extents->count < MOST_SEGMENTS) {
            extents->at[extents->count++] =
                (struct extent){object->dlpi_addr + object->dlpi_phdr[i].p_vaddr,
                                object->dlpi_phdr[i].p_memsz};
        }
    }
    return 0;
}

bool find_stray_pointer(const void *bytes, size_t size, size_t *at)
{
    struct extents extents = {.count = 0};
    uint64_t least = UINT64_MAX;
    (void)dl_iterate_phdr(add_extents, &extents);
    for (size_t k = 0; k < extents.count; k++) {
        least = extents.at[k].from < least ? extents.at[k].from : least;
    }
    for (size_t i = 0; i + sizeof(uint64_t) <= size; i += sizeof(uint64_t)) {
        uint64_t word = 0;
        memcpy(&word, (const char *)bytes + i, sizeof word);
        for (size_t k = 0; word >= least && k < extents.count; k++) {
            if (word - extents.at[k].from < extents.at[k].size) {
                *at = i;
                return true;
            }
        }
    }
    return false;
}
