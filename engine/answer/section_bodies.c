/* SPDX-License-Identifier: MIT */
/*
 * Shapes that are not turned from runs alone: bearings, lips, O-rings, keys, bolts, and
 * what is put in across the axis. Their recorded dimensions are kept; of what lies
 * between them (rolling bodies, the arm of a lip, a bolt's head) nobody records any, so
 * it is a symbol and its lines say so.
 */
#include "section_private.h"

#include <math.h>

void draft_area(const struct drafting *drafting, struct draft *draft,
                const struct section_point *points, uint32_t count,
                enum section_fill fill)
{
    const struct section_area area = {
        arena_copy(drafting->arena, points, count * sizeof *points), count, fill};
    if (area.points != NULL) {
        (void)ARRAY_PUSH(drafting->arena, &draft->areas, area);
    }
}

void draft_edge(const struct drafting *drafting, struct draft *draft,
                struct section_point from, struct section_point to,
                enum section_line line, text feature)
{
    const struct section_edge edge = {from, to, line, feature};
    (void)ARRAY_PUSH(drafting->arena, &draft->edges, edge);
}

void draft_round(const struct drafting *drafting, struct draft *draft,
                 struct section_round round)
{
    (void)ARRAY_PUSH(drafting->arena, &draft->rounds, round);
}

void draft_box(const struct drafting *drafting, struct draft *draft, double from,
               double to, double low, double high, enum section_fill fill,
               enum section_line line)
{
    const struct section_point corners[] = {
        {from, low}, {from, high}, {to, high}, {to, low}};
    draft_area(drafting, draft, corners, 4, fill);
    for (uint32_t i = 0; i < 4; i++) {
        draft_edge(drafting, draft, corners[i], corners[(i + 1) % 4], line, TEXT(""));
    }
}

double view_solid_at(const struct draft_view *view, double from, double to)
{
    double largest = 0;
    for (uint32_t i = 0; i < view->drafts.count; i++) {
        const struct draft *draft = &view->drafts.at[i];
        for (uint32_t k = 0; draft->drawn->as == DRAWN_SOLID && k < draft->surfaces.count;
             k++) {
            const struct surface *one = &draft->surfaces.at[k];
            if (!one->is_bore && !one->is_cut && one->from < to && one->to > from) {
                largest = fmax(largest, isnan(one->r) ? 0 : one->r);
            }
        }
    }
    return largest;
}

double draft_outside_at(const struct draft *draft, double x)
{
    double r = NAN;
    bool is_cut = false;
    for (uint32_t i = 0; i < draft->surfaces.count; i++) {
        const struct surface *one = &draft->surfaces.at[i];
        if (!one->is_bore && one->is_round && one->from <= x && x <= one->to && !is_cut) {
            r = one->r;
            is_cut = one->is_cut;
        }
    }
    return r;
}

/* The first run of a side whose place and size are recorded. */
static const struct surface *sized_surface(const struct draft *draft, bool is_bore)
{
    for (uint32_t i = 0; i < draft->surfaces.count; i++) {
        const struct surface *one = &draft->surfaces.at[i];
        if (one->is_bore == is_bore && !isnan(one->from) && !isnan(one->to) &&
            !isnan(one->r)) {
            return one;
        }
    }
    return NULL;
}

/* ---- bearings: shares of the height between bore and outside, for a look only */

#define RING_SHARE 0.3 /* of each ring */
#define BODY_SHARE 0.3 /* half of a rolling body */

/* One ring: its recorded surface, its sides, and a raceway that is a symbol. */
static void draw_race(const struct drafting *drafting, struct draft *draft,
                      const struct surface *of, double race)
{
    const struct section_point corners[] = {
        {of->from, of->r}, {of->to, of->r}, {of->to, race}, {of->from, race}};
    draft_area(drafting, draft, corners, 4, FILL_METAL);
    draft_edge(drafting, draft, corners[0], corners[1], LINE_RECORDED, of->name);
    draft_edge(drafting, draft, corners[1], corners[2], LINE_RECORDED, TEXT(""));
    draft_edge(drafting, draft, corners[2], corners[3], LINE_SYMBOL, TEXT(""));
    draft_edge(drafting, draft, corners[3], corners[0], LINE_RECORDED, TEXT(""));
}

