/* SPDX-License-Identifier: MIT */
/* whyfit listing: is what a seller claims so? */
#include "command.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* All of a file of one listing; NULL: said. */
static char *read_whole(const char *path, size_t *length)
{
    const bool is_input = strcmp(path, "-") == 0;
    FILE *file = is_input ? stdin : fopen(path, "rb");
    char *content = malloc(WHYFIT_LISTING_BYTES + 2);
    if (file == NULL || content == NULL) {
        fprintf(stderr, "error: %s cannot be read\n", path);
        free(content);
        return NULL;
    }
    *length = fread(content, 1, WHYFIT_LISTING_BYTES + 1, file);
    const bool is_read = ferror(file) == 0;
    if (!is_input) {
        (void)fclose(file);
    }
    if (!is_read) {
        fprintf(stderr, "error: %s cannot be read\n", path);
        free(content);
        return NULL;
    }
    return content;
}

static int exit_of_listing(whyfit_listing_verdict verdict)
{
    return verdict == WHYFIT_LISTING_OK      ? EXIT_FITS
           : verdict == WHYFIT_LISTING_WRONG ? EXIT_DOES_NOT_FIT
                                             : EXIT_NOT_KNOWN;
}

static int judge_one(const struct options *options, whyfit_lister *lister,
                     const char *content, size_t length)
{
    struct output output;
    whyfit_listing listing;
    whyfit_listing_text from = WHYFIT_LISTING_TEXT_OF(content, length);
    if (!output_open(&output, options->out)) {
        return EXIT_MACHINE;
    }
    from.width = output_width(&output);
    from.format =
        options->format == WHYFIT_JSON ? WHYFIT_LISTING_JSON : WHYFIT_LISTING_TEXT;
    const whyfit_status status =
        whyfit_lister_judge(lister, &from, output_take, &output, &listing);
    int result = status == WHYFIT_OK ? exit_of_listing(listing.verdict) : EXIT_FAULT;
    if (status == WHYFIT_INVALID) {
        fprintf(stderr, "error: byte %zu of the listing is not UTF-8\n",
                listing.wrong_at + 1);
    } else if (status == WHYFIT_LIMIT) {
        fprintf(stderr, "error: the listing is longer than %d bytes\n",
                WHYFIT_LISTING_BYTES);
    } else if (status != WHYFIT_OK) {
        result = exit_of(status);
    }
    if (!output_close(&output, status == WHYFIT_OK)) {
        result = status == WHYFIT_OK ? EXIT_MACHINE : result;
    }
    return result;
}

static int run_listing(const struct options *options)
{
    int result = EXIT_FAULT;
    size_t length = 0;
    whyfit_listings *listings = NULL;
    whyfit_lister *lister = NULL;
    whyfit_problems *problems = NULL;
    if (options->word_count != 1) {
        fputs("error: one file was expected\n"
              "  expected: whyfit listing FILE, or - for standard input\n",
              stderr);
        return EXIT_FAULT;
    }
    char *content = read_whole(options->words[0], &length);
    whyfit_knowledge *knowledge =
        content == NULL ? NULL : load_knowledge(options, &result);
    if (knowledge != NULL) {
        whyfit_status status = whyfit_listings_open(knowledge, &listings, &problems);
        say_problems(problems, options->format);
        if (status == WHYFIT_OK) {
            status = whyfit_lister_open(listings, NULL, &lister);
        }
        result = status == WHYFIT_OK ? judge_one(options, lister, content, length)
                                     : exit_of(status);
    }
    whyfit_lister_free(lister);
    whyfit_listings_free(listings);
    whyfit_knowledge_free(knowledge);
    free(content);
    return result;
}

const struct command command_listing = {
    .name = "listing",
    .usage = "listing FILE",
    .says = "is this listing right?",
    .help =
        "Reads what a seller claims (numbers, models, years, sizes, features) and says\n"
        "of each claim whether the record supports it, contradicts it, or is silent.\n"
        "FILE holds the text of one listing; - reads standard input.\n\n"
        "  Exit status: 0 ok, 1 wrong, 3 not enough is told",
    .run = run_listing};
