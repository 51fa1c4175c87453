/* SPDX-License-Identifier: MIT */
/* The words that a formula compares its variables with. */
#include "formula_tree.h"

static void visit(const struct expression *node, formula_word_visitor *each,
                  void *context)
{
    const bool compares =
        node->operation == OPERATION_EQUAL || node->operation == OPERATION_UNEQUAL;
    for (uint32_t i = 0; i < node->count; i++) {
        const struct expression *one = node->operands[i];
        const struct expression *other =
            compares && node->count == 2 ? node->operands[1 - i] : NULL;
        if (other != NULL && one->operation == OPERATION_VARIABLE &&
            other->operation == OPERATION_LITERAL && other->type.kind == TYPE_WORD) {
            each(context, one->variable, other->written, other->where);
        }
        visit(one, each, context);
    }
}

void formula_compared_words(const struct formula *formula, formula_word_visitor *each,
                            void *context)
{
    visit(formula->root, each, context);
}
