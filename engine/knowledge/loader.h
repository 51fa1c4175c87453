/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_LOADER_H
#define WHYFIT_LOADER_H

#include "array.h"
#include "knowledge.h"

/* What the stages of loading share: the documents by what they are, and what is made. */
typedef ARRAY_OF(const struct node *) node_array;

struct loader {
    struct arena *arena;
    struct knowledge *made;
    struct diagnostics *diagnostics;
    node_array vocabularies;
    node_array rules;
    node_array tables;
    node_array parts;
    node_array units;
    node_array own_units; /* the same, those that are like another filled in; NULL: a
                             fault was reported of it */
    node_array closings;
    node_array sheets;
    node_array rows;
    node_array prices;
    node_array claims;
    ARRAY_OF(struct knowledge_input) texts;
    ARRAY_OF(struct knowledge_input) flats; /* CSV: see flat_rows.h */
    ARRAY_OF(struct knowledge_file) read;
    bool is_wrong;
};

/* A fault has been reported: loading goes on to the end of its stage. */
status loader_keep(struct loader *loader, status result);

/* load_documents.c: texts, and what each document in them is. */
int loader_compare_texts(const void *a, const void *b);
MUST_USE status loader_gather(struct loader *loader, const struct knowledge_input *input);
/* How large a file of this name may be. */
size_t loader_largest(text name);
text loader_digest(struct loader *loader);
MUST_USE status loader_documents(struct loader *loader);

/* load_closing.c; the sections that rules name are checked once both are read. */
MUST_USE status loader_closings(struct loader *loader);
MUST_USE status loader_sheets(struct loader *loader);
void loader_check_sections(struct loader *loader);

/* load_parts.c: parts, families and mirrored parts, units and own machines. */
MUST_USE status loader_parts(struct loader *loader);
MUST_USE status loader_sort_parts(struct loader *loader);
MUST_USE status loader_units(struct loader *loader);
MUST_USE status loader_sort_units(struct loader *loader);

#endif
