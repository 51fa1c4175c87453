/* SPDX-License-Identifier: MIT */
/*
 * What is shown beside the pieces: the gaps that a unit asks about, how far pieces moved,
 * and where what decided is found. A finding is found by its subject: a gap, else a band
 * or run of a piece, else the pieces it names.
 */
#include "section_private.h"

#include <math.h>
#include <stdlib.h>

/* ---- gaps */

static const struct draft *draft_in(const struct drafting *drafting,
                                    const struct draft_view *view, name_id unit,
                                    text place)
{
    for (uint32_t i = 0; i < view->drafts.count; i++) {
        const struct draft *draft = &view->drafts.at[i];
        if (draft->unit == unit && text_equal(draft->made.name, place)) {
            return draft;
        }
    }
    (void)drafting;
    return NULL;
}

/* The piece that fills a place, by name. */
static name_id piece_of(const struct drafting *drafting, name_id unit, text place)
{
    struct scan scan;
    if (!drafting_rows(drafting, "fills", unit, &scan)) {
        return NAME_NONE;
    }
    for (const struct row *row = scan_next(&scan); row != NULL; row = scan_next(&scan)) {
        if (text_equal(names_text(drafting->names, row->key[1]), place)) {
            return row->key[2];
        }
    }
    return NAME_NONE;
}

static const struct form *located(const struct drafting *drafting, name_id unit,
                                  name_id piece, name_id feature)
{
    const name_id key[3] = {unit, piece, feature};
    const struct row *row = drafting_row(drafting, "located", key);
    return row == NULL ? NULL : drafting_form(drafting, row, "at");
}

static bool is_station_of(const struct draft *draft, text feature)
{
    for (uint32_t i = 0; draft != NULL && i < draft->planes.count; i++) {
        if (draft->planes.at[i].is_station &&
            text_equal(draft->planes.at[i].name, feature)) {
            return true;
        }
    }
    return false;
}

/* Where the faces of a gap are seen: at the height that both pieces have. */
static double height_between(const struct draft *a, const struct draft *b)
{
    const double low = fmax(a->made.low, b->made.low);
    const double high = fmin(a->made.high, b->made.high);
    return high > low ? (low + high) / 2
                      : fmin(a->made.low + a->made.high, b->made.low + b->made.high) / 2;
}

static struct section_point gap_end(const struct drafting *drafting, name_id unit,
                                    const struct row *asked, const char *place,
                                    const char *face)
{
    const name_id feature =
        names_find(drafting->names, drafting_word(drafting, asked, face));
    const name_id piece = piece_of(drafting, unit, drafting_word(drafting, asked, place));
    return (struct section_point){millimetres(located(drafting, unit, piece, feature)),
                                  0};
}

static void set_heights(const struct drafting *drafting, name_id unit,
                        const struct draft_view *view, const struct row *asked,
                        struct section_gap *gap)
{
    const struct draft *from =
        draft_in(drafting, view, unit, drafting_word(drafting, asked, "from-place"));
    const struct draft *to =
        draft_in(drafting, view, unit, drafting_word(drafting, asked, "to-place"));
    if (from == NULL || to == NULL ||
        is_station_of(from, drafting_word(drafting, asked, "from-face")) ||
        is_station_of(to, drafting_word(drafting, asked, "to-face"))) {
        return;
    }
    gap->from.r = height_between(from, to);
    gap->to.r = gap->from.r;
}

static int compare_gaps(const void *a, const void *b)
{
    return text_compare(((const struct section_gap *)a)->name,
                        ((const struct section_gap *)b)->name);
}

/* Whether an end of a gap is a feature of another axis. */
static bool is_elsewhere(const struct drafting *drafting, name_id unit, name_id axis,
                         const struct row *asked)
{
    static const char *const relations[] = {"face", "station"};
    const name_id piece =
        piece_of(drafting, unit, drafting_word(drafting, asked, "from-place"));
    const name_id key[2] = {
        piece, names_find(drafting->names, drafting_word(drafting, asked, "from-face"))};
    for (size_t i = 0; i < sizeof relations / sizeof *relations; i++) {
        const struct row *row = drafting_row(drafting, relations[i], key);
        if (row != NULL) {
            return !drafting_is_on(drafting, row, axis);
        }
    }
    return false;
}

void section_gaps(const struct drafting *drafting, name_id unit,
                  const struct draft_view *view, struct section_view *out)
{
    ARRAY_OF(struct section_gap) gaps = {0};
    struct scan scan;
    if (!drafting_rows(drafting, "gap-asked", unit, &scan)) {
        return;
    }
    for (const struct row *asked = scan_next(&scan); asked != NULL;
         asked = scan_next(&scan)) {
        const struct row *row = drafting_row(drafting, "gap", asked->key);
        struct section_gap gap = {
            .name = names_text(drafting->names, asked->key[1]),
            .from = gap_end(drafting, unit, asked, "from-place", "from-face"),
            .to = gap_end(drafting, unit, asked, "to-place", "to-face")};
        if (row == NULL || isnan(gap.from.x) || isnan(gap.to.x) ||
            is_elsewhere(drafting, unit, view->axis, asked)) {
            continue;
        }
        gap.size = drafting_form(drafting, row, "comes-to");
        gap.want_least = drafting_form(drafting, row, "want-least");
        gap.want_greatest = drafting_form(drafting, row, "want-greatest");
        set_heights(drafting, unit, view, asked, &gap);
        (void)ARRAY_PUSH(drafting->arena, &gaps, gap);
    }
    if (gaps.count > 1) {
        qsort(gaps.at, gaps.count, sizeof *gaps.at, compare_gaps);
    }
    out->gaps = gaps.at;
    out->gap_count = gaps.count;
}

