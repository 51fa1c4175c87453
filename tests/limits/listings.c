/* SPDX-License-Identifier: MIT */
/* What a listing and a pattern of claims may ask of us: at the bound it works, one above
 * is said; a pattern that explodes is named for that listing, and the rest is read. */
#include "failing_allocator.h"
#include "limits.h"
#include "whyfit_listing.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

TestSuite(listings, .timeout = 120);

struct written {
    char *bytes;
    size_t length;
};

static bool take(void *context, const char *bytes, size_t length)
{
    struct written *written = context;
    char *grown = realloc(written->bytes, written->length + length + 1);
    cr_assert_not_null(grown);
    memcpy(grown + written->length, bytes, length);
    written->bytes = grown;
    written->length += length;
    grown[written->length] = '\0';
    return true;
}

/* The shipped rules and facts with one more file of claims. NULL: *said is why not. */
static whyfit_knowledge *load_with(const char *claims, struct written *said)
{
    const whyfit_source sources[] = {{WHYFIT_ROOT "/rules", NULL, 0},
                                     {WHYFIT_ROOT "/facts", NULL, 0},
                                     {WHYFIT_ROOT "/demo", NULL, 0},
                                     {"more.yaml", claims, strlen(claims)}};
    whyfit_knowledge *knowledge = NULL;
    whyfit_problems *problems = NULL;
    (void)whyfit_load(sources, 4, NULL, &knowledge, &problems);
    if (problems != NULL) {
        cr_expect_eq(whyfit_problems_write(problems, WHYFIT_TEXT, take, said), WHYFIT_OK);
    }
    whyfit_problems_free(problems);
    return knowledge;
}

struct judged {
    whyfit_status status;
    whyfit_listing listing;
    struct written written;
};

static struct judged judge(const whyfit_knowledge *knowledge, const char *text,
                           size_t length)
{
    struct judged out = {0};
    whyfit_listings *listings = NULL;
    whyfit_lister *lister = NULL;
    whyfit_listing_text from = WHYFIT_LISTING_TEXT_OF(text, length);
    from.format = WHYFIT_LISTING_JSON;
    cr_assert_eq(whyfit_listings_open(knowledge, &listings, NULL), WHYFIT_OK);
    cr_assert_eq(whyfit_lister_open(listings, NULL, &lister), WHYFIT_OK);
    out.status = whyfit_lister_judge(lister, &from, take, &out.written, &out.listing);
    whyfit_lister_free(lister);
    whyfit_listings_free(listings);
    return out;
}

static char *repeated(const char *of, size_t times)
{
    const size_t length = strlen(of);
    char *all = malloc(length * times + 1);
    cr_assert_not_null(all);
    for (size_t i = 0; i < times; i++) {
        memcpy(all + i * length, of, length);
    }
    all[length * times] = '\0';
    return all;
}

static char *claims_with(const char *pattern)
{
    static const char frame[] = "claims: more\nsource: invented\npatterns:\n"
                                "  - pattern: hard\n    reads: feature\n    value: hard\n"
                                "    text: '%s'\n";
    char *all = malloc(sizeof frame + strlen(pattern));
    cr_assert_not_null(all);
    (void)sprintf(all, frame, pattern);
    return all;
}

Test(listings, a_pattern_may_have_so_many_bytes)
{
    for (size_t more = 0; more < 2; more++) {
        struct written said = {0};
        char *pattern = repeated("q", LIMIT_CLAIM_PATTERN_BYTES + more);
        char *claims = claims_with(pattern);
        whyfit_knowledge *knowledge = load_with(claims, &said);
        cr_expect_eq(knowledge != NULL, more == 0, "%s", said.bytes);
        cr_expect(more == 0 || strstr(said.bytes, "too long") != NULL, "%s", said.bytes);
        whyfit_knowledge_free(knowledge);
        free(claims);
        free(pattern);
        free(said.bytes);
    }
}

Test(listings, a_pattern_that_explodes_is_named_and_the_rest_is_read)
{
    struct written said = {0};
    char *claims = claims_with("(?:z|zz|zzz)+y");
    char *run = repeated("z", 4000);
    char text[4200];
    whyfit_knowledge *knowledge = load_with(claims, &said);
    cr_assert_not_null(knowledge, "%s", said.bytes);
    (void)snprintf(text, sizeof text, "%s. y HK-2110 cover", run);
    const clock_t began = clock();
    struct judged out = judge(knowledge, text, strlen(text));
    const double seconds = (double)(clock() - began) / CLOCKS_PER_SEC;
    cr_expect_eq(out.status, WHYFIT_OK);
    cr_expect_eq(out.listing.too_hard, 1);
    cr_expect_eq(out.listing.supported, 2, "%s", out.written.bytes);
    cr_expect_not_null(strstr(out.written.bytes, "\"too_hard\":[\"hard\"]"));
    cr_expect(seconds < 20, "%f s, most of it for making ready", seconds);
    whyfit_knowledge_free(knowledge);
    free(out.written.bytes);
    free(claims);
    free(run);
}

