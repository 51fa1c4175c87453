/* SPDX-License-Identifier: MIT */
/* Reading a formula, and what may be asked of one. */
#include "formula_tree.h"

#include "limits.h"

status formula_read(struct arena *arena, text a, span where, const struct scope *scope,
                    struct diagnostics *diagnostics, const struct formula **out)
{
    /* The tree borrows from its own copy: one byte too many is enough to be refused. */
    const text copy = text_copy(arena, text_slice(a, 0, LIMIT_FORMULA_BYTES + 1));
    struct formula_reader reader = {.arena = arena,
                                    .text = copy,
                                    .where = where,
                                    .scope = scope,
                                    .diagnostics = diagnostics};
    TRY(arena_status(arena));
    struct expression *root = formula_parse(&reader);
    if (root != NULL) {
        formula_check(&reader, root);
    }
    TRY(arena_status(arena));
    if (root == NULL || reader.is_wrong) {
        return STATUS_INVALID;
    }
    struct formula *made = ARENA_NEW(arena, struct formula);
    if (made == NULL) {
        return arena_status(arena);
    }
    *made = (struct formula){reader.text, where, root};
    *out = made;
    return arena_status(arena);
}

struct type formula_type(const struct formula *formula)
{
    return formula->root->type;
}

text formula_text(const struct formula *formula)
{
    return formula->text;
}

span formula_where(const struct formula *formula)
{
    return formula->where;
}

static void mark(const struct expression *at, bool *used)
{
    if (at->operation == OPERATION_VARIABLE) {
        used[at->variable] = true;
    }
    for (uint32_t i = 0; i < at->count; i++) {
        mark(at->operands[i], used);
    }
}

void formula_variables(const struct formula *formula, bool *used)
{
    mark(formula->root, used);
}