/* ---- shifts */

/* How far all features that a place has in both units have moved, where that is one
 * distance; NULL else. */
static const struct form *moved(const struct drafting *drafting,
                                const struct answer *answer, name_id before,
                                name_id after, double *from, double *to)
{
    const struct form *by = NULL;
    relation_id id = 0;
    struct scan scan;
    const name_id key[3] = {answer->swapped_unit, after, NAME_NONE};
    if (!store_find_relation(drafting->store,
                             names_find(drafting->names, TEXT("located")), &id) ||
        !scan_open(&scan, drafting->store, id, 3, key)) {
        return NULL;
    }
    for (const struct row *row = scan_next(&scan); row != NULL; row = scan_next(&scan)) {
        const struct form *now = drafting_form(drafting, row, "at");
        const struct form *was =
            located(drafting, answer->host_unit, before, row->key[2]);
        const double place = millimetres(now);
        const double other = millimetres(was);
        if (isnan(place) || isnan(other)) {
            continue;
        }
        if (by != NULL && fabs(*to - *from - (place - other)) > 1e-6) {
            return NULL;
        }
        if (by == NULL || place > *to) {
            by = form_subtract(drafting->arena, now, was);
            *from = other;
            *to = place;
        }
    }
    return by;
}

static int compare_shifts(const void *a, const void *b)
{
    const struct section_shift *left = a;
    const struct section_shift *right = b;
    return left->from.x < right->from.x   ? -1
           : left->from.x > right->from.x ? 1
                                          : text_compare(left->pieces, right->pieces);
}

static int compare_names(const void *a, const void *b)
{
    return text_compare(*(const text *)a, *(const text *)b);
}

struct shifting {
    const struct drafting *drafting;
    ARRAY_OF(struct section_shift) shifts;
};

static void add_shift(struct shifting *shifting, struct section_shift shift)
{
    struct arena *arena = shifting->drafting->arena;
    for (uint32_t i = 0; i < shifting->shifts.count; i++) {
        struct section_shift *other = &shifting->shifts.at[i];
        if (fabs((other->to.x - other->from.x) - (shift.to.x - shift.from.x)) < 1e-6) {
            other->pieces = text_format(arena, "%.*s, %.*s", TEXT_ARG(other->pieces),
                                        TEXT_ARG(shift.pieces));
            if (shift.to.x > other->to.x) {
                other->from = shift.from;
                other->to = shift.to;
                other->by = shift.by;
            }
            return;
        }
    }
    (void)ARRAY_PUSH(arena, &shifting->shifts, shift);
}

status section_shifts(const struct drafting *drafting, const struct answer *answer,
                      struct section_pair *out)
{
    struct shifting shifting = {.drafting = drafting};
    ARRAY_OF(text) places = {0};
    struct scan scan;
    if (!drafting_rows(drafting, "fills", answer->swapped_unit, &scan)) {
        return arena_status(drafting->arena);
    }
    for (const struct row *row = scan_next(&scan); row != NULL; row = scan_next(&scan)) {
        (void)ARRAY_PUSH(drafting->arena, &places,
                         names_text(drafting->names, row->key[1]));
    }
    if (places.count > 1) {
        qsort(places.at, places.count, sizeof *places.at, compare_names);
    }
    for (uint32_t i = 0; i < places.count; i++) {
        double from = 0;
        double to = 0;
        const name_id before = piece_of(drafting, answer->host_unit, places.at[i]);
        const name_id after = piece_of(drafting, answer->swapped_unit, places.at[i]);
        const struct form *by = before == NAME_NONE
                                    ? NULL
                                    : moved(drafting, answer, before, after, &from, &to);
        if (by != NULL && fabs(to - from) > 1e-6) {
            add_shift(&shifting,
                      (struct section_shift){places.at[i], {from, 0}, {to, 0}, by});
        }
    }
    if (shifting.shifts.count > 1) {
        qsort(shifting.shifts.at, shifting.shifts.count, sizeof *shifting.shifts.at,
              compare_shifts);
    }
    out->shifts = shifting.shifts.at;
    out->shift_count = shifting.shifts.count;
    return arena_status(drafting->arena);
}

/* ---- marks */

static const struct section_piece *piece_named(const struct section_view *view, text name)
{
    for (uint32_t i = 0; i < view->piece_count; i++) {
        if (text_equal(view->pieces[i].name, name)) {
            return &view->pieces[i];
        }
    }
    return NULL;
}

