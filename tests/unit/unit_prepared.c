/* SPDX-License-Identifier: MIT */
/*
 * Digests, regions and images by themselves: what comes back is what was written, at the
 * same address and not to be written into, and no damage goes unseen.
 */
#include "dice.h"
#include "digest.h"
#include "failing_allocator.h"
#include "image.h"
#include "image_file.h"
#include "room.h"
#include "whyfit.h"

#include <criterion/criterion.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

TestSuite(prepared, .timeout = 60);

/* ---- digests */

Test(prepared, digest_tells_any_one_word)
{
    unsigned char bytes[200];
    for (size_t i = 0; i < sizeof bytes; i++) {
        bytes[i] = (unsigned char)(i * 7);
    }
    for (size_t length = 0; length <= sizeof bytes; length++) {
        const uint64_t whole = digest_of(bytes, length);
        for (size_t bit = 0; bit < length * 8; bit++) {
            bytes[bit / 8] ^= (unsigned char)(1u << bit % 8);
            cr_assert_neq(digest_of(bytes, length), whole, "bit %zu of %zu bytes", bit,
                          length);
            bytes[bit / 8] ^= (unsigned char)(1u << bit % 8);
        }
        if (length > 0) {
            cr_assert_neq(digest_of(bytes, length - 1), whole);
        }
    }
    memset(bytes, 0, sizeof bytes);
    cr_expect_neq(digest_of(bytes, 64), digest_of(bytes, 128), "zeros are counted");
}

/* ---- regions */

Test(prepared, region_gives_zeros_and_uses_gaps_again)
{
    struct region *region = region_open();
    cr_assert_not_null(region);
    const struct allocator from = region_allocator(region);
    char *first = from.resize(from.context, NULL, 0, 3 << 20);
    char *second = from.resize(from.context, NULL, 0, 100);
    cr_assert(first == region_at(region) && second != NULL);
    memset(first, 1, 3 << 20);
    memset(second, 2, 100);
    const size_t size = region_size(region);
    (void)from.resize(from.context, first, 3 << 20, 0);
    for (size_t i = 0; i < 3 << 20; i++) {
        cr_assert_eq(region_at(region)[i], 0, "what is given back is zero");
    }
    char *third = from.resize(from.context, NULL, 0, 1 << 20);
    cr_expect_eq(third, region_at(region), "and used again");
    char *grown = from.resize(from.context, second, 100, 5000);
    cr_expect_eq(grown, second, "the last block grows where it is");
    cr_expect_eq(grown[99], 2);
    third = from.resize(from.context, third, 1 << 20, 4 << 20);
    cr_expect_geq(third, second, "another one moves");
    (void)from.resize(from.context, third, 4 << 20, 0);
    cr_expect_lt(region_size(region), size + (1 << 20));
    (void)from.resize(from.context, grown, 5000, 0); /* the last: the region is closed */
    region = region_open();
    cr_expect_not_null(region, "its place is free again");
    cr_expect_null(region_open(), "and there is but one");
    region_close(region);
}

/* ---- images */

/* A list whose pointers lie in the region, over several blocks. */
struct link {
    const struct link *next;
    uint64_t number;
    char room[1000];
};

enum {
    LINKS = 300 /* more than a group of blocks */
};

enum {
    PATH_ROOM = 100
};

/* A name of this process alone. */
static const char *path_of(char *room, const char *name)
{
    (void)snprintf(room, PATH_ROOM, "/tmp/whyfit-unit-%ld-%s", (long)getpid(), name);
    return room;
}

static enum image_fault write_links(const char *path, const char *stray)
{
    struct image_draft draft;
    size_t at = 0;
    struct region *region = region_open();
    cr_assert_not_null(region);
    struct arena *arena = arena_open(region_allocator(region), 0);
    struct link *last = NULL;
    for (uint64_t i = 0; i < LINKS; i++) {
        struct link *made = ARENA_NEW(arena, struct link);
        cr_assert_not_null(made);
        *made = (struct link){last, i, {0}};
        last = made;
    }
    const char **words = ARENA_NEW(arena, const char *);
    *words = stray;
    const struct allocator taken = arena_seal(arena);
    enum image_fault fault = image_draft_open(path, &draft);
    if (fault == IMAGE_GOOD) {
        fault = image_draft_write(&draft, region, last, TEXT("notes of a test"), &at);
    }
    image_draft_close(&draft);
    arena_unseal(arena, taken);
    arena_close(arena);
    return fault;
}

static struct image *open_links(const char *path, bool on_touch)
{
    struct image *image = NULL;
    cr_assert_eq(image_open(path, &image), IMAGE_GOOD);
    cr_assert_eq(image_start(image, on_touch), IMAGE_GOOD);
    return image;
}

static void check_links(const struct image *image)
{
    uint64_t number = LINKS;
    for (const struct link *at = image_root(image); at != NULL; at = at->next) {
        cr_assert_eq(at->number, --number);
    }
    cr_expect_eq(number, 0);
    cr_expect(text_equal(image_notes(image), TEXT("notes of a test")));
}

