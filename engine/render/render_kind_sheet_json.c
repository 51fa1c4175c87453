/* SPDX-License-Identifier: MIT */
/* A measuring sheet by kind as JSON: its blanks in the order of the bench. */
#include "json_answer.h"

#include "kind_sheet.h"

static json_t *or_null(text a)
{
    return a.length == 0 ? json_null() : json_text(a);
}

static json_t *blank_json(const struct answer *answer, const struct kind_feature *feature,
                          const struct kind_field *field)
{
    json_t *object = json_object();
    json_t *choices = json_array();
    for (uint32_t i = 0; i < field->column->choice_count; i++) {
        json_push(choices,
                  json_text(names_text(answer->names, field->column->choices[i])));
    }
    json_set(object, "list", or_null(feature->list));
    json_set(object, "feature", or_null(feature->name));
    json_set(object, "field", json_text(field->name));
    json_set(object, "unit", or_null(field->unit));
    json_set(object, "choices", choices);
    json_set(object, "counted_from", or_null(field->counted_from));
    json_set(object, "where",
             json_word(field->is_elsewhere    ? "elsewhere"
                       : feature->is_together ? "unit together"
                                              : "unit apart"));
    json_set(object, "got_by", json_text(field->got_by));
    json_set(object, "gauge",
             field->gauge == NULL ? json_null() : json_text(field->gauge->title));
    json_set(object, "due", json_boolean(field->is_due));
    json_set(object, "checks", texts_json(field->checks, field->check_count));
    return object;
}

status render_kind_sheet_json(struct writer *writer, const struct answer *answer)
{
    const struct kind_sheet *sheet = answer->kind_sheet;
    json_t *object = answer_open_json(writer, answer);
    json_t *blanks = json_array();
    for (uint32_t i = 0; i < sheet->blank_count; i++) {
        const struct kind_feature *feature = &sheet->features[sheet->blanks[i].feature];
        json_push(blanks,
                  blank_json(answer, feature, &feature->fields[sheet->blanks[i].field]));
    }
    json_set(object, "kind", json_text(sheet->kind));
    json_set(object, "datum", or_null(sheet->datum));
    json_set(object, "blanks", blanks);
    json_set(object, "caution", json_text(answer->caution));
    return json_write(writer, object);
}
