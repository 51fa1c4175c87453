/* SPDX-License-Identifier: MIT */
/*
 * From laid rows to drawn pieces: which pieces a unit has, within units that fill its
 * places too; on which axes they lie; and what each looks like. What is turned and full
 * comes first, since other shapes lie on it.
 */
#include "section_private.h"

#include "limits.h"

#include <math.h>
#include <stdlib.h>

/* A piece of the unit, before anybody asks on which axis it lies. */
struct found_piece {
    text name;
    name_id unit;
    name_id piece;
    bool is_changed;
    struct placing frame; /* of its unit; of the first axis asked for */
};

struct walk {
    const struct drafting *drafting;
    name_id axis;
    name_id changed_unit;
    ARRAY_OF(struct found_piece) pieces;
};

static bool is_unit(const struct drafting *drafting, name_id name)
{
    struct scan scan;
    return drafting_rows(drafting, "fills", name, &scan) && scan_next(&scan) != NULL;
}

static bool is_changed(const struct walk *walk, name_id place)
{
    struct scan scan;
    if (!drafting_rows(walk->drafting, "changed", walk->changed_unit, &scan)) {
        return false;
    }
    for (const struct row *row = scan_next(&scan); row != NULL; row = scan_next(&scan)) {
        if (row->key[1] == place) {
            return true;
        }
    }
    return false;
}

/* A unit within a unit lies where its own frame is laid. */
static void walk_unit(struct walk *walk, name_id unit, text prefix, bool changed,
                      struct placing frame, uint32_t depth)
{
    const struct drafting *drafting = walk->drafting;
    struct scan scan;
    if (depth > LIMIT_UNIT_DEPTH || !drafting_rows(drafting, "fills", unit, &scan)) {
        return;
    }
    for (const struct row *row = scan_next(&scan); row != NULL; row = scan_next(&scan)) {
        struct found_piece found = {
            .name = text_format(drafting->arena, "%.*s%s%.*s", TEXT_ARG(prefix),
                                prefix.length > 0 ? "." : "",
                                TEXT_ARG(names_text(drafting->names, row->key[1]))),
            .unit = unit,
            .piece = row->key[2],
            .is_changed = changed || (depth == 0 && is_changed(walk, row->key[1])),
            .frame = frame};
        if (is_unit(drafting, found.piece)) {
            const struct placing own =
                drafting_placing(drafting, unit, found.piece, walk->axis);
            const struct placing inner = {frame.at + frame.sign * own.at,
                                          frame.sign * own.sign};
            walk_unit(walk, found.piece, found.name, found.is_changed, inner, depth + 1);
        } else {
            (void)ARRAY_PUSH(drafting->arena, &walk->pieces, found);
        }
    }
}

static int compare_found(const void *a, const void *b)
{
    return text_compare(((const struct found_piece *)a)->name,
                        ((const struct found_piece *)b)->name);
}

static struct walk walk_axis(const struct drafting *drafting, name_id unit, name_id axis)
{
    struct walk walk = {.drafting = drafting, .axis = axis, .changed_unit = unit};
    if (drafting->alone == NAME_NONE) {
        walk_unit(&walk, unit, (text){"", 0}, false, (struct placing){0, 1}, 0);
    } else {
        const struct found_piece found = {
            .name = names_text(drafting->names, drafting->alone),
            .piece = drafting->alone,
            .frame = {0, 1}};
        (void)ARRAY_PUSH(drafting->arena, &walk.pieces, found);
    }
    if (walk.pieces.count > 1) {
        qsort(walk.pieces.at, walk.pieces.count, sizeof *walk.pieces.at, compare_found);
    }
    return walk;
}

/* ---- one piece */

