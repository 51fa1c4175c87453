/* SPDX-License-Identifier: MIT */
/* Spaces and paths of a unit as rows; what shuts a path the rules say. */
#include "mint_spaces.h"

#include "draft.h"

static status add_port_asked(struct layer *layer, name_id unit, name_id space,
                             const char *relation, const struct feature_ref *port)
{
    struct draft draft;
    draft_open(&draft, layer, relation, port->where);
    draft_key(&draft, 0, unit);
    draft_key(&draft, 1, space);
    draft_key(&draft, 2, port->place);
    draft_key(&draft, 3, port->feature);
    return draft_add(&draft);
}

/* What a space holds at first, and the pieces of the place that fills it. */
static status add_space(struct layer *layer, name_id unit, const struct fill *fill,
                        const struct space_line *line)
{
    struct draft draft;
    const struct minted_place *filled = fill_place(fill, line->holds);
    draft_open(&draft, layer, "space", line->where);
    draft_key(&draft, 0, unit);
    draft_key(&draft, 1, line->name);
    draft_word(&draft, "holds",
               line->holds == NAME_NONE ? names_add(layer->names, TEXT("nothing"))
                                        : line->holds);
    draft_word(&draft, "wants", line->wants);
    TRY(draft_add(&draft));
    if (filled != NULL && filled->with != NAME_NONE) {
        draft_open(&draft, layer, "filled-with", line->where);
        draft_key(&draft, 0, unit);
        draft_key(&draft, 1, line->name);
        draft_key(&draft, 2, filled->piece);
        TRY(draft_add(&draft));
    }
    if (line->has_vent) {
        TRY(add_port_asked(layer, unit, line->name, "vent-asked", &line->vent));
    }
    if (line->has_drain) {
        TRY(add_port_asked(layer, unit, line->name, "drain-asked", &line->drain));
    }
    return STATUS_OK;
}

/* A way, and what may shut it: a piece, or what lies between two pieces. */
static status add_path(struct layer *layer, name_id unit, const struct fill *fill,
                       const struct path_line *line)
{
    struct draft draft;
    const struct minted_place *through = fill_place(fill, line->through.place);
    const struct minted_place *against = fill_place(fill, line->against.place);
    draft_open(&draft, layer, "path", line->where);
    draft_key(&draft, 0, unit);
    draft_key(&draft, 1, line->name);
    draft_key(&draft, 2, line->from);
    draft_key(&draft, 3, line->to);
    TRY(draft_add(&draft));
    if (through == NULL || through->with == NAME_NONE) {
        return STATUS_OK;
    }
    if (line->against.place == NAME_NONE) {
        draft_open(&draft, layer, "leads-through", line->where);
        draft_key(&draft, 0, unit);
        draft_key(&draft, 1, line->name);
        draft_key(&draft, 2, through->piece);
        return draft_add(&draft);
    }
    if (against == NULL || against->with == NAME_NONE) {
        return STATUS_OK;
    }
    draft_open(&draft, layer, "leads-between", line->where);
    draft_key(&draft, 0, unit);
    draft_key(&draft, 1, line->name);
    draft_key(&draft, 2, through->piece);
    draft_key(&draft, 3, line->through.feature);
    draft_key(&draft, 4, against->piece);
    return draft_add(&draft);
}

status space_rows(struct layer *layer, name_id unit, const struct fill *fill,
                  const struct lines *lines)
{
    for (uint32_t i = 0; i < lines->space_count; i++) {
        TRY(add_space(layer, unit, fill, &lines->spaces[i]));
    }
    for (uint32_t i = 0; i < lines->path_count; i++) {
        TRY(add_path(layer, unit, fill, &lines->paths[i]));
    }
    return STATUS_OK;
}
