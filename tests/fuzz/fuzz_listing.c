/* SPDX-License-Identifier: MIT */
/* Any bytes as what a seller wrote: it is read and judged, or refused with a reason;
 * never a stall, and what is written is whole. As one text, and as a row of each form. */
#include "whyfit_listing.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

struct counted {
    size_t length;
    char last;
    bool has_control;
};

static void require(bool is_so, const char *what)
{
    if (!is_so) {
        (void)fprintf(stderr, "%s\n", what);
        abort();
    }
}

static bool count_bytes(void *context, const char *bytes, size_t length)
{
    struct counted *counted = context;
    for (size_t i = 0; i < length; i++) {
        const unsigned char c = (unsigned char)bytes[i];
        counted->has_control = counted->has_control || (c < ' ' && c != '\n');
        counted->last = bytes[i];
    }
    counted->length += length;
    return true;
}

/* The demo, loaded at the first call and kept until the process ends. */
static whyfit_lister *demo(void)
{
    static whyfit_lister *lister;
    if (lister == NULL) {
        const whyfit_source sources[] = {{WHYFIT_ROOT "/rules", NULL, 0},
                                         {WHYFIT_ROOT "/facts", NULL, 0},
                                         {WHYFIT_ROOT "/demo", NULL, 0}};
        whyfit_knowledge *knowledge = NULL;
        whyfit_listings *listings = NULL;
        require(whyfit_load(sources, 3, NULL, &knowledge, NULL) == WHYFIT_OK &&
                    whyfit_listings_open(knowledge, &listings, NULL) == WHYFIT_OK &&
                    whyfit_lister_open(listings, NULL, &lister) == WHYFIT_OK,
                "the demo does not load");
    }
    return lister;
}

static const whyfit_columns *columns_of(whyfit_rows rows)
{
    static whyfit_columns *columns[3];
    if (columns[rows] == NULL) {
        static const char *const heads[] = {"", "id,title", "{\"title\": \"x\"}"};
        whyfit_columns_options how = WHYFIT_COLUMNS_OPTIONS;
        whyfit_problems *problems = NULL;
        how.rows = rows;
        how.head = heads[rows];
        how.head_length = strlen(heads[rows]);
        require(whyfit_columns_open(&how, &columns[rows], &problems) == WHYFIT_OK,
                "the columns are not found");
    }
    return columns[rows];
}

static void check(whyfit_status status, const whyfit_listing *listing,
                  const struct counted *written, bool is_json)
{
    require(status == WHYFIT_OK || status == WHYFIT_INVALID || status == WHYFIT_LIMIT,
            "it is neither answered nor refused");
    require((status == WHYFIT_OK) == (written->length > 0),
            "what is refused is not written");
    require(listing->supported + listing->contradicted + listing->not_known <=
                listing->claims,
            "more is judged than is claimed");
    require(listing->verdict != WHYFIT_LISTING_OK || listing->contradicted == 0,
            "a contradicted listing is ok");
    if (status == WHYFIT_OK && is_json) {
        require(written->last == '\n' && !written->has_control, "a line is not whole");
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    whyfit_listing_text from =
        WHYFIT_LISTING_TEXT_OF(size == 0 ? "" : (const char *)data, size);
    whyfit_listing listing;
    from.with_chain = true;
    for (int form = WHYFIT_LISTING_TEXT; form <= WHYFIT_LISTING_CSV; form++) {
        struct counted written = {0};
        from.format = (whyfit_listing_format)form;
        const whyfit_status status =
            whyfit_lister_judge(demo(), &from, count_bytes, &written, &listing);
        check(status, &listing, &written, form == WHYFIT_LISTING_JSON);
    }
    from.format = WHYFIT_LISTING_JSON;
    for (int rows = WHYFIT_ROWS_LINES; rows <= WHYFIT_ROWS_JSON; rows++) {
        struct counted written = {0};
        const whyfit_status status =
            whyfit_lister_row(demo(), columns_of((whyfit_rows)rows), &from, count_bytes,
                              &written, &listing);
        check(status, &listing, &written, true);
        require(status == WHYFIT_OK || listing.reason[0] != '\0', "no reason is given");
    }
    return 0;
}
