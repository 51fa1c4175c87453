/* SPDX-License-Identifier: MIT */
/*
 * The loop behind a gap. Each dimension is an arrow from where the one before it ends, to
 * one scale; the wide arrow closes the loop and is the gap. Beside each stand its value
 * with limits and its share of the gap's range; below, larger, the gap against what is
 * wanted of it.
 */
#include "drawing.h"
#include "stack.h"

#include <math.h>

#define CHAIN_LEFT 330.0
#define CHAIN_WIDE 420.0
#define VALUE_LEFT 775.0
#define SHARE_LEFT 955.0
#define SHARE_WIDE 90.0
#define LINK_HIGH  26.0

/* The chain's scale: x of a length from the loop's start. */
struct chain_scale {
    double least;
    double by;
};

static double chain_x(const struct chain_scale *scale, double at)
{
    return CHAIN_LEFT + (at - scale->least) * scale->by;
}

static double length_of(const struct stack_link *link)
{
    return isnan(link->of->nominal) ? 0 : link->by * link->of->nominal;
}

static struct chain_scale chain_scale_of(const struct stack *stack)
{
    double at = stack->exact;
    double least = fmin(0, at);
    double most = fmax(0, at);
    for (uint32_t i = 0; i < stack->link_count; i++) {
        at += length_of(&stack->links[i]);
        least = fmin(least, at);
        most = fmax(most, at);
    }
    return (struct chain_scale){least, most > least ? CHAIN_WIDE / (most - least) : 0};
}

static void draw_share(struct drawing *drawing, double y, double share)
{
    struct svg *svg = &drawing->svg;
    svg_open(svg, "rect");
    svg_number(svg, "x", SHARE_LEFT);
    svg_number(svg, "y", y - 9);
    svg_number(svg, "width", SHARE_WIDE * fmin(share, 1));
    svg_number(svg, "height", 9);
    svg_word(svg, "fill", TEXT("#8a8a8a"));
    svg_done(svg);
    draw_words(drawing, SHARE_LEFT + SHARE_WIDE + 8, y,
               (struct lettering){LETTER, ANCHOR_START, false, false},
               text_format(drawing->arena, "%d %%", (int)(share * 100 + 0.5)));
}

/* One dimension: from where the loop has come to, to where it goes on. */
static double draw_link(struct drawing *drawing, const struct chain_scale *scale,
                        double at, double length, double y, bool is_missing)
{
    const double from = chain_x(scale, at);
    const double to = chain_x(scale, at + length);
    if (is_missing) {
        draw_line(drawing, from, y - 4, from + 40, y - 4, STROKE_DASHED);
        draw_words(drawing, from + 48, y,
                   (struct lettering){14, ANCHOR_START, true, false}, TEXT("?"));
    } else {
        draw_line(drawing, from, y - 4, to, y - 4, STROKE_WIDE);
        draw_arrow(drawing, to, y - 4, from, y - 4, STROKE_NARROW);
    }
    draw_line(drawing, to, y - 8, to, y + LINK_HIGH, STROKE_NARROW);
    return at + length;
}

/* "- 17 +0/-0.12 mm"; of a dimension that is negative itself what it adds, too. */
static text link_words(struct arena *arena, const struct stack_link *link)
{
    if (isnan(link->of->nominal)) {
        return TEXT("not recorded");
    }
    const text stated = stated_write(arena, link->of);
    return link->of->nominal >= 0
               ? text_format(arena, "%s %.*s", link->by < 0 ? "-" : "+", TEXT_ARG(stated))
               : text_format(arena, "%s %.*s (%.*s)", link->by < 0 ? "+" : "-",
                             TEXT_ARG(magnitude_write(arena, link->of->dim,
                                                      -link->of->nominal, -1)),
                             TEXT_ARG(stated));
}