Test(listings, a_pattern_that_needs_a_deep_stack_is_tried_otherwise)
{
    struct written said = {0};
    char *claims = claims_with("zed(?:[^y]|w)*y");
    char *run = repeated("q w ", 5000);
    char *text = malloc(strlen(run) + 100);
    whyfit_knowledge *knowledge = load_with(claims, &said);
    cr_assert_not_null(knowledge, "%s", said.bytes);
    cr_assert_not_null(text);
    (void)sprintf(text, "zed %s y HK-2110 cover", run);
    struct judged out = judge(knowledge, text, strlen(text));
    cr_expect_eq(out.status, WHYFIT_OK);
    cr_expect(out.listing.claims >= 2, "%s", out.written.bytes);
    whyfit_knowledge_free(knowledge);
    free(out.written.bytes);
    free(claims);
    free(run);
    free(text);
}

Test(listings, a_listing_may_have_so_many_bytes)
{
    struct written said = {0};
    char *claims = claims_with("qqq");
    whyfit_knowledge *knowledge = load_with(claims, &said);
    cr_assert_not_null(knowledge, "%s", said.bytes);
    cr_expect_eq(LIMIT_LISTING_BYTES, WHYFIT_LISTING_BYTES);
    for (size_t more = 0; more < 2; more++) {
        char *text = repeated("-", LIMIT_LISTING_BYTES + more);
        struct judged out = judge(knowledge, text, strlen(text));
        cr_expect_eq(out.status, more == 0 ? WHYFIT_OK : WHYFIT_LIMIT);
        free(out.written.bytes);
        free(text);
    }
    whyfit_knowledge_free(knowledge);
    free(claims);
}

Test(listings, so_many_claims_are_looked_at)
{
    struct written said = {0};
    char *claims = claims_with("qqq");
    whyfit_knowledge *knowledge = load_with(claims, &said);
    cr_assert_not_null(knowledge, "%s", said.bytes);
    for (size_t more = 0; more < 2; more++) {
        char text[8192];
        size_t length = 0;
        for (size_t i = 0; i < LIMIT_CLAIMS + more; i++) {
            length += (size_t)snprintf(text + length, sizeof text - length, "%zu.5 mm; ",
                                       i + 1);
        }
        struct judged out = judge(knowledge, text, length);
        cr_expect_eq(out.listing.claims, LIMIT_CLAIMS);
        cr_expect_eq(strstr(out.written.bytes, "\"cut\":true") != NULL, more == 1);
        free(out.written.bytes);
    }
    whyfit_knowledge_free(knowledge);
    free(claims);
}

/* Every so many of the requests for memory of making ready and of judging fails once. */
Test(listings, out_of_memory_is_an_error_and_leaks_nothing)
{
    static const char text[] = "HK-2120 cover, late, fits Kestrel 120 2004-2012, 8 bolts";
    static const whyfit_source sources[] = {{WHYFIT_ROOT "/rules", NULL, 0},
                                            {WHYFIT_ROOT "/facts", NULL, 0},
                                            {WHYFIT_ROOT "/demo", NULL, 0}};
    struct failing_allocator failing = {0};
    const whyfit_allocator allocator = {failing_resize, &failing};
    whyfit_load_options options = WHYFIT_LOAD_OPTIONS;
    whyfit_knowledge *knowledge = NULL;
    options.allocator = &allocator;
    cr_assert_eq(whyfit_load(sources, 3, &options, &knowledge, NULL), WHYFIT_OK);
    const size_t open_blocks = failing.open_blocks;
    size_t failures = 0;
    bool is_done = false;
    for (size_t fails_at = 1; !is_done && fails_at < 10000000;
         fails_at += 1 + fails_at / 3) {
        whyfit_listings *listings = NULL;
        whyfit_lister *lister = NULL;
        whyfit_listing_text from = WHYFIT_LISTING_TEXT_OF(text, sizeof text - 1);
        struct judged out = {.status = WHYFIT_NO_MEMORY};
        failing.requests = 0;
        failing.fails_at = fails_at;
        if (whyfit_listings_open(knowledge, &listings, NULL) == WHYFIT_OK &&
            whyfit_lister_open(listings, NULL, &lister) == WHYFIT_OK) {
            out.status =
                whyfit_lister_judge(lister, &from, take, &out.written, &out.listing);
        }
        is_done = out.status == WHYFIT_OK;
        cr_expect(is_done || out.status == WHYFIT_NO_MEMORY);
        failures += is_done ? 0 : 1;
        whyfit_lister_free(lister);
        whyfit_listings_free(listings);
        free(out.written.bytes);
        cr_expect_eq(failing.open_blocks, open_blocks);
    }
    cr_expect(is_done && failures > 5, "%zu failures", failures);
    failing.fails_at = 0;
    whyfit_knowledge_free(knowledge);
}
