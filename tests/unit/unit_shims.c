/* SPDX-License-Identifier: MIT */
/*
 * Every shimmed gearbox whose stock reaches, in steps finer than the want, fits with work
 * and names the shim. Five hundred made-up gearboxes are asked; what should come out is
 * worked out here from their numbers alone, in whole hundredths of a millimetre.
 */
#include "dice.h"
#include "whyfit.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

enum {
    GEARBOXES = 500,
    TEXT_ROOM = 600000
};

/* In hundredths: a block on shims in a frame, with room wanted above the block. */
struct gearbox {
    int ceiling, ceiling_within;
    int host, block, block_within; /* the block taken out, the one put in */
    int thin, thick, step;
    int least, greatest;
};

static struct gearbox make_gearbox(struct dice *dice)
{
    struct gearbox made = {.ceiling = 2000 + (int)dice_below(dice, 2000),
                           .ceiling_within = (int)dice_below(dice, 12),
                           .block_within = (int)dice_below(dice, 12),
                           .thin = 5 + (int)dice_below(dice, 60)};
    made.thick = made.thin + 10 + (int)dice_below(dice, 120);
    made.step = 1 + (int)dice_below(dice, 15);
    made.least = (int)dice_below(dice, 40) - 10;
    made.greatest = made.least + 2 + (int)dice_below(dice, 25);
    /* Mostly within reach, sometimes beyond it. */
    const int middle = (made.least + made.greatest + made.thin + made.thick) / 2;
    made.host = made.ceiling - middle;
    made.block = made.host + (int)dice_below(dice, 160) - 80;
    return made;
}

static size_t add_part(char *at, const char *name, int number, const char *kind,
                       const char *faces)
{
    return (size_t)sprintf(at,
                           "  - {part: %s-%d, kind: %s, source: made up, datum: in,\n"
                           "     faces: {in: {at: 0 mm, looks: in}, %s}}\n",
                           name, number, kind, faces);
}

/* "out: {at: 12.34 ±0.05 mm, looks: out}" */
static const char *face(char *room, const char *name, int at, int within,
                        const char *looks)
{
    (void)sprintf(room, "%s: {at: %d.%02d ±%d.%02d mm, looks: %s}", name, at / 100,
                  at % 100, within / 100, within % 100, looks);
    return room;
}

static size_t write_gearbox(char *at, const struct gearbox *one, int number)
{
    char room[200];
    char stock[200];
    size_t used = 0;
    used += (size_t)sprintf(
        at + used,
        "  - {part: frame-%d, kind: still, source: made up, datum: "
        "floor,\n     faces: {floor: {at: 0 mm, looks: out}, %s}}\n",
        number, face(room, "ceiling", one->ceiling, one->ceiling_within, "in"));
    used += add_part(at + used, "old", number, "block",
                     face(room, "out", one->host, 0, "out"));
    used += add_part(at + used, "new", number, "block",
                     face(room, "out", one->block, one->block_within, "out"));
    (void)sprintf(stock, "out: {at: in +%d.%02d..%d.%02d mm, looks: out}",
                  one->thin / 100, one->thin % 100, one->thick / 100, one->thick % 100);
    used += (size_t)sprintf(at + used,
                            "  - {part: shims-%d, kind: shim-stock, source: made up, "
                            "step: 0.%02d mm, datum: in,\n"
                            "     faces: {in: {at: 0 mm, looks: in}, %s}}\n",
                            number, one->step, stock);
    return used;
}

static size_t write_unit(char *at, const struct gearbox *one, int number)
{
    return (size_t)sprintf(
        at,
        "  - unit: box-%d\n    source: made up\n"
        "    places: {frame: frame-%d, shims: shims-%d, block: old-%d}\n"
        "    contacts: [shims.in = frame.floor, block.in = shims.out]\n"
        "    gaps: {room: {between: [block.out, frame.ceiling], want: %.2f..%.2f mm, "
        "set-by: {shims: shims-%d}}}\n",
        number, number, number, number, one->least / 100.0, one->greatest / 100.0,
        number);
}

/* With the thinnest shim the gap may not be too small, with the thickest not too large.
 * Steps too coarse for the want are the host's too, and not made worse. */
static whyfit_verdict wanted_verdict(const struct gearbox *one)
{
    const int within = one->ceiling_within + one->block_within;
    const int size = one->ceiling - one->block;
    const int too_small = one->least - (size - one->thin);
    const int too_large = size - one->thick - one->greatest;
    if (too_small > within || too_large > within) {
        return WHYFIT_DOES_NOT_FIT;
    }
    return too_small > -within || too_large > -within ? WHYFIT_NOT_KNOWN
                                                      : WHYFIT_FITS_WITH_WORK;
}

