/* SPDX-License-Identifier: MIT */
/* Which pictures an answer has, and the one that is asked for. */
#include "render.h"

#include "array.h"
#include "stack.h"

#define STACK "stack:"

uint32_t answer_pictures(struct arena *arena, const struct answer *answer,
                         const text **out)
{
    ARRAY_OF(text) pictures = {0};
    const text *gaps = NULL;
    *out = NULL;
    if (answer->explanation != NULL || answer->upgrade != NULL ||
        answer->identification != NULL || answer->comparison != NULL ||
        answer->kind_sheet != NULL) {
        return 0;
    }
    if (answer->sweep != NULL) {
        (void)ARRAY_PUSH(arena, &pictures, TEXT("sweep"));
    }
    (void)ARRAY_PUSH(arena, &pictures, TEXT("section"));
    (void)ARRAY_PUSH(arena, &pictures, TEXT("full"));
    (void)ARRAY_PUSH(arena, &pictures, TEXT("margins"));
    const uint32_t count = stack_gaps(arena, answer, &gaps);
    for (uint32_t i = 0; i < count; i++) {
        const text name = text_format(arena, STACK "%.*s", TEXT_ARG(gaps[i]));
        (void)ARRAY_PUSH(arena, &pictures, name);
    }
    *out = pictures.at;
    return pictures.count;
}

status render_picture_svg(struct writer *writer, const struct answer *answer,
                          text picture, const struct svg_manner *manner)
{
    const text *pictures = NULL;
    const uint32_t count = answer_pictures(writer->arena, answer, &pictures);
    const text wanted = picture.length > 0 || count == 0 ? picture : pictures[0];
    for (uint32_t i = 0; i < count; i++) {
        if (!text_equal(wanted, pictures[i])) {
            continue;
        }
        return text_is(wanted, "section") || text_is(wanted, "full")
                   ? render_section_svg(writer, answer, text_is(wanted, "full"), manner)
               : text_is(wanted, "margins") ? render_margins_svg(writer, answer, manner)
               : text_is(wanted, "sweep")
                   ? render_sweep_svg(writer, answer, manner)
                   : render_stack_svg(writer, answer,
                                      text_slice(wanted, sizeof STACK - 1, wanted.length),
                                      manner);
    }
    TRY(arena_status(writer->arena)); /* else the list of pictures is not whole */
    TRY(arena_status(answer->arena));
    return STATUS_NOT_FOUND;
}