static const struct image *touched;

static void bring_touched(int number, siginfo_t *about, void *context)
{
    (void)number;
    (void)context;
    if (!image_holds(touched, about->si_addr) ||
        image_bring(touched, about->si_addr, 1) != IMAGE_GOOD) {
        _exit(9);
    }
}

Test(prepared, image_comes_back_whole_or_as_it_is_touched)
{
    char room[PATH_ROOM];
    const char *path = path_of(room, "links");
    const struct sigaction action = {.sa_sigaction = bring_touched,
                                     .sa_flags = SA_SIGINFO};
    cr_assert_eq(write_links(path, NULL), IMAGE_GOOD);
    struct image *image = open_links(path, false);
    check_links(image);
    struct image *second = NULL;
    cr_assert_eq(image_open(path, &second), IMAGE_GOOD);
    cr_expect_eq(image_start(second, false), IMAGE_NO_PLACE, "its place is taken");
    image_close(second);
    image_close(image);
    cr_assert_eq(sigaction(SIGBUS, &action, NULL), 0);
    image = open_links(path, true);
    touched = image;
    check_links(image);
    image_close(image);
    (void)unlink(path);
}

/* An open image reads the file it opened, whatever happens to its name. */
Test(prepared, image_outlives_its_name)
{
    char room[PATH_ROOM];
    const char *path = path_of(room, "name");
    const struct sigaction action = {.sa_sigaction = bring_touched,
                                     .sa_flags = SA_SIGINFO};
    cr_assert_eq(write_links(path, NULL), IMAGE_GOOD);
    cr_assert_eq(sigaction(SIGBUS, &action, NULL), 0);
    struct image *image = open_links(path, true);
    touched = image;
    (void)unlink(path);
    check_links(image);
    image_close(image);
}

enum {
    REFUSED = 7
};

static void end_refused(int number)
{
    (void)number;
    _exit(REFUSED);
}

Test(prepared, image_cannot_be_written_into, .exit_code = REFUSED)
{
    char room[PATH_ROOM];
    const char *path = path_of(room, "frozen");
    cr_assert_eq(write_links(path, NULL), IMAGE_GOOD);
    struct image *image = open_links(path, false);
    (void)unlink(path);
    cr_assert_eq(((const struct link *)image_root(image))->number, LINKS - 1);
    cr_assert_neq(signal(SIGSEGV, end_refused), SIG_ERR);
    ((struct link *)image_root(image))->number = 1;
}

Test(prepared, image_holds_no_address_of_the_program)
{
    char room[PATH_ROOM];
    const char *path = path_of(room, "stray");
    cr_expect_eq(write_links(path, "a literal of this program"), IMAGE_ALIEN);
    cr_expect_neq(access(path, F_OK), 0, "nothing is left");
}

/* ---- damage */

static unsigned char *read_file(const char *path, size_t *size)
{
    FILE *file = fopen(path, "rb");
    cr_assert_not_null(file);
    (void)fseek(file, 0, SEEK_END);
    *size = (size_t)ftell(file);
    rewind(file);
    unsigned char *bytes = malloc(*size);
    cr_assert_eq(fread(bytes, 1, *size, file), *size);
    (void)fclose(file);
    return bytes;
}

static void write_file(const char *path, const void *bytes, size_t size)
{
    FILE *file = fopen(path, "wb");
    cr_assert_not_null(file);
    cr_assert_eq(fwrite(bytes, 1, size, file), size);
    cr_assert_eq(fclose(file), 0);
}

/* Whether a spoiled file is refused, as a whole. */
static bool is_refused(const char *path)
{
    struct image *image = NULL;
    enum image_fault fault = image_open(path, &image);
    if (fault == IMAGE_GOOD) {
        fault = image_start(image, false);
        image_close(image);
    }
    return fault != IMAGE_GOOD;
}

static void poke(const char *path, size_t at, unsigned char byte)
{
    FILE *file = fopen(path, "r+b");
    cr_assert_not_null(file);
    (void)fseek(file, (long)at, SEEK_SET);
    cr_assert_eq(fputc(byte, file), byte);
    cr_assert_eq(fclose(file), 0);
}

/* A bit of every byte of the front, of some of the digests, and of some all over the
 * blocks.
 */
