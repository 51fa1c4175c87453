/* SPDX-License-Identifier: MIT */
/*
 * A swap over a range. Across the top the verdict, stretch by stretch, in words; below a
 * panel for each margin that changes, with its nominal as a line, what tolerances leave
 * around it as a hatched band, and zero. Where the verdict turns a chain line goes
 * through all of them.
 */
#include "drawing.h"
#include "sweep.h"

#include <math.h>

#define PLOT_LEFT  330.0
#define PLOT_RIGHT 1040.0
#define PANEL_HIGH 92.0
#define STRIP_HIGH 22.0

enum {
    MOST_PANELS = 24
};

struct plot {
    const struct sweep *sweep;
    double least; /* of the panel's margin */
    double most;
    double top;
};

static double plot_x(const struct sweep *sweep, double at)
{
    return PLOT_LEFT +
           (at - sweep->from) / (sweep->to - sweep->from) * (PLOT_RIGHT - PLOT_LEFT);
}

static double plot_y(const struct plot *plot, double value)
{
    const double clamped = fmax(plot->least, fmin(plot->most, value));
    return plot->top + PANEL_HIGH - 14 -
           (clamped - plot->least) / (plot->most - plot->least) * (PANEL_HIGH - 28);
}

static text at_words(struct arena *arena, const struct sweep *sweep, double at)
{
    return magnitude_write(arena, sweep->dim, at, -1);
}

/* ---- the verdict */

/* A stretch of one verdict; what is too narrow for its word is named above. */
struct stretch_of {
    double left;
    double right;
    enum verdict verdict;
    bool is_narrow;
};

static void draw_stretch(struct drawing *drawing, const struct stretch_of *stretch,
                         double y)
{
    struct svg *svg = &drawing->svg;
    const struct page_point corners[] = {{stretch->left, y},
                                         {stretch->right, y},
                                         {stretch->right, y + STRIP_HIGH},
                                         {stretch->left, y + STRIP_HIGH}};
    svg_open(svg, "rect");
    svg_number(svg, "x", stretch->left);
    svg_number(svg, "y", y);
    svg_number(svg, "width", stretch->right - stretch->left);
    svg_number(svg, "height", STRIP_HIGH);
    svg_word(svg, "fill", TEXT("#ffffff"));
    svg_word(svg, "data-verdict", text_of(verdict_word(stretch->verdict)));
    stroke_with(drawing, STROKE_NARROW);
    svg_done(svg);
    if (stretch->verdict == VERDICT_DOES_NOT_FIT) {
        draw_hatching(drawing, corners, 4, (struct hatch){45, 5});
    } else if (stretch->verdict == VERDICT_NOT_KNOWN) {
        draw_hatching(drawing, corners, 4, (struct hatch){135, 10});
    }
    if (!stretch->is_narrow) {
        draw_words(drawing, (stretch->left + stretch->right) / 2, y + 15,
                   (struct lettering){LETTER, ANCHOR_MIDDLE, true, false},
                   text_of(verdict_word(stretch->verdict)));
    }
}

static struct stretch_of *find_stretches(struct arena *arena, const struct sweep *sweep)
{
    struct stretch_of *all = ARENA_MANY(arena, sweep->turn_count + 1, struct stretch_of);
    double from = sweep->from;
    for (uint32_t i = 0; all != NULL && i <= sweep->turn_count; i++) {
        const bool is_last = i == sweep->turn_count;
        const double to =
            is_last ? sweep->to : (sweep->turns[i].low + sweep->turns[i].high) / 2;
        all[i].verdict = is_last ? sweep->points[sweep->point_count - 1].verdict
                                 : sweep->turns[i].before;
        all[i].left = plot_x(sweep, from);
        all[i].right = plot_x(sweep, to);
        all[i].is_narrow =
            words_width(text_of(verdict_word(all[i].verdict)), LETTER) + 8 >
            all[i].right - all[i].left;
        from = to;
    }
    return all;
}