static bool draw_bearing(const struct drafting *drafting, struct draft *draft)
{
    const struct surface *bore = sized_surface(draft, true);
    const struct surface *outside = sized_surface(draft, false);
    if (bore == NULL || outside == NULL || outside->r <= bore->r) {
        return false;
    }
    const double height = outside->r - bore->r;
    const double from = fmax(bore->from, outside->from);
    const double to = fmin(bore->to, outside->to);
    const struct section_point middle = {(from + to) / 2, (bore->r + outside->r) / 2};
    const double half = BODY_SHARE * height;
    draw_race(drafting, draft, bore, bore->r + RING_SHARE * height);
    draw_race(drafting, draft, outside, outside->r - RING_SHARE * height);
    if (draft->drawn->as == DRAWN_BALLS) {
        const double r = fmin(half, (to - from) / 2);
        draft_round(
            drafting, draft,
            (struct section_round){middle, r, r, FILL_WHOLE, LINE_SYMBOL, TEXT("")});
    } else {
        const double reach = (to - from) * 0.36;
        draft_box(drafting, draft, middle.x - reach, middle.x + reach, middle.r - half,
                  middle.r + half, FILL_WHOLE, LINE_SYMBOL);
    }
    return true;
}

/* ---- lips */

/* The radius under a band: of what it touches, where that is laid beside it. */
static double radius_under(const struct drafting *drafting, const struct draft *draft,
                           const struct touching *band, const struct draft_view *view)
{
    struct scan scan;
    const double middle = (band->from + band->to) / 2;
    if (!drafting_rows(drafting, "band", draft->unit, &scan)) {
        return NAN;
    }
    double found = NAN;
    for (const struct row *row = scan_next(&scan); row != NULL; row = scan_next(&scan)) {
        for (uint32_t i = 0; row->key[1] == draft->piece && i < view->drafts.count; i++) {
            const struct draft *other = &view->drafts.at[i];
            if (other->piece == row->key[3] &&
                text_equal(names_text(drafting->names, row->key[2]), band->name)) {
                const double r = draft_outside_at(other, middle);
                found = isnan(found) || r > found ? r : found;
            }
        }
    }
    return found;
}

/* The rubber stands at the side away from what it holds back, and its arm reaches from
 * there to where it touches. */
static void draw_arm(const struct drafting *drafting, struct draft *draft,
                     const struct surface *outside, const struct touching *band,
                     double touch)
{
    const double back = band->opens_out ? outside->from : outside->to;
    const double front = band->opens_out ? outside->to : outside->from;
    const double way = front > back ? 1 : -1;
    const double height = outside->r - touch;
    const double leg = 0.2 * height;
    const double middle = (band->from + band->to) / 2;
    const double far = way > 0 ? band->to : band->from;
    const double near = way > 0 ? band->from : band->to;
    const struct section_point points[] = {
        {back, outside->r},
        {front, outside->r},
        {front, outside->r - leg},
        {back + way * 1.4 * leg, outside->r - leg},
        {back + way * 1.4 * leg, touch + 0.55 * height},
        {far, touch + 0.42 * height},
        {far, touch + 0.12 * height},
        {middle, touch},
        {near, touch + 0.1 * height},
        {back + way * 0.5 * leg, touch + 0.3 * height},
        {back, touch + 0.4 * height}};
    const uint32_t count = sizeof points / sizeof *points;
    draft_area(drafting, draft, points, count, FILL_RUBBER);
    for (uint32_t i = 0; i < count; i++) {
        draft_edge(drafting, draft, points[i], points[(i + 1) % count],
                   i == 0 ? LINE_RECORDED : LINE_SYMBOL,
                   i == 0 ? outside->name : TEXT(""));
    }
}

static bool draw_lip(const struct drafting *drafting, struct draft *draft,
                     const struct draft_view *view)
{
    const struct surface *outside = sized_surface(draft, false);
    for (uint32_t i = 0; outside != NULL && i < draft->bands.count; i++) {
        const struct touching *band = &draft->bands.at[i];
        double touch = radius_under(drafting, draft, band, view);
        if (isnan(touch)) {
            touch = drafting_role(drafting, draft, DRAWN_INSIDE) / 2;
        }
        if (isnan(touch)) {
            touch = view_solid_at(view, outside->from, outside->to);
        }
        if (!isnan(band->from) && !isnan(band->to) && touch < outside->r) {
            draw_arm(drafting, draft, outside, band, touch);
            return true;
        }
    }
    return false;
}

/* ---- rings of a round section */

