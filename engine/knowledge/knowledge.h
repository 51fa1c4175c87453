/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_KNOWLEDGE_H
#define WHYFIT_KNOWLEDGE_H

#include "claim_patterns.h"
#include "inference.h"
#include "part.h"
#include "read_file.h"
#include "recipe.h"
#include "rule_read.h"
#include "tables.h"

/* A file that was read. */
struct knowledge_file {
    text name; /* as it was found, with a NUL behind */
    text content;
    struct file_stamp stamp;
};

/*
 * Everything that was loaded, frozen: threads may share it. Loading goes through stages,
 * each of which reports all it finds: documents, vocabulary, tables, rules, parts, units,
 * conclusions. A failed load gives no knowledge: half of it would answer wrongly.
 */

/* What is said where a part of a kind with this danger is changed. */
struct danger_caution {
    name_id danger;
    text word; /* the danger's */
    text caution;
    span where;
};

/* What answers end with: from documents headed `closing:`. */
struct closing {
    text caution;                          /* of every one */
    const struct danger_caution *cautions; /* sorted by word */
    uint32_t caution_count;
    const text *not_looked_at;
    uint32_t not_looked_at_count;
};

/* The sections of a set-up sheet, in order: from documents headed `sheet:`. */
struct sheet_section {
    text name;
    text title;
};

struct knowledge {
    struct arena *arena;
    struct names *names;
    struct sources *sources;
    const struct vocabulary *vocabulary;
    const struct rule_base *rules;
    struct tables tables;
    struct function_table functions;
    struct closing closing;
    const struct sheet_section *sections;
    uint32_t section_count;
    struct claim_patterns claims; /* how sellers put things */
    const struct part *parts;     /* sorted by name */
    uint32_t part_count;
    const struct recipe *recipes; /* sorted by name */
    uint32_t recipe_count;
    struct store *base;
    text digest; /* of all that was read, in the order of their names */
    uint32_t file_count;
    const struct knowledge_file *read; /* sorted by name; texts that were handed over are
                                          not among them */
    uint32_t read_count;
};

/* One text to read: content NULL means the file (or every .yaml and .csv below the
 * folder) at `name`. */
struct knowledge_input {
    text name;
    const char *content;
    size_t content_length;
};

/* The files that a name stands for, sorted: itself, or those below the folder. As
 * folder_list. */
MUST_USE status knowledge_paths(struct arena *arena, text name, text **paths,
                                uint32_t *count);

/* Everything lives in `arena`, which is kept. `sources` gets every text, also on failure,
 * so that diagnostics can be shown. */
MUST_USE status knowledge_load(struct arena *arena, const struct knowledge_input *inputs,
                               uint32_t input_count, struct sources *sources,
                               struct diagnostics *diagnostics,
                               const struct knowledge **out);

/* The two halves of knowledge_load, for whoever measures or bounds them: all that is
 * stated, and what follows from it (once), within the rows, steps and go_on of `bounds`.
 * In between the knowledge may be asked nothing. */
MUST_USE status knowledge_read(struct arena *arena, const struct knowledge_input *inputs,
                               uint32_t input_count, struct sources *sources,
                               struct diagnostics *diagnostics, struct knowledge **out);
MUST_USE status knowledge_conclude(struct knowledge *knowledge,
                                   const struct inference_options *bounds,
                                   struct diagnostics *diagnostics);

/* NULL when there is none. */
const struct part *knowledge_part(const struct knowledge *knowledge, name_id name);
const struct recipe *knowledge_recipe(const struct knowledge *knowledge, name_id name);

/* The functions formulas may call: those of mechanics and assembly, sorted by name. Their
 * entries lie side by side, the first where entries[0] points, so that whoever brings a
 * knowledge back from a file can write them anew. */
MUST_USE status knowledge_functions(struct arena *arena, struct function_table *out);
/* Writes those entries (NULL: nothing); gives how many there are. */
uint32_t knowledge_function_entries(struct function_entry *out);

#endif