/* The words of narrow stretches, in rows above the strip; gives the strip's y. */
static double name_narrow(struct drawing *drawing, const struct stretch_of *stretches,
                          uint32_t count, double y)
{
    struct label *labels = ARENA_MANY(drawing->arena, count, struct label);
    uint32_t narrow = 0;
    for (uint32_t i = 0; labels != NULL && i < count; i++) {
        if (stretches[i].is_narrow) {
            labels[narrow].to_x = (stretches[i].left + stretches[i].right) / 2;
            labels[narrow++].width =
                words_width(text_of(verdict_word(stretches[i].verdict)), LETTER);
        }
    }
    const uint32_t rows = labels_place(labels, narrow, PLOT_LEFT, PLOT_RIGHT + 40);
    const double strip = y + ROW * (double)rows + (rows > 0 ? 8 : 0);
    for (uint32_t i = 0, k = 0; rows > 0 && i < count; i++) {
        if (stretches[i].is_narrow) {
            const struct label *label = &labels[k++];
            const double base = strip - 10 - ROW * (double)label->row;
            draw_line(drawing, label->x, base + 4, label->to_x, strip, STROKE_NARROW);
            draw_words(drawing, label->x, base,
                       (struct lettering){LETTER, ANCHOR_MIDDLE, true, false},
                       text_of(verdict_word(stretches[i].verdict)));
        }
    }
    return strip;
}

static double draw_verdicts(struct drawing *drawing, const struct sweep *sweep, double y)
{
    const struct stretch_of *stretches = find_stretches(drawing->arena, sweep);
    if (stretches == NULL) {
        return y;
    }
    y = name_narrow(drawing, stretches, sweep->turn_count + 1, y);
    draw_words(drawing, PAGE_MARGIN, y + 15,
               (struct lettering){LETTER, ANCHOR_START, true, false}, TEXT("verdict"));
    for (uint32_t i = 0; i <= sweep->turn_count; i++) {
        draw_stretch(drawing, &stretches[i], y);
    }
    return y + STRIP_HIGH;
}

static void draw_turns(struct drawing *drawing, const struct sweep *sweep, double top,
                       double bottom)
{
    for (uint32_t i = 0; i < sweep->turn_count; i++) {
        const struct sweep_turn *turn = &sweep->turns[i];
        const double x = plot_x(sweep, (turn->low + turn->high) / 2);
        draw_line(drawing, x, top, x, bottom, STROKE_CHAIN);
    }
}

/* ---- panels */

static const struct form *margin_at(const struct sweep *sweep, uint32_t point,
                                    uint32_t margin)
{
    return sweep->points[point].margins[margin].margin;
}

/* false: nothing of it is finite. */
static bool scale_panel(struct plot *plot, uint32_t margin)
{
    plot->least = 0;
    plot->most = 0;
    bool is_there = false;
    for (uint32_t i = 0; i < plot->sweep->point_count; i++) {
        const struct form *form = margin_at(plot->sweep, i, margin);
        const double ends[] = {form == NULL ? NAN : form->least,
                               form == NULL ? NAN : form->greatest};
        for (size_t k = 0; k < 2; k++) {
            if (isfinite(ends[k])) {
                plot->least = fmin(plot->least, ends[k]);
                plot->most = fmax(plot->most, ends[k]);
                is_there = true;
            }
        }
    }
    if (plot->most - plot->least < 1e-9) {
        plot->most = plot->least + 1;
    }
    return is_there;
}

/* The band between two neighbouring points, and the nominal's line. */
static void draw_piece(struct drawing *drawing, const struct plot *plot, uint32_t point,
                       const struct form *a, const struct form *b)
{
    const double x1 = plot_x(plot->sweep, plot->sweep->points[point].at);
    const double x2 = plot_x(plot->sweep, plot->sweep->points[point + 1].at);
    const struct page_point corners[] = {{x1, plot_y(plot, a->least)},
                                         {x1, plot_y(plot, a->greatest)},
                                         {x2, plot_y(plot, b->greatest)},
                                         {x2, plot_y(plot, b->least)}};
    double from = 0;
    double to = 0;
    draw_hatching(drawing, corners, 4, (struct hatch){45, 4});
    draw_line(drawing, x1, corners[0].y, x2, corners[3].y, STROKE_NARROW);
    draw_line(drawing, x1, corners[1].y, x2, corners[2].y, STROKE_NARROW);
    if (form_nominal(a, &from) && form_nominal(b, &to)) {
        draw_line(drawing, x1, plot_y(plot, from), x2, plot_y(plot, to), STROKE_WIDE);
    }
}

