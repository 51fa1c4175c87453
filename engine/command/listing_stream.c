/* SPDX-License-Identifier: MIT */
/*
 * whyfit listing on many rows: a window of rows is read, judged on all threads, and
 * written in order; then its journal is. Memory does not grow with the file, and the
 * bytes are those that one thread would write.
 */
#include "listing_stream.h"

#include "listing_journal.h"
#include "listing_rows.h"
#include "progress.h"

#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

enum counted_as {
    COUNT_OK,
    COUNT_WRONG,
    COUNT_NOT_ENOUGH,
    COUNT_REJECTED,
    COUNT_CLAIMS,
    COUNT_SUPPORTED,
    COUNT_CONTRADICTED,
    COUNT_NOT_KNOWN
};

struct stream {
    const struct options *options;
    const whyfit_knowledge *knowledge;
    whyfit_listings *listings;
    whyfit_columns *columns;
    whyfit_lister *listers[MOST_THREADS];
    struct rows_in in;
    struct bytes answers[ROWS_WINDOW];
    whyfit_listing judged[ROWS_WINDOW];
    whyfit_status statuses[ROWS_WINDOW];
    struct journal done;
    uint64_t resumed_at; /* rows */
    FILE *out;
    FILE *rejects; /* NULL: standard error */
    char path_out[PATH_ROOM];
    char path_part[PATH_ROOM];
    char path_rejects[PATH_ROOM];
    char path_journal[PATH_ROOM];
    struct progress progress;
    struct timespec noted; /* the journal was written */
};

/* ---- judging */

static void judge_row(void *context, size_t worker, size_t i)
{
    struct stream *stream = context;
    const struct row_place *place = &stream->in.places[i];
    whyfit_listing_text from = WHYFIT_LISTING_TEXT_OF(place->at, place->length);
    whyfit_lister_options how = WHYFIT_LISTER_OPTIONS;
    whyfit_lister **lister = &stream->listers[worker];
    how.forgets = stream->options->forgets;
    stream->answers[i].length = 0;
    stream->judged[i] = (whyfit_listing){0};
    if (place->is_too_long) {
        stream->statuses[i] = WHYFIT_LIMIT;
        (void)snprintf(stream->judged[i].reason, sizeof stream->judged[i].reason,
                       "it is longer than %d bytes", ROWS_BUFFER);
        return;
    }
    from.row = stream->done.rows + i + 1;
    from.format = stream->options->writes_csv ? WHYFIT_LISTING_CSV : WHYFIT_LISTING_JSON;
    stream->statuses[i] =
        *lister != NULL ? WHYFIT_OK : whyfit_lister_open(stream->listings, &how, lister);
    if (stream->statuses[i] == WHYFIT_OK) {
        stream->statuses[i] =
            whyfit_lister_row(*lister, stream->columns, &from, bytes_append,
                              &stream->answers[i], &stream->judged[i]);
    }
}

/* ---- writing */

/* A row that was refused, as a line of JSON: its number, the reason and its beginning
 * with whatever is not plain ASCII left out. */
static bool write_reject(struct stream *stream, size_t i)
{
    char begin[64];
    size_t length = 0;
    const struct row_place *place = &stream->in.places[i];
    FILE *to = stream->rejects == NULL ? stderr : stream->rejects;
    for (size_t k = 0; k < place->length && length + 1 < sizeof begin; k++) {
        const char c = place->at[k];
        if (c >= ' ' && c < 0x7f && c != '"' && c != '\\') {
            begin[length++] = c;
        }
    }
    begin[length] = '\0';
    const int written = fprintf(
        to, "{\"row\":%llu,\"reason\":\"%s\",\"begins\":\"%s\"}\n",
        (unsigned long long)(stream->done.rows + i + 1), stream->judged[i].reason, begin);
    if (stream->rejects != NULL && written > 0) {
        stream->done.rejected += (uint64_t)written;
    }
    return written > 0;
}

static void count_row(struct stream *stream, const whyfit_listing *judged)
{
    uint64_t *counts = stream->done.counts;
    counts[judged->verdict == WHYFIT_LISTING_OK      ? COUNT_OK
           : judged->verdict == WHYFIT_LISTING_WRONG ? COUNT_WRONG
                                                     : COUNT_NOT_ENOUGH]++;
    counts[COUNT_CLAIMS] += judged->claims;
    counts[COUNT_SUPPORTED] += judged->supported;
    counts[COUNT_CONTRADICTED] += judged->contradicted;
    counts[COUNT_NOT_KNOWN] += judged->not_known;
}

