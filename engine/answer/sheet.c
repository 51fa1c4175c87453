/* SPDX-License-Identifier: MIT */
/* The set-up sheet: lines that rules wrote about what the swap touches, in sections. */
#include "sheet.h"

#include "array.h"

#include <stdlib.h>

static int compare_lines(const void *a, const void *b)
{
    const struct finding *const *left = a;
    const struct finding *const *right = b;
    const double one = (*left)->margin->nominal;
    const double other = (*right)->margin->nominal;
    return one != other ? (one < other ? -1 : 1)
                        : text_compare((*left)->sentence, (*right)->sentence);
}

static bool is_line_of(const struct finding *finding, text section)
{
    return finding->kind == FINDING_BY_RULE && finding->rule->answers_sheet &&
           finding->counts && text_equal(finding->rule->section, section);
}

static status gather_part(struct arena *arena, const struct answer *answer,
                          const struct sheet_section *section, struct sheet_part *out)
{
    ARRAY_OF(const struct finding *) lines = {0};
    for (uint32_t i = 0; i < answer->finding_count; i++) {
        if (is_line_of(&answer->findings[i], section->name) &&
            !ARRAY_PUSH(arena, &lines, &answer->findings[i])) {
            return arena_status(arena);
        }
    }
    if (lines.count > 1) {
        qsort(lines.at, lines.count, sizeof *lines.at, compare_lines);
    }
    uint32_t kept = 0;
    for (uint32_t i = 0; i < lines.count; i++) { /* several reasons for one line */
        if (kept == 0 ||
            !text_equal(lines.at[kept - 1]->sentence, lines.at[i]->sentence)) {
            lines.at[kept++] = lines.at[i];
        }
    }
    *out = (struct sheet_part){section->name, section->title, lines.at, kept};
    return STATUS_OK;
}

static status gather_parts(struct arena *arena, const struct answer *answer,
                           struct sheet *sheet)
{
    const struct knowledge *knowledge = answer->knowledge;
    struct sheet_part *parts =
        ARENA_MANY(arena, knowledge->section_count, struct sheet_part);
    TRY(arena_status(arena));
    for (uint32_t i = 0; i < knowledge->section_count; i++) {
        TRY(gather_part(arena, answer, &knowledge->sections[i],
                        &parts[sheet->part_count]));
        sheet->part_count += parts[sheet->part_count].line_count > 0 ? 1 : 0;
    }
    sheet->parts = parts;
    return STATUS_OK;
}

status sheet_answer(struct arena *arena, const struct knowledge *knowledge,
                    const struct question *question, const struct swap_limits *limits,
                    struct diagnostics *diagnostics, struct answer **out)
{
    struct answer *answer = NULL;
    struct sheet *sheet = ARENA_NEW(arena, struct sheet);
    TRY(arena_status(arena));
    TRY(swap_answer(arena, knowledge, question, limits, diagnostics, &answer));
    /* With all chosen mends, where any was needed. */
    const struct answer *as_done = answer->mended != NULL ? answer->mended : answer;
    if (answer->verdict == VERDICT_FITS || answer->verdict == VERDICT_FITS_WITH_WORK) {
        TRY(gather_parts(arena, as_done, sheet));
        sheet->plans = as_done->plans;
        sheet->plan_count = as_done->plan_count;
    }
    answer->sheet = sheet;
    *out = answer;
    return arena_status(arena);
}