static bool draw_o_ring(const struct drafting *drafting, struct draft *draft)
{
    const double inside = drafting_role(drafting, draft, DRAWN_INSIDE) / 2;
    const double half = drafting_role(drafting, draft, DRAWN_SECTION) / 2;
    for (uint32_t i = 0; i < draft->bands.count; i++) {
        const struct touching *band = &draft->bands.at[i];
        const double middle = (band->from + band->to) / 2;
        if (!isnan(middle) && !isnan(inside) && !isnan(half)) {
            draft_round(drafting, draft,
                        (struct section_round){{middle, inside + half},
                                               (band->to - band->from) / 2,
                                               half,
                                               FILL_RUBBER,
                                               LINE_RECORDED,
                                               band->name});
            return true;
        }
    }
    return false;
}

static double floor_of(const struct draft *draft, text groove)
{
    for (uint32_t i = 0; groove.length > 0 && i < draft->surfaces.count; i++) {
        if (text_equal(draft->surfaces.at[i].name, groove)) {
            return draft->surfaces.at[i].r;
        }
    }
    return NAN;
}

/* A ring that lies in a groove of the part reaches from its floor as far as its section
 * does, or as what it lies on lets it. */
static void draw_band(const struct drafting *drafting, struct draft *draft,
                      const struct touching *band, const struct draft_view *view)
{
    const double away = band->is_bore ? -1 : 1;
    const double under = band->is_bore ? radius_under(drafting, draft, band, view) : NAN;
    const double ground = floor_of(draft, band->groove);
    const double seat = isnan(ground) ? band->r - away * band->section : ground;
    double end = seat + away * band->section;
    const bool is_pressed = (under - end) * away < 0 && (seat - under) * away < 0;
    end = is_pressed ? under : end;
    if (isnan(band->from) || isnan(band->to) || isnan(end)) {
        return;
    }
    draft_round(drafting, draft,
                (struct section_round){{(band->from + band->to) / 2, (seat + end) / 2},
                                       (band->to - band->from) / 2,
                                       fabs(end - seat) / 2,
                                       FILL_RUBBER,
                                       isnan(ground) && isnan(band->r) ? LINE_ASSUMED
                                                                       : LINE_RECORDED,
                                       band->name});
}

void draft_bands(const struct drafting *drafting, struct draft *draft,
                 const struct draft_view *view)
{
    const enum drawn_as as = draft->drawn->as;
    for (uint32_t i = 0; as != DRAWN_LIP && as != DRAWN_O_RING && i < draft->bands.count;
         i++) {
        draw_band(drafting, draft, &draft->bands.at[i], view);
    }
}

/* ---- keys, bolts, and what is put in across */

/* It stands in the keyway of what it is fitted in; drawn alone, on the line. */
static double key_floor(const struct drafting *drafting, const struct draft *draft,
                        const struct surface *body, const struct draft_view *view)
{
    if (drafting->alone != NAME_NONE) {
        return 0;
    }
    for (uint32_t i = 0; i < view->drafts.count; i++) {
        const struct draft *other = &view->drafts.at[i];
        for (uint32_t k = 0; other != draft && other->drawn->as == DRAWN_SOLID &&
                             k < other->surfaces.count;
             k++) {
            const struct surface *way = &other->surfaces.at[k];
            const double middle = (body->from + body->to) / 2;
            if (way->is_cut && !way->is_round && way->from <= middle &&
                middle <= way->to && !isnan(way->depth)) {
                return draft_outside_at(other, middle) - way->depth;
            }
        }
    }
    return NAN;
}

static bool draw_key(const struct drafting *drafting, struct draft *draft,
                     const struct draft_view *view)
{
    const double height = drafting_role(drafting, draft, DRAWN_HEIGHT);
    for (uint32_t i = 0; i < draft->surfaces.count; i++) {
        const struct surface *body = &draft->surfaces.at[i];
        const double ground = key_floor(drafting, draft, body, view);
        if (!isnan(body->from) && !isnan(body->to) && !isnan(height) && !isnan(ground)) {
            draft_box(drafting, draft, body->from, body->to, ground, ground + height,
                      FILL_WHOLE, LINE_RECORDED);
            return true;
        }
    }
    return false;
}

/* The clear holes that bolts of a circle go through, of a piece that lies in place. */
static const struct hole *clear_circle(const struct draft_view *view, text name)
{
    for (uint32_t i = 0; i < view->drafts.count; i++) {
        for (uint32_t k = 0; k < view->drafts.at[i].holes.count; k++) {
            const struct hole *hole = &view->drafts.at[i].holes.at[k];
            if (hole->is_circle && hole->is_clear && text_equal(hole->name, name) &&
                !isnan(hole->at) && !isnan(hole->r) && hole->looks != 0) {
                return hole;
            }
        }
    }
    return NULL;
}

