/* SPDX-License-Identifier: MIT */
/*
 * A knowledge points at nothing outside its arena, except for functions of C: those are
 * taken out before it is written, and put in when it comes back. Nothing else is changed,
 * so the answers are those of the text.
 */
#include "prepared.h"

#include "limits.h"
#include "prepared_notes.h"

#include <string.h>

/* ---- out of C and into it */

static struct function_entry *first_entry(const struct knowledge *knowledge)
{
    /* knowledge_functions made them for this knowledge alone: they may be changed */
    return (struct function_entry *)(uintptr_t)knowledge->functions.entries[0]; // NOLINT
}

static void unbind(struct knowledge *knowledge)
{
    memset(first_entry(knowledge), 0,
           knowledge->functions.count * sizeof(struct function_entry));
    tables_unbind(&knowledge->tables);
}

/* The functions' entries are the only bytes of an image that are written. */
static enum image_fault bind_functions(const struct image *image,
                                       const struct knowledge *knowledge)
{
    const struct function_table *table = &knowledge->functions;
    const size_t size = table->count * sizeof(struct function_entry);
    enum image_fault fault =
        image_bring(image, table->entries, table->count * sizeof *table->entries);
    struct function_entry *first = fault == IMAGE_GOOD ? first_entry(knowledge) : NULL;
    fault = first == NULL ? fault : image_bring(image, first, size);
    if (fault != IMAGE_GOOD) {
        return fault;
    }
    if (!image_open_bytes(image, first, size, true)) {
        return IMAGE_NO_MEMORY;
    }
    (void)knowledge_function_entries(first);
    return image_open_bytes(image, first, size, false) ? IMAGE_GOOD : IMAGE_NO_MEMORY;
}

static enum image_fault bind(struct arena *arena, const struct image *image,
                             const struct knowledge **out)
{
    const struct knowledge *frozen = image_root(image);
    const enum image_fault brought = image_bring(image, frozen, sizeof *frozen);
    if (brought != IMAGE_GOOD) {
        return brought;
    }
    struct knowledge *own = arena_copy(arena, frozen, sizeof *frozen);
    if (own == NULL) {
        return IMAGE_NO_MEMORY;
    }
    own->arena = arena;
    tables_bind(&own->tables);
    *out = own;
    return bind_functions(image, own);
}

/* ---- what is wrong */

static struct diagnostic *refuse(struct diagnostics *diagnostics, span where,
                                 enum diagnostic_code code, text message)
{
    struct diagnostic *report = diagnostics_add(diagnostics, code, where, message);
    report->expected = TEXT("a base that `whyfit prepare` makes anew");
    return report;
}

static status refuse_image(struct diagnostics *diagnostics, span where,
                           enum image_fault fault)
{
    switch (fault) {
    case IMAGE_GOOD:
        break;
    case IMAGE_UNREADABLE:
        refuse(diagnostics, where, CODE_PREPARED_UNFIT, TEXT("it cannot be read"));
        break;
    case IMAGE_ALIEN:
        refuse(diagnostics, where, CODE_PREPARED_UNFIT, TEXT("it is no prepared base"));
        break;
    case IMAGE_FORMAT:
        refuse(diagnostics, where, CODE_PREPARED_UNFIT,
               TEXT("it is a prepared base in another format than this program's"));
        break;
    case IMAGE_PROGRAM:
        refuse(diagnostics, where, CODE_PREPARED_UNFIT,
               TEXT("another program prepared it, or another build of this one"));
        break;
    case IMAGE_DAMAGED:
        refuse(diagnostics, where, CODE_PREPARED_DAMAGED,
               TEXT("it is damaged: it is not what was written"));
        break;
    case IMAGE_NO_PLACE:
        refuse(diagnostics, where, CODE_PREPARED_UNFIT,
               TEXT("the address that it needs is not free in this process"))
            ->expected = TEXT("one prepared base at a time");
        break;
    case IMAGE_NO_MEMORY:
        return STATUS_NO_MEMORY;
    }
    return STATUS_INVALID;
}

/* ---- writing */

/* The file to write is a source only where there is something to say of it: what is
 * written does not hold its own name. */
struct told {
    struct sources *sources;
    struct diagnostics *diagnostics;
    const char *path;
};

static struct diagnostic *refuse_out(const struct told *told, text message)
{
    const text name =
        text_copy(diagnostics_arena(told->diagnostics), text_of(told->path));
    const span where = {sources_add_argument(told->sources, TEXT("--out"), name), 0,
                        (uint32_t)name.length};
    return diagnostics_add(told->diagnostics, CODE_PREPARED_UNWRITABLE, where, message);
}

static status refuse_draft(const struct told *told, enum image_fault fault, size_t stray)
{
    struct diagnostic *report = NULL;
    if (fault == IMAGE_NO_MEMORY) {
        return STATUS_NO_MEMORY;
    }
    if (fault == IMAGE_PROGRAM) {
        report = refuse_out(told, TEXT("this program was linked without an identity"));
        report->expected = TEXT("a program linked with --build-id");
    } else if (fault == IMAGE_ALIEN) {
        report = refuse_out(
            told, text_format(diagnostics_arena(told->diagnostics),
                              "something in the base looks like an address of this "
                              "program, at byte %zu",
                              stray));
        report->expected = TEXT("another try, which has other addresses");
    } else {
        report = refuse_out(told, TEXT("it cannot be written"));
        report->expected = TEXT("a folder with room that may be written into");
    }
    return STATUS_INVALID;
}