static text cut_off(struct arena *arena, text words, double size, double width)
{
    const size_t most = (size_t)(width / (0.62 * size));
    return text_columns(words) <= most
               ? words
               : text_format(arena, "%.*s…", TEXT_ARG(text_slice(words, 0, most - 1)));
}

static void name_panel(struct drawing *drawing, const struct plot *plot, uint32_t margin,
                       struct dimension dim)
{
    const struct sweep_margin *one = &plot->sweep->points[0].margins[margin];
    struct arena *arena = drawing->arena;
    const double room = PLOT_LEFT - PAGE_MARGIN - 70;
    draw_words(drawing, PAGE_MARGIN, plot->top + 40,
               (struct lettering){LETTER, ANCHOR_START, false, false},
               cut_off(arena, one->rule, LETTER, room));
    draw_words(drawing, PAGE_MARGIN, plot->top + 54,
               (struct lettering){10, ANCHOR_START, false, false},
               cut_off(arena, one->subject, 10, room));
    draw_words(drawing, PLOT_LEFT - 6, plot_y(plot, 0) + 4,
               (struct lettering){11, ANCHOR_END, true, false}, TEXT("0"));
    if (plot->most > 0 && plot_y(plot, 0) - plot_y(plot, plot->most) > 14) {
        draw_words(drawing, PLOT_LEFT - 6, plot_y(plot, plot->most) + 4,
                   (struct lettering){11, ANCHOR_END, false, false},
                   magnitude_write(arena, dim, plot->most, -1));
    }
    if (plot->least < 0 && plot_y(plot, plot->least) - plot_y(plot, 0) > 14) {
        draw_words(drawing, PLOT_LEFT - 6, plot_y(plot, plot->least) + 4,
                   (struct lettering){11, ANCHOR_END, false, false},
                   magnitude_write(arena, dim, plot->least, -1));
    }
}

static void draw_panel(struct drawing *drawing, const struct sweep *sweep,
                       uint32_t margin, double top)
{
    struct plot plot = {.sweep = sweep, .top = top};
    const struct form *first = NULL;
    const bool is_there = scale_panel(&plot, margin);
    svg_open(&drawing->svg, "g");
    svg_word(&drawing->svg, "data-rule", sweep->points[0].margins[margin].rule);
    svg_into(&drawing->svg);
    for (uint32_t i = 0; i < sweep->point_count; i++) {
        const struct form *now = margin_at(sweep, i, margin);
        const struct form *next =
            i + 1 < sweep->point_count ? margin_at(sweep, i + 1, margin) : NULL;
        first = first == NULL ? now : first;
        if (now != NULL && next != NULL) {
            draw_piece(drawing, &plot, i, now, next);
        }
    }
    draw_line(drawing, PLOT_LEFT, plot_y(&plot, 0), PLOT_RIGHT, plot_y(&plot, 0),
              STROKE_WIDE);
    name_panel(drawing, &plot, margin, first == NULL ? DIMENSION_RATIO : first->dim);
    if (!is_there) {
        draw_words(drawing, (PLOT_LEFT + PLOT_RIGHT) / 2, plot_y(&plot, 0) - 8,
                   (struct lettering){11, ANCHOR_MIDDLE, false, false},
                   TEXT("has no number here"));
    }
    svg_close(&drawing->svg, "g");
}