static double tapped_bore(const struct draft_view *view, text name)
{
    for (uint32_t i = 0; i < view->drafts.count; i++) {
        for (uint32_t k = 0; k < view->drafts.at[i].holes.count; k++) {
            const struct hole *hole = &view->drafts.at[i].holes.at[k];
            if (hole->is_circle && !hole->is_clear && text_equal(hole->name, name)) {
                return hole->bore;
            }
        }
    }
    return NAN;
}

static bool draw_bolts(const struct drafting *drafting, struct draft *draft,
                       const struct draft_view *view)
{
    const text name = drafting_role_word(drafting, draft, DRAWN_CIRCLE);
    const double length = drafting_role(drafting, draft, DRAWN_LENGTH);
    const struct hole *hole = clear_circle(view, name);
    if (hole == NULL || isnan(length)) {
        return false;
    }
    const double tapped = tapped_bore(view, name);
    const double half = isnan(tapped) ? 0.9 * hole->bore : tapped;
    const double tip = hole->at - hole->looks * length;
    const double head = hole->at + hole->looks * 1.3 * half;
    draft_box(drafting, draft, fmin(tip, hole->at), fmax(tip, hole->at), hole->r - half,
              hole->r + half, FILL_WHOLE, LINE_RECORDED);
    draft_box(drafting, draft, fmin(head, hole->at), fmax(head, hole->at),
              hole->r - 1.6 * half, hole->r + 1.6 * half, FILL_WHOLE, LINE_SYMBOL);
    return true;
}

/* Its body up to where it sits, and a head that is a symbol. */
static void draw_put_in(const struct drafting *drafting, struct draft *draft, double at,
                        double seat, double half, double reach)
{
    draft_box(drafting, draft, at - half, at + half, seat - reach, seat, FILL_WHOLE,
              LINE_RECORDED);
    draft_box(drafting, draft, at - 1.3 * half, at + 1.3 * half, seat, seat + half,
              FILL_WHOLE, LINE_SYMBOL);
}

/* It sits on the seat of its port and reaches towards the axis; drawn alone, as far as
 * it. */
static bool draw_across(const struct drafting *drafting, struct draft *draft,
                        const struct draft_view *view)
{
    const text name = drafting_role_word(drafting, draft, DRAWN_PORT);
    const double half = drafting_role(drafting, draft, DRAWN_WIDTH) / 2;
    const double reach = drafting_role(drafting, draft, DRAWN_REACH);
    for (uint32_t i = 0; i < view->drafts.count; i++) {
        for (uint32_t k = 0; k < view->drafts.at[i].holes.count; k++) {
            const struct hole *hole = &view->drafts.at[i].holes.at[k];
            if (hole->is_circle || !text_equal(hole->name, name) || isnan(hole->at) ||
                isnan(hole->r) || isnan(half) || isnan(reach)) {
                continue;
            }
            draw_put_in(drafting, draft, hole->at, hole->r, half, reach);
            return true;
        }
    }
    if (drafting->alone == NAME_NONE || isnan(half) || isnan(reach)) {
        return false;
    }
    draw_put_in(drafting, draft, 0, reach, half, reach);
    return true;
}

void draft_body(const struct drafting *drafting, struct draft *draft,
                const struct draft_view *view)
{
    bool is_drawn = false;
    switch (draft->drawn->as) {
    case DRAWN_BALLS:
    case DRAWN_ROLLERS:
        is_drawn = draw_bearing(drafting, draft);
        break;
    case DRAWN_LIP:
        is_drawn = draw_lip(drafting, draft, view);
        break;
    case DRAWN_O_RING:
        is_drawn = draw_o_ring(drafting, draft);
        break;
    case DRAWN_KEY:
        is_drawn = draw_key(drafting, draft, view);
        break;
    case DRAWN_BOLTS:
        is_drawn = draw_bolts(drafting, draft, view);
        break;
    case DRAWN_ACROSS:
        is_drawn = draw_across(drafting, draft, view);
        break;
    case DRAWN_OUTLINE:
    case DRAWN_SOLID:
    case DRAWN_RING:
    case DRAWN_HOUSING:
    case DRAWN_NOTHING:
        break;
    }
    if (!is_drawn && !isnan(draft->placing.at)) {
        draft_outline(drafting, draft, view);
    }
}
