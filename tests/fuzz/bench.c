/* SPDX-License-Identifier: MIT */
/* The texts around a fuzzed document are read once and then only parsed. */
#include "bench.h"

#include "read_file.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

const char *const bench_unit =
    "parts:\n"
    "  - part: bench-pin\n"
    "    kind: shaft\n"
    "    source: invented\n"
    "    datum: step\n"
    "    faces: {step: {at: 0 mm, looks: out}, end: {at: 20 \xC2\xB1"
    "0.1 mm, looks: out}}\n"
    "    runs: {seat: {kind: seat, from: step, to: end, diameter: 20 k6}}\n"
    "  - part: bench-bush\n"
    "    kind: hub\n"
    "    source: invented\n"
    "    datum: in\n"
    "    faces: {in: {at: 0 mm, looks: in}, out: {at: 12 mm, looks: out}}\n"
    "    runs: {bore: {kind: seat, in: bore, from: in, to: out, diameter: 20 H7}}\n"
    "units:\n"
    "  - unit: bench\n"
    "    source: invented\n"
    "    places: {pin: bench-pin, bush: bench-bush}\n"
    "    contacts: [bush.in = pin.step]\n"
    "    gaps: {room: {between: [bush.out, pin.end], want: 7..9 mm}}\n"
    "    fits: [bush.bore on pin.seat]\n";

static text must_read(struct arena *arena, const char *path)
{
    text content = {"", 0};
    if (file_read(arena, path, 1 << 20, &content, NULL) != STATUS_OK) {
        (void)fprintf(stderr, "%s cannot be read\n", path);
        abort();
    }
    return content;
}

/* The vocabulary without what its kinds ask, and without words for people: what is read
 * again for every input should be short. */
static bool is_left_out(text line)
{
    return text_starts(line, TEXT("    asks:")) || text_starts(line, TEXT("    says:"));
}

static text shortened(struct arena *arena, text all)
{
    char *made = arena_take(arena, all.length + 1);
    size_t length = 0;
    for (size_t at = 0; made != NULL && at < all.length;) {
        size_t end = text_find(all, '\n', at);
        end += end < all.length ? 1 : 0;
        if (!is_left_out(text_slice(all, at, end))) {
            memcpy(made + length, all.at + at, end - at);
            length += end - at;
        }
        at = end;
    }
    return (text){made, length};
}

enum {
    AROUND = 3
};

/* Read at the first call and kept until the process ends. */
static const struct knowledge_input *around(void)
{
    static struct arena *arena;
    static struct knowledge_input inputs[AROUND];
    if (arena == NULL) {
        static const char *const names[AROUND] = {
            "rules/vocabulary.yaml", "facts/gauges.yaml", "facts/iso-286.yaml"};
        arena = arena_open(allocator_standard(), 0);
        for (int i = 0; i < AROUND; i++) {
            const text path = text_format(arena, "%s/%s", WHYFIT_ROOT, names[i]);
            const text read = must_read(arena, path.at);
            const text content = i == 0 ? shortened(arena, read) : read;
            inputs[i] =
                (struct knowledge_input){text_of(names[i]), content.at, content.length};
        }
    }
    return inputs;
}

void bench_try(const uint8_t *data, size_t size, const char *beside)
{
    static const struct asked question = {"bench", "bush", "another"};
    struct knowledge_input inputs[AROUND + 2];
    uint32_t count = AROUND;
    char said[300];
    memcpy(inputs, around(), AROUND * sizeof *inputs);
    /* libFuzzer gives no bytes at no address. */
    inputs[count++] = (struct knowledge_input){TEXT("document.yaml"),
                                               size == 0 ? "" : (const char *)data, size};
    if (beside != NULL) {
        inputs[count++] =
            (struct knowledge_input){TEXT("beside.yaml"), beside, strlen(beside)};
    }
    const char *wrong = whole_load(inputs, count, &question, said, sizeof said, NULL);
    if (wrong != NULL) {
        (void)fprintf(stderr, "%s\n", wrong);
        abort();
    }
}
