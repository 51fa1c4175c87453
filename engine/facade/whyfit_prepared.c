/* SPDX-License-Identifier: MIT */
/* Prepared bases: made, loaded, and text read in their place when they may not be used.
 */
#include "facade_private.h"

#include "prepared.h"

/* ---- making */

static status prepare_into(struct whyfit_problems *room, struct region *region,
                           const whyfit_source *sources, size_t source_count,
                           const char *file)
{
    const struct knowledge_input *inputs =
        inputs_from(room->arena, sources, source_count);
    if (inputs == NULL) {
        return arena_status(room->arena);
    }
    return prepared_write(room->arena, region, file, inputs, (uint32_t)source_count,
                          room->sources, room->diagnostics);
}

/* What there is to say before there is a region to say it in. */
static whyfit_status no_region(const char *file, struct allocator allocator,
                               whyfit_problems **problems)
{
    struct whyfit_problems *room = problems_open(allocator, 0, NULL);
    if (room == NULL) {
        return WHYFIT_NO_MEMORY;
    }
    const text name = text_of(file);
    const span where = {sources_add_argument(room->sources, TEXT("--out"), name), 0,
                        (uint32_t)name.length};
    diagnostics_add(room->diagnostics, CODE_PREPARED_UNWRITABLE, where,
                    TEXT("the address that it needs is not free in this process"))
        ->expected = TEXT("one prepared base at a time");
    problems_give(room, problems);
    return WHYFIT_INVALID;
}

whyfit_status whyfit_prepare(const whyfit_source *sources, size_t source_count,
                             const char *file, const whyfit_load_options *options,
                             whyfit_problems **problems)
{
    if (problems != NULL) {
        *problems = NULL;
    }
    for (size_t i = 0; i < source_count; i++) {
        if (sources[i].content != NULL) {
            return WHYFIT_INVALID; /* nobody could tell whether that text has changed */
        }
    }
    struct region *region = region_open();
    if (region == NULL) {
        return no_region(
            file, allocator_from(options == NULL ? NULL : options->allocator), problems);
    }
    struct whyfit_problems *room = problems_open(
        region_allocator(region), options == NULL ? 0 : options->memory_limit, NULL);
    if (room == NULL) {
        return WHYFIT_NO_MEMORY; /* the region has closed with what it gave */
    }
    const status result = prepare_into(room, region, sources, source_count, file);
    if (result == STATUS_OK) {
        region_close(region);
    } else {
        problems_give(room, problems);
    }
    return public_status(result);
}

/* ---- loading */

/* The knowledge of a prepared base; STATUS_INVALID with problems in the room. */
static status open_into(struct whyfit_problems *room, const char *file,
                        const whyfit_prepared_options *options, struct prepared *out)
{
    struct knowledge_input *inputs =
        inputs_from(room->arena, options->sources, options->source_count);
    const text name = text_copy(room->arena, text_of(file));
    const uint32_t source = sources_add_argument(room->sources, TEXT("--prepared"), name);
    TRY(arena_status(room->arena));
    const struct prepared_wanted wanted = {.path = name.at,
                                           .where = {source, 0, (uint32_t)name.length},
                                           .inputs = inputs,
                                           .input_count = (uint32_t)options->source_count,
                                           .on_touch = options->on_touch};
    return prepared_open(room->arena, &wanted, room->diagnostics, out);
}

/* Reads the text of what could not be used. The room keeps what was wrong with it: that
 * is told, unless the text itself is at fault. */
static whyfit_status read_text(struct whyfit_problems *room,
                               const struct prepared *prepared,
                               const whyfit_prepared_options *options,
                               whyfit_knowledge **knowledge, whyfit_problems **problems)
{
    const whyfit_load_options loading = {.size = sizeof loading,
                                         .allocator = options->allocator,
                                         .memory_limit = options->memory_limit};
    whyfit_source *sources =
        ARENA_MANY(room->arena, prepared->input_count, whyfit_source);
    if (prepared->input_count == 0 || sources == NULL) {
        problems_give(room, problems);
        return sources == NULL ? WHYFIT_NO_MEMORY : WHYFIT_INVALID;
    }
    for (uint32_t i = 0; i < prepared->input_count; i++) {
        sources[i] = (whyfit_source){prepared->inputs[i].name.at, NULL, 0};
    }
    const whyfit_status read =
        whyfit_load(sources, prepared->input_count, &loading, knowledge, problems);
    if (read == WHYFIT_OK) {
        problems_give(room, problems);
    } else {
        whyfit_problems_free(room);
    }
    return read;
}

whyfit_status whyfit_load_prepared(const char *file,
                                   const whyfit_prepared_options *options,
                                   whyfit_knowledge **knowledge,
                                   whyfit_problems **problems)
{
    const whyfit_prepared_options standard = WHYFIT_PREPARED_OPTIONS;
    const whyfit_prepared_options *wanted = options == NULL ? &standard : options;
    const struct allocator allocator = allocator_from(wanted->allocator);
    struct whyfit_problems *room = problems_open(allocator, 0, NULL);
    struct prepared prepared = {0};
    *knowledge = NULL;
    if (problems != NULL) {
        *problems = NULL;
    }
    if (room == NULL) {
        return WHYFIT_NO_MEMORY;
    }
    const status result = open_into(room, file, wanted, &prepared);
    if (result == STATUS_INVALID) {
        return read_text(room, &prepared, wanted, knowledge, problems);
    }
    struct whyfit_knowledge *made =
        result == STATUS_OK ? ARENA_NEW(room->arena, struct whyfit_knowledge) : NULL;
    if (made == NULL) {
        image_close(result == STATUS_OK ? prepared.image : NULL);
        whyfit_problems_free(room);
        return result == STATUS_OK ? WHYFIT_NO_MEMORY : public_status(result);
    }
    *made = (struct whyfit_knowledge){room->arena, allocator, prepared.knowledge,
                                      prepared.image};
    *knowledge = made;
    return WHYFIT_OK;
}

whyfit_brought whyfit_prepared_bring(const whyfit_knowledge *knowledge,
                                     const void *address)
{
    if (knowledge == NULL || knowledge->image == NULL ||
        !image_holds(knowledge->image, address)) {
        return WHYFIT_NOT_BROUGHT;
    }
    return image_bring(knowledge->image, address, 1) == IMAGE_GOOD
               ? WHYFIT_BROUGHT
               : WHYFIT_BROUGHT_DAMAGE;
}