static struct draft open_draft(const struct drafting *drafting,
                               const struct found_piece *found, name_id axis)
{
    struct draft draft = {.unit = found->unit,
                          .piece = found->piece,
                          .made = {.name = found->name, .is_changed = found->is_changed}};
    const struct row *row = drafting_row(drafting, "piece", &found->piece);
    static const struct drawn unsaid = {.as = DRAWN_OUTLINE};
    draft.drawn = &unsaid;
    if (row != NULL) {
        const name_id kind =
            names_find(drafting->names, drafting_word(drafting, row, "kind"));
        draft.made.part = drafting_word(drafting, row, "part");
        draft.made.title = drafting_word(drafting, row, "title");
        draft.kind = vocabulary_kind(drafting->vocabulary, kind);
        draft.drawn =
            draft.kind == NULL ? &unsaid : kind_drawn(drafting->vocabulary, draft.kind);
        draft.made.own = alone_own(drafting, draft.kind);
    }
    const struct placing own =
        drafting_placing(drafting, found->unit, found->piece, axis);
    draft.placing = (struct placing){found->frame.at + found->frame.sign * own.at,
                                     found->frame.sign * own.sign};
    draft.made.as = draft.drawn->as;
    draft.made.fill = draft.drawn->as == DRAWN_OUTLINE    ? FILL_NONE
                      : draft.drawn->fill == DRAWN_METAL  ? FILL_METAL
                      : draft.drawn->fill == DRAWN_RUBBER ? FILL_RUBBER
                                                          : FILL_WHOLE;
    return draft;
}

/* ---- what is handed out */

static void list_features(const struct drafting *drafting, struct draft *draft)
{
    const uint32_t room = draft->surfaces.count + draft->planes.count +
                          draft->bands.count + draft->holes.count;
    struct section_feature *all =
        ARENA_MANY(drafting->arena, room, struct section_feature);
    uint32_t count = 0;
    for (uint32_t i = 0; all != NULL && i < draft->surfaces.count; i++) {
        const struct surface *one = &draft->surfaces.at[i];
        const double floor =
            draft_outside_at(draft, (one->from + one->to) / 2) - one->depth;
        all[count++] =
            (struct section_feature){one->name,
                                     FEATURE_RUN,
                                     one->kind,
                                     one->is_from_assumed ? NAN : one->from,
                                     one->is_to_assumed ? NAN : one->to,
                                     one->is_round || one->is_bore ? one->r : floor,
                                     one->is_bore,
                                     alone_stated(drafting, one->row)};
    }
    for (uint32_t i = 0; all != NULL && i < draft->planes.count; i++) {
        const struct plane *one = &draft->planes.at[i];
        all[count++] = (struct section_feature){
            one->name,     one->is_station ? FEATURE_STATION : FEATURE_FACE,
            (text){"", 0}, one->at,
            one->at,       NAN,
            false,         alone_stated(drafting, one->row)};
    }
    for (uint32_t i = 0; all != NULL && i < draft->bands.count; i++) {
        const struct touching *one = &draft->bands.at[i];
        all[count++] = (struct section_feature){
            one->name, FEATURE_BAND, one->type,    one->from,
            one->to,   one->r,       one->is_bore, alone_stated(drafting, one->row)};
    }
    for (uint32_t i = 0;
         all != NULL && drafting->alone != NAME_NONE && i < draft->holes.count; i++) {
        const struct hole *one = &draft->holes.at[i];
        all[count++] =
            (struct section_feature){one->name,
                                     FEATURE_HOLE,
                                     one->is_circle ? TEXT("holes") : TEXT("port"),
                                     NAN,
                                     NAN,
                                     one->r,
                                     false,
                                     alone_stated(drafting, one->row)};
    }
    draft->made.features = all;
    draft->made.feature_count = count;
}

static void widen(struct section_piece *piece, double x, double r)
{
    piece->from = fmin(piece->from, x);
    piece->to = fmax(piece->to, x);
    piece->low = fmin(piece->low, r);
    piece->high = fmax(piece->high, r);
}

