/* SPDX-License-Identifier: MIT */
/* Gives every file named on the command line to a fuzz target, with any compiler. */
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static int replay(const char *path)
{
    enum {
        LARGEST = 1 << 20
    };
    static uint8_t bytes[LARGEST];
    FILE *file = fopen(path, "rb");
    if (file == NULL) {
        (void)fprintf(stderr, "%s cannot be read\n", path);
        return 1;
    }
    const size_t size = fread(bytes, 1, LARGEST, file);
    (void)fclose(file);
    /* A block of just that size, so that a read behind it is seen. */
    uint8_t *data = malloc(size == 0 ? 1 : size);
    if (data == NULL) {
        return 1;
    }
    for (size_t i = 0; i < size; i++) {
        data[i] = bytes[i];
    }
    (void)LLVMFuzzerTestOneInput(data, size);
    free(data);
    return 0;
}

int main(int count, char **words)
{
    int failed = 0;
    for (int i = 1; i < count; i++) {
        failed += replay(words[i]);
    }
    (void)printf("%d files\n", count - 1);
    return failed == 0 && count > 1 ? 0 : 1;
}
