/* SPDX-License-Identifier: MIT */
/*
 * Answers `identify`: candidates → what they record → what was seen → those that are left
 * and why the others fell out → what to look at next.
 */
#include "identify_private.h"

#include "ways.h"

#include <math.h>
#include <stdlib.h>

const char *look_kind_word(enum look_kind kind)
{
    static const char *const words[] = {"presence", "kind",  "part",
                                        "word",     "count", "quantity"};
    return words[kind];
}

/* ---- who falls out */

static double gap_between(const struct field *field, const struct spread *is,
                          const struct spread *seen)
{
    const bool is_number = is->known == KNOWN_VALUE && seen->known == KNOWN_VALUE &&
                           (field->kind == LOOK_COUNT || field->kind == LOOK_QUANTITY);
    const double gap = fmax(is->least - seen->greatest, seen->least - is->greatest);
    const double size = fmax(fabs(seen->least), fabs(seen->greatest));
    return is_number && size > 0.0 && gap < size ? gap / size : 1.0;
}

/* Adds what one thing that was seen says against each candidate. */
static status hold_against(struct identifying *identifying, const struct seen_item *item,
                           struct fallen *fallen)
{
    const struct field *field = &identifying->fields.at[item->field];
    const struct spread *spreads = field_spreads(identifying, item->field, item->anchor);
    TRY(arena_status(identifying->arena));
    for (uint32_t i = 0; i < identifying->found.count; i++) {
        if (!spreads_apart(identifying, field, &spreads[i], &item->spread)) {
            continue;
        }
        struct misfit *misfits =
            ARENA_MANY(identifying->arena, fallen[i].misfit_count + 1, struct misfit);
        TRY(arena_status(identifying->arena));
        for (uint32_t k = 0; k < fallen[i].misfit_count; k++) {
            misfits[k] = fallen[i].misfits[k];
        }
        misfits[fallen[i].misfit_count++] =
            (struct misfit){field->name, field->kind,
                            spreads[i].known == KNOWN_LACKING
                                ? (text){"", 0}
                                : cell_text(identifying, item->field, item->anchor,
                                            field_cell_of(field, i)),
                            item->taken, gap_between(field, &spreads[i], &item->spread)};
        fallen[i].misfits = misfits;
    }
    return STATUS_OK;
}

static double all_gaps(const struct fallen *fallen)
{
    double sum = 0.0;
    for (uint32_t i = 0; i < fallen->misfit_count; i++) {
        sum += fallen->misfits[i].gap;
    }
    return sum;
}

static int compare_fallen(const void *a, const void *b)
{
    const struct fallen *left = a;
    const struct fallen *right = b;
    const double gaps = all_gaps(left) - all_gaps(right);
    return left->misfit_count != right->misfit_count
               ? (left->misfit_count < right->misfit_count ? -1 : 1)
           : gaps != 0.0 ? (gaps < 0.0 ? -1 : 1)
                         : text_compare(left->candidate.name, right->candidate.name);
}

static int compare_left(const void *a, const void *b)
{
    const struct candidate *left = a;
    const struct candidate *right = b;
    return left->hinted != right->hinted ? (left->hinted < right->hinted ? -1 : 1)
                                         : text_compare(left->name, right->name);
}

/* Parts the candidates by whether anything speaks against them; gives the indexes of
 * those that are left, in the order of `found`. */
static status part_candidates(struct identifying *identifying, struct fallen *all,
                              const uint32_t **left_out)
{
    struct identification *made = identifying->made;
    const uint32_t count = identifying->found.count;
    struct candidate *left = ARENA_MANY(identifying->arena, count, struct candidate);
    uint32_t *indexes = ARENA_MANY(identifying->arena, count, uint32_t);
    TRY(arena_status(identifying->arena));
    for (uint32_t i = 0; i < count; i++) {
        if (all[i].misfit_count > 0) {
            all[made->fallen_count] = all[i];
            all[made->fallen_count++].candidate = identifying->found.at[i].shown;
        } else {
            indexes[made->left_count] = i;
            left[made->left_count++] = identifying->found.at[i].shown;
        }
    }
    if (made->left_count > 1) {
        qsort(left, made->left_count, sizeof *left, compare_left);
    }
    if (made->fallen_count > 1) {
        qsort(all, made->fallen_count, sizeof *all, compare_fallen);
    }
    made->left = left;
    made->fallen = all;
    *left_out = indexes;
    return STATUS_OK;
}