static status write_loaded(struct arena *arena, struct region *region,
                           struct image_draft *draft, struct knowledge *knowledge,
                           text notes, const struct told *told)
{
    size_t stray = 0;
    unbind(knowledge);
    const struct allocator taken = arena_seal(arena);
    const enum image_fault fault =
        image_draft_write(draft, region, knowledge, notes, &stray);
    if (fault == IMAGE_GOOD) {
        return STATUS_OK;
    }
    arena_unseal(arena, taken);
    return refuse_draft(told, fault, stray);
}

/* The notes do not lie in the region, which holds the knowledge and nothing of the day it
 * was prepared. */
static status load_and_write(struct arena *arena, struct region *region,
                             struct image_draft *draft,
                             const struct knowledge_input *inputs, uint32_t input_count,
                             const struct told *told)
{
    const struct inference_options bounds = {.row_limit = LIMIT_ROWS};
    struct knowledge *made = NULL;
    text notes = {"", 0};
    TRY(knowledge_read(arena, inputs, input_count, told->sources, told->diagnostics,
                       &made));
    TRY(knowledge_conclude(made, &bounds, told->diagnostics));
    struct arena *meanwhile = arena_open(allocator_standard(), 0);
    if (meanwhile == NULL) {
        return STATUS_NO_MEMORY;
    }
    status result =
        notes_write(meanwhile, made, inputs, input_count, draft->opened, &notes);
    if (result == STATUS_OK) {
        result = write_loaded(arena, region, draft, made, notes, told);
    }
    arena_close(meanwhile);
    return result;
}

status prepared_write(struct arena *arena, struct region *region, const char *path,
                      const struct knowledge_input *inputs, uint32_t input_count,
                      struct sources *sources, struct diagnostics *diagnostics)
{
    struct image_draft draft;
    const struct told told = {sources, diagnostics, path};
    const enum image_fault opened = image_draft_open(path, &draft);
    status result = STATUS_INVALID;
    if (opened == IMAGE_ALIEN) {
        refuse_out(&told, TEXT("there is something else of this name"))->expected =
            TEXT("a new name, or that of a base to replace");
    } else if (opened != IMAGE_GOOD) {
        result = refuse_draft(&told, opened, 0);
    } else {
        result = load_and_write(arena, region, &draft, inputs, input_count, &told);
    }
    image_draft_close(&draft);
    return result;
}

/* ---- opening */

static text list_inputs(struct arena *arena, const struct notes *notes)
{
    text all = {"", 0};
    for (uint32_t i = 0; i < notes->input_count; i++) {
        all = text_format(arena, "%.*s%s%.*s", TEXT_ARG(all), i == 0 ? "" : ", ",
                          TEXT_ARG(notes->said[i]));
    }
    return all;
}

/* Whether it is of what was asked for, and its files are what they were. */
static status check_notes(struct arena *arena, const struct prepared_wanted *wanted,
                          const struct notes *notes, struct diagnostics *diagnostics)
{
    text message = {"", 0};
    if (wanted->input_count > 0 &&
        !notes_are_of(notes, wanted->inputs, wanted->input_count)) {
        refuse(diagnostics, wanted->where, CODE_PREPARED_UNFIT,
               text_format(arena, "it was prepared from %.*s, in %.*s",
                           TEXT_ARG(list_inputs(arena, notes)), TEXT_ARG(notes->folder)));
        return STATUS_INVALID;
    }
    const status checked = notes_check(arena, notes, &message);
    if (checked == STATUS_INVALID) {
        refuse(diagnostics, wanted->where, CODE_PREPARED_STALE, message);
    }
    return checked;
}

static status open_image(struct arena *arena, struct image *image,
                         const struct prepared_wanted *wanted,
                         struct diagnostics *diagnostics, struct prepared *out)
{
    struct notes notes;
    const status read = notes_read(arena, image_notes(image), &notes);
    if (read == STATUS_INVALID) {
        return refuse_image(diagnostics, wanted->where, IMAGE_DAMAGED);
    }
    TRY(read);
    if (wanted->input_count == 0) {
        out->inputs = notes.inputs;
        out->input_count = notes.input_count;
    }
    TRY(check_notes(arena, wanted, &notes, diagnostics));
    enum image_fault fault = image_start(image, wanted->on_touch);
    fault = fault == IMAGE_GOOD ? bind(arena, image, &out->knowledge) : fault;
    return fault == IMAGE_GOOD ? STATUS_OK
                               : refuse_image(diagnostics, wanted->where, fault);
}

status prepared_open(struct arena *arena, const struct prepared_wanted *wanted,
                     struct diagnostics *diagnostics, struct prepared *out)
{
    struct image *image = NULL;
    *out =
        (struct prepared){.inputs = wanted->inputs, .input_count = wanted->input_count};
    const enum image_fault fault = image_open(wanted->path, &image);
    if (fault != IMAGE_GOOD) {
        return refuse_image(diagnostics, wanted->where, fault);
    }
    const status result = open_image(arena, image, wanted, diagnostics, out);
    if (result != STATUS_OK) {
        image_close(image);
        return result;
    }
    out->image = image;
    return STATUS_OK;
}