static int compare_unknowns(const void *a, const void *b)
{
    return text_compare(((const struct section_unknown *)a)->dimension,
                        ((const struct section_unknown *)b)->dimension);
}

static void finish(const struct drafting *drafting, struct draft *draft)
{
    struct section_piece *made = &draft->made;
    made->from = INFINITY;
    made->to = -INFINITY;
    made->low = INFINITY;
    made->high = -INFINITY;
    made->areas = draft->areas.at;
    made->area_count = draft->areas.count;
    made->edges = draft->edges.at;
    made->edge_count = draft->edges.count;
    made->rounds = draft->rounds.at;
    made->round_count = draft->rounds.count;
    made->unknowns = draft->unknowns.at;
    made->unknown_count = draft->unknowns.count;
    if (draft->unknowns.count > 1) {
        qsort(draft->unknowns.at, draft->unknowns.count, sizeof *draft->unknowns.at,
              compare_unknowns);
    }
    for (uint32_t i = 0; i < made->edge_count; i++) {
        const struct section_edge *edge = &made->edges[i];
        widen(made, edge->from.x, edge->from.r);
        widen(made, edge->to.x, edge->to.r);
        made->is_assumed = made->is_assumed || edge->line == LINE_ASSUMED;
    }
    for (uint32_t i = 0; i < made->round_count; i++) {
        const struct section_round *round = &made->rounds[i];
        widen(made, round->middle.x - round->half_width,
              round->middle.r - round->half_height);
        widen(made, round->middle.x + round->half_width,
              round->middle.r + round->half_height);
    }
    made->is_laid = isfinite(made->from) && isfinite(made->to) && isfinite(made->low) &&
                    isfinite(made->high);
    list_features(drafting, draft);
}

/* What lies behind is drawn first: housings, then rings, then what is full, then what
 * stands between them. */
static int depth_of(const struct section_piece *piece)
{
    static const int depths[] = {
        [DRAWN_OUTLINE] = 1, [DRAWN_SOLID] = 4,  [DRAWN_RING] = 3,
        [DRAWN_HOUSING] = 2, [DRAWN_BALLS] = 5,  [DRAWN_ROLLERS] = 5,
        [DRAWN_LIP] = 6,     [DRAWN_O_RING] = 8, [DRAWN_KEY] = 6,
        [DRAWN_BOLTS] = 6,   [DRAWN_ACROSS] = 6, [DRAWN_NOTHING] = 0};
    return depths[piece->as];
}

/* Of rings the thin ones lie in front, so that one in a groove is seen. */
static int compare_drawn(const void *a, const void *b)
{
    const struct section_piece *left = a;
    const struct section_piece *right = b;
    const int order = depth_of(left) - depth_of(right);
    const double thick = left->to - left->from;
    const double other = right->to - right->from;
    return order != 0                   ? order
           : fabs(thick - other) > 1e-6 ? (thick < other ? 1 : -1)
                                        : text_compare(left->name, right->name);
}

/* ---- views */

/* Shapes rest on others: first what is full, then what has sizes of its own, last what
 * has none across the axis. */
static uint32_t turn_of(const struct draft *draft)
{
    bool is_sized = draft->drawn->as != DRAWN_RING && draft->drawn->as != DRAWN_OUTLINE &&
                    draft->drawn->as != DRAWN_HOUSING;
    for (uint32_t i = 0; i < draft->surfaces.count; i++) {
        is_sized = is_sized || !isnan(draft->surfaces.at[i].r);
    }
    return draft->drawn->as == DRAWN_SOLID ? 0 : is_sized ? 1 : 2;
}

static void draw_drafts(const struct drafting *drafting, struct draft_view *view)
{
    for (uint32_t turn = 0; turn < 3; turn++) {
        for (uint32_t i = 0; i < view->drafts.count; i++) {
            struct draft *draft = &view->drafts.at[i];
            if (turn_of(draft) == turn && draft->drawn->as != DRAWN_NOTHING) {
                draft_body(drafting, draft, view);
                draft_bands(drafting, draft, view);
            }
        }
    }
}

