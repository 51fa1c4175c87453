/* SPDX-License-Identifier: MIT */
/* Any bytes as rules: they are refused with a place, or run over the bench's unit. */
#include "bench.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    bench_try(data, size, bench_unit);
    return 0;
}
