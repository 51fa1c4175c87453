/* SPDX-License-Identifier: MIT */
/*
 * Runs a command and says what it took: `take SECONDS FILE COMMAND…` writes one line of
 * JSON to FILE. A program of its own and small, since the peak memory that the kernel
 * reports of a command counts in what forked it.
 */
#include <stdio.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <sys/time.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

enum {
    FAILED = 2
};

static double clock_seconds(void)
{
    struct timespec now;
    (void)clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + (double)now.tv_nsec * 1e-9;
}

static double seconds_of(struct timeval time)
{
    return (double)time.tv_sec + (double)time.tv_usec * 1e-6;
}

/* More processor time than `seconds` ends it. */
static void become(char **command, rlim_t seconds)
{
    const struct rlimit limit = {seconds, seconds + 1};
    (void)setrlimit(RLIMIT_CPU, &limit);
    (void)execvp(command[0], command);
    perror(command[0]);
    _exit(FAILED);
}

int main(int argc, char **argv)
{
    struct rusage used;
    int end = 0;
    FILE *out = argc < 4 ? NULL : fopen(argv[2], "w");
    if (out == NULL) {
        fputs("take SECONDS FILE COMMAND…\n", stderr);
        return FAILED;
    }
    const double start = clock_seconds();
    const pid_t child = fork();
    if (child == 0) {
        become(argv + 3, (rlim_t)strtoul(argv[1], NULL, 10));
    }
    if (child < 0 || wait4(child, &end, 0, &used) != child) {
        perror("take");
        return FAILED;
    }
    fprintf(
        out, "{\"clock\": %.6f, \"processor\": %.6f, \"memory\": %.3f, \"status\": %d}\n",
        clock_seconds() - start, seconds_of(used.ru_utime) + seconds_of(used.ru_stime),
        (double)used.ru_maxrss / 1024.0,
        WIFEXITED(end) ? WEXITSTATUS(end) : -WTERMSIG(end));
    return fclose(out) == 0 ? 0 : FAILED;
}
