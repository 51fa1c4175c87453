/* SPDX-License-Identifier: MIT */
/*
 * What reading listings costs beside what PCRE2 alone takes for the same patterns over
 * the same bytes, in one process: `floor FILE [PATTERNS PLAIN]` reads a listing a line
 * and prints figures, one a line. The floor is one scan of each text with all patterns as
 * alternations, and then one scan with each pattern of the texts that matched, as plain
 * machine code of PCRE2. With more names the alternations and the folded texts are
 * written there, for other programs to scan.
 */
#include "diagnostic.h"
#include "listing_private.h"
#include "read_file.h"

#define PCRE2_CODE_UNIT_WIDTH 8
#include <pcre2.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

enum {
    MOST_PATTERNS = 2000,
    ALTERNATION_BYTES = 12000,
    DISTINCT_SLOTS = 1 << 20
};

struct listings {
    text *at;
    struct folded *folded;
    size_t count;
    size_t bytes;
};

struct codes {
    pcre2_code *at[MOST_PATTERNS];
    size_t count;
};

static void require(bool is_so, const char *what)
{
    if (!is_so) {
        (void)fprintf(stderr, "%s\n", what);
        exit(2);
    }
}

static double now(void)
{
    struct timespec at;
    (void)clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &at);
    return (double)at.tv_sec + 1e-9 * (double)at.tv_nsec;
}

static pcre2_code *compile(text pattern)
{
    int error = 0;
    PCRE2_SIZE at = 0;
    pcre2_code *code =
        pcre2_compile((PCRE2_SPTR)pattern.at, pattern.length,
                      PCRE2_DUPNAMES | PCRE2_DOLLAR_ENDONLY, &error, &at, NULL);
    require(code != NULL && pcre2_jit_compile(code, PCRE2_JIT_COMPLETE) == 0,
            "a pattern does not compile");
    return code;
}

static const struct knowledge *load(struct arena *arena)
{
    const struct knowledge_input inputs[] = {{.name = TEXT(WHYFIT_ROOT "/rules")},
                                             {.name = TEXT(WHYFIT_ROOT "/facts")},
                                             {.name = TEXT(WHYFIT_ROOT "/demo")}};
    const struct knowledge *knowledge = NULL;
    struct sources *sources = sources_open(arena, NULL);
    struct diagnostics *diagnostics = diagnostics_open(arena);
    require(sources != NULL && diagnostics != NULL &&
                knowledge_load(arena, inputs, 3, sources, diagnostics, &knowledge) ==
                    STATUS_OK,
            "the demo does not load");
    return knowledge;
}

static struct listings read_lines(struct arena *arena, const char *path)
{
    struct file_stamp stamp;
    text content;
    struct listings lines = {0};
    require(file_read(arena, path, (size_t)1 << 31, &content, &stamp) == STATUS_OK,
            "the listings cannot be read");
    for (size_t i = 0; i < content.length; i++) {
        lines.count += content.at[i] == '\n' ? 1 : 0;
    }
    lines.at = ARENA_MANY(arena, lines.count, text);
    lines.folded = ARENA_MANY(arena, lines.count, struct folded);
    require(arena_status(arena) == STATUS_OK, "no memory");
    size_t from = 0;
    for (size_t i = 0; i < lines.count; i++) {
        size_t wrong = 0;
        const size_t end = text_find(content, '\n', from);
        lines.at[i] = text_slice(content, from, end);
        lines.bytes += end - from;
        require(fold(arena, lines.at[i], &lines.folded[i], &wrong) == STATUS_OK,
                "a listing is no UTF-8");
        from = end + 1;
    }
    return lines;
}

/* For programs that want no group to have a name. */
static void write_plainly(FILE *to, text pattern)
{
    for (size_t i = 0; i < pattern.length; i++) {
        const bool is_named = i + 3 < pattern.length && pattern.at[i] == '(' &&
                              pattern.at[i + 1] == '?' && pattern.at[i + 2] == '<' &&
                              pattern.at[i + 3] != '=' && pattern.at[i + 3] != '!';
        if (is_named) {
            (void)fputs("(?:", to);
            i = text_find(pattern, '>', i);
        } else {
            (void)fputc(pattern.at[i], to);
        }
    }
    (void)fputc('\n', to);
}

