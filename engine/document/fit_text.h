/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_FIT_TEXT_H
#define WHYFIT_FIT_TEXT_H

#include "diagnostic.h"

/* What makes a text unfit to be read, and which bytes of it. */
struct unfit {
    enum diagnostic_code code;
    size_t at;
    size_t length;
    const char *message;
    const char *expected;
};

/*
 * Whether a text, looked at from `from` on, is UTF-8 without control characters; else the
 * first that is not. Also refused are characters that libyaml would end a line at and
 * editors would not (U+0085, U+2028, U+2029), a byte order mark inside the text, and the
 * two code points that are no characters (U+FFFE, U+FFFF).
 */
bool text_is_fit(text all, size_t from, struct unfit *out);

#endif
