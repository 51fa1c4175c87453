/* SPDX-License-Identifier: MIT */
/* Lines, arrows and letters. Two widths, two to one, as ISO 128 has it; what decided is
 * wider still, so that nothing is said by colour alone. */
#include "drawing.h"

#include <math.h>

#define INK      "#1a1a1a"
#define MARK_INK "#8f1d14"

void stroke_with(struct drawing *drawing, enum stroke stroke)
{
    static const struct {
        const char *ink;
        double width;
        const char *dashes;
    } manners[] = {[STROKE_WIDE] = {INK, 1.5, NULL},
                   [STROKE_NARROW] = {INK, 0.7, NULL},
                   [STROKE_DASHED] = {INK, 0.9, "5 3"},
                   [STROKE_CHAIN] = {INK, 0.8, "14 3 2 3"},
                   [STROKE_FAINT] = {"#b8b8b8", 0.5, NULL},
                   [STROKE_MARK] = {MARK_INK, 2.6, NULL},
                   [STROKE_MARK_DASHED] = {MARK_INK, 2.6, "6 4"}};
    svg_word(&drawing->svg, "stroke", text_of(manners[stroke].ink));
    svg_number(&drawing->svg, "stroke-width", manners[stroke].width);
    if (manners[stroke].dashes != NULL) {
        svg_word(&drawing->svg, "stroke-dasharray", text_of(manners[stroke].dashes));
    }
}

void draw_line(struct drawing *drawing, double x1, double y1, double x2, double y2,
               enum stroke stroke)
{
    svg_open(&drawing->svg, "path");
    svg_path(&drawing->svg);
    svg_move(&drawing->svg, x1, y1);
    svg_line(&drawing->svg, x2, y2);
    svg_path_done(&drawing->svg, false);
    stroke_with(drawing, stroke);
    svg_done(&drawing->svg);
}

void draw_arrow(struct drawing *drawing, double x, double y, double from_x, double from_y,
                enum stroke stroke)
{
    const double length = hypot(from_x - x, from_y - y);
    const double size = stroke == STROKE_MARK ? 11 : 8;
    const double along_x = length > 0 ? (from_x - x) / length : 1;
    const double along_y = length > 0 ? (from_y - y) / length : 0;
    svg_open(&drawing->svg, "path");
    svg_path(&drawing->svg);
    svg_move(&drawing->svg, x, y);
    svg_line(&drawing->svg, x + size * along_x - size / 4 * along_y,
             y + size * along_y + size / 4 * along_x);
    svg_line(&drawing->svg, x + size * along_x + size / 4 * along_y,
             y + size * along_y - size / 4 * along_x);
    svg_path_done(&drawing->svg, true);
    svg_word(&drawing->svg, "fill", stroke == STROKE_MARK ? TEXT(MARK_INK) : TEXT(INK));
    svg_done(&drawing->svg);
}

void draw_dot(struct drawing *drawing, double x, double y)
{
    svg_open(&drawing->svg, "circle");
    svg_number(&drawing->svg, "cx", x);
    svg_number(&drawing->svg, "cy", y);
    svg_number(&drawing->svg, "r", 2);
    svg_word(&drawing->svg, "fill", TEXT(INK));
    svg_done(&drawing->svg);
}

void draw_words(struct drawing *drawing, double x, double y, struct lettering how,
                text words)
{
    static const char *const anchors[] = {"start", "middle", "end"};
    svg_open(&drawing->svg, "text");
    svg_number(&drawing->svg, "x", x);
    svg_number(&drawing->svg, "y", y);
    svg_number(&drawing->svg, "font-size", how.size);
    if (how.anchor != ANCHOR_START) {
        svg_word(&drawing->svg, "text-anchor", text_of(anchors[how.anchor]));
    }
    if (how.is_bold) {
        svg_word(&drawing->svg, "font-weight", TEXT("bold"));
    }
    svg_word(&drawing->svg, "fill", how.is_mark ? TEXT(MARK_INK) : TEXT(INK));
    svg_word(&drawing->svg, "stroke", TEXT("#ffffff"));
    svg_word(&drawing->svg, "stroke-width", TEXT("3"));
    svg_word(&drawing->svg, "paint-order", TEXT("stroke"));
    svg_into(&drawing->svg);
    svg_say(&drawing->svg, words);
    svg_close(&drawing->svg, "text");
}

double words_width(text words, double size)
{
    return 0.62 * size * (double)text_columns(words);
}

uint32_t words_break(struct arena *arena, text words, double size, double width,
                     const text **lines)
{
    ARRAY_OF(text) all = {0};
    size_t from = 0;
    size_t end = 0;
    for (size_t at = 0; at <= words.length; at++) {
        if (at < words.length && words.at[at] != ' ') {
            continue;
        }
        if (end > from && words_width(text_slice(words, from, at), size) > width) {
            (void)ARRAY_PUSH(arena, &all, text_slice(words, from, end));
            from = end + 1;
        }
        end = at;
    }
    (void)ARRAY_PUSH(arena, &all, text_slice(words, from, words.length));
    *lines = all.at;
    return all.count;
}

void draw_dimension(struct drawing *drawing, double x1, double x2, double y, text words)
{
    const double left = fmin(x1, x2);
    const double right = fmax(x1, x2);
    const double width = words_width(words, LETTER);
    const bool has_room = right - left > 24;
    const double out = has_room ? 0 : 16;
    draw_line(drawing, left - out, y, right + out, y, STROKE_NARROW);
    draw_arrow(drawing, left, y, has_room ? right : left - 1, y, STROKE_NARROW);
    draw_arrow(drawing, right, y, has_room ? left : right + 1, y, STROKE_NARROW);
    if (right - left > width + 24) {
        draw_words(drawing, (left + right) / 2, y + 4,
                   (struct lettering){LETTER, ANCHOR_MIDDLE, false, false}, words);
    } else if (right + out + 6 + width < drawing->width - PAGE_MARGIN / 2) {
        draw_words(drawing, right + out + 6, y + 4,
                   (struct lettering){LETTER, ANCHOR_START, false, false}, words);
    } else {
        draw_words(drawing, left - out - 6, y + 4,
                   (struct lettering){LETTER, ANCHOR_END, false, false}, words);
    }
}