static uint32_t at_most(uint32_t count, uint32_t most)
{
    return count < most ? count : most;
}

static status hold_all(struct identifying *identifying)
{
    struct identification *made = identifying->made;
    const uint32_t most =
        identifying->question->most == 0 ? IDENTIFY_SHOWN : identifying->question->most;
    const uint32_t *left = NULL;
    struct fallen *fallen =
        ARENA_MANY(identifying->arena, identifying->found.count, struct fallen);
    TRY(arena_status(identifying->arena));
    for (uint32_t i = 0; i < identifying->seen.count; i++) {
        TRY(hold_against(identifying, &identifying->seen.at[i], fallen));
    }
    made->candidate_count = identifying->found.count;
    TRY(part_candidates(identifying, fallen, &left));
    made->left_shown = at_most(made->left_count, most);
    made->fallen_shown = at_most(made->fallen_count, most);
    return looks_find(identifying, left, made->left_count);
}

/* ---- what tells several apart */

status identify_apart(struct arena *arena, const struct knowledge *knowledge,
                      const struct typed_match *matches, uint32_t count,
                      struct diagnostics *diagnostics, const text **out)
{
    const struct question question = {.command = TEXT("identify")};
    struct identifying identifying = {.arena = arena,
                                      .knowledge = knowledge,
                                      .question = &question,
                                      .diagnostics = diagnostics,
                                      .store =
                                          store_open(arena, NULL, 0, knowledge->base),
                                      .names = names_open(arena, knowledge->names),
                                      .made = ARENA_NEW(arena, struct identification)};
    TRY(arena_status(arena));
    if (!identify_typed(&identifying, matches, count)) {
        return arena_status(arena);
    }
    TRY(fields_gather(&identifying));
    return looks_tell(&identifying, out);
}

/* ---- the answer */

static status refuse_others(const struct identifying *identifying)
{
    const struct question *question = identifying->question;
    if (question->of.length == 0) {
        diagnostics_report(identifying->diagnostics, CODE_QUESTION_WRONG,
                           question->of_where,
                           "the question does not say what is to be identified")
            ->expected = TEXT("a kind of part or unit, `units`, or a number");
        return STATUS_INVALID;
    }
    return STATUS_OK;
}

status identify_answer(struct arena *arena, const struct knowledge *knowledge,
                       const struct question *question, const struct swap_limits *limits,
                       struct diagnostics *diagnostics, struct answer **out)
{
    struct answer *answer = ARENA_NEW(arena, struct answer);
    struct identification *made = ARENA_NEW(arena, struct identification);
    struct identifying identifying = {.arena = arena,
                                      .knowledge = knowledge,
                                      .question = question,
                                      .diagnostics = diagnostics,
                                      .store =
                                          store_open(arena, NULL, 0, knowledge->base),
                                      .names = names_open(arena, knowledge->names),
                                      .made = made};
    (void)limits;
    TRY(arena_status(arena));
    made->of = question->of;
    made->gauges = question->gauges;
    made->most = question->most;
    TRY(refuse_others(&identifying));
    TRY(gauges_check(knowledge, question, diagnostics));
    TRY(identify_candidates(&identifying));
    TRY(fields_gather(&identifying));
    TRY(seen_read(&identifying));
    TRY(hold_all(&identifying));
    *answer = (struct answer){.arena = arena,
                              .knowledge = knowledge,
                              .names = identifying.names,
                              .store = identifying.store,
                              .command = question->command,
                              .verdict = VERDICT_NOT_KNOWN,
                              .caution = knowledge->closing.caution,
                              .identification = made};
    *out = answer;
    return arena_status(arena);
}
