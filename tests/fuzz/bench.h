/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_FUZZ_BENCH_H
#define WHYFIT_FUZZ_BENCH_H

#include "whole_load.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/*
 * Loads any bytes as one file (`document.yaml`) beside the shipped vocabulary and the
 * tables that dimensions are resolved by, and asks the bench's swap; aborts, with what
 * was wrong on stderr, when whole_load.h's promises are broken. The vocabulary's `asks`
 * are left out, since they name rules that are not loaded. `beside` (may be NULL) is one
 * more text to load.
 */
void bench_try(const uint8_t *data, size_t size, const char *beside);

/* A unit that the bench's swap is asked of, and the parts it needs. */
extern const char *const bench_unit;

#endif
