/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_LISTING_TERMS_H
#define WHYFIT_LISTING_TERMS_H

#include "part_shows.h"

/*
 * What the facts call things: the numbers of parts and the models of machines, found
 * however a seller spaces and capitalises them. Patterns read every text that is built
 * like one of them (the same letters, as many digits), so that a number or model which
 * nobody recorded is a claim too.
 */
struct listing_term {
    text key;       /* its letters and digits alone, small: what terms are found by */
    text short_key; /* the same without the first word, or empty */
    text loose_key; /* the key of model_key */
    text word;      /* as the facts have it */
    uint32_t of;    /* numbers: the index of a part; models: unused */
};

struct terms {
    const struct listing_term *at; /* sorted by key, then of */
    uint32_t count;
    const text *shapes; /* one word of each shape, as the facts have it */
    uint32_t shape_count;
};

struct listing_terms {
    struct terms numbers;
    struct terms models;
    text number_pattern; /* what {part-number} stands for; matches nothing where none is
                            known */
    text model_pattern;
    text short_model_pattern; /* a model without its first word */
    text family_pattern;      /* the first words of models */
};

MUST_USE status listing_terms_read(struct arena *arena, const struct knowledge *knowledge,
                                   const struct part_shows *shows,
                                   struct listing_terms *out);

/* The letters and digits of a folded text; in the arena. */
text term_key(struct arena *arena, text plain);
/* The same without vowels, in which misspelt names of models differ. */
text model_key(struct arena *arena, text plain);
/* The first word of a model, as the facts have it, for a folded one; empty: none. */
text terms_family(struct arena *arena, const struct terms *models, text plain);
/* The terms of a key: the first, and how many lie behind it; NULL: none. */
const struct listing_term *terms_find(const struct terms *terms, text key,
                                      uint32_t *count);
/* A key that nobody recorded, written as the facts write one of its shape. */
text terms_spell(struct arena *arena, const struct terms *terms, text key, bool is_model);
/* The model of a folded name, its vowels right or wrong; NULL: none. */
const struct listing_term *terms_find_model(struct arena *arena,
                                            const struct terms *models, text plain);
/* The model that a part of its name stands for, best one of the family of `beside` (may
 * be empty); empty: none or several. */
text terms_model(const struct terms *models, text key, text beside);

#endif
