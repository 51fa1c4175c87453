/* SPDX-License-Identifier: MIT */
/* What a swap takes away is one line in words, however many checks had looked at it: a
 * part of another kind would else be a wall of them. JSON keeps each. */
#include "render_words.h"

enum {
    MOST_NAMED = 3
};

bool is_removed_check(const struct finding *finding)
{
    return finding->kind == FINDING_REMOVED && finding->counts;
}

bool is_removed_reason(const struct answer *answer, text because)
{
    for (uint32_t i = 0; i < answer->finding_count; i++) {
        if (is_removed_check(&answer->findings[i]) &&
            text_equal(answer->findings[i].sentence, because)) {
            return true;
        }
    }
    return false;
}

static bool is_named_before(const struct answer *answer, uint32_t i)
{
    for (uint32_t k = 0; k < i; k++) {
        if (is_removed_check(&answer->findings[k]) &&
            text_equal(answer->findings[k].name, answer->findings[i].name)) {
            return true;
        }
    }
    return false;
}

text render_removed(struct arena *arena, const struct answer *answer)
{
    text names = {"", 0};
    text sentence = {"", 0};
    uint32_t findings = 0;
    uint32_t checks = 0;
    for (uint32_t i = 0; i < answer->finding_count; i++) {
        if (!is_removed_check(&answer->findings[i])) {
            continue;
        }
        findings++;
        sentence = answer->findings[i].sentence;
        if (is_named_before(answer, i)) {
            continue;
        }
        if (checks < MOST_NAMED) {
            names =
                text_format(arena, "%.*s%s%.*s", TEXT_ARG(names), checks == 0 ? "" : ", ",
                            TEXT_ARG(answer->findings[i].name));
        }
        checks++;
    }
    if (findings <= 1) {
        return sentence;
    }
    const text more = checks > MOST_NAMED
                          ? text_format(arena, " and %u more", checks - MOST_NAMED)
                          : (text){"", 0};
    return text_format(
        arena,
        "the swap takes away what %u check%s looked at (%.*s%.*s): nothing "
        "says what takes its place",
        checks, checks == 1 ? "" : "s", TEXT_ARG(names), TEXT_ARG(more));
}

text render_folded(struct arena *arena, const struct answer *answer)
{
    const text removed = render_removed(arena, answer);
    for (uint32_t i = 0; i < answer->finding_count; i++) {
        if (is_removed_check(&answer->findings[i]) &&
            text_equal(removed, answer->findings[i].sentence)) {
            return (text){"", 0};
        }
    }
    return removed;
}

text render_because(struct arena *arena, const struct answer *answer, uint32_t i)
{
    if (!is_removed_reason(answer, answer->because[i])) {
        return answer->because[i];
    }
    for (uint32_t k = 0; k < i; k++) {
        if (is_removed_reason(answer, answer->because[k])) {
            return (text){"", 0};
        }
    }
    return render_removed(arena, answer);
}
