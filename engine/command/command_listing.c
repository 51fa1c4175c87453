/* SPDX-License-Identifier: MIT */
/* whyfit listing: is what a seller claims so? One text, or as many rows as there are. */
#include "command.h"
#include "listing_stream.h"

#include <stdlib.h>
#include <string.h>

/* ---- one listing */

/* All of it, and a byte more than may be; NULL: no memory. */
static char *read_whole(FILE *file, size_t *length)
{
    char *content = malloc(WHYFIT_LISTING_BYTES + 2);
    *length = content == NULL ? 0 : fread(content, 1, WHYFIT_LISTING_BYTES + 1, file);
    return content;
}

static int exit_of_listing(whyfit_listing_verdict verdict)
{
    return verdict == WHYFIT_LISTING_OK      ? EXIT_FITS
           : verdict == WHYFIT_LISTING_WRONG ? EXIT_DOES_NOT_FIT
                                             : EXIT_NOT_KNOWN;
}

static int exit_of_failure(whyfit_status status, const whyfit_listing *listing)
{
    if (status == WHYFIT_INVALID) {
        fprintf(stderr,
                "error: byte %zu of the listing is not UTF-8\n"
                "  expected: text in UTF-8\n",
                listing->wrong_at + 1);
        return EXIT_FAULT;
    }
    if (status == WHYFIT_LIMIT) {
        fprintf(stderr,
                "error: the listing is longer than %d bytes\n"
                "  expected: one listing, or --rows lines|csv|json\n",
                WHYFIT_LISTING_BYTES);
        return EXIT_FAULT;
    }
    return exit_of(status);
}

static int judge_text(const struct options *options, whyfit_lister *lister,
                      const char *content, size_t length)
{
    struct output output;
    whyfit_listing listing;
    whyfit_listing_text from = WHYFIT_LISTING_TEXT_OF(content, length);
    if (!output_open(&output, options->out)) {
        return EXIT_MACHINE;
    }
    from.width = output_width(&output);
    from.with_chain = options->with_chain;
    from.format = options->writes_csv              ? WHYFIT_LISTING_CSV
                  : options->format == WHYFIT_JSON ? WHYFIT_LISTING_JSON
                  : options->format == WHYFIT_HTML ? WHYFIT_LISTING_HTML
                                                   : WHYFIT_LISTING_TEXT;
    const whyfit_status status =
        whyfit_lister_judge(lister, &from, output_take, &output, &listing);
    int result = status == WHYFIT_OK ? exit_of_listing(listing.verdict)
                                     : exit_of_failure(status, &listing);
    if (!output_close(&output, status == WHYFIT_OK) && status == WHYFIT_OK) {
        result = EXIT_MACHINE;
    }
    return result;
}

static int judge_one(const struct options *options, whyfit_listings *listings, FILE *file)
{
    size_t length = 0;
    whyfit_lister *lister = NULL;
    char *content = read_whole(file, &length);
    const whyfit_status status =
        content == NULL ? WHYFIT_NO_MEMORY : whyfit_lister_open(listings, NULL, &lister);
    const int result = status == WHYFIT_OK ? judge_text(options, lister, content, length)
                                           : exit_of(status);
    whyfit_lister_free(lister);
    free(content);
    return result;
}

/* ---- which of both */

static bool ends_in(const char *path, const char *end)
{
    const size_t length = strlen(path);
    const size_t wanted = strlen(end);
    return length >= wanted && strcmp(path + length - wanted, end) == 0;
}

enum input_kind {
    INPUT_TEXT,
    INPUT_ROWS,
    INPUT_WRONG
};

/* As --rows says; else a file's ending does. */
static enum input_kind kind_of(const struct options *options, whyfit_rows *rows)
{
    static const char *const words[] = {"lines", "csv", "json"};
    const char *path = options->words[0];
    const char *told = options->rows != NULL   ? options->rows
                       : ends_in(path, ".csv") ? "csv"
                       : ends_in(path, ".jsonl") || ends_in(path, ".ndjson") ? "json"
                                                                             : NULL;
    if (told == NULL) {
        return INPUT_TEXT;
    }
    for (int i = 0; i < 3; i++) {
        if (strcmp(told, words[i]) == 0) {
            *rows = (whyfit_rows)i;
            return INPUT_ROWS;
        }
    }
    fprintf(stderr,
            "error: --rows: there are no rows of \"%s\"\n"
            "  expected: lines, csv or json\n",
            told);
    say_nearest(told, words, 3);
    return INPUT_WRONG;
}

