/* SPDX-License-Identifier: MIT */
/*
 * Patterns are put into a bucket for each byte they can start with, so that at a word
 * only those are tried that could match there: together, as one alternation whose marks
 * say which it was. Machine code heeds the match limit and its own stack, not the limits
 * on depth and heap; where its stack is too small the interpreter, which heeds all three,
 * tries again.
 */
#include "scanner.h"

#include "limits.h"

#include <string.h>

#define PCRE2_CODE_UNIT_WIDTH 8
#include <pcre2.h>

enum {
    BYTES = 256,
    DEEPEST = 32,
    STACK_START = 32 * 1024,
    STACK_MOST = 512 * 1024
};

/* A pattern, or several tried together. */
struct ready {
    pcre2_code *code;
    /* The named groups: the index of the name, and the group's number. A name may stand
     * for several, of which one takes part. */
    struct {
        uint8_t name;
        uint8_t number;
    } named[SCANNER_GROUPS];
    uint32_t named_count;
};

struct bucket {
    pcre2_code *code; /* NULL: nothing starts so */
    const uint32_t *members;
    uint32_t count;
};

struct scanner {
    struct arena *arena;
    const struct scanned_pattern *patterns;
    struct ready *ready;
    uint32_t count;
    struct bucket buckets[BYTES];
};

struct scanner_room {
    const struct scanner *scanner;
    pcre2_match_data *data;
    pcre2_match_context *context;
    pcre2_jit_stack *stack;
};

const char *const scanner_unknown_group = "no claim has a group of this name";

static bool is_word(char c)
{
    return is_digit(c) || is_letter(c) || c == '_';
}

/* ---- reading */

static pcre2_code *compile(text written, int *code, size_t *at)
{
    pcre2_compile_context *context = pcre2_compile_context_create(NULL);
    if (context == NULL) {
        return NULL;
    }
    (void)pcre2_set_parens_nest_limit(context, DEEPEST);
    pcre2_code *made =
        pcre2_compile((PCRE2_SPTR)written.at, written.length,
                      PCRE2_ANCHORED | PCRE2_DOLLAR_ENDONLY | PCRE2_DUPNAMES |
                          PCRE2_NEVER_BACKSLASH_C | PCRE2_NEVER_UTF | PCRE2_NEVER_UCP,
                      code, at, context);
    pcre2_compile_context_free(context);
    return made;
}

/* The index of a name in the list, or the list's length. */
static uint32_t group_index(const char *const *groups, const char *name)
{
    uint32_t i = 0;
    while (groups[i] != NULL && strcmp(groups[i], name) != 0) {
        i++;
    }
    return i;
}

/* Calls for each named group of a pattern; gives the first name that nobody knows. */
static const char *read_groups(const pcre2_code *code, const char *const *groups,
                               struct ready *out)
{
    uint32_t count = 0;
    uint32_t width = 0;
    PCRE2_SPTR table = NULL;
    (void)pcre2_pattern_info(code, PCRE2_INFO_NAMECOUNT, &count);
    (void)pcre2_pattern_info(code, PCRE2_INFO_NAMEENTRYSIZE, &width);
    (void)pcre2_pattern_info(code, PCRE2_INFO_NAMETABLE, &table);
    for (uint32_t i = 0; i < count; i++) {
        const unsigned char *entry = table + (size_t)i * width;
        const char *name = (const char *)entry + 2;
        const uint32_t index = group_index(groups, name);
        if (groups[index] == NULL) {
            return name;
        }
        if (out != NULL && out->named_count < SCANNER_GROUPS) {
            out->named[out->named_count].name = (uint8_t)index;
            out->named[out->named_count].number = entry[1]; /* they are few: see check */
            out->named_count++;
        }
    }
    return NULL;
}

static status refuse(struct pattern_fault *fault, size_t at, const char *message,
                     const char *expected)
{
    *fault = (struct pattern_fault){at, message, expected};
    return STATUS_INVALID;
}