Test(prepared, no_flipped_bit_goes_unseen)
{
    enum {
        SOME = 300
    };
    char room[PATH_ROOM];
    const char *path = path_of(room, "bits");
    size_t size = 0;
    struct dice dice = {5};
    cr_assert_eq(write_links(path, NULL), IMAGE_GOOD);
    unsigned char *bytes = read_file(path, &size);
    const struct image_head *head = (const void *)bytes;
    const size_t front = head->front_size;
    const size_t blocks = image_blocks_at(head);
    for (size_t i = 0; i < front + 2 * SOME; i++) {
        const size_t at = i < front          ? i
                          : i < front + SOME ? front + dice_below(&dice, blocks - front)
                                             : blocks + dice_below(&dice, size - blocks);
        poke(path, at, bytes[at] ^ (unsigned char)(1u << dice_below(&dice, 8)));
        cr_assert(is_refused(path), "byte %zu", at);
        poke(path, at, bytes[at]);
    }
    cr_expect_not(is_refused(path), "as it was written it is good");
    free(bytes);
    (void)unlink(path);
}

/* Longer damage: stretches of zeros, of noise, of the file itself from elsewhere; and
 * other lengths. */
Test(prepared, no_spoiled_stretch_goes_unseen)
{
    char room[PATH_ROOM];
    const char *path = path_of(room, "stretches");
    size_t size = 0;
    struct dice dice = {6};
    cr_assert_eq(write_links(path, NULL), IMAGE_GOOD);
    unsigned char *bytes = read_file(path, &size);
    unsigned char *spoiled = malloc(2 * size);
    for (int round = 0; round < 400; round++) {
        memcpy(spoiled, bytes, size);
        const size_t length = 1 + dice_below(&dice, round % 2 == 0 ? 64 : 20000);
        const size_t at = dice_below(&dice, size - length);
        const size_t from = dice_below(&dice, size - length);
        size_t kept = size;
        switch (dice_below(&dice, 5)) {
        case 0:
            memset(spoiled + at, 0, length);
            break;
        case 1:
            for (size_t i = 0; i < length; i++) {
                spoiled[at + i] = (unsigned char)dice_below(&dice, 256);
            }
            break;
        case 2:
            memmove(spoiled + at, bytes + from, length);
            break;
        case 3:
            kept = at;
            break;
        default:
            kept = size + length;
            memcpy(spoiled + size, bytes, length);
            break;
        }
        if (kept == size && memcmp(spoiled, bytes, size) == 0) {
            continue;
        }
        write_file(path, spoiled, kept);
        cr_assert(is_refused(path), "round %d: %zu bytes at %zu", round, length, at);
    }
    free(spoiled);
    free(bytes);
    (void)unlink(path);
}

/* ---- through the front door */

static bool to_room(void *room, const char *bytes, size_t length)
{
    return strlen(strncat(room, bytes, length)) < 4000;
}

static void show_relation(const whyfit_knowledge *knowledge, char *said)
{
    said[0] = '\0';
    cr_assert_eq(whyfit_show(knowledge, "lies", WHYFIT_TEXT, to_room, said, NULL),
                 WHYFIT_OK);
}

static const char vocabulary_text[] =
    "relations:\n"
    "  lies: {says: Where it lies., owner: none, filled-by: facts, key: {thing: name}, "
    "values: {at: {quantity: length}}}\n";

/* Every request for memory refused in turn: no knowledge, no crash, nothing left open. */
Test(prepared, memory_that_is_refused)
{
    char said[2][5000];
    char rooms[2][PATH_ROOM];
    const char *source = path_of(rooms[0], "source.yaml");
    const char *kept = path_of(rooms[1], "kept");
    write_file(source, vocabulary_text, sizeof vocabulary_text - 1);
    const whyfit_source sources[] = {{source, NULL, 0}};
    whyfit_knowledge *text_knowledge = NULL;
    whyfit_problems *problems = NULL;
    cr_assert_eq(whyfit_load(sources, 1, NULL, &text_knowledge, &problems), WHYFIT_OK);
    show_relation(text_knowledge, said[0]);
    whyfit_knowledge_free(text_knowledge);
    cr_assert_eq(whyfit_prepare(sources, 1, kept, NULL, &problems), WHYFIT_OK);
    bool is_loaded = false;
    for (size_t fails_at = 1; !is_loaded && fails_at < 200; fails_at++) {
        struct failing_allocator failing = {.fails_at = fails_at};
        const whyfit_allocator allocator = {failing_resize, &failing};
        whyfit_prepared_options options = WHYFIT_PREPARED_OPTIONS;
        whyfit_knowledge *knowledge = NULL;
        options.allocator = &allocator;
        const whyfit_status result =
            whyfit_load_prepared(kept, &options, &knowledge, &problems);
        is_loaded = result == WHYFIT_OK;
        cr_assert(is_loaded || result == WHYFIT_NO_MEMORY, "request %zu: %d", fails_at,
                  (int)result);
        if (is_loaded) {
            cr_expect_null(problems);
            failing.fails_at = 0;
            show_relation(knowledge, said[1]);
            cr_expect_str_eq(said[0], said[1]);
        }
        whyfit_problems_free(problems);
        whyfit_knowledge_free(knowledge);
        cr_assert_eq(failing.open_blocks, 0, "request %zu", fails_at);
    }
    cr_expect(is_loaded);
    (void)unlink(kept);
    (void)unlink(source);
}