static bool write_row(struct stream *stream, size_t i)
{
    const struct bytes *answer = &stream->answers[i];
    if (stream->statuses[i] == WHYFIT_INVALID || stream->statuses[i] == WHYFIT_LIMIT) {
        stream->done.counts[COUNT_REJECTED]++;
        return write_reject(stream, i);
    }
    if (stream->statuses[i] != WHYFIT_OK) {
        return false;
    }
    count_row(stream, &stream->judged[i]);
    stream->done.written += answer->length;
    return fwrite(answer->at, 1, answer->length, stream->out) == answer->length;
}

static double seconds_since(const struct timespec *then)
{
    struct timespec now;
    (void)clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)(now.tv_sec - then->tv_sec) +
           1e-9 * (double)(now.tv_nsec - then->tv_nsec);
}

/* What was written is handed to the kernel before it is counted. */
static bool note_progress(struct stream *stream, bool is_end)
{
    if (stream->path_out[0] == '\0' || (!is_end && seconds_since(&stream->noted) < 0.5)) {
        return true;
    }
    (void)clock_gettime(CLOCK_MONOTONIC, &stream->noted);
    stream->done.offset = stream->in.offset;
    return fflush(stream->out) == 0 &&
           (stream->rejects == NULL || fflush(stream->rejects) == 0) &&
           journal_write(stream->path_journal, &stream->done);
}

/* ---- being stopped */

static sigset_t stop_signals(void)
{
    sigset_t stops;
    (void)sigemptyset(&stops);
    (void)sigaddset(&stops, SIGINT);
    (void)sigaddset(&stops, SIGTERM);
    return stops;
}

static bool is_stopped(void)
{
    sigset_t pending;
    return sigpending(&pending) == 0 &&
           (sigismember(&pending, SIGINT) == 1 || sigismember(&pending, SIGTERM) == 1);
}

/* Writes down how far it came and says how to go on; then the signal does what it does.
 */
static void stop(struct stream *stream)
{
    const sigset_t stops = stop_signals();
    if (note_progress(stream, true)) {
        progress_end(&stream->progress);
        fprintf(stderr,
                "stopped after %llu rows; the same command with --resume goes on behind "
                "them\n",
                (unsigned long long)stream->done.rows);
    }
    (void)pthread_sigmask(SIG_UNBLOCK, &stops, NULL);
}

/* ---- going through */

static void show(struct stream *stream, bool is_end)
{
    const struct progress_now now = {.rows = stream->done.rows,
                                     .rows_before = stream->resumed_at,
                                     .bytes = stream->in.offset,
                                     .all_bytes = stream->done.input_size,
                                     .is_end = is_end};
    if (stream->path_out[0] != '\0') {
        progress_show(&stream->progress, &now);
    }
}

static bool run_windows(struct stream *stream)
{
    const size_t threads = threads_wanted(stream->options);
    for (;;) {
        if (!rows_next(&stream->in, ROWS_WINDOW)) {
            fputs("error: the rows cannot be read\n", stderr);
            return false;
        }
        if (stream->in.count == 0) {
            show(stream, true);
            return note_progress(stream, true);
        }
        threads_spread(threads, stream->in.count, judge_row, stream);
        for (size_t i = 0; i < stream->in.count; i++) {
            if (!write_row(stream, i)) {
                fputs("error: the answers cannot be written\n", stderr);
                return false;
            }
        }
        stream->done.rows += stream->in.count;
        if (!note_progress(stream, false)) {
            fputs("error: how far it came cannot be written\n", stderr);
            return false;
        }
        show(stream, false);
        if (stream->path_journal[0] != '\0' && is_stopped()) {
            stop(stream);
        }
    }
}

static void say_summary(const struct stream *stream)
{
    const uint64_t *counts = stream->done.counts;
    fprintf(stderr,
            "%llu rows: %llu ok, %llu wrong, %llu not enough, %llu rejected\n"
            "%llu claims: %llu supported, %llu contradicted, %llu not known\n",
            (unsigned long long)stream->done.rows, (unsigned long long)counts[COUNT_OK],
            (unsigned long long)counts[COUNT_WRONG],
            (unsigned long long)counts[COUNT_NOT_ENOUGH],
            (unsigned long long)counts[COUNT_REJECTED],
            (unsigned long long)counts[COUNT_CLAIMS],
            (unsigned long long)counts[COUNT_SUPPORTED],
            (unsigned long long)counts[COUNT_CONTRADICTED],
            (unsigned long long)counts[COUNT_NOT_KNOWN]);
    if (stream->options->with_effort) {
        whyfit_listing_effort all = {0};
        for (size_t i = 0; i < MOST_THREADS; i++) {
            if (stream->listers[i] != NULL) {
                const whyfit_listing_effort one =
                    whyfit_lister_effort(stream->listers[i]);
                all.swaps_tried += one.swaps_tried;
                all.pairs_asked += one.pairs_asked;
            }
        }
        fprintf(stderr, "%llu swaps tried for %llu pairs of part and model\n",
                (unsigned long long)all.swaps_tried, (unsigned long long)all.pairs_asked);
    }
}