/* Where a named group stands in the pattern. */
static size_t group_place(text written, const char *name)
{
    const size_t length = strlen(name);
    for (size_t i = 0; i + length <= written.length; i++) {
        if (memcmp(written.at + i, name, length) == 0 && i > 0 &&
            (written.at[i - 1] == '<' || written.at[i - 1] == '\'')) {
            return i;
        }
    }
    return 0;
}

/* Texts are folded: what no folded text holds can never match. */
static status check_letters(text written, struct pattern_fault *fault)
{
    bool is_escaped = false;
    bool is_name = false;
    for (size_t i = 0; i < written.length; i++) {
        const unsigned char c = (unsigned char)written.at[i];
        if (c >= 0x80) {
            return refuse(fault, i, "texts are read without accents and other scripts",
                          "the plain letter: u for \303\274, e for \303\251");
        }
        if (!is_escaped && !is_name && c >= 'A' && c <= 'Z') {
            return refuse(fault, i, "texts are read in small letters",
                          "the small letter");
        }
        is_name = c == '<' || (is_name && c != '>' && c != '=' && c != '!');
        is_escaped = !is_escaped && c == '\\';
    }
    return STATUS_OK;
}

static status check_code(struct arena *arena, const pcre2_code *code, text written,
                         const char *const *groups, struct pattern_fault *fault)
{
    const char *name = read_groups(code, groups, NULL);
    pcre2_match_data *data = pcre2_match_data_create(1, NULL);
    uint32_t captures = 0;
    status result = STATUS_OK;
    (void)pcre2_pattern_info(code, PCRE2_INFO_CAPTURECOUNT, &captures);
    if (data == NULL) {
        return STATUS_NO_MEMORY;
    }
    if (name != NULL) {
        const text known = text_copy(arena, text_of(name));
        result = refuse(fault, group_place(written, known.at), scanner_unknown_group,
                        known.at);
    } else if (captures >= SCANNER_GROUPS) {
        result = refuse(fault, 0, "this pattern has too many groups",
                        "(?:…) for brackets that keep nothing");
    } else if (pcre2_match(code, (PCRE2_SPTR) "", 0, 0, 0, data, NULL) >= 0) {
        result = refuse(fault, 0, "the empty text matches this pattern",
                        "something that must be there");
    }
    pcre2_match_data_free(data);
    return result;
}

status scanner_check(struct arena *arena, text written, const char *const *groups,
                     struct pattern_fault *fault)
{
    int error = 0;
    size_t at = 0;
    if (text_starts(written, TEXT("(*"))) {
        return refuse(fault, 0, "a pattern starts with no settings",
                      "the pattern itself");
    }
    TRY(check_letters(written, fault));
    pcre2_code *code = compile(written, &error, &at);
    if (code == NULL) {
        return error == 0 ? STATUS_NO_MEMORY : pattern_refusal(written, error, at, fault);
    }
    const status result = check_code(arena, code, written, groups, fault);
    pcre2_code_free(code);
    return result;
}

/* ---- making ready */

/* Which bytes a match can start with. */
static void first_bytes(const pcre2_code *code, bool *first)
{
    const uint8_t *map = NULL;
    uint32_t type = 0;
    uint32_t unit = 0;
    (void)pcre2_pattern_info(code, PCRE2_INFO_FIRSTBITMAP, &map);
    (void)pcre2_pattern_info(code, PCRE2_INFO_FIRSTCODETYPE, &type);
    (void)pcre2_pattern_info(code, PCRE2_INFO_FIRSTCODEUNIT, &unit);
    for (uint32_t c = 0; c < BYTES; c++) {
        first[c] = type == 1     ? c == unit
                   : map != NULL ? ((unsigned)map[c / 8] >> c % 8 & 1u) != 0
                                 : true;
    }
}

static void make_faster(pcre2_code *code)
{
    /* where there is no machine code for this processor, it is interpreted */
    (void)pcre2_jit_compile(code, PCRE2_JIT_COMPLETE);
}

