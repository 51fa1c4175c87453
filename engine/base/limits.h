/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_LIMITS_H
#define WHYFIT_LIMITS_H

#include <stdint.h>

/* Every bound on what a user's text may ask of us. tests/limits/ has a row for each: at
 * the bound it works, one above is a clean diagnostic. */

#define LIMIT_FILE_BYTES          (8u << 20) /* one file of facts or rules */
#define LIMIT_FLAT_BYTES          (1u << 30) /* one file of rows as CSV */
#define LIMIT_FILES               10000u     /* files in one load */
#define LIMIT_DEPTH               64u        /* nesting of lists and maps in a document */
#define LIMIT_NODES               1000000u   /* nodes in a document */
#define LIMIT_KEY_BYTES           64u        /* a map key */
#define LIMIT_SCALAR_BYTES        4096u      /* one scalar */
#define LIMIT_DIAGNOSTICS         100u       /* reported in one run; more are counted */
#define LIMIT_FORMULA_DEPTH       64u        /* nesting in a formula */
#define LIMIT_FORMULA_BYTES       2048u      /* one formula */
#define LIMIT_PATTERN_BYTES       512u       /* a text pattern */
#define LIMIT_CLAIM_PATTERN_BYTES 4096u      /* of a claim, words filled in */
#define LIMIT_LISTING_BYTES       65536u     /* one listing */
#define LIMIT_CLAIMS              200u       /* of one listing that are looked at */
#define LIMIT_PATTERN_STEPS       100000u    /* of one match of a pattern */
#define LIMIT_PATTERN_KIB         1024u      /* memory of one match */
#define LIMIT_FORM_TERMS          1024u      /* dimensions in one sum */
#define LIMIT_KEY_COLUMNS         8u         /* key columns of a relation */
#define LIMIT_VALUE_COLUMNS       40u        /* value columns of a relation */
#define LIMIT_CONDITIONS          24u        /* conditions of a rule */
#define LIMIT_VARIABLES           64u        /* variables of a rule */
#define LIMIT_PLACES              256u       /* places of a unit */
#define LIMIT_UNIT_DEPTH          8u         /* units within units */
#define LIMIT_CHANGES             64u        /* changes in one question */
#define LIMIT_CANDIDATES          64u        /* parts tried in one place by a search */
#define LIMIT_SETS                1000000u   /* change sets that one search looks at */
/* Of one swap with the mends it tries, unless told otherwise. */
#define LIMIT_ROWS        2000000u            /* rows it may add; a load may too */
#define LIMIT_STEPS       UINT64_C(200000000) /* steps it may take */
#define LIMIT_SPARE_BYTES 16384u              /* to say what used up the rest */

#endif
