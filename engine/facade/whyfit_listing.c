/* SPDX-License-Identifier: MIT */
/* Listings: what a seller claims, one text after the other. */
#include "facade_private.h"

#include "render_listing.h"

struct whyfit_listings {
    struct arena *arena;
    const struct whyfit_knowledge *knowledge;
    struct listing_bench *bench;
};

struct whyfit_lister {
    struct arena *arena;
    const struct whyfit_listings *listings;
    struct lister *lister;
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
        arena_close(lister->arena);
    }
}

whyfit_status whyfit_lister_open(const whyfit_listings *listings,
                                 const whyfit_lister_options *options,
                                 whyfit_lister **lister)
{
    struct arena *arena = arena_open(listings->knowledge->allocator, 0);
    struct whyfit_lister *made =
        arena == NULL ? NULL : ARENA_NEW(arena, struct whyfit_lister);
    struct lister_options how = {.forgets = options != NULL && options->forgets};
    struct inference_plans *plans = NULL;
    *lister = NULL;
    status result = made == NULL ? STATUS_NO_MEMORY : STATUS_OK;
    if (result == STATUS_OK) {
        plans = inference_plans_open(arena, listings->knowledge->knowledge->rules);
        how.limits.plans = plans;
        *made = (struct whyfit_lister){arena, listings, NULL};
        result = plans == NULL ? STATUS_NO_MEMORY
                               : lister_open(arena, listings->bench, &how, &made->lister);
    }
    if (result == STATUS_OK) {
        *lister = made;
    } else if (arena != NULL) {
        arena_close(arena);
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

static void write_answer(struct writer *writer, const struct listing_answer *answer,
                         const whyfit_listing_text *from)
{
    const struct listing_label label = {from->row, text_of(from->id)};
    if (from->format == WHYFIT_LISTING_JSON) {
        render_listing_json(writer, answer, &label);
    } else if (from->format == WHYFIT_LISTING_CSV) {
        render_listing_csv(writer, answer, &label);
    } else {
        render_listing_text(writer, answer);
    }
}

whyfit_status whyfit_lister_judge(whyfit_lister *lister, const whyfit_listing_text *from,
                                  whyfit_sink *sink, void *context, whyfit_listing *out)
{
    struct writer writer;
    struct listing_answer answer;
    *out = (whyfit_listing){0};
    if (!writer_open(&writer, lister->listings->knowledge->allocator, sink, context)) {
        return WHYFIT_NO_MEMORY;
    }
    writer.width = from->width == 0 ? 80 : from->width;
    status result = listing_read(lister->lister, writer.arena,
                                 (text){from->at, from->length}, &answer, &out->wrong_at);
    if (result == STATUS_OK) {
        result = listing_judge(lister->lister, writer.arena, &answer);
    }
    if (result == STATUS_OK) {
        count_claims(&answer, out);
        write_answer(&writer, &answer, from);
    }
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