/* "(?:FIRST)(*:0)|(?:SECOND)(*:1)": the marks are the patterns' own indices. */
static text alternation(struct arena *arena, const struct scanner *scanner,
                        const uint32_t *members, uint32_t count)
{
    text *parts = ARENA_MANY(arena, count, text);
    for (uint32_t i = 0; parts != NULL && i < count; i++) {
        parts[i] =
            text_format(arena, "%s(?:%.*s)(*:%u)", i == 0 ? "" : "|",
                        TEXT_ARG(scanner->patterns[members[i]].written), members[i]);
    }
    return parts == NULL ? (text){"", 0} : text_join(arena, parts, count);
}

static bool fill_bucket(struct scanner *scanner, uint32_t byte, const bool *first,
                        uint32_t *refused)
{
    struct bucket *bucket = &scanner->buckets[byte];
    int error = 0;
    size_t at = 0;
    uint32_t *members = ARENA_MANY(scanner->arena, scanner->count, uint32_t);
    for (uint32_t i = 0; members != NULL && i < scanner->count; i++) {
        if (!scanner->patterns[i].is_follower && first[(size_t)i * BYTES + byte]) {
            members[bucket->count++] = i;
        }
    }
    bucket->members = members;
    if (bucket->count == 0) {
        return members != NULL;
    }
    const text all = alternation(scanner->arena, scanner, members, bucket->count);
    bucket->code = all.length == 0 ? NULL : compile(all, &error, &at);
    if (bucket->code == NULL) {
        *refused = error == 0 ? UINT32_MAX : members[0];
        return false;
    }
    make_faster(bucket->code);
    return true;
}

static bool make_ready(struct scanner *scanner, const char *const *groups,
                       uint32_t *refused)
{
    bool *first = ARENA_MANY(scanner->arena, (size_t)scanner->count * BYTES, bool);
    int error = 0;
    size_t at = 0;
    for (uint32_t i = 0; first != NULL && i < scanner->count; i++) {
        struct ready *ready = &scanner->ready[i];
        ready->code = compile(scanner->patterns[i].written, &error, &at);
        if (ready->code == NULL) {
            *refused = i;
            return false;
        }
        (void)read_groups(ready->code, groups, ready);
        first_bytes(ready->code, first + (size_t)i * BYTES);
        make_faster(ready->code);
    }
    for (uint32_t byte = 0; first != NULL && byte < BYTES; byte++) {
        if (!fill_bucket(scanner, byte, first, refused)) {
            return false;
        }
    }
    return first != NULL;
}

struct scanner *scanner_open(struct arena *arena, const struct scanned_pattern *patterns,
                             uint32_t count, const char *const *groups, uint32_t *refused)
{
    struct scanner *scanner = ARENA_NEW(arena, struct scanner);
    *refused = UINT32_MAX;
    if (scanner == NULL) {
        return NULL;
    }
    scanner->arena = arena;
    scanner->patterns = patterns;
    scanner->ready = ARENA_MANY(arena, count, struct ready);
    scanner->count = scanner->ready == NULL ? 0 : count;
    if (scanner->ready == NULL || !make_ready(scanner, groups, refused)) {
        scanner_close(scanner);
        return NULL;
    }
    return scanner;
}

void scanner_close(struct scanner *scanner)
{
    if (scanner == NULL) {
        return;
    }
    for (uint32_t i = 0; i < scanner->count; i++) {
        pcre2_code_free(scanner->ready[i].code);
    }
    for (uint32_t byte = 0; byte < BYTES; byte++) {
        pcre2_code_free(scanner->buckets[byte].code);
    }
}

/* ---- matching */

struct scanner_room *scanner_room_open(struct arena *arena, const struct scanner *scanner)
{
    struct scanner_room *room = ARENA_NEW(arena, struct scanner_room);
    if (room == NULL) {
        return NULL;
    }
    room->scanner = scanner;
    room->data = pcre2_match_data_create(SCANNER_GROUPS, NULL);
    room->context = pcre2_match_context_create(NULL);
    room->stack = pcre2_jit_stack_create(STACK_START, STACK_MOST, NULL);
    if (room->data == NULL || room->context == NULL || room->stack == NULL) {
        scanner_room_close(room);
        return NULL;
    }
    (void)pcre2_set_match_limit(room->context, LIMIT_PATTERN_STEPS);
    (void)pcre2_set_depth_limit(room->context, LIMIT_PATTERN_STEPS);
    (void)pcre2_set_heap_limit(room->context, LIMIT_PATTERN_KIB);
    pcre2_jit_stack_assign(room->context, NULL, room->stack);
    return room;
}