/* ---- opening */

static bool name_files(struct stream *stream)
{
    const char *out = stream->options->out;
    if (out == NULL) {
        return true;
    }
    const int longest =
        snprintf(stream->path_journal, sizeof stream->path_journal, "%s.at", out);
    (void)snprintf(stream->path_out, sizeof stream->path_out, "%s", out);
    (void)snprintf(stream->path_part, sizeof stream->path_part, "%s.part", out);
    if (stream->options->rejected == NULL) {
        (void)snprintf(stream->path_rejects, sizeof stream->path_rejects, "%s.rejected",
                       out);
    }
    if (longest < 0 || longest + 16 >= PATH_ROOM) {
        fprintf(stderr, "error: the name of %s is too long\n", out);
        return false;
    }
    return true;
}

/* What changes the output: rows judged so and otherwise may not be mixed. */
static uint64_t digest_of(const struct options *options)
{
    uint64_t digest = UINT64_C(14695981039346656037);
    const char *const words[] = {options->rows, options->columns, options->id,
                                 options->writes_csv ? "csv" : "json"};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        for (const char *at = words[i] == NULL ? "" : words[i]; *at != '\0'; at++) {
            digest = (digest ^ (unsigned char)*at) * UINT64_C(1099511628211);
        }
        digest = (digest ^ 0xff) * UINT64_C(1099511628211);
    }
    return digest;
}

static void note_input(struct stream *stream, struct journal *journal)
{
    struct stat about;
    journal->how = digest_of(stream->options);
    if (fstat(fileno(stream->in.file), &about) == 0 && S_ISREG(about.st_mode)) {
        journal->input_size = (uint64_t)about.st_size;
        journal->input_time = (uint64_t)about.st_mtim.tv_sec * UINT64_C(1000000000) +
                              (uint64_t)about.st_mtim.tv_nsec;
    }
}

/* Where --resume finds a journal of this input: *found, and how far it came. false: said.
 */
static bool find_restart(struct stream *stream, struct journal *found, bool *is_found)
{
    *is_found = false;
    if (!stream->options->resumes) {
        return true;
    }
    if (stream->options->out == NULL) {
        fputs("error: --resume goes on with a file\n  expected: --out FILE\n", stderr);
        return false;
    }
    if (!journal_read(stream->path_journal, found)) {
        fprintf(stderr, "%s tells of no run to go on with: all rows are read\n",
                stream->path_journal);
        return true;
    }
    if (found->how != stream->done.how || found->input_size != stream->done.input_size ||
        found->input_time != stream->done.input_time) {
        fprintf(stderr,
                "error: %s is of another input, or of other options\n"
                "  expected: the same, or no --resume to begin anew\n",
                stream->path_journal);
        return false;
    }
    *is_found = true;
    return true;
}

static FILE *open_at(const char *path, bool goes_on, uint64_t length)
{
    FILE *file = fopen(path, goes_on ? "r+b" : "wb");
    if (file == NULL || (goes_on && (ftruncate(fileno(file), (off_t)length) != 0 ||
                                     fseeko(file, (off_t)length, SEEK_SET) != 0))) {
        fprintf(stderr, "error: %s cannot be written\n", path);
        if (file != NULL) {
            (void)fclose(file);
        }
        return NULL;
    }
    return file;
}

static bool open_outputs(struct stream *stream, bool goes_on)
{
    const char *rejects = stream->options->rejected != NULL ? stream->options->rejected
                          : stream->path_rejects[0] != '\0' ? stream->path_rejects
                                                            : NULL;
    stream->out = stream->options->out == NULL
                      ? stdout
                      : open_at(stream->path_part, goes_on, stream->done.written);
    if (stream->out != NULL && rejects != NULL) {
        stream->rejects = open_at(rejects, goes_on, stream->done.rejected);
    }
    return stream->out != NULL && (rejects == NULL || stream->rejects != NULL);
}

static bool count_bytes(void *context, const char *bytes, size_t length)
{
    struct stream *stream = context;
    stream->done.written += length;
    return fwrite(bytes, 1, length, stream->out) == length;
}

