/* SPDX-License-Identifier: MIT */
/*
 * Numbers of eight bytes and texts that end with a NUL, one after the other. The digest
 * of the front has vouched for them; lengths are checked all the same.
 */
#include "prepared_notes.h"

#include "array.h"
#include "digest.h"
#include "limits.h"
#include "loader.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum {
    RACY_NS = 2000000000 /* the coarsest clock of a file system */
};

/* ---- writing */

struct note_writer {
    struct arena *arena;
    ARRAY_OF(char) out;
};

static void put_bytes(struct note_writer *writer, const void *bytes, size_t length)
{
    const char *at = bytes;
    for (size_t i = 0; i < length; i++) {
        if (!ARRAY_PUSH(writer->arena, &writer->out, at[i])) {
            return;
        }
    }
}

static void put_number(struct note_writer *writer, uint64_t number)
{
    put_bytes(writer, &number, sizeof number);
}

static void put_text(struct note_writer *writer, text a)
{
    put_bytes(writer, a.at, a.length);
    put_bytes(writer, "", 1);
}

static void put_file(struct note_writer *writer, const struct knowledge_file *file)
{
    put_text(writer, file->name);
    put_bytes(writer, &file->stamp, sizeof file->stamp);
    put_number(writer, digest_of(file->content.at, file->content.length));
}

/* The working folder. */
static status working_folder(struct arena *arena, text *out)
{
    for (size_t room = 256; room <= 1u << 20; room *= 2) {
        char *path = arena_take(arena, room);
        if (path == NULL) {
            return arena_status(arena);
        }
        if (getcwd(path, room) != NULL) {
            *out = text_of(path);
            return STATUS_OK;
        }
        if (errno != ERANGE) {
            break;
        }
    }
    return STATUS_IO;
}

status notes_write(struct arena *arena, const struct knowledge *knowledge,
                   const struct knowledge_input *inputs, uint32_t input_count,
                   int64_t opened, text *out)
{
    struct note_writer writer = {.arena = arena};
    text folder = {"", 0};
    TRY(working_folder(arena, &folder));
    put_number(&writer, (uint64_t)opened);
    put_text(&writer, folder);
    put_number(&writer, input_count);
    for (uint32_t i = 0; i < input_count; i++) {
        put_text(&writer, inputs[i].name);
    }
    put_number(&writer, knowledge->read_count);
    for (uint32_t i = 0; i < knowledge->read_count; i++) {
        put_file(&writer, &knowledge->read[i]);
    }
    *out = (text){writer.out.at, writer.out.count};
    return arena_status(arena);
}

/* ---- reading */

struct note_reader {
    text rest;
    bool is_wrong;
};

static void take_bytes(struct note_reader *reader, void *to, size_t length)
{
    if (reader->rest.length < length) {
        reader->is_wrong = true;
        memset(to, 0, length);
        return;
    }
    memcpy(to, reader->rest.at, length);
    reader->rest = text_slice(reader->rest, length, reader->rest.length);
}

static uint64_t take_number(struct note_reader *reader)
{
    uint64_t number = 0;
    take_bytes(reader, &number, sizeof number);
    return number;
}

static text take_text(struct note_reader *reader)
{
    const size_t end = text_find(reader->rest, '\0', 0);
    const text taken = text_slice(reader->rest, 0, end);
    reader->is_wrong = reader->is_wrong || end == reader->rest.length;
    reader->rest = text_slice(reader->rest, end + 1, reader->rest.length);
    return taken;
}

/* How many things follow, none of which is shorter than `least` bytes. */
static uint32_t take_count(struct note_reader *reader, size_t least)
{
    const uint64_t count = take_number(reader);
    reader->is_wrong = reader->is_wrong || count > reader->rest.length / least;
    return reader->is_wrong ? 0 : (uint32_t)count;
}

/* A name as it must be read from the folder this process works in. */
static text from_here(struct arena *arena, const struct notes *notes, text name)
{
    return text_starts(name, TEXT("/"))
               ? text_copy(arena, name)
               : text_format(arena, "%.*s%.*s", TEXT_ARG(notes->before), TEXT_ARG(name));
}

static status take_inputs(struct arena *arena, struct note_reader *reader,
                          struct notes *out)
{
    out->input_count = take_count(reader, 1);
    out->inputs = ARENA_MANY(arena, out->input_count, struct knowledge_input);
    out->said = ARENA_MANY(arena, out->input_count, text);
    TRY(arena_status(arena));
    for (uint32_t i = 0; i < out->input_count; i++) {
        out->said[i] = take_text(reader);
        out->inputs[i].name = from_here(arena, out, out->said[i]);
    }
    return arena_status(arena);
}

static int compare_noted(const void *a, const void *b)
{
    return text_compare(((const struct noted_file *)a)->name,
                        ((const struct noted_file *)b)->name);
}