static void bound_view(struct section_view *view)
{
    view->from = INFINITY;
    view->to = -INFINITY;
    for (uint32_t i = 0; i < view->piece_count; i++) {
        view->from = fmin(view->from, view->pieces[i].from);
        view->to = fmax(view->to, view->pieces[i].to);
        view->high = fmax(view->high, view->pieces[i].high);
    }
    for (uint32_t i = 0; i < view->gap_count; i++) {
        view->from = fmin(view->from, fmin(view->gaps[i].from.x, view->gaps[i].to.x));
        view->to = fmax(view->to, fmax(view->gaps[i].from.x, view->gaps[i].to.x));
    }
}

static void make_view(const struct drafting *drafting, name_id unit, name_id axis,
                      struct draft_view *drafts, struct section_view *out)
{
    const struct walk walk = walk_axis(drafting, unit, axis);
    drafts->axis = axis;
    for (uint32_t i = 0; i < walk.pieces.count; i++) {
        struct draft draft = open_draft(drafting, &walk.pieces.at[i], axis);
        if (!isnan(draft.placing.at) || draft.drawn->as == DRAWN_BOLTS ||
            draft.drawn->as == DRAWN_ACROSS) {
            drafting_read(drafting, &draft, axis);
            (void)ARRAY_PUSH(drafting->arena, &drafts->drafts, draft);
        }
    }
    draw_drafts(drafting, drafts);
    struct section_piece *pieces =
        ARENA_MANY(drafting->arena, drafts->drafts.count, struct section_piece);
    out->axis = names_text(drafting->names, axis);
    for (uint32_t i = 0; pieces != NULL && i < drafts->drafts.count; i++) {
        finish(drafting, &drafts->drafts.at[i]);
        if (drafts->drafts.at[i].made.is_laid) {
            pieces[out->piece_count++] = drafts->drafts.at[i].made;
        }
    }
    if (drafting->alone == NAME_NONE) {
        section_gaps(drafting, unit, drafts, out);
    }
    if (out->piece_count > 1) {
        qsort(pieces, out->piece_count, sizeof *pieces, compare_drawn);
    }
    out->pieces = pieces;
    bound_view(out);
}

static int compare_views(const void *a, const void *b)
{
    const struct section_view *left = a;
    const struct section_view *right = b;
    return left->piece_count > right->piece_count ? -1
           : left->piece_count < right->piece_count
               ? 1
               : text_compare(left->axis, right->axis);
}

/* The axes on which anything of the unit, or of a unit in it, is laid. */
static void find_axes(const struct drafting *drafting, name_id unit, uint32_t depth,
                      axis_list *axes)
{
    struct scan scan;
    if (depth > LIMIT_UNIT_DEPTH || !drafting_rows(drafting, "laid", unit, &scan)) {
        return;
    }
    for (const struct row *row = scan_next(&scan); row != NULL; row = scan_next(&scan)) {
        bool is_known = false;
        for (uint32_t i = 0; i < axes->count; i++) {
            is_known = is_known || axes->at[i] == row->key[2];
        }
        if (!is_known) {
            (void)ARRAY_PUSH(drafting->arena, axes, row->key[2]);
        }
        if (is_unit(drafting, row->key[1])) {
            find_axes(drafting, row->key[1], depth + 1, axes);
        }
    }
}

static int compare_texts(const void *a, const void *b)
{
    return text_compare(*(const text *)a, *(const text *)b);
}

