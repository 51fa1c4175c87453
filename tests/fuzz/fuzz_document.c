/* SPDX-License-Identifier: MIT */
/* Any bytes as a file of parts, units, tables or more vocabulary: it is refused with a
 * place, or loads and answers. A document with the bench's own names takes its place. */
#include "bench.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    bench_try(data, size, NULL);
    return 0;
}