/* Goes on where the journal says, or begins. */
static bool begin(struct stream *stream)
{
    struct journal found;
    bool goes_on = false;
    note_input(stream, &stream->done);
    if (!name_files(stream) || !find_restart(stream, &found, &goes_on)) {
        return false;
    }
    if (goes_on) {
        stream->done = found;
        stream->resumed_at = found.rows;
        if (fseeko(stream->in.file, (off_t)found.offset, SEEK_SET) != 0) {
            fputs("error: this input cannot be gone on with\n"
                  "  expected: a file, not a pipe\n",
                  stderr);
            return false;
        }
        stream->in.offset = found.offset;
        stream->in.length = 0;
        stream->in.used = 0;
        stream->in.is_end = false;
    }
    if (!open_outputs(stream, goes_on)) {
        return false;
    }
    return goes_on || !stream->options->writes_csv ||
           whyfit_listing_head(stream->knowledge, count_bytes, stream) == WHYFIT_OK;
}

/* The first row tells the columns: of CSV it is no listing. */
static bool find_columns(struct stream *stream, whyfit_rows rows)
{
    whyfit_columns_options how = WHYFIT_COLUMNS_OPTIONS;
    whyfit_problems *problems = NULL;
    char words[NAME_ROOM] = "";
    const char *columns[MOST_TOLD_COLUMNS];
    how.rows = rows;
    how.id = stream->options->id;
    if (rows != WHYFIT_ROWS_LINES) {
        if (!rows_next(&stream->in, 1) || stream->in.count == 0) {
            fputs("error: there is no row\n  expected: a first row that names the "
                  "columns\n",
                  stderr);
            return false;
        }
        how.head = stream->in.places[0].at;
        how.head_length = stream->in.places[0].length;
    }
    if (stream->options->columns != NULL) {
        (void)snprintf(words, sizeof words, "%s", stream->options->columns);
        for (char *word = strtok(words, ","); /* the command has this thread alone */
             word != NULL && how.column_count < MOST_TOLD_COLUMNS;
             word = strtok(NULL, ",")) {
            columns[how.column_count++] = word + strspn(word, " ");
        }
        how.columns = columns;
    }
    const whyfit_status status = whyfit_columns_open(&how, &stream->columns, &problems);
    say_problems(problems, WHYFIT_TEXT);
    if (status == WHYFIT_OK && whyfit_columns_guessed(stream->columns)) {
        fprintf(stderr, "columns: %s (--columns tells others)\n",
                whyfit_columns_words(stream->columns));
    }
    if (rows == WHYFIT_ROWS_JSON) { /* that row is a listing too */
        stream->in.used = 0;
        stream->in.offset = 0;
    }
    return status == WHYFIT_OK;
}

static int finish(struct stream *stream, bool is_done)
{
    const bool is_flushed = stream->out != NULL && fflush(stream->out) == 0;
    is_done = is_done && is_flushed;
    if (stream->rejects != NULL) {
        is_done = fclose(stream->rejects) == 0 && is_done;
    }
    if (stream->out != NULL && stream->options->out != NULL) {
        is_done = fsync(fileno(stream->out)) == 0 && is_done;
        is_done = fclose(stream->out) == 0 && is_done;
        if (is_done) {
            is_done = rename(stream->path_part, stream->path_out) == 0;
            (void)remove(stream->path_journal);
            if (stream->done.rejected == 0 && stream->path_rejects[0] != '\0') {
                (void)remove(stream->path_rejects);
            }
        }
    }
    return !is_done                                  ? EXIT_MACHINE
           : stream->done.counts[COUNT_REJECTED] > 0 ? EXIT_FAULT
                                                     : EXIT_FITS;
}

static void close_stream(struct stream *stream)
{
    for (size_t i = 0; i < ROWS_WINDOW; i++) {
        free(stream->answers[i].at);
    }
    for (size_t i = 0; i < MOST_THREADS; i++) {
        whyfit_lister_free(stream->listers[i]);
    }
    whyfit_columns_free(stream->columns);
    rows_close(&stream->in);
    free(stream);
}

int run_listing_stream(const struct options *options, const whyfit_knowledge *knowledge,
                       whyfit_listings *listings, FILE *file, whyfit_rows rows)
{
    struct stream *stream = calloc(1, sizeof *stream);
    int result = EXIT_MACHINE;
    if (stream == NULL || !rows_open(&stream->in, file, rows)) {
        fputs("error: out of memory\n", stderr);
        free(stream);
        return EXIT_MACHINE;
    }
    stream->options = options;
    stream->knowledge = knowledge;
    stream->listings = listings;
    stream->progress = progress_open();
    if (!find_columns(stream, rows) || !begin(stream)) {
        result = EXIT_FAULT;
    } else {
        const sigset_t stops = stop_signals();
        if (options->out != NULL) {
            (void)pthread_sigmask(SIG_BLOCK, &stops, NULL);
        }
        result = finish(stream, run_windows(stream));
        progress_end(&stream->progress);
        (void)pthread_sigmask(SIG_UNBLOCK, &stops, NULL);
        say_summary(stream);
    }
    close_stream(stream);
    return result;
}
