/* SPDX-License-Identifier: MIT */
/* A fact that the engine writes, column by column. */
#include "draft.h"

void draft_open(struct draft *draft, struct layer *layer, const char *relation,
                span where)
{
    *draft = (struct draft){.layer = layer, .result = STATUS_OK};
    const name_id name = names_find(layer->names, text_of(relation));
    relation_id id = 0;
    if (name == NAME_NONE || !store_find_relation(layer->store, name, &id)) {
        diagnostics_report(layer->diagnostics, CODE_VOCABULARY_WRONG, SPAN_NONE,
                           "the vocabulary declares no relation `%s`", relation);
        draft->result = STATUS_INVALID;
        return;
    }
    draft->shape = store_shape(layer->store, id);
    draft->row = (struct row){
        .relation = id, .standing = STANDING_SURE, .origin = ORIGIN_FACT, .where = where};
}

void draft_key(struct draft *draft, uint32_t column, name_id key)
{
    draft->key[column] = key;
}

void draft_value(struct draft *draft, const char *column, struct value value)
{
    if (draft->result != STATUS_OK) {
        return;
    }
    const name_id name = names_find(draft->layer->names, text_of(column));
    const int index = name == NAME_NONE ? -1 : vocabulary_column(draft->shape, name);
    if (index < (int)draft->shape->key_count) {
        diagnostics_report(draft->layer->diagnostics, CODE_VOCABULARY_WRONG,
                           draft->shape->where, "this relation needs a column `%s`",
                           column);
        draft->result = STATUS_INVALID;
        return;
    }
    draft->values[index - (int)draft->shape->key_count] = value;
}

void draft_word(struct draft *draft, const char *column, name_id word)
{
    if (word != NAME_NONE) {
        draft_value(draft, column, value_word(word));
    }
}

void draft_flag(struct draft *draft, const char *column, bool flag)
{
    draft_word(draft, column,
               names_add(draft->layer->names, flag ? TEXT("true") : TEXT("false")));
}

status draft_add(struct draft *draft)
{
    if (draft->result != STATUS_OK) {
        return draft->result;
    }
    draft->row.key = draft->key;
    draft->row.values = draft->values;
    const enum added added = store_add(draft->layer->store, &draft->row, NULL);
    return added == ADDED_NO_MEMORY ? arena_status(draft->layer->arena) : STATUS_OK;
}
