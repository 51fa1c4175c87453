/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_RENDER_WORDS_H
#define WHYFIT_RENDER_WORDS_H

#include "render.h"

/* What the answers in words share. */
void render_heading(struct writer *writer, const char *words);
/* One finding: outcome, rule, subject, margin; its sentence where it does not hold. */
void render_finding(struct writer *writer, const struct finding *finding);
/* A heading with lines below it; nothing when there are none. */
void render_list(struct writer *writer, const char *words, const text *lines,
                 uint32_t count);

#endif
