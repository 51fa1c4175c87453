/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_SVG_H
#define WHYFIT_SVG_H

#include "writer.h"

/* How a picture is written: as a document of its own, or inside a page. */
struct svg_manner {
    bool is_embedded; /* no XML declaration before it */
    text prefix; /* of every id, so that several pictures share a page; may be empty */
};

/* Writes elements. Attributes follow svg_open until svg_done or svg_into; everything that
 * comes from facts is escaped. Lengths have two digits behind the point. */
struct svg {
    struct writer *writer;
    text prefix;
};

void svg_open(struct svg *svg, const char *element);
void svg_done(struct svg *svg);                       /* "/>" */
void svg_into(struct svg *svg);                       /* ">" */
void svg_close(struct svg *svg, const char *element); /* "</element>" */
void svg_number(struct svg *svg, const char *attribute, double value);
/* Millimetres, with as many digits as a nanometre takes; nothing where it is NAN. */
void svg_length(struct svg *svg, const char *attribute, double millimetres);
void svg_word(struct svg *svg, const char *attribute, text value);
void svg_id(struct svg *svg, const char *id);
/* Text between tags. */
void svg_say(struct svg *svg, text words);

/* A path: svg_path, then points, then svg_path_done; all before svg_done. */
void svg_path(struct svg *svg);
void svg_move(struct svg *svg, double x, double y);
void svg_line(struct svg *svg, double x, double y);
void svg_path_done(struct svg *svg, bool is_closed);

/* The outermost element, with what screen readers say. */
void svg_begin(struct svg *svg, const struct svg_manner *manner, double width,
               double height, text title, text description);
void svg_finish(struct svg *svg);

#endif