void scanner_room_close(struct scanner_room *room)
{
    if (room == NULL) {
        return;
    }
    pcre2_jit_stack_free(room->stack);
    pcre2_match_context_free(room->context);
    pcre2_match_data_free(room->data);
}

static int match(struct scanner_room *room, const pcre2_code *code, text subject,
                 size_t from)
{
    int found = pcre2_match(code, (PCRE2_SPTR)subject.at, subject.length, from, 0,
                            room->data, room->context);
    if (found == PCRE2_ERROR_JIT_STACKLIMIT) {
        found = pcre2_match(code, (PCRE2_SPTR)subject.at, subject.length, from,
                            PCRE2_NO_JIT, room->data, room->context);
    }
    return found;
}

enum scan_result scanner_at(struct scanner_room *room, text subject, size_t from,
                            uint32_t pattern, struct scanned *scanned)
{
    const struct ready *ready = &room->scanner->ready[pattern];
    const int found = match(room, ready->code, subject, from);
    scanned->pattern = pattern;
    scanned->from = from;
    if (found == PCRE2_ERROR_NOMATCH) {
        return SCAN_NONE;
    }
    if (found < 0) {
        return SCAN_TOO_HARD;
    }
    const PCRE2_SIZE *ends = pcre2_get_ovector_pointer(room->data);
    scanned->end = ends[1];
    for (uint32_t g = 0; g < SCANNER_GROUPS; g++) {
        scanned->groups[g].from = 1;
        scanned->groups[g].end = 0;
    }
    for (uint32_t i = 0; i < ready->named_count; i++) {
        const uint32_t number = ready->named[i].number;
        if (number < (uint32_t)found && ends[2 * number] != PCRE2_UNSET) {
            scanned->groups[ready->named[i].name].from = ends[2 * number];
            scanned->groups[ready->named[i].name].end = ends[2 * number + 1];
        }
    }
    return SCAN_FOUND;
}

/* One pattern of a bucket met a limit: each is tried by itself, so that it can be
 * named. */
static enum scan_result one_by_one(struct scanner_room *room, const struct bucket *bucket,
                                   text subject, size_t from, struct scanned *scanned)
{
    for (uint32_t i = 0; i < bucket->count; i++) {
        const enum scan_result result =
            scanner_at(room, subject, from, bucket->members[i], scanned);
        if (result != SCAN_NONE) {
            return result;
        }
    }
    return SCAN_NONE;
}

static enum scan_result try_bucket(struct scanner_room *room, text subject, size_t from,
                                   struct scanned *scanned)
{
    const struct bucket *bucket =
        &room->scanner->buckets[(unsigned char)subject.at[from]];
    if (bucket->code == NULL) {
        return SCAN_NONE;
    }
    const int found = match(room, bucket->code, subject, from);
    if (found == PCRE2_ERROR_NOMATCH) {
        return SCAN_NONE;
    }
    if (found < 0) {
        return one_by_one(room, bucket, subject, from, scanned);
    }
    uint32_t pattern = 0;
    for (PCRE2_SPTR mark = pcre2_get_mark(room->data); mark != NULL && *mark != 0;
         mark++) {
        pattern = 10 * pattern + (uint32_t)(*mark - '0');
    }
    return scanner_at(room, subject, from, pattern, scanned);
}

enum scan_result scanner_next(struct scanner_room *room, text subject, size_t from,
                              struct scanned *scanned)
{
    for (size_t at = from; at < subject.length; at++) {
        const char c = subject.at[at];
        if (c == ' ' || c == '\n' ||
            (is_word(c) && at > 0 && is_word(subject.at[at - 1]))) {
            continue;
        }
        const enum scan_result result = try_bucket(room, subject, at, scanned);
        if (result != SCAN_NONE) {
            return result;
        }
    }
    return SCAN_NONE;
}