static int judge_file(const struct options *options, FILE *file, enum input_kind kind,
                      whyfit_rows rows)
{
    int result = EXIT_FAULT;
    whyfit_listings *listings = NULL;
    whyfit_problems *problems = NULL;
    struct options how = *options;
    how.answers_many = kind == INPUT_ROWS;
    whyfit_knowledge *knowledge = load_knowledge(&how, &result);
    if (knowledge == NULL) {
        return result;
    }
    const whyfit_status status = whyfit_listings_open(knowledge, &listings, &problems);
    say_problems(problems, options->format);
    result = status != WHYFIT_OK ? exit_of(status)
             : kind == INPUT_TEXT
                 ? judge_one(options, listings, file)
                 : run_listing_stream(options, knowledge, listings, file, rows);
    whyfit_listings_free(listings);
    whyfit_knowledge_free(knowledge);
    return result;
}

/* A folder opens, and cannot be read. */
static bool can_be_read(FILE *file)
{
    const int first = fgetc(file);
    return first == EOF ? ferror(file) == 0 : ungetc(first, file) == first;
}

static int run_listing(const struct options *options)
{
    whyfit_rows rows = WHYFIT_ROWS_LINES;
    if (options->word_count != 1) {
        fputs("error: one file was expected\n"
              "  expected: whyfit listing FILE, or - for standard input\n",
              stderr);
        return EXIT_FAULT;
    }
    const enum input_kind kind = kind_of(options, &rows);
    if (kind == INPUT_WRONG) {
        return EXIT_FAULT;
    }
    if (kind == INPUT_ROWS && options->format == WHYFIT_HTML) {
        fputs("error: a report in HTML is of one listing\n"
              "  expected: --format json or --csv for rows\n",
              stderr);
        return EXIT_FAULT;
    }
    const bool is_input = strcmp(options->words[0], "-") == 0;
    FILE *file = is_input ? stdin : fopen(options->words[0], "rb");
    if (file == NULL || !can_be_read(file)) {
        fprintf(stderr,
                "error: %s cannot be read\n"
                "  expected: a file, or - for standard input\n",
                options->words[0]);
        if (file != NULL && !is_input) {
            (void)fclose(file);
        }
        return EXIT_FAULT;
    }
    const int result = judge_file(options, file, kind, rows);
    if (!is_input) {
        (void)fclose(file);
    }
    return result;
}

const struct command command_listing = {
    .name = "listing",
    .usage = "listing FILE",
    .says = "is this listing right?",
    .help =
        "Reads what a seller claims (numbers, models, years, sizes, features) and says\n"
        "of each claim whether the record supports it, contradicts it, or is silent.\n"
        "FILE holds the text of one listing; - reads standard input.\n"
        "A file of rows (FILE.csv, FILE.jsonl, or --rows) gives a line of JSON for "
        "each.\n"
        "\n"
        "  --format html          a page with each claim marked in the text\n"
        "  --chain                how each claim of one listing comes from the record\n"
        "  --rows lines|csv|json  a listing a line, a row, an object\n"
        "  --columns TITLE,TEXT   where its words are; else guessed, and said\n"
        "  --id COLUMN            what names a row\n"
        "  --csv                  answer in CSV, a line a claim\n"
        "  --rejected FILE        rows that cannot be read, and why; else beside --out\n"
        "  --resume               goes on where a run with the same --out was stopped\n"
        "  --threads N            else as many as there are cores\n"
        "  --forget               judges each swap anew, to see what remembering "
        "saves\n\n"
        "  Exit status of one: 0 ok, 1 wrong, 3 not enough is told; of rows: 0, or 2\n"
        "  where some were rejected",
    .run = run_listing,
    .has_report = true};