static double draw_links(struct drawing *drawing, const struct stack *stack,
                         const struct chain_scale *scale, double y)
{
    const struct dimension dim = stack->size->dim;
    double at = 0;
    const double top = y;
    for (uint32_t i = 0; i < stack->link_count; i++) {
        const struct stack_link *link = &stack->links[i];
        const bool is_missing = isnan(link->of->nominal);
        struct unit unit = {.scale = 1};
        (void)unit_shown(dim, &unit);
        y += LINK_HIGH;
        svg_open(&drawing->svg, "g");
        svg_word(&drawing->svg, "data-link", link->of->name);
        svg_length(&drawing->svg, "data-by", link->by);
        svg_length(&drawing->svg, "data-nominal",
                   unit_from_coherent(&unit, link->of->nominal));
        svg_into(&drawing->svg);
        draw_words(drawing, PAGE_MARGIN, y,
                   (struct lettering){LETTER, ANCHOR_START, false, false},
                   link->of->name);
        at = draw_link(drawing, scale, at, length_of(link), y, is_missing);
        draw_words(drawing, VALUE_LEFT, y,
                   (struct lettering){LETTER, ANCHOR_START, false, false},
                   link_words(drawing->arena, link));
        draw_share(drawing, y, link->share);
        svg_close(&drawing->svg, "g");
    }
    if (stack->exact != 0) {
        y += LINK_HIGH;
        draw_words(drawing, PAGE_MARGIN, y,
                   (struct lettering){LETTER, ANCHOR_START, false, false},
                   TEXT("all that has no limits"));
        at = draw_link(drawing, scale, at, stack->exact, y, false);
        draw_words(drawing, VALUE_LEFT, y,
                   (struct lettering){LETTER, ANCHOR_START, false, false},
                   magnitude_write(drawing->arena, dim, stack->exact, -1));
    }
    const double start = chain_x(scale, 0);
    const double end = chain_x(scale, at);
    y += LINK_HIGH + 4;
    draw_line(drawing, start, top + 8, start, y + 4, STROKE_NARROW);
    draw_line(drawing, start, y - 4, end, y - 4, STROKE_MARK);
    draw_arrow(drawing, end, y - 4, end - (end < start ? -1 : 1), y - 4, STROKE_MARK);
    draw_words(drawing, PAGE_MARGIN, y,
               (struct lettering){LETTER, ANCHOR_START, true, false},
               text_format(drawing->arena, "%.*s, what is left", TEXT_ARG(stack->gap)));
    draw_words(drawing, VALUE_LEFT, y,
               (struct lettering){LETTER, ANCHOR_START, true, false},
               form_write(drawing->arena, stack->size));
    return y;
}

/* ---- the gap against what is wanted */

static double bound_of(const struct form *form, bool is_least)
{
    return form == NULL || form_misses(form) ? NAN
           : is_least                        ? form->least
                                             : form->greatest;
}

struct want {
    double least;
    double greatest;
    double low; /* what the scale shows */
    double high;
};

static struct want want_of(const struct stack *stack)
{
    struct want want = {bound_of(stack->want_least, true),
                        bound_of(stack->want_greatest, false), INFINITY, -INFINITY};
    const double ends[] = {want.least, want.greatest, stack->size->least,
                           stack->size->greatest};
    for (size_t i = 0; i < sizeof ends / sizeof *ends; i++) {
        if (isfinite(ends[i])) {
            want.low = fmin(want.low, ends[i]);
            want.high = fmax(want.high, ends[i]);
        }
    }
    const double edge = 0.12 * fmax(want.high - want.low, 1e4);
    want.low -= edge;
    want.high += edge;
    return want;
}

static double want_x(const struct want *want, double at)
{
    return CHAIN_LEFT + (fmax(want->low, fmin(want->high, at)) - want->low) /
                            (want->high - want->low) * CHAIN_WIDE;
}

static void draw_bar(struct drawing *drawing, const struct want *want, double y,
                     double least, double greatest, bool is_wanted)
{
    const double left = want_x(want, isfinite(least) ? least : want->low);
    const double right = want_x(want, isfinite(greatest) ? greatest : want->high);
    struct svg *svg = &drawing->svg;
    svg_open(svg, "rect");
    svg_number(svg, "x", left);
    svg_number(svg, "y", y - 11);
    svg_number(svg, "width", fmax(right - left, 1.5));
    svg_number(svg, "height", 12);
    svg_word(svg, "fill", is_wanted ? TEXT("#ffffff") : TEXT("#8a8a8a"));
    stroke_with(drawing, STROKE_NARROW);
    svg_done(svg);
    if (is_wanted) {
        const struct page_point corners[] = {
            {left, y - 11}, {right, y - 11}, {right, y + 1}, {left, y + 1}};
        draw_hatching(drawing, corners, 4, (struct hatch){45, 5});
    }
}

