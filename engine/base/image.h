/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_IMAGE_H
#define WHYFIT_IMAGE_H

#include "region.h"
#include "text.h"

/*
 * A region in a file. It comes back at the same address in blocks, each with a digest
 * that is checked when it is brought, before anybody has read it; nobody can write into
 * them. A block is a copy: what happens to the file later does not reach it.
 *
 * The front of the file says what it is: the format, the program that wrote it (an image
 * holds structs as that program laid them out), where everything lies, notes of whoever
 * wrote it, the digests of the blocks, and a digest of all that.
 */
enum image_fault {
    IMAGE_GOOD,
    IMAGE_UNREADABLE, /* no file, or it cannot be read */
    IMAGE_ALIEN,      /* it is no image at all */
    IMAGE_FORMAT,     /* an image in another format */
    IMAGE_PROGRAM,    /* written by another program, or another build of this one */
    IMAGE_DAMAGED,    /* not as it was written */
    IMAGE_NO_PLACE,   /* its address is not free here */
    IMAGE_NO_MEMORY
};

/* ---- writing */

/* A file that is written beside its name. */
struct image_draft {
    const char *path;
    char *beside;
    int file;
    int64_t opened; /* the file system's time, in ns */
};

/* Makes it, so that an address that cannot be written is told before the work. A file of
 * that name that is no image is not touched: IMAGE_ALIEN. */
MUST_USE enum image_fault image_draft_open(const char *path, struct image_draft *out);
/* Writes the region, makes it last, and gives it its name. `root` lies in the region.
 * IMAGE_ALIEN: something in the region points into this program (or looks as if it did),
 * at *stray. */
MUST_USE enum image_fault image_draft_write(struct image_draft *draft,
                                            struct region *region, const void *root,
                                            text notes, size_t *stray);
/* Releases it; what has not got its name is removed. */
void image_draft_close(struct image_draft *draft);

/* ---- reading */

struct image;

/* Checks the front. IMAGE_GOOD: *out is owned (image_close). */
MUST_USE enum image_fault image_open(const char *path, struct image **out);
/* Brings all blocks; or leaves those to be brought when they are touched (on_touch),
 * where the kernel can do that: a touched block that is not there raises SIGBUS, whose
 * handler calls image_bring. Once, before anything that lies in the image is looked at.
 */
MUST_USE enum image_fault image_start(struct image *image, bool on_touch);
/* The file may be given another name or changed: an open image reads the file it opened.
 */
void image_close(struct image *image);

text image_notes(const struct image *image);
void *image_root(const struct image *image);
bool image_holds(const struct image *image, const void *address);
/* Brings the blocks of some bytes that lie in the image, where they are not there yet. It
 * may be called where a signal came in, and by several threads. */
MUST_USE enum image_fault image_bring(const struct image *image, const void *address,
                                      size_t length);
/* Lets this process write into some bytes that are there, or no longer. */
MUST_USE bool image_open_bytes(const struct image *image, const void *address,
                               size_t length, bool may_write);

#endif
