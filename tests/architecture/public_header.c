/* SPDX-License-Identifier: MIT */
/* The public header alone, under strict flags; also that its enums keep their numbers. */
#include "whyfit.h"

_Static_assert(WHYFIT_NO_MEMORY == 5 && WHYFIT_INVALID == 1, "published numbers");
_Static_assert(WHYFIT_NOT_KNOWN == 3 && WHYFIT_FITS == 0, "published numbers");

int main(void)
{
    whyfit_question question = WHYFIT_QUESTION;
    whyfit_write_options how = WHYFIT_WRITE_OPTIONS;
    return question.size == sizeof question && how.size == sizeof how ? 0 : 1;
}
