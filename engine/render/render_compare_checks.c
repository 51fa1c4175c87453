/* SPDX-License-Identifier: MIT */
/* How the checks come out with the first and with the second, and the figures that the
 * vocabulary marks. */
#include "render_compare.h"

/* ---- how checks and figures come out */

static text outcome_text(struct arena *arena, const struct finding *finding,
                         enum outcome outcome)
{
    const text margin = finding == NULL ? TEXT("") : render_margin(arena, finding);
    return finding == NULL ? TEXT("not asked")
           : margin.length == 0 || text_is(margin, "0")
               ? text_of(outcome_word(outcome))
               : text_format(arena, "%s%s%.*s",
                             outcome == OUTCOME_HOLDS ? "" : outcome_word(outcome),
                             outcome == OUTCOME_HOLDS ? "" : ", ", TEXT_ARG(margin));
}

static text check_sentence(struct arena *arena, const struct compared_check *check)
{
    const struct finding *any = check->first != NULL ? check->first : check->second;
    return text_format(
        arena, "%.*s: %.*s: first %.*s; second %.*s%s", TEXT_ARG(any->name),
        TEXT_ARG(render_subject(arena, any)),
        TEXT_ARG(outcome_text(arena, check->first, check->first_outcome)),
        TEXT_ARG(outcome_text(arena, check->second, check->second_outcome)),
        any->weight == WEIGHT_CAUTIONS ? " (a caution)" : "");
}

/* A check of the swap itself is told where it does not hold. */
static bool is_shown(const struct compared_check *check, enum check_change change,
                     uint32_t seat)
{
    return check->change == change && check->seat == seat &&
           (change != CHECK_OF_SWAP ||
            (check->first != NULL && check->first_outcome != OUTCOME_HOLDS) ||
            (check->second != NULL && check->second_outcome != OUTCOME_HOLDS));
}

static const char *lead_of(enum check_change change)
{
    return change == CHECK_ASKED_OF_FIRST || change == CHECK_ASKED_OF_SECOND ? "only"
           : change == CHECK_OPEN                                            ? "open"
           : change == CHECK_OF_SWAP                                         ? "swap"
                                     : check_change_word(change);
}

static void checks_of(struct arena *arena, const struct comparison *of, uint32_t seat,
                      enum check_change change, compare_lines *lines)
{
    for (uint32_t i = 0; i < of->check_count; i++) {
        if (is_shown(&of->checks[i], change, seat)) {
            compare_say(arena, lines, text_of(lead_of(change)),
                        check_sentence(arena, &of->checks[i]), (text){"", 0});
        }
    }
}

static void figures_of(struct arena *arena, const struct comparison *of, uint32_t seat,
                       compare_lines *lines)
{
    for (uint32_t i = 0; i < of->figure_count; i++) {
        const struct compared_figure *figure = &of->figures[i];
        if (figure->seat != seat) {
            continue;
        }
        const text first = compared_nominal(arena, figure->first);
        const text second = compared_nominal(arena, figure->second);
        const bool is_same = figure->change == CHECK_SAME;
        compare_say(arena, lines,
                    figure->better == BETTER_NEITHER || is_same
                        ? TEXT("figure")
                        : text_of(check_change_word(figure->change)),
                    is_same ? text_format(arena, "%.*s: %.*s, as before",
                                          TEXT_ARG(figure->of), TEXT_ARG(first))
                            : text_format(arena, "%.*s: first %.*s; second %.*s",
                                          TEXT_ARG(figure->of), TEXT_ARG(first),
                                          TEXT_ARG(second)),
                    (text){"", 0});
    }
}

uint32_t compare_same_checks(const struct comparison *of, uint32_t seat)
{
    uint32_t count = 0;
    for (uint32_t i = 0; i < of->check_count; i++) {
        count += of->checks[i].change == CHECK_SAME && of->checks[i].seat == seat ? 1 : 0;
    }
    return count;
}

void compare_checks(struct arena *arena, const struct comparison *of, uint32_t seat,
                    compare_lines *lines)
{
    static const enum check_change order[] = {CHECK_WORSE,          CHECK_BETTER,
                                              CHECK_ASKED_OF_FIRST, CHECK_ASKED_OF_SECOND,
                                              CHECK_OPEN,           CHECK_OF_SWAP};
    for (size_t i = 0; i < sizeof order / sizeof *order; i++) {
        checks_of(arena, of, seat, order[i], lines);
    }
    figures_of(arena, of, seat, lines);
}

/* ---- seats */

text compare_seat_words(struct arena *arena, const struct comparison *of,
                        const struct compared_seat *seat)
{
    const text put_in = seat->holds_second ? of->first : of->second;
    return text_format(
        arena, "In %.*s, which holds the %s, with the %s put in (%.*s=%.*s)",
        TEXT_ARG(seat->unit), seat->holds_second ? "second" : "first",
        seat->holds_second ? "first" : "second", TEXT_ARG(seat->place), TEXT_ARG(put_in));
}

text compare_seats_left_out(struct arena *arena, const struct comparison *of)
{
    return of->seats_left_out > 0
               ? text_format(arena,
                             "%u more places hold one of the two; they were not tried",
                             of->seats_left_out)
           : of->seat_count == 0 && !text_equal(of->first, of->second)
               ? TEXT("neither sits in a unit that was loaded: which checks the "
                      "differences touch is not known")
               : TEXT("");
}
