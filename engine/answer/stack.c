/* SPDX-License-Identifier: MIT */
/* The dimensions that a gap is made of, out of its form. */
#include "stack.h"
#include "section_private.h"

#include <math.h>
#include <stdlib.h>

static struct drafting drafting_of(struct arena *arena, const struct answer *answer)
{
    return (struct drafting){.arena = arena,
                             .store = answer->store,
                             .names = answer->names,
                             .vocabulary = answer->knowledge->vocabulary};
}

static int compare_names(const void *a, const void *b)
{
    return text_compare(*(const text *)a, *(const text *)b);
}

uint32_t stack_gaps(struct arena *arena, const struct answer *answer, const text **out)
{
    const struct drafting drafting = drafting_of(arena, answer);
    ARRAY_OF(text) gaps = {0};
    struct scan scan;
    if (!drafting_rows(&drafting, "gap", answer->swapped_unit, &scan)) {
        return 0;
    }
    for (const struct row *row = scan_next(&scan); row != NULL; row = scan_next(&scan)) {
        (void)ARRAY_PUSH(arena, &gaps, names_text(answer->names, row->key[1]));
    }
    if (gaps.count > 1) {
        qsort(gaps.at, gaps.count, sizeof *gaps.at, compare_names);
    }
    *out = gaps.at;
    return gaps.count;
}

static int compare_links(const void *a, const void *b)
{
    const struct stack_link *left = a;
    const struct stack_link *right = b;
    return left->share > right->share   ? -1
           : left->share < right->share ? 1
                                        : text_compare(left->of->name, right->of->name);
}

/* A missing dimension counts as nothing in a form's nominal. */
static status gather_links(struct arena *arena, struct stack *out)
{
    const struct form *size = out->size;
    struct stack_link *links = ARENA_MANY(arena, size->term_count, struct stack_link);
    TRY(arena_status(arena));
    out->exact = size->nominal;
    for (uint32_t i = 0; i < size->term_count; i++) {
        const struct form_term *term = &size->terms[i];
        links[i] = (struct stack_link){term->of, term->by, form_share(size, i)};
        out->exact -= isnan(term->of->nominal) ? 0 : term->by * term->of->nominal;
    }
    if (size->term_count > 1) {
        qsort(links, size->term_count, sizeof *links, compare_links);
    }
    out->exact = dimension_round(size->dim, out->exact);
    out->links = links;
    out->link_count = size->term_count;
    return STATUS_OK;
}

/* "hub.out" */
static text end_of(const struct drafting *drafting, const struct row *asked,
                   const char *place, const char *face)
{
    return text_format(drafting->arena, "%.*s.%.*s",
                       TEXT_ARG(drafting_word(drafting, asked, place)),
                       TEXT_ARG(drafting_word(drafting, asked, face)));
}

status stack_answer(struct arena *arena, const struct answer *answer, text gap,
                    struct stack *out)
{
    const struct drafting drafting = drafting_of(arena, answer);
    const name_id name = names_find(answer->names, gap);
    const name_id key[2] = {answer->swapped_unit, name};
    const name_id host_key[2] = {answer->host_unit, name};
    const struct row *row = drafting_row(&drafting, "gap", key);
    const struct row *asked = drafting_row(&drafting, "gap-asked", key);
    const struct row *host = drafting_row(&drafting, "gap", host_key);
    *out = (struct stack){.gap = gap};
    TRY(arena_status(answer->arena)); /* a scan that fails there only ends */
    if (name == NAME_NONE || row == NULL || asked == NULL) {
        return STATUS_NOT_FOUND;
    }
    out->from = end_of(&drafting, asked, "from-place", "from-face");
    out->to = end_of(&drafting, asked, "to-place", "to-face");
    out->size = drafting_form(&drafting, row, "comes-to");
    out->want_least = drafting_form(&drafting, row, "want-least");
    out->want_greatest = drafting_form(&drafting, row, "want-greatest");
    if (answer->change_count > 0 || answer->given_count > 0) {
        out->before = host == NULL ? NULL : drafting_form(&drafting, host, "comes-to");
    }
    TRY(arena_status(answer->arena));
    return out->size == NULL ? STATUS_NOT_FOUND : gather_links(arena, out);
}
