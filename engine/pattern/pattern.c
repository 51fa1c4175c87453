/* SPDX-License-Identifier: MIT */
/*
 * Patterns of rules, by PCRE2. All its memory comes from arenas, so nothing of it has to
 * be released. Machine code is not generated: a rule's pattern meets few texts, and only
 * the interpreter heeds all the limits.
 *
 * A pattern is its text: what PCRE2 makes of it points into that library, so it belongs
 * to the room of whoever matches, and a frozen knowledge can be kept in a file.
 *
 * Whole texts are matched, so that nobody has to think of anchors, and `$` is the end and
 * not also what stands before a last line break. A result that is neither a match nor
 * none is never taken for none.
 */
#include "pattern.h"

#include "array.h"
#include "limits.h"

#define PCRE2_CODE_UNIT_WIDTH 8
#include <pcre2.h>

struct pattern {
    text written;
};

/* A pattern as PCRE2 has it. */
struct compiled {
    const struct pattern *pattern;
    const pcre2_code *code;
};

struct pattern_room {
    struct arena *arena;
    pcre2_match_data *data;
    pcre2_match_context *limits;
    ARRAY_OF(struct compiled) compiled; /* the last used one first */
};

static void *take(size_t size, void *arena)
{
    return arena_take(arena, size);
}

static void leave(void *block, void *arena)
{
    (void)block;
    (void)arena;
}

/* ---- reading */

struct fault_words {
    int code;
    const char *message;
    const char *expected;
};

/* What PCRE2 may find, in our words. */
static const struct fault_words fault_words[] = {
    {PCRE2_ERROR_END_BACKSLASH, "the pattern ends in a backslash",
     "\\\\ for a backslash"},
    {PCRE2_ERROR_UNKNOWN_ESCAPE, "nobody knows this escape",
     "\\d, \\w, \\s, or a \\ before a sign that is meant as it stands"},
    {PCRE2_ERROR_QUANTIFIER_OUT_OF_ORDER, "the least number of times is above the most",
     "{LEAST,MOST}"},
    {PCRE2_ERROR_QUANTIFIER_TOO_BIG, "this is too often", "at most 65535 times"},
    {PCRE2_ERROR_MISSING_SQUARE_BRACKET, "this class is not closed", "]"},
    {PCRE2_ERROR_CLASS_RANGE_ORDER, "this range runs backwards", "[FIRST-LAST]"},
    {PCRE2_ERROR_CLASS_INVALID_RANGE, "this is no range", "[FIRST-LAST]"},
    {PCRE2_ERROR_QUANTIFIER_INVALID, "there is nothing to repeat before this",
     "\\* or \\+ or \\? for the sign itself"},
    {PCRE2_ERROR_MISSING_CLOSING_PARENTHESIS, "a bracket is not closed", ")"},
    {PCRE2_ERROR_BAD_SUBPATTERN_REFERENCE, "there is no such group",
     "the number of a (group) of this pattern"},
    {PCRE2_ERROR_UNMATCHED_CLOSING_PARENTHESIS, "this bracket was never opened",
     "\\) for the sign itself"},
    {PCRE2_ERROR_PARENTHESES_NEST_TOO_DEEP, "brackets are nested too deep",
     "at most 32 levels"},
    {PCRE2_ERROR_PATTERN_TOO_LARGE, "this pattern is too large", "a smaller one"},
    {PCRE2_ERROR_PATTERN_TOO_COMPLICATED, "this pattern is too large", "a smaller one"},
    {PCRE2_ERROR_PATTERN_STRING_TOO_LONG, "this pattern is too long",
     "at most 512 bytes"},
    {PCRE2_ERROR_BACKSLASH_C_CALLER_DISABLED, "\\C takes half a letter",
     ". for one letter"},
    {PCRE2_ERROR_LOOKBEHIND_NOT_FIXED_LENGTH, "a look behind has one length", "(?<=abc)"},
    {PCRE2_ERROR_DUPLICATE_SUBPATTERN_NAME, "two groups have this name",
     "names of their own"}};

static status refuse(struct pattern_fault *fault, size_t at, const char *message,
                     const char *expected)
{
    *fault = (struct pattern_fault){at, message, expected};
    return STATUS_INVALID;
}

/* PCRE2 says how far it has read: what is at fault is mostly the last letter of that. */
static size_t last_letter(text written, size_t read)
{
    size_t at = read > 0 ? read - 1 : 0;
    while (at > 0 && ((unsigned char)written.at[at] & 0xC0u) == 0x80) {
        at--;
    }
    return at;
}

status pattern_refusal(text written, int code, size_t read, struct pattern_fault *fault)
{
    const bool is_next = code == PCRE2_ERROR_UNMATCHED_CLOSING_PARENTHESIS ||
                         code == PCRE2_ERROR_LOOKBEHIND_NOT_FIXED_LENGTH;
    const size_t at =
        is_next && read < written.length ? read : last_letter(written, read);
    for (size_t i = 0; i < sizeof fault_words / sizeof *fault_words; i++) {
        if (fault_words[i].code == code) {
            return refuse(fault, at, fault_words[i].message, fault_words[i].expected);
        }
    }
    return refuse(fault, at, "this pattern cannot be read",
                  "a pattern such as WB-[0-9]{4}(-[AB])?");
}

