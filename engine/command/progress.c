/* SPDX-License-Identifier: MIT */
#include "progress.h"

#include <stdio.h>
#include <string.h>
#include <sys/ioctl.h>
#include <unistd.h>

enum {
    LINE_ROOM = 200,
    USUAL_WIDTH = 80,
    LEAST_BAR = 8,
    MOST_BAR = 40
};

static double seconds_since(const struct timespec *then)
{
    struct timespec now;
    (void)clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)(now.tv_sec - then->tv_sec) +
           1e-9 * (double)(now.tv_nsec - then->tv_nsec);
}

struct progress progress_open(void)
{
    struct progress progress = {.is_watched = isatty(STDERR_FILENO) != 0};
    (void)clock_gettime(CLOCK_MONOTONIC, &progress.began);
    return progress;
}

/* Columns of the terminal; the last is left free, since a full line goes on below. */
static size_t width_of_line(void)
{
    struct winsize size;
    const size_t width = ioctl(STDERR_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 1
                             ? size.ws_col
                             : USUAL_WIDTH;
    return (width < LINE_ROOM ? width : LINE_ROOM) - 1;
}

/* "1 min 20 s", "2 h 5 min" */
static void write_time(char *to, size_t room, double seconds)
{
    const unsigned long all = (unsigned long)(seconds + 0.5);
    if (all < 60) {
        (void)snprintf(to, room, "%lu s", all);
    } else if (all < 3600) {
        (void)snprintf(to, room, "%lu min %lu s", all / 60, all % 60);
    } else {
        (void)snprintf(to, room, "%lu h %lu min", all / 3600, all / 60 % 60);
    }
}

/* "[####....] " of as much of the line as the words leave; nothing where that is little.
 */
static void write_bar(char *to, double share, size_t words, size_t width)
{
    const size_t left = width > words + 3 ? width - words - 3 : 0;
    const size_t length = left > MOST_BAR ? MOST_BAR : left;
    to[0] = '\0';
    if (length >= LEAST_BAR) {
        const size_t full = (size_t)(share * (double)length);
        to[0] = '[';
        memset(to + 1, '#', full);
        memset(to + 1 + full, '.', length - full);
        memcpy(to + 1 + length, "] ", 3);
    }
}

void progress_show(struct progress *progress, const struct progress_now *now)
{
    char words[LINE_ROOM] = "";
    char bar[MOST_BAR + 4] = "";
    char left[40] = "";
    char line[sizeof bar + sizeof words] = "";
    if (!progress->is_watched ||
        (!now->is_end && progress->is_shown && seconds_since(&progress->shown) < 0.2)) {
        return;
    }
    const size_t width = width_of_line();
    const double seconds = seconds_since(&progress->began);
    const double rows = (double)(now->rows - now->rows_before);
    const double rate = seconds > 0 ? rows / seconds : 0;
    if (now->all_bytes > 0) {
        const double share =
            now->bytes < now->all_bytes ? (double)now->bytes / (double)now->all_bytes : 1;
        /* rows are about as long as those before, of this run and the one before it */
        const double to_come = now->bytes > 0 ? (double)now->rows * (1 / share - 1) : 0;
        if (!now->is_end && rate > 0) {
            write_time(left, sizeof left, to_come / rate);
        }
        (void)snprintf(words, sizeof words, "%.0f %%, %llu rows, %.0f/s%s%s%s",
                       100 * share, (unsigned long long)now->rows, rate,
                       left[0] != '\0' ? ", " : "", left, left[0] != '\0' ? " left" : "");
        write_bar(bar, share, strlen(words), width);
    } else {
        (void)snprintf(words, sizeof words, "%llu rows, %.0f/s",
                       (unsigned long long)now->rows, rate);
    }
    (void)snprintf(line, sizeof line, "%s%s", bar, words);
    fprintf(stderr, "\r%-*.*s", (int)width, (int)width, line);
    (void)clock_gettime(CLOCK_MONOTONIC, &progress->shown);
    progress->is_shown = true;
}

void progress_end(struct progress *progress)
{
    if (progress->is_shown) {
        fputs("\n", stderr);
        progress->is_shown = false;
    }
}