/* All patterns that are looked for anywhere, in as few alternations as PCRE2 takes. */
static void make_codes(struct arena *arena, const struct listing_bench *bench,
                       struct codes *each, struct codes *all, FILE *to)
{
    const uint32_t count = bench->knowledge->claims.count;
    text so_far = {"", 0};
    for (uint32_t i = 0; i < count; i++) {
        const struct scanned_pattern *one = &bench->scanned[i];
        if (!one->is_follower && !text_starts(one->written, TEXT("(?:(?!"))) {
            each->at[each->count++] = compile(one->written);
            so_far = text_format(arena, "%.*s%s(?:%.*s)", TEXT_ARG(so_far),
                                 so_far.length > 0 ? "|" : "", TEXT_ARG(one->written));
        }
        if (so_far.length > 0 && (so_far.length > ALTERNATION_BYTES || i + 1 == count)) {
            all->at[all->count++] = compile(so_far);
            if (to != NULL) {
                write_plainly(to, so_far);
            }
            so_far = (text){"", 0};
        }
    }
}

static size_t count_matches(const pcre2_code *code, text subject, pcre2_match_data *data)
{
    size_t found = 0;
    size_t at = 0;
    while (at <= subject.length &&
           pcre2_jit_match(code, (PCRE2_SPTR)subject.at, subject.length, at, 0, data,
                           NULL) >= 0) {
        const PCRE2_SIZE *ends = pcre2_get_ovector_pointer(data);
        at = ends[1] > at ? ends[1] : at + 1;
        found++;
    }
    return found;
}

static void measure_floor(const struct listings *lines, const struct codes *each,
                          const struct codes *all)
{
    pcre2_match_data *data = pcre2_match_data_create(SCANNER_GROUPS, NULL);
    bool *matched = calloc(lines->count, sizeof *matched);
    size_t rows = 0;
    size_t found = 0;
    require(data != NULL && matched != NULL, "no memory");
    double began = now();
    for (size_t i = 0; i < lines->count; i++) {
        const text plain = lines->folded[i].plain;
        for (size_t c = 0; c < all->count && !matched[i]; c++) {
            matched[i] = pcre2_jit_match(all->at[c], (PCRE2_SPTR)plain.at, plain.length,
                                         0, 0, data, NULL) >= 0;
        }
        rows += matched[i] ? 1 : 0;
    }
    const double combined = now() - began;
    began = now();
    for (size_t i = 0; i < lines->count; i++) {
        for (size_t c = 0; matched[i] && c < each->count; c++) {
            found += count_matches(each->at[c], lines->folded[i].plain, data);
        }
    }
    printf("combined_scan_s %.4f\nper_pattern_s %.4f\nrows_matched %zu\nmatches %zu\n",
           combined, now() - began, rows, found);
    pcre2_match_data_free(data);
    free(matched);
}

static void measure_ours(const struct listings *lines, struct lister *lister,
                         const char *name, bool judges)
{
    size_t claims = 0;
    size_t silent = 0;
    const double began = now();
    for (size_t i = 0; i < lines->count; i++) {
        struct listing_answer answer;
        size_t wrong = 0;
        struct arena *arena = arena_open(allocator_standard(), 0);
        require(arena != NULL &&
                    listing_read(lister, arena, lines->at[i], &answer, &wrong) ==
                        STATUS_OK &&
                    (!judges || listing_judge(lister, arena, &answer) == STATUS_OK),
                "a listing cannot be read");
        claims += answer.claim_count;
        silent += answer.claim_count == 0 ? 1 : 0;
        arena_close(arena);
    }
    printf("%s_s %.4f\n%s_claims %zu\n%s_silent %zu\n", name, now() - began, name, claims,
           name, silent);
}

