/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_FACADE_PRIVATE_H
#define WHYFIT_FACADE_PRIVATE_H

#include "whyfit.h"

#include "render.h"

/* What lies behind the handles of whyfit.h. Each is one arena with whatever lives in it;
 * releasing it closes the arena. */
struct whyfit_knowledge {
    struct arena *arena;
    struct allocator allocator;
    const struct knowledge *knowledge;
    struct image *image; /* of a prepared base, which is owned; else NULL */
};

struct whyfit_asker {
    struct arena *arena;
    const struct whyfit_knowledge *knowledge;
    struct inference_plans *plans; /* from question to question */
    whyfit_ask_options options;
};

struct whyfit_answer {
    struct arena *arena;
    struct allocator allocator;
    const struct answer *answer;
};

struct whyfit_problems {
    struct arena *arena;
    struct sources *sources;
    struct diagnostics *diagnostics;
    struct whyfit_problems *next; /* of another load of the same call, or NULL; owned */
};

whyfit_status public_status(status from);

struct allocator allocator_from(const whyfit_allocator *wanted);
/* The sources as the engine takes them, their names in the arena. NULL: no memory. */
struct knowledge_input *inputs_from(struct arena *arena, const whyfit_source *sources,
                                    size_t count);

/* An arena with sources and diagnostics, where a question's faults can be kept. NULL: no
 * memory. */
struct whyfit_problems *problems_open(struct allocator allocator, size_t limit,
                                      const struct sources *parent);
/* Hands the problems out where there are any and they are wanted, else releases them. */
void problems_give(struct whyfit_problems *problems, struct whyfit_problems **out);

/* Loads into the room within bounds, without the rules named; STATUS_NOT_FOUND (reported)
 * where there is no such rule. */
MUST_USE status load_without(struct whyfit_problems *room,
                             const struct knowledge_input *inputs, uint32_t input_count,
                             const char *const *without, size_t without_count,
                             const struct inference_options *bounds,
                             const struct knowledge **out);

/* A writer over a scratch arena of its own; closed by writer_close. */
bool writer_open(struct writer *writer, struct allocator allocator, whyfit_sink *sink,
                 void *context);
/* The first failure of what was written, of memory, of the sink. */
whyfit_status writer_close(struct writer *writer, status result);

#endif
