/* SPDX-License-Identifier: MIT */
/* What stands around a picture: its heading, its notes, and the bar that says the scale.
 */
#include "drawing.h"
#include "html_writer.h"

#include <string.h>

#define NOTE_SIZE 11.0
#define NOTE_ROW  15.0

static bool keep_bytes(void *context, const char *bytes, size_t length)
{
    struct drawing *drawing = context;
    while (drawing->bytes.room - drawing->bytes.count < length) {
        if (!array_grow(drawing->arena, (void **)&drawing->bytes.at, drawing->bytes.room,
                        &drawing->bytes.room, 1)) {
            return false;
        }
    }
    memcpy(drawing->bytes.at + drawing->bytes.count, bytes, length);
    drawing->bytes.count += (uint32_t)length;
    return true;
}

void drawing_open(struct drawing *drawing, struct writer *out, double width)
{
    *drawing = (struct drawing){.arena = out->arena, .width = width, .out = out};
    drawing->body = (struct writer){
        .sink = keep_bytes, .context = drawing, .arena = out->arena, .width = out->width};
    drawing->svg.writer = &drawing->body;
}

void drawing_close(struct drawing *drawing, const struct svg_manner *manner,
                   double height, text title, text description)
{
    struct svg svg = {.writer = drawing->out};
    svg_begin(&svg, manner, drawing->width, height, title, description);
    write_text(drawing->out, (text){drawing->bytes.at, drawing->bytes.count});
    svg_finish(&svg);
}

double draw_heading(struct drawing *drawing, text title, const text *lines,
                    uint32_t line_count)
{
    double y = 10;
    const text *titles = NULL;
    const uint32_t title_count =
        words_break(drawing->arena, title, 18, drawing->width - 2 * PAGE_MARGIN, &titles);
    for (uint32_t i = 0; i < title_count; i++) {
        y += 24;
        draw_words(drawing, PAGE_MARGIN, y,
                   (struct lettering){18, ANCHOR_START, true, false}, titles[i]);
    }
    for (uint32_t i = 0; i < line_count; i++) {
        const text *broken = NULL;
        const uint32_t count = words_break(drawing->arena, lines[i], 13,
                                           drawing->width - 2 * PAGE_MARGIN, &broken);
        for (uint32_t k = 0; k < count; k++) {
            y += 19;
            draw_words(drawing, PAGE_MARGIN, y,
                       (struct lettering){13, ANCHOR_START, false, false}, broken[k]);
        }
    }
    return y + 14;
}

static uint32_t break_note(struct arena *arena, double width, text note,
                           const text **lines)
{
    return words_break(arena, note, NOTE_SIZE, width - 2 * PAGE_MARGIN - 16, lines);
}

double draw_notes(struct drawing *drawing, double y, const text *notes, uint32_t count)
{
    for (uint32_t i = 0; i < count; i++) {
        const text *lines = NULL;
        const uint32_t line_count =
            break_note(drawing->arena, drawing->width, notes[i], &lines);
        draw_line(drawing, PAGE_MARGIN, y + NOTE_ROW - 4, PAGE_MARGIN + 8,
                  y + NOTE_ROW - 4, STROKE_NARROW);
        for (uint32_t k = 0; k < line_count; k++) {
            y += NOTE_ROW;
            draw_words(drawing, PAGE_MARGIN + 16, y,
                       (struct lettering){NOTE_SIZE, ANCHOR_START, false, false},
                       lines[k]);
        }
    }
    return y;
}

void drawing_end(struct drawing *drawing, const struct svg_manner *manner, double y,
                 const struct drawing_words *words)
{
    if (manner->is_embedded) {
        drawing_close(drawing, manner, y + 12, words->title, words->description);
        html_list(drawing->out, "note", words->notes, words->note_count);
        return;
    }
    y = draw_notes(drawing, y, words->notes, words->note_count);
    drawing_close(drawing, manner, y + 24, words->title, words->description);
}

/* A round number of millimetres that is some 100 long on the page. */
static double bar_length(double scale)
{
    static const double rounds[] = {1, 2, 5, 10, 20, 50, 100, 200, 500, 1000};
    for (size_t i = 0; i < sizeof rounds / sizeof *rounds; i++) {
        if (rounds[i] * scale >= 60) {
            return rounds[i];
        }
    }
    return 1000;
}

void draw_scale_bar(struct drawing *drawing, double x, double y, double scale)
{
    const double length = bar_length(scale);
    const double end = x + length * scale;
    draw_line(drawing, x, y, end, y, STROKE_WIDE);
    draw_line(drawing, x, y - 4, x, y + 4, STROKE_NARROW);
    draw_line(drawing, end, y - 4, end, y + 4, STROKE_NARROW);
    draw_line(drawing, x + length * scale / 2, y - 3, x + length * scale / 2, y,
              STROKE_NARROW);
    draw_words(drawing, end + 8, y + 4,
               (struct lettering){LETTER, ANCHOR_START, false, false},
               text_format(drawing->arena, "%d mm", (int)length));
}
