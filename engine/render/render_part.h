/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_RENDER_PART_H
#define WHYFIT_RENDER_PART_H

#include "render.h"
#include "section.h"

/* As a page, or what stands in its body alone; `part` is drawn where it is no NULL. */
MUST_USE status render_shown_html(struct writer *writer, const struct shown *shown,
                                  const struct knowledge *knowledge,
                                  const struct section *part, bool is_part);
/* A part by itself, of which there is something to draw. */
MUST_USE status render_part_svg(struct writer *writer, const struct section *section,
                                const struct knowledge *knowledge,
                                const struct svg_manner *manner);

#endif