/* Called for the first callout of a pattern: one is enough. */
static int stop_at_callout(pcre2_callout_enumerate_block *block, void *at)
{
    *(size_t *)at = block->pattern_position;
    return 1;
}

static pcre2_code *compile(struct arena *arena, text written, int *code, size_t *at)
{
    enum {
        DEEPEST = 32
    };
    pcre2_general_context *memory = pcre2_general_context_create(take, leave, arena);
    pcre2_compile_context *context =
        memory == NULL ? NULL : pcre2_compile_context_create(memory);
    if (context == NULL) {
        return NULL;
    }
    (void)pcre2_set_max_pattern_length(context, LIMIT_PATTERN_BYTES);
    (void)pcre2_set_parens_nest_limit(context, DEEPEST);
    return pcre2_compile((PCRE2_SPTR)written.at, written.length,
                         PCRE2_UTF | PCRE2_ANCHORED | PCRE2_ENDANCHORED |
                             PCRE2_DOLLAR_ENDONLY | PCRE2_NEVER_BACKSLASH_C,
                         code, at, context);
}

/* What can be read, and yet is refused. */
static status check(struct pattern_room *room, const struct pattern *pattern,
                    const pcre2_code *code, struct pattern_fault *fault)
{
    size_t at = 0;
    if (pcre2_callout_enumerate(code, stop_at_callout, &at) != 0) {
        return refuse(fault, last_letter(pattern->written, at), "a pattern calls nobody",
                      "a pattern without (?C)");
    }
    if (pattern_match(pattern, TEXT(""), room) == PATTERN_YES) {
        return refuse(fault, 0, "the empty text matches this pattern",
                      "something that must be there");
    }
    return arena_status(room->arena);
}

/* Reads it into an arena that is closed afterwards. */
static status try_out(struct arena *arena, const struct pattern *pattern,
                      struct pattern_fault *fault)
{
    int code = 0;
    size_t at = 0;
    struct pattern_room *room = pattern_room_open(arena);
    const pcre2_code *compiled =
        room == NULL ? NULL : compile(arena, pattern->written, &code, &at);
    TRY(arena_status(arena));
    return compiled == NULL ? pattern_refusal(pattern->written, code, at, fault)
                            : check(room, pattern, compiled, fault);
}

status pattern_read(struct arena *arena, text written, struct pattern_fault *fault,
                    const struct pattern **out)
{
    struct pattern *made = ARENA_NEW(arena, struct pattern);
    if (made == NULL) {
        return arena_status(arena);
    }
    if (text_starts(written, TEXT("(*"))) {
        return refuse(fault, 0, "a pattern starts with no settings",
                      "the pattern itself");
    }
    made->written = text_copy(arena, written);
    TRY(arena_status(arena));
    struct arena *beside = arena_open_beside(arena);
    const status result =
        beside == NULL ? STATUS_NO_MEMORY : try_out(beside, made, fault);
    arena_close(beside);
    TRY(result);
    *out = made;
    return STATUS_OK;
}

/* ---- matching */

struct pattern_room *pattern_room_open(struct arena *arena)
{
    struct pattern_room *room = ARENA_NEW(arena, struct pattern_room);
    pcre2_general_context *memory =
        room == NULL ? NULL : pcre2_general_context_create(take, leave, arena);
    if (memory == NULL) {
        return NULL;
    }
    room->arena = arena;
    room->data = pcre2_match_data_create(1, memory);
    room->limits = pcre2_match_context_create(memory);
    if (room->data == NULL || room->limits == NULL) {
        return NULL;
    }
    (void)pcre2_set_match_limit(room->limits, LIMIT_PATTERN_STEPS);
    (void)pcre2_set_depth_limit(room->limits, LIMIT_PATTERN_STEPS);
    (void)pcre2_set_heap_limit(room->limits, LIMIT_PATTERN_KIB);
    return room;
}

/* NULL: the room's arena has failed. */
static const pcre2_code *code_of(struct pattern_room *room, const struct pattern *pattern)
{
    int code = 0;
    size_t at = 0;
    uint32_t i = 0;
    while (i < room->compiled.count && room->compiled.at[i].pattern != pattern) {
        i++;
    }
    if (i == room->compiled.count) {
        const struct compiled fresh = {
            pattern, compile(room->arena, pattern->written, &code, &at)};
        if (fresh.code == NULL || !ARRAY_PUSH(room->arena, &room->compiled, fresh)) {
            return NULL;
        }
    }
    const struct compiled found = room->compiled.at[i];
    room->compiled.at[i] = room->compiled.at[0];
    room->compiled.at[0] = found;
    return found.code;
}

enum pattern_result pattern_match(const struct pattern *pattern, text subject,
                                  struct pattern_room *room)
{
    const pcre2_code *code = code_of(room, pattern);
    if (code == NULL) {
        return PATTERN_NO_MEMORY;
    }
    /* An empty text may have no bytes to point at. */
    const char *at = subject.length == 0 ? "" : subject.at;
    const int found =
        pcre2_match(code, (PCRE2_SPTR)at, subject.length, 0, 0, room->data, room->limits);
    if (found == PCRE2_ERROR_NOMATCH) {
        return PATTERN_NO;
    }
    if (found < 0) {
        return arena_status(room->arena) == STATUS_OK ? PATTERN_TOO_HARD
                                                      : PATTERN_NO_MEMORY;
    }
    return PATTERN_YES;
}