static double draw_axis(struct drawing *drawing, const struct sweep *sweep, double y)
{
    enum {
        TICKS = 5
    };
    draw_line(drawing, PLOT_LEFT, y, PLOT_RIGHT, y, STROKE_NARROW);
    for (int i = 0; i < TICKS; i++) {
        const double at =
            sweep->from + (sweep->to - sweep->from) * (double)i / (TICKS - 1);
        draw_line(drawing, plot_x(sweep, at), y - 3, plot_x(sweep, at), y + 3,
                  STROKE_NARROW);
        draw_words(drawing, plot_x(sweep, at), y + 17,
                   (struct lettering){11, ANCHOR_MIDDLE, false, false},
                   at_words(drawing->arena, sweep, at));
    }
    draw_words(drawing, PAGE_MARGIN, y + 17,
               (struct lettering){LETTER, ANCHOR_START, true, false},
               cut_off(drawing->arena, sweep->of, LETTER, PLOT_LEFT - PAGE_MARGIN - 50));
    return y + 26;
}

/* ---- the whole */

static uint32_t turn_notes(struct arena *arena, const struct sweep *sweep, text *notes,
                           uint32_t room)
{
    uint32_t count = 0;
    for (uint32_t i = 0; i < sweep->turn_count && count < room; i++) {
        const struct sweep_turn *turn = &sweep->turns[i];
        const text where =
            turn->is_exact ? text_format(arena, "at %.*s exactly, by %.*s",
                                         TEXT_ARG(at_words(arena, sweep, turn->low)),
                                         TEXT_ARG(turn->rule))
                           : text_format(arena, "between %.*s and %.*s, found by halving",
                                         TEXT_ARG(at_words(arena, sweep, turn->low)),
                                         TEXT_ARG(at_words(arena, sweep, turn->high)));
        notes[count++] =
            text_format(arena, "From %s to %s %.*s.", verdict_word(turn->before),
                        verdict_word(turn->after), TEXT_ARG(where));
    }
    return count;
}

status render_sweep_svg(struct writer *writer, const struct answer *answer,
                        const struct svg_manner *manner)
{
    struct arena *arena = writer->arena;
    const struct sweep *sweep = answer->sweep;
    struct drawing drawing;
    text notes[20];
    const text title =
        text_format(arena, "%.*s: %.*s from %.*s to %.*s", TEXT_ARG(answer->unit),
                    TEXT_ARG(sweep->of), TEXT_ARG(at_words(arena, sweep, sweep->from)),
                    TEXT_ARG(at_words(arena, sweep, sweep->to)));
    const text changes = render_pairs(arena, answer->changes, answer->change_count);
    const text lines[] = {text_format(
        arena, "with %.*s", TEXT_ARG(changes.length > 0 ? changes : TEXT("no change")))};
    drawing_open(&drawing, writer, PAGE_WIDTH);
    const double top = draw_heading(&drawing, title, lines, 1) + 6;
    const uint32_t panels =
        sweep->margin_count < MOST_PANELS ? sweep->margin_count : MOST_PANELS;
    const double strip = draw_verdicts(&drawing, sweep, top);
    double y = strip + 6;
    for (uint32_t i = 0; i < panels; i++) {
        draw_panel(&drawing, sweep, i, y);
        y += PANEL_HIGH;
    }
    draw_turns(&drawing, sweep, strip, y + 8);
    y = draw_axis(&drawing, sweep, y + 8) + 6;
    uint32_t count = turn_notes(arena, sweep, notes, 12);
    notes[count++] =
        TEXT("Each panel has a scale of its own. Wide line: nominal; hatched: "
             "what tolerances leave; wide level line: zero. Below it the "
             "check fails.");
    if (panels < sweep->margin_count) {
        notes[count++] = text_format(arena, "%u margins more change and are not drawn.",
                                     sweep->margin_count - panels);
    }
    notes[count++] = answer->caution;
    const text says = count > 2 ? notes[0] : TEXT("The verdict does not turn.");
    y = draw_notes(&drawing, y, notes, count);
    drawing_close(
        &drawing, manner, y + 24, title,
        text_format(arena, "Verdict and margins over the range. %.*s", TEXT_ARG(says)));
    return arena_status(arena);
}
