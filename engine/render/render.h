/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_RENDER_H
#define WHYFIT_RENDER_H

#include "answer.h"
#include "lint.h"
#include "reckon.h"
#include "show.h"
#include "svg.h"
#include "trial.h"
#include "upgrade.h"
#include "writer.h"

/* Words and JSON from answers. Nothing is computed or decided here. */
void render_answer_text(struct writer *writer, const struct answer *answer,
                        bool with_chain);
MUST_USE status render_answer_json(struct writer *writer, const struct answer *answer);

/* Any answer as a page of HTML that needs nothing else. `is_part`: only what stands in
 * its body, for a page that has the style sheet already. */
MUST_USE status render_answer_html(struct writer *writer, const struct answer *answer,
                                   bool is_part);
void report_style(struct writer *writer);

/* A line of what an answer cost. */
void render_effort_text(struct writer *writer, const struct effort *effort);

/* The answer to `leaks`: spaces, ways, and what the rules found of them. */
void render_leaks_text(struct writer *writer, const struct answer *answer);

/* The answer to `sheet`. */
void render_sheet_text(struct writer *writer, const struct answer *answer);
MUST_USE status render_sheet_json(struct writer *writer, const struct answer *answer);

/* The answer to `measure`. */
void render_kind_sheet_text(struct writer *writer, const struct answer *answer);
MUST_USE status render_kind_sheet_json(struct writer *writer,
                                       const struct answer *answer);
/* A part file with a blank for each field of the sheet. */
void render_kind_part_file(struct writer *writer, const struct answer *answer);
void render_compare_text(struct writer *writer, const struct answer *answer);
MUST_USE status render_compare_json(struct writer *writer, const struct answer *answer);
void render_measure_text(struct writer *writer, const struct answer *answer);
MUST_USE status render_measure_json(struct writer *writer, const struct answer *answer);

/* The answer to `identify`. */
void render_identify_text(struct writer *writer, const struct answer *answer);
MUST_USE status render_identify_json(struct writer *writer, const struct answer *answer);

/* The answers to `why` and `why-not`. */
void render_explanation_text(struct writer *writer, const struct answer *answer);
MUST_USE status render_explanation_json(struct writer *writer,
                                        const struct answer *answer);

/* A swap over a range. */
void render_sweep_text(struct writer *writer, const struct answer *answer);
MUST_USE status render_sweep_json(struct writer *writer, const struct answer *answer);

/* The pictures of a swap (or of any answer about one unit), as SVG: may stand inside a
 * page where the manner says so, each with a prefix of its own. Reading the section and a
 * gap notes things in the answer's store, so one at a time. */

/* What can be drawn of an answer: "section", "margins", "stack:GAP" for each gap, and
 * "sweep" first where it is one; gives how many. None of `why`, `why-not` and `upgrade`.
 */
uint32_t answer_pictures(struct arena *arena, const struct answer *answer,
                         const text **out);
/* One of those, by its name; empty: the first. STATUS_NOT_FOUND: there is none. */
MUST_USE status render_picture_svg(struct writer *writer, const struct answer *answer,
                                   text picture, const struct svg_manner *manner);
/* The axial half section to scale; where something is changed the host above it. */
MUST_USE status render_section_svg(struct writer *writer, const struct answer *answer,
                                   bool is_full, const struct svg_manner *manner);
/* The margins of all checks that count, against zero. */
MUST_USE status render_margins_svg(struct writer *writer, const struct answer *answer,
                                   const struct svg_manner *manner);
/* The loop of dimensions behind a gap. STATUS_NOT_FOUND: there is none of that name. */
MUST_USE status render_stack_svg(struct writer *writer, const struct answer *answer,
                                 text gap, const struct svg_manner *manner);
/* Verdict and margins over the range of answer->sweep, which is there. */
MUST_USE status render_sweep_svg(struct writer *writer, const struct answer *answer,
                                 const struct svg_manner *manner);

/* The change sets of `upgrade`. */
void render_upgrade_text(struct writer *writer, const struct answer *answer,
                         bool with_chain);
MUST_USE status render_upgrade_json(struct writer *writer, const struct answer *answer);

void render_lint_text(struct writer *writer, const struct lint *lint,
                      const struct sources *sources);
MUST_USE status render_lint_json(struct writer *writer, const struct lint *lint,
                                 const struct sources *sources);

/* Worked cases: one whose answer differs (JSON: any), and the counts at the end. */
void render_tried_text(struct writer *writer, const struct tried_case *tried,
                       const struct sources *sources);
MUST_USE status render_tried_json(struct writer *writer, const struct tried_case *tried,
                                  const struct sources *sources);
void render_trial_text(struct writer *writer, const struct trial_counts *counts);
MUST_USE status render_trial_json(struct writer *writer,
                                  const struct trial_counts *counts);

void render_value_text(struct writer *writer, const struct names *names,
                       struct value value);
MUST_USE status render_value_json(struct writer *writer, const struct names *names,
                                  struct value value);
void render_fit_text(struct writer *writer, const struct reckoned_fit *fit);
MUST_USE status render_fit_json(struct writer *writer, const struct reckoned_fit *fit);
void render_shown(struct writer *writer, const struct shown *shown);
MUST_USE status render_shown_json(struct writer *writer, const struct shown *shown);

void render_problems_text(struct writer *writer, const struct diagnostics *problems,
                          const struct sources *sources);
MUST_USE status render_problems_json(struct writer *writer,
                                     const struct diagnostics *problems,
                                     const struct sources *sources);

#endif