static void check_shim(const struct gearbox *one, const whyfit_answer *answer, int number)
{
    const char *work = whyfit_answer_work(answer, 0);
    const char *start = work == NULL ? NULL : strstr(work, "start at ");
    double named = 0;
    char unit[8] = "";
    cr_assert_not_null(start, "box %d names no shim", number);
    cr_assert_eq(sscanf(start, "start at %lf %7[a-z]", &named, unit), 2);
    named = strcmp(unit, "um") == 0 ? named / 10.0 : named * 100.0;
    const double middle = (one->least + one->greatest) / 2.0;
    const double exact =
        fmin(fmax(one->ceiling - one->block - middle, one->thin), one->thick);
    cr_expect(fabs(named - exact) <= one->step + 1e-6,
              "box %d: shim %g, %g would be the middle, in steps of %d", number, named,
              exact, one->step);
    const double steps = (named - one->thin) / one->step;
    cr_expect(fabs(steps - round(steps)) < 1e-6 && named <= one->thick,
              "box %d: the stock has no shim of %g", number, named);
    cr_expect(strstr(work, "shims") != NULL);
}

Test(shims, every_shimmed_gearbox_comes_out_as_its_numbers_say, .timeout = 120)
{
    static struct gearbox boxes[GEARBOXES];
    static char content[TEXT_ROOM];
    struct dice dice = {.state = 20260101};
    size_t used = (size_t)sprintf(content, "parts:\n");
    for (int i = 0; i < GEARBOXES; i++) {
        boxes[i] = make_gearbox(&dice);
        used += write_gearbox(content + used, &boxes[i], i);
    }
    used += (size_t)sprintf(content + used, "units:\n");
    for (int i = 0; i < GEARBOXES; i++) {
        used += write_unit(content + used, &boxes[i], i);
        cr_assert_lt(used, TEXT_ROOM - 1000);
    }
    static const char kinds[] = "kinds:\n  still: {says: Stands still.}\n"
                                "  block: {says: A block., asks: "
                                "[set-gap-is-not-too-small]}\n";
    const whyfit_source sources[] = {
        {.name = WHYFIT_ROOT "/rules"},
        {.name = WHYFIT_ROOT "/facts"},
        {.name = "kinds", .content = kinds, .content_length = sizeof kinds - 1},
        {.name = "boxes", .content = content, .content_length = used}};
    whyfit_knowledge *knowledge = NULL;
    whyfit_asker *asker = NULL;
    unsigned seen[4] = {0};
    cr_assert_eq(whyfit_load(sources, 4, NULL, &knowledge, NULL), WHYFIT_OK);
    cr_assert_eq(whyfit_asker_open(knowledge, NULL, &asker), WHYFIT_OK);
    for (int i = 0; i < GEARBOXES; i++) {
        char unit[32];
        char part[32];
        (void)snprintf(unit, sizeof unit, "box-%d", i);
        (void)snprintf(part, sizeof part, "new-%d", i);
        const whyfit_pair change = {"block", part};
        whyfit_question question = WHYFIT_QUESTION;
        question.unit = unit;
        question.changes = &change;
        question.change_count = 1;
        whyfit_answer *answer = NULL;
        cr_assert_eq(whyfit_ask(asker, &question, &answer, NULL), WHYFIT_OK, "%s", unit);
        const whyfit_verdict got = whyfit_answer_verdict(answer);
        const whyfit_verdict wanted = wanted_verdict(&boxes[i]);
        cr_expect_eq(got, wanted, "%s: %s, wanted %s (%s)", unit,
                     whyfit_verdict_word(got), whyfit_verdict_word(wanted),
                     whyfit_answer_because(answer, 0));
        if (wanted == WHYFIT_FITS_WITH_WORK && got == wanted) {
            check_shim(&boxes[i], answer, i);
        }
        seen[wanted]++;
        whyfit_answer_free(answer);
    }
    cr_expect_gt(seen[WHYFIT_FITS_WITH_WORK], 60);
    cr_expect_gt(seen[WHYFIT_DOES_NOT_FIT], 60);
    cr_expect_gt(seen[WHYFIT_NOT_KNOWN], 10);
    whyfit_asker_free(asker);
    whyfit_knowledge_free(knowledge);
}
