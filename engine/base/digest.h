/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_DIGEST_H
#define WHYFIT_DIGEST_H

#include <stddef.h>
#include <stdint.h>

/* A digest that tells damage and changes, at the speed of memory; no defence against who
 * makes one on purpose. What differs only within one aligned word of eight bytes (any one
 * bit) surely has another digest; else by chance one in 2^64 has the same. */
uint64_t digest_of(const void *bytes, size_t length);

#endif
