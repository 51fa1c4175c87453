/* SPDX-License-Identifier: MIT */
/* Listings: what a seller claims, one text after the other. */
#include "facade_private.h"

#include "block_cache.h"
#include "lister_private.h"

struct whyfit_listings {
    struct arena *arena;
    const struct whyfit_knowledge *knowledge;
    struct listing_bench *bench;
};

struct whyfit_lister {
    struct arena *arena;
    const struct whyfit_listings *listings;
    struct lister *lister;
    struct block_cache *blocks; /* for the arena of each listing */
    struct arena *last;         /* of `parts`; NULL: none was judged in HTML */
    const text *parts;          /* that the last listing can be */
    uint32_t part_count;
};

void whyfit_listings_free(whyfit_listings *listings)
{
    if (listings != NULL) {
        listing_bench_close(listings->bench);
        arena_close(listings->arena);
    }
}

whyfit_status whyfit_listings_open(const whyfit_knowledge *knowledge,
                                   whyfit_listings **listings, whyfit_problems **problems)
{
    struct whyfit_problems *room =
        problems_open(knowledge->allocator, 0, knowledge->knowledge->sources);
    struct arena *arena = arena_open(knowledge->allocator, 0);
    struct whyfit_listings *made =
        arena == NULL ? NULL : ARENA_NEW(arena, struct whyfit_listings);
    status result = room == NULL || made == NULL ? STATUS_NO_MEMORY : STATUS_OK;
    *listings = NULL;
    if (problems != NULL) {
        *problems = NULL;
    }
    if (result == STATUS_OK) {
        *made = (struct whyfit_listings){arena, knowledge, NULL};
        result = listing_bench_open(arena, knowledge->knowledge, room->diagnostics,
                                    &made->bench);
    }
    if (result == STATUS_OK) {
        *listings = made;
    } else {
        arena_close(arena);
    }
    problems_give(room, problems);
    return public_status(result);
}

void whyfit_lister_free(whyfit_lister *lister)
{
    if (lister != NULL) {
        lister_close(lister->lister);
        arena_close(lister->last);
        block_cache_close(lister->blocks);
        arena_close(lister->arena);
    }
}

static status open_lister(struct whyfit_lister *made,
                          const whyfit_lister_options *options)
{
    const struct whyfit_listings *listings = made->listings;
    struct lister_options how = {.forgets = options != NULL && options->forgets};
    if (options != NULL) {
        how.limits.go_on = options->go_on;
        how.limits.go_on_context = options->context;
    }
    how.limits.plans =
        inference_plans_open(made->arena, listings->knowledge->knowledge->rules);
    made->blocks = block_cache_open(listings->knowledge->allocator);
    return how.limits.plans == NULL || made->blocks == NULL
               ? STATUS_NO_MEMORY
               : lister_open(made->arena, listings->bench, &how, &made->lister);
}

whyfit_status whyfit_lister_open(const whyfit_listings *listings,
                                 const whyfit_lister_options *options,
                                 whyfit_lister **lister)
{
    struct arena *arena = arena_open(listings->knowledge->allocator, 0);
    struct whyfit_lister *made =
        arena == NULL ? NULL : ARENA_NEW(arena, struct whyfit_lister);
    *lister = NULL;
    if (made == NULL) {
        arena_close(arena);
        return WHYFIT_NO_MEMORY;
    }
    *made = (struct whyfit_lister){.arena = arena, .listings = listings};
    const status result = open_lister(made, options);
    if (result == STATUS_OK) {
        *lister = made;
    } else {
        whyfit_lister_free(made);
    }
    return public_status(result);
}

static void count_claims(const struct listing_answer *answer, whyfit_listing *out)
{
    for (uint32_t i = 0; i < answer->claim_count; i++) {
        const enum judgement judgement = answer->claims[i].judgement;
        out->supported += judgement == JUDGED_SUPPORTED ? 1 : 0;
        out->contradicted += judgement == JUDGED_CONTRADICTED ? 1 : 0;
        out->not_known += judgement == JUDGED_NOT_KNOWN ? 1 : 0;
    }
    out->claims = answer->claim_count;
    out->verdict = (whyfit_listing_verdict)answer->verdict;
    out->too_hard = answer->too_hard_count;
}

