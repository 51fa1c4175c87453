/* SPDX-License-Identifier: MIT */
/*
 * Margins against zero. Each check has a row with a scale of its own, since some are
 * millimetres and some are newtons: what is compared in a row is how far it stays from
 * zero and how wide it is. What came of it is told by the shape of its mark and by a
 * word.
 */
#include "drawing.h"

#include <math.h>

#define ROW_HIGH  36.0
#define ZERO_X    620.0
#define HALF_WIDE 190.0
#define VALUE_X   840.0

/* A page's share of rows; what is left out is said. */
enum {
    MOST_ROWS = 120
};

static double on_page(double value, double most)
{
    return ZERO_X + fmax(-1, fmin(1, value / most)) * HALF_WIDE;
}

/* The farthest that is drawn: infinite ends do not count. */
static double most_of(const struct form *margin, double nominal)
{
    double most = isnan(nominal) ? 0 : fabs(nominal);
    most = isfinite(margin->least) ? fmax(most, fabs(margin->least)) : most;
    most = isfinite(margin->greatest) ? fmax(most, fabs(margin->greatest)) : most;
    return most > 0 ? most * 1.08 : 1;
}

static void draw_outcome(struct drawing *drawing, double x, double y,
                         enum outcome outcome)
{
    struct svg *svg = &drawing->svg;
    switch (outcome) {
    case OUTCOME_HOLDS:
        svg_open(svg, "circle");
        svg_number(svg, "cx", x);
        svg_number(svg, "cy", y);
        svg_number(svg, "r", 5);
        svg_word(svg, "fill", TEXT("#1a1a1a"));
        svg_done(svg);
        return;
    case OUTCOME_FAILS:
        draw_line(drawing, x - 5, y - 5, x + 5, y + 5, STROKE_MARK);
        draw_line(drawing, x - 5, y + 5, x + 5, y - 5, STROKE_MARK);
        return;
    case OUTCOME_UNSURE:
    case OUTCOME_UNKNOWN:
        break;
    }
    svg_open(svg, "path");
    svg_path(svg);
    svg_move(svg, x, y - 7);
    svg_line(svg, x + 7, y);
    svg_line(svg, x, y + 7);
    svg_line(svg, x - 7, y);
    svg_path_done(svg, true);
    svg_word(svg, "fill", TEXT("#ffffff"));
    stroke_with(drawing, outcome == OUTCOME_UNSURE ? STROKE_WIDE : STROKE_DASHED);
    svg_done(svg);
    if (outcome == OUTCOME_UNKNOWN) {
        draw_words(drawing, x, y + 4, (struct lettering){11, ANCHOR_MIDDLE, true, false},
                   TEXT("?"));
    }
}

/* The range as a bar; an end without bound is an arrow. */
static void draw_range(struct drawing *drawing, double y, const struct form *margin,
                       double most)
{
    struct svg *svg = &drawing->svg;
    const double left = on_page(margin->least, most);
    const double right = on_page(margin->greatest, most);
    svg_open(svg, "rect");
    svg_number(svg, "x", left);
    svg_number(svg, "y", y - 4);
    svg_number(svg, "width", fmax(right - left, 1));
    svg_number(svg, "height", 8);
    svg_word(svg, "fill", TEXT("#d9d9d9"));
    stroke_with(drawing, STROKE_NARROW);
    svg_done(svg);
    if (!isfinite(margin->least)) {
        draw_arrow(drawing, left - 9, y, left, y, STROKE_NARROW);
    }
    if (!isfinite(margin->greatest)) {
        draw_arrow(drawing, right + 9, y, right, y, STROKE_NARROW);
    }
}

static text shortened(struct arena *arena, text words, double size, double width)
{
    const size_t most = (size_t)(width / (0.62 * size));
    return text_columns(words) <= most
               ? words
               : text_format(arena, "%.*s…", TEXT_ARG(text_slice(words, 0, most - 1)));
}