static uint64_t hash_claim(const struct claim *claim)
{
    const text parts[] = {text_of(claim_kind_word(claim->kind)), claim->value,
                          claim->what, claim->unit};
    uint64_t hash = UINT64_C(14695981039346656037);
    for (size_t p = 0; p < sizeof parts / sizeof *parts; p++) {
        for (size_t i = 0; i < parts[p].length; i++) {
            hash = (hash ^ (unsigned char)parts[p].at[i]) * UINT64_C(1099511628211);
        }
        hash = (hash ^ 0xff) * UINT64_C(1099511628211);
    }
    return hash == 0 ? 1 : hash;
}

/* How many claims of the listings say something that none before says. */
static size_t count_distinct(const struct listings *lines, struct lister *lister)
{
    static uint64_t seen[DISTINCT_SLOTS];
    size_t count = 0;
    for (size_t i = 0; i < lines->count; i++) {
        struct listing_answer answer;
        size_t wrong = 0;
        struct arena *arena = arena_open(allocator_standard(), 0);
        require(arena != NULL && listing_read(lister, arena, lines->at[i], &answer,
                                              &wrong) == STATUS_OK,
                "a listing cannot be read");
        for (uint32_t c = 0; c < answer.claim_count; c++) {
            const uint64_t hash = hash_claim(&answer.claims[c]);
            size_t at = hash % DISTINCT_SLOTS;
            while (seen[at] != 0 && seen[at] != hash) {
                at = (at + 1) % DISTINCT_SLOTS;
            }
            count += seen[at] == 0 ? 1 : 0;
            require(2 * count < DISTINCT_SLOTS, "too many claims differ");
            seen[at] = hash;
        }
        arena_close(arena);
    }
    return count;
}

static void write_plain(const struct listings *lines, const char *path)
{
    FILE *file = fopen(path, "wb");
    require(file != NULL, "the folded texts cannot be written");
    for (size_t i = 0; i < lines->count; i++) {
        (void)fprintf(file, "%.*s\n", TEXT_ARG(lines->folded[i].plain));
    }
    require(fclose(file) == 0, "the folded texts cannot be written");
}

int main(int argc, char **argv)
{
    static struct codes each;
    static struct codes all;
    require(argc == 2 || argc == 4, "usage: floor FILE [PATTERNS PLAIN]");
    struct arena *arena = arena_open(allocator_standard(), 0);
    const struct knowledge *knowledge = load(arena);
    struct listing_bench *bench = NULL;
    struct lister *lister = NULL;
    struct lister *forgetful = NULL;
    const struct lister_options remembers = {
        .limits.plans = inference_plans_open(arena, knowledge->rules)};
    struct lister_options forgets = remembers;
    forgets.forgets = true;
    require(listing_bench_open(arena, knowledge, diagnostics_open(arena), &bench) ==
                    STATUS_OK &&
                lister_open(arena, bench, &remembers, &lister) == STATUS_OK &&
                lister_open(arena, bench, &forgets, &forgetful) == STATUS_OK,
            "the bench cannot be opened");
    const struct listings lines = read_lines(arena, argv[1]);
    FILE *to = argc == 4 ? fopen(argv[2], "wb") : NULL;
    make_codes(arena, bench, &each, &all, to);
    if (to != NULL) {
        (void)fclose(to);
        write_plain(&lines, argv[3]);
    }
    printf("rows %zu\nbytes %zu\npatterns %zu\nalternations %zu\n", lines.count,
           lines.bytes, each.count, all.count);
    measure_floor(&lines, &each, &all);
    measure_ours(&lines, lister, "reading", false);
    measure_ours(&lines, lister, "first_judging", true);
    measure_ours(&lines, lister, "judging", true);
    const struct lister_counts counts = lister_counted(lister);
    printf("pairs_asked %llu\nswaps_tried %llu\npairs_found %llu\n",
           (unsigned long long)counts.asked, (unsigned long long)counts.judged,
           (unsigned long long)counts.found);
    printf("distinct_claims %zu\n", count_distinct(&lines, lister));
    struct listings few = lines;
    few.count = few.count > 300 ? 300 : few.count;
    printf("forgetting_rows %zu\n", few.count);
    measure_ours(&few, forgetful, "forgetting", true);
    return 0;
}