/* Keeps the parts for who asks for them. */
static status keep_parts(struct whyfit_lister *lister,
                         const struct listing_answer *answer)
{
    enum {
        PARTS_KEPT = 8
    };
    arena_close(lister->last);
    lister->part_count = 0;
    lister->last = arena_open(lister->listings->knowledge->allocator, 0);
    text *parts =
        lister->last == NULL ? NULL : ARENA_MANY(lister->last, PARTS_KEPT, text);
    for (uint32_t i = 0; parts != NULL && i < answer->parts_left_count && i < PARTS_KEPT;
         i++) {
        parts[lister->part_count++] = text_copy(lister->last, answer->parts_left[i]);
    }
    lister->parts = parts;
    return lister->last == NULL ? STATUS_NO_MEMORY : arena_status(lister->last);
}

const char *whyfit_lister_part(const whyfit_lister *lister, size_t i)
{
    return i < lister->part_count ? lister->parts[i].at : NULL;
}

bool lister_writer_open(whyfit_lister *lister, struct writer *writer, whyfit_sink *sink,
                        void *context)
{
    return writer_open(writer, block_cache_allocator(lister->blocks), sink, context);
}

static status lister_page(whyfit_lister *lister, struct writer *writer,
                          struct listing_answer *answer, bool is_part)
{
    TRY(listing_explain(lister->lister, writer->arena, answer));
    TRY(keep_parts(lister, answer));
    render_listing_html(writer, answer, lister->listings->knowledge->knowledge, is_part);
    return STATUS_OK;
}

status lister_answer(whyfit_lister *lister, struct writer *writer, text words,
                     const struct listing_label *label, const whyfit_listing_text *how,
                     whyfit_listing *out)
{
    struct listing_answer answer;
    TRY(listing_read(lister->lister, writer->arena, words, &answer, &out->wrong_at));
    TRY(listing_judge(lister->lister, writer->arena, &answer));
    count_claims(&answer, out);
    if (how->format == WHYFIT_LISTING_JSON) {
        render_listing_json(writer, &answer, label);
    } else if (how->format == WHYFIT_LISTING_CSV) {
        render_listing_csv(writer, &answer, label);
    } else if (how->format == WHYFIT_LISTING_HTML) {
        TRY(lister_page(lister, writer, &answer, how->is_part));
    } else {
        TRY(listing_explain(lister->lister, writer->arena, &answer));
        render_listing_text(writer, &answer, how->with_chain);
    }
    return STATUS_OK;
}

whyfit_status whyfit_lister_judge(whyfit_lister *lister, const whyfit_listing_text *from,
                                  whyfit_sink *sink, void *context, whyfit_listing *out)
{
    struct writer writer;
    const struct listing_label label = {from->row, text_of(from->id)};
    *out = (whyfit_listing){0};
    if (!lister_writer_open(lister, &writer, sink, context)) {
        return WHYFIT_NO_MEMORY;
    }
    writer.width = from->width == 0 ? 80 : from->width;
    const status result =
        lister_answer(lister, &writer, (text){from->at, from->length}, &label, from, out);
    return writer_close(&writer, result);
}

whyfit_status whyfit_listing_head(const whyfit_knowledge *knowledge, whyfit_sink *sink,
                                  void *context)
{
    struct writer writer;
    if (!writer_open(&writer, knowledge->allocator, sink, context)) {
        return WHYFIT_NO_MEMORY;
    }
    render_listing_csv_head(&writer);
    return writer_close(&writer, STATUS_OK);
}

whyfit_listing_effort whyfit_lister_effort(const whyfit_lister *lister)
{
    const struct lister_counts counts = lister_counted(lister->lister);
    return (whyfit_listing_effort){counts.judged, counts.asked};
}
