/* SPDX-License-Identifier: MIT */
/*
 * Answers questions over a database file, one after the other, with statements that are
 * prepared once: `answer_sqlite DATABASE QUESTIONS.csv`.
 */
#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#define PLACED                                                                           \
    "WITH sits(slot,part) AS MATERIALIZED (SELECT ?2,?3 WHERE ?2<>0 UNION ALL"           \
    " SELECT slot,part FROM slot WHERE unit=?1 AND slot<>?2),"                           \
    " placed AS MATERIALIZED (SELECT h,s,p,k,y-w AS x,y FROM (SELECT u.shaft AS h,"      \
    " i.slot AS s, i.part AS p, t.kind AS k, t.width AS w,"                              \
    " u.start+SUM(t.width) OVER (ORDER BY i.slot) AS y"                                  \
    " FROM sits i CROSS JOIN part t ON t.part=i.part CROSS JOIN unit u ON u.unit=?1)) "

static const char *const leaks =
    PLACED "SELECT s,f,g,e-b FROM (SELECT l.s AS s, i.feature AS f, h.feature AS g,"
           " MAX(l.x+i.start,h.start) AS b, MIN(l.x+i.\"end\",h.\"end\") AS e"
           " FROM placed l CROSS JOIN feature i ON i.part=l.p AND i.kind='seal'"
           " CROSS JOIN feature h ON h.part=l.h"
           " WHERE h.kind IN (SELECT kind FROM hazard)) WHERE e>b";
static const char *const misfits =
    PLACED "SELECT l.s, h.feature, b.diameter-h.diameter FROM placed l"
           " CROSS JOIN bore b ON b.part=l.p CROSS JOIN limits m ON m.kind=l.k"
           " CROSS JOIN feature h ON h.part=l.h AND h.kind='land'"
           " WHERE l.x<h.\"end\" AND h.start<l.y AND (b.diameter-h.diameter<m.least"
           " OR b.diameter-h.diameter>m.greatest)";

static double processor_seconds(void)
{
    struct timespec now;
    (void)clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
    return (double)now.tv_sec + (double)now.tv_nsec * 1e-9;
}

static void stop(sqlite3 *database)
{
    fprintf(stderr, "%s\n", sqlite3_errmsg(database));
    exit(2);
}

/* Its rows, `name TAB question TAB cell …`; how many. */
static int say(sqlite3 *database, sqlite3_stmt *asked, const char *name,
               const int *question)
{
    int count = 0;
    int step = SQLITE_ROW;
    for (int i = 1; i < 4; i++) {
        sqlite3_bind_int(asked, i, question[i]);
    }
    while ((step = sqlite3_step(asked)) == SQLITE_ROW) {
        printf("%s\t%d", name, question[0]);
        for (int c = 0; c < sqlite3_column_count(asked); c++) {
            printf("\t%d", sqlite3_column_int(asked, c));
        }
        putchar('\n');
        count++;
    }
    if (step != SQLITE_DONE) {
        stop(database);
    }
    sqlite3_reset(asked);
    return count;
}

int main(int argc, char **argv)
{
    sqlite3 *database = NULL;
    sqlite3_stmt *statements[2] = {NULL, NULL};
    char line[200];
    int question[4] = {0};
    FILE *in = argc < 3 ? NULL : fopen(argv[2], "r");
    if (in == NULL || fgets(line, sizeof line, in) == NULL) {
        fputs("answer_sqlite DATABASE QUESTIONS.csv\n", stderr);
        return 2;
    }
    if (sqlite3_open_v2(argv[1], &database, SQLITE_OPEN_READONLY, NULL) != SQLITE_OK ||
        sqlite3_prepare_v2(database, leaks, -1, &statements[0], NULL) != SQLITE_OK ||
        sqlite3_prepare_v2(database, misfits, -1, &statements[1], NULL) != SQLITE_OK) {
        stop(database);
    }
    const double start = processor_seconds();
    while (fgets(line, sizeof line, in) != NULL &&
           sscanf(line, "%d,%d,%d,%d", &question[0], &question[1], &question[2],
                  &question[3]) == 4) {
        if (say(database, statements[0], "leak", question) +
                say(database, statements[1], "misfit", question) ==
            0) {
            printf("fits\t%d\n", question[0]);
        }
    }
    fprintf(stderr, "{\"load\": %.4f, \"evaluate\": %.4f}\n", start,
            processor_seconds() - start);
    for (int i = 0; i < 2; i++) {
        sqlite3_finalize(statements[i]);
    }
    (void)fclose(in);
    return sqlite3_close(database) == SQLITE_OK ? 0 : 2;
}