static text wanted_words(struct arena *arena, const struct stack *stack,
                         const struct want *want)
{
    const struct dimension dim = stack->size->dim;
    const text least =
        isfinite(want->least) ? magnitude_write(arena, dim, want->least, -1) : TEXT("");
    const text most = isfinite(want->greatest)
                          ? magnitude_write(arena, dim, want->greatest, -1)
                          : TEXT("");
    return least.length > 0 && most.length > 0
               ? text_format(arena, "%.*s to %.*s", TEXT_ARG(least), TEXT_ARG(most))
           : least.length > 0 ? text_format(arena, "at least %.*s", TEXT_ARG(least))
                              : text_format(arena, "at most %.*s", TEXT_ARG(most));
}

static double draw_want(struct drawing *drawing, const struct stack *stack, double y)
{
    const struct want want = want_of(stack);
    const bool is_wanted = isfinite(want.least) || isfinite(want.greatest);
    y += 40;
    draw_words(drawing, PAGE_MARGIN, y,
               (struct lettering){LETTER, ANCHOR_START, true, false},
               TEXT("Larger: what it may come to"));
    draw_bar(drawing, &want, y, stack->size->least, stack->size->greatest, false);
    draw_words(drawing, VALUE_LEFT, y,
               (struct lettering){LETTER, ANCHOR_START, false, false},
               form_write(drawing->arena, stack->size));
    if (is_wanted) {
        y += 22;
        draw_words(drawing, PAGE_MARGIN, y,
                   (struct lettering){LETTER, ANCHOR_START, true, false},
                   TEXT("what is wanted"));
        draw_bar(drawing, &want, y, want.least, want.greatest, true);
        draw_words(drawing, VALUE_LEFT, y,
                   (struct lettering){LETTER, ANCHOR_START, false, false},
                   wanted_words(drawing->arena, stack, &want));
    }
    if (want.low < 0 && want.high > 0) {
        draw_line(drawing, want_x(&want, 0), y - 38, want_x(&want, 0), y + 8,
                  STROKE_CHAIN);
        draw_words(drawing, want_x(&want, 0), y + 20,
                   (struct lettering){11, ANCHOR_MIDDLE, false, false}, TEXT("0"));
    }
    return y + 24;
}

static text before_words(struct arena *arena, const struct stack *stack)
{
    return stack->before == NULL
               ? text_format(arena, "From %.*s to %.*s.", TEXT_ARG(stack->from),
                             TEXT_ARG(stack->to))
               : text_format(arena, "From %.*s to %.*s. Before the change: %.*s.",
                             TEXT_ARG(stack->from), TEXT_ARG(stack->to),
                             TEXT_ARG(form_write(arena, stack->before)));
}

status render_stack_svg(struct writer *writer, const struct answer *answer, text gap,
                        const struct svg_manner *manner)
{
    struct arena *arena = writer->arena;
    struct stack stack;
    struct drawing drawing;
    TRY(stack_answer(arena, answer, gap, &stack));
    const text title = text_format(arena, "%.*s: the loop behind %.*s",
                                   TEXT_ARG(answer->unit), TEXT_ARG(gap));
    const text changes = render_pairs(arena, answer->changes, answer->change_count);
    const text lines[] = {
        text_format(arena, "with %.*s",
                    TEXT_ARG(changes.length > 0 ? changes : TEXT("no change"))),
        before_words(arena, &stack)};
    const struct chain_scale scale = chain_scale_of(&stack);
    drawing_open(&drawing, writer, PAGE_WIDTH);
    double y = draw_heading(&drawing, title, lines, 2) + 20;
    draw_words(&drawing, PAGE_MARGIN, y,
               (struct lettering){11, ANCHOR_START, true, false}, TEXT("dimension"));
    draw_words(&drawing, CHAIN_LEFT, y, (struct lettering){11, ANCHOR_START, true, false},
               TEXT("along the axis, outboard to the right"));
    draw_words(&drawing, VALUE_LEFT, y, (struct lettering){11, ANCHOR_START, true, false},
               TEXT("with its limits"));
    draw_words(&drawing, SHARE_LEFT, y, (struct lettering){11, ANCHOR_START, true, false},
               TEXT("share of the range"));
    y = draw_links(&drawing, &stack, &scale, y);
    y = draw_want(&drawing, &stack, y);
    const text notes[] = {
        TEXT("Worst case: every dimension anywhere within its limits. Shares are of the "
             "width of that range."),
        answer->caution};
    y = draw_notes(&drawing, y, notes, 2);
    drawing_close(&drawing, manner, y + 24, title,
                  text_format(arena, "%u dimensions in a loop leave %.*s as %.*s.",
                              stack.link_count, TEXT_ARG(gap),
                              TEXT_ARG(form_write(arena, stack.size))));
    return arena_status(arena);
}