/* Pieces that no view shows. */
static void list_shapeless(const struct drafting *drafting, name_id unit,
                           struct section *out)
{
    const struct walk walk = walk_axis(drafting, unit, NAME_NONE);
    text *all = ARENA_MANY(drafting->arena, walk.pieces.count, text);
    for (uint32_t i = 0; all != NULL && i < walk.pieces.count; i++) {
        bool is_shown = false;
        for (uint32_t v = 0; v < out->view_count; v++) {
            for (uint32_t k = 0; k < out->views[v].piece_count; k++) {
                is_shown = is_shown || text_equal(out->views[v].pieces[k].name,
                                                  walk.pieces.at[i].name);
            }
        }
        if (!is_shown) {
            all[out->shapeless_count++] = walk.pieces.at[i].name;
        }
    }
    if (out->shapeless_count > 1) {
        qsort(all, out->shapeless_count, sizeof *all, compare_texts);
    }
    out->shapeless = all;
}

/* The piece that all others are laid from: its datum is 0, and nothing moves it. */
static text datum_of(const struct drafting *drafting, name_id unit)
{
    text found = {"", 0};
    struct scan scan;
    if (!drafting_rows(drafting, "laid", unit, &scan)) {
        return found;
    }
    for (const struct row *row = scan_next(&scan); row != NULL; row = scan_next(&scan)) {
        uint32_t rests = 0;
        const struct form *at = drafting_form(drafting, row, "at");
        (void)row_rests_on(row, &rests);
        const text name = names_text(drafting->names, row->key[1]);
        if (rests <= 1 && at != NULL && form_is_number(at) && at->nominal == 0 &&
            (found.length == 0 || text_compare(name, found) < 0)) {
            found = name;
        }
    }
    return found;
}

status section_make(const struct drafting *drafting, name_id unit, struct section *out)
{
    axis_list axes = {0};
    if (drafting->alone == NAME_NONE) {
        find_axes(drafting, unit, 0, &axes);
    } else {
        alone_axes(drafting, &axes);
    }
    struct section_view *views =
        ARENA_MANY(drafting->arena, axes.count, struct section_view);
    struct draft_view *drafts =
        ARENA_MANY(drafting->arena, axes.count, struct draft_view);
    TRY(arena_status(drafting->arena));
    for (uint32_t i = 0; i < axes.count; i++) {
        make_view(drafting, unit, axes.at[i], &drafts[i], &views[out->view_count]);
        out->view_count += views[out->view_count].piece_count > 0 ? 1 : 0;
    }
    if (out->view_count > 1) {
        qsort(views, out->view_count, sizeof *views, compare_views);
    }
    out->views = views;
    list_shapeless(drafting, unit, out);
    return arena_status(drafting->arena);
}

static void name_section(const struct answer *answer, struct section *out)
{
    const name_id name = names_find(answer->names, answer->unit);
    const struct recipe *recipe =
        name == NAME_NONE ? NULL : knowledge_recipe(answer->knowledge, name);
    out->unit = answer->unit;
    if (recipe != NULL) {
        out->title = recipe->title;
        out->source = recipe->source;
    }
}

status section_answer(struct arena *arena, const struct answer *answer,
                      struct section_pair *out)
{
    const struct drafting drafting = {.arena = arena,
                                      .store = answer->store,
                                      .names = answer->names,
                                      .vocabulary = answer->knowledge->vocabulary};
    *out = (struct section_pair){0};
    name_section(answer, &out->swapped);
    TRY(section_make(&drafting, answer->swapped_unit, &out->swapped));
    out->swapped.datum = datum_of(&drafting, answer->swapped_unit);
    if (answer->change_count > 0 || answer->given_count > 0) {
        struct section *host = ARENA_NEW(arena, struct section);
        TRY(arena_status(arena));
        name_section(answer, host);
        TRY(section_make(&drafting, answer->host_unit, host));
        host->datum = datum_of(&drafting, answer->host_unit);
        out->host = host;
        TRY(section_shifts(&drafting, answer, out));
    }
    TRY(section_marks(&drafting, answer, out));
    return arena_status(answer->arena); /* a scan that fails there only ends */
}
