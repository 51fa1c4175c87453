/* SPDX-License-Identifier: MIT */
/* Any bytes as the rows of a relation that has a column of every type. */
#include "whole_load.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static const char *const words =
    "relations:\n"
    "  drawer: {filled-by: facts, key: {drawer: name, slot: number},\n"
    "    values: {holds: {word: true}, across: {quantity: length},\n"
    "      pieces: {count: true, optional: true},\n"
    "      made-of: {choice: [steel, brass], default: steel},\n"
    "      weight: {quantity: mass, optional: true}}}\n";

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static const struct asked nothing = {"none", "none", "none"};
    const struct knowledge_input inputs[] = {
        {TEXT("words.yaml"), words, strlen(words)},
        {TEXT("drawer.csv"), size == 0 ? "" : (const char *)data, size}};
    char said[256];
    const char *wrong = whole_load(inputs, 2, &nothing, said, sizeof said, NULL);
    if (wrong != NULL) {
        (void)fprintf(stderr, "%s\n", wrong);
        abort();
    }
    return 0;
}
