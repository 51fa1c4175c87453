/* SPDX-License-Identifier: MIT */
/* How a kind is drawn: reads `drawn` of a kind, and checks that the fields it names are
 * there. */
#include "vocabulary_reader.h"

static const char *const shapes[] = {"outline", "solid",   "ring",   "housing", "balls",
                                     "rollers", "lip",     "o-ring", "key",     "bolts",
                                     "across",  "nothing", NULL};
static const char *const fills[] = {"metal", "rubber", "whole", NULL};
static const char *const roles[] = {"inside", "outside", "section", "height", "length",
                                    "width",  "reach",   "circle",  "port"};
_Static_assert(sizeof roles / sizeof *roles == DRAWN_ROLES, "a word for each role");

const struct drawn *vocabulary_drawn(struct vocabulary_reader *reader,
                                     const struct node *kind)
{
    static const char *const known[] = {"as",      "filled", "inside", "outside",
                                        "section", "height", "length", "width",
                                        "reach",   "circle", "port",   NULL};
    const struct node *map = node_field_of(kind, "drawn");
    struct drawn *drawn = NULL;
    if (map == NULL || !vocabulary_expect(reader, map, NODE_MAP, "`drawn`")) {
        return NULL;
    }
    vocabulary_refuse_others(reader, map, known, "`drawn`");
    drawn = ARENA_NEW(reader->arena, struct drawn);
    if (drawn == NULL) {
        return NULL;
    }
    drawn->as = (enum drawn_as)vocabulary_choice(reader, map, "as", shapes);
    drawn->fill = (enum drawn_fill)vocabulary_choice(reader, map, "filled", fills);
    for (uint32_t i = 0; i < DRAWN_ROLES; i++) {
        const text word = vocabulary_word(reader, map, roles[i]);
        drawn->roles[i] = word.length > 0 ? names_add(reader->names, word) : NAME_NONE;
    }
    return drawn;
}

void vocabulary_drawn_check(struct vocabulary_reader *reader,
                            const struct vocabulary *made)
{
    for (uint32_t i = 0; i < made->kind_count; i++) {
        const struct kind *kind = &made->kinds[i];
        for (uint32_t k = 0; kind->drawn != NULL && k < DRAWN_PORT; k++) {
            const name_id field = kind->drawn->roles[k];
            if (field != NAME_NONE && kind_with_field(made, kind, field) == NULL) {
                vocabulary_report(
                    reader, CODE_VOCABULARY_WRONG, kind->where,
                    text_format(reader->arena,
                                "it is drawn by `%.*s`, which is no field of this kind",
                                TEXT_ARG(names_text(reader->names, field)))
                        .at);
            }
        }
    }
}
