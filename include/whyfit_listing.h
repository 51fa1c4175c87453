/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_SELLERS_LISTING_H
#define WHYFIT_SELLERS_LISTING_H

#include "whyfit.h"

/*
 * Listings: what a seller claims of a part, read from his text and held against the
 * record. The manners are those of whyfit.h.
 */

#ifdef __cplusplus
extern "C" {
#endif

typedef enum whyfit_listing_verdict {
    WHYFIT_LISTING_OK = 0,
    WHYFIT_LISTING_WRONG = 1,
    WHYFIT_LISTING_NOT_ENOUGH = 2
} whyfit_listing_verdict;

typedef enum whyfit_listing_format {
    WHYFIT_LISTING_TEXT = 0,
    WHYFIT_LISTING_JSON = 1, /* a line a listing */
    WHYFIT_LISTING_CSV = 2,  /* a line a claim, RFC 4180 */
    WHYFIT_LISTING_HTML = 3  /* a report; of one listing alone */
} whyfit_listing_format;

/* The patterns of a knowledge made ready, and what its rules say that parts show; made
 * once and shared by threads. The knowledge must outlive it. Owned: whyfit_listings_free.
 * WHYFIT_INVALID, with problems: a pattern has become too large. */
typedef struct whyfit_listings whyfit_listings;
WHYFIT_API whyfit_status whyfit_listings_open(const whyfit_knowledge *knowledge,
                                              whyfit_listings **listings,
                                              whyfit_problems **problems);
WHYFIT_API void whyfit_listings_free(whyfit_listings *listings);

typedef struct whyfit_lister_options {
    size_t size;
    bool forgets; /* judges every pair of a unit and a part anew */
    /* Asked now and then while a swap is tried; false stops it (WHYFIT_STOPPED). May be
     * NULL. */
    bool (*go_on)(void *context);
    void *context;
} whyfit_lister_options;
#define WHYFIT_LISTER_OPTIONS                                                            \
    {                                                                                    \
        sizeof(whyfit_lister_options), false, NULL, NULL                                 \
    }

/* One a thread; the listings must outlive it. It remembers which parts go into which
 * units. options may be NULL. Owned: whyfit_lister_free. */
typedef struct whyfit_lister whyfit_lister;
WHYFIT_API whyfit_status whyfit_lister_open(const whyfit_listings *listings,
                                            const whyfit_lister_options *options,
                                            whyfit_lister **lister);
WHYFIT_API void whyfit_lister_free(whyfit_lister *lister);

typedef struct whyfit_listing_text {
    size_t size;
    const char *at; /* UTF-8 */
    size_t length;
    uint64_t row;   /* shown with the answer; 0: none */
    const char *id; /* shown with the answer; NULL: none */
    whyfit_listing_format format;
    unsigned width;  /* text: columns; 0: 80 */
    bool with_chain; /* text: how each claim comes from what is stated */
    bool is_part;    /* HTML: what stands in the body alone, for a page of your own that
                        has the style sheet (whyfit_style_write) */
} whyfit_listing_text;
#define WHYFIT_LISTING_TEXT_OF(text, text_length)                                        \
    {                                                                                    \
        sizeof(whyfit_listing_text), (text), (text_length), 0, NULL,                     \
            WHYFIT_LISTING_TEXT, 0, false, false                                         \
    }

typedef struct whyfit_listing {
    whyfit_listing_verdict verdict;
    size_t claims;
    size_t supported;
    size_t contradicted;
    size_t not_known;
    size_t too_hard; /* patterns that met a limit in this text */
    size_t wrong_at; /* WHYFIT_INVALID: the byte that is no UTF-8 */
    char reason[96]; /* whyfit_lister_row: why a row was refused */
} whyfit_listing;

/* Reads and judges one listing and writes what came of it. WHYFIT_INVALID: it is not
 * UTF-8; WHYFIT_LIMIT: it is longer than WHYFIT_LISTING_BYTES. Nothing is written then.
 */
#define WHYFIT_LISTING_BYTES 65536
WHYFIT_API whyfit_status whyfit_lister_judge(whyfit_lister *lister,
                                             const whyfit_listing_text *from,
                                             whyfit_sink *sink, void *context,
                                             whyfit_listing *out);
/* The parts that the listing judged last in HTML can be, by name, a few of them; borrowed
 * until the next is judged. NULL past the last. */
WHYFIT_API const char *whyfit_lister_part(const whyfit_lister *lister, size_t i);

/* Listings in rows of a table or a stream: a line each, a row of CSV (RFC 4180), or an
 * object of JSON. */
typedef enum whyfit_rows {
    WHYFIT_ROWS_LINES = 0,
    WHYFIT_ROWS_CSV = 1,
    WHYFIT_ROWS_JSON = 2
} whyfit_rows;

typedef struct whyfit_columns_options {
    size_t size;
    whyfit_rows rows;
    const char *head; /* CSV: the row of headings; JSON: the first row, to guess from */
    size_t head_length;
    const char *const *columns; /* whose words are the listing, a line each */
    size_t column_count;        /* up to 8; 0: those called like a title or description */
    const char *id;             /* the column that names a row; NULL: none, or guessed */
} whyfit_columns_options;
#define WHYFIT_COLUMNS_OPTIONS                                                           \
    {                                                                                    \
        sizeof(whyfit_columns_options), WHYFIT_ROWS_LINES, NULL, 0, NULL, 0, NULL        \
    }

/* Which columns are read. Shared by threads. Owned: whyfit_columns_free. WHYFIT_INVALID,
 * with problems: there is no such column, or none that could be guessed. */
typedef struct whyfit_columns whyfit_columns;
WHYFIT_API whyfit_status whyfit_columns_open(const whyfit_columns_options *options,
                                             whyfit_columns **columns,
                                             whyfit_problems **problems);
WHYFIT_API void whyfit_columns_free(whyfit_columns *columns);
/* "title, description"; borrowed. */
WHYFIT_API const char *whyfit_columns_words(const whyfit_columns *columns);
WHYFIT_API bool whyfit_columns_guessed(const whyfit_columns *columns);

/* whyfit_lister_judge of a row (not in HTML); `from->at` is the row, and its name comes
 * from it. Places of claims count in the words of its columns, which are joined by line
 * ends. On WHYFIT_INVALID and WHYFIT_LIMIT out->reason says why the row was refused. */
WHYFIT_API whyfit_status whyfit_lister_row(whyfit_lister *lister,
                                           const whyfit_columns *columns,
                                           const whyfit_listing_text *from,
                                           whyfit_sink *sink, void *context,
                                           whyfit_listing *out);
/* The first line of a file of CSV. */
WHYFIT_API whyfit_status whyfit_listing_head(const whyfit_knowledge *knowledge,
                                             whyfit_sink *sink, void *context);

/* Pairs of a part and a model: how many were asked for, and for how many units a swap had
 * to be tried. */
typedef struct whyfit_listing_effort {
    uint64_t swaps_tried;
    uint64_t pairs_asked;
} whyfit_listing_effort;
WHYFIT_API whyfit_listing_effort whyfit_lister_effort(const whyfit_lister *lister);

#ifdef __cplusplus
}
#endif

#endif