static bool mark_gap(const struct section_view *view, text name,
                     struct section_mark *mark)
{
    for (uint32_t i = 0; i < view->gap_count; i++) {
        const struct section_gap *gap = &view->gaps[i];
        if (text_equal(gap->name, name)) {
            mark->from = fmin(gap->from.x, gap->to.x);
            mark->to = fmax(gap->from.x, gap->to.x);
            mark->is_clash = gap->to.x < gap->from.x;
            mark->low = gap->from.r;
            mark->high = gap->from.r;
            return true;
        }
    }
    return false;
}

/* A band or run of a piece; of a band the round section where there is one. */
static bool mark_feature(const struct section_piece *piece, text name,
                         struct section_mark *mark)
{
    for (uint32_t i = 0; i < piece->round_count; i++) {
        const struct section_round *round = &piece->rounds[i];
        if (text_equal(round->feature, name)) {
            mark->from = round->middle.x - round->half_width;
            mark->to = round->middle.x + round->half_width;
            mark->low = round->middle.r - round->half_height;
            mark->high = round->middle.r + round->half_height;
            return true;
        }
    }
    for (uint32_t i = 0; i < piece->feature_count; i++) {
        const struct section_feature *feature = &piece->features[i];
        if (text_equal(feature->name, name) && !isnan(feature->from) &&
            !isnan(feature->to)) {
            mark->from = feature->from;
            mark->to = feature->to;
            mark->low = isnan(feature->r) ? piece->low : feature->r;
            mark->high = mark->low;
            return true;
        }
    }
    return false;
}

static bool mark_piece(const struct section_piece *piece, struct section_mark *mark)
{
    mark->from = piece->from;
    mark->to = piece->to;
    mark->low = piece->low;
    mark->high = piece->high;
    return true;
}

/* What a path leads along: the band it leads through, else the piece. */
static bool mark_path(const struct drafting *drafting, const struct answer *answer,
                      const struct section_view *view, text path,
                      struct section_mark *mark)
{
    static const char *const relations[] = {"leads-between", "leads-through"};
    const name_id name = names_find(drafting->names, path);
    for (size_t i = 0; name != NAME_NONE && i < 2; i++) {
        struct scan scan;
        if (!drafting_rows(drafting, relations[i], answer->swapped_unit, &scan)) {
            continue;
        }
        for (const struct row *row = scan_next(&scan); row != NULL;
             row = scan_next(&scan)) {
            const struct section_piece *piece =
                row->key[1] != name
                    ? NULL
                    : piece_named(view, names_text(drafting->names, row->key[2]));
            if (piece != NULL) {
                return (i == 0 &&
                        mark_feature(piece, names_text(drafting->names, row->key[3]),
                                     mark)) ||
                       mark_piece(piece, mark);
            }
        }
    }
    return false;
}

static bool place_mark(const struct drafting *drafting, const struct answer *answer,
                       const struct section_view *view, struct section_mark *mark)
{
    const struct finding *finding = mark->finding;
    const struct section_piece *last = NULL;
    for (uint32_t i = 0; i < finding->subject_count; i++) {
        if (mark_gap(view, finding->subject[i].value, mark)) {
            return true;
        }
    }
    for (uint32_t i = 0; i < finding->subject_count; i++) {
        const struct section_piece *piece = piece_named(view, finding->subject[i].value);
        last = piece == NULL ? last : piece;
        for (uint32_t k = 0; piece != NULL && k < finding->subject_count; k++) {
            if (k != i && mark_feature(piece, finding->subject[k].value, mark)) {
                return true;
            }
        }
    }
    for (uint32_t i = 0; i < finding->subject_count; i++) {
        if (mark_path(drafting, answer, view, finding->subject[i].value, mark)) {
            return true;
        }
    }
    return last != NULL && mark_piece(last, mark);
}

static const struct finding *finding_of(const struct answer *answer, uint32_t id)
{
    for (uint32_t i = 0; i < answer->finding_count; i++) {
        if (answer->findings[i].id == id) {
            return &answer->findings[i];
        }
    }
    return NULL;
}

status section_marks(const struct drafting *drafting, const struct answer *answer,
                     struct section_pair *out)
{
    struct section_mark *marks =
        ARENA_MANY(drafting->arena, answer->decided_count, struct section_mark);
    TRY(arena_status(drafting->arena));
    for (uint32_t i = 0; i < answer->decided_count; i++) {
        struct section_mark mark = {.finding = finding_of(answer, answer->decided_by[i])};
        if (mark.finding == NULL || mark.finding->outcome == OUTCOME_HOLDS) {
            continue;
        }
        mark.because =
            i < answer->because_count ? answer->because[i] : mark.finding->sentence;
        mark.is_placed = out->swapped.view_count > 0 &&
                         place_mark(drafting, answer, &out->swapped.views[0], &mark);
        marks[out->mark_count++] = mark;
    }
    out->marks = marks;
    return STATUS_OK;
}