status notes_read(struct arena *arena, text written, struct notes *out)
{
    struct note_reader reader = {.rest = written};
    text here = {"", 0};
    *out = (struct notes){.opened = (int64_t)take_number(&reader)};
    out->folder = take_text(&reader);
    if (working_folder(arena, &here) != STATUS_OK || !text_equal(here, out->folder)) {
        out->before = text_format(arena, "%.*s/", TEXT_ARG(out->folder));
    }
    TRY(take_inputs(arena, &reader, out));
    out->file_count = take_count(&reader, sizeof(struct file_stamp));
    out->files = ARENA_MANY(arena, out->file_count, struct noted_file);
    TRY(arena_status(arena));
    for (uint32_t i = 0; i < out->file_count; i++) {
        out->files[i].name = from_here(arena, out, take_text(&reader));
        take_bytes(&reader, &out->files[i].stamp, sizeof out->files[i].stamp);
        out->files[i].digest = take_number(&reader);
    }
    if (out->file_count > 1) { /* from another folder their order may be another */
        qsort(out->files, out->file_count, sizeof *out->files, compare_noted);
    }
    return reader.is_wrong || reader.rest.length > 0 ? STATUS_INVALID
                                                     : arena_status(arena);
}

/* ---- checking */

bool notes_are_of(const struct notes *notes, const struct knowledge_input *inputs,
                  uint32_t input_count)
{
    bool is_same = notes->input_count == input_count;
    for (uint32_t i = 0; is_same && i < input_count; i++) {
        is_same = text_equal(notes->said[i], inputs[i].name) &&
                  (notes->before.length == 0 || text_starts(inputs[i].name, TEXT("/")));
    }
    return is_same;
}

static int compare_names(const void *a, const void *b)
{
    return text_compare(*(const text *)a, *(const text *)b);
}

/* The files that would be read today, sorted; false: one of the folders cannot be listed,
 * and *message says so. */
static status list_files(struct arena *arena, const struct notes *notes, text **files,
                         uint32_t *count, text *message)
{
    ARRAY_OF(text) all = {0};
    for (uint32_t i = 0; i < notes->input_count; i++) {
        text *paths = NULL;
        uint32_t path_count = 0;
        const status listed =
            knowledge_paths(arena, notes->inputs[i].name, &paths, &path_count);
        TRY(arena_status(arena));
        if (listed != STATUS_OK) {
            *message = text_format(arena, "%.*s cannot be read any more",
                                   TEXT_ARG(notes->inputs[i].name));
            return STATUS_INVALID;
        }
        for (uint32_t k = 0; k < path_count; k++) {
            if (!ARRAY_PUSH(arena, &all, paths[k])) {
                return arena_status(arena);
            }
        }
    }
    if (all.count > 1) {
        qsort(all.at, all.count, sizeof(text), compare_names);
    }
    *files = all.at;
    *count = all.count;
    return STATUS_OK;
}

static bool same_stamp(const struct file_stamp *a, const struct file_stamp *b)
{
    return a->device == b->device && a->inode == b->inode && a->size == b->size &&
           a->written == b->written && a->changed == b->changed;
}

/* Whether a file that is there holds what was read then. */
static bool is_as_noted(struct arena *arena, const struct notes *notes,
                        const struct noted_file *noted)
{
    const text name = noted->name;
    struct file_stamp now;
    text content = {"", 0};
    const int64_t latest = noted->stamp.changed > noted->stamp.written
                               ? noted->stamp.changed
                               : noted->stamp.written;
    if (file_stamp_of(name.at, &now) != STATUS_OK || now.size != noted->stamp.size) {
        return false;
    }
    if (same_stamp(&now, &noted->stamp) && latest < notes->opened - RACY_NS) {
        return true;
    }
    return file_read(arena, name.at, loader_largest(name), &content, NULL) == STATUS_OK &&
           digest_of(content.at, content.length) == noted->digest;
}

status notes_check(struct arena *arena, const struct notes *notes, text *message)
{
    text *files = NULL;
    uint32_t count = 0;
    TRY(list_files(arena, notes, &files, &count, message));
    for (uint32_t i = 0; i < count || i < notes->file_count; i++) {
        const struct noted_file *noted = i < notes->file_count ? &notes->files[i] : NULL;
        const int order = noted == NULL ? -1
                          : i >= count  ? 1
                                        : text_compare(files[i], noted->name);
        const bool is_same = order == 0 && is_as_noted(arena, notes, noted);
        TRY(arena_status(arena));
        if (!is_same) {
            *message = text_format(arena, "%.*s %s",
                                   TEXT_ARG(order < 0 ? files[i] : noted->name),
                                   order < 0    ? "was added since"
                                   : order == 0 ? "has changed since"
                                                : "is gone");
            return STATUS_INVALID;
        }
    }
    return STATUS_OK;
}