static void draw_finding(struct drawing *drawing, double y, const struct finding *finding)
{
    struct svg *svg = &drawing->svg;
    const struct form *margin = finding->margin;
    double nominal = NAN;
    (void)form_nominal(margin, &nominal);
    const double most = most_of(margin, nominal);
    const bool is_inside = nominal >= margin->least && nominal <= margin->greatest;
    const double middle = is_inside ? nominal
                          : isfinite(margin->least) && isfinite(margin->greatest)
                              ? (margin->least + margin->greatest) / 2
                          : isfinite(margin->greatest) ? margin->greatest
                          : isfinite(margin->least)    ? margin->least
                                                       : 0;
    struct unit unit = {.scale = 1};
    (void)unit_shown(margin->dim, &unit);
    svg_open(svg, "g");
    svg_word(svg, "data-rule", finding->name);
    svg_word(svg, "data-outcome", text_of(outcome_word(finding->outcome)));
    svg_length(svg, "data-least", unit_from_coherent(&unit, margin->least));
    svg_length(svg, "data-greatest", unit_from_coherent(&unit, margin->greatest));
    svg_into(svg);
    draw_words(
        drawing, PAGE_MARGIN, y,
        (struct lettering){LETTER, ANCHOR_START, true, finding->outcome == OUTCOME_FAILS},
        text_of(outcome_word(finding->outcome)));
    draw_words(drawing, PAGE_MARGIN + 76, y,
               (struct lettering){LETTER, ANCHOR_START, false, false},
               shortened(drawing->arena, finding->name, LETTER, 310));
    draw_words(
        drawing, PAGE_MARGIN + 76, y + 13,
        (struct lettering){10, ANCHOR_START, false, false},
        shortened(drawing->arena, render_subject(drawing->arena, finding), 10, 310));
    draw_range(drawing, y - 2, margin, most);
    draw_outcome(drawing, on_page(middle, most), y - 2, finding->outcome);
    draw_words(drawing, VALUE_X, y + 2,
               (struct lettering){LETTER, ANCHOR_START, false, false},
               shortened(drawing->arena, form_write(drawing->arena, margin), LETTER,
                         drawing->width - VALUE_X - PAGE_MARGIN / 2));
    svg_close(svg, "g");
}

static void draw_zero(struct drawing *drawing, double top, double bottom)
{
    draw_line(drawing, ZERO_X, top, ZERO_X, bottom, STROKE_WIDE);
    draw_words(drawing, ZERO_X, top - 6,
               (struct lettering){LETTER, ANCHOR_MIDDLE, true, false}, TEXT("0"));
    draw_words(drawing, ZERO_X - 16, top - 6,
               (struct lettering){11, ANCHOR_END, false, false}, TEXT("short of it"));
    draw_words(drawing, ZERO_X + 16, top - 6,
               (struct lettering){11, ANCHOR_START, false, false}, TEXT("to spare"));
}

static text description(struct arena *arena, const struct answer *answer)
{
    uint32_t counts[4] = {0};
    for (uint32_t i = 0; i < answer->finding_count; i++) {
        const struct finding *finding = &answer->findings[i];
        if (finding->counts) {
            counts[finding->outcome]++;
        }
    }
    return text_format(arena,
                       "Margins of the checks that the swap can have changed, against "
                       "zero: %u hold, %u fail, %u are unsure, %u unknown.",
                       counts[OUTCOME_HOLDS], counts[OUTCOME_FAILS],
                       counts[OUTCOME_UNSURE], counts[OUTCOME_UNKNOWN]);
}

static bool is_shown(const struct finding *finding)
{
    return finding->counts && finding->margin != NULL;
}

status render_margins_svg(struct writer *writer, const struct answer *answer,
                          const struct svg_manner *manner)
{
    struct arena *arena = writer->arena;
    struct drawing drawing;
    uint32_t shown = 0;
    uint32_t left_out = 0;
    const text says = description(arena, answer);
    const text title = text_format(arena, "%.*s: margins", TEXT_ARG(answer->unit));
    const text changes = render_pairs(arena, answer->changes, answer->change_count);
    const text lines[] = {
        text_format(arena, "%s: %.*s", verdict_word(answer->verdict),
                    TEXT_ARG(changes.length > 0 ? changes : TEXT("no change"))),
        says};
    drawing_open(&drawing, writer, PAGE_WIDTH);
    const double top = draw_heading(&drawing, title, lines, 2) + 26;
    double y = top - 8;
    for (uint32_t i = 0; i < answer->finding_count; i++) {
        left_out += is_shown(&answer->findings[i]) && shown >= MOST_ROWS ? 1 : 0;
        if (is_shown(&answer->findings[i]) && shown < MOST_ROWS) {
            shown++;
            y += ROW_HIGH;
            draw_line(&drawing, PAGE_MARGIN, y + 20, drawing.width - PAGE_MARGIN, y + 20,
                      STROKE_FAINT);
        }
    }
    draw_zero(&drawing, top, y + 20);
    y = top - 8;
    shown = 0;
    for (uint32_t i = 0; i < answer->finding_count; i++) {
        if (is_shown(&answer->findings[i]) && shown < MOST_ROWS) {
            shown++;
            y += ROW_HIGH;
            draw_finding(&drawing, y, &answer->findings[i]);
        }
    }
    const text notes[] = {
        TEXT("Each row has a scale of its own. The bar is the whole range that "
             "tolerances leave; an arrow at its end: nothing bounds it."),
        TEXT("Filled circle: holds. Cross: fails. Open diamond: unsure. Dashed diamond "
             "with a question mark: unknown."),
        left_out == 0 ? answer->caution
                      : text_format(arena, "%u more are not drawn. %.*s", left_out,
                                    TEXT_ARG(answer->caution))};
    y = draw_notes(&drawing, y + 32, notes, 3);
    drawing_close(&drawing, manner, y + 24, title, says);
    return arena_status(arena);
}
