/* SPDX-License-Identifier: MIT */
/* Prices of parts and units that stand in lists of their own. */
#include "price_list.h"

/* The price of a name, in the arrays that are being filled; NULL: there is no such part
 * or unit. */
static struct stated_cost *price_of(const struct knowledge *knowledge, text word,
                                    struct part *parts, struct recipe *recipes)
{
    const name_id name = names_find(knowledge->names, word);
    const struct part *part = knowledge_part(knowledge, name);
    const struct recipe *recipe = knowledge_recipe(knowledge, name);
    return name == NAME_NONE ? NULL
           : part != NULL    ? &parts[part - knowledge->parts].outlay.price
           : recipe != NULL  ? &recipes[recipe - knowledge->recipes].outlay.price
                             : NULL;
}

static status name_fault(const struct knowledge *knowledge,
                         const struct node_field *field, struct diagnostics *diagnostics)
{
    struct nearest near = nearest_to(field->key);
    for (uint32_t i = 0; i < knowledge->part_count; i++) {
        nearest_offer(&near, names_text(knowledge->names, knowledge->parts[i].name));
    }
    for (uint32_t i = 0; i < knowledge->recipe_count; i++) {
        nearest_offer(&near, names_text(knowledge->names, knowledge->recipes[i].name));
    }
    struct diagnostic *report =
        diagnostics_report(diagnostics, CODE_NAME_UNKNOWN, field->key_where,
                           "there is no part or unit \"%.*s\"", TEXT_ARG(field->key));
    report->nearest = near.best;
    return STATUS_INVALID;
}

static status read_price(const struct knowledge *knowledge,
                         const struct node_field *field, struct part *parts,
                         struct recipe *recipes, struct diagnostics *diagnostics)
{
    struct stated_cost read = {0};
    struct stated_cost *price = price_of(knowledge, field->key, parts, recipes);
    if (price == NULL) {
        return name_fault(knowledge, field, diagnostics);
    }
    if (!price_read(field->value, diagnostics, &read)) {
        return STATUS_INVALID;
    }
    if (price->is_stated) {
        struct diagnostic *report =
            diagnostics_report(diagnostics, CODE_NAME_DOUBLED, field->key_where,
                               "the price of %.*s is stated twice", TEXT_ARG(field->key));
        diagnostic_note_add(report, price->where, TEXT("the other one is here"));
        return STATUS_INVALID;
    }
    *price = read;
    return STATUS_OK;
}

status price_list_read(const struct knowledge *knowledge, const struct node *document,
                       struct part *parts, struct recipe *recipes,
                       struct diagnostics *diagnostics)
{
    static const char *const known[] = {"prices", "source", "says", NULL};
    const struct node *prices = node_field_of(document, "prices");
    status result = STATUS_OK;
    node_refuse_others(document, known, "a list of prices", diagnostics);
    if (!node_expect(prices, NODE_MAP, "`prices`", diagnostics)) {
        return STATUS_INVALID;
    }
    for (uint32_t i = 0; i < prices->count; i++) {
        const status read =
            read_price(knowledge, &prices->fields[i], parts, recipes, diagnostics);
        result = read == STATUS_OK ? result : read;
    }
    return result;
}
