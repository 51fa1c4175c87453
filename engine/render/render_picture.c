/* SPDX-License-Identifier: MIT */
/* Which pictures an answer has, and the one that is asked for. */
#include "render.h"

#include "array.h"

uint32_t answer_pictures(struct arena *arena, const struct answer *answer,
                         const text **out)
{
    ARRAY_OF(text) pictures = {0};
    if (answer->explanation == NULL && answer->upgrade == NULL) {
        (void)ARRAY_PUSH(arena, &pictures, TEXT("section"));
    }
    *out = pictures.at;
    return pictures.count;
}

status render_picture_svg(struct writer *writer, const struct answer *answer,
                          text picture, const struct svg_manner *manner)
{
    const text *pictures = NULL;
    const uint32_t count = answer_pictures(writer->arena, answer, &pictures);
    for (uint32_t i = 0; i < count; i++) {
        if (picture.length > 0 && !text_equal(picture, pictures[i])) {
            continue;
        }
        return render_section_svg(writer, answer, manner);
    }
    return STATUS_NOT_FOUND;
}
