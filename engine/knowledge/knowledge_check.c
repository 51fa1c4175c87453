/* SPDX-License-Identifier: MIT */
/* Whether the names in units and parts lead somewhere, once everything is read. */
#include "knowledge_check.h"

#include "unit_check.h"

/* A part that is written, and at fault: that has been said. */
static bool is_written(const struct checking *checking, text part)
{
    for (uint32_t i = 0; i < checking->written_count; i++) {
        const struct node *name = node_field_of(checking->written[i], "part");
        if (name != NULL && name->kind == NODE_WORD && text_equal(name->word, part)) {
            return true;
        }
    }
    return false;
}

static void refuse_unknown_fill(struct checking *checking, name_id name, span where)
{
    const struct knowledge *made = checking->knowledge;
    const text word = names_text(made->names, name);
    if (text_is(word, "none") || knowledge_part(made, name) != NULL ||
        knowledge_recipe(made, name) != NULL || is_written(checking, word)) {
        return;
    }
    struct nearest near = nearest_to(word);
    for (uint32_t i = 0; i < made->part_count; i++) {
        nearest_offer(&near, names_text(made->names, made->parts[i].name));
    }
    for (uint32_t i = 0; i < made->recipe_count; i++) {
        nearest_offer(&near, names_text(made->names, made->recipes[i].name));
    }
    struct diagnostic *report =
        diagnostics_report(checking->diagnostics, CODE_NAME_UNKNOWN, where,
                           "there is no part or unit \"%.*s\"", TEXT_ARG(word));
    report->nearest = near.best;
    checking->is_wrong = true;
}

/* Pieces are called like their places, so a place called like a part would be mistaken
 * for it. */
static void refuse_part_name(struct checking *checking, name_id place, span where)
{
    const struct part *same = knowledge_part(checking->knowledge, place);
    if (same != NULL) {
        struct diagnostic *report =
            diagnostics_report(checking->diagnostics, CODE_NAME_DOUBLED, where,
                               "place \"%.*s\" is called like a part",
                               TEXT_ARG(names_text(checking->knowledge->names, place)));
        report->expected = TEXT("another name for the place or for the part");
        diagnostic_note_add(report, same->where, TEXT("the part is defined here"));
        checking->is_wrong = true;
    }
}

static void check_names(struct checking *checking)
{
    const struct knowledge *made = checking->knowledge;
    for (uint32_t i = 0; i < made->recipe_count; i++) {
        check_unit(checking, &made->recipes[i]);
        for (uint32_t k = 0; k < made->recipes[i].place_count; k++) {
            const struct filling *place = &made->recipes[i].places[k];
            refuse_unknown_fill(checking, place->with, place->where);
            refuse_part_name(checking, place->place, place->where);
        }
    }
    for (uint32_t i = 0; i < made->part_count; i++) {
        if (made->parts[i].superseded_by != NAME_NONE) {
            refuse_unknown_fill(checking, made->parts[i].superseded_by,
                                made->parts[i].superseded_where);
        }
        for (uint32_t k = 0; k < made->parts[i].goes_with_count; k++) {
            const struct filling *with = &made->parts[i].goes_with[k];
            refuse_unknown_fill(checking, with->with, with->where);
        }
        for (uint32_t k = 0; k < made->parts[i].comes_with_count; k++) {
            const struct filling *with = &made->parts[i].comes_with[k];
            refuse_unknown_fill(checking, with->with, with->where);
            refuse_part_name(checking, with->place, with->where);
        }
        check_brought(checking, &made->parts[i]);
    }
}

/* The checks that kinds ask for must be rules that make findings. */
static void check_asks(struct checking *checking)
{
    const struct knowledge *made = checking->knowledge;
    for (uint32_t i = 0; i < made->vocabulary->kind_count; i++) {
        const struct kind *kind = &made->vocabulary->kinds[i];
        for (uint32_t k = 0; k < kind->ask_count; k++) {
            const struct rule *rule = rule_find(made->rules, kind->asks[k]);
            if (rule != NULL && rule->has_check) {
                continue;
            }
            const text word = names_text(made->names, kind->asks[k]);
            struct nearest near = nearest_to(word);
            for (uint32_t r = 0; r < made->rules->rule_count; r++) {
                if (made->rules->rules[r].has_check) {
                    nearest_offer(&near,
                                  names_text(made->names, made->rules->rules[r].name));
                }
            }
            struct diagnostic *report = diagnostics_report(
                checking->diagnostics, CODE_NAME_UNKNOWN, kind->where,
                "this kind asks for \"%.*s\", which is no rule with a check",
                TEXT_ARG(word));
            report->nearest = near.best;
            checking->is_wrong = true;
        }
    }
}

status knowledge_check_names(const struct knowledge *knowledge,
                             const struct node *const *parts, uint32_t part_count,
                             struct diagnostics *diagnostics)
{
    struct checking checking = {.knowledge = knowledge,
                                .written = parts,
                                .written_count = part_count,
                                .diagnostics = diagnostics};
    check_names(&checking);
    return checking.is_wrong ? STATUS_INVALID : STATUS_OK;
}

status knowledge_check_asks(const struct knowledge *knowledge,
                            struct diagnostics *diagnostics)
{
    struct checking checking = {.knowledge = knowledge, .diagnostics = diagnostics};
    check_asks(&checking);
    return checking.is_wrong ? STATUS_INVALID : STATUS_OK;
}
